/* builder.h - inside the programme room: a programme while it is stated, in GLPK's problem object. Columns are appended
 * one by one; rows one at a time, divided by the greatest common divisor of their coefficients (sides rounded inwards,
 * which is exact for whole numbers). The search does that itself; here it is for the programmes that other solvers are
 * given, whose numbers stay small by it.
 *
 * GLPK holds doubles: builder_load says whether they are exact. All else is called within glpk_guarded. */
#ifndef POOLWRIGHT_PROGRAMME_ROWS_BUILDER_H
#define POOLWRIGHT_PROGRAMME_ROWS_BUILDER_H

#include "programme/programme.h"

/* A row whose upper side holds whichever prices rise. */
typedef struct {
    int row, threshold;  /* threshold: its column, once builder_protect has made it */
    size_t first, count; /* in Builder.rise: what may rise, and by how much */
} BuiltProtection;

typedef struct {
    int column;
    int64_t value;
} Rise;

typedef struct {
    const Instance *instance;
    Programme *programme; /* its lp, column and row grow */
    size_t columns_capacity, rows_capacity;
    int *first_column, *second_column; /* [cards] -1 if none; the second for bought copies */
    int *in_column;                    /* [cards] 0/1: is the card in? -1 if none was needed yet */
    int *chosen_column;                /* [themes] 0/1 for themes that may be chosen, else -1 */
    int64_t low, high;                 /* sides of the row begun: may be changed until it ends */
    int64_t *entry;                    /* [columns] its coefficients, else 0 */
    size_t entry_capacity;
    int *touched; /* the columns that have one, in the order in which they came */
    size_t touches, touched_capacity;
    BuiltProtection *protection;
    size_t protections, protections_capacity;
    Rise *rise;
    size_t rises, rises_capacity;
    int64_t *coefficient;    /* [cards * 2] of the row being built, by card: owned or only column, bought column */
    int64_t *in_coefficient; /* [cards] likewise, of in_column */
    bool too_large;          /* a number did not even fit into 64 bits */
} Builder;

/* Of a new programme of the instance, without columns and rows. */
void builder_init(Builder *b, const Instance *instance);
void builder_release(Builder *b); /* the programme is the caller's */

/* A whole column; its number. */
int builder_column(Builder *b, ProgrammeColumn about, int64_t objective, int64_t low, int64_t high);
int64_t builder_most(const Builder *b, int column); /* its upper bound */

/* builder_begin, any number of builder_entry (those of one column are added up), builder_rise and builder_cards (the
 * coefficients in b->coefficient), builder_end. */
void builder_begin(Builder *b, ProgrammeRow about, int64_t low, int64_t high);
void builder_entry(Builder *b, int column, int64_t value);
void builder_rise(Builder *b, int column, int64_t rise); /* the row is protected */
void builder_cards(Builder *b);
void builder_end(Builder *b);
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

/* A threshold column for each protected row. */
void builder_protect(Builder *b);
/* What is stated, as the matrix that the search takes. False where a number is beyond 2^53. */
bool builder_load(Builder *b);

#endif
