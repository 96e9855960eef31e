/* option_values.c - the value of an option read as text, number, money, word, size, date. */
#include "verbs/options/option_table.h"

#include <string.h>

#include "base/day.h"
#include "base/number.h"
#include "programme/answer.h"

#define WORDS_MOST 16 /* of one option */

static void *place(Options *options, size_t offset)
{
    return (char *)options + offset;
}

static bool whole(const char *text, int64_t least, int64_t most, int64_t *value)
{
    int64_t found;
    if (number_parse(text, 0, false, &found) != NUMBER_OK || found < least || found > most)
        return false;
    *value = found;
    return true;
}

static bool money(const char *text, int64_t *cents)
{
    int64_t found;
    if (number_parse_money(text, true, &found) != NUMBER_OK || found < 0)
        return false;
    *cents = found;
    return true;
}

bool take_flag(const OptionInfo *option, const char *value, Options *options)
{
    (void)value;
    *(bool *)place(options, option->to) = true;
    return true;
}

bool take_text(const OptionInfo *option, const char *value, Options *options)
{
    if (value[0] == '\0')
        return false;
    *(const char **)place(options, option->to) = value;
    return true;
}

bool take_list(const OptionInfo *option, const char *value, Options *options)
{
    if (value[0] == '\0')
        return false;
    const char **list = *(const char ***)place(options, option->to);
    size_t *count = place(options, option->count);
    list[(*count)++] = value;
    return true;
}

bool take_whole(const OptionInfo *option, const char *value, Options *options)
{
    int64_t found;
    if (!whole(value, option->least, option->most, &found))
        return false;
    *(int *)place(options, option->to) = (int)found;
    return true;
}

bool take_spend(const OptionInfo *option, const char *value, Options *options)
{
    (void)option;
    options->spend_text = value;
    return money(value, &options->spend);
}

bool take_fit(const OptionInfo *option, const char *value, Options *options)
{
    int64_t found;
    if (number_parse(value, 3, false, &found) != NUMBER_OK || found < 0)
        return false;
    *(int64_t *)place(options, option->to) = found;
    return true;
}

/* Fills word[WORDS_MOST]; returns how many. */
static size_t split_words(const OptionInfo *option, Arena *arena, const char **word)
{
    size_t count = 0;
    for (const char *at = option->words; at != NULL && count < WORDS_MOST;) {
        const char *bar = strchr(at, '|');
        word[count++] = arena_strndup(arena, at, bar != NULL ? (size_t)(bar - at) : strlen(at));
        at = bar != NULL ? bar + 1 : NULL;
    }
    return count;
}

/* The place of the first `length` bytes among the option's words, -1: it is none. */
static int place_of_word(const OptionInfo *option, const char *value, size_t length, Arena *arena)
{
    const char *word[WORDS_MOST];
    const size_t count = split_words(option, arena, word);
    for (size_t k = 0; k < count; k++)
        if (strlen(word[k]) == length && strncmp(word[k], value, length) == 0)
            return (int)k;
    return -1;
}

bool take_word(const OptionInfo *option, const char *value, Options *options)
{
    const int found = place_of_word(option, value, strlen(value), options->arena);
    if (found < 0)
        return false;
    *(int *)place(options, option->to) = found;
    return true;
}

bool take_words(const OptionInfo *option, const char *value, Options *options)
{
    unsigned named = 0;
    for (const char *at = value;; at++) {
        const size_t length = strcspn(at, ",");
        const int found = place_of_word(option, at, length, options->arena);
        if (found < 0)
            return false;
        named |= 1u << found;
        at += length;
        if (*at == '\0')
            break;
    }
    *(unsigned *)place(options, option->to) |= named;
    return true;
}

bool take_cap(const OptionInfo *option, const char *value, Options *options)
{
    (void)option;
    Overrides *o = &options->overrides;
    const bool none = strcmp(value, "none") == 0;
    if (!none && !money(value, &o->cap))
        return false;
    o->cap_text = none ? NULL : value;
    o->has_cap = !none;
    o->no_cap = none;
    return true;
}

bool take_only_size(const OptionInfo *option, const char *value, Options *options)
{
    int64_t size;
    if (!whole(value, option->least, option->most, &size))
        return false;
    options->overrides.size_from = options->overrides.size_to = (int)size;
    return true;
}

bool take_size(const OptionInfo *option, const char *value, Options *options)
{
    const char *dash = strchr(value, '-');
    if (dash == NULL)
        return take_only_size(option, value, options);
    int64_t from, to;
    const char *first = arena_strndup(options->arena, value, (size_t)(dash - value));
    if (!whole(first, option->least, option->most, &from) || !whole(dash + 1, from, option->most, &to))
        return false;
    options->overrides.size_from = (int)from;
    options->overrides.size_to = (int)to;
    return true;
}

bool take_gap(const OptionInfo *option, const char *value, Options *options)
{
    (void)option;
    return number_parse_gap(value, &options->gap_ppm);
}

bool take_effort(const OptionInfo *option, const char *value, Options *options)
{
    (void)option;
    const size_t length = strlen(value);
    const char unit = length > 1 ? value[length - 1] : '\0';
    const int64_t factor = unit == 'k' || unit == 'K' ? 1000 : unit == 'M' ? 1000000 : 1;
    const char *digits = arena_strndup(options->arena, value, factor > 1 ? length - 1 : length);
    int64_t steps;
    if (!whole(digits, 1, EFFORT_MOST, &steps))
        return false;
    options->effort = steps * factor;
    return true;
}

bool take_today(const OptionInfo *option, const char *value, Options *options)
{
    (void)option;
    if (strcmp(value, "now") != 0)
        return date_parse(value, &options->overrides.today);
    options->overrides.today = day_of_clock();
    return true;
}

bool take_package(const OptionInfo *option, const char *value, Options *options)
{
    (void)option;
    return package_read(value, &options->package);
}

const char *option_expected(const OptionInfo *option, Arena *arena)
{
    if (option->most > 0)
        return arena_printf(arena, "a whole number from %d to %d%s", (int)option->least, (int)option->most,
                            option->expected != NULL ? option->expected : "");
    if (option->words == NULL)
        return option->expected != NULL ? option->expected : option->argument;
    const char *word[WORDS_MOST], *list = "";
    const size_t count = split_words(option, arena, word);
    for (size_t k = 0; k < count; k++)
        list = arena_printf(arena, "%s%s%s", list, k == 0 ? "" : k + 1 < count ? ", " : " or ", word[k]);
    return option->take == take_words ? arena_printf(arena, "some of %s, with commas between", list) : list;
}

const char *option_wrong_part(const OptionInfo *option, const char *value, Arena *arena)
{
    if (option->take != take_words)
        return value;
    const char *at = value;
    size_t length = strcspn(at, ",");
    while (place_of_word(option, at, length, arena) >= 0 && at[length] != '\0') {
        at += length + 1;
        length = strcspn(at, ",");
    }
    return arena_strndup(arena, at, length);
}

const char *option_nearest_word(const OptionInfo *option, const char *value, Arena *arena)
{
    const char *word[WORDS_MOST];
    return text_nearest(value, word, split_words(option, arena, word));
}
