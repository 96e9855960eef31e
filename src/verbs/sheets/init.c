/* init.c - size, colours and themes -> four files of a new folder, all or none. */
#include "ask/plans/starter_plan.h"
#include "report/json/json.h"
#include "verbs/frame/written.h"
#include "verbs/sheets/init_from.h"

static int write_files(Job *job, Text text[STARTER_FILES])
{
    const char *name[STARTER_FILES];
    for (size_t f = 0; f < STARTER_FILES; f++)
        name[f] = starter_file[f].name;
    return write_folder(job, name, text, STARTER_FILES);
}

/* What was written, for people or as JSON. */
static bool tell(const Job *job, Text *out)
{
    if (job->options.json) {
        json_t *root = json_object(), *list = json_array();
        json_object_set_new(root, "folder", json_string(job->options.subject));
        for (size_t f = 0; f < STARTER_FILES; f++)
            json_array_append_new(list, json_string(starter_file[f].name));
        json_object_set_new(root, "files", list);
        return json_finish(root, out);
    }
    text_printf(out, "In %s are now\n", job->options.subject);
    for (size_t f = 0; f < STARTER_FILES; f++)
        text_printf(out, "  %-14s %s\n", starter_file[f].name, starter_file[f].holds);
    const char *typed = text_shell_word(job->options.arena, job->options.subject);
    text_printf(out, "\nnext: poolwright check %s\n      poolwright best %s\n", typed, typed);
    return true;
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
    job->options.output = job->options.subject;
    if (o->from != NULL && nothing_beside_from(job))
        return init_from(job);
    if (o->from != NULL || !starter_texts(o->arena, &wish, text, &job->diags))
        goto done;
    code = write_files(job, text);
    if (code == EXIT_ANSWERED)
        code = job_print(job, tell(job, &out), &out, EXIT_ANSWERED);
done:
    job_show_problems(job);
    for (size_t f = 0; f < STARTER_FILES; f++)
        text_release(&text[f]);
    return code;
}
