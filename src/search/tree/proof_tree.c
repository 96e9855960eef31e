/* proof_tree.c - see proof_tree.h. */
#include "search/tree/proof_tree.h"

#include <string.h>

#include "base/memory.h"

void proof_tree_release(ProofTree *tree)
{
    mem_free(tree->node);
    mem_free(tree->part);
    cut_forms_release(&tree->forms);
    *tree = (ProofTree){0};
}

static size_t new_end(ProofTree *tree)
{
    mem_reserve((void **)&tree->node, &tree->capacity, tree->count + 1, sizeof *tree->node);
    tree->node[tree->count] = (ProofNode){.kind = PROOF_END};
    return tree->count++;
}

void proof_tree_copy(ProofTree *to, const ProofTree *from)
{
    *to = *from;
    to->forms = (CutForms){0};
    cut_forms_copy(&to->forms, &from->forms);
    to->node = mem_new(from->count + 1, sizeof *to->node);
    to->part = mem_new(from->parts + 1, sizeof *to->part);
    to->capacity = from->count + 1;
    to->part_capacity = from->parts + 1;
    if (from->count > 0)
        memcpy(to->node, from->node, from->count * sizeof *to->node);
    if (from->parts > 0)
        memcpy(to->part, from->part, from->parts * sizeof *to->part);
}

void proof_tree_begin(ProofTree *tree)
{
    tree->count = tree->parts = 0;
    tree->full = false;
    new_end(tree);
}

/* Of its forms those that are marked, as they are numbered now. */
static void keep_cuts(ProofNode *node, const bool *marked, const int *number)
{
    const size_t first = node->first, end = first + (size_t)node->parts;
    node->parts = 0;
    for (size_t k = end; k-- > first;)
        if (marked[k]) {
            node->first = (size_t)number[k];
            node->parts++;
        }
}

void proof_tree_tidy(ProofTree *tree)
{
    bool *marked = mem_new(tree->forms.count + 1, sizeof *marked);
    int *number = NULL;
    for (size_t k = 0; k < tree->parts; k++)
        if (tree->part[k].row < 0)
            marked[-1 - tree->part[k].row] = true;
    cut_forms_keep(&tree->forms, marked, &number);
    for (size_t k = 0; k < tree->parts; k++)
        if (tree->part[k].row < 0)
            tree->part[k].row = -1 - number[-1 - tree->part[k].row];
    for (size_t k = 0; k < tree->count; k++)
        if (tree->node[k].kind == PROOF_CUTS)
            keep_cuts(&tree->node[k], marked, number);
    mem_free(marked);
    mem_free(number);
}

static bool has_room(ProofTree *tree, size_t nodes, size_t parts)
{
    const size_t most = tree->most > 0 ? tree->most : PROOF_TREE_MOST_NODES;
    tree->full = tree->full || tree->count + nodes > most || tree->parts + parts > most * PROOF_TREE_PARTS_A_NODE;
    return !tree->full;
}

static void add_part(ProofTree *tree, int row, double y)
{
    mem_reserve((void **)&tree->part, &tree->part_capacity, tree->parts + 1, sizeof *tree->part);
    tree->part[tree->parts++] = (ProofPart){row, y};
}

size_t proof_tree_multipliers(ProofTree *tree, size_t at, bool farkas, const double *y, const Matrix *matrix)
{
    const SearchProblem *p = &matrix->p;
    if (!has_room(tree, 1, (size_t)p->rows))
        return at;
    const size_t first = tree->parts, next = new_end(tree);
    for (int i = 0; i < p->rows; i++)
        if (y[i] > 0 ? p->row_high[i] != SEARCH_PLUS_INFINITY : y[i] < 0 && p->row_low[i] != SEARCH_MINUS_INFINITY)
            add_part(tree, i, y[i] / (double)matrix->divisor[i]);
    tree->node[at] = (ProofNode){.kind = farkas ? PROOF_FARKAS : PROOF_BOUND,
                                 .next = {next, 0},
                                 .first = first,
                                 .parts = (int)(tree->parts - first)};
    return next;
}

void proof_tree_multiplier(ProofTree *tree, size_t at, int row, double y)
{
    if (tree->full || y == 0)
        return;
    add_part(tree, row, y);
    tree->node[at].parts++;
}

size_t proof_tree_cuts(ProofTree *tree, size_t at, size_t first)
{
    if (!has_room(tree, 1, 0))
        return at;
    const size_t next = new_end(tree);
    tree->node[at] =
        (ProofNode){.kind = PROOF_CUTS, .next = {next, 0}, .first = first, .parts = (int)(tree->forms.count - first)};
    return next;
}

void proof_tree_branch(ProofTree *tree, size_t at, int column, int64_t down)
{
    if (!has_room(tree, 2, 0)) {
        tree->node[at].next[0] = tree->node[at].next[1] = at;
        return;
    }
    const size_t lower = new_end(tree), upper = new_end(tree);
    tree->node[at] = (ProofNode){.kind = PROOF_BRANCH, .column = column, .down = down, .next = {lower, upper}};
}

bool proof_tree_append(ProofTree *tree, size_t at, ProofTree *part, const ProofNames *names, size_t *more)
{
    if (part->count == 0 || at == PROOF_TREE_NOWHERE || !has_room(tree, part->count, part->parts))
        return false;
    const size_t parts = tree->parts, forms = names != NULL ? tree->forms.count : 0;
    *more = tree->count - 1;
    for (size_t k = 0; k < part->count; k++) {
        ProofNode node = part->node[k];
        node.next[0] += *more;
        node.next[1] += *more;
        node.first += node.kind == PROOF_CUTS ? forms : parts;
        if (node.kind == PROOF_BRANCH && names != NULL)
            node.column = names->column[node.column];
        const size_t place = k == 0 ? at : new_end(tree);
        tree->node[place] = node;
    }
    for (size_t k = 0; k < part->parts; k++) {
        const ProofPart *p = &part->part[k];
        if (names == NULL || p->row < 0) {
            add_part(tree, p->row - (p->row < 0 ? (int)forms : 0), p->y);
            continue;
        }
        const CutLabel *label = p->row >= names->first_cut ? &names->label[p->row - names->first_cut] : NULL;
        add_part(tree, label != NULL ? -1 - label->form : p->row, label != NULL ? p->y / label->scale : p->y);
    }
    if (names != NULL && part->forms.count > 0)
        cut_forms_move(&tree->forms, &part->forms, names->core, names->first_cut, names->label);
    return true;
}
