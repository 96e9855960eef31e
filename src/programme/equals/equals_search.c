/* equals_search.c - the pools of a fit from the search that found it. That no pool of this fit costs less is proven
 * much as that none has more: by the same tree, with the cap where the pool found has its cost. Under price risk, where
 * what is paid is no side, and where the fit is not proven best yet, it is all pools of the best fit that are looked
 * for: they are few as well. */
#include "programme/equals/equals_inner.h"

#include <string.h>

#include "programme/count/checker.h"
#include "base/memory.h"

#define EFFORT 20000         /* pivots; what takes more is left to the steps one by one ... */
#define PROOF_TIMES 5        /* ... unless all is to be proven: so many times what the proof of the fit took ... */
#define MOST_EFFORT 2000000  /* ... at most; what takes ... */
#define LEAST_TIMES 3        /* ... so many times as much, more often than not, is not tried beyond that */
#define EFFORT_AT_RISK 40000 /* where the steps are dearer */

static bool *told_columns(const Programme *programme, const EqualsSource *source)
{
    const size_t cards = programme->instance->cards->count;
    CardColumns *card = card_columns_new(programme);
    bool *told = mem_new((size_t)source->columns + 1, sizeof *told);
    for (size_t c = 0; c < cards; c++) {
        if (card[c].first >= 0)
            told[source->column != NULL ? source->column[card[c].first] : card[c].first] = true;
        if (card[c].second >= 0)
            told[source->column != NULL ? source->column[card[c].second] : card[c].second] = true;
    }
    mem_free(card);
    return told;
}

static void copies_of(const Programme *programme, const EqualsSource *source, const int64_t *x, int *copies)
{
    const size_t columns = (size_t)programme->problem.columns;
    int64_t *own = mem_new(columns + 1, sizeof *own);
    for (size_t j = 0; j < columns; j++)
        own[j] = x[source->column != NULL ? source->column[j] : (int)j];
    programme_copies(programme, own, copies);
    mem_free(own);
}

static int64_t effort_for(const Programme *programme, const SearchOptions *options, const EqualsSource *source)
{
    const int64_t times = source->pivots * PROOF_TIMES;
    int64_t most = programme_at_risk(programme) ? EFFORT_AT_RISK : EFFORT;
    if (options->gap_ppm == 0 && times > most && source->pivots <= MOST_EFFORT / LEAST_TIMES)
        most = times < MOST_EFFORT ? times : MOST_EFFORT;
    return options->effort > 0 && options->effort < most ? options->effort : most;
}

static bool has_more_fit(const Instance *in, const int *copies, const int *than)
{
    PoolCheck own, other;
    pool_check(in, copies, &own);
    pool_check(in, than, &other);
    const bool more = own.kept && own.fit > other.fit;
    pool_check_release(&own);
    pool_check_release(&other);
    return more;
}

bool equals_by_search(const Programme *programme, const SearchOptions *options, const EqualsSource *source, int *copies,
                      int64_t *pivots)
{
    const Instance *in = programme->instance;
    bool *told = told_columns(programme, source);
    int *other = mem_new(in->cards->count + 1, sizeof *other);
    SearchEquals equals = {.row = source->cap_row,
                           .told = told,
                           .most = EQUALS_MOST,
                           .proven = source->proven,
                           .effort = effort_for(programme, options, source)};
    search_equals(source->search, options, source->best, &equals);
    const bool better = !equals.all && !source->proven && equals.count > 0;
    for (size_t k = 0; k < equals.count && (equals.all || better); k++) {
        copies_of(programme, source, equals.point[k], other);
        if (better ? has_more_fit(in, other, copies) : k == 0 || equals_comes_first(in, other, copies))
            memcpy(copies, other, in->cards->count * sizeof *copies);
    }
    const bool all = equals.all;
    *pivots += equals.pivots;
    search_equals_release(&equals);
    mem_free(told);
    mem_free(other);
    return all;
}
