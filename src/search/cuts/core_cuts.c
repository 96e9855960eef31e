/* core_cuts.c - rounding cuts on the core, judged by what they close of the gap.
 *
 * Their bound and the fixings that follow from it are used in any case; the rows stay where they close some of the gap,
 * since dense rows make every node dearer. When an earlier run with about the same objective has found cuts, the same
 * sums of rows are rounded again instead of looking for new ones. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/fast.h"
#include "search/cuts/strengthen.h"

#define CUT_SHARE 0.1   /* of the gap between the core's relaxation and the incumbent that cuts must close to stay */
#define KNOWN_SHARE 0.1 /* the same where they were worth it in an earlier run */
#define CUT_AFTER 1000  /* pivots: what is easy is done by then */
#define NONE_CUT_AFTER 4000 /* the same while there is no solution: there may be none, and the cuts may show it */
#define KNOWN_COLUMNS 120   /* open columns from which cuts by recipes are tried at once */
#define NEW_CUTS_AFTER 3000 /* pivots after cuts by recipes, before others are looked for */
#define SECOND_AFTER 10000  /* pivots of the tree, before others are looked for in the core as it is then */
#define AGAIN_SHARE 0.8     /* of the columns there were, with which cuts are made again */
#define AGAIN_LEAST 100     /* with fewer columns it is not worth it */
#define RESTART_SHARE 0.1   /* of the gap that cuts must close for the tree to begin anew */
#define CUT_ROUNDS 2        /* of fixing columns and adding cuts again */
#define LARGE_COLUMNS 500   /* with more, these are only made again there: a tenth of the time, and nearly as good */
#define CUT_COLUMNS 4000    /* with more open columns separation takes too long */

/* The multipliers go to the chain. */
static void note_multipliers(Fast *f, const Matrix *strong, const CutLabel *label, const double *y)
{
    const ProofNames names = {.first_cut = f->run->matrix->p.rows, .label = label};
    ProofTree part = {0};
    size_t more = 0;
    if (f->chain.count == 0)
        proof_tree_begin(&f->chain);
    proof_tree_begin(&part);
    proof_tree_multipliers(&part, 0, false, y, strong);
    proof_tree_append(&f->chain, f->chain.count - 1, &part, &names, &more);
    proof_tree_release(&part);
}

/* Bound and fixings by multipliers of a matrix with the core's columns. False when the numbers do not fit. */
static bool take_multipliers(Fast *f, const Matrix *strong, const double *y, int64_t *bound)
{
    Run *run = f->run;
    Exact exact;
    exact_init(&exact, strong);
    const size_t n = (size_t)strong->p.columns;
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high);
    for (size_t j = 0; j < n; j++) {
        low[j] = run->low[f->core->map[j]] > strong->p.low[j] ? run->low[f->core->map[j]] : strong->p.low[j];
        high[j] = run->high[f->core->map[j]] < strong->p.high[j] ? run->high[f->core->map[j]] : strong->p.high[j];
    }
    const bool valid = exact_evaluate(&exact, low, high, y, true);
    if (valid) {
        *bound = exact_bound(&exact) + f->core->offset;
        run_open_bound(run, *bound);
        if (*bound >= run_wanted(run) && run_wanted(run) > SEARCH_MINUS_INFINITY + 1)
            exact_tighten(&exact, low, high, run_wanted(run) - f->core->offset);
        for (size_t j = 0; j < n; j++) {
            run->low[f->core->map[j]] = low[j];
            run->high[f->core->map[j]] = high[j];
        }
    }
    mem_free(low);
    mem_free(high);
    exact_release(&exact);
    return valid;
}

void fast_tighten_by_cuts(Fast *f)
{
    int64_t bound;
    if (f->cut_y != NULL)
        take_multipliers(f, &f->core->matrix, f->cut_y, &bound);
}

/* Takes the basis of the relaxation with the core's cuts. */
static void keep_basis(Fast *f, Basis *basis)
{
    basis_rename_columns(basis, f->core->map);
    mem_free(f->cut_basis);
    f->cut_basis = basis;
}

/* The share of the gap closed by the relaxation of a matrix with the core's columns: all of it where there is no point,
 * which the tree proves at once, or no solution to measure by. *y: its multipliers, to be freed. */
