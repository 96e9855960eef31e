/* import.c - sheets as they are -> what they hold, asked where it is not sure -> a model and a scenario that work. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/number.h"
#include "report/intake_report.h"
#include "report/json/json.h"
#include "verbs/decide.h"
#include "verbs/written.h"

#define SIZE_USUAL 360
#define SIZE_STEP 45 /* what one seat opens */

/* ---- questions about the pool ---- */

/* The usual size where there is something to choose from, else four fifths of what there is, in whole seats. */
static int likely_size(int candidates)
{
    if (candidates * 4 >= SIZE_USUAL * 5)
        return SIZE_USUAL;
    const int size = candidates * 4 / 5;
    return size >= SIZE_STEP ? size / SIZE_STEP * SIZE_STEP : size > 0 ? size : 1;
}

/* A whole number within the candidates; the likely one where the answer is none, with an error. */
static int ask_size(Job *job, Intake *intake, int candidates)
{
    Arena *arena = job->options.arena;
    const Overrides *o = &job->options.overrides;
    const int likely = o->has_size ? o->size_to : likely_size(candidates);
    Question question = {.id = "size",
                         .text = arena_printf(arena, "how many of the %d candidates shall be in the pool?", candidates),
                         .likely = arena_printf(arena, "%d", likely),
                         .sure = o->has_size};
    const char *answer = intake_ask(intake, question);
    int64_t size = 0;
    if (number_parse(answer, 0, false, &size) != NUMBER_OK || size < 1 || size > candidates) {
        diag_error(&job->diags, (SourcePos){0}, "%s: found %s, expected a whole number up to the %d candidates",
                   o->has_size ? "--size" : "the size", answer, candidates);
        return likely;
    }
    return (int)size;
}

static int64_t ask_unpriced(Job *job, Intake *intake, const Supply *supply)
{
    Arena *arena = job->options.arena;
    const size_t without = intake->cards->count - supply->priced;
    char number[NUMBER_TEXT];
    if (supply->priced == 0 || without == 0)
        return -1;
    Question question = {.id = "unpriced",
                         .text =
                             "what shall candidates without a price count as? (the likely answer is the middle price)",
                         .likely = arena_strdup(arena, number_format(number, supply->middle_price, 2, 2)),
                         .count = without,
                         .of = intake->cards->count};
    const char *answer = intake_ask(intake, question);
    int64_t cents = 0;
    if (number_parse_money(answer, false, &cents) == NUMBER_OK && cents >= 0)
        return cents;
    diag_error(&job->diags, (SourcePos){0}, "unpriced: found %s, expected an amount of money such as 0.50", answer);
    return supply->middle_price;
}

/* ---- what is written ---- */

static void make_plan(Job *job, Intake *intake, StarterFound *found)
{
    *found = (StarterFound){.intake = intake, .cap = -1, .unscored = -1};
    supply_count(intake, NULL, &found->supply);
    const Supply *supply = &found->supply;
    found->plan = (StarterPlan){
        .size = ask_size(job, intake, supply->candidates), .colour = intake->colour, .colours = intake->colours};
    plan_themes(job->options.arena, found);
    found->unpriced = ask_unpriced(job, intake, supply);
    found->unpriced_cards = intake->cards->count - supply->priced;
    found->unscored_cards = intake->cards->count - supply->scored;
    if (supply->has_power && found->unscored_cards > 0)
        found->unscored = supply->middle_power;
    if (job->options.overrides.has_cap)
        found->cap = job->options.overrides.cap;
    if (job->options.output != NULL)
        name_sheets(job, found);
}

static int write_files(Job *job, const StarterFound *found)
{
    Text model = {0}, scenario = {0};
    starter_found_model(found, &model);
    starter_found_scenario(found, &scenario);
    return write_folder(job, &model, &scenario);
}

/* ---- what is told ---- */

static void tell(const Job *job, const Intake *intake, Text *out)
{
    const char *folder = job->options.output;
    intake_lines_text(intake, out);
    text_add(out, "\nTaken:\n");
    intake_taken_text(intake, out);
    if (folder == NULL) {
        text_add(out, "\nNothing is written: add -o FOLDER. Other answers: --answers FILE, which begins as what --json "
                      "writes.\n");
        return;
    }
    text_printf(out,
                "\nIn %s are now\n  model.yaml     the rules of the pool, and how your sheets are read\n"
                "  scenario.yaml  what goes together; your sheets stay where and as they are\n"
                "\nOther answers: edit model.yaml, or import again with --answers FILE, which begins as what --json "
                "writes.\n"
                "next: poolwright check %s\n      poolwright best %s -o pool.csv\n",
                folder, folder, folder);
}

static bool tell_json(const Job *job, const Intake *intake, Text *out)
{
    json_t *root = json_object(), *files = json_array();
    for (int f = 0; f < WRITTEN_FILES && job->options.output != NULL; f++)
        json_array_append_new(files, json_string(written_name[f]));
    json_object_set_new(root, "folder", job->options.output != NULL ? json_string(job->options.output) : json_null());
    json_object_set_new(root, "files", files);
    intake_json(intake, root);
    json_object_set_new(root, "notices", json_notices(&job->diags));
    return json_finish(root, out);
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
    if (!decider_init(&decider, o->arena, o->answers, &job->diags))
        goto done;
    decider.asks = !o->json && isatty(STDIN_FILENO) && isatty(STDOUT_FILENO);
    intake = intake_new(path, o->words + 1, job->files, decide, &decider, &job->diags);
    if (intake == NULL)
        goto done;
    make_plan(job, intake, &found);
    decider_check(&decider, intake);
    if (job->diags.errors > 0)
        goto done;
    code = o->output == NULL ? EXIT_ANSWERED : write_files(job, &found);
    if (code != EXIT_ANSWERED)
        goto done;
    if (!o->json)
        tell(job, intake, &out);
    else if (!tell_json(job, intake, &out)) {
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
        code = EXIT_COULD_NOT_RUN;
        goto done;
    }
    code = job_print_text(job, &out, EXIT_ANSWERED);
done:
    job_show_problems(job);
    text_release(&out);
    intake_free(intake);
    decider_release(&decider);
    return code;
}
