/* seen.c - a chance to see cards as the number of cards that it takes: for the size in force, each time that a model is
 * met with candidates. */
#include "model/instance/instance_cache.h"

#include "base/draw.h"

/* What is looked at in a pool of this size: of as many seats as it serves, if those are fewer than the model's. */
static int drawn_at(const Model *model, DrawBy by, int size)
{
    const int64_t each = (int64_t)model->packs * model->pack_size, served = size / each;
    const int seats = served < 1 ? 1 : served < model->seats ? (int)served : model->seats;
    const int64_t drawn = drafting_cards(&(Drafting){seats, model->packs, model->pack_size}, by);
    return drawn < size ? (int)drawn : size;
}

/* At every size of the band. While as many cards are looked at, a card more in the pool never makes it likelier to see
 * the others, so the largest size of each number of seats decides. -1: no number of cards is enough at some size. */
static int cards_for(const Model *model, const SeenBound *seen)
{
    const int64_t each = (int64_t)model->packs * model->pack_size;
    int cards = 0;
    for (int64_t size = model->size_from; size <= model->size_to; size++) {
        const int64_t more = size / each >= model->seats ? model->size_to : (size / each + 1) * each - 1;
        size = more < model->size_to ? more : model->size_to;
        const int found =
            draw_least_marked((int)size, drawn_at(model, seen->by, (int)size), seen->at_least, seen->chance);
        if (found < 0)
            return -1;
        cards = found > cards ? found : cards;
    }
    return cards;
}

void seen_bounds(const InstanceBuilder *builder, const Rule *rule, Bounds *bounds)
{
    const Model *model = builder->instance->model;
    if (!bounds->has_seen)
        return;
    if (model->seats == 0) {
        diag_error(
            builder->diags, bounds->at,
            "rule '%s' asks what seats see, but the model does not say how packs are dealt, expected a line such "
            "as 'seats: {seats: 8, packs: 3, pack_size: 15}' in it",
            rule->name);
        return;
    }
    const int cards = cards_for(model, &bounds->seen);
    if (cards < 0)
        diag_error(builder->diags, bounds->at, "rule '%s' asks for %d seen cards, but only %d are looked at",
                   rule->name, bounds->seen.at_least, drawn_at(model, bounds->seen.by, model->size_from));
    else if (bounds->has_high && bounds->high < cards)
        diag_error(
            builder->diags, bounds->at,
            "rule '%s' contradicts itself: the chance that 'seen' demands takes at least %d cards, and 'at_most' "
            "allows %lld",
            rule->name, cards, (long long)bounds->high);
    bounds->seen.cards = cards < 0 ? 0 : cards;
    bounds->low = bounds->seen.cards;
}
