/* test_whatif.c - what-ifs, audits and revisions from outside: the demo's cases, files that are whole or absent, the
 * same answer on any number of threads, changes of single candidates, newcomers. The small scenario's cards are
 * invented. Runs of the demo are searched far, so this is not repeated under sanitizers. */
#include <dirent.h>
#include <limits.h>
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

static char top[4096];

static void run_here(const char *folder, Run *run, const char *const *arguments)
{
    run_poolwright(folder, arguments, NULL, run);
}

static json_t *ask(const char *folder, int code, const char *const *arguments)
{
    Run run;
    run_here(folder, &run, arguments);
    if (run.code != code)
        fail_msg("%s: exit code %d, expected %d\n%.1500s", arguments[0], run.code, code, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

static const json_t *named(const json_t *list, const char *name)
{
    for (size_t k = 0; k < json_array_size(list); k++)
        if (strcmp(json_text(json_array_get(list, k), "name"), name) == 0)
            return json_array_get(list, k);
    return NULL;
}

/* ---- the demo ---- */

static void the_frontier_never_falls(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "scenarios/demo", "--caps", "60..700/40,none",
                                            "--json",  "--gap",          "0.05%",  NULL};
    json_t *root = ask(top, 0, arguments);
    const json_t *cases = json_object_get(root, "cases");
    int64_t fit = INT64_MIN, bound = INT64_MIN;
    size_t pools = 0;
    for (size_t k = 1; k < json_array_size(cases); k++) {
        const json_t *item = json_array_get(cases, k);
        if (strcmp(json_text(item, "status"), "infeasible") == 0) {
            assert_int_equal(pools, 0); /* too little money comes first */
            continue;
        }
        pools++;
        assert_true(json_units(item, "fit", 1000) >= fit);
        assert_true(json_units(item, "bound", 1000) >= bound);
        fit = json_units(item, "fit", 1000);
        bound = json_units(item, "bound", 1000);
        assert_true(bound >= fit && (bound - fit) * 10000 <= fit * 5 + 10000);
        if (json_is_number(json_object_get(item, "cap")))
            assert_true(json_units(item, "cost", 100) <= json_units(item, "cap", 100));
    }
    assert_true(pools >= 15);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    assert_true(json_units(json_object_get(frontier, "least_cap"), "at_most", 100) > 6000);
    assert_true(json_is_number(json_object_get(frontier, "knee")));
    json_decref(root);
}

/* Steps near the demo's cap: each is bought at its cap and not for a cent less, by searches of these caps alone. */
static void steps_of_the_demo(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "scenarios/demo", "--caps", "299.78..300", "--json", NULL};
    json_t *root = ask(top, 0, arguments);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0),
                 *names = json_object_get(frontier, "cases");
    const size_t steps = json_array_size(names);
    assert_true(json_is_true(json_object_get(frontier, "steps")));
    assert_true(steps >= 2);
    char caps[512] = "";
    int64_t cap[8] = {0}, fit[8] = {0};
    for (size_t k = 0; k < steps && k < 8; k++) {
        const json_t *item = named(json_object_get(root, "cases"), json_string_value(json_array_get(names, k)));
        cap[k] = json_units(item, "cap", 100);
        fit[k] = json_units(item, "fit", 1000);
        assert_int_equal(json_units(item, "cost", 100), cap[k]);
        snprintf(caps + strlen(caps), sizeof caps - strlen(caps), "%s%lld.%02lld,%lld.%02lld", k > 0 ? "," : "",
                 (long long)((cap[k] - 1) / 100), (long long)((cap[k] - 1) % 100), (long long)(cap[k] / 100),
                 (long long)(cap[k] % 100));
    }
    json_decref(root);
    const char *const each[] = {"what-if", "scenarios/demo", "--caps", caps, "--json", "--gap", "0", NULL};
    root = ask(top, 0, each);
    const json_t *cases = json_object_get(root, "cases");
    size_t seen = 0;
    for (size_t c = 1; c < json_array_size(cases); c++) {
        const json_t *item = json_array_get(cases, c);
        assert_string_equal(json_text(item, "status"), "best");
        for (size_t k = 0; k < steps; k++) {
            if (json_units(item, "cap", 100) == cap[k])
                assert_int_equal(json_units(item, "fit", 1000), fit[k]);
            if (json_units(item, "cap", 100) == cap[k] - 1)
                assert_true(json_units(item, "fit", 1000) < fit[k]);
            seen += json_units(item, "cap", 100) == cap[k] || json_units(item, "cap", 100) == cap[k] - 1;
        }
    }
    assert_int_equal(seen, 2 * steps);
    json_decref(root);
}

