/* section.h - a part of a pool by its name, as designers sort their cards: a theme, a colour, a pair, a class. */
#ifndef POOLWRIGHT_MODEL_DESK_SECTION_H
#define POOLWRIGHT_MODEL_DESK_SECTION_H

#include "model/instance/instance.h"

typedef enum {
    SECTION_THEME,  /* tagged for it and playable in its colours */
    SECTION_COLOUR, /* mono cards */
    SECTION_PAIR,   /* gold and hybrid cards of just these colours */
    SECTION_CLASS   /* colourless, fixing, gold, hybrid, mono */
} SectionKind;

typedef struct {
    SectionKind kind;
    const char *name; /* as the model spells it */
    size_t theme;     /* SECTION_THEME */
    ColourMask mask;  /* SECTION_COLOUR, SECTION_PAIR */
    CardClass class;  /* SECTION_CLASS */
} Section;

/* What the word names; names match as everywhere. Of a theme and a colour of one name the theme is meant. False with an
 * error that lists what there is. Texts are the model's or in the arena. */
bool section_read(const Model *model, const char *word, Arena *arena, Section *section, Diags *diags);
const char *section_kind_name(SectionKind kind); /* "theme", "colour", "pair", "class" */
bool section_holds(const Instance *instance, const Section *section, size_t card);
/* The card's role there: for the theme; elsewhere what all its tags together say. */
Role section_role(const Instance *instance, const Section *section, size_t card);

#endif
