/* why_text.c - why a card is out, or in, for its reader: first the cause in a sentence, then the price, then what would
 * change it. */

#include "programme/count/risk.h"
#include "report/words/history.h"
#include "report/words/explain_words.h"
#include "report/words/limit_words.h"
#include "report/explain_report.h"
#include "report/layout/format.h"

typedef struct {
    bool all_names;
    bool no_names; /* who leaves and enters is told elsewhere */
    const Explain *e;
    const Instance *in;
    const Why *why;
    WhyCause cause;
    const char *name;
    const Style *style;
    Text *out;
    Arena *arena;
} Page;

static const Side *blamed(const Page *p, const Blame *b)
{
    return &p->e->sides->side[b->side];
}

static const char *if_loosened(const Page *p, const Blame *b)
{
    return words_if_loosened(blamed(p, b), b->units.high, b->kind == BLAME_RANGE, p->arena);
}

static void add_least(const Page *p, const char *before)
{
    const Blame *least = p->cause.least;
    text_printf(p->out, "%s%s. %s it would be in.\n", before, words_side(blamed(p, least), p->arena),
                if_loosened(p, least));
}

/* Limits of which some side helps, or of which no side that was asked does: one that may be loosened either way is one.
 */
static size_t count_limits(const Page *p, bool helping)
{
    size_t count = 0;
    for (size_t k = 0; k < p->why->blames; k++) {
        const Blame *b = &p->why->blame[k];
        bool counts = helping ? blame_helps(b) : b->kind == BLAME_NEVER;
        for (size_t i = 0; i < p->why->blames && counts; i++) {
            const Blame *other = &p->why->blame[i];
            const bool alike = helping ? blame_helps(other) : other->kind == BLAME_NEVER;
            if (i != k && blamed(p, other)->limit == blamed(p, b)->limit)
                counts = alike ? i > k : helping;
        }
        count += counts;
    }
    return count;
}

static void add_limits(const Page *p)
{
    const Blame *least = p->cause.least;
    const size_t limits = count_limits(p, true);
    if (limits == 1) {
        text_printf(p->out, "%s is out because of one limit: %s.\n", p->name, words_side(blamed(p, least), p->arena));
        text_printf(p->out, "%s it would be in.\n", if_loosened(p, least));
        return;
    }
    text_printf(p->out, "%s is out because of %zu limits; loosening any one of them would let it in.\n", p->name,
                limits);
    add_least(p, "The least loosening: ");
}

/* Places by which tags count are not asked about: without them fit is counted in another way. */
static const char *but_places(const Page *p)
{
    for (size_t f = 0; f < p->in->forms; f++)
        if (p->in->form[f].kind == FORM_PLACE_FIT)
            return " but the places";
    return "";
}

static void add_others(const Page *p, const char *proof)
{
    text_printf(p->out, "%s is out because other cards bring more fit. %s\n", p->name, proof);
}

static void add_as_good(const Page *p)
{
    text_printf(p->out, "%s is not in this pool, but could be: another pool that is just as good has it.\n", p->name);
}

static void add_impossible(const Page *p)
{
    text_printf(p->out, "%s cannot be in any pool that meets every limit: proven.\n", p->name);
}

/* Of a card that is out, by itself. */
static void add_cause(const Page *p, const LimitReach *reach)
{
    switch (p->cause.kind) {
    case WHY_NO_CANDIDATE:
    case WHY_KEPT:
    case WHY_BANNED:
    case WHY_IN: break;
    case WHY_AS_GOOD: add_as_good(p); break;
    case WHY_IMPOSSIBLE:
        add_impossible(p);
        conflict_text(p->e, &p->why->conflict, p->name, reach, p->style, p->out);
        if (p->cause.least != NULL)
            add_least(p, "The least loosening that lets it in: ");
        break;
    case WHY_LIMITS: add_limits(p); break;
    case WHY_OPEN: add_others(p, "Whether a single limit is the cause was not settled."); break;
    case WHY_OTHERS_NEAR:
        add_others(p, "No single limit is to blame: no small change of one lets it in, proven.");
        break;
    case WHY_OTHERS:
        add_others(p, arena_printf(p->arena, "However far any single limit%s is loosened, it stays out: proven.",
                                   but_places(p)));
        break;
    }
}

