/* test_page.c - the page as a file: it is well-formed (read by expat, which is not ours), texts of the user's are text,
 * its figures are those of the commands, its files give the same pool elsewhere, and the players' page tells no prices
 * and scores. What happens in a browser is tested in tests/page. */
#include <ctype.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <expat.h>

#include "support/desk.h"

#define PAGE_MOST ((size_t)4 << 20)   /* with the engine */
#define ENGINE_MOST ((size_t)1 << 20) /* as it stands in the page */

/* ---- a page taken apart ---- */

typedef struct {
    char *html; /* all of it */
    size_t length;
    char *still;  /* without what stands in script and style elements */
    json_t *data; /* of the block "pool"; NULL: there is none */
    char *text;   /* what is read: texts of the elements, blanks between cells as "|" */
    size_t text_length, text_room;
    int depth, rows, cells, header; /* of the table that is read */
    bool in_head;
} Page;

static void add_text(Page *page, const char *text, size_t length)
{
    if (page->text_length + length + 1 > page->text_room) {
        page->text_room = 2 * (page->text_length + length + 1);
        page->text = realloc(page->text, page->text_room);
    }
    memcpy(page->text + page->text_length, text, length);
    page->text_length += length;
    page->text[page->text_length] = '\0';
}

/* Elements that the page is made of; nothing that loads, runs or sends. */
static bool is_harmless(const char *element)
{
    static const char *const known[] = {
        "html", "head",  "meta",   "title", "style",  "body",    "main",    "h1",      "h2",     "h3",
        "h4",   "p",     "ol",     "ul",    "li",     "section", "div",     "span",    "bdi",    "strong",
        "em",   "table", "thead",  "tr",    "th",     "td",      "tbody",   "svg",     "rect",   "line",
        "text", "path",  "circle", "g",     "figure", "caption", "details", "summary", "script", "figcaption"};
    for (size_t k = 0; k < sizeof known / sizeof *known; k++)
        if (strcmp(known[k], element) == 0)
            return true;
    return false;
}

static void begin_element(void *context, const char *name, const char **attribute)
{
    Page *page = context;
    if (!is_harmless(name))
        fail_msg("an element <%s>", name);
    for (; *attribute != NULL; attribute += 2)
        if (strncmp(attribute[0], "on", 2) == 0 || strcmp(attribute[0], "style") == 0 ||
            strcmp(attribute[0], "src") == 0 || strcmp(attribute[0], "href") == 0)
            fail_msg("an attribute %s of <%s>", attribute[0], name);
    if (strcmp(name, "thead") == 0) {
        page->header = 0;
        page->in_head = true;
    }
    if (strcmp(name, "tr") == 0)
        page->cells = 0;
    if (strcmp(name, "td") == 0 || strcmp(name, "th") == 0) {
        add_text(page, "|", 1);
        page->cells++;
    }
}

static void end_element(void *context, const char *name)
{
    Page *page = context;
    if (strcmp(name, "thead") == 0)
        page->in_head = false;
    if (strcmp(name, "tr") == 0 && page->in_head)
        page->header = page->cells;
    else if (strcmp(name, "tr") == 0)
        assert_int_equal(page->cells, page->header);
    if (strcmp(name, "tr") == 0 || strcmp(name, "p") == 0 || strcmp(name, "li") == 0)
        add_text(page, "\n", 1);
}

static void read_text(void *context, const char *text, int length)
{
    if (length == 1 && text[0] == '\n') /* between elements */
        return;
    add_text(context, text, (size_t)length);
}

/* Copies the page without the insides of script and style elements. */
static void strip(Page *page)
{
    char *to = page->still = malloc(page->length + 1);
    for (const char *at = page->html; *at != '\0';) {
        const bool script = strncmp(at, "<script", 7) == 0, style = strncmp(at, "<style>", 7) == 0;
        if (script || style) {
            const char *from = strchr(at, '>') + 1, *end = strstr(from, script ? "</script" : "</style");
            assert_non_null(end);
            memcpy(to, at, (size_t)(from - at));
            to += from - at;
            at = end;
        }
        *to++ = *at++;
    }
    *to = '\0';
}

