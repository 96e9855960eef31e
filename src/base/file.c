/* file.c - whole files in, and files that are whole or absent out.
 *
 * An output is written to a file beside its target, flushed to the disk, and renamed over the target only when every
 * byte is known to be there; so an older file of that name stays until the new one is complete. The names of files
 * being written stand in a fixed table, since a signal handler may neither allocate nor lock. */
#include "base/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"

#define UNFINISHED_MAX 16
#define LINKS_MAX 40

/* State by need: what file_remove_unfinished must see at any moment. */
static char unfinished_path[UNFINISHED_MAX][PATH_MAX];
static atomic_int unfinished_state[UNFINISHED_MAX];
enum { SLOT_FREE, SLOT_TAKEN, SLOT_ON_DISK };

struct FileDraft {
    char *path;   /* as the user named it */
    char *target; /* links followed; NULL: written in place at commit */
    int slot;     /* of the file beside the target; -1: none */
    char *bytes;  /* only when written in place */
    size_t length;
};

/* The system's words for an error, in our spelling: lower case. */
char *file_reason(int error)
{
    char buffer[128];
    const char *words = strerror_r(error, buffer, sizeof buffer);
    char *copy = mem_strdup(words);
    if (copy[0] >= 'A' && copy[0] <= 'Z')
        copy[0] = (char)(copy[0] - 'A' + 'a');
    return copy;
}

static char *beside(const char *base, const char *path)
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
    char *joined = beside(base, path);
    char *copy = arena_strdup(arena, joined);
    mem_free(joined);
    return copy;
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
    const char *slash = strrchr(path, '/');
    const char *name = slash == NULL ? path : slash + 1;
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

static void report_missing(const char *path, SourcePos from, Diags *diags)
{
    bool folder_there;
    char *nearest = file_nearest(path, &folder_there);
    if (nearest != NULL)
        diag_error(diags, from, "cannot read '%s': no such file; did you mean '%s'?", path, nearest);
    else if (!folder_there)
        diag_error(diags, from, "cannot read '%s': no such folder", path);
    else
        diag_error(diags, from, "cannot read '%s': no such file", path);
    mem_free(nearest);
}

static void report_unreadable(const char *path, SourcePos from, int error, Diags *diags)
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

char *file_read(Arena *arena, const char *path, SourcePos from, size_t *length, Diags *diags)
{
    if (path[0] == '\0') {
        diag_error(diags, from, "found an empty file name, expected the path of a file");
        return NULL;
    }
    int descriptor = open_for_reading(path);
    if (descriptor < 0) {
        report_unreadable(path, from, errno, diags);
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
        report_unreadable(path, from, error, diags);
    else {
        *length = text.length;
        copy = arena_strndup(arena, text_cstr(&text), text.length);
    }
    text_release(&text);
    if (descriptor != STDIN_FILENO)
        close(descriptor);
    return copy;
}

/* ---- writing ---- */

void file_remove_unfinished(void)
{
    for (int i = 0; i < UNFINISHED_MAX; i++)
        if (atomic_load(&unfinished_state[i]) == SLOT_ON_DISK)
            unlink(unfinished_path[i]);
}

static bool report_unwritten(const char *path, int error, Diags *diags)
{
    char *words = file_reason(error);
    diag_error(diags, (SourcePos){0}, "cannot write '%s': %s", path, words);
    mem_free(words);
    return false;
}

/* 0 or an errno. */
static int write_all(int descriptor, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t written = write(descriptor, bytes, length);
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return errno;
        bytes += written;
        length -= (size_t)written;
    }
    return 0;
}

/* The path with symbolic links of its last part followed, also to a file that is not there yet. NULL with errno set. */
static char *follow_links(const char *path)
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
        char *next = beside(current, goal);
        mem_free(current);
        current = next;
    }
    mem_free(current);
    errno = ELOOP;
    return NULL;
}

/* Devices, pipes and the system's views of open descriptors are written in place. */
static bool is_in_place(const char *path)
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
    if (is_in_place(path))
        return true;
    if (stat(path, &info) == 0) {
        if (S_ISDIR(info.st_mode))
            return report_unwritten(path, EISDIR, diags);
        return access(path, W_OK) == 0 || report_unwritten(path, errno, diags);
    }
    char *folder = beside(path, ".");
    const bool good = access(folder, W_OK | X_OK) == 0;
    const int error = errno;
    mem_free(folder);
    return good || report_unwritten(path, error, diags);
}

static int take_slot(void)
{
    for (int i = 0; i < UNFINISHED_MAX; i++) {
        int expected = SLOT_FREE;
        if (atomic_compare_exchange_strong(&unfinished_state[i], &expected, SLOT_TAKEN))
            return i;
    }
    return -1;
}

