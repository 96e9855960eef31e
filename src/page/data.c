/* data.c - see data.h. */
#include "page/data.h"

#include <math.h>
#include <string.h>

/* ---- JSON ---- */

const char *get_text(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));
    return text != NULL ? text : "";
}

double get_number(const json_t *object, const char *key, double fallback)
{
    const json_t *value = json_object_get(object, key);
    return json_is_number(value) ? json_number_value(value) : fallback;
}

int64_t get_int(const json_t *object, const char *key)
{
    return (int64_t)llround(get_number(object, key, 0));
}

bool get_true(const json_t *object, const char *key)
{
    return json_is_true(json_object_get(object, key));
}

bool has_number(const json_t *object, const char *key)
{
    return json_is_number(json_object_get(object, key));
}

size_t items_of(const json_t *object, const char *key)
{
    return json_array_size(json_object_get(object, key));
}

const json_t *item_at(const json_t *object, const char *key, size_t k)
{
    return json_array_get(json_object_get(object, key), k);
}

int copies_of(const json_t *object, const char *key)
{
    int all = 0;
    for (size_t k = 0; k < items_of(object, key); k++)
        all += (int)get_int(item_at(object, key, k), "copies");
    return all;
}

/* ---- reading ---- */

/* NULL stays NULL. */
static bool read_answer(const char *text, json_t **answer)
{
    *answer = text != NULL ? json_loads(text, 0, NULL) : NULL;
    return text == NULL || json_is_object(*answer);
}

static void read_colours(PageData *data)
{
    for (size_t k = 0; k < items_of(data->model, "colours") && k < COLOURS_MOST; k++)
        data->colour[data->colours++] = json_string_value(item_at(data->model, "colours", k));
}

static void read_pool(PageData *data)
{
    data->by_name = json_object();
    for (size_t k = 0; k < items_of(data->cards, "cards"); k++) {
        json_t *card = json_array_get(json_object_get(data->cards, "cards"), k);
        json_object_set(data->by_name, get_text(card, "name"), card);
        data->priced = data->priced || has_number(card, "price");
    }
    const size_t most = items_of(data->best, "pool");
    data->pool = arena_alloc(data->arena, most, sizeof *data->pool);
    for (size_t k = 0; k < most; k++) {
        const json_t *chosen = item_at(data->best, "pool", k),
                     *card = json_object_get(data->by_name, get_text(chosen, "name"));
        if (card == NULL)
            continue;
        PoolCard *in = &data->pool[data->count++];
        *in = (PoolCard){.card = card,
                         .name = get_text(card, "name"),
                         .colours = get_text(card, "colours"),
                         .class = get_text(card, "class"),
                         .copies = (int)get_int(chosen, "copies"),
                         .price = get_number(card, "price", 0),
                         .cost = get_number(card, "cost", 0),
                         .has_cost = has_number(card, "cost"),
                         .has_price = has_number(card, "price")};
        const int owned = (int)get_int(card, "owned");
        in->buy = in->copies > owned ? in->copies - owned : 0;
        in->cents = in->buy * llround(100 * (in->price + get_number(data->model, "handling", 0)));
        in->shows = colours_shown(data, in->colours);
    }
}

bool page_data_read(const PageParts *parts, PageData *data, const char **why)
{
    *data = (PageData){.arena = arena_new()};
    const struct {
        const char *name, *text;
        json_t **answer;
    } part[] = {{"model", parts->model, &data->model}, {"cards", parts->cards, &data->cards},
                {"best", parts->best, &data->best},    {"caps", parts->caps, &data->caps},
                {"cases", parts->cases, &data->cases}, {"revise", parts->revise, &data->revise},
                {"seats", parts->seats, &data->seats}};
    for (size_t k = 0; k < sizeof part / sizeof *part; k++)
        if (!read_answer(part[k].text, part[k].answer)) {
            *why = part[k].name;
            return false;
        }
    read_colours(data);
    read_pool(data);
    return true;
}

void page_data_release(PageData *data)
{
    json_decref(data->by_name);
    json_decref(data->model);
    json_decref(data->cards);
    json_decref(data->best);
    json_decref(data->caps);
    json_decref(data->cases);
    json_decref(data->revise);
    json_decref(data->seats);
    arena_free(data->arena);
}

/* ---- colours ---- */

int colour_place(const PageData *data, const char *name, size_t length)
{
    for (int k = 0; k < data->colours; k++)
        if (strlen(data->colour[k]) == length && strncmp(data->colour[k], name, length) == 0)
            return k;
    return -1;
}

static unsigned colour_bit(const PageData *data, const char *name, size_t length)
{
    const int place = colour_place(data, name, length);
    return place >= 0 ? 1u << place : 0;
}

unsigned colours_shown(const PageData *data, const char *colours)
{
    unsigned all = 0;
    for (const char *at = colours; *at != '\0';) {
        const size_t length = strcspn(at, "+/");
        all |= colour_bit(data, at, length);
        at += length + (at[length] != '\0');
    }
    return all;
}

bool is_playable(const PageData *data, const char *colours, unsigned deck)
{
    unsigned part = 0;
    for (const char *at = colours; *at != '\0';) {
        const size_t length = strcspn(at, "+/");
        part |= colour_bit(data, at, length);
        const char sign = at[length];
        if (sign != '/') {
            if (part != 0 && (part & deck) == 0)
                return false;
            part = 0;
        }
        at += length + (sign != '\0');
    }
    return true;
}

/* ---- counts ---- */