static double judge(Fast *f, const Matrix *strong, const Strengthening *s, double **y)
{
    Run *run = f->run;
    Simplex *simplex = simplex_new(strong);
    simplex_start_from(simplex, s->basis);
    const RelaxationStatus status =
        simplex_solve(simplex, fast_job_limit(run, INT64_MAX, 1), -INFINITY, run->options->cancel);
    run->statistics.pivots += simplex_pivots(simplex);
    double share = 0;
    const double before = s->before + (double)f->core->offset;
    int64_t bound = 0;
    *y = mem_new((size_t)strong->p.rows + 1, sizeof **y);
    memcpy(*y, simplex_y(simplex), (size_t)strong->p.rows * sizeof **y);
    if (status == RELAXATION_OPTIMAL && take_multipliers(f, strong, *y, &bound)) {
        note_multipliers(f, strong, s->label, *y);
        share = (before - (double)bound) / fmax(1.0, before - (double)run->value);
        if (run->bound < run->statistics.root_bound)
            run->statistics.root_bound = run->bound;
    }
    if (status == RELAXATION_INFEASIBLE)
        memset(*y, 0, (size_t)strong->p.rows * sizeof **y);
    simplex_free(simplex);
    return status == RELAXATION_INFEASIBLE || !run->has_solution ? 1.0 : share;
}

static void keep_rows(Fast *f, Matrix *strong, Strengthening *s, double *y)
{
    matrix_release(&f->core->matrix);
    f->core->matrix = *strong;
    mem_free(f->cut_y);
    f->cut_y = y;
    mem_free(f->cut_entry);
    f->cut_entry = s->entry;
    mem_free(f->cut_label);
    f->cut_label = s->label;
    s->entry = NULL;
    s->label = NULL;
    keep_basis(f, s->basis);
    s->basis = NULL;
    f->run->statistics.cuts = s->cuts;
    f->cuts_kept = true;
}

/* Rows of cuts for the core, if they are worth it: f->cuts_kept. The core's own rows keep their numbers. Returns the
 * share of the gap to the incumbent that they closed. known_only: only cuts that are made as cuts of earlier runs were.
 */
static double add_cuts(Fast *f, bool known_only)
{
    Run *run = f->run;
    Matrix strong;
    double *y = NULL;
    Strengthening s = {.first = run->matrix->p.rows,
                       .book = &f->memory->cuts,
                       .core = f->core,
                       .forms = &f->run->tree.forms,
                       .known_only = known_only,
                       .basis = fast_core_basis(f)};
    const size_t present = (size_t)(f->core->matrix.p.rows - s.first);
    s.entry = mem_new(present + 1, sizeof *s.entry);
    s.label = mem_new(present + 1, sizeof *s.label);
    if (present > 0) {
        memcpy(s.entry, f->cut_entry, present * sizeof *s.entry);
        memcpy(s.label, f->cut_label, present * sizeof *s.label);
    }
    matrix_init(&strong, &f->core->matrix.p);
    memcpy(strong.divisor, f->core->matrix.divisor, (size_t)strong.p.rows * sizeof *strong.divisor);
    strengthen(&strong, run->options, &s);
    run->statistics.pivots += s.pivots;
    const double share = s.cuts > 0 ? judge(f, &strong, &s, &y) : 0.0;
    const double least = f->cuts_kept ? 0.0 : known_only ? KNOWN_SHARE : CUT_SHARE;
    const bool keep = share >= least && s.cuts > 0;
    if (keep) {
        keep_rows(f, &strong, &s, y);
    } else {
        matrix_release(&strong);
        mem_free(y);
    }
    strengthening_release(&s);
    return share;
}

/* --- cuts of an earlier tree --- */

void fast_remake_cuts(Fast *f, const CutForms *forms)
{
    Matrix strong;
    Strengthening s = {.first = f->run->matrix->p.rows, .book = &f->memory->cuts, .core = f->core};
    matrix_init(&strong, &f->core->matrix.p);
    memcpy(strong.divisor, f->core->matrix.divisor, (size_t)strong.p.rows * sizeof *strong.divisor);
    strengthen_again(&strong, forms, &s);
    if (s.cuts > 0)
        keep_rows(f, &strong, &s, NULL);
    else
        matrix_release(&strong);
    strengthening_release(&s);
}

