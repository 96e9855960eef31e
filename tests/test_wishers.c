/* test_wishers.c - who wishes what: names in the cards sheet and in sheets of their own, counted by person and bounded
 * by rules, against trying every pool. Cards and people are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

#define CARDS 8
#define SIZE 4

/* Awl, Bit, Cog, Dog, Eye, Fid, Gin, Hod. */
static const int powers[CARDS] = {9, 8, 7, 6, 5, 4, 3, 2};
/* Bits: Ada, Ben, Cyd. As the two sheets below say together. */
static const int wished[CARDS] = {0, 2, 0, 1, 4, 3, 0, 1};

static char *make(const char *rules)
{
    char *folder = folder_new();
    Text model = {0};
    text_printf(&model, "size: %d\ncolours: [ebb, silt]\nrules:\n%s", SIZE, rules);
    folder_print(folder, "model.yaml", text_cstr(&model));
    folder_print(folder, "cards.csv",
                 "name,colours,power,price,wishes\n"
                 "Awl,ebb,9,1,\nBit,ebb,8,1,Ben\nCog,ebb,7,1,\nDog,silt,6,1,Ada\n"
                 "Eye,silt,5,1,\nFid,silt,4,1,ada; BEN;Ada\nGin,,3,1,\nHod,,2,1,\n");
    folder_print(folder, "more.csv", "name,wishes\nEye,Cyd\nHod,Ada\nFid,Ben\nGin,\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\ntags: [more.csv]\n");
    text_release(&model);
    return folder;
}

/* The greatest power of SIZE cards with at least so many wishes of each person in; -1: none. */
static int best_of(const int least[3])
{
    int best = -1;
    for (unsigned pool = 0; pool < 1u << CARDS; pool++) {
        int size = 0, power = 0, in[3] = {0};
        for (int c = 0; c < CARDS; c++) {
            if (!(pool >> c & 1))
                continue;
            size++;
            power += powers[c];
            for (int p = 0; p < 3; p++)
                in[p] += wished[c] >> p & 1;
        }
        if (size == SIZE && power > best && in[0] >= least[0] && in[1] >= least[1] && in[2] >= least[2])
            best = power;
    }
    return best;
}

static void each_person_has_so_many(void **state)
{
    (void)state;
    for (int k = 0; k < 64; k++) {
        const int least[3] = {k % 4, k / 4 % 4, k / 16};
        char rules[400];
        snprintf(
            rules, sizeof rules,
            "  - {name: a, where: {wishes: Ada}, at_least: %d}\n  - {name: b, where: {wishes: bEn}, at_least: %d}\n"
            "  - {name: c, where: {wishes: Cyd}, at_least: %d}\n",
            least[0], least[1], least[2]);
        const int best = best_of(least);
        char *folder = make(rules);
        json_t *root = run_answer(folder, best < 0 ? 1 : 0, WORDS("best", ".", "--gap", "0", "--json"));
        if (best >= 0)
            assert_int_equal(json_units(root, "fit", 1000), 1000 * best);
        else
            assert_string_equal(json_text(root, "status"), "infeasible");
        json_decref(root);
        desk_done(folder);
    }
}

static int64_t count_of(const char *where)
{
    char rules[300];
    snprintf(rules, sizeof rules, "  - {name: counted, where: %s, at_most: 99}\n", where);
    char *folder = make(rules);
    json_t *root = run_answer(folder, 0, WORDS("check", ".", "--json"));
    int64_t count = -1;
    size_t index;
    json_t *rule;
    json_array_foreach (json_object_get(root, "rules"), index, rule)
        if (strcmp(json_text(rule, "name"), "counted") == 0)
            count = json_units(rule, "candidates", 1);
    json_decref(root);
    desk_done(folder);
    return count;
}

static void filters_name_people(void **state)
{
    (void)state;
    assert_int_equal(count_of("{wishes: Ada}"), 3);
    assert_int_equal(count_of("{wishes: [Ben, Cyd]}"), 3);
    assert_int_equal(count_of("{wishes: any}"), 5);
    assert_int_equal(count_of("{wishes: {not: Ada}}"), 5);
    assert_int_equal(count_of("{wishes: {not: any}}"), 3);
}

static void screens_count_by_person(void **state)
{
    (void)state;
    char *folder = make("  - {name: a, where: {wishes: Adda}, at_most: 1}\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "."));
    desk_expect(run.out, "Wishes: 2 of 5 are in");
    desk_expect(run.out, "by   Ada 1 of 3; Ben 1 of 2; Cyd 0 of 1");
    desk_expect(run.err, "no candidate is wished by 'Adda'; did you mean 'Ada'?");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("best", ".", "--json")),
           *wish = json_array_get(json_object_get(root, "wishes"), 3);
    assert_string_equal(json_text(wish, "name"), "Fid");
    assert_int_equal(json_array_size(json_object_get(wish, "by")), 2);
    assert_string_equal(json_string_value(json_array_get(json_object_get(wish, "by"), 1)), "BEN");
    json_decref(root);
    desk_done(folder);
}

/* A status of the same line takes the place of the cards sheet's, not of the wish. */
static void a_status_beside_leaves_the_wish(void **state)
{
    (void)state;
    char *folder = make("  - {name: a, where: {wishes: Ada}, at_most: 9}\n");
    folder_print(folder, "more.csv", "name,status,wishes\nAwl,keep,Ada\nEye,,Cyd\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "."));
    desk_expect(run.out, "by   Ada 2 of 3; Ben 1 of 2; Cyd 0 of 1");
    run_forget(&run);
    desk_done(folder);
}

/* A column of one's own may be called so. */
static void a_column_may_be_ones_own(void **state)
{
    (void)state;
    char *folder = make("  - {name: a, where: {wishes: Ada}, at_most: 9}\n");
    folder_print(folder, "model.yaml",
                 "size: 4\ncolours: [ebb, silt]\ncolumns: {own: [wishes]}\nrules:\n  - {name: a, where: {wishes: Ada}, "
                 "at_most: 9}\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "."));
    assert_null(strstr(run.out, "Wishes"));
    run_forget(&run);
    desk_done(folder);
}

/* With little effort nothing is known of what the demo's wishes would cost: then none of them is said to cost least. */
static void what_is_not_known_is_not_least(void **state)
{
    (void)state;
    Run run;
    run_poolwright(".", WORDS("best", "scenarios/demo", "--effort", "20k"), NULL, &run);
    desk_expect(run.out, "; what the others cost was not found out within the effort\n");
    assert_null(strstr(run.out, "cost least"));
    run_forget(&run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_person_has_so_many),  cmocka_unit_test(filters_name_people),
        cmocka_unit_test(screens_count_by_person),  cmocka_unit_test(a_status_beside_leaves_the_wish),
        cmocka_unit_test(a_column_may_be_ones_own), cmocka_unit_test(what_is_not_known_is_not_least),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
