/* scouting.c - how deep each theme is before anything is chosen: declared themes, and tags that could be themes since
 * some card has a role for them.
 *
 * A package is so many enablers and so many payoffs, no card counted twice (`both` fills either). Which copies can be
 * in a package together is a transversal matroid, so taking them cheapest first, whenever the choice can still be
 * completed, gives the least cost (J. Edmonds, "Matroids and the greedy algorithm", Mathematical Programming 1, 1971).
 */
#include <string.h>

#include "base/sort.h"
#include "report/desk/desk.h"
#include "report/words/format.h"
#include "report/json/json.h"

typedef struct {
    const char *name;
    int tag;            /* index into CardSet.tag, -1: on no candidate */
    ColourMask colours; /* where it is played; all for tags that are no declared theme */
    bool declared;
} Idea;

typedef struct {
    Idea *idea;
    size_t count;
} Ideas;

typedef struct {
    int cards, enablers, payoffs; /* that can be in a pool and be played in the colours; `both` counts in either */
    int own;                      /* of these, tagged for no other idea */
    int colour[COLOURS_MAX];      /* of these, that show the colour */
} Depth;

typedef struct {
    bool possible;
    int lacks_enablers, lacks_payoffs;
    int64_t cost; /* cents to buy; owned copies are free */
    int unpriced; /* cards left out for want of a price */
} PackageCost;

static bool has_role(const Instance *in, int tag)
{
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *own = card_has_tag(&in->cards->card[c], tag);
        if (own != NULL && own->role != ROLE_NONE)
            return true;
    }
    return false;
}

static Ideas list_ideas(const Instance *in)
{
    const Model *model = in->model;
    Ideas ideas = {.idea = mem_new(model->themes + in->cards->tags, sizeof *ideas.idea)};
    bool *declared = mem_new(in->cards->tags, sizeof *declared);
    for (size_t t = 0; t < model->themes; t++) {
        int tag = card_tag(in->cards, model->theme[t].name);
        if (tag >= 0)
            declared[tag] = true;
        ideas.idea[ideas.count++] = (Idea){model->theme[t].name, tag, model->theme[t].colours, true};
    }
    for (size_t k = 0; k < in->cards->tags; k++)
        if (!declared[k] && has_role(in, (int)k))
            ideas.idea[ideas.count++] =
                (Idea){in->cards->tag[k], (int)k, (ColourMask)((1U << model->colours) - 1U), false};
    mem_free(declared);
    return ideas;
}

/* The card's tag for the idea, if the card can be in a pool and be played in the colours; else NULL. */
static const CardTag *counts(const Instance *in, const Idea *idea, ColourMask colours, size_t c)
{
    if (idea->tag < 0 || in->most[c] <= 0 || !colours_playable(&in->cards->card[c].colours, colours))
        return NULL;
    return card_has_tag(&in->cards->card[c], idea->tag);
}

static bool has_other_idea(const Instance *in, const Ideas *ideas, const Idea *idea, size_t c)
{
    for (size_t i = 0; i < ideas->count; i++)
        if (&ideas->idea[i] != idea && ideas->idea[i].tag >= 0 &&
            card_has_tag(&in->cards->card[c], ideas->idea[i].tag) != NULL)
            return true;
    return false;
}

static Depth measure(const Instance *in, const Ideas *ideas, const Idea *idea)
{
    Depth depth = {0};
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *tag = counts(in, idea, idea->colours, c);
        if (tag == NULL)
            continue;
        depth.cards++;
        depth.enablers += role_is_enabler(tag->role);
        depth.payoffs += role_is_payoff(tag->role);
        depth.own += !has_other_idea(in, ideas, idea, c);
        ColourMask shown = colours_union(&in->cards->card[c].colours);
        for (size_t k = 0; k < in->model->colours; k++)
            depth.colour[k] += shown >> k & 1;
    }
    return depth;
}

typedef struct {
    int64_t cost;
    size_t card;
    Role role;
} Offer; /* one copy */

static int compare_offers(const void *a, const void *b)
{
    const Offer *x = a, *y = b;
    if (x->cost != y->cost)
        return x->cost < y->cost ? -1 : 1;
    return (x->card > y->card) - (x->card < y->card);
}

