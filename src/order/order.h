/* order.h - the cheapest way to buy cards from shops: an integer programme of its own. Each copy comes from one offer;
 * where a shop is used its postage is paid, unless the cards there come to `free_from`, and they must come to `least`.
 * This is the uncapacitated facility location problem (shops are facilities) with stocks, least orders and free
 * postage. */
#ifndef POOLWRIGHT_ORDER_ORDER_H
#define POOLWRIGHT_ORDER_ORDER_H

#include "programme/programme.h"
#include "search/search.h"

typedef struct {
    size_t offer; /* index into Instance.offer */
    int copies;
} OrderLine;

typedef struct {
    size_t shop; /* index into Instance.shop */
    int copies;
    int64_t cards, postage; /* cents */
} OrderShop;

typedef struct {
    size_t card;
    int copies;
} Unsold;

typedef struct {
    Arena *arena;
    bool has_order;  /* false: no way keeps the least orders, or stopped before any was found */
    bool impossible; /* proven: there is no such way */
    bool proven;     /* no way costs less */
    int64_t cost;    /* cents: cards and postage */
    int64_t bound;   /* no way costs less than this */
    OrderLine *line; /* [lines] by shop as the sheets name them, then by the cards' names */
    size_t lines;
    OrderShop *shop; /* [shops] that are used */
    size_t shops;
    Unsold *unsold; /* [unsolds] copies that no offer has */
    size_t unsolds;
    /* Cents: each copy where it is cheapest, with all postage that this comes to; -1: not allowed. */
    int64_t one_by_one;
    int *copies;   /* [cards] of order_give: the pool that is bought; else NULL */
    int64_t fit;   /* its fit, thousandths */
    bool most_fit; /* proven: no pool that costs so little to order has more */
} Order;

/* list[cards]: copies to have; those that are not owned are bought. What is not for sale is left out and told. False:
 * the search could not run (*why says why). Released with order_release in any case. */
bool order_find(const Instance *instance, const int *list, const SearchOptions *options, Order *order,
                const char **why);
/* The same where the pool may change: the cheapest order of any pool that meets all limits and has at least this fit
 * (thousandths), and of those, as far as is found, the one with the most fit. list[cards]: a pool to begin from, whose
 * copies without an offer count as got elsewhere, once all that is for sale of the card is bought; no other card
 * without one comes in. listed: what order_find says of the list, or NULL. */
bool order_give(const Programme *pool, const int *list, const Order *listed, int64_t floor,
                const SearchOptions *options, Order *order, const char **why);
void order_release(Order *order);

#endif
