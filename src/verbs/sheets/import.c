/* import.c - sheets as they are -> what they hold, asked where it is not sure -> a model and a scenario that work. */
#include <unistd.h>

#include "ask/plans/first_plan.h"
#include "report/intake_report.h"
#include "verbs/frame/decide.h"
#include "verbs/frame/written.h"

/* ---- what is written ---- */

static void make_plan(Job *job, Intake *intake, StarterFound *found)
{
    const Overrides *o = &job->options.overrides;
    const FirstWish wish = {.size = o->has_size ? o->size_to : 0, .cap = o->has_cap ? o->cap : -1};
    first_plan(intake, &wish, found);
    if (job->options.output != NULL)
        first_sheets(found, job->options.output);
}

static int write_files(Job *job, const StarterFound *found)
{
    Text text[FOUND_FILES] = {0};
    starter_found_model(found, &text[FOUND_MODEL]);
    starter_found_scenario(found, &text[FOUND_SCENARIO]);
    return write_found(job, text);
}

/* ---- what is told ---- */

static void tell(const Job *job, const Intake *intake, Text *out)
{
    const char *folder = job->options.output;
    intake_lines_text(intake, out);
    intake_unused_text(intake, out);
    text_add(out, "\nTaken:\n");
    intake_taken_text(intake, out);
    if (folder == NULL) {
        text_add(out, "\nNothing is written: add -o FOLDER. Other answers: --answers FILE, which begins as what --json "
                      "writes.\n");
        return;
    }
    Arena *arena = job->options.arena;
    const char *typed = text_shell_word(arena, folder),
               *pool = text_shell_word(arena, arena_printf(arena, "%s/pool.csv", folder));
    text_printf(out,
                "\nIn %s are now\n  model.yaml     the rules of the pool, and how your sheets are read\n"
                "  scenario.yaml  what goes together; your sheets stay where and as they are\n"
                "\nOther answers: edit model.yaml, or import once more, into another folder. For scripts: --answers "
                "FILE, which begins as what --json writes.\n"
                "next: poolwright check %s\n      poolwright best %s -o %s\n",
                folder, typed, typed, pool);
}

int verb_import(Job *job)
{
    Options *o = &job->options;
    Decider decider = {0};
    Intake *intake = NULL;
    StarterFound found;
    Text out = {0};
    int code = EXIT_BAD_INPUT;
    const char **path = arena_alloc(o->arena, o->words + 1, sizeof *path);
    path[0] = o->subject;
    for (size_t i = 0; i < o->words; i++)
        path[i + 1] = o->word[i];
    for (size_t i = 0; i <= o->words && o->output != NULL; i++)
        if (!can_be_named(job, path[i]))
            goto done;
    if (!decider_init(&decider, o->arena, o->answers, &job->diags))
        goto done;
    decider.asks = !o->json && isatty(STDIN_FILENO) && isatty(STDOUT_FILENO);
    decider.width = job->style.width;
    intake = intake_new(path, o->words + 1, job->files, decide, &decider, &job->diags);
    if (intake == NULL)
        goto done;
    make_plan(job, intake, &found);
    decider_check(&decider, intake);
    if (job->diags.errors > 0 || (o->output != NULL && !intake_rates_known(intake, true)))
        goto done;
    code = o->output == NULL ? EXIT_ANSWERED : write_files(job, &found);
    if (code != EXIT_ANSWERED)
        goto done;
    bool good = true;
    if (o->json)
        good = found_json(job, intake, &out);
    else
        tell(job, intake, &out);
    code = job_print(job, good, &out, EXIT_ANSWERED);
done:
    job_show_problems(job);
    intake_free(intake);
    decider_release(&decider);
    return code;
}
