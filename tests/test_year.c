/* test_year.c - a year of the demo, from outside: a pool is chosen, bought in parcels at other prices than planned,
 * revised with new cards and prices; a trial ends, a card is cut and proposed again. A ledger of the test's own counts
 * money and cards by the sheets alone; at every step paid, to buy and left are the same to the cent. The new cards,
 * prices and reasons are invented.
 *
 * Not repeated under sanitizers: one search of the whole demo takes seconds there, and other tests make the same
 * runs. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/number.h"
#include "cards/sheet/sheet.h"
#include "support/run.h"

#define CARDS_MOST 2000
#define CAP 30000

/* ---- the ledger ---- */

typedef struct {
    char name[100];
    int64_t price; /* cents */
    int owned, in, replayed;
    bool bought;
} Entry;

typedef struct {
    char *root, *folder; /* all files; where the scenario is */
    Entry entry[CARDS_MOST];
    size_t count;
    int64_t paid;
    size_t journal; /* lines until now */
} Year;

static Entry *find(Year *year, const char *name)
{
    for (size_t k = 0; k < year->count; k++)
        if (strcmp(year->entry[k].name, name) == 0)
            return &year->entry[k];
    fail_msg("the ledger has no %s", name);
    return NULL;
}

static const char *cell(const Sheet *sheet, size_t row, const char *column)
{
    const int at = sheet_column(sheet, column);
    return at < 0 ? "" : sheet->row[row].cell[at].text;
}

static int64_t money(const char *text)
{
    int64_t cents = 0;
    assert_int_equal(number_parse(text, 2, false, &cents), NUMBER_OK);
    return cents;
}

static Sheet open_sheet(const Year *year, Arena *arena, const char *name)
{
    Sheet sheet;
    Diags diags;
    diags_init(&diags);
    assert_true(
        sheet_read(arena, NULL, arena_printf(arena, "%s/%s", year->folder, name), (SourcePos){0}, &sheet, &diags));
    diags_release(&diags);
    return sheet;
}

/* Candidates with their prices, or new prices of those that are there. */
static void take_cards(Year *year, const char *name, bool are_new)
{
    Arena *arena = arena_new();
    const Sheet sheet = open_sheet(year, arena, name);
    for (size_t r = 0; r < sheet.rows; r++) {
        Entry *entry = are_new ? &year->entry[year->count++] : find(year, cell(&sheet, r, "name"));
        assert_true(year->count < CARDS_MOST);
        snprintf(entry->name, sizeof entry->name, "%s", cell(&sheet, r, "name"));
        entry->price = money(cell(&sheet, r, "price"));
        if (are_new)
            entry->owned = atoi(cell(&sheet, r, "owned"));
    }
    arena_free(arena);
}

static void take_pool(Year *year)
{
    Arena *arena = arena_new();
    const Sheet sheet = open_sheet(year, arena, "pool.csv");
    for (size_t k = 0; k < year->count; k++)
        year->entry[k].in = 0;
    for (size_t r = 0; r < sheet.rows; r++)
        find(year, cell(&sheet, r, "name"))->in += atoi(cell(&sheet, r, "chosen"));
    arena_free(arena);
}

static int64_t to_buy(const Year *year)
{
    int64_t cents = 0;
    for (size_t k = 0; k < year->count; k++) {
        const Entry *entry = &year->entry[k];
        cents += entry->in > entry->owned ? (entry->in - entry->owned) * entry->price : 0;
    }
    return cents;
}

/* ---- runs ---- */

