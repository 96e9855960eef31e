/* node.c - open nodes: the decisions that lead to them, what is proven about their columns, and a basis to start from.
 */
#include "base/memory.h"
#include "search/subtree/subtree.h"

OpenNode *open_node_new(int64_t bound, int depth)
{
    OpenNode *node = mem_new(1, sizeof *node + (size_t)depth * sizeof(Change));
    node->bound = bound;
    node->depth = depth;
    return node;
}

void open_node_free(OpenNode *node)
{
    if (node) {
        mem_free(node->basis);
        mem_free(node->fixed);
        kept_cuts_release(&node->cuts);
    }
    mem_free(node);
}

unsigned char *column_states_new(int columns)
{
    return mem_new((size_t)columns / 4 + 1, 1);
}

int column_state(const unsigned char *states, int column)
{
    return states[column / 4] >> (column % 4 * 2) & 3;
}

void column_state_fix(unsigned char *states, const SearchProblem *problem, int column, int64_t value)
{
    const int shift = column % 4 * 2, state = value == problem->low[column]    ? COLUMN_AT_LOW
                                              : value == problem->high[column] ? COLUMN_AT_HIGH
                                                                               : COLUMN_OPEN;
    states[column / 4] = (unsigned char)((states[column / 4] & ~(3 << shift)) | state << shift);
}

unsigned char *column_states_of_box(const SearchProblem *problem, const int64_t *low, const int64_t *high)
{
    unsigned char *states = column_states_new(problem->columns);
    for (int j = 0; j < problem->columns; j++)
        if (low[j] == high[j])
            column_state_fix(states, problem, j, low[j]);
    return states;
}

bool change_apply(const Change *change, int64_t *low, int64_t *high)
{
    int64_t *l = &low[change->column], *h = &high[change->column];
    if (change->upper)
        *h = change->bound < *h ? change->bound : *h;
    else
        *l = change->bound > *l ? change->bound : *l;
    return *l <= *h;
}

bool open_node_box(const OpenNode *node, int columns, int64_t *low, int64_t *high)
{
    for (int j = 0; node->fixed && j < columns; j++) {
        const int state = column_state(node->fixed, j);
        if (state == COLUMN_AT_LOW)
            high[j] = low[j];
        else if (state == COLUMN_AT_HIGH)
            low[j] = high[j];
    }
    for (int k = 0; k < node->depth; k++)
        if (!change_apply(&node->change[k], low, high))
            return false;
    return true;
}
