/* sheet.c - a sheet by its path: text or workbook, and what is asked of any sheet. */
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/files/file.h"
#include "base/text.h"
#include "cards/sheet/csv.h"
#include "cards/sheet/header_words.h"
#include "cards/workbook/workbook.h"

SourcePos sheet_pos(const Sheet *sheet, const SheetCell *cell)
{
    return (SourcePos){.file = sheet->path, .line = cell->line, .column = cell->column, .in_workbook = sheet->workbook};
}

void sheet_report(const Sheet *sheet, int column, const SheetCell *cell, const char *expected, Diags *diags)
{
    char excerpt[TEXT_EXCERPT], header[TEXT_EXCERPT], advice[160] = "";
    if (word_is_nothing(cell->text))
        snprintf(advice, sizeof advice,
                 "; if it stands for a blank cell, write read: {blanks: [\"%.20s\"]} into the model", cell->text);
    diag_error(diags, sheet_pos(sheet, cell), "column '%s': found '%s', expected %s%s",
               text_excerpt(header, sheet->header.cell[column].text), text_excerpt(excerpt, cell->text), expected,
               advice);
}

void sheet_report_as_first(const Sheet *sheet, const char *header, const SheetCell *cell, const SheetCell **first,
                           const char *expected, int decimals, Diags *diags)
{
    char found[TEXT_EXCERPT], column[TEXT_EXCERPT], round[64] = "";
    if (*first == NULL)
        *first = cell;
    if (sheet->workbook && decimals > 0)
        snprintf(round, sizeof round, "; a formula has them by =ROUND(..., %d) around it", decimals);
    diag_error(diags, sheet_pos(sheet, cell), "column '%s': found '%s', expected %s%s", text_excerpt(column, header),
               text_excerpt(found, (*first)->text), expected, round);
}

SourcePos sheet_line_pos(const Sheet *sheet, int line)
{
    return (SourcePos){.file = sheet->path, .line = line, .column = 1, .in_workbook = sheet->workbook};
}

bool sheet_decimal_comma(const Sheet *sheet)
{
    if (sheet->workbook)
        return true;
    return sheet->decimal == DECIMAL_BY_SEPARATOR ? sheet->separator != ',' : sheet->decimal == DECIMAL_COMMA;
}

const char *sheet_line_word(const Sheet *sheet)
{
    return sheet->workbook ? "row" : "line";
}

