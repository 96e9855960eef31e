/* seats.h - what one seat of a draft sees of a pool, by counting: cards of a theme, of a role, of a rule; and whether
 * cards are there at all where the pool is larger than one draft. Chances are exact (base/draw.h); what passes a seat
 * is counted as if all picks were at random. */
#ifndef POOLWRIGHT_SEATS_SEATS_H
#define POOLWRIGHT_SEATS_SEATS_H

#include "base/draw.h"
#include "base/number.h"
#include "model/desk/scouting.h"
#include "model/instance/instance.h"

#define SEEN_MOST 12                      /* chances are told of at least 1 to so many cards */
#define SURE_SHARE (PERCENT_ONE / 10 * 9) /* what nine seats of ten see */

/* What a seat sees of some cards of the pool. */
typedef struct {
    int copies;                     /* in the pool */
    double mean;                    /* expected among the cards looked at */
    int sure;                       /* so many are among them with a chance of SURE_SHARE at least */
    double at_least[SEEN_MOST + 1]; /* [k] the chance of at least k; [0] is 1 */
} Seen;

typedef struct {
    const char *name, *of; /* a rule and its member; a theme's: the theme and "" */
    Seen by[DRAWS];
} SeenCards;

/* A theme's cards that its colours can play; a card that is both enabler and payoff counts as one of each, also in
 * a package. */
typedef struct {
    const char *name;
    SeenCards cards, enablers, payoffs;
    /* The chance that all that passes a seat holds those of a package, [0], and of one for another seat too, [1]. */
    double has_enablers[2], has_payoffs[2];
    double has_package;    /* both at once, for one seat */
    bool short_of_payoffs; /* for two there are enough of them with the lesser chance, or else for one */
    double least;          /* that chance */
    bool tagged;           /* some candidate is its enabler or payoff; else nothing is short of it */
    bool left_out;         /* the pool's choice of themes does not have it; then neither */
} ThemeSeen;

/* Cards that belong together (`together`). */
typedef struct {
    const char *name;
    const char **card;
    size_t cards;
    bool lacks;       /* one of them is not in the pool */
    double by[DRAWS]; /* the chance that all of them are there: none of more cards than are looked at */
} TogetherSeen;

typedef struct {
    Arena *arena;
    const Instance *instance;
    Drafting drafting;
    Package package;
    int pool;         /* cards, candidates or not */
    int drawn[DRAWS]; /* cards looked at */
    ThemeSeen *theme; /* [themes] the one that is short first; those that nothing is short of last */
    size_t themes;
    SeenCards *rule; /* [rules] members of rules that count copies and have a lower limit, without `each: theme` */
    size_t rules;
    TogetherSeen *together;
    size_t togethers;
} Seats;

/* Is it looked at for what is short? */
bool theme_may_be_short(const ThemeSeen *theme);

/* copies[cards]: the pool; others: cards of it that are no candidates, which count as cards of nothing. The pool has
 * enough cards for the draft (drafting_cards). Released with seats_release. */
void seats_count(const Instance *instance, const int *copies, int others, const Drafting *drafting,
                 const Package *package, Seats *seats);
void seats_release(Seats *seats);

/* The model's table for a pool of so many cards, with so many seats (0: as the model says). False with an error: the
 * model does not say how packs are dealt, which names its file, or, at `at`, the pool does not serve so many. */
bool seats_table(const Model *model, int seats, int pool, SourcePos at, Drafting *drafting, Diags *diags);
void seats_no_packs(const Model *model, Diags *diags); /* the first of these errors */

#define TABLES_MOST 4

/* The same pool at tables of four, six and eight, as far as it serves them. Released with seats_beside_release. */
typedef struct {
    Seats table[TABLES_MOST];
    size_t tables;
} SeatsBeside;

void seats_beside(const Instance *instance, const int *copies, int others, const Package *package, SeatsBeside *beside);
void seats_beside_release(SeatsBeside *beside);

#endif
