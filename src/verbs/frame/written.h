/* written.h - the files of a new folder, the one that job->options.output names: all of them or none, and nothing that
 * is there is overwritten. */
#ifndef POOLWRIGHT_VERBS_FRAME_WRITTEN_H
#define POOLWRIGHT_VERBS_FRAME_WRITTEN_H

#include "verbs/outputs/outputs.h"

/* text[count] under these names; the texts are released. The exit code. */
int write_folder(Job *job, const char *const *name, Text *text, size_t count);

/* A model and a scenario for sheets that are there. */
enum { FOUND_MODEL, FOUND_SCENARIO, FOUND_FILES };
extern const char *const found_name[FOUND_FILES]; /* "model.yaml", "scenario.yaml" */

/* The same for these two, which are read again: what another verb could not read is taken away, too. */
int write_found(Job *job, Text text[FOUND_FILES]);

#endif
