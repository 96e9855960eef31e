/* test_manual.c - the manual pages say what --help says, word for word, with each verb and option once; groff and
 * mandoc read them without a warning; no line is wider than the screen; text comes out as it went in. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "verbs/manual/roff.h"
#include "support/desk.h"

#define VERBS_MOST 40

static char folder[4096]; /* where the build put the pages: beside the program */
static char verb[VERBS_MOST][32];
static size_t verbs;

/* ---- pages as they are shown ---- */

/* Hyphens of any kind become one, all blanks one blank, none at the ends. */
static void plain(char *text)
{
    char *to = text;
    for (const char *at = text; *at != '\0';) {
        if (strncmp(at, "\xE2\x80\x90", 3) == 0) {
            *to++ = '-';
            at += 3;
        } else if (*at != ' ' && *at != '\n')
            *to++ = *at++;
        else {
            at += strspn(at, " \n");
            if (to > text && *at != '\0')
                *to++ = ' ';
        }
    }
    *to = '\0';
}

static char *shown_by(const char *program, const char *in, const char *const *arguments)
{
    Run run;
    run_program(program, in, arguments, &run);
    if (run.code != 0 || run.err[0] != '\0')
        fail_msg("%s: %s", program, run.err);
    char *out = strdup(run.out);
    run_forget(&run);
    return out;
}

static char *shown(const char *file, int width)
{
    char line_length[32];
    snprintf(line_length, sizeof line_length, "-rLL=%dn", width);
    return shown_by("groff", folder, WORDS("-man", "-ww", "-Tutf8", "-P-cbou", line_length, file));
}

static void page_name(char name[64], const char *of)
{
    snprintf(name, 64, of[0] != '\0' ? "poolwright-%s.1" : "poolwright%s.1", of);
}

/* ---- what --help says ---- */

static char *help_of(const char *of)
{
    Run run;
    run_poolwright(".", of[0] != '\0' ? WORDS(of, "--help") : WORDS("--help"), NULL, &run);
    assert_int_equal(run.code, 0);
    char *out = strdup(run.out);
    run_forget(&run);
    return out;
}

static int begin(void **state)
{
    (void)state;
    setenv("COLUMNS", "5000", 1);
    snprintf(folder, sizeof folder, "%s", program_path());
    snprintf(strrchr(folder, '/'), 8, "/man");
    char *help = help_of("");
    for (char *at = strstr(help, ":\n  import"); (at = strchr(at, '\n')) != NULL && strncmp(at, "\n  poolwright", 13);
         at++)
        if (strncmp(at, "\n  ", 3) == 0)
            snprintf(verb[verbs++], sizeof *verb, "%.*s", (int)strcspn(at + 3, " "), at + 3);
    free(help);
    return verbs > 20 ? 0 : -1;
}

/* What stands between the two, or the rest; it is cut off there. */
static char *between(char *text, const char *from, const char *to)
{
    char *at = strstr(text, from);
    if (at == NULL)
        fail_msg("no '%s' in: %.60s...", from, text);
    at += strlen(from);
    char *end = to == NULL ? NULL : strstr(at, to);
    if (end != NULL)
        *end = '\0';
    return at;
}

static void without(char *text, char gone)
{
    char *to = text;
    for (const char *at = text; *at != '\0'; at++)
        if (*at != gone)
            *to++ = *at;
    *to = '\0';
}

/* A section of the page holds these words and no others. */
static void expect_section(const char *of, const char *section, const char *next, const char *words)
{
    char name[64], from[64], to[64];
    page_name(name, of);
    char *page = shown(name, 5000), *wanted = strdup(words);
    snprintf(from, sizeof from, "\n%s\n", section);
    snprintf(to, sizeof to, "\n%s\n", next);
    char *found = between(page, from, to);
    without(wanted, '`');
    plain(found);
    plain(wanted);
    assert_string_equal(found, wanted);
    free(page);
    free(wanted);
}

