/* test_hall.c - rows for places against explicit matching, on 20,000 random colours of up to nine themes. Hall's rows
 * hold for a pool exactly when its cards can be matched with the places (P. Hall, J. London Math. Soc. 10, 1935); the
 * rows that are left out must change nothing. Where cards are assigned by kind instead, a solution must exist exactly
 * then. The matching here is by simple augmenting paths and shares nothing with src/. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>
#include <glpk.h>

#include "base/text.h"
#include "programme/rows/builder.h"
#include "programme/rows/structure.h"
#include "programme/count/structure_check.h"
#include "support/lab.h"
#include "support/run.h"

enum { CASES = 20000, KIND_CASES = 400, CARDS = 20, THEMES = 9 };

typedef struct {
    Lab lab;
    CardTag tag[CARDS][THEMES];

    int copies[CARDS];
} Table;

static void open_table(Table *table)
{
    lab_open(&table->lab);
    lab_file(&table->lab, "m.yaml",
             "size: {from: 1, to: 99}\ncolours: [ash]\nthemes:\n"
             "  - {name: a, colours: ash}\n  - {name: b, colours: ash}\n  - {name: c, colours: ash}\n  - {name: d, "
             "colours: ash}\n"
             "  - {name: e, colours: ash}\n  - {name: f, colours: ash}\n  - {name: g, colours: ash}\n  - {name: h, "
             "colours: ash}\n"
             "  - {name: i, colours: ash}\nplaces: {theme: 1}\n");
    Text sheet = {0};
    text_add(&sheet, "name,colours,copies,tags\n");
    for (int c = 0; c < CARDS; c++)
        text_printf(&sheet, "Card %c,ash,3,a;b;c;d;e;f;g;h;i\n", 'A' + c);
    lab_file(&table->lab, "c.csv", text_cstr(&sheet));
    text_release(&sheet);
    lab_file(&table->lab, "s.yaml", "model: m.yaml\ncards: [c.csv]\n");
    lab_need(&table->lab, "s.yaml");
}

static Limit *table_places(const Table *table)
{
    Limit *limit = table->lab.instance->limit;
    while (limit->kind != LIMIT_PLACES)
        limit++;
    return limit;
}

/* Tags the card for those of the first `themes` themes that it serves; the tags are in the themes' order. */
static void tag_card(Table *table, int c, int themes, const bool *serves)
{
    Card *card = &table->lab.instance->cards->card[c];
    card->tags = 0;
    for (int t = 0; t < themes; t++)
        if (serves[t])
            table->tag[c][card->tags++] = (CardTag){.tag = t, .role = ROLE_NONE, .weight = 1000};
    card->tag = table->tag[c];
}

/* A random colour: which card serves which theme, how many places, which copies are chosen. */
static void deal(Table *table, Dice *dice, int themes)
{
    Instance *in = table->lab.instance;
    Limit *limit = table_places(table);
    const int dense = dice_roll(dice, 10, 60);
    bool serves[CARDS][THEMES];
    limit->of_themes = (size_t)themes;
    for (int t = 0; t < themes; t++) {
        limit->of_theme[t] = t;
        limit->count[t] = dice_roll(dice, 1, 3);
        const int own = dice_chance(dice, 20) ? 90 : dense; /* some themes are broad */
        for (int c = 0; c < CARDS; c++)
            serves[c][t] = dice_chance(dice, own);
    }
    for (int c = 0; c < CARDS; c++) {
        tag_card(table, c, themes, serves[c]);
        in->most[c] = dice_chance(dice, 10) ? 0 : dice_roll(dice, 1, 3);
        table->copies[c] = dice_roll(dice, 0, in->most[c]);
    }
}

/* ---- explicit matching: a copy for each place, Kuhn's augmenting paths ---- */

typedef struct {
    const Table *table;
    int unit_card[3 * CARDS], units;
    int place_of[3 * CARDS]; /* theme whose place the copy fills, -1 */
    bool seen[3 * CARDS];
} Matching;

static bool seat(Matching *m, int theme)
{
    for (int u = 0; u < m->units; u++) {
        if (m->seen[u] || card_has_tag(&m->table->lab.instance->cards->card[m->unit_card[u]], theme) == NULL)
            continue;
        m->seen[u] = true;
        if (m->place_of[u] < 0 || seat(m, m->place_of[u])) {
            m->place_of[u] = theme;
            return true;
        }
    }
    return false;
}

static int match(const Table *table, int *wanted)
{
    Matching m = {.table = table};
    const Limit *limit = table_places(table);
    int seated = 0;
    *wanted = 0;
    for (int c = 0; c < CARDS; c++)
        for (int k = 0; k < table->copies[c]; k++) {
            m.unit_card[m.units] = c;
            m.place_of[m.units++] = -1;
        }
    for (size_t k = 0; k < limit->of_themes; k++)
        for (int64_t n = 0; n < limit->count[k]; n++) {
            memset(m.seen, 0, sizeof m.seen);
            (*wanted)++;
            seated += seat(&m, limit->of_theme[k]);
        }
    return seated;
}

