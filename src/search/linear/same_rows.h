/* same_rows.h - rows that say the same of the same columns: two limits that count the same cards, or rows that only
 * differed in columns that are fixed. A relaxation takes twice the pivots with both, and cuts are rounded from either.
 */
#ifndef POOLWRIGHT_SEARCH_LINEAR_SAME_ROWS_H
#define POOLWRIGHT_SEARCH_LINEAR_SAME_ROWS_H

#include "search/linear/matrix.h"

/* Of rows with the same coefficients, or the opposite ones, each side stays with the first of those that ask most; the
 * others' are dropped. Rows without columns stay as they are. */
void same_rows_drop_sides(Matrix *matrix);

#endif
