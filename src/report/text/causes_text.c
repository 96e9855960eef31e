/* causes_text.c - why there is no pool: a sentence for each cause, the one that a person would look for first. */
#include "report/explain_report.h"
#include "report/words/explain_words.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "report/layout/format.h"

#define SHOWN 12

typedef struct {
    const Explain *e;
    const Cause *cause;
    size_t alike; /* causes of its kind from it on, told in one sentence; 0: it was told with the one before */
    bool further; /* causes before it are told */
    const char *indent;
    const Style *style;
    Text *out;
    Arena *arena;
} Teller;

static const Side *first_side(const Teller *t)
{
    return t->cause->sides > 0 ? &t->e->sides->side[t->cause->side[0]] : NULL;
}

static const Limit *size_of_cause(const Teller *t)
{
    const Limit *size = first_side(t)->limit;
    for (int k = 1; k < t->cause->sides && size->kind != LIMIT_SIZE; k++)
        size = t->e->sides->side[t->cause->side[k]].limit;
    return size;
}

/* "12 limits ask for one", "1 limit asks for one" */
static const char *limits_ask(const Teller *t, const char *what)
{
    return t->cause->sides == 1 ? arena_printf(t->arena, "1 limit asks for %s", what)
                                : arena_printf(t->arena, "%d limits ask for %s", t->cause->sides, what);
}

static const char *has_near(const Teller *t)
{
    if (t->cause->nearest == NULL)
        return "";
    return arena_printf(t->arena, "; %s %s '%s': write one like the other",
                        format_cards(t->arena, (int64_t)t->cause->cards), t->cause->cards == 1 ? "has" : "have",
                        t->cause->nearest);
}

static void tell_spelling(const Teller *t)
{
    const Cause *c = t->cause;
    const char *only =
        c->of == 0 ? "No card has" : arena_printf(t->arena, "Only %s have", format_cards(t->arena, (int64_t)c->of));
    text_printf(t->out, "%s the %s '%s', and %s%s.\n", only, c->field, c->word, limits_ask(t, "it"), has_near(t));
}

static void tell_fixing(const Teller *t)
{
    const Cause *c = t->cause;
    if (c->word == NULL)
        text_printf(t->out, "No card counts as fixing, and %s: see `fixing` in the model.\n", limits_ask(t, "some"));
    else
        text_printf(t->out, "No card is fixing, which the model says are cards of the kind '%s', and %s%s.\n", c->word,
                    limits_ask(t, "some"), has_near(t));
}

/* "67.22", "67.22 (from 67.10 on, it is not excluded)" */
static const char *from_text(const Teller *t)
{
    const Range *m = &t->cause->money;
    if (m->low == m->high)
        return format_money(t->arena, m->high);
    return arena_printf(t->arena, "%s (at least %s is needed: proven)", format_money(t->arena, m->high),
                        format_money(t->arena, m->low));
}

static const char *cap_text(const Teller *t)
{
    return format_money(t->arena, t->e->instance->model->cap_stated);
}

/* "5.00", "5.00, with 2.00 paid". */
static const char *own_cap_text(const Teller *t)
{
    const Instance *in = t->e->instance;
    return arena_printf(t->arena, "%s%s", cap_text(t), money_with_paid(in, t->arena));
}

/* Prices that the model made up count towards a cap as others do; blank ones were perhaps forgotten. */
static void tell_unpriced(const Teller *t)
{
    const Instance *in = t->e->instance;
    if (in->unpriced_count > 0 && in->model->unpriced == UNPRICED_DEFAULT)
        text_printf(t->out, "%s%zu of %zu candidates %s no price and count%s as %s each.\n", t->indent,
                    in->unpriced_count, in->cards->count, in->unpriced_count == 1 ? "has" : "have",
                    in->unpriced_count == 1 ? "s" : "", format_money(t->arena, in->model->unpriced_default));
}

static void tell_too_few(const Teller *t)
{
    const Instance *in = t->e->instance;
    const size_t copies = t->cause->of;
    if (copies == 0)
        text_printf(t->out, "There is no card to choose from for a pool of %d", in->model->size_from);
    else
        text_printf(t->out,
                    copies == 1 ? "There is only %zu copy to choose from for a pool of %d"
                                : "There are only %zu copies to choose from for a pool of %d",
                    copies, in->model->size_from);
    if (in->skipped_count > 0)
        text_printf(t->out, "; %zu without a price %s left out (unpriced: skip)", in->skipped_count,
                    in->skipped_count == 1 ? "is" : "are");
    text_add(t->out, ".\n");
}

static void tell_keeps(const Teller *t)
{
    const Model *model = t->e->instance->model;
    text_printf(t->out, "There are %zu cards to keep for a pool of %d (%s).\n", t->cause->of, model->size_to,
                limit_place_text(size_of_cause(t), t->arena));
}

