/* outputs.c - files to write, looked at before a long search and not after it: nothing that the user wrote and this run
 * reads is written over. */
#include <string.h>

#include "base/file.h"
#include "verbs/job.h"

static bool is_one_of(const char *path, const PathAt *file, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (file_is_same(path, file[k].path))
            return true;
    return false;
}

static bool is_model(const Scenario *s, const char *path)
{
    for (size_t k = 0; k < s->models_count; k++)
        if (file_is_same(path, s->models[k]))
            return true;
    return false;
}

static bool is_case_file(const Scenario *s, const char *path)
{
    for (size_t k = 0; k < s->cases_count; k++)
        if (is_one_of(path, s->cases[k].file, s->cases[k].files))
            return true;
    return false;
}

/* The present pool may be replaced by the new one; what the user has written by hand may not. */
static bool is_input(const Scenario *s, const char *path)
{
    return (s->path != NULL && file_is_same(path, s->path)) || is_one_of(path, s->cards, s->cards_count) ||
           is_one_of(path, s->prices, s->prices_count) || is_one_of(path, s->owned, s->owned_count) ||
           is_one_of(path, s->tags, s->tags_count) || is_one_of(path, s->targets, s->targets_count) ||
           is_model(s, path) || is_case_file(s, path);
}

/* Files of the command line that no scenario names. */
static bool is_named_input(const Options *o, const char *path)
{
    return (o->filter != NULL && file_is_same(path, o->filter)) ||
           (o->newcomers != NULL && file_is_same(path, o->newcomers)) ||
           (o->apply && o->words > 0 && file_is_same(path, o->word[0]));
}

bool job_spares_inputs(Job *job, const Scenario *scenario, const char *option, const char *path)
{
    if (!is_input(scenario, path) && !is_named_input(&job->options, path))
        return true;
    diag_error(&job->diags, (SourcePos){0},
               "%s: '%s' is read by this scenario and would be overwritten, expected another name", option, path);
    return false;
}

bool job_may_write(Job *job, const Scenario *scenario, const char *option, const char *path, int *code)
{
    if (path == NULL || strcmp(path, "-") == 0)
        return true;
    if (!job_spares_inputs(job, scenario, option, path)) {
        *code = EXIT_BAD_INPUT;
        return false;
    }
    if (file_may_write(path, &job->diags))
        return true;
    *code = EXIT_COULD_NOT_RUN;
    return false;
}
