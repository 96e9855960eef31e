/* fast_least.c - fewer units for a column: the programme gets tighter while its tree is grown.
 *
 * What was proven before holds all the more: bounds of open nodes, closed nodes, rows of cuts, multipliers. So the
 * entries are changed where they are, and nothing is begun anew. */
#include "base/memory.h"
#include "search/fast.h"

/* The matrix's column j stands for the column of the k-th. */
static void use_units(Matrix *m, const SearchProblem *loaded, const LeastPoints *points, int k, int j)
{
    if (points->units[k] == 0) {
        m->p.high[j] = 0;
        return;
    }
    const int z = points->column[k];
    for (size_t e = loaded->start[z]; e < loaded->start[z + 1]; e++) {
        const int row = loaded->row[e];
        if (row == points->row)
            continue;
        matrix_lessen(m, row, j, least_points_entry(points, k, loaded->value[e], m->divisor[row]));
    }
}

/* A column that is at 1 in all that is left would be part of the core's sides, and its entries out of reach. */
static void keep_open(Run *run)
{
    for (int k = 0; k < run->least->count; k++)
        run->low[run->least->column[k]] = 0;
}

void fast_use_units(Fast *f)
{
    Run *run = f->run;
    LeastPoints *points = run->least;
    if (points == NULL)
        return;
    keep_open(run);
    if (!points->changed)
        return;
    points->changed = false;
    for (int k = 0; k < points->count; k++) {
        const int z = points->column[k];
        use_units(&run->warm->matrix, run->problem, points, k, z);
        if (points->units[k] == 0)
            run->high[z] = 0;
        const int place = f->core != NULL ? f->core->place[z] : -1;
        if (place >= 0)
            use_units(&f->core->matrix, run->problem, points, k, place);
    }
}

void fast_hold_core(Fast *f)
{
    if (f->run->least == NULL)
        return;
    const int columns = f->core->matrix.p.columns;
    mem_free(f->held);
    f->held = mem_new((size_t)columns + 1, sizeof *f->held);
    for (int j = 0; j < columns; j++)
        f->held[j] = f->run->least->held[f->core->map[j]];
}
