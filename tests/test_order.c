/* test_order.c - the cheapest orders, from outside: small random shops where every way to buy is tried here, larger
 * ones against cbc, which is given a programme that this file writes. Cards, shops and prices are invented.
 * POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define CARDS_MOST 60
#define SHOPS_MOST 12
#define OFFERS_MOST 800

typedef struct {
    int card, shop, price, stock; /* cents; stock -1: not said */
    bool counts;                  /* its condition is accepted */
} TestOffer;

typedef struct {
    int postage, free_from, least; /* cents; free_from -1: never */
} TestShop;

typedef struct {
    int cards, shops, offers;
    int wanted[CARDS_MOST], owned[CARDS_MOST];
    TestShop shop[SHOPS_MOST];
    TestOffer offer[OFFERS_MOST];
} Market;

static void make_market(uint64_t seed, int cards, int shops, int percent, Market *m)
{
    Dice dice;
    dice_seed(&dice, seed);
    memset(m, 0, sizeof *m);
    m->cards = cards;
    m->shops = shops;
    for (int s = 0; s < shops; s++) {
        m->shop[s].postage = dice_chance(&dice, 80) ? 10 * dice_roll(&dice, 1, 40) : 0;
        m->shop[s].free_from = dice_chance(&dice, 30) ? 50 * dice_roll(&dice, 1, 3 * cards / shops + 4) : -1;
        m->shop[s].least = dice_chance(&dice, 25) ? 50 * dice_roll(&dice, 1, cards / shops + 4) : 0;
    }
    for (int c = 0; c < cards; c++) {
        m->wanted[c] = dice_chance(&dice, 25) ? 2 : 1;
        m->owned[c] = dice_chance(&dice, 15) ? 1 : 0;
        for (int s = 0; s < shops; s++)
            if (dice_chance(&dice, percent) && m->offers < OFFERS_MOST)
                m->offer[m->offers++] = (TestOffer){.card = c,
                                                    .shop = s,
                                                    .price = 5 * dice_roll(&dice, 1, 60),
                                                    .stock = dice_roll(&dice, -1, 2),
                                                    .counts = dice_chance(&dice, 90)};
    }
}

static void write_market(const char *folder, const Market *m)
{
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    fprintf(to, "name,colours,power,owned,copies\n");
    for (int c = 0; c < m->cards; c++)
        fprintf(to, "Card %02d,,1,%d,2\n", c, m->owned[c]);
    fclose(to);
    folder_write(folder, "cards.csv", text, length);
    free(text);
    to = open_memstream(&text, &length);
    fprintf(to, "name,copies\n");
    for (int c = 0; c < m->cards; c++)
        fprintf(to, "Card %02d,%d\n", c, m->wanted[c]);
    fclose(to);
    folder_write(folder, "pool.csv", text, length);
    free(text);
    to = open_memstream(&text, &length);
    fprintf(to, "name,price,shop,stock,condition\n");
    for (int o = 0; o < m->offers; o++) {
        const TestOffer *offer = &m->offer[o];
        fprintf(to, "Card %02d,%d.%02d,shop %c,", offer->card, offer->price / 100, offer->price % 100,
                'A' + offer->shop);
        if (offer->stock >= 0)
            fprintf(to, "%d", offer->stock);
        fprintf(to, ",%s\n", !offer->counts ? "torn" : o % 3 == 0 ? "" : "good");
    }
    fclose(to);
    folder_write(folder, "prices.csv", text, length);
    free(text);
    to = open_memstream(&text, &length);
    fprintf(to, "size: 1\ncolours: [ebb]\nunpriced: skip\naccept: {condition: [Good, new]}\nshops:\n");
    for (int s = 0; s < m->shops; s++) {
        fprintf(to, "  - {name: Shop %c, postage: %.2f, least: %.2f", 'A' + s, m->shop[s].postage / 100.0,
                m->shop[s].least / 100.0);
        if (m->shop[s].free_from >= 0)
            fprintf(to, ", free_from: %.2f", m->shop[s].free_from / 100.0);
        fprintf(to, "}\n");
    }
    fclose(to);
    folder_write(folder, "model.yaml", text, length);
    free(text);
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\npool: pool.csv\npool_owned: no\n");
}

