/* test_table.c - tables of reports: aligned by display width; on a terminal that is too narrow, text goes on in further
 * lines and nothing is lost; lists of names. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "report/whatif_report.h"
#include "report/layout/wrap.h"
#include "support/run.h"

#define COLUMNS 4 /* of dealt tables */
#define ROWS 6

static Table *sample(void)
{
    static const char *const header[] = {"card", "price", "what it costs", "set in"};
    Table *table = table_new("lrrl", header);
    static const char *const cell[] = {"Zoë Marram, Light-Engineer",   "12.30", "4",     "models/four-base.yaml:51",
                                       "港の水先案内人の長い名前の札", "0.05",  "1,250", "cards.csv:7"};
    for (size_t k = 0; k < sizeof cell / sizeof *cell; k++)
        table_add(table, cell[k]);
    return table;
}

static char *printed(const Table *table, int width, bool colour)
{
    Text out = {0};
    table_print(table, &out, &(Style){.width = width, .colour = colour});
    char *text = mem_strdup(text_cstr(&out));
    text_release(&out);
    return text;
}

static void assert_prints(const Table *table, int width, const char *expected)
{
    char *text = printed(table, width, false);
    assert_string_equal(text, expected);
    mem_free(text);
}

static void files_and_wide_terminals_get_whole_lines(void **state)
{
    (void)state;
    static const char whole[] = "  card                          price  what it costs  set in\n"
                                "  Zoë Marram, Light-Engineer    12.30              4  models/four-base.yaml:51\n"
                                "  港の水先案内人の長い名前の札   0.05          1,250  cards.csv:7\n";
    Table *table = sample();
    assert_prints(table, 0, whole);
    assert_prints(table, 200, whole);
    assert_prints(table, 78, whole);
    assert_prints(table, 20, whole); /* no way to fit: as it is */
    table_free(table);
}

static void narrow_terminals_get_more_lines(void **state)
{
    (void)state;
    Table *table = sample();
    assert_prints(table, 68,
                  "  card                          price     what it  set in\n"
                  "                                            costs\n"
                  "  Zoë Marram, Light-Engineer    12.30           4  models/\n"
                  "                                                   four-base.yaml:51\n"
                  "  港の水先案内人の長い名前の札   0.05       1,250  cards.csv:7\n");
    assert_prints(table, 60,
                  "  card                       price   what  set in\n"
                  "                                       it\n"
                  "                                    costs\n"
                  "  Zoë Marram,                12.30      4  models/\n"
                  "  Light-Engineer                           four-base.yaml:51\n"
                  "  港の水先案内人の長い名前    0.05  1,250  cards.csv:7\n"
                  "  の札\n");
    assert_prints(table, 40,
                  "  card         price   what  set in\n"
                  "                         it\n"
                  "                      costs\n"
                  "  Zoë Marram,  12.30      4  models/\n"
                  "  Light-Engin                four-base.y\n"
                  "  eer                        aml:51\n"
                  "  港の水先案    0.05  1,250  cards.csv:7\n"
                  "  内人の長い\n"
                  "  名前の札\n");
    char *text = printed(table, 60, true);
    assert_non_null(strstr(text, "\033[2m  card"));
    mem_free(text);
    table_free(table);
}

static void deal_cell(Dice *dice, char align, char cell[100])
{
    static const char *const letter[] = {"a", "ß", "é", "水", "x", "q", "/", "+"};
    cell[0] = '\0';
    if (align == 'r') {
        sprintf(cell, "%d", dice_roll(dice, 0, 30000));
        return;
    }
    for (int words = dice_roll(dice, 0, 4); words > 0; words--) {
        for (int k = dice_roll(dice, 1, 9); k > 0; k--)
            strcat(cell, letter[dice_roll(dice, 0, 7)]);
        strcat(cell, words > 1 ? " " : "");
    }
}

