/* price_sheets.c - prices: of all lines for a card the cheapest counts, in the model's currency, with its low, high and
 * date. Whatever the order of lines, the result is the same: of equally cheap ones that with the lower high, then the
 * higher low, then the later date. */
#include <string.h>

#include "base/currency.h"
#include "base/near.h"
#include "base/number.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet_dates.h"
#include "model/sheets/money.h"
#include "model/sheets/matched_sheet.h"
#include "model/sheets/offers.h"

#define SHOWN 5
#define NEAR_LOOKED_AT 20

typedef struct {
    int64_t price, low, high;
    bool has_high; /* its line says one */
    int day;       /* DAY_UNKNOWN: no date */
    SourcePos at;
} Printing;

typedef struct {
    const char *name;
    SourcePos at;
} Stray;

typedef struct {
    const InstanceBuilder *builder;
    MoneyExchange exchange;
    const SheetCell **doubtful; /* of each column in this sheet the first amount that may be in thousands */
    const SheetCell **too_fine; /* likewise that has too many decimals */
    const char *in_header;      /* the currency that the header of this sheet's prices says, or "" */
    DateOrder order;            /* of the dates in this sheet */
    Printing *best;             /* [cards] */
    bool *met;                  /* [cards] */
    Printing *gone;             /* [cards] likewise of older lines whose offers are sold out by newer ones */
    bool *had;                  /* [cards] */
    bool *newer;                /* [cards] a newer sheet has its price, so older ones do not count; NULL: all count */
    Stray *stray;               /* lines that name no candidate */
    size_t strays, capacity;
    size_t highs_lost; /* cards whose newer price says no high, where an older line does */
    Offers *offers;
} Prices;

/* Is a a better choice than b? */
static bool is_better(const Printing *a, const Printing *b)
{
    if (a->price != b->price)
        return a->price < b->price;
    if (a->high != b->high)
        return a->high < b->high;
    if (a->low != b->low)
        return a->low > b->low;
    return a->day > b->day;
}

static void keep_better(const Printing *printing, Printing *best, bool *met)
{
    if (!*met || is_better(printing, best))
        *best = *printing;
    *met = true;
}

/* Money in the cell; blank leaves *cents. False when reported. */
static bool read_amount(Prices *prices, MatchedSheet *side, const SheetCell *cell, const char *currency, int64_t *cents)
{
    if (cell->text[0] == '\0')
        return true;
    int64_t value = 0;
    const NumberStatus status = matched_money(side, cell, &value);
    const size_t at = (size_t)(cell - side->row->cell);
    const char *header = side->sheet.header.cell[at].text;
    if (status == NUMBER_DOUBTFUL) {
        const SheetCell **first = &prices->doubtful[at];
        char hint[NUMBER_HINT];
        number_thousands_hint(hint, *first != NULL ? (*first)->text : cell->text);
        sheet_report_as_first(&side->sheet, header, cell, first, hint, 0, prices->builder->diags);
        return false;
    }
    if (status == NUMBER_TOO_FINE) {
        sheet_report_as_first(&side->sheet, header, cell, &prices->too_fine[at], "money with at most 2 decimals", 2,
                              prices->builder->diags);
        return false;
    }
    if (status != NUMBER_OK || value < 0) {
        matched_report(side, cell,
                       status == NUMBER_NONE && number_has_thousands(cell->text)
                           ? "money, 0 or more, without separators of thousands"
                           : "money, 0 or more");
        return false;
    }
    const char *mark = currency_mark(prices->builder->instance->arena, cell->text);
    if (mark[0] != '\0' && currency[0] != '\0' && strcmp(mark, currency) != 0 &&
        prices->builder->instance->model->currency == NULL)
        currency = "";
    if (!money_exchange(&prices->exchange, mark[0] != '\0' ? mark : currency, sheet_pos(&side->sheet, cell), &value))
        return false;
    *cents = value;
    return true;
}

static bool is_currency(const Model *model, const char *word)
{
    bool found = currency_known(word) || (model->currency != NULL && strcmp(model->currency, word) == 0);
    for (size_t k = 0; k < model->rates && !found; k++)
        found = strcmp(model->rate[k].currency, word) == 0;
    return found;
}

/* "Price (USD)": the currency of amounts that say none; "" where the header says none either. */
static const char *header_currency(const Prices *prices, const char *header)
{
    size_t length;
    Arena *arena = prices->builder->instance->arena;
    const char *rest = header, *part;
    while ((part = text_part(&rest, " ()[]:,/", &length)) != NULL) {
        const char *word = arena_strndup(arena, part, length);
        if (length > 0 && is_currency(prices->builder->instance->model, word))
            return word;
    }
    return "";
}

