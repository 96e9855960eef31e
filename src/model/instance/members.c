/* members.c - rules spread over colours, pairs and themes, and what each member counts. */
#include <string.h>

#include "model/language/compose.h"
#include "model/instance/instance_cache.h"

static const Bounds *own_bounds(const Rule *rule, const char *of)
{
    for (size_t i = 0; i < rule->owns; i++)
        if (strcmp(rule->own[i].member, of) == 0)
            return &rule->own[i].bounds;
    return rule->bounds.has_low || rule->bounds.has_high ? &rule->bounds : NULL;
}

static void add_member(const InstanceBuilder *builder, const Rule *rule, const char *of, ColourMask mask, int theme)
{
    const Bounds *written = own_bounds(rule, of);
    if (written == NULL) /* only other members are bounded */
        return;
    Instance *instance = builder->instance;
    RuleMember *member = &instance->member[instance->members + instance->watches];
    ++*(rule->watch ? &instance->watches : &instance->members);
    *member = (RuleMember){.rule = rule, .of = of, .mask = mask, .theme = theme, .written = *written};
    member->bounds = rule->scales ? bounds_scaled(written, instance->model->size_to) : *written;
    if (rule->scales && written->kind == BOUND_ABSOLUTE && written->size_at > 0 &&
        written->size_at != instance->model->size_to)
        member->size = instance->model->size_to;
    seen_bounds(builder, rule, &member->bounds);
}

static ColourMask member_mask(const Model *model, Each each, size_t index)
{
    if (each == EACH_COLOUR)
        return (ColourMask)(1U << index);
    return each == EACH_PAIR ? model_pair(model, index) : model->theme[index].colours;
}

static void spread_rule(const InstanceBuilder *builder, const Rule *rule)
{
    const Model *model = builder->instance->model;
    size_t count = 0;
    const char **names = each_names(model, rule->each, builder->instance->arena, &count);
    if (rule->each == EACH_NONE)
        add_member(builder, rule, "", 0, -1);
    else if (count == 0)
        diag_notice(builder->diags, rule->at, "rule '%s' holds for nothing: the model has no %ss", rule->name,
                    each_words.field[rule->each - 1].name);
    for (size_t i = 0; i < count; i++)
        add_member(builder, rule, names[i], member_mask(model, rule->each, i), rule->each == EACH_THEME ? (int)i : -1);
}

/* Those that are only watched come last. */
void spread_members(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    size_t capacity = 0;
    for (size_t r = 0; r < model->rules; r++) {
        size_t count = 0;
        each_names(model, model->rule[r].each, instance->arena, &count);
        capacity += count > 0 ? count : 1;
    }
    instance->member = arena_alloc(instance->arena, capacity, sizeof *instance->member);
    for (size_t r = 0; r < model->rules; r++)
        if (!model->rule[r].watch)
            spread_rule(builder, &model->rule[r]);
    for (size_t r = 0; r < model->rules; r++)
        if (model->rule[r].watch)
            spread_rule(builder, &model->rule[r]);
}

void prepare_rules(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    InstanceCache *cache = instance->cache;
    const size_t rules = model->rules + model->deck.rules;
    cache->measure_column = arena_alloc(instance->arena, rules, sizeof *cache->measure_column);
    for (size_t r = 0; r < rules; r++) {
        const Rule *rule = &model->rule[r];
        prepare_filter(builder, &rule->where);
        if (rule->has_of)
            prepare_filter(builder, &rule->of);
        cache->measure_column[r] = -1;
        if (rule->measure != MEASURE_COLUMN)
            continue;
        cache->measure_column[r] = find_column(builder, rule->column, &measure_words, "measure", rule->measure_at);
        numeric_column(builder, cache->measure_column[r], arena_printf(instance->arena, "rule '%s'", rule->name),
                       rule->measure_at);
    }
}

/* ---- what a member counts ---- */

static size_t rule_index(const Instance *instance, const RuleMember *member)
{
    return (size_t)(member->rule - instance->model->rule);
}