static void each_verb_has_a_page_that_says_what_help_says(void **state)
{
    (void)state;
    if (!program_exists("groff"))
        skip();
    for (size_t v = 0; v < verbs; v++) {
        char *help = help_of(verb[v]);
        char *examples = between(help, "\nexample:\n", NULL);
        examples[-(long)strlen("\nexample:\n")] = '\n';
        examples[-(long)strlen("example:\n")] = '\0';
        char *options = between(help, "\n\noptions:\n", NULL);
        options[-(long)strlen("\n\noptions:\n")] = '\n';
        options[-(long)strlen("\noptions:\n")] = '\0';
        char *about = strstr(help, "\n\n");
        *about = '\0';
        expect_section(verb[v], "SYNOPSIS", "DESCRIPTION", help + strlen("usage: "));
        expect_section(verb[v], "DESCRIPTION", "OPTIONS", about + 2);
        expect_section(verb[v], "OPTIONS", "EXIT STATUS", options);
        expect_section(verb[v], "EXAMPLES", "SEE ALSO", examples);
        free(help);
    }
}

static void the_program_s_page_has_all_verbs(void **state)
{
    (void)state;
    if (!program_exists("groff"))
        skip();
    char *help = help_of(""), *page = shown("poolwright.1", 5000);
    char *wanted = between(help, "options]\n", "\n  poolwright VERB"),
         *found = between(page, "an example.\n", "\nFILES\n");
    for (char *colon = wanted; (colon = strstr(colon, ":\n")) != NULL;)
        *colon = ' '; /* of headings */
    plain(wanted);
    plain(found);
    assert_string_equal(found, wanted);
    free(help);
    free(page);
    Run run;
    run_program("sh", folder, WORDS("-c", "ls poolwright*.1 | wc -l"), &run);
    assert_int_equal(atoi(run.out), verbs + 1);
    run_forget(&run);
}

/* ---- pages as programs read them ---- */

static void pages_are_clean(void **state)
{
    (void)state;
    if (!program_exists("mandoc"))
        skip();
    Run run;
    run_program("sh", folder, WORDS("-c", "mandoc -Tlint -Wall poolwright*.1"), &run);
    assert_string_equal(run.out, "");
    assert_int_equal(run.code, 0);
    run_forget(&run);
}

static size_t characters(const char *text, size_t bytes)
{
    size_t count = 0;
    for (size_t k = 0; k < bytes; k++)
        count += ((unsigned char)text[k] & 0xC0) != 0x80;
    return count;
}

static void no_line_is_wider_than_the_screen(void **state)
{
    (void)state;
    if (!program_exists("groff"))
        skip();
    for (size_t v = 0; v <= verbs; v++)
        for (int width = 60; width <= 100; width += 20) {
            char name[64];
            page_name(name, v < verbs ? verb[v] : "");
            char *page = shown(name, width);
            for (const char *at = page; *at != '\0'; at += strcspn(at, "\n") + 1)
                if (characters(at, strcspn(at, "\n")) > (size_t)width)
                    fail_msg("%s at %d: %.*s", name, width, (int)strcspn(at, "\n"), at);
            free(page);
        }
}

/* ---- the Tab key ---- */

/* What bash offers behind these words, of which the last is not finished, in one line each. */
static char *offered(const char *words)
{
    static const char script[] =
        "eval \"$(../make-manual completion)\"; COMP_WORDS=(poolwright \"$@\"); COMP_CWORD=$#; "
        "_poolwright; printf '%s ' \"${COMPREPLY[@]}\"";
    char *copy = strdup(words), *left = NULL;
    const char *argument[8] = {"--norc", "-c", script, "bash"};
    size_t count = 4;
    for (char *word = strtok_r(copy, " ", &left); word != NULL; word = strtok_r(NULL, " ", &left))
        argument[count++] = strcmp(word, "''") == 0 ? "" : word;
    argument[count] = NULL;
    char *out = shown_by("bash", folder, argument);
    free(copy);
    plain(out);
    return out;
}

/* "  -o, --output FILE        where to write": the names, in the order of --help. */
static void option_names(char *help, Text *names)
{
    for (char *at = between(help, "\n\noptions:\n", "\n\nexample:"), *left = NULL, *line = strtok_r(at, "\n", &left);
         line != NULL; line = strtok_r(NULL, "\n", &left))
        for (char *name = line + 2; *name == '-'; name += strcspn(name, ", ") + (name[strcspn(name, ", ")] == ',') + 1)
            text_printf(names, "%s%.*s", names->length > 0 ? " " : "", (int)strcspn(name, ", "), name);
}

