/* decks_report.c - see decks_report.h. */
#include "report/seats/decks_report.h"

#include <string.h>

#include <stdio.h>

#include "base/number.h"
#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"

/* ---- words ---- */

static const char *limit_name(const DeckLimit *limit, Arena *arena)
{
    if (limit->member.rule == NULL)
        return "cards";
    return limit->member.of[0] == '\0' ? limit->member.rule->name
                                       : arena_printf(arena, "%s %s", limit->member.of, limit->member.rule->name);
}

static bool is_short(const DeckLimit *limit)
{
    const int64_t low = limit->bounds.low * (limit->bounds.kind == BOUND_AVERAGE ? limit->counted : 1);
    return limit->bounds.has_low && limit->use < low;
}

/* "2 short", "0.50 over", "1.4 over in all": by what it is, where `missed` counts the units that have begun. */
static const char *off_by(const DeckLimit *limit, Arena *arena)
{
    const bool in_all = limit->bounds.kind == BOUND_AVERAGE, low = is_short(limit);
    const int64_t bound = (low ? limit->bounds.low : limit->bounds.high) * (in_all ? limit->counted : 1);
    const Measure measure = limit->member.rule == NULL ? MEASURE_COUNT : limit->member.rule->measure;
    return arena_printf(arena, "%s %s%s", format_measure(arena, measure, low ? bound - limit->use : limit->use - bound),
                        low ? "short" : "over", in_all ? " in all" : "");
}

/* "removal: 2 short", "late plays: 1 over", "removal: +1.2" */
static const char *hurts(const Deck *deck, Arena *arena)
{
    if (deck->hurts < 0)
        return "";
    const DeckLimit *limit = &deck->limit[deck->hurts];
    const char *name = limit_name(limit, arena);
    if (limit->missed > 0)
        return arena_printf(arena, "%s: %s", name, off_by(limit, arena));
    return arena_printf(arena, "%s: +%s", name, format_number(arena, limit->gain));
}

static const char *average(int64_t sum, int cards, Arena *arena)
{
    char text[32];
    if (cards == 0)
        return "";
    const int64_t hundredths = (int64_t)round_div((int128)sum, 10 * (int128)cards);
    snprintf(text, sizeof text, "%d.%02d", (int)(hundredths / 100), (int)(hundredths % 100));
    return arena_strndup(arena, text, 32);
}

/* The value, with * where it is not proven, and - where there is no deck. */
static const char *value_of(const Deck *deck, Arena *arena)
{
    if (!deck->has_deck)
        return "-";
    return arena_printf(arena, "%s%s", format_number(arena, deck->value), deck->proven ? "" : "*");
}

/* ---- text ---- */

static bool some_hurt(const Decks *d)
{
    for (size_t k = 0; k < d->pairs; k++)
        if (hurts(&d->pair[k].first, d->arena)[0] != '\0')
            return true;
    return false;
}

static void add_group(const Decks *d, const DeckPair *pair, size_t pairs, const char *what, const Style *style,
                      Text *out)
{
    const char *header[] = {what,   "value", "second", "cost",   "early",   "mid",
                            "late", "enab",  "pay",    "fixing", "removal", "what hurts most"};
    Table *table = table_new("lrrrRRRrrRRl", header);
    for (size_t k = 0; k < pairs; k++) {
        const DeckPair *p = &pair[k];
        table_add(table, p->of);
        table_add(table, value_of(&p->first, d->arena));
        table_add(table, value_of(&p->second, d->arena));
        table_add(table, average(p->cost_sum, p->cost_cards, d->arena));
        for (int c = 0; c < 3; c++)
            table_addf(table, "%d", p->curve[c]);
        table_addf(table, "%d", p->enablers);
        table_addf(table, "%d", p->payoffs);
        table_addf(table, "%d", p->fixing);
        if (d->has_removal)
            table_addf(table, "%d", p->removal);
        else
            table_add(table, "");
        table_add(table, hurts(&p->first, d->arena));
    }
    table_print(table, out, style);
    table_free(table);
}

/* Copies of the pool that are tagged for the theme and can be played in its colours. */
static int theme_cards(const Decks *d, const PoolFile *pool, const DeckPair *pair)
{
    const Instance *in = d->instance;
    const size_t theme = (size_t)pair->first.aim.theme;
    int cards = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (instance_theme_tag(in, theme, c) != NULL &&
            colours_playable(&in->cards->card[c].colours, in->model->theme[theme].colours))
            cards += pool->copies[c];
    return cards;
}

