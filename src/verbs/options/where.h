/* where.h - filters from the command line: each --where is one field of `where`, --filter a file that holds such a map.
 */
#ifndef POOLWRIGHT_VERBS_OPTIONS_WHERE_H
#define POOLWRIGHT_VERBS_OPTIONS_WHERE_H

#include "verbs/frame/job.h"

/* Reads the words after --where and the file after --filter into filters, of which all must hold; prepared with the
 * instance. They live in the scenario's arena. False with errors. */
bool where_read(Job *job, const Filter **filter, size_t *filters);

#endif
