/* whatif_sizes_text.c - what another size means: how much of the pool one draft sees, and every bound that moved. */
#include <inttypes.h>
#include <string.h>

#include "base/number.h"
#include "report/layout/format.h"
#include "programme/count/pool_summary.h"
#include "report/whatif_report.h"

int seats_enough_for(const WhatIf *all, const WhatIfCase *item)
{
    const Model *model = all->loaded[item->loaded].instance->model;
    const int64_t each = (int64_t)model->packs * model->pack_size,
                  seats = each > 0 ? item->answer.check.size / each : 0;
    return (int)(seats < model->seats ? seats : model->seats);
}

bool draft_share(const WhatIf *what_if, const WhatIfCase *item, int64_t *dealt, int64_t *size)
{
    const Model *model = what_if->loaded[item->loaded].instance->model;
    const int64_t each = (int64_t)model->packs * model->pack_size;
    const int seats = seats_enough_for(what_if, item);
    *size = item->answer.check.size;
    *dealt = seats > 0 ? seats * each : each < *size ? each : *size; /* for one there is all that there is */
    return *dealt > 0 && item->answer.has_pool;
}

bool sizes_differ(const WhatIf *all)
{
    for (size_t g = 1; g < all->loaded_count; g++)
        if (all->loaded[g].instance->model->size_to != all->loaded[0].instance->model->size_to)
            return true;
    return false;
}

/* The first item of each loaded scenario with a pool. */
static const WhatIfCase *item_of(const WhatIf *all, size_t loaded)
{
    for (size_t k = 0; k < all->count; k++)
        if (all->item[k].loaded == loaded && all->item[k].answer.has_pool)
            return &all->item[k];
    return NULL;
}

static bool is_new_size(const WhatIf *all, size_t loaded)
{
    return loaded == 0 || all->loaded[loaded].instance->model->size_to != all->loaded[0].instance->model->size_to;
}

/* ---- seats ---- */

static void add_theme_row(const WhatIf *all, const char *theme, Table *table)
{
    Arena *arena = arena_new();
    table_add(table, theme);
    for (size_t g = 0; g < all->loaded_count; g++) {
        if (!is_new_size(all, g))
            continue;
        const WhatIfCase *item = item_of(all, g);
        const Model *model = all->loaded[g].instance->model;
        const char *cell = "-";
        int64_t dealt, size;
        for (size_t t = 0; item != NULL && t < model->themes; t++) {
            if (strcmp(model->theme[t].name, theme) != 0 || !draft_share(all, item, &dealt, &size))
                continue;
            PoolSummary sum;
            pool_summary(all->loaded[g].instance, &item->answer, &sum);
            int64_t tenths = (int64_t)round_div((int128)sum.theme[t].cards * dealt * 10, size);
            cell = arena_printf(arena, "%s of %d", format_number(arena, tenths * 100), sum.theme[t].cards);
            pool_summary_release(&sum);
        }
        table_add(table, cell);
    }
    arena_free(arena);
}

/* A table with one column for each size; its header row. */
static Table *sizes_table(const WhatIf *all, const char *corner)
{
    char align[64] = "l";
    size_t columns = 1;
    const char *header[64] = {corner};
    Arena *arena = arena_new();
    for (size_t g = 0; g < all->loaded_count && columns < 63; g++) {
        if (!is_new_size(all, g))
            continue;
        const Model *model = all->loaded[g].instance->model;
        const char *name = all->item[0].name;
        for (size_t k = 0; k < all->count; k++)
            if (all->item[k].loaded == g && g > 0 && all->frontiers == 0)
                name = all->item[k].name;
        header[columns] = g > 0 && all->frontiers > 0      ? arena_printf(arena, "%d cards", model->size_to)
                          : strstr(name, " cards") != NULL ? name
                                                           : arena_printf(arena, "%s, %d", name, model->size_to);
        align[columns++] = 'r';
        align[columns] = '\0';
    }
    Table *table = table_new(align, header);
    arena_free(arena);
    return table;
}

static size_t new_sizes(const WhatIf *all)
{
    size_t count = 0;
    for (size_t g = 0; g < all->loaded_count; g++)
        count += is_new_size(all, g);
    return count;
}

