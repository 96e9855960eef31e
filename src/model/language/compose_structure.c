/* compose_structure.c - reading engines, depth, evenness, combinations and choices from a draft. Names of cards
 * are met with candidates later. */
#include "base/text.h"
#include "model/language/compose.h"

static bool is_none(const YamlNode *node)
{
    return value_is(node, "none") || value_is(node, "off") || value_is(node, "no");
}

bool read_theme_name(const ReadContext *context, const Model *model, const YamlNode *node, NameAt *theme)
{
    const char *name = NULL;
    if (!read_text(context, node, "a theme of the model", &name))
        return false;
    const long t = text_find(name, model->theme_name, model->themes);
    if (t < 0)
        diag_error(context->diags, node->at, "unknown theme '%s'%s", name,
                   meant_or_known(name, model->theme_name, model->themes, context->arena));
    else
        *theme = (NameAt){.name = model->theme_name[t], .at = node->at};
    return t >= 0;
}

/* ---- engines and depth ---- */

static void read_ratio_band(const ReadContext *context, const YamlNode *node, Engine *engine)
{
    const char *expected = engine_fields.field[ENGINE_BAND].value;
    engine->band_at = node->at;
    if (node->kind == NODE_MAP) {
        Slot band[BAND_KEYS] = {0};
        if (fields_read(&band_fields, node, band, context->arena, context->diags) != FIELDS_READ)
            return;
        engine->has_from =
            band[BAND_FROM].key != NULL && read_number(context, band[BAND_FROM].value, 3, expected, &engine->from);
        engine->has_to =
            band[BAND_TO].key != NULL && read_number(context, band[BAND_TO].value, 3, expected, &engine->to);
    } else if (node->kind == NODE_LIST && node->count == 2) {
        engine->has_from = read_number(context, node->item[0], 3, expected, &engine->from);
        engine->has_to = read_number(context, node->item[1], 3, expected, &engine->to);
    } else {
        report_unexpected(context, node, expected);
        return;
    }
    if (!engine->has_from && !engine->has_to)
        report_unexpected(context, node, expected);
    else if ((engine->has_from && engine->from < 0) || (engine->has_to && engine->to < 0) ||
             (engine->has_from && engine->has_to && engine->from > engine->to))
        diag_error(context->diags, node->at, "the band contradicts itself, expected %s, 0 or more and rising",
                   expected);
}

static void read_engine(const ReadContext *context, const Slot *from, Engine *engine)
{
    if (from->key == NULL || is_none(from->value))
        return;
    Slot slot[ENGINE_KEYS] = {0};
    FieldsStatus status = fields_read(&engine_fields, from->value, slot, context->arena, context->diags);
    if (status == FIELDS_BROKEN || slot_is_yes(context, &slot[ENGINE_OFF]))
        return;
    *engine = (Engine){.on = true, .ratio = 1000, .at = from->key->at};
    read_slot(context, &engine_fields, ENGINE_BONUS, slot, &engine->bonus);
    read_slot(context, &engine_fields, ENGINE_RATIO, slot, &engine->ratio);
    if (slot[ENGINE_BAND].key != NULL)
        read_ratio_band(context, slot[ENGINE_BAND].value, engine);
    if (status == FIELDS_READ && slot[ENGINE_BONUS].key == NULL && slot[ENGINE_BAND].key == NULL)
        diag_error(context->diags, from->value->at,
                   "found an engine without bonus and enablers_per_payoff, expected at least one of them");
}

static bool read_step(const ReadContext *context, const YamlNode *node, DepthStep *step)
{
    Slot slot[STEP_KEYS] = {0};
    FieldsStatus status = fields_read(&step_fields, node, slot, context->arena, context->diags);
    if (status == FIELDS_BROKEN)
        return false;
    if (slot[STEP_SHARE].key == NULL && status == FIELDS_READ)
        diag_error(context->diags, node->at, "'share' is missing in a step of depth, expected %s",
                   step_fields.field[STEP_SHARE].value);
    if (!read_slot(context, &step_fields, STEP_SHARE, slot, &step->share))
        return false;
    step->has_to = slot[STEP_TO].key != NULL;
    return !step->has_to || read_slot(context, &step_fields, STEP_TO, slot, &step->to);
}

