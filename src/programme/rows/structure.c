/* structure.c - what goes beyond counts, as few columns and rows as will do.
 *
 * Choice of themes. T is 1 where a theme is chosen. A row of its rules "sum >= low" becomes sum - (low - L) T >= L,
 * where L is the least that the sum can come to: with T = 1 the rule, with T = 0 nothing. The fit of its tags is one
 * column f <= M T, f <= sum + |L| (1 - T), with cuts (add_fit_cuts). Engine. z whole, z <= enablers, 1000 z <= ratio x
 * payoffs (in thousandths), at a bonus each. Depth. s1, s2, ... whole, each at most its step's width; 1000 (s1 + s2 +
 * ...) <= summed weight in thousandths. Values do not rise, so that the earlier ones fill first by themselves: a
 * concave function as a sum of pieces. (G. B. Dantzig, "On the significance of solving linear programming problems with
 * some integer variables", Econometrica 28, 1960.) Evenness. m whole, m <= strength of each theme that takes part.
 * Together. b <= each card's 0/1; with parts z whole, z <= limit, z <= copies of each part; needs: k x <= sum of the
 * others; apart and groups are sums. */
#include "programme/rows/structure.h"

#include "base/number.h"
#include "base/sort.h"

static ProgrammeRow form_row(size_t form)
{
    return (ProgrammeRow){.role = ROW_FORM, .card = -1, .form = (long)form};
}

static ProgrammeColumn form_column(ColumnRole role, size_t form, long card, long theme)
{
    return (ProgrammeColumn){.role = role, .card = card, .form = (long)form, .theme = theme};
}

void structure_row(Builder *b, ProgrammeRow about, int chosen, int64_t low, int64_t high, int missed, int64_t unit)
{
    if (chosen < 0) {
        builder_begin(b, about, low, high);
        builder_cards(b);
        builder_entry(b, missed, unit);
        builder_end(b);
        return;
    }
    if (low != SEARCH_MINUS_INFINITY) {
        int64_t least = builder_reach(b, false);
        int64_t over = low > least ? low - least : 0;
        builder_begin(b, about, low - over, SEARCH_PLUS_INFINITY);
        builder_cards(b);
        builder_entry(b, missed, unit);
        builder_entry(b, chosen, -over);
        builder_end(b);
    }
    if (high != SEARCH_PLUS_INFINITY) {
        int64_t most = builder_reach(b, true);
        int64_t over = most > high ? most - high : 0;
        builder_begin(b, about, SEARCH_MINUS_INFINITY, high + over);
        builder_cards(b);
        builder_entry(b, missed, unit);
        builder_entry(b, chosen, over);
        builder_end(b);
    }
}

void structure_chosen(Builder *b)
{
    const Instance *in = b->instance;
    for (size_t t = 0; t < in->model->themes; t++) {
        b->chosen_column[t] = -1;
        if (in->choosable[t])
            b->chosen_column[t] = builder_column(
                b, (ProgrammeColumn){.role = COLUMN_CHOSEN, .card = -1, .form = -1, .theme = (long)t}, 0, 0, 1);
    }
}

/* ---- coefficients ---- */

static void set_coefficient(Builder *b, size_t card, int64_t value)
{
    b->coefficient[2 * card] += value;
    b->coefficient[2 * card + 1] += value;
}

static const CardTag *playable_tag(const Instance *in, size_t theme, size_t card)
{
    const CardTag *tag = instance_theme_tag(in, theme, card);
    return tag != NULL && colours_playable(&in->cards->card[card].colours, in->model->theme[theme].colours) ? tag
                                                                                                            : NULL;
}

void structure_enablers(Builder *b, size_t theme, int64_t enabler, int64_t payoff)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        const CardTag *tag = playable_tag(b->instance, theme, c);
        if (tag == NULL)
            continue;
        set_coefficient(b, c, (role_is_enabler(tag->role) ? enabler : 0) + (role_is_payoff(tag->role) ? payoff : 0));
    }
}

