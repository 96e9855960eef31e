/* compose_shops.c - where one buys: shops with their postage, and which printings of the price sheets count. */
#include <string.h>

#include "model/language/compose.h"

static void add_shop(const ReadContext *context, const YamlNode *node, Model *model)
{
    Slot slot[SHOP_KEYS] = {0};
    if (fields_read(&shop_fields, node, slot, context->arena, context->diags) != FIELDS_READ)
        return;
    Shop shop = {.at = node->at};
    if (slot[SHOP_NAME].key == NULL) {
        diag_error(context->diags, node->at, "a shop has no name, expected 'name: %s'",
                   shop_fields.field[SHOP_NAME].value);
        return;
    }
    if (!read_text(context, slot[SHOP_NAME].value, shop_fields.field[SHOP_NAME].value, &shop.name))
        return;
    shop.folded = text_fold_in(context->arena, shop.name);
    read_slot(context, &shop_fields, SHOP_POSTAGE, slot, &shop.postage);
    read_slot(context, &shop_fields, SHOP_FREE_FROM, slot, &shop.free_from);
    read_slot(context, &shop_fields, SHOP_LEAST, slot, &shop.least);
    shop.has_free = slot[SHOP_FREE_FROM].key != NULL;
    for (size_t s = 0; s < model->shops; s++)
        if (strcmp(model->shop[s].folded, shop.folded) == 0)
            diag_error(context->diags, node->at, "shop '%s' is written twice", shop.name);
    model->shop[model->shops++] = shop;
}

static void compose_accept(const ReadContext *context, const Slot *slot, Model *model)
{
    Slot part[ACCEPT_KEYS] = {0};
    if (slot->key == NULL || yaml_is_empty(slot->value) || value_is(slot->value, "none") ||
        fields_read(&accept_fields, slot->value, part, context->arena, context->diags) != FIELDS_READ)
        return;
    for (int k = 0; k < ACCEPT_KEYS; k++) {
        if (part[k].key == NULL)
            continue;
        NodeItems items = node_items(part[k].value);
        model->accept_at[k] = part[k].value->at;
        model->accept[k] = arena_alloc(context->arena, items.count, sizeof *model->accept[k]);
        for (size_t i = 0; i < items.count; i++) {
            const char *word = NULL;
            if (read_text(context, node_item(&items, i), accept_fields.field[k].value, &word))
                model->accept[k][model->accepts[k]++] = text_fold_in(context->arena, word);
        }
        if (items.count == 0)
            report_unexpected(context, part[k].value, accept_fields.field[k].value);
    }
}

void compose_shops(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_SHOPS];
    compose_accept(context, &draft->slot[MODEL_ACCEPT], model);
    if (slot->key == NULL || yaml_is_empty(slot->value) || value_is(slot->value, "none"))
        return;
    if (slot->value->kind != NODE_LIST) {
        report_unexpected(context, slot->value, model_fields.field[MODEL_SHOPS].value);
        return;
    }
    model->shop = arena_alloc(context->arena, slot->value->count, sizeof *model->shop);
    for (size_t i = 0; i < slot->value->count; i++)
        add_shop(context, slot->value->item[i], model);
}
