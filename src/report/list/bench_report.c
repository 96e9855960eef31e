/* bench_report.c - a section of a pool as text: what it comes to, who is in, who is next in line. */
#include "report/list/bench_report.h"

#include "base/number.h"
#include "programme/count/risk.h"
#include "report/whatif_report.h"
#include "report/layout/format.h"
#include "report/words/money.h"

#define NEXT_SHOWN 10
#define WISHES_SHOWN 5

static const char *const cost_words[CURVE_COSTS] = {"0-1", "2", "3", "4", "5", "6+", "none"};

static const char *name_of(const BenchView *v, size_t card)
{
    return v->instance->cards->card[card].name;
}

static const char *change(Arena *arena, int64_t value, bool money)
{
    const char *text = money ? format_money(arena, value) : format_number(arena, value);
    return value > 0 ? arena_printf(arena, "+%s", text) : text;
}

static const char *cost_text(const Card *card, Arena *arena)
{
    return card->has_cost ? format_number(arena, card->cost) : "-";
}

static const char *role_words(Role role)
{
    return role == ROLE_NONE ? "-" : role_name(role);
}

/* ---- what it comes to ---- */

static const LimitUse *use_of_cap(const BenchView *v)
{
    const PoolCheck *check = &v->answer->check;
    for (size_t u = 0; u < check->uses; u++)
        if (check->use[u].limit->kind == LIMIT_CAP)
            return &check->use[u];
    return NULL;
}

int64_t bench_left(const BenchView *v)
{
    const LimitUse *cap = use_of_cap(v);
    return cap == NULL ? 0 : limit_use_slack(cap);
}

int64_t bench_share_of_left(const BenchView *v)
{
    const PoolCheck *check = &v->answer->check;
    return check->size == 0 ? 0 : (int64_t)floor_div((int128)bench_left(v) * v->bench->all.copies, check->size);
}

static void add_total(const BenchView *v, Arena *arena, Text *out)
{
    const Instance *in = v->instance;
    const PoolCheck *check = &v->answer->check;
    const BenchPart *all = &v->bench->all;
    text_printf(out, "%s: %s of %s in the pool (%s)", v->section->name, format_count(arena, all->copies),
                format_cards(arena, check->size), format_share(arena, all->copies, check->size));
    if (check->cost > 0)
        text_printf(out, ", %s of the %s to buy it (%s)", format_money(arena, all->money),
                    format_money(arena, check->cost), format_share(arena, all->money, check->cost));
    text_add(out, ".\n");
    if (!in->model->has_cap)
        return;
    const LimitUse *cap = use_of_cap(v);
    const bool rises = cap != NULL && cap->is_protected && cap->protected_total > cap->total;
    const char *after = rises ? " after the rises it is protected from" : "";
    if (bench_left(v) <= 0)
        text_printf(out, "Nothing is left under the cap%s.\n", after);
    else
        text_printf(out, "%s is left under the cap%s; the section's share of it, by its cards, is %s.\n",
                    format_money(arena, bench_left(v)), after, format_money(arena, bench_share_of_left(v)));
}

/* ---- what is in ---- */

static void add_part(const BenchPart *part, const char *word, const bool *shown, Table *table, Arena *arena)
{
    table_add(table, word);
    table_addf(table, "%d", part->copies);
    for (int k = 0; k < CURVE_COSTS; k++)
        if (shown[k])
            table_add(table, part->cost[k] > 0 ? format_count(arena, part->cost[k]) : "-");
    table_add(table, part->cost_cards == 0 ? "-"
                                           : format_money(arena, (int64_t)round_div((int128)part->cost_sum,
                                                                                    10 * (int64_t)part->cost_cards)));
    table_add(table, format_money(arena, part->money));
}

