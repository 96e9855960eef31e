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

/* ---- combinations and choices ---- */

static FormDraft *find_form(Draft *draft, ModelKey key, const char *folded)
{
    for (size_t i = 0; i < draft->forms; i++)
        if (draft->form[i].key == key && draft->form[i].folded != NULL && strcmp(draft->form[i].folded, folded) == 0)
            return &draft->form[i];
    return NULL;
}

static const char *nearest_form(const Draft *draft, ModelKey key, const char *name)
{
    const char **words = mem_new(draft->forms, sizeof *words);
    size_t count = 0;
    for (size_t i = 0; i < draft->forms; i++)
        if (draft->form[i].key == key && draft->form[i].name != NULL)
            words[count++] = draft->form[i].name;
    const char *nearest = text_nearest(name, words, count);
    mem_free(words);
    return nearest;
}

static FormDraft *add_form(Draft *draft, ModelKey key, const char *name, SourcePos at)
{
    mem_reserve((void **)&draft->form, &draft->forms_capacity, draft->forms + 1, sizeof *draft->form);
    FormDraft *form = &draft->form[draft->forms++];
    *form = (FormDraft){
        .key = key, .name = name, .folded = name == NULL ? NULL : text_fold_in(draft->context.arena, name), .at = at};
    return form;
}

/* The entry of this name, a new one where there may be one, or NULL (reported). name may be NULL. */
static FormDraft *place_for(Draft *draft, ModelKey key, const FieldTable *table, const char *name, SourcePos at,
                            bool must_be_known)
{
    const ReadContext *context = &draft->context;
    FormDraft *form = name == NULL ? NULL : find_form(draft, key, text_fold_in(context->arena, name));
    if (form == NULL && must_be_known) {
        diag_error(context->diags, at, "%s named '%s' is not known%s", table->place, name,
                   did_you_mean(nearest_form(draft, key, name), context->arena));
        return NULL;
    }
    if (form != NULL && form->listed_in == draft->layer) {
        diag_error(context->diags, at, "%s named '%s' is already there, in line %d; names must differ", table->place,
                   name, form->listed_at.line);
        return NULL;
    }
    return form != NULL ? form : add_form(draft, key, name, at);
}

static void lay_form(Draft *draft, ModelKey key, const FieldTable *table, const YamlNode *outer_name,
                     const YamlNode *map)
{
    const ReadContext *context = &draft->context;
    Slot slot[FORM_KEYS_MOST + 1] = {0};
    if (fields_read(table, map, slot, context->arena, context->diags) == FIELDS_BROKEN)
        return;
    const YamlNode *node = outer_name != NULL ? outer_name : slot[FORM_NAME_KEY].value;
    const char *name = key == MODEL_CHOOSE ? "themes" : NULL;
    if (node != NULL && !read_text(context, node, table->field[FORM_NAME_KEY].value, &name))
        return;
    SourcePos at = node != NULL ? node->at : map->at;
    FormDraft *form = place_for(draft, key, table, name, at, outer_name != NULL);
    if (form == NULL)
        return;
    form->listed_in = draft->layer;
    form->listed_at = at;
    if (key == MODEL_CHOOSE) /* a bound replaces the old ones */
        for (int i = CHOOSE_EXACTLY; i <= CHOOSE_BETWEEN; i++)
            if (slot[i].key != NULL)
                memset(&form->slot[CHOOSE_EXACTLY], 0, (CHOOSE_BETWEEN - CHOOSE_EXACTLY + 1) * sizeof *form->slot);
    for (size_t i = 0; i < table->count; i++)
        if (slot[i].key != NULL && i != FORM_NAME_KEY)
            form->slot[i] = slot[i];
}

/* A map is one choice, or for the others a map from names to changes; a list is a list of entries. */
void draft_lay_forms(Draft *draft, ModelKey key, const FieldTable *table, const YamlNode *value)
{
    if (yaml_is_empty(value))
        return;
    if (value->kind == NODE_TEXT) {
        report_unexpected(&draft->context, value, model_fields.field[key].value);
        return;
    }
    if (key == MODEL_CHOOSE && value->kind == NODE_MAP) {
        lay_form(draft, key, table, NULL, value);
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        if (value->kind == NODE_LIST)
            lay_form(draft, key, table, NULL, value->item[i]);
        else
            lay_form(draft, key, table, value->pair[i].key, value->pair[i].value);
    }
}

void draft_release_structure(Draft *draft)
{
    mem_free(draft->places.own);
    mem_free(draft->form);
}
