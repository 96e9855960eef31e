/* conflict.c - minimal conflicts, one and all.
 *
 * One: a deletion filter (J. W. Chinneck, E. W. Dravnieks, "Locating minimal infeasible constraint sets in linear
 * programs", ORSA Journal on Computing 3(2), 1991) from the last side in order of blame: what is impossible without it
 * goes. So of all minimal conflicts the one is found whose last side comes first, then whose last but one, and so on.
 * Sides go in stretches that grow with each success (J. Marques-Silva, M. Janota, A. Belov, "Minimal sets over monotone
 * predicates in Boolean formulae", CAV 2013). The oracle is the search, which loosens the sides that are not in force
 * as little as it comes upon: so the pools that it finds break few of them, and a pool that breaks one side alone of
 * those that are left proves that it stays (known.h). The oracle's "no" is a proof; when it ran out of effort, a side
 * stays, so that what is left is still a conflict, but perhaps not a minimal one.
 *
 * All: MARCO (M. H. Liffiton, A. Previti, A. Malik, J. Marques-Silva, "Fast, flexible MUS enumeration", Constraints 21,
 * 2016). A map of what is not yet explored is a programme of its own, with a 0/1 column for each side; its greatest
 * solution is the next seed. A seed that is possible is, being greatest, a maximal possible set: its complement is a
 * minimal repair, and the map gets "at least one of the complement". An impossible seed is shrunk to a minimal
 * conflict, and the map gets "not all of these". The ways out by a single side are looked for first: each is in every
 * conflict, so the first conflict names all that can be one. */
#include "explain/conflict/conflict.h"

#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "explain/conflict/known.h"

#define LISTED_SIDES 240 /* in all: what nobody would read is not looked for */

typedef enum { VERDICT_POSSIBLE, VERDICT_IMPOSSIBLE, VERDICT_UNKNOWN } Verdict;

typedef struct {
    Oracle *oracle;
    const SideProblem *sides;
    bool *in;           /* [sides] in force */
    const bool *always; /* [sides] in force whatever is asked; NULL: none */
    bool *stays;        /* [sides] proven: without it the others that are in force can hold */
    int *list;          /* the candidates, in order of blame */
    int count;
    KnownPools known;
} Finder;

/* Only what is always in force is. */
static void clear(Finder *f)
{
    for (int s = 0; s < f->sides->sides; s++)
        f->in[s] = f->always != NULL && f->always[s];
}

/* A limit of many rows has no number by which it can be loosened. Others may have been dropped before. */
static void apply(Finder *f)
{
    for (int s = 0; s < f->sides->sides; s++) {
        const Side *side = &f->sides->side[s];
        const bool one_row = side->row >= 0;
        if (!side->hard)
            continue;
        oracle_drop(f->oracle, s, !one_row && !f->in[s]);
        if (one_row)
            oracle_loosen(f->oracle, s, f->in[s] ? 0 : side->most);
    }
}

static Verdict ask(Finder *f)
{
    if (known_keeps(&f->known, f->in))
        return VERDICT_POSSIBLE;
    apply(f);
    Probe probe;
    probe_any(f->oracle, &probe);
    const Verdict answer = probe.status == PROBE_NONE ? VERDICT_IMPOSSIBLE
                           : probe.x != NULL          ? VERDICT_POSSIBLE
                                                      : VERDICT_UNKNOWN;
    if (probe.x != NULL)
        known_take(&f->known, probe.x);
    probe_release(&probe);
    return answer;
}

static void finder_begin(Finder *f, Oracle *oracle)
{
    *f = (Finder){.oracle = oracle, .sides = oracle_sides(oracle)};
    size_t n = (size_t)f->sides->sides + 1;
    f->in = mem_new(n, sizeof *f->in);
    f->stays = mem_new(n, sizeof *f->stays);
    f->list = mem_new(n, sizeof *f->list);
    known_init(&f->known, f->sides);
}

