/* test_import_random.c - random sheets of an invented game, sound and unsound: import either refuses them with the
 * place in the user's own sheet, or writes a folder from which `best` chooses a pool. POOLWRIGHT_SCENARIOS and
 * POOLWRIGHT_SEED ask for more. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define ROOM 40000
#define CELLS_MOST 18

typedef struct {
    const char *header;
    const char *cell[CELLS_MOST]; /* NULL: names */
} ColumnKind;

#define NAMES                                                                                                          \
    {                                                                                                                  \
        NULL                                                                                                           \
    }
#define COLOURS                                                                                                        \
    {                                                                                                                  \
        "amber", "coal", "moss", "Amber", "COAL", "amber/coal", "coal + moss", "a", "am", "amber, moss", "colourless", \
            "All", "ambre", "amber coal"                                                                               \
    }
#define MONEY                                                                                                          \
    {                                                                                                                  \
        "1.50", "2,35", "\xE2\x82\xAC 3", "$4.00", "1.234,50", "1,500", "0", "2.5 EUR", "12", "3.10", "0.20"           \
    }
#define NUMBERS                                                                                                        \
    {                                                                                                                  \
        "1", "2", "3", "4", "2,5", "7.25", "0", "9", "5", "6", "3.5"                                                   \
    }
#define COUNTS                                                                                                         \
    {                                                                                                                  \
        "1", "2", "1x", "x2", "yes", "no", "0", "", "3", "1", "1"                                                      \
    }
#define TAGS                                                                                                           \
    {                                                                                                                  \
        "kites", "mills", "kites, mills", "debts; kites", "kites enabler 2", "mills|debts", "removal", "kites/mills",  \
            "kites, kites", "fixing", "any", "a\nb"                                                                    \
    }

static const ColumnKind kinds[] = {
    {"Card", NAMES},
    {"name", NAMES},
    {"Title", NAMES},
    {"Colour", COLOURS},
    {"Color", COLOURS},
    {"Farbe", COLOURS},
    {"Price", MONEY},
    {"Preis", MONEY},
    {"Value", MONEY},
    {"low", MONEY},
    {"Cost", NUMBERS},
    {"Rating", NUMBERS},
    {"weight", NUMBERS},
    {"Tags", TAGS},
    {"Theme", TAGS},
    {"How many", COUNTS},
    {"copies", COUNTS},
    {"Have", COUNTS},
    {"bezahlt", MONEY},
    {"chosen", COUNTS},
    {"#", NUMBERS},
    {"Kites", {"x", "", "2", "enabler 3", "yes"}},
    {"Type", {"rig", "tool", "Rig", "rig, tool", ""}},
    {"Notes", {"", "say \"so\"", "again", "a long note of many words, and more of them"}},
    {"date", {"2026-01-02", "1.2.2026", ""}},
    {"role", {"enabler", "payoff", ""}},
    {"Enabler for", {"kites", "mills", "", "kites, mills", "kites 2", "mills payoff", "x"}},
    {"Payoff", {"kites", "debts", "", "x", "yes", "both"}},
    {"Colour 2", {"amber", "coal", "moss", "", "", "ambre"}},
    {"Emblem", {"\U0001F534", "\U0001F535", "\U0001F534\U0001F535", "\U0001F7E2", ""}},
    {"Class", {"x", "", "x", ""}},
    {"Tier 2", {"x", "", "yes", ""}},
    {"Hashes", {"#kites", "#kites #mills", "#removal", ""}},
    {"mills", {"0", "0", "1", "2", ""}},
    {"debts", {"0", "0", "0", "3"}},
    {"lures", {"0", "0", "1", "0,5"}},
};
#define KINDS ((int)(sizeof kinds / sizeof *kinds))

typedef struct {
    char *text;
    size_t length;
} Page;

static void add(Page *page, const char *text)
{
    const size_t length = strlen(text);
    assert_true(page->length + length < ROOM);
    memcpy(page->text + page->length, text, length + 1);
    page->length += length;
}

/* Within quotes where it has to be. */
static void add_cell(Page *page, const char *text, char separator)
{
    const char special[] = {separator, '"', '\n', ',', '\0'};
    if (strpbrk(text, special) == NULL) {
        add(page, text);
        return;
    }
    add(page, "\"");
    for (const char *c = text; *c != '\0'; c++)
        add(page, *c == '"' ? "\"\"" : (const char[]){*c, '\0'});
    add(page, "\"");
}

static void add_value(Page *page, Dice *dice, const ColumnKind *kind, char separator)
{
    static const char *const first[] = {"Iron", "Old", "Grey", "Last", "Salt", "Quiet", "Paper"},
                             *const second[] = {"Kiln", "Ferry", "Warden", "Ledger", "Mill", "Choir", "Weir", "Gate"},
                             *const nothing[] = {"n/a", "?", "-", "", "tbd"},
                             *const before[] = {"", "", "", "- ", "2x "};
    char name[60];
    int cells = 0;
    if (kind->cell[0] != NULL && dice_chance(dice, 6)) {
        add_cell(page, nothing[dice_roll(dice, 0, 4)], separator);
        return;
    }
    while (cells < CELLS_MOST && kind->cell[cells] != NULL)
        cells++;
    if (cells > 0) {
        add_cell(page, kind->cell[dice_roll(dice, 0, cells - 1)], separator);
        return;
    }
    snprintf(name, sizeof name, "%s%s %s%s", dice_chance(dice, 10) ? before[dice_roll(dice, 0, 4)] : "",
             first[dice_roll(dice, 0, 6)], second[dice_roll(dice, 0, 7)], dice_chance(dice, 5) ? "  " : "");
    add_cell(page, name, separator);
}