/* With little effort only the upper steps are proven; below, round caps. Still it never falls, and the lines say which
 * is which. */
static void some_steps_and_a_grid(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if",  "scenarios/demo", "--caps", "290..300",
                                            "--effort", "100k",           "--json", NULL};
    json_t *root = ask(top, 0, arguments);
    const json_t *cases = json_object_get(root, "cases"),
                 *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    assert_true(json_is_false(json_object_get(frontier, "steps")));
    const int64_t from = json_units(frontier, "every_step_from", 100);
    int64_t cap = -1, fit = INT64_MIN;
    size_t exact = 0, grid = 0;
    assert_int_equal(json_array_size(cases), 1 + json_array_size(json_object_get(frontier, "cases")));
    for (size_t k = 1; k < json_array_size(cases); k++) {
        const json_t *item = json_array_get(cases, k);
        assert_true(json_units(item, "cap", 100) > cap && json_units(item, "fit", 1000) >= fit);
        cap = json_units(item, "cap", 100);
        fit = json_units(item, "fit", 1000);
        if (cap >= from)
            assert_string_equal(json_text(item, "status"), "best");
        exact += cap >= from;
        grid += cap < from;
    }
    assert_true(exact >= 1 && grid >= 2);
    json_decref(root);
}

/* What structure adds is the sum of what its parts add. */
static void structure_is_compared(const json_t *item)
{
    const json_t *forms = json_object_get(item, "structure");
    int64_t sum = 0;
    for (size_t k = 0; k < json_array_size(forms); k++)
        sum += json_units(json_array_get(forms, k), "fit", 1000);
    assert_true(sum > 0);
    assert_int_equal(json_units(item, "structure_adds", 1000), sum);
}

/* The effort is a limit wherever it is used up, also while a step is made cheaper. */
static void steps_end_with_the_effort(void **state)
{
    (void)state;
    static const char *const effort[] = {"300", "1000", "2000", "3000", "4000", "5000", "8000", "20k", "30k"};
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        Run run;
        run_program("timeout", top,
                    (const char *const[]){"120", program_path(), "what-if", "scenarios/small", "--caps", "60..90",
                                          "--effort", effort[k], NULL},
                    &run);
        if (run.code != 0 && run.code != 3)
            fail_msg("--effort %s: exit code %d\n%s", effort[k], run.code, run.err);
        run_forget(&run);
    }
}

