/* test_import.c - sheets as people have them: that nothing of them is lost, what answers change, what is refused and
 * what is written. What is proposed for the many styles of sheets has test_import_styles. All data are of an invented
 * game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "support/desk.h"
#include "support/messy.h"

/* ---- a messy list of 900 lines ---- */

static int64_t sum_of(const json_t *sheet)
{
    return json_units(sheet, "candidates", 1) + json_units(sheet, "repeated", 1) + json_units(sheet, "different", 1) +
           json_units(sheet, "passed", 1);
}

/* Every candidate of the messy sheets is what it is in the plain ones. */
static void expect_same_candidates(const char *folder)
{
    Run messy, plain;
    desk_run(folder, &messy, 0, (const char *const[]){"find", "pool", "--sort", "name", "--json", NULL});
    desk_run(folder, &plain, 0, (const char *const[]){"find", "plain", "--sort", "name", "--json", NULL});
    json_t *a = run_json(&messy), *b = run_json(&plain);
    const json_t *one = json_object_get(a, "cards"), *other = json_object_get(b, "cards");
    assert_int_equal(json_array_size(one), json_array_size(other));
    for (size_t i = 0; i < json_array_size(one); i++) {
        json_t *x = json_array_get(one, i), *y = json_array_get(other, i);
        static const char *const key[] = {"colours", "class", "cost", "power", "price", "tags"};
        for (size_t k = 0; k < sizeof key / sizeof *key; k++) {
            if (strcmp(key[k], "price") == 0 && json_is_null(json_object_get(y, key[k])))
                continue; /* counts as the middle price there */
            char *p = json_dumps(json_object_get(x, key[k]), JSON_ENCODE_ANY | JSON_SORT_KEYS),
                 *q = json_dumps(json_object_get(y, key[k]), JSON_ENCODE_ANY | JSON_SORT_KEYS);
            if (strcasecmp(p, q) != 0)
                fail_msg("%s: '%s' is %s in the messy sheets and %s in the plain ones", json_text(y, "name"), key[k], p,
                         q);
            free(p);
            free(q);
        }
    }
    json_decref(a);
    json_decref(b);
    run_forget(&messy);
    run_forget(&plain);
}

static void a_messy_list_loses_nothing(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= environment_number("POOLWRIGHT_SCENARIOS", 3); seed++) {
        char *folder = folder_new();
        Messy messy;
        messy_write(folder, seed, &messy);
        Run run;
        desk_run(folder, &run, 0,
                 (const char *const[]){"import", "list.csv", "prices.csv", "owned.csv", "-o", "pool", "--json", NULL});
        json_t *root = run_json(&run);
        const json_t *sheets = json_object_get(root, "sheets"), *list = json_array_get(sheets, 0);
        assert_int_equal(json_units(list, "lines", 1), messy.lines);
        assert_int_equal(sum_of(list), messy.lines);
        assert_int_equal(json_units(list, "candidates", 1), messy.cards);
        assert_int_equal(json_units(list, "repeated", 1), messy.repeated);
        assert_int_equal(json_units(list, "different", 1), messy.different);
        assert_int_equal(json_units(list, "passed", 1), messy.passed);
        assert_string_equal(json_text(json_array_get(sheets, 1), "role"), "prices");
        assert_string_equal(json_text(json_array_get(sheets, 2), "role"), "owned");
        json_decref(root);
        run_forget(&run);
        expect_same_candidates(folder);
        desk_run(folder, &run, 0, (const char *const[]){"best", "pool", "--cap", "150", "-o", "out.csv", NULL});
        desk_expect(run.out, "every limit met");
        run_forget(&run);
        desk_run(folder, &run, 0, (const char *const[]){"audit", "pool", "out.csv", "--cap", "150", NULL});
        run_forget(&run);
        /* the pool as a workbook: of its sheets the list is the one of cards, and none a pool by the name of the file
         */
        desk_run(folder, &run, 0, (const char *const[]){"best", "pool", "--cap", "150", "-o", "pool.xlsx", NULL});
        run_forget(&run);
        desk_run(folder, &run, 0, (const char *const[]){"import", "pool.xlsx", "-o", "next", "--json", NULL});
        root = run_json(&run);
        sheets = json_object_get(root, "sheets");
        assert_true(json_array_size(sheets) > 1);
        for (size_t s = 0; s < json_array_size(sheets); s++)
            assert_string_equal(json_text(json_array_get(sheets, s), "role"), s == 0 ? "cards" : "none");
        assert_int_equal(json_units(json_array_get(sheets, 0), "candidates", 1), 360);
        json_decref(root);
        run_forget(&run);
        desk_done(folder);
    }
}

