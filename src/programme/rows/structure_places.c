/* structure_places.c - rows that say that a colour's mono cards can fill its places.
 *
 * Where fit ignores the place, no card is assigned: by Hall's theorem (P. Hall, "On representatives of subsets", J.
 * London Math. Soc. 10, 1935) the places can be filled exactly if for every set of themes the chosen copies tagged for
 * one of them are at least the set's places. A set is left out where others imply it: one that falls into parts that no
 * card connects (its row is the sum of theirs), and one to which a theme can be added whose cards all serve it already
 * (that row asks for more of the same cards). Where that would still be many rows, copies that serve the same themes
 * are assigned together: one column for each such kind of card and theme, so that there are no symmetric copies. With
 * `by_place` each card has a column for each of its themes, and its tag's fit is there. */
#include "base/memory.h"
#include "programme/rows/structure.h"

#define HALL_ROWS 63 /* more than six themes that all hang together are assigned */
#define HALL_THEMES 10

typedef struct {
    Builder *b;
    const Limit *places;
    uint64_t *mask; /* [cards] themes that the card serves; 0: none, or it fills no place of this colour */
    uint64_t *kind; /* the different masks, in order of first appearance */
    size_t kinds;
} Hall;

static ProgrammeRow row_of(const Hall *h)
{
    return (ProgrammeRow){.role = ROW_LIMIT, .limit = h->places, .card = -1, .form = -1};
}

static int chosen_of(const Hall *h, size_t k)
{
    return h->b->chosen_column[h->places->of_theme[k]];
}

static bool fills(const Hall *h, size_t card)
{
    const Instance *in = h->b->instance;
    return in->place_limit[card] >= 0 && &in->limit[in->place_limit[card]] == h->places;
}

static void read_masks(Hall *h)
{
    const Instance *in = h->b->instance;
    const size_t cards = in->cards->count;
    for (size_t c = 0; c < cards; c++) {
        if (!fills(h, c) || in->most[c] <= 0)
            continue;
        for (size_t k = 0; k < h->places->of_themes; k++)
            if (instance_theme_tag(in, (size_t)h->places->of_theme[k], c) != NULL)
                h->mask[c] |= UINT64_C(1) << k;
        size_t at = 0;
        while (at < h->kinds && h->kind[at] != h->mask[c])
            at++;
        if (h->mask[c] != 0 && at == h->kinds)
            h->kind[h->kinds++] = h->mask[c];
    }
}

/* ---- Hall's rows ---- */

static bool hangs_together(const Hall *h, uint64_t set)
{
    uint64_t reached = set & (~set + 1), before = 0;
    while (reached != before) {
        before = reached;
        for (size_t i = 0; i < h->kinds; i++)
            if ((h->kind[i] & reached) != 0)
                reached |= h->kind[i] & set;
    }
    return reached == set;
}

/* Is there a theme outside the set all of whose cards serve the set? */
static bool is_outdone(const Hall *h, uint64_t set)
{
    for (size_t k = 0; k < h->places->of_themes; k++) {
        const uint64_t bit = UINT64_C(1) << k;
        bool any = false, all = true;
        for (size_t i = 0; i < h->kinds && (set & bit) == 0; i++) {
            if ((h->kind[i] & bit) == 0)
                continue;
            any = true;
            all = all && (h->kind[i] & set) != 0;
        }
        if (any && all)
            return true;
    }
    return false;
}

static bool matters(const Hall *h, uint64_t set)
{
    return hangs_together(h, set) && !is_outdone(h, set);
}

static size_t count_sets(const Hall *h)
{
    size_t sets = 0;
    for (uint64_t set = 1; set < UINT64_C(1) << h->places->of_themes; set++)
        sets += matters(h, set);
    return sets;
}

/* Ends a row that asks for the places of the set's themes. */
static void end_demand(const Hall *h, uint64_t set)
{
    int64_t demand = 0;
    for (size_t k = 0; k < h->places->of_themes; k++) {
        if ((set >> k & 1) == 0)
            continue;
        if (chosen_of(h, k) >= 0)
            builder_entry(h->b, chosen_of(h, k), -h->places->count[k]);
        else
            demand += h->places->count[k];
    }
    h->b->low = demand;
    builder_end(h->b);
}

static void add_hall_row(const Hall *h, uint64_t set)
{
    builder_begin(h->b, row_of(h), 0, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < h->b->instance->cards->count; c++)
        if ((h->mask[c] & set) != 0)
            builder_copies(h->b, c, 1);
    end_demand(h, set);
}

/* ---- kinds of cards assigned ---- */

static bool is_single(uint64_t mask)
{
    return (mask & (mask - 1)) == 0;
}

