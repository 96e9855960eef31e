/* money.c - currencies. */
#include "model/sheets/money.h"

#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/yaml/values.h"

#define RATE_ONE INT64_C(1000000)

const char *money_mark(Arena *arena, const char *cell)
{
    size_t start = strspn(cell, "0123456789.,+- \t'");
    size_t end = start;
    while (cell[end] != '\0' && strchr("0123456789.,+- \t'", cell[end]) == NULL)
        end++;
    return start == end ? "" : arena_strndup(arena, cell + start, end - start);
}

/* Signs and words that stand for one currency only in common use; all others are matched as written. */
static const char *code_of(Arena *arena, const char *mark)
{
    static const char *const sign[][2] = {{"\xE2\x82\xAC", "eur"}, {"$", "usd"},  {"us$", "usd"}, {"\xC2\xA3", "gbp"},
                                          {"\xC2\xA5", "jpy"},     {"zl", "pln"}, {"kc", "czk"},  {"ft", "huf"},
                                          {"r$", "brl"},           {"fr", "chf"}, {"sfr", "chf"}};
    const char *folded = fold_in(arena, mark);
    for (size_t k = 0; k < sizeof sign / sizeof *sign; k++)
        if (strcmp(sign[k][0], folded) == 0)
            return sign[k][1];
    return folded;
}

static bool same_mark(Arena *arena, const char *a, const char *b)
{
    return strcmp(a, b) == 0 || strcmp(code_of(arena, a), code_of(arena, b)) == 0;
}

static bool all_alike(MoneyExchange *exchange, const char *mark, SourcePos at)
{
    Arena *arena = exchange->instance->arena;
    if (exchange->mark == NULL) {
        exchange->mark = mark;
        exchange->at = at;
    }
    if (same_mark(arena, exchange->mark, mark))
        return true;
    if (!exchange->reported)
        diag_error(exchange->diags, at,
                   "found a price in '%s', but %s:%d is in '%s'; expected one currency, or in the model a line such as "
                   "'currency: {default: %s, rates: {\"%s\": 0.92}}'",
                   mark, exchange->at.file, exchange->at.line, exchange->mark, exchange->mark, mark);
    exchange->reported = true;
    return false;
}

static const Rate *find_rate(const Model *model, Arena *arena, const char *mark)
{
    for (size_t r = 0; r < model->rates; r++)
        if (strcmp(model->rate[r].currency, mark) == 0)
            return &model->rate[r];
    for (size_t r = 0; r < model->rates; r++)
        if (same_mark(arena, model->rate[r].currency, mark))
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
    if (same_mark(instance->arena, model->currency, mark))
        return true;
    const Rate *rate = find_rate(model, instance->arena, mark);
    if (rate != NULL) {
        *cents = (int64_t)round_div((int128)*cents * rate->rate, RATE_ONE);
        return true;
    }
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
