/* causes_json.c - causes as JSON (docs/verbs.md). */
#include "report/explain_report.h"
#include "report/json/json.h"

static void set_word(json_t *item, const char *key, const char *word)
{
    if (word != NULL)
        json_object_set_new(item, key, json_string(word));
}

static json_t *cause_json(const Explain *e, const Cause *cause)
{
    json_t *item = json_object();
    json_object_set_new(item, "kind", json_string(cause_kind_name(cause->kind)));
    json_object_set_new(item, "proven", json_true());
    json_object_set_new(item, "limits", sides_json(e, cause->side, cause->sides));
    if (cause->withs > 0)
        json_object_set_new(item, "beside", sides_json(e, cause->with, cause->withs));
    set_word(item, "field", cause->field);
    set_word(item, "word", cause->word);
    set_word(item, "nearest", cause->nearest);
    if (cause->cards > 0)
        json_object_set_new(item, "cards", json_count(cause->cards));
    if (cause->of > 0)
        json_object_set_new(item, "of", json_count(cause->of));
    if (cause->kind == CAUSE_TOO_FEW)
        json_object_set_new(item, "most", json_measure(e->sides->side[cause->side[0]].limit->measure, cause->amount));
    if (cause->kind == CAUSE_SUM) {
        const bool most = e->sides->side[cause->against].low;
        json_object_set_new(item, most ? "most" : "least", json_integer(cause->amount));
        json_object_set_new(item, "against", side_json(&e->sides->side[cause->against]));
    }
    if (cause->has_money)
        json_object_set_new(item, "least_cap", range_json(&cause->money, true));
    if (cause->rest != REST_UNKNOWN)
        json_object_set_new(item, "enough", json_boolean(cause->rest == REST_POSSIBLE));
    return item;
}

json_t *causes_json(const Explain *e, const Causes *causes)
{
    json_t *list = json_array();
    Text text = {0};
    for (size_t k = 0; k < causes->causes; k++) {
        json_t *item = cause_json(e, &causes->cause[k]);
        text_clear(&text);
        cause_sentence(e, causes, k, &text);
        if (text.length > 0)
            json_object_set_new(item, "text", json_string(text_cstr(&text)));
        json_array_append_new(list, item);
    }
    text_release(&text);
    return list;
}
