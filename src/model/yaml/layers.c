/* layers.c - laying layers over each other, field by field. A layer that sets a rule's bound replaces all its old
 * bounds, those under `for` too; one that sets only `for` replaces the bounds of the members that it names. */
#include "model/yaml/layers.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"

void draft_init(Draft *draft, Arena *arena, Diags *diags)
{
    *draft = (Draft){.context = {.arena = arena, .diags = diags}};
}

void draft_release(Draft *draft)
{
    for (size_t i = 0; i < draft->rules; i++)
        mem_free(draft->rule[i].own);
    draft_release_structure(draft);
    if (draft->deck != NULL)
        draft_release(draft->deck);
    mem_free(draft->deck);
    mem_free(draft->rule);
    mem_free(draft->column);
    mem_free(draft->exempt.item);
    mem_free(draft->keep.item);
    mem_free(draft->ban.item);
    mem_free(draft->wish.item);
    mem_free(draft->pattern.item);
    mem_free(draft->grades.item);
    *draft = (Draft){0};
}

const char *member_key(Arena *arena, const char *name)
{
    const char *plus = strchr(name, '+');
    if (plus == NULL)
        return text_fold_in(arena, name);
    const char *first = text_fold_in(arena, arena_strndup(arena, name, (size_t)(plus - name)));
    const char *second = text_fold_in(arena, plus + 1);
    bool in_order = strcmp(first, second) <= 0;
    return arena_printf(arena, "%s+%s", in_order ? first : second, in_order ? second : first);
}

RuleDraft *draft_find_rule(const Draft *draft, const char *name)
{
    char *folded = text_fold(name);
    RuleDraft *found = NULL;
    for (size_t i = 0; i < draft->rules && found == NULL; i++)
        if (strcmp(draft->rule[i].folded, folded) == 0)
            found = &draft->rule[i];
    mem_free(folded);
    return found;
}

const char *draft_nearest_rule(const Draft *draft, const char *name)
{
    const char **words = mem_new(draft->rules, sizeof *words);
    for (size_t i = 0; i < draft->rules; i++)
        words[i] = draft->rule[i].name;
    const char *nearest = text_nearest(name, words, draft->rules);
    mem_free(words);
    return nearest;
}

/* ---- size ---- */

static int peek_whole(const YamlNode *node)
{
    int64_t value = 0;
    if (node == NULL || node->kind != NODE_TEXT || number_parse(node->text, 0, false, &value) != NUMBER_OK ||
        value < 0 || value > INT32_MAX)
        return 0;
    return (int)value;
}

int draft_peek_size(const YamlNode *map)
{
    const YamlNode *size = yaml_get(map, model_fields.field[MODEL_SIZE].name);
    if (size == NULL)
        return 0;
    return peek_whole(size->kind == NODE_MAP ? yaml_get(size, band_fields.field[BAND_TO].name) : size);
}

static void note_size(Draft *draft, const YamlNode *map)
{
    int size = draft_peek_size(map);
    if (size > 0)
        draft->size = size;
    if (draft->first_size == 0)
        draft->first_size = size;
}

/* ---- rules ---- */

static void lay_bounds(const Draft *draft, BoundsDraft *bounds, const Slot *slot)
{
    *bounds = (BoundsDraft){.size_at = draft->size};
    for (int i = 0; i < BOUND_KEYS; i++) {
        bounds->slot[i] = slot[i];
        if (slot[i].key == NULL || bounds->set)
            continue;
        bounds->set = true;
        bounds->at = slot[i].key->at;
    }
}

static MemberDraft *own_of(const Draft *draft, RuleDraft *rule, const YamlNode *name)
{
    const char *key = member_key(draft->context.arena, name->text);
    for (size_t i = 0; i < rule->owns; i++)
        if (strcmp(rule->own[i].key, key) == 0)
            return &rule->own[i];
    mem_reserve((void **)&rule->own, &rule->owns_capacity, rule->owns + 1, sizeof *rule->own);
    rule->own[rule->owns] = (MemberDraft){.key = key};
    return &rule->own[rule->owns++];
}

