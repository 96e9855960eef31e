/* equals_rows.h - the programme with rows for fit, money and changes. */
#ifndef POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_ROWS_H
#define POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_ROWS_H

#include "programme/rows/card_columns.h"

typedef struct {
    const Programme *programme;
    SearchProblem *problem; /* the programme's columns and rows first; its objective is fit. For the user to narrow */
    CardColumns *card;      /* [cards] */
    int *kept;              /* [cards] column of ours: copies that stay; -1: none */
    int fit_row, cost_row;
    int change_row; /* copies that stay twice, less all copies; -1 without a present pool */
} EqualsRows;

/* For pools of exactly this fit. The programme has to outlive it. */
void equals_rows_init(EqualsRows *rows, const Programme *programme, int64_t fit);
void equals_rows_release(EqualsRows *rows);
/* The pool in all columns, with the values that give most. x[problem->columns] */
void equals_rows_point(const EqualsRows *rows, const int *copies, int64_t *x);

#endif
