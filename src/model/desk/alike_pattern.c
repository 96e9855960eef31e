/* alike_pattern.c - a pattern that catches the given cards and not the rest.
 *
 * Each word of the given texts is an expression; of these some are chosen that together catch all given cards. What a
 * word costs is what it catches beyond them, each card by how unlike it is, and something for being a word at all, or
 * four cards would be caught by the oddest word of each. Choosing is the greedy set cover, by cost for each given card
 * newly caught (V. Chvatal, "A greedy heuristic for the set-covering problem", Mathematics of Operations Research 4(3),
 * 1979). What an expression catches is found by running it. */
#include <math.h>
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "base/words.h"
#include "cards/patterns.h"
#include "model/desk/alike.h"

#define WORD_COST 10000 /* thousandths of a card: so many cards that have nothing in common is a word worth */

typedef struct {
    const char *term;
    const char *piece; /* the expression */
    bool *catches;     /* [cards] */
    bool chosen;
} Word;

typedef struct {
    const Instance *in;
    Arena *arena;
    const size_t *given;
    size_t count;
    bool *is_given;  /* [cards] */
    int64_t *unlike; /* [cards] thousandths of a card; 0 for the given */
    Word *word;
    size_t words, capacity;
    bool *caught; /* [cards] by what is chosen */
} Finder;

/* ---- words ---- */

/* How many characters of both, from the start, are one (ASCII without regard to case): in bytes. */
static size_t common(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t same = 0;
    for (size_t at = 0; at < a_length && at < b_length; at++) {
        const char x = a[at] >= 'A' && a[at] <= 'Z' ? (char)(a[at] + 32) : a[at];
        const char y = b[at] >= 'A' && b[at] <= 'Z' ? (char)(b[at] + 32) : b[at];
        if (x != y)
            break;
        if (at + 1 == a_length || ((unsigned char)a[at + 1] & 0xC0) != 0x80)
            same = at + 1;
    }
    return same;
}

static void add_word(Finder *f, const char *word, size_t length)
{
    const char *term = word_term(word, length, f->arena);
    for (size_t k = 0; k < f->words; k++) {
        if (strcmp(f->word[k].term, term) != 0)
            continue;
        const size_t same = common(f->word[k].piece, strlen(f->word[k].piece), word, length);
        f->word[k].piece = arena_strndup(f->arena, f->word[k].piece, same);
        return;
    }
    char *piece = arena_strndup(f->arena, word, length);
    for (char *c = piece; *c != '\0'; c++)
        *c = *c >= 'A' && *c <= 'Z' ? (char)(*c + 32) : *c;
    mem_reserve((void **)&f->word, &f->capacity, f->words + 1, sizeof *f->word);
    f->word[f->words++] = (Word){.term = term, .piece = piece};
}

static int by_term(const void *a, const void *b)
{
    return strcmp(((const Word *)a)->term, ((const Word *)b)->term);
}

static bool is_short(const char *term)
{
    return words_prefix(term, strlen(term), STEM_CHARACTERS) == words_prefix(term, strlen(term), STEM_CHARACTERS - 1);
}

/* Short words are themselves; of longer ones the beginning is enough, so that endings do not matter. */
static void list_words(Finder *f)
{
    for (size_t k = 0; k < f->count; k++) {
        size_t length;
        for (const char *at = f->in->cards->card[f->given[k]].text, *word; (word = words_next(&at, &length)) != NULL;)
            add_word(f, word, length);
    }
    sort_stable(f->word, f->words, sizeof *f->word, by_term);
    size_t kept = 0;
    for (size_t k = 0; k < f->words; k++) {
        if (f->word[k].piece[0] == '\0')
            continue; /* spellings with nothing in common */
        f->word[kept] = f->word[k];
        f->word[kept].piece = arena_printf(f->arena, is_short(f->word[k].term) ? "%s\\b" : "%s", f->word[k].piece);
        kept++;
    }
    f->words = kept;
}

/* False when the expression is none, or takes too long somewhere. */
static bool run(const Finder *f, const char *expression, bool *catches)
{
    char trouble[TEXT_PATTERN_TROUBLE];
    size_t at;
    TextPattern *pattern = text_pattern_new(expression, trouble, &at);
    bool good = pattern != NULL;
    for (size_t c = 0; c < f->in->cards->count && good; c++) {
        const TextFound found = text_pattern_find(pattern, f->in->cards->card[c].text);
        catches[c] = found == TEXT_FOUND;
        good = found != TEXT_CUT_OFF;
    }
    text_pattern_free(pattern);
    return good;
}

