/* test_weigh.c - what decks say about cards. The formula against a table worked with forty decimals; Wilson's interval
 * against published values; decks that this file makes from weights it knows, which must be found again; sheets in
 * whatever order, encoding and length; memory that does not grow with the decks. Cards and decks are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/packed.h"
#include "support/run.h"
#include "weigh/weigh.h"

/* ---- the formula ---- */

static void log_odds_are_as_worked_by_hand(void **state)
{
    (void)state;
    /* Monroe, Colaresi and Quinn 2008, equations 15 and 20; worked with Python's decimal module, forty decimals. With
     * no prior it is the plain logarithm of the odds ratio: ln((30/970) / (10/3990)). */
    static const struct {
        double inside, inside_all, outside, outside_all, prior, log_odds, error;
    } worked[] = {
        {30, 1000, 10, 4000, 0, 2.512862727055, 0.365148371670},
        {30, 1000, 10, 4000, 230, 2.247851698825, 0.340391678270},
        {0, 1000, 5, 4000, 230, -1.889949586708, 2.130500099945},
        {3, 60, 0, 6000, 230, 6.386664968607, 3.017242676640},
        {1, 21, 1, 21, 100, 0.000000000000, 0.589158245310},
    };
    for (size_t k = 0; k < sizeof worked / sizeof *worked; k++) {
        double log_odds, error;
        weigh_log_odds(worked[k].inside, worked[k].inside_all, worked[k].outside, worked[k].outside_all,
                       worked[k].prior, &log_odds, &error);
        assert_true(fabs(log_odds - worked[k].log_odds) < 1e-9);
        assert_true(fabs(error - worked[k].error) < 1e-9);
    }
}

/* ---- decks whose truth is known ---- */

#define CARDS 90
#define THEMES 3
#define DECK_CARDS 20

typedef struct {
    int colour;    /* 0 to 2, or 3: none */
    double weight; /* in the card's theme */
    int theme;     /* -1: none */
    bool seed;
    double power;
} TrueCard;

static const char *const colour_name[] = {"ebb", "silt", "wrack", ""};
static const char *const theme_name[] = {"moorings", "lanterns", "tallies"};
static const int theme_colours[THEMES][2] = {{0, 1}, {1, 2}, {0, 2}};

static void make_cards(Dice *dice, TrueCard *card)
{
    int seeds[THEMES] = {0};
    for (int c = 0; c < CARDS; c++) {
        card[c] = (TrueCard){.colour = c % 4, .theme = -1, .power = dice_roll(dice, 20, 80) / 10.0};
        const int t = dice_roll(dice, 0, THEMES - 1);
        if ((theme_colours[t][0] == card[c].colour || theme_colours[t][1] == card[c].colour) && dice_chance(dice, 90)) {
            card[c].theme = t;
            card[c].weight = dice_roll(dice, 2, 6) / 2.0;
            card[c].seed = seeds[t]++ < 4 || dice_chance(dice, 25);
        }
    }
}

static void write_scenario(const char *folder, const TrueCard *card)
{
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    fprintf(to, "name,colours,power,price,tags\n");
    for (int c = 0; c < CARDS; c++) {
        fprintf(to, "Card %02d,%s,%.1f,1,", c, colour_name[card[c].colour], card[c].power);
        if (card[c].seed)
            fprintf(to, "%s %.1f", theme_name[card[c].theme], card[c].weight);
        fprintf(to, "\n");
    }
    fclose(to);
    folder_write(folder, "cards.csv", text, length);
    free(text);
    folder_print(folder, "model.yaml",
                 "size: 20\ncolours: [ebb, silt, wrack]\nthemes:\n  - {name: moorings, colours: ebb+silt}\n"
                 "  - {name: lanterns, colours: silt+wrack}\n  - {name: tallies, colours: ebb+wrack}\n");
}

/* A folder with a scenario of cards drawn from the seed. */
static char *cards_folder(Dice *dice, uint64_t seed, TrueCard *card)
{
    char *folder = folder_new();
    dice_seed(dice, seed);
    make_cards(dice, card);
    write_scenario(folder, card);
    return folder;
}