static void lay_members(const Draft *draft, RuleDraft *rule, const YamlNode *members)
{
    const ReadContext *context = &draft->context;
    if (yaml_is_empty(members))
        return;
    if (members->kind != NODE_MAP) {
        report_unexpected(context, members, rule_fields.field[RULE_FOR].value);
        return;
    }
    for (size_t i = 0; i < members->count; i++) {
        const YamlNode *name = members->pair[i].key;
        Slot slot[BOUND_KEYS] = {0};
        FieldsStatus status = fields_read(&bound_fields, members->pair[i].value, slot, context->arena, context->diags);
        if (status == FIELDS_BROKEN)
            continue;
        MemberDraft *own = own_of(draft, rule, name);
        for (size_t j = 0; j < i; j++)
            if (strcmp(member_key(context->arena, members->pair[j].key->text), own->key) == 0)
                diag_error(context->diags, name->at, "'%s' is written twice; it already stands in line %d", name->text,
                           members->pair[j].key->at.line);
        own->name = name->text;
        own->at = name->at;
        lay_bounds(draft, &own->bounds, slot);
        own->bounds.misspelt = status == FIELDS_PARTLY;
        own->bounds.at = name->at;
    }
}

static void lay_rule(const Draft *draft, RuleDraft *rule, const Slot *slot)
{
    BoundsDraft bounds;
    lay_bounds(draft, &bounds, slot);
    if (bounds.set) {
        rule->bounds = bounds;
        rule->owns = 0;
    }
    if (slot[RULE_FOR].key != NULL)
        lay_members(draft, rule, slot[RULE_FOR].value);
    for (int i = BOUND_KEYS; i < RULE_KEYS; i++)
        if (slot[i].key != NULL)
            rule->slot[i] = slot[i];
}

static RuleDraft *add_rule(Draft *draft, const char *name, SourcePos at)
{
    mem_reserve((void **)&draft->rule, &draft->rules_capacity, draft->rules + 1, sizeof *draft->rule);
    RuleDraft *rule = &draft->rule[draft->rules++];
    *rule = (RuleDraft){.name = name, .folded = text_fold_in(draft->context.arena, name), .at = at};
    return rule;
}

/* One item of `rules` or `themes`: its keys, and its name from inside (a list) or from before the colon (a map).
 * FIELDS_BROKEN if there is none. */
static FieldsStatus read_named(const Draft *draft, const FieldTable *table, int name_key, const YamlNode *outer_name,
                               const YamlNode *map, Slot *slot, const YamlNode **name_node, const char **name)
{
    const ReadContext *context = &draft->context;
    FieldsStatus status = fields_read(table, map, slot, context->arena, context->diags);
    if (status == FIELDS_BROKEN)
        return status;
    if (outer_name != NULL && slot[name_key].key != NULL)
        diag_error(context->diags, slot[name_key].key->at, "found 'name', but the name already stands in line %d",
                   outer_name->at.line);
    *name_node = outer_name != NULL ? outer_name : slot[name_key].value;
    if (*name_node == NULL && status == FIELDS_READ)
        diag_error(context->diags, map->at, "%s has no name, expected 'name: %s'", table->place,
                   table->field[name_key].value);
    if (*name_node == NULL || !read_text(context, *name_node, table->field[name_key].value, name))
        return FIELDS_BROKEN;
    if ((*name_node)->comment != NULL)
        diag_notice(context->diags, (*name_node)->at,
                    "'%s' behind '%s' is read as a comment; put the name in quotes if it belongs to it",
                    (*name_node)->comment, *name);
    return status;
}

