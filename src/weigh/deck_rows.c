/* deck_rows.c - see deck_rows.h. */
#include "weigh/deck_rows.h"

#include <csv.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/memory.h"
#include "base/number.h"
#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/sheet/csv.h"
#include "cards/sheet/header_words.h"

#define CELLS_MOST 64
#define GAMES_MOST 1000000
#define LINE_MOST ((size_t)1 << 20)

static const char *const header_word[DECK_FIELDS] = {"deck", "name", "copies", "theme", "wins", "losses"};

typedef struct DeckReader {
    const char *path;
    void (*take)(void *context, const DeckRow *row);
    void *context;
    DeckColumns *columns;
    Diags *diags;
    int column[DECK_FIELDS]; /* -1: none */
    bool has_header;
    int width;              /* of the header */
    Text cell[CELLS_MOST];  /* of the record at hand */
    int cells, line, begun; /* begun: the line on which it began */
    char separator;         /* of a text */
    bool stated;            /* by a first line such as "sep=;" */
    Text bytes;             /* of a text: the line at hand */
    const char *whole;      /* [length] what is no file on a disk, such as a pipe, gives its bytes once; else NULL */
    size_t length;
    FileStore *files;
    const Sheet *sheet; /* of a workbook, with the row at hand */
    const SheetRow *row;
    size_t errors; /* before this sheet */
} DeckReader;

static SourcePos place(const DeckReader *reader)
{
    return reader->sheet != NULL ? sheet_line_pos(reader->sheet, reader->begun)
                                 : (SourcePos){.file = reader->path, .line = reader->begun, .column = 1};
}

/* Of a text: the column in which the cell begins, within its quotes; 1 in a record of several lines. */
static int column_of(const DeckReader *reader, int cell)
{
    const char *at = text_cstr(&reader->bytes);
    bool quoted = false;
    int column = 1;
    if (reader->begun != reader->line)
        return 1;
    for (; *at != '\0' && cell > 0; at++) {
        quoted = quoted != (*at == '"');
        cell -= !quoted && *at == reader->separator;
        column += ((unsigned char)*at & 0xC0) != 0x80;
    }
    for (; *at != reader->separator && (*at == ' ' || *at == '\t'); at++)
        column++;
    return column + (*at == '"');
}

static SourcePos cell_place(const DeckReader *reader, int cell)
{
    SourcePos at = place(reader);
    if (cell < 0 || cell >= reader->cells)
        return at;
    if (reader->row != NULL)
        return sheet_pos(reader->sheet, &reader->row->cell[cell]);
    at.column = column_of(reader, cell);
    return at;
}

SourcePos deck_row_place(const DeckRow *row, DeckField field)
{
    return cell_place(row->reader, row->reader->column[field]);
}

/* Where no header is ours: the first that is a word for the field, in one of the languages of headers. */
static void take_by_words(DeckReader *reader, int k, ColumnField field)
{
    for (int c = 0; c < reader->cells && reader->column[k] < 0; c++)
        if (c != reader->column[DECK_DECK] && header_is(text_cstr(&reader->cell[c]), field))
            reader->column[k] = c;
}

static void take_column(DeckReader *reader, int k, int column)
{
    if (reader->column[k] >= 0)
        diag_error(reader->diags, cell_place(reader, column), "found two columns of %s, expected one",
                   k == DECK_NAME ? "names" : header_word[k]);
    reader->column[k] = column;
}

