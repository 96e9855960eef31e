/* test_like.c - `find --like`: the weights of words against published ones, how many of the cards most like four of a
 * theme are of the theme, on the demo without its tags, and what the pattern catches, found by running it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "model/desk/alike.h"
#include "support/desk.h"
#include "support/lab.h"

#define BASE "size: 1\ncolours: [rye, teal]\n"

/* Six texts of three words. Weights of words in one, two and six of six texts, as worked out in the scikit-learn user
 * guide, "Text feature extraction", for its smoothed idf: ln(7/3) + 1 = 1.8473 and 1 for a term in every text;
 * ln(7/2) + 1 = 2.2528 by the same formula there. */
static void rare_words_weigh_more(void **state)
{
    (void)state;
    Lab lab;
    Terms terms;
    lab_model(&lab, BASE, "");
    lab_file(&lab, "c.csv",
             "name,power,price,text\nA,1,1,anchor anchor Cable\nB,1,1,Anchor\nC,1,1,anchor\nD,1,1,anchor!\n"
             "E,1,1,\"anchor, berth\"\nF,1,1,anchors; cables\n");
    lab_need(&lab, "s.yaml");
    terms_init(&terms, lab.instance, TERMS_OF_TEXTS);
    assert_int_equal(terms.terms, 3); /* anch, bert, cabl */
    assert_true(terms.weight[0] == 1.0);
    assert_true(terms.weight[1] == 2.253);
    assert_true(terms.weight[2] == 1.847);
    terms_release(&terms);
    lab_close(&lab);
}

/* Cosines by hand: of two cards each is compared with the other one, without itself. */
static void likeness_is_a_cosine(void **state)
{
    (void)state;
    Lab lab;
    Terms terms;
    double likeness[4];
    lab_model(&lab, BASE, "");
    lab_file(&lab, "c.csv", "name,power,price,text\nA,1,1,hoist sail\nB,1,1,hoist flag\nC,1,1,coil rope\nD,1,1,\n");
    lab_need(&lab, "s.yaml");
    terms_init(&terms, lab.instance, TERMS_OF_TEXTS);
    /* ln(5/3) + 1 = 1.511 for hoist, ln(5/2) + 1 = 1.916 for the others */
    const double expected = 1.511 * 1.511 / (1.511 * 1.511 + 1.916 * 1.916);
    terms_likeness(&terms, (const size_t[]){0, 1}, 2, likeness);
    assert_true(likeness[0] > expected - 1e-9 && likeness[0] < expected + 1e-9);
    assert_true(likeness[1] > expected - 1e-9 && likeness[1] < expected + 1e-9);
    assert_true(likeness[2] == 0 && likeness[3] == 0);
    terms_likeness(&terms, (const size_t[]){0}, 1, likeness);
    assert_true(likeness[0] == 0 && likeness[1] > expected - 1e-9 && likeness[1] < expected + 1e-9);
    terms_release(&terms);
    lab_close(&lab);
}

/* ---- the demo ---- */

enum { GIVEN = 4, TIMES = 5 };

typedef struct {
    size_t member[2000], members;
    bool is_member[2000];
} ThemeCards;

static void list_members(const Instance *in, size_t theme, ThemeCards *t)
{
    *t = (ThemeCards){0};
    assert_true(in->cards->count <= 2000);
    for (size_t c = 0; c < in->cards->count; c++)
        if (instance_theme_tag(in, theme, c) != NULL) {
            t->member[t->members++] = c;
            t->is_member[c] = true;
        }
}

static void draw(const ThemeCards *t, Dice *dice, size_t *given)
{
    for (size_t k = 0; k < GIVEN; k++) {
        given[k] = t->member[dice_roll(dice, 0, (int)t->members - 1)];
        for (size_t i = 0; i < k; i++)
            if (given[i] == given[k])
                k--, i = GIVEN;
    }
}

typedef struct {
    int near, caught, caught_of_theme, of_theme;
} Score;

