/* structure_check.c - forms counted card by card from the instance, never from rows or columns.
 *
 * Where themes may be chosen, a pool's fit is that of the best allowed choice: every choice is tried (at most
 * CHOICE_MOST themes, and branches that break a choice's numbers are cut). */
#include "programme/count/structure_check.h"

#include "base/number.h"

#define MILLION INT64_C(1000000)

Held held_cards(const Instance *instance, const int *copies, size_t *card)
{
    Held held = {.copies = copies, .card = card};
    for (size_t c = 0; c < instance->cards->count; c++)
        if (copies[c] > 0)
            card[held.cards++] = c;
    return held;
}

static const CardTag *tag_of(const Instance *in, int theme, size_t card)
{
    return instance_theme_tag(in, (size_t)theme, card);
}

static bool plays_in(const Instance *in, int theme, size_t card)
{
    return tag_of(in, theme, card) != NULL &&
           colours_playable(&in->cards->card[card].colours, in->model->theme[theme].colours);
}

/* ---- forms of themes ---- */

void structure_roles(const Instance *in, const Held *held, int theme, int64_t *enablers, int64_t *payoffs)
{
    *enablers = *payoffs = 0;
    for (size_t k = 0; k < held->cards; k++) {
        const size_t c = held->card[k];
        if (!plays_in(in, theme, c))
            continue;
        Role role = tag_of(in, theme, c)->role;
        *enablers += role_is_enabler(role) ? held->copies[c] : 0;
        *payoffs += role_is_payoff(role) ? held->copies[c] : 0;
    }
}

static void use_engine(const Instance *in, const Held *held, FormUse *use)
{
    structure_roles(in, held, use->form->theme, &use->use, &use->other);
    int64_t turned = (int64_t)floor_div((int128)use->form->ratio * use->other, 1000);
    use->gain = clamp64((int128)use->form->gain * (use->use < turned ? use->use : turned));
}

static void use_depth(const Instance *in, const Held *held, FormUse *use)
{
    int128 sum = 0, gain = 0;
    for (size_t k = 0; k < held->cards; k++) {
        const CardTag *tag = tag_of(in, use->form->theme, held->card[k]);
        if (tag != NULL)
            sum += (int128)tag->weight * held->copies[held->card[k]];
    }
    use->use = clamp64(sum);
    int64_t units = (int64_t)floor_div(sum, 1000);
    for (size_t k = 0; k < use->form->steps && units > 0; k++) {
        int64_t take = units < use->form->step[k].width ? units : use->form->step[k].width;
        gain += (int128)take * use->form->step[k].value;
        units -= take;
    }
    use->gain = clamp64(gain);
}

static void use_theme_fit(const Instance *in, const Held *held, FormUse *use)
{
    int128 sum = 0;
    for (size_t k = 0; k < held->cards; k++) {
        const size_t c = held->card[k];
        sum += (int128)in->part[(size_t)use->form->theme * in->cards->count + c] * held->copies[c];
    }
    use->use = use->gain = clamp64(sum);
}

/* Whole units; false: the theme weighs nothing and takes no part. */
static bool strength(const Instance *in, const Held *held, size_t theme, int64_t *units)
{
    int128 sum = 0;
    if (in->model->theme[theme].weight <= 0)
        return false;
    for (size_t k = 0; k < held->cards; k++) {
        const size_t c = held->card[k];
        if (plays_in(in, (int)theme, c))
            sum += (int128)tag_of(in, (int)theme, c)->weight * in->model->theme[theme].weight * held->copies[c];
    }
    *units = clamp64(floor_div(sum, MILLION));
    return true;
}

/* ---- choosing ---- */

typedef struct {
    const Instance *in;
    const Held *held;
    const PoolCheck *check;
    size_t *theme; /* [themes] that may be chosen */
    size_t themes;
    int64_t *worth;    /* [model themes] what choosing it gives, less what its soft rules cost */
    bool *sound;       /* [model themes] its rules hold */
    bool *weighs;      /* [model themes] takes part in evenness */
    int64_t *strength; /* [model themes] */
    int64_t evenness;
    bool strict;      /* its rules must hold */
    bool *now, *best; /* [model themes] */
    bool found;
    int128 value;
} Choice;

static bool numbers_can_hold(const Choice *ch, size_t decided)
{
    for (size_t l = 0; l < ch->in->limits; l++) {
        const Limit *limit = &ch->in->limit[l];
        int64_t chosen = 0, open = 0;
        if (limit->kind != LIMIT_CHOICE)
            continue;
        for (size_t k = 0; k < limit->of_themes; k++) {
            bool is_open = false;
            for (size_t i = decided; i < ch->themes; i++)
                is_open = is_open || ch->theme[i] == (size_t)limit->of_theme[k];
            open += is_open;
            chosen += !is_open && ch->now[limit->of_theme[k]];
        }
        if (chosen > limit->bounds.high || chosen + open < limit->bounds.low)
            return false;
    }
    return true;
}