/* ---- few candidates of a colour ---- */

/* One header over what one has in the cards and over counts in a sheet of owned cards, or in the present pool. */
static void a_count_is_of_what_the_sheet_is(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", "Card;Colour;Type;Anzahl\nAsh;fen;rig;0\nBee;fen;rig;1\nCoal;clay;rig;0\n");
    folder_print(folder, "owned.csv", "Card;Anzahl\nCoal;1\n");
    folder_print(folder, "pool.csv", "Card;Anzahl\nCoal;1\nBee;1\n");
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "owned.csv", "pool.csv", "-o", "mine"));
    desk_expect(run.out, "  owned.csv, owned: name = Card, owned = Anzahl\n");
    desk_expect(run.out, "  pool.csv, pool: name = Card, chosen = Anzahl\n");
    run_forget(&run);
    char *model = folder_read(folder, "mine/model.yaml", NULL);
    desk_expect(model, "  owned: \"Anzahl\"\n");
    desk_expect(model, "  chosen: \"Anzahl\"\n");
    free(model);
    desk_run(folder, &run, 0, WORDS("best", "mine"));
    desk_expect(run.out, "2 cards, nothing to buy");
    desk_expect(run.out, "Present pool: 0 cards in, 0 out, 2 stay.");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("check", "mine", "--json"));
    assert_int_equal(json_array_size(json_object_get(root, "present_unknown")), 0);
    json_decref(root);
    desk_done(folder);
}

static void a_colour_with_few_candidates_gets_fewer_places(void **state)
{
    (void)state;
    static char sheet[12000] = "Card,Colour,Cost,Rating\n";
    size_t length = strlen(sheet);
    for (int i = 0; i < 230; i++)
        length += (size_t)snprintf(sheet + length, sizeof sheet - length, "Card %03d,%s,%d,%d.5\n", i,
                                   i < 8     ? "fen"
                                   : i < 200 ? "clay"
                                   : i < 215 ? "fen+clay"
                                             : "",
                                   i % 6, i % 9);
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", sheet);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--size", "180", "-o", "pool", NULL});
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "pool", NULL});
    desk_expect(run.out, "180 cards");
    run_forget(&run);
    desk_done(folder);
}

/* ---- a column that is not what it is called ---- */

static void a_column_may_be_left_to_its_owner(void **state)
{
    (void)state;
    static char sheet[8000] = "Card,Colour,Cost\n";
    size_t length = strlen(sheet);
    for (int i = 0; i < 150; i++)
        length += (size_t)snprintf(sheet + length, sizeof sheet - length, "Card %03d,shade %d,%d\n", i, i, i % 6);
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", sheet);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "-o", "pool", NULL});
    run_forget(&run);
    char *model = folder_read(folder, "pool/model.yaml", NULL);
    desk_expect(model, "  own: \"Colour\"\n"); /* too many words for colours */
    free(model);
    desk_run(folder, &run, 0, (const char *const[]){"best", "pool", NULL});
    run_forget(&run);
    desk_done(folder);
}

/* ---- answers ---- */

#define LIST "Card,Colour,Value\nAsh Kiln,fen,2\nBee Yard,clay,3\nCoal Cart,fen/clay,1\nDusk Bell,fen+clay,2\n"

static void answers_replace_what_is_likely(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", LIST);
    folder_print(folder, "answers.json",
                 "{\"answers\": {\"slash\": \"both\", \"column list.csv Value\": \"power\", \"size\": \"2\"}}");
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "--answers", "answers.json", "-o", "pool", NULL});
    run_forget(&run);
    char *model = folder_read(folder, "pool/model.yaml", NULL);
    desk_expect(model, "# Limits move along with another size of --size or of a case in scenario.yaml; changed here, "
                       "they stay as they are written.\nsize: 2 ");
    desk_expect(model, "  slash: both\n");
    desk_expect(model, "  power: \"Value\"\n");
    free(model);
    desk_run(folder, &run, 0, (const char *const[]){"best", "pool", NULL});
    desk_expect(run.out, "2 cards");
    run_forget(&run);
    /* what --json wrote is taken as answers too, and gives the same files */
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--answers", "answers.json", "--json", NULL});
    folder_print(folder, "written.json", run.out);
    run_forget(&run);
    assert_false(folder_has(folder, "again/model.yaml"));
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "--answers", "written.json", "-o", "again", NULL});
    run_forget(&run);
    char *again = folder_read(folder, "again/model.yaml", NULL);
    model = folder_read(folder, "pool/model.yaml", NULL);
    assert_string_equal(again, model);
    free(again);
    free(model);
    desk_done(folder);
}

