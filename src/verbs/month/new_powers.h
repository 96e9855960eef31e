/* new_powers.h - cards sheets with proposed powers, as `feedback` and `compare` write them under --apply. */
#ifndef POOLWRIGHT_VERBS_MONTH_NEW_POWERS_H
#define POOLWRIGHT_VERBS_MONTH_NEW_POWERS_H

#include "report/feedback_report.h"
#include "verbs/frame/job.h"

/* Do -o, --apply and "-" go together? False with errors. */
bool new_powers_usage_good(Job *job);
/* With --apply: has each sheet of cards one place for a new power? False with errors. */
bool new_powers_place_good(Job *job, const Instance *instance);
/* What both pools have in common and what not; nothing where one is missing. To be freed with mem_free after the
 * report. */
PoolChange *new_powers_changes(FeedbackReport *report);
/* The exit code that the two pools give. */
int new_powers_code(const Job *job, const FeedbackReport *report);
/* Writes the sheets, all of them or none, and names them in the report. False with errors in the job's diags. */
bool new_powers_write(Job *job, FeedbackReport *report);
/* The first sheet to standard output. */
bool new_powers_print(Job *job, const FeedbackReport *report);

#endif
