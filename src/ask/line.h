/* line.h - inside the ask room: answers as lines of JSON. */
#ifndef POOLWRIGHT_ASK_LINE_H
#define POOLWRIGHT_ASK_LINE_H

#include <jansson.h>

#include "base/text.h"
#include "model/yaml/values.h"

/* Errors as a list; root: of the question that they may lie in, or NULL. */
json_t *ask_errors_json(Diags *diags, const YamlNode *root, Arena *arena);
/* Appends the value as one line without a newline, and releases it. */
void ask_add_line(json_t *value, Text *out);

#endif
