/* test_decks.c - the best decks of a pool, from outside: small random pools whose every deck is tried here. Values,
 * units missed, second decks and what one unit less of a rule brings; and what a deck's rules may say. The small pools
 * are invented. POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/deck_plan.h"
#include "support/desk.h"
#include "support/run.h"

/* ---- trying every deck ---- */

typedef struct {
    const TestPool *pool;
    const Row *row;
    int rows;
    unsigned mask;
    int theme;
    const int *left; /* [cards] copies */
    int take[CARDS_MOST];
    bool has;
    int64_t missed, value;
} Trial;

static int64_t units(int64_t over, int64_t unit)
{
    return over > 0 ? (over + unit - 1) / unit : 0;
}

static void judge(Trial *t)
{
    int64_t missed = 0, value = 0, cards = 0;
    for (int c = 0; c < t->pool->cards; c++)
        cards += t->take[c];
    if (cards > t->pool->size) /* no deck holds more */
        return;
    for (int r = 0; r < t->rows; r++) {
        int64_t low = 0, high = 0;
        for (int c = 0; c < t->pool->cards; c++) {
            low += t->take[c] * t->row[r].add[c];
            high += t->take[c] * t->row[r].add_high[c];
        }
        missed += t->row[r].has_low ? units(t->row[r].low - low, t->row[r].unit) : 0;
        missed += t->row[r].has_high ? units(high - t->row[r].high, t->row[r].unit) : 0;
    }
    for (int c = 0; c < t->pool->cards; c++)
        value += t->take[c] * deck_worth_of(t->pool, &t->pool->card[c], t->mask, t->theme);
    if (t->has && (missed > t->missed || (missed == t->missed && value <= t->value)))
        return;
    t->has = true;
    t->missed = missed;
    t->value = value;
}

static void try_from(Trial *t, int card)
{
    if (card == t->pool->cards) {
        judge(t);
        return;
    }
    const int most = deck_playable(&t->pool->card[card], t->mask) ? t->left[card] : 0;
    for (t->take[card] = 0; t->take[card] <= most; t->take[card]++)
        try_from(t, card + 1);
    t->take[card] = 0;
}

static Trial best_deck(const TestPool *pool, const Row *row, int rows, unsigned mask, int theme, const int *left)
{
    Trial t = {.pool = pool, .row = row, .rows = rows, .mask = mask, .theme = theme, .left = left};
    try_from(&t, 0);
    return t;
}

/* ---- what the program says ---- */

static int card_of(const TestPool *pool, const char *name)
{
    for (int c = 0; c < pool->cards; c++)
        if (strcmp(pool->card[c].name, name) == 0)
            return c;
    fail_msg("no card is called '%s'", name);
    return -1;
}

/* The deck shown is one, and worth what is said. */
static void take_shown(const TestPool *pool, const json_t *deck, unsigned mask, int theme, const int *left, int *take)
{
    int64_t value = 0;
    size_t k;
    json_t *card;
    memset(take, 0, CARDS_MOST * sizeof *take);
    json_array_foreach (json_object_get(deck, "cards"), k, card) {
        const int c = card_of(pool, json_text(card, "name"));
        take[c] = (int)json_integer_value(json_object_get(card, "copies"));
        assert_true(take[c] > 0 && take[c] <= left[c] && deck_playable(&pool->card[c], mask));
        value += take[c] * deck_worth_of(pool, &pool->card[c], mask, theme);
    }
    assert_int_equal(value, json_units(deck, "value", 1000));
}

