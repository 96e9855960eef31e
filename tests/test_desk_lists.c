/* test_desk_lists.c - finding, tagging and scouting candidates from outside. All data are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

static const char cards[] = "name,colours,kind,cost,power,price,tags,text,box\r\n"
                            "Ant,rye,crew,1,3,0.30,t enabler 2,Toll a bell.,first\r\n"
                            "Bee,teal,crew;ship,2,2,0.20,removal,\"Wreck a body, then land 2.\",second\r\n"
                            "Cat,rye,ship,3,7,0.70,,Land 3. Ring twice.,first\r\n"
                            "Dog,rye+teal,ship,4,5,,t payoff,Whenever a bell tolls: land 1.,second\r\n"
                            "Eel,,tool,2,1,0.00,,ÉTÉ and straße.,third\r\n"
                            "\"Fox, the Sly\",teal,crew,5,4,9.00,,Nothing.,first\r\n";

static const char *found(const char *folder, const char *const *arguments)
{
    static char names[1024];
    Run run;
    desk_run(folder, &run, 0, arguments);
    json_t *answer = run_json(&run);
    snprintf(names, sizeof names, "%s", desk_names(answer, "cards"));
    json_decref(answer);
    run_forget(&run);
    return names;
}

#define FIND(...) found(folder, WORDS("find", "scenario.yaml", "--json", __VA_ARGS__))

static void fields_choose(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\n", "", cards);
    assert_string_equal(FIND("--sort", "name"), "Ant|Bee|Cat|Dog|Eel|Fox, the Sly");
    assert_string_equal(FIND("--sort", "name", "--where", "cost=2..4"), "Bee|Cat|Dog|Eel");
    assert_string_equal(FIND("--sort", "name", "--where", "cost=..2"), "Ant|Bee|Eel");
    assert_string_equal(FIND("--sort", "name", "--where", "cost = 4.."), "Dog|Fox, the Sly");
    assert_string_equal(FIND("--sort", "name", "--where", "kind=ship,tool"), "Bee|Cat|Dog|Eel");
    assert_string_equal(FIND("--sort", "name", "--where", "kind=ship", "--where", "not kind=crew"), "Cat|Dog");
    assert_string_equal(FIND("--sort", "name", "--where", "not tag=removal", "--where", "class=mono"),
                        "Ant|Cat|Fox, the Sly");
    assert_string_equal(FIND("--sort", "name", "--where", "name=\"Fox, the Sly\",ant"), "Ant|Fox, the Sly");
    assert_string_equal(FIND("--sort", "name", "--where", "theme=t", "--where", "role=payoff"), "Dog");
    assert_string_equal(FIND("--sort", "name", "--where", "box=FIRST"), "Ant|Cat|Fox, the Sly");
    folder_print(folder, "filter.yaml", "class: {not: gold}\nprice: {to: 0.50}\n");
    assert_string_equal(FIND("--sort", "name", "--filter", "filter.yaml"), "Ant|Bee|Eel");
    desk_done(folder);
}

static void texts_choose(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\n", "", cards);
    assert_string_equal(FIND("--sort", "name", "--text", "\\bland [2-9]"), "Bee|Cat");
    assert_string_equal(FIND("--sort", "name", "--text", "été"), "Eel");
    assert_string_equal(FIND("--sort", "name", "--text", "^\\P{L}*toll"), "Ant");
    assert_string_equal(FIND("--sort", "name", "--name", "^[a-c]"), "Ant|Bee|Cat");
    desk_done(folder);
}

/* Fits: Ant 3 + 2 = 5, Bee 2, Cat 7, Dog 5 + 1 = 6, Eel 1, Fox 4. For money: Eel nothing, Ant 5 / 0.30 = 16.67, Bee and
 * Cat both exactly 10, Fox 0.44, Dog no price. */
