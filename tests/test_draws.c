/* test_draws.c - chances of drawing cards: published values, the GNU Scientific Library as a second opinion, and
 * counting every draw and every way in which a tiny draft can go; the same numbers from the built program. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

#include "base/draw.h"
#include "base/number.h"
#include "support/run.h"

static double draw_exactly(const Draw *draw, int k)
{
    return draw_at_least(draw, k) - draw_at_least(draw, k + 1);
}

static void expect_near(double found, double expected, double within)
{
    if (!(fabs(found - expected) <= within))
        fail_msg("found %.17g, expected %.17g", found, expected);
}

/* N = 50, K = 5, n = 10 is the worked example of the article "Hypergeometric distribution" in the English Wikipedia
 * (five green marbles of 50: all of them .000118937, four .003964583; from memory). All digits were recomputed with
 * fractions, by a program that shares nothing with this one. */
static void published_values(void **state)
{
    (void)state;
    const Draw half = {100, 50, 20}, third = {30, 10, 5}, marbles = {50, 5, 10};
    expect_near(draw_exactly(&half, 10), 0.19687122, 5e-9);
    double middle = draw_at_least(&half, 5) - draw_at_least(&half, 16);
    expect_near(middle, 0.99496023, 5e-9);
    static const double five[] = {.108795419, .339985685, .359984843, .159993263, .029472443, .001768347};
    for (int k = 0; k <= 5; k++)
        expect_near(draw_exactly(&third, k), five[k], 5e-10);
    expect_near(draw_exactly(&(Draw){30, 10, 4}, 0), 323.0 / 1827, 1e-15);
    expect_near(draw_exactly(&marbles, 4), 0.003964583, 5e-10);
    expect_near(draw_exactly(&marbles, 5), 0.000118937, 5e-10);
}

/* The library adds logarithms of gamma functions, so it is good to some ten digits. */
static void gsl_says_the_same(void **state)
{
    (void)state;
    static const int all[] = {45, 180, 360, 540, 2000};
    for (size_t a = 0; a < sizeof all / sizeof *all; a++)
        for (int marked = 1; marked < all[a]; marked += 1 + all[a] / 9)
            for (int drawn = 1; drawn < all[a]; drawn += 1 + all[a] / 7)
                for (int k = 1; k <= 40 && k <= marked && k <= drawn; k += 1 + k / 3) {
                    const unsigned n1 = (unsigned)marked, n2 = (unsigned)(all[a] - marked), t = (unsigned)drawn;
                    const Draw draw = {all[a], marked, drawn};
                    const double exactly = gsl_ran_hypergeometric_pdf((unsigned)k, n1, n2, t),
                                 more = gsl_cdf_hypergeometric_Q((unsigned)k - 1, n1, n2, t);
                    expect_near(draw_exactly(&draw, k), exactly, 1e-9 * exactly + 1e-15);
                    expect_near(draw_at_least(&draw, k), more, 1e-9 * more + 1e-11);
                }
}

/* ---- every draw ---- */

static int bits(unsigned set)
{
    return __builtin_popcount(set);
}

/* Of all sets of `drawn` cards out of `all`: those with at least k of the lowest `marked`. */
static void count_draws(int all, int marked, int drawn, int k, int64_t *some, int64_t *every)
{
    *some = *every = 0;
    for (unsigned set = 0; set < 1U << all; set++)
        if (bits(set) == drawn) {
            (*every)++;
            *some += bits(set & ((1U << marked) - 1)) >= k;
        }
}

