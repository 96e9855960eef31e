/* bench_search.c - seconds to a proven gap: ours, GLPK alone (the reference engine), cbc and HiGHS on the same
 * programmes, one after the other.
 *
 *     bench_search [--seeds N] [--from SEED] [--seconds S] [--others S] [--only TEXT] [--every] [--each]
 *                  [--no-reference] [--no-cbc] [--highs COMMAND] [--no-threads | --only-threads]
 *     bench_search --knapsacks FILE [--values FILE]   multidimensional knapsacks in the layout of the OR-Library; the
 *                                                     published values from its table
 *
 * One core each, CPU seconds. Ours gets S; another solver max(3 s, 12 times what ours took to .03 %), 12 s at most, of
 * the same seed, so that ten times can be told; with --others S it gets S. Medians over the seeds; seeds whose
 * programme has no solution are passed over. COMMAND is given an LP file and seconds and prints HiGHS's log; with
 * --version alone it prints what is run (tests/support/highs-native). Of HiGHS as WebAssembly times are also given over
 * seven: a native build is so much faster at most.
 * --only protected: rows that hold whichever eight prices rise, ours alone.
 * --every: also what is left out by default (pairs and places of other sizes, whole-number fit of everything); --only:
 * names that hold TEXT. --each: before the medians a line for each seed and solver, as soon as it is known. Places:
 * ours gets them as the product states them (rows); the others get them as rows and as columns, and at each gap the
 * sooner of both counts. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/family.h"
#include "support/knapsack.h"
#include "support/rivals.h"

#define MOST_SEEDS 20
#define LEAST_SECONDS 3.0 /* of another solver */
#define TIMES 12.0
#define MOST_SECONDS 12.0
#define NATIVE 7.0 /* HiGHS as WebAssembly took 3.8 and 6.8 times the time of a native build, on two programmes */

enum { OURS, REFERENCE, CBC, HIGHS, SOLVERS };
static const char *const solver_name[SOLVERS] = {"poolwright", "GLPK alone", "cbc", "HiGHS"};

typedef struct {
    double seconds, others; /* ours, and another solver; 0: by what ours took */
    int seeds, from;
    const char *only, *highs, *knapsacks, *values;
    bool every, each, use[SOLVERS], threads, only_threads;
    char highs_name[32]; /* with its version, and how it was built */
} Settings;

typedef struct {
    const char *name;
    FamilyOptions options;
    int limits, items, quarters; /* not 0: a knapsack instead */
} Case;

static const char *const shape_name[] = {"", " pairs", " places"};

/* --- medians --- */

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(const double *values, int count)
{
    double sorted[MOST_SEEDS];
    memcpy(sorted, values, (size_t)count * sizeof *sorted);
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    return sorted[count / 2];
}

/* The median over curves of the time to gap g; INFINITY if fewer than half got there. */
static double middle_time(const Curve *curve, int count, int g)
{
    double column[MOST_SEEDS];
    for (int k = 0; k < count; k++)
        column[k] = curve[k].at[g] < 0 ? INFINITY : curve[k].at[g];
    return median(column, count);
}

/* The median when those that did not get there are taken to have got there at the end of their time; *more: it may be
 * more. */
static double least_middle_time(const Curve *curve, int count, int g, bool *more)
{
    double column[MOST_SEEDS];
    for (int k = 0; k < count; k++)
        column[k] = curve[k].at[g] < 0 ? curve[k].limit : curve[k].at[g];
    const double middle = median(column, count);
    *more = false;
    for (int k = 0; k < count; k++)
        *more = *more || (curve[k].at[g] < 0 && column[k] <= middle);
    return middle;
}

/* --- the table --- */

static bool is_shown(int g)
{
    return curve_gap[g] != 0.005;
}

static void print_curves(const char *who, const Curve *curve, int count)
{
    double gap[MOST_SEEDS], size[MOST_SEEDS];
    printf("  %-20s", who);
    for (int g = 0; g < CURVE_GAPS; g++) {
        const double t = middle_time(curve, count, g);
        if (is_shown(g))
            printf(isfinite(t) ? " %8.2f" : "        -", t);
    }
    for (int k = 0; k < count; k++) {
        gap[k] = curve[k].value > 0 ? 100.0 * (curve[k].bound - curve[k].value) / curve[k].value : INFINITY;
        size[k] = curve[k].megabytes;
    }
    const double end = median(gap, count);
    if (isfinite(end))
        printf("  %8.4f %%  %5.0f\n", end, median(size, count));
    else
        printf("    no pool  %6.0f\n", median(size, count));
}

