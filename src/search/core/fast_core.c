/* fast_core.c - the core that the tree is grown on: made, made anew when columns are fixed, and with it the tree's
 * beginning. */
#include "base/memory.h"
#include "search/fast.h"

#define KNOWN_MOST 4 /* observations of a column that are carried into another run */

void fast_tighten_whole(Fast *f)
{
    Run *run = f->run;
    /* the fixings of the root are taken from the box it was evaluated in: run->low and high only ever shrink, so the
     * evaluation is redone */
    if (run_wanted(run) > SEARCH_MINUS_INFINITY + 1 &&
        exact_evaluate(&f->exact, run->low, run->high, f->root_y, true)) {
        run_open_bound(run, exact_bound(&f->exact));
        exact_tighten(&f->exact, run->low, run->high, run_wanted(run));
    }
}

static int open_columns(const Run *run)
{
    int open = 0;
    for (int j = 0; j < run->problem->columns; j++)
        open += run->low[j] != run->high[j];
    return open;
}

Basis *fast_core_basis(const Fast *f)
{
    Basis *basis = basis_copy(f->cuts_kept && f->cut_basis != NULL ? f->cut_basis : f->memory->basis);
    basis_rename_columns(basis, f->core->place);
    return basis;
}

/* What branching on the core's columns has brought goes to the memory; of what comes from there not more is believed
 * than what makes it reliable. */
void fast_keep_known(Fast *f)
{
    for (int j = 0; f->core != NULL && j < f->core->matrix.p.columns; j++)
        f->memory->known[f->core->map[j]] = f->known[j];
}

static PseudoCost remembered(const PseudoCost *kept)
{
    PseudoCost known = *kept;
    for (int up = 0; up < 2; up++)
        if (known.count[up] > KNOWN_MOST) {
            known.sum[up] *= (double)KNOWN_MOST / known.count[up];
            known.count[up] = KNOWN_MOST;
        }
    return known;
}

static void push_root(Fast *f)
{
    OpenNode *node = open_node_new(f->run->bound - f->core->offset, 0);
    node->proof = f->run->tree.count > 0 ? f->run->tree.count - 1 : 0;
    open_set_push(&f->open, node);
}

void fast_restart_tree(Fast *f)
{
    open_set_release(&f->open);
    size_t more = 0;
    f->kept_tree = false;
    proof_tree_begin(&f->run->tree);
    proof_tree_append(&f->run->tree, 0, &f->chain, NULL, &more);
    push_root(f);
}

void fast_make_core(Fast *f)
{
    Run *run = f->run;
    fast_use_units(f);
    const bool part = f->core != NULL && f->cuts_kept; /* with its cuts */
    Core *core = part ? core_shrink(f->core, run->low, run->high) : core_new(run->matrix, run->low, run->high);
    PseudoCost *known = core ? mem_new((size_t)core->matrix.p.columns + 1, sizeof *known) : NULL;
    const bool first = f->core == NULL;
    fast_keep_known(f);
    for (int j = 0; core && j < core->matrix.p.columns; j++)
        known[j] = first ? remembered(&f->memory->known[core->map[j]]) : f->memory->known[core->map[j]];
    if (core && !first)
        open_set_move(&f->open, f->core, core);
    else if (!core)
        open_set_release(&f->open);
    mem_free(f->known);
    for (int i = 0; core && f->cut_y != NULL && i < core->matrix.p.rows; i++)
        f->cut_y[i] *= (double)(core->matrix.divisor[i] / f->core->matrix.divisor[i]);
    f->known = known;
    core_free(f->core);
    f->core = core;
    if (core && first)
        push_root(f);
}

bool fast_much_smaller(const Fast *f)
{
    return f->core != NULL && open_columns(f->run) < f->core->matrix.p.columns * 9 / 10;
}

void fast_renew_core(Fast *f)
{
    fast_make_core(f);
    if (open_set_empty(&f->open))
        run_open_bound(f->run, f->closed);
}
