/* columns.c - the user's own columns, as numbers or as text. */
#include "base/text.h"
#include "model/yaml/fields.h"
#include "model/instance/instance_cache.h"

/* The only column that the model maps to this word of ours ("symbols"), or -1. */
static int mapped_column(const CardSet *cards, const char *known)
{
    int found = -1;
    for (size_t i = 0; i < cards->columns; i++)
        if (cards->serves[i] != NULL && text_folds_to(known, cards->serves[i])) {
            if (found >= 0)
                return -1;
            found = (int)i;
        }
    return found;
}

int find_column(const InstanceBuilder *builder, const char *name, const FieldTable *built_in, const char *what,
                SourcePos at)
{
    const CardSet *cards = builder->instance->cards;
    int column = card_column(cards, name);
    if (column < 0)
        column = mapped_column(cards, name);
    if (column >= 0)
        return column;
    const char **words = mem_new(built_in->count + cards->columns, sizeof *words);
    for (size_t i = 0; i < built_in->count; i++)
        words[i] = built_in->field[i].name;
    for (size_t i = 0; i < cards->columns; i++)
        words[built_in->count + i] = cards->column[i];
    const char *nearest = text_nearest(name, words, built_in->count + cards->columns);
    mem_free(words);
    diag_error(builder->diags, at, "unknown %s '%s', neither built in nor a column of the cards sheets%s", what, name,
               did_you_mean(nearest, builder->instance->arena));
    return -1;
}

void read_column(const Instance *instance, int column)
{
    ColumnCache *cache = &instance->cache->column[column];
    const CardSet *cards = instance->cards;
    if (cache->value != NULL)
        return;
    cache->value = arena_alloc(instance->arena, cards->count, sizeof *cache->value);
    cache->kind = arena_alloc(instance->arena, cards->count, sizeof *cache->kind);
    for (size_t c = 0; c < cards->count; c++)
        cache->kind[c] = card_number(cards, &cards->card[c], column, &cache->value[c]);
}

const ColumnCache *numeric_column(const InstanceBuilder *builder, int column, const char *asker, SourcePos at)
{
    const Instance *instance = builder->instance;
    const CardSet *cards = instance->cards;
    if (column < 0)
        return NULL;
    read_column(instance, column);
    ColumnCache *cache = &instance->cache->column[column];
    if (cache->checked)
        return cache->sound ? cache : NULL;
    cache->checked = cache->sound = true;
    for (size_t c = 0; c < cards->count; c++) {
        if (cache->kind[c] == CELL_NUMBER || cache->kind[c] == CELL_BLANK)
            continue;
        const Card *card = &cards->card[c];
        const char *expected = cache->kind[c] == CELL_TOO_FINE    ? "a number with at most 3 decimals"
                               : cache->kind[c] == CELL_TOO_LARGE ? "a smaller number"
                                                                  : "a number";
        char excerpt[TEXT_EXCERPT];
        diag_error(builder->diags, card->at, "column '%s' holds '%s', expected %s, since %s uses it as one (%s:%d)",
                   cards->column[column], text_excerpt(excerpt, card->cell[column]), expected, asker,
                   at.file != NULL ? at.file : "command line", at.line);
        cache->sound = false;
    }
    return cache->sound ? cache : NULL;
}

void fold_column(const Instance *instance, int column)
{
    ColumnCache *cache = &instance->cache->column[column];
    const CardSet *cards = instance->cards;
    if (cache->folded != NULL)
        return;
    cache->folded = arena_alloc(instance->arena, cards->count, sizeof *cache->folded);
    for (size_t c = 0; c < cards->count; c++)
        cache->folded[c] = text_fold_in(instance->arena, cards->card[c].cell[column]);
}