static PackageCost price_package(const Instance *in, const Idea *idea, ColourMask colours, const Package *package)
{
    PackageCost result = {0};
    Offer *offer = NULL;
    size_t offers = 0, capacity = 0;
    int places = package->enablers + package->payoffs;
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *tag = counts(in, idea, colours, c);
        if (tag == NULL || tag->role == ROLE_NONE)
            continue;
        bool priced = !in->unpriced[c] || in->model->unpriced == UNPRICED_DEFAULT;
        int most = in->most[c] < places ? in->most[c] : places, owned = in->cards->card[c].owned;
        result.unpriced += !priced && owned < most;
        for (int k = 0; k < most && (priced || k < owned); k++) {
            mem_reserve((void **)&offer, &capacity, offers + 1, sizeof *offer);
            offer[offers++] = (Offer){instance_spend(in, c, k + 1) - instance_spend(in, c, k), c, tag->role};
        }
    }
    sort_stable(offer, offers, sizeof *offer, compare_offers);
    int enablers = 0, payoffs = 0, either = 0;
    for (size_t k = 0; k < offers && enablers + payoffs + either < places; k++) {
        int *taken = offer[k].role == ROLE_BOTH ? &either : offer[k].role == ROLE_ENABLER ? &enablers : &payoffs;
        if ((taken == &enablers && enablers == package->enablers) || (taken == &payoffs && payoffs == package->payoffs))
            continue;
        (*taken)++;
        result.cost += offer[k].cost;
    }
    mem_free(offer);
    result.possible = enablers + payoffs + either == places;
    int missing = places - enablers - payoffs - either;
    result.lacks_enablers = package->enablers - enablers < missing ? package->enablers - enablers : missing;
    result.lacks_payoffs = missing - result.lacks_enablers;
    return result;
}

/* A theme belongs to a pair that it lies within, or that lies within it. */
static bool belongs(const Idea *idea, ColourMask pair)
{
    ColourMask common = idea->colours & pair;
    return common == pair || common == idea->colours;
}

static const char *verdict(const PackageCost *cost, Arena *arena)
{
    if (cost->possible)
        return "";
    if (cost->lacks_enablers > 0 && cost->lacks_payoffs > 0)
        return arena_printf(arena, "lacks %d enablers, %d payoffs", cost->lacks_enablers, cost->lacks_payoffs);
    return cost->lacks_enablers > 0
               ? arena_printf(arena, "lacks %d enabler%s", cost->lacks_enablers, cost->lacks_enablers == 1 ? "" : "s")
               : arena_printf(arena, "lacks %d payoff%s", cost->lacks_payoffs, cost->lacks_payoffs == 1 ? "" : "s");
}

static void add_ideas(const Instance *in, const Ideas *ideas, bool declared, const Package *package, const Style *style,
                      Arena *arena, Text *out)
{
    const Model *model = in->model;
    size_t columns = 9 + model->colours;
    const char **header = arena_alloc(arena, columns, sizeof *header);
    char *align = arena_alloc(arena, columns + 1, 1);
    static const char *const fixed[] = {"theme",   "colours", "cards",   "enablers", "payoffs",
                                        "its own", "shared",  "package", ""};
    for (size_t k = 0; k < columns; k++) {
        header[k] = k < 9 ? fixed[k] : model->colour[k - 9];
        align[k] = k == 0 || k == 1 || k == 8 ? 'l' : k < 8 ? 'r' : 'R';
    }
    Table *table = table_new(align, header);
    for (size_t i = 0; i < ideas->count; i++) {
        const Idea *idea = &ideas->idea[i];
        if (idea->declared != declared)
            continue;
        Depth depth = measure(in, ideas, idea);
        PackageCost cost = price_package(in, idea, idea->colours, package);
        table_add(table, idea->name);
        table_add(table, model_mask_name(model, idea->colours, arena));
        table_addf(table, "%d", depth.cards);
        table_addf(table, "%d", depth.enablers);
        table_addf(table, "%d", depth.payoffs);
        table_addf(table, "%d", depth.own);
        table_addf(table, "%d", depth.cards - depth.own);
        table_add(table, cost.possible ? format_money(arena, cost.cost) : "-");
        table_add(table, verdict(&cost, arena));
        for (size_t k = 0; k < model->colours; k++)
            table_addf(table, "%d", depth.colour[k]);
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, declared ? "Themes" : "Tags with roles that are no declared theme");
        table_print(table, out, style);
    } else if (declared)
        text_add(out, "\nThe model declares no themes.\n");
    table_free(table);
}

