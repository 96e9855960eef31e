/* card_order.c - see card_order.h. */
#include "model/desk/card_order.h"

#include "base/number.h"
#include "base/sort.h"

FitForMoney fit_for_money(const Instance *in, size_t c)
{
    if (!price_known(in, c))
        return FIT_WITHOUT_PRICE;
    if (in->price[c] > 0)
        return FIT_FOR_MONEY;
    return in->fit[c] > 0 ? FIT_FOR_NOTHING : NOTHING_FOR_NOTHING;
}

typedef struct {
    const Instance *instance;
    FindSort sort;
} Order;

static int by_fit_then_name(const Instance *in, size_t a, size_t b)
{
    if (in->fit[a] != in->fit[b])
        return in->fit[a] > in->fit[b] ? -1 : 1;
    return (a > b) - (a < b);
}

static int compare(const void *a, const void *b, void *data)
{
    const Order *order = data;
    const Instance *in = order->instance;
    size_t x = *(const size_t *)a, y = *(const size_t *)b;
    switch (order->sort) {
    case SORT_NAME: return (x > y) - (x < y);
    case SORT_FIT: return by_fit_then_name(in, x, y);
    case SORT_PRICE:
        if (price_known(in, x) != price_known(in, y))
            return price_known(in, x) ? -1 : 1;
        if (price_known(in, x) && in->price[x] != in->price[y])
            return in->price[x] < in->price[y] ? -1 : 1;
        return by_fit_then_name(in, x, y);
    case SORT_FIT_PER_MONEY: break;
    }
    FitForMoney class_x = fit_for_money(in, x), class_y = fit_for_money(in, y);
    if (class_x != class_y)
        return class_x < class_y ? -1 : 1;
    int128 left = (int128)in->fit[x] * in->price[y], right = (int128)in->fit[y] * in->price[x];
    if (class_x == FIT_FOR_MONEY && left != right)
        return left > right ? -1 : 1;
    return by_fit_then_name(in, x, y);
}

void find_sort(const Instance *instance, FindSort sort, size_t *card, size_t count)
{
    Order order = {instance, sort};
    sort_stable_with(card, count, sizeof *card, compare, &order);
}
