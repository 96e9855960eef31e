/* fast.c - the fast engine.
 *
 * 1. The relaxation of the whole by simplex.c; its exact bound and reduced costs.
 * 2. First solutions: boxes of the columns with least |reduced cost| around the relaxation, searched depth first.
 * 3. Reduced costs and the incumbent fix most columns by exact evaluation: what is open is the core. It is made anew
 * when better incumbents shrink it.
 * 4. What is not done after some rounds is hard: rounding cuts on the core. Their bound and the fixings that follow
 * from it are used in any case; the rows stay, and the tree begins anew with them, where they close some of the gap,
 * since dense rows make every node dearer. Where earlier runs of the same programme have left recipes of cuts, those
 * are tried before the tree.
 * 5. Rounds of jobs: the open nodes with the highest bounds, each searched depth first for a number of pivots down to a
 * threshold, and boxes around incumbents and the relaxation. All jobs of a round see the same state; their results are
 * merged in order. So neither the number of threads nor time matters. How nodes are closed is noted in a tree
 * (proof_tree.h), which the next run goes over before it grows one of its own (replay.c). A bound is taken from open
 * nodes only, and every node is closed by exact.c or propagate.c. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/fast.h"
#include "search/core/neighbourhood.h"
#include "search/tree/propagate.h"
#include "search/risk/protection.h"

#define OPEN_NODES 30000
#define TREE_JOBS 6
#define BOX_JOBS 2
#define JOBS (TREE_JOBS + BOX_JOBS)
#define TREE_PIVOTS 600
#define CUT_TREE_PIVOTS 2000     /* the same of jobs that round cuts for themselves */
#define CUT_TREE_AFTER 20000     /* pivots of the tree: what is less hard does without */
#define CUT_TREE_SOONER 5000     /* the same where an earlier run came to that */
#define CUT_TREE_CERTIFIED 50000 /* the same where all is noted, and each cut is a step more */
#define CUT_TREE_COLUMNS 150     /* of the core */
#define FIRST_NODE_PIVOTS 100000
#define BOX_PIVOTS 8000
#define AGAIN_BOX_PIVOTS 500 /* the same when the solutions of an earlier run are there */
#define TREES_TO_A_BOX 3     /* pivots of the tree for one in boxes, where such a run turns out to be hard */
#define BOX_ALLOWANCE 2000   /* pivots for boxes beyond what the tree has taken */
#define PRODUCTIVE 12 /* boxes in a row without a better solution, before they are given no more work than the tree */
#define LONG_IDLE 24  /* the same, before they get a fifth of the tree's, one in six rounds */
#define POLISH_COLUMNS 60
#define POLISH_BOXES 6
#define POLISH_IDLE 2 /* boxes in a row without a better solution */
#define ROOT_EVERY 8  /* one box in so many is around the relaxation, and one around that of an open node */
#define NODE_STRIDE 7 /* which of the open nodes' boxes are tried */
#define FEW_OPEN 3    /* nodes that an earlier tree leaves: they are searched at once */
#define ROOM_STEPS 4  /* of the grain, beyond the room there was */
#define MORE_ROOM 1.5 /* times what there was, for an earlier tree to be gone over */

int64_t fast_job_limit(const Run *run, int64_t usual, int jobs)
{
    if (run->options->effort == 0)
        return usual;
    const int64_t share = (run->options->effort - run->statistics.pivots) / jobs + 1;
    return share < usual ? share : usual;
}

void fast_count_job(Run *run, const Job *job)
{
    run->statistics.pivots += job->task.pivots;
    run->statistics.nodes += job->task.nodes;
    run->statistics.unsettled += job->task.unsettled;
}

/* --- rounds --- */

static int64_t core_value(const Fast *f, int64_t value)
{
    return value <= SEARCH_MINUS_INFINITY + 1 ? SEARCH_MINUS_INFINITY + 1 : value - f->core->offset;
}

/* The box of one of the open nodes; false when there is none, or it is empty. */
static bool plan_node_box(const Fast *f, Job *job, uint64_t number)
{
    if (f->open.count == 0)
        return false;
    const SearchProblem *p = &f->core->matrix.p;
    const OpenNode *node = f->open.heap[number * NODE_STRIDE % f->open.count];
    memcpy(job->low, p->low, (size_t)p->columns * sizeof *job->low);
    memcpy(job->high, p->high, (size_t)p->columns * sizeof *job->high);
    job->basis = node->basis != NULL ? node->basis : job->basis;
    return open_node_box(node, p->columns, job->low, job->high);
}

