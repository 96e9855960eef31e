/* test_protected.c - rows that hold whichever Gamma coefficients rise: random programmes with one to three of them, by
 * both engines and by trying every point, with several copies, fractional Gamma, rows that a choice switches off;
 * solved again after changes of sides and bounds; larger ones by both engines. The worst case of a point is counted
 * here by taking the greatest rises, from its meaning alone. Invented data; PROTECTED=N for more programmes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/risk/protection.h"
#include "support/certificates.h"
#include "support/family.h"
#include "support/programme_make.h"

enum { MOST_COLUMNS = 34, MOST_ROWS = 3 };

/* The columns are the cards, then the choice (if there is one), then a threshold for each row. */
typedef struct {
    int cards, rows;
    bool choice;
    int64_t fit[MOST_COLUMNS], low[MOST_COLUMNS], high[MOST_COLUMNS];
    int64_t price[MOST_ROWS][MOST_COLUMNS], rise[MOST_ROWS][MOST_COLUMNS], cap[MOST_ROWS], off[MOST_ROWS];
    int64_t size_low, size_high, gamma, weight;
} Shape;

static int64_t below(uint64_t *s, int64_t n)
{
    return (int64_t)(programme_random(s) % (uint64_t)n);
}

static Shape draw(uint64_t seed, int cards, bool copies)
{
    uint64_t s = seed;
    static const int64_t gamma[][2] = {{0, 1}, {1, 1}, {2, 1}, {3, 1}, {5, 2}, {1, 4}, {1300, 1000}, {9, 1}};
    Shape shape = {.cards = cards, .rows = 1 + (int)below(&s, MOST_ROWS), .choice = below(&s, 3) == 0};
    const size_t g = (size_t)below(&s, sizeof gamma / sizeof *gamma);
    shape.gamma = gamma[g][0];
    shape.weight = gamma[g][1];
    const int64_t range = 4 + below(&s, 40);
    int64_t all[MOST_ROWS] = {0};
    for (int j = 0; j < cards; j++) {
        shape.fit[j] = 1 + below(&s, 30) - (below(&s, 8) == 0 ? 15 : 0);
        shape.high[j] = copies && below(&s, 3) == 0 ? 2 + below(&s, 2) : 1;
        shape.low[j] = below(&s, 14) == 0;
        for (int r = 0; r < shape.rows; r++) {
            if (r > 0 && below(&s, 2) == 0)
                continue;
            shape.price[r][j] = below(&s, 5) == 0 ? 0 : below(&s, range);
            shape.rise[r][j] = below(&s, 4) == 0 ? 0 : below(&s, range);
            all[r] += (shape.price[r][j] + shape.rise[r][j]) * shape.high[j];
        }
    }
    for (int r = 0; r < shape.rows; r++) {
        shape.cap[r] = all[r] * (10 + below(&s, 50)) / 100;
        shape.off[r] = shape.choice && below(&s, 2) == 0 ? all[r] : 0;
    }
    shape.size_low = below(&s, cards / 2 + 1);
    shape.size_high = shape.size_low + below(&s, cards / 2 + 1);
    return shape;
}

