/* test_drafts.c - simulated drafts: where picks are at random, means and chances against exact ones (hypergeometric,
 * counted in test_draws) within 4.5 standard errors at fixed seeds; the same drafts for any number of threads; sums
 * that must come out; drafts small enough to be made by hand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/draw.h"
#include "seats/drafts.h"
#include "support/run.h"

/* ---- against exact chances ---- */

typedef struct {
    Scenario *scenario;
    Instance *instance;
    int *copies;
    int pool;
} Pool;

/* The demo's present pool, without the card that is no candidate. */
static void read_demo(Pool *pool)
{
    Diags diags = {0};
    const Overrides none = {0};
    pool->scenario = scenario_read("scenarios/demo", &none, NULL, &diags);
    assert_non_null(pool->scenario);
    pool->instance = instance_new(pool->scenario, &diags);
    assert_non_null(pool->instance);
    pool->copies = pool->instance->present;
    pool->pool = 0;
    for (size_t c = 0; c < pool->instance->cards->count; c++)
        pool->pool += pool->copies[c];
    diags_release(&diags);
}

static void expect_chance(const char *what, double found, double chance, double times)
{
    const double error = sqrt(chance * (1 - chance) / times);
    if (fabs(found - chance) > 4.5 * error + 1e-12)
        fail_msg("%s: %.5f of the drafts, expected %.5f, standard error %.5f", what, found, chance, error);
}

/* The mean of a hypergeometric number and its variance: n K/N and n K/N (1 - K/N) (N - n)/(N - 1). */
static void expect_spread(const char *what, const Spread *s, const Draw *d)
{
    const double share = (double)d->marked / d->all, mean = d->drawn * share,
                 variance = mean * (1 - share) * (d->all - d->drawn) / (d->all - 1.0);
    const double error = sqrt(variance / (double)s->times);
    if (fabs(spread_mean(s) - mean) > 4.5 * error)
        fail_msg("%s: mean %.4f, expected %.4f, standard error %.4f", what, spread_mean(s), mean, error);
    /* The standard error of a variance is near variance x sqrt(2/n). */
    const double found = spread_deviation(s) * spread_deviation(s);
    if (fabs(found - variance) > 4.5 * variance * sqrt(2.0 / (double)s->times) * 1.2)
        fail_msg("%s: variance %.4f, expected %.4f", what, found, variance);
    int64_t more = s->times;
    for (int k = 0; k <= 25; k++) {
        char words[100];
        snprintf(words, sizeof words, "%s, at least %d", what, k);
        expect_chance(words, (double)more / (double)s->times, draw_at_least(d, k), (double)s->times);
        more -= s->count[k];
    }
}

static void random_picks_are_exact(void **state)
{
    (void)state;
    static const Drafting tables[] = {{7, 3, 15}, {4, 3, 15}, {2, 2, 20}};
    Pool pool;
    read_demo(&pool);
    for (size_t k = 0; k < sizeof tables / sizeof *tables; k++) {
        const DraftOptions options = {.drafts = 4000, .seed = 20 + k, .threads = 2, .random_picks = true};
        Drafts d;
        drafts_run(pool.instance, pool.copies, 0, &tables[k], &(Package){6, 3}, &options, &d);
        assert_int_equal(d.drafts, 4000);
        for (size_t t = 0; t < d.themes; t++) {
            int cards = 0;
            for (size_t c = 0; c < pool.instance->cards->count; c++)
                if (instance_theme_tag(pool.instance, t, c) != NULL &&
                    colours_playable(&pool.instance->cards->card[c].colours, pool.instance->model->theme[t].colours))
                    cards += pool.copies[c];
            const Draw opened = {pool.pool, cards, (int)drafting_cards(&tables[k], DRAW_OPENS)},
                       seen = {pool.pool, cards, (int)drafting_cards(&tables[k], DRAW_SEES)};
            expect_spread(d.theme[t].name, &d.theme[t].opened, &opened);
            expect_spread(d.theme[t].name, &d.theme[t].seen, &seen);
        }
        /* Each card of a pool is dealt with the same chance, and is picked at any place with the same. */
        const double dealt = (double)drafting_cards(&tables[k], DRAW_DEALT) / pool.pool;
        for (size_t c = 0; c < d.cards; c++) {
            const DraftCard *card = &d.card[c];
            expect_chance("dealt", (double)card->seen / d.drafts, fmin(1, dealt), d.drafts);
            expect_chance("first", (double)card->first / (double)card->seen, 1.0 / tables[k].pack_size,
                          (double)card->seen);
        }
        drafts_release(&d);
    }
    instance_free(pool.instance);
    scenario_free(pool.scenario);
}