static void add_exchange(const Page *p)
{
    if (p->no_names)
        text_add(p->out, ".\n");
    else
        words_add_exchange(p->in, &p->why->exchange, (long)p->why->card, p->all_names, p->style, p->arena, p->out);
}

static int entering_copies(const Exchange *exchange)
{
    int copies = 0;
    for (size_t k = 0; k < exchange->enter_count; k++)
        copies += exchange->enters[k].copies;
    return copies;
}

/* One swap first, where the best pool with the card takes more: it is what one would do by hand. */
static void add_loss(const Page *p)
{
    const Why *why = p->why;
    if (why->impossible || (why->loss.has_high && why->loss.high == 0))
        return;
    if (!why->forced) {
        if (why->loss.has_low && why->loss.low > 0)
            text_printf(p->out, "Forcing it in costs %s fit, if it is possible at all.\n",
                        words_range(&why->loss, p->arena));
        else
            text_add(p->out, "What forcing it in would cost was not found out within the effort.\n");
        return;
    }
    const bool is_one = exchange_changes(&why->exchange) <= 2;
    if (why->one_swap && !is_one) {
        const Single *one = &why->single;
        const char *price = words_single(one, p->arena);
        if (one->card == why->card)
            text_printf(p->out, "One swap: %s in, and nothing out, %s.\n", p->name, price);
        else
            text_printf(p->out, "One swap: %s for %s %s.\n", p->name, p->in->cards->card[one->card].name, price);
        text_printf(p->out, "Rearranging %s costs %s fit", format_cards(p->arena, entering_copies(&why->exchange)),
                    words_range(&why->loss, p->arena));
    } else
        text_printf(p->out, "Forcing it in costs %s fit", words_range(&why->loss, p->arena));
    add_exchange(p);
}

/* A price below the present one, or the present one. */
static void add_cheaper(const Page *p, const char *now)
{
    const Why *why = p->why;
    const char *or_less = why->price_below ? " or less" : "";
    if (range_exact(&why->price))
        text_printf(p->out, "At a price of %s%s (now %s) it would be in by itself.\n",
                    format_money(p->arena, why->price.high), or_less, now);
    else if (why->price.has_low)
        text_printf(p->out, "At a price of %s%s (now %s) it would be in by itself; perhaps already at %s.\n",
                    format_money(p->arena, why->price.low), or_less, now, format_money(p->arena, why->price.high));
    else if (why->price.high < p->in->price[why->card])
        text_printf(p->out,
                    "Between %s and %s (now) it stays out; whether a lower price brings it in was not found out within "
                    "the effort.\n",
                    format_money(p->arena, why->price.high), now);
    else
        text_printf(p->out, "Whether a price below %s would bring it in was not found out within the effort.\n", now);
}

/* A price above the present one: rules ask for a least sum of money. */
static void add_dearer(const Page *p, const char *now)
{
    const Range *dearer = &p->why->dearer;
    if (!dearer->has_high)
        text_printf(p->out, "Whether a price above %s would bring it in was not found out within the effort.\n", now);
    else
        text_printf(p->out, "At %s%s (dearer than now, %s) it would be in%s: a limit asks for a least sum of money.\n",
                    format_money(p->arena, dearer->high), range_exact(dearer) ? "" : ", or already at less", now,
                    p->why->price_never ? " by itself" : " as well");
}

