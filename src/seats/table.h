/* table.h - a pool made ready for many drafts, and one draft of it. Of this room only. */
#ifndef POOLWRIGHT_SEATS_TABLE_H
#define POOLWRIGHT_SEATS_TABLE_H

#include "base/random.h"
#include "seats/drafts.h"

typedef struct {
    int theme;
    int64_t worth; /* thousandths of fit at full commitment */
    bool enables, pays;
} TableTag;

/* A card of the pool, one of its copies. Those that are no candidates have no worth, no tags and no deck. */
typedef struct {
    int card; /* candidate, or below 0 */
    int64_t power;
    const TableTag *tag; /* [tags] of themes that the pool has and its colours can play */
    int tags;
} TableCard;

/* Which cards a need counts, and which seats it asks. */
typedef struct {
    size_t need;        /* index into Drafts.need */
    int least;          /* cards */
    int colour, theme;  /* asked of decks with the colour, of the theme; -1: of all */
    const bool *counts; /* [candidates] NULL: all */
} TableNeed;

typedef struct {
    const Instance *instance;
    Drafting drafting;
    int pool, dealt;
    TableCard *card;  /* [pool] */
    ColourMask *deck; /* [decks] */
    int decks;
    bool *plays; /* [pool x decks] */
    TableNeed *need;
    size_t needs;
    int64_t least; /* no card is worth less to a seat; 0 where none is worth less than nothing */
    int64_t taste; /* a card's score moves by up to so much either way */
    bool random_picks;
} DraftTable;

/* Everything in the arena; fills drafts->need, too. */
void table_make(const Instance *instance, const int *copies, int others, const Drafting *drafting,
                const Package *package, Arena *arena, DraftTable *table, Drafts *drafts);

/* What one thread works in, and what it has counted so far. */
typedef struct {
    const DraftTable *table;
    Drafts *sums;             /* spreads, themes, needs; card[] by candidate, unsorted */
    int *order, *pack, *left; /* [pool]; [seats x pack_size] in the round's packs; [seats] cards left in each */
    struct Seat *seat;
    int *seen; /* [themes] of the first seat */
    int *opened;
} DraftRun;

/* One draft again and again: its storage in the arena, what it brings added to the sums. */
void run_make(const DraftTable *table, Drafts *sums, Arena *arena, DraftRun *run);
void run_draft(DraftRun *run, uint64_t seed, uint64_t number);

#endif
