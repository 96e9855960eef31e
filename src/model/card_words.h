/* card_words.h - what a scenario says of single cards over months: on trial until a day, never for a reason. */
#ifndef POOLWRIGHT_MODEL_CARD_WORDS_H
#define POOLWRIGHT_MODEL_CARD_WORDS_H

#include "model/scenario.h"
#include "model/yaml/values.h"

typedef struct CardWord CardWord;
struct CardWord {
    NameAt name;
    int trial;         /* DAY_UNKNOWN: none */
    const char *never; /* NULL: none */
};

/* {Harbour Pilot: 2026-06-01} and {Fog Packet: too slow}; either may be NULL. All in the context's arena. */
CardWord *card_words_read(const ReadContext *context, const YamlNode *trial, const YamlNode *never, size_t *count);

/* The scenario's list of cards to keep with those that are on trial on its day behind; its bans with those that are
 * never in. NULL where there are none. */
const YamlNode *card_words_keep(const Scenario *scenario, const YamlNode *keep);
const YamlNode *card_words_ban(const Scenario *scenario, const YamlNode *ban);

#endif
