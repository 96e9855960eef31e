/* whatif_frontier_text.c - what money buys: a table, a curve, and what they say. */

#include "base/number.h"
#include "report/layout/format.h"
#include "report/layout/plot.h"
#include "report/whatif_report.h"

#define SHOWN_DEAD 3
#define SHOWN_LINES 20 /* of either end */

typedef struct {
    const WhatIf *all;
    const Frontier *f;
    const WhatIfCase *item; /* [f->count] */
    const Style *style;
    bool full;
    Text *out;
    Arena *arena;
} Screen;

/* ---- table ---- */

/* What is proven about the gain from one line to the next. */
static const char *gain(const Screen *s, const Answer *less, const Answer *more)
{
    if (!less->has_pool || !more->has_pool || !less->has_bound || !more->has_bound)
        return "";
    int64_t least = more->check.fit - less->bound, most = more->bound - less->check.fit;
    if (least < 0)
        least = 0; /* more money never makes it worse */
    if (least == most)
        return least == 0 ? "nothing" : arena_printf(s->arena, "+%s", format_number(s->arena, least));
    return arena_printf(s->arena, "+%s to +%s", format_number(s->arena, least), format_number(s->arena, most));
}

static void add_line(const Screen *s, Table *table, size_t k)
{
    const WhatIfCase *item = &s->item[k];
    const Answer *a = &item->answer;
    table_add(table, item->has_cap ? format_money(s->arena, item->cap) : "none");
    table_add(table, a->has_pool ? format_money(s->arena, a->check.cost) : "-");
    table_add(table, a->has_pool                      ? format_number(s->arena, a->check.fit)
                     : a->status == ANSWER_INFEASIBLE ? "no pool"
                                                      : "not known");
    table_add(table, !a->has_pool               ? ""
                     : a->status == ANSWER_BEST ? "best"
                     : a->has_bound             ? format_number(s->arena, a->bound)
                                                : "-");
    table_add(table, k > 0 ? gain(s, &s->item[k - 1].answer, a) : "");
    table_add(table, item->compared ? arena_printf(s->arena, "%d", item->in) : "");
    table_add(table, item->compared ? arena_printf(s->arena, "%d", item->out) : "");
    table_add(table, (long)k == s->f->knee ? "<- knee" : "");
}

static void add_table(const Screen *s, size_t lines)
{
    static const char *const header[] = {"cap", "to buy", "fit", "at most", "gained", "in", "out", ""};
    Table *table = table_new("rrrrrrrl", header);
    const bool all = s->full || lines <= 2 * SHOWN_LINES;
    for (size_t k = 0; k < lines; k++) {
        if (all || k < SHOWN_LINES || k >= lines - SHOWN_LINES)
            add_line(s, table, k);
        else if (k == SHOWN_LINES)
            for (int cell = 0; cell < 8; cell++)
                table_add(table, cell == 0 ? "..." : "");
    }
    table_print(table, s->out, s->style);
    table_free(table);
    if (!all)
        text_printf(s->out, "  %zu lines between are left out: --full or --csv FILE has them\n",
                    lines - 2 * SHOWN_LINES);
}

/* ---- facts ---- */

static const char *band(const Screen *s, const MoneyBand *money)
{
    if (money->low == money->high)
        return format_money(s->arena, money->high);
    return arena_printf(s->arena, "%s (proven: not below %s)", format_money(s->arena, money->high),
                        format_money(s->arena, money->low));
}

static void add_ends(const Screen *s)
{
    const Frontier *f = s->f;
    if (f->impossible) {
        text_add(s->out, "  No pool meets the other limits, whatever is spent: proven.\n");
        return;
    }
    if (f->least.known)
        text_printf(s->out, "  The least cap with any pool at all: %s.\n", band(s, &f->least));
    if (!f->enough.known)
        return;
    const int64_t rest = f->free_bound - f->free_fit;
    if (rest == 0)
        text_printf(s->out, "  From %s on more money buys nothing.\n", band(s, &f->enough));
    else
        text_printf(s->out,
                    "  From %s on more money buys at most %s fit (%s is reached, %s is the most without any cap).\n",
                    format_money(s->arena, f->enough.high), format_number(s->arena, rest),
                    format_number(s->arena, f->free_fit), format_number(s->arena, f->free_bound));
}

/* The sum of money by which slopes are told: a power of ten, 10.00 at least and a twentieth of the range at most. */
static int64_t slope_unit(int64_t range)
{
    int64_t unit = 1000;
    while (unit <= range / 200)
        unit *= 10;
    return unit;
}

static const char *slope(const Screen *s, const WhatIfCase *from, const WhatIfCase *to, int64_t unit)
{
    const int128 gained = (int128)(to->answer.check.fit - from->answer.check.fit) * unit;
    return format_number(s->arena,
                         (int64_t)round_div(gained, 10 * (int128)(to->cap - from->cap)) * 10); /* hundredths */
}

