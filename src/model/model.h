/* model.h - the rules of a pool: themes, rules, filters, bounds; free of any card list until an Instance brings cards
 * in. Meanings: docs/files.md. Knows nothing of solvers. */
#ifndef POOLWRIGHT_MODEL_MODEL_H
#define POOLWRIGHT_MODEL_MODEL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/currency_met.h"
#include "base/diag.h"
#include "base/draw.h"
#include "base/memory.h"
#include "cards/cards.h"

typedef enum { EACH_NONE, EACH_COLOUR, EACH_PAIR, EACH_THEME } Each;
typedef enum { SCOPE_EXACT, SCOPE_TOUCHING, SCOPE_PLAYABLE, SCOPE_TAGGED } Scope;

/* What a rule adds up: X(constant, word, what it is, decimals, how copies add up). A word that is none of these names a
 * column: MEASURE_COLUMN, with three decimals. */
#define MEASURE_TABLE(X)                                                                                               \
    X(MEASURE_COUNT, "count", "copies", 0, ADDS_COPIES)                                                                \
    X(MEASURE_NAMES, "names", "different cards, however many copies of each", 0, ADDS_ONCE)                            \
    X(MEASURE_SPEND, "spend", "money for copies that must be bought", 2, ADDS_BOUGHT)                                  \
    X(MEASURE_PRICE, "price", "money, owned or not", 2, ADDS_COPIES)                                                   \
    X(MEASURE_FIT, "fit", "fit", 3, ADDS_COPIES)                                                                       \
    X(MEASURE_COST, "cost", "the cost column", 3, ADDS_COPIES)                                                         \
    X(MEASURE_POWER, "power", "the power column", 3, ADDS_COPIES)                                                      \
    X(MEASURE_WEIGHT, "weight", "the weight of tags", 3, ADDS_COPIES)

#define MEASURE_CONSTANT(constant, word, what, decimals, adds) constant,
typedef enum { MEASURE_TABLE(MEASURE_CONSTANT) MEASURE_COLUMN } Measure;
#undef MEASURE_CONSTANT

/* The value of one copy times the copies; times those beyond the owned ones; once, if the card is in. */
typedef enum { ADDS_COPIES, ADDS_BOUGHT, ADDS_ONCE } MeasureAdds;
MeasureAdds measure_adds(Measure measure);
/* Only whole numbers: a count of some kind. */
bool measure_is_whole(Measure measure);
/* 1 for a count, 100 for money, 1000 for the rest: one unit of the user's in the measure's smallest unit. */
int64_t measure_unit(Measure measure);
int measure_scale(Measure measure); /* decimals: 0, 2, 3 */

typedef enum {
    BOUND_ABSOLUTE,
    BOUND_PERCENT,
    BOUND_AVERAGE,
    BOUND_RATIO /* so many for each of something else: enablers for each payoff, in no rule */
} BoundKind;

/* A lower bound said as a chance: of the cards looked at, at_least are of those counted. */
typedef struct {
    DrawBy by;
    int at_least;
    int64_t chance; /* thousandths of a percent */
    int cards;      /* what that takes: so many must be in the pool; known of a member's bounds in force */
} SeenBound;

typedef struct {
    BoundKind kind;
    bool has_low, has_high;
    int64_t low, high; /* absolute: smallest units of the measure; percent: thousandths of a percent; average:
                          thousandths (cents for money); ratio: thousandths */
    bool exactly;      /* written as `exactly` */
    bool has_seen;     /* low is what `seen` takes; absolute, of a count */
    SeenBound seen;
    int size_at; /* the size in force where it was written (a band's `to`) */
    SourcePos at;
} Bounds;

typedef enum {
    FIELD_CLASS,
    FIELD_COLOURS,
    FIELD_KIND,
    FIELD_TAG,
    FIELD_THEME,
    FIELD_ROLE,
    FIELD_WEIGHT,
    FIELD_NAME,
    FIELD_WISHES,
    FIELD_COST,
    FIELD_POWER,
    FIELD_PRICE,
    FIELD_FIT,
    FIELD_COPIES,
    FIELD_PLAYABLE,
    FIELD_THEMES,
    FIELD_COLUMN
} Field;

typedef struct {
    const char *text; /* as written, NULL for ranges */
    const char *folded;
    bool is_range; /* {from, to} */
    bool has_from, has_to, is_number;
    int64_t from, to; /* numbers in the field's unit (cents for price, copies whole, playable: thousandths of a percent,
                         else thousandths); from == to for one number */
    ColourNeed colours; /* FIELD_COLOURS */
    SourcePos at;
} FilterValue;

typedef struct {
    Field field;
    const char *column; /* FIELD_COLUMN: the header */
    bool negated;
    size_t values; /* any of these */
    FilterValue *value;
    SourcePos at;
} FilterTest;

typedef struct {
    size_t tests; /* all must hold; 0: every candidate */
    FilterTest *test;
    int id; /* from 1, unique in its model: an Instance keeps what it has worked out under it; 0: not numbered */
    SourcePos at;
} Filter;

typedef struct {
    const char *name;
    ColourMask colours;
    int64_t weight; /* thousandths */
    SourcePos at;
} Theme;

typedef struct {
    const char *member; /* as written: a colour, pair or theme; "all" is the rule itself and not listed here */
    Bounds bounds;
} MemberBounds;

