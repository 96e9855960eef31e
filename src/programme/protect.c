/* protect.c - rows of risen prices, added as they are broken.
 *
 * First at the relaxation: its point is tried against the worst set of rises of each protected limit, and the row of a
 * set that it breaks is added, until none is broken or little is gained. Then the integer programme: the pool found is
 * counted exactly by the checker; while it breaks a protected limit, the rows of its own worst sets are added and it is
 * solved again. Each such pool also gives a threshold z for which the row sum over cards of (price + max(0, rise - z))
 * bought + Gamma z <= limit is enough to keep the limit protected (the dual of the worst case at a fixed z; Bertsimas
 * and Sim 2004, theorem 1; over several copies the chord of max(0, rise x copies - z)): solving with that row gives a
 * protected pool, whose fit may already meet the bound.
 *
 * The proof for the cap comes from thresholds too. A protected pool meets the row above at some z that is one of the
 * rises (of whole cards' copies) or 0; so for every interval a <= z <= b of these it meets   sum of (price + max(0,
 * rise - b)) bought + Gamma a <= cap   (over several copies max(0, rise x copies - b) is at least copies x max(0, rise
 * - b)). Intervals are halved until the bound of each is within the gap of the best pool. */
#include "programme/protect.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"
#include "programme/checker.h"
#include "programme/extend.h"
#include "programme/risk.h"
#include "search/relaxed.h"

#define ONE INT64_C(1000)
#define RELAXED_ROUNDS 40
#define LOOKS 6
#define LEVELS_MOST 20000
#define ROWS_MOST 3000 /* added; the search holds 4096 in all */

typedef struct {
    int64_t high;
    size_t first, count; /* in Protection.entry */
} AddedRow;

typedef struct {
    int column;
    int64_t value;
} AddedEntry;

typedef struct {
    const Programme *programme;
    const Instance *instance;
    const RuleMember **limit; /* [limits] protected limits; NULL: the cap */
    size_t limits;
    AddedRow *row;
    size_t rows, row_capacity;
    AddedEntry *entry;
    size_t entries, entry_capacity;
    double *bought; /* [cards] scratch */
    int *share;     /* [cards] scratch */
    int *copies;    /* [cards] scratch */
    SearchOptions options;
    int64_t pivots, nodes;
    bool has_statistics;
    SearchStatistics statistics; /* of the first run with rows that the protected programme implies */
    bool has_best;
    int64_t *best; /* [columns] the best protected solution */
    int64_t best_value, bound;
} Protection;

static bool is_bought(const Protection *p, int column)
{
    const ProgrammeColumn *about = &p->programme->column[column];
    if (about->role == COLUMN_BOUGHT)
        return true;
    return about->role == COLUMN_COPIES && p->instance->cards->card[about->card].owned <= 0;
}

static void list_limits(Protection *p)
{
    p->limit = mem_new(p->instance->members + 1, sizeof *p->limit);
    if (risk_protects(p->instance, NULL))
        p->limit[p->limits++] = NULL;
    for (size_t m = 0; m < p->instance->members; m++)
        if (risk_protects(p->instance, &p->instance->member[m]))
            p->limit[p->limits++] = &p->instance->member[m];
}

static bool may_rise(const Programme *programme)
{
    const Instance *in = programme->instance;
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->most[c] > in->cards->card[c].owned && risk_rise(in, c) > 0)
            return true;
    return false;
}

bool programme_at_risk(const Programme *programme)
{
    const Instance *in = programme->instance;
    if (!in->model->has_risk || in->model->protect == 0 || !may_rise(programme))
        return false;
    bool any = risk_protects(in, NULL);
    for (size_t m = 0; m < in->members; m++)
        any = any || risk_protects(in, &in->member[m]);
    return any;
}

static int64_t limit_of(const Protection *p, const RuleMember *member)
{
    return member == NULL ? p->instance->model->cap : member->bounds.high;
}

/* ---- rows ---- */

static void add_entry(Protection *p, int column, int64_t value)
{
    mem_reserve((void **)&p->entry, &p->entry_capacity, p->entries + 1, sizeof *p->entry);
    p->entry[p->entries++] = (AddedEntry){column, value};
}

/* The rules of a theme that need not be chosen hold only if it is: the row is as loose as it can be otherwise. */
static void loosen_unchosen(Protection *p, const RuleMember *member, AddedRow *row)
{
    if (member == NULL || member->theme < 0 || !p->instance->choosable[member->theme])
        return;
    int128 most = 0;
    for (size_t k = row->first; k < p->entries; k++)
        most += (int128)p->entry[k].value * p->programme->problem.high[p->entry[k].column];
    int128 spare = most - row->high;
    for (int j = 0; j < p->programme->problem.columns && spare > 0; j++)
        if (p->programme->column[j].role == COLUMN_CHOSEN && p->programme->column[j].theme == member->theme) {
            add_entry(p, j, (int64_t)spare);
            row->high += (int64_t)spare;
            return;
        }
}

