/* best_deck.c - see best_deck.h. Columns: copies of cards, then for each side of each limit the units by which it is
 * missed. */
#include "decks/best_deck.h"

#include "base/number.h"

typedef struct {
    const Instance *in;
    Deck *deck;
    size_t *card; /* [cards] candidates that have a column */
    int cards;
    SearchProblem problem;
    int rows;
    int missed_row; /* holds the units missed; loose at first */
    struct {
        int limit;
        bool low;
    } * side; /* [sides], and their columns behind the cards' */
    int sides;
} DeckProblem;

const CardTag *deck_theme_tag(const Instance *in, const DeckAim *aim, size_t theme, size_t card)
{
    const bool plays = aim->theme >= 0 ? (int)theme == aim->theme : (in->model->theme[theme].colours & ~aim->mask) == 0;
    const bool counts = aim->unchosen == NULL || !aim->unchosen[theme];
    return plays && counts ? instance_theme_tag(in, theme, card) : NULL;
}

int64_t deck_worth(const Instance *in, const DeckAim *aim, size_t c)
{
    const Model *model = in->model;
    const Card *card = &in->cards->card[c];
    int128 sum = (int128)(card->has_power ? card->power : model->unscored) * model->power_weight;
    for (size_t t = 0; t < model->themes; t++) {
        const CardTag *tag = deck_theme_tag(in, aim, t, c);
        if (tag != NULL)
            sum += (int128)tag->weight * model->theme[t].weight;
    }
    return (int64_t)round_div(sum, 1000);
}

/* ---- limits ---- */

static void add_limit(Deck *deck, const Rule *rule, const char *of, ColourMask mask, int theme)
{
    deck->limit[deck->limits++] =
        (DeckLimit){.member = {.rule = rule, .of = of, .mask = mask, .theme = theme, .bounds = rule->bounds},
                    .bounds = rule->bounds};
}

static void spread_limits(const Instance *in, Deck *deck)
{
    const Model *model = in->model;
    deck->limit = arena_alloc(deck->arena, 1 + model->deck.rules * (model->colours + 1), sizeof *deck->limit);
    deck->limit[deck->limits++] =
        (DeckLimit){.bounds = {.has_low = true, .has_high = true, .low = model->deck.size, .high = model->deck.size}};
    for (size_t r = 0; r < model->deck.rules; r++) {
        const Rule *rule = &model->rule[model->rules + r];
        switch (rule->each) {
        case EACH_NONE: add_limit(deck, rule, "", 0, -1); break;
        case EACH_COLOUR:
            for (size_t k = 0; k < model->colours; k++)
                if ((deck->aim.mask >> k & 1) != 0)
                    add_limit(deck, rule, model->colour[k], (ColourMask)(1U << k), -1);
            break;
        case EACH_THEME:
            if (deck->aim.theme >= 0)
                add_limit(deck, rule, model->theme[deck->aim.theme].name, model->theme[deck->aim.theme].colours,
                          deck->aim.theme);
            break;
        case EACH_PAIR: break; /* refused where it is read */
        }
    }
}

/* What one copy adds to the limit's sum; false: it takes no part. */
static bool limit_value(const Instance *in, const DeckLimit *limit, size_t card, int64_t *value)
{
    *value = 1;
    if (limit->member.rule == NULL)
        return true;
    return member_counts(in, &limit->member, card) && member_value(in, &limit->member, card, value);
}

static int64_t unit_of(const DeckLimit *limit)
{
    return limit->member.rule == NULL ? 1 : measure_unit(limit->member.rule->measure);
}

/* Counted from the cards, not from rows. */
static void count_limits(const Instance *in, Deck *deck)
{
    for (size_t l = 0; l < deck->limits; l++) {
        DeckLimit *limit = &deck->limit[l];
        for (size_t c = 0; c < in->cards->count; c++) {
            int64_t value = 0;
            if (deck->copies[c] == 0 || !limit_value(in, limit, c, &value))
                continue;
            limit->use += value * deck->copies[c];
            limit->counted += deck->copies[c];
        }
        const int64_t each = limit->bounds.kind == BOUND_AVERAGE ? limit->counted : 1;
        const int64_t below = limit->bounds.has_low ? limit->bounds.low * each - limit->use : 0,
                      above = limit->bounds.has_high ? limit->use - limit->bounds.high * each : 0;
        const int64_t over = below > above ? below : above;
        limit->missed = over > 0 ? (int64_t)ceil_div(over, unit_of(limit)) : 0;
        deck->missed += limit->missed;
    }
}

/* ---- the programme ---- */

