/* desk.c - see desk.h. */
#include "support/desk.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

char *desk_folder(const char *model_lines, const char *scenario_lines, const char *cards)
{
    char *folder = folder_new();
    char text[8192];
    snprintf(text, sizeof text, "size: 2\ncolours: [rye, teal]\nthemes:\n  - {name: t, colours: rye}\n%s", model_lines);
    folder_print(folder, "model.yaml", text);
    snprintf(text, sizeof text, "model: model.yaml\ncards: [cards.csv]\n%s", scenario_lines);
    folder_print(folder, "scenario.yaml", text);
    folder_print(folder, "cards.csv", cards);
    return folder;
}

void desk_expect_code(const Run *run, int code, const char *what)
{
    if (run->code != code)
        fail_msg("%s: exit code %d, expected %d\n%s\n%s", what, run->code, code, run->out, run->err);
}

void desk_run(const char *folder, Run *run, int code, const char *const *arguments)
{
    run_poolwright(folder, arguments, NULL, run);
    desk_expect_code(run, code, arguments[0]);
}

void desk_expect(const char *text, const char *part)
{
    if (text == NULL || strstr(text, part) == NULL)
        fail_msg("expected '%s' in\n%s", part, text == NULL ? "(nothing)" : text);
}

const char *desk_names(const json_t *object, const char *key)
{
    static char names[4096];
    size_t k;
    json_t *item;
    names[0] = '\0';
    json_array_foreach (json_object_get(object, key), k, item) {
        const char *name = json_is_string(item) ? json_string_value(item) : json_text(item, "name");
        snprintf(names + strlen(names), sizeof names - strlen(names), "%s%s", k > 0 ? "|" : "", name);
    }
    return names;
}

void desk_done(char *folder)
{
    folder_remove(folder);
    free(folder);
}

void desk_expect_refused(const char *folder, const char *const *arguments, const char *told, const char *file)
{
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    desk_expect_code(&run, 2, told);
    desk_expect(run.err, told);
    assert_false(folder_has(folder, file));
    run_forget(&run);
}

void desk_expect_told(const Run *run, int code, const char *says)
{
    if (run->code != code || (strstr(run->out, says) == NULL && strstr(run->err, says) == NULL))
        fail_msg("expected exit code %d and '%s', found %d\n%s\n%s", code, says, run->code, run->out, run->err);
}

void desk_expect_file(const char *folder, const char *name, const char *text)
{
    char *bytes = folder_read(folder, name, NULL);
    assert_non_null(bytes);
    assert_string_equal(bytes, text);
    free(bytes);
}

char *desk_small_folder(const char *more_model)
{
    char *folder = folder_new();
    char model[1000];
    snprintf(model, sizeof model, "%s%s", DESK_MODEL, more_model);
    folder_print(folder, "cards.csv", DESK_CARDS);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\ncases:\n  - {name: dear, change: {spending_cap: 9.00}}\n  - "
                 "{name: cheap, change: {spending_cap: 3.00}}\n");
    return folder;
}