static void orders_are_exact(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\n", "", cards);
    assert_string_equal(FIND("--sort", "fit"), "Cat|Dog|Ant|Fox, the Sly|Bee|Eel");
    assert_string_equal(FIND("--sort", "price"), "Eel|Bee|Ant|Cat|Fox, the Sly|Dog");
    assert_string_equal(FIND("--sort", "fit-per-money"), "Eel|Ant|Cat|Bee|Fox, the Sly|Dog");
    assert_string_equal(FIND("--top", "2"), "Cat|Dog");
    desk_done(folder);
}

static void what_is_wrong_is_said(void **state)
{
    (void)state;
    static const struct {
        const char *option, *value, *says;
    } wrong[] = {
        {"--where", "cots=2", "did you mean 'cost'?"},
        {"--where", "cost", "expected FIELD=VALUE"},
        {"--where", "cost=two", "error: --where: found 'two', expected a number"},
        {"--where", "class=mnoo", "did you mean 'mono'?"},
        {"--where", "cost=4..2", "the range is empty"},
        {"--text", "land (", "missing closing parenthesis"},
        {"--text", "^(\\w+\\s?)+[0-9]{3}$", "was cut off"},
        {"--sort", "fitt", "did you mean fit?"},
        {"--filter", "none.yaml", "none.yaml"},
    };
    char *folder =
        desk_folder("unpriced: skip\n", "", "name,text\nA,aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!\n");
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        desk_run(folder, &run, 2, WORDS("find", "scenario.yaml", wrong[k].option, wrong[k].value));
        desk_expect(run.err, wrong[k].says);
        run_forget(&run);
    }
    desk_done(folder);
}

/* A sheet from find, filled in and fed back; cells that begin like formulas survive both ways. */
static void a_short_list_comes_back(void **state)
{
    (void)state;
    char *folder = desk_folder(
        "unpriced: skip\n", "tags: [short.csv]\n",
        "name,colours,power,price,text\n=Ant,rye,3,0.30,\"=1+1\"\n-Bee,rye,2,0.20,+x\n@Cat,teal,1,0.10,-3\n");
    folder_print(folder, "short.csv", "name,status,tag,role,weight\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--sheet", "-o", "short2.csv", "--sort", "name"));
    run_forget(&run);
    char *sheet = folder_read(folder, "short2.csv", NULL);
    desk_expect(sheet, "name,status,tag,role,weight,");
    desk_expect(sheet, "\r\n\"'=Ant\",,,,,3,0.30,rye");
    desk_expect(sheet, "\"'=1+1\"\r\n");
    desk_expect(sheet, ",-3\r\n");
    char *ant = strstr(sheet, "'=Ant\",,,,"), filled[2048];
    snprintf(filled, sizeof filled, "%.*s'=Ant\",keep;wish,t,payoff,2.5%s", (int)(ant - sheet), sheet,
             ant + strlen("'=Ant\",,,,"));
    folder_print(folder, "short.csv", filled);
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--json", "--where", "name=Ent"));
    json_t *answer = run_json(&run);
    desk_expect(json_text(json_array_get(json_object_get(answer, "notices"), 0), "text"),
                "no candidate is called 'Ent'");
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--json", "--where", "theme=t"));
    answer = run_json(&run);
    assert_string_equal(desk_names(answer, "cards"), "=Ant");
    json_t *card = json_array_get(json_object_get(answer, "cards"), 0);
    assert_string_equal(json_text(card, "status"), "keep;wish");
    assert_int_equal(json_units(card, "fit", 1000), 5500);
    json_decref(answer);
    run_forget(&run);
    free(sheet);
    folder_print(folder, "short.csv",
                 "name,status,tag,role,weight\n=Ant,keep,,,\n=Ant,ban,,,\n-Bee,loved,,,\n@Cat,,,payoff,\n");
    desk_run(folder, &run, 2, WORDS("find", "scenario.yaml"));
    desk_expect(run.err, "short.csv:3:6: error: found the status 'ban'");
    desk_expect(run.err, "short.csv:4:6: error: column 'status': found 'loved', expected keep, ban, wish or in");
    desk_expect(run.err, "short.csv:5:7: error: found no tag");
    run_forget(&run);
    desk_done(folder);
}

