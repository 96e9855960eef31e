/* test_read_once.c - every verb reads each file of its scenario once, however many cases, prices, pools it compares,
 * and standard input too. The opening of files is counted in front of the C library (tests/preload/count_opens.c), so
 * this is not repeated under sanitizers, which want to be in front themselves. The cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "ask/ask.h"
#include "support/run.h"

#define CARDS                                                                                                          \
    "name,colours,power,price\nAnt,brass,5,1.00\nBee,tar,4,2.00\nCow,tar,3,0.50\nDoe,brass,2,0.40\nElk,tar,1,0.30\n"

static char *library_path(void)
{
    char *path = NULL;
    const char *program = program_path(), *slash = strrchr(program, '/');
    assert_true(asprintf(&path, "%.*s/tests/count_opens.so", (int)(slash - program), program) > 0);
    return path;
}

static char *start(void)
{
    static const char *const file[][2] = {
        {"base.yaml", "colours: [brass, tar]\nsize: 3\nrules: [{name: all, at_least: 1}]\n"},
        {"model.yaml", "extends: base.yaml\nspending_cap: 4.00\n"},
        {"cards.csv", CARDS},
        {"prices.csv", "name,price\nAnt,1.10\n"},
        {"owned.csv", "name,copies\nDoe,1\n"},
        {"tags.csv", "name,tag\nBee,hive\n"},
        {"targets.csv", "rule,all\nall,1+\n"},
        {"pool.csv", "name\nCow\nDoe\nElk\n"},
        {"more.csv", "name,colours,power,price\nFox,tar,6,0.20\n"},
        {"new.csv", "name,price\nBee,9.00\n"},
        {"notes.csv", "card,date,verdict,note\nAnt,2026-01-01,worse,\n"},
        {"where.yaml", "power: {from: 3}\n"},
        {"scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\nowned: [owned.csv]\n"
                          "tags: [tags.csv]\ntargets: [targets.csv]\npool: pool.csv\ncases:\n"
                          "  - {name: four, change: {size: 4}}\n  - {name: poor, change: {spending_cap: 1.00}}\n"
                          "  - {name: none, change: {spending_cap: 0.10}}\n  - {name: fox, files: [more.csv]}\n"}};
    char *folder = folder_new();
    for (size_t k = 0; k < sizeof file / sizeof *file; k++)
        folder_print(folder, file[k][0], file[k][1]);
    return folder;
}

/* How often the program opened the file, by what was counted. */
static int opens_of(const char *counted, const char *name)
{
    const size_t length = strlen(name);
    int count = 0;
    for (const char *line = counted, *end; (end = strchr(line, '\n')) != NULL; line = end + 1) {
        const char *slash = line;
        for (const char *c = line; c < end; c++)
            slash = *c == '/' ? c + 1 : slash;
        count += (size_t)(end - slash) == length && strncmp(slash, name, length) == 0;
    }
    return count;
}

static void assert_read_once(const char *folder, const char *library, const char *const *words, const char *names)
{
    Run run;
    char name[64];
    setenv("COUNT_OPENS", "counted", 1);
    setenv("LD_PRELOAD", library, 1);
    run_poolwright(folder, words, NULL, &run);
    unsetenv("LD_PRELOAD");
    unsetenv("COUNT_OPENS");
    if (run.code > 1)
        fail_msg("%s: exit code %d: %s", words[0], run.code, run.err);
    char *counted = folder_read(folder, "counted", NULL);
    assert_non_null(counted);
    for (int at = 0, used = 0; sscanf(names + at, "%63s%n", name, &used) == 1; at += used)
        if (opens_of(counted, name) != 1)
            fail_msg("%s opens %s %d times, expected once:\n%s", words[0], name, opens_of(counted, name), counted);
    free(counted);
    folder_print(folder, "counted", "");
    run_forget(&run);
}

#define ALL "scenario.yaml model.yaml base.yaml cards.csv owned.csv tags.csv targets.csv pool.csv "