/* By role and cost; a column without a card only where all costs have one. */
static void add_curve(const BenchView *v, const Style *style, Arena *arena, Text *out)
{
    static const Role order[] = {ROLE_ENABLER, ROLE_PAYOFF, ROLE_BOTH, ROLE_NONE};
    static const char *const word[] = {"no role", "enablers", "payoffs", "both"};
    const Bench *b = v->bench;
    const char *header[CURVE_COSTS + 4] = {"cost", "cards"};
    bool shown[CURVE_COSTS];
    size_t columns = 2, parts = 0;
    for (int k = 0; k < CURVE_COSTS; k++) {
        shown[k] = k < CURVE_COSTS - 1 || b->all.cost[k] > 0;
        if (shown[k])
            header[columns++] = cost_words[k];
    }
    header[columns++] = "average";
    header[columns++] = "money";
    style_heading(out, style, "In, by role and cost");
    Table *table = table_new(columns == CURVE_COSTS + 4 ? "lrrrrrrrrrr" : "lrrrrrrrrr", header);
    for (size_t k = 0; k < BENCH_ROLES; k++)
        if (b->role[order[k]].copies > 0) {
            add_part(&b->role[order[k]], word[order[k]], shown, table, arena);
            parts++;
        }
    if (parts != 1)
        add_part(&b->all, "all", shown, table, arena);
    table_print(table, out, style);
    table_free(table);
}

static void add_names(const BenchView *v, const Style *style, Arena *arena, Text *out)
{
    static const char *const header[] = {"in", "copies", "role", "cost", "fit", "price"};
    style_heading(out, style, "In, card by card");
    Table *table = table_new("clrrrr", header);
    for (size_t k = 0; k < v->bench->ins; k++) {
        const size_t c = v->bench->in[k];
        table_add(table, name_of(v, c));
        table_addf(table, "%d", v->answer->copies[c]);
        table_add(table, role_words(section_role(v->instance, v->section, c)));
        table_add(table, cost_text(&v->instance->cards->card[c], arena));
        table_add(table, format_number(arena, v->instance->fit[c]));
        table_add(table, price_text(v->instance, c, arena));
    }
    table_print(table, out, style);
    table_free(table);
}

/* ---- who is next ---- */

static const char *instead_of(const BenchView *v, const InLine *next)
{
    return !next->found ? "no single card" : next->swap.card == next->card ? "nothing" : name_of(v, next->swap.card);
}

/* Where no candidate of the section has room for a copy more. */
static const char *nobody_because(const BenchView *v)
{
    size_t cards = 0, banned = 0;
    for (size_t c = 0; c < v->instance->cards->count; c++)
        if (section_holds(v->instance, v->section, c)) {
            cards++;
            banned += v->answer->copies[c] == 0;
        }
    return cards == 0 ? "it has no candidates" : banned > 0 ? "all that may be in are in" : "every candidate is in";
}

static void add_next(const BenchView *v, bool full, const Style *style, Arena *arena, Text *out)
{
    static const char *const header[] = {"in", "role", "cost", "price", "fit", "money", "instead of"};
    const Bench *b = v->bench;
    style_heading(out, style, "Next in line");
    if (b->nexts == 0) {
        text_printf(out, "  nobody: %s\n", nobody_because(v));
        return;
    }
    const size_t most = full ? b->nexts : b->found < NEXT_SHOWN ? b->found : NEXT_SHOWN;
    Table *table = table_new("cLrRrrc", header);
    for (size_t k = 0; k < most; k++) {
        const InLine *next = &b->next[k];
        table_add(table, name_of(v, next->card));
        table_add(table, role_words(section_role(v->instance, v->section, next->card)));
        table_add(table, cost_text(&v->instance->cards->card[next->card], arena));
        table_add(table, price_text(v->instance, next->card, arena));
        table_add(table, next->found ? change(arena, next->swap.fit_change, false) : "");
        table_add(table, next->found ? change(arena, next->swap.cost_change, true) : "");
        table_add(table, instead_of(v, next));
    }
    if (most > 0)
        table_print(table, out, style);
    table_free(table);
    if (b->found > most)
        text_printf(out, "  and %zu more: --full shows them\n", b->found - most);
    if (b->nexts > b->found)
        text_printf(out, "  %s can come in for no single card; `why CARD` says what it would take\n",
                    format_cards(arena, (int64_t)(b->nexts - b->found)));
}

static const InLine *in_line(const Bench *b, size_t card)
{
    for (size_t k = 0; k < b->nexts; k++)
        if (b->next[k].card == card)
            return &b->next[k];
    return NULL;
}

