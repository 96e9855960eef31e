/* grades.h - words that stand for numbers: of powers, and of a theme's tag weights. What each is worth a model says. */
#ifndef POOLWRIGHT_CARDS_GRADES_H
#define POOLWRIGHT_CARDS_GRADES_H

#include <stdbool.h>
#include <stdint.h>

#include "base/text.h"

typedef struct {
    const char *word, *folded;
    int64_t value; /* thousandths */
} Grade;

typedef struct {
    Grade *grade; /* [count] in the model's order */
    size_t count;
} Grades;

/* Could the word be a grade: one word of letters, or a letter with + or -, that says nothing else where a grade may
 * stand? */
bool grade_word_sound(const char *word);
/* The grade of this name, however spelt; NULL: there is none. */
const Grade *grade_find(const Grades *grades, const char *word);
/* The first grade that is worth exactly so much; NULL: none. */
const Grade *grade_worth(const Grades *grades, int64_t value);
/* The word of the grade that is near to this one; NULL: none. */
const char *grade_nearest(const Grades *grades, const char *word);
/* "a number, or one of must, good, filler; did you mean 'must'?": what was expected, then the grades, then the one that
 * is near to the word. */
void grade_expected(const Grades *grades, const char *expected, const char *word, Text *out);

#endif
