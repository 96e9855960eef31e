/* checker.c - see checker.h. Sums are in 128 bits; what could leave them is refused. */
#include "search/certificate/checker.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"

#define LARGEST (INT64_C(1) << 62) /* of multipliers and coefficients */
#define SWEEPS 1000                /* over rows */

static const char TOO_LARGE[] = "its numbers grow too large";

/* A row of the programme, or a cut, which has no lower side. */
typedef struct {
    const int *column;
    const int64_t *value;
    size_t count;
    int64_t low, high;
} Row;

typedef struct {
    int *column;
    int64_t *value;
    size_t count;
    int64_t high;
    bool holds; /* at the node at work */
} Cut;

/* The upper side of a branch, to be begun. */
typedef struct {
    int64_t *low, *high; /* of the node that was parted */
    int column, depth;
    int64_t at;
    size_t held;
} Waiting;

struct CertificateChecker {
    const SearchProblem *p;
    int64_t wanted;
    size_t *row_start; /* the programme's entries by row */
    int *row_column;
    int64_t *row_value;
    Cut *cut;
    size_t cuts, cut_capacity;
    bool *touched; /* [rows] of the programme: a column of it has moved since it was looked at */
    int *held;     /* the cuts that hold at the node at work, in order */
    size_t held_count, held_capacity;
    int64_t *low, *high;
    int depth;
    Waiting *waiting;
    size_t waiting_count, waiting_capacity;
    bool over;
    int128 *sum;      /* [columns] reduced costs, or a cut's coefficients */
    bool *from_upper; /* [columns] scratch of cuts */
};

/* ---- numbers ---- */

static bool add(int128 *sum, int128 more)
{
    return !__builtin_add_overflow(*sum, more, sum);
}

/* a b, of which a may be large. */
static bool multiply(int128 a, int64_t b, int128 *product)
{
    const int128 most = ((int128)1 << 126) / (b == 0 ? 1 : b < 0 ? -(int128)b : b);
    *product = a * (a <= most && a >= -most ? b : 0);
    return a <= most && a >= -most;
}

static bool fits(int128 v)
{
    return v <= LARGEST && v >= -LARGEST;
}