static void add_wishes(const BenchView *v, bool full, const Style *style, Arena *arena, Text *out)
{
    const Bench *b = v->bench;
    size_t told = 0;
    if (b->wishes == 0)
        return;
    style_heading(out, style, "Wishes");
    for (size_t k = 0; k < b->wishes && (full || told < WISHES_SHOWN); k++, told++) {
        const size_t c = b->wish[k];
        const InLine *next = in_line(b, c);
        text_printf(out, "  %s: ", name_of(v, c));
        if (v->answer->copies[c] > 0)
            text_add(out, "in\n");
        else if (next == NULL)
            text_add(out, "out; it takes no part\n");
        else if (!next->found)
            text_add(out, "out; no single card makes room for it\n");
        else
            text_printf(out, "out; for %s fit %s, money %s\n", instead_of(v, next),
                        change(arena, next->swap.fit_change, false), change(arena, next->swap.cost_change, true));
    }
    if (told < b->wishes)
        text_printf(out, "  and %zu more: --full shows them\n", b->wishes - told);
}

static void add_dear(const BenchView *v, const Style *style, Arena *arena, Text *out)
{
    if (v->bench->dears == 0)
        return;
    NameList list;
    style_heading(out, style, "Dearest to buy");
    name_list_begin(&list, "", v->bench->dears, style, out);
    for (size_t k = 0; k < v->bench->dears; k++)
        name_list_add(&list, arena_printf(arena, "%s %s", name_of(v, v->bench->dear[k]),
                                          price_text(v->instance, v->bench->dear[k], arena)));
    name_list_end(&list);
}

/* ---- what is settled ---- */

static const char *each(Arena *arena, int64_t money, int64_t places)
{
    return places == 0 ? ""
                       : arena_printf(arena, ", %s a place", format_money(arena, (int64_t)floor_div(money, places)));
}

static void add_settle(const BenchView *v, Arena *arena, Text *out)
{
    const Settle *s = v->settle;
    const bool proven = s->has_low && s->low == s->high;
    text_printf(out, "\nSettled: %s stay%s and cost%s %s.\n", format_cards(arena, s->copies), s->copies == 1 ? "s" : "",
                s->copies == 1 ? "s" : "", format_money(arena, s->money));
    if (s->open == 0) {
        text_add(out, "That is the whole pool.\n");
        return;
    }
    text_printf(out, "The other %s of the pool cost%s at least %s%s",
                s->open == 1 ? "place" : arena_printf(arena, "%s places", format_count(arena, s->open)),
                s->open == 1 ? "s" : "",
                format_money(arena, proven                     ? s->high
                                    : s->has_low && s->low > 0 ? s->low
                                                               : 0),
                proven ? ": proven, within every limit.\n" : "");
    if (!proven)
        text_printf(out, "; the cheapest way found costs %s, and whether that is the least was not proven.\n",
                    format_money(arena, s->high));
    if (!v->instance->model->has_cap)
        return;
    const int64_t left = instance_cap_left(v->instance) - s->money;
    text_printf(out, "The cap leaves %s for %s%s%s", format_money(arena, left), s->open == 1 ? "it" : "them",
                each(arena, left, s->open),
                risk_protects(v->instance, NULL) ? ", with what prices may rise by in it" : "");
    if (s->high > 0)
        text_printf(out, "; %s more than %s%s", format_money(arena, left - s->high), proven ? "the least" : "that",
                    each(arena, left - s->high, s->open));
    text_add(out, ".\n");
}

void bench_text(const BenchView *v, bool full, const char *written, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    add_total(v, arena, out);
    if (v->settle != NULL)
        add_settle(v, arena, out);
    else {
        add_curve(v, style, arena, out);
        add_next(v, full, style, arena, out);
        add_wishes(v, full, style, arena, out);
        add_dear(v, style, arena, out);
        if (full && v->bench->ins > 0)
            add_names(v, style, arena, out);
    }
    if (written != NULL)
        text_printf(out, "\n%s\n",
                    arena_printf(arena,
                                 v->settle != NULL ? "%s keeps them: name it among the scenario's `tags`."
                                                   : "The section is in %s.",
                                 written));
    arena_free(arena);
}
