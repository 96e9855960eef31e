/* value_set.c - values sorted once, so that long lists cost a card little. */
#include "model/instance/value_set.h"

#include <stdlib.h>
#include <string.h>

static int compare_ids(const void *a, const void *b)
{
    const int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

static int compare_spans(const void *a, const void *b)
{
    const ValueSpan *x = a, *y = b;
    return (x->from > y->from) - (x->from < y->from);
}

static int compare_texts(const void *a, const void *b)
{
    const ValueText *x = a, *y = b;
    const int order = strcmp(x->folded, y->folded);
    return order != 0 ? order : (int)x->is_number - (int)y->is_number;
}

/* Spans that overlap become one. */
static void unite_spans(ValueSet *set)
{
    size_t kept = 0;
    for (size_t i = 0; i < set->spans; i++) {
        ValueSpan *last = kept > 0 ? &set->span[kept - 1] : NULL;
        if (last == NULL || set->span[i].from > last->to)
            set->span[kept++] = set->span[i];
        else if (set->span[i].to > last->to)
            last->to = set->span[i].to;
    }
    set->spans = kept;
}

void value_set_init(ValueSet *set, const FilterTest *test, const int *id, Arena *arena)
{
    *set = (ValueSet){.id = arena_alloc(arena, test->values, sizeof *set->id),
                      .span = arena_alloc(arena, test->values, sizeof *set->span),
                      .text = arena_alloc(arena, test->values, sizeof *set->text)};
    for (size_t v = 0; v < test->values; v++) {
        const FilterValue *value = &test->value[v];
        const ValueSpan span = {value->has_from ? value->from : INT64_MIN, value->has_to ? value->to : INT64_MAX};
        if (id[v] >= 0)
            set->id[set->ids++] = id[v];
        if (value->is_number && span.from <= span.to)
            set->span[set->spans++] = span;
        if (!value->is_range && value->folded != NULL)
            set->text[set->texts++] = (ValueText){value->folded, value->is_number};
    }
    if (set->ids > 1)
        qsort(set->id, set->ids, sizeof *set->id, compare_ids);
    if (set->spans > 1)
        qsort(set->span, set->spans, sizeof *set->span, compare_spans);
    if (set->texts > 1)
        qsort(set->text, set->texts, sizeof *set->text, compare_texts);
    unite_spans(set);
}

bool value_set_has_id(const ValueSet *set, int id)
{
    return set->ids > 0 && bsearch(&id, set->id, set->ids, sizeof *set->id, compare_ids) != NULL;
}

bool value_set_has_number(const ValueSet *set, int64_t number)
{
    size_t low = 0, high = set->spans; /* the last span that begins at or below the number stands before `high` */
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (set->span[middle].from <= number)
            low = middle + 1;
        else
            high = middle;
    }
    return high > 0 && number <= set->span[high - 1].to;
}

bool value_set_has_text(const ValueSet *set, const char *folded, bool is_number)
{
    if (set->texts == 0)
        return false;
    ValueText key = {folded, false};
    if (bsearch(&key, set->text, set->texts, sizeof *set->text, compare_texts) != NULL)
        return true;
    key.is_number = true;
    return !is_number && bsearch(&key, set->text, set->texts, sizeof *set->text, compare_texts) != NULL;
}
