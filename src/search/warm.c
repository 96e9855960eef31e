/* warm.c - keeping solutions, proofs, bases and cuts between runs.
 *
 * Solutions are kept with the rows' activities, so that testing one against changed sides takes no multiplication. A
 * bound proven for a programme holds for every programme whose sides and bounds lie within the old ones; other
 * objective coefficients add at most the greatest difference they make over the columns' bounds. (The simplest of the
 * inferences in A. M. Geoffrion and R. Nauss, "Parametric and postoptimality analysis in integer linear programming",
 * Management Science 23, 1977.) */
#include "search/warm.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/risk/protection.h"

#define USEFUL 40 /* runs that a tree which was of use is kept longer than others */

/* --- memories --- */

static void memory_release(Memory *memory)
{
    mem_free(memory->objective);
    mem_free(memory->basis);
    mem_free(memory->known);
    cut_book_release(&memory->cuts);
    *memory = (Memory){0};
}

/* The memory whose objective differs in the fewest coefficients, if it is much the same; else the one that was not used
 * for the longest time, emptied. */
static Memory *choose_memory(Warm *warm, const SearchProblem *p)
{
    const size_t n = (size_t)p->columns;
    Memory *best = NULL, *oldest = &warm->memory[0];
    int fewest = p->columns / 8 + 2;
    for (int k = 0; k < WARM_MEMORIES; k++) {
        Memory *memory = &warm->memory[k];
        if (memory->last < oldest->last)
            oldest = memory;
        if (memory->objective == NULL)
            continue;
        int differ = 0;
        for (size_t j = 0; j < n; j++)
            differ += memory->objective[j] != p->objective[j];
        if (differ < fewest) {
            fewest = differ;
            best = memory;
        }
    }
    if (best == NULL) {
        best = oldest;
        if (warm->in_simplex == best)
            warm->in_simplex = NULL;
        memory_release(best);
        best->objective = mem_new(n + 1, sizeof *best->objective);
        best->known = mem_new(n + 1, sizeof *best->known);
    }
    memcpy(best->objective, p->objective, n * sizeof *best->objective);
    best->last = warm->runs;
    return best;
}

Warm *warm_new(const SearchProblem *problem)
{
    Warm *warm = mem_new(1, sizeof *warm);
    matrix_init(&warm->matrix, problem);
    warm->runs = 1;
    warm->now = choose_memory(warm, problem);
    return warm;
}

static void proof_release(Proof *proof)
{
    search_problem_release(&proof->p);
    proof_tree_release(&proof->tree);
    *proof = (Proof){0};
}

void warm_free(Warm *warm)
{
    if (warm == NULL)
        return;
    for (int k = 0; k < WARM_MEMORIES; k++)
        memory_release(&warm->memory[k]);
    for (int k = 0; k < WARM_SOLUTIONS; k++) {
        mem_free(warm->solution[k].x);
        mem_free(warm->solution[k].activity);
    }
    for (int k = 0; k < WARM_PROOFS; k++)
        proof_release(&warm->proof[k]);
    simplex_free(warm->simplex);
    matrix_release(&warm->matrix);
    mem_free(warm);
}

static void memory_copy(Memory *to, const Memory *from, size_t n)
{
    *to = *from;
    if (from->objective == NULL)
        return;
    to->objective = mem_copy(from->objective, n, sizeof *to->objective);
    to->known = mem_copy(from->known, n, sizeof *to->known);
    to->basis = basis_copy(from->basis);
    cut_book_copy(&to->cuts, &from->cuts);
}

/* A copy without entries: sides, bounds and objective. */
static SearchProblem copy_sides(const SearchProblem *p)
{
    const size_t n = (size_t)p->columns, m = (size_t)p->rows;
    return (SearchProblem){.columns = p->columns,
                           .rows = p->rows,
                           .objective = mem_copy(p->objective, n, sizeof(int64_t)),
                           .low = mem_copy(p->low, n, sizeof(int64_t)),
                           .high = mem_copy(p->high, n, sizeof(int64_t)),
                           .row_low = mem_copy(p->row_low, m, sizeof(int64_t)),
                           .row_high = mem_copy(p->row_high, m, sizeof(int64_t))};
}

static void proof_copy(Proof *to, const Proof *from)
{
    *to = *from;
    if (from->last == 0)
        return;
    to->p = copy_sides(&from->p);
    proof_tree_copy(&to->tree, &from->tree);
}

