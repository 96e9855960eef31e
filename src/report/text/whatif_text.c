/* whatif_text.c - the first screen of what-ifs: the comparison, then what changes in each case. */
#include <string.h>

#include "base/number.h"
#include "report/explain_report.h"
#include "report/words/explain_words.h"
#include "report/layout/format.h"
#include "report/words/limit_words.h"
#include "programme/count/pool_summary.h"
#include "report/whatif_report.h"

typedef struct {
    const WhatIf *all;
    const WhatIfView *view;
    const Style *style;
    bool adds; /* structure adds fit in some case */
    Text *out;
    Arena *arena;
} Screen;

static const Instance *instance_of(const WhatIf *all, const WhatIfCase *item)
{
    return all->loaded[item->loaded].instance;
}

/* ---- the comparison ---- */

static const char *weakest_theme(const Screen *s, const WhatIfCase *item)
{
    const Instance *in = instance_of(s->all, item);
    PoolSummary sum;
    pool_summary(in, &item->answer, &sum);
    const char *text = sum.weakest < 0 ? "-"
                                       : arena_printf(s->arena, "%s %s", in->model->theme[sum.weakest].name,
                                                      format_number(s->arena, sum.theme[sum.weakest].strength));
    pool_summary_release(&sum);
    return text;
}

static const char *signed_number(Arena *arena, int64_t thousandths)
{
    return arena_printf(arena, "%s%s", thousandths > 0 ? "+" : "", format_number(arena, thousandths));
}

/* By how much the best pool of the case is better than the base's: all that is proven. */
static const char *against_base(const Screen *s, const WhatIfCase *item)
{
    const WhatIfCase *base = &s->all->item[0];
    const Answer *a = &item->answer, *b = &base->answer;
    if (item == base || !a->has_pool || !b->has_pool)
        return "";
    if (item->other_fit || a->check.size != b->check.size)
        return "-";
    if (!a->has_bound || !b->has_bound)
        return "not known";
    int64_t least = a->check.fit - b->bound, most = a->bound - b->check.fit;
    if (least == most)
        return least == 0 ? "the same" : signed_number(s->arena, least);
    return arena_printf(s->arena, "%s to %s", signed_number(s->arena, least), signed_number(s->arena, most));
}

const char *fit_per_card(Arena *arena, const Answer *answer)
{
    if (answer->check.size <= 0)
        return "-";
    return format_number(arena, (int64_t)round_div(answer->check.fit, 10 * (int128)answer->check.size) * 10);
}

static void add_pool_cells(const Screen *s, const WhatIfCase *item, Table *table)
{
    const Answer *a = &item->answer;
    table_add(table, format_count(s->arena, a->check.size));
    table_add(table, format_money(s->arena, a->check.cost));
    table_add(table, format_number(s->arena, a->check.fit));
    table_add(table, a->status == ANSWER_BEST ? "best" : a->has_bound ? format_number(s->arena, a->bound) : "-");
    table_add(table, against_base(s, item));
    const bool differs = item->compared && item != &s->all->item[0];
    table_add(table, differs ? arena_printf(s->arena, "%d", item->in) : "");
    table_add(table, differs ? arena_printf(s->arena, "%d", item->out) : "");
    table_add(table, fit_per_card(s->arena, a));
    table_add(table, weakest_theme(s, item));
    table_add(table, item->has_cap ? format_money(s->arena, item->cap) : "none");
    if (s->adds)
        table_add(table, format_number(s->arena, a->check.bonus));
}

static void add_row(const Screen *s, const WhatIfCase *item, Table *table)
{
    table_add(table, item->name);
    if (item->answer.has_pool) {
        add_pool_cells(s, item, table);
        return;
    }
    table_add(table, "-");
    table_add(table, "-");
    table_add(table, item->answer.status == ANSWER_INFEASIBLE ? "no pool" : "not known");
    for (int k = 0; k < 6; k++)
        table_add(table, "");
    table_add(table, item->has_cap ? format_money(s->arena, item->cap) : "none");
    if (s->adds)
        table_add(table, "");
}

static void add_comparison(const Screen *s)
{
    static const char *const header[] = {"",   "cards", "to buy",   "fit",           "at most", "against base",
                                         "in", "out",   "per card", "weakest theme", "cap",     "structure"};
    Table *table = table_new(s->adds ? "lrrrrrrrRLRR" : "lrrrrrrrRLR", header);
    for (size_t k = 0; k < s->all->count; k++)
        if (k == 0 || s->all->frontiers == 0)
            add_row(s, &s->all->item[k], table);
    table_print(table, s->out, s->style);
    table_free(table);
}

