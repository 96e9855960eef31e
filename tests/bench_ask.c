/* bench_ask.c - one change of a scenario that stays loaded: the processor's time from the question to a new pool that
 * is proven best, first among its equals, by what is changed. One thread.
 *
 *     bench_ask [SCENARIO [QUESTIONS [SEED [each]]]]
 *
 * Caps between nine tenths and a third more of the demo's, keeps and bans of any candidate, and limits of the demo's
 * models. each: a line for every question, the time first. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <jansson.h>

#include "ask/ask.h"
#include "support/run.h"
#include "whatif/loaded.h"

enum { KINDS = 4, MOST_QUESTIONS = 5000 };

static const char *const kind_name[KINDS] = {"cap", "keep", "ban", "limit"};

static const struct {
    const char *rule, *side;
    int from, to;
} limits[] = {{"removal", "at_least", 7, 10},        {"early plays", "at_least", 17, 21},
              {"amended cards", "at_most", 15, 22},  {"no outliers", "at_most", 2, 5},
              {"fixing", "at_least", 6, 8},          {"enablers", "at_least", 14, 16},
              {"all gold cards", "at_most", 43, 46}, {"late plays", "at_most", 15, 18}};

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

typedef struct {
    double time[MOST_QUESTIONS];
    int count, unsettled;
} Times;

/* ---- one question ---- */

static json_t *draw_change(int kind, const CardSet *cards, Dice *dice)
{
    const char *name = cards->card[dice_roll(dice, 0, (int)cards->count - 1)].name;
    if (kind == 0)
        return json_pack("{s:f}", "spending_cap", dice_roll(dice, 27000, 40000) / 100.0);
    if (kind < 3)
        return json_pack("{s:[s]}", kind_name[kind], name);
    const int k = dice_roll(dice, 0, (int)(sizeof limits / sizeof *limits) - 1);
    return json_pack("{s:{s:{s:i}}}", "rules", limits[k].rule, limits[k].side,
                     dice_roll(dice, limits[k].from, limits[k].to));
}

static bool is_proven(const json_t *answer)
{
    const json_t *equals = json_object_get(answer, "among_equals"), *step;
    const char *status = json_string_value(json_object_get(answer, "status"));
    bool proven = status != NULL && (strcmp(status, "best") == 0 || strcmp(status, "infeasible") == 0), all = true;
    const char *key;
    json_object_foreach ((json_t *)(uintptr_t)equals, key, step)
        all = all && strcmp(json_string_value(step), "proven") == 0;
    return proven && all;
}

static void ask_one(Ask *ask, json_t *change, Times *times, bool each)
{
    json_t *question = json_pack("{s:s, s:o}", "ask", "best", "change", change);
    char *line = json_dumps(question, JSON_COMPACT | JSON_REAL_PRECISION(7));
    Text text = {0};
    const double begin = now();
    ask_question(ask, line, strlen(line), &text);
    const double taken = now() - begin;
    json_t *answer = json_loads(text_cstr(&text), 0, NULL);
    if (answer == NULL || json_object_get(answer, "error") != NULL) {
        fprintf(stderr, "%s: %s\n", line, text_cstr(&text));
        exit(1);
    }
    times->time[times->count++] = taken;
    times->unsettled += !is_proven(answer);
    if (each)
        printf("%6.1f ms  %6" JSON_INTEGER_FORMAT " steps  %s%s\n", taken * 1000,
               json_integer_value(json_object_get(json_object_get(answer, "statistics"), "pivots")), line,
               is_proven(answer) ? "" : "  not proven");
    json_decref(answer);
    json_decref(question);
    text_release(&text);
    free(line);
}

/* ---- all of them ---- */

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void print_times(const char *name, Times *t)
{
    if (t->count == 0)
        return;
    qsort(t->time, (size_t)t->count, sizeof *t->time, by_size);
    printf("  %-8s %5d  %7.0f  %8.0f  %7.0f  %7d\n", name, t->count, 1000 * t->time[t->count / 2],
           1000 * t->time[t->count * 9 / 10], 1000 * t->time[t->count - 1], t->unsettled);
}

static void read_scenario(Loaded *loaded, const char *subject, const Overrides *overrides)
{
    Diags diags;
    diags_init(&diags);
    if (!loaded_read(loaded, subject, overrides, NULL, "", &diags)) {
        fputs(diags_text(&diags), stderr);
        exit(1);
    }
    diags_release(&diags);
}

int main(int count, char **argument)
{
    static const char *const folders[] = {"models"};
    const Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    const AskOptions options = {.overrides = &overrides, .threads = 1};
    const char *subject = count > 1 ? argument[1] : "scenarios/demo";
    const int questions = count > 2 ? atoi(argument[2]) : 150;
    if (questions < 1 || questions > MOST_QUESTIONS) {
        fprintf(stderr, "usage: bench_ask [SCENARIO [QUESTIONS [SEED [each]]]]\n");
        return 2;
    }
    static Times all, of[KINDS];
    Loaded loaded;
    Dice dice;
    Text text = {0};
    dice_seed(&dice, count > 3 ? strtoull(argument[3], NULL, 10) : 201);
    read_scenario(&loaded, subject, &overrides);
    Ask *ask = ask_open(subject, &options, &text);
    const char *const first = "{\"ask\": \"best\"}";
    const double begin = now();
    ask_question(ask, first, strlen(first), &text);
    printf("One change of %s, first pool after %.2f s\n  change   count  median  9 of 10     most  not proven  (ms)\n",
           subject, now() - begin);
    for (int k = 0; k < questions; k++) {
        Times *times = &of[k % KINDS];
        const int at = times->count;
        ask_one(ask, draw_change(k % KINDS, loaded.instance->cards, &dice), times, count > 4);
        all.time[all.count++] = times->time[at];
    }
    for (int k = 0; k < KINDS; k++) {
        all.unsettled += of[k].unsettled;
        print_times(kind_name[k], &of[k]);
    }
    print_times("all", &all);
    text_release(&text);
    ask_close(ask);
    loaded_release(&loaded);
    return 0;
}
