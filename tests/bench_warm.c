/* bench_warm.c - solving again after one changed limit against solving anew: the share of the processor's time, over a
 * hundred changes of each programme.
 *
 *     bench_warm [CHANGES [SEED]]
 *
 * A change moves one row's limit, one column's bound (a card kept or banned) or one coefficient of the objective; it is
 * solved warm, then by a new search to the same gap, and taken back. Changes that a new search does not settle within
 * its steps are left out and counted. Programmes: the demo's and invented ones, the hard one with a tenth of the
 * changes. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/memory.h"
#include "support/family.h"
#include "whatif/loaded.h"

enum { MOST_CHANGES = 1000, MOST_STEPS = 400000 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static uint64_t next_random(uint64_t *state)
{
    *state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static int below(uint64_t *state, int n)
{
    return (int)(next_random(state) % (uint64_t)n);
}

/* --- one change --- */

typedef enum { LIMIT, BOUND, COEFFICIENT } Kind;

typedef struct {
    Kind kind;
    int at;
    int64_t before[2], after[2];
} Change;

/* A limit moves by one where cards are counted, by a hundredth of itself where it is larger. */
static Change draw_limit(const SearchProblem *p, uint64_t *s)
{
    Change c = {.kind = LIMIT, .at = below(s, p->rows)};
    const bool low = p->row_low[c.at] != SEARCH_MINUS_INFINITY, high = p->row_high[c.at] != SEARCH_PLUS_INFINITY,
               up = below(s, 2) == 1;
    c.before[0] = c.after[0] = p->row_low[c.at];
    c.before[1] = c.after[1] = p->row_high[c.at];
    const int64_t size = llabs((long long)(high ? c.after[1] : c.after[0])), step = (size / 100 + 1) * (up ? 1 : -1);
    const bool same = low && high && c.after[0] == c.after[1];
    if (low && (same || !high || !up))
        c.after[0] += step;
    if (high && (same || !low || up))
        c.after[1] += step;
    return c;
}

static Change draw_change(const SearchProblem *p, const int64_t *x, uint64_t *s)
{
    const int kind = below(s, 4);
    if (kind < 2)
        return draw_limit(p, s);
    int j = below(s, p->columns);
    for (int tries = 0; tries < 50 && x[j] == 0 && below(s, 2) == 0; tries++) /* as often one that is in */
        j = below(s, p->columns);
    Change c = {.kind = kind == 2 ? BOUND : COEFFICIENT, .at = j};
    if (c.kind == BOUND) {
        c.before[0] = p->low[j];
        c.before[1] = p->high[j];
        c.after[0] = c.after[1] = x[j] == p->low[j] ? p->high[j] : p->low[j];
    } else {
        c.before[0] = c.before[1] = p->objective[j];
        c.after[0] = c.after[1] = p->objective[j] + p->objective[j] / 10 * (below(s, 2) == 1 ? 1 : -1);
    }
    return c;
}

static void apply(SearchProblem *p, Search *search, const Change *c, const int64_t to[2])
{
    if (c->kind == LIMIT) {
        p->row_low[c->at] = to[0];
        p->row_high[c->at] = to[1];
        search_set_row(search, c->at, to[0], to[1]);
    } else if (c->kind == BOUND) {
        p->low[c->at] = to[0];
        p->high[c->at] = to[1];
        search_set_column(search, c->at, to[0], to[1]);
    } else {
        p->objective[c->at] = to[0];
        search_set_objective(search, c->at, to[0]);
    }
}

/* --- a hundred --- */

static double run(Search *search, int64_t gap, SearchResult *r)
{
    SearchOptions options;
    search_options_default(&options);
    options.gap_ppm = gap;
    options.effort = MOST_STEPS;
    const double begin = now();
    search_run(search, &options, r);
    return now() - begin;
}

static bool settled(const SearchResult *r)
{
    return r->status == SEARCH_BEST || r->status == SEARCH_WITHIN_GAP || r->status == SEARCH_INFEASIBLE;
}

