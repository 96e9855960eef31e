/* extend.h - a programme with further columns and rows, for questions about pools: the least cost of so much fit, the
 * least change of a present pool. The programme's own columns and rows keep their numbers, so its rooms
 * (programme_copies, programme_solution) read the solutions. */
#ifndef POOLWRIGHT_PROGRAMME_EXTEND_H
#define POOLWRIGHT_PROGRAMME_EXTEND_H

#include "search/search.h"

typedef struct Extension Extension;

/* base must outlive the extension, not what is built of it. */
Extension *extension_new(const SearchProblem *base);
/* The number of the new column or row. */
int extension_column(Extension *extension, SearchKind kind, int64_t objective, int64_t low, int64_t high);
int extension_row(Extension *extension, int64_t low, int64_t high);
/* Adds to a new row or column; several entries for one place are summed. */
void extension_entry(Extension *extension, int row, int column, int64_t value);
/* The whole problem, for the caller to change and to free with extension_problem_free. Frees the extension. */
SearchProblem *extension_build(Extension *extension);
void extension_problem_free(SearchProblem *problem); /* NULL is allowed */

#endif
