/* instance.c - a scenario's sheets read and matched with its model. The order matters: prices before patterns, tags
 * before themes, prices and fit before filters, `fixing` before classes, classes before rules. */
#include "model/instance/instance.h"

#include "model/case_edits.h"

static CardSet *read_cards(const Scenario *scenario, Diags *diags)
{
    const char **path = mem_new(scenario->cards_count, sizeof *path);
    SourcePos *from = mem_new(scenario->cards_count, sizeof *from);
    for (size_t i = 0; i < scenario->cards_count; i++) {
        path[i] = scenario->cards[i].path;
        from[i] = scenario->cards[i].at;
    }
    CardVocabulary vocabulary = model_vocabulary(scenario->model);
    vocabulary.habits = &scenario->model->habits;
    CardSet *cards = card_set_read(scenario->files, path, from, scenario->cards_count, &vocabulary, diags);
    mem_free(path);
    mem_free(from);
    return cards;
}

static void allocate(Instance *instance)
{
    Arena *arena = instance->arena;
    const size_t count = instance->cards->count;
    instance->class = arena_alloc(arena, count, sizeof *instance->class);
    instance->fit = arena_alloc(arena, count, sizeof *instance->fit);
    instance->unpriced = arena_alloc(arena, count, sizeof *instance->unpriced);
    instance->skipped = arena_alloc(arena, count, sizeof *instance->skipped);
    instance->price = arena_alloc(arena, count, sizeof *instance->price);
    instance->least = arena_alloc(arena, count, sizeof *instance->least);
    instance->most = arena_alloc(arena, count, sizeof *instance->most);
    instance->present = arena_alloc(arena, count, sizeof *instance->present);
    instance->paid_owned = arena_alloc(arena, count, sizeof *instance->paid_owned);
    instance->history = arena_alloc(arena, count, sizeof *instance->history);
    instance->listed = arena_alloc(arena, count, sizeof *instance->listed);
    instance->status = arena_alloc(arena, count, sizeof *instance->status);
    instance->status_at = arena_alloc(arena, count, sizeof *instance->status_at);
    instance->playable = arena_alloc(arena, count, sizeof *instance->playable);
    instance->cache = arena_alloc(arena, 1, sizeof *instance->cache);
    instance->cache->column = arena_alloc(arena, instance->cards->columns, sizeof *instance->cache->column);
}

static void match(const InstanceBuilder *builder)
{
    notice_totals(builder);
    merge_prices(builder);
    merge_owned(builder);
    read_history(builder);
    merge_tags(builder);
    case_edits_apply(builder);
    read_present_pool(builder);
    own_present_pool(builder);
    match_statuses(builder);
    case_edits_status(builder);
    compute_prices(builder);
    set_copies(builder);
    compute_playable(builder);
    apply_patterns(builder);
    match_themes(builder);
    notice_tags(builder);
    structure_themes(builder);
    compute_fit(builder);
    compute_class(builder);
    spread_members(builder);
    limits_begin(builder);
    structure_places(builder);
    match_exempts(builder);
    prepare_rules(builder);
    structure_forms(builder);
    limits_statuses(builder);
    notice_columns(builder);
    check_maps(builder);
}

Instance *instance_new(const Scenario *scenario, Diags *diags)
{
    const size_t errors = diags->errors;
    CardSet *cards = read_cards(scenario, diags);
    if (cards == NULL)
        return NULL;
    Arena *arena = arena_new();
    Instance *instance = arena_alloc(arena, 1, sizeof *instance);
    instance->arena = arena;
    instance->scenario = scenario;
    instance->model = scenario->model;
    instance->cards = cards;
    allocate(instance);
    InstanceBuilder builder = {.instance = instance, .diags = diags};
    match(&builder);
    if (diags->errors == errors)
        return instance;
    instance_free(instance);
    return NULL;
}

void instance_free(Instance *instance)
{
    if (instance == NULL)
        return;
    mem_free(instance->cache->filter);
    mem_free(instance->cache->near);
    mem_free(instance->clash);
    card_set_free(instance->cards);
    arena_free(instance->arena);
}
