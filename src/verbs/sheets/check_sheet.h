/* check_sheet.h - check of a sheet without a model. */
#ifndef POOLWRIGHT_VERBS_SHEETS_CHECK_SHEET_H
#define POOLWRIGHT_VERBS_SHEETS_CHECK_SHEET_H

#include "verbs/frame/job.h"

int check_sheet(Job *job);

#endif
