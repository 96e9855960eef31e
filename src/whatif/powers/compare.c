/* compare.c - answers as conditions, powers that meet them, and the pools by these powers. See compare.h. */
#include "whatif/powers/compare.h"

#include <string.h>

#include "base/number.h"
#include "whatif/powers/compare_inner.h"

#define GRAIN_OTHERWISE 1000 /* where all powers are 0 */

static int64_t power_of(const Instance *in, size_t card)
{
    const Card *c = &in->cards->card[card];
    return c->has_power ? c->power : in->model->unscored;
}

static int64_t find_grain(const Instance *in)
{
    int64_t grain = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        grain = gcd64(grain, power_of(in, c));
    return grain > 0 ? grain : GRAIN_OTHERWISE;
}

static int128 tags_of(const Instance *in, size_t card)
{
    int128 sum = 0;
    for (size_t t = 0; t < in->model->themes; t++) {
        const CardTag *tag = instance_theme_tag(in, t, card);
        sum += tag != NULL ? (int128)tag->weight * in->model->theme[t].weight : 0;
    }
    return sum;
}

int128 compare_worth(const Instance *in, size_t card)
{
    return (int128)power_of(in, card) * in->model->power_weight + tags_of(in, card);
}

int64_t compare_power(const Compare *compare, const Feedback *proposal, size_t card)
{
    for (size_t k = 0; k < proposal->cards; k++)
        if (proposal->card[k].card == card)
            return proposal->card[k].after;
    return power_of(compare->loaded->instance, card);
}

/* ---- powers that agree with answers ---- */

static size_t index_of(const size_t *card, size_t count, size_t wanted)
{
    size_t k = 0;
    while (k < count && card[k] != wanted)
        k++;
    return k;
}

/* Cards that answers speak of, in order of names. */
static size_t list_cards(const Comparison *asked, size_t count, size_t *card)
{
    size_t cards = 0;
    for (size_t k = 0; k < count; k++)
        for (int side = 0; side < 2 && asked[k].answer != PREFERS_NEITHER; side++) {
            const size_t c = side == 0 ? asked[k].first : asked[k].second;
            size_t at = 0;
            if (index_of(card, cards, c) < cards)
                continue;
            while (at < cards && card[at] < c)
                at++;
            memmove(&card[at + 1], &card[at], (cards - at) * sizeof *card);
            card[at] = c;
            cards++;
        }
    return cards;
}

static void add_reasons(const Instance *in, const Comparison *asked, size_t count, Feedback *proposal,
                        FeedbackCard *item)
{
    FeedbackNote *note = arena_alloc(proposal->arena, count, sizeof *note);
    for (size_t k = 0; k < count; k++) {
        const size_t better = asked[k].answer == PREFERS_FIRST ? asked[k].first : asked[k].second,
                     worse = asked[k].answer == PREFERS_FIRST ? asked[k].second : asked[k].first;
        if (asked[k].answer == PREFERS_NEITHER || (better != item->card && worse != item->card))
            continue;
        const bool won = better == item->card;
        note[item->notes++] =
            (FeedbackNote){.card = item->card,
                           .date = "",
                           .note = "",
                           .line = (int)k + 1,
                           .verdict = arena_printf(proposal->arena, won ? "rather than %s" : "rather %s",
                                                   in->cards->card[won ? worse : better].name)};
    }
    item->note = note;
}

