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
/* What a line of a price sheet says of its card. */
typedef enum {
    OFFER_NONE, /* nothing that counts, or it was reported */
    OFFER_COUNTS,
    OFFER_SOLD_OUT, /* an older line: by a newer one of the same shop, condition and language the card is sold out */
} OfferKind;

/* The side's row offers the card for so many cents; below 0: it says no price, and only that the card is sold out. */
OfferKind offers_take(Offers *offers, MatchedSheet *side, const OfferColumns *column, size_t card, int64_t price);
/* The lines that follow are older than those before. */
void offers_older(Offers *offers);
/* All sheets are read: the offers go into the instance; what was perhaps not meant is told. */
void offers_keep(Offers *offers);

#endif
