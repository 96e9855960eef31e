/* answer_model.c - the model of a state: what holds in it, and what a new limit may use. */
#include <string.h>

#include "ask/open_scenario.h"
#include "base/files/file.h"
#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/words/glossary.h"
#include "report/words/limit_words.h"

static json_t *texts_json(const char *const *text, size_t count)
{
    json_t *list = json_array();
    for (size_t k = 0; k < count; k++)
        json_array_append_new(list, json_string(text[k]));
    return list;
}

static json_t *words_json(const FieldTable *table)
{
    json_t *list = json_array();
    for (size_t k = 0; k < table->count; k++)
        json_array_append_new(list, json_string(table->field[k].name));
    return list;
}

/* As it may be written again: an engine is replaced as a whole. */
static json_t *engine_json(const Engine *engine)
{
    json_t *item = json_object(), *band = json_object();
    json_object_set_new(item, "bonus", json_number_of(engine->bonus));
    json_object_set_new(item, "ratio", json_number_of(engine->ratio));
    if (engine->has_from)
        json_object_set_new(band, "from", json_number_of(engine->from));
    if (engine->has_to)
        json_object_set_new(band, "to", json_number_of(engine->to));
    if (engine->has_from || engine->has_to)
        json_object_set(item, "enablers_per_payoff", band);
    json_decref(band);
    return item;
}

static json_t *themes_json(const Model *model, Arena *arena)
{
    json_t *list = json_array();
    for (size_t t = 0; t < model->themes; t++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(model->theme[t].name));
        json_object_set_new(item, "colours", json_string(model_mask_name(model, model->theme[t].colours, arena)));
        json_object_set_new(item, "weight", json_number_of(model->theme[t].weight));
        if (model->structure->shape[t].engine.on)
            json_object_set_new(item, "engine", engine_json(&model->structure->shape[t].engine));
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *weights_json(const Model *model)
{
    json_t *list = json_array();
    for (size_t t = 0; t < model->themes; t++)
        json_array_append_new(list, json_number_of(model->theme[t].weight));
    return list;
}

/* All by which a form adds to the fit of a pool: where two states have the same forms, they add the same. */
static json_t *form_json(const Instance *in, const Form *form)
{
    json_t *item = json_object(), *steps = json_array(), *cards = json_array();
    for (size_t k = 0; k < form->steps; k++)
        json_array_append_new(steps, json_pack("{s:I, s:o}", "width", (json_int_t)form->step[k].width, "value",
                                               json_number_of(form->step[k].value)));
    for (size_t k = 0; k < form->cards; k++) {
        json_t *card = json_pack("{s:s}", "name", in->cards->card[form->card[k]].name);
        if (form->part != NULL)
            json_object_set_new(card, "part", json_integer(form->part[k] + 1));
        json_array_append_new(cards, card);
    }
    json_object_set_new(item, "name", json_string(form->name));
    json_object_set_new(item, "kind", json_string(form_kind_name(form->kind)));
    json_object_set_new(item, "gain", json_number_of(form->gain));
    json_object_set_new(item, "ratio", json_number_of(form->ratio));
    json_object_set_new(item, "steps", steps);
    json_object_set_new(item, "cards", cards);
    json_object_set_new(item, "at_most", json_integer(form->most));
    if (form->kind == FORM_THEME_FIT)
        json_object_set_new(item, "weight", json_number_of(in->model->theme[form->theme].weight));
    if (form->kind == FORM_EVENNESS || form->kind == FORM_PLACE_FIT)
        json_object_set_new(item, "weights", weights_json(in->model));
    return item;
}

static json_t *forms_json(const Instance *in)
{
    json_t *list = json_array();
    for (size_t f = 0; f < in->forms; f++)
        json_array_append_new(list, form_json(in, &in->form[f]));
    return list;
}

static json_t *pairs_json(const Model *model, Arena *arena)
{
    json_t *list = json_array();
    for (size_t k = 0; k < model_pairs(model); k++)
        json_array_append_new(list, json_string(model_mask_name(model, model_pair(model, k), arena)));
    return list;
}

/* What a change names the limit by, where that is not the limit's own name: choices have one for all their pairs. */
static void add_choose(const Structure *structure, const Limit *limit, json_t *item)
{
    for (size_t i = 0; limit->kind == LIMIT_CHOICE && i < structure->chooses; i++)
        if (structure->choose[i].at.line == limit->at.line && structure->choose[i].at.column == limit->at.column &&
            strcmp(structure->choose[i].at.file, limit->at.file) == 0)
            json_object_set_new(item, "choose", json_string(structure->choose[i].name));
}

static json_t *limits_json(const Instance *in)
{
    json_t *list = json_array();
    LimitReach *reach = mem_new(in->limits, sizeof *reach);
    limit_reach(in, reach);
    for (size_t k = 0; k < in->limits; k++) {
        const Limit *limit = &in->limit[k];
        if (!limit_asks(limit))
            continue;
        json_t *item = limit_json(limit, &limit->bounds);
        json_object_set_new(item, "title", json_string(limit->title));
        asked_add_reach(limit, &reach[k], item);
        if (limit->soft)
            json_object_set_new(item, "soft", json_number_of(limit->member->rule->soft));
        add_choose(in->model->structure, limit, item);
        limit_json_place(limit, item);
        json_array_append_new(list, item);
    }
    mem_free(reach);
    return list;
}

/* As it is written: every value is text. */
static json_t *written_json(const YamlNode *node)
{
    if (node->kind == NODE_TEXT)
        return yaml_is_empty(node) ? json_null() : json_string(node->text);
    json_t *value = node->kind == NODE_LIST ? json_array() : json_object();
    for (size_t i = 0; i < node->count; i++)
        if (node->kind == NODE_LIST)
            json_array_append_new(value, written_json(node->item[i]));
        else
            json_object_set_new(value, node->pair[i].key->text, written_json(node->pair[i].value));
    return value;
}

static json_t *cases_json(const Scenario *scenario)
{
    json_t *list = json_array();
    for (size_t k = 0; k < scenario->cases_count; k++) {
        const CaseAt *one = &scenario->cases[k];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(one->name));
        if (one->change != NULL)
            json_object_set_new(item, "change", written_json(one->change));
        if (one->written != NULL)
            json_object_set_new(item, "cards", written_json(one->written));
        json_t *files = one->files > 0 ? json_array() : NULL;
        for (size_t f = 0; f < one->files; f++)
            json_array_append_new(files, json_string(path_last(one->file[f].path)));
        if (files != NULL)
            json_object_set_new(item, "files", files);
        json_array_append_new(list, item);
    }
    return list;
}

