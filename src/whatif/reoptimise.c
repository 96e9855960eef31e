/* reoptimise.c - a loaded search and the loaded scenario whose pools it finds. */
#include "whatif/reoptimise.h"

#include "base/memory.h"

struct Reoptimiser {
    const Loaded *loaded;
    Search *search;
};

Reoptimiser *reoptimiser_new(const Loaded *loaded, const SearchProblem *problem)
{
    Reoptimiser *q = mem_new(1, sizeof *q);
    *q = (Reoptimiser){.loaded = loaded, .search = search_new(problem)};
    return q;
}

void reoptimiser_free(Reoptimiser *reoptimiser)
{
    if (reoptimiser == NULL)
        return;
    search_free(reoptimiser->search);
    mem_free(reoptimiser);
}

void reoptimiser_row(Reoptimiser *reoptimiser, int row, int64_t low, int64_t high)
{
    search_set_row(reoptimiser->search, row, low, high);
}

void reoptimiser_column(Reoptimiser *reoptimiser, int column, int64_t low, int64_t high)
{
    search_set_column(reoptimiser->search, column, low, high);
}

void reoptimiser_objective(Reoptimiser *reoptimiser, int column, int64_t coefficient)
{
    search_set_objective(reoptimiser->search, column, coefficient);
}

static Solved solved_of(const SearchResult *result)
{
    return (Solved){.status = result->status,
                    .has_value = result->has_solution,
                    .has_bound = result->bound != SEARCH_PLUS_INFINITY && result->status != SEARCH_INFEASIBLE,
                    .value = result->value,
                    .bound = result->bound,
                    .pivots = result->statistics.pivots};
}

bool reoptimiser_solve(Reoptimiser *reoptimiser, const SearchOptions *options, bool objective_is_fit, Answer *answer,
                       Solved *solved, Diags *diags)
{
    SearchResult result;
    search_run(reoptimiser->search, options, &result);
    *solved = solved_of(&result);
    bool good = answer_take(reoptimiser->loaded->programme, options, &result, objective_is_fit, answer, diags);
    search_result_release(&result);
    return good;
}

bool loaded_solve(const Loaded *loaded, const SearchOptions *options, Answer *answer, Solved *solved, Diags *diags)
{
    Reoptimiser *reoptimiser = reoptimiser_new(loaded, &loaded->programme->problem);
    bool good = reoptimiser_solve(reoptimiser, options, true, answer, solved, diags);
    reoptimiser_free(reoptimiser);
    return good;
}

bool reoptimiser_best(Reoptimiser *reoptimiser, const SearchOptions *options, const SearchOptions *equals,
                      Answer *answer, Diags *diags)
{
    const Programme *programme = reoptimiser->loaded->programme;
    SearchResult result;
    search_run(reoptimiser->search, options, &result);
    bool good = answer_take(programme, options, &result, true, answer, diags);
    if (good) {
        /* A copy: what is asked next begins from what was proven, not from what was looked for among equals. */
        Search *copy = search_copy(reoptimiser->search);
        const EqualsSource source = equals_source(programme, copy, &result);
        good = answer_among_equals(programme, equals, &source, answer, diags);
        if (!good)
            answer_release(answer);
        search_free(copy);
    }
    search_result_release(&result);
    return good;
}

bool loaded_best(const Loaded *loaded, const SearchOptions *options, const SearchOptions *equals, Answer *answer,
                 Diags *diags)
{
    Reoptimiser *reoptimiser = reoptimiser_new(loaded, &loaded->programme->problem);
    const bool good = reoptimiser_best(reoptimiser, options, equals, answer, diags);
    reoptimiser_free(reoptimiser);
    return good;
}
