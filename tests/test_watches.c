/* test_watches.c - `watch: yes` on a rule counts and never constrains: small random scenarios (tiny.h) in which some
 * rules are off give the same answers, explanations and figures of the search where they are watched instead, and what
 * is counted agrees with tiny_judge.c. Signals of a pool by hand. POOLWRIGHT_SEED moves the first seed,
 * POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/pools.h"

enum { CARDS = 10, SCENARIOS = 30 };

/* Some rules that have a bound of their own are off, none else is. */
static bool turn_off(Tiny *tiny, Dice *dice)
{
    bool any = false;
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        const int home = rule->in_base ? LAYER_BASE : LAYER_MODEL;
        rule->off = rule->band[home].side != NONE && rule->band[home].sort != PERCENT && rule->soft == 0 &&
                    dice_chance(dice, 60);
        any = any || rule->off != 0;
    }
    return any;
}

/* In every file of the model. */
static void watch_instead(const char *folder)
{
    static const char *const name[] = {"model.yaml", "base.yaml", "scenario.yaml"};
    for (size_t k = 0; k < sizeof name / sizeof *name; k++) {
        char *text = folder_read(folder, name[k], NULL), *at = text;
        if (text == NULL)
            continue;
        char *changed = calloc(2 * strlen(text) + 1, 1);
        for (char *found; (found = strstr(at, "off: yes")) != NULL; at = found + strlen("off: yes")) {
            strncat(changed, at, (size_t)(found - at));
            strcat(changed, "watch: yes");
        }
        strcat(changed, at);
        folder_print(folder, name[k], changed);
        free(changed);
        free(text);
    }
}

static json_t *asked(const Tiny *tiny, const char *folder, const char *const *ask, bool *has_pool)
{
    Run run;
    json_t *root = pools_run(tiny, folder, ask, NULL, &run);
    *has_pool = run.code == 0;
    run_forget(&run);
    return root;
}

static json_t *checked(const char *folder)
{
    Run run;
    run_poolwright(folder, WORDS("check", "scenario.yaml", "--json"), NULL, &run);
    json_t *root = run_json(&run);
    assert_true(run.code <= 1);
    run_forget(&run);
    return root;
}

static void read_pool(const Tiny *tiny, const json_t *root, int *copies)
{
    const json_t *pool = json_object_get(root, "pool");
    memset(copies, 0, CARDS_MOST * sizeof *copies);
    for (size_t k = 0; k < json_array_size(pool); k++)
        for (int c = 0; c < tiny->cards; c++)
            if (strcmp(json_text(json_array_get(pool, k), "name"), tiny_card_name(c)) == 0)
                copies[c] = (int)json_integer_value(json_object_get(json_array_get(pool, k), "copies"));
}

/* The uses of what is watched, and which are within their bands. */
static int judge_uses(const Tiny *tiny, const json_t *root)
{
    const json_t *rules = json_object_get(json_object_get(root, "watches"), "rules");
    int copies[CARDS_MOST], outside = 0;
    read_pool(tiny, root, copies);
    for (size_t k = 0; k < json_array_size(rules); k++) {
        const json_t *item = json_array_get(rules, k);
        const int r = json_text(item, "name")[5] - 'a';
        const TinyRule *rule = &tiny->rule[r];
        const int member = tiny_member_of(tiny, rule, json_text(item, "of"));
        const Band band = tiny_band(tiny, rule, member);
        int64_t use, total, counted;
        assert_true(rule->off != 0);
        outside += !json_is_true(json_object_get(item, "within"));
        if (band.sort != ABSOLUTE || band.side == NONE)
            continue;
        const int measure = rule->measure;
        const int scale = measure == COUNT || measure == NAMES ? 1 : measure == SPEND || measure == PRICE ? 100 : 1000;
        tiny_use(tiny, r, member, copies, &use, &total, &counted);
        assert_int_equal(json_units(item, "use", scale), use);
        const json_t *limit = json_object_get(item, "limit");
        const bool within =
            (json_object_get(limit, "at_least") == NULL || use >= json_units(limit, "at_least", scale)) &&
            (json_object_get(limit, "at_most") == NULL || use <= json_units(limit, "at_most", scale));
        assert_int_equal(json_is_true(json_object_get(item, "within")), within);
    }
    return outside;
}

static void forget_what_may_differ(json_t *root)
{
    json_object_del(root, "watches");
    json_object_del(root, "notices");
    json_object_del(root, "unused_columns"); /* a watched rule uses its own */
}

