/* shopping.c - what to buy, as a sheet. */

#include "base/sort.h"
#include "report/layout/format.h"
#include "report/words/money.h"
#include "report/sheet/sheet_out.h"

typedef struct {
    size_t card;
    int copies;
    int64_t sum; /* cents, handling included */
} Buy;

typedef struct {
    const Instance *in;
    const Answer *answer;
    const int *from; /* [cards] the pool that is changed */
    bool has_from;   /* its copies are there, owned or not */
    Arena *arena;
    Text *out;
    char separator;
    bool commas; /* 3,50 for 3.50 */
} Shopping;

enum { WHAT, NAME, COPIES, EACH, SUM, PAID, COLOURS, CLASS, NOTE, COLUMNS }; /* PAID is for `bought` */

static void add_line(const Shopping *s, const char *const *cell)
{
    const char *full[COLUMNS];
    for (size_t k = 0; k < COLUMNS; k++)
        full[k] = cell[k] != NULL ? cell[k] : "";
    sheet_line(s->out, full, COLUMNS, s->separator);
}

static const char *money(const Shopping *s, int64_t cents)
{
    return sheet_number(s->arena, s->commas, format_money(s->arena, cents));
}

/* Dearest first (one copy), ties by name. */
static int compare_buys(const void *a, const void *b, void *data)
{
    const Instance *in = data;
    const Buy *x = a, *y = b;
    if (in->price[x->card] != in->price[y->card])
        return in->price[x->card] > in->price[y->card] ? -1 : 1;
    return (x->card > y->card) - (x->card < y->card);
}

static int bought_copies(const Shopping *s, size_t c)
{
    const int owned = s->in->cards->card[c].owned;
    const int room = s->has_from && s->from[c] > owned ? s->from[c] : owned;
    return s->answer->copies[c] - room;
}

static Buy *list_buys(const Shopping *s, size_t *count, int64_t *total)
{
    const Instance *in = s->in;
    Buy *buy = arena_alloc(s->arena, in->cards->count, sizeof *buy);
    *count = 0;
    *total = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        const int bought = bought_copies(s, c);
        if (s->answer->copies[c] <= 0 || bought <= 0)
            continue;
        buy[*count] = (Buy){c, bought, bought * instance_buy_price(in, c)};
        *total += buy[(*count)++].sum;
    }
    sort_stable_with(buy, *count, sizeof *buy, compare_buys, (void *)(uintptr_t)in);
    return buy;
}

static const char *colours_of(const Shopping *s, size_t c)
{
    CardVocabulary vocabulary = model_vocabulary(s->in->model);
    return colours_text(&vocabulary, &s->in->cards->card[c].colours, s->arena);
}

static void add_buys(const Shopping *s, const Buy *buy, size_t count, int64_t total)
{
    int64_t so_far = 0;
    for (size_t k = 0; k < count; k++) {
        const Card *card = &s->in->cards->card[buy[k].card];
        bool dear = so_far * 2 < total; /* with those above, half of the money */
        so_far += buy[k].sum;
        const char *cell[COLUMNS] = {[WHAT] = "buy",
                                     [NAME] = card->name,
                                     [COPIES] = arena_printf(s->arena, "%d", buy[k].copies),
                                     [EACH] =
                                         price_known(s->in, buy[k].card) ? money(s, s->in->price[buy[k].card]) : "",
                                     [SUM] = money(s, buy[k].sum),
                                     [COLOURS] = colours_of(s, buy[k].card),
                                     [CLASS] = class_name(s->in->class[buy[k].card]),
                                     [NOTE] = dear ? "dear" : ""};
        if (s->in->unpriced[buy[k].card])
            cell[NOTE] = "no price";
        add_line(s, cell);
    }
}

