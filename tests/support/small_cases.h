/* small_cases.h - a small invented scenario with four cases, for tests from outside. */
#ifndef SUPPORT_SMALL_CASES_H
#define SUPPORT_SMALL_CASES_H

/* A folder with scenario.yaml, model.yaml and its sheets; the caller removes it and frees the name. */
char *small_cases(void);

#endif
