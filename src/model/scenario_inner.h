/* scenario_inner.h - what reading the scenario's file and laying its model share. */
#ifndef POOLWRIGHT_MODEL_SCENARIO_INNER_H
#define POOLWRIGHT_MODEL_SCENARIO_INNER_H

#include "cards/sheet/sheet.h"
#include "model/model_files.h"
#include "model/scenario.h"

/* A scenario while it is read. */
typedef struct {
    ReadContext context;
    Scenario *scenario;
    const Overrides *overrides;
    Slot slot[SCENARIO_KEYS];
    ModelChain chain;
    Sheet *target;
    size_t targets;
} Inputs;

/* scenario_file.c: fills the scenario and inputs->slot from the scenario's file, or from the one cards sheet that the
 * subject names. Errors go to the context's diags. */
void scenario_read_subject(Inputs *inputs, const char *subject);
/* A change of a case or a question is no place for `extends`: an error. */
void scenario_refuse_extends(const Inputs *inputs, const YamlNode *change);

#endif
