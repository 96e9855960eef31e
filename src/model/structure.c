/* structure.c - a model's structure met with its candidates: which themes may be chosen, what a card's fit leaves out
 * because it counts elsewhere, and the forms that programme, checker and reports look at. */
#include "model/structure.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/fields.h"
#include "model/instance_cache.h"

const char *form_kind_name(FormKind kind)
{
    static const char *const name[] = {
        "places", "engine", "enablers per payoff", "depth", "theme", "evenness", "stay", "together", "needs", "apart",
        "group",  "choice"};
    return name[kind];
}

static size_t theme_index(const Model *model, const char *name)
{
    size_t t = 0;
    while (model->theme_name[t] != name)
        t++;
    return t;
}

/* ---- what a card's fit holds ---- */

void structure_themes(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    const Structure *structure = model->structure;
    size_t count = 0;
    in->choosable = arena_alloc(in->arena, model->themes, sizeof *in->choosable);
    for (size_t i = 0; i < structure->chooses; i++)
        for (size_t k = 0; k < structure->choose[i].froms; k++)
            in->choosable[theme_index(model, structure->choose[i].from[k].name)] = true;
    for (size_t t = 0; t < model->themes; t++)
        count += in->choosable[t];
    if (count > CHOICE_MOST)
        diag_error(builder->diags, structure->choose[0].at, "found %zu themes to choose from, expected at most %d",
                   count, CHOICE_MOST);
}

int128 structure_share(const Instance *in, size_t card, int128 millionths)
{
    const int64_t factor = in->model->structure->playable;
    if (factor == 0)
        return round_div(millionths, 1000);
    const int128 whole = (int128)PERCENT_WHOLE * in->decks;
    return round_div(millionths * (whole - (int128)factor * (in->decks - in->playable[card])), whole * 1000);
}

bool structure_counts_apart(const Instance *in, size_t theme)
{
    return in->choosable[theme] || in->model->structure->shape[theme].depths > 0;
}

static int64_t theme_part(const InstanceBuilder *builder, size_t theme, size_t card)
{
    const Instance *in = builder->instance;
    const CardTag *tag = instance_theme_tag(in, theme, card);
    const int128 part =
        tag == NULL ? 0 : structure_share(in, card, (int128)tag->weight * in->model->theme[theme].weight);
    if (part <= NUMBER_LIMIT && part >= -NUMBER_LIMIT)
        return (int64_t)part;
    diag_error(builder->diags, in->cards->card[card].at,
               "what '%s' adds to the theme '%s' is too large; its tag's weight or the theme's is",
               in->cards->card[card].name, in->model->theme[theme].name);
    return 0;
}

/* ---- forms ---- */

static Form *add_form(Instance *in, FormKind kind, const char *name, SourcePos at)
{
    Form *form = &in->form[in->forms++];
    *form = (Form){.kind = kind, .name = name, .at = at, .theme = -1, .colour = -1, .subject = -1};
    return form;
}

static Form *add_theme_form(Instance *in, FormKind kind, size_t theme, SourcePos at)
{
    Form *form =
        add_form(in, kind, arena_printf(in->arena, "%s (%s)", form_kind_name(kind), in->model->theme[theme].name), at);
    form->theme = (int)theme;
    return form;
}

/* ---- places ---- */

typedef struct {
    int64_t count;
    int size;
} Sized;

static Sized places_of_theme(const Places *places, const char *colour, const char *theme, SourcePos *at)
{
    Sized sized = {places->theme, places->theme_size};
    for (size_t i = 0; i < places->owns; i++)
        if (places->own[i].is_theme && places->own[i].name == theme) {
            sized = (Sized){places->own[i].theme, places->own[i].theme_size};
        }
    for (size_t i = 0; i < places->owns; i++) {
        const PlacesFor *own = &places->own[i];
        if (own->is_theme || own->name != colour)
            continue;
        *at = own->at;
        if (own->has_theme)
            sized = (Sized){own->theme, own->theme_size};
        for (size_t k = 0; k < own->owns; k++)
            if (own->own[k] == theme)
                sized = (Sized){own->own_count[k], own->own_size[k]};
    }
    return sized;
}

