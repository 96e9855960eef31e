/* fast.h - the fast engine's state, shared by its parts: first.c (relaxation, first solutions), core_cuts.c, replay.c, fast.c (core, rounds of jobs). */
#ifndef POOLWRIGHT_SEARCH_FAST_H
#define POOLWRIGHT_SEARCH_FAST_H

#include "search/batch.h"
#include "search/engine.h"
#include "search/open.h"

typedef struct {
    Run *run;
    Exact exact;             /* of the whole */
    Core *core;
    int threads;
    OpenSet open;
    PseudoCost *known;       /* [core columns] */
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
    bool cuts_tried, cuts_kept;
    bool cut_anew;           /* they have been looked for, beyond what recipes of earlier runs give */
    ProofTree *tree;         /* where it is noted how nodes are closed: an earlier run's, or this one's */
    ProofTree chain;         /* multipliers of relaxations with cuts, by which columns of the whole were fixed: the beginning of a tree that is grown with them */
    bool by_recipes;         /* the cuts so far were made as those of earlier runs */
    int cut_columns;         /* open columns after they were last made */
    int64_t cut_pivots;      /* when that was */
    int idle_boxes;          /* box jobs since the last that improved */
    int box_size;
} Fast;

/* first.c */
void fast_root(Fast *f);
void fast_first_solutions(Fast *f);

/* core_cuts.c: rows of cuts for the core, if they are worth it: f->cuts_kept. The core's own rows keep their numbers. Returns the share of the gap to the incumbent that they
 * closed. known_only: only cuts that are made as cuts of earlier runs were. */
double fast_add_cuts(Fast *f, bool known_only);
/* Puts in the cuts that an earlier tree refers to, without a relaxation. */
void fast_remake_cuts(Fast *f, const CutForms *forms);
/* After that: the relaxation with them, as if they had just been found. */
void fast_settle_cuts(Fast *f);
/* What the relaxation with cuts says about the columns, now that the incumbent is better. */
void fast_tighten_by_cuts(Fast *f);

/* replay.c: goes over the tree by which an earlier run was closed. True when there was one that is of use: what could not be closed by it is open now. */
bool fast_replay(Fast *f);

/* fast.c */
int64_t fast_job_limit(const Run *run, int64_t usual, int jobs); /* of pivots */
void fast_count_job(Run *run, const Job *job);
Basis *fast_core_basis(const Fast *f); /* of the tightest relaxation so far, in the core's columns; freed with mem_free; may be NULL */

#endif