static void add_knee(const Screen *s)
{
    const Frontier *f = s->f;
    if (f->knee <= 0)
        return;
    size_t first = 0;
    while (first < f->count && !s->item[first].answer.has_pool)
        first++;
    const WhatIfCase *knee = &s->item[f->knee], *start = &s->item[first], *end = &s->item[f->count - 1];
    const int64_t unit = slope_unit(end->cap - start->cap);
    text_printf(s->out, "  The knee is at %s: below it %s more buy %s fit on average, above it %s.\n",
                format_money(s->arena, knee->cap), format_money(s->arena, unit), slope(s, start, knee, unit),
                slope(s, knee, end, unit));
}

static void add_dead(const Screen *s)
{
    const Frontier *f = s->f;
    for (size_t k = 0; k < f->deads && k < SHOWN_DEAD; k++)
        text_printf(s->out, "  From %s to %s: the next %s buy nothing.\n", format_money(s->arena, f->dead[k].from),
                    format_money(s->arena, f->dead[k].to), format_money(s->arena, f->dead[k].to - f->dead[k].from));
    if (f->deads > SHOWN_DEAD)
        text_printf(s->out, "  ... and %zu shorter stretches that buy nothing.\n", f->deads - SHOWN_DEAD);
}

/* Which lines are steps, where not all are. */
static void add_given_up(const Screen *s)
{
    const Frontier *f = s->f;
    if (!f->steps_given_up)
        return;
    if (f->money_large)
        text_printf(
            s->out,
            "  If every price rises, all the cards together cost more than can be counted here, so no steps are "
            "found, but these are %zu caps of the range. (Lower highs in the sheet of prices would do.)\n",
            f->count);
    else if (f->exact == f->count)
        text_printf(s->out,
                    "  To prove every step takes too long here, so these are %zu caps of the range; --effort 20M tries "
                    "longer, a shorter range is proven sooner.\n",
                    f->count);
    else
        text_printf(
            s->out,
            "  From %s on every step is shown, proven: between two lines more money buys nothing. (Only the line at %s "
            "itself may begin a little lower.)\n"
            "  Below that the proof takes too long, so there are %zu caps of the range; --effort 20M gets further.\n",
            format_money(s->arena, s->item[f->exact].cap), format_money(s->arena, s->item[f->exact].cap), f->exact);
}

/* ---- curve ---- */

static Curve curve_of(const WhatIf *all, const Frontier *f, Arena *arena)
{
    int64_t *x = arena_alloc(arena, f->count, sizeof *x), *y = arena_alloc(arena, f->count, sizeof *y);
    Curve curve = {.x = x,
                   .y = y,
                   .x_scale = 2,
                   .steps = f->steps,
                   .marked = -1,
                   .marked_name = "the knee",
                   .x_name = "spending cap",
                   .y_name = "fit",
                   .title = "What money buys: fit of the best pool against the spending cap"};
    for (size_t k = 0; k < f->count; k++) {
        const WhatIfCase *item = &all->item[f->first + k];
        if (!item->answer.has_pool)
            continue;
        if ((long)k == f->knee)
            curve.marked = (long)curve.points;
        x[curve.points] = item->cap;
        y[curve.points++] = item->answer.check.fit;
    }
    return curve;
}

static void add_plot(const Screen *s)
{
    const Curve curve = curve_of(s->all, s->f, s->arena);
    if (curve.points > 2 && curve.y[curve.points - 1] > curve.y[0]) {
        text_add_char(s->out, '\n');
        plot_text(&curve, s->style->width, s->out);
    }
}

void frontier_text(const WhatIf *what_if, const Frontier *frontier, bool full, const Style *style, Text *out)
{
    Screen s = {what_if, frontier, &what_if->item[frontier->first], style, full, out, arena_new()};
    const WhatIfCase *first = frontier->count > 0 ? s.item : NULL;
    const bool alone = what_if->frontiers == 1;
    const Model *model = first != NULL ? what_if->loaded[first->loaded].instance->model : NULL;
    if (alone || model == NULL)
        style_heading(out, style, "What money buys");
    else {
        const char *comma = first->name;
        size_t length = 0;
        for (size_t k = 0; comma[k] != '\0'; k++) /* the name without its last part, the cap */
            if (comma[k] == ',')
                length = k;
        style_heading(out, style, length > 0 ? arena_strndup(s.arena, comma, length) : what_if->item[0].name);
    }
    if (frontier->steps && frontier->count > 0)
        text_add(out, "  Every step: between two lines more money buys nothing. Proven.\n");
    add_given_up(&s);
    size_t rows = frontier->count;
    if (frontier->first + rows < what_if->count && !what_if->item[frontier->first + rows].has_cap &&
        what_if->item[frontier->first + rows].loaded == s.item->loaded)
        rows++;
    if (rows > 0) {
        add_table(&s, rows);
        add_plot(&s);
        text_add_char(out, '\n');
    }
    add_ends(&s);
    add_knee(&s);
    add_dead(&s);
    arena_free(s.arena);
}

bool what_if_svg(const WhatIf *what_if, Text *out)
{
    if (what_if->frontiers == 0)
        return false;
    Arena *arena = arena_new();
    const Curve curve = curve_of(what_if, &what_if->frontier[0], arena);
    const bool good = curve.points >= 2;
    if (good)
        plot_svg(&curve, out);
    arena_free(arena);
    return good;
}
