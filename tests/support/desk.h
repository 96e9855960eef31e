/* desk.h - small helpers for tests of the desk from outside. */
#ifndef POOLWRIGHT_SUPPORT_DESK_H
#define POOLWRIGHT_SUPPORT_DESK_H

#include "support/run.h"

/* A folder with model.yaml (size 2, colours rye and teal, theme t in rye, the given further lines), scenario.yaml
 * (cards.csv and the further lines) and cards.csv. */
char *desk_folder(const char *model_lines, const char *scenario_lines, const char *cards);
/* Runs poolwright with these words in the folder; fails the test when the exit code is another. Released with
 * run_forget. */
void desk_run(const char *folder, Run *run, int code, const char *const *arguments);
/* Fails the test when the exit code is another; what: for the message. */
void desk_expect_code(const Run *run, int code, const char *what);
void desk_expect(const char *text, const char *part);
/* The run ended so, and one of its outputs says this. */
void desk_expect_told(const Run *run, int code, const char *says);
/* The file in the folder holds just this. */
void desk_expect_file(const char *folder, const char *name, const char *text);
/* Runs it in the folder: it ends with 2, says this, and writes no such file. */
void desk_expect_refused(const char *folder, const char *const *arguments, const char *told, const char *file);
/* Names of the objects in the array under the key, joined by "|". The result is static. */
const char *desk_names(const json_t *object, const char *key);
void desk_done(char *folder);

/* A folder with cards.csv of these cards, model.yaml of these and the further lines, and scenario.yaml with the cases
 * dear and cheap. */
#define DESK_CARDS                                                                                                     \
    "name,kind,power,price\nAsh Kite,rig,4,1.00\nBell Cart,rig,5,2.00\nCoal Lamp,tool,6,3.00\nDrift "                  \
    "Net,tool,3,0.50\nEel Pot,tool,2,0.40\n"
#define DESK_MODEL                                                                                                     \
    "size: 2\ncolours: [ebb]\nspending_cap: 4.05\nrules:\n  - {name: rigs, where: {kind: rig}, at_least: 1}\n"
char *desk_small_folder(const char *more_model);

#define WORDS(...) ((const char *const[]){__VA_ARGS__, NULL})

#endif
