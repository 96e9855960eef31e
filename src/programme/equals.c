/* equals.c - see equals.h.
 *
 * A lexicographic programme, solved objective by objective with the earlier ones held fixed as rows (H. Isermann,
 * "Linear lexicographic optimization", OR Spektrum 4, 1982): fit, money, changes. Before each step the relaxation says,
 * by reduced costs, which columns can differ at all among pools of this fit; they are few, and fewer once the money is
 * fixed too. Names are an objective as well: in blocks of cards whose columns can still differ, each card is worth more
 * than all later ones of its block together, in whole numbers. A block that is settled is fixed, and the next one
 * follows. */
#include "programme/equals.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "programme/checker.h"
#include "programme/extend.h"
#include "search/attain.h"

#define STEP_EFFORT 100000         /* pivots of one step: half a second or so */
#define PROOF_TIMES 20             /* as much where the best itself is asked for */
#define ROUNDS 4                   /* of relaxations with more and more cuts, to narrow the columns at first */
#define LATER_ROUNDS 3             /* and before later steps */
#define FEW 24                     /* columns that are open: no more cuts for them */
#define WORTH 8                    /* a round of cuts goes on where it closed one in so many */
#define BLOCK (INT64_C(1) << 20)   /* ways in which the cards of a block can be in */
#define LARGEST (INT64_C(1) << 40) /* coefficient that the search takes */
#define AGAIN 3                    /* times that more fit may come up */

typedef struct {
    int first, second; /* columns of a card's copies; -1: none */
    int kept;          /* column of ours: copies that stay; -1: the first column says it, or none can */
} CardColumns;

typedef struct {
    const Programme *programme;
    const Instance *in;
    const SearchOptions *options;
    SearchProblem *problem; /* the programme's columns and rows first; its objective is fit */
    CardColumns *card;      /* [cards] */
    int fit_row, cost_row, change_row;
    Search *search;
    int64_t *x;   /* [problem.columns] the first pool so far */
    int64_t *own; /* [problem.columns] what the step makes as great as it can be, besides fit */
    int64_t fit;
    int64_t pivots;
    bool more_fit; /* x has more than `fit` */
} Equals;

/* ---- the programme with rows for fit, money and changes ---- */

static void find_columns(Equals *e)
{
    const Programme *programme = e->programme;
    for (size_t c = 0; c < e->in->cards->count; c++)
        e->card[c] = (CardColumns){-1, -1, -1};
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        if (column->role == COLUMN_COPIES || column->role == COLUMN_OWNED)
            e->card[column->card].first = j;
        if (column->role == COLUMN_BOUGHT)
            e->card[column->card].second = j;
    }
}

/* The cap's row counts the money where there is one, unless it counts risen prices too. */
static void add_cost_row(Equals *e, Extension *extension)
{
    for (int i = 0; i < e->programme->problem.rows; i++)
        if (programme_row_is(e->programme, i, LIMIT_CAP) && !programme_at_risk(e->programme))
            e->cost_row = i;
    if (e->cost_row >= 0)
        return;
    e->cost_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < e->in->cards->count; c++) {
        const int64_t price = instance_buy_price(e->in, c);
        if (e->card[c].first >= 0 && e->in->cards->card[c].owned <= 0)
            extension_entry(extension, e->cost_row, e->card[c].first, price);
        if (e->card[c].second >= 0)
            extension_entry(extension, e->cost_row, e->card[c].second, price);
    }
}

/* Copies that stay twice, less all copies: the fewer change, the more it is. */
static void add_change_row(Equals *e, Extension *extension)
{
    e->change_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < e->in->cards->count; c++) {
        CardColumns *card = &e->card[c];
        const int most = e->in->most[c], present = e->in->present[c], kept = present < most ? present : most;
        if (card->first < 0)
            continue;
        extension_entry(extension, e->change_row, card->first, -1);
        if (card->second >= 0)
            extension_entry(extension, e->change_row, card->second, -1);
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
        extension_entry(extension, e->change_row, column, 2);
    }
}

