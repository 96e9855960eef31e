/* filter_eval.c - filters met with cards. A filter's words are looked up once, then the filter is worked out for all
 * cards at once; later questions are look-ups, so that many members over many cards cost little.
 *
 * role and weight speak of one tag: the member's theme; else the tags that `theme` names; else those that `tag` names;
 * else all. What they ask for must hold on one of these tags together; what they deny must hold on none; a card that
 * has none of these tags fails. */
#include <assert.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/yaml/fields.h"
#include "model/instance/instance_cache.h"

/* ---- looking up words ---- */

static void notice_unknown(const InstanceBuilder *builder, const FilterTest *test, const FilterValue *value,
                           const char *const *words, size_t count)
{
    const char *what = filter_fields.field[test->field].name;
    const char *nearest = suggests_more(builder) ? text_nearest(value->text, words, count) : NULL;
    diag_notice(builder->diags, value->at, "no candidate has the %s '%s'%s", what, value->text,
                did_you_mean(nearest, builder->instance->arena));
}

/* A name that nobody has who wishes a card. */
static void notice_wisher(const InstanceBuilder *builder, const FilterValue *value)
{
    const CardSet *cards = builder->instance->cards;
    size_t count = 0;
    for (size_t c = 0; c < cards->count; c++)
        count += cards->card[c].wishers;
    const char **name = mem_new(count, sizeof *name);
    bool known = strcmp(value->folded, "any") == 0;
    count = 0;
    for (size_t c = 0; c < cards->count; c++)
        for (size_t k = 0; k < cards->card[c].wishers; k++) {
            known = known || strcmp(cards->card[c].wisher[k].folded, value->folded) == 0;
            name[count++] = cards->card[c].wisher[k].name;
        }
    const char *nearest = suggests_more(builder) ? text_nearest(value->text, name, count) : NULL;
    if (!known)
        diag_notice(builder->diags, value->at, "no candidate is wished by '%s'%s", value->text,
                    did_you_mean(nearest, builder->instance->arena));
    mem_free(name);
}

static int resolve_value(const InstanceBuilder *builder, const FilterTest *test, const FilterValue *value)
{
    const Instance *instance = builder->instance;
    const CardSet *cards = instance->cards;
    int id = -1;
    switch (test->field) {
    case FIELD_CLASS: return field_index(&class_words, value->folded);
    case FIELD_ROLE: return field_index(&role_words, value->folded);
    case FIELD_KIND:
        id = card_kind(cards, value->text);
        if (id < 0)
            notice_unknown(builder, test, value, cards->kind, cards->kinds);
        return id;
    case FIELD_TAG:
        id = card_tag(cards, value->text);
        if (id < 0)
            notice_unknown(builder, test, value, cards->tag, cards->tags);
        return id;
    case FIELD_THEME: return card_tag(cards, value->text);
    case FIELD_NAME:
        id = (int)card_find(cards, value->text);
        if (id < 0)
            diag_notice(builder->diags, value->at, "no candidate is called '%s'%s", value->text,
                        suggest_card_noticed(builder, value->text));
        return id;
    case FIELD_WISHES: notice_wisher(builder, value); return -1;
    case FIELD_COLOURS:
    case FIELD_WEIGHT:
    case FIELD_COST:
    case FIELD_POWER:
    case FIELD_PRICE:
    case FIELD_FIT:
    case FIELD_COPIES:
    case FIELD_PLAYABLE:
    case FIELD_THEMES:
    case FIELD_COLUMN: break;
    }
    return -1;
}

static bool holds_tags(const Model *model, const char *header)
{
    const long map = text_find(header, model->map_header, model->maps);
    return map >= 0 ? strcmp(model->map_field[map], "tags") == 0 : text_folds_to(header, "tags");
}

static bool prepare_column(const InstanceBuilder *builder, const FilterTest *test, int *column)
{
    *column = find_column(builder, test->column, &filter_fields, "field", test->at);
    if (*column < 0)
        return false;
    if (holds_tags(builder->instance->model, test->column))
        diag_notice(builder->diags, test->at,
                    "'%s' is compared with whole cells of that column; 'tag' asks for one tag of several in a cell",
                    test->column);
    read_column(builder->instance, *column);
    for (size_t v = 0; v < test->values; v++) {
        if (test->value[v].is_range && numeric_column(builder, *column, "a range", test->value[v].at) == NULL)
            return false;
        if (!test->value[v].is_range)
            fold_column(builder->instance, *column);
    }
    return true;
}

