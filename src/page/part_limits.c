/* part_limits.c - what must hold: how much is left, and what one more would bring. Those that cost fit come first. */
#include <string.h>

#include "page/parts.h"

/* Of one side of the limit; NULL: not asked. */
static const json_t *loosening(const PageData *data, const json_t *rule, const char *side)
{
    for (size_t k = 0; k < items_of(data->best, "binding"); k++) {
        const json_t *one = item_at(data->best, "binding", k);
        if (strcmp(get_text(one, "name"), get_text(rule, "name")) == 0 &&
            strcmp(get_text(one, "of"), get_text(rule, "of")) == 0 &&
            strcmp(get_text(one, "limit_kind"), get_text(rule, "kind")) == 0 &&
            strcmp(get_text(one, "side"), side) == 0)
            return one;
    }
    return NULL;
}

static const char *const sides[] = {"at_most", "at_least"};

static bool costs_fit(const PageData *data, const json_t *rule)
{
    for (int s = 0; s < 2; s++)
        if (strcmp(get_text(loosening(data, rule, sides[s]), "kind"), "step") == 0)
            return true;
    return false;
}

static void worth_words(const PageData *data, const json_t *rule, Text *out)
{
    const bool money = strcmp(get_text(rule, "kind"), "cap") == 0;
    bool nothing = false;
    for (int s = 0; s < 2; s++) {
        const json_t *side = loosening(data, rule, sides[s]);
        nothing = nothing || strcmp(get_text(side, "kind"), "nothing") == 0;
        if (strcmp(get_text(side, "kind"), "step") != 0)
            continue;
        text_add(out, "<div>");
        range_words(json_object_get(side, "from_step"), money, out);
        html(out, " %s: +", s == 0 ? "more" : "less");
        range_words(json_object_get(side, "gain"), false, out);
        text_add(out, " fit. In: ");
        cards_words(json_object_get(side, "enters"), out);
        text_add(out, "; out: ");
        cards_words(json_object_get(side, "leaves"), out);
        text_add(out, "</div>");
    }
    if (nothing && !costs_fit(data, rule))
        text_add(out, "<span class=\"quiet\">nothing</span>");
}

static void limit_row(const PageData *data, const json_t *rule, Text *out)
{
    const double slack = get_number(rule, "slack", 0);
    const bool money = strcmp(get_text(rule, "kind"), "cap") == 0;
    row_begin(out);
    limit_name_words(rule, out);
    source_words(rule, out);
    row_name_end(out);
    cell_begin(out);
    bounds_words(json_object_get(rule, "limit"), money, out);
    cell_end(out);
    if (money)
        cell_money(out, get_number(rule, "use", 0));
    else
        cell_number(out, get_number(rule, "use", 0));
    if (json_is_false(json_object_get(rule, "counts")))
        cell_text(out, "does not count here");
    else if (slack < 0 || get_number(rule, "missed", 0) > 0)
        cell_text(out, get_number(rule, "missed", 0) > 0 ? "missed" : "broken");
    else if (slack == 0)
        cell_text(out, "tight");
    else if (money)
        cell_money(out, slack);
    else
        cell_number(out, slack);
    cell_begin(out);
    worth_words(data, rule, out);
    cell_end(out);
    row_end(out);
}

/* Keeps and bans are listed behind the others. */
static int group_of(const PageData *data, const json_t *rule)
{
    const char *kind = get_text(rule, "kind");
    if (costs_fit(data, rule))
        return 0;
    return strcmp(kind, "keep") == 0 || strcmp(kind, "ban") == 0 ? 2 : 1;
}

void limits_part(const PageData *data, Text *out)
{
    static const char *const caption[] = {"Limits that cost fit, and what one more would bring", "The other limits",
                                          "Keeps and bans"};
    const HtmlColumn columns[] = {
        {"Limit", false}, {"Asked", false}, {"Has", true}, {"Left", true}, {"Loosened by", false}};
    const size_t count = items_of(data->best, "rules");
    if (count == 0)
        return;
    part_begin(out, "limits", "Limits");
    for (int group = 0; group < 3; group++) {
        bool any = false;
        for (size_t k = 0; k < count; k++) {
            const json_t *rule = item_at(data->best, "rules", k);
            if (group_of(data, rule) != group)
                continue;
            if (!any)
                table_begin(out, caption[group], columns, sizeof columns / sizeof *columns);
            any = true;
            limit_row(data, rule, out);
        }
        if (any)
            table_end(out);
    }
    part_end(out);
}