static void finder_end(Finder *f)
{
    memset(f->in, 1, (size_t)f->sides->sides * sizeof *f->in);
    apply(f);
    known_release(&f->known);
    mem_free(f->in);
    mem_free(f->stays);
    mem_free(f->list);
}

/* Takes from force up to `most` of the candidates before place `end`, the last first, that are in force and not known
 * to stay: taken[]. Returns how many; *begin: the place of the last one taken. */
static int take_out(Finder *f, int end, int most, int *taken, int *begin)
{
    int count = 0;
    for (*begin = end; *begin > 0 && count < most;) {
        const int s = f->list[--*begin];
        if (!f->in[s] || f->stays[s])
            continue;
        f->in[s] = false;
        taken[count++] = s;
    }
    return count;
}

/* The candidates are in force and impossible. Those that are left in force are so, too; *minimal: and each of them is
 * proven to stay. */
static void filter(Finder *f, bool *minimal)
{
    int *taken = mem_new((size_t)f->count + 1, sizeof *taken), most = 1, end = f->count;
    memset(f->stays, 0, (size_t)f->sides->sides * sizeof *f->stays);
    *minimal = true;
    while (true) {
        int begin;
        known_alone(&f->known, f->in, f->stays);
        const int count = take_out(f, end, most, taken, &begin);
        if (count == 0)
            break;
        const Verdict answer = ask(f);
        if (answer == VERDICT_IMPOSSIBLE) {
            most *= 2;
            end = begin;
            continue;
        }
        for (int k = 0; k < count; k++)
            f->in[taken[k]] = true;
        if (count == 1) {
            end = begin;
            f->stays[taken[0]] = answer == VERDICT_POSSIBLE;
            *minimal = *minimal && f->stays[taken[0]];
        }
        most = count > 3 ? count / 4 : 1;
    }
    mem_free(taken);
}

/* f->list is proven impossible in all. */
static void shrink(Finder *f, Conflict *conflict)
{
    bool minimal;
    clear(f);
    for (int k = 0; k < f->count; k++)
        f->in[f->list[k]] = true;
    filter(f, &minimal);
    *conflict = (Conflict){.found = true, .minimal = minimal};
    conflict->side = mem_new((size_t)f->count + 1, sizeof *conflict->side);
    for (int k = 0; k < f->count; k++)
        if (f->in[f->list[k]])
            conflict->side[conflict->sides++] = f->list[k];
}

/* The hard sides among these; NULL: all. */
static void take_hard(Finder *f, const bool *among)
{
    f->count = 0;
    for (int s = 0; s < f->sides->sides; s++)
        if (f->sides->side[s].hard && (among == NULL || among[s]))
            f->list[f->count++] = s;
}

void conflict_among(Oracle *oracle, const bool *among, const bool *always, Conflict *conflict)
{
    Finder f;
    finder_begin(&f, oracle);
    f.always = always;
    *conflict = (Conflict){0};
    take_hard(&f, among);
    clear(&f);
    for (int k = 0; k < f.count; k++)
        f.in[f.list[k]] = true;
    if (ask(&f) == VERDICT_IMPOSSIBLE)
        shrink(&f, conflict);
    finder_end(&f);
}

void conflict_find(Oracle *oracle, Conflict *conflict)
{
    conflict_among(oracle, NULL, NULL, conflict);
}

bool conflict_settled(const Conflict *conflict)
{
    return conflict->found && conflict->minimal;
}

void conflict_release(Conflict *conflict)
{
    mem_free(conflict->side);
    *conflict = (Conflict){0};
}

/* --- all of them --- */

typedef struct {
    SearchProblem p; /* kept by rows here, turned into columns for each question */
    int *entry;      /* rows' columns, one after another */
    size_t *first;   /* [rows + 1] */
    size_t entry_capacity, first_capacity, low_capacity, high_capacity;
} Map;

