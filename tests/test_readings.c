/* test_readings.c - what docs/ say where one could read a model in two ways, each by a small invented scenario in which
 * the two readings differ. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* The names of the best pool's cards of the small scenario (size 2, colours rye and teal, theme t in rye). */
static void expect_pool(const char *model_lines, const char *scenario_lines, const char *cards, const char *pool)
{
    char *folder = desk_folder(model_lines, scenario_lines, cards);
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    assert_string_equal(desk_names(root, "pool"), pool);
    json_decref(root);
    desk_done(folder);
}

static void filters_see_what_a_card_counts_as(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,as_colours,kind,as_kind,cost,as_cost,power\n"
                                "Anvil,rye,teal,crew,rig,5,1,9\nBucket,rye,,crew,,1,,3\nCandle,teal,,rig,,1,,2\n"
                                "Drum,rye,,crew,,5,,1\n";
    /* printed it is rye, crew, 5; it counts as teal, a rig, 1 */
    expect_pool("rules:\n  - {name: r, where: {colours: teal}, at_most: 0}\n", "", cards, "Bucket|Drum");
    expect_pool("rules:\n  - {name: r, where: {colours: rye}, at_most: 0}\n", "", cards, "Anvil|Candle");
    expect_pool("rules:\n  - {name: r, where: {kind: rig}, at_most: 0}\n", "", cards, "Bucket|Drum");
    expect_pool("rules:\n  - {name: r, where: {kind: crew}, at_most: 0}\n", "", cards, "Anvil|Candle");
}

/* One card is in by its status, another by the sheet: both are the present pool, and twice is not two copies. */
static void the_present_pool_is_both(void **state)
{
    (void)state;
    char *folder =
        desk_folder("", "pool: pool.csv\n",
                    "name,colours,power,copies,status\nAnvil,rye,1,2,in\nBucket,rye,1,1,\nCandle,teal,1,1,in\n"
                    "Drum,teal,9,1,\n");
    folder_print(folder, "pool.csv", "name,copies\nBucket,1\nCandle,1\n");
    json_t *root = run_answer(folder, 0, WORDS("revise", "scenario.yaml", "--swaps", "3", "--gap", "0", "--json"));
    const json_t *point = json_array_get(json_object_get(root, "points"), 0);
    assert_int_equal(json_integer_value(json_object_get(point, "out")), 2); /* of three copies one stays beside Drum */
    assert_int_equal(json_integer_value(json_object_get(point, "in")), 1);
    assert_string_equal(desk_names(point, "enters"), "Drum");
    json_decref(root);
    desk_done(folder);
}

/* What the swaps one after the other bring in fit, such as "3 2", and whether they are said to end there. */
static const char *gains_of(const char *folder)
{
    static char gains[64];
    json_t *root = run_answer(folder, 0, WORDS("revise", "scenario.yaml", "--gap", "0", "--json"));
    const json_t *swaps = json_object_get(root, "one_by_one");
    gains[0] = '\0';
    for (size_t s = 0; s < json_array_size(swaps); s++)
        snprintf(gains + strlen(gains), sizeof gains - strlen(gains), "%g ",
                 json_number_value(json_object_get(json_array_get(swaps, s), "gain")));
    strcat(gains, json_text(root, "one_by_one_ends"));
    json_decref(root);
    return gains;
}

/* Swap by swap: of a card of which a copy left another may leave, of one that came in another may come in. */
static void copies_of_one_card_change_one_after_the_other(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\n",
                               "name,colours,power,copies\nAnvil,rye,1,2\nBucket,rye,3,1\nCandle,teal,2,1\n");
    folder_print(folder, "pool.csv", "name,copies\nAnvil,2\n");
    assert_string_equal(gains_of(folder), "2 1 open"); /* no more can leave */
    desk_done(folder);
    folder = desk_folder("", "pool: pool.csv\n",
                         "name,colours,power,copies\nAnvil,rye,1,1\nBucket,rye,4,2\nDrum,teal,2,1\n");
    folder_print(folder, "pool.csv", "name,copies\nAnvil,1\nDrum,1\n");
    assert_string_equal(gains_of(folder), "3 2 open");
    desk_done(folder);
}

