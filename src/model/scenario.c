/* scenario.c - from a subject and the command line to a model: the layers in their order, and every case tried, so that
 * all errors of a run come at once. */
#include "model/scenario_inner.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/card_words.h"
#include "model/case_edits.h"
#include "model/language/compose.h"
#include "model/sheets/targets.h"

/* ---- files that the command line names ---- */

static void override_prices(Inputs *inputs)
{
    Scenario *scenario = inputs->scenario;
    const Overrides *overrides = inputs->overrides;
    scenario->own_prices = scenario->prices;
    scenario->own_prices_count = scenario->prices_count;
    scenario->today = overrides->has_today ? overrides->today : DAY_UNKNOWN;
    scenario->day = overrides->has_today ? overrides->today : overrides->clock != 0 ? overrides->clock : day_of_clock();
    if (overrides->prices_count == 0)
        return;
    scenario->prices = arena_alloc(scenario->arena, overrides->prices_count, sizeof *scenario->prices);
    scenario->prices_count = overrides->prices_count;
    for (size_t i = 0; i < overrides->prices_count; i++)
        scenario->prices[i].path = arena_strdup(scenario->arena, overrides->prices[i]);
}

static void read_model_files(Inputs *inputs)
{
    const Overrides *overrides = inputs->overrides;
    const Slot *slot = &inputs->slot[SCENARIO_MODEL];
    const char *name = overrides->model;
    const char *beside = NULL;
    SourcePos at = {0};
    if (name == NULL) {
        if (slot->key == NULL ||
            !read_text(&inputs->context, slot->value, scenario_fields.field[SCENARIO_MODEL].value, &name))
            return;
        beside = inputs->scenario->path;
        at = slot->value->at;
    }
    const ModelSource source = {
        .folder = overrides->model_folders, .folders = overrides->model_folder_count, .files = inputs->scenario->files};
    const ModelChain *chain = &inputs->chain;
    model_chain_read(&inputs->context, &source, name, beside, at, &inputs->chain);
    const char **models = arena_alloc(inputs->scenario->arena, chain->count, sizeof *models);
    for (size_t i = 0; i < chain->count; i++)
        models[i] = chain->path[i];
    inputs->scenario->models = models;
    inputs->scenario->models_count = chain->count;
}

static void read_target_sheets(Inputs *inputs)
{
    const Scenario *scenario = inputs->scenario;
    const SheetUse targets = {.what = "targets", .fits = targets_fit};
    inputs->target = arena_alloc(scenario->arena, scenario->targets_count, sizeof *inputs->target);
    for (size_t i = 0; i < scenario->targets_count; i++)
        if (sheet_read_for(scenario->arena, scenario->files, scenario->targets[i].path, scenario->targets[i].at,
                           &targets, &inputs->target[inputs->targets], inputs->context.diags))
            inputs->targets++;
}

static void add_sheets(Scenario *scenario, const PathAt *sheet, size_t sheets)
{
    if (sheets == 0)
        return;
    PathAt *cards = arena_alloc(scenario->arena, scenario->cards_count + sheets, sizeof *cards);
    if (scenario->cards_count > 0)
        memcpy(cards, scenario->cards, scenario->cards_count * sizeof *cards);
    memcpy(cards + scenario->cards_count, sheet, sheets * sizeof *cards);
    scenario->cards_count += sheets;
    scenario->cards = cards;
}

static void add_more_cards(Inputs *inputs)
{
    if (inputs->overrides->more_cards == NULL)
        return;
    PathAt sheet = {.path = arena_strdup(inputs->scenario->arena, inputs->overrides->more_cards)};
    add_sheets(inputs->scenario, &sheet, 1);
}

/* What the case in force changes about candidates. */
static void take_case_cards(Scenario *scenario, const CaseAt *chosen)
{
    if (chosen == NULL)
        return;
    scenario->edit = chosen->edit;
    scenario->edits = chosen->edits;
    add_sheets(scenario, chosen->file, chosen->files);
}

/* ---- layers ---- */

