/* best_text.c - the answer of `best` in the order in which a designer asks: is it good, what changes, are the themes
 * and colours all right, what of my wishes, what stands in the way, what is dear. The short forms are in best_first.c.
 */
#include <inttypes.h>

#include "report/text/best_screen.h"
#include "report/layout/format.h"
#include "report/words/history.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "report/structure.h"
#include "report/whatif_report.h"

static const char *card_name(const BestScreen *s, size_t card)
{
    return s->in->cards->card[card].name;
}

static void add_proof(const BestScreen *s)
{
    const Answer *a = s->answer;
    int64_t ppm = answer_gap_ppm(a);
    if (a->status == ANSWER_BEST)
        text_add(s->out, "No other pool within these limits has more fit: proven.\n");
    else if (ppm >= 0)
        text_printf(s->out, "Proven: no pool within these limits has more than %s fit, %s above this one.\n",
                    format_number(s->arena, a->bound), format_gap(s->arena, ppm));
    else if (a->has_bound)
        text_printf(s->out, "Proven: no pool within these limits has more than %s fit.\n",
                    format_number(s->arena, a->bound));
    else
        text_add(s->out, "How far it is from the best is not known yet.\n");
}

/* What is proven of its place among pools of the same fit. */
static void add_equals(const BestScreen *s)
{
    const AmongEquals *among = &s->answer->equals;
    const bool priced = s->answer->check.cost > 0, present = s->in->has_present;
    const bool both = priced && among->cost && present && among->changes;
    if (both)
        text_add(s->out, "No pool of this fit costs less, and none as cheap changes fewer cards: proven.\n");
    else if (priced)
        text_add(s->out, among->cost ? "No pool of this fit costs less: proven.\n"
                                     : "Whether a pool of this fit costs less is open.\n");
    if (present && !both)
        text_printf(s->out, "%s of this fit%s changes fewer cards%s.\n", among->changes ? "No pool" : "Whether a pool",
                    priced ? " and cost" : "", among->changes ? ": proven" : " is open");
    if (!among->names)
        text_add(s->out, "Which of the pools that equal it comes first by names is open.\n");
}

/* Must some of it be bought of which no price is known? */
static bool buys_unpriced(const BestScreen *s)
{
    for (size_t c = 0; c < s->in->cards->count; c++)
        if (s->answer->copies[c] > s->in->cards->card[c].owned && !price_known(s->in, c))
            return true;
    return false;
}

/* ", 12.50 to buy"; "" where no sheet has a price. */
static const char *to_buy(const BestScreen *s)
{
    const int64_t cost = s->answer->check.cost;
    if (cost > 0)
        return arena_printf(s->arena, ", %s to buy", format_money(s->arena, cost));
    if (!buys_unpriced(s))
        return ", nothing to buy";
    return instance_has_prices(s->in) ? ", nothing with a price to buy" : "";
}

static void add_headline(const BestScreen *s)
{
    const PoolCheck *check = &s->answer->check;
    text_printf(s->out, "%s%s", format_cards(s->arena, check->size), to_buy(s));
    if (s->in->model->counts_paid)
        text_printf(s->out, " and %s paid", format_money(s->arena, s->in->paid));
    if (s->in->model->has_cap)
        text_printf(s->out, " of %s", format_money(s->arena, s->in->model->cap));
    text_printf(s->out, ", fit %s; ", format_number(s->arena, check->fit));
    limits_met_text(check, s->arena, s->out);
    text_add(s->out, ".\n");
    pool_owned_text(s->in, s->answer->copies, s->out);
    add_proof(s);
    add_equals(s);
}

static void add_data_notes(const BestScreen *s)
{
    const Instance *in = s->in;
    if (s->sum->unscored > 0)
        text_printf(s->out, "%s in it without a power, counted as %s.\n", format_cards(s->arena, s->sum->unscored),
                    format_number(s->arena, in->model->unscored));
    if (s->sum->unpriced > 0 && instance_has_prices(in))
        text_printf(s->out, "%s in it without a price%s.\n", format_cards(s->arena, s->sum->unpriced),
                    in->model->unpriced == UNPRICED_DEFAULT
                        ? arena_printf(s->arena, ", counted as %s", format_money(s->arena, in->model->unpriced_default))
                        : "");
    if (in->skipped_count > 0)
        text_printf(s->out, "%s left out for want of a price.\n", format_cards(s->arena, (int64_t)in->skipped_count));
}