static int64_t weakest(const Choice *ch, const bool *chosen, long *theme)
{
    *theme = -1;
    for (size_t t = 0; t < ch->in->model->themes; t++)
        if (chosen[t] && ch->weighs[t] && (*theme < 0 || ch->strength[t] < ch->strength[*theme]))
            *theme = (long)t;
    return *theme < 0 ? 0 : ch->strength[*theme];
}

static bool places_hold(const Choice *ch)
{
    for (size_t l = 0; l < ch->in->limits; l++) {
        const Limit *limit = &ch->in->limit[l];
        int64_t demand = 0;
        if (limit->kind != LIMIT_PLACES)
            continue;
        for (size_t k = 0; k < limit->of_themes; k++)
            demand += ch->now[limit->of_theme[k]] ? limit->count[k] : 0;
        if (places_fill(ch->in, limit, ch->held, ch->now, NULL) < demand)
            return false;
    }
    return true;
}

static void weigh(Choice *ch)
{
    long ignored = 0;
    int128 value = (int128)ch->evenness * weakest(ch, ch->now, &ignored);
    for (size_t i = 0; i < ch->themes; i++)
        value += ch->now[ch->theme[i]] ? ch->worth[ch->theme[i]] : 0;
    if ((ch->found && value <= ch->value) || (ch->strict && !places_hold(ch)))
        return;
    ch->found = true;
    ch->value = value;
    for (size_t t = 0; t < ch->in->model->themes; t++)
        ch->best[t] = ch->now[t];
}

static void try_from(Choice *ch, size_t decided)
{
    if (!numbers_can_hold(ch, decided))
        return;
    if (decided == ch->themes) {
        weigh(ch);
        return;
    }
    const size_t theme = ch->theme[decided];
    ch->now[theme] = true;
    if (!ch->strict || ch->sound[theme])
        try_from(ch, decided + 1);
    ch->now[theme] = false;
    try_from(ch, decided + 1);
}

static void judge_theme(Choice *ch, size_t theme)
{
    const PoolCheck *check = ch->check;
    ch->sound[theme] = true;
    for (size_t f = 0; f < check->forms; f++)
        if (check->form[f].form->theme == (int)theme)
            ch->worth[theme] += check->form[f].gain;
    for (size_t u = 0; u < check->uses; u++) {
        const LimitUse *use = &check->use[u];
        if (use->limit->theme != (int)theme)
            continue;
        ch->sound[theme] = ch->sound[theme] && limit_use_kept(use);
        ch->worth[theme] -= use->penalty;
    }
}

/* The best allowed choice; where none is allowed, the best that keeps the choices' numbers; where none does, all
 * themes. */
static void choose(Choice *ch, bool *chosen)
{
    const Model *model = ch->in->model;
    for (size_t t = 0; t < model->themes; t++) {
        ch->now[t] = ch->best[t] = true;
        if (!ch->in->choosable[t])
            continue;
        judge_theme(ch, t);
        ch->theme[ch->themes++] = t;
    }
    if (ch->themes > 0) {
        ch->strict = true;
        try_from(ch, 0);
        ch->strict = false;
        if (!ch->found)
            try_from(ch, 0);
    }
    for (size_t t = 0; t < model->themes; t++)
        chosen[t] = ch->best[t];
}

/* ---- the others ---- */

static void use_place_fit(const Instance *in, const PoolCheck *check, FormUse *use)
{
    for (size_t k = 0; k < check->places; k++) {
        const PlaceUse *place = &check->place[k];
        if (place->limit->colour != use->form->colour || place->theme < 0)
            continue;
        use->use += place->copies;
        use->gain += in->part[(size_t)place->theme * in->cards->count + place->card] * place->copies;
    }
}

static void use_together(const int *copies, FormUse *use)
{
    const Form *form = use->form;
    for (size_t k = 0; k < form->cards; k++)
        use->use += copies[form->card[k]] > 0;
    use->other = (int64_t)form->cards;
    use->gain = form->cards > 0 && use->use == use->other ? form->gain : 0;
}

static int64_t part_copies(const int *copies, const Form *form, int part)
{
    int64_t count = 0;
    for (size_t k = 0; k < form->cards; k++)
        count += form->part[k] == part ? copies[form->card[k]] : 0;
    return count;
}

/* As many as the smallest part has, up to the limit. */
static void use_sets(const int *copies, FormUse *use)
{
    const Form *form = use->form;
    use->other = form->parts;
    use->use = form->most;
    for (int p = 0; p < form->parts; p++) {
        const int64_t here = part_copies(copies, form, p);
        use->use = here < use->use ? here : use->use;
    }
    use->gain = clamp64((int128)use->use * form->gain);
}

