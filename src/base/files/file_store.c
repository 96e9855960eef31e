/* file_store.c - see file_store.h. A run names a few dozen files, so they are looked for one by one. */
#include "base/files/file_store.h"

#include <string.h>

typedef struct {
    const char *path, *bytes;
    size_t length;
} StoredFile;

struct FileStore {
    Arena *arena;
    StoredFile *file;
    size_t files, capacity;
};

FileStore *file_store_new(void)
{
    FileStore *store = mem_new(1, sizeof *store);
    store->arena = arena_new();
    return store;
}

void file_store_free(FileStore *store)
{
    if (store == NULL)
        return;
    mem_free(store->file);
    arena_free(store->arena);
    mem_free(store);
}

const char *file_store_find(const FileStore *store, const char *path, size_t *length)
{
    for (size_t k = 0; k < store->files; k++)
        if (strcmp(store->file[k].path, path) == 0) {
            *length = store->file[k].length;
            return store->file[k].bytes;
        }
    return NULL;
}

const char *file_store_read(FileStore *store, Arena *arena, const char *path, SourcePos from, size_t *length,
                            Diags *diags)
{
    if (store == NULL)
        return file_read(arena, path, from, length, diags);
    const char *known = file_store_find(store, path, length);
    if (known != NULL)
        return known;
    const char *bytes = file_read(store->arena, path, from, length, diags);
    if (bytes == NULL)
        return NULL;
    mem_reserve((void **)&store->file, &store->capacity, store->files + 1, sizeof *store->file);
    store->file[store->files++] =
        (StoredFile){.path = arena_strdup(store->arena, path), .bytes = bytes, .length = *length};
    return bytes;
}
