/* compose_deck.c - what a good deck is: how many cards, and rules as those of a pool, but plain ones. */
#include "model/language/compose.h"

/* Keys of a rule that mean something to a whole pool only. */
static void refuse_keys(const Draft *deck)
{
    static const int of_pools[] = {RULE_OF, RULE_FOR, RULE_SOFT, RULE_PRIORITY, RULE_SCALES, RULE_WATCH};
    for (size_t r = 0; r < deck->rules; r++) {
        for (size_t k = 0; k < sizeof of_pools / sizeof *of_pools; k++) {
            const Slot *slot = &deck->rule[r].slot[of_pools[k]];
            if (slot->key != NULL)
                diag_error(deck->context.diags, slot->key->at,
                           "found '%s' in a rule of the deck, expected it only in the rules of the pool",
                           rule_fields.field[of_pools[k]].name);
        }
        if (deck->rule[r].owns > 0)
            diag_error(deck->context.diags, deck->rule[r].own[0].at,
                       "found 'for' in a rule of the deck, expected it only in the rules of the pool");
    }
}

static void refuse_rules(const Draft *deck, const Model *model)
{
    for (size_t r = 0; r < model->deck.rules; r++) {
        const Rule *rule = &model->rule[model->rules + r];
        if (rule->each == EACH_PAIR)
            diag_error(deck->context.diags, rule->at,
                       "found 'each: pair' in rule '%s' of the deck, expected colour (each of the deck's colours), "
                       "theme (decks of a theme only) or nothing",
                       rule->name);
        if (rule->measure == MEASURE_SPEND || rule->measure == MEASURE_NAMES)
            diag_error(deck->context.diags, rule->measure_at,
                       "found a measure in rule '%s' of the deck that counts for a whole pool, expected count, price, "
                       "fit, cost, power, weight or a column",
                       rule->name);
        if (rule->bounds.has_seen)
            diag_error(deck->context.diags, rule->bounds.at,
                       "found 'seen' in rule '%s' of the deck, expected a number of cards such as 'at_least: 3'",
                       rule->name);
        if (rule->bounds.kind == BOUND_PERCENT)
            diag_error(deck->context.diags, rule->bounds.at,
                       "found a percentage in rule '%s' of the deck, expected a number of cards such as 8", rule->name);
    }
}

void compose_deck(Draft *draft, Model *model)
{
    int64_t size = (model->packs * (int64_t)model->pack_size + 1) / 2;
    if (draft->deck != NULL) {
        const Slot *slot = &draft->deck->slot[MODEL_SIZE]; /* laid there from `size` of the deck */
        if (slot->key != NULL)
            read_ranged(&draft->context, &deck_fields, DECK_SIZE, slot->value, &size);
        refuse_keys(draft->deck);
        model->deck.rules = compose_more_rules(draft->deck, model, model->rules);
        refuse_rules(draft->deck, model);
    }
    model->deck.size = (int)size;
}
