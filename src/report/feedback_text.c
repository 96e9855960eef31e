/* feedback_text.c - what notes propose: powers with reasons, and what they do to the best pool. */
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "report/feedback_report.h"
#include "report/format.h"
#include "report/json.h"
#include "report/revise_report.h"
#include "report/sheet_out.h"

#define SHOWN 40

static const char *reasons(const FeedbackCard *card, Arena *arena)
{
    const char *all = "";
    for (size_t k = 0; k < card->notes; k++) {
        const FeedbackNote *n = &card->note[k];
        all = arena_printf(arena, "%s%s%s%s%s%s%s", all, k > 0 ? "; " : "", n->date, n->date[0] != '\0' ? " " : "", n->verdict[0] != '\0' ? n->verdict : "note",
                           n->note[0] != '\0' ? ": " : "", n->note);
    }
    return all;
}

static void pool_line(const FeedbackReport *r, Arena *arena, Text *out)
{
    if (!r->old->has_pool || !r->now->has_pool) {
        text_add(out, r->now->status == ANSWER_INFEASIBLE ? "No pool keeps every rule.\n" : "The search was stopped before it had both pools.\n");
        return;
    }
    int in, gone;
    pool_changes_sum(r->change, r->changes, &in, &gone);
    text_printf(out, "The best pool: fit %s before, %s with the new powers (at most %s); %d in, %d out.\n", format_number(arena, r->old->check.fit),
                format_number(arena, r->now->check.fit), format_number(arena, r->now->bound), in, gone);
    if (r->old->status == ANSWER_STOPPED || r->now->status == ANSWER_STOPPED)
        text_add(out, "The search was stopped before the gap: a better pool may exist.\n");
}

void feedback_text(const FeedbackReport *r, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    const Feedback *f = r->feedback;
    static const char *const header[] = {"card", "power", "new", "why"};
    Table *table = table_new("lrrl", header);
    text_printf(out, "%s: notes on %s, %zu with a new power.\n", f->path, format_cards(arena, (int64_t)f->cards), f->changed);
    for (size_t k = 0; k < f->cards; k++) {
        table_add(table, r->before->cards->card[f->card[k].card].name);
        table_add(table, format_number(arena, f->card[k].before));
        table_add(table, f->card[k].after != f->card[k].before ? format_number(arena, f->card[k].after) : "same");
        table_addf(table, "%s%s", reasons(&f->card[k], arena), f->card[k].after != f->card[k].before + f->card[k].sum ? " (kept within the sheet's powers)" : "");
    }
    style_heading(out, style, "Proposed powers");
    table_print(table, out, style);
    table_free(table);
    style_heading(out, style, "What they change");
    pool_line(r, arena, out);
    if (r->changes > 0)
        changes_table(r->change, r->changes, SHOWN, style, out);
    if (r->written != NULL)
        text_printf(out, "\nThe cards with the new powers: %s\n", r->written);
    else
        text_add(out, "\nNothing is changed. A copy of the cards with the new powers: add --apply -o FILE\n");
    arena_free(arena);
}

static json_t *card_json(const FeedbackReport *r, const FeedbackCard *card)
{
    json_t *entry = json_object(), *notes = json_array();
    json_object_set_new(entry, "name", json_string(r->before->cards->card[card->card].name));
    json_object_set_new(entry, "power", json_number_of(card->before));
    json_object_set_new(entry, "sum", json_number_of(card->sum));
    json_object_set_new(entry, "new_power", json_number_of(card->after));
    for (size_t k = 0; k < card->notes; k++)
        json_array_append_new(notes, json_pack("{s:s,s:s,s:s,s:o,s:i}", "date", card->note[k].date, "verdict", card->note[k].verdict, "note", card->note[k].note, "by",
                                               json_number_of(card->note[k].by), "line", card->note[k].line));
    json_object_set_new(entry, "notes", notes);
    return entry;
}

static json_t *pool_json(const Answer *answer)
{
    json_t *pool = json_object();
    json_object_set_new(pool, "status", json_string(answer_status_name(answer->status)));
    json_object_set_new(pool, "fit", answer->has_pool ? json_number_of(answer->check.fit) : json_null());
    json_object_set_new(pool, "bound", answer->has_bound ? json_number_of(answer->bound) : json_null());
    return pool;
}

bool feedback_json(const FeedbackReport *r, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *cards = json_array();
    for (size_t k = 0; k < r->feedback->cards; k++)
        json_array_append_new(cards, card_json(r, &r->feedback->card[k]));
    json_object_set_new(root, "cards", cards);
    json_object_set_new(root, "before", pool_json(r->old));
    json_object_set_new(root, "after", pool_json(r->now));
    json_object_set_new(root, "enters", changes_as_json(r->change, r->changes, 1));
    json_object_set_new(root, "leaves", changes_as_json(r->change, r->changes, -1));
    json_object_set_new(root, "written", r->written != NULL ? json_string(r->written) : json_null());
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

/* ---- the sheet ---- */

static int by_place(const void *a, const void *b)
{
    const Card *x = *(const Card *const *)a, *y = *(const Card *const *)b;
    if (x->file != y->file)
        return x->file < y->file ? -1 : 1;
    return (x->at.line > y->at.line) - (x->at.line < y->at.line);
}

static int power_column(const Instance *in)
{
    for (size_t k = 0; k < in->model->maps; k++)
        if (strcmp(in->model->map_field[k], "power") == 0)
            return card_column(in->cards, in->model->map_header[k]);
    return card_column(in->cards, "power");
}

/* The new power, with a decimal comma if the sheet's powers have it. "" : as it was. */
static void new_power(const Feedback *f, size_t card, bool comma, char buffer[NUMBER_TEXT])
{
    buffer[0] = '\0';
    for (size_t k = 0; k < f->cards; k++)
        if (f->card[k].card == card && f->card[k].after != f->card[k].before)
            number_format(buffer, f->card[k].after, 3, 0);
    char *point = strchr(buffer, '.');
    if (comma && point != NULL)
        *point = ',';
}

void feedback_csv(const Instance *in, const Feedback *f, Text *out)
{
    const CardSet *set = in->cards;
    const char separator = set->files > 0 ? set->file[0].separator : ',';
    const int power = power_column(in);
    const size_t columns = set->columns + (power < 0);
    const size_t at = power < 0 ? set->columns : (size_t)power;
    const char **cell = mem_new(columns, sizeof *cell);
    const Card **card = mem_new(set->count, sizeof *card);
    for (size_t c = 0; c < columns; c++)
        cell[c] = c < set->columns ? set->column[c] : "power";
    sheet_line(out, cell, columns, separator);
    bool comma = false;
    for (size_t c = 0; c < set->count; c++) {
        card[c] = &set->card[c];
        comma = comma || (separator != ',' && power >= 0 && strchr(set->card[c].cell[power], ',') != NULL);
    }
    if (set->count > 0)
        qsort(card, set->count, sizeof *card, by_place);
    for (size_t k = 0; k < set->count; k++) {
        char buffer[NUMBER_TEXT];
        for (size_t c = 0; c < columns; c++)
            cell[c] = c < set->columns ? card[k]->cell[c] : "";
        new_power(f, (size_t)(card[k] - set->card), comma, buffer);
        if (buffer[0] != '\0')
            cell[at] = buffer;
        sheet_line(out, cell, columns, separator);
    }
    mem_free(card);
    mem_free(cell);
}