void fast_settle_cuts(Fast *f)
{
    Run *run = f->run;
    const Matrix *m = &f->core->matrix;
    Simplex *simplex = simplex_new(m);
    Basis *basis = fast_core_basis(f);
    int64_t bound = 0;
    simplex_start_from(simplex, basis);
    const RelaxationStatus status =
        simplex_solve(simplex, fast_job_limit(run, INT64_MAX, 1), -INFINITY, run->options->cancel);
    run->statistics.pivots += simplex_pivots(simplex);
    mem_free(basis);
    if (status == RELAXATION_OPTIMAL) {
        keep_basis(f, simplex_basis(simplex));
        mem_free(f->cut_y);
        f->cut_y = mem_new((size_t)m->p.rows + 1, sizeof *f->cut_y);
        memcpy(f->cut_y, simplex_y(simplex), (size_t)m->p.rows * sizeof *f->cut_y);
        if (take_multipliers(f, m, f->cut_y, &bound))
            note_multipliers(f, m, f->cut_label, f->cut_y);
    }
    simplex_free(simplex);
}

/* --- when --- */

/* Cuts, then columns fixed by them, and again. Returns the share of the gap that the first of it closed. */
static double cut_rounds(Fast *f, bool known_only)
{
    Run *run = f->run;
    const double share = add_cuts(f, known_only);
    for (int again = 0; again < CUT_ROUNDS && !run_over(run) && fast_much_smaller(f); again++) {
        if (f->cuts_kept)
            open_set_forget_rows(&f->open, run->matrix->p.rows);
        fast_renew_core(f);
        if (f->core == NULL || run_over(run))
            return share;
        if (f->cuts_kept)
            add_cuts(f, known_only || f->core->matrix.p.columns > LARGE_COLUMNS);
    }
    if (f->cuts_kept && !run_over(run)) {
        if (share >= RESTART_SHARE)
            fast_restart_tree(f); /* so far it was grown without these cuts */
        else
            open_set_forget_rows(&f->open, run->matrix->p.rows);
    }
    return share;
}

/* An earlier run's tree gets no cuts of this run: it would take ever longer to go over. What is open is not noted any
 * more, unless a new tree is begun. */
static void leave_kept_tree(Fast *f)
{
    if (!f->kept_tree)
        return;
    proof_tree_begin(&f->run->tree);
    f->kept_tree = false;
    open_set_forget_places(&f->open);
}

static void make_cuts(Fast *f, bool known_only)
{
    leave_kept_tree(f);
    cut_rounds(f, known_only);
    f->cuts_tried = true;
    f->by_recipes = known_only && !f->cut_anew;
    f->cut_twice = f->cut_twice || (f->cut_anew && !known_only);
    f->cut_anew = f->cut_anew || !known_only;
    f->cut_pivots = f->run->statistics.pivots;
    f->cut_columns = f->core != NULL ? f->core->matrix.p.columns : 0;
}

/* When the search turns out to be hard. Where earlier runs have left recipes, those come first, and a search for new
 * cuts only if they turn out not to be enough. When the core has become much smaller, the same recipes give better
 * cuts. What is still open after some time gets a second search: at once it would delay what is easy. */
void fast_try_cuts(Fast *f)
{
    const int64_t pivots = f->run->statistics.pivots;
    const bool known = f->memory->cuts.count > 0;
    const int columns = f->core->matrix.p.columns;
    if (columns > CUT_COLUMNS || (!f->run->has_solution && pivots < NONE_CUT_AFTER))
        return;
    if (!f->cuts_tried && ((pivots >= CUT_AFTER && f->rounds > 0) || (known && columns >= KNOWN_COLUMNS)))
        make_cuts(f, known);
    else if (f->by_recipes && pivots >= f->cut_pivots + NEW_CUTS_AFTER)
        make_cuts(f, false);
    else if (f->cut_anew && f->cuts_kept && !f->cut_twice && f->tree_pivots >= SECOND_AFTER)
        make_cuts(f, false);
    else if (f->cut_anew && columns < AGAIN_SHARE * f->cut_columns && columns >= AGAIN_LEAST)
        make_cuts(f, true);
}
