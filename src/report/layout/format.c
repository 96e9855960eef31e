/* format.c - numbers and limits as people write them. */
#include "report/layout/format.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "base/files/file.h"
#include "base/number.h"

static const char *decimal(Arena *arena, int64_t value, int scale, int min_decimals)
{
    char buffer[NUMBER_TEXT];
    return arena_strdup(arena, number_format(buffer, value, scale, min_decimals));
}

const char *format_money(Arena *arena, int64_t cents)
{
    return decimal(arena, cents, 2, 2);
}

const char *format_number(Arena *arena, int64_t thousandths)
{
    return decimal(arena, thousandths, 3, 0);
}

const char *format_count(Arena *arena, int64_t count)
{
    char digits[32], out[48];
    snprintf(digits, sizeof digits, "%" PRId64, count < 0 ? -count : count);
    size_t length = strlen(digits), at = 0;
    if (count < 0)
        out[at++] = '-';
    for (size_t k = 0; k < length; k++) {
        if (k > 0 && (length - k) % 3 == 0)
            out[at++] = ',';
        out[at++] = digits[k];
    }
    out[at] = '\0';
    return arena_strdup(arena, out);
}

const char *format_measure(Arena *arena, Measure measure, int64_t value)
{
    int scale = measure_scale(measure);
    return decimal(arena, value, scale, scale == 2 ? 2 : 0);
}

const char *format_gap(Arena *arena, int64_t ppm)
{
    return arena_printf(arena, "%s%%", decimal(arena, ppm, 4, 0));
}

const char *format_share(Arena *arena, int64_t part, int64_t whole)
{
    if (whole == 0)
        return "-";
    int64_t sign = whole < 0 ? -1 : 1;
    return arena_printf(arena, "%s%%",
                        decimal(arena, (int64_t)round_div((int128)part * sign * 1000, whole * sign), 1, 0));
}

const char *format_mean(Arena *arena, double mean)
{
    return decimal(arena, (int64_t)(mean * 10 + 0.5), 1, 1);
}

const char *format_chance(Arena *arena, double chance)
{
    if (chance > 0 && chance < 0.0005)
        return "<0.1%";
    if (chance < 1 && chance >= 0.9995)
        return ">99.9%";
    return arena_printf(arena, "%s%%", format_mean(arena, chance * 100));
}

static const char *bound_value(Arena *arena, Measure measure, const Bounds *bounds, int64_t value)
{
    switch (bounds->kind) {
    case BOUND_PERCENT: return arena_printf(arena, "%s%%", decimal(arena, value, 3, 0));
    case BOUND_RATIO: return decimal(arena, value, 3, 0);
    case BOUND_ABSOLUTE:
    case BOUND_AVERAGE: break;
    }
    return format_measure(arena, measure, value);
}

/* " (80%: a seat opens 3)" behind a lower bound that is what `seen` takes; where it was loosened, nothing. */
static const char *seen_words(Arena *arena, const Bounds *bounds)
{
    static const char *const who[] = {
        [DRAW_PACK] = "a pack holds", [DRAW_OPENS] = "a seat opens", [DRAW_SEES] = "a seat sees"};
    char chance[NUMBER_TEXT];
    const SeenBound *seen = &bounds->seen;
    if (!bounds->has_seen || !bounds->has_low || bounds->low != seen->cards)
        return "";
    return arena_printf(arena, " (%s%%: %s %d)", number_format(chance, seen->chance, 3, 0), who[seen->by],
                        seen->at_least);
}

const char *format_bounds(Arena *arena, Measure measure, const Bounds *bounds)
{
    const char *kind = bounds->kind == BOUND_AVERAGE ? "average " : "";
    const char *low = bounds->has_low ? bound_value(arena, measure, bounds, bounds->low) : "";
    const char *high = bounds->has_high ? bound_value(arena, measure, bounds, bounds->high) : "";
    if (bounds->has_low && bounds->has_high && bounds->low == bounds->high)
        return arena_printf(arena, "%sexactly %s%s", kind, low, seen_words(arena, bounds));
    if (bounds->has_low && bounds->has_high)
        return arena_printf(arena, "%s%s to %s%s", kind, low, high, seen_words(arena, bounds));
    if (bounds->has_low)
        return arena_printf(arena, "%sat least %s%s", kind, low, seen_words(arena, bounds));
    return arena_printf(arena, "%sat most %s", kind, high);
}

/* Would the number, read beside the bounds, say of each side what is so? One card in three is more than 33.3%. */
static bool says_so(const LimitUse *use, int64_t shown)
{
    const Bounds *bounds = &use->bounds;
    return bounds->exactly || ((!bounds->has_low || (shown >= bounds->low) == use->low_kept) &&
                               (!bounds->has_high || (shown <= bounds->high) == use->high_kept));
}

/* The next number to one side of it that says what is so, where it does not. */
static int64_t as_it_is(const LimitUse *use, int64_t shown)
{
    return says_so(use, shown) ? shown : says_so(use, shown + 1) ? shown + 1 : shown - 1;
}

/* To a tenth of a percent, and finer where that would look kept and is not, or broken. */
static const char *share_text(Arena *arena, const LimitUse *use)
{
    if (use->base <= 0 || says_so(use, (int64_t)round_div((int128)use->total * 1000, use->base) * 100))
        return format_share(arena, use->total, use->base);
    return arena_printf(
        arena, "%s%%", decimal(arena, as_it_is(use, (int64_t)round_div((int128)use->total * 100000, use->base)), 3, 0));
}

const char *format_use(Arena *arena, const LimitUse *use)
{
    switch (use->bounds.kind) {
    case BOUND_PERCENT: return share_text(arena, use);
    case BOUND_AVERAGE:
        return use->base == 0 ? "-"
                              : format_measure(arena, use->limit->measure,
                                               as_it_is(use, (int64_t)round_div(use->total, use->base)));
    case BOUND_ABSOLUTE:
    case BOUND_RATIO: break;
    }
    return format_measure(arena, use->limit->measure, use->total);
}

const char *format_cards(Arena *arena, int64_t count)
{
    return arena_printf(arena, "%s card%s", format_count(arena, count), count == 1 ? "" : "s");
}

const char *format_copies(Arena *arena, int copies, const char *name)
{
    return copies == 1 ? name : arena_printf(arena, "%d x %s", copies, name);
}

const char *format_place(Arena *arena, SourcePos at)
{
    if (at.file == NULL || at.line == 0)
        return "command line";
    return arena_printf(arena, "%s:%d", path_last(at.file), at.line);
}