static void add_strength(Builder *b, size_t theme)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        const CardTag *tag = playable_tag(b->instance, theme, c);
        int64_t value = 0;
        if (tag == NULL)
            continue;
        if (__builtin_mul_overflow(tag->weight, b->instance->model->theme[theme].weight, &value))
            b->too_large = true;
        set_coefficient(b, c, value);
    }
}

/* A row over b->coefficient and one more column. */
static void row_with(Builder *b, size_t form, int column, int64_t value)
{
    builder_begin(b, form_row(form), 0, SEARCH_PLUS_INFINITY);
    builder_cards(b);
    builder_entry(b, column, value);
    builder_end(b);
}

/* column <= most x chosen. */
static void only_if_chosen(Builder *b, size_t form, int column, int64_t most, int chosen)
{
    if (chosen < 0)
        return;
    builder_begin(b, form_row(form), SEARCH_MINUS_INFINITY, 0);
    builder_entry(b, column, 1);
    builder_entry(b, chosen, -most);
    builder_end(b);
}

/* ---- themes ---- */

static void add_engine(Builder *b, size_t f, const Form *form)
{
    const size_t theme = (size_t)form->theme;
    builder_clear(b);
    structure_enablers(b, theme, 0, form->ratio);
    int64_t most = builder_reach(b, true) / 1000;
    builder_clear(b);
    structure_enablers(b, theme, 1, 0);
    int64_t enablers = builder_reach(b, true);
    most = most < enablers ? most : enablers;
    if (most <= 0)
        return;
    int units = builder_column(b, form_column(COLUMN_ENGINE, f, -1, form->theme), form->gain, 0, most);
    row_with(b, f, units, -1);
    builder_clear(b);
    structure_enablers(b, theme, 0, form->ratio);
    row_with(b, f, units, -1000);
    only_if_chosen(b, f, units, most, b->chosen_column[theme]);
}

static void add_depth(Builder *b, size_t f, const Form *form)
{
    const Instance *in = b->instance;
    const size_t theme = (size_t)form->theme;
    builder_clear(b);
    for (size_t k = in->theme_start[theme]; k < in->theme_start[theme + 1]; k++)
        set_coefficient(b, in->theme_card[k], instance_theme_tag(in, theme, in->theme_card[k])->weight);
    const int64_t most = builder_reach(b, true) / 1000;
    int first = -1, last = -1;
    for (size_t k = 0; k < form->steps && form->step[k].value > 0; k++) {
        int64_t width = form->step[k].width < most ? form->step[k].width : most;
        last = builder_column(b, form_column(COLUMN_DEPTH, f, -1, (long)k), form->step[k].value, 0, width);
        first = first < 0 ? last : first;
    }
    if (first < 0)
        return;
    builder_begin(b, form_row(f), 0, SEARCH_PLUS_INFINITY);
    builder_cards(b);
    for (int j = first; j <= last; j++)
        builder_entry(b, j, -1000);
    builder_end(b);
    if (b->chosen_column[theme] < 0)
        return;
    builder_begin(b, form_row(f), SEARCH_MINUS_INFINITY, 0);
    for (int j = first; j <= last; j++)
        builder_entry(b, j, 1);
    builder_entry(b, b->chosen_column[theme], -most);
    builder_end(b);
}

typedef struct {
    size_t card;
    double rank;
} Ranked;

static int by_rank(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    if (x->rank != y->rank)
        return x->rank < y->rank ? 1 : -1;
    return (x->card > y->card) - (x->card < y->card);
}

/* The theme's cards, those first that a good pool would rather hold: what a copy adds, less a guess at what its money
 * would add elsewhere (a tenth of the average fit for the average sum). A guess steers only which cuts are added. */
static size_t rank_cards(const Builder *b, size_t theme, Ranked *ranked)
{
    const Instance *in = b->instance;
    const size_t cards = in->cards->count;
    double sum = 0;
    size_t count = 0;
    for (size_t c = 0; c < cards; c++)
        sum += (double)in->fit[c];
    const double rate = in->model->has_cap && in->model->cap > 0
                            ? 0.1 * sum / (double)cards * in->model->size_to / (double)in->model->cap
                            : 0;
    for (size_t c = 0; c < cards; c++) {
        const int64_t part = in->part[theme * cards + c];
        if (part > 0 && in->most[c] > 0)
            ranked[count++] = (Ranked){c, (double)(in->fit[c] + part) - rate * (double)in->price[c]};
    }
    sort_stable(ranked, count, sizeof *ranked, by_rank);
    return count;
}