/* Every pool that what-if writes keeps the rules of its case when it is counted as a list of the user's. */
static void the_six_cases_are_sound(void **state)
{
    (void)state;
    char *folder = folder_new();
    static const struct {
        const char *name, *file;
    } six[] = {{"five forty", "five-forty.csv"},     {"tighter cap", "tighter-cap.csv"},
               {"more removal", "more-removal.csv"}, {"grand convoy", "grand-convoy.csv"},
               {"level waters", "level-waters.csv"}, {"quick tides", "quick-tides.csv"}};
    const char *const arguments[] = {"what-if", "scenarios/demo", "-o", folder, "--json", NULL};
    json_t *root = ask(top, 0, arguments);
    const json_t *cases = json_object_get(root, "cases");
    assert_int_equal(json_array_size(cases), 7);
    for (size_t k = 0; k < 6; k++) {
        char list[8192];
        snprintf(list, sizeof list, "%s/%s", folder, six[k].file);
        const char *const audit[] = {"audit", "scenarios/demo", list, "--case", six[k].name, "--json", NULL};
        json_t *counted = ask(top, 0, audit);
        const json_t *said = named(cases, six[k].name);
        assert_non_null(said);
        assert_int_equal(json_units(counted, "fit", 1000), json_units(said, "fit", 1000));
        assert_int_equal(json_units(counted, "cost", 100), json_units(said, "cost", 100));
        json_decref(counted);
        structure_is_compared(said);
    }
    assert_true(folder_has(folder, "base.csv") && folder_has(folder, "comparison.csv") &&
                folder_has(folder, "cards.csv"));
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* The demo's present pool: what is broken of its structure stands among the limits, counted by hand from the list
 * (docs/whatif.md shows it). */
static void structure_is_audited(void **state)
{
    (void)state;
    static const struct {
        const char *name, *kind;
        int limit, use;
    } expected[] = {{"places (brass)", "places", 45, 42},
                    {"places (glass)", "places", 30, 28},
                    {"places (tar)", "places", 45, 35},
                    {"under the fog", "needs", 1, 0},
                    {"the table's jokes", "group", 2, 1}};
    static const char *const arguments[] = {"audit", "scenarios/demo", "--json", NULL};
    json_t *root = ask(top, 1, arguments);
    const json_t *broken = json_object_get(root, "broken");
    assert_int_equal(json_array_size(broken), 17);
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        const json_t *item = named(broken, expected[k].name);
        assert_non_null(item);
        assert_string_equal(json_text(item, "kind"), expected[k].kind);
        assert_int_equal(json_integer_value(json_object_get(json_object_get(item, "limit"), "at_least")),
                         expected[k].limit);
        assert_int_equal(json_integer_value(json_object_get(item, "use")), expected[k].use);
        assert_int_equal(json_integer_value(json_object_get(item, "off_by")), expected[k].limit - expected[k].use);
        assert_true(json_integer_value(json_object_get(item, "line")) > 0);
    }
    json_decref(root);
}

static void threads_change_nothing(void **state)
{
    (void)state;
    static const char *const verbs[][6] = {
        {"what-if", "scenarios/demo", "--threads", "1", NULL},
        {"revise", "scenarios/small", "scenarios/demo/pool.csv", "--threads", "1", NULL},
        {"audit", "scenarios/demo", "--threads", "1", NULL}};
    for (size_t v = 0; v < 3; v++) {
        const char *arguments[6];
        Run one, two;
        memcpy(arguments, verbs[v], sizeof arguments);
        run_here(top, &one, arguments);
        for (int k = 0; k < 5; k++)
            if (arguments[k] != NULL && strcmp(arguments[k], "1") == 0)
                arguments[k] = "2";
        run_here(top, &two, arguments);
        assert_int_equal(one.code, two.code);
        assert_true(one.out_length > 100);
        assert_string_equal(one.out, two.out);
        run_forget(&one);
        run_forget(&two);
    }
}

/* ---- a kill at any moment ---- */

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
    run_here(top, &run, arguments);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    int seen[10] = {0}, kinds = 0;
    for (int k = 0; k < 24; k++) {
        char *folder = folder_new();
        const bool hard = k % 2 == 0;
        kill_after(top, "scenarios/demo", folder, hard ? SIGKILL : SIGTERM, (useconds_t)(12000 * k));
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

/* ---- a small scenario ---- */

static char *small_folder(void)
{
    char *folder = folder_new();
    folder_print(
        folder, "cards.csv",
        "name,colours,power,price,owned,tags\n"
        "Amber Lamp,rye,5,1.00,,\nBroad Bell,rye,4,1.00,,\nCopper Drum,rye,3,0.50,,\nDull Gong,rye,2,0.20,,\n"
        "Elm Flute,teal,5,2.00,,\nFir Horn,teal,4,1.00,,\nGorse Lyre,teal,3,0.50,1,\nHazel Reed,teal,2,0.10,,\n");
    folder_print(folder, "model.yaml",
                 "size: 4\nspending_cap: 3.00\ncolours: [rye, teal]\nrules:\n  - {name: mono, each: colour, where: "
                 "{class: mono}, exactly: 2}\n");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\npool_owned: no\ncases:\n"
                 "  - {name: dear lamp, cards: {Amber Lamp: {price: 9.00}}}\n"
                 "  - {name: no bell, cards: {broad bell: {ban: yes}, Hazel Reed: {keep: yes}}}\n"
                 "  - {name: more, files: [more.csv]}\n"
                 "  - {name: scores, cards: {Dull Gong: {power: 9, owned: 1}}}\n");
    folder_print(folder, "more.csv",
                 "name,colours,power,price\nIron Harp,teal,7,0.30\nJet Rattle,rye,2.5,0.40\nKelp Pipe,teal,1,0.40\n");
    folder_print(folder, "pool.csv", "name\nCopper Drum\nDull Gong\nGorse Lyre\nHazel Reed\n");
    return folder;
}

