/* side.c - from a programme to sides and their loosening columns: see side.h.
 *
 * Rows were divided by their greatest common divisor; here they are multiplied again, so that a unit of loosening is a
 * cent, a card, a thousandth. Keeps and bans are rows, so that they can be dropped and blamed as rules are. Order of
 * blame: rules before keeps and bans, those that are given up first (priority 9) before the others, the size last. */
#include "explain/oracle/side.h"

#include "base/number.h"
#include "base/sort.h"
#include "search/risk/protection.h"

#define PERCENT_ONE INT64_C(100000)
#define STRUCTURE_RANK 402 /* behind the cap, before rules of a higher priority */
#define MOST_ROWS 4000     /* bans for which there is no room stay bounds of columns and are never blamed */
#define LARGEST_STEPS (INT64_C(1) << 38)

typedef struct {
    const Programme *programme;
    const Instance *instance; /* with keeps and bans */
    SideProblem *out;
    const SearchProblem *from;
    int64_t *scale;            /* [programme rows] */
    int64_t *least, *greatest; /* [rows] reach of the row within the columns' bounds */
    const Limit **keep, **ban;
    size_t keeps, bans;
    int *upper; /* [programme rows] the row that states the upper side; NULL: each its own */
    int parts;  /* of these, rows that only state an upper side */
    size_t side_capacity;
} Maker;

int loosening_column(const SideProblem *sides, int side)
{
    return sides->columns + side;
}

static int64_t clamp(int128 v, int64_t limit)
{
    return v > limit ? limit : v < -limit ? -limit : (int64_t)v;
}

static void find_reach(const SearchProblem *p, const int64_t *scale, int64_t *least, int64_t *greatest)
{
    int128 *low = mem_new((size_t)p->rows + 1, sizeof *low), *high = mem_new((size_t)p->rows + 1, sizeof *high);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            int128 a = (int128)p->value[k] * scale[p->row[k]];
            low[p->row[k]] += a * (a > 0 ? p->low[j] : p->high[j]);
            high[p->row[k]] += a * (a > 0 ? p->high[j] : p->low[j]);
        }
    for (int r = 0; p->protections != NULL && r < p->protections->count; r++) {
        const Protection *own = &p->protections->row[r];
        for (int k = 0; k < own->entries; k++)
            high[own->row] += (int128)own->entry[k].rise * scale[own->row] * p->high[own->entry[k].column];
    }
    for (int i = 0; i < p->rows; i++) {
        least[i] = clamp(low[i], LARGEST_STEPS * 1024);
        greatest[i] = clamp(high[i], LARGEST_STEPS * 1024);
    }
    mem_free(low);
    mem_free(high);
}

static Side *add_side(Maker *m, Side side)
{
    SideProblem *out = m->out;
    mem_reserve((void **)&out->side, &m->side_capacity, (size_t)out->sides + 1, sizeof *out->side);
    out->side[out->sides] = side;
    return &out->side[out->sides++];
}

/* Units that take the limit to the end of the row's reach. */
static int64_t units_to(int64_t limit, int64_t end, bool low, int64_t step)
{
    int128 distance = low ? (int128)limit - end : (int128)end - limit;
    return distance <= 0 ? 0 : clamp(ceil_div(distance, step), LARGEST_STEPS);
}

static int64_t unit_weight(Measure measure, int priority)
{
    return (1000 / measure_unit(measure)) << (9 - priority);
}

static int64_t step_of(const Limit *limit)
{
    switch (limit->bounds.kind) {
    case BOUND_PERCENT: return PERCENT_ONE;
    case BOUND_ABSOLUTE:
    case BOUND_AVERAGE:
    case BOUND_RATIO: break;
    }
    return 1;
}

/* How sides of a limit are blamed: by numbers or as a whole, how heavy a unit is, and in which order. */
typedef struct {
    bool whole;
    int64_t weight;
    int rank;
} Blamed;

static Blamed blamed_as(const Limit *limit)
{
    switch (limit->kind) {
    case LIMIT_SIZE: return (Blamed){.weight = 1000 << 9, .rank = 3000};
    case LIMIT_CAP: return (Blamed){.weight = 10 << 4, .rank = 100 * 4 + 1};
    case LIMIT_RULE:
        return (Blamed){.weight = unit_weight(limit->measure, limit->priority), .rank = 100 * (9 - limit->priority)};
    case LIMIT_PLACES:
    case LIMIT_RATIO: return (Blamed){.whole = true, .rank = STRUCTURE_RANK};
    case LIMIT_NEEDS:
    case LIMIT_APART:
    case LIMIT_GROUP:
    case LIMIT_CHOICE: return (Blamed){.weight = unit_weight(limit->measure, limit->priority), .rank = STRUCTURE_RANK};
    case LIMIT_KEEP: return (Blamed){.weight = 1000 << 8, .rank = 1000};
    case LIMIT_BAN: return (Blamed){.weight = 1000 << 8, .rank = 2000};
    case LIMIT_KINDS: break;
    }
    return (Blamed){0};
}

