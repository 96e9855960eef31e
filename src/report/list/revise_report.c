/* revise_report.c - few changes of the present pool: the curve, the order of swaps, newcomers. */
#include <string.h>

#include "report/layout/format.h"
#include "report/layout/plot.h"
#include "report/list/revise_report.h"
#include "report/explain_report.h"
#include "report/words/history.h"
#include "report/words/money.h"

#define SHOWN_SWAPS 10

typedef struct {
    const Instance *in;
    const Revision *all;
    const RevisePlan *plan;
    const Style *style;
    bool full;
    bool kept; /* the pool that is revised keeps every limit */
    Text *out;
    Arena *arena;
} Screen;

static const char *at_most(const Screen *s, const Answer *a)
{
    return a->status == ANSWER_BEST ? "best" : a->has_bound ? format_number(s->arena, a->bound) : "-";
}

static void add_present(Screen *s)
{
    PoolCheck check;
    pool_check(s->in, s->all->present->copies, &check);
    const size_t broken = pool_broken_limits(&check);
    s->kept = check.kept;
    const char *pool = s->in->scenario->pool.path, *path = s->all->present->path;
    text_printf(s->out, "The %s (%s) has %s and fit %s; ", /* a list of the command line is not the present pool */
                pool != NULL && strcmp(pool, path) == 0 ? "present pool" : "list", path,
                format_cards(s->arena, check.size), format_number(s->arena, check.fit));
    const char *wrong = check.kept    ? "it meets every limit"
                        : broken == 0 ? "it holds cards that it may not, or lacks some that it must have"
                        : broken < 2  ? "it breaks 1 limit"
                                      : arena_printf(s->arena, "it breaks %zu limits", broken);
    if (check.kept || s->all->impossible)
        text_printf(s->out, "%s.\n", wrong);
    else if (s->all->least_exact && s->all->least_swaps == 0)
        text_printf(s->out, "%s: to repair that cards must come in, and none must leave.\n", wrong);
    else
        text_printf(s->out, "%s: %s%s must leave to repair that.\n", wrong, s->all->least_exact ? "" : "at least ",
                    format_cards(s->arena, s->all->least_swaps));
    if (s->all->present->unknowns > 0)
        text_printf(s->out, "%zu of it %s no candidate%s any more, %s anyway and %s not counted.\n",
                    s->all->present->unknowns, s->all->present->unknowns == 1 ? "is" : "are",
                    s->all->present->unknowns == 1 ? "" : "s", s->all->present->unknowns == 1 ? "leaves" : "leave",
                    s->all->present->unknowns == 1 ? "is" : "are");
    money_paid_text(s->in, check.cost, "", s->out);
    pool_check_release(&check);
}

static const char *so_many(const Screen *s, int swaps)
{
    return swaps == 0 ? "none" : arena_printf(s->arena, "at most %d", swaps);
}

static void add_one(const Screen *s)
{
    const RevisePoint *p = &s->all->point[0];
    const Answer *a = &p->answer;
    if (a->status == ANSWER_INFEASIBLE || !a->has_pool) {
        text_printf(s->out, "With %s out no pool %s.\n", so_many(s, p->swaps),
                    a->status == ANSWER_INFEASIBLE ? "meets every limit: proven" : "was found within the effort");
        if (a->status == ANSWER_INFEASIBLE)
            text_printf(s->out, "%s%d%s\n", s->all->least_exact ? "The least that would do: " : "At least ",
                        s->all->least_swaps, s->all->least_exact ? " out, proven." : " must leave: proven.");
        return;
    }
    text_printf(s->out, "With %s out: ", so_many(s, p->swaps));
    if (p->swaps > 0)
        text_printf(s->out, "%d out, ", p->out);
    text_printf(s->out, "%d in, fit %s", p->in, format_number(s->arena, a->check.fit));
    if (a->status == ANSWER_BEST)
        text_add(s->out, ", the best there is (proven)");
    else if (a->has_bound)
        text_printf(s->out, " (proven: at most %s)", format_number(s->arena, a->bound));
    text_printf(s->out, "; %s for what enters, %s to buy in all.\n", format_money(s->arena, p->spent),
                format_money(s->arena, a->check.cost));
    money_paid_text(s->in, a->check.cost, "", s->out);
    pool_owned_text(s->in, a->copies, s->out);
    size_t changes;
    PoolChange *change = pool_changes(s->in, s->all->present->copies, s->in, a->copies, &changes);
    style_heading(s->out, s->style, "Changes");
    if (changes == 0)
        text_add(s->out, "  none\n");
    else
        changes_table(change, changes, s->full ? SIZE_MAX : SHOWN_SWAPS, s->style, s->out);
    mem_free(change);
}