static int64_t fit_of(const json_t *root, const char *name)
{
    const json_t *item = named(json_object_get(root, "cases"), name);
    assert_non_null(item);
    assert_string_equal(json_text(item, "status"), "best");
    return json_units(item, "fit", 1000);
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

/* Killed at 300 moments of a run of a few thousandths of a second, most of them while it writes seven files over older
 * ones. */
static void killed_at_many_moments(void **state)
{
    (void)state;
    char *small = small_folder(), *out = folder_new(), *whole[SMALL_OUTPUTS];
    int seen[SMALL_OUTPUTS + 1] = {0}, kinds = 0, between = 0;
    const char *const arguments[] = {"what-if", "scenario.yaml", "--gap", "0.5%", "--all", "-o", out, NULL};
    Run run;
    run_here(small, &run, arguments);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    for (size_t k = 0; k < SMALL_OUTPUTS; k++)
        assert_non_null(whole[k] = folder_read(out, small_outputs[k], NULL));
    useconds_t last = 1000;
    while (last < 2000000 && !kill_after(small, "scenario.yaml", out, SIGKILL, last))
        last += last / 4; /* how long a run takes here */
    for (useconds_t k = 0; k < 300; k++) {
        for (size_t f = 0; f < SMALL_OUTPUTS; f++)
            folder_print(out, small_outputs[f], old_text);
        kill_after(small, "scenario.yaml", out, SIGKILL, last * k / 300);
        const int fresh = old_or_new(out, whole);
        seen[fresh]++;
        between += fresh > 0 && fresh < (int)SMALL_OUTPUTS;
    }
    for (size_t k = 0; k <= SMALL_OUTPUTS; k++)
        kinds += seen[k] > 0;
    print_message("killed 300 times: %d before the first file, %d between, %d after the last\n", seen[0], between,
                  seen[SMALL_OUTPUTS]);
    assert_true(seen[0] > 0 && between > 0 && kinds >= 3);
    for (size_t k = 0; k < SMALL_OUTPUTS; k++)
        free(whole[k]);
    folder_remove(out);
    folder_remove(small);
    free(out);
    free(small);
}

/* By hand: within 3.00 the base takes Lamp 5 + Bell 4 (2.00), and of teal Horn 4 (1.00) + Lyre 3 (owned) = 16. */
static void cases_change_candidates(void **state)
{
    (void)state;
    char *folder = small_folder();
    static const char *const arguments[] = {"what-if", "scenario.yaml", "--json", "--gap", "0", NULL};
    json_t *root = ask(folder, 0, arguments);
    assert_int_equal(fit_of(root, "base"), 16000);
    assert_int_equal(fit_of(root, "dear lamp"), 14000); /* Bell 4 + Drum 3 (1.50), Horn 4 + Lyre 3 (1.00) */
    assert_int_equal(fit_of(root, "no bell"), 14000);   /* Lamp 5 + Drum 3 (1.50), Reed 2 (0.10) + Horn 4 (1.00) */
    assert_int_equal(fit_of(root, "more"), 19000);      /* Lamp 5 + Bell 4 (2.00), Harp 7 (0.30), Lyre 3 */
    assert_int_equal(fit_of(root, "scores"), 22000);    /* Gong 9 (owned) + Lamp 5 (1.00), Flute 5 (2.00), Lyre 3 */
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void newcomers_are_judged(void **state)
{
    (void)state;
    char *folder = small_folder();
    static const char *const arguments[] = {"revise", "scenario.yaml", "--new", "more.csv",
                                            "--json", "--gap",         "0",     NULL};
    json_t *root = ask(folder, 0, arguments);
    const json_t *list = json_object_get(root, "new"), *harp = named(list, "Iron Harp"),
                 *rattle = named(list, "Jet Rattle"), *pipe = named(list, "Kelp Pipe");
    assert_int_equal(json_array_size(list), 3);
    assert_string_equal(json_text(harp, "verdict"), "in");
    assert_int_equal(json_units(harp, "worth_at_least", 1000), 3000); /* 19 against 16 */
    assert_int_equal(json_units(harp, "worth_at_most", 1000), 3000);
    assert_non_null(named(json_object_get(harp, "instead_of"), "Fir Horn"));
    assert_string_equal(json_text(rattle, "verdict"), "no");
    assert_int_equal(json_units(rattle, "worth_at_least", 1000),
                     -500); /* for Bell; the 0.60 saved make Horn of Lyre: 18.5 */
    assert_non_null(named(json_object_get(rattle, "instead_of"), "Broad Bell"));
    assert_string_equal(json_text(pipe, "verdict"), "no");
    assert_int_equal(json_units(pipe, "worth_at_most", 1000), -2000); /* for Lyre: Lamp, Bell, Harp, Pipe = 17 */
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void mistakes_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *argument[6];
        const char *piece;
    } wrong[] = {
        {{"what-if", "scenario.yaml", "--caps", "3..1/1", NULL}, "--caps: found '3..1/1'"},
        {{"what-if", "scenario.yaml", "--caps", "1..2,3", NULL}, "--caps: found '3'"},
        {{"what-if", "scenario.yaml", "--caps", "x", NULL}, "expected amounts such as"},
        {{"what-if", "scenario.yaml", "--sizes", "4..8", NULL}, "--sizes: found '4..8'"},
        {{"what-if", "scenario.yaml", "--sizes", "0", NULL}, "--sizes: found '0'"},
        {{"what-if", "scenario.yaml", "--plot", "x.svg", NULL}, "--plot needs --caps"},
        {{"what-if", "scenario.yaml", "-o", "-", NULL}, "expected a folder"},
        {{"audit", "scenario.yaml", "none.csv", NULL}, "cannot read 'none.csv'"},
        {{"audit", "scenario.yaml", "model.yaml", NULL}, "found no candidate in the list"},
        {{"revise", "scenario.yaml", "--swaps", "-1", NULL}, "--swaps: found '-1'"},
        {{"revise", "scenario.yaml", "--spend", "much", NULL}, "--spend: found 'much'"},
    };
    char *folder = small_folder();
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        run_here(folder, &run, wrong[k].argument);
        if (run.code != 2 || strstr(run.err, wrong[k].piece) == NULL || run.out_length > 0)
            fail_msg("%s %s: exit code %d, %.800s", wrong[k].argument[0], wrong[k].argument[2], run.code, run.err);
        run_forget(&run);
    }
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\ncases:\n  - {name: odd, cards: {Amber Lmp: {ban: yes}}}\n");
    static const char *const misspelt[] = {"what-if", "scenario.yaml", NULL};
    Run run;
    run_here(folder, &run, misspelt);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "in case 'odd': no candidate is called 'Amber Lmp'; did you mean 'Amber Lamp'?"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A model scaled to its own size is unchanged. */
static void its_own_size_changes_nothing(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "scenarios/demo", "--sizes", "360", "--caps",
                                            "300",     "--json",         NULL};
    json_t *root = ask(top, 0, arguments);
    const json_t *item = named(json_object_get(root, "cases"), "360 cards, cap 300.00");
    assert_non_null(item);
    assert_int_equal(json_array_size(json_object_get(item, "scaled")), 0);
    const json_t *base = named(json_object_get(root, "cases"), "base");
    assert_int_equal(json_units(item, "fit", 1000), json_units(base, "fit", 1000));
    assert_int_equal(json_array_size(json_object_get(item, "enters")), 0);
    assert_int_equal(json_array_size(json_object_get(item, "newly_tight")), 0);
    json_decref(root);
    static const char *const other[] = {"what-if", "scenarios/demo", "--sizes", "540", "--caps", "300", "--json", NULL};
    root = ask(top, 0, other);
    item = named(json_object_get(root, "cases"), "540 cards, cap 300.00");
    assert_true(json_array_size(json_object_get(item, "scaled")) > 50); /* so the check above can fail */
    assert_int_equal(json_integer_value(json_object_get(item, "enough_for_seats")), 8);
    assert_int_equal(json_units(item, "draft_sees", 1000), 66667);
    json_decref(root);
}

