/* diag.h - errors and notices that point at the user's file.
 *
 * All problems of a run are collected in one Diags and shown together. Wording: lower case, no full stop, what was
 * found, what was expected, the nearest known word. */
#ifndef POOLWRIGHT_BASE_DIAG_H
#define POOLWRIGHT_BASE_DIAG_H

#include <stdbool.h>
#include <stddef.h>

/* A place in a file. file is as the user named it (NULL: the command line); line and column count from 1, 0 = unknown.
 * Columns count characters, not bytes. The file string must outlive every use (keep it in an arena). */
typedef struct {
    const char *file;
    int line;
    int column;
    bool in_workbook; /* row and column of a cell: shown as "C12" */
} SourcePos;

/* The place of a byte of text (UTF-8, without a byte order mark), whose lines end in CRLF, LF or CR. */
SourcePos source_place(const char *file, const char *text, size_t offset);

#define CELL_NAME 20
/* "C12", "row 12" without a column: the cell of a workbook as its users call it. Returns buffer. */
const char *source_cell(char buffer[CELL_NAME], SourcePos at);

typedef enum { DIAG_ERROR, DIAG_NOTICE } DiagKind;

typedef struct {
    DiagKind kind;
    SourcePos at; /* file is a copy owned by the Diags */
    char *text;   /* one line, or several joined by newlines for lists of places */
    size_t more;  /* errors of the same file with the same text, at other places; at is the first of all in the file */
    int last;     /* line of the last of them all */
    bool remark;  /* a notice that asks nothing of anybody: how a file was read */
} Diag;

typedef struct {
    Diag *item;
    size_t count, capacity;
    size_t errors;         /* all errors, also those beyond the limit that are counted but not kept */
    size_t per_file_limit; /* how many errors of one file are kept (default 50) */
    size_t suppressed;
} Diags;

void diags_init(Diags *diags);
void diags_release(Diags *diags);
/* An error whose file and text are those of one that is there joins it: one unknown word in forty lines is one mistake,
 * at its first place. */
void diag_error(Diags *diags, SourcePos at, const char *format, ...) __attribute__((format(printf, 3, 4)));
/* The same notice at the same place is told once. */
void diag_notice(Diags *diags, SourcePos at, const char *format, ...) __attribute__((format(printf, 3, 4)));
/* A notice that says how a file was read, where that is right and stays so: told where sheets are looked at, not by
 * every run after that. */
void diag_remark(Diags *diags, SourcePos at, const char *format, ...) __attribute__((format(printf, 3, 4)));
/* The same problem as in another list, with words before an error's text ("": none). */
void diag_repeat(Diags *diags, const Diag *item, const char *before);
/* Further errors of this file are only counted: costly searches for a nearest word can be skipped. */
bool diags_full(const Diags *diags, const char *file);
/* Stable sort by file (in order of first appearance), line, column. */
void diags_sort(Diags *diags);
/* The items as text: "cards.csv:12:5: error: ..." a line each, with how many more there are of its kind, and how many
 * were not shown. Freed with mem_free. */
char *diags_text(const Diags *diags);
/* The same without remarks. */
char *diags_text_short(const Diags *diags);

#endif
