/* test_solvers.c - the exported programme against solvers from outside: CBC and GLPK's glpsol must find the fit that
 * `best` proves, from the LP file and from the MPS file (which minimises the negated fit). Twenty random scenarios of
 * 60 to 150 invented candidates, sized so that all prove. glpsol is GLPK, which the product also uses inside, so CBC is
 * the independent one; both read files that they did not write. This test is not repeated under sanitizers: most of its
 * time goes to the solvers. */
#include <limits.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/tiny.h"

static const uint64_t seeds[] = {1, 2, 5, 11, 13, 17, 20, 21, 25, 27, 29, 36, 38, 39, 43, 44, 48, 51, 55, 59};

/* Both solvers say the optimum in thousandths of fit, as the file does. */
static int64_t whole(const char *text)
{
    double value = strtod(text, NULL);
    assert_true(fabs(value - round(value)) < 1e-4);
    return (int64_t)llround(value);
}

/* No answer of an earlier run may be read. */
static void forget(const char *folder, const char *name)
{
    char path[PATH_MAX];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    unlink(path);
}

static int64_t by_glpsol(const char *folder, const char *format, const char *file)
{
    const char *const arguments[] = {format, file, "--tmlim", "120", "-w", "glpsol.txt", NULL};
    Run run;
    forget(folder, "glpsol.txt");
    run_program("glpsol", folder, arguments, &run);
    char *text = folder_read(folder, "glpsol.txt", NULL);
    const char *line = text != NULL ? strstr(text, "\ns mip ") : NULL;
    int used = 0;
    char status = '?';
    if (line == NULL || sscanf(line, " s mip %*d %*d %c %n", &status, &used) != 1 || status != 'o') {
        fail_msg("glpsol did not prove %s/%s (status %c)\n%.2000s", folder, file, status, run.out);
    }
    int64_t value = whole(line + used);
    free(text);
    run_forget(&run);
    return value;
}

static int64_t by_cbc(const char *folder, const char *file)
{
    const char *const arguments[] = {file, "sec",   "120",      "ratioGap", "0", "allowableGap",
                                     "0",  "solve", "solution", "cbc.txt",  NULL};
    Run run;
    forget(folder, "cbc.txt");
    run_program("cbc", folder, arguments, &run);
    char *text = folder_read(folder, "cbc.txt", NULL);
    static const char optimal[] = "Optimal - objective value ";
    if (text == NULL || strncmp(text, optimal, strlen(optimal)) != 0) {
        fail_msg("cbc did not prove %s/%s: %.60s\n%.2000s", folder, file, text != NULL ? text : "no solution", run.out);
    }
    int64_t value = whole(text + strlen(optimal));
    free(text);
    run_forget(&run);
    return value;
}

static void export_to(const char *folder, const char *file, const char *format)
{
    const char *const arguments[] = {"export", "scenario.yaml", "-o", file, format != NULL ? "--format" : NULL, format,
                                     NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != 0) {
        fail_msg("export to %s: exit code %d\n%s", file, run.code, run.err);
    }
    run_forget(&run);
}

static int64_t by_us(const char *folder)
{
    const char *const arguments[] = {"best", "scenario.yaml", "--gap", "0", "--json", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != 0) {
        fail_msg("best on %s: exit code %d\n%s", folder, run.code, run.err);
    }
    json_t *root = run_json(&run);
    assert_string_equal(json_text(root, "status"), "best");
    int64_t fit = json_units(root, "fit", 1000);
    assert_int_equal(json_units(root, "bound", 1000), fit);
    json_decref(root);
    run_forget(&run);
    return fit;
}

/* Only what the files say: no options of the command line, no case. */
static void plain(Tiny *tiny)
{
    tiny->case_named = false;
    tiny->size_by_command = false;
    tiny->cap_by_command = false;
    for (int c = 0; c < tiny->cards; c++) {
        tiny->card[c].status[BY_COMMAND] = 0;
    }
}

static void check_seed(uint64_t seed)
{
    static Tiny tiny;
    char *folder = folder_new();
    tiny_make_sized(&tiny, seed, 60, 150);
    plain(&tiny);
    tiny_write(&tiny, folder);
    int64_t fit = by_us(folder);
    export_to(folder, "pool.lp", NULL);
    export_to(folder, "pool.mps", NULL);
    export_to(folder, "pool.txt", "mps");
    int64_t found[] = {by_glpsol(folder, "--lp", "pool.lp"), -by_glpsol(folder, "--freemps", "pool.txt"),
                       by_cbc(folder, "pool.lp"), -by_cbc(folder, "pool.mps")};
    static const char *const who[] = {"glpsol on LP", "glpsol on MPS", "cbc on LP", "cbc on MPS"};
    for (int i = 0; i < 4; i++) {
        if (found[i] != fit) {
            fail_msg("scenario %llu in %s: best says %lld, %s says %lld", (unsigned long long)seed, folder,
                     (long long)fit, who[i], (long long)found[i]);
        }
    }
    folder_remove(folder);
    free(folder);
}

static void same_optimum(void **state)
{
    (void)state;
    if (!program_exists("cbc") || !program_exists("glpsol")) {
        print_message("skipped: cbc (coinor-cbc) or glpsol (glpk-utils) is not installed\n");
        skip();
    }
    for (size_t i = 0; i < sizeof seeds / sizeof *seeds; i++) {
        check_seed(seeds[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(same_optimum)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
