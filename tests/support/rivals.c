/* rivals.c - writes the programme as an LP file, runs a solver on one core, reads its log. */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "support/rivals.h"

const double curve_gap[CURVE_GAPS] = {0.01, 0.005, 0.001, 0.0005, 0.0003, 0.0001, 0.0};

static void curve_init(Curve *curve, double limit, int64_t grain)
{
    *curve = (Curve){.limit = limit, .value = -INFINITY, .bound = INFINITY, .grain = grain};
    for (int k = 0; k < CURVE_GAPS; k++)
        curve->at[k] = -1;
}

/* Of maximisation. */
static void curve_note(Curve *curve, double seconds, double value, double bound)
{
    if (curve->grain > 0 && isfinite(bound))
        bound = floor((bound + 1e-4) / (double)curve->grain) * (double)curve->grain;
    curve->value = fmax(curve->value, value);
    curve->bound = fmin(curve->bound, bound);
    if (!isfinite(curve->value))
        return;
    const double gap = (curve->bound - curve->value) / fmax(1.0, fabs(curve->value));
    for (int k = 0; k < CURVE_GAPS; k++)
        if (curve->at[k] < 0 && gap <= curve_gap[k] + 1e-12)
            curve->at[k] = seconds;
}

void curve_merge(Curve *curve, const Curve *other)
{
    for (int k = 0; k < CURVE_GAPS; k++)
        if (curve->at[k] < 0 || (other->at[k] >= 0 && other->at[k] < curve->at[k]))
            curve->at[k] = other->at[k];
    curve->value = fmax(curve->value, other->value);
    curve->bound = fmin(curve->bound, other->bound);
    curve->limit = fmin(curve->limit, other->limit);
    curve->megabytes = fmin(curve->megabytes, other->megabytes);
}

/* --- ours --- */

static atomic_int time_is_up;

static void on_timer(int signal)
{
    (void)signal;
    time_is_up = 1;
}

typedef struct {
    Curve *curve;
    clockid_t clock;
    double begin, until_gap;
} Watch;

