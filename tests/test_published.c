/* test_published.c - problems with published optima, as scenarios: items are candidates, profits their power, each
 * resource a column of numbers with a rule `measure: COLUMN, at_most`, and the pool may have any size.
 *
 * Source: C. C. Petersen, "Computational experience with variants of the Balas algorithm applied to the selection of
 * R&D projects", Management Science 13(9), 1967, problems 1 to 7, data and optima as collected in J. E. Beasley's
 * OR-Library (mknap1). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"
#include "support/tiny.h"

typedef struct {
    int number, items, resources;
    int64_t optimum;       /* thousandths, as profits */
    const int64_t *profit; /* [items] */
    const int *weight;     /* [resources][items] */
    const int *limit;      /* [resources] */
} Problem;

static const int64_t profit_1[] = {
    100000, 600000, 1200000, 2400000, 500000, 2000000,
};
static const int weight_1[] = {
    8, 12, 13, 64, 22, 41, 8, 12, 13, 75, 22, 41, 3, 6, 4, 18, 6, 4, 5, 10, 8, 32, 6, 12, 5, 13, 8, 42, 6, 20,
    5, 13, 8,  48, 6,  20, 0, 0,  0,  0,  8,  0,  3, 0, 4, 0,  8, 0, 3, 2,  4, 0,  8, 4,  3, 2,  4, 8,  8, 4,
};
static const int limit_1[] = {80, 96, 20, 36, 44, 48, 10, 18, 22, 24};

static const int64_t profit_2[] = {
    600100, 310500, 1800000, 3850000, 18600, 198700, 882000, 4200000, 402500, 327000,
};
static const int weight_2[] = {
    20, 5,  100, 200, 2,  4,  60, 150, 80,  40, 20, 7,  130, 280, 2,  8,  110, 210, 100, 40, 60, 3,  50,  100, 4,
    2,  20, 40,  6,   12, 60, 8,  70,  200, 4,  6,  40, 70,  16,  20, 60, 13,  70,  250, 4,  10, 60, 90,  20,  24,
    60, 13, 70,  280, 4,  10, 70, 105, 22,  28, 5,  2,  20,  100, 2,  5,  10,  60,  0,   0,  45, 14, 80,  180, 6,
    10, 40, 100, 20,  0,  55, 14, 80,  200, 6,  10, 50, 140, 30,  40, 65, 14,  80,  220, 6,  10, 50, 180, 30,  50,
};
static const int limit_2[] = {450, 540, 200, 360, 440, 480, 200, 360, 440, 480};

static const int64_t profit_3[] = {
    100000, 220000, 90000,  400000, 300000, 400000,  205000, 120000,
    160000, 580000, 400000, 140000, 100000, 1300000, 650000,
};
static const int weight_3[] = {
    8,   24, 13, 80,  70, 80, 45, 15, 28,  90, 130, 32, 20, 120, 40, 8,  44, 13, 100, 100, 90, 75, 25, 28,  120,
    130, 32, 40, 160, 40, 3,  6,  4,  20,  20, 30,  8,  3,  12,  14, 40, 6,  3,  20,  5,   5,  9,  6,  40,  30,
    40,  16, 5,  18,  24, 60, 16, 11, 30,  25, 5,   11, 7,  50,  40, 40, 19, 7,  18,  29,  70, 21, 17, 30,  25,
    5,   11, 7,  55,  40, 40, 21, 9,  18,  29, 70,  21, 17, 35,  25, 0,  0,  1,  10,  4,   10, 0,  6,  0,   6,
    32,  3,  0,  70,  10, 3,  4,  5,  20,  14, 20,  6,  12, 10,  18, 42, 9,  12, 100, 20,  3,  6,  9,  30,  29,
    20,  12, 12, 10,  30, 42, 18, 18, 110, 20, 3,   8,  9,  35,  29, 20, 16, 15, 10,  30,  42, 20, 18, 120, 20,
};
static const int limit_3[] = {550, 700, 130, 240, 280, 310, 110, 205, 260, 275};

