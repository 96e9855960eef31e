/* ods.c - an .ods file (OpenDocument 1.3 part 3): all its sheets are in one part, content.xml. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cards/workbook/book.h"

/* A count such as number-columns-repeated: 1 where it is not there or makes no sense. */
static int count_of(const char **attribute, const char *name)
{
    const char *text = xml_attribute(attribute, name);
    const long count = text != NULL ? strtol(text, NULL, 10) : 1;
    return count < 1 ? 1 : count > GRID_MAX_ROW ? GRID_MAX_ROW : (int)count;
}

/* ---- the list of sheets ---- */

#define MAX_STYLES 10000

typedef struct {
    Book *book;
    const char *style;   /* that is being read; "" outside */
    const char **hidden; /* [MAX_STYLES] styles of tables that are not shown */
    size_t hiddens;
    int table_depth; /* tables within tables are none of ours */
} Listing;

static bool is_hidden(const Listing *list, const char *style)
{
    for (size_t k = 0; style != NULL && k < list->hiddens; k++)
        if (xml_is(list->hidden[k], style))
            return true;
    return false;
}

static void on_listed(Xml *xml, const char *name, const char **attribute)
{
    Listing *list = xml->context;
    Book *book = list->book;
    const char *label = xml_attribute(attribute, "name");
    if (xml_is(name, "style")) {
        list->style = label != NULL ? arena_strdup(book->arena, label) : "";
    } else if (xml_is(name, "table-properties")) {
        const char *display = xml_attribute(attribute, "display");
        if (display != NULL && xml_is(display, "false") && list->hiddens < MAX_STYLES)
            list->hidden[list->hiddens++] = list->style;
    } else if (xml_is(name, "table") && list->table_depth++ == 0) {
        const BookSheet sheet = {.name = arena_strdup(book->arena, label != NULL ? label : ""),
                                 .member = "content.xml",
                                 .hidden = is_hidden(list, xml_attribute(attribute, "style-name"))};
        if (!book_add_sheet(book, sheet, xml->diags))
            xml_fail(xml);
    }
}

static void on_listed_end(Xml *xml, const char *name)
{
    Listing *list = xml->context;
    list->table_depth -= xml_is(name, "table");
}

/* ---- one sheet ---- */

typedef struct {
    int column, times;
    const char *text;
} RowCell;

typedef struct {
    size_t wanted, tables; /* which table; how many have begun */
    int table_depth;
    Arena *arena;
    const char *path;
    Grid *grid;
    int row, rows; /* the last row that is done; how often the one that is read repeats */
    int column;    /* the last one that is done */
    int columns;   /* described before the rows */
    bool hidden;
    RowCell *cell; /* [cells] of the row that are not blank */
    size_t cells, cell_capacity;
    int cell_depth;    /* of the cell that is read; 0 outside */
    int times;         /* how often it repeats */
    bool failed;       /* its formula */
    bool covered;      /* by a merged cell */
    int paragraphs;    /* of the cell */
    bool in_text;      /* in one of its paragraphs */
    const char *value; /* of the cell, NULL if its text counts */
} Reader;

static SourcePos place(const Reader *reader, int row, int column)
{
    return (SourcePos){.file = reader->path, .line = row, .column = column, .in_workbook = true};
}

static bool in_sheet(const Reader *reader)
{
    return reader->table_depth == 1 && reader->tables == reader->wanted + 1;
}

/* "PT12H30M05S" as "12:30:05". */
static const char *time_text(Arena *arena, const char *value)
{
    int hour, minute;
    double second;
    if (sscanf(value, "PT%6dH%2dM%lfS", &hour, &minute, &second) == 3 && second >= 0 && second < 60)
        return arena_printf(arena, "%02d:%02d:%02d", hour, minute, (int)second);
    return arena_strdup(arena, value);
}

