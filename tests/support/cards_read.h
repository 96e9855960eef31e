/* cards_read.h - sheets of cards of an invented game, read from text; for tests of the cards room. */
#ifndef POOLWRIGHT_SUPPORT_CARDS_READ_H
#define POOLWRIGHT_SUPPORT_CARDS_READ_H

#include "cards/cards.h"
#include "support/run.h"

typedef struct {
    char *folder;
    CardSet *set;
    Diags diags;
} CardsRead;

/* Five colours (brass, glass, linen, tar, salt) and two themes (convoys, long nights), and nothing else. */
extern const CardVocabulary cards_plain;

/* Reads up to two sheets (the second may be NULL). Released with cards_done. */
CardsRead cards_read_with(const CardVocabulary *vocabulary, const char *first, const char *second);
CardsRead cards_read_good(const char *text); /* of cards_plain; the test fails where it is refused */
void cards_done(CardsRead *reading);
/* All that diags_text says, with the folder taken out. Freed with free. */
char *cards_said(const CardsRead *reading);
/* The sheet is refused and the first error begins like this, place included. */
void cards_assert_refused_with(const CardVocabulary *vocabulary, const char *text, const char *expected);
void cards_assert_refused(const char *text, const char *expected); /* with cards_plain */
const Card *card_named(const CardSet *set, const char *name);
void card_assert_tag(const CardSet *set, const Card *card, const char *name, Role role, int64_t weight);

#endif
