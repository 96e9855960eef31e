/* equals.c - see equals.h.
 *
 * A lexicographic programme, solved objective by objective with the earlier ones held fixed as rows (H. Isermann,
 * "Linear lexicographic optimization", OR Spektrum 4, 1982): fit, money, changes. Before each step the relaxation says,
 * by reduced costs, which columns can differ at all among pools of this fit; they are few, and fewer once the money is
 * fixed too. A step's tree looks for all pools that are as good as its best, not for one: most often they are very few,
 * and compared with each other they settle the later steps, whose trees would prove the same again. Names are an
 * objective as well: in blocks of cards whose columns can still differ, each card is worth more than all later ones of
 * its block together, in whole numbers. A block that is settled is fixed, and the next one follows. All of this is for
 * pools that the search which proved the fit could not settle itself (equals_search.c). */
#include "programme/equals/equals.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "programme/count/checker.h"
#include "programme/equals/equals_inner.h"

#define STEP_EFFORT 100000         /* pivots of one step: half a second or so */
#define PROOF_TIMES 20             /* as much where the best itself is asked for */
#define TREE_SHARE 4               /* a quarter of the effort is left to the search */
#define MANY_SHARE 3               /* of the effort is what is tried then */
#define AFTER_OPEN 5               /* once a step is open, later ones get one part in so many */
#define HARD 20000                 /* pivots for a fit proven best, from where on the steps would not end either */
#define BLOCK (INT64_C(1) << 20)   /* ways in which the cards of a block can be in */
#define LARGEST (INT64_C(1) << 40) /* coefficient that the search takes */
#define AGAIN 3                    /* times that more fit may come up */

static bool is_possible(const Equals *e)
{
    int64_t value;
    return search_problem_trouble(e->rows.problem) == NULL && search_feasible(e->rows.problem, e->x, &value);
}

/* ---- objectives ---- */

/* The greatest common divisor of the open columns' fit, and the greatest of these divided by it. */
static void fit_grain(const SearchProblem *p, int64_t *grain, int64_t *most)
{
    int64_t largest = 0;
    *grain = 0;
    for (int j = 0; j < p->columns; j++) {
        if (p->low[j] == p->high[j] || p->objective[j] == 0)
            continue;
        const int64_t size = p->objective[j] < 0 ? -p->objective[j] : p->objective[j];
        *grain = gcd64(*grain, size);
        largest = size > largest ? size : largest;
    }
    *grain = *grain > 0 ? *grain : 1;
    *most = largest / *grain;
}

/* What the step's own objective, e->own, can change at most. */
static int128 own_span(const Equals *e)
{
    const SearchProblem *p = e->rows.problem;
    int128 span = 0;
    for (int j = 0; j < p->columns; j++) {
        const int128 size = e->own[j] < 0 ? -(int128)e->own[j] : e->own[j];
        span += size * (p->high[j] - p->low[j]);
    }
    return span;
}

/* Loads the step's own objective, with the fit as a row; or fit itself, each grain of it worth more than all that the
 * own objective can change, where the numbers allow. */
static void load_objective(Equals *e, bool with_fit)
{
    const SearchProblem *p = e->rows.problem;
    int64_t grain, most;
    if (e->search == NULL)
        e->search = search_new(p);
    fit_grain(p, &grain, &most);
    const int128 worth = own_span(e) + 1;
    const bool together = with_fit && worth * (most + 1) <= LARGEST;
    for (int j = 0; j < p->columns; j++) {
        const bool open = p->low[j] < p->high[j];
        const int64_t fit = together && open ? (int64_t)worth * (p->objective[j] / grain) : 0;
        search_set_column(e->search, j, p->low[j], p->high[j]);
        search_set_objective(e->search, j, open ? e->own[j] + fit : 0);
    }
    search_set_row(e->search, e->rows.fit_row, together ? SEARCH_MINUS_INFINITY : e->fit,
                   together ? SEARCH_PLUS_INFINITY : e->fit);
    search_set_row(e->search, e->rows.cost_row, p->row_low[e->rows.cost_row], p->row_high[e->rows.cost_row]);
    if (e->in->has_present)
        search_set_row(e->search, e->rows.change_row, p->row_low[e->rows.change_row], p->row_high[e->rows.change_row]);
}

/* ---- steps ---- */

