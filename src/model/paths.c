/* paths.c - "scenarios/demo/../../models/a.yaml" is "models/a.yaml", unless a folder on the way is a link to elsewhere.
 */
#include "model/paths.h"

#include <string.h>

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

const char *path_beside(Arena *arena, const char *base, const char *path)
{
    const char *plain = file_beside(arena, base, path);
    char *short_form = arena_strdup(arena, plain);
    collapse(short_form);
    return file_is_same(plain, short_form) ? short_form : plain;
}
