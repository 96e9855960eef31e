/* card_order.h - the orders in which candidates that were looked for are told. */
#ifndef POOLWRIGHT_MODEL_DESK_CARD_ORDER_H
#define POOLWRIGHT_MODEL_DESK_CARD_ORDER_H

#include "model/instance/instance.h"

typedef enum { SORT_FIT, SORT_PRICE, SORT_FIT_PER_MONEY, SORT_NAME } FindSort;

/* What a card's fit is for its money, best first. */
typedef enum { FIT_FOR_NOTHING, FIT_FOR_MONEY, NOTHING_FOR_NOTHING, FIT_WITHOUT_PRICE } FitForMoney;

FitForMoney fit_for_money(const Instance *instance, size_t card);

/* Puts card[count] (indexes into Instance.cards) in order: greatest fit first, least price first (cards without a price
 * last), most fit for the money first (cards that cost nothing and have fit before all others, compared as exact
 * fractions), or by name. Ties by fit, then by name. */
void find_sort(const Instance *instance, FindSort sort, size_t *card, size_t count);

#endif