static const char *typed_value(Reader *reader, const char **attribute)
{
    const char *type = xml_attribute(attribute, "value-type"), *value = xml_attribute(attribute, "value");
    const char *text = xml_attribute(attribute, "string-value"), *date = xml_attribute(attribute, "date-value"),
               *time = xml_attribute(attribute, "time-value"), *flag = xml_attribute(attribute, "boolean-value");
    if (type == NULL)
        return NULL;
    if ((xml_is(type, "float") || xml_is(type, "currency")) && value != NULL)
        return value_number(reader->arena, value, FORMAT_NUMBER, false);
    if (xml_is(type, "percentage") && value != NULL)
        return value_number(reader->arena, value, FORMAT_PERCENT, false);
    if (xml_is(type, "date") && date != NULL)
        return value_date(reader->arena, date);
    if (xml_is(type, "time") && time != NULL)
        return time_text(reader->arena, time);
    if (xml_is(type, "boolean") && flag != NULL)
        return xml_is(flag, "true") ? "TRUE" : "FALSE";
    return text != NULL ? value_text(reader->arena, text, strlen(text)) : NULL;
}

static void begin_cell(Xml *xml, const char *name, const char **attribute)
{
    Reader *reader = xml->context;
    reader->cell_depth = xml->depth;
    reader->times = count_of(attribute, "number-columns-repeated");
    reader->covered = xml_is(name, "covered-table-cell");
    reader->paragraphs = 0;
    reader->failed = false;
    for (size_t k = 0; attribute[k] != NULL; k += 2) /* office:value-type says string, the program's own: error */
        reader->failed =
            reader->failed || (xml_is(attribute[k], "calcext:value-type") && xml_is(attribute[k + 1], "error"));
    reader->in_text = xml->collect = false;
    xml->text.length = 0;
    reader->value = reader->covered || reader->failed ? NULL : typed_value(reader, attribute);
    const int wide = count_of(attribute, "number-columns-spanned"), high = count_of(attribute, "number-rows-spanned");
    if ((wide > 1 || high > 1) && reader->row < GRID_MAX_ROW)
        grid_merge(reader->grid, (GridMerge){.top = reader->row + 1,
                                             .left = reader->column + 1,
                                             .bottom = reader->row + high,
                                             .right = reader->column + wide});
}

static void begin_row(Xml *xml, const char **attribute)
{
    Reader *reader = xml->context;
    const char *visibility = xml_attribute(attribute, "visibility");
    reader->rows = count_of(attribute, "number-rows-repeated");
    reader->hidden = visibility != NULL && !xml_is(visibility, "visible");
    reader->column = 0;
    reader->cells = 0;
}

static void begin_columns(Reader *reader, const char **attribute)
{
    const char *visibility = xml_attribute(attribute, "visibility");
    const int count = count_of(attribute, "number-columns-repeated");
    if (count > GRID_MAX_COLUMN - reader->columns)
        return;
    if (visibility != NULL && !xml_is(visibility, "visible"))
        grid_hide_columns(reader->grid, reader->columns + 1, reader->columns + count);
    reader->columns += count;
}

/* Blanks and breaks within a paragraph are elements of their own. */
static void add_space(Xml *xml, const char *name, const char **attribute)
{
    const bool blank = xml_is(name, "s") || xml_is(name, "tab");
    if (!blank && !xml_is(name, "line-break"))
        return;
    const int times = xml_is(name, "s") ? count_of(attribute, "c") : 1;
    for (int k = 0; k < times && xml->text.length < XML_MAX_TEXT; k++)
        text_add_char(&xml->text, blank ? ' ' : '\n');
}

static void on_start(Xml *xml, const char *name, const char **attribute)
{
    Reader *reader = xml->context;
    if (xml_is(name, "table")) {
        reader->tables += reader->table_depth++ == 0;
    } else if (!in_sheet(reader)) {
        return;
    } else if (reader->cell_depth == 0) {
        if (xml_is(name, "table-row"))
            begin_row(xml, attribute);
        else if (xml_is(name, "table-column"))
            begin_columns(reader, attribute);
        else if (xml_is(name, "table-cell") || xml_is(name, "covered-table-cell"))
            begin_cell(xml, name, attribute);
    } else if (xml->depth == reader->cell_depth + 1 && xml_is(name, "p")) { /* not of notes and drawings */
        if (reader->paragraphs++ > 0)
            text_add_char(&xml->text, '\n');
        reader->in_text = xml->collect = true;
    } else if (reader->in_text) {
        add_space(xml, name, attribute);
    }
}

