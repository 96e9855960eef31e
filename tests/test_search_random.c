/* test_search_random.c - random programmes: ten thousand by both engines and by trying every point; solved again after
 * changes as solved anew; and with little effort nothing is said that a longer run contradicts. The programmes are
 * invented (tests/support/programme_make.c). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/family.h"
#include "support/programme_make.h"
#include "support/run.h"

#define TEN_THOUSAND 10000
#define LONG 20000 /* pivots of a run that is to find the truth; programmes that need more are left out */

static SearchOptions with(SearchEngine engine, int64_t effort, int64_t gap_ppm)
{
    SearchOptions options;
    search_options_default(&options);
    options.engine = engine;
    options.effort = effort;
    options.gap_ppm = gap_ppm;
    return options;
}

static void run_new(const SearchProblem *p, const SearchOptions *options, SearchResult *r)
{
    Search *search = search_new(p);
    search_run(search, options, r);
    search_free(search);
}

/* --- what a result may say when the optimum is known --- */

typedef struct {
    bool any;
    int64_t best;
} Truth;

static void sound(const SearchProblem *p, const SearchOptions *options, const SearchResult *r, const Truth *truth,
                  uint64_t seed)
{
    int64_t value = 0;
    if (r->status == SEARCH_FAILED)
        fail_msg("seed %llu: %s", (unsigned long long)seed, r->why_failed);
    if (r->has_solution &&
        (!search_feasible(p, r->x, &value) || value != r->value || !truth->any || value > truth->best))
        fail_msg("seed %llu: a solution of %lld that is none, or better than the best of %lld",
                 (unsigned long long)seed, (long long)r->value, (long long)truth->best);
    if (truth->any && (r->status == SEARCH_INFEASIBLE || r->bound < truth->best))
        fail_msg("seed %llu: status %d, bound %lld, but there is %lld", (unsigned long long)seed, (int)r->status,
                 (long long)r->bound, (long long)truth->best);
    if (r->status == SEARCH_BEST && r->value != truth->best)
        fail_msg("seed %llu: %lld called best, %lld is", (unsigned long long)seed, (long long)r->value,
                 (long long)truth->best);
    if (r->status == SEARCH_WITHIN_GAP)
        assert_true((truth->best - r->value) * 1000000 <= options->gap_ppm * llabs((long long)r->value));
}

static void exact(const SearchProblem *p, const SearchOptions *options, const SearchResult *r, const Truth *truth,
                  uint64_t seed)
{
    sound(p, options, r, truth, seed);
    if (r->status != (truth->any ? SEARCH_BEST : SEARCH_INFEASIBLE))
        fail_msg("seed %llu: status %d, there is %s", (unsigned long long)seed, (int)r->status,
                 truth->any ? "a best" : "nothing");
}

/* --- ten thousand --- */

typedef struct {
    int infeasible, integer, continuous, equality, negative, branched;
} Features;

static void count_features(const SearchProblem *p, Features *f)
{
    bool integer = false, continuous = false, equality = false, negative = false;
    for (int j = 0; j < p->columns; j++) {
        integer = integer || (p->kind[j] == SEARCH_INTEGER && p->low[j] < p->high[j]);
        continuous =
            continuous || (p->kind[j] == SEARCH_CONTINUOUS && p->low[j] < p->high[j] && p->start[j] < p->start[j + 1]);
    }
    for (int i = 0; i < p->rows; i++)
        equality = equality || p->row_low[i] == p->row_high[i];
    for (size_t k = 0; k < p->start[p->columns]; k++)
        negative = negative || p->value[k] < 0;
    f->integer += integer;
    f->continuous += continuous;
    f->equality += equality;
    f->negative += negative;
}

static void ten_thousand_by_both_engines_and_by_trying_all(void **state)
{
    (void)state;
    Features f = {0};
    const int many = sanitised_share(TEN_THOUSAND);
    for (uint64_t seed = 1; seed <= (uint64_t)many; seed++) {
        SearchProblem *p = programme_make(PROGRAMME_SMALL, seed);
        Truth truth = {0};
        assert_null(search_problem_trouble(p));
        truth.any = programme_try_all(p, &truth.best);
        for (int engine = SEARCH_ENGINE_FAST; engine <= SEARCH_ENGINE_REFERENCE; engine++) {
            const SearchOptions options = with((SearchEngine)engine, 0, 0);
            SearchResult r;
            run_new(p, &options, &r);
            exact(p, &options, &r, &truth, seed);
            f.branched += engine == SEARCH_ENGINE_FAST && r.statistics.nodes > 1;
            search_result_release(&r);
        }
        count_features(p, &f);
        f.infeasible += !truth.any;
        family_free(p);
    }
    print_message("%d programmes: %d without a solution, %d with integer columns, %d continuous, %d equalities, %d "
                  "negative coefficients; %d were branched on\n",
                  many, f.infeasible, f.integer, f.continuous, f.equality, f.negative, f.branched);
    assert_true(f.infeasible * 10 >= many && f.infeasible * 2 <= many);
    assert_true(f.integer * 5 >= many * 2 && f.continuous * 5 >= many && f.equality * 10 >= many * 3 &&
                f.negative * 2 >= many && f.branched * 10 >= many);
}