static void read_page(const char *folder, const char *name, Page *page)
{
    static const char block[] = "<script type=\"application/json\" id=\"pool\">";
    *page = (Page){0};
    page->html = folder_read(folder, name, &page->length);
    assert_non_null(page->html);
    assert_int_equal(strlen(page->html), page->length);
    strip(page);
    XML_Parser parser = XML_ParserCreate("UTF-8");
    XML_SetUserData(parser, page);
    XML_SetElementHandler(parser, begin_element, end_element);
    XML_SetCharacterDataHandler(parser, read_text);
    if (XML_Parse(parser, page->still, (int)strlen(page->still), 1) != XML_STATUS_OK)
        fail_msg("%s, line %lu: %s", name, (unsigned long)XML_GetCurrentLineNumber(parser),
                 XML_ErrorString(XML_GetErrorCode(parser)));
    XML_ParserFree(parser);
    const char *data = strstr(page->html, block);
    if (data == NULL)
        return;
    data += strlen(block);
    const char *end = strstr(data, "</script>");
    assert_null(memchr(data, '<', (size_t)(end - data)));
    page->data = json_loadb(data, (size_t)(end - data), 0, NULL);
    assert_non_null(page->data);
}

static void forget_page(Page *page)
{
    json_decref(page->data);
    free(page->html);
    free(page->still);
    free(page->text);
}

static void write_and_read(const char *folder, int code, const char *const *words, Page *page)
{
    Run run;
    run_poolwright(folder, words, NULL, &run);
    desk_expect_code(&run, code, "page");
    run_forget(&run);
    read_page(folder, "pool.html", page);
}

/* ---- figures ---- */

/* The line of a table whose first cell begins with this name; "" when there is none. The result is static. */
static const char *line_of(const Page *page, const char *part, const char *name)
{
    static char line[4000];
    const char *at = strstr(page->text, part);
    char wanted[200];
    snprintf(wanted, sizeof wanted, "\n|%s", name);
    at = at == NULL ? NULL : strstr(at, wanted);
    if (at == NULL)
        return "";
    snprintf(line, sizeof line, "%.*s", (int)strcspn(at + 1, "\n"), at + 1);
    return line;
}

/* The cell of a line, the first being 0. */
static double cell(const char *line, int which)
{
    for (int k = 0; k <= which && line != NULL; k++)
        line = strchr(line + (k > 0), '|');
    assert_non_null(line);
    return strtod(line + 1, NULL);
}

static void sentence_is_that_of_best(const Page *page, const json_t *best)
{
    char sentence[300];
    snprintf(sentence, sizeof sentence, "%d cards, %.2f to buy of %.2f", (int)json_units(best, "size", 1),
             (double)json_units(best, "cost", 100) / 100,
             (double)json_units(json_object_get(best, "money"), "cap", 100) / 100);
    desk_expect(page->text, sentence);
    snprintf(sentence, sizeof sentence, "Fit %.15g: proven", (double)json_units(best, "fit", 1000) / 1000);
    desk_expect(page->text, sentence);
}

/* Counted by the page from the cards; by `what-if` from the programme's instance. */
static void themes_are_those_of_what_if(const Page *page, const json_t *what_if)
{
    const json_t *base = json_array_get(json_object_get(what_if, "cases"), 0),
                 *themes = json_object_get(base, "themes");
    assert_true(json_array_size(themes) > 0);
    for (size_t k = 0; k < json_array_size(themes); k++) {
        const json_t *theme = json_array_get(themes, k);
        const char *name = json_text(theme, "name"), *line = line_of(page, "Is each theme deep enough?", name);
        assert_int_equal((int)cell(line, 2), json_units(theme, "cards", 1));
        assert_int_equal(llround(1000 * cell(line, 7)), json_units(theme, "strength", 1000));
        const bool weakest = strstr(line, "weakest") != NULL;
        assert_int_equal(weakest, strcmp(json_text(base, "weakest"), name) == 0);
    }
}

static void money_adds_up(const Page *page, const json_t *best)
{
    double all = 0;
    const char *at = strstr(page->text, "Money by section");
    assert_non_null(at);
    at = strchr(at, '\n') + 1; /* behind the headers */
    for (; *at == '|'; at = strchr(at, '\n') + 1)
        all += cell(at, 3);
    assert_int_equal(llround(100 * all), json_units(best, "cost", 100));
}