/* The programme was hard before, or what is asked about it is. */
static bool was_hard(const Fast *f)
{
    const Run *run = f->run;
    return (f->memory->hard || run->least != NULL) && run->problem->protections == NULL;
}

static bool has_target(const Fast *f)
{
    return f->run->options->target != SEARCH_MINUS_INFINITY;
}

/* The tree is hard: its jobs round the cuts again, each for its own box. */
static bool cuts_in_tree(const Fast *f)
{
    const int64_t after = f->run->certify ? CUT_TREE_CERTIFIED : was_hard(f) ? CUT_TREE_SOONER : CUT_TREE_AFTER;
    return f->cuts_kept && f->tree_pivots >= after && f->core->matrix.p.columns >= CUT_TREE_COLUMNS;
}

/* Earlier runs have left pools that are about as good as there are: boxes are small and few. Not so where pools that
 * reach a target are looked for and it is hard: a few large ones find them sooner than the tree, if there are any. Nor
 * where the tree turns out to be hard: perhaps the best pool is another one by now. */
static bool has_good_pools(const Fast *f)
{
    return f->again && !(has_target(f) ? was_hard(f) && f->idle_boxes < PRODUCTIVE : cuts_in_tree(f));
}

static void plan_box(Fast *f, Job *job, int jobs, const Basis *basis)
{
    Run *run = f->run;
    const Matrix *m = &f->core->matrix;
    const size_t n = (size_t)m->p.columns + 1;
    double *centre = mem_new(n, sizeof *centre), *other = mem_new(n, sizeof *other), *cost = mem_new(n, sizeof *cost);
    for (int j = 0; j < m->p.columns; j++) {
        const int whole = f->core->map[j];
        centre[j] = (double)run->x[whole];
        other[j] = f->root_x[whole];
        cost[j] = run->reduced_cost[whole];
    }
    *job = (Job){.from = m,
                 .known = f->known,
                 .basis = basis,
                 .low = mem_new(n, sizeof(int64_t)),
                 .high = mem_new(n, sizeof(int64_t))};
    const uint64_t number = f->boxes++;
    const int size = f->box_size;
    if (number % ROOT_EVERY == 1 && plan_node_box(f, job, number / ROOT_EVERY)) {
        job->task.narrow_to = size;
    } else if (number % ROOT_EVERY == 0)
        neighbourhood_box(m, other, NULL, cost, size, number / ROOT_EVERY, job->low, job->high);
    else
        neighbourhood_box(m, centre, other, cost, size, number, job->low, job->high);
    job->task.wanted = core_value(f, run_wanted(run));
    job->task.threshold = SEARCH_MINUS_INFINITY;
    job->task.bound = SEARCH_PLUS_INFINITY;
    job->task.limit = fast_job_limit(run, has_good_pools(f) ? AGAIN_BOX_PIVOTS : BOX_PIVOTS, jobs);
    job->task.trials = !has_good_pools(f) && cuts_in_tree(f) ? TRY_LITTLE : TRY_USUAL;
    job->task.each = run->least != NULL;
    job->held = f->held;
    mem_free(centre);
    mem_free(other);
    mem_free(cost);
}

/* False when the node turns out to be empty. */
static bool plan_tree(Fast *f, Job *job, int jobs, int64_t threshold)
{
    const SearchProblem *p = &f->core->matrix.p;
    const size_t n = (size_t)p->columns;
    *job = (Job){.from = &f->core->matrix, .node = open_set_pop(&f->open), .known = f->known};
    job->low = mem_new(n + 1, sizeof *job->low);
    job->high = mem_new(n + 1, sizeof *job->high);
    memcpy(job->low, p->low, n * sizeof *job->low);
    memcpy(job->high, p->high, n * sizeof *job->high);
    job->task.noted = !f->run->tree.full && f->run->problem->protections == NULL;
    job->task.wanted = core_value(f, run_wanted(f->run));
    job->task.threshold = threshold;
    job->task.bound = job->node->bound;
    job->task.first_only = run_asks_any(f->run);
    job->task.each = f->run->least != NULL;
    job->held = f->held;
    job->task.limit = fast_job_limit(f->run, TREE_PIVOTS, jobs);
    if (cuts_in_tree(f) && fast_job_limit(f->run, CUT_TREE_PIVOTS, jobs) == CUT_TREE_PIVOTS) {
        job->task.cuts = &f->local;
        job->task.trials = TRY_MORE;
        job->task.keeps_cuts = !f->run->certify && f->open.count < f->open.most / 2; /* they take most of the memory */
        job->task.noted = job->task.noted && f->run->certify; /* its rows are its own, and no later run has them */
        job->task.limit = CUT_TREE_PIVOTS;
    }
    job->task.first_limit = fast_job_limit(f->run, FIRST_NODE_PIVOTS, jobs);
    job->told = f->told;
    job->task.most_equals = f->told != NULL ? f->run->equals->most : 0;
    if (open_node_box(job->node, p->columns, job->low, job->high))
        return true;
    job_release(job);
    return false;
}