static void add_curve(const Screen *s)
{
    static const char *const header[] = {"at most out", "out", "in", "for what enters", "fit", "at most", "gained", ""};
    const Revision *all = s->all;
    Table *table = table_new("rrrrrrrl", header);
    for (size_t k = 0; k < all->points; k++) {
        const RevisePoint *p = &all->point[k];
        if (!p->answer.has_pool)
            continue;
        table_addf(table, "%d", p->swaps);
        table_addf(table, "%d", p->out);
        table_addf(table, "%d", p->in);
        table_add(table, format_money(s->arena, p->spent));
        table_add(table, format_number(s->arena, p->answer.check.fit));
        table_add(table, at_most(s, &p->answer));
        const bool first = k == 0 || !all->point[k - 1].answer.has_pool;
        table_add(table, first ? ""
                               : arena_printf(s->arena, "+%s",
                                              format_number(s->arena,
                                                            p->answer.check.fit - all->point[k - 1].answer.check.fit)));
        table_add(table, (long)k == all->knee                   ? "<- knee"
                         : k + 1 == all->points && all->has_end ? "<- more change nothing"
                                                                : "");
    }
    style_heading(s->out, s->style, "Fit by the number of swaps");
    table_print(table, s->out, s->style);
    table_free(table);
}

static void add_plot(const Screen *s)
{
    const Revision *all = s->all;
    int64_t *x = mem_new(all->points, sizeof *x), *y = mem_new(all->points, sizeof *y);
    Curve curve = {.x = x, .y = y, .marked = -1, .marked_name = "the knee"};
    for (size_t k = 0; k < all->points; k++) {
        if (!all->point[k].answer.has_pool)
            continue;
        if ((long)k == all->knee)
            curve.marked = (long)curve.points;
        x[curve.points] = all->point[k].swaps;
        y[curve.points++] = all->point[k].answer.check.fit;
    }
    if (curve.points > 2) {
        text_add_char(s->out, '\n');
        plot_text(&curve, s->style->width, s->out);
    }
    mem_free(x);
    mem_free(y);
}

static void add_side(const Screen *s, const RankedSwap *swap, int sign, Table *table)
{
    Text names = {0};
    for (size_t k = 0; k < swap->changes; k++)
        if (swap->change[k].by * sign > 0)
            text_printf(&names, "%s%s", names.length > 0 ? "; " : "", change_name(&swap->change[k], s->arena));
    table_add(table, text_cstr(&names));
    text_release(&names);
}

/* Each is the best swap from the pool that the ones before it left, so one may be possible only after another. */
static bool gains_rise(const Revision *all)
{
    for (size_t k = 1; k < all->ranks; k++)
        if (all->rank[k].gain > all->rank[k - 1].gain)
            return true;
    return false;
}