static void read_depth(const ReadContext *context, const Slot *from, ThemeShape *shape)
{
    if (from->key == NULL || is_none(from->value) || yaml_is_empty(from->value))
        return;
    NodeItems items = node_items(from->value);
    shape->depth_at = from->key->at;
    shape->depth = arena_alloc(context->arena, items.count, sizeof *shape->depth);
    for (size_t i = 0; i < items.count; i++) {
        const YamlNode *node = node_item(&items, i);
        DepthStep *step = &shape->depth[shape->depths];
        if (!read_step(context, node, step))
            continue;
        const DepthStep *last = shape->depths > 0 ? step - 1 : NULL;
        if (last != NULL && (!last->has_to || (step->has_to && step->to <= last->to)))
            diag_error(context->diags, node->at,
                       "the steps of depth do not rise: expected each 'to' above the one before, and none behind a "
                       "step without it");
        else if (last != NULL && step->share > last->share)
            diag_error(context->diags, node->at,
                       "the shares of depth rise, expected each to be at most the one before");
        shape->depths++;
    }
}

static void read_shapes(const Draft *draft, const Model *model, Structure *structure)
{
    const ReadContext *context = &draft->context;
    structure->shape = arena_alloc(context->arena, model->themes, sizeof *structure->shape);
    for (size_t i = 0; i < draft->entries; i++) {
        const EntryDraft *from = &draft->entry[i];
        for (size_t t = 0; from->key == MODEL_THEMES && t < model->themes; t++) {
            if (model->theme[t].name != from->name)
                continue;
            structure->shape[t].has_colours = from->slot[THEME_COLOURS].key != NULL;
            read_engine(context, &from->slot[THEME_ENGINE], &structure->shape[t].engine);
            read_depth(context, &from->slot[THEME_DEPTH], &structure->shape[t]);
        }
    }
}

/* ---- combinations ---- */

static NameAt *read_cards(const ReadContext *context, const YamlNode *node, size_t *count)
{
    NodeItems items = node_items(node);
    NameAt *names = arena_alloc(context->arena, items.count, sizeof *names);
    if (items.count == 0)
        report_unexpected(context, node, "a list of card names");
    for (size_t i = 0; i < items.count; i++)
        *count += read_card_name(context, node_item(&items, i), &names[*count]);
    return names;
}

typedef struct {
    CombinationKind kind;
    const FieldTable *table;
    int cards, card, number; /* keys; -1: has none */
    int64_t fallback;
} CombinationShape;

static CombinationShape shape_of(int key)
{
    switch (key) {
    case MODEL_TOGETHER:
        return (CombinationShape){COMBINATION_TOGETHER, &together_fields, TOGETHER_CARDS, -1, TOGETHER_BONUS, 0};
    case MODEL_NEEDS:
        return (CombinationShape){COMBINATION_NEEDS, &needs_fields, NEEDS_ONE_OF, NEEDS_CARD, NEEDS_AT_LEAST, 1};
    case MODEL_APART: return (CombinationShape){COMBINATION_APART, &apart_fields, APART_CARDS, -1, APART_AT_MOST, 1};
    default: return (CombinationShape){COMBINATION_GROUP, &group_fields, GROUP_CARDS, -1, GROUP_AT_LEAST, 1};
    }
}

static bool is_there(const ReadContext *context, const EntryDraft *from, const FieldTable *table, int key)
{
    if (key < 0 || from->slot[key].key != NULL)
        return true;
    diag_error(context->diags, from->at, "'%s' is missing in %s, expected %s", table->field[key].name, table->place,
               table->field[key].value);
    return false;
}