static void every_draw_is_counted(void **state)
{
    (void)state;
    for (int all = 1; all <= 9; all++)
        for (int marked = 0; marked <= all; marked++)
            for (int drawn = 0; drawn <= all; drawn++)
                for (int k = 0; k <= drawn + 1; k++) {
                    int64_t some, every, more;
                    const Draw draw = {all, marked, drawn};
                    count_draws(all, marked, drawn, k, &some, &every);
                    count_draws(all, marked, drawn, k + 1, &more, &every);
                    expect_near(draw_at_least(&draw, k), (double)some / (double)every, 1e-15);
                    expect_near(draw_exactly(&draw, k), (double)(some - more) / (double)every, 1e-15);
                    /* A share that is met to the last digit, and one just above it. */
                    const int64_t share = some * PERCENT_ONE / every;
                    if (k <= marked && k <= drawn) {
                        assert_int_equal(draw_sure(&draw, share) >= k, true);
                        assert_int_equal(draw_sure(&draw, share + 1) >= k,
                                         k == 0 || some * PERCENT_ONE >= (share + 1) * every);
                    }
                }
}

static void the_least_is_counted(void **state)
{
    (void)state;
    static const int64_t shares[] = {1, 20000, 50000, 66667, 80000, 99999, 100000};
    for (int all = 2; all <= 9; all++)
        for (int drawn = 1; drawn <= all; drawn++)
            for (int k = 1; k <= 4; k++)
                for (size_t s = 0; s < sizeof shares / sizeof *shares; s++) {
                    int least = -1;
                    for (int marked = all; marked >= 0; marked--) {
                        int64_t some, every;
                        count_draws(all, marked, drawn, k, &some, &every);
                        if (some * PERCENT_ONE >= shares[s] * every)
                            least = marked;
                    }
                    assert_int_equal(draw_least_marked(all, drawn, k, shares[s]), least);
                }
}

static void one_of_each_is_counted(void **state)
{
    (void)state;
    static const int copies[][4] = {{1, 1, 0, 0}, {2, 1, 0, 0}, {1, 1, 1, 0}, {3, 2, 1, 1}, {2, 2, 2, 0}};
    static const size_t kinds[] = {2, 2, 3, 4, 3};
    for (size_t i = 0; i < 5; i++)
        for (int all = 7; all <= 10; all++)
            for (int drawn = 0; drawn <= all; drawn++) {
                int64_t some = 0, every = 0;
                for (unsigned set = 0; set < 1U << all; set++) {
                    bool has = true;
                    unsigned rest = set;
                    for (size_t k = 0; k < kinds[i]; k++, rest >>= copies[i][k - 1])
                        has = has && (rest & ((1U << copies[i][k]) - 1)) != 0;
                    every += bits(set) == drawn;
                    some += bits(set) == drawn && has;
                }
                expect_near(draw_one_of_each(all, drawn, copies[i], kinds[i]), (double)some / (double)every, 1e-14);
            }
    expect_near(draw_one_of_each(5, 3, (const int[]){1, 0}, 2), 0, 0);
}

/* Cards 0.. are of the first kind, then those of both, then those of the second. */
static void two_kinds_are_counted(void **state)
{
    (void)state;
    for (int all = 1; all <= 9; all++)
        for (int first = 0; first <= 4 && first <= all; first++)
            for (int both = 0; both <= 2 && first + both <= all; both++)
                for (int second = 0; second <= 4 && first + both + second <= all; second++)
                    for (int drawn = 0; drawn <= all; drawn++)
                        for (int asked = 0; asked < 12; asked++) {
                            const unsigned one = (1U << (first + both)) - 1, two = ((1U << (both + second)) - 1)
                                                                                   << first;
                            int64_t some = 0, every = 0;
                            for (unsigned set = 0; set < 1U << all; set++) {
                                every += bits(set) == drawn;
                                some +=
                                    bits(set) == drawn && bits(set & one) >= asked / 4 && bits(set & two) >= asked % 4;
                            }
                            expect_near(draw_of_two(&(DrawTwo){all, first, second, both, drawn}, asked / 4, asked % 4),
                                        (double)some / (double)every, 1e-14);
                        }
}

/* ---- every way that a draft can go ---- */

#define SEATS_TRIED 3

typedef struct {
    int seats, size, marked;
    double at_least[10]; /* of the cards that the first seat saw, so many are marked at least */
    double all;
} Tried;