void sheet_take_habits(Sheet *sheet, size_t name, const Habits *habits)
{
    size_t kept = 0;
    sheet->decimal = habits->decimal;
    for (size_t i = 0; i < sheet->rows; i++) {
        SheetRow *row = &sheet->row[i];
        if (habits_skip(habits, row->cell[name].text))
            continue;
        for (size_t k = 0; k < row->cells; k++)
            if (k != name && habits_blank(habits, row->cell[k].text))
                row->cell[k].text = "";
        sheet->row[kept++] = *row;
    }
    sheet->rows = kept;
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

void sheet_as_names(Arena *arena, Sheet *sheet)
{
    SheetRow *row = arena_alloc(arena, sheet->rows + 1, sizeof *row);
    SheetCell *name = arena_alloc(arena, 1, sizeof *name);
    row[0] = sheet->header;
    if (sheet->rows > 0)
        memcpy(row + 1, sheet->row, sheet->rows * sizeof *row);
    *name = (SheetCell){.text = "name", .line = sheet->header.line, .column = 1};
    sheet->header.cell = name;
    sheet->row = row;
    sheet->rows++;
}

/* ---- reading ---- */

static bool is_file(const char *path, size_t length)
{
    char *copy = mem_strndup(path, length);
    const bool there = strcmp(copy, "-") == 0 || file_exists(copy);
    mem_free(copy);
    return there;
}

static bool names_workbook(const char *path, size_t length)
{
    return (length > 5 && strncasecmp(path + length - 5, ".xlsx", 5) == 0) ||
           (length > 4 && strncasecmp(path + length - 4, ".ods", 4) == 0);
}

/* Names of files and of sheets may hold the sign too, so the first one behind a file that is there counts, or else one
 * behind the name of a workbook. */
const char *sheet_file(Arena *arena, const char *path, const char **sheet)
{
    const char *first = strchr(path, '#'), *sign = first;
    if (sheet != NULL)
        *sheet = NULL;
    if (first == NULL || file_exists(path))
        return arena_strdup(arena, path);
    while (sign != NULL && !is_file(path, (size_t)(sign - path)))
        sign = strchr(sign + 1, '#');
    for (const char *other = first; other != NULL && sign == NULL; other = strchr(other + 1, '#'))
        sign = names_workbook(path, (size_t)(other - path)) ? other : NULL;
    if (sign == NULL)
        return arena_strdup(arena, path);
    if (sheet != NULL)
        *sheet = arena_strdup(arena, sign + 1);
    return arena_strndup(arena, path, (size_t)(sign - path));
}

const char *sheet_title(Arena *arena, const char *path)
{
    const char *name, *file = path_last(sheet_file(arena, path, &name)), *dot = strrchr(file, '.');
    return name != NULL ? name
                        : arena_strndup(arena, file, dot != NULL && dot > file ? (size_t)(dot - file) : strlen(file));
}

bool sheet_read_for(Arena *arena, FileStore *files, const char *path, SourcePos from, const SheetUse *use, Sheet *sheet,
                    Diags *diags)
{
    Arena *raw = arena_new();
    const char *name, *file = sheet_file(arena, path, &name);
    Sheet result = {.path = strcmp(file, "-") == 0 ? "standard input" : file};
    size_t length = 0;
    const char *bytes = file_store_read(files, raw, file, from, &length, diags);
    bool good = bytes != NULL;
    if (good && workbook_is(bytes, length)) {
        const WorkbookFile book = {.bytes = bytes, .length = length, .sheet = name, .from = from};
        good = workbook_read(arena, &book, use, &result, diags);
    } else if (good && name != NULL) {
        diag_error(diags, from, "found '%s', but '%s' is no workbook with sheets of its own, expected '%s'", path,
                   result.path, result.path);
        good = false;
    } else if (good) {
        Decoded text;
        good = sheet_decode(raw, result.path, bytes, length, &text, diags) && csv_read(arena, &text, &result, diags);
    }
    arena_free(raw);
    if (good) {
        *sheet = result;
    } else {
        sheet->header = result.header;
        sheet->row = result.row;
        sheet->rows = result.rows;
    }
    return good;
}

const char **sheet_paths(Arena *arena, FileStore *files, const char *path, size_t *count, Diags *diags)
{
    Arena *raw = arena_new();
    const char *name, *file = sheet_file(arena, path, &name), **paths = NULL;
    size_t length = 0;
    const char *bytes = name == NULL ? file_store_read(files, raw, file, (SourcePos){0}, &length, diags) : NULL;
    *count = 1;
    if (bytes != NULL && workbook_is(bytes, length)) {
        const WorkbookFile book = {.bytes = bytes, .length = length};
        paths = workbook_paths(arena, &book, file, count, diags);
    } else if (bytes != NULL || name != NULL) {
        paths = arena_alloc(arena, 1, sizeof *paths);
        paths[0] = path;
    }
    arena_free(raw);
    return paths;
}

/* A line as it stands, but for quotes around it. */
static const char *line_text(Arena *arena, const char *start, size_t length)
{
    if (length < 2 || start[0] != '"' || start[length - 1] != '"')
        return arena_strndup(arena, start, length);
    char *text = arena_strndup(arena, start + 1, length - 2), *to = text;
    for (const char *from = text; *from != '\0'; from++) {
        *to++ = *from;
        from += from[0] == '"' && from[1] == '"';
    }
    *to = '\0';
    return text;
}

void sheet_split_lines(Arena *arena, const Decoded *text, Sheet *sheet)
{
    SheetCell *header = arena_alloc(arena, 1, sizeof *header);
    *header = (SheetCell){.text = "name", .line = 1, .column = 1};
    *sheet = (Sheet){.path = sheet->path,
                     .separator = ',',
                     .windows_1252 = text->windows_1252,
                     .marked = text->start > 0,
                     .header = {.line = 1, .cells = 1, .cell = header}};
    size_t rows = 1;
    for (const char *at = text->bytes; *at != '\0'; at++)
        rows += *at == '\n' || *at == '\r';
    sheet->row = arena_alloc(arena, rows, sizeof *sheet->row);
    int number = 0;
    for (const char *line = text->bytes + text->start; *line != '\0';) {
        size_t length = strcspn(line, "\r\n");
        const char *end = line + length;
        while (length > 0 && strchr(",;\t ", line[length - 1]) != NULL) /* columns that hold nothing */
            length--;
        const char *start = text_trim(line, &length);
        number++;
        if (length > 0 && sheet->rows < SHEET_MAX_ROWS) {
            SheetCell *cell = arena_alloc(arena, 1, sizeof *cell);
            *cell = (SheetCell){.text = line_text(arena, start, length), .line = number, .column = 1};
            sheet->row[sheet->rows++] = (SheetRow){.line = number, .cells = 1, .cell = cell};
        }
        line = end + (end[0] == '\r' && end[1] == '\n') + (end[0] != '\0');
    }
}

bool sheet_read_lines(Arena *arena, FileStore *files, const char *path, Sheet *sheet)
{
    Diags unread;
    Decoded text;
    Arena *raw = arena_new();
    const char *name, *file = sheet_file(arena, path, &name);
    size_t length = 0;
    diags_init(&unread);
    const char *bytes = name == NULL ? file_store_read(files, raw, file, (SourcePos){0}, &length, &unread) : NULL;
    const bool good = bytes != NULL && !workbook_is(bytes, length) &&
                      sheet_decode(raw, file, bytes, length, &text, &unread) && strpbrk(text.bytes, ",;\t") != NULL;
    if (good) {
        sheet->path = file;
        sheet_split_lines(arena, &text, sheet);
    }
    diags_release(&unread);
    arena_free(raw);
    return good;
}

bool sheet_read(Arena *arena, FileStore *files, const char *path, SourcePos from, Sheet *sheet, Diags *diags)
{
    return sheet_read_for(arena, files, path, from, NULL, sheet, diags);
}
