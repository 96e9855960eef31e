/* sheet_dates.c - see sheet_dates.h. */
#include "cards/sheet/sheet_dates.h"

#include "base/text.h"

static const char *const first_word[] = {"day", "month"}; /* by DateOrder */

/* How a cell can be read: as one day or none, in one order only, or as two different days. */
typedef enum { ONLY_DAY_FIRST, ONLY_MONTH_FIRST, EITHER, NO_MATTER } Reading;

static Reading reading_of(const char *text)
{
    int by_day, by_month;
    const bool days = date_parse_by(text, DAY_FIRST, &by_day), months = date_parse_by(text, MONTH_FIRST, &by_month);
    if (days != months)
        return days ? ONLY_DAY_FIRST : ONLY_MONTH_FIRST;
    return days && by_day != by_month ? EITHER : NO_MATTER;
}

static void report_both(const Sheet *sheet, int column, const SheetCell *days, const SheetCell *months, Diags *diags)
{
    const bool days_before = days->line < months->line;
    const SheetCell *first = days_before ? days : months, *second = days_before ? months : days;
    char header[TEXT_EXCERPT], found[TEXT_EXCERPT], before[TEXT_EXCERPT];
    diag_error(
        diags, sheet_pos(sheet, second),
        "column '%s': found '%s', where the %s stands first, but in '%s' in %s %d it is the %s; expected one order "
        "in the whole column, or dates such as 2026-03-31",
        text_excerpt(header, sheet->header.cell[column].text), text_excerpt(found, second->text),
        first_word[days_before], text_excerpt(before, first->text), sheet_line_word(sheet), first->line,
        first_word[!days_before]);
}

/* All of them are one error, in the words of the first. */
static void report_doubtful(const Sheet *sheet, int column, const SheetCell *first, Diags *diags)
{
    int by_day, by_month;
    Arena *arena = arena_new();
    date_parse_by(first->text, DAY_FIRST, &by_day);
    date_parse_by(first->text, MONTH_FIRST, &by_month);
    const char *expected =
        arena_printf(arena, "%s or %s (nothing in the column says which of day and month stands first)",
                     date_text(arena, by_day), date_text(arena, by_month));
    for (size_t i = 0; i < sheet->rows; i++)
        if (reading_of(sheet->row[i].cell[column].text) == EITHER)
            sheet_report_as_first(sheet, sheet->header.cell[column].text, &sheet->row[i].cell[column], &first, expected,
                                  0, diags);
    arena_free(arena);
}

static void tell_order(const Sheet *sheet, const SheetCell *doubtful, const SheetCell *says, DateOrder order,
                       Diags *diags)
{
    int day;
    Arena *arena = arena_new();
    char found[TEXT_EXCERPT], other[TEXT_EXCERPT];
    date_parse_by(doubtful->text, order, &day);
    diag_remark(diags, sheet_pos(sheet, doubtful), "'%s' is read as %s, since '%s' in %s %d has the %s first",
                text_excerpt(found, doubtful->text), date_text(arena, day), text_excerpt(other, says->text),
                sheet_line_word(sheet), says->line, first_word[order]);
    arena_free(arena);
}

bool sheet_date_order(const Sheet *sheet, int column, DateOrder *order, Diags *diags)
{
    const SheetCell *met[NO_MATTER + 1] = {NULL}; /* the first cell of each reading */
    for (size_t i = 0; i < sheet->rows && column >= 0; i++) {
        const SheetCell *cell = &sheet->row[i].cell[column];
        const Reading reading = reading_of(cell->text);
        if (met[reading] == NULL)
            met[reading] = cell;
    }
    const SheetCell *days = met[ONLY_DAY_FIRST], *months = met[ONLY_MONTH_FIRST], *either = met[EITHER];
    if (days != NULL && months != NULL) {
        *order = EITHER_FIRST;
        report_both(sheet, column, days, months, diags);
        return false;
    }
    *order = months != NULL ? MONTH_FIRST : DAY_FIRST;
    if (either == NULL)
        return true;
    if (days == NULL && months == NULL) {
        report_doubtful(sheet, column, either, diags);
        return false;
    }
    tell_order(sheet, either, days != NULL ? days : months, *order, diags);
    return true;
}
