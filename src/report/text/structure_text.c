/* structure_text.c - what goes beyond counts, for the reader: are the engines fed, which card is where, what is only
 * half in. */
#include <inttypes.h>

#include "report/layout/format.h"
#include "programme/count/pool_summary.h"
#include "report/structure.h"

typedef struct {
    const Instance *in;
    const Answer *answer;
    const Style *style;
    Text *out;
    Arena *arena;
} Page;

static const char *theme_name(const Page *p, int theme)
{
    return theme < 0 ? "open" : p->in->model->theme[theme].name;
}
static const char *card_name(const Page *p, size_t card)
{
    return p->in->cards->card[card].name;
}

static size_t count_kind(const Page *p, FormKind kind)
{
    size_t count = 0;
    for (size_t f = 0; f < p->answer->check.forms; f++)
        count += p->answer->check.form[f].form->kind == kind;
    return count;
}

static size_t count_limits(const Page *p, LimitKind kind)
{
    size_t count = 0;
    for (size_t l = 0; l < p->in->limits; l++)
        count += p->in->limit[l].kind == kind;
    return count;
}

/* ---- choice ---- */

static void add_names_of(const Page *p, const char *label, bool chosen)
{
    bool any = false;
    for (size_t t = 0; t < p->in->model->themes; t++) {
        if (!p->in->choosable[t] || p->answer->check.chosen[t] != chosen)
            continue;
        text_printf(p->out, "%s%s", any ? ", " : label, p->in->model->theme[t].name);
        any = true;
    }
    if (any)
        text_add_char(p->out, '\n');
}

static void add_choice(const Page *p)
{
    if (count_limits(p, LIMIT_CHOICE) == 0)
        return;
    style_heading(p->out, p->style, "Themes to choose from");
    add_names_of(p, "  chosen  ", true);
    add_names_of(p, "  not     ", false);
}

/* ---- engines, depth ---- */

static const FormUse *engine_of(const Page *p, size_t theme)
{
    for (size_t f = 0; f < p->answer->check.forms; f++)
        if (p->answer->check.form[f].form->kind == FORM_ENGINE && p->answer->check.form[f].form->theme == (int)theme)
            return &p->answer->check.form[f];
    return NULL;
}

static const LimitUse *band_of(const Page *p, size_t theme)
{
    for (size_t u = 0; u < p->answer->check.uses; u++)
        if (p->answer->check.use[u].limit->kind == LIMIT_RATIO && p->answer->check.use[u].limit->theme == (int)theme)
            return &p->answer->check.use[u];
    return NULL;
}

static const char *ratio_text(const Page *p, int64_t enablers, int64_t payoffs)
{
    return payoffs == 0 ? "-" : format_number(p->arena, (enablers * 200 / payoffs + 1) / 2 * 10);
}

static void add_engines(const Page *p)
{
    if (count_kind(p, FORM_ENGINE) + count_limits(p, LIMIT_RATIO) == 0)
        return;
    static const char *const header[] = {"theme", "enablers", "payoffs", "for each payoff", "pairs that turn", "adds"};
    Table *table = table_new("lrrrrr", header);
    for (size_t t = 0; t < p->in->model->themes; t++) {
        const FormUse *engine = engine_of(p, t);
        const LimitUse *band = band_of(p, t);
        if ((engine == NULL && band == NULL) || !p->answer->check.chosen[t])
            continue;
        const int64_t enablers = engine != NULL ? engine->use : band->total,
                      payoffs = engine != NULL ? engine->other : band->base;
        table_add(table, p->in->model->theme[t].name);
        table_addf(table, "%" PRId64, enablers);
        table_addf(table, "%" PRId64, payoffs);
        table_add(table, ratio_text(p, enablers, payoffs));
        table_add(table, engine == NULL ? "-" : arena_printf(p->arena, "%" PRId64, engine->gain / engine->form->gain));
        table_add(table, engine == NULL ? "-" : format_number(p->arena, engine->gain));
    }
    style_heading(p->out, p->style, "Engines");
    table_print(table, p->out, p->style);
    table_free(table);
}

