/* alike.c - see alike.h. */
#include "model/desk/alike.h"

#include <math.h>
#include <string.h>

#include "base/sort.h"
#include "base/words.h"

/* What likeness is made of, thousandths. What the cards say decides; the rest parts those that say the same. */
#define BY_TEXT 810
#define BY_TAGS 150
#define BY_KIND 20
#define BY_COST 20
#define COST_FAR 4000 /* thousandths of cost: so far apart is nothing in common */

static bool share_kind(const Card *a, const Card *b)
{
    for (size_t i = 0; i < a->kinds; i++)
        for (size_t k = 0; k < b->kinds; k++)
            if (a->kind[i] == b->kind[k])
                return true;
    return false;
}

static int64_t cost_likeness(const Card *a, const Card *b)
{
    if (!a->has_cost || !b->has_cost)
        return a->has_cost == b->has_cost ? COST_FAR : 0;
    const int64_t apart = a->cost > b->cost ? a->cost - b->cost : b->cost - a->cost;
    return apart < COST_FAR ? COST_FAR - apart : 0;
}

static int64_t thousandths(double share)
{
    return (int64_t)rint(1000 * share);
}

static Alike compare(const Instance *in, const size_t *given, size_t count, size_t card, double text, double tags)
{
    int64_t kinds = 0, costs = 0;
    for (size_t k = 0; k < count; k++) {
        kinds += share_kind(&in->cards->card[card], &in->cards->card[given[k]]);
        costs += cost_likeness(&in->cards->card[card], &in->cards->card[given[k]]);
    }
    const int64_t of = (int64_t)count;
    return (Alike){.card = card,
                   .text = thousandths(text),
                   .likeness = (BY_TEXT * thousandths(text) + BY_TAGS * thousandths(tags)) / 1000 +
                               BY_KIND * kinds / of + BY_COST * costs / (COST_FAR * of)};
}

static int by_likeness(const void *a, const void *b)
{
    const Alike *x = a, *y = b;
    if (x->likeness != y->likeness)
        return x->likeness > y->likeness ? -1 : 1;
    return x->card < y->card ? -1 : x->card > y->card;
}

static int by_weight(const void *a, const void *b)
{
    const SharedTerm *x = a, *y = b;
    return x->weight != y->weight ? (x->weight > y->weight ? -1 : 1) : strcmp(x->term, y->term);
}

static void list_terms(const Terms *terms, const bool *is_given, AlikeCards *alike)
{
    alike->term = arena_alloc(alike->arena, terms->terms + 1, sizeof *alike->term);
    for (size_t t = 0; t < terms->terms; t++) {
        int having = 0;
        for (size_t k = terms->first[t]; k < terms->first[t + 1]; k++)
            having += is_given[terms->use[k].card];
        if (having > 0)
            alike->term[alike->terms++] =
                (SharedTerm){arena_strdup(alike->arena, terms->use[terms->first[t]].term), terms->weight[t] * having};
    }
    sort_stable(alike->term, alike->terms, sizeof *alike->term, by_weight);
}

size_t alike_words(const Instance *in, const AlikeCards *alike, size_t card, Arena *arena,
                   const char *word[ALIKE_WORDS])
{
    size_t found = 0;
    for (size_t t = 0; t < alike->terms && found < ALIKE_WORDS; t++) {
        size_t length;
        const char *at = in->cards->card[card].text;
        for (const char *next; (next = words_next(&at, &length)) != NULL;) {
            if (strcmp(word_term(next, length, arena), alike->term[t].term) != 0)
                continue;
            word[found++] = arena_strndup(arena, next, length);
            break;
        }
    }
    return found;
}

static double *likeness_by(const Instance *in, TermKind kind, const size_t *given, size_t count, const bool *is_given,
                           AlikeCards *alike)
{
    Terms terms;
    double *likeness = mem_new(in->cards->count + 1, sizeof *likeness);
    terms_init(&terms, in, kind);
    terms_likeness(&terms, given, count, likeness);
    if (kind == TERMS_OF_TEXTS)
        list_terms(&terms, is_given, alike);
    terms_release(&terms);
    return likeness;
}

void alike_find(const Instance *in, const size_t *given, size_t count, AlikeCards *alike)
{
    const size_t cards = in->cards->count;
    *alike = (AlikeCards){.other = mem_new(cards + 1, sizeof *alike->other), .arena = arena_new()};
    bool *is_given = mem_new(cards + 1, sizeof *is_given);
    for (size_t k = 0; k < count; k++)
        is_given[given[k]] = true;
    double *text = likeness_by(in, TERMS_OF_TEXTS, given, count, is_given, alike);
    double *tags = likeness_by(in, TERMS_OF_TAGS, given, count, is_given, alike);
    for (size_t c = 0; c < cards; c++)
        if (!is_given[c])
            alike->other[alike->others++] = compare(in, given, count, c, text[c], tags[c]);
    sort_stable(alike->other, alike->others, sizeof *alike->other, by_likeness);
    alike_pattern(in, given, count, text, alike);
    mem_free(text);
    mem_free(tags);
    mem_free(is_given);
}

void alike_release(AlikeCards *alike)
{
    mem_free(alike->other);
    mem_free(alike->pattern);
    mem_free(alike->catches);
    arena_free(alike->arena);
    *alike = (AlikeCards){0};
}
