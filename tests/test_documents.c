/* test_documents.c - the commands that README.md and docs/ show do what is printed below them.
 *
 * A block fenced with ```console holds lines "$ COMMAND", each followed by the expected standard output (and standard
 * error, if 2>&1 is there). Commands run in a folder of their own that sees scenarios/ and models/. With UPDATE=1 the
 * documents are rewritten with what the commands print now. The documents' pools are searched to the end, so this is
 * not repeated under sanitizers. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/files/file.h"
#include "base/files/file_draft.h"
#include "base/text.h"

static char top[4096], folder[] = "/tmp/poolwright-documents-XXXXXX";

static void link_in(const char *name)
{
    char from[8192], to[8192];
    snprintf(from, sizeof from, "%s/%s", top, name);
    snprintf(to, sizeof to, "%s/%s", folder, name);
    assert_int_equal(symlink(from, to), 0);
}

static int set_up(void **state)
{
    (void)state;
    assert_non_null(getcwd(top, sizeof top));
    assert_non_null(mkdtemp(folder));
    link_in("scenarios");
    link_in("models");
    link_in("docs");
    const char *program = getenv("POOLWRIGHT");
    char whole[8192], path[16384];
    assert_non_null(realpath(program != NULL ? program : "build/poolwright", whole));
    *strrchr(whole, '/') = '\0';
    snprintf(path, sizeof path, "%s:%s", whole, getenv("PATH"));
    setenv("PATH", path, 1);
    setenv("NO_COLOR", "1", 1);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    char command[128];
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static void run(const char *command, Text *out)
{
    Text shell = {0};
    text_printf(&shell, "cd %s && %s", folder, command);
    FILE *pipe = popen(text_cstr(&shell), "r");
    assert_non_null(pipe);
    char buffer[4096];
    size_t got;
    while ((got = fread(buffer, 1, sizeof buffer, pipe)) > 0)
        text_add_n(out, buffer, got);
    pclose(pipe);
    text_release(&shell);
}

/* Returns the start of the next line. */
static const char *line_end(const char *line)
{
    const char *end = strchr(line, '\n');
    return end != NULL ? end + 1 : line + strlen(line);
}

/* Runs "$ ..." at `line`; compares or replaces what follows; returns where the document goes on. */
static const char *one_command(const char *document, const char *line, bool update, Text *fresh, int *failures)
{
    const char *body = line_end(line), *end = body;
    while (*end != '\0' && strncmp(end, "$ ", 2) != 0 && strncmp(end, "```", 3) != 0)
        end = line_end(end);
    char *command = mem_strndup(line + 2, (size_t)(body - line - 3));
    Text printed = {0};
    run(command, &printed);
    bool same = printed.length == (size_t)(end - body) && strncmp(text_cstr(&printed), body, printed.length) == 0;
    if (!same && !update) {
        fprintf(stderr, "%s: %s\n--- printed:\n%s--- the document says:\n%.*s", document, command, text_cstr(&printed),
                (int)(end - body), body);
        (*failures)++;
    }
    text_add_n(fresh, line, (size_t)(body - line));
    text_add(fresh, text_cstr(&printed));
    text_release(&printed);
    mem_free(command);
    return end;
}

static const char *read_document(Arena *arena, const char *path)
{
    Diags diags;
    size_t length;
    diags_init(&diags);
    const char *text = file_read(arena, path, (SourcePos){0}, &length, &diags);
    assert_non_null(text);
    diags_release(&diags);
    return text;
}

static int one_document(const char *path, int *commands)
{
    Diags diags;
    diags_init(&diags);
    Arena *arena = arena_new();
    const char *text = read_document(arena, path);
    bool update = getenv("UPDATE") != NULL, inside = false;
    int failures = 0;
    Text fresh = {0};
    while (*text != '\0') {
        if (inside && strncmp(text, "$ ", 2) == 0) {
            text = one_command(path, text, update, &fresh, &failures);
            (*commands)++;
            continue;
        }
        if (strncmp(text, "```", 3) == 0)
            inside = !inside && strncmp(text, "```console", 10) == 0;
        const char *next = line_end(text);
        text_add_n(&fresh, text, (size_t)(next - text));
        text = next;
    }
    if (update)
        assert_true(file_write(path, text_cstr(&fresh), fresh.length, &diags));
    text_release(&fresh);
    arena_free(arena);
    diags_release(&diags);
    return failures;
}

enum { MOST_DOCUMENTS = 64, DOCUMENT_PATH = 512 };