/* What one unit less of each rule brings, tried anew. */
static void judge_gains(const TestPool *pool, const json_t *deck, Row *row, int rows, unsigned mask, int theme,
                        const int *left)
{
    const Trial now = best_deck(pool, row, rows, mask, theme, left);
    const json_t *limits = json_object_get(deck, "limits");
    assert_int_equal(json_array_size(limits), rows);
    for (int r = 0; r < rows && now.missed == 0; r++) {
        int64_t most = 0;
        for (int low = 0; low <= 1 && row[r].rule >= 0; low++) {
            if (low ? !row[r].has_low : !row[r].has_high)
                continue;
            int64_t *side = low ? &row[r].low : &row[r].high;
            *side += low ? -row[r].unit : row[r].unit;
            const Trial looser = best_deck(pool, row, rows, mask, theme, left);
            most = looser.missed == 0 && looser.value - now.value > most ? looser.value - now.value : most;
            *side -= low ? -row[r].unit : row[r].unit;
        }
        const json_t *limit = json_array_get(limits, (size_t)r);
        if (row[r].rule >= 0)
            assert_int_equal(json_units(limit, "gain", 1000), most);
    }
    for (int r = 0; r < rows && now.missed > 0; r++)
        assert_null(json_object_get(json_array_get(limits, (size_t)r), "gain"));
}

static void judge_deck(const TestPool *pool, const json_t *deck, unsigned own, int theme, const int *left, bool gains,
                       int *take)
{
    static Row row[RULES_MOST * COLOURS_MOST + 1];
    assert_string_equal(json_text(deck, "status"), "best");
    const unsigned mask = deck_mask(pool, json_text(deck, "colours"));
    Trial best = {0};
    for (unsigned other = 0; other < 1U << pool->colours; other++) {
        if (theme < 0 ? other != own : __builtin_popcount(other) != 2 || (own & ~other) != 0)
            continue;
        const int rows = deck_rows(pool, other, theme, row);
        const Trial one = best_deck(pool, row, rows, other, theme, left);
        if (!best.has || one.missed < best.missed || (one.missed == best.missed && one.value > best.value))
            best = one;
    }
    take_shown(pool, deck, mask, theme, left, take);
    assert_int_equal(json_integer_value(json_object_get(deck, "missed")), best.missed);
    assert_int_equal(json_units(deck, "value", 1000), best.value);
    const int rows = deck_rows(pool, mask, theme, row);
    const Trial shown_is = best_deck(pool, row, rows, mask, theme, take);
    assert_true(shown_is.missed == best.missed && shown_is.value >= best.value);
    if (gains)
        judge_gains(pool, deck, row, rows, mask, theme, left);
}

static void judge_all(const TestPool *pool, const json_t *root)
{
    size_t k;
    json_t *item;
    int64_t last_value = INT64_MIN, last_missed = INT64_MAX;
    bool themes = false;
    assert_true(json_is_true(json_object_get(root, "proven")));
    json_array_foreach (json_object_get(root, "decks"), k, item) {
        int left[CARDS_MOST], take[CARDS_MOST];
        const char *name = json_string_value(json_object_get(item, "theme"));
        const int theme = name == NULL ? -1 : deck_theme(pool, name);
        const unsigned all = (1U << pool->colours) - 1U;
        unsigned own = theme < 0 ? deck_mask(pool, json_text(item, "colours")) : pool->theme_colours[theme];
        own = theme >= 0 && own == all ? 0 : own;
        for (int c = 0; c < pool->cards; c++)
            left[c] = pool->card[c].copies;
        const json_t *first = json_object_get(item, "first");
        judge_deck(pool, first, own, theme, left, true, take);
        if (theme >= 0 && !themes) {
            last_value = INT64_MIN;
            last_missed = INT64_MAX;
            themes = true;
        }
        const int64_t value = json_units(first, "value", 1000),
                      missed = json_integer_value(json_object_get(first, "missed"));
        assert_true(missed < last_missed || (missed == last_missed && value >= last_value)); /* the weakest first */
        last_value = value;
        last_missed = missed;
        for (int c = 0; c < pool->cards; c++)
            left[c] -= take[c];
        judge_deck(pool, json_object_get(item, "second"), own, theme, left, false, take);
    }
}

/* ---- random pools ---- */

static const char *const colour_name[] = {"ebb", "silt", "wrack"};
static const char *const theme_name[] = {"moorings", "lanterns"};