static void use_stay(const Instance *in, const Held *held, FormUse *use)
{
    for (size_t k = 0; k < held->cards; k++) {
        const size_t c = held->card[k];
        use->use += held->copies[c] < in->present[c] ? held->copies[c] : in->present[c];
    }
    use->gain = clamp64((int128)use->use * use->form->gain);
}

/* Before themes are chosen: what each gives if it is. */
static void count_theme_form(const Instance *in, const Held *held, FormUse *use)
{
    switch (use->form->kind) {
    case FORM_ENGINE: use_engine(in, held, use); break;
    case FORM_DEPTH: use_depth(in, held, use); break;
    case FORM_THEME_FIT: use_theme_fit(in, held, use); break;
    case FORM_PLACE_FIT:
    case FORM_EVENNESS:
    case FORM_STAY:
    case FORM_TOGETHER:
    case FORM_SETS: break; /* afterwards */
    }
}

static void count_other_form(const Choice *ch, PoolCheck *check, FormUse *use)
{
    long weak = -1;
    switch (use->form->kind) {
    case FORM_PLACE_FIT: use_place_fit(ch->in, check, use); break;
    case FORM_STAY: use_stay(ch->in, ch->held, use); break;
    case FORM_EVENNESS:
        use->use = weakest(ch, check->chosen, &weak);
        use->other = weak;
        use->gain = clamp64((int128)use->use * use->form->gain);
        break;
    case FORM_TOGETHER: use_together(ch->held->copies, use); break;
    case FORM_SETS: use_sets(ch->held->copies, use); break;
    case FORM_ENGINE:
    case FORM_DEPTH:
    case FORM_THEME_FIT: break; /* before */
    }
}

/* Limits and forms of themes that are not chosen ask and give nothing. */
static void set_idle(PoolCheck *check)
{
    for (size_t f = 0; f < check->forms; f++) {
        FormUse *use = &check->form[f];
        use->idle = use->form->theme >= 0 && !check->chosen[use->form->theme];
        if (!use->idle)
            continue;
        use->gain = 0;
    }
    for (size_t u = 0; u < check->uses; u++) {
        LimitUse *use = &check->use[u];
        if (use->limit->theme < 0 || check->chosen[use->limit->theme])
            continue;
        use->idle = true;
        use->low_kept = use->high_kept = true;
        use->low_tight = use->high_tight = false;
        use->missed = use->penalty = 0;
    }
}

static bool has_places(const Instance *in)
{
    bool any = false;
    for (size_t l = 0; l < in->limits; l++)
        any = any || in->limit[l].kind == LIMIT_PLACES;
    return any;
}

void structure_check(const Tally *tally, PoolCheck *check)
{
    const Instance *instance = tally->instance;
    const Held *held = tally->held;
    const size_t themes = instance->model->themes;
    check->chosen = mem_new(themes, sizeof *check->chosen);
    check->form = mem_new(instance->forms, sizeof *check->form);
    check->forms = instance->forms;
    check->place = mem_new(has_places(instance) ? held->cards * (themes + 1) : 0, sizeof *check->place);
    Choice ch = {.in = instance, .held = held, .check = check, .evenness = instance->model->structure->evenness};
    ch.theme = mem_new(themes, sizeof *ch.theme);
    ch.worth = mem_new(themes, sizeof *ch.worth);
    ch.strength = mem_new(themes, sizeof *ch.strength);
    ch.sound = mem_new(themes, sizeof *ch.sound);
    ch.weighs = mem_new(themes, sizeof *ch.weighs);
    ch.now = mem_new(themes, sizeof *ch.now);
    ch.best = mem_new(themes, sizeof *ch.best);
    for (size_t f = 0; f < check->forms; f++) {
        check->form[f] = (FormUse){.form = &instance->form[f]};
        count_theme_form(instance, held, &check->form[f]);
    }
    for (size_t t = 0; t < themes && ch.evenness > 0; t++)
        ch.weighs[t] = strength(instance, held, t, &ch.strength[t]);
    choose(&ch, check->chosen);
    for (size_t u = 0; u < check->uses; u++)
        if (limit_waits(check->use[u].limit->kind))
            check->use[u] = limit_use(tally, check->use[u].limit);
    for (size_t f = 0; f < check->forms; f++)
        count_other_form(&ch, check, &check->form[f]);
    set_idle(check);
    for (size_t f = 0; f < check->forms; f++)
        check->bonus += check->form[f].gain;
    mem_free(ch.theme);
    mem_free(ch.worth);
    mem_free(ch.strength);
    mem_free(ch.sound);
    mem_free(ch.weighs);
    mem_free(ch.now);
    mem_free(ch.best);
}