static const char *counted_name(const BestScreen *s, const Moved *count)
{
    return format_copies(s->arena, count->copies, card_name(s, count->card));
}

const char *best_changes_counted(const BestScreen *s)
{
    const Exchange *change = &s->sum->change;
    return arena_printf(s->arena, "%s in, %d out, %d stay",
                        format_cards(s->arena, moved_copies(change->enters, change->enter_count)),
                        moved_copies(change->leaves, change->leave_count), s->sum->stay);
}

static void add_changes(const BestScreen *s)
{
    const Exchange *change = &s->sum->change;
    if (!s->in->has_present)
        return;
    style_heading(s->out, s->style, "Against the present pool");
    text_printf(s->out, "  %s", best_changes_counted(s));
    if (s->in->gones > 0)
        text_printf(s->out, "; %zu of it %s no candidate%s any more", s->in->gones, s->in->gones == 1 ? "is" : "are",
                    s->in->gones == 1 ? "" : "s");
    text_add(s->out, "\n");
    static const char *const header[] = {"in", "out"};
    Table *table = table_new("ll", header);
    for (size_t k = 0; k < change->enter_count || k < change->leave_count; k++) {
        table_add(table, k < change->enter_count ? counted_name(s, &change->enters[k]) : "");
        table_add(table, k < change->leave_count ? counted_name(s, &change->leaves[k]) : "");
    }
    if (table_rows(table) > 0)
        table_print(table, s->out, s->style);
    table_free(table);
    for (size_t k = 0; k < change->enter_count; k++) {
        const char *cut = history_cut_text(s->in, change->enters[k].card, s->arena);
        if (cut != NULL)
            text_printf(s->out, "  %s: %s\n", card_name(s, change->enters[k].card), cut);
    }
}

static void add_wishes(const BestScreen *s)
{
    if (s->sum->wishes == 0)
        return;
    style_heading(s->out, s->style, "Wishes");
    text_printf(s->out, "  %zu of %zu are in\n", s->sum->wishes_in, s->sum->wishes);
    best_wishers(s);
    best_wish_names(s, true, SIZE_MAX);
    const Explained *x = s->view->explained;
    if (x == NULL || x->wishes == 0) {
        best_wish_names(s, false, SIZE_MAX);
        return;
    }
    best_wish_causes(s);
    text_add(s->out, "  more on one of them: poolwright why ... \"NAME\"\n");
}

void best_themes(const BestScreen *s, bool whole)
{
    const Model *model = s->in->model;
    if (model->themes == 0)
        return;
    const char *const header[] = {
        whole ? "theme" : "Themes", "cards", "enablers", "payoffs", "gold", "shared", "strength", "", "colours"};
    Table *table = table_new(whole ? "lrrrrrrll" : "lrrrrrrl", header);
    for (size_t t = 0; t < model->themes; t++) {
        const ThemeSummary *theme = &s->sum->theme[t];
        table_add(table, model->theme[t].name);
        table_addf(table, "%d", theme->cards);
        table_addf(table, "%d", theme->enablers);
        table_addf(table, "%d", theme->payoffs);
        table_addf(table, "%d", theme->gold);
        table_addf(table, "%d", theme->shared);
        table_add(table, format_number(s->arena, theme->strength));
        table_add(table, !s->answer->check.chosen[t]                       ? "not chosen"
                         : (long)t == s->sum->weakest && model->themes > 1 ? "<- weakest"
                                                                           : "");
        if (whole)
            table_add(table, model_mask_name(model, model->theme[t].colours, s->arena));
    }
    if (whole)
        style_heading(s->out, s->style, "Themes");
    else
        text_add_char(s->out, '\n');
    table_print(table, s->out, s->style);
    table_free(table);
}

static void add_classes(const BestScreen *s)
{
    text_add(s->out, "  ");
    for (int c = 0; c < CLASS_COUNT; c++)
        text_printf(s->out, "%s%d %s", c > 0 ? ", " : "", s->sum->by_class[c], class_name((CardClass)c));
    text_add_char(s->out, '\n');
}

/* Is the cost of some candidate no whole number? */
static bool has_broken_costs(const CardSet *cards)
{
    bool broken = false;
    for (size_t c = 0; c < cards->count && !broken; c++)
        broken = cards->card[c].has_cost && cards->card[c].cost % 1000 != 0;
    return broken;
}