/* Where a card comes in for none, the next swap is a single one all the same: Easel and Fiddle would need both Anvil
 * and Bucket to leave. */
static void a_swap_lets_one_copy_leave(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\n",
                               "name,colours,power\nAnvil,rye,5\nBucket,teal,5\nCandle,teal,4\nEasel,teal,1\n"
                               "Fiddle,rye,1\n");
    folder_print(folder, "model.yaml",
                 "size: {from: 2, to: 3}\ncolours: [rye, teal]\n"
                 "together: [{name: pair, cards: [Easel, Fiddle], bonus: 20}]\n"
                 "apart: [{cards: [Anvil, Easel]}, {cards: [Bucket, Fiddle]}]\n");
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
    assert_string_equal(gains_of(folder), "4 proven");
    desk_done(folder);
}

/* Two themes in rye, one of them is chosen; each asks for one place, and one is open. */
#define TWO_THEMES                                                                                                     \
    "size: 4\ncolours: [rye, teal]\nthemes:\n  - {name: t, colours: rye}\n  - {name: u, colours: rye}\n"               \
    "choose: {from: [t, u], exactly: 1}\n"

static void places_of_a_theme_that_is_not_chosen_are_open(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,power,tags\nAnvil,rye,5,t\nBucket,rye,4,\nCandle,rye,3,\nDrum,teal,9,\n"
                                "Easel,teal,8,\nFiddle,teal,7,\n";
    char *folder = desk_folder("", "", cards);
    folder_print(folder, "model.yaml",
                 TWO_THEMES "places: {each: colour, theme: 1, open: 1, for: {teal: {open: 1}}}\n");
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    /* rye keeps its three places, of which that of u is open; teal's one is open */
    assert_string_equal(desk_names(root, "pool"), "Anvil|Bucket|Candle|Drum");
    json_decref(root);
    folder_print(folder, "model.yaml", TWO_THEMES "places: {each: colour, theme: 1}\n");
    root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    assert_string_equal(desk_names(root, "pool"),
                        "Anvil|Drum|Easel|Fiddle"); /* without open only t's one is asked for */
    json_decref(root);
    desk_done(folder);
}

/* teal has no theme: with `open` it has places all the same, and then exactly so many mono cards; without it has none.
 */
static void colours_without_themes_have_places_where_open_is_said(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,power,tags\nAnvil,rye,1,t\nBucket,rye,1,\nCandle,teal,9,\nDrum,teal,8,\n"
                                "Easel,rye+teal,1,\n";
    expect_pool("places: {each: colour, theme: 1}\n", "", cards, "Anvil|Candle");
    expect_pool("places: {each: colour, theme: 1, open: 0}\n", "", cards, "Anvil|Easel");
    expect_pool("places: {each: colour, theme: 0}\n", "", cards, "Candle|Drum");
}

static void an_engine_is_replaced_whole(void **state)
{
    (void)state;
    static const char cards[] =
        "name,colours,power,tags\nAnvil,rye,9,t payoff\nBucket,rye,8,t payoff\nCandle,rye,3,t enabler\n";
    expect_pool("", "change: {themes: {t: {engine: {bonus: 1, enablers_per_payoff: {from: 1}}}}}\n", cards,
                "Anvil|Candle");
    expect_pool("",
                "change: {themes: {t: {engine: {bonus: 1, enablers_per_payoff: {from: 1}}}}}\ncases:\n  - {name: c, "
                "change: {themes: {t: {engine: {bonus: 0.5}}}}}\n",
                cards, "Anvil|Candle");
    char *folder = desk_folder("",
                               "change: {themes: {t: {engine: {bonus: 1, enablers_per_payoff: {from: 1}}}}}\ncases:\n  "
                               "- {name: c, change: {themes: {t: {engine: {bonus: 0.5}}}}}\n",
                               cards);
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--case", "c", "--gap", "0", "--json"));
    assert_string_equal(desk_names(root, "pool"), "Anvil|Bucket");
    json_decref(root);
    desk_done(folder);
}