#define CUT_SETS 7

/* For any set H of cards: f <= (all that H can give) T + what the others give. Without these, a sliver of T would let
 * all cards count. */
static void add_fit_cuts(Builder *b, size_t f, size_t theme, int fit, int chosen)
{
    static const int share[CUT_SETS] = {40, 24, 16, 12, 9, 7, 5}; /* H has a 40th ... a 5th as many cards as the pool */
    const Instance *in = b->instance;
    const size_t cards = in->cards->count;
    Ranked *ranked = mem_new(cards, sizeof *ranked);
    const size_t count = rank_cards(b, theme, ranked);
    for (int k = 0; k < CUT_SETS; k++) {
        const size_t size = (size_t)(in->model->size_to / share[k]);
        int64_t most = 0;
        if (size == 0 || size >= count)
            continue;
        builder_begin(b, form_row(f), 0, SEARCH_PLUS_INFINITY);
        for (size_t i = 0; i < count; i++) {
            const int64_t part = in->part[theme * cards + ranked[i].card];
            if (i < size)
                most += part * in->most[ranked[i].card];
            else
                builder_copies(b, ranked[i].card, part);
        }
        builder_entry(b, chosen, most);
        builder_entry(b, fit, -1);
        builder_end(b);
    }
    mem_free(ranked);
}

static void add_theme_fit(Builder *b, size_t f, const Form *form)
{
    const Instance *in = b->instance;
    const int chosen = b->chosen_column[form->theme];
    builder_clear(b);
    for (size_t c = 0; c < in->cards->count; c++)
        set_coefficient(b, c, in->part[(size_t)form->theme * in->cards->count + c]);
    int64_t least = builder_reach(b, false), most = builder_reach(b, true);
    least = least < 0 ? least : 0;
    most = most > 0 ? most : 0;
    int fit = builder_column(b, form_column(COLUMN_THEME_FIT, f, -1, form->theme), 1, least, most);
    builder_begin(b, form_row(f), least, SEARCH_PLUS_INFINITY);
    builder_cards(b);
    builder_entry(b, fit, -1);
    builder_entry(b, chosen, least);
    builder_end(b);
    only_if_chosen(b, f, fit, most, chosen);
    if (least == 0)
        add_fit_cuts(b, f, (size_t)form->theme, fit, chosen);
}

#define MILLION INT64_C(1000000) /* strengths are in millionths */

/* Least and most that the weakest theme can come to; false: no theme takes part. *always: some theme takes part
 * whatever is chosen. */
static bool evenness_range(Builder *b, int64_t *least, int64_t *most, bool *always)
{
    int64_t surely = INT64_MAX, loose = 0;
    bool any = false;
    *least = 0;
    *always = false;
    for (size_t t = 0; t < b->instance->model->themes; t++) {
        if (b->instance->model->theme[t].weight <= 0)
            continue;
        any = true;
        builder_clear(b);
        add_strength(b, t);
        int64_t low = (int64_t)floor_div(builder_reach(b, false), MILLION),
                high = (int64_t)floor_div(builder_reach(b, true), MILLION);
        *least = low < *least ? low : *least;
        loose = high > loose ? high : loose;
        if (b->chosen_column[t] >= 0)
            continue;
        surely = high < surely ? high : surely;
        *always = true;
    }
    *most = *always ? surely : loose;
    *least = *least < *most ? *least : *most;
    return any;
}

