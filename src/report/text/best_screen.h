/* best_screen.h - what the files of `best`'s text share: best_first.c has the first screen's short forms,
 * best_text.c the sections in full and their order, best_limits.c one of these. */
#ifndef POOLWRIGHT_REPORT_TEXT_BEST_SCREEN_H
#define POOLWRIGHT_REPORT_TEXT_BEST_SCREEN_H

#include "report/explain_report.h"
#include "report/report.h"
#include "report/list/watches.h"
#include "programme/count/pool_summary.h"

typedef struct {
    const Instance *in;
    const Answer *answer;
    const PoolSummary *sum;
    const BestView *view;
    const Style *style;
    Text *out;
    Arena *arena;
} BestScreen;

/* The present pool in a line, themes, colours, wishes, and what costs fit, within thirty-odd lines on an ordinary
 * pool. */
void best_first_screen(const BestScreen *screen);
/* How many of the wishes of each person are in; nothing where the sheets name nobody. */
void best_wishers(const BestScreen *screen);
/* The wishes that are in, or out, by name: at most so many. */
void best_wish_names(const BestScreen *screen, bool in, size_t most);
/* The wishes that are out, each with its cause. */
void best_wish_causes(const BestScreen *screen);
/* "(brass+)..." themes with their cards; whole: with colours. */
void best_themes(const BestScreen *screen, bool whole);
void best_colours(const BestScreen *screen, bool whole);
/* Those that stand out, or all. */
void best_limits(const BestScreen *screen);
/* "190 cards in, 189 out, 170 stay" */
const char *best_changes_counted(const BestScreen *screen);

#endif
