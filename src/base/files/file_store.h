/* file_store.h - the files of a run, each read once: a scenario's sheets and models are asked for by every case, by
 * what is compared, by every question put to it, and all of them must see the same.
 *
 * What a run reads goes through the one store of its Job, its Ask, its test. A file is known by its path as it is
 * named, standard input as "-". What could not be read is not remembered, so that everybody who asks hears of it. What
 * is remembered stays as it was, whatever becomes of the file. For one thread at a time. */
#ifndef POOLWRIGHT_BASE_FILES_FILE_STORE_H
#define POOLWRIGHT_BASE_FILES_FILE_STORE_H

#include "base/files/file.h"

typedef struct FileStore FileStore;

FileStore *file_store_new(void);
void file_store_free(FileStore *store); /* NULL is allowed */

/* As file_read, but reads only what the store does not hold yet. The bytes are the store's and live as long as it does;
 * they end with a NUL that is not counted. store NULL: nothing is remembered, the bytes are the arena's. */
const char *file_store_read(FileStore *store, Arena *arena, const char *path, SourcePos from, size_t *length,
                            Diags *diags);
/* What was read by this path; NULL: nothing. */
const char *file_store_find(const FileStore *store, const char *path, size_t *length);

#endif
