/* family.c - a pool of 360 from N invented candidates: four colours, six pairs, ten themes, prices with a long tail.
 *
 * Rows: the size; exact counts of mono and gold cards; bands on hybrid, colourless and fixing cards; a curve of five
 * bands and minima of removal and bodies per colour; minima of enablers, payoffs, gold and hybrid cards per theme; one
 * cap on all money, ten on themes' money. The caps come from a greedy pool at a price of money, so no solver takes part
 * in making a programme. `hard` takes more from each card: themes of all colours, one or two on each card, and caps on
 * their money that all bind. `pairs` adds 150 bonuses for two cards together, `places` gives each mono card one of
 * several places in its colour, with a number wanted for each. Places lie in a circle and a card fills one or two that
 * are next to each other, so Hall's rows for all arcs of the circle state the same as columns for places. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "support/family.h"

enum { COLOURS = 4, PAIRS = 6, THEMES = 10, MONO = 0, GOLD = 1, HYBRID = 2, COLOURLESS = 3, FIXING = 4 };
enum { PLACES = 7, BONUSES = 150, SIZE = 360 };

typedef struct {
    int kind, group; /* group: colour or pair */
    int cost;
    bool removal, body;
    int theme[2], role[2], themes; /* role 0 enabler, 1 payoff */
    int64_t fit, price, rise;
} Card;

