/* pool_file.c - reading an existing list, as a sheet or line by line. */
#include "whatif/list/pool_file.h"

#include <string.h>

#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/names/titles.h"
#include "cards/sheet/encoding.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet.h"
#include "cards/sheet/sheet_numbers.h"
#include "cards/workbook/workbook.h"
#include "model/sheets/matched_sheet.h"

typedef struct {
    const Instance *in;
    PoolFile *pool;
    size_t capacity;
    size_t passed;
    SheetCell first_passed;
    Diags *diags;
} Reader;

#define WITH_NEAREST 50 /* of the unknown names; a list with more is not of these cards */

static const char *nearest_for(const Instance *in, const PoolFile *pool, const char *name)
{
    return pool->unknowns < WITH_NEAREST ? card_nearest(in->cards, name) : NULL;
}

static void add_card(Reader *r, const char *name, int copies, int line)
{
    PoolFile *pool = r->pool;
    long card = card_find(r->in->cards, name);
    if (card >= 0) {
        pool->copies[card] = pool->copies[card] + copies > COPIES_MAX ? COPIES_MAX : pool->copies[card] + copies;
        return;
    }
    const char *nearest = nearest_for(r->in, pool, name);
    mem_reserve((void **)&pool->unknown, &r->capacity, pool->unknowns + 1, sizeof *pool->unknown);
    pool->unknown[pool->unknowns++] = (UnknownCard){arena_strdup(pool->arena, name), line, copies, nearest};
}

/* ---- what is no card ---- */

/* A total or a heading; the first of them is told in the end. */
static bool passes_row(Reader *r, const SheetRow *row, const SheetCell *name)
{
    if (!names_no_card(r->in, row, name))
        return false;
    if (r->passed++ == 0)
        r->first_passed = *name;
    return true;
}

/* ---- one name a line ---- */

/* "3 Sisters", without an x. */
static bool begins_with_bare_number(const char *line)
{
    const size_t digits = strspn(line, "0123456789"), blanks = strspn(line + digits, " ");
    const char *behind = line + digits + blanks;
    return digits > 0 && blanks > 0 && behind[0] != 'x' && behind[0] != 'X' && strncmp(behind, "\xC3\x97", 2) != 0;
}

/* "3 x Barrow", "- Barrow", "Barrow x3". "3 Sisters" is a name where there is no candidate "Sisters". */
static const char *name_and_copies(const Reader *r, const char *line, int *copies)
{
    size_t length;
    const char *start = name_with_count(line, &length, copies);
    const char *name = arena_strndup(r->pool->arena, start, length);
    if (card_find(r->in->cards, name) >= 0 || !begins_with_bare_number(line))
        return name;
    *copies = 1;
    return line;
}

static void read_lines(Reader *r, const Sheet *lines, size_t above)
{
    for (size_t i = above; i < lines->rows; i++) {
        const SheetRow *row = &lines->row[i];
        const char *line = row->cell[0].text;
        int copies = 1;
        if (passes_row(r, row, &row->cell[0]))
            continue;
        const char *name = card_find(r->in->cards, line) >= 0 ? line : name_and_copies(r, line, &copies);
        add_card(r, name, copies, row->line);
    }
}

/* ---- a sheet ---- */

/* A name in a sheet; what it says of copies counts where no column does. */
static void add_listed(Reader *r, const char *text, bool uncounted, int copies, int line)
{
    int said = 1;
    const bool plain = card_find(r->in->cards, text) >= 0;
    const char *name = plain ? text : name_and_copies(r, text, &said);
    add_card(r, name, uncounted ? said : copies, line);
}

/* A header that is almost one of copies. */
static void tell_slips(const Reader *r, const Sheet *sheet, int name)
{
    static const char *const word[] = {"chosen", "copies"};
    bool *read = mem_new(sheet->header.cells, sizeof *read);
    read[name] = true;
    for (size_t i = 0; i < r->in->model->maps; i++) {
        const int column = sheet_column(sheet, r->in->model->map_header[i]);
        if (column >= 0)
            read[column] = true;
    }
    headers_tell_slips(sheet, read, word, sizeof word / sizeof *word, false, r->diags);
    mem_free(read);
}

