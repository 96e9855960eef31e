/* test_export.c - what GLPK's readers find in the files that `export` writes, against the programme itself, number by
 * number: random programmes with rows that have no side or that nothing meets, columns that are in no row, and numbers
 * as long as each format holds. One digit more is refused. And what the search loads of a programme in GLPK's terms.
 * GLPK's readers are no part of the product; test_solvers.c lets other programs read such files. */
#include <float.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <glpk.h>

#include "base/memory.h"
#include "programme/programme.h"
#include "search/linear/glpk.h"
#include "support/family.h"
#include "support/lab.h"
#include "support/programme_make.h"

#define LP_MOST INT64_C(999999999999999) /* 15 digits */
#define MPS_MOST INT64_C(999999999999)   /* 12 characters */
#define MPS_LEAST (-INT64_C(99999999999))

typedef struct {
    Lab lab;
    Programme programme; /* of one card, whatever the columns are */
} Bench;

static void bench_open(Bench *bench, SearchProblem *problem)
{
    lab_model(&bench->lab, "size: 1\ncolours: [brass]\n", "");
    lab_file(&bench->lab, "c.csv", "name,colours,power\nTub,brass,1\n");
    lab_need(&bench->lab, "s.yaml");
    bench->programme = (Programme){.instance = bench->lab.instance, .problem = *problem};
    mem_free(problem);
    bench->programme.column = mem_new((size_t)bench->programme.problem.columns, sizeof *bench->programme.column);
    bench->programme.row = mem_new((size_t)bench->programme.problem.rows, sizeof *bench->programme.row);
    for (int j = 0; j < bench->programme.problem.columns; j++)
        bench->programme.column[j] = (ProgrammeColumn){.role = COLUMN_COPIES, .form = -1};
    for (int i = 0; i < bench->programme.problem.rows; i++)
        bench->programme.row[i] = (ProgrammeRow){.role = ROW_ORDER, .form = -1, .divisor = 1};
}

static void bench_close(Bench *bench)
{
    glp_delete_prob(bench->programme.lp);
    search_problem_release(&bench->programme.problem);
    mem_free(bench->programme.column);
    mem_free(bench->programme.row);
    lab_close(&bench->lab);
}

/* NULL: refused, and so said. */
static glp_prob *read_back(Bench *bench, ExportFormat format)
{
    size_t length = 0;
    if (bench->programme.lp != NULL)
        glp_delete_prob(bench->programme.lp);
    bench->programme.lp = glpk_problem(&bench->programme.problem);
    glpk_name(bench->programme.lp);
    char *text = programme_export(&bench->programme, format, &length, &bench->lab.diags);
    if (text == NULL) {
        assert_true(bench->lab.diags.errors > 0);
        return NULL;
    }
    assert_int_equal(strlen(text), length);
    lab_file(&bench->lab, "pool", text);
    mem_free(text);
    glp_prob *lp = glp_create_prob();
    assert_int_equal(format == EXPORT_LP ? glp_read_lp(lp, NULL, "pool") : glp_read_mps(lp, GLP_MPS_FILE, NULL, "pool"),
                     0);
    assert_int_equal(glp_get_obj_dir(lp), format == EXPORT_LP ? GLP_MAX : GLP_MIN);
    glp_create_index(lp);
    return lp;
}

static int row_of(glp_prob *lp, int i, const char *suffix)
{
    char name[32];
    snprintf(name, sizeof name, "r%d%s", i, suffix);
    return glp_find_row(lp, name);
}

/* The sides of a row, the other column of a row with two (in LP) taken into account. */
static void read_sides(glp_prob *lp, int row, double *low, double *high)
{
    int index[100];
    double value[100];
    *low = glp_get_row_lb(lp, row);
    *high = glp_get_row_ub(lp, row);
    const int count = glp_get_mat_row(lp, row, index, value);
    for (int k = 1; k <= count; k++)
        if (glp_get_col_name(lp, index[k])[0] == '~') {
            assert_true(value[k] == -1.0);
            *low += glp_get_col_lb(lp, index[k]);
            *high += glp_get_col_ub(lp, index[k]);
        }
}

static void check_row(const SearchProblem *p, glp_prob *lp, int i)
{
    const bool has_low = p->row_low[i] != SEARCH_MINUS_INFINITY, has_high = p->row_high[i] != SEARCH_PLUS_INFINITY;
    const int row = row_of(lp, i, ""), lower = row_of(lp, i, "l");
    double low, high;
    assert_true((row > 0) == (has_low || has_high));
    if (row == 0)
        return;
    read_sides(lp, row, &low, &high);
    assert_true((lower > 0) == (has_low && has_high && p->row_low[i] > p->row_high[i]));
    if (lower > 0) {
        double none;
        read_sides(lp, lower, &low, &none);
        assert_int_equal(glp_get_row_type(lp, lower), GLP_LO);
        assert_int_equal(glp_get_row_type(lp, row), GLP_UP);
    }
    assert_true(has_low ? low == (double)p->row_low[i] : low == -DBL_MAX);
    assert_true(has_high ? high == (double)p->row_high[i] : high == DBL_MAX);
}