#define DEAR_PRICES 2000 /* cents, on average: more than cards usually cost */

/* Dear ones, without a cent in any of them. */
static void tell_whole_prices(const Teller *t)
{
    const Instance *in = t->e->instance;
    int64_t sum = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        if (in->price[c] % 100 != 0)
            return;
        sum += in->price[c];
    }
    if (sum >= DEAR_PRICES * (int64_t)in->cards->count)
        text_printf(t->out,
                    "%sEvery price is a whole number, %s on average: if they are in cents, write 1.50 for 150.\n",
                    t->indent, format_money(t->arena, sum / (int64_t)in->cards->count));
}

/* What was named before is set aside here. */
static void tell_cap(const Teller *t)
{
    if (t->cause->sides > 1)
        text_printf(t->out, "%s the cap of %s and %d more limit%s on money %s.\n",
                    t->further ? "Then money: without" : "Money: without", cap_text(t), t->cause->sides - 1,
                    t->cause->sides == 2 ? "" : "s", t->further ? "the other limits can be met" : "there is a pool");
    else if (t->cause->has_money)
        text_printf(t->out, "%s limits can be met from %s on; your cap is %s (%s).\n",
                    t->further ? "Then the cap: the other" : "The cap alone: the", from_text(t), own_cap_text(t),
                    limit_place_text(first_side(t)->limit, t->arena));
    else
        text_printf(t->out, "%s; your cap is %s (%s).\n",
                    t->further ? "Then the cap: without it the other limits can be met"
                               : "The cap alone: without it there is a pool",
                    own_cap_text(t), limit_place_text(first_side(t)->limit, t->arena));
    tell_unpriced(t);
    tell_whole_prices(t);
}

static void tell_risk(const Teller *t)
{
    text_add(t->out,
             t->further
                 ? "Then the price risk: at the prices given the other limits can be met, with prices that rise not"
                 : "The price risk: at the prices given there is a pool; with prices that rise there is none");
    if (t->cause->has_money)
        text_printf(t->out, ". It takes a cap of %s; yours is %s", from_text(t), own_cap_text(t));
    text_add(t->out, ".\n");
}

static void add_list(const Teller *t, const int *side, int sides)
{
    const int limits = words_sides(t->e, side, sides);
    for (int k = 0, told = 0; k < sides; k++) {
        if (words_side_again(t->e, side, k))
            continue;
        text_printf(t->out, "%s%s",
                    told == 0           ? ""
                    : told + 1 < limits ? "; "
                                        : " and ",
                    words_side(&t->e->sides->side[side[k]], t->arena));
        told++;
    }
}

/* "12 bans, 2 keeps and 3 limits" */
static void add_counted(const Teller *t)
{
    static const char *const word[] = {"ban", "keep", "limit"};
    int count[3] = {0}, kinds = 0, told = 0;
    for (int k = 0; k < t->cause->sides; k++) {
        const LimitKind kind = t->e->sides->side[t->cause->side[k]].limit->kind;
        if (!words_side_again(t->e, t->cause->side, k))
            count[kind == LIMIT_BAN ? 0 : kind == LIMIT_KEEP ? 1 : 2]++;
    }
    for (int k = 0; k < 3; k++)
        kinds += count[k] > 0;
    for (int k = 0; k < 3; k++)
        if (count[k] > 0) {
            text_printf(t->out, "%s%d %s%s",
                        told == 0          ? ""
                        : told + 1 < kinds ? ", "
                                           : " and ",
                        count[k], word[k], count[k] == 1 ? "" : "s");
            told++;
        }
}

static void tell_own(const Teller *t)
{
    const Cause *c = t->cause;
    text_add(t->out, "Your own: ");
    if (c->sides <= SHOWN)
        add_list(t, c->side, c->sides);
    else
        add_counted(t);
    text_add(t->out, words_sides(t->e, c->side, c->sides) == 1 ? " cannot hold" : " cannot all hold");
    if (c->withs > 0) {
        text_add(t->out, " beside ");
        add_list(t, c->with, c->withs);
    } else
        text_add(t->out, " under the limits of the model");
    text_add(t->out, ".\n");
}