static bool open_of_colour(const Places *places, const char *colour, Sized *open)
{
    bool has = places->has_open;
    *open = (Sized){places->open, places->open_size};
    for (size_t i = 0; i < places->owns; i++) {
        const PlacesFor *own = &places->own[i];
        if (own->is_theme || own->name != colour || !own->has_open)
            continue;
        has = true;
        *open = (Sized){own->open, own->open_size};
    }
    return has;
}

/* Numbers written at one size are scaled together, so that their sum is the quota of the sum. */
static void scale_total(const Sized *part, size_t parts, int size_now, int64_t *low, int64_t *high)
{
    *low = *high = 0;
    for (size_t i = 0; i < parts; i++) {
        int64_t sum = 0;
        bool first = true;
        for (size_t k = 0; k < parts; k++) {
            if (part[k].size != part[i].size)
                continue;
            first = first && k >= i;
            sum += part[k].count;
        }
        if (!first)
            continue;
        int size = part[i].size > 0 ? part[i].size : size_now;
        *low += (int64_t)floor_div((int128)sum * size_now, size);
        *high += (int64_t)ceil_div((int128)sum * size_now, size);
    }
}

static int64_t scale_down(Sized sized, int size_now)
{
    Bounds written = {.kind = BOUND_ABSOLUTE, .has_low = true, .low = sized.count, .size_at = sized.size};
    return bounds_scaled(&written, size_now).low;
}

static bool has_places_in(const Model *model, size_t theme, size_t colour)
{
    const Places *places = &model->structure->places;
    if (model->structure->shape[theme].has_colours)
        return (model->theme[theme].colours >> colour & 1) != 0;
    for (size_t i = 0; i < places->alsos; i++)
        if (places->also[i].name == model->theme[theme].name)
            return true;
    return false;
}

static void add_places(Instance *in, size_t colour)
{
    const Model *model = in->model;
    const Places *places = &model->structure->places;
    Form *form = add_form(in, FORM_PLACES, arena_printf(in->arena, "places (%s)", model->colour[colour]), places->at);
    Sized *part = mem_new(model->themes + 1, sizeof *part);
    size_t parts = 0;
    int64_t sum = 0;
    form->colour = (int)colour;
    form->of = arena_alloc(in->arena, model->themes, sizeof *form->of);
    form->count = arena_alloc(in->arena, model->themes, sizeof *form->count);
    for (size_t t = 0; t < model->themes; t++) {
        if (!has_places_in(model, t, colour))
            continue;
        Sized sized = places_of_theme(places, model->colour[colour], model->theme[t].name, &form->at);
        int64_t count = scale_down(sized, model->size_to);
        part[parts++] = sized;
        if (count == 0)
            continue;
        form->of[form->ofs] = (int)t;
        form->count[form->ofs++] = count;
        sum += count;
    }
    form->has_low = form->has_high = open_of_colour(places, model->colour[colour], &part[parts]);
    if (form->has_low) {
        scale_total(part, parts + 1, model->size_to, &form->low, &form->high);
        form->low = form->low > sum ? form->low : sum;
        form->high = form->high > sum ? form->high : sum;
    }
    if (form->ofs == 0 && !form->has_low)
        in->forms--;
    mem_free(part);
}

/* A theme's places under a colour that the theme does not have. */
static void check_places(const InstanceBuilder *builder)
{
    const Model *model = builder->instance->model;
    const Places *places = &model->structure->places;
    for (size_t i = 0; i < places->owns; i++) {
        const PlacesFor *own = &places->own[i];
        for (size_t c = 0; c < model->colours; c++)
            for (size_t k = 0; k < own->owns && own->name == model->colour[c]; k++)
                if (own->own_count[k] > 0 && !has_places_in(model, theme_index(model, own->own[k]), c))
                    diag_error(
                        builder->diags, own->at,
                        "the theme '%s' is not one of %s, expected a theme with that colour, or one under 'also'",
                        own->own[k], own->name);
    }
}

