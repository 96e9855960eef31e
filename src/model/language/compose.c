/* compose.c - reading the values of a model: all but the rules. */
#include "model/language/compose.h"

#include <inttypes.h>
#include <string.h>

#include "base/text.h"
#include "model/language/filter_read.h"

static const char *expected_model(int key)
{
    return model_fields.field[key].value;
}

/* ---- single values ---- */

static void compose_size(const Draft *draft, Model *model, SourcePos at)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_SIZE];
    if (slot->key == NULL) {
        diag_error(context->diags, at, "the model has no size, expected a line such as 'size: 360'");
        return;
    }
    model->size_at = slot->value->at;
    const YamlNode *from = slot->value, *to = slot->value;
    if (slot->value->kind == NODE_MAP) {
        Slot band[BAND_KEYS] = {0};
        if (fields_read(&band_fields, slot->value, band, context->arena, context->diags) != FIELDS_READ)
            return;
        if (band[BAND_FROM].key == NULL || band[BAND_TO].key == NULL) {
            diag_error(context->diags, slot->value->at, "found a range with one end, expected %s",
                       expected_model(MODEL_SIZE));
            return;
        }
        from = band[BAND_FROM].value;
        to = band[BAND_TO].value;
    }
    int64_t low = 0, high = 0;
    const FieldRange *range = &model_fields.range[MODEL_SIZE];
    const char *expected =
        arena_printf(context->arena, "a whole number of cards from %" PRId64 " to %" PRId64 ", or {from: 350, to: 360}",
                     range->least, range->most);
    if (!read_whole(context, from, range->least, range->most, expected, &low))
        return;
    if (to != from && !read_whole(context, to, range->least, range->most, expected, &high))
        return;
    high = to != from ? high : low;
    if (low > high) {
        diag_error(context->diags, slot->value->at, "the size contradicts itself: from %s is more than to %s",
                   from->text, to->text);
        return;
    }
    model->size_from = (int)low;
    model->size_to = (int)high;
}

static void compose_cap(const Draft *draft, Model *model)
{
    const Slot *slot = &draft->slot[MODEL_CAP];
    if (slot->key == NULL || value_is(slot->value, "none"))
        return;
    model->cap_at = slot->value->at;
    model->has_cap = read_ranged(&draft->context, &model_fields, MODEL_CAP, slot->value, &model->cap);
}

static void compose_small_numbers(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_HYBRID_AS_GOLD];
    int64_t number = 0;
    if (slot->key != NULL && !value_is(slot->value, "never") &&
        read_ranged(context, &model_fields, MODEL_HYBRID_AS_GOLD, slot->value, &number))
        model->hybrid_as_gold = (int)number;
    slot = &draft->slot[MODEL_DECK_COLOURS];
    int colours = (int)model->colours;
    model->deck_colours = colours < 2 ? 1 : 2;
    const char *expected = arena_printf(context->arena, "a whole number from 1 to %d, the number of colours", colours);
    if (slot->key != NULL &&
        read_whole(context, slot->value, 1, colours > 0 ? colours : COLOURS_MAX, expected, &number))
        model->deck_colours = (int)number;
}

static void compose_seats(const Draft *draft, Model *model)
{
    int *into[SEATS_KEYS] = {&model->seats, &model->packs, &model->pack_size};
    const Slot *any = NULL;
    for (int i = 0; i < SEATS_KEYS; i++) {
        int64_t number = 0;
        if (draft->seats[i].key != NULL)
            any = &draft->seats[i];
        if (read_slot(&draft->context, &seats_fields, i, draft->seats, &number))
            *into[i] = (int)number;
    }
    for (int i = 0; i < SEATS_KEYS && any != NULL && !draft->seats_misspelt; i++)
        if (draft->seats[i].key == NULL)
            diag_error(draft->context.diags, any->key->at, "'%s' is missing in seats, expected %s",
                       seats_fields.field[i].name, expected_model(MODEL_SEATS));
}

