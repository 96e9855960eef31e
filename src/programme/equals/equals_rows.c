/* equals_rows.c - see equals_rows.h. */
#include "programme/equals/equals_rows.h"

#include "base/memory.h"

/* The cap's row counts the money where there is one, unless it counts risen prices too. */
static void add_cost_row(EqualsRows *r, Extension *extension)
{
    if (!programme_at_risk(r->programme))
        r->cost_row = programme_cap_row(r->programme);
    if (r->cost_row >= 0)
        return;
    r->cost_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (int j = 0; j < r->programme->problem.columns; j++)
        extension_entry(extension, r->cost_row, j, column_price(r->programme, j));
}

static void add_change_row(EqualsRows *r, Extension *extension)
{
    const Instance *in = r->programme->instance;
    r->change_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < in->cards->count; c++) {
        r->kept[c] = card_kept_column(extension, &r->card[c], in->most[c], in->present[c]);
        card_change_entries(extension, r->change_row, &r->card[c], in->present[c], r->kept[c]);
    }
}

void equals_rows_init(EqualsRows *r, const Programme *programme, int64_t fit)
{
    const SearchProblem *p = &programme->problem;
    *r = (EqualsRows){.programme = programme,
                      .card = card_columns_new(programme),
                      .kept = mem_new(programme->instance->cards->count + 1, sizeof *r->kept),
                      .cost_row = -1,
                      .change_row = -1};
    for (size_t c = 0; c < programme->instance->cards->count; c++)
        r->kept[c] = -1;
    Extension *extension = extension_new(p);
    r->fit_row = extension_row(extension, fit, fit);
    for (int j = 0; j < p->columns; j++)
        extension_entry(extension, r->fit_row, j, p->objective[j]);
    add_cost_row(r, extension);
    if (programme->instance->has_present)
        add_change_row(r, extension);
    r->problem = extension_build(extension);
}

void equals_rows_release(EqualsRows *r)
{
    extension_problem_free(r->problem);
    mem_free(r->card);
    mem_free(r->kept);
    *r = (EqualsRows){0};
}

void equals_rows_point(const EqualsRows *r, const int *copies, int64_t *x)
{
    const Instance *in = r->programme->instance;
    programme_solution(r->programme, copies, x);
    for (size_t c = 0; c < in->cards->count; c++)
        if (r->kept[c] >= 0)
            x[r->kept[c]] = copies[c] < in->present[c] ? copies[c] : in->present[c];
}