/* At least 1 of 100 is at least 1 of 4: Pale, the weakest card, stays in the small pool. */
static void one_never_vanishes(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                            "--sizes", "4,10",      "--json",  NULL};
    char *folder = folder_new(), cards[4096] = "name,colours,power,tags\nPale,rye,0,rare\n";
    for (int k = 0; k < 99; k++)
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Card %d,rye,%d,\n", k, 1 + k % 9);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml",
                 "size: 100\ncolours: [rye]\nrules:\n  - {name: rare, where: {tag: rare}, at_least: 1}\n");
    json_t *root = ask(folder, 0, arguments);
    assert_int_equal(fit_of(root, "4 cards"), 27000); /* 9 + 9 + 9 + 0 */
    assert_int_equal(fit_of(root, "10 cards"), 81000);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* With 4.60 the best fit is 11.1: Tide Gate and Rope Coil are cheapest, and nothing of the base stays; Bell Buoy and
 * Small Skiff have as much for 4.50, which is one swap. */
static void nearest_to_the_base(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                            "--caps",  "4.60",      "--json",  NULL};
    char *folder = folder_new();
    folder_print(folder, "cards.csv",
                 "name,colours,power,price\nGrand Barge,tar,10,10\nSmall Skiff,tar,5,0.50\nTide Gate,tar,6,2\n"
                 "Bell Buoy,tar,6.1,4\nRope Coil,tar,5.1,0.70\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [tar]\n");
    json_t *root = ask(folder, 0, arguments);
    const json_t *item = json_array_get(json_object_get(root, "cases"), 1), *nearest = json_object_get(item, "nearest");
    assert_non_null(nearest);
    assert_int_equal(json_array_size(json_object_get(item, "enters")), 2);
    assert_int_equal(json_integer_value(json_object_get(nearest, "changes")), 2);
    assert_string_equal(json_text(nearest, "fewest"), "proven");
    assert_string_equal(json_text(json_array_get(json_object_get(nearest, "enters"), 0), "name"), "Small Skiff");
    assert_string_equal(json_text(json_array_get(json_object_get(nearest, "leaves"), 0), "name"), "Grand Barge");
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* ---- nearest pools, against trying all ---- */

