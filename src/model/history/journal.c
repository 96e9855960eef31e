/* journal.c - see journal.h. */
#include "model/history/journal.h"

#include "base/number.h"
#include "base/text.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"

const char *const journal_column[JOURNAL_COLUMNS] = {"date", "change", "card", "copies", "price", "reason"};
static const char *const change_word[] = {"out", "in", "stays"};
#define CHANGES (sizeof change_word / sizeof *change_word)

typedef struct {
    const Sheet *sheet;
    int column[JOURNAL_COLUMNS]; /* -1: none */
    DateOrder order;
    Diags *diags;
} Reader;

const char *journal_change_name(JournalChange change)
{
    return change_word[change];
}

static bool is_needed(size_t column)
{
    return column <= JOURNAL_CARD;
}

static const SheetCell *cell_of(const Reader *reader, const SheetRow *row, JournalColumn k)
{
    static const SheetCell none = {.text = ""};
    return reader->column[k] < 0 ? &none : &row->cell[reader->column[k]];
}

static void report(const Reader *reader, const SheetCell *cell, JournalColumn k, const char *expected)
{
    sheet_report(reader->sheet, reader->column[k], cell, expected, reader->diags);
}

static bool read_change(const SheetCell *cell, JournalChange *change)
{
    const long found = text_find(cell->text, change_word, CHANGES);
    if (found >= 0)
        *change = (JournalChange)found;
    return found >= 0;
}

/* Blank: 1. */
static bool read_copies(const Reader *reader, const SheetCell *cell, int *copies)
{
    *copies = 1;
    return cell->text[0] == '\0' || (sheet_copies(reader->sheet, cell->text, copies) && *copies >= 1);
}

static void read_line(const Reader *reader, const SheetRow *row, JournalLine *line)
{
    const SheetCell *date = cell_of(reader, row, JOURNAL_DATE), *change = cell_of(reader, row, JOURNAL_CHANGE),
                    *card = cell_of(reader, row, JOURNAL_CARD), *copies = cell_of(reader, row, JOURNAL_COPIES),
                    *price = cell_of(reader, row, JOURNAL_PRICE);
    *line = (JournalLine){.card = card->text, .reason = cell_of(reader, row, JOURNAL_REASON)->text};
    if (!date_parse_by(date->text, reader->order, &line->day))
        report(reader, date, JOURNAL_DATE, DATE_EXPECTED);
    if (!read_change(change, &line->change))
        report(reader, change, JOURNAL_CHANGE, "out, in or stays");
    if (card->text[0] == '\0')
        report(reader, card, JOURNAL_CARD, "a card's name");
    if (!read_copies(reader, copies, &line->copies))
        report(reader, copies, JOURNAL_COPIES, "a whole number of copies, 1 to 1000");
    line->has_price = price->text[0] != '\0';
    if (line->has_price && form_money(sheet_number_form(reader->sheet), price->text, &line->price, NULL) != NUMBER_OK)
        report(reader, price, JOURNAL_PRICE, "money such as 4.50, what one copy cost then");
}

static int columns_found(const Sheet *sheet, const void *nothing)
{
    (void)nothing;
    int found = 0;
    for (size_t k = 0; k < JOURNAL_COLUMNS; k++) {
        const bool there = sheet_column(sheet, journal_column[k]) >= 0;
        if (!there && is_needed(k))
            return -1;
        found += there;
    }
    return found;
}

static void find_columns(Reader *reader)
{
    for (size_t k = 0; k < JOURNAL_COLUMNS; k++) {
        reader->column[k] = sheet_column(reader->sheet, journal_column[k]);
        if (reader->column[k] < 0 && is_needed(k))
            diag_error(reader->diags, sheet_line_pos(reader->sheet, reader->sheet->header.line),
                       "found no column '%s', expected the journal of changes with date, change and card (another "
                       "sheet of that name: say `journal: FILE` in the scenario)",
                       journal_column[k]);
    }
    headers_tell_missing(reader->sheet, reader->column, journal_column, JOURNAL_COLUMNS, reader->diags);
}

bool journal_read(Arena *arena, FileStore *files, const char *path, SourcePos from, Journal *journal, Diags *diags)
{
    const size_t errors = diags->errors;
    const SheetUse use = {.what = "the journal", .fits = columns_found};
    *journal = (Journal){0};
    if (!sheet_read_for(arena, files, path, from, &use, &journal->sheet, diags))
        return false;
    Reader reader = {.sheet = &journal->sheet, .diags = diags};
    find_columns(&reader);
    sheet_date_order(&journal->sheet, reader.column[JOURNAL_DATE], &reader.order, diags);
    journal->line = arena_alloc(arena, journal->sheet.rows, sizeof *journal->line);
    for (size_t k = 0; k < journal->sheet.rows && diags->errors == errors; k++)
        read_line(&reader, &journal->sheet.row[k], &journal->line[journal->lines++]);
    return diags->errors == errors;
}
