/* card_words.c - see card_words.h. */
#include "model/card_words.h"

static bool is_map(const ReadContext *context, const YamlNode *node, int key)
{
    if (node == NULL || yaml_is_empty(node))
        return false;
    if (node->kind != NODE_MAP)
        report_unexpected(context, node, scenario_fields.field[key].value);
    return node->kind == NODE_MAP;
}

static CardWord word_at(const YamlPair *pair)
{
    return (CardWord){.name = {.name = pair->key->text, .comment = pair->key->comment, .at = pair->key->at},
                      .trial = DAY_UNKNOWN};
}

CardWord *card_words_read(const ReadContext *context, const YamlNode *trial, const YamlNode *never, size_t *count)
{
    const bool trials = is_map(context, trial, SCENARIO_TRIAL), nevers = is_map(context, never, SCENARIO_NEVER);
    CardWord *word =
        arena_alloc(context->arena, (trials ? trial->count : 0) + (nevers ? never->count : 0) + 1, sizeof *word);
    const char *day;
    *count = 0;
    for (size_t k = 0; trials && k < trial->count; k++) {
        const YamlNode *value = trial->pair[k].value;
        word[*count] = word_at(&trial->pair[k]);
        if (read_text(context, value, "a day such as 2026-06-01", &day) && !date_parse(day, &word[*count].trial))
            report_unexpected(context, value, "a day such as 2026-06-01");
        *count += word[*count].trial != DAY_UNKNOWN;
    }
    for (size_t k = 0; nevers && k < never->count; k++) {
        word[*count] = word_at(&never->pair[k]);
        *count += read_text(context, never->pair[k].value, "why the card is never in", &word[*count].never);
    }
    return word;
}

static YamlNode *name_node(Arena *arena, const NameAt *name)
{
    YamlNode *node = yaml_text_node(arena, name->name, name->at);
    node->comment = name->comment;
    return node;
}

/* The list with the names of words behind it. */
static const YamlNode *with_words(const Scenario *scenario, const YamlNode *list, bool never)
{
    YamlNode *all = NULL;
    for (size_t k = 0; k < scenario->words; k++) {
        const CardWord *word = &scenario->word[k];
        if (never ? word->never == NULL : word->trial == DAY_UNKNOWN || word->trial <= scenario->day)
            continue;
        if (all == NULL) {
            const NodeItems items = list != NULL ? node_items(list) : (NodeItems){0};
            all = yaml_list_node(scenario->arena, word->name.at);
            for (size_t i = 0; i < items.count; i++)
                yaml_list_add(scenario->arena, all, (YamlNode *)(uintptr_t)node_item(&items, i));
        }
        yaml_list_add(scenario->arena, all, name_node(scenario->arena, &word->name));
    }
    return all != NULL ? all : list;
}

const YamlNode *card_words_keep(const Scenario *scenario, const YamlNode *keep)
{
    return with_words(scenario, keep, false);
}

const YamlNode *card_words_ban(const Scenario *scenario, const YamlNode *ban)
{
    return with_words(scenario, ban, true);
}