static SearchProblem *state_problem(const Shape *shape)
{
    const int n = shape->cards + shape->choice + shape->rows;
    const size_t columns = (size_t)n, rows = (size_t)shape->rows + 1, entries = columns * rows;
    SearchProblem *p = mem_new(1, sizeof *p);
    *p = (SearchProblem){.columns = n,
                         .rows = shape->rows + 1,
                         .kind = mem_new(columns, sizeof *p->kind),
                         .objective = mem_new(columns, sizeof *p->objective),
                         .low = mem_new(columns, sizeof *p->low),
                         .high = mem_new(columns, sizeof *p->high),
                         .row_low = mem_new(rows, sizeof *p->row_low),
                         .row_high = mem_new(rows, sizeof *p->row_high),
                         .start = mem_new(columns + 1, sizeof *p->start),
                         .row = mem_new(entries, sizeof *p->row),
                         .value = mem_new(entries, sizeof *p->value),
                         .protections = protections_new()};
    size_t at = 0;
    for (int j = 0; j < n; j++) {
        p->start[j] = at;
        const bool card = j < shape->cards, choice = shape->choice && j == shape->cards;
        p->kind[j] = card && shape->high[j] > 1 ? SEARCH_INTEGER : card || choice ? SEARCH_BINARY : SEARCH_CONTINUOUS;
        p->objective[j] = card ? shape->fit[j] : choice ? -7 : 0;
        p->low[j] = card ? shape->low[j] : 0;
        p->high[j] = card ? shape->high[j] : 1;
        if (card) {
            p->row[at] = 0;
            p->value[at++] = 1;
        }
        for (int r = 0; (card || choice) && r < shape->rows; r++) {
            p->row[at] = 1 + r;
            p->value[at] = card ? shape->price[r][j] : -shape->off[r];
            at += p->value[at] != 0;
        }
    }
    p->start[n] = at;
    p->row_low[0] = shape->size_low;
    p->row_high[0] = shape->size_high;
    for (int r = 0; r < shape->rows; r++) {
        int column[MOST_COLUMNS], count = 0;
        int64_t rise[MOST_COLUMNS];
        const int threshold = shape->cards + shape->choice + r;
        p->row_low[1 + r] = SEARCH_MINUS_INFINITY;
        p->row_high[1 + r] = shape->cap[r];
        for (int j = 0; j < shape->cards; j++)
            if (shape->rise[r][j] > 0) {
                column[count] = j;
                rise[count++] = shape->rise[r][j];
                const int64_t most = shape->rise[r][j] * shape->high[j];
                p->high[threshold] = most > p->high[threshold] ? most : p->high[threshold];
            }
        protections_add(p->protections, 1 + r, threshold, shape->gamma, shape->weight, count, column, rise);
    }
    return p;
}

/* --- by trying --- */

static int downwards(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x < y) - (x > y);
}

/* Times weight. */
static int64_t risen(const Shape *shape, int r, const int64_t *x)
{
    int64_t rise[MOST_COLUMNS], sum = 0, left = shape->gamma;
    for (int j = 0; j < shape->cards; j++) {
        sum += shape->weight * shape->price[r][j] * x[j];
        rise[j] = shape->rise[r][j] * x[j];
    }
    qsort(rise, (size_t)shape->cards, sizeof *rise, downwards);
    for (int k = 0; k < shape->cards && left > 0; k++) {
        sum += (left < shape->weight ? left : shape->weight) * rise[k];
        left -= shape->weight;
    }
    return sum;
}

static bool allowed(const Shape *shape, const int64_t *x, int64_t *value)
{
    int64_t size = 0, fit = 0;
    const bool chosen = shape->choice && x[shape->cards] == 1;
    for (int j = 0; j < shape->cards; j++) {
        if (x[j] < shape->low[j] || x[j] > shape->high[j])
            return false;
        size += x[j];
        fit += shape->fit[j] * x[j];
    }
    if (size < shape->size_low || size > shape->size_high)
        return false;
    for (int r = 0; r < shape->rows; r++)
        if (risen(shape, r, x) > shape->weight * (shape->cap[r] + (chosen ? shape->off[r] : 0)))
            return false;
    *value = fit - (chosen ? 7 : 0);
    return true;
}

static bool try_all(const Shape *shape, int64_t *best)
{
    int64_t x[MOST_COLUMNS + 1] = {0}, value;
    bool any = false;
    memcpy(x, shape->low, (size_t)shape->cards * sizeof *x);
    const int last = shape->cards + shape->choice;
    for (;;) {
        if (allowed(shape, x, &value) && (!any || value > *best)) {
            *best = value;
            any = true;
        }
        int j = 0;
        for (; j < last && x[j] == (j < shape->cards ? shape->high[j] : 1); j++)
            x[j] = j < shape->cards ? shape->low[j] : 0;
        if (j == last)
            return any;
        x[j]++;
    }
}

static void judge(const Shape *shape, const SearchResult *r, uint64_t seed)
{
    int64_t best = 0, value = 0;
    const bool any = try_all(shape, &best);
    if (r->status != (any ? SEARCH_BEST : SEARCH_INFEASIBLE) || (any && r->value != best))
        fail_msg("seed %llu: status %d value %lld, but it is %s %lld", (unsigned long long)seed, (int)r->status,
                 (long long)r->value, any ? "" : "none", (long long)best);
    if (any && (!allowed(shape, r->x, &value) || value != best))
        fail_msg("seed %llu: the solution is none", (unsigned long long)seed);
}

