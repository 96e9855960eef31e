/* case_edits.c - a case's changes to single candidates. They come last: after sheets of prices and owned copies, after
 * keep and ban of models. */
#include "model/case_edits.h"

static bool read_count(const ReadContext *context, int key, const YamlNode *node, int *count)
{
    int64_t value;
    if (!read_ranged(context, &edit_fields, key, node, &value))
        return false;
    *count = (int)value;
    return true;
}

/* yes sets the bit and takes away what contradicts it, no takes it away. */
static void read_status(const ReadContext *context, const YamlNode *node, unsigned bit, unsigned against,
                        CardEdit *edit)
{
    bool yes;
    if (!read_yes_no(context, node, &yes))
        return;
    if (yes && (edit->set & against) != 0)
        diag_error(context->diags, node->at, "'%s' is both kept and banned", edit->name);
    edit->set |= yes ? bit : 0;
    edit->clear |= yes ? against : bit;
}

static void read_field(const ReadContext *context, int key, const YamlNode *node, CardEdit *edit)
{
    switch (key) {
    case EDIT_PRICE: edit->has_price = read_ranged(context, &edit_fields, key, node, &edit->price); break;
    case EDIT_POWER: edit->has_power = read_ranged(context, &edit_fields, key, node, &edit->power); break;
    case EDIT_OWNED: edit->has_owned = read_count(context, key, node, &edit->owned); break;
    case EDIT_COPIES: edit->has_copies = read_count(context, key, node, &edit->copies); break;
    case EDIT_KEEP: read_status(context, node, STATUS_KEEP, STATUS_BAN, edit); break;
    case EDIT_BAN: read_status(context, node, STATUS_BAN, STATUS_KEEP, edit); break;
    case EDIT_WISH: read_status(context, node, STATUS_WISH, 0, edit); break;
    default: break;
    }
}

CardEdit *case_edits_read(const ReadContext *context, const YamlNode *node, size_t *count)
{
    *count = 0;
    if (yaml_is_empty(node))
        return NULL;
    if (node->kind != NODE_MAP) {
        report_unexpected(context, node, case_fields.field[CASE_CARDS].value);
        return NULL;
    }
    CardEdit *edit = arena_alloc(context->arena, node->count, sizeof *edit);
    for (size_t i = 0; i < node->count; i++) {
        Slot slot[EDIT_KEYS] = {0};
        edit[i] = (CardEdit){.name = node->pair[i].key->text, .at = node->pair[i].key->at};
        if (fields_read(&edit_fields, node->pair[i].value, slot, context->arena, context->diags) == FIELDS_BROKEN)
            continue;
        for (int key = 0; key < EDIT_KEYS; key++)
            if (slot[key].key != NULL)
                read_field(context, key, slot[key].value, &edit[i]);
    }
    *count = node->count;
    return edit;
}

/* By how much the price may fall and rise stays as it is. */
static void apply_price(int64_t price, Instance *instance, size_t c)
{
    Card *card = &instance->cards->card[c];
    const int64_t fall = card->has_price ? card->price - instance->low[c] : 0;
    instance->high[c] = price + (card->has_price ? instance->high[c] - card->price : 0);
    instance->low[c] = price > fall ? price - fall : 0;
    card->has_price = true;
    card->price = price;
}

static void apply_one(const CardEdit *edit, Instance *instance, size_t c)
{
    Card *card = &instance->cards->card[c];
    if (edit->has_price)
        apply_price(edit->price, instance, c);
    if (edit->has_power) {
        card->has_power = true;
        card->power = edit->power;
    }
    if (edit->has_owned)
        card->owned = edit->owned;
    if (edit->has_copies)
        card->copies = edit->copies;
}

void case_edits_apply(const InstanceBuilder *builder)
{
    const Scenario *scenario = builder->instance->scenario;
    CardSet *cards = builder->instance->cards;
    for (size_t k = 0; k < scenario->edits; k++) {
        const CardEdit *edit = &scenario->edit[k];
        long card = card_find(cards, edit->name);
        if (card >= 0)
            apply_one(edit, builder->instance, (size_t)card);
        else
            diag_error(builder->diags, edit->at, "no candidate is called '%s'%s", edit->name,
                       suggest_card(builder, edit->at.file, edit->name));
    }
}

void case_edits_status(const InstanceBuilder *builder)
{
    const Scenario *scenario = builder->instance->scenario;
    Instance *instance = builder->instance;
    for (size_t k = 0; k < scenario->edits; k++) {
        const CardEdit *edit = &scenario->edit[k];
        long card = card_find(instance->cards, edit->name);
        if (card < 0 || (edit->set | edit->clear) == 0)
            continue;
        instance->status[card] = (instance->status[card] & ~edit->clear) | edit->set;
        instance->status_at[card] = edit->at;
    }
}