static void add_ranks(const Screen *s)
{
    static const char *const header[] = {"", "out", "in", "fit", "money"};
    if (s->all->ranks == 0)
        return;
    Table *table = table_new("rllrr", header);
    for (size_t k = 0; k < s->all->ranks; k++) {
        const RankedSwap *swap = &s->all->rank[k];
        table_addf(table, "%zu", k + 1);
        add_side(s, swap, -1, table);
        add_side(s, swap, 1, table);
        table_addf(table, "+%s", format_number(s->arena, swap->gain));
        table_add(table, format_money(s->arena, swap->spent));
    }
    style_heading(s->out, s->style,
                  s->kept ? "The swaps worth most, one after the other"
                          : "Once every limit is met: the swaps worth most, one after the other");
    table_print(table, s->out, s->style);
    table_free(table);
    if (!s->kept)
        text_printf(s->out, "  They start from the pool that --swaps %d shows.\n", s->all->least_swaps);
    if (gains_rise(s->all))
        text_add(s->out, "  Some are worth more than the one before, which made them possible or worth more.\n");
}

/* ---- newcomers ---- */

static const char *worth_text(const Screen *s, const Newcomer *n)
{
    if (n->kind == NEW_IMPOSSIBLE || n->kind == NEW_UNKNOWN || n->worth_high < 0)
        return "-";
    const char *sign = n->kind == NEW_IN ? "+" : "-";
    if (n->worth_low == n->worth_high)
        return n->worth_low == 0 ? "0" : arena_printf(s->arena, "%s%s", sign, format_number(s->arena, n->worth_low));
    return arena_printf(s->arena, "%s%s to %s%s", n->worth_low > 0 ? sign : "", format_number(s->arena, n->worth_low),
                        sign, format_number(s->arena, n->worth_high));
}

static void add_newcomers(const Screen *s)
{
    static const char *const word[] = {"in", "near miss", "no", "cannot be in", "not known"};
    static const char *const header[] = {"new card", "", "fit", "price", "worth", "instead of"};
    if (s->plan->newcomer == NULL)
        return;
    style_heading(s->out, s->style, "New candidates");
    if (s->all->newcomers == 0) {
        text_add(s->out, "  none that are not candidates already\n");
        return;
    }
    Table *table = table_new("llrrrl", header);
    for (int kind = NEW_IN; kind <= NEW_UNKNOWN; kind++)
        for (size_t k = 0; k < s->all->newcomers; k++) {
            const Newcomer *n = &s->all->newcomer[k];
            if ((int)n->kind != kind)
                continue;
            table_add(table, s->in->cards->card[n->card].name);
            table_add(table, word[kind]);
            table_add(table, format_number(s->arena, s->in->fit[n->card]));
            table_add(table, price_text(s->in, n->card, s->arena));
            table_add(table, worth_text(s, n));
            /* of one that is in: who would take its place; of others: who would leave */
            Text names = {0};
            size_t shown = 0, left = 0;
            for (size_t c = 0; c < n->changes; c++) {
                if ((n->kind == NEW_IN) != (n->change[c].by > 0))
                    continue;
                if (shown < 2)
                    text_printf(&names, "%s%s", shown > 0 ? "; " : "", n->change[c].name);
                left += shown++ >= 2;
            }
            if (left > 0)
                text_printf(&names, " and %zu more", left);
            table_add(table, text_cstr(&names));
            text_release(&names);
        }
    table_print(table, s->out, s->style);
    table_free(table);
    text_add(s->out, "  worth: the fit that the best such pool has more (+) or less (-) with the card than without; "
                     "near miss: less than a tenth of its own fit\n");
}

/* ---- cards that were cut, and accepting ---- */

/* Marks what enters. */
static void mark(const Instance *in, const PoolChange *change, size_t changes, bool *proposed)
{
    for (size_t k = 0; k < changes; k++) {
        const long card = change[k].by > 0 ? card_find(in->cards, change[k].name) : -1;
        if (card >= 0)
            proposed[card] = true;
    }
}

/* Cards [cards] that some part of the revision puts in; freed with mem_free. */
bool *revise_proposed(const Instance *in, const Revision *all)
{
    bool *proposed = mem_new(in->cards->count, sizeof *proposed);
    for (size_t k = 0; k < all->ranks; k++)
        mark(in, all->rank[k].change, all->rank[k].changes, proposed);
    for (size_t k = 0; k < all->points; k++)
        for (size_t c = 0; all->point[k].answer.has_pool && c < in->cards->count; c++)
            proposed[c] = proposed[c] || all->point[k].answer.copies[c] > all->present->copies[c];
    return proposed;
}

