/* reach.c - least and most of a rule's sum over pools that keep only the size and each card's own limits.
 *
 * A pool of n copies maximises a sum by taking the n copies of largest value (cards outside the rule have value 0),
 * after those that must be in. With a band for the size the sum is unimodal in n: copies of positive value are taken
 * while places last, others only to fill up the least size. Copies of one card have one value, but for spending, where
 * owned copies cost nothing: counted as values of their own. For the least that is exact. The most is not reached so
 * where some but not all copies of a card are owned, since a bought copy stands behind the owned ones: there it is
 * found by the number of copies that such cards take (best[k]), and the rest by value; with very many such copies the
 * sum by value stays, which no pool exceeds. Where a card counts once however many copies of it are in, the most is one
 * copy of each; for the least, what must still be filled goes to further copies of cards that are in, then to the cards
 * with most copies. */
#include "programme/reach/reach_inner.h"

#include "base/number.h"
#include "base/sort.h"

#define COUNTED_MOST INT64_C(200000000) /* copies of partly owned cards, times the pool's */

typedef struct {
    int64_t value;
    int64_t copies;
} Lot;

static int by_value_descending(const void *a, const void *b)
{
    const Lot *x = a, *y = b;
    return (x->value < y->value) - (x->value > y->value);
}

/* Joins the last lot if it has the same value: with counts two lots are all there is to sort. */
static void add_lot(Lot *lot, size_t *lots, int64_t value, int64_t copies)
{
    if (copies > 0 && *lots > 0 && lot[*lots - 1].value == value)
        lot[*lots - 1].copies += copies;
    else if (copies > 0)
        lot[(*lots)++] = (Lot){value, copies};
}

/* Copies of a counted card c beyond the forced ones as lots; the forced ones' sum is returned. */
static int128 card_lots(const Instance *in, const RuleMember *member, size_t c, Lot *lot, size_t *lots)
{
    int64_t value = 0;
    member_value(in, member, c, &value);
    int least = in->least[c], most = in->most[c];
    if (measure_adds(member->rule->measure) != ADDS_BOUGHT) {
        add_lot(lot, lots, value, most - least);
        return (int128)value * least;
    }
    int owned = in->cards->card[c].owned;
    int free_left = owned > least ? owned - least : 0;
    if (free_left > most - least)
        free_left = most - least;
    add_lot(lot, lots, 0, free_left);
    add_lot(lot, lots, value, most - least - free_left);
    return instance_spend(in, c, least);
}

/* lot[] is sorted by falling value. */
static int128 greatest(const Lot *lot, size_t lots, int64_t must, int64_t may)
{
    int128 sum = 0;
    for (size_t k = 0; k < lots && may > 0; k++) {
        int64_t take = lot[k].copies < may ? lot[k].copies : may;
        if (lot[k].value <= 0 && take > must)
            take = must > 0 ? must : 0;
        sum += (int128)lot[k].value * take;
        may -= take;
        must -= take;
    }
    return sum;
}

/* ---- the most that can be spent ---- */

static int partly_free(const Instance *in, size_t c)
{
    const int least = in->least[c], owned = in->cards->card[c].owned;
    return owned > least && owned < in->most[c] ? owned - least : 0;
}

/* best[k]: the most that k further copies of partly owned cards cost; k from 0 to may. Returns how many such copies
 * there are, at most may. */
static int64_t partly_owned(const Instance *in, const RuleMember *member, int64_t may, int128 *best)
{
    int64_t copies = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        const int unpaid = partly_free(in, c);
        int64_t value = 0;
        if (unpaid == 0 || !member_counts(in, member, c))
            continue;
        member_value(in, member, c, &value);
        const int further = in->most[c] - in->least[c];
        const int64_t before = copies;
        copies = copies + further < may ? copies + further : may;
        for (int64_t k = copies; k > 0; k--) {
            int128 most = k <= before ? best[k] : -1;
            for (int64_t t = 1; t <= further && t <= k; t++)
                if (k - t <= before && best[k - t] + (int128)value * (t > unpaid ? t - unpaid : 0) > most)
                    most = best[k - t] + (int128)value * (t > unpaid ? t - unpaid : 0);
            best[k] = most;
        }
    }
    return copies;
}

/* Beyond the forced copies. What is spent is never below 0, so as many copies as may be are taken. */
static int128 greatest_spend(const Instance *in, const RuleMember *member, int64_t may, Lot *lot)
{
    size_t lots = 0;
    int128 *best = mem_new((size_t)may + 1, sizeof *best), most = 0, sum = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->most[c] > 0 && member_counts(in, member, c) && partly_free(in, c) == 0)
            card_lots(in, member, c, lot, &lots);
    sort_stable(lot, lots, sizeof *lot, by_value_descending);
    int64_t k = partly_owned(in, member, may, best), others = may - k;
    size_t at = 0; /* the lot of the next copy, of which `others` are taken */
    for (; at < lots && others >= lot[at].copies; at++) {
        sum += (int128)lot[at].value * lot[at].copies;
        others -= lot[at].copies;
    }
    sum += at < lots ? (int128)lot[at].value * others : 0;
    for (; k >= 0; k--) { /* then one copy less of those, one more of the others */
        most = best[k] + sum > most ? best[k] + sum : most;
        sum += at < lots ? lot[at].value : 0;
        if (at < lots && ++others == lot[at].copies) {
            at++;
            others = 0;
        }
    }
    mem_free(best);
    return most;
}

