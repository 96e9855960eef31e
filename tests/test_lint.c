/* test_lint.c - slips of people who live in spreadsheets: each is told where it is, and what to write instead. Some
 * are no errors but notices: what is allowed but was perhaps not meant. All data are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define YOURS "; what is yours alone goes there too, under own\n"
#define MODEL "size: 2\ncolours: [ebb, flow]\nspending_cap: 9.00\nthemes:\n  - {name: nets, colours: ebb}\n"
#define CARDS                                                                                                          \
    "name;colours;kind;power;price;tags\nAsh Kite;ebb;rig;4;1,00;nets enabler\nBell Cart;ebb;rig;5;2,00;nets payoff "  \
    "2\nCoal Lamp;flow;tool;6;3,00;\n"
#define SCENARIO "model: model.yaml\ncards: [cards.csv]\n"

typedef struct {
    const char *what, *file, *text; /* the file that is written otherwise; NULL: none */
    const char *says;               /* NULL: standard error is empty */
    int code;
} Slip;

static void check_slips(const Slip *slip, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        Run run;
        char *folder = folder_new();
        folder_print(folder, "model.yaml", MODEL);
        folder_print(folder, "cards.csv", CARDS);
        folder_print(folder, "scenario.yaml", SCENARIO);
        if (slip[k].file != NULL)
            folder_print(folder, slip[k].file, slip[k].text);
        static const char *const named[][2] = {{"owned.csv", SCENARIO "owned: [owned.csv]\n"},
                                               {"prices.csv", SCENARIO "prices: [prices.csv]\n"},
                                               {"tags.csv", SCENARIO "tags: [tags.csv]\n"},
                                               {"pool.csv", SCENARIO "pool: pool.csv\n"},
                                               {"targets.csv", SCENARIO "targets: [targets.csv]\n"}};
        for (size_t i = 0; i < sizeof named / sizeof *named; i++)
            if (slip[k].file != NULL && strcmp(slip[k].file, named[i][0]) == 0)
                folder_print(folder, "scenario.yaml", named[i][1]);
        run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
        if (run.code != slip[k].code ||
            (slip[k].says == NULL ? run.err_length > 0 : strstr(run.err, slip[k].says) == NULL))
            fail_msg("%s: expected exit code %d and\n%s\nfound %d\n%s", slip[k].what, slip[k].code,
                     slip[k].says != NULL ? slip[k].says : "no message", run.code, run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

static void slips_in_sheets(void **state)
{
    (void)state;
    static const Slip slip[] = {
        {"nothing wrong", NULL, NULL, NULL, 0},
        {"a title above the header", "cards.csv", "My list;;\nname;colours;price\nAsh Kite;ebb;1\nBell;ebb;1\n",
         "cards.csv:1:1: notice: 'My list' is taken for a title: the columns are named in line 2\n", 0},
        {"a title without separators", "cards.csv", "My list\n\nname;colours;price\nAsh Kite;ebb;1\nBell;ebb;1\n",
         "cards.csv:1:1: notice: 'My list' is taken for a title: the columns are named in line 3\n", 0},
        {"a title with a comma, where semicolons part", "cards.csv",
         "My list, May 2026;;\nname;colours;price\nAsh Kite;ebb;1\nBell;ebb;1\n",
         "cards.csv:1:1: notice: 'My list, May 2026' is taken for a title: the columns are named in line 2\n", 0},
        {"a title above a word of one's own for names", "cards.csv",
         "My list;;;\n\nBird;colours;power;price\nAsh Kite;ebb;4;1\nBell;ebb;4;1\n",
         "cards.csv:1:1: notice: 'My list' is taken for a title: the columns are named in line 3\n", 2},
        {"a title in quotes", "cards.csv", "\"My list; May\";;\nname;colours;price\nAsh Kite;ebb;1\nBell;ebb;1\n",
         "cards.csv:1:1: notice: 'My list; May' is taken for a title: the columns are named in line 2\n", 0},
        {"words for several columns each below a title", "cards.csv",
         "My list;;;\nCard;;Money;\nname;colours;price;mine\nAsh Kite;ebb;1;\nBell;ebb;1;\n",
         "cards.csv:1:1: notice: 'My list' is taken for a title: the columns are named in line 3\n", 0},
        {"words for several columns each that are words for columns", "cards.csv",
         "Card;;Price;\nname;colours;price;mine\nAsh Kite;ebb;1;\nBell;ebb;1;\n",
         "cards.csv:1:1: notice: 'Card;;Price' is taken for a title: the columns are named in line 2\n", 0},
        {"a column without a name above cards", "cards.csv", "name;;price\nAsh Kite;ebb;1\nBell;ebb;1\n",
         "cards.csv:2:10: error: found 'ebb' in a column without a header, expected a header in line 1\n", 2},
        {"a title with fewer separators above names that say nothing", "cards.csv",
         "My list;;\nlabels;hue;worth it;how much;where\nAsh Kite;ebb;1;2;3\nBell;ebb;1;2;3\n",
         "cards.csv:1:1: error: found only 'My list' in the first line, expected the names of the columns; if they "
         "stand in line 2, delete what is above, else put them there\n",
         2},
        {"a column of a colour with something else", "cards.csv", "name;ebb;flow;price\nAsh Kite;x;;1\nBell;much;x;1\n",
         "cards.csv:3:6: error: column 'ebb': found 'much', expected x, yes or a number of symbols (the card needs "
         "this "
         "colour), / (this or another one marked so), or a blank cell\n",
         2},
        {"a title above names that say nothing", "cards.csv", "My list;;\nlabels;hue;worth it\nAsh Kite;ebb;1\n",
         "cards.csv:1:1: error: found only 'My list' in the first line, expected the names of the columns; if they "
         "stand in line 2, delete what is above, else put them there\n",
         2},
        {"a column that the model does not map", "cards.csv",
         "name;colours;power;Preis;tags\nAsh Kite;ebb;4;1,00;nets\nBell Cart;ebb;5;1;nets\n",
         "cards.csv: notice: found no column 'price' (no card has a price); poolwright does not know 'Preis': if that "
         "is meant, write columns: {price: \"Preis\"} into the model" YOURS,
         2},
        {"several of them", "cards.csv",
         "name;Farbe;Wert;price;tags\nAsh Kite;ebb;4;1,00;nets\nBell Cart;ebb;5;1;nets\n",
         "cards.csv: notice: found no column 'colours' (every card counts as colourless), no column 'power' (every "
         "card counts as unscored); poolwright does not know 'Farbe', 'Wert': "
         "if these are meant, write columns: {colours: \"Farbe\"} into the model" YOURS,
         0},
        {"several that say nothing", "cards.csv",
         "name;Lage;Wert;price;tags\nAsh Kite;ebb;4;1,00;nets\nBell Cart;ebb;5;1;nets\n",
         "card counts as unscored); poolwright does not know 'Lage', 'Wert': "
         "if one of them is meant, write it into the model, columns: {colours: \"...\"}" YOURS,
         0},
        {"prices under another name", "cards.csv",
         "name;colours;power;Stand;Preis;tags\nAsh Kite;ebb;4;alt;1,00;nets\nBell Cart;ebb;5;neu;1;nets\n",
         "cards.csv:2:1: error: 2 candidates have no price: 'Ash Kite' (line 2), 'Bell Cart' (line 3); if the column "
         "'Preis' holds prices, write columns: {price: \"Preis\"} into the model\n",
         2},
        {"nothing that could be meant", "cards.csv", "name;price;tags\nAsh Kite;1;nets\nBell Cart;2;nets\n", NULL, 0},
        {"a role misspelt", "cards.csv",
         "name;colours;power;price;tags\nAsh Kite;ebb;4;1;nets enabeler 3\nBell Cart;ebb;5;1;nets\n",
         "cards.csv:2:1: notice: the tag 'nets enabeler' of 1 card is no theme; was 'nets' meant, with a role "
         "(enabler, payoff, both) and a weight behind it, and ';' before another tag?\n",
         0},
        {"two tags with a stroke between", "cards.csv",
         "name;colours;power;price;tags\nAsh Kite;ebb;4;1;nets/removal\nBell Cart;ebb;5;1;nets\n",
         "cards.csv:2:1: notice: the tag 'nets/removal' of 1 card is no theme; was 'nets' meant, with a role (enabler, "
         "payoff, both) and a weight behind it, and ';' before another tag?\n",
         0},
        {"a line of totals", "cards.csv", CARDS "Total;;;;6,00;\n",
         "cards.csv:5:1: notice: the price of 'Total' is the sum of all others in the sheet: if this is a line of "
         "totals, delete it, since it counts as a card\n",
         0},
        {"a failed formula", "cards.csv", CARDS "#NAME?;ebb;;;6,00;\n",
         "cards.csv:5:1: error: column 'name': found '#NAME?', expected a card's name: this is what a spreadsheet "
         "program writes for a formula that failed\n",
         2},
        {"a theme misspelt", "cards.csv",
         "name;colours;power;price;tags\nAsh Kite;ebb;4;1;nets 3\nBell Cart;ebb;5;1;nets\nCoal Lamp;ebb;5;1;nest\n",
         "cards.csv:4:1: notice: the tag 'nest' of 1 card is no theme; was 'nets' meant", 0},
        {"roles in words of one's own", "cards.csv",
         "name;colours;price;tags\nAsh Kite;ebb;1;nets (starts)\nBell Cart;ebb;1;lamps (Starts)\nCoal Lamp;flow;1;nets "
         "(x)\n",
         "cards.csv:3:1: notice: 2 tags end in '(Starts)', such as 'lamps (Starts)': each is a tag of its own; where "
         "that is "
         "a role, write enabler, payoff or both there, or say which it is in the model: read: {words: {\"Starts\": "
         "enabler}}\n",
         0},
        {"copies under another name", "owned.csv", "name;in the box\nAsh Kite;3\nBell Cart;1\n",
         "owned.csv:1:6: notice: found no column 'copies', so each line counts as one copy; if 'in the box' holds "
         "them, write columns: {copies: \"in the box\"} into the model\n",
         0},
        {"a column that is no number of copies", "owned.csv", "name;box\nAsh Kite;1\nBell Cart;1\n", NULL, 0},
        {"a list without a header", "owned.csv", "Ash Kite\nBell Cart\n", NULL, 0},
        {"copies in another language", "owned.csv", "name;Anzahl\nAsh Kite;3\nBell Cart;1\n",
         "owned.csv:1:6: notice: the column 'Anzahl' is read as copies\n", 0},
        {"a list that begins with no card", "owned.csv", "My kites\nAsh Kite\n",
         "owned.csv:1:1: notice: 'My kites' is taken for the title of a list of names\n", 0},
        {"a list of no cards", "owned.csv", "My kites\nAsh Kites\nBell Cat\n",
         "owned.csv:1:1: error: found no column 'name' (the first line begins with 'My kites'), expected one\n", 2},
        {"two colours with a blank between", "cards.csv", "name;colours;price\nAsh Kite;ebb flow;1\n",
         "cards.csv:2:10: error: unknown colour 'ebb flow', expected ebb, flow; several are written ebb+flow (needs "
         "both) or ebb/flow (either will do)\n",
         2},
        {"two colours with a comma between", "cards.csv", "name;colours;price\nAsh Kite;ebb, flow;1\n",
         "; several are written ebb+flow (needs both)", 2},
    };
    check_slips(slip, sizeof slip / sizeof *slip);
}

#define REST "colours: [ebb, flow]\nspending_cap: 9.00\n"
#define RULE(text) "size: 2\n" REST "rules:\n  - {name: rigs, where: {kind: rig}, " text "}\n"

#define SLIP(column, meant)                                                                                            \
    "notice: the column '" column "' is taken for one of your own; was '" meant "' meant? If not, the model can say "  \
    "so: columns: {own: \"" column "\"}\n"

static void slips_in_headers(void **state)
{
    (void)state;
    static const Slip slip[] = {
        {"a letter left out", "owned.csv", "name;cpies\nAsh Kite;3\nBell Cart;1\n",
         "owned.csv:1:6: " SLIP("cpies", "copies"), 0},
        {"a letter too many", "pool.csv", "name;copiess\nAsh Kite;1\n", "pool.csv:1:6: " SLIP("copiess", "copies"), 0},
        {"another letter", "prices.csv", "name;price;hihg;stack\nAsh Kite;1;2;4\n",
         "prices.csv:1:17: " SLIP("stack", "stock"), 0},
        {"two that changed places", "prices.csv", "name;price;hihg\nAsh Kite;1;2\n",
         "prices.csv:1:12: " SLIP("hihg", "high"), 0},
        {"beside a column of tags", "tags.csv", "name;tag;rol\nAsh Kite;wind;payoff\n",
         "tags.csv:1:10: " SLIP("rol", "role"), 0},
        {"in a sheet of cards", "cards.csv",
         "name;colours;kind;power;price;tags;statu\nAsh Kite;ebb;rig;4;1;nets;keep\nBell;ebb;rig;4;1;;\n",
         "cards.csv: " SLIP("statu", "status"), 0},
        {"the journal has no model", "journal.csv", "date;change;card;prise\n2026-01-02;out;Ash Kite;1\n",
         "journal.csv:1:18: notice: the column 'prise' is taken for one of your own; was 'price' meant? If not, "
         "another header for it ends this notice\n",
         0},
        {"a list of prices without a line", "prices.csv", "name;price\n",
         "prices.csv:1:1: notice: there is no line below the names of the columns, so this sheet has no price\n", 0},
        {"a pool whose lines are parted otherwise", "pool.csv", "name;copies\nAsh Kite,1\nBell Cart,1\n",
         "pool.csv:1:6: notice: no line of the present pool is in it: all 2 have 0, no or nothing under 'copies'\n", 0},
        {"a short word that begins otherwise", "prices.csv", "name;price;row\nAsh Kite;1;2\n", NULL, 0},
        {"the column is there", "owned.csv", "name;copies;copiess;owner\nAsh Kite;3;1;Bo\n", NULL, 0},
        {"the model says that it is one's own", "model.yaml", MODEL "columns: {own: kinde}\n",
         "found no column 'kinde' in any sheet; did you mean 'kind'?", 2},
        {"nothing between the columns of targets", "targets.csv", "rule|all\nrigs|3\n",
         "targets.csv:1:1: error: found no column of bounds, expected 'all', a colour, a pair such as brass+tar or a "
         "theme behind the column of rules, with a comma, a semicolon or a tab between\n",
         2},
        {"notes alone beside the rules of targets", "targets.csv", "rule;note\nrigs;3\n",
         "targets.csv:1:1: error: found no column of bounds, expected 'all', a colour, a pair such as brass+tar or a "
         "theme behind the column of rules\n",
         2},
    };
    check_slips(slip, sizeof slip / sizeof *slip);
}

/* The model says that the columns are the user's own, of which one is in another sheet than the cards. */
static void headers_that_are_said_to_be_own(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", MODEL "columns: {own: [cpies, statu]}\n");
    folder_print(folder, "cards.csv", "name;colours;power;price;statu\nAsh Kite;ebb;4;1;nets\nBell;ebb;4;1;\n");
    folder_print(folder, "owned.csv", "name;cpies\nAsh Kite;1\n");
    folder_print(folder, "scenario.yaml", SCENARIO "owned: [owned.csv]\n");
    run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
    assert_null(strstr(run.err, "was '"));
    assert_int_equal(run.code, 0);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A list that only the command line names. */
static void a_slip_in_a_list(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", MODEL);
    folder_print(folder, "cards.csv", CARDS);
    folder_print(folder, "scenario.yaml", SCENARIO);
    folder_print(folder, "list.csv", "name;copis\nAsh Kite;1\nBell Cart;1\n");
    run_poolwright(folder, (const char *const[]){"audit", "scenario.yaml", "list.csv", NULL}, NULL, &run);
    assert_non_null(strstr(run.err,
                           "list.csv:1:6: notice: the column 'copis' is taken for one of your own; was 'copies' "
                           "meant? If not, another header for it ends this notice\n"));
    run_forget(&run);
    folder_print(folder, "list.csv", "name;copies;copis\nAsh Kite;1;2\nBell Cart;1;2\n");
    run_poolwright(folder, (const char *const[]){"audit", "scenario.yaml", "list.csv", NULL}, NULL, &run);
    assert_int_equal(run.err_length, 0);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* In a short list as in a sheet of cards. */
static void own_words_for_statuses(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", MODEL "read: {words: {behalten: keep, raus: ban}}\n");
    folder_print(folder, "cards.csv", CARDS);
    folder_print(folder, "tags.csv", "name;status\nAsh Kite;Behalten\nCoal Lamp;\"raus; wish\"\n");
    folder_print(folder, "scenario.yaml", SCENARIO "tags: [tags.csv]\n");
    run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
    assert_non_null(strstr(run.out, "1 to keep, 1 banned, 1 wish"));
    assert_int_equal(run.err_length, 0);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A 0 where a price is not known makes a card free: `check` says which are. */
static void prices_of_nothing_are_shown(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", MODEL);
    folder_print(folder, "cards.csv", CARDS);
    folder_print(folder, "prices.csv", "name;price\nAsh Kite;0\n");
    folder_print(folder, "scenario.yaml", SCENARIO "prices: [prices.csv]\n");
    run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
    assert_non_null(strstr(run.out, "\n  1 at 0.00, which costs nothing (where a price is not known, leave "));
    run_forget(&run);
    folder_print(folder, "prices.csv", "name;price\nAsh Kite;0,01\n");
    run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
    assert_null(strstr(run.out, "nothing (where"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

#define TWO_LISTS                                                                                                      \
    ", and the cheaper counts. Where one list is the newer one, name it alone, or bring it in with --prices; where "   \
    "they are of two shops, say so in a column 'shop'\n"

/* Price lists: of two months, of two shops; words that `accept` takes and no line has. */
static void slips_in_price_lists(void **state)
{
    (void)state;

    static const struct {
        bool accept;
        const char *october, *november, *says; /* says NULL: nothing */
    } list[] = {
        {false, "name;price\nAsh Kite;1\nBell Cart;2\nCoal Lamp;3\n",
         "name;price\nAsh Kite;2\nBell Cart;2\nCoal Lamp;1\n",
         "november.csv: notice: 2 cards have another price in 'october.csv', such as 'Ash Kite'" TWO_LISTS},
        {false, "name;price\nAsh Kite;1\nBell Cart;2\nCoal Lamp;3\n", "name;price\nAsh Kite;1\nBell Cart;2\n", NULL},
        {false, "name;price\nAsh Kite;1\nBell Cart;2\nCoal Lamp;3\n", "name;price\nAsh Kite;2\n",
         "november.csv: notice: 1 card has another price in 'october.csv', such as 'Ash Kite'" TWO_LISTS},
        {false, "name;price;shop\nAsh Kite;1;Quay\nBell Cart;2;Quay\n",
         "name;price;shop\nAsh Kite;2;Pier\nBell Cart;1;Pier\n", NULL},
        {true, "name;price;condition\nAsh Kite;1;worn\nBell Cart;2;bent\n", "name;price\nCoal Lamp;3\n",
         "model.yaml:6:21: notice: no price has a condition that `accept` asks for: lines with 'worn' and other words "
         "do "
         "not count\n"},
        {true, "name;price;condition\nAsh Kite;1;goood\nBell Cart;2;new\n", "name;price\nCoal Lamp;3\n",
         "model.yaml:6:21: notice: no price has the condition 'good', which `accept` asks for, and lines with 'goood' "
         "do "
         "not count; did you mean 'goood'?\n"},
        {true, "name;price;condition\nAsh Kite;1;worn\nBell Cart;2;new\n", "name;price\nCoal Lamp;3\n", NULL},
        {true, "name;price\nAsh Kite;1\nBell Cart;2\n", "name;price\nCoal Lamp;3\n", NULL},
    };
    for (size_t k = 0; k < sizeof list / sizeof *list; k++) {
        Run run;
        char *folder = folder_new();
        folder_print(folder, "model.yaml", list[k].accept ? MODEL "accept: {condition: [new, good]}\n" : MODEL);
        folder_print(folder, "cards.csv", CARDS);
        folder_print(folder, "october.csv", list[k].october);
        folder_print(folder, "november.csv", list[k].november);
        folder_print(folder, "scenario.yaml", SCENARIO "prices: [october.csv, november.csv]\n");
        run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
        if (list[k].says == NULL ? run.err_length > 0 : strcmp(run.err, list[k].says) != 0)
            fail_msg("price lists %zu: %s", k, run.err);
        assert_int_equal(run.code, 0);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* The list that was written here is named as if it lay beside the scenario. */
static void paths_count_from_their_file(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "mine/model.yaml", MODEL);
    folder_print(folder, "mine/cards.csv", CARDS);
    folder_print(folder, "pool.csv", "name\nAsh Kite\n");
    folder_print(folder, "mine/scenario.yaml", SCENARIO "pool: pool.csv\n");
    run_poolwright(folder, (const char *const[]){"check", "mine", NULL}, NULL, &run);
    assert_int_equal(run.code, 2);
    assert_string_equal(run.err,
                        "mine/scenario.yaml:3:7: error: cannot read 'mine/pool.csv': no such file; did you mean "
                        "'../pool.csv'? Paths count from the file that names them\n");
    run_forget(&run);
    folder_print(folder, "mine/scenario.yaml", SCENARIO "pool: ../pool.csv\n");
    run_poolwright(folder, (const char *const[]){"check", "mine", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void slips_in_models(void **state)
{
    (void)state;
    static const Slip slip[] = {
        {"a mapped header that is gone, beside one that is read as another field", "model.yaml",
         MODEL "columns: {kind: kind, tags: kinds}\n",
         "model.yaml:6:29: error: found no column 'kinds' in any sheet; did you mean 'tags'?\n", 2},
        {"a range in a bound", "model.yaml", RULE("exactly: 1-2"),
         "model.yaml:5:47: error: found '1-2' behind 'exactly', expected one number; a range is written 'between: [15, "
         "18]'\n",
         2},
        {"a column of tags", "model.yaml", "size: 2\n" REST "rules:\n  - {name: n, where: {tags: nets}, at_most: 2}\n",
         "model.yaml:5:23: notice: 'tags' is compared with whole cells of that column; 'tag' asks for one tag of "
         "several "
         "in a cell\n",
         0},
        {"with blanks and a long dash", "model.yaml", RULE("at_least: 1 \xE2\x80\x93 2"),
         "expected one number; a range is written 'between: [15, 18]'\n", 2},
        {"a percentage with a blank is none", "model.yaml", RULE("at_least: 10 %"), NULL, 0},
        {"a list of one", "model.yaml", RULE("between: [1 2]"),
         "found a list of 1, expected two numbers with a comma between, such as [2, 4]\n", 2},
        {"a share", "model.yaml", RULE("at_least: 0.25"),
         "found '0.25', expected a whole number such as 8, or a percentage such as 50% behind 'at_least'\n", 2},
        {"a decimal comma", "model.yaml", RULE("measure: power, average_at_most: 3,10"),
         "unknown key '10' in a rule; a comma begins a new entry here: numbers are written with a decimal point\n", 2},
        {"text with a comma", "model.yaml", RULE("at_least: 1, where it is"),
         "unknown key 'where it is' in a rule; nothing stands behind it: a comma begins a new entry, and text that "
         "holds one stands in quotes\n",
         2},
        {"a size from to", "model.yaml", "size: 1-2\n" REST,
         "found '1-2', expected a whole number of cards from 1 to 100000, or {from: 350, to: 360}\n", 2},
        {"colours without brackets", "model.yaml", "size: 2\ncolours: ebb, flow\n",
         "model.yaml:2:10: error: found 'ebb, flow' as one colour, expected a list: [ebb, flow]\n", 2},
        {"no blank behind a colon", "model.yaml", "size:2\n" REST,
         "model.yaml:1:1: error: cannot read this as YAML: expected a blank behind the colon\n", 2},
        {"several names without brackets", "model.yaml", "size: 2\n" REST "keep: Ash Kite, bell cart\n",
         "model.yaml:4:7: error: no candidate is called 'Ash Kite, bell cart'; several names are a list: [Ash Kite, "
         "bell "
         "cart]\n",
         2},
        {"a number sign", "model.yaml", "size: 2\n" REST "rules:\n  - {name: rigs #1, at_least: 1}\n",
         "model.yaml:5:17: error: cannot read this as YAML: what stands behind ' #' is read as a remark: text that "
         "holds it "
         "stands in quotes\n",
         2},
        {"a number sign in quotes, and no comma", "model.yaml",
         "size: 2\n" REST "keep: [One,\n  \"The table's #2\"\n  'Two']\n",
         "expected a comma, or the ] of what opens in line 4; text that holds ': ' or ' #' or a comma stands in "
         "quotes\n",
         2},
        {"a remark of its own in a list", "model.yaml", "size: 2\n" REST "keep: [One\n  # the second\n  'Two']\n",
         "expected a comma, or the ] of what opens in line 4; text that holds ': ' or ' #' or a comma stands in "
         "quotes\n",
         2},
        {"at most, by a sign", "model.yaml", RULE("at_most: @ <2"),
         "ranges are written {from: 5}, {to: 2} or {from: 2, to: 5}\n", 2},
        {"a colon in a name", "model.yaml", "size: 2\n" REST "rules:\n  - {name: rigs: all, at_least: 1}\n",
         "text that holds ': ' or ' #' or a comma stands in quotes\n", 2},
        {"a '-' too far right", "model.yaml",
         "size: 2\n" REST "rules:\n  - {name: a, at_least: 1}\n   - {name: b, at_least: 1}\n",
         "expected the next '-' of the list that begins in line 5, right below its others\n", 2},
        {"a '-' too far left", "model.yaml",
         "size: 2\n" REST "rules:\n  - {name: a, at_least: 1}\n- {name: b, at_least: 1}\n",
         "what belongs together stands in one column\n", 2},
        {"a quote left open", "model.yaml", "size: 2\n" REST "rules:\n  - {name: \"a, at_least: 1}\n",
         "found no end of the text in quotes that begins in line 5\n", 2},
        {"a no-break space", "model.yaml", "size: 2\n" REST "rules:\n\xC2\xA0 - {name: a, at_least: 1}\n",
         "model.yaml:5:1: error: cannot read this as YAML: found a no-break space, which is a letter here, expected a "
         "plain blank\n",
         2},
        {"a single backslash", "model.yaml", "size: 2\n" REST "patterns:\n  - {tag: nets, text: \"\\bnet\"}\n",
         "error: found a control character in a pattern, expected each backslash doubled in double quotes, such as "
         "\"\\\\bword\"\n",
         2},
        {"another single backslash", "model.yaml", "size: 2\n" REST "patterns:\n  - {tag: nets, text: \"\\d net\"}\n",
         "found a single backslash, expected each doubled in double quotes\n", 2},
        {"a key of models in a sheet of targets", "targets.csv", "rule,all\nsize,3\n",
         "targets.csv:2:1: error: unknown rule 'size'; this is a key of models: it stands in the model, or below "
         "'change:' in the scenario\n",
         2},
        {"a key of models", "scenario.yaml", SCENARIO "spending_cap: 3.00\n",
         "scenario.yaml:3:1: error: unknown key 'spending_cap' in a scenario; 'spending_cap' is a key of models, in a "
         "scenario it goes below 'change:'\n",
         2},
        {"a sheet for a list of names", "scenario.yaml", SCENARIO "wish: wishes.csv\n",
         "error: no candidate is called 'wishes.csv'; here stand names of cards, while a sheet can keep, ban and wish "
         "in its column 'status' and is named under 'cards' or 'tags'\n",
         2},
        {"a case named base", "scenario.yaml", SCENARIO "cases:\n  - {name: Base, change: {size: 3}}\n",
         "scenario.yaml:4:12: error: found a case named 'Base', which is what the scenario without a case is called, "
         "expected another name\n",
         2},
        {"a name with a colon", "scenario.yaml", SCENARIO "keep: [Kite: Ash]\n",
         "scenario.yaml:3:8: error: found a map that begins with 'Kite:', expected a card's name; text that holds ': ' "
         "stands in quotes\n",
         2},
        {"a value for its key", "model.yaml", MODEL "price_risk: 5\n",
         "error: found '5', expected the keys of price_risk (protect)\n", 2},
        {"a value for its keys", "model.yaml", MODEL "seats: 5\n",
         "error: found '5', expected the keys of seats (seats, packs or pack_size)\n", 2},
        {"a model for a scenario", "scenario.yaml", "size: 3\ncolours: [teal, rye]\nspending_cap: 3.00\n",
         "scenario.yaml:1:1: error: this is a model, expected a scenario, which names a model and cards; a cards sheet "
         "goes with it as 'CARDS.csv --model scenario.yaml'\n",
         2},
        {"a scenario for a model", "model.yaml", "model: base.yaml\ncards: [cards.csv]\n",
         "model.yaml:1:1: error: this is a scenario, expected a model; the one that it names is 'base.yaml'\n", 2},
        {"a key of scenarios", "model.yaml", MODEL "cards: [cards.csv]\n",
         "unknown key 'cards' in a model; 'cards' is a key of scenarios\n", 2},
    };
    check_slips(slip, sizeof slip / sizeof *slip);
}

static void columns_that_nothing_uses_are_shown(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", MODEL "rules:\n  - {name: old, where: {year: {to: 1900}}, at_most: 1}\n");
    folder_print(folder, "cards.csv",
                 "name;colours;power;price;tags;year;Besitz;note;chosen;reason\nAsh "
                 "Kite;ebb;4;1,00;nets;1880;2;;1;\nBell Cart;ebb;5;2,00;nets;1950;1;;1;\n");
    run_poolwright(folder, (const char *const[]){"check", "cards.csv", "--model", "model.yaml", NULL}, NULL, &run);
    if (strstr(run.out, "\nColumns of your own that nothing here uses: Besitz, note.\n") == NULL)
        fail_msg("%s%s", run.err, run.out);
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"check", "cards.csv", "--model", "model.yaml", "--json", NULL}, NULL,
                   &run);
    json_t *root = run_json(&run), *unused = json_object_get(root, "unused_columns");
    assert_int_equal(json_array_size(unused), 2);
    assert_string_equal(json_string_value(json_array_get(unused, 0)), "Besitz");
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void slips_in_find(void **state)
{
    (void)state;
    static const struct {
        const char *where, *says;
        int code;
    } slip[] = {
        {"price=..1,50",
         "error: --where: found 'price=..1,50', expected numbers with a decimal point; a list with a range in it has a "
         "blank behind its commas\n",
         2},
        {"power=4,5..", "error: --where: found 'power=4,5..', expected numbers with a decimal point", 2},
        {"power=2-3", "error: --where: found '2-3', expected a number or 1..2\n", 2},
        {"power=4, 6..", "2 of 3 candidates", 0},
        {"power=4,5", "2 of 3 candidates", 0},
    };
    for (size_t k = 0; k < sizeof slip / sizeof *slip; k++) {
        Run run;
        char *folder = folder_new();
        folder_print(folder, "model.yaml", MODEL);
        folder_print(folder, "cards.csv", CARDS);
        run_poolwright(
            folder, (const char *const[]){"find", "cards.csv", "--model", "model.yaml", "--where", slip[k].where, NULL},
            NULL, &run);
        if (run.code != slip[k].code ||
            (strstr(run.err, slip[k].says) == NULL && strstr(run.out, slip[k].says) == NULL))
            fail_msg("%s: expected exit code %d and\n%s\nfound %d\n%s%s", slip[k].where, slip[k].code, slip[k].says,
                     run.code, run.err, run.out);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* What a spreadsheet program leaves of 2+ is 2: told where it is exactly the least of the model's rule, and only there.
 */
static void a_plus_that_is_gone(void **state)
{
    (void)state;
    static const struct {
        const char *bound, *cell, *says;
    } row[] = {{"between: [2, 3]", "2",
                "targets.csv:2:6: notice: found 2, exactly, where 'rigs' asks in the model for at least 2; if 2+ was "
                "meant, a spreadsheet program has dropped the +; >=2 is safe\n"},
               {"at_least: 2", "2", "targets.csv:2:6: notice: found 2, exactly, where 'rigs'"},
               {"at_least: 2", "2+", NULL},
               {"at_least: 2", ">=2", NULL},
               {"at_least: 2", "2..2", NULL},
               {"at_least: 1", "2", NULL},
               {"exactly: 2", "2", NULL},
               {"at_most: 2", "2", NULL}};
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        char *folder = folder_new(), text[256];
        snprintf(text, sizeof text, MODEL "rules:\n  - {name: rigs, where: {kind: rig}, %s}\n", row[k].bound);
        folder_print(folder, "model.yaml", text);
        folder_print(folder, "cards.csv", CARDS);
        folder_print(folder, "scenario.yaml", SCENARIO "targets: [targets.csv]\n");
        snprintf(text, sizeof text, "rule,all\nrigs,%s\n", row[k].cell);
        folder_print(folder, "targets.csv", text);
        Run run;
        run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        if (row[k].says == NULL ? run.err_length > 0 : strstr(run.err, row[k].says) == NULL)
            fail_msg("%s, %s: found\n%s", row[k].bound, row[k].cell, run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* Where nothing costs anything, prices are not missed: neither in a notice nor on the first screen. */
static void prices_are_not_missed_without_a_cap(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,power,tags,How many\nAsh,rye,1,t,2\nBee,rye,2,t,1\n";
    char *folder = desk_folder("", "", cards);
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"best", ".", NULL});
    assert_null(strstr(run.err, "price"));
    assert_null(strstr(run.out, "without a price"));
    run_forget(&run);
    desk_run(folder, &run, 2, (const char *const[]){"best", ".", "--cap", "3", NULL});
    desk_expect(run.err, "found no column 'price' (no card has a price); poolwright does not know 'How many': if that "
                         "is meant, write columns: {copies: \"How many\"} into the model" YOURS);
    run_forget(&run);
    desk_done(folder);
    folder = desk_folder("", "pool: pool.csv\n", cards);
    folder_print(folder, "pool.csv", "name\nAsh\nAsh\n");
    desk_run(folder, &run, 0, (const char *const[]){"revise", ".", "--swaps", "1", NULL});
    desk_expect(run.out, "  Ash    2      -  Bee    3      -\n");
    run_forget(&run);
    desk_done(folder);
}

/* A column called as one of copies, in words that are not ours, is not passed over in silence; numbers of something
 * else are. */
static void counts_in_other_words_are_told(void **state)
{
    (void)state;
    static const struct {
        const char *header, *cell[2], *model, *scenario, *says;
    } row[] = {{"How many",
                {"1x", "2x"},
                "",
                "",
                "cards.csv: notice: found no column 'copies', so there is one copy of "
                "each card, though 'How many' says otherwise of 1: if it holds them, "
                "write columns: {copies: \"How many\"} into the model"},
               {"Have",
                {"yes", "0"},
                "",
                "",
                "found no column 'owned', so no copy is said to be owned, though 'Have' says "
                "otherwise of 1: "},
               {"Have", {"yes", "0"}, "", "owned: [owned.csv]\n", NULL},
               {"How many", {"1", "1x"}, "", "", NULL},
               {"How many", {"1x", "2x"}, "columns: {own: How many}\n", "", NULL},
               {"How many", {"1x", "2x"}, "columns: {copies: How many}\n", "", NULL},
               {"Number", {"1", "412"}, "", "", NULL},
               {"Tower", {"1x", "2x"}, "", "", NULL}};
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        char cards[128];
        snprintf(cards, sizeof cards, "name,colours,power,tags,price,%s\nAsh,rye,1,t,1,%s\nBee,rye,2,t,1,%s\n",
                 row[k].header, row[k].cell[0], row[k].cell[1]);
        char *folder = desk_folder(row[k].model, row[k].scenario, cards);
        folder_print(folder, "owned.csv", "name\nAsh\n");
        Run run;
        desk_run(folder, &run, 0, (const char *const[]){"find", ".", NULL});
        if (row[k].says == NULL ? strstr(run.err, "otherwise") != NULL : strstr(run.err, row[k].says) == NULL)
            fail_msg("%s: found\n%s", row[k].header, run.err);
        run_forget(&run);
        desk_done(folder);
    }
}

/* A column that the model calls the user's own is not asked about, in no notice. */
static void own_columns_are_settled(void **state)
{
    (void)state;
    static const char cards[] = "name,colours,tags,price,tower,rank\nAsh,rye,t,1,3,1\nBee,rye,t,1,4,2\n";
    for (int settled = 0; settled < 2; settled++) {
        char *folder = desk_folder(settled ? "columns: {own: tower}\n" : "", "", cards);
        Run run;
        desk_run(folder, &run, 0, (const char *const[]){"find", ".", NULL});
        assert_int_equal(strstr(run.err, "'tower'") == NULL, settled);
        desk_expect(run.err, "poolwright does not know");
        run_forget(&run);
        desk_done(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slips_in_sheets),
        cmocka_unit_test(slips_in_headers),
        cmocka_unit_test(counts_in_other_words_are_told),
        cmocka_unit_test(own_columns_are_settled),
        cmocka_unit_test(prices_are_not_missed_without_a_cap),
        cmocka_unit_test(headers_that_are_said_to_be_own),
        cmocka_unit_test(a_slip_in_a_list),
        cmocka_unit_test(own_words_for_statuses),
        cmocka_unit_test(prices_of_nothing_are_shown),
        cmocka_unit_test(slips_in_price_lists),
        cmocka_unit_test(paths_count_from_their_file),
        cmocka_unit_test(slips_in_models),
        cmocka_unit_test(a_plus_that_is_gone),
        cmocka_unit_test(columns_that_nothing_uses_are_shown),
        cmocka_unit_test(slips_in_find),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