/* Runs import at a terminal of its own with these lines typed; what it said, as long as there is room. The exit code.
 */
static int at_a_terminal(const char *folder, const char *typed, char *said, size_t room)
{
    const int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    assert_true(terminal >= 0 && grantpt(terminal) == 0 && unlockpt(terminal) == 0);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        const char *program = program_path();
        const int other = open(ptsname(terminal), O_RDWR);
        if (chdir(folder) != 0 || dup2(other, 0) < 0 || dup2(other, 1) < 0 || dup2(other, 2) < 0)
            _exit(99);
        close(terminal);
        execl(program, program, "import", "list.csv", "-o", "pool", (char *)NULL);
        _exit(99);
    }
    assert_true(write(terminal, typed, strlen(typed)) == (ssize_t)strlen(typed));
    size_t length = 0;
    ssize_t got;
    while (length + 1 < room && (got = read(terminal, said + length, room - 1 - length)) > 0)
        length += (size_t)got;
    said[length] = '\0';
    int status = 0;
    assert_true(waitpid(child, &status, 0) == child);
    close(terminal);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
}

static void somebody_at_a_terminal_is_asked(void **state)
{
    (void)state;
    static char said[20000];
    char *folder = folder_new();
    folder_print(folder, "list.csv", LIST);
    /* slash: first something that is no choice; size: 2; the end of input: the likely ones */
    const int code = at_a_terminal(folder, "maybe\nboth\n2\n\x04", said, sizeof said);
    if (code != 0)
        fail_msg("exit code %d: %s", code, said);
    desk_expect(said, "does 'fen/clay' need both colours, or will either do?");
    desk_expect(said, "'maybe' is none of them.");
    desk_expect(said, "  either, both [Enter: either] ");
    desk_expect(said, "poolwright best pool -o pool/pool.csv");
    char *scenario = folder_read(folder, "pool/scenario.yaml", NULL);
    desk_expect(scenario, "\n#pool: pool.csv ");
    free(scenario);
    desk_expect(said, "\nHow many of the 4 candidates shall be in the pool?");
    char *model = folder_read(folder, "pool/model.yaml", NULL);
    desk_expect(model, "# Limits move along with another size of --size or of a case in scenario.yaml; changed here, "
                       "they stay as they are written.\nsize: 2 ");
    desk_expect(model, "  slash: both\n");
    free(model);
    desk_done(folder);
}

typedef struct {
    const char *what, *sheet, *answers;
    const char *says;
} Refusal;

