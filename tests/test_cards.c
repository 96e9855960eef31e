/* test_cards.c - sheets of cards: columns, tags, numbers, merging. The cards are invented here. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cards/cards.h"
#include "support/cards_read.h"

static void wrong_colours_are_pointed_at(void **state)
{
    (void)state;
    cards_assert_refused("name,colours\nA,bras\n", "one.csv:2:3: error: unknown colour 'bras'; did you mean 'brass'?");
    cards_assert_refused("name,colours\nA,brass+ glas/tar\n",
                         "one.csv:2:10: error: unknown colour 'glas'; did you mean 'glass'?");
    cards_assert_refused("name,colours\nA,\"tar/velvet\"\n",
                         "one.csv:2:8: error: unknown colour 'velvet', expected brass, glass, linen, tar, salt\n");
    cards_assert_refused("name,colours\nA,brass+\n", "one.csv:2:9: error: found no colour here");
    cards_assert_refused("name,colours\nA,/brass\n", "one.csv:2:3: error: found no colour here");
    cards_assert_refused("name,colours\nA,brass++tar\n", "one.csv:2:9: error: found no colour here");
    cards_assert_refused("name,colours\nA,brass+colourless\n",
                         "one.csv:2:9: error: found 'colourless' beside other colours");
    cards_assert_refused("name,as_colours\nA,brass tar\n", "one.csv:2:3: error: unknown colour 'brass tar'");
}

static void every_column_is_read(void **state)
{
    (void)state;
    CardsRead reading =
        cards_read_good("Status;name;COLOURS;kind;cost;power;price;tags;text;copies;owned;symbols;as_colours;"
                        "as_kind;as_cost;convoys;rarity\r\n"
                        "keep; Harbour  Pilot ;brass+tar;crew;2;-1,5;€ 3,50;removal;\"Draws; "
                        "\"\"two\"\"\";2;yes;3;colourless;port;0,5;3 enabler;rare\r\n"
                        ";Plain;;;;;;;;;;;;;;;\r\n");
    const CardSet *set = reading.set;
    assert_int_equal(set->count, 2);
    assert_int_equal(set->columns, 17);
    const Card *card = card_named(set, "HARBOUR PILOT");
    assert_string_equal(card->name, "Harbour Pilot");
    assert_string_equal(card->folded, "harbour pilot");
    assert_int_equal(card->at.line, 2);
    assert_int_equal(card->status, STATUS_KEEP);
    assert_int_equal(colours_union(&card->printed), 1 | 8);
    assert_int_equal(card->colours.parts, 0);
    assert_int_equal(card->kinds, 1);
    assert_string_equal(set->kind[card->kind[0]], "port");
    assert_int_equal(card->cost, 500);
    assert_int_equal(card->power, -1500);
    assert_int_equal(card->price, 350);
    assert_true(card->has_cost && card->has_power && card->has_price);
    assert_string_equal(card->text, "Draws; \"two\"");
    assert_int_equal(card->copies, 2);
    assert_int_equal(card->owned, 1);
    assert_int_equal(card->symbols, 3);
    assert_int_equal(card->tags, 2);
    card_assert_tag(set, card, "removal", ROLE_NONE, 1000);
    card_assert_tag(set, card, "Convoys", ROLE_ENABLER, 3000);
    assert_string_equal(card->cell[card_column(set, "rarity")], "rare");
    assert_string_equal(card->cell[card_column(set, "price")], "€ 3,50");

    card = card_named(set, "plain");
    assert_false(card->has_cost || card->has_power || card->has_price);
    assert_int_equal(card->copies, 1);
    assert_int_equal(card->owned, 0);
    assert_int_equal(card->symbols, -1);
    assert_int_equal(card->status, 0);
    assert_int_equal(card->kinds + card->tags, 0);
    assert_string_equal(card->text, "");
    assert_string_equal(card->cell[card_column(set, "rarity")], "");
    cards_done(&reading);
}

static void headers_have_other_spellings(void **state)
{
    (void)state;
    CardsRead reading = cards_read_good("  NÀME ,color,Kinds,Tag,as_Colors\nA,brass,crew;vessel;Crew,x y,tar\n");
    const Card *card = card_named(reading.set, "a");
    assert_int_equal(colours_union(&card->printed), 1);
    assert_int_equal(colours_union(&card->colours), 8);
    assert_int_equal(card->kinds, 2);
    assert_int_equal(card->tags, 1);
    cards_done(&reading);
}

static void the_model_maps_headers(void **state)
{
    (void)state;
    static const char *const field[] = {"price", "name", "convoys"}, *const header[] = {"Unit Price", "title",
                                                                                        "trains"};
    static const SourcePos at[] = {{.file = "m.yaml", .line = 4, .column = 10},
                                   {.file = "m.yaml", .line = 5, .column = 10},
                                   {.file = "m.yaml", .line = 6, .column = 10}};
    CardVocabulary mapped = cards_plain;
    mapped.map_field = field;
    mapped.map_header = header;
    mapped.map_at = at;
    mapped.maps = 3;
    /* "price" is then a column like any other. */
    CardsRead reading = cards_read_with(&mapped, "title,unit price,price,trains\nA,2.50,cheap,payoff\n", NULL);
    assert_non_null(reading.set);
    const Card *card = card_named(reading.set, "A");
    assert_int_equal(card->price, 250);
    assert_string_equal(card->cell[card_column(reading.set, "price")], "cheap");
    card_assert_tag(reading.set, card, "convoys", ROLE_PAYOFF, 1000);
    cards_done(&reading);
    /* A sheet without the mapped header may use our name, if another sheet has it. */
    reading = cards_read_with(&mapped, "title,unit price,trains\nA,2.50,\n", "name,price\nB,3\n");
    assert_non_null(reading.set);
    assert_int_equal(card_named(reading.set, "B")->price, 300);
    cards_done(&reading);
    /* A header that no cards sheet has may be of another sheet: the instance looks at all. */
    reading = cards_read_with(&mapped, "title,unit prices,trains\nA,2.50,\n", NULL);
    assert_non_null(reading.set);
    assert_false(reading.set->map_used[0]);
    assert_true(reading.set->map_used[1]);
    cards_done(&reading);
    static const char *const wrong[] = {"prise", "name", "convoys"};
    mapped.map_field = wrong;
    cards_assert_refused_with(&mapped, "title,unit price,trains\nA,2.50,\n",
                              "m.yaml:4:10: error: unknown column 'prise'; did you mean 'price'?");
}

