/* test_decks_demo.c - the best decks of the demo's pool against cbc, which is given a programme that this file writes
 * from what `find --json` lists. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/deck_plan.h"
#include "support/run.h"

static void take_card(const TestPool *pool, const json_t *from, TestCard *card)
{
    size_t k;
    json_t *item;
    *card = (TestCard){.copies = 0};
    snprintf(card->name, sizeof card->name, "%s", json_text(from, "name"));
    char colours[200], *rest = colours;
    snprintf(colours, sizeof colours, "%s", json_text(from, "colours"));
    for (char *part; (part = strtok_r(rest, "+", &rest)) != NULL;)
        if (strcmp(part, "colourless") != 0)
            card->part[card->parts++] = deck_mask(pool, part);
    json_array_foreach (json_object_get(from, "kind"), k, item) {
        card->crew = card->crew || strcmp(json_string_value(item), "crew") == 0;
        card->port = card->port || strcmp(json_string_value(item), "port") == 0;
    }
    card->has_cost = json_is_number(json_object_get(from, "cost"));
    card->cost = card->has_cost ? (int)json_units(from, "cost", 1000) : 0;
    card->power =
        !json_is_number(json_object_get(from, "power")) ? pool->unscored : (int)json_units(from, "power", 1000);
    json_array_foreach (json_object_get(from, "tags"), k, item) {
        const char *tag = json_text(item, "tag");
        const char *role = json_string_value(json_object_get(item, "role"));
        card->removal = card->removal || strcmp(tag, "removal") == 0;
        const int t = deck_theme(pool, tag);
        if (t < 0)
            continue;
        card->weight[t] = (int)json_units(item, "weight", 1000);
        card->role[t] = role == NULL ? 0 : role[0] == 'e' ? 1 : role[0] == 'p' ? 2 : role[0] == 'b' ? 3 : 0;
    }
}

/* The colours and themes of models/four-base.yaml, as they stand there. */
static void demo_words(TestPool *pool)
{
    static const char *const colour[] = {"brass", "glass", "linen", "tar"};
    static const struct {
        const char *name;
        unsigned colours;
        int weight;
    } theme[] = {{"soundings", 3, 1000}, {"convoys", 5, 1000},     {"boilers", 9, 1000}, {"letters", 6, 1000},
                 {"lures", 10, 1000},    {"contraband", 12, 1000}, {"bells", 1, 1000},   {"eels", 8, 1000},
                 {"squalls", 14, 750},   {"freight", 15, 500}};
    *pool = (TestPool){.colours = 4, .themes = 10, .size = 23, .unscored = 4500};
    for (int k = 0; k < 4; k++)
        pool->colour[k] = colour[k];
    for (int t = 0; t < 10; t++) {
        pool->theme[t] = theme[t].name;
        pool->theme_colours[t] = theme[t].colours;
        pool->theme_weight[t] = theme[t].weight;
    }
}

static void demo_read(const char *folder, TestPool *pool)
{
    Run run;
    size_t k;
    json_t *card;
    demo_words(pool);
    run_poolwright(folder, (const char *const[]){"find", "demo", "--json", "--top", "5000", NULL}, NULL, &run);
    json_t *root = run_json(&run);
    char *list = folder_read(folder, "demo/pool.csv", NULL);
    assert_non_null(list);
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        char line[200];
        const char *name = json_text(card, "name");
        const bool quoted = strchr(name, ',') != NULL || strchr(name, '"') != NULL;
        snprintf(line, sizeof line, quoted ? "\n\"%s\"," : "\n%s,", name);
        const char *at = strstr(list, line);
        if (at == NULL)
            continue;
        take_card(pool, card, &pool->card[pool->cards]);
        pool->card[pool->cards++].copies = atoi(at + strlen(line));
        assert_true(pool->cards < CARDS_MOST);
    }
    free(list);
    json_decref(root);
    run_forget(&run);
}

static void write_row(FILE *to, const TestPool *pool, const Row *row, bool low, unsigned mask)
{
    int terms = 0;
    for (int c = 0; c < pool->cards; c++) {
        const int64_t add = low ? row->add[c] : row->add_high[c];
        if (add != 0 && deck_playable(&pool->card[c], mask))
            fprintf(to, "%s%+lld x%d", ++terms % 8 == 0 ? "\n " : " ", (long long)add, c);
    }
    if (terms > 0)
        fprintf(to, " %s %lld\n", low ? ">=" : "<=", (long long)(low ? row->low : row->high));
}

