/* feedback.c - files and notes -> proposed powers -> the best pool before and after -> report, and with --apply the
 * cards sheet. */
#include <string.h>

#include "report/feedback_report.h"
#include "report/revise_report.h"
#include "verbs/outputs.h"

static bool usage_good(Job *job)
{
    const Options *o = &job->options;
    const size_t errors = job->diags.errors;
    if (o->words == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "feedback: found no sheet of notes, expected poolwright feedback SCENARIO NOTES.csv");
    if (o->apply && o->output == NULL)
        diag_error(&job->diags, (SourcePos){0},
                   "--apply: found no -o FILE, expected where the cards with the new powers are written");
    if (!o->apply && o->output != NULL)
        diag_error(&job->diags, (SourcePos){0},
                   "-o: found no --apply; only with it the cards with the new powers are written");
    outputs_go_together(job);
    if (strcmp(o->subject, "-") == 0 || (o->words > 0 && strcmp(o->word[0], "-") == 0))
        diag_error(&job->diags, (SourcePos){0},
                   "found '-', expected files: the sheets with the new powers are named after them");
    return job->diags.errors == errors;
}

/* The part of a sheet's path behind its folders; of a workbook's sheet its name, as text. */
static const char *last_part(Arena *arena, const CardFile *file)
{
    const char *sign = file->workbook ? strrchr(file->path, '#') : NULL, *slash = strrchr(file->path, '/');
    if (sign == NULL)
        return slash != NULL ? slash + 1 : file->path;
    char *part = arena_printf(arena, "%s.csv", sign + 1);
    for (char *c = part; *c != '\0'; c++)
        *c = *c == '/' ? '-' : *c;
    return part;
}

/* That part, with a number where another sheet has that name too. */
static const char *free_part(Job *job, const CardSet *cards, size_t file)
{
    const char *part = last_part(job->options.arena, &cards->file[file]);
    int number = 1;
    for (size_t k = 0; k < file; k++)
        number += strcmp(last_part(job->options.arena, &cards->file[k]), part) == 0;
    return number == 1 ? part : arena_printf(job->options.arena, "%d-%s", number, part);
}

