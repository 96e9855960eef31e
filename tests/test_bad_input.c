/* test_bad_input.c - every mistake of a table gives its one clear error on standard error, exit code 2 (4 where an
 * output cannot be written), nothing on standard output and no new file. The table is in tests/support/bad_*.c; the
 * cards are invented. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/bad_input.h"

enum { ARGUMENTS_MOST = 16 };

static void write_sound_folder(const char *folder)
{
    folder_print(folder, "cards.csv", sound_cards);
    folder_print(folder, "cards2.csv", "name,price,power\nKiln Warden,3.00,9\n");
    folder_print(folder, "names.csv", "name,date\nKiln Warden,today\n");
    folder_print(folder, "model.yaml", sound_model);
    folder_print(folder, "scenario.yaml", sound_scenario);
    folder_print(folder, "prices.csv", "name,price\nKiln Warden,1.00\n");
    folder_print(folder, "owned.csv", "name,copies\nKiln Warden,1\n");
    folder_print(folder, "tags.csv", "name,tag,role\nKiln Warden,mending,\n");
    folder_print(folder, "pool.csv", "name,copies\nKiln Warden,1\n");
    folder_print(folder, "targets.csv", "rule,all,brass,brass+linen,convoys\nremoval,1+,,,\n");
    static const char *const lists[] = {"prices", "owned", "tags", "targets"};
    char name[40];
    char text[200];
    for (size_t i = 0; i < 4; i++) {
        snprintf(name, sizeof name, "%s.yaml", lists[i]);
        snprintf(text, sizeof text, "%s%s: [%s.csv]\n", sound_scenario, lists[i], lists[i]);
        folder_print(folder, name, text);
    }
    snprintf(text, sizeof text, "%spool: pool.csv\n", sound_scenario);
    folder_print(folder, "pool.yaml", text);
    folder_print(folder, "ring.yaml", "extends: model.yaml\n");
    folder_print(folder, "models/four-360.yaml",
                 sound_model); /* a preset to be reminded of, wherever the program stands */
    folder_print(folder, "ring.scenario.yaml", "model: ring.yaml\ncards: [cards.csv]\n");
}

static void write_mistake(const Mistake *mistake, const char *folder)
{
    if (mistake->file == NULL) {
        return;
    }
    if (mistake->make != NULL) {
        Page page = {.data = NULL};
        mistake->make(&page);
        page_save(&page, folder, mistake->file);
    } else if (mistake->bytes[0] == ADD[0]) {
        char *before = folder_read(folder, mistake->file, NULL);
        Page page = {.data = NULL};
        assert_non_null(before);
        page_add(&page, "%s%s", before, mistake->bytes + 1);
        page_save(&page, folder, mistake->file);
        free(before);
    } else {
        folder_write(folder, mistake->file, mistake->bytes,
                     mistake->length > 0 ? mistake->length : strlen(mistake->bytes));
    }
    if (strcmp(mistake->file, "ring.yaml") == 0) { /* the other half of the ring */
        Page page = {.data = NULL};
        page_add(&page, "%sextends: ring.yaml\n", sound_model);
        page_save(&page, folder, "model.yaml");
    }
}

static int files_in(const char *folder)
{
    int count = 0;
    DIR *open = opendir(folder);
    assert_non_null(open);
    while (readdir(open) != NULL) {
        count++;
    }
    closedir(open);
    return count;
}

static void run_with_text(const char *folder, const char *text, Run *run)
{
    char line[400];
    const char *argument[ARGUMENTS_MOST + 1];
    int count = 0;
    snprintf(line, sizeof line, "%s", text);
    for (char *word = strtok(line, " "); word != NULL && count < ARGUMENTS_MOST; word = strtok(NULL, " ")) {
        for (char *c = strchr(word, '_'); c != NULL; c = strchr(c, '_')) {
            *c = ' ';
        }
        argument[count++] = word;
    }
    argument[count] = NULL;
    run_poolwright(folder, argument, NULL, run);
}

static int count_of(const char *text, const char *piece)
{
    int count = 0;
    for (const char *at = strstr(text, piece); at != NULL; at = strstr(at + 1, piece)) {
        count++;
    }
    return count;
}

/* What is wrong with the answer, or NULL. */
static const char *complaint(const Mistake *mistake, const Run *run, const char *folder, int files_before)
{
    int code = mistake->code != 0 ? mistake->code : 2;
    static char missing[200];
    if (run->code != code) {
        return code == 2 ? "the exit code is not 2" : "the exit code is not 4";
    }
    if (run->out_length != 0) {
        return "there is something on standard output";
    }
    if (files_in(folder) != files_before || folder_has(folder, "out.csv")) {
        return "a file was written";
    }
    if (strlen(run->err) != run->err_length) {
        return "standard error holds a NUL";
    }
    for (int i = 0; i < 3 && mistake->expected[i] != NULL; i++) {
        if (strstr(run->err, mistake->expected[i]) == NULL) {
            snprintf(missing, sizeof missing, "the message lacks \"%s\"", mistake->expected[i]);
            return missing;
        }
    }
    bool usage =
        strncmp(mistake->expected[0], "usage: ", 7) == 0; /* without a verb all that can be said is how to give one */
    if (count_of(run->err, "error: ") != (usage ? 0 : 1)) {
        return "there is not exactly one error";
    }
    return run->err_length > 4000 ? "the message is far too long" : NULL;
}

