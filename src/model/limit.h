/* limit.h - what must hold in a pool: its size, the spending cap, the members of rules, places, bands of enablers for
 * each payoff, needs, cards apart, groups, choices of themes, keeps and bans. One list of them, Instance.limit, that
 * programme, checker, explanations and reports go over. What only adds fit is a Form (structure.h).
 *
 * LIMIT_KIND_TABLE names every kind once: X(constant, name of its functions, word in JSON). Each room makes an array of
 * it (rows in programme/rows/limit_rows.c, the count in programme/count/limit_count.c, words in
 * report/words/limit_words.c), so that a kind which a room does not know fails to compile. */
#ifndef POOLWRIGHT_MODEL_LIMIT_H
#define POOLWRIGHT_MODEL_LIMIT_H

#include "model/model.h"

#define LIMIT_KIND_TABLE(X)                                                                                            \
    X(LIMIT_SIZE, size, "size")                                                                                        \
    X(LIMIT_CAP, cap, "cap")                                                                                           \
    X(LIMIT_RULE, rule, "rule")                                                                                        \
    X(LIMIT_PLACES, places, "places")                                                                                  \
    X(LIMIT_RATIO, ratio, "enablers per payoff")                                                                       \
    X(LIMIT_NEEDS, needs, "needs")                                                                                     \
    X(LIMIT_APART, apart, "apart")                                                                                     \
    X(LIMIT_GROUP, group, "group")                                                                                     \
    X(LIMIT_CHOICE, choice, "choice")                                                                                  \
    X(LIMIT_KEEP, keep, "keep")                                                                                        \
    X(LIMIT_BAN, ban, "ban")

#define LIMIT_CONSTANT(constant, function, word) constant,
typedef enum { LIMIT_KIND_TABLE(LIMIT_CONSTANT) LIMIT_KINDS } LimitKind;
#undef LIMIT_CONSTANT

typedef struct {
    LimitKind kind;
    const char *name;  /* "size", "spending cap", the rule's, "places (brass)", the card's for keeps and bans */
    const char *of;    /* the colour, pair or theme that it holds for; "" if for none */
    const char *title; /* both, as people read it: "size of the pool", "removal (tar)", "Ash Heron must be in" */
    SourcePos at;      /* line 0: the command line */
    Measure measure;   /* MEASURE_COUNT: copies; cards for needs and groups; themes for choices */
    Bounds bounds;     /* its sides; places: all that its themes ask for; a cap that is not there has no side */
    bool soft;         /* may be missed, at a price (RuleMember.rule) */
    int priority;      /* 1 to 9, 5 where nothing is said */
    int theme;         /* of the theme that it holds for, else -1: asks nothing if that may be chosen and is not */
    const struct RuleMember *member; /* LIMIT_RULE, else NULL */
    const Model *capped;             /* LIMIT_CAP: whose cap it is, for what was taken off it; else NULL */
    int colour;                      /* LIMIT_PLACES, else -1 */
    const char *because;             /* keeps, bans: why, or NULL */
    long card;                       /* needs: the card that needs others; keeps, bans; else -1 */
    size_t *among;                   /* [amongs] needs (any of which), apart, groups: cards, ascending, each once */
    size_t amongs;
    int *of_theme;  /* [of_themes] places, choices; ascending */
    int64_t *count; /* [of_themes] places: how many */
    size_t of_themes;
    bool has_all; /* places: mono copies of the colour in all, open places with them */
    int64_t all_low, all_high;
} Limit;

const char *limit_kind_name(LimitKind kind); /* the word in JSON */
/* Has it a side at all? All have but the cap where there is none. */
bool limit_asks(const Limit *limit);
/* Asks for one number, so that a pool which keeps it has no slack: says nothing of the pool. */
bool limit_is_exact(const Limit *limit);
/* A keep or a ban. */
bool limit_is_status(const Limit *limit);

#endif