/* Reads one sheet under a name. */
static ColourMask colours_of_sheet(const char *name, const char *text, bool *titled)
{
    char *folder = folder_new(), *path = NULL;
    const SourcePos from = {0};
    Diags diags;
    diags_init(&diags);
    folder_print(folder, name, text);
    assert_true(asprintf(&path, "%s/%s", folder, name) > 0);
    CardSet *set = card_set_read(NULL, (const char *const *)&path, &from, 1, &cards_plain, &diags);
    assert_non_null(set);
    const ColourMask colours = colours_union(&set->card[0].colours);
    *titled = set->file[0].titled;
    assert_true(!*titled || card_set_holds(set, "colours"));
    card_set_free(set);
    diags_release(&diags);
    folder_remove(folder);
    free(folder);
    free(path);
    return colours;
}

static void sheets_are_called_as_colours(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        ColourMask colours;
    } sheet[] = {
        {"tar.csv", 8},           {"TAR cards (12).csv", 8}, {"Brass-Tar.csv", 9},  {"tar & glass list.csv", 10},
        {"salt and tar.csv", 24}, {"tarry.csv", 0},          {"tar things.csv", 0}, {"cards.csv", 0},
        {"colourless.csv", 0}};
    for (size_t k = 0; k < sizeof sheet / sizeof *sheet; k++) {
        bool titled;
        assert_int_equal(colours_of_sheet(sheet[k].name, "name,kind\nA,crew\n", &titled), sheet[k].colours);
        assert_int_equal(titled, sheet[k].colours != 0);
    }
    bool titled; /* a column says more, if only that there are none */
    assert_int_equal(colours_of_sheet("tar.csv", "name,colours\nA,salt\n", &titled), 16);
    assert_false(titled);
    assert_int_equal(colours_of_sheet("tar.csv", "name,colours\nA,\n", &titled), 0);
    assert_int_equal(colours_of_sheet("tar.csv", "name,salt,brass\nA,x,\n", &titled), 16);
    assert_int_equal(colours_of_sheet("tar.csv", "name,as_colours\nA,salt\n", &titled), 16);
}

