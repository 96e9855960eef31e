/* test_habits.c - sheets that stray from the usual form, with the `read` that says how, against the same sheet in the
 * usual form: `find` must show the same candidates, and `export` write the same programme. All data are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "cards/habits.h"
#include "cards/names/counts.h"
#include "support/desk.h"
#include "support/run.h"

#define MODEL                                                                                                          \
    "size: {from: 1, to: 2}\nspending_cap: 9\nunpriced: 1\ncolours: [ebb, flow, rime]\nthemes:\n  - {name: nets, "     \
    "colours: ebb}\n"
#define SCENARIO "model: model.yaml\ncards: [cards.csv]\n"

/* Runs the verb over these sheets. */
static void ask(const char *verb, const char *read, const char *cards, const char *owned, Run *run)
{
    char *folder = folder_new(), model[800];
    snprintf(model, sizeof model, MODEL "%s", read);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "scenario.yaml", owned != NULL ? SCENARIO "owned: [owned.csv]\n" : SCENARIO);
    if (owned != NULL)
        folder_print(folder, "owned.csv", owned);
    const bool find = strcmp(verb, "find") == 0;
    run_poolwright(folder, (const char *const[]){verb, ".", find ? "--sort" : NULL, "name", "--json", NULL}, NULL, run);
    folder_remove(folder);
    free(folder);
}

typedef struct {
    const char *what, *read, *stray, *usual;
    const char *stray_side, *usual_side; /* owned, else NULL */
} Pair;

static void expect_same_outputs(const Pair *pair, const char *verb)
{
    Run a, b;
    ask(verb, pair->read, pair->stray, pair->stray_side, &a);
    ask(verb, "", pair->usual, pair->usual_side, &b);
    if (a.code != 0 || b.code != 0)
        fail_msg("%s: exit codes %d and %d\n%s%s", pair->what, a.code, b.code, a.err, b.err);
    const char *from = strcmp(verb, "find") == 0 ? "\"cards\"" : "", *to = "\"notices\"";
    char *one = strstr(a.out, from), *other = strstr(b.out, from);
    assert_true(one != NULL && other != NULL);
    if (strstr(one, to) != NULL)
        *strstr(one, to) = '\0';
    if (strstr(other, to) != NULL)
        *strstr(other, to) = '\0';
    if (strcmp(one, other) != 0)
        fail_msg("%s: read differently\n%s\n%s", pair->what, one, other);
    run_forget(&a);
    run_forget(&b);
}

