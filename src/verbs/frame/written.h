/* written.h - the files of a new folder, the one that job->options.output names: all of them or none, and nothing that
 * is there is overwritten. */
#ifndef POOLWRIGHT_VERBS_FRAME_WRITTEN_H
#define POOLWRIGHT_VERBS_FRAME_WRITTEN_H

#include "intake/intake.h"
#include "verbs/outputs/outputs.h"

/* text[count] under these names; the texts are released. The exit code. */
int write_folder(Job *job, const char *const *name, Text *text, size_t count);

/* A model and a scenario for sheets that are there. */
enum { FOUND_MODEL, FOUND_SCENARIO, FOUND_FILES };

/* Will the sheet still be there when the scenario is read? Not a pipe: false with an error. */
bool can_be_named(Job *job, const char *path);

/* The same for these two, which are read again: what another verb could not read is taken away, too. */
int write_found(Job *job, Text text[FOUND_FILES]);

/* What was found in the sheets, and the two files where a folder is named. False: it could not be written as JSON. */
bool found_json(const Job *job, const Intake *intake, Text *out);

#endif
