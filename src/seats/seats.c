/* seats.c - see seats.h. */
#include "seats/seats.h"

#include <stdio.h>

#include "base/sort.h"
#include "programme/count/checker.h"

static void seen_count(const int drawn[DRAWS], int pool, int copies, SeenCards *seen)
{
    for (int by = 0; by < DRAWS; by++) {
        Seen *s = &seen->by[by];
        const Draw draw = {pool, copies, drawn[by]};
        *s = (Seen){.copies = copies, .mean = (double)copies * drawn[by] / pool, .sure = draw_sure(&draw, SURE_SHARE)};
        for (int k = 0; k <= SEEN_MOST; k++)
            s->at_least[k] = k == 0 ? 1 : draw_at_least(&draw, k);
    }
}

/* ---- themes ---- */

typedef enum { ANY_ROLE, ENABLERS, PAYOFFS, BOTH_ROLES } Which;

static bool is_role(Role role, Which which)
{
    switch (which) {
    case ANY_ROLE: return true;
    case ENABLERS: return role_is_enabler(role);
    case PAYOFFS: return role_is_payoff(role);
    case BOTH_ROLES: return role_is_enabler(role) && role_is_payoff(role);
    }
    return false;
}

static int theme_copies(const Instance *in, const int *copies, size_t theme, Which which)
{
    int sum = 0;
    for (size_t i = in->theme_start[theme]; i < in->theme_start[theme + 1]; i++) {
        const size_t c = in->theme_card[i];
        const CardTag *tag = instance_theme_tag(in, theme, c);
        if (colours_playable(&in->cards->card[c].colours, in->model->theme[theme].colours) && is_role(tag->role, which))
            sum += copies[c];
    }
    return sum;
}

/* Of enough for two there is less of the first; where of neither more, of enough for one. */
static bool is_short(const double first[2], const double second[2])
{
    return first[1] < second[1] || (first[1] <= second[1] && first[0] < second[0]);
}

static bool is_tagged(const Instance *in, size_t theme)
{
    for (size_t i = in->theme_start[theme]; i < in->theme_start[theme + 1]; i++)
        if (instance_theme_tag(in, theme, in->theme_card[i])->role != ROLE_NONE)
            return true;
    return false;
}

static void count_theme(Seats *s, const int *copies, size_t theme)
{
    ThemeSeen *t = &s->theme[theme];
    t->name = t->cards.name = t->enablers.name = t->payoffs.name = s->instance->model->theme[theme].name;
    t->cards.of = t->enablers.of = t->payoffs.of = "";
    seen_count(s->drawn, s->pool, theme_copies(s->instance, copies, theme, ANY_ROLE), &t->cards);
    seen_count(s->drawn, s->pool, theme_copies(s->instance, copies, theme, ENABLERS), &t->enablers);
    seen_count(s->drawn, s->pool, theme_copies(s->instance, copies, theme, PAYOFFS), &t->payoffs);
    for (int k = 0; k < 2; k++) {
        t->has_enablers[k] = draw_at_least(&(Draw){s->pool, t->enablers.by[0].copies, s->drawn[DRAW_SEES]},
                                           (k + 1) * s->package.enablers);
        t->has_payoffs[k] =
            draw_at_least(&(Draw){s->pool, t->payoffs.by[0].copies, s->drawn[DRAW_SEES]}, (k + 1) * s->package.payoffs);
    }
    const int enablers = t->enablers.by[0].copies, payoffs = t->payoffs.by[0].copies,
              both = theme_copies(s->instance, copies, theme, BOTH_ROLES);
    t->has_package = draw_of_two(&(DrawTwo){s->pool, enablers - both, payoffs - both, both, s->drawn[DRAW_SEES]},
                                 s->package.enablers, s->package.payoffs);
    t->short_of_payoffs = is_short(t->has_payoffs, t->has_enablers);
    t->least = t->short_of_payoffs ? t->has_payoffs[1] : t->has_enablers[1];
    t->tagged = is_tagged(s->instance, theme);
}

static const double *short_role(const ThemeSeen *theme)
{
    return theme->short_of_payoffs ? theme->has_payoffs : theme->has_enablers;
}

static void find_left_out(Seats *s, const int *copies)
{
    const bool *unchosen = pool_unchosen(s->instance, copies, s->arena);
    for (size_t t = 0; t < s->themes && unchosen != NULL; t++)
        s->theme[t].left_out = unchosen[t];
}

bool theme_may_be_short(const ThemeSeen *theme)
{
    return theme->tagged && !theme->left_out;
}

static int compare_themes(const void *a, const void *b)
{
    const ThemeSeen *p = a, *q = b;
    if (theme_may_be_short(p) != theme_may_be_short(q))
        return theme_may_be_short(p) ? -1 : 1;
    if (is_short(short_role(p), short_role(q)) || is_short(short_role(q), short_role(p)))
        return is_short(short_role(p), short_role(q)) ? -1 : 1;
    return p->cards.by[DRAW_SEES].copies - q->cards.by[DRAW_SEES].copies;
}

/* ---- rules ---- */

static bool is_counted(const RuleMember *member)
{
    return member->rule->measure == MEASURE_COUNT && member->bounds.kind == BOUND_ABSOLUTE && member->bounds.has_low &&
           member->bounds.low > 0 && member->theme < 0;
}

