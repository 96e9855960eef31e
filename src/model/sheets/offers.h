/* offers.h - inside the model room: which lines of price sheets count, and as whose offers. */
#ifndef POOLWRIGHT_MODEL_SHEETS_OFFERS_H
#define POOLWRIGHT_MODEL_SHEETS_OFFERS_H

#include "model/sheets/matched_sheet.h"
#include "model/yaml/fields.h"

typedef struct Offers Offers;

/* Columns of a price sheet; -1: none. */
typedef struct {
    int price, shop, stock, accept[ACCEPT_KEYS];
} OfferColumns;

/* offers_keep frees it. */
Offers *offers_new(const InstanceBuilder *builder);
/* The side's row offers the card for so many cents. False: the line does not count, or was reported. */
bool offers_take(Offers *offers, MatchedSheet *side, const OfferColumns *column, size_t card, int64_t price);
/* All sheets are read: the offers go into the instance; what was perhaps not meant is told. */
void offers_keep(Offers *offers);

#endif