static void what_cannot_be_taken_is_refused(void **state)
{
    (void)state;
    static const Refusal refusal[] = {
        {"an answer that nothing asks for", LIST, "{\"answers\": {\"slsh\": \"both\"}}",
         "answers.json: error: nothing asks for \"slsh\"; did you mean \"slash\"?"},
        {"an answer that is no choice", LIST, "{\"answers\": {\"slash\": \"all\"}}",
         "answers.json: error: the answer to \"slash\" is 'all', expected one of either, both"},
        {"answers that are no JSON", LIST, "{\"answers\": {", "answers.json:1:"},
        {"answers that are a list", LIST, "[]", "answers.json:1:1: error: found no \"answers\""},
        {"an answer that is a number", LIST, "{\"answers\": {\"size\": 2}}", "the answer to \"size\" is no text"},
        {"more than there are", LIST, "{\"answers\": {\"size\": \"5\"}}",
         "error: the size: found 5, expected a whole number up to the 4 candidates"},
        {"two columns of one field", LIST, "{\"answers\": {\"column list.csv Value\": \"name\"}}",
         "list.csv:1:13: error: the columns 'Card' and 'Value' are both said to be name"},
        {"no names", "Price,Cost\n1.00,2\n2.00,2\n3.00,1\n", NULL, "list.csv"},
        {"nothing below the header", "Card,Colour,Price\n", NULL,
         "list.csv: error: found no line below the names of the columns, expected a line for each card"},
        {"no cards", LIST, "{\"answers\": {\"sheet list.csv\": \"none\"}}", "no sheet seems to hold candidates"},
        {"a price that is none", "Card,Colour,Price\nAsh,fen,2\nBee,fen,cheap\n", "{\"answers\": {\"blanks\": \"no\"}}",
         "list.csv:3:9: error: column 'Price': found 'cheap', expected money"},
        {"a first line that is a card", "Ash Kiln,fen,2\nBee Yard,fen,3\nCoal Cart,clay,2\n", NULL,
         "list.csv:1:1: error: found no names of columns: the first line begins with 'Ash Kiln' and looks like a card"},
        {"a list without a header", "Ash Kiln\nBee Yard\nCoal Cart\n", NULL,
         "list.csv:1:1: error: found no names of columns"},
        {"standard input", NULL, NULL, "error: found '-', expected the path of a file"},
        {"a sheet that is broken", "Card,Colour\nAsh,\"fen\n", NULL, "list.csv:2:5: error: "},
    };
    for (size_t i = 0; i < sizeof refusal / sizeof *refusal; i++) {
        char *folder = folder_new();
        Run run;
        if (refusal[i].sheet != NULL)
            folder_print(folder, "list.csv", refusal[i].sheet);
        if (refusal[i].answers != NULL)
            folder_print(folder, "answers.json", refusal[i].answers);
        run_poolwright(folder,
                       (const char *const[]){"import", refusal[i].sheet != NULL ? "list.csv" : "-", "-o", "pool",
                                             refusal[i].answers != NULL ? "--answers" : NULL, "answers.json", NULL},
                       NULL, &run);
        if (run.code != 2 || strstr(run.err, refusal[i].says) == NULL || folder_has(folder, "pool/model.yaml"))
            fail_msg("%s: expected exit code 2 and\n%s\nfound %d\n%s", refusal[i].what, refusal[i].says, run.code,
                     run.err);
        run_forget(&run);
        desk_done(folder);
    }
}

/* One header over powers in the cards and over prices in a sheet beside them. */
static void a_header_means_one_thing(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", "Card,Colour,Value\nAsh,fen,3\nBee,fen,2.5\nCoal,clay,4\n");
    folder_print(folder, "prices.csv", "Card,Value\nAsh,0.25\nBee,1.50\nCoal,0.05\n");
    folder_print(folder, "answers.json", "{\"answers\": {\"column list.csv Value\": \"power\"}}");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "prices.csv", NULL});
    desk_expect(run.err, "prices.csv:1:6: notice: 'Value' is taken as a price here and in list.csv");
    desk_expect(run.err, "list.csv: notice: no column says how good a card is");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "prices.csv", "-o", "first", NULL});
    desk_expect(run.err, "list.csv: notice: no column says how good a card is"); /* also where it writes */
    run_forget(&run);
    desk_run(
        folder, &run, 2,
        (const char *const[]){"import", "list.csv", "prices.csv", "--answers", "answers.json", "-o", "pool", NULL});
    desk_expect(run.err, "prices.csv:1:6: error: 'Value' is taken as price here and as power in list.csv, and a header "
                         "means one thing");
    assert_false(folder_has(folder, "pool/model.yaml"));
    run_forget(&run);
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [fen, clay]\ncolumns: {name: Card, power: Value, price: Value}\n");
    desk_run(folder, &run, 2, (const char *const[]){"best", "list.csv", "--model", "model.yaml", NULL});
    desk_expect(run.err, "list.csv:1:13: error: the model's columns say that 'Value' is both power and price");
    run_forget(&run);
    desk_done(folder);
}

/* What each card is to each theme, as numbers, most of them 0. Strengths of cards, which go along with each other, and
 * a column or two of numbers are no themes; where nothing else says how good a card is they are told. */