enum { PRICE, LOW, HIGH, DATE, CURRENCY, PRICE_COLUMNS };

static bool read_printing(Prices *prices, MatchedSheet *side, const int column[PRICE_COLUMNS], Printing *printing)
{
    const char *currency = column[CURRENCY] >= 0 ? matched_cell(side, column[CURRENCY])->text : "";
    if (currency[0] == '\0')
        currency = prices->in_header;
    const SheetCell *cell = matched_cell(side, column[PRICE]);
    *printing = (Printing){.day = DAY_UNKNOWN, .at = sheet_pos(&side->sheet, cell)};
    if (!read_amount(prices, side, cell, currency, &printing->price))
        return false;
    printing->low = printing->high = printing->price;
    bool sound = true;
    if (column[LOW] >= 0)
        sound = read_amount(prices, side, matched_cell(side, column[LOW]), currency, &printing->low);
    if (column[HIGH] >= 0) {
        cell = matched_cell(side, column[HIGH]);
        printing->has_high = cell->text[0] != '\0';
        sound = read_amount(prices, side, cell, currency, &printing->high) && sound;
    }
    if (column[DATE] >= 0 && matched_cell(side, column[DATE])->text[0] != '\0' &&
        !date_parse_by(matched_cell(side, column[DATE])->text, prices->order, &printing->day)) {
        matched_report(side, matched_cell(side, column[DATE]), DATE_EXPECTED);
        return false;
    }
    if (!sound)
        return false;
    if (printing->low > printing->price) {
        matched_report(side, matched_cell(side, column[LOW]), "at most the price");
        return false;
    }
    if (printing->high < printing->price) {
        matched_report(side, matched_cell(side, column[HIGH]), "at least the price");
        return false;
    }
    return true;
}

static void note_stray(Prices *prices, const MatchedSheet *side)
{
    const SheetCell *cell = matched_cell(side, side->name);
    if (cell->text[0] == '\0')
        return;
    mem_reserve((void **)&prices->stray, &prices->capacity, prices->strays + 1, sizeof *prices->stray);
    prices->stray[prices->strays++] = (Stray){.name = cell->text, .at = sheet_pos(&side->sheet, cell)};
}

static bool has_text(const Sheet *sheet, size_t column)
{
    for (size_t i = 0; i < sheet->rows; i++)
        if (sheet->row[i].cell[column].text[0] != '\0')
            return true;
    return false;
}

/* Prices noted down month by month, and a month behind the one that is read. */
static void tell_later_month(const Prices *prices, const MatchedSheet *side, int price)
{
    const SheetRow *header = &side->sheet.header;
    if (price < 0 || !header_is_month(header->cell[price].text))
        return;
    for (size_t k = header->cells - 1; k > (size_t)price; k--)
        if (header_is_month(header->cell[k].text) && has_text(&side->sheet, k)) {
            char last[TEXT_EXCERPT], read[TEXT_EXCERPT];
            diag_notice(prices->builder->diags, sheet_pos(&side->sheet, &header->cell[k]),
                        "the prices are read from '%s', not from '%s'; if these are newer, change it under columns in "
                        "the model",
                        text_excerpt(read, header->cell[price].text), text_excerpt(last, header->cell[k].text));
            return;
        }
}

/* An older line for a card that a newer sheet has: does a high get lost? Each card counts once. */
static void note_lost_high(Prices *prices, const MatchedSheet *side, int column, size_t card)
{
    if (column < 0 || prices->best[card].has_high || matched_cell(side, column)->text[0] == '\0')
        return;
    prices->best[card].has_high = true;
    prices->highs_lost++;
}

