/* test_whatif.c - what-ifs and revisions from outside, on a small invented scenario: changes of single candidates,
 * newcomers, what the base is compared with, lists and pools from outside. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/run.h"
#include "support/small_cases.h"

static int64_t fit_of(const json_t *root, const char *name)
{
    const json_t *item = json_named(json_object_get(root, "cases"), name);
    assert_non_null(item);
    assert_string_equal(json_text(item, "status"), "best");
    return json_units(item, "fit", 1000);
}

/* By hand: within 3.00 the base takes Lamp 5 + Bell 4 (2.00), and of teal Horn 4 (1.00) + Lyre 3 (owned) = 16. */
static void cases_change_candidates(void **state)
{
    (void)state;
    char *folder = small_cases();
    static const char *const arguments[] = {"what-if", "scenario.yaml", "--json", "--gap", "0", NULL};
    json_t *root = run_answer(folder, 0, arguments);
    assert_int_equal(fit_of(root, "base"), 16000);
    assert_int_equal(fit_of(root, "dear lamp"), 14000); /* Bell 4 + Drum 3 (1.50), Horn 4 + Lyre 3 (1.00) */
    assert_int_equal(fit_of(root, "no bell"), 14000);   /* Lamp 5 + Drum 3 (1.50), Reed 2 (0.10) + Horn 4 (1.00) */
    assert_int_equal(fit_of(root, "more"), 19000);      /* Lamp 5 + Bell 4 (2.00), Harp 7 (0.30), Lyre 3 */
    assert_int_equal(fit_of(root, "scores"), 22000);    /* Gong 9 (owned) + Lamp 5 (1.00), Flute 5 (2.00), Lyre 3 */
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void newcomers_are_judged(void **state)
{
    (void)state;
    char *folder = small_cases();
    static const char *const arguments[] = {"revise", "scenario.yaml", "--new", "more.csv",
                                            "--json", "--gap",         "0",     NULL};
    json_t *root = run_answer(folder, 0, arguments);
    const json_t *list = json_object_get(root, "new"), *harp = json_named(list, "Iron Harp"),
                 *rattle = json_named(list, "Jet Rattle"), *pipe = json_named(list, "Kelp Pipe");
    assert_int_equal(json_array_size(list), 3);
    assert_string_equal(json_text(harp, "verdict"), "in");
    assert_int_equal(json_units(harp, "worth_at_least", 1000), 3000); /* 19 against 16 */
    assert_int_equal(json_units(harp, "worth_at_most", 1000), 3000);
    assert_non_null(json_named(json_object_get(harp, "instead_of"), "Fir Horn"));
    assert_string_equal(json_text(rattle, "verdict"), "no");
    assert_int_equal(json_units(rattle, "worth_at_least", 1000),
                     -500); /* for Bell; the 0.60 saved make Horn of Lyre: 18.5 */
    assert_non_null(json_named(json_object_get(rattle, "instead_of"), "Broad Bell"));
    assert_string_equal(json_text(pipe, "verdict"), "no");
    assert_int_equal(json_units(pipe, "worth_at_most", 1000), -2000); /* for Lyre: Lamp, Bell, Harp, Pipe = 17 */
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void mistakes_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *argument[6];
        const char *piece;
    } wrong[] = {
        {{"what-if", "scenario.yaml", "--caps", "3..1/1", NULL},
         "--caps: found '3..1/1', which runs backwards, expected 1..3/1"},
        {{"what-if", "scenario.yaml", "--sizes", "60..50/5", NULL},
         "--sizes: found '60..50/5', which runs backwards, expected 50..60/5"},
        {{"what-if", "scenario.yaml", "--sizes", "60..50", NULL},
         "--sizes: found '60..50', which runs backwards, expected 50..60, with a step such as /10"},
        {{"what-if", "scenario.yaml", "--caps", "5..1", NULL},
         "--caps: found '5..1', which runs backwards, expected 1..5"},
        {{"what-if", "scenario.yaml", "--sizes", "6..4/1", NULL},
         "--sizes: found '6..4/1', which runs backwards, expected 4..6/1"},
        {{"what-if", "scenario.yaml", "--caps", "1..2,3", NULL}, "--caps: found '3'"},
        {{"what-if", "scenario.yaml", "--caps", "x", NULL}, "expected amounts such as"},
        {{"what-if", "scenario.yaml", "--sizes", "4..8", NULL}, "--sizes: found '4..8'"},
        {{"what-if", "scenario.yaml", "--sizes", "0", NULL}, "--sizes: found '0'"},
        {{"what-if", "scenario.yaml", "--plot", "x.svg", NULL}, "--plot needs --caps"},
        {{"what-if", "scenario.yaml", "-o", "-", NULL}, "expected a folder"},
        {{"audit", "scenario.yaml", "none.csv", NULL}, "cannot read 'none.csv'"},
        {{"audit", "scenario.yaml", "model.yaml", NULL}, "found no candidate in the list"},
        {{"revise", "scenario.yaml", "--swaps", "-1", NULL}, "--swaps: found '-1'"},
        {{"revise", "scenario.yaml", "--spend", "much", NULL}, "--spend: found 'much'"},
    };
    char *folder = small_cases();
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        run_poolwright(folder, wrong[k].argument, NULL, &run);
        if (run.code != 2 || strstr(run.err, wrong[k].piece) == NULL || run.out_length > 0)
            fail_msg("%s %s: exit code %d, %.800s", wrong[k].argument[0], wrong[k].argument[2], run.code, run.err);
        run_forget(&run);
    }
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\ncases:\n  - {name: odd, cards: {Amber Lmp: {ban: yes}}}\n");
    static const char *const misspelt[] = {"what-if", "scenario.yaml", NULL};
    Run run;
    run_poolwright(folder, misspelt, NULL, &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "in case 'odd': no candidate is called 'Amber Lmp'; did you mean 'Amber Lamp'?"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A model scaled to its own size is unchanged. */
static void its_own_size_changes_nothing(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "scenarios/demo", "--sizes", "360", "--caps",
                                            "300",     "--json",         NULL};
    json_t *root = run_answer(".", 0, arguments);
    const json_t *item = json_named(json_object_get(root, "cases"), "360 cards, cap 300.00");
    assert_non_null(item);
    assert_int_equal(json_array_size(json_object_get(item, "scaled")), 0);
    const json_t *base = json_named(json_object_get(root, "cases"), "base");
    assert_int_equal(json_units(item, "fit", 1000), json_units(base, "fit", 1000));
    assert_int_equal(json_array_size(json_object_get(item, "enters")), 0);
    assert_int_equal(json_array_size(json_object_get(item, "newly_tight")), 0);
    json_decref(root);
    static const char *const other[] = {"what-if", "scenarios/demo", "--sizes", "540", "--caps", "300", "--json", NULL};
    root = run_answer(".", 0, other);
    item = json_named(json_object_get(root, "cases"), "540 cards, cap 300.00");
    assert_true(json_array_size(json_object_get(item, "scaled")) > 50); /* so the check above can fail */
    assert_int_equal(json_integer_value(json_object_get(item, "enough_for_seats")), 8);
    assert_int_equal(json_units(item, "draft_sees", 1000), 66667);
    json_decref(root);
}