/* The simplex is made anew from the basis where it is needed. */
Warm *warm_copy(const Warm *warm, const SearchProblem *problem)
{
    const size_t n = (size_t)problem->columns, m = (size_t)problem->rows;
    Warm *copy = mem_new(1, sizeof *copy);
    matrix_init(&copy->matrix, problem);
    copy->runs = warm->runs;
    copy->now = warm->now != NULL ? copy->memory + (warm->now - warm->memory) : NULL;
    for (int k = 0; k < WARM_MEMORIES; k++)
        memory_copy(&copy->memory[k], &warm->memory[k], n);
    for (int k = 0; k < WARM_SOLUTIONS; k++) {
        copy->solution[k] = warm->solution[k];
        if (warm->solution[k].x == NULL)
            continue;
        copy->solution[k].x = mem_copy(warm->solution[k].x, n, sizeof(int64_t));
        copy->solution[k].activity = mem_copy(warm->solution[k].activity, m, sizeof(int64_t));
    }
    for (int k = 0; k < WARM_PROOFS; k++)
        proof_copy(&copy->proof[k], &warm->proof[k]);
    return copy;
}

void warm_load(Warm *warm, const SearchProblem *problem)
{
    warm->runs++;
    matrix_reload(&warm->matrix, problem);
    if (warm->simplex != NULL)
        simplex_reload(warm->simplex);
    warm->now = choose_memory(warm, problem);
}

/* --- proofs --- */

static bool is_within(const SearchProblem *inner, const SearchProblem *outer)
{
    for (int i = 0; i < inner->rows; i++)
        if (inner->row_low[i] < outer->row_low[i] || inner->row_high[i] > outer->row_high[i])
            return false;
    for (int j = 0; j < inner->columns; j++)
        if (inner->low[j] < outer->low[j] || inner->high[j] > outer->high[j])
            return false;
    return true;
}

/* What the other objective can add. */
static int128 most_added(const SearchProblem *now, const SearchProblem *then)
{
    int128 sum = 0;
    for (int j = 0; j < now->columns; j++) {
        const int128 more = (int128)now->objective[j] - then->objective[j];
        sum += more * (more > 0 ? now->high[j] : now->low[j]);
    }
    return sum;
}

int64_t warm_bound(const Warm *warm, const SearchProblem *problem)
{
    int64_t least = SEARCH_PLUS_INFINITY;
    for (int k = 0; k < WARM_PROOFS; k++) {
        const Proof *proof = &warm->proof[k];
        if (proof->last == 0 || !is_within(problem, &proof->p))
            continue;
        if (proof->bound == SEARCH_MINUS_INFINITY)
            return proof->bound;
        const int128 bound = proof->bound + most_added(problem, &proof->p);
        if (bound < least)
            least = bound <= SEARCH_MINUS_INFINITY ? SEARCH_MINUS_INFINITY + 1 : (int64_t)bound;
    }
    return least;
}

static bool same_programme(const SearchProblem *a, const SearchProblem *b)
{
    const size_t n = (size_t)a->columns * sizeof(int64_t), m = (size_t)a->rows * sizeof(int64_t);
    return memcmp(a->row_low, b->row_low, m) == 0 && memcmp(a->row_high, b->row_high, m) == 0 &&
           memcmp(a->low, b->low, n) == 0 && memcmp(a->high, b->high, n) == 0 &&
           memcmp(a->objective, b->objective, n) == 0;
}

/* Trees that were grown take the place of what there is. */
static void take_tree(Proof *proof, ProofTree *tree)
{
    if (tree->count <= 1)
        return;
    proof_tree_release(&proof->tree);
    proof_tree_tidy(tree);
    proof->tree = *tree;
    *tree = (ProofTree){0};
}

void warm_keep_bound(Warm *warm, const SearchProblem *problem, int64_t bound, ProofTree *tree)
{
    Proof *oldest = &warm->proof[0];
    for (int k = 0; k < WARM_PROOFS; k++) {
        Proof *proof = &warm->proof[k];
        if (proof->last > 0 && same_programme(problem, &proof->p)) {
            proof->last = warm->runs > proof->last ? warm->runs : proof->last;
            proof->bound = bound < proof->bound ? bound : proof->bound;
            take_tree(proof, tree);
            return;
        }
        oldest = proof->last < oldest->last ? proof : oldest;
    }
    proof_release(oldest);
    oldest->p = copy_sides(problem);
    oldest->bound = bound;
    take_tree(oldest, tree);
    oldest->last = warm->runs;
}

static int differences(const SearchProblem *a, const SearchProblem *b)
{
    int differ = 0;
    for (int i = 0; i < a->rows; i++)
        differ += (a->row_low[i] != b->row_low[i]) | (a->row_high[i] != b->row_high[i]);
    for (int j = 0; j < a->columns; j++)
        differ += (a->low[j] != b->low[j]) | (a->high[j] != b->high[j]) | (a->objective[j] != b->objective[j]);
    return differ;
}

const ProofTree *warm_nearest_tree(const Warm *warm, const SearchProblem *problem)
{
    const Proof *nearest = NULL;
    int fewest = problem->columns / 8 + 2;
    for (int k = 0; k < WARM_PROOFS; k++) {
        const Proof *proof = &warm->proof[k];
        const int differ = proof->last > 0 && proof->tree.count > 1 ? differences(problem, &proof->p) : fewest;
        if (differ < fewest ||
            (differ == fewest && nearest != NULL && proof->tree.count > 1 && proof->last > nearest->last)) {
            fewest = differ;
            nearest = proof;
        }
    }
    return nearest != NULL ? &nearest->tree : NULL;
}

