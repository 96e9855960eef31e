/* filter_read.h - filters (`where`, `of`, `fixing`) from YAML. */
#ifndef POOLWRIGHT_MODEL_FILTER_READ_H
#define POOLWRIGHT_MODEL_FILTER_READ_H

#include "model/model.h"
#include "model/yaml/values.h"

/* Reads the map into *filter, numbers it (Model.filters) and checks what can be checked without cards: class, role,
 * colours, theme, numbers, ranges. without_class: for `fixing`. Needs the model's colours and themes. False when
 * something was reported. */
bool filter_read(const ReadContext *context, Model *model, const YamlNode *node, bool without_class, Filter *filter);
/* The field of the table (filter_fields, measure_words) with this name, or that the model's columns say is found under
 * this header: `Preis`, where that is the header of prices, is price. -1: none. */
int field_of_header(const Model *model, const FieldTable *table, const char *word);

#endif
