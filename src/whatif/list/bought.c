/* bought.c - see bought.h. */
#include "whatif/list/bought.h"

#include "base/currency.h"
#include "base/number.h"
#include "base/sort.h"
#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet.h"
#include "cards/sheet/sheet_numbers.h"
#include "model/sheets/matched_sheet.h"
#include "model/sheets/money.h"

enum { AT_WHAT, AT_NAME, AT_COPIES, AT_PAID, AT_ALL };
static const char *const header_word[AT_ALL] = {"what", "name", "copies", "paid"};

typedef struct {
    const Instance *in;
    Sheet sheet;
    int column[AT_ALL];
    MoneyExchange exchange;
    Diags *diags;
} BoughtSheet;

static const SheetCell *cell_of(const BoughtSheet *s, const SheetRow *row, int k)
{
    static const SheetCell none = {.text = ""};
    return s->column[k] < 0 ? &none : &row->cell[s->column[k]];
}

static void report(BoughtSheet *s, const SheetCell *cell, int k, const char *expected)
{
    sheet_report(&s->sheet, s->column[k], cell, expected, s->diags);
}

/* In the model's currency, as in the owned sheets. */
static void read_paid(BoughtSheet *s, const SheetCell *cell, int64_t *paid)
{
    if (form_money(sheet_number_form(&s->sheet), cell->text, paid, NULL) != NUMBER_OK || *paid < 0)
        report(s, cell, AT_PAID,
               "money such as 4.50 for all copies of the line, 0 for a gift, blank for what is not bought yet");
    else
        money_exchange(&s->exchange, currency_mark(s->in->arena, cell->text), sheet_pos(&s->sheet, cell), paid);
}

/* The card of this name, also as "2x Name", which counts where no column says the copies. */
static bool find_card(BoughtSheet *s, const SheetCell *name, BoughtLine *line)
{
    size_t length;
    int copies;
    const char *start = name_with_count(name->text, &length, &copies);
    const long card = card_find(s->in->cards, name->text) >= 0
                          ? -1
                          : card_find(s->in->cards, arena_strndup(s->in->arena, start, length));
    if (card < 0)
        return cell_card(s->in, &s->sheet, name, &line->card, s->diags);
    line->card = (size_t)card;
    line->copies = copies;
    return true;
}

static void read_line(BoughtSheet *s, const SheetRow *row, Bought *b)
{
    const SheetCell *what = cell_of(s, row, AT_WHAT), *paid = cell_of(s, row, AT_PAID),
                    *copies = cell_of(s, row, AT_COPIES);
    if (text_folds_to(what->text, "postage") && paid->text[0] != '\0') {
        int64_t postage = 0;
        read_paid(s, paid, &postage);
        b->postage += postage;
    }
    if (what->text[0] != '\0' && !text_folds_to(what->text, "buy"))
        return;
    const SheetCell *name = cell_of(s, row, AT_NAME);
    if (word_is_total(name->text) && card_find(s->in->cards, name->text) < 0) {
        char excerpt[TEXT_EXCERPT];
        diag_notice(s->diags, sheet_pos(&s->sheet, name), "'%s' is taken for a total, not for a card",
                    text_excerpt(excerpt, name->text));
        return;
    }
    if (paid->text[0] == '\0') {
        b->waiting++;
        return;
    }
    BoughtLine line = {.copies = 1};
    if (!find_card(s, name, &line))
        return;
    if (copies->text[0] != '\0' && (!sheet_copies(&s->sheet, copies->text, &line.copies) || line.copies < 1))
        report(s, copies, AT_COPIES, "a whole number of copies, 1 to 1000");
    read_paid(s, paid, &line.paid);
    line.planned = line.copies * instance_buy_price(s->in, line.card);
    b->line[b->lines++] = line;
}

static int by_card(const void *a, const void *b)
{
    const BoughtLine *x = a, *y = b;
    return (x->card > y->card) - (x->card < y->card);
}

/* The same card, money and copies; where no column of the owned sheet says these, each may have a line of its own. */
static bool is_same(const OwnedLine *booked, const BoughtLine *line)
{
    return booked->card == line->card && booked->paid == line->paid && booked->copies <= line->copies &&
           line->copies <= booked->most;
}

/* All lines of a card together: as one line of the owned sheets, or as all of the card's there, where each may be one
 * copy. */