static int most_of(const Market *m, int o)
{
    const TestOffer *offer = &m->offer[o];
    const int need = m->wanted[offer->card] - m->owned[offer->card];
    return !offer->counts || need <= 0 ? 0 : offer->stock < 0 || offer->stock > need ? need : offer->stock;
}

static int need_of(const Market *m, int card)
{
    int need = m->wanted[card] - m->owned[card], most = 0;
    for (int o = 0; o < m->offers; o++)
        most += m->offer[o].card == card ? most_of(m, o) : 0;
    need = need < 0 ? 0 : need;
    return need < most ? need : most;
}

/* What these copies cost with postage; -1: some least order is not kept. */
static int64_t cost_of(const Market *m, const int *take)
{
    int64_t sum = 0;
    for (int s = 0; s < m->shops; s++) {
        int64_t cards = 0;
        int copies = 0;
        for (int o = 0; o < m->offers; o++)
            if (m->offer[o].shop == s) {
                cards += take[o] * m->offer[o].price;
                copies += take[o];
            }
        if (copies == 0)
            continue;
        if (cards < m->shop[s].least)
            return -1;
        sum += cards + (m->shop[s].free_from >= 0 && cards >= m->shop[s].free_from ? 0 : m->shop[s].postage);
    }
    return sum;
}

typedef struct {
    const Market *m;
    int take[OFFERS_MOST], left[CARDS_MOST];
    int64_t best; /* -1: none */
} Trial;

static void try_from(Trial *t, int o)
{
    const Market *m = t->m;
    if (o == m->offers) {
        for (int c = 0; c < m->cards; c++)
            if (t->left[c] > 0)
                return;
        const int64_t cost = cost_of(m, t->take);
        if (cost >= 0 && (t->best < 0 || cost < t->best))
            t->best = cost;
        return;
    }
    const int card = m->offer[o].card, most = most_of(m, o) < t->left[card] ? most_of(m, o) : t->left[card];
    for (t->take[o] = 0; t->take[o] <= most; t->take[o]++) {
        t->left[card] -= t->take[o];
        try_from(t, o + 1);
        t->left[card] += t->take[o];
    }
    t->take[o] = 0;
}

/* The order shown can be had, and costs what it says. */
static int64_t shown_cost(const Market *m, const json_t *root)
{
    int take[OFFERS_MOST] = {0};
    int64_t said = 0;
    size_t s, k;
    json_t *shop, *card;
    json_array_foreach (json_object_get(root, "shops"), s, shop) {
        said += json_units(shop, "cost", 100) + json_units(shop, "postage", 100);
        json_array_foreach (json_object_get(shop, "cards"), k, card) {
            const int line = (int)json_integer_value(json_object_get(card, "line")) - 2;
            assert_true(line >= 0 && line < m->offers);
            assert_int_equal(m->offer[line].card, atoi(json_text(card, "name") + 5));
            assert_int_equal(m->offer[line].price, json_units(card, "each", 100));
            take[line] += (int)json_integer_value(json_object_get(card, "copies"));
            assert_true(take[line] <= most_of(m, line));
        }
    }
    for (int c = 0; c < m->cards; c++) {
        int copies = 0;
        for (int o = 0; o < m->offers; o++)
            copies += m->offer[o].card == c ? take[o] : 0;
        assert_int_equal(copies, need_of(m, c));
    }
    const int64_t cost = cost_of(m, take);
    assert_int_equal(cost, said);
    assert_int_equal(cost, json_units(root, "cost", 100));
    return cost;
}

