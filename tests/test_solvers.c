/* test_solvers.c - the exported programme against solvers from outside: CBC and GLPK's glpsol must find the fit that
 * `best` proves, from the LP file and from the MPS file (which minimises the negated fit). Twenty random scenarios of
 * 60 to 150 invented candidates, sized so that all prove. glpsol is GLPK, which the product also uses inside, so CBC is
 * the independent one; both read files that they did not write. And small programmes of which many cannot be met, most
 * by a row whose lower side is above its upper one: what is said of them against trying every pool. This test is not
 * repeated under sanitizers: most of its time goes to the solvers. */
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

#define NO_POOL INT64_MIN

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
    if (line == NULL || sscanf(line, " s mip %*d %*d %c %n", &status, &used) != 1 || strchr("on", status) == NULL) {
        fail_msg("glpsol did not prove %s/%s (status %c)\n%.2000s", folder, file, status, run.out);
    }
    int64_t value = status == 'n' ? NO_POOL : whole(line + used);
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
    const bool none =
        text != NULL && (strncmp(text, "Infeasible - ", 13) == 0 || strncmp(text, "Integer infeasible", 18) == 0);
    if (text == NULL || (!none && strncmp(text, optimal, strlen(optimal)) != 0)) {
        fail_msg("cbc did not prove %s/%s: %.60s\n%.2000s", folder, file, text != NULL ? text : "no solution", run.out);
    }
    int64_t value = none ? NO_POOL : whole(text + strlen(optimal));
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
    if (run.code != 0 && run.code != 1) {
        fail_msg("best on %s: exit code %d\n%s", folder, run.code, run.err);
    }
    json_t *root = run_json(&run);
    int64_t fit = NO_POOL;
    assert_string_equal(json_text(root, "status"), run.code == 1 ? "infeasible" : "best");
    if (run.code == 0) {
        fit = json_units(root, "fit", 1000);
        assert_int_equal(json_units(root, "bound", 1000), fit);
    }
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

/* Fails the test unless both solvers find this fit in both files; NO_POOL: that there is none. */
static void check_files(const char *folder, uint64_t seed, int64_t fit)
{
    export_to(folder, "pool.lp", NULL);
    export_to(folder, "pool.mps", NULL);
    export_to(folder, "pool.txt", "mps");
    int64_t found[] = {by_glpsol(folder, "--lp", "pool.lp"), by_glpsol(folder, "--freemps", "pool.txt"),
                       by_cbc(folder, "pool.lp"), by_cbc(folder, "pool.mps")};
    static const char *const who[] = {"glpsol on LP", "glpsol on MPS", "cbc on LP", "cbc on MPS"};
    for (int i = 0; i < 4; i++) {
        const bool negated = i % 2 == 1 && found[i] != NO_POOL;
        if ((negated ? -found[i] : found[i]) != fit) {
            fail_msg("scenario %llu in %s: fit %lld, %s says %lld", (unsigned long long)seed, folder, (long long)fit,
                     who[i], (long long)found[i]);
        }
    }
}

static void check_seed(uint64_t seed)
{
    static Tiny tiny;
    char *folder = folder_new();
    tiny_make_sized(&tiny, seed, 60, 150);
    plain(&tiny);
    tiny_write(&tiny, folder);
    check_files(folder, seed, by_us(folder));
    folder_remove(folder);
    free(folder);
}

static bool have_solvers(void)
{
    const bool have = program_exists("cbc") && program_exists("glpsol");
    if (!have)
        print_message("skipped: cbc (coinor-cbc) or glpsol (glpk-utils) is not installed\n");
    return have;
}

static void same_optimum(void **state)
{
    (void)state;
    if (!have_solvers())
        skip();
    for (size_t i = 0; i < sizeof seeds / sizeof *seeds; i++) {
        check_seed(seeds[i]);
    }
}

/* ---- programmes that cannot be met ---- */

enum { LOADS = 7 };

/* The loads are multiples of `grain`, so a band that holds none of these has sides that cross once it is divided. */
typedef struct {
    int size, grain, load[LOADS], low, high; /* the band in halves */
} Laden;

static void make_laden(Laden *laden, Dice *dice, const char *folder)
{
    char model[400], cards[400] = "name,colours,power,load\n";
    *laden = (Laden){.size = dice_roll(dice, 1, 3), .grain = dice_roll(dice, 1, 4)};
    for (int c = 0; c < LOADS; c++) {
        laden->load[c] = laden->grain * dice_roll(dice, 0, 3);
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Tub %c,%s,%d,%d\n", 'A' + c,
                 c % 2 == 0 ? "brass" : "tar", c + 1, laden->load[c]);
    }
    laden->low = dice_roll(dice, 1, 2 * laden->grain * 4);
    laden->high = laden->low + dice_roll(dice, 0, 3);
    snprintf(model, sizeof model,
             "size: %d\ncolours: [brass, tar]\nrules:\n"
             "  - {name: ballast, measure: load, between: [%d.%d, %d.%d]}\n%s",
             laden->size, laden->low / 2, laden->low % 2 * 5, laden->high / 2, laden->high % 2 * 5,
             dice_chance(dice, 20) ? "  - {name: nowhere, where: {kind: raft}, at_most: 0}\n" : "");
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
}

static int64_t best_laden(const Laden *laden)
{
    int64_t best = NO_POOL;
    for (unsigned pool = 0; pool < 1u << LOADS; pool++) {
        int size = 0, load = 0;
        int64_t fit = 0;
        for (int c = 0; c < LOADS; c++) {
            if ((pool >> c & 1) == 0)
                continue;
            size++;
            load += 2 * laden->load[c];
            fit += 1000 * (c + 1);
        }
        if (size == laden->size && load >= laden->low && load <= laden->high && fit > best)
            best = fit;
    }
    return best;
}

static void what_cannot_be_met(void **state)
{
    (void)state;
    if (!have_solvers())
        skip();
    int none = 0, crossing = 0;
    Dice dice;
    dice_seed(&dice, 412);
    for (uint64_t k = 0; k < 60; k++) {
        Laden laden;
        char *folder = folder_new();
        make_laden(&laden, &dice, folder);
        const int64_t fit = best_laden(&laden);
        none += fit == NO_POOL;
        const int64_t said = by_us(folder);
        if (said != fit)
            fail_msg("laden %d in %s: best says %lld, by trying all %lld", (int)k, folder, (long long)said,
                     (long long)fit);
        check_files(folder, k, fit);
        char *mps = folder_read(folder, "pool.mps", NULL);
        crossing += strstr(mps, " G r1l\n") != NULL;
        free(mps);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d of 60 cannot be met, %d by sides that cross\n", none, crossing);
    assert_in_range(none, 20, 50);
    assert_true(crossing >= 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(same_optimum), cmocka_unit_test(what_cannot_be_met)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
