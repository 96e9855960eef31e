/* test_search_family.c - the search on programmes of pool size: same answer for any number of threads, nothing a longer
 * run contradicts, both engines. */
#include <malloc.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <sys/resource.h>

#include <cmocka.h>

#include "support/family.h"
#include "support/run.h"

static SearchProblem *programme(FamilyShape shape, bool whole, bool all_bind, uint64_t seed)
{
    const FamilyOptions options = {
        .shape = shape, .candidates = 1200, .whole = whole, .all_bind = all_bind, .seed = seed};
    return family_new(&options);
}

static void solve(const SearchProblem *p, SearchEngine engine, int threads, int64_t effort, int64_t gap,
                  SearchResult *result)
{
    SearchOptions options;
    search_options_default(&options);
    options.engine = engine;
    options.threads = threads;
    options.effort = effort;
    options.gap_ppm = gap;
    Search *search = search_new(p);
    search_run(search, &options, result);
    search_free(search);
}

static void same_run(const SearchProblem *p, const SearchResult *one, const SearchResult *other)
{
    assert_int_equal(one->status, other->status);
    assert_int_equal(one->has_solution, other->has_solution);
    assert_int_equal(one->value, other->value);
    assert_int_equal(one->bound, other->bound);
    assert_int_equal(one->statistics.pivots, other->statistics.pivots);
    assert_int_equal(one->statistics.nodes, other->statistics.nodes);
    assert_int_equal(one->statistics.unsettled, other->statistics.unsettled);
    if (one->has_solution)
        assert_memory_equal(one->x, other->x, (size_t)p->columns * sizeof *one->x);
}

static void threads_make_no_difference(void **state)
{
    (void)state;
    const int effort = sanitised_share(15000);
    for (int shape = FAMILY_PLAIN; shape <= FAMILY_PLACES; shape++) {
        SearchProblem *p = programme((FamilyShape)shape, false, true, 11);
        SearchResult one, other;
        solve(p, SEARCH_ENGINE_FAST, 1, effort, 0, &one);
        for (int threads = 2; threads <= 3; threads++) {
            solve(p, SEARCH_ENGINE_FAST, threads, effort, 0, &other);
            same_run(p, &one, &other);
            search_result_release(&other);
        }
        search_result_release(&one);
        family_free(p);
    }
}

/* What new storage holds before it is written makes no difference: nothing is read that nobody wrote. Nor does what was
 * searched before in the same process. */
static void old_bytes_make_no_difference(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= (uint64_t)sanitised_share(4); seed++)
        for (int shape = FAMILY_PLAIN; shape <= FAMILY_PLACES; shape++) {
            SearchProblem *p = programme((FamilyShape)shape, seed % 2 == 1, seed % 4 >= 2, seed);
            SearchResult one, other;
            mallopt(M_PERTURB, 0);
            solve(p, SEARCH_ENGINE_FAST, 1, 9000, 0, &one);
            mallopt(M_PERTURB, 0x5a);
            solve(p, SEARCH_ENGINE_FAST, 2, 9000, 0, &other);
            mallopt(M_PERTURB, 0);
            same_run(p, &one, &other);
            search_result_release(&one);
            search_result_release(&other);
            family_free(p);
        }
}

/* Over growing efforts values rise, bounds fall, none crosses another. */
static void longer_runs_never_contradict(void **state)
{
    (void)state;
    static const int64_t effort[] = {1, 10, 50, 100, 200, 400, 700, 1000, 1500, 2500, 4000, 8000, 30000};
    int solved = 0;
    for (uint64_t seed = 1; seed <= (uint64_t)sanitised_share(12); seed++) {
        SearchProblem *p = programme(seed % 3 == 0 ? FAMILY_PAIRS : FAMILY_PLAIN, seed % 2 == 0, seed % 4 < 2, seed);
        int64_t best = SEARCH_MINUS_INFINITY, least = SEARCH_PLUS_INFINITY;
        bool proven = false, infeasible = false;
        for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
            SearchResult r;
            solve(p, SEARCH_ENGINE_FAST, 1, effort[k], 0, &r);
            int64_t value = 0;
            assert_true(r.status == SEARCH_BEST || r.status == SEARCH_STOPPED || r.status == SEARCH_INFEASIBLE);
            infeasible = infeasible || r.status == SEARCH_INFEASIBLE;
            if (r.has_solution) {
                assert_true(search_feasible(p, r.x, &value));
                assert_int_equal(value, r.value);
                best = value > best ? value : best;
            }
            if (r.status != SEARCH_INFEASIBLE)
                least = r.bound < least ? r.bound : least;
            assert_true(!r.has_solution || r.bound >= r.value);
            assert_true(best == SEARCH_MINUS_INFINITY || best <= least);
            assert_true(!proven || best == least);
            proven = proven || r.status == SEARCH_BEST;
            assert_true(!infeasible || best == SEARCH_MINUS_INFINITY); /* of these programmes some have no solution */
            search_result_release(&r);
        }
        solved += best != SEARCH_MINUS_INFINITY;
        family_free(p);
    }
    assert_true(solved >= sanitised_share(6));
}

