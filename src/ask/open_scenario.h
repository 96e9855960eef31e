/* open_scenario.h - inside the ask room: an open scenario, and one question while it is being answered. */
#ifndef POOLWRIGHT_ASK_OPEN_SCENARIO_H
#define POOLWRIGHT_ASK_OPEN_SCENARIO_H

#include "ask/ask.h"
#include "ask/question.h"
#include "explain/inquiry.h"
#include "programme/reach/reach.h"
#include "whatif/known.h"

struct Ask {
    Arena *arena;
    const char *subject;
    AskOptions options;
    Overrides overrides;
    FileStore *files; /* read when it was opened, and by the first question that names a further one */
    Loaded base;      /* as it was opened; no question changes it */
    Known *known;     /* the base solved; made when first asked for, NULL before */
};

typedef struct {
    Ask *ask;
    const Question *question;
    ReadContext context;
    Diags *diags;
    SearchOptions search;
    const YamlNode *layer[2]; /* the question's change; a further one */
    Overrides overrides;      /* with both */
    Loaded loaded;            /* the scenario in the state that the question describes */
} Asked;

/* The question's state, with its further layer. False with errors. */
bool asked_load(Asked *asked);
Inquiry asked_inquiry(const Asked *asked);
/* The pool that best names in the question's state. False with an error. */
bool asked_solve(const Asked *asked, Answer *answer);
/* The cards of the list, without doubles; card[*count] is in the arena. False with errors. */
bool asked_cards(const Asked *asked, const YamlNode *list, const size_t **card, size_t *count);
/* `from` as copies of the state's candidates, in the arena; NULL where it is missing. False with errors. */
bool asked_from(const Asked *asked, int **copies);

/* The pool of the state just after opening, likewise. False with an error. */
bool asked_base(const Asked *asked, int **copies);

/* answer_count.c: adds what the limit counts, and what that can come to. */
void asked_add_reach(const Limit *limit, const LimitReach *reach, json_t *item);

/* The answers, one function for each kind of question; NULL with errors in asked->diags. */
json_t *answer_best(Asked *asked);
json_t *answer_why(Asked *asked);
json_t *answer_swap(Asked *asked);
json_t *answer_what_if(Asked *asked);
json_t *answer_caps(Asked *asked);
json_t *answer_revise(Asked *asked);
json_t *answer_cards(Asked *asked);
json_t *answer_model(Asked *asked);
json_t *answer_count(Asked *asked);
json_t *answer_seats(Asked *asked);
json_t *answer_words(Asked *asked);

#endif
