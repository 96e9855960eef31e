/* test_mathprog.c - the rules of a pool written a second time, by hand and independently of the product, as a MathProg
 * model (tests/mathprog/pool.mod, pool.dat); GLPK's glpsol solves it, and `best` on the same cards and rules
 * (tests/mathprog/scenario.yaml) must find the same optimum, at several caps. The cards are invented. */
#include <limits.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define SOURCES "tests/mathprog"

static const char *full_path(const char *name, char path[PATH_MAX])
{
    char relative[256];
    snprintf(relative, sizeof relative, SOURCES "/%s", name);
    if (realpath(relative, path) == NULL) {
        fail_msg("%s is missing; run the test from the top folder", relative);
    }
    return path;
}

/* The optimum in thousandths; INT64_MIN when there is none. */
static int64_t by_glpsol(const char *folder, const char *cap)
{
    char model[PATH_MAX];
    char data[PATH_MAX];
    char text[100];
    snprintf(text, sizeof text, "data;\nparam cap := %s;\nend;\n", cap);
    folder_print(folder, "cap.dat", text);
    const char *const arguments[] = {
        "-m", full_path("pool.mod", model), "-d", full_path("pool.dat", data), "-d", "cap.dat", "-w", "out.txt", NULL};
    Run run;
    run_program("glpsol", folder, arguments, &run);
    char *out = folder_read(folder, "out.txt", NULL);
    char status = '?';
    double value = 0;
    const char *line = out != NULL ? strstr(out, "\ns mip ") : NULL;
    if (line == NULL || sscanf(line, " s mip %*d %*d %c %lf", &status, &value) != 2 ||
        (status != 'o' && status != 'n')) {
        fail_msg("glpsol gave no proof (status %c)\n%.2000s", status, run.out);
    }
    free(out);
    run_forget(&run);
    return status == 'o' ? (int64_t)llround(value * 1000) : INT64_MIN;
}

static int64_t by_us(const char *folder, const char *cap, const char *engine)
{
    char scenario[PATH_MAX];
    const char *const arguments[] = {
        "best", full_path("scenario.yaml", scenario), "--cap", cap, "--gap", "0", "--engine", engine, "--json", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code > 1) {
        fail_msg("exit code %d\n%s", run.code, run.err);
    }
    json_t *root = run_json(&run);
    bool best = strcmp(json_text(root, "status"), "best") == 0;
    assert_int_equal(run.code, best ? 0 : 1);
    if (!best) {
        assert_string_equal(json_text(root, "status"), "infeasible");
    }
    int64_t fit = best ? json_units(root, "fit", 1000) : INT64_MIN;
    json_decref(root);
    run_forget(&run);
    return fit;
}

static void same_optimum_as_the_mathprog_model(void **state)
{
    (void)state;
    static const char *const caps[] = {"20", "26", "27", "28", "29", "31.50", "38", "90"};
    if (!program_exists("glpsol")) {
        print_message("skipped: glpsol (glpk-utils) is not installed\n");
        skip();
    }
    char *folder = folder_new();
    int feasible = 0;
    int infeasible = 0;
    for (size_t i = 0; i < sizeof caps / sizeof *caps; i++) {
        int64_t expected = by_glpsol(folder, caps[i]);
        int64_t fast = by_us(folder, caps[i], "fast");
        int64_t reference = by_us(folder, caps[i], "reference");
        if (fast != expected || reference != expected) {
            fail_msg("cap %s: glpsol says %lld, best says %lld, with the reference engine %lld", caps[i],
                     (long long)expected, (long long)fast, (long long)reference);
        }
        feasible += expected != INT64_MIN;
        infeasible += expected == INT64_MIN;
    }
    assert_true(feasible >= 5);
    assert_true(infeasible >= 1);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(same_optimum_as_the_mathprog_model)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