static void make_card(Dice *dice, const TestPool *pool, int c, TestCard *card)
{
    *card = (TestCard){.copies = dice_chance(dice, 15) ? 2 : 1, .crew = dice_chance(dice, 50)};
    snprintf(card->name, sizeof card->name, "Card %c", 'A' + c);
    card->port = !card->crew && dice_chance(dice, 25);
    card->parts = dice_roll(dice, 0, 9) < 2 ? 0 : dice_chance(dice, 25) ? 2 : 1;
    const int first = dice_roll(dice, 0, pool->colours - 1);
    card->part[0] = 1U << first;
    card->part[1] = 1U << (first + 1) % pool->colours;
    if (card->parts == 1 && dice_chance(dice, 20))
        card->part[0] |= card->part[1];
    card->has_cost = dice_chance(dice, 85);
    card->cost = 1000 * dice_roll(dice, 0, 6);
    card->power = 500 * dice_roll(dice, -2, 12);
    card->removal = dice_chance(dice, 25);
    for (int t = 0; t < pool->themes; t++)
        if (dice_chance(dice, 40)) {
            card->weight[t] = 250 * dice_roll(dice, 1, 6);
            card->role[t] = dice_roll(dice, 0, 3);
        }
}

static void make_rule(Dice *dice, const TestPool *pool, TestRule *rule)
{
    *rule = (TestRule){.what = (What)dice_roll(dice, ANY, pool->themes > 0 ? MONO : LATE)};
    rule->how = dice_chance(dice, 70) ? COUNT : (How)dice_roll(dice, COST_SUM, POWER_SUM);
    rule->has_low = dice_chance(dice, 60);
    rule->has_high = !rule->has_low || (rule->how != COST_AVERAGE && dice_chance(dice, 30));
    const int scale = rule->how == COUNT ? 1 : rule->how == COST_AVERAGE ? 500 : 2500;
    rule->low = scale * dice_roll(dice, 0, rule->how == COST_AVERAGE ? 10 : 3);
    rule->high = rule->how == COST_AVERAGE ? rule->low : rule->low + scale * dice_roll(dice, 0, 2);
    if (rule->how == COST_AVERAGE)
        rule->high = rule->low;
}

static void make_pool(uint64_t seed, TestPool *pool)
{
    Dice dice;
    dice_seed(&dice, seed);
    memset(pool, 0, sizeof *pool);
    pool->colours = dice_roll(&dice, 2, 3);
    pool->themes = dice_roll(&dice, 0, 2);
    pool->cards = dice_roll(&dice, 4, 9);
    pool->size = dice_roll(&dice, 1, 5);
    for (int k = 0; k < pool->colours; k++)
        pool->colour[k] = colour_name[k];
    for (int t = 0; t < pool->themes; t++) {
        pool->theme[t] = theme_name[t];
        pool->theme_colours[t] = 1U << dice_roll(&dice, 0, pool->colours - 1);
        if (dice_chance(&dice, 60))
            pool->theme_colours[t] |= 1U << dice_roll(&dice, 0, pool->colours - 1);
        if (dice_chance(&dice, 15))
            pool->theme_colours[t] = (1U << pool->colours) - 1U;
        pool->theme_weight[t] = dice_chance(&dice, 50) ? 1000 : 333;
    }
    for (int c = 0; c < pool->cards; c++)
        make_card(&dice, pool, c, &pool->card[c]);
    pool->rules = dice_roll(&dice, 0, 4);
    for (int r = 0; r < pool->rules; r++)
        make_rule(&dice, pool, &pool->rule[r]);
}

static void write_colours(FILE *to, const TestPool *pool, unsigned mask, char mark)
{
    bool first = true;
    for (int k = 0; k < pool->colours; k++)
        if ((mask >> k & 1) != 0) {
            fprintf(to, "%s%s", first ? "" : (char[]){mark, '\0'}, pool->colour[k]);
            first = false;
        }
}

