/* yaml_tree.c - the tree is built from libyaml's events rather than by its loader: the loader accepts double keys and
 * alias cycles, takes quadratic time on anchors, and loses the second document. Limits are checked on every event,
 * before anything is composed. */
#include "model/yaml/yaml_tree.h"

#include <string.h>
#include <yaml.h>

#include "base/text.h"
#include "model/yaml/yaml_advice.h"

typedef struct {
    Arena *arena;
    const char *path;
    const char *bytes;
    size_t length;
    yaml_parser_t *parser;
    size_t nodes;
    size_t characters,
        offset; /* the same place counted in characters (as libyaml does) and in bytes; only moves forward */
    Diags *diags;
} Reader;

static SourcePos place(const Reader *reader, const yaml_mark_t *mark)
{
    return (SourcePos){.file = reader->path, .line = (int)mark->line + 1, .column = (int)mark->column + 1};
}

/* In bytes; a mark counts characters. */
static size_t offset_of(const Reader *reader, const yaml_mark_t *mark)
{
    size_t length, at = 0;
    const char *line = yaml_line(reader->bytes, reader->length, mark->line, &length);
    for (size_t left = mark->column; left > 0 && at < length; left--)
        for (at++; at < length && (line[at] & 0xC0) == 0x80;)
            at++;
    return (size_t)(line - reader->bytes) + at;
}

static SourcePos place_of_offset(const Reader *reader, size_t offset)
{
    return source_place(reader->path, reader->bytes, offset < reader->length ? offset : reader->length);
}

static YamlNode *node_new(Arena *arena, NodeKind kind, SourcePos at)
{
    YamlNode *node = arena_alloc(arena, 1, sizeof *node);
    node->kind = kind;
    node->at = at;
    return node;
}

YamlNode *yaml_text_node(Arena *arena, const char *text, SourcePos at)
{
    YamlNode *node = node_new(arena, NODE_TEXT, at);
    node->text = arena_strdup(arena, text);
    node->plain = true;
    return node;
}

YamlNode *yaml_list_node(Arena *arena, SourcePos at)
{
    return node_new(arena, NODE_LIST, at);
}
YamlNode *yaml_map_node(Arena *arena, SourcePos at)
{
    return node_new(arena, NODE_MAP, at);
}

/* The node's items, of this size each, with room for one more. */
static void *with_room(Arena *arena, YamlNode *node, void *items, size_t size)
{
    if (node->count < node->capacity)
        return items;
    node->capacity = node->capacity == 0 ? 4 : node->capacity * 2;
    void *grown = arena_alloc(arena, node->capacity, size);
    if (node->count > 0)
        memcpy(grown, items, node->count * size);
    return grown;
}

void yaml_list_add(Arena *arena, YamlNode *list, YamlNode *item)
{
    list->item = with_room(arena, list, list->item, sizeof *list->item);
    list->item[list->count++] = item;
}

void yaml_map_add(Arena *arena, YamlNode *map, YamlNode *key, YamlNode *value)
{
    map->pair = with_room(arena, map, map->pair, sizeof *map->pair);
    map->pair[map->count++] = (YamlPair){.key = key, .value = value};
}

/* Where a plain scalar ends before " #x", the user may have meant "Card #3": keep what the comment swallowed. */
static const char *swallowed_comment(Reader *reader, size_t end)
{
    while (reader->characters < end && reader->offset < reader->length) {
        reader->offset++;
        while (reader->offset < reader->length && (reader->bytes[reader->offset] & 0xC0) == 0x80)
            reader->offset++;
        reader->characters++;
    }
    size_t at = reader->offset;
    while (at < reader->length && (reader->bytes[at] == ' ' || reader->bytes[at] == '\t'))
        at++;
    if (at == reader->offset || at + 1 >= reader->length || reader->bytes[at] != '#')
        return NULL;
    if (strchr(" \t\r\n#", reader->bytes[at + 1]) != NULL)
        return NULL;
    size_t stop = at;
    while (stop < reader->length && reader->bytes[stop] != '\n' && reader->bytes[stop] != '\r' && stop - at < 40)
        stop++;
    while ((reader->bytes[stop] & 0xC0) == 0x80)
        stop++;
    return arena_strndup(reader->arena, reader->bytes + at, stop - at);
}

