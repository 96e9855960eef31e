/* history.h - what the journal, trials and nevers say of a card, in words and as JSON. */
#ifndef POOLWRIGHT_REPORT_WORDS_HISTORY_H
#define POOLWRIGHT_REPORT_WORDS_HISTORY_H

#include <jansson.h>

#include "model/instance/instance.h"
#include "report/layout/table.h"

/* "cut on 2026-03-01: too slow", in the arena; NULL where it was not, or has come in again since. */
const char *history_cut_text(const Instance *instance, size_t card, Arena *arena);
/* A heading and a line for each of these cards [cards] that was cut before; nothing where none was. */
void history_cuts_text(const Instance *instance, const bool *proposed, const Style *style, Text *out);
/* [{name, date, reason}] of the same. */
json_t *history_cuts_json(const Instance *instance, const bool *proposed);
/* Adds `cut` {date, reason}, `trial` (a date) and `never` (a reason) to what is told of a card, as far as there are. */
void history_json(const Instance *instance, size_t card, json_t *root);

#endif