/* The theme that decks say is the weakest, and the one that counts say is. */
static void add_weakest(const Decks *d, const PoolFile *pool, Text *out)
{
    const DeckPair *theme = &d->pair[d->colours];
    const size_t themes = d->pairs - d->colours;
    if (d->colours > 1 && d->proven)
        text_printf(out, "Weakest colours: %s (%s), strongest: %s (%s).\n", d->pair[0].of,
                    value_of(&d->pair[0].first, d->arena), d->pair[d->colours - 1].of,
                    value_of(&d->pair[d->colours - 1].first, d->arena));
    if (themes < 2 || !d->proven)
        return;
    size_t thinnest = 0;
    for (size_t k = 1; k < themes; k++)
        if (theme_cards(d, pool, &theme[k]) < theme_cards(d, pool, &theme[thinnest]))
            thinnest = k;
    text_printf(out, "Weakest theme: %s (%s, from %s).", theme[0].of, value_of(&theme[0].first, d->arena),
                format_cards(d->arena, theme_cards(d, pool, &theme[0])));
    const int fewest = theme_cards(d, pool, &theme[thinnest]);
    if (thinnest > 0 && fewest < theme_cards(d, pool, &theme[0]) &&
        strcmp(value_of(&theme[thinnest].first, d->arena), value_of(&theme[0].first, d->arena)) != 0)
        text_printf(out, " Counts say %s (%s), whose best deck is worth %s.", theme[thinnest].of,
                    format_cards(d->arena, fewest), value_of(&theme[thinnest].first, d->arena));
    text_add(out, "\n");
}

static void add_unchosen(const Decks *d, Text *out)
{
    for (size_t t = 0; t < d->instance->model->themes && d->unchosen != NULL; t++)
        if (d->unchosen[t])
            text_printf(out, "%s is not chosen in this pool: it has no deck, and its tags count in none.\n",
                        d->instance->model->theme[t].name);
}

static void add_cards(const Decks *d, const DeckPair *p, const Deck *deck, const char *which, const Style *style,
                      Text *out)
{
    style_heading(out, style, arena_printf(d->arena, "%s, %s deck", p->of, which));
    static const char *const header[] = {"card", "copies", "cost", "worth"};
    Table *table = table_new("lrrr", header);
    for (size_t c = 0; c < d->instance->cards->count && deck->has_deck; c++) {
        const Card *card = &d->instance->cards->card[c];
        if (deck->copies[c] == 0)
            continue;
        table_add(table, card->name);
        table_addf(table, "%d", deck->copies[c]);
        table_add(table, card->has_cost ? format_number(d->arena, card->cost) : "");
        table_add(table, format_number(d->arena, deck_worth(d->instance, &deck->aim, c)));
    }
    if (table_rows(table) > 0)
        table_print(table, out, style);
    else
        text_add(out, deck->has_deck ? "  no card is left for it\n" : "  none was found within the effort\n");
    table_free(table);
}

void decks_text(const Decks *d, const PoolFile *pool, const char *written, bool full, const Style *style, Text *out)
{
    text_printf(out, "Decks of %s from %s (%s)%s.\n", format_cards(d->arena, d->instance->model->deck.size), pool->path,
                format_cards(d->arena, pool->listed), d->proven ? ": each is the best there is, proven" : "");
    if (!d->proven)
        text_add(out, "Stopped early: what is marked * may not be the best.\n");
    if (pool->unknowns > 0)
        text_printf(out, "%zu of the list %s no candidate and %s not looked at.\n", pool->unknowns,
                    pool->unknowns == 1 ? "is" : "are", pool->unknowns == 1 ? "was" : "were");
    add_weakest(d, pool, out);
    add_unchosen(d, out);
    style_heading(out, style, "Colours, the weakest first");
    add_group(d, d->pair, d->colours, "colours", style, out);
    if (d->pairs > d->colours) {
        style_heading(out, style, "Themes, the weakest first (their own tags alone count)");
        add_group(d, d->pair + d->colours, d->pairs - d->colours, "theme", style, out);
    }
    text_add(out, "\nvalue: power and tags of the best deck; second: of the best without its cards; cost: average.\n");
    if (some_hurt(d))
        text_add(out, "What hurts most: a rule that no deck keeps, or what one card less asked for would bring.\n");
    for (size_t k = 0; k < d->pairs && full; k++) {
        add_cards(d, &d->pair[k], &d->pair[k].first, "best", style, out);
        add_cards(d, &d->pair[k], &d->pair[k].second, "second", style, out);
    }
    if (written != NULL)
        text_printf(out, "\nWritten: %s.\n", written);
    else if (!full)
        text_add(out, "\nMore: --full (every card), -o decks.csv (as a sheet).\n");
}

/* ---- JSON ---- */