static void judge_draw(const Instance *in, const ThemeCards *t, const size_t *given, Score *score)
{
    AlikeCards alike;
    alike_find(in, given, GIVEN, &alike);
    assert_int_equal(alike.others, in->cards->count - GIVEN);
    for (size_t k = 0; k < alike.others; k++) {
        const size_t c = alike.other[k].card;
        score->near += k < ALIKE_NEAR && t->is_member[c];
        score->of_theme += t->is_member[c];
        score->caught += alike.catches[c];
        score->caught_of_theme += alike.catches[c] && t->is_member[c];
        assert_true(k == 0 || alike.other[k].likeness <= alike.other[k - 1].likeness);
    }
    assert_int_equal(alike.caught, GIVEN);
    alike_release(&alike);
}

static void share(const char *what, const Score *s, int draws)
{
    print_message("  %-12s %4.1f of 20 most alike; pattern: %3d%% of what it catches, %3d%% of the theme\n", what,
                  (double)s->near / draws, 100 * s->caught_of_theme / (s->caught > 0 ? s->caught : 1),
                  100 * s->caught_of_theme / s->of_theme);
}

static void themes_are_found_by_their_words(void **state)
{
    (void)state;
    Diags diags;
    diags_init(&diags);
    FileStore *files = file_store_new();
    Scenario *scenario = scenario_read("scenarios/demo", &(Overrides){0}, files, &diags);
    assert_non_null(scenario);
    Instance *in = instance_new(scenario, &diags);
    assert_non_null(in);
    ThemeCards *themes = mem_new(in->model->themes, sizeof *themes);
    Score all = {0};
    Dice dice;
    dice_seed(&dice, 4711);
    for (size_t t = 0; t < in->model->themes; t++)
        list_members(in, t, &themes[t]);
    for (size_t c = 0; c < in->cards->count; c++)
        in->cards->card[c].tags = 0; /* by what the cards say alone */
    for (size_t t = 0; t < in->model->themes; t++) {
        Score one = {0};
        for (int k = 0; k < TIMES; k++) {
            size_t given[GIVEN];
            draw(&themes[t], &dice, given);
            judge_draw(in, &themes[t], given, &one);
        }
        share(in->model->theme[t].name, &one, TIMES);
        assert_true(one.near >= 10 * TIMES);
        all.near += one.near;
        all.caught += one.caught;
        all.caught_of_theme += one.caught_of_theme;
        all.of_theme += one.of_theme;
    }
    const int draws = TIMES * (int)in->model->themes;
    share("all", &all, draws);
    assert_true(all.near >= 17 * draws); /* floors: a little under what was measured */
    assert_true(100 * all.caught_of_theme >= 75 * all.caught);
    assert_true(100 * all.caught_of_theme >= 50 * all.of_theme);
    mem_free(themes);
    instance_free(in);
    scenario_free(scenario);
    file_store_free(files);
    diags_release(&diags);
}

/* ---- from outside ---- */

static size_t found_by(const char *folder, const char *pattern)
{
    json_t *root = run_answer(folder, 0, WORDS("find", "scenario.yaml", "--json", "--text", pattern));
    const size_t count = json_array_size(json_object_get(root, "cards"));
    json_decref(root);
    return count;
}

static const char some_cards[] = "name,colours,kind,cost,power,price,text\n"
                                 "Gale,rye,wind,2,1,1.00,\"Raise a storm. Storms \xC3\x89lan.\"\n"
                                 "Squall,rye,wind,2,1,1.00,A storm rages.\n"
                                 "Gust,teal,wind,3,1,1.00,Some stormy weather.\n"
                                 "Calm,teal,sea,2,1,1.00,Nothing raises.\n"
                                 "Ebb,teal,sea,2,1,1.00,A tide falls.\n"
                                 "Flow,rye,sea,9,1,1.00,A tide rises.\n"
                                 "Blank,rye,sea,,1,1.00,\n";

static char *folder_of(const char *cards)
{
    char *folder = folder_new();
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", BASE);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    return folder;
}

