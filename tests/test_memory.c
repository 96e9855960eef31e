/* test_memory.c - every allocation of a run fails once, also those of libraries: the run ends with exit code 4 and says
 * why, or says all that it would have said. Never an answer with something missing; no file half written. Not repeated
 * under sanitizers, which bring allocation of their own.
 *
 * MEMORY_FAILURES=N: so many of each verb (0: every single one); a few dozen, evenly spread, else. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/desk.h"

#define CARDS                                                                                                          \
    "name,colours,kind,power,price,tags,status\n\"Ål, the Eel\",rye,rig,4,1.00,t enabler 2,in\nBell "                 \
    "Cart,teal,rig,5,2.00,,\nCoal Lamp,rye+teal,tool,6,3.00,t payoff,wish\nDrift "                                     \
    "Net,,tool,3,0.50,,in\nEel Pot,teal,tool,2,0.40,,\n"

static unsigned long wanted(void)
{
    const char *given = getenv("MEMORY_FAILURES");
    return given != NULL ? strtoul(given, NULL, 10) : 40;
}

static char *library_path(void)
{
    char *path = NULL;
    const char *program = program_path(), *slash = strrchr(program, '/');
    assert_true(asprintf(&path, "%.*s/tests/fail_malloc.so", (int)(slash - program), program) > 0);
    return path;
}

static void run_failing(const char *folder, const char *library, unsigned long at, const char *const *words, Run *run)
{
    char number[40];
    snprintf(number, sizeof number, "%lu", at);
    setenv("FAIL_MALLOC_AT", number, 1);
    setenv("LD_PRELOAD", library, 1);
    run_poolwright(folder, words, NULL, run);
    unsetenv("LD_PRELOAD");
    unsetenv("FAIL_MALLOC_AT");
    unsetenv("FAIL_MALLOC_COUNT");
}

static unsigned long count_of(const char *folder, const char *library, const char *const *words, Run *run)
{
    setenv("FAIL_MALLOC_COUNT", "count", 1);
    setenv("LD_PRELOAD", library, 1);
    run_poolwright(folder, words, NULL, run);
    unsetenv("LD_PRELOAD");
    unsetenv("FAIL_MALLOC_COUNT");
    char *text = folder_read(folder, "count", NULL);
    assert_non_null(text);
    const unsigned long count = strtoul(text, NULL, 10);
    free(text);
    assert_true(count > 100);
    return count;
}

/* True when it was told. */
static bool assert_told_or_same(const char *folder, const char *library, unsigned long at, const char *const *words,
                                const Run *whole)
{
    Run run;
    run_failing(folder, library, at, words, &run);
    const bool told = run.code == 4 && strcmp(run.err, "error: out of memory\n") == 0 && run.out[0] == '\0',
               same = run.code == whole->code && strcmp(run.out, whole->out) == 0;
    if (!told && !same)
        fail_msg("%s, allocation %lu: exit code %d\n%.500s\n%.500s", words[0], at, run.code, run.out, run.err);
    run_forget(&run);
    return told;
}

/* The first allocations of each library: its start too. */
static void libraries_without_memory(void **state)
{
    (void)state;
    static const struct {
        const char *library;
        bool is_used; /* asks the system for memory itself, not us */
    } from[] = {
        {"libglpk", true}, {"libyaml", true}, {"libunistring", true}, {"libjansson", false}, {"libpcre2", false}};
    const char *const words[] = {"best", "scenario.yaml", "--engine", "reference", "--json", NULL};
    char *folder = desk_folder("", "", CARDS), *library = library_path();
    Run whole;
    run_poolwright(folder, words, NULL, &whole);
    desk_expect_code(&whole, 0, "with memory");
    for (size_t k = 0; k < sizeof from / sizeof *from; k++) {
        int told = 0;
        setenv("FAIL_MALLOC_IN", from[k].library, 1);
        for (unsigned long at = 1; at <= 12; at++)
            told += assert_told_or_same(folder, library, at, words, &whole);
        unsetenv("FAIL_MALLOC_IN");
        if ((told > 0) != from[k].is_used)
            fail_msg("%s: told %d times", from[k].library, told);
    }
    run_forget(&whole);
    free(library);
    desk_done(folder);
}

/* Libraries that read workbooks. */
static void workbooks_without_memory(void **state)
{
    (void)state;
    static const char *const from[] = {"libexpat", "libz."};
    const char *const words[] = {"check", "list.xlsx#cards", "--model", "model.yaml", "--rules", NULL};
    char *folder = folder_new(), *library = library_path();
    size_t length;
    char *book = folder_read("tests/data/workbooks", "openpyxl.xlsx", &length);
    Run whole;
    folder_write(folder, "list.xlsx", book, length);
    folder_print(folder, "model.yaml", "size: 2\ncolours: [brass, tar, glass]\nunpriced: skip\n");
    run_poolwright(folder, words, NULL, &whole);
    desk_expect_code(&whole, 0, "with memory");
    for (size_t k = 0; k < sizeof from / sizeof *from; k++) {
        setenv("FAIL_MALLOC_IN", from[k], 1);
        int told = 0;
        for (unsigned long at = 1; at <= 12; at++)
            told += assert_told_or_same(folder, library, at, words, &whole);
        unsetenv("FAIL_MALLOC_IN");
        if (told < 6)
            fail_msg("%s: told %d times", from[k], told);
    }
    run_forget(&whole);
    free(book);
    free(library);
    folder_remove(folder);
    free(folder);
}

static void no_memory_is_told(void **state)
{
    (void)state;
    static const char *const asked[][9] = {
        {"check", "scenario.yaml", "--json"},
        {"best", "scenario.yaml", "--json", "-o", "pool.csv"},
        {"best", "scenario.yaml", "--rules"},
        {"best", "scenario.yaml", "--engine", "reference", "--json"},
        {"why", "scenario.yaml", "Bell Cart", "--json"},
        {"swap", "scenario.yaml", "--json"},
        {"what-if", "scenario.yaml", "--json", "--csv", "all.csv"},
        {"revise", "scenario.yaml", "--json"},
        {"audit", "scenario.yaml", "--json"},
        {"find", "scenario.yaml", "--text", "x|y", "--json"},
        {"export", "scenario.yaml"},
    };
    char *folder = desk_folder("spending_cap: 6.00\nrules:\n  - {name: rigs, where: {kind: rig}, at_least: 1}\n",
                               "cases:\n  - {name: dear, change: {spending_cap: 9.00}}\n", CARDS),
         *library = library_path();
    if (access(library, R_OK) != 0)
        fail_msg("%s is missing: make tests", library);
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        Run whole;
        const unsigned long count = count_of(folder, library, asked[k], &whole),
                            step = wanted() == 0 || count <= wanted() ? 1 : count / wanted();
        for (unsigned long at = 1 + k % step; at <= count; at += step)
            assert_told_or_same(folder, library, at, asked[k], &whole);
        run_forget(&whole);
    }
    Run run;
    run_program("sh", folder, WORDS("-c", "ls -A | grep -c tmp"), &run);
    assert_string_equal(run.out, "0\n");
    run_forget(&run);
    free(library);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_memory_is_told), cmocka_unit_test(libraries_without_memory),
                                       cmocka_unit_test(workbooks_without_memory)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