/* Opens a new file in the target's folder and notes it in the slot. A descriptor, or -1 with errno. */
static int open_beside(const char *target, int slot)
{
    const char *slash = strrchr(target, '/');
    int folder = slash == NULL ? 0 : (int)(slash - target) + 1;
    for (int attempt = 0; attempt < 100; attempt++) {
        int length = snprintf(unfinished_path[slot], PATH_MAX, "%.*s.poolwright-%ld-%d-%d.tmp", folder, target,
                              (long)getpid(), slot, attempt);
        if (length < 0 || length >= PATH_MAX) {
            errno = ENAMETOOLONG;
            return -1;
        }
        /* Listed only once it is ours; between the two calls a signal may leave an empty file, never a wrong removal.
         */
        int descriptor = open(unfinished_path[slot], O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor >= 0) {
            atomic_store(&unfinished_state[slot], SLOT_ON_DISK);
            return descriptor;
        }
        if (errno != EEXIST)
            return -1;
    }
    return -1;
}

/* Fills the new file and carries over mode and owner of the one it will replace. 0 or an errno. */
static int fill(int descriptor, const char *bytes, size_t length, const struct stat *old)
{
    int error = write_all(descriptor, bytes, length);
    if (error == 0 && old != NULL) {
        if (fchown(descriptor, old->st_uid, old->st_gid) != 0)
            errno = 0; /* only a privileged user can; the content matters more */
        if (fchmod(descriptor, old->st_mode & 0777) != 0)
            error = errno;
    }
    if (error == 0 && fsync(descriptor) != 0)
        error = errno;
    if (close(descriptor) != 0 && error == 0)
        error = errno;
    return error;
}

/* Writes the file beside draft->target. 0 or an errno. */
static int write_beside(FileDraft *draft, const char *bytes, size_t length)
{
    struct stat old;
    bool replaces = stat(draft->target, &old) == 0;
    if (replaces && S_ISDIR(old.st_mode))
        return EISDIR;
    if (replaces && access(draft->target, W_OK) != 0)
        return errno;
    draft->slot = take_slot();
    if (draft->slot < 0)
        return EMFILE;
    int descriptor = open_beside(draft->target, draft->slot);
    if (descriptor < 0)
        return errno;
    return fill(descriptor, bytes, length, replaces ? &old : NULL);
}

void file_draft_discard(FileDraft *draft)
{
    if (draft == NULL)
        return;
    if (draft->slot >= 0) {
        if (atomic_load(&unfinished_state[draft->slot]) == SLOT_ON_DISK)
            unlink(unfinished_path[draft->slot]);
        atomic_store(&unfinished_state[draft->slot], SLOT_FREE);
    }
    mem_free(draft->path);
    mem_free(draft->target);
    mem_free(draft->bytes);
    mem_free(draft);
}

FileDraft *file_draft(const char *path, const char *bytes, size_t length, Diags *diags)
{
    if (path[0] == '\0') {
        diag_error(diags, (SourcePos){0}, "found an empty file name, expected the path of a file to write");
        return NULL;
    }
    FileDraft *draft = mem_new(1, sizeof *draft);
    *draft = (FileDraft){.path = mem_strdup(path), .slot = -1};
    if (is_in_place(path)) {
        draft->bytes = mem_strndup(bytes, length);
        draft->length = length;
        return draft;
    }
    draft->target = follow_links(path);
    int error = draft->target == NULL ? errno : write_beside(draft, bytes, length);
    if (error == 0)
        return draft;
    report_unwritten(path, error, diags);
    file_draft_discard(draft);
    return NULL;
}

/* 0 or an errno. */
static int write_standard_output(const char *bytes, size_t length)
{
    errno = 0;
    if ((length == 0 || fwrite(bytes, 1, length, stdout) == length) && fflush(stdout) == 0)
        return 0;
    return errno != 0 ? errno : EIO;
}

/* 0 or an errno. */
static int write_in_place(const char *path, const char *bytes, size_t length)
{
    /* Appending leaves alone what a shell's own redirection has put there. */
    int descriptor = open(path, O_WRONLY | O_APPEND | O_CLOEXEC | O_NOCTTY);
    if (descriptor < 0)
        return errno;
    int error = write_all(descriptor, bytes, length);
    if (close(descriptor) != 0 && error == 0)
        error = errno;
    return error;
}

/* Makes the rename last through a power cut, as far as the file system can. */
static void sync_folder(const char *target)
{
    const char *slash = strrchr(target, '/');
    char *folder = slash == NULL ? mem_strdup(".") : mem_strndup(target, (size_t)(slash - target) + 1);
    int descriptor = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor >= 0) {
        fsync(descriptor);
        close(descriptor);
    }
    mem_free(folder);
}

bool file_draft_commit(FileDraft *draft, Diags *diags)
{
    int error = 0;
    if (draft->target == NULL) {
        error = strcmp(draft->path, "-") == 0 ? write_standard_output(draft->bytes, draft->length)
                                              : write_in_place(draft->path, draft->bytes, draft->length);
    } else if (rename(unfinished_path[draft->slot], draft->target) != 0) {
        error = errno;
    } else {
        atomic_store(&unfinished_state[draft->slot], SLOT_TAKEN); /* nothing to remove any more */
        sync_folder(draft->target);
    }
    if (error != 0)
        report_unwritten(draft->path, error, diags);
    file_draft_discard(draft);
    return error == 0;
}

bool file_write(const char *path, const char *bytes, size_t length, Diags *diags)
{
    FileDraft *draft = file_draft(path, bytes, length, diags);
    return draft != NULL && file_draft_commit(draft, diags);
}