/* ---- patterns ---- */

static void patterns_tag(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\n",
                               "patterns:\n"
                               "  - {name: tolls, tag: t, role: enabler, weight: 1, text: \"\\\\btolls?\\\\b\"}\n"
                               "  - {name: bells, tag: T, role: payoff, weight: 3, text: bell}\n"
                               "  - {tag: cheap, where: {price: {to: 0.30}, kind: {not: tool}}}\n"
                               "  - {name: titled, tag: sly, in: name, text: sly}\n",
                               "name,colours,kind,power,price,tags,text\n"
                               "Ant,rye,crew,1,0.30,t enabler 2,Toll a bell.\n"
                               "Bee,rye,crew,1,0.50,,A bell tolls.\n"
                               "Cat,rye,crew,1,0.20,,A bell rings.\n"
                               "Sly Eel,rye,tool,1,0.10,,Nothing.\n"
                               "Fox,rye,tool,1,0.10,t payoff,Nothing.\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--tags", "--json"));
    json_t *answer = run_json(&run);
    json_t *pattern = json_array_get(json_object_get(answer, "patterns"), 0);
    assert_string_equal(desk_names(pattern, "caught"), "Ant|Bee");
    assert_string_equal(desk_names(pattern, "contradictions"), "Ant"); /* its weight */
    assert_string_equal(desk_names(pattern, "missed"), "Fox");
    pattern = json_array_get(json_object_get(answer, "patterns"), 1);
    assert_string_equal(desk_names(pattern, "caught"), "Ant|Bee|Cat");
    assert_string_equal(desk_names(pattern, "contradictions"), "Ant"); /* its role */
    assert_string_equal(desk_names(json_array_get(json_object_get(answer, "patterns"), 2), "caught"), "Ant|Cat");
    assert_string_equal(desk_names(json_array_get(json_object_get(answer, "patterns"), 3), "caught"), "Sly Eel");
    assert_string_equal(desk_names(answer, "untagged"), "");
    json_decref(answer);
    run_forget(&run);
    /* Ant keeps its own 2; Bee gets both, 3; Cat the payoff, 3. */
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--json", "--sort", "name"));
    answer = run_json(&run);
    static const int fit[] = {3000, 4000, 4000, 2000, 1000};
    static const char *const name[] = {"Ant", "Bee", "Cat", "Fox", "Sly Eel"};
    for (size_t k = 0; k < 5; k++) {
        json_t *card = json_array_get(json_object_get(answer, "cards"), k);
        assert_string_equal(json_text(card, "name"), name[k]);
        assert_int_equal(json_units(card, "fit", 1000), fit[k]);
        if (k == 1)
            desk_expect(run.out, "\"role\": \"both\"");
    }
    json_decref(answer);
    run_forget(&run);
    desk_done(folder);
}

static void bad_patterns_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *pattern, *says;
    } wrong[] = {
        {"{tag: x, text: \"^(a+)+$\"}", "scenario.yaml:4:20: error: the pattern 'x' took too long on the text of "
                                        "'Longest' (cards.csv:2) and was cut off"},
        {"{name: slow one, tag: x, text: \"^(a|a)*[0-9]\", in: name}",
         "the pattern 'slow one' took too long on the name of"},
        {"{tag: x, text: \"(\"}", "goes wrong after character 1"},
        {"{tag: x}", "expected 'text' or 'where'"},
        {"{text: x}", "a pattern has no tag"},
        {"{tag: x, where: {class: mono}}", "known only after tags are"},
        {"{tag: x, where: {fit: {from: 2}}}", "known only after tags are"},
        {"{tag: x, wehre: {cost: 1}}", "did you mean 'where'?"},
        {"{tag: \"x; y\", text: x}", "expected one tag"},
        {"{tag: x, text: y, role: payof}", "did you mean 'payoff'?"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char lines[256];
        snprintf(lines, sizeof lines, "patterns:\n  - %s\n", wrong[k].pattern);
        char *folder = desk_folder("unpriced: skip\n", lines, "");
        folder_print(
            folder, "cards.csv",
            k == 1 ? "name,text\naaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaac,x\n"
                   : "name,text\nLongest,aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!\n");
        Run run;
        desk_run(folder, &run, 2, WORDS("check", "scenario.yaml", "--tags"));
        desk_expect(run.err, wrong[k].says);
        run_forget(&run);
        desk_done(folder);
    }
}

