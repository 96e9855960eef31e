/* cards_json.c - the answers of `why` and `swap` about the cards that were named, as JSON (docs/verbs.md). */
#include "report/explain_report.h"
#include "report/json/json.h"

static json_t *begin(const Instance *instance, const Answer *answer)
{
    json_t *root = json_object();
    json_object_set_new(root, "status", json_string(answer_status_name(answer->status)));
    if (answer->has_pool) {
        json_object_set_new(root, "fit", json_number_of(answer->check.fit));
        json_object_set_new(root, "among_equals", json_among_equals(&answer->equals, instance->has_present));
    }
    json_set_bound(root, answer);
    return root;
}

static json_t *end(json_t *root, const Answer *answer, bool settled, const Diags *notices)
{
    if (answer->status != ANSWER_INFEASIBLE)
        json_object_set_new(root, "settled", json_boolean(settled));
    json_object_set_new(root, "notices", json_notices(notices));
    return root;
}

json_t *why_cards_json(const Instance *instance, const Answer *answer, const Explained *all, bool settled,
                       const Diags *notices)
{
    json_t *root = begin(instance, answer);
    if (answer->status == ANSWER_INFEASIBLE)
        explained_json(all, root);
    if (answer->has_pool) {
        json_t *list = json_array();
        for (size_t k = 0; k < all->cards; k++)
            json_array_append_new(list, why_json(all->explain, &all->card[k]));
        json_object_set_new(root, "cards", list);
        if (all->together.asked)
            json_object_set_new(root, "together", together_json(all->explain, &all->together));
    }
    return end(root, answer, settled, notices);
}

json_t *swap_cards_json(const Instance *instance, const Answer *answer, const Explained *all, bool settled,
                        const Diags *notices)
{
    json_t *root = begin(instance, answer);
    if (answer->has_pool || answer->status == ANSWER_INFEASIBLE) {
        json_t *list = json_array();
        for (size_t k = 0; k < all->swaps; k++)
            json_array_append_new(list, swap_json(all->explain, &all->swap[k]));
        json_object_set_new(root, "swaps", list);
    }
    return end(root, answer, settled, notices);
}
