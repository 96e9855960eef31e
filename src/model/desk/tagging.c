/* tagging.c - see tagging.h. */
#include "model/desk/tagging.h"

#include <string.h>

bool pattern_caught(const Instance *in, size_t p, size_t c)
{
    return in->caught[p * in->cards->count + c];
}

static bool has_own(const Instance *in, size_t p, size_t c)
{
    return in->own_tag[p * in->cards->count + c];
}

bool pattern_missed(const Instance *in, size_t p, size_t c)
{
    if (!has_own(in, p, c))
        return false;
    for (size_t q = 0; q < in->model->patterns; q++)
        if (strcmp(in->model->pattern[q].folded, in->model->pattern[p].folded) == 0 && pattern_caught(in, q, c))
            return false;
    return true;
}

PatternCount pattern_count(const Instance *in, size_t p)
{
    PatternCount count = {0};
    for (size_t c = 0; c < in->cards->count; c++) {
        count.caught += pattern_caught(in, p, c);
        count.fresh += pattern_caught(in, p, c) && !has_own(in, p, c);
        count.own += pattern_caught(in, p, c) && has_own(in, p, c);
        count.missed += pattern_missed(in, p, c);
    }
    for (size_t k = 0; k < in->clashes; k++)
        count.clashes += in->clash[k].pattern == p;
    return count;
}

bool pattern_first_of_tag(const Model *model, size_t p)
{
    for (size_t q = 0; q < p; q++)
        if (strcmp(model->pattern[q].folded, model->pattern[p].folded) == 0)
            return false;
    return true;
}
