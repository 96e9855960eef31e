/* feedback.c - reading notes and adding them up. better +0.5, worse -0.5, unused -0.25, fine 0, a number as it is; the
 * sum of a card's notes is added to its power (a card without one: what the model counts it as) and kept within the
 * least and greatest power of the sheet. A power that lies outside stays reachable, so that no note moves a power
 * against its sign. */
#include "whatif/powers/feedback.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"
#include "base/text.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"
#include "model/case_edits.h"
#include "model/sheets/matched_sheet.h"

#define MOST_POWER INT64_C(1000000000)
#define MOST_POINTS INT64_C(1000000) /* a thousand points */

static const char *const verdict_word[] = {"better", "worse", "fine", "unused"};
static const int64_t verdict_by[] = {500, -500, 0, -250};
#define VERDICTS (sizeof verdict_by / sizeof verdict_by[0])

static bool read_verdict(const Habits *habits, const Sheet *sheet, const char *header, const SheetCell *cell,
                         int64_t *by, Diags *diags)
{
    *by = 0;
    if (cell->text[0] == '\0')
        return true;
    const long k = habits_find(habits, cell->text, verdict_word, VERDICTS);
    if (k >= 0) {
        *by = verdict_by[k];
        return true;
    }
    if (form_number(sheet_number_form(sheet), cell->text, 3, by, NULL) == NUMBER_OK && *by >= -MOST_POINTS &&
        *by <= MOST_POINTS)
        return true;
    char excerpt[TEXT_EXCERPT];
    const char *near = text_nearest(cell->text, verdict_word, VERDICTS);
    diag_error(diags, sheet_pos(sheet, cell),
               "column '%s': found '%s', expected better, worse, fine, unused or points from -1000 to 1000 such as +1 "
               "or -0.5%s%s%s (what a word of your own means can stand in the model: read: {words: {\"%s\": better}})",
               header, text_excerpt(excerpt, cell->text), near != NULL ? "; did you mean '" : "",
               near != NULL ? near : "", near != NULL ? "'?" : "", excerpt);
    return false;
}

enum { AT_CARD, AT_VERDICT, AT_DATE, AT_NOTE, AT_ALL = NOTES_COLUMNS };
static const char *const note_header[AT_ALL] = {"card", "verdict", "date", "note"};

static void read_note(const Instance *in, const Sheet *sheet, const SheetRow *row, const int column[AT_ALL],
                      DateOrder order, FeedbackNote *note, Diags *diags)
{
    *note = (FeedbackNote){
        .line = row->line, .day = DAY_UNKNOWN, .date = "", .note = "", .verdict = row->cell[column[AT_VERDICT]].text};
    cell_card(in, sheet, &row->cell[column[AT_CARD]], &note->card, diags);
    read_verdict(&in->model->habits, sheet, sheet->header.cell[column[AT_VERDICT]].text, &row->cell[column[AT_VERDICT]],
                 &note->by, diags);
    if (column[AT_NOTE] >= 0)
        note->note = row->cell[column[AT_NOTE]].text;
    if (column[AT_DATE] < 0 || row->cell[column[AT_DATE]].text[0] == '\0')
        return;
    const SheetCell *date = &row->cell[column[AT_DATE]];
    note->date = date->text;
    if (!date_parse_by(date->text, order, &note->day))
        sheet_report(sheet, column[AT_DATE], date, DATE_EXPECTED, diags);
}

static int by_card(const void *a, const void *b)
{
    const FeedbackNote *x = a, *y = b;
    if (x->card != y->card)
        return x->card < y->card ? -1 : 1;
    bool dated = x->date[0] != '\0';
    if (dated != (y->date[0] != '\0'))
        return dated ? -1 : 1;
    if (x->day != y->day)
        return x->day > y->day ? -1 : 1;
    return (x->line > y->line) - (x->line < y->line);
}

static void find_range(const Instance *in, Feedback *f)
{
    bool any = false;
    for (size_t c = 0; c < in->cards->count; c++) {
        const Card *card = &in->cards->card[c];
        if (!card->has_power)
            continue;
        f->low = !any || card->power < f->low ? card->power : f->low;
        f->high = !any || card->power > f->high ? card->power : f->high;
        any = true;
    }
    if (!any) { /* nothing to stay within */
        f->low = -MOST_POWER;
        f->high = MOST_POWER;
    }
}

static void add_up(const Instance *in, const FeedbackNote *note, size_t notes, Feedback *f)
{
    f->card = arena_alloc(f->arena, notes, sizeof *f->card);
    for (size_t k = 0; k < notes;) {
        FeedbackCard *item = &f->card[f->cards++];
        const Card *card = &in->cards->card[note[k].card];
        *item = (FeedbackCard){
            .card = note[k].card, .note = &note[k], .before = card->has_power ? card->power : in->model->unscored};
        for (; k < notes && note[k].card == item->card; k++, item->notes++)
            item->sum += note[k].by;
        int64_t low = item->before < f->low ? item->before : f->low,
                high = item->before > f->high ? item->before : f->high;
        item->after = item->before + item->sum;
        item->after = item->after < low ? low : item->after > high ? high : item->after;
        f->changed += item->after != item->before;
    }
}

/* The first header that has a word for it, in one of the languages of headers; -1: none. */
static int column_by_words(const Sheet *sheet, int at)
{
    int found = -1;
    for (size_t k = sheet->header.cells; k-- > 0;) {
        const char *header = sheet->header.cell[k].text;
        const bool meant = at == AT_CARD      ? header_is(header, HOLDS_NAME)
                           : at == AT_DATE    ? header_is(header, HOLDS_DATE)
                           : at == AT_VERDICT ? header_is_verdict(header)
                                              : header_is_remark(header);
        found = meant ? (int)k : found;
    }
    return found;
}

