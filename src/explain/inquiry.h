/* inquiry.h - what `best`, `why` and `swap` each look for, and with how much effort: the same whoever asks. */
#ifndef POOLWRIGHT_EXPLAIN_INQUIRY_H
#define POOLWRIGHT_EXPLAIN_INQUIRY_H

#include "explain/findings.h"

typedef struct {
    const Instance *instance;
    const SearchOptions *search; /* of the answer; engine, threads, cancel and effort hold for the reasons too */
    bool gap_given;              /* somebody said how near the best is near enough */
    bool rules;                  /* every limit to the end */
    bool all;                    /* all conflicts and repairs where nothing fits */
    bool firm;
    int alternatives, differ;                                            /* so many (0: none), so many cards apart */
    void (*progress)(void *context, const char *what, int done, int of); /* may be NULL */
    void *context;
} Inquiry;

/* In all functions out->explain stays NULL, with an error in diags, where the numbers are too large. The answer is the
 * instance's; both must outlive `out`, which is released with explained_release. */

/* Everything that the first screen of `best` tells. The answer's bound falls to its fit where that is proven on the
 * way. */
void inquire_screen(const Inquiry *inquiry, Answer *answer, Explained *out, Diags *diags);
/* It is proven that there is no pool: its causes. False when nothing could be found out. */
bool inquire_causes(const Inquiry *inquiry, Explained *out, Diags *diags);

/* The pool that best names, to be compared with. Where it is not proven best and nobody said how near will do, it is
 * tried to prove it, since what a card costs is less than a gap. If there is a better one, that is meant. False with an
 * error in diags. */
bool inquire_base(const Inquiry *inquiry, const Programme *programme, Answer *answer, Diags *diags);
/* The same for an answer that is there. */
bool inquire_nearer(const Inquiry *inquiry, const Programme *programme, Answer *answer, Diags *diags);

/* Why card[count] (no doubles) are in or out, or what nothing fits for; what would replace them. *settled: that is all
 * of it, proven. False with an error in diags. */
bool inquire_why(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                 bool *settled, Diags *diags);
bool inquire_swaps(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                   bool *settled, Diags *diags);

#endif