static void add_cuts(const Screen *s)
{
    bool *proposed = revise_proposed(s->in, s->all);
    history_cuts_text(s->in, proposed, s->style, s->out);
    mem_free(proposed);
}

static void add_accepted(const Screen *s, const RevisedFiles *files)
{
    const Accepted *accepted = files->accepted;
    int in = 0, out = 0;
    for (size_t k = 0; k < accepted->changes; k++)
        *(accepted->line[k].change == JOURNAL_OUT ? &out : &in) += accepted->line[k].copies;
    if (accepted->answer == NULL)
        text_add(s->out, "\nNothing is taken: there is no pool to take, or the search was stopped.\n");
    else if (accepted->lines == 0)
        text_add(s->out, "\nNothing to take: the present pool stays as it is.\n");
    else if (files->journal != NULL && accepted->changes == 0)
        text_printf(s->out, "\nThe present pool stays as it is; what ended is in %s.\n", files->journal);
    else if (files->journal != NULL)
        text_printf(s->out, "\nTaken: %d out, %d in. %s holds the new pool, %s what was changed and why.\n", out, in,
                    files->list, files->journal);
    if (files->journal != NULL && s->in->scenario->pool_owned && in > 0)
        text_add(s->out, "What entered counts as owned from now on, bought or not (`pool_owned: no` in the scenario "
                         "counts only what the owned sheets say).\n");
}

/* What too little money would have to be. */
static void add_money(const Screen *s)
{
    const Revision *all = s->all;
    if (!all->has_least_spend)
        return;
    text_printf(s->out, "The least that would do: %s for what enters", format_money(s->arena, all->enough_spend));
    if (all->least_spend < all->enough_spend)
        text_printf(s->out, " (proven: at least %s)", format_money(s->arena, all->least_spend));
    text_add(s->out, all->least_spend < all->enough_spend ? "" : ", proven");
    if (all->swaps_never)
        text_printf(s->out, ", with more than %d out; with so few no money is enough", s->plan->swaps);
    else if (s->plan->has_swaps)
        text_printf(s->out, ", with %s out", so_many(s, s->plan->swaps));
    text_add(s->out, ".\n");
}

void revise_text(const Instance *instance, const Revision *revision, const RevisePlan *plan, const RevisedFiles *files,
                 const Explained *why, bool full, const Style *style, Text *out)
{
    Screen s = {instance, revision, plan, style, full, true, out, arena_new()};
    add_present(&s);
    add_ranks(&s); /* first: it is what one would do by hand */
    if (revision->impossible) {
        text_printf(out, "No pool%s meets every limit: proven.\n", revision->no_pool ? "" : " for so little money");
        add_money(&s);
        if (why != NULL)
            causes_text(why->explain, &why->causes, "", style, out);
    } else if (revision->points == 0)
        text_add(out, "Stopped before a pool was found; whether there is one is not known.\n");
    else if (plan->has_swaps) {
        if (revision->ranks > 0)
            text_add_char(out, '\n');
        add_one(&s);
    } else {
        add_curve(&s);
        add_plot(&s);
    }
    add_newcomers(&s);
    add_cuts(&s);
    if (revision->stopped && revision->points > 0)
        text_add(out, STOPPED_EARLY);
    if (files->accepted != NULL)
        add_accepted(&s, files);
    else if (files->list != NULL)
        text_printf(out, "\nThe list is in %s\n", files->list);
    if (files->shopping != NULL)
        text_printf(out, "%sWhat to buy is in %s\n", files->list != NULL ? "" : "\n", files->shopping);
    else if (files->list == NULL && files->accepted == NULL && !plan->has_swaps && !revision->impossible)
        text_add(out, "\nThe changes for one number of swaps: add --swaps N; as a sheet: -o FILE\n");
    arena_free(s.arena);
}
