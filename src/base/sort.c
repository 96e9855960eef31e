/* sort.c - merge sort from the top: halves are sorted, then the left one is laid aside and merged back. */
#include "base/sort.h"

#include <string.h>

#include "base/memory.h"

typedef struct {
    size_t size;
    int (*compare)(const void *a, const void *b, void *context);
    void *context;
    char *aside; /* room for half of the items */
} Sorting;

static void merge(const Sorting *s, char *items, size_t left, size_t count)
{
    const size_t size = s->size;
    char *to = items, *right = items + left * size, *end = items + count * size;
    const char *from = s->aside, *aside_end = s->aside + left * size;
    memcpy(s->aside, items, left * size);
    while (from < aside_end && right < end) {
        if (s->compare(right, from, s->context) < 0) {
            memcpy(to, right, size);
            right += size;
        } else {
            memcpy(to, from, size);
            from += size;
        }
        to += size;
    }
    memcpy(to, from, (size_t)(aside_end - from)); /* what is left of the right half is in its place */
}

static void sort_part(const Sorting *s, char *items, size_t count)
{
    if (count < 2)
        return;
    const size_t left = count / 2;
    char *right = items + left * s->size;
    sort_part(s, items, left);
    sort_part(s, right, count - left);
    if (s->compare(right - s->size, right, s->context) > 0)
        merge(s, items, left, count);
}

void sort_stable_with(void *items, size_t count, size_t size,
                      int (*compare)(const void *a, const void *b, void *context), void *context)
{
    if (count < 2)
        return;
    const Sorting s = {size, compare, context, mem_new(count / 2, size)};
    sort_part(&s, items, count);
    mem_free(s.aside);
}

typedef struct {
    int (*compare)(const void *a, const void *b);
} Plain;

static int compare_plainly(const void *a, const void *b, void *context)
{
    const Plain *plain = context;
    return plain->compare(a, b);
}

void sort_stable(void *items, size_t count, size_t size, int (*compare)(const void *a, const void *b))
{
    Plain plain = {compare};
    sort_stable_with(items, count, size, compare_plainly, &plain);
}
