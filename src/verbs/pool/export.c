/* export.c - files -> instance -> programme -> LP or MPS. */

#include "base/text.h"
#include "programme/programme.h"
#include "report/json/json.h"
#include "verbs/outputs/outputs.h"

static ExportFormat format_of(const Options *options)
{
    if (options->has_format)
        return options->format;
    return options->output != NULL && text_ends_with(options->output, ".mps") ? EXPORT_MPS : EXPORT_LP;
}

static bool describe(const Programme *programme, const char *file, ExportFormat format, Text *out)
{
    json_t *root = json_object();
    json_object_set_new(root, "file", json_string(file));
    json_object_set_new(root, "format", json_string(format == EXPORT_LP ? "lp" : "mps"));
    json_object_set_new(root, "columns", json_integer(programme->problem.columns));
    json_object_set_new(root, "rows", json_integer(programme->problem.rows));
    return json_finish(root, out);
}

int verb_export(Job *job)
{
    Programme *programme = NULL;
    char *bytes = NULL;
    Text out = {0};
    int code = EXIT_BAD_INPUT;
    const char *file = job->options.output != NULL ? job->options.output : "-";
    if (job->options.json && is_stdout(file)) {
        diag_error(&job->diags, (SourcePos){0},
                   "--json with export needs -o FILE, since both would go to standard output");
        goto done;
    }
    if (!job_read(job) || !outputs_good(job, job->scenario, &code))
        goto done;
    programme = programme_compact(job->instance, &job->diags); /* other programs know no protected rows */
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    ExportFormat format = format_of(&job->options);
    size_t length;
    bytes = programme_export(programme, format, &length, &job->diags);
    if (bytes == NULL || !drafts_add(&job->drafts, file, bytes, length, &job->diags) || !outputs_commit(job))
        goto done;
    code = EXIT_ANSWERED;
    if (job->options.json)
        code = job_print(job, describe(programme, file, format, &out), &out, EXIT_ANSWERED);
    else if (!is_stdout(file)) {
        text_printf(&out, "%d columns and %d rows are in %s\n", programme->problem.columns, programme->problem.rows,
                    file);
        code = job_print(job, true, &out, EXIT_ANSWERED);
    }
done:
    job_show_problems(job);
    mem_free(bytes);
    programme_free(programme);
    return code;
}
