/* pool_file.h - an existing list of cards: a sheet with the column `name` (and `chosen` or `copies`), or one name a
 * line. */
#ifndef POOLWRIGHT_WHATIF_LIST_POOL_FILE_H
#define POOLWRIGHT_WHATIF_LIST_POOL_FILE_H

#include "model/instance/instance.h"

typedef struct {
    const char *name;
    int line;
    int copies;
    const char *nearest; /* of the candidates; NULL: none is near, or not looked for (of the first fifty it is) */
} UnknownCard;

typedef struct {
    Arena *arena;
    const char *path;
    int *copies; /* [cards] as listed, whatever the rules allow */
    int listed;  /* copies of candidates */
    UnknownCard *unknown;
    size_t unknowns;
} PoolFile;

/* Reads the file; a line of a plain list may begin with "3 x ". A card listed twice is counted twice. Names that are no
 * candidates are noted, not refused. False with errors in diags; then there is nothing to release. */
bool pool_file_read(const Instance *instance, const char *path, PoolFile *pool, Diags *diags);
/* The scenario's own present pool as the same. */
void pool_file_present(const Instance *instance, PoolFile *pool);
void pool_file_release(PoolFile *pool);

#endif
