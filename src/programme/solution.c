/* solution.c - a pool as values of the programme's columns. */
#include "base/memory.h"
#include "base/number.h"
#include "programme/count/checker.h"
#include "programme/programme.h"

static bool set_card_columns(const Programme *programme, const int *copies, int64_t *x)
{
    const Instance *in = programme->instance;
    int *left = mem_copy(copies, in->cards->count, sizeof *left);
    const SearchProblem *p = &programme->problem;
    for (int j = 0; j < p->columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        x[j] = 0;
        if (!column_is_card(column->role) && column->role != COLUMN_FULL)
            continue;
        if (column->role == COLUMN_FULL) {
            x[j] = copies[column->card] >= in->cards->card[column->card].owned;
            continue;
        }
        int64_t take = left[column->card] < p->high[j] ? left[column->card] : p->high[j];
        left[column->card] -= (int)take;
        x[j] = take;
    }
    bool all = true;
    for (size_t c = 0; c < in->cards->count; c++)
        all = all && left[c] == 0;
    mem_free(left);
    return all;
}

/* ---- forms: the values with which they give most, from the checker's count ---- */

static bool same_themes(const Instance *in, const Limit *limit, size_t a, size_t b)
{
    for (size_t k = 0; k < limit->of_themes; k++) {
        const size_t theme = (size_t)limit->of_theme[k];
        if ((instance_theme_tag(in, theme, a) != NULL) != (instance_theme_tag(in, theme, b) != NULL))
            return false;
    }
    return true;
}

/* Copies in places of the column's theme: of its card, or of all cards like it. */
static int64_t copies_in_place(const Instance *in, const ProgrammeColumn *column, const PoolCheck *check)
{
    int64_t copies = 0;
    for (size_t k = 0; k < check->places; k++) {
        const PlaceUse *place = &check->place[k];
        if (place->limit != column->limit || place->theme != column->theme)
            continue;
        bool counts = column->role == COLUMN_PLACE ? place->card == (size_t)column->card
                                                   : same_themes(in, column->limit, place->card, (size_t)column->card);
        copies += counts ? place->copies : 0;
    }
    return copies;
}

static int64_t depth_units(const FormUse *use, const ProgrammeColumn *column)
{
    int64_t units = use->idle ? 0 : use->use / 1000;
    for (long k = 0; k < column->theme; k++)
        units -= units < use->form->step[k].width ? units : use->form->step[k].width;
    return units;
}

static int64_t form_value(const Programme *programme, const ProgrammeColumn *column, const int *copies,
                          const PoolCheck *check)
{
    const Instance *in = programme->instance;
    switch (column->role) {
    case COLUMN_IN: return copies[column->card] > 0;
    case COLUMN_CHOSEN: return check->chosen[column->theme];
    case COLUMN_STAY:
        return copies[column->card] < in->present[column->card] ? copies[column->card] : in->present[column->card];
    case COLUMN_THEME_FIT: return check->form[column->form].gain;
    case COLUMN_ENGINE: return check->form[column->form].gain / in->form[column->form].gain;
    case COLUMN_SETS:
    case COLUMN_EVENNESS: return check->form[column->form].use;
    case COLUMN_DEPTH: return depth_units(&check->form[column->form], column);
    case COLUMN_TOGETHER: return check->form[column->form].gain > 0;
    case COLUMN_PLACE:
    case COLUMN_KIND_PLACE: return copies_in_place(in, column, check);
    case COLUMN_COPIES:
    case COLUMN_OWNED:
    case COLUMN_BOUGHT:
    case COLUMN_FULL:
    case COLUMN_MISSED:
    case COLUMN_OVER:
    case COLUMN_THRESHOLD: break; /* set elsewhere */
    }
    return 0;
}

static void set_form_columns(const Programme *programme, const int *copies, int64_t *x)
{
    const SearchProblem *p = &programme->problem;
    PoolCheck check;
    pool_check(programme->instance, copies, &check);
    for (int j = 0; j < p->columns; j++) {
        if (programme->column[j].role < COLUMN_IN)
            continue;
        int64_t value = form_value(programme, &programme->column[j], copies, &check);
        x[j] = value < p->low[j] ? p->low[j] : value > p->high[j] ? p->high[j] : value;
    }
    pool_check_release(&check);
}

/* Least units missed: what the row lacks, in whole units. */
static void set_missed_columns(const Programme *programme, int64_t *x)
{
    const SearchProblem *p = &programme->problem;
    int128 *use = mem_new((size_t)p->rows, sizeof *use);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            use[p->row[k]] += (int128)p->value[k] * x[j];
    for (int j = 0; j < p->columns; j++) {
        if (programme->column[j].role != COLUMN_MISSED)
            continue;
        size_t k = p->start[j];
        int128 lacks =
            p->value[k] > 0 ? p->row_low[p->row[k]] - use[p->row[k]] : use[p->row[k]] - p->row_high[p->row[k]];
        int64_t unit = p->value[k] > 0 ? p->value[k] : -p->value[k];
        int128 units = lacks > 0 ? ceil_div(lacks, unit) : 0;
        x[j] = units > p->high[j] ? p->high[j] : (int64_t)units;
    }
    mem_free(use);
}

static bool has_form_columns(const Programme *programme)
{
    bool any = false;
    for (int j = 0; j < programme->problem.columns; j++)
        any = any || programme->column[j].role >= COLUMN_IN;
    return any;
}

bool programme_solution(const Programme *programme, const int *copies, int64_t *x)
{
    bool all = set_card_columns(programme, copies, x);
    if (has_form_columns(programme))
        set_form_columns(programme, copies, x);
    set_missed_columns(programme, x);
    search_settle(&programme->problem, x);
    return all;
}