/* [[A1, A2], [B1, B2]]: all cards one after the other, and the part of each. */
static void read_parts(const ReadContext *context, const EntryDraft *from, Combination *to)
{
    const YamlNode *list = from->slot[TOGETHER_PARTS].value;
    if (list->kind != NODE_LIST || list->count < 2) {
        report_unexpected(context, list, together_fields.field[TOGETHER_PARTS].value);
        return;
    }
    size_t cards = 0;
    for (size_t p = 0; p < list->count; p++)
        cards += node_items(list->item[p]).count;
    to->of = arena_alloc(context->arena, cards, sizeof *to->of);
    to->part = arena_alloc(context->arena, cards, sizeof *to->part);
    for (size_t p = 0; p < list->count; p++) {
        size_t count = 0;
        const NameAt *of = read_cards(context, list->item[p], &count);
        for (size_t k = 0; k < count; k++) {
            to->part[to->ofs] = (int)p;
            to->of[to->ofs++] = of[k];
        }
    }
    to->parts = (int)list->count;
}

/* How many sets count: without a word all. False when reported. */
static bool read_most(const ReadContext *context, const EntryDraft *from, Combination *to)
{
    const Slot *slot = &from->slot[TOGETHER_AT_MOST];
    to->most = COUNT_LIMIT;
    if (slot->key == NULL)
        return true;
    if (to->parts == 0 && from->slot[TOGETHER_PARTS].key == NULL) {
        diag_error(context->diags, slot->key->at, "'at_most' counts sets, expected 'parts' with it");
        return false;
    }
    return read_ranged(context, &together_fields, TOGETHER_AT_MOST, slot->value, &to->most);
}

static bool read_combination(const ReadContext *context, const EntryDraft *from, Combination *to)
{
    CombinationShape shape = shape_of((int)from->key);
    if (slot_is_yes(context, &from->slot[FORM_OFF_KEY]))
        return false;
    *to = (Combination){.kind = shape.kind, .name = from->name, .number = shape.fallback, .at = from->at};
    bool bonus = shape.kind == COMBINATION_TOGETHER;
    const bool parts = bonus && from->slot[TOGETHER_PARTS].key != NULL;
    if (parts && from->slot[TOGETHER_CARDS].key != NULL) {
        diag_error(context->diags, from->slot[TOGETHER_PARTS].key->at,
                   "found 'cards' and 'parts' in one combination, expected one of them");
        return false;
    }
    if ((!parts && !is_there(context, from, shape.table, shape.cards)) ||
        !is_there(context, from, shape.table, shape.card) ||
        (bonus && !is_there(context, from, shape.table, shape.number)))
        return false;
    if (parts)
        read_parts(context, from, to);
    else
        to->of = read_cards(context, from->slot[shape.cards].value, &to->ofs);
    if (bonus && !read_most(context, from, to))
        return false;
    const Slot *number = &from->slot[shape.number];
    if (number->key != NULL && !read_ranged(context, shape.table, shape.number, number->value, &to->number))
        return false;
    return (shape.card < 0 || read_card_name(context, from->slot[shape.card].value, &to->card)) && to->ofs > 0;
}

/* ---- choices ---- */

static bool read_choice_bounds(const ReadContext *context, const EntryDraft *from, Choose *to)
{
    const Slot *slot = from->slot;
    to->low = 0;
    to->high = COUNT_LIMIT;
    int set = 0;
    bool sound = true;
    for (int i = CHOOSE_EXACTLY; i <= CHOOSE_BETWEEN; i++)
        set += slot[i].key != NULL;
    if (slot[CHOOSE_EXACTLY].key != NULL) {
        sound = read_slot(context, &choose_fields, CHOOSE_EXACTLY, slot, &to->low);
        to->high = to->low;
    }
    if (slot[CHOOSE_AT_LEAST].key != NULL)
        sound = read_slot(context, &choose_fields, CHOOSE_AT_LEAST, slot, &to->low) && sound;
    if (slot[CHOOSE_AT_MOST].key != NULL)
        sound = read_slot(context, &choose_fields, CHOOSE_AT_MOST, slot, &to->high) && sound;
    const YamlNode *pair = slot[CHOOSE_BETWEEN].value;
    if (pair != NULL) {
        if (pair->kind != NODE_LIST || pair->count != 2) {
            report_unexpected(context, pair, choose_fields.field[CHOOSE_BETWEEN].value);
            return false;
        }
        sound = read_ranged(context, &choose_fields, CHOOSE_AT_LEAST, pair->item[0], &to->low) &&
                read_ranged(context, &choose_fields, CHOOSE_AT_MOST, pair->item[1], &to->high) && sound;
    }
    bool alone = slot[CHOOSE_EXACTLY].key != NULL || pair != NULL;
    if (set == 0 || (alone && set > 1) || to->low > to->high) {
        diag_error(context->diags, from->at, "%s has %s, expected exactly, between, or at_least and at_most",
                   choose_fields.place, set == 0 ? "no bounds" : "bounds that do not go together");
        return false;
    }
    return sound;
}