static void limits_are_those_of_best(const Page *page, const json_t *best)
{
    size_t index;
    json_t *rule;
    json_array_foreach(json_object_get(best, "rules"), index, rule)
    {
        const char *kind = json_text(rule, "kind"), *of = json_text(rule, "of"), *name = json_text(rule, "name");
        char wanted[300];
        if (strcmp(kind, "rule") != 0)
            continue;
        snprintf(wanted, sizeof wanted, of[0] != '\0' && strstr(name, of) == NULL ? "%s (%s)" : "%s", name, of);
        const char *line = line_of(page, "Limits that cost fit", wanted);
        if (line[0] == '\0')
            fail_msg("no limit '%s'", wanted);
        assert_true(fabs(cell(line, 2) - json_number_value(json_object_get(rule, "use"))) < 0.0006);
    }
}

static void figures_are_those_of_the_commands(void **state)
{
    (void)state;
    if (sanitised_share(3) < 3) /* reasons for whole scenarios: what writes the page is run by the others */
        skip();
    char *folder = folder_new(), path[4000], subject[4000];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    assert_non_null(realpath("scenarios/small", subject));
    desk_run(".", &run, 0, WORDS("page", subject, "-o", path));
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    desk_run(".", &run, 0, WORDS("best", subject, "--json"));
    json_t *best = run_json(&run);
    run_forget(&run);
    desk_run(".", &run, 0, WORDS("what-if", subject, "--cases", "--json"));
    json_t *what_if = run_json(&run);
    run_forget(&run);
    sentence_is_that_of_best(&page, best);
    themes_are_those_of_what_if(&page, what_if);
    money_adds_up(&page, best);
    limits_are_those_of_best(&page, best);
    assert_true(json_equal(json_object_get(json_object_get(page.data, "best"), "pool"), json_object_get(best, "pool")));
    assert_true(page.length < PAGE_MOST);
    json_decref(best);
    json_decref(what_if);
    forget_page(&page);
    desk_done(folder);
}

/* The demo, with little effort: how large its page is does not hang on how much was proven. */
static void the_demo_fits(void **state)
{
    (void)state;
    if (sanitised_share(3) < 3) /* reasons for whole scenarios: what writes the page is run by the others */
        skip();
    char *folder = folder_new(), path[4000];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    run_poolwright(".", WORDS("page", "scenarios/demo", "--effort", "20k", "-o", path), NULL, &run);
    if (run.code != 3)
        desk_expect_code(&run, 0, "page of the demo");
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    const size_t without = strstr(page.html, "id=\"engine-wasm\"") != NULL ? 0 : ENGINE_MOST;
    if (page.length + without >= PAGE_MOST)
        fail_msg("%zu bytes, and %zu for the engine", page.length, without);
    forget_page(&page);
    desk_done(folder);
}

/* ---- hostile texts ---- */

#define BREAKS "</script><script>alert(1)</script>"
#define LOADS "<img src=x onerror=alert(1)>"
#define QUOTES "\"' onload='alert(1)' & &lt;b&gt; <!--"
#define TURNS "\xE2\x80\xAEnrut"

/* As a cell of a CSV file. */
static void add_cell(char *line, const char *text)
{
    char *to = line + strlen(line);
    *to++ = '"';
    for (; *text != '\0'; text++) {
        if (*text == '"')
            *to++ = '"';
        *to++ = *text;
    }
    *to++ = '"';
    *to = '\0';
}

static void texts_are_text(void **state)
{
    (void)state;
    static const char *const names[] = {BREAKS, LOADS, QUOTES, TURNS, "Plain"};
    char cards[4096] = "name,colours,kind,cost,power,price,tags,text,status\n";
    for (size_t k = 0; k < 5; k++) {
        add_cell(cards, names[k]);
        sprintf(cards + strlen(cards), ",%s,", k % 2 == 0 ? "rye" : "teal");
        add_cell(cards, LOADS);
        sprintf(cards + strlen(cards), ",%zu,%zu,1.50,t payoff 2,", k, 5 - k);
        add_cell(cards, BREAKS " &amp; 'x'");
        strcat(cards, k == 4 ? ",wish\n" : ",keep\n");
    }
    char *folder =
        desk_folder("spending_cap: 20\n", "cases:\n  - {name: \"" LOADS "\", change: {spending_cap: 9}}\n", cards);
    folder_print(folder, "model.yaml",
                 "size: 4\ncolours: [rye, teal]\nthemes:\n  - {name: t, colours: rye}\nspending_cap: 20\n"
                 "rules:\n  - {name: \"" LOADS "</title></style>\", at_most: 3, where: {colours: rye}}\n");
    Page page;
    write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    for (size_t k = 0; k < 5; k++)
        desk_expect(page.text, names[k]);
    desk_expect(page.text, LOADS "</title></style>");
    desk_expect(page.text, BREAKS " &amp; 'x'");
    const json_t *pool = json_object_get(json_object_get(page.data, "best"), "pool");
    assert_int_equal(json_array_size(pool), 4);
    forget_page(&page);

    write_and_read(folder, 0, WORDS("page", "scenario.yaml", "--drafters", "-o", "pool.html"), &page);
    for (size_t k = 0; k < 4; k++)
        desk_expect(page.text, names[k]);
    forget_page(&page);
    desk_done(folder);
}