static const int64_t profit_4[] = {
    100000, 220000, 90000,  400000,  300000, 400000, 205000, 120000, 160000, 580000,
    400000, 140000, 100000, 1300000, 650000, 320000, 480000, 80000,  60000,  2550000,
};
static const int weight_4[] = {
    8,  24, 13, 80,  70,  80,  45, 15, 28,  90, 130, 32, 20, 120, 40,  30, 20, 6,  3,   180, 8,  44, 13, 100, 100,
    90, 75, 25, 28,  120, 130, 32, 40, 160, 40, 60,  55, 10, 6,   240, 3,  6,  4,  20,  20,  30, 8,  3,  12,  14,
    40, 6,  3,  20,  5,   0,   5,  3,  0,   20, 5,   9,  6,  40,  30,  40, 16, 5,  18,  24,  60, 16, 11, 30,  25,
    10, 13, 5,  1,   80,  5,   11, 7,  50,  40, 40,  19, 7,  18,  29,  70, 21, 17, 30,  25,  15, 25, 5,  1,   100,
    5,  11, 7,  55,  40,  40,  21, 9,  18,  29, 70,  21, 17, 35,  25,  20, 25, 5,  2,   110, 0,  0,  1,  10,  4,
    10, 0,  6,  0,   6,   32,  3,  0,  70,  10, 0,   0,  0,  0,   0,   3,  4,  5,  20,  14,  20, 6,  12, 10,  18,
    42, 9,  12, 100, 20,  5,   6,  4,  1,   20, 3,   6,  9,  30,  29,  20, 12, 12, 10,  30,  42, 18, 18, 110, 20,
    15, 18, 7,  2,   40,  3,   8,  9,  35,  29, 20,  16, 15, 10,  30,  42, 20, 18, 120, 20,  20, 22, 7,  3,   50,
};
static const int limit_4[] = {550, 700, 130, 240, 280, 310, 110, 205, 260, 275};

static const int64_t profit_5[] = {
    100000, 220000, 90000,  400000, 300000, 400000,  205000,  120000,  160000, 580000, 400000, 140000, 100000, 1300000,
    650000, 320000, 480000, 80000,  60000,  2550000, 3100000, 1100000, 950000, 450000, 300000, 220000, 200000, 520000,
};
static const int weight_5[] = {
    8, 24, 13, 80,  70,  80, 45, 15, 28, 90,  130, 32, 20, 120, 40, 30, 20, 6,  3, 180, 220, 50, 30, 50, 12, 5,  8,  18,
    8, 44, 13, 100, 100, 90, 75, 25, 28, 120, 130, 32, 40, 160, 40, 60, 55, 10, 6, 240, 290, 80, 90, 70, 27, 17, 8,  28,
    3, 6,  4,  20,  20,  30, 8,  3,  12, 14,  40,  6,  3,  20,  5,  0,  5,  3,  0, 20,  30,  40, 10, 0,  5,  0,  0,  10,
    5, 9,  6,  40,  30,  40, 16, 5,  18, 24,  60,  16, 11, 30,  25, 10, 13, 5,  1, 80,  60,  50, 20, 30, 10, 5,  3,  20,
    5, 11, 7,  50,  40,  40, 19, 7,  18, 29,  70,  21, 17, 30,  25, 15, 25, 5,  1, 100, 70,  55, 20, 50, 15, 15, 6,  20,
    5, 11, 7,  55,  40,  40, 21, 9,  18, 29,  70,  21, 17, 35,  25, 20, 25, 5,  2, 110, 70,  55, 20, 50, 20, 15, 6,  20,
    0, 0,  1,  10,  4,   10, 0,  6,  0,  6,   32,  3,  0,  70,  10, 0,  0,  0,  0, 0,   30,  10, 0,  10, 10, 5,  0,  10,
    3, 4,  5,  20,  14,  20, 6,  12, 10, 18,  42,  9,  12, 100, 20, 5,  6,  4,  1, 20,  50,  30, 5,  20, 20, 10, 10, 20,
    3, 6,  9,  30,  29,  20, 12, 12, 10, 30,  42,  18, 18, 110, 20, 15, 18, 7,  2, 40,  60,  50, 25, 25, 25, 15, 10, 28,
    3, 8,  9,  35,  29,  20, 16, 15, 10, 30,  42,  20, 18, 120, 20, 20, 22, 7,  3, 50,  60,  55, 25, 30, 25, 15, 10, 28,
};
static const int limit_5[] = {930, 1210, 272, 462, 532, 572, 240, 400, 470, 490};

