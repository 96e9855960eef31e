/* test_failing_calls.c - every open, read, write, fsync, close, rename and mkdir of a run fails once: the run says so,
 * or says and writes all that it would have. No file is left half written, none for a moment only. Not repeated under
 * sanitizers, which make calls of their own. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define FILES 4

typedef struct {
    const char *word[12];
    const char *file[FILES]; /* that it writes, with a line of old where it is not read */
} Verb;

static const Verb verbs[] = {
    {{"best", ".", "-o", "new.csv", "--shopping", "buy.csv", "--proof", "best.proof"},
     {"new.csv", "buy.csv", "best.proof"}},
    {{"best", ".", "-o", "pool.csv"}, {"pool.csv"}},
    {{"find", ".", "-o", "found.csv", "--json"}, {"found.csv"}},
    {{"what-if", ".", "-o", "out", "--csv", "all.csv"}, {"out/base.csv", "out/comparison.csv", "all.csv"}},
    {{"revise", ".", "--swaps", "1", "--apply", "--today", "2026-03-01"}, {"pool.csv", "journal.csv"}},
    {{"bought", ".", "list.csv", "--apply"}, {"owned.csv"}},
    {{"feedback", ".", "notes.csv", "--apply", "-o", "next.csv"}, {"next.csv"}},
    {{"audit", ".", "--proof", "old.proof"}, {NULL}},
    {{"weigh", ".", "decks.csv", "-o", "weights.csv"}, {"weights.csv"}},
    {{"slips", ".", "pool.csv", "-o", "slips.html"}, {"slips.html"}},
    {{"page", ".", "--drafters", "-o", "page.html"}, {"page.html"}},
    {{"export", ".", "-o", "all.mps"}, {"all.mps"}},
    {{"import", "cards.csv", "-o", "made"}, {"made/model.yaml", "made/scenario.yaml"}},
    {{"init", "fresh", "--seats", "8", "--colours", "ebb,silt"}, {"fresh/model.yaml", "fresh/cards.csv"}},
};

static const char old[] = "what was there before\n";

/* Always of one name, since pages are called after their folders. */
static char *make(const Verb *verb)
{
    char *outer = folder_new(), *folder = NULL;
    assert_true(asprintf(&folder, "%s/play", outer) > 0);
    folder_print(outer, "play/cards.csv", DESK_CARDS);
    free(outer);
    folder_print(folder, "model.yaml", DESK_MODEL);
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nowned: [owned.csv]\npool: pool.csv\npool_owned: no\n"
                 "cases:\n  - {name: dear, change: {spending_cap: 9.00}}\n");
    folder_print(folder, "owned.csv", "name,copies,paid\nEel Pot,1,0.40\n");
    folder_print(folder, "pool.csv", "name\nEel Pot\nDrift Net\n");
    folder_print(folder, "list.csv", "name,paid\nAsh Kite,1.10\n");
    folder_print(folder, "notes.csv", "card,date,verdict,note\nAsh Kite,2026-01-02,better,\n");
    folder_print(folder, "decks.csv", "deck,name\none,Ash Kite\ntwo,Bell Cart\n");
    for (size_t f = 0; f < FILES && verb->file[f] != NULL; f++)
        if (!folder_has(folder, verb->file[f]) && strchr(verb->file[f], '/') == NULL &&
            strcmp(verb->file[f], "journal.csv") != 0)
            folder_print(folder, verb->file[f], old);
    if (strcmp(verb->word[0], "audit") == 0) {
        Run run;
        desk_run(folder, &run, 0, WORDS("best", ".", "--gap", "0", "--proof", "old.proof"));
        run_forget(&run);
    }
    return folder;
}

static void drop(char *folder)
{
    *strrchr(folder, '/') = '\0';
    folder_remove(folder);
    free(folder);
}

static void run_failing(const char *folder, const Verb *verb, const char *kind, unsigned long at, Run *run)
{
    char library[4200], number[40];
    const char *program = program_path(), *slash = strrchr(program, '/');
    snprintf(library, sizeof library, "%.*s/tests/fail_call.so", (int)(slash - program), program);
    snprintf(number, sizeof number, "%lu", at);
    setenv("FAIL_CALL", kind, 1);
    setenv("FAIL_CALL_AT", number, 1);
    setenv("FAIL_CALL_COUNT", "count", 1);
    setenv("LD_PRELOAD", library, 1);
    run_poolwright(folder, verb->word, NULL, run);
    unsetenv("LD_PRELOAD");
    unsetenv("FAIL_CALL_COUNT");
    unsetenv("FAIL_CALL_AT");
    unsetenv("FAIL_CALL");
}

