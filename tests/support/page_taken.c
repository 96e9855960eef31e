#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <expat.h>

#include "desk.h"
#include "page_taken.h"

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

void page_read(const char *folder, const char *name, Page *page)
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

void page_forget(Page *page)
{
    json_decref(page->data);
    free(page->html);
    free(page->still);
    free(page->text);
}

void page_write_and_read(const char *folder, int code, const char *const *words, Page *page)
{
    Run run;
    run_poolwright(folder, words, NULL, &run);
    desk_expect_code(&run, code, "page");
    run_forget(&run);
    page_read(folder, "pool.html", page);
}
