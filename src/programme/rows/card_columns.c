/* card_columns.c - see card_columns.h. */
#include "programme/rows/card_columns.h"

#include "base/memory.h"

CardColumns *card_columns_new(const Programme *programme)
{
    const size_t cards = programme->instance->cards->count;
    CardColumns *card = mem_new(cards + 1, sizeof *card);
    for (size_t c = 0; c < cards; c++)
        card[c] = (CardColumns){-1, -1};
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        if (column->role == COLUMN_COPIES || column->role == COLUMN_OWNED)
            card[column->card].first = j;
        else if (column->role == COLUMN_BOUGHT)
            card[column->card].second = j;
    }
    return card;
}

int64_t card_copies(const CardColumns *card, const int64_t *x)
{
    return (card->first >= 0 ? x[card->first] : 0) + (card->second >= 0 ? x[card->second] : 0);
}

int64_t column_price(const Programme *programme, int column)
{
    const Instance *in = programme->instance;
    const ProgrammeColumn *about = &programme->column[column];
    const bool bought =
        about->role == COLUMN_BOUGHT || (about->role == COLUMN_COPIES && in->cards->card[about->card].owned <= 0);
    return bought ? instance_buy_price(in, (size_t)about->card) : 0;
}

int card_tied_column(Extension *extension, const CardColumns *card, int most, int sign, int room)
{
    const int ours = extension_column(extension, most == 1 ? SEARCH_BINARY : SEARCH_INTEGER, 0, 0, most);
    const int tie =
        extension_row(extension, sign > 0 ? 0 : SEARCH_MINUS_INFINITY, sign > 0 ? SEARCH_PLUS_INFINITY : room);
    extension_entry(extension, tie, card->first, 1);
    if (card->second >= 0)
        extension_entry(extension, tie, card->second, 1);
    extension_entry(extension, tie, ours, -1);
    return ours;
}

int card_kept_column(Extension *extension, const CardColumns *card, int most, int given)
{
    const int kept = given < most ? given : most;
    if (card->first < 0 || kept <= 0 || (card->second < 0 && most <= 1))
        return -1;
    return card_tied_column(extension, card, kept, 1, 0);
}

void card_change_entries(Extension *extension, int row, const CardColumns *card, int given, int kept)
{
    if (card->first < 0)
        return;
    extension_entry(extension, row, card->first, -1);
    if (card->second >= 0)
        extension_entry(extension, row, card->second, -1);
    if (given > 0)
        extension_entry(extension, row, kept >= 0 ? kept : card->first, 2);
}
