/* tag_lines.h - tags that come to the candidates from elsewhere than the cards sheets. */
#ifndef POOLWRIGHT_MODEL_SHEETS_TAG_LINES_H
#define POOLWRIGHT_MODEL_SHEETS_TAG_LINES_H

#include "cards/cards.h"

typedef struct {
    long card;
    const char *tag, *folded;
    Role role;
    int64_t weight;
    SourcePos at;
} TagLine;

typedef struct {
    TagLine *line;
    size_t count, capacity;
} TagLines;

/* By card, tag and place. */
void tag_lines_sort(TagLines *lines);
/* Gives the candidates these tags (sorted, none twice) and numbers all tags anew. A tag that the card has already is
 * reported. */
void tag_lines_add(CardSet *cards, const TagLines *lines, Diags *diags);
/* Of sorted lines: a tag that stands twice for a card is reported, and counts once. */
void tag_lines_drop_doubles(const CardSet *cards, TagLines *lines, Diags *diags);

#endif
