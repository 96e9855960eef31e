/* paths.c - "scenarios/demo/../../models/a.yaml" is "models/a.yaml", unless a folder on the way is a link to elsewhere. */
#include "model/paths.h"

#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>

#include "base/file.h"

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

static bool is_same_file(const char *a, const char *b)
{
    struct stat first, second;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev && first.st_ino == second.st_ino;
}

const char *path_beside(Arena *arena, const char *base, const char *path)
{
    const char *plain = file_beside(arena, base, path);
    char *short_form = arena_strdup(arena, plain);
    collapse(short_form);
    return is_same_file(plain, short_form) ? short_form : plain;
}
