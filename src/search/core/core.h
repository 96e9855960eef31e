/* core.h - the part of the problem that is still open, with its way back to the whole.
 *
 * Every solution better than the incumbent lies in the box from which a core is made, so a proof on the core is one on
 * the whole. */
#ifndef POOLWRIGHT_SEARCH_CORE_CORE_H
#define POOLWRIGHT_SEARCH_CORE_CORE_H

#include "search/linear/matrix.h"

/* Columns of the whole: the first is always what the second is. By this row: with the multiplier y its reduced cost is
 * nought, and what it is worth goes to the second. */
typedef struct {
    int column, leader, row;
    double y;
} Follower;

typedef struct {
    Matrix matrix;  /* its rows' divisors are those of the rows as they were stated */
    int *map;       /* [matrix.p.columns] column of the whole */
    int *place;     /* [whole->p.columns] column of the core, or -1 */
    int64_t offset; /* value of the whole = offset + value of the core */
    Grain grain;    /* of the core's values */
    int whole_columns;
    int64_t *fixed;     /* [whole columns] the values of the columns that are not in the core */
    Follower *follower; /* [followers] columns that are not in the core either */
    int followers;
} Core;

/* NULL when the box is proven empty (a row without open columns can't hold). */
Core *core_new(const Matrix *whole, const int64_t *low, const int64_t *high);
/* The same for a box that is searched by itself: what follows from single rows is fixed, and columns that can be set
 * equal to another one without loss (a bonus for two cards, one of which is in) are left to that one; but not those
 * marked in kept[whole columns], which may be NULL. */
Core *core_reduced(const Matrix *whole, const int64_t *low, const int64_t *high, const bool *kept);
/* The part of a core that a smaller box of the whole leaves open. Rows keep their numbers, rows of cuts among them:
 * what holds in the core holds in its part. */
Core *core_shrink(const Core *from, const int64_t *low, const int64_t *high);
void core_free(Core *core);
/* The point of the whole for a point of the core. */
void core_expand(const Core *core, const int64_t *x, int64_t *whole);

#endif