/* One deck: each theme's drafters take its cards by their weight, others now and then. */
static void write_deck(FILE *to, Dice *dice, const TrueCard *card, int number, bool results)
{
    const int theme = dice_roll(dice, 0, THEMES - 1);
    bool in[CARDS] = {false};
    double strength = 0;
    for (int taken = 0; taken < DECK_CARDS;) {
        const int c = dice_roll(dice, 0, CARDS - 1);
        const int colour = card[c].colour;
        if (in[c] || (colour < 3 && colour != theme_colours[theme][0] && colour != theme_colours[theme][1]))
            continue;
        const double liking = card[c].theme == theme ? card[c].weight : 0;
        if (dice_roll(dice, 1, 1000) > (int)(1000 * exp(1.1 * (liking - 3))))
            continue;
        in[c] = true;
        taken++;
        strength += card[c].power;
    }
    const double chance = 1 / (1 + exp(-.12 * (strength - 100)));
    int wins = 0;
    for (int g = 0; g < 6; g++)
        wins += dice_roll(dice, 1, 1000) <= (int)(1000 * chance);
    for (int c = 0; c < CARDS; c++)
        if (in[c] && results)
            fprintf(to, "Deck %d,Card %02d,1,%d,%d\n", number, c, wins, 6 - wins);
        else if (in[c])
            fprintf(to, "Deck %d,Card %02d,1\n", number, c);
}

static void write_decks(const char *folder, const char *name, Dice *dice, const TrueCard *card, int decks, bool results)
{
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    fprintf(to, results ? "deck,name,copies,wins,losses\n" : "deck,name,copies\n");
    for (int d = 0; d < decks; d++)
        write_deck(to, dice, card, d, results);
    fclose(to);
    folder_write(folder, name, text, length);
    free(text);
}

