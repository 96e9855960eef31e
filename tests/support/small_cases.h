/* small_cases.h - a small invented scenario with four cases, for tests from outside. */
#ifndef POOLWRIGHT_SUPPORT_SMALL_CASES_H
#define POOLWRIGHT_SUPPORT_SMALL_CASES_H

/* A folder with scenario.yaml, model.yaml and its sheets; the caller removes it and frees the name. */
char *small_cases(void);

#endif
