/* outputs_inner.h - inside the outputs: paths. */
#ifndef POOLWRIGHT_VERBS_OUTPUTS_OUTPUTS_INNER_H
#define POOLWRIGHT_VERBS_OUTPUTS_OUTPUTS_INNER_H

#include "verbs/outputs/outputs.h"

/* The name in the folder, in the options' arena. */
const char *output_path_in(Job *job, const char *folder, const char *name);
/* Behind the last point of the path's last part; NULL without one, or where nothing but a name is before it. */
const char *output_ending(const char *path);

#endif
