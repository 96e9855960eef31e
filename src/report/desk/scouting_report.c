/* scouting_report.c - how deep themes are, as text and JSON. */
#include "report/desk/desk.h"
#include "report/layout/format.h"
#include "report/json/json.h"

static const char *verdict(const PackageCost *cost, Arena *arena)
{
    if (cost->possible)
        return "";
    if (cost->lacks_enablers > 0 && cost->lacks_payoffs > 0)
        return arena_printf(arena, "lacks %d enabler%s, %d payoff%s", cost->lacks_enablers,
                            cost->lacks_enablers == 1 ? "" : "s", cost->lacks_payoffs,
                            cost->lacks_payoffs == 1 ? "" : "s");
    return cost->lacks_enablers > 0
               ? arena_printf(arena, "lacks %d enabler%s", cost->lacks_enablers, cost->lacks_enablers == 1 ? "" : "s")
               : arena_printf(arena, "lacks %d payoff%s", cost->lacks_payoffs, cost->lacks_payoffs == 1 ? "" : "s");
}

static void add_themes(const Instance *in, const Scouting *all, bool declared, const Style *style, Arena *arena,
                       Text *out)
{
    const Model *model = in->model;
    size_t columns = 9 + model->colours;
    const char **header = arena_alloc(arena, columns, sizeof *header);
    char *align = arena_alloc(arena, columns + 1, 1);
    static const char *const fixed[] = {"theme",   "colours", "cards",   "enablers", "payoffs",
                                        "its own", "shared",  "package", ""};
    for (size_t k = 0; k < columns; k++) {
        header[k] = k < 9 ? fixed[k] : model->colour[k - 9];
        align[k] = k == 0 || k == 1 || k == 8 ? 'l' : k < 8 ? 'r' : 'S';
    }
    Table *table = table_new(align, header);
    for (size_t i = 0; i < all->themes; i++) {
        const ThemeDepth *theme = &all->theme[i];
        if (theme->declared != declared)
            continue;
        table_add(table, theme->name);
        table_add(table, model_mask_name(model, theme->colours, arena));
        table_addf(table, "%d", theme->cards);
        table_addf(table, "%d", theme->enablers);
        table_addf(table, "%d", theme->payoffs);
        table_addf(table, "%d", theme->own);
        table_addf(table, "%d", theme->cards - theme->own);
        table_add(table, theme->cost.possible ? format_money(arena, theme->cost.cost) : "-");
        table_add(table, verdict(&theme->cost, arena));
        for (size_t k = 0; k < model->colours; k++)
            table_addf(table, "%d", theme->colour[k]);
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, declared ? "Themes" : "Tags with roles that are no declared theme");
        table_print(table, out, style);
    } else if (declared)
        text_add(out, "\nThe model declares no themes.\n");
    table_free(table);
}

static void add_pairs(const Instance *in, const Scouting *all, const Style *style, Arena *arena, Text *out)
{
    static const char *const header[] = {"pair", "deep enough there (the package)", ""};
    Table *table = table_new("lll", header);
    for (size_t p = 0; p < all->pairs; p++) {
        const PairDepth *pair = &all->pair[p];
        Text names = {0};
        for (size_t k = 0; k < pair->count; k++)
            text_printf(&names, "%s%s (%s)", k > 0 ? ", " : "", all->theme[pair->deep[k].theme].name,
                        format_money(arena, pair->deep[k].cost));
        table_add(table, model_mask_name(in->model, pair->colours, arena));
        table_add(table, text_cstr(&names));
        table_add(table, pair->count == 0 ? "NO THEME DEEP ENOUGH" : "");
        text_release(&names);
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, "Pairs");
        table_print(table, out, style);
    }
    table_free(table);
}

void scouting_text(const Instance *instance, const Scouting *scouting, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    text_printf(out,
                "A playable package: %d enabler%s and %d payoff%s (--package E+P asks for another), at the least money "
                "that buys it.\n",
                scouting->package.enablers, scouting->package.enablers == 1 ? "" : "s", scouting->package.payoffs,
                scouting->package.payoffs == 1 ? "" : "s");
    text_add(out, "Counted are candidates that may be in a pool and that a deck of the theme's colours can play.\n");
    add_themes(instance, scouting, true, style, arena, out);
    add_themes(instance, scouting, false, style, arena, out);
    add_pairs(instance, scouting, style, arena, out);
    arena_free(arena);
}

static json_t *package_json(const PackageCost *cost)
{
    return json_pack("{s:b, s:o, s:i, s:i}", "possible", cost->possible, "cost",
                     cost->possible ? json_money(cost->cost) : json_null(), "lacks_enablers", cost->lacks_enablers,
                     "lacks_payoffs", cost->lacks_payoffs);
}

static json_t *theme_json(const Instance *in, const ThemeDepth *theme, Arena *arena)
{
    json_t *by = json_object();
    for (size_t k = 0; k < in->model->colours; k++)
        json_object_set_new(by, in->model->colour[k], json_integer(theme->colour[k]));
    return json_pack("{s:s, s:b, s:s, s:i, s:i, s:i, s:i, s:i, s:o, s:o}", "name", theme->name, "declared",
                     theme->declared, "colours", model_mask_name(in->model, theme->colours, arena), "cards",
                     theme->cards, "enablers", theme->enablers, "payoffs", theme->payoffs, "own", theme->own, "shared",
                     theme->cards - theme->own, "by_colour", by, "package", package_json(&theme->cost));
}

bool scouting_json(const Instance *instance, const Scouting *scouting, const Diags *notices, Text *out)
{
    Arena *arena = arena_new();
    json_t *themes = json_array(), *pairs = json_array();
    for (size_t i = 0; i < scouting->themes; i++)
        json_array_append_new(themes, theme_json(instance, &scouting->theme[i], arena));
    for (size_t p = 0; p < scouting->pairs; p++) {
        const PairDepth *pair = &scouting->pair[p];
        json_t *deep = json_array();
        for (size_t k = 0; k < pair->count; k++)
            json_array_append_new(deep, json_string(scouting->theme[pair->deep[k].theme].name));
        json_array_append_new(pairs, json_pack("{s:s, s:o}", "pair",
                                               model_mask_name(instance->model, pair->colours, arena), "themes", deep));
    }
    json_t *root =
        json_pack("{s:{s:i, s:i}, s:o, s:o, s:o}", "package", "enablers", scouting->package.enablers, "payoffs",
                  scouting->package.payoffs, "themes", themes, "pairs", pairs, "notices", json_notices(notices));
    arena_free(arena);
    return json_finish(root, out);
}