/* ---- sums ---- */

static void sums_come_out(void **state)
{
    (void)state;
    const Drafting table = {7, 3, 15};
    const DraftOptions options = {.drafts = 300, .seed = 3, .threads = 2};
    Pool pool;
    read_demo(&pool);
    Drafts d;
    drafts_run(pool.instance, pool.copies, 0, &table, &(Package){6, 3}, &options, &d);
    int64_t seats = d.no_theme, picks = 0, missing = 0, worst = 0, places = 0;
    for (size_t t = 0; t < d.themes; t++) {
        const DraftTheme *theme = &d.theme[t];
        seats += theme->seats;
        assert_int_equal(theme->drafts[0] + theme->drafts[1] + theme->drafts[2], d.drafts);
        assert_int_equal(theme->cards.times, theme->seats);
        assert_true(theme->seats >= theme->drafts[1] + 2 * theme->drafts[2]);
    }
    for (size_t c = 0; c < d.cards; c++) {
        picks += d.card[c].seen;
        places += d.card[c].place;
        assert_true(c == 0 || d.card[c - 1].place * d.card[c].seen <= d.card[c].place * d.card[c - 1].seen);
    }
    for (size_t n = 0; n < d.needs; n++) {
        missing += d.need[n].missing;
        worst += d.need[n].worst;
    }
    assert_int_equal(seats, 7 * d.drafts);
    assert_int_equal(picks, 7 * 45 * d.drafts);
    assert_int_equal(places, 7 * 3 * 120 * d.drafts);
    assert_int_equal(missing, d.missing.sum);
    assert_int_equal(worst, d.worst.sum);
    /* Of seven seats the worst one misses far more than the average. */
    assert_true(d.worst.sum * 7 >= 2 * d.missing.sum);
    drafts_release(&d);
    instance_free(pool.instance);
    scenario_free(pool.scenario);
}

/* ---- the program ---- */

static char *said(const char *folder, const char *const *arguments)
{
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != 0)
        fail_msg("exit code %d\n%s", run.code, run.err);
    char *text = strdup(run.out);
    run_forget(&run);
    return text;
}

static void threads_change_nothing(void **state)
{
    (void)state;
    static const char *const threads[] = {"1", "2", "5"};
    char *first = NULL;
    for (size_t k = 0; k < 3; k++) {
        char *text = said(".", (const char *const[]){"seats", "scenarios/demo", "--drafts", "203", "--seed", "9",
                                                     "--json", "--threads", threads[k], NULL});
        if (first == NULL) {
            first = text;
            continue;
        }
        assert_string_equal(first, text);
        free(text);
    }
    char *other =
        said(".", (const char *const[]){"seats", "scenarios/demo", "--drafts", "203", "--seed", "10", "--json", NULL});
    assert_string_not_equal(first, other);
    free(first);
    free(other);
}

static double place_of(const json_t *root, const char *name)
{
    size_t k;
    const json_t *card;
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        if (strcmp(json_text(card, "name"), name) == 0)
            return json_number_value(json_object_get(card, "place"));
    }
    fail_msg("no card %s", name);
    return 0;
}

