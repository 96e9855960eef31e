/* run.h - for tests from outside: a folder of files, the built program run on them, what it said.
 *
 * The program is taken from the environment variable POOLWRIGHT, default build/poolwright. Shares no code with src/. */
#ifndef POOLWRIGHT_SUPPORT_RUN_H
#define POOLWRIGHT_SUPPORT_RUN_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What a run left behind. code is the exit code, or 128 + the signal's number. */
typedef struct {
    int code;
    char *out, *err; /* NUL-terminated; out_length counts bytes that may hold NUL */
    size_t out_length, err_length;
} Run;

/* A new empty folder under TMPDIR (default /tmp); the path is owned by the caller (free). */
char *folder_new(void);
/* Removes the folder and everything in it. */
void folder_remove(const char *folder);
/* Writes folder/name (name may hold '/': folders are made). */
void folder_write(const char *folder, const char *name, const char *bytes, size_t length);
void folder_print(const char *folder, const char *name, const char *text);
/* UTF-8 text as UTF-16 with a byte order mark (in place of one that it has). */
void folder_write_utf16(const char *folder, const char *name, const char *text, bool big_endian);
/* The whole file, NUL-terminated; NULL if there is none. length may be NULL. */
char *folder_read(const char *folder, const char *name, size_t *length);
bool folder_has(const char *folder, const char *name);

/* The program under test, as an absolute path. */
const char *program_path(void);
/* Runs program (a path, or a name to be looked up) in the folder. arguments end with NULL and do not hold the program's
 * name. */
void run_program(const char *program, const char *folder, const char *const *arguments, Run *run);
/* The same for the program under test with standard input closed or from a file in the folder (NULL: /dev/null). */
void run_poolwright(const char *folder, const char *const *arguments, const char *input, Run *run);
void run_forget(Run *run);
/* What runs the tests may ignore some signals, as shells do for what runs in the background; programs inherit that. */
void signals_as_usual(void);
/* A number that the caller of the test may set (POOLWRIGHT_SCENARIOS: how many, POOLWRIGHT_SEED: from where). */
uint64_t environment_number(const char *name, uint64_t otherwise);
/* Is what is tried built with sanitizers, this program or the one it starts? */
bool sanitised(void);
/* So many, of which runs with sanitizers try a fifth; a tenth where programs are started for each, since with
 * sanitizers that takes longer than what they do. */
int sanitised_share(int many);
int sanitised_starts(int many);
/* How many random scenarios for which programs are started: POOLWRIGHT_SCENARIOS, else so many or their
 * sanitised_starts. */
uint64_t scenarios_wanted(uint64_t otherwise);
/* Is there such a program on the path? */
bool program_exists(const char *name);

/* Standard output as a JSON object; fails the test with both outputs shown if it is none. Released with json_decref. */
json_t *run_json(const Run *run);
/* Runs poolwright in the folder and gives its answer as JSON; fails the test when the exit code is another. */
json_t *run_answer(const char *folder, int code, const char *const *arguments);
/* A number of the object in whole thousandths (or cents: scale 100); fails the test if it is missing or not on the
 * grid. */
int64_t json_units(const json_t *object, const char *key, int scale);
const char *json_text(const json_t *object, const char *key);
/* The item of the list that has this name; fails the test if there is none. */
const json_t *json_named(const json_t *list, const char *name);

/* A small generator of our own (xorshift64*, S. Vigna, "An experimental exploration of Marsaglia's xorshift
 * generators", ACM TOMS 42(4), 2016). */
typedef struct {
    uint64_t state;
} Dice;

void dice_seed(Dice *dice, uint64_t seed);
int dice_roll(Dice *dice, int low, int high); /* both included */
bool dice_chance(Dice *dice, int percent);

#endif
