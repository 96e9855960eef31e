/* test_search_memory.c - a long search keeps its memory: once the open nodes are as many as may be, going on takes no
 * more. Peak memory of processes of their own. The programme is invented: a knapsack with ten limits that no one proves
 * in this time. This test is not repeated under sanitizers, which take memory themselves. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/memory.h"
#include "support/family.h"
#include "support/programme_make.h"

enum { ITEMS = 250, LIMITS = 10 };

static SearchProblem *knapsack(void)
{
    SearchProblem *p = mem_new(1, sizeof *p);
    *p = (SearchProblem){.columns = ITEMS,
                         .rows = LIMITS,
                         .kind = mem_new(ITEMS, sizeof *p->kind),
                         .objective = mem_new(ITEMS, sizeof *p->objective),
                         .low = mem_new(ITEMS, sizeof *p->low),
                         .high = mem_new(ITEMS, sizeof *p->high),
                         .row_low = mem_new(LIMITS, sizeof *p->row_low),
                         .row_high = mem_new(LIMITS, sizeof *p->row_high),
                         .start = mem_new(ITEMS + 1, sizeof *p->start),
                         .row = mem_new(ITEMS * LIMITS, sizeof *p->row),
                         .value = mem_new(ITEMS * LIMITS, sizeof *p->value)};
    uint64_t state = 7;
    size_t at = 0;
    for (size_t j = 0; j < ITEMS; j++) {
        int64_t weight = 0;
        for (int i = 0; i < LIMITS; i++) {
            p->row[at] = i;
            p->value[at] = 1 + (int64_t)(programme_random(&state) % 1000);
            p->row_high[i] += p->value[at];
            weight += p->value[at++];
        }
        p->high[j] = 1;
        p->objective[j] = weight / LIMITS + (int64_t)(programme_random(&state) % 500);
        p->start[j + 1] = at;
    }
    for (int i = 0; i < LIMITS; i++) {
        p->row_low[i] = SEARCH_MINUS_INFINITY;
        p->row_high[i] /= 2;
    }
    return p;
}

/* In MB, of a search of so many pivots. */
static double most_memory(const SearchProblem *p, int64_t effort)
{
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        SearchOptions options;
        SearchResult r;
        search_options_default(&options);
        options.effort = effort;
        Search *search = search_new(p);
        search_run(search, &options, &r);
        _exit(r.status == SEARCH_STOPPED ? 0 : 1); /* else the programme was too easy */
    }
    int status = 0;
    struct rusage use;
    assert_int_equal(wait4(child, &status, 0, &use), child);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    return (double)use.ru_maxrss / 1024.0;
}

static void going_on_takes_no_more(void **state)
{
    (void)state;
    SearchProblem *p = knapsack();
    const double early = most_memory(p, 800000), late = most_memory(p, 1600000);
    print_message("%.1f MB after 0.8 million pivots, %.1f MB after 1.6 million\n", early, late);
    assert_true(early <= 40 && late <= early + 3);
    family_free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(going_on_takes_no_more)};
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
