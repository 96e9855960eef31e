/* table.c - see table.h: what cards are worth, which decks play them, what decks need. */
#include "seats/table.h"

#include "base/number.h"
#include "seats/deal.h"

/* ---- cards ---- */

/* The card's tag for the theme, if the theme's colours can play the card; else NULL. */
static const CardTag *tag_in_theme(const Instance *in, size_t theme, size_t c)
{
    const CardTag *tag = instance_theme_tag(in, theme, c);
    return tag != NULL && colours_playable(&in->cards->card[c].colours, in->model->theme[theme].colours) ? tag : NULL;
}

static void list_tags(const Instance *in, const bool *unchosen, size_t c, Arena *arena, TableCard *card)
{
    TableTag *tag = arena_alloc(arena, in->model->themes, sizeof *tag);
    for (size_t t = 0; t < in->model->themes; t++) {
        const CardTag *of = tag_in_theme(in, t, c);
        if (of == NULL || (unchosen != NULL && unchosen[t]))
            continue;
        tag[card->tags++] =
            (TableTag){(int)t, (int64_t)round_div((int128)of->weight * in->model->theme[t].weight, 1000),
                       role_is_enabler(of->role), role_is_payoff(of->role)};
    }
    card->tag = tag;
}

static int64_t least_worth(const TableCard *card)
{
    int64_t least = card->power;
    for (int k = 0; k < card->tags; k++)
        least += card->tag[k].worth < 0 ? card->tag[k].worth : 0;
    return least;
}

static void list_cards(const Instance *in, const int *copies, int others, const bool *unchosen, Arena *arena,
                       DraftTable *t)
{
    size_t count;
    int *of = pool_cards(in, copies, others, &count);
    t->pool = (int)count;
    t->card = arena_alloc(arena, count, sizeof *t->card);
    t->plays = arena_alloc(arena, count * (size_t)t->decks, sizeof *t->plays);
    int128 sum = 0;
    for (size_t k = 0; k < count; k++) {
        TableCard *card = &t->card[k];
        *card = (TableCard){.card = of[k]};
        if (of[k] < 0)
            continue;
        const Card *candidate = &in->cards->card[of[k]];
        card->power = (int64_t)round_div(
            (int128)(candidate->has_power ? candidate->power : in->model->unscored) * in->model->power_weight, 1000);
        sum += magnitude64(card->power);
        list_tags(in, unchosen, (size_t)of[k], arena, card);
        t->least = least_worth(card) < t->least ? least_worth(card) : t->least;
        for (int d = 0; d < t->decks; d++)
            t->plays[k * (size_t)t->decks + (size_t)d] = colours_playable(&candidate->colours, t->deck[d]);
    }
    t->taste = (int64_t)(sum / (10 * (int128)(count > 0 ? count : 1)));
    mem_free(of);
}

/* ---- needs ---- */

static bool is_lower_count(const Rule *rule)
{
    return rule->measure == MEASURE_COUNT && rule->bounds.kind == BOUND_ABSOLUTE && rule->bounds.has_low &&
           rule->bounds.low > 0 && rule->each != EACH_PAIR;
}

static void add_need(const Instance *in, Arena *arena, DraftTable *t, size_t need, const Rule *rule, int colour,
                     int theme)
{
    bool *counts = arena_alloc(arena, in->cards->count, sizeof *counts);
    const ColourMask mask = (ColourMask)(colour >= 0  ? 1U << colour
                                         : theme >= 0 ? in->model->theme[theme].colours
                                                      : 0U);
    const RuleMember member = {.rule = rule,
                               .of = colour >= 0  ? in->model->colour[colour]
                                     : theme >= 0 ? in->model->theme[theme].name
                                                  : "",
                               .mask = mask,
                               .theme = theme,
                               .bounds = rule->bounds};
    for (size_t c = 0; c < in->cards->count; c++)
        counts[c] = member_counts(in, &member, c);
    t->need[t->needs++] = (TableNeed){need, (int)rule->bounds.low, colour, theme, counts};
}

static void add_rule(const Instance *in, Arena *arena, DraftTable *t, Drafts *drafts, const Rule *rule)
{
    const size_t need = drafts->needs++;
    const int members = rule->each == EACH_COLOUR  ? (int)in->model->colours
                        : rule->each == EACH_THEME ? (int)in->model->themes
                                                   : 1;
    drafts->need[need] = (DraftNeed){.name = rule->name, .rule = rule};
    for (int k = 0; k < members; k++)
        add_need(in, arena, t, need, rule, rule->each == EACH_COLOUR ? k : -1, rule->each == EACH_THEME ? k : -1);
}

static void add_package(const Instance *in, Arena *arena, DraftTable *t, Drafts *drafts, bool payoffs, int least)
{
    const size_t need = drafts->needs++;
    drafts->need[need] = (DraftNeed){.name = payoffs ? "payoffs" : "enablers"};
    for (int theme = 0; theme < (int)in->model->themes; theme++) {
        bool *counts = arena_alloc(arena, in->cards->count, sizeof *counts);
        for (size_t c = 0; c < in->cards->count; c++) {
            const CardTag *tag = tag_in_theme(in, (size_t)theme, c);
            counts[c] = tag != NULL && (payoffs ? role_is_payoff(tag->role) : role_is_enabler(tag->role));
        }
        t->need[t->needs++] = (TableNeed){need, least, -1, theme, counts};
    }
}

static void list_needs(const Instance *in, const Package *package, Arena *arena, DraftTable *t, Drafts *drafts)
{
    const Model *model = in->model;
    const size_t most = 3 + model->deck.rules, each = model->colours + model->themes + 1;
    bool of_themes = false;
    drafts->need = arena_alloc(arena, most, sizeof *drafts->need);
    t->need = arena_alloc(arena, most * each, sizeof *t->need);
    drafts->need[drafts->needs++] = (DraftNeed){.name = "cards"};
    t->need[t->needs++] = (TableNeed){0, drafts->deck_size, -1, -1, NULL};
    for (size_t r = 0; r < model->deck.rules; r++) {
        const Rule *rule = &model->rule[model->rules + r];
        if (!is_lower_count(rule))
            continue;
        of_themes = of_themes || rule->each == EACH_THEME;
        add_rule(in, arena, t, drafts, rule);
    }
    if (!of_themes && model->themes > 0) {
        add_package(in, arena, t, drafts, false, package->enablers);
        add_package(in, arena, t, drafts, true, package->payoffs);
    }
}

void table_make(const Instance *in, const int *copies, int others, const Drafting *drafting, const Package *package,
                Arena *arena, DraftTable *t, Drafts *drafts)
{
    *t = (DraftTable){.instance = in, .drafting = *drafting, .dealt = (int)drafting_cards(drafting, DRAW_DEALT)};
    t->deck = model_decks(in->model, arena, &t->decks);
    list_cards(in, copies, others, drafts->unchosen, arena, t);
    list_needs(in, package, arena, t, drafts);
}
