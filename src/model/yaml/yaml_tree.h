/* yaml_tree.h - a YAML file as a tree in which every key and value knows its place.
 * The subset: one document; maps with text keys, lists, text. All scalars stay text (a card may be called No or Off);
 * whoever reads a value decides what it means. Anchors, aliases and tags are refused, so no cycles and no expansion.
 * Method: YAML 1.1 by libyaml's events. */
#ifndef POOLWRIGHT_MODEL_YAML_YAML_TREE_H
#define POOLWRIGHT_MODEL_YAML_YAML_TREE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/files/file_store.h"

#define YAML_MAX_BYTES ((size_t)32 << 20)
#define YAML_MAX_NODES 200000
#define YAML_MAX_DEPTH 24

typedef enum { NODE_TEXT, NODE_LIST, NODE_MAP } NodeKind;

typedef struct YamlNode YamlNode;

typedef struct {
    YamlNode *key; /* always NODE_TEXT */
    YamlNode *value;
} YamlPair;

struct YamlNode {
    NodeKind kind;
    SourcePos at;
    const char *text; /* NODE_TEXT */
    bool plain;       /* NODE_TEXT: written without quotes */
    /* NODE_TEXT, plain: "#3" where a # directly before other text began a comment behind it, else NULL. */
    const char *comment;
    size_t count, capacity;
    YamlNode **item; /* NODE_LIST: [count] */
    YamlPair *pair;  /* NODE_MAP: [count], no key twice */
};

/* Reads the file; `from` is who asked. NULL with errors in diags. The tree and the path's copy live in the arena. */
YamlNode *yaml_read(Arena *arena, FileStore *files, const char *path, SourcePos from, Diags *diags);
/* The same from bytes already there (NUL-terminated at length). */
YamlNode *yaml_parse(Arena *arena, const char *path, const char *bytes, size_t length, Diags *diags);

/* Nodes that no file holds: targets cells, the command line. */
YamlNode *yaml_text_node(Arena *arena, const char *text, SourcePos at);
YamlNode *yaml_list_node(Arena *arena, SourcePos at);
YamlNode *yaml_map_node(Arena *arena, SourcePos at);
void yaml_list_add(Arena *arena, YamlNode *list, YamlNode *item);
void yaml_map_add(Arena *arena, YamlNode *map, YamlNode *key, YamlNode *value);

/* The value under the key, or NULL. */
YamlNode *yaml_get(const YamlNode *map, const char *key);
/* An empty value, as in "keep:" with nothing behind it. */
bool yaml_is_empty(const YamlNode *node);
/* How messages name a node that was not expected: "'text'", "a list", "an empty list", "a map", "an empty map",
 * "nothing". In the arena. */
const char *yaml_found(const YamlNode *node, Arena *arena);

#endif
