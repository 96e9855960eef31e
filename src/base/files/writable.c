/* writable.c - see writable.h. */
#include "base/files/writable.h"

#include <errno.h>
#include <limits.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/files/file.h"

#define LINKS_MAX 40

bool target_unwritten(const char *path, int error, Diags *diags)
{
    char *words = file_reason(error);
    if (strcmp(path, "-") == 0)
        diag_error(diags, (SourcePos){0}, "cannot write to standard output: %s", words);
    else if (error == ENOENT) {
        char *folder = folder_of(path);
        diag_error(diags, (SourcePos){0}, "cannot write '%s': there is no folder '%s'", path, folder);
        mem_free(folder);
    } else if (error == EISDIR)
        diag_error(diags, (SourcePos){0}, "cannot write '%s': it is a folder, expected the name of a file", path);
    else
        diag_error(diags, (SourcePos){0}, "cannot write '%s': %s", path, words);
    mem_free(words);
    return false;
}

char *target_of(const char *path)
{
    char *current = mem_strdup(path);
    for (int links = 0; links < LINKS_MAX; links++) {
        struct stat info;
        if (lstat(current, &info) != 0 || !S_ISLNK(info.st_mode))
            return current;
        char goal[PATH_MAX];
        ssize_t length = readlink(current, goal, sizeof goal - 1);
        if (length < 0)
            break;
        goal[length] = '\0';
        char *next = path_from(current, goal);
        mem_free(current);
        current = next;
    }
    mem_free(current);
    errno = ELOOP;
    return NULL;
}

bool target_is_in_place(const char *path)
{
    if (strcmp(path, "-") == 0 || strncmp(path, "/dev/std", 8) == 0 || strncmp(path, "/dev/fd/", 8) == 0 ||
        strncmp(path, "/proc/", 6) == 0)
        return true;
    struct stat info;
    return stat(path, &info) == 0 && !S_ISREG(info.st_mode) && !S_ISDIR(info.st_mode);
}

bool file_may_write(const char *path, Diags *diags)
{
    struct stat info;
    if (target_is_in_place(path))
        return true;
    if (stat(path, &info) == 0) {
        if (S_ISDIR(info.st_mode))
            return target_unwritten(path, EISDIR, diags);
        if (access(path, W_OK) != 0)
            return target_unwritten(path, errno, diags);
    }
    char *folder = path_from(path, "."); /* a new file is made there even where an old one is replaced */
    const bool good = access(folder, W_OK | X_OK) == 0;
    const int error = errno;
    mem_free(folder);
    return good || target_unwritten(path, error, diags);
}

/* Without the slashes that a folder's name may end with. */
static char *bare(const char *path)
{
    size_t length = strlen(path);
    while (length > 1 && path[length - 1] == '/')
        length--;
    return mem_strndup(path, length);
}

bool folder_may_hold(const char *path, Diags *diags)
{
    struct stat info;
    char *folder = bare(path);
    bool good;
    if (stat(folder, &info) != 0)
        good = file_may_write(folder, diags);
    else if (!S_ISDIR(info.st_mode))
        good = target_unwritten(path, ENOTDIR, diags);
    else
        good = access(folder, W_OK | X_OK) == 0 || target_unwritten(path, errno, diags);
    mem_free(folder);
    return good;
}

char *folder_of(const char *path)
{
    char *folder = bare(path), *slash = strrchr(folder, '/');
    if (slash == folder && folder[0] == '/')
        folder[1] = '\0';
    else if (slash != NULL)
        *slash = '\0';
    else {
        mem_free(folder);
        return mem_strdup(".");
    }
    return folder;
}

/* Neither is there: one name in one folder. */
static bool would_be_same(const char *a, const char *b)
{
    char *first = folder_of(a), *second = folder_of(b);
    const bool same =
        strcmp(path_last(a), path_last(b)) == 0 && (strcmp(first, second) == 0 || file_is_same(first, second));
    mem_free(first);
    mem_free(second);
    return same;
}

bool file_names_same(const char *a, const char *b)
{
    char *one = bare(a), *other = bare(b), *first = target_of(one), *second = target_of(other);
    const bool same =
        first != NULL && second != NULL &&
        (file_is_same(first, second) || (!file_exists(first) && !file_exists(second) && would_be_same(first, second)));
    mem_free(one);
    mem_free(other);
    mem_free(first);
    mem_free(second);
    return same;
}
