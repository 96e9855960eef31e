/* question_tree.c - see question_tree.h. The library of JSON says whether a line is JSON at all; it does not say where
 * a value stood, so the text is walked once more. The walk trusts what was checked. */
#include "ask/question_tree.h"

#include <string.h>

#include "base/text.h"

typedef struct {
    Arena *arena;
    Diags *diags;
    const char *at, *end;
    int line;
    const char *line_start;
    size_t nodes;
    bool too_much; /* reported */
} Walk;

static SourcePos place(const Walk *w)
{
    return (SourcePos){.file = QUESTION_FILE,
                       .line = w->line,
                       .column = (int)text_characters(w->line_start, (size_t)(w->at - w->line_start)) + 1};
}

static void skip_blanks(Walk *w)
{
    for (; w->at < w->end && strchr(" \t\r\n", *w->at) != NULL; w->at++)
        if (*w->at == '\n') {
            w->line++;
            w->line_start = w->at + 1;
        }
}

/* From the opening to behind the closing quote. */
static void skip_string(Walk *w)
{
    for (w->at++; *w->at != '"'; w->at++)
        w->at += *w->at == '\\';
    w->at++;
}

/* The library knows what escapes mean. */
static const char *string_text(Walk *w)
{
    const char *start = w->at;
    skip_string(w);
    json_t *text = json_loadb(start, (size_t)(w->at - start), JSON_DECODE_ANY, NULL);
    char *copy = arena_strdup(w->arena, text != NULL ? json_string_value(text) : "");
    json_decref(text);
    return copy;
}

static YamlNode *scalar(Walk *w)
{
    const SourcePos at = place(w);
    if (*w->at == '"') {
        YamlNode *quoted = yaml_text_node(w->arena, string_text(w), at);
        quoted->plain = false;
        return quoted;
    }
    const char *start = w->at;
    while (w->at < w->end && strchr(" \t\r\n,]}", *w->at) == NULL)
        w->at++;
    const char *text = arena_strndup(w->arena, start, (size_t)(w->at - start));
    YamlNode *node = yaml_text_node(w->arena, strcmp(text, "null") == 0 ? "" : text, at);
    node->plain = true;
    return node;
}

static YamlNode *walk(Walk *w, int depth);

/* Behind an opening bracket or a comma: is there another item? */
static bool next_item(Walk *w, char closing)
{
    skip_blanks(w);
    if (*w->at == ',') {
        w->at++;
        skip_blanks(w);
    }
    if (*w->at != closing)
        return true;
    w->at++;
    return false;
}

static YamlNode *walk_list(Walk *w, int depth)
{
    YamlNode *list = yaml_list_node(w->arena, place(w));
    w->at++;
    while (!w->too_much && next_item(w, ']'))
        yaml_list_add(w->arena, list, walk(w, depth + 1));
    return list;
}

static YamlNode *walk_map(Walk *w, int depth)
{
    YamlNode *map = yaml_map_node(w->arena, place(w));
    w->at++;
    while (!w->too_much && next_item(w, '}')) {
        YamlNode *key = scalar(w);
        skip_blanks(w);
        w->at++; /* the colon */
        skip_blanks(w);
        yaml_map_add(w->arena, map, key, walk(w, depth + 1));
    }
    return map;
}

static YamlNode *walk(Walk *w, int depth)
{
    if (++w->nodes > YAML_MAX_NODES || depth > YAML_MAX_DEPTH) {
        diag_error(w->diags, place(w), "found %s, expected a question of fewer",
                   depth > YAML_MAX_DEPTH ? "lists and objects nested too deeply" : "too many values");
        w->too_much = true;
        return yaml_text_node(w->arena, "", place(w));
    }
    switch (*w->at) {
    case '[': return walk_list(w, depth);
    case '{': return walk_map(w, depth);
    default: return scalar(w);
    }
}

YamlNode *question_tree(Arena *arena, const char *bytes, size_t length, json_t **value, Diags *diags)
{
    json_error_t error;
    *value = NULL;
    const size_t bad = text_utf8_error(bytes, length);
    if (bad < length) {
        diag_error(diags, (SourcePos){.file = QUESTION_FILE, .line = 1, .column = (int)text_characters(bytes, bad) + 1},
                   "found a byte that is not UTF-8, expected a question in UTF-8");
        return NULL;
    }
    json_t *found = json_loadb(bytes, length, JSON_REJECT_DUPLICATES, &error);
    if (found == NULL) {
        diag_error(diags, (SourcePos){.file = QUESTION_FILE, .line = error.line, .column = error.column},
                   "found no JSON (%s), expected an object such as {\"ask\": \"best\"}", error.text);
        return NULL;
    }
    Walk w = {.arena = arena, .diags = diags, .at = arena_strndup(arena, bytes, length), .line = 1};
    w.end = w.at + length;
    w.line_start = w.at;
    skip_blanks(&w);
    if (*w.at != '{')
        diag_error(diags, place(&w), "found a list, expected an object such as {\"ask\": \"best\"}");
    YamlNode *root = *w.at == '{' ? walk(&w, 1) : NULL;
    if (root != NULL && !w.too_much) {
        *value = found;
        return root;
    }
    json_decref(found);
    return NULL;
}

/* ---- the way to a place ---- */

static bool is_at(const YamlNode *node, SourcePos at)
{
    return node->at.line == at.line && node->at.column == at.column;
}

/* The way below `path`, or NULL. */
static const char *find_key(const YamlNode *node, SourcePos at, const char *path, Arena *arena)
{
    const char *dot = path[0] != '\0' ? "." : "";
    for (size_t i = 0; node->kind != NODE_TEXT && i < node->count; i++) {
        const bool list = node->kind == NODE_LIST;
        const YamlNode *value = list ? node->item[i] : node->pair[i].value;
        const char *way = list ? arena_printf(arena, "%s[%zu]", path, i)
                               : arena_printf(arena, "%s%s%s", path, dot, node->pair[i].key->text);
        if (is_at(value, at) || (!list && is_at(node->pair[i].key, at)))
            return way;
        const char *below = find_key(value, at, way, arena);
        if (below != NULL)
            return below;
    }
    return NULL;
}

const char *question_key(const YamlNode *root, SourcePos at, Arena *arena)
{
    const char *way = root != NULL ? find_key(root, at, "", arena) : NULL;
    return way != NULL ? way : "";
}
