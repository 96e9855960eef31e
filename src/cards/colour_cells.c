/* colour_cells.c - cells of colours by the habits of a sheet: other words for colours, other marks and words between
 * them. The cell is written anew in the usual form, which colours.c then reads. */
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/reading.h"

typedef struct {
    const CardVocabulary *vocabulary;
    const Habits *habits;
    Text text;   /* in the usual form */
    bool joined; /* a '/' stood since the last colour */
} Rewriting;

static Rewriting rewriting(const CardVocabulary *vocabulary)
{
    static const Habits usual = {0};
    return (Rewriting){.vocabulary = vocabulary, .habits = vocabulary->habits != NULL ? vocabulary->habits : &usual};
}

static bool strays(const Habits *habits)
{
    return habits->colours_split != NULL || habits->slash_is_both || habits->colour_words > 0;
}

#define EITHER '\001' /* stands for "or": no cell holds it */

static bool parts(const Habits *habits, char c)
{
    return c == '+' || c == '/' || c == EITHER ||
           (c != '\0' && habits->colours_split != NULL && strchr(habits->colours_split, c));
}

static void add_colour(Rewriting *r, int colour)
{
    if (colour < 0)
        return;
    if (r->text.length > 0)
        text_add_char(&r->text, r->joined ? '/' : '+');
    r->joined = false;
    text_add(&r->text, r->vocabulary->colour[colour]);
}

/* The colour that the word names or stands for; -1 none of them, -2 unknown. */
static int find_colour(const Rewriting *r, const char *word)
{
    const long named = text_find(word, r->vocabulary->colour, r->vocabulary->colours);
    return named >= 0 ? (int)named : habits_colour(r->habits, word);
}

/* "bt" where b and t each stand for a colour. */
static bool add_letters(Rewriting *r, const char *word)
{
    for (int pass = 0; pass < 2; pass++)
        for (const char *c = word; *c != '\0'; c += text_character(c)) {
            char *letter = mem_strndup(c, text_character(c));
            const int colour = find_colour(r, letter);
            mem_free(letter);
            if (colour == -2)
                return false; /* in the first pass: nothing was added */
            if (pass == 1)
                add_colour(r, colour);
        }
    return true;
}

static bool add_word(Rewriting *r, const char *word)
{
    const int colour = find_colour(r, word);
    if (colour != -2) {
        add_colour(r, colour);
        return true;
    }
    return add_letters(r, word);
}

static bool has_word_between(const char *name)
{
    char *marked = words_as_marks(name, EITHER, NULL, 0);
    mem_free(marked);
    return marked != NULL;
}

/* The cell with marks for the words between colours; NULL: it has none, or a name of a colour has such words in it. */
static char *marked_cell(const Rewriting *r, const char *text)
{
    const CardVocabulary *vocabulary = r->vocabulary;
    char *marked = words_as_marks(text, EITHER, vocabulary->colour, vocabulary->colours);
    bool spoken = false;
    for (size_t c = 0; c < vocabulary->colours && marked != NULL && !spoken; c++)
        spoken = has_word_between(vocabulary->colour[c]);
    for (size_t w = 0; w < r->habits->colour_words && marked != NULL && !spoken; w++) {
        const char *word = r->habits->colour_word[w].folded;
        spoken = r->habits->colour_word[w].colour >= 0 &&
                 (has_word_between(word) || word_between(word, strlen(word)) != '\0');
    }
    if (!spoken)
        return marked;
    mem_free(marked);
    return NULL;
}

/* The words between marks; false with an error that says what is wrong with one of them. */
static bool add_words(Rewriting *r, const char *text, SourcePos at, ColourNeed *need, Diags *diags)
{
    bool good = true;
    for (const char *rest = text; good && *rest != '\0';) {
        size_t size = 0;
        while (rest[size] != '\0' && !parts(r->habits, rest[size]))
            size++;
        size_t length = size;
        const char *start = text_trim(rest, &length);
        char *word = mem_strndup(start, length);
        if (length > 0 && !add_word(r, word)) {
            SourcePos there = at;
            if (there.column > 0)
                there.column += (int)text_characters(text, (size_t)(start - text));
            colours_parse(r->vocabulary, word, there, need, diags);
            good = false;
        }
        mem_free(word);
        r->joined = r->joined || rest[size] == EITHER || (rest[size] == '/' && !r->habits->slash_is_both);
        rest += size + (rest[size] != '\0');
    }
    return good;
}

