/* shape.h - scenarios with places, engines, depth, evenness, combinations, choices, playability and stickiness, small
 * enough to try every pool.
 *
 * A second, independent reading of docs/files.md, "Structure": made as plain numbers (shape_make.c), written out
 * (shape_write.c) and judged by trying everything - every pool, every choice of themes, every filling of places - with
 * no solver and no code of src/. The cards are invented. Units: counts in copies, money in cents, the rest in
 * thousandths. */
#ifndef POOLWRIGHT_SUPPORT_SHAPE_H
#define POOLWRIGHT_SUPPORT_SHAPE_H

#include <stdbool.h>
#include <stdint.h>

#include "run.h"

enum { SHAPE_CARDS = 10, SHAPE_COLOURS = 3, SHAPE_THEMES = 4, SHAPE_LINKS = 3, SHAPE_STEPS = 3, SHAPE_PARTS = 3 };
enum { SHAPE_NONE, SHAPE_ENABLER, SHAPE_PAYOFF, SHAPE_BOTH };
enum { LINK_TOGETHER, LINK_NEEDS, LINK_APART, LINK_GROUP, LINK_SETS };

/* Features, for shape_make. */
enum {
    WITH_PLACES = 1,
    WITH_BY_PLACE = 2,
    WITH_ENGINE = 4,
    WITH_RATIO = 8,
    WITH_DEPTH = 16,
    WITH_EVENNESS = 32,
    WITH_TOGETHER = 64,
    WITH_NEEDS = 128,
    WITH_APART = 256,
    WITH_GROUPS = 512,
    WITH_CHOOSE = 1024,
    WITH_PLAYABLE = 2048,
    WITH_STAY = 4096,
    WITH_OVERLAP = 8192,
    WITH_SETS = 16384 /* only where it is asked for */
};

typedef struct {
    unsigned colours; /* a set; none: colourless */
    bool either;      /* hybrid: any of them pays */
    int64_t power, price;
    int most, owned, present;
    bool tagged[SHAPE_THEMES];
    int role[SHAPE_THEMES];
    int64_t weight[SHAPE_THEMES];
} ShapeCard;

typedef struct {
    unsigned colours; /* 0: not written */
    int64_t weight;
    int64_t bonus, ratio;       /* bonus 0: no engine */
    int64_t band_from, band_to; /* -1: none */
    int steps;
    int to[SHAPE_STEPS];        /* 0: all the rest */
    int64_t share[SHAPE_STEPS]; /* percent */
} ShapeTheme;

typedef struct {
    int kind;
    unsigned cards; /* a set */
    int subject;
    int64_t number; /* bonus in thousandths, else a count */
    int parts;      /* sets */
    unsigned part[SHAPE_PARTS];
    int sets_most; /* 0: not written */
} ShapeLink;

typedef struct {
    int colours, themes, cards, deck;
    ShapeCard card[SHAPE_CARDS];
    ShapeTheme theme[SHAPE_THEMES];
    int size_from, size_to;
    int64_t cap; /* -1: none */
    bool places, by_place;
    int per_theme;
    int open;                                       /* -1: the rest */
    int wide_theme, wide_count;                     /* `for: {theme: count}`; -1: none */
    int own_colour, own_theme, own_count, own_open; /* `for: {colour: {theme: count, open: n}}`; -1: none */
    int also;                                       /* a theme, or -1 */
    int64_t evenness;
    int links;
    ShapeLink link[SHAPE_LINKS];
    unsigned from; /* themes to choose from; 0: no choice */
    bool per_pair;
    int choose_low, choose_high;
    int playable; /* percent */
    int64_t stay;
    int payoffs_least; /* rule: each theme; -1: none */
    int64_t payoffs_soft;
    int tagged_most; /* rule: each theme; -1: none */
    int own_share;   /* percent of a theme's cards that have no other theme; -1: none */
} Shape;

typedef struct {
    bool feasible;
    int64_t fit;
    long pools;
} ShapeAnswer;

const char *shape_card_name(int card);

void shape_make(Shape *shape, uint64_t seed, unsigned features);
void shape_write(const Shape *shape, const char *folder);
/* Is the pool allowed, and the fit of its best choice and filling? chosen: a set of themes, may be NULL. */
bool shape_judge(const Shape *shape, const int *copies, int64_t *fit);
/* Copies that need not be bought: the present pool counts as owned (docs/files.md, pool_owned). */
int shape_owned(const ShapeCard *card);
void shape_solve(const Shape *shape, ShapeAnswer *answer);

#endif
