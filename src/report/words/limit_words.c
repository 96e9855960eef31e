/* limit_words.c - see limit_words.h. */
#include "report/words/limit_words.h"

#include <inttypes.h>

#include "base/number.h"
#include "report/layout/format.h"
#include "report/json/json.h"

typedef struct {
    const char *one, *many; /* a unit of a count */
    const char *(*asks)(const Limit *limit, const Bounds *bounds, Arena *arena);
    const char *(*has)(const LimitUse *use, Arena *arena);
    const char *idle;         /* why it asks nothing */
    const char *total, *base; /* JSON keys of LimitUse.total and base besides `use`; NULL: none */
} LimitWords;

/* ---- what it asks for ---- */

static const char *asks_bounds(const Limit *limit, const Bounds *bounds, Arena *arena)
{
    return format_bounds(arena, limit->measure, bounds);
}

/* What may be bought for; less where a headroom or what was paid is taken off. */
static const char *asks_cap(const Limit *limit, const Bounds *bounds, Arena *arena)
{
    const Model *model = limit->capped;
    const bool headroom = model->headroom > 0, paid = limit->bounds.high != model->cap;
    if (bounds->high < 0)
        return arena_printf(arena, "nothing to buy, %s%s too much is paid", headroom ? "after headroom " : "",
                            format_money(arena, -bounds->high));
    const char *asks = asks_bounds(limit, bounds, arena);
    if (!headroom && !paid)
        return asks;
    return arena_printf(arena, "%s after %s", asks,
                        !paid      ? "headroom"
                        : headroom ? "headroom and what was paid"
                                   : "what was paid");
}

static const char *asks_places(const Limit *limit, const Bounds *bounds, Arena *arena)
{
    const char *filled = arena_printf(arena, "%" PRId64 " filled", bounds->low);
    if (!limit->has_all)
        return filled;
    const Bounds all = {.has_low = true, .has_high = true, .low = limit->all_low, .high = limit->all_high};
    const char *number = arena_printf(arena, "%s in all", format_bounds(arena, MEASURE_COUNT, &all));
    return limit->of_themes > 0 ? arena_printf(arena, "%s, %s", filled, number) : number;
}

static const char *asks_ratio(const Limit *limit, const Bounds *bounds, Arena *arena)
{
    return arena_printf(arena, "%s for each payoff", format_bounds(arena, limit->measure, bounds));
}

static const char *asks_in(const Limit *limit, const Bounds *bounds, Arena *arena)
{
    (void)limit;
    (void)arena;
    return bounds->has_low ? "in" : "out";
}

/* ---- what a pool has ---- */

static const char *has_use(const LimitUse *use, Arena *arena)
{
    return format_use(arena, use);
}

static const char *has_places(const LimitUse *use, Arena *arena)
{
    const char *filled = arena_printf(arena, "%" PRId64 " filled", use->total);
    if (!use->limit->has_all)
        return filled;
    return arena_printf(arena, "%s%s%" PRId64 " in all", use->limit->of_themes > 0 ? filled : "",
                        use->limit->of_themes > 0 ? ", " : "", use->base);
}

static const char *has_ratio(const LimitUse *use, Arena *arena)
{
    return arena_printf(arena, "%" PRId64 " for %" PRId64, use->total, use->base);
}

static const char *has_in(const LimitUse *use, Arena *arena)
{
    (void)arena;
    return use->total > 0 ? "in" : "out";
}

/* ---- the kinds ---- */

#define NOT_CHOSEN "theme not chosen"

static const LimitWords words_size = {"card", "cards", asks_bounds, has_use, "", NULL, NULL};
static const LimitWords words_cap = {"card", "cards", asks_cap, has_use, "", NULL, NULL};
static const LimitWords words_rule = {"card", "cards", asks_bounds, has_use, NOT_CHOSEN, NULL, NULL};
static const LimitWords words_places = {"place", "places", asks_places, has_places, "", "filled", "cards"};
static const LimitWords words_ratio = {"enabler", "enablers", asks_ratio, has_ratio, NOT_CHOSEN, "enablers", "payoffs"};
static const LimitWords words_needs = {"card", "cards", asks_bounds, has_use, "the card is not in", "in", NULL};
static const LimitWords words_apart = {"card", "cards", asks_bounds, has_use, "", "in", NULL};
static const LimitWords words_group = {"card", "cards", asks_bounds, has_use, "", "in", NULL};
static const LimitWords words_choice = {"theme", "themes", asks_bounds, has_use, "", "in", NULL};
static const LimitWords words_keep = {"copy", "copies", asks_in, has_in, "", NULL, NULL};
static const LimitWords words_ban = {"copy", "copies", asks_in, has_in, "", NULL, NULL};

static const LimitWords *words_of(const Limit *limit)
{
#define LIMIT_WORDS(constant, function, word) [constant] = &words_##function,
    static const LimitWords *const words[LIMIT_KINDS] = {LIMIT_KIND_TABLE(LIMIT_WORDS)};
#undef LIMIT_WORDS
    return words[limit->kind];
}

const char *limit_asks_text(const Limit *limit, const Bounds *bounds, Arena *arena)
{
    return words_of(limit)->asks(limit, bounds, arena);
}

const char *limit_has_text(const LimitUse *use, Arena *arena)
{
    return words_of(use->limit)->has(use, arena);
}

const char *limit_amount_text(const Limit *limit, int64_t units, Arena *arena)
{
    const LimitWords *words = words_of(limit);
    if (limit->measure == MEASURE_NAMES)
        return arena_printf(arena, "%s different card%s", format_count(arena, units), units == 1 ? "" : "s");
    if (limit->measure != MEASURE_COUNT)
        return format_measure(arena, limit->measure, units);
    return arena_printf(arena, "%s %s", format_count(arena, units), units == 1 ? words->one : words->many);
}

