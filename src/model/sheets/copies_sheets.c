/* copies_sheets.c - owned copies, the present pool. Whatever the order of lines, the result is the same. */
#include <string.h>

#include "base/currency.h"
#include "base/number.h"
#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"
#include "model/sheets/matched_sheet.h"
#include "model/sheets/money.h"

/* ---- copies: owned, present pool ---- */

/* Blank gives -1. False when reported. */
static bool read_copies(const MatchedSheet *side, const SheetCell *cell, int *copies)
{
    *copies = -1;
    if (cell->text[0] == '\0' || sheet_copies(&side->sheet, cell->text, copies))
        return true;
    matched_report(side, cell, "a whole number of copies, 0 to 1000");
    return false;
}

/* Does the column hold whole numbers only, and others than 1 among them, or marks on some lines and nothing on others?
 */
static bool counts_something(const MatchedSheet *side, size_t column)
{
    bool more = false, marks = false, others = false;
    size_t blank = 0;
    for (size_t i = 0; i < side->sheet.rows; i++) {
        const char *text = side->sheet.row[i].cell[column].text;
        int copies;
        if (text[0] == '\0') {
            blank++;
            continue;
        }
        if (!sheet_copies(&side->sheet, text, &copies))
            return false;
        const int yes = word_says_yes(text);
        marks = marks || yes >= 0;
        others = others || yes < 0;
        more = more || copies > 1 || yes == 0;
    }
    return more || (marks && !others && blank > 0);
}

/* Do cells say yes or no? Then a blank one says no. */
static bool has_marks(const MatchedSheet *side, size_t column)
{
    for (size_t i = 0; i < side->sheet.rows; i++)
        if (word_says_yes(side->sheet.row[i].cell[column].text) >= 0)
            return true;
    return false;
}

/* Without a column of copies each line is one copy; a column of numbers under another name was perhaps meant. */
static void notice_counts(const MatchedSheet *side)
{
    static const char *const copies[] = {"copies"};
    for (size_t i = 0; i < side->sheet.header.cells; i++) {
        const SheetCell *header = &side->sheet.header.cell[i];
        if (i == (size_t)side->name || header_slip(header->text, copies, 1) != NULL || !counts_something(side, i))
            continue;
        char excerpt[TEXT_EXCERPT];
        diag_notice(side->builder->diags, sheet_pos(&side->sheet, header),
                    "found no column 'copies', so each line counts as one copy; if '%s' holds them, write columns: "
                    "{copies: \"%s\"} into the model",
                    text_excerpt(excerpt, header->text), header->text);
        return;
    }
}

/* "2x Name" where a column says another number, which counts. */
static void note_other_count(MatchedSheet *side, int copies)
{
    if (side->copies > 1 && copies >= 0 && copies != side->copies && side->disagree++ == 0)
        side->first_disagree = matched_cell(side, side->name);
}

/* ---- paid ---- */

typedef struct {
    MoneyExchange exchange;
    int column;   /* -1: none */
    bool counted; /* a column says copies */
    bool behind;  /* the line before is of paid->line's last one, or behind it in the same way */
    OwnedLine *line;
    size_t line_capacity;
    OwnedStray *stray;
    size_t capacity;
} Paid;

/* What was given for the line's copies, in the model's currency; below 0 for what was sold; 0 where nothing is said. */
static int64_t read_paid(Paid *paid, MatchedSheet *side)
{
    if (paid->column < 0 || matched_cell(side, paid->column)->text[0] == '\0')
        return 0;
    const SheetCell *cell = matched_cell(side, paid->column);
    int64_t cents = 0;
    if (matched_money(side, cell, &cents) != NUMBER_OK) {
        matched_report(side, cell, "money such as 4.50, or -4.50 for what was sold");
        return 0;
    }
    if (!money_exchange(&paid->exchange, currency_mark(side->builder->instance->arena, cell->text),
                        sheet_pos(&side->sheet, cell), &cents))
        return 0;
    side->builder->instance->paid += cents;
    return cents;
}

static void add_stray(Paid *paid, const MatchedSheet *side, int copies, int64_t cents)
{
    Instance *instance = side->builder->instance;
    if (copies == 0 && cents == 0)
        return;
    mem_reserve((void **)&paid->stray, &paid->capacity, instance->strays + 1, sizeof *paid->stray);
    paid->stray[instance->strays++] =
        (OwnedStray){.name = matched_cell(side, side->name)->text, .copies = copies, .paid = cents};
}

static void add_paid_line(Paid *paid, const MatchedSheet *side, size_t card, int copies, int64_t cents)
{
    Instance *instance = side->builder->instance;
    if (paid->column < 0 || matched_cell(side, paid->column)->text[0] == '\0') {
        OwnedLine *last = paid->behind ? &paid->line[instance->paid_lines - 1] : NULL;
        paid->behind = last != NULL && !paid->counted && last->card == card && last->most < COPIES_MAX;
        if (paid->behind)
            last->most += copies;
        return;
    }
    mem_reserve((void **)&paid->line, &paid->line_capacity, instance->paid_lines + 1, sizeof *paid->line);
    paid->line[instance->paid_lines++] = (OwnedLine){.card = card, .copies = copies, .most = copies, .paid = cents};
    paid->behind = true;
}

static void keep_lines(const InstanceBuilder *builder, Paid *paid)
{
    Instance *instance = builder->instance;
    instance->paid_line = arena_alloc(instance->arena, instance->paid_lines, sizeof *instance->paid_line);
    if (instance->paid_lines > 0)
        memcpy(instance->paid_line, paid->line, instance->paid_lines * sizeof *paid->line);
    mem_free(paid->line);
    instance->stray = arena_alloc(instance->arena, instance->strays, sizeof *instance->stray);
    if (instance->strays > 0)
        memcpy(instance->stray, paid->stray, instance->strays * sizeof *paid->stray);
    mem_free(paid->stray);
}

