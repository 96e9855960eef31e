/* compare.h - questions "which would you rather have?", and powers that agree with the answers.
 *
 * An answer says that one card is worth more than another: power x its weight + the weights of all its tags of themes x
 * theirs, in full and where it can be played, are greater by at least one grain of power. The grain is the greatest
 * number of which all powers are multiples. The proposed powers are those multiples that agree with all answers and
 * differ least from the present ones, in the sum of squares (least_change.h).
 *
 * A question is asked only where its answer changes the best pool: it is proven that the pool which is best after one
 * answer is not best after the other. */
#ifndef POOLWRIGHT_WHATIF_POWERS_COMPARE_H
#define POOLWRIGHT_WHATIF_POWERS_COMPARE_H

#include "programme/answer.h"
#include "whatif/powers/feedback.h"

#define COMPARE_MOST 10 /* questions */

typedef enum { PREFERS_FIRST, PREFERS_SECOND, PREFERS_NEITHER /* cannot say */ } Prefers;

typedef struct {
    size_t first, second; /* cards, first < second */
    Prefers answer;
} Comparison;

typedef struct {
    Loaded *loaded;
    SearchOptions search;
    int64_t grain; /* thousandths of power */
    Comparison asked[COMPARE_MOST];
    size_t count;
    Feedback proposal; /* the cards of the answers, in order of names, with their reasons as verdicts of notes */
    Instance *now;     /* by the proposed powers; the loaded one where they are the present ones */
    Answer old, best;  /* the best pools by the present and by the proposed powers */
    bool solved;       /* best is of the proposal */
} Compare;

/* Finds the best pool by the present powers. False with errors in diags. loaded must outlive it; released with
 * compare_release in either case. search: threads, engine, effort, cancel and progress hold; the gap is 0. */
bool compare_begin(Compare *compare, Loaded *loaded, const SearchOptions *search, Diags *diags);
void compare_release(Compare *compare);

/* Takes an answer to whatever two cards; at most COMPARE_MOST. False: it goes round in a circle with earlier ones; then
 * nothing is changed. */
bool compare_add(Compare *compare, const Comparison *comparison);
/* Finds the best pool by the proposed powers. False with errors in diags. */
bool compare_settle(Compare *compare, Diags *diags);
/* Both pools are there and proven best. */
bool compare_proven(const Compare *compare);

/* The next question; its answer is PREFERS_NEITHER. Must be settled. False: no question is known whose answer changes
 * the pool, the pool is not proven best, ten were asked, or (see diags) an error. */
bool compare_next(const Compare *compare, Comparison *next, Diags *diags);

#endif
