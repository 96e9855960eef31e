/* pool_word.c - the list that verbs read: the word on the command line, else the scenario's present pool. */
#include "verbs/frame/job.h"

bool job_read_pool(Job *job, const Instance *instance, PoolFile *list)
{
    if (job->options.words > 0)
        return pool_file_read(instance, job->options.word[0], list, &job->diags);
    if (instance->has_present) {
        pool_file_present(instance, list);
        return true;
    }
    diag_error(&job->diags, (SourcePos){0},
               "found no list, expected one behind the scenario (best -o pool.csv writes one), a line such as 'pool: "
               "pool.csv' in it, or the status 'in' on cards");
    return false;
}
