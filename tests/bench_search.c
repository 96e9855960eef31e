/* bench_search.c - seconds to a proven gap: the fast engine, the reference engine, cbc and HiGHS on the same programmes.
 *
 *     bench_search [--seconds S] [--seeds N] [--from SEED] [--only TEXT] [--reference] [--two] [--highs FOLDER] [--no-cbc]
 *     bench_search --knapsacks FILE     multidimensional knapsacks in the layout of the OR-Library
 *
 * Solvers run one after the other, one core each, and CPU seconds are printed (our two-thread runs, with --two, in wall seconds). Medians over the
 * seeds; "-" where fewer than half of them reached the gap. FOLDER is one in which `npm install highs` was done (HiGHS as WebAssembly). */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "support/family.h"
#include "support/rivals.h"

#define MOST_SEEDS 20

typedef struct {
    double seconds;
    int seeds, from;
    const char *only, *highs, *knapsacks;
    bool reference, two, cbc;
} Settings;

typedef struct {
    const char *name;
    FamilyOptions options;
} Case;

static const Case cases[] = {
    {"1200 eleven", {FAMILY_PLAIN, 1200, false, true, 0}},       {"2000 one", {FAMILY_PLAIN, 2000, false, false, 0}},
    {"2000 eleven", {FAMILY_PLAIN, 2000, false, true, 0}},       {"2000 eleven whole", {FAMILY_PLAIN, 2000, true, true, 0}},
    {"5000 one", {FAMILY_PLAIN, 5000, false, false, 0}},         {"5000 eleven", {FAMILY_PLAIN, 5000, false, true, 0}},
    {"30000 one", {FAMILY_PLAIN, 30000, false, false, 0}},       {"30000 eleven", {FAMILY_PLAIN, 30000, false, true, 0}},
    {"2000 pairs eleven", {FAMILY_PAIRS, 2000, false, true, 0}}, {"5000 pairs eleven", {FAMILY_PAIRS, 5000, false, true, 0}},
    {"2000 places eleven", {FAMILY_PLACES, 2000, false, true, 0}}, {"5000 places eleven", {FAMILY_PLACES, 5000, false, true, 0}},
};

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Of count values, negative ones being "never". */
static double median(const double *values, int count)
{
    double sorted[MOST_SEEDS];
    for (int k = 0; k < count; k++)
        sorted[k] = values[k] < 0 ? INFINITY : values[k];
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    return sorted[count / 2];
}

static void print_time(double t)
{
    if (isfinite(t))
        printf(" %8.2f", t);
    else
        printf("        -");
}

static void print_curves(const char *who, const Curve *curve, int count, double *middle)
{
    double column[MOST_SEEDS];
    printf("  %-20s", who);
    for (int k = 0; k < count; k++)
        column[k] = curve[k].first;
    print_time(median(column, count));
    for (int g = 0; g < CURVE_GAPS; g++) {
        for (int k = 0; k < count; k++)
            column[k] = curve[k].at[g];
        middle[g] = median(column, count);
        print_time(middle[g]);
    }
    for (int k = 0; k < count; k++)
        column[k] = curve[k].value > 0 ? 100.0 * (curve[k].bound - curve[k].value) / curve[k].value : INFINITY;
    printf("  %8.4f %%\n", median(column, count));
}

static void print_ratios(const double *ours, const double *theirs, double seconds)
{
    printf("  %-20s         ", "  times ours");
    for (int g = 0; g < CURVE_GAPS; g++) {
        if (!isfinite(ours[g]))
            printf("        -");
        else
            printf(" %s%7.1f", isfinite(theirs[g]) ? " " : ">", (isfinite(theirs[g]) ? theirs[g] : seconds) / fmax(ours[g], 0.01));
    }
    printf("\n");
}

static void run_case(const Case *c, const Settings *settings)
{
    Curve curve[5][MOST_SEEDS];
    bool ran[5] = {true, settings->two, settings->reference, settings->cbc, settings->highs != NULL};
    static const char *const who[5] = {"fast", "fast, two threads", "reference", "cbc", "highs (WebAssembly)"};
    for (int k = 0; k < settings->seeds; k++) {
        FamilyOptions options = c->options;
        options.seed = (uint64_t)(settings->from + k);
        SearchProblem *p = family_new(&options);
        rival_ours(p, SEARCH_ENGINE_FAST, 1, settings->seconds, &curve[0][k]);
        if (ran[1])
            rival_ours(p, SEARCH_ENGINE_FAST, 2, settings->seconds, &curve[1][k]);
        if (ran[2])
            rival_ours(p, SEARCH_ENGINE_REFERENCE, 1, settings->seconds, &curve[2][k]);
        ran[3] = ran[3] && rival_cbc(p, settings->seconds, &curve[3][k]);
        ran[4] = ran[4] && rival_highs(p, settings->highs, settings->seconds, &curve[4][k]);
        family_free(p);
    }
    double middle[5][CURVE_GAPS];
    printf("%s\n", c->name);
    for (int s = 0; s < 5; s++) {
        if (!ran[s])
            continue;
        print_curves(who[s], curve[s], settings->seeds, middle[s]);
        if (s > 1)
            print_ratios(middle[0], middle[s], settings->seconds);
    }
    fflush(stdout);
}

/* --- knapsacks --- */

static bool read_number(FILE *f, int64_t *value)
{
    double v = 0;
    if (fscanf(f, "%lf", &v) != 1)
        return false;
    *value = (int64_t)llround(v * 10.0); /* some collections hold tenths */
    return true;
}

static void *zeroed(size_t count, size_t size)
{
    void *p = calloc(count + 1, size);
    if (!p)
        exit(4);
    return p;
}

