/* memory.c - allocation that never returns NULL, and arenas.
 *
 * An arena is a list of chunks; each allocation takes the next bytes of the newest chunk. Chunks come zeroed and are
 * never reused, so what is handed out is zeroed too. Strings are packed without alignment. */
#include "base/memory.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_CHUNK ((size_t)8 << 10)
#define LARGEST_CHUNK ((size_t)1 << 20)

/* The one piece of state, since no allocation can be handed it; set before there are threads. */
static struct {
    MemHandler *call;
    void *context;
} handler;

void mem_on_exhausted(MemHandler *call, void *context)
{
    handler.call = call;
    handler.context = context;
}

void mem_exhausted(void)
{
    if (handler.call != NULL)
        handler.call(handler.context);
    abort(); /* none, or one that came back */
}

void *mem_new(size_t count, size_t size)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, size, &bytes))
        mem_exhausted();
    void *storage = calloc(1, bytes == 0 ? 1 : bytes);
    if (storage == NULL)
        mem_exhausted();
    return storage;
}

void *mem_resize(void *old, size_t count, size_t size)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, size, &bytes))
        mem_exhausted();
    void *storage = realloc(old, bytes == 0 ? 1 : bytes);
    if (storage == NULL)
        mem_exhausted();
    return storage;
}

char *mem_strndup(const char *text, size_t length)
{
    char *copy = mem_new(length + 1, 1);
    if (length > 0)
        memcpy(copy, text, length);
    return copy;
}

void *mem_copy(const void *from, size_t count, size_t size)
{
    void *to = mem_new(count + 1, size);
    if (count > 0)
        memcpy(to, from, count * size);
    return to;
}

char *mem_strdup(const char *text)
{
    return mem_strndup(text, strlen(text));
}

void mem_free(void *storage)
{
    free(storage);
}

void mem_reserve(void **array, size_t *capacity, size_t needed, size_t size)
{
    if (needed <= *capacity)
        return;
    size_t grown = *capacity < 8 ? 8 : *capacity;
    while (grown < needed) {
        if (grown > SIZE_MAX / 2)
            mem_exhausted();
        grown *= 2;
    }
    /* The caller's pointer has another type than void *: copy it as bytes. */
    void *storage;
    memcpy(&storage, array, sizeof storage);
    storage = mem_resize(storage, grown, size);
    memcpy(array, &storage, sizeof storage);
    *capacity = grown;
}

typedef struct Chunk Chunk;
struct Chunk {
    Chunk *next;
    size_t used, size;
    alignas(max_align_t) char bytes[];
};

struct Arena {
    Chunk *newest;
    size_t next_size;
};

Arena *arena_new(void)
{
    Arena *arena = mem_new(1, sizeof *arena);
    arena->next_size = FIRST_CHUNK;
    return arena;
}

void arena_free(Arena *arena)
{
    if (arena == NULL)
        return;
    for (Chunk *chunk = arena->newest; chunk != NULL;) {
        Chunk *next = chunk->next;
        mem_free(chunk);
        chunk = next;
    }
    mem_free(arena);
}

static Chunk *chunk_new(size_t size)
{
    if (size > SIZE_MAX - sizeof(Chunk))
        mem_exhausted();
    Chunk *chunk = mem_new(1, sizeof *chunk + size);
    chunk->size = size;
    return chunk;
}

static void *arena_take(Arena *arena, size_t bytes, size_t alignment)
{
    Chunk *chunk = arena->newest;
    if (chunk != NULL) {
        size_t start = (chunk->used + alignment - 1) & ~(alignment - 1);
        if (start <= chunk->size && bytes <= chunk->size - start) {
            chunk->used = start + bytes;
            return chunk->bytes + start;
        }
    }
    if (bytes > arena->next_size / 4 && chunk != NULL) {
        /* A large piece gets a chunk of its own, behind the newest, whose free space stays in use. */
        Chunk *own = chunk_new(bytes);
        own->used = bytes;
        own->next = chunk->next;
        chunk->next = own;
        return own->bytes;
    }
    Chunk *fresh = chunk_new(bytes > arena->next_size ? bytes : arena->next_size);
    if (arena->next_size < LARGEST_CHUNK)
        arena->next_size *= 2;
    fresh->used = bytes;
    fresh->next = chunk;
    arena->newest = fresh;
    return fresh->bytes;
}

void *arena_alloc(Arena *arena, size_t count, size_t size)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, size, &bytes))
        mem_exhausted();
    return arena_take(arena, bytes == 0 ? 1 : bytes, alignof(max_align_t));
}

char *arena_strndup(Arena *arena, const char *text, size_t length)
{
    char *copy = arena_take(arena, length + 1, 1);
    if (length > 0)
        memcpy(copy, text, length);
    return copy;
}

char *arena_strdup(Arena *arena, const char *text)
{
    return arena_strndup(arena, text, strlen(text));
}

char *arena_printf(Arena *arena, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    char *text = arena_vprintf(arena, format, list);
    va_end(list);
    return text;
}

char *arena_vprintf(Arena *arena, const char *format, va_list list)
{
    va_list again;
    va_copy(again, list);
    int length = vsnprintf(NULL, 0, format, list);
    if (length < 0)
        mem_exhausted(); /* only a text beyond INT_MAX or no memory gets here: our formats hold no wide characters */
    char *text = arena_take(arena, (size_t)length + 1, 1);
    vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}
