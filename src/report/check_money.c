/* check_money.c - what `check` says of prices: how many there are, which are missing, how old they are, how far they
 * may rise. */
#include "base/day.h"
#include "report/layout/format.h"
#include "report/json/json.h"
#include "report/words/money.h"

#define SHOWN 5

typedef struct {
    size_t priced, without, free, dated, risers;
    int64_t least, most, total; /* cents */
    int first_day, last_day;
    const char *examples;    /* of candidates without a price */
    const char *for_nothing; /* of those with a price of 0 */
} PriceFacts;

static PriceFacts count_prices(const Instance *in, Arena *arena)
{
    PriceFacts f = {.first_day = INT_MAX, .last_day = INT_MIN};
    Text examples = {0}, for_nothing = {0};
    for (size_t c = 0; c < in->cards->count; c++) {
        if (in->unpriced[c]) {
            if (f.without++ < SHOWN)
                text_printf(&examples, "%s%s", f.without == 1 ? "" : "; ", in->cards->card[c].name);
            continue;
        }
        f.least = f.priced == 0 || in->price[c] < f.least ? in->price[c] : f.least;
        f.most = in->price[c] > f.most ? in->price[c] : f.most;
        f.total += in->price[c];
        f.priced++;
        if (in->price[c] == 0 && in->cards->card[c].has_price && f.free++ < SHOWN)
            text_printf(&for_nothing, "%s%s", f.free == 1 ? "" : "; ", in->cards->card[c].name);
        f.risers += in->high[c] > in->price[c];
        if (in->price_day[c] == DAY_UNKNOWN)
            continue;
        f.dated++;
        f.first_day = in->price_day[c] < f.first_day ? in->price_day[c] : f.first_day;
        f.last_day = in->price_day[c] > f.last_day ? in->price_day[c] : f.last_day;
    }
    if (f.without > SHOWN)
        text_add(&examples, "; ...");
    f.examples = arena_strdup(arena, text_cstr(&examples));
    text_release(&examples);
    if (f.free > SHOWN)
        text_add(&for_nothing, "; ...");
    f.for_nothing = arena_strdup(arena, text_cstr(&for_nothing));
    text_release(&for_nothing);
    return f;
}

void check_prices_text(const Instance *instance, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    PriceFacts f = count_prices(instance, arena);
    style_heading(out, style, "Prices");
    if (f.priced == 0)
        text_add(out, "  no candidate has one\n");
    else
        text_printf(out, "  %s with a price, %s to %s, %s in all\n", format_cards(arena, (int64_t)f.priced),
                    format_money(arena, f.least), format_money(arena, f.most), format_money(arena, f.total));
    if (f.priced > 0 && f.without > 0)
        text_printf(out, "  %s without: %s\n", format_count(arena, (int64_t)f.without), f.examples);
    if (f.free > 0 && f.most > 0)
        text_printf(out, "  %s at 0.00, which cost%s nothing (where a price is not known, leave the cell blank): %s\n",
                    format_count(arena, (int64_t)f.free), f.free == 1 ? "s" : "", f.for_nothing);
    if (f.dated > 0)
        text_printf(out, "  %s with a date, %s%s%s", format_count(arena, (int64_t)f.dated),
                    date_text(arena, f.first_day), f.first_day < f.last_day ? " to " : "",
                    f.first_day < f.last_day ? date_text(arena, f.last_day) : "");
    if (f.dated > 0 && instance->model->has_stale)
        text_printf(out, "; %s of them more than %d days before %s",
                    format_count(arena, (int64_t)instance->stale_count), instance->model->stale,
                    date_text(arena, instance->today));
    text_add(out, f.dated > 0 ? "\n" : "");
    if (f.risers > 0)
        text_printf(out, "  %s that may rise\n", format_count(arena, (int64_t)f.risers));
    arena_free(arena);
}

json_t *check_prices_json(const Instance *instance)
{
    Arena *arena = arena_new();
    PriceFacts f = count_prices(instance, arena);
    json_t *root = json_object();
    json_object_set_new(root, "priced", json_count(f.priced));
    json_object_set_new(root, "least", f.priced > 0 ? json_money(f.least) : json_null());
    json_object_set_new(root, "most", f.priced > 0 ? json_money(f.most) : json_null());
    json_object_set_new(root, "total", json_money(f.total));
    json_object_set_new(root, "free", json_count(f.free));
    json_object_set_new(root, "dated", json_count(f.dated));
    json_object_set_new(root, "from", f.dated > 0 ? json_string(date_text(arena, f.first_day)) : json_null());
    json_object_set_new(root, "to", f.dated > 0 ? json_string(date_text(arena, f.last_day)) : json_null());
    json_object_set_new(root, "stale", json_count(instance->stale_count));
    json_object_set_new(root, "may_rise", json_count(f.risers));
    arena_free(arena);
    return root;
}