static void divide_row(Protection *p, AddedRow *row)
{
    int64_t g = 0;
    for (size_t k = row->first; k < p->entries; k++)
        g = gcd64(g, p->entry[k].value);
    row->count = p->entries - row->first;
    if (g <= 1)
        return;
    for (size_t k = row->first; k < p->entries; k++)
        p->entry[k].value /= g;
    row->high = (int64_t)floor_div(row->high, g);
}

static AddedRow *begin_row(Protection *p, int64_t high)
{
    mem_reserve((void **)&p->row, &p->row_capacity, p->rows + 1, sizeof *p->row);
    p->row[p->rows] = (AddedRow){.high = high, .first = p->entries};
    return &p->row[p->rows++];
}

static bool is_counted(const Protection *p, const RuleMember *member, int j)
{
    return is_bought(p, j) && risk_counts(p->instance, member, (size_t)p->programme->column[j].card);
}

/* The limit with the prices in p->share risen: thousandths of a cent. */
static void add_risen_row(Protection *p, const RuleMember *member)
{
    AddedRow *row = begin_row(p, limit_of(p, member) * ONE);
    for (int j = 0; j < p->programme->problem.columns; j++) {
        if (!is_counted(p, member, j))
            continue;
        size_t c = (size_t)p->programme->column[j].card;
        int64_t value = ONE * instance_buy_price(p->instance, c) + p->share[c] * risk_rise(p->instance, c);
        if (value != 0)
            add_entry(p, j, value);
    }
    loosen_unchosen(p, member, row);
    divide_row(p, row);
}

/* Takes away all rows from `rows` on. */
static void drop_rows(Protection *p, size_t rows)
{
    if (rows >= p->rows)
        return;
    p->entries = p->row[rows].first;
    p->rows = rows;
}

/* The row that is enough at threshold z. */
static void add_enough_row(Protection *p, const RuleMember *member, int64_t z)
{
    AddedRow *row = begin_row(p, limit_of(p, member) * ONE - p->instance->model->protect * z);
    for (int j = 0; j < p->programme->problem.columns; j++) {
        if (!is_counted(p, member, j))
            continue;
        size_t c = (size_t)p->programme->column[j].card;
        int64_t most = p->programme->problem.high[j], over = risk_rise(p->instance, c) * most - z;
        int64_t value =
            ONE * (instance_buy_price(p->instance, c) + (over > 0 && most > 0 ? (int64_t)ceil_div(over, most) : 0));
        if (value != 0)
            add_entry(p, j, value);
    }
    loosen_unchosen(p, member, row);
    divide_row(p, row);
}

static SearchProblem *build(const Protection *p)
{
    Extension *extension = extension_new(&p->programme->problem);
    for (size_t r = 0; r < p->rows; r++) {
        int row = extension_row(extension, SEARCH_MINUS_INFINITY, p->row[r].high);
        for (size_t k = p->row[r].first; k < p->row[r].first + p->row[r].count; k++)
            extension_entry(extension, row, p->entry[k].column, p->entry[k].value);
    }
    return extension_build(extension);
}

/* ---- the relaxation ---- */

static void take_bought(Protection *p, const double *x)
{
    memset(p->bought, 0, p->instance->cards->count * sizeof *p->bought);
    for (int j = 0; j < p->programme->problem.columns; j++)
        if (is_bought(p, j))
            p->bought[p->programme->column[j].card] += x[j];
}

static bool is_broken_at(Protection *p, const RuleMember *member)
{
    double risen = risk_worst(p->instance, member, p->bought, p->share),
           limit = (double)limit_of(p, member) * (double)ONE;
    for (size_t c = 0; c < p->instance->cards->count; c++)
        if (p->bought[c] > 0 && risk_counts(p->instance, member, c))
            risen += p->bought[c] * (double)(ONE * instance_buy_price(p->instance, c));
    return risen > limit + 1e-4 * (limit > 1 ? limit : 1);
}