static void compose_fit(const Draft *draft, Model *model)
{
    model->power_weight = 1000;
    read_slot(&draft->context, &fit_fields, FIT_POWER, draft->fit, &model->power_weight);
    read_slot(&draft->context, &fit_fields, FIT_UNSCORED, draft->fit, &model->unscored);
}

static void compose_unpriced(const Draft *draft, Model *model)
{
    const Slot *slot = &draft->slot[MODEL_UNPRICED];
    if (slot->key == NULL || value_is(slot->value, "error"))
        return;
    if (value_is(slot->value, "skip")) {
        model->unpriced = UNPRICED_SKIP;
        return;
    }
    model->unpriced = UNPRICED_DEFAULT;
    read_ranged(&draft->context, &model_fields, MODEL_UNPRICED, slot->value, &model->unpriced_default);
}

/* The columns of sheets that have a meaning, then the themes' own. *count; freed with mem_free. */
static const char **column_words(const Model *model, size_t *count)
{
    size_t known = 0, side = 0;
    while (card_known_column(known) != NULL)
        known++;
    while (card_side_column(side) != NULL)
        side++;
    const char **words = mem_new(known + side + model->themes, sizeof *words);
    for (size_t i = 0; i < known; i++)
        words[i] = card_known_column(i)->name;
    for (size_t i = 0; i < side; i++)
        words[known + i] = card_side_column(i);
    for (size_t i = 0; i < model->themes; i++)
        words[known + side + i] = model->theme_name[i];
    *count = known + side + model->themes;
    return words;
}

static bool is_mappable(const ReadContext *context, const Model *model, const YamlNode *field)
{
    size_t count = 0;
    const char **words = column_words(model, &count);
    const bool known = text_find(field->text, words, count) >= 0;
    if (!known)
        diag_error(context->diags, field->at,
                   "unknown column %s in columns, expected one of the cards sheet such as name, price or power%s",
                   yaml_found(field, context->arena),
                   did_you_mean(text_nearest(field->text, words, count), context->arena));
    mem_free(words);
    return known;
}

/* A field may have several headers, for sheets that call it differently. */
static void compose_columns(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    size_t headers = 0;
    for (size_t i = 0; i < draft->columns; i++)
        headers += node_items(draft->column[i].value).count;
    model->map_field = arena_alloc(context->arena, headers, sizeof *model->map_field);
    model->map_header = arena_alloc(context->arena, headers, sizeof *model->map_header);
    model->map_at = arena_alloc(context->arena, headers, sizeof *model->map_at);
    for (size_t i = 0; i < draft->columns; i++) {
        const YamlNode *field = draft->column[i].key;
        if (!is_mappable(context, model, field))
            continue;
        NodeItems items = node_items(draft->column[i].value);
        if (items.count == 0)
            report_unexpected(context, draft->column[i].value, "the header of a column in the sheet");
        for (size_t k = 0; k < items.count; k++) {
            const char *header = NULL;
            if (!read_text(context, node_item(&items, k), "the header of a column in the sheet", &header))
                continue;
            model->map_field[model->maps] = field->text;
            model->map_header[model->maps] = header;
            model->map_at[model->maps++] = node_item(&items, k)->at;
        }
    }
}

/* ---- colours and themes ---- */

static bool is_sound_colour(const ReadContext *context, const YamlNode *node, const char *name)
{
    static const char *const reserved[] = {"colourless", "all", "any", "none"};
    const char *folded = text_fold_in(context->arena, name);
    if (strchr(name, ',') != NULL) {
        diag_error(context->diags, node->at, "found '%s' as one colour, expected a list: [%s]", name, name);
        return false;
    }
    if (strpbrk(name, "+/;,%\"") != NULL) {
        diag_error(context->diags, node->at, "found '%s' as a colour, expected a name without + / ; , %% and quotes",
                   name);
        return false;
    }
    for (size_t i = 0; i < sizeof reserved / sizeof *reserved; i++) {
        if (strcmp(folded, reserved[i]) != 0)
            continue;
        diag_error(context->diags, node->at, "'%s' has a meaning of its own, expected another name for a colour", name);
        return false;
    }
    return true;
}

