/* habits.h - how sheets are read that stray from the usual form: what a model says under `read` (docs/files.md, "Sheets
 * as they are"). All zero is the usual form. */
#ifndef POOLWRIGHT_CARDS_HABITS_H
#define POOLWRIGHT_CARDS_HABITS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"
#include "cards/role.h"

typedef enum { DUPLICATES_ERROR, DUPLICATES_FIRST, DUPLICATES_LAST, DUPLICATES_FILL } Duplicates;
typedef enum { DECIMAL_BY_SEPARATOR, DECIMAL_POINT, DECIMAL_COMMA } DecimalMark;

/* How numbers stand in a sheet: see sheet_numbers.h. */
typedef struct {
    bool comma;  /* a comma may be the decimal mark */
    bool groups; /* the model says which mark is the decimal one: the other may part groups of three digits */
} NumberForm;

/* A word in cells of colours that is no colour's name: "n/a", "b", "brss". */
typedef struct {
    const char *word, *folded;
    int colour; /* index into the vocabulary; -1: no colour */
} ColourWord;

/* A word of the user's own for one of ours, of roles, statuses or verdicts: "starter" for "enabler", "behalten" for
 * "keep"; for "none": a word where roles or statuses stand, which says nothing. */
typedef struct {
    const char *word, *folded, *meant;
} OwnWord;

typedef struct {
    const char *tags_split;         /* characters that part tags and kinds, besides ';'; NULL: none */
    const char *colours_split;      /* characters that part colours which are all needed, besides '+'; NULL: none */
    bool slash_said, slash_is_both; /* "brass/tar" needs both; said: the model says which */
    DecimalMark decimal;
    bool listed_names;       /* names stand as "- Name", "2 Name", "2x Name", "Name x2" */
    const char *const *skip; /* [skips] folded names of lines that are no cards; "": lines without a name */
    size_t skips;
    const char *const *blank; /* [blanks] folded words that stand for a blank cell */
    size_t blanks;
    const ColourWord *colour_word; /* [colour_words] */
    size_t colour_words;
    const OwnWord *own_word; /* [own_words] */
    size_t own_words;
    Duplicates duplicates;
} Habits;

/* Is the cell blank, or a word that stands for it? */
bool habits_blank(const Habits *habits, const char *text);
/* Is a line of this name no card? */
bool habits_skip(const Habits *habits, const char *name);
/* Does the character part tags and kinds? */
bool habits_parts_tags(const Habits *habits, char c);
/* The colour that the word stands for; -1: it says that there is no colour; -2: it is no such word. A run of letters
 * each of which stands for a colour, such as "bt", is left to the caller. */
int habits_colour(const Habits *habits, const char *word);

/* The word of ours for which the user's own word stands, or NULL. */
const char *habits_meant(const Habits *habits, const char *word);
/* The index of the word, or of what the user's own word for it means, among words of ours; -1: none of them. */
long habits_find(const Habits *habits, const char *word, const char *const *ours, size_t count);
/* role_named, or what the user's own word says. */
Role habits_role(const Habits *habits, const char *word);
/* Is it a word of the user's own that says nothing where a role may stand? */
bool habits_no_role(const Habits *habits, const char *word);

#endif
