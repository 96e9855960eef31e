/* loaded.h - what a what-if stands on: a scenario with one case's changes at one size, as instance and programme, whose
 * cap can be moved. Also pools of one loaded scenario seen from another, matched by card names, since cases may have
 * candidates of their own. */
#ifndef POOLWRIGHT_WHATIF_LOADED_H
#define POOLWRIGHT_WHATIF_LOADED_H

#include "programme/answer.h"

typedef struct {
    Scenario *scenario;
    Instance *instance;
    Programme *programme;
    int cap_row; /* of the programme; -1: read without a cap */
} Loaded;

/* Reads everything, files by way of the store, which must outlive it. `where` is put before new errors ("in case 'x':
 * "), may be "". Notices that diags holds already are not repeated. False with errors in diags; then there is nothing
 * to release. */
bool loaded_read(Loaded *loaded, const char *subject, const Overrides *overrides, FileStore *files, const char *where,
                 Diags *diags);
/* What is found in one list of problems into another, each problem once, with words before an error's text. */
void loaded_tell(Diags *diags, const Diags *found, const char *where);
void loaded_release(Loaded *loaded);

/* Sets the stated cap (a headroom is taken off here) in model and programme alike, so that the checker sees it too. The
 * loaded scenario must have been read with a cap. */
void loaded_set_cap(Loaded *loaded, bool has_cap, int64_t cap);
/* The least stated cap, never below 0, that leaves so much money for buying. */
int64_t loaded_stated_cap(const Loaded *loaded, int64_t money);
/* The least stated cap that the pool keeps, whichever prices rise that the cap is protected against. */
int64_t loaded_pool_cap(const Loaded *loaded, const int *copies);
/* The upper side of the cap's row for this stated cap, in the row's own unit. */
int64_t loaded_cap_side(const Loaded *loaded, bool has_cap, int64_t cap);

/* The pool as copies of the other instance's cards; cards that it does not have are left out, copies cut to what it
 * allows. out[to->cards->count]. */
void pool_carry(const Instance *from, const int *copies, const Instance *to, int *out);

typedef struct {
    const char *name;
    int by;         /* copies: above 0 in, below 0 out */
    int64_t fit;    /* of one copy, where it counts now (of cards that are candidates no more: before) */
    int64_t price;  /* cents, likewise */
    bool has_price; /* one is known */
    size_t order;   /* of names */
} PoolChange;

/* What enters and leaves from the first pool to the second; the greatest fit first, then by names. Freed with mem_free.
 */
PoolChange *pool_changes(const Instance *from, const int *before, const Instance *to, const int *after, size_t *count);
void pool_changes_sum(const PoolChange *change, size_t count, int *in, int *out);

#endif