/* Ranges in which no step was found, proven. */
static bool no_cap_buys(const WhatIf *all)
{
    for (size_t k = 0; k < all->frontiers; k++)
        if (!all->frontier[k].steps && !all->frontier[k].impossible)
            return false;
    return all->frontiers > 0;
}

static void add_headline(const Screen *s)
{
    size_t none = 0, unknown = 0;
    for (size_t k = 1; k < s->all->count; k++) { /* the base is no what-if, and is in the table */
        none += s->all->item[k].answer.status == ANSWER_INFEASIBLE;
        unknown += s->all->item[k].answer.status == ANSWER_STOPPED;
    }
    const size_t others = s->all->count - 1;
    if (s->all->frontiers > 0 && others > 0)
        text_printf(s->out, "What money buys, at %zu cap%s%s", others, others == 1 ? "" : "s",
                    s->all->frontiers > 1 ? arena_printf(s->arena, " in %zu tables", s->all->frontiers) : "");
    else if (others == 0 && s->all->stopped)
        text_add(s->out, "The scenario as it stands, and no what-if");
    else if (others == 0 && no_cap_buys(s->all))
        text_add(s->out, "What money buys: no cap of the range is enough for a pool");
    else if (others == 0 && s->all->refuseds > 0)
        text_add(s->out, "The scenario as it stands");
    else if (others == 0)
        text_add(s->out, "Nothing to compare: no cases in the scenario, and no --caps or other --sizes");
    else
        text_printf(s->out, "%zu what-if%s against the scenario as it stands", others, others == 1 ? "" : "s");
    if (none > 0)
        text_printf(s->out, "; for %zu no pool fits", none);
    if (unknown > 0)
        text_printf(s->out, "; %zu stopped early", unknown);
    text_add(s->out, ".\n`at most`: proven ceiling; `best`: the two meet.\n\n");
}

static void add_other_fit(const Screen *s)
{
    for (size_t k = 1; k < s->all->count && s->all->frontiers == 0; k++) {
        const WhatIfCase *item = &s->all->item[k];
        if (item->other_fit && item->answer.has_pool)
            text_printf(s->out, "  %s counts fit in another way: as the base counts, its pool has %s\n", item->name,
                        format_number(s->arena, item->base_fit));
    }
}

static void add_refused(const Screen *s)
{
    for (size_t k = 0; k < s->all->refuseds; k++) {
        const RefusedSize *refused = &s->all->refused[k];
        text_printf(s->out, "  no answer for %s: %s (%s)\n", refused->name, refused->text,
                    format_place(s->arena, refused->at));
    }
}

/* ---- each case ---- */

/* Are so many copies of the card among the changes that are told? by: below 0, copies that leave. */
static bool is_told(const WhatIfCase *item, const char *name, int by)
{
    for (size_t k = 0; k < item->changes; k++)
        if (strcmp(item->change[k].name, name) == 0)
            return by < 0 ? item->change[k].by <= by : item->change[k].by >= by;
    return false;
}

static bool are_told(const Instance *in, const WhatIfCase *item)
{
    const Exchange *nearest = &item->nearest;
    bool told = true;
    for (size_t k = 0; k < nearest->enter_count; k++)
        told = told && is_told(item, in->cards->card[nearest->enters[k].card].name, nearest->enters[k].copies);
    for (size_t k = 0; k < nearest->leave_count; k++)
        told = told && is_told(item, in->cards->card[nearest->leaves[k].card].name, -nearest->leaves[k].copies);
    return told;
}

/* What must change for the case's fit: the pool that is nearest to the base, which is not the one that is chosen. */
static void add_nearest(const Screen *s, const WhatIfCase *item)
{
    const Exchange *nearest = &item->nearest;
    const bool all = sections_whole(&s->view->sections, WHAT_IF_CARDS);
    text_printf(s->out,
                are_told(instance_of(s->all, item), item)
                    ? "  %d of these %d changes are enough for the same fit%s"
                    : "  %d changes in place of these %d are enough for the same fit%s",
                exchange_changes(nearest), item->in + item->out,
                nearest->fewest == FEWEST_PROVEN ? " (no fewer are: proven)" : "");
    words_add_exchange(instance_of(s->all, item), nearest, -1, all, s->style, s->arena, s->out);
}

static void add_names(const Screen *s, const WhatIfCase *item, const char *label, int sign)
{
    NameList list;
    name_list_begin(&list, label, SIZE_MAX, s->style, s->out);
    list.one_line = !sections_whole(&s->view->sections, WHAT_IF_CARDS);
    for (size_t k = 0; k < item->changes; k++) {
        const int by = item->change[k].by * sign;
        if (by > 0)
            name_list_add(&list, format_copies(s->arena, by, item->change[k].name));
    }
    name_list_end(&list);
}

