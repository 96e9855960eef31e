/* equals.c - see equals.h.
 *
 * A lexicographic programme, solved objective by objective with the earlier ones held fixed as rows (H. Isermann,
 * "Linear lexicographic optimization", OR Spektrum 4, 1982): fit, money, changes. Before each step the relaxation says,
 * by reduced costs, which columns can differ at all among pools of this fit; they are few, and fewer once the money is
 * fixed too. A step's tree looks for all pools that are as good as its best, not for one: most often they are very few,
 * and compared with each other they settle the later steps, whose trees would prove the same again. Names are an
 * objective as well: in blocks of cards whose columns can still differ, each card is worth more than all later ones of
 * its block together, in whole numbers. A block that is settled is fixed, and the next one follows. */
#include "programme/equals.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "programme/checker.h"
#include "programme/equals_part.h"
#include "programme/equals_rows.h"
#include "search/attain.h"

#define STEP_EFFORT 100000         /* pivots of one step: half a second or so */
#define PROOF_TIMES 20             /* as much where the best itself is asked for */
#define FIT_ROUNDS 2               /* of relaxations of fit, with more cuts, to narrow the columns */
#define OWN_ROUNDS 3               /* of cuts for a step's own objective */
#define FIRST_LIMIT 3000           /* pivots of a step's first tree; a later one, from a better pool, may take more */
#define MORE 3                     /* so many times */
#define TREE_SHARE 4               /* a quarter of the effort is left to the search */
#define MANY 450                   /* columns that are open: a tree comes to no end, so it is not tried for long */
#define MANY_SHARE 3               /* of the effort is what is tried then */
#define AFTER_OPEN 5               /* once a step is open, later ones get one part in so many */
#define MOST_EQUALS 16             /* pools that are compared with each other */
#define FEW 24                     /* columns that are open: no more cuts for them */
#define BLOCK (INT64_C(1) << 20)   /* ways in which the cards of a block can be in */
#define LARGEST (INT64_C(1) << 40) /* coefficient that the search takes */
#define AGAIN 3                    /* times that more fit may come up */

typedef struct {
    const Programme *programme;
    const Instance *in;
    const SearchOptions *options;
    EqualsRows rows;
    Search *search; /* NULL as long as none was needed */
    int64_t *x;     /* [problem.columns] the first pool so far */
    int64_t *own;   /* [problem.columns] what the step makes as great as it can be, besides fit */
    int64_t fit;
    int64_t pivots;
    bool more_fit; /* x has more than `fit` */
    bool settled;  /* x is the first of all, proven */
    bool open;     /* what a step makes of it is not proven */
} Equals;

static bool is_possible(const Equals *e)
{
    int64_t value;
    return search_problem_trouble(e->rows.problem) == NULL && search_feasible(e->rows.problem, e->x, &value);
}

/* ---- which columns can differ ---- */

static int open_columns(const SearchProblem *p)
{
    int open = 0;
    for (int j = 0; j < p->columns; j++)
        open += p->low[j] < p->high[j];
    return open;
}

/* The problem's box becomes what points of at least `wanted` can have by this relaxation, which gets so many cuts. */
static void narrow(Equals *e, Attain *attain, SearchProblem *p, int64_t wanted, int rounds)
{
    for (int round = 0; round < rounds && open_columns(p) > FEW; round++) {
        if (round > 0)
            attain_strengthen(attain, e->options->cancel, &e->pivots);
        attain_bound(attain, p->low, p->high, e->options->cancel, &e->pivots);
        if (!attain_tighten(attain, wanted, p->low, p->high))
            break;
    }
}

/* The same for pools of this fit, as the rows are now. */
static void narrow_fit(Equals *e)
{
    SearchProblem *p = e->rows.problem;
    p->row_low[e->rows.fit_row] = SEARCH_MINUS_INFINITY; /* it is the objective here */
    p->row_high[e->rows.fit_row] = SEARCH_PLUS_INFINITY;
    Attain *attain = attain_new(p);
    p->row_low[e->rows.fit_row] = p->row_high[e->rows.fit_row] = e->fit;
    narrow(e, attain, p, e->fit, FIT_ROUNDS);
    attain_free(attain);
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
    const int64_t usual = e->options->gap_ppm > 0 ? STEP_EFFORT : STEP_EFFORT * PROOF_TIMES;
    const int64_t effort = e->options->effort > 0 && e->options->effort < usual ? e->options->effort : usual;
    return e->open ? effort / AFTER_OPEN : effort;
}

static bool is_cancelled(const Equals *e)
{
    return e->options->cancel != NULL && *e->options->cancel != 0;
}

/* What was found becomes x, with the values that give most. */
static void take(Equals *e, const int64_t *found)
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
    if (*left <= 0 || is_cancelled(e))
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
        take(e, result.x);
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

static int64_t own_value(const Equals *e)
{
    int64_t value = 0;
    for (int j = 0; j < e->rows.problem->columns; j++)
        value += e->own[j] * e->x[j];
    return value;
}

static int64_t changes_of(const Equals *e, const int *copies)
{
    int64_t changes = 0;
    for (size_t c = 0; c < e->in->cards->count && e->in->has_present; c++)
        changes += copies[c] > e->in->present[c] ? copies[c] - e->in->present[c] : e->in->present[c] - copies[c];
    return changes;
}

