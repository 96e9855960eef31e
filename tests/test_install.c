/* test_install.c - `make install` into a folder of its own, with blanks in its names: the program works from there,
 * from an empty folder, with its models, examples and manual pages; `make uninstall` leaves no file. What is installed
 * is the usual build: not repeated under sanitizers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define PREFIX "/opt/two words"

static char *folder, program[4200];

static void make(const char *target)
{
    Run run;
    char build[4200], destination[4200];
    snprintf(build, sizeof build, "BUILD=%s", program_path());
    *strrchr(build, '/') = '\0';
    snprintf(destination, sizeof destination, "DESTDIR=%s/a place", folder);
    run_program("make", ".", WORDS("-s", target, build, destination, "PREFIX=" PREFIX), &run);
    if (run.code != 0)
        fail_msg("make %s: %s%s", target, run.out, run.err);
    run_forget(&run);
}

static int install(void **state)
{
    (void)state;
    unsetenv("MAKEFLAGS"); /* of a make that started this */
    unsetenv("MAKELEVEL");
    folder = folder_new();
    snprintf(program, sizeof program, "%s/a place" PREFIX "/bin/poolwright", folder);
    make("install");
    return 0;
}

static void run_in(const char *place, const char *const *arguments, const char *says)
{
    Run run;
    run_program(program, place, arguments, &run);
    if (run.code != 0 || strstr(run.out, says) == NULL)
        fail_msg("%s: %d, expected '%s': %s%s", arguments[0], run.code, says, run.out, run.err);
    run_forget(&run);
}

/* Runs it where no file of ours is. */
static void run_installed(const char *const *arguments, const char *says)
{
    run_in(folder, arguments, says);
}

static void the_program_works_from_there(void **state)
{
    (void)state;
    run_installed(WORDS("--version"), "poolwright ");
    run_installed(WORDS("init", "my pool", "--size", "60", "--colours", "rye,teal"), "scenario.yaml");
    run_installed(WORDS("best", "my pool", "-o", "my pool/pool.csv"), "every limit met");
    run_installed(WORDS("import", "my pool/cards.csv", "-o", "second"), "model.yaml");
    run_installed(WORDS("check", "second"), "limits");
    run_installed(WORDS("page", "my pool", "-o", "pool.html"), "pool.html");
}

static void presets_and_examples_are_there(void **state)
{
    (void)state;
    char demo[4200], sheet[4300];
    snprintf(demo, sizeof demo, "%s/a place" PREFIX "/share/poolwright/scenarios/demo", folder);
    snprintf(sheet, sizeof sheet, "%s/cards.csv", demo);
    run_installed(WORDS("check", demo), "1,427 cards");
    run_installed(WORDS("check", sheet, "--model", "four-180"), "1,427 cards");
    Run run; /* as the manual page says */
    run_program("cp", folder, WORDS("-r", "a place" PREFIX "/share/poolwright", "play"), &run);
    run_forget(&run);
    snprintf(demo, sizeof demo, "%s/play", folder);
    run_in(demo, WORDS("why", "scenarios/small", "Mail Dinghy"), "Mail Dinghy is out because");
}

static void the_manual_names_where_they_are(void **state)
{
    (void)state;
    char *page = folder_read(folder, "a place" PREFIX "/share/man/man1/poolwright.1", NULL);
    desk_expect(page, PREFIX "/share/poolwright/models");
    free(page);
    assert_true(folder_has(folder, "a place" PREFIX "/share/man/man1/poolwright-what-if.1"));
}

/* Where the system does not say where the program lies, it looks in the place that it was built for. */
static void the_place_it_was_built_for_is_known(void **state)
{
    (void)state;
    Run run;
    run_program("grep", ".", WORDS("-a", "-c", "-E", "(^|[^.])/[a-z/]+/share/poolwright/models", program), &run);
    assert_true(atoi(run.out) > 0);
    run_forget(&run);
}

static void nothing_is_left(void **state)
{
    (void)state;
    Run run;
    make("uninstall");
    run_program("find", folder, WORDS("a place", "-type", "f", "-o", "-name", "*poolwright*"), &run);
    assert_string_equal(run.out, "");
    run_forget(&run);
}

static int clean_up(void **state)
{
    (void)state;
    folder_remove(folder);
    free(folder);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_program_works_from_there),
        cmocka_unit_test(presets_and_examples_are_there),
        cmocka_unit_test(the_manual_names_where_they_are),
        cmocka_unit_test(the_place_it_was_built_for_is_known),
        cmocka_unit_test(nothing_is_left),
    };
    return cmocka_run_group_tests(tests, install, clean_up);
}
