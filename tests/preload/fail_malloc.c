/* fail_malloc.c - loaded in front of the C library: lets one allocation fail, whoever asks for it, so also those of
 * libraries.
 *
 * FAIL_MALLOC_AT=N: the N-th from the start of the program (counted from 1); with FAIL_MALLOC_IN=TEXT, of those that a
 * library asks for whose path holds the text. FAIL_MALLOC_COUNT=FILE: how many there
 * were is written there when the program ends by itself. */
#include <dlfcn.h>
#include <errno.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);

static atomic_ulong made, failing;
static atomic_int counting;
static const char *library; /* NULL: all of them */

__attribute__((constructor)) static void begin(void)
{
    const char *at = getenv("FAIL_MALLOC_AT");
    library = getenv("FAIL_MALLOC_IN");
    atomic_store(&failing, at != NULL ? strtoul(at, NULL, 10) : 0);
    atomic_store(&counting, 1);
}

__attribute__((destructor)) static void end(void)
{
    const char *path = getenv("FAIL_MALLOC_COUNT");
    atomic_store(&counting, 0);
    FILE *file = path != NULL ? fopen(path, "w") : NULL;
    if (file == NULL)
        return;
    fprintf(file, "%lu\n", atomic_load(&made));
    fclose(file);
}

static int is_counted(void *caller)
{
    Dl_info from;
    return library == NULL ||
           (dladdr(caller, &from) != 0 && from.dli_fname != NULL && strstr(from.dli_fname, library) != NULL);
}

static int fails(void *caller)
{
    if (!atomic_load(&counting) || !is_counted(caller) || atomic_fetch_add(&made, 1) + 1 != atomic_load(&failing))
        return 0;
    errno = ENOMEM;
    return 1;
}

void *malloc(size_t size)
{
    return fails(__builtin_return_address(0)) ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails(__builtin_return_address(0)) ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails(__builtin_return_address(0)) ? NULL : __libc_realloc(old, size);
}
