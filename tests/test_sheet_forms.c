/* test_sheet_forms.c - dates and money as people write them into sheets: read where there is one meaning, else refused;
 * many drawn at random, and the sheets that hold them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/day.h"
#include "base/text.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"
#include "support/desk.h"
#include "support/packed.h"

/* ---- days ---- */

#define NO_DAY "-"

static void one_date_has_one_day(void **state)
{
    (void)state;
    static const struct {
        const char *text, *day_first, *month_first;
    } date[] = {{"2026-03-31", "2026-03-31", "2026-03-31"},
                {"2026/3/4", "2026-03-04", "2026-03-04"},
                {"2026.03.04", "2026-03-04", "2026-03-04"},
                {"4.3.2026", "2026-03-04", "2026-03-04"},
                {"31/03/2026", "2026-03-31", NO_DAY},
                {"3/31/2026", NO_DAY, "2026-03-31"},
                {"3/4/2026", "2026-04-03", "2026-03-04"},
                {"03-04-2026", "2026-04-03", "2026-03-04"},
                {"5/5/2026", "2026-05-05", "2026-05-05"},
                {"2026-03-31 12:30:00", "2026-03-31", "2026-03-31"},
                {"2026-03-31T00:00:00.000", "2026-03-31", "2026-03-31"},
                {"31/3/2026 9:05", "2026-03-31", NO_DAY},
                {"29/02/2028", "2028-02-29", NO_DAY},
                {"29/02/2026", NO_DAY, NO_DAY},
                {"30/02/2026", NO_DAY, NO_DAY},
                {"2026-31-03", NO_DAY, NO_DAY},
                {"03.31.2026", NO_DAY, NO_DAY},
                {"13/13/2026", NO_DAY, NO_DAY},
                {"31/03/26", NO_DAY, NO_DAY},
                {"31/03-2026", NO_DAY, NO_DAY},
                {"31/03", NO_DAY, NO_DAY},
                {"0/3/2026", NO_DAY, NO_DAY},
                {"2026-03-31 noon", NO_DAY, NO_DAY},
                {"2026-03-31 12", NO_DAY, NO_DAY},
                {"2026-03-31 12:60", NO_DAY, NO_DAY},
                {"2026-03-31 12:30:00 ", NO_DAY, NO_DAY},
                {"2026-03-311", NO_DAY, NO_DAY},
                {"20260331", NO_DAY, NO_DAY},
                {"46112", NO_DAY, NO_DAY},
                {"/3/2026", NO_DAY, NO_DAY},
                {"", NO_DAY, NO_DAY}};
    Arena *arena = arena_new();
    for (size_t k = 0; k < sizeof date / sizeof *date; k++) {
        const char *const expected[] = {date[k].day_first, date[k].month_first};
        for (int order = 0; order < 2; order++) {
            int day = 7;
            const bool found = date_parse_by(date[k].text, (DateOrder)order, &day);
            assert_string_equal(found ? date_text(arena, day) : NO_DAY, expected[order]);
            assert_true(found || day == 7);
        }
        const bool days = strcmp(expected[0], NO_DAY) != 0, months = strcmp(expected[1], NO_DAY) != 0;
        int day;
        const bool sure = (days || months) && !(days && months && strcmp(expected[0], expected[1]) != 0);
        assert_int_equal(date_parse(date[k].text, &day), sure);
        if (sure)
            assert_string_equal(date_text(arena, day), expected[days ? 0 : 1]);
    }
    arena_free(arena);
}

typedef struct {
    int day, month, year;
    int way; /* 0 to 3: one meaning whatever the order; 4, 5: by the order */
    bool month_first;
} Written;