static void read_header(DeckReader *reader)
{
    reader->has_header = true;
    reader->width = reader->cells;
    for (int k = 0; k < DECK_FIELDS; k++)
        reader->column[k] = -1;
    for (int c = 0; c < reader->cells; c++)
        for (int k = 0; k < DECK_FIELDS; k++)
            if (text_folds_to(text_cstr(&reader->cell[c]), header_word[k]) ||
                (k == DECK_NAME && text_folds_to(text_cstr(&reader->cell[c]), "card")))
                take_column(reader, k, c);
    take_by_words(reader, DECK_NAME, HOLDS_NAME);
    take_by_words(reader, DECK_COPIES, HOLDS_COPIES);
    *reader->columns =
        (DeckColumns){.theme = reader->column[DECK_THEME] >= 0, .results = reader->column[DECK_WINS] >= 0};
    for (int k = DECK_DECK; k <= DECK_NAME; k++)
        if (reader->column[k] < 0)
            diag_error(reader->diags, place(reader), "found no column '%s', expected the columns deck and name",
                       header_word[k]);
    if ((reader->column[DECK_WINS] < 0) != (reader->column[DECK_LOSSES] < 0))
        diag_error(reader->diags, place(reader), "found one of the columns wins and losses, expected both or none");
}

static const char *cell_of(const DeckReader *reader, int k)
{
    const int column = reader->column[k];
    return column < 0 || column >= reader->cells ? "" : text_cstr(&reader->cell[column]);
}

static bool read_count(const DeckReader *reader, int k, int most, int blank, int *value)
{
    const char *text = cell_of(reader, k);
    int64_t number = 0;
    *value = blank;
    if (text[0] == '\0')
        return true;
    if (number_parse(text, 0, false, &number) == NUMBER_OK && number >= 0 && number <= most) {
        *value = (int)number;
        return true;
    }
    char excerpt[TEXT_EXCERPT];
    diag_error(reader->diags, cell_place(reader, reader->column[k]),
               "found '%s' as %s, expected a whole number from 0 to %d", text_excerpt(excerpt, text), header_word[k],
               most);
    return false;
}

/* Something behind the last column that has a header: a field was parted that should not be. -1: nothing. */
static int surplus_of(const DeckReader *reader)
{
    for (int c = reader->width; c < reader->cells; c++)
        if (reader->cell[c].length > 0)
            return c;
    return -1;
}

/* The columns' names once more, further down. */
static bool is_header(const DeckRow *row)
{
    return text_folds_to(row->deck, header_word[DECK_DECK]) && header_is(row->name, HOLDS_NAME);
}

static void end_record(DeckReader *reader)
{
    int filled = 0;
    for (int c = 0; c < reader->cells; c++)
        filled += reader->cell[c].length > 0;
    if (filled == 0 || (filled == 1 && !reader->has_header) /* a title */ || diags_full(reader->diags, reader->path)) {
        reader->cells = 0;
        return;
    }
    if (!reader->has_header) {
        read_header(reader);
    } else if (reader->column[DECK_DECK] >= 0 && reader->column[DECK_NAME] >= 0) { /* else no line has what it must */
        DeckRow row = {.reader = reader, .deck = cell_of(reader, DECK_DECK), .name = cell_of(reader, DECK_NAME)};
        const int surplus = surplus_of(reader);
        row.theme = cell_of(reader, DECK_THEME);
        if (is_header(&row)) {
            reader->cells = 0;
            return;
        }
        if (surplus >= 0)
            diag_error(
                reader->diags, cell_place(reader, surplus),
                "found %d fields, expected at most the header's %d (a field that holds a separator must stand in "
                "quotes)",
                reader->cells, reader->width);
        else if (row.deck[0] == '\0' || row.name[0] == '\0')
            diag_error(reader->diags, deck_row_place(&row, row.deck[0] == '\0' ? DECK_DECK : DECK_NAME),
                       "found a line without a %s, expected one on each line", row.deck[0] == '\0' ? "deck" : "name");
        else if (read_count(reader, DECK_COPIES, COPIES_MAX, 1, &row.copies) &&
                 read_count(reader, DECK_WINS, GAMES_MOST, -1, &row.wins) &&
                 read_count(reader, DECK_LOSSES, GAMES_MOST, -1, &row.losses) && row.copies > 0)
            reader->take(reader->context, &row);
    }
    reader->cells = 0;
}

