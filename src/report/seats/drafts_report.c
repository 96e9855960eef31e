/* drafts_report.c - see drafts_report.h. */
#include "report/seats/drafts_report.h"

#include "base/sort.h"
#include "report/json/json.h"
#include "report/layout/format.h"

#define CARDS_SHOWN 8

static double part_of(int64_t some, int64_t all)
{
    return all == 0 ? 0 : (double)some / (double)all;
}

/* "8.3 (6-11)": the mean, and what nine of ten are between. */
static const char *spread_text(const Spread *s, Arena *arena)
{
    if (s->times == 0)
        return "-";
    return arena_printf(arena, "%.1f (%d-%d)", spread_mean(s), spread_quantile(s, 50), spread_quantile(s, 950));
}

static bool is_unchosen(const Drafts *d, size_t theme)
{
    return d->unchosen != NULL && d->unchosen[theme];
}

/* ---- text ---- */

static int compare_themes(const void *a, const void *b)
{
    const DraftTheme *p = *(const DraftTheme *const *)a, *q = *(const DraftTheme *const *)b;
    return p->seats < q->seats ? -1 : p->seats > q->seats;
}

static void add_themes(const Drafts *d, const Style *style, Text *out)
{
    static const char *const header[] = {"theme", "seats", "nobody", "two or more", "its cards", "enablers", "payoffs"};
    const DraftTheme **order = arena_alloc(d->arena, d->themes, sizeof *order);
    size_t themes = 0;
    for (size_t t = 0; t < d->themes; t++)
        if (!is_unchosen(d, t))
            order[themes++] = &d->theme[t];
    sort_stable(order, themes, sizeof *order, compare_themes);
    style_heading(out, style, "Themes, the one that is drafted least first");
    Table *table = table_new("lrrrrRR", header);
    for (size_t t = 0; t < themes; t++) {
        table_add(table, order[t]->name);
        table_addf(table, "%.2f", part_of(order[t]->seats, d->drafts));
        table_addf(table, "%.0f%%", 100 * part_of(order[t]->drafts[0], d->drafts));
        table_addf(table, "%.0f%%", 100 * part_of(order[t]->drafts[2], d->drafts));
        table_add(table, spread_text(&order[t]->cards, d->arena));
        table_add(table, spread_text(&order[t]->enablers, d->arena));
        table_add(table, spread_text(&order[t]->payoffs, d->arena));
    }
    table_print(table, out, style);
    table_free(table);
    text_add(out,
             "seats: that draft it at a table, on average; nobody, two or more: of all tables; its cards: that its "
             "drafter ends with, on average, and from the fewest of twenty drafters to the most.\n");
    for (size_t t = 0; t < d->themes; t++)
        if (is_unchosen(d, t))
            text_printf(out, "%s is not chosen in this pool: its tags count for no seat.\n", d->theme[t].name);
}

/* What the worst seat misses most. */
static size_t worst_need(const Drafts *d)
{
    size_t worst = 0;
    for (size_t n = 1; n < d->needs; n++)
        if (d->need[n].worst > d->need[worst].worst)
            worst = n;
    return worst;
}

static void add_needs(const Drafts *d, const Style *style, Text *out)
{
    static const char *const header[] = {"what a deck needs", "seats that have it", "cards missing",
                                         "of the worst seat"};
    style_heading(out, style, "Decks at the end");
    Table *table = table_new("lrrr", header);
    for (size_t n = 0; n < d->needs; n++) {
        const DraftNeed *need = &d->need[n];
        table_add(table, need->name);
        table_add(table, need->asked == 0 ? "-" : format_chance(d->arena, part_of(need->met, need->asked)));
        table_addf(table, "%.2f", part_of(need->missing, (int64_t)d->drafts * d->drafting.seats));
        table_addf(table, "%.2f", part_of(need->worst, d->drafts));
    }
    table_print(table, out, style);
    table_free(table);
    const DraftNeed *worst = &d->need[worst_need(d)];
    text_printf(out,
                "A seat ends with %s playable cards. The worst seat of a table misses %s cards of what its deck needs",
                spread_text(&d->playables, d->arena), spread_text(&d->worst, d->arena));
    if (worst->worst > 0)
        text_printf(out, ", most of all %s", worst->name);
    text_add(out, ".\n");
}

static void add_cards(const Drafts *d, bool full, const Style *style, Text *out)
{
    static const char *const header[] = {"card", "place in the pack", "first", "last"};
    style_heading(out, style, full ? "Cards, the earliest picked first" : "Cards that go first, and last");
    Table *table = table_new("lrrr", header);
    for (size_t k = 0; k < d->cards; k++) {
        const DraftCard *card = &d->card[k];
        if (!full && k >= CARDS_SHOWN && k + CARDS_SHOWN < d->cards)
            continue;
        table_add(table, d->instance->cards->card[card->card].name);
        table_addf(table, "%.1f", part_of(card->place, card->seen));
        table_addf(table, "%.0f%%", 100 * part_of(card->first, card->seen));
        table_addf(table, "%.0f%%", 100 * part_of(card->last, card->seen));
    }
    table_print(table, out, style);
    table_free(table);
}

