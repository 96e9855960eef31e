/* money.c - spending against value, and the risk of prices. */
#include "report/words/money.h"

#include <math.h>
#include <stdio.h>

#include "programme/count/risk.h"
#include "report/layout/format.h"
#include "report/json/json.h"

#define CARRIERS_SHOWN 8

typedef struct {
    size_t card;
    int share; /* thousandths of the rise */
} Carrier;

const char *price_text(const Instance *instance, size_t card, Arena *arena)
{
    return price_known(instance, card) ? format_money(arena, instance->price[card]) : "-";
}

int pool_owned_copies(const Instance *instance, const int *copies)
{
    int count = 0;
    for (size_t c = 0; c < instance->cards->count; c++) {
        const int owned = instance->cards->card[c].owned, had = copies[c] < owned ? copies[c] : owned;
        count += had > instance->listed[c] ? had - instance->listed[c] : 0;
    }
    return count;
}

void pool_owned_text(const Instance *instance, const int *copies, Text *out)
{
    const int count = pool_owned_copies(instance, copies);
    if (count > 0)
        text_printf(out, "%d card%s of the present pool count%s as owned (unless pool_owned: no).\n", count,
                    count == 1 ? "" : "s", count == 1 ? "s" : "");
}

static bool any_rise(const Instance *in, const Answer *answer)
{
    for (size_t c = 0; c < in->cards->count; c++)
        if (answer->copies[c] > in->cards->card[c].owned && risk_rise(in, c) > 0)
            return true;
    return false;
}

static int bought_copies(const Instance *in, const Answer *answer)
{
    int bought = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (answer->copies[c] > in->cards->card[c].owned)
            bought += answer->copies[c] - in->cards->card[c].owned;
    return bought;
}

/* What the pool is worth at typical prices, owned or not. */
static int64_t pool_value(const Instance *in, const Answer *answer)
{
    int64_t value = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (answer->copies[c] > 0)
            value += in->price[c] * answer->copies[c];
    return value;
}

/* The cards whose risen prices are the worst case of everything bought, greatest rise first. *count; freed with
 * mem_free. */
static Carrier *list_carriers(const Instance *in, const Answer *answer, size_t *count)
{
    size_t cards = in->cards->count;
    double *bought = mem_new(cards, sizeof *bought);
    int *share = mem_new(cards, sizeof *share);
    Carrier *carrier = mem_new(cards, sizeof *carrier);
    for (size_t c = 0; c < cards; c++) {
        int copies = answer->copies[c] - in->cards->card[c].owned;
        bought[c] = copies > 0 ? copies : 0;
    }
    risk_worst(in, NULL, bought, share);
    *count = 0;
    for (size_t c = 0; c < cards; c++) {
        if (share[c] == 0)
            continue;
        size_t at = (*count)++;
        int64_t rise = (int64_t)bought[c] * risk_rise(in, c);
        while (at > 0 && (int64_t)bought[carrier[at - 1].card] * risk_rise(in, carrier[at - 1].card) < rise) {
            carrier[at] = carrier[at - 1];
            at--;
        }
        carrier[at] = (Carrier){c, share[c]};
    }
    mem_free(bought);
    mem_free(share);
    return carrier;
}

/* "at most 1.2%", "none": by the paper's bound for as many prices as the limit holds for, which may be more than asked.
 * Two digits, rounded up: it is a bound. */
static const char *chance_text(Arena *arena, size_t risky, int64_t held)
{
    if (held >= (int64_t)risky * 1000)
        return "none";
    const long double chance = risk_bound(risky, held) * 100;
    if (chance <= 0.01L)
        return "at most 0.01%";
    long double unit = 0.001L; /* of the second digit */
    while (chance >= unit * 100)
        unit *= 10;
    char digits[32];
    snprintf(digits, sizeof digits, "%.3Lg%%", ceill(chance / unit - 1e-9L) * unit);
    return arena_printf(arena, "at most %s", digits);
}

