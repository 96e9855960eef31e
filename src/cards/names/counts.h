/* counts.h - numbers of copies as lists write them, beside a name or alone. */
#ifndef POOLWRIGHT_CARDS_NAMES_COUNTS_H
#define POOLWRIGHT_CARDS_NAMES_COUNTS_H

#include <stddef.h>

#define COPIES_MAX 1000 /* of a card, in any sheet */

/* "- Name", "3 Name", "3x Name", "3 x Name", "Name x3": where the name is, and how many; *copies is 1 and the whole
 * text the name where it is nothing of the kind. Returns the name's start. */
const char *listed_name(const char *text, size_t *length, int *copies);
/* The same, and also "Name (3)", "Name (x3)": for sheets that are matched by name, where the whole is no candidate. */
const char *name_with_count(const char *text, size_t *length, int *copies);
/* "3x", "x3", "3 ×", "3 pcs" as 3; -1 when it is nothing of the kind. */
int counted_copies(const char *text);

#endif