/* At least 1 of 100 is at least 1 of 4: Pale, the weakest card, stays in the small pool. */
static void one_never_vanishes(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                            "--sizes", "4,10",      "--json",  NULL};
    char *folder = folder_new(), cards[4096] = "name,colours,power,tags\nPale,rye,0,rare\n";
    for (int k = 0; k < 99; k++)
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Card %d,rye,%d,\n", k, 1 + k % 9);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml",
                 "size: 100\ncolours: [rye]\nrules:\n  - {name: rare, where: {tag: rare}, at_least: 1}\n");
    json_t *root = run_answer(folder, 0, arguments);
    assert_int_equal(fit_of(root, "4 cards"), 27000); /* 9 + 9 + 9 + 0 */
    assert_int_equal(fit_of(root, "10 cards"), 81000);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* The base's pool has the most fit and costs 153.10: so much is enough, also where only small caps are asked. */
static void the_base_says_what_is_enough(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                            "--caps",  "10..12",    "--json",  NULL};
    static const struct {
        int power;
        const char *price;
    } card[] = {{2, "20.05"}, {5, "2.25"},  {4, "2.25"}, {5, "1.5"},   {6, "20.05"}, {6, "9.9"}, {1, "4"},
                {3, "2.25"},  {2, "1.5"},   {6, "9.9"},  {2, "9.9"},   {3, "4"},     {4, "4"},   {2, "4"},
                {2, "1.5"},   {5, "2.25"},  {3, "0.3"},  {6, "20.05"}, {1, "1.5"},   {3, "4"},   {1, "2.25"},
                {5, "20.05"}, {4, "20.05"}, {2, "2.25"}, {2, "9.9"},   {4, "2.25"},  {4, "4"},   {3, "0.3"},
                {2, "4"},     {1, "9.9"},   {6, "9.9"},  {1, "20.05"}, {4, "0.3"},   {3, "1.5"}, {2, "9.9"},
                {4, "20.05"}, {2, "4"},     {2, "0.3"},  {3, "2.25"},  {3, "2.25"}};
    char *folder = folder_new(), cards[4096] = "name,power,price\n";
    for (size_t k = 0; k < sizeof card / sizeof *card; k++)
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "c%02zu,%d,%s\n", k, card[k].power,
                 card[k].price);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml",
                 "size: 20\ncolours: [ebb]\nrules:\n  - {name: x, where: {power: {from: 3}}, at_least: 2}\n");
    json_t *root = run_answer(folder, 0, arguments);
    assert_int_equal(json_units(json_array_get(json_object_get(root, "cases"), 0), "cost", 100), 15310);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    assert_int_equal(json_units(json_object_get(frontier, "enough"), "at_most", 100), 15310);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* Three cards can't be seen of a pool of two; the other sizes are answered. */