static json_t *draft_of(const char *rules, const char *cards, int size)
{
    char *folder = folder_new(), model[400];
    snprintf(model, sizeof model, "size: %d\ncolours: [ash, bay, elm]\nfit: {power: 0}\n%s", size, rules);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "cards.csv", cards);
    char list[200] = "name\n";
    for (int c = 0; c < size; c++) {
        const char line[] = {(char)('A' + c), '\n', '\0'};
        strcat(list, line);
    }
    folder_print(folder, "pool.csv", list);
    char *text = said(folder, (const char *const[]){"seats", "cards.csv", "pool.csv", "--model", "model.yaml",
                                                    "--drafts", "40", "--json", NULL});
    json_t *root = json_loads(text, 0, NULL);
    assert_non_null(root);
    free(text);
    folder_remove(folder);
    free(folder);
    return root;
}

static json_t *draft_by_hand(const char *seats, const char *cards, int size)
{
    char rules[300];
    snprintf(rules, sizeof rules,
             "deck_colours: 1\nseats: {%s}\nthemes: [{name: tides}, {name: winds}]\n"
             "deck: {size: 2, rules: [{name: both, each: theme, at_least: 3}]}\n",
             seats);
    return draft_of(rules, cards, size);
}

/* Power counts nothing here, so there is no taste either, and the picks can be made by hand. Of A (tides 3), B (tides
 * 2) and C (winds 2.1) a seat alone takes A (3/4 against 2.1/4); then B, whose theme counts two fifths now (0.8 against
 * 0.525), though its tag weighs less than C's. */
static void a_theme_grows_on_a_seat(void **state)
{
    (void)state;
    json_t *root = draft_by_hand("seats: 1, packs: 1, pack_size: 3",
                                 "name,colours,tags\nA,,tides 3\nB,,tides 2\nC,,winds 2.1\n", 3);
    assert_true(place_of(root, "A") == 1 && place_of(root, "B") == 2 && place_of(root, "C") == 3);
    /* Two of tides, one of winds: the seat's theme is tides, of which it lacks one card. */
    const json_t *tides = json_array_get(json_object_get(root, "themes"), 0);
    assert_true(json_number_value(json_object_get(tides, "seats")) == 1);
    assert_true(json_number_value(json_object_get(json_object_get(tides, "cards"), "mean")) == 2);
    assert_true(json_number_value(json_object_get(json_object_get(root, "worst_seat"), "mean")) == 1);
    json_decref(root);
}

/* A pool that has one of two themes is drafted by that one: winds are worth more in it, so A (tides 3) comes last. */
static void themes_left_out_do_not_count(void **state)
{
    (void)state;
    json_t *root = draft_by_hand("seats: 1, packs: 1, pack_size: 3}\nchoose: {from: [tides, winds], exactly: 1",
                                 "name,colours,tags\nA,,tides 3\nB,,winds 2\nC,,winds 2.1\n", 3);
    assert_true(place_of(root, "C") == 1 && place_of(root, "B") == 2 && place_of(root, "A") == 3);
    assert_int_equal(json_array_size(json_object_get(root, "themes")), 1);
    assert_string_equal(json_string_value(json_array_get(json_object_get(root, "not_chosen"), 0)), "tides");
    json_decref(root);
}

/* Of four picks one is made, so what ash cannot play counts half: C (2, ash: 2/4) goes before B (3, bay: 3/4 x 1/2). */
static void colours_settle(void **state)
{
    (void)state;
    json_t *root =
        draft_by_hand("seats: 1, packs: 1, pack_size: 4",
                      "name,colours,tags\nA,ash,tides 4\nB,bay,winds 3\nC,ash,winds 2\nD,elm,winds 0.1\n", 4);
    assert_true(place_of(root, "A") == 1 && place_of(root, "C") == 2);
    assert_true(json_number_value(json_object_get(json_object_get(root, "playables"), "mean")) == 2);
    json_decref(root);
}

/* The same with cards that are worth less than nothing: B, which ash cannot play, is no better for that than C. */
static void what_is_below_nothing_is_not_taken_for_being_unplayable(void **state)
{
    (void)state;
    json_t *root =
        draft_by_hand("seats: 1, packs: 1, pack_size: 4",
                      "name,colours,tags\nA,ash,tides 4\nB,bay,winds -1\nC,ash,winds -1.1\nD,bay,winds -2\n", 4);
    assert_true(place_of(root, "A") == 1 && place_of(root, "C") == 2);
    json_decref(root);
}

