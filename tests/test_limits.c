/* test_limits.c - every kind of limit is in --rules, in the JSON rules and in what stands in the way, each alike; and a
 * limit said in two ways looks and reads the same. The cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "model/limit.h"
#include "support/run.h"

#define FOLDER "tests/data/explained/apart-as-a-rule"

static json_t *ask(const char *verb)
{
    Run run;
    run_poolwright(".", (const char *const[]){verb, FOLDER, "--rules", "--json", NULL}, NULL, &run);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

/* The same but for name, kind and where they were said. */
static void same_entry(const json_t *list)
{
    json_t *apart = json_deep_copy(json_named(list, "not both")),
           *rule = json_deep_copy(json_named(list, "not both as a rule"));
    static const char *const own[] = {"name", "kind", "limit_kind", "line", "in", "enters", "leaves"};
    assert_true(json_integer_value(json_object_get(apart, "line")) > 0);
    assert_true(json_integer_value(json_object_get(rule, "line")) > 0);
    for (size_t k = 0; k < sizeof own / sizeof *own; k++) {
        json_object_del(apart, own[k]);
        json_object_del(rule, own[k]);
    }
    assert_true(json_object_size(apart) >= 4);
    assert_true(json_equal(apart, rule));
    json_decref(apart);
    json_decref(rule);
}

static void a_limit_said_in_two_ways_is_told_alike(void **state)
{
    (void)state;
    json_t *best = ask("best"), *check = ask("check");
    same_entry(json_object_get(best, "rules"));
    same_entry(json_object_get(best, "binding"));
    same_entry(json_object_get(check, "rules"));
    assert_string_equal(
        json_string_value(json_object_get(json_named(json_object_get(best, "rules"), "not both"), "kind")), "apart");
    json_decref(best);
    json_decref(check);
}

static void all_kinds_are_shown(void **state)
{
    (void)state;
    json_t *best = ask("best"), *check = ask("check");
    const json_t *list[] = {json_object_get(best, "rules"), json_object_get(check, "rules")};
    static const char *const key[] = {"use", "slack", "candidates"};
    for (size_t l = 0; l < 2; l++)
        for (LimitKind kind = 0; kind < LIMIT_KINDS; kind++) {
            size_t seen = 0;
            for (size_t k = 0; k < json_array_size(list[l]); k++) {
                const json_t *item = json_array_get(list[l], k);
                if (strcmp(json_string_value(json_object_get(item, "kind")), limit_kind_name(kind)) != 0)
                    continue;
                seen++;
                assert_non_null(json_object_get(item, "limit"));
                assert_true(json_integer_value(json_object_get(item, "line")) > 0);
                const char *file = json_string_value(json_object_get(item, "file"));
                assert_non_null(file);
                assert_non_null(strstr(file, kind == LIMIT_KEEP || kind == LIMIT_BAN ? "/cards.csv" : "/model.yaml"));
                assert_true(json_is_number(json_object_get(item, l == 0 ? key[0] : key[2])));
                assert_true(l == 1 || json_is_number(json_object_get(item, key[1])));
            }
            assert_true(seen > 0 || kind == LIMIT_CHOICE); /* the only kind without one there */
        }
    json_decref(best);
    json_decref(check);
}

/* "at most 1  1  tight": the row of a table without its name and place. */
static char *row_of(const char *text, const char *name)
{
    const char *rules = strstr(text, "\nLimits\n");
    if (rules == NULL)
        rules = strstr(text, "\nLimits: candidates that count");
    assert_non_null(rules);
    char start[80];
    snprintf(start, sizeof start, "\n  %s  ", name);
    const char *row = strstr(rules, start);
    assert_non_null(row);
    row += strlen(start);
    while (*row == ' ')
        row++;
    const char *end = strstr(row, "  model.yaml:");
    assert_non_null(end);
    return strndup(row, (size_t)(end - row));
}

static void rows_read_alike(void **state)
{
    (void)state;
    Run run;
    run_poolwright(".", (const char *const[]){"check", FOLDER, "--rules", NULL}, NULL, &run);
    char *checked_apart = row_of(run.out, "not both"), *checked_rule = row_of(run.out, "not both as a rule");
    assert_string_equal(checked_apart, checked_rule);
    assert_non_null(strstr(checked_apart, "at most 1"));
    char *places = row_of(run.out, "places (rye)");
    assert_string_equal(places, "2 filled, exactly 4 in all      6            2");
    free(places);
    free(checked_apart);
    free(checked_rule);
    run_forget(&run);
    run_poolwright(".", (const char *const[]){"best", FOLDER, "--rules", NULL}, NULL, &run);
    char *apart = row_of(run.out, "not both"), *rule = row_of(run.out, "not both as a rule");
    assert_string_equal(apart, rule);
    assert_non_null(strstr(apart, "at most 1"));
    assert_non_null(strstr(run.out, "places (rye)                 2 filled, exactly 4 in all  2 filled, 4 in all"));
    assert_non_null(strstr(run.out, "enablers per payoff (reels)  1 to 2 for each payoff"));
    assert_non_null(strstr(run.out, "Hammer must stay out"));
    assert_non_null(strstr(run.out, "exactly 6      nothing up to 3 more cards or 3 fewer cards\n"));
    assert_non_null(strstr(run.out, "a lamp for the drum  at least 1     nothing without it either\n"));
    free(apart);
    free(rule);
    run_forget(&run);
}

/* The list says which tight limits a card is needed for, whatever their kind. */
static void lists_name_limits(void **state)
{
    (void)state;
    Run run;
    char path[600], *folder = folder_new();
    snprintf(path, sizeof path, "%s/pool.csv", folder);
    run_poolwright(".", (const char *const[]){"best", FOLDER, "-o", path, NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    char *list = folder_read(folder, "pool.csv", NULL);
    const char *row = list != NULL ? strstr(list, "\nFunnel,") : NULL;
    assert_non_null(row);
    const char *reason = strstr(row, "needed for old tools");
    assert_non_null(reason);
    assert_true(reason < strchr(row + 1, '\n'));
    free(list);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* Of very many bans the table shows twenty, and says how many more there are. */
static void long_lists_are_cut(void **state)
{
    (void)state;
    char *folder = folder_new(), sheet[4000] = "name,power,status\nAnvil,3,\n";
    for (int c = 0; c < 33; c++)
        snprintf(sheet + strlen(sheet), sizeof sheet - strlen(sheet), "Out %02d,1,ban\n", c);
    folder_print(folder, "cards.csv", sheet);
    folder_print(folder, "model.yaml", "size: 1\ncolours: [ash]\n");
    static const char *const verb[] = {"best", "check"};
    for (size_t v = 0; v < 2; v++) {
        Run run;
        run_poolwright(folder, (const char *const[]){verb[v], "cards.csv", "--model", "model.yaml", "--rules", NULL},
                       NULL, &run);
        assert_non_null(strstr(run.out, "\n  Out 19 must stay out  out "));
        assert_null(strstr(run.out, "Out 20"));
        assert_non_null(strstr(run.out, "\n  and 13 more that must stay out\n"));
        run_forget(&run);
    }
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_limit_said_in_two_ways_is_told_alike),
        cmocka_unit_test(all_kinds_are_shown),
        cmocka_unit_test(rows_read_alike),
        cmocka_unit_test(lists_name_limits),
        cmocka_unit_test(long_lists_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
