/* names.c - words that fold alike: two hash tables (open addressing, FNV-1a), one of spellings and one of folded forms.
 */
#include "cards/names/names.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "base/sort.h"
#include "base/text.h"

typedef struct {
    const char *text;
    int value; /* of a spelling: its word; of a word: the spelling used first, -1 if none; after settling its number */
} Entry;

typedef struct {
    Entry *entry;
    size_t count, capacity;
    int *slot; /* [slots]: index into entry, -1 if free */
    size_t slots;
} Table;

struct Names {
    Arena *arena;
    Table spelling, word;
};

static uint64_t hash(const char *text, size_t length)
{
    uint64_t value = UINT64_C(14695981039346656037);
    for (size_t i = 0; i < length; i++)
        value = (value ^ (unsigned char)text[i]) * UINT64_C(1099511628211);
    return value;
}

/* The slot that holds the text or the free one where it belongs. */
static size_t find_slot(const Table *table, const char *text, size_t length)
{
    size_t at = (size_t)hash(text, length) & (table->slots - 1);
    while (table->slot[at] >= 0) {
        const char *known = table->entry[table->slot[at]].text;
        if (strncmp(known, text, length) == 0 && known[length] == '\0')
            break;
        at = (at + 1) & (table->slots - 1);
    }
    return at;
}

static void grow(Table *table)
{
    table->slots = table->slots == 0 ? 64 : table->slots * 2;
    mem_free(table->slot);
    table->slot = mem_new(table->slots, sizeof *table->slot);
    for (size_t i = 0; i < table->slots; i++)
        table->slot[i] = -1;
    for (size_t i = 0; i < table->count; i++)
        table->slot[find_slot(table, table->entry[i].text, strlen(table->entry[i].text))] = (int)i;
}

/* The text's index; *fresh says whether it is new. */
static int table_add(Table *table, Arena *arena, const char *text, size_t length, bool *fresh)
{
    if (2 * (table->count + 1) > table->slots)
        grow(table);
    size_t at = find_slot(table, text, length);
    *fresh = table->slot[at] < 0;
    if (!*fresh)
        return table->slot[at];
    mem_reserve((void **)&table->entry, &table->capacity, table->count + 1, sizeof *table->entry);
    table->entry[table->count] = (Entry){.text = arena_strndup(arena, text, length), .value = -1};
    table->slot[at] = (int)table->count;
    return (int)table->count++;
}

Names *names_new(void)
{
    Names *names = mem_new(1, sizeof *names);
    names->arena = arena_new();
    return names;
}

void names_free(Names *names)
{
    if (names == NULL)
        return;
    mem_free(names->spelling.entry);
    mem_free(names->spelling.slot);
    mem_free(names->word.entry);
    mem_free(names->word.slot);
    arena_free(names->arena);
    mem_free(names);
}

int names_add(Names *names, const char *text, size_t length)
{
    bool fresh;
    int spelling = table_add(&names->spelling, names->arena, text, length, &fresh);
    if (!fresh)
        return spelling;
    char *folded = text_fold(names->spelling.entry[spelling].text);
    names->spelling.entry[spelling].value = table_add(&names->word, names->arena, folded, strlen(folded), &fresh);
    mem_free(folded);
    return spelling;
}

int names_word(const Names *names, int spelling)
{
    return names->spelling.entry[spelling].value;
}

void names_use(Names *names, int spelling)
{
    Entry *word = &names->word.entry[names_word(names, spelling)];
    if (word->value < 0)
        word->value = spelling;
}

static int compare_words(const void *a, const void *b)
{
    const Entry *const *x = a, *const *y = b;
    return strcmp((*x)->text, (*y)->text);
}

const char **names_settle(Names *names, Arena *arena, size_t *count)
{
    size_t used = 0;
    Entry **order = mem_new(names->word.count, sizeof *order);
    for (size_t i = 0; i < names->word.count; i++)
        if (names->word.entry[i].value >= 0)
            order[used++] = &names->word.entry[i];
    sort_stable(order, used, sizeof *order, compare_words);
    const char **text = arena_alloc(arena, used, sizeof *text);
    for (size_t i = 0; i < used; i++) {
        text[i] = arena_strdup(arena, names->spelling.entry[order[i]->value].text);
        order[i]->value = (int)i;
    }
    mem_free(order);
    *count = used;
    return text;
}

int names_number(const Names *names, int spelling)
{
    return names->word.entry[names_word(names, spelling)].value;
}
