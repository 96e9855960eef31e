/* question_tree.h - inside the ask room: a question's JSON as a tree in which every key and value knows its place, as
 * YAML files have it: what reads models and cases reads questions too. true and false are the words, null is nothing.
 */
#ifndef POOLWRIGHT_ASK_QUESTION_TREE_H
#define POOLWRIGHT_ASK_QUESTION_TREE_H

#include <jansson.h>

#include "model/yaml/yaml_tree.h"

#define QUESTION_FILE "question" /* the file of all places in a question */

/* The object in the bytes, and the same as a tree in the arena. NULL with one error. *value is released by the caller
 * (json_decref). */
YamlNode *question_tree(Arena *arena, const char *bytes, size_t length, json_t **value, Diags *diags);
/* "change.rules.removal.at_least": the key or value at the place, or "" if there is none. In the arena. */
const char *question_key(const YamlNode *root, SourcePos at, Arena *arena);

#endif
