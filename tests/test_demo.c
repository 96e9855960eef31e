/* test_demo.c - what docs/demo.md says of the demo's cards is true of the sheet: how the families of effects are spread
 * over the colours, and that no colour has more than half of one. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "cards/sheet/sheet.h"
#include "support/run.h"

enum { FAMILIES = 64, COLOURS = 4 };

typedef struct {
    char name[64];
    int cards, of[COLOURS]; /* gold and hybrid cards once for each of their colours */
    int mono, mono_of[COLOURS];
} Family;

static const char *const colour_name[COLOURS] = {"brass", "glass", "linen", "tar"};

/* The family of that name, a new one if there is none yet. */
static Family *family(Family *all, int *count, const char *name)
{
    for (int i = 0; i < *count; i++)
        if (strcmp(all[i].name, name) == 0)
            return &all[i];
    assert_in_range(*count, 0, FAMILIES - 1);
    Family *new = &all[(*count)++];
    memset(new, 0, sizeof *new);
    snprintf(new->name, sizeof new->name, "%s", name);
    return new;
}

static void count_card(Family *f, const char *colours)
{
    f->cards++;
    const bool mono = *colours != '\0' && strpbrk(colours, "+/") == NULL;
    f->mono += mono;
    for (int c = 0; c < COLOURS; c++)
        if (strstr(colours, colour_name[c]) != NULL) {
            f->of[c]++;
            f->mono_of[c] += mono;
        }
}

static int count_sheet(Family *all)
{
    Arena *arena = arena_new();
    Diags diags;
    diags_init(&diags);
    Sheet sheet;
    assert_true(sheet_read(arena, NULL, "scenarios/demo/cards.csv", (SourcePos){0}, &sheet, &diags));
    const int does = sheet_column(&sheet, "does"), colours = sheet_column(&sheet, "colours");
    assert_true(does >= 0 && colours >= 0);
    int count = 0;
    for (size_t r = 0; r < sheet.rows; r++) {
        char cell[256], *rest = cell;
        snprintf(cell, sizeof cell, "%s", sheet.row[r].cell[does].text);
        for (char *name; (name = strsep(&rest, ";")) != NULL;) {
            name += strspn(name, " ");
            if (*name != '\0')
                count_card(family(all, &count, name), sheet.row[r].cell[colours].text);
        }
    }
    diags_release(&diags);
    arena_free(arena);
    return count;
}

static void no_colour_owns_a_family(void **state)
{
    (void)state;
    Family all[FAMILIES];
    const int count = count_sheet(all);
    assert_true(count >= 15);
    for (int i = 0; i < count; i++)
        for (int c = 0; c < COLOURS; c++)
            if (2 * all[i].of[c] > all[i].cards || 2 * all[i].mono_of[c] > all[i].mono)
                fail_msg("%s has %d of %d cards of the family '%s', %d of %d among mono cards", colour_name[c],
                         all[i].of[c], all[i].cards, all[i].name, all[i].mono_of[c], all[i].mono);
}

/* Rows such as "| wreck | a body goes to the flats | 28 | 9 | 10 | 6 | 9 |", one for each family and no others. */
static void the_page_has_the_same_table(void **state)
{
    (void)state;
    Family all[FAMILIES];
    const int count = count_sheet(all);
    char *page = folder_read(".", "docs/demo.md", NULL);
    assert_non_null(page);
    char *line = strstr(page, "| family | what happens |");
    assert_non_null(line);
    int rows = 0;
    for (line = strchr(strchr(line, '\n') + 1, '\n') + 1; *line == '|'; line = strchr(line, '\n') + 1, rows++) {
        char name[64];
        int cards, of[COLOURS];
        assert_int_equal(
            sscanf(line, "| %63[^|]| %*[^|]| %d | %d | %d | %d | %d |", name, &cards, &of[0], &of[1], &of[2], &of[3]),
            6);
        name[strcspn(name, "|") - 1] = '\0'; /* the blank before the bar */
        int known = count;
        const Family *f = family(all, &known, name);
        assert_int_equal(known, count);
        assert_int_equal(cards, f->cards);
        for (int c = 0; c < COLOURS; c++)
            assert_int_equal(of[c], f->of[c]);
    }
    assert_int_equal(rows, count);
    free(page);
}

/* Every card says something, and no two the same. */
static void every_card_has_a_text_of_its_own(void **state)
{
    (void)state;
    Arena *arena = arena_new();
    Diags diags;
    diags_init(&diags);
    Sheet sheet;
    assert_true(sheet_read(arena, NULL, "scenarios/demo/cards.csv", (SourcePos){0}, &sheet, &diags));
    const int text = sheet_column(&sheet, "text");
    assert_true(text >= 0);
    assert_int_equal(sheet.rows, 1427);
    for (size_t r = 0; r < sheet.rows; r++) {
        assert_string_not_equal(sheet.row[r].cell[text].text, "");
        for (size_t s = 0; s < r; s++)
            if (strcmp(sheet.row[r].cell[text].text, sheet.row[s].cell[text].text) == 0)
                fail_msg("'%s' and '%s' have the same text", sheet.row[s].cell[0].text, sheet.row[r].cell[0].text);
    }
    diags_release(&diags);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_colour_owns_a_family),
                                       cmocka_unit_test(the_page_has_the_same_table),
                                       cmocka_unit_test(every_card_has_a_text_of_its_own)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