/* ---- the programme's rows ---- */

static Programme *build(const Table *table)
{
    Builder b;
    builder_init(&b, table->lab.instance);
    b.programme->lp = glp_create_prob();
    for (int c = 0; c < CARDS; c++)
        if (b.instance->most[c] > 0)
            b.first_column[c] = builder_column(&b, (ProgrammeColumn){.role = COLUMN_COPIES, .card = c, .form = -1}, 0,
                                               table->copies[c], table->copies[c]);
    for (int t = 0; t < THEMES; t++)
        b.chosen_column[t] = -1;
    structure_place_rows(&b, table_places(table));
    assert_true(builder_load(&b));
    builder_release(&b);
    return b.programme;
}

static bool rows_hold(const Programme *rows)
{
    int64_t value = 0;
    const SearchProblem *p = &rows->problem;
    return search_feasible(p, p->low, &value); /* all columns are fixed */
}

static bool rows_can_hold(const Programme *rows)
{
    SearchOptions options;
    SearchResult result;
    Search *search = search_new(&rows->problem);
    search_options_default(&options);
    options.engine = SEARCH_ENGINE_REFERENCE;
    search_run(search, &options, &result);
    bool holds = result.has_solution;
    assert_true(holds || result.status == SEARCH_INFEASIBLE);
    search_result_release(&result);
    search_free(search);
    return holds;
}

static void hall_rows_agree_with_matching(void **state)
{
    (void)state;
    Table table;
    Dice dice;
    open_table(&table);
    dice_seed(&dice, 1);
    bool active[THEMES];
    memset(active, 1, sizeof active);
    size_t *card = mem_new(table.lab.instance->cards->count, sizeof *card);
    long fits = 0, rows_in_all = 0, sets_in_all = 0;
    for (int i = 0; i < CASES; i++) {
        int wanted = 0, themes = dice_roll(&dice, 1, 6);
        deal(&table, &dice, themes);
        int seated = match(&table, &wanted);
        Programme *rows = build(&table);
        assert_int_equal(rows->problem.columns, glp_get_num_cols(rows->lp));
        if (rows_hold(rows) != (seated == wanted))
            fail_msg("case %d: %d of %d places can be filled, the %d rows say otherwise", i, seated, wanted,
                     rows->problem.rows);
        const Held held = held_cards(table.lab.instance, table.copies, card);
        assert_int_equal(places_fill(table.lab.instance, table_places(&table), &held, active, NULL), seated);
        fits += seated == wanted;
        rows_in_all += rows->problem.rows;
        sets_in_all += (1L << themes) - 1;
        programme_free(rows);
    }
    print_message("%ld of %d colours can be filled; %ld rows for %ld sets\n", fits, CASES, rows_in_all, sets_in_all);
    assert_in_range(fits, CASES / 10, CASES * 9 / 10); /* both answers were tried */
    assert_true(rows_in_all < sets_in_all);
    mem_free(card);
    lab_close(&table.lab);
}

static void kinds_agree_with_matching(void **state)
{
    (void)state;
    Table table;
    Dice dice;
    open_table(&table);
    dice_seed(&dice, 2);
    long fits = 0, assigned = 0;
    for (int i = 0; i < KIND_CASES; i++) {
        int wanted = 0;
        deal(&table, &dice, dice_roll(&dice, 7, THEMES));
        for (int c = 0; c < CARDS; c++) { /* two themes each, so that much hangs together */
            const int themes = (int)table_places(&table)->of_themes, one = dice_roll(&dice, 0, themes - 1),
                      other = dice_roll(&dice, 0, themes - 1);
            bool serves[THEMES];
            for (int t = 0; t < themes; t++)
                serves[t] = t == one || t == other;
            tag_card(&table, c, themes, serves);
            table.copies[c] = table.lab.instance->most[c];
        }
        for (size_t k = 0; k < table_places(&table)->of_themes; k++)
            table_places(&table)->count[k] = dice_roll(&dice, 1, 3);
        int seated = match(&table, &wanted);
        Programme *rows = build(&table);
        for (int j = 0; j < rows->problem.columns; j++)
            assigned += rows->column[j].role == COLUMN_KIND_PLACE;
        if (rows_can_hold(rows) != (seated == wanted))
            fail_msg("case %d: %d of %d places can be filled, the programme says otherwise", i, seated, wanted);
        fits += seated == wanted;
        programme_free(rows);
    }
    print_message("%ld of %d colours can be filled; %ld columns for kinds of cards\n", fits, KIND_CASES, assigned);
    assert_in_range(fits, KIND_CASES / 10, KIND_CASES * 9 / 10);
    assert_true(assigned > KIND_CASES);
    lab_close(&table.lab);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(hall_rows_agree_with_matching),
                                       cmocka_unit_test(kinds_agree_with_matching)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