static void colours_may_have_several_columns(void **state)
{
    (void)state;
    static const char *const field[] = {"colours", "colours"}, *const header[] = {"first", "other"};
    static const SourcePos at[2] = {{0}};
    CardVocabulary mapped = cards_plain;
    mapped.map_field = field;
    mapped.map_header = header;
    mapped.map_at = at;
    mapped.maps = 2;
    CardsRead reading = cards_read_with(
        &mapped, "name,other,first\nA,tar,brass\nB,,tar\nC,tar/brass,tar\nD,,\nE,salt/tar,brass\n", NULL);
    assert_non_null(reading.set);
    static const int parts[] = {2, 1, 1, 0, 2};
    static const ColourMask all[] = {9, 8, 8, 0, 25};
    for (size_t c = 0; c < 5; c++) {
        assert_int_equal(reading.set->card[c].colours.parts, parts[c]);
        assert_int_equal(colours_union(&reading.set->card[c].colours), all[c]);
    }
    cards_done(&reading);
}

static void wrong_cells_are_refused(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"name,cost\nA,two\n", "one.csv:2:3: error: column 'cost': found 'two', expected a number, 0 or more\n"},
        {"name,cost\nA,-1\n", "one.csv:2:3: error: column 'cost': found '-1', expected a number, 0 or more\n"},
        {"name,cost\nA,1.0005\n", "one.csv:2:3: error: column 'cost': found '1.0005', expected at most 3 decimals\n"},
        {"name,as_cost\nA,nan\n", "one.csv:2:3: error: column 'as_cost': found 'nan', expected a number, 0 or more\n"},
        {"name,power\nA,inf\n", "one.csv:2:3: error: column 'power': found 'inf', expected a number\n"},
        {"name,power\nA,1e9\n", "one.csv:2:3: error: column 'power': found '1e9', expected a number\n"},
        {"name,power\nA,1000000001\n",
         "one.csv:2:3: error: column 'power': found '1000000001', expected at most 1000000000\n"},
        {"name,price\nA,-3\n", "one.csv:2:3: error: column 'price': found '-3', expected money, 0 or more\n"},
        {"name,price\nA,3.505\n", "one.csv:2:3: error: column 'price': found '3.505', expected at most 2 decimals\n"},
        {"name,price\nA,99999999999\n",
         "one.csv:2:3: error: column 'price': found '99999999999', expected at most 10000000000.00\n"},
        {"name,price\nA,\"1,500\"\n", "one.csv:2:4: error: column 'price': found '1,500', expected money, 0 or more, "
                                      "without separators of thousands\n"},
        {"name;price\nA;1.50.000\n", "one.csv:2:3: error: column 'price': found '1.50.000', expected money, 0 or more, "
                                     "without separators of thousands\n"},
        {"name;price\nA;0.150,00\n", "one.csv:2:3: error: column 'price': found '0.150,00', expected money, 0 or more, "
                                     "without separators of thousands\n"},
        {"name;price\nA;1,23,456.00\n", "one.csv:2:3: error: column 'price': found '1,23,456.00', expected money, 0 or "
                                        "more, without separators of thousands\n"},
        {"name;price\nA;1.500,005\n", "one.csv:2:3: error: column 'price': found '1.500,005', expected at most 2 "
                                      "decimals\n"},
        {"name;price\nA;1 5000\n", "one.csv:2:3: error: column 'price': found '1 5000', expected money, 0 or more\n"},
        {"name;price\nA;1 500 00\n", "one.csv:2:3: error: column 'price': found '1 500 00', expected money, 0 or more, "
                                     "without separators of thousands\n"},
        {"name;price\nA;1 50\n", "one.csv:2:3: error: column 'price': found '1 50', expected money, 0 or more\n"},
        {"name,price\nA,cheap\n", "one.csv:2:3: error: column 'price': found 'cheap', expected money, 0 or more\n"},
        {"name,copies\nA,0\n",
         "one.csv:2:3: error: column 'copies': found '0', expected a whole number from 1 to 1000\n"},
        {"name,copies\nA,1001\n",
         "one.csv:2:3: error: column 'copies': found '1001', expected a whole number from 1 to 1000\n"},
        {"name,copies\nA,1.5\n",
         "one.csv:2:3: error: column 'copies': found '1.5', expected a whole number from 1 to 1000\n"},
        {"name,owned\nA,-1\n",
         "one.csv:2:3: error: column 'owned': found '-1', expected a whole number from 0 to 1000, yes, x or no\n"},
        {"name,owned\nA,perhaps\n", "one.csv:2:3: error: column 'owned': found 'perhaps', expected"},
        {"name,symbols\nA,101\n",
         "one.csv:2:3: error: column 'symbols': found '101', expected a whole number from 0 to 100\n"},
        {"name,status\nA,kep\n", "one.csv:2:3: error: column 'status': found 'kep', expected keep, ban, wish or in, "
                                 "several with ';' between; did you mean 'keep'?\n"},
        {"name,status\nA,keep; ban\n",
         "one.csv:2:3: error: column 'status': found 'keep; ban', expected keep or ban, not both\n"},
        {"name,cost\n,1\n", "one.csv:2:1: error: found a line without a name"},
        {"cost,name\n1,\xE2\x80\x8B\n", "one.csv:2:3: error: found a line without a name"},
        {"name,color,colours\nA,,\n", "one.csv:1:12: error: found 'color' and 'colours', which are the same column"},
        {"cost,What,age\n1,A,\n",
         "one.csv:1:6: error: found no column 'name'; is it 'What'? Then write columns: {name: "
         "\"What\"} into the model; "},
        {"age,cost\nA,1\n", "one.csv:1:1: error: found no column 'name' (the first is 'age')"},
        {"nme,cost\nA,1\n", "one.csv:1:1: error: found no column 'name'; is it 'nme'?"},
        {",name\nx,A\n", "one.csv:2:1: error: found 'x' in a column without a header"},
        {"name,cost\n", "one.csv: error: found a header but no candidates"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        cards_assert_refused(cases[i][0], cases[i][1]);
}