static void add_totals(const Page *p)
{
    bool any = false;
    for (size_t f = 0; f < p->answer->check.forms; f++) {
        const FormUse *use = &p->answer->check.form[f];
        const FormKind kind = use->form->kind;
        if (use->idle || (kind != FORM_DEPTH && kind != FORM_EVENNESS && kind != FORM_STAY))
            continue;
        if (!any)
            style_heading(p->out, p->style, "Depth, evenness, staying");
        any = true;
        if (kind == FORM_DEPTH)
            text_printf(p->out, "  %s: %s of weight adds %s\n", theme_name(p, use->form->theme),
                        format_number(p->arena, use->use), format_number(p->arena, use->gain));
        else if (kind == FORM_STAY)
            text_printf(p->out, "  %s of the present pool stay: adds %s\n", format_cards(p->arena, use->use),
                        format_number(p->arena, use->gain));
        else
            text_printf(p->out, "  the weakest theme, %s, has %" PRId64 " of strength: adds %s\n",
                        use->other < 0 ? "none" : theme_name(p, (int)use->other), use->use,
                        format_number(p->arena, use->gain));
    }
}

/* ---- places ---- */

static int64_t copies_in(const Page *p, const Limit *limit, int theme)
{
    int64_t copies = 0;
    for (size_t k = 0; k < p->answer->check.places; k++)
        if (p->answer->check.place[k].limit == limit && p->answer->check.place[k].theme == theme)
            copies += p->answer->check.place[k].copies;
    return copies;
}

static void add_cards_in(const Page *p, const Limit *limit, int theme)
{
    bool any = false;
    for (size_t k = 0; k < p->answer->check.places; k++) {
        const PlaceUse *place = &p->answer->check.place[k];
        if (place->limit != limit || place->theme != theme)
            continue;
        text_printf(p->out, "%s%s", any ? "; " : ": ", card_name(p, place->card));
        if (place->copies > 1)
            text_printf(p->out, " (%d)", place->copies);
        any = true;
    }
}

static void add_places(const Page *p)
{
    if (count_limits(p, LIMIT_PLACES) == 0)
        return;
    style_heading(p->out, p->style, "Places of mono cards");
    for (size_t l = 0; l < p->in->limits; l++) {
        const Limit *limit = &p->in->limit[l];
        if (limit->kind != LIMIT_PLACES)
            continue;
        text_printf(p->out, "  %s: ", limit->of);
        for (size_t k = 0; k < limit->of_themes; k++)
            text_printf(p->out, "%s %" PRId64 ", ", theme_name(p, limit->of_theme[k]),
                        copies_in(p, limit, limit->of_theme[k]));
        text_printf(p->out, "open %" PRId64 "\n", copies_in(p, limit, -1));
        for (size_t k = 0; k <= limit->of_themes; k++) {
            int theme = k < limit->of_themes ? limit->of_theme[k] : -1;
            if (copies_in(p, limit, theme) == 0)
                continue;
            text_printf(p->out, "    %s", theme_name(p, theme));
            add_cards_in(p, limit, theme);
            text_add_char(p->out, '\n');
        }
    }
}

/* ---- combinations ---- */

/* "all but X, Y" where some are in, by what is missing. */
static void add_missing(const Page *p, const Form *form)
{
    bool any = false;
    for (size_t k = 0; k < form->cards; k++)
        if (p->answer->copies[form->card[k]] <= 0) {
            text_printf(p->out, "%s%s", any ? "; " : "; missing: ", card_name(p, form->card[k]));
            any = true;
        }
}

