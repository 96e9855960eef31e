/* order_inner.h - inside the order room: the programme of an order.
 *
 * Columns: those of the pool's programme, where the pool may change; copies taken of each offer; for each shop with
 * terms whether it is used, and whether its postage is waived; for a card of which the list has more than is for sale
 * whether all of that is bought, as it is before a copy counts as got elsewhere. Rows: the pool's; the copies of each
 * card; copies of a shop only where it is used; the least order; free postage. The link between offers and shops is one
 * row for a few offers together, as few as the search has rows for: the tighter, the better its bound. */
#ifndef POOLWRIGHT_ORDER_ORDER_INNER_H
#define POOLWRIGHT_ORDER_ORDER_INNER_H

#include "order/order.h"
#include "programme/rows/card_columns.h"

typedef struct {
    size_t offer;
    int most;
} Take;

typedef struct {
    const Instance *in;
    Order *order;
    const Programme *pool; /* NULL: the list is bought as it is */
    CardColumns *card;     /* [cards] of the pool's programme */
    int64_t floor;         /* the pool has at least this fit */
    const Order *listed;   /* how the list can be bought as it is; NULL, or without an order: not known */
    int *need;             /* [cards] copies of the list that can be bought */
    int *unsold;           /* [cards] copies of it that no offer has: they need not come from a shop */
    Take *take;            /* [takes] the offers' columns, by card, cheapest first */
    int takes;
    int first;          /* column of the first take */
    int *used, *waived; /* [shops] their columns, -1: none */
    int *sold_out;      /* [cards that are for sale] whether all of it is bought, -1: no column, it is enough */
    int cost_row;       /* cents, with the pool's programme; without bounds until set */
    SearchProblem *problem;
} OrderProblem;

/* What is for sale of these copies; with a pool that may change, of all that it may have. */
void order_takes(OrderProblem *p, const int *need);
void order_build(OrderProblem *p);
/* x[columns], with the pool's columns filled in: how the list can be bought, each copy where it is cheapest, made
 * cheaper shop by shop. False: nothing found keeps the rules. */
bool order_start(const OrderProblem *p, int64_t *x);
/* The same as it is in p->listed. False: there is none, or it is no solution here. */
bool order_take_listed(const OrderProblem *p, int64_t *x);

#endif