static bool read_choice(const ReadContext *context, const Model *model, const EntryDraft *from, Choose *to)
{
    if (slot_is_yes(context, &from->slot[FORM_OFF_KEY]))
        return false;
    *to = (Choose){.name = from->name, .at = from->at};
    if (!is_there(context, from, &choose_fields, CHOOSE_FROM) || !read_choice_bounds(context, from, to))
        return false;
    NodeItems items = node_items(from->slot[CHOOSE_FROM].value);
    to->from = arena_alloc(context->arena, items.count, sizeof *to->from);
    for (size_t i = 0; i < items.count; i++)
        if (read_theme_name(context, model, node_item(&items, i), &to->from[to->froms]))
            to->froms++;
    int per = 0;
    if (from->slot[CHOOSE_PER].key != NULL)
        read_word(context, from->slot[CHOOSE_PER].value, &per_words, &per);
    to->per_pair = per == 1;
    if (items.count == 0)
        report_unexpected(context, from->slot[CHOOSE_FROM].value, choose_fields.field[CHOOSE_FROM].value);
    return to->froms > 0;
}

static void read_forms(const Draft *draft, const Model *model, Structure *structure)
{
    const ReadContext *context = &draft->context;
    structure->combination = arena_alloc(context->arena, draft->entries, sizeof *structure->combination);
    structure->choose = arena_alloc(context->arena, draft->entries, sizeof *structure->choose);
    for (size_t i = 0; i < draft->entries; i++) {
        const EntryDraft *from = &draft->entry[i];
        if (from->key == MODEL_THEMES)
            continue;
        if (from->key == MODEL_CHOOSE)
            structure->chooses += read_choice(context, model, from, &structure->choose[structure->chooses]);
        else
            structure->combinations +=
                read_combination(context, from, &structure->combination[structure->combinations]);
    }
}

/* ---- the rest ---- */

static void read_shares(const Draft *draft, Structure *structure)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_EVENNESS];
    if (slot->key != NULL && !is_none(slot->value)) {
        structure->evenness_at = slot->key->at;
        read_ranged(context, &model_fields, MODEL_EVENNESS, slot->value, &structure->evenness);
    }
    slot = &draft->fit[FIT_PLAYABLE];
    if (slot->key != NULL && !is_none(slot->value))
        read_ranged(context, &fit_fields, FIT_PLAYABLE, slot->value, &structure->playable);
    slot = &draft->fit[FIT_STAY];
    if (slot->key != NULL && !is_none(slot->value)) {
        structure->stay_at = slot->key->at;
        read_ranged(context, &fit_fields, FIT_STAY, slot->value, &structure->stay);
    }
}

/* Where the weight of a theme depends on the place, it can't also depend on depth or on a choice. */
static void check_by_place(const ReadContext *context, const Model *model, const Structure *structure)
{
    if (!structure->places.on || !structure->places.by_place)
        return;
    for (size_t t = 0; t < model->themes; t++)
        if (structure->shape[t].depths > 0)
            diag_error(context->diags, structure->shape[t].depth_at,
                       "found 'depth' beside 'by_place: yes' in places, expected only one of them");
    for (size_t i = 0; i < structure->chooses; i++)
        diag_error(context->diags, structure->choose[i].at,
                   "found 'choose' beside 'by_place: yes' in places, expected only one of them");
}

void compose_structure(const Draft *draft, Model *model)
{
    Structure *structure = arena_alloc(draft->context.arena, 1, sizeof *structure);
    model->structure = structure;
    read_shapes(draft, model, structure);
    compose_places(draft, model, &structure->places);
    read_forms(draft, model, structure);
    read_shares(draft, structure);
    check_by_place(&draft->context, model, structure);
}
