/* test_import_sheets.c - several sheets as designers keep them: of prices, pools and themes, with words and letters of
 * their own. All data are of an invented game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"
#include "support/packed.h"

#define MAIN "Card,Colour,Cost\nAsh Kiln,fen,1\nBee Yard,clay,2\nCoal Cart,fen,3\nDusk Bell,clay,4\n"

/* What a second sheet is, beside one of cards. */
static void sheets_beside_the_main_one(void **state)
{
    (void)state;
    static const struct {
        const char *name, *sheet, *role;
    } second[] = {
        {"scores.csv", "Card,Rating\nAsh Kiln,5\nBee Yard,6.5\nCoal Cart,4\n", "cards"},
        {"values.csv", "Card,Colour,Price\nAsh Kiln,fen,2.00\nBee Yard,clay,1.00\n", "prices"},
        {"box.csv", "Card,Colour,Have\nAsh Kiln,fen,2\nBee Yard,clay,1\n", "owned"},
        {"mycollection.csv", "Card\nAsh Kiln\nBee Yard\n", "owned"},
        {"lastpool.csv", "Card\nAsh Kiln\nBee Yard\n", "pool"},
        {"old.csv", "Card,Colour\nAsh Kiln,fen\nBee Yard,clay\n", "none"},
        {"more.csv", "Card,Colour,Cost\nElm Gate,fen,2\nFen Mill,clay,1\n", "cards"},
        {"mine.csv", "Card,Colour,Hab ich\nAsh Kiln,fen,2\nBee Yard,clay,ja\n", "owned"},
        {"count.csv", "Card,copies\nAsh Kiln,no\nBee Yard,2\nCoal Cart,0\n", "owned"},
        {"tags.csv", "Card,Tag,Role\nAsh Kiln,kites,payoff\nBee Yard,kites,enabler\n", "tags"},
    };
    for (size_t i = 0; i < sizeof second / sizeof *second; i++) {
        char *folder = folder_new();
        Run run;
        folder_print(folder, "list.csv", MAIN);
        folder_print(folder, second[i].name, second[i].sheet);
        desk_run(folder, &run, 0,
                 (const char *const[]){"import", "list.csv", second[i].name, "-o", "pool", "--json", NULL});
        json_t *root = run_json(&run);
        const json_t *sheet = json_array_get(json_object_get(root, "sheets"), 1);
        if (strcmp(json_text(sheet, "role"), second[i].role) != 0)
            fail_msg("%s is taken for %s, expected %s", second[i].name, json_text(sheet, "role"), second[i].role);
        json_decref(root);
        run_forget(&run);
        desk_run(folder, &run, 0, (const char *const[]){"best", "pool", NULL});
        run_forget(&run);
        desk_done(folder);
    }
}

/* A sheet of names alone may be anything: it is told how it can be used, and as a sheet of tags it is a theme's. */
static void a_sheet_of_names_can_be_a_theme(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "list.csv", "name,colours,power\nAsh,fen,1\nBee,clay,2\nCob,fen,3\nDoe,clay,4\nElk,fen,5\n");
    folder_print(folder, "Kites.csv", "name\nAsh\nCob\n");
    folder_print(folder, "answers.json", "{\"answers\": {\"sheet Kites.csv\": \"tags\"}}");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "Kites.csv", NULL});
    desk_expect(run.out,
                "Kites.csv: 2 lines, not used\nTo use a sheet all the same, say as what in a file, --answers FILE:\n"
                "  {\"answers\": {\"sheet Kites.csv\": \"prices\"}}   (or cards, owned, tags, pool)\n");
    run_forget(&run);
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "Kites.csv", "--answers", "answers.json", "-o", "out", NULL});
    desk_expect(run.out, "themes: Kites");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"find", "out", "--where", "theme=Kites", NULL});
    desk_expect(run.out, "2 of 5 candidates");
    assert_null(strstr(run.err, "found no column 'tag'"));
    run_forget(&run);
    /* a file that is not there is named shortly too */
    folder_print(folder, "out/scenario.yaml", "model: model.yaml\ncards: [../lst.csv]\n");
    desk_run(folder, &run, 2, (const char *const[]){"check", "out", NULL});
    desk_expect(run.err, "out/scenario.yaml:2:9: error: cannot read 'lst.csv': no such file; did you mean 'list.csv'?");
    run_forget(&run);
    desk_done(folder);
}