/* Nodes above this are worked on: a little below the highest, only the highest where each job begins with cuts of its
 * own (what falls below is a job's first node later), all when there is no room for more open nodes. */
static int64_t threshold_now(const Fast *f)
{
    const Run *run = f->run;
    const int64_t top = open_set_bound(&f->open), wanted = core_value(f, run_wanted(run));
    int64_t threshold = wanted;
    if (run->has_solution && !open_set_full(&f->open))
        threshold = cuts_in_tree(f) ? top : top - (top - wanted) / 5;
    const int64_t enough = core_value(f, run_enough(run));
    if (run->has_solution && enough + 1 > threshold && enough < top)
        threshold = enough + 1;
    return threshold < top ? threshold : top;
}

/* What a job has noted goes in its node's place. */
static void note_proof(Fast *f, Job *job)
{
    const ProofNames names = {
        .column = f->core->map, .core = f->core, .first_cut = f->run->matrix->p.rows, .label = f->cut_label};
    const size_t root = job->node->proof;
    size_t more = 0;
    const bool noted = job->task.noted && proof_tree_append(&f->run->tree, root, &job->task.proof, &names, &more);
    for (size_t k = 0; k < job->open_count; k++)
        job->open[k]->proof = !noted ? PROOF_TREE_NOWHERE : job->open[k]->proof > 0 ? job->open[k]->proof + more : root;
}

static bool merge(Fast *f, Job *job)
{
    Run *run = f->run;
    bool better = false;
    fast_count_job(run, job);
    *(job->node ? &f->tree_pivots : &f->box_pivots) += job->task.pivots;
    if (job->x)
        better = fast_offer(f, job->x);
    if (!job->node) {
        f->idle_boxes = better ? 0 : f->idle_boxes + 1;
        if (job->exhausted && f->box_size < 400 && !better)
            f->box_size += f->box_size / 5;
        else if (!job->exhausted && f->box_size > 50)
            f->box_size -= f->box_size / 20;
        return better;
    }
    const size_t left = job->open_count;
    fast_take_equals(f, job);
    note_proof(f, job);
    const bool on_stack = open_set_full(&f->open); /* the deepest come first in the list, and have to come last there */
    for (size_t k = 0; k < left; k++)
        open_set_push(&f->open, job->open[on_stack ? left - 1 - k : k]);
    job->open_count = 0;
    pseudo_costs_add(f->known, job->learned, f->core->matrix.p.columns);
    return better;
}

static void lower_run_bound(Fast *f)
{
    Run *run = f->run;
    const int64_t open = open_set_empty(&f->open) ? SEARCH_MINUS_INFINITY : open_set_bound(&f->open) + f->core->offset;
    run_open_bound(run, open > f->closed ? open : f->closed);
}

/* Once there is no room for more open nodes, those within what is asked go: on the stack they would be in the way of
 * nodes that need work, for ever. What is asked only gets less, so it is never regretted. */
static void make_room(Fast *f)
{
    const Run *run = f->run;
    if (!open_set_full(&f->open) || !run->has_solution)
        return;
    const int64_t bound = open_set_close(&f->open, core_value(f, run_enough(run)) + 1);
    if (bound != SEARCH_MINUS_INFINITY && bound + f->core->offset > f->closed)
        f->closed = bound + f->core->offset;
}

/* After jobs: what follows from a better solution, and the bound. */
static void take_stock(Fast *f, bool better)
{
    Run *run = f->run;
    fast_use_units(f);
    if (better) {
        open_set_prune(&f->open, core_value(f, run_wanted(run)));
        fast_tighten_whole(f);
        fast_tighten_by_cuts(f);
    }
    make_room(f);
    lower_run_bound(f);
    if (better && !open_set_empty(&f->open) && fast_much_smaller(f))
        fast_renew_core(f);
}

/* Where earlier runs are known, a good solution is often near: boxes on the core, which is small by now, while they
 * bring something. The sooner the best is there, the fewer columns the tree has to do with. */
