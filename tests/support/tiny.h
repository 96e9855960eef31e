/* tiny.h - scenarios small enough to try every pool, as plain structures.
 *
 * This is a second, independent reading of docs/files.md: a scenario is made here as an abstract thing (tiny_make.c),
 * written out as sheets and YAML (tiny_cards.c, tiny_yaml.c), and judged here from the abstract thing alone
 * (tiny_judge.c), by counting, with no solver and no code of src/. Larger ones, up to CARDS_MOST candidates, are made
 * for outside solvers and judged, but not tried out. Units as there: money in cents, counts in copies, everything else
 * in thousandths. The cards are invented. */
#ifndef POOLWRIGHT_SUPPORT_TINY_H
#define POOLWRIGHT_SUPPORT_TINY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "run.h"

__extension__ typedef __int128 Wide;

enum {
    CARDS_MOST = 150,
    TINY_CARDS_MOST = 14,
    COLOURS_MOST = 4,
    THEMES_MOST = 3,
    TAGS_MOST = 5,
    KINDS_MOST = 4,
    RULES_MOST = 6,
    TESTS_MOST = 3,
    VALUES_MOST = 2,
    OWNS_MOST = 2,
    EXEMPTS_MOST = 2,
    MEMBERS_MOST = 6,
    PARTS_MOST = 3,
    WORDS_MOST = 3
};

/* Layers in which a bound or a size can be said, later ones win. BASE is the file that the model extends. */
enum { LAYER_BASE, LAYER_MODEL, LAYER_TARGETS, LAYER_CHANGE, LAYER_CASE, LAYERS };

enum { OF_COLOURLESS, OF_MONO, OF_GOLD, OF_HYBRID, OF_FIXING }; /* classes */
enum { NO_ROLE, ENABLER, PAYOFF, BOTH };
enum { ONCE, PER_COLOUR, PER_PAIR, PER_THEME };
enum { BY_DEFAULT, EXACT, TOUCHING, PLAYABLE, TAGGED };
enum { COUNT, SPEND, PRICE, FIT, COST, POWER, WEIGHT, COLUMN, NAMES, MEASURES };
enum { SKIP_NEVER, SKIP_UNPRICED, DEFAULT_PRICE };
enum { KEEP = 1, BAN = 2, WISH = 4 };
/* where a card's wish, keep, ban was said */
enum { BY_SHEET, BY_MODEL, BY_SCENARIO, BY_COMMAND, WAYS };

/* Each part is a set of colours (bits) of which one must be paid; the parts are as written and may repeat or imply one
 * another. */
typedef struct {
    int parts;
    unsigned part[PARTS_MOST];
} Need;

typedef struct {
    bool there;
    int role;
    int64_t weight;
    int written; /* 0: in the cell of tags, 1: in the theme's own column, 2: in a sheet of tags */
} TinyTag;

typedef struct {
    Need printed, as; /* as: if as_colours */
    bool has_as_colours, has_as_kind, has_as_cost;
    unsigned kind, as_kind; /* sets of kinds */
    bool has_cost, has_power, has_price, has_number;
    int64_t cost, as_cost, power, price, number; /* number: a column with numbers */
    int word;                                    /* of a column with text; -1: blank */
    int symbols;                                 /* -1: blank */
    int copies, owned;
    bool owned_by_sheet, priced_by_sheet; /* in a sheet of their own */
    int64_t high;                         /* to which the price may rise; only a sheet of prices says so */
    unsigned status[WAYS];
    TinyTag tag[TAGS_MOST]; /* the first ones are the themes */
    int sheet;              /* which of the two sheets of cards */
} TinyCard;

enum {
    BY_CLASS,
    BY_COLOURS,
    BY_KIND,
    BY_TAG,
    BY_THEME,
    BY_ROLE,
    BY_WEIGHT,
    BY_NAME,
    BY_COST,
    BY_POWER,
    BY_PRICE,
    BY_FIT,
    BY_COPIES,
    BY_PLAYABLE,
    BY_NUMBER,
    BY_WORD,
    FIELDS
};

typedef struct {
    int field;
    bool negated;
    bool is_range, has_from, has_to;
    int64_t from, to;
    int values;
    int64_t
        value[VALUES_MOST]; /* class, kind, tag, theme (-1: any), role, card, word by number; else the number itself */
    Need need[VALUES_MOST]; /* for BY_COLOURS */
} Test;

typedef struct {
    int tests;
    Test test[TESTS_MOST];
} Where;

