/* by_headers.c - columns by their headers, and by cells that speak for themselves: names and prices. The best pair of a
 * free column and a free field is taken again and again. */
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "intake/intake_inner.h"

/* Is one of the header's words a currency, as in "each (zl)"? Three capitals may be anything. */
static bool names_currency(const char *header)
{
    static const char marks[] = " ()[]/:";
    for (const char *word = header + strspn(header, marks); *word != '\0'; word += strspn(word, marks)) {
        char amount[32];
        int64_t ignored;
        const int length = (int)strcspn(word, marks);
        const bool capitals = length == 3 && (int)strspn(word, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") >= 3;
        snprintf(amount, sizeof amount, "1 %.*s", length < 8 ? length : 8, word);
        if (!capitals && length < 8 && number_parse(amount, 3, false, &ignored) != NUMBER_OK &&
            number_parse_money(amount, false, &ignored) == NUMBER_OK)
            return true;
        word += length;
    }
    return false;
}

/* Tiers are scores, or what it takes to play a card: whole numbers may be either, where another column is scored. */
static bool may_be_tiers_of_costs(const char *header, const ColumnLook *look)
{
    return look->whole == look->filled && (text_folds_to(header, "tier") || text_folds_to(header, "tiers"));
}

/* Headers of costs stand over prices too: then the cells hold money. So do months, in a sheet that is called prices. */
static int header_speaks(const IntakeSheet *sheet, const char *header, const ColumnLook *look, ColumnField field)
{
    const int named = header_names(header, field);
    if (field == HOLDS_PRICE && named == 0 && header_is_month(header) && header_names(sheet->title, field) > 0)
        return 60;
    if (field == HOLDS_PRICE && named == 0 && names_currency(header))
        return 60;
    if (field == HOLDS_PRICE && named == 0 && header_names(header, HOLDS_COST) > 0 &&
        (look->signs + look->decimals) * 2 > look->filled)
        return 60;
    return field == HOLDS_POWER && named == 100 && may_be_tiers_of_costs(header, look) ? 90 : named;
}

size_t status_cells(const IntakeSheet *sheet, size_t column)
{
    size_t count = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++)
        count += cell_says_status(sheet->sheet.row[i].cell[column].text);
    return count;
}

/* 0: it cannot be, or nothing speaks for it. */
static int score_of(const IntakeSheet *sheet, size_t column, ColumnField field)
{
    const char *header = sheet->sheet.header.cell[column].text;
    const ColumnLook *look = &sheet->look[column];
    const int fits = look_fits(look, sheet->sheet.rows, field), named = header_speaks(sheet, header, look, field);
    if (fits < 30 || (field == HOLDS_NAME && look->filled == 0))
        return 0;
    if (field == HOLDS_STATUS && status_cells(sheet, column) * 2 < look->filled) /* all others would be errors */
        return 0;
    if (column_counts_lines(look) && field != HOLDS_PRICE)
        return 0;
    if (field_is_tags(field) && named > 0 && marks_cards(sheet, column)) /* "theme bells": of one theme alone */
        return 0;
    if (named > 0)
        return header_is_aside(header) && field != HOLDS_POWER ? 0 : 2 * named + fits;
    if (header_is_aside(header))
        return 0;
    if (field == HOLDS_NAME)
        return fits >= 80 ? fits - 20 : 0;
    if (field == HOLDS_PRICE)
        return fits >= UNKNOWN && look->signs * 2 > look->filled ? fits - 20 : 0;
    return 0;
}

/* Of prices noted down month by month the last column that is free; else the one found. */
static size_t latest(const IntakeSheet *sheet, size_t column)
{
    size_t last = column;
    for (size_t k = column; k < sheet->sheet.header.cells; k++)
        if (!header_is_month(sheet->sheet.header.cell[column].text))
            break;
        else if (sheet->field[k] == HOLDS_OWN && header_is_month(sheet->sheet.header.cell[k].text) &&
                 score_of(sheet, k, HOLDS_PRICE) > 0)
            last = k;
    return last;
}

void guess_by_headers(IntakeSheet *sheet, int *score)
{
    const size_t columns = sheet->sheet.header.cells;
    bool taken[HOLDS_FIELDS] = {false};
    for (size_t k = 0; k < columns; k++) {
        sheet->field[k] = HOLDS_OWN;
        score[k] = 0;
    }
    for (;;) {
        int best = 0, best_field = 0;
        size_t best_column = 0;
        for (size_t k = 0; k < columns; k++)
            for (int f = 0; f < HOLDS_FIELDS && sheet->field[k] == HOLDS_OWN; f++) {
                const int found = taken[f] ? 0 : score_of(sheet, k, (ColumnField)f);
                if (found > best) {
                    best = found;
                    best_field = f;
                    best_column = k;
                }
            }
        if (best == 0)
            return;
        if (best_field == HOLDS_PRICE)
            best_column = latest(sheet, best_column);
        sheet->field[best_column] = (ColumnField)best_field;
        score[best_column] = best;
        taken[best_field] = true;
    }
}