/* No offer is said of as many copies as there are none for, also where nothing can be bought. */
static void expect_unsold(const Market *m, const json_t *root)
{
    int left[CARDS_MOST] = {0};
    size_t k;
    json_t *card;
    for (int c = 0; c < m->cards; c++)
        left[c] = m->wanted[c] > m->owned[c] ? m->wanted[c] - m->owned[c] - need_of(m, c) : 0;
    json_array_foreach (json_object_get(root, "no_offer"), k, card)
        left[atoi(json_text(card, "name") + 5)] -= (int)json_integer_value(json_object_get(card, "copies"));
    for (int c = 0; c < m->cards; c++)
        assert_int_equal(left[c], 0);
}

static json_t *ask(const char *folder, const char *effort, int *code)
{
    Run run;
    run_poolwright(folder, (const char *const[]){"order", ".", "--json", "--effort", effort, NULL}, NULL, &run);
    *code = run.code;
    if (run.code > 1 && run.code != 3)
        fail_msg("exit code %d\n%s", run.code, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

static void every_way_to_buy_is_tried(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(150);
    static Market m;
    int none = 0, postage = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        char *folder = folder_new();
        int code;
        make_market(seed, 3 + (int)(seed % 4), 2 + (int)(seed % 3), 70, &m);
        if (m.offers > 16)
            m.offers = 16;
        if (m.offers == 0)
            m.offer[m.offers++] = (TestOffer){.card = 0, .shop = 0, .price = 5, .stock = 1, .counts = true};
        write_market(folder, &m);
        bool any = false;
        for (int o = 0; o < m.offers; o++)
            any = any || (m.offer[o].counts && m.offer[o].stock != 0);
        if (any) {
            Trial t = {.m = &m, .best = -1};
            for (int c = 0; c < m.cards; c++)
                t.left[c] = need_of(&m, c);
            try_from(&t, 0);
            json_t *root = ask(folder, "1M", &code);
            if (strcmp(json_text(root, "status"), t.best < 0 ? "infeasible" : "best") != 0)
                fail_msg("seed %llu: %s", (unsigned long long)seed, json_text(root, "status"));
            assert_int_equal(code, t.best < 0 ? 1 : 0);
            expect_unsold(&m, root);
            if (t.best >= 0)
                assert_int_equal(shown_cost(&m, root), t.best);
            none += t.best < 0;
            postage += t.best > 0;
            json_decref(root);
        }
        folder_remove(folder);
        free(folder);
    }
    assert_true(none >= (int)count / 50 && postage >= (int)count / 3);
}

/* ---- a list that may change ---- */

/* Cards have powers, and every pool of the size is a list; copies beyond all that is for sale are got elsewhere, as
 * many as the list has. */
typedef struct {
    const Market *m;
    int power[CARDS_MOST], size, floor;
    int sold[CARDS_MOST], free[CARDS_MOST]; /* copies that offers have; copies of the list beyond these */
    int pool[CARDS_MOST], take[OFFERS_MOST], taken[CARDS_MOST];
    int64_t cost; /* the least of any pool; -1: none */
    int fit;      /* the most at that cost */
} Giving;

static int stock_of(const Market *m, int o)
{
    return !m->offer[o].counts ? 0 : m->offer[o].stock < 0 ? 2 : m->offer[o].stock;
}

static void try_takes(Giving *g, int o, int fit)
{
    const Market *m = g->m;
    if (o == m->offers) {
        for (int c = 0; c < m->cards; c++) {
            const int bought = g->pool[c] > m->owned[c] ? g->pool[c] - m->owned[c] : 0;
            if (g->taken[c] > bought || g->taken[c] < bought - g->free[c] ||
                (g->taken[c] < bought && g->taken[c] < g->sold[c]))
                return;
        }
        const int64_t cost = cost_of(m, g->take);
        if (cost < 0 || (g->cost >= 0 && cost > g->cost))
            return;
        g->fit = cost == g->cost && g->fit > fit ? g->fit : fit;
        g->cost = cost;
        return;
    }
    const int card = m->offer[o].card;
    for (int k = 0; k <= stock_of(m, o) && g->taken[card] + k <= 2; k++) {
        g->take[o] = k;
        g->taken[card] += k;
        try_takes(g, o + 1, fit);
        g->taken[card] -= k;
    }
    g->take[o] = 0;
}

static void try_pools(Giving *g, int c, int size, int fit)
{
    if (c == g->m->cards) {
        if (size == g->size && fit >= g->floor)
            try_takes(g, 0, fit);
        return;
    }
    for (g->pool[c] = 0; g->pool[c] <= 2 && size + g->pool[c] <= g->size; g->pool[c]++)
        try_pools(g, c + 1, size + g->pool[c], fit + g->pool[c] * g->power[c]);
    g->pool[c] = 0;
}

static void write_powers(const char *folder, const Giving *g)
{
    char text[2000] = "name,colours,power,owned,copies\n", sized[4000];
    char *model = folder_read(folder, "model.yaml", NULL);
    for (int c = 0; c < g->m->cards; c++)
        sprintf(text + strlen(text), "Card %02d,,%d,%d,2\n", c, g->power[c], g->m->owned[c]);
    folder_print(folder, "cards.csv", text);
    const char *accept = strstr(model, "accept");
    assert_non_null(accept);
    snprintf(sized, sizeof sized, "size: %d\ncolours: [ebb]\nunpriced: 1.00\n%s", g->size, accept);
    folder_print(folder, "model.yaml", sized);
    free(model);
}

/* With little effort: what is said to be proven is so all the same. */
static void expect_honest(const Giving *g, const json_t *root, int64_t listed)
{
    const json_t *given = json_object_get(root, "given");
    const int64_t least = g->cost >= 0 && (listed < 0 || g->cost < listed) ? g->cost : listed;
    const bool changed = json_object_get(given, "fit_after") != NULL;
    if (json_object_get(root, "cost") != NULL)
        assert_true(least >= 0 && json_units(root, "cost", 100) >= least);
    if (json_is_true(json_object_get(given, "proven"))) {
        assert_int_equal(changed, g->cost >= 0 && (listed < 0 || g->cost < listed));
        assert_true(!changed || json_units(root, "cost", 100) == g->cost);
    }
    if (changed && json_is_true(json_object_get(given, "most_fit")) && json_units(root, "cost", 100) == g->cost)
        assert_int_equal(json_units(given, "fit_after", 1000), 1000 * g->fit);
    if (changed)
        assert_true(json_units(root, "bound", 100) <= g->cost);
}

static void little_effort_gives_no_more(const char *folder, const Giving *g, const char *give, int64_t listed)
{
    static const char *const effort[] = {"1", "20", "100"};
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        Run run;
        run_poolwright(folder,
                       (const char *const[]){"order", ".", "--json", "--effort", effort[k], "--give", give, NULL}, NULL,
                       &run);
        if (run.code != 0 && run.code != 1 && run.code != 3)
            fail_msg("exit code %d\n%s", run.code, run.err);
        json_t *root = run_json(&run);
        expect_honest(g, root, listed);
        json_decref(root);
        run_forget(&run);
    }
}