static void write_sheet(const char *folder, const char *name, Dice *dice)
{
    static const char *const heading[] = {"== part ==", "amber", "Coal (12)", "coal + moss", "Gold", "moss", "Rigs"};
    static const int lines[] = {1, 3, 10, 40, 60};
    const char separator = ",;\t,"[dice_roll(dice, 0, 3)], mark[2] = {separator, '\0'};
    int column[9], columns = dice_roll(dice, 1, 8);
    Page page = {.text = calloc(1, ROOM)};
    column[0] = dice_chance(dice, 90) ? dice_roll(dice, 0, 2) : dice_roll(dice, 0, KINDS - 1);
    for (int k = 1; k < columns; k++)
        column[k] = dice_roll(dice, 3, KINDS - 1);
    for (int k = 0; k < columns; k++) { /* headers must differ */
        bool twice = false;
        for (int j = 0; j < k; j++)
            twice = twice || column[j] == column[k];
        if (twice && dice_chance(dice, 95)) {
            column[k] = column[--columns];
            k--;
        }
    }
    if (dice_chance(dice, 10))
        add(&page, "My list\n");
    for (int row = -1, rows = lines[dice_roll(dice, 0, 4)]; row < rows; row++) {
        for (int k = 0; k < columns; k++) {
            add(&page, k > 0 ? mark : "");
            if (row < 0)
                add_cell(&page, kinds[column[k]].header, separator);
            else
                add_value(&page, dice, &kinds[column[k]], separator);
        }
        add(&page, dice_chance(dice, 3) ? mark : "");
        add(&page, "\r\n");
        if (row >= 0 && dice_chance(dice, 4)) {
            add(&page, heading[dice_roll(dice, 0, 6)]);
            add(&page, "\r\n");
        }
    }
    if (dice_chance(dice, 20))
        add(&page, "Total\r\n");
    folder_write(folder, name, page.text, page.length);
    free(page.text);
}

/* Errors name the sheets, and never what import wrote. */
static void expect_refusal(const Run *run, uint64_t seed)
{
    if (run->code != 2 || strstr(run->err, "error: ") == NULL || strstr(run->err, "model.yaml") != NULL ||
        strstr(run->err, "scenario.yaml") != NULL)
        fail_msg("seed %d: exit code %d\n%s", (int)seed, run->code, run->err);
}

/* What --json wrote, given back as answers, is taken, and everything is answered alike. */
static void expect_same_by_answers(const char *folder, const char *const *name, int sheets, uint64_t seed)
{
    const char *const second = sheets > 1 ? name[1] : NULL, *const third = sheets > 2 ? name[2] : NULL;
    Run run;
    size_t k;
    json_t *question;
    run_poolwright(folder, (const char *const[]){"import", "--json", name[0], second, third, NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    folder_print(folder, "q.json", run.out);
    json_t *root = run_json(&run), *given = json_object();
    run_forget(&run);
    run_poolwright(folder,
                   (const char *const[]){"import", "--json", "--answers", "q.json", name[0], second, third, NULL}, NULL,
                   &run);
    if (run.code != 0)
        fail_msg("seed %d: its own answers are refused\n%s", (int)seed, run.err);
    json_t *again = run_json(&run);
    run_forget(&run);
    json_array_foreach (json_object_get(again, "questions"), k, question)
        json_object_set(given, json_text(question, "id"), json_object_get(question, "answer"));
    json_array_foreach (json_object_get(root, "questions"), k, question) {
        const json_t *answer = json_object_get(given, json_text(question, "id"));
        if (answer == NULL || strcmp(json_string_value(answer), json_text(question, "answer")) != 0)
            fail_msg("seed %d: \"%s\" is answered otherwise", (int)seed, json_text(question, "id"));
    }
    assert_int_equal(json_array_size(json_object_get(root, "questions")), json_object_size(given));
    json_decref(given);
    json_decref(again);
    json_decref(root);
}

static void random_sheets_become_pools_or_are_refused(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1);
    const uint64_t count = scenarios_wanted(120);
    int pools = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        Dice dice;
        Run run;
        char *folder = folder_new();
        dice_seed(&dice, seed);
        static const char *const names[][3] = {{"a.csv", "b.csv", "c.csv"},
                                               {"amber.csv", "coal cards.csv", "moss.csv"},
                                               {"pool.csv", "list.csv", "amber-coal.csv"}};
        const char *const *name = names[dice_roll(&dice, 0, 2)];
        const int sheets = dice_chance(&dice, 60) ? 1 : dice_roll(&dice, 2, 3);
        for (int k = 0; k < sheets; k++)
            write_sheet(folder, name[k], &dice);
        run_poolwright(folder,
                       (const char *const[]){"import", "-o", "p", name[0], sheets > 1 ? name[1] : NULL,
                                             sheets > 2 ? name[2] : NULL, NULL},
                       NULL, &run);
        if (run.code != 0)
            expect_refusal(&run, seed);
        if (run.code == 0) {
            run_forget(&run);
            run_poolwright(folder, (const char *const[]){"best", "p", NULL}, NULL, &run);
            if (run.code != 0)
                fail_msg("seed %d: no pool, exit code %d\n%s%s", (int)seed, run.code, run.out, run.err);
            pools++;
            expect_same_by_answers(folder, name, sheets, seed);
        }
        assert_int_equal(folder_has(folder, "p/model.yaml"), run.code == 0);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    assert_true(count < 50 || (uint64_t)pools * 4 > count); /* enough of them are sound */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(random_sheets_become_pools_or_are_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