/* By changes, then by names: a before b. */
static bool comes_first(const Equals *e, const int *a, const int *b)
{
    const int64_t less = changes_of(e, a) - changes_of(e, b);
    size_t c = 0;
    while (c + 1 < e->in->cards->count && a[c] == b[c])
        c++;
    return less != 0 ? less < 0 : a[c] > b[c];
}

static void take_first(Equals *e, const EqualsPart *part, const BoxSearch *search)
{
    const size_t cards = e->in->cards->count, columns = (size_t)e->rows.problem->columns;
    int *best = mem_new(cards + 1, sizeof *best), *copies = mem_new(cards + 1, sizeof *copies);
    int64_t *first = mem_new(columns + 1, sizeof *first), *full = mem_new(columns + 1, sizeof *full);
    for (size_t k = 0; k < search->equals; k++) {
        equals_part_point(part, e->rows.problem, search->equal[k], full);
        programme_copies(e->programme, full, copies);
        if (k > 0 && !comes_first(e, copies, best))
            continue;
        memcpy(best, copies, cards * sizeof *best);
        memcpy(first, full, columns * sizeof *first);
    }
    take(e, first);
    mem_free(best);
    mem_free(copies);
    mem_free(first);
    mem_free(full);
}

static bool *card_columns(const Equals *e)
{
    bool *is = mem_new((size_t)e->rows.problem->columns + 1, sizeof *is);
    for (size_t c = 0; c < e->in->cards->count; c++) {
        if (e->rows.card[c].first >= 0)
            is[e->rows.card[c].first] = true;
        if (e->rows.card[c].second >= 0)
            is[e->rows.card[c].second] = true;
    }
    return is;
}

/* One tree with the cuts so far, up to `limit` pivots. True: x has most of the step's own objective, proven. */
static bool one_tree(Equals *e, EqualsPart *part, Attain *attain, const bool *told, int64_t limit, int64_t *pivots)
{
    SearchProblem *p = &part->matrix.p;
    BoxSearch search = {.wanted = own_value(e) - part->offset,
                        .limit = limit,
                        .threads = e->options->threads,
                        .cancel = e->options->cancel,
                        .told = told,
                        .most = MOST_EQUALS};
    attain_search(attain, p->low, p->high, &search, &e->pivots);
    *pivots = search.pivots;
    const bool proven = search.exhausted;
    e->settled = search.all_equals && search.equals > 0;
    if (e->settled)
        take_first(e, part, &search);
    else if (search.x != NULL) {
        int64_t *full = mem_new((size_t)e->rows.problem->columns + 1, sizeof *full);
        equals_part_point(part, e->rows.problem, search.x, full);
        take(e, full);
        mem_free(full);
    }
    box_search_release(&search);
    return proven;
}

/* Trees with more and more cuts, each from the best pool so far, for all pools that have most of the step's own
 * objective. True: x has it, proven. */
static bool settle_by_tree(Equals *e, int64_t effort)
{
    SearchProblem own = *e->rows.problem;
    EqualsPart part;
    own.objective = e->own;
    if (!equals_part_init(&part, &own)) {
        equals_part_release(&part);
        return false;
    }
    SearchProblem *p = &part.matrix.p;
    bool *all = card_columns(e), *told = equals_part_marks(&part, all), proven = false;
    Attain *attain = attain_new(p);
    for (int64_t limit = FIRST_LIMIT, used; effort > 0 && !proven && !e->more_fit && !is_cancelled(e); limit *= MORE) {
        if (limit > FIRST_LIMIT && open_columns(p) > MANY)
            break;
        narrow(e, attain, p, own_value(e) - part.offset, limit == FIRST_LIMIT ? OWN_ROUNDS + 1 : 2);
        proven = one_tree(e, &part, attain, told, limit < effort ? limit : effort, &used);
        effort -= used + 1;
    }
    equals_part_box(&part, e->rows.problem);
    attain_free(attain);
    equals_part_release(&part);
    mem_free(all);
    mem_free(told);
    e->settled = e->settled && !e->more_fit;
    return proven && !e->more_fit;
}

/* The row's sum, times sign, made as great as it can be and then fixed. True: proven. */
static bool settle_row(Equals *e, int row, int sign, bool with_fit)
{
    SearchProblem *p = e->rows.problem;
    int64_t left = step_effort(e), sum = 0;
    const int64_t before = e->pivots;
    narrow_fit(e);
    bool proven = !weigh_row(e, row, sign) || settle_by_tree(e, left - left / TREE_SHARE);
    left -= e->pivots - before;
    if (open_columns(p) > MANY && left > step_effort(e) / MANY_SHARE)
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
    narrow_fit(e);
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
static bool pass(const Programme *programme, const SearchOptions *options, int *copies, AmongEquals *among)
{
    const Instance *in = programme->instance;
    PoolCheck check;
    pool_check(in, copies, &check);
    Equals e = {.programme = programme, .in = in, .options = options, .fit = check.fit};
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

void equals_find(const Programme *programme, const SearchOptions *options, int *copies, AmongEquals *among)
{
    *among = (AmongEquals){.changes = !programme->instance->has_present};
    if (options->cancel != NULL && *options->cancel != 0)
        return;
    for (int k = 0; k < AGAIN && pass(programme, options, copies, among); k++)
        *among = (AmongEquals){.changes = !programme->instance->has_present, .pivots = among->pivots};
}
