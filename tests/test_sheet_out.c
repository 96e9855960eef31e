/* test_sheet_out.c - cells of the sheets that we write, read again by a reader of RFC 4180 written here: any text comes
 * back, one that a spreadsheet program would run as a formula with an apostrophe before it. Then the sheets of the
 * program: the user's own columns stay, decimal commas too. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "report/sheet/sheet_out.h"
#include "support/desk.h"

enum { CELLS = 4, LONGEST = 12, LINES = 4000 };

/* Section 2 of RFC 4180: the next cell into out; the sign after it is returned: the separator, or '\r' of a line's
 * end. */
static char next_cell(const char **at, char separator, char *out)
{
    size_t n = 0;
    if (**at == '"') {
        for ((*at)++; **at != '"' || (*at)[1] == '"'; (*at)++) {
            if (**at == '\0')
                fail_msg("a quotation mark is never closed");
            out[n++] = **at;
            *at += **at == '"';
        }
        (*at)++;
    } else
        for (; **at != separator && **at != '\r' && **at != '\0'; (*at)++) {
            if (**at == '"' || **at == '\n')
                fail_msg("'%c' stands outside quotation marks", **at);
            out[n++] = **at;
        }
    out[n] = '\0';
    const char after = **at;
    if (after != separator && (after != '\r' || (*at)[1] != '\n'))
        fail_msg("a cell ends in '%c'", after);
    *at += after == '\r' ? 2 : 1;
    return after;
}

/* What OWASP names as the signs with which a formula begins; numbers are none, nor are dashes alone. */
static bool is_formula(const char *cell)
{
    if (cell[0] == '-' && cell[strspn(cell, "-")] == '\0')
        return false;
    if (cell[0] == '-' || cell[0] == '+')
        return cell[1] == '\0' || strspn(cell + 1, "0123456789.,") != strlen(cell + 1);
    return cell[0] != '\0' && strchr("=@\t\r", cell[0]) != NULL;
}

static void any_text_comes_back(void **state)
{
    (void)state;
    static const char signs[] = "ab1\",;\t\r\n =+-@'";
    Dice dice;
    int guarded = 0;
    dice_seed(&dice, 4);
    for (int line = 0; line < LINES; line++) {
        const char separator = ",;\t"[line % 3];
        char cell[CELLS][LONGEST + 1], got[4 * LONGEST];
        const char *cells[CELLS];
        Text out = {0};
        for (int k = 0; k < CELLS; k++) {
            int length = dice_roll(&dice, 0, LONGEST);
            for (int i = 0; i < length; i++)
                cell[k][i] = signs[dice_roll(&dice, 0, (int)sizeof signs - 2)];
            cell[k][length] = '\0';
            cells[k] = cell[k];
        }
        sheet_line(&out, cells, CELLS, separator);
        const char *at = text_cstr(&out);
        for (int k = 0; k < CELLS; k++) {
            const bool formula = is_formula(cell[k]);
            const char after = next_cell(&at, separator, got);
            assert_int_equal(after, k + 1 < CELLS ? separator : '\r');
            if (got[0] == '\'' && cell[k][0] != '\'')
                assert_string_equal(got + 1, cell[k]);
            else
                assert_string_equal(got, cell[k]);
            if (formula)
                assert_int_equal(got[0], '\'');
            guarded += formula;
        }
        assert_int_equal(*at, '\0');
        text_release(&out);
    }
    assert_true(guarded > LINES / 2);
}