static const char *date_of(Arena *arena, const Written *w)
{
    switch (w->way) {
    case 0: return arena_printf(arena, "%04d-%02d-%02d", w->year, w->month, w->day);
    case 1: return arena_printf(arena, "%d/%d/%d", w->year, w->month, w->day);
    case 2: return arena_printf(arena, "%02d.%02d.%d", w->day, w->month, w->year);
    case 3: return "";
    default: break;
    }
    const int first = w->month_first ? w->month : w->day, second = w->month_first ? w->day : w->month;
    return arena_printf(arena, w->way == 4 ? "%02d/%02d/%d" : "%d-%d-%d", first, second, w->year);
}

/* What is known of a column by counting: which order its lines can only have, and whether a line has two days. */
static void judge(const Written *line, int lines, bool can_only[2], bool *either)
{
    can_only[0] = can_only[1] = *either = false;
    for (int k = 0; k < lines; k++) {
        if (line[k].way < 4 || line[k].day == line[k].month)
            continue;
        if (line[k].day > 12)
            can_only[line[k].month_first] = true;
        else
            *either = true;
    }
}

static void try_column(const Written *line, int lines, const char *about)
{
    bool can_only[2], either;
    Arena *arena = arena_new();
    Diags diags;
    Sheet sheet;
    Text text = {0};
    DateOrder order;
    diags_init(&diags);
    text_add(&text, "name;date\n");
    for (int k = 0; k < lines; k++)
        text_printf(&text, "a;%s\n", date_of(arena, &line[k]));
    char *folder = folder_new();
    folder_print(folder, "s.csv", text_cstr(&text));
    const char *path = arena_printf(arena, "%s/s.csv", folder);
    assert_true(sheet_read(arena, NULL, path, (SourcePos){0}, &sheet, &diags));
    judge(line, lines, can_only, &either);
    const bool sound = !(can_only[0] && can_only[1]) && (!either || can_only[0] || can_only[1]);
    const bool found = sheet_date_order(&sheet, 1, &order, &diags);
    if (found != sound || (diags.errors > 0) == sound || (diags.count > 0) != (!sound || either))
        fail_msg("%s: %s in\n%s", about, sound ? "refused" : "read", text_cstr(&text));
    for (int k = 0; k < lines; k++) {
        int day;
        if (line[k].way == 3)
            continue;
        if (!date_parse_by(sheet.row[k].cell[1].text, order, &day))
            fail_msg("%s: line %d is not read in\n%s", about, k + 2, text_cstr(&text));
        const bool own = line[k].way < 4 || line[k].day > 12; /* else it is read as the others are */
        if (sound && (own || line[k].month_first == can_only[1]))
            assert_string_equal(date_text(arena, day),
                                arena_printf(arena, "%04d-%02d-%02d", line[k].year, line[k].month, line[k].day));
    }
    diags_release(&diags);
    text_release(&text);
    arena_free(arena);
    folder_remove(folder);
    free(folder);
}

static void columns_are_read_in_one_order(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(400);
    for (uint64_t seed = first; seed < first + count; seed++) {
        Dice dice;
        Written line[8];
        char about[40];
        dice_seed(&dice, seed);
        const int lines = dice_roll(&dice, 1, 8), last = dice_chance(&dice, 50) ? 12 : 28,
                  ways = dice_chance(&dice, 50) ? 4 : 0;
        const bool months = dice_chance(&dice, 50), mixed = dice_chance(&dice, 15);
        for (int k = 0; k < lines; k++)
            line[k] = (Written){.day = dice_roll(&dice, 1, last),
                                .month = dice_roll(&dice, 1, 12),
                                .year = dice_roll(&dice, 1990, 2040),
                                .way = dice_roll(&dice, ways, 5),
                                .month_first = mixed ? dice_chance(&dice, 50) : months};
        snprintf(about, sizeof about, "seed %d", (int)seed);
        try_column(line, lines, about);
    }
}

/* ---- sheets with days ---- */

static char *dated_folder(void)
{
    char *folder =
        desk_folder("unpriced: 1.00\n", "prices: [p.csv]\n", "name,colours,power\nAsh,rye,1\nBay,rye,2\nCod,teal,3\n");
    folder_print(folder, "p.csv", "name,price\nAsh,1\n");
    return folder;
}