static void columns_of_weights_are_themes(void **state)
{
    (void)state;
    char *folder = folder_new(), text[4096];
    Run run;
    for (int k = 0; k < 3; k++) {
        size_t length = (size_t)snprintf(text, sizeof text, "Card,Colour,%s,Tags\n",
                                         k == 0   ? "kites,mills,lures"
                                         : k == 1 ? "Keel,Mast,Oars"
                                                  : "kites,mills");
        for (int c = 0; c < 30; c++) {
            length += (size_t)snprintf(text + length, sizeof text - length, "C%d,%s", c, c % 2 == 0 ? "ruv" : "osk");
            for (int t = 0; t < (k == 2 ? 2 : 3); t++)
                length += (size_t)snprintf(text + length, sizeof text - length, ",%d",
                                           (k == 1 ? c % 3 == 0 : c % 4 == t) ? 1 + (c + t) % 3 : 0);
            length += (size_t)snprintf(text + length, sizeof text - length, ",%s\n", c % 5 == 0 ? "ebb" : "");
        }
        folder_print(folder, "list.csv", text);
        desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--size", "10", NULL});
        desk_expect(run.out, k == 0   ? "theme kites: yes   8 of 30: '1' (list.csv:2), '2' (line 6), '3' (line 10)\n"
                             : k == 1 ? "your own: Keel, Mast, Oars\n"
                                      : "your own: kites, mills\n");
        desk_expect(run.out, k == 0 ? "themes: kites, mills, lures, ebb " : "themes: ebb ");
        if (k == 0)
            assert_null(strstr(run.err, "how good a card is"));
        else
            desk_expect(
                run.err,
                k == 1 ? "list.csv:1:13: notice: no column says how good a card is, so tags alone count; "
                         "numbers stand in 'Keel', 'Mast', 'Oars': if one of these is a score, answer "
                         "\"column list.csv Keel\": \"power\"; of several that are, such as those of several people, "
                         "the average counts\n"
                       : "numbers stand in 'kites', 'mills'");
        run_forget(&run);
    }
    desk_done(folder);
}

/* A theme cannot be called as a role, a number or a column of the lists that are written, whatever marks it has. */
static void what_no_theme_can_be_called(void **state)
{
    (void)state;
    static const char *const header[] = {"Payoff", "Good Enabler", "Tier 2", "Class", "Fit"};
    for (size_t k = 0; k < sizeof header / sizeof *header; k++) {
        char *folder = folder_new(), text[200];
        Run run;
        snprintf(text, sizeof text, "Card,Power,%s\nAsh,1,x\nBee,2,\nCoal,3,x\nDusk,4,\n", header[k]);
        folder_print(folder, "list.csv", text);
        desk_run(folder, &run, 0, WORDS("import", "list.csv", "--size", "2", "-o", "mine"));
        desk_expect(run.out, "; your own: ");
        run_forget(&run);
        desk_run(folder, &run, 0, WORDS("best", "mine"));
        run_forget(&run);
        desk_done(folder);
    }
}

/* The other colour of gold cards in a column of its own is read where it is called as colours, else told. */
static void a_second_column_of_colours_is_read(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv",
                 "Card,Colour 1,Colour 2,Made of\nAsh,fen,,clay\nBee,clay,fen,wood\nCoal,fen,clay,clay\nDusk,clay,,\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "-o", "mine", NULL});
    desk_expect(run.out, "colours = Colour 1, colours = Colour 2; your own: Made of");
    assert_null(strstr(run.err, "holds colours too"));
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"check", "mine", NULL});
    desk_expect(run.out, "gold           2");
    run_forget(&run);
    folder_print(folder, "list.csv", "Card,Colour,With\nAsh,fen,\nBee,clay,fen\nCoal,fen,clay\nDusk,clay,\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", NULL});
    desk_expect(run.err,
                "list.csv:1:13: notice: the column 'With' holds colours too (of 2 cards), and is not read: where "
                "it says another colour that the card needs, call it 'colour 2', or answer \"column list.csv "
                "With\": \"colours\"");
    run_forget(&run);
    folder_print(folder, "answers.json", "{\"answers\": {\"column list.csv With\": \"colours\"}}");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--answers", "answers.json", NULL});
    desk_expect(run.out, "colours = Colour, colours = With");
    run_forget(&run);
    folder_print(folder, "answers.json", "{\"answers\": {\"column list.csv With\": \"own\"}}");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "--answers", "answers.json", NULL});
    desk_expect(run.out, "; your own: With");
    assert_null(strstr(run.err, "holds colours too"));
    run_forget(&run);
    desk_done(folder);
}

/* Four cards with a theme's name almost right are not of a theme of their own. */
static void a_misspelt_theme_is_told(void **state)
{
    (void)state;
    char *folder = folder_new(), text[4096] = "Card,Colour,Tags\n";
    Run run;
    for (int k = 0; k < 24; k++)
        sprintf(text + strlen(text), "Card %d,%s,%s\n", k, k % 2 ? "fen" : "clay",
                k < 16   ? "kites"
                : k < 20 ? "kitse"
                         : "mills");
    folder_print(folder, "list.csv", text);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", NULL});
    desk_expect(run.out, "themes: kites, mills ");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "-o", "mine", NULL});
    desk_expect(run.err, "the tag 'kitse' of 4 cards is no theme; was 'kites' meant");
    run_forget(&run);
    desk_done(folder);
}

