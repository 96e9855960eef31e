/* file_draft.c - output files that are whole or absent, and several of them together or none.
 *
 * An output is written to a file beside its target, flushed to the disk, and renamed over the target only when every
 * byte is known to be there; so an older file of that name stays until the new one is complete. The file is locked as
 * long as it has that name: one that nobody locks was left by a run that was killed, and the next run that writes to
 * the folder removes it. */
#include "base/files/file_draft.h"

#include <ctype.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/files/file.h"
#include "base/files/writable.h"
#include "base/text.h"

#define NAME_BEGIN ".poolwright-"
#define NAME_END ".tmp"
#define ATTEMPTS 100

struct FileDraft {
    FileDraft *next;
    char *path;          /* as the user named it */
    char *target;        /* links followed; NULL: written in place at commit */
    char *beside;        /* the file beside the target */
    atomic_bool on_disk; /* it is there and not renamed yet */
    int descriptor;      /* of it, open for its lock; -1: none */
    char *bytes;         /* only when written in place */
    size_t length;
};

/* ---- what a signal handler may do ---- */

void drafts_remove(FileDrafts *drafts)
{
    for (const FileDraft *draft = atomic_load(&drafts->newest); draft != NULL; draft = draft->next)
        if (atomic_load(&draft->on_disk))
            unlink(draft->beside);
}

/* ---- what killed runs left ---- */

static bool is_our_name(const char *name)
{
    const size_t length = strlen(name), begin = strlen(NAME_BEGIN), end = strlen(NAME_END);
    if (length <= begin + end || strncmp(name, NAME_BEGIN, begin) != 0 || strcmp(name + length - end, NAME_END) != 0)
        return false;
    for (size_t i = begin; i < length - end; i++)
        if (!isdigit((unsigned char)name[i]) && name[i] != '-')
            return false;
    return true;
}

static void sweep_file(int folder, const char *name)
{
    struct stat info;
    const int descriptor = openat(folder, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0)
        return;
    if (fstat(descriptor, &info) == 0 && S_ISREG(info.st_mode) && info.st_uid == geteuid() &&
        flock(descriptor, LOCK_EX | LOCK_NB) == 0)
        unlinkat(folder, name, 0);
    close(descriptor);
}

/* Once for each folder that is written to. */
static void sweep(FileDrafts *drafts, const char *target)
{
    struct stat info;
    char *path = folder_of(target);
    if (stat(path, &info) == 0 && (info.st_dev != drafts->swept_device || info.st_ino != drafts->swept_folder)) {
        drafts->swept_device = info.st_dev;
        drafts->swept_folder = info.st_ino;
        DIR *folder = opendir(path);
        for (const struct dirent *entry; folder != NULL && (entry = readdir(folder)) != NULL;)
            if (is_our_name(entry->d_name))
                sweep_file(dirfd(folder), entry->d_name);
        if (folder != NULL)
            closedir(folder);
    }
    mem_free(path);
}

/* ---- writing beside ---- */

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

/* Locks the new file. False where another run has taken it for a left-over before that: it is gone then. A file system
 * that knows no locks has no run that removes what others have left. */
static bool lock_new(int descriptor)
{
    struct stat info;
    while (flock(descriptor, LOCK_EX) != 0)
        if (errno != EINTR)
            return true;
    return fstat(descriptor, &info) != 0 || info.st_nlink > 0;
}

/* As many files may be open as the system allows at most. */
static bool allow_more_files(void)
{
    struct rlimit limit;
    if (getrlimit(RLIMIT_NOFILE, &limit) != 0 || limit.rlim_cur >= limit.rlim_max)
        return false;
    limit.rlim_cur = limit.rlim_max;
    return setrlimit(RLIMIT_NOFILE, &limit) == 0;
}