/* --- solved again --- */

/* A run between that may leave behind whatever a run leaves: stopped early, within a gap, or at a target. */
static void disturb(Search *search, const SearchProblem *p, const Truth *truth, uint64_t *state, uint64_t seed)
{
    SearchOptions options = with(SEARCH_ENGINE_FAST, 0, 0);
    switch (programme_random(state) % 4) {
    case 0: options.effort = 1 + (int64_t)(programme_random(state) % 60); break;
    case 1: options.gap_ppm = 20000; break;
    case 2: options.target = truth->any ? truth->best + 100 : 0; break;
    default: return;
    }
    SearchResult r;
    search_run(search, &options, &r);
    sound(p, &options, &r, truth, seed);
    search_result_release(&r);
}

static void small_ones_solved_again(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= (uint64_t)sanitised_share(1500); seed++) {
        SearchProblem *p = programme_make(PROGRAMME_SMALL, 20000 + seed);
        Search *search = search_new(p);
        uint64_t s = seed;
        for (int change = 0; change < 8; change++) {
            for (uint64_t several = programme_random(&s) % 3; several < 3; several++)
                programme_change(p, search, &s);
            Truth truth = {0};
            truth.any = programme_try_all(p, &truth.best);
            disturb(search, p, &truth, &s, seed);
            const SearchOptions options = with(SEARCH_ENGINE_FAST, 0, 0);
            SearchResult r;
            search_run(search, &options, &r);
            exact(p, &options, &r, &truth, seed);
            search_result_release(&r);
        }
        search_free(search);
        family_free(p);
    }
}

static void middle_ones_solved_again(void **state)
{
    (void)state;
    int best = 0;
    for (uint64_t seed = 1; seed <= (uint64_t)sanitised_share(40); seed++) {
        SearchProblem *p = programme_make(PROGRAMME_MIDDLE, seed);
        Search *search = search_new(p);
        uint64_t s = seed;
        for (int change = 0; change < 8; change++) {
            for (uint64_t several = programme_random(&s) % 3; several < 3; several++)
                programme_change(p, search, &s);
            SearchOptions options = with(SEARCH_ENGINE_FAST, LONG, 0);
            SearchResult cold, warm;
            run_new(p, &options, &cold);
            const Truth truth = {cold.has_solution, cold.value};
            if (cold.status == SEARCH_STOPPED) {
                search_result_release(&cold);
                continue;
            }
            options.effort = 0;
            disturb(search, p, &truth, &s, seed);
            search_run(search, &options, &warm);
            exact(p, &options, &warm, &truth, seed);
            best += cold.has_solution;
            search_result_release(&cold);
            search_result_release(&warm);
        }
        search_free(search);
        family_free(p);
    }
    assert_true(best >= sanitised_share(150));
}

/* --- little effort --- */

static void little_effort_is_never_contradicted(void **state)
{
    (void)state;
    static const int64_t effort[] = {1, 2, 4, 8, 16, 32, 64, 128, 256, 512};
    int stopped = 0, infeasible = 0, settled = 0;
    for (uint64_t seed = 1; settled < sanitised_share(500); seed++) {
        assert_true(seed < 1000);
        SearchProblem *p = programme_make(PROGRAMME_MIDDLE, 1000 + seed);
        const SearchOptions longer = with(SEARCH_ENGINE_FAST, LONG, 0);
        SearchResult full, r;
        run_new(p, &longer, &full);
        const Truth truth = {full.has_solution, full.value};
        settled += full.status != SEARCH_STOPPED;
        infeasible += full.status == SEARCH_INFEASIBLE;
        for (size_t k = 0; full.status != SEARCH_STOPPED && k < sizeof effort / sizeof *effort; k++) {
            const SearchOptions options = with(SEARCH_ENGINE_FAST, effort[k], seed % 3 == 0 ? 500 : 0);
            run_new(p, &options, &r);
            sound(p, &options, &r, &truth, seed);
            stopped += r.status == SEARCH_STOPPED;
            search_result_release(&r);
        }
        search_result_release(&full);
        family_free(p);
    }
    print_message("%d runs were stopped, %d programmes have no solution\n", stopped, infeasible);
    assert_true(stopped >= sanitised_share(1000) && infeasible >= sanitised_share(20));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ten_thousand_by_both_engines_and_by_trying_all),
        cmocka_unit_test(small_ones_solved_again),
        cmocka_unit_test(middle_ones_solved_again),
        cmocka_unit_test(little_effort_is_never_contradicted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