static void all_errors_are_reported_at_once(void **state)
{
    (void)state;
    CardsRead reading =
        cards_read_with(&cards_plain, "name,cost,price\nA,q,y\nB,1,z\nB,2,1\nB,3,1\n", "name,cost\nC,-\n");
    char *errors = cards_said(&reading);
    assert_string_equal(
        errors, "one.csv:2:3: error: column 'cost': found 'q', expected a number, 0 or more\n"
                "one.csv:2:5: error: column 'price': found 'y', expected money, 0 or more\n"
                "one.csv:3:5: error: column 'price': found 'z', expected money, 0 or more\n"
                "one.csv:4:1: error: found different lines with the name 'B', expected one line for each card:\n"
                "  one.csv:4\n  one.csv:5, where 'cost' is '3' and not '2'\n"
                "two.csv:2:3: error: column 'cost': found '-', expected a number, 0 or more\n");
    free(errors);
    cards_done(&reading);
}

/* A sheet in the wrong place clashes in every name: five are shown, and the rest are counted. */
static void many_clashes_are_counted(void **state)
{
    (void)state;
    CardsRead reading = cards_read_with(&cards_plain, "name,cost\nA,1\nB,1\nC,1\nD,1\nE,1\nF,1\nG,1\n",
                                        "name,price\nG,1\nF,1\nE,1\nD,1\nC,1\nB,1\nA,1\n");
    char *errors = cards_said(&reading);
    size_t shown = 0;
    for (const char *at = errors; (at = strstr(at, "found different lines")) != NULL; at++)
        shown++;
    assert_int_equal(shown, 5);
    assert_non_null(strstr(errors, "one.csv:7:1: error: 2 more names stand on different lines; prices, owned cards and "
                                   "tags are sheets of their own in the scenario"));
    free(errors);
    cards_done(&reading);
}