static int128 gcd(int128 a, int128 b)
{
    a = a < 0 ? -a : a;
    b = b < 0 ? -b : b;
    while (b != 0) {
        const int128 rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* ---- rows ---- */

static void sort_by_row(CertificateChecker *c)
{
    const SearchProblem *p = c->p;
    const size_t entries = p->start[p->columns], m = (size_t)p->rows;
    c->row_start = mem_new(m + 2, sizeof *c->row_start);
    c->row_column = mem_new(entries + 1, sizeof *c->row_column);
    c->row_value = mem_new(entries + 1, sizeof *c->row_value);
    for (size_t e = 0; e < entries; e++)
        c->row_start[p->row[e] + 1]++;
    for (size_t i = 0; i < m; i++)
        c->row_start[i + 1] += c->row_start[i];
    size_t *next = mem_copy(c->row_start, m + 1, sizeof *next);
    for (int j = 0; j < p->columns; j++)
        for (size_t e = p->start[j]; e < p->start[j + 1]; e++) {
            const size_t at = next[p->row[e]]++;
            c->row_column[at] = j;
            c->row_value[at] = p->value[e];
        }
    mem_free(next);
}

static Row row_of_cut(const Cut *cut)
{
    return (Row){cut->column, cut->value, cut->count, SEARCH_MINUS_INFINITY, cut->high};
}

/* False where there is no such row at the node at work. */
static bool row_at(const CertificateChecker *c, int number, Row *row)
{
    const SearchProblem *p = c->p;
    if (number < 0 || (number >= p->rows && (size_t)(number - p->rows) >= c->cuts))
        return false;
    if (number < p->rows) {
        const size_t first = c->row_start[number];
        *row = (Row){c->row_column + first, c->row_value + first, c->row_start[number + 1] - first, p->row_low[number],
                     p->row_high[number]};
        return true;
    }
    const Cut *cut = &c->cut[number - p->rows];
    *row = row_of_cut(cut);
    return cut->holds;
}

/* What a row is in the box: its sides are fixed + step times low and high, of which either may be missing. */
typedef struct {
    int128 fixed, step, low, high;
    bool has_low, has_high;
} InBox;

static InBox in_box(const CertificateChecker *c, const Row *row)
{
    InBox in = {.has_low = row->low != SEARCH_MINUS_INFINITY, .has_high = row->high != SEARCH_PLUS_INFINITY};
    for (size_t k = 0; k < row->count; k++) {
        const int j = row->column[k];
        if (c->low[j] == c->high[j])
            in.fixed += (int128)row->value[k] * c->low[j]; /* see search_problem_trouble; cuts are of open columns */
        else if (in.step != 1)
            in.step = gcd(in.step, row->value[k]);
    }
    in.step = in.step == 0 ? 1 : in.step;
    if (in.has_low)
        in.low = ceil_div(row->low - in.fixed, in.step);
    if (in.has_high)
        in.high = floor_div(row->high - in.fixed, in.step);
    return in;
}

/* ---- what follows from single rows ---- */

/* The column's bounds by a side, with this room between it and the row's extreme; a is seen from that side. */
static bool bound_by(int64_t a, int128 room, int64_t *low, int64_t *high)
{
    const int128 steps = room / (a < 0 ? -(int128)a : a);
    if ((int128)*high - *low <= steps)
        return false;
    if (a > 0)
        *high = (int64_t)(*low + steps);
    else
        *low = (int64_t)(*high - steps);
    return true;
}

static void touch(CertificateChecker *c, int column)
{
    for (size_t e = c->p->start[column]; e < c->p->start[column + 1]; e++)
        c->touched[c->p->row[e]] = true;
}

/* False when the row can't hold. */
static bool follow_row(CertificateChecker *c, const Row *row, bool *changed)
{
    const InBox in = in_box(c, row);
    int128 least = 0, most = 0;
    for (size_t k = 0; k < row->count; k++) {
        const int128 a = row->value[k], low = a * c->low[row->column[k]], high = a * c->high[row->column[k]];
        if (!add(&least, a > 0 ? low : high) || !add(&most, a > 0 ? high : low))
            return true; /* nothing is said then */
    }
    const int128 above = in.fixed + in.step * in.high - least, below = most - in.fixed - in.step * in.low;
    if ((in.has_high && above < 0) || (in.has_low && below < 0) || (in.has_low && in.has_high && in.low > in.high))
        return false;
    for (size_t k = 0; k < row->count; k++) {
        const int j = row->column[k];
        const int64_t a = row->value[k];
        int64_t low = c->low[j], high = c->high[j], low2 = low, high2 = high;
        if (low == high)
            continue;
        bool moved = in.has_high && bound_by(a, above, &low, &high);
        moved = (in.has_low && bound_by(-a, below, &low2, &high2)) || moved;
        if (!moved)
            continue;
        c->low[j] = low > low2 ? low : low2;
        c->high[j] = high < high2 ? high : high2;
        touch(c, j);
        *changed = true;
        if (c->low[j] > c->high[j])
            return false;
    }
    return true;
}

/* One round over all rows that may say something new; false when the box holds nothing. */
static bool sweep(CertificateChecker *c, bool *changed)
{
    Row row;
    for (int i = 0; i < c->p->rows; i++) {
        if (!c->touched[i])
            continue;
        c->touched[i] = false;
        row_at(c, i, &row);
        if (!follow_row(c, &row, changed))
            return false;
    }
    for (size_t k = 0; k < c->held_count; k++) {
        row = row_of_cut(&c->cut[c->held[k]]);
        if (!follow_row(c, &row, changed))
            return false;
    }
    return true;
}

/* False when the box holds nothing. */
static bool follow_rows(CertificateChecker *c)
{
    bool changed = true, possible = true;
    for (int round = 0; changed && possible && round < SWEEPS; round++) {
        changed = false;
        possible = sweep(c, &changed);
    }
    memset(c->touched, 0, (size_t)c->p->rows * sizeof *c->touched);
    return possible;
}

/* ---- nodes ---- */

/* The next side that waits and can hold something; over when there is none. */
static void close_node(CertificateChecker *c)
{
    const size_t n = (size_t)c->p->columns;
    for (;;) {
        if (c->waiting_count == 0) {
            c->over = true;
            return;
        }
        Waiting *next = &c->waiting[--c->waiting_count];
        memcpy(c->low, next->low, n * sizeof *c->low);
        memcpy(c->high, next->high, n * sizeof *c->high);
        mem_free(next->low);
        mem_free(next->high);
        while (c->held_count > next->held)
            c->cut[c->held[--c->held_count]].holds = false;
        c->low[next->column] = next->at + 1;
        touch(c, next->column);
        c->depth = next->depth + 1;
        if (follow_rows(c))
            return;
    }
}

CertificateChecker *certificate_checker_new(const SearchProblem *problem, int64_t wanted)
{
    const size_t n = (size_t)problem->columns;
    CertificateChecker *c = mem_new(1, sizeof *c);
    c->p = problem;
    c->wanted = wanted;
    c->low = mem_copy(problem->low, n, sizeof *c->low);
    c->high = mem_copy(problem->high, n, sizeof *c->high);
    c->sum = mem_new(n + 1, sizeof *c->sum);
    c->from_upper = mem_new(n + 1, sizeof *c->from_upper);
    c->touched = mem_new((size_t)problem->rows + 1, sizeof *c->touched);
    memset(c->touched, true, (size_t)problem->rows * sizeof *c->touched);
    sort_by_row(c);
    bool empty = false;
    for (size_t j = 0; j < n; j++)
        empty = empty || c->low[j] > c->high[j];
    if (empty || !follow_rows(c))
        close_node(c);
    return c;
}

void certificate_checker_free(CertificateChecker *c)
{
    if (c == NULL)
        return;
    for (size_t k = 0; k < c->cuts; k++) {
        mem_free(c->cut[k].column);
        mem_free(c->cut[k].value);
    }
    for (size_t k = 0; k < c->waiting_count; k++) {
        mem_free(c->waiting[k].low);
        mem_free(c->waiting[k].high);
    }
    mem_free(c->cut);
    mem_free(c->touched);
    mem_free(c->held);
    mem_free(c->waiting);
    mem_free(c->row_start);
    mem_free(c->row_column);
    mem_free(c->row_value);
    mem_free(c->low);
    mem_free(c->high);
    mem_free(c->sum);
    mem_free(c->from_upper);
    mem_free(c);
}

bool certificate_checker_over(const CertificateChecker *c)
{
    return c->over;
}

int certificate_checker_depth(const CertificateChecker *c)
{
    return c->depth;
}

size_t certificate_checker_waiting(const CertificateChecker *c)
{
    return c->waiting_count;
}

const int64_t *certificate_checker_low(const CertificateChecker *c)
{
    return c->low;
}

const int64_t *certificate_checker_high(const CertificateChecker *c)
{
    return c->high;
}

/* ---- bound, none ---- */

/* The objective of what is fixed, and the step of the rest. */
static void grain(const CertificateChecker *c, int128 *base, int128 *step)
{
    *base = *step = 0;
    for (int j = 0; j < c->p->columns; j++) {
        *base += (int128)c->p->objective[j] * c->low[j];
        if (c->low[j] != c->high[j])
            *step = gcd(*step, c->p->objective[j]);
    }
}

/* B of checker.h, with c->sum as reduced costs. */
static const char *evaluate(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                            int128 *bound)
{
    const int columns = c->p->columns;
    const int128 scale = step->kind == CERTIFICATE_BOUND ? (int128)1 << CERTIFICATE_GRID : 0;
    for (int j = 0; j < columns; j++)
        c->sum[j] = c->p->objective[j] * scale;
    *bound = 0;
    for (size_t t = 0; t < step->terms; t++) {
        const CertificateTerm *term = &certificate->term[step->first_term + t];
        const int64_t y = term->multiplier;
        Row row;
        if (!row_at(c, term->row, &row))
            return "it names a row that is not there";
        if (!fits(y))
            return TOO_LARGE;
        const InBox in = in_box(c, &row);
        if (y > 0 ? !in.has_high : !in.has_low)
            return "it prices a side that a row does not have";
        int128 more;
        if (!multiply(in.fixed + in.step * (y > 0 ? in.high : in.low), y, &more) || !add(bound, more))
            return TOO_LARGE;
        for (size_t k = 0; k < row.count; k++)
            if (!add(&c->sum[row.column[k]], -(int128)y * row.value[k]))
                return TOO_LARGE;
    }
    for (int j = 0; j < columns; j++) {
        int128 more;
        if (!multiply(c->sum[j], c->sum[j] > 0 ? c->high[j] : c->low[j], &more) || !add(bound, more))
            return TOO_LARGE;
    }
    return NULL;
}

/* By reduced costs; room: of what is lost, times 2^40. */
static void tighten(CertificateChecker *c, int128 room, bool *changed)
{
    for (int j = 0; j < c->p->columns; j++) {
        const int128 size = c->sum[j] < 0 ? -c->sum[j] : c->sum[j];
        if (c->low[j] == c->high[j] || size == 0 || room / size >= (int128)c->high[j] - c->low[j])
            continue;
        if (c->sum[j] > 0)
            c->low[j] = (int64_t)(c->high[j] - room / size);
        else
            c->high[j] = (int64_t)(c->low[j] + room / size);
        touch(c, j);
        *changed = true;
    }
}

static const char *take_bound(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                              bool *changed)
{
    int128 bound, base, unit;
    const char *trouble = evaluate(c, certificate, step, &bound);
    if (trouble != NULL)
        return trouble;
    if (step->kind == CERTIFICATE_NONE) {
        *changed = bound < 0;
        if (*changed)
            close_node(c);
        return NULL;
    }
    if (c->wanted == CERTIFICATE_ANY)
        return "no value is asked about, so a bound says nothing";
    grain(c, &base, &unit);
    const int128 whole = bound >> CERTIFICATE_GRID; /* rounds towards minus infinity */
    const int128 reached = unit == 0 ? base : base + floor_div(whole - base, unit) * unit;
    if (reached < c->wanted || whole < c->wanted) {
        *changed = true;
        close_node(c);
        return NULL;
    }
    if (unit == 0)
        return NULL;
    const int128 least = base + ceil_div(c->wanted - base, unit) * unit;
    if (!fits(least))
        return TOO_LARGE;
    tighten(c, bound - least * ((int128)1 << CERTIFICATE_GRID), changed);
    if (*changed && !follow_rows(c))
        close_node(c);
    return NULL;
}

/* ---- cut ---- */

static int128 rounded(int128 a, int128 d, int128 r)
{
    const int128 rest = a - floor_div(a, d) * d;
    return floor_div(a, d) * (d - r) + (rest > r ? rest - r : 0);
}

typedef struct {
    Row row;
    InBox in;
    int128 multiplier; /* of the row over in.step */
} Part;

/* The rows of the sum, with multipliers and divisor over their common divisor. */
static const char *take_parts(const CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                              Part *part, int128 *divisor)
{
    int128 common = step->divisor;
    if (step->divisor < 1)
        return "its divisor is none";
    if (step->divisor > LARGEST)
        return TOO_LARGE;
    for (size_t t = 0; t < step->terms; t++) {
        const CertificateTerm *term = &certificate->term[step->first_term + t];
        if (!row_at(c, term->row, &part[t].row))
            return "it names a row that is not there";
        part[t].in = in_box(c, &part[t].row);
        if (!fits(term->multiplier) || !fits(part[t].in.step) ||
            !multiply(part[t].in.step, term->multiplier, &part[t].multiplier))
            return TOO_LARGE;
        if (term->multiplier > 0 ? !part[t].in.has_high : !part[t].in.has_low)
            return "it prices a side that a row does not have";
        common = gcd(common, part[t].multiplier);
    }
    *divisor = step->divisor / common;
    for (size_t t = 0; t < step->terms; t++) {
        part[t].multiplier /= common;
        if (!fits(part[t].multiplier))
            return TOO_LARGE;
    }
    return NULL;
}

/* c->sum: coefficients of the sum on columns that are not fixed; *side: what it is no more than, measured from the
 * columns' bounds. */
static const char *sum_parts(CertificateChecker *c, const Part *part, size_t parts, int128 *side)
{
    const int columns = c->p->columns;
    memset(c->sum, 0, (size_t)columns * sizeof *c->sum);
    *side = 0;
    for (size_t t = 0; t < parts; t++) {
        int128 more;
        const int64_t m = (int64_t)part[t].multiplier;
        if (!multiply(m > 0 ? part[t].in.high : part[t].in.low, m, &more) || !add(side, more))
            return TOO_LARGE;
        for (size_t k = 0; k < part[t].row.count; k++) {
            const int j = part[t].row.column[k];
            if (c->low[j] != c->high[j] && !add(&c->sum[j], (int128)(part[t].row.value[k] / part[t].in.step) * m))
                return TOO_LARGE;
        }
    }
    for (int j = 0; j < columns; j++) {
        int128 more;
        c->from_upper[j] = c->from_upper[j] && c->sum[j] != 0;
        if (!fits(c->sum[j]) || !multiply(c->sum[j], c->from_upper[j] ? c->high[j] : c->low[j], &more) ||
            !add(side, -more))
            return TOO_LARGE;
    }
    return fits(*side) ? NULL : TOO_LARGE;
}

/* From the sum to the cut, in c->sum; *side becomes its side. */
static const char *round_sum(CertificateChecker *c, const Part *part, size_t parts, int128 d, int128 *side)
{
    const int128 r = *side - floor_div(*side, d) * d;
    int128 more;
    *side = floor_div(*side, d) * (d - r); /* no more than a number that fits, times d: fits twice */
    for (int j = 0; j < c->p->columns; j++) {
        if (c->sum[j] == 0)
            continue;
        const int128 g = rounded(c->from_upper[j] ? -c->sum[j] : c->sum[j], d, r);
        if (!multiply(g, c->from_upper[j] ? c->high[j] : c->low[j], &more) ||
            !add(side, c->from_upper[j] ? -more : more))
            return TOO_LARGE;
        c->sum[j] = c->from_upper[j] ? -g : g;
    }
    for (size_t t = 0; t < parts; t++) {
        const Part *of = &part[t];
        const bool upper = of->multiplier > 0;
        if (of->in.has_low && of->in.has_high && of->in.low == of->in.high)
            continue;
        const int128 g = rounded(upper ? of->multiplier : -of->multiplier, d, r);
        const int128 its = upper ? of->in.high : of->in.low;
        if (!fits(g) || !fits(its) || !add(side, upper ? -g * its : g * its))
            return TOO_LARGE;
        for (size_t k = 0; k < of->row.count; k++) {
            const int j = of->row.column[k];
            more = (int64_t)g * (int128)(of->row.value[k] / of->in.step);
            if (c->low[j] != c->high[j] && !add(&c->sum[j], upper ? -more : more))
                return TOO_LARGE;
        }
    }
    return NULL;
}

/* The row that c->sum and its side are. */
static const char *add_cut(CertificateChecker *c, int128 side, int128 *divided)
{
    const int columns = c->p->columns;
    size_t count = 0;
    int128 g = 0;
    for (int j = 0; j < columns; j++) {
        count += c->sum[j] != 0;
        g = gcd(g, c->sum[j]);
    }
    *divided = g;
    if (count == 0)
        return "it leaves no column";
    for (int j = 0; j < columns; j++)
        if (!fits(c->sum[j] / g))
            return TOO_LARGE;
    if (!fits(floor_div(side, g)))
        return TOO_LARGE;
    Cut cut = {.column = mem_new(count, sizeof *cut.column),
               .value = mem_new(count, sizeof *cut.value),
               .high = (int64_t)floor_div(side, g),
               .holds = true};
    for (int j = 0; j < columns; j++)
        if (c->sum[j] != 0) {
            cut.column[cut.count] = j;
            cut.value[cut.count++] = (int64_t)(c->sum[j] / g);
        }
    mem_reserve((void **)&c->held, &c->held_capacity, c->held_count + 1, sizeof *c->held);
    c->held[c->held_count++] = (int)c->cuts;
    mem_reserve((void **)&c->cut, &c->cut_capacity, c->cuts + 1, sizeof *c->cut);
    c->cut[c->cuts++] = cut;
    return NULL;
}

static const char *round_parts(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                               Part *part, double *scale)
{
    int128 d, side, divided;
    const char *trouble = take_parts(c, certificate, step, part, &d);
    if (trouble == NULL)
        trouble = sum_parts(c, part, step->terms, &side);
    if (trouble != NULL)
        return trouble;
    const int128 r = side - floor_div(side, d) * d;
    trouble = round_sum(c, part, step->terms, d, &side);
    if (trouble == NULL)
        trouble = add_cut(c, side, &divided);
    if (trouble == NULL)
        *scale = (double)divided / (double)(d - r);
    return trouble;
}

static const char *take_cut(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                            double *scale)
{
    memset(c->from_upper, 0, (size_t)c->p->columns * sizeof *c->from_upper);
    for (size_t k = 0; k < step->uppers; k++) {
        const int j = certificate->upper[step->first_upper + k];
        if (j < 0 || j >= c->p->columns)
            return "it names a column that is not there";
        c->from_upper[j] = true;
    }
    Part *part = mem_new(step->terms + 1, sizeof *part);
    const char *trouble = round_parts(c, certificate, step, part, scale);
    mem_free(part);
    if (trouble == NULL && !follow_rows(c))
        close_node(c);
    return trouble;
}

/* ---- branch ---- */

static const char *take_branch(CertificateChecker *c, const CertificateStep *step)
{
    const size_t n = (size_t)c->p->columns;
    const int j = step->column;
    if (j < 0 || j >= c->p->columns)
        return "it names a column that is not there";
    if (step->at < c->low[j] || step->at >= c->high[j])
        return "it parts a column outside its bounds";
    mem_reserve((void **)&c->waiting, &c->waiting_capacity, c->waiting_count + 1, sizeof *c->waiting);
    c->waiting[c->waiting_count++] = (Waiting){.low = mem_copy(c->low, n, sizeof *c->low),
                                               .high = mem_copy(c->high, n, sizeof *c->high),
                                               .column = j,
                                               .depth = c->depth,
                                               .at = step->at,
                                               .held = c->held_count};
    c->high[j] = step->at;
    touch(c, j);
    c->depth++;
    if (!follow_rows(c))
        close_node(c);
    return NULL;
}

/* ---- steps ---- */

const char *certificate_checker_take(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                                     CertificateEffect *effect)
{
    CertificateEffect own = {.changed = true, .scale = 1, .from_upper = c->from_upper};
    const char *trouble = NULL;
    if (c->over)
        return "all is proven before it";
    if (step->depth != c->depth)
        return "it is not of the node that is next";
    switch (step->kind) {
    case CERTIFICATE_BOUND:
    case CERTIFICATE_NONE:
        own.changed = false;
        trouble = take_bound(c, certificate, step, &own.changed);
        break;
    case CERTIFICATE_CUT: trouble = take_cut(c, certificate, step, &own.scale); break;
    case CERTIFICATE_BRANCH: trouble = take_branch(c, step); break;
    }
    if (effect != NULL)
        *effect = own;
    return trouble;
}

const char *certificate_check(const SearchProblem *problem, const Certificate *certificate, size_t *at)
{
    CertificateChecker *c = certificate_checker_new(problem, certificate->wanted);
    const char *trouble = NULL;
    for (*at = 0; *at < certificate->steps; ++*at) {
        trouble = certificate_checker_take(c, certificate, &certificate->step[*at], NULL);
        if (trouble != NULL)
            break;
    }
    if (trouble == NULL && !certificate_checker_over(c))
        trouble = "it ends before all is proven";
    certificate_checker_free(c);
    return trouble;
}