/* A theme in one column and the card's part in it elsewhere: in a column of roles, in two that are marked, or in the
 * name of the column that the theme stands in. Yes and no below such a name are no themes. */
static void roles_beside_tags_are_found(void **state)
{
    (void)state;
    static const struct {
        const char *columns, *enabler, *payoff, *both, *taken, *model;
    } sheet[] = {
        {"Theme,Role", "kites,enabler", "kites,Payoff", "kites,both", "tags = Theme, role = Role",
         "  role: \"Role\"\n"},
        {"Thema,Rolle", "kites,Quelle", "kites,Ziel", "kites,both", "tags = Thema, role = Rolle",
         "words: {\"Quelle\": enabler, \"Ziel\": payoff}"},
        {"Theme,Enabler,Payoffs", "kites,x,", "kites,,x", "kites,x,x", "role = Enabler, role = Payoffs",
         "role: [\"Enabler\", \"Payoffs\"]"},
        {"Theme,Enabler,Payoffs", "kites,yes,no", "kites,no,yes", "kites,yes,yes", "role = Enabler, role = Payoffs",
         "role: [\"Enabler\", \"Payoffs\"]"},
        {"Enabler for,Pays off", "kites,", ",kites", "kites,kites", "enables = Enabler for, pays_off = Pays off",
         "enables: \"Enabler for\""},
    };
    for (size_t k = 0; k < sizeof sheet / sizeof *sheet; k++) {
        char *folder = folder_new(), text[1024];
        size_t length = (size_t)snprintf(text, sizeof text, "Card,Colour,Power,%s\n", sheet[k].columns);
        Run run;
        for (int c = 0; c < 12; c++)
            length += (size_t)snprintf(text + length, sizeof text - length, "C%d,%s,%d,%s\n", c,
                                       c % 2 == 0 ? "ruv" : "osk", c,
                                       c % 3 == 0   ? sheet[k].enabler
                                       : c % 3 == 1 ? sheet[k].payoff
                                                    : sheet[k].both);
        folder_print(folder, "list.csv", text);
        desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "-o", "mine", "--size", "6", NULL});
        desk_expect(run.out, sheet[k].taken);
        desk_expect(run.out, "themes: kites ");
        run_forget(&run);
        char *model = folder_read(folder, "mine/model.yaml", NULL);
        desk_expect(model, sheet[k].model);
        free(model);
        desk_run(folder, &run, 0, (const char *const[]){"find", "mine", NULL});
        for (int c = 0; c < 3; c++)
            desk_expect(run.out, c == 0 ? "kites enabler" : c == 1 ? "kites payoff" : "kites both");
        run_forget(&run);
        desk_done(folder);
    }
}

/* Further columns of tags, called so or not, are read with the first; what two of them say alike counts once. A column
 * of roles says those of the line's tags; one of wishes is no theme, which is told. */
static void further_columns_of_tags_are_read(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv",
                 "Card,Tags,Theme 2,More,Made of,Role,Wish\nAsh,kites,mills payoff,kites,clay,enabler,x\n"
                 "Bee,mills,kites,,wood,payoff,\nCoal,kites,,mills,clay,enabler,x\nDusk,mills,mills,kites,,,\n"
                 "Elm,,,,,,\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", "-o", "my-pool", NULL});
    desk_expect(run.out, "tags = Tags, tags = Theme 2, tags = More, role = Role; your own: Made of, Wish");
    desk_expect(run.err, "list.csv:1:37: notice: the column 'Wish' does not count: call it 'status'");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"find", "my-pool", "--json", NULL});
    json_t *root = run_json(&run), *card;
    size_t k, tags = 0;
    json_array_foreach (json_object_get(root, "cards"), k, card)
        tags += json_array_size(json_object_get(card, "tags"));
    assert_int_equal(tags, 8);
    json_decref(root);
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"find", "my-pool", NULL});
    desk_expect(run.out, "kites enabler");
    run_forget(&run);
    folder_print(folder, "list.csv",
                 "Card,Tags,More\nAsh,kites enabler 2,mills (Payoff)\nBee,mills,KITES [Enabler] 3\nCoal,kites,\n");
    desk_run(folder, &run, 0, (const char *const[]){"import", "list.csv", NULL}); /* roles and weights, as in cards */
    desk_expect(run.out, "tags = Tags, tags = More");
    run_forget(&run);
    folder_print(folder, "list.csv", "Card,Tags,Theme 2\nAsh,kites,kites payoff\nBee,mills,kites\nCoal,kites,\n");
    desk_run(folder, &run, 2, (const char *const[]){"import", "list.csv", NULL});
    desk_expect(run.err, "list.csv:2:11: error: column 'Theme 2': found the tag 'kites' a second time on this card");
    run_forget(&run);
    desk_done(folder);
}

