/* certify.c - from a search's own tree to a certificate.
 *
 * A run that notes all it does (run.h) closes the programme; its tree is gone over by the checker, node by node, and
 * each step that the checker takes is written down. So what is written is right, whatever the search has done. Where
 * the checker can't close a node by what was noted (numbers were rounded, or a column was given up in a way of which
 * nothing is noted), that node's box is searched again, as a programme of its own. */
#include "search/certify.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/certify_inner.h"
#include "search/engine.h"

#define MOST_NODES 400000 /* of a tree */
#define MOST_LEVELS 6     /* of boxes that are searched again within each other */
#define ANY_GAP INT64_MAX /* with it the first solution ends a search */

/* Going over one tree. */
typedef struct {
    Certifier *to;
    const ProofTree *tree;
    int *cut;        /* [forms] the certificate's number of its row, or -1 */
    double *scale;   /* [forms] of that */
    size_t made;     /* forms so far */
    size_t *waiting; /* places of the upper sides that wait, from this tree's first on */
    size_t capacity, base;
} Walk;

bool certifier_take(Certifier *to, CertificateEffect *effect)
{
    const CertificateStep *step = &to->out->step[to->out->steps - 1];
    const char *trouble = certificate_checker_take(to->checker, to->out, step, effect);
    const bool used = trouble == NULL && effect->changed;
    if (!used)
        certificate_drop(to->out);
    return used;
}

/* What is next to nothing may be on a side that is not there. row: of the certificate. */
static void write_multiplier(Certifier *to, int row, double y)
{
    const SearchProblem *stated = to->stated;
    const double scaled = ldexp(y, CERTIFICATE_GRID);
    const int64_t multiplier = fabs(scaled) < 0x1p62 ? (int64_t)llrint(scaled) : 0;
    const bool cut = row >= stated->rows;
    const bool has_side = multiplier > 0 ? cut || stated->row_high[row] != SEARCH_PLUS_INFINITY
                                         : !cut && stated->row_low[row] != SEARCH_MINUS_INFINITY;
    if (has_side && multiplier != 0)
        certificate_term(to->out, row, multiplier);
}

/* ---- cuts ---- */

static bool form_has_upper(const CutForm *form, int j)
{
    return form->upper[j / 8] >> j % 8 & 1;
}

/* Multipliers are of rows over their divisors: all times the least that makes them whole. */
static bool write_sum(Walk *walk, const CutForm *form)
{
    Certificate *out = walk->to->out;
    int128 whole = 1;
    for (int k = 0; k < form->parts && whole < INT64_MAX; k++) {
        const int64_t divisor = form->part[k].divisor;
        whole = whole / gcd64((int64_t)whole, divisor) * divisor;
    }
    const int128 d = whole * form->divisor;
    if (whole >= INT64_MAX || d >= INT64_MAX)
        return false;
    out->step[out->steps - 1].divisor = (int64_t)d;
    for (int k = 0; k < form->parts; k++) {
        const CutPart *part = &form->part[k];
        const int row = part->row >= 0 ? walk->to->row[part->row] : walk->cut[-1 - part->row];
        const int128 m = part->multiplier * (whole / part->divisor);
        if (row < 0 || m >= INT64_MAX || m <= -INT64_MAX)
            return false;
        certificate_term(out, row, (int64_t)m);
    }
    return true;
}

static void write_cut(Walk *walk, size_t k)
{
    Certifier *to = walk->to;
    const CutForm *form = &walk->tree->forms.form[k];
    const int64_t *low = certificate_checker_low(to->checker), *high = certificate_checker_high(to->checker);
    CertificateEffect effect;
    walk->cut[k] = -1;
    certificate_step(to->out, CERTIFICATE_CUT, certificate_checker_depth(to->checker));
    for (int j = 0; j < to->p->columns; j++)
        if (low[j] != high[j] && form_has_upper(form, j))
            certificate_upper(to->out, j);
    if (!write_sum(walk, form)) {
        certificate_drop(to->out);
        return;
    }
    if (certifier_take(to, &effect)) {
        certificate_keep_uppers(to->out, effect.from_upper);
        walk->cut[k] = to->stated->rows + to->cuts++;
        walk->scale[k] = effect.scale;
    }
}

