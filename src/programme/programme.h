/* programme.h - the integer programme of an instance: which 0/1 or integer column stands for which card, which row for
 * which rule. Everything in whole numbers: money in cents, fit in thousandths. Shares and averages become rows with
 * whole coefficients: sum of (100000 [counted] - p [of]) value x >= 0 for "at least p thousandths of a percent", sum of
 * (value - a) x <= 0 for "average at most a". */
#ifndef POOLWRIGHT_PROGRAMME_PROGRAMME_H
#define POOLWRIGHT_PROGRAMME_PROGRAMME_H

#include "model/instance/instance.h"
#include "search/search.h"

typedef enum {
    COLUMN_COPIES,
    COLUMN_OWNED,
    COLUMN_BOUGHT,
    COLUMN_FULL,
    COLUMN_MISSED,
    COLUMN_OVER,      /* what the card's risen price takes beyond the threshold: only in programme_compact */
    COLUMN_THRESHOLD, /* of the row that protects a limit against risen prices: see search.h */
    COLUMN_IN,        /* 0/1: the card is in (for cards of several copies) */
    COLUMN_CHOSEN,    /* 0/1: the theme is chosen */
    COLUMN_THEME_FIT, /* fit of a theme that may be chosen, thousandths */
    COLUMN_ENGINE,
    COLUMN_EVENNESS,  /* whole units */
    COLUMN_DEPTH,     /* whole units of step `theme` */
    COLUMN_STAY,      /* copies that stay */
    COLUMN_TOGETHER,  /* 0/1: all are in */
    COLUMN_SETS,      /* whole sets that count */
    COLUMN_PLACE,     /* copies of the card in places of the theme */
    COLUMN_KIND_PLACE /* copies of all cards that serve the same themes */
} ColumnRole;

typedef struct {
    ColumnRole role;
    long card;          /* COLUMN_MISSED: -1 */
    const Limit *limit; /* COLUMN_MISSED, COLUMN_THRESHOLD, the places: whose; else NULL */
    long form;          /* index into Instance.form for what adds fit, else -1 */
    long theme; /* COLUMN_CHOSEN, COLUMN_THEME_FIT, COLUMN_ENGINE, the places: the theme; COLUMN_DEPTH: the step */
} ProgrammeColumn;

/* A column of copies in the pool: together they are all of it. */
bool column_is_card(ColumnRole role);

typedef enum { ROW_LIMIT, ROW_ORDER, ROW_IN, ROW_FORM, ROW_OVER } RowRole;

typedef struct {
    RowRole role;
    const Limit *limit; /* ROW_LIMIT: one of Instance.limit; all rows of a limit hold together */
    long card;          /* ROW_ORDER, ROW_IN, ROW_OVER, else -1 */
    long form;          /* ROW_FORM: index into Instance.form, else -1 */
    int64_t divisor;    /* the row was divided by this (its coefficients' greatest common divisor) */
    int64_t factor;     /* and multiplied by this; 0: by nothing (only in programme_compact) */
} ProgrammeRow;

typedef struct {
    const Instance *instance;
    struct glp_prob *lp;     /* as stated, in GLPK's terms: columns c0.., rows r0..; kept by programme_compact only */
    SearchProblem problem;   /* loaded from it */
    ProgrammeColumn *column; /* [problem.columns] */
    ProgrammeRow *row;       /* [problem.rows] */
} Programme;

/* Does the row state a limit of the kind? */
bool programme_row_is(const Programme *programme, int row, LimitKind kind);
/* The row of the spending cap, which counts what is paid; -1: there is no cap. */
int programme_cap_row(const Programme *programme);

/* NULL with an error in diags when the numbers are too large for exact arithmetic. The instance must outlive it. Freed
 * with programme_free. */
Programme *programme_new(const Instance *instance, Diags *diags);
/* Is some limit protected against risen prices? Then the problem says so; whoever searches it need not know. */
bool programme_at_risk(const Programme *programme);
void programme_free(Programme *programme); /* NULL is allowed */

/* copies[cards] of a solution x[columns]. */
void programme_copies(const Programme *programme, const int64_t *x, int *copies);
/* The other way: x[columns] of a pool, with least missed units; false if the pool breaks the copies' limits. */
bool programme_solution(const Programme *programme, const int *copies, int64_t *x);

/* The programme for other solvers, by which lp is kept: without protected rows, but with a column and a row for each
 * price that may rise, so that rows are all there is (the compact form of Bertsimas and Sim 2004). Not for searching:
 * it may have more rows than the search takes. NULL as with programme_new. Freed with programme_free. */
Programme *programme_compact(const Instance *instance, Diags *diags);

typedef enum { EXPORT_LP, EXPORT_MPS } ExportFormat;
/* The programme, which has a row and its lp, as text by GLPK's writers (LP as read by glpsol and cbc; free MPS, where
 * the objective is negated and minimised, since MPS has no agreed direction). Names are ASCII with an index (c12, r3);
 * comments give the full names. NULL with an error in diags when a number is too long for the format or GLPK gave up.
 * Freed with mem_free. */
char *programme_export(const Programme *programme, ExportFormat format, size_t *length, Diags *diags);

#endif
