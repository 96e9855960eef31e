/* cases_inner.h - what cases.c, case_solve.c and case_compare.c share. */
#ifndef POOLWRIGHT_WHATIF_CASES_CASES_INNER_H
#define POOLWRIGHT_WHATIF_CASES_CASES_INNER_H

#include "whatif/cases/cases.h"

typedef struct {
    const WhatIfPlan *plan;
    const SearchOptions *options;
    WhatIf *all;
    size_t capacity;
    bool unread;   /* files could not be read */
    bool answered; /* some what-if could be asked */
    Diags *diags;
} CaseBuilder;

/* ---- cases.c ---- */

/* True after a signal: what is found by then is shown, the rest is not looked into. all->stopped says so too. */
bool cases_stopped(const CaseBuilder *b);
/* The scenario as it stands: no case, and no other size (0: none was asked). */
bool cases_is_base(const CaseBuilder *b, const char *case_name, int size);

/* ---- case_solve.c ---- */

/* How it is called, in the arena: case_name NULL: none, size 0: none, cap only where `capped`. */
const char *case_item_name(Arena *arena, const char *case_name, int size, bool capped, bool has_cap, int64_t cap);
/* Adds the loaded scenario all->loaded[at] as it is, solved from the base's pool. False with errors in diags. */
bool case_solve_alone(CaseBuilder *b, const char *name, size_t at);
/* Adds a frontier, and all->loaded[at], which was read with a cap, at every cap or step of the plan. False with errors
 * in diags. */
bool case_solve_frontier(CaseBuilder *b, const char *case_name, int size, size_t at);

/* ---- case_compare.c ---- */

/* After all are solved: where no pool fits, why; for the others what differs from the base. False with errors in
 * diags. */
bool cases_compare(CaseBuilder *b);

#endif