/* A list of candidates that marks those in the pool: by hand, two of five. The pool that is written from it is the
 * present one as soon as the scenario names it, whatever the marks of the list said. */
static void a_list_says_what_is_in_the_pool(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "list.csv",
                 "name,colours,power,In pool\nAsh,fen,1,x\nBee,clay,2,\nCob,fen,3,x\nDoe,clay,4,\nElk,fen,5,\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "-o", "out", NULL});
    desk_expect(run.out, "chosen = In pool");
    desk_expect(run.out, "size: 2");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"check", "out", NULL});
    desk_expect(run.out, "2 in the present pool");
    run_forget(&run);
    desk_run(folder, &run, 2, (const char *const[]){"revise", "out", "--swaps", "1", "--apply", NULL});
    desk_expect(run.err,
                "error: --apply: 'list.csv' holds more than the present pool, so it is not written over; write "
                "the new pool with -o FILE, and name that under 'pool' in the scenario\n");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "out", "-o", "pool.csv", NULL});
    desk_expect(run.out, "Present pool: 2 cards in, 2 out");
    run_forget(&run);
    folder_print(folder, "out/scenario.yaml", "model: model.yaml\ncards: [../list.csv]\npool: ../pool.csv\n");
    desk_run(folder, &run, 0, (const char *const[]){"best", "out", NULL});
    desk_expect(run.out, "Present pool: 0 cards in, 0 out, 2 stay");
    run_forget(&run);
    /* a sheet of the pool goes before */
    folder_print(folder, "now.csv", "name,chosen\nBee,1\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "now.csv", NULL});
    desk_expect(run.out, "your own: In pool");
    run_forget(&run);
    desk_done(folder);
}

/* A workbook of a pool, under headers of the user's own: the sheets beside the list hold no candidates. */
static void of_a_written_pool_the_list_is_taken(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "list.csv",
                 "Karte,Farbe,Typ,Kosten,Wertung,Preis\nAsh,fen,rig,1,1,1.50\nBee,clay,rig,2,2,2.00\n"
                 "Cob,fen+clay,tool,3,3,0.20\nDoe,clay,tool,4,4,1.00\nElk,fen,rig,5,5,3.00\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--size", "3", "-o", "out", NULL});
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "out", "-o", "pool.xlsx", NULL});
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"import", "pool.xlsx", NULL});
    desk_expect(run.out, "pool.xlsx#list: 3 lines, 3 candidates\n");
    desk_expect(run.out, "pool.xlsx#colours and curve: 7 lines, not used\n");
    desk_expect(run.out, "pool.xlsx#shopping: 6 lines, not used\n");
    run_forget(&run);
    desk_done(folder);
}

/* By hand: of five cards one is to be kept and one banned, in the sheet of cards or in one of a theme. */
static void one_keep_is_a_status(void **state)
{
    (void)state;
    static const struct {
        const char *list, *kites;
    } way[] = {{"name,colours,power,status\nAsh,fen,1,keep\nBee,clay,2,\nCob,fen,3,\nDoe,clay,4,ban\nElk,fen,5,\n",
                "name,role\nAsh,enabler\nBee,payoff\nCob,enabler\n"},
               {"name,colours,power,status\nAsh,fen,1,Behalten\nBee,clay,2,\nCob,fen,3,\nDoe,clay,4,raus\nElk,fen,5,\n",
                "name,role\nAsh,enabler\nBee,payoff\nCob,enabler\n"},
               {"name,colours,power\nAsh,fen,1\nBee,clay,2\nCob,fen,3\nDoe,clay,4\nElk,fen,5\n",
                "name,role,status\nAsh,enabler,keep\nBee,payoff,\nCob,enabler,\nDoe,payoff,ban\n"}};
    for (size_t k = 0; k < sizeof way / sizeof *way; k++) {
        char *folder = folder_new();
        folder_print(folder, "list.csv", way[k].list);
        folder_print(folder, "Kites.csv", way[k].kites);
        Run run;
        desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "Kites.csv", "-o", "out", NULL});
        desk_expect(run.out, "status = status");
        desk_expect(run.out, "themes: Kites");
        run_forget(&run);
        desk_run(folder, &run, 0, (const char *const[]){"check", "out", NULL});
        desk_expect(run.out, "1 to keep, 1 banned");
        assert_null(strstr(run.err, "does not count"));
        run_forget(&run);
        desk_done(folder);
    }
    /* where most say something else, it is something else */
    char *folder = folder_new();
    folder_print(folder, "list.csv",
                 "name,colours,power,status\nAsh,fen,1,in\nBee,clay,2,sold\nCob,fen,3,ordered\nDoe,clay,4,\n");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", NULL});
    desk_expect(run.out, "your own: status");
    desk_expect(run.err, "the column 'status' does not count: keep, ban, wish or in stands in 1 of its 3 cells");
    run_forget(&run);
    desk_done(folder);
}