static void add_evenness(Builder *b, size_t f, const Form *form)
{
    int64_t least, most;
    bool always;
    if (!evenness_range(b, &least, &most, &always))
        return;
    int units = builder_column(b, form_column(COLUMN_EVENNESS, f, -1, -1), form->gain, least, most);
    for (size_t t = 0; t < b->instance->model->themes; t++) {
        if (b->instance->model->theme[t].weight <= 0)
            continue;
        builder_clear(b);
        add_strength(b, t);
        int64_t off = b->chosen_column[t] >= 0 ? most * MILLION - builder_reach(b, false) : 0;
        off = off > 0 ? off : 0;
        builder_begin(b, form_row(f), -off, SEARCH_PLUS_INFINITY);
        builder_cards(b);
        builder_entry(b, units, -MILLION);
        builder_entry(b, b->chosen_column[t], -off);
        builder_end(b);
    }
    if (always)
        return;
    builder_begin(b, form_row(f), SEARCH_MINUS_INFINITY, 0); /* nothing chosen, nothing gained */
    builder_entry(b, units, 1);
    for (size_t t = 0; t < b->instance->model->themes; t++)
        if (b->instance->model->theme[t].weight > 0)
            builder_entry(b, b->chosen_column[t], -most);
    builder_end(b);
}

/* ---- the present pool ---- */

static bool stays_whole(const Instance *in, size_t card)
{
    return in->present[card] >= in->most[card];
}

int64_t structure_objective(const Instance *instance, size_t card)
{
    bool whole = instance->has_present && stays_whole(instance, card);
    return instance->fit[card] + (whole ? instance->model->structure->stay : 0);
}

static void add_stay(Builder *b, size_t f, const Form *form)
{
    const Instance *in = b->instance;
    for (size_t c = 0; c < in->cards->count; c++) {
        if (in->present[c] <= 0 || in->most[c] <= 0 || stays_whole(in, c))
            continue;
        int stay = builder_column(b, form_column(COLUMN_STAY, f, (long)c, -1), form->gain, 0, in->present[c]);
        builder_begin(b, form_row(f), 0, SEARCH_PLUS_INFINITY);
        builder_copies(b, c, 1);
        builder_entry(b, stay, -1);
        builder_end(b);
    }
}

/* ---- combinations ---- */

static void add_together(Builder *b, size_t f, const Form *form)
{
    int *in = mem_new(form->cards, sizeof *in);
    bool possible = form->cards > 0;
    for (size_t k = 0; k < form->cards; k++) {
        in[k] = builder_in(b, form->card[k]);
        possible = possible && in[k] >= 0;
    }
    int all = possible ? builder_column(b, form_column(COLUMN_TOGETHER, f, -1, -1), form->gain, 0, 1) : -1;
    for (size_t k = 0; k < form->cards && possible; k++) {
        builder_begin(b, form_row(f), 0, SEARCH_PLUS_INFINITY);
        builder_entry(b, in[k], 1);
        builder_entry(b, all, -1);
        builder_end(b);
    }
    mem_free(in);
}

static void add_sets(Builder *b, size_t f, const Form *form)
{
    const Instance *in = b->instance;
    int64_t most = form->most;
    for (int p = 0; p < form->parts; p++) {
        int64_t copies = 0;
        for (size_t k = 0; k < form->cards; k++)
            copies += form->part[k] == p ? in->most[form->card[k]] : 0;
        most = copies < most ? copies : most;
    }
    if (most <= 0)
        return;
    const int sets = builder_column(b, form_column(COLUMN_SETS, f, -1, -1), form->gain, 0, most);
    for (int p = 0; p < form->parts; p++) {
        builder_begin(b, form_row(f), 0, SEARCH_PLUS_INFINITY);
        for (size_t k = 0; k < form->cards; k++)
            if (form->part[k] == p)
                builder_copies(b, form->card[k], 1);
        builder_entry(b, sets, -1);
        builder_end(b);
    }
}

void structure_rows(Builder *b)
{
    for (size_t f = 0; f < b->instance->forms; f++) {
        const Form *form = &b->instance->form[f];
        switch (form->kind) {
        case FORM_PLACE_FIT: break; /* on the columns of places */
        case FORM_ENGINE: add_engine(b, f, form); break;
        case FORM_DEPTH: add_depth(b, f, form); break;
        case FORM_THEME_FIT: add_theme_fit(b, f, form); break;
        case FORM_EVENNESS: add_evenness(b, f, form); break;
        case FORM_STAY: add_stay(b, f, form); break;
        case FORM_TOGETHER: add_together(b, f, form); break;
        case FORM_SETS: add_sets(b, f, form); break;
        }
    }
}
