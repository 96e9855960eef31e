/* open.h - the open nodes of a tree, by bound.
 *
 * Bounds are rounded down to the grain of the values, so many are alike: then a node that is deep comes first, being
 * nearer to a pool, if there is one.
 *
 * Up to `most` of them are in a heap. What comes when it is full goes on a stack, which is worked off first and
 * depth first, so it stays as small as a few paths of the tree: memory is bounded however long the search. Nodes that
 * need no work are closed then, and leave their bounds behind. */
#ifndef POOLWRIGHT_SEARCH_TREE_OPEN_H
#define POOLWRIGHT_SEARCH_TREE_OPEN_H

#include "search/subtree/subtree.h"

typedef struct {
    size_t most;     /* nodes in the heap */
    OpenNode **heap; /* highest bound first; of those alike the deepest, then the latest */
    uint64_t *order;
    size_t count, capacity, order_capacity;
    uint64_t next;
    OpenNode **stack; /* the last is next */
    size_t stacked, stack_capacity;
} OpenSet;

void open_set_init(OpenSet *set, size_t most);
void open_set_release(OpenSet *set);              /* empty then, and of use again */
void open_set_push(OpenSet *set, OpenNode *node); /* takes the node */
OpenNode *open_set_pop(OpenSet *set);             /* the last on the stack, else the highest; NULL when empty */
bool open_set_empty(const OpenSet *set);
bool open_set_full(const OpenSet *set);     /* what is pushed now goes on the stack */
int64_t open_set_bound(const OpenSet *set); /* SEARCH_MINUS_INFINITY when empty */
/* Frees the nodes that can hold nothing of value `wanted`. */
void open_set_prune(OpenSet *set, int64_t wanted);
/* The same; returns the greatest bound of those freed, SEARCH_MINUS_INFINITY when there were none. */
int64_t open_set_close(OpenSet *set, int64_t wanted);
/* The rows from `first` on are no longer what they were: they leave the nodes' bases. */
void open_set_forget_rows(OpenSet *set, int first);
/* Their places in the tree that is noted (proof_tree.h) are no longer there. */
void open_set_forget_places(OpenSet *set);
/* The same nodes for another core of the same whole: decisions on columns that are now fixed are dropped, nodes that
 * contradict them freed. */
void open_set_move(OpenSet *set, const Core *from, const Core *to);

#endif
