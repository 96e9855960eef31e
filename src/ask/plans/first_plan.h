/* first_plan.h - from sheets that were looked at to the plan of a first model: what the sheets cannot tell is asked as
 * they are (the size, what a candidate without a price counts as). For the verb `import`, and for the page. */
#ifndef POOLWRIGHT_ASK_PLANS_FIRST_PLAN_H
#define POOLWRIGHT_ASK_PLANS_FIRST_PLAN_H

#include "report/starter/starter_found.h"

/* What is known before: not asked any more. */
typedef struct {
    int size;    /* 0: asked */
    int64_t cap; /* cents; -1: none */
} FirstWish;

/* Errors (an answer that is no size, no amount of money) are in intake->diags; what found points to is in the intake's
 * arena. */
void first_plan(Intake *intake, const FirstWish *wish, StarterFound *found);
/* The sheets of the intake that are used, by their paths from the folder. */
void first_sheets(StarterFound *found, const char *folder);
void first_themes(StarterFound *found);

#endif