/* Makes the file and notes it, with no signal between the two. A descriptor, or -1 with errno. */
static int make_noted(FileDraft *draft)
{
    sigset_t all, before;
    sigfillset(&all);
    pthread_sigmask(SIG_BLOCK, &all, &before);
    const int descriptor = open(draft->beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    const int error = errno;
    atomic_store(&draft->on_disk, descriptor >= 0);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    errno = error;
    return descriptor;
}

/* 0 or an errno. */
static int open_beside(FileDrafts *drafts, FileDraft *draft)
{
    for (int attempt = 0; attempt < ATTEMPTS; attempt++) {
        char name[64];
        snprintf(name, sizeof name, NAME_BEGIN "%ld-%lu" NAME_END, (long)getpid(), drafts->made++);
        mem_free(draft->beside);
        draft->beside = path_from(draft->target, name);
        const int descriptor = make_noted(draft);
        if (descriptor >= 0 && lock_new(descriptor)) {
            draft->descriptor = descriptor;
            return 0;
        }
        if (descriptor >= 0) {
            atomic_store(&draft->on_disk, false);
            close(descriptor);
        } else if (errno != EEXIST && (errno != EMFILE || !allow_more_files()))
            return errno;
    }
    return EEXIST;
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
    return error;
}

/* Writes the file beside draft->target. 0 or an errno. */
static int write_beside(FileDrafts *drafts, FileDraft *draft, const char *bytes, size_t length)
{
    struct stat old;
    bool replaces = stat(draft->target, &old) == 0;
    if (replaces && S_ISDIR(old.st_mode))
        return EISDIR;
    if (replaces && access(draft->target, W_OK) != 0)
        return errno;
    sweep(drafts, draft->target);
    const int error = open_beside(drafts, draft);
    return error != 0 ? error : fill(draft->descriptor, bytes, length, replaces ? &old : NULL);
}

static void draft_free(FileDraft *draft)
{
    if (draft->descriptor >= 0)
        close(draft->descriptor);
    mem_free(draft->path);
    mem_free(draft->target);
    mem_free(draft->beside);
    mem_free(draft->bytes);
    mem_free(draft);
}

static int begin(FileDrafts *drafts, FileDraft *draft, const char *bytes, size_t length)
{
    if (target_is_in_place(draft->path)) {
        draft->bytes = mem_strndup(bytes, length);
        draft->length = length;
        return 0;
    }
    draft->target = target_of(draft->path);
    return draft->target == NULL ? errno : write_beside(drafts, draft, bytes, length);
}

bool drafts_add(FileDrafts *drafts, const char *path, const char *bytes, size_t length, Diags *diags)
{
    if (path[0] == '\0') {
        diag_error(diags, (SourcePos){0}, "found an empty file name, expected the path of a file to write");
        drafts->failed = true;
        return false;
    }
    FileDraft *draft = mem_new(1, sizeof *draft);
    *draft = (FileDraft){.next = atomic_load(&drafts->newest), .path = mem_strdup(path), .descriptor = -1};
    atomic_store(&drafts->newest, draft);
    const int error = begin(drafts, draft, bytes, length);
    if (error == 0)
        return true;
    if (atomic_load(&draft->on_disk))
        unlink(draft->beside);
    atomic_store(&drafts->newest, draft->next);
    draft_free(draft);
    drafts->failed = true;
    return target_unwritten(path, error, diags);
}

/* ---- the end of all ---- */

void drafts_discard(FileDrafts *drafts)
{
    drafts_remove(drafts);
    FileDraft *draft = atomic_exchange(&drafts->newest, NULL);
    while (draft != NULL) {
        FileDraft *next = draft->next;
        draft_free(draft);
        draft = next;
    }
    drafts->failed = false;
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
    char *folder = folder_of(target);
    int descriptor = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor >= 0) {
        fsync(descriptor);
        close(descriptor);
    }
    mem_free(folder);
}

/* 0 or an errno. */
static int finish(FileDraft *draft)
{
    if (draft->target == NULL)
        return strcmp(draft->path, "-") == 0 ? write_standard_output(draft->bytes, draft->length)
                                             : write_in_place(draft->path, draft->bytes, draft->length);
    if (rename(draft->beside, draft->target) != 0)
        return errno;
    atomic_store(&draft->on_disk, false);
    sync_folder(draft->target);
    return 0;
}

/* Devices first, since what they have taken cannot be taken back; standard output last, since the reader behind it may
 * be gone. */
static int turn_of(const FileDraft *draft)
{
    return draft->target != NULL ? 1 : strcmp(draft->path, "-") == 0 ? 2 : 0;
}

/* In the order in which they were added. */
static FileDraft **in_order(const FileDrafts *drafts, size_t *count)
{
    *count = 0;
    for (const FileDraft *draft = atomic_load(&drafts->newest); draft != NULL; draft = draft->next)
        ++*count;
    FileDraft **list = mem_new(*count, sizeof *list);
    size_t at = *count;
    for (FileDraft *draft = atomic_load(&drafts->newest); draft != NULL; draft = draft->next)
        list[--at] = draft;
    return list;
}

/* Those that are not written because another could not be. */
static void name_the_rest(FileDraft *const *list, const bool *done, size_t count, Diags *diags)
{
    Text names = {0};
    for (size_t k = 0; k < count; k++)
        if (!done[k])
            text_printf(&names, "%s'%s'", names.length > 0 ? ", " : "", list[k]->path);
    if (names.length > 0)
        diag_error(diags, (SourcePos){0}, "so this was not written either: %s", text_cstr(&names));
    text_release(&names);
}

bool drafts_commit(FileDrafts *drafts, Diags *diags)
{
    size_t count;
    FileDraft **list = in_order(drafts, &count);
    bool *done = mem_new(count, sizeof *done), good = !drafts->failed;
    for (int turn = 0; turn <= 2; turn++)
        for (size_t k = 0; k < count && good; k++) {
            if (turn_of(list[k]) != turn)
                continue;
            const int error = finish(list[k]);
            done[k] = true; /* or told */
            good = error == 0 || target_unwritten(list[k]->path, error, diags);
        }
    if (!good)
        name_the_rest(list, done, count, diags);
    mem_free(list);
    mem_free(done);
    drafts_discard(drafts);
    return good;
}

bool file_write(const char *path, const char *bytes, size_t length, Diags *diags)
{
    FileDrafts own = {.newest = NULL};
    if (drafts_add(&own, path, bytes, length, diags))
        return drafts_commit(&own, diags);
    drafts_discard(&own);
    return false;
}