typedef enum { NONE, EXACTLY, AT_LEAST, AT_MOST, BETWEEN, LEAST_AND_MOST } Side;
typedef enum { ABSOLUTE, PERCENT, AVERAGE } Sort;

enum { SEEN_PACK, SEEN_OPENS, SEEN_SEES };

/* A lower bound on copies said as a chance to see so many of them; at_least 0: none. */
typedef struct {
    int by, at_least;
    int64_t chance; /* thousandths of a percent */
} TinySeen;

typedef struct {
    Side side;
    Sort sort;
    TinySeen seen; /* in place of `low`, of absolute counts with at_least, or that with at_most */
    int64_t low,
        high; /* in the measure's unit; percent: thousandths of a percent; averages: thousandths (cents for money) */
} Band;

typedef struct {
    int member; /* number of a colour, pair or theme */
    Band band;
} Own;

typedef struct {
    bool in_base; /* written in the file that is extended, else in the model */
    int each, scope;
    Where where, of;
    bool has_of;
    int measure;
    Band band[LAYERS];
    Own own[LAYERS][OWNS_MOST];
    int owns[LAYERS];
    int64_t soft; /* 0: hard */
    int scales;   /* 0: not said, 1: yes, 2: no */
    int off;      /* 0: no, 1: in the model's own layer, 2: by the change */
} TinyRule;

typedef struct {
    unsigned colours; /* a set; all of them: not written */
    int64_t weight, changed_weight;
    bool changed; /* the change sets the weight */
} TinyTheme;

typedef struct {
    int colours, themes, tags, kinds;
    int cards;
    TinyCard card[CARDS_MOST];
    TinyTheme theme[THEMES_MOST];
    int rules;
    TinyRule rule[RULES_MOST];
    bool has_base;
    bool has_size[LAYERS];
    int size_from[LAYERS], size_to[LAYERS];
    bool size_by_command;
    int command_from, command_to;
    bool has_cap, cap_by_change, cap_by_command;
    int64_t cap, changed_cap, command_cap;
    int seats, packs, pack_size; /* how packs are dealt; seats 0: not said */
    bool has_fixing;
    Where fixing;
    int hybrid_as_gold;             /* 0: never */
    int deck_colours;               /* 0: not said */
    int64_t power_weight, unscored; /* -1 for power_weight: `fit` not said */
    int unpriced;
    int64_t default_price;
    int64_t playable; /* fit: {playable: ..}, thousandths of a percent; 0: not said */
    int64_t protect;  /* prices that rise at once, thousandths; 0: no price risk */
    int exempts;
    int exempt_card[EXEMPTS_MOST], exempt_rule[EXEMPTS_MOST];
    bool has_present; /* a present pool */
    int present[CARDS_MOST];
    int pool_owned;       /* 0: not said, 1: yes, 2: no */
    bool counts_paid;     /* the cap is on what was paid and what must be bought */
    int paid[CARDS_MOST]; /* cents, on the card's line of the owned sheet */
    /* how it is written */
    char separator;
    bool bom, crlf, repeat_a_line, map_price, block_style, odd_spelling;
    bool grades;     /* some powers and weights of themes' tags are words */
    bool case_named; /* run with the case */
    bool money;      /* more rules on money than elsewhere */
} Tiny;

typedef enum { TINY_BEST, TINY_INFEASIBLE } TinyStatus;

typedef struct {
    TinyStatus status;
    int64_t fit;
    int copies[CARDS_MOST]; /* of the first best pool: the cheapest, the fewest changes, by names */
    long feasible;          /* how many pools there are */
    long equals;            /* how many of them have the best fit */
} TinyAnswer;

/* Names as written in the sheets, and another spelling that folds alike. */
const char *tiny_card_name(int card);
const char *tiny_card_spelling(int card);
const char *tiny_colour_name(int colour);
const char *tiny_theme_name(int tag); /* of any tag: the first ones are themes */
const char *tiny_kind_name(int kind);
const char *tiny_word(int word);
void tiny_pair(const Tiny *tiny, int pair, int *first, int *second);
int tiny_members(const Tiny *tiny, int each);

/* tiny_cards.c: what the words for powers are worth, which 0 and 1. */
bool tiny_power_grade(const Tiny *tiny, int which, int64_t *power);
/* tiny_make.c: a random scenario, feasible for most seeds. Up to TINY_CARDS_MOST candidates have few enough pools to
 * try them all. */
void tiny_make(Tiny *tiny, uint64_t seed);
void tiny_make_sized(Tiny *tiny, uint64_t seed, int cards_from, int cards_to);
/* Money at risk, two-sided and least sums of money, fit that counts in so far as a deck can play the card: for what is
 * judged by the checker (counted.h), since tiny_judge.c does not know of it. */