/* What is shown can be had: a pool of the size with that fit, bought at that cost. */
static void expect_given(const Giving *g, const json_t *root, int64_t listed)
{
    const json_t *given = json_object_get(root, "given");
    const bool changed = json_object_get(given, "fit_after") != NULL;
    assert_true(json_is_true(json_object_get(given, "proven")));
    assert_int_equal(changed, g->cost >= 0 && (listed < 0 || g->cost < listed));
    if (!changed)
        return;
    int pool[CARDS_MOST], fit = 0, size = 0;
    size_t k;
    json_t *card;
    for (int c = 0; c < g->m->cards; c++)
        pool[c] = g->m->wanted[c];
    json_array_foreach (json_object_get(given, "enters"), k, card)
        pool[atoi(json_text(card, "name") + 5)] += (int)json_integer_value(json_object_get(card, "copies"));
    json_array_foreach (json_object_get(given, "leaves"), k, card)
        pool[atoi(json_text(card, "name") + 5)] -= (int)json_integer_value(json_object_get(card, "copies"));
    for (int c = 0; c < g->m->cards; c++) {
        assert_in_range(pool[c], 0, 2);
        size += pool[c];
        fit += pool[c] * g->power[c];
    }
    assert_int_equal(size, g->size);
    assert_int_equal(1000 * fit, json_units(given, "fit_after", 1000));
    assert_int_equal(json_units(root, "cost", 100), g->cost);
    assert_true(json_is_true(json_object_get(given, "most_fit")));
    assert_int_equal(fit, g->fit);
}