/* ---- one test on one card ---- */

static bool column_matches(const Instance *instance, const ValueSet *set, int column, size_t card)
{
    const ColumnCache *cache = &instance->cache->column[column];
    const bool is_number = cache->kind[card] == CELL_NUMBER;
    return (is_number && value_set_has_number(set, cache->value[card])) ||
           (set->texts > 0 && value_set_has_text(set, cache->folded[card], is_number));
}

static bool any_kind_named(const ValueSet *set, const Card *card)
{
    for (size_t i = 0; i < card->kinds; i++)
        if (value_set_has_id(set, card->kind[i]))
            return true;
    return false;
}

static bool any_wisher_named(const FilterTest *test, const Card *card)
{
    for (size_t v = 0; v < test->values; v++) {
        if (strcmp(test->value[v].folded, "any") == 0 && card->wishers > 0)
            return true;
        for (size_t k = 0; k < card->wishers; k++)
            if (strcmp(card->wisher[k].folded, test->value[v].folded) == 0)
                return true;
    }
    return false;
}

/* Does the test name this tag? */
static bool names_tag(const Instance *instance, const FilterCache *cache, size_t test, int tag)
{
    return (cache->any_theme[test] && instance->cache->theme_of[tag] >= 0) || value_set_has_id(&cache->set[test], tag);
}

static bool any_tag_named(const Instance *instance, const FilterCache *cache, size_t test, const Card *card)
{
    for (size_t i = 0; i < card->tags; i++)
        if (names_tag(instance, cache, test, card->tag[i].tag))
            return true;
    return false;
}

/* The number that a numeric field compares; false: blank. */
static bool field_number(const Instance *instance, Field field, size_t c, int64_t *number)
{
    const Card *card = &instance->cards->card[c];
    switch (field) {
    case FIELD_COST: *number = card->cost; return card->has_cost;
    case FIELD_POWER: *number = card->power; return card->has_power;
    case FIELD_PRICE: *number = instance->price[c]; return price_known(instance, c);
    case FIELD_FIT: *number = instance->fit[c]; return true;
    case FIELD_COPIES: *number = card->copies; return true;
    case FIELD_THEMES:
        for (size_t i = 0; i < card->tags; i++)
            *number += instance->cache->theme_of[card->tag[i].tag] >= 0;
        return true;
    case FIELD_PLAYABLE: *number = (int64_t)instance->playable[c]; return true;
    case FIELD_CLASS:
    case FIELD_COLOURS:
    case FIELD_KIND:
    case FIELD_TAG:
    case FIELD_THEME:
    case FIELD_ROLE:
    case FIELD_WEIGHT:
    case FIELD_NAME:
    case FIELD_WISHES:
    case FIELD_COLUMN: break; /* no numbers */
    }
    return false;
}

/* A share of decks against bounds in thousandths of a percent, without rounding: playable / decks <= to. */
static bool share_in_range(const FilterTest *test, int64_t playable, int64_t decks)
{
    for (size_t v = 0; v < test->values; v++) {
        const FilterValue *value = &test->value[v];
        bool above = !value->has_from || playable * PERCENT_ONE >= value->from * decks;
        bool below = !value->has_to || playable * PERCENT_ONE <= value->to * decks;
        if (above && below)
            return true;
    }
    return false;
}

