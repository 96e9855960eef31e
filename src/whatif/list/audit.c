/* audit.c - counting a list, and mending it: first the fewest copies that must leave or enter until every rule holds,
 * then, with no more changes than that, the most fit, and of those the cheapest to buy. */
#include "whatif/list/audit.h"

#include "programme/rows/card_columns.h"
#include "whatif/list/distance.h"

/* Pivots for either half, unless --effort says otherwise: many pools are equally near, and to prove one nearest can
 * take very long. */
#define MEND_EFFORT 200000

static void find_faults(const Instance *in, const int *copies, Audit *audit)
{
    audit->fault = mem_new(2 * in->cards->count, sizeof *audit->fault);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (copies[c] < in->least[c])
            audit->fault[audit->faults++] = (CardFault){FAULT_MISSING, c};
        if (copies[c] <= in->most[c])
            continue;
        FaultKind kind = in->status[c] & STATUS_BAN ? FAULT_BANNED : in->skipped[c] ? FAULT_NO_PRICE : FAULT_TOO_MANY;
        audit->fault[audit->faults++] = (CardFault){kind, c};
    }
}

/* The fewest changes. *most_changes: as many as the pool found takes; -1 without a pool. */
static bool fewest_changes(const Distance *distance, const SearchOptions *options, Audit *audit, int64_t *value,
                           int64_t **x, Diags *diags)
{
    SearchOptions exact = *options;
    exact.gap_ppm = 0;
    if (exact.effort == 0)
        exact.effort = MEND_EFFORT;
    Reoptimiser *search = distance_question(distance, DISTANCE_CHANGED);
    Answer near;
    Solved solved;
    bool good = reoptimiser_solve(search, &exact, false, &near, &solved, diags);
    reoptimiser_free(search);
    if (!good)
        return false;
    audit->mend = solved.status == SEARCH_INFEASIBLE ? MEND_IMPOSSIBLE : solved.has_value ? MEND_FOUND : MEND_UNKNOWN;
    audit->fewest = solved.status == SEARCH_BEST;
    audit->least_changes = solved.has_bound ? (int)(distance->copies - solved.bound) : 0;
    *value = solved.value;
    *x = solved.has_value ? distance_solution(distance, near.copies) : NULL;
    answer_release(&near);
    return true;
}

static int64_t fit_of(const SearchProblem *problem, const int64_t *x)
{
    int64_t fit = 0;
    for (int j = 0; j < problem->columns; j++)
        fit += problem->objective[j] * x[j];
    return fit;
}

/* The money that copies cost becomes the objective, negated. */
static void ask_for_money(const Loaded *loaded, const SearchProblem *problem, Reoptimiser *search)
{
    const int columns = loaded->programme->problem.columns;
    for (int j = 0; j < problem->columns; j++)
        reoptimiser_objective(search, j, j < columns ? -column_price(loaded->programme, j) : 0);
}

/* Of the pools as near and as good as the mended one, the cheapest takes its place. */
static bool take_cheapest(const Distance *distance, int64_t changed, const SearchOptions *options, Audit *audit,
                          Diags *diags)
{
    int64_t *x = distance_solution(distance, audit->mended.copies);
    SearchProblem *problem = distance_with_fit(distance->problem, fit_of(distance->problem, x));
    SearchOptions exact = *options;
    Answer cheap;
    Solved solved;
    bool good = true;
    exact.gap_ppm = 0;
    exact.start = x;
    if (exact.effort == 0)
        exact.effort = MEND_EFFORT;
    if (search_problem_trouble(problem) == NULL) {
        Reoptimiser *search = reoptimiser_new(distance->loaded, problem);
        reoptimiser_row(search, distance->change_row, changed, SEARCH_PLUS_INFINITY);
        ask_for_money(distance->loaded, problem, search);
        good = reoptimiser_solve(search, &exact, false, &cheap, &solved, diags);
        reoptimiser_free(search);
        if (good && cheap.has_pool)
            exchange_pools(&audit->mended, &cheap);
        if (good)
            answer_release(&cheap);
    }
    extension_problem_free(problem);
    mem_free(x);
    return good;
}

static bool mend(const Loaded *loaded, const SearchOptions *options, Audit *audit, Diags *diags)
{
    const Instance *in = loaded->instance;
    Distance distance;
    int64_t value = 0, *x = NULL;
    Solved solved;
    distance_init(&distance, loaded, audit->list->copies);
    bool good = fewest_changes(&distance, options, audit, &value, &x, diags);
    if (good && audit->mend == MEND_FOUND) {
        SearchOptions from_near = *options;
        from_near.start = x;
        if (from_near.effort == 0)
            from_near.effort = MEND_EFFORT;
        Reoptimiser *search = reoptimiser_new(distance.loaded, distance.problem);
        reoptimiser_row(search, distance.change_row, value, SEARCH_PLUS_INFINITY);
        good = reoptimiser_solve(search, &from_near, true, &audit->mended, &solved, diags);
        reoptimiser_free(search);
        if (good && audit->mended.has_pool)
            good = take_cheapest(&distance, value, options, audit, diags);
        if (good && audit->mended.has_pool) {
            audit->change = pool_changes(in, audit->list->copies, in, audit->mended.copies, &audit->changes);
            pool_changes_sum(audit->change, audit->changes, &audit->in, &audit->out);
        }
    }
    mem_free(x);
    distance_release(&distance);
    return good;
}

bool audit_run(const Loaded *loaded, const PoolFile *list, const SearchOptions *options, Audit *audit, Diags *diags)
{
    *audit = (Audit){.list = list};
    pool_check(loaded->instance, list->copies, &audit->check);
    find_faults(loaded->instance, list->copies, audit);
    audit->broken = pool_broken_limits(&audit->check);
    SearchOptions from_list = *options;
    int64_t *x = mem_new((size_t)loaded->programme->problem.columns + 1, sizeof *x);
    if (audit->check.kept && programme_solution(loaded->programme, list->copies, x))
        from_list.start = x;
    bool good = loaded_best(loaded, &from_list, options, &audit->best, diags);
    mem_free(x);
    if (good && audit->check.kept)
        audit->mend = MEND_NOT_NEEDED;
    else if (good && audit->best.status == ANSWER_INFEASIBLE)
        audit->mend = MEND_IMPOSSIBLE;
    else if (good)
        good = mend(loaded, options, audit, diags);
    audit->stopped = search_cancelled(options);
    if (!good)
        audit_release(audit);
    return good;
}

void audit_release(Audit *audit)
{
    pool_check_release(&audit->check);
    answer_release(&audit->best);
    answer_release(&audit->mended);
    mem_free(audit->fault);
    mem_free(audit->change);
    *audit = (Audit){0};
}

bool audit_is_clean(const Audit *audit)
{
    return audit->broken == 0 && audit->faults == 0 && audit->list->unknowns == 0;
}
