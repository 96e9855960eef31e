/* test_import_marks.c - what stands in designers' sheets beside plain words: costs with an X, whole amounts with a
 * dash, currency signs as headers, roles in brackets, columns of costs that no header calls so. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define LINES 60

/* Sixty cards, tab between; the column `costs` is called so. */
static void write_list(const char *folder, const char *costs)
{
    static const char *const colours[] = {"Amber", "Slate", "Moss"}, *const cost[] = {"1", "2", "3", "4", "X", "5"};
    static const char *const ideas[] = {"wicks", "dust (payoff)", "wicks, dust", "", "wicks (enabler 2)"};
    char list[LINES * 80 + 200], prices[LINES * 40 + 200];
    int length = snprintf(list, sizeof list, "Card\tColour\tType\t%s\tScore\tHave it\tIdeas\n", costs);
    int priced = snprintf(prices, sizeof prices, "Name\t€\n");
    for (int k = 0; k < LINES; k++) {
        length += snprintf(list + length, sizeof list - (size_t)length, "Card %02d\t%s\t%s\t%s\t%d\t%s\t%s\n", k,
                           colours[k % 3], k % 4 == 0 ? "Rig" : "Crew", cost[k % 6], 1 + k % 5, k % 7 == 0 ? "x" : "",
                           ideas[k % 5]);
        priced += snprintf(prices + priced, sizeof prices - (size_t)priced, "Card %02d\t%s\n", k,
                           k % 9 == 0   ? "12,-"
                           : k % 2 == 0 ? "0,35"
                                        : "€ 0,20");
    }
    folder_print(folder, "list.tsv", list);
    folder_print(folder, "prices.tsv", prices);
}

static const json_t *card_called(const json_t *root, const char *name)
{
    size_t k;
    json_t *card;
    json_array_foreach (json_object_get(root, "cards"), k, card)
        if (strcmp(json_text(card, "name"), name) == 0)
            return card;
    fail_msg("no card '%s'", name);
    return NULL;
}

static void expect_tag(const json_t *card, size_t k, const char *tag, const char *role, int64_t weight)
{
    const json_t *found = json_array_get(json_object_get(card, "tags"), k);
    assert_string_equal(json_text(found, "tag"), tag);
    assert_string_equal(json_text(found, "role"), role);
    assert_int_equal(json_units(found, "weight", 1), weight);
}

static void marks_are_read_as_they_are_meant(void **state)
{
    (void)state;
    char *folder = folder_new();
    write_list(folder, "Cost");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.tsv", "prices.tsv", "-o", "pool", NULL});
    desk_expect(run.out, "price = €");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"find", "pool", "--json", NULL});
    json_t *root = run_json(&run);
    const json_t *first = card_called(root, "Card 00"), *variable = card_called(root, "Card 04");
    assert_int_equal(json_units(first, "price", 100), 1200);
    assert_int_equal(json_units(first, "cost", 1), 1);
    assert_true(json_is_null(json_object_get(variable, "cost")));
    expect_tag(card_called(root, "Card 01"), 0, "dust", "payoff", 1);
    expect_tag(variable, 0, "wicks", "enabler", 2);
    json_decref(root);
    run_forget(&run);
    /* an x says that one has the card, whatever an X among the costs says */
    desk_run(folder, &run, 0, (const char *const[]){"check", "pool", NULL});
    desk_expect(run.err, "10 costs hold an X, such as 'X', and count as unknown");
    run_forget(&run);
    char *model = folder_read(folder, "pool/model.yaml", NULL);
    assert_null(strstr(model, "blanks"));
    free(model);
    folder_remove(folder);
    free(folder);
}

