/* test_warm.c - one loaded programme through long sequences of changes: what was kept from earlier solves never makes
 * an answer wrong.
 *
 * Small programmes are judged by trying all points, larger ones by new searches of the same programme. Most of the time
 * goes to those, so this is not repeated under sanitizers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/run.h"
#include "support/family.h"

#define COLUMNS 7
#define ROWS 4

static uint64_t dice_state;

static int64_t roll(int64_t low, int64_t high)
{
    dice_state = dice_state * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (int64_t)((dice_state >> 33) % (uint64_t)(high - low + 1));
}

/* A programme with all its arrays in place. */
typedef struct {
    SearchProblem p;
    SearchKind kind[COLUMNS];
    int64_t objective[COLUMNS], low[COLUMNS], high[COLUMNS], row_low[ROWS], row_high[ROWS], value[COLUMNS * ROWS];
    size_t start[COLUMNS + 1];
    int row[COLUMNS * ROWS];
} Small;

static void make_small(Small *s)
{
    int64_t sum[ROWS] = {0};
    size_t at = 0;
    for (int j = 0; j < COLUMNS; j++) {
        s->kind[j] = SEARCH_INTEGER;
        s->low[j] = 0;
        s->high[j] = roll(0, 5) == 0 ? 2 : 1;
        s->objective[j] = 5 * roll(-10, 40);
        s->start[j] = at;
        for (int i = 0; i < ROWS; i++) {
            const int64_t a = i == 0 ? 1 : roll(0, 2) == 0 ? 0 : i == 1 ? roll(1, 30) : roll(-4, 6);
            if (a == 0)
                continue;
            sum[i] += a * s->high[j];
            s->row[at] = i;
            s->value[at++] = a;
        }
    }
    s->start[COLUMNS] = at;
    for (int i = 0; i < ROWS; i++) {
        s->row_high[i] = sum[i] / 2 + roll(-2, 2);
        s->row_low[i] = roll(0, 1) ? SEARCH_MINUS_INFINITY : s->row_high[i] - roll(0, 3);
    }
    s->p = (SearchProblem){COLUMNS,    ROWS,        s->kind,  s->objective, s->low,   s->high,
                           s->row_low, s->row_high, s->start, s->row,       s->value, NULL};
}

static bool best_of_all(const Small *s, int64_t *best)
{
    int64_t x[COLUMNS], value;
    bool any = false;
    memcpy(x, s->low, sizeof x);
    for (;;) {
        if (search_feasible(&s->p, x, &value) && (!any || value > *best)) {
            *best = value;
            any = true;
        }
        int j = 0;
        while (j < COLUMNS && x[j] >= s->high[j]) {
            x[j] = s->low[j];
            j++;
        }
        if (j == COLUMNS)
            return any;
        x[j]++;
    }
}

typedef enum { ROW, COLUMN, OBJECTIVE } What;

typedef struct {
    What what;
    int at;
    int64_t low, high;
} Change;

/* What is there now at the place of a change. */
static Change present(const SearchProblem *p, What what, int at)
{
    if (what == ROW)
        return (Change){what, at, p->row_low[at], p->row_high[at]};
    return what == COLUMN ? (Change){what, at, p->low[at], p->high[at]} : (Change){what, at, p->objective[at], 0};
}

static void make_change(SearchProblem *p, Search *search, const Change *c)
{
    if (c->what == ROW) {
        p->row_low[c->at] = c->low;
        p->row_high[c->at] = c->high;
        search_set_row(search, c->at, c->low, c->high);
    } else if (c->what == COLUMN) {
        p->low[c->at] = c->low;
        p->high[c->at] = c->high;
        search_set_column(search, c->at, c->low, c->high);
    } else {
        p->objective[c->at] = c->low;
        search_set_objective(search, c->at, c->low);
    }
}

