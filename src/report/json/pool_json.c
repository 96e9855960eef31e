/* pool_json.c - what any pool is told by, as JSON. */
#include "report/json/pool_json.h"

#include "report/json/json.h"
#include "report/words/limit_words.h"

static json_t *theme_json(const char *name, const ThemeSummary *theme)
{
    json_t *item = json_pack("{s:s, s:i, s:i, s:i, s:i, s:i, s:o}", "name", name, "enablers", theme->enablers,
                             "payoffs", theme->payoffs, "cards", theme->cards, "gold", theme->gold, "shared",
                             theme->shared, "strength", json_number_of(theme->strength));
    if (theme->left_out)
        json_object_set_new(item, "counts", json_false());
    return item;
}

static json_t *colour_json(const char *name, const ColourSummary *colour)
{
    json_t *average =
        colour->cost_cards > 0 ? json_real((double)colour->cost_sum / colour->cost_cards / 1000) : json_null();
    return json_pack("{s:s, s:i, s:[i, i, i], s:o, s:i, s:i}", "name", name, "mono", colour->mono, "curve",
                     colour->curve[0], colour->curve[1], colour->curve[2], "average_cost", average, "removal",
                     colour->removal, "fixing", colour->fixing);
}

void make_up_json(const Instance *in, const PoolSummary *sum, json_t *root)
{
    json_t *themes = json_array(), *colours = json_array(), *classes = json_object();
    for (size_t t = 0; t < in->model->themes; t++)
        json_array_append_new(themes, theme_json(in->model->theme[t].name, &sum->theme[t]));
    for (size_t c = 0; c < in->model->colours; c++)
        json_array_append_new(colours, colour_json(in->model->colour[c], &sum->colour[c]));
    for (int k = 0; k < CLASS_COUNT; k++)
        json_object_set_new(classes, class_name((CardClass)k), json_integer(sum->by_class[k]));
    json_object_set_new(root, "themes", themes);
    if (sum->weakest >= 0)
        json_object_set_new(root, "weakest", json_string(in->model->theme[sum->weakest].name));
    json_object_set_new(root, "colours", colours);
    json_object_set_new(root, "classes", classes);
}

json_t *limit_uses_json(const PoolCheck *check)
{
    json_t *list = json_array();
    Arena *arena = arena_new();
    for (size_t u = 0; u < check->uses; u++) {
        const LimitUse *use = &check->use[u];
        json_t *item = limit_use_json(use);
        if (use->missed > 0 || use->idle || (use->low_kept && use->high_kept))
            json_object_set_new(item, "left", json_string(limit_slack_text(use, arena)));
        json_object_set_new(item, "slack", json_measure(use->limit->measure, limit_use_slack(use)));
        json_object_set_new(item, "tight", json_boolean(use->low_tight || use->high_tight));
        if (use->idle)
            json_object_set_new(item, "counts", json_false());
        if (use->limit->soft) {
            json_object_set_new(item, "missed", json_integer(use->missed));
            json_object_set_new(item, "lost", json_number_of(use->penalty));
        }
        limit_json_place(use->limit, item);
        json_array_append_new(list, item);
    }
    arena_free(arena);
    return list;
}

json_t *exceptions_json(const Instance *in, const int *copies)
{
    json_t *list = json_array();
    for (size_t e = 0; e < in->model->exempts; e++) {
        const Exempt *exempt = &in->model->exempt[e];
        const long card = pool_exempt(in, copies, e);
        if (card < 0)
            continue;
        json_t *from = json_array();
        for (size_t r = 0; r < exempt->froms; r++)
            json_array_append_new(from, json_string(exempt->from[r].name));
        json_array_append_new(list, json_pack("{s:s, s:o, s:s}", "name", in->cards->card[card].name, "from", from,
                                              "because", exempt->because));
    }
    return list;
}
