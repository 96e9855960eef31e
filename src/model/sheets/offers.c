/* offers.c - see offers.h. */
#include "model/sheets/offers.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"

#define STOCK_MOST 1000000
#define WORDS_MOST 64 /* different words that `accept` leaves out; further ones are not told */

/* A line that says that a card is sold out. */
typedef struct {
    size_t shop, next;                /* next: of the same card, from 1 on; 0: none */
    const char *condition, *language; /* "" where nothing is said */
    SourcePos at;
} SoldOut;

struct Offers {
    const InstanceBuilder *builder;
    SoldOut *sold;
    size_t *last_sold; /* [cards] of each card the last line that says so, from 1 on */
    size_t solds, sold_capacity;
    bool older; /* what is read is older than the lines in sold */
    ShopOffer *offer;
    size_t offer_capacity;
    OfferShop *shop;
    size_t shop_capacity;
    bool *accepted[ACCEPT_KEYS]; /* [Model.accepts[k]] some line has the word */
    const char *refused[ACCEPT_KEYS][WORDS_MOST];
    size_t refusals[ACCEPT_KEYS];
};

Offers *offers_new(const InstanceBuilder *builder)
{
    Offers *offers = mem_new(1, sizeof *offers);
    offers->builder = builder;
    offers->last_sold = mem_new(builder->instance->cards->count, sizeof *offers->last_sold);
    for (int k = 0; k < ACCEPT_KEYS; k++)
        offers->accepted[k] = mem_new(builder->instance->model->accepts[k], sizeof *offers->accepted[k]);
    return offers;
}

static const char *text_at(const MatchedSheet *side, int column)
{
    return column < 0 ? "" : matched_cell(side, column)->text;
}

/* ---- conditions and languages ---- */

/* Is the word one of those that count? What says nothing counts. */
static bool accepts(Offers *offers, int key, const char *word)
{
    const Model *model = offers->builder->instance->model;
    const long known = text_find(word, model->accept[key], model->accepts[key]);
    if (known >= 0)
        offers->accepted[key][known] = true;
    if (known >= 0 || model->accepts[key] == 0 || word[0] == '\0')
        return true;
    if (offers->refusals[key] < WORDS_MOST && text_find(word, offers->refused[key], offers->refusals[key]) < 0)
        offers->refused[key][offers->refusals[key]++] = word;
    return false;
}

static const char *near_refused(const Offers *offers, int key, size_t word)
{
    return offers->accepted[key][word] ? NULL
                                       : text_nearest(offers->builder->instance->model->accept[key][word],
                                                      offers->refused[key], offers->refusals[key]);
}

/* A word that no line has, while lines with almost that word are left out, or all that say anything. */
static void tell_idle_words(const Offers *offers, int key)
{
    const Instance *instance = offers->builder->instance;
    const Model *model = instance->model;
    bool told = false, any = offers->refusals[key] == 0;
    for (size_t i = 0; i < model->accepts[key]; i++) {
        const char *near = near_refused(offers, key, i);
        any = any || offers->accepted[key][i];
        told = told || near != NULL;
        if (near != NULL)
            diag_notice(offers->builder->diags, model->accept_at[key],
                        "no price has the %s '%s', which `accept` asks for, and lines with '%s' do not count%s",
                        accept_fields.field[key].name, model->accept[key][i], near,
                        did_you_mean(near, instance->arena));
    }
    if (!told && !any)
        diag_notice(offers->builder->diags, model->accept_at[key],
                    "no price has a %s that `accept` asks for: lines with '%s'%s do not count",
                    accept_fields.field[key].name, offers->refused[key][0],
                    offers->refusals[key] > 1 ? " and other words" : "");
}

/* ---- a line ---- */

static size_t find_shop(Offers *offers, const char *name)
{
    Instance *instance = offers->builder->instance;
    const Model *model = instance->model;
    const char *folded = text_fold_in(instance->arena, name);
    for (size_t s = 0; s < instance->shops; s++)
        if (strcmp(offers->shop[s].folded, folded) == 0)
            return s;
    mem_reserve((void **)&offers->shop, &offers->shop_capacity, instance->shops + 1, sizeof *offers->shop);
    OfferShop *shop = &offers->shop[instance->shops];
    *shop = (OfferShop){.name = name, .folded = folded};
    for (size_t s = 0; s < model->shops; s++)
        if (strcmp(model->shop[s].folded, folded) == 0)
            shop->terms = &model->shop[s];
    return instance->shops++;
}

