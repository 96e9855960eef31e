/* worst_seat_report.c - see drafts_report.h. */
#include "report/seats/drafts_report.h"

#include "report/json/json.h"
#include "report/layout/format.h"

#define CLEAR 4.5        /* standard errors */
#define DRAFTS_LEAST 100 /* of fewer nothing is called clear */

static void add_rules(const WorstSeat *w, const Style *style, Text *out)
{
    static const char *const header[] = {"rule", "more", "missing", "than now", "fit"};
    style_heading(out, style, "Each rule asking for more, the one that helps most first");
    Table *table = table_new("lrrrr", header);
    for (size_t r = 0; r < w->rules; r++) {
        const TightenedRule *rule = &w->rule[r];
        table_add(table, rule->rule->name);
        table_addf(table, "+%lld", (long long)rule->more);
        if (!rule->has_pool) {
            table_add(table, rule->impossible ? "no pool" : "no pool found");
            table_add(table, "");
            table_add(table, "");
            continue;
        }
        table_addf(table, "%.2f", spread_mean(&rule->chosen));
        table_addf(table, "%+.2f", spread_mean(&rule->chosen) - spread_mean(&w->before));
        table_add(table, format_number(w->arena, rule->fit - w->fit));
    }
    table_print(table, out, style);
    table_free(table);
}

void worst_seat_text(const WorstSeat *w, const Style *style, Text *out)
{
    if (!w->has_pool) {
        text_add(out, w->impossible ? "No pool meets the limits as they stand, so nothing was drafted.\n"
                      : w->stopped  ? "Stopped before anything was drafted.\n"
                                   : "No pool was found with this effort, so nothing was drafted; there may be one.\n");
        return;
    }
    text_printf(out,
                "The best pool of the rules as they stand, drafted %s times: the worst seat of a table misses %.2f "
                "cards of what its deck needs.\n",
                format_count(w->arena, w->drafts), spread_mean(&w->before));
    if (w->after_again.times > 0) {
        const double apart = spread_apart(&w->before_again, &w->after_again);
        const char *name = w->rule[0].rule->name;
        if (apart >= CLEAR && w->drafts >= DRAFTS_LEAST)
            text_printf(out,
                        "What would help it most: more of '%s' (up to %lld more of each). In %s other drafts the worst "
                        "seat then misses %.2f instead of %.2f, which is no luck (%.1f standard errors).\n",
                        name, (long long)w->rule[0].more, format_count(w->arena, w->drafts),
                        spread_mean(&w->after_again), spread_mean(&w->before_again), apart);
        else
            text_printf(out,
                        "No rule clearly helps it: more of '%s' did best, but in %s other drafts the worst seat misses "
                        "%.2f then and %.2f now (%.1f standard errors).\n",
                        name, format_count(w->arena, w->drafts), spread_mean(&w->after_again),
                        spread_mean(&w->before_again), apart);
    }
    if (w->rules > 0) {
        add_rules(w, style, out);
        text_add(out,
                 "more: cards of the member that is tightened most (a fifth of each); missing: by the worst seat, in "
                 "the drafts by which the rule is chosen; fit: of the pool, against now. ");
    } else if (!w->stopped) {
        text_add(out, "No rule can ask for more cards. ");
    }
    text_add(out, w->near ? "Pools are within 0.5% of the best.\n"
                          : "Not all pools are proven to be within 0.5% of the best: --effort goes on.\n");
    if (w->stopped)
        text_add(out, STOPPED_EARLY);
}

static json_t *spread_json(const Spread *s)
{
    return json_pack("{s:f, s:f, s:I}", "mean", spread_mean(s), "deviation", spread_deviation(s), "drafts",
                     (json_int_t)s->times);
}

bool worst_seat_json(const WorstSeat *w, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *rules = json_array();
    json_object_set_new(root, "has_pool", json_boolean(w->has_pool));
    json_object_set_new(root, "impossible", json_boolean(w->impossible));
    json_object_set_new(root, "near", json_boolean(w->near));
    json_object_set_new(root, "stopped", json_boolean(w->stopped));
    json_object_set_new(root, "drafts", json_integer(w->drafts));
    if (w->has_pool) {
        json_object_set_new(root, "fit", json_number_of(w->fit));
        json_object_set_new(root, "now", spread_json(&w->before));
        json_object_set_new(root, "now_again", spread_json(&w->before_again));
    }
    for (size_t r = 0; r < w->rules; r++) {
        const TightenedRule *rule = &w->rule[r];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(rule->rule->name));
        json_object_set_new(item, "more", json_integer(rule->more));
        if (rule->has_pool) {
            json_object_set_new(item, "fit", json_number_of(rule->fit));
            json_object_set_new(item, "worst_seat", spread_json(&rule->chosen));
        } else {
            json_object_set_new(item, "impossible", json_boolean(rule->impossible));
        }
        json_array_append_new(rules, item);
    }
    json_object_set_new(root, "rules", rules);
    if (w->after_again.times > 0) {
        json_object_set_new(root, "again", spread_json(&w->after_again));
        json_object_set_new(root, "standard_errors", json_real(spread_apart(&w->before_again, &w->after_again)));
    }
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}
