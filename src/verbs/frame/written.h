/* written.h - a model and a scenario for sheets that are there: both written into the folder that -o names, or none,
 * and read again. */
#ifndef POOLWRIGHT_VERBS_FRAME_WRITTEN_H
#define POOLWRIGHT_VERBS_FRAME_WRITTEN_H

#include "verbs/outputs/outputs.h"

#define WRITTEN_FILES 2
extern const char *const written_name[WRITTEN_FILES]; /* "model.yaml", "scenario.yaml" */

/* Releases the texts. The exit code; what was written is taken away again where another verb could not read it. */
int write_folder(Job *job, Text *model, Text *scenario);

#endif
