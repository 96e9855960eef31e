/* unread.c - columns that were perhaps meant to count and do not: numbers that may be scores, and columns that are
 * called as something their cells are not. */
#include "base/text.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"
#include "intake/intake_inner.h"

/* No column is a score; one of numbers that is the user's own may be one. False: there is none. */
static bool tell_own_numbers(const Intake *intake, bool tags)
{
    Text names = {0};
    const IntakeSheet *first = NULL;
    size_t column = 0, count = 0;
    char excerpt[TEXT_EXCERPT];
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells && intake->sheet[s].role == SHEET_CARDS; k++) {
            const IntakeSheet *sheet = &intake->sheet[s];
            const char *header = sheet->sheet.header.cell[k].text;
            if (sheet->field[k] != HOLDS_OWN || sheet->look[k].filled == 0 || header[0] == '\0' ||
                sheet->look[k].numbers + sheet->look[k].scores < sheet->look[k].filled ||
                intake_was_answered(intake, sheet, header) ||
                text_find(header, intake->theme_column, intake->theme_columns) >= 0)
                continue;
            if (first == NULL) {
                first = sheet;
                column = k;
            }
            text_printf(&names, "%s'%s'", count++ > 0 ? ", " : "", text_excerpt(excerpt, header));
        }
    if (first != NULL)
        diag_notice(intake->diags, sheet_pos(&first->sheet, &first->sheet.header.cell[column]),
                    "no column says how good a card is, so %s; numbers stand in %s: if %s a score, answer "
                    "\"column %s %s\": \"power\"%s",
                    tags ? "tags alone count" : "every pool will have a fit of 0", text_cstr(&names),
                    count == 1 ? "that is" : "one of these is", first->path, first->sheet.header.cell[column].text,
                    count > 1 ? "; of several that are, such as those of several people, the average counts" : "");
    text_release(&names);
    return first != NULL;
}

/* Nothing says how good a card is. */
static void tell_no_scores(const Intake *intake)
{
    const char *path = NULL;
    bool tags = intake->theme_columns > 0;
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role == SHEET_LEFT)
            continue;
        if (sheet_has(sheet, HOLDS_POWER))
            return;
        tags = tags || sheet->role == SHEET_TAGS;
        for (size_t k = 0; k < sheet->sheet.header.cells; k++)
            tags = tags || field_is_tags(sheet->field[k]);
        path = path == NULL && sheet->role == SHEET_CARDS ? sheet->path : path;
    }
    if (!tell_own_numbers(intake, tags) && !tags)
        diag_notice(
            intake->diags, (SourcePos){.file = path},
            "no column says how good a card is, and no tags do, so every pool will have a fit of 0; if a column "
            "does, answer \"column %s HEADER\": \"power\", else add one",
            path);
}

/* The first cell of the column that is no number; NULL where too few begin with a digit for a column of numbers. */
static const SheetCell *first_misfit(const IntakeSheet *sheet, size_t column)
{
    const SheetCell *first = NULL;
    size_t begin = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const SheetCell *cell = &sheet->sheet.row[i].cell[column];
        LooseNumber number;
        begin += cell->text[0] >= '0' && cell->text[0] <= '9';
        if (first == NULL && cell->text[0] != '\0' && !word_is_nothing(cell->text) && !cost_is_variable(cell->text) &&
            !loose_number(cell->text, &number))
            first = cell;
    }
    return begin * 2 >= sheet->look[column].filled ? first : NULL;
}

/* A column that is called as one of numbers, and too many of its cells are none. */
static void tell_misfits(const Intake *intake)
{
    static const ColumnField numbers[] = {HOLDS_COST, HOLDS_POWER, HOLDS_PRICE, HOLDS_COPIES, HOLDS_OWNED};
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells; k++)
            for (size_t f = 0; f < sizeof numbers / sizeof *numbers; f++) {
                const IntakeSheet *sheet = &intake->sheet[s];
                const char *header = sheet->sheet.header.cell[k].text;
                char excerpt[TEXT_EXCERPT], name[TEXT_EXCERPT];
                if (sheet->role == SHEET_LEFT || sheet->field[k] != HOLDS_OWN || sheet_has(sheet, numbers[f]) ||
                    !header_is(header, numbers[f]) || intake_was_answered(intake, sheet, header))
                    continue;
                const SheetCell *misfit = first_misfit(sheet, k);
                if (misfit == NULL)
                    continue;
                diag_notice(intake->diags, sheet_pos(&sheet->sheet, misfit),
                            "the column '%s' is called as %s, but %zu of its %zu cells are no numbers, such as '%s', "
                            "so it does not count",
                            text_excerpt(name, header), field_name(numbers[f]),
                            sheet->look[k].filled - sheet->look[k].numbers, sheet->look[k].filled,
                            text_excerpt(excerpt, misfit->text));
            }
}

/* A column of prices that is called as one of dates, and they cannot be read. */
static void tell_unread_dates(const Intake *intake)
{
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells; k++) {
            const IntakeSheet *sheet = &intake->sheet[s];
            const char *header = sheet->sheet.header.cell[k].text;
            if (sheet->role != SHEET_PRICES || sheet->field[k] != HOLDS_OWN || !header_is(header, HOLDS_DATE) ||
                intake_was_answered(intake, sheet, header))
                continue;
            DateOrder order;
            Diags why;
            diags_init(&why);
            if (!sheet_date_order(&sheet->sheet, (int)k, &order, &why))
                diag_notice(intake->diags, why.item[0].at, "%s; so the column does not count", why.item[0].text);
            diags_release(&why);
        }
}

void tell_unread_columns(const Intake *intake)
{
    tell_no_scores(intake);
    tell_misfits(intake);
    tell_unread_dates(intake);
}
