/* filter_read.h - filters (`where`, `of`, `fixing`) from YAML. */
#ifndef POOLWRIGHT_MODEL_LANGUAGE_FILTER_READ_H
#define POOLWRIGHT_MODEL_LANGUAGE_FILTER_READ_H

#include "model/model.h"
#include "model/yaml/values.h"

/* Reads the map into *filter, numbers it (Model.filters) and checks what can be checked without cards: class, role,
 * colours, theme, numbers, ranges. without_class: for `fixing`. Needs the model's colours and themes. False when
 * something was reported. */
bool filter_read(const ReadContext *context, Model *model, const YamlNode *node, bool without_class, Filter *filter);

#endif
