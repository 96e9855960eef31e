/* causes.h - why no pool is possible, in the order in which a person would look: what the sheets lack, the cap, one's
 * own keeps, bans and changes, sums that cannot meet. A minimal conflict among all limits (conflict.h) comes after.
 *
 * Each cause is a statement of its own: the limits it names cannot all hold (with the model's others as background,
 * where it says so): proven. What is left after a cause, and those before it, is set aside is tried too. */
#ifndef POOLWRIGHT_EXPLAIN_CONFLICT_CAUSES_H
#define POOLWRIGHT_EXPLAIN_CONFLICT_CAUSES_H

#include "explain/conflict/conflict.h"
#include "explain/explain.h"
#include "programme/reach/reach.h"

/* X(constant, word in JSON) in the order in which they are looked for. */
#define CAUSE_TABLE(X)                                                                                                 \
    X(CAUSE_SIZE, "size")                 /* fewer copies than places; of: copies there are */                         \
    X(CAUSE_KEEPS, "keeps")               /* of: so many cards are kept, more than places */                           \
    X(CAUSE_NO_ROLES, "no roles")         /* no card has a role on any tag */                                          \
    X(CAUSE_COMMAS, "commas in tags")     /* cards: so many have tags with a comma; word: such a tag */                \
    X(CAUSE_SPELLING, "spelling")         /* no card has the word of the field; cards: so many have the nearest */     \
    X(CAUSE_NO_FIXING, "no fixing")       /* no card is what the model calls fixing; word: the first kind it names */  \
    X(CAUSE_SLASHES, "slashes")           /* cards: multicolour cards written with /, of: multicolour cards in all */  \
    X(CAUSE_NO_CANDIDATE, "no candidate") /* no card counts for the limit */                                           \
    X(CAUSE_TOO_FEW, "too few") /* amount: as many as a pool takes of those that count come to so much at most */      \
    X(CAUSE_RISK, "price risk") /* at the prices given there is a pool */                                              \
    X(CAUSE_CAP, "cap")         /* without the cap there is a pool */                                                  \
    X(CAUSE_OWN, "own")         /* keeps, bans, changes that the model has no room for together */                     \
    X(CAUSE_SUM, "sum")         /* counts that add up to more, or less, than one of them allows */

#define CAUSE_CONSTANT(constant, word) constant,
typedef enum { CAUSE_TABLE(CAUSE_CONSTANT) CAUSE_KINDS } CauseKind;
#undef CAUSE_CONSTANT

typedef enum { REST_UNKNOWN, REST_POSSIBLE, REST_IMPOSSIBLE } CauseRest;

typedef struct {
    CauseKind kind;
    int *side; /* [sides] of the explanation, ascending: the limits that cannot hold */
    int sides;
    int *with; /* [withs] own: limits of the model that they do not go with; 0: these were not found out */
    int withs;
    const char *field;          /* spelling: "tag" or "kind" */
    const char *word, *nearest; /* NULL: none */
    size_t cards, of;
    int64_t amount; /* too few: smallest units; sum: cards that the others come to together */
    int64_t wanted; /* too few: what the limit asks for, smallest units */
    int against;    /* sum: the side that this does not fit; among `side` */
    bool has_money;
    Range money;    /* cap, price risk: cents, the least stated cap with which there is a pool */
    CauseRest rest; /* without this and the causes before it (but for a size among several sides, which stays) there is
                       a pool: proven, disproven, not known */
} Cause;

typedef struct {
    Cause *cause; /* in order */
    size_t causes;
    Arena *arena; /* words */
} Causes;

const char *cause_kind_name(CauseKind kind);
/* It is proven that there is no pool, or nothing is found. Leaves the oracle as it was. */
void causes_find(Explain *explain, Causes *causes);
/* Without them there is a pool: they are all there is to say. */
bool causes_complete(const Causes *causes);
void causes_release(Causes *causes);

/* What the sheets lack (causes_data.c): causes whose limits cannot be met whatever is chosen, without keeps and bans;
 * and more keeps than there are places. */
void causes_of_data(const Explain *explain, Causes *causes);
Cause *cause_add(Causes *causes, CauseKind kind);
void cause_add_side(Cause *cause, int side);

/* Cards with a tag that holds commas, one of whose parts is a theme: whether several tags were meant is not known.
 * *example is such a tag, NULL if there is none. */
size_t causes_stray_commas(const Instance *instance, const char **example);

#endif
