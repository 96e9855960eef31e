/* ask.h - a scenario loaded once and asked again and again: lines of JSON in, lines of JSON out (docs/ask.md). For the
 * verb `ask`, for the page, for whoever embeds the optimiser.
 *
 * Each question starts from the state just after opening: no answer depends on earlier questions, and undo is the
 * asker's. Nothing here prints or ends the program, and nothing is static, so that several may be open at once; one of
 * them is used by one thread at a time. Two things are the program's, as everywhere: LC_CTYPE (never LC_NUMERIC), and
 * who is called when the system has no memory left (mem_on_exhausted in base/memory.h), which must not return: the verb
 * ends the run, a page ends its worker; what was asked is lost, and what is open cannot be used any more. */
#ifndef POOLWRIGHT_ASK_ASK_H
#define POOLWRIGHT_ASK_ASK_H

#include <stdatomic.h>

#include "base/text.h"
#include "model/scenario.h"

/* What is known while a question is being answered. Fit and bound: thousandths. */
typedef struct {
    bool has_fit, has_bound;
    int64_t fit, bound; /* of the best pool found so far; of what is possible */
    int64_t effort;     /* steps of the search so far */
    const char *what;   /* what explanations look at, so many of so many are done; NULL: the pool is being searched */
    int done, of;
} AskProgress;

/* Zero-initialise for nothing. What it points to must outlive the Ask. */
typedef struct {
    const Overrides *overrides; /* hold for all questions, over what they change; NULL: none, presets from ./models */
    int threads;                /* 0: one; never changes an answer */
    const atomic_int *stop;     /* non-zero: the question is answered with what is found so far. May be NULL. The owner
                                   sets it back to 0 before the next one */
    void (*progress)(void *context, const AskProgress *now); /* may be NULL */
    void *context;
} AskOptions;

typedef struct Ask Ask;

/* subject: as for scenario_read. NULL when it cannot be read: then problems has {"error": [{"message", "file", "line",
 * "column"}]} appended, without a newline; file, line and column only where they are known. */
Ask *ask_open(const char *subject, const AskOptions *options, Text *problems);
/* Appends one JSON object, without a newline, whatever the line holds: the answer, or {"id", "error": [...]}. */
void ask_question(Ask *ask, const char *line, size_t length, Text *answer);
void ask_close(Ask *ask); /* NULL is allowed */

/* Sheets that nobody has described yet, with no scenario open: {"files": ["cards.csv", ...], "folder": where the model
 * and the scenario are to lie, "answers": {id: answer}, "cap": "300"} -> what `import --json` tells of them (every
 * question with its likely and its present answer), and "model" and "scenario" as texts, which are not written; or
 * {"error": [...]}. Appended, as above. */
void ask_import(const char *line, size_t length, Text *answer);
/* The files of a new scenario, with sample cards, as `init` writes them: {"size": "360", "colours": "brass, tar",
 * "themes": "boilers=brass+tar; ...", "semicolons": false} -> {"files": {name: text}}, or {"error": [...]}. Appended.
 */
void ask_init(const char *line, size_t length, Text *answer);
/* All sheets of a file, whatever it is (text, a workbook), as they are read: {"sheets": [{"path": "list.xlsx#Prices",
 * "header": [...], "rows": [[...], ...]}]}, every row as long as the header; or {"error": [...]}. A sheet that may be
 * one of notes from play by its headers has "notes": [0, 2, -1, 1] too: the columns of card, verdict, date and note, -1
 * where there is none. Appended, as above.
 */
void ask_sheets(const char *path, Text *answer);

#endif
