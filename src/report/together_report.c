/* together_report.c - several wanted cards at once, as text and JSON. */
#include "report/words/explain_words.h"
#include "report/explain_report.h"
#include "report/json/json.h"

/* The exchange without the cards that were asked about: as with a single card, the others are told. The moves are t's
 * own or in the arena. */
static Exchange without_asked(const Explained *all, Arena *arena)
{
    const Exchange *exchange = &all->together.exchange;
    Exchange others = *exchange;
    others.enters = arena_alloc(arena, exchange->enter_count, sizeof *others.enters);
    others.enter_count = 0;
    for (size_t k = 0; k < exchange->enter_count; k++) {
        bool asked = false;
        for (size_t c = 0; c < all->cards; c++)
            asked = asked || all->card[c].card == exchange->enters[k].card;
        if (!asked)
            others.enters[others.enter_count++] = exchange->enters[k];
    }
    return others;
}

void together_text(const Explained *explained, const ExplainView *view, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    const Explain *e = explained->explain;
    const Together *t = &explained->together;
    const Exchange others = without_asked(explained, arena);
    const char *all =
        explained->cards == 2 ? "Both together" : arena_printf(arena, "All %zu together", explained->cards);
    if (t->impossible) {
        text_printf(out, "%s: no pool can hold them, proven. ", all);
        conflict_text(e, &t->conflict, "all of them", explained->reach, style, out);
    } else if (t->forced && t->loss.has_high && t->loss.high == 0) {
        text_printf(out, "%s: a pool with them is just as good", all);
        words_add_exchange(e->instance, &others, -1, view->verbose, style, arena, out);
    } else if (t->forced) {
        text_printf(out, "%s: forcing them in costs %s fit", all, words_range(&t->loss, arena));
        words_add_exchange(e->instance, &others, -1, view->verbose, style, arena, out);
    } else if (t->loss.has_low && t->loss.low > 0)
        text_printf(out, "%s: forcing them in costs %s fit, if it is possible at all.\n", all,
                    words_range(&t->loss, arena));
    else
        text_printf(out, "%s: what forcing them in would cost was not found out within the effort.\n", all);
    arena_free(arena);
}

json_t *together_json(const Explain *e, const Together *t)
{
    json_t *item = json_object();
    json_set_impossible(item, t->impossible, t->forced);
    if (t->impossible)
        json_object_set_new(item, "conflict", conflict_json(e, &t->conflict));
    else
        json_object_set_new(item, "loss", range_json(&t->loss, false));
    if (t->forced) {
        exchange_json(e->instance, &t->exchange, item);
    }
    return item;
}