static int exit_code(const Job *job, const FeedbackReport *r)
{
    if (r->old->status == ANSWER_STOPPED || r->now->status == ANSWER_STOPPED)
        return job_stopped_code(job, r->old->has_pool || r->now->has_pool);
    return r->now->has_pool ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

/* ---- the sheets ---- */

/* *path: where the sheet with the new powers goes; NULL: it has none. */
static bool add_sheet(Job *job, const FeedbackReport *r, size_t file, bool folder, const char **path)
{
    Arena *arena = job->options.arena;
    Diags quiet; /* notices were shown when the cards were read */
    Sheet sheet;
    Text text = {0};
    diags_init(&quiet);
    bool good = sheet_read(arena, job->files, r->before->cards->file[file].path, (SourcePos){0}, &sheet, &quiet);
    diags_release(&quiet);
    if (!good) {
        diag_error(&job->diags, (SourcePos){.file = r->before->cards->file[file].path},
                   "the sheet changed while it was worked on, expected it as it was");
        return false;
    }
    const size_t changed = feedback_csv(r->before, r->feedback, &sheet, &text);
    *path = NULL;
    if (changed > 0 || !folder) {
        *path = folder ? output_in_folder(job, free_part(job, r->before->cards, file)) : job->options.output;
        output_add_sheet(job, *path, "cards", r->before, &text);
    }
    text_release(&text);
    return true;
}

/* All of them or none. */
static bool write_sheets(Job *job, FeedbackReport *r)
{
    const size_t files = r->before->cards->files;
    const bool folder = files > 1;
    const char **path = arena_alloc(job->options.arena, files, sizeof *path);
    bool good = !folder || output_folder(job);
    for (size_t k = 0; k < files && good; k++) {
        good = add_sheet(job, r, k, folder, &path[r->writtens]);
        r->writtens += path[r->writtens] != NULL;
    }
    good = outputs_commit(job) && good;
    r->written = path;
    if (!good)
        r->writtens = 0;
    return good;
}

static bool print_sheet(Job *job, const FeedbackReport *r)
{
    Sheet sheet;
    Text text = {0};
    bool good =
        sheet_read(job->options.arena, job->files, r->before->cards->file[0].path, (SourcePos){0}, &sheet, &job->diags);
    if (good)
        feedback_csv(r->before, r->feedback, &sheet, &text);
    good = good && print_text(&text, EXIT_ANSWERED) == EXIT_ANSWERED;
    text_release(&text);
    return good;
}

static int show(Job *job, FeedbackReport *r)
{
    Text out = {0};
    bool good = true;
    if (is_stdout(job->options.output))
        return print_sheet(job, r) ? exit_code(job, r) : EXIT_COULD_NOT_RUN;
    const bool written = job->options.output == NULL || write_sheets(job, r);
    if (job->options.json)
        good = feedback_json(r, &job->diags, &out);
    else
        feedback_text(r, &job->style, &out);
    const int code = job_print(job, good, &out, exit_code(job, r));
    return written ? code : EXIT_COULD_NOT_RUN;
}

/* ---- both pools ---- */

/* The fit of a pool by the other instance's powers; the candidates are the same. */
static int64_t fit_by(const Instance *instance, const int *copies)
{
    PoolCheck check;
    pool_check(instance, copies, &check);
    const int64_t fit = check.fit;
    pool_check_release(&check);
    return fit;
}

/* Where the old pool is as good as the one found, it is the answer: of pools with the same fit the nearest is told. */
static void stay(const Instance *instance, const int *copies, Answer *now)
{
    PoolCheck check;
    pool_check(instance, copies, &check);
    if (!check.kept || check.fit != now->check.fit) {
        pool_check_release(&check);
        return;
    }
    memcpy(now->copies, copies, instance->cards->count * sizeof *copies);
    pool_check_release(&now->check);
    now->check = check;
}

/* The best pool by the new powers, begun from the present best: where that is as good as any, it stays. */
static bool find_now(const Programme *programme, const Answer *old, SearchOptions options, Answer *now, Diags *diags)
{
    int64_t *x = mem_new((size_t)programme->problem.columns + 1, sizeof *x);
    if (old->has_pool && programme_solution(programme, old->copies, x))
        options.start = x;
    const bool good = answer_find(programme, &options, now, diags);
    mem_free(x);
    if (good && old->has_pool && now->has_pool)
        stay(programme->instance, old->copies, now);
    return good;
}

/* Both pools, then what differs. */
static int compare(Job *job, const Loaded *loaded, const Instance *after, const Programme *programme,
                   const Feedback *feedback)
{
    SearchOptions options;
    Answer old, now;
    job_stop_gently(job);
    job_search_options(job, &options);
    if (!answer_find(loaded->programme, &options, &old, &job->diags))
        return EXIT_COULD_NOT_RUN;
    int code = EXIT_COULD_NOT_RUN;
    bool good = find_now(programme, &old, options, &now, &job->diags);
    job_progress_end(job);
    if (good) {
        FeedbackReport r = {.before = loaded->instance, .after = after, .feedback = feedback, .old = &old, .now = &now};
        PoolChange *change = NULL;
        if (old.has_pool && now.has_pool) {
            r.change = change = pool_changes(loaded->instance, old.copies, after, now.copies, &r.changes);
            r.old_by_new = fit_by(after, old.copies);
            r.now_by_old = fit_by(loaded->instance, now.copies);
        }
        code = show(job, &r);
        mem_free(change);
        answer_release(&now);
    }
    answer_release(&old);
    return code;
}

int verb_feedback(Job *job)
{
    Loaded loaded = {.cap_row = -1};
    Feedback feedback = {0};
    Instance *after = NULL;
    Programme *programme = NULL;
    int code = EXIT_BAD_INPUT;
    if (!usage_good(job))
        goto done;
    job_model_folders(job);
    if (!loaded_read(&loaded, job->options.subject, &job->options.overrides, job->files, "", &job->diags) ||
        !feedback_read(loaded.instance, job->options.word[0], &feedback, &job->diags) ||
        !outputs_good(job, loaded.scenario, &code) ||
        (after = feedback_instance(&loaded, &feedback, &job->diags)) == NULL ||
        (programme = programme_new(after, &job->diags)) == NULL)
        goto done;
    code = compare(job, &loaded, after, programme, &feedback);
done:
    job_show_problems(job);
    programme_free(programme);
    instance_free(after);
    feedback_release(&feedback);
    loaded_release(&loaded);
    return code;
}
