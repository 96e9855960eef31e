/* explain_job.c - see explain_job.h.
 *
 * The first screen has a small budget, counted in pivots, so that it stays fast and repeatable: the likeliest limits,
 * the wishes. --rules, --firm, `why` ask for more. */
#include "verbs/explain_job.h"
#include "base/sort.h"
#include "verbs/terminal.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "model/yaml/fields.h"
#include "programme/programme.h"

#define SCREEN_EFFORT 300000 /* pivots of all explanations of the first screen */
#define SCREEN_PROBE 20000
#define SCREEN_LIMITS 5
#define PROVE_PROBE 15000 /* to close the last bit of the gap */
#define WISH_PROBE 8000
#define WISH_RUNS 40        /* forced in; of the others only what is lost for certain is said */
#define WISH_LIMITS 6       /* the nearest: asked for the limit that keeps them out */
#define DEEP_EFFORT 4000000 /* with --rules, --firm, --alternatives */
#define DEEP_PROBE 60000
#define CONFLICT_EFFORT 2000000
#define CONFLICTS 20
#define TRIALS 20

static void show_progress(void *context, const char *what, int done, int of)
{
    Job *job = context;
    job_stage(job, what);
    if (!job->shows_progress)
        return;
    Text line = {0};
    text_printf(&line, "asking why: %s %d of %d (Ctrl-C: stop with what is proven)", what, done + 1, of);
    terminal_progress(text_cstr(&line));
    text_release(&line);
}

void explain_job_options(Job *job, int64_t probe, int64_t effort, ExplainOptions *options)
{
    SearchOptions search;
    job_search_options(job, &search);
    *options = (ExplainOptions){
        .engine = search.engine, .threads = search.threads, .cancel = search.cancel, .probe = probe, .effort = effort};
    options->progress = show_progress;
    options->context = job;
    if (search.effort > 0 && search.effort < options->effort)
        options->effort = search.effort;
    if (options->probe > options->effort)
        options->probe = options->effort;
}

bool explain_job_cards(Job *job, size_t *card, size_t *count)
{
    *count = 0;
    const CardSet *cards = job->instance->cards;
    for (size_t k = 0; k < job->options.words; k++) {
        const char *word = job->options.word[k];
        long found = card_find(cards, word);
        bool known = false;
        for (size_t i = 0; i < *count; i++)
            known = known || (long)card[i] == found;
        if (found >= 0 && !known)
            card[(*count)++] = (size_t)found;
        if (found >= 0)
            continue;
        diag_error(&job->diags, (SourcePos){0}, "no candidate is called '%s'%s", word,
                   did_you_mean(card_nearest(cards, word), job->options.arena));
    }
    return job->diags.errors == 0;
}

static void find_bindings(const Job *job, Explained *out)
{
    Explain *e = out->explain;
    int *order = mem_new((size_t)e->sides->sides + 1, sizeof *order);
    int count = binding_likeliest(e, order);
    int wanted = job->options.rules ? count : count < SCREEN_LIMITS ? count : SCREEN_LIMITS;
    Binding *binding = mem_new((size_t)wanted + 1, sizeof *binding);
    for (int k = 0; k < wanted; k++) {
        oracle_tell(e->oracle, "limits", k, wanted);
        binding_find(e, order[k], binding_within(e, order[k]), &binding[k]);
    }
    out->binding = binding;
    out->bindings = (size_t)wanted;
    mem_free(order);
}

typedef struct {
    size_t card;
    int64_t lost; /* for certain */
} Wished;

static int by_lost(const void *a, const void *b)
{
    const Wished *x = a, *y = b;
    if (x->lost != y->lost)
        return x->lost < y->lost ? -1 : 1;
    return x->card < y->card ? -1 : x->card > y->card;
}

static int by_card(const void *a, const void *b)
{
    const Why *x = a, *y = b;
    return x->card < y->card ? -1 : x->card > y->card;
}