static void compose_colours(const Draft *draft, Model *model, SourcePos at)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_COLOURS];
    if (slot->key == NULL) {
        diag_error(context->diags, at,
                   "the model has no colours, expected a line such as 'colours: [brass, glass, linen, tar]'");
        return;
    }
    NodeItems items = node_items(slot->value);
    if (items.count == 0 || items.count > COLOURS_MAX)
        diag_error(context->diags, slot->value->at, "found %zu colours, expected %s", items.count,
                   expected_model(MODEL_COLOURS));
    model->colour = arena_alloc(context->arena, COLOURS_MAX, sizeof *model->colour);
    for (size_t i = 0; i < items.count && model->colours < COLOURS_MAX; i++) {
        const YamlNode *node = node_item(&items, i);
        const char *name = NULL;
        if (!read_text(context, node, "the name of a colour", &name) || !is_sound_colour(context, node, name))
            continue;
        if (text_find(name, model->colour, model->colours) >= 0)
            diag_error(context->diags, node->at, "colour '%s' is written twice", name);
        else
            model->colour[model->colours++] = name;
    }
}

static bool is_sound_theme(const ReadContext *context, const EntryDraft *theme)
{
    const char *expected = theme_name_expected(theme->name);
    if (expected != NULL)
        diag_error(context->diags, theme->at, "found '%s' as a theme, expected %s", theme->name, expected);
    return expected == NULL;
}

static bool compose_theme(const Draft *draft, const Model *model, const EntryDraft *from, Theme *theme)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = from->slot;
    if (slot_is_yes(context, &slot[THEME_OFF]))
        return false;
    *theme = (Theme){.name = from->name, .weight = 1000, .at = from->at};
    theme->colours = (ColourMask)((1U << model->colours) - 1U);
    bool sound = is_sound_theme(context, from);
    const char *text = NULL;
    if (slot[THEME_COLOURS].key != NULL &&
        read_text(context, slot[THEME_COLOURS].value, theme_fields.field[THEME_COLOURS].value, &text)) {
        CardVocabulary vocabulary = model_vocabulary(model);
        ColourNeed need = {0};
        if (colours_parse(&vocabulary, text, slot[THEME_COLOURS].value->at, &need, context->diags)) {
            theme->colours = colours_union(&need);
            if (strchr(text, '/') != NULL)
                diag_error(context->diags, slot[THEME_COLOURS].value->at,
                           "found '%s', expected the colours of a theme with + between them", text);
        }
    }
    read_slot(context, &theme_fields, THEME_WEIGHT, slot, &theme->weight);
    return sound;
}

static void compose_themes(const Draft *draft, Model *model)
{
    model->theme = arena_alloc(draft->context.arena, draft->entries, sizeof *model->theme);
    model->theme_name = arena_alloc(draft->context.arena, draft->entries, sizeof *model->theme_name);
    for (size_t i = 0; i < draft->entries; i++) {
        if (draft->entry[i].key != MODEL_THEMES ||
            !compose_theme(draft, model, &draft->entry[i], &model->theme[model->themes]))
            continue;
        model->theme_name[model->themes] = model->theme[model->themes].name;
        model->themes++;
    }
}

/* ---- names of cards ---- */

bool read_card_name(const ReadContext *context, const YamlNode *node, NameAt *card)
{
    *card = (NameAt){.at = node->at, .comment = node->comment};
    return read_text(context, node, "a card's name", &card->name);
}

static NameAt *compose_names(const Draft *draft, const NodeList *list, size_t *count)
{
    NameAt *names = arena_alloc(draft->context.arena, list->count, sizeof *names);
    for (size_t i = 0; i < list->count; i++) {
        if (read_card_name(&draft->context, list->item[i].node, &names[*count]))
            names[(*count)++].layer = list->item[i].layer;
    }
    return names;
}

