/* draw.c - see draw.h. Ways are counted as whole numbers, words of 64 bits, the least first. */
#include "base/draw.h"

#include <math.h>

#include "base/memory.h"
#include "base/number.h"

__extension__ typedef unsigned __int128 uint128;

int64_t drafting_cards(const Drafting *d, DrawBy by)
{
    const int64_t looks = d->seats < d->pack_size ? d->seats : d->pack_size;
    switch (by) {
    case DRAW_PACK: return d->pack_size;
    case DRAW_OPENS: return (int64_t)d->packs * d->pack_size;
    case DRAW_SEES: return d->packs * (looks * d->pack_size - looks * (looks - 1) / 2);
    case DRAW_DEALT: return (int64_t)d->seats * d->packs * d->pack_size;
    case DRAWS: break;
    }
    return 0;
}

/* ---- whole numbers ---- */

typedef struct {
    uint64_t *word;
    size_t words, room; /* the highest word is not 0; words 0: zero */
} Whole;

static Whole whole(uint64_t value)
{
    Whole w = {.word = mem_new(4, sizeof(uint64_t)), .words = value > 0, .room = 4};
    w.word[0] = value;
    return w;
}

static void push(Whole *w, uint64_t word)
{
    if (word == 0)
        return;
    if (w->words == w->room)
        w->word = mem_resize(w->word, w->room *= 2, sizeof *w->word);
    w->word[w->words++] = word;
}

static void trim(Whole *w)
{
    while (w->words > 0 && w->word[w->words - 1] == 0)
        w->words--;
}

static void multiply(Whole *w, uint64_t by)
{
    uint64_t carry = 0;
    for (size_t k = 0; k < w->words; k++) {
        const uint128 product = (uint128)w->word[k] * by + carry;
        w->word[k] = (uint64_t)product;
        carry = (uint64_t)(product >> 64);
    }
    push(w, carry);
    trim(w);
}

/* Without a rest, which the caller knows. */
static void divide(Whole *w, uint64_t by)
{
    uint128 rest = 0;
    for (size_t k = w->words; k-- > 0;) {
        rest = rest << 64 | w->word[k];
        w->word[k] = (uint64_t)(rest / by);
        rest %= by;
    }
    trim(w);
}

static void add(Whole *to, const Whole *w)
{
    uint64_t carry = 0;
    for (size_t k = 0; k < w->words || carry > 0; k++) {
        if (k == to->words) {
            /* A word of 0 may stand at the top for a moment. */
            push(to, 1);
            to->word[k] = 0;
        }
        const uint128 sum = (uint128)to->word[k] + (k < w->words ? w->word[k] : 0) + carry;
        to->word[k] = (uint64_t)sum;
        carry = (uint64_t)(sum >> 64);
    }
}

/* The subtrahend is not the greater. */
static void subtract(Whole *from, const Whole *w)
{
    uint64_t borrow = 0;
    for (size_t k = 0; k < from->words; k++) {
        const uint128 take = (uint128)(k < w->words ? w->word[k] : 0) + borrow, have = from->word[k];
        borrow = have < take;
        from->word[k] = (uint64_t)(have - take);
    }
    trim(from);
}

static int compare(const Whole *a, const Whole *b)
{
    if (a->words != b->words)
        return a->words < b->words ? -1 : 1;
    for (size_t k = a->words; k-- > 0;)
        if (a->word[k] != b->word[k])
            return a->word[k] < b->word[k] ? -1 : 1;
    return 0;
}

/* a / b, of which b is not 0, from the highest 128 bits and more; below 1 where a is below b. */
static double ratio(const Whole *a, const Whole *b)
{
    long double top[2] = {0, 0};
    long shift[2] = {0, 0};
    const Whole *const of[2] = {a, b};
    for (int i = 0; i < 2; i++) {
        const size_t from = of[i]->words > 3 ? of[i]->words - 3 : 0;
        for (size_t k = of[i]->words; k-- > from;)
            top[i] = top[i] * 0x1p64L + (long double)of[i]->word[k];
        shift[i] = (long)from;
    }
    const double share = (double)ldexpl(top[0] / top[1], (int)((shift[0] - shift[1]) * 64));
    return share >= 1 && compare(a, b) < 0 ? nextafter(1, 0) : share;
}

/* ---- ways ---- */

static Whole choose(int n, int k)
{
    Whole w = whole(k >= 0 && k <= n);
    if (k > n - k)
        k = n - k;
    for (int i = 1; i <= k; i++) {
        multiply(&w, (uint64_t)(n - k + i));
        divide(&w, (uint64_t)i);
    }
    return w;
}

/* The ways to draw that hold k marked cards or more: C(marked, i) C(all - marked, drawn - i), each from the one before
 * it. */