/* Tighter or looser by a little, a side gone or back, a column fixed or freed, another coefficient. */
static Change random_change(const SearchProblem *p, const SearchProblem *origin, int64_t step)
{
    const What what = (What)roll(0, 2);
    const int at = (int)roll(0, (what == ROW ? p->rows : p->columns) - 1);
    if (roll(0, 3) == 0)
        return present(origin, what, at); /* as it was at first */
    Change c = present(p, what, at);
    if (what == ROW) {
        if (c.high != SEARCH_PLUS_INFINITY)
            c.high = roll(0, 9) == 0 ? SEARCH_PLUS_INFINITY : c.high + step * roll(-3, 3);
        if (c.low != SEARCH_MINUS_INFINITY)
            c.low = roll(0, 9) == 0 ? SEARCH_MINUS_INFINITY : c.low + step * roll(-3, 3);
        c.low = c.low > c.high ? c.high : c.low;
    } else if (what == COLUMN) {
        const int64_t low = origin->low[at], high = origin->high[at];
        c.low = roll(low, high);
        c.high = roll(c.low, high);
    } else
        c.low += 5 * roll(-8, 8);
    return c;
}

static void small_sequences(SearchEngine engine, uint64_t seeds, int64_t effort)
{
    int solved = 0, infeasible = 0;
    for (uint64_t seed = 1; seed <= seeds; seed++) {
        Small s, origin;
        dice_state = seed * 104729;
        make_small(&s);
        origin = s;
        const SearchProblem first = {COLUMNS,      ROWS,        origin.kind,    origin.objective,
                                     origin.low,   origin.high, origin.row_low, origin.row_high,
                                     origin.start, origin.row,  origin.value,   NULL};
        Search *search = search_new(&s.p);
        for (int step = 0; step < 25; step++) {
            for (int64_t changes = roll(0, 2); changes > 0; changes--) {
                const Change c = random_change(&s.p, &first, 1);
                make_change(&s.p, search, &c);
            }
            int64_t best = 0, value = 0;
            const bool any = best_of_all(&s, &best);
            SearchOptions options;
            SearchResult r;
            search_options_default(&options);
            options.engine = engine;
            options.effort = effort;
            if (roll(0, 3) == 0)
                options.target = best + 5 * roll(-2, 2);
            if (roll(0, 5) == 0)
                options.known_bound = any ? best + 5 * roll(0, 2) : SEARCH_PLUS_INFINITY;
            search_run(search, &options, &r);
            if (r.has_solution) {
                assert_true(any && search_feasible(&s.p, r.x, &value));
                assert_int_equal(value, r.value);
                assert_true(value <= best);
            }
            assert_true(!any || r.bound >= best);
            if (r.status == SEARCH_BEST)
                assert_int_equal(r.value, best);
            if (r.status == SEARCH_INFEASIBLE)
                assert_false(any);
            if (effort == 0 && options.target == SEARCH_MINUS_INFINITY)
                assert_int_equal(r.status, any ? SEARCH_BEST : SEARCH_INFEASIBLE);
            if (effort == 0 && options.target != SEARCH_MINUS_INFINITY && any && best >= options.target)
                assert_int_equal(r.value, best);
            if (effort == 0 && options.target != SEARCH_MINUS_INFINITY && any && best < options.target)
                assert_true(r.status == SEARCH_BEST || r.bound < options.target);
            solved += r.status == SEARCH_BEST;
            infeasible += r.status == SEARCH_INFEASIBLE;
            search_result_release(&r);
        }
        search_free(search);
    }
    assert_true(solved > (int)seeds);
    assert_true(infeasible > (int)seeds / 4);
}

static void small_programmes_fast(void **state)
{
    (void)state;
    small_sequences(SEARCH_ENGINE_FAST, 500, 0);
    small_sequences(SEARCH_ENGINE_FAST, 150, 5);
}

static void small_programmes_reference(void **state)
{
    (void)state;
    small_sequences(SEARCH_ENGINE_REFERENCE, 60, 0);
}