static bool in_scope(const Instance *instance, const RuleMember *member, size_t card)
{
    const Rule *rule = member->rule;
    if (rule->each == EACH_NONE)
        return true;
    if (member->theme >= 0 && instance_theme_tag(instance, (size_t)member->theme, card) == NULL)
        return false;
    const ColourNeed *need = &instance->cards->card[card].colours;
    switch (rule->scope) {
    case SCOPE_EXACT: return colours_exact(need, member->mask);
    case SCOPE_TOUCHING: return colours_touching(need, member->mask);
    case SCOPE_PLAYABLE: return colours_playable(need, member->mask);
    case SCOPE_TAGGED: break;
    }
    return true;
}

size_t member_cards(const Instance *instance, const RuleMember *member, const size_t **card)
{
    if (member->theme < 0) {
        *card = NULL;
        return instance->cards->count;
    }
    *card = &instance->theme_card[instance->theme_start[member->theme]];
    return instance->theme_start[member->theme + 1] - instance->theme_start[member->theme];
}

bool member_exempts(const Instance *instance, const RuleMember *member, size_t card)
{
    const bool *exempt = instance->cache->exempt[rule_index(instance, member)];
    return exempt != NULL && exempt[card];
}

bool member_counts(const Instance *instance, const RuleMember *member, size_t card)
{
    return in_scope(instance, member, card) && filter_passes(instance, &member->rule->where, member, card) &&
           !member_exempts(instance, member, card);
}

bool member_counts_of(const Instance *instance, const RuleMember *member, size_t card)
{
    if (member_exempts(instance, member, card))
        return false;
    if (!member->rule->has_of)
        return true;
    return in_scope(instance, member, card) && filter_passes(instance, &member->rule->of, member, card);
}

/* The value if it is there; a blank is 0. */
static bool value_if(bool there, int64_t number, int64_t *value)
{
    *value = there ? number : 0;
    return there;
}

bool member_value(const Instance *instance, const RuleMember *member, size_t c, int64_t *value)
{
    const Card *card = &instance->cards->card[c];
    const Rule *rule = member->rule;
    const ColumnCache *column = NULL;
    switch (rule->measure) {
    case MEASURE_COUNT:
    case MEASURE_NAMES: return value_if(true, 1, value);
    case MEASURE_SPEND: return value_if(price_known(instance, c), instance_buy_price(instance, c), value);
    case MEASURE_PRICE: return value_if(price_known(instance, c), instance->price[c], value);
    case MEASURE_FIT: return value_if(true, instance->fit[c], value);
    case MEASURE_COST: return value_if(card->has_cost, card->cost, value);
    case MEASURE_POWER: return value_if(card->has_power, card->power, value);
    case MEASURE_WEIGHT: return filter_tag_weight(instance, &rule->where, member, c, value);
    case MEASURE_COLUMN: break;
    }
    column = &instance->cache->column[instance->cache->measure_column[rule_index(instance, member)]];
    return value_if(column->kind[c] == CELL_NUMBER, column->value[c], value);
}

/* Differs from the value above for weights alone: those of the tags that `of` names, of all tags without one. */
bool member_value_of(const Instance *instance, const RuleMember *member, size_t c, int64_t *value)
{
    if (member->rule->measure != MEASURE_WEIGHT || member->theme >= 0)
        return member_value(instance, member, c, value);
    if (member->rule->has_of)
        return filter_tag_weight(instance, &member->rule->of, member, c, value);
    const Card *card = &instance->cards->card[c];
    *value = 0;
    for (size_t i = 0; i < card->tags; i++)
        *value += card->tag[i].weight;
    return card->tags > 0;
}

int64_t instance_buy_price(const Instance *instance, size_t card)
{
    return instance->price[card] + instance->model->handling;
}

bool price_known(const Instance *instance, size_t card)
{
    return !instance->unpriced[card] || instance->model->unpriced == UNPRICED_DEFAULT;
}

bool instance_has_prices(const Instance *instance)
{
    for (size_t c = 0; c < instance->cards->count; c++)
        if (instance->cards->card[c].has_price)
            return true;
    return false;
}

int64_t instance_spend(const Instance *instance, size_t card, int copies)
{
    int bought = copies - instance->cards->card[card].owned;
    return bought <= 0 ? 0 : bought * instance_buy_price(instance, card);
}
