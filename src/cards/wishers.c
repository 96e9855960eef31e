/* wishers.c - who wishes a card: names of people, in the order of their folded names. */
#include <string.h>

#include "base/text.h"
#include "cards/cards.h"

/* Where the name is, or would be put. */
static size_t place_of(const Card *card, const char *folded, bool *known)
{
    size_t k = 0;
    while (k < card->wishers && strcmp(card->wisher[k].folded, folded) < 0)
        k++;
    *known = k < card->wishers && strcmp(card->wisher[k].folded, folded) == 0;
    return k;
}

static void add_wisher(Card *card, const char *name, Arena *arena)
{
    char *fold = text_fold(name);
    bool known;
    const size_t at = place_of(card, fold, &known);
    if (!known) {
        Wisher *list = arena_alloc(arena, card->wishers + 1, sizeof *list);
        for (size_t k = 0; k < card->wishers; k++)
            list[k < at ? k : k + 1] = card->wisher[k];
        list[at] = (Wisher){name, arena_strdup(arena, fold)};
        card->wisher = list;
        card->wishers++;
        card->status |= STATUS_WISH;
    }
    mem_free(fold);
}

void card_add_wishers(Card *card, const char *names, Arena *arena)
{
    size_t length;
    const char *name;
    while ((name = text_part(&names, ";", &length)) != NULL)
        if (length > 0)
            add_wisher(card, arena_strndup(arena, name, length), arena);
}