/* Anvil and Candle cost 7.00, and 9.00 if Anvil's price rises; Bucket costs 4.00 for good. */
static void equal_sides_of_a_band_are_protected(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,power\nAnvil,rye,9\nBucket,rye,5\nCandle,teal,3\n";
    static const struct {
        const char *bounds, *pool;
    } rule[] = {{"exactly: 7.00", "Anvil|Candle"},
                {"between: [7.00, 7.00]", NULL},
                {"at_least: 7.00, at_most: 7.00", NULL},
                {"between: [7.00, 9.00]", "Anvil|Candle"},
                {"at_least: 7.00", "Anvil|Bucket"}};
    for (size_t i = 0; i < sizeof rule / sizeof *rule; i++) {
        char model[200];
        snprintf(model, sizeof model, "price_risk: {protect: 1}\nrules:\n  - {name: r, measure: spend, %s}\n",
                 rule[i].bounds);
        char *folder = desk_folder(model, "prices: [prices.csv]\n", cards);
        folder_print(folder, "prices.csv", "name,price,high\nAnvil,5.00,7.00\nBucket,4.00,4.00\nCandle,2.00,2.00\n");
        json_t *root =
            run_answer(folder, rule[i].pool != NULL ? 0 : 1, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
        if (rule[i].pool != NULL)
            assert_string_equal(desk_names(root, "pool"), rule[i].pool);
        json_decref(root);
        desk_done(folder);
    }
}

/* A default price is the value of owned cards too, though nothing is paid for them. */
static void default_prices_are_for_owned_cards_too(void **state)
{
    (void)state;
    static const char cards[] =
        "name,colours,power,price,owned\nAnvil,rye,9,,1\nBucket,rye,5,1.00,\nCandle,teal,3,1.00,\n";
    expect_pool("unpriced: 3.00\nrules:\n  - {name: r, measure: price, at_most: 3.50}\n", "", cards, "Bucket|Candle");
    expect_pool("unpriced: 3.00\nrules:\n  - {name: r, measure: spend, at_most: 3.50}\n", "", cards, "Anvil|Bucket");
    expect_pool("unpriced: 3.00\nrules:\n  - {name: r, where: {price: {from: 2}}, at_most: 0}\n", "", cards,
                "Bucket|Candle");
}

static void cards_left_out_for_want_of_a_price_leave_and_count(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\n", "pool: pool.csv\npool_owned: no\n",
                               "name,colours,power,price\nAnvil,rye,9,\nBucket,rye,5,1.00\nCandle,teal,3,1.00\n");
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\nOld Bell\n");
    json_t *root = run_answer(folder, 0, WORDS("revise", "scenario.yaml", "--swaps", "1", "--gap", "0", "--json"));
    const json_t *point = json_array_get(json_object_get(root, "points"), 0);
    assert_int_equal(json_integer_value(json_object_get(root, "least_swaps")), 1); /* Anvil; Old Bell does not count */
    assert_int_equal(json_integer_value(json_object_get(point, "out")), 1);
    assert_string_equal(desk_names(point, "leaves"), "Anvil");
    json_decref(root);
    root = run_answer(folder, 1, WORDS("revise", "scenario.yaml", "--swaps", "0", "--gap", "0", "--json"));
    json_decref(root);
    desk_done(folder);
}

static int free_of(const char *folder, const char *verb, int64_t money)
{
    json_t *root = run_answer(folder, 0, WORDS(verb, "scenario.yaml", "--gap", "0", "--json"));
    assert_int_equal(json_units(root, "cost", 100), money);
    const int count = (int)json_integer_value(json_object_get(root, "pool_owned"));
    json_decref(root);
    return count;
}

