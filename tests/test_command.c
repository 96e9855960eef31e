/* test_command.c - the command line from outside: wrong words, what the first screens say
 * of a very small pool. All data are invented. */
#include <setjmp.h>
#include <pty.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "report/shown.h"
#include "support/desk.h"

static void expect_not(const Run *run, const char *text)
{
    if (strstr(run->out, text) != NULL || strstr(run->err, text) != NULL)
        fail_msg("expected no '%s' in\n%s\n%s", text, run->out, run->err);
}

static void wrong_words_are_told(void **state)
{
    (void)state;
    static const struct {
        const char *word[8];
        const char *says;
    } wrong[] = {
        {{"check", "my-pol"},
         "error: found neither a file nor a folder 'my-pol', expected a scenario or a cards sheet\n"},
        {{"check", "card.csv"},
         "error: found neither a file nor a folder 'card.csv', expected a scenario or a cards sheet; did you mean "
         "'cards.csv'?\n"},
        {{"check", "empty"},
         "error: the folder 'empty' holds no scenario.yaml, expected one; `poolwright init FOLDER` makes one\n"},
        {{"check", "other"},
         "error: the folder 'other' holds no scenario.yaml, expected one; did you mean 'other/scenario.yml'?\n"},
        {{"best", "cards.csv"}, "error: a cards sheet needs a model: add --model NAME"},
        {{"best", "my cards.csv"}, "or let `poolwright import \"my cards.csv\" -o FOLDER` write one\n"},
        {{"what-if", ".", "--caps", "5,6", "--csv", "a", "--plot=a"},
         "error: --csv and --plot name one file, expected two\n"},
        {{"best", ".", "--cap", "40", "--cap=50"}, "error: --cap: found twice, '40' and '50', expected once\n"},
        {{"best", ".", "-o", "a.csv", "--output", "b.csv"},
         "error: --output: found twice, 'a.csv' and 'b.csv', expected once\n"},
        {{"find", ".", "--text", "fog", "--text", "eel"},
         "error: --text: found twice, 'fog' and 'eel', expected once\n"},
        {{"best", ".", "--differ", "2"}, "error: --differ: expected --alternatives K with it"},
        {{"best", ".", "--case", "nothing alike"},
         "error: the scenario has no case 'nothing alike'; known are 'dear', 'cheap'\n"},
        {{"best", ".", "--case", "deer"}, "did you mean 'dear'?"},
        {{"best", ".", "--keep", "Eel Pot", "--ban", "EEL POT"},
         "error: 'EEL POT' is both kept and banned, expected one of them\n"},
        {{"best", ".", "--keep", "ash kite, Eel Pot"},
         "error: no candidate is called 'ash kite, Eel Pot'; each name has an option of its own\n"},
        {{"why", ".", "kite"}, "error: no candidate is called 'kite'; did you mean 'Ash Kite'?"},
        {{"why", ".", "Ash", "Kite", "eel", "pot"},
         "error: no candidate is called 'Ash'; did you mean \"Ash Kite\"? A name with blanks stands in straight "
         "quotes\n"
         "error: no candidate is called 'eel'; did you mean \"Eel Pot\"? A name with blanks stands in straight "
         "quotes\n"},
        {{"why", ".",
          "\xE2\x80\x9C"
          "Ash",
          "Kite\xE2\x80\x9D", "bat"},
         "error: no candidate is called '\xE2\x80\x9C"
         "Ash'; did you mean \"Ash Kite\"? A name with blanks stands in straight quotes\n"
         "error: no candidate is called 'bat'\n"},
        {{"best", ".", "--keep", "Ash", "Kite"},
         "error: unexpected word 'Kite' (text with blanks stands in straight quotes); usage: "},
        {{"best", ".",
          "\xE2\x80\x93"
          "cap",
          "3"},
         "error: found '\xE2\x80\x93"
         "cap' with a long dash, expected two hyphens: --cap\n"},
        {{"page", ".", "-o", "pool"}, "error: -o: found 'pool', expected a name that ends in .html\n"},
        {{"why", ".", "al"}, "error: no candidate is called 'al'\n"},
        {{"init", "new", "--size", "12", "--colours", "a,b"},
         "error: --size: found '12', expected a whole number from 20 to 5000"},
        {{"init", "new", "--size", "90", "--colours", "a,b", "--themes", "nets: a+b"},
         "error: --themes: found 'nets: a+b', expected themes such as \"convoys=brass+linen; lures=glass+tar\""},
        {{"init", "new", "--size=90", "--colours", "teal rye"},
         "error: --colours: found 'teal rye' as one colour, expected names with commas between"},
        {{"init", "new", "--size=90", "--colours", "teal,rye", "--themes", "nets=rue"},
         "error: --themes: found the colour 'rue', expected one of teal, rye; did you mean 'rye'?"},
        {{"init", "new", "--colours", "a,b"},
         "error: --size: found nothing, expected a number of cards such as 360, or --seats"},
        {{"init", "new", "--seats", "8", "--size", "191", "--colours", "a,b"},
         "error: --size: found 191, expected at least 192: 8 seats play a deck of 24"},
        {{"init", "new", "--seats", "0", "--colours", "a,b"}, "error: --seats: found '0', expected"},
        {{"init", "new", "--seats", "112", "--colours", "a,b"}, "error: --seats: found '112', expected"},
        {{"init", "new", "--size", "30-40", "--colours", "a,b"}, "error: --size: found '30-40', expected"},
    };
    char *folder = desk_small_folder("");
    folder_print(folder, "empty/note.txt", "");
    folder_print(folder, "other/scenario.yml", "");
    folder_print(folder, "my cards.csv", "name\nAsh Kite\n");
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        run_poolwright(folder, wrong[k].word, NULL, &run);
        desk_expect_told(&run, 2, wrong[k].says);
        assert_string_equal(run.out, "");
        run_forget(&run);
    }
    desk_done(folder);
}