/* Wishes are forced in, one run each, the nearest ones' likeliest limit loosened. */
static void find_wishes(Explained *out, size_t runs)
{
    Explain *e = out->explain;
    const Instance *in = e->instance;
    out->wish = mem_new(in->cards->count + 1, sizeof *out->wish);
    Wished *wished = mem_new(in->cards->count + 1, sizeof *wished);
    size_t count = 0;
    oracle_relax(e->oracle);
    for (size_t c = 0; c < in->cards->count; c++)
        if ((in->status[c] & STATUS_WISH) != 0 && e->copies[c] == 0)
            wished[count++] = (Wished){c, why_lost_for_certain(e, c)};
    sort_stable(wished, count, sizeof *wished, by_lost);
    int64_t before = oracle_limit(e->oracle, WISH_PROBE);
    for (size_t k = count; k-- > 0;) { /* the furthest first: they take least */
        WhyAsk ask = {.blame = k < WISH_LIMITS, .quick = true, .most_sides = 1, .far = 1, .no_run = k >= runs};
        oracle_tell(e->oracle, "wishes", (int)(count - k - 1), (int)count);
        why_find(e, wished[k].card, &ask, &out->wish[out->wishes++]);
    }
    oracle_limit(e->oracle, before);
    sort_stable(out->wish, out->wishes, sizeof *out->wish, by_card);
    mem_free(wished);
}

void explain_nothing_fits(const Instance *instance, bool list, Explained *out)
{
    Explain *e = out->explain;
    out->reach = mem_new(instance->limits, sizeof *out->reach);
    limit_reach(instance, out->reach);
    conflict_find(e->oracle, &out->conflict, NULL);
    out->has_conflict = true;
    repair_find(e->oracle, &out->repair);
    out->has_repair = true;
    if (list) {
        conflict_list(e->oracle, CONFLICTS, &out->list);
        out->has_list = true;
    }
}

/* The last bit of the gap often closes with the bounds that the explanations need in any case. Not where the user said
 * how far to go. */
static void prove_answer(const Job *job, Explain *e, Answer *answer)
{
    if (answer->status != ANSWER_WITHIN_GAP || job->options.gap_given || job->options.effort > 0 ||
        !explain_prove(e, PROVE_PROBE))
        return;
    answer->status = ANSWER_BEST;
    answer->bound = answer->check.fit;
}

void explain_best(Job *job, Answer *answer, Explained *out)
{
    *out = (Explained){0};
    bool nothing = answer->status == ANSWER_INFEASIBLE;
    const Options *o = &job->options;
    bool deep = o->rules || o->firm || o->alternatives > 0;
    if (!answer->has_pool && !nothing)
        return;
    ExplainOptions options;
    explain_job_options(job,
                        nothing ? 0
                        : deep  ? DEEP_PROBE
                                : SCREEN_PROBE,
                        nothing ? CONFLICT_EFFORT
                        : deep  ? DEEP_EFFORT
                                : SCREEN_EFFORT,
                        &options);
    if (nothing)
        options.probe = 0;
    out->explain = explain_new(job->instance, answer, &options, &job->diags);
    if (out->explain == NULL)
        return;
    Explain *e = out->explain;
    if (nothing)
        explain_nothing_fits(job->instance, o->all, out);
    else {
        prove_answer(job, e, answer);
        find_bindings(job, out);
        find_wishes(out, deep ? SIZE_MAX : WISH_RUNS);
        if (o->firm) {
            firmness_find(e, TRIALS, &out->firmness);
            out->has_firmness = true;
        }
        if (o->alternatives > 0) {
            alternatives_find(e, o->alternatives, o->differ, &out->alternatives);
            out->has_alternatives = true;
        }
    }
    job_progress_end(job);
}

void explained_release(Explained *out)
{
    for (size_t k = 0; k < out->bindings; k++)
        binding_release(&out->binding[k]);
    for (size_t k = 0; k < out->wishes; k++)
        why_release(&out->wish[k]);
    mem_free(out->binding);
    mem_free(out->wish);
    conflict_release(&out->conflict);
    conflict_list_release(&out->list);
    repair_release(&out->repair);
    mem_free(out->reach);
    firmness_release(&out->firmness);
    alternatives_release(&out->alternatives);
    explain_free(out->explain);
    *out = (Explained){0};
}