static void build(Equals *e)
{
    const SearchProblem *p = &e->programme->problem;
    Extension *extension = extension_new(p);
    e->fit_row = extension_row(extension, e->fit, e->fit);
    for (int j = 0; j < p->columns; j++)
        extension_entry(extension, e->fit_row, j, p->objective[j]);
    add_cost_row(e, extension);
    if (e->in->has_present)
        add_change_row(e, extension);
    e->problem = extension_build(extension);
}

/* The pool in all columns, with the values that give most. */
static void fill(const Equals *e, const int *copies, int64_t *x)
{
    programme_solution(e->programme, copies, x);
    for (size_t c = 0; c < e->in->cards->count; c++)
        if (e->card[c].kept >= 0)
            x[e->card[c].kept] = copies[c] < e->in->present[c] ? copies[c] : e->in->present[c];
}

static bool is_possible(const Equals *e)
{
    int64_t value;
    return search_problem_trouble(e->problem) == NULL && search_feasible(e->problem, e->x, &value);
}

/* ---- which columns can differ ---- */

static int open_columns(const SearchProblem *p)
{
    int open = 0;
    for (int j = 0; j < p->columns; j++)
        open += p->low[j] < p->high[j];
    return open;
}

/* The problem's box becomes what pools of this fit can have, as the rows are now. */
static void narrow(Equals *e, int rounds)
{
    SearchProblem *p = e->problem;
    Attain *attain;
    p->row_low[e->fit_row] = SEARCH_MINUS_INFINITY; /* it is the objective here */
    p->row_high[e->fit_row] = SEARCH_PLUS_INFINITY;
    attain = attain_new(p);
    p->row_low[e->fit_row] = p->row_high[e->fit_row] = e->fit;
    int before = open_columns(p);
    for (int round = 0; round < rounds && before > FEW; round++) {
        if (round > 0)
            attain_strengthen(attain, e->options->cancel, &e->pivots);
        attain_bound(attain, p->low, p->high, e->options->cancel, &e->pivots);
        if (!attain_tighten(attain, e->fit, p->low, p->high))
            break;
        const int now = open_columns(p);
        if (round > 1 && now > before - before / WORTH)
            break;
        before = now;
    }
    attain_free(attain);
}

/* ---- objectives ---- */

/* The greatest common divisor of the open columns' fit, and the greatest of these divided by it. */
static void fit_grain(const SearchProblem *p, int64_t *grain, int64_t *most)
{
    int64_t largest = 0;
    *grain = 0;
    for (int j = 0; j < p->columns; j++) {
        if (p->low[j] == p->high[j] || p->objective[j] == 0)
            continue;
        const int64_t size = p->objective[j] < 0 ? -p->objective[j] : p->objective[j];
        *grain = gcd64(*grain, size);
        largest = size > largest ? size : largest;
    }
    *grain = *grain > 0 ? *grain : 1;
    *most = largest / *grain;
}

/* What the step's own objective, e->own, can change at most. */
static int128 own_span(const Equals *e)
{
    const SearchProblem *p = e->problem;
    int128 span = 0;
    for (int j = 0; j < p->columns; j++) {
        const int128 size = e->own[j] < 0 ? -(int128)e->own[j] : e->own[j];
        span += size * (p->high[j] - p->low[j]);
    }
    return span;
}

/* Loads the step's own objective, with the fit as a row; or fit itself, each grain of it worth more than all that the
 * own objective can change, where the numbers allow. */
