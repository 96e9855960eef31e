/* money.h - currencies of prices and of what was paid. */
#ifndef POOLWRIGHT_MODEL_SHEETS_MONEY_H
#define POOLWRIGHT_MODEL_SHEETS_MONEY_H

#include "model/instance/instance.h"

typedef struct {
    const Instance *instance;
    Diags *diags;
} MoneyExchange;

/* Turns *cents in the currency `mark` into the model's: times the rate, rounded once, half away from zero. Without a
 * stated currency all marks must be alike, those of the model's amounts too. False when reported. */
bool money_exchange(MoneyExchange *exchange, const char *mark, SourcePos at, int64_t *cents);

#endif
