/* page.c - see page.h. The file from top to bottom: a policy that forbids every connection, the style, the answers as
 * HTML, the same as JSON with the scenario's files, the engine, the script.
 *
 * Scripts and the style are known to the policy by their hashes; blocks of data are not scripts and need none, so that
 * the page can write itself again with other data in them. */
#include "page/page.h"

#include <stdlib.h>
#include <string.h>

#include "page/frame.h"
#include "page/parts/static_parts.h"

/* ---- data ---- */

static void add_string(const char *bytes, size_t length, Text *out)
{
    json_t *string = json_stringn(bytes, length);
    char *text = json_dumps(string, JSON_ENCODE_ANY);
    if (text == NULL)
        mem_exhausted();
    html_json(out, text, strlen(text));
    free(text);
    json_decref(string);
}

/* Text as it is, all else as bytes. */
static void add_file(const PageFile *file, Text *out)
{
    add_string(file->path, strlen(file->path), out);
    text_add(out, ":");
    if (text_utf8_error(file->bytes, file->length) == file->length) {
        add_string(file->bytes, file->length, out);
        return;
    }
    text_add(out, "{\"base64\":\"");
    text_add_base64(out, file->bytes, file->length);
    text_add(out, "\"}");
}

/* Answers as they came, line breaks between their values apart. */
static void add_answer(const char *key, const char *answer, Text *out)
{
    if (answer == NULL)
        return;
    text_printf(out, ",\n\"%s\":", key);
    html_json(out, answer, strlen(answer));
}

static void add_data(const PageParts *parts, Text *out)
{
    text_add(out, "<script type=\"application/json\" id=\"pool\">{\"files\":{");
    for (size_t k = 0; k < parts->files; k++) {
        text_add(out, k > 0 ? ",\n" : "\n");
        add_file(&parts->file[k], out);
    }
    text_add(out, "},\n\"main\":");
    add_string(parts->main != NULL ? parts->main : "", parts->main != NULL ? strlen(parts->main) : 0, out);
    add_answer("model", parts->model, out);
    add_answer("cards", parts->cards, out);
    add_answer("best", parts->best, out);
    add_answer("caps", parts->caps, out);
    add_answer("cases", parts->cases, out);
    add_answer("revise", parts->revise, out);
    add_answer("words", parts->words, out);
    add_answer("seats", parts->seats, out);
    text_add(out, ",\n\"history\":[],\"marks\":{}}</script>\n");
}

static void add_bytes(const char *id, const char *bytes, size_t length, Text *out)
{
    html(out, "<script type=\"application/octet-stream;base64\" id=\"%s\">", id);
    text_add_base64(out, bytes, length);
    text_add(out, "</script>\n");
}

/* ---- what is read without scripts ---- */

static void add_parts(PageData *data, const PageParts *parts, Text *out)
{
    html(out, "<main id=\"static\" class=\"of-%d\">\n<h1>%s</h1>\n", data->colours, parts->title);
    if (parts->engine == NULL)
        text_add(out,
                 "<p class=\"quiet\">This page shows a pool, but it was written without the engine: nothing can be "
                 "tried out on it.</p>\n");
    if (parts->stopped)
        text_add(out, "<p>Writing this page was stopped early: reasons are there in part, and what had not been asked "
                      "yet (cases, what more money buys, few swaps) is missing.</p>\n");
    first_part(data, out);
    if (data->count > 0) {
        themes_part(data, out);
        colours_part(data, out);
        seats_part(data, out);
        structure_part(data, out);
        limits_part(data, out);
        wishes_part(data, out);
        money_part(data, out);
    }
    frontier_part(data, out);
    cases_part(data, out);
    if (data->count > 0) {
        changes_part(data, out);
        shopping_part(data, out);
        list_part(data, out);
    }
    text_add(out, "</main>\n");
}

static void add_beginning(const PageParts *parts, Text *out)
{
    html(out, "<main id=\"static\">\n<h1>%s</h1>\n", parts->title);
    if (parts->engine == NULL)
        text_add(out, "<p>This page was written without the engine: it cannot choose a pool.</p>\n");
    text_add(out, "<p>Here sheets of cards can be dropped (.csv, .xlsx, .ods), or the folder of a scenario, and a pool "
                  "is chosen on this machine: nothing leaves it. That takes scripts, which this browser does not "
                  "run.</p>\n</main>\n");
}

bool page_write(const PageParts *parts, Arena *arena, Text *out, const char **why)
{
    PageData data;
    const bool good = page_data_read(parts, &data, why);
    if (good) {
        page_head(parts->title, &asset_style, &asset_app, parts->engine != NULL, out);
        if (parts->best != NULL)
            add_parts(&data, parts, out);
        else
            add_beginning(parts, out);
        add_data(parts, out);
        if (parts->engine != NULL) {
            add_bytes("engine-wasm", parts->engine, parts->engine_length, out);
            add_bytes("engine-glue", parts->glue, parts->glue_length, out);
        }
        page_script(&asset_app, out);
    } else
        *why = arena_printf(arena, "what was answered about '%s' is not JSON", *why);
    page_data_release(&data);
    return good;
}
