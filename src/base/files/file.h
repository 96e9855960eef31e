/* file.h - whole files in, and what paths lead to. file_draft.h writes. */
#ifndef POOLWRIGHT_BASE_FILES_FILE_H
#define POOLWRIGHT_BASE_FILES_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "base/memory.h"

#define FILE_MAX_BYTES ((size_t)256 << 20)

/* Reads a whole file ("-": standard input) into a NUL-terminated buffer in the arena. UTF-16 text with a byte order
 * mark becomes UTF-8 with one; all else stays as it is. On failure (missing, a folder, unreadable, larger than
 * FILE_MAX_BYTES: reported at `from`, who asked for it, which may be all zero; UTF-16 that is none) returns NULL. */
char *file_read(Arena *arena, const char *path, SourcePos from, size_t *length, Diags *diags);
/* Says at `from` why the file cannot be read: error is an errno; where it is not there, with the nearest name. */
void file_report_unreadable(const char *path, SourcePos from, int error, Diags *diags);

/* `path` taken relative to the folder of `base` (a file's path) unless it is absolute. In the arena. */
char *file_beside(Arena *arena, const char *base, const char *path);
/* The same freed with mem_free, also for "-"; base NULL: the path itself. */
char *path_from(const char *base, const char *path);
/* What stands behind the last slash. */
const char *path_last(const char *path);
bool file_exists(const char *path);
/* Do both paths lead to one file (or folder) that is there? */
bool file_is_same(const char *a, const char *b);
/* The path of what is there and is called almost so, or NULL. *folder_there: its folder can be looked into. Freed with
 * mem_free. */
char *file_nearest(const char *path, bool *folder_there);
/* The system's words for an errno, in lower case. Freed with mem_free. */
char *file_reason(int error);

#endif