/* By hand: all three cards are the pool, six copies. Of Anvil 2 are there and 1 is listed (2 owned, not 3), of Bucket
 * 1 and 2 (2 owned), Candle neither. Anvil 3 x 1.00, Bucket 2 x 2.00, Candle 1 x 4.00. */
static void the_present_pool_is_owned(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,power,price,copies,owned\nAnvil,rye,9,1.00,3,1\nBucket,rye,9,2.00,2,2\n"
                                "Candle,teal,9,4.00,,\n";
    static const struct {
        const char *scenario;
        int64_t cost;
        int counted;
    } way[] = {{"pool: pool.csv\n", 500, 1},
               {"pool: pool.csv\npool_owned: yes\n", 500, 1},
               {"pool: pool.csv\npool_owned: no\n", 600, 0},
               {"", 600, 0},
               {"pool: pool.csv\ncases: [{name: base2, cards: {Anvil: {owned: 0}}}]\n", 500, 1}};
    for (size_t k = 0; k < sizeof way / sizeof *way; k++) {
        char *folder = desk_folder("", way[k].scenario, cards);
        folder_print(folder, "model.yaml", "size: 6\ncolours: [rye, teal]\n");
        folder_print(folder, "pool.csv", "name,copies\nAnvil,2\nBucket,1\nOld Bell,1\n");
        assert_int_equal(free_of(folder, "best", way[k].cost), way[k].counted);
        Run run;
        desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
        assert_int_equal(strstr(run.out, "\n1 card of the present pool counts as owned (unless pool_owned: no).\n") !=
                             NULL,
                         way[k].counted);
        run_forget(&run);
        if (k == 4) { /* the case's number stands in the sheet's place; the pool counts all the same */
            desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--case", "base2"));
            desk_expect(run.out, "6 cards, 5.00 to buy");
            desk_expect(run.out, "2 cards of the present pool count as owned (unless pool_owned: no).");
            run_forget(&run);
        }
        desk_done(folder);
    }
}

/* By hand, a cap of 1.00: Anvil and Bucket are in the pool and free, Candle costs 4.00. Without a price a card of the
 * pool asks for none. A mended or revised list counts the same; so do caps. */
static void owned_for_being_in_the_pool_in_all_verbs(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 1.00\n", "",
                               "name,colours,power,price,status\nAnvil,rye,9,,in\nBucket,rye,8,2.00,in\n"
                               "Candle,teal,7,4.00,\nDoor,teal,1,1.00,\n");
    Run run;
    assert_int_equal(free_of(folder, "best", 0), 2);
    assert_int_equal(free_of(folder, "audit", 0), 2);
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml"));
    desk_expect(run.out, "2 cards of the present pool count as owned (unless pool_owned: no).");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "1", "--gap", "0"));
    desk_expect(run.out, "0.00 to buy in all.\n2 cards of the present pool count as owned (unless pool_owned: no).");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
    desk_expect(run.out, "2 in the present pool, 2 copies owned only for that (pool_owned).");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("what-if", "scenario.yaml", "--caps", "0,1", "--gap", "0", "--json"));
    size_t k;
    const json_t *item;
    json_array_foreach (json_object_get(root, "cases"), k, item) /* whatever the cap: the pool that is there */
        assert_int_equal(json_units(item, "fit", 1000), 17000);
    assert_int_equal(k, 3);
    json_decref(root);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--ban", "Bucket", "--shopping", "buy.csv"));
    run_forget(&run);
    char *list = folder_read(folder, "buy.csv", NULL);
    desk_expect(list, "buy,Door,1,1.00,1.00,");
    assert_null(strstr(list, "buy,Anvil"));
    free(list);
    desk_done(folder);
}

/* By hand: A is Anvil and two of Bucket, B one of Bucket and Candle; powers 9, 5, 3, prices 1.00, 2.00, 4.00; Anvil's
 * tag adds 2. */