/* Each seat in turn takes each card of its pack; then the packs move on. */
static void try_picks(Tried *t, const unsigned *pack, int seat, unsigned *left, unsigned seen, double weight)
{
    if (seat == 0)
        seen |= pack[0];
    if (seat == t->seats) {
        unsigned next[SEATS_TRIED];
        for (int s = 0; s < t->seats; s++)
            next[(s + 1) % t->seats] = left[s];
        if (next[0] != 0) {
            unsigned rest[SEATS_TRIED];
            try_picks(t, next, 0, rest, seen, weight);
            return;
        }
        t->all += weight;
        for (int k = 0; k <= bits(seen & ((1U << t->marked) - 1)); k++)
            t->at_least[k] += weight;
        return;
    }
    for (int c = 0; c < 32; c++)
        if ((pack[seat] >> c & 1) != 0) {
            left[seat] = pack[seat] & ~(1U << c);
            try_picks(t, pack, seat + 1, left, seen, weight / bits(pack[seat]));
        }
}

/* Gives each seat every pack of the cards that are left. */
static void try_deals(Tried *t, int all, unsigned dealt, unsigned *pack, int seat)
{
    if (seat == t->seats) {
        unsigned left[SEATS_TRIED];
        try_picks(t, pack, 0, left, 0, 1);
        return;
    }
    for (unsigned set = 0; set < 1U << all; set++)
        if (bits(set) == t->size && (set & dealt) == 0) {
            pack[seat] = set;
            try_deals(t, all, dealt | set, pack, seat + 1);
        }
}

static void every_draft_is_tried(void **state)
{
    (void)state;
    static const int tried[][3] = {{1, 3, 5}, {2, 2, 5}, {2, 3, 6}, {3, 2, 7}, {2, 3, 7}};
    for (size_t i = 0; i < sizeof tried / sizeof *tried; i++)
        for (int marked = 1; marked <= 4; marked++) {
            Tried t = {.seats = tried[i][0], .size = tried[i][1], .marked = marked};
            unsigned pack[SEATS_TRIED];
            try_deals(&t, tried[i][2], 0, pack, 0);
            const Drafting drafting = {t.seats, 1, t.size};
            const Draw sees = {tried[i][2], marked, (int)drafting_cards(&drafting, DRAW_SEES)};
            for (int k = 0; k <= 5; k++)
                expect_near(draw_at_least(&sees, k), t.at_least[k] / t.all, 1e-12);
        }
    /* 15 + 14 + ... + 8 cards in each of three rounds. */
    assert_int_equal(drafting_cards(&(Drafting){8, 3, 15}, DRAW_SEES), 276);
    assert_int_equal(drafting_cards(&(Drafting){20, 1, 15}, DRAW_SEES), 120);
}

/* ---- the program ---- */

static const json_t *of_theme(const json_t *root, const char *theme)
{
    size_t k;
    const json_t *item;
    json_array_foreach (json_object_get(root, "themes"), k, item) {
        if (strcmp(json_text(item, "theme"), theme) == 0)
            return item;
    }
    fail_msg("no theme %s", theme);
    return NULL;
}

static void expect_chances(const json_t *cards, const char *by, int all, int marked, int drawn)
{
    const json_t *seen = json_object_get(cards, by);
    expect_near(json_number_value(json_object_get(seen, "mean")), (double)marked * drawn / all, 1e-12);
    for (int k = 1; k <= 5; k++) {
        int64_t some, every;
        count_draws(all, marked, drawn, k, &some, &every);
        expect_near(json_number_value(json_array_get(json_object_get(seen, "at_least"), (size_t)k - 1)),
                    (double)some / (double)every, 1e-12);
    }
}

/* A pool of 11 (one of them twice, one no candidate) for two seats that open two packs of two: 8 are dealt, and a seat
 * sees 2 + 1 of each round. Five are tagged `tides`, of which one cannot be played in its colours. */
