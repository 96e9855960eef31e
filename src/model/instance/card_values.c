/* card_values.c - what a model makes of each candidate: themes, price in force, fit, playability, class. */

#include "base/number.h"
#include "base/text.h"
#include "model/instance/instance_cache.h"

/* The cards of each theme by counting: how many each has, where each begins, then every card in its place. */
static void list_theme_cards(Instance *instance)
{
    const CardSet *cards = instance->cards;
    const size_t themes = instance->model->themes;
    const int *theme_of = instance->cache->theme_of;
    size_t *start = arena_alloc(instance->arena, themes + 1, sizeof *start), *next = mem_new(themes + 1, sizeof *next);
    for (size_t c = 0; c < cards->count; c++)
        for (size_t i = 0; i < cards->card[c].tags; i++)
            if (theme_of[cards->card[c].tag[i].tag] >= 0)
                start[theme_of[cards->card[c].tag[i].tag] + 1]++;
    for (size_t t = 0; t < themes; t++)
        next[t + 1] = start[t + 1] += start[t];
    instance->theme_start = start;
    instance->theme_card = arena_alloc(instance->arena, start[themes], sizeof *instance->theme_card);
    for (size_t c = 0; c < cards->count; c++)
        for (size_t i = 0; i < cards->card[c].tags; i++)
            if (theme_of[cards->card[c].tag[i].tag] >= 0)
                instance->theme_card[next[theme_of[cards->card[c].tag[i].tag]]++] = c;
    mem_free(next);
}

void match_themes(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    const CardSet *cards = instance->cards;
    InstanceCache *cache = instance->cache;
    cache->theme_tag = arena_alloc(instance->arena, model->themes, sizeof *cache->theme_tag);
    cache->theme_of = arena_alloc(instance->arena, cards->tags, sizeof *cache->theme_of);
    for (size_t k = 0; k < cards->tags; k++)
        cache->theme_of[k] = -1;
    for (size_t t = 0; t < model->themes; t++) {
        int tag = card_tag(cards, model->theme[t].name);
        cache->theme_tag[t] = tag;
        if (tag < 0) {
            const char *nearest =
                suggests_more(builder) ? text_nearest(model->theme[t].name, cards->tag, cards->tags) : NULL;
            diag_notice(builder->diags, model->theme[t].at, "no candidate is tagged for the theme '%s'%s",
                        model->theme[t].name, did_you_mean(nearest, instance->arena));
            continue;
        }
        cache->theme_of[tag] = (int)t;
    }
    list_theme_cards(instance);
}

const CardTag *instance_theme_tag(const Instance *instance, size_t theme, size_t card)
{
    const int tag = instance->cache->theme_tag[theme];
    return tag < 0 ? NULL : card_has_tag(&instance->cards->card[card], tag);
}

/* ---- prices ---- */

static bool prices_matter(const Model *model)
{
    bool matter = model->has_cap;
    for (size_t r = 0; r < model->rules + model->deck.rules; r++)
        matter = matter || (!model->rule[r].watch &&
                            (model->rule[r].measure == MEASURE_SPEND || model->rule[r].measure == MEASURE_PRICE));
    return matter;
}

/* One error for all of them: a list without prices would bury everything else. */
static void report_unpriced(const InstanceBuilder *builder)
{
    const Instance *instance = builder->instance;
    const CardSet *cards = instance->cards;
    Text names = {0};
    size_t count = 0;
    const Card *first = NULL;
    for (size_t c = 0; c < cards->count; c++) {
        const Card *card = &cards->card[c];
        if (!instance->unpriced[c] || card->owned >= card->copies || (instance->status[c] & STATUS_BAN) != 0)
            continue;
        first = first == NULL ? card : first;
        if (count++ < 5)
            text_printf(&names, "%s'%s' (line %d)", count == 1 ? "" : ", ", card->name, card->at.line);
    }
    const char *meant = count > 0 && !card_set_holds(cards, "price") ? column_meant(instance, "price") : NULL;
    if (meant != NULL)
        diag_error(
            builder->diags, first->at,
            "%zu %s no price: %s%s; if the column '%s' holds prices, write columns: {price: \"%s\"} into the model",
            count, count == 1 ? "candidate has" : "candidates have", text_cstr(&names), count > 5 ? ", ..." : "", meant,
            meant);
    else if (count > 0)
        diag_error(
            builder->diags, first->at,
            "%zu %s no price: %s%s; expected prices, or in the model 'unpriced: skip' (leaves them out) or an amount",
            count, count == 1 ? "candidate has" : "candidates have", text_cstr(&names), count > 5 ? ", ..." : "");
    text_release(&names);
}

