/* alike_terms.c - terms of cards, weighted by how rare they are.
 *
 * tf-idf with smoothed document frequencies: a term that n of N cards have weighs ln((1 + N) / (1 + n)) + 1 (K. Sparck
 * Jones, "A statistical interpretation of term specificity and its application in retrieval", Journal of Documentation
 * 28(1), 1972; G. Salton, C. Buckley, "Term-weighting approaches in automatic text retrieval", Information Processing
 * and Management 24(5), 1988). Texts of cards are short, so a term counts once in each. Cards are compared by the
 * cosine to the sum of those given, each of length 1 (J. J. Rocchio, "Relevance feedback in information retrieval", in:
 * The SMART Retrieval System, 1971). Words count by their first four letters, in any language (P. McNamee, J. Mayfield,
 * "Character n-gram tokenization for European language text retrieval", Information Retrieval 7, 2004).
 *
 * Weights are rounded to thousandths, since logarithms differ in their last bit from one C library to another; sums are
 * taken in the order of terms. */
#include <math.h>
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "base/words.h"
#include "model/desk/alike.h"

const char *word_term(const char *word, size_t length, Arena *arena)
{
    char *folded = text_fold(arena_strndup(arena, word, length));
    const char *term = arena_strndup(arena, folded, words_prefix(folded, strlen(folded), STEM_CHARACTERS));
    mem_free(folded);
    return term;
}

static void add_use(Terms *terms, const char *term, size_t card)
{
    mem_reserve((void **)&terms->use, &terms->capacity, terms->uses + 1, sizeof *terms->use);
    terms->use[terms->uses++] = (TermUse){term, card};
}

static void add_words(Terms *terms, const char *text, size_t card)
{
    size_t length;
    for (const char *at = text, *word; (word = words_next(&at, &length)) != NULL;)
        add_use(terms, word_term(word, length, terms->arena), card);
}

static int by_term(const void *a, const void *b)
{
    const TermUse *x = a, *y = b;
    const int order = strcmp(x->term, y->term);
    return order != 0 ? order : x->card < y->card ? -1 : x->card > y->card;
}

static void number_terms(Terms *terms)
{
    size_t kept = 0;
    sort_stable(terms->use, terms->uses, sizeof *terms->use, by_term);
    for (size_t k = 0; k < terms->uses; k++)
        if (kept == 0 || by_term(&terms->use[kept - 1], &terms->use[k]) != 0)
            terms->use[kept++] = terms->use[k];
    terms->uses = kept;
    terms->first = mem_new(kept + 2, sizeof *terms->first);
    for (size_t k = 0; k < kept; k++)
        if (k == 0 || strcmp(terms->use[k - 1].term, terms->use[k].term) != 0)
            terms->first[terms->terms++] = k;
    terms->first[terms->terms] = kept;
}

static void weigh(Terms *terms)
{
    terms->weight = mem_new(terms->terms + 1, sizeof *terms->weight);
    terms->norm = mem_new(terms->cards + 1, sizeof *terms->norm);
    for (size_t t = 0; t < terms->terms; t++) {
        const double having = (double)(terms->first[t + 1] - terms->first[t]);
        terms->weight[t] = rint(1000 * (log((1 + (double)terms->cards) / (1 + having)) + 1)) / 1000;
        for (size_t k = terms->first[t]; k < terms->first[t + 1]; k++)
            terms->norm[terms->use[k].card] += terms->weight[t] * terms->weight[t];
    }
    for (size_t c = 0; c < terms->cards; c++)
        terms->norm[c] = sqrt(terms->norm[c]);
}

void terms_init(Terms *terms, const Instance *in, TermKind kind)
{
    *terms = (Terms){.arena = arena_new(), .cards = in->cards->count};
    for (size_t c = 0; c < in->cards->count; c++) {
        const Card *card = &in->cards->card[c];
        switch (kind) {
        case TERMS_OF_TEXTS: add_words(terms, card->text, c); break;
        case TERMS_OF_TAGS:
            for (size_t k = 0; k < card->tags; k++)
                add_use(terms, in->cards->tag[card->tag[k].tag], c);
            break;
        }
    }
    number_terms(terms);
    weigh(terms);
}

void terms_release(Terms *terms)
{
    arena_free(terms->arena);
    mem_free(terms->use);
    mem_free(terms->first);
    mem_free(terms->weight);
    mem_free(terms->norm);
    *terms = (Terms){0};
}

/* dot: of each card with the sum, both weighted; square: of the sum's length. */
static void compare(const Terms *terms, const bool *is_given, double *dot, double *square, double *own)
{
    for (size_t t = 0; t < terms->terms; t++) {
        const double weight = terms->weight[t];
        double sum = 0;
        for (size_t k = terms->first[t]; k < terms->first[t + 1]; k++)
            if (is_given[terms->use[k].card])
                sum += weight / terms->norm[terms->use[k].card];
        *square += sum * sum;
        for (size_t k = terms->first[t]; k < terms->first[t + 1] && sum > 0; k++) {
            const size_t c = terms->use[k].card;
            dot[c] += weight / terms->norm[c] * sum;
            own[c] += weight / terms->norm[c] * (weight / terms->norm[c]);
        }
    }
}

void terms_likeness(const Terms *terms, const size_t *given, size_t count, double *likeness)
{
    double square = 0;
    double *own = mem_new(terms->cards + 1, sizeof *own);
    bool *is_given = mem_new(terms->cards + 1, sizeof *is_given);
    for (size_t c = 0; c < terms->cards; c++)
        likeness[c] = 0;
    for (size_t k = 0; k < count; k++)
        is_given[given[k]] = true;
    compare(terms, is_given, likeness, &square, own);
    for (size_t c = 0; c < terms->cards; c++) {
        /* the sum without the card itself */
        const double dot = is_given[c] ? likeness[c] - own[c] : likeness[c];
        const double length = is_given[c] ? square - 2 * likeness[c] + own[c] : square;
        likeness[c] = length > 1e-9 && dot > 0 ? dot / sqrt(length) : 0;
    }
    mem_free(own);
    mem_free(is_given);
}