static void add_tight(const Screen *s, const WhatIfCase *item)
{
    NameList list;
    name_list_begin(&list, "now tight  ", SIZE_MAX, s->style, s->out);
    for (size_t k = 0; k < item->tights; k++) {
        const LimitUse *use = item->tight[k];
        name_list_add(&list, arena_printf(s->arena, "%s %s", use->limit->title,
                                          limit_asks_text(use->limit, &use->bounds, s->arena)));
    }
    name_list_end(&list);
}

static void add_conflict(const Screen *s, const WhatIfCase *item)
{
    text_add(s->out, "  no pool of these candidates meets every limit: proven\n");
    if (item->explain == NULL)
        return;
    causes_text(item->explain, &item->causes, "  ", s->style, s->out);
    if (item->conflict.found)
        conflict_text(item->explain, &item->conflict, NULL, NULL, s->style, s->out);
}

/* Does any part that was asked for speak of single cases? */
static bool shows_cases(const Sections *asked)
{
    return sections_first(asked) || sections_whole(asked, WHAT_IF_CARDS) || sections_whole(asked, WHAT_IF_TIGHT) ||
           sections_whole(asked, WHAT_IF_ENGINES);
}

static void add_case(const Screen *s, const WhatIfCase *item)
{
    if (item->answer.has_pool && !shows_cases(&s->view->sections))
        return;
    style_heading(s->out, s->style, item->name);
    if (item->answer.status == ANSWER_INFEASIBLE) {
        add_conflict(s, item);
        return;
    }
    if (!item->answer.has_pool) {
        text_add(s->out, "  stopped before a first pool was found\n");
        return;
    }
    if (!s->all->item[0].answer.has_pool) {
        text_add(s->out, "  the base has no pool to compare with\n");
        return;
    }
    if (item->changes == 0) {
        text_add(s->out, item->answer.status == ANSWER_BEST
                             ? "  the base's pool is the best here too: proven\n"
                             : "  the base's pool is as good as any here, within what was proven\n");
        return;
    }
    const Sections *asked = &s->view->sections;
    const size_t before = s->out->length;
    if (sections_first(asked) || sections_whole(asked, WHAT_IF_CARDS)) {
        add_names(s, item, "in   ", 1);
        add_names(s, item, "out  ", -1);
        if (item->has_nearest)
            add_nearest(s, item);
    }
    if (sections_whole(asked, WHAT_IF_TIGHT))
        add_tight(s, item);
    if (sections_whole(asked, WHAT_IF_ENGINES))
        what_if_structure(s->all, item, s->style, s->out);
    if (s->out->length == before)
        text_add(s->out, "  as in the base\n");
}

static void add_written(const Screen *s)
{
    const WhatIfView *v = s->view;
    if (v->folder != NULL)
        text_printf(s->out, "\nIn %s: comparison.csv, cards.csv (all pools side by side), and each pool as a sheet\n",
                    v->folder);
    if (v->csv != NULL)
        text_printf(s->out, "\nThe comparison is in %s\n", v->csv);
    if (v->plot != NULL)
        text_printf(s->out, "\nThe picture is in %s\n", v->plot);
    if (v->folder == NULL && v->csv == NULL && sections_first(&v->sections))
        text_printf(s->out, "\nMore: --full, or --show cards,tight,engines%s; as sheets: -o FOLDER\n",
                    sizes_differ(s->all) ? ",seats,scaled" : "");
}

void what_if_text(const WhatIf *what_if, const WhatIfView *view, const Style *style, Text *out)
{
    Screen s = {what_if, view, style, what_if_adds(what_if), out, arena_new()};
    add_headline(&s);
    add_comparison(&s);
    add_other_fit(&s);
    add_refused(&s);
    for (size_t k = 0; k < what_if->frontiers; k++)
        frontier_text(what_if, &what_if->frontier[k], view->sections.full, style, out);
    if (what_if->count > 0 && what_if->item[0].explain != NULL)
        add_case(&s, &what_if->item[0]); /* the base is only told where it has no pool */
    for (size_t k = 1; k < what_if->count && (what_if->frontiers == 0 || !sections_first(&view->sections)); k++)
        add_case(&s, &what_if->item[k]);
    sizes_text(what_if, view, style, out);
    if (what_if->stopped)
        text_add(out, STOPPED_EARLY);
    add_written(&s);
    arena_free(s.arena);
}