/* Leaves the last relaxation's point in p->bought; *found: there is one. */
static void strengthen(Protection *p, bool *found)
{
    double *x = mem_new((size_t)p->programme->problem.columns + 1, sizeof *x);
    bool broken = true;
    for (int round = 0; round < RELAXED_ROUNDS && broken && p->rows < ROWS_MOST / 2; round++) {
        SearchProblem *problem = build(p);
        broken = search_relaxed(problem, p->options.cancel, x, &p->pivots);
        extension_problem_free(problem);
        if (!broken)
            break;
        *found = true;
        take_bought(p, x);
        broken = false;
        for (size_t k = 0; k < p->limits; k++)
            if (is_broken_at(p, p->limit[k])) {
                add_risen_row(p, p->limit[k]);
                broken = true;
            }
    }
    mem_free(x);
}

/* ---- pools ---- */

static bool within_gap(const Protection *p)
{
    if (!p->has_best || p->bound == SEARCH_PLUS_INFINITY)
        return false;
    int128 size = p->best_value < 0 ? -(int128)p->best_value : p->best_value;
    return ((int128)p->bound - p->best_value) * 1000000 <= (int128)p->options.gap_ppm * size;
}

/* What is left of the effort; false: nothing. */
static bool remaining(const Protection *p, SearchOptions *options)
{
    *options = p->options;
    options->start = p->has_best ? p->best : p->options.start;
    if (p->options.effort == 0)
        return true;
    options->effort = p->options.effort - p->pivots;
    return options->effort > 0;
}

static void solve(Protection *p, const SearchOptions *options, SearchResult *result)
{
    SearchProblem *problem = build(p);
    const char *trouble = search_problem_trouble(problem);
    if (trouble != NULL)
        *result = (SearchResult){.status = SEARCH_FAILED,
                                 .value = SEARCH_MINUS_INFINITY,
                                 .bound = SEARCH_PLUS_INFINITY,
                                 .why_failed = trouble};
    else {
        Search *search = search_new(problem);
        search_run(search, options, result);
        search_free(search);
    }
    extension_problem_free(problem);
    p->pivots += result->statistics.pivots;
    p->nodes += result->statistics.nodes;
}

static void keep_if_better(Protection *p, const SearchResult *result)
{
    if (!result->has_solution || (p->has_best && result->value <= p->best_value))
        return;
    memcpy(p->best, result->x, (size_t)p->programme->problem.columns * sizeof *p->best);
    p->best_value = result->value;
    p->has_best = true;
}

/* Counts the pool anew; for each protected limit that it breaks calls add. False: the pool keeps them all. */
static bool each_broken(Protection *p, const SearchResult *result, void (*add)(Protection *, const RuleMember *))
{
    PoolCheck check;
    bool broken = false;
    programme_copies(p->programme, result->x, p->copies);
    pool_check(p->instance, p->copies, &check);
    for (size_t u = 0; u < check.uses; u++) {
        if (!check.use[u].is_protected || check.use[u].high_kept || check.use[u].idle)
            continue;
        broken = true;
        if (add != NULL)
            add(p, check.use[u].member);
    }
    pool_check_release(&check);
    return broken;
}

static void pool_bought(Protection *p)
{
    for (size_t c = 0; c < p->instance->cards->count; c++) {
        int bought = p->copies[c] - p->instance->cards->card[c].owned;
        p->bought[c] = bought > 0 ? bought : 0;
    }
}

static void add_worst_row(Protection *p, const RuleMember *member)
{
    pool_bought(p);
    risk_worst(p->instance, member, p->bought, p->share);
    add_risen_row(p, member);
}

/* The rise that comes next after the Gamma greatest of what is bought: the threshold at which the worst case has its
 * dual. */
static int64_t threshold(Protection *p, const RuleMember *member)
{
    int64_t z = 0;
    risk_worst(p->instance, member, p->bought, p->share);
    for (size_t c = 0; c < p->instance->cards->count; c++) {
        int64_t rise = (int64_t)(p->bought[c] * (double)risk_rise(p->instance, c) + 0.5);
        if (p->share[c] < ONE && rise > z && risk_counts(p->instance, member, c))
            z = rise;
    }
    return z;
}

/* A pool that is protected for sure, with thresholds from what is bought in p->bought. True if it is better than what
 * is known; it is then in p->bought. */
static bool look_for_pool(Protection *p)
{
    size_t rows = p->rows;
    SearchOptions options;
    SearchResult result;
    if (!remaining(p, &options))
        return false;
    int64_t before = p->has_best ? p->best_value : SEARCH_MINUS_INFINITY;
    for (size_t k = 0; k < p->limits; k++)
        add_enough_row(p, p->limit[k], threshold(p, p->limit[k]));
    if (p->has_best && options.target < p->best_value + 1)
        options.target = p->best_value + 1; /* no more than what is known is of no use */
    solve(p, &options, &result);
    if (result.has_solution && !each_broken(p, &result, NULL))
        keep_if_better(p, &result);
    search_result_release(&result);
    drop_rows(p, rows);
    pool_bought(p);
    return p->has_best && p->best_value > before;
}

