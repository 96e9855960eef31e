/* habits.c - see habits.h. */
#include "cards/habits.h"

#include <string.h>

#include "base/memory.h"

static bool holds(const char *const *folded, size_t count, const char *text)
{
    if (count == 0)
        return false;
    char *wanted = text_fold(text);
    bool found = false;
    for (size_t i = 0; i < count && !found; i++)
        found = strcmp(folded[i], wanted) == 0;
    mem_free(wanted);
    return found;
}

bool habits_blank(const Habits *habits, const char *text)
{
    return text[0] == '\0' || holds(habits->blank, habits->blanks, text);
}

bool habits_skip(const Habits *habits, const char *name)
{
    return holds(habits->skip, habits->skips, name);
}

bool habits_parts_tags(const Habits *habits, char c)
{
    return c == ';' || (c != '\0' && habits->tags_split != NULL && strchr(habits->tags_split, c) != NULL);
}

int habits_colour(const Habits *habits, const char *word)
{
    if (habits->colour_words == 0)
        return -2;
    char *folded = text_fold(word);
    int colour = -2;
    for (size_t i = 0; i < habits->colour_words && colour == -2; i++)
        if (strcmp(habits->colour_word[i].folded, folded) == 0)
            colour = habits->colour_word[i].colour;
    mem_free(folded);
    return colour;
}

const char *habits_meant(const Habits *habits, const char *word)
{
    const char *found = NULL;
    for (size_t i = 0; i < habits->own_words && found == NULL; i++)
        if (text_folds_to(word, habits->own_word[i].folded))
            found = habits->own_word[i].meant;
    return found;
}

long habits_find(const Habits *habits, const char *word, const char *const *ours, size_t count)
{
    const char *meant = habits_meant(habits, word);
    return text_find(meant != NULL ? meant : word, ours, count);
}

Role habits_role(const Habits *habits, const char *word)
{
    const char *meant = habits_meant(habits, word);
    return role_named(meant != NULL ? meant : word);
}

bool habits_no_role(const Habits *habits, const char *word)
{
    const char *meant = habits_meant(habits, word);
    return meant != NULL && strcmp(meant, "none") == 0;
}