static void two_pools_side_by_side(void **state)
{
    (void)state;
    char *folder = desk_folder("", "",
                               "name,colours,power,price,copies,cost,tags\nAnvil,rye,9,1.00,1,2,t enabler 2\n"
                               "Bucket,rye,5,2.00,2,5,\nCandle,teal,3,4.00,1,3,\n");
    folder_print(folder, "a.csv", "name,copies\nAnvil,1\nBucket,2\n");
    folder_print(folder, "b.csv", "name\nBucket\nCandle\nOld Bell\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "a.csv", "--against", "b.csv"));
    desk_expect(run.out,
                "A  a.csv\n   3 cards, 5.00 to buy, fit 21; 1 limit broken.\n"
                "B  b.csv\n   2 cards, 6.00 to buy, fit 8; every limit met; not counted: 1 that is no candidate.\n"
                "1 in both, 2 only in A, 1 only in B.\n");
    assert_string_equal(run.err, "");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("audit", "scenario.yaml", "a.csv", "--against", "b.csv", "--json"));
    const json_t *a = json_object_get(root, "a"), *b = json_object_get(root, "b");
    assert_int_equal(json_units(a, "cost", 100), 500);
    assert_int_equal(json_units(b, "fit", 1000), 8000);
    assert_int_equal(json_integer_value(json_object_get(root, "in_both")), 1);
    assert_string_equal(desk_names(root, "only_in_a"), "Anvil|Bucket");
    assert_string_equal(desk_names(root, "only_in_b"), "Candle");
    const json_t *rye = json_array_get(json_object_get(a, "colours"), 0);
    assert_int_equal(json_integer_value(json_object_get(rye, "mono")), 3);
    assert_int_equal(json_integer_value(json_array_get(json_object_get(rye, "curve"), 2)), 2);
    assert_int_equal(json_integer_value(json_object_get(json_array_get(json_object_get(b, "themes"), 0), "cards")), 0);
    json_decref(root);
    folder_print(folder, "c.csv", "name,copies\nAnvil,2\n"); /* there is one */
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "c.csv", "--against", "b.csv"));
    desk_expect(run.out, "A  c.csv\n   2 cards, 2.00 to buy, fit 22; 1 card is not as the scenario asks.\n");
    run_forget(&run);
    desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "a.csv", "--against", "none.csv"));
    run_forget(&run);
    desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "a.csv", "--against", "b.csv", "-o", "mended.csv"));
    assert_false(folder_has(folder, "mended.csv"));
    run_forget(&run);
    desk_done(folder);
}