static void catch_each(Finder *f)
{
    for (size_t k = 0; k < f->words; k++) {
        f->word[k].catches = arena_alloc(f->arena, f->in->cards->count + 1, sizeof *f->word[k].catches);
        if (!run(f, arena_printf(f->arena, "\\b%s", f->word[k].piece), f->word[k].catches))
            memset(f->word[k].catches, 0, f->in->cards->count * sizeof *f->word[k].catches);
    }
}

/* ---- choosing ---- */

/* A card as alike as the given ones are among each other, on average, costs nothing; one with nothing in common counts
 * in full. A single card is compared with the middle of those that are next. */
static void price_cards(Finder *f, const double *text, const AlikeCards *alike)
{
    double among = 0;
    for (size_t k = 0; k < f->count; k++)
        among += text[f->given[k]] / (double)f->count;
    if (f->count == 1 && alike->others > 0)
        among = text[alike->other[alike->others < ALIKE_NEAR ? alike->others / 2 : ALIKE_NEAR / 2].card];
    for (size_t c = 0; c < f->in->cards->count; c++) {
        const double unlike = among > 0 ? 1 - text[c] / among : 1;
        f->unlike[c] = f->is_given[c] || unlike < 0 ? 0 : (int64_t)rint(1000 * unlike);
    }
}

/* The word with the least cost for each given card newly caught; NULL when none catches another. */
static Word *cheapest(const Finder *f)
{
    Word *best = NULL;
    int64_t best_cost = 0, best_fresh = 0;
    for (size_t k = 0; k < f->words; k++) {
        Word *word = &f->word[k];
        int64_t cost = WORD_COST, fresh = 0;
        for (size_t c = 0; c < f->in->cards->count; c++)
            if (word->catches[c] && !f->caught[c]) {
                cost += f->unlike[c];
                fresh += f->is_given[c];
            }
        if (fresh > 0 && (best == NULL || cost * best_fresh < best_cost * fresh)) {
            best = word;
            best_cost = cost;
            best_fresh = fresh;
        }
    }
    return best;
}

/* A word whose given cards others catch too is left out. */
static void drop_needless(Finder *f)
{
    for (size_t k = 0; k < f->words; k++) {
        bool needed = false;
        for (size_t g = 0; g < f->count && f->word[k].chosen && !needed; g++) {
            size_t others = 0;
            for (size_t o = 0; o < f->words; o++)
                others += o != k && f->word[o].chosen && f->word[o].catches[f->given[g]];
            needed = f->word[k].catches[f->given[g]] && others == 0;
        }
        f->word[k].chosen = f->word[k].chosen && needed;
    }
}

static const char *choose(Finder *f)
{
    size_t chosen = 0;
    for (Word *word; (word = cheapest(f)) != NULL;) {
        word->chosen = true;
        for (size_t c = 0; c < f->in->cards->count; c++)
            f->caught[c] = f->caught[c] || word->catches[c];
    }
    drop_needless(f);
    Text pieces = {0};
    for (size_t k = 0; k < f->words; k++)
        if (f->word[k].chosen)
            text_printf(&pieces, "%s%s", chosen++ > 0 ? "|" : "", f->word[k].piece);
    const char *expression = chosen == 0   ? NULL
                             : chosen == 1 ? arena_printf(f->arena, "\\b%s", text_cstr(&pieces))
                                           : arena_printf(f->arena, "\\b(?:%s)", text_cstr(&pieces));
    text_release(&pieces);
    return expression;
}

void alike_pattern(const Instance *in, const size_t *given, size_t count, const double *text, AlikeCards *alike)
{
    Arena *arena = arena_new();
    const size_t cards = in->cards->count;
    Finder f = {.in = in,
                .arena = arena,
                .given = given,
                .count = count,
                .is_given = arena_alloc(arena, cards + 1, sizeof(bool)),
                .unlike = arena_alloc(arena, cards + 1, sizeof(int64_t)),
                .caught = arena_alloc(arena, cards + 1, sizeof(bool))};
    for (size_t k = 0; k < count; k++)
        f.is_given[given[k]] = true;
    list_words(&f);
    catch_each(&f);
    price_cards(&f, text, alike);
    const char *expression = choose(&f);
    alike->catches = mem_new(cards + 1, sizeof *alike->catches);
    if (expression != NULL && run(&f, expression, alike->catches))
        alike->pattern = mem_strdup(expression);
    for (size_t k = 0; k < count && alike->pattern != NULL; k++)
        alike->caught += alike->catches[given[k]];
    for (size_t k = 0; k < alike->others && alike->pattern != NULL; k++)
        *(k < ALIKE_NEAR ? &alike->caught_near : &alike->caught_beyond) += alike->catches[alike->other[k].card];
    mem_free(f.word);
    arena_free(arena);
}