static void expect_run(const char *folder, const char *const *words, int code, const char *says)
{
    Run run;
    desk_run(folder, &run, code, words);
    desk_expect(run.err, says);
    run_forget(&run);
}

static void what_is_wrong_with_dates_is_told(void **state)
{
    (void)state;
    static const struct {
        const char *sheet;
        int code;
        const char *says;
    } tried[] = {
        {"name,price,date\nAsh,1,3/4/2026\nBay,2,5/5/2026\nCod,3,13/4/2026\n", 0,
         "p.csv:2:7: notice: '3/4/2026' is read as 2026-04-03, since '13/4/2026' in line 4 has the day first\n"},
        {"name,price,date\nAsh,1,3/4/2026\nBay,2,4/13/2026\n", 0,
         "p.csv:2:7: notice: '3/4/2026' is read as 2026-03-04, since '4/13/2026' in line 3 has the month first\n"},
        {"name,price,date\nAsh,1,3/14/2026\nBay,2,3/4/2026\nCod,3,13/4/2026\n", 2,
         "p.csv:4:7: error: column 'date': found '13/4/2026', where the day stands first, but in '3/14/2026' in line 2 "
         "it is the month; expected one order in the whole column, or dates such as 2026-03-31\n"},
        {"name,price,date\nAsh,1,13/4/2026\nBay,2,3/14/2026\n", 2,
         "p.csv:3:7: error: column 'date': found '3/14/2026', where the month stands first, but in '13/4/2026' in line "
         "2 "
         "it is the day; expected"},
        {"name,price,date\nAsh,1,3/4/2026\nBay,2,\nCod,3,5/6/2026\n", 2,
         "p.csv:2:7: error: column 'date': found '3/4/2026', expected 2026-04-03 or 2026-03-04 (nothing in the column "
         "says which of day and month stands first) (and 1 more like it, in line 4)\n"},
        {"name,price,date\nAsh,1,31/3/26\n", 2,
         "p.csv:2:7: error: column 'date': found '31/3/26', expected a date such as 2026-03-31 or 31.03.2026\n"},
    };
    char *folder = dated_folder();
    for (size_t k = 0; k < sizeof tried / sizeof *tried; k++) {
        folder_print(folder, "p.csv", tried[k].sheet);
        expect_run(folder, WORDS("check", "scenario.yaml"), tried[k].code, tried[k].says);
        Run run;
        desk_run(folder, &run, tried[k].code, WORDS("check", "scenario.yaml"));
        const char *error = strstr(run.err, "error:");
        assert_null(error == NULL ? NULL : strstr(error + 1, "error:")); /* one is enough */
        run_forget(&run);
    }
    desk_done(folder);
}