static void map_row(Map *map, const int *column, int columns, int64_t low, int64_t high)
{
    size_t rows = (size_t)map->p.rows + 1;
    mem_reserve((void **)&map->first, &map->first_capacity, rows + 1, sizeof *map->first);
    mem_reserve((void **)&map->p.row_low, &map->low_capacity, rows, sizeof *map->p.row_low);
    mem_reserve((void **)&map->p.row_high, &map->high_capacity, rows, sizeof *map->p.row_high);
    if (rows == 1)
        map->first[0] = 0;
    size_t at = map->first[rows - 1];
    mem_reserve((void **)&map->entry, &map->entry_capacity, at + (size_t)columns + 1, sizeof *map->entry);
    memcpy(&map->entry[at], column, (size_t)columns * sizeof *column);
    map->first[rows] = at + (size_t)columns;
    map->p.row_low[rows - 1] = low;
    map->p.row_high[rows - 1] = high;
    map->p.rows = (int)rows;
}

/* The greatest set of sides that no row of the map excludes, in f->list. False when there is none, *unknown when that
 * is not proven. */
static bool map_seed(Map *map, Finder *f, const int *hard, int hards, bool *unknown)
{
    SearchProblem p = map->p;
    size_t n = (size_t)hards, entries = p.rows > 0 ? map->first[p.rows] : 0;
    p.columns = hards;
    p.kind = mem_new(n + 1, sizeof *p.kind); /* zero: binary */
    p.objective = mem_new(n + 1, sizeof *p.objective);
    p.low = mem_new(n + 1, sizeof *p.low);
    p.high = mem_new(n + 1, sizeof *p.high);
    p.start = mem_new(n + 2, sizeof *p.start);
    p.row = mem_new(entries + 1, sizeof *p.row);
    p.value = mem_new(entries + 1, sizeof *p.value);
    for (size_t j = 0; j < n; j++)
        p.objective[j] = p.high[j] = 1;
    size_t at = 0;
    for (int j = 0; j < hards; j++) {
        p.start[j] = at;
        for (int i = 0; i < p.rows; i++)
            for (size_t k = map->first[i]; k < map->first[i + 1]; k++)
                if (map->entry[k] == j) {
                    p.row[at] = i;
                    p.value[at++] = 1;
                }
    }
    p.start[n] = at;
    Search *search = search_new(&p);
    SearchOptions options = oracle_search_options(f->oracle);
    SearchResult result;
    search_run(search, &options, &result);
    oracle_count(f->oracle, &result);
    bool good = result.status == SEARCH_BEST;
    *unknown = !good && result.status != SEARCH_INFEASIBLE;
    f->count = 0;
    for (int j = 0; good && j < hards; j++)
        if (result.x[j] > 0)
            f->list[f->count++] = hard[j];
    search_result_release(&result);
    search_free(search);
    mem_free(p.kind);
    mem_free(p.objective);
    mem_free(p.low);
    mem_free(p.high);
    mem_free(p.start);
    mem_free(p.row);
    mem_free(p.value);
    return good;
}

static Conflict *add(Conflict **list, size_t *count)
{
    *list = mem_resize(*list, *count + 1, sizeof **list);
    return &(*list)[(*count)++];
}

/* Indexes among the hard ones. */
static void exclude_superset(Map *map, const Conflict *conflict, const int *place)
{
    int *column = mem_new((size_t)conflict->sides + 1, sizeof *column);
    for (int k = 0; k < conflict->sides; k++)
        column[k] = place[conflict->side[k]];
    map_row(map, column, conflict->sides, SEARCH_MINUS_INFINITY, conflict->sides - 1);
    mem_free(column);
}

