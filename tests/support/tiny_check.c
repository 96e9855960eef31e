/* tiny_check.c - the built program against the answer found by trying every pool: see tiny.h. */
#include "tiny.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static int card_of_name(const Tiny *tiny, const char *name)
{
    for (int c = 0; c < tiny->cards; c++) {
        if (strcmp(name, tiny_card_name(c)) == 0) {
            return c;
        }
    }
    return -1;
}

/* The command line: an option of its own for every keep, ban and wish said there. */
static void arguments_for(const Tiny *tiny, const char *engine, const char *effort, const char **argument,
                          char size[32], char cap[32])
{
    int n = 0;
    argument[n++] = "best";
    argument[n++] = "--json";
    argument[n++] = "scenario.yaml";
    argument[n++] = "--gap";
    argument[n++] = "0";
    if (engine != NULL) {
        argument[n++] = "--engine";
        argument[n++] = engine;
    }
    if (effort != NULL) {
        argument[n++] = "--effort";
        argument[n++] = effort;
    }
    if (tiny->case_named) {
        argument[n++] = "--case";
        argument[n++] = "The One";
    }
    if (tiny->size_by_command) {
        bool band = tiny->command_from != tiny->command_to;
        snprintf(size, 32, band ? "--size=%d-%d" : "--size=%d", tiny->command_from, tiny->command_to);
        argument[n++] = size;
    }
    if (tiny->cap_by_command) {
        snprintf(cap, 32, "%lld.%02lld", (long long)(tiny->command_cap / 100), (long long)(tiny->command_cap % 100));
        argument[n++] = "--cap";
        argument[n++] = cap;
    }
    static const char *const option[] = {"--keep", "--ban", "--wish"};
    for (int c = 0; c < tiny->cards; c++) {
        for (int i = 0; i < 3; i++) {
            if ((tiny->card[c].status[BY_COMMAND] & 1U << i) != 0) {
                argument[n++] = option[i];
                argument[n++] = tiny_card_spelling(c);
            }
        }
    }
    argument[n] = NULL;
}

static void say(const Run *run, const char *folder, const char *engine, uint64_t seed)
{
    print_error("scenario %llu, engine %s, files in %s, exit code %d\n%.1500s\n", (unsigned long long)seed,
                engine != NULL ? engine : "default", folder, run->code, run->err);
}

static bool read_pool(const Tiny *tiny, const json_t *root, int *copies)
{
    const json_t *pool = json_object_get(root, "pool");
    memset(copies, 0, CARDS_MOST * sizeof *copies);
    for (size_t i = 0; i < json_array_size(pool); i++) {
        const json_t *entry = json_array_get(pool, i);
        const char *name = json_string_value(json_object_get(entry, "name"));
        int c = name != NULL ? card_of_name(tiny, name) : -1;
        if (c < 0 || copies[c] != 0) {
            print_error("the pool holds '%s', which is no candidate or there twice\n",
                        name != NULL ? name : "(nothing)");
            return false;
        }
        copies[c] = (int)json_integer_value(json_object_get(entry, "copies"));
    }
    return true;
}

static bool wishes_agree(const Tiny *tiny, const json_t *root, const int *copies)
{
    const json_t *wishes = json_object_get(root, "wishes");
    size_t wished = 0;
    for (int c = 0; c < tiny->cards; c++) {
        bool wish = false;
        for (int way = 0; way < WAYS; way++) {
            wish = wish || (tiny->card[c].status[way] & WISH) != 0;
        }
        wished += wish;
        for (size_t i = 0; i < json_array_size(wishes) && wish; i++) {
            const json_t *entry = json_array_get(wishes, i);
            bool same = strcmp(json_text(entry, "name"), tiny_card_name(c)) == 0;
            if (same && json_is_true(json_object_get(entry, "in")) != (copies[c] > 0)) {
                return false;
            }
        }
    }
    return wished == json_array_size(wishes);
}

/* How far the use is from the nearer bound. At least none of what cannot be less than none is no bound beside another.
 */
static int64_t slack_of(const Band *band, int measure, int64_t use)
{
    const bool never_less =
        measure == COUNT || measure == NAMES || measure == SPEND || measure == PRICE || measure == COST;
    const bool no_low = band->side == AT_MOST || (band->side != AT_LEAST && band->low == 0 && never_less);
    int64_t low = no_low ? INT64_MAX : use - band->low;
    int64_t high = band->side == AT_LEAST ? INT64_MAX : (band->side == EXACTLY ? band->low : band->high) - use;
    return low < high ? low : high;
}