/* What may be repeated still may, and --show adds to what it showed. */
static void lists_may_be_repeated(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_small_folder("");
    run_poolwright(folder, (const char *const[]){"find", ".", "--where", "cost=0..", "--where", "name=nobody", NULL},
                   NULL, &run);
    desk_expect_told(&run, 0, "");
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"best", ".", "--show", "tight", "--show", "colours", NULL}, NULL,
                   &run);
    desk_expect_told(&run, 0, "Colours");
    desk_expect_told(&run, 0, "tight");
    run_forget(&run);
    desk_done(folder);
}

/* A list that breaks almost everything, places with a fixed number too. */
static void places_that_cannot_be_filled(void **state)
{
    (void)state;
    Run run;
    char *folder =
        desk_small_folder("themes:\n  - {name: rigging, colours: ebb}\nplaces: {each: colour, theme: 1, open: 1}\n");
    folder_print(folder, "cards.csv",
                 "name,colours,kind,power,price,tags\nAsh Kite,ebb,rig,4,1.00,rigging\nBell Cart,ebb,rig,5,2.00,\nCoal "
                 "Lamp,ebb,tool,6,3.00,\n");
    folder_print(folder, "list.txt", "Bell Cart\nNobody\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.txt", NULL}, NULL, &run);
    desk_expect_told(&run, 1,
                     "  places (ebb)      1 filled, exactly 2 in all  0 filled, 1 in all       1  model.yaml:8\n");
    run_forget(&run);
    desk_done(folder);
}

static void check_says_no(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_small_folder("");
    run_poolwright(folder, (const char *const[]){"check", ".", NULL}, NULL, &run);
    desk_expect_told(&run, 0, "");
    run_forget(&run);
    desk_done(folder);
    folder = desk_small_folder("  - {name: tools, where: {kind: tool}, at_least: 2}\n");
    run_poolwright(folder, (const char *const[]){"check", ".", NULL}, NULL, &run);
    desk_expect_told(&run, 1, "");
    run_forget(&run);
    desk_done(folder);
}

/* A list whose cards meet every limit, but for one that is no candidate. */
static void unknown_cards_are_faults(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_small_folder("");
    folder_print(folder, "list.csv", "name\nAsh Kite\nEel Pot\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.csv", NULL}, NULL, &run);
    desk_expect_told(&run, 0, "");
    run_forget(&run);
    folder_print(folder, "list.csv", "name\nAsh Kite\nEel Pot\nNobody\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.csv", NULL}, NULL, &run);
    desk_expect_told(&run, 1, "Nobody");
    run_forget(&run);
    desk_done(folder);
}

/* A list is read as the present pool is: marks for copies, lines that are no cards. */
static void lists_are_read_as_the_present_pool(void **state)
{
    (void)state;
    Run numbers, marks;
    char *folder = desk_small_folder("");
    folder_print(folder, "list.csv", "name,chosen\nAsh Kite,1\nEel Pot,1\nCoal Lamp,0\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.csv", NULL}, NULL, &numbers);
    desk_expect_told(&numbers, 0, "list.csv: 2 cards");
    folder_print(folder, "list.csv", "name,chosen\nAsh Kite,x\nEel Pot,yes\nCoal Lamp,no\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.csv", NULL}, NULL, &marks);
    assert_string_equal(numbers.out, marks.out);
    run_forget(&numbers);
    run_forget(&marks);
    folder_print(folder, "model.yaml", DESK_MODEL "read: {skip_lines: [Total], blanks: [\"-\"]}\n");
    folder_print(folder, "list.csv", "name,chosen\nAsh Kite,1\nEel Pot,1\nCoal Lamp,-\nTotal,2\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.csv", NULL}, NULL, &marks);
    desk_expect_told(&marks, 0, "list.csv: 2 cards");
    run_forget(&marks);
    folder_print(folder, "list.csv", "name,chosen\nAsh Kite,perhaps\n");
    run_poolwright(folder, (const char *const[]){"audit", ".", "list.csv", NULL}, NULL, &marks);
    desk_expect_told(&marks, 2, "found 'perhaps', expected a whole number of copies, 0 to 1000");
    run_forget(&marks);
    desk_done(folder);
}