static const int64_t profit_6[] = {
    560000, 1125000, 300000,  620000, 2100000, 431000, 68000,  328000, 47000,  122000, 322000, 196000, 41000,
    25000,  425000,  4260000, 416000, 115000,  82000,  22000,  631000, 132000, 420000, 86000,  42000,  103000,
    215000, 81000,   91000,   26000,  49000,   420000, 316000, 72000,  71000,  49000,  108000, 116000, 90000,
};
static const int weight_6[] = {
    40, 91, 10, 30, 160, 20, 3,  12, 3,  18, 9,   25, 1,  1,  10, 280, 10, 8,  1,   1,  49, 8,   21, 6,  1,
    5,  10, 8,  2,  1,   0,  10, 42, 6,  4,  8,   0,  10, 1,  16, 92,  41, 16, 150, 23, 4,  18,  6,  0,  12,
    8,  2,  1,  0,  200, 20, 6,  2,  1,  70, 9,   22, 4,  1,  5,  10,  6,  4,  0,   4,  12, 8,   4,  3,  0,
    10, 0,  6,  38, 39,  32, 71, 80, 26, 5,  40,  8,  12, 30, 15, 0,   1,  23, 100, 0,  20, 3,   0,  40, 6,
    8,  0,  6,  4,  22,  4,  6,  1,  5,  14, 8,   2,  8,  0,  20, 0,   0,  8,  71,  30, 60, 200, 18, 6,  30,
    4,  8,  31, 6,  3,   0,  18, 60, 21, 4,  0,   2,  32, 15, 31, 2,   2,  7,  8,   2,  8,  0,   2,  8,  6,
    7,  1,  0,  0,  20,  8,  38, 52, 30, 42, 170, 9,  7,  20, 0,  3,   21, 4,  1,   2,  14, 310, 8,  4,  6,
    1,  18, 15, 38, 10,  4,  8,  6,  0,  0,  3,   0,  10, 6,  1,  3,   0,  3,  5,   4,
};
static const int limit_6[] = {600, 500, 500, 500, 600};

static const int64_t profit_7[] = {
    560000, 1125000, 300000,  620000,  2100000, 431000, 68000,  328000, 47000,  122000, 322000, 196000, 41000,
    25000,  425000,  4260000, 416000,  115000,  82000,  22000,  631000, 132000, 420000, 86000,  42000,  103000,
    215000, 81000,   91000,   26000,   49000,   420000, 316000, 72000,  71000,  49000,  108000, 116000, 90000,
    738000, 1811000, 430000,  3060000, 215000,  58000,  296000, 620000, 418000, 47000,  81000,
};
static const int weight_7[] = {
    40, 91, 10, 30, 160, 20, 3,  12, 3, 18, 9,  25, 1,  1, 10, 280, 10, 8,   1,  1, 49, 8,  21, 6,  1,
    5,  10, 8,  2,  1,   0,  10, 42, 6, 4,  8,  0,  10, 1, 40, 86,  11, 120, 8,  3, 32, 28, 13, 2,  4,
    16, 92, 41, 16, 150, 23, 4,  18, 6, 0,  12, 8,  2,  1, 0,  200, 20, 6,   2,  1, 70, 9,  22, 4,  1,
    5,  10, 6,  4,  0,   4,  12, 8,  4, 3,  0,  10, 0,  6, 28, 93,  9,  30,  22, 0, 36, 45, 13, 2,  2,
    38, 39, 32, 71, 80,  26, 5,  40, 8, 12, 30, 15, 0,  1, 23, 100, 0,  20,  3,  0, 40, 6,  8,  0,  6,
    4,  22, 4,  6,  1,   5,  14, 8,  2, 8,  0,  20, 0,  0, 6,  12,  6,  80,  13, 6, 22, 14, 0,  1,  2,
    8,  71, 30, 60, 200, 18, 6,  30, 4, 8,  31, 6,  3,  0, 18, 60,  21, 4,   0,  2, 32, 15, 31, 2,  2,
    7,  8,  2,  8,  0,   2,  8,  6,  7, 1,  0,  0,  20, 8, 14, 20,  2,  40,  6,  1, 14, 20, 12, 0,  1,
    38, 52, 30, 42, 170, 9,  7,  20, 0, 3,  21, 4,  1,  2, 14, 310, 8,  4,   6,  1, 18, 15, 38, 10, 4,
    8,  6,  0,  0,  3,   0,  10, 6,  1, 3,  0,  3,  5,  4, 0,  30,  12, 16,  18, 3, 16, 22, 30, 4,  0,
};
static const int limit_7[] = {800, 650, 550, 550, 650};

static const Problem problems[] = {
    {1, 6, 10, 3800000, profit_1, weight_1, limit_1},   {2, 10, 10, 8706100, profit_2, weight_2, limit_2},
    {3, 15, 10, 4015000, profit_3, weight_3, limit_3},  {4, 20, 10, 6120000, profit_4, weight_4, limit_4},
    {5, 28, 10, 12400000, profit_5, weight_5, limit_5}, {6, 39, 5, 10618000, profit_6, weight_6, limit_6},
    {7, 50, 5, 16537000, profit_7, weight_7, limit_7},
};

static void write_sheet(const Problem *problem, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "name,power");
    for (int r = 0; r < problem->resources; r++) {
        page_add(&page, ",resource %d", r + 1);
    }
    for (int i = 0; i < problem->items; i++) {
        page_add(&page, "\nproject %d,", i + 1);
        page_decimal(&page, problem->profit[i], 1000, '.');
        for (int r = 0; r < problem->resources; r++) {
            page_add(&page, ",%d", problem->weight[r * problem->items + i]);
        }
    }
    page_add(&page, "\n");
    page_save(&page, folder, "projects.csv");
}