static int64_t by_cbc(const char *folder, const TestPool *pool, unsigned mask, int theme)
{
    static Row row[RULES_MOST * COLOURS_MOST + 1];
    const int rows = deck_rows(pool, mask, theme, row);
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    fprintf(to, "Maximize\n worth:");
    for (int c = 0; c < pool->cards; c++)
        if (deck_playable(&pool->card[c], mask))
            fprintf(to, "\n %+lld x%d", (long long)deck_worth_of(pool, &pool->card[c], mask, theme), c);
    fprintf(to, "\nSubject To\n");
    for (int r = 0; r < rows; r++) {
        if (row[r].has_low)
            write_row(to, pool, &row[r], true, mask);
        if (row[r].has_high)
            write_row(to, pool, &row[r], false, mask);
    }
    fprintf(to, "Bounds\n");
    for (int c = 0; c < pool->cards; c++)
        if (deck_playable(&pool->card[c], mask))
            fprintf(to, " 0 <= x%d <= %d\n", c, pool->card[c].copies);
    fprintf(to, "General\n");
    for (int c = 0; c < pool->cards; c++)
        if (deck_playable(&pool->card[c], mask))
            fprintf(to, " x%d\n", c);
    fprintf(to, "End\n");
    fclose(to);
    folder_write(folder, "deck.lp", text, length);
    free(text);
    Run run;
    run_program(
        "cbc", folder,
        (const char *const[]){"deck.lp", "ratioGap", "0", "allowableGap", "0", "solve", "solution", "cbc.txt", NULL},
        &run);
    run_forget(&run);
    text = folder_read(folder, "cbc.txt", NULL);
    static const char optimal[] = "Optimal - objective value ";
    if (text == NULL || strncmp(text, optimal, strlen(optimal)) != 0)
        fail_msg("cbc did not prove the deck: %.80s", text == NULL ? "no file" : text);
    const int64_t value = llround(fabs(strtod(text + strlen(optimal), NULL)));
    free(text);
    return value;
}

static void copy_demo(const char *folder, const TestPool *pool)
{
    static const char *const file[] = {"cards.csv", "pool.csv"};
    char path[100], name[100], *text = NULL;
    size_t length = 0;
    for (int k = 0; k < 2; k++) {
        snprintf(path, sizeof path, "scenarios/demo/%s", file[k]);
        snprintf(name, sizeof name, "demo/%s", file[k]);
        char *page = folder_read(".", path, &length);
        assert_non_null(page);
        folder_write(folder, name, page, length);
        free(page);
    }
    char *preset = realpath("models/four-360.yaml", NULL), plain[4200];
    assert_non_null(preset);
    snprintf(plain, sizeof plain, "extends: '%s'\ndeck: none\n", preset);
    free(preset);
    folder_print(folder, "demo/plain.yaml", plain);
    FILE *to = open_memstream(&text, &length);
    fprintf(to,
            "model: plain.yaml\ncards: [cards.csv]\npool: pool.csv\npool_owned: no\nchange:\n  deck:\n    size: 23\n"
            "    rules:\n");
    for (int r = 0; r < pool->rules; r++) {
        fprintf(to, "  ");
        deck_write_rule(to, &pool->rule[r], r);
    }
    fclose(to);
    folder_write(folder, "demo/scenario.yaml", text, length);
    free(text);
}

static void cbc_finds_the_same_decks(void **state)
{
    (void)state;
    static TestPool pool, plan;
    static const TestRule rule[] = {{CREW, COUNT, true, false, 11, 0},       {EARLY, COUNT, true, true, 5, 8},
                                    {LATE, COUNT, false, true, 0, 6},        {ANY, COST_AVERAGE, false, true, 0, 3250},
                                    {REMOVAL, COUNT, true, false, 4, 0},     {PORT, COUNT, true, true, 2, 3},
                                    {ENABLERS, COUNT, true, false, 6, 0},    {PAYOFFS, COUNT, true, false, 3, 0},
                                    {MONO, POWER_SUM, true, false, 30000, 0}};
    if (!program_exists("cbc"))
        skip();
    plan.rules = (int)(sizeof rule / sizeof *rule);
    memcpy(plan.rule, rule, sizeof rule);
    char *folder = folder_new();
    copy_demo(folder, &plan);
    demo_read(folder, &pool);
    assert_int_equal(pool.cards, 359); /* one of the list is no candidate any more */
    pool.rules = plan.rules;
    memcpy(pool.rule, rule, sizeof rule);
    Run run;
    size_t k;
    json_t *item;
    run_poolwright(folder, (const char *const[]){"decks", "demo", "--json", NULL}, NULL, &run);
    json_t *root = run_json(&run);
    int compared = 0;
    json_array_foreach (json_object_get(root, "decks"), k, item) {
        const char *name = json_string_value(json_object_get(item, "theme"));
        const json_t *first = json_object_get(item, "first");
        if (json_integer_value(json_object_get(first, "missed")) > 0)
            continue;
        assert_int_equal(json_units(first, "value", 1000),
                         by_cbc(folder, &pool, deck_mask(&pool, json_text(first, "colours")),
                                name == NULL ? -1 : deck_theme(&pool, name)));
        compared++;
    }
    assert_true(compared >= 12);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(cbc_finds_the_same_decks)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
