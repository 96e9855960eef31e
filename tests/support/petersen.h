/* petersen.h - problems with published optima: C. C. Petersen, "Computational experience with variants of the Balas
 * algorithm applied to the selection of R&D projects", Management Science 13(9), 1967, problems 1 to 7, data and optima
 * as collected in J. E. Beasley's OR-Library (mknap1). */
#ifndef POOLWRIGHT_SUPPORT_PETERSEN_H
#define POOLWRIGHT_SUPPORT_PETERSEN_H

#include <stdint.h>

typedef struct {
    int number, items, resources;
    int64_t optimum;       /* thousandths, as profits */
    const int64_t *profit; /* [items] */
    const int *weight;     /* [resources][items] */
    const int *limit;      /* [resources] */
} Petersen;

#define PETERSENS 7
extern const Petersen petersen[PETERSENS]; /* the k-th has number k + 1 */

#endif