static int check_table(const Mistake *mistakes, size_t count)
{
    int wrong = 0;
    for (size_t i = 0; i < count; i++) {
        Run run;
        char *folder = folder_new();
        write_sound_folder(folder);
        write_mistake(&mistakes[i], folder);
        int files = files_in(folder);
        run_with_text(folder, mistakes[i].arguments != NULL ? mistakes[i].arguments : "best scenario.yaml -o out.csv",
                      &run);
        const char *what = complaint(&mistakes[i], &run, folder, files);
        if (what != NULL) {
            print_error("%s: %s (exit code %d)\n%.600s\n", mistakes[i].what, what, run.code, run.err);
            wrong++;
        }
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    return wrong;
}

/* Without the mistakes all is well, so that every error above is about the mistake. */
static void the_sound_folder_is_sound(void **state)
{
    (void)state;
    static const char *const subjects[] = {"scenario.yaml", "prices.yaml",  "owned.yaml",        "tags.yaml",
                                           "pool.yaml",     "targets.yaml", "ring.scenario.yaml"};
    for (size_t i = 0; i < sizeof subjects / sizeof *subjects; i++) {
        char text[100];
        Run run;
        char *folder = folder_new();
        write_sound_folder(folder);
        snprintf(text, sizeof text, "best %s -o out.csv", subjects[i]);
        run_with_text(folder, text, &run);
        if (run.code != 0 || run.err_length != 0 || !folder_has(folder, "out.csv")) {
            fail_msg("%s: exit code %d\n%s", subjects[i], run.code, run.err);
        }
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

static void mistakes_in_sheets_are_told(void **state)
{
    (void)state;
    assert_int_equal(check_table(mistakes_in_sheets, mistakes_in_sheets_count), 0);
}

static void mistakes_in_models_are_told(void **state)
{
    (void)state;
    assert_int_equal(check_table(mistakes_in_models, mistakes_in_models_count), 0);
}

static void mistakes_elsewhere_are_told(void **state)
{
    (void)state;
    assert_int_equal(check_table(mistakes_elsewhere, mistakes_elsewhere_count), 0);
}

/* ---- one mistake in many lines ---- */

/* A sheet of 41 cards, a number behind the name and then the line, and a last line. The answer's errors are those
 * expected, no more. */
static void many_lines(const char *file, const char *header, const char *line, const char *last, const char *arguments,
                       const char *const expected[2])
{
    Run run;
    Page page = {.data = NULL};
    char *folder = folder_new();
    write_sound_folder(folder);
    page_add(&page, "%s\n", header);
    for (int k = 0; k < 41; k++) {
        page_add(&page, "Hull %02d%s\n", k, line);
    }
    page_add(&page, "%s", last);
    page_save(&page, folder, file);
    run_with_text(folder, arguments, &run);
    const int count = expected[1] != NULL ? 2 : 1;
    for (int k = 0; k < count; k++) {
        if (strstr(run.err, expected[k]) == NULL) {
            fail_msg("the message lacks \"%s\":\n%s", expected[k], run.err);
        }
    }
    assert_int_equal(count_of(run.err, "error: "), count);
    assert_int_equal(run.code, 2);
    assert_int_equal(run.out_length, 0);
    assert_false(folder_has(folder, "out.csv"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void one_mistake_in_many_lines_is_told_once(void **state)
{
    (void)state;
    static const char *const best = "best scenario.yaml -o out.csv";
    many_lines("cards.csv", "name,price,colours", ",1.00,brass+mauve", "Keel,1.00,brass/mauves\n", best,
               (const char *const[]){"cards.csv:2:20: error: unknown colour 'mauve', expected brass, ",
                                     "cards.csv:43:17: error: unknown colour 'mauves'"});
    many_lines("cards.csv", "name,price,colours", ",1.00,mauve", "", best,
               (const char *const[]){" (and 40 more like it, the last in line 42)\n", NULL});
    many_lines("cards.csv", "name,price,status", ",1.00,kepe", "", best,
               (const char *const[]){
                   "cards.csv:2:14: error: column 'status': found 'kepe', expected keep, ban, wish or in, several with "
                   "';' between; did you mean 'keep'? (and 40 more like it, the last in line 42)\n",
                   NULL});
    many_lines(
        "cards.csv", "name,price", ",n/a", "Keel,none\n", best,
        (const char *const[]){"cards.csv:2:9: error: column 'price': found 'n/a', expected money, 0 or more (and 40 "
                              "more like it, the last in line 42)\n",
                              "cards.csv:43:6: error: column 'price': found 'none', expected money, 0 or more\n"});
    many_lines(
        "cards.csv", "name;price", ";1.500", "Keel;12.250\n", best,
        (const char *const[]){"cards.csv:2:9: error: column 'price': found '1.500', expected 1500 (without a separator "
                              "of thousands) or at most 2 decimals (and 41 more like it, the last in line 43)\n",
                              NULL});
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_sound_folder_is_sound),
        cmocka_unit_test(mistakes_in_sheets_are_told),
        cmocka_unit_test(mistakes_in_models_are_told),
        cmocka_unit_test(mistakes_elsewhere_are_told),
        cmocka_unit_test(one_mistake_in_many_lines_is_told_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
