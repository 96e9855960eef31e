/* test_import_named.c - the sheets of an import as the scenario names them: each once, and only what stays. All data
 * are of an invented game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define MAIN "Card,Colour,Cost\nAsh Kiln,fen,1\nBee Yard,clay,2\nCoal Cart,fen,3\nDusk Bell,clay,4\n"

static void run_shell(const char *folder, const char *command, Run *run)
{
    run_program("sh", folder, (const char *const[]){"-c", command, program_path(), NULL}, run);
}

/* One sheet named twice, by whatever path, would be cards and prices; a copy is a sheet of its own. */
static void a_sheet_is_named_once(void **state)
{
    (void)state;
    static const char *const twice[][2] = {
        {"list.csv", "list.csv: error: the sheet is named twice, expected each sheet once\n"},
        {"./list.csv", "./list.csv: error: the sheet is named twice, before as list.csv, expected each sheet once\n"},
        {"link.csv", "link.csv: error: the sheet is named twice, before as list.csv, expected each sheet once\n"},
    };
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", MAIN);
    folder_print(folder, "copy.csv", MAIN);
    run_shell(folder, "ln -s list.csv link.csv", &run);
    run_forget(&run);
    for (size_t k = 0; k < sizeof twice / sizeof *twice; k++) {
        desk_run(folder, &run, 2, WORDS("import", "list.csv", twice[k][0], "-o", "pool"));
        assert_string_equal(run.err, twice[k][1]);
        assert_false(folder_has(folder, "pool"));
        run_forget(&run);
    }
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "copy.csv", "-o", "pool"));
    run_forget(&run);
    desk_done(folder);
}

/* A pipe is gone when the scenario is read; what is only looked at may come from one. */
static void a_pipe_is_in_no_scenario(void **state)
{
    (void)state;
    static const char *const refused[] = {"cat list.csv | \"$0\" import /dev/fd/3 -o pool 3<&0",
                                          "cat list.csv | \"$0\" init pool --from /dev/fd/3 3<&0"};
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", MAIN);
    for (size_t k = 0; k < 2; k++) {
        run_shell(folder, refused[k], &run);
        desk_expect_code(&run, 2, refused[k]);
        assert_string_equal(run.err, "/dev/fd/3: error: found something that is read once, such as a pipe, expected a "
                                     "file: the scenario names it\n");
        assert_false(folder_has(folder, "pool"));
        run_forget(&run);
    }
    run_shell(folder, "cat list.csv | \"$0\" import /dev/fd/3 3<&0", &run);
    desk_expect_code(&run, 0, "import without a folder");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sheet_is_named_once),
        cmocka_unit_test(a_pipe_is_in_no_scenario),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