static void lay_named_rule(Draft *draft, const YamlNode *outer_name, const YamlNode *map)
{
    Slot slot[RULE_KEYS] = {0};
    const YamlNode *node = NULL;
    const char *name = NULL;
    FieldsStatus status = read_named(draft, &rule_fields, RULE_NAME, outer_name, map, slot, &node, &name);
    if (status == FIELDS_BROKEN)
        return;
    RuleDraft *rule = draft_find_rule(draft, name);
    if (rule == NULL && outer_name != NULL) {
        diag_error(draft->context.diags, node->at, "unknown rule %s%s", yaml_found(node, draft->context.arena),
                   did_you_mean(draft_nearest_rule(draft, name), draft->context.arena));
        return;
    }
    if (rule != NULL && rule->listed_in == draft->layer) {
        diag_error(draft->context.diags, node->at, "a rule named '%s' is already there, in line %d; names must differ",
                   name, rule->listed_at.line);
        return;
    }
    if (rule == NULL)
        rule = add_rule(draft, name, node->at);
    rule->listed_in = draft->layer;
    rule->listed_at = node->at;
    lay_rule(draft, rule, slot);
    rule->bounds.misspelt = rule->bounds.misspelt || status == FIELDS_PARTLY;
}

static void lay_named_theme(Draft *draft, const YamlNode *outer_name, const YamlNode *map)
{
    Slot slot[THEME_KEYS] = {0};
    const YamlNode *node = NULL;
    const char *name = NULL;
    if (read_named(draft, &theme_fields, THEME_NAME, outer_name, map, slot, &node, &name) != FIELDS_BROKEN)
        draft_lay_entry(draft, MODEL_THEMES, name, node->at, outer_name, slot);
}

/* A list of maps with names, or a map from names of what is already there. */
static void lay_all_named(Draft *draft, const Slot *slot, ModelKey key,
                          void (*lay)(Draft *, const YamlNode *, const YamlNode *))
{
    if (yaml_is_empty(slot->value))
        return;
    if (slot->value->kind == NODE_TEXT) {
        report_unexpected(&draft->context, slot->value, model_fields.field[key].value);
        return;
    }
    for (size_t i = 0; i < slot->value->count; i++) {
        if (slot->value->kind == NODE_LIST)
            lay(draft, NULL, slot->value->item[i]);
        else
            lay(draft, slot->value->pair[i].key, slot->value->pair[i].value);
    }
}

/* ---- the rest ---- */

static void add_node(const Draft *draft, NodeList *list, const YamlNode *node)
{
    mem_reserve((void **)&list->item, &list->capacity, list->count + 1, sizeof *list->item);
    list->item[list->count++] = (NodeInLayer){.node = node, .layer = draft->layer};
}

static void add_nodes(const Draft *draft, NodeList *list, const YamlNode *node)
{
    if (node == NULL)
        return;
    NodeItems items = node_items(node);
    for (size_t i = 0; i < items.count; i++)
        add_node(draft, list, node_item(&items, i));
}

static void lay_columns(Draft *draft, const YamlNode *map)
{
    if (yaml_is_empty(map))
        return;
    if (map->kind != NODE_MAP) {
        report_unexpected(&draft->context, map, model_fields.field[MODEL_COLUMNS].value);
        return;
    }
    for (size_t i = 0; i < map->count; i++) {
        size_t at = 0;
        while (at < draft->columns && strcmp(draft->column[at].key->text, map->pair[i].key->text) != 0)
            at++;
        mem_reserve((void **)&draft->column, &draft->columns_capacity, draft->columns + 1, sizeof *draft->column);
        draft->column[at] = (Slot){.key = map->pair[i].key, .value = map->pair[i].value};
        if (at == draft->columns)
            draft->columns++;
    }
}

/* False: something in it was misspelt. */
static bool lay_group(const Draft *draft, const FieldTable *table, const Slot *from, Slot *to)
{
    if (yaml_is_empty(from->value))
        return true;
    return fields_read(table, from->value, to, draft->context.arena, draft->context.diags) == FIELDS_READ;
}