/* Bounds that follow from earlier proofs, against all points. */
static void kept_bounds_hold(void **state)
{
    (void)state;
    int followed = 0, none = 0;
    for (uint64_t seed = 1; seed <= 1500; seed++) {
        Small s, origin;
        dice_state = seed * 15485863;
        make_small(&s);
        origin = s;
        const SearchProblem first = {COLUMNS,      ROWS,        origin.kind,    origin.objective,
                                     origin.low,   origin.high, origin.row_low, origin.row_high,
                                     origin.start, origin.row,  origin.value,   NULL};
        Warm *warm = warm_new(&s.p);
        ProofTree none_grown = {0};
        Search *unused = search_new(&s.p);
        for (int step = 0; step < 12; step++) {
            int64_t best = 0;
            const bool any = best_of_all(&s, &best);
            const int64_t bound = warm_bound(warm, &s.p);
            assert_true(!any || bound >= best);
            followed += bound != SEARCH_PLUS_INFINITY && bound != SEARCH_MINUS_INFINITY;
            none += bound == SEARCH_MINUS_INFINITY;
            warm_keep_bound(warm, &s.p, any ? best : SEARCH_MINUS_INFINITY, &none_grown);
            const Change c = random_change(&s.p, &first, 1);
            make_change(&s.p, unused, &c);
            warm_load(warm, &s.p);
        }
        search_free(unused);
        warm_free(warm);
    }
    assert_true(followed > 4000);
    assert_true(none > 500);
}

/* What was closed down to a target only proves a bound below the target, even where open nodes and the best solution
 * lie lower. */
static void a_target_holds_the_bound(void **state)
{
    (void)state;
    Small s;
    SearchOptions options;
    Run run;
    dice_state = 1;
    make_small(&s);
    for (int j = 0; j < COLUMNS; j++)
        s.objective[j] = 1;
    for (int i = 0; i < ROWS; i++) {
        s.row_low[i] = SEARCH_MINUS_INFINITY;
        s.row_high[i] = SEARCH_PLUS_INFINITY;
    }
    int64_t x[COLUMNS] = {1};
    search_options_default(&options);
    options.start = x;
    options.target = 5;
    Warm *warm = warm_new(&s.p);
    run_init(&run, &s.p, warm, &options);
    assert_int_equal(run.value, 1);
    assert_int_equal(run_wanted(&run), 5);
    run_open_bound(&run, 6);
    assert_int_equal(run.bound, 6);
    run_open_bound(&run, 2);
    assert_int_equal(run.bound, 4);
    assert_true(run_over(&run) && !run.empty);
    run_close(&run);
    assert_int_equal(run.bound, 4);
    assert_false(run.empty);
    run_release(&run);
    warm_free(warm);
}

static void solve_new(const SearchProblem *p, const SearchOptions *options, SearchResult *result)
{
    Search *search = search_new(p);
    search_run(search, options, result);
    search_free(search);
}

/* Programmes of pool size: warm and cold must not contradict each other, warm must be less work, and two loaded
 * programmes that are asked the same must answer the same on any number of threads. */
static void family_sequence(const FamilyOptions *family, uint64_t seed, int64_t step, int64_t *warm_pivots,
                            int64_t *cold_pivots, int *both)
{
    SearchProblem *p = family_new(family), *origin = problem_copy(p);
    Search *search = search_new(p), *other = search_new(p);
    dice_state = seed;
    for (int k = 0; k < 10; k++) {
        const Change c = k % 3 == 2 ? present(origin, (What)roll(0, 2), (int)roll(0, origin->rows - 1))
                                    : random_change(p, origin, step);
        make_change(p, search, &c);
        make_change(p, other, &c);
        SearchOptions options;
        SearchResult warm, same, cold;
        search_options_default(&options);
        options.effort = 40000;
        options.gap_ppm = k % 2 == 0 ? 0 : 300;
        search_run(search, &options, &warm);
        options.threads = 2;
        search_run(other, &options, &same);
        solve_new(p, &options, &cold);
        assert_int_equal(warm.status, same.status);
        assert_int_equal(warm.bound, same.bound);
        assert_int_equal(warm.value, same.value);
        assert_int_equal(warm.statistics.pivots, same.statistics.pivots);
        if (warm.has_solution)
            assert_memory_equal(warm.x, same.x, (size_t)p->columns * sizeof *warm.x);
        int64_t value = 0;
        assert_true(!warm.has_solution ||
                    (search_feasible(p, warm.x, &value) && value == warm.value && value <= cold.bound));
        assert_true(!cold.has_solution || cold.value <= warm.bound);
        assert_true(!(warm.status == SEARCH_INFEASIBLE && cold.has_solution) &&
                    !(cold.status == SEARCH_INFEASIBLE && warm.has_solution));
        if (warm.status == SEARCH_BEST && cold.status == SEARCH_BEST) {
            assert_int_equal(warm.value, cold.value);
            ++*both;
        }
        if (cold.status == SEARCH_BEST) { /* what is asked only down to a target must not sink below the best */
            SearchResult asked;
            options.target = cold.value + 100 * roll(-1, 4);
            const bool by_loaded = roll(0, 1);
            if (by_loaded) {
                search_run(other, &options, &asked);
                search_result_release(&asked);
                search_run(search, &options, &asked);
            } else
                solve_new(p, &options, &asked);
            assert_true(asked.bound >= cold.value);
            assert_true(cold.value < options.target || asked.value == cold.value || asked.status == SEARCH_STOPPED ||
                        asked.status == SEARCH_WITHIN_GAP);
            search_result_release(&asked);
        }
        *warm_pivots += k > 0 ? warm.statistics.pivots : 0;
        *cold_pivots += k > 0 ? cold.statistics.pivots : 0;
        search_result_release(&warm);
        search_result_release(&same);
        search_result_release(&cold);
    }
    search_free(search);
    search_free(other);
    problem_free(origin);
    family_free(p);
}

