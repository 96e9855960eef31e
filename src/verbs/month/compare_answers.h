/* compare_answers.h - who answers what compare asks: a file of answers, or somebody who reads and types. */
#ifndef POOLWRIGHT_VERBS_MONTH_COMPARE_ANSWERS_H
#define POOLWRIGHT_VERBS_MONTH_COMPARE_ANSWERS_H

#include "verbs/frame/job.h"
#include "whatif/powers/compare.h"

/* Adds all answers of the file, {"questions": [{"first": NAME, "second": NAME, "answer": "first"}]}, as compare --json
 * wrote it; a question without an answer (null) says nothing. False with errors. */
bool answers_of_file(Job *job, const char *path, Compare *compare);
/* Asks on standard output, reads a line from standard input. False: the end, or no more questions are wanted. */
bool answer_typed(const Compare *compare, Comparison *question);

#endif