/* What docs/files.md says is refused, under "What is refused". */
static void what_is_refused(void **state)
{
    (void)state;
    static const char *const refused[] = {
        "fit: {power: -1}",
        "fit: {stay: -1}",
        "fit: {playable: 120%}",
        "evenness: -1",
        "handling: -1",
        "unpriced: -1",
        "spending_cap: -1",
        "price_risk: {protect: -1}",
        "headroom: 100%",
        "places: {each: colour, theme: -1}",
        "together: [{cards: [Anvil, Bucket], bonus: 0}]",
        "together: [{parts: [[Anvil], [Bucket]], bonus: 0}]",
        "together: [{parts: [[Anvil], [Bucket]], bonus: 1, at_most: 0}]",
        "together: [{parts: [[Anvil], [Bucket, Anvil]], bonus: 1}]",
        "together: [{parts: [[Anvil, Bucket]], bonus: 1}]",
        "together: [{parts: [Anvil], bonus: 1}]",
        "together: [{parts: [[Anvil], []], bonus: 1}]",
        "together: [{cards: [Anvil], parts: [[Anvil], [Bucket]], bonus: 1}]",
        "together: [{cards: [Anvil, Bucket], bonus: 1, at_most: 2}]",
        "apart: [{cards: [Anvil, Bucket], at_most: -1}]",
        "groups: [{cards: [Anvil, Bucket], at_least: 0}]",
        "rules: [{name: r, at_least: -1}]",
        "rules: [{name: r, measure: spend, at_most: -1}]",
        "rules: [{name: r, where: {colours: rye}, at_most: -5%}]",
        "rules: [{name: r, where: {colours: rye}, at_least: 100.001%}]",
        "rules: [{name: r, at_most: 1, soft: 0}]",
    };
    static const char *const of_theme[] = {"weight: -1",
                                           "engine: {bonus: -1}",
                                           "engine: {bonus: 1, ratio: 0}",
                                           "engine: {enablers_per_payoff: [2, 1]}",
                                           "depth: [{share: 120%}]",
                                           "depth: [{to: 1, share: 10%}, {share: 20%}]"};
    static const char *const taken[] = {"fit: {unscored: -1}", "rules: [{name: r, measure: fit, at_least: -1}]",
                                        "rules: [{name: r, measure: weight, where: {tag: t}, at_least: -1}]",
                                        "rules: [{name: r, where: {colours: rye}, at_most: 120%}]"};
    static const char cards[] = "name,colours,power,price,tags\nAnvil,rye,3,1,t -1\nBucket,teal,2,1,\n";
    char line[200];
    Run run;
    for (size_t i = 0; i < sizeof refused / sizeof *refused + sizeof of_theme / sizeof *of_theme; i++) {
        const bool of_rule = i < sizeof refused / sizeof *refused;
        snprintf(line, sizeof line, of_rule ? "%s\n" : "change: {themes: {t: {%s}}}\n",
                 of_rule ? refused[i] : of_theme[i - sizeof refused / sizeof *refused]);
        char *folder = desk_folder(of_rule ? line : "", of_rule ? "" : line, cards);
        desk_run(folder, &run, 2, WORDS("best", "scenario.yaml"));
        desk_expect(run.err, "error: ");
        run_forget(&run);
        desk_done(folder);
    }
    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++) {
        snprintf(line, sizeof line, "%s\n", taken[i]);
        char *folder = desk_folder(line, "", cards);
        desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
        run_forget(&run);
        desk_done(folder);
    }
}

static void expect_ends(const json_t *frontier, const char *key, int64_t cents)
{
    const json_t *end = json_object_get(frontier, key);
    assert_int_equal(json_units(end, "at_least", 100), cents);
    assert_int_equal(json_units(end, "at_most", 100), cents);
}

/* Another price in a case, one price of two risen: Anvil, of which no high is known, never rises; Bucket by 0.50 from
 * whatever its price is. */
static void another_price_rises_as_far_as_the_one_before(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 2.00\nprice_risk: {protect: 1}\n",
                               "prices: [prices.csv]\ncases:\n  - {name: anvil, cards: {Anvil: {price: 0.50}}}\n"
                               "  - {name: bucket, cards: {Bucket: {price: 1.00}}}\n",
                               "name,colours,power,price\nAnvil,rye,9,3.00\nBucket,rye,5,\nCandle,teal,3,0.00\n");
    folder_print(folder, "prices.csv", "name,price,high\nBucket,1.50,2.00\n");
    static const char *const cases[] = {"anvil", "bucket"}, *const pools[] = {"Anvil|Candle", "Bucket|Candle"};
    static const int highest[] = {50, 150};
    for (int k = 0; k < 2; k++) {
        json_t *root =
            run_answer(folder, 0, WORDS("best", "scenario.yaml", "--case", cases[k], "--gap", "0", "--json"));
        assert_string_equal(desk_names(root, "pool"), pools[k]);
        assert_int_equal(json_units(json_object_get(root, "money"), "highest", 100), highest[k]);
        json_decref(root);
    }
    desk_done(folder);
}