/* The greatest display width of a line. */
static size_t longest_line(const char *text)
{
    size_t longest = 0;
    while (*text != '\0') {
        const size_t length = strcspn(text, "\n");
        char *line = mem_strndup(text, length);
        longest = text_width(line) > longest ? text_width(line) : longest;
        mem_free(line);
        text += length + 1;
    }
    return longest;
}

/* All that is no blank, sorted by bytes: the same letters are there, wherever they stand. */
static int by_byte(const void *a, const void *b)
{
    return *(const unsigned char *)a - *(const unsigned char *)b;
}

static char *letters_of(const char *text)
{
    char *letters = mem_strdup(text);
    size_t kept = 0;
    for (const char *c = text; *c != '\0'; c++)
        if (*c != ' ' && *c != '\n')
            letters[kept++] = *c;
    letters[kept] = '\0';
    qsort(letters, kept, 1, by_byte);
    return letters;
}

/* A number is not broken, also where words are: line 10 is not line 1. */
static void numbers_stay_whole(void **state)
{
    (void)state;
    Table *table = table_new("rl", NULL);
    table_add(table, "1234567890123456789012345678901234567890");
    table_add(table, "model.yaml:10");
    for (int width = 55; width < 57; width++)
        assert_prints(table, width,
                      "  1234567890123456789012345678901234567890  model.yaml:\n"
                      "                                            10\n");
    table_free(table);
}

static void no_letter_is_lost_at_any_width(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 20260801);
    int narrowed = 0;
    for (int round = 0; round < 150; round++) {
        static const char align[] = "lrlr";
        Table *table = table_new(align, NULL);
        for (int k = 0; k < COLUMNS * ROWS; k++) {
            char cell[100];
            deal_cell(&dice, align[k % COLUMNS], cell);
            table_add(table, cell);
        }
        char *whole = printed(table, 0, false), *letters = letters_of(whole);
        const size_t wide = longest_line(whole);
        for (int width = 20; width < 100; width += 3) {
            char *text = printed(table, width, false), *found = letters_of(text);
            assert_string_equal(found, letters);
            if (strcmp(text, whole) != 0) {
                narrowed++;
                assert_true(wide > (size_t)width);
                assert_true(longest_line(text) <= (size_t)width);
            }
            assert_null(strstr(text, " \n"));
            mem_free(text);
            mem_free(found);
        }
        mem_free(whole);
        mem_free(letters);
        table_free(table);
    }
    assert_true(narrowed > 500);
}

static char *listed(int width, size_t most)
{
    static const char *const name[] = {"Harbour Pilot",   "Zoë Marram, Light-Engineer", "Mail Dinghy", "港の水先案内人",
                                       "Signal-Gun Crew", "Old Mother Slick",           "Fog Bell",    "Reed Pilot"};
    Text out = {0};
    NameList list;
    name_list_begin(&list, "in   ", most, &(Style){.width = width}, &out);
    for (size_t k = 0; k < sizeof name / sizeof *name; k++)
        name_list_add(&list, name[k]);
    name_list_end(&list);
    char *text = mem_strdup(text_cstr(&out));
    text_release(&out);
    return text;
}

static void names_go_in_lines_of_the_terminal(void **state)
{
    (void)state;
    char *whole = listed(0, SIZE_MAX), *letters = letters_of(whole), *wide = listed(200, SIZE_MAX);
    assert_string_equal(
        whole, "  in   Harbour Pilot; Zoë Marram, Light-Engineer; Mail Dinghy; 港の水先案内人; Signal-Gun Crew;\n"
               "       Old Mother Slick; Fog Bell; Reed Pilot\n");
    assert_string_equal(wide, whole);
    for (int width = 34; width < 100; width++) {
        char *text = listed(width, SIZE_MAX), *found = letters_of(text), *cut = listed(width, 5);
        assert_string_equal(found, letters);
        assert_true(longest_line(text) <= (size_t)width);
        assert_true(longest_line(cut) <= (size_t)width);
        assert_non_null(strstr(cut, "... and 3 more\n"));
        mem_free(text);
        mem_free(found);
        mem_free(cut);
    }
    mem_free(whole);
    mem_free(wide);
    mem_free(letters);
}

