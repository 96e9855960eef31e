/* protect.c - rows of risen prices, added as they are broken.
 *
 * First at the relaxation: its point is tried against the worst set of rises of each protected limit, and the row of a set that it breaks is added, until none is
 * broken or little is gained. Then the integer programme: the pool found is counted exactly by the checker; while it breaks a protected limit, the rows of its own worst
 * sets are added and it is solved again. Each such pool also gives a threshold z for which the row
 *     sum over cards of (price + max(0, rise - z)) bought + Gamma z <= limit
 * is enough to keep the limit protected (the dual of the worst case at a fixed z; Bertsimas and Sim 2004, theorem 1; over several copies the chord of
 * max(0, rise x copies - z)): solving with that row gives a protected pool, whose fit may already meet the bound. */
#include "programme/protect.h"

#include <string.h>

#include "base/number.h"
#include "programme/checker.h"
#include "programme/extend.h"
#include "programme/risk.h"
#include "search/relaxed.h"

#define ONE INT64_C(1000)
#define RELAXED_ROUNDS 40
#define LOOKS 6
#define ROWS_MOST 3000       /* added; the search holds 4096 in all */

typedef struct {
    int64_t high;
    size_t first, count;     /* in Protection.entry */
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
    double *bought;           /* [cards] scratch */
    int *share;               /* [cards] scratch */
    int *copies;              /* [cards] scratch */
    SearchOptions options;
    int64_t pivots, nodes;
    bool has_best;
    int64_t *best;            /* [columns] the best protected solution */
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
        int64_t value = ONE * (instance_buy_price(p->instance, c) + (over > 0 && most > 0 ? (int64_t)ceil_div(over, most) : 0));
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
    double risen = risk_worst(p->instance, member, p->bought, p->share), limit = (double)limit_of(p, member) * (double)ONE;
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
        *result = (SearchResult){.status = SEARCH_FAILED, .value = SEARCH_MINUS_INFINITY, .bound = SEARCH_PLUS_INFINITY, .why_failed = trouble};
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

/* The rise that comes next after the Gamma greatest of what is bought: the threshold at which the worst case has its dual. */
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

/* A pool that is protected for sure, with thresholds from what is bought in p->bought. True if it is better than what is known; it is then in p->bought. */
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

static SearchStatus status_of(const Protection *p, SearchStatus last)
{
    if (p->has_best && p->bound <= p->best_value)
        return SEARCH_BEST;
    if (within_gap(p))
        return SEARCH_WITHIN_GAP;
    return last == SEARCH_FAILED ? SEARCH_FAILED : SEARCH_STOPPED;
}

/* Solves with the rows so far. True: that settles it; *result is then the last run's, with what is known in all put in. */
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
    bool over = !more || result->status == SEARCH_STOPPED || result->status == SEARCH_FAILED || !result->has_solution || p->rows >= ROWS_MOST;
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
                    .bound = options->known_bound};
    list_limits(&p);
    bool found = false;
    strengthen(&p, &found);
    if (found)
        look_for_pools(&p);
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