static void list_cards(DeckProblem *p, const int *copies)
{
    p->card = mem_new(p->in->cards->count, sizeof *p->card);
    for (size_t c = 0; c < p->in->cards->count; c++)
        if (copies[c] > 0 && colours_playable(&p->in->cards->card[c].colours, p->deck->aim.mask))
            p->card[p->cards++] = c;
}

static int64_t coefficient(const DeckProblem *p, const DeckLimit *limit, bool low, size_t card)
{
    int64_t value = 0;
    if (!limit_value(p->in, limit, card, &value))
        return 0;
    return limit->bounds.kind == BOUND_AVERAGE ? value - (low ? limit->bounds.low : limit->bounds.high) : value;
}

static void list_sides(DeckProblem *p)
{
    p->side = mem_new(2 * p->deck->limits, sizeof *p->side);
    for (size_t l = 0; l < p->deck->limits; l++)
        for (int low = 1; low >= 0; low--) {
            const Bounds *bounds = &p->deck->limit[l].bounds;
            if (low ? !bounds->has_low : !bounds->has_high)
                continue;
            p->side[p->sides].limit = (int)l;
            p->side[p->sides++].low = low;
        }
    p->missed_row = p->sides;
    p->rows = p->sides + 1;
}

/* The units by which the side can be missed at most; no deck holds more cards than its size. */
static int64_t worst_missed(const DeckProblem *p, int s, const int *copies)
{
    const DeckLimit *limit = &p->deck->limit[p->side[s].limit];
    const bool low = p->side[s].low;
    int128 least = 0, most = 0;
    if (limit->member.rule == NULL && !low)
        return 0;
    for (int k = 0; k < p->cards; k++) {
        const int64_t value = coefficient(p, limit, low, p->card[k]);
        *(value < 0 ? &least : &most) += (int128)value * copies[p->card[k]];
    }
    const int64_t end = limit->bounds.kind == BOUND_AVERAGE ? 0 : low ? limit->bounds.low : limit->bounds.high;
    const int128 over = low ? end - least : most - end;
    return over > 0 ? (int64_t)ceil_div(over, unit_of(limit)) : 0;
}

static void fill_card(DeckProblem *p, int k, const int *copies, size_t *entries)
{
    SearchProblem *problem = &p->problem;
    problem->start[k] = *entries;
    problem->high[k] = copies[p->card[k]];
    problem->kind[k] = copies[p->card[k]] == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    for (int s = 0; s < p->sides; s++) {
        const int64_t value = coefficient(p, &p->deck->limit[p->side[s].limit], p->side[s].low, p->card[k]);
        if (value == 0)
            continue;
        problem->row[*entries] = s;
        problem->value[(*entries)++] = value;
    }
}

static void fill_missed(DeckProblem *p, int s, const int *copies, size_t *entries)
{
    SearchProblem *problem = &p->problem;
    const DeckLimit *limit = &p->deck->limit[p->side[s].limit];
    const int column = p->cards + s;
    const bool low = p->side[s].low, average = limit->bounds.kind == BOUND_AVERAGE;
    problem->start[column] = *entries;
    problem->kind[column] = SEARCH_INTEGER;
    problem->high[column] = worst_missed(p, s, copies);
    problem->objective[column] = -1;
    problem->row[*entries] = s;
    problem->value[(*entries)++] = low ? unit_of(limit) : -unit_of(limit);
    problem->row[*entries] = p->missed_row;
    problem->value[(*entries)++] = 1;
    problem->row_low[s] = !low ? SEARCH_MINUS_INFINITY : average ? 0 : limit->bounds.low;
    problem->row_high[s] = low ? SEARCH_PLUS_INFINITY : average ? 0 : limit->bounds.high;
}

/* The first question: as few units missed as can be. */
static void build(DeckProblem *p, const int *copies)
{
    size_t entries = 0;
    const int columns = p->cards + p->sides;
    search_problem_init(&p->problem, columns, p->rows, (size_t)p->sides * ((size_t)p->cards + 2));
    for (int k = 0; k < p->cards; k++)
        fill_card(p, k, copies, &entries);
    for (int s = 0; s < p->sides; s++)
        fill_missed(p, s, copies, &entries);
    p->problem.start[columns] = entries;
    p->problem.row_low[p->missed_row] = SEARCH_MINUS_INFINITY;
    p->problem.row_high[p->missed_row] = SEARCH_PLUS_INFINITY;
}

/* ---- answers ---- */

