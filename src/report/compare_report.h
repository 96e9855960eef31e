/* compare_report.h - questions "which would you rather have?", and what their answers propose. Appended to `out`. */
#ifndef POOLWRIGHT_REPORT_COMPARE_REPORT_H
#define POOLWRIGHT_REPORT_COMPARE_REPORT_H

#include "report/feedback_report.h"
#include "whatif/powers/compare.h"

/* The words by which answers stand in JSON, in the order of Prefers; NULL beyond the last. */
const char *prefers_word(size_t index);

/* Both cards as they are, and what may be typed. number: from 1. */
void question_about(const Compare *compare, const Comparison *question, size_t number, Text *out);
/* next: the question that is open, NULL: there is none. */
void compare_text(const Compare *compare, const Comparison *next, const FeedbackReport *report, const Style *style,
                  Text *out);
bool compare_json(const Compare *compare, const Comparison *next, const FeedbackReport *report, const Diags *notices,
                  Text *out);

#endif
