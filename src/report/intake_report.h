/* intake_report.h - what import found and took, as text and as JSON. */
#ifndef POOLWRIGHT_REPORT_INTAKE_REPORT_H
#define POOLWRIGHT_REPORT_INTAKE_REPORT_H

#include <jansson.h>

#include "base/text.h"
#include "intake/intake.h"

/* Every line of every sheet: what became of it. */
void intake_lines_text(const Intake *intake, Text *out);
/* How a sheet that is not used can be, where answers are taken; nothing where all are used. */
void intake_unused_text(const Intake *intake, Text *out);
/* Columns of each sheet and every question with its answer. */
void intake_taken_text(const Intake *intake, Text *out);
/* One question as it is put to somebody: the sentence, examples, choices. */
void question_text(const IntakeQuestion *question, Text *out);
/* "sheets" and "questions". */
void intake_json(const Intake *intake, json_t *root);

#endif