/* ---- owned ---- */

/* Several lines for a card are added up; together they replace what the cards sheet says. */
void merge_owned(const InstanceBuilder *builder)
{
    const Scenario *scenario = builder->instance->scenario;
    CardSet *cards = builder->instance->cards;
    int *owned = mem_new(cards->count, sizeof *owned);
    bool *met = mem_new(cards->count, sizeof *met);
    Paid paid = {.exchange = {.instance = builder->instance, .diags = builder->diags}};
    for (size_t s = 0; s < scenario->owned_count; s++) {
        MatchedSheet side;
        if (!matched_open(builder, MATCHED_OWNED, &scenario->owned[s], &side))
            continue;
        const int owns = matched_column(&side, "owned"), counts = matched_column(&side, "copies");
        const int column = owns >= 0 ? owns : counts;
        paid.column = matched_column(&side, "paid");
        paid.counted = column >= 0;
        paid.behind = false;
        const bool blank_is_none = column >= 0 && (column == owns || has_marks(&side, (size_t)column));
        if (column < 0)
            notice_counts(&side);
        for (size_t i = 0; i < side.sheet.rows; i++) {
            side.row = &side.sheet.row[i];
            if (matched_passes(&side))
                continue;
            long card = matched_card(&side);
            int copies = 1;
            const int64_t cents = read_paid(&paid, &side);
            if (column >= 0 && !read_copies(&side, matched_cell(&side, column), &copies))
                continue;
            if (column >= 0 && card >= 0)
                note_other_count(&side, copies);
            if (copies < 0 && side.copies == 1 && blank_is_none)
                copies = 0;
            copies = copies < 0 || column < 0 ? side.copies : copies;
            if (card < 0) {
                paid.behind = false;
                add_stray(&paid, &side, copies, cents);
                continue;
            }
            add_paid_line(&paid, &side, (size_t)card, copies, cents);
            builder->instance->paid_owned[card] += cents;
            met[card] = true;
            owned[card] += copies;
            if (owned[card] > COPIES_MAX)
                owned[card] = COPIES_MAX;
        }
        matched_close(&side);
    }
    for (size_t c = 0; c < cards->count; c++)
        if (met[c])
            cards->card[c].owned = owned[c];
    keep_lines(builder, &paid);
    mem_free(owned);
    mem_free(met);
}

static void add_gone(const InstanceBuilder *builder, size_t *capacity, GoneCard **gone, const MatchedSheet *side,
                     int copies)
{
    Instance *instance = builder->instance;
    const SheetCell *cell = matched_cell(side, side->name);
    mem_reserve((void **)gone, capacity, instance->gones + 1, sizeof **gone);
    (*gone)[instance->gones++] = (GoneCard){.name = cell->text, .copies = copies, .at = sheet_pos(&side->sheet, cell)};
}

static void read_pool_rows(const InstanceBuilder *builder, MatchedSheet *side)
{
    Instance *instance = builder->instance;
    int column = matched_column(side, "chosen");
    if (column < 0)
        column = matched_column(side, "copies");
    if (column < 0)
        notice_counts(side);
    GoneCard *gone = NULL;
    size_t capacity = 0;
    Paid paid = {.exchange = {.instance = instance, .diags = builder->diags}, .column = matched_column(side, "paid")};
    size_t left_out = 0;
    for (size_t i = 0; i < side->sheet.rows; i++) {
        side->row = &side->sheet.row[i];
        if (matched_passes(side))
            continue;
        int copies = 1;
        read_paid(&paid, side);
        if (column >= 0 && !read_copies(side, matched_cell(side, column), &copies))
            continue;
        if (column >= 0 && copies <= 0) {
            left_out++;
            continue;
        }
        long card = matched_card(side);
        if (card >= 0 && column >= 0)
            note_other_count(side, copies);
        if (card >= 0)
            instance->present[card] += column < 0 ? side->copies : copies;
        else if (matched_cell(side, side->name)->text[0] != '\0')
            add_gone(builder, &capacity, &gone, side, copies);
    }
    if (left_out > 0 && left_out == side->sheet.rows)
        diag_notice(builder->diags, sheet_pos(&side->sheet, &side->sheet.header.cell[column]),
                    "no line of the present pool is in it: all %zu have 0, no or nothing under '%s'", left_out,
                    side->sheet.header.cell[column].text);
    instance->gone = arena_alloc(instance->arena, instance->gones, sizeof *instance->gone);
    if (instance->gones > 0)
        memcpy(instance->gone, gone, instance->gones * sizeof *gone);
    mem_free(gone);
}

void read_present_pool(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const PathAt *pool = &instance->scenario->pool;
    MatchedSheet side;
    if (pool->path != NULL && matched_open(builder, MATCHED_POOL, pool, &side)) {
        instance->has_present = true;
        read_pool_rows(builder, &side);
        matched_close(&side);
    }
    for (size_t c = 0; c < instance->cards->count; c++) {
        if ((instance->cards->card[c].status & STATUS_IN) == 0)
            continue;
        instance->has_present = true;
        if (instance->present[c] == 0)
            instance->present[c] = 1;
    }
}

/* After the sheets and the case: what is in the present pool need not be bought. */
void own_present_pool(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    for (size_t c = 0; c < instance->cards->count; c++) {
        Card *card = &instance->cards->card[c];
        instance->listed[c] = card->owned;
        if (instance->scenario->pool_owned && instance->present[c] > card->owned)
            card->owned = instance->present[c];
    }
}