static void print_ratios(const char *what, double over, const Curve *ours, const Curve *theirs, int count)
{
    printf("  %-20s", what);
    for (int g = 0; g < CURVE_GAPS; g++) {
        bool more;
        const double own = middle_time(ours, count, g), other = least_middle_time(theirs, count, g, &more);
        if (!is_shown(g))
            continue;
        if (!isfinite(own) && more)
            printf("        -");
        else if (!isfinite(own)) {
            bool unused;
            printf(" <%7.2f", other / over / least_middle_time(ours, count, g, &unused));
        } else
            printf(" %s%7.1f", more ? ">" : " ", other / over / fmax(own, 0.01));
    }
    printf("\n");
}

/* --- one case --- */

/* What another solver may take: enough to tell ten times, and something where ours did not get to .03 %. */
static double seconds_for(const Curve *ours, const Settings *settings)
{
    const double at = ours->at[CURVE_03] >= 0 ? ours->at[CURVE_03] : ours->at[CURVE_05] >= 0 ? ours->at[CURVE_05] : 0;
    return settings->others > 0 ? settings->others : fmin(MOST_SECONDS, fmax(LEAST_SECONDS, TIMES * at));
}

static const char *name_of(int solver, const Settings *settings)
{
    return solver == HIGHS ? settings->highs_name : solver_name[solver];
}

static void print_seed(uint64_t seed, const bool *ran, Curve curve[SOLVERS][MOST_SEEDS], int at,
                       const Settings *settings)
{
    for (int s = 0; s < SOLVERS; s++) {
        char who[64];
        snprintf(who, sizeof who, "%llu %s", (unsigned long long)seed, name_of(s, settings));
        if (ran[s])
            print_curves(who, &curve[s][at], 1);
    }
    fflush(stdout);
}

static bool run_other(int solver, const Settings *settings, const SearchProblem *p, double seconds, Curve *curve)
{
    if (solver == CBC)
        return rival_cbc(p, seconds, curve);
    if (solver == HIGHS)
        return rival_highs(p, settings->highs, seconds, curve);
    rival_ours(p, SEARCH_ENGINE_REFERENCE, 1, seconds, 0, curve);
    return true;
}

static SearchProblem *make(const Case *c, uint64_t seed)
{
    FamilyOptions options = c->options;
    options.seed = seed;
    options.places_as_rows = true;
    return c->items > 0 ? knapsack_drawn(c->limits, c->items, c->quarters, seed) : family_new(&options);
}

static void run_others(FamilyOptions options, const Settings *settings, const SearchProblem *p, double seconds,
                       bool *ran, Curve curve[SOLVERS][MOST_SEEDS], int at)
{
    options.places_as_rows = false;
    SearchProblem *as_columns = options.shape == FAMILY_PLACES ? family_new(&options) : NULL;
    for (int solver = REFERENCE; solver < SOLVERS; solver++) {
        ran[solver] = ran[solver] && run_other(solver, settings, p, seconds, &curve[solver][at]);
        Curve other;
        if (ran[solver] && as_columns && run_other(solver, settings, as_columns, seconds, &other))
            curve_merge(&curve[solver][at], &other);
    }
    if (as_columns)
        family_free(as_columns);
}

