/* currencies.c - prices in several currencies: what the others are worth in the one that most prices are in. No sheet
 * says that, so there is no likely answer. */
#include "base/currency.h"
#include "base/number.h"
#include "base/text.h"
#include "intake/bag.h"
#include "intake/intake_inner.h"

#define UNKNOWN_RATE "?"
#define CURRENCIES_MOST 20

typedef struct {
    const char *mark;
    size_t cells;
    IntakeQuestion question;
} Met;

typedef struct {
    Arena *arena;
    Met met[CURRENCIES_MOST];
    size_t count, cells;
} Currencies;

/* "Price (USD)" */
static const char *mark_in_header(Arena *arena, const char *header)
{
    size_t length;
    const char *rest = header, *part;
    while ((part = text_part(&rest, " ()[]:,/", &length)) != NULL) {
        const char *word = arena_strndup(arena, part, length);
        if (length > 0 && currency_known(word))
            return word;
    }
    return "";
}

/* The mark beside the amount, else in the line's column `currency`, else in the header; "" where none of them says one.
 */
static const char *mark_of(Arena *arena, const CellAt *at)
{
    const SheetRow *header = &at->sheet->sheet.header;
    const char *mark = currency_mark(arena, at->cell->text);
    if (mark[0] != '\0')
        return mark;
    const int column = at->sheet->role == SHEET_PRICES ? sheet_column(&at->sheet->sheet, "currency") : -1;
    if (column >= 0 && !says_nothing(at->row->cell[column].text))
        return at->row->cell[column].text;
    return mark_in_header(arena, header->cell[at->cell - at->row->cell].text);
}

static Met *met_of(Currencies *c, const char *mark)
{
    for (size_t k = 0; k < c->count; k++)
        if (currency_same(c->met[k].mark, mark) || currency_shares(c->met[k].mark, mark) ||
            currency_shares(mark, c->met[k].mark))
            return &c->met[k];
    if (c->count == CURRENCIES_MOST)
        return NULL;
    c->met[c->count] = (Met){.mark = mark};
    return &c->met[c->count++];
}

static void note_price(void *context, const CellAt *at)
{
    Currencies *c = context;
    int64_t ignored;
    const char *text = at->cell->text;
    if (says_nothing(text) || number_parse_money(text, true, &ignored) != NUMBER_OK)
        return;
    const char *mark = mark_of(c->arena, at);
    Met *met = mark[0] != '\0' ? met_of(c, mark) : NULL;
    c->cells++;
    if (met == NULL)
        return;
    met->cells++;
    question_example(&met->question, sheet_pos(&at->sheet->sheet, at->cell), text);
}

static void ask_rate(Intake *intake, const Currencies *c, const Met *met)
{
    IntakeQuestion question = met->question;
    int64_t value = 0;
    question.id = arena_printf(intake->arena, "rate %s", met->mark);
    question.text = arena_printf(intake->arena, "some prices are in %s, most in %s: how many %s is 1 %s?", met->mark,
                                 intake->currency, intake->currency, met->mark);
    question.likely = UNKNOWN_RATE;
    question.of = c->cells;
    const char *answer = intake_ask(intake, question);
    const bool known = !text_folds_to(answer, UNKNOWN_RATE);
    if (known && (number_parse(answer, 6, true, &value) != NUMBER_OK || value <= 0))
        diag_error(intake->diags, (SourcePos){0},
                   "the answer to \"%s\" is '%s', expected a number above 0 with at most 6 decimals, such as 0.92",
                   question.id, answer);
    intake->rate[intake->rates++] = (IntakeRate){.mark = met->mark, .rate = value, .at = met->question.example[0].at};
}

void guess_currencies(Intake *intake)
{
    Currencies c = {.arena = intake->arena};
    each_cell(intake, ROLE_BIT(SHEET_CARDS) | ROLE_BIT(SHEET_PRICES), HOLDS_PRICE, note_price, &c);
    if (c.count < 2)
        return;
    const Met *most = &c.met[0];
    for (size_t k = 1; k < c.count; k++)
        most = c.met[k].cells > most->cells ? &c.met[k] : most;
    intake->currency = most->mark;
    intake->currency_at = most->question.example[0].at;
    intake->rate = arena_alloc(intake->arena, c.count, sizeof *intake->rate);
    for (size_t k = 0; k < c.count; k++)
        if (&c.met[k] != most)
            ask_rate(intake, &c, &c.met[k]);
}

bool intake_rates_known(const Intake *intake, bool asks)
{
    bool known = true;
    for (size_t k = 0; k < intake->rates; k++) {
        const IntakeRate *rate = &intake->rate[k];
        if (rate->rate > 0)
            continue;
        const char *expected =
            asks ? arena_printf(intake->arena,
                                "or an answer how many %s 1 %s is: at a terminal, or by --answers "
                                "FILE with {\"answers\": {\"rate %s\": \"0.92\"}}",
                                intake->currency, rate->mark, rate->mark)
                 : arena_printf(intake->arena, "or `poolwright import`, which asks how many %s 1 %s is",
                                intake->currency, rate->mark);
        diag_error(intake->diags, rate->at,
                   "found a price in '%s', but most, such as %s:%d, are in '%s': expected one currency, %s", rate->mark,
                   intake->currency_at.file, intake->currency_at.line, intake->currency, expected);
        known = false;
    }
    return known;
}