static void programmes_of_pool_size(void **state)
{
    (void)state;
    int64_t warm = 0, cold = 0;
    int both = 0;
    for (uint64_t seed = 1; seed <= 4; seed++) {
        const FamilyOptions plain = {
            .shape = FAMILY_PLAIN, .candidates = 1200, .whole = seed % 2 == 0, .all_bind = seed == 4, .seed = seed};
        family_sequence(&plain, seed, 1, &warm, &cold, &both);
    }
    assert_true(both >= 6);
    assert_true(warm * 2 < cold);
    const FamilyOptions places = {.shape = FAMILY_PLACES, .candidates = 500, .seed = 3};
    family_sequence(&places, 9, 1, &warm, &cold, &both);
}

/* A row that nobody heeds is loosened: no kept bound holds then, but the tree of the last proof closes again, with few
 * nodes being searched or none. */
static void a_tree_closes_again(void **state)
{
    (void)state;
    int trees = 0, closed = 0;
    int64_t nodes[2] = {0, 0};
    for (uint64_t seed = 1; seed <= 12; seed++) {
        const FamilyOptions family = {.candidates = 1200, .whole = seed % 3 == 0, .seed = 900 + seed};
        SearchProblem *p = family_new(&family);
        Search *search = search_new(p);
        SearchOptions options;
        SearchResult first, again, anew;
        search_options_default(&options);
        options.effort = 60000;
        search_run(search, &options, &first);
        for (int i = 0; i < p->rows && first.status == SEARCH_BEST && first.statistics.nodes > 4; i++) {
            int64_t sum = 0;
            for (int j = 0; j < p->columns; j++)
                for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
                    sum += p->row[k] == i ? p->value[k] * first.x[j] : 0;
            if (p->row_high[i] == SEARCH_PLUS_INFINITY || sum > p->row_high[i] - 3 || first.row_dual[i] != 0)
                continue;
            search_set_row(search, i, p->row_low[i], p->row_high[i] + 1);
            search_run(search, &options, &again);
            p->row_high[i]++;
            Search *fresh = search_new(p);
            search_run(fresh, &options, &anew);
            if (anew.status == SEARCH_BEST) {
                assert_int_equal(again.status, SEARCH_BEST);
                assert_int_equal(again.value, anew.value);
            }
            trees++;
            closed += again.statistics.nodes == 0;
            nodes[0] += first.statistics.nodes;
            nodes[1] += again.statistics.nodes;
            search_free(fresh);
            search_result_release(&anew);
            search_result_release(&again);
            break;
        }
        search_result_release(&first);
        search_free(search);
        family_free(p);
    }
    assert_true(trees >= 6);
    assert_true(closed * 2 >= trees);
    assert_true(nodes[1] * 8 <= nodes[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(small_programmes_fast),    cmocka_unit_test(small_programmes_reference),
        cmocka_unit_test(kept_bounds_hold),         cmocka_unit_test(a_tree_closes_again),
        cmocka_unit_test(a_target_holds_the_bound), cmocka_unit_test(programmes_of_pool_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
