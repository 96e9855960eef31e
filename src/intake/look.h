/* look.h - sheets looked at before anything is known of them: what the cells of each column hold. */
#ifndef POOLWRIGHT_INTAKE_LOOK_H
#define POOLWRIGHT_INTAKE_LOOK_H

#include <stdint.h>

#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet.h"

/* How many cells of a column are what. Words for nothing count as `nothing` and in no other number. */
typedef struct {
    size_t filled;   /* neither blank nor a word for nothing */
    size_t nothing;  /* "n/a", "?" */
    size_t numbers;  /* read as a number or money, with whatever marks */
    size_t whole;    /* of these: whole numbers without a sign of money */
    size_t signs;    /* of these: with a currency sign or code */
    size_t decimals; /* of these: with exactly two decimals */
    size_t counted;  /* "2x" */
    size_t yes_no;
    size_t dates;
    size_t distinct; /* different texts, folded */
    size_t letters;  /* characters of all filled cells */
    size_t zeros;
    size_t scores;     /* "7/10", "70%": no numbers by themselves; those that are out of as much as the first */
    const char *score; /* the first; NULL: none */
    size_t large;      /* numbers above a hundred */
} ColumnLook;

void column_look(const Sheet *sheet, size_t column, ColumnLook *look);

/* Is the cell a number, however its marks stand? mark: the one before its decimals, '\0' without any; doubtful: its
 * only mark has three digits behind it, which may be decimals or not. value in thousandths. */
typedef struct {
    bool money, doubtful, two_decimals, whole;
    char mark;
    int64_t value;
} LooseNumber;
bool loose_number(const char *text, LooseNumber *number);
/* Is it a score that says out of how much, "7/10" or "70%"? *number: what stands before that. */
bool is_score(const char *text, LooseNumber *number);

/* How likely the cells are to be such a field's, 0 to 100, whatever the header says; below 30 they cannot be. */
int look_fits(const ColumnLook *look, size_t rows, ColumnField field);

#endif