static int programmes(int usual)
{
    const char *wanted = getenv("PROTECTED");
    return wanted != NULL ? atoi(wanted) : usual;
}

static void run(Search *search, SearchEngine engine, int64_t effort, SearchResult *r)
{
    SearchOptions options;
    search_options_default(&options);
    options.engine = engine;
    options.effort = effort;
    search_run(search, &options, r);
}

static void as_by_trying(void **state)
{
    (void)state;
    int solved = 0;
    const int count = programmes(4000);
    for (uint64_t seed = 1; seed <= (uint64_t)count; seed++) {
        const bool copies = seed % 2 == 0;
        const Shape shape = draw(seed, copies ? 3 + (int)(seed % 5) : 4 + (int)(seed % 8), copies);
        SearchProblem *p = state_problem(&shape);
        assert_null(search_problem_trouble(p));
        for (int engine = SEARCH_ENGINE_FAST; engine <= SEARCH_ENGINE_REFERENCE; engine++) {
            if (engine == SEARCH_ENGINE_REFERENCE && seed % 4 != 0)
                continue;
            SearchResult r;
            Search *search = search_new(p);
            run(search, (SearchEngine)engine, 0, &r);
            judge(&shape, &r, seed);
            solved += r.has_solution;
            search_result_release(&r);
            search_free(search);
        }
        family_free(p);
    }
    assert_true(solved >= count / 3);
}

/* What earlier runs left is used, and nothing of it is wrong. */
static void again_after_changes(void **state)
{
    (void)state;
    const int count = programmes(600);
    for (uint64_t seed = 1; seed <= (uint64_t)count; seed++) {
        Shape shape = draw(seed * 31, 4 + (int)(seed % 6), seed % 3 == 0);
        uint64_t s = seed;
        SearchProblem *p = state_problem(&shape);
        Search *search = search_new(p);
        for (int change = 0; change < 6; change++) {
            SearchResult r;
            const int row = (int)below(&s, shape.rows), card = (int)below(&s, shape.cards);
            if (change % 2 == 0) {
                shape.cap[row] += below(&s, 41) - 20;
                search_set_row(search, 1 + row, SEARCH_MINUS_INFINITY, shape.cap[row]);
            } else {
                shape.low[card] = 0;
                shape.high[card] = below(&s, 2) == 0 ? 0 : p->high[card];
                search_set_column(search, card, shape.low[card], shape.high[card]);
            }
            run(search, SEARCH_ENGINE_FAST, 0, &r);
            judge(&shape, &r, seed);
            search_result_release(&r);
        }
        search_free(search);
        family_free(p);
    }
}

/* Too many points to try: what one engine proves the other does not contradict, and little effort lies about nothing.
 */
static void larger_ones_by_both(void **state)
{
    (void)state;
    int both = 0;
    const int count = programmes(2400) / 40;
    for (uint64_t seed = 1; seed <= (uint64_t)count; seed++) {
        const Shape shape = draw(seed * 77, 20 + (int)(seed % 12), seed % 3 == 0);
        SearchProblem *p = state_problem(&shape);
        SearchResult fast, reference, little;
        Search *search = search_new(p), *other = search_new(p), *third = search_new(p);
        run(search, SEARCH_ENGINE_FAST, 0, &fast);
        run(other, SEARCH_ENGINE_REFERENCE, 20000, &reference);
        run(third, SEARCH_ENGINE_FAST, 1 + (int64_t)(seed * 37 % 1500), &little);
        int64_t value = 0;
        assert_true(fast.status == SEARCH_BEST || fast.status == SEARCH_INFEASIBLE);
        if (fast.has_solution)
            assert_true(allowed(&shape, fast.x, &value) && value == fast.value);
        if (reference.has_solution)
            assert_true(fast.has_solution && reference.value <= fast.value);
        assert_true(!fast.has_solution || reference.bound >= fast.value);
        if (reference.status == SEARCH_BEST || reference.status == SEARCH_INFEASIBLE) {
            assert_int_equal(reference.status, fast.status);
            assert_int_equal(reference.value, fast.value);
            both++;
        }
        if (little.has_solution)
            assert_true(allowed(&shape, little.x, &value) && value == little.value && value <= fast.value);
        assert_true(!fast.has_solution || (little.status != SEARCH_INFEASIBLE && little.bound >= fast.value));
        search_result_release(&fast);
        search_result_release(&reference);
        search_result_release(&little);
        search_free(search);
        search_free(other);
        search_free(third);
        family_free(p);
    }
    assert_true(both >= count / 2);
}