/* What the others add up to, against the one that this does not fit. */
static void tell_sum(const Teller *t)
{
    const Cause *c = t->cause;
    const Side *odd = &t->e->sides->side[c->against];
    const long long sum = (long long)c->amount;
    const bool one = c->sides == 2, of_size = odd->limit->kind == LIMIT_SIZE;
    const int64_t wanted = odd->low ? odd->limit->bounds.low : odd->limit->bounds.high;
    const char *who = one ? words_side(&t->e->sides->side[c->side[c->side[0] == c->against ? 1 : 0]], t->arena)
                          : arena_printf(t->arena, "Together %d limits", c->sides - 1);
    if (of_size && odd->low)
        text_printf(t->out, "%s %s at most %lld of %lld card%s.\n", who, one ? "allows" : "allow", sum,
                    (long long)wanted, wanted == 1 ? "" : "s");
    else if (of_size)
        text_printf(t->out, "%s %s for at least %lld card%s; the pool takes %lld.\n", who, one ? "asks" : "ask", sum,
                    sum == 1 ? "" : "s", (long long)wanted);
    else
        text_printf(t->out, "%s %s %lld %s for %s.\n", who,
                    odd->low ? one ? "allows at most" : "allow at most"
                    : one    ? "asks for at least"
                             : "ask for at least",
                    sum, sum == 1 ? "card that counts" : "cards that count", words_side(odd, t->arena));
}

static void tell_slashes(const Teller *t)
{
    const Cause *c = t->cause;
    text_printf(t->out,
                "%zu of %zu multicolour cards are written with / (hybrid: either colour pays), and %s: write + between "
                "colours that a card needs both of, or slash: both under read in the model.\n",
                c->cards, c->of, limits_ask(t, "gold cards"));
}

/* joined: "nor" or "and" */
static const char *and_others(const Teller *t, const char *joined)
{
    return t->alike < 2
               ? ""
               : arena_printf(t->arena, ", %s for %zu other limit%s", joined, t->alike - 1, t->alike == 2 ? "" : "s");
}

/* " in a pool of 360", where more cards count than a pool takes. */
static const char *in_a_pool(const Teller *t, size_t count)
{
    const Instance *in = t->e->free_instance;
    for (size_t k = 0; k < in->limits; k++)
        if (in->limit[k].kind == LIMIT_SIZE && in->limit[k].bounds.has_high &&
            (int64_t)count > in->limit[k].bounds.high)
            return arena_printf(t->arena, " in a pool of %lld", (long long)in->limit[k].bounds.high);
    return "";
}

static void tell_short(const Teller *t)
{
    const Cause *c = t->cause;
    const Side *side = first_side(t);
    const char *few = arena_printf(t->arena, "Too few cards count for %s", words_side(side, t->arena)),
               *cards = format_cards(t->arena, (int64_t)c->of), *s = c->of == 1 ? "s" : "";
    if (t->alike > 1)
        text_printf(t->out, "%s%s.\n", few, and_others(t, "and"));
    else if (side->limit->kind == LIMIT_PLACES)
        text_printf(t->out, "%s: %s, which fill%s %lld of its %lld place%s at most%s.\n", few, cards, s,
                    (long long)c->amount, (long long)c->wanted, c->wanted == 1 ? "" : "s", in_a_pool(t, c->of));
    else
        text_printf(t->out, "%s: %s, which come%s to %s at most%s.\n", few, cards, s,
                    format_measure(t->arena, side->limit->measure, c->amount), in_a_pool(t, c->of));
}

static void tell(const Teller *t)
{
    const Cause *c = t->cause;
    const Side *side = first_side(t);
    text_add(t->out, t->indent);
    switch (c->kind) {
    case CAUSE_SIZE: tell_too_few(t); break;
    case CAUSE_KEEPS: tell_keeps(t); break;
    case CAUSE_NO_ROLES:
        text_printf(t->out,
                    "No card has a role, and %s: write enabler, payoff or both behind the tag ('%s payoff'), or in the "
                    "column role of a sheet of tags.\n",
                    limits_ask(t, "one"),
                    t->e->instance->model->themes > 0 ? t->e->instance->model->theme[0].name : "tag");
        break;
    case CAUSE_COMMAS:
        text_printf(t->out, "%s %s a tag with commas, which is one tag ('%s'), and %s: part tags with ';'.\n",
                    format_cards(t->arena, (int64_t)c->cards), c->cards == 1 ? "has" : "have", c->word,
                    limits_ask(t, "its parts"));
        break;
    case CAUSE_SPELLING: tell_spelling(t); break;
    case CAUSE_NO_FIXING: tell_fixing(t); break;
    case CAUSE_SLASHES: tell_slashes(t); break;
    case CAUSE_NO_CANDIDATE:
        text_printf(t->out, "No card counts for %s%s.\n", words_side(side, t->arena), and_others(t, "nor"));
        break;
    case CAUSE_TOO_FEW: tell_short(t); break;
    case CAUSE_RISK: tell_risk(t); break;
    case CAUSE_CAP: tell_cap(t); break;
    case CAUSE_OWN: tell_own(t); break;
    case CAUSE_SUM: tell_sum(t); break;
    case CAUSE_KINDS: break;
    }
}