static void check_column(const SearchProblem *p, glp_prob *lp, int j, double sign)
{
    char name[32];
    int index[200];
    double value[200];
    snprintf(name, sizeof name, "c%d", j);
    const int column = glp_find_col(lp, name);
    if (column == 0) { /* only one that says nothing */
        assert_true(p->objective[j] == 0);
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            assert_int_equal(row_of(lp, p->row[k], ""), 0);
        return;
    }
    assert_true(glp_get_obj_coef(lp, column) == sign * (double)p->objective[j]);
    assert_true(glp_get_col_lb(lp, column) == (double)p->low[j] && glp_get_col_ub(lp, column) == (double)p->high[j]);
    assert_int_equal(glp_get_col_kind(lp, column) == GLP_CV, p->kind[j] == SEARCH_CONTINUOUS);
    int count = glp_get_mat_col(lp, column, index, value);
    for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
        const int both[] = {row_of(lp, p->row[k], ""), row_of(lp, p->row[k], "l")};
        for (int side = 0; side < 2; side++) {
            bool found = false;
            for (int at = 1; both[side] > 0 && at <= glp_get_mat_col(lp, column, index, value); at++)
                found = found || (index[at] == both[side] && value[at] == (double)p->value[k]);
            assert_int_equal(found, both[side] > 0);
            count -= found;
        }
    }
    assert_int_equal(count, 0);
}

static void check_file(Bench *bench, ExportFormat format)
{
    const SearchProblem *p = &bench->programme.problem;
    glp_prob *lp = read_back(bench, format);
    assert_non_null(lp);
    for (int i = 0; i < p->rows; i++)
        check_row(p, lp, i);
    for (int j = 0; j < p->columns; j++)
        check_column(p, lp, j, format == EXPORT_LP ? 1.0 : -1.0);
    glp_delete_prob(lp);
}

/* Odd rows and columns, of which a scenario has few. */
static void make_odd(SearchProblem *p, uint64_t *state)
{
    const int row = (int)(programme_random(state) % (uint64_t)p->rows);
    const int column = (int)(programme_random(state) % (uint64_t)p->columns);
    switch (programme_random(state) % 4) {
    case 0:
        if (row == 0)
            break;
        p->row_low[row] = SEARCH_MINUS_INFINITY;
        p->row_high[row] = SEARCH_PLUS_INFINITY;
        break;
    case 1:
        p->row_low[row] = 7;
        p->row_high[row] = -5;
        break;
    case 2: p->objective[column] = 0; break;
    default:
        p->row_low[row] = MPS_LEAST;
        p->row_high[row] = MPS_MOST + MPS_LEAST;
        break;
    }
}

static void same_programme(void **unused)
{
    (void)unused;
    for (uint64_t seed = 1; seed <= 200; seed++) {
        uint64_t state = seed;
        Bench bench;
        SearchProblem *problem = programme_make(PROGRAMME_SMALL, seed);
        if (problem->rows == 0) { /* the size of the pool always is a row */
            family_free(problem);
            continue;
        }
        bench_open(&bench, problem);
        for (int change = 0; change < 3; change++)
            make_odd(&bench.programme.problem, &state);
        check_file(&bench, EXPORT_LP);
        check_file(&bench, EXPORT_MPS);
        bench_close(&bench);
    }
}

static void same_numbers(const int64_t *a, const int64_t *b, size_t count)
{
    for (size_t k = 0; k < count; k++)
        assert_true(a[k] == b[k]);
}

/* What the search loads of GLPK's object is what went into it. */
static void loaded_again(void **unused)
{
    (void)unused;
    for (uint64_t seed = 1; seed <= 200; seed++) {
        uint64_t state = seed;
        SearchProblem *p = programme_make(PROGRAMME_SMALL, seed), loaded;
        for (int change = 0; change < 3 && p->rows > 0; change++)
            make_odd(p, &state);
        glp_prob *lp = glpk_problem(p);
        glp_sort_matrix(lp); /* the order within GLPK does not matter */
        assert_true(glpk_load(lp, &loaded));
        const size_t n = (size_t)p->columns, m = (size_t)p->rows;
        assert_true(loaded.columns == p->columns && loaded.rows == p->rows && loaded.start[n] == p->start[n]);
        same_numbers(loaded.objective, p->objective, n);
        same_numbers(loaded.low, p->low, n);
        same_numbers(loaded.high, p->high, n);
        same_numbers(loaded.row_low, p->row_low, m);
        same_numbers(loaded.row_high, p->row_high, m);
        same_numbers(loaded.value, p->value, p->start[n]);
        for (size_t k = 0; k < p->start[n]; k++)
            assert_int_equal(loaded.row[k], p->row[k]);
        for (size_t j = 0; j < n; j++) {
            assert_int_equal(loaded.start[j], p->start[j]);
            assert_int_equal(loaded.kind[j] == SEARCH_CONTINUOUS, p->kind[j] == SEARCH_CONTINUOUS);
        }
        search_problem_release(&loaded);
        glp_delete_prob(lp);
        family_free(p);
    }
}