static void stray_sheets_are_read_as_the_usual_form(void **state)
{
    (void)state;
    static const Pair pair[] = {
        {"a column for each colour", "",
         "name,ebb,Flow,RIME,price\nAsh,x,,,1\nBell,x,,yes,1\nCoal,/,/,,1\nDune,2,0,no,1\nEel,,,,1\nFin,x,/,/,1\n",
         "name,colours,price\nAsh,ebb,1\nBell,ebb+rime,1\nCoal,ebb/flow,1\nDune,ebb,1\nEel,,1\nFin,ebb+flow/rime,1\n",
         NULL, NULL},
        {"one column that is called as a colour is anything", "", "name,ebb,price\nAsh,x,1\nBell,high,1\n",
         "name,tide,price\nAsh,x,1\nBell,high,1\n", NULL, NULL},
        {"columns called as colours beside one that says them", "",
         "name,colours,ebb,flow,price\nAsh,flow,x,high,1\nBell,,x,low,1\n", "name,colours,price\nAsh,flow,1\nBell,,1\n",
         NULL, NULL},
        {"words between colours", "",
         "name,colours,price\nAsh,ebb or flow,1\nBell,EBB and rime,1\nCoal,ebb or flow and rime,1\nDune,rime oder "
         "ebb,1\n",
         "name,colours,price\nAsh,ebb/flow,1\nBell,ebb+rime,1\nCoal,ebb/flow+rime,1\nDune,ebb/rime,1\n", NULL, NULL},
        {"words between colours in further languages", "",
         "name,colours,price\nAsh,ebb of flow,1\nBell,ebb en rime,1\nCoal,ebb eller flow och rime,1\nDune,rime lub "
         "ebb,1\n"
         "Eel,ebb i flow,1\nFin,ebb nebo flow,1\nGill,ebb a rime,1\nHook,ebb vagy rime,1\nIce,ebb és flow,1\n",
         "name,colours,price\nAsh,ebb/flow,1\nBell,ebb+rime,1\nCoal,ebb/flow+rime,1\nDune,ebb/rime,1\n"
         "Eel,ebb+flow,1\nFin,ebb/flow,1\nGill,ebb+rime,1\nHook,ebb/rime,1\nIce,ebb+flow,1\n",
         NULL, NULL},
        {"yes and no in the languages of headers", "",
         "name,owned,ebb,flow\nAsh,igen,WAHR,falsch\nBell,nem,VRAI,FAUX\nCoal,ano,sí,no\nDune,ne,Verdadero,Falso\n"
         "Eel,tak,sim,não\nFin,nie,verdadeiro,nee\nGill,ja,vero,non\nHook,nej,sant,falskt\nIce,oui,prawda,fałsz\n"
         "Jet,nein,pravda,nepravda\nKelp,waar,igaz,hamis\nLamp,onwaar,x,\n",
         "name,owned,colours\nAsh,1,ebb\nBell,0,ebb\nCoal,1,ebb\nDune,0,ebb\nEel,1,ebb\nFin,0,ebb\nGill,1,ebb\n"
         "Hook,0,ebb\nIce,1,ebb\nJet,0,ebb\nKelp,1,ebb\nLamp,0,ebb\n",
         NULL, NULL},
        {"words between colours, where a slash means both", "read: {slash: both, colour_words: {r: rime}}\n",
         "name,colours,price\nAsh,ebb or flow,1\nBell,ebb/r,1\n",
         "name,colours,price\nAsh,ebb/flow,1\nBell,ebb+rime,1\n", NULL, NULL},
        {"a letter that is no such word", "read: {colours_split: [blank], colour_words: {e: ebb, y: flow, r: rime}}\n",
         "name,colours,price\nAsh,e y r,1\nBell,e r,1\n", "name,colours,price\nAsh,ebb+flow+rime,1\nBell,ebb+rime,1\n",
         NULL, NULL},
        {"tags by commas", "read: {tags_split: \",\"}\n",
         "name,kind,tags\nAsh,\"rig, tool\",\"nets enabler 2, lamps\"\n",
         "name,kind,tags\nAsh,rig;tool,nets enabler 2;lamps\n", NULL, NULL},
        {"tags by bars and line ends", "read: {tags_split: [\"|\", newline]}\n",
         "name,tags\nAsh,\"nets|lamps\nkites\"\n", "name,tags\nAsh,nets;lamps;kites\n", NULL, NULL},
        {"a slash that means both", "read: {slash: both}\n", "name,colours\nAsh,ebb/flow\nBee,ebb/rime\n",
         "name,colours\nAsh,ebb+flow\nBee,ebb+rime\n", NULL, NULL},
        {"colours by commas and blanks", "read: {colours_split: [\",\", blank]}\n",
         "name,colours\nAsh,\"ebb, flow\"\nBee,ebb rime\nCod,ebb / flow\n",
         "name,colours\nAsh,ebb+flow\nBee,ebb+rime\nCod,ebb/flow\n", NULL, NULL},
        {"other words for colours", "read: {colour_words: {E: ebb, f: flow, eb: ebb, grey: colourless}}\n",
         "name,colours\nAsh,e\nBee,EF\nCod,e/f\nDab,eb\nEel,Grey\nFin,RIME\n",
         "name,colours\nAsh,ebb\nBee,ebb+flow\nCod,ebb/flow\nDab,ebb\nEel,\nFin,rime\n", NULL, NULL},
        {"other words for roles", "read: {words: {Starts: enabler, ends: payoff, pair: both}}\n",
         "name,tags\nAsh,nets starts 2;lamps (Ends)\nBee,nets pair;kites 2 ends\nCod,ends\n",
         "name,tags\nAsh,nets enabler 2;lamps payoff\nBee,nets both;kites payoff 2\nCod,ends\n", NULL, NULL},
        {"other words for statuses", "read: {words: {behalten: keep, Raus: ban, drin: in}, tags_split: \",\"}\n",
         "name,status\nAsh,Behalten\nBee,\"raus; drin\"\nCod,\"wish, drin\"\n",
         "name,status\nAsh,keep\nBee,ban;in\nCod,wish;in\n", NULL, NULL},
        {"decimal commas", "read: {decimal: comma}\n",
         "name,price,power\nAsh,\"1.234,50\",\"2,125\"\nBee,\"€ 3,5\",4\n",
         "name,price,power\nAsh,1234.50,2.125\nBee,3.5,4\n", NULL, NULL},
        {"decimal points between semicolons", "read: {decimal: point}\n", "name;price;power\nAsh;1,234.50;2.125\n",
         "name,price,power\nAsh,1234.50,2.125\n", NULL, NULL},
        {"decimal commas without a word of it", "", "name,price,power\nAsh,\"1,50\",\"2,1\"\n",
         "name,price,power\nAsh,1.50,2.1\n", NULL, NULL},
        {"words for nothing", "read: {blanks: [n/a, \"?\", \"-\"]}\n",
         "name,colours,price,power,tags\nAsh,-,N/A,?,n/a\nBee,ebb,1,2,nets\n",
         "name,colours,price,power,tags\nAsh,,,,\nBee,ebb,1,2,nets\n", NULL, NULL},
        {"names of a list", "read: {listed_names: yes}\n", "name,power\n- Ash,1\n2x Bee,2\nCod x3,3\n2 Dab,1\n",
         "name,power,copies\nAsh,1,1\nBee,2,2\nCod,3,3\nDab,1,2\n", NULL, NULL},
        {"totals, headings, lines without a name", "read: {skip_lines: [TOTAL, \"All rigs\", \"\"]}\n",
         "name,power\nall rigs,\nAsh,1\n,7\nBee,2\nTotal,3\n", "name,power\nAsh,1\nBee,2\n", NULL, NULL},
        {"the first of two", "read: {duplicates: first}\n", "name,power,price\nAsh,,1\nBee,1,1\nASH,3,2\n",
         "name,power,price\nAsh,,1\nBee,1,1\n", NULL, NULL},
        {"the last of two", "read: {duplicates: last}\n", "name,power,price\nAsh,,1\nBee,1,1\nAsh,3,2\n",
         "name,power,price\nAsh,3,2\nBee,1,1\n", NULL, NULL},
        {"the first of two, filled", "read: {duplicates: fill}\n",
         "name,colours,power,price,tags,owned\nAsh,,,1,,\nBee,ebb,1,1,nets,1\nAsh,flow,3,2,nets,2\n",
         "name,colours,power,price,tags,owned\nAsh,flow,3,1,nets,2\nBee,ebb,1,1,nets,1\n", NULL, NULL},
        {"a tag that stands twice", "read: {duplicates: fill}\n", "name,tags\nAsh,nets; lamps; nets\n",
         "name,tags\nAsh,nets; lamps\n", NULL, NULL},
        {"copies with an x", "", "name,owned,copies\nAsh,2x,x3\nBee,1 x,\n", "name,owned,copies\nAsh,2,3\nBee,1,\n",
         NULL, NULL},
        {"copies in pieces", "",
         "name,owned,copies\nAsh,2 pcs,3 Stk.\nBee,1 st\xC3\xBC"
         "ck,\n",
         "name,owned,copies\nAsh,2,3\nBee,1,\n", NULL, NULL},
        {"a column of an owned sheet", "columns: {name: [name, what], copies: How many}\n",
         "name,power,copies\nAsh,1,3\nBee,2,3\n", "name,power,copies\nAsh,1,3\nBee,2,3\n",
         "what,How many\n- Ash,2x\nBee,yes\n", "name,copies\nAsh,2\nBee,1\n"},
        {"an owned sheet of lines with counts", "", "name,power,copies\nAsh,1,3\nBee,2,3\nCod,1,3\n",
         "name,power,copies\nAsh,1,3\nBee,2,3\nCod,1,3\n", "name\n2x Ash\n- Bee\nCod x3\n",
         "name,copies\nAsh,2\nBee,1\nCod,3\n"},
        {"fields beyond the header that are blank", "", "name,power\nAsh,1,,,\nBee,2,\n", "name,power\nAsh,1\nBee,2\n",
         NULL, NULL},
    };
    for (size_t i = 0; i < sizeof pair / sizeof *pair; i++)
        for (int v = 0; v < 2; v++)
            expect_same_outputs(&pair[i], v == 0 ? "find" : "export"); /* facts of the cards; copies, owned, prices */
}

