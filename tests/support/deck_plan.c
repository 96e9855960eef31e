/* deck_plan.c - see deck_plan.h. */
#include "support/deck_plan.h"

#include <string.h>

bool deck_playable(const TestCard *card, unsigned mask)
{
    for (int p = 0; p < card->parts; p++)
        if ((card->part[p] & mask) == 0)
            return false;
    return true;
}

static unsigned shown(const TestCard *card)
{
    unsigned mask = 0;
    for (int p = 0; p < card->parts; p++)
        mask |= card->part[p];
    return mask;
}

/* In thousandths, rounded once, half away from zero. */
int64_t deck_worth_of(const TestPool *pool, const TestCard *card, unsigned mask, int theme)
{
    int64_t sum = (int64_t)card->power * 1000;
    for (int t = 0; t < pool->themes; t++)
        if (theme >= 0 ? t == theme : (pool->theme_colours[t] & ~mask) == 0)
            sum += (int64_t)card->weight[t] * pool->theme_weight[t];
    return sum >= 0 ? (sum + 500) / 1000 : -((-sum + 500) / 1000);
}

/* mono_of: the colour that `each: colour` is about. */
static bool counts(const TestRule *rule, const TestCard *card, int theme, unsigned mono_of, unsigned theme_colours)
{
    switch (rule->what) {
    case ANY: return !card->port;
    case CREW: return card->crew;
    case PORT: return card->port;
    case REMOVAL: return card->removal;
    case EARLY: return card->has_cost && card->cost <= 2000;
    case LATE: return card->has_cost && card->cost >= 5000;
    case ENABLERS: return card->weight[theme] > 0 && (card->role[theme] & 1) != 0 && deck_playable(card, theme_colours);
    case PAYOFFS: return card->weight[theme] > 0 && (card->role[theme] & 2) != 0 && deck_playable(card, theme_colours);
    case MONO: return shown(card) == mono_of;
    }
    return false;
}

static int64_t adds(const TestRule *rule, const TestCard *card, int average)
{
    switch (rule->how) {
    case COUNT: return 1;
    case COST_SUM: return card->has_cost ? card->cost : 0;
    case COST_AVERAGE: return card->has_cost ? card->cost - average : 0;
    case POWER_SUM: return card->power;
    }
    return 0;
}

static void fill_row(const TestPool *pool, int r, int theme, unsigned mono_of, Row *row)
{
    const TestRule *rule = &pool->rule[r];
    const bool average = rule->how == COST_AVERAGE;
    *row = (Row){.has_low = rule->has_low,
                 .has_high = rule->has_high,
                 .low = average ? 0 : rule->low,
                 .high = average ? 0 : rule->high,
                 .unit = rule->how == COUNT ? 1 : 1000,
                 .rule = r};
    for (int c = 0; c < pool->cards; c++)
        if (counts(rule, &pool->card[c], theme, mono_of, theme < 0 ? 0 : pool->theme_colours[theme])) {
            row->add[c] = adds(rule, &pool->card[c], rule->low);
            row->add_high[c] = adds(rule, &pool->card[c], rule->high);
        }
}

int deck_rows(const TestPool *pool, unsigned mask, int theme, Row *row)
{
    int rows = 0;
    row[rows] = (Row){true, true, pool->size, pool->size, 1, {0}, {0}, -1};
    for (int c = 0; c < pool->cards; c++)
        row[rows].add[c] = row[rows].add_high[c] = 1;
    rows++;
    for (int r = 0; r < pool->rules; r++) {
        const What what = pool->rule[r].what;
        if ((what == ENABLERS || what == PAYOFFS) && theme < 0)
            continue;
        for (int k = 0; k < (what == MONO ? pool->colours : 1); k++)
            if (what != MONO || (mask >> k & 1) != 0)
                fill_row(pool, r, theme, 1U << k, &row[rows++]);
    }
    return rows;
}

unsigned deck_mask(const TestPool *pool, const char *colours)
{
    unsigned mask = 0;
    for (int k = 0; k < pool->colours; k++)
        if (strstr(colours, pool->colour[k]) != NULL)
            mask |= 1U << k;
    return mask;
}

int deck_theme(const TestPool *pool, const char *name)
{
    for (int t = 0; t < pool->themes; t++)
        if (strcmp(pool->theme[t], name) == 0)
            return t;
    return -1;
}

void deck_write_rule(FILE *to, const TestRule *rule, int r)
{
    static const char *const where[] = {
        "where: {class: {not: fixing}}",
        "where: {kind: crew}",
        "where: {class: fixing}",
        "where: {tag: removal}",
        "where: {cost: {to: 2}}",
        "where: {cost: {from: 5}}",
        "each: theme, where: {role: enabler}",
        "each: theme, where: {role: payoff}",
        "each: colour, scope: exact",
    };
    static const char *const measure[] = {"count", "cost", "cost", "power"};
    const bool average = rule->how == COST_AVERAGE;
    fprintf(to, "    - {name: rule %d, %s, measure: %s", r, where[rule->what], measure[rule->how]);
    const double scale = rule->how == COUNT ? 1 : 1000;
    if (rule->has_low)
        fprintf(to, ", %s: %g", average ? "average_at_least" : "at_least", rule->low / scale);
    if (rule->has_high)
        fprintf(to, ", %s: %g", average ? "average_at_most" : "at_most", rule->high / scale);
    fprintf(to, "}\n");
}