/* Columns of themes with marks of one's own, and colours as letters under a header that says nothing. */
static void letters_are_marks_and_colours(void **state)
{
    (void)state;
    static const char *const colour[] = {"r", "f", "s", "rf", ""};
    char *folder = folder_new();
    Text list = {0};
    text_add(&list, "Card,C,Lanterns,Mills,Ann,Ben,Score\n");
    for (int k = 0; k < 60; k++)
        text_printf(&list, "Card %d,%s,%s,%s,%s,%s,%d\n", k, colour[k % 4 == 3 && k % 3 > 0 ? 3 : k % 3],
                    k % 5 == 0   ? "S"
                    : k % 5 == 1 ? "P"
                                 : "",
                    k % 6 == 0   ? "P"
                    : k % 6 == 2 ? "S"
                                 : "",
                    k % 4 == 0   ? "good"
                    : k % 4 == 1 ? "bad"
                                 : "",
                    k % 7 == 0   ? "good"
                    : k % 7 == 1 ? "bad"
                                 : "",
                    k % 8);
    folder_print(folder, "list.csv", text_cstr(&list));
    folder_print(folder, "answers.json", "{\"answers\": {\"role S\": \"enabler\"}}");
    Run run;
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "--answers", "answers.json", "-o", "out", NULL});
    desk_expect(run.out, "colours = C, theme = Lanterns");
    desk_expect(run.out, "theme Ann: no");
    desk_expect(run.out, "role p: none");
    desk_expect(run.out, "role s: enabler");
    desk_expect(run.out, "themes: Lanterns, Mills ");
    desk_expect(run.out, "colours: f, r, s ");
    run_forget(&run);
    json_t *root = run_answer(
        folder, 0,
        (const char *const[]){"find", "out", "--where", "theme=Lanterns", "--where", "role=enabler", "--json", NULL});
    assert_int_equal(json_array_size(json_object_get(root, "cards")), 12);
    json_decref(root);
    root = run_answer(folder, 0, (const char *const[]){"find", "out", "--where", "theme=Lanterns", "--json", NULL});
    assert_int_equal(json_array_size(json_object_get(root, "cards")), 24);
    json_decref(root);
    text_release(&list);
    desk_done(folder);
}

/* Words behind tags and in columns of roles that say a role, sheets called as their themes, prices by month, a pool
 * whose size is the likely one, a status in other words. */
