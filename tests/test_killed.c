/* test_killed.c - a what-if that is killed at any moment: files are the old ones or the new ones, and whole. Runs of
 * the demo are searched far, so this is not repeated under sanitizers. */
#include <dirent.h>
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/run.h"
#include "support/small_cases.h"

/* Starts the program in a folder, kills it after so many microseconds. True if it had ended by then. */
static bool kill_after(const char *where, const char *scenario, const char *folder, int signal_number, useconds_t delay)
{
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (chdir(where) != 0 || freopen("/dev/null", "w", stdout) == NULL || freopen("/dev/null", "w", stderr) == NULL)
            _exit(127);
        execl(program_path(), "poolwright", "what-if", scenario, "--gap", "0.5%", "--all", "-o", folder, (char *)NULL);
        _exit(127);
    }
    usleep(delay);
    kill(child, signal_number);
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_false(WIFEXITED(status) && WEXITSTATUS(status) == 127);
    return WIFEXITED(status);
}

static size_t lines_in(const char *text, size_t length)
{
    size_t lines = 0;
    for (size_t k = 0; k < length; k++)
        lines += text[k] == '\n';
    return lines;
}

/* Each named file is the whole one, if it is there. After SIGTERM the program ends in order, with the best pools so
 * far: other files perhaps, but whole ones. The lists hold all candidates, the comparison all cases. */
static int whole_files(const char *folder, const char *whole, bool unfinished_too)
{
    int files = 0;
    DIR *entries = opendir(folder);
    for (struct dirent *entry; entries != NULL && (entry = readdir(entries)) != NULL;) {
        if (entry->d_name[0] == '.')
            continue;
        if (strstr(entry->d_name, ".tmp") !=
            NULL) { /* SIGKILL leaves the file that was being written, under another name */
            assert_false(unfinished_too);
            continue;
        }
        size_t length, expected;
        char *is = folder_read(folder, entry->d_name, &length), *should = folder_read(whole, entry->d_name, &expected);
        assert_non_null(should);
        const bool same = length == expected && memcmp(is, should, length) == 0;
        const bool whole_too =
            unfinished_too && length > 2 && is[length - 1] == '\n' &&
            (strcmp(entry->d_name, "cards.csv") == 0 || lines_in(is, length) == lines_in(should, expected) ||
             strcmp(entry->d_name, "comparison.csv") == 0);
        if (!same && !whole_too)
            fail_msg("%s is there with %zu of %zu bytes", entry->d_name, length, expected);
        free(is);
        free(should);
        files++;
    }
    if (entries != NULL)
        closedir(entries);
    return files;
}

static void files_are_whole_or_absent(void **state)
{
    (void)state;
    char *whole = folder_new();
    const char *const arguments[] = {"what-if", "scenarios/demo", "--gap", "0.5%", "--all", "-o", whole, NULL};
    Run run;
    run_poolwright(".", arguments, NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    int seen[10] = {0}, kinds = 0;
    for (int k = 0; k < 24; k++) {
        char *folder = folder_new();
        const bool hard = k % 2 == 0;
        kill_after(".", "scenarios/demo", folder, hard ? SIGKILL : SIGTERM, (useconds_t)(12000 * k));
        int files = whole_files(folder, whole, !hard);
        seen[files < 9 ? files : 9]++;
        folder_remove(folder);
        free(folder);
    }
    for (int k = 0; k < 10; k++)
        kinds += seen[k] > 0;
    assert_true(kinds >= 2); /* some were killed early, some late */
    folder_remove(whole);
    free(whole);
}

static const char *const small_outputs[] = {"base.csv",   "dear-lamp.csv", "no-bell.csv",   "more.csv",
                                            "scores.csv", "cards.csv",     "comparison.csv"};
#define SMALL_OUTPUTS (sizeof small_outputs / sizeof *small_outputs)

static const char *const old_text = "what was there before\n";

/* Each file is the old one or the new one, whole. How many are new. */
static int old_or_new(const char *folder, char *const *whole)
{
    int fresh = 0;
    for (size_t k = 0; k < SMALL_OUTPUTS; k++) {
        char *is = folder_read(folder, small_outputs[k], NULL);
        assert_non_null(is);
        const bool changed = strcmp(is, old_text) != 0;
        if (changed && strcmp(is, whole[k]) != 0)
            fail_msg("%s is neither the old nor the new file:\n%s", small_outputs[k], is);
        fresh += changed;
        free(is);
    }
    return fresh;
}

static void run_killed(const char *folder, const char *out, const char *call, int at, Run *run)
{
    char library[4200], number[20];
    const char *program = program_path(), *slash = strrchr(program, '/');
    snprintf(library, sizeof library, "%.*s/tests/fail_call.so", (int)(slash - program), program);
    snprintf(number, sizeof number, "%d", at);
    setenv("FAIL_CALL", call, 1);
    setenv("FAIL_CALL_AT", number, 1);
    setenv("FAIL_CALL_KILLS", "1", 1);
    setenv("LD_PRELOAD", library, 1);
    run_poolwright(folder, (const char *const[]){"what-if", "scenario.yaml", "--gap", "0.5%", "--all", "-o", out, NULL},
                   NULL, run);
    unsetenv("LD_PRELOAD");
    unsetenv("FAIL_CALL_KILLS");
    unsetenv("FAIL_CALL_AT");
    unsetenv("FAIL_CALL");
}

/* Killed at each call with which it writes seven files over older ones. */
static void killed_at_each_call(void **state)
{
    (void)state;
    static const char *const call[] = {"open", "write", "fsync", "close", "rename"};
    char *small = small_cases(), *out = folder_new(), *whole[SMALL_OUTPUTS];
    int seen[SMALL_OUTPUTS + 1] = {0}, kills = 0;
    Run run;
    run_killed(small, out, "none", 0, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    for (size_t k = 0; k < SMALL_OUTPUTS; k++)
        assert_non_null(whole[k] = folder_read(out, small_outputs[k], NULL));
    for (size_t c = 0; c < sizeof call / sizeof *call; c++) {
        int code = 128 + SIGKILL;
        for (int at = 1; code != 0; at++) {
            for (size_t f = 0; f < SMALL_OUTPUTS; f++)
                folder_print(out, small_outputs[f], old_text);
            run_killed(small, out, call[c], at, &run);
            code = run.code;
            run_forget(&run);
            assert_true(code == 0 || code == 128 + SIGKILL);
            seen[old_or_new(out, whole)]++;
            kills += code != 0;
        }
    }
    for (size_t k = 0; k <= SMALL_OUTPUTS; k++)
        assert_true(seen[k] > 0);
    print_message("killed %d times: %d before the first file\n", kills, seen[0]);
    for (size_t k = 0; k < SMALL_OUTPUTS; k++)
        free(whole[k]);
    folder_remove(out);
    folder_remove(small);
    free(out);
    free(small);
}

int main(void)
{
    signals_as_usual();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_are_whole_or_absent),
        cmocka_unit_test(killed_at_each_call),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
