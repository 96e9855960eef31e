/* new_powers.c - see new_powers.h. */
#include "verbs/month/new_powers.h"

#include <string.h>

#include "base/files/file.h"
#include "programme/count/checker.h"
#include "verbs/outputs/outputs.h"

bool new_powers_usage_good(Job *job)
{
    const Options *o = &job->options;
    const size_t errors = job->diags.errors;
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

PoolChange *new_powers_changes(FeedbackReport *r)
{
    if (!r->old->has_pool || !r->now->has_pool)
        return NULL;
    PoolChange *change = pool_changes(r->before, r->old->copies, r->after, r->now->copies, &r->changes);
    r->change = change;
    r->old_by_new = pool_fit(r->after, r->old->copies);
    r->now_by_old = pool_fit(r->before, r->now->copies);
    return change;
}

int new_powers_code(const Job *job, const FeedbackReport *r)
{
    if (r->old->status == ANSWER_STOPPED || r->now->status == ANSWER_STOPPED)
        return job_stopped_code(job, r->old->has_pool || r->now->has_pool);
    return r->now->has_pool ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

/* The part of a sheet's path behind its folders; of a workbook's sheet its name, as text. */
static const char *last_part(Arena *arena, const CardFile *file)
{
    const char *sign = file->workbook ? strrchr(file->path, '#') : NULL;
    if (sign == NULL)
        return path_last(file->path);
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

/* Where powers are the average of several columns there is no place for a new one. */
static bool has_one_power(Job *job, const Model *model, const Sheet *sheet)
{
    const char *first = NULL;
    for (size_t k = 0; k < model->maps; k++) {
        const int column = strcmp(model->map_field[k], "power") == 0 ? sheet_column(sheet, model->map_header[k]) : -1;
        if (column >= 0 && first != NULL) {
            diag_error(
                &job->diags, sheet_pos(sheet, &sheet->header.cell[column]),
                "powers are the average of several columns, such as '%s' and '%s', so there is no place for a new "
                "one; expected one column of powers",
                first, sheet->header.cell[column].text);
            return false;
        }
        first = column >= 0 ? sheet->header.cell[column].text : first;
    }
    return true;
}

bool new_powers_place_good(Job *job, const Instance *instance)
{
    bool good = true;
    for (size_t k = 0; k < instance->cards->files && job->options.apply && good; k++) {
        Sheet sheet;
        good = sheet_read(job->options.arena, job->files, instance->cards->file[k].path, (SourcePos){0}, &sheet,
                          &job->diags) &&
               has_one_power(job, instance->model, &sheet);
    }
    return good;
}

/* *path: where the sheet with the new powers goes; NULL: it has none. */
static bool add_sheet(Job *job, const FeedbackReport *r, size_t file, bool folder, const char **path)
{
    Arena *arena = job->options.arena;
    Sheet sheet;
    Text text = {0};
    if (!sheet_read(arena, job->files, r->before->cards->file[file].path, (SourcePos){0}, &sheet, &job->diags))
        return false;
    const size_t changed = feedback_csv(r->before, r->feedback, &sheet, &text);
    *path = NULL;
    if (changed > 0 || !folder) {
        *path = folder ? output_in_folder(job, free_part(job, r->before->cards, file)) : job->options.output;
        output_add_sheet(job, *path, "cards", r->before, &text);
    }
    text_release(&text);
    return true;
}

bool new_powers_write(Job *job, FeedbackReport *r)
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

bool new_powers_print(Job *job, const FeedbackReport *r)
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