static void run_case(const Case *c, const Settings *settings)
{
    static Curve curve[SOLVERS][MOST_SEEDS];
    bool ran[SOLVERS];
    memcpy(ran, settings->use, sizeof ran);
    FamilyOptions options = c->options;
    for (int s = 0; s < SOLVERS && options.risen > 0; s++) /* rows are not all that these state */
        ran[s] = s == OURS;
    printf("%s\n", c->name);
    int count = 0;
    for (uint64_t seed = (uint64_t)settings->from;
         count < settings->seeds && seed < (uint64_t)settings->from + 10 * MOST_SEEDS; seed++) {
        options.seed = seed;
        SearchProblem *p = make(c, seed);
        rival_ours(p, SEARCH_ENGINE_FAST, 1, settings->seconds, 0, &curve[OURS][count]);
        if (curve[OURS][count].infeasible) {
            printf("  (seed %llu has no solution: passed over)\n", (unsigned long long)seed);
        } else {
            if (options.risen == 0)
                run_others(options, settings, p, seconds_for(&curve[OURS][count], settings), ran, curve, count);
            if (settings->each)
                print_seed(seed, ran, curve, count, settings);
            count++;
        }
        family_free(p);
    }
    for (int s = 0; s < SOLVERS && count > 0; s++) {
        if (!ran[s])
            continue;
        print_curves(name_of(s, settings), curve[s], count);
        if (s != OURS)
            print_ratios("  times ours", 1, curve[OURS], curve[s], count);
        if (s == HIGHS && strstr(settings->highs_name, "WebAssembly") != NULL)
            print_ratios("  over seven", NATIVE, curve[OURS], curve[s], count);
    }
    if (options.candidates == 30000 && count > 0)
        printf("  (ours is within .5 %% after %.2f s)\n", middle_time(curve[OURS], count, 1));
    fflush(stdout);
}

static bool is_usual(const FamilyOptions *o)
{
    if (o->shape == FAMILY_PLAIN)
        return !o->whole || o->all_bind;
    return !o->whole && (o->candidates == 2000 || (o->candidates == 5000 && o->all_bind));
}

static void run_cases(const Settings *settings)
{
    static const int candidates[] = {1200, 2000, 5000, 30000};
    printf("search: seconds to a proven gap, medians of %d seeds from %d; gap at the end; most memory in MB\n",
           settings->seeds, settings->from);
    printf("  %-20s      1 %%     .1 %%    .05 %%    .03 %%    .01 %%    proof       at end     MB\n", "");
    for (int shape = FAMILY_PLAIN; shape <= FAMILY_PLACES; shape++)
        for (size_t n = 0; n < sizeof candidates / sizeof *candidates; n++)
            for (int kind = 0; kind < 4; kind++) {
                char name[80];
                Case c = {.name = name,
                          .options = {.shape = (FamilyShape)shape,
                                      .candidates = candidates[n],
                                      .whole = kind >= 2,
                                      .all_bind = kind % 2 == 1}};
                snprintf(name, sizeof name, "%d%s%s%s", candidates[n], shape_name[shape],
                         kind % 2 == 1 ? " eleven" : " one", kind >= 2 ? " whole" : "");
                if ((!settings->only || strstr(name, settings->only) != NULL) &&
                    (settings->every || is_usual(&c.options)))
                    run_case(&c, settings);
            }
}

static bool is_asked_for(const Settings *settings, const char *name, bool usual)
{
    return settings->only != NULL ? strstr(name, settings->only) != NULL : usual || settings->every;
}

/* The hard end: by default in tenths; coarser fit, and knapsacks as P. C. Chu and J. E. Beasley drew theirs, where they
 * are asked for. */
static void run_hard(const Settings *settings)
{
    static const int candidates[] = {2000, 5000};
    static const struct {
        const char *name;
        int64_t step;
    } fit[] = {{"", 100}, {" half points", 500}, {" whole", 1000}};
    static const char *const share[] = {"a quarter", "a half", "three quarters"};
    char name[80];
    for (size_t n = 0; n < sizeof candidates / sizeof *candidates; n++)
        for (size_t k = 0; k < sizeof fit / sizeof *fit; k++) {
            const Case c = {.name = name, .options = {.candidates = candidates[n], .hard = true, .step = fit[k].step}};
            snprintf(name, sizeof name, "%d hard%s", candidates[n], fit[k].name);
            if (is_asked_for(settings, name, k == 0))
                run_case(&c, settings);
        }
    for (int quarters = 1; quarters <= 3; quarters++) {
        const Case c = {.name = name, .limits = 5, .items = 250, .quarters = quarters};
        snprintf(name, sizeof name, "knapsacks 5.250, limits of %s", share[quarters - 1]);
        if (is_asked_for(settings, name, false))
            run_case(&c, settings);
    }
}