static void the_tab_key_offers_what_help_lists(void **state)
{
    (void)state;
    if (!program_exists("bash"))
        skip();
    Text all = {0};
    for (size_t v = 0; v < verbs; v++) {
        Text wanted = {0}, words = {0};
        char *help = help_of(verb[v]);
        option_names(help, &wanted);
        text_printf(&words, "%s -", verb[v]);
        char *found = offered(text_cstr(&words));
        assert_string_equal(found, text_cstr(&wanted));
        text_printf(&all, "%s ", verb[v]);
        free(found);
        free(help);
        text_release(&wanted);
        text_release(&words);
    }
    text_add(&all, "--help --version");
    static const char *const others[][2] = {
        {"be", "best bench"},
        {"export --format ''", "lp mps"},
        {"find --sort p", "price"},
        {"best --show wa", "watches"},
        {"best ''", ""},
        {"nothing -", ""},
    };
    char *found = offered("''");
    assert_string_equal(found, text_cstr(&all));
    free(found);
    for (size_t k = 0; k < sizeof others / sizeof *others; k++) {
        found = offered(others[k][0]);
        assert_string_equal(found, others[k][1]);
        free(found);
    }
    text_release(&all);
}

/* ---- text comes out as it went in ---- */

static const char *const texts[] = {
    "a backslash \\ and \\fBno bold\\fR, \\(aq, C:\\new\\table",
    ".SH at the start .B within .",
    "'quotes' and \"these\", it's don't 'tis",
    "carets ^ and tildes ~ and 100% of _it_ {a: b} [c] <d> $5 #6 @7 &8 *9",
    "dashes -- --cap -o what-if a - b \xE2\x80\x93 c",
    "Caf\xC3\xA9, \xC5\x81\xC3\xB3w, \xE2\x82\xAC 3.50, \xE2\x9C\x93",
    "one sentence. Another one? A third! And ... so on.",
    ".",
    "\\",
    "--",
};

static void expect_found(const char *what, char *page, const char *end, const char *text)
{
    for (char *c = page; *c != '\0'; c++) /* mandoc prints a bold letter twice, one over the other */
        while (c[0] != '\0' && c[1] == '\b')
            memmove(c, c + 2, strlen(c + 2) + 1);
    char *found = between(page, "\nTEXT\n", end), *wanted = strdup(text);
    plain(found);
    plain(wanted);
    if (strcmp(found, wanted) != 0)
        fail_msg("%s: '%s' is shown as '%s'", what, wanted, found);
    free(wanted);
    free(page);
}

static void expect_shown(const char *what, const Text *page, const char *text)
{
    char *own = folder_new();
    folder_print(own, "page", text_cstr(page));
    expect_found(what, shown_by("groff", own, WORDS("-man", "-ww", "-Tutf8", "-P-cbou", "-rLL=5000n", "page")),
                 "\n\nEND", text);
    if (program_exists("mandoc"))
        expect_found(what, shown_by("mandoc", own, WORDS("-man", "-Tutf8", "-Owidth=500", "page")), "\n\nEND", text);
    folder_remove(own);
    free(own);
}

static void text_comes_out_as_it_went_in(void **state)
{
    (void)state;
    if (!program_exists("groff"))
        skip();
    for (size_t k = 0; k < sizeof texts / sizeof *texts; k++)
        for (int as = 0; as < 3; as++) {
            Text page = {0};
            text_add(&page, ".TH T 1 2026-11-30 \"poolwright\" \"T\"\n.nh\n.SH TEXT\n");
            if (as == 0)
                roff_paragraph(&page, texts[k]);
            else if (as == 1)
                roff_command(&page, texts[k], strlen(texts[k]));
            else {
                roff_usage(&page, texts[k]);
                text_add_char(&page, '\n');
            }
            text_add(&page, ".SH END\nend\n");
            expect_shown(as == 0 ? "a paragraph" : as == 1 ? "a command" : "a usage line", &page, texts[k]);
            text_release(&page);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_verb_has_a_page_that_says_what_help_says),
        cmocka_unit_test(the_program_s_page_has_all_verbs),
        cmocka_unit_test(pages_are_clean),
        cmocka_unit_test(no_line_is_wider_than_the_screen),
        cmocka_unit_test(the_tab_key_offers_what_help_lists),
        cmocka_unit_test(text_comes_out_as_it_went_in),
    };
    return cmocka_run_group_tests(tests, begin, NULL);
}
