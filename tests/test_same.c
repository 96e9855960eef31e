/* test_same.c - what must not change the output does not: the order of lines in sheets, the number of threads, the
 * compiler. Compared byte by byte: the first screen, all of it, JSON and the list. Random scenarios of invented
 * candidates (tests/support/tiny_make.c). The build with clang is looked for in the folder clang beside the program, or
 * where POOLWRIGHT_CLANG says. */
#include <limits.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/tiny.h"

enum { SCENARIOS = 12, LINES_MOST = 2000 };

typedef struct {
    char *screen, *json, *list;
} Outputs;

static char *output_of(const char *program, const char *folder, const char *threads, const char *engine,
                       const char *last)
{
    /* An effort limit, in pivots: a search that it stops must be the same too. */
    const char *arguments[] = {"best",     "scenario.yaml", "--rules",   "--gap", "0",  "--effort", "20k",
                               "--engine", engine,          "--threads", threads, last, NULL,       NULL};
    if (strcmp(last, "-o") == 0) {
        arguments[12] = "list.csv";
    }
    Run run;
    run_program(program, folder, arguments, &run);
    if (run.code > 1 && run.code != 3) {
        fail_msg("%s in %s: exit code %d\n%s", program, folder, run.code, run.err);
    }
    free(run.err);
    return run.out;
}

static void get(const char *program, const char *folder, const char *threads, const char *engine, Outputs *outputs)
{
    char path[PATH_MAX];
    outputs->json = output_of(program, folder, threads, engine, "--json");
    outputs->screen = output_of(program, folder, threads, engine, "-o");
    outputs->list = folder_read(folder, "list.csv", NULL);
    snprintf(path, sizeof path, "%s/list.csv", folder);
    unlink(path);
}

static void release(Outputs *outputs)
{
    free(outputs->screen);
    free(outputs->json);
    free(outputs->list);
}

static void same_text(const char *a, const char *b, const char *what, const char *why, const char *folder)
{
    bool same = a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
    if (!same) {
        size_t at = 0;
        while (a != NULL && b != NULL && a[at] == b[at]) {
            at++;
        }
        size_t from = at > 100 ? at - 100 : 0;
        fail_msg("the %s differs %s, files in %s:\n%.300s\n--- and ---\n%.300s", what, why, folder,
                 a != NULL ? a + from : "(none)", b != NULL ? b + from : "(none)");
    }
}

static void same(const Outputs *a, const Outputs *b, const char *why, const char *folder)
{
    same_text(a->json, b->json, "JSON", why, folder);
    same_text(a->screen, b->screen, "screen", why, folder);
    same_text(a->list, b->list, "list", why, folder);
}

/* Explanations name the lines of the sheets, which do move when lines are shuffled: numbers after "line": and a sheet's
 * name become 0. */
static void forget_lines(char *text)
{
    static const char *const before[] = {"\"line\": ", ".csv:"};
    for (size_t k = 0; text != NULL && k < 2; k++) {
        for (char *at = strstr(text, before[k]); at != NULL; at = strstr(at, before[k])) {
            at += strlen(before[k]);
            size_t digits = strspn(at, "0123456789");
            memmove(at, at + digits, strlen(at + digits) + 1);
        }
    }
}

/* Puts the lines below the header in another order. No cell holds a line break. */
static void shuffle(const char *folder, const char *name, Dice *dice)
{
    static char *line[LINES_MOST];
    char *text = folder_read(folder, name, NULL);
    Page page = {.data = NULL};
    int lines = 0;
    assert_non_null(text);
    char *rest = strchr(text, '\n');
    assert_non_null(rest);
    page_add(&page, "%.*s\n", (int)(rest - text), text);
    for (char *at = strtok(rest, "\n"); at != NULL; at = strtok(NULL, "\n")) {
        assert_true(lines < LINES_MOST);
        line[lines++] = at;
    }
    for (int i = lines - 1; i > 0; i--) {
        int other = dice_roll(dice, 0, i);
        char *kept = line[i];
        line[i] = line[other];
        line[other] = kept;
    }
    for (int i = 0; i < lines; i++) {
        page_add(&page, "%s\n", line[i]);
    }
    page_save(&page, folder, name);
    free(text);
}

static bool clang_build(char path[PATH_MAX])
{
    const char *given = getenv("POOLWRIGHT_CLANG");
    if (given != NULL) {
        return realpath(given, path) != NULL;
    }
    snprintf(path, PATH_MAX, "%s", program_path());
    char *slash = strrchr(path, '/');
    assert_non_null(slash);
    snprintf(slash, (size_t)(path + PATH_MAX - slash), "/clang/poolwright");
    return access(path, X_OK) == 0;
}

static void check_folder(const char *folder, uint64_t seed, const char *engine)
{
    static const char *const sheets[] = {"cards.csv", "more.csv", "prices.csv", "owned.csv", "tags.csv"};
    Outputs first;
    Outputs other;
    Dice dice;
    get(program_path(), folder, "1", engine, &first);
    get(program_path(), folder, "2", engine, &other);
    same(&first, &other, "with two threads", folder);
    release(&other);
    dice_seed(&dice, seed);
    for (size_t i = 0; i < sizeof sheets / sizeof *sheets; i++) {
        if (folder_has(folder, sheets[i])) {
            shuffle(folder, sheets[i], &dice);
        }
    }
    get(program_path(), folder, "1", engine, &other);
    forget_lines(first.json);
    forget_lines(first.screen);
    forget_lines(other.json);
    forget_lines(other.screen);
    same(&first, &other, "with shuffled lines", folder);
    release(&other);
    release(&first);
}

static const char *engine_of(uint64_t seed)
{
    return seed % 3 == 0 ? "reference" : "fast";
}

static void the_same_output(void **state)
{
    (void)state;
    static Tiny tiny;
    for (uint64_t seed = 1; seed <= (uint64_t)sanitised_share(SCENARIOS); seed++) {
        char *folder = folder_new();
        tiny_make_sized(&tiny, seed, 12, 60);
        tiny_write(&tiny, folder);
        check_folder(folder, seed, engine_of(seed));
        folder_remove(folder);
        free(folder);
    }
}

static void the_same_when_built_with_clang(void **state)
{
    (void)state;
    static Tiny tiny;
    char clang[PATH_MAX];
    if (!clang_build(clang)) {
        print_message("skipped: the comparison with clang, since there is no build with it (make clang)\n");
        skip();
    }
    for (uint64_t seed = 1; seed <= SCENARIOS; seed++) {
        Outputs first;
        Outputs other;
        char *folder = folder_new();
        tiny_make_sized(&tiny, seed, 12, 60);
        tiny_write(&tiny, folder);
        get(program_path(), folder, "1", engine_of(seed), &first);
        get(clang, folder, "1", engine_of(seed), &other);
        same(&first, &other, "when built with clang", folder);
        release(&first);
        release(&other);
        folder_remove(folder);
        free(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_same_output),
                                       cmocka_unit_test(the_same_when_built_with_clang)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