static Whole ways(const Draw *d, int k)
{
    const int unmarked = d->all - d->marked, least = d->drawn > unmarked ? d->drawn - unmarked : 0,
              most = d->drawn < d->marked ? d->drawn : d->marked;
    Whole sum = whole(0), term = least > 0 ? choose(d->marked, least) : choose(unmarked, d->drawn);
    for (int i = least; i <= most; i++) {
        if (i >= k)
            add(&sum, &term);
        if (i == most)
            break;
        multiply(&term, (uint64_t)(d->marked - i));
        divide(&term, (uint64_t)(i + 1));
        multiply(&term, (uint64_t)(d->drawn - i));
        divide(&term, (uint64_t)(unmarked - d->drawn + i + 1));
    }
    mem_free(term.word);
    return sum;
}

double draw_at_least(const Draw *d, int k)
{
    Whole some = ways(d, k), every = choose(d->all, d->drawn);
    const double share = ratio(&some, &every);
    mem_free(some.word);
    mem_free(every.word);
    return share;
}

/* Is the chance of at least k not below the share? */
static bool reaches(const Draw *d, int k, int64_t share)
{
    Whole some = ways(d, k), every = choose(d->all, d->drawn);
    multiply(&some, (uint64_t)PERCENT_ONE);
    multiply(&every, (uint64_t)share);
    const bool good = compare(&some, &every) >= 0;
    mem_free(some.word);
    mem_free(every.word);
    return good;
}

/* The chance never falls when a card more is marked, so the place where it crosses the share is found by halving. */
int draw_least_marked(int all, int drawn, int k, int64_t share)
{
    int low = 0, high = all;
    if (!reaches(&(Draw){all, all, drawn}, k, share))
        return -1;
    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (reaches(&(Draw){all, middle, drawn}, k, share))
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

int draw_sure(const Draw *d, int64_t share)
{
    int low = 0, high = d->drawn < d->marked ? d->drawn : d->marked;
    while (low < high) {
        const int middle = low + (high - low + 1) / 2;
        if (reaches(d, middle, share))
            low = middle;
        else
            high = middle - 1;
    }
    return low;
}

/* w times C(n, k), which is not 0. */
static void multiply_choose(Whole *w, int n, int k)
{
    for (int i = 0; i < k; i++) {
        multiply(w, (uint64_t)(n - i));
        divide(w, (uint64_t)(i + 1));
    }
}

/* The ways to draw too few of the first kind and too few of the second. */
static Whole too_few_of_two(const DrawTwo *d, int firsts, int seconds)
{
    const int others = d->all - d->first - d->second - d->both;
    Whole sum = whole(0);
    for (int of = 0; of <= firsts + seconds - 2 && of <= d->drawn; of++) {
        Whole rest = choose(others, d->drawn - of);
        for (int c = 0; c <= of && c <= d->both && c < firsts && c < seconds; c++)
            for (int a = 0; a <= of - c && a <= d->first && a + c < firsts; a++) {
                const int b = of - c - a;
                if (b > d->second || b + c >= seconds || rest.words == 0)
                    continue;
                Whole term = {mem_copy(rest.word, rest.words, sizeof *rest.word), rest.words, rest.words};
                multiply_choose(&term, d->both, c);
                multiply_choose(&term, d->first, a);
                multiply_choose(&term, d->second, b);
                add(&sum, &term);
                mem_free(term.word);
            }
        mem_free(rest.word);
    }
    return sum;
}

/* Enough of the first, and of the second, and too few of both, are all ways, and once more those with enough of both.
 */
double draw_of_two(const DrawTwo *d, int firsts, int seconds)
{
    Whole sum = ways(&(Draw){d->all, d->first + d->both, d->drawn}, firsts),
          second = ways(&(Draw){d->all, d->second + d->both, d->drawn}, seconds),
          neither = too_few_of_two(d, firsts, seconds), every = choose(d->all, d->drawn);
    add(&sum, &second);
    add(&sum, &neither);
    subtract(&sum, &every);
    const double share = ratio(&sum, &every);
    mem_free(sum.word);
    mem_free(second.word);
    mem_free(neither.word);
    mem_free(every.word);
    return share;
}

/* By inclusion and exclusion: the ways without any of some kinds, added and taken away by turns. Sets of kinds with
 * the same number of cards have as many ways, so they are counted together: the coefficients of the product of
 * (1 - x^copies). */
double draw_one_of_each(int all, int drawn, const int *copies, size_t kinds)
{
    int sum = 0;
    for (size_t k = 0; k < kinds; k++)
        sum += copies[k];
    int64_t *coefficient = mem_new((size_t)sum + 1, sizeof *coefficient);
    coefficient[0] = 1;
    for (size_t k = 0; k < kinds; k++)
        for (int c = sum; c >= 0; c--)
            coefficient[c] = coefficient[c] - (c >= copies[k] ? coefficient[c - copies[k]] : 0);
    Whole with = whole(0), without = whole(0), every = choose(all, drawn);
    for (int c = 0; c <= sum && c <= all - drawn; c++) {
        Whole term = choose(all - c, drawn);
        multiply(&term, (uint64_t)magnitude64(coefficient[c]));
        add(coefficient[c] > 0 ? &with : &without, &term);
        mem_free(term.word);
    }
    subtract(&with, &without);
    const double share = ratio(&with, &every);
    mem_free(with.word);
    mem_free(without.word);
    mem_free(every.word);
    mem_free(coefficient);
    return share;
}