static void add_together(const Page *p, const FormUse *use)
{
    const Form *form = use->form;
    if (use->use == use->other)
        text_printf(p->out, "  %s: all %" PRId64 " are in, adds %s\n", form->name, use->other,
                    format_number(p->arena, use->gain));
    else if (use->use == 0)
        text_printf(p->out, "  %s: none is in\n", form->name);
    else {
        text_printf(p->out, "  %s: only %" PRId64 " of %" PRId64 " are in, adds nothing", form->name, use->use,
                    use->other);
        add_missing(p, form);
        text_add_char(p->out, '\n');
    }
}

/* "harbour watch: 2 whole sets of parts with 2, 3 and 2 cards, adds 8; part 1 hangs on Jellied Eels alone" */
static void add_sets(const Page *p, const FormUse *use)
{
    const Form *form = use->form;
    const int *copies = p->answer->copies;
    text_printf(p->out, "  %s: ", form->name);
    if (use->use == 0)
        text_add(p->out, "no whole set of parts with");
    else
        text_printf(p->out, "%" PRId64 " whole set%s of parts with", use->use, use->use == 1 ? "" : "s");
    for (int part = 0; part < form->parts; part++)
        text_printf(p->out, "%s %" PRId64,
                    part == 0                 ? ""
                    : part + 1 == form->parts ? " and"
                                              : ",",
                    form_part_copies(form, copies, part));
    if (use->use == 0)
        text_add(p->out, ", adds nothing");
    else
        text_printf(p->out, ", adds %s%s", format_number(p->arena, use->gain),
                    use->use == form->most ? " (no more sets count)" : "");
    for (int part = 0; part < form->parts; part++) {
        const long single = form_part_single(form, copies, part);
        if (single >= 0)
            text_printf(p->out, "; part %d hangs on %s alone", part + 1, card_name(p, (size_t)single));
    }
    text_add_char(p->out, '\n');
}

static void add_combinations(const Page *p)
{
    if (count_kind(p, FORM_TOGETHER) + count_kind(p, FORM_SETS) == 0)
        return;
    style_heading(p->out, p->style, "Combinations");
    for (size_t f = 0; f < p->answer->check.forms; f++)
        if (p->answer->check.form[f].form->kind == FORM_TOGETHER)
            add_together(p, &p->answer->check.form[f]);
        else if (p->answer->check.form[f].form->kind == FORM_SETS)
            add_sets(p, &p->answer->check.form[f]);
}

/* ---- decks, outliers ---- */

#define SHOWN_DECKS 28

static void add_decks(const Page *p)
{
    int decks;
    const ColourMask *deck = model_decks(p->in->model, p->arena, &decks);
    if (decks <= SHOWN_DECKS) {
        style_heading(p->out, p->style, "Cards that a deck can play");
        Table *table = table_new("lrr", NULL);
        for (int k = 0; k < decks; k++) {
            int64_t cards = pool_playable(p->in, p->answer->copies, deck[k]);
            table_add(table, model_mask_name(p->in->model, deck[k], p->arena));
            table_addf(table, "%" PRId64, cards);
            table_add(table, format_share(p->arena, cards, p->answer->check.size));
        }
        table_print(table, p->out, p->style);
        table_free(table);
    }
}

static void add_outliers(const Page *p)
{
    size_t count = 0;
    size_t *card = pool_outliers(p->in, p->answer->copies, &count);
    if (count > 0)
        style_heading(p->out, p->style, "Far above the rest (power more than two standard deviations above the mean)");
    for (size_t k = 0; k < count; k++)
        text_printf(p->out, "  %s %s\n", card_name(p, card[k]),
                    format_number(p->arena, p->in->cards->card[card[k]].power));
    mem_free(card);
}

void structure_text(const Instance *instance, const Answer *answer, const Style *style, Text *out)
{
    Page p = {instance, answer, style, out, arena_new()};
    add_choice(&p);
    add_engines(&p);
    add_totals(&p);
    add_combinations(&p);
    add_places(&p);
    add_decks(&p);
    add_outliers(&p);
    arena_free(p.arena);
}
