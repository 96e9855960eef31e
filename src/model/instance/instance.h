/* instance.h - a model and its candidates, matched: the one thing that programme, checker and reports look at.
 * Rules are spread over their members here (one per colour, pair or theme), with the bounds that hold for each. */
#ifndef POOLWRIGHT_MODEL_INSTANCE_INSTANCE_H
#define POOLWRIGHT_MODEL_INSTANCE_INSTANCE_H

#include "model/limit.h"
#include "model/scenario.h"
#include "model/instance/structure.h"

typedef struct RuleMember {
    const Rule *rule;
    const char *of;  /* "brass", "brass+tar", "convoys"; "" for a rule without each */
    ColourMask mask; /* the member's colours (a theme's colours for themes); 0 without each */
    int theme;       /* index into Model.theme, else -1 */
    Bounds bounds;   /* that hold for this member: own ones if it has any, scaled */
    Bounds written;  /* before scaling */
    int size;        /* of the pool that they are scaled to; 0: they are not */
} RuleMember;

/* A card's own tag that says otherwise than a pattern that caught the card: the own one counts. */
typedef struct {
    size_t pattern, card;
    Role role; /* of the card's own tag */
    int64_t weight;
} PatternClash;

/* A line of a price sheet that counts: so many copies of a card for so much each. */
typedef struct {
    size_t card;
    size_t shop;                      /* index into Instance.shop */
    int64_t price;                    /* cents */
    int stock;                        /* -1: not said */
    const char *condition, *language; /* "" where nothing is said */
    SourcePos at;
} ShopOffer;

typedef struct {
    const char *name, *folded; /* "" where the sheets name none */
    const Shop *terms;         /* the model's; NULL: no postage, no least order */
} OfferShop;

typedef struct {
    const char *name;
    int copies;
    int64_t paid; /* cents */
} OwnedStray;

/* A line of owned sheets that says what was paid for its copies, if only nothing. */
typedef struct {
    size_t card;
    int copies;
    int most;     /* where no column says copies, with those of the lines right behind it that say no money */
    int64_t paid; /* cents */
} OwnedLine;

/* A line of the present pool that names no candidate. */
typedef struct {
    const char *name;
    int copies;
    SourcePos at;
} GoneCard;

struct JournalLine; /* model/history/journal.h */
struct Journal;

/* What was said and done about a card until today. */
typedef struct {
    int trial; /* the day until which it stays on trial; DAY_UNKNOWN: none */
    SourcePos trial_at;
    const char *never;              /* why it is never in; NULL: nothing is said */
    const struct JournalLine *last; /* the journal's last word on it, or NULL */
} CardHistory;

typedef struct {
    Arena *arena;
    const Scenario *scenario;
    const Model *model;
    CardSet *cards;       /* owned; candidates that `unpriced: skip` leaves out have most[] 0 */
    CardClass *class;     /* [cards] */
    int64_t *fit;         /* [cards] thousandths, one copy */
    bool *unpriced;       /* [cards] has no price of its own (price is 0 or the default) */
    bool *skipped;        /* [cards] left out by `unpriced: skip` */
    int64_t *price;       /* [cards] cents in force */
    bool *quoted;         /* [cards] a price sheet has its price */
    int64_t *low, *high;  /* [cards] cents; the price where nothing is said */
    size_t priced_before; /* candidates with a price that the sheets of --prices do not name; 0 without such */
    int *price_day;       /* [cards] days since 1970-01-01, or DAY_UNKNOWN */
    ShopOffer *offer;     /* [offers] in the order of price sheets */
    size_t offers;
    bool *sold_out;  /* [cards] some line would be an offer, were it not sold out */
    OfferShop *shop; /* [shops] in the order met */
    size_t shops;
    int today; /* from which prices' ages count; DAY_UNKNOWN: no price has a date */
    size_t stale_count;
    int *least, *most;    /* [cards] copies: keep gives 1, ban 0 */
    int *present;         /* [cards] copies in the present pool */
    unsigned *status;     /* [cards] STATUS_ bits from sheets, model, scenario and command line together */
    SourcePos *status_at; /* [cards] where keep or ban was said (the sheet's line if there) */
    /* Cents given for cards until now, by owned sheets and the present pool; what was sold is taken off. */
    int64_t paid;
    int64_t *paid_owned;  /* [cards] of these, in the owned sheets */
    OwnedLine *paid_line; /* [paid_lines] in the order of the sheets, of candidates */
    size_t paid_lines;
    OwnedStray *stray; /* [strays] lines of owned sheets for cards that are no candidates */
    size_t strays;
    CardHistory *history;          /* [cards] */
    const struct Journal *journal; /* without lines where there is none */
    int *listed; /* [cards] owned copies by sheets and case; cards->card[].owned counts the present pool too */
    bool has_present;
    GoneCard *gone; /* [gones] */
    size_t gones;
    size_t *theme_start; /* [themes + 1] where each theme's cards begin in theme_card */
    size_t *theme_card;  /* the cards tagged for each theme, ascending */
    int *playable;       /* [cards] decks of deck_colours colours that can play it */
    int decks;           /* all such decks */
    RuleMember *member;  /* [members + watches] those that are only watched last */
    size_t members;
    Limit *watch; /* [watches] the members behind `members`, as limits that nothing has to keep */
    size_t watches;
    bool *caught;  /* [patterns * cards] pattern p caught card c: caught[p * cards->count + c] */
    bool *own_tag; /* [patterns * cards] the card's sheets give it the pattern's tag */
    PatternClash *clash;
    size_t clashes;
    bool *choosable; /* [themes] its rules and fit count only if it is chosen */
    int64_t *part;   /* [themes * cards] thousandths: what a theme adds to one copy where the card's fit leaves it out:
                        themes that may be chosen, and places with `by_place`. NULL if there are none */
    long *place_limit; /* [cards] index into limit: the LIMIT_PLACES whose places its copies fill, or -1 */
    Limit *limit;      /* size, cap, then each member in the same order, what structure asks for, keeps, bans */
    size_t limits;
    Form *form; /* what only adds fit */
    size_t forms;
    size_t skipped_count, unpriced_count, unscored_count; /* unpriced: of those not skipped */
    struct InstanceCache *cache; /* what filters and columns come to, card by card: instance_cache.h */
} Instance;

