/* structure_reach.c - the reach of size, cap, structure, keeps and bans, counted from the candidates alone. */
#include "programme/reach/reach_inner.h"
#include "programme/count/structure_check.h"

static void set_most(LimitReach *reach, int64_t most)
{
    reach->has_most = true;
    reach->most = most;
}

static size_t candidates(const Instance *in)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += in->most[c] > 0;
    return count;
}

static size_t candidates_with_role(const Instance *in, size_t theme)
{
    size_t count = 0;
    for (size_t k = in->theme_start[theme]; k < in->theme_start[theme + 1]; k++) {
        const size_t c = in->theme_card[k];
        const Role role = instance_theme_tag(in, theme, c)->role;
        count += in->most[c] > 0 && (role_is_enabler(role) || role_is_payoff(role)) &&
                 colours_playable(&in->cards->card[c].colours, in->model->theme[theme].colours);
    }
    return count;
}

static void size_reach(const Instance *in, const Limit *limit, int64_t free_copies, int64_t forced, LimitReach *reach)
{
    reach->candidates = candidates(in);
    reach->has_least = true;
    reach->least = forced;
    set_most(reach, forced + free_copies);
    reach->possible = reach->most >= limit->bounds.low && reach->least <= limit->bounds.high;
}

static void places_reach(const Instance *in, const Limit *limit, LimitReach *reach)
{
    bool *fixed = mem_new(in->model->themes, sizeof *fixed);
    int64_t copies = 0, asked = 0;
    for (size_t t = 0; t < in->model->themes; t++)
        fixed[t] = !in->choosable[t];
    for (size_t k = 0; k < limit->of_themes; k++)
        asked += fixed[limit->of_theme[k]] ? limit->count[k] : 0;
    size_t *card = mem_new(in->cards->count, sizeof *card);
    const Held held = held_cards(in, in->most, card);
    set_most(reach, places_fill(in, limit, &held, fixed, NULL));
    mem_free(card);
    mem_free(fixed);
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->most[c] > 0 && in->place_limit[c] >= 0 && &in->limit[in->place_limit[c]] == limit) {
            copies += in->most[c];
            reach->candidates++;
        }
    reach->possible = reach->most >= asked && (!limit->has_all || copies >= limit->all_low);
}

static void cards_reach(const Instance *in, const Limit *limit, LimitReach *reach)
{
    for (size_t k = 0; k < limit->amongs; k++)
        reach->candidates += in->most[limit->among[k]] > 0;
    set_most(reach, (int64_t)reach->candidates);
}

static void apart_reach(const Instance *in, const Limit *limit, int64_t free_copies, int64_t forced, LimitReach *reach)
{
    int64_t must = 0, may = 0; /* of its own cards */
    cards_reach(in, limit, reach);
    for (size_t k = 0; k < limit->amongs; k++) {
        const size_t c = limit->among[k];
        must += in->least[c];
        may += in->most[c] - in->least[c];
    }
    const int64_t others = free_copies - may, least = in->model->size_from - forced - others,
                  room = in->model->size_to - forced;
    reach->has_least = true;
    reach->least = must + (least > 0 ? least : 0);
    set_most(reach, must + (may < room ? may : room > 0 ? room : 0));
    reach->possible = reach->least <= limit->bounds.high;
}

void structure_reach(const Instance *instance, const Limit *limit, int64_t free_copies, int64_t forced,
                     LimitReach *reach)
{
    switch (limit->kind) {
    case LIMIT_SIZE: size_reach(instance, limit, free_copies, forced, reach); break;
    case LIMIT_CAP: reach->candidates = candidates(instance); break;
    case LIMIT_PLACES: places_reach(instance, limit, reach); break;
    case LIMIT_APART: apart_reach(instance, limit, free_copies, forced, reach); break;
    case LIMIT_NEEDS:
    case LIMIT_GROUP:
        cards_reach(instance, limit, reach);
        if (limit->kind == LIMIT_GROUP || (limit->card >= 0 && instance->least[limit->card] > 0))
            reach->possible = reach->most >= limit->bounds.low;
        break;
    case LIMIT_CHOICE:
        reach->candidates = limit->of_themes;
        set_most(reach, (int64_t)limit->of_themes);
        break;
    case LIMIT_KEEP:
    case LIMIT_BAN: reach->candidates = 1; break;
    case LIMIT_RATIO: reach->candidates = candidates_with_role(instance, (size_t)limit->theme); break;
    case LIMIT_RULE:
    case LIMIT_KINDS: break;
    }
}
