/* test_explain_stop.c - Ctrl-C and little effort: what is proven by then is shown, and nothing of it is contradicted by
 * a longer run. On the demo, which takes too long to be repeated: not repeated under sanitizers. Signals come at named
 * stages (src/verbs/frame/rehearse.c). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/run.h"

#define CARD "Maëlle the Caulker"

#define SKIP5 "0@limits,0@limits,0@limits,0@limits,0@limits,"

/* stop: where it is interrupted; NULL: nowhere. */
static void run_stopped(const char *const *word, const char *stop, Run *run)
{
    char folder[4096];
    assert_non_null(getcwd(folder, sizeof folder));
    if (stop != NULL)
        setenv("POOLWRIGHT_TEST_SIGNAL", stop, 1);
    run_poolwright(folder, word, NULL, run);
    unsetenv("POOLWRIGHT_TEST_SIGNAL");
}

static json_t *ask(const char *const *word, const char *stop, int *code)
{
    Run run;
    run_stopped(word, stop, &run);
    json_t *root = run_json(&run);
    *code = run.code;
    run_forget(&run);
    return root;
}

static bool is(const json_t *item, const char *key, const char *text)
{
    return strcmp(json_text(item, key), text) == 0;
}

static bool same_limit(const json_t *a, const json_t *b)
{
    return is(a, "name", json_text(b, "name")) && is(a, "of", json_text(b, "of")) &&
           is(a, "side", json_text(b, "side"));
}

static double end_of(const json_t *range, const char *key, double missing)
{
    const json_t *end = json_object_get(range, key);
    return end != NULL ? json_number_value(end) : missing;
}

/* Two proven ranges of one number overlap. */
static void assert_agree(const json_t *a, const json_t *b, const char *what)
{
    if (end_of(a, "at_least", -1e9) > end_of(b, "at_most", 1e9) ||
        end_of(b, "at_least", -1e9) > end_of(a, "at_most", 1e9))
        fail_msg("two runs contradict each other on %s", what);
}

/* Limits of both runs; returns how many the first one settled. */
static int compare_limits(const json_t *shorter, const json_t *longer)
{
    int settled = 0;
    size_t i, k;
    json_t *a, *b;
    json_array_foreach (json_object_get(shorter, "limits"), i, a) {
        settled += is(a, "kind", "solved") || is(a, "kind", "never");
        json_array_foreach (json_object_get(longer, "limits"), k, b) {
            if (!same_limit(a, b))
                continue;
            const bool helps_a = is(a, "kind", "solved") || is(a, "kind", "range"),
                       helps_b = is(b, "kind", "solved") || is(b, "kind", "range");
            if ((is(a, "kind", "never") && helps_b) || (is(b, "kind", "never") && helps_a))
                fail_msg("%s: one run says never, one says that it helps", json_text(a, "name"));
            if (!is(a, "kind", "never") && !is(b, "kind", "never"))
                assert_agree(json_object_get(a, "by"), json_object_get(b, "by"), json_text(a, "name"));
        }
    }
    return settled;
}

static const json_t *card_of(const json_t *root)
{
    return json_array_get(json_object_get(root, "cards"), 0);
}

/* What a run that ends by itself says; the others are held against it. */
static json_t *whole;

static int ask_whole(void **state)
{
    (void)state;
    int code;
    whole = ask((const char *const[]){"why", "scenarios/demo", CARD, "--json", NULL}, NULL, &code);
    return code == 0 || code == 3 ? 0 : -1; /* some limits may stay open */
}

static int forget_whole(void **state)
{
    (void)state;
    json_decref(whole);
    return 0;
}

static void interrupted(void **state)
{
    (void)state;
    int code;
    json_t *cut = ask((const char *const[]){"why", "scenarios/demo", CARD, "--rules", "--json", NULL},
                      SKIP5 SKIP5 SKIP5 "2@limits", &code);
    assert_int_equal(code, 3);
    assert_agree(json_object_get(card_of(cut), "loss"), json_object_get(card_of(whole), "loss"), "the loss");
    assert_agree(json_object_get(card_of(cut), "fit_from"), json_object_get(card_of(whole), "fit_from"), "the fit");
    assert_true(compare_limits(card_of(cut), card_of(whole)) > 0);
    json_decref(cut);
}

static void little_effort(void **state)
{
    (void)state;
    static const char *const effort[] = {"100", "2k", "20k", "60k"};
    int code;
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        json_t *little = ask(
            (const char *const[]){"why", "scenarios/demo", CARD, "--json", "--effort", effort[k], NULL}, NULL, &code);
        assert_true(code == 0 || code == 3);
        if (card_of(little) != NULL) {
            assert_agree(json_object_get(card_of(little), "loss"), json_object_get(card_of(whole), "loss"), "the loss");
            compare_limits(card_of(little), card_of(whole));
        }
        json_decref(little);
    }
}

/* Wherever it comes the text says so, and the exit code is 3. Nothing found: that of the signal. */
static void interrupted_text_says_so(void **state)
{
    (void)state;
    static const struct {
        const char *stop;
        int code;
    } at[] = {{"2@search", 130}, {"2@pool", 3}, {"0@pool,2@pool", 3}, {"2@limits", 3}, {SKIP5 "15@limits", 3}};
    for (size_t k = 0; k < sizeof at / sizeof *at; k++) {
        Run run;
        run_stopped((const char *const[]){"why", "scenarios/demo", CARD, "--rules", NULL}, at[k].stop, &run);
        if (run.code != at[k].code || strstr(run.out, "Stopped") == NULL)
            fail_msg("%s: exit code %d with\n%s", at[k].stop, run.code, run.out);
        run_forget(&run);
    }
}

/* No limit takes what the others need, where the cap counts by the cent: the one that is to blame is found. */
static void all_limits_get_their_share(void **state)
{
    (void)state;
    static const char says[] = "is out because of one limit: gold cards (glass+linen)";
    Run run;
    run_poolwright(".",
                   (const char *const[]){"why", "scenarios/demo", "Two Sisters, One Pen", "--size", "360", "--cap",
                                         "300", "--effort", "500k", NULL},
                   NULL, &run);
    if (strstr(run.out, says) == NULL)
        fail_msg("expected '%s', found\n%s", says, run.out);
    run_forget(&run);
}

int main(void)
{
    signals_as_usual();
    const struct CMUnitTest tests[] = {cmocka_unit_test(interrupted), cmocka_unit_test(interrupted_text_says_so),
                                       cmocka_unit_test(little_effort), cmocka_unit_test(all_limits_get_their_share)};
    return cmocka_run_group_tests(tests, ask_whole, forget_whole) == 0 ? 0 : 1;
}