enum { ALIKE = 9, ALIKE_SIZE = 4, ALIKE_LISTS = 60 };

typedef struct {
    int power[ALIKE], price[2][ALIKE]; /* cents: in the base, in the case */
    bool hull[ALIKE];
} Alike;

static void alike_write(const Alike *a, const char *folder)
{
    char cards[2048] = "name,colours,kind,power,price\n", scenario[2048];
    snprintf(scenario, sizeof scenario,
             "cards: [cards.csv]\nmodel: model.yaml\ncases:\n  - name: turned\n    cards:\n");
    for (int c = 0; c < ALIKE; c++) {
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Buoy %c,tar,%s,%d,%d.%02d\n", 'A' + c,
                 a->hull[c] ? "hull" : "light", a->power[c], a->price[0][c] / 100, a->price[0][c] % 100);
        snprintf(scenario + strlen(scenario), sizeof scenario - strlen(scenario), "      Buoy %c: {price: %d.%02d}\n",
                 'A' + c, a->price[1][c] / 100, a->price[1][c] % 100);
    }
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "scenario.yaml", scenario);
    folder_print(folder, "model.yaml",
                 "size: 4\ncolours: [tar]\nrules:\n  - {name: hulls, where: {kind: hull}, at_least: 2}\n");
}

/* Fit of a set of four with two hulls; -1: it is no pool. */
static int alike_fit(const Alike *a, unsigned pool)
{
    int cards = 0, hulls = 0, fit = 0;
    for (int c = 0; c < ALIKE; c++)
        if ((pool >> c & 1) != 0) {
            cards++;
            hulls += a->hull[c];
            fit += a->power[c];
        }
    return cards == ALIKE_SIZE && hulls >= 2 ? fit : -1;
}