static void what_a_designer_keeps_in_sheets_is_read(void **state)
{
    (void)state;
    char *folder = folder_new();
    Text list = {0}, springs = {0}, prices = {0}, pool = {0};
    text_add(&list, "Titel;Farbe;Note;Schlagworte;Status\n");
    text_add(&springs, "Titel;Rolle;Wie sehr\n");
    text_add(&prices, "Titel;Sep 26;Okt 26;Nov 26\n");
    text_add(&pool, "Unser Pool;\nTitel;dabei\n");
    for (int k = 0; k < 60; k++) {
        text_printf(&list, "Karte %d;%s;%d;%s%s;%s\n", k, k % 2 == 0 ? "moor" : "heide", 1 + k % 9,
                    k % 2 == 0 ? "Katzen" : "Uhren",
                    k % 5 == 0   ? " Starter"
                    : k % 5 == 1 ? " (Ziel)"
                                 : "",
                    k % 7 == 0 ? "behalten" : "");
        text_printf(&prices, "Karte %d;1,00 €;2,00 €;3,00 €\n", k);
        if (k % 3 == 0)
            text_printf(&springs, "Karte %d;%s;%d\n", k, k % 2 == 0 ? "pay off" : "starter", 1 + k % 2);
        if (k % 2 == 0)
            text_printf(&pool, "Karte %d;%s\n", k, k % 4 == 0 ? "x" : "");
    }
    folder_print(folder, "list.csv", text_cstr(&list));
    folder_print(folder, "Federn.csv", text_cstr(&springs));
    folder_print(folder, "prices.csv", text_cstr(&prices));
    folder_print(folder, "pool.csv", text_cstr(&pool));
    Run run;
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "Federn.csv", "prices.csv", "pool.csv", "-o", "out", NULL});
    assert_non_null(strstr(run.out, "themes: Katzen, Uhren, Federn"));
    assert_non_null(strstr(run.out, "size: 15\n"));
    assert_non_null(strstr(run.out, "price = Nov 26"));
    assert_non_null(strstr(run.out, "pool.csv, pool: name = Titel, chosen = dabei\n"));
    assert_non_null(strstr(run.out, "Federn.csv, tags: name = Titel, role = Rolle, weight = Wie sehr\n"));
    assert_non_null(strstr(run.out, "status behalten: keep   9 of 9"));
    run_forget(&run);
    char *model = folder_read(folder, "out/model.yaml", NULL);
    assert_non_null(
        strstr(model, "words: {\"Starter\": enabler, \"Ziel\": payoff, \"pay off\": payoff, \"behalten\": keep}"));
    free(model);
    desk_run(folder, &run, 0, (const char *const[]){"find", "out", "--where", "role=payoff", "--json", NULL});
    json_t *root = run_json(&run);
    size_t payoffs = 0;
    for (int k = 0; k < 60; k++)
        payoffs += k % 5 == 1 || k % 6 == 0;
    assert_int_equal(json_array_size(json_object_get(root, "cards")), payoffs);
    json_decref(root);
    run_forget(&run);
    /* a further month is told, as the model reads another one */
    desk_run(folder, &run, 0, (const char *const[]){"check", "out", NULL});
    assert_null(strstr(run.err, "the prices are read from"));
    run_forget(&run);
    char *older = folder_read(folder, "out/model.yaml", NULL), *month = strstr(older, "Nov 26");
    memcpy(month, "Sep 26", 6);
    folder_print(folder, "out/model.yaml", older);
    free(older);
    desk_run(folder, &run, 0, (const char *const[]){"check", "out", NULL});
    assert_non_null(strstr(run.err, "prices.csv:1:21: notice: the prices are read from 'Sep 26', not from 'Nov 26'"));
    run_forget(&run);
    text_release(&list);
    text_release(&springs);
    text_release(&prices);
    text_release(&pool);
    desk_done(folder);
}

/* Months over plain numbers are prices where the sheet is called that, and the user's own columns elsewhere. */
static void months_are_prices_in_a_sheet_called_so(void **state)
{
    (void)state;
    char *folder = folder_new();
    Text list = {0}, months = {0};
    text_add(&list, "Titel;Farbe;Note\n");
    text_add(&months, "Titel;Sep 2026;Okt 2026\n");
    for (int k = 0; k < 40; k++) {
        text_printf(&list, "Karte %d;%s;%d\n", k, k % 2 == 0 ? "moor" : "heide", 1 + k % 9);
        text_printf(&months, "Karte %d;%d,50;%d,25\n", k, k % 3, k % 4);
    }
    folder_print(folder, "list.csv", text_cstr(&list));
    folder_print(folder, "Preise Herbst.csv", text_cstr(&months));
    folder_print(folder, "Abende.csv", text_cstr(&months));
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "Preise Herbst.csv", NULL});
    assert_non_null(strstr(run.out, "Preise Herbst.csv, prices: name = Titel, price = Okt 2026; your own: Sep 2026\n"));
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "Abende.csv", NULL});
    assert_null(strstr(run.out, "price = "));
    run_forget(&run);
    text_release(&list);
    text_release(&months);
    desk_done(folder);
}

/* Words in a column of statuses that nobody knows say nothing until somebody answers; columns called as numbers whose
 * cells are none are told. */