static void note_sold_out(Offers *offers, const ShopOffer *line)
{
    mem_reserve((void **)&offers->sold, &offers->sold_capacity, offers->solds + 1, sizeof *offers->sold);
    offers->sold[offers->solds++] = (SoldOut){.shop = line->shop,
                                              .next = offers->last_sold[line->card],
                                              .condition = line->condition,
                                              .language = line->language,
                                              .at = line->at};
    offers->last_sold[line->card] = offers->solds;
}

/* What says nothing may be the same. */
static bool may_be_same(const char *a, const char *b)
{
    return a[0] == '\0' || b[0] == '\0' || text_find(a, &b, 1) >= 0;
}

/* The last line of another list that says that what the offer offers is sold out; NULL: none. */
static const SoldOut *find_sold_out(const Offers *offers, const ShopOffer *offer)
{
    for (size_t k = offers->last_sold[offer->card]; k > 0; k = offers->sold[k - 1].next) {
        const SoldOut *sold = &offers->sold[k - 1];
        if (sold->shop == offer->shop && strcmp(sold->at.file, offer->at.file) != 0 &&
            may_be_same(sold->condition, offer->condition) && may_be_same(sold->language, offer->language))
            return sold;
    }
    return NULL;
}

void offers_older(Offers *offers)
{
    offers->older = true;
}

OfferKind offers_take(Offers *offers, MatchedSheet *side, const OfferColumns *column, size_t card, int64_t price)
{
    Instance *instance = offers->builder->instance;
    int64_t stock = -1;
    if (text_at(side, column->stock)[0] != '\0' &&
        (matched_number(side, matched_cell(side, column->stock), 0, &stock) != NUMBER_OK || stock < 0 ||
         stock > STOCK_MOST)) {
        matched_report(side, matched_cell(side, column->stock), "a whole number of copies, 0 or more");
        return OFFER_NONE;
    }
    if (price < 0 && stock != 0)
        return OFFER_NONE;
    const char *condition = text_at(side, column->accept[ACCEPT_CONDITION]),
               *language = text_at(side, column->accept[ACCEPT_LANGUAGE]);
    const bool good = accepts(offers, ACCEPT_CONDITION, condition), read = accepts(offers, ACCEPT_LANGUAGE, language);
    if (!good || !read || (stock == 0 && offers->older))
        return OFFER_NONE;
    const ShopOffer offer = {.card = card,
                             .shop = find_shop(offers, text_at(side, column->shop)),
                             .price = price,
                             .stock = (int)stock,
                             .condition = condition,
                             .language = language,
                             .at = sheet_pos(&side->sheet, matched_cell(side, column->price))};
    if (stock == 0) {
        note_sold_out(offers, &offer);
        instance->sold_out[card] = true;
        return OFFER_NONE;
    }
    if (offers->older && find_sold_out(offers, &offer) != NULL) {
        instance->sold_out[card] = true;
        return OFFER_SOLD_OUT;
    }
    mem_reserve((void **)&offers->offer, &offers->offer_capacity, instance->offers + 1, sizeof *offers->offer);
    offers->offer[instance->offers++] = offer;
    return OFFER_COUNTS;
}

/* ---- shops ---- */

/* A shop of the model that sells nothing is likely misspelt there or in the sheets. */
static void tell_idle_shops(const Offers *offers)
{
    const Instance *instance = offers->builder->instance;
    const Model *model = instance->model;
    const char **name = mem_new(instance->shops, sizeof *name);
    size_t names = 0;
    for (size_t s = 0; s < instance->shops; s++)
        if (offers->shop[s].name[0] != '\0')
            name[names++] = offers->shop[s].name;
    for (size_t s = 0; s < model->shops && instance->offers > 0; s++) {
        const Shop *shop = &model->shop[s];
        if (text_find(shop->name, name, names) >= 0)
            continue;
        const char *why = names > 0 ? did_you_mean(text_nearest(shop->name, name, names), instance->arena)
                                    : ": their sheets have no column 'shop', or nothing in it";
        diag_notice(offers->builder->diags, shop->at, "no price that counts is from the shop '%s'%s", shop->name, why);
    }
    mem_free(name);
}

/* ---- one list after the other ---- */

/* What a sheet offers of a card in a shop at the least. */
typedef struct {
    size_t card, shop, sheet; /* sheet: the index of the first offer that is from it */
    int64_t price;
} Least;

