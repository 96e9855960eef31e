/* colours.c - what a card needs to be paid: parts joined by "+", each payable by any one of its colours joined by "/".
 *
 * A need is a monotone formula in conjunctive normal form; its canonical form keeps only the parts that no other
 * implies (absorption), so equal needs have equal parts. */
#include "cards/cards.h"

#include <string.h>

#include "base/text.h"

ColourMask colours_union(const ColourNeed *need)
{
    unsigned mask = 0;
    for (int i = 0; i < need->parts; i++)
        mask |= need->part[i];
    return (ColourMask)mask;
}

bool colours_equal(const ColourNeed *a, const ColourNeed *b)
{
    if (a->parts != b->parts)
        return false;
    for (int i = 0; i < a->parts; i++)
        if (a->part[i] != b->part[i])
            return false;
    return true;
}

bool colours_exact(const ColourNeed *need, ColourMask mask)
{
    return colours_union(need) == mask;
}

bool colours_touching(const ColourNeed *need, ColourMask mask)
{
    return (colours_union(need) & mask) != 0;
}

bool colours_playable(const ColourNeed *need, ColourMask mask)
{
    for (int i = 0; i < need->parts; i++)
        if ((need->part[i] & mask) == 0)
            return false;
    return true;
}

static bool is_single(ColourMask mask)
{
    return (mask & (mask - 1)) == 0;
}

CardClass colours_class(const ColourNeed *need, int symbols, int hybrid_as_gold)
{
    if (need->parts == 0)
        return CLASS_COLOURLESS;
    if (need->parts > 1)
        return CLASS_GOLD;
    if (is_single(need->part[0]))
        return CLASS_MONO;
    return hybrid_as_gold > 0 && symbols >= hybrid_as_gold ? CLASS_GOLD : CLASS_HYBRID;
}

const char *class_name(CardClass class)
{
    static const char *const name[CLASS_COUNT] = {"colourless", "mono", "gold", "hybrid", "fixing"};
    return name[class];
}

/* Adds a part, keeping the need canonical. False when there is no room. */
static bool add_part(ColourNeed *need, ColourMask mask)
{
    int kept = 0;
    for (int i = 0; i < need->parts; i++) {
        ColourMask part = need->part[i];
        if ((part & mask) == part)
            return true; /* implied by a part that is there; then none that is there can be implied by the new one */
        if ((part & mask) != mask)
            need->part[kept++] = part;
    }
    need->parts = kept;
    if (kept == COLOUR_PARTS_MAX)
        return false;
    int at = kept;
    for (; at > 0 && need->part[at - 1] > mask; at--)
        need->part[at] = need->part[at - 1];
    need->part[at] = mask;
    need->parts++;
    return true;
}

bool colours_add(ColourNeed *need, const ColourNeed *more)
{
    bool good = true;
    for (int i = 0; i < more->parts; i++)
        good = add_part(need, more->part[i]) && good;
    return good;
}

/* Index of the colour, or -1. The word as written is tried first, since folding is dear. */
static int find_colour(const CardVocabulary *vocabulary, const char *word)
{
    for (size_t i = 0; i < vocabulary->colours; i++)
        if (strcmp(vocabulary->colour[i], word) == 0)
            return (int)i;
    return (int)text_find(word, vocabulary->colour, vocabulary->colours);
}

bool colours_none(const char *word)
{
    return text_folds_to(word, "colourless") || text_folds_to(word, "colorless");
}

/* "brass linen", "brass, linen", "brass&linen": the first two colours of the vocabulary that are parts of the word;
 * false if there are not two. */
static bool two_colours(const CardVocabulary *vocabulary, const char *word, int found[2])
{
    static const char between[] = " ,;&-|.\t";
    int count = 0;
    for (const char *rest = word; *rest != '\0' && count < 2;) {
        const size_t size = strcspn(rest, between);
        char *copy = mem_strndup(rest, size);
        const int colour = size == 0 ? -1 : find_colour(vocabulary, copy);
        mem_free(copy);
        if (colour >= 0)
            found[count++] = colour;
        rest += size + (rest[size] != '\0');
    }
    return count == 2;
}

