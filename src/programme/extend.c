/* extend.c - a copy of a problem with further columns and rows. */
#include "programme/extend.h"

#include "base/memory.h"
#include "base/sort.h"

typedef struct {
    int row, column;
    int64_t value;
} Entry;

typedef struct {
    SearchKind kind;
    int64_t objective, low, high;
} NewColumn;

typedef struct {
    int64_t low, high;
} NewRow;

struct Extension {
    const SearchProblem *base;
    NewColumn *column;
    size_t columns, columns_capacity;
    NewRow *row;
    size_t rows, rows_capacity;
    Entry *entry;
    size_t entries, entries_capacity;
};

Extension *extension_new(const SearchProblem *base)
{
    Extension *extension = mem_new(1, sizeof *extension);
    extension->base = base;
    return extension;
}

int extension_column(Extension *extension, SearchKind kind, int64_t objective, int64_t low, int64_t high)
{
    mem_reserve((void **)&extension->column, &extension->columns_capacity, extension->columns + 1,
                sizeof *extension->column);
    extension->column[extension->columns] = (NewColumn){kind, objective, low, high};
    return extension->base->columns + (int)extension->columns++;
}

int extension_row(Extension *extension, int64_t low, int64_t high)
{
    mem_reserve((void **)&extension->row, &extension->rows_capacity, extension->rows + 1, sizeof *extension->row);
    extension->row[extension->rows] = (NewRow){low, high};
    return extension->base->rows + (int)extension->rows++;
}

void extension_entry(Extension *extension, int row, int column, int64_t value)
{
    if (value == 0)
        return;
    mem_reserve((void **)&extension->entry, &extension->entries_capacity, extension->entries + 1,
                sizeof *extension->entry);
    extension->entry[extension->entries++] = (Entry){row, column, value};
}

static int by_place(const void *a, const void *b)
{
    const Entry *x = a, *y = b;
    if (x->column != y->column)
        return x->column < y->column ? -1 : 1;
    return (x->row > y->row) - (x->row < y->row);
}

/* Sorted by column, then row; doubles summed, zeros dropped. */
static void tidy_entries(Extension *extension)
{
    if (extension->entries == 0)
        return;
    sort_stable(extension->entry, extension->entries, sizeof *extension->entry, by_place);
    size_t kept = 0;
    for (size_t k = 0; k < extension->entries; k++) {
        const Entry entry = extension->entry[k];
        if (kept > 0 && by_place(&extension->entry[kept - 1], &entry) == 0)
            extension->entry[kept - 1].value += entry.value;
        else
            extension->entry[kept++] = entry;
        if (extension->entry[kept - 1].value == 0 &&
            (k + 1 == extension->entries || by_place(&extension->entry[k + 1], &entry) != 0))
            kept--;
    }
    extension->entries = kept;
}

static void fill_sides(const Extension *extension, SearchProblem *p)
{
    const SearchProblem *base = extension->base;
    for (int j = 0; j < p->columns; j++) {
        const NewColumn *added = j < base->columns ? NULL : &extension->column[j - base->columns];
        p->kind[j] = added ? added->kind : base->kind[j];
        p->objective[j] = added ? added->objective : base->objective[j];
        p->low[j] = added ? added->low : base->low[j];
        p->high[j] = added ? added->high : base->high[j];
    }
    for (int i = 0; i < p->rows; i++) {
        const NewRow *added = i < base->rows ? NULL : &extension->row[i - base->rows];
        p->row_low[i] = added ? added->low : base->row_low[i];
        p->row_high[i] = added ? added->high : base->row_high[i];
    }
}

/* A column's old rows come before its new ones, but a new column may stand in old rows: its entries are sorted already.
 */
static void fill_entries(const Extension *extension, SearchProblem *p)
{
    const SearchProblem *base = extension->base;
    size_t at = 0, next = 0;
    for (int j = 0; j < p->columns; j++) {
        p->start[j] = at;
        for (size_t k = j < base->columns ? base->start[j] : 0; j < base->columns && k < base->start[j + 1];
             k++, at++) {
            p->row[at] = base->row[k];
            p->value[at] = base->value[k];
        }
        for (; next < extension->entries && extension->entry[next].column == j; next++, at++) {
            p->row[at] = extension->entry[next].row;
            p->value[at] = extension->entry[next].value;
        }
    }
    p->start[p->columns] = at;
}

SearchProblem *extension_build(Extension *extension)
{
    tidy_entries(extension);
    const SearchProblem *base = extension->base;
    SearchProblem *p = mem_new(1, sizeof *p);
    const size_t entries = (base->columns > 0 ? base->start[base->columns] : 0) + extension->entries;
    search_problem_init(p, base->columns + (int)extension->columns, base->rows + (int)extension->rows, entries);
    p->protections = protections_copy(base->protections);
    fill_sides(extension, p);
    fill_entries(extension, p);
    mem_free(extension->column);
    mem_free(extension->row);
    mem_free(extension->entry);
    mem_free(extension);
    return p;
}

void extension_problem_free(SearchProblem *problem)
{
    if (problem == NULL)
        return;
    search_problem_release(problem);
    mem_free(problem);
}