static void every_column_of_days_is_read_alike(void **state)
{
    (void)state;
    char *folder = dated_folder();
    folder_print(folder, "cards.csv",
                 "name,colours,power,trial\nAsh,rye,1,2/3/2999\nBay,rye,2,12/31/2999\nCod,teal,3,\n");
    expect_run(folder, WORDS("check", "scenario.yaml"), 0, "cards.csv:2:11: notice: '2/3/2999' is read as 2999-02-03");
    folder_print(folder, "cards.csv", "name,colours,power,trial\nAsh,rye,1,2/3/2999\nBay,rye,2,\nCod,teal,3,\n");
    expect_run(folder, WORDS("check", "scenario.yaml"), 2,
               "cards.csv:2:11: error: column 'trial': found '2/3/2999', expected 2999-03-02 or 2999-02-03");
    folder_print(folder, "cards.csv", "name,colours,power\nAsh,rye,1\nBay,rye,2\nCod,teal,3\n");
    folder_print(folder, "journal.csv", "date,change,card\n1/2/2026,out,Ash\n31/1/2026,in,Bay\n");
    expect_run(folder, WORDS("check", "scenario.yaml"), 0, "journal.csv:2:1: notice: '1/2/2026' is read as 2026-02-01");
    folder_print(folder, "journal.csv", "date,change,card\n1/2/2026,out,Ash\n");
    expect_run(folder, WORDS("check", "scenario.yaml"), 2, "journal.csv:2:1: error: column 'date': found '1/2/2026'");
    folder_print(folder, "journal.csv", "date,change,card\n2026/1/31,out,Ash\n31-12-2025 10:00,in,Bay\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
    run_forget(&run);
    folder_print(folder, "n.csv", "card,verdict,date\nAsh,better,1/2/2026\nBay,worse,1/13/2026\n");
    desk_run(folder, &run, 0, WORDS("feedback", "scenario.yaml", "n.csv"));
    run_forget(&run);
    folder_print(folder, "n.csv", "card,verdict,date\nAsh,better,1/2/2026\nBay,worse,1/3/2026\n");
    expect_run(folder, WORDS("feedback", "scenario.yaml", "n.csv"), 2,
               "n.csv:2:12: error: column 'date': found '1/2/2026'");
    expect_run(folder, WORDS("check", "scenario.yaml", "--today", "1/2/2026"), 2, "expected a date such as 2026-03-31");
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--today", "31/1/2026"));
    run_forget(&run);
    desk_done(folder);
}

/* What cannot be read in one way is no error to whoever looks at sheets for the first time. */
static void import_leaves_doubtful_dates_out(void **state)
{
    (void)state;
    char *folder = dated_folder();
    static const char *const words[] = {"import", "cards.csv", "p.csv", NULL};
    folder_print(folder, "p.csv", "name,price,Updated\nAsh,1.00,3/4/2026\nBay,2.50,5/6/2026\nCod,3.00,\n");
    expect_run(folder, words, 0,
               "p.csv:2:10: notice: column 'Updated': found '3/4/2026', expected 2026-04-03 or 2026-03-04 (nothing in "
               "the column says which of day and month stands first); so the column does not count\n");
    folder_print(folder, "p.csv", "name,price,Updated\nAsh,1.00,3/4/2026\nBay,2.50,25/6/2026\nCod,3.00,\n");
    Run run;
    desk_run(folder, &run, 0, words);
    desk_expect(run.out, "date = Updated");
    run_forget(&run);
    desk_done(folder);
}

#define TEXT_CELL(text) "<c t='inlineStr'><is><t>" text "</t></is></c>"

/* The number of a day in a cell with a format of days, with a time of day too, and texts beside them. */
static void days_of_workbooks_are_read(void **state)
{
    (void)state;
    size_t length;
    char *book =
        packed_xlsx("<sheetData><row>" TEXT_CELL("name") TEXT_CELL("price") TEXT_CELL("date") "</row><row>" TEXT_CELL(
                        "Ash") "<c><v>1</v></c><c s='1'><v>46112</v></c></row><row>" TEXT_CELL("Bay")
                        TEXT_CELL("1,234.50") "<c s='2'><v>46113.5</v></c></row><row>" TEXT_CELL("Cod")
                            TEXT_CELL("1.234,50 \xE2\x82\xAC") TEXT_CELL("13/4/2026") "</row></sheetData>",
                    NULL,
                    "<numFmts><numFmt numFmtId='164' formatCode='dd/mm/yyyy\\ hh:mm'/></numFmts><cellXfs><xf "
                    "numFmtId='0'/><xf numFmtId='14'/><xf numFmtId='164'/></cellXfs>",
                    NULL, &length);
    char *folder = desk_folder("unpriced: 1.00\n", "prices: [p.xlsx]\n", "name,colours\nAsh,rye\nBay,rye\nCod,teal\n");
    folder_write(folder, "p.xlsx", book, length);
    free(book);
    json_t *root = run_answer(folder, 0, WORDS("check", "scenario.yaml", "--json"));
    const json_t *prices = json_object_get(root, "prices");
    assert_string_equal(json_text(prices, "from"), "2026-03-31");
    assert_string_equal(json_text(prices, "to"), "2026-04-13");
    assert_int_equal(json_units(prices, "most", 100), 123450);
    json_decref(root);
    desk_done(folder);
}

/* ---- money ---- */

/* The amount with a mark between groups and one before two decimals. */
static void grouped(char text[80], int64_t cents, const char *between, char decimal)
{
    char digits[30];
    const int length = snprintf(digits, sizeof digits, "%lld", (long long)(cents / 100));
    size_t at = 0;
    for (int k = 0; k < length; k++) {
        if (k > 0 && (length - k) % 3 == 0)
            at += (size_t)snprintf(text + at, 80 - at, "%s", between);
        text[at++] = digits[k];
    }
    snprintf(text + at, 80 - at, "%c%02d", decimal, (int)(cents % 100));
}

static void groups_that_show_are_read(void **state)
{
    (void)state;
    static const char *const between[] = {",",           ".", " ", "'", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89",
                                          "\xE2\x80\x99"};
    Dice dice;
    dice_seed(&dice, environment_number("POOLWRIGHT_SEED", 1));
    for (uint64_t n = scenarios_wanted(3000); n > 0; n--) {
        char text[80], marked[100];
        static const int most[] = {99999, 9999999, 999999999};
        const int64_t cents =
            INT64_C(100) * dice_roll(&dice, 1000, most[dice_roll(&dice, 0, 2)]) + dice_roll(&dice, 0, 99);
        const int mark = dice_roll(&dice, 0, 7);
        const char decimal = mark == 0 ? '.' : mark == 1 ? ',' : ".,"[dice_roll(&dice, 0, 1)];
        const NumberForm form = {.comma = dice_chance(&dice, 50)};
        grouped(text, cents, between[mark], decimal);
        snprintf(marked, sizeof marked, dice_chance(&dice, 50) ? "%s" : "\xE2\x82\xAC\xC2\xA0%s", text);
        int64_t found = -1;
        bool by_comma;
        if (form_money(form, marked, &found, &by_comma) != NUMBER_OK || found != cents)
            fail_msg("'%s' is %lld", marked, (long long)found);
        assert_int_equal(by_comma, !form.comma && decimal == ',');
        assert_int_equal(form_number(form, text, 3, &found, NULL), NUMBER_OK);
        assert_int_equal(found, cents * 10);
        const bool against =
            mark < 2 && form.comma != (decimal == ','); /* the model says which mark is the decimal one */
        const NumberForm stated = {.comma = form.comma, .groups = true};
        if (against)
            assert_int_equal(form_money(stated, text, &found, NULL), NUMBER_NONE);
    }
}

static void what_may_be_either_is_not_read(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        NumberStatus by_point, by_comma; /* the sheet's decimal mark */
    } money[] = {{"1,234", NUMBER_NONE, NUMBER_DOUBTFUL},    {"1.234", NUMBER_TOO_FINE, NUMBER_DOUBTFUL},
                 {"1,234,567", NUMBER_OK, NUMBER_OK},        {"1.234.567", NUMBER_OK, NUMBER_OK},
                 {"1,234,56", NUMBER_NONE, NUMBER_NONE},     {"1,234.567", NUMBER_TOO_FINE, NUMBER_TOO_FINE},
                 {"1,23,456.00", NUMBER_NONE, NUMBER_NONE},  {"0,234.50", NUMBER_NONE, NUMBER_NONE},
                 {"1,234.5.0", NUMBER_NONE, NUMBER_NONE},    {"1,234.50,0", NUMBER_NONE, NUMBER_NONE},
                 {"1 234.567,00", NUMBER_NONE, NUMBER_NONE}, {"1234,567.00", NUMBER_NONE, NUMBER_NONE},
                 {"1,2345.00", NUMBER_NONE, NUMBER_NONE},    {"1.234,-", NUMBER_OK, NUMBER_OK},
                 {"1,234.", NUMBER_OK, NUMBER_OK},           {"-1,234.50", NUMBER_OK, NUMBER_OK}};
    for (size_t k = 0; k < sizeof money / sizeof *money; k++)
        for (int comma = 0; comma < 2; comma++) {
            int64_t cents;
            const NumberStatus status = form_money((NumberForm){.comma = comma == 1}, money[k].text, &cents, NULL);
            if (status != (comma == 1 ? money[k].by_comma : money[k].by_point))
                fail_msg("'%s' with a %s: %d", money[k].text, comma == 1 ? "comma" : "point", (int)status);
        }
}