const char *limit_slack_text(const LimitUse *use, Arena *arena)
{
    if (use->idle)
        return words_of(use->limit)->idle;
    if (use->missed > 0) /* by what it is: units that have begun only decide what that costs */
        return arena_printf(arena, "missed by %s, -%s fit",
                            format_measure(arena, use->limit->measure, -limit_use_slack(use)),
                            format_number(arena, use->penalty));
    if (limit_is_status(use->limit))
        return "";
    if (limit_use_asks_for_none(use))
        return "asks for nothing";
    const int64_t slack = limit_use_slack(use);
    if (slack == 0 && use->base == 0 && (use->bounds.kind == BOUND_PERCENT || use->bounds.kind == BOUND_AVERAGE))
        return "nothing to count";
    if (slack == 0)
        return "tight";
    const char *amount = format_measure(arena, use->limit->measure, slack);
    if (use->bounds.kind == BOUND_AVERAGE)
        return arena_printf(arena, "%s left in all", amount);
    return arena_printf(arena, "%s left%s", amount,
                        use->is_protected && use->protected_total > use->total ? " after rises" : "");
}

static int64_t off_by(const LimitUse *use)
{
    return -(!use->low_kept ? use->low_slack : use->high_slack);
}

void limits_met_text(const PoolCheck *check, Arena *arena, Text *out)
{
    size_t missed = 0;
    for (size_t u = 0; u < check->uses; u++)
        missed += check->use[u].missed > 0;
    if (missed == 0)
        text_add(out, "every limit met");
    else
        text_printf(out, "every firm limit met, %zu soft one%s missed at a loss of %s fit", missed,
                    missed == 1 ? "" : "s", format_number(arena, check->penalty));
}

const char *limit_off_text(const LimitUse *use, Arena *arena)
{
    const char *amount = format_measure(arena, use->limit->measure, off_by(use));
    return use->bounds.kind == BOUND_AVERAGE ? arena_printf(arena, "%s in all", amount) : amount;
}

const char *limit_place_text(const Limit *limit, Arena *arena)
{
    return format_place(arena, limit->at);
}

/* ---- keeps and bans in tables ---- */

#define SHOWN_STATUSES 20

bool status_rows_show(StatusRows *rows, const Limit *limit)
{
    if (!limit_is_status(limit))
        return true;
    size_t *count = limit->kind == LIMIT_KEEP ? &rows->keeps : &rows->bans;
    return ++*count <= SHOWN_STATUSES;
}

static void add_rest(size_t count, const char *what, Text *out)
{
    if (count > SHOWN_STATUSES)
        text_printf(out, "  and %zu more that must %s\n", count - SHOWN_STATUSES, what);
}

void status_rows_rest(const StatusRows *rows, Text *out)
{
    add_rest(rows->keeps, "be in", out);
    add_rest(rows->bans, "stay out", out);
}

/* ---- JSON ---- */

json_t *limit_json(const Limit *limit, const Bounds *bounds)
{
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(limit->name));
    json_object_set_new(item, "of", json_string(limit->of));
    json_object_set_new(item, "kind", json_string(limit_kind_name(limit->kind)));
    json_object_set_new(item, "limit", json_limit(limit->measure, bounds));
    limit_json_unit(limit->measure, bounds, item);
    if (limit->capped != NULL)
        json_object_set_new(item, "written", json_money(limit->capped->cap_stated));
    Arena *arena = arena_new();
    json_object_set_new(item, "asks", json_string(limit_asks_text(limit, bounds, arena)));
    arena_free(arena);
    if (limit->because != NULL)
        json_object_set_new(item, "because", json_string(limit->because));
    return item;
}

void limit_json_unit(Measure measure, const Bounds *bounds, json_t *item)
{
    if (bounds->kind == BOUND_PERCENT)
        json_object_set_new(item, "unit", json_string("percent"));
    else if (bounds->kind != BOUND_RATIO && measure_scale(measure) == 2)
        json_object_set_new(item, "unit", json_string("money"));
}

void limit_json_place(const Limit *limit, json_t *item)
{
    if (limit->at.file == NULL || limit->at.line <= 0)
        return;
    json_object_set_new(item, "file", json_string(limit->at.file));
    json_object_set_new(item, "line", json_integer(limit->at.line));
}

static json_t *use_value(const LimitUse *use)
{
    switch (use->bounds.kind) {
    case BOUND_ABSOLUTE: return json_measure(use->limit->measure, use->total);
    case BOUND_PERCENT:
        return use->base == 0 ? json_null()
                              : json_number_of((int64_t)round_div((int128)use->total * PERCENT_ONE,
                                                                  use->base > 0 ? use->base : 1));
    case BOUND_AVERAGE:
        return use->base == 0 ? json_null()
                              : json_measure(use->limit->measure, (int64_t)round_div(use->total, use->base));
    case BOUND_RATIO:
        return use->base == 0 ? json_null() : json_number_of((int64_t)round_div((int128)use->total * 1000, use->base));
    }
    return json_null();
}

json_t *limit_use_json(const LimitUse *use)
{
    const LimitWords *words = words_of(use->limit);
    json_t *item = limit_json(use->limit, &use->bounds);
    json_object_set_new(item, "use", use_value(use));
    if (words->total != NULL)
        json_object_set_new(item, words->total, json_integer(use->total));
    if (words->base != NULL)
        json_object_set_new(item, words->base, json_integer(use->base));
    Arena *arena = arena_new();
    json_object_set_new(item, "has", json_string(limit_has_text(use, arena)));
    arena_free(arena);
    return item;
}
