/* exchange.c - see exchange.h. */
#include "programme/exchange.h"

#include "base/memory.h"

int moved_copies(const Moved *moved, size_t count)
{
    int copies = 0;
    for (size_t k = 0; k < count; k++)
        copies += moved[k].copies;
    return copies;
}

/* The cards of which `copies` has more than `than`; how many cards. */
static size_t moved_beyond(size_t cards, const int *copies, const int *than, Moved *moved)
{
    size_t count = 0;
    for (size_t c = 0; c < cards; c++)
        if (copies[c] > than[c])
            moved[count++] = (Moved){c, copies[c] - than[c]};
    return count;
}

void exchange_between(size_t cards, const int *from, const int *to, Exchange *exchange)
{
    *exchange = (Exchange){.enters = mem_new(cards + 1, sizeof *exchange->enters),
                           .leaves = mem_new(cards + 1, sizeof *exchange->leaves)};
    exchange->enter_count = moved_beyond(cards, to, from, exchange->enters);
    exchange->leave_count = moved_beyond(cards, from, to, exchange->leaves);
}

void exchange_release(Exchange *exchange)
{
    mem_free(exchange->enters);
    mem_free(exchange->leaves);
    *exchange = (Exchange){0};
}

int exchange_changes(const Exchange *exchange)
{
    return moved_copies(exchange->enters, exchange->enter_count) +
           moved_copies(exchange->leaves, exchange->leave_count);
}
