/* desk.h - what the desk shows before anything is chosen: what patterns caught, how deep themes are, candidates that
 * were looked for. */
#ifndef POOLWRIGHT_REPORT_DESK_DESK_H
#define POOLWRIGHT_REPORT_DESK_DESK_H

#include <jansson.h>

#include "model/desk/alike.h"
#include "model/desk/card_order.h"
#include "model/desk/scouting.h"
#include "report/layout/table.h"

/* ---- check --tags ---- */
void tags_text(const Instance *instance, const Style *style, Text *out);
bool tags_json(const Instance *instance, const Diags *notices, Text *out);

/* ---- check --themes ---- */

void scouting_text(const Instance *instance, const Scouting *scouting, const Style *style, Text *out);
bool scouting_json(const Instance *instance, const Scouting *scouting, const Diags *notices, Text *out);

/* ---- find ---- */

/* A table of the first `top` (0: all). full: all columns, and texts that are cut otherwise. */
void find_text(const Instance *instance, const size_t *card, size_t count, size_t top, FindSort sort, bool full,
               const Style *style, Text *out);
bool find_json(const Instance *instance, const size_t *card, size_t count, const Diags *notices, Text *out);
/* The user's own columns and `fit`. */
void find_csv(const Instance *instance, const size_t *card, size_t count, Text *out);
/* A sheet to edit and to name among the scenario's `tags`: name, what there is, and empty columns status, tag, role,
 * weight. */
void find_sheet(const Instance *instance, const size_t *card, size_t count, Text *out);

/* ---- find --like ---- */

typedef struct {
    const size_t *card; /* [given] */
    size_t given;
    const AlikeCards *alike;
} LikeView;

/* The first `top` of card[count], which are in order of likeness, and the pattern. */
void like_text(const Instance *instance, const LikeView *like, const size_t *card, size_t count, size_t top,
               const Style *style, Text *out);
bool like_json(const Instance *instance, const LikeView *like, const size_t *card, size_t count, const Diags *notices,
               Text *out);
/* A card of find's JSON. */
json_t *find_card_json(const Instance *instance, size_t card, Arena *arena);

#endif