static void polish(Fast *f)
{
    int idle = 0;
    f->box_size = POLISH_COLUMNS;
    for (int k = 0;
         k < POLISH_BOXES && idle < POLISH_IDLE && f->core != NULL && !run_over(f->run) && f->run->has_solution; k++) {
        Job job;
        plan_box(f, &job, 1, NULL);
        batch_run(&job, 1, 1, f->run->options->cancel);
        const bool better = merge(f, &job);
        job_release(&job);
        take_stock(f, better);
        idle = better ? 0 : idle + 1;
    }
}

/* They have brought nothing for long, or only one value is better than what there is: most often there is none of it,
 * or the tree finds it as soon. */
static bool boxes_are_vain(const Fast *f)
{
    const Run *run = f->run;
    const int64_t step = run->grain.step > 0 ? run->grain.step : 1;
    return f->idle_boxes >= LONG_IDLE || (int128)run->bound - run->value <= step;
}

/* Boxes find better solutions, the tree proves: boxes get as much work as the tree, more while they bring something in
 * a programme that is new, and less where they are in vain, or one that is known turns out to be hard.
 */
static bool boxes_are_due(const Fast *f)
{
    const bool idle = f->idle_boxes >= PRODUCTIVE;
    if (f->run->least != NULL) /* these look for no better solution, and the tree finds what boxes do */
        return f->box_pivots < BOX_ALLOWANCE + f->tree_pivots / (idle ? 8 : 1);
    if (has_good_pools(f))
        return f->box_pivots < f->tree_pivots;
    if (f->again && !has_target(f)) /* most often there is no better one */
        return f->box_pivots < f->tree_pivots / TREES_TO_A_BOX;
    if (boxes_are_vain(f))
        return f->box_pivots < BOX_ALLOWANCE + f->tree_pivots / 5;
    return f->box_pivots < BOX_ALLOWANCE + (idle ? 1 : 4) * f->tree_pivots;
}

/* When jobs begin to cut, so does the tree: what it was parted by first was chosen when next to nothing was known of
 * what branching on each column brings. Not one that an earlier run has closed most of. */
static void begin_cutting(Fast *f)
{
    if (f->cutting || !cuts_in_tree(f))
        return;
    f->cutting = true;
    if (!f->gone_over && f->run->equals == NULL)
        fast_restart_tree(f);
}

static void one_round(Fast *f)
{
    Run *run = f->run;
    Job job[JOBS];
    int count = 0;
    const int first = run->matrix->p.rows;
    begin_cutting(f);
    fast_tell_core(f);
    fast_hold_core(f);
    f->local = (LocalCuts){&f->memory->cuts, first, f->core->matrix.p.rows - first, f->cut_entry, true};
    const int64_t threshold = threshold_now(f);
    const bool early = !boxes_are_vain(f);
    const bool boxes =
        run->has_solution && run->equals == NULL && !run->certify && boxes_are_due(f) && (early || f->rounds % 6 == 0);
    const int want_boxes = boxes ? (early ? BOX_JOBS : 1) : 0;
    int trees = 0;
    while (trees < TREE_JOBS && !open_set_empty(&f->open) && (trees == 0 || open_set_bound(&f->open) >= threshold))
        trees += plan_tree(f, &job[trees], TREE_JOBS + want_boxes, threshold);
    count = trees;
    Basis *basis = want_boxes > 0 ? fast_core_basis(f) : NULL;
    for (int k = 0; k < want_boxes; k++)
        plan_box(f, &job[count++], TREE_JOBS + want_boxes, basis);
    batch_run(job, count, f->threads, run->options->cancel);
    mem_free(basis);
    bool better = false;
    for (int k = 0; k < count; k++) {
        better = merge(f, &job[k]) || better;
        job_release(&job[k]);
    }
    f->rounds++;
    take_stock(f, better);
    run_progress(run);
}

/* Where any solution will do there may well be none, which the tree shows at once. Else: with much more room between
 * the relaxation and the best solution than that proof had, its tree leaves most of it open. */
static bool worth_going_over(const Fast *f, const ProofTree *kept)
{
    const Run *run = f->run;
    if (kept == NULL || !run->has_solution)
        return kept != NULL && run_asks_any(run);
    if (run->equals != NULL)
        return true;
    return (double)(f->root_bound - run_wanted(run)) <= MORE_ROOM * (double)kept->room;
}