/* ---- a pool that is there ---- */

#define POOL_HEAD "Card,Colour,Cost,Kind,Themes,How many\n"
#define POOL                                                                                                           \
    POOL_HEAD                                                                                                          \
    "Ash Kiln,fen,1,rig,\"kites, mills\",2\nBee Yard,clay,2,rig,mills,1\nCoal Cart,fen+clay,3,tool,kites,1\n"          \
    "Dusk Bell,fen,5,rig,kites,1\nElm Gate,clay,4,tool,\"mills, kites\",1\nFen Mill,,2,tool,mills,1\n"

static void a_pool_becomes_its_own_rules(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "pool.csv", POOL);
    desk_run(folder, &run, 0, (const char *const[]){"init", "narrow", "--from", "pool.csv", NULL});
    desk_expect(run.out, "kites, mills");
    desk_expect(run.out, "pool.csv: 6 lines, 6 candidates\n");
    run_forget(&run);
    setenv("COLUMNS", "60", 1);
    desk_run(folder, &run, 0, (const char *const[]){"init", "mine", "--from", "pool.csv", NULL});
    unsetenv("COLUMNS");
    for (const char *line = run.out; *line != '\0'; line += strcspn(line, "\n") + 1)
        assert_true(strcspn(line, "\n") <= 60);
    run_forget(&run);
    char *model = folder_read(folder, "mine/model.yaml", NULL);
    desk_expect(model, "\nsize: 7 ");
    desk_expect(model, "      \"fen\": {between: [2, 4]}   # pool.csv: 3\n");
    desk_expect(model, "      \"clay\": {between: [1, 3]}   # pool.csv: 2\n");
    desk_expect(model, "      \"clay+fen\": {between: [0, 2]}   # pool.csv: 1\n");
    desk_expect(model, "{name: \"early plays\", where: {cost: {to: 2}}, between: [3, 5]}   # pool.csv: 4\n");
    desk_expect(model, "{name: \"middle plays\", where: {cost: {from: 3, to: 4}}, between: [1, 3]}   # pool.csv: 2\n");
    desk_expect(model, "      \"kites\": {between: [4, 6]}   # pool.csv: 5\n");
    free(model);
    desk_run(folder, &run, 0, (const char *const[]){"audit", "mine", NULL}); /* the pool keeps them all */
    desk_expect(run.out, "every limit met");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "mine", "-o", "pool.xlsx", NULL});
    desk_expect(run.out, "7 cards");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"init", "again", "--from", "pool.xlsx", NULL});
    desk_expect(run.out, "pool.xlsx#shopping: 1 line, not used\n");
    assert_null(strstr(run.out, "answer ")); /* nothing is asked */
    run_forget(&run);
    folder_print(folder, "x.csv", "Card,Colour,Cost\nAsh Kiln,fen,X\nBee Yard,clay,2\nCoal Cart,fen,1\n");
    desk_run(folder, &run, 0, (const char *const[]){"init", "told", "--from", "x.csv", "--json", NULL});
    json_t *root = run_json(&run);
    desk_expect(json_string_value(json_object_get(json_array_get(json_object_get(root, "notices"), 0), "text")),
                "1 cost holds an X");
    json_decref(root);
    run_forget(&run);
    desk_run(folder, &run, 2, (const char *const[]){"init", "other", "--from", "pool.csv", "--size", "90", NULL});
    desk_expect(run.err, "--size does not go with --from");
    run_forget(&run);
    desk_run(folder, &run, 2, (const char *const[]){"init", "other", "--from", "none.csv", NULL});
    desk_expect(run.err, "none.csv");
    run_forget(&run);
    folder_print(folder, "names.csv", "Karte;dabei\nAsh;x\nBee;x\n");
    desk_run(folder, &run, 2, (const char *const[]){"init", "other", "--from", "names.csv", NULL});
    desk_expect(run.err, "names.csv: error: found nothing but names, expected colours, kinds, costs or tags too");
    desk_expect(run.err, "write poolwright import SHEET names.csv -o other\n");
    run_forget(&run);
    assert_false(folder_has(folder, "other"));
    folder_print(folder, "marks.csv", "name,colours,cost,in pool\nAsh,fen,1,x\nBee,clay,2,\nCob,fen,3,yes\n");
    desk_run(folder, &run, 0, (const char *const[]){"init", "marked", "--from", "marks.csv", NULL});
    desk_expect(run.out, "the pool of 2");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"audit", "marked", NULL});
    desk_expect(run.out, "marks.csv: 2 cards, ");
    assert_null(strstr(run.err, "does not know"));
    run_forget(&run);
    folder_print(folder, "bare.csv", "name,colours,cost,tags\nAsh,fen,1,removal\nBee,clay,2,removal\nCob,fen,3,\n");
    desk_run(folder, &run, 0, (const char *const[]){"init", "bare", "--from", "bare.csv", NULL});
    desk_expect(run.out, "themes: none");
    run_forget(&run);
    model = folder_read(folder, "bare/model.yaml", NULL);
    desk_expect(model, "\n#themes:\n"); /* an example, no theme called so */
    assert_null(strstr(model, "name: none"));
    free(model);
    desk_done(folder);
}

