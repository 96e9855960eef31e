/* watches_report.c - see watches.h. */
#include "base/number.h"
#include "programme/count/signals.h"
#include "report/json/json.h"
#include "report/list/watches.h"
#include "report/layout/format.h"
#include "report/words/limit_words.h"

static bool is_outside(const LimitUse *use)
{
    return !use->idle && !limit_use_kept(use);
}

static size_t count_outside(const PoolCheck *check)
{
    size_t outside = 0;
    for (size_t w = 0; w < check->watches; w++)
        outside += is_outside(&check->watch[w]);
    return outside;
}

/* ---- the first screen ---- */

static void add_part(size_t *parts, Text *out, size_t count, const char *one, const char *many)
{
    if (count > 0)
        text_printf(out, "%s%zu %s", (*parts)++ == 0 ? "Watches: " : "; ", count, count == 1 ? one : many);
}

void watches_line(const Instance *in, const int *copies, const PoolCheck *check, const char *how, Text *out)
{
    Signals signals;
    size_t parts = 0;
    Text text = {0};
    signals_find(in, copies, check, &signals);
    add_part(&parts, &text, count_outside(check), "rule outside its band", "rules outside their bands");
    add_part(&parts, &text, signals.tags, "tag without a theme", "tags without a theme");
    add_part(&parts, &text, signals.fews, "theme with few enablers", "themes with few enablers");
    add_part(&parts, &text, signals.speeds, "theme of two speeds", "themes of two speeds");
    if (parts > 0)
        text_printf(out, "%s%s.\n", text_cstr(&text), how);
    text_release(&text);
    signals_release(&signals);
}

/* ---- in full ---- */

static void add_watches(const PoolCheck *check, const Style *style, Arena *arena, Text *out)
{
    static const char *const header[] = {"watched", "band", "has", "", "set in"};
    Table *table = table_new("clrll", header);
    for (size_t w = 0; w < check->watches; w++) {
        const LimitUse *use = &check->watch[w];
        table_add(table, use->limit->title);
        table_add(table, limit_asks_text(use->limit, &use->bounds, arena));
        table_add(table, limit_has_text(use, arena));
        table_add(table, use->idle         ? "theme not chosen"
                         : is_outside(use) ? arena_printf(arena, "off by %s", limit_off_text(use, arena))
                                           : "within");
        table_add(table, limit_place_text(use->limit, arena));
    }
    if (check->watches > 0)
        table_print(table, out, style);
    table_free(table);
}

static const char *average(Arena *arena, int64_t cost, int cards)
{
    return format_money(arena, (int64_t)round_div((int128)cost, 10 * (int64_t)cards)); /* hundredths */
}

/* What stands out, in sentences; their number. */
static size_t signal_sentences(const Instance *in, const Signals *s, Arena *arena, const char ***sentences)
{
    const char **line = arena_alloc(arena, 1 + s->fews + s->speeds, sizeof *line);
    size_t count = 0;
    Text tags = {0};
    for (size_t t = 0; t < s->tags; t++)
        text_printf(&tags, "%s%s (%d)", t > 0 ? ", " : "", in->cards->tag[s->tag[t].tag], s->tag[t].cards);
    if (s->tags > 0)
        line[count++] = arena_printf(arena, "Tags of a few cards that are no theme: %s.", text_cstr(&tags));
    text_release(&tags);
    for (size_t k = 0; k < s->fews; k++) {
        const ShortTheme *few = &s->few[k];
        line[count++] =
            arena_printf(arena, "%s: %d enabler%s for %d payoff%s, which want%s %d.", in->model->theme[few->theme].name,
                         few->enablers, few->enablers == 1 ? "" : "s", few->payoffs, few->payoffs == 1 ? "" : "s",
                         few->payoffs == 1 ? "s" : "", few->wanted);
    }
    for (size_t k = 0; k < s->speeds; k++) {
        const TwoSpeeds *t = &s->speed[k];
        line[count++] = arena_printf(arena, "%s has two speeds: its %s cards cost %s on average, its %s cards %s.",
                                     in->model->theme[t->theme].name, in->model->colour[t->colour[0]],
                                     average(arena, t->cost[0], t->cards[0]), in->model->colour[t->colour[1]],
                                     average(arena, t->cost[1], t->cards[1]));
    }
    *sentences = line;
    return count;
}

static void add_signals(const Instance *in, const Signals *s, Arena *arena, Text *out)
{
    const char **line;
    const size_t lines = signal_sentences(in, s, arena, &line);
    for (size_t k = 0; k < lines; k++)
        text_printf(out, "  %s\n", line[k]);
}

