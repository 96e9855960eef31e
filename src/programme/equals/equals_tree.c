/* equals_tree.c - which columns can differ among pools that are as good, and the tree that finds all of those pools
 * where they are few. */
#include <string.h>

#include "base/memory.h"
#include "programme/equals/equals_inner.h"
#include "programme/equals/equals_part.h"
#include "search/attain.h"

#define FIT_ROUNDS 2     /* of relaxations of fit, with more cuts, to narrow the columns */
#define OWN_ROUNDS 3     /* of cuts for a step's own objective */
#define FIRST_LIMIT 3000 /* pivots of a step's first tree; a later one, from a better pool, may take more */
#define MORE 3           /* so many times */
#define FEW 24           /* columns that are open: no more cuts for them */

/* ---- which columns can differ ---- */

int equals_open_columns(const SearchProblem *p)
{
    int open = 0;
    for (int j = 0; j < p->columns; j++)
        open += p->low[j] < p->high[j];
    return open;
}

/* The problem's box becomes what points of at least `wanted` can have by this relaxation, which gets so many cuts. */
static void narrow(Equals *e, Attain *attain, SearchProblem *p, int64_t wanted, int rounds)
{
    for (int round = 0; round < rounds && equals_open_columns(p) > FEW; round++) {
        if (round > 0)
            attain_strengthen(attain, e->options->cancel, &e->pivots);
        attain_bound(attain, p->low, p->high, e->options->cancel, &e->pivots);
        if (!attain_tighten(attain, wanted, p->low, p->high))
            break;
    }
}

void equals_narrow_fit(Equals *e)
{
    SearchProblem *p = e->rows.problem;
    p->row_low[e->rows.fit_row] = SEARCH_MINUS_INFINITY; /* it is the objective here */
    p->row_high[e->rows.fit_row] = SEARCH_PLUS_INFINITY;
    Attain *attain = attain_new(p);
    p->row_low[e->rows.fit_row] = p->row_high[e->rows.fit_row] = e->fit;
    narrow(e, attain, p, e->fit, FIT_ROUNDS);
    attain_free(attain);
}

/* ---- the tree ---- */

static int64_t own_value(const Equals *e)
{
    int64_t value = 0;
    for (int j = 0; j < e->rows.problem->columns; j++)
        value += e->own[j] * e->x[j];
    return value;
}

static int64_t changes_of(const Instance *in, const int *copies)
{
    int64_t changes = 0;
    for (size_t c = 0; c < in->cards->count && in->has_present; c++)
        changes += copies[c] > in->present[c] ? copies[c] - in->present[c] : in->present[c] - copies[c];
    return changes;
}

bool equals_comes_first(const Instance *in, const int *a, const int *b)
{
    const int64_t less = changes_of(in, a) - changes_of(in, b);
    size_t c = 0;
    while (c + 1 < in->cards->count && a[c] == b[c])
        c++;
    return less != 0 ? less < 0 : a[c] > b[c];
}

static void take_first(Equals *e, const EqualsPart *part, const BoxSearch *search)
{
    const size_t cards = e->in->cards->count, columns = (size_t)e->rows.problem->columns;
    int *best = mem_new(cards + 1, sizeof *best), *copies = mem_new(cards + 1, sizeof *copies);
    int64_t *first = mem_new(columns + 1, sizeof *first), *full = mem_new(columns + 1, sizeof *full);
    for (size_t k = 0; k < search->equals; k++) {
        equals_part_point(part, e->rows.problem, search->equal[k], full);
        programme_copies(e->programme, full, copies);
        if (k > 0 && !equals_comes_first(e->in, copies, best))
            continue;
        memcpy(best, copies, cards * sizeof *best);
        memcpy(first, full, columns * sizeof *first);
    }
    equals_take(e, first);
    mem_free(best);
    mem_free(copies);
    mem_free(first);
    mem_free(full);
}

static bool *card_columns(const Equals *e)
{
    bool *is = mem_new((size_t)e->rows.problem->columns + 1, sizeof *is);
    for (size_t c = 0; c < e->in->cards->count; c++) {
        if (e->rows.card[c].first >= 0)
            is[e->rows.card[c].first] = true;
        if (e->rows.card[c].second >= 0)
            is[e->rows.card[c].second] = true;
    }
    return is;
}

/* One tree with the cuts so far, up to `limit` pivots. True: x has most of the step's own objective, proven. */
static bool one_tree(Equals *e, EqualsPart *part, Attain *attain, const bool *told, int64_t limit, int64_t *pivots)
{
    SearchProblem *p = &part->matrix.p;
    BoxSearch search = {.wanted = own_value(e) - part->offset,
                        .limit = limit,
                        .order_often = true,
                        .threads = e->options->threads,
                        .cancel = e->options->cancel,
                        .told = told,
                        .most = EQUALS_MOST};
    attain_search(attain, p->low, p->high, &search, &e->pivots);
    *pivots = search.pivots;
    const bool proven = search.exhausted;
    e->settled = search.all_equals && search.equals > 0;
    if (e->settled)
        take_first(e, part, &search);
    else if (search.x != NULL) {
        int64_t *full = mem_new((size_t)e->rows.problem->columns + 1, sizeof *full);
        equals_part_point(part, e->rows.problem, search.x, full);
        equals_take(e, full);
        mem_free(full);
    }
    box_search_release(&search);
    return proven;
}

bool equals_by_tree(Equals *e, int64_t effort)
{
    SearchProblem own = *e->rows.problem;
    EqualsPart part;
    own.objective = e->own;
    if (!equals_part_init(&part, &own)) {
        equals_part_release(&part);
        return false;
    }
    SearchProblem *p = &part.matrix.p;
    bool *all = card_columns(e), *told = equals_part_marks(&part, all), proven = false;
    Attain *attain = attain_new(p);
    for (int64_t limit = FIRST_LIMIT, used; effort > 0 && !proven && !e->more_fit && !search_cancelled(e->options);
         limit *= MORE) {
        if (limit > FIRST_LIMIT && equals_open_columns(p) > EQUALS_MANY)
            break;
        narrow(e, attain, p, own_value(e) - part.offset, limit == FIRST_LIMIT ? OWN_ROUNDS + 1 : 2);
        proven = one_tree(e, &part, attain, told, limit < effort ? limit : effort, &used);
        effort -= used + 1;
    }
    equals_part_box(&part, e->rows.problem);
    attain_free(attain);
    equals_part_release(&part);
    mem_free(all);
    mem_free(told);
    e->settled = e->settled && !e->more_fit;
    return proven && !e->more_fit;
}
