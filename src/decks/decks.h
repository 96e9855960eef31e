/* decks.h - what a pool holds for its drafters: for each set of deck_colours colours and each theme the best deck, and
 * the best one without its cards. */
#ifndef POOLWRIGHT_DECKS_DECKS_H
#define POOLWRIGHT_DECKS_DECKS_H

#include "decks/best_deck.h"

typedef struct {
    const char *of; /* "brass+tar", or the theme's name */
    bool is_theme;
    Deck first, second;
    int enablers, payoffs, removal; /* copies in the first deck: of the theme, of any theme that the colours play */
    int64_t cost_sum;               /* thousandths, over cost_cards copies that have a cost */
    int cost_cards;
    int curve[3]; /* copies that cost up to 2, 3 and 4, 5 and more */
    int fixing;   /* copies */
} DeckPair;

typedef struct {
    Arena *arena;
    const Instance *instance;
    DeckPair *pair;        /* [pairs] colours first, then themes; each group the least value first */
    size_t pairs, colours; /* colours: how many of them are of colours */
    const bool *unchosen;  /* [themes] that the pool's choice does not have: they have no deck; NULL: there is none */
    bool proven;           /* all of them */
    bool has_removal;      /* some candidate has the tag `removal` */
} Decks;

/* copies[cards]: the pool. A theme with fewer colours than a deck has is played in the best colours for it. False:
 * the search could not run (*why says why); stopped early is no error. Released with decks_release in any case. */
bool decks_find(const Instance *instance, const int *copies, const SearchOptions *options, Decks *decks,
                const char **why);
void decks_release(Decks *decks);

#endif