/* Numbers are read alike in every sheet beside the cards, and their commas told alike. */
static void sheets_beside_the_cards_have_the_same_numbers(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: 1.00\n", "prices: [p.csv]\ntags: [t.csv]\nowned: [o.csv]\n",
                               "name,colours,power\nAsh,rye,1\nBay,rye,2\nCod,teal,3\n");
    folder_print(folder, "p.csv", "name,price,shop,stock\nAsh,2,here,1 200\nBay,\"3,50\",here,1'200\n");
    folder_print(folder, "t.csv", "name,tag,weight\nAsh,t,\"2,5\"\nBay,t,1.25\n");
    folder_print(folder, "o.csv", "name,copies,paid\nAsh,1,\"1.234,50\"\n");
    static const char *const words[] = {"check", "scenario.yaml", NULL};
    expect_run(folder, words, 0, "p.csv:3:6: notice: 1 number is written with a decimal comma, such as '3,50'");
    expect_run(folder, words, 0, "t.csv:2:8: notice: 1 number is written with a decimal comma, such as '2,5'");
    expect_run(folder, words, 0, "o.csv:2:8: notice: 1 number is written with a decimal comma, such as '1.234,50'");
    json_t *root = run_answer(folder, 0, WORDS("find", "scenario.yaml", "--where", "name=Ash", "--json"));
    const json_t *ash = json_array_get(json_object_get(root, "cards"), 0);
    assert_int_equal(json_units(json_array_get(json_object_get(ash, "tags"), 0), "weight", 1000), 2500);
    json_decref(root);
    folder_print(folder, "p.csv", "name,price,shop,stock\nAsh,2,here,\"1,5\"\n");
    expect_run(folder, words, 2, "p.csv:2:13: error: column 'stock': found '1,5', expected a whole number of copies");
    desk_done(folder);
}