/* Reads the scenario's sheets and matches everything. NULL with errors in diags. The scenario must outlive it. */
Instance *instance_new(const Scenario *scenario, Diags *diags);
void instance_free(Instance *instance); /* NULL is allowed */
/* Is the column (of CardSet.column) the user's own, and no rule, filter or pattern asked for it? What our lists add is
 * neither. */
bool instance_column_unused(const Instance *instance, size_t column);

/* Its trial's day has come, and the journal does not say yet what became of it. */
bool history_trial_ended(const Instance *instance, size_t card);
/* Where the card was cut and has not come in again since, that line; else NULL. */
const struct JournalLine *history_cut(const Instance *instance, size_t card);
/* Why it is kept or banned, where a reason is known: "on trial until 2026-06-01", what `never` says. NULL: no reason.
 */
const char *history_because(const Instance *instance, size_t card);

/* Of a cap in force what is left for buying: less what was paid, where the cap counts that. May be below 0. */
int64_t instance_cap_left(const Instance *instance);
/* After a change of the model's cap. */
void limits_set_cap(Instance *instance);

/* Works out a filter that is not the model's own (read by filter_read, so numbered). False with errors in diags. The
 * filter must outlive the instance. */
bool instance_prepare_filter(Instance *instance, const Filter *filter, Diags *diags);
/* The card's tag of the theme, NULL if it has none. */
const CardTag *instance_theme_tag(const Instance *instance, size_t theme, size_t card);
/* Does the card pass the filter (no member: no each)? The filter is the model's own or prepared. */
bool filter_passes(const Instance *instance, const Filter *filter, const RuleMember *member, size_t card);
/* Is the card counted by the member: where, scope, and not exempt? And by its `of` side (the whole pool if the rule has
 * none)? */
bool member_counts(const Instance *instance, const RuleMember *member, size_t card);
bool member_counts_of(const Instance *instance, const RuleMember *member, size_t card);
/* The cards among which those are that the member counts, in either way: tagged for its theme, or all. *card is NULL
 * for all: then the k-th is k. Returns how many. */
size_t member_cards(const Instance *instance, const RuleMember *member, const size_t **card);
bool member_exempts(const Instance *instance, const RuleMember *member, size_t card);
/* The measure of ONE copy in its smallest unit; false when blank (then *value is 0). MEASURE_SPEND gives what one
 * bought copy costs, handling included. */
bool member_value(const Instance *instance, const RuleMember *member, size_t card, int64_t *value);
/* The same where the card is counted on the `of` side of a percentage. */
bool member_value_of(const Instance *instance, const RuleMember *member, size_t card, int64_t *value);
/* What its power and its tags each add to the fit of one copy, thousandths, before playability counts. */
void instance_worth(const Instance *instance, size_t c, int64_t *power, int64_t *tags);
/* What so many points of power more (below 0: less) add to the fit of one copy, thousandths. */
int64_t instance_points(const Instance *instance, size_t card, int points);
/* It has a price of its own, or the model gives one to candidates without. */
bool price_known(const Instance *instance, size_t card);
bool instance_has_prices(const Instance *instance); /* some candidate has one of its own */
/* Cents for one bought copy: its price and the handling. */
int64_t instance_buy_price(const Instance *instance, size_t card);
/* Cents for `copies` copies: owned ones first. */
int64_t instance_spend(const Instance *instance, size_t card, int copies);

/* The quota rule (scaling.c), for one bound: exact arithmetic; see docs/files.md, "Size and scaling". */
Bounds bounds_scaled(const Bounds *written, int size_now);
/* What is to be written so that one side of the scaled bounds is `units` looser at least: that side moves as little as
 * will do, the other stays. */
Bounds bounds_unscaled(const Bounds *written, int size_now, bool low, int64_t units);

#endif
