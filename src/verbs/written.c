/* written.c - see written.h. */
#include "verbs/written.h"

#include <unistd.h>

#include "base/file.h"
#include "model/paths.h"

const char *const written_name[WRITTEN_FILES] = {"model.yaml", "scenario.yaml"};

void plan_themes(Arena *arena, StarterFound *found)
{
    const Intake *intake = found->intake;
    StarterTheme *theme = arena_alloc(arena, intake->themes, sizeof *theme);
    for (size_t t = 0; t < intake->themes; t++)
        theme[t] = (StarterTheme){.name = intake->theme[t].name, .colours = intake->theme[t].colours};
    found->plan.theme = theme;
    found->plan.themes = intake->themes;
}

void name_sheets(Job *job, StarterFound *found)
{
    Arena *arena = job->options.arena;
    const Intake *intake = found->intake;
    StarterSheet *sheet = arena_alloc(arena, intake->sheets, sizeof *sheet);
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role != SHEET_LEFT)
            sheet[found->sheets++] =
                (StarterSheet){.path = path_between(arena, job->options.output, intake->sheet[s].path),
                               .key = sheet_role_name(intake->sheet[s].role)};
    found->sheet = sheet;
}

static bool nothing_there(Job *job)
{
    for (int f = 0; f < WRITTEN_FILES; f++)
        if (file_exists(output_in_folder(job, written_name[f])))
            diag_error(&job->diags, (SourcePos){.file = output_in_folder(job, written_name[f])},
                       "the file is there already and is not overwritten; expected another folder");
    return job->diags.errors == 0;
}

/* As any other verb would read it. */
static bool reads_back(Job *job)
{
    job->options.subject = job->options.output;
    job->options.overrides = (Overrides){0};
    diags_release(&job->diags);
    diags_init(&job->diags);
    const bool good = job_read(job);
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