static void what_does_not_count_is_told(void **state)
{
    (void)state;
    Text list = {0};
    text_add(&list, "Nom;Couleur;Prix;Note;Coût;Décision\n");
    for (int k = 0; k < 24; k++)
        text_printf(&list, "Carte %d;%s;1,50;%d of 20;%s;%s\n", k, k % 2 == 0 ? "ocre" : "suie", 8 + k % 9,
                    k % 2 == 0   ? "2"
                    : k % 3 == 0 ? "X"
                                 : "6+",
                    k % 5 == 0   ? "bof"
                    : k % 5 == 1 ? "garder"
                                 : "souhait");
    char *folder = folder_new();
    folder_print(folder, "liste.csv", text_cstr(&list));
    folder_print(folder, "a.json", "{\"answers\": {\"status bof\": \"ban\", \"column liste.csv Note\": \"own\"}}");
    Run run;
    desk_run(folder, &run, 0, WORDS("import", "liste.csv", "-o", "out"));
    desk_expect(run.out, "  status bof: none   5 of 24: 'bof' (liste.csv:2)\n");
    desk_expect(run.err, "liste.csv:2:19: notice: the column 'Note' is called as power, but 24 of its 24 cells are no "
                         "numbers, such as '8 of 20', so it does not count\n");
    desk_expect(run.err, "liste.csv:3:27: notice: the column 'Co\xC3\xBBt' is called as cost, but 12 of its 24 cells "
                         "are no numbers, such as '6+', so it does not count\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "out"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("import", "liste.csv", "--answers", "a.json"));
    desk_expect(run.out, "  status bof: ban   5 of 24: 'bof' (liste.csv:2)\n");
    assert_null(strstr(run.err, "'Note' is called"));
    run_forget(&run);
    text_release(&list);
    desk_done(folder);
}

/* One column of letters beside one of x is a theme's too, and letters with which the roles begin are likely these. */
static void letters_beside_marks_are_roles(void **state)
{
    (void)state;
    char *folder = folder_new();
    Text list = {0};
    text_add(&list, "Card,Colour,Cost,Kites,Mills,Cloth\n");
    for (int k = 0; k < 40; k++)
        text_printf(&list, "Kite %d,%s,%d,%s,%s,%s\n", k, k % 2 == 0 ? "fen" : "clay", k % 6,
                    k % 4 == 0   ? "E"
                    : k % 4 == 1 ? "P"
                                 : "",
                    k % 3 == 0 ? "x" : "", k % 2 == 0 ? "linen" : "");
    folder_print(folder, "list.csv", text_cstr(&list));
    Run run;
    desk_run(folder, &run, 0, WORDS("import", "list.csv"));
    desk_expect(run.out, "theme Kites: yes   20 of 40");
    desk_expect(run.out, "role e: enabler   10 of 20");
    desk_expect(run.out, "role p: payoff   10 of 20");
    assert_null(strstr(run.out, "theme Cloth")); /* words are none */
    run_forget(&run);
    text_release(&list);
    desk_done(folder);
}

/* Headers that no word is known for, over cells that say what they are: colours though one is misspelt, what a sheet of
 * prices has beside names, copies as "2x". */
static void cells_speak_where_headers_do_not(void **state)
{
    (void)state;
    static const char *const clan[] = {"rust",  "fern",       "Slate",        "Plum",       "RUST",       "Fern",
                                       "slate", "rust, fern", "fern / slate", "plum, rust", "slate, plum"};
    char *folder = folder_new();
    Text list = {0}, market = {0}, pence = {0}, box = {0}, many = {0};
    text_add(&list, "Card;Clan;Wind\n");
    text_add(&market, "Kite;Asked\n");
    text_add(&pence, "Kite;Asked\n");
    text_add(&box, "Kite;On the shelf\n");
    text_add(&many, "Kite;Age\n");
    for (int k = 0; k < 240; k++) {
        text_printf(&list, "Kite %d;%s;%d\n", k, k == 77 ? "rsut, fern" : clan[k * 7 % 11], 1 + k % 5);
        text_printf(&market, "Kite %d;%d\n", k, 1 + k % 7);
        text_printf(&pence, "Kite %d;%d.%d5\n", k, k % 7, k % 10);
        text_printf(&box, "Kite %d;%s\n", k, k % 3 == 0 ? "2x" : k % 3 == 1 ? "1" : "yes");
        text_printf(&many, "Kite %d;%d\n", k, 1 + k % 7);
    }
    folder_print(folder, "list.csv", text_cstr(&list));
    folder_print(folder, "prices.csv", text_cstr(&market));
    folder_print(folder, "letter.csv", text_cstr(&pence));
    folder_print(folder, "box.csv", text_cstr(&box));
    folder_print(folder, "ages.csv", text_cstr(&many));
    Run run;
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "prices.csv", "box.csv", "ages.csv", "-o", "out"));
    desk_expect(run.out, "list.csv, cards: name = Card, colours = Clan, cost = Wind\n");
    desk_expect(run.out, "colour rsut: rust   1 of 240");
    desk_expect(run.out, "prices.csv, prices: name = Kite, price = Asked\n");
    desk_expect(run.out, "box.csv, owned: name = Kite, copies = On the shelf\n");
    desk_expect(run.out, "ages.csv: 240 lines, not used\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "out"));
    desk_expect(run.out, " cards, nothing to buy");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "letter.csv"));
    desk_expect(run.out, "letter.csv, prices: name = Kite, price = Asked\n");
    run_forget(&run);
    text_release(&list);
    text_release(&market);
    text_release(&pence);
    text_release(&box);
    text_release(&many);
    desk_done(folder);
}