typedef struct {
    const char *read, *cards, *says;
    int code;
} Saying;

static void what_strays_is_told_with_its_number(void **state)
{
    (void)state;
    static const Saying saying[] = {
        {"", "name,tags\nAsh,\"nets, lamps\"\nBee,\"kites, nets\"\nCod,nets\n",
         "cards.csv:2:6: notice: 2 cells hold a comma in a tag, such as 'nets, lamps', and between tags stands ';'", 0},
        {"", "name,price\nAsh,\"2,35\"\nBee,\"1,5\"\nCod,1\n",
         "cards.csv:2:6: notice: 2 numbers are written with a decimal comma, such as '2,35'", 0},
        {"", "name,price\nAsh,\"1,500\"\n", "cards.csv:2:6: error: column 'price': found '1,500'", 2},
        {"", "name,power\nAsh,\"1,500\"\n", "cards.csv:2:6: error: column 'power': found '1,500'", 2},
        {"read: {decimal: point}\n", "name;power\nAsh;1,5\n",
         "column 'power': found '1,5', expected a number, with a decimal point (as the model's 'read' says)", 2},
        {"read: {decimal: point}\n", "name;tags\nAsh;nets 1,5\n",
         "expected a weight with a decimal point (as the model's 'read' says)", 2},
        {"read: {decimal: coma}\n", "name\nAsh\n", "model.yaml:7:17: error: ", 2},
        {"columns: {tags: mine}\nrules: [{name: n, where: {Mine: nets}, at_most: 1}]\n", "name,mine\nAsh,nets\n",
         "notice: 'Mine' is compared with whole cells of that column; 'tag' asks for one tag of several in a cell\n",
         0},
        {"read: {tags_split: and}\n", "name\nAsh\n", "model.yaml:7:20: error: found 'and', expected marks such as", 2},
        {"read: {colour_words: {e: eb}}\n", "name\nAsh\n",
         "model.yaml:7:26: error: unknown colour 'eb', expected a colour of the model, or colourless; did you mean "
         "'ebb'?",
         2},
        {"read: {words: {starts: enabeler}}\n", "name\nAsh\n",
         "model.yaml:7:24: error: found 'enabeler', expected none, enabler, payoff, both, keep, ban, wish, in, better, "
         "worse, "
         "fine or unused; did you mean 'enabler'?",
         2},
        {"read: {words: {behalten: keep}}\n", "name,status\nAsh,behalten\nBee,raus\n",
         "cards.csv:3:5: error: column 'status': found 'raus', expected keep, ban, wish or in, several with ';' "
         "between "
         "(other words for these can stand in the model, under read: words)",
         2},
        {"", "name,status\nAsh,\"keep;ban\"\n",
         "cards.csv:2:6: error: column 'status': found 'keep;ban', expected keep or ban, not both", 2},
        {"read: {colours_split: \",\"}\n", "name,colours\nAsh,\"ebb, flo\"\n",
         "cards.csv:2:11: error: unknown colour 'flo'; did you mean 'flow'?", 2},
        {"columns: {price: [cost of it, value]}\n", "name\nAsh\n",
         "model.yaml:7:19: error: found no column 'cost of it' in any sheet", 2},
        {"columns: {chosn: [x]}\n", "name\nAsh\n", "model.yaml:7:11: error: unknown column 'chosn'", 2},
        {"read: {duplicates: first}\n", "name,tags\nAsh,nets 1; nets 2\n", "found the tag 'nets' a second time", 2},
        {"", "name,owned\nAsh,2y\n", "cards.csv:2:5: error: column 'owned': found '2y'", 2},
    };
    for (size_t i = 0; i < sizeof saying / sizeof *saying; i++) {
        char *folder = folder_new(), model[800];
        snprintf(model, sizeof model, MODEL "%s", saying[i].read);
        folder_print(folder, "cards.csv", saying[i].cards);
        folder_print(folder, "model.yaml", model);
        folder_print(folder, "scenario.yaml", SCENARIO);
        Run run;
        run_poolwright(folder, (const char *const[]){"check", ".", NULL}, NULL, &run);
        if (run.code != saying[i].code || strstr(run.err, saying[i].says) == NULL)
            fail_msg("%s%s: expected exit code %d and\n%s\nfound %d\n%s", saying[i].read, saying[i].cards,
                     saying[i].code, saying[i].says, run.code, run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* One notice for a word of one's own for a role, behind the names of themes; and what it asks for helps. */
static void a_word_behind_themes_is_told_once(void **state)
{
    (void)state;
    static const char *const lines[] = {"  - {name: u u, colours: teal}\n",
                                        "  - {name: u u, colours: teal}\nread: {words: {\"Go\": enabler}}\n"};
    for (size_t k = 0; k < 2; k++) {
        Run run;
        char *folder =
            desk_folder(lines[k], "", "name,power,tags\nAsh,1,t go\nBee,1,t; u u; x\nCod,1,u u Go\nDoe,1,x go\n");
        desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
        if (k == 0)
            desk_expect(run.err,
                        "notice: 2 tags end in 'go', such as 't go': each is a tag of its own; where that is a "
                        "role, write enabler, payoff or both there, or say which it is in the model: read: "
                        "{words: {\"go\": enabler}}\n");
        assert_null(strstr(run.err, "no theme; was"));
        assert_int_equal(strstr(run.err, "such as") != NULL, k == 0);
        run_forget(&run);
        desk_done(folder);
    }
}

static void many_slashes_are_asked_about(void **state)
{
    (void)state;
    char cards[2000] = "name,colours\nPlus,ebb+flow\n";
    for (int i = 0; i < 25; i++)
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Card %d,ebb/flow\n", i);
    static const char *const read[] = {"", "read: {slash: either}\n", "read: {slash: both}\n"};
    for (size_t i = 0; i < 3; i++) {
        Run run;
        char *folder = folder_new(), model[300];
        snprintf(model, sizeof model, MODEL "%s", read[i]);
        folder_print(folder, "model.yaml", model);
        folder_print(folder, "cards.csv", cards);
        folder_print(folder, "scenario.yaml", SCENARIO);
        run_poolwright(folder, (const char *const[]){"check", ".", NULL}, NULL, &run);
        assert_int_equal(strstr(run.err, "25 cards are written with / and 1 with +") != NULL, i == 0);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

static void names_and_counts_of_lists(void **state)
{
    (void)state;
    static const struct {
        const char *text, *name;
        int copies;
    } lines[] = {{"Barrow", "Barrow", 1},
                 {"- Barrow", "Barrow", 1},
                 {"3 Barrow", "Barrow", 3},
                 {"3x Barrow", "Barrow", 3},
                 {"3 x Barrow", "Barrow", 3},
                 {"Barrow x3", "Barrow", 3},
                 {"Barrow 3x", "Barrow", 3},
                 {"* 2 Ox Cart", "Ox Cart", 2},
                 {"Barrow 3", "Barrow 3", 1},
                 {"3rd Barrow", "3rd Barrow", 1},
                 {"-Barrow", "-Barrow", 1},
                 {"0 Barrow", "0 Barrow", 1},
                 {"2000 Barrow", "2000 Barrow", 1},
                 {"3", "3", 1},
                 {"x3", "x3", 1},
                 {"Max x", "Max x", 1},
                 {"\xE2\x80\xA2 2\xC3\x97 Barrow", "Barrow", 2}};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        size_t length;
        int copies;
        const char *start = listed_name(lines[i].text, &length, &copies);
        if (copies != lines[i].copies || length != strlen(lines[i].name) || strncmp(start, lines[i].name, length) != 0)
            fail_msg("'%s' gave %d of '%.*s'", lines[i].text, copies, (int)length, start);
    }
    static const struct {
        const char *text;
        int copies;
    } counts[] = {{"2x", 2}, {"x2", 2}, {"2 x", 2}, {"\xC3\x97 4", 4}, {"2", -1}, {"x", -1}, {"2x2", -1}, {"0x", -1}};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++)
        assert_int_equal(counted_copies(counts[i].text), counts[i].copies);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stray_sheets_are_read_as_the_usual_form),
        cmocka_unit_test(what_strays_is_told_with_its_number),
        cmocka_unit_test(a_word_behind_themes_is_told_once),
        cmocka_unit_test(many_slashes_are_asked_about),
        cmocka_unit_test(names_and_counts_of_lists),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