/* ---- nodes ---- */

/* How many of the tree's forms a node's multipliers need. */
static size_t forms_for(const ProofTree *tree, const ProofNode *node)
{
    size_t forms = 0;
    for (int k = 0; k < node->parts; k++) {
        const int row = tree->part[node->first + (size_t)k].row;
        if (row < 0 && (size_t)-row > forms)
            forms = (size_t)-row;
    }
    return forms;
}

static void write_bound(Walk *walk, const ProofNode *node)
{
    Certifier *to = walk->to;
    CertificateEffect effect;
    certificate_step(to->out, node->kind == PROOF_BOUND ? CERTIFICATE_BOUND : CERTIFICATE_NONE,
                     certificate_checker_depth(to->checker));
    for (int k = 0; k < node->parts; k++) {
        const ProofPart *part = &walk->tree->part[node->first + (size_t)k];
        const int form = -1 - part->row;
        if (part->row >= 0)
            write_multiplier(to, to->row[part->row], part->y);
        else if (walk->cut[form] >= 0)
            write_multiplier(to, walk->cut[form], part->y * walk->scale[form]);
    }
    certifier_take(to, &effect);
}

/* Has the node that was at work, with so many sides waiting, been closed? */
static bool has_moved(const Certifier *to, size_t waiting)
{
    return certificate_checker_over(to->checker) || certificate_checker_waiting(to->checker) < waiting;
}

static bool certify_box(Certifier *to, int level);

/* What is to be written at this place, up to the first node that another place stands for. False: it can't be closed.
 */
static bool write_node(Walk *walk, size_t place, int level)
{
    Certifier *to = walk->to;
    const size_t waiting = certificate_checker_waiting(to->checker);
    const ProofTree *tree = walk->tree;
    while (!has_moved(to, waiting)) {
        const ProofNode *node = &tree->node[place];
        const size_t forms =
            node->kind == PROOF_BOUND || node->kind == PROOF_FARKAS ? forms_for(tree, node) : tree->forms.count;
        for (; walk->made < forms && !has_moved(to, waiting); walk->made++)
            if (!tree->forms.form[walk->made].local)
                write_cut(walk, walk->made);
        if (has_moved(to, waiting))
            break;
        if (node->kind == PROOF_CUTS) {
            for (size_t k = node->first; k < node->first + (size_t)node->parts && !has_moved(to, waiting); k++)
                write_cut(walk, k);
            place = node->next[0];
            continue;
        }
        if (node->kind == PROOF_END)
            return certify_box(to, level + 1);
        if (node->kind != PROOF_BRANCH) {
            write_bound(walk, node);
            place = node->next[0];
            continue;
        }
        const int64_t low = certificate_checker_low(to->checker)[node->column],
                      high = certificate_checker_high(to->checker)[node->column];
        if (high <= node->down || low > node->down) {
            place = node->next[low > node->down];
            continue;
        }
        mem_reserve((void **)&walk->waiting, &walk->capacity, waiting - walk->base + 1, sizeof *walk->waiting);
        walk->waiting[waiting - walk->base] = node->next[1];
        CertificateEffect effect;
        CertificateStep *step = certificate_step(to->out, CERTIFICATE_BRANCH, certificate_checker_depth(to->checker));
        step->column = node->column;
        step->at = node->down;
        if (!certifier_take(to, &effect))
            return false;
        if (certificate_checker_waiting(to->checker) <= waiting)
            break;
        return write_node(walk, node->next[0], level);
    }
    return true;
}

/* From the node at work on, till it and all below is closed. */
static bool go_over(Walk *walk, int level)
{
    Certifier *to = walk->to;
    walk->base = certificate_checker_waiting(to->checker);
    bool good = write_node(walk, 0, level);
    while (good && !has_moved(to, walk->base)) {
        const size_t next = certificate_checker_waiting(to->checker) - walk->base;
        good = write_node(walk, walk->waiting[next], level);
    }
    return good;
}

