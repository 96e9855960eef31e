/* fail_call.c - loaded in front of the C library: lets one call of a kind fail, of those that the program and its
 * libraries make themselves (not the C library's own).
 *
 * FAIL_CALL=open, read, write, fsync, close, rename or mkdir; FAIL_CALL_AT=N: the N-th from the start of the program
 * (counted from 1). FAIL_CALL_KILLS=1: the program is killed there instead. FAIL_CALL_COUNT=FILE: how many there were
 * is written there when the program ends by itself. */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

static atomic_ulong made;

__attribute__((destructor)) static void end(void)
{
    const char *path = getenv("FAIL_CALL_COUNT");
    FILE *file = path != NULL ? fopen(path, "w") : NULL;
    if (file == NULL)
        return;
    fprintf(file, "%lu\n", atomic_load(&made));
    fclose(file);
}

static int fails(const char *call, int error)
{
    const char *kind = getenv("FAIL_CALL"), *at = getenv("FAIL_CALL_AT");
    if (kind == NULL || strcmp(kind, call) != 0 ||
        atomic_fetch_add(&made, 1) + 1 != (at != NULL ? strtoul(at, NULL, 10) : 0))
        return 0;
    if (getenv("FAIL_CALL_KILLS") != NULL)
        raise(SIGKILL);
    errno = error;
    return 1;
}

int open(const char *path, int flags, ...)
{
    va_list more;
    va_start(more, flags);
    const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(more, mode_t) : 0;
    va_end(more);
    return fails("open", EACCES) ? -1 : (int)syscall(SYS_openat, AT_FDCWD, path, flags, mode);
}

ssize_t read(int descriptor, void *bytes, size_t length)
{
    return fails("read", EIO) ? -1 : syscall(SYS_read, descriptor, bytes, length);
}

ssize_t write(int descriptor, const void *bytes, size_t length)
{
    return fails("write", ENOSPC) ? -1 : syscall(SYS_write, descriptor, bytes, length);
}

int fsync(int descriptor)
{
    return fails("fsync", EIO) ? -1 : (int)syscall(SYS_fsync, descriptor);
}

/* As on a disk that fails late: it is closed all the same. */
int close(int descriptor)
{
    const int result = (int)syscall(SYS_close, descriptor);
    return fails("close", EIO) ? -1 : result;
}

int rename(const char *old, const char *new)
{
    return fails("rename", EACCES) ? -1 : (int)syscall(SYS_renameat2, AT_FDCWD, old, AT_FDCWD, new, 0);
}

int mkdir(const char *path, mode_t mode)
{
    return fails("mkdir", EACCES) ? -1 : (int)syscall(SYS_mkdirat, AT_FDCWD, path, mode);
}