static json_t *signals_json(const Instance *in, const Signals *s)
{
    json_t *list = json_array();
    Arena *arena = arena_new();
    const char **line;
    const size_t lines = signal_sentences(in, s, arena, &line);
    for (size_t k = 0; k < lines; k++)
        json_array_append_new(list, json_string(line[k]));
    arena_free(arena);
    return list;
}

void watches_text(const Instance *in, const int *copies, const PoolCheck *check, const Style *style, Text *out)
{
    Signals signals;
    Arena *arena = arena_new();
    signals_find(in, copies, check, &signals);
    style_heading(out, style, "Watches (nothing has to keep them)");
    add_watches(check, style, arena, out);
    add_signals(in, &signals, arena, out);
    if (check->watches + signals.tags + signals.fews + signals.speeds == 0)
        text_add(out, "  nothing is watched, and nothing stands out\n");
    signals_release(&signals);
    arena_free(arena);
}

/* ---- before a pool is chosen ---- */

static size_t candidates(const Instance *in, const RuleMember *member)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += in->most[c] > 0 && member_counts(in, member, c);
    return count;
}

void watches_check_text(const Instance *in, const Style *style, Text *out)
{
    static const char *const header[] = {"watched", "band", "candidates", "set in"};
    if (in->watches == 0)
        return;
    Arena *arena = arena_new();
    Table *table = table_new("clrl", header);
    for (size_t w = 0; w < in->watches; w++) {
        const Limit *limit = &in->watch[w];
        table_add(table, limit->title);
        table_add(table, limit_asks_text(limit, &limit->bounds, arena));
        table_add(table, format_count(arena, (int64_t)candidates(in, limit->member)));
        table_add(table, limit_place_text(limit, arena));
    }
    style_heading(out, style, "Watches: counted, and nothing has to keep them");
    table_print(table, out, style);
    table_free(table);
    arena_free(arena);
}

json_t *watches_check_json(const Instance *in)
{
    json_t *list = json_array();
    for (size_t w = 0; w < in->watches; w++) {
        json_t *item = limit_json(&in->watch[w], &in->watch[w].bounds);
        json_object_set_new(item, "candidates", json_count(candidates(in, in->watch[w].member)));
        limit_json_place(&in->watch[w], item);
        json_array_append_new(list, item);
    }
    return list;
}

/* ---- JSON of a pool ---- */

static json_t *rules_json(const PoolCheck *check)
{
    json_t *list = json_array();
    for (size_t w = 0; w < check->watches; w++) {
        const LimitUse *use = &check->watch[w];
        json_t *item = limit_use_json(use);
        json_object_set_new(item, "within", json_boolean(!is_outside(use)));
        if (use->idle)
            json_object_set_new(item, "counts", json_false());
        limit_json_place(use->limit, item);
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *speed_json(const Instance *in, const TwoSpeeds *t)
{
    json_t *colours = json_array();
    for (int k = 0; k < 2; k++)
        json_array_append_new(colours, json_pack("{s:s, s:i, s:f}", "name", in->model->colour[t->colour[k]], "cards",
                                                 t->cards[k], "average_cost", (double)t->cost[k] / t->cards[k] / 1000));
    return json_pack("{s:s, s:o}", "theme", in->model->theme[t->theme].name, "colours", colours);
}

json_t *watches_json(const Instance *in, const int *copies, const PoolCheck *check)
{
    Signals s;
    json_t *root = json_object(), *tags = json_array(), *few = json_array(), *speeds = json_array();
    signals_find(in, copies, check, &s);
    for (size_t k = 0; k < s.tags; k++)
        json_array_append_new(tags,
                              json_pack("{s:s, s:i}", "tag", in->cards->tag[s.tag[k].tag], "cards", s.tag[k].cards));
    for (size_t k = 0; k < s.fews; k++)
        json_array_append_new(few, json_pack("{s:s, s:i, s:i, s:i}", "theme", in->model->theme[s.few[k].theme].name,
                                             "enablers", s.few[k].enablers, "payoffs", s.few[k].payoffs, "wanted",
                                             s.few[k].wanted));
    for (size_t k = 0; k < s.speeds; k++)
        json_array_append_new(speeds, speed_json(in, &s.speed[k]));
    json_object_set_new(root, "rules", rules_json(check));
    json_object_set_new(root, "tags", tags);
    json_object_set_new(root, "few_enablers", few);
    json_object_set_new(root, "two_speeds", speeds);
    json_object_set_new(root, "text", signals_json(in, &s));
    signals_release(&s);
    return root;
}