static void every_pool_is_tried(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(250);
    static Market m;
    int changed = 0, sellers = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        char *folder = folder_new(), give[20];
        Dice dice;
        Giving g = {.m = &m, .cost = -1};
        make_market(seed, 4 + (int)(seed % 2), 2 + (int)(seed % 2), 70, &m);
        m.offers = m.offers > 8 ? 8 : m.offers;
        dice_seed(&dice, seed + 1000000);
        int listed_fit = 0;
        bool any = false;
        for (int o = 0; o < m.offers; o++)
            any = any || stock_of(&m, o) > 0;
        for (int c = 0; c < m.cards; c++) {
            for (int o = 0; o < m.offers; o++)
                g.sold[c] += m.offer[o].card == c ? stock_of(&m, o) : 0;
            m.wanted[c] = dice_roll(&dice, 0, 2);
            g.power[c] = dice_roll(&dice, 1, 9);
            g.size += m.wanted[c];
            listed_fit += m.wanted[c] * g.power[c];
            g.free[c] = m.wanted[c] - m.owned[c] > g.sold[c] ? m.wanted[c] - m.owned[c] - g.sold[c] : 0;
        }
        const int allowed = dice_roll(&dice, 0, 8);
        g.floor = listed_fit - allowed;
        if (any && g.size > 0) {
            write_market(folder, &m);
            write_powers(folder, &g);
            snprintf(give, sizeof give, "%d", allowed);
            Trial t = {.m = &m, .best = -1};
            for (int c = 0; c < m.cards; c++)
                t.left[c] = need_of(&m, c);
            try_from(&t, 0);
            try_pools(&g, 0, 0, 0);
            const bool none = g.cost < 0 && t.best < 0;
            json_t *root =
                run_answer(folder, none ? 1 : 0,
                           (const char *const[]){"order", ".", "--json", "--effort", "1M", "--give", give, NULL});
            expect_given(&g, root, t.best);
            if (seed % 4 == 0)
                little_effort_gives_no_more(folder, &g, give, t.best);
            changed += g.cost >= 0 && (t.best < 0 || g.cost < t.best);
            sellers++;
            json_decref(root);
        }
        folder_remove(folder);
        free(folder);
    }
    assert_true(sellers > (int)count / 2 && changed > (int)count / 5);
}