void compute_prices(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    const CardSet *cards = instance->cards;
    for (size_t c = 0; c < cards->count; c++) {
        const Card *card = &cards->card[c];
        instance->unpriced[c] = !card->has_price;
        instance->price[c] = card->has_price                       ? card->price
                             : model->unpriced == UNPRICED_DEFAULT ? model->unpriced_default
                                                                   : 0;
        instance->skipped[c] = !card->has_price && model->unpriced == UNPRICED_SKIP && card->owned < card->copies;
        instance->skipped_count += instance->skipped[c];
        instance->unpriced_count += instance->unpriced[c] && !instance->skipped[c];
        instance->unscored_count += !card->has_power && !instance->skipped[c];
    }
    if (model->unpriced == UNPRICED_ERROR && prices_matter(model))
        report_unpriced(builder);
}

/* ---- fit ---- */

/* What power and tags come to before playability counts, millionths. tags: those themes that the card's fit holds. */
static int128 worth_of(const Instance *instance, size_t c, bool tags)
{
    const Model *model = instance->model;
    const Card *card = &instance->cards->card[c];
    int128 sum = (int128)(card->has_power ? card->power : model->unscored) * model->power_weight;
    for (size_t i = 0; tags && i < card->tags; i++) {
        const int t = instance->cache->theme_of[card->tag[i].tag];
        if (t >= 0 && !structure_counts_apart(instance, (size_t)t))
            sum += (int128)card->tag[i].weight * model->theme[t].weight;
    }
    return sum;
}

void instance_worth(const Instance *instance, size_t c, int64_t *power, int64_t *tags)
{
    const int128 alone = worth_of(instance, c, false);
    *power = (int64_t)(alone / 1000);
    *tags = (int64_t)((worth_of(instance, c, true) - alone) / 1000);
}

int64_t instance_points(const Instance *instance, size_t c, int points)
{
    const bool by_place = instance->model->structure->places.by_place && instance->place_limit[c] >= 0;
    const int128 worth = worth_of(instance, c, !by_place),
                 change = (int128)points * 1000 * instance->model->power_weight;
    return (int64_t)(structure_share(instance, c, worth + change) - structure_share(instance, c, worth));
}

void compute_fit(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const CardSet *cards = instance->cards;
    for (size_t c = 0; c < cards->count; c++) {
        const Card *card = &cards->card[c];
        const int128 fit = structure_share(instance, c, worth_of(instance, c, true));
        if (fit > NUMBER_LIMIT || fit < -NUMBER_LIMIT)
            diag_error(builder->diags, card->at,
                       "the fit of '%s' is too large; its power, its tags' weights or the model's weights are",
                       card->name);
        else
            instance->fit[c] = (int64_t)fit;
    }
}

/* ---- playability ---- */

typedef struct {
    ColourNeed need;
    int playable;
    bool used;
} NeedCount;

/* FNV-1a over the parts. */
static size_t hash_need(const ColourNeed *need)
{
    size_t hash = 2166136261U;
    for (int i = 0; i < need->parts; i++)
        hash = (hash ^ need->part[i]) * 16777619U;
    return hash;
}

static int count_playable(const ColourNeed *need, const ColourMask *deck, int decks)
{
    int playable = 0;
    for (int i = 0; i < decks; i++)
        playable += colours_playable(need, deck[i]);
    return playable;
}

/* Many cards need the same colours: each need is counted once. */
void compute_playable(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const CardSet *cards = instance->cards;
    size_t slots = 64;
    while (slots < cards->count * 2)
        slots *= 2;
    NeedCount *table = mem_new(slots, sizeof *table);
    const ColourMask *deck = model_decks(instance->model, instance->arena, &instance->decks);
    for (size_t c = 0; c < cards->count; c++) {
        const ColourNeed *need = &cards->card[c].colours;
        size_t at = hash_need(need) & (slots - 1);
        while (table[at].used && !colours_equal(&table[at].need, need))
            at = (at + 1) & (slots - 1);
        if (!table[at].used)
            table[at] =
                (NeedCount){.need = *need, .playable = count_playable(need, deck, instance->decks), .used = true};
        instance->playable[c] = table[at].playable;
    }
    mem_free(table);
}

/* ---- class ---- */

void compute_class(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    const CardSet *cards = instance->cards;
    bool has_fixing = model->has_fixing && prepare_filter(builder, &model->fixing);
    for (size_t c = 0; c < cards->count; c++) {
        const Card *card = &cards->card[c];
        bool fixing = has_fixing && filter_passes(instance, &model->fixing, NULL, c);
        instance->class[c] =
            fixing ? CLASS_FIXING : colours_class(&card->colours, card->symbols, model->hybrid_as_gold);
    }
}
