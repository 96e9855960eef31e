/* decide.h - who answers what import asks: a file of answers, else somebody at the terminal, else the likely one. */
#ifndef POOLWRIGHT_VERBS_FRAME_DECIDE_H
#define POOLWRIGHT_VERBS_FRAME_DECIDE_H

#include <jansson.h>

#include "intake/intake.h"

typedef struct {
    Arena *arena;
    Diags *diags;
    const char *path; /* of the answers; NULL: none */
    json_t *answers;  /* an object: id to answer */
    bool asks;        /* somebody is at a terminal */
    int width;        /* of the terminal */
} Decider;

/* Reads the file: {"answers": {"slash": "both", ...}}, or what import --json wrote, with "answer" changed. False with
 * errors. path NULL: no file. */
bool decider_init(Decider *decider, Arena *arena, const char *path, Diags *diags);
/* Reports answers that nothing asked for. */
void decider_check(const Decider *decider, const Intake *intake);
void decider_release(Decider *decider);
Decide decide;

#endif