static void count_rules(Seats *s, const int *copies)
{
    const Instance *in = s->instance;
    s->rule = arena_alloc(s->arena, in->members, sizeof *s->rule);
    for (size_t m = 0; m < in->members; m++) {
        if (!is_counted(&in->member[m]))
            continue;
        int sum = 0;
        for (size_t c = 0; c < in->cards->count; c++)
            sum += copies[c] > 0 && member_counts(in, &in->member[m], c) ? copies[c] : 0;
        SeenCards *rule = &s->rule[s->rules++];
        rule->name = in->member[m].rule->name;
        rule->of = in->member[m].of;
        seen_count(s->drawn, s->pool, sum, rule);
    }
}

/* ---- cards that belong together ---- */

static void count_together(Seats *s, const int *copies)
{
    const Instance *in = s->instance;
    s->together = arena_alloc(s->arena, in->forms, sizeof *s->together);
    for (size_t f = 0; f < in->forms; f++) {
        const Form *form = &in->form[f];
        if (form->kind != FORM_TOGETHER)
            continue;
        TogetherSeen *t = &s->together[s->togethers++];
        int *of = arena_alloc(s->arena, form->cards, sizeof *of);
        *t = (TogetherSeen){
            .name = form->name, .card = arena_alloc(s->arena, form->cards, sizeof *t->card), .cards = form->cards};
        for (size_t k = 0; k < form->cards; k++) {
            t->card[k] = in->cards->card[form->card[k]].name;
            of[k] = copies[form->card[k]];
            t->lacks = t->lacks || of[k] == 0;
        }
        for (int by = 0; by < DRAWS; by++)
            t->by[by] = draw_one_of_each(s->pool, s->drawn[by], of, form->cards);
    }
}

void seats_count(const Instance *in, const int *copies, int others, const Drafting *drafting, const Package *package,
                 Seats *s)
{
    *s = (Seats){.arena = arena_new(),
                 .instance = in,
                 .drafting = *drafting,
                 .package = *package,
                 .pool = others,
                 .themes = in->model->themes};
    for (size_t c = 0; c < in->cards->count; c++)
        s->pool += copies[c];
    for (int by = 0; by < DRAWS; by++)
        s->drawn[by] = (int)drafting_cards(drafting, (DrawBy)by);
    s->theme = arena_alloc(s->arena, s->themes, sizeof *s->theme);
    for (size_t t = 0; t < s->themes; t++)
        count_theme(s, copies, t);
    find_left_out(s, copies);
    sort_stable(s->theme, s->themes, sizeof *s->theme, compare_themes);
    count_rules(s, copies);
    count_together(s, copies);
}

void seats_release(Seats *s)
{
    arena_free(s->arena);
    *s = (Seats){0};
}

/* ---- tables ---- */

void seats_no_packs(const Model *model, Diags *diags)
{
    diag_error(diags, (SourcePos){.file = model->path},
               "the model does not say how packs are dealt, expected a line such as 'seats: {seats: 8, packs: 3, "
               "pack_size: 15}' in it");
}

/* A pool that is too small for these seats: fewer of them, or smaller packs, if any are small enough. */
static void too_many_seats(const Drafting *drafting, int pool, SourcePos at, Diags *diags)
{
    const long long dealt = drafting_cards(drafting, DRAW_DEALT), each = drafting_cards(drafting, DRAW_OPENS);
    const int pack = pool / drafting->seats / drafting->packs;
    char smaller[80] = "";
    if (pack > 0)
        snprintf(smaller, sizeof smaller, ", or all of them with 'pack_size: %d' in the model", pack);
    diag_error(diags, at,
               "found %d cards in the pool, expected %lld: %lld for each of %d seats; it serves --seats %lld%s", pool,
               dealt, each, drafting->seats, pool / each, smaller);
}

bool seats_table(const Model *model, int seats, int pool, SourcePos at, Drafting *drafting, Diags *diags)
{
    *drafting = (Drafting){seats > 0 ? seats : model->seats, model->packs, model->pack_size};
    const int64_t dealt = drafting_cards(drafting, DRAW_DEALT), each = drafting_cards(drafting, DRAW_OPENS);
    if (each == 0)
        seats_no_packs(model, diags);
    else if (each > pool)
        diag_error(diags, at, "found %d %s in the pool, expected %lld at least, which one seat opens", pool,
                   pool == 1 ? "card" : "cards", (long long)each);
    else if (dealt > pool)
        too_many_seats(drafting, pool, at, diags);
    return each > 0 && dealt <= pool;
}

void seats_beside(const Instance *in, const int *copies, int others, const Package *package, SeatsBeside *beside)
{
    int pool = others;
    for (size_t c = 0; c < in->cards->count; c++)
        pool += copies[c];
    *beside = (SeatsBeside){0};
    for (int seats = 4; seats <= 8; seats += 2) {
        const Drafting drafting = {seats, in->model->packs, in->model->pack_size};
        if (drafting_cards(&drafting, DRAW_DEALT) <= pool)
            seats_count(in, copies, others, &drafting, package, &beside->table[beside->tables++]);
    }
}

void seats_beside_release(SeatsBeside *beside)
{
    for (size_t k = 0; k < beside->tables; k++)
        seats_release(&beside->table[k]);
}