/* --- certificates --- */

static int orders_in(const Certificate *c, bool in_any_case)
{
    int count = 0;
    for (size_t k = 0; k < c->steps; k++)
        for (size_t t = 0; c->step[k].kind == CERTIFICATE_ORDER && t < c->step[k].terms; t++)
            count += (c->term[c->step[k].first_term + t].multiplier > 0) == in_any_case;
    return count;
}

/* Of the compact form: what is true is certified, what is false never, whoever has changed a certificate. */
static void certified(void **state)
{
    (void)state;
    int certificates = 0, open = 0, none = 0, turns = 0, in_any_case = 0;
    const int count = programmes(2500);
    for (uint64_t seed = 1; seed <= (uint64_t)count; seed++) {
        const bool copies = seed % 2 == 0;
        const Shape shape = draw(seed * 13, copies ? 3 + (int)(seed % 5) : 4 + (int)(seed % 8), copies);
        if (shape.gamma == 0)
            continue;
        SearchProblem *p = state_problem(&shape), *stated = protections_compact(p);
        Certificate c;
        int64_t best = 0;
        const bool any = try_all(&shape, &best);
        if (!certificate_made(p, stated, any ? best + 1 : CERTIFICATE_ANY, NULL, 200000, &c))
            open++;
        else if (certificate_trouble(stated, &c) != NULL)
            fail_msg("seed %llu: %s", (unsigned long long)seed, certificate_trouble(stated, &c));
        else {
            certificates++;
            none += !any;
            turns += orders_in(&c, false);
            in_any_case += orders_in(&c, true);
            certificate_expect_readable(stated, &c);
            if (any)
                certificate_refuse_changed(stated, &c, best, seed);
        }
        certificate_release(&c);
        if (any && certificate_made(p, stated, best, NULL, 2000, &c))
            fail_msg("seed %llu: what is false was certified", (unsigned long long)seed);
        certificate_release(&c);
        family_free(stated);
        family_free(p);
    }
    print_message("%d certified, %d not, %d of them without a solution; in orders %d columns in their turn, %d in any "
                  "case\n",
                  certificates, open, none, turns, in_any_case);
    assert_true(open * 200 <= certificates && none * 20 >= certificates);
    assert_true(count < 1000 || (turns > count && in_any_case > 100));
}

/* Three of 1 each may rise by 3, 2 and 1, one of them at once, and together they have 4: not all three. */
static SearchProblem *three(void)
{
    static const int column[] = {0, 1, 2};
    static const int64_t rise[] = {3, 2, 1};
    SearchProblem *p = mem_new(1, sizeof *p);
    search_problem_init(p, 4, 1, 3);
    for (int j = 0; j < 4; j++) {
        p->start[j] = (size_t)j;
        p->kind[j] = j < 3 ? SEARCH_BINARY : SEARCH_CONTINUOUS;
        p->objective[j] = j < 3;
        p->high[j] = j < 3 ? 1 : 3;
    }
    p->start[3] = p->start[4] = 3;
    p->value[0] = p->value[1] = p->value[2] = 1;
    p->row_low[0] = SEARCH_MINUS_INFINITY;
    p->row_high[0] = 4;
    p->protections = protections_new();
    protections_add(p->protections, 0, 3, 1, 1, 3, column, rise);
    return p;
}

static CertificateStep *step_of(Certificate *c, CertificateKind kind)
{
    return certificate_step(c, kind, 0);
}