static void each_file_once(void **state)
{
    (void)state;
    static const struct {
        const char *words[8], *names;
    } run[] = {
        {{"check", "scenario.yaml"}, ALL "prices.csv"},
        {{"best", "scenario.yaml", "--rules"}, ALL "prices.csv"},
        {{"best", "scenario.yaml", "--prices", "new.csv", "-o", "out.csv"}, ALL "prices.csv new.csv"},
        {{"why", "scenario.yaml", "Bee"}, ALL "prices.csv"},
        {{"what-if", "scenario.yaml", "-o", "out"}, ALL "prices.csv more.csv"},
        {{"what-if", "scenario.yaml", "--cases", "--sizes", "2,3"}, ALL "prices.csv more.csv"},
        {{"what-if", "scenario.yaml", "--caps", "1..4/1", "--csv", "caps.csv"}, ALL "prices.csv"},
        {{"audit", "scenario.yaml", "pool.csv"}, ALL "prices.csv"},
        {{"audit", "scenario.yaml", "pool.csv", "--against", "out.csv"}, ALL "prices.csv out.csv"},
        {{"revise", "scenario.yaml", "--swaps", "1", "--new", "more.csv"}, ALL "prices.csv more.csv"},
        {{"feedback", "scenario.yaml", "notes.csv", "--apply", "-o", "powers.csv"}, ALL "prices.csv notes.csv"},
        {{"find", "scenario.yaml", "--filter", "where.yaml"}, ALL "prices.csv where.yaml"},
        {{"export", "scenario.yaml", "-o", "out.lp"}, ALL "prices.csv"},
        {{"import", "cards.csv", "-o", "made"}, "cards.csv"},
    };
    char *folder = start(), *library = library_path();
    for (size_t k = 0; k < sizeof run / sizeof *run; k++)
        assert_read_once(folder, library, run[k].words, run[k].names);
    folder_remove(folder);
    free(folder);
    free(library);
}

/* What can be read once only is there for every size, and for the pools at the scenario's own prices. */
static void standard_input_once(void **state)
{
    (void)state;
    static const char *const sizes[] = {"what-if", "-", "--model", "model.yaml", "--sizes", "2,4,5", "--json", NULL};
    static const char *const prices[] = {"best", "-", "--model", "model.yaml", "--prices", "new.csv", "--json", NULL};
    char *folder = start();
    Run run;
    run_poolwright(folder, sizes, "cards.csv", &run);
    assert_int_equal(run.code, 0);
    json_t *root = run_json(&run);
    assert_int_equal(json_array_size(json_object_get(root, "cases")), 4);
    json_decref(root);
    run_forget(&run);
    run_poolwright(folder, prices, "cards.csv", &run);
    assert_int_equal(run.code, 0);
    root = run_json(&run);
    assert_null(strstr(run.out, "there is no pool at the scenario's own prices"));
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* A scenario that stays open answers from what was read when it was opened, whatever becomes of its files. */
static void questions_read_nothing(void **state)
{
    (void)state;
    static const char question[] = "{\"ask\": \"best\", \"change\": {\"size\": 2}}";
    char *folder = start(), *path = NULL;
    assert_true(asprintf(&path, "%s/scenario.yaml", folder) > 0);
    Text problems = {0}, before = {0}, after = {0};
    Ask *ask = ask_open(path, NULL, &problems);
    assert_non_null(ask);
    ask_question(ask, question, strlen(question), &before);
    folder_print(folder, "cards.csv", "nonsense\n");
    remove(path);
    ask_question(ask, question, strlen(question), &after);
    assert_non_null(strstr(text_cstr(&before), "\"fit\""));
    assert_string_equal(text_cstr(&before), text_cstr(&after));
    ask_close(ask);
    text_release(&problems);
    text_release(&before);
    text_release(&after);
    folder_remove(folder);
    free(folder);
    free(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_file_once),
        cmocka_unit_test(standard_input_once),
        cmocka_unit_test(questions_read_nothing),
    };
    return cmocka_run_group_tests_name("read once", tests, NULL, NULL);
}
