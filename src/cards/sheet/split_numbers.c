/* split_numbers.c - numbers such as 1,5 without quotes in a sheet whose fields are parted by commas: 1 and 5 are two
 * fields then, and what stands behind them moves on by one. Where the last cells of the line are blank, nothing is too
 * much, and the line would be read without a word. */
#include "cards/sheet/sheet_table.h"

#include <string.h>

#include "base/number.h"

#define DECIMALS_MOST 3

typedef struct {
    const Sheet *sheet;
    size_t *numbers, *texts; /* [columns] cells that are numbers, and others that are not blank */
    bool *broken;            /* [columns] a number there has decimals */
} Kinds;

static bool is_number(const char *text)
{
    int64_t value;
    return number_parse(text, 3, true, &value) == NUMBER_OK || number_parse_money(text, true, &value) == NUMBER_OK;
}

static Kinds kinds_of(const Sheet *sheet)
{
    const size_t columns = sheet->header.cells;
    Kinds kinds = {.sheet = sheet,
                   .numbers = mem_new(columns, sizeof *kinds.numbers),
                   .texts = mem_new(columns, sizeof *kinds.texts),
                   .broken = mem_new(columns, sizeof *kinds.broken)};
    for (size_t i = 0; i < sheet->rows; i++)
        for (size_t k = 0; k < columns; k++) {
            const char *text = sheet->row[i].cell[k].text;
            const bool number = is_number(text);
            kinds.numbers[k] += number;
            kinds.texts[k] += !number && text[0] != '\0';
            kinds.broken[k] = kinds.broken[k] || (number && strpbrk(text, ".,") != NULL);
        }
    return kinds;
}

static bool is_odd_there(const Kinds *kinds, size_t column, const char *text)
{
    const size_t numbers = kinds->numbers[column], texts = kinds->texts[column];
    return text[0] != '\0' && (is_number(text) ? texts > numbers : numbers > texts);
}

static bool is_whole(const char *text, size_t digits_most)
{
    text += text[0] == '-';
    const size_t digits = strspn(text, "0123456789");
    return digits > 0 && digits <= digits_most && text[digits] == '\0';
}

/* Would the row's cells fit their columns as well, or better, with those at k and k + 1 as one number? */
static bool fits_together(const Kinds *kinds, const SheetRow *row, size_t k)
{
    size_t apart = 0, together = kinds->texts[k] > kinds->numbers[k];
    for (size_t c = k; c < row->cells; c++)
        apart += is_odd_there(kinds, c, row->cell[c].text);
    for (size_t c = k + 2; c < row->cells; c++)
        together += is_odd_there(kinds, c - 1, row->cell[c].text);
    return together <= apart;
}

/* The first cell of a number that is perhaps split, best where others of its column have decimals; row->cells: none. */
static size_t find_split(const Kinds *kinds, const SheetRow *row)
{
    size_t found = row->cells;
    for (size_t k = 0; k + 1 < row->cells && (found == row->cells || !kinds->broken[found]); k++)
        if (is_whole(row->cell[k].text, SIZE_MAX) && row->cell[k + 1].text[0] != '-' &&
            is_whole(row->cell[k + 1].text, DECIMALS_MOST) && fits_together(kinds, row, k) &&
            (found == row->cells || kinds->broken[k]))
            found = k;
    return found;
}

void tell_split_numbers(const SheetTable *table)
{
    const Sheet *sheet = table->sheet;
    if (sheet->separator != ',' || sheet->workbook || table->longers * 2 > sheet->rows)
        return;
    const Kinds kinds = kinds_of(sheet);
    const SheetCell *first = NULL;
    size_t found = 0;
    for (size_t i = 0; i < table->longers; i++) {
        const SheetRow *row = &sheet->row[table->longer[i]];
        const size_t k = find_split(&kinds, row);
        if (k < row->cells && found++ == 0)
            first = &row->cell[k];
    }
    if (found > 0)
        diag_notice(table->diags, sheet_pos(sheet, first),
                    "found '%s' and '%s' side by side in a line with more fields than the header, the last of them "
                    "blank (%zu line%s such); if this is one number, write it with a point or in quotes: \"%s,%s\"",
                    first[0].text, first[1].text, found, found == 1 ? " is" : "s are", first[0].text, first[1].text);
    mem_free(kinds.numbers);
    mem_free(kinds.texts);
    mem_free(kinds.broken);
}
