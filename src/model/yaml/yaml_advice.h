/* yaml_advice.h - inside the model room: what to do about text that is no YAML. */
#ifndef POOLWRIGHT_MODEL_YAML_YAML_ADVICE_H
#define POOLWRIGHT_MODEL_YAML_YAML_ADVICE_H

#include <stddef.h>

#include "base/memory.h"

/* The line (from 0) of the text; an empty one beyond the end. */
const char *yaml_line(const char *bytes, size_t bytes_length, size_t line, size_t *length);

/* What to do about libyaml's `problem`, met at `*offset` (in bytes) in line `to` (from 0) of the text while it read
 * what began in line `from` <= to; NULL where nothing is known. *offset is moved to what is to blame, if that is
 * elsewhere. In the arena or static. */
const char *yaml_advice(const char *bytes, size_t length, const char *problem, size_t from, size_t to, size_t *offset,
                        Arena *arena);

#endif
