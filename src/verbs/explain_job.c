/* explain_job.c - see explain_job.h. What the first screen's budget leaves out, --rules, --firm and `why` ask for. */
#include "verbs/explain_job.h"

#include "model/yaml/fields.h"
#include "programme/programme.h"
#include "verbs/terminal.h"

#define SCREEN_EFFORT 600000 /* pivots of all explanations of the first screen */
#define SCREEN_PROBE 20000
#define PROVE_PROBE 15000   /* to close the last bit of the gap */
#define DEEP_EFFORT 4000000 /* with --rules, --firm, --alternatives */
#define DEEP_PROBE 60000
#define CONFLICT_EFFORT 2000000
#define CAUSES_EFFORT 1000000

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
    if (nothing)
        explained_nothing_fits(out, o->all);
    else {
        const ScreenAsk ask = {.all_limits = o->rules,
                               .all_wishes = deep,
                               .firmness = o->firm,
                               .alternatives = o->alternatives,
                               .differ = o->differ};
        prove_answer(job, out->explain, answer);
        explained_screen(out, &ask);
    }
    job_progress_end(job);
}

bool explain_causes(Job *job, const Instance *instance, Explained *explained)
{
    const Answer none = {.status = ANSWER_INFEASIBLE};
    ExplainOptions options;
    *explained = (Explained){0};
    explain_job_options(job, 0, CAUSES_EFFORT, &options);
    options.probe = 0;
    explained->explain = explain_new(instance, &none, &options, &job->diags);
    if (explained->explain == NULL)
        return false;
    causes_find(explained->explain, &explained->causes);
    explained->has_causes = true;
    job_progress_end(job);
    return true;
}