static void one_size_that_cannot_be(void **state)
{
    (void)state;
    static const char *const some[] = {"what-if", "cards.csv", "--model",      "model.yaml", "--sizes",
                                       "2,8,20",  "--show",    "seats,scaled", NULL};
    static const char *const none[] = {"what-if", "cards.csv", "--model", "model.yaml", "--sizes", "1,2", NULL};
    static const char *const json[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                       "--sizes", "2,12",      "--json",  NULL};
    char *folder = folder_new(), cards[1024] = "name,kind,power\n";
    for (int k = 0; k < 24; k++)
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "c%02d,%s,%d\n", k, k % 3 == 0 ? "rig" : "tool",
                 k % 7);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml",
                 "size: 12\ncolours: [ebb]\nseats: {seats: 1, packs: 1, pack_size: 10}\nrules:\n"
                 "  - {name: many, where: {kind: rig}, seen: {by: opens, at_least: 3, chance: 80%}}\n");
    Run run;
    run_poolwright(folder, some, NULL, &run);
    assert_int_equal(run.code, 0);
    assert_non_null(strstr(run.out, "  no answer for 2 cards: rule 'many' asks for 3 seen cards, but only 2 are looked "
                                    "at (model.yaml:5)\n"));
    assert_non_null(strstr(run.out, "  by 1 seat, 1 pack of 10 (the base's)\n"));
    assert_non_null(strstr(run.out, "  many   at least 4  at least 3  at least 7\n"));
    assert_null(strstr(run.out, "\n20 cards\n")); /* no part that was asked for speaks of it */
    run_forget(&run);
    run_poolwright(folder, none, NULL, &run);
    assert_int_equal(run.code, 2);
    assert_string_equal(run.out, "");
    assert_non_null(strstr(run.err, "model.yaml:5:38: error: 2 cards: rule 'many' asks for 3 seen cards"));
    run_forget(&run);
    json_t *root = run_answer(folder, 0, json);
    const json_t *refused = json_array_get(json_object_get(root, "refused"), 0);
    assert_string_equal(json_text(refused, "name"), "2 cards");
    assert_int_equal(json_integer_value(json_object_get(refused, "line")), 5);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* The same pool everywhere: so it is said, and there is no curve to draw. */
