/* glossary.h - what the words on the screens mean. The table behind it is the only source: the verb `words` prints it,
 * and docs/words.md is held against it by a test. */
#ifndef POOLWRIGHT_REPORT_WORDS_GLOSSARY_H
#define POOLWRIGHT_REPORT_WORDS_GLOSSARY_H

#include <jansson.h>

#include "base/text.h"
#include "report/layout/table.h"

typedef struct {
    const char *word;
    const char *also;    /* other words that lead here, with commas between; NULL: none */
    const char *meaning; /* a sentence to three; the first says it in short */
} GlossaryEntry;

/* The entry of a word, whatever its case, its plural or a word that means the same; NULL: there is none. */
const GlossaryEntry *glossary_find(const char *word);
/* The nearest word that has an entry; NULL: none is near. */
const char *glossary_nearest(const char *word);

/* Every word with the first sentence of its meaning. */
void glossary_text(const Style *style, Text *out);
/* One word with all of it. */
void glossary_entry_text(const GlossaryEntry *entry, const Style *style, Text *out);
/* {"words": [{"word", "group", "also": [..], "meaning"}]}; entry NULL: all. */
json_t *glossary_json(const GlossaryEntry *entry);

#endif