/* The second question: the most value with so many units missed. */
static void ask_value(const DeckProblem *p, Search *search, int64_t missed)
{
    search_set_row(search, p->missed_row, SEARCH_MINUS_INFINITY, missed);
    for (int k = 0; k < p->cards; k++)
        search_set_objective(search, k, deck_worth(p->in, &p->deck->aim, p->card[k]));
    for (int s = 0; s < p->sides; s++)
        search_set_objective(search, p->cards + s, 0);
}

static void take_deck(const DeckProblem *p, const SearchResult *result)
{
    Deck *deck = p->deck;
    deck->has_deck = true;
    for (int k = 0; k < p->cards; k++) {
        const int copies = (int)result->x[k];
        deck->copies[p->card[k]] = copies;
        deck->cards += copies;
        deck->value += copies * deck_worth(p->in, &deck->aim, p->card[k]);
    }
    deck->bound = deck->value;
    count_limits(p->in, deck);
}

/* One unit less of each side in turn. */
static void find_gains(const DeckProblem *p, Search *search, const SearchOptions *options)
{
    for (int s = 0; s < p->sides; s++) {
        DeckLimit *limit = &p->deck->limit[p->side[s].limit];
        const bool low = p->side[s].low, average = limit->bounds.kind == BOUND_AVERAGE;
        if (limit->member.rule == NULL)
            continue;
        const int64_t end = (average ? 0
                             : low   ? limit->bounds.low
                                     : limit->bounds.high) +
                            (low ? -unit_of(limit) : unit_of(limit));
        search_set_row(search, s, low ? end : SEARCH_MINUS_INFINITY, low ? SEARCH_PLUS_INFINITY : end);
        SearchResult result;
        search_run(search, options, &result);
        if (result.status == SEARCH_BEST) {
            const int64_t gain = result.value - p->deck->value;
            limit->low_side = gain > limit->gain ? low : limit->low_side;
            limit->gain = gain > limit->gain ? gain : limit->gain;
            limit->gain_known = true;
        }
        search_result_release(&result);
        search_set_row(search, s, p->problem.row_low[s], p->problem.row_high[s]);
    }
}

static void find_worst(Deck *deck)
{
    deck->hurts = -1;
    for (size_t l = 0; l < deck->limits; l++) {
        const DeckLimit *limit = &deck->limit[l], *worst = deck->hurts < 0 ? NULL : &deck->limit[deck->hurts];
        const bool hurts = limit->missed > 0 || limit->gain > 0;
        if (hurts && (worst == NULL || limit->missed > worst->missed ||
                      (limit->missed == worst->missed && limit->gain > worst->gain)))
            deck->hurts = (long)l;
    }
}

static bool solve(DeckProblem *p, bool with_gains, const SearchOptions *asked, const char **why)
{
    Search *search = search_new(&p->problem);
    SearchOptions options = *asked;
    SearchResult result;
    options.gap_ppm = 0;
    options.eager = 0;
    options.start = NULL;
    search_run(search, &options, &result);
    const bool least = result.status == SEARCH_BEST, found = result.has_solution;
    const int64_t missed = found ? -result.value : 0;
    *why = result.why_failed;
    search_result_release(&result);
    if (found) {
        ask_value(p, search, missed);
        search_run(search, &options, &result);
        *why = result.why_failed;
        if (result.has_solution)
            take_deck(p, &result);
        p->deck->proven = least && result.status == SEARCH_BEST;
        if (result.has_solution)
            p->deck->bound = result.bound;
        if (result.has_solution && p->deck->missed > missed)
            *why = "the deck found does not keep its rules";
        search_result_release(&result);
        if (with_gains && p->deck->proven && missed == 0)
            find_gains(p, search, &options);
        find_worst(p->deck);
    }
    search_free(search);
    return *why == NULL;
}

bool deck_find(const Instance *in, const int *copies, const DeckAim *aim, bool with_gains, const SearchOptions *options,
               Deck *deck, const char **why)
{
    *deck = (Deck){.arena = arena_new(), .aim = *aim, .hurts = -1};
    deck->copies = arena_alloc(deck->arena, in->cards->count, sizeof *deck->copies);
    DeckProblem p = {.in = in, .deck = deck};
    spread_limits(in, deck);
    list_cards(&p, copies);
    list_sides(&p);
    build(&p, copies);
    *why = search_problem_trouble(&p.problem);
    const bool good = *why == NULL && solve(&p, with_gains, options, why);
    search_problem_release(&p.problem);
    mem_free(p.side);
    mem_free(p.card);
    return good;
}

void deck_release(Deck *deck)
{
    arena_free(deck->arena);
    *deck = (Deck){0};
}