static void what_changes_nothing(void **state)
{
    (void)state;
    static const char *const cases[] = {"what-if", ".", NULL};
    static const char *const caps[] = {"what-if", ".", "--caps", "50..90/10", NULL};
    char *folder = folder_new();
    folder_print(folder, "cards.csv", "name,power,price\nAsh,3,1\nBee,2,1\nCob,1,1\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [ebb]\n");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\n"
                 "cases:\n  - {name: ample, change: {spending_cap: 100.00}}\n");
    Run run;
    run_poolwright(folder, cases, NULL, &run);
    assert_non_null(strstr(run.out, "\nample\n  the base's pool is the best here too: proven\n"));
    run_forget(&run);
    run_poolwright(folder, caps, NULL, &run);
    assert_non_null(strstr(run.out, "From 50.00 to 90.00: the next 40.00 buy nothing"));
    assert_null(strstr(run.out, "+-----"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* Evenness, a bonus and the weight of a theme with depth change no card's fit, and yet fit is another. A case that
 * changes them where neither pool has any of it, and a soft limit, are still held against the base. */
static void structure_counts_fit_in_another_way(void **state)
{
    (void)state;
    static const char *const text[] = {"what-if", ".", "--gap", "0", NULL}, *const json[] = {"what-if", ".",
                                                                                             "--gap",   "0",
                                                                                             "--json",  NULL};
    static const char *const other[] = {"even", "pair", "deep"}, *const same[] = {"far", "soft", "ban"};
    char *folder = folder_new();
    folder_print(folder, "cards.csv", "name,power,tags\nAsh,5,bells 2;eels 2\nBee,4,bells 2;eels 2\nCob,1,\nDell,1,\n");
    folder_print(
        folder, "model.yaml",
        "size: 2\ncolours: [ebb]\nevenness: 0.5\nthemes: [{name: bells, depth: [{to: 9, share: 100%}]}, {name: eels}]\n"
        "rules: [{name: frail, where: {power: {to: 3}}, at_least: 1, soft: 1}]\n"
        "together: [{name: both, cards: [Ash, Bee], bonus: 1}, {name: weak, cards: [Cob, Dell], bonus: 1}]\n");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\ncases:\n"
                 "  - {name: even, change: {evenness: 1}}\n"
                 "  - {name: pair, change: {together: {both: {bonus: 3}}}}\n"
                 "  - {name: deep, change: {themes: {bells: {weight: 2}}}}\n"
                 "  - {name: far, change: {together: {weak: {bonus: 2}}}}\n"
                 "  - {name: soft, change: {rules: {frail: {at_least: 2}}}}\n"
                 "  - {name: ban, change: {ban: [Bee]}}\n");
    json_t *root = run_answer(folder, 0, json);
    const json_t *cases = json_object_get(root, "cases");
    const double base = json_number_value(json_object_get(json_named(cases, "base"), "fit"));
    for (size_t k = 0; k < 3; k++)
        assert_true(json_number_value(json_object_get(json_named(cases, other[k]), "fit_as_base")) == base);
    for (size_t k = 0; k < 3; k++)
        assert_null(json_object_get(json_named(cases, same[k]), "fit_as_base"));
    json_decref(root);
    Run run;
    run_poolwright(folder, text, NULL, &run);
    assert_non_null(strstr(run.out, "  pair counts fit in another way: as the base counts, its pool has 19\n"));
    assert_non_null(strstr(run.out, "  the same  "));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* The base has no pool: of caps that have one nothing is in or out against it. */
static void nothing_is_compared_with_no_pool(void **state)
{
    (void)state;
    static const char *const caps[] = {"what-if", "cards.csv", "--model",  "model.yaml", "--caps",
                                       "1..3/1",  "--csv",     "caps.csv", NULL},
                             *const json[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                              "--caps",  "1..3/1",    "--json",  NULL};
    char *folder = folder_new();
    folder_print(folder, "cards.csv", "name,power,price\nAsh,3,1\nBee,2,1\nCob,1,.5\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [ebb]\nspending_cap: 1.00\n");
    Run run;
    run_poolwright(folder, caps, NULL, &run);
    assert_int_equal(run.code, 0);
    assert_non_null(strstr(run.out, "\n  2.00    2.00        5     best\n"));
    run_forget(&run);
    char *sheet = folder_read(folder, "caps.csv", NULL);
    assert_non_null(strstr(sheet, "\r\ncap 2.00,best,2,2.00,2.00,5,5,,,,,2.5,0,"));
    free(sheet);
    json_t *root = run_answer(folder, 0, json);
    const json_t *two = json_named(json_object_get(root, "cases"), "cap 2.00");
    assert_non_null(json_object_get(two, "pool"));
    assert_null(json_object_get(two, "enters"));
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* A list under a word for names in another language, and lists of names that only look like it. */
static void lists_are_known_by_words_for_names(void **state)
{
    (void)state;
    static const struct {
        const char *list;
        int listed, unknown;
    } read[] = {{"Kartenname;drin\nAsh;1\nBee;2\n", 2, 0},
                {"Titel\nAsh\nCob\n", 2, 0},
                {"Card, the Last\nAsh\n", 2, 0},
                {"Our pool\nAsh\nBee\n", 2, 1}};
    static const char *const audit[] = {"audit", "cards.csv", "list.csv", "--model", "model.yaml", "--json", NULL};
    char *folder = folder_new();
    folder_print(folder, "cards.csv", "name,power\nAsh,3\nBee,2\nCob,1\n\"Card, the Last\",1\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [ebb]\n");
    for (size_t k = 0; k < sizeof read / sizeof *read; k++) {
        folder_print(folder, "list.csv", read[k].list);
        json_t *root = run_answer(folder, read[k].unknown > 0, audit);
        assert_int_equal(json_units(root, "size", 1), read[k].listed);
        assert_int_equal(json_array_size(json_object_get(root, "unknown")), read[k].unknown);
        json_decref(root);
    }
    folder_remove(folder);
    free(folder);
}

/* The nearest names are looked for on behalf of the first fifty unknown ones: a long list of another game takes no
 * longer. */
static void fifty_unknown_names_have_their_nearest(void **state)
{
    (void)state;
    static const char *const audit[] = {"audit", "cards.csv", "list.csv", "--model", "model.yaml", "--json", NULL};
    char *folder = folder_new(), list[4096] = "name\nAsh\n";
    for (int k = 0; k < 60; k++)
        strcat(list, "Cobb\n");
    folder_print(folder, "cards.csv", "name,power\nAsh,3\nCob,1\n");
    folder_print(folder, "model.yaml", "size: 1\ncolours: [ebb]\n");
    folder_print(folder, "list.csv", list);
    json_t *root = run_answer(folder, 1, audit);
    const json_t *unknown = json_object_get(root, "unknown"), *name;
    size_t k;
    assert_int_equal(json_array_size(unknown), 60);
    json_array_foreach (unknown, k, name)
        assert_int_equal(json_is_null(json_object_get(name, "nearest")), k >= 50);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* ---- a pool from outside ---- */

typedef struct {
    const char *name;
    int people; /* hundreds */
    int seats;
} Share;

static int audit_seats(const char *folder, const Share *share, size_t shares, int from, int to)
{
    static const char *const arguments[] = {"audit",  "cards.csv", "list.csv", "--model", "model.yaml",
                                            "--size", "120",       "--json",   NULL};
    char list[4096] = "name\n";
    for (size_t s = 0; s < shares; s++)
        for (int k = 0; k < share[s].seats + ((int)s == to) - ((int)s == from); k++)
            snprintf(list + strlen(list), sizeof list - strlen(list), "%s %d\n", share[s].name, k);
    folder_print(folder, "list.csv", list);
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    const int code = run.code;
    run_forget(&run);
    return code;
}

/* The census of 1790 as a pool: as many cards of a colour as a state had people (in hundreds), scaled to 120. The seats
 * by largest remainders keep every scaled rule; with one moved from a state that has its lower quota to one that has
 * its upper they do not. Populations and seats: National Archives; M. L. Balinski and H. P. Young, "Fair
 * Representation", 1982. */
static void the_census_as_a_pool(void **state)
{
    (void)state;
    static const Share share[] = {{"CT", 2368, 8},  {"DE", 555, 2},   {"GA", 708, 2},   {"KY", 687, 2},
                                  {"MD", 2785, 9},  {"MA", 4753, 16}, {"NH", 1418, 5},  {"NJ", 1796, 6},
                                  {"NY", 3316, 11}, {"NC", 3535, 12}, {"PA", 4329, 14}, {"RI", 684, 2},
                                  {"SC", 2062, 7},  {"VT", 855, 3},   {"VA", 6306, 21}};
    const size_t shares = sizeof share / sizeof *share;
    char model[4096], *cards = calloc(1, 65536), *folder = folder_new();
    int people = 0, seats = 0;
    assert_non_null(cards);
    strcpy(cards, "name,colours\n");
    for (size_t s = 0; s < shares; s++) {
        people += share[s].people;
        seats += share[s].seats;
        for (int k = 0; k < share[s].seats + 2; k++)
            snprintf(cards + strlen(cards), 65536 - strlen(cards), "%s %d,%s\n", share[s].name, k, share[s].name);
    }
    assert_int_equal(seats, 120);
    snprintf(model, sizeof model, "size: %d\ncolours: [", people);
    for (size_t s = 0; s < shares; s++)
        snprintf(model + strlen(model), sizeof model - strlen(model), "%s%s", s > 0 ? ", " : "", share[s].name);
    strcat(model, "]\nrules:\n  - name: seats\n    each: colour\n    where: {class: mono}\n    exactly: 1\n    for:\n");
    for (size_t s = 0; s < shares; s++)
        snprintf(model + strlen(model), sizeof model - strlen(model), "      %s: {exactly: %d}\n", share[s].name,
                 share[s].people);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", model);
    assert_int_equal(audit_seats(folder, share, shares, -1, -1), 0);
    assert_int_equal(audit_seats(folder, share, shares, 4, 14), 1); /* MD 8 of 9.24, VA 22 of 20.93 */
    assert_int_equal(audit_seats(folder, share, shares, 8, 9), 1);  /* NY 10 of 11.01 */
    free(cards);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    signals_as_usual();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cases_change_candidates),
        cmocka_unit_test(newcomers_are_judged),
        cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(its_own_size_changes_nothing),
        cmocka_unit_test(one_never_vanishes),
        cmocka_unit_test(structure_counts_fit_in_another_way),
        cmocka_unit_test(nothing_is_compared_with_no_pool),
        cmocka_unit_test(lists_are_known_by_words_for_names),
        cmocka_unit_test(fifty_unknown_names_have_their_nearest),
        cmocka_unit_test(what_changes_nothing),
        cmocka_unit_test(one_size_that_cannot_be),
        cmocka_unit_test(the_census_as_a_pool),
        cmocka_unit_test(the_base_says_what_is_enough),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