static void write_cards(FILE *to, const TestPool *pool)
{
    static const char *const role[] = {"", " enabler", " payoff", " both"};
    fprintf(to, "name,colours,kind,cost,power,price,copies,tags\n");
    for (int c = 0; c < pool->cards; c++) {
        const TestCard *card = &pool->card[c];
        fprintf(to, "%s,", card->name);
        for (int p = 0; p < card->parts; p++) {
            fprintf(to, "%s", p > 0 ? "+" : "");
            write_colours(to, pool, card->part[p], '/');
        }
        fprintf(to, ",%s,", card->crew ? "crew" : card->port ? "port" : "errand");
        if (card->has_cost)
            fprintf(to, "%d", card->cost / 1000);
        fprintf(to, ",%.3f,1.00,%d,", card->power / 1000.0, card->copies);
        const char *mark = "";
        for (int t = 0; t < pool->themes; t++)
            if (card->weight[t] > 0) {
                fprintf(to, "%s%s%s %.2f", mark, pool->theme[t], role[card->role[t]], card->weight[t] / 1000.0);
                mark = "; ";
            }
        fprintf(to, "%s\n", card->removal ? (mark[0] == '\0' ? "removal" : "; removal") : "");
    }
}

static void write_model(FILE *to, const TestPool *pool)
{
    fprintf(to, "size: 1\ncolours: [");
    for (int k = 0; k < pool->colours; k++)
        fprintf(to, "%s%s", k > 0 ? ", " : "", pool->colour[k]);
    fprintf(to, "]\nfixing: {kind: port}\ndeck_colours: 2\nthemes:\n");
    for (int t = 0; t < pool->themes; t++) {
        fprintf(to, "  - {name: %s, colours: ", pool->theme[t]);
        write_colours(to, pool, pool->theme_colours[t], '+');
        fprintf(to, ", weight: %.3f}\n", pool->theme_weight[t] / 1000.0);
    }
    fprintf(to, "deck:\n  size: %d\n  rules:\n", pool->size);
    for (int r = 0; r < pool->rules; r++)
        deck_write_rule(to, &pool->rule[r], r);
}

static void write_pool(const char *folder, const TestPool *pool)
{
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    write_cards(to, pool);
    fclose(to);
    folder_write(folder, "cards.csv", text, length);
    free(text);
    to = open_memstream(&text, &length);
    write_model(to, pool);
    fclose(to);
    folder_write(folder, "model.yaml", text, length);
    free(text);
    to = open_memstream(&text, &length);
    fprintf(to, "name,copies\n");
    for (int c = 0; c < pool->cards; c++)
        fprintf(to, "%s,%d\n", pool->card[c].name, pool->card[c].copies);
    fclose(to);
    folder_write(folder, "pool.csv", text, length);
    free(text);
}

/* With little effort: what is called best is what it was, and what is not is not called proven. */
static int little_effort_says_no_more(const char *folder, const json_t *whole)
{
    Run run;
    size_t k;
    json_t *item;
    int stopped = 0;
    run_poolwright(folder,
                   (const char *const[]){"decks", "cards.csv", "pool.csv", "--model", "model.yaml", "--effort", "1",
                                         "--json", NULL},
                   NULL, &run);
    json_t *root = run_json(&run);
    const json_t *all = json_object_get(whole, "decks");
    json_array_foreach (json_object_get(root, "decks"), k, item) {
        const char *key = json_object_get(item, "theme") != NULL ? "theme" : "colours";
        const json_t *first = json_object_get(item, "first");
        for (size_t i = 0; i < json_array_size(all); i++) {
            const json_t *other = json_array_get(all, i), *its = json_object_get(other, "first");
            if (!json_equal(json_object_get(item, key), json_object_get(other, key)) ||
                strcmp(json_text(first, "status"), "best") != 0)
                continue;
            assert_true(json_equal(json_object_get(first, "value"), json_object_get(its, "value")));
            assert_true(json_equal(json_object_get(first, "missed"), json_object_get(its, "missed")));
        }
        stopped += strcmp(json_text(first, "status"), "best") != 0 ||
                   strcmp(json_text(json_object_get(item, "second"), "status"), "best") != 0;
    }
    assert_int_equal(json_is_true(json_object_get(root, "proven")), stopped == 0);
    assert_int_equal(run.code, stopped == 0 ? 0 : 3);
    json_decref(root);
    run_forget(&run);
    return stopped;
}