void warm_used_tree(Warm *warm, const ProofTree *tree)
{
    for (int k = 0; k < WARM_PROOFS; k++)
        if (&warm->proof[k].tree == tree)
            warm->proof[k].last = warm->runs + USEFUL;
}

/* --- solutions --- */

static int64_t value_of(const SearchProblem *p, const int64_t *x)
{
    int64_t value = 0;
    for (int j = 0; j < p->columns; j++)
        value += p->objective[j] * x[j];
    return value;
}

static bool holds(const KeptSolution *kept, const SearchProblem *p)
{
    for (int i = 0; i < p->rows; i++)
        if (kept->activity[i] < p->row_low[i] || kept->activity[i] > p->row_high[i])
            return false;
    for (int j = 0; j < p->columns; j++)
        if (kept->x[j] < p->low[j] || kept->x[j] > p->high[j])
            return false;
    return true;
}

bool warm_best(const Warm *warm, const SearchProblem *problem, int64_t *x)
{
    const KeptSolution *best = NULL;
    int64_t most = 0;
    for (int k = 0; k < WARM_SOLUTIONS; k++) {
        const KeptSolution *kept = &warm->solution[k];
        if (kept->x == NULL || !holds(kept, problem))
            continue;
        const int64_t value = value_of(problem, kept->x);
        if (best == NULL || value > most || (value == most && kept->last > best->last)) {
            best = kept;
            most = value;
        }
    }
    if (best != NULL)
        memcpy(x, best->x, (size_t)problem->columns * sizeof *x);
    return best != NULL;
}

static double miss(int64_t activity, int64_t low, int64_t high)
{
    return activity < low ? (double)low - (double)activity : activity > high ? (double)activity - (double)high : 0.0;
}

/* The value, less what its violations cost about. Moves x into its bounds. */
static double prospect(const SearchProblem *p, const double *row_dual, int64_t *x, int64_t *activity)
{
    double value = 0;
    for (int j = 0; j < p->columns; j++) {
        const int64_t to = x[j] < p->low[j] ? p->low[j] : x[j] > p->high[j] ? p->high[j] : x[j];
        for (size_t k = p->start[j]; to != x[j] && k < p->start[j + 1]; k++)
            activity[p->row[k]] += p->value[k] * (to - x[j]);
        x[j] = to;
        value += (double)p->objective[j] * (double)to;
    }
    for (int i = 0; i < p->rows; i++)
        value -= fabs(row_dual[i]) * miss(activity[i], p->row_low[i], p->row_high[i]);
    return value;
}

bool warm_nearest(const Warm *warm, const SearchProblem *problem, const double *row_dual, int64_t *x)
{
    const size_t n = (size_t)problem->columns, m = (size_t)problem->rows;
    int64_t *trial = mem_new(n + 1, sizeof *trial), *activity = mem_new(m + 1, sizeof *activity), last = 0;
    double most = -INFINITY;
    for (int k = 0; k < WARM_SOLUTIONS; k++) {
        const KeptSolution *kept = &warm->solution[k];
        if (kept->x == NULL)
            continue;
        memcpy(trial, kept->x, n * sizeof *trial);
        memcpy(activity, kept->activity, m * sizeof *activity);
        const double value = prospect(problem, row_dual, trial, activity);
        if (last > 0 && (value < most || (value == most && kept->last < last)))
            continue;
        most = value;
        last = kept->last;
        memcpy(x, trial, n * sizeof *x);
    }
    mem_free(trial);
    mem_free(activity);
    return last > 0;
}

void warm_keep_solution(Warm *warm, const SearchProblem *problem, const int64_t *x)
{
    const size_t n = (size_t)problem->columns;
    KeptSolution *oldest = &warm->solution[0];
    for (int k = 0; k < WARM_SOLUTIONS; k++) {
        KeptSolution *kept = &warm->solution[k];
        if (kept->x != NULL && memcmp(kept->x, x, n * sizeof *x) == 0) {
            kept->last = warm->runs;
            return;
        }
        oldest = kept->last < oldest->last ? kept : oldest;
    }
    if (oldest->x == NULL) {
        oldest->x = mem_new(n + 1, sizeof *oldest->x);
        oldest->activity = mem_new((size_t)problem->rows + 1, sizeof *oldest->activity);
    }
    memcpy(oldest->x, x, n * sizeof *x);
    memset(oldest->activity, 0, (size_t)problem->rows * sizeof *oldest->activity);
    for (int j = 0; j < problem->columns; j++)
        for (size_t k = problem->start[j]; x[j] != 0 && k < problem->start[j + 1]; k++)
            oldest->activity[problem->row[k]] += problem->value[k] * x[j];
    protections_add_worst(problem, x, oldest->activity);
    oldest->last = warm->runs;
}
