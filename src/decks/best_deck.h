/* best_deck.h - the best deck that a pool holds for some colours: an integer programme of its own, over the pool's
 * cards.
 *
 * A deck takes copies of cards that its colours can pay, DeckPlan.size of them, and keeps the plan's rules. Its value
 * is the power of its cards and their tags of the themes that it plays; nothing else of the model's fit. Where no deck
 * keeps all rules, the one that misses the fewest units of them together is sought first (a card, 1.00 of money, one
 * unit of a column; of an average: of the sum that is above or below it; a card that is not there counts too, one too
 * many is never there), and the best of these. */
#ifndef POOLWRIGHT_DECKS_BEST_DECK_H
#define POOLWRIGHT_DECKS_BEST_DECK_H

#include "model/instance/instance.h"
#include "search/search.h"

/* What a deck is about. */
typedef struct {
    ColourMask mask;      /* what it pays with */
    int theme;            /* whose tags alone count; -1: those of every theme with no colour beyond these */
    const bool *unchosen; /* [themes] the pool's choice does not have it: its tags count nowhere; NULL: it has all */
} DeckAim;

/* A rule of the plan in this deck; of its size: rule NULL. */
typedef struct {
    RuleMember member; /* not of the size */
    Bounds bounds;
    int64_t use;     /* in the measure's smallest unit; of an average: the sum, over `counted` cards */
    int counted;     /* copies that take part */
    int64_t missed;  /* units */
    int64_t gain;    /* thousandths: what one unit less of it brings; proven, 0 where it is nothing */
    bool gain_known; /* worked out: every rule was kept, and effort sufficed */
    bool low_side;   /* of the gain: at_least is what is in the way */
} DeckLimit;

typedef struct {
    Arena *arena;
    DeckAim aim;
    bool has_deck;    /* false: stopped before any was found */
    bool proven;      /* missed and value are the best there are */
    int *copies;      /* [cards] */
    int cards;        /* their sum */
    int64_t missed;   /* units over all limits */
    int64_t value;    /* thousandths */
    int64_t bound;    /* no deck that misses so little is worth more; value, if proven */
    DeckLimit *limit; /* [limits] the size, then the plan's rules that hold here */
    size_t limits;
    long hurts; /* the limit that is missed most, else the one whose gain is greatest; -1: none */
} Deck;

/* The card's tag of this theme, where the theme is at home in a deck of this aim; else NULL. */
const CardTag *deck_theme_tag(const Instance *instance, const DeckAim *aim, size_t theme, size_t card);
/* One copy's worth in a deck of this aim, thousandths, rounded once. */
int64_t deck_worth(const Instance *instance, const DeckAim *aim, size_t card);
/* From these copies of the candidates. with_gains: also what each rule costs. options: threads, effort, stopping; its
 * gap and start are not used. Released with deck_release in any case; false: the search could not run (*why says why).
 */
bool deck_find(const Instance *instance, const int *copies, const DeckAim *aim, bool with_gains,
               const SearchOptions *options, Deck *deck, const char **why);
void deck_release(Deck *deck);

#endif