/* Twenty shops that all want a least order, so that no first order is at hand but that of the list. */
static void write_twenty_shops(const char *folder)
{
    char *text[2], model[4000] = "size: 100\ncolours: [ebb]\nunpriced: 1.00\nshops:\n", pool[4000] = "name\n";
    size_t length[2];
    FILE *cards = open_memstream(&text[0], &length[0]), *prices = open_memstream(&text[1], &length[1]);
    Dice dice;
    dice_seed(&dice, 1);
    fprintf(cards, "name,colours,power\n");
    fprintf(prices, "name,price,shop\n");
    for (int c = 0; c < 200; c++) {
        const int usual = dice_roll(&dice, 20, 420);
        fprintf(cards, "Card %03d,,%.1f\n", c, dice_roll(&dice, 10, 99) / 10.0);
        if (c < 100)
            sprintf(pool + strlen(pool), "Card %03d\n", c);
        for (int s = 0; s < 20; s++)
            if (dice_chance(&dice, 40))
                fprintf(prices, "Card %03d,%.2f,shop %c\n", c, usual * dice_roll(&dice, 70, 149) / 100 / 100.0,
                        'A' + s);
    }
    for (int s = 0; s < 20; s++)
        sprintf(model + strlen(model), "  - {name: shop %c, postage: %.2f, least: 12.00}\n", 'A' + s, 2 + s % 4 * 0.5);
    fclose(cards);
    fclose(prices);
    folder_write(folder, "cards.csv", text[0], length[0]);
    folder_write(folder, "prices.csv", text[1], length[1]);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "pool.csv", pool);
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\npool: pool.csv\npool_owned: no\n");
    free(text[0]);
    free(text[1]);
}

static void a_pool_is_found_from_the_order_of_the_list(void **state)
{
    (void)state;
    if (sanitised())
        skip(); /* a long search, and others like it are short */
    char *folder = folder_new();
    write_twenty_shops(folder);
    json_t *root =
        run_answer(folder, 3, (const char *const[]){"order", ".", "--json", "--give", "2", "--effort", "20k", NULL});
    const json_t *given = json_object_get(root, "given");
    assert_true(json_units(given, "fit_after", 1000) + 2000 >= json_units(given, "fit_before", 1000));
    assert_true(json_units(root, "cost", 100) < json_units(given, "cost_before", 100));
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* ---- another solver ---- */

static void write_programme(const char *folder, const Market *m)
{
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    fprintf(to, "Minimize\n cost:");
    for (int o = 0; o < m->offers; o++)
        fprintf(to, " + %d x%d\n", m->offer[o].price, o);
    for (int s = 0; s < m->shops; s++)
        fprintf(to, " + %d y%d - %d z%d\n", m->shop[s].postage, s, m->shop[s].free_from >= 0 ? m->shop[s].postage : 0,
                s);
    fprintf(to, "Subject To\n");
    for (int c = 0; c < m->cards; c++) {
        bool any = false;
        for (int o = 0; o < m->offers; o++)
            if (m->offer[o].card == c) {
                fprintf(to, " + x%d", o);
                any = true;
            }
        if (any)
            fprintf(to, " = %d\n", need_of(m, c));
    }
    for (int o = 0; o < m->offers; o++)
        fprintf(to, " x%d - %d y%d <= 0\n", o, most_of(m, o), m->offer[o].shop);
    for (int s = 0; s < m->shops; s++) {
        fprintf(to, " z%d - y%d <= 0\n", s, s);
        for (int free = 0; free < 2; free++) {
            for (int o = 0; o < m->offers; o++)
                if (m->offer[o].shop == s)
                    fprintf(to, " + %d x%d\n", m->offer[o].price, o);
            const int side = free ? m->shop[s].free_from : m->shop[s].least;
            fprintf(to, " - %d %c%d >= 0\n", side < 0 ? 0 : side, free ? 'z' : 'y', s);
        }
    }
    fprintf(to, "Bounds\n");
    for (int o = 0; o < m->offers; o++)
        fprintf(to, " 0 <= x%d <= %d\n", o, most_of(m, o));
    for (int s = 0; s < m->shops; s++)
        fprintf(to, " 0 <= y%d <= 1\n 0 <= z%d <= %d\n", s, s, m->shop[s].free_from >= 0 ? 1 : 0);
    fprintf(to, "General\n");
    for (int o = 0; o < m->offers; o++)
        fprintf(to, " x%d\n", o);
    for (int s = 0; s < m->shops; s++)
        fprintf(to, " y%d\n z%d\n", s, s);
    fprintf(to, "End\n");
    fclose(to);
    folder_write(folder, "order.lp", text, length);
    free(text);
}

/* Stopped early: what is shown can be had, and no order costs less than the bound. True: it was stopped. */
static bool little_effort_says_no_more(const char *folder, const Market *m, int64_t least)
{
    static const char *const effort[] = {"1", "30", "200"};
    bool stopped = false;
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        int code;
        json_t *root = ask(folder, effort[k], &code);
        const bool best = strcmp(json_text(root, "status"), "best") == 0;
        if (json_object_get(root, "cost") != NULL) {
            const int64_t cost = shown_cost(m, root);
            assert_true(json_units(root, "bound", 100) <= least && least <= cost && (!best || cost == least));
        }
        assert_int_equal(code, best ? 0 : 3);
        stopped = stopped || !best;
        json_decref(root);
    }
    return stopped;
}