/* Again with the better pool's own thresholds, as long as that helps. */
static void look_for_pools(Protection *p)
{
    for (int k = 0; k < LOOKS && !within_gap(p) && look_for_pool(p); k++)
        ;
}

/* ---- intervals of thresholds ---- */

static int compare_up(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* All thresholds of the cap: 0 and every rise of 1, 2, ... copies, ascending, none twice. NULL when there are too many
 * to be of use. */
static int64_t *list_levels(const Protection *p, size_t *count)
{
    const SearchProblem *problem = &p->programme->problem;
    int64_t *level = mem_new(LEVELS_MOST + 1, sizeof *level);
    size_t all = 1; /* 0 */
    for (int j = 0; j < problem->columns; j++) {
        int64_t rise = is_bought(p, j) ? risk_rise(p->instance, (size_t)p->programme->column[j].card) : 0;
        for (int64_t k = 1; rise > 0 && k <= problem->high[j]; k++) {
            if (all == LEVELS_MOST) {
                mem_free(level);
                return NULL;
            }
            level[all++] = k * rise;
        }
    }
    sort_stable(level, all, sizeof *level, compare_up);
    *count = 1;
    for (size_t k = 1; k < all; k++)
        if (level[k] != level[*count - 1])
            level[(*count)++] = level[k];
    return level;
}

static void add_interval_row(Protection *p, int64_t from, int64_t to)
{
    AddedRow *row = begin_row(p, limit_of(p, NULL) * ONE - p->instance->model->protect * from);
    for (int j = 0; j < p->programme->problem.columns; j++) {
        if (!is_counted(p, NULL, j))
            continue;
        size_t c = (size_t)p->programme->column[j].card;
        int64_t over = risk_rise(p->instance, c) - to;
        int64_t value = ONE * (instance_buy_price(p->instance, c) + (over > 0 ? over : 0));
        if (value != 0)
            add_entry(p, j, value);
    }
    divide_row(p, row);
}

/* The greatest bound that still is within the gap of the best pool. */
static int64_t allowed(const Protection *p)
{
    int64_t size = p->best_value < 0 ? -p->best_value : p->best_value;
    return p->best_value + (int64_t)floor_div((int128)p->options.gap_ppm * size, 1000000);
}

/* The bound over thresholds from one level to another; SEARCH_MINUS_INFINITY: no pool there; SEARCH_PLUS_INFINITY: the
 * effort ran out. */
static int64_t bound_interval(Protection *p, int64_t from, int64_t to, int64_t known)
{
    size_t rows = p->rows;
    SearchOptions options;
    SearchResult result;
    int64_t bound = SEARCH_PLUS_INFINITY;
    for (bool again = true; again;) {
        again = false;
        if (!remaining(p, &options))
            return SEARCH_PLUS_INFINITY;
        options.target = allowed(p) + 1;
        options.known_bound = known;
        add_interval_row(p, from, to);
        solve(p, &options, &result);
        if (!p->has_statistics)
            p->statistics = result.statistics;
        p->has_statistics = true;
        drop_rows(p, rows);
        bool cut_short =
            result.status == SEARCH_FAILED || (result.status == SEARCH_STOPPED && result.bound > allowed(p));
        bound = cut_short                            ? SEARCH_PLUS_INFINITY
                : result.status == SEARCH_INFEASIBLE ? SEARCH_MINUS_INFINITY
                                                     : result.bound;
        bool broken = result.has_solution && each_broken(p, &result, NULL);
        if (result.has_solution && !broken)
            keep_if_better(p, &result);
        if (from == to && broken && bound != SEARCH_PLUS_INFINITY && bound > allowed(p) && p->rows < ROWS_MOST) {
            each_broken(p, &result, add_worst_row); /* another limit than the cap */
            rows = p->rows;
            again = true;
        }
        search_result_release(&result);
    }
    return bound;
}

typedef struct {
    size_t from, to;
    int64_t known; /* bound of the interval it was cut from */
} Interval;

/* Proves a bound by intervals; p->bound falls to it. */
static void prove_by_thresholds(Protection *p)
{
    size_t levels = 0, open = 0, capacity = 0;
    int64_t *level = risk_protects(p->instance, NULL) ? list_levels(p, &levels) : NULL;
    int64_t proven = SEARCH_MINUS_INFINITY;
    Interval *stack = NULL;
    if (level == NULL || !p->has_best)
        goto done;
    mem_reserve((void **)&stack, &capacity, 1, sizeof *stack);
    stack[open++] = (Interval){0, levels - 1, p->bound};
    while (open > 0) {
        Interval now = stack[--open];
        int64_t bound = bound_interval(p, level[now.from], level[now.to], now.known);
        if (bound == SEARCH_PLUS_INFINITY)
            goto done; /* the effort ran out: what was known before is all that is known */
        bound = bound < now.known ? bound : now.known;
        if (bound > allowed(p) && now.from < now.to) {
            size_t middle = now.from + (now.to - now.from) / 2;
            mem_reserve((void **)&stack, &capacity, open + 2, sizeof *stack);
            stack[open++] = (Interval){middle + 1, now.to, bound};
            stack[open++] = (Interval){now.from, middle, bound};
            continue;
        }
        proven = bound > proven ? bound : proven;
    }
    proven = proven > p->best_value ? proven : p->best_value;
    p->bound = proven < p->bound ? proven : p->bound;
done:
    mem_free(level);
    mem_free(stack);
}

static SearchStatus status_of(const Protection *p, SearchStatus last)
{
    if (p->has_best && p->bound <= p->best_value)
        return SEARCH_BEST;
    if (within_gap(p))
        return SEARCH_WITHIN_GAP;
    return last == SEARCH_FAILED ? SEARCH_FAILED : SEARCH_STOPPED;
}

/* Solves with the rows so far. True: that settles it; *result is then the last run's, with what is known in all put in.
 */
static bool settle(Protection *p, SearchResult *result)
{
    SearchOptions options;
    bool more = remaining(p, &options);
    if (!more)
        options.effort = 1;
    solve(p, &options, result);
    if (result->bound < p->bound)
        p->bound = result->bound;
    if (result->status == SEARCH_INFEASIBLE && !p->has_best)
        return true;
    bool broken = result->has_solution && each_broken(p, result, add_worst_row);
    if (result->has_solution && !broken)
        keep_if_better(p, result);
    bool over = !more || result->status == SEARCH_STOPPED || result->status == SEARCH_FAILED || !result->has_solution ||
                p->rows >= ROWS_MOST;
    if (broken && !over && !within_gap(p)) {
        pool_bought(p);
        look_for_pools(p);
    }
    if (broken && !over && !within_gap(p))
        return false;
    result->status = status_of(p, result->status);
    return true;
}

static void put_together(Protection *p, SearchResult *result)
{
    if (p->has_best) {
        if (result->x == NULL)
            result->x = mem_new((size_t)p->programme->problem.columns + 1, sizeof *result->x);
        memcpy(result->x, p->best, (size_t)p->programme->problem.columns * sizeof *result->x);
        result->value = p->best_value;
        result->has_solution = true;
    } else {
        result->has_solution = false;
        result->value = SEARCH_MINUS_INFINITY;
    }
    result->bound = p->bound;
    result->statistics.pivots = p->pivots;
    result->statistics.nodes = p->nodes;
}

void protected_run(const Programme *programme, const SearchOptions *options, SearchResult *result, int *added)
{
    const size_t cards = programme->instance->cards->count;
    Protection p = {.programme = programme,
                    .instance = programme->instance,
                    .bought = mem_new(cards, sizeof *p.bought),
                    .share = mem_new(cards, sizeof *p.share),
                    .copies = mem_new(cards, sizeof *p.copies),
                    .best = mem_new((size_t)programme->problem.columns + 1, sizeof *p.best),
                    .options = *options,
                    .statistics = {.root_bound = SEARCH_PLUS_INFINITY},
                    .bound = options->known_bound};
    list_limits(&p);
    bool found = false;
    strengthen(&p, &found);
    if (found)
        look_for_pools(&p);
    if (found && p.has_best && !within_gap(&p))
        prove_by_thresholds(&p);
    if (within_gap(&p))
        *result = (SearchResult){.status = status_of(&p, SEARCH_STOPPED),
                                 .statistics = p.statistics,
                                 .row_dual = mem_new((size_t)programme->problem.rows + 1, sizeof *result->row_dual),
                                 .reduced_cost =
                                     mem_new((size_t)programme->problem.columns + 1, sizeof *result->reduced_cost)};
    else
        while (!settle(&p, result))
            search_result_release(result);
    put_together(&p, result);
    if (added != NULL)
        *added = (int)p.rows;
    mem_free(p.limit);
    mem_free(p.row);
    mem_free(p.entry);
    mem_free(p.bought);
    mem_free(p.share);
    mem_free(p.copies);
    mem_free(p.best);
}