static bool has_tab_indent(const Reader *reader, size_t line)
{
    size_t length, at = 0;
    const char *text = yaml_line(reader->bytes, reader->length, line, &length);
    while (at < length && text[at] == ' ')
        at++;
    return at < length && text[at] == '\t';
}

static void report_parser_error(Reader *reader)
{
    const yaml_parser_t *parser = reader->parser;
    if (parser->error == YAML_MEMORY_ERROR)
        mem_exhausted();
    const char *problem = parser->problem != NULL ? parser->problem : "unknown problem";
    if (parser->error == YAML_READER_ERROR) {
        diag_error(reader->diags, place_of_offset(reader, parser->problem_offset), "cannot read this as YAML: %s",
                   problem);
        return;
    }
    const SourcePos at = place(reader, &parser->problem_mark);
    if (has_tab_indent(reader, parser->problem_mark.line)) {
        diag_error(reader->diags, at, "found a tab in front of the text; YAML is indented with spaces");
        return;
    }
    const bool elsewhere = parser->context != NULL && parser->context_mark.line < parser->problem_mark.line;
    const size_t from = elsewhere ? parser->context_mark.line : parser->problem_mark.line;
    size_t offset = offset_of(reader, &parser->problem_mark);
    const char *advice =
        yaml_advice(reader->bytes, reader->length, problem, from, parser->problem_mark.line, &offset, reader->arena);
    if (advice != NULL)
        diag_error(reader->diags, place_of_offset(reader, offset), "cannot read this as YAML: %s", advice);
    else
        diag_error(reader->diags, at, "cannot read this as YAML: %s", problem);
}

static bool next_event(Reader *reader, yaml_event_t *event)
{
    if (yaml_parser_parse(reader->parser, event))
        return true;
    report_parser_error(reader);
    return false;
}

/* What names a node in the document's own syntax is refused: with & * ! in front, a name must be quoted. */
static bool is_allowed(const Reader *reader, const yaml_event_t *event)
{
    const yaml_char_t *anchor = NULL;
    const yaml_char_t *tag = NULL;
    if (event->type == YAML_ALIAS_EVENT) {
        diag_error(reader->diags, place(reader, &event->start_mark),
                   "found '*%s', which is read as an alias; aliases cannot be used here, write the value out "
                   "(or put a name that begins with * in quotes)",
                   (const char *)event->data.alias.anchor);
        return false;
    }
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
    }
    if (anchor != NULL) {
        diag_error(reader->diags, place(reader, &event->start_mark),
                   "found '&%s', which is read as an anchor; anchors cannot be used here, write the value out "
                   "(or put a name that begins with & in quotes)",
                   (const char *)anchor);
        return false;
    }
    if (tag != NULL) {
        diag_error(
            reader->diags, place(reader, &event->start_mark),
            "found '%s', which is read as a tag; tags cannot be used here (put a text that begins with ! in quotes)",
            (const char *)tag);
        return false;
    }
    return true;
}

static YamlNode *build(Reader *reader, yaml_event_t *event, int depth);

static YamlNode *build_text(Reader *reader, const yaml_event_t *event)
{
    YamlNode *node = node_new(reader->arena, NODE_TEXT, place(reader, &event->start_mark));
    node->text = arena_strndup(reader->arena, (const char *)event->data.scalar.value, event->data.scalar.length);
    node->plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    if (strlen(node->text) != event->data.scalar.length) {
        diag_error(reader->diags, node->at, "found a NUL character in a text");
        return NULL;
    }
    if (node->plain)
        node->comment = swallowed_comment(reader, event->end_mark.index);
    return node;
}

