/* rivals.c - writes the programme as an LP file, runs a solver on one core, reads its log. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

#include "support/rivals.h"

const double curve_gap[CURVE_GAPS] = {0.01, 0.001, 0.0005, 0.0003, 0.0001, 0.0};

void curve_init(Curve *curve)
{
    for (int k = 0; k < CURVE_GAPS; k++)
        curve->at[k] = -1;
    curve->first = -1;
    curve->total = 0;
    curve->value = -INFINITY;
    curve->bound = INFINITY;
}

void curve_note(Curve *curve, double seconds, double value, double bound)
{
    curve->value = fmax(curve->value, value);
    curve->bound = fmin(curve->bound, bound);
    if (!isfinite(curve->value))
        return;
    if (curve->first < 0)
        curve->first = seconds;
    const double gap = (curve->bound - curve->value) / fmax(1.0, fabs(curve->value));
    for (int k = 0; k < CURVE_GAPS; k++)
        if (curve->at[k] < 0 && gap <= curve_gap[k] + 1e-12)
            curve->at[k] = seconds;
}

/* --- ours --- */

static volatile sig_atomic_t time_is_up;

static void on_timer(int signal)
{
    (void)signal;
    time_is_up = 1;
}

typedef struct {
    Curve *curve;
    clockid_t clock;
    double begin;
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
    curve_note(watch->curve, now_of(watch->clock) - watch->begin, now->value == SEARCH_MINUS_INFINITY ? -INFINITY : (double)now->value, (double)now->bound);
}

void rival_ours(const SearchProblem *problem, SearchEngine engine, int threads, double seconds, Curve *curve)
{
    Watch watch = {curve, threads > 1 ? CLOCK_MONOTONIC : CLOCK_PROCESS_CPUTIME_ID, 0};
    SearchOptions options;
    search_options_default(&options);
    options.engine = engine;
    options.threads = threads;
    options.progress = on_progress;
    options.context = &watch;
    options.cancel = &time_is_up;
    curve_init(curve);
    Search *search = search_new(problem);
    time_is_up = 0;
    signal(SIGPROF, on_timer);
    const double limit = seconds * threads;
    const struct itimerval timer = {.it_value = {.tv_sec = (time_t)limit, .tv_usec = (suseconds_t)((limit - floor(limit)) * 1e6)}}, off = {0};
    setitimer(ITIMER_PROF, &timer, NULL);
    SearchResult result;
    watch.begin = now_of(watch.clock);
    search_run(search, &options, &result);
    curve->total = now_of(watch.clock) - watch.begin;
    setitimer(ITIMER_PROF, &off, NULL);
    curve_note(curve, curve->total, result.has_solution ? (double)result.value : -INFINITY, (double)result.bound);
    search_result_release(&result);
    search_free(search);
}

/* --- the LP file --- */