static void write_model(const Problem *problem, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "size: {from: 1, to: %d}\ncolours: [grey]\nrules:\n", problem->items);
    for (int r = 0; r < problem->resources; r++) {
        page_add(&page, "  - {name: limit %d, measure: resource %d, at_most: %d}\n", r + 1, r + 1, problem->limit[r]);
    }
    page_save(&page, folder, "projects.yaml");
}

/* The chosen items counted here: profit, and no limit broken. */
static int64_t profit_of(const Problem *problem, const json_t *pool)
{
    int64_t profit = 0;
    int used[16] = {0};
    for (size_t k = 0; k < json_array_size(pool); k++) {
        const json_t *entry = json_array_get(pool, k);
        int i = atoi(json_text(entry, "name") + strlen("project ")) - 1;
        assert_in_range(i, 0, problem->items - 1);
        assert_int_equal(json_integer_value(json_object_get(entry, "copies")), 1);
        profit += problem->profit[i];
        for (int r = 0; r < problem->resources; r++) {
            used[r] += problem->weight[r * problem->items + i];
        }
    }
    for (int r = 0; r < problem->resources; r++) {
        assert_true(used[r] <= problem->limit[r]);
    }
    return profit;
}

static void solve(const Problem *problem, const char *folder, const char *engine)
{
    const char *const arguments[] = {"best", "projects.csv", "--model",  "projects.yaml", "--gap",
                                     "0",    "--json",       "--engine", engine,          NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != 0) {
        fail_msg("problem %d, engine %s: exit code %d\n%s", problem->number, engine, run.code, run.err);
    }
    json_t *root = run_json(&run);
    assert_string_equal(json_text(root, "status"), "best");
    assert_int_equal(json_units(root, "fit", 1000), problem->optimum);
    assert_int_equal(json_units(root, "bound", 1000), problem->optimum);
    assert_int_equal(profit_of(problem, json_object_get(root, "pool")), problem->optimum);
    json_decref(root);
    run_forget(&run);
}

static void published_optima(void **state)
{
    (void)state;
    for (size_t p = 0; p < sizeof problems / sizeof *problems; p++) {
        char *folder = folder_new();
        write_sheet(&problems[p], folder);
        write_model(&problems[p], folder);
        solve(&problems[p], folder, "fast");
        solve(&problems[p], folder, "reference");
        folder_remove(folder);
        free(folder);
    }
}

/* Which decks of two colours can play a card, by listing them: a card of the colours in `mask`, all of which it needs,
 * or any one of which will do. */
static int decks_that_play(int colours, unsigned mask, bool all, int *decks)
{
    int playing = 0;
    *decks = 0;
    for (int a = 0; a < colours; a++)
        for (int b = a + 1; b < colours; b++) {
            const unsigned deck = 1u << a | 1u << b;
            ++*decks;
            playing += mask == 0 || (all ? (mask & ~deck) == 0 : (mask & deck) != 0);
        }
    return playing;
}

/* The share that follows is asked for as a band of a thousandth of a percent around it: each card passes its own only.
 */
static void playable_shares(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        unsigned mask;
        bool all;
    } card[] = {{"one", 1, true}, {"both", 6, true}, {"either", 9, false}, {"none", 0, true}};
    char *folder = folder_new();
    folder_print(folder, "cards.csv", "name,colours,power\none,a,5\nboth,b+c,5\neither,a/d,5\nnone,,5\n");
    for (size_t i = 0; i < sizeof card / sizeof *card; i++) {
        Page page = {.data = NULL};
        int decks;
        const int playing = decks_that_play(4, card[i].mask, card[i].all, &decks);
        page_add(&page, "size: 1\ncolours: [a, b, c, d]\nrules:\n  - {name: share, where: {playable: {from: ");
        page_decimal(&page, 100000 * playing / decks, 1000, '.');
        page_add(&page, "%%, to: ");
        page_decimal(&page, (100000 * playing + decks - 1) / decks, 1000, '.');
        page_add(&page, "%%}}, exactly: 1}\n");
        page_save(&page, folder, "model.yaml");
        const char *const arguments[] = {"best", "cards.csv", "--model", "model.yaml", "--gap", "0", "--json", NULL};
        Run run;
        run_poolwright(folder, arguments, NULL, &run);
        json_t *root = run_json(&run);
        const json_t *pool = json_object_get(root, "pool");
        assert_int_equal(json_array_size(pool), 1);
        assert_string_equal(json_text(json_array_get(pool, 0), "name"), card[i].name);
        json_decref(root);
        run_forget(&run);
    }
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(published_optima), cmocka_unit_test(playable_shares)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