static void load_objective(Equals *e, bool with_fit)
{
    const SearchProblem *p = e->problem;
    int64_t grain, most;
    fit_grain(p, &grain, &most);
    const int128 worth = own_span(e) + 1;
    const bool together = with_fit && worth * (most + 1) <= LARGEST;
    for (int j = 0; j < p->columns; j++) {
        const bool open = p->low[j] < p->high[j];
        const int64_t fit = together && open ? (int64_t)worth * (p->objective[j] / grain) : 0;
        search_set_objective(e->search, j, open ? e->own[j] + fit : 0);
    }
    search_set_row(e->search, e->fit_row, together ? SEARCH_MINUS_INFINITY : e->fit,
                   together ? SEARCH_PLUS_INFINITY : e->fit);
}

/* ---- steps ---- */

static int64_t step_effort(const Equals *e)
{
    const int64_t usual = e->options->gap_ppm > 0 ? STEP_EFFORT : STEP_EFFORT * PROOF_TIMES;
    return e->options->effort > 0 && e->options->effort < usual ? e->options->effort : usual;
}

static bool is_cancelled(const Equals *e)
{
    return e->options->cancel != NULL && *e->options->cancel != 0;
}

/* What was found becomes x, with the values that give most. */
static void take(Equals *e, const int64_t *found)
{
    PoolCheck check;
    int64_t value;
    int *copies = mem_new(e->in->cards->count, sizeof *copies);
    int64_t *full = mem_new((size_t)e->problem->columns + 1, sizeof *full);
    programme_copies(e->programme, found, copies);
    pool_check(e->in, copies, &check);
    fill(e, copies, full);
    e->more_fit = check.kept && check.fit > e->fit;
    const bool full_is_good = e->more_fit || search_feasible(e->problem, full, &value);
    memcpy(e->x, full_is_good ? full : found, (size_t)e->problem->columns * sizeof *e->x);
    pool_check_release(&check);
    mem_free(copies);
    mem_free(full);
}

/* Searches for more of the step's own objective than x has, by up to *left pivots. True: there is none, proven. */
static bool improve(Equals *e, bool with_fit, int64_t *left)
{
    SearchOptions options = *e->options;
    SearchResult result;
    if (*left <= 0 || is_cancelled(e))
        return false;
    options.gap_ppm = 0;
    options.eager = 0;
    options.effort = *left;
    options.start = e->x;
    options.known_bound = SEARCH_PLUS_INFINITY;
    options.target = SEARCH_MINUS_INFINITY;
    options.progress = NULL;
    load_objective(e, with_fit);
    search_run(e->search, &options, &result);
    *left -= result.statistics.pivots + 1;
    e->pivots += result.statistics.pivots;
    if (result.has_solution)
        take(e, result.x);
    const bool proven = result.status == SEARCH_BEST && !e->more_fit;
    search_result_release(&result);
    return proven;
}

static void begin_step(Equals *e, int rounds)
{
    const SearchProblem *p = e->problem;
    narrow(e, rounds);
    for (int j = 0; j < p->columns; j++)
        search_set_column(e->search, j, p->low[j], p->high[j]);
    memset(e->own, 0, (size_t)p->columns * sizeof *e->own);
}

/* The row's sum, times sign, made as great as it can be and then fixed. True: proven. */
static bool settle_row(Equals *e, int row, int sign, bool with_fit)
{
    SearchProblem *p = e->problem;
    int64_t left = step_effort(e), divisor = 0, sum = 0;
    bool any = false;
    begin_step(e, row == e->cost_row ? ROUNDS : LATER_ROUNDS);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == row && p->low[j] < p->high[j]) {
                e->own[j] = sign * p->value[k];
                divisor = gcd64(divisor, p->value[k]);
                any = true;
            }
    for (int j = 0; j < p->columns && any; j++)
        e->own[j] /= divisor;
    const bool proven = !any || improve(e, with_fit, &left);
    if (e->more_fit)
        return false;
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            sum += p->row[k] == row ? p->value[k] * e->x[j] : 0;
    p->row_low[row] = p->row_high[row] = sum;
    search_set_row(e->search, row, sum, sum);
    return proven;
}

static int64_t column_range(const Equals *e, int column)
{
    return column < 0 ? 0 : e->problem->high[column] - e->problem->low[column];
}