/* A deck is a small pool: a draft of its own, laid in the same layers. `none` takes away what was said before. */
static void lay_deck(Draft *draft, const YamlNode *value)
{
    Slot slot[DECK_KEYS] = {0};
    if (value_is(value, "none") || draft->deck == NULL) {
        if (draft->deck != NULL)
            draft_release(draft->deck);
        draft->deck = draft->deck == NULL ? mem_new(1, sizeof *draft->deck) : draft->deck;
        draft_init(draft->deck, draft->context.arena, draft->context.diags);
    }
    Draft *deck = draft->deck;
    deck->layer = draft->layer;
    if (value_is(value, "none") || yaml_is_empty(value) ||
        fields_read(&deck_fields, value, slot, draft->context.arena, draft->context.diags) == FIELDS_BROKEN)
        return;
    if (slot[DECK_SIZE].key != NULL)
        deck->slot[MODEL_SIZE] = slot[DECK_SIZE];
    if (slot[DECK_RULES].key != NULL)
        lay_all_named(deck, &slot[DECK_RULES], MODEL_RULES, lay_named_rule);
}

static void lay_key(Draft *draft, ModelKey key, const Slot *slot)
{
    switch (key) {
    case MODEL_EXTENDS: break; /* the layer below this one, laid already */
    case MODEL_SIZE:
    case MODEL_CAP:
    case MODEL_CAP_COUNTS:
    case MODEL_COLOURS:
    case MODEL_FIXING:
    case MODEL_HYBRID_AS_GOLD:
    case MODEL_DECK_COLOURS:
    case MODEL_UNPRICED:
    case MODEL_CURRENCY:
    case MODEL_STALE:
    case MODEL_HANDLING:
    case MODEL_HEADROOM:
    case MODEL_PRICE_RISK:
    case MODEL_ACCEPT:
    case MODEL_SHOPS:
    case MODEL_EVENNESS: draft->slot[key] = *slot; break;
    case MODEL_SEATS:
        if (!lay_group(draft, &seats_fields, slot, draft->seats))
            draft->seats_misspelt = true;
        break;
    case MODEL_FIT: lay_group(draft, &fit_fields, slot, draft->fit); break;
    case MODEL_READ: lay_group(draft, &read_fields, slot, draft->read); break;
    case MODEL_COLUMNS: lay_columns(draft, slot->value); break;
    case MODEL_GRADES: add_node(draft, &draft->grades, slot->value); break;
    case MODEL_THEMES: lay_all_named(draft, slot, key, lay_named_theme); break;
    case MODEL_RULES: lay_all_named(draft, slot, key, lay_named_rule); break;
    case MODEL_EXEMPT: add_nodes(draft, &draft->exempt, slot->value); break;
    case MODEL_KEEP: add_nodes(draft, &draft->keep, slot->value); break;
    case MODEL_BAN: add_nodes(draft, &draft->ban, slot->value); break;
    case MODEL_WISH: add_nodes(draft, &draft->wish, slot->value); break;
    case MODEL_PATTERNS: add_nodes(draft, &draft->pattern, slot->value); break;
    case MODEL_PLACES: draft_lay_places(draft, slot); break;
    case MODEL_TOGETHER:
    case MODEL_NEEDS:
    case MODEL_APART:
    case MODEL_GROUPS:
    case MODEL_CHOOSE: draft_lay_forms(draft, key, slot->value); break;
    case MODEL_DECK: lay_deck(draft, slot->value); break;
    }
}

void draft_lay(Draft *draft, const YamlNode *map)
{
    Slot slot[MODEL_KEYS] = {0};
    draft->layer++;
    if (yaml_is_empty(map) ||
        fields_read(&model_fields, map, slot, draft->context.arena, draft->context.diags) == FIELDS_BROKEN)
        return;
    note_size(draft, map);
    for (ModelKey key = 0; key < MODEL_KEYS; key++)
        if (slot[key].key != NULL)
            lay_key(draft, key, &slot[key]);
}

void draft_lay_names(Draft *draft, const YamlNode *keep, const YamlNode *ban, const YamlNode *wish)
{
    draft->layer++;
    add_nodes(draft, &draft->keep, keep);
    add_nodes(draft, &draft->ban, ban);
    add_nodes(draft, &draft->wish, wish);
}