static void add_cell(DeckReader *reader, const char *bytes, size_t length)
{
    const char *text = text_trim(bytes, &length);
    if (length > 1 && text[0] == '\'' && strchr("=+-@", text[1]) != NULL) { /* our own guard against formulas */
        text++;
        length--;
    }
    if (reader->cells == CELLS_MOST)
        return; /* none of ours is so far to the right */
    Text *cell = &reader->cell[reader->cells++];
    text_clear(cell);
    text_add_n(cell, text, length);
}

/* ---- text ---- */

static void on_field(void *text, size_t length, void *data)
{
    add_cell(data, text == NULL ? "" : text, length);
}

static void on_record(int terminator, void *data)
{
    (void)terminator;
    end_record(data);
}

/* The line as UTF-8: it is, or Windows-1252 is meant (*fresh then, freed by the caller). NULL: it is no text. */
static const char *as_utf8(const char *line, size_t *length, char **fresh)
{
    size_t bad = 0;
    if (memchr(line, '\0', *length) != NULL)
        return NULL;
    if (text_utf8_error(line, *length) == *length)
        return line;
    *fresh = text_from_windows_1252(line, *length, &bad);
    *length = *fresh == NULL ? 0 : strlen(*fresh);
    return *fresh;
}

static const char *trouble_of(const DeckReader *reader, struct csv_parser *parser, const char *bytes, size_t length)
{
    if (bytes == NULL)
        return "found a byte that no text holds, expected CSV or a workbook: the file is binary or damaged";
    if (length > LINE_MOST)
        return "found a line of more than a million bytes";
    if (csv_parse(parser, bytes, length, on_field, on_record, (void *)reader) < length)
        return "found a quote in the middle of a field, expected the field in quotes as a whole (and each quote in it "
               "as \"\")";
    return NULL;
}

/* Until the columns are named: the separator is that of the line, if none was stated. True: the line states it. */
static bool takes_separator(DeckReader *reader, struct csv_parser *parser, const char *line, size_t length)
{
    const bool states =
        reader->line == 1 && length > 5 && memcmp(line, "sep=", 4) == 0 && strchr(",;\t", line[4]) != NULL;
    if (reader->has_header || reader->cells > 0 || parser->quoted)
        return false;
    if (states || !reader->stated)
        reader->separator = states ? line[4] : csv_separator(line, length, 0);
    reader->stated = reader->stated || states;
    csv_set_delim(parser, (unsigned char)reader->separator);
    return states;
}

static bool read_lines(DeckReader *reader, FILE *file, struct csv_parser *parser)
{
    char *line = NULL;
    size_t capacity = 0;
    const char *trouble = NULL;
    for (ssize_t got; trouble == NULL && (got = getline(&line, &capacity, file)) >= 0;) {
        size_t length = (size_t)got, skip = 0;
        char *fresh = NULL;
        if (reader->line++ == 0)
            skip = length >= 3 && memcmp(line, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
        if (reader->cells == 0)
            reader->begun = reader->line;
        length -= skip;
        if (takes_separator(reader, parser, line + skip, length))
            continue;
        const char *bytes = as_utf8(line + skip, &length, &fresh);
        text_clear(&reader->bytes);
        text_add_n(&reader->bytes, bytes == NULL ? "" : bytes, bytes == NULL ? 0 : length);
        trouble = trouble_of(reader, parser, bytes, length);
        mem_free(fresh);
    }
    free(line);
    if (trouble != NULL)
        diag_error(reader->diags, (SourcePos){.file = reader->path, .line = reader->line, .column = 1}, "%s", trouble);
    else if (csv_fini(parser, on_field, on_record, reader) != 0)
        diag_error(reader->diags, place(reader), "found a quote that is not closed");
    return reader->diags->errors == reader->errors;
}

static bool begins_with(const DeckReader *reader, const char *path, const char *two)
{
    char bytes[2] = {0};
    if (reader->whole != NULL)
        return reader->length >= 2 && memcmp(reader->whole, two, 2) == 0;
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return false;
    const size_t got = fread(bytes, 1, 2, file);
    fclose(file);
    return got == 2 && memcmp(bytes, two, 2) == 0;
}

/* UTF-16 is read as a whole: it has no lines before it is decoded. NULL when reported. */
static FILE *open_text(DeckReader *reader)
{
    const char *path = reader->path;
    if (reader->whole == NULL && (begins_with(reader, path, "\xFF\xFE") || begins_with(reader, path, "\xFE\xFF"))) {
        reader->whole = file_store_read(reader->files, NULL, path, (SourcePos){0}, &reader->length, reader->diags);
        if (reader->whole == NULL)
            return NULL;
    }
    FILE *file =
        reader->whole != NULL ? fmemopen((void *)(uintptr_t)reader->whole, reader->length, "rb") : fopen(path, "rb");
    if (file == NULL && reader->whole != NULL)
        mem_exhausted();
    if (file == NULL)
        file_report_unreadable(path, (SourcePos){0}, errno, reader->diags);
    return file;
}

static bool read_open(DeckReader *reader, FILE *file)
{
    struct csv_parser parser;
    bool good = csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) == 0;
    if (good)
        good = read_lines(reader, file, &parser);
    csv_free(&parser);
    if (ferror(file)) {
        file_report_unreadable(reader->path, (SourcePos){0}, errno, reader->diags);
        good = false;
    }
    fclose(file);
    return good;
}

