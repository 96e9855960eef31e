/* pool_book.c - see pool_book.h. */
#include "report/sheet/pool_book.h"

#include <string.h>

#include "report/report.h"
#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "programme/count/pool_summary.h"

typedef struct {
    const Instance *in;
    const Answer *answer;
    const PoolSummary *sum;
    Arena *arena;
    Text *out; /* of the page that is written */
} Pages;

static const char *count(const Pages *p, int64_t number)
{
    return arena_printf(p->arena, "%lld", (long long)number);
}

static void add_themes(const Pages *p)
{
    static const char *const header[] = {"theme", "colours", "cards",    "enablers", "payoffs",
                                         "gold",  "shared",  "strength", "note"};
    const Model *model = p->in->model;
    sheet_line(p->out, header, sizeof header / sizeof *header, ',');
    for (size_t t = 0; t < model->themes; t++) {
        const ThemeSummary *theme = &p->sum->theme[t];
        const bool weakest = (long)t == p->sum->weakest && model->themes > 1;
        const char *const cell[] = {model->theme[t].name,
                                    model_mask_name(model, model->theme[t].colours, p->arena),
                                    count(p, theme->cards),
                                    count(p, theme->enablers),
                                    count(p, theme->payoffs),
                                    count(p, theme->gold),
                                    count(p, theme->shared),
                                    format_number(p->arena, theme->strength),
                                    !p->answer->check.chosen[t] ? "not chosen"
                                    : weakest                   ? "weakest"
                                                                : ""};
        sheet_line(p->out, cell, sizeof cell / sizeof *cell, ',');
    }
}

/* ---- colours and curve ---- */

#define CURVE_LAST 7 /* costs from here on are one column */
enum { CURVE_GROUP, CURVE_CARDS, CURVE_AVERAGE, CURVE_FIRST, CURVE_COLUMNS = CURVE_FIRST + CURVE_LAST + 2 };

/* Copies of one group of cards, by their cost. */
typedef struct {
    int64_t cards, cost_sum, cost_cards; /* cost_sum in thousandths */
    int64_t at[CURVE_LAST + 2];          /* the last: no cost */
} Curve;

static void curve_add(Curve *curve, const Card *card, int copies)
{
    int64_t step = card->has_cost ? card->cost / 1000 : CURVE_LAST + 1;
    if (card->has_cost && step > CURVE_LAST)
        step = CURVE_LAST;
    curve->cards += copies;
    curve->at[step] += copies;
    if (card->has_cost) {
        curve->cost_sum += card->cost * copies;
        curve->cost_cards += copies;
    }
}

static void curve_line(const Pages *p, const char *group, const Curve *curve)
{
    const char *cell[CURVE_COLUMNS] = {[CURVE_GROUP] = group, [CURVE_CARDS] = count(p, curve->cards)};
    cell[CURVE_AVERAGE] =
        curve->cost_cards == 0 ? "" : format_money(p->arena, (curve->cost_sum / curve->cost_cards + 5) / 10);
    for (int k = 0; k <= CURVE_LAST + 1; k++)
        cell[CURVE_FIRST + k] = count(p, curve->at[k]);
    sheet_line(p->out, cell, CURVE_COLUMNS, ',');
}

static bool is_mono_of(const Instance *in, size_t card, size_t colour)
{
    return in->class[card] == CLASS_MONO && colours_exact(&in->cards->card[card].colours, (ColourMask)(1U << colour));
}

/* The cards of one colour alone; of the classes beside it; all. */
static void add_curve(const Pages *p)
{
    static const char *const header[CURVE_COLUMNS] = {"cards of", "cards",  "average cost", "cost 0",
                                                      "cost 1",   "cost 2", "cost 3",       "cost 4",
                                                      "cost 5",   "cost 6", "cost 7 up",    "no cost"};
    const Instance *in = p->in;
    Curve all = {0}, colour[COLOURS_MAX] = {0}, class[CLASS_COUNT] = {0};
    for (size_t c = 0; c < in->cards->count; c++) {
        const Card *card = &in->cards->card[c];
        const int copies = p->answer->copies[c];
        if (copies == 0)
            continue;
        curve_add(&all, card, copies);
        curve_add(&class[in->class[c]], card, copies);
        for (size_t k = 0; k < in->model->colours; k++)
            if (is_mono_of(in, c, k))
                curve_add(&colour[k], card, copies);
    }
    sheet_line(p->out, header, CURVE_COLUMNS, ',');
    for (size_t k = 0; k < in->model->colours; k++)
        curve_line(p, in->model->colour[k], &colour[k]);
    for (int k = 0; k < CLASS_COUNT; k++)
        if (k != CLASS_MONO)
            curve_line(p, class_name((CardClass)k), &class[k]);
    curve_line(p, "all", &all);
}

