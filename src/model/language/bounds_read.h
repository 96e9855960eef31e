/* bounds_read.h - the bounds of a rule or of one of its members. */
#ifndef POOLWRIGHT_MODEL_LANGUAGE_BOUNDS_READ_H
#define POOLWRIGHT_MODEL_LANGUAGE_BOUNDS_READ_H

#include "model/yaml/layers.h"
#include "model/model.h"

/* Reads the draft's values in the measure's unit; checks that they go together and do not contradict each other. False
 * when reported. */
bool bounds_read(const ReadContext *context, const BoundsDraft *draft, Measure measure, Bounds *bounds);

/* The value of `seen`. False when reported. */
bool seen_read(const ReadContext *context, const YamlNode *node, SeenBound *seen);

#endif