static unsigned long count_in(const char *folder)
{
    char *text = folder_read(folder, "count", NULL);
    assert_non_null(text);
    const unsigned long count = strtoul(text, NULL, 10);
    free(text);
    return count;
}

static bool is_same(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

static bool holds_left_overs(const char *folder)
{
    Run run;
    run_program("find", folder, WORDS(".", "-name", ".poolwright-*"), &run);
    const bool holds = run.out[0] != '\0';
    run_forget(&run);
    return holds;
}

typedef struct {
    const char *kind, *why; /* why: what is told of it */
    bool is_always_told;    /* else some do not matter: what libraries look for, what is closed, folders made lasting */
} Call;

static bool is_told(const Run *run, const Call *call)
{
    return (run->code == 2 || run->code == 4) && strstr(run->err, "error: ") != NULL &&
           (strstr(run->err, call->why) != NULL || strstr(run->err, "the GLPK library could not write") != NULL);
}

/* True where it was told. */
static bool try_one(const Verb *verb, const Call *call, unsigned long at, const Run *whole, char *const *fresh)
{
    Run run;
    char *folder = make(verb), *before[FILES] = {NULL};
    bool all_new = true, each_whole = true;
    for (size_t f = 0; f < FILES && verb->file[f] != NULL; f++)
        before[f] = folder_read(folder, verb->file[f], NULL);
    run_failing(folder, verb, call->kind, at, &run);
    for (size_t f = 0; f < FILES && verb->file[f] != NULL; f++) {
        char *now = folder_read(folder, verb->file[f], NULL);
        all_new = all_new && is_same(now, fresh[f]);
        each_whole = each_whole && (is_same(now, fresh[f]) || is_same(now, before[f]));
        free(now);
        free(before[f]);
    }
    const bool told = is_told(&run, call) && each_whole,
               same = run.code == whole->code && strcmp(run.out, whole->out) == 0 && all_new;
    if ((!told && !same) || holds_left_overs(folder))
        fail_msg("%s: %s %lu: exit code %d\n%.500s\n%.500s", verb->word[0], call->kind, at, run.code, run.out, run.err);
    run_forget(&run);
    drop(folder);
    return told;
}

static void each_call_that_fails_is_told(void **state)
{
    (void)state;
    static const Call calls[] = {{"open", "permission denied", false},
                                 {"read", "input/output error", false},
                                 {"write", "no space left on device", true},
                                 {"fsync", "input/output error", false},
                                 {"close", "", false},
                                 {"rename", "permission denied", true},
                                 {"mkdir", "permission denied", true}};
    unsigned long told_of[sizeof calls / sizeof *calls] = {0};
    for (size_t v = 0; v < sizeof verbs / sizeof *verbs; v++)
        for (size_t c = 0; c < sizeof calls / sizeof *calls; c++) {
            const Verb *verb = &verbs[v];
            char *folder = make(verb), *fresh[FILES] = {NULL};
            Run whole;
            run_failing(folder, verb, calls[c].kind, 0, &whole);
            desk_expect_code(&whole, 0, verb->word[0]);
            for (size_t f = 0; f < FILES && verb->file[f] != NULL; f++)
                assert_non_null(fresh[f] = folder_read(folder, verb->file[f], NULL));
            const unsigned long count = count_in(folder);
            unsigned long told = 0;
            for (unsigned long at = 1; at <= count; at++)
                told += try_one(verb, &calls[c], at, &whole, fresh);
            if (calls[c].is_always_told && told != count)
                fail_msg("%s: of %lu times %s %lu were told", verb->word[0], count, calls[c].kind, told);
            told_of[c] += told;
            for (size_t f = 0; f < FILES; f++)
                free(fresh[f]);
            run_forget(&whole);
            drop(folder);
        }
    for (size_t c = 0; c < sizeof calls / sizeof *calls; c++)
        if (told_of[c] == 0 && strcmp(calls[c].kind, "close") != 0)
            fail_msg("%s was never told", calls[c].kind);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(each_call_that_fails_is_told)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