static void write_terms(FILE *f, const SearchProblem *p, const int64_t *coefficient, const int *column, size_t count)
{
    (void)p;
    for (size_t k = 0; k < count; k++)
        fprintf(f, "%s%s %lld x%d", k % 8 == 7 ? "\n " : " ", coefficient[k] < 0 ? "-" : "+", (long long)llabs((long long)coefficient[k]), column[k]);
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
        const bool has_low = p->row_low[i] != SEARCH_MINUS_INFINITY, has_high = p->row_high[i] != SEARCH_PLUS_INFINITY, same = p->row_low[i] == p->row_high[i];
        for (int side = 0; side < 2; side++) {
            if ((side == 0 && !has_low) || (side == 1 && (!has_high || same)) || start[i] == start[i + 1])
                continue;
            fprintf(f, " r%d%c:", i, side == 0 ? 'a' : 'b');
            write_terms(f, p, value + start[i], column + start[i], start[i + 1] - start[i]);
            fprintf(f, " %s %lld\n", same ? "=" : side == 0 ? ">=" : "<=", (long long)(side == 0 ? p->row_low[i] : p->row_high[i]));
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

static void read_cbc_line(const char *line, Curve *curve)
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
    if (s && time && sscanf(s, "on tree, %lf best solution, best possible %lf", &a, &b) == 2 && sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, a > 1e40 ? -INFINITY : -a, -b);
    s = strstr(line, "Search completed - best objective ");
    if (s && time && sscanf(s, "Search completed - best objective %lf", &a) == 1 && sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, -a, -a);
    s = strstr(line, "Partial search - best objective ");
    if (s && time && sscanf(s, "Partial search - best objective %lf (best possible %lf)", &a, &b) == 2 && sscanf(time, "(%lf seconds)", &t) == 1)
        curve_note(curve, t, a > 1e40 ? -INFINITY : -a, -b);
    if (sscanf(line, "Total time (CPU seconds): %lf", &t) == 1)
        curve->total = t;
    if (sscanf(line, "Objective value: %lf", &a) == 1 && curve->first < 0)
        curve->value = -a;
}

bool rival_cbc(const SearchProblem *problem, double seconds, Curve *curve)
{
    char path[] = "/tmp/bench-XXXXXX.lp", command[256], line[4096];
    curve_init(curve);
    if (system("command -v cbc > /dev/null") != 0 || !write_temporary(problem, path))
        return false;
    snprintf(command, sizeof command, "cbc %s ratioGap 0 allowableGap 0 seconds %.1f solve quit 2> /dev/null", path, seconds);
    FILE *pipe = popen(command, "r");
    bool optimal = false;
    while (pipe && fgets(line, sizeof line, pipe)) {
        read_cbc_line(line, curve);
        optimal = optimal || strstr(line, "Result - Optimal solution found");
    }
    const bool ran = pipe && pclose(pipe) == 0;
    if (optimal)
        curve_note(curve, curve->total, curve->value, curve->value);
    unlink(path);
    return ran;
}

/* --- HiGHS --- */

static const char highs_script[] =
    "const fs = require('fs');\n"
    "require(process.argv[2] + '/node_modules/highs')({print: l => console.log(l)}).then(m => {\n"
    "  const r = m.solve(fs.readFileSync(process.argv[3], 'utf8'), {time_limit: +process.argv[4], mip_rel_gap: 0, mip_abs_gap: 0, threads: 1});\n"
    "  console.log('STATUS ' + r.Status + ' ' + r.ObjectiveValue);\n"
    "}).catch(e => { console.log('FAILED ' + e); process.exit(1); });\n";

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
    const double bound = strtod(token[percent + 1], NULL), value = strtod(token[percent + 2], NULL), seconds = strtod(token[count - 1], NULL);
    curve_note(curve, seconds, isfinite(value) ? -value : -INFINITY, isfinite(bound) ? -bound : INFINITY);
    curve->total = seconds;
}

bool rival_highs(const SearchProblem *problem, const char *folder, double seconds, Curve *curve)
{
    char path[] = "/tmp/bench-XXXXXX.lp", script[] = "/tmp/bench-XXXXXX.js", command[1024], line[4096];
    curve_init(curve);
    const int handle = mkstemps(script, 3);
    if (handle < 0 || write(handle, highs_script, sizeof highs_script - 1) < 0 || close(handle) != 0 || !write_temporary(problem, path))
        return false;
    snprintf(command, sizeof command, "node %s '%s' %s %.1f 2> /dev/null", script, folder, path, seconds);
    FILE *pipe = popen(command, "r");
    bool optimal = false;
    while (pipe && fgets(line, sizeof line, pipe)) {
        optimal = optimal || strstr(line, "STATUS Optimal");
        read_highs_line(line, curve);
    }
    const bool ran = pipe && pclose(pipe) == 0;
    if (optimal)
        curve_note(curve, curve->total, curve->value, curve->value);
    unlink(path);
    unlink(script);
    return ran;
}