static void read_price_sheet(Prices *prices, const PathAt *path)
{
    MatchedSheet side;
    if (!matched_open(prices->builder, MATCHED_PRICES, path, &side))
        return;
    Arena *arena = prices->builder->instance->arena;
    prices->doubtful = arena_alloc(arena, side.sheet.header.cells, sizeof *prices->doubtful);
    prices->too_fine = arena_alloc(arena, side.sheet.header.cells, sizeof *prices->too_fine);
    const int column[PRICE_COLUMNS] = {matched_need_column(&side, "price"), matched_column(&side, "low"),
                                       matched_column(&side, "high"), matched_column(&side, "date"),
                                       matched_column(&side, "currency")};
    prices->in_header = header_currency(prices, column[PRICE] >= 0 ? side.sheet.header.cell[column[PRICE]].text : "");
    sheet_date_order(&side.sheet, column[DATE], &prices->order, prices->builder->diags);
    const OfferColumns columns = {.price = column[PRICE],
                                  .shop = matched_column(&side, "shop"),
                                  .stock = matched_column(&side, "stock"),
                                  .accept = {[ACCEPT_CONDITION] = matched_column(&side, "condition"),
                                             [ACCEPT_LANGUAGE] = matched_column(&side, "language")}};
    for (size_t i = 0; i < side.sheet.rows && column[PRICE] >= 0; i++) {
        side.row = &side.sheet.row[i];
        if (matched_passes(&side))
            continue;
        long card = matched_card(&side);
        const bool replaced = card >= 0 && prices->newer != NULL && prices->newer[card];
        if (card < 0)
            note_stray(prices, &side);
        if (replaced)
            note_lost_high(prices, &side, column[HIGH], (size_t)card);
        Printing printing = {.price = -1};
        const bool priced = matched_cell(&side, column[PRICE])->text[0] != '\0';
        if (card < 0 || replaced || (priced && !read_printing(prices, &side, column, &printing)))
            continue;
        const OfferKind kind = offers_take(prices->offers, &side, &columns, (size_t)card, printing.price);
        if (kind == OFFER_COUNTS)
            keep_better(&printing, &prices->best[card], &prices->met[card]);
        else if (kind == OFFER_SOLD_OUT)
            keep_better(&printing, &prices->gone[card], &prices->had[card]);
    }
    if (side.sheet.rows == 0)
        diag_notice(prices->builder->diags, sheet_line_pos(&side.sheet, side.sheet.header.line),
                    "there is no line below the names of the columns, so this sheet has no price");
    tell_later_month(prices, &side, column[PRICE]);
    matched_close(&side);
}

/* Prices of the cards sheets that are written with a currency, or stand under one. */
static void exchange_card_prices(Prices *prices)
{
    const Instance *instance = prices->builder->instance;
    const char *header = "", *in_header = "";
    for (size_t c = 0; c < instance->cards->count; c++) {
        Card *card = &instance->cards->card[c];
        if (card->price_text == NULL || prices->met[c])
            continue;
        if (card->price_header != header) { /* the same for a whole sheet */
            header = card->price_header;
            in_header = header_currency(prices, header);
        }
        const char *mark = currency_mark(instance->arena, card->price_text);
        money_exchange(&prices->exchange, mark[0] != '\0' ? mark : in_header, card->at, &card->price);
    }
}

static NearWord **stray_words(const Prices *prices)
{
    NearWord **word = mem_new(prices->strays, sizeof *word);
    for (size_t i = 0; i < prices->strays; i++) {
        char *folded = text_fold(prices->stray[i].name);
        word[i] = near_word(folded);
        mem_free(folded);
    }
    return word;
}

/* Candidates that have no price although a line of a price sheet is called almost so. */
static void suggest(const Prices *prices)
{
    const Instance *instance = prices->builder->instance;
    Text examples = {0};
    size_t looked = 0, found = 0;
    NearWord **stray = NULL;
    for (size_t c = 0; c < instance->cards->count && looked < NEAR_LOOKED_AT && prices->strays > 0; c++) {
        const Card *card = &instance->cards->card[c];
        if (card->has_price)
            continue;
        looked++;
        stray = stray != NULL ? stray : stray_words(prices);
        NearWord *wanted = near_word(card->folded);
        const long i = near_find(wanted, stray, prices->strays);
        mem_free(wanted);
        if (i >= 0)
            text_printf(&examples, "%s'%s' (%s:%d has '%s')", found++ == 0 ? "" : ", ", card->name,
                        prices->stray[i].at.file, prices->stray[i].at.line, prices->stray[i].name);
    }
    if (found > 0)
        diag_notice(prices->builder->diags, (SourcePos){0},
                    "%zu %s no price, but there is a line of almost that name: %s", found,
                    found == 1 ? "candidate has" : "candidates have", text_cstr(&examples));
    text_release(&examples);
    for (size_t i = 0; i < prices->strays && stray != NULL; i++)
        mem_free(stray[i]);
    mem_free(stray);
}

/* Prices older than the model allows, counted from the day asked for or from the newest date. */
static void judge_dates(const Prices *prices)
{
    Instance *instance = prices->builder->instance;
    const Model *model = instance->model;
    size_t dated = 0;
    instance->today = instance->scenario->today;
    for (size_t c = 0; c < instance->cards->count; c++) {
        dated += instance->price_day[c] != DAY_UNKNOWN;
        if (instance->scenario->today == DAY_UNKNOWN && instance->price_day[c] > instance->today)
            instance->today = instance->price_day[c];
    }
    if (!model->has_stale || dated == 0)
        return;
    Text examples = {0};
    for (size_t c = 0; c < instance->cards->count; c++) {
        int day = instance->price_day[c];
        if (day == DAY_UNKNOWN || (int64_t)instance->today - day <= model->stale)
            continue;
        if (instance->stale_count++ < SHOWN)
            text_printf(&examples, "%s'%s' (%s)", instance->stale_count == 1 ? "" : ", ", instance->cards->card[c].name,
                        date_text(instance->arena, day));
    }
    if (instance->stale_count > 0)
        diag_notice(prices->builder->diags, (SourcePos){0},
                    "%zu of %zu dated prices %s more than %d days older than %s: %s%s", instance->stale_count, dated,
                    instance->stale_count == 1 ? "is" : "are", model->stale,
                    date_text(instance->arena, instance->today), text_cstr(&examples),
                    instance->stale_count > SHOWN ? ", ..." : "");
    text_release(&examples);
}