static void costs_are_known_by_their_numbers(void **state)
{
    (void)state;
    char *folder = folder_new();
    write_list(folder, "Lamps");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.tsv", "prices.tsv", "--json", NULL});
    json_t *root = run_json(&run), *question;
    size_t k;
    bool asked = false;
    json_array_foreach (json_object_get(root, "questions"), k, question) {
        if (strcmp(json_text(question, "id"), "column list.tsv Lamps") != 0)
            continue;
        asked = true;
        assert_string_equal(json_text(question, "likely"), "cost");
        assert_true(json_is_false(json_object_get(question, "sure"))); /* at a terminal it is asked */
    }
    assert_true(asked);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A cap asks for prices. */
static void a_cap_needs_prices(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "list.csv", "Card,Colour,Verve\nAsh,fen,3\nBee,fen,2\nCoal,clay,4\n");
    desk_expect_refused(
        folder, WORDS("import", "list.csv", "--cap", "20", "-o", "pool"),
        "list.csv:1:1: error: no column seems to hold prices, so no spending cap can be kept; leave the "
        "cap out, call a column 'price', or answer \"column list.csv HEADER\": \"price\"",
        "pool/model.yaml");
    desk_expect_refused(folder, WORDS("import", "list.csv", "--cap", "0", "-o", "pool"),
                        "leave the cap out (for a pool of owned cards alone write 'spending_cap: 0' and 'unpriced: "
                        "skip' into the model then), call",
                        "pool/model.yaml");
    folder_remove(folder);
    free(folder);
}

/* What is said there: without prices only owned cards take part, and nothing is bought. */
static void owned_cards_alone_make_a_pool(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 2\ncolours: [fen, clay]\nspending_cap: 0\nunpriced: skip\n");
    folder_print(folder, "list.csv",
                 "name,colours,power,owned\nAsh,fen,3,1\nBee,fen,9,\nCoal,clay,4,yes\nDew,clay,1,2\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "list.csv", "--model", "model.yaml", "--json"));
    json_t *root = run_json(&run);
    assert_string_equal(desk_names(root, "pool"), "Ash|Coal");
    json_decref(root);
    run_forget(&run);
    folder_print(folder, "one.csv", "name,colours,tags\nAsh,fen,kites\n");
    desk_run(folder, &run, 0, WORDS("import", "one.csv"));
    desk_expect(run.out, "one.csv: 1 line, 1 candidate\n");
    desk_expect(run.out, "'kites on 1 card'");
    run_forget(&run);
    desk_done(folder);
}

/* The model that import writes for a list. Freed with free. */
static char *imported_model(const char *list)
{
    char *folder = folder_new();
    folder_print(folder, "list.csv", list);
    Run run;
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "-o", "pool"));
    run_forget(&run);
    char *model = folder_read(folder, "pool/model.yaml", NULL);
    folder_remove(folder);
    free(folder);
    return model;
}

/* Nobody is asked for what no card is. */
static void roles_that_nobody_gave_are_not_demanded(void **state)
{
    (void)state;
    static char list[240 * 40] = "name,colours,power,tags\n";
    size_t length = strlen(list);
    for (int k = 0; k < 220; k++)
        length += (size_t)snprintf(list + length, sizeof list - length, "Card %03d,%s,%d,%s\n", k,
                                   k % 2 == 0 ? "Amber" : "Slate", k % 7,
                                   k % 3 == 0   ? "wicks payoff"
                                   : k % 3 == 1 ? "wicks"
                                                : "ropes");
    char *model = imported_model(list);
    desk_expect(model, "{name: payoffs, each: theme, where: {role: payoff}, at_least: ");
    desk_expect(model, "soft: 2, for: {\"ropes\": {at_least: 0}}}\n"); /* which no tag of ropes ever is */
    assert_null(strstr(model, "{name: enablers"));
    free(model);
}

