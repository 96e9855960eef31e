/* whatif_report.h - what-ifs as text, JSON, sheets and pictures. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_WHATIF_REPORT_H
#define POOLWRIGHT_REPORT_WHATIF_REPORT_H

#include <jansson.h>

#include "report/shown.h"
#include "report/layout/table.h"
#include "whatif/cases/cases.h"

typedef struct {
    const char *subject;
    Sections sections;
    bool sizes;                      /* sizes were asked for: the first screen says what one draft sees */
    const char *folder, *csv, *plot; /* that were written; NULL: none */
} WhatIfView;

void what_if_text(const WhatIf *what_if, const WhatIfView *view, const Style *style, Text *out);
json_t *what_if_json(const WhatIf *what_if, const Diags *notices);
/* One line for each case. */
void what_if_comparison_csv(const WhatIf *what_if, Text *out);
/* One line for each card that is in some pool, one column for each case: copies. */
void what_if_cards_csv(const WhatIf *what_if, Text *out);
/* The first frontier as SVG; false if there are not two points to draw. */
bool what_if_svg(const WhatIf *what_if, Text *out);

/* ---- pieces of the text, one for each file ---- */

/* whatif_frontier_text.c */
void frontier_text(const WhatIf *what_if, const Frontier *frontier, bool full, const Style *style, Text *out);
/* whatif_structure.c: does structure add fit in some case; what of it differs from the base, for one case. */
bool what_if_adds(const WhatIf *what_if);
void what_if_structure(const WhatIf *what_if, const WhatIfCase *item, const Style *style, Text *out);
/* whatif_sizes_text.c: seats, and bounds that were scaled. */
/* Has some what-if another size than the base? */
bool sizes_differ(const WhatIf *what_if);
void sizes_text(const WhatIf *what_if, const WhatIfView *view, const Style *style, Text *out);
/* Of one draft, by the model's seats, so many of them as get their packs: cards dealt and in the pool. False without
 * seats. */
bool draft_share(const WhatIf *what_if, const WhatIfCase *item, int64_t *dealt, int64_t *size);

/* How many of the model's seats get their packs from the case's pool. */
int seats_enough_for(const WhatIf *what_if, const WhatIfCase *item);

/* "450 cards", "five forty" as part of a file's name: letters of any script, digits, points and hyphens, cut where
 * it is very long. In the arena. */
const char *file_part(const char *name, Arena *arena);

/* fit / cards, to hundredths: "8.88". */
const char *fit_per_card(Arena *arena, const Answer *answer);

/* Names joined by semicolons behind a label, in lines of about 100 columns, on narrower terminals of theirs; at most
 * `most` of them. */
typedef struct {
    const char *label;
    size_t width;
    bool one_line; /* to be set after name_list_begin: only what fits into the first line */
    size_t most, shown, hidden;
    size_t line;
    Text *out;
} NameList;
void name_list_begin(NameList *list, const char *label, size_t most, const Style *style, Text *out);
void name_list_add(NameList *list, const char *name);
void name_list_end(NameList *list);

#endif