/* As the model's columns call it (model may be NULL), or its own name; else by words. Cards are names, as in all
 * sheets. */
static int note_column(const Sheet *sheet, const Model *model, int at)
{
    const char *const name[] = {note_header[at], at == AT_CARD ? "name" : NULL};
    int column = -1;
    for (int k = 0; k < 2 && name[k] != NULL && column < 0; k++)
        column = model != NULL ? mapped_column(sheet, model, name[k]) : sheet_column(sheet, name[k]);
    return column >= 0 ? column : column_by_words(sheet, at);
}

/* The sheet of a workbook that holds notes. */
static int notes_fit(const Sheet *sheet, const void *context)
{
    int found = 0;
    for (int k = 0; k < AT_ALL; k++)
        if (note_column(sheet, context, k) >= 0)
            found++;
        else if (k <= AT_VERDICT)
            return -1;
    return found;
}

/* What cards are, or how many there are of them: notes say nothing of that. */
static bool says_facts(const Sheet *sheet)
{
    static const ColumnField fact[] = {HOLDS_COLOURS, HOLDS_KIND,   HOLDS_COST,  HOLDS_PRICE,
                                       HOLDS_TAGS,    HOLDS_COPIES, HOLDS_OWNED, HOLDS_STATUS};
    for (size_t k = 0; k < sheet->header.cells; k++)
        for (size_t f = 0; f < sizeof fact / sizeof *fact; f++)
            if (header_is(sheet->header.cell[k].text, fact[f]))
                return true;
    return false;
}

bool notes_columns(const Sheet *sheet, int column[NOTES_COLUMNS])
{
    for (int k = 0; k < AT_ALL; k++)
        column[k] = note_column(sheet, NULL, k);
    return column[AT_CARD] >= 0 && column[AT_VERDICT] >= 0 && !says_facts(sheet);
}

static bool find_columns(const Sheet *sheet, const Model *model, int column[AT_ALL], Diags *diags)
{
    const size_t errors = diags->errors;
    for (int k = 0; k < AT_ALL; k++) {
        column[k] = note_column(sheet, model, k);
        if (column[k] < 0 && k <= AT_VERDICT)
            diag_error(diags, sheet_line_pos(sheet, sheet->header.line),
                       "found no column '%s', expected columns called card and verdict, and date and note if there are "
                       "any; the model can say which it is with columns: {%s: HEADER}",
                       note_header[k], note_header[k]);
    }
    headers_tell_missing(sheet, column, note_header, AT_ALL, diags);
    return diags->errors == errors;
}

bool feedback_read(const Instance *instance, const char *path, Feedback *feedback, Diags *diags)
{
    const size_t errors = diags->errors;
    Sheet sheet;
    int column[AT_ALL];
    *feedback = (Feedback){.arena = arena_new()};
    const SheetUse notes = {.what = "notes", .fits = notes_fit, .context = instance->model};
    if (sheet_read_for(feedback->arena, instance->scenario->files, path, (SourcePos){0}, &notes, &sheet, diags) &&
        find_columns(&sheet, instance->model, column, diags)) {
        sheet_take_habits(&sheet, (size_t)column[AT_CARD], &instance->model->habits);
        DateOrder order;
        sheet_date_order(&sheet, column[AT_DATE], &order, diags);
        FeedbackNote *note = arena_alloc(feedback->arena, sheet.rows, sizeof *note);
        for (size_t k = 0; k < sheet.rows; k++)
            read_note(instance, &sheet, &sheet.row[k], column, order, &note[k], diags);
        sort_stable(note, sheet.rows, sizeof *note, by_card);
        feedback->path = sheet.path;
        find_range(instance, feedback);
        if (diags->errors == errors)
            add_up(instance, note, sheet.rows, feedback);
    }
    if (diags->errors == errors)
        return true;
    feedback_release(feedback);
    return false;
}

void feedback_release(Feedback *feedback)
{
    arena_free(feedback->arena);
    *feedback = (Feedback){0};
}

Instance *feedback_instance(Loaded *loaded, const Feedback *f, Diags *diags)
{
    Scenario *scenario = loaded->scenario;
    CardEdit *old = scenario->edit, *edit = mem_new(scenario->edits + f->changed, sizeof *edit);
    const size_t before = scenario->edits;
    size_t count = before;
    Diags found;
    diags_init(&found);
    if (before > 0)
        memcpy(edit, old, before * sizeof *edit);
    for (size_t k = 0; k < f->cards; k++)
        if (f->card[k].after != f->card[k].before)
            edit[count++] = (CardEdit){.name = loaded->instance->cards->card[f->card[k].card].name,
                                       .has_power = true,
                                       .power = f->card[k].after};
    scenario->edit = edit;
    scenario->edits = count;
    Instance *instance = instance_new(scenario, &found);
    scenario->edit = old;
    scenario->edits = before;
    mem_free(edit);
    for (size_t k = 0; instance == NULL && k < found.count; k++) /* notices were shown when the scenario was read */
        if (found.item[k].kind == DIAG_ERROR)
            diag_error(diags, found.item[k].at, "%s", found.item[k].text);
    diags_release(&found);
    return instance;
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

bool feedback_solve(const Programme *programme, const Answer *old, SearchOptions options, Answer *now, Diags *diags)
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
