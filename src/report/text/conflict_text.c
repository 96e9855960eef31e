/* conflict_text.c - what cannot hold together, and the smallest change that mends it. */

#include "report/words/explain_words.h"
#include "report/words/limit_words.h"
#include "report/explain_report.h"
#include "report/layout/format.h"

#define CONFLICT_ROWS 12

/* Do only bans stand beside this limit? What it can come to is counted with all bans in force: beside other limits that
 * would read as if it alone could not be met. */
static bool stands_alone(const Explain *e, const Conflict *conflict, const Limit *limit)
{
    for (int k = 0; k < conflict->sides; k++) {
        const Limit *other = e->sides->side[conflict->side[k]].limit;
        if (other != limit && other->kind != LIMIT_BAN)
            return false;
    }
    return true;
}

/* What the side of a limit that counts cards can come to at all, where that alone breaks it or is close to: "only 22
 * candidates count for it". */
static const char *counts_text(const Explain *e, const Conflict *conflict, const Side *side, const LimitReach *reach,
                               Arena *arena)
{
    const Limit *limit = side->limit;
    if (reach == NULL || (limit->member == NULL && limit->amongs == 0))
        return "";
    const LimitReach *r = &reach[limit - e->instance->limit];
    const char *counting = r->candidates == 0   ? "no candidate counts"
                           : r->candidates == 1 ? "1 candidate counts"
                                                : arena_printf(arena, "%zu candidates count", r->candidates);
    const bool never = (r->has_most && side->low && (r->candidates == 0 || r->most < limit->bounds.low)) ||
                       (r->has_least && !side->low && r->least > limit->bounds.high);
    if (never && !stands_alone(e, conflict, limit))
        return "";
    if (r->has_most && side->low && r->candidates == 0)
        return counting;
    if (r->has_most && side->low && r->most < limit->bounds.low)
        return arena_printf(arena, "%s, which come%s to %s at most", counting, r->candidates == 1 ? "s" : "",
                            format_measure(arena, limit->measure, r->most));
    if (r->has_least && !side->low && r->least > limit->bounds.high)
        return arena_printf(arena, "%s at least, whatever is chosen", format_measure(arena, limit->measure, r->least));
    return counting;
}

static void add_sides(const Explain *e, const Conflict *conflict, const LimitReach *reach, const Style *style,
                      Text *out, Arena *arena)
{
    Table *table = table_new("llll", NULL);
    int rows = 0, more = 0;
    for (int k = 0; k < conflict->sides; k++) {
        const Side *side = &e->sides->side[conflict->side[k]];
        if (words_side_again(e, conflict->side, k))
            continue;
        if (rows++ >= CONFLICT_ROWS) {
            more++;
            continue;
        }
        table_add(table, side->limit->title);
        table_add(table, words_side_limit(side, arena));
        table_add(table, counts_text(e, conflict, side, reach, arena));
        table_add(table, limit_place_text(side->limit, arena));
    }
    table_print(table, out, style);
    table_free(table);
    if (more > 0)
        text_printf(out, "  and %d more\n", more);
}

void conflict_text(const Explain *e, const Conflict *conflict, const char *with, const LimitReach *reach,
                   const Style *style, Text *out)
{
    Arena *arena = arena_new();
    if (!conflict->found)
        text_add(out, "Which limits stand against each other was not found out within the effort.\n");
    else if (conflict->sides == 0)
        text_add(out, "No limit is to blame: there are no such copies to choose.\n");
    else {
        const char *in = with != NULL ? arena_printf(arena, "With %s in, ", with) : "";
        const int limits = words_sides(e, conflict->side, conflict->sides);
        if (limits == 1)
            text_printf(out, "%s cannot be met, whatever else is chosen:\n",
                        with != NULL ? arena_printf(arena, "%sthis", in) : "This");
        else
            text_printf(out, "%s%s %d cannot hold together (%s):\n", in, with != NULL ? "these" : "These", limits,
                        conflict->minimal ? "without any one of them, the others can"
                                          : "perhaps fewer of them are enough: not proven minimal");
        add_sides(e, conflict, reach, style, out, arena);
    }
    arena_free(arena);
}

static void add_group(const Explain *e, const Conflict *group, const char *joint, Text *out, Arena *arena)
{
    text_add(out, "  ");
    for (int k = 0; k < group->sides; k++)
        if (!words_side_again(e, group->side, k))
            text_printf(out, "%s%s", k > 0 ? joint : "", words_side(&e->sides->side[group->side[k]], arena));
    text_add_char(out, '\n');
}

void conflict_list_text(const Explain *e, const ConflictList *list, const Style *style, Text *out)
{
    if (list->conflicts == 0 && list->repairs == 0)
        return;
    Arena *arena = arena_new();
    style_heading(out, style,
                  list->complete ? "All groups that cannot hold together"
                                 : "Groups that cannot hold together, as far as found");
    for (size_t k = 0; k < list->conflicts; k++)
        add_group(e, &list->conflict[k], "; ", out, arena);
    style_heading(out, style,
                  list->complete ? "All ways out: dropping one of these groups is enough"
                                 : "Ways out, as far as found: dropping one of these groups is enough");
    for (size_t k = 0; k < list->repairs; k++)
        add_group(e, &list->repair[k], "; and ", out, arena);
    arena_free(arena);
}

static void add_changes(const Explain *e, const Repair *repair, const Style *style, Text *out, Arena *arena)
{
    Table *table = table_new("llll", NULL);
    for (int s = 0; s < e->sides->sides; s++) {
        if (repair->units[s] <= 0)
            continue;
        const Side *side = &e->sides->side[s];
        table_add(table, side->limit->title);
        table_add(table, words_side_limit(side, arena));
        table_add(table, words_loosening(side, repair->units[s], arena));
        table_add(table, limit_place_text(side->limit, arena));
    }
    table_print(table, out, style);
    table_free(table);
}

/* Is the cap weighed against other limits, a card as 1.00? */
static bool weighs_money(const Explain *e, const Repair *repair)
{
    bool cap = false, others = false;
    for (int s = 0; s < e->sides->sides && repair->found; s++) {
        const Limit *limit = e->sides->side[s].limit;
        if (repair->units[s] > 0 && limit->kind != LIMIT_CAP && limit->priority != 5)
            return false;
        cap = cap || (repair->units[s] > 0 && limit->kind == LIMIT_CAP);
        others = others || (repair->units[s] > 0 && limit->kind != LIMIT_CAP);
    }
    return cap && others;
}

void repair_text(const Explain *e, const Repair *repair, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    style_heading(out, style,
                  !repair->least && repair->found ? "A change that helps (perhaps not the smallest)"
                  : weighs_money(e, repair)       ? "The smallest repair, where a card counts as much as 1.00"
                                                  : "The smallest repair");
    if (!repair->found) {
        text_add(out, repair->impossible ? "  none: changing the limits' numbers alone is not enough (proven)\n"
                                         : "  none was found; changing numbers alone may not be enough\n");
        arena_free(arena);
        return;
    }
    add_changes(e, repair, style, out, arena);
    int *copies = mem_new(e->instance->cards->count + 1, sizeof *copies);
    explain_copies(e, repair->best.x, copies);
    PoolCheck check;
    pool_check(e->instance, copies, &check);
    text_printf(out, "With that the best pool has %s, %s to buy, fit %s%s.\n", format_cards(arena, check.size),
                format_money(arena, check.cost), format_number(arena, check.fit),
                repair->best.status == PROBE_SOLVED ? "" : " (the best one found; better ones may be possible)");
    pool_check_release(&check);
    mem_free(copies);
    arena_free(arena);
}