static json_t *ask(const Year *year, const char *const *arguments, const char *said, bool there)
{
    Run run;
    run_poolwright(year->folder, arguments, NULL, &run);
    if (run.code != 0)
        fail_msg("%s: %d\n%s\n%.2000s", arguments[0], run.code, run.err, run.out);
    if (said != NULL && (strstr(run.out, said) != NULL) != there) /* among its notices */
        fail_msg("%s: %.2000s", said, run.out);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

/* What an answer says of money, against the ledger. */
static void expect_money(const Year *year, const json_t *told, const json_t *paid_of)
{
    const int64_t cost = to_buy(year);
    assert_int_equal(json_units(told, "cost", 100), cost);
    assert_int_equal(json_units(paid_of, "paid", 100), year->paid);
    assert_int_equal(json_units(paid_of, "left", 100), CAP - year->paid - cost);
    assert_true(year->paid + cost <= CAP);
}

static void write_scenario(const Year *year, const char *more)
{
    char *demo = folder_read(".", "scenarios/demo/scenario.yaml", NULL), *cases = strstr(demo, "cases:"), text[6000];
    assert_non_null(cases);
    *cases = '\0';
    char *cards = strstr(demo, "cards: [cards.csv]"), *pool = strstr(demo, "\npool: pool.csv"),
         *cap = strstr(demo, "  spending_cap: 300.00");
    assert_true(cards != NULL && pool != NULL && cap != NULL && cards < pool && pool < cap);
    *cards = *pool = *cap = '\0';
    snprintf(text, sizeof text, "%s%s%s\nowned: [owned.csv]%s  cap_counts: paid and to buy\n  spending_cap%s", demo,
             more, cards + strlen("cards: [cards.csv]"), pool + strlen("\npool: pool.csv"),
             cap + strlen("  spending_cap"));
    folder_print(year->folder, "scenario.yaml", text);
    free(demo);
}

static void copy(const char *root, const char *name)
{
    size_t length;
    char *bytes = folder_read(".", name, &length);
    assert_non_null(bytes);
    folder_write(root, name, bytes, length);
    free(bytes);
}

static void begin(Year *year)
{
    year->root = folder_new();
    copy(year->root, "models/four-360.yaml");
    copy(year->root, "models/four-base.yaml");
    copy(year->root, "scenarios/demo/cards.csv");
    copy(year->root, "scenarios/demo/targets.csv");
    assert_true(asprintf(&year->folder, "%s/scenarios/demo", year->root) > 0);
    folder_print(year->folder, "owned.csv", "name,copies,paid\n");
    take_cards(year, "cards.csv", true);
}

/* ---- buying ---- */

/* So many of the lines to buy that nobody bought yet, the dearest first, at so many percent of their prices. */
static void buy(Year *year, int most, int percent)
{
    Text list = {0};
    int64_t sum = 0, planned = 0;
    char number[NUMBER_TEXT];
    text_add(&list, "name,paid\n");
    for (int n = 0; n < most; n++) {
        Entry *dearest = NULL;
        for (size_t k = 0; k < year->count; k++) {
            Entry *entry = &year->entry[k];
            if (entry->in > entry->owned && (dearest == NULL || entry->price > dearest->price))
                dearest = entry;
        }
        if (dearest == NULL)
            break;
        assert_int_equal(dearest->in, 1);
        assert_false(dearest->bought); /* nothing is bought twice */
        const int64_t cents = dearest->price * percent / 100;
        text_printf(&list, "\"%s\",%s\n", dearest->name, number_format(number, cents, 2, 2));
        sum += cents;
        planned += dearest->price;
        dearest->owned = 1;
        dearest->bought = true;
    }
    folder_print(year->folder, "parcel.csv", text_cstr(&list));
    text_release(&list);
    year->paid += sum;
    json_t *root = ask(year, (const char *const[]){"bought", ".", "parcel.csv", "--apply", "--json", NULL},
                       "booked already", false);
    assert_int_equal(json_units(root, "paid", 100), sum);
    assert_int_equal(json_units(root, "planned", 100), planned);
    assert_int_equal(json_units(root, "paid_until_now", 100), year->paid);
    json_decref(root);
}

/* ---- revising ---- */

/* Takes the best within so many swaps on that day, and follows the journal: it has grown by exactly what changed. Gives
 * the answer. */
static json_t *revise(Year *year, const char *swaps, const char *day, const char *reason, const char *said, bool there)
{
    json_t *root = ask(year,
                       (const char *const[]){"revise", ".", "--swaps", swaps, "--gap", "0.2%", "--apply", "--reason",
                                             reason, "--today", day, "--json", NULL},
                       said, there);
    Arena *arena = arena_new();
    take_pool(year);
    const json_t *point = json_array_get(json_object_get(root, "points"), 0);
    expect_money(year, point, point);
    const Sheet journal = open_sheet(year, arena, "journal.csv");
    assert_int_equal(journal.rows - year->journal, json_array_size(json_object_get(root, "journal")));
    for (size_t r = year->journal; r < journal.rows; r++) {
        const char *change = cell(&journal, r, "change");
        Entry *entry = find(year, cell(&journal, r, "card"));
        assert_string_equal(cell(&journal, r, "date"), day);
        assert_string_equal(cell(&journal, r, "reason"), reason);
        assert_int_equal(money(cell(&journal, r, "price")), entry->price);
        entry->replayed += strcmp(change, "in") == 0 ? 1 : strcmp(change, "out") == 0 ? -1 : 0;
    }
    year->journal = journal.rows;
    for (size_t k = 0; k < year->count; k++)
        if (year->entry[k].replayed != year->entry[k].in)
            fail_msg("%s: %s is %d by the journal, %d in the pool", day, year->entry[k].name, year->entry[k].replayed,
                     year->entry[k].in);
    arena_free(arena);
    return root;
}

/* The card's power in cards.csv; its line is one of the sheet's text. */
static void set_power(const Year *year, const char *name, const char *power)
{
    Arena *arena = arena_new();
    const Sheet sheet = open_sheet(year, arena, "cards.csv");
    Text text = {0};
    const int at = sheet_column(&sheet, "power");
    for (size_t r = 0; r <= sheet.rows; r++) {
        const SheetRow *row = r == 0 ? &sheet.header : &sheet.row[r - 1];
        for (size_t c = 0; c < row->cells; c++) {
            const bool here = r > 0 && (int)c == at && strcmp(cell(&sheet, r - 1, "name"), name) == 0;
            text_add(&text, c > 0 ? ",\"" : "\"");
            for (const char *p = here ? power : row->cell[c].text; *p != '\0'; p++) {
                if (*p == '"')
                    text_add_char(&text, '"');
                text_add_char(&text, *p);
            }
            text_add_char(&text, '"');
        }
        text_add_char(&text, '\n');
    }
    folder_print(year->folder, "cards.csv", text_cstr(&text));
    text_release(&text);
    arena_free(arena);
}

static const char spring[] = "name,colours,kind,cost,power,price,tags,trial\n"
                             "Salvage Sunday,tar,errand,2,8.8,2.40,lures payoff 3; removal,\n"
                             "The Second Lamp,brass,crew,1,8.6,1.15,bells both 3,\n"
                             "Ferry for the Absent,linen,vessel,3,0.5,0.35,,2026-06-01\n"
                             "Ledger of Small Debts,glass,writ,4,2.0,0.20,,\n";

static void a_year_is_played_through(void **state)
{
    (void)state;
    static Year year;
    static const char ended[] = "'Ferry for the Absent' was on trial until 2026-06-01";
    begin(&year);

    /* January: a pool is chosen, nothing is paid */
    write_scenario(&year, "cards: [cards.csv]");
    json_t *root = ask(&year,
                       (const char *const[]){"best", ".", "--gap", "0.5%", "--today", "2026-01-10", "-o", "pool.csv",
                                             "--shopping", "plan.csv", "--json", NULL},
                       NULL, false);
    take_pool(&year);
    expect_money(&year, root, json_object_get(root, "money"));
    json_decref(root);
    for (size_t k = 0; k < year.count; k++)
        year.entry[k].replayed = year.entry[k].in;

    /* February: the dearest ten cost more than planned, sixty others less */
    write_scenario(&year, "cards: [cards.csv]\npool: pool.csv");
    buy(&year, 10, 104);
    buy(&year, 60, 90);

    /* March: four new cards, one of them on trial; a price falls */
    folder_print(year.folder, "spring.csv", spring);
    folder_print(year.folder, "prices.csv", "name,price\nOptical Lead,1.05\n");
    write_scenario(&year, "cards: [cards.csv, spring.csv]\nprices: [prices.csv]\npool: pool.csv");
    take_cards(&year, "spring.csv", true);
    take_cards(&year, "prices.csv", false);
    root = revise(&year, "6", "2026-03-15", "too slow", ended, false);
    assert_int_equal(find(&year, "Ferry for the Absent")->in, 1);
    assert_int_equal(find(&year, "The Second Lamp")->in, 1);
    const json_t *point = json_array_get(json_object_get(root, "points"), 0);
    char cut[100];
    snprintf(cut, sizeof cut, "%s", json_text(json_array_get(json_object_get(point, "leaves"), 0), "name"));
    assert_int_equal(json_array_size(json_object_get(root, "cut_before")), 0);
    json_decref(root);
    buy(&year, 100, 95);

    /* June: the day of the trial is told, the card goes, and nobody asks again */
    root = revise(&year, "2", "2026-06-02", "nobody wanted it", ended, true);
    assert_int_equal(find(&year, "Ferry for the Absent")->in, 0);
    json_decref(root);

    /* September: a card that was cut is better than was thought; when and why it was cut is told, until it is in */
    set_power(&year, cut, "9.4");
    root = ask(
        &year,
        (const char *const[]){"revise", ".", "--swaps", "3", "--gap", "0.2%", "--today", "2026-09-01", "--json", NULL},
        ended, false);
    const json_t *again = json_named(json_object_get(root, "cut_before"), cut);
    assert_string_equal(json_text(again, "date"), "2026-03-15");
    assert_string_equal(json_text(again, "reason"), "too slow");
    json_decref(root);
    root = revise(&year, "3", "2026-09-02", "missed by all", ended, false);
    assert_int_equal(find(&year, cut)->in, 1);
    json_decref(root);

    /* December: the rest is bought; nothing is left to buy, nothing left to ask */
    buy(&year, CARDS_MOST, 99);
    root = revise(&year, "0", "2026-12-01", "none", ended, false);
    assert_int_equal(json_array_size(json_object_get(root, "cut_before")), 0);
    assert_int_equal(json_array_size(json_object_get(root, "journal")), 0);
    assert_int_equal(to_buy(&year), 0);
    json_decref(root);
    folder_remove(year.root);
    free(year.root);
    free(year.folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_year_is_played_through)};
    return cmocka_run_group_tests_name("year", tests, NULL, NULL);
}
