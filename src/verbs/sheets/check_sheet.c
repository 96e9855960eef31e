/* check_sheet.c - check of a sheet without a model: what can be said of it all the same, and what comes next. */
#include "verbs/sheets/check_sheet.h"

#include "base/number.h"
#include "intake/supply.h"
#include "report/intake_report.h"
#include "report/json/json.h"

static void add_classes(const Intake *intake, const Supply *supply, Text *out)
{
    int mono = 0;
    for (size_t c = 0; c < intake->colours; c++)
        mono += supply->mono[c];
    text_printf(out, "\nCandidates: %d", supply->candidates);
    text_printf(out, "\n  %d mono (", mono);
    for (size_t c = 0; c < intake->colours; c++)
        text_printf(out, "%s%s %d", c > 0 ? ", " : "", intake->colour[c], supply->mono[c]);
    text_printf(out, "), %d gold, %d hybrid, %d colourless, %d fixing\n", supply->gold, supply->hybrid,
                supply->colourless, supply->fixing);
    size_t untagged = 0;
    for (size_t i = 0; i < intake->cards->count; i++)
        untagged += intake->cards->card[i].tags == 0;
    text_printf(out, "  without power: %zu; without price: %zu; without any tag: %zu\n",
                intake->cards->count - supply->scored, intake->cards->count - supply->priced, untagged);
    char number[NUMBER_TEXT];
    if (supply->priced > 0)
        text_printf(out, "  the middle price is %s\n", number_format(number, supply->middle_price, 2, 2));
}

static void tell(const Job *job, const Intake *intake, const Supply *supply, Text *out)
{
    const char *typed = text_shell_word(job->options.arena, job->options.subject);
    intake_lines_text(intake, out);
    intake_unused_text(intake, out);
    add_classes(intake, supply, out);
    text_add(out, "\nRead so, as is likely:\n");
    intake_taken_text(intake, out);
    text_printf(out,
                "\nThere is no model, so nothing is said of rules.\n"
                "next: poolwright import %s -o my-pool   writes one for this sheet, and how it is read\n"
                "      poolwright check %s --model four-360   with the rules of a preset\n",
                typed, typed);
}

static bool tell_json(const Job *job, const Intake *intake, const Supply *supply, Text *out)
{
    json_t *root = json_object();
    json_object_set_new(root, "model", json_null());
    json_object_set_new(root, "candidates", json_integer(supply->candidates));
    json_object_set_new(root, "unpriced", json_count(intake->cards->count - supply->priced));
    json_object_set_new(root, "unscored", json_count(intake->cards->count - supply->scored));
    intake_json(intake, root);
    json_object_set_new(root, "notices", json_notices(&job->diags));
    return json_finish(root, out);
}

int check_sheet(Job *job)
{
    Text out = {0};
    Supply supply;
    int code = EXIT_BAD_INPUT;
    Intake *intake = intake_new(&job->options.subject, 1, job->files, NULL, NULL, &job->diags);
    if (intake != NULL) {
        supply_count(intake, NULL, &supply);
        bool good = true;
        if (job->options.json)
            good = tell_json(job, intake, &supply, &out);
        else
            tell(job, intake, &supply, &out);
        code = job_print(job, good, &out, EXIT_ANSWERED);
    }
    job_show_problems(job);
    intake_free(intake);
    return code;
}