static void read_sheet(Reader *r, const Sheet *sheet, int name)
{
    int count = side_column(sheet, r->in->model, "chosen");
    side_tell(sheet, r->in->model, count, "chosen", r->diags);
    if (count < 0) {
        count = side_column(sheet, r->in->model, "copies");
        side_tell(sheet, r->in->model, count, "copies", r->diags);
    }
    if (count < 0)
        tell_slips(r, sheet, name);
    for (size_t i = 0; i < sheet->rows; i++) {
        const SheetRow *row = &sheet->row[i];
        int copies = 1;
        if (passes_row(r, row, &row->cell[name]))
            continue;
        if (count >= 0 && row->cell[count].text[0] == '\0')
            continue; /* as in the scenario's pool */
        if (count >= 0 && !sheet_copies(sheet, row->cell[count].text, &copies)) {
            char excerpt[TEXT_EXCERPT];
            diag_error(r->diags, sheet_pos(sheet, &row->cell[count]),
                       "found '%s', expected a whole number of copies, 0 to 1000",
                       text_excerpt(excerpt, row->cell[count].text));
            continue;
        }
        if (copies == 0)
            continue;
        if (row->cell[name].text[0] == '\0')
            diag_error(r->diags, sheet_pos(sheet, &row->cell[name]),
                       "found a line without a name, expected a card's name");
        else
            add_listed(r, row->cell[name].text, count < 0, copies, row->line);
    }
}

/* Names stand under `name`, as the model calls it, or under a word for names in one of the languages of headers. */
static int name_column(const Reader *r, const Sheet *sheet)
{
    int column = mapped_column(sheet, r->in->model, "name");
    for (size_t c = 0; c < sheet->header.cells && column < 0; c++)
        column = header_is(sheet->header.cell[c].text, HOLDS_NAME) ? (int)c : -1;
    return column;
}

/* A cell as it stands in a line of text, without its blanks and quotation marks. */
static const char *bare_cell(Arena *arena, const char *cell)
{
    size_t length = strlen(cell);
    const char *start = text_trim(cell, &length);
    const bool quoted = length >= 2 && start[0] == '"' && start[length - 1] == '"';
    return quoted ? arena_strndup(arena, start + 1, length - 2) : arena_strndup(arena, start, length);
}

static bool is_called_name(const Model *model, const char *header)
{
    bool called = text_folds_to(header, "name");
    for (size_t i = 0; i < model->maps && !called; i++)
        called = strcmp(model->map_field[i], "name") == 0 && text_find(header, &model->map_header[i], 1) >= 0;
    return called;
}

/* Does the first line with text, as a sheet's header, have the column `name`? Reports nothing. */
static bool has_name_column(const Reader *r, const Decoded *text)
{
    const char *line = text->bytes + titles_end(text->bytes, text->length, text->start);
    while (*line == '\r' || *line == '\n' || *line == ' ')
        line++;
    if (strncmp(line, "sep=", 4) == 0)
        return true;
    size_t length = strcspn(line, "\r\n");
    Arena *arena = arena_new();
    char *header = arena_strndup(arena, line, length);
    const bool a_card = card_find(r->in->cards, header) >= 0;
    bool found = false;
    for (char *cell = header; cell != NULL && !found;) {
        char *end = strpbrk(cell, ",;\t");
        if (end != NULL)
            *end++ = '\0';
        const char *bare = bare_cell(arena, cell);
        found = is_called_name(r->in->model, bare) ||
                (!a_card && header_is(bare, HOLDS_NAME) && card_find(r->in->cards, bare) < 0);
        cell = end;
    }
    arena_free(arena);
    return found;
}

/* The columns of a pool that a sheet of a workbook has; it must have names. */
static int pool_columns(const Sheet *sheet, const void *context)
{
    const Reader *r = context;
    if (name_column(r, sheet) < 0)
        return -1;
    if (is_read_elsewhere(r->in, MATCHED_POOL, sheet->path) && mapped_column(sheet, r->in->model, "chosen") < 0)
        return -1;
    return (mapped_column(sheet, r->in->model, "name") >= 0) + (mapped_column(sheet, r->in->model, "chosen") >= 0);
}

