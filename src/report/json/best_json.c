/* best_json.c - an answer as JSON; the schema is in docs/verbs.md. */
#include "report/explain_report.h"
#include "report/json/json.h"
#include "report/json/pool_json.h"
#include "report/words/history.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "report/report.h"
#include "report/structure.h"
#include "report/list/watches.h"
#include "programme/count/pool_summary.h"

static json_t *pool_json(const Instance *in, const Answer *answer)
{
    json_t *list = json_array();
    CardVocabulary words = model_vocabulary(in->model);
    Arena *arena = arena_new();
    for (size_t c = 0; c < in->cards->count; c++) {
        if (answer->copies[c] <= 0)
            continue;
        const Card *card = &in->cards->card[c];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(card->name));
        json_object_set_new(item, "copies", json_integer(answer->copies[c]));
        json_object_set_new(item, "colours", json_string(colours_text(&words, &card->colours, arena)));
        json_object_set_new(item, "class", json_string(class_name(in->class[c])));
        json_object_set_new(item, "kind", json_kinds(in->cards, card));
        json_object_set_new(item, "cost", json_cost(card));
        json_object_set_new(item, "price", json_price(in, c));
        json_object_set_new(item, "fit", json_number_of(in->fit[c]));
        json_array_append_new(list, item);
    }
    arena_free(arena);
    return list;
}

static void add_pool_keys(const Instance *in, const Answer *answer, json_t *root)
{
    PoolSummary sum;
    pool_summary(in, answer, &sum);
    json_object_set_new(root, "pool", pool_json(in, answer));
    json_object_set_new(root, "rules", limit_uses_json(&answer->check));
    json_object_set_new(root, "exceptions", exceptions_json(in, answer->copies));
    make_up_json(in, &sum, root);
    json_object_set_new(root, "unscored", json_integer(sum.unscored));
    json_object_set_new(root, "unpriced", json_integer(sum.unpriced));
    json_object_set_new(root, "skipped", json_count(in->skipped_count));
    json_object_set_new(root, "watches", watches_json(in, answer->copies, &answer->check));
    json_t *wishes = json_array();
    for (size_t k = 0; k < sum.wishes; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(in->cards->card[sum.wish[k]].name));
        json_object_set_new(item, "in", json_boolean(answer->copies[sum.wish[k]] > 0));
        if (in->cards->card[sum.wish[k]].wishers > 0)
            json_object_set_new(item, "by", json_wishers(&in->cards->card[sum.wish[k]]));
        json_array_append_new(wishes, item);
    }
    json_object_set_new(root, "wishes", wishes);
    if (sum.wishers > 0) {
        json_t *people = json_array();
        for (size_t k = 0; k < sum.wishers; k++)
            json_array_append_new(people, json_pack("{s:s, s:i, s:i}", "name", sum.wisher[k].who.name, "wishes",
                                                    sum.wisher[k].wishes, "in", sum.wisher[k].in));
        json_object_set_new(root, "wishers", people);
    }
    if (in->has_present) {
        exchange_json(in, &sum.change, root);
        bool *proposed = mem_new(in->cards->count, sizeof *proposed);
        for (size_t k = 0; k < sum.change.enter_count; k++)
            proposed[sum.change.enters[k].card] = true;
        json_object_set_new(root, "cut_before", history_cuts_json(in, proposed));
        mem_free(proposed);
    }
    structure_json(in, answer, root);
    pool_summary_release(&sum);
}

static json_t *limits_met_json(const PoolCheck *check)
{
    Arena *arena = arena_new();
    Text text = {0};
    limits_met_text(check, arena, &text);
    json_t *said = json_string(text_cstr(&text));
    text_release(&text);
    arena_free(arena);
    return said;
}

static json_t *statistics_json(const Answer *answer)
{
    const SearchStatistics *s = &answer->statistics;
    json_t *item = json_object();
    json_object_set_new(item, "columns", json_integer(answer->columns));
    json_object_set_new(item, "rows", json_integer(answer->rows));
    json_object_set_new(item, "pivots", json_integer(s->pivots));
    json_object_set_new(item, "nodes", json_integer(s->nodes));
    json_object_set_new(item, "cuts", json_integer(s->cuts));
    json_object_set_new(item, "unsettled", json_integer(s->unsettled));
    json_object_set_new(item, "grain", json_number_of(s->grain));
    return item;
}

json_t *best_json(const Instance *instance, const Answer *answer, const NewPrices *prices,
                  const struct Explained *explained, const Diags *notices)
{
    json_t *root = json_object();
    json_object_set_new(root, "status", json_string(answer_status_name(answer->status)));
    json_set_fit(root, answer);
    if (answer->has_pool) {
        json_object_set_new(root, "cost", json_money(answer->check.cost));
        json_object_set_new(root, "pool_owned", json_integer(pool_owned_copies(instance, answer->copies)));
        json_object_set_new(root, "size", json_integer(answer->check.size));
        json_object_set_new(root, "among_equals", json_among_equals(&answer->equals, instance->has_present));
        json_object_set_new(root, "limits_met", limits_met_json(&answer->check));
        add_pool_keys(instance, answer, root);
        json_object_set_new(root, "money", money_json(instance, answer));
    }
    if (prices != NULL)
        json_object_set_new(root, "new_prices", new_prices_json(prices));
    if (explained != NULL)
        explained_json(explained, root);
    json_object_set_new(root, "notices", json_notices(notices));
    json_object_set_new(root, "statistics", statistics_json(answer));
    return root;
}