static bool read_text(DeckReader *reader)
{
    FILE *file = open_text(reader);
    return file != NULL && read_open(reader, file);
}

/* ---- workbooks ---- */

static void give_row(DeckReader *reader, const SheetRow *row)
{
    reader->begun = row->line;
    reader->row = row;
    for (size_t c = 0; c < row->cells; c++)
        add_cell(reader, row->cell[c].text, strlen(row->cell[c].text));
    end_record(reader);
}

static bool read_workbook(DeckReader *reader)
{
    Arena *arena = arena_new();
    Sheet sheet;
    const bool good = sheet_read(arena, reader->files, reader->path, (SourcePos){0}, &sheet, reader->diags);
    reader->sheet = &sheet;
    if (good)
        give_row(reader, &sheet.header);
    for (size_t r = 0; good && r < sheet.rows; r++)
        give_row(reader, &sheet.row[r]);
    reader->sheet = NULL;
    reader->row = NULL;
    arena_free(arena);
    return good;
}

/* What is there and no file on a disk is read as a whole. */
static bool is_read_once(const char *path)
{
    struct stat info;
    return strcmp(path, "-") == 0 || (stat(path, &info) == 0 && !S_ISREG(info.st_mode));
}

static bool read_any(DeckReader *reader)
{
    Arena *arena = arena_new();
    const char *sheet, *file = sheet_file(arena, reader->path, &sheet);
    bool good = true;
    if (is_read_once(file)) {
        reader->whole = file_store_read(reader->files, NULL, file, (SourcePos){0}, &reader->length, reader->diags);
        good = reader->whole != NULL;
    }
    if (good)
        good = begins_with(reader, file, "PK") ? read_workbook(reader) : read_text(reader);
    arena_free(arena);
    return good;
}

bool deck_rows_read(const char *path, FileStore *files, void (*take)(void *context, const DeckRow *row), void *context,
                    DeckColumns *columns, Diags *diags)
{
    DeckReader reader = {
        .path = path, .files = files, .take = take, .context = context, .columns = columns, .diags = diags, .begun = 1};
    *columns = (DeckColumns){0};
    reader.errors = diags->errors;
    const bool good = read_any(&reader);
    if (good && !reader.has_header && diags->errors == reader.errors)
        diag_error(diags, (SourcePos){.file = path, .line = 1, .column = 1},
                   "found nothing, expected a header with the columns deck and name");
    text_release(&reader.bytes);
    for (int c = 0; c < CELLS_MOST; c++)
        text_release(&reader.cell[c]);
    return good && diags->errors == reader.errors;
}
