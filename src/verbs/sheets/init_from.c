/* init_from.c - init --from POOL.csv: a folder for a pool that is there. */

#include "ask/plans/first_plan.h"
#include "base/text.h"
#include "cards/sheet/sheet_numbers.h"
#include "report/intake_report.h"
#include "report/starter/starter_from.h"
#include "verbs/sheets/init_from.h"
#include "verbs/frame/written.h"

/* The header under which the sheet says what is in the pool; NULL: none. */
static const char *chosen_header(const Intake *intake)
{
    const IntakeSheet *sheet = &intake->sheet[0];
    const int column = intake_column(sheet, HOLDS_CHOSEN);
    return column >= 0 ? sheet->sheet.header.cell[column].text : NULL;
}

/* How many of each candidate are in the pool: what `chosen` says, else `copies`, else one. Their sum. */
static int count_copies(const Intake *intake, int *copies)
{
    const IntakeSheet *sheet = &intake->sheet[0];
    const char *header = chosen_header(intake);
    const int column = header != NULL ? card_column(intake->cards, header) : -1;
    int sum = 0;
    for (size_t i = 0; i < intake->cards->count; i++) {
        copies[i] = intake->cards->card[i].copies;
        if (column >= 0 && !sheet_copies(&sheet->sheet, intake->cards->card[i].cell[column], &copies[i]))
            copies[i] = 0;
        sum += copies[i];
    }
    return sum;
}

/* Counts of what else the sheet says become the limits. */
static bool says_more_than_names(const Intake *intake)
{
    static const ColumnField counted[] = {HOLDS_COLOURS, HOLDS_KIND, HOLDS_COST, HOLDS_TAGS};
    for (size_t f = 0; f < sizeof counted / sizeof *counted; f++)
        if (intake_column(&intake->sheet[0], counted[f]) >= 0)
            return true;
    return intake->colour_columns || intake->theme_columns > 0;
}

static void make_plan(Job *job, const Intake *intake, const int *copies, int size, StarterFound *found)
{
    *found = (StarterFound){.intake = intake, .cap = -1, .unscored = -1, .unpriced = -1};
    supply_count(intake, copies, &found->supply);
    found->plan = (StarterPlan){.size = size, .colour = intake->colour, .colours = intake->colours};
    first_themes(found);
    found->unpriced_cards = intake->cards->count - found->supply.priced;
    found->unscored_cards = intake->cards->count - found->supply.scored;
    if (found->supply.priced > 0 && found->unpriced_cards > 0)
        found->unpriced = found->supply.middle_price;
    if (found->supply.has_power && found->unscored_cards > 0)
        found->unscored = found->supply.middle_power;
    /* the pool is the first list of candidates too */
    StarterSheet *sheet = arena_alloc(job->options.arena, 2, sizeof *sheet);
    first_sheets(found, job->options.output);
    for (size_t s = 0; s < 2; s++)
        sheet[s] = (StarterSheet){.path = found->sheet[0].path, .key = s == 0 ? "cards" : "pool"};
    found->sheet = sheet;
    found->sheets = 2;
}

static bool tell(const Job *job, const Intake *intake, const StarterFound *found, Text *out)
{
    const char *folder = job->options.output, *typed = text_shell_word(job->options.arena, folder);
    if (job->options.json)
        return found_json(job, intake, out);
    intake_lines_text(intake, out);
    text_add(out, "\nTaken:\n");
    intake_taken_text(intake, out);
    text_printf(out,
                "\nIn %s are now\n  model.yaml     a band around every count of the pool of %d, to change as you like\n"
                "  scenario.yaml  the pool, as what there is and as the only candidates yet: add yours to `cards`\n"
                "\nnext: poolwright audit %s\n      poolwright best %s\n",
                folder, found->plan.size, typed, typed);
    return true;
}

int init_from(Job *job)
{
    Text text[FOUND_FILES] = {0}, out = {0};
    int code = EXIT_BAD_INPUT, *copies = NULL;
    const char *path = job->options.from;
    Intake *intake = can_be_named(job, path) ? intake_new(&path, 1, job->files, NULL, NULL, &job->diags) : NULL;
    if (intake == NULL || !intake_rates_known(intake, false))
        goto done;
    if (!says_more_than_names(intake)) {
        diag_error(&job->diags, (SourcePos){.file = path},
                   "found nothing but names, expected colours, kinds, costs or tags too, since their counts become the "
                   "limits; where these stand in another sheet, write poolwright import SHEET %s -o %s",
                   text_shell_word(job->options.arena, path), text_shell_word(job->options.arena, job->options.output));
        goto done;
    }
    copies = mem_new(intake->cards->count, sizeof *copies);
    const int size = count_copies(intake, copies);
    if (size == 0) {
        diag_error(&job->diags, (SourcePos){.file = path}, "found no card in the pool, expected some");
        goto done;
    }
    const char *header = chosen_header(intake);
    if (header != NULL && !text_folds_to(header, "chosen")) { /* the sheet is the present pool too */
        intake->map_field[intake->maps] = "chosen";
        intake->map_header[intake->maps++] = header;
    }
    StarterFound found;
    make_plan(job, intake, copies, size, &found);
    starter_from_model(&found, copies, path_last(path), &text[FOUND_MODEL]);
    starter_found_scenario(&found, &text[FOUND_SCENARIO]);
    code = write_found(job, text);
    if (code == EXIT_ANSWERED)
        code = job_print(job, tell(job, intake, &found, &out), &out, EXIT_ANSWERED);
done:
    job_show_problems(job);
    mem_free(copies);
    intake_free(intake);
    return code;
}