bool compare_propose(const Compare *compare, const Comparison *asked, size_t count, Feedback *proposal)
{
    const Instance *in = compare->loaded->instance;
    const int128 unit = (int128)in->model->power_weight * compare->grain;
    size_t card[2 * COMPARE_MOST + 1], cards = list_cards(asked, count, card), aboves = 0;
    int64_t x[2 * COMPARE_MOST + 1];
    Above above[COMPARE_MOST] = {0};
    for (size_t k = 0; k < cards; k++)
        x[k] = power_of(in, card[k]) / compare->grain;
    for (size_t k = 0; k < count; k++) {
        if (asked[k].answer == PREFERS_NEITHER)
            continue;
        const bool first = asked[k].answer == PREFERS_FIRST;
        const size_t better = first ? asked[k].first : asked[k].second,
                     worse = first ? asked[k].second : asked[k].first;
        const int128 by = ceil_div(tags_of(in, worse) - tags_of(in, better), unit) + 1;
        above[aboves++] = (Above){index_of(card, cards, better), index_of(card, cards, worse), (int64_t)by};
    }
    *proposal = (Feedback){0};
    if (!least_change(x, cards, above, aboves))
        return false;
    proposal->arena = arena_new();
    proposal->path = "";
    proposal->card = arena_alloc(proposal->arena, cards, sizeof *proposal->card);
    for (size_t k = 0; k < cards; k++) {
        FeedbackCard *item = &proposal->card[proposal->cards++];
        const int64_t before = power_of(in, card[k]), after = x[k] * compare->grain;
        *item = (FeedbackCard){.card = card[k], .before = before, .after = after, .sum = after - before};
        proposal->changed += after != before;
        add_reasons(in, asked, count, proposal, item);
    }
    return true;
}

/* ---- the state ---- */

static bool same_powers(const Feedback *a, const Feedback *b)
{
    if (a->changed != b->changed)
        return false;
    for (size_t k = 0, j = 0; k < a->cards; k++) {
        if (a->card[k].after == a->card[k].before)
            continue;
        while (j < b->cards && (b->card[j].after == b->card[j].before || b->card[j].card < a->card[k].card))
            j++;
        if (j == b->cards || b->card[j].card != a->card[k].card || b->card[j].after != a->card[k].after)
            return false;
    }
    return true;
}

bool compare_begin(Compare *compare, Loaded *loaded, const SearchOptions *search, Diags *diags)
{
    *compare = (Compare){0};
    if (loaded->instance->model->power_weight <= 0) {
        diag_error(diags, (SourcePos){.file = loaded->instance->model->path},
                   "the weight of power under 'fit' is 0, so no answer about cards changes the pool; expected it above "
                   "0 (without it, it is 1)");
        return false;
    }
    *compare = (Compare){.loaded = loaded, .search = *search, .grain = find_grain(loaded->instance)};
    compare->now = loaded->instance;
    compare->search.gap_ppm = 0;
    compare->search.eager = 0;
    if (!compare_propose(compare, NULL, 0, &compare->proposal) ||
        !answer_find(loaded->programme, &compare->search, &compare->old, diags))
        return false;
    return compare->solved = feedback_solve(loaded->programme, &compare->old, compare->search, &compare->best, diags);
}

void compare_release(Compare *compare)
{
    answer_release(&compare->old);
    answer_release(&compare->best);
    if (compare->loaded != NULL && compare->now != compare->loaded->instance)
        instance_free(compare->now);
    feedback_release(&compare->proposal);
    *compare = (Compare){0};
}

bool compare_add(Compare *compare, const Comparison *comparison)
{
    Feedback proposal;
    compare->asked[compare->count] = *comparison;
    if (!compare_propose(compare, compare->asked, compare->count + 1, &proposal))
        return false;
    compare->count++;
    compare->solved = compare->solved && same_powers(&proposal, &compare->proposal);
    feedback_release(&compare->proposal);
    compare->proposal = proposal;
    return true;
}

bool compare_settle(Compare *compare, Diags *diags)
{
    if (compare->solved)
        return true;
    Instance *now = feedback_instance(compare->loaded, &compare->proposal, diags);
    Programme *programme = now != NULL ? programme_new(now, diags) : NULL;
    Answer best;
    const bool good = programme != NULL && feedback_solve(programme, &compare->old, compare->search, &best, diags);
    programme_free(programme);
    if (!good) {
        instance_free(now);
        return false;
    }
    answer_release(&compare->best);
    if (compare->now != compare->loaded->instance)
        instance_free(compare->now);
    compare->now = now;
    compare->best = best;
    return compare->solved = true;
}

bool compare_proven(const Compare *compare)
{
    return compare->solved && compare->old.has_pool && compare->best.has_pool && compare->old.status == ANSWER_BEST &&
           compare->best.status == ANSWER_BEST;
}
