/* equals_part.c - see equals_part.h. */
#include "programme/equals/equals_part.h"

#include <string.h>

#include "base/memory.h"

bool equals_part_init(EqualsPart *part, const SearchProblem *whole)
{
    Matrix all;
    matrix_init(&all, whole);
    part->map = mem_new((size_t)whole->columns + 1, sizeof *part->map);
    const bool possible = matrix_restrict(&part->matrix, &all, whole->low, whole->high, part->map, &part->offset);
    matrix_release(&all);
    return possible;
}

void equals_part_release(EqualsPart *part)
{
    matrix_release(&part->matrix);
    mem_free(part->map);
}

void equals_part_box(const EqualsPart *part, SearchProblem *whole)
{
    const SearchProblem *p = &part->matrix.p;
    for (int k = 0; k < p->columns; k++) {
        whole->low[part->map[k]] = p->low[k];
        whole->high[part->map[k]] = p->high[k];
    }
}

void equals_part_point(const EqualsPart *part, const SearchProblem *whole, const int64_t *x, int64_t *full)
{
    memcpy(full, whole->low, (size_t)whole->columns * sizeof *full);
    for (int k = 0; k < part->matrix.p.columns; k++)
        full[part->map[k]] = x[k];
}

bool *equals_part_marks(const EqualsPart *part, const bool *marks)
{
    bool *own = mem_new((size_t)part->matrix.p.columns + 1, sizeof *own);
    for (int k = 0; k < part->matrix.p.columns; k++)
        own[k] = marks[part->map[k]];
    return own;
}