void tiny_make_risky(Tiny *tiny, uint64_t seed);

/* tiny_judge.c, tiny_filter.c: meaning. */
typedef struct TinyView
    TinyView; /* what every card counts as, and all members of all rules, with the bounds in force */
TinyView *tiny_view(const Tiny *tiny);
void tiny_view_free(TinyView *view);
/* Is the pool allowed, and what is its fit, less what soft rules cost? */
bool tiny_judge(const TinyView *view, const int *copies, int64_t *fit);
void tiny_solve(const Tiny *tiny, TinyAnswer *answer);
/* For making bounds: the use of one member by the pool, ignoring bounds; total: of the other side of a percentage;
 * counted: copies with a value. */
void tiny_use(const Tiny *tiny, int rule, int member, const int *copies, int64_t *use, int64_t *total,
              int64_t *counted);
/* The same by a view, for a member in force. */
void tiny_view_use(const TinyView *view, int rule, int member, const int *copies, int64_t *use, int64_t *total,
                   int64_t *counted);
/* Does the pool keep the size and each card's own limits? */
bool tiny_view_allows(const TinyView *view, const int *copies);
/* The member of the rule that is called so ("brass", "brass+tar", "convoys", "" without each), or -1. */
int tiny_member_of(const Tiny *tiny, const TinyRule *rule, const char *name);
/* The bounds in force for a member, scaled. */
Band tiny_band(const Tiny *tiny, const TinyRule *rule, int member);
int64_t tiny_spend(const Tiny *tiny, const int *copies);
int64_t tiny_paid(const Tiny *tiny);                 /* as far as the cap counts it */
int tiny_size_in_force(const Tiny *tiny, int layer); /* a band's upper end; layer LAYERS: at last */
void tiny_sizes_in_force(const Tiny *tiny, int *from, int *to);

/* tiny_seen.c: the fewest copies with which the chance holds at every size in force that there can be with them, by
 * counting all draws. */
int tiny_seen_copies(const Tiny *tiny, const TinySeen *seen);
/* In some scenarios, bounds on counts said as chances that are no stricter; by dice of its own. */
void tiny_make_seen(Tiny *tiny, uint64_t seed);

/* Copies that need not be bought. */
int tiny_owned(const Tiny *tiny, int card);

/* tiny_filter.c */
typedef struct {
    Need need;      /* canonical */
    unsigned shown; /* all its colours */
    int class;
    unsigned kind;
    bool has_cost, has_price;
    int64_t cost, price, fit;
    int playable; /* decks */
    bool skipped;
} Seen;
void tiny_see(const Tiny *tiny, Seen *seen);
bool tiny_passes(const Tiny *tiny, const Seen *seen, const Where *where, int theme, int card);
bool tiny_payable(const Need *need, unsigned colours);
/* The weight that `measure: weight` adds up; false when the card has none of these tags. */
bool tiny_weight(const Tiny *tiny, const Where *where, int theme, int card, int64_t *weight);

/* tiny_cards.c, tiny_yaml.c: writes scenario.yaml, model.yaml, base.yaml, sheets. */
void tiny_write(const Tiny *tiny, const char *folder);
void tiny_write_cards(const Tiny *tiny, const char *folder);

/* Runs `best --json --gap 0` and compares everything with the answer; fails the test with the folder's name and the
 * difference. engine may be NULL. */
void tiny_check(const Tiny *tiny, const char *folder, const TinyAnswer *answer, const char *engine, uint64_t seed);

/* The same with `--effort`: what is called best or infeasible must be so, a pool must be allowed, a bound must hold.
 * Fails the test otherwise. */
typedef enum { TINY_PROVEN, TINY_STOPPED, TINY_STOPPED_WITH_POOL } TinyStop;
TinyStop tiny_check_effort(const Tiny *tiny, const char *folder, const TinyAnswer *answer, const char *effort,
                           uint64_t seed);

/* The sentences of a search that was stopped: fit and bound stand where they belong, as in the JSON of the same run. */
bool tiny_screen_agrees(const char *screen, const json_t *root);

/* A growing text for the writers. */
typedef struct {
    char *data;
    size_t length, capacity;
} Page;
void page_add(Page *page, const char *format, ...) __attribute__((format(printf, 2, 3)));
void page_decimal(Page *page, int64_t value, int scale, char point); /* scale: 100 or 1000 */
void page_save(Page *page, const char *folder, const char *name);    /* and releases it */

#endif
