/* near.c - the distance between words, cut short as soon as it is too large.
 *
 * It is the optimal string alignment distance: insertions, deletions, replacements and transpositions of neighbours
 * count one each, no part is edited twice (restricted Damerau-Levenshtein distance). */
#include "base/near.h"

#include <stdint.h>
#include <string.h>
#include <unistr.h>

#include "base/memory.h"
#include "base/text.h"

/* Longer words are no typing mistakes of each other, and comparing them takes the product of their lengths. */
#define LENGTH_MAX 256

#define PART_LENGTH 3 /* shorter ones are in too many words */

struct NearWord {
    uint64_t letters; /* a bit for each character that is in it, by its code modulo 64 */
    size_t count;
    ucs4_t character[];
};

NearWord *near_word(const char *folded)
{
    const size_t length = strlen(folded);
    NearWord *word = mem_new(1, sizeof *word + length * sizeof *word->character);
    for (size_t i = 0; i < length; word->count++) {
        ucs4_t *c = &word->character[word->count];
        i += (size_t)u8_mbtouc(c, (const uint8_t *)folded + i, length - i);
        word->letters |= UINT64_C(1) << (*c % 64);
    }
    return word;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Optimal string alignment distance, or limit + 1 when it is above limit. */
static size_t distance(const NearWord *wanted, const NearWord *other, size_t limit)
{
    const ucs4_t *a = wanted->character, *b = other->character;
    const size_t n = wanted->count, m = other->count;
    size_t rows[3][LENGTH_MAX + 1];
    size_t *before = rows[0], *last = rows[1], *row = rows[2];
    for (size_t j = 0; j <= m; j++)
        last[j] = j;
    for (size_t i = 1; i <= n; i++) {
        size_t smallest = row[0] = i;
        for (size_t j = 1; j <= m; j++) {
            size_t cost = a[i - 1] == b[j - 1] ? 0 : 1;
            size_t d = least(least(last[j] + 1, row[j - 1] + 1), last[j - 1] + cost);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d = least(d, before[j - 2] + 1);
            row[j] = d;
            smallest = least(smallest, d);
        }
        if (smallest > limit + 1) /* a transposition reaches back two rows: one above the limit may still lead below */
            return limit + 1;
        size_t *spare = before;
        before = last;
        last = row;
        row = spare;
    }
    return last[m] > limit ? limit + 1 : last[m];
}

/* The distance if it is at most `limit` and near, else SIZE_MAX. */
static size_t near_distance(const NearWord *a, const NearWord *b, size_t limit)
{
    const size_t longer = a->count > b->count ? a->count : b->count;
    const size_t shorter = least(a->count, b->count);
    if (longer == 0)
        return 0;
    if (longer > LENGTH_MAX)
        return SIZE_MAX;
    const size_t third = longer / 3 > 1 ? longer / 3 : 1;
    limit = least(limit, least(third, longer - 1)); /* nothing in common is never near */
    /* each edit brings or removes one letter at most */
    const size_t missing = (size_t)__builtin_popcountll(a->letters & ~b->letters);
    const size_t added = (size_t)__builtin_popcountll(b->letters & ~a->letters);
    if (longer - shorter > limit || missing > limit || added > limit)
        return SIZE_MAX;
    const size_t d = distance(a, b, limit);
    return d <= limit ? d : SIZE_MAX;
}

bool near_each_other(const NearWord *a, const NearWord *b)
{
    return near_distance(a, b, SIZE_MAX) != SIZE_MAX;
}

bool near_within(const NearWord *a, const NearWord *b, size_t letters)
{
    return near_distance(a, b, letters) != SIZE_MAX;
}

long near_find(const NearWord *wanted, NearWord *const *known, size_t count)
{
    long found = -1;
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < count && best > 0; i++) {
        const size_t d = near_distance(wanted, known[i], best - 1);
        if (d == SIZE_MAX)
            continue;
        best = d;
        found = (long)i;
    }
    return found;
}

/* Does a word of the folded text begin with the folded part? */
static bool word_begins(const char *folded, const char *part)
{
    if (strlen(part) < PART_LENGTH)
        return false;
    for (const char *at = strstr(folded, part); at != NULL; at = strstr(at + 1, part))
        if (at == folded || at[-1] == ' ')
            return true;
    return false;
}

/* The first of the words with a part that begins with the folded one: "hybrid" for "hybrid cards". */
static const char *first_with_part(const char *part, const char *const *words, size_t count)
{
    const char *found = NULL;
    for (size_t i = 0; i < count && found == NULL; i++) {
        char *folded = text_fold(words[i]);
        if (word_begins(folded, part))
            found = words[i];
        mem_free(folded);
    }
    return found;
}

const char *text_nearest(const char *word, const char *const *words, size_t count)
{
    char *wanted_folded = text_fold(word), *folded;
    NearWord *wanted = near_word(wanted_folded);
    const char *nearest = NULL;
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < count && best > 0; i++) {
        folded = text_fold(words[i]);
        NearWord *known = near_word(folded);
        const size_t d = near_distance(wanted, known, best - 1);
        if (d != SIZE_MAX) {
            best = d;
            nearest = words[i];
        }
        mem_free(known);
        mem_free(folded);
    }
    if (nearest == NULL)
        nearest = first_with_part(wanted_folded, words, count);
    mem_free(wanted);
    mem_free(wanted_folded);
    return nearest;
}

const char *did_you_mean(const char *nearest, Arena *arena)
{
    return nearest == NULL ? "" : arena_printf(arena, "; did you mean '%s'?", nearest);
}

const char *meant_or_known(const char *name, const char *const *known, size_t count, Arena *arena)
{
    const char *nearest = text_nearest(name, known, count);
    if (nearest != NULL || count == 0)
        return did_you_mean(nearest, arena);
    return arena_printf(arena, ", expected %s", text_list(arena, known, count));
}