static int64_t step_effort(const Equals *e)
{
    const int64_t usual = e->options->gap_ppm > 0 || e->hard ? STEP_EFFORT : STEP_EFFORT * PROOF_TIMES;
    const int64_t effort = e->options->effort > 0 && e->options->effort < usual ? e->options->effort : usual;
    return e->open || e->hard ? effort / AFTER_OPEN : effort;
}

void equals_take(Equals *e, const int64_t *found)
{
    PoolCheck check;
    int64_t value;
    int *copies = mem_new(e->in->cards->count, sizeof *copies);
    int64_t *full = mem_new((size_t)e->rows.problem->columns + 1, sizeof *full);
    programme_copies(e->programme, found, copies);
    pool_check(e->in, copies, &check);
    equals_rows_point(&e->rows, copies, full);
    e->more_fit = check.kept && check.fit > e->fit;
    const bool full_is_good = e->more_fit || search_feasible(e->rows.problem, full, &value);
    memcpy(e->x, full_is_good ? full : found, (size_t)e->rows.problem->columns * sizeof *e->x);
    pool_check_release(&check);
    mem_free(copies);
    mem_free(full);
}

/* Searches for more of the step's own objective than x has, by up to *left pivots. True: there is none, proven. */
static bool improve(Equals *e, bool with_fit, int64_t *left)
{
    SearchOptions options = *e->options;
    SearchResult result;
    if (*left <= 0 || search_cancelled(e->options))
        return false;
    options.gap_ppm = 0;
    options.eager = 0;
    options.effort = *left;
    options.start = e->x;
    options.known_bound = SEARCH_PLUS_INFINITY;
    options.target = SEARCH_MINUS_INFINITY;
    options.progress = NULL;
    load_objective(e, with_fit);
    search_run(e->search, &options, &result);
    *left -= result.statistics.pivots + 1;
    e->pivots += result.statistics.pivots;
    if (result.has_solution)
        equals_take(e, result.x);
    const bool proven = result.status == SEARCH_BEST && !e->more_fit;
    search_result_release(&result);
    return proven;
}

/* The row's sum, times sign, as the step's own objective, in its smallest whole numbers. False: nothing can differ. */
static bool weigh_row(Equals *e, int row, int sign)
{
    const SearchProblem *p = e->rows.problem;
    int64_t divisor = 0;
    memset(e->own, 0, (size_t)p->columns * sizeof *e->own);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == row && p->low[j] < p->high[j]) {
                e->own[j] = sign * p->value[k];
                divisor = gcd64(divisor, p->value[k]);
            }
    for (int j = 0; j < p->columns && divisor != 0; j++)
        e->own[j] /= divisor;
    return divisor != 0;
}

/* The row's sum, times sign, made as great as it can be and then fixed. True: proven. */
static bool settle_row(Equals *e, int row, int sign, bool with_fit)
{
    SearchProblem *p = e->rows.problem;
    int64_t left = step_effort(e), sum = 0;
    const int64_t before = e->pivots;
    equals_narrow_fit(e);
    bool proven = !weigh_row(e, row, sign) || equals_by_tree(e, left - left / TREE_SHARE);
    left -= e->pivots - before;
    if (equals_open_columns(p) > EQUALS_MANY && left > step_effort(e) / MANY_SHARE)
        left = step_effort(e) / MANY_SHARE;
    proven = proven || (!e->more_fit && improve(e, with_fit, &left));
    if (e->more_fit)
        return false;
    e->open = e->open || !proven;
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            sum += p->row[k] == row ? p->value[k] * e->x[j] : 0;
    p->row_low[row] = p->row_high[row] = sum;
    return proven;
}

static int64_t column_range(const Equals *e, int column)
{
    return column < 0 ? 0 : e->rows.problem->high[column] - e->rows.problem->low[column];
}

static int64_t copies_range(const Equals *e, size_t c)
{
    return column_range(e, e->rows.card[c].first) + column_range(e, e->rows.card[c].second);
}

static void weigh(Equals *e, int column, int64_t weight)
{
    if (column >= 0)
        e->own[column] = weight;
}

static void fix(Equals *e, int column)
{
    if (column < 0)
        return;
    e->rows.problem->low[column] = e->rows.problem->high[column] = e->x[column];
}

