/* patterns.c - PCRE2, interpreted: its compiler to machine code counts steps otherwise, and what is cut off must not
 * depend on the machine. */
#include "cards/patterns.h"

#define PCRE2_CODE_UNIT_WIDTH 8
#include <pcre2.h>

#include <string.h>

#include "base/memory.h"
#include "base/text.h"

#define MOST_STEPS 200000 /* of PCRE2's match(), for one text */
#define MOST_DEPTH 20000  /* of its nested choices */
#define MOST_HEAP_KB 65536

struct TextPattern {
    pcre2_code *code;
    pcre2_match_data *data;
    pcre2_match_context *limits;
};

static void *take(size_t size, void *context)
{
    (void)context;
    return mem_new(size, 1);
}

static void give_back(void *storage, void *context)
{
    (void)context;
    mem_free(storage);
}

TextPattern *text_pattern_new(const char *expression, char trouble[TEXT_PATTERN_TROUBLE], size_t *at)
{
    int error = 0;
    PCRE2_SIZE offset = 0;
    pcre2_general_context *general = pcre2_general_context_create(take, give_back, NULL);
    pcre2_compile_context *compile = pcre2_compile_context_create(general);
    pcre2_code *code =
        pcre2_compile((PCRE2_SPTR)expression, PCRE2_ZERO_TERMINATED,
                      PCRE2_UTF | PCRE2_UCP | PCRE2_CASELESS | PCRE2_NEVER_BACKSLASH_C, &error, &offset, compile);
    TextPattern *pattern = NULL;
    if (code == NULL) {
        pcre2_get_error_message(error, (PCRE2_UCHAR *)trouble, TEXT_PATTERN_TROUBLE);
        size_t length = strlen(expression);
        *at = text_characters(expression, offset < length ? offset : length);
    } else {
        pattern = mem_new(1, sizeof *pattern);
        pattern->code = code;
        pattern->data = pcre2_match_data_create(1, general);
        pattern->limits = pcre2_match_context_create(general);
        pcre2_set_match_limit(pattern->limits, MOST_STEPS);
        pcre2_set_depth_limit(pattern->limits, MOST_DEPTH);
        pcre2_set_heap_limit(pattern->limits, MOST_HEAP_KB);
    }
    pcre2_compile_context_free(compile);
    pcre2_general_context_free(general);
    return pattern;
}

void text_pattern_free(TextPattern *pattern)
{
    if (pattern == NULL)
        return;
    pcre2_match_context_free(pattern->limits);
    pcre2_match_data_free(pattern->data);
    pcre2_code_free(pattern->code);
    mem_free(pattern);
}

TextFound text_pattern_find(TextPattern *pattern, const char *text)
{
    int found = pcre2_match(pattern->code, (PCRE2_SPTR)text, strlen(text), 0, PCRE2_NO_UTF_CHECK, pattern->data,
                            pattern->limits);
    if (found >= 0)
        return TEXT_FOUND;
    return found == PCRE2_ERROR_NOMATCH ? TEXT_NOT_FOUND : TEXT_CUT_OFF;
}