static void compare(json_t *off, json_t *watched, uint64_t seed, const char *verb)
{
    forget_what_may_differ(off);
    forget_what_may_differ(watched);
    const char *key;
    json_t *value;
    json_object_foreach (off, key, value)
        if (!json_equal(value, json_object_get(watched, key))) {
            char *a = json_dumps(value, JSON_ENCODE_ANY),
                 *b = json_dumps(json_object_get(watched, key), JSON_ENCODE_ANY);
            fail_msg("seed %llu, %s: a watch changes %s\n%.800s\n%.800s", (unsigned long long)seed, verb, key, a, b);
        }
    assert_int_equal(json_object_size(off), json_object_size(watched));
    json_decref(off);
    json_decref(watched);
}

static int judge(uint64_t seed, int *watched_rules)
{
    Tiny tiny;
    Dice dice;
    int outside = 0;
    dice_seed(&dice, seed);
    pools_prepare(&tiny, seed, CARDS);
    if (!turn_off(&tiny, &dice))
        return 0;
    char *off = folder_new(), *watched = folder_new();
    tiny_write(&tiny, off);
    tiny_write(&tiny, watched);
    watch_instead(watched);
    const char *const asks[][4] = {{"best", "--rules"}, {"check"}, {"why", tiny_card_name(0), tiny_card_name(3)}};
    for (size_t k = 0; k < sizeof asks / sizeof *asks; k++) {
        if (k == 1) {
            json_t *a = checked(off), *b = checked(watched);
            *watched_rules += (int)json_array_size(json_object_get(b, "watches"));
            compare(a, b, seed, "check");
            continue;
        }
        bool has_pool, has_too;
        json_t *a = asked(&tiny, off, asks[k], &has_pool), *b = asked(&tiny, watched, asks[k], &has_too);
        assert_int_equal(has_pool, has_too);
        if (k == 0 && has_pool)
            outside = judge_uses(&tiny, b);
        compare(a, b, seed, asks[k][0]);
    }
    folder_remove(off);
    folder_remove(watched);
    free(off);
    free(watched);
    return outside;
}

static void a_watch_never_changes_anything(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 52000);
    const uint64_t count = scenarios_wanted(SCENARIOS);
    int outside = 0, rules = 0;
    for (uint64_t k = 0; k < count; k++)
        outside += judge(first + k, &rules);
    print_message("%d watched, %d of them outside their bands\n", rules, outside);
    assert_true(rules > 0 && outside > 0);
}

/* ---- by hand ---- */

static const char cards[] = "name,colours,kind,cost,power,price,lures,tags\n"
                            "Bait,rye,crew,1,5,1.00,payoff,rare\n"
                            "Hook,rye,crew,1,5,1.00,payoff,rare\n"
                            "Line,rye,crew,2,5,1.00,payoff,rare; odd\n"
                            "Lamp,teal,crew,5,5,1.00,enabler,odd\n"
                            "Glow,teal,crew,4,5,1.00,both,rare\n"
                            "Fire,teal,crew,3,5,1.00,enabler,\n"
                            "Sand,rye,sea,9,1,1.00,,\n";

static char *folder_of(const char *rules)
{
    char model[600];
    char *folder = folder_new();
    snprintf(model, sizeof model,
             "size: 6\ncolours: [rye, teal]\nthemes: [{name: lures, colours: rye+teal}]\nfit: {power: 1}\n%s", rules);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    return folder;
}