/* Only where some pool is too small for all seats. */
static void add_seats_row(const WhatIf *all, Table *table)
{
    bool short_of = false;
    for (size_t g = 0; g < all->loaded_count; g++) {
        const WhatIfCase *item = is_new_size(all, g) ? item_of(all, g) : NULL;
        short_of = short_of || (item != NULL && seats_enough_for(all, item) < all->loaded[g].instance->model->seats);
    }
    if (!short_of)
        return;
    table_add(table, "enough for seats");
    for (size_t g = 0; g < all->loaded_count; g++) {
        const WhatIfCase *item = is_new_size(all, g) ? item_of(all, g) : NULL;
        if (item != NULL)
            table_addf(table, "%d of %d", seats_enough_for(all, item), all->loaded[g].instance->model->seats);
        else if (is_new_size(all, g))
            table_add(table, "-");
    }
}

static void add_seats(const WhatIf *all, const Style *style, Text *out)
{
    const Model *base = all->loaded[0].instance->model;
    int64_t dealt, size;
    bool any = false;
    for (size_t g = 0; g < all->loaded_count; g++)
        any = any || (item_of(all, g) != NULL && draft_share(all, item_of(all, g), &dealt, &size));
    if (!any)
        return;
    Arena *arena = arena_new();
    style_heading(out, style, "At the table: cards that one draft can expect to see");
    Table *table = sizes_table(all, "theme");
    table_add(table, "all");
    for (size_t g = 0; g < all->loaded_count; g++) {
        if (!is_new_size(all, g))
            continue;
        const WhatIfCase *item = item_of(all, g);
        if (item == NULL || !draft_share(all, item, &dealt, &size))
            table_add(table, "-");
        else
            table_addf(table, "%" PRId64 " of %" PRId64 " (%s)", dealt, size, format_share(arena, dealt, size));
    }
    add_seats_row(all, table);
    for (size_t t = 0; t < base->themes; t++)
        add_theme_row(all, base->theme[t].name, table);
    table_print(table, out, style);
    table_free(table);
    text_printf(out, "  by %d seat%s, %d pack%s of %d (the base's)\n", base->seats, base->seats == 1 ? "" : "s",
                base->packs, base->packs == 1 ? "" : "s", base->pack_size);
    arena_free(arena);
}

/* ---- bounds ---- */

static const RuleMember *same_member(const Instance *in, const RuleMember *wanted)
{
    for (size_t m = 0; m < in->members; m++)
        if (strcmp(in->member[m].rule->folded, wanted->rule->folded) == 0 && strcmp(in->member[m].of, wanted->of) == 0)
            return &in->member[m];
    return NULL;
}

static const char *bounds_cell(const Instance *in, const RuleMember *member, Arena *arena)
{
    const RuleMember *same = same_member(in, member);
    if (same == NULL)
        return "-";
    Bounds bounds = same->bounds;
    bounds.has_seen = false; /* the chance is the same at every size, and the cards that it takes are the bound */
    return format_bounds(arena, same->rule->measure, &bounds);
}

static bool cells_equal(const WhatIf *all, const RuleMember *a, const RuleMember *b, Arena *arena)
{
    for (size_t g = 0; g < all->loaded_count; g++)
        if (is_new_size(all, g) &&
            strcmp(bounds_cell(all->loaded[g].instance, a, arena), bounds_cell(all->loaded[g].instance, b, arena)) != 0)
            return false;
    return true;
}

static bool has_moved(const WhatIf *all, const RuleMember *member, Arena *arena)
{
    const char *first = bounds_cell(all->loaded[0].instance, member, arena);
    for (size_t g = 1; g < all->loaded_count; g++)
        if (is_new_size(all, g) && strcmp(first, bounds_cell(all->loaded[g].instance, member, arena)) != 0)
            return true;
    return false;
}

#define NAMED_MEMBERS 3

/* "removal (each colour)", "removal (tar)", "payoffs (soundings, boilers, letters and 5 more)": the members from `at`
 * on whose cells are the same. */
