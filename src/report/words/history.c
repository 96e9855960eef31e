/* history.c - see history.h. */
#include "report/words/history.h"

#include "base/day.h"
#include "model/history/journal.h"

const char *history_cut_text(const Instance *instance, size_t card, Arena *arena)
{
    const JournalLine *cut = history_cut(instance, card);
    if (cut == NULL)
        return NULL;
    return arena_printf(arena, "cut on %s%s%s", date_text(arena, cut->day), cut->reason[0] != '\0' ? ": " : "",
                        cut->reason);
}

void history_cuts_text(const Instance *instance, const bool *proposed, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    bool any = false;
    for (size_t c = 0; c < instance->cards->count; c++) {
        const char *cut = proposed[c] ? history_cut_text(instance, c, arena) : NULL;
        if (cut == NULL)
            continue;
        if (!any)
            style_heading(out, style, "Proposed again");
        any = true;
        text_printf(out, "  %s: %s\n", instance->cards->card[c].name, cut);
    }
    arena_free(arena);
}

static json_t *cut_json(const JournalLine *cut, Arena *arena)
{
    return json_pack("{s:s, s:s}", "date", date_text(arena, cut->day), "reason", cut->reason);
}

json_t *history_cuts_json(const Instance *instance, const bool *proposed)
{
    json_t *list = json_array();
    Arena *arena = arena_new();
    for (size_t c = 0; c < instance->cards->count; c++) {
        const JournalLine *cut = proposed[c] ? history_cut(instance, c) : NULL;
        if (cut == NULL)
            continue;
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(instance->cards->card[c].name));
        json_object_update_new(item, cut_json(cut, arena));
        json_array_append_new(list, item);
    }
    arena_free(arena);
    return list;
}

void history_json(const Instance *instance, size_t card, json_t *root)
{
    const CardHistory *history = &instance->history[card];
    const JournalLine *cut = history_cut(instance, card);
    Arena *arena = arena_new();
    if (cut != NULL)
        json_object_set_new(root, "cut", cut_json(cut, arena));
    if (history->trial != DAY_UNKNOWN)
        json_object_set_new(root, "trial", json_string(date_text(arena, history->trial)));
    if (history->never != NULL)
        json_object_set_new(root, "never", json_string(history->never));
    arena_free(arena);
}
