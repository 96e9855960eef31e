/* test_proof_tree.c - how a proof is noted: multipliers and branches by hand, and a part's tree put into another under
 * the names that its columns and rows have there. Answers do not depend on it, since nothing in it is trusted; how soon
 * the next run is through does. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "search/tree/proof_tree.h"

static void expect_part(const ProofTree *tree, size_t k, int row, double y)
{
    assert_int_equal(tree->part[k].row, row);
    assert_true(tree->part[k].y == y);
}

static void expect_node(const ProofTree *tree, size_t at, ProofKind kind, size_t first, int parts)
{
    assert_int_equal(tree->node[at].kind, kind);
    assert_int_equal(tree->node[at].first, first);
    assert_int_equal(tree->node[at].parts, parts);
}

/* Rows 0 and 1 without a lower side, row 2 without an upper one, and divided by 2. */
static Matrix three_rows(void)
{
    static int64_t low[] = {SEARCH_MINUS_INFINITY, SEARCH_MINUS_INFINITY, 0}, high[] = {1, 1, SEARCH_PLUS_INFINITY},
                   divisor[] = {1, 1, 2};
    return (Matrix){.p = {.rows = 3, .row_low = low, .row_high = high}, .divisor = divisor};
}

/* A bound by rows 0 and 2, then without the objective by row 1, then a branch on column 0 at 4. */
static ProofTree make_part(void)
{
    ProofTree part = {0};
    const Matrix m = three_rows();
    const double y[] = {1, -1e-9, -6}, z[] = {0, 3, 1e-9};
    proof_tree_begin(&part);
    size_t at = proof_tree_multipliers(&part, 0, false, y, &m);
    assert_int_equal(at, 1);
    at = proof_tree_multipliers(&part, at, true, z, &m);
    proof_tree_branch(&part, at, 0, 4);
    return part;
}

static void what_is_noted(void **state)
{
    (void)state;
    ProofTree tree = make_part();
    assert_int_equal(tree.count, 5);
    expect_node(&tree, 0, PROOF_BOUND, 0, 2);
    expect_part(&tree, 0, 0, 1);
    expect_part(&tree, 1, 2, -3); /* divided */
    expect_node(&tree, 1, PROOF_FARKAS, 2, 1);
    expect_part(&tree, 2, 1, 3);
    assert_int_equal(tree.node[2].kind, PROOF_BRANCH);
    assert_int_equal(tree.node[2].down, 4);
    assert_int_equal(tree.node[2].next[0], 3);
    assert_int_equal(tree.node[2].next[1], 4);
    assert_int_equal(tree.node[4].kind, PROOF_END);
    proof_tree_release(&tree);
}

static void a_part_in_another_tree(void **state)
{
    (void)state;
    ProofTree tree = make_part(), part = make_part();
    const int column[] = {7};
    const CutLabel label[] = {{5, 2.0}}; /* row 2 is a cut of form 5, which gives it twice */
    const ProofNames names = {.column = column, .first_cut = 2, .label = label};
    size_t more = 0;
    assert_false(proof_tree_append(&tree, PROOF_TREE_NOWHERE, &part, &names, &more));
    assert_true(proof_tree_append(&tree, 3, &part, &names, &more));
    assert_int_equal(more, 4);
    assert_int_equal(tree.count, 9);
    assert_int_equal(tree.parts, 6);
    expect_node(&tree, 3, PROOF_BOUND, 3, 2);
    assert_int_equal(tree.node[3].next[0], 5);
    expect_part(&tree, 3, 0, 1);
    expect_part(&tree, 4, -1 - 5, -1.5);
    expect_node(&tree, 5, PROOF_FARKAS, 5, 1);
    expect_part(&tree, 5, 1, 3);
    assert_int_equal(tree.node[6].kind, PROOF_BRANCH);
    assert_int_equal(tree.node[6].column, 7);
    assert_int_equal(tree.node[6].next[0], 7);
    assert_int_equal(tree.node[6].next[1], 8);
    expect_node(&tree, 1, PROOF_FARKAS, 2, 1); /* what was there is as it was */
    proof_tree_release(&part);
    proof_tree_release(&tree);
}

static void one_multiplier_more(void **state)
{
    (void)state;
    ProofTree tree = {0};
    const Matrix m = three_rows();
    const double y[] = {1, 0, 0};
    proof_tree_begin(&tree);
    proof_tree_multipliers(&tree, 0, false, y, &m);
    proof_tree_multiplier(&tree, 0, 2, 5); /* of a side that the matrix does not have */
    proof_tree_multiplier(&tree, 0, 1, 0);
    expect_node(&tree, 0, PROOF_BOUND, 0, 2);
    expect_part(&tree, 1, 2, 5);
    proof_tree_release(&tree);
}

/* Without room nothing more is noted; what there is has its ends. */
static void a_full_tree(void **state)
{
    (void)state;
    ProofTree tree = {0};
    proof_tree_begin(&tree);
    for (size_t at = 0; !tree.full; at = tree.node[at].next[1])
        proof_tree_branch(&tree, at, 0, 0);
    assert_int_equal(tree.count, PROOF_TREE_MOST_NODES - 1);
    const size_t end = tree.count - 1, parts = tree.parts;
    const double y[] = {1, 0, 0};
    const Matrix m = three_rows();
    assert_int_equal(tree.node[end].kind, PROOF_END);
    assert_int_equal(tree.node[end].next[0], end);
    assert_int_equal(tree.node[end].next[1], end);
    assert_int_equal(proof_tree_multipliers(&tree, end, false, y, &m), end);
    proof_tree_multiplier(&tree, end, 0, 1);
    assert_int_equal(tree.parts, parts);
    proof_tree_begin(&tree);
    assert_false(tree.full);
    proof_tree_release(&tree);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_noted),
        cmocka_unit_test(a_part_in_another_tree),
        cmocka_unit_test(one_multiplier_more),
        cmocka_unit_test(a_full_tree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
