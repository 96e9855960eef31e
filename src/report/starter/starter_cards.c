/* starter_cards.c - sample cards for a new folder: half as many again as the rules ask for, so that there is something
 * to choose. They say of themselves that they are samples. Costs, powers and prices go round in fixed steps. */
#include "report/sheet/sheet_out.h"
#include "report/starter/starter.h"

typedef struct {
    const StarterPlan *plan;
    Text *out;
    int line; /* of all cards so far: moves powers and prices along */
} Samples;

static const int mono_cost[] = {1, 2, 2, 3, 3, 4, 5, 1, 2, 3, 4, 4, 6, 2, 5};
static const int other_cost[] = {2, 3, 1, 4, 3, 5, 2, 4};

/* name, colours, kind, cost, power, price, tags, owned, status, text */
static void add_card(Samples *s, const char *name, const char *colours, const char *kind, int cost, const char *tags,
                     const char *text)
{
    const bool commas = s->plan->semicolons;
    const int power = 40 + s->line * 29 % 50, price = 10 + s->line * 37 % 40 * 5;
    Arena *arena = arena_new();
    const char *cell[] = {name,
                          colours,
                          kind,
                          cost > 0 ? arena_printf(arena, "%d", cost) : "",
                          sheet_number(arena, commas, arena_printf(arena, "%d.%d", power / 10, power % 10)),
                          sheet_number(arena, commas, arena_printf(arena, "%d.%02d", price / 100, price % 100)),
                          tags,
                          "",
                          "",
                          text};
    sheet_line(s->out, cell, sizeof cell / sizeof *cell, starter_separator(s->plan));
    arena_free(arena);
    s->line++;
}

static int themes_with(const StarterPlan *plan, ColourMask mask)
{
    int count = 0;
    for (size_t t = 0; t < plan->themes; t++)
        count += (plan->theme[t].colours & mask) == mask;
    return count;
}

static const StarterTheme *theme_at(const StarterPlan *plan, ColourMask mask, int index)
{
    for (size_t t = 0; t < plan->themes; t++)
        if ((plan->theme[t].colours & mask) == mask && index-- == 0)
            return &plan->theme[t];
    return NULL;
}

/* Tags for half of the themes that hold these colours, in turn; every third a payoff. */
static void add_theme_tags(const StarterPlan *plan, ColourMask mask, int k, Text *tags)
{
    int themes = themes_with(plan, mask);
    for (int j = 0; j < (themes + 1) / 2; j++) {
        const StarterTheme *theme = theme_at(plan, mask, (k + j) % themes);
        bool payoff = (k / themes + j) % 3 == 0;
        text_printf(tags, "%s%s %s %d", tags->length > 0 ? "; " : "", theme->name, payoff ? "payoff" : "enabler",
                    1 + (k + j) % 3);
    }
}

static void add_mono(Samples *s, size_t colour, int count)
{
    for (int k = 0; k < count; k++) {
        Text name = {0}, tags = {0};
        bool removal = k % 4 == 3;
        text_printf(&name, "Sample %s %d", s->plan->colour[colour], k + 1);
        text_add(&tags, removal ? "removal" : "");
        add_theme_tags(s->plan, (ColourMask)(1U << colour), k, &tags);
        add_card(s, text_cstr(&name), s->plan->colour[colour], removal || k % 3 == 2 ? "action" : "body",
                 mono_cost[k % 15], text_cstr(&tags), "A sample; put your own cards in its place.");
        text_release(&name);
        text_release(&tags);
    }
}

static void add_pair(Samples *s, size_t a, size_t b, char join, const char *kind, const char *label, int count)
{
    for (int k = 0; k < count; k++) {
        Text name = {0}, tags = {0}, colours = {0};
        text_printf(&name, "Sample %s %s and %s %d", label, s->plan->colour[a], s->plan->colour[b], k + 1);
        text_printf(&colours, "%s%c%s", s->plan->colour[a], join, s->plan->colour[b]);
        if (kind[0] != 's')
            add_theme_tags(s->plan, (ColourMask)(1U << a | 1U << b), k, &tags);
        add_card(s, text_cstr(&name), text_cstr(&colours), kind, kind[0] == 's' ? 0 : other_cost[k % 8],
                 text_cstr(&tags), "A sample; put your own cards in its place.");
        text_release(&name);
        text_release(&tags);
        text_release(&colours);
    }
}

void starter_cards(const StarterPlan *plan, Text *out)
{
    StarterNumbers n;
    starter_numbers(plan, &n);
    Samples s = {.plan = plan, .out = out};
    static const char *const header[] = {"name",  "colours", "kind",  "cost",   "power",
                                         "price", "tags",    "owned", "status", "text"};
    sheet_begin_marked(out, plan->semicolons);
    sheet_line(out, header, sizeof header / sizeof *header, starter_separator(plan));
    int placed = 0;
    for (size_t c = 0; c < plan->colours; c++) {
        int spare = n.mono / 2 + 3, themes = themes_with(plan, (ColourMask)(1U << c));
        add_mono(&s, c, n.mono + spare > themes ? n.mono + spare : themes);
        placed += n.mono;
    }
    int in_pairs = 0;
    for (size_t a = 0; a < plan->colours; a++)
        for (size_t b = a + 1; b < plan->colours; b++) {
            add_pair(&s, a, b, '+', "body", "gold", n.gold + n.gold / 2 + 2);
            add_pair(&s, a, b, '/', "action", "hybrid", n.hybrid + 2);
            add_pair(&s, a, b, '/', "source", "source", n.fixing + n.fixing / 2 + 2);
            in_pairs += n.gold + n.hybrid + n.fixing;
        }
    placed += in_pairs;
    int rest = plan->size - placed > 0 ? plan->size - placed : 0;
    for (int k = 0; k < rest + n.colourless + 3; k++) {
        Text name = {0};
        text_printf(&name, "Sample colourless %d", k + 1);
        add_card(&s, text_cstr(&name), "", k % 2 == 0 ? "body" : "action", other_cost[k % 8], "",
                 "A sample; put your own cards in its place.");
        text_release(&name);
    }
}
