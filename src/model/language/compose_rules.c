/* compose_rules.c - reading rules, and checking that their keys go together. */
#include "model/language/compose.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/language/bounds_read.h"
#include "model/language/filter_read.h"

typedef struct {
    const ReadContext *context;
    Model *model;
    const RuleDraft *draft;
    const Draft *whole;
} RuleReader;

const char **each_names(const Model *model, Each each, Arena *arena, size_t *count)
{
    size_t members = each == EACH_COLOUR  ? model->colours
                     : each == EACH_PAIR  ? model_pairs(model)
                     : each == EACH_THEME ? model->themes
                                          : 0;
    const char **name = arena_alloc(arena, members, sizeof *name);
    for (size_t i = 0; i < members; i++)
        name[i] = each == EACH_COLOUR ? model->colour[i]
                  : each == EACH_PAIR ? model_mask_name(model, model_pair(model, i), arena)
                                      : model->theme_name[i];
    *count = members;
    return name;
}

static const Slot *slot_of(const RuleReader *reader, int key)
{
    const Slot *slot = &reader->draft->slot[key];
    return slot->key == NULL ? NULL : slot;
}

static void read_each(const RuleReader *reader, Rule *rule)
{
    const Slot *slot = slot_of(reader, RULE_EACH);
    int index = 0;
    if (slot != NULL && read_word(reader->context, slot->value, &each_words, &index))
        rule->each = (Each)(index + 1);
    rule->scope = rule->each == EACH_THEME ? SCOPE_PLAYABLE : SCOPE_EXACT;
    slot = slot_of(reader, RULE_SCOPE);
    if (slot == NULL || !read_word(reader->context, slot->value, &scope_words, &index))
        return;
    rule->scope = (Scope)index;
    if (rule->each == EACH_NONE)
        diag_error(reader->context->diags, slot->key->at,
                   "found 'scope' in a rule without 'each', expected it only beside 'each'");
    else if (rule->scope == SCOPE_TAGGED && rule->each != EACH_THEME)
        diag_error(
            reader->context->diags, slot->value->at,
            "found 'tagged' with 'each: %s', expected exact, touching or playable; tagged goes with 'each: theme'",
            each_words.field[rule->each - 1].name);
}

static void read_measure(const RuleReader *reader, Rule *rule)
{
    const Slot *slot = slot_of(reader, RULE_MEASURE);
    const char *word = NULL;
    rule->measure_at = rule->at;
    if (slot == NULL || !read_text(reader->context, slot->value, rule_fields.field[RULE_MEASURE].value, &word))
        return;
    rule->measure_at = slot->value->at;
    int index = field_index(&measure_words, text_fold_in(reader->context->arena, word));
    rule->measure = index < 0 ? MEASURE_COLUMN : (Measure)index;
    rule->column = index < 0 ? word : NULL;
}

static void read_filters(const RuleReader *reader, Rule *rule)
{
    const Slot *slot = slot_of(reader, RULE_WHERE);
    rule->where = (Filter){.id = slot == NULL ? ++reader->model->filters : 0, .at = rule->at};
    if (slot != NULL)
        filter_read(reader->context, reader->model, slot->value, false, &rule->where);
    slot = slot_of(reader, RULE_OF);
    rule->has_of = slot != NULL;
    if (slot != NULL)
        filter_read(reader->context, reader->model, slot->value, false, &rule->of);
}

static void read_small(const RuleReader *reader, Rule *rule)
{
    int64_t number = 5;
    read_slot(reader->context, &rule_fields, RULE_PRIORITY, reader->draft->slot, &number);
    rule->priority = (int)number;
    const Slot *slot = slot_of(reader, RULE_SOFT);
    if (slot != NULL && !value_is(slot->value, "no") && !value_is(slot->value, "none"))
        rule->is_soft = read_ranged(reader->context, &rule_fields, RULE_SOFT, slot->value, &rule->soft);
    rule->scales = measure_is_whole(rule->measure);
    slot = slot_of(reader, RULE_SCALES);
    if (slot != NULL)
        read_yes_no(reader->context, slot->value, &rule->scales);
    slot = slot_of(reader, RULE_WATCH);
    if (slot != NULL && read_yes_no(reader->context, slot->value, &rule->watch) && rule->watch && rule->is_soft)
        diag_error(reader->context->diags, slot_of(reader, RULE_SOFT)->key->at,
                   "found 'soft' in rule '%s', which is only watched; expected one of 'soft' and 'watch: yes'",
                   rule->name);
}

/* The member as the model spells it, or NULL (reported). */
static const char *find_member(const RuleReader *reader, const Rule *rule, const MemberDraft *own)
{
    Arena *arena = reader->context->arena;
    size_t count = 0;
    const char **names = each_names(reader->model, rule->each, arena, &count);
    for (size_t i = 0; i < count; i++)
        if (strcmp(member_key(arena, names[i]), own->key) == 0)
            return names[i];
    if (reader->model->colours == 0) /* that is an error of its own */
        return NULL;
    diag_error(reader->context->diags, own->at, "rule '%s' has no member '%s', expected a %s%s", rule->name, own->name,
               each_words.field[rule->each - 1].name, did_you_mean(text_nearest(own->name, names, count), arena));
    return NULL;
}

