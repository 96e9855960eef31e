/* layers_structure.c - laying the structure of one layer over another: places number by number, combinations by name.
 * Entries without a name are added; a choice of themes without one is "themes", so that a later layer's replaces it
 * field by field. */
#include <string.h>

#include "base/text.h"
#include "model/yaml/layers.h"

/* ---- places ---- */

static void lay_place_member(Draft *draft, const YamlPair *pair)
{
    PlacesDraft *places = &draft->places;
    const char *key = text_fold_in(draft->context.arena, pair->key->text);
    size_t at = 0;
    while (at < places->owns && strcmp(places->own[at].key, key) != 0)
        at++;
    if (at == places->owns) {
        mem_reserve((void **)&places->own, &places->owns_capacity, places->owns + 1, sizeof *places->own);
        places->owns++;
    }
    places->own[at] = (PlacesForDraft){.key = key, .name = pair->key, .value = pair->value, .size_at = draft->size};
}

void draft_lay_places(Draft *draft, const Slot *from)
{
    if (yaml_is_empty(from->value))
        return;
    const ReadContext *context = &draft->context;
    PlacesDraft *places = &draft->places;
    if (value_is(from->value, "none")) {
        places->slot[PLACES_OFF] = *from;
        return;
    }
    Slot slot[PLACES_KEYS] = {0};
    if (fields_read(&places_fields, from->value, slot, context->arena, context->diags) == FIELDS_BROKEN)
        return;
    if (slot[PLACES_THEME].key != NULL || slot[PLACES_OPEN].key != NULL)
        places->owns = 0; /* new numbers for all replace the old ones of single colours and themes */
    for (int i = 0; i < PLACES_KEYS; i++) {
        if (slot[i].key == NULL || i == PLACES_FOR)
            continue;
        places->slot[i] = slot[i];
        places->size_at[i] = draft->size;
    }
    if (slot[PLACES_OFF].key == NULL && places->slot[PLACES_OFF].key != NULL &&
        value_is(places->slot[PLACES_OFF].value, "none"))
        places->slot[PLACES_OFF] = (Slot){0};
    const YamlNode *members = slot[PLACES_FOR].value;
    if (members == NULL || yaml_is_empty(members))
        return;
    if (members->kind != NODE_MAP) {
        report_unexpected(context, members, places_fields.field[PLACES_FOR].value);
        return;
    }
    for (size_t i = 0; i < members->count; i++)
        lay_place_member(draft, &members->pair[i]);
}

/* ---- themes, combinations and choices ---- */

static const FieldTable *const entry_fields[MODEL_KEYS] = {
    [MODEL_THEMES] = &theme_fields, [MODEL_TOGETHER] = &together_fields, [MODEL_NEEDS] = &needs_fields,
    [MODEL_APART] = &apart_fields,  [MODEL_GROUPS] = &group_fields,      [MODEL_CHOOSE] = &choose_fields,
};

static EntryDraft *find_entry(const Draft *draft, ModelKey key, const char *folded)
{
    for (size_t i = 0; i < draft->entries; i++)
        if (draft->entry[i].key == key && draft->entry[i].folded != NULL && strcmp(draft->entry[i].folded, folded) == 0)
            return &draft->entry[i];
    return NULL;
}

static void report_unknown(const Draft *draft, ModelKey key, const char *name, const YamlNode *node)
{
    const ReadContext *context = &draft->context;
    const char **words = mem_new(draft->entries, sizeof *words);
    size_t count = 0;
    for (size_t i = 0; i < draft->entries; i++)
        if (draft->entry[i].key == key && draft->entry[i].name != NULL)
            words[count++] = draft->entry[i].name;
    const char *meant = did_you_mean(text_nearest(name, words, count), context->arena);
    if (key == MODEL_THEMES)
        diag_error(context->diags, node->at, "unknown theme %s%s", yaml_found(node, context->arena), meant);
    else
        diag_error(context->diags, node->at, "%s named '%s' is not known%s", entry_fields[key]->place, name, meant);
    mem_free(words);
}

static EntryDraft *add_entry(Draft *draft, ModelKey key, const char *name, SourcePos at)
{
    mem_reserve((void **)&draft->entry, &draft->entries_capacity, draft->entries + 1, sizeof *draft->entry);
    EntryDraft *entry = &draft->entry[draft->entries++];
    *entry = (EntryDraft){
        .key = key, .name = name, .folded = name == NULL ? NULL : text_fold_in(draft->context.arena, name), .at = at};
    return entry;
}

void draft_lay_entry(Draft *draft, ModelKey key, const char *name, SourcePos at, const YamlNode *outer_name,
                     const Slot *slot)
{
    const ReadContext *context = &draft->context;
    EntryDraft *entry = name == NULL ? NULL : find_entry(draft, key, text_fold_in(context->arena, name));
    if (entry == NULL && outer_name != NULL) {
        report_unknown(draft, key, name, outer_name);
        return;
    }
    if (entry != NULL && entry->listed_in == draft->layer) {
        diag_error(context->diags, at, "%s named '%s' is already there, in line %d; names must differ",
                   entry_fields[key]->place, name, entry->listed_at.line);
        return;
    }
    entry = entry != NULL ? entry : add_entry(draft, key, name, at);
    entry->listed_in = draft->layer;
    entry->listed_at = at;
    if (key == MODEL_CHOOSE) /* a bound replaces the old ones */
        for (int i = CHOOSE_EXACTLY; i <= CHOOSE_BETWEEN; i++)
            if (slot[i].key != NULL)
                memset(&entry->slot[CHOOSE_EXACTLY], 0, (CHOOSE_BETWEEN - CHOOSE_EXACTLY + 1) * sizeof *entry->slot);
    for (size_t i = 0; i < entry_fields[key]->count; i++)
        if (slot[i].key != NULL)
            entry->slot[i] = slot[i];
}

static void lay_form(Draft *draft, ModelKey key, const YamlNode *outer_name, const YamlNode *map)
{
    const ReadContext *context = &draft->context;
    const FieldTable *table = entry_fields[key];
    Slot slot[ENTRY_KEYS_MOST] = {0};
    if (fields_read(table, map, slot, context->arena, context->diags) == FIELDS_BROKEN)
        return;
    const YamlNode *node = outer_name != NULL ? outer_name : slot[FORM_NAME_KEY].value;
    const char *name = key == MODEL_CHOOSE ? "themes" : NULL;
    if (node == NULL || read_text(context, node, table->field[FORM_NAME_KEY].value, &name))
        draft_lay_entry(draft, key, name, node != NULL ? node->at : map->at, outer_name, slot);
}

/* A map is one choice, or for the others a map from names to changes; a list is a list of entries. */
void draft_lay_forms(Draft *draft, ModelKey key, const YamlNode *value)
{
    if (yaml_is_empty(value))
        return;
    if (value->kind == NODE_TEXT) {
        report_unexpected(&draft->context, value, model_fields.field[key].value);
        return;
    }
    if (key == MODEL_CHOOSE && value->kind == NODE_MAP) {
        lay_form(draft, key, NULL, value);
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        if (value->kind == NODE_LIST)
            lay_form(draft, key, NULL, value->item[i]);
        else
            lay_form(draft, key, value->pair[i].key, value->pair[i].value);
    }
}

void draft_release_structure(Draft *draft)
{
    mem_free(draft->places.own);
    mem_free(draft->entry);
}