static unsigned alike_set(const json_t *names, unsigned set)
{
    for (size_t k = 0; k < json_array_size(names); k++)
        set ^= 1u << (json_text(json_array_get(names, k), "name")[5] - 'A');
    return set;
}

/* A case in which the prices have changed: its pool is the cheapest of the best ones, and others are nearer. */
static void nearest_of_all(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "scenario.yaml", "--json", NULL};
    Dice dice;
    int nearer = 0;
    dice_seed(&dice, 4711);
    for (int k = 0; k < ALIKE_LISTS; k++) {
        Alike a;
        for (int c = 0; c < ALIKE; c++) {
            a.power[c] = dice_roll(&dice, 1, 3);
            a.hull[c] = dice_chance(&dice, 50) || c < 2;
            for (int s = 0; s < 2; s++)
                a.price[s][c] = dice_roll(&dice, 0, 20) * 25;
        }
        char *folder = folder_new();
        alike_write(&a, folder);
        json_t *root = ask(folder, 0, arguments);
        const json_t *cases = json_object_get(root, "cases"), *turned = json_array_get(cases, 1);
        const json_t *nearest = json_object_get(turned, "nearest"), *from = nearest != NULL ? nearest : turned;
        const unsigned base = alike_set(json_object_get(json_array_get(cases, 0), "pool"), 0);
        const unsigned shown =
            alike_set(json_object_get(from, "leaves"), alike_set(json_object_get(from, "enters"), base));
        int best = -1, least = INT_MAX;
        for (unsigned pool = 0; pool < 1u << ALIKE; pool++)
            best = alike_fit(&a, pool) > best ? alike_fit(&a, pool) : best;
        for (unsigned pool = 0; pool < 1u << ALIKE; pool++)
            if (alike_fit(&a, pool) == best && __builtin_popcount(pool ^ base) < least)
                least = __builtin_popcount(pool ^ base);
        if (alike_fit(&a, shown) != best || __builtin_popcount(shown ^ base) != least)
            fail_msg("list %d: %d changes, by trying all %d", k, __builtin_popcount(shown ^ base), least);
        if (nearest != NULL)
            assert_string_equal(json_text(nearest, "fewest"), "proven");
        else if (least > 0) { /* also where the pool that is shown is the nearest */
            assert_int_equal(json_integer_value(json_object_get(turned, "changes")), least);
            assert_string_equal(json_text(turned, "fewest"), "proven");
        }
        nearer += nearest != NULL;
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d lists, %d with a nearer pool than the one shown\n", ALIKE_LISTS, nearer);
    assert_true(nearer >= 10);
}

typedef struct {
    const char *name;
    int people; /* hundreds */
    int seats;
} Share;