static void add_prices(const Page *p)
{
    const Why *why = p->why;
    const char *now =
        price_known(p->in, why->card) ? format_money(p->arena, p->in->price[why->card]) : "without a price";
    if (!why->price_never)
        add_cheaper(p, now);
    else if (why->price_below)
        text_printf(p->out, "No price would bring it in, not even free (now %s).\n", now);
    else if (why->dearer_never)
        text_printf(p->out, "No price would bring it in, neither as a gift nor a higher one (now %s).\n", now);
    else
        text_printf(p->out, "No lower price would bring it in, not even as a gift (now %s).\n", now);
    if (!why->dearer_never)
        add_dearer(p, now);
    if (p->in->model->has_risk && risk_rise(p->in, why->card) > 0)
        text_printf(p->out, "(Whatever its price, it may rise by another %s, as now.)\n",
                    format_money(p->arena, risk_rise(p->in, why->card)));
}

static void add_thresholds(const Page *p)
{
    const Why *why = p->why;
    if (why->loss.has_high && why->loss.high == 0)
        return;
    if (why->fit_from.has_high) {
        Range from = why->fit_from;
        if (range_exact(&from))
            text_printf(p->out, "With a fit of %s or more (now %s) it would be in by itself.\n",
                        format_number(p->arena, from.high), format_number(p->arena, p->in->fit[why->card]));
        else
            text_printf(p->out, "With a fit of %s or more (now %s) it would be in by itself; perhaps from %s on.\n",
                        format_number(p->arena, from.high), format_number(p->arena, p->in->fit[why->card]),
                        format_number(p->arena, from.low));
    }
    if (why->price_asked)
        add_prices(p);
}

static void add_blame_table(const Page *p, const ExplainView *view)
{
    const Why *why = p->why;
    const size_t helping = p->cause.helping, never = count_limits(p, false);
    size_t open = p->cause.open;
    if (why->blames == 0)
        return;
    static const char *const header[] = {"any one of these would let it in", "now", "loosened by", "set in"};
    Table *table = table_new("llll", header);
    for (size_t k = 0; k < why->blames; k++) {
        const Blame *b = &why->blame[k];
        if (!blame_helps(b))
            continue;
        const Side *side = blamed(p, b);
        table_add(table, side->limit->title);
        table_add(table, words_side_limit(side, p->arena));
        const char *change = words_loosening(side, b->units.high, p->arena);
        table_add(table, b->kind == BLAME_RANGE ? arena_printf(p->arena, "at most %s", change) : change);
        table_add(table, limit_place_text(side->limit, p->arena));
    }
    if (helping > 1)
        table_print(table, p->out, p->style);
    table_free(table);
    if (helping > 0 && never > 0)
        text_printf(p->out, "Loosening %s%zu other limit%s would not help: proven.\n", never == 1 ? "" : "any one of ",
                    never, never == 1 ? "" : "s");
    if (why->impossible && helping == 0 && open == 0)
        text_printf(p->out,
                    "And no single limit%s, however far it is loosened, would bring it into the best pool: proven.\n",
                    but_places(p));
    if (why->far_off > 0)
        text_printf(p->out,
                    "%zu limit%s would have to be loosened by more than a tenth or so, if that helps at all%s.\n",
                    why->far_off, why->far_off == 1 ? "" : "s", view->all_rules ? "" : "; --rules looks further");
    open -= why->far_off;
    if (open > 0)
        text_printf(p->out, "%zu limit%s could not be settled within the effort; %s looks longer.\n", open,
                    open == 1 ? "" : "s", view->all_rules ? "a greater --effort" : "--rules");
    if (!view->all_rules || p->cause.open == 0)
        return;
    for (size_t k = 0; k < why->blames; k++) {
        const Blame *b = &why->blame[k];
        if (b->kind != BLAME_UNKNOWN)
            continue;
        text_printf(p->out, "  not settled: %s", words_side(blamed(p, b), p->arena));
        if (b->units.low > 1)
            text_printf(
                p->out, "; less than %s would not do",
                limit_amount_text(blamed(p, b)->limit, words_units_written(blamed(p, b), b->units.low), p->arena));
        text_add_char(p->out, '\n');
    }
}

