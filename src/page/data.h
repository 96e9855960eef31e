/* data.h - the answers that the page shows, read from their JSON (docs/ask.md): what stands on the page is counted from
 * these and from nothing else. */
#ifndef POOLWRIGHT_PAGE_DATA_H
#define POOLWRIGHT_PAGE_DATA_H

#include <inttypes.h>
#include <jansson.h>

#include "page/page.h"

#define COLOURS_MOST 16
#define COSTS_MOST 12 /* the last column of a curve holds this cost and all above */

typedef struct {
    const json_t *card;
    const char *name, *colours, *class;
    int copies, buy;    /* in the pool; of them to be bought */
    int64_t cents;      /* that these cost, with handling */
    double price, cost; /* money; cost only with has_cost */
    bool has_cost, has_price;
    unsigned shows; /* bits of the colours it shows */
} PoolCard;

typedef struct {
    Arena *arena;
    json_t *model, *cards, *best, *caps, *cases, *revise, *seats; /* NULL: not asked */
    json_t *by_name;                                              /* all candidates */
    const char *colour[COLOURS_MOST];
    int colours;
    bool priced;    /* any candidate has a price */
    PoolCard *pool; /* [count] in the order of names */
    size_t count;
} PageData;

/* False with the reason in *why (static or in the arena) when a part is no answer. Released in either case. */
bool page_data_read(const PageParts *parts, PageData *data, const char **why);
void page_data_release(PageData *data);

/* ---- JSON ---- */

const char *get_text(const json_t *object, const char *key);               /* "" without it */
double get_number(const json_t *object, const char *key, double fallback); /* null: the fallback too */
int64_t get_int(const json_t *object, const char *key);
bool get_true(const json_t *object, const char *key);
bool has_number(const json_t *object, const char *key);
size_t items_of(const json_t *object, const char *key);
const json_t *item_at(const json_t *object, const char *key, size_t k);
/* Copies of a list of cards together. */
int copies_of(const json_t *object, const char *key);

/* ---- counts ---- */

/* The colour of this name, -1: none. */
int colour_place(const PageData *data, const char *name, size_t length);
/* Bits of the colours among these words with + and / between. */
unsigned colours_shown(const PageData *data, const char *colours);
/* Can a deck of these colours pay every part of it? */
bool is_playable(const PageData *data, const char *colours, unsigned deck);

typedef struct {
    const char *name, *colours; /* "" : all colours */
    unsigned deck;
    double weight, strength; /* of its tags, over the cards that its deck can play */
    int cards, enablers, payoffs, gold, shared;
    int by_colour[COLOURS_MOST + 1]; /* copies that show the colour; the last: colourless */
} ThemeTally;

/* One for each theme of the model, in its order; in the arena. */
ThemeTally *tally_themes(PageData *data, size_t *count);
/* What the answer says of the theme beside others: "weakest", "not chosen", "". */
const char *theme_note(const PageData *data, const char *name);
/* The tag of the card's that belongs to the theme and counts there; NULL: none. */
const json_t *tag_in_theme(const PageData *data, const PoolCard *card, const ThemeTally *theme);

typedef struct {
    int mono, early, middle, late, no_cost, gold, hybrid, fixing;
    double costs; /* of the mono cards that have one, summed */
    int curve[COSTS_MOST + 1];
} ColourTally;

int curve_column(const PoolCard *card); /* where a card with a cost stands in a curve */
void tally_colour(const PageData *data, int colour, ColourTally *tally);

/* Sections of a pool: each colour's own cards, then the other classes. NULL behind the last. */
#define CLASS_SECTIONS 4
const char *section_name(const PageData *data, size_t section);
bool in_section(const PageData *data, const PoolCard *card, size_t section);

typedef struct {
    const char *name; /* of the section */
    int cards, buy;
    int64_t cents;
    const PoolCard *dearest; /* to buy; NULL: none */
} SectionTally;

/* Where the money goes, without empty sections: section[COLOURS_MOST + CLASS_SECTIONS]; how many. */
size_t tally_sections(const PageData *data, SectionTally *section);

#endif