/* What `where` takes, and what may stand there where that is a list. */
static json_t *fields_json(const Instance *in)
{
    const struct {
        const char *name;
        json_t *values;
    } known[] = {{"class", words_json(&class_words)},
                 {"role", words_json(&role_words)},
                 {"colours", texts_json(in->model->colour, in->model->colours)},
                 {"kind", texts_json(in->cards->kind, in->cards->kinds)},
                 {"tag", texts_json(in->cards->tag, in->cards->tags)},
                 {"theme", texts_json(in->model->theme_name, in->model->themes)}};
    json_t *list = json_array();
    for (size_t k = 0; k < filter_fields.count; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(filter_fields.field[k].name));
        json_object_set_new(item, "expected", json_string(filter_fields.field[k].value));
        for (size_t v = 0; v < sizeof known / sizeof *known; v++)
            if (strcmp(known[v].name, filter_fields.field[k].name) == 0)
                json_object_set(item, "values", known[v].values);
        json_array_append_new(list, item);
    }
    for (size_t v = 0; v < sizeof known / sizeof *known; v++)
        json_decref(known[v].values);
    return list;
}

static json_t *measures_json(void)
{
    json_t *list = json_array();
    for (size_t k = 0; k < measure_words.count; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(measure_words.field[k].name));
        json_object_set_new(item, "expected", json_string(measure_words.field[k].value));
        json_array_append_new(list, item);
    }
    return list;
}