static int audit_seats(const char *folder, const Share *share, size_t shares, int from, int to)
{
    static const char *const arguments[] = {"audit",  "cards.csv", "list.csv", "--model", "model.yaml",
                                            "--size", "120",       "--json",   NULL};
    char list[4096] = "name\n";
    for (size_t s = 0; s < shares; s++)
        for (int k = 0; k < share[s].seats + ((int)s == to) - ((int)s == from); k++)
            snprintf(list + strlen(list), sizeof list - strlen(list), "%s %d\n", share[s].name, k);
    folder_print(folder, "list.csv", list);
    Run run;
    run_here(folder, &run, arguments);
    const int code = run.code;
    run_forget(&run);
    return code;
}

/* The census of 1790 as a pool: as many cards of a colour as a state had people (in hundreds), scaled to 120. The seats
 * by largest remainders keep every scaled rule; with one moved from a state that has its lower quota to one that has
 * its upper they do not. Populations and seats: National Archives; M. L. Balinski and H. P. Young, "Fair
 * Representation", 1982. */
static void the_census_as_a_pool(void **state)
{
    (void)state;
    static const Share share[] = {{"CT", 2368, 8},  {"DE", 555, 2},   {"GA", 708, 2},   {"KY", 687, 2},
                                  {"MD", 2785, 9},  {"MA", 4753, 16}, {"NH", 1418, 5},  {"NJ", 1796, 6},
                                  {"NY", 3316, 11}, {"NC", 3535, 12}, {"PA", 4329, 14}, {"RI", 684, 2},
                                  {"SC", 2062, 7},  {"VT", 855, 3},   {"VA", 6306, 21}};
    const size_t shares = sizeof share / sizeof *share;
    char model[4096], *cards = calloc(1, 65536), *folder = folder_new();
    int people = 0, seats = 0;
    assert_non_null(cards);
    strcpy(cards, "name,colours\n");
    for (size_t s = 0; s < shares; s++) {
        people += share[s].people;
        seats += share[s].seats;
        for (int k = 0; k < share[s].seats + 2; k++)
            snprintf(cards + strlen(cards), 65536 - strlen(cards), "%s %d,%s\n", share[s].name, k, share[s].name);
    }
    assert_int_equal(seats, 120);
    snprintf(model, sizeof model, "size: %d\ncolours: [", people);
    for (size_t s = 0; s < shares; s++)
        snprintf(model + strlen(model), sizeof model - strlen(model), "%s%s", s > 0 ? ", " : "", share[s].name);
    strcat(model, "]\nrules:\n  - name: seats\n    each: colour\n    where: {class: mono}\n    exactly: 1\n    for:\n");
    for (size_t s = 0; s < shares; s++)
        snprintf(model + strlen(model), sizeof model - strlen(model), "      %s: {exactly: %d}\n", share[s].name,
                 share[s].people);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", model);
    assert_int_equal(audit_seats(folder, share, shares, -1, -1), 0);
    assert_int_equal(audit_seats(folder, share, shares, 4, 14), 1); /* MD 8 of 9.24, VA 22 of 20.93 */
    assert_int_equal(audit_seats(folder, share, shares, 8, 9), 1);  /* NY 10 of 11.01 */
    free(cards);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    signals_as_usual();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_frontier_never_falls),     cmocka_unit_test(steps_of_the_demo),
        cmocka_unit_test(some_steps_and_a_grid),        cmocka_unit_test(steps_end_with_the_effort),
        cmocka_unit_test(the_six_cases_are_sound),      cmocka_unit_test(structure_is_audited),
        cmocka_unit_test(threads_change_nothing),       cmocka_unit_test(files_are_whole_or_absent),
        cmocka_unit_test(killed_at_many_moments),       cmocka_unit_test(cases_change_candidates),
        cmocka_unit_test(newcomers_are_judged),         cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(its_own_size_changes_nothing), cmocka_unit_test(one_never_vanishes),
        cmocka_unit_test(nearest_to_the_base),          cmocka_unit_test(nearest_of_all),
        cmocka_unit_test(the_census_as_a_pool),
    };
    if (getcwd(top, sizeof top) == NULL)
        return 1;
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
