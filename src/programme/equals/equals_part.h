/* equals_part.h - inside the programme room: a problem without the columns that its box fixes, so that relaxations and
 * trees on what is left open do not go over those that are settled. */
#ifndef POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_PART_H
#define POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_PART_H

#include "search/linear/matrix.h"

typedef struct {
    Matrix matrix;  /* matrix.p is the problem of the open columns; its box is for the user to narrow */
    int *map;       /* [matrix.p.columns] the whole's columns */
    int64_t offset; /* what the fixed columns add to the objective */
} EqualsPart;

/* False when no point can have the fixed columns' values; it is released in any case. */
bool equals_part_init(EqualsPart *part, const SearchProblem *whole);
void equals_part_release(EqualsPart *part);
/* The part's box becomes the whole's. */
void equals_part_box(const EqualsPart *part, SearchProblem *whole);
/* x[part columns] in all columns of the whole: full[whole->columns]. */
void equals_part_point(const EqualsPart *part, const SearchProblem *whole, const int64_t *x, int64_t *full);
/* Of marks [whole columns] those of the part; freed with mem_free. */
bool *equals_part_marks(const EqualsPart *part, const bool *marks);

#endif
