/* test_certificate.c - certificates of random programmes (invented, support/programme_make.c) against trying every
 * point: what is true can be certified, what is false can't, whoever has changed a certificate. And a few steps by
 * hand, with what checker.h says they come to. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "support/certificates.h"
#include "support/family.h"
#include "support/knapsack.h"
#include "support/programme_make.h"
#include "support/run.h"

static bool certify(const SearchProblem *p, int64_t wanted, const int64_t *x, int64_t effort, Certificate *c)
{
    return certificate_made(p, p, wanted, x, effort, c);
}

/* --- by hand --- */

/* Maximise 5 a + 4 b + 3 c, 2 a + 3 b + c <= 5, 4 a + b + 2 c <= 11, 3 a + 4 b + 2 c <= 8, all 0 or 1 or 2: the
 * example that opens V. Chvátal, "Linear Programming", 1983 (there without upper bounds and fractional; its optimum 13
 * at (2, 0, 1) with duals 1, 0, 1 is given there, from memory). */
static SearchProblem *chvatal(void)
{
    static const int64_t matrix[3][3] = {{2, 3, 1}, {4, 1, 2}, {3, 4, 2}}, objective[] = {5, 4, 3}, side[] = {5, 11, 8};
    SearchProblem *p = mem_new(1, sizeof *p);
    search_problem_init(p, 3, 3, 9);
    size_t at = 0;
    for (int j = 0; j < 3; j++) {
        p->kind[j] = SEARCH_INTEGER;
        p->objective[j] = objective[j];
        p->high[j] = 2;
        p->start[j] = at;
        for (int i = 0; i < 3; i++, at++) {
            p->row[at] = i;
            p->value[at] = matrix[i][j];
        }
    }
    p->start[3] = at;
    for (int i = 0; i < 3; i++) {
        p->row_low[i] = SEARCH_MINUS_INFINITY;
        p->row_high[i] = side[i];
    }
    return p;
}

static void a_published_optimum_by_its_duals(void **state)
{
    (void)state;
    SearchProblem *p = chvatal();
    Certificate c = {.wanted = 14};
    certificate_step(&c, CERTIFICATE_BOUND, 0);
    certificate_term(&c, 0, INT64_C(1) << CERTIFICATE_GRID);
    certificate_term(&c, 2, INT64_C(1) << CERTIFICATE_GRID);
    assert_null(certificate_trouble(p, &c));
    c.wanted = 13; /* there is a point of 13 */
    assert_string_equal(certificate_trouble(p, &c), "it ends before all is proven");
    certificate_release(&c);
    family_free(p);
}

/* 2 a + 2 b + 2 c = 3 is empty by its common divisor, with no step at all; 2 a + 2 b + 2 c <= 3 leaves one of them. */
static void rows_are_rounded_by_their_divisor(void **state)
{
    (void)state;
    SearchProblem *p = mem_new(1, sizeof *p);
    search_problem_init(p, 3, 1, 3);
    for (int j = 0; j < 3; j++) {
        p->high[j] = p->objective[j] = 1;
        p->start[j] = (size_t)j;
        p->value[j] = 2;
    }
    p->start[3] = 3;
    p->row_low[0] = p->row_high[0] = 3;
    Certificate c = {.wanted = CERTIFICATE_ANY};
    assert_null(certificate_trouble(p, &c));
    p->row_low[0] = SEARCH_MINUS_INFINITY;
    assert_string_equal(certificate_trouble(p, &c), "it ends before all is proven");
    c.wanted = 2;
    certificate_step(&c, CERTIFICATE_BOUND, 0);
    certificate_term(&c, 0, INT64_C(1) << (CERTIFICATE_GRID - 1)); /* half of 2 each: a + b + c <= 1, not 3 / 2 */
    assert_null(certificate_trouble(p, &c));
    certificate_release(&c);
    family_free(p);
}

/* The triangle a + b <= 1, b + c <= 1, a + c <= 1: their sum over 2, rounded, is a + b + c <= 1 (the first example of a
 * rounding cut in most texts, as in L. A. Wolsey, "Integer Programming", 1998; common practice). */