/* In one row with the lower side, loosening the upper one by more than the row is over would push the lower side up: so
 * it is where a unit is a large step. Then the upper side stands in a row by itself. */
static bool stands_apart(const Maker *m, int i)
{
    const ProgrammeRow *about = &m->programme->row[i];
    const int64_t low = m->from->row_low[i], high = m->from->row_high[i];
    if (!programme_row_is(m->programme, i, LIMIT_RULE) || low == SEARCH_MINUS_INFINITY || high == SEARCH_PLUS_INFINITY)
        return false;
    return ((int128)high - low) * m->scale[i] < step_of(about->limit) - 1;
}

static void count_parts(Maker *m)
{
    for (int i = 0; i < m->from->rows; i++)
        m->parts += stands_apart(m, i);
}

static void place_uppers(Maker *m)
{
    int next = m->from->rows + (int)(m->keeps + m->bans);
    m->upper = mem_new((size_t)m->from->rows + 1, sizeof *m->upper);
    for (int i = 0; i < m->from->rows; i++)
        m->upper[i] = stands_apart(m, i) ? next++ : i;
}

static void add_row_sides(Maker *m, int i)
{
    const Limit *limit = m->programme->row[i].limit;
    const Blamed blamed = blamed_as(limit);
    for (int high = 0; high < 2; high++) {
        const int64_t end = high ? m->out->problem.row_high[m->upper[i]] : m->out->problem.row_low[i];
        if (end == (high ? SEARCH_PLUS_INFINITY : SEARCH_MINUS_INFINITY))
            continue;
        add_side(m, (Side){.limit = limit,
                           .row = high ? m->upper[i] : i,
                           .low = !high,
                           .step = step_of(limit),
                           .weight = blamed.weight,
                           .hard = !limit->soft,
                           .rank = blamed.rank,
                           .most = units_to(end, high ? m->greatest[i] : m->least[i], !high, step_of(limit))});
    }
}

/* The sides of all rows of limits; those of one limit stand together. */
static void add_limit_sides(Maker *m)
{
    const Limit *last = NULL;
    for (int i = 0; i < m->from->rows; i++) {
        const ProgrammeRow *about = &m->programme->row[i];
        if (about->role != ROW_LIMIT)
            continue;
        const Blamed blamed = blamed_as(about->limit);
        m->out->limit[i] = about->limit;
        if (!blamed.whole)
            add_row_sides(m, i);
        else if (about->limit != last)
            add_side(m, (Side){.limit = about->limit, .row = -1, .step = 1, .hard = true, .rank = blamed.rank});
        last = about->limit;
    }
}

static void add_status_sides(Maker *m)
{
    for (size_t k = 0; k < m->keeps + m->bans; k++) {
        const Limit *limit = k < m->keeps ? m->keep[k] : m->ban[k - m->keeps];
        const Blamed blamed = blamed_as(limit);
        const bool keep = limit->kind == LIMIT_KEEP;
        add_side(m, (Side){.limit = limit,
                           .row = m->from->rows + (int)k,
                           .low = keep,
                           .step = keep ? 1 : m->programme->instance->most[limit->card],
                           .most = 1,
                           .weight = blamed.weight,
                           .hard = true,
                           .rank = blamed.rank});
    }
}

static int by_rank(const void *a, const void *b)
{
    const Side *x = a, *y = b;
    if (x->rank != y->rank)
        return x->rank < y->rank ? -1 : 1;
    if (x->row != y->row)
        return x->row < y->row ? -1 : 1;
    if (x->limit != y->limit)
        return x->limit < y->limit ? -1 : 1;
    return y->low - x->low;
}

static void find_keeps_and_bans(Maker *m)
{
    const Instance *in = m->instance;
    m->keep = mem_new(in->limits, sizeof *m->keep);
    m->ban = mem_new(in->limits, sizeof *m->ban);
    for (size_t l = 0; l < in->limits; l++) {
        const Limit *limit = &in->limit[l];
        if (limit->card < 0 || m->programme->instance->most[limit->card] <= 0)
            continue;
        if (limit->kind == LIMIT_KEEP)
            m->keep[m->keeps++] = limit;
        if (limit->kind == LIMIT_BAN && (int)(m->keeps + m->bans) + m->parts + m->from->rows < MOST_ROWS)
            m->ban[m->bans++] = limit;
    }
}