static YamlNode *names_node(Arena *arena, const char *const *name, size_t count)
{
    YamlNode *list = yaml_list_node(arena, (SourcePos){0});
    for (size_t i = 0; i < count; i++)
        yaml_list_add(arena, list, yaml_text_node(arena, name[i], (SourcePos){0}));
    return list;
}

static void add_pair(Arena *arena, YamlNode *map, const char *key, YamlNode *value)
{
    yaml_map_add(arena, map, yaml_text_node(arena, key, (SourcePos){0}), value);
}

static YamlNode *command_line_node(Arena *arena, const Overrides *overrides)
{
    SourcePos nowhere = {0};
    YamlNode *map = yaml_map_node(arena, nowhere);
    if (overrides->has_size) {
        YamlNode *band = yaml_map_node(arena, nowhere);
        add_pair(arena, band, "from", yaml_text_node(arena, arena_printf(arena, "%d", overrides->size_from), nowhere));
        add_pair(arena, band, "to", yaml_text_node(arena, arena_printf(arena, "%d", overrides->size_to), nowhere));
        add_pair(arena, map, model_fields.field[MODEL_SIZE].name, band);
    }
    if (overrides->has_cap || overrides->no_cap) {
        char number[NUMBER_TEXT];
        const char *cap = overrides->no_cap ? "none" : number_format(number, overrides->cap, 2, 2);
        add_pair(arena, map, model_fields.field[MODEL_CAP].name, yaml_text_node(arena, cap, nowhere));
    }
    add_pair(arena, map, model_fields.field[MODEL_KEEP].name, names_node(arena, overrides->keep, overrides->keeps));
    add_pair(arena, map, model_fields.field[MODEL_BAN].name, names_node(arena, overrides->ban, overrides->bans));
    add_pair(arena, map, model_fields.field[MODEL_WISH].name, names_node(arena, overrides->wish, overrides->wishes));
    return map;
}

/* The scenario's patterns as a layer of a model. */
static YamlNode *patterns_node(Arena *arena, const Slot *slot)
{
    YamlNode *map = yaml_map_node(arena, slot->key->at);
    yaml_map_add(arena, map, (YamlNode *)(uintptr_t)slot->key, (YamlNode *)(uintptr_t)slot->value);
    return map;
}

/* All layers, and the case's where it is not NULL. */
static Model *build_model(const Inputs *inputs, const YamlNode *case_change, Diags *diags)
{
    Arena *arena = inputs->context.arena;
    const YamlNode *change = inputs->slot[SCENARIO_CHANGE].value;
    Draft draft;
    draft_init(&draft, arena, diags);
    for (size_t i = 0; i < inputs->chain.count; i++)
        draft_lay(&draft, inputs->chain.root[i]);
    for (size_t i = 0; i < inputs->targets; i++)
        targets_lay(&draft, &inputs->target[i], change != NULL ? draft_peek_size(change) : 0);
    draft_lay_names(&draft, card_words_keep(inputs->scenario, inputs->slot[SCENARIO_KEEP].value),
                    card_words_ban(inputs->scenario, inputs->slot[SCENARIO_BAN].value),
                    inputs->slot[SCENARIO_WISH].value);
    if (inputs->slot[SCENARIO_PATTERNS].key != NULL)
        draft_lay(&draft, patterns_node(arena, &inputs->slot[SCENARIO_PATTERNS]));
    if (change != NULL)
        draft_lay(&draft, change);
    if (case_change != NULL)
        draft_lay(&draft, case_change);
    for (size_t i = 0; i < inputs->overrides->changes; i++)
        draft_lay(&draft, inputs->overrides->change[i]);
    draft_lay(&draft, command_line_node(arena, inputs->overrides));
    const char *path = inputs->chain.path[inputs->chain.count - 1];
    Model *model = model_compose(&draft, path, (SourcePos){.file = path, .line = 1, .column = 1});
    draft_release(&draft);
    return model;
}

/* Errors that only this case has; the base has none when this is called. */
static void try_case(const Inputs *inputs, const CaseAt *item)
{
    Diags found;
    diags_init(&found);
    build_model(inputs, item->change, &found);
    for (size_t i = 0; i < found.count; i++)
        if (found.item[i].kind == DIAG_ERROR)
            diag_error(inputs->context.diags, found.item[i].at, "in case '%s': %s", item->name, found.item[i].text);
    diags_release(&found);
}