/* Six colours have fifteen pairs, and a pool of 90 no hybrid card for each: still some of those that there are. */
static void hybrid_cards_of_many_pairs_have_places(void **state)
{
    (void)state;
    static const char *const colour[] = {"Amber", "Slate", "Moss", "Plum", "Rust", "Teal"};
    static char list[160 * 40] = "name,colours,power\n";
    size_t length = strlen(list);
    for (int k = 0; k < 150; k++)
        length += (size_t)snprintf(list + length, sizeof list - length, "Card %03d,%s%s%s,%d\n", k, colour[k / 5 % 6],
                                   k % 5 == 0   ? "/"
                                   : k % 5 == 1 ? "+"
                                                : "",
                                   k % 5 < 2 ? colour[(k / 5 + 1) % 6] : "", k % 7);
    char *model = imported_model(list);
    const char *limit = strstr(model, "{name: hybrid cards, where: {class: hybrid}, between: [");
    assert_non_null(limit);
    int low = 0, high = 0;
    assert_int_equal(sscanf(strchr(limit, '['), "[%d, %d]", &low, &high), 2);
    if (low < 1 || high < low)
        fail_msg("%s", model);
    free(model);
}

/* Sheets of prices that name shops: the model knows their columns, and has the shops to be filled in. */
static void shops_are_taken_from_sheets_of_prices(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "list.csv",
                 "Card;Colour;Score\nAsh;Amber;3\nBee;Slate;4\nCoal;Amber;2\nDusk;Slate;4\nElm;Amber;1\n");
    folder_print(folder, "offers.csv",
                 "Name;Price;Seller;Available;Zustand\nAsh;1,20;Post;2;new\nBee;0,20;Quay;1;used\n"
                 "Bee;0,10;Post;0;new\nCoal;0,35;Quay;3;new\nDusk;4,00;Post;1;new\nElm;1,00;Post;4;used\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "offers.csv", "-o", "pool"));
    desk_expect(run.out, "shop = Seller, stock =");
    run_forget(&run);
    char *model = folder_read(folder, "pool/model.yaml", NULL);
    desk_expect(model, "  shop: \"Seller\"\n");
    char *shops = strstr(model, "\n#shops:\n#  - {name: \"Post\", postage: 3.50");
    assert_non_null(shops);
    while (shops[1] == '#') { /* as a user does: the # away, and nothing else */
        memmove(shops + 1, shops + 2, strlen(shops + 2) + 1);
        shops = strchr(shops + 1, '\n');
    }
    folder_print(folder, "pool/model.yaml", model);
    free(model);
    desk_run(folder, &run, 0, WORDS("best", "pool", "-o", "list-of-pool.csv"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("order", "pool", "list-of-pool.csv", "--json"));
    json_t *root = run_json(&run);
    const json_t *post = json_array_get(json_object_get(root, "shops"), 0);
    assert_string_equal(json_text(post, "shop"), "Post");
    assert_int_equal(json_units(post, "postage", 100), 350);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A column for each colour is not how colours are read: that is told. Columns of themes mark some cards only. */
/* What is not sure is told with what speaks for it, and where nothing holds colours, how to say which column does. */
static void columns_by_their_cells_are_told(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv",
                 "Card,Side,Cost,Type\nAsh Kiln,fen,2,rig\nBee Yard,clay,3,rig\nCoal Cart,fen+clay,2,rig\n"
                 "Dusk Bell,clay+gar,1,rig\nElm Gate,gar+fen,2,rig\nFog Horn,gar,2,rig\nGull,fen,2,rig\n"
                 "Hay Loft,clay,2,rig\nIce Pick,gar,2,rig\nJetty,fen,1,rig\nKite,fen,1,rig\nLamp,gar,1,rig\n");
    desk_run(folder, &run, 0, WORDS("import", "list.csv"));
    desk_expect(run.out, "  column list.csv Side: colours   12 of 12: 'fen' (list.csv:2), 'clay' (line 3),");
    assert_null(strstr(run.err, "seems to hold colours"));
    run_forget(&run);
    folder_print(folder, "answers.json", "{\"answers\": {\"column list.csv Side\": \"own\"}}");
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "--answers", "answers.json"));
    desk_expect(run.err, "list.csv:1:1: notice: no column seems to hold colours, so every card counts as colourless; "
                         "if one does, call it 'colours', or answer \"column list.csv HEADER\": \"colours\"\n");
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void a_column_for_each_colour_is_read(void **state)
{
    (void)state;
    char list[2][90 * 40] = {"Card,Amber,Slate,Moss,Cost,wicks\n", "Card,Colour,kites,mills,Cost,wicks\n"};
    for (int k = 0; k < 60; k++) {
        const int which = k % 3;
        sprintf(list[0] + strlen(list[0]), "Card %02d,%s,%s,%s,%d,%s\n", k, which == 0 ? "x" : "",
                which == 1 || k % 10 == 0 ? "x" : "", which == 2 ? "x" : "", k % 5, k % 4 == 0 ? "x" : "");
        sprintf(list[1] + strlen(list[1]), "Card %02d,%s,%s,%s,%d,%s\n", k, k % 2 == 0 ? "Amber" : "Slate",
                which == 0 ? "x" : "", which == 1 ? "x" : "", k % 5, which == 2 ? "x" : "");
    }
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", list[0]);
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "-o", "pool"));
    desk_expect(run.out, "colour = Amber, colour = Slate, colour = Moss, cost = Cost, theme = wicks");
    desk_expect(run.out, "  colour columns: yes");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "pool"));
    desk_expect(run.out, "  mono          56  (Amber 18, Slate 20, Moss 18)\n  gold           4\n");
    run_forget(&run);
    folder_print(folder, "answers.json", "{\"answers\": {\"colour columns\": \"no\"}}");
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "--answers", "answers.json"));
    desk_expect(run.out, "theme = Amber, theme = Slate, theme = Moss");
    run_forget(&run);
    folder_print(folder, "list.csv", list[1]);
    desk_run(folder, &run, 0, WORDS("import", "list.csv"));
    assert_null(strstr(run.out, "colour columns"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A number such as 1.500, where no other shows its decimals: import reads it as check does, or refuses it as check
 * does; it says what to write, and takes an answer. */
static void a_mark_that_nothing_tells(void **state)
{
    (void)state;
    static const struct {
        const char *sheet, *refused, *price; /* refused: beside what was found; NULL: it is read */
    } cases[] = {
        {"name;colours;power;price\nAnvil;ebb;5;1.500\nBell;ebb;4;2\n",
         "list.csv:2:13: error: column 'price': found '1.500', expected 1500 or 1.5", "1500"},
        {"name;colours;power;price\nAnvil;ebb;5;EUR 12,250\nBell;ebb;4;2\n",
         "list.csv:2:13: error: column 'price': found 'EUR 12,250', expected 12250 or 12.25", "12.25"},
        {"name,colours,power,price\nAnvil,ebb,5,\"1,500\"\nBell,ebb,4,2\n",
         "list.csv:2:14: error: column 'price': found '1,500', expected 1500 or 1.5", "1.5"},
        {"name,colours,power,price\nAnvil,ebb,5,1.500\nBell,ebb,4,2\n", NULL, "1.5"},
        {"name;colours;power;price\nAnvil;ebb;1,500;1500\nBell;ebb;4;2\n", NULL, "1500"},
        {"name;colours;power;price\nAnvil;ebb;5;1.500\nBell;ebb;4;2,50\n", NULL, "1500"},
    };
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 1\ncolours: [ebb]\nspending_cap: 1\n");
    folder_print(folder, "comma.json", "{\"answers\": {\"decimal\": \"comma\"}}");
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        Run run;
        const bool refused = cases[k].refused != NULL;
        folder_print(folder, "list.csv", cases[k].sheet);
        desk_run(folder, &run, refused ? 2 : 0, (const char *const[]){"import", "list.csv", NULL});
        if (refused) {
            desk_expect(run.err, cases[k].refused);
            desk_expect(run.err, "or an answer to `decimal`: comma or point");
            run_forget(&run);
            desk_run(folder, &run, 2, (const char *const[]){"check", "list.csv", "--model", "model.yaml", NULL});
        }
        run_forget(&run);
        desk_run(
            folder, &run, 0,
            (const char *const[]){"import", "list.csv", "-o", "out", refused ? "--answers" : NULL, "comma.json", NULL});
        run_forget(&run);
        desk_run(folder, &run, 0, (const char *const[]){"find", "out", "--json", NULL});
        json_t *root = run_json(&run);
        assert_int_equal(json_units(card_called(root, "Anvil"), "price", 100), 100 * atof(cases[k].price));
        json_decref(root);
        run_forget(&run);
        char out[300];
        snprintf(out, sizeof out, "%s/out", folder);
        folder_remove(out);
    }
    desk_done(folder);
}

/* Whatever a column is taken as may be said of it: what --json wrote is taken, with a column of money paid, and one of
 * further colours, which is known as such only when the colours are. */
static void own_answers_are_taken(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "list.csv",
                 "name,colours,colour 2,power\nAnvil,rye,teal,5\nBell,teal,,4\nCoble,rye,,3\nDrag,teal,rye,2\n");
    folder_print(folder, "Besitz.csv", "Karte,Anzahl,bezahlt\nAnvil,1,2.00\nBell,1,1.50\n");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "Besitz.csv", "--json", NULL});
    folder_print(folder, "q.json", run.out);
    desk_expect(run.out, "\"answer\": \"paid\"");
    run_forget(&run);
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "Besitz.csv", "--answers", "q.json", "-o", "out", NULL});
    desk_expect(run.out, "colours = colour 2");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"find", "out", "--json", NULL});
    json_t *root = run_json(&run);
    assert_string_equal(json_text(card_called(root, "Anvil"), "colours"), "rye+teal");
    json_decref(root);
    run_forget(&run);
    desk_done(folder);
}

