/* diag.c - the list of a run's errors and notices. */
#include "base/diag.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "base/text.h"

#define DEFAULT_PER_FILE_LIMIT 50

void diags_init(Diags *diags)
{
    *diags = (Diags){.per_file_limit = DEFAULT_PER_FILE_LIMIT};
}

void diags_release(Diags *diags)
{
    for (size_t i = 0; i < diags->count; i++) {
        mem_free((char *)diags->item[i].at.file);
        mem_free(diags->item[i].text);
    }
    mem_free(diags->item);
    diags_init(diags);
}

SourcePos source_place(const char *file, const char *text, size_t offset)
{
    SourcePos at = {.file = file, .line = 1};
    size_t start = 0;
    for (size_t i = 0; i < offset; i++)
        if (text[i] == '\n' || text[i] == '\r') {
            at.line += text[i] == '\r' || i == 0 || text[i - 1] != '\r';
            start = i + 1;
        }
    at.column = (int)text_characters(text + start, offset - start) + 1;
    return at;
}

static bool same_file(const char *a, const char *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    return strcmp(a, b) == 0;
}

bool diags_full(const Diags *diags, const char *file)
{
    size_t errors = 0;
    for (size_t i = 0; i < diags->count; i++)
        if (diags->item[i].kind == DIAG_ERROR && same_file(diags->item[i].at.file, file))
            errors++;
    return errors >= diags->per_file_limit;
}

/* To be freed. */
static char *format_text(const char *format, va_list list)
{
    Text text = {0};
    text_vprintf(&text, format, list);
    return text.data;
}

static bool before_in_file(SourcePos a, SourcePos b)
{
    return a.line != b.line ? a.line < b.line : a.column < b.column;
}

/* The error joins the one with its text, which stays at the first place of both. */
static void join(Diag *there, const Diag *item)
{
    const bool same_place = there->at.line == item->at.line && there->at.column == item->at.column;
    there->more += item->more + (same_place ? 0 : 1);
    there->last = item->last > there->last ? item->last : there->last;
    if (before_in_file(item->at, there->at)) {
        there->at.line = item->at.line;
        there->at.column = item->at.column;
    }
}

static Diag *find_alike(const Diags *diags, const Diag *item)
{
    for (size_t i = 0; i < diags->count; i++)
        if (diags->item[i].kind == DIAG_ERROR && same_file(diags->item[i].at.file, item->at.file) &&
            strcmp(diags->item[i].text, item->text) == 0)
            return &diags->item[i];
    return NULL;
}

/* The same notice at the same place: of a sheet that was read twice. */
static bool is_told(const Diags *diags, const Diag *item)
{
    for (size_t i = 0; i < diags->count; i++) {
        const Diag *other = &diags->item[i];
        if (other->kind == DIAG_NOTICE && other->at.line == item->at.line && other->at.column == item->at.column &&
            same_file(other->at.file, item->at.file) && strcmp(other->text, item->text) == 0)
            return true;
    }
    return false;
}

/* item->text is given up. */
static void add(Diags *diags, Diag item)
{
    if (item.kind == DIAG_ERROR) {
        diags->errors += 1 + item.more;
        Diag *alike = find_alike(diags, &item);
        if (alike != NULL)
            join(alike, &item);
        else if (diags_full(diags, item.at.file))
            diags->suppressed += 1 + item.more;
        if (alike != NULL || diags_full(diags, item.at.file)) {
            mem_free(item.text);
            return;
        }
    }
    if (item.kind == DIAG_NOTICE && is_told(diags, &item)) {
        mem_free(item.text);
        return;
    }
    mem_reserve((void **)&diags->item, &diags->capacity, diags->count + 1, sizeof *diags->item);
    item.at.file = item.at.file == NULL ? NULL : mem_strdup(item.at.file);
    diags->item[diags->count++] = item;
}

void diag_error(Diags *diags, SourcePos at, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    add(diags, (Diag){.kind = DIAG_ERROR, .at = at, .last = at.line, .text = format_text(format, list)});
    va_end(list);
}

