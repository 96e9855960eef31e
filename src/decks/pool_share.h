/* pool_share.h - a part of a pool for fewer players, chosen at random among those in which every class, colour and
 * theme, its enablers and its payoffs have their share of the cards: a small integer programme of its own. */
#ifndef POOLWRIGHT_DECKS_POOL_SHARE_H
#define POOLWRIGHT_DECKS_POOL_SHARE_H

#include "model/instance/instance.h"
#include "search/search.h"

/* Cards that shall have their share: of a class, that show a colour, of a theme (tagged, and playable in its colours),
 * its enablers, its payoffs. */
typedef struct {
    const char *kind, *name; /* "class", "gold" */
    int pool, part;          /* copies */
} PartGroup;

typedef struct {
    Arena *arena;
    int size;
    bool found;       /* false: stopped before any was */
    int within;       /* no group is further from its share (pool x size / the pool's size) than so many cards */
    bool none_nearer; /* proven: no part of this size is within one card less, where within is above 1 */
    int *copies;      /* [cards] */
    int others;       /* cards of the part that are no candidates */
    PartGroup *group;
    size_t groups;
} Part;

/* copies[cards] and `others` cards that are no candidates: the pool, of at least `size` cards. Another seed gives
 * another part. options: threads, effort, stopping. False: the search could not run (*why says why). Released with
 * part_release in any case. */
bool part_find(const Instance *instance, const int *copies, int others, int size, uint64_t seed,
               const SearchOptions *options, Part *part, const char **why);
void part_release(Part *part);

#endif