/* The cap and ten themes' money protected against any eight risen prices: ours alone, where it is asked for. */
static void run_protected(const Settings *settings)
{
    static const int candidates[] = {1200, 5000};
    for (size_t n = 0; n < sizeof candidates / sizeof *candidates; n++)
        for (int all_bind = 0; all_bind < 2; all_bind++) {
            char name[80];
            Case c = {.name = name, .options = {.candidates = candidates[n], .all_bind = all_bind == 1, .risen = 8}};
            snprintf(name, sizeof name, "%d protected%s", candidates[n], all_bind == 1 ? " eleven" : " one");
            if (settings->only != NULL ? strstr(name, settings->only) != NULL && strstr(settings->only, "prot") != NULL
                                       : settings->every)
                run_case(&c, settings);
        }
}

/* --- two threads --- */

static void run_two(const char *name, FamilyOptions options, int gap, double seconds, const Settings *settings)
{
    Curve curve[MOST_SEEDS];
    int count = 0, reached = 0;
    printf("  %-20s", name);
    for (uint64_t seed = (uint64_t)settings->from;
         count < settings->seeds && seed < (uint64_t)settings->from + 10 * MOST_SEEDS; seed++) {
        options.seed = seed;
        SearchProblem *p = family_new(&options);
        rival_ours(p, SEARCH_ENGINE_FAST, 2, seconds, curve_gap[gap], &curve[count]);
        family_free(p);
        if (curve[count].infeasible)
            continue;
        if (curve[count].at[gap] >= 0)
            printf(" %6.1f", curve[count].at[gap]);
        else
            printf(" (%.4f %%)", 100.0 * (curve[count].bound - curve[count].value) / curve[count].value);
        fflush(stdout);
        reached += curve[count++].at[gap] >= 0;
    }
    const double t = middle_time(curve, count, gap);
    printf(isfinite(t) ? "   %d of %d, median %.1f s\n" : "   %d of %d\n", reached, count, t);
}

static void run_threads(const Settings *settings)
{
    printf(
        "two threads, seconds on the wall of each seed, or its gap when the time was over\n .01 %%, at most 60 s:\n");
    run_two("5000 one", (FamilyOptions){.candidates = 5000}, CURVE_01, 60, settings);
    run_two("5000 eleven", (FamilyOptions){.candidates = 5000, .all_bind = true}, CURVE_01, 60, settings);
    printf(" proof, at most 20 s:\n");
    run_two("2000 one whole", (FamilyOptions){.candidates = 2000, .whole = true}, CURVE_PROOF, 20, settings);
    run_two("2000 eleven whole", (FamilyOptions){.candidates = 2000, .whole = true, .all_bind = true}, CURVE_PROOF, 20,
            settings);
}

/* --- knapsacks --- */

/* The best known value of a problem in a table with lines such as "5.100-00  24381" (limits.items-number, from 0), in
 * tenths; 0: not there. */
static int64_t published_value(const char *path, const SearchProblem *p, int number)
{
    FILE *f = path ? fopen(path, "r") : NULL;
    char line[256];
    int64_t found = 0;
    while (f && found == 0 && fgets(line, sizeof line, f)) {
        int limits, items, at;
        double value;
        if (sscanf(line, "%d.%d-%d %lf", &limits, &items, &at, &value) == 4 && limits == p->rows &&
            items == p->columns && at == number)
            found = llround(value * 10);
    }
    if (f)
        fclose(f);
    return found;
}

static int run_knapsacks(const Settings *settings)
{
    FILE *f = fopen(settings->knapsacks, "r");
    const int count = f ? knapsack_count(f) : -1;
    if (count < 0) {
        fprintf(stderr, "%s: not a file of knapsacks\n", settings->knapsacks);
        return 2;
    }
    double ours = 0, theirs = 0;
    int proven = 0, problems = 0, other_proven = 0, as_known = 0, with_known = 0;
    for (; problems < count; problems++) {
        int64_t known = 0;
        SearchProblem *p = knapsack_read(f, &known);
        if (!p)
            break;
        Curve fast, cbc;
        rival_ours(p, SEARCH_ENGINE_FAST, 1, settings->seconds, 0, &fast);
        const bool is_proven = fast.at[CURVE_PROOF] >= 0;
        printf("%3d  poolwright %9.1f %s %8.2f s", problems + 1, fast.value / 10, is_proven ? "proven" : "open  ",
               fast.total);
        ours += fast.total;
        proven += is_proven;
        if (settings->use[CBC] && rival_cbc(p, settings->seconds, &cbc)) {
            printf("   cbc %9.1f %s %8.2f s", cbc.value / 10, cbc.at[CURVE_PROOF] >= 0 ? "proven" : "open  ",
                   cbc.total);
            theirs += cbc.total;
            other_proven += cbc.at[CURVE_PROOF] >= 0;
        }
        if (known == 0)
            known = published_value(settings->values, p, problems);
        if (known > 0)
            printf("   published %.1f", (double)known / 10);
        with_known += known > 0;
        as_known += known > 0 && fast.value >= (double)known;
        printf("\n");
        fflush(stdout);
        family_free(p);
    }
    fclose(f);
    printf("poolwright %d of %d proven, %.1f s; cbc %d proven, %.1f s\n", proven, problems, ours, other_proven, theirs);
    if (with_known > 0)
        printf("poolwright has the published value in %d of %d\n", as_known, with_known);
    return 0;
}

