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
/* Runs it in the folder: it ends with 2, says this, and writes no such file. */
void desk_expect_refused(const char *folder, const char *const *arguments, const char *told, const char *file);
/* Names of the objects in the array under the key, joined by "|". The result is static. */
const char *desk_names(const json_t *object, const char *key);
void desk_done(char *folder);

#define WORDS(...) ((const char *const[]){__VA_ARGS__, NULL})

#endif
