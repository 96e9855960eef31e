/* file.h - whole files in, and files that are whole or absent out. */
#ifndef POOLWRIGHT_BASE_FILE_H
#define POOLWRIGHT_BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "base/memory.h"

#define FILE_MAX_BYTES ((size_t)256 << 20)

/* Reads a whole file ("-": standard input) into a NUL-terminated buffer in the arena. On failure (missing, a folder,
 * unreadable, larger than FILE_MAX_BYTES) reports at `from` (who asked for it; may be all zero) and returns NULL. */
char *file_read(Arena *arena, const char *path, SourcePos from, size_t *length, Diags *diags);

/* Writes beside `path` and renames ("-": standard output). False with an error in diags when anything failed; then
 * nothing is left behind and an older file of that name is untouched. Follows a symbolic link to its target; a path
 * that is no regular file (a device, a pipe) is written in place. */
bool file_write(const char *path, const char *bytes, size_t length, Diags *diags);

/* Whether file_write could begin: the folder is there and may be written to, the path is no folder. False with the
 * error in diags; nothing is touched. */
bool file_may_write(const char *path, Diags *diags);

/* The same in two steps, for several outputs of which all or none should appear: prepare writes beside, commit renames,
 * discard removes. */
typedef struct FileDraft FileDraft;
FileDraft *file_draft(const char *path, const char *bytes, size_t length, Diags *diags); /* NULL on failure */
bool file_draft_commit(FileDraft *draft, Diags *diags); /* frees the draft in either case */
void file_draft_discard(FileDraft *draft);              /* NULL is allowed */

/* Removes files still being written; async-signal-safe. */
void file_remove_unfinished(void);

/* path taken relative to the folder of `base` (a file's path) unless it is absolute. In the arena. */
char *file_beside(Arena *arena, const char *base, const char *path);
bool file_exists(const char *path);
/* Do both paths lead to one file (or folder) that is there? */
bool file_is_same(const char *a, const char *b);
/* The path of what is there and is called almost so, or NULL. *folder_there: its folder can be looked into. Freed with
 * mem_free. */
char *file_nearest(const char *path, bool *folder_there);
/* The system's words for an errno, in lower case. Freed with mem_free. */
char *file_reason(int error);

#endif
