/* family.h - random programmes of the kind that pools make, for benchmarks and tests. Invented data. */
#ifndef POOLWRIGHT_SUPPORT_FAMILY_H
#define POOLWRIGHT_SUPPORT_FAMILY_H

#include "search/search.h"

typedef enum { FAMILY_PLAIN, FAMILY_PAIRS, FAMILY_PLACES } FamilyShape;

typedef struct {
    FamilyShape shape;
    int candidates; /* a pool of 360 is chosen from them */
    bool whole;     /* fit in whole numbers instead of tenths */
    bool all_bind;  /* eleven money rows that bind instead of one */
    bool hard;      /* the hard end: themes of all colours, each spend at .13 to .17 of the cap, bands on kinds, six
                       bands of curve to a colour */
    int64_t step;   /* not 0: fit is rounded to multiples of it */
    bool places_as_rows; /* FAMILY_PLACES: no columns for places, but rows that say that they can be filled (P. Hall, J.
                            London Math. Soc. 10, 1935) */
    int risen;           /* not 0: all money rows hold whichever so many prices rise to their highs */
    uint64_t seed;
} FamilyOptions;

/* All arrays are allocated; freed by family_free. Fit in thousandths, money in cents. */
SearchProblem *family_new(const FamilyOptions *options);
void family_free(SearchProblem *problem);

#endif