/* A card that nobody sells any more is still worth something: its older price counts, though no offer does. */
static void keep_prices_of_sold_out(Prices *prices)
{
    const CardSet *cards = prices->builder->instance->cards;
    const char *first = NULL;
    size_t kept = 0;
    for (size_t c = 0; c < cards->count; c++) {
        if (prices->met[c] || !prices->had[c])
            continue;
        prices->best[c] = prices->gone[c];
        prices->met[c] = true;
        first = kept++ == 0 ? cards->card[c].name : first;
    }
    if (kept > 0)
        diag_notice(prices->builder->diags, (SourcePos){0},
                    "%zu card%s sold out by the newer prices and for sale nowhere else, such as '%s': what %s cost "
                    "before counts, but `order` has no offer",
                    kept, kept == 1 ? " is" : "s are", first, kept == 1 ? "it" : "they");
}

/* Newer sheets count for the cards that they name; the scenario's own for the others. */
static void read_older(Prices *prices)
{
    const Scenario *scenario = prices->builder->instance->scenario;
    const size_t cards = prices->builder->instance->cards->count;
    prices->newer = mem_new(cards, sizeof *prices->newer);
    if (cards > 0)
        memcpy(prices->newer, prices->met, cards * sizeof *prices->newer);
    offers_older(prices->offers);
    for (size_t i = 0; i < scenario->own_prices_count; i++)
        read_price_sheet(prices, &scenario->own_prices[i]);
    keep_prices_of_sold_out(prices);
    if (prices->highs_lost > 0 && scenario->model->has_risk)
        diag_notice(
            prices->builder->diags, (SourcePos){0},
            "%zu newer price%s no high where the scenario's own line has one, so price_risk takes %s not to rise",
            prices->highs_lost, prices->highs_lost == 1 ? " says" : "s say", prices->highs_lost == 1 ? "it" : "them");
}

void merge_prices(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Scenario *scenario = instance->scenario;
    const size_t cards = instance->cards->count;
    Prices prices = {.builder = builder,
                     .exchange = {.instance = instance, .diags = builder->diags},
                     .best = mem_new(cards, sizeof *prices.best),
                     .met = mem_new(cards, sizeof *prices.met),
                     .gone = mem_new(cards, sizeof *prices.gone),
                     .had = mem_new(cards, sizeof *prices.had),
                     .offers = offers_new(builder)};
    instance->low = arena_alloc(instance->arena, cards, sizeof *instance->low);
    instance->high = arena_alloc(instance->arena, cards, sizeof *instance->high);
    instance->quoted = arena_alloc(instance->arena, cards, sizeof *instance->quoted);
    instance->sold_out = arena_alloc(instance->arena, cards, sizeof *instance->sold_out);
    instance->price_day = arena_alloc(instance->arena, cards, sizeof *instance->price_day);
    for (size_t i = 0; i < scenario->prices_count; i++)
        read_price_sheet(&prices, &scenario->prices[i]);
    if (scenario->prices != scenario->own_prices)
        read_older(&prices);
    exchange_card_prices(&prices);
    for (size_t c = 0; c < cards; c++) {
        Card *card = &instance->cards->card[c];
        const Printing *best = &prices.best[c];
        if (prices.met[c]) {
            card->price = best->price;
            card->has_price = true;
        }
        instance->priced_before += prices.newer != NULL && !prices.newer[c] && card->has_price;
        instance->quoted[c] = prices.met[c];
        instance->low[c] = prices.met[c] ? best->low : card->price;
        instance->high[c] = prices.met[c] ? best->high : card->price;
        instance->price_day[c] = prices.met[c] ? best->day : DAY_UNKNOWN;
    }
    suggest(&prices);
    judge_dates(&prices);
    offers_keep(prices.offers);
    mem_free(prices.stray);
    mem_free(prices.best);
    mem_free(prices.met);
    mem_free(prices.gone);
    mem_free(prices.had);
    mem_free(prices.newer);
}
