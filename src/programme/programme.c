/* programme.c - from cards and rules to columns and rows.
 *
 * A card is one column (0/1, or integer where several copies may be in). Where some but not all copies are owned, it is
 * two: owned copies, which cost nothing, and bought ones; a third 0/1 column keeps the order (nothing is bought before
 * all owned copies are in), which matters as soon as a rule asks for a least spending. Rows are stated one at a time in
 * GLPK's problem object (builder.h), those of limits in limit_rows.c, those of what only adds fit in structure.c; the
 * search's matrix is loaded from it. */
#include "programme/rows/builder.h"
#include "programme/rows/limit_rows.h"
#include "programme/magnitude.h"
#include "programme/rows/structure.h"
#include "search/linear/glpk.h"
#include "search/risk/protection.h"

static void add_card_columns(Builder *b, size_t c)
{
    const Instance *in = b->instance;
    int least = in->least[c], most = in->most[c], owned = in->cards->card[c].owned;
    const int64_t fit = structure_objective(in, c);
    ProgrammeColumn about = {.role = COLUMN_COPIES, .card = (long)c, .form = -1};
    if (most <= 0)
        return;
    if (owned <= 0 || owned >= most) {
        b->first_column[c] = builder_column(b, about, fit, least, most);
        return;
    }
    int least_owned = least < owned ? least : owned;
    about.role = COLUMN_OWNED;
    b->first_column[c] = builder_column(b, about, fit, least_owned, owned);
    about.role = COLUMN_BOUGHT;
    b->second_column[c] = builder_column(b, about, fit, least - least_owned, most - owned);
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
        int full = builder_column(b, (ProgrammeColumn){.role = COLUMN_FULL, .card = (long)c, .form = -1}, 0, 0, 1);
        ProgrammeRow about = {.role = ROW_ORDER, .card = (long)c, .form = -1};
        builder_begin(b, about, 0, SEARCH_PLUS_INFINITY);
        builder_entry(b, b->first_column[c], 1);
        builder_entry(b, full, -owned);
        builder_end(b);
        builder_begin(b, about, SEARCH_MINUS_INFINITY, 0);
        builder_entry(b, b->second_column[c], 1);
        builder_entry(b, full, -rest);
        builder_end(b);
    }
}

static void state(void *builder)
{
    Builder *b = builder;
    const Instance *in = b->instance;
    b->programme->lp = glp_create_prob();
    glp_set_obj_dir(b->programme->lp, GLP_MAX);
    for (size_t c = 0; c < in->cards->count; c++)
        add_card_columns(b, c);
    structure_chosen(b);
    for (size_t l = 0; l < in->limits; l++)
        limit_rows(b, &in->limit[l]);
    add_order_rows(b);
    structure_rows(b);
    builder_protect(b);
    glpk_name(b->programme->lp);
}

bool programme_at_risk(const Programme *programme)
{
    return programme->problem.protections != NULL;
}

static void release_lp(Programme *programme)
{
    if (programme->lp != NULL)
        glp_delete_prob(programme->lp);
    programme->lp = NULL;
}

/* In place of protections, columns and rows behind all others. */
static void compact(void *builder)
{
    Programme *to = ((Builder *)builder)->programme;
    const Protections *protections = to->problem.protections;
    SearchProblem *problem = protections_compact(&to->problem);
    int column = to->problem.columns, row = to->problem.rows;
    to->column = mem_resize(to->column, (size_t)problem->columns, sizeof *to->column);
    to->row = mem_resize(to->row, (size_t)problem->rows, sizeof *to->row);
    for (int r = 0; r < protections->count; r++) {
        const Protection *own = &protections->row[r];
        to->row[own->row].factor = own->weight > 1 ? own->weight : 0;
        for (int e = 0; e < own->entries; e++) {
            const long card = to->column[own->entry[e].column].card;
            to->column[column++] = (ProgrammeColumn){.role = COLUMN_OVER, .card = card, .form = -1, .theme = -1};
            to->row[row++] = (ProgrammeRow){.role = ROW_OVER, .card = card, .form = -1, .divisor = 1};
        }
    }
    search_problem_release(&to->problem);
    to->problem = *problem;
    mem_free(problem);
    release_lp(to);
    to->lp = glpk_problem(&to->problem);
    glpk_name(to->lp);
}

/* work, with GLPK's object, which is lost where GLPK gives up. */
static bool guarded(void (*work)(void *), Builder *b, Diags *diags)
{
    if (glpk_guarded(work, b))
        return true;
    b->programme->lp = NULL;
    diag_error(diags, (SourcePos){0}, "the GLPK library gave up while the programme was put together");
    return false;
}

static bool state_and_load(Builder *b, Diags *diags)
{
    if (!guarded(state, b, diags))
        return false;
    const bool exact = builder_load(b);
    if (!programme_magnitudes_good(b->programme, b->too_large, diags))
        return false;
    if (!exact)
        diag_error(diags, (SourcePos){.file = b->instance->model->path},
                   "the numbers are too large to be exact: the amount of a limit");
    return exact;
}

static Programme *make(const Instance *instance, bool for_others, Diags *diags)
{
    Builder b;
    builder_init(&b, instance);
    Programme *programme = b.programme;
    bool good = state_and_load(&b, diags);
    if (good && for_others && programme_at_risk(programme))
        good = guarded(compact, &b, diags);
    if (!for_others)
        release_lp(programme); /* an entry takes more there than anywhere in the search */
    builder_release(&b);
    if (good)
        return programme;
    programme_free(programme);
    return NULL;
}

Programme *programme_new(const Instance *instance, Diags *diags)
{
    return make(instance, false, diags);
}

Programme *programme_compact(const Instance *instance, Diags *diags)
{
    return make(instance, true, diags);
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
    release_lp(programme);
    search_problem_release(&programme->problem);
    mem_free(programme->column);
    mem_free(programme->row);
    mem_free(programme);
}

bool column_is_card(ColumnRole role)
{
    return role == COLUMN_COPIES || role == COLUMN_OWNED || role == COLUMN_BOUGHT;
}

void programme_copies(const Programme *programme, const int64_t *x, int *copies)
{
    for (size_t c = 0; c < programme->instance->cards->count; c++)
        copies[c] = 0;
    for (int j = 0; j < programme->problem.columns; j++) {
        if (column_is_card(programme->column[j].role))
            copies[programme->column[j].card] += (int)x[j];
    }
}