static void status_takes_several_words(void **state)
{
    (void)state;
    CardsRead reading =
        cards_read_good("name,status,owned\nA,keep;in,x\nB, Wish ; IN ;,no\nC,ban,7\nD,wish;wish,YES\n");
    assert_int_equal(card_named(reading.set, "A")->status, STATUS_KEEP | STATUS_IN);
    assert_int_equal(card_named(reading.set, "B")->status, STATUS_WISH | STATUS_IN);
    assert_int_equal(card_named(reading.set, "C")->status, STATUS_BAN);
    assert_int_equal(card_named(reading.set, "D")->status, STATUS_WISH);
    assert_int_equal(card_named(reading.set, "A")->owned, 1);
    assert_int_equal(card_named(reading.set, "B")->owned, 0);
    assert_int_equal(card_named(reading.set, "C")->owned, 7);
    assert_int_equal(card_named(reading.set, "D")->owned, 1);
    cards_done(&reading);
}

/* As on each page of a printed list; one that says more, or less, is a line. */
static void the_header_may_come_again(void **state)
{
    (void)state;
    CardsRead reading = cards_read_good("name,kind,cost\nA,crew,1\n\nname,kind,cost\nB,crew,2\nname,kind,\n");
    assert_int_equal(reading.set->count, 3);
    assert_string_equal(card_named(reading.set, "name")->cell[1], "kind");
    assert_int_equal(reading.diags.count, 0);
    cards_done(&reading);
    reading = cards_read_good("name\nA\nname\n");
    assert_int_equal(reading.set->count, 2);
    cards_done(&reading);
}

static void a_line_twice_is_one_candidate(void **state)
{
    (void)state;
    CardsRead reading = cards_read_with(&cards_plain, "name,cost,kind\nA,1,crew\nB,2,crew\nA , 1,crew\n",
                                        "kind;name;cost\ncrew;B;2\ncrew;C;3\n");
    assert_non_null(reading.set);
    assert_int_equal(reading.set->count, 3);
    assert_int_equal(reading.set->merged, 2);
    assert_int_equal(reading.set->columns, 3);
    assert_int_equal(card_named(reading.set, "B")->at.line, 3);
    cards_done(&reading);
}

static void clashes_show_all_lines(void **state)
{
    (void)state;
    CardsRead reading =
        cards_read_with(&cards_plain, "name,cost\nCafé,1\nB,2\nCAFE,1\n", "cost,name\n3,café\n1,Café\n");
    char *errors = cards_said(&reading);
    assert_string_equal(
        errors, "one.csv:2:1: error: found different lines with the name 'Café', expected one line for each card:\n"
                "  one.csv:2\n  one.csv:4, where 'name' is 'CAFE' and not 'Café'\n"
                "  two.csv:2, where 'name' is 'café' and not 'Café'\n  two.csv:3, the same as the first\n");
    free(errors);
    cards_done(&reading);
}