static YamlNode *build_list(Reader *reader, const yaml_event_t *start, int depth)
{
    YamlNode *list = node_new(reader->arena, NODE_LIST, place(reader, &start->start_mark));
    for (;;) {
        yaml_event_t event;
        if (!next_event(reader, &event))
            return NULL;
        if (event.type == YAML_SEQUENCE_END_EVENT) {
            yaml_event_delete(&event);
            return list;
        }
        YamlNode *item = build(reader, &event, depth + 1);
        if (item == NULL)
            return NULL;
        yaml_list_add(reader->arena, list, item);
    }
}

static const YamlNode *find_key(const YamlNode *map, const char *text)
{
    for (size_t i = 0; i < map->count; i++) {
        if (strcmp(map->pair[i].key->text, text) == 0)
            return map->pair[i].key;
    }
    return NULL;
}

static YamlNode *build_map(Reader *reader, const yaml_event_t *start, int depth)
{
    YamlNode *map = node_new(reader->arena, NODE_MAP, place(reader, &start->start_mark));
    for (;;) {
        yaml_event_t event;
        if (!next_event(reader, &event))
            return NULL;
        if (event.type == YAML_MAPPING_END_EVENT) {
            yaml_event_delete(&event);
            return map;
        }
        YamlNode *key = build(reader, &event, depth + 1);
        if (key == NULL)
            return NULL;
        if (key->kind != NODE_TEXT) {
            diag_error(reader->diags, key->at, "found %s as a key, expected a word before the colon",
                       yaml_found(key, reader->arena));
            return NULL;
        }
        if (!next_event(reader, &event))
            return NULL;
        YamlNode *value = build(reader, &event, depth + 1);
        if (value == NULL)
            return NULL;
        const YamlNode *first = find_key(map, key->text);
        if (first != NULL) {
            diag_error(reader->diags, key->at, "key '%s' is written twice; it already stands in line %d", key->text,
                       first->at.line);
            continue;
        }
        if (map->count >= 4096) { /* the search above is linear */
            diag_error(reader->diags, key->at, "too many keys in one map: more than 4096");
            return NULL;
        }
        yaml_map_add(reader->arena, map, key, value);
    }
}

/* Takes the event over. NULL: an error was reported and reading stops. */
static YamlNode *build(Reader *reader, yaml_event_t *event, int depth)
{
    YamlNode *node = NULL;
    if (!is_allowed(reader, event)) {
        yaml_event_delete(event);
        return NULL;
    }
    if (depth > YAML_MAX_DEPTH || ++reader->nodes > YAML_MAX_NODES) {
        diag_error(reader->diags, place(reader, &event->start_mark),
                   depth > YAML_MAX_DEPTH ? "lists and maps are nested too deeply: more than %d levels"
                                          : "the file holds too many values: more than %d",
                   depth > YAML_MAX_DEPTH ? YAML_MAX_DEPTH : YAML_MAX_NODES);
        yaml_event_delete(event);
        return NULL;
    }
    if (event->type == YAML_SCALAR_EVENT)
        node = build_text(reader, event);
    if (event->type == YAML_SEQUENCE_START_EVENT)
        node = build_list(reader, event, depth);
    if (event->type == YAML_MAPPING_START_EVENT)
        node = build_map(reader, event, depth);
    yaml_event_delete(event);
    return node;
}

static YamlNode *build_document(Reader *reader)
{
    YamlNode *root = NULL;
    for (;;) {
        yaml_event_t event;
        if (!next_event(reader, &event))
            return NULL;
        const yaml_event_type_t type = event.type;
        if (type == YAML_STREAM_START_EVENT || type == YAML_DOCUMENT_END_EVENT) {
            yaml_event_delete(&event);
        } else if (type == YAML_STREAM_END_EVENT) {
            yaml_event_delete(&event);
            return root;
        } else if (type == YAML_DOCUMENT_START_EVENT) {
            const SourcePos at = place(reader, &event.start_mark);
            yaml_event_delete(&event);
            if (root == NULL)
                continue;
            diag_error(reader->diags, at, "a second document begins here; expected one document in a file");
            return NULL;
        } else {
            root = build(reader, &event, 1);
            if (root == NULL)
                return NULL;
        }
    }
}