/* What the question in force changes about candidates, behind what its case does. */
static void take_question_cards(Inputs *inputs)
{
    Scenario *scenario = inputs->scenario;
    size_t count = 0;
    const CardEdit *more = case_edits_read(&inputs->context, inputs->overrides->edit, &count);
    if (count == 0)
        return;
    CardEdit *all = arena_alloc(scenario->arena, scenario->edits + count, sizeof *all);
    if (scenario->edits > 0)
        memcpy(all, scenario->edit, scenario->edits * sizeof *all);
    memcpy(all + scenario->edits, more, count * sizeof *all);
    scenario->edit = all;
    scenario->edits += count;
}

static const char *known_cases(Arena *arena, const char *const *names, size_t count)
{
    const char *list = count > 0 ? "; known are" : "; it has none";
    for (size_t i = 0; i < count; i++)
        list = arena_printf(arena, "%s%s '%s'", list, i > 0 ? "," : "", names[i]);
    return list;
}

static const CaseAt *find_case(const Inputs *inputs)
{
    const Scenario *scenario = inputs->scenario;
    Arena *arena = inputs->context.arena;
    const char *wanted = inputs->overrides->case_name;
    const char **names = arena_alloc(arena, scenario->cases_count, sizeof *names);
    for (size_t i = 0; i < scenario->cases_count; i++)
        names[i] = scenario->cases[i].name;
    const long found = text_find(wanted, names, scenario->cases_count);
    if (found >= 0)
        return &scenario->cases[found];
    const char *near = text_nearest(wanted, names, scenario->cases_count);
    diag_error(inputs->context.diags, (SourcePos){0}, "the scenario has no case '%s'%s", wanted,
               near != NULL ? did_you_mean(near, arena) : known_cases(arena, names, scenario->cases_count));
    return NULL;
}

static void build_models(Inputs *inputs)
{
    Scenario *scenario = inputs->scenario;
    Diags *diags = inputs->context.diags;
    const CaseAt *chosen = inputs->overrides->case_name == NULL ? NULL : find_case(inputs);
    take_case_cards(scenario, chosen);
    if (inputs->overrides->edit != NULL)
        take_question_cards(inputs);
    for (size_t i = 0; i < inputs->overrides->changes; i++)
        scenario_refuse_extends(inputs, inputs->overrides->change[i]);
    if (inputs->chain.count == 0)
        return;
    scenario->model = build_model(inputs, chosen == NULL ? NULL : chosen->change, diags);
    if (scenario->model == NULL || diags->errors > 0)
        return;
    const char *cap = inputs->overrides->cap_text;
    if (cap != NULL &&
        !currency_alike(scenario->model->currency, scenario->model->met, "--cap: ", cap, (SourcePos){0}, diags))
        return;
    const bool tried = inputs->overrides->changes > 0; /* the cases are those that were tried without it */
    for (size_t i = 0; i < scenario->cases_count && !tried; i++)
        if (&scenario->cases[i] != chosen)
            try_case(inputs, &scenario->cases[i]);
}

Scenario *scenario_read(const char *subject, const Overrides *overrides, FileStore *files, Diags *diags)
{
    const size_t errors = diags->errors;
    Arena *arena = arena_new();
    Scenario *scenario = arena_alloc(arena, 1, sizeof *scenario);
    scenario->arena = arena;
    scenario->files = files;
    scenario->pool_owned = true;
    Inputs inputs = {.context = {.arena = arena, .diags = diags}, .scenario = scenario, .overrides = overrides};
    scenario_read_subject(&inputs, subject);
    override_prices(&inputs);
    add_more_cards(&inputs);
    read_model_files(&inputs);
    read_target_sheets(&inputs);
    build_models(&inputs);
    if (diags->errors == errors)
        return scenario;
    scenario_free(scenario);
    return NULL;
}

void scenario_free(Scenario *scenario)
{
    if (scenario != NULL)
        arena_free(scenario->arena);
}