/* Are there partly owned cards, and few enough to look at all numbers of their copies? */
static bool worth_counting(const Instance *in, const RuleMember *member, int64_t may)
{
    int64_t copies = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (partly_free(in, c) > 0 && member_counts(in, member, c))
            copies += in->most[c] - in->least[c];
    return copies > 0 && copies <= COUNTED_MOST / (may > 0 ? may : 1);
}

/* The same lots with their values negated, by falling value again. */
static void turn(Lot *lot, size_t lots)
{
    for (size_t k = 0; k < (lots + 1) / 2; k++) {
        const Lot first = lot[k], last = lot[lots - 1 - k];
        lot[k] = (Lot){-last.value, last.copies};
        lot[lots - 1 - k] = (Lot){-first.value, first.copies};
    }
}

/* Different cards. others: further copies that count for nothing anyway. */
static void once_reach(const Instance *in, const RuleMember *member, Lot *lot, int64_t others, int64_t must,
                       int64_t may, LimitReach *reach)
{
    const size_t *card;
    const size_t cards = member_cards(in, member, &card);
    size_t lots = 0;
    int64_t kept = 0, further = 0;
    for (size_t k = 0; k < cards; k++) {
        const size_t c = card != NULL ? card[k] : k;
        if (in->most[c] <= 0 || !member_counts(in, member, c))
            continue;
        kept += in->least[c] > 0;
        further += in->least[c] > 0 ? in->most[c] - in->least[c] : 0;
        if (in->least[c] <= 0)
            lot[lots++] = (Lot){in->most[c], 1};
    }
    sort_stable(lot, lots, sizeof *lot, by_value_descending);
    reach->most = kept + ((int64_t)lots < may ? (int64_t)lots : may > 0 ? may : 0);
    reach->least = kept;
    must -= others + further;
    for (size_t k = 0; k < lots && must > 0; k++) {
        must -= lot[k].value;
        reach->least++;
    }
}

static void member_reach(const Instance *in, const RuleMember *member, Lot *lot, int64_t copies, int64_t forced,
                         LimitReach *reach)
{
    const size_t *card;
    const size_t cards = member_cards(in, member, &card);
    size_t lots = 0;
    int64_t others = copies; /* beyond the forced ones, of cards that do not count */
    int128 base = 0;
    for (size_t k = 0; k < cards; k++) {
        const size_t c = card != NULL ? card[k] : k;
        if (in->most[c] <= 0 || !member_counts(in, member, c))
            continue;
        others -= in->most[c] - in->least[c];
        reach->candidates++;
        base += card_lots(in, member, c, lot, &lots);
    }
    add_lot(lot, &lots, 0, others);
    reach->possible = true;
    if (member->bounds.kind != BOUND_ABSOLUTE)
        return;
    int64_t must = in->model->size_from - forced, may = in->model->size_to - forced;
    sort_stable(lot, lots, sizeof *lot, by_value_descending);
    reach->most = clamp64(base + greatest(lot, lots, must, may));
    turn(lot, lots);
    reach->least = clamp64(base - greatest(lot, lots, must, may));
    reach->has_least = reach->has_most = true;
    switch (measure_adds(member->rule->measure)) {
    case ADDS_COPIES: break;
    case ADDS_BOUGHT:
        if (may > 0 && worth_counting(in, member, may))
            reach->most = clamp64(base + greatest_spend(in, member, may, lot));
        break;
    case ADDS_ONCE: once_reach(in, member, lot, others, must, may, reach); break;
    }
    if (member->rule->is_soft || (member->theme >= 0 && in->choosable[member->theme]))
        return;
    reach->possible = (!member->bounds.has_low || reach->most >= member->bounds.low) &&
                      (!member->bounds.has_high || reach->least <= member->bounds.high);
}

void instance_copies(const Instance *instance, int64_t *most, int64_t *least)
{
    *most = *least = 0;
    for (size_t c = 0; c < instance->cards->count; c++) {
        *most += instance->most[c];
        *least += instance->least[c];
    }
}

void limit_reach(const Instance *instance, LimitReach *reach)
{
    int64_t most, least;
    instance_copies(instance, &most, &least);
    Lot *lot = mem_new(2 * instance->cards->count + 1, sizeof *lot);
    int64_t free_copies = 0;
    for (size_t c = 0; c < instance->cards->count; c++)
        free_copies += instance->most[c] > 0 ? instance->most[c] - instance->least[c] : 0;
    for (size_t l = 0; l < instance->limits; l++) {
        const Limit *limit = &instance->limit[l];
        reach[l] = (LimitReach){.possible = true};
        if (limit->member != NULL)
            member_reach(instance, limit->member, lot, free_copies, least, &reach[l]);
        else
            structure_reach(instance, limit, free_copies, least, &reach[l]);
    }
    mem_free(lot);
}
