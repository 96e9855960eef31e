/* bag.c - see bag.h. */
#include "intake/bag.h"

#include <string.h>

#include "base/sort.h"
#include "base/text.h"

void bag_add(Bag *bag, const char *text, size_t length, SourcePos at)
{
    const char *spelled = arena_strndup(bag->arena, text, length);
    mem_reserve((void **)&bag->word, &bag->capacity, bag->words + 1, sizeof *bag->word);
    bag->word[bag->words++] =
        (BagWord){.folded = text_fold_in(bag->arena, spelled), .spelled = spelled, .count = 1, .at = at};
}

static int by_spelling(const void *a, const void *b)
{
    const BagWord *x = a, *y = b;
    const int order = strcmp(x->folded, y->folded);
    return order != 0 ? order : strcmp(x->spelled, y->spelled);
}

static int by_count(const void *a, const void *b)
{
    const BagWord *x = a, *y = b;
    if (x->count != y->count)
        return x->count > y->count ? -1 : 1;
    return strcmp(x->folded, y->folded);
}

static bool stands_before(SourcePos a, SourcePos b)
{
    return a.line != b.line ? a.line < b.line : a.column < b.column;
}

void bag_settle(Bag *bag)
{
    size_t kept = 0, run = 0, best = 0; /* run: of one spelling; best: the longest of the word */
    sort_stable(bag->word, bag->words, sizeof *bag->word, by_spelling);
    for (size_t i = 0; i < bag->words; i++) {
        const BagWord word = bag->word[i];
        const bool same_word = kept > 0 && strcmp(bag->word[kept - 1].folded, word.folded) == 0;
        run = same_word && strcmp(bag->word[i - 1].spelled, word.spelled) == 0 ? run + 1 : 1;
        if (!same_word) {
            bag->word[kept++] = word;
            best = 1;
            continue;
        }
        BagWord *known = &bag->word[kept - 1];
        known->count++;
        if (run > best) {
            best = run;
            known->spelled = word.spelled;
        }
        if (stands_before(word.at, known->at))
            known->at = word.at;
    }
    bag->words = kept;
    sort_stable(bag->word, bag->words, sizeof *bag->word, by_count);
}

void bag_release(Bag *bag)
{
    mem_free(bag->word);
    bag->word = NULL;
    bag->words = bag->capacity = 0;
}

const BagWord *bag_find(const Bag *bag, const char *folded)
{
    for (size_t i = 0; i < bag->words; i++)
        if (strcmp(bag->word[i].folded, folded) == 0)
            return &bag->word[i];
    return NULL;
}
