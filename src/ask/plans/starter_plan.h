/* starter_plan.h - from size, colours and themes as they are typed to the files of a new scenario. For the verb `init`,
 * and for the page. */
#ifndef POOLWRIGHT_ASK_PLANS_STARTER_PLAN_H
#define POOLWRIGHT_ASK_PLANS_STARTER_PLAN_H

#include "base/memory.h"
#include "base/diag.h"
#include "report/starter/starter.h"

enum { STARTER_CARDS, STARTER_TARGETS, STARTER_MODEL, STARTER_SCENARIO, STARTER_FILES };
#define STARTER_LEAST 20
#define STARTER_MOST 5000

typedef struct {
    const char *name;
    void (*write)(const StarterPlan *plan, Text *out);
    const char *holds;
} StarterFile;

extern const StarterFile starter_file[STARTER_FILES];

typedef struct {
    int size, seats;              /* 0: not said */
    const char *colours, *themes; /* "brass,glass", "convoys=brass+linen; lures=glass"; NULL: not said */
    bool semicolons;
    bool by_options; /* messages name the command line's options */
} StarterWish;

/* Appends the four texts. False with errors. */
bool starter_texts(Arena *arena, const StarterWish *wish, Text text[STARTER_FILES], Diags *diags);

#endif
