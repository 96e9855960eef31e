/* scenario.c - from a subject and the command line to a model: the layers in their order, and every case tried, so that
 * all errors of a run come at once. */
#include "model/scenario.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/currency.h"
#include "base/files/file.h"
#include "base/number.h"
#include "base/text.h"
#include "model/card_words.h"
#include "model/case_edits.h"
#include "model/language/compose.h"
#include "model/model_files.h"
#include "model/paths.h"
#include "model/sheets/targets.h"

typedef struct {
    ReadContext context;
    Scenario *scenario;
    const Overrides *overrides;
    Slot slot[SCENARIO_KEYS];
    ModelChain chain;
    Sheet *target;
    size_t targets;
} Inputs;

/* ---- the scenario file ---- */

static bool is_folder(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

static bool is_yaml(const char *path)
{
    return text_ends_with(path, ".yaml") || text_ends_with(path, ".yml");
}

/* The scenario file's path, or NULL when the subject is a cards sheet. */
static const char *scenario_path(Arena *arena, const char *subject)
{
    if (strcmp(subject, "-") == 0)
        return NULL;
    if (is_folder(subject)) {
        size_t length = strlen(subject);
        while (length > 1 && subject[length - 1] == '/')
            length--;
        return arena_printf(arena, "%.*s/scenario.yaml", (int)length, subject);
    }
    return is_yaml(subject) ? arena_strdup(arena, subject) : NULL;
}

static PathAt *read_path_list(Inputs *inputs, const Slot *slot, size_t *count)
{
    *count = 0;
    if (slot->key == NULL)
        return NULL;
    NodeItems items = node_items(slot->value);
    PathAt *path = arena_alloc(inputs->context.arena, items.count, sizeof *path);
    for (size_t i = 0; i < items.count; i++) {
        const YamlNode *node = node_item(&items, i);
        const char *name = NULL;
        if (!read_text(&inputs->context, node, "the path of a sheet", &name))
            continue;
        path[(*count)++] =
            (PathAt){.path = path_beside(inputs->context.arena, inputs->scenario->path, name), .at = node->at};
    }
    return path;
}

static PathAt *read_paths(Inputs *inputs, int key, size_t *count)
{
    return read_path_list(inputs, &inputs->slot[key], count);
}

/* *path is as it was where nothing is said. */
static void read_sheet_path(const Inputs *inputs, int key, PathAt *path)
{
    const ReadContext *context = &inputs->context;
    const Slot *slot = &inputs->slot[key];
    const char *name = NULL;
    if (slot->key != NULL && !yaml_is_empty(slot->value) &&
        read_text(context, slot->value, scenario_fields.field[key].value, &name))
        *path = (PathAt){.path = path_beside(context->arena, inputs->scenario->path, name), .at = slot->value->at};
}

static void refuse_extends(const Inputs *inputs, const YamlNode *change)
{
    for (size_t i = 0; change->kind == NODE_MAP && i < change->count; i++)
        if (strcmp(change->pair[i].key->text, model_fields.field[MODEL_EXTENDS].name) == 0)
            diag_error(inputs->context.diags, change->pair[i].key->at,
                       "found 'extends' in a change, expected it only in a model file");
}

static void read_case(Inputs *inputs, const YamlNode *node)
{
    const ReadContext *context = &inputs->context;
    Scenario *scenario = inputs->scenario;
    Slot slot[CASE_KEYS] = {0};
    FieldsStatus status = fields_read(&case_fields, node, slot, context->arena, context->diags);
    if (status == FIELDS_BROKEN)
        return;
    const bool changes = slot[CASE_CHANGE].key != NULL || slot[CASE_CARDS].key != NULL || slot[CASE_FILES].key != NULL;
    if (slot[CASE_NAME].key == NULL || !changes) {
        if (status == FIELDS_READ)
            diag_error(context->diags, node->at, "a case has no '%s', expected {name: ..., change: {...}}",
                       case_fields.field[slot[CASE_NAME].key == NULL ? CASE_NAME : CASE_CHANGE].name);
        return;
    }
    CaseAt *item = &scenario->cases[scenario->cases_count];
    *item =
        (CaseAt){.at = slot[CASE_NAME].value->at, .change = slot[CASE_CHANGE].value, .written = slot[CASE_CARDS].value};
    if (!read_text(context, slot[CASE_NAME].value, "the name of a case", &item->name))
        return;
    if (slot[CASE_CHANGE].key != NULL)
        refuse_extends(inputs, slot[CASE_CHANGE].value);
    if (slot[CASE_CARDS].key != NULL)
        item->edit = case_edits_read(context, slot[CASE_CARDS].value, &item->edits);
    item->file = read_path_list(inputs, &slot[CASE_FILES], &item->files);
    if (strcmp(fold_in(context->arena, item->name), "base") == 0)
        diag_error(
            context->diags, item->at,
            "found a case named '%s', which is what the scenario without a case is called, expected another name",
            item->name);
    for (size_t i = 0; i < scenario->cases_count; i++)
        if (strcmp(fold_in(context->arena, scenario->cases[i].name), fold_in(context->arena, item->name)) == 0)
            diag_error(context->diags, item->at, "a case named '%s' is already there, in line %d; names must differ",
                       item->name, scenario->cases[i].at.line);
    scenario->cases_count++;
}

static void read_cases(Inputs *inputs)
{
    const Slot *slot = &inputs->slot[SCENARIO_CASES];
    if (slot->key == NULL || yaml_is_empty(slot->value))
        return;
    if (slot->value->kind != NODE_LIST) {
        report_unexpected(&inputs->context, slot->value, scenario_fields.field[SCENARIO_CASES].value);
        return;
    }
    inputs->scenario->cases = arena_alloc(inputs->context.arena, slot->value->count, sizeof *inputs->scenario->cases);
    for (size_t i = 0; i < slot->value->count; i++)
        read_case(inputs, slot->value->item[i]);
}

/* A folder without a scenario: said as that, not as a missing file that nobody named. */
static bool folder_holds_scenario(const Inputs *inputs, const char *subject)
{
    if (!is_folder(subject) || file_exists(inputs->scenario->path))
        return true;
    bool folder_there;
    char *nearest = file_nearest(inputs->scenario->path, &folder_there);
    diag_error(inputs->context.diags, (SourcePos){0}, "the folder '%s' holds no scenario.yaml, expected one%s", subject,
               nearest != NULL ? did_you_mean(nearest, inputs->context.arena) : "; `poolwright init FOLDER` makes one");
    mem_free(nearest);
    return false;
}

static void read_scenario_file(Inputs *inputs, const char *subject)
{
    Scenario *scenario = inputs->scenario;
    const ReadContext *context = &inputs->context;
    if (!folder_holds_scenario(inputs, subject))
        return;
    const YamlNode *root = yaml_read(context->arena, scenario->files, scenario->path, (SourcePos){0}, context->diags);
    if (root == NULL)
        return;
    FieldsStatus status = fields_read(&scenario_fields, root, inputs->slot, context->arena, context->diags);
    if (status == FIELDS_BROKEN)
        return;
    scenario->cards = read_paths(inputs, SCENARIO_CARDS, &scenario->cards_count);
    scenario->prices = read_paths(inputs, SCENARIO_PRICES, &scenario->prices_count);
    scenario->owned = read_paths(inputs, SCENARIO_OWNED, &scenario->owned_count);
    scenario->tags = read_paths(inputs, SCENARIO_TAGS, &scenario->tags_count);
    scenario->targets = read_paths(inputs, SCENARIO_TARGETS, &scenario->targets_count);
    if (status == FIELDS_READ && scenario->cards_count == 0 &&
        (inputs->slot[SCENARIO_CARDS].key == NULL || node_items(inputs->slot[SCENARIO_CARDS].value).count == 0))
        diag_error(context->diags, (SourcePos){.file = scenario->path, .line = 1, .column = 1},
                   "the scenario has no cards, expected a line such as 'cards: [cards.csv]'");
    if (status == FIELDS_READ && inputs->slot[SCENARIO_MODEL].key == NULL && inputs->overrides->model == NULL)
        diag_error(context->diags, (SourcePos){.file = scenario->path, .line = 1, .column = 1},
                   "the scenario has no model, expected a line such as 'model: four-360.yaml'");
    read_sheet_path(inputs, SCENARIO_POOL, &scenario->pool);
    scenario->journal.path = path_beside(context->arena, scenario->path, "journal.csv");
    read_sheet_path(inputs, SCENARIO_JOURNAL, &scenario->journal);
    scenario->has_journal = file_exists(sheet_file(context->arena, scenario->journal.path, NULL));
    scenario->word = card_words_read(context, inputs->slot[SCENARIO_TRIAL].value, inputs->slot[SCENARIO_NEVER].value,
                                     &scenario->words);
    if (inputs->slot[SCENARIO_POOL_OWNED].key != NULL)
        read_yes_no(context, inputs->slot[SCENARIO_POOL_OWNED].value, &scenario->pool_owned);
    if (inputs->slot[SCENARIO_CHANGE].key != NULL)
        refuse_extends(inputs, inputs->slot[SCENARIO_CHANGE].value);
    read_cases(inputs);
}

static void report_no_subject(const Inputs *inputs, const char *subject)
{
    bool folder_there;
    char *nearest = file_nearest(subject, &folder_there);
    diag_error(inputs->context.diags, (SourcePos){0},
               "found neither a file nor a folder '%s', expected a scenario or a cards sheet%s", subject,
               did_you_mean(nearest, inputs->context.arena));
    mem_free(nearest);
}

static void read_sheet_subject(Inputs *inputs, const char *subject)
{
    Scenario *scenario = inputs->scenario;
    scenario->cards = arena_alloc(scenario->arena, 1, sizeof *scenario->cards);
    scenario->cards[0].path = arena_strdup(scenario->arena, subject);
    scenario->cards_count = 1;
    struct stat info;
    const char *file = sheet_file(scenario->arena, subject, NULL);
    if (strcmp(file, "-") != 0 && stat(file, &info) != 0 && errno == ENOENT)
        report_no_subject(inputs, file);
    else if (inputs->overrides->model == NULL)
        diag_error(
            inputs->context.diags, (SourcePos){0},
            "a cards sheet needs a model: add --model NAME, for instance --model four-360, or let `poolwright import "
            "%s -o FOLDER` write one",
            subject);
}

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
        refuse_extends(inputs, inputs->overrides->change[i]);
    if (inputs->chain.count == 0)
        return;
    scenario->model = build_model(inputs, chosen == NULL ? NULL : chosen->change, diags);
    if (scenario->model == NULL || diags->errors > 0)
        return;
    const char *cap = inputs->overrides->cap_text;
    if (cap != NULL && !currency_fits(scenario->model->currency, "--cap: ", cap, (SourcePos){0}, diags))
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
    scenario->path = scenario_path(arena, subject);
    Inputs inputs = {.context = {.arena = arena, .diags = diags}, .scenario = scenario, .overrides = overrides};
    if (scenario->path != NULL)
        read_scenario_file(&inputs, subject);
    else
        read_sheet_subject(&inputs, subject);
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

bool scenario_is(const char *subject)
{
    return strcmp(subject, "-") != 0 && (is_folder(subject) || is_yaml(subject));
}

void scenario_free(Scenario *scenario)
{
    if (scenario != NULL)
        arena_free(scenario->arena);
}
