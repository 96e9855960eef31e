/* programme.c - from cards and rules to columns and rows.
 *
 * A card is one column (0/1, or integer where several copies may be in). Where some but not all copies are owned, it is
 * two: owned copies, which cost nothing, and bought ones; a third 0/1 column keeps the order (nothing is bought before
 * all owned copies are in), which matters as soon as a rule asks for a least spending. Rows are built sparse, one at a
 * time (builder.h): those of limits in limit_rows.c, those of what only adds fit in structure.c. */
#include "programme/rows/builder.h"
#include "programme/rows/limit_rows.h"
#include "programme/magnitude.h"
#include "programme/rows/structure.h"

static void add_card_columns(Builder *b, size_t c)
{
    const Instance *in = b->instance;
    int least = in->least[c], most = in->most[c], owned = in->cards->card[c].owned;
    const int64_t fit = structure_objective(in, c);
    ProgrammeColumn about = {.role = COLUMN_COPIES, .card = (long)c, .form = -1};
    if (most <= 0)
        return;
    if (owned <= 0 || owned >= most) {
        SearchKind kind = most == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
        b->first_column[c] = builder_column(b, about, kind, fit, least, most);
        return;
    }
    int least_owned = least < owned ? least : owned;
    SearchKind owned_kind = owned == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    SearchKind bought_kind = most - owned == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    about.role = COLUMN_OWNED;
    b->first_column[c] = builder_column(b, about, owned_kind, fit, least_owned, owned);
    about.role = COLUMN_BOUGHT;
    b->second_column[c] = builder_column(b, about, bought_kind, fit, least - least_owned, most - owned);
}

/* For each card with owned and bought columns: full = 1 only with all owned copies in, and bought copies only with full
 * = 1. */
static void add_order_rows(Builder *b)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        if (b->second_column[c] < 0)
            continue;
        int64_t owned = b->instance->cards->card[c].owned;
        int64_t rest = b->instance->most[c] - owned;
        int full = builder_column(b, (ProgrammeColumn){.role = COLUMN_FULL, .card = (long)c, .form = -1}, SEARCH_BINARY,
                                  0, 0, 1);
        ProgrammeRow about = {.role = ROW_ORDER, .card = (long)c, .form = -1};
        BuiltRow *row = builder_begin(b, about, 0, SEARCH_PLUS_INFINITY);
        builder_entry(b, b->first_column[c], 1);
        builder_entry(b, full, -owned);
        builder_end(b, row);
        row = builder_begin(b, about, SEARCH_MINUS_INFINITY, 0);
        builder_entry(b, b->second_column[c], 1);
        builder_entry(b, full, -rest);
        builder_end(b, row);
    }
}

Programme *programme_new(const Instance *instance, Diags *diags)
{
    Programme *programme = mem_new(1, sizeof *programme);
    programme->instance = instance;
    size_t cards = instance->cards->count;
    Builder b = {.instance = instance, .programme = programme};
    b.first_column = mem_new(cards, sizeof *b.first_column);
    b.second_column = mem_new(cards, sizeof *b.second_column);
    b.in_column = mem_new(cards, sizeof *b.in_column);
    b.chosen_column = mem_new(instance->model->themes, sizeof *b.chosen_column);
    b.coefficient = mem_new(2 * cards, sizeof *b.coefficient);
    b.in_coefficient = mem_new(cards, sizeof *b.in_coefficient);
    for (size_t c = 0; c < cards; c++)
        b.first_column[c] = b.second_column[c] = b.in_column[c] = -1;
    for (size_t c = 0; c < cards; c++)
        add_card_columns(&b, c);
    structure_chosen(&b);
    for (size_t l = 0; l < instance->limits; l++)
        limit_rows(&b, &instance->limit[l]);
    add_order_rows(&b);
    structure_rows(&b);
    builder_turn(&b);
    mem_free(b.first_column);
    mem_free(b.second_column);
    mem_free(b.in_column);
    mem_free(b.chosen_column);
    mem_free(b.coefficient);
    mem_free(b.in_coefficient);
    mem_free(b.row);
    mem_free(b.entry);
    mem_free(b.protection);
    mem_free(b.rise);
    if (programme_magnitudes_good(programme, b.too_large, diags))
        return programme;
    programme_free(programme);
    return NULL;
}

bool programme_at_risk(const Programme *programme)
{
    return programme->problem.protections != NULL;
}

bool programme_row_is(const Programme *programme, int row, LimitKind kind)
{
    return programme->row[row].role == ROW_LIMIT && programme->row[row].limit->kind == kind;
}

int programme_cap_row(const Programme *programme)
{
    for (int i = 0; i < programme->problem.rows; i++)
        if (programme_row_is(programme, i, LIMIT_CAP))
            return i;
    return -1;
}

void programme_free(Programme *programme)
{
    if (programme == NULL)
        return;
    search_problem_release(&programme->problem);
    mem_free(programme->column);
    mem_free(programme->row);
    mem_free(programme);
}

void programme_copies(const Programme *programme, const int64_t *x, int *copies)
{
    for (size_t c = 0; c < programme->instance->cards->count; c++)
        copies[c] = 0;
    for (int j = 0; j < programme->problem.columns; j++) {
        ColumnRole role = programme->column[j].role;
        if (role == COLUMN_COPIES || role == COLUMN_OWNED || role == COLUMN_BOUGHT)
            copies[programme->column[j].card] += (int)x[j];
    }
}