static bool all_booked(const Instance *in, const BoughtLine *line, size_t count)
{
    BoughtLine all = {.card = line->card};
    bool some = false;
    for (size_t k = 0; k < count; k++) {
        all.copies += line[k].copies;
        all.paid += line[k].paid;
    }
    for (size_t k = 0; k < in->paid_lines; k++) {
        const OwnedLine *booked = &in->paid_line[k];
        some = some || booked->card == all.card;
        if (is_same(booked, &all))
            return true;
    }
    return some && in->paid_owned[all.card] == all.paid && in->listed[all.card] >= all.copies;
}

/* A line of the owned sheets says the same, and stands for no other line: taken[paid_lines]. */
static bool is_booked(const Instance *in, const BoughtLine *line, bool *taken)
{
    for (size_t k = 0; k < in->paid_lines; k++)
        if (!taken[k] && is_same(&in->paid_line[k], line))
            return taken[k] = true;
    return false;
}

static void take_line(Bought *b, size_t *kept, BoughtLine line)
{
    b->copies += line.copies;
    b->paid += line.paid;
    b->planned += line.planned;
    b->line[(*kept)++] = line;
}

/* Lines that are booked already are left out. */
static void add_up(const Instance *in, Bought *b)
{
    bool *taken = mem_new(in->paid_lines, sizeof *taken);
    size_t kept = 0;
    for (size_t k = 0, end; k < b->lines; k = end) {
        for (end = k + 1; end < b->lines && b->line[end].card == b->line[k].card;)
            end++;
        const bool all = all_booked(in, &b->line[k], end - k);
        const size_t card = b->line[k].card, before = kept;
        for (size_t i = k; i < end && !all; i++)
            if (!is_booked(in, &b->line[i], taken))
                take_line(b, &kept, b->line[i]);
        if (kept - before < end - k)
            b->first_before = b->before++ == 0 ? card : b->first_before;
    }
    b->lines = kept;
    mem_free(taken);
}

static int column_of(const Sheet *sheet, const Model *model, int k)
{
    return k == AT_WHAT ? sheet_column(sheet, header_word[k]) : side_column(sheet, model, header_word[k]);
}

static int list_fits(const Sheet *sheet, const void *model)
{
    int found = 0;
    for (int k = 0; k < AT_ALL; k++) {
        const bool there = column_of(sheet, model, k) >= 0;
        if (!there && (k == AT_NAME || k == AT_PAID))
            return -1;
        found += there;
    }
    return found;
}

static bool find_columns(BoughtSheet *s)
{
    const size_t errors = s->diags->errors;
    for (int k = 0; k < AT_ALL; k++) {
        s->column[k] = column_of(&s->sheet, s->in->model, k);
        if (k != AT_WHAT)
            side_tell(&s->sheet, s->in->model, s->column[k], header_word[k], s->diags);
        if (s->column[k] < 0 && (k == AT_NAME || k == AT_PAID))
            diag_error(s->diags, sheet_line_pos(&s->sheet, s->sheet.header.line),
                       "found no column '%s', expected the shopping list with what was paid filled in; the model can "
                       "say which column it is with columns: {%s: HEADER}",
                       header_word[k], header_word[k]);
    }
    return s->diags->errors == errors;
}

bool bought_read(const Instance *instance, const char *path, Bought *bought, Diags *diags)
{
    const size_t errors = diags->errors;
    BoughtSheet s = {.in = instance, .exchange = {.instance = instance, .diags = diags}, .diags = diags};
    const SheetUse use = {.what = "what was bought", .fits = list_fits, .context = instance->model};
    *bought = (Bought){.arena = arena_new()};
    if (sheet_read_for(bought->arena, instance->scenario->files, path, (SourcePos){0}, &use, &s.sheet, diags) &&
        find_columns(&s)) {
        if (s.column[AT_WHAT] < 0) /* not a list that was written here */
            sheet_take_habits(&s.sheet, (size_t)s.column[AT_NAME], &instance->model->habits);
        bought->path = s.sheet.path;
        bought->line = arena_alloc(bought->arena, s.sheet.rows, sizeof *bought->line);
        for (size_t k = 0; k < s.sheet.rows && diags->errors == errors; k++)
            read_line(&s, &s.sheet.row[k], bought);
    }
    if (diags->errors == errors && bought->lines == 0)
        diag_error(diags, (SourcePos){.file = path},
                   "found nothing bought, expected the column 'paid' filled in on the lines that were");
    if (diags->errors > errors) {
        bought_release(bought);
        return false;
    }
    sort_stable(bought->line, bought->lines, sizeof *bought->line, by_card);
    add_up(instance, bought);
    return true;
}

void bought_release(Bought *bought)
{
    arena_free(bought->arena);
    *bought = (Bought){0};
}