static void add_out(const Page *p, const LimitReach *reach, const ExplainView *view)
{
    add_cause(p, reach);
    add_loss(p);
    add_thresholds(p);
    add_blame_table(p, view);
    if (p->why->impossible)
        conflict_list_text(p->e, &p->why->list, p->style, p->out);
}

static const char *set_at(const Page *p)
{
    SourcePos at = p->in->status_at[p->why->card];
    return format_place(p->arena, at);
}

static void add_no_candidate(const Page *p)
{
    text_printf(p->out, "%s takes no part: %s.\n", p->name,
                p->in->skipped[p->why->card] ? "it has no price, and candidates without one are left out"
                                             : "no copy of it may be in");
}

/* Kept or banned: what the user's word costs. A loss below 0 is a gain. */
static void add_said(const Page *p, bool kept)
{
    const Why *why = p->why;
    const char *because = history_because(p->in, why->card);
    const char *const word = !kept ? "ban" : because != NULL ? "trial" : "keep";
    const char *said_at = p->no_names ? "" : arena_printf(p->arena, " (%s)", set_at(p));
    if (because != NULL && kept)
        text_printf(p->out, "%s is in %s%s.\n", p->name, because, said_at);
    else
        text_printf(p->out, "%s is %s because you say so%s%s%s.\n", p->name, kept ? "in" : "out", said_at,
                    because != NULL ? ": " : "", because != NULL ? because : "");
    if (why->impossible) {
        text_printf(p->out, "Without that: no pool that meets the other limits can %s it.\n",
                    kept ? "do without" : "hold");
        return;
    }
    if (why->loss.has_high && why->loss.high < 0) {
        Range gain = {why->loss.has_high, why->loss.has_low, -why->loss.high, -why->loss.low};
        text_printf(p->out, "Your %s costs %s fit", word, words_range(&gain, p->arena));
        if (!p->no_names)
            text_printf(p->out, ". %s the card", kept ? "Without" : "With");
        add_exchange(p);
    } else if (why->loss.has_low && why->loss.low > 0)
        text_printf(p->out, "Your %s costs nothing: %s the card, fit would be %s lower.\n", word,
                    kept ? "without" : "with", words_range(&why->loss, p->arena));
    else if (range_exact(&why->loss))
        text_printf(p->out, "Your %s costs nothing: the best pool %s the card is just as good.\n", word,
                    kept ? "without" : "with");
    else if (why->loss.has_low && why->loss.has_high)
        text_printf(p->out, "What your %s costs is not proven: at most %s fit.\n", word,
                    format_number(p->arena, -why->loss.low));
}

static void add_in(const Page *p)
{
    const Why *why = p->why;
    if (why->impossible) {
        text_printf(p->out, "%s is in, and must be: no pool that meets every limit does without it, proven.\n",
                    p->name);
        return;
    }
    if (range_exact(&why->loss) && why->loss.high == 0) {
        text_printf(p->out, "%s is in, but need not be. A pool without it is just as good", p->name);
        add_exchange(p);
    } else if (why->forced) {
        text_printf(p->out, "%s is in. Without it the best pool has %s less fit", p->name,
                    words_range(&why->loss, p->arena));
        add_exchange(p);
    } else if (why->loss.has_low && why->loss.low > 0)
        text_printf(p->out, "%s is in. Without it at least %s fit is lost.\n", p->name,
                    format_number(p->arena, why->loss.low));
    else
        text_printf(p->out, "%s is in. What would be lost without it was not found out within the effort.\n", p->name);
}

/* Sets of which the card holds a part alone. */
static void add_sets_held(const Page *p)
{
    for (size_t f = 0; f < p->in->forms; f++) {
        const Form *form = &p->in->form[f];
        for (int part = 0; form->kind == FORM_SETS && part < form->parts; part++)
            if (form_part_single(form, p->e->copies, part) == (long)p->why->card)
                text_printf(p->out, "In %s it holds part %d alone.\n", form->name, part + 1);
    }
}

