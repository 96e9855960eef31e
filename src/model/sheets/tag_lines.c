/* tag_lines.c - tags from elsewhere given to the candidates, whatever the order of the lines. */
#include "model/sheets/tag_lines.h"

#include <string.h>

#include "base/sort.h"
#include "base/text.h"

static int compare_tag_lines(const void *a, const void *b)
{
    const TagLine *x = a, *y = b;
    if (x->card != y->card)
        return x->card < y->card ? -1 : 1;
    int order = strcmp(x->folded, y->folded);
    if (order == 0)
        order = strcmp(x->at.file, y->at.file);
    if (order == 0 && x->at.line != y->at.line)
        order = x->at.line < y->at.line ? -1 : 1;
    return order;
}

void tag_lines_sort(TagLines *lines)
{
    sort_stable(lines->line, lines->count, sizeof *lines->line, compare_tag_lines);
}

static void report_twice(const CardSet *cards, const TagLine *line, SourcePos other, Diags *diags)
{
    diag_error(diags, line->at,
               "found the tag '%s' a second time for '%s', expected it once; it already stands in %s:%d", line->tag,
               cards->card[line->card].name, other.file, other.line);
}

void tag_lines_drop_doubles(const CardSet *cards, TagLines *lines, Diags *diags)
{
    size_t kept = 0;
    for (size_t i = 0; i < lines->count; i++) {
        const TagLine *line = &lines->line[i];
        const TagLine *last = kept > 0 ? &lines->line[kept - 1] : NULL;
        if (last != NULL && last->card == line->card && strcmp(last->folded, line->folded) == 0)
            report_twice(cards, line, last->at, diags);
        else
            lines->line[kept++] = *line;
    }
    lines->count = kept;
}

typedef struct {
    const char *name, *folded;
    int old; /* index in the set, or -1 */
} TagWord;

static int compare_words(const void *a, const void *b)
{
    const TagWord *x = a, *y = b;
    int order = strcmp(x->folded, y->folded);
    if (order != 0)
        return order;
    return x->old != y->old ? (x->old > y->old ? -1 : 1) : strcmp(x->name, y->name); /* the set's own spelling first */
}

static int find_word(const TagWord *word, size_t count, const char *folded)
{
    TagWord key = {.folded = folded, .name = "", .old = -1};
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (strcmp(word[middle].folded, key.folded) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return (int)low;
}

/* All tags of set and lines in order of folded names, without doubles; the set's tags are renumbered. */
static TagWord *unite_words(CardSet *cards, const TagLines *lines, size_t *count)
{
    TagWord *word = mem_new(cards->tags + lines->count, sizeof *word);
    size_t words = 0;
    for (size_t t = 0; t < cards->tags; t++)
        word[words++] =
            (TagWord){.name = cards->tag[t], .folded = text_fold_in(cards->arena, cards->tag[t]), .old = (int)t};
    for (size_t i = 0; i < lines->count; i++)
        word[words++] = (TagWord){.name = lines->line[i].tag, .folded = lines->line[i].folded, .old = -1};
    sort_stable(word, words, sizeof *word, compare_words);
    size_t kept = 0;
    for (size_t i = 0; i < words; i++)
        if (kept == 0 || strcmp(word[kept - 1].folded, word[i].folded) != 0)
            word[kept++] = word[i];
    const char **name = arena_alloc(cards->arena, kept, sizeof *name);
    for (size_t i = 0; i < kept; i++)
        name[i] = arena_strdup(cards->arena, word[i].name);
    cards->tag = name;
    cards->tags = kept;
    *count = kept;
    return word;
}

static int compare_card_tags(const void *a, const void *b)
{
    const CardTag *x = a, *y = b;
    return (x->tag > y->tag) - (x->tag < y->tag);
}

/* Gives the card its tags anew: the set's under their new numbers, and those of its lines. */
static void retag(const CardSet *cards, Card *card, const int *renumbered, const TagLine *line, size_t lines,
                  const TagWord *word, size_t words, Diags *diags)
{
    CardTag *tag = arena_alloc(cards->arena, card->tags + lines, sizeof *tag);
    size_t count = card->tags;
    for (size_t i = 0; i < count; i++) {
        tag[i] = card->tag[i];
        tag[i].tag = renumbered[tag[i].tag];
    }
    for (size_t i = 0; i < lines; i++) {
        CardTag added = {.tag = find_word(word, words, line[i].folded), .role = line[i].role, .weight = line[i].weight};
        for (size_t j = 0; j < card->tags; j++)
            if (tag[j].tag == added.tag)
                report_twice(cards, &line[i], card->at, diags);
        tag[count++] = added;
    }
    sort_stable(tag, count, sizeof *tag, compare_card_tags);
    card->tag = tag;
    card->tags = count;
}

void tag_lines_add(CardSet *cards, const TagLines *lines, Diags *diags)
{
    if (lines->count == 0)
        return;
    size_t words = 0, at = 0;
    int *renumbered = mem_new(cards->tags, sizeof *renumbered);
    TagWord *word = unite_words(cards, lines, &words);
    for (size_t i = 0; i < words; i++)
        if (word[i].old >= 0)
            renumbered[word[i].old] = (int)i;
    for (size_t c = 0; c < cards->count; c++) {
        size_t first = at;
        while (at < lines->count && lines->line[at].card == (long)c)
            at++;
        retag(cards, &cards->card[c], renumbered, &lines->line[first], at - first, word, words, diags);
    }
    mem_free(word);
    mem_free(renumbered);
}