static int by_shop(const void *a, const void *b)
{
    const Least *x = a, *y = b;
    if (x->card != y->card)
        return x->card < y->card ? -1 : 1;
    if (x->shop != y->shop)
        return x->shop < y->shop ? -1 : 1;
    if (x->sheet != y->sheet)
        return x->sheet < y->sheet ? -1 : 1;
    return (x->price > y->price) - (x->price < y->price);
}

/* Two lists of one shop, as far as they say, as of two months: a price that has risen does not count. */
static void tell_pair(const Offers *offers, const Least *least, size_t count, size_t one, size_t other)
{
    size_t others = 0, first = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t k = i + 1;
             least[i].sheet == one && k < count && least[k].card == least[i].card && least[k].shop == least[i].shop;
             k++)
            if (least[k].sheet == other && least[k].price != least[i].price) {
                first = others == 0 ? least[i].card : first;
                others++;
            }
    if (others == 0)
        return;
    diag_notice(offers->builder->diags, (SourcePos){.file = offers->offer[other].at.file},
                "%zu %s another price in '%s', such as '%s', and the cheaper counts. Where one list is the newer one, "
                "name it alone, or bring it in with --prices; where they are of two shops, say so in a column 'shop'",
                others, others == 1 ? "card has" : "cards have", offers->offer[one].at.file,
                offers->builder->instance->cards->card[first].name);
}

static void tell_lists(const Offers *offers)
{
    const size_t count = offers->builder->instance->offers;
    Least *least = mem_new(count, sizeof *least);
    size_t kept = 0, sheets = 0, *sheet = mem_new(count, sizeof *sheet);
    for (size_t i = 0; i < count; i++) {
        const ShopOffer *offer = &offers->offer[i];
        if (i == 0 || strcmp(offer->at.file, offers->offer[i - 1].at.file) != 0)
            sheet[sheets++] = i;
        least[i] = (Least){.card = offer->card, .shop = offer->shop, .sheet = sheet[sheets - 1], .price = offer->price};
    }
    if (sheets > 1) {
        sort_stable(least, count, sizeof *least, by_shop);
        for (size_t i = 0; i < count; i++)
            if (i == 0 || least[i].card != least[kept - 1].card || least[i].shop != least[kept - 1].shop ||
                least[i].sheet != least[kept - 1].sheet)
                least[kept++] = least[i];
    }
    for (size_t s = 1; s < sheets; s++)
        for (size_t k = 0; k < s; k++)
            tell_pair(offers, least, kept, sheet[k], sheet[s]);
    mem_free(sheet);
    mem_free(least);
}

/* What one list offers is sold out by another, and nothing says which is the newer one. */
static void tell_sold_out(const Offers *offers)
{
    const Instance *instance = offers->builder->instance;
    const ShopOffer *first = NULL;
    size_t found = 0;
    for (size_t i = 0; i < instance->offers; i++)
        if (find_sold_out(offers, &offers->offer[i]) != NULL && found++ == 0)
            first = &offers->offer[i];
    if (found == 0)
        return;
    diag_notice(offers->builder->diags, find_sold_out(offers, first)->at,
                "'%s' is sold out here and for sale in '%s', which counts (%zu offer%s such). Where one list is the "
                "newer one, name it alone, or bring it in with --prices; where they are of two shops, say so in a "
                "column 'shop'",
                instance->cards->card[first->card].name, first->at.file, found, found == 1 ? " is" : "s are");
}

void offers_keep(Offers *offers)
{
    Instance *instance = offers->builder->instance;
    tell_idle_shops(offers);
    for (int k = 0; k < ACCEPT_KEYS; k++)
        tell_idle_words(offers, k);
    tell_lists(offers);
    tell_sold_out(offers);
    instance->offer = arena_alloc(instance->arena, instance->offers, sizeof *instance->offer);
    instance->shop = arena_alloc(instance->arena, instance->shops, sizeof *instance->shop);
    if (instance->offers > 0) {
        memcpy(instance->offer, offers->offer, instance->offers * sizeof *offers->offer);
        memcpy(instance->shop, offers->shop, instance->shops * sizeof *offers->shop);
    }
    for (int k = 0; k < ACCEPT_KEYS; k++)
        mem_free(offers->accepted[k]);
    mem_free(offers->sold);
    mem_free(offers->last_sold);
    mem_free(offers->offer);
    mem_free(offers->shop);
    mem_free(offers);
}
