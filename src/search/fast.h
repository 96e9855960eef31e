/* fast.h - the fast engine's state, shared by its parts: first.c (relaxation, first solutions), fast_core.c,
 * core_cuts.c, replay.c, fast_equals.c, fast_least.c, fast.c (rounds of jobs). */
#ifndef POOLWRIGHT_SEARCH_FAST_H
#define POOLWRIGHT_SEARCH_FAST_H

#include "search/tree/batch.h"
#include "search/engine.h"
#include "search/tree/open.h"

typedef struct {
    Run *run;
    Exact exact; /* of the whole */
    Core *core;
    int threads;
    OpenSet open;
    int64_t closed;          /* greatest bound of nodes that were closed because no more was asked; of the whole */
    PseudoCost *known;       /* [core columns] */
    bool *told;              /* [core columns] where all points as good are looked for, else NULL */
    bool *held;              /* [core columns] where the least that columns need is looked for, else NULL */
    double *root_x, *root_y; /* of the whole */
    double *cut_y;           /* [core rows] multipliers of the core's relaxation with cuts; NULL while there are none */
    int *cut_entry;          /* [core rows that are cuts] the recipe of each */
    CutLabel *cut_label;     /* and how it was made */
    Basis *cut_basis;        /* of that relaxation, in the whole's columns */
    Memory *memory;          /* what earlier runs with about this objective learned */
    bool again;              /* there were such runs */
    int64_t root_bound;
    uint64_t rounds, boxes;
    int64_t tree_pivots, box_pivots;
    LocalCuts local; /* of this round's core */
    bool cuts_tried, cuts_kept;
    bool cut_anew;   /* they have been looked for, beyond what recipes of earlier runs give */
    bool cut_twice;  /* and once more */
    bool kept_tree;  /* the run's tree began as an earlier run's */
    ProofTree chain; /* multipliers of relaxations with cuts, by which columns of the whole were fixed: the beginning of
                        a tree that is grown with them */
    bool gone_over;  /* the tree began as an earlier run's, and most of it was closed so */
    bool cutting;    /* jobs cut since the tree began anew for it */
    bool by_recipes; /* the cuts so far were made as those of earlier runs */
    int cut_columns; /* open columns after they were last made */
    int64_t cut_pivots; /* when that was */
    int idle_boxes;     /* box jobs since the last that improved */
    int box_size;
} Fast;

/* first.c */
void fast_root(Fast *f);
void fast_first_solutions(Fast *f);

/* fast_core.c */
void fast_tighten_whole(Fast *f); /* what the whole's relaxation says about bound and columns */
/* Of the columns that are open now, with the open nodes; f->core is NULL when there is nothing left. */
void fast_make_core(Fast *f);
void fast_renew_core(Fast *f);         /* the same; the run is closed when no node is left */
bool fast_much_smaller(const Fast *f); /* it is worth it */
void fast_restart_tree(Fast *f);       /* the root is the only open node */
void fast_keep_known(Fast *f);         /* what branching on the core's columns has brought goes to the memory */
/* Of the tightest relaxation so far, in the core's columns; freed with mem_free; may be NULL. */
Basis *fast_core_basis(const Fast *f);

/* core_cuts.c: when it is time for cuts, they are made. */
void fast_try_cuts(Fast *f);
/* Puts in the cuts that an earlier tree refers to, without a relaxation. */
void fast_remake_cuts(Fast *f, const CutForms *forms);
/* After that: the relaxation with them, as if they had just been found. */
void fast_settle_cuts(Fast *f);
/* What the relaxation with cuts says about the columns, now that the incumbent is better. */
void fast_tighten_by_cuts(Fast *f);

/* replay.c: goes over the tree by which an earlier run was closed. True when there was one that is of use: what could
 * not be closed by it is open now. */
bool fast_replay(Fast *f);

/* fast_equals.c */
void fast_tell_core(Fast *f); /* which of the core's columns are told, for jobs that look for all points as good */
void fast_take_equals(Fast *f, const Job *job);
bool fast_offer(Fast *f, const int64_t *x); /* a point of the core; true: it is better */

/* fast_least.c: where columns are known to need fewer units, their entries are made smaller. */
void fast_use_units(Fast *f);
void fast_hold_core(Fast *f); /* which of the core's columns are held */

/* fast.c */
int64_t fast_job_limit(const Run *run, int64_t usual, int jobs); /* of pivots */
void fast_count_job(Run *run, const Job *job);

#endif