/* ---- limits, changes ---- */

static void add_limits(const Pages *p)
{
    static const char *const header[] = {"limit", "asks for", "has", "state", "set in"};
    const PoolCheck *check = &p->answer->check;
    sheet_line(p->out, header, sizeof header / sizeof *header, ',');
    for (size_t u = 0; u < check->uses; u++) {
        const LimitUse *use = &check->use[u];
        const char *const cell[] = {use->limit->title, limit_asks_text(use->limit, &use->bounds, p->arena),
                                    limit_has_text(use, p->arena), limit_slack_text(use, p->arena),
                                    limit_place_text(use->limit, p->arena)};
        sheet_line(p->out, cell, sizeof cell / sizeof *cell, ',');
    }
}

static void add_moved(const Pages *p, const char *what, const Moved *moved, size_t count_of)
{
    for (size_t k = 0; k < count_of; k++) {
        const char *const cell[] = {what, p->in->cards->card[moved[k].card].name, count(p, moved[k].copies), ""};
        sheet_line(p->out, cell, sizeof cell / sizeof *cell, ',');
    }
}

static void add_changes(const Pages *p)
{
    static const char *const header[] = {"change", "name", "copies", "note"};
    sheet_line(p->out, header, sizeof header / sizeof *header, ',');
    add_moved(p, "in", p->sum->change.enters, p->sum->change.enter_count);
    add_moved(p, "out", p->sum->change.leaves, p->sum->change.leave_count);
    for (size_t k = 0; k < p->in->gones; k++) {
        const char *const cell[] = {"out", p->in->gone[k].name, count(p, p->in->gone[k].copies),
                                    "no candidate any more"};
        sheet_line(p->out, cell, sizeof cell / sizeof *cell, ',');
    }
}

/* ---- all ---- */

const char *book_names(const Instance *instance)
{
    const Model *model = instance->model;
    for (size_t k = 0; k < model->maps; k++)
        if (strcmp(model->map_field[k], "name") == 0)
            return model->map_header[k];
    return "name";
}

bool pool_book(const Instance *instance, const Answer *answer, bool all, const char *path, Text *out, Diags *diags)
{
    enum { LIST, THEMES, CURVES, LIMITS, SHOPPING, CHANGES, SHEETS };
    const char separator = sheet_separator(instance->cards);
    BookPage page[SHEETS] = {
        [LIST] = {"list", separator, book_names(instance), {0}}, [THEMES] = {"themes", ',', "theme", {0}},
        [CURVES] = {"colours and curve", ',', "cards of", {0}},  [LIMITS] = {"limits", ',', "limit", {0}},
        [SHOPPING] = {"shopping", separator, "name", {0}},       [CHANGES] = {"changes", ',', "name", {0}},
    };
    PoolSummary sum;
    pool_summary(instance, answer, &sum);
    Pages p = {instance, answer, &sum, arena_new(), NULL};
    void (*const write[SHEETS])(const Pages *) = {
        [THEMES] = add_themes, [CURVES] = add_curve, [LIMITS] = add_limits, [CHANGES] = add_changes};
    list_csv(instance, answer, all, &page[LIST].text);
    shopping_csv(instance, answer, &page[SHOPPING].text);
    for (int k = 0; k < SHEETS; k++) {
        p.out = &page[k].text;
        if (write[k] != NULL)
            write[k](&p);
    }
    const bool good = book_out(page, instance->has_present ? SHEETS : CHANGES, path, out, diags);
    for (int k = 0; k < SHEETS; k++)
        text_release(&page[k].text);
    arena_free(p.arena);
    pool_summary_release(&sum);
    return good;
}