/* In any order that begins with the dearest the row is 4 a + b + c <= 4. */
static void an_order_by_hand(void **state)
{
    (void)state;
    SearchProblem *p = three(), *stated = protections_compact(p);
    Certificate c = {.wanted = 3};
    step_of(&c, CERTIFICATE_ORDER)->column = 3;
    certificate_term(&c, 0, 0);
    certificate_term(&c, 1, 0);
    step_of(&c, CERTIFICATE_BOUND);
    certificate_term(&c, stated->rows, INT64_C(1) << (CERTIFICATE_GRID - 2)); /* 4 / 4 + 3 / 4 + 3 / 4 */
    assert_null(certificate_trouble(stated, &c));
    c.wanted = 2; /* b and c */
    assert_non_null(certificate_trouble(stated, &c));
    c.wanted = 3;
    c.term[0].multiplier = 1; /* the dearest in any case: the same row */
    assert_null(certificate_trouble(stated, &c));
    c.term[0].multiplier = 2;
    assert_string_equal(certificate_trouble(stated, &c), "more is to rise than may");
    c.term[0].multiplier = c.term[1].multiplier = 1;
    assert_string_equal(certificate_trouble(stated, &c), "more is to rise than may");
    c.term[0].multiplier = c.term[1].multiplier = 0;
    c.term[1].row = 0;
    assert_string_equal(certificate_trouble(stated, &c), "it names a column twice");
    c.term[1].row = 3;
    assert_string_equal(certificate_trouble(stated, &c), "it names a column that does not rise there");
    c.term[1].row = 1;
    for (int j = 0; j < stated->columns; j++) {
        c.step[0].column = j;
        if (j != 3)
            assert_string_equal(certificate_trouble(stated, &c),
                                "its column is no threshold of a row that is protected");
    }
    certificate_release(&c);
    family_free(stated);
    family_free(p);
}

/* Two copies of c take 2, b 1, and b rises most: 6 together, which is all there is. c's share, 1 before b, is for both
 * copies, so that it says nothing: c + 3 b <= 6 forbids nothing, where 2 c + 3 b <= 6 would. */
static void an_order_of_copies(void **state)
{
    (void)state;
    SearchProblem *p = three();
    p->high[0] = 0;
    p->high[2] = 2;
    p->row_high[0] = 6;
    p->protections->row[0].entry[1].rise = 3;
    SearchProblem *stated = protections_compact(p);
    Certificate c = {.wanted = 3};
    step_of(&c, CERTIFICATE_ORDER)->column = 3;
    certificate_term(&c, 2, 0);
    certificate_term(&c, 1, 0);
    step_of(&c, CERTIFICATE_BOUND);
    certificate_term(&c, stated->rows, (INT64_C(1) << CERTIFICATE_GRID) / 3); /* 2 and 2 / 3, would it be */
    assert_string_equal(certificate_trouble(stated, &c), "it ends before all is proven");
    c.wanted = 4;
    assert_null(certificate_trouble(stated, &c));
    certificate_release(&c);
    family_free(stated);
    family_free(p);
}

/* What is stated is looked at: where the rows are others the order says nothing. */
static void an_order_of_other_rows(void **state)
{
    (void)state;
    SearchProblem *p = three();
    for (int change = 0; change < 7; change++) {
        SearchProblem *stated = protections_compact(p);
        Certificate c = {.wanted = 3};
        step_of(&c, CERTIFICATE_ORDER)->column = 3;
        const size_t z = stated->start[3], over = stated->start[4];
        switch (change) {
        case 0: stated->row_high[1] = 1; break;   /* a may rise by 2 only */
        case 1: stated->low[3] = -1; break;       /* z may be below 0 */
        case 2: stated->low[4] = -1; break;       /* a's p, too */
        case 3: stated->value[z] = -1; break;     /* z adds nothing */
        case 4: stated->value[z + 1] = -2; break; /* a rises beyond twice z */
        case 5: stated->value[over] = -1; break;  /* its p takes away */
        case 6: stated->value[over] = 2; break;   /* counts more than the others' */
        }
        assert_string_equal(certificate_trouble(stated, &c), "its column is no threshold of a row that is protected");
        certificate_release(&c);
        family_free(stated);
    }
    family_free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_by_trying),           cmocka_unit_test(again_after_changes),
        cmocka_unit_test(larger_ones_by_both),    cmocka_unit_test(certified),
        cmocka_unit_test(an_order_by_hand),       cmocka_unit_test(an_order_of_copies),
        cmocka_unit_test(an_order_of_other_rows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
