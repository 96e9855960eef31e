/* apply.h - `revise --apply`: the present pool's sheet and the journal written anew, both or none. */
#ifndef POOLWRIGHT_VERBS_MONTH_APPLY_H
#define POOLWRIGHT_VERBS_MONTH_APPLY_H

#include "verbs/outputs/outputs.h"
#include "whatif/list/accept.h"

/* Do the options go together? False with errors. */
bool apply_usage_good(Job *job);
/* Names both sheets as outputs, if --apply is given; false with errors where one of them is none that can be written.
 * Before outputs_good. */
bool apply_find(Job *job, const Instance *instance);
/* Adds both to what is written, unless nothing changes. False with errors. */
bool apply_add(Job *job, const Instance *instance, const Accepted *accepted);

#endif