static void add_pairs(const Instance *in, const Ideas *ideas, const Package *package, const Style *style, Arena *arena,
                      Text *out)
{
    const Model *model = in->model;
    static const char *const header[] = {"pair", "deep enough there (the package)", ""};
    Table *table = table_new("lll", header);
    for (size_t p = 0; p < model_pairs(model); p++) {
        ColourMask pair = model_pair(model, p);
        Text names = {0};
        for (size_t i = 0; i < ideas->count; i++) {
            PackageCost cost =
                belongs(&ideas->idea[i], pair) ? price_package(in, &ideas->idea[i], pair, package) : (PackageCost){0};
            if (cost.possible)
                text_printf(&names, "%s%s (%s)", names.length > 0 ? ", " : "", ideas->idea[i].name,
                            format_money(arena, cost.cost));
        }
        table_add(table, model_mask_name(model, pair, arena));
        table_add(table, text_cstr(&names));
        table_add(table, names.length == 0 ? "NO THEME DEEP ENOUGH" : "");
        text_release(&names);
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, "Pairs");
        table_print(table, out, style);
    }
    table_free(table);
}

void scouting_text(const Instance *instance, const Package *package, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    Ideas ideas = list_ideas(instance);
    text_printf(out,
                "A playable package: %d enablers and %d payoffs (--package E+P asks for another), at the least money "
                "that buys it.\n",
                package->enablers, package->payoffs);
    text_add(out, "Counted are candidates that may be in a pool and that a deck of the theme's colours can play.\n");
    add_ideas(instance, &ideas, true, package, style, arena, out);
    add_ideas(instance, &ideas, false, package, style, arena, out);
    add_pairs(instance, &ideas, package, style, arena, out);
    mem_free(ideas.idea);
    arena_free(arena);
}

static json_t *package_json(const PackageCost *cost)
{
    json_t *item = json_object();
    json_object_set_new(item, "possible", json_boolean(cost->possible));
    json_object_set_new(item, "cost", cost->possible ? json_money(cost->cost) : json_null());
    json_object_set_new(item, "lacks_enablers", json_integer(cost->lacks_enablers));
    json_object_set_new(item, "lacks_payoffs", json_integer(cost->lacks_payoffs));
    return item;
}

static json_t *idea_json(const Instance *in, const Ideas *ideas, const Idea *idea, const Package *package, Arena *arena)
{
    Depth depth = measure(in, ideas, idea);
    PackageCost cost = price_package(in, idea, idea->colours, package);
    json_t *item = json_object(), *by = json_object();
    json_object_set_new(item, "name", json_string(idea->name));
    json_object_set_new(item, "declared", json_boolean(idea->declared));
    json_object_set_new(item, "colours", json_string(model_mask_name(in->model, idea->colours, arena)));
    json_object_set_new(item, "cards", json_integer(depth.cards));
    json_object_set_new(item, "enablers", json_integer(depth.enablers));
    json_object_set_new(item, "payoffs", json_integer(depth.payoffs));
    json_object_set_new(item, "own", json_integer(depth.own));
    json_object_set_new(item, "shared", json_integer(depth.cards - depth.own));
    for (size_t k = 0; k < in->model->colours; k++)
        json_object_set_new(by, in->model->colour[k], json_integer(depth.colour[k]));
    json_object_set_new(item, "by_colour", by);
    json_object_set_new(item, "package", package_json(&cost));
    return item;
}

bool scouting_json(const Instance *instance, const Package *package, const Diags *notices, Text *out)
{
    Arena *arena = arena_new();
    Ideas ideas = list_ideas(instance);
    json_t *root = json_object(), *themes = json_array(), *pairs = json_array(), *asked = json_object();
    json_object_set_new(asked, "enablers", json_integer(package->enablers));
    json_object_set_new(asked, "payoffs", json_integer(package->payoffs));
    json_object_set_new(root, "package", asked);
    for (size_t i = 0; i < ideas.count; i++)
        json_array_append_new(themes, idea_json(instance, &ideas, &ideas.idea[i], package, arena));
    json_object_set_new(root, "themes", themes);
    for (size_t p = 0; p < model_pairs(instance->model); p++) {
        ColourMask pair = model_pair(instance->model, p);
        json_t *item = json_object(), *deep = json_array();
        for (size_t i = 0; i < ideas.count; i++)
            if (belongs(&ideas.idea[i], pair) && price_package(instance, &ideas.idea[i], pair, package).possible)
                json_array_append_new(deep, json_string(ideas.idea[i].name));
        json_object_set_new(item, "pair", json_string(model_mask_name(instance->model, pair, arena)));
        json_object_set_new(item, "themes", deep);
        json_array_append_new(pairs, item);
    }
    json_object_set_new(root, "pairs", pairs);
    json_object_set_new(root, "notices", json_notices(notices));
    mem_free(ideas.idea);
    arena_free(arena);
    return json_finish(root, out);
}
