/* lookup.c - finding cards, columns, kinds and tags by name. */
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/cards.h"

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

#define PART_LENGTH 3 /* shorter ones are in too many names */

/* The first name that holds the word: "Dinghy" for "Mail Dinghy". */
static const char *holding(const char *part, const char *const *names, size_t count)
{
    const char *found = NULL;
    char *wanted = text_fold(part);
    for (size_t i = 0; i < count && found == NULL && strlen(wanted) >= PART_LENGTH; i++) {
        char *mine = text_fold(names[i]);
        if (strstr(mine, wanted) != NULL)
            found = names[i];
        mem_free(mine);
    }
    mem_free(wanted);
    return found;
}

const char *card_nearest(const CardSet *set, const char *name)
{
    const char **names = mem_new(set->count, sizeof *names);
    for (size_t i = 0; i < set->count; i++)
        names[i] = set->card[i].name;
    const char *nearest = text_nearest(name, names, set->count);
    if (nearest == NULL)
        nearest = holding(name, names, set->count);
    mem_free(names);
    return nearest;
}

int card_column(const CardSet *set, const char *header)
{
    return (int)text_find(header, set->column, set->columns);
}

int card_kind(const CardSet *set, const char *kind)
{
    return (int)text_find(kind, set->kind, set->kinds);
}

int card_tag(const CardSet *set, const char *tag)
{
    return (int)text_find(tag, set->tag, set->tags);
}

const CardTag *card_has_tag(const Card *card, int tag)
{
    for (size_t i = 0; i < card->tags; i++)
        if (card->tag[i].tag == tag)
            return &card->tag[i];
    return NULL;
}

CellKind card_number(const CardSet *set, const Card *card, int column, int64_t *thousandths)
{
    const char *cell = card->cell[column];
    if (cell[0] == '\0')
        return CELL_BLANK;
    switch (number_parse(cell, 3, set->file[card->file].separator != ',', thousandths)) {
    case NUMBER_OK: return CELL_NUMBER;
    case NUMBER_TOO_FINE: return CELL_TOO_FINE;
    case NUMBER_TOO_LARGE: return CELL_TOO_LARGE;
    case NUMBER_DOUBTFUL: /* of money only */
    case NUMBER_NONE: break;
    }
    return CELL_TEXT;
}
