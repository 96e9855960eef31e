/* xlsx_sheet.c - the cells of one sheet of an .xlsx file (ECMA-376 part 1, 18.3). */
#include <stdlib.h>
#include <string.h>

#include "cards/sheet/header_words.h"
#include "cards/workbook/xlsx.h"

typedef enum { TYPE_NUMBER, TYPE_SHARED, TYPE_TEXT, TYPE_INLINE, TYPE_BOOLEAN, TYPE_ERROR, TYPE_DATE } CellType;

typedef struct {
    const Book *book;
    Arena *arena;
    const char *path;
    Grid *grid;
    int row, column; /* the last one begun */
    size_t before;   /* cells of the grid when the row began */
    int *lacking;    /* [lacks] columns of the row's formulas without a result */
    size_t lacks, lack_capacity;
    bool hidden; /* the row */
    bool in_data, in_cell, in_inline, in_phonetic;
    bool has_formula, has_value;
    CellType type;
    long style;
} Reader;

static SourcePos place(const Reader *reader)
{
    return (SourcePos){.file = reader->path, .line = reader->row, .column = reader->column, .in_workbook = true};
}

static void damaged(Xml *xml)
{
    diag_error(xml->diags, place(xml->context),
               "found a cell that is told wrongly: the workbook is damaged; save it "
               "once more");
    xml_fail(xml);
}

/* "AB12" to row and column; the end, or NULL. */
static const char *read_reference(const char *text, int *row, int *column)
{
    int letters = 0, digits = 0;
    *row = *column = 0;
    for (; *text == '$'; text++) {
    }
    for (; *text >= 'A' && *text <= 'Z' && letters < 4; text++, letters++)
        *column = *column * 26 + (*text - 'A' + 1);
    for (; *text == '$'; text++) {
    }
    for (; *text >= '0' && *text <= '9' && digits < 8; text++, digits++)
        *row = *row * 10 + (*text - '0');
    return letters > 0 && digits > 0 && *row > 0 ? text : NULL;
}

/* ---- rows and cells begin ---- */

static void begin_row(Xml *xml, const char **attribute)
{
    Reader *reader = xml->context;
    const char *number = xml_attribute(attribute, "r");
    const long row = number != NULL ? strtol(number, NULL, 10) : reader->row + 1L;
    const bool sound = row > reader->row && row <= GRID_MAX_ROW;
    reader->row = sound ? (int)row : reader->row;
    reader->column = 0;
    reader->hidden = xlsx_is_set(xml_attribute(attribute, "hidden"));
    reader->before = reader->grid->cells;
    if (!sound)
        damaged(xml);
}

static CellType type_of(const char *word)
{
    static const char *const words[] = {"n", "s", "str", "inlineStr", "b", "e", "d"};
    for (size_t k = 0; word != NULL && k < sizeof words / sizeof *words; k++)
        if (xml_is(word, words[k]))
            return (CellType)k;
    return TYPE_NUMBER;
}

static void begin_cell(Xml *xml, const char **attribute)
{
    Reader *reader = xml->context;
    const char *reference = xml_attribute(attribute, "r"), *style = xml_attribute(attribute, "s");
    int row = reader->row, column = reader->column + 1;
    const bool sound = reference == NULL || (read_reference(reference, &row, &column) != NULL && row == reader->row &&
                                             column > reader->column);
    reader->column = sound ? column : reader->column;
    reader->type = type_of(xml_attribute(attribute, "t"));
    reader->style = style != NULL ? strtol(style, NULL, 10) : 0;
    reader->in_cell = true;
    reader->has_formula = reader->has_value = reader->in_inline = reader->in_phonetic = false;
    xml->text.length = 0;
    if (!sound || column > GRID_MAX_COLUMN)
        damaged(xml);
}

static void begin_merge(Reader *reader, const char *reference)
{
    GridMerge merge;
    const char *rest = reference != NULL ? read_reference(reference, &merge.top, &merge.left) : NULL;
    if (rest != NULL && *rest == ':' && read_reference(rest + 1, &merge.bottom, &merge.right) != NULL)
        grid_merge(reader->grid, merge);
}

static void begin_columns(Reader *reader, const char **attribute)
{
    const char *first = xml_attribute(attribute, "min"), *last = xml_attribute(attribute, "max");
    if (first != NULL && last != NULL && xlsx_is_set(xml_attribute(attribute, "hidden")))
        grid_hide_columns(reader->grid, (int)strtol(first, NULL, 10), (int)strtol(last, NULL, 10));
}

