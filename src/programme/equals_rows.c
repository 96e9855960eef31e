/* equals_rows.c - see equals_rows.h. */
#include "programme/equals_rows.h"

#include "base/memory.h"
#include "programme/extend.h"

static void find_columns(EqualsRows *r)
{
    const Programme *programme = r->programme;
    const Instance *in = programme->instance;
    for (size_t c = 0; c < in->cards->count; c++)
        r->card[c] = (CardColumns){-1, -1, -1};
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        if (column->role == COLUMN_COPIES || column->role == COLUMN_OWNED)
            r->card[column->card].first = j;
        if (column->role == COLUMN_BOUGHT)
            r->card[column->card].second = j;
    }
}

/* The cap's row counts the money where there is one, unless it counts risen prices too. */
static void add_cost_row(EqualsRows *r, Extension *extension)
{
    const Instance *in = r->programme->instance;
    for (int i = 0; i < r->programme->problem.rows; i++)
        if (programme_row_is(r->programme, i, LIMIT_CAP) && !programme_at_risk(r->programme))
            r->cost_row = i;
    if (r->cost_row >= 0)
        return;
    r->cost_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < in->cards->count; c++) {
        const int64_t price = instance_buy_price(in, c);
        if (r->card[c].first >= 0 && in->cards->card[c].owned <= 0)
            extension_entry(extension, r->cost_row, r->card[c].first, price);
        if (r->card[c].second >= 0)
            extension_entry(extension, r->cost_row, r->card[c].second, price);
    }
}

/* Copies that stay twice, less all copies: the fewer change, the more it is. */
static void add_change_row(EqualsRows *r, Extension *extension)
{
    const Instance *in = r->programme->instance;
    r->change_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < in->cards->count; c++) {
        CardColumns *card = &r->card[c];
        const int most = in->most[c], present = in->present[c], kept = present < most ? present : most;
        if (card->first < 0)
            continue;
        extension_entry(extension, r->change_row, card->first, -1);
        if (card->second >= 0)
            extension_entry(extension, r->change_row, card->second, -1);
        if (kept <= 0)
            continue;
        int column = card->first;
        if (most > 1) {
            column = card->kept = extension_column(extension, kept == 1 ? SEARCH_BINARY : SEARCH_INTEGER, 0, 0, kept);
            const int tie = extension_row(extension, 0, SEARCH_PLUS_INFINITY);
            extension_entry(extension, tie, card->first, 1);
            if (card->second >= 0)
                extension_entry(extension, tie, card->second, 1);
            extension_entry(extension, tie, column, -1);
        }
        extension_entry(extension, r->change_row, column, 2);
    }
}

void equals_rows_init(EqualsRows *r, const Programme *programme, int64_t fit)
{
    const SearchProblem *p = &programme->problem;
    *r = (EqualsRows){.programme = programme,
                      .card = mem_new(programme->instance->cards->count, sizeof *r->card),
                      .cost_row = -1,
                      .change_row = -1};
    find_columns(r);
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
    *r = (EqualsRows){0};
}

void equals_rows_point(const EqualsRows *r, const int *copies, int64_t *x)
{
    const Instance *in = r->programme->instance;
    programme_solution(r->programme, copies, x);
    for (size_t c = 0; c < in->cards->count; c++)
        if (r->card[c].kept >= 0)
            x[r->card[c].kept] = copies[c] < in->present[c] ? copies[c] : in->present[c];
}