/* Of the row where it is the limit's sum between its bounds; shares and averages ask for 0, an exact share of a count
 * for less than one card off. */
static Bounds written_bounds(const ProgrammeRow *row)
{
    const Limit *limit = row->limit;
    if (row->role != ROW_LIMIT || (limit->kind != LIMIT_SIZE && limit->kind != LIMIT_CAP && limit->kind != LIMIT_RULE))
        return (Bounds){0};
    if (limit->bounds.kind == BOUND_ABSOLUTE)
        return limit->bounds;
    if (limit->bounds.kind == BOUND_PERCENT && limit->bounds.exactly && measure_is_whole(limit->measure))
        return (Bounds){.has_low = true, .has_high = true, .low = 1 - PERCENT_ONE, .high = PERCENT_ONE - 1};
    return (Bounds){0};
}

/* How the rows of a rule, the size and the cap were written before they were divided. */
static void write_bounds(Maker *m)
{
    SearchProblem *p = &m->out->problem;
    for (int i = 0; i < m->from->rows; i++) {
        const Bounds exact = written_bounds(&m->programme->row[i]);
        int64_t scale = m->scale[i];
        int64_t low = m->from->row_low[i], high = m->from->row_high[i];
        p->row_low[i] = low == SEARCH_MINUS_INFINITY                                  ? low
                        : exact.has_low && (int64_t)ceil_div(exact.low, scale) == low ? exact.low
                                                                                      : low * scale;
        p->row_high[i] = high == SEARCH_PLUS_INFINITY                                      ? high
                         : exact.has_high && (int64_t)floor_div(exact.high, scale) == high ? exact.high
                                                                                           : high * scale;
    }
    for (int i = 0; i < m->from->rows; i++)
        if (m->upper[i] != i) {
            p->row_high[m->upper[i]] = p->row_high[i];
            p->row_high[i] = SEARCH_PLUS_INFINITY;
        }
}

static void allocate(SideProblem *out, int columns, int rows, size_t entries)
{
    search_problem_init(&out->problem, columns, rows, entries);
    out->objective = mem_new((size_t)columns + 1, sizeof *out->objective);
    out->limit = mem_new((size_t)rows + 1, sizeof *out->limit);
}

typedef struct {
    SearchProblem *p;
    size_t entries;
} Filler;

static void put(Filler *f, int row, int64_t value)
{
    if (value == 0)
        return;
    f->p->row[f->entries] = row;
    f->p->value[f->entries++] = value;
}

/* The row of a keep or ban of the card, or -1. Keeps and bans are in card order. */
static int status_row(const Limit *const *list, size_t count, long card, int first)
{
    for (size_t k = 0; k < count; k++)
        if (list[k]->card == card)
            return first + (int)k;
    return -1;
}

static void fill_columns(Maker *m)
{
    SideProblem *out = m->out;
    const SearchProblem *from = m->from;
    Filler f = {&out->problem, 0};
    for (int j = 0; j < from->columns; j++) {
        out->problem.kind[j] = from->kind[j];
        out->problem.low[j] = from->low[j];
        out->problem.high[j] = from->high[j];
        out->problem.objective[j] = out->objective[j] = from->objective[j];
        out->problem.start[j] = f.entries;
        for (size_t k = from->start[j]; k < from->start[j + 1]; k++)
            put(&f, from->row[k], from->value[k] * m->scale[from->row[k]]);
        const ProgrammeColumn *about = m->programme != NULL ? &m->programme->column[j] : NULL;
        bool copies = about != NULL &&
                      (about->role == COLUMN_COPIES || about->role == COLUMN_OWNED || about->role == COLUMN_BOUGHT);
        if (copies && m->instance->most[about->card] <= 0 && status_row(m->ban, m->bans, about->card, 0) < 0)
            out->problem.high[j] = 0; /* one ban too many to be blamed */
        if (copies && m->keeps + m->bans > 0) {
            int row = status_row(m->keep, m->keeps, about->card, from->rows);
            if (row >= 0)
                put(&f, row, 1);
            row = status_row(m->ban, m->bans, about->card, from->rows + (int)m->keeps);
            if (row >= 0)
                put(&f, row, 1);
        }
        for (size_t k = from->start[j]; m->parts > 0 && k < from->start[j + 1]; k++)
            if (m->upper[from->row[k]] != from->row[k])
                put(&f, m->upper[from->row[k]], from->value[k] * m->scale[from->row[k]]);
        put(&f, out->objective_row, from->objective[j]);
    }
    for (int s = 0; s < out->sides; s++) {
        const Side *side = &out->side[s];
        int j = loosening_column(out, s);
        out->problem.kind[j] = side->step == 1 && side->most > 64 ? SEARCH_CONTINUOUS : SEARCH_INTEGER;
        out->problem.start[j] = f.entries;
        if (side->row < 0)
            continue;
        put(&f, side->row, side->low ? side->step : -side->step);
        put(&f, out->weight_row, side->weight);
    }
    out->problem.start[out->problem.columns] = f.entries;
}