void best_colours(const BestScreen *s, bool whole)
{
    const Model *model = s->in->model;
    const char *const first = whole ? "colour" : "Colours";
    const bool broken = has_broken_costs(s->in->cards);
    const char *const early = broken ? "cost under 3" : "cost to 2", *const middle = broken ? "under 5" : "3 or 4";
    const char *const header[] = {first, "mono", "removal", early, middle, "5 up", "average cost", "fixing"};
    Table *table = table_new("lrrrrrrr", header); /* columns of what no candidate has stay blank: left out */
    for (size_t c = 0; c < model->colours; c++) {
        const ColourSummary *colour = &s->sum->colour[c];
        table_add(table, model->colour[c]);
        table_addf(table, "%d", colour->mono);
        table_add(table, s->sum->has_removal ? format_count(s->arena, colour->removal) : "");
        for (int k = 0; k < CURVE_STEPS; k++)
            table_add(table, s->sum->has_costs ? format_count(s->arena, colour->curve[k]) : "");
        int64_t hundredths = colour->cost_cards > 0 ? (colour->cost_sum / colour->cost_cards + 5) / 10 : 0;
        table_add(table, !s->sum->has_costs ? "" : colour->cost_cards > 0 ? format_money(s->arena, hundredths) : "-");
        table_addf(table, "%d", colour->fixing);
    }
    if (whole)
        style_heading(s->out, s->style, "Colours");
    else
        text_add_char(s->out, '\n');
    table_print(table, s->out, s->style);
    table_free(table);
    add_classes(s);
}

static void add_dearest(const BestScreen *s)
{
    if (s->sum->dears == 0)
        return;
    style_heading(s->out, s->style, "Dearest to buy");
    Table *table = table_new("lrr", NULL);
    for (size_t k = 0; k < s->sum->dears; k++) {
        size_t card = s->sum->dear[k];
        table_add(table, card_name(s, card));
        table_add(table, price_text(s->in, card, s->arena));
        table_addf(table, "fit %s", format_number(s->arena, s->in->fit[card]));
    }
    table_print(table, s->out, s->style);
    table_free(table);
}

static void add_search_figures(const BestScreen *s)
{
    const SearchStatistics *st = &s->answer->statistics;
    style_heading(s->out, s->style, "Search");
    text_printf(s->out, "  engine %s; %d columns, %d rows; %" PRId64 " pivots, %" PRId64 " nodes, %" PRId64 " cuts\n",
                s->view->engine == SEARCH_ENGINE_FAST ? "fast" : "reference", s->answer->columns, s->answer->rows,
                st->pivots, st->nodes, st->cuts);
    if (st->root_bound != SEARCH_PLUS_INFINITY)
        text_printf(s->out, "  relaxation at the root %s", format_number(s->arena, st->root_bound));
    text_printf(s->out, "; grain %s; %" PRId64 " nodes not settled by floating point kept their parent's bound\n",
                format_number(s->arena, st->grain), st->unsettled);
    if (s->answer->has_pool)
        text_printf(s->out, "  %" PRId64 " pivots more to choose among pools of the same fit\n",
                    s->answer->equals.pivots);
}

static void add_no_pool(const BestScreen *s)
{
    if (s->answer->status == ANSWER_INFEASIBLE) {
        text_add(s->out, "No pool of these candidates meets every limit: proven.\n");
        const Explained *x = s->view->explained;
        if (x == NULL || !x->has_causes) {
            text_add(s->out, "`poolwright check` counts what each limit can come to.\n");
            return;
        }
        nothing_fits_text(x, s->style, s->out);
        return;
    }
    text_add(s->out, STOPPED_WITHOUT_POOL);
    if (s->answer->has_bound)
        text_printf(s->out, "Proven so far: no pool has more than %s fit.\n",
                    format_number(s->arena, s->answer->bound));
}

/* A section that was asked for by name says so where there is nothing in it. */
static void or_none(const BestScreen *s, size_t before, const char *title, const char *why)
{
    if (s->out->length > before || s->view->sections.full)
        return;
    style_heading(s->out, s->style, title);
    text_printf(s->out, "  none: %s\n", why);
}

