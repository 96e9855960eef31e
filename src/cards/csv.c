/* csv.c - sheets: from bytes to a table of cells.
 *
 * The grammar is RFC 4180, section 2, as libcsv's strict mode reads it (blanks around quotes are let pass). libcsv
 * knows no places; so the file is fed in pieces that each end with a separator, a quote or a line end. Fields and
 * records can only end with such a byte, hence whenever libcsv reports one, the place is the end of the piece. */
#include "cards/csv.h"

#include <csv.h>
#include <limits.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "cards/encoding.h"

typedef struct {
    Arena *arena;
    Sheet *sheet;
    Diags *diags;
    const char *bytes;
    size_t length;
    size_t end;       /* of the piece that is being fed */
    size_t field;     /* where the current field begins: after the last separator or line end */
    size_t mark;      /* an offset before or at `field` ... */
    int line, column; /* ... and its place */
    SheetCell *cell;  /* of the current record */
    size_t cells, cell_capacity;
    size_t row_capacity;
    bool has_header, failed;
} Reader;

SourcePos sheet_pos(const Sheet *sheet, const SheetCell *cell)
{
    return (SourcePos){.file = sheet->path, .line = cell->line, .column = cell->column};
}

bool sheet_decimal_comma(const Sheet *sheet)
{
    return sheet->separator != ',';
}

int sheet_column(const Sheet *sheet, const char *name)
{
    char *wanted = text_fold(name);
    int found = -1;
    for (size_t i = 0; i < sheet->header.cells && found < 0; i++) {
        if (wanted[0] != '\0' && text_folds_to(sheet->header.cell[i].text, wanted))
            found = (int)i;
    }
    mem_free(wanted);
    return found;
}

/* ---- places ---- */

/* Moves the mark forward to the offset, counting lines (CRLF, LF or CR) and characters. */
static void advance(Reader *reader, size_t offset)
{
    for (; reader->mark < offset; reader->mark++) {
        char c = reader->bytes[reader->mark];
        bool ends = c == '\n' || (c == '\r' && reader->bytes[reader->mark + 1] != '\n');
        if (ends) {
            reader->line++;
            reader->column = 1;
        } else if (((unsigned char)c & 0xC0) != 0x80 && c != '\r') {
            reader->column++;
        }
    }
}

static SourcePos place(Reader *reader, size_t offset)
{
    advance(reader, offset);
    return (SourcePos){.file = reader->sheet->path, .line = reader->line, .column = reader->column};
}

static bool is_blank(const Reader *reader, char c)
{
    return (c == ' ' || c == '\t') && c != reader->sheet->separator;
}

/* Where the field that begins at `field` has its first character: its opening quote, if it has one. */
static size_t field_start(const Reader *reader)
{
    size_t start = reader->field;
    while (start < reader->length && is_blank(reader, reader->bytes[start]))
        start++;
    return start;
}

/* ---- what libcsv reports ---- */

static void on_field(void *text, size_t length, void *data)
{
    Reader *reader = data;
    size_t start = field_start(reader);
    bool quoted = start < reader->length && reader->bytes[start] == '"';
    const char *content = text;
    size_t trimmed = length;
    const char *inner = text_trim(content, &trimmed);
    if (!quoted || trimmed == 0) { /* nothing but blanks is blank, in quotes too */
        content = inner;
        length = trimmed;
    }
    SourcePos at = place(reader, quoted ? start + 1 : start);
    reader->field = reader->end;
    if (length > 1 && content[0] == '\'' && strchr("=+-@", content[1]) != NULL &&
        content[1] != '\0') { /* our own guard against formulas */
        content++;
        length--;
        at.column++;
    }
    if (reader->cells == SHEET_MAX_COLUMNS) {
        if (!reader->failed)
            diag_error(reader->diags, at, "found more than %d fields in one line", SHEET_MAX_COLUMNS);
        reader->failed = true;
        return;
    }
    mem_reserve((void **)&reader->cell, &reader->cell_capacity, reader->cells + 1, sizeof *reader->cell);
    reader->cell[reader->cells++] = (SheetCell){
        .text = length == 0 ? "" : arena_strndup(reader->arena, content, length), .line = at.line, .column = at.column};
}

static const char *separator_name(char separator)
{
    return separator == '\t' ? "a tab" : separator == ';' ? "';'" : "','";
}

static void report_surplus(Reader *reader)
{
    size_t expected = reader->sheet->header.cells;
    diag_error(reader->diags, sheet_pos(reader->sheet, &reader->cell[expected]),
               "found %zu fields, expected at most the header's %zu (a field that holds %s must stand in quotes)",
               reader->cells, expected, separator_name(reader->sheet->separator));
}

static SheetRow keep_row(Reader *reader, size_t width)
{
    SheetRow row = {
        .line = reader->cell[0].line, .cells = width, .cell = arena_alloc(reader->arena, width, sizeof *row.cell)};
    memcpy(row.cell, reader->cell, (reader->cells < width ? reader->cells : width) * sizeof *row.cell);
    const SheetCell *last = &reader->cell[reader->cells - 1];
    for (size_t i = reader->cells; i < width; i++)
        row.cell[i] = (SheetCell){.text = "", .line = last->line, .column = last->column};
    return row;
}

