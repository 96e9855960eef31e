/* best_limits.c - the limits of a pool: those that are used up, or with --rules all of them. */
#include "report/text/best_screen.h"
#include "report/words/limit_words.h"

#define BEST_MANY_LIMITS 40
static const char *const limits_header[] = {"limit", "asks for", "has", "", "set in"};

static void add_rule_row(const BestScreen *s, const LimitUse *use, const char *left, Table *table)
{
    table_add(table, use->limit->title);
    table_add(table, limit_asks_text(use->limit, &use->bounds, s->arena));
    table_add(table, limit_has_text(use, s->arena));
    table_add(table, left);
    table_add(table, limit_place_text(use->limit, s->arena));
}

/* Nothing else is ever used up to the last cent: a cap of which less than a hundredth is left counts as used up. */
static bool is_used_up(const LimitUse *cap)
{
    return cap->high_slack <= cap->bounds.high / 100;
}

/* Tight on a side that could be loosened and is no equality: those say something. */
static bool stands_out(const LimitUse *use)
{
    if (use->missed > 0)
        return true;
    return use->limit->kind == LIMIT_CAP ? is_used_up(use) : limit_use_tight(use);
}

/* Asks for an exact number, which is not said elsewhere on this screen. */
static bool is_hidden_equality(const LimitUse *use)
{
    return limit_is_exact(use->limit) && use->missed == 0 && use->limit->kind != LIMIT_SIZE &&
           use->limit->kind != LIMIT_PLACES && !limit_is_status(use->limit);
}

static void add_stands_out(const BestScreen *s)
{
    const PoolCheck *check = &s->answer->check;
    Table *table = table_new("llrll", limits_header);
    size_t equalities = 0;
    StatusRows statuses = {0};
    for (size_t u = 0; u < check->uses; u++) {
        const LimitUse *use = &check->use[u];
        equalities += is_hidden_equality(use);
        if (stands_out(use) && status_rows_show(&statuses, use->limit))
            add_rule_row(s, use, limit_slack_text(use, s->arena), table);
    }
    style_heading(s->out, s->style, "Tight limits (used up)");
    if (table_rows(table) == 0)
        text_add(s->out, "  none\n");
    else
        table_print(table, s->out, s->style);
    table_free(table);
    if (equalities > 0)
        text_printf(s->out, "  and %zu that ask%s for an exact number: --rules shows all\n", equalities,
                    equalities == 1 ? "s" : "");
    status_rows_rest(&statuses, s->out);
}

/* ---- all limits ---- */

/* What is left of it, to compare limits of one rule; of one that asks nothing in this pool without end. */
static int64_t left_of(const LimitUse *use)
{
    return use->idle ? INT64_MAX : limit_use_slack(use);
}

/* Of the limits of one rule the tightest, and how many of them are as tight. */
static void add_tightest(const BestScreen *s, const LimitUse *use, size_t count, Table *table)
{
    const LimitUse *least = use;
    size_t as_tight = 0;
    for (size_t u = 1; u < count; u++)
        least = left_of(&use[u]) < left_of(least) ? &use[u] : least;
    for (size_t u = 0; u < count; u++)
        as_tight += left_of(&use[u]) == left_of(least);
    const char *left = limit_slack_text(least, s->arena);
    add_rule_row(s, least, arena_printf(s->arena, "%s: %zu of %zu", left, as_tight, count), table);
}

static bool same_rule(const Limit *a, const Limit *b)
{
    return a->member != NULL && b->member != NULL && a->member->rule == b->member->rule;
}

/* Many limits are shown a line for each rule, unless in full. */
static void add_all_limits(const BestScreen *s)
{
    const PoolCheck *check = &s->answer->check;
    const bool by_rule = !s->view->sections.full && check->uses > BEST_MANY_LIMITS;
    Table *table = table_new("llrll", limits_header);
    StatusRows statuses = {0};
    for (size_t u = 0, end; u < check->uses; u = end) {
        for (end = u + 1; by_rule && end < check->uses && same_rule(check->use[u].limit, check->use[end].limit);)
            end++;
        if (end - u > 1)
            add_tightest(s, &check->use[u], end - u, table);
        else if (status_rows_show(&statuses, check->use[u].limit))
            add_rule_row(s, &check->use[u], limit_slack_text(&check->use[u], s->arena), table);
    }
    style_heading(s->out, s->style, by_rule ? "Limits, the tightest of each rule" : "Limits");
    table_print(table, s->out, s->style);
    table_free(table);
    status_rows_rest(&statuses, s->out);
    if (by_rule)
        text_printf(s->out, "  all %zu with --rules --full\n", check->uses);
}

void best_limits(const BestScreen *s)
{
    if (s->view->rules)
        add_all_limits(s);
    else
        add_stands_out(s);
}
