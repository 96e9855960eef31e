/* structure.c - a model's structure met with its candidates: which themes may be chosen, what a card's fit leaves out
 * because it counts elsewhere, and the forms that programme, checker and reports look at. */
#include "model/instance/structure.h"

#include "base/number.h"
#include "model/instance/instance_cache.h"

const char *form_kind_name(FormKind kind)
{
    static const char *const name[] = {"places", "engine", "depth", "theme", "evenness", "stay", "together", "sets"};
    return name[kind];
}

int64_t form_part_copies(const Form *form, const int *copies, int part)
{
    int64_t count = 0;
    for (size_t k = 0; k < form->cards; k++)
        count += form->part[k] == part ? copies[form->card[k]] : 0;
    return count;
}

long form_part_single(const Form *form, const int *copies, int part)
{
    long single = -1;
    for (size_t k = 0; k < form->cards; k++) {
        if (form->part[k] != part || copies[form->card[k]] <= 0)
            continue;
        if (single >= 0)
            return -1;
        single = (long)form->card[k];
    }
    return single;
}

size_t theme_index(const Model *model, const char *name)
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
    const int128 whole = (int128)PERCENT_ONE * in->decks;
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

Form *form_add(Instance *in, FormKind kind, const char *name, SourcePos at)
{
    Form *form = &in->form[in->forms++];
    *form = (Form){.kind = kind, .name = name, .at = at, .theme = -1, .colour = -1};
    return form;
}

/* "engine (convoys)" */
static const char *named_of(Instance *in, const char *word, const char *of)
{
    return arena_printf(in->arena, "%s (%s)", word, of);
}

static Form *add_theme_form(Instance *in, FormKind kind, size_t theme, SourcePos at)
{
    Form *form = form_add(in, kind, named_of(in, form_kind_name(kind), in->model->theme[theme].name), at);
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
        if (places->own[i].is_theme && places->own[i].name == theme)
            sized = (Sized){places->own[i].theme, places->own[i].theme_size};
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

/* Numbers written at one size are scaled together, so that their sum is the quota of the sum; as of any lower bound,
 * 1 or more never become 0. */
static void scale_total(const Sized *part, size_t parts, int size_now, int64_t *low, int64_t *high)
{
    bool any = false;
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
        any = any || sum > 0;
    }
    if (any && *low < 1)
        *low = 1;
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
    const char *name = named_of(in, limit_kind_name(LIMIT_PLACES), model->colour[colour]);
    Limit *limit = limit_add(in, LIMIT_PLACES, name, model->colour[colour], places->at);
    Sized *part = mem_new(model->themes + 1, sizeof *part);
    size_t parts = 0;
    int64_t sum = 0;
    limit->colour = (int)colour;
    limit->of_theme = arena_alloc(in->arena, model->themes, sizeof *limit->of_theme);
    limit->count = arena_alloc(in->arena, model->themes, sizeof *limit->count);
    for (size_t t = 0; t < model->themes; t++) {
        if (!has_places_in(model, t, colour))
            continue;
        Sized sized = places_of_theme(places, model->colour[colour], model->theme[t].name, &limit->at);
        int64_t count = scale_down(sized, model->size_to);
        part[parts++] = sized;
        if (count == 0)
            continue;
        limit->of_theme[limit->of_themes] = (int)t;
        limit->count[limit->of_themes++] = count;
        sum += count;
    }
    limit->bounds = (Bounds){.has_low = true, .low = sum, .at = limit->at};
    limit->has_all = open_of_colour(places, model->colour[colour], &part[parts]);
    if (limit->has_all) {
        scale_total(part, parts + 1, model->size_to, &limit->all_low, &limit->all_high);
        limit->all_low = limit->all_low > sum ? limit->all_low : sum;
        limit->all_high = limit->all_high > sum ? limit->all_high : sum;
    }
    if (limit->of_themes == 0 && !limit->has_all)
        in->limits--;
    else if (places->by_place)
        form_add(in, FORM_PLACE_FIT, name, limit->at)->colour = (int)colour;
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

/* The places that a mono card may fill: those of its colour. */
static void match_places(Instance *in)
{
    for (size_t c = 0; c < in->cards->count; c++) {
        in->place_limit[c] = -1;
        for (size_t l = 0; l < in->limits; l++)
            if (in->limit[l].kind == LIMIT_PLACES && in->class[c] == CLASS_MONO &&
                colours_exact(&in->cards->card[c].colours, (ColourMask)(1U << in->limit[l].colour)))
                in->place_limit[c] = (long)l;
    }
}

/* With by_place a card's tags add to fit only in the place that it fills. */
static void split_fit_by_place(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    const size_t cards = in->cards->count;
    for (size_t c = 0; c < cards; c++) {
        if (in->place_limit[c] < 0)
            continue;
        const Card *card = &in->cards->card[c];
        const Limit *limit = &in->limit[in->place_limit[c]];
        in->fit[c] = (int64_t)structure_share(
            in, c, (int128)(card->has_power ? card->power : model->unscored) * model->power_weight);
        for (size_t k = 0; k < limit->of_themes; k++)
            in->part[(size_t)limit->of_theme[k] * cards + c] = theme_part(builder, (size_t)limit->of_theme[k], c);
    }
}

void structure_places(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Model *model = in->model;
    const Structure *structure = model->structure;
    const size_t cards = in->cards->count;
    in->form =
        arena_alloc(in->arena, model->colours + 2 * model->themes + 2 + structure->combinations, sizeof *in->form);
    if (needs_parts(in))
        in->part = arena_alloc(in->arena, model->themes * cards, sizeof *in->part);
    in->place_limit = arena_alloc(in->arena, cards, sizeof *in->place_limit);
    for (size_t c = 0; c < model->colours && structure->places.on; c++)
        add_places(in, c);
    check_places(builder);
    match_places(in);
    for (size_t t = 0; t < model->themes; t++)
        for (size_t c = 0; c < cards && in->choosable[t] && structure->shape[t].depths == 0; c++)
            in->part[t * cards + c] = theme_part(builder, t, c);
    if (structure->places.by_place)
        split_fit_by_place(builder);
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
        to->value = (int64_t)round_div((int128)step->share * in->model->theme[theme].weight, PERCENT_ONE);
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
        const char *of = in->model->theme[theme].name;
        Limit *limit = limit_add(in, LIMIT_RATIO, named_of(in, limit_kind_name(LIMIT_RATIO), of), of, engine->band_at);
        limit->theme = (int)theme;
        limit->bounds = (Bounds){.kind = BOUND_RATIO,
                                 .has_low = engine->has_from,
                                 .has_high = engine->has_to,
                                 .low = engine->from,
                                 .high = engine->to,
                                 .at = engine->band_at};
    }
    if (shape->depths > 0)
        add_depth(builder, theme);
    else if (in->choosable[theme])
        add_theme_form(in, FORM_THEME_FIT, theme, in->model->theme[theme].at);
}

/* ---- all of it ---- */

void structure_forms(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Structure *structure = in->model->structure;
    for (size_t t = 0; t < in->model->themes; t++)
        add_theme_forms(builder, t);
    if (structure->evenness > 0)
        form_add(in, FORM_EVENNESS, "evenness", structure->evenness_at)->gain = structure->evenness;
    if (structure->stay > 0 && in->has_present)
        form_add(in, FORM_STAY, "stay", structure->stay_at)->gain = structure->stay;
    structure_combinations(builder);
}