static const char *members_name(const WhatIf *all, const Instance *in, size_t at, size_t end, bool *done, Arena *arena)
{
    static const char *const each[] = {"", "each colour", "each pair", "each theme"};
    const RuleMember *first = &in->member[at];
    size_t same = 0, members = 0;
    Text names = {0};
    for (size_t k = at; k < end; k++) {
        if (done[k] || !cells_equal(all, first, &in->member[k], arena))
            continue;
        done[k] = true;
        if (same++ < NAMED_MEMBERS)
            text_printf(&names, "%s%s", same > 1 ? ", " : "", in->member[k].of);
    }
    for (size_t k = 0; k < in->members; k++)
        members += in->member[k].rule == first->rule;
    if (same > NAMED_MEMBERS)
        text_printf(&names, " and %zu more", same - NAMED_MEMBERS);
    const char *of = same == members ? each[first->rule->each] : arena_strdup(arena, text_cstr(&names));
    text_release(&names);
    return of[0] != '\0' ? arena_printf(arena, "%s (%s)", first->rule->name, of) : first->rule->name;
}

/* "45 for themes", "45 for themes of 56 to 57": the places of a colour; "-" where the instance has none of that name.
 */
static const char *places_cell(const Instance *in, const char *name, Arena *arena)
{
    for (size_t l = 0; l < in->limits; l++) {
        const Limit *limit = &in->limit[l];
        if (limit->kind != LIMIT_PLACES || strcmp(limit->name, name) != 0)
            continue;
        const char *text = arena_printf(arena, "%" PRId64 " for themes", limit->bounds.low);
        if (!limit->has_all)
            return text;
        if (limit->all_low == limit->all_high)
            return arena_printf(arena, "%s of %" PRId64, text, limit->all_low);
        return arena_printf(arena, "%s of %" PRId64 " to %" PRId64, text, limit->all_low, limit->all_high);
    }
    return "-";
}

static void add_places(const WhatIf *all, Table *table, Arena *arena)
{
    const Instance *base = all->loaded[0].instance;
    for (size_t l = 0; l < base->limits; l++) {
        const char *name = base->limit[l].name;
        bool moved = false;
        for (size_t g = 1; g < all->loaded_count; g++)
            moved = moved || (is_new_size(all, g) && strcmp(places_cell(base, name, arena),
                                                            places_cell(all->loaded[g].instance, name, arena)) != 0);
        if (base->limit[l].kind != LIMIT_PLACES || !moved)
            continue;
        table_add(table, name);
        for (size_t g = 0; g < all->loaded_count; g++)
            if (is_new_size(all, g))
                table_add(table, places_cell(all->loaded[g].instance, name, arena));
    }
}

static void add_bounds(const WhatIf *all, const Style *style, Text *out)
{
    const Instance *base = all->loaded[0].instance;
    Arena *arena = arena_new();
    Table *table = sizes_table(all, "limit");
    bool *done = mem_new(base->members, sizeof *done);
    size_t unmoved = 0;
    for (size_t m = 0; m < base->members; m++) {
        size_t end = m;
        while (end < base->members && base->member[end].rule == base->member[m].rule)
            end++;
        if (done[m])
            continue;
        if (!has_moved(all, &base->member[m], arena)) {
            unmoved++;
            continue;
        }
        table_add(table, members_name(all, base, m, end, done, arena));
        for (size_t g = 0; g < all->loaded_count; g++)
            if (is_new_size(all, g))
                table_add(table, bounds_cell(all->loaded[g].instance, &base->member[m], arena));
    }
    add_places(all, table, arena);
    style_heading(out, style, "Limits that move with the size");
    if (table_rows(table) > 0)
        table_print(table, out, style);
    if (unmoved > 0)
        text_printf(out, "  %zu other limit%s as %s (percentages, averages, money, and what a case sets itself)\n",
                    unmoved, unmoved == 1 ? " stays" : "s stay", unmoved == 1 ? "it is" : "they are");
    table_free(table);
    mem_free(done);
    arena_free(arena);
}

void sizes_text(const WhatIf *what_if, const WhatIfView *view, const Style *style, Text *out)
{
    if (!sizes_differ(what_if) || new_sizes(what_if) > 60)
        return;
    const Sections *asked = &view->sections;
    if ((sections_first(asked) && view->sizes) || sections_whole(asked, WHAT_IF_SEATS))
        add_seats(what_if, style, out);
    if (sections_whole(asked, WHAT_IF_SCALED))
        add_bounds(what_if, style, out);
}
