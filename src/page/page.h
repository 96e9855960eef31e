/* page.h - one HTML file that holds a pool: the answers, readable without scripts, the scenario's files, and the engine
 * that answers again when something is moved. docs/page.md.
 *
 * Nothing here solves anything: answers come in as the JSON of `ask` (docs/ask.md). The same parts give the same
 * bytes. */
#ifndef POOLWRIGHT_PAGE_PAGE_H
#define POOLWRIGHT_PAGE_PAGE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/memory.h"
#include "base/text.h"

/* A file of the scenario, under the path that the engine finds it by: relative, with "/" between. */
typedef struct {
    const char *path;
    const char *bytes;
    size_t length;
} PageFile;

/* Answers are JSON texts; NULL: not asked, and the page does without that part. All but the bytes is UTF-8. */
typedef struct {
    const char *title;
    const PageFile *file;
    size_t files;
    const char *main;           /* the scenario among the files; NULL: a page without a scenario */
    const char *model, *cards;  /* of `ask`: "model", "cards". NULL without a scenario */
    const char *best;           /* with all reasons. NULL without a scenario */
    const char *caps, *cases;   /* of "what-if" or "caps" */
    const char *revise, *words; /* of "revise", "words" */
    const char *seats; /* of "seats", for the pool of `best`; NULL: the model does not say how packs are dealt */
    const char *engine, *glue; /* gzipped WebAssembly, the script around it; NULL: a page that only shows */
    size_t engine_length, glue_length;
    bool stopped; /* the asking was stopped: not all is there that could be, and the page says so */
} PageParts;

/* Appends the page. False with the reason in *why (in the arena) when one of the parts is no answer. */
bool page_write(const PageParts *parts, Arena *arena, Text *out, const char **why);
/* The page for the players: of the parts title, model, cards and best are used. Without prices, powers and fits. */
bool page_drafters(const PageParts *parts, Arena *arena, Text *out, const char **why);

#endif
