/* supply.c - see supply.h. */
#include "intake/supply.h"

#include "base/number.h"
#include "base/sort.h"
#include "cards/sheet/sheet_numbers.h"

bool supply_is_fixing(const Intake *intake, const Card *card)
{
    if (intake->fixing == NULL)
        return false;
    if (!intake->fixing_is_kind)
        return card_has_tag(card, card_tag(intake->cards, intake->fixing)) != NULL;
    const int kind = card_kind(intake->cards, intake->fixing);
    for (size_t k = 0; k < card->kinds; k++)
        if (card->kind[k] == kind)
            return true;
    return false;
}

static void count_mono(const Intake *intake, const Card *card, int copies, Supply *supply)
{
    for (size_t c = 0; c < intake->colours; c++) {
        if (!colours_exact(&card->colours, (ColourMask)(1u << c)))
            continue;
        supply->mono[c] += copies;
        supply->early[c] += card->has_cost && card->cost <= 2000 ? copies : 0;
        if (intake->removal != NULL && card_has_tag(card, card_tag(intake->cards, intake->removal)) != NULL)
            supply->removal[c] += copies;
    }
}

static void count_gold(const Intake *intake, const Card *card, int copies, Supply *supply)
{
    size_t pair = 0;
    supply->gold += copies;
    for (size_t a = 0; a < intake->colours; a++)
        for (size_t b = a + 1; b < intake->colours; b++, pair++)
            if (colours_exact(&card->colours, (ColourMask)(1u << a | 1u << b)))
                supply->pair[pair] += copies;
}

static void count_class(const Intake *intake, const Card *card, int copies, Supply *supply)
{
    if (supply_is_fixing(intake, card)) {
        supply->fixing += copies;
        return;
    }
    switch (colours_class(&card->colours, card->symbols, 0)) {
    case CLASS_MONO: count_mono(intake, card, copies, supply); break;
    case CLASS_GOLD: count_gold(intake, card, copies, supply); break;
    case CLASS_HYBRID: supply->hybrid += copies; break;
    case CLASS_COLOURLESS: supply->colourless += copies; break;
    case CLASS_FIXING: break; /* by colours alone never */
    }
}

static int compare_values(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

static int64_t middle(int64_t *value, size_t count)
{
    sort_stable(value, count, sizeof *value, compare_values);
    return count == 0 ? -1 : value[count / 2];
}

/* Which candidates some sheet of prices has, with the cheapest price; -1: none. */
static void find_prices(const Intake *intake, int64_t *price)
{
    for (size_t i = 0; i < intake->cards->count; i++)
        price[i] = intake->cards->card[i].has_price ? intake->cards->card[i].price : -1;
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        Sheet as_read = sheet->sheet;
        as_read.decimal = intake->habits.decimal;
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_PRICES; k++)
            for (size_t i = 0; i < sheet->sheet.rows && sheet->field[k] == HOLDS_PRICE; i++) {
                int64_t cents;
                const SheetRow *row = &sheet->sheet.row[i];
                const long card = card_find(intake->cards, row->cell[sheet->name].text);
                if (card >= 0 &&
                    form_money(sheet_number_form(&as_read), row->cell[k].text, &cents, NULL) == NUMBER_OK &&
                    (price[card] < 0 || cents < price[card]))
                    price[card] = cents;
            }
    }
}

static void count_numbers(const Intake *intake, Supply *supply)
{
    const size_t count = intake->cards->count;
    int64_t *price = mem_new(count, sizeof *price), *known = mem_new(count, sizeof *known);
    int128 costs = 0;
    size_t with_cost = 0;
    find_prices(intake, price);
    for (size_t i = 0; i < count; i++)
        if (price[i] >= 0)
            known[supply->priced++] = price[i];
    supply->middle_price = middle(known, supply->priced);
    for (size_t i = 0; i < count; i++) {
        const Card *card = &intake->cards->card[i];
        if (card->has_power)
            known[supply->scored++] = card->power;
        if (card->has_cost) {
            with_cost++;
            costs += card->cost;
        }
    }
    supply->middle_power = middle(known, supply->scored);
    supply->has_power = supply->scored > 0;
    supply->has_costs = with_cost > 0;
    supply->average_cost = with_cost > 0 ? (int64_t)round_div(costs, (int128)with_cost) : -1;
    mem_free(price);
    mem_free(known);
}

void supply_count(const Intake *intake, const int *copies, Supply *supply)
{
    *supply = (Supply){0};
    for (size_t i = 0; i < intake->cards->count; i++) {
        const Card *card = &intake->cards->card[i];
        const int number = copies != NULL ? copies[i] : 1;
        supply->candidates += number;
        count_class(intake, card, number, supply);
        for (size_t t = 0; t < card->tags; t++) {
            supply->has_enablers = supply->has_enablers || role_is_enabler(card->tag[t].role);
            supply->has_payoffs = supply->has_payoffs || role_is_payoff(card->tag[t].role);
        }
    }
    count_numbers(intake, supply);
}