/* HTML has no control characters: a name with one (sheets refuse most of them, YAML does not) is shown with its
 * picture.
 */
static void control_characters_are_shown(void **state)
{
    (void)state;
    char *folder = desk_folder("", "cases:\n  - {name: \"a\\x01\\x7F\\x85\\uFFFEz\", change: {spending_cap: 9}}\n",
                               "name,colours,price\nOne,rye,1\nTwo,teal,1\n");
    Page page;
    write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    desk_expect(page.text, "|a\xE2\x90\x81\xE2\x90\xA1\xEF\xBF\xBD\xEF\xBF\xBDz|");
    forget_page(&page);
    desk_done(folder);
}

/* ---- the page's files ---- */

static void write_files(const char *folder, const json_t *files)
{
    const char *path;
    json_t *file;
    json_object_foreach((json_t *)(uintptr_t)files, path, file)
    {
        assert_true(path[0] != '/' && strstr(path, "..") == NULL);
        if (json_is_string(file))
            folder_write(folder, path, json_string_value(file), json_string_length(file));
        else {
            char command[4600];
            folder_print(folder, "bytes.base64", json_text(file, "base64"));
            folder_print(folder, path, "");
            snprintf(command, sizeof command, "base64 -d '%s/bytes.base64' > '%s/%s'", folder, folder, path);
            assert_int_equal(system(command), 0);
        }
    }
}

/* What is in the page is all that it takes, and gives the same pool. */
static void expect_same_elsewhere(const char *folder, const Page *page)
{
    char *other = folder_new();
    Run run;
    write_files(other, json_object_get(page->data, "files"));
    desk_run(other, &run, 0, WORDS("best", json_text(page->data, "main"), "--json"));
    json_t *best = run_json(&run);
    run_forget(&run);
    const json_t *kept = json_object_get(page->data, "best");
    assert_true(json_equal(json_object_get(kept, "pool"), json_object_get(best, "pool")));
    assert_true(json_equal(json_object_get(kept, "rules"), json_object_get(best, "rules")));
    if (strstr(page->html, folder) != NULL)
        fail_msg("the page tells where it was made: %s", folder);
    json_decref(best);
    desk_done(other);
}

