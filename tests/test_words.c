/* test_words.c - the glossary: docs/words.md says what `poolwright words` says, each word is found by every name it
 * has, and a slip is answered with the nearest. UPDATE=1 writes the page's tables anew. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/files/file_draft.h"
#include "base/text.h"
#include "support/desk.h"

static void ask(Run *run, int code, const char *const *words)
{
    run_poolwright(".", words, NULL, run);
    desk_expect_code(run, code, "words");
}

/* The page's part behind its first heading of a group, as the program would write it. */
static void page_of(const json_t *words, Text *page)
{
    const char *group = "";
    size_t k;
    json_t *item, *also;
    json_array_foreach (words, k, item) {
        const char *its = json_string_value(json_object_get(item, "group"));
        if (strcmp(its, group) != 0)
            text_printf(page, "%s## %s\n\n| word | meaning |\n|---|---|\n", k > 0 ? "\n" : "", its);
        group = its;
        text_printf(page, "| **%s**", json_string_value(json_object_get(item, "word")));
        size_t a;
        json_array_foreach (json_object_get(item, "also"), a, also)
            text_printf(page, "%s%s", a > 0 ? ", " : " (also ", json_string_value(also));
        text_printf(page, "%s | %s |\n", a > 0 ? ")" : "", json_string_value(json_object_get(item, "meaning")));
    }
}

static void page_says_what_the_verb_says(void **state)
{
    (void)state;
    Run run;
    ask(&run, 0, WORDS("words", "--json"));
    json_t *root = json_loads(run.out, 0, NULL);
    assert_non_null(root);
    Text wanted = {0};
    page_of(json_object_get(root, "words"), &wanted);
    char *page = folder_read("docs", "words.md", NULL);
    assert_non_null(page);
    char *tables = strstr(page, "## The cards");
    assert_non_null(tables);
    if (getenv("UPDATE") != NULL) {
        Diags diags;
        diags_init(&diags);
        Text whole = {0};
        text_add_n(&whole, page, (size_t)(tables - page));
        text_add(&whole, text_cstr(&wanted));
        assert_true(file_write("docs/words.md", text_cstr(&whole), whole.length, &diags));
        text_release(&whole);
        diags_release(&diags);
    } else
        assert_string_equal(tables, text_cstr(&wanted));
    free(page);
    text_release(&wanted);
    json_decref(root);
    run_forget(&run);
}

/* A word of the page finds its own entry; so does each of its other names, in capitals too and with an s behind. */
static void expect_entry(const char *asked, const char *word)
{
    Run run;
    ask(&run, 0, WORDS("words", asked));
    const size_t length = strlen(word);
    if (strncmp(run.out, word, length) != 0 || (run.out[length] != '\n' && run.out[length] != ' '))
        fail_msg("words %s: %s", asked, run.out);
    run_forget(&run);
}

static void each_name_finds_its_word(void **state)
{
    (void)state;
    Run run;
    ask(&run, 0, WORDS("words", "--json"));
    json_t *root = json_loads(run.out, 0, NULL), *item, *also;
    run_forget(&run);
    size_t k, a;
    json_array_foreach (json_object_get(root, "words"), k, item) {
        const char *word = json_string_value(json_object_get(item, "word"));
        expect_entry(word, word);
        json_array_foreach (json_object_get(item, "also"), a, also)
            expect_entry(json_string_value(also), word);
    }
    assert_true(k > 40);
    json_decref(root);
    expect_entry("LIMITS", "limit");
    expect_entry("Enablers", "enabler");
}

static void first_sentences_are_listed(void **state)
{
    (void)state;
    Run run;
    ask(&run, 0, WORDS("words"));
    desk_expect(run.out, "\n  tight     A limit that is used up: not one card or cent is left\n");
    for (const char *line = run.out; *line != '\0'; line = strchr(line, '\n') + 1)
        assert_true(strcspn(line, "\n") <= 80);
    run_forget(&run);
    ask(&run, 0, WORDS("words", "tight"));
    assert_string_equal(run.out,
                        "tight\n  A limit that is used up: not one card or cent is left. Loosening it need not\n"
                        "  help.\n");
    run_forget(&run);
    ask(&run, 0, WORDS("words", "among", "equals"));
    desk_expect(run.out, "among equals (also: equals)\n");
    run_forget(&run);
}

static void slips_are_answered(void **state)
{
    (void)state;
    static const struct {
        const char *asked, *near;
    } slip[] = {{"tihgt", "; did you mean 'tight'?"},
                {"limts", "; did you mean 'limit'?"},
                {"bind", "; did you mean 'binding'?"},
                {"zzz", "lists\n"}};
    for (size_t k = 0; k < sizeof slip / sizeof *slip; k++) {
        Run run;
        ask(&run, 2, WORDS("words", slip[k].asked));
        desk_expect(run.err, "error: found no word '");
        desk_expect(run.err, slip[k].near);
        assert_string_equal(run.out, "");
        run_forget(&run);
    }
}

int main(void)
{
    setenv("COLUMNS", "80", 1);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(page_says_what_the_verb_says),
        cmocka_unit_test(each_name_finds_its_word),
        cmocka_unit_test(first_sentences_are_listed),
        cmocka_unit_test(slips_are_answered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
