/* outputs.c - files to write, looked at before a long search and not after it. */
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

/* The present pool may be replaced by the new one; what the user has written by hand may not. */
static bool is_input(const Scenario *s, const char *path)
{
    return (s->path != NULL && file_is_same(path, s->path)) || is_one_of(path, s->cards, s->cards_count) || is_one_of(path, s->prices, s->prices_count) ||
           is_one_of(path, s->owned, s->owned_count) || is_one_of(path, s->tags, s->tags_count) || is_one_of(path, s->targets, s->targets_count);
}

bool job_may_write(Job *job, const char *option, const char *path, int *code)
{
    if (path == NULL || strcmp(path, "-") == 0)
        return true;
    *code = EXIT_BAD_INPUT;
    if (is_input(job->scenario, path)) {
        diag_error(&job->diags, (SourcePos){0}, "%s: '%s' is read by this scenario and would be overwritten, expected another name", option, path);
        return false;
    }
    *code = EXIT_COULD_NOT_RUN;
    return file_may_write(path, &job->diags);
}
