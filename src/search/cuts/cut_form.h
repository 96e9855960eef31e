/* cut_form.h - exactly how a cut was made: the sum of rows, the divisor, and which columns were measured from their
 * upper bounds.
 *
 * With it the same cut can be made again, in integers, when sides, bounds or the core have changed, without a
 * relaxation: its coefficients stay, its side follows the rows'. (A recipe of cut_book.h leaves divisor and complements
 * to the relaxation's point, which is better where the point is another.) */
#ifndef POOLWRIGHT_SEARCH_CUTS_CUT_FORM_H
#define POOLWRIGHT_SEARCH_CUTS_CUT_FORM_H

#include "search/core/core.h"
#include "search/cuts/cut_book.h"

typedef struct {
    CutPart part[MIR_MOST_ROWS]; /* rows of the whole; -1 - k: the cut of the k-th form, which comes before this one */
    int parts;
    int64_t divisor;      /* of the rounding */
    unsigned char *upper; /* [whole columns] a bit for each */
    size_t bytes;         /* of those */
    bool local;           /* it holds in a part only */
} CutForm;

typedef struct {
    CutForm *form;
    size_t count, capacity;
} CutForms;

/* What a row of a matrix with cuts stands for. */
typedef struct {
    int form;
    double scale; /* what the form gives is so many times the row */
} CutLabel;

void cut_forms_release(CutForms *forms);
void cut_forms_copy(CutForms *to, const CutForms *from); /* what `to` had is released */
/* Drops the forms that are neither marked nor needed for those; *number: [count] the new numbers, to be freed. */
void cut_forms_keep(CutForms *forms, bool *marked, int **number);
/* Notes a cut of a matrix with the core's columns, whose rows from `first` on are cuts with these labels. */
CutLabel cut_forms_add(CutForms *forms, const Core *core, const Matrix *matrix, int first, const CutLabel *label,
                       const Cut *cut);
/* Moves forms of a part to those of the whole, behind which they come: columns were the core's, rows from `first` on
 * its cuts with these labels. */
void cut_forms_move(CutForms *to, CutForms *from, const Core *core, int first, const CutLabel *label);
/* The form in terms of such a matrix; out->upper is to be freed. row_of: [forms] the row of each earlier form there, or
 * -1. False when a row is missing or numbers grow too large. */
bool cut_form_in_rows(const CutForm *form, const Core *core, const Matrix *matrix, const int *row_of, MirForm *out);

#endif
