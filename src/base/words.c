/* words.c - see words.h. */
#include "base/words.h"

#include <stdbool.h>
#include <stdint.h>
#include <unictype.h>
#include <unistr.h>

static bool is_part(ucs4_t c)
{
    return uc_is_alnum(c) || uc_is_general_category(c, UC_CATEGORY_M);
}

const char *words_next(const char **at, size_t *length)
{
    const char *word = NULL;
    while (**at != '\0') {
        ucs4_t c;
        const int bytes = u8_strmbtouc(&c, (const uint8_t *)*at);
        if (bytes <= 0)
            break;
        if (is_part(c) && word == NULL)
            word = *at;
        else if (!is_part(c) && word != NULL)
            break;
        *at += bytes;
    }
    *length = word == NULL ? 0 : (size_t)(*at - word);
    return word;
}

size_t words_prefix(const char *word, size_t length, size_t characters)
{
    size_t at = 0;
    for (; characters > 0 && at < length; characters--) {
        const int bytes = u8_mblen((const uint8_t *)word + at, length - at);
        at += bytes > 0 ? (size_t)bytes : 1;
    }
    return at;
}
