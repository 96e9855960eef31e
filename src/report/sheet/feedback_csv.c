/* feedback_csv.c - a cards sheet with new powers: its own columns, lines and separator, whatever else it holds. */
#include <string.h>

#include "base/number.h"
#include "cards/sheet/sheet_numbers.h"
#include "report/feedback_report.h"
#include "report/sheet/sheet_out.h"

/* The header under which the sheets have a field of ours, and its column here; -1: none. */
static int column_of(const Instance *in, const Sheet *sheet, const char *field, const char **header)
{
    const Model *model = in->model;
    *header = field;
    for (size_t k = 0; k < model->maps; k++) {
        if (strcmp(model->map_field[k], field) != 0)
            continue;
        *header = model->map_header[k];
        if (sheet_column(sheet, *header) >= 0)
            return sheet_column(sheet, *header);
    }
    return sheet_column(sheet, field);
}

static bool has_sign(const Sheet *sheet, int column, char sign)
{
    for (size_t r = 0; r < sheet->rows; r++)
        if (strchr(sheet->row[r].cell[column].text, sign) != NULL)
            return true;
    return false;
}

/* "3,5" in any cell of the sheet. */
static bool has_decimal_comma(const Sheet *sheet)
{
    for (size_t r = 0; r < sheet->rows; r++)
        for (size_t c = 0; c < sheet->row[r].cells; c++) {
            const char *text = sheet->row[r].cell[c].text, *comma = strchr(text, ',');
            if (comma != NULL && comma > text && strspn(text, "-0123456789") == (size_t)(comma - text) &&
                comma[1] != '\0' && strspn(comma + 1, "0123456789") == strlen(comma + 1))
                return true;
        }
    return false;
}

/* As the sheet writes its powers; where these are whole, as it writes other numbers. */
static bool writes_commas(const Sheet *sheet, int power)
{
    if (sheet->separator == ',') /* of workbooks too */
        return false;
    if (power >= 0 && has_sign(sheet, power, ','))
        return true;
    return !(power >= 0 && has_sign(sheet, power, '.')) && has_decimal_comma(sheet);
}

static void write_power(char buffer[NUMBER_TEXT], int64_t power, bool comma)
{
    number_format(buffer, power, 3, 0);
    char *point = strchr(buffer, '.');
    if (comma && point != NULL)
        *point = ',';
}

/* What the sheet's scores say behind their numbers, "/10" or "%"; "" where they are plain. */
static const char *score_ending(const Sheet *sheet, int power)
{
    for (size_t r = 0; power >= 0 && r < sheet->rows; r++) {
        const char *text = sheet->row[r].cell[power].text, *ending = text + score_end(text);
        if (ending[0] != '\0')
            return ending;
    }
    return "";
}

/* A grade where one stood and another is worth as much; else a number, in the buffer. */
static const char *new_power(const Instance *in, const char *old, int64_t power, bool comma, char buffer[NUMBER_TEXT])
{
    const Grades *grades = &in->model->grades;
    const Grade *grade = grade_find(grades, old) != NULL ? grade_worth(grades, power) : NULL;
    if (grade != NULL)
        return grade->word;
    write_power(buffer, power, comma);
    return buffer;
}

size_t feedback_csv(const Instance *in, const Feedback *f, const Sheet *sheet, Text *out)
{
    const char *power_header, *name_header;
    const int power = column_of(in, sheet, "power", &power_header), name = column_of(in, sheet, "name", &name_header);
    const size_t columns = sheet->header.cells + (power < 0), at = power < 0 ? columns - 1 : (size_t)power;
    const bool comma = writes_commas(sheet, power);
    const char *ending = score_ending(sheet, power);
    const FeedbackCard **by_card = mem_new(in->cards->count, sizeof *by_card);
    const char **cell = mem_new(columns, sizeof *cell);
    size_t changed = 0;
    for (size_t k = 0; k < f->cards; k++)
        if (f->card[k].after != f->card[k].before)
            by_card[f->card[k].card] = &f->card[k];
    for (size_t c = 0; c < sheet->header.cells; c++)
        cell[c] = sheet->header.cell[c].text;
    if (power < 0)
        cell[at] = power_header;
    SheetAgain again;
    sheet_again_begin(&again, sheet, cell, columns, out);
    for (size_t r = 0; r < sheet->rows; r++) {
        char buffer[NUMBER_TEXT];
        const long card = name >= 0 ? card_find(in->cards, sheet->row[r].cell[name].text) : -1;
        for (size_t c = 0; c < columns; c++)
            cell[c] = c < sheet->header.cells ? sheet->row[r].cell[c].text : "";
        if (card >= 0 && by_card[card] != NULL) {
            const char *word = new_power(in, cell[at], by_card[card]->after, comma, buffer);
            cell[at] = word == buffer && ending[0] != '\0' ? arena_printf(in->arena, "%s%s", word, ending) : word;
            changed++;
        }
        sheet_again_row(&again, r, cell);
    }
    sheet_again_end(&again);
    mem_free(by_card);
    mem_free(cell);
    return changed;
}