/* What both prove must not contradict. */
static void compare(const SearchResult *warm, const SearchResult *cold)
{
    if ((warm->has_solution && warm->value > cold->bound) || (cold->has_solution && cold->value > warm->bound)) {
        fprintf(stderr, "solved again and solved anew contradict each other\n");
        exit(1);
    }
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void measure(const char *name, SearchProblem *p, int64_t gap, int changes, uint64_t seed)
{
    double ratio[MOST_CHANGES], cold_time[MOST_CHANGES];
    int count = 0, open = 0, late = 0;
    uint64_t state = seed;
    Search *search = search_new(p);
    SearchResult base, warm, cold;
    run(search, gap, &base);
    if (!base.has_solution) {
        printf("  %-20s %5.2f %%  no pool to begin with\n", name, (double)gap / 10000);
        changes = 0;
    }
    for (int k = 0; k < changes; k++) {
        const Change c = draw_change(p, base.x, &state);
        apply(p, search, &c, c.after);
        const double again = run(search, gap, &warm);
        Search *fresh = search_new(p);
        const double anew = run(fresh, gap, &cold);
        search_free(fresh);
        compare(&warm, &cold);
        if (!settled(&cold))
            open++;
        else {
            late += !settled(&warm);
            cold_time[count] = anew;
            ratio[count++] = again / anew;
        }
        search_result_release(&warm);
        search_result_release(&cold);
        apply(p, search, &c, c.before);
    }
    search_result_release(&base);
    search_free(search);
    if (changes == 0)
        return;
    qsort(ratio, (size_t)count, sizeof *ratio, by_size);
    qsort(cold_time, (size_t)count, sizeof *cold_time, by_size);
    if (count > 0)
        printf("  %-20s %5.2f %%  %5.2f   %5.2f  %5.2f   cold %7.3f s  %d changes", name, (double)gap / 10000,
               ratio[count / 2], ratio[count / 4], ratio[count * 3 / 4], cold_time[count / 2], count);
    else
        printf("  %-20s %5.2f %%  -", name, (double)gap / 10000);
    if (open > 0)
        printf(", %d not settled anew", open);
    if (late > 0)
        printf(", %d not settled again", late);
    printf("\n");
    fflush(stdout);
}

static void measure_demo(const char *subject, const char *name, int changes, uint64_t seed)
{
    static const char *const folders[] = {"models"};
    const Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    Diags diags;
    Loaded loaded;
    diags_init(&diags);
    if (!loaded_read(&loaded, subject, &overrides, NULL, "", &diags)) {
        char *text = diags_text(&diags);
        fputs(text, stderr);
        exit(1);
    }
    measure(name, &loaded.programme->problem, 500, changes, seed);
    measure(name, &loaded.programme->problem, 0, changes, seed);
    loaded_release(&loaded);
    diags_release(&diags);
}

int main(int count, char **argument)
{
    static const struct {
        const char *name;
        FamilyOptions options;
        bool proof;
    } families[] = {
        {"2000 one", {.candidates = 2000}, true},
        {"2000 one whole", {.candidates = 2000, .whole = true}, true},
        {"2000 eleven", {.candidates = 2000, .all_bind = true}, false},
        {"5000 one", {.candidates = 5000}, false},
        {"5000 eleven", {.candidates = 5000, .all_bind = true}, false},
        {"2000 places one", {.shape = FAMILY_PLACES, .candidates = 2000, .places_as_rows = true}, true},
        {"2000 hard whole", {.candidates = 2000, .hard = true, .step = 1000, .places_as_rows = true}, true},
    };
    const int changes = count > 1 ? atoi(argument[1]) : 100;
    const uint64_t seed = count > 2 ? strtoull(argument[2], NULL, 10) : 201;
    if (changes < 1 || changes > MOST_CHANGES) {
        fprintf(stderr, "usage: bench_warm [CHANGES [SEED]]\n");
        return 2;
    }
    printf(
        "One changed limit: CPU time to solve again, over that to solve anew\n  %-20s     gap median  quarter  three\n",
        "");
    measure_demo("scenarios/demo", "demo", changes, seed);
    measure_demo("scenarios/small", "small demo", changes, seed);
    for (size_t k = 0; k < sizeof families / sizeof *families; k++) {
        FamilyOptions options = families[k].options;
        options.seed = seed;
        SearchProblem *p = family_new(&options);
        const int most = options.hard ? (changes + 9) / 10 : changes;
        measure(families[k].name, p, 500, most, seed);
        if (families[k].proof)
            measure(families[k].name, p, 0, most, seed);
        family_free(p);
    }
    return 0;
}
