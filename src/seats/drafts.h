/* drafts.h - simulated drafts of a pool: seats that pick by a simple rule, many tables, and what they end with.
 *
 * The rule. A seat scores each card of the pack: its power as the model weighs it, and for each of its themes the tag's
 * weight x the theme's weight x (n + 1) / (n + 4), where n counts the theme's cards that the seat has (so a theme
 * counts a quarter for a beginner and nearly in full for one who is in it). A card that the colours which suit the seat
 * best so far cannot play counts less with every pick, and nothing from half of the draft on; the best colours are
 * those that can play the most worth of what it has. To each score comes a taste of its own, up to a tenth of the
 * average power either way. The highest score is taken; nobody remembers what was passed, takes a card away from a
 * neighbour, counts a curve, or knows fixing.
 *
 * Every draft has its own stream of random numbers (base/random.h), so the same seed gives the same drafts whatever the
 * number of threads, and a draft can be run again alone. All sums are whole numbers. */
#ifndef POOLWRIGHT_SEATS_DRAFTS_H
#define POOLWRIGHT_SEATS_DRAFTS_H

#include <stdatomic.h>

#include "base/draw.h"
#include "model/desk/scouting.h"
#include "model/instance/instance.h"

#define SPREAD_MOST 127

/* How often each number came up; what is above SPREAD_MOST counts there, but in full in the sums. */
typedef struct {
    int64_t times, sum, squares, count[SPREAD_MOST + 1];
} Spread;

void spread_add(Spread *spread, int value);
double spread_mean(const Spread *spread);
double spread_deviation(const Spread *spread);              /* of single values */
int spread_quantile(const Spread *spread, int thousandths); /* the least number that so many do not exceed */

/* Of one theme. A seat drafts the theme of which the most cards are in its playables, the first of the model where two
 * have as many; none, if there is no card of a theme. */
typedef struct {
    const char *name;
    int64_t seats;                   /* that drafted it, over all drafts */
    int64_t drafts[3];               /* in which nobody, one, two or more did */
    Spread cards, enablers, payoffs; /* that its drafter ended with, playable in its colours */
    Spread opened, seen; /* cards of the theme that the first seat opened, saw (each once), whatever it drafts */
} DraftTheme;

/* What a deck needs: enough playable cards, and the lower bounds of the deck's rules that count cards (Model.deck);
 * where none of those is of themes, the enablers and payoffs of a package. */
typedef struct {
    const char *name;
    const Rule *rule;   /* NULL: cards, package */
    int64_t asked, met; /* seats */
    int64_t missing;    /* cards, over all seats */
    int64_t worst;      /* cards, over the worst seat of each draft: the one that misses most in all */
} DraftNeed;

typedef struct {
    int card;                   /* candidate */
    int64_t seen;               /* picks of it */
    int64_t place, first, last; /* the sum of its places in the pack, from 1; picks as the first, last card of a pack */
} DraftCard;

typedef struct {
    Arena *arena;
    const Instance *instance;
    Drafting drafting;
    int drafts, deck_size;
    uint64_t seed;
    DraftTheme *theme; /* [themes] */
    size_t themes;
    const bool *unchosen; /* [themes] that the pool's choice does not have: no seat values or drafts them; NULL: none */
    DraftNeed *need;      /* [needs] the cards of a deck first */
    size_t needs;
    DraftCard *card; /* [cards] of the pool, candidates only; the earliest picked first */
    size_t cards;
    Spread playables;
    Spread missing, worst; /* cards that a seat, the worst seat of a draft misses in all */
    int64_t no_theme;      /* seats */
    bool stopped;          /* by a signal: `drafts` were done */
} Drafts;

typedef struct {
    int drafts;
    uint64_t seed;
    uint64_t first; /* the number of the first draft; 0 */
    int threads;
    bool random_picks;        /* any card of the pack, each as likely: what exact chances assume */
    const atomic_int *cancel; /* NULL: never */
} DraftOptions;

/* copies[cards] and `others` cards that are no candidates: the pool, enough for the draft. Released with
 * drafts_release. */
void drafts_run(const Instance *instance, const int *copies, int others, const Drafting *drafting,
                const Package *package, const DraftOptions *options, Drafts *drafts);
void drafts_release(Drafts *drafts);

#endif
