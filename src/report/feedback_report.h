/* feedback_report.h - proposals from notes as text, JSON and sheet. Appended to `out`. */
#ifndef POOLWRIGHT_REPORT_FEEDBACK_REPORT_H
#define POOLWRIGHT_REPORT_FEEDBACK_REPORT_H

#include <jansson.h>

#include "cards/sheet/sheet.h"
#include "report/layout/table.h"
#include "whatif/powers/feedback.h"

typedef struct {
    const char *source, *made_of; /* "notes.csv: notes on 3 cards"; "notes": what the powers are made of */
    const Instance *before, *after;
    const Feedback *feedback;
    const Answer *old, *now;        /* the best pools by the present and by the new powers */
    int64_t old_by_new, now_by_old; /* thousandths: each pool's fit by the other powers; where both have a pool */
    const PoolChange *change;
    size_t changes;
    const char *const *written; /* [writtens] sheets */
    size_t writtens;
} FeedbackReport;

void feedback_text(const FeedbackReport *report, const Style *style, Text *out);
bool feedback_json(const FeedbackReport *report, const Diags *notices, Text *out);
/* The same as an object that more is added to. */
json_t *feedback_root(const FeedbackReport *report, const Diags *notices);
/* A cards sheet as it is, with the new powers. How many cells changed. */
size_t feedback_csv(const Instance *instance, const Feedback *feedback, const Sheet *sheet, Text *out);

#endif
