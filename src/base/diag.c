/* diag.c - the list of a run's errors and notices. */
#include "base/diag.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
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

static char *format_text(const char *format, va_list list)
{
    va_list again;
    va_copy(again, list);
    int length = vsnprintf(NULL, 0, format, list);
    if (length < 0)
        mem_exhausted();
    char *text = mem_new((size_t)length + 1, 1);
    vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}

static void add(Diags *diags, DiagKind kind, SourcePos at, const char *format, va_list list)
{
    mem_reserve((void **)&diags->item, &diags->capacity, diags->count + 1, sizeof *diags->item);
    at.file = at.file == NULL ? NULL : mem_strdup(at.file);
    diags->item[diags->count] = (Diag){.kind = kind, .at = at, .text = format_text(format, list)};
    diags->count++;
}

void diag_error(Diags *diags, SourcePos at, const char *format, ...)
{
    diags->errors++;
    if (diags_full(diags, at.file)) {
        diags->suppressed++;
        return;
    }
    va_list list;
    va_start(list, format);
    add(diags, DIAG_ERROR, at, format, list);
    va_end(list);
}

void diag_notice(Diags *diags, SourcePos at, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    add(diags, DIAG_NOTICE, at, format, list);
    va_end(list);
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
    if (diags->count > 1)
        qsort(ranked, diags->count, sizeof *ranked, compare_ranked);
    for (size_t i = 0; i < diags->count; i++)
        diags->item[i] = ranked[i].diag;
    mem_free(ranked);
}

char *diags_text(const Diags *diags)
{
    Text text = {0};
    for (size_t i = 0; i < diags->count; i++) {
        const Diag *diag = &diags->item[i];
        if (diag->at.file != NULL)
            text_add(&text, diag->at.file);
        if (diag->at.file != NULL && diag->at.line > 0)
            text_printf(&text, ":%d", diag->at.line);
        if (diag->at.file != NULL && diag->at.line > 0 && diag->at.column > 0)
            text_printf(&text, ":%d", diag->at.column);
        text_add(&text, diag->at.file != NULL ? ": " : "");
        text_add(&text, diag->kind == DIAG_ERROR ? "error: " : "notice: ");
        text_add(&text, diag->text);
        text_add_char(&text, '\n');
    }
    if (diags->suppressed > 0)
        text_printf(&text, "and %zu more %s that %s not shown\n", diags->suppressed,
                    diags->suppressed == 1 ? "error" : "errors", diags->suppressed == 1 ? "is" : "are");
    char *result = mem_strdup(text_cstr(&text));
    text_release(&text);
    return result;
}