static void expect_wrapped(const char *text, int width, const char *expected)
{
    Text out = {0};
    text_add(&out, text);
    wrap_lines(&out, width);
    assert_string_equal(text_cstr(&out), expected);
    text_release(&out);
}

static void sentences_are_broken_at_blanks(void **state)
{
    (void)state;
    expect_wrapped("one two three four\n", 9, "one two\nthree\nfour\n");
    expect_wrapped("one two three four\n", 0, "one two three four\n");
    expect_wrapped("one two three four\n", 18, "one two three four\n");
    expect_wrapped("  one two three\nfour\n", 10, "  one two\n  three\nfour\n");
    expect_wrapped("  in  one two three four\n", 16, "  in  one two\n      three four\n"); /* a list's text */
    expect_wrapped("  a very long label  one two\n", 16, "  a very long\n  label  one two\n");
    expect_wrapped("Unbreakable\n", 4, "Unbreakable\n");
    expect_wrapped("a Unbreakable b\n", 4, "a\nUnbreakable\nb\n");
    expect_wrapped("\033[1mone two\033[0m\n", 7, "\033[1mone two\033[0m\n"); /* styles take no room */
    expect_wrapped("\n\nab cd", 3, "\n\nab\ncd\n");
    expect_wrapped("港の 水先 案内\n", 9, "港の 水先\n案内\n"); /* two columns each */
}

/* A column with nothing but its header says nothing; one without rows stays. */
static void blank_columns_are_left_out(void **state)
{
    (void)state;
    const char *header[] = {"card", "status", "fit"};
    const Style style = {.width = 40};
    Table *table = table_new("llr", header);
    Text out = {0};
    table_print(table, &out, &style);
    assert_string_equal(text_cstr(&out), "  card  status  fit\n");
    text_release(&out);
    for (int row = 0; row < 2; row++) {
        table_add(table, row == 0 ? "Ash" : "Bee");
        table_add(table, "");
        table_add(table, "7");
    }
    assert_false(table_shows(table, 1, &style));
    table_print(table, &out, &style);
    assert_string_equal(text_cstr(&out), "  card  fit\n  Ash     7\n  Bee     7\n");
    text_release(&out);
    table_add(table, "Cod");
    table_add(table, "wish");
    table_add(table, "7");
    table_print(table, &out, &style);
    assert_string_equal(text_cstr(&out),
                        "  card  status  fit\n  Ash             7\n  Bee             7\n  Cod   wish      7\n");
    text_release(&out);
    table_free(table);
}

/* Of columns that say something together only, as those of the colours, none is left without the others. */
static void some_columns_go_together(void **state)
{
    (void)state;
    const char *header[] = {"theme", "cards", "ash", "bay", "elm"};
    Table *table = table_new("lrSSS", header);
    table_add(table, "tides");
    for (int k = 0; k < 4; k++)
        table_add(table, "10");
    assert_prints(table, 29, "  theme  cards  ash  bay  elm\n  tides     10   10   10   10\n");
    assert_prints(table, 28, "  theme  cards\n  tides     10\n");
    table_free(table);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blank_columns_are_left_out),
        cmocka_unit_test(some_columns_go_together),
        cmocka_unit_test(sentences_are_broken_at_blanks),
        cmocka_unit_test(files_and_wide_terminals_get_whole_lines),
        cmocka_unit_test(numbers_stay_whole),
        cmocka_unit_test(narrow_terminals_get_more_lines),
        cmocka_unit_test(no_letter_is_lost_at_any_width),
        cmocka_unit_test(names_go_in_lines_of_the_terminal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