static bool all_blank(const Reader *reader)
{
    for (size_t i = 0; i < reader->cells; i++)
        if (reader->cell[i].text[0] != '\0')
            return false;
    return true;
}

static void on_record(int terminator, void *data)
{
    (void)terminator;
    Reader *reader = data;
    Sheet *sheet = reader->sheet;
    if (!reader->failed && !all_blank(reader)) {
        if (!reader->has_header) {
            sheet->header = keep_row(reader, reader->cells);
            reader->has_header = true;
        } else if (reader->cells > sheet->header.cells) {
            report_surplus(reader);
        } else if (sheet->rows == SHEET_MAX_ROWS) {
            diag_error(reader->diags, sheet_pos(sheet, &reader->cell[0]), "found more than %d lines", SHEET_MAX_ROWS);
            reader->failed = true;
        } else if ((sheet->rows + 1) * sheet->header.cells > SHEET_MAX_CELLS) {
            diag_error(reader->diags, sheet_pos(sheet, &reader->cell[0]), "found more than %zu cells", SHEET_MAX_CELLS);
            reader->failed = true;
        } else {
            mem_reserve((void **)&sheet->row, &reader->row_capacity, sheet->rows + 1, sizeof *sheet->row);
            sheet->row[sheet->rows++] = keep_row(reader, sheet->header.cells);
        }
    }
    reader->cells = 0;
}

/* ---- feeding ---- */

static void report_syntax(Reader *reader, size_t offset)
{
    size_t start = field_start(reader);
    char separator = reader->sheet->separator;
    if (start < reader->length && reader->bytes[start] == '"' && offset > start)
        diag_error(reader->diags, place(reader, offset),
                   "found text after a closing quote, expected %s or the end of the line (a quote within a quoted "
                   "field is written \"\")",
                   separator_name(separator));
    else
        diag_error(reader->diags, place(reader, offset),
                   "found a quote in the middle of a field, expected the field to stand in quotes as a whole (and each "
                   "quote in it as \"\")");
}

static void report_too_long(Reader *reader)
{
    diag_error(reader->diags, place(reader, field_start(reader)), "found a field longer than %zu bytes%s",
               SHEET_MAX_FIELD, reader->bytes[field_start(reader)] == '"' ? " (is its closing quote missing?)" : "");
}

/* The offset after the next byte that can end a field, or the length. */
static size_t piece_end(const Reader *reader, size_t start)
{
    char separator = reader->sheet->separator;
    for (size_t i = start; i < reader->length; i++) {
        char c = reader->bytes[i];
        if (c == separator || c == '"' || c == '\n' || c == '\r')
            return i + 1;
    }
    return reader->length;
}

static bool feed(Reader *reader, struct csv_parser *parser, size_t start)
{
    while (start < reader->length) {
        reader->end = piece_end(reader, start);
        size_t piece = reader->end - start;
        if (reader->end - reader->field > SHEET_MAX_FIELD) {
            report_too_long(reader);
            return false;
        }
        size_t eaten = csv_parse(parser, reader->bytes + start, piece, on_field, on_record, reader);
        if (eaten < piece || csv_error(parser) != CSV_SUCCESS) {
            report_syntax(reader, start + eaten);
            return false;
        }
        if (reader->failed)
            return false;
        char last = reader->bytes[reader->end - 1];
        if ((last == '\n' || last == '\r') && reader->cells == 0 && !(parser->quoted))
            reader->field = reader->end; /* a blank line, or the second half of CRLF: libcsv says nothing */
        start = reader->end;
    }
    reader->end = reader->length;
    if (csv_fini(parser, on_field, on_record, reader) == 0)
        return !reader->failed;
    diag_error(reader->diags, place(reader, field_start(reader)),
               "found the end of the file in a quoted field that begins here, expected a closing quote");
    return false;
}

static void *resize_bytes(void *old, size_t bytes)
{
    return mem_resize(old, bytes, 1);
}

static bool parse(Reader *reader, size_t start)
{
    struct csv_parser parser;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0)
        return false;
    csv_set_delim(&parser, (unsigned char)reader->sheet->separator);
    csv_set_realloc_func(&parser, resize_bytes);
    csv_set_free_func(&parser, mem_free);
    csv_set_blk_size(&parser, (size_t)64 << 10);
    reader->field = start;
    bool good = feed(reader, &parser, start);
    csv_free(&parser);
    return good;
}

/* ---- the separator ---- */

/* "sep=;" as the first line is how some spreadsheet programs state the separator. The offset after that line, or start.
 */
static size_t stated_separator(const char *bytes, size_t length, size_t start, char *separator)
{
    static const char words[] = "sep=";
    const char *line = bytes + start;
    if (length - start < 6 || memcmp(line, words, 4) != 0 || strchr(",;\t", line[4]) == NULL ||
        (line[5] != '\r' && line[5] != '\n'))
        return start;
    *separator = line[4];
    return start + 5;
}

/* Of tab, semicolon and comma the one that is in the header line most often, outside quotes; on a draw the first of
 * them. */