/* A newer price takes the place of the whole line, its high too: that is told, where the model protects prices. */
static void a_newer_price_without_a_high_is_told(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 5.00\nprice_risk: {protect: 1}\n", "prices: [prices.csv]\n",
                               "name,colours,power\nAnvil,rye,9\nBucket,rye,5\n");
    folder_print(folder, "prices.csv", "name,price,high\nAnvil,1.00,2.00\nBucket,1.00,\n");
    folder_print(folder, "newer.csv", "name,price\nAnvil,1.20\nBucket,1.10\n");
    folder_print(folder, "ranged.csv", "name,price,high\nAnvil,1.20,1.50\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--prices", "newer.csv"));
    desk_expect(run.err,
                "notice: 1 newer price says no high where the scenario's own line has one, so price_risk takes "
                "it not to rise\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--prices", "ranged.csv"));
    assert_null(strstr(run.err, "no high"));
    run_forget(&run);
    desk_done(folder);
}

/* Of a cap on both, 2.00 are paid and 2.00 are to buy: what is left of 5.00 holds one of two prices that rise by 1.00.
 */
static void what_was_paid_holds_no_price(void **state)
{
    (void)state;
    char *folder =
        desk_folder("spending_cap: 5.00\ncap_counts: paid and to buy\nprice_risk: {protect: 1}\n",
                    "prices: [prices.csv]\nowned: [owned.csv]\n", "name,colours,power\nAnvil,rye,9\nBucket,rye,5\n");
    folder_print(folder, "prices.csv", "name,price,high\nAnvil,1.00,2.00\nBucket,1.00,2.00\n");
    folder_print(folder, "owned.csv", "name,copies,paid\nGone,0,2.00\n");
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    const json_t *limit = json_array_get(json_object_get(json_object_get(root, "money"), "limits"), 0);
    assert_string_equal(json_text(limit, "name"), "spending cap");
    assert_int_equal(json_units(limit, "held", 1000), 1000);
    json_decref(root);
    desk_done(folder);
}

/* At least 0 asks for nothing: of 0 to 2 with none in, two are left, and no lower limit is used up. */
static void a_lower_limit_of_none_is_not_tight(void **state)
{
    (void)state;
    static const char *const lefts[] = {"2 left", "0.50 left", "asks for nothing", "tight", "asks for nothing"};
    static const int slacks[] = {2, 50, 0, 0, 2};
    char *folder =
        desk_folder("rules:\n  - {name: a, where: {colours: teal}, between: [0, 2]}\n"
                    "  - {name: b, where: {colours: teal}, measure: spend, between: [0.00, 0.50]}\n"
                    "  - {name: c, where: {colours: teal}, at_least: 0}\n"
                    "  - {name: d, where: {colours: teal}, at_most: 0}\n"
                    "  - {name: e, where: {colours: rye}, at_least: 0}\n",
                    "", "name,colours,power,price\nAnvil,rye,9,1.00\nBucket,rye,5,0.00\nCandle,teal,3,0.00\n");
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--json"));
    for (size_t k = 0; k < 5; k++) {
        const json_t *limit = json_array_get(json_object_get(root, "rules"), k + 1); /* behind the size */
        assert_string_equal(json_text(limit, "left"), lefts[k]);
        assert_int_equal(json_units(limit, "slack", k == 1 ? 100 : 1), slacks[k]);
        assert_int_equal(json_is_true(json_object_get(limit, "tight")), k == 3);
    }
    json_decref(root);
    Run run; /* among those that may cost fit it has no place, and stands below with all others */
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--rules"));
    const char *costs = strstr(run.out, "Limits, those that cost fit first"), *all = strstr(run.out, "\nLimits\n");
    assert_true(costs != NULL && all > costs);
    assert_true(strstr(costs, "asks for nothing") > all);
    run_forget(&run);
    desk_done(folder);
}

/* More came in for what was sold than was paid: then nothing has to be allowed, and no cap below 0 is named. */
static void no_cap_is_below_zero(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 5.00\ncap_counts: paid and to buy\n", "owned: [owned.csv]\n",
                               "name,colours,power,price\nAnvil,rye,9,1.00\nBucket,rye,5,0.00\nCandle,teal,3,0.00\n");
    folder_print(folder, "owned.csv", "name,copies,paid\nDrum,0,-2.00\n");
    json_t *root = run_answer(folder, 0, WORDS("what-if", "scenario.yaml", "--caps", "0..3", "--gap", "0", "--json"));
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    expect_ends(frontier, "least_cap", 0);
    expect_ends(frontier, "enough", 0);
    const json_t *step = json_array_get(json_object_get(root, "cases"), 1);
    assert_int_equal(json_units(step, "cap", 100), 0);
    json_decref(root);
    desk_done(folder);
}

