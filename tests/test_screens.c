/* test_screens.c - what people see first: no line of any screen on the demo is wider than 80 columns, in a pipe too,
 * and the first screen of `best` has at most forty lines. The demo is searched to the end, so this is not repeated
 * under sanitizers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

#define WIDTH 80
#define DEMO "scenarios/demo"
#define SMALL "scenarios/small"

typedef struct {
    int code;
    size_t lines; /* at most; 0: as many as it takes */
    const char *word[12];
} Screen;

static const Screen screens[] = {
    {0, 0, {"best", DEMO, "--full", "--effort", "20k"}},
    {0, 155, {"best", DEMO, "--rules", "--effort", "20k"}},
    {0, 0, {"best", SMALL, "--rules", "--full", "--effort", "60k"}},

    {1, 0, {"best", SMALL, "--cap", "5"}},
    {0, 0, {"best", SMALL, "--firm", "--effort", "100k"}},
    {0, 0, {"best", SMALL, "--alternatives", "2"}},
    {0, 45, {"check", DEMO}},
    {0, 0, {"check", DEMO, "--rules"}},
    {0, 0, {"check", DEMO "/cards.csv"}},
    {0, 0, {"check", DEMO, "--tags"}},
    {0, 0, {"check", DEMO, "--themes"}},
    {3, 20, {"why", DEMO, "Mail Dinghy", "--effort", "20k"}},
    {0, 20, {"why", DEMO, "Harbour Pilot"}},
    {0, 40, {"swap", DEMO, "Harbour Pilot"}},
    {3, 20, {"swap", DEMO, "--effort", "20k"}},
    {0, 0, {"swap", SMALL, "--all"}},
    {0, 40, {"bench", DEMO, "bells"}},
    {0, 40, {"bench", DEMO, "tar"}},
    {0, 40, {"bench", DEMO, "colourless"}},
    {0, 12, {"bench", DEMO, "convoys", "--settle"}},
    {0, 0, {"bench", DEMO, "glass+linen", "--full"}},
    {0, 45, {"what-if", DEMO}},
    {0, 0, {"what-if", SMALL, "--full"}},
    {0, 40, {"what-if", DEMO, "--caps", "250..350/50"}},
    {0, 0, {"what-if", DEMO, "--sizes", "360,450"}},
    {1, 45, {"audit", DEMO}},
    {1, 0, {"audit", DEMO, "--full", "--rules"}},
    {0, 40, {"revise", DEMO, "--swaps", "40", "--spend", "30"}},
    {0, 40, {"find", DEMO}},
    {0, 0, {"find", DEMO, "--full"}},
    {0, 40, {"find", DEMO, "--where", "theme=convoys", "--where", "role=payoff", "--sort", "fit-per-money"}},
    {0, 40, {"find", DEMO, "--like", "Fog Packet", "--like", "Night Striker"}},
    {0, 0, {"words"}},
    {0, 0, {"--help"}},
    {0, 0, {"best", "--help"}},
    {0, 0, {"what-if", "--help"}},
    {0, 0, {"revise", "--help"}},
};

static void join(const Screen *screen, char *line, size_t size)
{
    line[0] = '\0';
    for (size_t k = 0; k < 12 && screen->word[k] != NULL; k++)
        snprintf(line + strlen(line), size - strlen(line), " %s", screen->word[k]);
}

/* How many lines the text has; says which are too wide. */
static size_t count_lines(const char *text, const char *what, int *wide)
{
    size_t lines = 0;
    for (const char *at = text; *at != '\0'; lines++) {
        const size_t length = strcspn(at, "\n");
        char *line = strndup(at, length);
        if (text_width(line) > WIDTH) {
            print_error("poolwright%s: %zu columns: %s\n", what, text_width(line), line);
            ++*wide;
        }
        free(line);
        at += length + (at[length] == '\n');
    }
    return lines;
}