static SearchProblem *triangle(void)
{
    SearchProblem *p = mem_new(1, sizeof *p);
    search_problem_init(p, 3, 3, 6);
    static const int row[] = {0, 2, 0, 1, 1, 2};
    for (int j = 0; j < 3; j++) {
        p->high[j] = p->objective[j] = 1;
        p->start[j] = 2 * (size_t)j;
    }
    p->start[3] = 6;
    for (int k = 0; k < 6; k++) {
        p->row[k] = row[k];
        p->value[k] = 1;
    }
    for (int i = 0; i < 3; i++) {
        p->row_low[i] = SEARCH_MINUS_INFINITY;
        p->row_high[i] = 1;
    }
    return p;
}

static void a_cut(void **state)
{
    (void)state;
    SearchProblem *p = triangle();
    Certificate c = {.wanted = 2};
    certificate_step(&c, CERTIFICATE_CUT, 0)->divisor = 2;
    for (int i = 0; i < 3; i++)
        certificate_term(&c, i, 1);
    certificate_step(&c, CERTIFICATE_BOUND, 0);
    certificate_term(&c, p->rows, INT64_C(1) << CERTIFICATE_GRID);
    assert_null(certificate_trouble(p, &c));
    c.step[0].divisor = 1; /* nothing is rounded */
    assert_string_equal(certificate_trouble(p, &c), "it leaves no column");
    c.step[0].divisor = 2;
    c.term[0].row = 7;
    assert_string_equal(certificate_trouble(p, &c), "it names a row that is not there");
    certificate_release(&c);
    family_free(p);
}

/* A cut that was made on one side of a branch is not there on the other. */
static void a_cut_is_of_its_node(void **state)
{
    (void)state;
    SearchProblem *p = triangle();
    Certificate c = {.wanted = 2};
    CertificateStep *step = certificate_step(&c, CERTIFICATE_BRANCH, 0);
    step->column = 0;
    step->at = 0;
    certificate_step(&c, CERTIFICATE_CUT, 1)->divisor = 2; /* a = 0: b + c <= 1 */
    for (int i = 0; i < 3; i++)
        certificate_term(&c, i, 1);
    certificate_step(&c, CERTIFICATE_BOUND, 1);
    certificate_term(&c, p->rows, INT64_C(1) << CERTIFICATE_GRID);
    certificate_step(&c, CERTIFICATE_BOUND, 1); /* a = 1: the others are 0 by their rows */
    assert_null(certificate_trouble(p, &c));
    certificate_term(&c, p->rows, 1);
    assert_string_equal(certificate_trouble(p, &c), "it names a row that is not there");
    c.step[2].depth = 2;
    assert_string_equal(certificate_trouble(p, &c), "it is not of the node that is next");
    certificate_release(&c);
    family_free(p);
}

/* --- at random --- */

typedef struct {
    int certified, open, without_solution;
    size_t steps, branches, cuts, deep_cuts;
} Counts;

static void count_steps(const Certificate *c, Counts *counts)
{
    counts->certified++;
    counts->steps += c->steps;
    for (size_t k = 0; k < c->steps; k++) {
        counts->branches += c->step[k].kind == CERTIFICATE_BRANCH;
        counts->cuts += c->step[k].kind == CERTIFICATE_CUT;
        counts->deep_cuts += c->step[k].kind == CERTIFICATE_CUT && c->step[k].depth > 0;
    }
}

static void small_ones_against_trying_all(void **state)
{
    (void)state;
    Counts counts = {0};
    const uint64_t first = (uint64_t)environment_number("POOLWRIGHT_SEED", 1),
                   many = (uint64_t)environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(3000));
    for (uint64_t seed = first; seed < first + many; seed++) {
        SearchProblem *p = programme_make(PROGRAMME_SMALL, seed);
        Certificate c;
        int64_t best = 0;
        const bool any = programme_try_all(p, &best);
        if (!certify(p, any ? best + 1 : CERTIFICATE_ANY, NULL, 200000, &c))
            counts.open++;
        else if (certificate_trouble(p, &c) != NULL)
            fail_msg("seed %llu: %s", (unsigned long long)seed, certificate_trouble(p, &c));
        else {
            count_steps(&c, &counts);
            certificate_expect_readable(p, &c);
            counts.without_solution += !any;
            if (any)
                certificate_refuse_changed(p, &c, best, seed);
        }
        certificate_release(&c);
        if (any && certify(p, best, NULL, 2000, &c))
            fail_msg("seed %llu: what is false was certified", (unsigned long long)seed);
        certificate_release(&c);
        family_free(p);
    }
    print_message("%d certified, %d not, %d of them without a solution; %zu steps, %zu branches, %zu cuts\n",
                  counts.certified, counts.open, counts.without_solution, counts.steps, counts.branches, counts.cuts);
    assert_true(counts.open * 200 <= counts.certified);
    assert_true(getenv("POOLWRIGHT_SEED") != NULL ||
                (counts.without_solution * 10 >= counts.certified && counts.branches > 0));
}