static void add_how_several(const CardVocabulary *vocabulary, const char *word, Text *text)
{
    int found[2];
    if (!two_colours(vocabulary, word, found))
        return;
    const char *a = vocabulary->colour[found[0]], *b = vocabulary->colour[found[1]];
    text_printf(text, "; several are written %s+%s (needs both) or %s/%s (either will do)", a, b, a, b);
}

static void report_unknown(const CardVocabulary *vocabulary, const char *word, SourcePos at, Diags *diags)
{
    char excerpt[TEXT_EXCERPT];
    text_excerpt(excerpt, word);
    if (vocabulary->colours == 0) /* that is an error of its own */
        return;
    if (word[0] == '\0') {
        diag_error(diags, at, "found no colour here, expected a colour before and after each '+' and '/'");
        return;
    }
    if (colours_none(word)) {
        diag_error(diags, at, "found 'colourless' beside other colours, expected it alone");
        return;
    }
    int several[2];
    const char *nearest =
        two_colours(vocabulary, word, several) ? NULL : text_nearest(word, vocabulary->colour, vocabulary->colours);
    if (nearest != NULL) {
        diag_error(diags, at, "unknown colour '%s'; did you mean '%s'?", excerpt, nearest);
        return;
    }
    Text known = {0};
    for (size_t i = 0; i < vocabulary->colours; i++)
        text_printf(&known, "%s%s", i == 0 ? "" : ", ", vocabulary->colour[i]);
    add_how_several(vocabulary, word, &known);
    diag_error(diags, at, "unknown colour '%s', expected %s", excerpt, text_cstr(&known));
    text_release(&known);
}

static SourcePos at_offset(SourcePos at, const char *text, const char *word)
{
    if (at.column > 0)
        at.column += (int)text_characters(text, (size_t)(word - text));
    return at;
}

bool colours_parse(const CardVocabulary *vocabulary, const char *text, SourcePos at, ColourNeed *need, Diags *diags)
{
    ColourNeed result = {0};
    size_t length = strlen(text);
    const char *rest = text_trim(text, &length);
    if (length == 0 || (length < 16 && colours_none(text))) {
        *need = result;
        return true;
    }
    const char *end = rest + length;
    unsigned part = 0;
    for (const char *start = rest;;) {
        size_t size = strcspn(start, "+/");
        const char *stop = start + size < end ? start + size : end;
        size = (size_t)(stop - start);
        const char *word = text_trim(start, &size);
        char *copy = mem_strndup(word, size);
        int colour = find_colour(vocabulary, copy);
        if (colour < 0)
            report_unknown(vocabulary, copy, at_offset(at, text, word), diags);
        mem_free(copy);
        if (colour < 0)
            return false;
        part |= 1U << colour;
        if (stop == end || *stop == '+') {
            if (!add_part(&result, (ColourMask)part)) {
                diag_error(diags, at, "found more than %d different parts, expected fewer", COLOUR_PARTS_MAX);
                return false;
            }
            part = 0;
        }
        if (stop == end)
            break;
        start = stop + 1;
    }
    *need = result;
    return true;
}

const char *colours_text(const CardVocabulary *vocabulary, const ColourNeed *need, Arena *arena)
{
    if (need->parts == 0)
        return "colourless";
    Text text = {0};
    for (int i = 0; i < need->parts; i++) {
        const char *joint = i == 0 ? "" : "+";
        for (size_t colour = 0; colour < vocabulary->colours; colour++) {
            if ((need->part[i] >> colour & 1) == 0)
                continue;
            text_add(&text, joint);
            text_add(&text, vocabulary->colour[colour]);
            joint = "/";
        }
    }
    const char *copy = arena_strndup(arena, text_cstr(&text), text.length);
    text_release(&text);
    return copy;
}
