/* memory.h - allocation that never returns NULL, and arenas.
 *
 * When the system has no memory left, the program's handler runs, which does not return; without one the program
 * aborts. */
#ifndef POOLWRIGHT_BASE_MEMORY_H
#define POOLWRIGHT_BASE_MEMORY_H

#include <stdarg.h>
#include <stddef.h>

/* Zeroed storage for count items of size bytes each; freed with mem_free. count or size 0 gives a valid pointer. */
void *mem_new(size_t count, size_t size);
/* Resizes to count items of size bytes; new bytes are not initialised. */
void *mem_resize(void *old, size_t count, size_t size);
/* A copy of count items, with room for one more, zeroed. from may be NULL where count is 0. */
void *mem_copy(const void *from, size_t count, size_t size);
char *mem_strdup(const char *text);
char *mem_strndup(const char *text, size_t length);
void mem_free(void *storage);

/* Called from any thread, with no memory to be had; it must not return. Set once, before there are threads. */
typedef void MemHandler(void *context);
void mem_on_exhausted(MemHandler *call, void *context);
/* Calls it; for libraries that report by themselves that there is no memory. */
_Noreturn void mem_exhausted(void);

/* Grows *array (of items of size bytes) so that it can hold `needed` items; *capacity is updated. */
void mem_reserve(void **array, size_t *capacity, size_t needed, size_t size);

/* An arena: many allocations, one release. Everything in it lives until arena_free. */
typedef struct Arena Arena;
Arena *arena_new(void);
void arena_free(Arena *arena);                              /* NULL is allowed */
void *arena_alloc(Arena *arena, size_t count, size_t size); /* zeroed, aligned for any type */
char *arena_strdup(Arena *arena, const char *text);
char *arena_strndup(Arena *arena, const char *text, size_t length);
/* printf into the arena. */
char *arena_printf(Arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));
char *arena_vprintf(Arena *arena, const char *format, va_list list) __attribute__((format(printf, 2, 0)));

#endif