/* ---- scouting ---- */

enum { MOST = 10 };

/* The least price of `enablers` + `payoffs` different cards by trying all subsets; -1: none. role 0 none, 1 enabler, 2
 * payoff, 3 both. */
static int cheapest(int cards_count, const int *role, const int *price, int enablers, int payoffs)
{
    int best = -1;
    for (unsigned set = 0; set < 1U << cards_count; set++) {
        int e = 0, p = 0, b = 0, sum = 0;
        for (int c = 0; c < cards_count; c++)
            if (set >> c & 1U) {
                e += role[c] == 1;
                p += role[c] == 2;
                b += role[c] == 3;
                sum += role[c] == 0 ? 100000 : price[c];
            }
        bool fits = e <= enablers && p <= payoffs && e + p + b == enablers + payoffs;
        if (fits && sum < 100000 && (best < 0 || sum < best))
            best = sum;
    }
    return best;
}

static void packages_cost_least(void **state)
{
    (void)state;
    static const char *const word[] = {"t", "t enabler", "t payoff", "t both"};
    Dice dice;
    dice_seed(&dice, 5);
    int possible = 0;
    for (int k = 0; k < 60; k++) {
        int count = dice_roll(&dice, 3, MOST), role[MOST], price[MOST];
        char text[2048] = "name,colours,price,tags\n", package[16];
        for (int c = 0; c < count; c++) {
            role[c] = dice_roll(&dice, 0, 3);
            price[c] = dice_roll(&dice, 0, 99);
            bool other = dice_chance(&dice, 15); /* not playable in rye */
            snprintf(text + strlen(text), sizeof text - strlen(text), "C%d,%s,0.%02d,%s\n", c, other ? "teal" : "rye",
                     price[c], word[role[c]]);
            role[c] = other ? 0 : role[c];
        }
        char *folder = desk_folder("", "", text);
        int enablers = dice_roll(&dice, 0, 3), payoffs = dice_roll(&dice, 1, 3);
        snprintf(package, sizeof package, "%d+%d", enablers, payoffs);
        Run run;
        desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--themes", "--package", package, "--json"));
        json_t *answer = run_json(&run);
        json_t *cost = json_object_get(json_array_get(json_object_get(answer, "themes"), 0), "package");
        int expected = cheapest(count, role, price, enablers, payoffs);
        assert_int_equal(json_is_true(json_object_get(cost, "possible")), expected >= 0);
        if (expected >= 0) {
            assert_int_equal(json_units(cost, "cost", 100), expected);
            possible++;
        }
        json_decref(answer);
        run_forget(&run);
        desk_done(folder);
    }
    assert_in_range(possible, 15, 55);
}