typedef struct {
    const char *name, *folded;
    Each each;
    Scope scope;
    Filter where;
    bool has_of;
    Filter of;
    Measure measure;
    const char *column; /* MEASURE_COLUMN */
    SourcePos measure_at;
    Bounds bounds;
    MemberBounds *own; /* `for` and targets sheets */
    size_t owns;
    bool is_soft;
    int64_t soft; /* thousandths of fit per begun unit */
    int priority;
    bool scales;
    bool watch; /* counted and shown against its bounds, and never a limit */
    SourcePos at;
} Rule;

typedef struct {
    const char *name; /* a card or a rule, as written */
    SourcePos at;
    int layer; /* keep and ban of one card: the later layer wins, in one layer it is an error. Sheets count as layer 0
                */
    const char *comment; /* what a # behind the name made a comment of, or NULL: for hints */
} NameAt;

typedef struct {
    NameAt card;
    NameAt *from;
    size_t froms;
    const char *because; /* "" if none */
} Exempt;

/* Gives its tag to every candidate that passes `where` and whose text (or name) the expression is found in. */
typedef struct {
    const char *name; /* the tag, if none was given */
    const char *tag, *folded;
    Role role;
    int64_t weight;  /* thousandths */
    bool has_weight; /* it was written */
    Filter where;
    const char *text; /* a Perl-compatible regular expression; NULL: any text */
    bool in_name;
    SourcePos at, text_at;
} Pattern;

/* What one unit of a currency is worth in the default one. */
typedef struct {
    const char *currency; /* a code or a sign, as written */
    int64_t rate;         /* millionths */
    SourcePos at;
} Rate;

/* What an order at a shop costs besides the cards. */
typedef struct {
    const char *name, *folded;
    int64_t postage; /* cents */
    bool has_free;
    int64_t free_from; /* cents of cards from which there is no postage */
    int64_t least;     /* cents of cards in an order */
    SourcePos at;
} Shop;

typedef enum { UNPRICED_ERROR, UNPRICED_SKIP, UNPRICED_DEFAULT } Unpriced;

/* What a good deck is, for the verb `decks`; no limit of the pool. Its rules stand behind the pool's in Model.rule. */
typedef struct {
    int size; /* cards of the pool in a deck; 0: nothing says how many */
    size_t rules;
} DeckPlan;

typedef struct {
    Arena *arena;
    const char *path; /* the file as the user named it */
    int size_from, size_to;
    SourcePos size_at;
    bool has_cap;
    int64_t cap;        /* cents, in force: what is stated less the headroom, rounded down */
    int64_t cap_stated; /* cents */
    int64_t headroom;   /* thousandths of a percent of the cap */
    bool counts_paid;   /* the cap is on what was paid and what must be bought together */
    SourcePos cap_at;
    const char **colour;
    size_t colours;
    bool has_fixing;
    Filter fixing;
    int hybrid_as_gold;          /* symbols; 0 never */
    int seats, packs, pack_size; /* 0: not given */
    int deck_colours;
    int64_t power_weight, unscored; /* thousandths */
    Unpriced unpriced;
    int64_t unpriced_default; /* cents */
    const char *currency;     /* NULL: all amounts must be in one, whichever it is */
    CurrencyMet *met;         /* that one, as it is met; prices come after the model's own amounts */
    Rate *rate;
    size_t rates;
    bool has_stale;
    int stale;        /* days after which a dated price is old */
    int64_t handling; /* cents for each bought copy, besides its price */
    bool has_risk;
    int64_t protect; /* thousandths: how many prices may rise to their highs (Bertsimas and Sim's Gamma) */
    Shop *shop;
    size_t shops;
    const char **accept[2]; /* [accepts[k]] folded: conditions and languages of price sheets that count; 0: all */
    size_t accepts[2];
    SourcePos accept_at[2];
    Pattern *pattern;
    size_t patterns;
    const char **map_field, **map_header;
    SourcePos *map_at;
    size_t maps;
    Habits habits;        /* how sheets are read */
    Grades grades;        /* words for powers */
    Grades *theme_grades; /* [themes] words for weights of tags; NULL: none */
    Theme *theme;
    const char **theme_name; /* [themes] the same names, for the vocabulary */
    size_t themes;
    struct Structure *structure; /* places, engines, combinations ...: structure.h; never NULL */
    Rule *rule;                  /* [rules + deck.rules] only rules in force: the pool's, then a deck's */
    size_t rules;
    DeckPlan deck;
    Exempt *exempt;
    size_t exempts;
    NameAt *keep, *ban, *wish; /* of models, scenario and command line */
    size_t keeps, bans, wishes;
    int filters; /* the highest Filter.id */
} Model;

/* The cap in force of a stated one: less the headroom, exactly and rounded down; and the least stated one that leaves
 * so much. Cents. */
int64_t model_cap_in_force(const Model *model, int64_t stated);
int64_t model_cap_stated(const Model *model, int64_t in_force);

/* The words for the weights of the tag; none where it is no theme or the model has none. */
Grades model_theme_grades(const Model *model, const char *tag);
/* The words that sheets are read with; points into the model. */
CardVocabulary model_vocabulary(const Model *model);

/* n(n-1)/2 pairs in the order (0,1), (0,2), ..., (1,2), ... */
size_t model_pairs(const Model *model);
ColourMask model_pair(const Model *model, size_t index);
/* The masks of deck_colours colours, ascending: [*count], in the arena. */
ColourMask *model_decks(const Model *model, Arena *arena, int *count);
/* "brass+tar" in the arena. */
const char *model_mask_name(const Model *model, ColourMask mask, Arena *arena);

#endif
