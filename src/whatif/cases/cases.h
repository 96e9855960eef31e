/* cases.h - what-ifs: a scenario's cases, sizes and caps, each solved and compared with the scenario as it stands. */
#ifndef POOLWRIGHT_WHATIF_CASES_CASES_H
#define POOLWRIGHT_WHATIF_CASES_CASES_H

#include "explain/conflict/causes.h"
#include "explain/explain.h"
#include "whatif/frontier/frontier.h"
#include "whatif/loaded.h"

typedef struct {
    bool none;   /* no cap */
    int64_t cap; /* cents */
} CapAt;

typedef struct {
    const char *subject;
    FileStore *files;           /* may be NULL */
    const Overrides *overrides; /* of the command line; its case and size hold for the base */
    bool cases;                 /* every case of the scenario (else only the base), for each size and cap */
    const char *const *only;    /* [onlys] of the cases these alone, by their names; onlys 0: all */
    size_t onlys;
    const int *size; /* [sizes] */
    size_t sizes;
    const CapAt *cap; /* [caps] ascending, none last */
    size_t caps;
    bool steps; /* instead of caps: every step of the frontier from cap_from to cap_to */
    int64_t cap_from, cap_to;
} WhatIfPlan;

typedef struct {
    const char *name; /* "base", "five forty", "450 cards", "cap 300.00", or several joined by ", " */
    size_t loaded;
    bool has_cap;
    int64_t cap; /* cents */
    Answer answer;
    bool compared; /* with the base's pool: both have one; else the next three say nothing */
    PoolChange *change;
    size_t changes;
    int in, out;      /* copies */
    bool has_nearest; /* of the pools with this fit another is nearer to the base's (the candidates are the same) */
    Exchange nearest; /* from the base's pool to it: cards of the item's loaded scenario */
    const LimitUse **tight; /* limits without slack here that have some in the base, or are new; no equalities */
    size_t tights;
    bool other_fit; /* fit is counted in another way than in the base: that of some card, or what structure adds to one
                       of the two pools */
    int64_t base_fit;  /* then: the pool by the base's fit */
    Explain *explain;  /* where no pool fits, and caps were not asked: which limits cannot hold together; NULL: not
                          looked for */
    Causes causes;     /* where `explain` is there */
    Conflict conflict; /* where they do not say it all */
} WhatIfCase;

/* A size at which the limits say nothing that can be asked: more seen cards than are looked at. */
typedef struct {
    const char *name; /* "180 cards" */
    const char *text; /* what is wrong there, as an error says it */
    SourcePos at;
} RefusedSize;

typedef struct {
    Arena *arena;
    Loaded *loaded;
    size_t loaded_count;
    WhatIfCase *item; /* item[0] is the base */
    size_t count;
    Frontier *frontier; /* one for each case and size, where caps were asked; first and count are of item */
    size_t frontiers;
    RefusedSize *refused; /* of the sizes that were asked; at least one was answered */
    size_t refuseds;
    bool stopped; /* by a signal: cases and caps may be missing, and what is there was not searched to the end */
} WhatIf;

/* Reads the scenario as it stands, which is loaded[0], and solves nothing yet: so that a verb can look at what the
 * scenario reads before the search. NULL with errors in diags. Freed with what_if_free. */
WhatIf *what_if_read(const WhatIfPlan *plan, Diags *diags);
/* All the rest, of the same plan. False with errors in diags; *unread then says whether files are to blame (may be
 * NULL). Every case begins from its neighbour's pool; along caps proven bounds are carried over: a pool of a smaller
 * cap is one of a larger, and no pool of a smaller cap is better than the larger cap's bound. */
bool what_if_run(WhatIf *all, const WhatIfPlan *plan, const SearchOptions *options, bool *unread, Diags *diags);
void what_if_free(WhatIf *what_if); /* NULL is allowed */

#endif