static void the_order_of_lines_does_not_matter(void **state)
{
    (void)state;
    static const char *const line[] = {"Zeta,Crew,OX CART 2\n", "alpha,crew;Port,ox cart; removal\n", "Łódź,PORT,\n",
                                       "Mill,,Removal payoff\n"};
    static const int order[][4] = {{0, 1, 2, 3}, {3, 2, 1, 0}, {1, 3, 0, 2}};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        char text[400] = "name,kind,tags\n";
        for (int j = 0; j < 4; j++)
            strcat(text, line[order[i][j]]);
        CardsRead reading = cards_read_good(text);
        const CardSet *set = reading.set;
        assert_string_equal(set->card[0].name, "alpha");
        assert_string_equal(set->card[1].name, "Łódź");
        assert_string_equal(set->card[2].name, "Mill");
        assert_string_equal(set->card[3].name, "Zeta");
        assert_int_equal(set->kinds, 2);
        assert_string_equal(set->kind[0], "crew"); /* as the first card in order writes it */
        assert_string_equal(set->kind[1], "Port");
        assert_int_equal(set->tags, 2);
        assert_string_equal(set->tag[0], "ox cart");
        assert_string_equal(set->tag[1], "removal");
        assert_int_equal(set->card[3].tag[0].tag, 0);
        assert_int_equal(card_kind(set, "PORT"), 1);
        cards_done(&reading);
    }
}

static void cells_are_numbers_by_their_sheets_commas(void **state)
{
    (void)state;
    CardsRead reading =
        cards_read_with(&cards_plain, "name,wear\nA,2.5\nB,\"2,5\"\nC,\nD,worn\nE,0.0001\nF,10000000000\n",
                        "name;wear\nG;2,5\nH;2.5\n");
    assert_non_null(reading.set);
    static const struct {
        const char *name;
        CellKind kind;
        int64_t value;
    } cases[] = {
        {"A", CELL_NUMBER, 2500}, {"B", CELL_NUMBER, 2500}, {"C", CELL_BLANK, 7},     {"D", CELL_TEXT, 7},
        {"E", CELL_TOO_FINE, 7},  {"F", CELL_TOO_LARGE, 7}, {"G", CELL_NUMBER, 2500}, {"H", CELL_NUMBER, 2500},
    };
    int column = card_column(reading.set, "WEAR");
    assert_true(column >= 0);
    assert_int_equal(card_column(reading.set, "tear"), -1);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        int64_t value = 7;
        assert_int_equal(card_number(reading.set, card_named(reading.set, cases[i].name), column, &value),
                         cases[i].kind);
        assert_int_equal(value, cases[i].value);
    }
    cards_done(&reading);
}

static void names_are_found_and_guessed(void **state)
{
    (void)state;
    CardsRead reading = cards_read_good("name\nHarbour Pilot\nBjørn’s Øre\n\"Two\nLines\"\n");
    assert_int_equal(card_find(reading.set, "bjorn's ore"), 0);
    assert_int_equal(card_find(reading.set, "\tHARBOUR  PILOT"), 1);
    assert_string_equal(reading.set->card[2].name, "Two Lines");
    assert_int_equal(card_find(reading.set, "Harbour"), -1);
    assert_int_equal(card_find(reading.set, ""), -1);
    assert_string_equal(card_nearest(reading.set, "Harbor Pilot"), "Harbour Pilot");
    assert_null(card_nearest(reading.set, "Glassblower"));
    cards_done(&reading);
    reading = cards_read_good("name\nQuiet Seedling\nWinter Seedling of the Hundred\n");
    assert_string_equal(card_nearest(reading.set, "winter seedling"), "Winter Seedling of the Hundred");
    assert_string_equal(card_nearest(reading.set, "quiet seedlng"), "Quiet Seedling");
    assert_string_equal(card_nearest(reading.set, "hundred"), "Winter Seedling of the Hundred");
    cards_done(&reading);
}