static void no_line_is_too_wide(void **state)
{
    (void)state;
    int wrong = 0;
    for (size_t k = 0; k < sizeof screens / sizeof *screens; k++) {
        Run run;
        char what[400];
        join(&screens[k], what, sizeof what);
        run_poolwright(".", screens[k].word, NULL, &run);
        desk_expect_code(&run, screens[k].code, what);
        const size_t lines = count_lines(run.out, what, &wrong);
        if (screens[k].lines > 0 && lines > screens[k].lines) {
            print_error("poolwright%s: %zu lines, expected at most %zu\n", what, lines, screens[k].lines);
            wrong++;
        }
        run_forget(&run);
    }
    assert_int_equal(wrong, 0);
}

/* As README.md shows it, which test_documents holds against what is printed: 40 lines, one of them for a name of a swap
 * that goes on. */
static void the_first_screen_is_short(void **state)
{
    (void)state;
    static const char command[] = "\n$ poolwright best scenarios/demo 2>/dev/null\n";
    char *readme = folder_read(".", "README.md", NULL), *screen = strstr(readme, command);
    assert_non_null(screen);
    screen += sizeof command - 1;
    char *end = strstr(screen, "\n```");
    assert_non_null(end);
    end[1] = '\0';
    int wrong = 0;
    const size_t lines = count_lines(screen, command, &wrong);
    assert_true(lines >= 20 && lines <= 40);
    assert_int_equal(wrong, 0);
    free(readme);
}

/* Whatever the width asked for. */
static void narrower_screens_hold(void **state)
{
    (void)state;
    static const char *const width[] = {"60", "120"};
    for (size_t k = 0; k < sizeof width / sizeof *width; k++) {
        Run run;
        setenv("COLUMNS", width[k], 1);
        run_poolwright(".", WORDS("best", SMALL, "--effort", "20k"), NULL, &run);
        for (const char *at = run.out; *at != '\0'; at += strcspn(at, "\n") + 1) {
            char *line = strndup(at, strcspn(at, "\n"));
            if (text_width(line) > (size_t)atoi(width[k]))
                fail_msg("wider than %s: %s", width[k], line);
            free(line);
        }
        run_forget(&run);
    }
    setenv("COLUMNS", "80", 1);
}

static void parts_are_shown_by_name(void **state)
{
    (void)state;
    Run run;
    run_poolwright(".", WORDS("best", SMALL, "--show", "colours,dear", "--effort", "20k"), NULL, &run);
    desk_expect_code(&run, 0, "--show");
    desk_expect(run.out, "\nColours\n");
    desk_expect(run.out, "\nDearest to buy\n");
    assert_null(strstr(run.out, "Themes"));
    assert_null(strstr(run.out, "More:"));
    run_forget(&run);
    /* what is asked for by name says so where there is nothing */
    run_poolwright(".", WORDS("best", SMALL, "--show", "changes,exceptions,money", "--effort", "20k"), NULL, &run);
    desk_expect_code(&run, 0, "--show");
    desk_expect(
        run.out,
        "\nAgainst the present pool\n  none: there is no present pool\n\nDeliberate exceptions\n  none: no card of the "
        "pool is exempt from a limit\n\nMoney\n  The pool is worth ");
    run_forget(&run);
    run_poolwright(".", WORDS("best", SMALL, "--full", "--effort", "20k"), NULL, &run);
    assert_null(strstr(run.out, "\n  none: "));
    run_forget(&run);
    run_poolwright(".", WORDS("best", SMALL, "--show", "colours,daer"), NULL, &run);
    desk_expect_code(&run, 2, "--show");
    desk_expect(run.err, "error: --show: found 'daer', expected some of changes, wishes, ");
    desk_expect(run.err, " with commas between; did you mean dear?");
    run_forget(&run);
    run_poolwright(".", WORDS("what-if", SMALL, "--show", "dear"), NULL, &run);
    desk_expect_code(&run, 2, "--show");
    desk_expect(run.err, "expected some of cards, tight, engines, seats or scaled, with commas between\n");
    run_forget(&run);
}

static int set_up(void **state)
{
    (void)state;
    return setenv("COLUMNS", "80", 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_line_is_too_wide),
        cmocka_unit_test(the_first_screen_is_short),
        cmocka_unit_test(narrower_screens_hold),
        cmocka_unit_test(parts_are_shown_by_name),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
