/* alike.h - candidates like some that are given, by the words of their texts, and a pattern that catches them. */
#ifndef POOLWRIGHT_MODEL_DESK_ALIKE_H
#define POOLWRIGHT_MODEL_DESK_ALIKE_H

#include "model/instance/instance.h"

#define ALIKE_NEAR 20 /* the next ones: what is most alike */

typedef struct {
    size_t card;
    int64_t likeness; /* thousandths: from 0, nothing in common, to 1000 */
    int64_t text;     /* of it by the words of the text alone, from 0 to 1000 */
} Alike;

typedef struct {
    const char *term;
    double weight; /* of rarity, for each given card that has it */
} SharedTerm;

typedef struct {
    Alike *other; /* all candidates that are not given, most alike first, ties by name */
    size_t others;
    char *pattern;        /* for a model's patterns and `find --text`; NULL: no word tells them from the rest */
    size_t caught;        /* of the given */
    size_t caught_near;   /* of the first ALIKE_NEAR others */
    size_t caught_beyond; /* of the rest */
    bool *catches;        /* [cards] */
    Arena *arena;
    SharedTerm *term; /* [terms] of the given texts, the weightiest first, ties by term */
    size_t terms;
} AlikeCards;

#define ALIKE_WORDS 3

/* given[count], different. Each term (the first four letters of a word, a tag) weighs the more the fewer cards have it;
 * likeness is the cosine to the sum of the given cards, with kind and cost beside it. The same on every machine. */
void alike_find(const Instance *instance, const size_t *given, size_t count, AlikeCards *alike);
void alike_release(AlikeCards *alike);
/* The words of the card's text that the given texts have too, as it spells them (in the arena), weightiest first: how
 * many, ALIKE_WORDS at most. */
size_t alike_words(const Instance *instance, const AlikeCards *alike, size_t card, Arena *arena,
                   const char *word[ALIKE_WORDS]);

/* ---- alike_terms.c: terms of cards, weighted by rarity ---- */

typedef struct {
    const char *term;
    size_t card;
} TermUse;

typedef struct {
    Arena *arena;
    size_t cards;
    TermUse *use; /* [uses] by term, then card, each once */
    size_t uses, capacity;
    size_t *first; /* [terms + 1] where each term's uses begin */
    size_t terms;
    double *weight; /* [terms] of rarity */
    double *norm;   /* [cards] */
} Terms;

typedef enum { TERMS_OF_TEXTS, TERMS_OF_TAGS } TermKind;
void terms_init(Terms *terms, const Instance *instance, TermKind kind);
void terms_release(Terms *terms);
/* Cosine of each card to the sum of the given cards, a given one to the sum of the other ones: likeness[cards], 0 to 1.
 */
void terms_likeness(const Terms *terms, const size_t *given, size_t count, double *likeness);

/* ---- alike_pattern.c ---- */

/* Sets pattern and what it catches; text[cards]: likeness of each card's text, 0 to 1. */
void alike_pattern(const Instance *instance, const size_t *given, size_t count, const double *text, AlikeCards *alike);

#define STEM_CHARACTERS 4
/* The term of a word of a text, in the arena. */
const char *word_term(const char *word, size_t length, Arena *arena);

#endif
