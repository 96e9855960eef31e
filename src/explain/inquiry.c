/* inquiry.c - see inquiry.h. What the first screen's budget leaves out, its deeper questions and `why` ask for. */
#include "explain/inquiry.h"

#define SCREEN_EFFORT 600000 /* pivots of all explanations of the first screen */
#define SCREEN_PROBE 20000
#define PROVE_PROBE 15000   /* to close the last bit of the gap */
#define DEEP_EFFORT 4000000 /* every limit, firmness, alternatives */
#define DEEP_PROBE 60000
#define CONFLICT_EFFORT 2000000
#define CAUSES_EFFORT 1000000
#define WHY_PROBE 100000
#define WHY_EFFORT 900000 /* for each card */
#define WHY_TIMES 10      /* of what the best pool took, beyond that, for its loss and the likeliest limits, */
#define WHY_MORE 2000000  /* but no more than this; */
#define WHY_HARD 20000    /* after so many pivots it is hard: its screen takes all it may, too, */
#define WHY_MOST 8000000  /* and this is the most, with what its proof took */
#define WHY_BASE 500000   /* for the pool that they are measured against, where it is not proven best */
#define SWAP_PROBE 40000
#define SWAP_EFFORT 400000   /* for each card */
#define RULES_FACTOR 40      /* more effort where every limit is asked */
#define PROOF_EFFORT 2000000 /* to prove the best pool */
#define REFERENCE_SHARE 100  /* GLPK by itself takes about as much longer for each pivot */

static int64_t pivots(const SearchOptions *search, int64_t effort)
{
    switch (search->engine) {
    case SEARCH_ENGINE_FAST: return effort;
    case SEARCH_ENGINE_REFERENCE: return effort / REFERENCE_SHARE;
    }
    return effort;
}

/* Effort in pivots: what one question may take, and all together. Less where the search's own says so. */
static ExplainOptions within(const Inquiry *inquiry, int64_t probe, int64_t effort)
{
    const SearchOptions *search = inquiry->search;
    ExplainOptions options = {.engine = search->engine,
                              .threads = search->threads,
                              .cancel = search->cancel,
                              .probe = pivots(search, probe),
                              .effort = pivots(search, effort),
                              .progress = inquiry->progress,
                              .context = inquiry->context};
    if (search->effort > 0 && search->effort < options.effort)
        options.effort = search->effort;
    if (options.probe > options.effort)
        options.probe = options.effort;
    return options;
}

/* ---- the first screen ---- */

/* The last bit of the gap often closes with the bounds that the explanations need in any case. Not where the user said
 * how far to go. */
static void prove_answer(const Inquiry *inquiry, Explain *e, Answer *answer)
{
    if (answer->status != ANSWER_WITHIN_GAP || inquiry->gap_given || inquiry->search->effort > 0 ||
        !explain_prove(e, PROVE_PROBE))
        return;
    answer->status = ANSWER_BEST;
    answer->bound = answer->check.fit;
}

void inquire_screen(const Inquiry *inquiry, Answer *answer, Explained *out, Diags *diags)
{
    *out = (Explained){0};
    const bool nothing = answer->status == ANSWER_INFEASIBLE;
    const bool deep = inquiry->rules || inquiry->firm || inquiry->alternatives > 0;
    if (!answer->has_pool && !nothing)
        return;
    ExplainOptions options = nothing ? within(inquiry, 0, CONFLICT_EFFORT)
                             : deep  ? within(inquiry, DEEP_PROBE, DEEP_EFFORT)
                                     : within(inquiry, SCREEN_PROBE, SCREEN_EFFORT);
    out->explain = explain_new(inquiry->instance, answer, &options, diags);
    if (out->explain == NULL)
        return;
    if (nothing) {
        explained_nothing_fits(out, inquiry->all);
        return;
    }
    const ScreenAsk ask = {.all_limits = inquiry->rules,
                           .all_wishes = deep,
                           .firmness = inquiry->firm,
                           .alternatives = inquiry->alternatives,
                           .differ = inquiry->differ};
    prove_answer(inquiry, out->explain, answer);
    explained_screen(out, &ask);
}

bool inquire_causes(const Inquiry *inquiry, Explained *out, Diags *diags)
{
    const Answer none = {.status = ANSWER_INFEASIBLE};
    const ExplainOptions options = within(inquiry, 0, CAUSES_EFFORT);
    *out = (Explained){0};
    out->explain = explain_new(inquiry->instance, &none, &options, diags);
    if (out->explain == NULL)
        return false;
    causes_find(out->explain, &out->causes);
    out->has_causes = true;
    return true;
}

/* ---- cards ---- */

