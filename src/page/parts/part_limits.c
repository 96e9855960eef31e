/* part_limits.c - what must hold: how much is left, and what one more would bring. Those that cost fit come first,
 * what is only watched last. */
#include <string.h>

#include "page/parts/static_parts.h"

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
    for (int s = 0; s < 2; s++) {
        const json_t *side = loosening(data, rule, sides[s]);
        if (side == NULL)
            continue;
        const bool step = strcmp(get_text(side, "kind"), "step") == 0;
        html(out, step ? "<details class=\"more\"><summary>%s" : "<div class=\"quiet\">%s</div>",
             get_text(side, "loosened"));
        if (!step)
            continue;
        text_add(out, ": +");
        range_words(json_object_get(side, "gain"), out);
        if (copies_of(side, "enters") + copies_of(side, "leaves") == 0) {
            text_add(out, " fit</summary>The same pool.</details>");
            continue;
        }
        html(out, " fit, %d in, %d out</summary>In: ", copies_of(side, "enters"), copies_of(side, "leaves"));
        cards_words(json_object_get(side, "enters"), out);
        text_add(out, ". Out: ");
        cards_words(json_object_get(side, "leaves"), out);
        text_add(out, ".</details>");
    }
}

/* Its name, what it asks, what the pool has. */
static void limit_row_begin(const json_t *rule, Text *out)
{
    row_begin(out);
    limit_name_words(rule, out);
    source_words(rule, out);
    row_name_end(out);
    cell_text(out, get_text(rule, "asks"));
    html(out, "<td class=\"number\">%s</td>", get_text(rule, "has"));
}

static void limit_row(const PageData *data, const json_t *rule, Text *out)
{
    limit_row_begin(rule, out);
    cell_text(out, get_text(rule, "left"));
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

/* Told apart from the limits: nothing has to keep these. */
static void watched_table(const PageData *data, Text *out)
{
    const HtmlColumn columns[] = {{"Watched", false}, {"Band", false}, {"Has", true}, {"Within", false}};
    const json_t *watches = json_object_get(data->best, "watches");
    const size_t count = items_of(watches, "rules");
    if (count == 0)
        return;
    table_begin(out, "Watched: only counted, nothing has to keep them", columns, sizeof columns / sizeof *columns);
    for (size_t k = 0; k < count; k++) {
        const json_t *rule = item_at(watches, "rules", k);
        limit_row_begin(rule, out);
        cell_text(out, json_is_false(json_object_get(rule, "counts")) ? "does not count here"
                       : get_true(rule, "within")                     ? "yes"
                                                                      : "outside its band");
        row_end(out);
    }
    table_end(out);
}

void limits_part(const PageData *data, Text *out)
{
    static const char *const caption[] = {"Limits that cost fit, and what one more would bring", "The other limits",
                                          "Keeps and bans"};
    const HtmlColumn columns[] = {
        {"Limit", false}, {"Asked", false}, {"Has", true}, {"Left", true}, {"With one more", false}};
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
    watched_table(data, out);
    part_end(out);
}