/* The rows are multiplied by their scale, and so is what may rise in them. */
static void carry_protections(Maker *m)
{
    SearchProblem *p = &m->out->problem;
    p->protections = protections_copy(m->from->protections);
    for (int r = 0; p->protections != NULL && r < p->protections->count; r++) {
        const Protection *own = &p->protections->row[r];
        for (int k = 0; k < own->entries; k++)
            own->entry[k].rise *= m->scale[own->row];
        p->high[own->threshold] *= m->scale[own->row];
    }
}

static SideProblem *build(Maker *m)
{
    SideProblem *out = m->out;
    const SearchProblem *from = m->from;
    int extra = (int)(m->keeps + m->bans) + m->parts;
    out->columns = from->columns;
    out->objective_row = from->rows + extra;
    out->weight_row = out->objective_row + 1;
    size_t entries = from->start[from->columns] * (m->parts > 0 ? 2 : 1) + 2 * (size_t)from->columns + 4096;
    int most_sides = 3 * from->rows + extra;
    allocate(out, from->columns + most_sides, from->rows + extra + 2, entries + 2 * (size_t)most_sides);
    SearchProblem *p = &out->problem;
    for (int i = 0; i < from->rows; i++) {
        p->row_low[i] = from->row_low[i];
        p->row_high[i] = from->row_high[i];
    }
    for (int i = from->rows; i < p->rows; i++) {
        bool keep = i < from->rows + (int)m->keeps, ban = !keep && i < from->rows + (int)(m->keeps + m->bans);
        p->row_low[i] = keep ? 1 : SEARCH_MINUS_INFINITY;
        p->row_high[i] = ban ? 0 : SEARCH_PLUS_INFINITY;
    }
    m->least = mem_new((size_t)from->rows + 1, sizeof *m->least);
    m->greatest = mem_new((size_t)from->rows + 1, sizeof *m->greatest);
    find_reach(from, m->scale, m->least, m->greatest);
    return out;
}

static void finish(Maker *m)
{
    SideProblem *out = m->out;
    sort_stable(out->side, (size_t)out->sides, sizeof *out->side, by_rank);
    out->problem.columns = out->columns + out->sides;
    fill_columns(m);
    carry_protections(m);
    mem_free(m->scale);
    mem_free(m->least);
    mem_free(m->greatest);
    mem_free(m->keep);
    mem_free(m->ban);
    mem_free(m->upper);
}

SideProblem *side_problem_new(const Programme *programme, const Instance *instance)
{
    Maker m = {
        .programme = programme, .instance = instance, .from = &programme->problem, .out = mem_new(1, sizeof *m.out)};
    m.scale = mem_new((size_t)programme->problem.rows + 1, sizeof *m.scale);
    for (int i = 0; i < programme->problem.rows; i++)
        m.scale[i] = programme->row[i].divisor > 0 ? programme->row[i].divisor : 1;
    count_parts(&m);
    find_keeps_and_bans(&m);
    place_uppers(&m);
    build(&m);
    write_bounds(&m);
    add_limit_sides(&m);
    add_status_sides(&m);
    finish(&m);
    return m.out;
}

void side_problem_free(SideProblem *sides)
{
    if (sides == NULL)
        return;
    search_problem_release(&sides->problem);
    mem_free(sides->objective);
    mem_free(sides->limit);
    mem_free(sides->side);
    mem_free(sides);
}

Instance *side_free_instance(const Instance *instance)
{
    Instance *out = mem_new(1, sizeof *out);
    *out = *instance;
    size_t cards = instance->cards->count;
    out->least = mem_new(cards, sizeof *out->least);
    out->most = mem_new(cards, sizeof *out->most);
    for (size_t c = 0; c < cards; c++) {
        bool no_price = instance->unpriced[c] && instance->model->unpriced == UNPRICED_ERROR &&
                        instance->cards->card[c].owned < instance->cards->card[c].copies;
        bool banned = (instance->status[c] & STATUS_BAN) != 0 && !instance->skipped[c] && !no_price;
        out->most[c] = banned && instance->most[c] <= 0 ? instance->cards->card[c].copies : instance->most[c];
    }
    return out;
}

void side_free_instance_free(Instance *free_instance)
{
    if (free_instance == NULL)
        return;
    mem_free(free_instance->least);
    mem_free(free_instance->most);
    mem_free(free_instance);
}
