/* lookup.c - finding cards, columns, kinds and tags by name. */
#include <stdlib.h>
#include <string.h>

#include "base/near.h"
#include "base/number.h"
#include "base/text.h"
#include "cards/cards.h"
#include "cards/sheet/sheet_numbers.h"

static int compare_name(const void *key, const void *item)
{
    return strcmp(key, ((const Card *)item)->folded);
}

long card_find(const CardSet *set, const char *name)
{
    char *folded = text_fold(name);
    const Card *found =
        set->count == 0 ? NULL : bsearch(folded, set->card, set->count, sizeof *set->card, compare_name);
    mem_free(folded);
    return found == NULL ? -1 : (long)(found - set->card);
}

bool card_sets_alike(const CardSet *a, const CardSet *b)
{
    bool alike = a->count == b->count;
    for (size_t c = 0; alike && c < a->count; c++)
        alike = strcmp(a->card[c].folded, b->card[c].folded) == 0;
    return alike;
}

#define PART_LENGTH 3 /* shorter ones are in too many names */

/* The first card whose name holds the word: "Dinghy" for "Mail Dinghy"; begins: begins with it. */
static long holding(const char *folded, bool begins, const CardSet *set)
{
    if (strlen(folded) < PART_LENGTH)
        return -1;
    for (size_t i = 0; i < set->count; i++) {
        const char *at = strstr(set->card[i].folded, folded);
        if (at != NULL && (!begins || at == set->card[i].folded))
            return (long)i;
    }
    return -1;
}

const char *card_nearest(const CardSet *set, const char *name)
{
    char *folded = text_fold(name);
    NearWord *wanted = near_word(folded), **known = mem_new(set->count, sizeof *known);
    for (size_t i = 0; i < set->count; i++)
        known[i] = near_word(set->card[i].folded);
    long nearest = holding(folded, true, set);
    if (nearest < 0)
        nearest = near_find(wanted, known, set->count);
    if (nearest < 0)
        nearest = holding(folded, false, set);
    for (size_t i = 0; i < set->count; i++)
        mem_free(known[i]);
    mem_free(known);
    mem_free(wanted);
    mem_free(folded);
    return nearest < 0 ? NULL : set->card[nearest].name;
}

int card_column(const CardSet *set, const char *header)
{
    return (int)text_find(header, set->column, set->columns);
}

/* Kinds and tags are in order of their folded forms. */
static int find_sorted(const char *word, const char *const *words, size_t count)
{
    char *wanted = text_fold(word);
    size_t low = 0, high = count;
    int found = -1;
    while (low < high && found < 0) {
        const size_t middle = low + (high - low) / 2;
        char *folded = text_fold(words[middle]);
        const int order = strcmp(folded, wanted);
        mem_free(folded);
        if (order == 0)
            found = (int)middle;
        else if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    mem_free(wanted);
    return found;
}

int card_kind(const CardSet *set, const char *kind)
{
    return find_sorted(kind, set->kind, set->kinds);
}

int card_tag(const CardSet *set, const char *tag)
{
    return find_sorted(tag, set->tag, set->tags);
}

static int compare_tag(const void *key, const void *item)
{
    const int tag = *(const int *)key, other = ((const CardTag *)item)->tag;
    return (tag > other) - (tag < other);
}

const CardTag *card_has_tag(const Card *card, int tag)
{
    return card->tags == 0 ? NULL : bsearch(&tag, card->tag, card->tags, sizeof *card->tag, compare_tag);
}

CellKind card_number(const CardSet *set, const Card *card, int column, int64_t *thousandths)
{
    const char *cell = card->cell[column];
    if (habits_blank(set->habits, cell))
        return CELL_BLANK;
    switch (form_number(set->file[card->file].form, cell, 3, thousandths, NULL)) {
    case NUMBER_OK: return CELL_NUMBER;
    case NUMBER_TOO_FINE: return CELL_TOO_FINE;
    case NUMBER_TOO_LARGE: return CELL_TOO_LARGE;
    case NUMBER_DOUBTFUL: /* of money only */
    case NUMBER_NONE: break;
    }
    return CELL_TEXT;
}