static SearchProblem *read_knapsack(FILE *f)
{
    int64_t n = 0, m = 0, known = 0;
    if (!read_number(f, &n) || !read_number(f, &m) || !read_number(f, &known) || n <= 0 || m <= 0)
        return NULL;
    SearchProblem *p = zeroed(1, sizeof *p);
    const size_t columns = (size_t)(n / 10), rows = (size_t)(m / 10);
    p->columns = (int)columns;
    p->rows = (int)rows;
    p->kind = zeroed(columns, sizeof *p->kind);
    p->objective = zeroed(columns, sizeof *p->objective);
    p->low = zeroed(columns, sizeof *p->low);
    p->high = zeroed(columns, sizeof *p->high);
    p->row_low = zeroed(rows, sizeof *p->row_low);
    p->row_high = zeroed(rows, sizeof *p->row_high);
    p->start = zeroed(columns + 1, sizeof *p->start);
    p->row = zeroed(columns * rows, sizeof *p->row);
    p->value = zeroed(columns * rows, sizeof *p->value);
    bool good = true;
    for (size_t j = 0; j < columns; j++) {
        good = good && read_number(f, &p->objective[j]);
        p->high[j] = 1;
        p->start[j + 1] = (j + 1) * rows;
    }
    for (size_t i = 0; i < rows; i++) {
        p->row_low[i] = SEARCH_MINUS_INFINITY;
        for (size_t j = 0; j < columns; j++) {
            good = good && read_number(f, &p->value[j * rows + i]);
            p->row[j * rows + i] = (int)i;
        }
    }
    for (size_t i = 0; i < rows; i++)
        good = good && read_number(f, &p->row_high[i]);
    if (!good) {
        family_free(p);
        return NULL;
    }
    return p;
}

static int run_knapsacks(const Settings *settings)
{
    FILE *f = fopen(settings->knapsacks, "r");
    int64_t count = 0;
    if (!f || !read_number(f, &count)) {
        fprintf(stderr, "%s: not a file of knapsacks\n", settings->knapsacks);
        return 2;
    }
    double ours = 0, theirs = 0;
    int proven = 0, problems = 0;
    for (; problems < count / 10; problems++) {
        SearchProblem *p = read_knapsack(f);
        if (!p)
            break;
        Curve fast, cbc;
        rival_ours(p, SEARCH_ENGINE_FAST, 1, settings->seconds, &fast);
        const bool other = settings->cbc && rival_cbc(p, settings->seconds, &cbc);
        printf("%3d  fast %10.1f %s %8.2f s", problems + 1, fast.value / 10, fast.at[CURVE_GAPS - 1] >= 0 ? "proven" : "open  ", fast.total);
        ours += fast.total;
        proven += fast.at[CURVE_GAPS - 1] >= 0;
        if (other) {
            printf("   cbc %10.1f %s %8.2f s", cbc.value / 10, cbc.at[CURVE_GAPS - 1] >= 0 ? "proven" : "open  ", cbc.total);
            theirs += cbc.total;
        }
        printf("\n");
        fflush(stdout);
        family_free(p);
    }
    fclose(f);
    printf("%d of %d proven, %.1f s; cbc %.1f s\n", proven, problems, ours, theirs);
    return 0;
}

static bool read_settings(int count, char **argument, Settings *s)
{
    *s = (Settings){.seconds = 3, .seeds = 1, .from = 101, .cbc = true};
    for (int k = 1; k < count; k++) {
        const char *value = k + 1 < count ? argument[k + 1] : NULL;
        if (strcmp(argument[k], "--reference") == 0)
            s->reference = true;
        else if (strcmp(argument[k], "--two") == 0)
            s->two = true;
        else if (strcmp(argument[k], "--no-cbc") == 0)
            s->cbc = false;
        else if (!value)
            return false;
        else if (strcmp(argument[k], "--seconds") == 0)
            s->seconds = atof(argument[++k]);
        else if (strcmp(argument[k], "--seeds") == 0)
            s->seeds = atoi(argument[++k]);
        else if (strcmp(argument[k], "--from") == 0)
            s->from = atoi(argument[++k]);
        else if (strcmp(argument[k], "--only") == 0)
            s->only = argument[++k];
        else if (strcmp(argument[k], "--highs") == 0)
            s->highs = argument[++k];
        else if (strcmp(argument[k], "--knapsacks") == 0)
            s->knapsacks = argument[++k];
        else
            return false;
    }
    return s->seeds >= 1 && s->seeds <= MOST_SEEDS && s->seconds > 0;
}

int main(int count, char **argument)
{
    Settings settings;
    if (!read_settings(count, argument, &settings)) {
        fprintf(stderr, "usage: bench_search [--seconds S] [--seeds N] [--from SEED] [--only TEXT] [--reference] [--two] [--highs FOLDER] [--no-cbc] "
                        "[--knapsacks FILE]\n");
        return 2;
    }
    if (settings.knapsacks)
        return run_knapsacks(&settings);
    printf("search: seconds to a proven gap, median of %d seeds from %d, %.0f s each; last column: gap at the end\n", settings.seeds, settings.from, settings.seconds);
    printf("  %-20s    first      1 %%     .1 %%    .05 %%    .03 %%    .01 %%    proof\n", "");
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        if (!settings.only || strstr(cases[k].name, settings.only))
            run_case(&cases[k], &settings);
    struct rusage use;
    getrusage(RUSAGE_SELF, &use);
    printf("most memory: %.0f MB\n", (double)use.ru_maxrss / 1024.0);
    return 0;
}