static double now_of(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void on_progress(void *context, const SearchProgress *now)
{
    const Watch *watch = context;
    Curve *curve = watch->curve;
    curve_note(curve, now_of(watch->clock) - watch->begin,
               now->value == SEARCH_MINUS_INFINITY ? -INFINITY : (double)now->value, (double)now->bound);
    if (watch->until_gap > 0 && curve->bound - curve->value <= watch->until_gap * fabs(curve->value))
        time_is_up = 1;
}

static void search_watched(const SearchProblem *problem, SearchEngine engine, int threads, double seconds,
                           double until_gap, Curve *curve)
{
    Watch watch = {curve, threads > 1 ? CLOCK_MONOTONIC : CLOCK_PROCESS_CPUTIME_ID, 0, until_gap};
    SearchOptions options;
    search_options_default(&options);
    options.engine = engine;
    options.threads = threads;
    options.progress = on_progress;
    options.context = &watch;
    options.cancel = &time_is_up;
    Search *search = search_new(problem);
    time_is_up = 0;
    signal(threads > 1 ? SIGALRM : SIGPROF, on_timer);
    const struct itimerval timer = {
        .it_value = {.tv_sec = (time_t)seconds, .tv_usec = (suseconds_t)((seconds - floor(seconds)) * 1e6)}};
    SearchResult result;
    watch.begin = now_of(watch.clock);
    setitimer(threads > 1 ? ITIMER_REAL : ITIMER_PROF, &timer, NULL);
    search_run(search, &options, &result);
    curve->total = now_of(watch.clock) - watch.begin;
    curve->infeasible = result.status == SEARCH_INFEASIBLE;
    curve_note(curve, curve->total, result.has_solution ? (double)result.value : -INFINITY,
               result.bound == SEARCH_PLUS_INFINITY ? INFINITY : (double)result.bound);
    search_result_release(&result);
    search_free(search);
}

/* Of the objective over all columns: every column may be zero here. */
static int64_t grain_of(const SearchProblem *p)
{
    int64_t g = 0;
    for (int j = 0; j < p->columns; j++)
        for (int64_t a = llabs((long long)p->objective[j]); a != 0;) {
            const int64_t rest = g % a;
            g = a;
            a = rest;
        }
    return g;
}

void rival_ours(const SearchProblem *problem, SearchEngine engine, int threads, double seconds, double until_gap,
                Curve *curve)
{
    int ends[2];
    struct rusage use = {0};
    curve_init(curve, seconds, grain_of(problem));
    fflush(stdout);
    const pid_t child = pipe(ends) == 0 ? fork() : -1;
    if (child < 0)
        exit(4);
    if (child == 0) {
        search_watched(problem, engine, threads, seconds, until_gap, curve);
        _exit(write(ends[1], curve, sizeof *curve) == (ssize_t)sizeof *curve ? 0 : 4);
    }
    close(ends[1]);
    int status = 0;
    const bool whole = read(ends[0], curve, sizeof *curve) == (ssize_t)sizeof *curve;
    close(ends[0]);
    if (wait4(child, &status, 0, &use) != child || !whole) {
        fprintf(stderr, "the search did not end well\n");
        exit(4);
    }
    curve->megabytes = (double)use.ru_maxrss / 1024.0;
}

static double cpu_seconds(const struct rusage *use)
{
    return (double)(use->ru_utime.tv_sec + use->ru_stime.tv_sec) +
           1e-6 * (double)(use->ru_utime.tv_usec + use->ru_stime.tv_usec);
}

/* A clock on the wall also counts what other programs took: the share of the processor makes about CPU seconds of it.
 */
static void scale_times(Curve *curve, double share)
{
    if (share >= 1)
        return;
    for (int k = 0; k < CURVE_GAPS; k++)
        curve->at[k] *= share;
    curve->total *= share;
}

/* Reads what the command prints, line by line, and notes its memory. The processor's time is limited from outside too.
 */
static bool run_rival(const char *command, double seconds, bool wall_clock, void (*read_line)(char *line, Curve *curve),
                      const char *optimal_words, Curve *curve)
{
    char whole[PATH_MAX + 600], line[4096];
    struct rusage use = {0};
    int ends[2];
    bool optimal = false;
    snprintf(whole, sizeof whole, "ulimit -t %.0f; exec timeout %.0f %s 2> /dev/null", ceil(seconds * 1.1) + 2,
             5 * seconds + 30, command);
    fflush(stdout);
    const double begin = now_of(CLOCK_MONOTONIC);
    const pid_t child = pipe(ends) == 0 ? fork() : -1;
    if (child < 0)
        return false;
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        close(ends[1]);
        execl("/bin/sh", "sh", "-c", whole, (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    FILE *from = fdopen(ends[0], "r");
    while (from && fgets(line, sizeof line, from)) {
        optimal = optimal || strstr(line, optimal_words);
        read_line(line, curve);
    }
    if (from)
        fclose(from);
    int status = 0;
    const bool ran = wait4(child, &status, 0, &use) == child && !(WIFEXITED(status) && WEXITSTATUS(status) == 127);
    curve->megabytes = (double)use.ru_maxrss / 1024.0;
    if (optimal)
        curve_note(curve, curve->total, curve->value, curve->value);
    if (wall_clock)
        scale_times(curve, cpu_seconds(&use) / (now_of(CLOCK_MONOTONIC) - begin));
    return ran;
}

/* --- the LP file --- */

static void write_terms(FILE *f, const SearchProblem *p, const int64_t *coefficient, const int *column, size_t count)
{
    (void)p;
    for (size_t k = 0; k < count; k++)
        fprintf(f, "%s%s %lld x%d", k % 8 == 7 ? "\n " : " ", coefficient[k] < 0 ? "-" : "+",
                (long long)llabs((long long)coefficient[k]), column[k]);
}

static void write_lp(FILE *f, const SearchProblem *p)
{
    const size_t entries = p->start[p->columns], n = (size_t)p->columns;
    size_t *start = calloc((size_t)p->rows + 2, sizeof *start);
    int *column = calloc(entries + n + 1, sizeof *column);
    int64_t *value = calloc(entries + n + 1, sizeof *value);
    size_t count = 0;
    for (int j = 0; j < p->columns; j++)
        if (p->objective[j] != 0) {
            column[count] = j;
            value[count++] = -p->objective[j]; /* minimised: readers differ on what they do with a maximisation */
        }
    fprintf(f, "Minimize\n obj:");
    write_terms(f, p, value, column, count);
    for (size_t k = 0; k < entries; k++)
        start[p->row[k] + 2]++;
    for (int i = 0; i < p->rows; i++)
        start[i + 2] += start[i + 1];
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            column[start[p->row[k] + 1]] = j;
            value[start[p->row[k] + 1]++] = p->value[k];
        }
    fprintf(f, "\nSubject To\n");
    for (int i = 0; i < p->rows; i++) {
        const bool has_low = p->row_low[i] != SEARCH_MINUS_INFINITY, has_high = p->row_high[i] != SEARCH_PLUS_INFINITY,
                   same = p->row_low[i] == p->row_high[i];
        for (int side = 0; side < 2; side++) {
            if ((side == 0 && !has_low) || (side == 1 && (!has_high || same)) || start[i] == start[i + 1])
                continue;
            fprintf(f, " r%d%c:", i, side == 0 ? 'a' : 'b');
            write_terms(f, p, value + start[i], column + start[i], start[i + 1] - start[i]);
            fprintf(f, " %s %lld\n",
                    same        ? "="
                    : side == 0 ? ">="
                                : "<=",
                    (long long)(side == 0 ? p->row_low[i] : p->row_high[i]));
        }
    }
    fprintf(f, "Bounds\n");
    for (int j = 0; j < p->columns; j++)
        fprintf(f, " %lld <= x%d <= %lld\n", (long long)p->low[j], j, (long long)p->high[j]);
    fprintf(f, "Generals\n");
    for (int j = 0; j < p->columns; j++)
        fprintf(f, " x%d\n", j);
    fprintf(f, "End\n");
    free(start);
    free(column);
    free(value);
}

static bool write_temporary(const SearchProblem *p, char *path)
{
    const int handle = mkstemps(path, 3);
    FILE *f = handle < 0 ? NULL : fdopen(handle, "w");
    if (!f)
        return false;
    write_lp(f, p);
    return fclose(f) == 0;
}

/* --- cbc --- */

static void read_cbc_line(char *line, Curve *curve)
{
    double a = 0, b = 0, t = 0;
    const char *s = strstr(line, "Continuous objective value is ");
    if (s && sscanf(s, "Continuous objective value is %lf - %lf seconds", &a, &t) == 2)
        curve_note(curve, t, -INFINITY, -a);
    s = strstr(line, "Integer solution of ");
    const char *time = strrchr(line, '(');
    if (s && time && sscanf(s, "Integer solution of %lf", &a) == 1 && sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, -a, INFINITY);
    s = strstr(line, "on tree, ");
    if (s && time && sscanf(s, "on tree, %lf best solution, best possible %lf", &a, &b) == 2 &&
        sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, a > 1e40 ? -INFINITY : -a, -b);
    s = strstr(line, "Search completed - best objective ");
    if (s && time && sscanf(s, "Search completed - best objective %lf", &a) == 1 &&
        sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, -a, -a);
    s = strstr(line, "Partial search - best objective ");
    if (s && time && sscanf(s, "Partial search - best objective %lf (best possible %lf)", &a, &b) == 2 &&
        sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, a > 1e40 ? -INFINITY : -a, -b);
    if (sscanf(line, "Total time (CPU seconds): %lf", &t) == 1)
        curve->total = t;
    if (sscanf(line, "Objective value: %lf", &a) == 1)
        curve->value = fmax(curve->value, -a);
}

bool rival_cbc(const SearchProblem *problem, double seconds, Curve *curve)
{
    char path[] = "/tmp/bench-XXXXXX.lp", command[256];
    curve_init(curve, seconds, grain_of(problem));
    if (system("command -v cbc > /dev/null") != 0 || !write_temporary(problem, path))
        return false;
    snprintf(command, sizeof command, "cbc %s ratioGap 0 allowableGap 0 seconds %.1f solve quit", path, seconds);
    const bool ran = run_rival(command, seconds, false, read_cbc_line, "Result - Optimal solution found", curve);
    unlink(path);
    return ran;
}

/* --- HiGHS --- */

/* A table line: ... nodes, open, leaves, explored%, bound, solution, gap, cuts, ..., 1.2s */
static void read_highs_line(char *line, Curve *curve)
{
    char *token[32], *save = NULL;
    int count = 0, percent = -1;
    for (char *t = strtok_r(line, " \t\n", &save); t && count < 32; t = strtok_r(NULL, " \t\n", &save)) {
        if (percent < 0 && t[strlen(t) - 1] == '%')
            percent = count;
        token[count++] = t;
    }
    if (percent < 0 || percent + 3 >= count || token[count - 1][strlen(token[count - 1]) - 1] != 's')
        return;
    const double bound = strtod(token[percent + 1], NULL), value = strtod(token[percent + 2], NULL),
                 seconds = strtod(token[count - 1], NULL);
    curve_note(curve, seconds, isfinite(value) ? -value : -INFINITY, isfinite(bound) ? -bound : INFINITY);
    curve->total = seconds;
}

bool rival_highs(const SearchProblem *problem, const char *command, double seconds, Curve *curve)
{
    char path[] = "/tmp/bench-XXXXXX.lp", whole[PATH_MAX + 200];
    curve_init(curve, seconds, grain_of(problem));
    if (!write_temporary(problem, path))
        return false;
    /* its own limit is on the wall: it gets more of that, and the processor's time is limited from outside (half a
     * second is for starting up) */
    snprintf(whole, sizeof whole, "%s %s %.1f", command, path, 4 * seconds + 10);
    const bool ran = run_rival(whole, seconds, true, read_highs_line, "  Status            Optimal", curve);
    unlink(path);
    return ran;
}