/* The cards from..to - 1, each worth more than all that follow. False: not proven. */
static bool settle_block(Equals *e, size_t from, size_t to, int64_t ways, int64_t *left)
{
    bool at_most = true; /* no card of it could have more copies */
    for (size_t c = from; c < to; c++) {
        const CardColumns *card = &e->rows.card[c];
        ways /= copies_range(e, c) + 1;
        weigh(e, card->first, ways);
        weigh(e, card->second, ways);
        at_most = at_most && (card->first < 0 || e->x[card->first] == e->rows.problem->high[card->first]) &&
                  (card->second < 0 || e->x[card->second] == e->rows.problem->high[card->second]);
    }
    const bool proven = at_most || improve(e, true, left);
    for (size_t c = from; c < to && proven; c++) {
        const CardColumns *card = &e->rows.card[c];
        weigh(e, card->first, 0);
        weigh(e, card->second, 0);
        fix(e, card->first);
        fix(e, card->second);
    }
    return proven;
}

static bool settle_names(Equals *e)
{
    const size_t cards = e->in->cards->count;
    int64_t left = step_effort(e);
    equals_narrow_fit(e);
    memset(e->own, 0, (size_t)e->rows.problem->columns * sizeof *e->own);
    for (size_t from = 0, to; from < cards; from = to) {
        int64_t ways = copies_range(e, from) + 1;
        for (to = from + 1; to < cards && ways <= BLOCK / (copies_range(e, to) + 1); to++)
            ways *= copies_range(e, to) + 1;
        if (ways > 1 && !settle_block(e, from, to, ways, &left))
            return false;
    }
    return true;
}

/* ---- */

static void release(Equals *e)
{
    search_free(e->search);
    equals_rows_release(&e->rows);
    mem_free(e->x);
    mem_free(e->own);
}

/* One pass over the steps. True: more fit came up, copies have it. */
static bool pass(const Programme *programme, const SearchOptions *options, bool hard, int *copies, AmongEquals *among)
{
    const Instance *in = programme->instance;
    PoolCheck check;
    pool_check(in, copies, &check);
    Equals e = {.programme = programme, .in = in, .options = options, .hard = hard, .fit = check.fit};
    pool_check_release(&check);
    equals_rows_init(&e.rows, programme, e.fit);
    e.x = mem_new((size_t)e.rows.problem->columns + 1, sizeof *e.x);
    e.own = mem_new((size_t)e.rows.problem->columns + 1, sizeof *e.own);
    equals_rows_point(&e.rows, copies, e.x);
    if (is_possible(&e)) {
        among->cost = settle_row(&e, e.rows.cost_row, -1, false);
        among->changes = !in->has_present || e.settled || (!e.more_fit && settle_row(&e, e.rows.change_row, 1, true));
        among->names = e.settled || (!e.more_fit && settle_names(&e));
        programme_copies(programme, e.x, copies);
        among->pivots += e.pivots;
    }
    const bool more_fit = e.more_fit;
    release(&e);
    return more_fit;
}

EqualsSource equals_source(const Programme *programme, Search *search, const SearchResult *result)
{
    const bool near =
        result->status == SEARCH_BEST || (result->status == SEARCH_WITHIN_GAP && programme_at_risk(programme));
    return (EqualsSource){.search = search,
                          .best = result->x,
                          .proven = result->status == SEARCH_BEST,
                          .pivots = result->statistics.pivots,
                          .columns = programme->problem.columns,
                          .cap_row = near ? programme_cap_row(programme) : -1};
}

void equals_find(const Programme *programme, const SearchOptions *options, const EqualsSource *source, int *copies,
                 AmongEquals *among)
{
    int64_t pivots = 0;
    *among = (AmongEquals){.changes = !programme->instance->has_present};
    if (search_cancelled(options))
        return;
    if (source != NULL && source->cap_row >= 0 && equals_by_search(programme, options, source, copies, &pivots)) {
        *among = (AmongEquals){.cost = true, .changes = true, .names = true, .fit = true, .pivots = pivots};
        return;
    }
    among->pivots = pivots;
    const bool hard = options->gap_ppm == 0 && source != NULL && source->cap_row >= 0 && source->pivots > HARD;
    for (int k = 0; k < AGAIN && pass(programme, options, hard, copies, among); k++)
        *among = (AmongEquals){.changes = !programme->instance->has_present, .pivots = among->pivots};
}