/* What is not in force is a way out, which the seeds to come need not hold. */
static void add_repair(Finder *f, Map *map, const int *hard, int hards, ConflictList *list)
{
    int *column = mem_new((size_t)hards + 1, sizeof *column), count = 0;
    Conflict *repair = add(&list->repair, &list->repairs);
    *repair = (Conflict){.found = true, .minimal = true, .side = mem_new((size_t)hards + 1, sizeof *repair->side)};
    for (int j = 0; j < hards; j++)
        if (!f->in[hard[j]]) {
            column[count++] = j;
            repair->side[repair->sides++] = hard[j];
        }
    map_row(map, column, count, 1, SEARCH_PLUS_INFINITY);
    mem_free(column);
}

/* Each side of the first conflict may be a way out by itself. */
static void add_single_repairs(Finder *f, Map *map, const int *hard, int hards, size_t most, ConflictList *list)
{
    const Conflict *first = &list->conflict[0];
    for (int k = 0; k < first->sides && list->repairs < most; k++) {
        clear(f);
        for (int j = 0; j < hards; j++)
            f->in[hard[j]] = hard[j] != first->side[k];
        if (ask(f) == VERDICT_POSSIBLE)
            add_repair(f, map, hard, hards, list);
    }
}

/* Few sides first, then by order of blame: the order in which the search came upon them says nothing. */
static int by_sides(const void *a, const void *b)
{
    const Conflict *x = a, *y = b;
    if (x->sides != y->sides)
        return x->sides < y->sides ? -1 : 1;
    for (int k = 0; k < x->sides; k++)
        if (x->side[k] != y->side[k])
            return x->side[k] < y->side[k] ? -1 : 1;
    return 0;
}

static void sort_lists(ConflictList *list)
{
    sort_stable(list->conflict, list->conflicts, sizeof *list->conflict, by_sides);
    sort_stable(list->repair, list->repairs, sizeof *list->repair, by_sides);
}

void conflict_list(Oracle *oracle, size_t most, ConflictList *list)
{
    *list = (ConflictList){0};
    Finder f;
    finder_begin(&f, oracle);
    take_hard(&f, NULL);
    int hards = f.count;
    int *hard = mem_new((size_t)hards + 1, sizeof *hard), *place = mem_new((size_t)f.sides->sides + 1, sizeof *place);
    for (int j = 0; j < hards; j++) {
        hard[j] = f.list[j];
        place[hard[j]] = j;
    }
    Map map = {0};
    bool unknown = false;
    int listed = 0;
    while (list->conflicts < most && list->repairs < most && listed < LISTED_SIDES) {
        if (!map_seed(&map, &f, hard, hards, &unknown)) {
            list->complete = !unknown;
            break;
        }
        memset(f.in, 0, (size_t)f.sides->sides * sizeof *f.in);
        for (int k = 0; k < f.count; k++)
            f.in[f.list[k]] = true;
        Verdict answer = ask(&f);
        if (answer == VERDICT_UNKNOWN)
            break;
        if (answer == VERDICT_POSSIBLE) {
            if (f.count == hards) { /* all together are possible: no conflict at all */
                list->complete = true;
                break;
            }
            add_repair(&f, &map, hard, hards, list);
            continue;
        }
        Conflict *conflict = add(&list->conflict, &list->conflicts);
        shrink(&f, conflict);
        if (conflict->sides == 0) {
            list->complete = true;
            break;
        }
        listed += conflict->sides;
        exclude_superset(&map, conflict, place);
        if (list->conflicts == 1)
            add_single_repairs(&f, &map, hard, hards, most, list);
        oracle_tell(oracle, "conflicts", (int)list->conflicts, (int)most);
    }
    mem_free(map.entry);
    mem_free(map.first);
    mem_free(map.p.row_low);
    mem_free(map.p.row_high);
    mem_free(hard);
    mem_free(place);
    finder_end(&f);
    sort_lists(list);
}

void conflict_list_release(ConflictList *list)
{
    for (size_t k = 0; k < list->conflicts; k++)
        conflict_release(&list->conflict[k]);
    for (size_t k = 0; k < list->repairs; k++)
        conflict_release(&list->repair[k]);
    mem_free(list->conflict);
    mem_free(list->repair);
    *list = (ConflictList){0};
}