static void assign_kinds(const Hall *h)
{
    Builder *b = h->b;
    const size_t themes = h->places->of_themes;
    int *column = mem_new(h->kinds * themes, sizeof *column);
    for (size_t i = 0; i < h->kinds; i++) {
        if (is_single(h->kind[i]))
            continue;
        size_t first = 0;
        while (h->mask[first] != h->kind[i])
            first++;
        for (size_t k = 0; k < themes; k++)
            if ((h->kind[i] >> k & 1) != 0)
                column[i * themes + k] = builder_column(b,
                                                        (ProgrammeColumn){.role = COLUMN_KIND_PLACE,
                                                                          .card = (long)first,
                                                                          .limit = h->places,
                                                                          .form = -1,
                                                                          .theme = h->places->of_theme[k]},
                                                        0, 0, h->places->count[k]);
        builder_begin(b, row_of(h), 0, SEARCH_PLUS_INFINITY);
        for (size_t c = 0; c < b->instance->cards->count; c++)
            if (h->mask[c] == h->kind[i])
                builder_copies(b, c, 1);
        for (size_t k = 0; k < themes; k++)
            if ((h->kind[i] >> k & 1) != 0)
                builder_entry(b, column[i * themes + k], -1);
        builder_end(b);
    }
    for (size_t k = 0; k < themes; k++) {
        const uint64_t bit = UINT64_C(1) << k;
        builder_begin(b, row_of(h), 0, SEARCH_PLUS_INFINITY);
        for (size_t c = 0; c < b->instance->cards->count; c++)
            if (h->mask[c] == bit)
                builder_copies(b, c, 1);
        for (size_t i = 0; i < h->kinds; i++)
            if (!is_single(h->kind[i]) && (h->kind[i] & bit) != 0)
                builder_entry(b, column[i * themes + k], 1);
        end_demand(h, bit);
    }
    mem_free(column);
}

/* ---- cards assigned ---- */

static void assign_cards(const Hall *h)
{
    Builder *b = h->b;
    const Instance *in = b->instance;
    const size_t cards = in->cards->count, themes = h->places->of_themes;
    int *column = mem_new(cards * themes, sizeof *column);
    for (size_t c = 0; c < cards; c++) {
        if (h->mask[c] == 0)
            continue;
        for (size_t k = 0; k < themes; k++) {
            if ((h->mask[c] >> k & 1) == 0)
                continue;
            int64_t most = in->most[c] < h->places->count[k] ? in->most[c] : h->places->count[k];
            ProgrammeColumn about = {
                .role = COLUMN_PLACE, .card = (long)c, .limit = h->places, .form = -1, .theme = h->places->of_theme[k]};
            column[c * themes + k] =
                builder_column(b, about, in->part[(size_t)h->places->of_theme[k] * cards + c], 0, most);
        }
        builder_begin(b, row_of(h), 0, SEARCH_PLUS_INFINITY);
        builder_copies(b, c, 1);
        for (size_t k = 0; k < themes; k++)
            if ((h->mask[c] >> k & 1) != 0)
                builder_entry(b, column[c * themes + k], -1);
        builder_end(b);
    }
    for (size_t k = 0; k < themes; k++) {
        builder_begin(b, row_of(h), h->places->count[k], h->places->count[k]);
        for (size_t c = 0; c < cards; c++)
            if ((h->mask[c] >> k & 1) != 0)
                builder_entry(b, column[c * themes + k], 1);
        builder_end(b);
    }
    mem_free(column);
}

static void add_total(const Hall *h)
{
    if (!h->places->has_all)
        return;
    builder_begin(h->b, row_of(h), h->places->all_low, h->places->all_high);
    for (size_t c = 0; c < h->b->instance->cards->count; c++)
        if (fills(h, c))
            builder_copies(h->b, c, 1);
    builder_end(h->b);
}

void structure_place_rows(Builder *b, const Limit *limit)
{
    const size_t cards = b->instance->cards->count;
    Hall h = {.b = b, .places = limit};
    h.mask = mem_new(cards, sizeof *h.mask);
    h.kind = mem_new(cards, sizeof *h.kind);
    read_masks(&h);
    add_total(&h);
    if (b->instance->model->structure->places.by_place)
        assign_cards(&h);
    else if (h.places->of_themes > HALL_THEMES || count_sets(&h) > HALL_ROWS)
        assign_kinds(&h);
    else
        for (uint64_t set = 1; set < UINT64_C(1) << h.places->of_themes; set++)
            if (matters(&h, set))
                add_hall_row(&h, set);
    mem_free(h.mask);
    mem_free(h.kind);
}