#define CELL(text) "<table:table-cell office:value-type='string'><text:p>" text "</text:p></table:table-cell>"
#define BLANK "<table:table-cell/>"
#define LINE(cells) "<table:table-row>" cells "</table:table-row>"
#define MONEY(value) "<table:table-cell office:value-type='float' office:value='" value "'/>"

static void write_book(const char *folder, const char *tables)
{
    size_t length;
    char *bytes = packed_ods(NULL, tables, &length);
    folder_write(folder, "list.ods", bytes, length);
    free(bytes);
}

/* A list with something wrong in it is not left out, for another sheet would be taken for the cards; notes are. */
static void a_list_with_a_fault_is_not_left_out(void **state)
{
    (void)state;
    static const char prices[] = "<table:table table:name='Prices'>" LINE(CELL("name") CELL("price"))
        LINE(CELL("Ash Kiln") MONEY("2")) LINE(CELL("Bee Yard") MONEY("1")) "</table:table>",
                      list[] = "<table:table table:name='List'>" LINE(CELL("Card") CELL("Colour") CELL("Cost"))
                          LINE(CELL("Ash Kiln") CELL("fen") MONEY("1") CELL("look again")) "</table:table>",
                      notes[] = "<table:table table:name='Notes'>" LINE(CELL("Ideas"))
                          LINE(BLANK CELL("more kites")) "</table:table>";
    char *folder = folder_new(), *both = NULL;
    Run run;
    both = mem_new(sizeof prices + sizeof list, 1);
    strcat(strcpy(both, list), prices);
    write_book(folder, both);
    desk_expect_refused(folder, (const char *const[]){"import", "list.ods", "-o", "pool", NULL},
                        "list.ods#List, D2: error: found 'look again' in a column without a header", "pool");
    strcat(strcpy(both, notes), prices);
    write_book(folder, both);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.ods", "-o", "pool", NULL});
    desk_expect(run.err, "list.ods#Notes, A1: notice: the sheet is left out: found only 'Ideas' in the first row");
    run_forget(&run);
    mem_free(both);
    desk_done(folder);
}

/* A table of a few lines beside the list may be called as a list is ("Colour", "Cards"): its fault stops nothing. */
static void a_small_table_with_a_fault_is_left_out(void **state)
{
    (void)state;
    char *folder = folder_new();
    Text book = {0};
    text_add(&book, "<table:table table:name='List'>" LINE(CELL("Card") CELL("Colour") CELL("Cost")));
    for (int k = 0; k < 25; k++)
        text_printf(&book, LINE(CELL("Kite %d") CELL("%s") MONEY("%d")), k, k % 2 == 0 ? "fen" : "clay", k % 5);
    text_add(&book, "</table:table><table:table table:name='Sums'>" LINE(CELL("Colour") CELL("Cards")));
    for (int k = 0; k < 2; k++)
        text_add(&book, LINE(CELL("fen") MONEY("2") CELL("check")));
    Run run;
    for (int more = 0; more < 2; more++) {
        Text whole = {0};
        text_add(&whole, text_cstr(&book));
        for (int k = 0; k < 20 * more; k++) /* it is as long as a list */
            text_add(&whole, LINE(CELL("clay") MONEY("2")));
        text_add(&whole, "</table:table>");
        write_book(folder, text_cstr(&whole));
        desk_run(folder, &run, more ? 2 : 0, WORDS("import", "list.ods"));
        desk_expect(run.err, more ? "list.ods#Sums, C2: error: found 'check' in a column"
                                  : "list.ods#Sums, C2: notice: the sheet is left out: found 'check' in a column");
        run_forget(&run);
        text_release(&whole);
    }
    text_release(&book);
    desk_done(folder);
}

