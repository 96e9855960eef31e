/* file.c - see file.h. */
#include "base/files/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"

/* The system's words for an error, in our spelling: lower case. */
char *file_reason(int error)
{
    char *copy = mem_strdup(strerror(error)); /* safe among threads in glibc since 2.32, in musl */
    if (copy[0] >= 'A' && copy[0] <= 'Z')
        copy[0] = (char)(copy[0] - 'A' + 'a');
    return copy;
}

char *path_from(const char *base, const char *path)
{
    const char *slash = base == NULL || path[0] == '/' ? NULL : strrchr(base, '/');
    Text text = {0};
    if (slash != NULL)
        text_add_n(&text, base, (size_t)(slash - base) + 1);
    text_add(&text, path);
    return text.data;
}

char *file_beside(Arena *arena, const char *base, const char *path)
{
    if (strcmp(path, "-") == 0)
        return arena_strdup(arena, path);
    char *joined = path_from(base, path);
    char *copy = arena_strdup(arena, joined);
    mem_free(joined);
    return copy;
}

const char *path_last(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

bool file_exists(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0;
}

bool file_is_same(const char *a, const char *b)
{
    struct stat first, second;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}

/* ---- reading ---- */

char *file_nearest(const char *path, bool *folder_there)
{
    const char *name = path_last(path);
    Text found = {0};
    text_add_n(&found, path, (size_t)(name - path));
    struct dirent **entry = NULL;
    int count = scandir(found.length == 0 ? "." : text_cstr(&found), &entry, NULL, alphasort);
    *folder_there = count >= 0;
    const char **names = mem_new(count > 0 ? (size_t)count : 0, sizeof *names);
    size_t kept = 0;
    for (int i = 0; i < count; i++)
        if (entry[i]->d_name[0] != '.' &&
            text_utf8_error(entry[i]->d_name, strlen(entry[i]->d_name)) == strlen(entry[i]->d_name))
            names[kept++] = entry[i]->d_name;
    bool readable = text_utf8_error(name, strlen(name)) == strlen(name);
    const char *nearest = readable ? text_nearest(name, names, kept) : NULL;
    if (nearest != NULL)
        text_add(&found, nearest);
    char *copy = nearest != NULL ? mem_strdup(text_cstr(&found)) : NULL;
    for (int i = 0; i < count; i++)
        free(entry[i]); /* the C library's own allocation */
    free(entry);
    mem_free(names);
    text_release(&found);
    return copy;
}

/* Where a file is named that lies here and not beside the file that names it: how it is written there; else NULL. */
static char *written_from(const char *path, SourcePos from)
{
    const char *last = path_last(path);
    if (from.file == NULL || from.file[0] == '/' || strstr(from.file, "..") != NULL || !file_exists(last))
        return NULL;
    Text written = {0};
    for (const char *at = from.file; (at = strchr(at, '/')) != NULL; at++)
        text_add(&written, "../");
    text_add(&written, last);
    char *copy = strchr(from.file, '/') != NULL ? mem_strdup(text_cstr(&written)) : NULL;
    text_release(&written);
    return copy;
}

static void report_missing(const char *path, SourcePos from, Diags *diags)
{
    bool folder_there;
    char *nearest = file_nearest(path, &folder_there), *here = written_from(path, from);
    if (here != NULL)
        diag_error(diags, from,
                   "cannot read '%s': no such file; did you mean '%s'? Paths count from the file that names them", path,
                   here);
    else if (nearest != NULL)
        diag_error(diags, from, "cannot read '%s': no such file; did you mean '%s'?", path, nearest);
    else if (!folder_there)
        diag_error(diags, from, "cannot read '%s': no such folder", path);
    else
        diag_error(diags, from, "cannot read '%s': no such file", path);
    mem_free(nearest);
    mem_free(here);
}

void file_report_unreadable(const char *path, SourcePos from, int error, Diags *diags)
{
    if (error == ENOENT) {
        report_missing(path, from, diags);
        return;
    }
    char *words = file_reason(error);
    diag_error(diags, from, "cannot read '%s': %s", path, words);
    mem_free(words);
}

/* Appends all of the descriptor to text. 0, an errno, or -1 when there is too much. */
static int read_all(int descriptor, Text *text)
{
    struct stat info;
    size_t room = (size_t)64 << 10;
    if (fstat(descriptor, &info) == 0 && S_ISREG(info.st_mode) && info.st_size > 0)
        room = (size_t)info.st_size + 1;
    if (room > FILE_MAX_BYTES + 1)
        return -1;
    for (;;) {
        mem_reserve((void **)&text->data, &text->capacity, text->length + room + 1, 1);
        ssize_t got = read(descriptor, text->data + text->length, text->capacity - text->length - 1);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return errno;
        text->length += (size_t)got;
        text->data[text->length] = '\0';
        if (text->length > FILE_MAX_BYTES)
            return -1;
        if (got == 0)
            return 0;
        room = (size_t)64 << 10;
    }
}

static int open_for_reading(const char *path)
{
    if (strcmp(path, "-") == 0)
        return STDIN_FILENO;
    int descriptor;
    do
        descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    while (descriptor < 0 && errno == EINTR);
    return descriptor;
}

/* Spreadsheet programs write "Unicode text" as UTF-16 with a byte order mark (The Unicode Standard, 2.6): it becomes
 * UTF-8 with one. False when reported. */
static bool decode(const char *path, Text *text, Diags *diags)
{
    static const char mark[] = "\xEF\xBB\xBF";
    const char *bytes = text_cstr(text);
    const bool big = text->length >= 2 && memcmp(bytes, "\xFE\xFF", 2) == 0;
    if (!big && (text->length < 2 || memcmp(bytes, "\xFF\xFE", 2) != 0))
        return true;
    Text decoded = {0};
    text_add(&decoded, mark);
    const bool sound = text_from_utf16(bytes + 2, text->length - 2, big, &decoded);
    if (!sound)
        diag_error(diags, source_place(path, decoded.data + 3, decoded.length - 3),
                   "found half a character, expected UTF-16 as the file's first bytes say: it is damaged");
    text_release(text);
    *text = decoded;
    return sound;
}

char *file_read(Arena *arena, const char *path, SourcePos from, size_t *length, Diags *diags)
{
    if (path[0] == '\0') {
        diag_error(diags, from, "found an empty file name, expected the path of a file");
        return NULL;
    }
    int descriptor = open_for_reading(path);
    if (descriptor < 0) {
        file_report_unreadable(path, from, errno, diags);
        return NULL;
    }
    struct stat info;
    Text text = {0};
    char *copy = NULL;
    bool folder = fstat(descriptor, &info) == 0 && S_ISDIR(info.st_mode);
    int error = folder ? EISDIR : read_all(descriptor, &text);
    if (folder)
        diag_error(diags, from, "cannot read '%s': it is a folder, expected a file", path);
    else if (error < 0)
        diag_error(diags, from, "cannot read '%s': it is larger than %zu MB", path, FILE_MAX_BYTES >> 20);
    else if (error > 0)
        file_report_unreadable(path, from, error, diags);
    else if (decode(strcmp(path, "-") == 0 ? "standard input" : path, &text, diags)) {
        *length = text.length;
        copy = arena_strndup(arena, text_cstr(&text), text.length);
    }
    text_release(&text);
    if (descriptor != STDIN_FILENO)
        close(descriptor);
    return copy;
}