/* A number that the search could not have exactly. */
static void not_loaded(void **unused)
{
    (void)unused;
    const double most = 9007199254740991.0, wrong[] = {0.5, most + 1, -most - 1, 1e300};
    for (size_t k = 0; k <= sizeof wrong / sizeof *wrong; k++)
        for (int where = 0; where < 5; where++) {
            const int index[] = {0, 1};
            const double number = k == 0 ? most : wrong[k - 1], value[] = {0.0, where == 0 ? number : 1.0};
            SearchProblem loaded;
            glp_prob *lp = glp_create_prob();
            glp_add_rows(lp, 1);
            glp_add_cols(lp, 1);
            glp_set_mat_row(lp, 1, 1, index, value);
            glp_set_obj_coef(lp, 1, where == 1 ? number : 1.0);
            glp_set_col_bnds(lp, 1, GLP_DB, -1e15, where == 2 ? number : 1e15);
            glp_set_row_bnds(lp, 1, GLP_DB, where == 3 ? number : 1.0, where == 4 ? number : 1.0);
            assert_int_equal(glpk_load(lp, &loaded), k == 0);
            search_problem_release(&loaded);
            glp_set_col_bnds(lp, 1, GLP_LO, 0.0, 0.0);
            assert_false(glpk_load(lp, &loaded));
            search_problem_release(&loaded);
            glp_delete_prob(lp);
        }
}

/* One column in one row, all numbers 1 to begin with. */
static SearchProblem *one_by_one(void)
{
    SearchProblem *p = mem_new(1, sizeof *p);
    *p = (SearchProblem){.columns = 1, .rows = 1};
    int64_t **const numbers[] = {&p->objective, &p->low, &p->high, &p->row_low, &p->row_high, &p->value};
    for (size_t k = 0; k < sizeof numbers / sizeof *numbers; k++)
        *(*numbers[k] = mem_new(1, sizeof **numbers[k])) = 1;
    p->kind = mem_new(1, sizeof *p->kind);
    p->row = mem_new(1, sizeof *p->row);
    p->start = mem_new(2, sizeof *p->start);
    p->start[1] = 1;
    return p;
}

static int64_t *number(SearchProblem *p, int which)
{
    int64_t *const all[] = {p->objective, p->low, p->high, p->row_low, p->row_high, p->value};
    return all[which];
}

static bool accepted(int which, int64_t value, ExportFormat format)
{
    Bench bench;
    bench_open(&bench, one_by_one());
    SearchProblem *p = &bench.programme.problem;
    if (which == 1 || which == 2)
        *p->low = *p->high = value;
    else if (which == 3 || which == 4)
        *p->row_low = *p->row_high = value;
    else
        *number(p, which) = value;
    glp_prob *lp = read_back(&bench, format);
    const bool good = lp != NULL;
    if (good) {
        glp_delete_prob(lp);
        check_file(&bench, format);
    }
    bench_close(&bench);
    return good;
}

static void long_numbers(void **unused)
{
    (void)unused;
    for (int which = 0; which < 6; which++) {
        const int64_t most = which == 0 ? -MPS_LEAST : MPS_MOST; /* the objective is negated */
        assert_true(accepted(which, LP_MOST, EXPORT_LP) && accepted(which, -LP_MOST, EXPORT_LP));
        assert_false(accepted(which, LP_MOST + 1, EXPORT_LP) || accepted(which, -LP_MOST - 1, EXPORT_LP));
        assert_true(accepted(which, most, EXPORT_MPS) && accepted(which, MPS_LEAST, EXPORT_MPS));
        assert_false(accepted(which, most + 1, EXPORT_MPS) || accepted(which, MPS_LEAST - 1, EXPORT_MPS));
    }
}

/* RANGES are widths: they may be longer than both sides. */
static void long_ranges(void **unused)
{
    (void)unused;
    Bench bench;
    bench_open(&bench, one_by_one());
    *bench.programme.problem.row_low = MPS_LEAST;
    *bench.programme.problem.row_high = MPS_MOST;
    assert_null(read_back(&bench, EXPORT_MPS));
    check_file(&bench, EXPORT_LP);
    *bench.programme.problem.row_high = MPS_MOST + MPS_LEAST;
    check_file(&bench, EXPORT_MPS);
    bench_close(&bench);
}

int main(void)
{
    glp_term_out(GLP_OFF);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_programme), cmocka_unit_test(loaded_again), cmocka_unit_test(not_loaded),
        cmocka_unit_test(long_numbers),   cmocka_unit_test(long_ranges),
    };
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    glp_free_env();
    return failed;
}
