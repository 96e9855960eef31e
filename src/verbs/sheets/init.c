/* init.c - size, colours and themes -> four files of a new folder, all or none. */
#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "ask/plans/starter_plan.h"
#include "base/files/file.h"
#include "report/json/json.h"
#include "verbs/sheets/init_from.h"
#include "verbs/outputs/outputs.h"

static const char *path_of(Job *job, const char *name)
{
    size_t length = strlen(job->options.subject);
    const char *between = length > 0 && job->options.subject[length - 1] == '/' ? "" : "/";
    return arena_printf(job->options.arena, "%s%s%s", job->options.subject, between, name);
}

/* *made: the folder was not there before. */
static bool make_folder(Job *job, bool *made)
{
    const char *folder = job->options.subject;
    *made = mkdir(folder, 0777) == 0;
    if (*made)
        return true;
    const int error = errno;
    struct stat info;
    if (error == EEXIST && stat(folder, &info) == 0 && S_ISDIR(info.st_mode))
        return true;
    char *reason = file_reason(error);
    diag_error(&job->diags, (SourcePos){.file = folder}, "the folder could not be made: %s",
               error == EEXIST ? "a file of that name is there" : reason);
    mem_free(reason);
    return false;
}

static bool nothing_there(Job *job)
{
    for (size_t f = 0; f < STARTER_FILES; f++)
        if (file_exists(path_of(job, starter_file[f].name)))
            diag_error(&job->diags, (SourcePos){.file = path_of(job, starter_file[f].name)},
                       "the file is there already and is not overwritten; expected another folder");
    return job->diags.errors == 0;
}

static int write_files(Job *job, Text text[STARTER_FILES])
{
    bool made = false;
    if (!nothing_there(job))
        return EXIT_BAD_INPUT;
    if (!make_folder(job, &made))
        return EXIT_COULD_NOT_RUN;
    for (size_t f = 0; f < STARTER_FILES; f++)
        output_add(job, path_of(job, starter_file[f].name), &text[f]);
    if (outputs_commit(job))
        return EXIT_ANSWERED;
    for (size_t f = 0; f < STARTER_FILES; f++)
        unlink(path_of(job, starter_file[f].name)); /* none of them was there before */
    if (made)
        rmdir(job->options.subject);
    return EXIT_COULD_NOT_RUN;
}

/* What was written, for people or as JSON. */
static void tell(const Job *job, Text *out)
{
    if (job->options.json) {
        json_t *root = json_object(), *list = json_array();
        json_object_set_new(root, "folder", json_string(job->options.subject));
        for (size_t f = 0; f < STARTER_FILES; f++)
            json_array_append_new(list, json_string(starter_file[f].name));
        json_object_set_new(root, "files", list);
        json_finish(root, out);
        return;
    }
    text_printf(out, "In %s are now\n", job->options.subject);
    for (size_t f = 0; f < STARTER_FILES; f++)
        text_printf(out, "  %-14s %s\n", starter_file[f].name, starter_file[f].holds);
    text_printf(out, "\nnext: poolwright check %s\n      poolwright best %s\n", job->options.subject,
                job->options.subject);
}

/* Size, colours and themes of a pool that is there are its own. */
static bool nothing_beside_from(Job *job)
{
    const Options *o = &job->options;
    const char *other = o->overrides.has_size ? "--size"
                        : o->has_seats        ? "--seats"
                        : o->colours != NULL  ? "--colours"
                        : o->themes != NULL   ? "--themes"
                        : o->semicolons       ? "--semicolons"
                                              : NULL;
    if (other != NULL)
        diag_error(&job->diags, (SourcePos){0}, "%s does not go with --from: the pool says it", other);
    return other == NULL;
}

int verb_init(Job *job)
{
    const Options *o = &job->options;
    const StarterWish wish = {.size = o->overrides.has_size ? o->overrides.size_to : 0,
                              .seats = o->seats,
                              .colours = o->colours,
                              .themes = o->themes,
                              .semicolons = o->semicolons,
                              .by_options = true};
    Text text[STARTER_FILES] = {0}, out = {0};
    int code = EXIT_BAD_INPUT;
    if (o->from != NULL && nothing_beside_from(job))
        return init_from(job);
    if (o->from != NULL || !starter_texts(o->arena, &wish, text, &job->diags))
        goto done;
    code = write_files(job, text);
    if (code != EXIT_ANSWERED)
        goto done;
    tell(job, &out);
    code = job_print_text(job, &out, EXIT_ANSWERED);
done:
    job_show_problems(job);
    for (size_t f = 0; f < STARTER_FILES; f++)
        text_release(&text[f]);
    text_release(&out);
    return code;
}