/* A list keeps every column of the user's but those that an earlier list left behind. */
static void own_columns_stay(void **state)
{
    (void)state;
    char *folder = desk_folder(
        "", "", "name,colours,power,reasons,chosen,reason,chosen_by\nA,rye,3,mine,1,old,me\nB,teal,2,,,,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "-o", "list.csv"));
    run_forget(&run);
    char *list = folder_read(folder, "list.csv", NULL);
    desk_expect(list, "name,colours,power,reasons,chosen_by,chosen,class,fit,reason\r\n");
    desk_expect(list, "A,rye,3,mine,me,1,mono,3,\r\n");
    free(list);
    desk_done(folder);
}

/* ---- what a list adds, and the list read again ---- */

#define SHEETS "prices: [prices.csv]\nowned: [owned.csv]\n"

static char *folder_of_sheets(const char *cards)
{
    char *folder = desk_folder("spending_cap: 9.00\nunpriced: 1.50\n", SHEETS, cards);
    folder_print(folder, "prices.csv", "name,price\nA,2.50\nC,0.10\n");
    folder_print(folder, "owned.csv", "name,owned\nB,2\n");
    return folder;
}

/* The answer without its notices, which name files. */
static char *list_of(const char *folder, const char *scenario, const char *list)
{
    Run run;
    desk_run(folder, &run, 0, WORDS("best", scenario, "--all", "-o", list, "--json"));
    char *answer = strdup(run.out);
    run_forget(&run);
    char *notices = strstr(answer, "\"notices\"");
    assert_non_null(notices);
    *notices = '\0';
    return answer;
}

/* The scenario with its list for its cards gives the same answer, and the same list again. */
static void expect_again(const char *folder, const char *list, const char *again)
{
    char text[512];
    snprintf(text, sizeof text, "model: model.yaml\ncards: [%s]\n%s", list, SHEETS);
    folder_print(folder, "again.yaml", text);
    char *first = list_of(folder, "scenario.yaml", list), *second = list_of(folder, "again.yaml", again);
    assert_string_equal(first, second);
    size_t lengths[2];
    char *written = folder_read(folder, list, &lengths[0]), *rewritten = folder_read(folder, again, &lengths[1]);
    assert_int_equal(lengths[0], lengths[1]);
    assert_memory_equal(written, rewritten, lengths[0]);
    Run run;
    desk_run(folder, &run, 0, WORDS("check", "again.yaml"));
    assert_null(strstr(run.out, "class,"));
    assert_null(strstr(run.out, "'class'"));
    run_forget(&run);
    free(written);
    free(rewritten);
    free(first);
    free(second);
}

/* Prices and owned copies of other sheets, class and fit stand in the list; a card without a price has a blank there.
 */
static void lists_say_what_counts(void **state)
{
    (void)state;
    char *folder = folder_of_sheets("name,colours,power\nA,rye,3\nB,rye+teal,2\nC,,1\nD,teal,0\n");
    expect_again(folder, "list.csv", "again.csv");
    expect_again(folder, "list.xlsx", "again.xlsx");
    char *list = folder_read(folder, "list.csv", NULL);
    assert_string_equal(list, "name,colours,power,chosen,price,owned,class,fit,reason\r\n"
                              "A,rye,3,1,2.50,0,mono,3,\r\n"
                              "B,rye+teal,2,1,,2,gold,2,\r\n"
                              "C,,1,0,0.10,0,colourless,1,\r\n"
                              "D,teal,0,0,,0,mono,0,\r\n");
    free(list);
    desk_done(folder);
}

/* A user's own column stays as it is, also where it is called as one of ours, and also as the last one. */
static void their_columns_win(void **state)
{
    (void)state;
    static const char *const sheet[] = {"name,fit,class\nA,old,first\nB,new,second\n",
                                        "name,class\nA,first\nB,second\n", "name,fit\nA,old\nB,\n"};
    static const char *const header[] = {"name,fit,class,chosen,price,owned,reason\r\nA,old,first,1,2.50,0,",
                                         "name,class,chosen,price,owned,fit,reason\r\nA,first,1,2.50,0,0,",
                                         "name,fit,chosen,price,owned,class,reason\r\nA,old,1,2.50,0,colourless,"};
    for (int k = 0; k < 3; k++) {
        char *folder = folder_of_sheets(sheet[k]);
        char *first = list_of(folder, "scenario.yaml", "list.csv"), *list = folder_read(folder, "list.csv", NULL);
        desk_expect(list, header[k]);
        folder_print(folder, "cards.csv", list);
        char *second = list_of(folder, "scenario.yaml", "again.csv"), *again = folder_read(folder, "again.csv", NULL);
        assert_string_equal(first, second);
        assert_string_equal(list, again);
        free(first);
        free(second);
        free(list);
        free(again);
        desk_done(folder);
    }
}

/* Where the cards sheet has the column, what other sheets say stands in it; what says the same stays as written. */
static void what_counts_replaces_cells(void **state)
{
    (void)state;
    char *folder = folder_of_sheets("name,power,price,owned\nA,3,9.99,\nB,2,0.4,x\nC,1,0.1,x\nD,0,,no\n");
    expect_again(folder, "list.csv", "again.csv");
    char *list = folder_read(folder, "list.csv", NULL);
    assert_string_equal(list, "name,power,price,owned,chosen,class,fit,reason\r\n"
                              "A,3,2.50,,1,colourless,3,\r\n"
                              "B,2,0.4,2,1,colourless,2,\r\n"
                              "C,1,0.1,x,0,colourless,1,\r\n"
                              "D,0,,no,0,colourless,0,\r\n");
    free(list);
    desk_done(folder);
}

/* Sheets with decimal commas get sheets with decimal commas. */
static void decimal_commas_stay(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 9.00\n", "",
                               "name;colours;power;price\nA;rye;3;1,50\nB;teal;2;0,75\nC;rye;1;0,20\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--shopping", "buy.csv"));
    run_forget(&run);
    char *list = folder_read(folder, "buy.csv", NULL);
    desk_expect(list, "buy;A;1;1,50;1,50;;rye;mono;");
    desk_expect(list, "total;all;2;;2,25;");
    assert_null(strchr(list, '.'));
    free(list);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_text_comes_back),        cmocka_unit_test(own_columns_stay),
        cmocka_unit_test(lists_say_what_counts),      cmocka_unit_test(their_columns_win),
        cmocka_unit_test(what_counts_replaces_cells), cmocka_unit_test(decimal_commas_stay)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