/* 1,5 without quotes is two cells, and nothing is too much where the last ones are blank. A line that is longer than
 * the header for a comma too many at its end is told only where it could be read so. NULL: nothing is told. */
static void a_number_that_is_two_cells_is_told(void **state)
{
    (void)state;
    static const struct {
        const char *sheet, *at, *number;
    } list[] = {
        {"name,power,kind,text\nAsh,1,5,,\nBay,2,kites,a\nCod,3.5,kites,b\n", "list.csv:2:5", "1,5"},
        {"name,power,kind,text\nBay,2,kites,a\nAsh,-1,5,,\nCod,3.5,kites,b\n", "list.csv:3:5", "-1,5"},
        {"name,cost,power,price\nBay,2,2,3\nAsh,2,1,5,\nCod,2,3.5,3\n", "list.csv:3:7", "1,5"},
        {"name,cost,power,kind\nBay,2,2,kites\nAsh,2,5,kites,\nCod,2,3.5,kites\n", NULL, NULL},
        {"name,cost,power,kind\nBay,2,2,kites,\nAsh,2,5,,\nCod,2,3.5,kites,\n", NULL, NULL}, /* all are longer */
        {"name,cost,power,kind\nBay,2,2,kites\nAsh,2,5,\nCod,2,3.5,kites\n", NULL, NULL},
        {"name,cost,power,kind\nBay,2,2,kites\nAsh,2,-5,,\nCod,2,3.5,kites\n", NULL, NULL},
        {"name;cost;power;tags\nBay;2;2;kites\nAsh;2;5;;\nCod;2;3.5;kites\n", NULL, NULL},
    };
    char *folder = desk_folder("unpriced: 1.00\n", "", "name\nAsh\n");
    for (size_t k = 0; k < sizeof list / sizeof *list; k++) {
        char expected[300];
        folder_print(folder, "list.csv", list[k].sheet);
        Run run;
        desk_run(folder, &run, 0, WORDS("check", "list.csv", "--model", "model.yaml"));
        snprintf(expected, sizeof expected, "; if this is one number, write it with a point or in quotes: \"%s\"\n",
                 list[k].number != NULL ? list[k].number : "");
        const char *told = strstr(run.err, "side by side in a line with more fields than the header, the last of them");
        if ((told != NULL) != (list[k].at != NULL) ||
            (told != NULL && (strstr(run.err, list[k].at) == NULL || strstr(told, expected) == NULL)))
            fail_msg("%s%s", list[k].sheet, run.err);
        run_forget(&run);
    }
    desk_done(folder);
}

