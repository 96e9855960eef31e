/* written.c - see written.h. */
#include "verbs/frame/written.h"

#include <string.h>
#include <unistd.h>

#include "base/files/file.h"

const char *const written_name[WRITTEN_FILES] = {"model.yaml", "scenario.yaml"};

static bool nothing_there(Job *job)
{
    for (int f = 0; f < WRITTEN_FILES; f++)
        if (file_exists(output_in_folder(job, written_name[f])))
            diag_error(&job->diags, (SourcePos){.file = output_in_folder(job, written_name[f])},
                       "the file is there already and is not overwritten; expected another folder");
    return job->diags.errors == 0;
}

static bool is_told(const Diags *diags, const char *text)
{
    for (size_t k = 0; k < diags->count; k++)
        if (strcmp(diags->item[k].text, text) == 0)
            return true;
    return false;
}

/* As any other verb would read it. What was told of the sheets until then stays told: another reading names them by
 * other paths, so that the texts say what is the same. */
static bool reads_back(Job *job)
{
    Diags before = job->diags;
    job->options.subject = job->options.output;
    job->options.overrides = (Overrides){0};
    diags_init(&job->diags);
    const bool good = job_read(job);
    for (size_t k = 0; k < before.count && good; k++)
        if (!is_told(&job->diags, before.item[k].text))
            diag_repeat(&job->diags, &before.item[k], "");
    diags_release(&before);
    for (int f = 0; f < WRITTEN_FILES && !good; f++)
        unlink(output_in_folder(job, written_name[f]));
    if (!good && job->made_folder)
        rmdir(job->options.output);
    return good;
}

int write_folder(Job *job, Text *model, Text *scenario)
{
    int code = EXIT_BAD_INPUT;
    if (!nothing_there(job))
        goto done;
    code = EXIT_COULD_NOT_RUN;
    if (!output_folder(job))
        goto done;
    output_add(job, output_in_folder(job, written_name[0]), model);
    output_add(job, output_in_folder(job, written_name[1]), scenario);
    if (outputs_commit(job))
        code = reads_back(job) ? EXIT_ANSWERED : EXIT_BAD_INPUT;
done:
    text_release(model);
    text_release(scenario);
    return code;
}