/* Does some theme's fit depend on more than the card? */
static bool needs_parts(const Instance *in)
{
    bool needs = in->model->structure->places.by_place;
    for (size_t t = 0; t < in->model->themes; t++)
        needs = needs || in->choosable[t];
    return needs;
}

void structure_places(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    const Structure *structure = model->structure;
    const size_t cards = in->cards->count;
    in->form = arena_alloc(in->arena,
                           model->colours + 4 * model->themes + 2 + structure->combinations +
                               structure->chooses * (1 + model_pairs(model)),
                           sizeof *in->form);
    if (needs_parts(in))
        in->part = arena_alloc(in->arena, model->themes * cards, sizeof *in->part);
    in->place_form = arena_alloc(in->arena, cards, sizeof *in->place_form);
    for (size_t c = 0; c < model->colours && structure->places.on; c++)
        add_places(in, c);
    check_places(builder);
    for (size_t c = 0; c < cards; c++) {
        in->place_form[c] = -1;
        for (size_t f = 0; f < in->forms; f++)
            if (in->class[c] == CLASS_MONO &&
                colours_exact(&in->cards->card[c].colours, (ColourMask)(1U << in->form[f].colour)))
                in->place_form[c] = (int)f;
    }
    for (size_t t = 0; t < model->themes; t++)
        for (size_t c = 0; c < cards && in->choosable[t] && structure->shape[t].depths == 0; c++)
            in->part[t * cards + c] = theme_part(builder, t, c);
    for (size_t c = 0; c < cards && structure->places.by_place; c++) {
        if (in->place_form[c] < 0)
            continue;
        const Card *card = &in->cards->card[c];
        const Form *form = &in->form[in->place_form[c]];
        in->fit[c] = (int64_t)structure_share(
            in, c, (int128)(card->has_power ? card->power : model->unscored) * model->power_weight);
        for (size_t k = 0; k < form->ofs; k++)
            in->part[(size_t)form->of[k] * cards + c] = theme_part(builder, (size_t)form->of[k], c);
    }
}

/* ---- the forms of themes ---- */

static void add_depth(const InstanceBuilder *builder, size_t theme)
{
    Instance *in = builder->instance;
    const ThemeShape *shape = &in->model->structure->shape[theme];
    Form *form = add_theme_form(in, FORM_DEPTH, theme, shape->depth_at);
    form->step = arena_alloc(in->arena, shape->depths, sizeof *form->step);
    int64_t from = 0;
    for (size_t k = 0; k < shape->depths; k++) {
        const DepthStep *step = &shape->depth[k];
        FormStep *to = &form->step[form->steps++];
        to->width = step->has_to ? step->to - from : NUMBER_LIMIT;
        to->value = (int64_t)round_div((int128)step->share * in->model->theme[theme].weight, PERCENT_WHOLE);
        from = step->to;
    }
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *tag = instance_theme_tag(in, theme, c);
        if (tag != NULL && tag->weight < 0) {
            diag_error(builder->diags, shape->depth_at,
                       "'depth' of '%s' adds up weights of 0 or more, but '%s' has a lower one",
                       in->model->theme[theme].name, in->cards->card[c].name);
            return;
        }
    }
}

static void add_theme_forms(const InstanceBuilder *builder, size_t theme)
{
    Instance *in = builder->instance;
    const ThemeShape *shape = &in->model->structure->shape[theme];
    const Engine *engine = &shape->engine;
    if (engine->on && engine->bonus > 0) {
        Form *form = add_theme_form(in, FORM_ENGINE, theme, engine->at);
        form->gain = engine->bonus;
        form->ratio = engine->ratio;
    }
    if (engine->on && (engine->has_from || engine->has_to)) {
        Form *form = add_theme_form(in, FORM_RATIO, theme, engine->band_at);
        form->has_low = engine->has_from;
        form->has_high = engine->has_to;
        form->low = engine->from;
        form->high = engine->to;
    }
    if (shape->depths > 0)
        add_depth(builder, theme);
    else if (in->choosable[theme])
        add_theme_form(in, FORM_THEME_FIT, theme, in->model->theme[theme].at);
}