/* The sections that were asked for, in full. */
static void add_sections(const BestScreen *s)
{
    const Sections *asked = &s->view->sections;
    const Explained *x = s->view->explained;
    size_t before = s->out->length;
    if (sections_whole(asked, BEST_CHANGES)) {
        add_changes(s);
        or_none(s, before, "Against the present pool", "there is no present pool");
    }
    before = s->out->length;
    if (sections_whole(asked, BEST_THEMES)) {
        best_themes(s, true);
        or_none(s, before, "Themes", "the model declares no theme");
    }
    before = s->out->length;
    if (sections_whole(asked, BEST_ENGINES)) {
        structure_text(s->in, s->answer, s->style, s->out);
        or_none(s, before, "Engines", "the model has no engines, places, depth or combinations");
    }
    if (sections_whole(asked, BEST_COLOURS))
        best_colours(s, true);
    before = s->out->length;
    if (sections_whole(asked, BEST_WISHES)) {
        add_wishes(s);
        or_none(s, before, "Wishes", "no card is wished for");
    }
    before = s->out->length;
    if ((sections_whole(asked, BEST_LIMITS) || s->view->rules) && x != NULL && x->explain != NULL)
        binding_text(x->explain, x->binding, x->bindings,
                     !s->view->rules ? BINDINGS_STEPS
                     : asked->full   ? BINDINGS_ALL
                                     : BINDINGS_FIRST,
                     s->style, s->out);
    if (sections_whole(asked, BEST_LIMITS))
        or_none(s, before, "Limits that cost fit", "of the limits that were asked about, none was found to");
    if (sections_whole(asked, BEST_TIGHT) || s->view->rules)
        best_limits(s);
    before = s->out->length;
    if (sections_whole(asked, BEST_EXCEPTIONS)) {
        exemptions_text(s->in, s->answer->copies, "Deliberate exceptions", s->style, s->out);
        or_none(s, before, "Deliberate exceptions", "no card of the pool is exempt from a limit");
    }
    before = s->out->length;
    if (sections_whole(asked, BEST_DEAR)) {
        add_dearest(s);
        or_none(s, before, "Dearest to buy", "nothing must be bought, or no price is known");
    }
    if (sections_whole(asked, BEST_MONEY))
        money_text(s->in, s->answer, true, s->style, s->out);
    if (sections_whole(asked, BEST_WATCHES) || (s->view->rules && s->in->watches > 0))
        watches_text(s->in, s->answer->copies, &s->answer->check, s->style, s->out);
}

static void add_pool(const BestScreen *s)
{
    const Explained *x = s->view->explained;
    if (s->answer->status == ANSWER_STOPPED)
        text_add(s->out, "Stopped early; this is the best pool so far.\n");
    add_headline(s);
    add_data_notes(s);
    if (sections_first(&s->view->sections))
        best_first_screen(s);
    add_sections(s);
    if (x != NULL && x->has_firmness)
        firmness_text(x->explain, &x->firmness, s->view->sections.full, s->style, s->out);
    if (x != NULL && x->has_alternatives)
        alternatives_text(x->explain, &x->alternatives, s->style, s->out);
    if (s->view->stopped)
        text_add(s->out, STOPPED_EARLY);
}

/* The files written, and what else can be asked. */
static void add_further(const BestScreen *s)
{
    const BestView *view = s->view;
    if (view->written != NULL || view->shopping != NULL || view->proof != NULL)
        text_add_char(s->out, '\n');
    if (view->written != NULL)
        text_printf(s->out, "The list is in %s\n", view->written);
    if (view->shopping != NULL)
        text_printf(s->out, "What to buy is in %s\n", view->shopping);
    if (view->proof != NULL)
        text_printf(s->out, "The proof that no pool %s is in %s\n",
                    s->answer->has_pool ? "has more" : "keeps all limits", view->proof);
    if (!s->answer->has_pool || !sections_first(&view->sections))
        return;
    text_printf(s->out, "\nMore: --full, or --show %s%sengines,limits,tight,dear; why CARD; swap\n",
                s->in->has_present ? "changes," : "", s->sum->wishes > 0 ? "wishes," : "");
    if (view->written == NULL)
        text_add(s->out, "To keep the list as a sheet: -o pool.csv\n");
}

void best_text(const Instance *instance, const Answer *answer, const BestView *view, const Style *style, Text *out)
{
    PoolSummary sum;
    pool_summary(instance, answer, &sum);
    const BestScreen s = {instance, answer, &sum, view, style, out, arena_new()};
    if (answer->has_pool)
        add_pool(&s);
    else
        add_no_pool(&s);
    if (view->prices != NULL)
        new_prices_text(view->prices, style, out);
    if (view->verbose)
        add_search_figures(&s);
    add_further(&s);
    arena_free(s.arena);
    pool_summary_release(&sum);
}
