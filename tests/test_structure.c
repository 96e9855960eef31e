/* test_structure.c - places, engines, depth, evenness, combinations, choices of themes, playability and stickiness: the
 * built program against trying everything. For each feature 75 random scenarios that have it (and now and then
 * others); half of them by each engine. The scenarios are invented. POOLWRIGHT_SEED moves the first seed,
 * POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/shape.h"

static void read_copies(const Shape *shape, const json_t *root, int *copies)
{
    const json_t *pool = json_object_get(root, "pool");
    memset(copies, 0, SHAPE_CARDS * sizeof *copies);
    for (size_t i = 0; i < json_array_size(pool); i++) {
        const json_t *entry = json_array_get(pool, i);
        for (int c = 0; c < shape->cards; c++) {
            if (strcmp(json_text(entry, "name"), shape_card_name(c)) == 0) {
                copies[c] = (int)json_integer_value(json_object_get(entry, "copies"));
            }
        }
    }
}

static bool agrees(const Shape *shape, const Run *run, const ShapeAnswer *answer)
{
    int copies[SHAPE_CARDS];
    int64_t fit = 0;
    if (run->code != (answer->feasible ? 0 : 1)) {
        print_error("exit code %d; by trying there are %ld pools\n", run->code, answer->pools);
        return false;
    }
    if (!answer->feasible) {
        return true;
    }
    json_t *root = run_json(run);
    read_copies(shape, root, copies);
    bool allowed = shape_judge(shape, copies, &fit);
    int64_t said = json_units(root, "fit", 1000), bound = json_units(root, "bound", 1000);
    bool good = allowed && fit == answer->fit && said == answer->fit && bound == answer->fit &&
                strcmp(json_text(root, "status"), "best") == 0;
    if (!good) {
        print_error("by trying the best fit is %lld; this pool is %s and has %lld; said: fit %lld, bound %lld\n",
                    (long long)answer->fit, allowed ? "allowed" : "NOT allowed", (long long)fit, (long long)said,
                    (long long)bound);
    }
    json_decref(root);
    return good;
}

/* The scenario without the feature, and nothing else changed. */
static void take_away(Shape *shape, unsigned feature)
{
    static const unsigned link_feature[] = {WITH_TOGETHER, WITH_NEEDS, WITH_APART, WITH_GROUPS, WITH_SETS};
    for (int t = 0; t < shape->themes; t++) {
        ShapeTheme *theme = &shape->theme[t];
        theme->bonus = (feature & WITH_ENGINE) != 0 ? 0 : theme->bonus;
        theme->band_from = (feature & WITH_RATIO) != 0 ? -1 : theme->band_from;
        theme->band_to = (feature & WITH_RATIO) != 0 ? -1 : theme->band_to;
        theme->steps = (feature & WITH_DEPTH) != 0 ? 0 : theme->steps;
    }
    int kept = 0;
    for (int i = 0; i < shape->links; i++) {
        if ((feature & link_feature[shape->link[i].kind]) == 0) {
            shape->link[kept++] = shape->link[i];
        }
    }
    shape->links = kept;
    shape->places = shape->places && (feature & WITH_PLACES) == 0;
    shape->by_place = shape->by_place && (feature & (WITH_BY_PLACE | WITH_PLACES)) == 0;
    shape->evenness = (feature & WITH_EVENNESS) != 0 ? 0 : shape->evenness;
    shape->from = (feature & WITH_CHOOSE) != 0 ? 0 : shape->from;
    shape->playable = (feature & WITH_PLAYABLE) != 0 ? 0 : shape->playable;
    shape->stay = (feature & WITH_STAY) != 0 ? 0 : shape->stay;
    shape->own_share = (feature & WITH_OVERLAP) != 0 ? -1 : shape->own_share;
}

static bool try_seed(uint64_t seed, unsigned features, const char *engine, long *matters)
{
    Shape shape;
    ShapeAnswer answer;
    Run run;
    const char *const arguments[] = {"best", "scenario.yaml", "--json", "--gap", "0", "--engine", engine, NULL};
    char *folder = folder_new();
    shape_make(&shape, seed, features);
    shape_write(&shape, folder);
    shape_solve(&shape, &answer);
    run_poolwright(folder, arguments, NULL, &run);
    if (!agrees(&shape, &run, &answer)) {
        print_error("scenario %llu, engine %s, files in %s, exit code %d\n%.1500s\n", (unsigned long long)seed, engine,
                    folder, run.code, run.err);
        fail();
    }
    run_forget(&run);
    folder_remove(folder);
    free(folder);
    ShapeAnswer without;
    take_away(&shape, features);
    shape_solve(&shape, &without);
    *matters += without.feasible != answer.feasible || without.fit != answer.fit;
    return answer.feasible;
}

