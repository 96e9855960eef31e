/* builder.c - columns and rows stated in GLPK's problem object, and loaded from it. */
#include "programme/rows/builder.h"

#include <string.h>

#include "base/number.h"
#include "search/linear/glpk.h"

void builder_init(Builder *b, const Instance *instance)
{
    const size_t cards = instance->cards->count;
    *b = (Builder){.instance = instance, .programme = mem_new(1, sizeof *b->programme)};
    b->programme->instance = instance;
    b->first_column = mem_new(cards, sizeof *b->first_column);
    b->second_column = mem_new(cards, sizeof *b->second_column);
    b->in_column = mem_new(cards, sizeof *b->in_column);
    b->chosen_column = mem_new(instance->model->themes, sizeof *b->chosen_column);
    b->coefficient = mem_new(2 * cards, sizeof *b->coefficient);
    b->in_coefficient = mem_new(cards, sizeof *b->in_coefficient);
    for (size_t c = 0; c < cards; c++)
        b->first_column[c] = b->second_column[c] = b->in_column[c] = -1;
}

void builder_release(Builder *b)
{
    mem_free(b->first_column);
    mem_free(b->second_column);
    mem_free(b->in_column);
    mem_free(b->chosen_column);
    mem_free(b->entry);
    mem_free(b->touched);
    mem_free(b->protection);
    mem_free(b->rise);
    mem_free(b->coefficient);
    mem_free(b->in_coefficient);
}

/* ---- columns ---- */

int builder_column(Builder *b, ProgrammeColumn about, int64_t objective, int64_t low, int64_t high)
{
    Programme *p = b->programme;
    const int column = glp_add_cols(p->lp, 1) - 1;
    glp_set_col_kind(p->lp, column + 1, GLP_IV);
    glp_set_obj_coef(p->lp, column + 1, (double)objective);
    glpk_set_column(p->lp, column, low, high);
    mem_reserve((void **)&p->column, &b->columns_capacity, (size_t)column + 1, sizeof *p->column);
    mem_reserve((void **)&b->entry, &b->entry_capacity, (size_t)column + 1, sizeof *b->entry);
    p->column[column] = about;
    b->entry[column] = 0;
    return column;
}

static int64_t least_of(const Builder *b, int column)
{
    int64_t least;
    glpk_whole(glp_get_col_lb(b->programme->lp, column + 1), &least);
    return least;
}

int64_t builder_most(const Builder *b, int column)
{
    int64_t most;
    glpk_whole(glp_get_col_ub(b->programme->lp, column + 1), &most);
    return most;
}

/* ---- rows ---- */

static int last_row(const Builder *b)
{
    return glp_get_num_rows(b->programme->lp) - 1;
}

void builder_begin(Builder *b, ProgrammeRow about, int64_t low, int64_t high)
{
    Programme *p = b->programme;
    const int row = glp_add_rows(p->lp, 1) - 1;
    mem_reserve((void **)&p->row, &b->rows_capacity, (size_t)row + 1, sizeof *p->row);
    about.divisor = 1;
    p->row[row] = about;
    b->low = low;
    b->high = high;
}

void builder_entry(Builder *b, int column, int64_t value)
{
    if (value == 0 || column < 0)
        return;
    if (b->entry[column] == 0) {
        mem_reserve((void **)&b->touched, &b->touched_capacity, b->touches + 1, sizeof *b->touched);
        b->touched[b->touches++] = column;
    }
    if (__builtin_add_overflow(b->entry[column], value, &b->entry[column]))
        b->too_large = true;
}

void builder_rise(Builder *b, int column, int64_t rise)
{
    if (rise <= 0 || column < 0 || builder_most(b, column) <= 0)
        return;
    BuiltProtection *last = b->protections > 0 ? &b->protection[b->protections - 1] : NULL;
    if (last == NULL || last->row != last_row(b)) {
        mem_reserve((void **)&b->protection, &b->protections_capacity, b->protections + 1, sizeof *b->protection);
        last = &b->protection[b->protections++];
        *last = (BuiltProtection){.row = last_row(b), .first = b->rises};
    }
    mem_reserve((void **)&b->rise, &b->rises_capacity, b->rises + 1, sizeof *b->rise);
    b->rise[b->rises++] = (Rise){column, rise};
    last->count++;
}

/* Divides the sides and rises of the row begun; by what its coefficients are to be divided. */
static int64_t divide(Builder *b)
{
    const bool is_protected = b->protections > 0 && b->protection[b->protections - 1].row == last_row(b);
    const size_t first_rise = is_protected ? b->protection[b->protections - 1].first : b->rises;
    int64_t g = 0;
    for (size_t k = 0; k < b->touches && g != 1; k++)
        g = gcd64(g, b->entry[b->touched[k]]);
    for (size_t k = first_rise; k < b->rises; k++)
        g = gcd64(g, b->rise[k].value);
    /* A share of a rise may take part of a unit of the divided row: then the limit, which may move, must not be rounded
     * to such units. */
    const bool in_parts = is_protected && b->instance->model->protect % 1000 != 0;
    if (g <= 1 || in_parts)
        return 1;
    for (size_t k = first_rise; k < b->rises; k++)
        b->rise[k].value /= g;
    if (b->low != SEARCH_MINUS_INFINITY)
        b->low = (int64_t)ceil_div(b->low, g);
    if (b->high != SEARCH_PLUS_INFINITY)
        b->high = (int64_t)floor_div(b->high, g);
    b->programme->row[last_row(b)].divisor = g;
    return g;
}