static uint64_t bits_from(uint64_t *state)
{
    *state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static double uniform(uint64_t *state)
{
    return ((double)(bits_from(state) >> 11) + 0.5) / 9007199254740992.0;
}
static int below(uint64_t *state, int n)
{
    return (int)(bits_from(state) % (uint64_t)n);
}
static double normal(uint64_t *state)
{
    return sqrt(-2.0 * log(uniform(state))) * cos(6.283185307179586 * uniform(state));
}

/* Theme t belongs to pair t for t < 6, to all colours otherwise. */
static const int pair_of[PAIRS][2] = {{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}};

static bool theme_open_to(int theme, const Card *card, bool hard)
{
    if (hard || theme >= PAIRS || card->kind >= COLOURLESS)
        return true;
    if (card->kind != MONO)
        return card->group == theme;
    return pair_of[theme][0] == card->group || pair_of[theme][1] == card->group;
}

static Card draw_card(uint64_t *s, const FamilyOptions *options)
{
    Card card = {0};
    const double u = uniform(s);
    card.kind = u < 0.64 ? MONO : u < 0.80 ? GOLD : u < 0.86 ? HYBRID : u < 0.93 ? COLOURLESS : FIXING;
    card.group = below(s, card.kind == MONO ? COLOURS : PAIRS);
    card.cost = 1 + below(s, 3) + below(s, 4);
    card.removal = uniform(s) < 0.15;
    card.body = uniform(s) < 0.55;
    double fit = 5.0 + 1.6 * normal(s);
    const int wanted = options->hard ? 1 + below(s, 2) : below(s, 3);
    for (int k = 0; k < wanted; k++) {
        const int theme = below(s, THEMES);
        if (!theme_open_to(theme, &card, options->hard) || (card.themes == 1 && card.theme[0] == theme))
            continue;
        card.theme[card.themes] = theme;
        card.role[card.themes++] = uniform(s) < 0.35;
        fit += (double)(1 + below(s, 3)) * (0.8 + 0.1 * (double)(theme % 5));
    }
    const int64_t tenths = fit < 0.1 ? 1 : (int64_t)floor(fit * 10.0 + 0.5);
    const int64_t step = options->whole ? 1000 : options->step > 0 ? options->step : 100;
    card.fit = (tenths * 100 + step / 2) / step * step;
    card.price = (int64_t)floor(100.0 * exp(-0.6 + 1.3 * normal(s) + 0.12 * (fit - 5.0)) + 0.5);
    card.price = card.price < 5 ? 5 : card.price > 50000 ? 50000 : card.price;
    return card;
}

/* --- building by rows is easier to read; the columns are sorted out at the end --- */

typedef struct {
    int row, column;
    int64_t value;
} Entry;

typedef struct {
    Entry *entry;
    size_t count, capacity;
    int rows, columns;
    int64_t *row_low, *row_high;
    size_t row_capacity, high_capacity;
} Rows;

static int add_row(Rows *r, int64_t low, int64_t high)
{
    mem_reserve((void **)&r->row_low, &r->row_capacity, (size_t)r->rows + 1, sizeof *r->row_low);
    mem_reserve((void **)&r->row_high, &r->high_capacity, (size_t)r->rows + 1, sizeof *r->row_high);
    r->row_low[r->rows] = low;
    r->row_high[r->rows] = high;
    return r->rows++;
}

static void add_entry(Rows *r, int row, int column, int64_t value)
{
    mem_reserve((void **)&r->entry, &r->capacity, r->count + 1, sizeof *r->entry);
    r->entry[r->count++] = (Entry){row, column, value};
}

typedef bool Test(const Card *card, int a, int b);

static void count_row(Rows *r, const Card *cards, int n, Test *test, int a, int b, int64_t low, int64_t high)
{
    const int row = add_row(r, low, high);
    for (int j = 0; j < n; j++)
        if (test(&cards[j], a, b))
            add_entry(r, row, j, 1);
}

static bool in_class(const Card *c, int kind, int group)
{
    return c->kind == kind && (group < 0 || c->group == group);
}
static bool any_card(const Card *c, int a, int b)
{
    return c != NULL || a == b;
}
static bool in_band(const Card *c, int colour, int band)
{
    const int own = c->cost <= 1 ? 0 : c->cost >= 5 ? 4 : c->cost - 1;
    return c->kind == MONO && c->group == colour && own == band;
}
static bool at_cost(const Card *c, int colour, int band)
{
    return c->kind == MONO && c->group == colour && c->cost == band + 1;
}
static bool removes(const Card *c, int colour, int b)
{
    return c->kind == MONO && c->group == colour && c->removal && b == 0;
}
static bool bodied(const Card *c, int colour, int b)
{
    return c->kind == MONO && c->group == colour && c->body && b == 0;
}
static bool themed(const Card *c, int theme, int role)
{
    for (int k = 0; k < c->themes; k++)
        if (c->theme[k] == theme && (role < 0 || c->role[k] == role))
            return true;
    return false;
}
static bool themed_class(const Card *c, int theme, int kind)
{
    return c->kind == kind && themed(c, theme, -1);
}

static void curve_rows(Rows *r, const Card *cards, int n, int colour, bool hard)
{
    static const int64_t low[5] = {4, 10, 11, 8, 9}, high[5] = {8, 16, 17, 13, 14};
    static const int64_t hard_low[6] = {3, 8, 12, 12, 8, 3}, hard_high[6] = {7, 12, 17, 17, 12, 7};
    for (int b = 0; hard && b < 6; b++)
        count_row(r, cards, n, at_cost, colour, b, hard_low[b], hard_high[b]);
    for (int b = 0; !hard && b < 5; b++)
        count_row(r, cards, n, in_band, colour, b, low[b], high[b]);
}

static void rule_rows(Rows *r, const Card *cards, int n, bool hard)
{
    const int64_t mono = hard ? 2 : 0, gold = hard ? 1 : 0; /* either side of what is wanted */
    count_row(r, cards, n, any_card, 0, 0, SIZE, SIZE);
    for (int c = 0; c < COLOURS; c++) {
        count_row(r, cards, n, in_class, MONO, c, 58 - mono, 58 + mono);
        curve_rows(r, cards, n, c, hard);
        count_row(r, cards, n, removes, c, 0, 12, SEARCH_PLUS_INFINITY);
        count_row(r, cards, n, bodied, c, 0, 35, SEARCH_PLUS_INFINITY);
    }
    for (int p = 0; p < PAIRS; p++) {
        count_row(r, cards, n, in_class, GOLD, p, 9 - gold, 9 + gold);
        count_row(r, cards, n, in_class, HYBRID, p, 2, 4);
        count_row(r, cards, n, in_class, FIXING, p, 5, SEARCH_PLUS_INFINITY);
    }
    count_row(r, cards, n, in_class, COLOURLESS, -1, 18, 24);
    for (int t = 0; t < THEMES; t++) {
        count_row(r, cards, n, themed, t, 0, 12, SEARCH_PLUS_INFINITY);
        count_row(r, cards, n, themed, t, 1, 8, SEARCH_PLUS_INFINITY);
        count_row(r, cards, n, themed, t, -1, 22, 60);
        count_row(r, cards, n, themed_class, t, GOLD, 1, SEARCH_PLUS_INFINITY);
        count_row(r, cards, n, themed_class, t, HYBRID, 0, 8);
    }
}

/* --- caps --- */

static const Card *sorted_cards;
static double money_worth;

static int by_worth(const void *a, const void *b)
{
    const Card *x = &sorted_cards[*(const int *)a], *y = &sorted_cards[*(const int *)b];
    const double wx = (double)x->fit - money_worth * (double)x->price,
                 wy = (double)y->fit - money_worth * (double)y->price;
    if (wx != wy)
        return wx > wy ? -1 : 1;
    return *(const int *)a - *(const int *)b;
}

/* The pool that takes the best of each class at a worth of money; returns its cost, spend by theme in by_theme. */
static int64_t greedy_cost(const Card *cards, int n, double worth, int64_t *by_theme)
{
    int *order = mem_new((size_t)n, sizeof *order);
    int left[5][PAIRS] = {
        {58, 58, 58, 58, 0, 0}, {9, 9, 9, 9, 9, 9}, {3, 3, 3, 3, 3, 3}, {26, 0, 0, 0, 0, 0}, {5, 5, 5, 5, 5, 5}};
    int64_t cost = 0;
    for (int j = 0; j < n; j++)
        order[j] = j;
    sorted_cards = cards;
    money_worth = worth;
    qsort(order, (size_t)n, sizeof *order, by_worth);
    memset(by_theme, 0, THEMES * sizeof *by_theme);
    for (int k = 0; k < n; k++) {
        const Card *c = &cards[order[k]];
        int *places = &left[c->kind][c->kind == COLOURLESS ? 0 : c->group];
        if (*places == 0)
            continue;
        --*places;
        cost += c->price;
        for (int t = 0; t < c->themes; t++)
            by_theme[c->theme[t]] += c->price;
    }
    mem_free(order);
    return cost;
}

/* Four prices of five may rise, by a tenth to all of themselves. */
static void draw_rises(Card *cards, int n, uint64_t *s)
{
    for (int j = 0; j < n; j++) {
        const double u = uniform(s);
        cards[j].rise = uniform(s) < 0.8 ? (int64_t)((double)cards[j].price * (0.1 + 0.9 * u) + 0.5) : 0;
    }
}

/* The money rows come from `first` on: of all cards, and of the themes. Thresholds come after the n cards. */
static Protections *protect(const Card *cards, int n, int first, int gamma)
{
    Protections *protections = protections_new();
    int *column = mem_new((size_t)n, sizeof *column);
    int64_t *rise = mem_new((size_t)n, sizeof *rise);
    for (int t = -1; t < THEMES; t++) {
        int count = 0;
        for (int j = 0; j < n; j++)
            if (cards[j].rise > 0 && (t < 0 || themed(&cards[j], t, -1))) {
                column[count] = j;
                rise[count++] = cards[j].rise;
            }
        protections_add(protections, first + t + 1, n + t + 1, gamma, 1, count, column, rise);
    }
    mem_free(column);
    mem_free(rise);
    return protections;
}

static void money_rows(Rows *r, const Card *cards, int n, const FamilyOptions *options, uint64_t *s)
{
    int64_t by_theme[THEMES];
    const int64_t cap = greedy_cost(cards, n, 0.0, by_theme) * 2 / 5;
    double low = 0, high = 1000;
    for (int k = 0; k < 40; k++) {
        const double middle = (low + high) / 2;
        if (greedy_cost(cards, n, middle, by_theme) > cap)
            low = middle;
        else
            high = middle;
    }
    greedy_cost(cards, n, high, by_theme);
    int row = add_row(r, SEARCH_MINUS_INFINITY, cap);
    for (int j = 0; j < n; j++)
        add_entry(r, row, j, cards[j].price);
    for (int t = 0; t < THEMES; t++) {
        const int64_t most = options->hard       ? cap * (130 + below(s, 41)) / 1000
                             : options->all_bind ? by_theme[t] * 4 / 5
                                                 : by_theme[t] * 11 / 10;
        row = add_row(r, SEARCH_MINUS_INFINITY, most);
        for (int j = 0; j < n; j++)
            if (themed(&cards[j], t, -1))
                add_entry(r, row, j, cards[j].price);
    }
}

static int pair_columns(Rows *r, int n, uint64_t *s)
{
    for (int k = 0; k < BONUSES; k++) {
        const int a = below(s, n), b = (a + 1 + below(s, n - 1)) % n;
        const int one = add_row(r, SEARCH_MINUS_INFINITY, 0), other = add_row(r, SEARCH_MINUS_INFINITY, 0);
        add_entry(r, one, n + k, 1);
        add_entry(r, one, a, -1);
        add_entry(r, other, n + k, 1);
        add_entry(r, other, b, -1);
    }
    return BONUSES;
}

static const int64_t places_wanted[PLACES] = {15, 12, 9, 8, 6, 5, 3};

typedef struct {
    int first, count;
} Span; /* of places that a card may take */

static Span draw_span(uint64_t *s)
{
    Span span;
    span.first = below(s, PLACES);
    span.count = 1 + below(s, 2);
    return span;
}

static int place_columns(Rows *r, const Card *cards, int n, uint64_t *s)
{
    int rows[COLOURS][PLACES], added = 0;
    for (int c = 0; c < COLOURS; c++)
        for (int k = 0; k < PLACES; k++)
            rows[c][k] = add_row(r, places_wanted[k], places_wanted[k]);
    for (int j = 0; j < n; j++) {
        if (cards[j].kind != MONO)
            continue;
        const int one = add_row(r, 0, 0);
        const Span span = draw_span(s);
        add_entry(r, one, j, -1);
        for (int k = 0; k < span.count; k++, added++) {
            add_entry(r, one, n + added, 1);
            add_entry(r, rows[cards[j].group][(span.first + k) % PLACES], n + added, 1);
        }
    }
    return added;
}

/* The cards that fit nowhere but on an arc are no more than are wanted there. */
static void place_rows(Rows *r, const Card *cards, int n, uint64_t *s)
{
    int rows[COLOURS][PLACES][PLACES];
    for (int c = 0; c < COLOURS; c++)
        for (int from = 0; from < PLACES; from++) {
            int64_t wanted = 0;
            for (int length = 1; length < PLACES; length++) {
                wanted += places_wanted[(from + length - 1) % PLACES];
                rows[c][from][length] = add_row(r, SEARCH_MINUS_INFINITY, wanted);
            }
        }
    for (int j = 0; j < n; j++) {
        if (cards[j].kind != MONO)
            continue;
        const Span span = draw_span(s);
        for (int from = 0; from < PLACES; from++)
            for (int length = (span.first - from + PLACES) % PLACES + span.count; length < PLACES; length++)
                add_entry(r, rows[cards[j].group][from][length], j, 1);
    }
}

static int by_column(const void *a, const void *b)
{
    const Entry *x = a, *y = b;
    return x->column != y->column ? (x->column < y->column ? -1 : 1) : (x->row > y->row) - (x->row < y->row);
}

SearchProblem *family_new(const FamilyOptions *options)
{
    uint64_t state = options->seed * 1000003 + (uint64_t)options->candidates;
    const int n = options->candidates;
    Card *cards = mem_new((size_t)n, sizeof *cards);
    for (int j = 0; j < n; j++)
        cards[j] = draw_card(&state, options);
    Rows r = {0};
    rule_rows(&r, cards, n, options->hard);
    const int first_money = r.rows;
    money_rows(&r, cards, n, options, &state);
    r.columns = n;
    if (options->risen > 0) {
        draw_rises(cards, n, &state);
        r.columns += THEMES + 1;
    }
    if (options->shape == FAMILY_PAIRS)
        r.columns += pair_columns(&r, n, &state);
    if (options->shape == FAMILY_PLACES && options->places_as_rows)
        place_rows(&r, cards, n, &state);
    else if (options->shape == FAMILY_PLACES)
        r.columns += place_columns(&r, cards, n, &state);
    qsort(r.entry, r.count, sizeof *r.entry, by_column);
    SearchProblem *p = mem_new(1, sizeof *p);
    const size_t columns = (size_t)r.columns;
    p->columns = r.columns;
    p->rows = r.rows;
    p->kind = mem_new(columns, sizeof *p->kind);
    p->objective = mem_new(columns, sizeof *p->objective);
    p->low = mem_new(columns, sizeof *p->low);
    p->high = mem_new(columns, sizeof *p->high);
    p->start = mem_new(columns + 1, sizeof *p->start);
    p->row = mem_new(r.count, sizeof *p->row);
    p->value = mem_new(r.count, sizeof *p->value);
    p->row_low = r.row_low;
    p->row_high = r.row_high;
    for (int j = 0; j < r.columns; j++) {
        const bool bonus = j >= n && options->shape == FAMILY_PAIRS;
        p->kind[j] = bonus ? SEARCH_CONTINUOUS : SEARCH_BINARY;
        p->objective[j] = j < n   ? cards[j].fit
                          : bonus ? (options->whole ? 2000 : 500 + 100 * (int64_t)below(&state, 30))
                                  : 0;
        p->high[j] = 1;
    }
    for (int j = n; options->risen > 0 && j < n + THEMES + 1; j++) {
        p->kind[j] = SEARCH_CONTINUOUS;
        p->objective[j] = 0;
        for (int k = 0; k < n; k++)
            p->high[j] = cards[k].rise > p->high[j] ? cards[k].rise : p->high[j];
    }
    if (options->risen > 0)
        p->protections = protect(cards, n, first_money, options->risen);
    for (size_t k = 0; k < r.count; k++) {
        p->row[k] = r.entry[k].row;
        p->value[k] = r.entry[k].value;
        p->start[r.entry[k].column + 1] = k + 1;
    }
    for (size_t j = 0; j < columns; j++)
        if (p->start[j + 1] < p->start[j])
            p->start[j + 1] = p->start[j];
    mem_free(r.entry);
    mem_free(cards);
    return p;
}

void family_free(SearchProblem *p)
{
    search_problem_release(p);
    mem_free(p);
}