static void end_cell(Xml *xml)
{
    Reader *reader = xml->context;
    reader->cell_depth = 0;
    const int column = reader->column + 1;
    reader->column += reader->times;
    const char *text = reader->value != NULL ? reader->value
                       : reader->covered     ? ""
                                             : value_text(reader->arena, text_cstr(&xml->text), xml->text.length);
    if (text[0] == '\0' || reader->column > GRID_MAX_COLUMN) {
        if (text[0] != '\0')
            book_add_cell(xml, reader->grid, place(reader, reader->row + 1, GRID_MAX_COLUMN + 1), text);
        reader->column = reader->column > GRID_MAX_COLUMN ? GRID_MAX_COLUMN : reader->column;
        return;
    }
    if (reader->failed)
        grid_fault(reader->grid, reader->row + 1, column, text);
    mem_reserve((void **)&reader->cell, &reader->cell_capacity, reader->cells + 1, sizeof *reader->cell);
    reader->cell[reader->cells++] = (RowCell){.column = column, .times = reader->times, .text = text};
}

static void end_row(Xml *xml)
{
    Reader *reader = xml->context;
    for (int row = reader->row + 1; row <= reader->row + reader->rows && reader->cells > 0; row++) {
        for (size_t k = 0; k < reader->cells; k++)
            for (int time = 0; time < reader->cell[k].times && !xml->failed; time++)
                book_add_cell(xml, reader->grid, place(reader, row, reader->cell[k].column + time),
                              reader->cell[k].text);
        reader->grid->hidden += reader->hidden;
        if (xml->failed)
            return;
    }
    reader->row = reader->rows > GRID_MAX_ROW - reader->row ? GRID_MAX_ROW : reader->row + reader->rows;
}

static void on_end(Xml *xml, const char *name)
{
    Reader *reader = xml->context;
    if (xml_is(name, "table")) {
        reader->table_depth--;
        if (reader->table_depth == 0 && reader->tables == reader->wanted + 1)
            xml_enough(xml);
        return;
    }
    if (!in_sheet(reader))
        return;
    if (reader->cell_depth > 0 && xml->depth == reader->cell_depth && xml_is(name, "p"))
        reader->in_text = xml->collect = false;
    else if (reader->cell_depth > 0 && xml->depth == reader->cell_depth - 1)
        end_cell(xml);
    else if (reader->cell_depth == 0 && xml_is(name, "table-row"))
        end_row(xml);
}

static bool read_sheet(const Book *book, size_t sheet, Arena *arena, const char *path, Grid *grid, Diags *diags)
{
    Reader reader = {.wanted = sheet, .arena = arena, .path = path, .grid = grid};
    Xml xml = {.context = &reader, .start = on_start, .end = on_end, .file = path, .diags = diags};
    const bool good = xml_read(&xml, book->archive, "content.xml");
    mem_free(reader.cell);
    return good;
}

/* ---- all ---- */

static void on_manifest(Xml *xml, const char *name, const char **attribute)
{
    (void)attribute;
    if (!xml_is(name, "encryption-data"))
        return;
    diag_error(xml->diags, (SourcePos){.file = xml->file},
               "found a workbook with a password, expected one without: save it without");
    xml_fail(xml);
}

bool ods_open(Book *book, Diags *diags)
{
    Listing list = {.book = book, .style = "", .hidden = mem_new(MAX_STYLES, sizeof *list.hidden)};
    Xml manifest = {.start = on_manifest, .file = book->file, .diags = diags};
    Xml xml = {.context = &list, .start = on_listed, .end = on_listed_end, .file = book->file, .diags = diags};
    book->read_sheet = read_sheet;
    const bool open = !archive_has(book->archive, "META-INF/manifest.xml") ||
                      xml_read(&manifest, book->archive, "META-INF/manifest.xml");
    const bool good = open && xml_read(&xml, book->archive, "content.xml");
    mem_free(list.hidden);
    return good;
}
