/* cut_book.c - multipliers are fractions of the whole's rows; a core with other divisors gets the same sum, times what
 * makes them whole. Rounding a multiple of a sum with a multiple of the divisor gives the same cut, so the common
 * factor does not matter. */
#include "search/cuts/cut_book.h"

#include <string.h>

#include "base/memory.h"

#define MOST_RECIPES 120 /* unless more than that came of use at once */

void cut_book_release(CutBook *book)
{
    mem_free(book->recipe);
    *book = (CutBook){0};
}

void cut_book_copy(CutBook *to, const CutBook *from)
{
    *to = *from;
    to->recipe = mem_new(from->count + 1, sizeof *to->recipe);
    to->capacity = from->count + 1;
    if (from->count > 0)
        memcpy(to->recipe, from->recipe, from->count * sizeof *to->recipe);
}

static bool same_recipe(const CutRecipe *a, const CutRecipe *b)
{
    if (a->parts != b->parts)
        return false;
    for (int k = 0; k < a->parts; k++)
        if (a->part[k].row != b->part[k].row || a->part[k].multiplier != b->part[k].multiplier ||
            a->part[k].divisor != b->part[k].divisor)
            return false;
    return true;
}

int cut_book_add(CutBook *book, const Matrix *matrix, int first, const int *entry, const Aggregation *from)
{
    CutRecipe recipe = {.parts = from->parts};
    for (int k = 0; k < from->parts; k++) {
        const int row = from->part[k].row;
        recipe.part[k] =
            (CutPart){row < first ? row : -1 - entry[row - first], from->part[k].multiplier, matrix->divisor[row]};
    }
    for (size_t k = 0; k < book->count; k++)
        if (same_recipe(&book->recipe[k], &recipe))
            return (int)k;
    mem_reserve((void **)&book->recipe, &book->capacity, book->count + 1, sizeof *book->recipe);
    book->recipe[book->count] = recipe;
    return (int)book->count++;
}

static size_t mark_recent(const CutBook *book, int64_t age, bool *marked)
{
    size_t count = 0;
    for (size_t k = 0; k < book->count; k++) {
        marked[k] = book->recipe[k].last > 0 && book->clock - book->recipe[k].last <= age;
        count += marked[k];
    }
    return count;
}

void cut_book_tidy(CutBook *book)
{
    int *number = mem_new(book->count + 1, sizeof *number);
    bool *marked = mem_new(book->count + 1, sizeof *marked);
    for (int64_t age = INT64_MAX; mark_recent(book, age, marked) > MOST_RECIPES && age > 0;)
        age = age > 64 ? 64 : age / 2;
    for (size_t k = book->count; k-- > 0;)
        for (int p = 0; marked[k] && p < book->recipe[k].parts; p++)
            if (book->recipe[k].part[p].row < 0)
                marked[-1 - book->recipe[k].part[p].row] = true;
    size_t kept = 0;
    for (size_t k = 0; k < book->count; k++) {
        if (!marked[k])
            continue;
        CutRecipe recipe = book->recipe[k];
        for (int p = 0; p < recipe.parts; p++)
            if (recipe.part[p].row < 0)
                recipe.part[p].row = -1 - number[-1 - recipe.part[p].row];
        number[k] = (int)kept;
        book->recipe[kept++] = recipe;
    }
    book->count = kept;
    mem_free(number);
    mem_free(marked);
}

/* All by `factor`, kept as small as they can be. False when one does not fit. */
static bool make_whole(Aggregation *out, const int64_t *below, int parts)
{
    int64_t factor = 1, common = 0;
    for (int k = 0; k < parts; k++) {
        const int128 next = (int128)factor / gcd64(factor, below[k]) * below[k];
        if (next > MATRIX_LARGEST)
            return false;
        factor = (int64_t)next;
    }
    for (int k = 0; k < parts; k++) {
        const int128 whole = (int128)out->part[k].multiplier * (factor / below[k]);
        if (whole > MATRIX_LARGEST || whole < -MATRIX_LARGEST)
            return false;
        out->part[k].multiplier = (int64_t)whole;
        common = gcd64(common, magnitude64((int64_t)whole));
    }
    for (int k = 0; k < parts && common > 1; k++)
        out->part[k].multiplier /= common;
    return true;
}

bool cut_book_aggregation(const CutBook *book, size_t number, const Matrix *matrix, int first, const int *row_of,
                          Aggregation *out)
{
    const CutRecipe *recipe = &book->recipe[number];
    int64_t below[MIR_MOST_ROWS];
    *out = (Aggregation){.parts = recipe->parts};
    for (int k = 0; k < recipe->parts; k++) {
        const CutPart *part = &recipe->part[k];
        const int row = part->row >= 0 ? part->row : row_of[-1 - part->row];
        if (row < 0 || part->row >= first || matrix->row_start[row] == matrix->row_start[row + 1])
            return false;
        const int64_t theirs = matrix->divisor[row], g = gcd64(theirs, part->divisor);
        const int128 above = (int128)part->multiplier * (theirs / g);
        if (above > MATRIX_LARGEST || above < -MATRIX_LARGEST || above == 0)
            return false;
        const int64_t h = gcd64(magnitude64((int64_t)above), part->divisor / g);
        out->part[k] = (MirPart){row, (int64_t)above / h};
        below[k] = part->divisor / g / h;
    }
    return make_whole(out, below, recipe->parts);
}