bool colours_parse_cell(const CardVocabulary *vocabulary, const char *text, SourcePos at, ColourNeed *need,
                        Diags *diags)
{
    Rewriting r = rewriting(vocabulary);
    char *marked = marked_cell(&r, text);
    if (marked == NULL && !strays(r.habits))
        return colours_parse(vocabulary, text, at, need, diags);
    bool good = colours_none(text) || add_word(&r, text);
    if (!good)
        good = add_words(&r, marked != NULL ? marked : text, at, need, diags);
    if (good)
        good = colours_parse(vocabulary, text_cstr(&r.text), at, need, diags);
    text_release(&r.text);
    mem_free(marked);
    return good;
}

#define NAME_WORDS 3

/* The longest run of words, of at most NAME_WORDS, that is called as a colour; *rest goes behind it. -2: none. */
static int colour_of_words(const Rewriting *r, const char **rest)
{
    const char *at = *rest, *start = NULL;
    size_t length;
    int found = -2;
    for (int words = 0; words < NAME_WORDS && at[0] != '\0';) {
        const char *part = text_part(&at, TITLE_MARKS, &length);
        if (length == 0)
            continue;
        start = start == NULL ? part : start;
        char *name = mem_strndup(start, (size_t)(part - start) + length);
        const int colour = find_colour(r, name);
        mem_free(name);
        if (colour != -2) {
            found = colour;
            *rest = at;
        }
        words++;
    }
    return found;
}

/* Written as in a cell; false: a word is neither a colour nor one that any list may be called with. */
static bool rewrite_title(Rewriting *r, const char *title)
{
    size_t length;
    const char *part;
    for (;;) {
        const int colour = colour_of_words(r, &title);
        if (colour >= 0)
            add_colour(r, colour);
        if (colour != -2)
            continue;
        if ((part = text_part(&title, TITLE_MARKS, &length)) == NULL)
            break;
        if (length == 0)
            continue;
        char *word = mem_strndup(part, length);
        const bool known =
            colours_none(word) || word_is_colourless(word) || word_is_list(word) || word_between(word, length) == '+';
        mem_free(word);
        if (!known)
            return false;
    }
    return true;
}

bool colours_of_title(const CardVocabulary *vocabulary, const char *title, ColourNeed *need)
{
    Rewriting r = rewriting(vocabulary);
    Diags none;
    diags_init(&none);
    const int whole = find_colour(&r, title);
    if (whole >= 0)
        add_colour(&r, whole);
    const bool named = whole >= 0 || rewrite_title(&r, title);
    const bool good =
        named && r.text.length > 0 && colours_parse(vocabulary, text_cstr(&r.text), (SourcePos){0}, need, &none);
    diags_release(&none);
    text_release(&r.text);
    return good;
}

bool colours_parse_mark(const Reading *reading, int colour, Line *line)
{
    const char *text = reading->cell->text;
    const ColourMask bit = (ColourMask)(1u << colour);
    const int yes = word_says_yes(text);
    int64_t symbols = yes > 0 ? 1 : 0;
    if (strcmp(text, "/") == 0)
        line->either |= bit;
    else if (text[0] != '\0' && yes < 0 && (number_parse(text, 0, false, &symbols) != NUMBER_OK || symbols < 0))
        return reading_wrong(reading,
                             "x, yes or a number of symbols (the card needs this colour), / (this or another one "
                             "marked so), or a blank cell",
                             "");
    if (symbols > 0)
        line->needed |= bit;
    return true;
}

void colours_of_marks(const CardVocabulary *vocabulary, const Line *line, ColourNeed *need)
{
    Text text = {0};
    Diags none;
    diags_init(&none);
    for (int pass = 0; pass < 2; pass++)
        for (size_t c = 0, first = 1; c < vocabulary->colours; c++) {
            const unsigned marked = pass == 0 ? line->needed : line->either;
            if ((marked >> c & 1U) == 0)
                continue;
            text_add(&text, text.length == 0 ? "" : pass == 0 || first ? "+" : "/");
            text_add(&text, vocabulary->colour[c]);
            first = 0;
        }
    colours_parse(vocabulary, text_cstr(&text), (SourcePos){0}, need, &none);
    diags_release(&none);
    text_release(&text);
}