static bool compose_exempt(const Draft *draft, const YamlNode *node, Exempt *exempt)
{
    const ReadContext *context = &draft->context;
    Slot slot[EXEMPT_KEYS] = {0};
    FieldsStatus status = fields_read(&exempt_fields, node, slot, context->arena, context->diags);
    if (status == FIELDS_BROKEN)
        return false;
    *exempt = (Exempt){.because = ""};
    for (int i = EXEMPT_CARD; i <= EXEMPT_FROM; i++) {
        if (slot[i].key != NULL)
            continue;
        if (status == FIELDS_READ)
            diag_error(context->diags, node->at,
                       "'%s' is missing in an exemption, expected {card: ..., from: [...], because: ...}",
                       exempt_fields.field[i].name);
        return false;
    }
    if (slot[EXEMPT_BECAUSE].key != NULL)
        read_text(context, slot[EXEMPT_BECAUSE].value, "a reason", &exempt->because);
    if (!read_card_name(context, slot[EXEMPT_CARD].value, &exempt->card))
        return false;
    NodeItems items = node_items(slot[EXEMPT_FROM].value);
    exempt->from = arena_alloc(context->arena, items.count, sizeof *exempt->from);
    if (items.count == 0)
        report_unexpected(context, slot[EXEMPT_FROM].value, "a list of rule names");
    for (size_t i = 0; i < items.count; i++) {
        const YamlNode *item = node_item(&items, i);
        const char *name = NULL;
        if (!read_text(context, item, "a rule's name", &name))
            continue;
        const RuleDraft *rule = draft_find_rule(draft, name);
        if (rule == NULL)
            diag_error(context->diags, item->at, "unknown rule '%s'%s", name,
                       did_you_mean(draft_nearest_rule(draft, name), context->arena));
        else
            exempt->from[exempt->froms++] = (NameAt){.name = rule->name, .at = item->at};
    }
    return true;
}

static void compose_exempts(const Draft *draft, Model *model)
{
    model->exempt = arena_alloc(draft->context.arena, draft->exempt.count, sizeof *model->exempt);
    for (size_t i = 0; i < draft->exempt.count; i++)
        if (compose_exempt(draft, draft->exempt.item[i].node, &model->exempt[model->exempts]))
            model->exempts++;
}

Model *model_compose(Draft *draft, const char *path, SourcePos at)
{
    const ReadContext *context = &draft->context;
    const size_t errors = context->diags->errors;
    Model *model = arena_alloc(context->arena, 1, sizeof *model);
    model->arena = context->arena;
    model->path = path;
    compose_currency(draft, model);
    compose_size(draft, model, at);
    compose_cap(draft, model);
    compose_colours(draft, model, at);
    compose_themes(draft, model);
    compose_small_numbers(draft, model);
    compose_seats(draft, model);
    compose_fit(draft, model);
    compose_unpriced(draft, model);
    compose_columns(draft, model);
    compose_habits(draft, model);
    compose_grades(draft, model);
    const Slot *fixing = &draft->slot[MODEL_FIXING];
    if (fixing->key != NULL && !value_is(fixing->value, "none") && !yaml_is_empty(fixing->value))
        model->has_fixing = filter_read(context, model, fixing->value, true, &model->fixing);
    compose_structure(draft, model);
    compose_rules(draft, model);
    compose_deck(draft, model);
    compose_exempts(draft, model);
    compose_money(draft, model);
    compose_shops(draft, model);
    compose_patterns(draft, model);
    model->keep = compose_names(draft, &draft->keep, &model->keeps);
    model->ban = compose_names(draft, &draft->ban, &model->bans);
    model->wish = compose_names(draft, &draft->wish, &model->wishes);
    return context->diags->errors == errors ? model : NULL;
}