bool inquire_base(const Inquiry *inquiry, const Programme *programme, Answer *answer, Diags *diags)
{
    return answer_find(programme, inquiry->search, answer, diags) && inquire_nearer(inquiry, programme, answer, diags);
}

bool inquire_nearer(const Inquiry *inquiry, const Programme *programme, Answer *answer, Diags *diags)
{
    SearchOptions options = *inquiry->search;
    Answer nearer;
    if (answer->status != ANSWER_WITHIN_GAP || inquiry->gap_given || options.effort > 0)
        return true;
    int64_t *x = mem_new((size_t)programme->problem.columns + 1, sizeof *x);
    programme_solution(programme, answer->copies, x);
    options.start = x;
    options.known_bound = answer->bound;
    options.gap_ppm = 0;
    options.eager = 0;
    options.effort = pivots(inquiry->search, PROOF_EFFORT);
    const bool good = answer_find_above(programme, &options, answer->check.fit, &nearer, diags);
    mem_free(x);
    if (!good)
        return false;
    nearer.nearer = answer->nearer = nearer.statistics.pivots;
    if (nearer.check.fit > answer->check.fit) {
        answer_release(answer);
        *answer = nearer;
        return true;
    }
    answer->status = nearer.status == ANSWER_BEST ? ANSWER_BEST : answer->status;
    answer->bound = nearer.has_bound && nearer.bound < answer->bound ? nearer.bound : answer->bound;
    answer_release(&nearer);
    return true;
}

/* Ready to be asked about so many cards. */
static bool begin(const Inquiry *inquiry, const Answer *answer, int64_t probe, int64_t effort, size_t count,
                  Explained *out, Diags *diags)
{
    const int64_t named = inquiry->search->effort;
    ExplainOptions options = within(inquiry, probe, effort * (int64_t)(count > 0 ? count : 1));
    if (named > 0) {
        options.effort = named;
        options.probe = named / 10 + 1;
    } else if (inquiry->rules)
        options.effort *= RULES_FACTOR;
    if (answer->status == ANSWER_INFEASIBLE)
        options.probe = 0;
    *out = (Explained){0};
    out->explain = explain_new(inquiry->instance, answer, &options, diags);
    return out->explain != NULL;
}

/* What is asked about a card is less than a gap: once more, with what the explanations know. */
static void prove_base(const Inquiry *inquiry, Explain *e)
{
    const OracleLimits before = oracle_allow(e->oracle, pivots(inquiry->search, WHY_BASE));
    explain_prove(e, pivots(inquiry->search, WHY_BASE));
    oracle_take_back(e->oracle, before);
}

/* Where prices rise a pivot costs more. */
static bool is_hard(const Inquiry *inquiry, const Answer *answer)
{
    return answer->statistics.pivots > WHY_HARD && !inquiry->instance->model->has_risk;
}

/* Where the best pool was hard to find, so is what would let a card in. */
static int64_t why_more(const Inquiry *inquiry, const Answer *answer)
{
    const int64_t best = answer->statistics.pivots;
    const bool hard = is_hard(inquiry, answer);
    const int64_t all = best + (hard ? SCREEN_EFFORT : 0);
    const int64_t rest = WHY_MOST - answer->nearer, most = hard && rest > WHY_MORE ? rest : WHY_MORE;
    return all < most / WHY_TIMES ? WHY_TIMES * all : most;
}

bool inquire_why(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                 bool *settled, Diags *diags)
{
    const bool usual = inquiry->search->effort == 0;
    const WhyAsk ask = {.blame = true,
                        .price = true,
                        .far = inquiry->rules ? 0 : 3,
                        .hard = usual && is_hard(inquiry, answer),
                        .more = usual ? pivots(inquiry->search, why_more(inquiry, answer)) : 0,
                        .conflicts = inquiry->all};
    *settled = false;
    if (!begin(inquiry, answer, WHY_PROBE, WHY_EFFORT, count, out, diags))
        return false;
    if (answer->status == ANSWER_INFEASIBLE) {
        explained_nothing_fits(out, inquiry->all);
        return true;
    }
    if (answer->has_pool && usual && !inquiry->gap_given)
        prove_base(inquiry, out->explain);
    *settled = answer->has_pool && explained_cards(out, card, count, &ask) && answer->status == ANSWER_BEST;
    return true;
}

bool inquire_swaps(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                   bool *settled, Diags *diags)
{
    *settled = false;
    if (!begin(inquiry, answer, SWAP_PROBE, SWAP_EFFORT, count, out, diags))
        return false;
    if (answer->status != ANSWER_INFEASIBLE)
        *settled = answer->has_pool && explained_swaps(out, card, count) && answer->status == ANSWER_BEST;
    return true;
}
