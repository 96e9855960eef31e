/* paths.h - paths as a user would write them. */
#ifndef POOLWRIGHT_MODEL_PATHS_H
#define POOLWRIGHT_MODEL_PATHS_H

#include "base/memory.h"

/* path relative to the folder of `base` (NULL: the working folder), with "folder/.." taken out where that leads to the
 * same file. In the arena. */
const char *path_beside(Arena *arena, const char *base, const char *path);

/* The file's path as seen from the folder, which need not be there yet: "../list.csv"; absolute where they have nothing
 * in common. Both are as seen from the working folder. In the arena. */
const char *path_between(Arena *arena, const char *folder, const char *file);

#endif
