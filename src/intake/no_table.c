/* no_table.c - sheets that are no tables: those that begin with a card, and lists of names side by side. */
#include <string.h>

#include "base/text.h"
#include "intake/intake_inner.h"

/* ---- a first line that is a card ---- */

static bool header_is_known(const char *header)
{
    bool known = header_is_aside(header);
    for (int f = 0; f < HOLDS_FIELDS && !known; f++)
        known = header_names(header, (ColumnField)f) > 0;
    return known;
}

/* Does the header look like the cells below it: a number among numbers, a word that stands there too? */
static bool header_is_a_cell(const IntakeSheet *sheet, size_t column)
{
    const char *header = sheet->sheet.header.cell[column].text;
    const ColumnLook *look = &sheet->look[column];
    LooseNumber number;
    if (header[0] != '\0' && loose_number(header, &number))
        return look->numbers * 2 > look->filled;
    for (size_t i = 0; i < sheet->sheet.rows && header[0] != '\0'; i++)
        if (strcmp(sheet->sheet.row[i].cell[column].text, header) == 0)
            return true;
    return false;
}

static bool begins_with_a_card(const IntakeSheet *sheet)
{
    const size_t columns = sheet->sheet.header.cells;
    bool a_cell = columns == 1;
    for (size_t k = 0; k < columns; k++) {
        if (header_is_known(sheet->sheet.header.cell[k].text))
            return false;
        a_cell = a_cell || header_is_a_cell(sheet, k);
    }
    return a_cell && sheet->sheet.rows > 0;
}

/* True, with the error. */
static bool refuse_headless(const Intake *intake, const IntakeSheet *sheet)
{
    char excerpt[TEXT_EXCERPT];
    const Sheet *s = &sheet->sheet;
    if (!begins_with_a_card(sheet))
        return false;
    diag_error(intake->diags, sheet_pos(s, &s->header.cell[0]),
               "found no names of columns: the first line begins with '%s' and looks like a card; put a line above it "
               "that names them, such as %s, or call the columns so if it is no card",
               text_excerpt(excerpt, s->header.cell[0].text), s->header.cells == 1 ? "name" : "name, colours, price");
    return true;
}

/* ---- lists of names side by side ---- */

#define LISTS_LEAST 3
#define NAME_LONGEST 45

/* Names below a header that says nothing: none twice, and nothing but words. */
static bool holds_names_alone(const IntakeSheet *sheet, size_t column)
{
    const ColumnLook *look = &sheet->look[column];
    const char *header = sheet->sheet.header.cell[column].text;
    for (int f = 0; f < HOLDS_FIELDS; f++)
        if (header_names(header, (ColumnField)f) > 0 && look_fits(look, sheet->sheet.rows, (ColumnField)f) > 0)
            return false;
    return look->filled >= 2 && look->distinct == look->filled && look->letters <= NAME_LONGEST * look->filled &&
           look->numbers + look->dates + look->yes_no + look->counted == 0 && !header_is_aside(header);
}

/* A list below each header, as of cards by colour: true, with the error. */
static bool refuse_side_by_side(const Intake *intake, const IntakeSheet *sheet)
{
    const SheetCell *header = sheet->sheet.header.cell;
    size_t lists = 0;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (sheet->look[k].filled > 0 && !holds_names_alone(sheet, k))
            return false;
        else
            lists += sheet->look[k].filled > 0;
    if (lists < LISTS_LEAST)
        return false;
    char first[TEXT_EXCERPT], second[TEXT_EXCERPT];
    diag_error(intake->diags, sheet_pos(&sheet->sheet, &header[0]),
               "the columns '%s', '%s' and so on seem to be lists of names side by side, expected a line for each "
               "card: put the names below each other into one column called 'name', and what stands above them now "
               "into a column beside it, such as 'colours'",
               text_excerpt(first, header[0].text), text_excerpt(second, header[1].text));
    return true;
}

bool refuse_no_table(const Intake *intake, const IntakeSheet *sheet)
{
    return refuse_headless(intake, sheet) || refuse_side_by_side(intake, sheet);
}