static void the_pattern_catches_what_is_said(void **state)
{
    (void)state;
    char *folder = folder_of(some_cards);
    json_t *root = run_answer(
        folder, 0, WORDS("find", "scenario.yaml", "--json", "--like", "gale", "--like", "Squall", "--like", "GALE"));
    const json_t *pattern = json_object_get(root, "pattern"), *cards = json_object_get(root, "cards");
    assert_int_equal(json_array_size(json_object_get(root, "like")), 2);
    assert_int_equal(json_array_size(cards), 5);
    assert_string_equal(json_text(json_array_get(cards, 0), "name"), "Gust");
    assert_string_equal(json_text(pattern, "text"), "\\bstorm");
    assert_string_equal(json_string_value(json_array_get(json_object_get(json_array_get(cards, 0), "words"), 0)),
                        "stormy");
    assert_int_equal(json_integer_value(json_object_get(pattern, "catches_given")), 2);
    assert_int_equal(json_integer_value(json_object_get(pattern, "catches_most_alike")), 1);
    assert_int_equal(json_integer_value(json_object_get(pattern, "catches_others")), 0);
    assert_int_equal(found_by(folder, json_text(pattern, "text")), 3);
    json_decref(root);
    /* a word with an accent, and a card without a text */
    root = run_answer(folder, 0, WORDS("find", "scenario.yaml", "--json", "--like", "Gale", "--where", "kind=sea"));
    assert_int_equal(json_array_size(json_object_get(root, "cards")), 4);
    assert_true(found_by(folder, json_text(json_object_get(root, "pattern"), "text")) >= 1);
    json_decref(root);
    root = run_answer(folder, 0, WORDS("find", "scenario.yaml", "--json", "--like", "Blank"));
    assert_null(json_object_get(root, "pattern"));
    assert_string_equal(json_text(json_array_get(json_object_get(root, "cards"), 0), "name"), "Calm");
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void patterns_of_the_demo_catch_what_is_said(void **state)
{
    (void)state;
    json_t *root = run_answer(".", 0,
                              WORDS("find", "scenarios/demo", "--json", "--like", "Mail Dinghy", "--like",
                                    "Harbour Pilot", "--like", "Half Paid in Advance"));
    const json_t *pattern = json_object_get(root, "pattern");
    const char *const counts[] = {"catches_given", "catches_most_alike", "catches_others"};
    const json_t *near = json_object_get(root, "cards");
    size_t sum = 0, caught = 0;
    assert_int_equal(json_array_size(near), 20);
    for (size_t k = 0; k < 20; k++)
        caught += json_is_true(json_object_get(json_array_get(near, k), "caught"));
    assert_true(caught > 1);
    assert_int_equal(caught, json_integer_value(json_object_get(pattern, "catches_most_alike")));
    for (size_t k = 0; k < 3; k++)
        sum += (size_t)json_integer_value(json_object_get(pattern, counts[k]));
    json_t *found = run_answer(".", 0, WORDS("find", "scenarios/demo", "--json", "--text", json_text(pattern, "text")));
    assert_int_equal(json_array_size(json_object_get(found, "cards")), sum);
    json_decref(found);
    json_decref(root);
}

static void wrong_questions(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_of(some_cards);
    run_poolwright(folder, WORDS("find", "scenario.yaml", "--like", "Sqall"), NULL, &run);
    desk_expect_code(&run, 2, "--like");
    desk_expect(run.err, "no candidate is called 'Sqall'; did you mean 'Squall'?");
    run_forget(&run);
    run_poolwright(folder, WORDS("find", "scenario.yaml", "--like", "Squall", "--sort", "name"), NULL, &run);
    desk_expect_code(&run, 2, "--like");
    desk_expect(run.err, "--sort does not go with --like");
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rare_words_weigh_more),
        cmocka_unit_test(likeness_is_a_cosine),
        cmocka_unit_test(themes_are_found_by_their_words),
        cmocka_unit_test(the_pattern_catches_what_is_said),
        cmocka_unit_test(patterns_of_the_demo_catch_what_is_said),
        cmocka_unit_test(wrong_questions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