/* What the rules are said to use, for counts and sums. */
static bool uses_agree(const Tiny *tiny, const json_t *root, const int *copies)
{
    const json_t *rules = json_object_get(root, "rules");
    for (size_t i = 0; i < json_array_size(rules); i++) {
        const json_t *entry = json_array_get(rules, i);
        const char *name = json_text(entry, "name");
        if (strncmp(name, "rule ", 5) != 0) {
            continue;
        }
        int r = name[5] - 'a';
        int member = tiny_member_of(tiny, &tiny->rule[r], json_text(entry, "of"));
        Band band = tiny_band(tiny, &tiny->rule[r], member);
        int measure = tiny->rule[r].measure;
        int64_t use = 0;
        int64_t total = 0;
        int64_t counted = 0;
        tiny_use(tiny, r, member, copies, &use, &total, &counted);
        int scale = measure == COUNT || measure == NAMES ? 1 : measure == SPEND || measure == PRICE ? 100 : 1000;
        if (band.sort == ABSOLUTE && band.side != NONE &&
            slack_of(&band, measure, use) != json_units(entry, "slack", scale)) {
            print_error("%s (%s) is said to have %.3f left, but has %lld\n", name, json_text(entry, "of"),
                        json_number_value(json_object_get(entry, "slack")), (long long)slack_of(&band, measure, use));
            return false;
        }
        if (band.sort == ABSOLUTE && use != json_units(entry, "use", scale)) {
            print_error("%s (%s) is said to use %.3f, but uses %lld\n", name, json_text(entry, "of"),
                        json_number_value(json_object_get(entry, "use")), (long long)use);
            return false;
        }
    }
    return true;
}

static bool is_proven(const json_t *among, const char *key)
{
    return strcmp(json_text(among, key), "proven") == 0;
}

/* What is said of the pool's place among those of its fit; without a limit of effort (stopped false) that it is the
 * first. */
static bool is_the_one(const Tiny *tiny, const json_t *root, const int *copies, const TinyAnswer *answer, bool stopped)
{
    const json_t *among = json_object_get(root, "among_equals");
    const bool cost = is_proven(among, "cost"), names = is_proven(among, "names");
    const bool changes = tiny->has_present ? is_proven(among, "changes") : json_object_get(among, "changes") == NULL;
    const bool same = memcmp(copies, answer->copies, (size_t)tiny->cards * sizeof *copies) == 0;
    if (cost && tiny_spend(tiny, copies) != tiny_spend(tiny, answer->copies)) {
        print_error("a pool of this fit costs less\n");
        return false;
    }
    for (int c = 0; c < tiny->cards && cost && changes && names && !same; c++) {
        print_error("%s: %d copies, of the first pool of this fit %d\n", tiny_card_name(c), copies[c],
                    answer->copies[c]);
    }
    return cost && changes && names ? same : stopped;
}

static bool pool_agrees(const Tiny *tiny, const json_t *root, const TinyAnswer *answer, bool stopped)
{
    int copies[CARDS_MOST];
    int size = 0;
    int64_t fit = 0;
    if (!read_pool(tiny, root, copies)) {
        return false;
    }
    for (int c = 0; c < tiny->cards; c++) {
        size += copies[c];
    }
    TinyView *view = tiny_view(tiny);
    bool allowed = tiny_judge(view, copies, &fit);
    tiny_view_free(view);
    int64_t said = json_units(root, "fit", 1000);
    int64_t bound = json_units(root, "bound", 1000);
    int64_t cost = json_units(root, "cost", 100);
    if (!allowed || fit != answer->fit || said != answer->fit || bound != answer->fit ||
        cost != tiny_spend(tiny, copies) || json_integer_value(json_object_get(root, "size")) != size ||
        !wishes_agree(tiny, root, copies)) {
        print_error("by counting: the best fit is %lld, this pool is %s and has fit %lld, cost %lld, size %d\nsaid: "
                    "fit %lld, bound %lld, cost %lld\n",
                    (long long)answer->fit, allowed ? "allowed" : "NOT allowed", (long long)fit,
                    (long long)tiny_spend(tiny, copies), size, (long long)said, (long long)bound, (long long)cost);
        return false;
    }
    return is_the_one(tiny, root, copies, answer, stopped) && uses_agree(tiny, root, copies);
}

static bool agrees(const Tiny *tiny, const Run *run, const TinyAnswer *answer, bool stopped)
{
    int code = answer->status == TINY_BEST ? 0 : 1;
    if (run->code != code) {
        print_error("exit code %d, expected %d (%ld pools are allowed)\n", run->code, code, answer->feasible);
        return false;
    }
    json_t *root = run_json(run);
    const char *status = json_text(root, "status");
    bool good = strcmp(status, answer->status == TINY_BEST ? "best" : "infeasible") == 0;
    if (!good) {
        print_error("status '%s'\n", status);
    }
    good = good && (answer->status == TINY_INFEASIBLE ? json_object_get(root, "fit") == NULL
                                                      : pool_agrees(tiny, root, answer, stopped));
    json_decref(root);
    return good;
}

void tiny_check(const Tiny *tiny, const char *folder, const TinyAnswer *answer, const char *engine, uint64_t seed)
{
    const char *argument[18 + 2 * 3 * CARDS_MOST];
    char size[32];
    char cap[32];
    Run run;
    arguments_for(tiny, engine, NULL, argument, size, cap);
    run_poolwright(folder, argument, NULL, &run);
    if (!agrees(tiny, &run, answer, false)) {
        say(&run, folder, engine, seed);
        fail();
    }
    run_forget(&run);
}

