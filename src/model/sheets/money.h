/* money.h - inside the model room: currencies and dates of prices. */
#ifndef POOLWRIGHT_MODEL_MONEY_H
#define POOLWRIGHT_MODEL_MONEY_H

#include "model/instance/instance_cache.h"

/* The sign or code that a price is written with, "" if none. In the arena. */
const char *money_mark(Arena *arena, const char *cell);

typedef struct {
    const InstanceBuilder *builder;
    const char *mark; /* the first one met where the model states no currency */
    SourcePos at;
    bool reported;
} Exchange;

/* Turns *cents in the currency `mark` into the model's: times the rate, rounded once, half away from zero. Without a
 * stated currency all marks must be alike. False when reported. */
bool money_exchange(Exchange *exchange, const char *mark, SourcePos at, int64_t *cents);

/* Days since 1970-01-01 of "2026-03-31" or "31.03.2026" (proleptic Gregorian; H. Hinnant, "chrono-compatible low-level
 * date algorithms", 2013). False if it is no date. */
bool date_parse(const char *text, int *day);
const char *date_text(Arena *arena, int day);

#endif