static void add_limits(const Instance *in, const Answer *answer, const Style *style, Arena *arena, Text *out)
{
    static const char *const header[] = {"limit", "typical",  "protected", "all risen",
                                         "of",    "may rise", "holds for", "chance"};
    Table *table = table_new("lrrrrrrl", header);
    for (size_t u = 0; u < answer->check.uses; u++) {
        const LimitUse *use = &answer->check.use[u];
        if (!use->is_protected || use->idle)
            continue;
        RiskCount count;
        risk_count(in, use->limit->member, answer->copies, &count);
        table_add(table, use->limit->title);
        table_add(table, format_money(arena, count.typical));
        table_add(table, format_money(arena, count.protected));
        table_add(table, format_money(arena, count.highest));
        table_add(table, format_money(arena, use->bounds.high));
        table_addf(table, "%zu", count.risky);
        table_add(table,
                  count.held >= (int64_t)count.risky * 1000 ? "all" : format_number(arena, count.held / 10 * 10));
        table_add(table, chance_text(arena, count.risky, count.held));
    }
    if (table_rows(table) > 0) {
        table_print(table, out, style);
        text_printf(out,
                    "  Protected: whichever %s of these prices rise to their highs. The chance is for prices that move "
                    "independently, as likely up "
                    "as down, never above their highs (Bertsimas and Sim 2004).\n",
                    format_number(arena, in->model->protect));
    }
    table_free(table);
}

static void add_gamma_hint(const Instance *in, const Answer *answer, Arena *arena, Text *out)
{
    RiskCount count;
    risk_count(in, NULL, answer->copies, &count);
    int64_t gamma = risk_gamma(count.risky, 0.01L);
    if (risk_protects(in, NULL) && count.risky > 0 && gamma > count.held)
        text_printf(out, "  For a chance of at most 1%% with %zu such prices: protect: %s.\n", count.risky,
                    format_number(arena, (gamma + 99) / 100 * 100));
}

static void add_carriers(const Instance *in, const Answer *answer, const Style *style, Arena *arena, Text *out)
{
    size_t count;
    Carrier *carrier = list_carriers(in, answer, &count);
    static const char *const header[] = {"carries the risk", "copies", "price", "high", "rise in all"};
    Table *table = table_new("lrrrr", header);
    for (size_t k = 0; k < count && k < CARRIERS_SHOWN; k++) {
        size_t c = carrier[k].card;
        int copies = answer->copies[c] - in->cards->card[c].owned;
        table_add(table, in->cards->card[c].name);
        table_addf(table, "%d", copies);
        table_add(table, format_money(arena, in->price[c]));
        table_add(table, format_money(arena, in->high[c]));
        table_addf(table, "%s%s", format_money(arena, copies * risk_rise(in, c)),
                   carrier[k].share < 1000 ? arena_printf(arena, " x %s", format_number(arena, carrier[k].share)) : "");
    }
    if (table_rows(table) > 0)
        table_print(table, out, style);
    if (count > CARRIERS_SHOWN)
        text_printf(out, "  and %zu more\n", count - CARRIERS_SHOWN);
    table_free(table);
    mem_free(carrier);
}

const char *money_with_paid(const Instance *in, Arena *arena)
{
    return in->model->has_cap && in->model->counts_paid && in->paid > 0
               ? arena_printf(arena, ", with %s paid", format_money(arena, in->paid))
               : "";
}

void money_paid_text(const Instance *in, int64_t to_buy, const char *indent, Text *out)
{
    const Model *model = in->model;
    if (in->paid == 0 && !model->counts_paid)
        return;
    Arena *arena = arena_new();
    text_printf(out, "%sPaid until now: %s", indent, format_money(arena, in->paid));
    const int64_t left = model->has_cap ? model->cap - in->paid - to_buy : 0;
    if (model->has_cap && model->counts_paid)
        text_printf(out, "; to buy: %s; %s %s: %s", format_money(arena, to_buy),
                    left < 0 ? "more than the cap of" : "left of", format_money(arena, model->cap),
                    format_money(arena, left < 0 ? -left : left));
    else if (model->has_cap)
        text_add(out, "; the cap is on what must be bought (cap_counts: paid and to buy counts both)");
    text_add(out, ".\n");
    arena_free(arena);
}