void diag_notice(Diags *diags, SourcePos at, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    add(diags, (Diag){.kind = DIAG_NOTICE, .at = at, .last = at.line, .text = format_text(format, list)});
    va_end(list);
}

void diag_remark(Diags *diags, SourcePos at, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    add(diags,
        (Diag){.kind = DIAG_NOTICE, .at = at, .last = at.line, .text = format_text(format, list), .remark = true});
    va_end(list);
}

void diag_repeat(Diags *diags, const Diag *item, const char *before)
{
    Text text = {0};
    text_add(&text, item->kind == DIAG_ERROR ? before : "");
    text_add(&text, item->text);
    Diag copy = *item;
    copy.text = text.data;
    add(diags, copy);
}

typedef struct {
    Diag diag;
    size_t file, index;
} Ranked;

static int compare_ranked(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    if (x->file != y->file)
        return x->file < y->file ? -1 : 1;
    if (x->diag.at.line != y->diag.at.line)
        return x->diag.at.line < y->diag.at.line ? -1 : 1;
    if (x->diag.at.column != y->diag.at.column)
        return x->diag.at.column < y->diag.at.column ? -1 : 1;
    return x->index < y->index ? -1 : x->index > y->index;
}

void diags_sort(Diags *diags)
{
    Ranked *ranked = mem_new(diags->count, sizeof *ranked);
    for (size_t i = 0; i < diags->count; i++) {
        ranked[i] = (Ranked){.diag = diags->item[i], .file = i, .index = i};
        for (size_t j = 0; j < i; j++)
            if (same_file(ranked[j].diag.at.file, ranked[i].diag.at.file)) {
                ranked[i].file = ranked[j].file;
                break;
            }
    }
    sort_stable(ranked, diags->count, sizeof *ranked, compare_ranked);
    for (size_t i = 0; i < diags->count; i++)
        diags->item[i] = ranked[i].diag;
    mem_free(ranked);
}

static void add_more(Text *text, const Diag *diag)
{
    if (diag->more == 0)
        return;
    text_printf(text, " (and %zu more like it, %sin %s %d)", diag->more, diag->more > 1 ? "the last " : "",
                diag->at.in_workbook ? "row" : "line", diag->last);
}

const char *source_cell(char buffer[CELL_NAME], SourcePos at)
{
    char letters[8];
    size_t first = sizeof letters - 1;
    letters[first] = '\0';
    for (int column = at.column; column > 0 && first > 0; column = (column - 1) / 26)
        letters[--first] = (char)('A' + (column - 1) % 26);
    snprintf(buffer, CELL_NAME, "%s%d", at.column > 0 ? letters + first : "row ", at.line);
    return buffer;
}

/* The place as users read it: "cards.csv:12:5", of a workbook "list.xlsx#Candidates, C12". */
static void add_place(Text *text, SourcePos at)
{
    char cell[CELL_NAME];
    if (at.file == NULL)
        return;
    text_add(text, at.file);
    if (at.line > 0 && at.in_workbook)
        text_printf(text, ", %s", source_cell(cell, at));
    else if (at.line > 0)
        text_printf(text, at.column > 0 ? ":%d:%d" : ":%d", at.line, at.column);
}

static char *as_text(const Diags *diags, bool remarks)
{
    Text text = {0};
    for (size_t i = 0; i < diags->count; i++) {
        const Diag *diag = &diags->item[i];
        if (diag->remark && !remarks)
            continue;
        add_place(&text, diag->at);
        text_add(&text, diag->at.file != NULL ? ": " : "");
        text_add(&text, diag->kind == DIAG_ERROR ? "error: " : "notice: ");
        text_add(&text, diag->text);
        add_more(&text, diag);
        text_add_char(&text, '\n');
    }
    if (diags->suppressed > 0)
        text_printf(&text, "and %zu more %s that %s not shown\n", diags->suppressed,
                    diags->suppressed == 1 ? "error" : "errors", diags->suppressed == 1 ? "is" : "are");
    char *result = mem_strdup(text_cstr(&text));
    text_release(&text);
    return result;
}

char *diags_text(const Diags *diags)
{
    return as_text(diags, true);
}

char *diags_text_short(const Diags *diags)
{
    return as_text(diags, false);
}