/* A pool that was shown must be allowed and have the fit that is said; bounds must hold. */
static bool stopped_soundly(const Tiny *tiny, const json_t *root, const TinyAnswer *answer)
{
    int copies[CARDS_MOST];
    int64_t fit = 0;
    bool has_pool = json_object_get(root, "fit") != NULL;
    if (answer->status == TINY_BEST && json_object_get(root, "bound") != NULL &&
        json_units(root, "bound", 1000) < answer->fit) {
        print_error("a bound of %lld, but a pool has %lld\n", (long long)json_units(root, "bound", 1000),
                    (long long)answer->fit);
        return false;
    }
    if (!has_pool) {
        return true;
    }
    if (answer->status != TINY_BEST || !read_pool(tiny, root, copies)) {
        return false;
    }
    TinyView *view = tiny_view(tiny);
    bool allowed = tiny_judge(view, copies, &fit);
    tiny_view_free(view);
    return allowed && fit == json_units(root, "fit", 1000) && fit <= answer->fit;
}

/* The number after the words in the text, in such parts of one; it is written without separators. */
static bool number_after(const char *text, const char *words, int scale, int64_t *number)
{
    const char *at = strstr(text, words);
    if (at == NULL) {
        return false;
    }
    char *end = NULL;
    double value = strtod(at + strlen(words), &end);
    *number = (int64_t)(value * scale + (value < 0 ? -0.5 : 0.5));
    return end != at + strlen(words);
}

bool tiny_screen_agrees(const char *screen, const json_t *root)
{
    static const char pool[] = "Proven: no pool within these limits has more than ";
    static const char none[] = "Proven so far: no pool has more than ";
    bool has_pool = json_object_get(root, "fit") != NULL;
    bool has_bound = json_object_get(root, "bound") != NULL;
    int64_t fit = has_pool ? json_units(root, "fit", 1000) : 0;
    int64_t bound = has_bound ? json_units(root, "bound", 1000) : 0;
    int64_t said = 0;
    bool early = strstr(screen, "Stopped early; this is the best pool so far.") != NULL;
    if (!has_pool) {
        return !early && strstr(screen, "Stopped before a first pool was found") != NULL &&
               strstr(screen, pool) == NULL && number_after(screen, none, 1000, &said) == has_bound &&
               (!has_bound || said == bound);
    }
    int64_t gap = 0; /* in ten-thousandths of a percent, rounded up */
    bool has_gap = number_after(screen, " fit, ", 10000, &gap) && strstr(screen, "% above this one.") != NULL;
    double share = json_number_value(json_object_get(root, "gap")); /* 0 where there is none */
    if ((share > 0) != (has_gap && gap > 0) || (has_gap && (int64_t)(share * 1e6 + 0.5) != gap)) {
        return false;
    }
    if (has_gap != (has_bound && fit > 0) || (has_gap && gap != ((bound - fit) * 1000000 + fit - 1) / fit)) {
        return false;
    }
    return early && strstr(screen, none) == NULL && number_after(screen, ", fit ", 1000, &said) && said == fit &&
           number_after(screen, pool, 1000, &said) == has_bound && (!has_bound || said == bound) &&
           has_bound == (strstr(screen, "How far it is from the best is not known yet.") == NULL);
}

/* The same run for a reader. */
static bool reads_soundly(const char *folder, const char **argument, const json_t *root)
{
    Run run;
    argument[1] = "--rules";
    run_poolwright(folder, argument, NULL, &run);
    bool good = run.code == 3 && tiny_screen_agrees(run.out, root);
    if (!good) {
        print_error("exit code %d, on the screen\n%.600s\n", run.code, run.out);
    }
    run_forget(&run);
    return good;
}

TinyStop tiny_check_effort(const Tiny *tiny, const char *folder, const TinyAnswer *answer, const char *effort,
                           uint64_t seed)
{
    const char *argument[18 + 2 * 3 * CARDS_MOST];
    char size[32];
    char cap[32];
    Run run;
    arguments_for(tiny, NULL, effort, argument, size, cap);
    run_poolwright(folder, argument, NULL, &run);
    bool good;
    TinyStop how = TINY_PROVEN;
    if (run.code == 3) {
        json_t *root = run_json(&run);
        how = json_object_get(root, "fit") != NULL ? TINY_STOPPED_WITH_POOL : TINY_STOPPED;
        good = strcmp(json_text(root, "status"), "stopped") == 0 && stopped_soundly(tiny, root, answer) &&
               reads_soundly(folder, argument, root);
        json_decref(root);
    } else {
        good = agrees(tiny, &run, answer, true);
    }
    if (!good) {
        print_error("with an effort of %s:\n%.1500s\n", effort, run.out);
        say(&run, folder, NULL, seed);
        fail();
    }
    run_forget(&run);
    return how;
}