/* Whether any value matches; *blank: the card has nothing to compare. */
static bool test_matches(const Instance *instance, const FilterCache *cache, size_t t, size_t c, bool *blank)
{
    const FilterTest *test = &cache->filter->test[t];
    const ValueSet *set = &cache->set[t];
    const Card *card = &instance->cards->card[c];
    int64_t number = 0;
    *blank = false;
    switch (test->field) {
    case FIELD_CLASS: return value_set_has_id(set, (int)instance->class[c]);
    case FIELD_COLOURS:
        for (size_t v = 0; v < test->values; v++)
            if (colours_equal(&card->colours, &test->value[v].colours))
                return true;
        return false;
    case FIELD_KIND: return any_kind_named(set, card);
    case FIELD_TAG:
    case FIELD_THEME: return any_tag_named(instance, cache, t, card);
    case FIELD_NAME: return value_set_has_id(set, (int)c);
    case FIELD_WISHES: return any_wisher_named(test, card);
    case FIELD_COLUMN:
        *blank = instance->cache->column[cache->column[t]].kind[c] == CELL_BLANK;
        return !*blank && column_matches(instance, set, cache->column[t], c);
    case FIELD_PLAYABLE: return share_in_range(test, instance->playable[c], instance->decks);
    case FIELD_ROLE:
    case FIELD_WEIGHT:
    case FIELD_COST:
    case FIELD_POWER:
    case FIELD_PRICE:
    case FIELD_FIT:
    case FIELD_COPIES:
    case FIELD_THEMES:
        *blank = !field_number(instance, test->field, c, &number);
        return !*blank && value_set_has_number(set, number);
    }
    return false;
}

static bool is_role_test(const FilterTest *test)
{
    return test->field == FIELD_ROLE || test->field == FIELD_WEIGHT;
}

static bool plain_tests_hold(const Instance *instance, const FilterCache *cache, size_t card)
{
    for (size_t t = 0; t < cache->filter->tests; t++) {
        const FilterTest *test = &cache->filter->test[t];
        bool blank = false;
        if (!is_role_test(test) && (test_matches(instance, cache, t, card, &blank) == test->negated || blank))
            return false;
    }
    return true;
}

/* ---- role and weight ---- */

static bool role_matches(int wanted, Role role)
{
    if (wanted == ROLE_ENABLER)
        return role_is_enabler(role);
    if (wanted == ROLE_PAYOFF)
        return role_is_payoff(role);
    return wanted == (int)role;
}

static bool role_test_matches(const FilterCache *cache, size_t t, const CardTag *tag)
{
    const FilterTest *test = &cache->filter->test[t];
    if (test->field == FIELD_WEIGHT)
        return value_set_has_number(&cache->set[t], tag->weight);
    for (size_t v = 0; v < test->values; v++)
        if (role_matches(cache->id[t][v], tag->role))
            return true;
    return false;
}

/* Do all role and weight tests that ask for something match the tag? */
static bool tag_is_asked_for(const FilterCache *cache, const CardTag *tag)
{
    for (size_t t = 0; t < cache->filter->tests; t++) {
        const FilterTest *test = &cache->filter->test[t];
        if (is_role_test(test) && !test->negated && !role_test_matches(cache, t, tag))
            return false;
    }
    return true;
}

/* Does any that denies something? */
static bool tag_is_denied(const FilterCache *cache, const CardTag *tag)
{
    for (size_t t = 0; t < cache->filter->tests; t++) {
        const FilterTest *test = &cache->filter->test[t];
        if (is_role_test(test) && test->negated && role_test_matches(cache, t, tag))
            return true;
    }
    return false;
}

/* The test that says of which tags role and weight speak; -1: of all. */
static int naming_test(const Filter *filter)
{
    int found = -1;
    for (size_t t = 0; t < filter->tests; t++) {
        if (filter->test[t].negated)
            continue;
        if (filter->test[t].field == FIELD_THEME)
            return (int)t;
        if (filter->test[t].field == FIELD_TAG)
            found = (int)t;
    }
    return found;
}

static bool role_tests_hold(const Instance *instance, const FilterCache *cache, const Card *card)
{
    int naming = naming_test(cache->filter);
    bool asked = false, denied = false;
    for (size_t i = 0; i < card->tags; i++) {
        if (naming >= 0 && !names_tag(instance, cache, (size_t)naming, card->tag[i].tag))
            continue;
        asked = asked || tag_is_asked_for(cache, &card->tag[i]);
        denied = denied || tag_is_denied(cache, &card->tag[i]);
    }
    return asked && !denied;
}

static const CardTag *member_tag(const Instance *instance, const RuleMember *member, size_t card)
{
    return instance_theme_tag(instance, (size_t)member->theme, card);
}

/* ---- the room's questions ---- */

