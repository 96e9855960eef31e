/* lines.c - which lines are cards: totals, headings and lines without a name that are none, and lines that name a card
 * again. */
#include <string.h>

#include "base/sort.h"
#include "cards/names/counts.h"
#include "intake/intake_inner.h"

/* ---- lines that are no cards ---- */

typedef enum { LINE_CARD, LINE_TOTAL, LINE_HEADING, LINE_UNNAMED } LineKind;

/* Does no cell besides the name say anything? */
static bool is_name_alone(const IntakeSheet *sheet, const SheetRow *row)
{
    for (size_t k = 0; k < row->cells; k++)
        if ((int)k != sheet->name && !says_nothing(row->cell[k].text))
            return false;
    return true;
}

static size_t fields_of(const IntakeSheet *sheet)
{
    size_t fields = 0;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        fields += sheet->field[k] != HOLDS_OWN;
    return fields;
}

/* Does the line say what only cards have? */
static bool says_of_a_card(const IntakeSheet *sheet, const SheetRow *row)
{
    for (size_t k = 0; k < row->cells; k++) {
        const ColumnField field = sheet->field[k];
        if ((field == HOLDS_COLOURS || field == HOLDS_KIND || field_is_tags(field) || field == HOLDS_TEXT) &&
            !says_nothing(row->cell[k].text))
            return true;
    }
    return false;
}

static LineKind line_kind(const IntakeSheet *sheet, const SheetRow *row)
{
    const char *name = row->cell[sheet->name].text;
    if (name[0] == '\0')
        return LINE_UNNAMED;
    if (word_is_total(name) && !says_of_a_card(sheet, row))
        return LINE_TOTAL;
    if (sheet->role == SHEET_CARDS && fields_of(sheet) >= 3 && is_name_alone(sheet, row))
        return LINE_HEADING;
    return LINE_CARD;
}

/* A heading stands between cards; where many lines say nothing but a name, they are cards that nothing is known of.
 * There may be more where none stands below another. */
static bool headings_are_few(const IntakeSheet *sheet)
{
    size_t headings = 0, together = 0;
    bool before = false;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const bool heading = line_kind(sheet, &sheet->sheet.row[i]) == LINE_HEADING;
        headings += heading;
        together += heading && (before || i + 1 == sheet->sheet.rows);
        before = heading;
    }
    return headings * (together > 0 ? 10 : 5) <= sheet->sheet.rows;
}

static void ask_lines(Intake *intake, LineKind kind, const char *id, const char *text)
{
    IntakeQuestion question = {.id = id, .text = text};
    Bag names = {.arena = intake->arena};
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role == SHEET_LEFT || (kind == LINE_HEADING && !headings_are_few(sheet)))
            continue;
        question.of += sheet->sheet.rows;
        for (size_t i = 0; i < sheet->sheet.rows; i++) {
            const SheetRow *row = &sheet->sheet.row[i];
            if (line_kind(sheet, row) != kind)
                continue;
            const SheetCell *cell = &row->cell[sheet->name];
            for (size_t k = 0; k < row->cells && kind == LINE_UNNAMED && cell->text[0] == '\0'; k++)
                cell = &row->cell[k];
            question_example(&question, sheet_pos(&sheet->sheet, cell), cell->text);
            bag_add(&names, row->cell[sheet->name].text, strlen(row->cell[sheet->name].text),
                    sheet_pos(&sheet->sheet, cell));
        }
    }
    bag_settle(&names);
    if (names.words > 0 && intake_ask_yes(intake, question))
        for (size_t i = 0; i < names.words; i++) {
            intake->skip[intake->habits.skips] = names.word[i].spelled;
            ((const char **)(uintptr_t)intake->habits.skip)[intake->habits.skips++] = names.word[i].folded;
        }
    bag_release(&names);
}

void guess_lines(Intake *intake)
{
    size_t rows = 1;
    for (size_t s = 0; s < intake->sheets; s++)
        rows += intake->sheet[s].sheet.rows;
    intake->skip = arena_alloc(intake->arena, rows, sizeof *intake->skip);
    intake->habits.skip = arena_alloc(intake->arena, rows, sizeof *intake->skip);
    ask_lines(intake, LINE_TOTAL, "skip totals", "are these lines totals, and no cards?");
    ask_lines(intake, LINE_HEADING, "skip headings", "are these lines headings, and no cards?");
    ask_lines(intake, LINE_UNNAMED, "skip unnamed", "are lines without a name to be passed over?");
}

/* ---- repeated names ---- */

typedef struct {
    const char *folded;
    IntakeSheet *sheet;
    const SheetRow *row;
} Named;

static int compare_named(const void *a, const void *b)
{
    return strcmp(((const Named *)a)->folded, ((const Named *)b)->folded);
}

static bool same_cells(const Named *a, const Named *b)
{
    if (a->sheet != b->sheet)
        return false;
    for (size_t k = 0; k < a->row->cells; k++)
        if (strcmp(a->row->cell[k].text, b->row->cell[k].text) != 0)
            return false;
    return true;
}

/* Counts every line of a sheet of candidates. */
static void count_lines(const Named *named, size_t count, IntakeQuestion *question)
{
    for (size_t i = 0, first = 0; i < count; i++) {
        if (i > 0 && strcmp(named[i].folded, named[first].folded) != 0)
            first = i;
        if (first == i) {
            named[i].sheet->candidates++;
        } else if (same_cells(&named[first], &named[i])) {
            named[i].sheet->repeated++;
        } else {
            const SheetCell *cell = &named[i].row->cell[named[i].sheet->name];
            named[i].sheet->different++;
            question_example(question, sheet_pos(&named[i].sheet->sheet, cell), cell->text);
        }
    }
}

static const char *name_of(Intake *intake, const char *text)
{
    size_t length = strlen(text);
    int copies;
    if (intake->habits.listed_names)
        text = listed_name(text, &length, &copies);
    return text_fold_in(intake->arena, arena_strndup(intake->arena, text, length));
}

void guess_duplicates(Intake *intake)
{
    static const char *const choice[] = {"fill", "first", "last", "error"};
    IntakeQuestion question = {.id = "duplicates",
                               .text = "these lines have the name of an earlier one but other cells; which counts? "
                                       "(fill: the first, with its blanks filled from the others)",
                               .likely = "fill",
                               .choice = choice,
                               .choices = 4};
    size_t rows = 0, count = 0;
    for (size_t s = 0; s < intake->sheets; s++)
        rows += intake->sheet[s].sheet.rows;
    Named *named = mem_new(rows, sizeof *named);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t i = 0; i < sheet->sheet.rows && sheet->role == SHEET_CARDS; i++) {
            const SheetRow *row = &sheet->sheet.row[i];
            const char *name = row->cell[sheet->name].text;
            if (habits_skip(&intake->habits, name))
                sheet->passed++;
            else
                named[count++] = (Named){.folded = name_of(intake, name), .sheet = sheet, .row = row};
        }
    }
    question.of = count;
    sort_stable(named, count, sizeof *named, compare_named);
    count_lines(named, count, &question);
    mem_free(named);
    if (question.count == 0)
        return;
    static const Duplicates how[] = {DUPLICATES_FILL, DUPLICATES_FIRST, DUPLICATES_LAST, DUPLICATES_ERROR};
    const long which = text_find(intake_ask(intake, question), choice, 4);
    if (which >= 0)
        intake->habits.duplicates = how[which];
}