static bool is_called_pool(const char *name, const void *context)
{
    (void)context;
    return is_called_as(MATCHED_POOL, name);
}

static void read_as_sheet(Reader *r, const char *path)
{
    Sheet sheet;
    const SheetUse use = {.what = "cards of the pool", .fits = pool_columns, .called = is_called_pool, .context = r};
    if (!sheet_read_for(r->pool->arena, r->in->scenario->files, path, (SourcePos){0}, &use, &sheet, r->diags))
        return;
    const int name = name_column(r, &sheet);
    r->pool->path = sheet.path;
    if (name >= 0) {
        sheet_take_habits(&sheet, (size_t)name, &r->in->model->habits);
        read_sheet(r, &sheet, name);
    } else
        diag_error(r->diags, sheet_line_pos(&sheet, sheet.header.line),
                   "found no column 'name', expected one with the names of the cards");
}

static void read_file(Reader *r, const char *path)
{
    Decoded text;
    size_t length;
    const char *file = sheet_file(r->pool->arena, path, NULL);
    const char *bytes =
        file_store_read(r->in->scenario->files, r->pool->arena, file, (SourcePos){0}, &length, r->diags);
    if (bytes == NULL)
        return;
    if (workbook_is(bytes, length))
        read_as_sheet(r, path);
    else if (sheet_decode(r->pool->arena, r->pool->path, bytes, length, &text, r->diags)) {
        Sheet lines = {.path = r->pool->path};
        size_t above = 0;
        sheet_split_lines(r->pool->arena, &text, &lines);
        const bool named = has_name_column(r, &text);
        if (named && !(lines_are_names(r->in, &lines, &above) && above > 0))
            read_as_sheet(r, path);
        else
            read_lines(r, &lines, named ? above : 0);
    }
}

bool pool_file_read(const Instance *instance, const char *path, PoolFile *pool, Diags *diags)
{
    const size_t errors = diags->errors;
    *pool = (PoolFile){.arena = arena_new(), .copies = mem_new(instance->cards->count, sizeof *pool->copies)};
    pool->path = arena_strdup(pool->arena, strcmp(path, "-") == 0 ? "standard input" : path);
    Reader r = {.in = instance, .pool = pool, .diags = diags};
    if (strcmp(path, "-") == 0)
        diag_error(diags, (SourcePos){0}, "found '-', expected the path of a file with the pool");
    else
        read_file(&r, path);
    passed_tell(&r.first_passed, r.passed,
                (SourcePos){.file = pool->path, .line = r.first_passed.line, .column = r.first_passed.column}, diags);
    for (size_t c = 0; c < instance->cards->count; c++)
        pool->listed += pool->copies[c];
    if (diags->errors == errors && pool->listed == 0)
        diag_error(diags, (SourcePos){.file = pool->path, .line = 1, .column = 1},
                   "found no candidate in the list, expected names of the scenario's cards");
    if (diags->errors == errors)
        return true;
    pool_file_release(pool);
    return false;
}

void pool_file_present(const Instance *instance, PoolFile *pool)
{
    *pool = (PoolFile){.arena = arena_new(), .copies = mem_new(instance->cards->count, sizeof *pool->copies)};
    pool->path = instance->scenario->pool.path != NULL ? arena_strdup(pool->arena, instance->scenario->pool.path)
                                                       : "the present pool";
    for (size_t c = 0; c < instance->cards->count; c++)
        pool->listed += pool->copies[c] = instance->present[c];
    pool->unknown = mem_new(instance->gones, sizeof *pool->unknown);
    for (size_t k = 0; k < instance->gones; k++)
        pool->unknown[pool->unknowns++] =
            (UnknownCard){instance->gone[k].name, instance->gone[k].at.line, instance->gone[k].copies,
                          nearest_for(instance, pool, instance->gone[k].name)};
}

void pool_file_release(PoolFile *pool)
{
    mem_free(pool->copies);
    mem_free(pool->unknown);
    arena_free(pool->arena);
    *pool = (PoolFile){0};
}