static void on_start(Xml *xml, const char *name, const char **attribute)
{
    Reader *reader = xml->context;
    if (xml_is(name, "sheetData")) {
        reader->in_data = true;
    } else if (xml_is(name, "col")) {
        begin_columns(reader, attribute);
    } else if (xml_is(name, "mergeCell")) {
        begin_merge(reader, xml_attribute(attribute, "ref"));
    } else if (!reader->in_data) {
        return;
    } else if (!reader->in_cell) {
        if (xml_is(name, "row"))
            begin_row(xml, attribute);
        else if (xml_is(name, "c"))
            begin_cell(xml, attribute);
    } else if (xml_is(name, "v")) {
        xml->collect = reader->has_value = true;
    } else if (xml_is(name, "f")) {
        reader->has_formula = true;
    } else if (xml_is(name, "is")) {
        reader->in_inline = true;
    } else if (xml_is(name, "rPh")) {
        reader->in_phonetic = true;
    } else if (xml_is(name, "t")) {
        xml->collect = reader->in_inline && !reader->in_phonetic;
    }
}

/* ---- cells end ---- */

/* NULL when reported. */
static const char *shared_text(Xml *xml)
{
    const Reader *reader = xml->context;
    char *end;
    const char *text = text_cstr(&xml->text);
    const unsigned long index = strtoul(text, &end, 10);
    if (end != text && *end == '\0' && index < reader->book->shareds)
        return reader->book->shared[index];
    damaged(xml);
    return NULL;
}

static const char *cell_text(Xml *xml)
{
    const Reader *reader = xml->context;
    const Book *book = reader->book;
    const char *stored = text_cstr(&xml->text);
    switch (reader->type) {
    case TYPE_SHARED: return shared_text(xml);
    case TYPE_BOOLEAN: return xlsx_is_set(stored) ? "TRUE" : "FALSE";
    case TYPE_DATE: return value_date(reader->arena, stored);
    case TYPE_NUMBER:
        return value_number(reader->arena, stored,
                            reader->style >= 0 && (size_t)reader->style < book->formats ? book->format[reader->style]
                                                                                        : FORMAT_NUMBER,
                            book->from_1904);
    case TYPE_TEXT:
    case TYPE_INLINE:
    case TYPE_ERROR: break;
    }
    xlsx_unescape(&xml->text);
    return value_text(reader->arena, text_cstr(&xml->text), xml->text.length);
}

static void end_cell(Xml *xml)
{
    Reader *reader = xml->context;
    const bool blank = xml->text.length == 0;
    reader->in_cell = false;
    if (blank && reader->has_formula && reader->type != TYPE_TEXT) {
        mem_reserve((void **)&reader->lacking, &reader->lack_capacity, reader->lacks + 1, sizeof *reader->lacking);
        reader->lacking[reader->lacks++] = reader->column;
        return;
    }
    if (blank)
        return;
    const char *text = cell_text(xml);
    if (text != NULL)
        book_add_cell(xml, reader->grid, place(reader), text);
    if (text != NULL && reader->type == TYPE_ERROR)
        grid_fault(reader->grid, reader->row, reader->column, text);
}

/* Formulas without a result are errors, but for those of a line of totals, which nobody needs. */
static void end_row(Xml *xml)
{
    Reader *reader = xml->context;
    const char *total = NULL;
    for (size_t k = reader->before; k < reader->grid->cells && reader->lacks > 0 && total == NULL; k++)
        total = word_is_total(reader->grid->cell[k].text) ? reader->grid->cell[k].text : NULL;
    for (size_t k = 0; k < reader->lacks; k++) {
        reader->column = reader->lacking[k];
        if (total == NULL)
            diag_error(xml->diags, place(reader),
                       "found a formula without its result, expected both: open the workbook in a spreadsheet program "
                       "and save it there");
        else if (k == 0)
            diag_notice(xml->diags, place(reader),
                        "found a formula without its result in the line '%s', which is taken for one of totals: its "
                        "cell counts as blank",
                        total);
    }
    reader->lacks = 0;
    reader->grid->hidden += reader->hidden && reader->grid->cells > reader->before;
}

static void on_end(Xml *xml, const char *name)
{
    Reader *reader = xml->context;
    if (!reader->in_data)
        return;
    if (xml_is(name, "v") || xml_is(name, "t")) {
        xml->collect = false;
    } else if (xml_is(name, "rPh")) {
        reader->in_phonetic = false;
    } else if (xml_is(name, "is")) {
        reader->in_inline = false;
    } else if (xml_is(name, "c")) {
        end_cell(xml);
    } else if (xml_is(name, "row")) {
        end_row(xml);
    } else if (xml_is(name, "sheetData")) {
        reader->in_data = false;
    }
}

bool xlsx_read_sheet(const Book *book, size_t sheet, Arena *arena, const char *path, Grid *grid, Diags *diags)
{
    Reader reader = {.book = book, .arena = arena, .path = path, .grid = grid};
    Xml xml = {.context = &reader, .start = on_start, .end = on_end, .file = path, .diags = diags};
    const bool whole = xml_read(&xml, book->archive, book->sheet[sheet].member);
    mem_free(reader.lacking);
    return whole;
}