/* Reads the draft's bounds; those written before any size was known count as written beside the first. */
static bool read_sized(const RuleReader *reader, const BoundsDraft *draft, const Rule *rule, Bounds *bounds)
{
    if (!bounds_read(reader->context, draft, rule->measure, bounds))
        return false;
    if (bounds->size_at == 0)
        bounds->size_at = reader->whole->first_size;
    return true;
}

static void read_own_bounds(const RuleReader *reader, Rule *rule)
{
    const RuleDraft *draft = reader->draft;
    rule->own = arena_alloc(reader->context->arena, draft->owns, sizeof *rule->own);
    for (size_t i = 0; i < draft->owns; i++) {
        const MemberDraft *own = &draft->own[i];
        if (rule->each == EACH_NONE) {
            diag_error(reader->context->diags, own->at,
                       "rule '%s' has no member '%s', since it has no 'each'; expected bounds for all", rule->name,
                       own->name);
            continue;
        }
        MemberBounds *member = &rule->own[rule->owns];
        member->member = find_member(reader, rule, own);
        if (!own->bounds.set) {
            if (!own->bounds.misspelt)
                diag_error(reader->context->diags, own->at, "'%s' has no bound, expected one of %s", own->name,
                           field_list(&bound_fields, reader->context->arena));
            continue;
        }
        if (member->member != NULL && read_sized(reader, &own->bounds, rule, &member->bounds))
            rule->owns++;
    }
}

/* What a bound needs of the rest of its rule. */
static void check_bounds(const RuleReader *reader, const Rule *rule, const Bounds *bounds)
{
    Diags *diags = reader->context->diags;
    const char *sort = bounds->kind == BOUND_PERCENT ? "percentages" : "averages";
    if (bounds->kind == BOUND_PERCENT && rule->each != EACH_NONE && !rule->has_of)
        diag_error(diags, bounds->at, "rule '%s' has a percentage and 'each' but no 'of', expected 'of' to say of what",
                   rule->name);
    if (bounds->kind == BOUND_PERCENT && !rule->has_of && bounds->has_low && bounds->low > PERCENT_ONE)
        diag_error(diags, bounds->at, "rule '%s' asks for more than 100%% of the whole pool", rule->name);
    if (bounds->kind != BOUND_PERCENT && rule->has_of)
        diag_error(diags, slot_of(reader, RULE_OF)->key->at,
                   "found 'of' in rule '%s', whose bounds are no percentages; expected bounds such as 50%%",
                   rule->name);
    if (bounds->kind != BOUND_ABSOLUTE && rule->is_soft)
        diag_error(diags, slot_of(reader, RULE_SOFT)->key->at,
                   "found 'soft' in rule '%s', expected it only for counts and sums, not for %s", rule->name, sort);
    if (bounds->kind != BOUND_ABSOLUTE && rule->scales && slot_of(reader, RULE_SCALES) != NULL)
        diag_error(diags, slot_of(reader, RULE_SCALES)->key->at,
                   "found 'scales: yes' in rule '%s', but %s never move with the size", rule->name, sort);
}

static void read_bounds(const RuleReader *reader, Rule *rule)
{
    const RuleDraft *draft = reader->draft;
    size_t errors = reader->context->diags->errors;
    if (!draft->bounds.set && draft->owns == 0) {
        if (!draft->bounds.misspelt)
            diag_error(reader->context->diags, rule->at, "rule '%s' has no bound, expected one of %s", rule->name,
                       field_list(&bound_fields, reader->context->arena));
        return;
    }
    rule->bounds = (Bounds){.at = rule->at};
    if (draft->bounds.set)
        read_sized(reader, &draft->bounds, rule, &rule->bounds);
    read_own_bounds(reader, rule);
    if (reader->context->diags->errors != errors)
        return;
    if (draft->bounds.set)
        check_bounds(reader, rule, &rule->bounds);
    for (size_t i = 0; i < rule->owns && reader->context->diags->errors == errors; i++)
        check_bounds(reader, rule, &rule->own[i].bounds);
}

static bool is_off(const RuleReader *reader)
{
    const Slot *slot = slot_of(reader, RULE_OFF);
    return slot != NULL && slot_is_yes(reader->context, slot);
}

size_t compose_more_rules(Draft *draft, Model *model, size_t at)
{
    size_t rules = 0;
    for (size_t i = 0; i < draft->rules; i++) {
        RuleReader reader = {.context = &draft->context, .model = model, .draft = &draft->rule[i], .whole = draft};
        if (is_off(&reader))
            continue;
        Rule *rule = &model->rule[at + rules++];
        *rule = (Rule){.name = draft->rule[i].name, .folded = draft->rule[i].folded, .at = draft->rule[i].at};
        read_each(&reader, rule);
        read_measure(&reader, rule);
        read_filters(&reader, rule);
        read_small(&reader, rule);
        read_bounds(&reader, rule);
    }
    return rules;
}

void compose_rules(Draft *draft, Model *model)
{
    const size_t most = draft->rules + (draft->deck == NULL ? 0 : draft->deck->rules);
    model->rule = arena_alloc(draft->context.arena, most, sizeof *model->rule);
    model->rules = compose_more_rules(draft, model, 0);
}