/* Two seats, two packs of two in one round: A and B are the best of each theme in all. Each seat takes the better card
 * of its pack and leaves the other to its neighbour, so the places are fixed whenever A is in a pack: first. */
static void packs_go_round(void **state)
{
    (void)state;
    json_t *root =
        draft_by_hand("seats: 2, packs: 1, pack_size: 2", "name,colours,tags\nA,,tides 9\nB,,\nC,,\nD,,\n", 4);
    assert_true(place_of(root, "A") == 1);
    /* The one card that lies with A is always the second of its pack, and the other two are first and second. */
    assert_true(fabs(place_of(root, "B") + place_of(root, "C") + place_of(root, "D") - 5) < 1e-9);
    json_decref(root);
}

static void expect_missing(const json_t *root, const char *need, double missing)
{
    size_t k;
    const json_t *n;
    json_array_foreach (json_object_get(root, "needs"), k, n)
        if (strcmp(json_text(n, "name"), need) == 0) {
            assert_true(json_number_value(json_object_get(n, "missing")) == missing);
            return;
        }
    fail_msg("nothing is said of %s", need);
}

/* A seat alone has all three cards in its deck of two colours. Tides are of ash, which can play A and not B or C: so
 * the seat has one enabler and no payoff of a package of 6 and 3, as the table of themes says too. That the deck has an
 * upper bound on cards of a theme says nothing of how many it needs. */
static void a_package_is_of_cards_that_the_theme_plays(void **state)
{
    (void)state;
    json_t *root = draft_of("deck_colours: 2\nseats: {seats: 1, packs: 1, pack_size: 3}\n"
                            "themes: [{name: tides, colours: ash}]\n"
                            "deck: {size: 2, rules: [{name: few, each: theme, at_most: 3}]}\n",
                            "name,colours,tags\nA,ash,tides enabler\nB,bay,tides enabler\nC,ash+bay,tides payoff\n", 3);
    const json_t *tides = json_array_get(json_object_get(root, "themes"), 0);
    assert_true(json_number_value(json_object_get(json_object_get(root, "playables"), "mean")) == 3);
    assert_true(json_number_value(json_object_get(json_object_get(tides, "enablers"), "mean")) == 1);
    assert_true(json_number_value(json_object_get(json_object_get(tides, "payoffs"), "mean")) == 0);
    expect_missing(root, "enablers", 5);
    expect_missing(root, "payoffs", 3);
    json_decref(root);
}

/* Nobody drafts the theme, so no seat is asked for its package: neither all of them have it nor none. */
static void a_package_that_no_seat_needs(void **state)
{
    (void)state;
    json_t *root = draft_of("deck_colours: 1\nseats: {seats: 1, packs: 1, pack_size: 2}\n"
                            "themes: [{name: tides, colours: ash}]\n",
                            "name,colours,tags\nA,ash,\nB,ash,\nC,ash,tides enabler\n", 2);
    const json_t *needs = json_object_get(root, "needs");
    assert_int_equal(json_array_size(needs), 3);
    for (size_t k = 0; k < 3; k++) {
        const json_t *met = json_object_get(json_array_get(needs, k), "met");
        assert_true(k == 0 ? json_number_value(met) == 1 : json_is_null(met));
    }
    json_decref(root);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_picks_are_exact),
        cmocka_unit_test(sums_come_out),
        cmocka_unit_test(threads_change_nothing),
        cmocka_unit_test(a_theme_grows_on_a_seat),
        cmocka_unit_test(colours_settle),
        cmocka_unit_test(themes_left_out_do_not_count),
        cmocka_unit_test(what_is_below_nothing_is_not_taken_for_being_unplayable),
        cmocka_unit_test(packs_go_round),
        cmocka_unit_test(a_package_is_of_cards_that_the_theme_plays),
        cmocka_unit_test(a_package_that_no_seat_needs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