bool prepare_filter(const InstanceBuilder *builder, const Filter *filter)
{
    Instance *instance = builder->instance;
    InstanceCache *all = instance->cache;
    const size_t cards = instance->cards->count;
    const size_t id = (size_t)filter->id;
    const size_t known = all->filters;
    mem_reserve((void **)&all->filter, &all->capacity, id, sizeof *all->filter);
    for (size_t i = known; i < id; i++)
        all->filter[i] = (FilterCache){0};
    if (id > known)
        all->filters = id;
    FilterCache cache = {.filter = filter};
    cache.id = arena_alloc(instance->arena, filter->tests, sizeof *cache.id);
    cache.set = arena_alloc(instance->arena, filter->tests, sizeof *cache.set);
    cache.any_theme = arena_alloc(instance->arena, filter->tests, sizeof *cache.any_theme);
    cache.column = arena_alloc(instance->arena, filter->tests, sizeof *cache.column);
    bool sound = true;
    for (size_t t = 0; t < filter->tests; t++) {
        const FilterTest *test = &filter->test[t];
        cache.has_role = cache.has_role || is_role_test(test);
        cache.id[t] = arena_alloc(instance->arena, test->values, sizeof **cache.id);
        for (size_t v = 0; v < test->values; v++) {
            const bool any = test->field == FIELD_THEME && strcmp(test->value[v].folded, "any") == 0;
            cache.any_theme[t] = cache.any_theme[t] || any;
            cache.id[t][v] = any ? -1 : resolve_value(builder, test, &test->value[v]);
        }
        value_set_init(&cache.set[t], test, cache.id[t], instance->arena);
        if (test->field == FIELD_COLUMN)
            sound = prepare_column(builder, test, &cache.column[t]) && sound;
    }
    if (!sound)
        return false;
    cache.plain = arena_alloc(instance->arena, cards, sizeof *cache.plain);
    cache.full = cache.has_role ? arena_alloc(instance->arena, cards, sizeof *cache.full) : cache.plain;
    for (size_t c = 0; c < cards; c++) {
        cache.plain[c] = plain_tests_hold(instance, &cache, c);
        if (cache.has_role)
            cache.full[c] = cache.plain[c] && role_tests_hold(instance, &cache, &instance->cards->card[c]);
    }
    all->filter[id - 1] = cache;
    return true;
}

bool instance_prepare_filter(Instance *instance, const Filter *filter, Diags *diags)
{
    InstanceBuilder builder = {.instance = instance, .diags = diags};
    return prepare_filter(&builder, filter);
}

static const FilterCache *cache_of(const Instance *instance, const Filter *filter)
{
    assert(filter->id > 0 && (size_t)filter->id <= instance->cache->filters);
    const FilterCache *cache = &instance->cache->filter[filter->id - 1];
    assert(cache->plain != NULL);
    return cache;
}

bool filter_passes(const Instance *instance, const Filter *filter, const RuleMember *member, size_t card)
{
    const FilterCache *cache = cache_of(instance, filter);
    if (!cache->has_role || member == NULL || member->theme < 0)
        return cache->full[card];
    if (!cache->plain[card])
        return false;
    const CardTag *tag = member_tag(instance, member, card);
    return tag != NULL && tag_is_asked_for(cache, tag) && !tag_is_denied(cache, tag);
}

bool filter_tag_weight(const Instance *instance, const Filter *filter, const RuleMember *member, size_t card,
                       int64_t *weight)
{
    if (member != NULL && member->theme >= 0) {
        const CardTag *tag = member_tag(instance, member, card);
        *weight = tag == NULL ? 0 : tag->weight;
        return tag != NULL;
    }
    const FilterCache *cache = cache_of(instance, filter);
    const Card *candidate = &instance->cards->card[card];
    int naming = naming_test(filter);
    bool found = false;
    *weight = 0;
    for (size_t i = 0; i < candidate->tags; i++) {
        const CardTag *tag = &candidate->tag[i];
        if (naming >= 0 && !names_tag(instance, cache, (size_t)naming, tag->tag))
            continue;
        if (!tag_is_asked_for(cache, tag) || tag_is_denied(cache, tag))
            continue;
        *weight += tag->weight;
        found = true;
    }
    return found;
}