static int64_t copies_range(const Equals *e, size_t c)
{
    return column_range(e, e->card[c].first) + column_range(e, e->card[c].second);
}

static void weigh(Equals *e, int column, int64_t weight)
{
    if (column >= 0)
        e->own[column] = weight;
}

static void fix(Equals *e, int column)
{
    if (column < 0)
        return;
    e->problem->low[column] = e->problem->high[column] = e->x[column];
    search_set_column(e->search, column, e->x[column], e->x[column]);
}

/* The cards from..to - 1, each worth more than all that follow. False: not proven. */
static bool settle_block(Equals *e, size_t from, size_t to, int64_t ways, int64_t *left)
{
    bool at_most = true; /* no card of it could have more copies */
    for (size_t c = from; c < to; c++) {
        const CardColumns *card = &e->card[c];
        ways /= copies_range(e, c) + 1;
        weigh(e, card->first, ways);
        weigh(e, card->second, ways);
        at_most = at_most && (card->first < 0 || e->x[card->first] == e->problem->high[card->first]) &&
                  (card->second < 0 || e->x[card->second] == e->problem->high[card->second]);
    }
    const bool proven = at_most || improve(e, true, left);
    for (size_t c = from; c < to && proven; c++) {
        const CardColumns *card = &e->card[c];
        weigh(e, card->first, 0);
        weigh(e, card->second, 0);
        fix(e, card->first);
        fix(e, card->second);
    }
    return proven;
}

static bool settle_names(Equals *e)
{
    const size_t cards = e->in->cards->count;
    int64_t left = step_effort(e);
    begin_step(e, LATER_ROUNDS);
    for (size_t from = 0, to; from < cards; from = to) {
        int64_t ways = copies_range(e, from) + 1;
        for (to = from + 1; to < cards && ways <= BLOCK / (copies_range(e, to) + 1); to++)
            ways *= copies_range(e, to) + 1;
        if (ways > 1 && !settle_block(e, from, to, ways, &left))
            return false;
    }
    return true;
}

/* ---- */

static void release(Equals *e)
{
    search_free(e->search);
    extension_problem_free(e->problem);
    mem_free(e->card);
    mem_free(e->x);
    mem_free(e->own);
}

/* One pass over the steps. True: more fit came up, copies have it. */
static bool pass(const Programme *programme, const SearchOptions *options, int *copies, AmongEquals *among)
{
    const Instance *in = programme->instance;
    PoolCheck check;
    pool_check(in, copies, &check);
    Equals e = {.programme = programme, .in = in, .options = options, .fit = check.fit, .cost_row = -1};
    pool_check_release(&check);
    e.card = mem_new(in->cards->count, sizeof *e.card);
    find_columns(&e);
    build(&e);
    e.x = mem_new((size_t)e.problem->columns + 1, sizeof *e.x);
    e.own = mem_new((size_t)e.problem->columns + 1, sizeof *e.own);
    fill(&e, copies, e.x);
    if (is_possible(&e)) {
        e.search = search_new(e.problem);
        among->cost = settle_row(&e, e.cost_row, -1, false);
        among->changes = !in->has_present || (!e.more_fit && settle_row(&e, e.change_row, 1, true));
        among->names = !e.more_fit && settle_names(&e);
        programme_copies(programme, e.x, copies);
        among->pivots += e.pivots;
    }
    const bool more_fit = e.more_fit;
    release(&e);
    return more_fit;
}

void equals_find(const Programme *programme, const SearchOptions *options, int *copies, AmongEquals *among)
{
    *among = (AmongEquals){.changes = !programme->instance->has_present};
    if (options->cancel != NULL && *options->cancel != 0)
        return;
    for (int k = 0; k < AGAIN && pass(programme, options, copies, among); k++)
        *among = (AmongEquals){.changes = !programme->instance->has_present, .pivots = among->pivots};
}