static void try_feature(unsigned features)
{
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1) + features * 1000;
    const long count = (long)scenarios_wanted(75);
    long feasible = 0, matters = 0;
    for (long i = 0; i < count; i++) {
        feasible += try_seed(first + (uint64_t)i, features, i % 2 == 0 ? "fast" : "reference", &matters);
    }
    print_message("%ld of %ld scenarios have a pool; without the feature %ld answers are others\n", feasible, count,
                  matters);
    assert_true(count < 75 || (feasible * 4 >= count && matters * 15 >= count)); /* else nothing is tested */
}

static void places(void **state)
{
    (void)state;
    try_feature(WITH_PLACES);
}
static void fit_by_place(void **state)
{
    (void)state;
    try_feature(WITH_BY_PLACE);
}
static void engine(void **state)
{
    (void)state;
    try_feature(WITH_ENGINE);
}
static void enablers_per_payoff(void **state)
{
    (void)state;
    try_feature(WITH_RATIO);
}
static void depth(void **state)
{
    (void)state;
    try_feature(WITH_DEPTH);
}
static void evenness(void **state)
{
    (void)state;
    try_feature(WITH_EVENNESS);
}
static void together(void **state)
{
    (void)state;
    try_feature(WITH_TOGETHER);
}
static void sets_of_parts(void **state)
{
    (void)state;
    try_feature(WITH_SETS);
}
static void needs(void **state)
{
    (void)state;
    try_feature(WITH_NEEDS);
}
static void apart(void **state)
{
    (void)state;
    try_feature(WITH_APART);
}
static void groups(void **state)
{
    (void)state;
    try_feature(WITH_GROUPS);
}
static void choose(void **state)
{
    (void)state;
    try_feature(WITH_CHOOSE);
}
static void choose_with_all(void **state)
{
    (void)state;
    try_feature(WITH_CHOOSE | WITH_PLACES | WITH_ENGINE | WITH_DEPTH | WITH_EVENNESS);
}
static void playable_fit(void **state)
{
    (void)state;
    try_feature(WITH_PLAYABLE);
}
static void stay(void **state)
{
    (void)state;
    try_feature(WITH_STAY);
}
static void overlap(void **state)
{
    (void)state;
    try_feature(WITH_OVERLAP);
}

/* Coble (two copies), Drag | Kelp (two) | Lamp, Oar, with room for six of eight cards: by hand, two whole sets; the
 * first two hang on one card each, and `why` says so. With at_most 1 the second set is not worth Kelp again. */
static void what_sets_are_worth_is_said(void **state)
{
    (void)state;
    static const char *const best[] = {"best", "c.csv", "--model", "m.yaml", "--gap", "0", "--full", NULL};
    static const char *const why[] = {"why", "c.csv", "Kelp", "--model", "m.yaml", "--gap", "0", NULL};
    static const struct {
        const char *const *arguments;
        const char *at_most, *said;
    } expected[] = {
        {best, "",
         "watch: 2 whole sets of parts with 2, 2 and 2, adds 12; part 1 hangs on Coble alone; part 2 hangs on Kelp "
         "alone"},
        {best, ", at_most: 1", "watch: 1 whole set of parts with 3, 1 and 2, adds 6 (no more sets count); part"},
        {why, "", "In watch it holds part 2 alone."},
    };
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        char *folder = folder_new(), model[300];
        Run run;
        snprintf(
            model, sizeof model,
            "size: 6\ncolours: [ebb, silt]\ntogether:\n  - {name: watch, parts: [[Coble, Drag], [Kelp], [Lamp, Oar]], "
            "bonus: 6%s}\n",
            expected[k].at_most);
        folder_print(folder, "m.yaml", model);
        folder_print(folder, "c.csv",
                     "name,colours,power,copies\nCoble,ebb,9,2\nDrag,ebb,4,1\nKelp,silt,1,2\nLamp,,5,1\nOar,,4,1\n"
                     "Fender,silt,2,1\n");
        run_poolwright(folder, expected[k].arguments, NULL, &run);
        assert_int_equal(run.code, 0);
        for (char *end = run.out; (end = strstr(end, "\n  ")) != NULL;) /* lines are wrapped */
            memmove(end + 1, end + 3, strlen(end + 3) + 1), *end++ = ' ';
        if (strstr(run.out, expected[k].said) == NULL)
            fail_msg("%s: %s", expected[k].said, run.out);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sets_of_parts), cmocka_unit_test(what_sets_are_worth_is_said),
        cmocka_unit_test(together),      cmocka_unit_test(needs),
        cmocka_unit_test(apart),         cmocka_unit_test(groups),
        cmocka_unit_test(engine),        cmocka_unit_test(enablers_per_payoff),
        cmocka_unit_test(evenness),      cmocka_unit_test(places),
        cmocka_unit_test(fit_by_place),  cmocka_unit_test(depth),
        cmocka_unit_test(choose),        cmocka_unit_test(choose_with_all),
        cmocka_unit_test(playable_fit),  cmocka_unit_test(stay),
        cmocka_unit_test(overlap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