static void depth_is_counted(void **state)
{
    (void)state;
    char *folder =
        desk_folder("unpriced: skip\n", "",
                    "name,colours,price,tags,owned,status\nA,rye,1.00,t enabler; u payoff,,\nB,rye/teal,0.50,t "
                    "both,,\nC,rye+teal,0.50,t payoff,,\nD,,9.00,t payoff,1,\nE,rye,0.10,t enabler,,ban\n"
                    "F,rye,,t enabler,,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--themes", "--package", "1+2", "--json"));
    json_t *answer = run_json(&run);
    json_t *theme = json_array_get(json_object_get(answer, "themes"), 0);
    assert_int_equal(json_units(theme, "cards", 1), 3); /* A, B, D: C needs teal, E is banned, F has no price */
    assert_int_equal(json_units(theme, "enablers", 1), 2);
    assert_int_equal(json_units(theme, "payoffs", 1), 2);
    assert_int_equal(json_units(theme, "own", 1), 2);
    assert_int_equal(json_units(theme, "shared", 1), 1);
    assert_int_equal(json_units(json_object_get(theme, "package"), "cost", 100), 150);
    json_t *other = json_array_get(json_object_get(answer, "themes"), 1);
    assert_string_equal(json_text(other, "name"), "u");
    assert_true(json_is_false(json_object_get(other, "declared")));
    assert_string_equal(desk_names(json_array_get(json_object_get(answer, "pairs"), 0), "themes"), "t");
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--themes", "--package", "4+4"));
    desk_expect(run.out, "lacks");
    desk_expect(run.out, "NO THEME DEEP ENOUGH");
    run_forget(&run);
    desk_done(folder);
}

/* Where cards cost thousands, fit is told for a hundred or a thousand of money: 9 fit for 2000 are 4.50 for 1000; from
 * 1000 to 2000 fit rises by 8, from there to 9000 by 1. */
static void large_amounts_have_large_units(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,colours,power,price\nA,rye,1,1000\nB,rye,9,2000\nC,rye,10,9000\n");
    folder_print(folder, "model.yaml", "size: 1\ncolours: [rye, teal]\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--sort", "fit-per-money"));
    desk_expect(run.out, "per 1000.00");
    desk_expect(run.out, "2000.00    9         4.50");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("what-if", "scenario.yaml", "--caps", "1000,2000,9000"));
    desk_expect(run.out, "below it 100.00 more buy 0.8 fit on average, above it 0.01.");
    run_forget(&run);
    desk_done(folder);
}

/* A cost of 2.5 is no cost to 2, as a limit on costs counts. */
static void broken_costs_have_headers_of_their_own(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,colours,power,price,cost\nA,rye,1,1,2\nB,rye,9,2,2\nC,rye,10,9,4\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [rye, teal]\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
    desk_expect(run.out, "mono  cost to 2  3 or 4  5 up");
    run_forget(&run);
    folder_print(folder, "cards.csv", "name,colours,power,price,cost\nA,rye,1,1,2\nB,rye,9,2,2.5\nC,rye,10,9,4.5\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
    desk_expect(run.out, "mono  cost under 3  under 5  5 up");
    run_forget(&run);
    desk_done(folder);
}

/* A column of the user's that is called as one of ours stays; one that an earlier list left at the end does not. */
static void a_column_called_fit_stays(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,fit,colours,power\nAnvil,snug,rye,5\nBucket,loose,teal,3\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "-o", "-"));
    assert_string_equal(run.out, "name,fit,colours,power\r\nAnvil,snug,rye,5\r\nBucket,loose,teal,3\r\n");
    run_forget(&run);
    folder_print(folder, "cards.csv", "name,colours,power,fit\nAnvil,rye,5,4\nBucket,teal,3,2\n");
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "-o", "-"));
    assert_string_equal(run.out, "name,colours,power,fit\r\nAnvil,rye,5,5\r\nBucket,teal,3,3\r\n");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_column_called_fit_stays),
        cmocka_unit_test(large_amounts_have_large_units),
        cmocka_unit_test(broken_costs_have_headers_of_their_own),
        cmocka_unit_test(fields_choose),
        cmocka_unit_test(texts_choose),
        cmocka_unit_test(orders_are_exact),
        cmocka_unit_test(what_is_wrong_is_said),
        cmocka_unit_test(a_short_list_comes_back),
        cmocka_unit_test(patterns_tag),
        cmocka_unit_test(bad_patterns_are_named),
        cmocka_unit_test(packages_cost_least),
        cmocka_unit_test(depth_is_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