/* What the search calls best is certified. */
static void expect_certified(const SearchProblem *p, size_t least_branches, size_t least_cuts)
{
    Search *search = search_new(p);
    SearchOptions options;
    SearchResult r;
    Certificate c;
    Counts counts = {0};
    search_options_default(&options);
    search_run(search, &options, &r);
    assert_int_equal(r.status, SEARCH_BEST);
    assert_true(certify(p, r.value + 1, r.x, 0, &c));
    assert_null(certificate_trouble(p, &c));
    certificate_expect_readable(p, &c);
    count_steps(&c, &counts);
    assert_true(counts.branches >= least_branches && counts.cuts >= least_cuts);
    certificate_refuse_changed(p, &c, r.value, 1);
    certificate_release(&c);
    search_result_release(&r);
    search_free(search);
}

/* Pools of 360: with many cuts, pairs (columns that follow others), places (columns that are the sum of others). */
static void pools(void **state)
{
    (void)state;
    const FamilyOptions family[] = {
        {.candidates = 1200, .step = 100, .all_bind = true, .seed = 203},
        {.shape = FAMILY_PAIRS, .candidates = 1200, .step = 100, .all_bind = true, .seed = 202},
        {.shape = FAMILY_PLACES, .candidates = 1200, .step = 1000, .seed = 202},
        {.candidates = 2000, .step = 1000, .hard = true, .seed = 612},
    };
    const size_t tried = sizeof family / sizeof *family - sanitised(); /* the last is of the kind of the first */
    for (size_t k = 0; k < tried; k++) {
        SearchProblem *p = family_new(&family[k]);
        expect_certified(p, k == 0 ? 10 : 0, k == 0 ? 10 : 0);
        family_free(p);
    }
}

/* Once a tree is hard its jobs round cuts for their own boxes: these are steps, too. */
static void pools_with_cuts_below_branches(void **state)
{
    (void)state;
    const FamilyOptions family = {.candidates = 2000, .step = 100, .all_bind = true, .seed = 202};
    if (sanitised())
        skip(); /* half a minute there */
    SearchProblem *p = family_new(&family);
    SearchOptions options;
    SearchResult r;
    Certificate c;
    Counts counts = {0};
    Search *search = search_new(p);
    search_options_default(&options);
    search_run(search, &options, &r);
    assert_true(certify(p, r.value + 1, r.x, 200000, &c)); /* it takes 97,000 pivots */
    assert_null(certificate_trouble(p, &c));
    count_steps(&c, &counts);
    assert_true(counts.deep_cuts >= 100);
    c.wanted = r.value;
    assert_non_null(certificate_trouble(p, &c));
    certificate_release(&c);
    search_result_release(&r);
    search_free(search);
    family_free(p);
}

/* Drawn as Chu and Beasley drew theirs: trees, next to no cuts. */
static void knapsacks(void **state)
{
    (void)state;
    SearchProblem *p = knapsack_drawn(5, 40, 2, 1);
    expect_certified(p, 10, 0);
    family_free(p);
}

/* Effort that runs out certifies nothing. */
static void little_effort(void **state)
{
    (void)state;
    const FamilyOptions family = {.candidates = 1200, .step = 100, .all_bind = true, .seed = 203};
    SearchProblem *p = family_new(&family);
    Certificate c;
    assert_false(certify(p, 3092800, NULL, 500, &c));
    certificate_release(&c);
    family_free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_published_optimum_by_its_duals),
        cmocka_unit_test(rows_are_rounded_by_their_divisor),
        cmocka_unit_test(a_cut),
        cmocka_unit_test(a_cut_is_of_its_node),
        cmocka_unit_test(small_ones_against_trying_all),
        cmocka_unit_test(pools),
        cmocka_unit_test(pools_with_cuts_below_branches),
        cmocka_unit_test(knapsacks),
        cmocka_unit_test(little_effort),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