/* What an earlier proof leaves open now is where the search begins. False when it is of no use. */
static bool go_over_tree(Fast *f, const ProofTree *kept)
{
    const int64_t before = f->run->value;
    const size_t recipes = f->memory->cuts.count;
    proof_tree_copy(&f->run->tree, kept);
    f->kept_tree = true;
    if (kept->forms.count > 0)
        fast_remake_cuts(f, &kept->forms);
    const bool good = fast_replay(f);
    if (!good && f->cuts_kept) { /* they are that tree's */
        core_free(f->core);
        f->core = NULL;
        f->cuts_kept = false;
        f->memory->cuts.count = recipes;
        fast_make_core(f);
    }
    if (good)
        warm_used_tree(f->run->warm, kept);
    else
        fast_restart_tree(f);
    f->cuts_tried = f->cuts_kept;
    take_stock(f, f->run->value > before);
    return good;
}

static void begin(Fast *f)
{
    Run *run = f->run;
    Propagator propagator;
    propagator_init(&propagator, run->matrix);
    propagator_touch_all(&propagator);
    if (!propagate(&propagator, run->low, run->high))
        run->empty = true;
    propagator_release(&propagator);
    if (!run->empty && !run_cancelled(run))
        fast_root(f); /* even where the bound is known: the multipliers are asked for, too */
    const ProofTree *kept = run_over(run) ? NULL : warm_nearest_tree(run->warm, run->problem);
    const bool early = worth_going_over(f, kept);
    if (!run_over(run) && !early && run->equals == NULL && !run->certify)
        fast_first_solutions(f);
    if (run_over(run))
        return;
    fast_tighten_whole(f);
    fast_make_core(f);
    if (!f->core)
        run_close(run);
    f->gone_over = !run_over(run) && worth_going_over(f, kept) && go_over_tree(f, kept);
    if (f->gone_over && f->open.count <= FEW_OPEN)
        return;
    if (f->gone_over && f->cuts_kept && !run_over(run))
        fast_settle_cuts(f);
    if (early && run->equals == NULL && !run_over(run) && f->core) {
        const int64_t before = run->value;
        fast_first_solutions(f);
        take_stock(f, run->value > before);
    }
    if (!f->gone_over && f->again && !run_over(run) && f->core)
        fast_try_cuts(f);
    if (!f->gone_over && !run_over(run) && f->core)
        fast_restart_tree(f);
    if (f->cuts_kept && run->equals == NULL && !run->certify)
        polish(f);
}

void fast_run(Run *run)
{
    Fast f = {.run = run, .box_size = 100, .memory = run->warm->now, .closed = SEARCH_MINUS_INFINITY};
    const size_t n = (size_t)run->problem->columns + 1, m = (size_t)run->matrix->p.rows + 1;
    f.threads = run->options->threads > 1 ? (run->options->threads < JOBS ? run->options->threads : JOBS) : 1;
    f.again = f.memory->basis != NULL;
    f.root_x = mem_new(n, sizeof *f.root_x);
    f.root_y = mem_new(m, sizeof *f.root_y);
    open_set_init(&f.open, run->options->open_nodes > 0 ? (size_t)run->options->open_nodes : OPEN_NODES);
    exact_init(&f.exact, run->matrix);
    begin(&f);
    while (!run_over(run) && f.core) {
        one_round(&f);
        if (!run_over(run) && f.core)
            fast_try_cuts(&f);
    }
    fast_keep_known(&f);
    cut_book_tidy(&f.memory->cuts);
    f.memory->hard = f.memory->hard || f.tree_pivots + f.box_pivots >= CUT_TREE_AFTER;
    run->tree.room = run->has_solution || run->options->target != SEARCH_MINUS_INFINITY
                         ? f.root_bound - run_wanted(run) + ROOM_STEPS * (run->grain.step > 0 ? run->grain.step : 1)
                         : 0;
    const bool closed = run->empty || (run->has_solution && run->bound <= run->value) ||
                        (run->options->target != SEARCH_MINUS_INFINITY && run->bound < run->options->target);
    if (run->problem->protections != NULL || !closed)
        proof_tree_release(&run->tree); /* it proves nothing */
    if (run->has_solution && f.root_bound != SEARCH_PLUS_INFINITY)
        f.memory->gap = (double)f.root_bound - (double)run->value;
    open_set_release(&f.open);
    core_free(f.core);
    exact_release(&f.exact);
    mem_free(f.known);
    mem_free(f.told);
    mem_free(f.held);
    mem_free(f.root_x);
    mem_free(f.cut_y);
    mem_free(f.cut_entry);
    mem_free(f.cut_label);
    run->chain = f.chain;
    mem_free(f.cut_basis);
    mem_free(f.root_y);
}
