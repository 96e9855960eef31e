/* outputs.h - the files a verb writes: all of them looked at before its search, and written together after it. */
#ifndef POOLWRIGHT_VERBS_OUTPUTS_OUTPUTS_H
#define POOLWRIGHT_VERBS_OUTPUTS_OUTPUTS_H

#include "verbs/frame/job.h"

/* What the command line alone says about outputs. False with errors. */
bool outputs_go_together(Job *job);
/* Before a search, with the files read: none of the outputs is read by this run, no two are one, and each can be
 * written as far as one can know. False with errors and the exit code in *code, which is unchanged otherwise. */
bool outputs_good(Job *job, const Scenario *scenario, int *code);

/* After it. The text is written beside its file; the text is released. path NULL: nothing to do. */
void output_add(Job *job, const char *path, Text *text);
/* The same for a sheet written for these candidates: where the path ends in .xlsx as a workbook whose sheet has this
 * title. */
void output_add_sheet(Job *job, const char *path, const char *title, const Instance *instance, Text *text);
/* The answer's pool where -o says: as a sheet, or as a workbook of several. all: cards that are not in it too. */
void output_add_pool(Job *job, const Instance *instance, const Answer *answer, bool all);
/* All that was added, or none of it. False with errors that name what is not written. */
bool outputs_commit(Job *job);
/* The folder that -o names, made if it is not there; false with an error, and nothing added will be written. */
bool output_folder(Job *job);
/* A name in it. */
const char *output_in_folder(Job *job, const char *name);
/* The answer's pool (NULL or none: nothing) as a sheet where -o says, committed. The path where there is a file now,
 * else NULL. */
const char *output_pool(Job *job, const Instance *instance, const Answer *answer);

/* The same for one sheet of a verb's (released): without -o nothing. Where it could not be written there is an error.
 */
const char *output_sheet(Job *job, const char *title, const Instance *instance, Text *sheet);

bool is_stdout(const char *path);   /* NULL is not */
bool is_csv_path(const char *path); /* ends in .csv */

#endif