/* Subtotals for one colour alone, one class, or everything, by whether the card is in. */
static void add_sum(const Shopping *s, const char *what, const char *name, const Buy *buy, size_t count,
                    bool (*in_group)(const Shopping *, size_t, size_t), size_t group)
{
    int64_t sum = 0;
    int copies = 0;
    for (size_t k = 0; k < count; k++)
        if (in_group == NULL || in_group(s, buy[k].card, group)) {
            sum += buy[k].sum;
            copies += buy[k].copies;
        }
    if (copies == 0 && in_group != NULL)
        return;
    const char *cell[COLUMNS] = {
        [WHAT] = what, [NAME] = name, [COPIES] = arena_printf(s->arena, "%d", copies), [SUM] = money(s, sum)};
    add_line(s, cell);
}

static bool has_colour(const Shopping *s, size_t card, size_t colour)
{
    return s->in->class[card] == CLASS_MONO &&
           colours_exact(&s->in->cards->card[card].colours, (ColourMask)(1U << colour));
}

static bool has_class(const Shopping *s, size_t card, size_t class)
{
    return s->in->class[card] == (CardClass) class;
}

static void add_handling(const Shopping *s, const Buy *buy, size_t count)
{
    int copies = 0;
    for (size_t k = 0; k < count; k++)
        copies += buy[k].copies;
    const char *cell[COLUMNS] = {[WHAT] = "of it",
                                 [NAME] = "handling",
                                 [COPIES] = arena_printf(s->arena, "%d", copies),
                                 [EACH] = money(s, s->in->model->handling),
                                 [SUM] = money(s, s->in->model->handling * copies)};
    if (s->in->model->handling > 0)
        add_line(s, cell);
}

static void add_leaving(const Shopping *s)
{
    for (size_t c = 0; c < s->in->cards->count; c++) {
        int leaves = s->from[c] - s->answer->copies[c];
        if (leaves <= 0)
            continue;
        const char *cell[COLUMNS] = {[WHAT] = "leaves",
                                     [NAME] = s->in->cards->card[c].name,
                                     [COPIES] = arena_printf(s->arena, "%d", leaves),
                                     [COLOURS] = colours_of(s, c),
                                     [CLASS] = class_name(s->in->class[c])};
        add_line(s, cell);
    }
    for (size_t g = 0; g < s->in->gones; g++) {
        const GoneCard *gone = &s->in->gone[g];
        const char *cell[COLUMNS] = {[WHAT] = "leaves",
                                     [NAME] = gone->name,
                                     [COPIES] = arena_printf(s->arena, "%d", gone->copies),
                                     [NOTE] = "no candidate any more"};
        add_line(s, cell);
    }
}

static void write_shopping(const Instance *instance, const Answer *answer, const int *from, Text *out)
{
    static const char *const header[COLUMNS] = {"what", "name",    "copies", "each", "sum",
                                                "paid", "colours", "class",  "note"};
    Shopping s = {.in = instance,
                  .answer = answer,
                  .from = from != NULL ? from : instance->present,
                  .has_from = from != NULL,
                  .arena = arena_new(),
                  .out = out,
                  .separator = sheet_separator(instance->cards),
                  .commas = sheet_has_commas(instance->cards)};
    size_t count;
    int64_t total;
    Buy *buy = list_buys(&s, &count, &total);
    sheet_begin(out, instance->cards);
    add_line(&s, header);
    add_buys(&s, buy, count, total);
    for (size_t k = 0; k < instance->model->colours; k++)
        add_sum(&s, "subtotal", instance->model->colour[k], buy, count, has_colour, k);
    for (size_t k = 0; k < CLASS_COUNT; k++)
        if (k != CLASS_MONO)
            add_sum(&s, "subtotal", class_name((CardClass)k), buy, count, has_class, k);
    add_handling(&s, buy, count);
    add_sum(&s, "total", "all", buy, count, NULL, 0);
    add_leaving(&s);
    arena_free(s.arena);
}

void shopping_csv(const Instance *instance, const Answer *answer, Text *out)
{
    write_shopping(instance, answer, NULL, out);
}

void shopping_changes_csv(const Instance *instance, const Answer *answer, const int *from, Text *out)
{
    write_shopping(instance, answer, from, out);
}
