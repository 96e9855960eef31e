/* pool_word.c - the lists that verbs read and write: the word on the command line, else the scenario's present pool; a
 * pool as a sheet. */
#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "base/file.h"
#include "report/report.h"
#include "verbs/job.h"

bool job_is_stdout(const char *path)
{
    return path != NULL && strcmp(path, "-") == 0;
}

bool job_one_output(Job *job)
{
    if (!job->options.json || !job_is_stdout(job->options.output))
        return true;
    diag_error(&job->diags, (SourcePos){0}, "--json and -o - would both go to standard output; give -o a file");
    return false;
}

bool job_make_folder(Job *job)
{
    struct stat info;
    const bool made = mkdir(job->options.output, 0777) == 0;
    const int error = errno;
    if (made || (error == EEXIST && stat(job->options.output, &info) == 0 && S_ISDIR(info.st_mode)))
        return true;
    char *reason = file_reason(error);
    diag_error(&job->diags, (SourcePos){0}, "cannot make the folder '%s': %s", job->options.output, reason);
    mem_free(reason);
    return false;
}

bool job_write_pool(Job *job, const Instance *instance, const Answer *answer, bool *written)
{
    *written = false;
    if (job->options.output == NULL || answer == NULL || !answer->has_pool)
        return true;
    Text text = {0};
    list_csv(instance, answer, false, &text);
    *written = file_write(job->options.output, text_cstr(&text), text.length, &job->diags);
    text_release(&text);
    return *written;
}

int job_print_json(Job *job, bool good, Text *out, int code)
{
    if (good)
        code = job_print(job, out, code);
    else
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
    text_release(out);
    return good ? code : EXIT_COULD_NOT_RUN;
}

bool job_read_pool(Job *job, const Ground *ground, PoolFile *list)
{
    if (job->options.words > 0)
        return pool_file_read(ground->instance, job->options.word[0], list, &job->diags);
    if (ground->instance->has_present) {
        pool_file_present(ground->instance, list);
        return true;
    }
    diag_error(&job->diags, (SourcePos){0},
               "found no list, expected one behind the scenario, a line such as 'pool: pool.csv' in it, or the status "
               "'in' on cards");
    return false;
}
