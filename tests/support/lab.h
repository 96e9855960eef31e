/* lab.h - for tests from inside: files in a folder of their own, read by the model room, and what was said about them.
 * The names, colours and cards in these tests are invented. */
#ifndef POOLWRIGHT_SUPPORT_LAB_H
#define POOLWRIGHT_SUPPORT_LAB_H

#include "model/instance/instance.h"

typedef struct {
    char *folder, *before; /* the working folder while the lab is open, and the one before */
    Diags diags;
    char *said;          /* errors and notices as text */
    Overrides overrides; /* to be set before reading */
    Scenario *scenario;
    Instance *instance;
} Lab;

void lab_open(Lab *lab);
void lab_close(Lab *lab);
/* Writes a file into the folder. */
void lab_file(Lab *lab, const char *name, const char *text);
/* Opens a lab with the model m.yaml, and a scenario s.yaml of it and of the sheet c.csv, with further lines (the first
 * is its third). */
void lab_model(Lab *lab, const char *model, const char *scenario_lines);
/* Reads the subject, and its sheets where that went well. Can be called again. True when there is an instance. */
bool lab_read(Lab *lab, const char *subject);
/* The same, and fails the test with what was said unless there is one and nothing was said. */
void lab_need(Lab *lab, const char *subject);
/* Only the scenario and its model. */
bool lab_read_model(Lab *lab, const char *subject);

/* The member of the rule; fails the test if there is none. of: "" without each. */
const RuleMember *lab_member(const Lab *lab, const char *rule, const char *of);
/* How many candidates it counts. */
size_t lab_counts(const Lab *lab, const char *rule, const char *of);
/* The names of the candidates it counts, joined by ", ". Freed with mem_free. */
char *lab_counted(const Lab *lab, const char *rule, const char *of);
/* Fails the test unless said holds the piece. */
void lab_expect(const Lab *lab, const char *piece);
size_t lab_card(const Lab *lab, const char *name);

#endif
