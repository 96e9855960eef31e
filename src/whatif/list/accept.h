/* accept.h - a revision that is accepted: what it changes in the present pool as lines for the journal. */
#ifndef POOLWRIGHT_WHATIF_LIST_ACCEPT_H
#define POOLWRIGHT_WHATIF_LIST_ACCEPT_H

#include "model/history/journal.h"
#include "whatif/list/revise.h"

typedef struct {
    const Answer *answer;  /* the pool that is accepted */
    JournalLine *line;     /* what goes out, what comes in, then trials that ended and stay */
    size_t lines, changes; /* the first `changes` change the pool */
} Accepted;

/* The last point's pool. reason: for every change, or NULL: the cause found. All in the arena. False where there is no
 * pool to accept, or the search was stopped before it knew the best. */
bool accept_revision(Arena *arena, const Instance *instance, const Revision *revision, const char *reason,
                     Accepted *accepted);

#endif