/* Groups of three digits as spreadsheet programs of many countries write them: blanks, also unbroken and thin ones, and
 * apostrophes. */
static void groups_of_digits_are_read(void **state)
{
    (void)state;
    CardsRead reading = cards_read_good("name;price;power\nA;1 500 Ft;1 000\nB;12\xC2\xA0"
                                        "345,50\xC2\xA0K\xC4\x8D;2\n"
                                        "C;1\xE2\x80\xAF"
                                        "234\xE2\x80\xAF"
                                        "567,8;-1 000,5\nD;Fr. 1\xE2\x80\x99"
                                        "250.-;3\nE;2'500;4\n");
    static const int64_t price[] = {150000, 1234550, 123456780, 125000, 250000},
                         power[] = {1000000, 2000, -1000500, 3000, 4000};
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(reading.set->card[i].price, price[i]);
        assert_int_equal(reading.set->card[i].power, power[i]);
    }
    cards_done(&reading);
}

static void known_columns_are_in_the_reference(void **state)
{
    (void)state;
    char *reference = folder_read("docs", "files.md", NULL);
    if (reference == NULL)
        skip(); /* not run from the project's folder */
    size_t count = 0;
    for (const CardColumn *column; (column = card_known_column(count)) != NULL; count++) {
        char *word = NULL;
        assert_true(asprintf(&word, "`%s`", column->name) > 0);
        if (strstr(reference, word) == NULL)
            fail_msg("docs/files.md does not explain %s", word);
        free(word);
    }
    assert_int_equal(count, 20);
    free(reference);
}

/* A long list neither takes long nor is anything in it lost. */
static void many_lines_are_read(void **state)
{
    (void)state;
    enum { LINES = 20000 };
    Text text = {0};
    text_add(&text, "name,kind,tags,cost\n");
    for (int i = 0; i < LINES; i++)
        text_printf(&text, "Card %d,kind %d,tag-%d; tag-%d enabler 2,%d\n", i * 7919 % LINES, i % 300, i % 500,
                    500 + i % 11, i % 9);
    CardsRead reading = cards_read_good(text_cstr(&text));
    assert_int_equal(reading.set->count, LINES);
    assert_int_equal(reading.set->kinds, 300);
    assert_int_equal(reading.set->tags, 511);
    for (int i = 0; i < LINES; i += 97) {
        char name[32];
        snprintf(name, sizeof name, "CARD %d", i * 7919 % LINES);
        const Card *card = card_named(reading.set, name);
        assert_int_equal(card->cost, i % 9 * 1000);
        assert_int_equal(card->at.line, i + 2);
    }
    cards_done(&reading);
    text_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wrong_colours_are_pointed_at),
        cmocka_unit_test(every_column_is_read),
        cmocka_unit_test(headers_have_other_spellings),
        cmocka_unit_test(the_model_maps_headers),
        cmocka_unit_test(sheets_are_called_as_colours),
        cmocka_unit_test(colours_may_have_several_columns),
        cmocka_unit_test(wrong_cells_are_refused),
        cmocka_unit_test(all_errors_are_reported_at_once),
        cmocka_unit_test(many_clashes_are_counted),
        cmocka_unit_test(status_takes_several_words),
        cmocka_unit_test(the_header_may_come_again),
        cmocka_unit_test(a_line_twice_is_one_candidate),
        cmocka_unit_test(clashes_show_all_lines),
        cmocka_unit_test(the_order_of_lines_does_not_matter),
        cmocka_unit_test(cells_are_numbers_by_their_sheets_commas),
        cmocka_unit_test(names_are_found_and_guessed),
        cmocka_unit_test(groups_of_digits_are_read),
        cmocka_unit_test(known_columns_are_in_the_reference),
        cmocka_unit_test(many_lines_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
