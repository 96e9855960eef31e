/* known.c - see known.h.
 *
 * Two things follow from a scenario that was solved. Where another one only forbids more and the pool still keeps
 * everything, the pool stays: whatever is better or comes before it among equals was allowed before, too. Else, where
 * only sides, bounds and worths differ, the search begins from a copy of the one that is known: its basis, its cuts,
 * the tree of its proof. That search has been asked about a little less and a little more money, too, by which it
 * learns what branching on which column brings: questions take a quarter less then. */
#include "whatif/known.h"

#include "base/number.h"
#include "programme/align.h"

#define WARM_EFFORT 30000  /* pivots; what takes more is left to answer_find */
#define TEACH_EFFORT 20000 /* pivots of each question that only teaches */

struct Known {
    const Loaded *loaded;
    Search *search;
    Answer answer;
};

static bool is_settled(const Answer *answer)
{
    return answer->status == ANSWER_BEST && answer->equals.cost && answer->equals.changes && answer->equals.names;
}

/* What the search finds is left there. The cap is as it was in the end. */
static void teach(Known *known, const SearchOptions *options)
{
    static const int percent[] = {95, 105};
    const SearchProblem *p = &known->loaded->programme->problem;
    const int row = known->loaded->cap_row;
    SearchOptions own = *options;
    SearchResult result;
    if (row < 0 || p->row_high[row] == SEARCH_PLUS_INFINITY)
        return;
    own.gap_ppm = 0;
    own.eager = 0;
    own.effort = TEACH_EFFORT;
    for (size_t k = 0; k < sizeof percent / sizeof *percent; k++) {
        const int64_t cap = (int64_t)((int128)p->row_high[row] * percent[k] / 100);
        search_set_row(known->search, row, p->row_low[row], cap > p->row_low[row] ? cap : p->row_low[row]);
        search_run(known->search, &own, &result);
        search_result_release(&result);
    }
    search_set_row(known->search, row, p->row_low[row], p->row_high[row]);
}

Known *known_new(const Loaded *loaded, const SearchOptions *options, Diags *diags)
{
    const Programme *programme = loaded->programme;
    SearchResult result;
    Known *known = mem_new(1, sizeof *known);
    known->loaded = loaded;
    known->search = search_new(&programme->problem);
    search_run(known->search, options, &result);
    /* A copy: questions begin from what was proven. What is learned among equals makes them slower. */
    Search *copy = search_copy(known->search);
    const EqualsSource source = equals_source(programme, copy, &result);
    const bool good = answer_take(programme, options, &result, true, &known->answer, diags) &&
                      answer_among_equals(programme, options, &source, &known->answer, diags);
    search_result_release(&result);
    search_free(copy);
    if (good)
        teach(known, options);
    if (good && !search_cancelled(options))
        return known;
    known_free(known);
    return NULL;
}

void known_free(Known *known)
{
    if (known == NULL)
        return;
    search_free(known->search);
    answer_release(&known->answer);
    mem_free(known);
}

const Answer *known_answer(const Known *known)
{
    return &known->answer;
}

/* ---- the pool stays ---- */

/* Whatever pools are compared by, besides fit. */
static bool same_order(const Instance *a, const Instance *b)
{
    bool same = a->has_present == b->has_present;
    for (size_t c = 0; same && c < a->cards->count; c++)
        same = instance_buy_price(a, c) == instance_buy_price(b, c) &&
               a->cards->card[c].owned == b->cards->card[c].owned && a->present[c] == b->present[c];
    return same;
}

static bool stays(const Known *known, const Loaded *now, const SearchOptions *options, const Alignment *alignment,
                  Answer *answer)
{
    const Answer *old = &known->answer;
    PoolCheck check;
    if (!alignment->within || !is_settled(old) || !same_order(known->loaded->instance, now->instance))
        return false;
    pool_check(now->instance, old->copies, &check);
    if (!check.kept || check.fit != old->check.fit) {
        pool_check_release(&check);
        return false;
    }
    *answer = *old;
    answer->check = check;
    answer->copies = mem_copy(old->copies, now->instance->cards->count, sizeof *answer->copies);
    answer->gap_ppm = options->gap_ppm;
    answer->columns = now->programme->problem.columns;
    answer->rows = now->programme->problem.rows;
    return true;
}

/* ---- a search that begins from the known one ---- */

static Search *warm_search(const Known *known, const Alignment *alignment)
{
    const SearchProblem *p = &known->loaded->programme->problem;
    Search *search = search_copy(known->search);
    for (int j = 0; j < p->columns; j++) {
        search_set_column(search, j, alignment->low[j], alignment->high[j]);
        search_set_objective(search, j, alignment->worth[j]);
    }
    for (int i = 0; i < p->rows; i++)
        search_set_row(search, i, alignment->row_low[i], alignment->row_high[i]);
    return search;
}

/* The result in now's columns; multipliers, which only estimate, are left behind. */
static void take_back(const Programme *now, const Alignment *alignment, SearchResult *result)
{
    const size_t columns = (size_t)now->problem.columns;
    if (!result->has_solution)
        return;
    int64_t *x = mem_new(columns + 1, sizeof *x);
    for (size_t j = 0; j < columns; j++)
        x[j] = result->x[alignment->column[j]];
    mem_free(result->x);
    result->x = x;
}

/* True: settled, the answer is there. */
static bool solve_warm(const Known *known, const Loaded *now, const SearchOptions *options, const Alignment *alignment,
                       Answer *answer, Diags *diags)
{
    SearchOptions own = *options;
    SearchResult result;
    const int columns = known->loaded->programme->problem.columns;
    own.gap_ppm = 0;
    own.eager = 0;
    own.effort = WARM_EFFORT;
    Search *search = warm_search(known, alignment);
    search_run(search, &own, &result);
    bool settled = false;
    int64_t *best = result.has_solution ? mem_copy(result.x, (size_t)columns, sizeof *result.x) : NULL;
    if (result.status == SEARCH_BEST || result.status == SEARCH_INFEASIBLE) {
        take_back(now->programme, alignment, &result);
        if (answer_take(now->programme, options, &result, true, answer, diags)) {
            const EqualsSource source = {.search = search,
                                         .best = best,
                                         .proven = true,
                                         .column = alignment->column,
                                         .columns = columns,
                                         .cap_row = now->cap_row >= 0 ? known->loaded->cap_row : -1};
            settled = !answer->has_pool ||
                      (answer_among_equals(now->programme, options, &source, answer, diags) && is_settled(answer));
            if (!settled)
                answer_release(answer);
        }
    }
    search_result_release(&result);
    search_free(search);
    mem_free(best);
    return settled;
}

bool known_solve(const Known *known, const Loaded *now, const SearchOptions *options, Answer *answer, Diags *diags)
{
    Alignment alignment;
    bool settled = false;
    if (known != NULL && options->effort == 0 &&
        programme_align(known->loaded->programme, now->programme, &alignment)) {
        settled = stays(known, now, options, &alignment, answer) ||
                  (alignment.whole && solve_warm(known, now, options, &alignment, answer, diags));
        alignment_release(&alignment);
    }
    return settled || (diags->errors == 0 && answer_find(now->programme, options, answer, diags));
}
