/* file_draft.h - output files that are whole or absent, and several of them together or none. */
#ifndef POOLWRIGHT_BASE_FILES_FILE_DRAFT_H
#define POOLWRIGHT_BASE_FILES_FILE_DRAFT_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

#include "base/diag.h"

/* The files that a run is writing. One for each run; all zero is empty. It may not move while there are any. */
typedef struct FileDraft FileDraft;
typedef struct {
    _Atomic(FileDraft *) newest; /* what a signal handler sees at any moment */
    unsigned long made;          /* of all drafts so far: their names differ by it */
    bool failed;                 /* one could not be added */
    dev_t swept_device;          /* the folder that was looked through for what killed runs left */
    ino_t swept_folder;
} FileDrafts;

/* Writes beside `path` ("-": standard output; that, devices and pipes are written at commit). Follows a symbolic link
 * to its target. False with an error in diags; then drafts_commit writes none of the others. Left-overs of killed runs
 * in that folder are removed. */
bool drafts_add(FileDrafts *drafts, const char *path, const char *bytes, size_t length, Diags *diags);
/* Renames each over its target; standard output is written last. Where one fails, the rest is discarded, with errors
 * in diags that name all that is not written. Afterwards there are none. */
bool drafts_commit(FileDrafts *drafts, Diags *diags);
/* Removes all of them. */
void drafts_discard(FileDrafts *drafts);
/* Unlinks what is on the disk and not committed; async-signal-safe. The run has to end then. */
void drafts_remove(FileDrafts *drafts);

/* One file alone, by a list of its own: for programs without signals. Nothing is left behind when it fails, and an
 * older file of that name is untouched. */
bool file_write(const char *path, const char *bytes, size_t length, Diags *diags);

#endif