/* The middle price of a sheet of prices is read as the prices are: 1.500 beside 2,50 is fifteen hundred. */
static void the_middle_price_is_read_as_prices_are(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "list.csv", "name;colours;power\nAnvil;rye;5\nBell;rye;4\nCoble;rye;3\nDrag;rye;2\n");
    folder_print(folder, "prices.csv", "name;price\nAnvil;1.500\nBell;2,50\nCoble;1.500\n");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "prices.csv", NULL});
    desk_expect(run.out, "unpriced: 1500.00");
    run_forget(&run);
    desk_done(folder);
}

/* Scores in words that can be no grades: what keeps them from counting is told, also where it was said that they are
 * scores. */
static void scores_that_are_no_grades_are_told(void **state)
{
    (void)state;
    char *folder = folder_new(), list[600] = "name,colours,Rating\n";
    for (int k = 0; k < 8; k++)
        sprintf(list + strlen(list), "Card %d,rye,%s\n", k, k % 2 == 0 ? "quite good" : "must-have");
    folder_print(folder, "list.csv", list);
    folder_print(folder, "a.json", "{\"answers\": {\"column list.csv Rating\": \"power\"}}");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--answers", "a.json", NULL});
    desk_expect(run.err, "list.csv:2:12: notice: the column does not count as power: 'quite good' is no number, and no "
                         "word that can be worth one");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(marks_are_read_as_they_are_meant),
        cmocka_unit_test(costs_are_known_by_their_numbers),
        cmocka_unit_test(a_mark_that_nothing_tells),
        cmocka_unit_test(own_answers_are_taken),
        cmocka_unit_test(scores_that_are_no_grades_are_told),
        cmocka_unit_test(the_middle_price_is_read_as_prices_are),
        cmocka_unit_test(columns_by_their_cells_are_told),
        cmocka_unit_test(a_cap_needs_prices),
        cmocka_unit_test(owned_cards_alone_make_a_pool),
        cmocka_unit_test(a_column_for_each_colour_is_read),
        cmocka_unit_test(shops_are_taken_from_sheets_of_prices),
        cmocka_unit_test(roles_that_nobody_gave_are_not_demanded),
        cmocka_unit_test(hybrid_cards_of_many_pairs_have_places),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
