/* scouting.h - how deep each theme is before anything is chosen, and what its package costs. */
#ifndef POOLWRIGHT_MODEL_DESK_SCOUTING_H
#define POOLWRIGHT_MODEL_DESK_SCOUTING_H

#include "model/instance/instance.h"

/* A playable package: the cards that make a deck of a theme. */
typedef struct {
    int enablers, payoffs;
} Package;

#define USUAL_PACKAGE "6+3"
#define PACKAGE_MOST 1000 /* of either */

/* "6+3": so many enablers, so many payoffs, one of them at least. False, and nothing written, for anything else. */
bool package_read(const char *text, Package *package);

/* The least money that buys a package. */
typedef struct {
    bool possible;
    int lacks_enablers, lacks_payoffs;
    int64_t cost; /* cents to buy; owned copies are free */
} PackageCost;

/* A declared theme, or a tag that could be one since some card has a role for it. */
typedef struct {
    const char *name;
    int tag;            /* index into CardSet.tag, -1: on no candidate */
    ColourMask colours; /* where it is played; all for tags that are no declared theme */
    bool declared;
    int cards, enablers, payoffs; /* that can be in a pool and be played in the colours; `both` counts in either */
    int own;                      /* of these, tagged for no other theme */
    int colour[COLOURS_MAX];      /* of these, that show the colour */
    PackageCost cost;             /* of a package in its colours */
} ThemeDepth;

typedef struct {
    size_t theme; /* index into Scouting.theme */
    int64_t cost; /* cents, of its package in the pair */
} DeepTheme;

typedef struct {
    ColourMask colours;
    DeepTheme *deep; /* [count] themes of the pair that have a package there */
    size_t count;
} PairDepth;

typedef struct {
    Package package;
    ThemeDepth *theme; /* [themes] declared ones first */
    size_t themes;
    PairDepth *pair; /* [pairs] as model_pair */
    size_t pairs;
} Scouting;

void scouting_find(const Instance *instance, const Package *package, Scouting *scouting);
void scouting_release(Scouting *scouting);

#endif
