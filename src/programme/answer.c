/* answer.c - programme in, checked answer out. A pool that the checker does not accept, or whose fit is not what the
 * search said or above what it proved, is never an answer. */
#include "programme/answer.h"

#include "base/memory.h"
#include "base/number.h"

/* One that failed counts as stopped: the caller reports the failure. */
static AnswerStatus status_from(SearchStatus status)
{
    switch (status) {
    case SEARCH_BEST: return ANSWER_BEST;
    case SEARCH_WITHIN_GAP: return ANSWER_WITHIN_GAP;
    case SEARCH_INFEASIBLE: return ANSWER_INFEASIBLE;
    case SEARCH_STOPPED:
    case SEARCH_FAILED: break;
    }
    return ANSWER_STOPPED;
}

static bool take_pool(const Programme *programme, const SearchResult *result, bool objective_is_fit, Answer *answer,
                      Diags *diags)
{
    programme_copies(programme, result->x, answer->copies);
    pool_check(programme->instance, answer->copies, &answer->check);
    if (!answer->check.kept) {
        diag_error(diags, (SourcePos){0},
                   "internal fault: the pool found breaks a rule when it is counted again; it is not shown");
        return false;
    }
    if (objective_is_fit && answer->check.fit < result->value) {
        diag_error(diags, (SourcePos){0},
                   "internal fault: the pool found has another fit when it is counted again; it is not shown");
        return false;
    }
    if (answer->has_bound && answer->check.fit > answer->bound) {
        diag_error(diags, (SourcePos){0},
                   "internal fault: the pool found has more fit, when it is counted again, than was proven to be the "
                   "most; it is not shown");
        return false;
    }
    answer->has_pool = true;
    return true;
}

bool answer_take(const Programme *programme, const SearchOptions *options, const SearchResult *result,
                 bool objective_is_fit, Answer *answer, Diags *diags)
{
    Answer found = {
        .status = status_from(result->status),
        .copies = mem_new(programme->instance->cards->count, sizeof *found.copies),
        .has_bound = objective_is_fit && result->bound != SEARCH_PLUS_INFINITY,
        .bound = result->bound,
        .gap_ppm = options->gap_ppm,
        .statistics = result->statistics,
        .columns = programme->problem.columns,
        .rows = programme->problem.rows,
    };
    bool good = result->status != SEARCH_FAILED;
    if (!good)
        diag_error(diags, (SourcePos){0}, "the search could not run: %s", result->why_failed);
    else if (result->has_solution)
        good = take_pool(programme, result, objective_is_fit, &found, diags);
    if (good)
        *answer = found;
    else
        answer_release(&found);
    return good;
}

/* What follows from fit and bound as they are now. */
static void settle_status(Answer *answer)
{
    const int64_t gap = answer_gap_ppm(answer);
    if (answer->has_pool && answer->has_bound && answer->bound == answer->check.fit)
        answer->status = ANSWER_BEST;
    else if (answer->status == ANSWER_STOPPED && gap >= 0 && gap <= answer->gap_ppm)
        answer->status = ANSWER_WITHIN_GAP;
}

void answer_lower_bound(Answer *answer, int64_t bound)
{
    if (answer->status == ANSWER_INFEASIBLE || (answer->has_bound && answer->bound <= bound))
        return;
    answer->has_bound = true;
    answer->bound = bound;
    settle_status(answer);
}

bool answer_among_equals(const Programme *programme, const SearchOptions *options, const EqualsSource *source,
                         Answer *answer, Diags *diags)
{
    if (!answer->has_pool)
        return true;
    PoolCheck check;
    int *copies = mem_copy(answer->copies, programme->instance->cards->count, sizeof *copies);
    equals_find(programme, options, source, copies, &answer->equals);
    pool_check(programme->instance, copies, &check);
    const bool good = check.kept && check.fit >= answer->check.fit;
    if (good) {
        mem_free(answer->copies);
        pool_check_release(&answer->check);
        answer->copies = copies;
        answer->check = check; /* of more fit than it was, perhaps */
        if (answer->equals.fit)
            answer_lower_bound(answer, check.fit);
        settle_status(answer);
        return true;
    }
    mem_free(copies);
    pool_check_release(&check);
    diag_error(diags, (SourcePos){0},
               "internal fault: the pool among equals breaks a rule when it is counted again; it is not shown");
    return false;
}

bool answer_find(const Programme *programme, const SearchOptions *options, Answer *answer, Diags *diags)
{
    return answer_find_above(programme, options, INT64_MIN, answer, diags);
}

bool answer_find_above(const Programme *programme, const SearchOptions *options, int64_t fit, Answer *answer,
                       Diags *diags)
{
    SearchResult result;
    Search *search = search_new(&programme->problem);
    search_run(search, options, &result);
    Answer found;
    bool good = answer_take(programme, options, &result, true, &found, diags);
    if (good) {
        const EqualsSource source = equals_source(programme, search, &result);
        SearchOptions order = *options; /* a pool that is measured against is not asked to be the first of its equals */
        if (fit > INT64_MIN && order.gap_ppm == 0)
            order.gap_ppm = 1;
        good =
            !found.has_pool || found.check.fit <= fit || answer_among_equals(programme, &order, &source, &found, diags);
        if (good)
            *answer = found;
        else
            answer_release(&found);
    }
    search_result_release(&result);
    search_free(search);
    return good;
}

void answer_release(Answer *answer)
{
    mem_free(answer->copies);
    pool_check_release(&answer->check);
    *answer = (Answer){0};
}

const char *answer_status_name(AnswerStatus status)
{
    static const char *const name[] = {"best", "within gap", "infeasible", "stopped"};
    return name[status];
}

int64_t answer_gap_ppm(const Answer *answer)
{
    if (!answer->has_pool || !answer->has_bound || answer->check.fit <= 0)
        return -1;
    return (int64_t)ceil_div((int128)(answer->bound - answer->check.fit) * 1000000, answer->check.fit);
}