static void nothing_new_is_said(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_small_folder("");
    folder_print(folder, "list.csv", "name\nAsh Kite\nEel Pot\n");
    folder_print(folder, "more.csv", "name,kind,power,price\nBell Cart,rig,5,2.00\n");
    run_poolwright(folder, (const char *const[]){"revise", ".", "list.csv", "--new", "more.csv", "--swaps", "1", NULL},
                   NULL, &run);
    desk_expect_told(&run, 0,
                     "more.csv: notice: each of its cards is a candidate already, so there is nothing new to judge\n");
    run_forget(&run);
    desk_done(folder);
}

static void ask(const char *more_model, const char *const *word, int code, const char *says, const char *says_not)
{
    char *folder = desk_small_folder(more_model);
    Run run;
    run_poolwright(folder, word, NULL, &run);
    desk_expect_told(&run, code, says);
    if (says_not != NULL)
        expect_not(&run, says_not);
    run_forget(&run);
    desk_done(folder);
}

/* Best of all pools for 4.05: Ash Kite and Coal Lamp for 4.00, fit 10. With 5.00, Bell Cart and Coal Lamp have 11. */
static void the_cap_is_used_up_or_not(void **state)
{
    (void)state;
    const char *best[] = {"best", ".", NULL}, *dear[] = {"best", ".", "--case", "dear", NULL};
    ask("", best, 0, "spending cap          0.95 more  +1    Bell Cart for Ash Kite", NULL);
    ask("", best, 0, "2 cards, 4.00 to buy of 4.05, fit 10;", "0.05 left");
    ask("", dear, 0, "2 cards, 5.00 to buy of 9.00, fit 11;", "4.00 left");
    ask("", (const char *const[]){"best", ".", "--cap", "4.02", "--full", NULL}, 0, "0.02 left", NULL);
}

static void one_is_not_many(void **state)
{
    (void)state;
    const char *check[] = {"check", ".", NULL}, *best[] = {"best", ".", NULL};
    ask("", check, 0, "5 cards: 3 limits, 0 themes, 1 colour; the pool takes 2", NULL);
    ask("  - {name: lamps, where: {name: Coal Lamp}, at_least: 2}\n", best, 1, "1 card, which comes to 1 at most.",
        NULL);
    ask("  - {name: carts, where: {kind: cart}, at_least: 2}\n", best, 1,
        "No card has the kind 'cart', and 1 limit asks for it.", NULL);
}

/* What the program writes on a terminal of so many columns; NULL for TERM: unset. To be freed. */
static char *on_terminal(const char *folder, unsigned short columns, const char *term, const char *no_color,
                         const char *verb)
{
    struct winsize size = {.ws_row = 24, .ws_col = columns};
    const char *program = program_path();
    int master;
    const pid_t child = forkpty(&master, NULL, NULL, &size);
    assert_true(child >= 0);
    if (child == 0) {
        if (chdir(folder) != 0 || setenv("TERM", term, 1) != 0 || setenv("NO_COLOR", no_color, 1) != 0)
            _exit(127);
        execl(program, program, verb, ".", strcmp(verb, "best") == 0 ? "--full" : NULL, (char *)NULL);
        _exit(127);
    }
    char *said = calloc(1, 1 << 20);
    assert_non_null(said);
    size_t length = 0;
    ssize_t got;
    while (length < (1 << 20) - 1 && (got = read(master, said + length, (1 << 20) - 1 - length)) > 0)
        length += (size_t)got;
    close(master);
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
        fail_msg("status %d with\n%s", status, said);
    return said;
}

static bool has_terminals(void)
{
    int master;
    const pid_t child = forkpty(&master, NULL, NULL, NULL);
    if (child < 0)
        return false;
    if (child == 0)
        _exit(0);
    close(master);
    waitpid(child, NULL, 0);
    return true;
}

