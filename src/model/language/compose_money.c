/* compose_money.c - what a model says of money besides the cap. */
#include "model/language/compose.h"

static const char *expected_model(int key)
{
    return model_fields.field[key].value;
}

/* ---- currency ---- */

static void add_rate(const ReadContext *context, Model *model, const YamlPair *pair)
{
    Rate rate = {.currency = pair->key->text, .at = pair->key->at};
    if (!read_number(context, pair->value, 6, "a rate above 0 with at most 6 decimals, such as 0.92", &rate.rate))
        return;
    if (rate.rate <= 0)
        report_unexpected(context, pair->value, "a rate above 0 with at most 6 decimals, such as 0.92");
    else
        model->rate[model->rates++] = rate;
}

static void read_currency(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_CURRENCY];
    if (slot->key == NULL || yaml_is_empty(slot->value))
        return;
    if (slot->value->kind == NODE_TEXT) {
        read_text(context, slot->value, expected_model(MODEL_CURRENCY), &model->currency);
        return;
    }
    Slot part[CURRENCY_KEYS] = {0};
    if (fields_read(&currency_fields, slot->value, part, context->arena, context->diags) != FIELDS_READ)
        return;
    if (part[CURRENCY_DEFAULT].key == NULL)
        diag_error(context->diags, slot->value->at, "'default' is missing in currency, expected %s",
                   expected_model(MODEL_CURRENCY));
    else
        read_text(context, part[CURRENCY_DEFAULT].value, currency_fields.field[CURRENCY_DEFAULT].value,
                  &model->currency);
    const YamlNode *rates = part[CURRENCY_RATES].value;
    if (part[CURRENCY_RATES].key == NULL || yaml_is_empty(rates))
        return;
    if (rates->kind != NODE_MAP) {
        report_unexpected(context, rates, currency_fields.field[CURRENCY_RATES].value);
        return;
    }
    model->rate = arena_alloc(context->arena, rates->count, sizeof *model->rate);
    for (size_t i = 0; i < rates->count; i++)
        add_rate(context, model, &rates->pair[i]);
}

void compose_currency(Draft *draft, Model *model)
{
    read_currency(draft, model);
    model->met = arena_alloc(draft->context.arena, 1, sizeof *model->met);
    draft->context.currency = model->currency;
    draft->context.met = model->met;
}

/* ---- the rest ---- */

static void compose_stale(const Draft *draft, Model *model)
{
    const Slot *slot = &draft->slot[MODEL_STALE];
    int64_t days = 0;
    if (slot->key == NULL || value_is(slot->value, "never"))
        return;
    if (!read_ranged(&draft->context, &model_fields, MODEL_STALE, slot->value, &days))
        return;
    model->has_stale = true;
    model->stale = (int)days;
}

static void compose_handling(const Draft *draft, Model *model)
{
    const Slot *slot = &draft->slot[MODEL_HANDLING];
    if (slot->key != NULL && !value_is(slot->value, "none"))
        read_ranged(&draft->context, &model_fields, MODEL_HANDLING, slot->value, &model->handling);
}

/* The cap in force is the stated one less the headroom, exactly and rounded down. */
static void compose_headroom(const Draft *draft, Model *model)
{
    const Slot *slot = &draft->slot[MODEL_HEADROOM];
    model->cap_stated = model->cap;
    if (slot->key == NULL || value_is(slot->value, "none"))
        return;
    if (read_ranged(&draft->context, &model_fields, MODEL_HEADROOM, slot->value, &model->headroom))
        model->cap = model_cap_in_force(model, model->cap_stated);
}

static void compose_cap_counts(const Draft *draft, Model *model)
{
    const Slot *slot = &draft->slot[MODEL_CAP_COUNTS];
    int index = 0;
    if (slot->key != NULL && read_word(&draft->context, slot->value, &cap_counts_words, &index))
        model->counts_paid = index == 1;
}

static void compose_risk(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = &draft->slot[MODEL_PRICE_RISK];
    if (slot->key == NULL || yaml_is_empty(slot->value) || value_is(slot->value, "none"))
        return;
    Slot part[RISK_KEYS] = {0};
    if (fields_read(&risk_fields, slot->value, part, context->arena, context->diags) != FIELDS_READ)
        return;
    if (part[RISK_PROTECT].key == NULL)
        diag_error(context->diags, slot->value->at, "'protect' is missing in price_risk, expected %s",
                   expected_model(MODEL_PRICE_RISK));
    else if (read_ranged(context, &risk_fields, RISK_PROTECT, part[RISK_PROTECT].value, &model->protect))
        model->has_risk = true;
}

void compose_money(const Draft *draft, Model *model)
{
    compose_stale(draft, model);
    compose_handling(draft, model);
    compose_headroom(draft, model);
    compose_cap_counts(draft, model);
    compose_risk(draft, model);
}