static const json_t *tag_named(const json_t *card, const char *name)
{
    for (size_t k = 0; k < items_of(card, "tags"); k++)
        if (strcmp(get_text(item_at(card, "tags", k), "tag"), name) == 0)
            return item_at(card, "tags", k);
    return NULL;
}

const json_t *tag_in_theme(const PageData *data, const PoolCard *card, const ThemeTally *theme)
{
    return is_playable(data, card->colours, theme->deck) ? tag_named(card->card, theme->name) : NULL;
}

static bool in_another(const json_t *card, const ThemeTally *theme, size_t count, size_t own)
{
    for (size_t k = 0; k < count; k++)
        if (k != own && tag_named(card, theme[k].name) != NULL)
            return true;
    return false;
}

static void add_to_theme(const PageData *data, const PoolCard *card, const json_t *tag, ThemeTally *t)
{
    const char *role = get_text(tag, "role");
    const bool both = strcmp(role, "both") == 0;
    t->cards += card->copies;
    t->enablers += both || strcmp(role, "enabler") == 0 ? card->copies : 0;
    t->payoffs += both || strcmp(role, "payoff") == 0 ? card->copies : 0;
    t->gold += strcmp(card->class, "gold") == 0 ? card->copies : 0;
    t->strength += card->copies * get_number(tag, "weight", 1) * t->weight;
    for (int k = 0; k < data->colours; k++)
        t->by_colour[k] += card->shows >> k & 1 ? card->copies : 0;
    t->by_colour[data->colours] += card->shows == 0 ? card->copies : 0;
}

ThemeTally *tally_themes(PageData *data, size_t *count)
{
    *count = items_of(data->model, "themes");
    ThemeTally *theme = arena_alloc(data->arena, *count, sizeof *theme);
    for (size_t k = 0; k < *count; k++) {
        const json_t *said = item_at(data->model, "themes", k);
        theme[k] = (ThemeTally){.name = get_text(said, "name"),
                                .colours = get_text(said, "colours"),
                                .weight = get_number(said, "weight", 1)};
        theme[k].deck = theme[k].colours[0] != '\0' ? colours_shown(data, theme[k].colours) : (1u << data->colours) - 1;
    }
    for (size_t k = 0; k < *count; k++)
        for (size_t c = 0; c < data->count; c++) {
            const json_t *tag = tag_in_theme(data, &data->pool[c], &theme[k]);
            if (tag == NULL)
                continue;
            add_to_theme(data, &data->pool[c], tag, &theme[k]);
            theme[k].shared += in_another(data->pool[c].card, theme, *count, k) ? data->pool[c].copies : 0;
        }
    return theme;
}

const char *theme_note(const PageData *data, const char *name)
{
    const size_t count = items_of(data->best, "themes");
    for (size_t k = 0; k < count; k++) {
        const json_t *theme = item_at(data->best, "themes", k);
        if (strcmp(get_text(theme, "name"), name) == 0 && json_is_false(json_object_get(theme, "counts")))
            return "not chosen";
    }
    return count > 1 && strcmp(get_text(data->best, "weakest"), name) == 0 ? "weakest" : "";
}

int curve_column(const PoolCard *card)
{
    return card->cost < 0 ? 0 : card->cost >= COSTS_MOST ? COSTS_MOST : (int)card->cost;
}

static void add_to_curve(const PoolCard *card, ColourTally *t)
{
    t->mono += card->copies;
    if (!card->has_cost) {
        t->no_cost += card->copies;
        return;
    }
    t->curve[curve_column(card)] += card->copies;
    t->costs += card->copies * card->cost;
    if (card->cost <= 2)
        t->early += card->copies;
    else if (card->cost < 5)
        t->middle += card->copies;
    else
        t->late += card->copies;
}

void tally_colour(const PageData *data, int colour, ColourTally *tally)
{
    *tally = (ColourTally){0};
    for (size_t c = 0; c < data->count; c++) {
        const PoolCard *card = &data->pool[c];
        if (!(card->shows >> colour & 1))
            continue;
        if (strcmp(card->class, "mono") == 0)
            add_to_curve(card, tally);
        else if (strcmp(card->class, "gold") == 0)
            tally->gold += card->copies;
        else if (strcmp(card->class, "hybrid") == 0)
            tally->hybrid += card->copies;
        else if (strcmp(card->class, "fixing") == 0)
            tally->fixing += card->copies;
    }
}

const char *section_name(const PageData *data, size_t section)
{
    static const char *const class[CLASS_SECTIONS] = {"gold", "hybrid", "colourless", "fixing"};
    const size_t colours = (size_t)data->colours;
    return section < colours                    ? data->colour[section]
           : section - colours < CLASS_SECTIONS ? class[section - colours]
                                                : NULL;
}

bool in_section(const PageData *data, const PoolCard *card, size_t section)
{
    if (section < (size_t)data->colours)
        return strcmp(card->class, "mono") == 0 && card->shows == 1u << section;
    return strcmp(card->class, section_name(data, section)) == 0;
}

static void add_to_section(const PoolCard *card, SectionTally *t)
{
    t->cards += card->copies;
    t->buy += card->buy;
    t->cents += card->cents;
    if (card->buy > 0 && (t->dearest == NULL || card->price > t->dearest->price))
        t->dearest = card;
}

size_t tally_sections(const PageData *data, SectionTally *section)
{
    size_t count = 0;
    for (size_t s = 0; section_name(data, s) != NULL; s++) {
        SectionTally t = {.name = section_name(data, s)};
        for (size_t c = 0; c < data->count; c++)
            if (in_section(data, &data->pool[c], s))
                add_to_section(&data->pool[c], &t);
        if (t.cards > 0)
            section[count++] = t;
    }
    return count;
}