/* By hand, one price of two risen: Bucket and Candle need 6.00 + 0.50 and have 8, Anvil and Candle 7.00 + 2.00 and 12,
 * Anvil and Bucket 9.00 + 2.00 and 14. */
static void ends_and_steps_under_price_risk(void **state)
{
    (void)state;
    char *folder = desk_folder("price_risk: {protect: 1}\n", "prices: [prices.csv]\n",
                               "name,colours,power\nAnvil,rye,9\nBucket,rye,5\nCandle,teal,3\n");
    folder_print(folder, "prices.csv", "name,price,high\nAnvil,5.00,7.00\nBucket,4.00,4.50\nCandle,2.00,2.00\n");
    json_t *root =
        run_answer(folder, 0, WORDS("what-if", "scenario.yaml", "--caps", "6,6.5,12", "--gap", "0", "--json"));
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    expect_ends(frontier, "least_cap", 650);
    expect_ends(frontier, "enough", 1100);
    assert_int_equal(json_units(frontier, "fit_without_cap", 1000), 14000);
    const json_t *cases = json_object_get(root, "cases");
    assert_string_equal(json_text(json_array_get(cases, 1), "status"), "infeasible"); /* 6.00 buys it only as it is */
    assert_int_equal(json_units(json_array_get(cases, 2), "fit", 1000), 8000);
    json_decref(root);

    static const int steps[][2] = {{650, 8000}, {900, 12000}, {1100, 14000}};
    root = run_answer(folder, 0, WORDS("what-if", "scenario.yaml", "--caps", "6..12", "--gap", "0", "--json"));
    frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    assert_true(json_is_true(json_object_get(frontier, "steps")));
    assert_int_equal(json_array_size(json_object_get(frontier, "cases")), 3);
    for (size_t k = 0; k < 3; k++) {
        const json_t *step = json_array_get(json_object_get(root, "cases"), k + 1); /* behind the base */
        char name[40];
        snprintf(name, sizeof name, "cap %d.%02d", steps[k][0] / 100, steps[k][0] % 100);
        assert_string_equal(json_text(step, "name"), name);
        assert_int_equal(json_units(step, "fit", 1000), steps[k][1]);
    }
    json_decref(root);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(filters_see_what_a_card_counts_as),
        cmocka_unit_test(the_present_pool_is_both),
        cmocka_unit_test(copies_of_one_card_change_one_after_the_other),
        cmocka_unit_test(a_swap_lets_one_copy_leave),
        cmocka_unit_test(places_of_a_theme_that_is_not_chosen_are_open),
        cmocka_unit_test(colours_without_themes_have_places_where_open_is_said),
        cmocka_unit_test(an_engine_is_replaced_whole),
        cmocka_unit_test(equal_sides_of_a_band_are_protected),
        cmocka_unit_test(default_prices_are_for_owned_cards_too),
        cmocka_unit_test(cards_left_out_for_want_of_a_price_leave_and_count),
        cmocka_unit_test(the_present_pool_is_owned),
        cmocka_unit_test(owned_for_being_in_the_pool_in_all_verbs),
        cmocka_unit_test(two_pools_side_by_side),
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(another_price_rises_as_far_as_the_one_before),
        cmocka_unit_test(a_newer_price_without_a_high_is_told),
        cmocka_unit_test(what_was_paid_holds_no_price),
        cmocka_unit_test(a_lower_limit_of_none_is_not_tight),
        cmocka_unit_test(no_cap_is_below_zero),
        cmocka_unit_test(ends_and_steps_under_price_risk),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
