/* grades.c - looked up by words, and by what they are worth. */
#include "cards/grades.h"

#include <string.h>

#include "base/memory.h"

/* "B+", "c-" */
static bool is_letter_grade(const char *word)
{
    return ((word[0] >= 'A' && word[0] <= 'Z') || (word[0] >= 'a' && word[0] <= 'z')) &&
           (word[1] == '+' || word[1] == '-') && word[2] == '\0';
}

bool grade_word_sound(const char *word)
{
    static const char *const taken[] = {"enabler", "payoff", "both", "x", "yes", "no", "true", "false", "all", "for"};
    bool sound = is_letter_grade(word) || (word[0] != '\0' && word[strcspn(word, " \t\n;,|/+-.0123456789")] == '\0');
    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++)
        sound = sound && !text_folds_to(word, taken[i]);
    return sound;
}

const Grade *grade_find(const Grades *grades, const char *word)
{
    const Grade *found = NULL;
    if (grades->count == 0)
        return NULL;
    char *folded = text_fold(word);
    for (size_t i = 0; i < grades->count && found == NULL; i++)
        if (strcmp(grades->grade[i].folded, folded) == 0)
            found = &grades->grade[i];
    mem_free(folded);
    return found;
}

const Grade *grade_worth(const Grades *grades, int64_t value)
{
    for (size_t i = 0; i < grades->count; i++)
        if (grades->grade[i].value == value)
            return &grades->grade[i];
    return NULL;
}

const char *grade_nearest(const Grades *grades, const char *word)
{
    const char **words = mem_new(grades->count, sizeof *words);
    for (size_t i = 0; i < grades->count; i++)
        words[i] = grades->grade[i].word;
    const char *nearest = text_nearest(word, words, grades->count);
    mem_free(words);
    return nearest;
}

void grade_expected(const Grades *grades, const char *expected, const char *word, Text *out)
{
    text_add(out, expected);
    for (size_t i = 0; i < grades->count; i++)
        text_printf(out, "%s%s", i == 0 ? ", or one of " : ", ", grades->grade[i].word);
    const char *nearest = grade_nearest(grades, word);
    if (nearest != NULL)
        text_printf(out, "; did you mean '%s'?", nearest);
}