static void files_give_the_same_pool_elsewhere(void **state)
{
    (void)state;
    char *folder = folder_new(), path[4200], subject[4200];
    Page page;
    folder_print(folder, "rules/base.yaml", "size: 2\ncolours: [rye, teal]\nspending_cap: 6\n");
    folder_print(folder, "rules/mine.yaml",
                 "extends: base.yaml\nrules:\n  - {name: rye cards, at_most: 1, where: {colours: rye}}\n");
    folder_print(folder, "pools/this/scenario.yaml",
                 "model: ../../rules/mine.yaml\ncards: [cards.csv, more.txt]\nprices: [../prices.csv]\n"
                 "targets: [targets.csv]\npool: pool.csv\ncases:\n  - {name: more, files: [extra.csv]}\n");
    folder_print(folder, "pools/this/cards.csv", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\n");
    folder_print(folder, "pools/this/more.txt", "name;colours;power;price\nCaf\xE9;teal;9;5\n"); /* Windows-1252 */
    folder_print(folder, "pools/this/extra.csv", "name,colours,power,price\nThree,teal,9,1\n");
    folder_print(folder, "pools/this/targets.csv", "rule,all\nrye cards,-2\n");
    folder_print(folder, "pools/this/pool.csv", "name\nOne\nTwo\n");
    folder_print(folder, "pools/prices.csv", "name,price\nOne,1.25\nTwo,1.5\n");
    snprintf(subject, sizeof subject, "%s/pools/this", folder); /* named by its whole path */
    snprintf(path, sizeof path, "%s/pool.html", folder);
    Run run;
    desk_run("/", &run, 0, WORDS("page", subject, "-o", path));
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    assert_string_equal(json_text(page.data, "main"), "pools/this/scenario.yaml");
    assert_int_equal(json_object_size(json_object_get(page.data, "files")), 9);
    expect_same_elsewhere(folder, &page);
    forget_page(&page);
    desk_done(folder);
}

/* A preset lies elsewhere on the machine; in the page it is found by its name all the same. */
static void presets_come_along(void **state)
{
    (void)state;
    char *folder = folder_new(), text[400], subject[4200], path[4200];
    Page page;
    folder_print(folder, "my pool/scenario.yaml", "model: four-180\ncards: [cards.csv]\n");
    snprintf(text, sizeof text, "name,colours,power,price,wording\nOne,brass,3,1,\nTwo,tar,2,1,\nThree,tar,5,1,\n");
    folder_print(folder, "my pool/cards.csv", text);
    Run run;
    snprintf(subject, sizeof subject, "%s/my pool", folder);
    snprintf(path, sizeof path, "%s/pool.html", folder);
    run_poolwright(".", WORDS("page", subject, "-o", path), NULL, &run); /* here, where the models are */
    desk_expect_code(&run, 1, "page");                                   /* three cards are too few for the preset */
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    const json_t *files = json_object_get(page.data, "files");
    assert_non_null(json_object_get(files, "models/four-180.yaml"));
    assert_non_null(json_object_get(files, "models/four-base.yaml"));
    assert_non_null(json_object_get(files, "scenario.yaml"));
    assert_int_equal(json_object_size(files), 4);
    assert_null(strstr(page.html, "/models/four-180.yaml")); /* but by its path in the page */
    assert_null(strstr(page.html, folder));
    forget_page(&page);
    desk_done(folder);
}

/* A cards sheet, here a workbook, gets a scenario of its own. */
static void a_sheet_will_do(void **state)
{
    (void)state;
    char *folder = folder_new(), *model, text[8192];
    size_t length;
    char *book = folder_read("tests/data/workbooks", "openpyxl.xlsx", &length);
    model = folder_read("tests/data/workbooks", "model.yaml", NULL);
    assert_non_null(book);
    folder_write(folder, "list.xlsx", book, length);
    snprintf(text, sizeof text, "%sunpriced: skip\n", model);
    folder_print(folder, "model.yaml", text);
    Run run;
    run_poolwright(folder,
                   WORDS("page", "list.xlsx#cards", "--model", "model.yaml", "--cap", "12.50", "-o", "pool.html"), NULL,
                   &run);
    desk_expect_code(&run, 0, "page");
    run_forget(&run);
    Page page;
    read_page(folder, "pool.html", &page);
    assert_string_equal(json_text(page.data, "main"), "scenario.yaml");
    assert_true(json_is_object(json_object_get(json_object_get(page.data, "files"), "list.xlsx")));
    desk_expect(page.text, " of 12.50");
    forget_page(&page);
    free(book);
    free(model);
    desk_done(folder);
}

/* ---- the same again ---- */

static void same_files_same_bytes(void **state)
{
    (void)state;
    char *folder =
        desk_folder("spending_cap: 5\n", "", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\nThree,rye,2,2\n");
    Run run;
    size_t length, other;
    desk_run(folder, &run, 0, WORDS("page", "scenario.yaml", "--threads", "1", "-o", "pool.html"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("page", ".", "--threads", "2", "-o", "again.html"));
    run_forget(&run);
    char *first = folder_read(folder, "pool.html", &length), *second = folder_read(folder, "again.html", &other);
    assert_int_equal(length, other);
    assert_memory_equal(first, second, length);
    free(first);
    free(second);
    desk_done(folder);
}

/* ---- the policy ---- */

/* The SHA-256 of the text as base64, by coreutils. */
static void hash_text(const char *folder, const char *text, size_t length, char hash[64])
{
    char command[4500];
    folder_write(folder, "hashed", text, length);
    snprintf(command, sizeof command, "sha256sum '%s/hashed' | cut -c1-64 | tr a-f A-F | basenc --base16 -d | base64",
             folder);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    assert_non_null(fgets(hash, 64, pipe));
    assert_int_equal(pclose(pipe), 0);
    hash[strcspn(hash, "\n")] = '\0';
}

static void expect_hash(const char *folder, const Page *page, const char *tag, const char *end, const char *directive)
{
    char hash[64], wanted[200];
    const char *from = strstr(page->html, tag);
    assert_non_null(from);
    from += strlen(tag);
    hash_text(folder, from, (size_t)(strstr(from, end) - from), hash);
    snprintf(wanted, sizeof wanted, "%s 'sha256-%s'", directive, hash);
    desk_expect(page->still, wanted);
}

static void policy_names_script_and_style(void **state)
{
    (void)state;
    static const char *const kinds[] = {NULL, "--drafters"};
    char *folder = desk_folder("", "", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\n");
    for (size_t k = 0; k < 2; k++) {
        Page page;
        write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html", kinds[k]), &page);
        desk_expect(page.still, "content=\"default-src 'none'; ");
        assert_null(strstr(page.still, "unsafe-inline"));
        assert_null(strstr(page.still, "unsafe-eval'") != NULL && strstr(page.html, "engine-wasm") == NULL ? "" : NULL);
        expect_hash(folder, &page, "<style>", "</style>", "style-src");
        expect_hash(folder, &page, "<script>", "</script>", "script-src");
        forget_page(&page);
    }
    desk_done(folder);
}

/* ---- for the players ---- */

static void players_see_no_prices_and_scores(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 123.45\n", "",
                               "name,colours,cost,power,price,tags,text,owned\n"
                               "One,rye,2,7.77,31.31,t payoff 2.625,Draw a card.,0\n"
                               "Two,rye+teal,3,6.66,42.42,t enabler 1.375,Discard a card.,0\n"
                               "Three,teal,4,5.55,53.53,,,0\n");
    static const char *const secrets[] = {"7.77",  "6.66",  "31.31",  "42.42", "123.45", "73.73",
                                          "2.625", "1.375", "10.395", "8.035", "18.43"};
    Page page;
    write_and_read(folder, 0, WORDS("page", ".", "--drafters", "-o", "pool.html"), &page);
    for (size_t k = 0; k < sizeof secrets / sizeof *secrets; k++)
        if (strstr(page.html, secrets[k]) != NULL)
            fail_msg("the players' page has %s", secrets[k]);
    assert_null(page.data);
    assert_null(strstr(page.html, "wasm"));
    assert_null(strstr(page.still, "price"));
    assert_null(strstr(page.still, "power"));
    desk_expect(page.text, "|One|rye|2|Draw a card.|");
    desk_expect(page.text, "Look for One.");
    forget_page(&page);
    /* The other page has them. */
    write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "31.31");
    desk_expect(page.text, "123.45");
    assert_int_equal((int)cell(line_of(&page, "Is each theme deep enough?", "t"), 2), 1); /* Two cannot be played */
    forget_page(&page);
    desk_done(folder);
}

/* ---- others ---- */

static void without_a_scenario(void **state)
{
    (void)state;
    char *folder = folder_new(), path[4200];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    desk_run(".", &run, 0, WORDS("page", "-o", path));
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    assert_null(json_object_get(page.data, "best"));
    assert_string_equal(json_text(page.data, "main"), "");
    assert_non_null(json_object_get(json_object_get(page.data, "files"), "models/four-360.yaml"));
    assert_true(json_array_size(json_object_get(json_object_get(page.data, "words"), "words")) > 10);
    forget_page(&page);
    desk_done(folder);
}

static void nothing_fits(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 3\n", "", "name,colours,power,price\nOne,rye,3,2\nTwo,teal,2,2\n");
    Page page;
    write_and_read(folder, 1, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "No pool meets all limits.");
    desk_expect(page.text, "A pool needs a cap of 4.00.");
    forget_page(&page);
    desk_done(folder);
}

/* After a signal, or with next to no effort, the page says what it does not have; what is not proven is not said. */
static void what_was_stopped_is_said(void **state)
{
    (void)state;
    char *folder = folder_new(), path[4200];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    setenv("POOLWRIGHT_TEST_SIGNAL", "15@pool", 1);
    run_poolwright(".", WORDS("page", "scenarios/small", "-o", path), NULL, &run);
    unsetenv("POOLWRIGHT_TEST_SIGNAL");
    desk_expect_code(&run, 3, "page, stopped");
    desk_expect(run.err, "stopped: the page has what was found until then");
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    desk_expect(page.text, "Writing this page was stopped early");
    assert_null(json_object_get(page.data, "caps"));
    if (strcmp(json_text(json_object_get(page.data, "best"), "status"), "best") != 0)
        assert_null(strstr(page.text, "proven that no pool"));
    forget_page(&page);

    run_poolwright(".", WORDS("page", "scenarios/demo", "--effort", "1", "-o", path), NULL, &run);
    desk_expect_code(&run, 3, "page, without effort");
    run_forget(&run);
    read_page(folder, "pool.html", &page);
    if (json_array_size(json_object_get(json_object_get(page.data, "best"), "pool")) == 0)
        desk_expect(page.text, "No pool was found before the search was stopped");
    assert_null(strstr(page.text, "No pool meets all limits"));
    assert_null(strstr(page.text, "proven that no pool"));
    forget_page(&page);
    desk_done(folder);
}

static void mistakes_are_told(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\n");
    static const struct {
        const char *const words[6];
        const char *told;
    } tries[] = {
        {{"page", ".", NULL}, "expected -o FILE, such as -o pool.html"},
        {{"page", ".", "-o", "cards.csv", NULL}, "'cards.csv' is read by this scenario"},
        {{"page", ".", "-o", "a.html", "--cap=3", NULL}, "--cap goes with a cards sheet only"},
        {{"page", ".", "-o", "a.html", "--size=3", NULL}, "--size does not go with page"},
        {{"page", "-", "-o", "a.html", NULL}, "cannot come from standard input"},
        {{"page", "--drafters", "-o", "a.html", NULL}, "--drafters: expected a scenario or a cards sheet"},
        {{"page", "nowhere", "-o", "a.html", NULL}, "nowhere"},
    };
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        Run run;
        run_poolwright(folder, tries[k].words, NULL, &run);
        desk_expect_code(&run, 2, tries[k].told);
        desk_expect(run.err, tries[k].told);
        assert_false(folder_has(folder, "a.html"));
        run_forget(&run);
    }
    desk_done(folder);
}

/* ---- what makes one script of many modules ---- */

static int join(const char *folder, Run *run)
{
    char script[4096];
    assert_non_null(realpath("src/page/join", script));
    run_program("perl", folder, WORDS(script, "main.js"), run);
    return run->code;
}

static void modules_are_joined(void **state)
{
    (void)state;
    static const struct {
        const char *main, *other, *told; /* told NULL: it is joined */
    } tries[] = {
        {"import { two } from \"./other.js\";\nconst one = two;\n", "export const two = 2;\n", NULL},
        {"import { two } from \"./other.js\";\nconst two = 1;\n", "export const two = 2;\n", "'two' is declared in"},
        {"import { three } from \"./other.js\";\n", "export const two = 2;\n", "does not declare 'three'"},
        {"import two from \"./other.js\";\n", "export const two = 2;\n", "main.js:1:"},
        {"import { two as one } from \"./other.js\";\n", "export const two = 2;\n", "under another name"},
        {"import { two } from \"./other.js\";\n", "export default 2;\n", "expected export before a declaration"},
        {"import { two } from \"./other.js\";\n", "export const two = '<!--';\n", "'<!--'"},
        {"import { two } from \"./another.js\";\n", "", "another.js"},
    };
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        char *folder = folder_new();
        Run run;
        folder_print(folder, "main.js", tries[k].main);
        folder_print(folder, "other.js", tries[k].other);
        const int code = join(folder, &run);
        if (tries[k].told == NULL) {
            assert_int_equal(code, 0);
            const char *first = strstr(run.out, "const two = 2;"), *second = strstr(run.out, "const one = two;");
            assert_true(first != NULL && second != NULL && first < second);
            assert_null(strstr(run.out, "import"));
        } else {
            assert_int_not_equal(code, 0);
            desk_expect(run.err, tries[k].told);
        }
        run_forget(&run);
        desk_done(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_are_those_of_the_commands),
        cmocka_unit_test(the_demo_fits),
        cmocka_unit_test(texts_are_text),
        cmocka_unit_test(control_characters_are_shown),
        cmocka_unit_test(files_give_the_same_pool_elsewhere),
        cmocka_unit_test(presets_come_along),
        cmocka_unit_test(a_sheet_will_do),
        cmocka_unit_test(same_files_same_bytes),
        cmocka_unit_test(policy_names_script_and_style),
        cmocka_unit_test(players_see_no_prices_and_scores),
        cmocka_unit_test(without_a_scenario),
        cmocka_unit_test(nothing_fits),
        cmocka_unit_test(what_was_stopped_is_said),
        cmocka_unit_test(mistakes_are_told),
        cmocka_unit_test(modules_are_joined),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