/* The user's own columns: fields of `where`, and measures where they hold numbers. */
static json_t *columns_json(const CardSet *cards)
{
    json_t *list = json_array();
    for (size_t k = 0; k < cards->columns; k++)
        if (cards->own[k])
            json_array_append_new(list, json_string(cards->column[k]));
    return list;
}

/* How sheets are written beside these. */
static json_t *style_json(const Instance *in)
{
    const CardSet *cards = in->cards;
    const char separator[2] = {sheet_separator(cards), '\0'};
    Text begin = {0};
    sheet_begin(&begin, cards);
    json_t *headers = json_object();
    for (size_t k = 0; k < in->model->maps; k++)
        json_object_set_new(headers, in->model->map_field[k], json_string(in->model->map_header[k]));
    json_t *words = json_object();
    for (size_t k = 0; k < in->model->habits.own_words; k++)
        json_object_set_new(words, in->model->habits.own_word[k].word,
                            json_string(in->model->habits.own_word[k].meant));
    json_t *style = json_pack("{s:s, s:b, s:b, s:o, s:o}", "separator", separator, "decimal_commas",
                              sheet_has_commas(cards), "marked", begin.length > 0, "headers", headers, "words", words);
    text_release(&begin);
    return style;
}

/* The sheet of changes: its name, and where it is once it is there. */
static json_t *journal_json(const Scenario *scenario)
{
    const char *path = scenario->journal.path;
    if (path == NULL)
        return json_null();
    json_t *journal = json_pack("{s:s}", "name", path_last(path));
    if (scenario->has_journal)
        json_object_set_new(journal, "file", json_string(path));
    return journal;
}

json_t *answer_model(Asked *asked)
{
    if (!asked_load(asked))
        return NULL;
    const Instance *in = asked->loaded.instance;
    const Model *model = in->model;
    Arena *arena = asked->context.arena;
    json_t *root = json_object(), *size = json_object(), *seats = json_object();
    json_object_set_new(size, "from", json_integer(model->size_from));
    json_object_set_new(size, "to", json_integer(model->size_to));
    json_object_set_new(seats, "seats", json_integer(model->seats));
    json_object_set_new(seats, "packs", json_integer(model->packs));
    json_object_set_new(seats, "pack_size", json_integer(model->pack_size));
    json_object_set_new(root, "size", size);
    json_object_set_new(root, "cap", model->has_cap ? json_money(model->cap_stated) : json_null());
    json_object_set_new(root, "handling", json_money(model->handling));
    json_object_set_new(root, "currency", json_string_or_null(model->currency));
    json_object_set_new(root, "colours", texts_json(model->colour, model->colours));
    json_object_set_new(root, "pairs", pairs_json(model, arena));
    json_object_set_new(root, "themes", themes_json(model, arena));
    json_object_set_new(root, "forms", forms_json(in));
    json_object_set_new(root, "limits", limits_json(in));
    json_object_set_new(root, "seats", model->seats > 0 ? seats : json_null());
    if (model->seats == 0)
        json_decref(seats);
    json_object_set_new(root, "cases", cases_json(asked->loaded.scenario));
    json_object_set_new(root, "present", json_boolean(in->has_present));
    json_object_set_new(root, "journal", journal_json(asked->loaded.scenario));
    json_object_set_new(root, "sheets", style_json(in));
    json_object_set_new(root, "each", words_json(&each_words));
    json_object_set_new(root, "scope", words_json(&scope_words));
    json_object_set_new(root, "bounds", words_json(&bound_fields));
    json_object_set_new(root, "fields", fields_json(in));
    json_object_set_new(root, "columns", columns_json(in->cards));
    json_object_set_new(root, "measures", measures_json());
    json_object_set_new(root, "unscored", json_number_of(model->unscored));
    json_object_set_new(root, "notices", json_notices(asked->diags));
    return root;
}

json_t *answer_words(Asked *asked)
{
    (void)asked;
    return glossary_json(NULL);
}
