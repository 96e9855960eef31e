/* bench.c - see bench.h. */
#include "explain/swaps/bench.h"

#include "base/sort.h"

static int curve_step(const Card *card)
{
    if (!card->has_cost)
        return CURVE_COSTS - 1;
    const int64_t whole = card->cost / 1000;
    return whole <= 1 ? 0 : whole >= 6 ? CURVE_COSTS - 2 : (int)whole - 1;
}

typedef struct {
    const Instance *in;
    const Section *section;
} About;

/* Enablers, payoffs, both, none. */
static int role_order(Role role)
{
    return role == ROLE_NONE ? BENCH_ROLES : (int)role;
}

static int by_role_and_cost(const void *a, const void *b, void *context)
{
    const About *about = context;
    const size_t x = *(const size_t *)a, y = *(const size_t *)b;
    const int role =
        role_order(section_role(about->in, about->section, x)) - role_order(section_role(about->in, about->section, y));
    const int step = curve_step(&about->in->cards->card[x]) - curve_step(&about->in->cards->card[y]);
    return role != 0 ? role : step != 0 ? step : x < y ? -1 : x > y;
}

static int by_price(const void *a, const void *b, void *context)
{
    const About *about = context;
    const size_t x = *(const size_t *)a, y = *(const size_t *)b;
    const int64_t one = about->in->price[x], other = about->in->price[y];
    return one != other ? (one > other ? -1 : 1) : x < y ? -1 : x > y;
}

static int by_worth(const void *a, const void *b, void *context)
{
    const About *about = context;
    const InLine *x = a, *y = b;
    if (x->found != y->found)
        return x->found ? -1 : 1;
    const int64_t one = x->found ? x->swap.fit_change : about->in->fit[x->card];
    const int64_t other = y->found ? y->swap.fit_change : about->in->fit[y->card];
    if (one != other)
        return one > other ? -1 : 1;
    if (x->swap.cost_change != y->swap.cost_change)
        return x->swap.cost_change < y->swap.cost_change ? -1 : 1;
    return x->card < y->card ? -1 : x->card > y->card;
}

static void add_copies(const Instance *in, size_t c, int copies, BenchPart *part)
{
    const Card *card = &in->cards->card[c];
    part->copies += copies;
    part->money += instance_spend(in, c, copies);
    part->cost[curve_step(card)] += copies;
    if (card->has_cost) {
        part->cost_sum += card->cost * copies;
        part->cost_cards += copies;
    }
}

static void list_in(const About *about, const int *copies, Bench *bench)
{
    const Instance *in = about->in;
    bench->in = mem_new(in->cards->count + 1, sizeof *bench->in);
    bench->dear = mem_new(in->cards->count + 1, sizeof *bench->dear);
    bench->wish = mem_new(in->cards->count + 1, sizeof *bench->wish);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (!section_holds(in, about->section, c))
            continue;
        if (in->status[c] & STATUS_WISH)
            bench->wish[bench->wishes++] = c;
        if (copies[c] <= 0)
            continue;
        bench->in[bench->ins++] = c;
        add_copies(in, c, copies[c], &bench->role[section_role(in, about->section, c)]);
        add_copies(in, c, copies[c], &bench->all);
        if (copies[c] > in->cards->card[c].owned && in->price[c] > 0)
            bench->dear[bench->dears++] = c;
    }
    sort_stable_with(bench->in, bench->ins, sizeof *bench->in, by_role_and_cost, (void *)about);
    sort_stable_with(bench->dear, bench->dears, sizeof *bench->dear, by_price, (void *)about);
    if (bench->dears > BENCH_DEAREST)
        bench->dears = BENCH_DEAREST;
}

static void list_next(const About *about, const int *copies, Bench *bench)
{
    const Instance *in = about->in;
    const size_t cards = in->cards->count;
    size_t *card = mem_new(cards + 1, sizeof *card);
    Single *best = mem_new(cards + 1, sizeof *best);
    bool *found = mem_new(cards + 1, sizeof *found);
    for (size_t c = 0; c < cards; c++)
        if (copies[c] < in->most[c] && section_holds(in, about->section, c))
            card[bench->nexts++] = c;
    swaps_in(in, copies, card, bench->nexts, best, found);
    bench->next = mem_new(bench->nexts + 1, sizeof *bench->next);
    for (size_t k = 0; k < bench->nexts; k++) {
        bench->next[k] = (InLine){.card = card[k], .found = found[k]};
        if (found[k])
            bench->next[k].swap = best[k];
        bench->found += found[k];
    }
    sort_stable_with(bench->next, bench->nexts, sizeof *bench->next, by_worth, (void *)about);
    mem_free(card);
    mem_free(best);
    mem_free(found);
}

void bench_find(const Instance *instance, const int *copies, const Section *section, Bench *bench)
{
    const About about = {instance, section};
    *bench = (Bench){0};
    list_in(&about, copies, bench);
    list_next(&about, copies, bench);
}

void bench_release(Bench *bench)
{
    mem_free(bench->in);
    mem_free(bench->next);
    mem_free(bench->wish);
    mem_free(bench->dear);
    *bench = (Bench){0};
}
