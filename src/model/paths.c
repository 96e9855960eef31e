/* paths.c - "scenarios/demo/../../models/a.yaml" is "models/a.yaml", unless a folder on the way is a link to elsewhere.
 */
#include "model/paths.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/files/file.h"
#include "cards/sheet/sheet.h"

/* Takes every "folder/../" out of the text. */
static void collapse(char *text)
{
    char *up = text;
    while ((up = strstr(up, "/../")) != NULL) {
        char *start = up;
        while (start > text && start[-1] != '/')
            start--;
        size_t length = (size_t)(up - start);
        if (length == 0 || (length <= 2 && strncmp(start, "..", length) == 0)) {
            up++;
            continue;
        }
        memmove(start, up + 4, strlen(up + 4) + 1);
        up = text;
    }
}

/* Of what is not there the folder that it would be in. */
static const char *folder_of(Arena *arena, const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash == NULL ? "." : arena_strndup(arena, path, (size_t)(slash - path) + 1);
}

const char *path_beside(Arena *arena, const char *base, const char *path)
{
    const char *plain = file_beside(arena, base, path);
    char *short_form = arena_strdup(arena, plain);
    collapse(short_form);
    /* of "list.xlsx#Prices" the file */
    const char *from = sheet_file(arena, plain, NULL), *to = sheet_file(arena, short_form, NULL);
    const bool same =
        file_exists(from) ? file_is_same(from, to) : file_is_same(folder_of(arena, from), folder_of(arena, to));
    return same ? short_form : plain;
}

/* Absolute and without links, as far as the path leads to something; the rest as it is. */
static char *real_path(Arena *arena, const char *path)
{
    char *start = arena_strdup(arena, path), *rest = start + strlen(start);
    for (;;) {
        const char kept = *rest;
        *rest = '\0';
        char *real = realpath(start[0] == '\0' ? (path[0] == '/' ? "/" : ".") : start, NULL);
        *rest = kept;
        if (real != NULL) {
            const char *tail = rest + (*rest == '/');
            char *whole = tail[0] == '\0' ? arena_strdup(arena, real)
                                          : arena_printf(arena, "%s/%s", strcmp(real, "/") == 0 ? "" : real, tail);
            free(real);
            return whole;
        }
        if (rest == start)
            return start;
        do
            rest--;
        while (rest > start && *rest != '/');
    }
}

const char *path_between(Arena *arena, const char *folder, const char *file)
{
    const char *from = real_path(arena, folder), *to = real_path(arena, file);
    size_t common = 0; /* up to the last '/' that both have */
    for (size_t i = 0; from[i] == to[i] && to[i] != '\0'; i++)
        if (to[i] == '/')
            common = i;
    const size_t length = strlen(from);
    if (strncmp(from, to, length) == 0 && to[length] == '/')
        return to + length + 1;
    if (common == 0)
        return to;
    const char *path = to + common + 1;
    for (const char *c = from + common; *c != '\0'; c++)
        if (*c == '/' && c[1] != '\0')
            path = arena_printf(arena, "../%s", path);
    return path;
}
