/* answer_count.c - what a limit would count that is not there yet. */
#include <string.h>

#include "ask/open_scenario.h"
#include "report/json/json.h"
#include "report/words/limit_words.h"

void asked_add_reach(const Limit *limit, const LimitReach *reach, json_t *item)
{
    json_object_set_new(item, "candidates", json_count(reach->candidates));
    if (reach->has_least)
        json_object_set_new(item, "least", json_measure(limit->measure, reach->least));
    if (reach->has_most)
        json_object_set_new(item, "most", json_measure(limit->measure, reach->most));
    json_object_set_new(item, "possible", json_boolean(reach->possible));
}

static bool has_bound(const YamlNode *rule)
{
    for (size_t i = 0; i < rule->count; i++)
        if (field_index(&bound_fields, rule->pair[i].key->text) >= 0 || strcmp(rule->pair[i].key->text, "for") == 0)
            return true;
    return false;
}

static void add_word(Arena *arena, YamlNode *map, const char *key, const char *value)
{
    yaml_map_add(arena, map, yaml_text_node(arena, key, map->at), yaml_text_node(arena, value, map->at));
}

/* The rule with a name and a bound, as a layer of a model. *name is its own. */
static YamlNode *rule_layer(const Asked *asked, const YamlNode *rule, const char **name)
{
    Arena *arena = asked->context.arena;
    const YamlNode *own = yaml_get(rule, rule_fields.field[RULE_NAME].name);
    YamlNode *layer = yaml_map_node(arena, rule->at), *list = yaml_list_node(arena, rule->at),
             *copy = yaml_map_node(arena, rule->at);
    for (size_t i = 0; i < rule->count; i++)
        yaml_map_add(arena, copy, rule->pair[i].key, rule->pair[i].value);
    *name = own != NULL && own->kind == NODE_TEXT ? own->text : "new limit";
    if (own == NULL)
        add_word(arena, copy, rule_fields.field[RULE_NAME].name, *name);
    if (!has_bound(rule))
        add_word(arena, copy, rule_fields.field[RULE_AT_LEAST].name, "0");
    yaml_list_add(arena, list, copy);
    yaml_map_add(arena, layer, yaml_text_node(arena, model_fields.field[MODEL_RULES].name, rule->at), list);
    return layer;
}

/* The copies of the pool that the member counts. */
static int64_t counted(const Instance *in, const RuleMember *member, const int *copies)
{
    int64_t sum = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (copies[c] > 0 && member_counts(in, member, c))
            sum += copies[c];
    return sum;
}

static json_t *members_json(const Instance *in, const char *folded, const int *copies)
{
    PoolCheck check;
    json_t *list = json_array();
    LimitReach *reach = mem_new(in->limits, sizeof *reach);
    limit_reach(in, reach);
    pool_check(in, copies, &check);
    for (size_t u = 0; u < check.uses; u++) {
        const Limit *limit = check.use[u].limit;
        if (limit->kind != LIMIT_RULE || strcmp(limit->member->rule->folded, folded) != 0)
            continue;
        json_t *item = limit_use_json(&check.use[u]);
        asked_add_reach(limit, &reach[limit - in->limit], item);
        json_object_set_new(item, "in_pool", json_integer(counted(in, limit->member, copies)));
        json_array_append_new(list, item);
    }
    pool_check_release(&check);
    mem_free(reach);
    return list;
}

json_t *answer_count(Asked *asked)
{
    const YamlNode *rule = question_value(asked->question, QUESTION_RULE);
    const char *name;
    int *copies;
    if (rule == NULL || rule->kind != NODE_MAP) {
        diag_error(asked->diags, rule != NULL ? rule->at : asked->question->root->at,
                   "the question has no 'rule', expected %s", question_fields.field[QUESTION_RULE].value);
        return NULL;
    }
    asked->layer[asked->overrides.changes++] = rule_layer(asked, rule, &name);
    if (!asked_load(asked) || !asked_from(asked, &copies))
        return NULL;
    const Instance *in = asked->loaded.instance;
    if (copies == NULL && !asked_base(asked, &copies))
        return NULL;
    json_t *root = json_object();
    json_object_set_new(root, "members", members_json(in, text_fold_in(asked->context.arena, name), copies));
    json_object_set_new(root, "notices", json_notices(asked->diags));
    return root;
}
