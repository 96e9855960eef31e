/* csv.c - text as a sheet: from bytes to a table of cells.
 *
 * The grammar is RFC 4180, section 2, as libcsv's strict mode reads it (blanks around quotes are let pass). libcsv
 * knows no places; so the file is fed in pieces that each end with a separator, a quote or a line end. Fields and
 * records can only end with such a byte, hence whenever libcsv reports one, the place is the end of the piece. */
#include <csv.h>
#include <string.h>

#include "base/text.h"
#include "cards/sheet/csv.h"
#include "cards/names/titles.h"
#include "cards/sheet/sheet_table.h"

typedef struct {
    SheetTable table;
    const char *bytes;
    size_t length;
    size_t end;       /* of the piece that is being fed */
    size_t field;     /* where the current field begins: after the last separator or line end */
    size_t mark;      /* an offset before or at `field` ... */
    int line, column; /* ... and its place */
} Reader;

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
    return (SourcePos){.file = reader->table.sheet->path, .line = reader->line, .column = reader->column};
}

static bool is_blank(const Reader *reader, char c)
{
    return (c == ' ' || c == '\t') && c != reader->table.sheet->separator;
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
    if (cell_is_guarded(content, length)) {
        content++;
        length--;
        at.column++;
    }
    sheet_table_add(&reader->table, length == 0 ? "" : arena_strndup(reader->table.arena, content, length), at.line,
                    at.column);
}

static void on_record(int terminator, void *data)
{
    (void)terminator;
    sheet_table_end_row(&((Reader *)data)->table);
}

/* ---- feeding ---- */

static void report_syntax(Reader *reader, size_t offset)
{
    size_t start = field_start(reader);
    char separator = reader->table.sheet->separator;
    if (start < reader->length && reader->bytes[start] == '"' && offset > start) {
        const SourcePos from = place(reader, start), at = place(reader, offset);
        if (from.line < at.line)
            diag_error(
                reader->table.diags, at,
                "found text after the closing quote of a field that begins in line %d, column %d, expected %s or "
                "the end of the line; probably its closing quote is missing there",
                from.line, from.column, separator_name(separator));
        else
            diag_error(reader->table.diags, at,
                       "found text after a closing quote, expected %s or the end of the line (a quote within a quoted "
                       "field is written \"\")",
                       separator_name(separator));
    } else
        diag_error(reader->table.diags, place(reader, offset),
                   "found a quote in the middle of a field, expected the field to stand in quotes as a whole (and each "
                   "quote in it as \"\")");
}

static void report_too_long(Reader *reader)
{
    diag_error(reader->table.diags, place(reader, field_start(reader)), "found a field longer than %zu bytes%s",
               SHEET_MAX_FIELD, reader->bytes[field_start(reader)] == '"' ? " (is its closing quote missing?)" : "");
}

/* The offset after the next byte that can end a field, or the length. */
static size_t piece_end(const Reader *reader, size_t start)
{
    char separator = reader->table.sheet->separator;
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
        if (reader->table.failed)
            return false;
        char last = reader->bytes[reader->end - 1];
        if ((last == '\n' || last == '\r') && reader->table.cells == 0 && !(parser->quoted))
            reader->field = reader->end; /* a blank line, or the second half of CRLF: libcsv says nothing */
        start = reader->end;
    }
    reader->end = reader->length;
    if (csv_fini(parser, on_field, on_record, reader) == 0)
        return !reader->table.failed;
    diag_error(reader->table.diags, place(reader, field_start(reader)),
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
    csv_set_delim(&parser, (unsigned char)reader->table.sheet->separator);
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

char csv_separator(const char *bytes, size_t length, size_t start)
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

/* What stands above the names of the columns, in a line of notice. */
static void tell_titles(Reader *reader, size_t from, size_t start)
{
    while (from < start && strchr(" \t\r\n,;", reader->bytes[from]) != NULL)
        from++;
    size_t length = strcspn(reader->bytes + from, "\r\n");
    while (length > 0 && strchr(" \t,;", reader->bytes[from + length - 1]) != NULL)
        length--;
    if (from >= start)
        return; /* nothing but blank lines */
    const SourcePos at = place(reader, from);
    if (length >= 2 && reader->bytes[from] == '"' && reader->bytes[from + length - 1] == '"') {
        from++;
        length -= 2;
    }
    char excerpt[TEXT_EXCERPT], *title = mem_strndup(reader->bytes + from, length);
    diag_remark(reader->table.diags, at, "'%s' is taken for a title: the columns are named in line %d",
                text_excerpt(excerpt, title), place(reader, start).line);
    mem_free(title);
}

bool csv_read(Arena *arena, const Decoded *text, Sheet *sheet, Diags *diags)
{
    const size_t errors = diags->errors;
    Reader reader = {.table = {.arena = arena, .sheet = sheet, .diags = diags},
                     .bytes = text->bytes,
                     .length = text->length,
                     .mark = text->start,
                     .line = 1,
                     .column = 1};
    sheet->windows_1252 = text->windows_1252;
    sheet->marked = text->start > 0;
    sheet->separator = '\0';
    const size_t stated = stated_separator(text->bytes, text->length, text->start, &sheet->separator);
    const size_t start = titles_end(text->bytes, text->length, stated);
    if (start > stated)
        tell_titles(&reader, stated, start);
    if (start > text->start)
        sheet->above = arena_strndup(arena, text->bytes + text->start, start - text->start);
    if (sheet->separator == '\0')
        sheet->separator = csv_separator(text->bytes, text->length, start);
    const bool good = parse(&reader, start) && sheet_table_finish(&reader.table);
    sheet_table_release(&reader.table);
    return good && diags->errors == errors;
}
