/* money.c - currencies. */
#include "model/sheets/money.h"

#include <string.h>

#include "base/currency.h"
#include "base/number.h"
#include "base/text.h"

#define RATE_ONE INT64_C(1000000)

static bool all_alike(const MoneyExchange *exchange, const char *mark, SourcePos at)
{
    CurrencyMet *met = exchange->instance->model->met;
    if (currency_meet(met, mark, at))
        return true;
    if (!met->reported)
        diag_error(exchange->diags, at,
                   "found a price in '%s', but %s is in '%s'; expected one currency, or in the model a line such as "
                   "'currency: {default: %s, rates: {\"%s\": 0.92}}' (if 1 %s is 0.92 %s)",
                   mark, currency_met_place(met, exchange->instance->arena), met->mark, met->mark, mark, mark,
                   met->mark);
    met->reported = true;
    return false;
}

static const Rate *find_rate(const Model *model, const char *mark)
{
    for (size_t r = 0; r < model->rates; r++)
        if (strcmp(model->rate[r].currency, mark) == 0)
            return &model->rate[r];
    for (size_t r = 0; r < model->rates; r++)
        if (currency_same(model->rate[r].currency, mark))
            return &model->rate[r];
    return NULL;
}

bool money_exchange(MoneyExchange *exchange, const char *mark, SourcePos at, int64_t *cents)
{
    const Instance *instance = exchange->instance;
    const Model *model = instance->model;
    if (mark[0] == '\0')
        return true;
    if (model->currency == NULL)
        return all_alike(exchange, mark, at);
    if (currency_same(model->currency, mark))
        return true;
    const Rate *rate = find_rate(model, mark);
    if (rate != NULL) {
        *cents = (int64_t)round_div((int128)*cents * rate->rate, RATE_ONE);
        return true;
    }
    if (currency_shares(model->currency, mark))
        return true;
    const char **known = mem_new(model->rates + 1, sizeof *known);
    known[0] = model->currency;
    for (size_t r = 0; r < model->rates; r++)
        known[r + 1] = model->rate[r].currency;
    diag_error(exchange->diags, at,
               "found a price in '%s', expected %s or a currency that the model's 'currency' has a rate for%s", mark,
               model->currency, did_you_mean(text_nearest(mark, known, model->rates + 1), instance->arena));
    mem_free(known);
    return false;
}