static void every_deck_is_tried(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(150);
    static TestPool pool;
    int stopped = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        char *folder = folder_new();
        make_pool(seed, &pool);
        write_pool(folder, &pool);
        Run run;
        run_poolwright(folder,
                       (const char *const[]){"decks", "cards.csv", "pool.csv", "--model", "model.yaml", "--json", NULL},
                       NULL, &run);
        if (run.code != 0)
            fail_msg("seed %llu: exit code %d\n%s", (unsigned long long)seed, run.code, run.err);
        print_message(seed % 50 == 0 ? "seed %llu\n" : "", (unsigned long long)seed);
        json_t *root = run_json(&run);
        judge_all(&pool, root);
        stopped += little_effort_says_no_more(folder, root);
        json_decref(root);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    assert_true(stopped > 0);
}

/* ---- what a deck's rules may say ---- */

static void a_deck_has_plain_rules(void **state)
{
    (void)state;
    static const struct {
        const char *deck, *message;
    } wrong[] = {
        {"{size: 0}", "expected a whole number from 1 to 1000"},
        {"{size: 3, rules: [{name: r, each: pair, at_least: 1}]}", "model.yaml:3:"},
        {"{size: 3, rules: [{name: r, at_least: 50%}]}", "found a percentage in rule 'r' of the deck"},
        {"{size: 3, rules: [{name: r, at_least: 1, soft: 2}]}", "found 'soft' in a rule of the deck"},
        {"{size: 3, rules: [{name: r, measure: spend, at_most: 2}]}", "counts for a whole pool"},
        {"{size: 3, rule: []}", "did you mean 'rules'?"},
        {"{size: 3, rules: [{name: r, where: {kind: crwe}, at_least: 1}]}", "no candidate"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = folder_new(), model[300];
        snprintf(model, sizeof model, "size: 1\ncolours: [ebb, silt]\ndeck: %s\n", wrong[k].deck);
        folder_print(folder, "model.yaml", model);
        folder_print(folder, "cards.csv", "name,colours,kind,price\nCoble,ebb,crew,1\nDrag,silt,crew,1\n");
        folder_print(folder, "pool.csv", "name\nCoble\n");
        Run run;
        run_poolwright(folder, (const char *const[]){"decks", "cards.csv", "pool.csv", "--model", "model.yaml", NULL},
                       NULL, &run);
        if (strstr(run.err, wrong[k].message) == NULL)
            fail_msg("%s: code %d, %s", wrong[k].deck, run.code, run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* Of a theme that the pool does not choose nothing counts: it has no deck, is not the weakest, and its tags are worth
 * nothing to the others. */
static void a_theme_that_is_not_chosen_has_no_deck(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [ebb, silt]\nthemes: [{name: tides}, {name: moons}]\n"
                 "choose: {from: [tides, moons], exactly: 1}\ndeck: {size: 2}\n");
    folder_print(folder, "cards.csv", "name,colours,kind,power,tags\nAft,ebb,crew,1,tides 3\nBow,silt,crew,2,moons\n");
    folder_print(folder, "pool.csv", "name\nAft\nBow\n");
    Run run;
    run_poolwright(folder, WORDS("decks", "cards.csv", "pool.csv", "--model", "model.yaml"), NULL, &run);
    desk_expect_told(&run, 0, "moons is not chosen in this pool: it has no deck, and its tags count in none.");
    assert_null(strstr(run.out, "Weakest theme"));
    run_forget(&run);
    run_poolwright(folder, WORDS("decks", "cards.csv", "pool.csv", "--model", "model.yaml", "--json"), NULL, &run);
    json_t *root = run_json(&run), *decks = json_object_get(root, "decks");
    assert_int_equal(json_array_size(decks), 2);
    for (size_t k = 0; k < 2; k++) {
        const json_t *first = json_object_get(json_array_get(decks, k), "first");
        assert_true(json_number_value(json_object_get(first, "value")) == 6);
    }
    assert_string_equal(json_string_value(json_object_get(json_array_get(decks, 1), "theme")), "tides");
    assert_string_equal(json_string_value(json_array_get(json_object_get(root, "not_chosen"), 0)), "moons");
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_deck_is_tried), cmocka_unit_test(a_deck_has_plain_rules),
                                       cmocka_unit_test(a_theme_that_is_not_chosen_has_no_deck)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