static void engines_agree(void **state)
{
    (void)state;
    int both = 0;
    for (uint64_t seed = 1; seed <= (sanitised() ? 2 : 4); seed++) {
        SearchProblem *p = programme(FAMILY_PLAIN, true, false, seed);
        SearchResult fast, reference;
        solve(p, SEARCH_ENGINE_FAST, 1, 60000, 0, &fast);
        solve(p, SEARCH_ENGINE_REFERENCE, 1, 20000, 0, &reference);
        if (fast.has_solution && reference.has_solution) {
            assert_true(reference.value <= fast.bound);
            assert_true(fast.value <= reference.bound);
        }
        if (fast.status == SEARCH_BEST && reference.status == SEARCH_BEST) {
            assert_int_equal(fast.value, reference.value);
            both++;
        }
        search_result_release(&fast);
        search_result_release(&reference);
        family_free(p);
    }
    assert_true(both >= 1);
}

/* A changed limit, solved again from what is known, gives what a new search gives. */
static void warm_and_cold_agree(void **state)
{
    (void)state;
    SearchProblem *p = programme(FAMILY_PLAIN, true, false, 5);
    Search *search = search_new(p);
    SearchOptions options;
    search_options_default(&options);
    options.gap_ppm = 0;
    for (int change = 0; change < 6; change++) {
        const int row = 2 + change * 5;
        if (p->row_high[row] != SEARCH_PLUS_INFINITY)
            p->row_high[row] += 1;
        if (p->row_low[row] > 0)
            p->row_low[row] -= 1;
        search_set_row(search, row, p->row_low[row], p->row_high[row]);
        SearchResult warm, cold;
        options.effort = sanitised_share(100000);
        search_run(search, &options, &warm);
        solve(p, SEARCH_ENGINE_FAST, 1, options.effort, 0, &cold);
        assert_true(warm.value <= cold.bound && cold.value <= warm.bound);
        if (warm.status == SEARCH_BEST && cold.status == SEARCH_BEST)
            assert_int_equal(warm.value, cold.value);
        search_result_release(&warm);
        search_result_release(&cold);
    }
    search_free(search);
    family_free(p);
}

/* The program ends by a signal when it has taken so much processor time from now on. */
static void stop_after(rlim_t seconds)
{
    struct rusage used;
    struct rlimit limit;
    assert_int_equal(getrusage(RUSAGE_SELF, &used), 0);
    assert_int_equal(getrlimit(RLIMIT_CPU, &limit), 0);
    limit.rlim_cur = (rlim_t)used.ru_utime.tv_sec + (rlim_t)used.ru_stime.tv_sec + seconds;
    assert_int_equal(setrlimit(RLIMIT_CPU, &limit), 0);
}

/* With room for few open nodes only, a gap is still reached, what is proven contradicts nothing, and effort ends a
 * run. (Nodes within the gap used to be popped and pushed back for ever.) */
static void few_open_nodes_are_enough(void **state)
{
    (void)state;
    const int effort = sanitised_share(60000);
    int reached = 0;
    stop_after(120); /* a search that never ends fails */
    for (uint64_t seed = 201; seed <= 200 + (uint64_t)sanitised_share(6); seed++) {
        SearchProblem *p = programme(FAMILY_PLAIN, seed % 2 == 1, true, seed);
        SearchResult few, many;
        solve(p, SEARCH_ENGINE_FAST, 1, effort, 0, &many);
        for (int64_t gap = 100; gap <= 1600; gap *= 4) {
            SearchOptions options;
            search_options_default(&options);
            options.gap_ppm = gap;
            options.effort = effort;
            options.open_nodes = 5;
            Search *search = search_new(p);
            search_run(search, &options, &few);
            search_free(search);
            assert_true(few.status != SEARCH_STOPPED || few.statistics.pivots >= options.effort);
            assert_int_equal(few.status == SEARCH_INFEASIBLE, many.status == SEARCH_INFEASIBLE);
            if (few.has_solution && many.has_solution) {
                assert_true(few.value <= many.bound && many.value <= few.bound);
                assert_true(few.status != SEARCH_WITHIN_GAP || (few.bound - few.value) * 1000000 <= gap * few.value);
            }
            reached += few.status == SEARCH_WITHIN_GAP;
            search_result_release(&few);
        }
        search_result_release(&many);
        family_free(p);
    }
    assert_true(reached >= (sanitised() ? 1 : 4));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(threads_make_no_difference),   cmocka_unit_test(old_bytes_make_no_difference),
        cmocka_unit_test(longer_runs_never_contradict), cmocka_unit_test(engines_agree),
        cmocka_unit_test(warm_and_cold_agree),          cmocka_unit_test(few_open_nodes_are_enough),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