/* ---- check without a model ---- */

static void a_sheet_is_checked_without_a_model(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "pool.csv", POOL "Total,,17,,,7\nash kiln,fen,1,rig,kites,2\n");
    desk_run(folder, &run, 0, (const char *const[]){"check", "pool.csv", NULL});
    desk_expect(run.out, "pool.csv: 8 lines, 6 candidates, 1 with the name of another, 1 passed over, as no cards\n");
    desk_expect(run.out, "  4 mono (clay 2, fen 2), 1 gold, 0 hybrid, 1 colourless, 0 fixing\n");
    desk_expect(run.out, "next: poolwright import pool.csv -o my-pool ");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"check", "pool.csv", "--json", NULL});
    json_t *root = run_json(&run);
    assert_true(json_is_null(json_object_get(root, "model")));
    assert_int_equal(json_units(root, "candidates", 1), 6);
    assert_int_equal(json_units(root, "unpriced", 1), 6);
    json_decref(root);
    run_forget(&run);
    folder_print(folder, "bad.csv", "Card,Colour\nAsh,\"fen\n");
    desk_run(folder, &run, 2, (const char *const[]){"check", "bad.csv", NULL});
    desk_expect(run.err, "bad.csv:2:5: error: ");
    run_forget(&run);
    desk_done(folder);
}

static void nothing_is_overwritten(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", LIST);
    folder_print(folder, "pool/model.yaml", "mine");
    desk_run(folder, &run, 2, (const char *const[]){"import", "list.csv", "-o", "pool", NULL});
    desk_expect(run.err, "pool/model.yaml: error: the file is there already and is not overwritten");
    run_forget(&run);
    assert_false(folder_has(folder, "pool/scenario.yaml"));
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_messy_list_loses_nothing),
        cmocka_unit_test(answers_replace_what_is_likely),
        cmocka_unit_test(what_cannot_be_taken_is_refused),
        cmocka_unit_test(columns_of_weights_are_themes),
        cmocka_unit_test(what_no_theme_can_be_called),
        cmocka_unit_test(a_second_column_of_colours_is_read),
        cmocka_unit_test(further_columns_of_tags_are_read),
        cmocka_unit_test(roles_beside_tags_are_found),
        cmocka_unit_test(a_misspelt_theme_is_told),
        cmocka_unit_test(a_header_means_one_thing),
        cmocka_unit_test(nothing_is_overwritten),
        cmocka_unit_test(a_pool_becomes_its_own_rules),
        cmocka_unit_test(a_sheet_is_checked_without_a_model),
        cmocka_unit_test(somebody_at_a_terminal_is_asked),
        cmocka_unit_test(a_column_may_be_left_to_its_owner),
        cmocka_unit_test(a_count_is_of_what_the_sheet_is),
        cmocka_unit_test(a_colour_with_few_candidates_gets_fewer_places),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