static json_t *limit_json(const DeckLimit *limit)
{
    json_t *item = json_object();
    const Rule *rule = limit->member.rule;
    const Measure measure = rule == NULL ? MEASURE_COUNT : rule->measure;
    json_object_set_new(item, "name", json_string(rule == NULL ? "size" : rule->name));
    json_object_set_new(item, "of", json_string(rule == NULL ? "" : limit->member.of));
    json_object_set_new(item, "limit", json_limit(measure, &limit->bounds));
    json_object_set_new(item, limit->bounds.kind == BOUND_AVERAGE ? "sum" : "use", json_measure(measure, limit->use));
    if (limit->bounds.kind == BOUND_AVERAGE)
        json_object_set_new(item, "cards", json_integer(limit->counted));
    json_object_set_new(item, "missed", json_integer(limit->missed));
    if (limit->gain_known)
        json_object_set_new(item, "gain", json_number_of(limit->gain));
    return item;
}

static json_t *cards_json(const Decks *d, const Deck *deck)
{
    json_t *list = json_array();
    for (size_t c = 0; c < d->instance->cards->count; c++) {
        if (deck->copies[c] == 0)
            continue;
        json_t *card = json_object();
        json_object_set_new(card, "name", json_string(d->instance->cards->card[c].name));
        json_object_set_new(card, "copies", json_integer(deck->copies[c]));
        json_object_set_new(card, "worth", json_number_of(deck_worth(d->instance, &deck->aim, c)));
        json_array_append_new(list, card);
    }
    return list;
}

static json_t *deck_json(const Decks *d, const Deck *deck, bool with_limits)
{
    json_t *item = json_object();
    json_object_set_new(item, "status", json_string(!deck->has_deck ? "stopped" : deck->proven ? "best" : "stopped"));
    if (!deck->has_deck)
        return item;
    json_object_set_new(item, "colours", json_string(model_mask_name(d->instance->model, deck->aim.mask, d->arena)));
    json_object_set_new(item, "value", json_number_of(deck->value));
    json_object_set_new(item, "size", json_integer(deck->cards));
    json_object_set_new(item, "missed", json_integer(deck->missed));
    if (with_limits) {
        json_t *limits = json_array();
        for (size_t l = 0; l < deck->limits; l++)
            json_array_append_new(limits, limit_json(&deck->limit[l]));
        json_object_set_new(item, "limits", limits);
        if (deck->hurts >= 0)
            json_object_set_new(item, "hurts", limit_json(&deck->limit[deck->hurts]));
    }
    json_object_set_new(item, "cards", cards_json(d, deck));
    return item;
}

static json_t *unchosen_json(const Decks *d)
{
    json_t *list = json_array();
    for (size_t t = 0; t < d->instance->model->themes; t++)
        if (d->unchosen[t])
            json_array_append_new(list, json_string(d->instance->model->theme[t].name));
    return list;
}

bool decks_json(const Decks *d, const PoolFile *pool, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *list = json_array();
    json_object_set_new(root, "proven", json_boolean(d->proven));
    json_object_set_new(root, "pool", json_integer(pool->listed));
    json_object_set_new(root, "unknown", json_count(pool->unknowns));
    json_object_set_new(root, "deck_size", json_integer(d->instance->model->deck.size));
    for (size_t k = 0; k < d->pairs; k++) {
        const DeckPair *p = &d->pair[k];
        json_t *item = json_object();
        json_object_set_new(item, p->is_theme ? "theme" : "colours", json_string(p->of));
        json_object_set_new(item, "enablers", json_integer(p->enablers));
        json_object_set_new(item, "payoffs", json_integer(p->payoffs));
        if (d->has_removal)
            json_object_set_new(item, "removal", json_integer(p->removal));
        json_object_set_new(item, "fixing", json_integer(p->fixing));
        json_object_set_new(
            item, "curve",
            json_pack("{s:i, s:i, s:i}", "early", p->curve[0], "middle", p->curve[1], "late", p->curve[2]));
        if (p->cost_cards > 0)
            json_object_set_new(item, "average_cost",
                                json_number_of((int64_t)round_div((int128)p->cost_sum, p->cost_cards)));
        json_object_set_new(item, "first", deck_json(d, &p->first, true));
        json_object_set_new(item, "second", deck_json(d, &p->second, false));
        json_array_append_new(list, item);
    }
    json_object_set_new(root, "decks", list);
    if (d->unchosen != NULL)
        json_object_set_new(root, "not_chosen", unchosen_json(d));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

/* ---- sheet ---- */

void decks_sheet(const Decks *d, Text *out)
{
    const char separator = sheet_separator(d->instance->cards);
    sheet_begin(out, d->instance->cards);
    sheet_line(out, (const char *const[]){"deck", "name", "copies"}, 3, separator);
    for (size_t k = 0; k < d->pairs; k++)
        for (size_t c = 0; c < d->instance->cards->count && d->pair[k].first.has_deck; c++) {
            const int copies = d->pair[k].first.copies[c];
            if (copies == 0)
                continue;
            const char *const cell[] = {d->pair[k].of, d->instance->cards->card[c].name,
                                        arena_printf(d->arena, "%d", copies)};
            sheet_line(out, cell, 3, separator);
        }
}