void builder_end(Builder *b)
{
    glp_prob *lp = b->programme->lp;
    int count = 0, *index = mem_new(b->touches + 1, sizeof *index);
    double *value = mem_new(b->touches + 1, sizeof *value);
    const int64_t divisor = divide(b);
    glpk_set_row(lp, last_row(b), b->low, b->high);
    for (size_t k = 0; k < b->touches; k++) {
        int64_t *entry = &b->entry[b->touched[k]];
        if (*entry == 0)
            continue; /* taken away again, or seen already */
        index[++count] = b->touched[k] + 1;
        value[count] = (double)(*entry / divisor);
        *entry = 0;
    }
    glp_set_mat_row(lp, last_row(b) + 1, count, index, value);
    b->touches = 0;
    mem_free(index);
    mem_free(value);
}

void builder_cards(Builder *b)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        builder_entry(b, b->first_column[c], b->coefficient[2 * c]);
        builder_entry(b, b->second_column[c], b->coefficient[2 * c + 1]);
        builder_entry(b, b->in_column[c], b->in_coefficient[c]);
    }
}

void builder_clear(Builder *b)
{
    memset(b->coefficient, 0, 2 * b->instance->cards->count * sizeof *b->coefficient);
    memset(b->in_coefficient, 0, b->instance->cards->count * sizeof *b->in_coefficient);
}

void builder_copies(Builder *b, size_t card, int64_t value)
{
    builder_entry(b, b->first_column[card], value);
    builder_entry(b, b->second_column[card], value);
}

int64_t builder_reach(const Builder *b, bool greatest)
{
    int128 sum = 0;
    for (size_t k = 0; k < 2 * b->instance->cards->count; k++) {
        int column = k % 2 == 0 ? b->first_column[k / 2] : b->second_column[k / 2];
        int64_t a = b->coefficient[k];
        if (column < 0 || a == 0)
            continue;
        sum += (int128)a * ((a > 0) == greatest ? builder_most(b, column) : least_of(b, column));
    }
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        const int64_t a = b->in_coefficient[c];
        sum += (a > 0) == greatest ? a : b->instance->least[c] > 0 ? a : 0;
    }
    const int128 limit = INT64_MAX / 2;
    return sum > limit ? INT64_MAX / 2 : sum < -limit ? -(INT64_MAX / 2) : (int64_t)sum;
}

int builder_in(Builder *b, size_t card)
{
    const int most = b->instance->most[card];
    if (most <= 1)
        return b->first_column[card];
    if (b->in_column[card] >= 0)
        return b->in_column[card];
    int in =
        builder_column(b, (ProgrammeColumn){.role = COLUMN_IN, .card = (long)card, .form = -1, .theme = -1}, 0, 0, 1);
    b->in_column[card] = in;
    ProgrammeRow about = {.role = ROW_IN, .card = (long)card, .form = -1};
    builder_begin(b, about, 0, SEARCH_PLUS_INFINITY); /* in only with a copy */
    builder_copies(b, card, 1);
    builder_entry(b, in, -1);
    builder_end(b);
    builder_begin(b, about, SEARCH_MINUS_INFINITY, 0); /* no copy without being in */
    builder_copies(b, card, 1);
    builder_entry(b, in, -most);
    builder_end(b);
    return in;
}

void builder_count_in(Builder *b, size_t card, int64_t value)
{
    const int column = builder_in(b, card);
    if (column < 0)
        return;
    int64_t *sum = column == b->first_column[card] ? &b->coefficient[2 * card] : &b->in_coefficient[card];
    if (__builtin_add_overflow(*sum, value, sum))
        b->too_large = true;
}

/* ---- what protects rows ---- */

void builder_protect(Builder *b)
{
    Programme *p = b->programme;
    for (size_t k = 0; k < b->protections; k++) {
        BuiltProtection *built = &b->protection[k];
        int64_t most = 0;
        for (size_t e = built->first; e < built->first + built->count; e++) {
            const int64_t all = b->rise[e].value * builder_most(b, b->rise[e].column);
            most = all > most ? all : most;
        }
        built->threshold = builder_column(
            b,
            (ProgrammeColumn){
                .role = COLUMN_THRESHOLD, .card = -1, .limit = p->row[built->row].limit, .form = -1, .theme = -1},
            0, 0, most);
        glp_set_col_kind(p->lp, built->threshold + 1, GLP_CV);
    }
}

static Protections *protections_of(const Builder *b)
{
    Protections *protections = protections_new();
    const int64_t protect = b->instance->model->protect, common = gcd64(protect, 1000);
    int64_t *rise = mem_new(b->rises, sizeof *rise);
    int *column = mem_new(b->rises, sizeof *column);
    for (size_t e = 0; e < b->rises; e++) {
        column[e] = b->rise[e].column;
        rise[e] = b->rise[e].value;
    }
    for (size_t k = 0; k < b->protections; k++) {
        const BuiltProtection *built = &b->protection[k];
        protections_add(protections, built->row, built->threshold, protect / common, 1000 / common, (int)built->count,
                        column + built->first, rise + built->first);
    }
    mem_free(column);
    mem_free(rise);
    return protections;
}

bool builder_load(Builder *b)
{
    SearchProblem *problem = &b->programme->problem;
    search_problem_release(problem);
    const bool exact = glpk_load(b->programme->lp, problem);
    if (b->protections > 0)
        problem->protections = protections_of(b);
    return exact;
}
