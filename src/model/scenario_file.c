/* scenario_file.c - what the scenario's file says, or the cards sheet that stands for one. */
#include "model/scenario_inner.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "base/files/file.h"
#include "base/text.h"
#include "model/card_words.h"
#include "model/case_edits.h"
#include "model/paths.h"

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

void scenario_refuse_extends(const Inputs *inputs, const YamlNode *change)
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
        scenario_refuse_extends(inputs, slot[CASE_CHANGE].value);
    if (slot[CASE_CARDS].key != NULL)
        item->edit = case_edits_read(context, slot[CASE_CARDS].value, &item->edits);
    item->file = read_path_list(inputs, &slot[CASE_FILES], &item->files);
    if (strcmp(text_fold_in(context->arena, item->name), "base") == 0)
        diag_error(
            context->diags, item->at,
            "found a case named '%s', which is what the scenario without a case is called, expected another name",
            item->name);
    for (size_t i = 0; i < scenario->cases_count; i++)
        if (strcmp(text_fold_in(context->arena, scenario->cases[i].name), text_fold_in(context->arena, item->name)) ==
            0)
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

/* The keys of a model, and none of those that a scenario must have. */
static bool is_model(const YamlNode *root)
{
    return yaml_get(root, scenario_fields.field[SCENARIO_MODEL].name) == NULL &&
           yaml_get(root, scenario_fields.field[SCENARIO_CARDS].name) == NULL &&
           (yaml_get(root, model_fields.field[MODEL_SIZE].name) != NULL ||
            yaml_get(root, model_fields.field[MODEL_COLOURS].name) != NULL ||
            yaml_get(root, model_fields.field[MODEL_EXTENDS].name) != NULL);
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
    if (is_model(root)) {
        diag_error(context->diags, root->at,
                   "this is a model, expected a scenario, which names a model and cards; a cards sheet goes with it as "
                   "'CARDS.csv --model %s'",
                   scenario->path);
        return;
    }
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
        scenario_refuse_extends(inputs, inputs->slot[SCENARIO_CHANGE].value);
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
            text_shell_word(inputs->context.arena, subject));
}

void scenario_read_subject(Inputs *inputs, const char *subject)
{
    inputs->scenario->path = scenario_path(inputs->context.arena, subject);
    if (inputs->scenario->path != NULL)
        read_scenario_file(inputs, subject);
    else
        read_sheet_subject(inputs, subject);
}

bool scenario_is(const char *subject)
{
    return strcmp(subject, "-") != 0 && (is_folder(subject) || is_yaml(subject));
}