static void narrow_terminals_get_tables_that_fit(void **state)
{
    (void)state;
    if (!has_terminals()) {
        print_message("no pseudo terminals here: not tried\n");
        skip();
    }
    static const char row[] = "  rigs of a long and telling name  at least 1";
    char *folder = desk_small_folder("  - {name: rigs of a long and telling name, where: {kind: rig}, at_least: 1}\n");
    char *said = on_terminal(folder, 48, "xterm", "1", "best");
    assert_null(strstr(said, row));
    assert_non_null(strstr(said, "\r\n  rigs of a "));
    free(said);
    said = on_terminal(folder, 120, "xterm", "1", "best");
    assert_non_null(strstr(said, row));
    free(said);
    Run run;
    run_poolwright(folder, (const char *const[]){"best", ".", "--full", NULL}, NULL, &run);
    desk_expect_told(&run, 0, row);
    run_forget(&run);
    desk_done(folder);
}

static void terminals_get_what_they_can_show(void **state)
{
    (void)state;
    if (!has_terminals()) {
        print_message("no pseudo terminals here: not tried\n");
        skip();
    }
    static const char wipe[] = "\r\033[K", bold[] = "\033[1m";
    char *folder = desk_small_folder("");
    char *said = on_terminal(folder, 30, "xterm", "", "best");
    assert_non_null(strstr(said, bold));
    size_t lines = 0;
    for (const char *at = strstr(said, wipe); at != NULL; at = strstr(at, wipe), lines++) {
        at += strlen(wipe);
        if (strstr(at, wipe) != NULL && strcspn(at, "\r") > 29)
            fail_msg("a line of progress is longer than the terminal is wide: %.80s", at);
    }
    assert_true(lines > 2);
    free(said);
    said = on_terminal(folder, 80, "dumb", "", "best");
    assert_null(strchr(said, '\033'));
    free(said);
    said = on_terminal(folder, 80, "xterm", "1", "best");
    assert_null(strstr(said, bold));
    free(said);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nwish: [Drift Net, Eel Pot]\n");
    said = on_terminal(folder, 120, "xterm", "1", "best");
    assert_non_null(strstr(said, ": looking for a cheaper one with it; "));
    assert_non_null(strstr(said, "asking why: wishes 1 of "));
    assert_null(strstr(said, "asking why: wishes 3 of 2"));
    free(said);
    said = on_terminal(folder, 80, "xterm", "1", "check");
    assert_null(strstr(said, "best so far"));
    free(said);
    desk_done(folder);
}

/* Who types the name alone reads the same help. */
static void no_verb_gets_the_help_that_fits(void **state)
{
    (void)state;
    Run run, asked;
    setenv("COLUMNS", "80", 1);
    run_poolwright(".", (const char *const[]){NULL}, NULL, &run);
    run_poolwright(".", WORDS("--help"), NULL, &asked);
    unsetenv("COLUMNS");
    assert_int_equal(run.code, 2);
    assert_string_equal(run.err, asked.out);
    for (const char *at = run.err; *at != '\0'; at += strcspn(at, "\n") + 1)
        assert_true(strcspn(at, "\n") <= 80);
    run_forget(&run);
    run_forget(&asked);
}

static void help_names_all_parts(void **state)
{
    (void)state;
    static const char *const verb[] = {"best", "what-if"}, *const parts[] = {BEST_SECTION_WORDS, WHAT_IF_SECTION_WORDS};
    char *folder = folder_new();
    for (size_t k = 0; k < 2; k++) {
        Run run;
        run_poolwright(folder, (const char *const[]){verb[k], "--help", NULL}, NULL, &run);
        const char *show = strstr(run.out, "--show ");
        assert_non_null(show);
        char *words = strdup(parts[k]), *rest = words;
        for (char *word; (word = strsep(&rest, "|")) != NULL;)
            if (strstr(show, word) == NULL || strstr(show, word) > strstr(show, "  --json"))
                fail_msg("%s --help does not name '%s' behind --show", verb[k], word);
        free(words);
        run_forget(&run);
    }
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wrong_words_are_told),
        cmocka_unit_test(lists_may_be_repeated),
        cmocka_unit_test(help_names_all_parts),
        cmocka_unit_test(no_verb_gets_the_help_that_fits),
        cmocka_unit_test(places_that_cannot_be_filled),
        cmocka_unit_test(check_says_no),
        cmocka_unit_test(unknown_cards_are_faults),
        cmocka_unit_test(lists_are_read_as_the_present_pool),
        cmocka_unit_test(nothing_new_is_said),
        cmocka_unit_test(the_cap_is_used_up_or_not),
        cmocka_unit_test(one_is_not_many),
        cmocka_unit_test(narrow_terminals_get_tables_that_fit),
        cmocka_unit_test(terminals_get_what_they_can_show),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
