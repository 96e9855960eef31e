/* find.c - files -> instance -> the candidates that pass -> table, JSON or sheet. */
#include "cards/patterns.h"
#include "model/desk/alike.h"
#include "report/desk/desk.h"
#include "verbs/outputs/outputs.h"
#include "verbs/options/where.h"

#define TOP_ON_SCREEN 30

/* Takes out of card[] what the expression is not found in. */
static bool keep_matching(Job *job, const char *option, const char *expression, bool in_name, size_t *card,
                          size_t *count)
{
    if (expression == NULL)
        return true;
    char trouble[TEXT_PATTERN_TROUBLE];
    size_t at = 0, kept = 0;
    TextPattern *pattern = text_pattern_new(expression, trouble, &at);
    if (pattern == NULL) {
        diag_error(&job->diags, (SourcePos){0}, "%s: found '%s', which goes wrong after character %zu: %s", option,
                   expression, at, trouble);
        return false;
    }
    for (size_t k = 0; k < *count && job->diags.errors == 0; k++) {
        const Card *about = &job->instance->cards->card[card[k]];
        TextFound found = text_pattern_find(pattern, in_name ? about->name : about->text);
        if (found == TEXT_CUT_OFF)
            diag_error(&job->diags, (SourcePos){0},
                       "%s '%s' took too long on '%s' (%s:%d) and was cut off; expected a simpler one", option,
                       expression, about->name, about->at.file, about->at.line);
        if (found == TEXT_FOUND)
            card[kept++] = card[k];
    }
    *count = kept;
    text_pattern_free(pattern);
    return job->diags.errors == 0;
}

static size_t *choose(Job *job, size_t *count)
{
    const Filter *filter = NULL;
    size_t filters = 0;
    size_t cards = job->instance->cards->count;
    size_t *card = mem_new(cards, sizeof *card);
    *count = 0;
    if (!where_read(job, &filter, &filters))
        return card;
    for (size_t c = 0; c < cards; c++) {
        bool passes = true;
        for (size_t f = 0; f < filters && passes; f++)
            passes = filter_passes(job->instance, &filter[f], NULL, c);
        if (passes)
            card[(*count)++] = c;
    }
    if (keep_matching(job, "--text", job->options.text, false, card, count))
        keep_matching(job, "--name", job->options.name_text, true, card, count);
    return card;
}

static int show(Job *job, const size_t *card, size_t count, const LikeView *like)
{
    const Options *o = &job->options;
    const size_t most = o->top > 0 ? (size_t)o->top : like->given > 0 ? ALIKE_NEAR : count;
    const size_t top = most < count ? most : count;
    bool good = true;
    Text out = {0}, sheet = {0};
    if (o->sheet)
        find_sheet(job->instance, card, top, &sheet);
    else
        find_csv(job->instance, card, top, &sheet);
    const char *written = output_sheet(job, "found", job->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : EXIT_ANSWERED;
    if (is_stdout(o->output))
        return code;
    if (o->json && like->given > 0)
        good = like_json(job->instance, like, card, top, &job->diags, &out);
    else if (o->json)
        good = find_json(job->instance, card, top, &job->diags, &out);
    else if (written != NULL)
        text_printf(&out, "%zu of %zu candidates are in %s%s%s%s\n", top, job->instance->cards->count, written,
                    o->sheet ? "; fill in status, tag, role and weight, and name it in the scenario: `tags: [" : "",
                    o->sheet ? job_names_file(job, written) : "", o->sheet ? "]`" : "");
    else if (like->given > 0)
        like_text(job->instance, like, card, count, top, &job->style, &out);
    else
        find_text(job->instance, card, count, o->top > 0 ? top : TOP_ON_SCREEN, o->sort, job_sections(job).full,
                  &job->style, &out);
    return job_print(job, good, &out, code);
}

/* card[count] in order of likeness, without those that are given. */
static void sort_by_likeness(const Instance *instance, const AlikeCards *alike, size_t *card, size_t *count)
{
    bool *passes = mem_new(instance->cards->count + 1, sizeof *passes);
    for (size_t k = 0; k < *count; k++)
        passes[card[k]] = true;
    *count = 0;
    for (size_t k = 0; k < alike->others; k++)
        if (passes[alike->other[k].card])
            card[(*count)++] = alike->other[k].card;
    mem_free(passes);
}

static int find_like(Job *job, size_t *card, size_t *count)
{
    AlikeCards alike;
    size_t given = 0, *named = mem_new(job->options.likes + 1, sizeof *named);
    int code = EXIT_BAD_INPUT;
    if (job_cards(job, job->options.like, job->options.likes, named, &given)) {
        alike_find(job->instance, named, given, &alike);
        sort_by_likeness(job->instance, &alike, card, count);
        const LikeView like = {.card = named, .given = given, .alike = &alike};
        code = show(job, card, *count, &like);
        alike_release(&alike);
    }
    mem_free(named);
    return code;
}

int verb_find_cards(Job *job)
{
    size_t *card = NULL, count = 0;
    int code = EXIT_BAD_INPUT;
    if (job->options.sheet && job->options.output == NULL)
        diag_error(&job->diags, (SourcePos){0}, "--sheet needs -o FILE, where the sheet goes");
    if (job->options.likes > 0 && job->options.has_sort)
        diag_error(&job->diags, (SourcePos){0}, "--sort does not go with --like, whose order is by likeness");
    outputs_go_together(job);
    if (job->diags.errors > 0 || !job_read(job) || !outputs_good(job, job->scenario, &code))
        goto done;
    card = choose(job, &count);
    if (job->diags.errors > 0)
        goto done;
    if (job->options.likes > 0)
        code = find_like(job, card, &count);
    else {
        find_sort(job->instance, job->options.sort, card, count);
        code = show(job, card, count, &(LikeView){0});
    }
done:
    job_show_problems(job);
    mem_free(card);
    return code;
}
