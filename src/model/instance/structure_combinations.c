/* structure_combinations.c - named cards that go together, need each other, keep apart or stand in a group, and themes
 * of which some are chosen. */
#include "model/instance/instance_cache.h"
#include "model/instance/structure.h"

/* Each card once, whatever it is written like; *all: every name is a candidate's. */
static size_t *match_cards(const InstanceBuilder *builder, const Combination *from, size_t *count, bool *all)
{
    Instance *in = builder->instance;
    bool *listed = mem_new(in->cards->count, sizeof *listed);
    size_t *matched = arena_alloc(in->arena, from->ofs, sizeof *matched);
    for (size_t i = 0; i < from->ofs; i++) {
        long card = find_named_card(builder, &from->of[i]);
        *all = *all && card >= 0;
        if (card >= 0)
            listed[card] = true;
    }
    for (size_t c = 0; c < in->cards->count; c++)
        if (listed[c])
            matched[(*count)++] = c;
    mem_free(listed);
    return matched;
}

static const char *combination_name(Instance *in, const Combination *combination, const char *kind)
{
    if (combination->name != NULL)
        return combination->name;
    if (combination->kind == COMBINATION_NEEDS)
        return arena_printf(in->arena, "what %s needs", combination->card.name);
    return arena_printf(in->arena, "%s: %s%s", kind, combination->of[0].name, combination->ofs > 1 ? ", ..." : "");
}

/* Each card's part; a card in two of them would be counted twice. */
static void match_parts(const InstanceBuilder *builder, const Combination *from, Form *form)
{
    const CardSet *cards = builder->instance->cards;
    form->kind = FORM_SETS;
    form->parts = from->parts;
    form->most = from->most;
    form->part = arena_alloc(builder->instance->arena, form->cards, sizeof *form->part);
    for (size_t k = 0; k < form->cards; k++)
        form->part[k] = -1;
    for (size_t i = 0; i < from->ofs; i++)
        for (size_t k = 0; k < form->cards; k++) {
            if ((long)form->card[k] != card_find(cards, from->of[i].name))
                continue;
            if (form->part[k] >= 0 && form->part[k] != from->part[i])
                diag_error(builder->diags, from->of[i].at, "'%s' stands in two parts, expected it in one",
                           from->of[i].name);
            form->part[k] = from->part[i];
        }
}

static void add_together(const InstanceBuilder *builder, const Combination *from)
{
    Instance *in = builder->instance;
    bool all = true;
    Form *form = form_add(in, FORM_TOGETHER, combination_name(in, from, form_kind_name(FORM_TOGETHER)), from->at);
    form->card = match_cards(builder, from, &form->cards, &all);
    form->gain = from->number;
    if (from->parts > 0)
        match_parts(builder, from, form);
}

static void add_limit_of_cards(const InstanceBuilder *builder, const Combination *from, LimitKind kind)
{
    Instance *in = builder->instance;
    Limit *limit = limit_add(in, kind, combination_name(in, from, limit_kind_name(kind)), "", from->at);
    bool all = true;
    limit->among = match_cards(builder, from, &limit->amongs, &all);
    if (all && kind != LIMIT_APART && from->number > (int64_t)limit->amongs)
        diag_error(builder->diags, from->at, "%s asks for %lld of %zu card%s, expected no more than there are",
                   limit->name, (long long)from->number, limit->amongs, limit->amongs == 1 ? "" : "s");
    if (kind == LIMIT_NEEDS)
        limit->card = find_named_card(builder, &from->card);
    limit->bounds = kind == LIMIT_APART ? (Bounds){.has_high = true, .high = from->number, .at = from->at}
                                        : (Bounds){.has_low = true, .low = from->number, .at = from->at};
}

static void add_combination(const InstanceBuilder *builder, const Combination *from)
{
    switch (from->kind) {
    case COMBINATION_TOGETHER: add_together(builder, from); break;
    case COMBINATION_NEEDS: add_limit_of_cards(builder, from, LIMIT_NEEDS); break;
    case COMBINATION_APART: add_limit_of_cards(builder, from, LIMIT_APART); break;
    case COMBINATION_GROUP: add_limit_of_cards(builder, from, LIMIT_GROUP); break;
    case COMBINATIONS: break;
    }
}

/* ---- choices ---- */

static void add_choice(const InstanceBuilder *builder, const Choose *from, ColourMask pair, const char *name)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    Limit *limit = limit_add(in, LIMIT_CHOICE, name, "", from->at);
    limit->of_theme = arena_alloc(in->arena, from->froms, sizeof *limit->of_theme);
    for (size_t t = 0; t < model->themes; t++)
        for (size_t k = 0; k < from->froms; k++)
            if (from->from[k].name == model->theme[t].name && (pair == 0 || model->theme[t].colours == pair) &&
                (limit->of_themes == 0 || limit->of_theme[limit->of_themes - 1] != (int)t))
                limit->of_theme[limit->of_themes++] = (int)t;
    const int64_t there = (int64_t)limit->of_themes, high = from->high < there ? from->high : there;
    /* at least none of them, and at most all, are no sides beside one that asks for something */
    const bool lower = from->low > 0 || high == 0, upper = high < there || from->low == there;
    limit->bounds = (Bounds){.has_low = lower || !upper,
                             .has_high = upper || !lower,
                             .low = from->low,
                             .high = high,
                             .exactly = from->low == high,
                             .at = from->at};
    if (there == 0)
        in->limits--;
    else if (from->low > there)
        diag_error(builder->diags, from->at, "%s asks for %lld of %zu themes, expected no more than there are", name,
                   (long long)from->low, limit->of_themes);
}

static void add_choices(const InstanceBuilder *builder, const Choose *from)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    if (!from->per_pair) {
        add_choice(builder, from, 0, arena_printf(in->arena, "choice of %s", from->name));
        return;
    }
    for (size_t k = 0; k < from->froms; k++)
        if (__builtin_popcount(model->theme[theme_index(model, from->from[k].name)].colours) != 2)
            diag_error(builder->diags, from->from[k].at,
                       "the theme '%s' has not two colours, expected themes of pairs with 'per: pair'",
                       from->from[k].name);
    for (size_t p = 0; p < model_pairs(model); p++)
        add_choice(builder, from, model_pair(model, p),
                   arena_printf(in->arena, "choice of %s (%s)", from->name,
                                model_mask_name(model, model_pair(model, p), in->arena)));
}

void structure_combinations(const InstanceBuilder *builder)
{
    const Structure *structure = builder->instance->model->structure;
    for (size_t i = 0; i < structure->combinations; i++)
        add_combination(builder, &structure->combination[i]);
    for (size_t i = 0; i < structure->chooses; i++)
        add_choices(builder, &structure->choose[i]);
}