static void the_program_says_so(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(
        folder, "model.yaml",
        "size: 10\ncolours: [ash, bay]\nseats: {seats: 2, packs: 2, pack_size: 2}\n"
        "themes:\n  - {name: tides, colours: ash}\nrules:\n  - {name: bays, where: {colours: bay}, at_least: 1}\n"
        "together: [{name: twins, cards: [A, C], bonus: 1}, {name: lost, cards: [A, H], bonus: 1}, "
        "{name: nine, cards: [A, B, C, D, E, F, G, I, J], bonus: 1}]\n");
    folder_print(folder, "cards.csv",
                 "name,colours,tags,copies\nA,ash,tides enabler,1\nB,ash,tides enabler,1\nC,ash,tides payoff,2\n"
                 "D,bay,tides payoff,1\nE,bay,,1\nF,bay,,1\nG,,,1\nH,,,1\nI,,,1\nJ,,,1\n");
    folder_print(folder, "pool.csv", "name,copies\nA,1\nB,1\nC,2\nD,1\nE,1\nF,1\nG,1\nI,1\nJ,1\nUnheard Of,1\n");
    Run run;
    run_poolwright(folder,
                   (const char *const[]){"seats", "cards.csv", "pool.csv", "--model", "model.yaml", "--json", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 0);
    json_t *root = run_json(&run);
    const json_t *tides = of_theme(root, "tides"), *drawn = json_object_get(root, "drawn");
    assert_int_equal(json_integer_value(json_object_get(root, "pool")), 11);
    assert_int_equal(json_integer_value(json_object_get(drawn, "sees")), 6);
    assert_int_equal(json_integer_value(json_object_get(drawn, "dealt")), 8);
    expect_chances(json_object_get(tides, "cards"), "pack", 11, 4, 2);
    expect_chances(json_object_get(tides, "cards"), "opens", 11, 4, 4);
    expect_chances(json_object_get(tides, "cards"), "sees", 11, 4, 6);
    expect_chances(json_object_get(tides, "payoffs"), "sees", 11, 2, 6);
    expect_chances(json_array_get(json_object_get(root, "rules"), 0), "opens", 11, 3, 4);
    /* Both A and a C among 8 of 11: 1 - (no A) - (no C) + (neither) = 1 - 45/165 - 9/165 + 1/165. */
    const json_t *twins = json_array_get(json_object_get(root, "together"), 0);
    expect_near(json_number_value(json_object_get(twins, "dealt")), 112.0 / 165, 1e-12);
    expect_near(json_number_value(json_object_get(json_array_get(json_object_get(root, "together"), 1), "dealt")), 0,
                0);
    assert_true(json_is_false(json_object_get(json_array_get(json_object_get(root, "together"), 1), "in")));
    /* Nine of which only eight can be dealt are in the pool all the same. */
    const json_t *nine = json_array_get(json_object_get(root, "together"), 2);
    assert_true(json_is_true(json_object_get(nine, "in")));
    expect_near(json_number_value(json_object_get(nine, "dealt")), 0, 0);
    json_decref(root);
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"seats", "cards.csv", "pool.csv", "--model", "model.yaml", NULL}, NULL,
                   &run);
    const char *of_nine = strstr(run.out, "\n  nine ");
    assert_non_null(of_nine);
    of_nine += strspn(of_nine, "\n nie");
    assert_int_equal(strncmp(of_nine, "0.0%", 4), 0);
    run_forget(&run);
    run_poolwright(
        folder, (const char *const[]){"seats", "cards.csv", "pool.csv", "--model", "model.yaml", "--seats", "3", NULL},
        NULL, &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "found 11 cards in the pool, expected 12"));
    assert_non_null(strstr(run.err, "--seats 2"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_values),       cmocka_unit_test(gsl_says_the_same),
        cmocka_unit_test(every_draw_is_counted),  cmocka_unit_test(the_least_is_counted),
        cmocka_unit_test(one_of_each_is_counted), cmocka_unit_test(two_kinds_are_counted),
        cmocka_unit_test(every_draft_is_tried),   cmocka_unit_test(the_program_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