/* People save the wrong kind of file under the right name, and two of them a file of both. */
static bool is_plain_text(const Reader *reader)
{
    static const struct {
        const char *first, *what;
    } known[] = {{"PK\x03\x04", "a packed file, as word processors write them"},
                 {"\xD0\xCF\x11\xE0", "a word processor's file"},
                 {"{\\rtf", "a word processor's file"},
                 {"%PDF-", "a PDF file"},
                 {"<!", "a web page or XML"},
                 {"<?xml", "XML"}};
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
        const size_t length = strlen(known[k].first);
        if (reader->length < length || memcmp(reader->bytes, known[k].first, length) != 0)
            continue;
        diag_error(reader->diags, (SourcePos){.file = reader->path}, "found %s, expected plain text: save it as that",
                   known[k].what);
        return false;
    }
    for (const char *line = reader->bytes, *end = line + reader->length; line < end;) {
        if (text_is_merge_mark(line)) {
            diag_error(reader->diags, place_of_offset(reader, (size_t)(line - reader->bytes)),
                       "found the marks of two versions of this file, expected one of them");
            return false;
        }
        const char *next = memchr(line, '\n', (size_t)(end - line));
        line = next != NULL ? next + 1 : end;
    }
    return true;
}

YamlNode *yaml_parse(Arena *arena, const char *path, const char *bytes, size_t length, Diags *diags)
{
    if (length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
        bytes += 3;
        length -= 3;
    }
    Reader reader = {
        .arena = arena, .path = arena_strdup(arena, path), .bytes = bytes, .length = length, .diags = diags};
    if (length > YAML_MAX_BYTES) {
        diag_error(diags, (SourcePos){.file = path}, "the file is too large for YAML: %zu bytes, expected at most %zu",
                   length, YAML_MAX_BYTES);
        return NULL;
    }
    if (!is_plain_text(&reader))
        return NULL;
    const size_t bad = text_utf8_error(bytes, length);
    if (bad < length) {
        if (bytes[bad] == '\0')
            diag_error(
                diags, place_of_offset(&reader, bad),
                "found a byte 0x00, expected text: the file is damaged, or is UTF-16 without a byte order mark; save "
                "it as UTF-8");
        else
            diag_error(diags, place_of_offset(&reader, bad),
                       "found a byte (0x%02X) that is not UTF-8; save the file as UTF-8",
                       (unsigned)(unsigned char)bytes[bad]);
        return NULL;
    }
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser))
        mem_exhausted();
    reader.parser = &parser;
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)bytes, length);
    const size_t errors = diags->errors;
    YamlNode *root = build_document(&reader);
    yaml_parser_delete(&parser);
    if (diags->errors != errors)
        return NULL;
    if (root == NULL || yaml_is_empty(root)) {
        diag_error(diags, (SourcePos){.file = reader.path}, "the file is empty");
        return NULL;
    }
    return root;
}

YamlNode *yaml_read(Arena *arena, FileStore *files, const char *path, SourcePos from, Diags *diags)
{
    size_t length = 0;
    const char *bytes = file_store_read(files, arena, path, from, &length, diags);
    if (bytes == NULL)
        return NULL;
    return yaml_parse(arena, path, bytes, length, diags);
}

YamlNode *yaml_get(const YamlNode *map, const char *key)
{
    if (map == NULL || map->kind != NODE_MAP)
        return NULL;
    for (size_t i = 0; i < map->count; i++) {
        if (strcmp(map->pair[i].key->text, key) == 0)
            return map->pair[i].value;
    }
    return NULL;
}

bool yaml_is_empty(const YamlNode *node)
{
    return node->kind == NODE_TEXT && node->plain && node->text[0] == '\0';
}

const char *yaml_found(const YamlNode *node, Arena *arena)
{
    if (node->kind == NODE_LIST)
        return node->count == 0 ? "an empty list" : "a list";
    if (node->kind == NODE_MAP)
        return node->count == 0 ? "an empty map" : "a map";
    if (yaml_is_empty(node))
        return "nothing";
    const size_t shown = text_prefix(node->text, 60);
    return arena_printf(arena, "'%.*s%s'", (int)shown, node->text, node->text[shown] != '\0' ? "..." : "");
}