static void cbc_finds_no_cheaper_order(void **state)
{
    (void)state;
    static Market m;
    if (!program_exists("cbc"))
        skip();
    int compared = 0, stopped = 0;
    for (uint64_t seed = 1; seed <= 5; seed++) {
        char *folder = folder_new();
        int code;
        make_market(seed, 40, 6, 60, &m);
        write_market(folder, &m);
        write_programme(folder, &m);
        Run run;
        run_program("cbc", folder,
                    (const char *const[]){"order.lp", "ratioGap", "0", "allowableGap", "0", "solve", "solution",
                                          "cbc.txt", NULL},
                    &run);
        run_forget(&run);
        char *text = folder_read(folder, "cbc.txt", NULL);
        static const char optimal[] = "Optimal - objective value ";
        json_t *root = ask(folder, "1M", &code);
        if (text != NULL && strncmp(text, optimal, strlen(optimal)) == 0) {
            assert_int_equal(shown_cost(&m, root), llround(strtod(text + strlen(optimal), NULL)));
            assert_string_equal(json_text(root, "status"), "best");
            compared++;
            stopped += little_effort_says_no_more(folder, &m, json_units(root, "cost", 100));
        } else {
            assert_string_equal(json_text(root, "status"), "infeasible");
        }
        free(text);
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
    assert_true(compared >= 3 && stopped > 0);
}

/* Free postage at most of a dozen shops: what is done without --effort is enough to prove it. */
static void a_dozen_shops_are_proven(void **state)
{
    (void)state;
    if (sanitised())
        skip();                                     /* a long search, and others like it are short */
    static const uint64_t seed[] = {4, 18, 25, 27}; /* of the first thirty, those that take most */
    static Market m;
    for (size_t k = 0; k < sizeof seed / sizeof *seed; k++) {
        char *folder = folder_new();
        make_market(seed[k], CARDS_MOST, SHOPS_MOST, 60, &m);
        for (int o = 0; o < m.offers; o++) { /* a card costs much the same everywhere */
            TestOffer *offer = &m.offer[o];
            const int usual = 20 + offer->card * offer->card * 7 % 400;
            *offer = (TestOffer){offer->card, offer->shop, usual * (70 + offer->price / 5 * 37 % 80) / 100, -1, true};
        }
        for (int s = 0; s < m.shops; s++)
            m.shop[s] = (TestShop){200 + 50 * (s % 4), s == 0 ? -1 : 1500 + 500 * (s % 4), 0};
        write_market(folder, &m);
        json_t *root = run_answer(folder, 0, (const char *const[]){"order", ".", "--json", NULL});
        assert_string_equal(json_text(root, "status"), "best");
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_way_to_buy_is_tried),
        cmocka_unit_test(every_pool_is_tried),
        cmocka_unit_test(a_pool_is_found_from_the_order_of_the_list),
        cmocka_unit_test(cbc_finds_no_cheaper_order),
        cmocka_unit_test(a_dozen_shops_are_proven),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
