/* tiny_seen.c - bounds said as a chance to see cards: what they come to, by counting draws card by card (no binomials),
 * and random ones: see tiny.h. */
#include <string.h>

#include "tiny.h"

enum { WHOLE = 100000, POOL_MOST = 60 };

/* Cards that are looked at in a pool of this size, pick by pick: a seat sees its own pack, then each other one less a
 * card. A pool too small for all seats is drafted by as many as it serves. */
static int looked_at(const Tiny *tiny, int by, int size)
{
    int each = tiny->packs * tiny->pack_size;
    int seats = size / each;
    int sum = 0;
    seats = seats > tiny->seats ? tiny->seats : seats < 1 ? 1 : seats;
    switch (by) {
    case SEEN_PACK: sum = tiny->pack_size; break;
    case SEEN_OPENS: sum = each; break;
    default:
        for (int pick = 0; pick < seats && pick < tiny->pack_size; pick++) {
            sum += tiny->packs * (tiny->pack_size - pick);
        }
        break;
    }
    return sum < size ? sum : size;
}

/* Of all ways to draw so many of `size` cards, how many hold at_least of the first `marked`? */
static bool holds(const Tiny *tiny, const TinySeen *seen, int size, int marked)
{
    Wide ways[POOL_MOST + 1][POOL_MOST + 1]; /* [cards drawn][of them marked] from the cards so far */
    int drawn = looked_at(tiny, seen->by, size);
    Wide some = 0;
    Wide every = 0;
    memset(ways, 0, sizeof ways);
    ways[0][0] = 1;
    for (int card = 0; card < size; card++) {
        int is_marked = card < marked;
        for (int d = card; d >= 0; d--) {
            for (int m = d; m >= 0; m--) {
                ways[d + 1][m + is_marked] += ways[d][m];
            }
        }
    }
    for (int m = 0; m <= drawn; m++) {
        every += ways[drawn][m];
        some += m >= seen->at_least ? ways[drawn][m] : 0;
    }
    return some * WHOLE >= seen->chance * every;
}

int tiny_seen_copies(const Tiny *tiny, const TinySeen *seen)
{
    int from = 0;
    int to = 0;
    tiny_sizes_in_force(tiny, &from, &to);
    for (int marked = 0; marked <= to; marked++) {
        bool good = true;
        for (int size = from > marked ? from : marked; size <= to && good; size++) {
            good = holds(tiny, seen, size, marked);
        }
        if (good) {
            return marked;
        }
    }
    return to + 1;
}

/* So few that a pack is smaller than the least pool, and than one of a card less. */
static int smallest(const Tiny *tiny)
{
    int least = tiny->size_by_command ? tiny->command_from : POOL_MOST;
    for (int layer = 0; layer < LAYERS; layer++) {
        if (tiny->has_size[layer] && tiny->size_from[layer] < least) {
            least = tiny->size_from[layer];
        }
    }
    return least - 1;
}

/* A chance that takes at most so many copies, and as many of them as a few throws find; false: none was found. */
static bool find_chance(const Tiny *tiny, Dice *dice, int copies, TinySeen *found)
{
    int most = 0;
    for (int throws = 0; throws < 12 && most < copies; throws++) {
        TinySeen seen = {.by = dice_roll(dice, SEEN_PACK, SEEN_SEES),
                         .at_least = dice_roll(dice, 1, tiny->pack_size < 3 ? tiny->pack_size : 3),
                         .chance = dice_chance(dice, 60) ? dice_roll(dice, 1, 20) * 5000 : dice_roll(dice, 1, WHOLE)};
        int takes = tiny_seen_copies(tiny, &seen);
        if (takes <= copies && takes > most) {
            most = takes;
            *found = seen;
        }
    }
    return most > 0;
}

/* `in_force`: what the bound comes to now. */
static void say_as_chance(const Tiny *tiny, Dice *dice, Band *band, const Band *in_force)
{
    if (band->side == NONE || band->side == AT_MOST || in_force->low < 1 ||
        !find_chance(tiny, dice, (int)in_force->low, &band->seen)) {
        return;
    }
    if (band->side == LEAST_AND_MOST) { /* wide enough for other sizes, too: less than is asked for is refused */
        band->high = band->high < 2 * in_force->low + 2 ? 2 * in_force->low + 2 : band->high;
    } else {
        band->side = AT_LEAST;
    }
}

void tiny_make_seen(Tiny *tiny, uint64_t seed)
{
    Dice dice;
    dice_seed(&dice, seed * 17 + 7);
    if (!dice_chance(&dice, 40) || smallest(tiny) < 2 || tiny->cards > TINY_CARDS_MOST) {
        return;
    }
    tiny->seats = dice_roll(&dice, 1, 3);
    tiny->packs = dice_roll(&dice, 1, 2);
    tiny->pack_size = dice_roll(&dice, 1, smallest(tiny) < 4 ? smallest(tiny) : 4);
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        for (int layer = 0; layer < LAYERS && rule->measure == COUNT; layer++) {
            Tiny alone = *tiny; /* what this layer's bound would come to, if it were the last */
            if (layer == LAYER_TARGETS || rule->band[layer].sort != ABSOLUTE || dice_chance(&dice, 25)) {
                continue;
            }
            for (int later = layer + 1; later < LAYERS; later++) {
                alone.rule[r].band[later].side = NONE;
                alone.rule[r].owns[later] = 0;
            }
            for (int i = 0; i < rule->owns[layer]; i++) {
                Band own = tiny_band(&alone, &alone.rule[r], rule->own[layer][i].member);
                say_as_chance(tiny, &dice, &rule->own[layer][i].band, &own);
            }
            alone.rule[r].owns[layer] = 0;
            for (int earlier = 0; earlier < layer; earlier++) {
                alone.rule[r].owns[earlier] = 0;
            }
            Band all = tiny_band(&alone, &alone.rule[r], 0);
            say_as_chance(tiny, &dice, &rule->band[layer], &all);
        }
    }
}
