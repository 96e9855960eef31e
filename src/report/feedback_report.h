/* feedback_report.h - proposals from notes as text, JSON and sheet. Appended to `out`. */
#ifndef POOLWRIGHT_REPORT_FEEDBACK_REPORT_H
#define POOLWRIGHT_REPORT_FEEDBACK_REPORT_H

#include "report/table.h"
#include "whatif/feedback.h"

typedef struct {
    const Instance *before, *after;
    const Feedback *feedback;
    const Answer *old, *now;   /* the best pools by the present and by the new powers */
    const PoolChange *change;
    size_t changes;
    const char *written;       /* NULL: nothing was */
} FeedbackReport;

void feedback_text(const FeedbackReport *report, const Style *style, Text *out);
bool feedback_json(const FeedbackReport *report, const Diags *notices, Text *out);
/* All cards with their own columns, files and lines in order, and the new powers. */
void feedback_csv(const Instance *instance, const Feedback *feedback, Text *out);

#endif