/* README.md and the pages; how many. */
static size_t all_documents(char path[MOST_DOCUMENTS][DOCUMENT_PATH])
{
    size_t count = 0;
    snprintf(path[count++], DOCUMENT_PATH, "README.md");
    DIR *docs = opendir("docs");
    assert_non_null(docs);
    for (struct dirent *entry; (entry = readdir(docs)) != NULL;) {
        const size_t length = strlen(entry->d_name);
        if (length < 4 || strcmp(entry->d_name + length - 3, ".md") != 0)
            continue;
        assert_true(count < MOST_DOCUMENTS && length < 256);
        snprintf(path[count++], DOCUMENT_PATH, "docs/%.255s", entry->d_name);
    }
    closedir(docs);
    return count;
}

static void documents_say_what_is_printed(void **state)
{
    (void)state;
    char path[MOST_DOCUMENTS][DOCUMENT_PATH];
    const size_t documents = all_documents(path);
    int commands = 0, failures = 0;
    for (size_t k = 0; k < documents; k++)
        failures += one_document(path[k], &commands);
    assert_true(commands > 0);
    assert_int_equal(failures, 0);
}

/* ---- commands whose answers are not shown ---- */

/* Runs a command of a page or of --help on files that are not there: nothing but that may be wrong with it. */
static int try_command(const char *from, const char *line, size_t length)
{
    char *command = mem_strndup(line, length);
    const char *start = strstr(command, "poolwright ");
    Text changed = {0}, said = {0};
    text_add(&changed, "rm -rf my-pool; ");
    for (const char *at = start; *at != '\0';) {
        if (strncmp(at, "scenarios/", 10) == 0) /* that would take its time */
            text_add(&changed, "no");
        text_add_char(&changed, *at++);
    }
    text_add(&changed, " 2>&1 </dev/null");
    run(text_cstr(&changed), &said);
    const char *error = strstr(text_cstr(&said), "error: ");
    const bool good = error == NULL || strncmp(error, "error: unknown verb", 19) == 0 ||
                      /* a text that begins so */ strncmp(error, "error: found neither a file nor a folder", 40) == 0 ||
                      strncmp(error, "error: cannot read", 18) == 0;
    if (!good)
        fprintf(stderr, "%s: %s\n%s", from, command, text_cstr(&said));
    text_release(&changed);
    text_release(&said);
    mem_free(command);
    return good ? 0 : 1;
}

/* The lines that hold nothing but a command, at least so far indented. Those with [...] are told, not typed. */
static int try_lines(const char *from, const char *text, size_t indent, int *commands)
{
    int failures = 0;
    bool fenced = false;
    for (const char *next; *text != '\0'; text = next) {
        next = line_end(text);
        const size_t length = strcspn(text, "\n"), blanks = strspn(text, " ");
        fenced = fenced != (strncmp(text, "```", 3) == 0);
        if (fenced || blanks < indent || strncmp(text + blanks, "poolwright ", 11) != 0 ||
            memchr(text, '[', length) != NULL || strncmp(text + blanks, "poolwright VERB", 15) == 0)
            continue;
        failures += try_command(from, text, length);
        (*commands)++;
    }
    return failures;
}

static int try_document(const char *path, int *commands)
{
    Arena *arena = arena_new();
    const char *text = read_document(arena, path);
    const int failures = try_lines(path, text, 4, commands);
    arena_free(arena);
    return failures;
}

static void commands_that_are_only_named_are_good(void **state)
{
    (void)state;
    int commands = 0, failures = 0;
    char path[MOST_DOCUMENTS][DOCUMENT_PATH];
    const size_t documents = all_documents(path);
    for (size_t k = 0; k < documents; k++)
        failures += try_document(path[k], &commands);
    assert_true(commands >= 15);
    Text verbs = {0};
    run("poolwright --help | sed -n 's/^  \\([a-z-]*\\)  *[a-zA-Z].*/\\1/p'", &verbs);
    for (char *verb = strtok(verbs.data, "\n"); verb != NULL; verb = strtok(NULL, "\n")) {
        char command[64];
        Text help = {0};
        if (strcmp(verb, "poolwright") == 0)
            continue;
        snprintf(command, sizeof command, "poolwright %s --help", verb);
        run(command, &help);
        const char *examples = strstr(text_cstr(&help), "\nexample:\n");
        assert_non_null(examples);
        failures += try_lines(command, examples, 2, &commands);
        text_release(&help);
    }
    text_release(&verbs);
    assert_true(commands >= 60);
    assert_int_equal(failures, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(documents_say_what_is_printed),
        cmocka_unit_test(commands_that_are_only_named_are_good),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
