/* ground.h - what a what-if stands on: a scenario with one case's changes at one size, as instance and programme, whose
 * cap can be moved. Also pools of one ground seen from another, matched by card names, since cases may have candidates
 * of their own. */
#ifndef POOLWRIGHT_WHATIF_GROUND_H
#define POOLWRIGHT_WHATIF_GROUND_H

#include "programme/answer.h"

typedef struct {
    Scenario *scenario;
    Instance *instance;
    Programme *programme;
    int cap_row; /* of the programme; -1: read without a cap */
} Ground;

/* Reads everything. `where` is put before new errors ("in case 'x': "), may be "". Notices that diags holds already are
 * not repeated. False with errors in diags; then there is nothing to release. */
bool ground_read(Ground *ground, const char *subject, const Overrides *overrides, const char *where, Diags *diags);
void ground_release(Ground *ground);

/* Sets the stated cap (a headroom is taken off here) in model and programme alike, so that the checker sees it too. The
 * ground must have been read with a cap. */
void ground_set_cap(Ground *ground, bool has_cap, int64_t cap);
/* The least stated cap that leaves so much money for buying. */
int64_t ground_stated_cap(const Ground *ground, int64_t money);
/* The upper side of the cap's row for this stated cap, in the row's own unit. */
int64_t ground_cap_side(const Ground *ground, bool has_cap, int64_t cap);

/* Are there limits that must hold whichever prices rise? */
bool ground_at_risk(const Ground *ground);

/* The pool as copies of the other instance's cards; cards that it does not have are left out, copies cut to what it
 * allows. out[to->cards->count]. */
void pool_carry(const Instance *from, const int *copies, const Instance *to, int *out);

typedef struct {
    const char *name;
    int by;        /* copies: above 0 in, below 0 out */
    int64_t fit;   /* of one copy, where it counts now (of cards that are candidates no more: before) */
    int64_t price; /* cents, likewise */
    size_t order;  /* of names */
} PoolChange;

/* What enters and leaves from the first pool to the second; the greatest fit first, then by names. Freed with mem_free.
 */
PoolChange *pool_changes(const Instance *from, const int *before, const Instance *to, const int *after, size_t *count);
void pool_changes_sum(const PoolChange *change, size_t count, int *in, int *out);

#endif