/* The limits that a sentence only counts. */
static void add_limits(const Teller *t)
{
    const Cause *c = t->cause;
    const bool counted = (c->kind == CAUSE_SUM && c->sides > 2) || (c->kind == CAUSE_OWN && c->sides > SHOWN) ||
                         (c->kind >= CAUSE_NO_ROLES && c->kind <= CAUSE_SLASHES);
    if (!counted)
        return;
    Table *table = table_new("lll", NULL);
    int rows = 0;
    for (int k = 0; k < c->sides; k++) {
        const Side *side = &t->e->sides->side[c->side[k]];
        if (c->side[k] == c->against || rows++ >= SHOWN)
            continue;
        table_add(table, side->limit->title);
        table_add(table, words_side_limit(side, t->arena));
        table_add(table, limit_place_text(side->limit, t->arena));
    }
    table_print(table, t->out, t->style);
    table_free(table);
    if (rows > SHOWN)
        text_printf(t->out, "  and %d more\n", rows - SHOWN);
}

/* Limits of which each is a cause of its own, with what the cards come to. */
static void add_alike(const Teller *t)
{
    Table *table = table_new("llll", NULL);
    for (size_t k = 0; k < t->alike && k < SHOWN; k++) {
        const Side *side = &t->e->sides->side[t->cause[k].side[0]];
        table_add(table, side->limit->title);
        table_add(table, words_side_limit(side, t->arena));
        table_add(table, arena_printf(t->arena, "%s at most",
                                      format_measure(t->arena, side->limit->measure, t->cause[k].amount)));
        table_add(table, limit_place_text(side->limit, t->arena));
    }
    table_print(table, t->out, t->style);
    table_free(table);
    if (t->alike > SHOWN)
        text_printf(t->out, "  and %zu more\n", t->alike - SHOWN);
}

/* How many are told with the k-th. */
static size_t count_alike(const Causes *causes, size_t k)
{
    const CauseKind kind = causes->cause[k].kind;
    size_t alike = 1;
    if (kind != CAUSE_TOO_FEW && kind != CAUSE_NO_CANDIDATE)
        return 1;
    if (k > 0 && causes->cause[k - 1].kind == kind)
        return 0;
    while (k + alike < causes->causes && causes->cause[k + alike].kind == kind)
        alike++;
    return alike;
}

/* Where no cause speaks of them: what may be behind all that is said. */
static void add_stray_commas(const Explain *explain, const Causes *causes, const char *indent, Text *out)
{
    const char *example;
    for (size_t k = 0; k < causes->causes; k++)
        if (causes->cause[k].kind == CAUSE_COMMAS)
            return;
    const size_t cards = causes_stray_commas(explain->instance, &example);
    if (cards > 0)
        text_printf(out,
                    "%s%zu card%s a tag with commas, which is one tag ('%s'): where several are meant, part them "
                    "with ';'.\n",
                    indent, cards, cards == 1 ? " has" : "s have", example);
}

void cause_sentence(const Explain *explain, const Causes *causes, size_t k, Text *out)
{
    Arena *arena = arena_new();
    Text line = {0};
    const Teller t = {explain, &causes->cause[k], count_alike(causes, k), k > 0, "", NULL, &line, arena};
    if (t.alike > 0)
        tell(&t);
    text_add_n(out, text_cstr(&line), line.length > 0 ? line.length - 1 : 0);
    text_release(&line);
    arena_free(arena);
}

void causes_text(const Explain *explain, const Causes *causes, const char *indent, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    add_stray_commas(explain, causes, indent, out);
    for (int limits = 0; limits < 2; limits++) /* all sentences first */
        for (size_t k = 0; k < causes->causes; k++) {
            const Teller t = {explain, &causes->cause[k], count_alike(causes, k), k > 0, indent, style, out, arena};
            if (limits && t.alike > 1)
                add_alike(&t);
            else if (limits)
                add_limits(&t);
            else if (t.alike > 0)
                tell(&t);
            const bool one = t.cause->sides == 1;
            if (!limits && k + 1 == causes->causes && causes->cause[k].rest == REST_POSSIBLE)
                text_printf(out, "%sWithout %s there is a pool: proven.\n", indent,
                            causes->causes > 1                  ? "these"
                            : t.cause->kind == CAUSE_CAP && one ? "the cap"
                                                                : "that");
        }
    arena_free(arena);
}

void nothing_fits_text(const Explained *all, const Style *style, Text *out)
{
    causes_text(all->explain, &all->causes, "", style, out);
    if (all->has_conflict)
        conflict_text(all->explain, &all->conflict, NULL, all->reach, style, out);
    if (all->has_repair)
        repair_text(all->explain, &all->repair, style, out);
    if (all->has_list)
        conflict_list_text(all->explain, &all->list, style, out);
    else
        text_add(out, "There may be further groups: --all lists them and all ways out.\n");
}