static void write_relaxation(Certifier *to, const double *y)
{
    CertificateEffect effect;
    certificate_step(to->out, CERTIFICATE_BOUND, certificate_checker_depth(to->checker));
    for (int i = 0; i < to->p->rows; i++)
        write_multiplier(to, to->row[i], y[i]);
    certifier_take(to, &effect);
}

static bool write_tree(Certifier *to, Run *run, int level)
{
    const size_t waiting = certificate_checker_waiting(to->checker);
    write_relaxation(to, run->row_dual);
    if (has_moved(to, waiting))
        return true;
    ProofTree tree = {.most = 2 * MOST_NODES, .forms = run->tree.forms};
    size_t more = 0;
    run->tree.forms = (CutForms){0};
    proof_tree_begin(&tree);
    proof_tree_append(&tree, 0, &run->chain, NULL, &more);
    proof_tree_append(&tree, tree.count - 1, &run->tree, NULL, &more);
    proof_tree_tidy(&tree);
    Walk walk = {.to = to, .tree = &tree};
    walk.cut = mem_new(tree.forms.count + 1, sizeof *walk.cut);
    walk.scale = mem_new(tree.forms.count + 1, sizeof *walk.scale);
    for (size_t k = 0; k < tree.forms.count; k++)
        walk.cut[k] = -1;
    const bool good = go_over(&walk, level);
    mem_free(walk.cut);
    mem_free(walk.scale);
    mem_free(walk.waiting);
    proof_tree_release(&tree);
    return good;
}

static bool is_closed(const Run *run, int64_t wanted)
{
    return run->empty || (wanted != CERTIFICATE_ANY && run->bound < wanted);
}

/* A solution of what is searched, of the value that is wanted. */
static bool found_one(const Run *run, int64_t wanted)
{
    return run->has_solution && (wanted == CERTIFICATE_ANY || run->value >= wanted);
}

/* The node at work, as a programme of its own. */
static bool certify_box(Certifier *to, int level)
{
    if (level > MOST_LEVELS)
        return false;
    SearchProblem *box = certifier_box(to);
    SearchOptions own = *to->options;
    own.gap_ppm = to->out->wanted == CERTIFICATE_ANY ? ANY_GAP : 0;
    own.eager = 0;
    own.start = to->x;
    own.known_bound = SEARCH_PLUS_INFINITY;
    own.target = to->out->wanted == CERTIFICATE_ANY ? SEARCH_MINUS_INFINITY : to->out->wanted;
    own.first = true;
    own.effort = to->options->effort > 0 ? to->options->effort - to->pivots : 0;
    bool good = to->options->effort == 0 || own.effort > 0;
    if (good) {
        Warm *warm = warm_new(box);
        Run run;
        run_init(&run, box, warm, &own);
        run.certify = true;
        run.tree.most = MOST_NODES;
        if (!run.empty)
            fast_run(&run);
        to->pivots += run.statistics.pivots;
        const bool found = found_one(&run, to->out->wanted);
        good = !found && is_closed(&run, to->out->wanted) && write_tree(to, &run, level);
        to->again = found && level == 0 && certifier_rule_out(to, run.x);
        run_release(&run);
        warm_free(warm);
    }
    problem_free(box);
    return good;
}

bool search_certify(const SearchProblem *problem, const SearchProblem *stated, const SearchOptions *options,
                    int64_t wanted, const int64_t *x, Certificate *certificate, int64_t *pivots)
{
    *certificate = (Certificate){.wanted = wanted};
    *pivots = 0;
    if (search_problem_trouble(problem) != NULL)
        return false;
    Certifier to = {.stated = stated, .options = options, .x = x, .out = certificate};
    to.checker = certificate_checker_new(stated, wanted);
    certifier_begin(&to, problem);
    do
        to.again = false;
    while (!certificate_checker_over(to.checker) && !certify_box(&to, 0) && to.again);
    const bool whole = certificate_checker_over(to.checker);
    certificate_checker_free(to.checker);
    certifier_end(&to);
    *pivots = to.pivots;
    return whole;
}