/* ---- combinations ---- */

static void match_cards(const InstanceBuilder *builder, const NameAt *name, size_t names, Form *form)
{
    Instance *in = builder->instance;
    bool *listed = mem_new(in->cards->count, sizeof *listed);
    form->card = arena_alloc(in->arena, names, sizeof *form->card);
    for (size_t i = 0; i < names; i++) {
        long card = find_named_card(builder, &name[i]);
        if (card >= 0)
            listed[card] = true;
    }
    for (size_t c = 0; c < in->cards->count; c++)
        if (listed[c])
            form->card[form->cards++] = c;
    mem_free(listed);
}

static const char *combination_name(Instance *in, const Combination *combination)
{
    static const FormKind kind[] = {FORM_TOGETHER, FORM_NEEDS, FORM_APART, FORM_GROUP};
    if (combination->name != NULL)
        return combination->name;
    if (combination->kind == COMBINATION_NEEDS)
        return arena_printf(in->arena, "what %s needs", combination->card.name);
    return arena_printf(in->arena, "%s: %s%s", form_kind_name(kind[combination->kind]), combination->of[0].name,
                        combination->ofs > 1 ? ", ..." : "");
}

static void add_combination(const InstanceBuilder *builder, const Combination *from)
{
    static const FormKind kind[] = {FORM_TOGETHER, FORM_NEEDS, FORM_APART, FORM_GROUP};
    Instance *in = builder->instance;
    Form *form = add_form(in, kind[from->kind], combination_name(in, from), from->at);
    match_cards(builder, from->of, from->ofs, form);
    switch (from->kind) {
    case COMBINATION_TOGETHER: form->gain = from->number; break;
    case COMBINATION_APART:
        form->has_high = true;
        form->high = from->number;
        break;
    case COMBINATION_NEEDS:
        form->subject = find_named_card(builder, &from->card);
        /* fall through */
    default: form->has_low = true; form->low = from->number;
    }
}

/* ---- choices ---- */

static void add_choice(const InstanceBuilder *builder, const Choose *from, ColourMask pair, const char *name)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    Form *form = add_form(in, FORM_CHOOSE, name, from->at);
    form->of = arena_alloc(in->arena, from->froms, sizeof *form->of);
    form->has_low = form->has_high = true;
    for (size_t t = 0; t < model->themes; t++)
        for (size_t k = 0; k < from->froms; k++)
            if (from->from[k].name == model->theme[t].name && (pair == 0 || model->theme[t].colours == pair) &&
                (form->ofs == 0 || form->of[form->ofs - 1] != (int)t))
                form->of[form->ofs++] = (int)t;
    form->low = from->low;
    form->high = from->high < (int64_t)form->ofs ? from->high : (int64_t)form->ofs;
    if (form->ofs == 0)
        in->forms--;
    else if (form->low > (int64_t)form->ofs)
        diag_error(builder->diags, from->at, "%s asks for %lld of %zu themes, expected no more than there are", name,
                   (long long)form->low, form->ofs);
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

void structure_forms(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Structure *structure = in->model->structure;
    for (size_t t = 0; t < in->model->themes; t++)
        add_theme_forms(builder, t);
    if (structure->evenness > 0)
        add_form(in, FORM_EVENNESS, "evenness", structure->evenness_at)->gain = structure->evenness;
    if (structure->stay > 0 && in->has_present)
        add_form(in, FORM_STAY, "stay", structure->stay_at)->gain = structure->stay;
    for (size_t i = 0; i < structure->combinations; i++)
        add_combination(builder, &structure->combination[i]);
    for (size_t i = 0; i < structure->chooses; i++)
        add_choices(builder, &structure->choose[i]);
}