/* What formulas leave behind the second decimal is one error of the column, and the formula that helps stands there. */
static void too_many_decimals_are_one_error(void **state)
{
    (void)state;
    char *folder = desk_folder("", "prices: [\"list.ods#Prices\"]\n", "name,colours,power\nAsh,rye,1\nBee,rye,2\n");
    Run run;
    write_book(folder,
               "<table:table table:name='Prices'>" LINE(CELL("name") CELL("price")) LINE(CELL("Ash") MONEY("0.576"))
                   LINE(CELL("Bee") MONEY(
                       "0.1234")) "</table:table>"
                                  "<table:table table:name='List'>" LINE(CELL("name") CELL("colours") CELL("power"))
                                      LINE(CELL("Ash") CELL("rye") MONEY("3.6667"))
                                          LINE(CELL("Bee") CELL("rye") MONEY("1.33333")) "</table:table>");
    desk_run(folder, &run, 2, (const char *const[]){"check", ".", NULL});
    desk_expect(run.err, "list.ods#Prices, B2: error: column 'price': found '0.576', expected money with at most 2 "
                         "decimals; a formula has them by =ROUND(..., 2) around it (and 1 more like it, in row "
                         "3)\n");
    run_forget(&run);
    desk_run(folder, &run, 2, (const char *const[]){"check", "list.ods#List", "--model", "model.yaml", NULL});
    desk_expect(run.err, "list.ods#List, C2: error: column 'power': found '3.6667', expected at most 3 decimals; a "
                         "formula has them by =ROUND(..., 3) around it (and 1 more like it, in row 3)\n");
    run_forget(&run);
    write_book(folder,
               "<table:table table:name='Prices'>" LINE(CELL("name") CELL("price"))
                   LINE(CELL("Ash") CELL("1,500")) "</table:table>" /* no formula helps there */
                                                   "<table:table table:name='List'>" LINE(CELL("name") CELL("colours"))
                                                       LINE(CELL("Ash") CELL("rye")) "</table:table>");
    desk_run(folder, &run, 2, (const char *const[]){"check", ".", NULL});
    desk_expect(run.err,
                "list.ods#Prices, B2: error: column 'price': found '1,500', expected 1500 (without a separator of "
                "thousands) or at most 2 decimals\n");
    run_forget(&run);
    desk_done(folder);
}

/* 5.4 and 0.30 as formulas leave them, with something behind the fifteenth digit, are that. */
static void what_formulas_leave_is_no_decimal(void **state)
{
    (void)state;
    char *folder = desk_folder("", "prices: [\"list.ods#Prices\"]\n", "name,colours,power\nAsh,rye,1\nBee,rye,2\n");
    write_book(folder,
               "<table:table table:name='Prices'>" LINE(CELL("name") CELL("price"))
                   LINE(CELL("Ash") MONEY("0.30000000000000004")) LINE(CELL("Bee") MONEY(
                       "2.9999999999999996")) "</table:table>"
                                              "<table:table table:name='List'>" LINE(CELL("name") CELL("colours") CELL(
                                                  "power")) LINE(CELL("Ash") CELL("rye") MONEY("5.400000000000001"))
                                                  LINE(CELL("Bee") CELL("rye") MONEY("1.3")) "</table:table>");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [\"list.ods#List\"]\nprices: [\"list.ods#Prices\"]\n");
    json_t *root = run_answer(folder, 0, WORDS("find", ".", "--sort", "name", "--json"));
    const json_t *cards = json_object_get(root, "cards");
    assert_int_equal(json_units(json_array_get(cards, 0), "price", 100), 30);
    assert_int_equal(json_units(json_array_get(cards, 0), "power", 1000), 5400);
    assert_int_equal(json_units(json_array_get(cards, 1), "price", 100), 300);
    json_decref(root);
    desk_done(folder);
}

/* How a file is read is told where it is looked at, and beside errors; a run of what is described does not repeat it.
 */
