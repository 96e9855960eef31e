/* deck_counts.h - inside the weigh room: decks counted as they come, in memory that depends on cards and themes, and on
 * the names of the first few thousand decks.
 */
#ifndef POOLWRIGHT_WEIGH_DECK_COUNTS_H
#define POOLWRIGHT_WEIGH_DECK_COUNTS_H

#include "weigh/deck_rows.h"
#include "weigh/weigh.h"

typedef struct DeckCounts DeckCounts;

typedef struct {
    int64_t inside, inside_all, outside, outside_all; /* copies */
} ThemeCount;

/* Reads the sheet. NULL with errors. */
DeckCounts *deck_counts_read(const Instance *instance, const char *path, FileStore *files, const WeighOptions *options,
                             Diags *diags);
void deck_counts_free(DeckCounts *counts); /* NULL is allowed */

/* What the whole sheet has: decks, copies, unknown, labelled, strangers (in the arena), wins and losses. */
void deck_counts_sum(const DeckCounts *counts, Arena *arena, Weighing *weighing);
int64_t deck_counts_of_theme(const DeckCounts *counts, size_t theme); /* decks */
/* The card's copies among all of decks that can play it. */
ThemeCount deck_counts_card(const DeckCounts *counts, size_t theme, size_t card);
void deck_counts_results(const DeckCounts *counts, size_t card, int64_t *wins, int64_t *losses);

#endif
