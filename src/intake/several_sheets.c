/* several_sheets.c - what each of several sheets is beside the others: lists of candidates, further facts of the same
 * cards, their prices, tables of something else. */
#include <stdlib.h>
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "cards/names/counts.h"
#include "intake/intake_inner.h"

static void add_names(Bag *bag, const IntakeSheet *sheet)
{
    const int column = intake_column(sheet, HOLDS_NAME);
    for (size_t i = 0; i < sheet->sheet.rows && column >= 0; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        bag_add(bag, text, strlen(text), (SourcePos){0});
    }
}

static int compare_folded(const void *a, const void *b)
{
    return strcmp(((const BagWord *)a)->folded, ((const BagWord *)b)->folded);
}

static void settle_by_name(Bag *bag)
{
    bag_settle(bag);
    sort_stable(bag->word, bag->words, sizeof *bag->word, compare_folded);
}

/* How many names of one the other (in order of its folded names) has too. */
static size_t shared_names(const Bag *bag, const Bag *main)
{
    size_t shared = 0;
    for (size_t i = 0; i < bag->words; i++)
        shared += bsearch(&bag->word[i], main->word, main->words, sizeof *main->word, compare_folded) != NULL;
    return shared;
}

static bool in_workbook(const IntakeSheet *sheet)
{
    return strchr(sheet->path, '#') != NULL;
}

/* What only sheets of cards say. */
static const ColumnField fact[] = {HOLDS_COLOURS, HOLDS_KIND,    HOLDS_COST,     HOLDS_POWER,
                                   HOLDS_TAGS,    HOLDS_ENABLES, HOLDS_PAYS_OFF, HOLDS_TEXT};
#define FACTS (sizeof fact / sizeof *fact)

/* Is it a further part of the same list: two of these at least, and all that the other sheet has but one? */
static bool has_same_facts(const IntakeSheet *sheet, const IntakeSheet *main)
{
    size_t has = 0, lacks = 0;
    for (size_t f = 0; f < FACTS; f++) {
        has += sheet_has(sheet, fact[f]) && sheet_has(main, fact[f]);
        lacks += !sheet_has(sheet, fact[f]) && sheet_has(main, fact[f]);
    }
    return has >= 2 && lacks <= 1;
}

/* Does it say of cards what the other sheet does not? */
static bool adds_facts(const IntakeSheet *sheet, const IntakeSheet *main)
{
    for (size_t f = 0; f < FACTS; f++)
        if (sheet_has(sheet, fact[f]) && !sheet_has(main, fact[f]))
            return true;
    return false;
}

/* A sheet whose names the main one has nearly all adds facts, prices or owned copies to it, or repeats it; a short one
 * of the same workbook that shares none, and has other columns, is a table of something else. */
static SheetRole role_beside(const IntakeSheet *sheet, const IntakeSheet *main, size_t shared)
{
    if (shared < 80)
        return in_workbook(sheet) && shared == 0 && sheet->sheet.rows * 10 < main->sheet.rows &&
                       !has_same_facts(sheet, main)
                   ? SHEET_LEFT
                   : SHEET_CARDS;
    if (adds_facts(sheet, main))
        return SHEET_CARDS;
    if (sheet_has(sheet, HOLDS_PRICE))
        return SHEET_PRICES;
    return sheet_has(sheet, HOLDS_OWNED) ? SHEET_OWNED : sheet_has(sheet, HOLDS_CHOSEN) ? SHEET_POOL : SHEET_LEFT;
}

/* A list of names without a header: its first line names a card of the others. */
static bool is_plain_list(Intake *intake, const IntakeSheet *sheet, const Bag *all)
{
    size_t length;
    int copies;
    const char *first = sheet->sheet.header.cell[0].text, *listed = listed_name(first, &length, &copies);
    return sheet->sheet.header.cells == 1 && sheet->role != SHEET_CARDS &&
           (bag_find(all, text_fold_in(intake->arena, first)) != NULL ||
            bag_find(all, text_fold_in(intake->arena, arena_strndup(intake->arena, listed, length))) != NULL);
}

static void compare_sheets(Intake *intake)
{
    IntakeSheet *main = NULL;
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role == SHEET_CARDS && (main == NULL || intake->sheet[s].sheet.rows > main->sheet.rows))
            main = &intake->sheet[s];
    if (main == NULL)
        return;
    Bag list = {.arena = intake->arena}, all = {.arena = intake->arena};
    add_names(&list, main);
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role == SHEET_CARDS)
            add_names(&all, &intake->sheet[s]);
    settle_by_name(&list);
    settle_by_name(&all);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        Bag bag = {.arena = intake->arena};
        if (is_plain_list(intake, sheet, &all)) {
            sheet_as_names(intake->arena, &sheet->sheet);
            sheet->field[0] = HOLDS_NAME;
            column_look(&sheet->sheet, 0, &sheet->look[0]);
        }
        add_names(&bag, sheet);
        bag_settle(&bag);
        if (sheet->role == SHEET_CARDS && sheet != main)
            sheet->role = role_beside(sheet, main, bag.words == 0 ? 0 : shared_names(&bag, &list) * 100 / bag.words);
        else if (in_workbook(sheet) && shared_names(&bag, &all) == 0) /* prices or counts of something else */
            sheet->role = SHEET_LEFT;
        bag_release(&bag);
    }
    bag_release(&list);
    bag_release(&all);
}

static size_t different_names(const IntakeSheet *sheet)
{
    const int column = intake_column(sheet, HOLDS_NAME);
    return column >= 0 ? sheet->look[column].distinct : 0;
}

/* Where no sheet has colours, kinds and the like, the one with the most different names holds the candidates. */
static void need_cards(Intake *intake)
{
    IntakeSheet *longest = NULL;
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role == SHEET_CARDS)
            return;
        if (different_names(sheet) > (longest != NULL ? different_names(longest) : 0))
            longest = sheet;
    }
    if (longest != NULL)
        longest->role = SHEET_CARDS;
}

void settle_several(Intake *intake)
{
    need_cards(intake);
    compare_sheets(intake);
}