static void how_files_are_read_is_not_told_by_each_run(void **state)
{
    (void)state;
    static const char told[] =
        "cards.csv:1:1: notice: 'My list' is taken for a title: the columns are named in line 2\n";
    char *folder = desk_folder("", "", "My list,,,\nname,colours,power,tags\nAsh,rye,1,t\nBee,rye,2,\n");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"check", ".", NULL});
    desk_expect(run.err, told);
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", ".", NULL});
    assert_string_equal(run.err, "");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"what-if", ".", "--sizes", "1", NULL});
    assert_string_equal(run.err, "");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", ".", "--json", NULL});
    desk_expect(run.out, "is taken for a title");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "cards.csv", "--model", "model.yaml", NULL});
    desk_expect(run.err, told);
    run_forget(&run);
    desk_run(folder, &run, 2, (const char *const[]){"best", ".", "--keep", "Cod", NULL});
    desk_expect(run.err, told);
    run_forget(&run);
    desk_done(folder);
}

/* A workbook with a sheet for each colour and pair: a short one, with the columns of the long ones, is one of cards
 * too; tables of something else are none, whether they hold prices or counts. */
static void a_workbook_with_a_sheet_for_each_colour(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        int cards;
    } sheet[] = {{"Ruv", 40}, {"Osk", 30}, {"Tel", 35}, {"Ruv + Osk", 2}};
    char *folder = folder_new();
    Text book = {0};
    Run run;
    for (int k = 0; k < 4; k++) {
        text_printf(&book, "<table:table table:name='%s'>" LINE(CELL("name") CELL("kind") CELL("power")),
                    sheet[k].name);
        for (int c = 0; c < sheet[k].cards; c++)
            text_printf(&book, LINE(CELL("%.3s %d-%d") CELL("%s") MONEY("%d")), sheet[k].name, k, c,
                        c % 2 == 0 ? "folk" : "rig", c % 9);
        text_add(&book, "</table:table>");
    }
    text_add(&book, "<table:table table:name='Fees'>" LINE(CELL("name") CELL("price")) LINE(CELL("Hall") MONEY("30"))
                        LINE(CELL("Tea") MONEY("4")) "</table:table>");
    text_add(&book, "<table:table table:name='Bring'>" LINE(CELL("what") CELL("number")) LINE(CELL("Mats") MONEY("8"))
                        LINE(CELL("Dice") MONEY("9")) "</table:table>");
    text_add(&book, "<table:table table:name='Asked'>" LINE(CELL("name") CELL("price")) LINE(CELL("Osk 1-2") MONEY("3"))
                        LINE(CELL("Tea") MONEY("4")) "</table:table>");
    write_book(folder, text_cstr(&book));
    desk_run(folder, &run, 0, WORDS("import", "list.ods", "--size", "20", "-o", "mine"));
    desk_expect(run.out, "list.ods#Ruv + Osk: 2 lines, 2 candidates\n");
    desk_expect(run.out, "list.ods#Fees: 2 lines, not used\n");
    desk_expect(run.out, "list.ods#Bring: 2 lines, not used\n");
    desk_expect(run.out, "list.ods#Asked: 2 lines of prices\n");
    desk_expect(run.out, "colours: Osk, Ruv, Tel\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "mine"));
    desk_expect(run.out, "mono         105  (Osk 30, Ruv 40, Tel 35)");
    desk_expect(run.out, "gold           2");
    run_forget(&run);
    text_release(&book);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(months_are_prices_in_a_sheet_called_so),
        cmocka_unit_test(what_does_not_count_is_told),
        cmocka_unit_test(letters_beside_marks_are_roles),
        cmocka_unit_test(cells_speak_where_headers_do_not),
        cmocka_unit_test(a_list_with_a_fault_is_not_left_out),
        cmocka_unit_test(a_small_table_with_a_fault_is_left_out),
        cmocka_unit_test(too_many_decimals_are_one_error),
        cmocka_unit_test(what_formulas_leave_is_no_decimal),
        cmocka_unit_test(how_files_are_read_is_not_told_by_each_run),
        cmocka_unit_test(sheets_beside_the_main_one),
        cmocka_unit_test(a_sheet_of_names_can_be_a_theme),
        cmocka_unit_test(a_list_says_what_is_in_the_pool),
        cmocka_unit_test(of_a_written_pool_the_list_is_taken),
        cmocka_unit_test(one_keep_is_a_status),
        cmocka_unit_test(letters_are_marks_and_colours),
        cmocka_unit_test(what_a_designer_keeps_in_sheets_is_read),
        cmocka_unit_test(a_workbook_with_a_sheet_for_each_colour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