static void signals_are_counted(void **state)
{
    (void)state;
    char *folder = folder_of("rules: [{name: sea, where: {kind: sea}, at_least: 1, watch: yes}, "
                             "{name: crew, each: colour, where: {kind: crew}, at_most: 3, watch: yes}]\n");
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--json"));
    const json_t *watches = json_object_get(root, "watches"), *rules = json_object_get(watches, "rules");
    assert_int_equal(json_array_size(rules), 3);
    assert_true(json_is_false(json_object_get(json_array_get(rules, 0), "within")));
    assert_true(json_is_true(json_object_get(json_array_get(rules, 1), "within")));
    assert_int_equal(json_integer_value(json_object_get(json_array_get(rules, 2), "use")), 3);
    /* rare is on four cards; odd on two is none; lures is a theme */
    const json_t *tags = json_object_get(watches, "tags");
    assert_int_equal(json_array_size(tags), 1);
    assert_string_equal(json_text(json_array_get(tags, 0), "tag"), "rare");
    assert_int_equal(json_integer_value(json_object_get(json_array_get(tags, 0), "cards")), 4);
    /* four payoffs with the one that is both, three enablers, two for each wanted */
    const json_t *few = json_array_get(json_object_get(watches, "few_enablers"), 0);
    assert_int_equal(json_integer_value(json_object_get(few, "payoffs")), 4);
    assert_int_equal(json_integer_value(json_object_get(few, "enablers")), 3);
    assert_int_equal(json_integer_value(json_object_get(few, "wanted")), 8);
    /* 4/3 and 4 */
    const json_t *colours = json_object_get(json_array_get(json_object_get(watches, "two_speeds"), 0), "colours");
    assert_true(json_number_value(json_object_get(json_array_get(colours, 1), "average_cost")) == 4.0);
    json_decref(root);
    Run run;
    run_poolwright(folder, WORDS("best", "scenario.yaml"), NULL, &run);
    desk_expect(run.out,
                "Watches: 1 rule outside its band; 1 tag without a theme; 1 theme with few enablers; 1 theme of "
                "two speeds (--show watches).");
    run_forget(&run);
    run_poolwright(folder, WORDS("best", "scenario.yaml", "--show", "watches"), NULL, &run);
    desk_expect(run.out, "at least 1    0  off by 1");
    desk_expect(run.out, "Tags of a few cards that are no theme: rare (4).");
    desk_expect(run.out, "lures: 3 enablers for 4 payoffs, which want 8.");
    desk_expect(run.out, "lures has two speeds: its rye cards cost 1.33 on average, its teal cards 4.00.");
    run_forget(&run);
    /* the page has the same sentences */
    run_poolwright(folder, WORDS("page", "scenario.yaml", "-o", "page.html"), NULL, &run);
    run_forget(&run);
    char *page = folder_read(folder, "page.html", NULL);
    desk_expect(page, "<p>Tags of a few cards that are no theme: rare (4).</p>\n<p>lures: 3 enablers for 4 payoffs, "
                      "which want 8.</p>\n<p>lures has two speeds: its rye cards cost 1.33 on average");
    free(page);
    run_poolwright(folder, WORDS("check", "scenario.yaml", "--rules"), NULL, &run);
    desk_expect(run.out, "Watches: counted, and nothing has to keep them");
    run_forget(&run);
    folder_print(folder, "list.csv", "name\nBait\nHook\nLine\nLamp\nGlow\nSand\n");
    root = run_answer(folder, 0, WORDS("audit", "scenario.yaml", "list.csv", "--json"));
    watches = json_object_get(root, "watches");
    assert_true(json_is_true(json_object_get(json_array_get(json_object_get(watches, "rules"), 0), "within")));
    json_decref(root);
    folder_remove(folder);
    free(folder);
    /* what a rule counts is meant */
    static const char *const asked[] = {"rules: [{name: few, where: {tag: [odd, RARE]}, at_least: 1}]\n",
                                        "rules: [{name: few, where: {kind: crew}, at_least: 1%, of: {tag: rare}}]\n",
                                        "deck: {rules: [{name: few, where: {tag: rare}, at_least: 1}]}\n"};
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        folder = folder_of(asked[k]);
        root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--json"));
        assert_int_equal(json_array_size(json_object_get(json_object_get(root, "watches"), "tags")), 0);
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

/* Nothing to say: no line. */
static void quiet_where_nothing_is(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_of("");
    folder_print(folder, "cards.csv",
                 "name,colours,cost,power,price\nA,rye,1,1,1\nB,rye,1,1,1\nC,rye,1,1,1\n"
                 "D,teal,1,1,1\nE,teal,1,1,1\nF,teal,1,1,1\n");
    run_poolwright(folder, WORDS("best", "scenario.yaml"), NULL, &run);
    desk_expect_code(&run, 0, "best");
    assert_null(strstr(run.out, "Watches"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void refused(const char *model, const char *expected)
{
    Run run;
    char *folder = folder_of(model);
    run_poolwright(folder, WORDS("best", "scenario.yaml"), NULL, &run);
    desk_expect_code(&run, 2, expected);
    desk_expect(run.err, expected);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void what_cannot_be_watched(void **state)
{
    (void)state;
    refused("rules: [{name: sea, where: {kind: sea}, at_least: 1, watch: yes, soft: 2}]\n",
            "found 'soft' in rule 'sea', which is only watched");
    refused("rules: [{name: sea, where: {kind: sea}, at_least: 1, watch: maybe}]\n", "expected yes or no");
    refused("deck: {size: 2, rules: [{name: sea, where: {kind: sea}, at_least: 1, watch: yes}]}\n",
            "found 'watch' in a rule of the deck");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_watch_never_changes_anything),
        cmocka_unit_test(signals_are_counted),
        cmocka_unit_test(quiet_where_nothing_is),
        cmocka_unit_test(what_cannot_be_watched),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