/* What belongs to the card itself, whatever is to blame for its being out. */
static void add_besides(const Page *p)
{
    add_sets_held(p);
    const char *cut = history_cut_text(p->in, p->why->card, p->arena);
    if (cut != NULL)
        text_printf(p->out, "It was %s.\n", cut);
}

static Page page_of(const Explain *e, const Why *why, Text *out)
{
    return (Page){.e = e,
                  .in = e->instance,
                  .why = why,
                  .cause = why_cause(why),
                  .name = e->instance->cards->card[why->card].name,
                  .out = out,
                  .arena = arena_new()};
}

/* Unless the card is out by itself, whose sentences differ. */
static bool add_not_out(const Page *p)
{
    switch (p->cause.kind) {
    case WHY_NO_CANDIDATE: add_no_candidate(p); return true;
    case WHY_KEPT: add_said(p, true); return true;
    case WHY_BANNED: add_said(p, false); return true;
    case WHY_IN: add_in(p); return true;
    case WHY_AS_GOOD:
    case WHY_IMPOSSIBLE:
    case WHY_LIMITS:
    case WHY_OPEN:
    case WHY_OTHERS_NEAR:
    case WHY_OTHERS: break;
    }
    return false;
}

void why_sentences_text(const Explain *e, const Why *why, Text *out)
{
    Page p = page_of(e, why, out);
    p.no_names = true;
    if (!add_not_out(&p)) {
        if (p.cause.kind == WHY_AS_GOOD)
            add_as_good(&p);
        else if (p.cause.kind == WHY_IMPOSSIBLE)
            add_impossible(&p);
        add_loss(&p);
        add_thresholds(&p);
    }
    add_besides(&p);
    arena_free(p.arena);
}

void why_text(const Explain *e, const Why *why, const LimitReach *reach, const ExplainView *view, const Style *style,
              Text *out)
{
    Page p = page_of(e, why, out);
    p.all_names = view->verbose;
    p.style = style;
    if (!add_not_out(&p))
        add_out(&p, reach, view);
    add_besides(&p);
    arena_free(p.arena);
}

const char *why_line(const Explain *e, const Why *why, Arena *arena)
{
    const Instance *in = e->instance;
    if (!why->candidate)
        return in->skipped[why->card] ? "has no price" : "no copy may be in";
    if (why->banned)
        return "you say that it must stay out";
    if (why->impossible) {
        if (why->conflict.found && why->conflict.sides > 0)
            return arena_printf(arena, "no pool can hold it: %s%s",
                                words_side(&e->sides->side[why->conflict.side[0]], arena),
                                why->conflict.sides > 1 ? ", with others" : "");
        return "no pool can hold it";
    }
    if (why->loss.has_high && why->loss.high == 0)
        return "could be in: another pool that is just as good has it";
    const char *cost = why->loss.has_high || (why->loss.has_low && why->loss.low > 0)
                           ? arena_printf(arena, "costs %s fit", words_range(&why->loss, arena))
                       : why->forced ? "what it costs is not known"
                                     : "not looked into here: poolwright why does";
    if (why->blames > 0 && blame_helps(&why->blame[0])) {
        const Side *side = &e->sides->side[why->blame[0].side];
        if (side->limit->kind == LIMIT_SIZE)
            return arena_printf(arena, "%s; in if the pool may have %s%s", cost,
                                why->blame[0].kind == BLAME_RANGE ? "at most " : "",
                                words_loosening(side, why->blame[0].units.high, arena));
        bool given_up = side_is_given_up(side, why->blame[0].units.high);
        return arena_printf(arena, "%s; in if %s%s %s", cost, side->limit->title,
                            given_up                            ? " is"
                            : why->blame[0].kind == BLAME_RANGE ? " gives at most"
                                                                : " gives",
                            given_up ? "given up" : words_loosening(side, why->blame[0].units.high, arena));
    }
    if (why->exchange.leave_count == 1 && why->forced)
        return arena_printf(arena, "%s: instead of %s", cost, in->cards->card[why->exchange.leaves[0].card].name);
    return cost;
}
