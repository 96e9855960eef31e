/* writable.h - where a path to write leads, asked before anything is written. */
#ifndef POOLWRIGHT_BASE_FILES_WRITABLE_H
#define POOLWRIGHT_BASE_FILES_WRITABLE_H

#include <stdbool.h>

#include "base/diag.h"

/* Whether a file could be written there: its folder is there and may be written to, the path is no folder. False with
 * the error in diags; nothing is touched. */
bool file_may_write(const char *path, Diags *diags);
/* The same of files in this folder, which is made if it is not there. */
bool folder_may_hold(const char *path, Diags *diags);
/* Would both paths lead to one file (or folder), be it there or not? */
bool file_names_same(const char *a, const char *b);
/* The folder that the file is or would be in: "." without one. Freed with mem_free. */
char *folder_of(const char *path);

/* The path with symbolic links of its last part followed, also to a file that is not there yet. Freed with mem_free;
 * NULL with errno set. */
char *target_of(const char *path);
/* "-", devices, pipes and the system's views of open descriptors are written in place. */
bool target_is_in_place(const char *path);
/* An error for an errno; false. */
bool target_unwritten(const char *path, int error, Diags *diags);

#endif
