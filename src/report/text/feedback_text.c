/* feedback_text.c - what notes propose: powers with reasons, and what they do to the best pool. */
#include "report/feedback_report.h"
#include "report/layout/format.h"
#include "report/json/json.h"
#include "report/list/revise_report.h"

#define SHOWN 40

static const char *reasons(const FeedbackCard *card, Arena *arena)
{
    const char *all = "";
    for (size_t k = 0; k < card->notes; k++) {
        const FeedbackNote *n = &card->note[k];
        all = arena_printf(arena, "%s%s%s%s%s%s%s", all, k > 0 ? "; " : "", n->date, n->date[0] != '\0' ? " " : "",
                           n->verdict[0] != '\0' ? n->verdict : "note", n->note[0] != '\0' ? ": " : "", n->note);
    }
    return all;
}

/* "" when it is proven best. */
static const char *reach(Arena *arena, const Answer *a)
{
    return a->status == ANSWER_BEST || !a->has_bound
               ? ""
               : arena_printf(arena, " (at most %s)", format_number(arena, a->bound));
}

static void add_pools(const FeedbackReport *r, Arena *arena, const Style *style, Text *out)
{
    if (!r->old->has_pool || !r->now->has_pool) {
        text_add(out, r->now->status == ANSWER_INFEASIBLE ? "No pool meets every limit.\n"
                                                          : "The search was stopped before it had both pools.\n");
        return;
    }
    int in, gone;
    pool_changes_sum(r->change, r->changes, &in, &gone);
    static const char *const header[] = {"", "fit by the powers now", "by the new ones"};
    Table *table = table_new("lrr", header);
    table_add(table, "the best pool now");
    table_addf(table, "%s%s", format_number(arena, r->old->check.fit), reach(arena, r->old));
    table_add(table, format_number(arena, r->old_by_new));
    table_add(table, arena_printf(arena, "the best pool with the %s", r->made_of));
    table_add(table, format_number(arena, r->now_by_old));
    table_addf(table, "%s%s", format_number(arena, r->now->check.fit), reach(arena, r->now));
    table_print(table, out, style);
    table_free(table);
    if (r->changes == 0)
        text_printf(out, "  The %s change no card of the best pool.\n", r->made_of);
    else {
        const int64_t lost = r->old->check.fit - r->now_by_old; /* below 0: rules that look at powers forbade it */
        text_printf(out, "  %d in, %d out: worth %s by the new powers, and ", in, gone,
                    format_number(arena, r->now->check.fit - r->old_by_new));
        if (lost == 0)
            text_add(out, "as good as before by those of now.\n");
        else
            text_printf(out, "%s %s by those of now.\n", format_number(arena, lost < 0 ? -lost : lost),
                        lost < 0 ? "more" : "less");
    }
    if (r->old->status == ANSWER_STOPPED || r->now->status == ANSWER_STOPPED)
        text_add(out, "The search was stopped before the gap: a better pool may exist.\n");
}

static void add_powers(const FeedbackReport *r, Arena *arena, const Style *style, Text *out)
{
    const Feedback *f = r->feedback;
    static const char *const header[] = {"card", "power", "new", "why"};
    Table *table = table_new("lrrl", header);
    for (size_t k = 0; k < f->cards; k++) {
        table_add(table, r->before->cards->card[f->card[k].card].name);
        table_add(table, format_number(arena, f->card[k].before));
        table_add(table, f->card[k].after != f->card[k].before ? format_number(arena, f->card[k].after) : "same");
        table_addf(table, "%s%s", reasons(&f->card[k], arena),
                   f->card[k].after != f->card[k].before + f->card[k].sum ? " (held within the sheet's powers)" : "");
    }
    style_heading(out, style, "Proposed powers");
    table_print(table, out, style);
    table_free(table);
    style_heading(out, style, "What they change");
    add_pools(r, arena, style, out);
    if (r->changes > 0)
        changes_table(r->change, r->changes, SHOWN, style, out);
}

void feedback_text(const FeedbackReport *r, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    text_printf(out, "%s, %zu with a new power.\n", r->source, r->feedback->changed);
    if (r->feedback->cards > 0)
        add_powers(r, arena, style, out);
    for (size_t k = 0; k < r->writtens; k++)
        text_printf(out, "%s%s\n", k == 0 ? "\nThe cards with the new powers: " : "                               ",
                    r->written[k]);
    if (r->writtens == 0 && r->feedback->cards > 0)
        text_printf(out, "\nNothing is changed. A copy of the cards with the new powers: add --apply -o %s\n",
                    r->before->cards->files > 1 ? "FOLDER (a sheet for each one that changes)" : "FILE");
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
        json_array_append_new(notes, json_pack("{s:s,s:s,s:s,s:o,s:i}", "date", card->note[k].date, "verdict",
                                               card->note[k].verdict, "note", card->note[k].note, "by",
                                               json_number_of(card->note[k].by), "line", card->note[k].line));
    json_object_set_new(entry, "notes", notes);
    return entry;
}

static json_t *pool_json(const Answer *answer, int64_t other, const char *other_key)
{
    json_t *pool = json_object();
    json_object_set_new(pool, "status", json_string(answer_status_name(answer->status)));
    json_object_set_new(pool, "fit", answer->has_pool ? json_number_of(answer->check.fit) : json_null());
    json_object_set_new(pool, other_key, answer->has_pool ? json_number_of(other) : json_null());
    json_object_set_new(pool, "bound", answer->has_bound ? json_number_of(answer->bound) : json_null());
    return pool;
}

json_t *feedback_root(const FeedbackReport *r, const Diags *notices)
{
    json_t *root = json_object(), *cards = json_array(), *written = json_array();
    for (size_t k = 0; k < r->feedback->cards; k++)
        json_array_append_new(cards, card_json(r, &r->feedback->card[k]));
    json_object_set_new(root, "cards", cards);
    json_object_set_new(root, "before", pool_json(r->old, r->old_by_new, "fit_by_new_powers"));
    json_object_set_new(root, "after", pool_json(r->now, r->now_by_old, "fit_by_present_powers"));
    json_object_set_new(root, "enters", changes_as_json(r->change, r->changes, 1));
    json_object_set_new(root, "leaves", changes_as_json(r->change, r->changes, -1));
    for (size_t k = 0; k < r->writtens; k++)
        json_array_append_new(written, json_string(r->written[k]));
    json_object_set_new(root, "written", written);
    json_object_set_new(root, "notices", json_notices(notices));
    return root;
}

bool feedback_json(const FeedbackReport *r, const Diags *notices, Text *out)
{
    return json_finish(feedback_root(r, notices), out);
}