/* --- options --- */

/* What the command runs, as it says. */
static bool name_highs(Settings *s)
{
    char line[600];
    snprintf(line, sizeof line, "%s --version", s->highs);
    FILE *f = popen(line, "r");
    const bool named = f && fgets(s->highs_name, sizeof s->highs_name, f) != NULL;
    s->highs_name[strcspn(s->highs_name, "\n")] = '\0';
    return f && pclose(f) == 0 && named;
}

static bool read_settings(int count, char **argument, Settings *s)
{
    *s = (Settings){.seconds = 8, .seeds = 1, .from = 201, .use = {true, true, true, false}, .threads = true};
    for (int k = 1; k < count; k++) {
        const char *value = k + 1 < count ? argument[k + 1] : NULL, *name = argument[k];
        if (strcmp(name, "--no-reference") == 0)
            s->use[REFERENCE] = false;
        else if (strcmp(name, "--no-cbc") == 0)
            s->use[CBC] = false;
        else if (strcmp(name, "--no-threads") == 0)
            s->threads = false;
        else if (strcmp(name, "--only-threads") == 0)
            s->only_threads = true;
        else if (strcmp(name, "--every") == 0)
            s->every = true;
        else if (strcmp(name, "--each") == 0)
            s->each = true;
        else if (!value)
            return false;
        else if (strcmp(name, "--seconds") == 0)
            s->seconds = atof(argument[++k]);
        else if (strcmp(name, "--others") == 0)
            s->others = atof(argument[++k]);
        else if (strcmp(name, "--seeds") == 0)
            s->seeds = atoi(argument[++k]);
        else if (strcmp(name, "--from") == 0)
            s->from = atoi(argument[++k]);
        else if (strcmp(name, "--only") == 0)
            s->only = argument[++k];
        else if (strcmp(name, "--highs") == 0)
            s->highs = argument[++k];
        else if (strcmp(name, "--values") == 0)
            s->values = argument[++k];
        else if (strcmp(name, "--knapsacks") == 0)
            s->knapsacks = argument[++k];
        else
            return false;
    }
    s->use[HIGHS] = s->highs != NULL;
    return s->seeds >= 1 && s->seeds <= MOST_SEEDS && s->from >= 0 && s->seconds > 0 && s->others >= 0;
}

int main(int count, char **argument)
{
    Settings settings;
    if (!read_settings(count, argument, &settings)) {
        fprintf(stderr,
                "usage: bench_search [--seeds N] [--from SEED] [--seconds S] [--others S] [--only TEXT] [--every] "
                "[--each]\n"
                "                    [--no-reference] [--no-cbc] [--highs COMMAND] [--no-threads | --only-threads]\n"
                "       bench_search --knapsacks FILE [--values FILE] [--seconds S] [--no-cbc]\n");
        return 2;
    }
    if (settings.knapsacks)
        return run_knapsacks(&settings);
    if (settings.highs && !name_highs(&settings)) {
        fprintf(stderr, "%s --version: says nothing of HiGHS\n", settings.highs);
        return 2;
    }
    if (!settings.only_threads) {
        run_cases(&settings);
        run_hard(&settings);
        run_protected(&settings);
    }
    if (settings.only_threads || (settings.threads && !settings.only))
        run_threads(&settings);
    return 0;
}