static char sniff_separator(const char *bytes, size_t length, size_t start)
{
    static const char candidate[] = "\t;,";
    size_t count[3] = {0};
    bool quoted = false, begun = false;
    for (size_t i = start; i < length; i++) {
        char c = bytes[i];
        if (c == '"')
            quoted = !quoted;
        if (!quoted && (c == '\n' || c == '\r') && begun)
            break;
        begun = begun || (c != '\n' && c != '\r' && c != ' ');
        const char *found = quoted ? NULL : memchr(candidate, c, 3);
        if (found != NULL)
            count[found - candidate]++;
    }
    size_t best = count[0] == 0 && count[1] == 0 ? 2 : count[1] > count[0] ? 1 : 0;
    return candidate[count[2] > count[best] ? 2 : best];
}

/* ---- headers ---- */

/* A line such as "My list;;;" above the header is told as what it is, not once for each column. */
static bool check_title(const Reader *reader)
{
    const Sheet *sheet = reader->sheet;
    for (size_t i = 1; i < sheet->header.cells; i++)
        if (sheet->header.cell[i].text[0] != '\0')
            return true;
    if (sheet->header.cells < 3 || sheet->header.cell[0].text[0] == '\0' || sheet->rows == 0 ||
        sheet->row[0].cell[1].text[0] == '\0')
        return true;
    char excerpt[TEXT_EXCERPT];
    diag_error(reader->diags, sheet_pos(sheet, &sheet->header.cell[0]),
               "found only '%s' in the first line, expected the names of the columns; if they stand in line %d, delete "
               "what is above",
               text_excerpt(excerpt, sheet->header.cell[0].text), sheet->row[0].line);
    return false;
}

static bool check_headers(Reader *reader)
{
    Sheet *sheet = reader->sheet;
    size_t width = sheet->header.cells, errors = reader->diags->errors;
    char **folded = mem_new(width, sizeof *folded);
    for (size_t i = 0; i < width; i++) {
        folded[i] = text_fold(sheet->header.cell[i].text);
        for (size_t j = 0; j < i && folded[i][0] != '\0'; j++)
            if (strcmp(folded[i], folded[j]) == 0) {
                char excerpt[TEXT_EXCERPT];
                diag_error(reader->diags, sheet_pos(sheet, &sheet->header.cell[i]),
                           "found two columns named '%s', the first as column %zu",
                           text_excerpt(excerpt, sheet->header.cell[i].text), j + 1);
                break;
            }
    }
    for (size_t i = 1; i < width; i++)
        for (size_t row = 0; row < sheet->rows && folded[i][0] == '\0'; row++)
            if (sheet->row[row].cell[i].text[0] != '\0') {
                char excerpt[TEXT_EXCERPT];
                diag_error(reader->diags, sheet_pos(sheet, &sheet->row[row].cell[i]),
                           "found '%s' in a column without a header, expected a header in line %d",
                           text_excerpt(excerpt, sheet->row[row].cell[i].text), sheet->header.line);
                break;
            }
    for (size_t i = 0; i < width; i++)
        mem_free(folded[i]);
    mem_free(folded);
    return reader->diags->errors == errors;
}

static bool read_table(Reader *reader, size_t start)
{
    Sheet *sheet = reader->sheet;
    size_t errors = reader->diags->errors;
    sheet->separator = '\0';
    start = stated_separator(reader->bytes, reader->length, start, &sheet->separator);
    if (sheet->separator == '\0')
        sheet->separator = sniff_separator(reader->bytes, reader->length, start);
    if (!parse(reader, start))
        return false;
    if (!reader->has_header) {
        diag_error(reader->diags, (SourcePos){.file = sheet->path},
                   "the file is empty, expected a header line with the names of the columns");
        return false;
    }
    bool good = check_title(reader) && check_headers(reader);
    return good && reader->diags->errors == errors;
}

/* Rows grow by resizing while they are read; what stays belongs to the arena. */
static void settle_rows(Reader *reader)
{
    Sheet *sheet = reader->sheet;
    SheetRow *row = arena_alloc(reader->arena, sheet->rows, sizeof *row);
    if (sheet->rows > 0)
        memcpy(row, sheet->row, sheet->rows * sizeof *row);
    mem_free(sheet->row);
    sheet->row = row;
    mem_free(reader->cell);
}

bool sheet_read(Arena *arena, const char *path, SourcePos from, Sheet *sheet, Diags *diags)
{
    Sheet result = {.path = arena_strdup(arena, strcmp(path, "-") == 0 ? "standard input" : path)};
    Arena *raw = arena_new();
    Decoded text;
    bool good = sheet_decode(raw, path, result.path, from, &text, diags);
    if (good) {
        result.windows_1252 = text.windows_1252;
        result.marked = text.start > 0;
        Reader reader = {.arena = arena,
                         .sheet = &result,
                         .diags = diags,
                         .bytes = text.bytes,
                         .length = text.length,
                         .mark = text.start,
                         .line = 1,
                         .column = 1};
        good = read_table(&reader, text.start);
        settle_rows(&reader);
    }
    arena_free(raw);
    if (good)
        *sheet = result;
    return good;
}
