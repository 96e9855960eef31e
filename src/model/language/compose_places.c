/* compose_places.c - reading places: how many cards of a colour each theme has, and how many are open. */
#include "base/text.h"
#include "model/language/compose.h"

static int size_or_first(const Draft *draft, int size)
{
    return size > 0 ? size : draft->first_size;
}

static bool read_count(const ReadContext *context, const YamlNode *node, int64_t *count)
{
    return read_ranged(context, &places_fields, PLACES_THEME, node, count);
}

static void read_place_key(const Draft *draft, const Model *model, const PlacesForDraft *from, const YamlPair *pair,
                           PlacesFor *own)
{
    const ReadContext *context = &draft->context;
    int64_t count = 0;
    NameAt theme;
    const int size = size_or_first(draft, from->size_at);
    bool is_theme = value_is(pair->key, "theme"), is_open = value_is(pair->key, "open");
    if (!read_count(context, pair->value, &count))
        return;
    if (is_theme) {
        own->has_theme = true;
        own->theme = count;
    } else if (is_open) {
        own->has_open = true;
        own->open = count;
    } else if (read_theme_name(context, model, pair->key, &theme)) {
        own->own[own->owns] = theme.name;
        own->own_size[own->owns] = size;
        own->own_count[own->owns++] = count;
    }
}

static void read_places_for(const Draft *draft, const Model *model, const PlacesForDraft *from, PlacesFor *own)
{
    const ReadContext *context = &draft->context;
    const int size = size_or_first(draft, from->size_at);
    *own = (PlacesFor){.name = from->name->text,
                       .is_theme = from->value->kind == NODE_TEXT,
                       .at = from->name->at,
                       .theme_size = size,
                       .open_size = size};
    if (own->is_theme) {
        NameAt theme;
        own->has_theme =
            read_theme_name(context, model, from->name, &theme) && read_count(context, from->value, &own->theme);
        own->name = own->has_theme ? theme.name : own->name;
        return;
    }
    const long colour = text_find(from->name->text, model->colour, model->colours);
    if (colour < 0) {
        diag_error(context->diags, from->name->at, "unknown colour '%s'%s", from->name->text,
                   did_you_mean(text_nearest(from->name->text, model->colour, model->colours), context->arena));
        return;
    }
    own->name = model->colour[colour];
    if (from->value->kind != NODE_MAP) {
        report_unexpected(context, from->value, "a map such as {convoys: 8, open: 26}");
        return;
    }
    own->own = arena_alloc(context->arena, from->value->count, sizeof *own->own);
    own->own_count = arena_alloc(context->arena, from->value->count, sizeof *own->own_count);
    own->own_size = arena_alloc(context->arena, from->value->count, sizeof *own->own_size);
    for (size_t i = 0; i < from->value->count; i++)
        read_place_key(draft, model, from, &from->value->pair[i], own);
}

void compose_places(const Draft *draft, const Model *model, Places *places)
{
    const ReadContext *context = &draft->context;
    const PlacesDraft *from = &draft->places;
    const Slot *slot = from->slot;
    bool any = from->owns > 0;
    for (int i = 0; i < PLACES_KEYS; i++)
        any = any || slot[i].key != NULL;
    if (!any || (slot[PLACES_OFF].key != NULL && value_is(slot[PLACES_OFF].value, "none")) ||
        slot_is_yes(context, &slot[PLACES_OFF]))
        return;
    places->on = true;
    places->at = slot[PLACES_THEME].key != NULL ? slot[PLACES_THEME].key->at
                 : from->owns > 0               ? from->own[0].name->at
                                                : model->size_at;
    if (slot[PLACES_EACH].key != NULL && !value_is(slot[PLACES_EACH].value, "colour"))
        report_unexpected(context, slot[PLACES_EACH].value, "colour");
    places->theme_size = size_or_first(draft, from->size_at[PLACES_THEME]);
    places->open_size = size_or_first(draft, from->size_at[PLACES_OPEN]);
    read_slot(context, &places_fields, PLACES_THEME, slot, &places->theme);
    places->has_open = read_slot(context, &places_fields, PLACES_OPEN, slot, &places->open);
    if (slot[PLACES_BY_PLACE].key != NULL)
        read_yes_no(context, slot[PLACES_BY_PLACE].value, &places->by_place);
    if (slot[PLACES_ALSO].key != NULL) {
        NodeItems items = node_items(slot[PLACES_ALSO].value);
        places->also = arena_alloc(context->arena, items.count, sizeof *places->also);
        for (size_t i = 0; i < items.count; i++)
            if (read_theme_name(context, model, node_item(&items, i), &places->also[places->alsos]))
                places->alsos++;
    }
    places->own = arena_alloc(context->arena, from->owns, sizeof *places->own);
    for (size_t i = 0; i < from->owns; i++)
        read_places_for(draft, model, &from->own[i], &places->own[places->owns++]);
}