void money_text(const Instance *instance, const Answer *answer, bool whole, const Style *style, Text *out)
{
    const Model *model = instance->model;
    bool rises = any_rise(instance, answer);
    if (!whole && !rises && model->handling == 0 && model->headroom == 0 && instance->paid == 0)
        return;
    Arena *arena = arena_new();
    RiskCount all;
    risk_count(instance, NULL, answer->copies, &all);
    style_heading(out, style, "Money");
    text_printf(out, "  The pool is worth %s; %s to buy", format_money(arena, pool_value(instance, answer)),
                format_money(arena, all.typical));
    const int bought = bought_copies(instance, answer);
    if (model->handling > 0 && bought > 0)
        text_printf(out, ", of it %s handling for %d cop%s", format_money(arena, model->handling * bought), bought,
                    bought == 1 ? "y" : "ies");
    if (rises)
        text_printf(out, "; %s if all prices rise to their highs", format_money(arena, all.highest));
    text_add(out, ".\n");
    money_paid_text(instance, all.typical, "  ", out);
    if (model->has_cap && model->headroom > 0)
        text_printf(out, "  The cap is %s: %s less %s%% headroom.\n", format_money(arena, model->cap),
                    format_money(arena, model->cap_stated), format_number(arena, model->headroom));
    if (whole && model->has_risk && rises) {
        add_limits(instance, answer, style, arena, out);
        add_gamma_hint(instance, answer, arena, out);
        add_carriers(instance, answer, style, arena, out);
    }
    arena_free(arena);
}

static json_t *limit_json(const Instance *in, const Answer *answer, const LimitUse *use)
{
    RiskCount count;
    risk_count(in, use->limit->member, answer->copies, &count);
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(use->limit->name));
    json_object_set_new(item, "of", json_string(use->limit->of));
    json_object_set_new(item, "typical", json_money(count.typical));
    json_object_set_new(item, "protected", json_money(count.protected));
    json_object_set_new(item, "highest", json_money(count.highest));
    json_object_set_new(item, "prices", json_count(count.risky));
    json_object_set_new(item, "held", json_number_of(count.held));
    json_object_set_new(
        item, "chance",
        json_real(count.held >= (int64_t)count.risky * 1000 ? 0.0 : (double)risk_bound(count.risky, count.held)));
    return item;
}

json_t *money_json(const Instance *instance, const Answer *answer)
{
    const Model *model = instance->model;
    json_t *root = json_object(), *limits = json_array(), *carriers = json_array();
    RiskCount all;
    risk_count(instance, NULL, answer->copies, &all);
    json_object_set_new(root, "value", json_money(pool_value(instance, answer)));
    json_object_set_new(root, "highest", json_money(all.highest));
    json_object_set_new(root, "handling", json_money(model->handling * bought_copies(instance, answer)));
    json_object_set_new(root, "cap", model->has_cap ? json_money(model->cap) : json_null());
    json_object_set_new(root, "cap_stated", model->has_cap ? json_money(model->cap_stated) : json_null());
    json_object_set_new(root, "paid", json_money(instance->paid));
    json_object_set_new(root, "cap_counts", json_string(model->counts_paid ? "paid and to buy" : "to buy"));
    json_object_set_new(root, "left",
                        model->has_cap ? json_money(instance_cap_left(instance) - all.typical) : json_null());
    json_object_set_new(root, "protect", model->has_risk ? json_number_of(model->protect) : json_null());
    for (size_t u = 0; u < answer->check.uses; u++)
        if (answer->check.use[u].is_protected && !answer->check.use[u].idle)
            json_array_append_new(limits, limit_json(instance, answer, &answer->check.use[u]));
    json_object_set_new(root, "limits", limits);
    size_t count;
    Carrier *carrier = list_carriers(instance, answer, &count);
    for (size_t k = 0; k < count; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(instance->cards->card[carrier[k].card].name));
        json_object_set_new(item, "rise", json_money(risk_rise(instance, carrier[k].card)));
        json_object_set_new(item, "share", json_number_of(carrier[k].share));
        json_array_append_new(carriers, item);
    }
    mem_free(carrier);
    json_object_set_new(root, "carriers", carriers);
    return root;
}