/* ---- titles ---- */

/* A title above the columns of a sheet of targets is left out as it is in all sheets, of text and of a workbook. */
static void targets_may_have_a_title(void **state)
{
    (void)state;
    static const struct {
        const char *sheet, *place;
    } targets[] = {
        {"Our numbers\n\nrule,all,ebb\nstrong,2,\n", "t.csv:4"},
        {"Our numbers, in May;;\nrule;note;ebb\nstrong;;\nmine;;1+\n", "t.csv:4"},
        {"sep=;\n2026-05-01\nlimit;all\nlimit;all\nstrong;2\n", "t.csv:5"},
        {NULL, "t.xlsx#List:3"},
    };
    char *folder = folder_new(), text[200];
    size_t length;
    folder_print(
        folder, "model.yaml",
        "size: 2\ncolours: [ebb]\nspending_cap: 9\nrules:\n  - {name: strong, where: {power: {from: 4}}, at_least: "
        "1}\n  - {name: mine, each: colour, at_least: 0}\n");
    folder_print(folder, "cards.csv", "name,colours,power,price\nAsh,ebb,5,1\nBay,ebb,6,1\nFig,,6,1\n");
#define TEXT(text) "<c t=\"inlineStr\"><is><t>" text "</t></is></c>"
    char *book = packed_xlsx("<sheetData><row>" TEXT("Our numbers") "</row><row>" TEXT("rule")
                                 TEXT("all") "</row><row>" TEXT("strong") "<c><v>2</v></c></row></sheetData>",
                             NULL, NULL, "", &length);
    folder_write(folder, "t.xlsx", book, length);
    free(book);
    for (size_t k = 0; k < sizeof targets / sizeof *targets; k++) {
        const bool text_sheet = targets[k].sheet != NULL;
        if (text_sheet)
            folder_print(folder, "t.csv", targets[k].sheet);
        snprintf(text, sizeof text, "model: model.yaml\ncards: [cards.csv]\ntargets: [t.%s]\n",
                 text_sheet ? "csv" : "xlsx");
        folder_print(folder, "scenario.yaml", text);
        Run run;
        desk_run(folder, &run, 0, (const char *const[]){"check", ".", "--rules", NULL});
        desk_expect(run.out, targets[k].place);
        desk_expect(run.err, "' is taken for a title: the columns are named in ");
        run_forget(&run);
    }
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_date_has_one_day),
        cmocka_unit_test(columns_are_read_in_one_order),
        cmocka_unit_test(what_is_wrong_with_dates_is_told),
        cmocka_unit_test(every_column_of_days_is_read_alike),
        cmocka_unit_test(import_leaves_doubtful_dates_out),
        cmocka_unit_test(days_of_workbooks_are_read),
        cmocka_unit_test(groups_that_show_are_read),
        cmocka_unit_test(what_may_be_either_is_not_read),
        cmocka_unit_test(sheets_beside_the_cards_have_the_same_numbers),
        cmocka_unit_test(a_number_that_is_two_cells_is_told),
        cmocka_unit_test(targets_may_have_a_title),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
