/* header_words.h - what people call things in sheets: headers, words for nothing, for totals, for no colour. Matched
 * folded, in English and a few other languages. */
#ifndef POOLWRIGHT_CARDS_SHEET_HEADER_WORDS_H
#define POOLWRIGHT_CARDS_SHEET_HEADER_WORDS_H

#include <stdbool.h>
#include <stddef.h>

#include "cards/role.h"
#include "cards/sheet/sheet.h"

/* What a column may be; HOLDS_OWN is one of the user's own. In the order of field_name. */
typedef enum {
    HOLDS_NAME,
    HOLDS_COLOURS,
    HOLDS_KIND,
    HOLDS_COST,
    HOLDS_POWER,
    HOLDS_PRICE,
    HOLDS_TAGS,
    HOLDS_ENABLES, /* this and the next: tags with the role that the header says */
    HOLDS_PAYS_OFF,
    HOLDS_TEXT,
    HOLDS_COPIES,
    HOLDS_OWNED,
    HOLDS_STATUS,
    HOLDS_LOW,
    HOLDS_HIGH,
    HOLDS_DATE,
    HOLDS_CURRENCY,
    HOLDS_SHOP, /* this and the next three: of sheets of prices alone */
    HOLDS_STOCK,
    HOLDS_CONDITION,
    HOLDS_LANGUAGE,
    HOLDS_CHOSEN,
    HOLDS_PAID, /* of sheets of owned cards and of the present pool */
    HOLDS_ROLE,
    HOLDS_WEIGHT,
    HOLDS_OWN
} ColumnField;
#define HOLDS_FIELDS HOLDS_OWN

/* "name", "colours", ...; "own". */
const char *field_name(ColumnField field);
/* The field of this name, or -1. */
int field_of_name(const char *name);

bool field_is_tags(ColumnField field); /* tags, enables or pays_off */

/* How well a header names the field: 100 one of its words, 60 one of its words among others, 0 not at all; a text of
 * more than a thousand bytes names none. */
int header_names(const char *header, ColumnField field);
/* Is the whole header a word for the field? */
bool header_is(const char *header, ColumnField field);
/* The first header that names the field best, or -1. */
int header_meant(const char *const *header, size_t headers, ColumnField field);
/* A list that was written here, by its headers? */
bool sheet_is_written(const Sheet *sheet);
/* Is the column one that a written pool added (CardSet.listed)? */
bool header_is_listed(const Sheet *sheet, size_t column);
/* Does the header speak of cards that are wished, kept or banned? */
bool header_is_status(const char *header);
/* Does the header say a month or a year, as those of prices noted down month by month? */
bool header_is_month(const char *header);
/* Of a sheet of notes from play: does the header speak of verdicts, of remarks? */
bool header_is_verdict(const char *header);
bool header_is_remark(const char *header);
/* Does the header speak of notes, numbers of lines and the like, which are nothing to the pool? */
bool header_is_aside(const char *header);

/* The word from which the header is one letter away; NULL: none. */
const char *header_slip(const char *header, const char *const *word, size_t words);
/* Tells that the header, which is read as nothing, was perhaps meant for the word. mapped: the model can say otherwise.
 */
void header_tell_slip(const char *header, const char *word, bool mapped, SourcePos at, Diags *diags);
/* Tells each such header of a sheet that has none of the words. read: [header.cells] is it read as something, or does
 * the model say that it is the user's own? */
void headers_tell_slips(const Sheet *sheet, const bool *read, const char *const *word, size_t words, bool mapped,
                        Diags *diags);

/* The same where column[words] is the column of each word, or -1. */
void headers_tell_missing(const Sheet *sheet, const int *column, const char *const *word, size_t words, Diags *diags);

/* "keep", "ban", "wish" or "in" for a word of somebody's own for it; NULL: none that we know. */
const char *word_as_status(const char *text);
/* Does the cell say one of these, among words parted by ';'? */
bool cell_says_status(const char *text);
bool word_is_nothing(const char *text);    /* "n/a", "?", "-" */
bool word_is_total(const char *text);      /* "Total", "Sum of prices" */
bool word_is_colourless(const char *text); /* "colourless", "neutral" */
bool word_is_removal(const char *tag);     /* a tag that is no theme but an answer to other cards */
#define TITLE_MARKS " +&,;-_.()[]#"        /* between the words of a sheet's title */
/* In the title of a sheet: a word that says that it is a list, or a number. */
bool word_is_list(const char *text);
/* A word of somebody's own for a role: "starter", "reward"; ROLE_NONE: none that we know. */
Role word_as_role(const char *text);
bool word_is_fixing(const char *text); /* a tag or kind of cards that help to pay */
/* What a word between colours says: '+' ("brass and tar": both are needed), '/' ("brass or tar": either will do), or
 * '\0': it is no such word. */
char word_between(const char *word, size_t length);
/* The text with these words, where they stand between others, as '+' and as the mark `either`, and blanks behind so
 * that it stays as long. What is one of the names is no such word. Freed with mem_free; NULL: there are none. */
char *words_as_marks(const char *text, char either, const char *const *name, size_t names);
bool word_is_any(const char *text); /* "all", "any": no name of a colour or theme */
/* 1 for "yes", "x" and the like, 0 for "no", -1 for anything else. */
int word_says_yes(const char *text);

#endif
