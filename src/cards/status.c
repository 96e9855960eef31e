/* status.c - see status.h. */
#include "cards/status.h"

#include "base/memory.h"
#include "cards/cards.h"

static const char *const word_of[] = {"keep", "ban", "wish", "in"};
static const unsigned bit_of[] = {STATUS_KEEP, STATUS_BAN, STATUS_WISH, STATUS_IN};
#define WORDS (sizeof bit_of / sizeof *bit_of)

static void expect(const char *word, Text *expected)
{
    const char *nearest = text_nearest(word, word_of, WORDS);
    text_add(expected, "keep, ban, wish or in, several with ';' between");
    if (nearest != NULL)
        text_printf(expected, "; did you mean '%s'?", nearest);
    else
        text_add(expected, " (other words for these can stand in the model, under read: words)");
}

bool status_parse(const Habits *habits, const char *cell, unsigned *status, Text *expected)
{
    unsigned found = 0;
    bool good = true;
    for (const char *rest = cell; *rest != '\0' && good;) {
        size_t size = 0;
        while (rest[size] != '\0' && !habits_parts_tags(habits, rest[size]))
            size++;
        size_t length = size;
        const char *part = text_trim(rest, &length);
        char *word = mem_strndup(part, length);
        const long k = length > 0 ? habits_find(habits, word, word_of, WORDS) : -1;
        good = k >= 0 || length == 0 || habits_no_role(habits, word);
        found |= k >= 0 ? bit_of[k] : 0;
        if (!good)
            expect(word, expected);
        mem_free(word);
        rest += size + (rest[size] != '\0');
    }
    if (good && (found & STATUS_KEEP) != 0 && (found & STATUS_BAN) != 0) {
        text_add(expected, "keep or ban, not both");
        return false;
    }
    if (good)
        *status = found;
    return good;
}