void drafts_text(const Drafts *d, const PoolFile *pool, bool full, const Style *style, Text *out)
{
    text_printf(out, "%s simulated draft%s of %s by %d seat%s, %d pack%s of %d (seed %llu).\n",
                format_count(d->arena, d->drafts), d->drafts == 1 ? "" : "s", pool->path, d->drafting.seats,
                d->drafting.seats == 1 ? "" : "s", d->drafting.packs, d->drafting.packs == 1 ? "" : "s",
                d->drafting.pack_size, (unsigned long long)d->seed);
    if (d->stopped)
        text_add(out, "Stopped early: these are the drafts that were done.\n");
    if (d->themes > 0)
        add_themes(d, style, out);
    add_needs(d, style, out);
    add_cards(d, full, style, out);
    text_add(out,
             "\nThe model: a seat takes the card with the most power and fit for its themes, which count more the more "
             "of them it has, and less and less outside its best colours, none from half of the draft on; with a "
             "little taste of its own. It is no player: it does not look at the curve, at fixing or at its "
             "neighbours. What differs much between themes or pools is worth a look; small differences are not.\n"
             "\nMore: --tighten (which rule would help the worst seat), --full (every card), --seed 2.\n");
}

/* ---- JSON ---- */

static json_t *spread_json(const Spread *s)
{
    json_t *item = json_object();
    json_object_set_new(item, "mean", json_real(spread_mean(s)));
    json_object_set_new(item, "deviation", json_real(spread_deviation(s)));
    json_object_set_new(item, "five_in_100", json_integer(spread_quantile(s, 50)));
    json_object_set_new(item, "half", json_integer(spread_quantile(s, 500)));
    json_object_set_new(item, "95_in_100", json_integer(spread_quantile(s, 950)));
    return item;
}

static json_t *themes_json(const Drafts *d)
{
    json_t *list = json_array();
    for (size_t t = 0; t < d->themes; t++) {
        const DraftTheme *theme = &d->theme[t];
        if (is_unchosen(d, t))
            continue;
        json_t *item = json_object();
        json_object_set_new(item, "theme", json_string(theme->name));
        json_object_set_new(item, "seats", json_real(part_of(theme->seats, d->drafts)));
        json_object_set_new(item, "nobody", json_real(part_of(theme->drafts[0], d->drafts)));
        json_object_set_new(item, "one", json_real(part_of(theme->drafts[1], d->drafts)));
        json_object_set_new(item, "two_or_more", json_real(part_of(theme->drafts[2], d->drafts)));
        json_object_set_new(item, "cards", spread_json(&theme->cards));
        json_object_set_new(item, "enablers", spread_json(&theme->enablers));
        json_object_set_new(item, "payoffs", spread_json(&theme->payoffs));
        json_object_set_new(item, "opened", spread_json(&theme->opened));
        json_object_set_new(item, "seen", spread_json(&theme->seen));
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *unchosen_json(const Drafts *d)
{
    json_t *list = json_array();
    for (size_t t = 0; t < d->themes; t++)
        if (is_unchosen(d, t))
            json_array_append_new(list, json_string(d->theme[t].name));
    return list;
}

static json_t *needs_json(const Drafts *d)
{
    json_t *list = json_array();
    for (size_t n = 0; n < d->needs; n++) {
        const DraftNeed *need = &d->need[n];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(need->name));
        json_object_set_new(item, "met", need->asked == 0 ? json_null() : json_real(part_of(need->met, need->asked)));
        json_object_set_new(item, "missing", json_real(part_of(need->missing, (int64_t)d->drafts * d->drafting.seats)));
        json_object_set_new(item, "worst_seat", json_real(part_of(need->worst, d->drafts)));
        json_array_append_new(list, item);
    }
    return list;
}

bool drafts_json(const Drafts *d, const PoolFile *pool, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *cards = json_array();
    json_object_set_new(root, "drafts", json_integer(d->drafts));
    json_object_set_new(root, "stopped", json_boolean(d->stopped));
    json_object_set_new(root, "seed", json_integer((json_int_t)d->seed));
    json_object_set_new(root, "pool", json_string(pool->path));
    json_object_set_new(root, "seats", json_integer(d->drafting.seats));
    json_object_set_new(root, "packs", json_integer(d->drafting.packs));
    json_object_set_new(root, "pack_size", json_integer(d->drafting.pack_size));
    json_object_set_new(root, "themes", themes_json(d));
    if (d->unchosen != NULL)
        json_object_set_new(root, "not_chosen", unchosen_json(d));
    json_object_set_new(root, "no_theme", json_real(part_of(d->no_theme, d->drafts)));
    json_object_set_new(root, "needs", needs_json(d));
    json_object_set_new(root, "playables", spread_json(&d->playables));
    json_object_set_new(root, "missing", spread_json(&d->missing));
    json_object_set_new(root, "worst_seat", spread_json(&d->worst));
    for (size_t k = 0; k < d->cards; k++) {
        const DraftCard *card = &d->card[k];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(d->instance->cards->card[card->card].name));
        json_object_set_new(item, "place", json_real(part_of(card->place, card->seen)));
        json_object_set_new(item, "first", json_real(part_of(card->first, card->seen)));
        json_object_set_new(item, "last", json_real(part_of(card->last, card->seen)));
        json_array_append_new(cards, item);
    }
    json_object_set_new(root, "cards", cards);
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}
