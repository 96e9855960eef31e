/* settle.c - see settle.h. */
#include "whatif/settle.h"

#include "programme/rows/card_columns.h"

/* The programme with what is settled as lower bounds, and money to buy, negated, as its objective. */
static SearchProblem *state(const Programme *programme, const int *settled)
{
    const Instance *in = programme->instance;
    CardColumns *card = card_columns_new(programme);
    Extension *extension = extension_new(&programme->problem);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (settled[c] <= 0 || card[c].second < 0)
            continue;
        const int row = extension_row(extension, settled[c], SEARCH_PLUS_INFINITY);
        extension_entry(extension, row, card[c].first, 1);
        extension_entry(extension, row, card[c].second, 1);
    }
    SearchProblem *problem = extension_build(extension);
    for (int j = 0; j < problem->columns; j++)
        problem->objective[j] = -column_price(programme, j);
    for (size_t c = 0; c < in->cards->count; c++)
        if (card[c].second < 0 && card[c].first >= 0 && settled[c] > problem->low[card[c].first])
            problem->low[card[c].first] = settled[c];
    mem_free(card);
    return problem;
}

static void tell(const Instance *in, const int *pool, const SearchResult *result, Settle *settle)
{
    const int *copies = settle->cheapest.has_pool ? settle->cheapest.copies : pool;
    settle->high = -settle->money;
    settle->open = -settle->copies;
    for (size_t c = 0; c < in->cards->count; c++) {
        settle->high += instance_spend(in, c, copies[c]);
        settle->open += copies[c];
    }
    settle->has_low = result->bound != SEARCH_PLUS_INFINITY;
    settle->low = settle->has_low ? -result->bound - settle->money : 0;
}

bool settle_find(const Programme *programme, const int *settled, const int *pool, const SearchOptions *search,
                 Settle *settle, Diags *diags)
{
    const Instance *in = programme->instance;
    SearchOptions options = *search;
    SearchResult result;
    *settle = (Settle){0};
    for (size_t c = 0; c < in->cards->count; c++) {
        settle->copies += settled[c];
        settle->money += instance_spend(in, c, settled[c]);
    }
    SearchProblem *problem = state(programme, settled);
    int64_t *start = mem_new((size_t)problem->columns + 1, sizeof *start);
    programme_solution(programme, pool, start);
    options.start = start;
    options.known_bound = 0; /* no pool is bought for less than nothing */
    options.gap_ppm = 0;
    options.eager = 0;
    Search *run = search_new(problem);
    search_run(run, &options, &result);
    const bool good = answer_take(programme, &options, &result, false, &settle->cheapest, diags);
    if (good)
        tell(in, pool, &result, settle);
    search_result_release(&result);
    search_free(run);
    mem_free(start);
    extension_problem_free(problem);
    return good;
}

void settle_release(Settle *settle)
{
    answer_release(&settle->cheapest);
    *settle = (Settle){0};
}