static json_t *weigh(const char *folder, const char *decks, const char *option)
{
    Run run;
    run_poolwright(folder,
                   (const char *const[]){"weigh", "cards.csv", decks, "--model", "model.yaml", "--json", option, NULL},
                   NULL, &run);
    if (run.code != 0)
        fail_msg("exit code %d\n%s", run.code, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

/* Of pairs of items whose true values differ, by how many more the two orders agree than not (Kendall), from -1 to 1.
 */
static double agreement(const double *truth, const double *found, int count)
{
    int with = 0, against = 0;
    for (int i = 0; i < count; i++)
        for (int j = 0; j < i; j++) {
            const double both = (truth[i] - truth[j]) * (found[i] - found[j]);
            with += both > 0;
            against += both < 0;
        }
    return with + against == 0 ? 0 : (double)(with - against) / (with + against);
}

static void weights_are_found_again(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 3; seed++) {
        Dice dice;
        static TrueCard card[CARDS];
        char *folder = cards_folder(&dice, seed, card);
        write_decks(folder, "decks.csv", &dice, card, 600, false);
        json_t *root = weigh(folder, "decks.csv", NULL), *theme, *item;
        size_t t, k;
        int right = 0, wrong = 0;
        json_array_foreach (json_object_get(root, "themes"), t, theme) {
            double truth[CARDS], found[CARDS];
            int count = 0;
            json_array_foreach (json_object_get(theme, "cards"), k, item) {
                const int c = atoi(json_text(item, "name") + 5);
                if (card[c].seed && card[c].theme == (int)t)
                    continue;
                truth[count] = card[c].theme == (int)t ? card[c].weight : 0;
                found[count++] = json_real_value(json_object_get(item, "log_odds"));
                const bool proposed = json_object_get(item, "weight") != NULL;
                right += proposed && card[c].theme == (int)t;
                wrong += proposed && card[c].theme != (int)t;
            }
            assert_true(agreement(truth, found, count) > .8);
        }
        /* With three themes alone a card of none is truly more frequent than in decks full of another theme's. */
        print_message("seed %d: %d proposed rightly, %d wrongly\n", (int)seed, right, wrong);
        assert_true(right >= 15 && wrong <= right / 2);
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

typedef struct {
    const char *name;
    double inside, inside_all, outside, outside_all;
} OnPaper;

static void paper_scenario(const char *folder)
{
    folder_print(folder, "cards.csv",
                 "name,colours,price,tags\nStay,ebb,1,moorings\nGuy,ebb,1,moorings\nFender,silt,1,\nKelp,wrack,1,\n"
                 "Lamp,,1,\n");
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [ebb, silt, wrack]\nthemes: [{name: moorings, colours: ebb+silt}]\n");
}

/* Cards of one theme, and four decks; what is said of each card is the formula of these numbers. */
static void expect_paper(const char *decks, const OnPaper *paper, size_t count)
{
    char *folder = folder_new();
    paper_scenario(folder);
    folder_print(folder, "decks.csv", decks);
    json_t *root = weigh(folder, "decks.csv", "--at-least=1"), *item;
    size_t k;
    int seen = 0;
    json_array_foreach (json_object_get(json_array_get(json_object_get(root, "themes"), 0), "cards"), k, item) {
        for (size_t p = 0; p < count; p++) {
            double log_odds, error;
            if (strcmp(paper[p].name, json_text(item, "name")) != 0)
                continue;
            weigh_log_odds(paper[p].inside, paper[p].inside_all, paper[p].outside, paper[p].outside_all, 27.5,
                           &log_odds, &error); /* 11 copies in 4 decks: ten decks have 27.5 */
            assert_int_equal(json_integer_value(json_object_get(item, "inside")), (int)paper[p].inside);
            assert_int_equal(json_integer_value(json_object_get(item, "elsewhere")), (int)paper[p].outside);
            assert_true(fabs(json_real_value(json_object_get(item, "log_odds")) - log_odds) < 1e-6);
            assert_true(fabs(json_real_value(json_object_get(item, "error")) - error) < 1e-6);
            seen++;
        }
    }
    assert_int_equal(seen, count - 1); /* no deck of the theme can play Kelp */
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* "Stay" and "Guy" are tagged moorings; a deck with one of them is of the theme, for the other; a silt card is compared
 * in decks that can pay silt. */
static void decks_are_counted_as_on_paper(void **state)
{
    (void)state;
    static const OnPaper paper[] = {
        {"Stay", 1, 3, 1, 3}, {"Guy", 1, 6, 0, 0}, {"Fender", 3, 6, 1, 2}, {"Kelp", 0, 0, 2, 3}, {"Lamp", 0, 6, 2, 5}};
    expect_paper("deck,name,copies\n1,Stay,1\n1,Guy,1\n1,Fender,1\n2,Stay,1\n2,Fender,2\n3,Kelp,2\n3,Lamp,1\n"
                 "4,Fender,1\n4,Lamp,1\n",
                 paper, sizeof paper / sizeof *paper);
}

/* The same decks, where the sheet says of the first and of the last that they are moorings, whatever they hold. */
static void a_sheet_says_what_its_decks_are_of(void **state)
{
    (void)state;
    static const OnPaper paper[] = {
        {"Stay", 1, 3, 1, 3}, {"Guy", 1, 3, 0, 3}, {"Fender", 2, 5, 2, 3}, {"Kelp", 0, 0, 2, 3}, {"Lamp", 1, 5, 1, 6}};
    expect_paper("deck,name,copies,theme\n1,Stay,1,moorings\n1,Guy,1,\n1,Fender,1,\n2,Stay,1,\n2,Fender,2,\n3,Kelp,2,\n"
                 "3,Lamp,1,\n4,Fender,1,\n4,Lamp,1,Moorings\n",
                 paper, sizeof paper / sizeof *paper);
}

/* A card that a deck lists in two spellings is one seed, once in the deck, and has won its games once. */
static void spellings_are_one_card(void **state)
{
    (void)state;
    static const OnPaper paper[] = {
        {"Stay", 1, 3, 2, 3}, {"Guy", 1, 6, 0, 0}, {"Fender", 2, 6, 1, 2}, {"Kelp", 0, 0, 2, 3}, {"Lamp", 0, 6, 2, 5}};
    expect_paper("deck,name,copies\n1,Guy,1\n1,stay,1\n1,Fender,1\n2,Stay,1\n2,STAY,1\n2,Fender,1\n3,Kelp,2\n"
                 "3,Lamp,1\n4,Fender,1\n4,Lamp,1\n",
                 paper, sizeof paper / sizeof *paper);
    char *folder = folder_new();
    paper_scenario(folder);
    folder_print(folder, "decks.csv", "deck,name,wins,losses\n1,Stay,2,1\n1,stay,2,1\n1,Lamp,,\n");
    json_t *root = weigh(folder, "decks.csv", "--cards"), *item;
    size_t k;
    json_array_foreach (json_object_get(root, "cards"), k, item) {
        assert_int_equal(json_integer_value(json_object_get(item, "wins")), 2);
        assert_int_equal(json_integer_value(json_object_get(item, "losses")), 1);
    }
    assert_int_equal(k, 2);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* Guy is all that the one deck holds which can play it: there is nothing to compare it with. */
static void a_card_that_is_all_there_is_has_no_odds(void **state)
{
    (void)state;
    char *folder = folder_new();
    paper_scenario(folder);
    folder_print(folder, "decks.csv", "deck,name,theme\n1,Guy,moorings\n2,Fender,moorings\n2,Lamp,\n3,Fender,\n");
    json_t *root = weigh(folder, "decks.csv", "--at-least=1"), *item;
    size_t k;
    json_array_foreach (json_object_get(json_array_get(json_object_get(root, "themes"), 0), "cards"), k, item) {
        assert_string_not_equal(json_text(item, "name"), "Guy");
        assert_true(json_is_real(json_object_get(item, "log_odds")) && json_is_real(json_object_get(item, "typical")));
    }
    assert_int_equal(k, 2);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void decks_that_come_again_are_told(void **state)
{
    (void)state;
    char *folder = folder_new();
    paper_scenario(folder);
    folder_print(folder, "decks.csv", "deck,name\n1,Guy\n2,Guy\n1,Fender\n2,Fender\n2,Lamp\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"weigh", "cards.csv", "decks.csv", "--model", "model.yaml", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 0);
    assert_non_null(strstr(run.err, "decks.csv:4:1: notice: the deck '1' comes again, away from its other lines, and "
                                    "counts as another deck here (and 1 more)"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void the_order_of_decks_and_their_form_do_not_matter(void **state)
{
    (void)state;
    Dice dice;
    static TrueCard card[CARDS];
    char *folder = cards_folder(&dice, 11, card);
    folder_print(
        folder, "a.csv",
        "deck,name,copies\nD1,Card 00,1\nD1,Card 01,2\nD1,Card 02,1\nD2,Card 03,1\nD2,Card 05,1\nD2,Nobody,3\n");
    folder_print(folder, "b.csv",
                 "\xEF\xBB\xBF"
                 "Anzahl;Karte;Deck\r\n1;CARD 03;D2\r\n1;card 05;D2\r\n\r\n3;\"Nobody\";D2\r\n2;Card 01;D1\r\n;Card "
                 "00;D1\r\n1;Card 02;D1\r\n");
    folder_write_utf16(folder, "c.txt",
                       "deck\tname\tcopies\r\nD1\tCard 00\t1\r\nD1\tCard 01\t2\r\nD1\tCard 02\t1\r\nD2\tCard 03\t1\r\n"
                       "D2\tCard 05\t1\r\nD2\tNobody\t3\r\n",
                       false);
    json_t *a = weigh(folder, "a.csv", "--at-least=1"), *b = weigh(folder, "b.csv", "--at-least=1"),
           *c = weigh(folder, "c.txt", "--at-least=1");
    assert_int_equal(json_integer_value(json_object_get(a, "decks")), 2);
    assert_int_equal(json_integer_value(json_object_get(a, "copies")), 9);
    assert_int_equal(json_integer_value(json_object_get(a, "unknown")), 3);
    assert_true(json_equal(a, b));
    assert_true(json_equal(a, c));
    static const char *const above[] = {"sep=;\r\n", "Our decks\r\n\r\n", "Our decks, by hand;;\r\n2026-03-31;;\r\n"};
    for (size_t k = 0; k < sizeof above / sizeof *above; k++) {
        char sheet[400];
        snprintf(sheet, sizeof sheet,
                 "%sDeck;Karte;Anzahl\r\nD1;Card 00;1\r\nD1;Card 01;2\r\nD1;Card 02;1\r\nDeck;Karte;Anzahl\r\n"
                 "D2;Card 03;1\r\nD2;Card 05;1\r\nD2;Nobody;3\r\n",
                 above[k]);
        folder_print(folder, "c.csv", sheet);
        json_t *other = weigh(folder, "c.csv", "--at-least=1");
        assert_true(json_equal(a, other));
        json_decref(other);
    }
    json_decref(a);
    json_decref(b);
    json_decref(c);
    folder_remove(folder);
    free(folder);
}

#define TEXT(text) "<c t=\"inlineStr\"><is><t>" text "</t></is></c>"

/* A pipe gives its bytes once: text, UTF-16 and a workbook come out of it as out of a file, named or as "-". */
static void decks_come_from_pipes(void **state)
{
    (void)state;
    Dice dice;
    static TrueCard card[CARDS];
    char *folder = cards_folder(&dice, 11, card);
    folder_print(folder, "a.csv", "deck,name,copies\nD1,Card 00,1\nD1,Card 01,2\n");
    folder_write_utf16(folder, "b.csv", "deck,name,copies\nD1,Card 00,1\nD1,Card 01,2\n", false);
    size_t length;
    char *book = packed_xlsx("<sheetData><row>" TEXT("deck") TEXT("name") TEXT("copies") "</row><row>" TEXT("D1")
                                 TEXT("Card 00") "<c><v>1</v></c></row><row>" TEXT("D1")
                                     TEXT("Card 01") "<c><v>2</v></c></row></sheetData>",
                             NULL, NULL, "", &length);
    folder_write(folder, "c.xlsx", book, length);
    free(book);
    json_t *told = weigh(folder, "a.csv", "--at-least=1");
    static const char *const file[] = {"a.csv", "b.csv", "c.xlsx"}, *const as[] = {"pipe", "-"};
    for (size_t k = 0; k < 6; k++) {
        char command[600];
        snprintf(command, sizeof command,
                 "rm -f pipe; mkfifo pipe; cat %s >pipe & timeout 60 '%s' weigh cards.csv %s --model model.yaml --json "
                 "--at-least=1 <%s",
                 file[k / 2], program_path(), as[k % 2], k % 2 == 0 ? "/dev/null" : "pipe");
        Run run;
        run_program("sh", folder, (const char *const[]){"-c", command, NULL}, &run);
        if (run.code != 0)
            fail_msg("%s as %s: exit code %d: %s", file[k / 2], as[k % 2], run.code, run.err);
        json_t *piped = run_json(&run);
        assert_true(json_equal(piped, told));
        json_decref(piped);
        run_forget(&run);
    }
    json_decref(told);
    folder_remove(folder);
    free(folder);
}

static void bad_decks_are_told(void **state)
{
    (void)state;
    static const struct {
        const char *sheet, *message;
    } wrong[] = {
        {"", "found nothing"},
        {"deck,name\n", "found no deck"},
        {"name,copies\nCard 00,1\n", "bad.csv:1:1: error: found no column 'deck'"},
        {"deck,name,copies\nD,Card 00,two\n", "bad.csv:2:11: error: found 'two' as copies"},
        {"deck,name\n,Card 00\n", "found a line without a deck"},
        {"deck,name,copies\nD,Card 00,1,2\n", "bad.csv:2:13: error: found 4 fields, expected at most the header's 3 (a "
                                              "field that holds a separator must stand "
                                              "in quotes)"},
        {"deck,card,name\nD,Card 00,Card 01\n", "bad.csv:1:11: error: found two columns of names, expected one"},
        {"deck,name,wins,losses,wins\nD,Card 00,1,0,2\n",
         "bad.csv:1:23: error: found two columns of wins, expected one"},
        {"deck,name,theme\nD,Card 00,lantern\n",
         "bad.csv:2:11: error: no theme is called 'lantern'; did you mean 'lanterns'?"},
        {"deck;name;copies\nD\xC3\xA9;\"Card; 00\" ; \"two\"", "bad.csv:2:18: error: found 'two' as copies"},
        {"deck,name,theme\nD,Card 00,lanterns\nD,Card 01,\nD,Card 02,moorings\n",
         "bad.csv:4:11: error: found theme 'moorings' of the deck 'D', which is of 'lanterns' on a line above; "
         "expected one theme"},
        {"deck,name\nD,\"Card 00\n", "found a quote that is not closed"},
        {"deck,name\nD,Ca\"rd 00\n", "bad.csv:2:1: error: found a quote in the middle"},
        {"deck,name,wins\nD,Card 00,1\n", "expected both or none"},
        {"deck,name,wins,losses\nD,Card 00,,\nD,Card 01,2,1\nD,Card 02,2,0\n",
         "bad.csv:4:13: error: found 0 losses of the deck 'D', which has 1 on a line above; expected one number"},
    };
    Dice dice;
    static TrueCard card[CARDS];
    dice_seed(&dice, 5);
    make_cards(&dice, card);
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = folder_new();
        write_scenario(folder, card);
        folder_print(folder, "bad.csv", wrong[k].sheet);
        Run run;
        run_poolwright(
            folder,
            (const char *const[]){"weigh", "cards.csv", "bad.csv", "--model", "model.yaml", "-o", "tags.csv", NULL},
            NULL, &run);
        assert_int_equal(run.code, 2);
        if (strstr(run.err, wrong[k].message) == NULL)
            fail_msg("%s: %s", wrong[k].message, run.err);
        const char *first = strstr(run.err, "error: "); /* and nothing that only follows from it */
        if (strstr(first + 1, "error: ") != NULL)
            fail_msg("%s: %s", wrong[k].message, run.err);
        assert_false(folder_has(folder, "tags.csv"));
        run_forget(&run);
        run_poolwright(folder, (const char *const[]){"weigh", "cards.csv", "bda.csv", "--model", "model.yaml", NULL},
                       NULL, &run); /* told as of any other file */
        assert_int_equal(run.code, 2);
        if (strstr(run.err, "error: cannot read 'bda.csv': no such file; did you mean 'bad.csv'?\n") == NULL)
            fail_msg("%s", run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* The written tags are a sheet that the scenario reads, and its cards then have them. */
static void written_tags_are_read(void **state)
{
    (void)state;
    Dice dice;
    static TrueCard card[CARDS];
    char *folder = cards_folder(&dice, 2, card);
    write_decks(folder, "decks.csv", &dice, card, 400, true);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\ntags: [tags.csv]\n");
    Run run;
    run_poolwright(
        folder,
        (const char *const[]){"weigh", "cards.csv", "decks.csv", "--model", "model.yaml", "-o", "tags.csv", NULL}, NULL,
        &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    run_poolwright(folder,
                   (const char *const[]){"weigh", "cards.csv", "decks.csv", "--model", "model.yaml", "--cards", "-o",
                                         "notes.csv", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    run_poolwright(folder,
                   (const char *const[]){"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", "--json", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* ---- results ---- */

static void intervals_are_wilsons(void **state)
{
    (void)state;
    /* R. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998), table
     * I, method 3; values from memory. */
    static const struct {
        int wins, games;
        double low, high;
    } published[] = {{81, 263, .2553, .3662}, {15, 148, .0624, .1605}, {0, 20, .0000, .1611}, {1, 29, .0061, .1718}};
    Dice dice;
    static TrueCard card[CARDS];
    dice_seed(&dice, 5);
    make_cards(&dice, card);
    for (size_t k = 0; k < sizeof published / sizeof *published; k++) {
        char *folder = folder_new(), decks[200];
        write_scenario(folder, card);
        snprintf(decks, sizeof decks, "deck,name,wins,losses\nD,Card 00,%d,%d\n", published[k].wins,
                 published[k].games - published[k].wins);
        folder_print(folder, "decks.csv", decks);
        json_t *root = weigh(folder, "decks.csv", "--cards");
        const json_t *one = json_array_get(json_object_get(root, "cards"), 0);
        assert_true(fabs(json_real_value(json_object_get(one, "from")) - published[k].low) < .00006);
        assert_true(fabs(json_real_value(json_object_get(one, "to")) - published[k].high) < .00006);
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

/* Powers that are wrong on purpose are spoken against; where cards do not differ nothing is. */
static void results_speak_against_wrong_powers(void **state)
{
    (void)state;
    Dice dice;
    static TrueCard card[CARDS], told[CARDS];
    dice_seed(&dice, 7);
    make_cards(&dice, card);
    memcpy(told, card, sizeof told);
    for (int c = 0; c < CARDS; c++)
        card[c].power = c % 9 == 0 ? 9 : c % 9 == 1 ? 1 : card[c].power;
    for (int c = 0; c < CARDS; c++)
        told[c].power = c % 9 == 0 ? 2 : c % 9 == 1 ? 8 : card[c].power;
    char *folder = folder_new();
    write_scenario(folder, told);
    write_decks(folder, "decks.csv", &dice, card, 4000, true);
    json_t *root = weigh(folder, "decks.csv", "--cards"), *item;
    int right = 0, wrong = 0;
    size_t k;
    json_array_foreach (json_object_get(root, "cards"), k, item) {
        const int c = atoi(json_text(item, "name") + 5);
        const int64_t points = json_units(item, "points", 1000);
        right += (c % 9 == 0 && points > 0) || (c % 9 == 1 && points < 0);
        wrong += (c % 9 == 0 && points < 0) || (c % 9 == 1 && points > 0);
    }
    assert_true(right >= 10);
    assert_int_equal(wrong, 0);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* Twenty times the decks in the same memory. */
static void memory_does_not_grow_with_the_decks(void **state)
{
    (void)state;
    if (sanitised())
        skip(); /* those builds take memory of their own */
    Dice dice;
    static TrueCard card[CARDS];
    dice_seed(&dice, 3);
    char *folder = folder_new(), command[600];
    make_cards(&dice, card);
    write_scenario(folder, card);
    write_decks(folder, "decks.csv", &dice, card, 40000, false); /* 16 MB */
    snprintf(command, sizeof command,
             "ulimit -v 40000; exec '%s' weigh cards.csv decks.csv --model model.yaml --json > out.json",
             program_path());
    Run run;
    run_program("sh", folder, (const char *const[]){"-c", command, NULL}, &run);
    if (run.code != 0)
        fail_msg("exit code %d: %s", run.code, run.err);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(log_odds_are_as_worked_by_hand),
        cmocka_unit_test(decks_are_counted_as_on_paper),
        cmocka_unit_test(a_sheet_says_what_its_decks_are_of),
        cmocka_unit_test(weights_are_found_again),
        cmocka_unit_test(the_order_of_decks_and_their_form_do_not_matter),
        cmocka_unit_test(decks_come_from_pipes),
        cmocka_unit_test(spellings_are_one_card),
        cmocka_unit_test(a_card_that_is_all_there_is_has_no_odds),
        cmocka_unit_test(decks_that_come_again_are_told),
        cmocka_unit_test(bad_decks_are_told),
        cmocka_unit_test(written_tags_are_read),
        cmocka_unit_test(intervals_are_wilsons),
        cmocka_unit_test(results_speak_against_wrong_powers),
        cmocka_unit_test(memory_does_not_grow_with_the_decks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
