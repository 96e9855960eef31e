/* test_explain_text.c - what users read when they ask why, word for word: tests/golden/why-NAME holds cards, model (and
 * prices and scenario), the command's words (a line each) and what is printed. POOLWRIGHT_GOLDEN=write writes the
 * expected texts anew. Cards and rules are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define GOLDEN "tests/golden"

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static size_t list_cases(char **name, size_t most)
{
    DIR *folder = opendir(GOLDEN);
    assert_non_null(folder);
    size_t count = 0;
    for (struct dirent *entry = readdir(folder); entry != NULL && count < most; entry = readdir(folder))
        if (strncmp(entry->d_name, "why-", 4) == 0)
            name[count++] = strdup(entry->d_name);
    closedir(folder);
    qsort(name, count, sizeof *name, by_name);
    return count;
}

static char *read_of(const char *name, const char *file)
{
    char path[512];
    snprintf(path, sizeof path, GOLDEN "/%s", name);
    return folder_read(path, file, NULL);
}

/* The command's words, in place. */
static void split(char *text, const char **word, size_t most)
{
    size_t count = 0;
    for (char *line = strtok(text, "\n"); line != NULL && count + 1 < most; line = strtok(NULL, "\n"))
        word[count++] = line;
    word[count] = NULL;
}

static void check_case(const char *name)
{
    char *folder = folder_new(), *command = read_of(name, "command"), *cards = read_of(name, "cards.csv"),
         *model = read_of(name, "model.yaml");
    assert_non_null(command);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", model);
    static const char *const more[] = {"prices.csv", "scenario.yaml"};
    for (size_t k = 0; k < 2; k++) {
        char *text = read_of(name, more[k]);
        if (text != NULL)
            folder_print(folder, more[k], text);
        free(text);
    }
    const char *word[32];
    split(command, word, 32);
    Run run;
    run_poolwright(folder, word, NULL, &run);
    size_t length = strlen(run.out) + strlen(run.err) + 64;
    char *said = malloc(length);
    snprintf(said, length, "%s%sexit code %d\n", run.out, run.err, run.code);
    const char *write = getenv("POOLWRIGHT_GOLDEN");
    if (write != NULL && strcmp(write, "write") == 0) {
        char path[512];
        snprintf(path, sizeof path, GOLDEN "/%s", name);
        folder_print(path, "expected.txt", said);
    }
    char *expected = read_of(name, "expected.txt");
    assert_non_null(expected);
    if (strcmp(expected, said) != 0)
        fail_msg("%s\nexpected:\n%s\nsaid:\n%s", name, expected, said);
    /* words that only someone who knows optimisation understands */
    static const char *const jargon[] = {"dual",    "relax",      "LP ",       "infeasib",  "slack ",
                                         "shadow",  "constraint", "objective", "incumbent", "pivot",
                                         "simplex", "optimal",    NULL};
    for (size_t k = 0; strcmp(name, "why-json") != 0 && jargon[k] != NULL; k++)
        if (strstr(said, jargon[k]) != NULL)
            fail_msg("%s says '%s'", name, jargon[k]);
    run_forget(&run);
    free(expected);
    free(said);
    free(command);
    free(cards);
    free(model);
    folder_remove(folder);
    free(folder);
}

static void word_for_word(void **state)
{
    (void)state;
    char *name[200];
    size_t count = list_cases(name, 200);
    assert_true(count >= 20);
    for (size_t k = 0; k < count; k++) {
        check_case(name[k]);
        free(name[k]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(word_for_word)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
