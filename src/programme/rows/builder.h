/* builder.h - inside the programme room: a programme while it is put together. Columns are appended one by one, rows
 * are built sparse, one at a time, and divided by the greatest common divisor of their coefficients (bounds rounded
 * inwards, which is exact for whole numbers). The search does that itself; here it is for the programmes that
 * other solvers are given, whose numbers stay small by it. */
#ifndef POOLWRIGHT_PROGRAMME_ROWS_BUILDER_H
#define POOLWRIGHT_PROGRAMME_ROWS_BUILDER_H

#include "programme/programme.h"

typedef struct {
    int column;
    int64_t value;
} Entry;

typedef struct {
    ProgrammeRow about;
    int64_t low, high;
    size_t first, count; /* in Builder.entry */
} BuiltRow;

/* A row whose upper side holds whichever prices rise. */
typedef struct {
    size_t row;          /* in Builder.row */
    size_t first, count; /* in Builder.rise: what may rise, and by how much */
} BuiltProtection;

typedef struct {
    const Instance *instance;
    Programme *programme;
    size_t columns, columns_capacity;
    size_t kind_capacity, objective_capacity, low_capacity, high_capacity;
    int *first_column, *second_column; /* [cards] -1 if none; the second for bought copies */
    int *in_column;                    /* [cards] 0/1: is the card in? -1 if none was needed yet */
    int *chosen_column;                /* [themes] 0/1 for themes that may be chosen, else -1 */
    BuiltRow *row;
    size_t rows, rows_capacity;
    Entry *entry;
    size_t entries, entries_capacity;
    BuiltProtection *protection;
    size_t protections, protections_capacity;
    Entry *rise;
    size_t rises, rises_capacity;
    int64_t *coefficient;    /* [cards * 2] of the row being built, by card: owned or only column, bought column */
    int64_t *in_coefficient; /* [cards] likewise, of in_column */
    bool too_large;
} Builder;

int builder_column(Builder *b, ProgrammeColumn about, SearchKind kind, int64_t objective, int64_t low, int64_t high);
/* Binary where the range is 0 to 1, else integer. */
int builder_whole(Builder *b, ProgrammeColumn about, int64_t objective, int64_t low, int64_t high);

/* builder_begin, any number of builder_entry and builder_cards (the coefficients in b->coefficient), builder_end. The
 * row stays valid until the next one begins. */
BuiltRow *builder_begin(Builder *b, ProgrammeRow about, int64_t low, int64_t high);
void builder_entry(Builder *b, int column, int64_t value);
void builder_rise(Builder *b, int column, int64_t rise); /* the last row begun is protected */
void builder_cards(Builder *b);
void builder_end(Builder *b, BuiltRow *row);
void builder_clear(Builder *b); /* the coefficients */
/* value x every copy of the card. */
void builder_copies(Builder *b, size_t card, int64_t value);
/* Least (or greatest) value that the sum of b->coefficient can take by the limits of the copies alone: whoever loosens
 * the size may rely on it. */
int64_t builder_reach(const Builder *b, bool greatest);
/* The column that is 1 where the card is in: the card's own, or one made when first asked for, with its rows. -1: it
 * can't be in. */
int builder_in(Builder *b, size_t card);
/* Adds to the row being built so much where the card is in, however many copies. */
void builder_count_in(Builder *b, size_t card, int64_t value);
/* The finished rows turned into the programme's columns. */
void builder_turn(Builder *b);

#endif
