/* conflict.c - minimal conflicts, one and all.
 *
 * One: QuickXplain (U. Junker, "QuickXplain: preferred explanations and relaxations for over-constrained problems",
 * AAAI 2004): sides in order of blame are halved; a half is only searched where the rest does not already conflict. The
 * oracle is the search with a zero objective. Its "no" is a proof; when it ran out of effort, the sides count as
 * possible together, so that what is left is still a conflict (its own infeasibility was proven), but perhaps not a
 * minimal one. So the result is tried once more, each side dropped: only a solution without it proves that it is
 * needed.
 *
 * All: MARCO (M. H. Liffiton, A. Previti, A. Malik, J. Marques-Silva, "Fast, flexible MUS enumeration", Constraints 21,
 * 2016). A map of what is not yet explored is a programme of its own, with a 0/1 column for each side; its greatest
 * solution is the next seed. A seed that is possible is, being greatest, a maximal possible set: its complement is a
 * minimal repair, and the map gets "at least one of the complement". An impossible seed is shrunk to a minimal
 * conflict, and the map gets "not all of these". */
#include "explain/conflict/conflict.h"

#include <string.h>

#include "base/memory.h"
#include "base/sort.h"

typedef enum { VERDICT_POSSIBLE, VERDICT_IMPOSSIBLE, VERDICT_UNKNOWN } Verdict;

typedef struct {
    Oracle *oracle;
    const SideProblem *sides;
    bool *in;           /* [sides] in force */
    const bool *always; /* [sides] in force whatever is asked; NULL: none */
    int *list;          /* the candidates, in order of blame */
    int count;
    int *found; /* the conflict */
    int founds;
} Finder;

/* Only what is always in force is. */
static void clear(Finder *f)
{
    for (int s = 0; s < f->sides->sides; s++)
        f->in[s] = f->always != NULL && f->always[s];
}

static void apply(Finder *f)
{
    for (int s = 0; s < f->sides->sides; s++)
        if (f->sides->side[s].hard)
            oracle_drop(f->oracle, s, !f->in[s]);
}

static Verdict ask(Finder *f)
{
    apply(f);
    Probe probe;
    probe_any(f->oracle, &probe);
    Verdict answer = probe.status == PROBE_NONE ? VERDICT_IMPOSSIBLE
                     : probe.x != NULL          ? VERDICT_POSSIBLE
                                                : VERDICT_UNKNOWN;
    probe_release(&probe);
    return answer;
}

static bool impossible(Finder *f)
{
    return ask(f) == VERDICT_IMPOSSIBLE;
}

/* Junker's recursion: list[from, to) are candidates; what is in force now is the background. changed: the background
 * got something new since it was last known to be possible. Leaves in force the background only, adds to found. */
static void divide(Finder *f, bool changed, int from, int to)
{
    if (changed && impossible(f))
        return;
    if (to - from == 1) {
        f->found[f->founds++] = f->list[from];
        return;
    }
    int middle = from + (to - from) / 2;
    for (int k = from; k < middle; k++)
        f->in[f->list[k]] = true;
    int before = f->founds;
    divide(f, true, middle, to);
    for (int k = from; k < middle; k++)
        f->in[f->list[k]] = false;
    for (int k = before; k < f->founds; k++)
        f->in[f->found[k]] = true;
    int second = f->founds;
    divide(f, second > before, from, middle);
    for (int k = before; k < second; k++)
        f->in[f->found[k]] = false;
}

static int ascending(const void *a, const void *b)
{
    int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

/* Drops each side of the conflict in turn: impossible without it: it goes (a safety net; only after an unsure run),
 * unknown: not proven minimal. */
static bool prove_minimal(Finder *f)
{
    bool minimal = true;
    for (int k = 0; k < f->founds;) {
        clear(f);
        for (int i = 0; i < f->founds; i++)
            f->in[f->found[i]] = i != k;
        Verdict answer = ask(f);
        if (answer == VERDICT_IMPOSSIBLE) {
            f->founds--;
            memmove(&f->found[k], &f->found[k + 1], (size_t)(f->founds - k) * sizeof *f->found);
            continue;
        }
        minimal = minimal && answer == VERDICT_POSSIBLE;
        k++;
    }
    return minimal;
}

static void finder_begin(Finder *f, Oracle *oracle)
{
    *f = (Finder){.oracle = oracle, .sides = oracle_sides(oracle)};
    size_t n = (size_t)f->sides->sides + 1;
    f->in = mem_new(n, sizeof *f->in);
    f->list = mem_new(n, sizeof *f->list);
    f->found = mem_new(n, sizeof *f->found);
}

static void finder_end(Finder *f)
{
    memset(f->in, 1, (size_t)f->sides->sides * sizeof *f->in);
    apply(f);
    mem_free(f->in);
    mem_free(f->list);
    mem_free(f->found);
}

/* f->list is proven impossible in all. */
static void shrink(Finder *f, Conflict *conflict)
{
    f->founds = 0;
    clear(f);
    /* The empty background may be impossible by itself (columns alone): then nothing is to blame. */
    if (f->count > 0 && !impossible(f))
        divide(f, false, 0, f->count);
    sort_stable(f->found, (size_t)f->founds, sizeof *f->found, ascending);
    bool minimal = prove_minimal(f);
    *conflict = (Conflict){.found = true, .minimal = minimal, .sides = f->founds};
    conflict->side = mem_copy(f->found, (size_t)f->founds, sizeof *f->found);
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
    while (list->conflicts < most && list->repairs < most) {
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
        exclude_superset(&map, conflict, place);
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
