/* test_toggle.c - every field of the files matters: taken away alone, it changes the answer of some random scenarios,
 * and the built program finds both answers. What the answers are is found by trying every pool
 * (tests/support/tiny_judge.c). The scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/tiny_toggle.h"

enum { SEEDS_MOST = 6000, FIRST_SEED = 100001 };

static bool differ(const TinyAnswer *a, const TinyAnswer *b)
{
    return a->status != b->status || a->fit != b->fit;
}

static void check_in_folder(const Tiny *tiny, const TinyAnswer *answer, uint64_t seed)
{
    char *folder = folder_new();
    tiny_write(tiny, folder);
    tiny_check(tiny, folder, answer, NULL, seed);
    folder_remove(folder);
    free(folder);
}

/* How many examples each field has. */
static int wanted_of_each(void)
{
    return sanitised() ? 1 : 2;
}

/* Tries the toggles that still lack examples on one scenario; returns how many examples it gave. */
static int try_seed(uint64_t seed, int *examples)
{
    Tiny tiny;
    TinyAnswer answer;
    int found = 0;
    tiny_make(&tiny, seed);
    tiny_solve(&tiny, &answer);
    for (size_t t = 0; t < tiny_toggles_count; t++) {
        Tiny other = tiny;
        TinyAnswer changed;
        if (examples[t] >= wanted_of_each() || !tiny_toggles[t].apply(&other, tiny_toggles[t].what)) {
            continue;
        }
        tiny_solve(&other, &changed);
        if (!differ(&answer, &changed)) {
            continue;
        }
        if (found == 0) {
            check_in_folder(&tiny, &answer, seed);
        }
        print_message("%s: seed %llu\n", tiny_toggles[t].name, (unsigned long long)seed);
        check_in_folder(&other, &changed, seed);
        examples[t]++;
        found++;
    }
    return found;
}

static void every_field_changes_some_answers(void **state)
{
    (void)state;
    int *examples = calloc(tiny_toggles_count, sizeof *examples);
    assert_non_null(examples);
    size_t wanted = tiny_toggles_count * (size_t)wanted_of_each();
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + SEEDS_MOST && wanted > 0; seed++) {
        wanted -= (size_t)try_seed(seed, examples);
    }
    for (size_t t = 0; t < tiny_toggles_count; t++) {
        if (examples[t] < wanted_of_each()) {
            print_error("%s changed the answer of %d scenarios only\n", tiny_toggles[t].name, examples[t]);
        }
    }
    free(examples);
    assert_int_equal(wanted, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_field_changes_some_answers)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
