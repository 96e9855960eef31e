/* slips.c - see slips.h. A slip is 63 by 88 mm, the size of a usual playing card (common practice, no
 * published source), so that nine fit on A4 and on letter paper. */
#include "page/paper/slips.h"

#include <string.h>

#include "base/sort.h"
#include "page/frame.h"
#include "page/html.h"
#include "report/layout/format.h"

/* ---- cards by section ---- */

typedef struct {
    size_t card;
    size_t section; /* the colours in the model's order, then classes */
} Placed;

typedef struct {
    const Instance *in;
    Arena *arena;
    Placed *placed; /* [count] cards that there are copies of */
    size_t count;
} Box;

static size_t section_of(const Instance *in, size_t c)
{
    const size_t colours = in->model->colours;
    switch (in->class[c]) {
    case CLASS_MONO:
        for (size_t k = 0; k < colours; k++)
            if (colours_union(&in->cards->card[c].colours) >> k & 1)
                return k;
        return colours;
    case CLASS_HYBRID: return colours;
    case CLASS_GOLD: return colours + 1;
    case CLASS_COLOURLESS: return colours + 2;
    case CLASS_FIXING: return colours + 3;
    }
    return colours + 3;
}

static const char *section_name(const Instance *in, size_t section)
{
    static const char *const other[] = {"hybrid", "gold", "colourless", "fixing"};
    return section < in->model->colours ? in->model->colour[section] : other[section - in->model->colours];
}

/* By section, then by cost (none: last); the order of names is there already. */
static int by_section(const void *a, const void *b, void *context)
{
    const Instance *in = context;
    const Placed *x = a, *y = b;
    const Card *p = &in->cards->card[x->card], *q = &in->cards->card[y->card];
    if (x->section != y->section)
        return x->section < y->section ? -1 : 1;
    if (p->has_cost != q->has_cost)
        return p->has_cost ? -1 : 1;
    return p->has_cost ? (p->cost > q->cost) - (p->cost < q->cost) : 0;
}

static void box_fill(Box *box, const Instance *in, const int *copies)
{
    *box = (Box){.in = in, .arena = arena_new()};
    box->placed = arena_alloc(box->arena, in->cards->count, sizeof *box->placed);
    for (size_t c = 0; c < in->cards->count; c++)
        if (copies[c] > 0)
            box->placed[box->count++] = (Placed){c, section_of(in, c)};
    sort_stable_with(box->placed, box->count, sizeof *box->placed, by_section, (void *)(uintptr_t)in);
}

static const char *colours_of(const Box *box, const Card *card)
{
    const Model *model = box->in->model;
    const CardVocabulary vocabulary = {.colour = model->colour, .colours = model->colours};
    return colours_text(&vocabulary, &card->printed, box->arena);
}

/* ---- slips ---- */

/* Sizes of type for texts: up to so many columns of type, a slip has room in it. Measured with wide letters. */
static const struct {
    size_t columns;
    const char *class;
} sizes[] = {{400, "text"}, {580, "text small"}, {900, "text smaller"}, {1900, "text smallest"}};
#define SIZES (sizeof sizes / sizeof *sizes)
#define LINE_COLUMNS 30 /* that a line's end may waste */

/* How much of the text fits, in bytes. */
static size_t fitting(const Box *box, const char *text, size_t columns)
{
    const char *at = text;
    for (;;) {
        const size_t length = strcspn(at, "\n");
        const char *line = arena_printf(box->arena, "%.*s", (int)length, at);
        const size_t width = text_width(line);
        if (width > columns)
            return (size_t)(at - text) + text_prefix(line, columns);
        at += length;
        if (*at == '\0' || columns < width + LINE_COLUMNS)
            return (size_t)(at - text);
        columns -= width + LINE_COLUMNS;
        at++;
    }
}

/* True when the text had to be cut. */
static bool add_text(const Box *box, const char *text, Text *out)
{
    size_t k = 0, length = fitting(box, text, sizes[0].columns);
    while (k + 1 < SIZES && text[length] != '\0')
        length = fitting(box, text, sizes[++k].columns);
    const bool cut = text[length] != '\0';
    html(out, "<p class=\"%s\"><bdi>%s</bdi>%s</p>", sizes[k].class,
         arena_printf(box->arena, "%.*s", (int)length, text), cut ? " ..." : "");
    return cut;
}

static bool add_slip(const Box *box, const Card *card, Text *out)
{
    text_add(out, "<div class=\"slip\"><h2>");
    html_name(out, card->name);
    text_add(out, "</h2>\n<p>");
    if (card->has_cost)
        html(out, "cost %s \u00b7 ", format_number(box->arena, card->cost));
    html(out, "%s", colours_of(box, card));
    for (size_t k = 0; k < card->kinds; k++) {
        text_add(out, k == 0 ? " \u00b7 " : ", ");
        html_name(out, box->in->cards->kind[card->kind[k]]);
    }
    text_add(out, "</p>");
    const bool cut = add_text(box, card->text, out);
    text_add(out, "</div>\n");
    return cut;
}

int slips_page(const Instance *in, const int *copies, const char *title, Text *out)
{
    Box box;
    int slips = 0, cut = 0;
    box_fill(&box, in, copies);
    page_head(title, &asset_paper, NULL, false, out);
    for (size_t k = 0; k < box.count; k++)
        for (int copy = 0; copy < copies[box.placed[k].card]; copy++, slips++) {
            if (slips % SLIPS_TO_A_PAGE == 0)
                text_add(out, slips > 0 ? "</div>\n<div class=\"page\">\n" : "<div class=\"page\">\n");
            if (add_slip(&box, &in->cards->card[box.placed[k].card], out) && copy == 0)
                cut++;
        }
    text_add(out, slips > 0 ? "</div>\n" : "<p>Every card of the list is owned.</p>\n");
    page_script(NULL, out);
    arena_free(box.arena);
    return cut;
}

/* ---- ticks ---- */

static void section_head(const Box *box, size_t from, const int *copies, Text *out)
{
    const Instance *in = box->in;
    int all = 0, missing = 0;
    for (size_t k = from; k < box->count && box->placed[k].section == box->placed[from].section; k++) {
        const size_t c = box->placed[k].card;
        all += copies[c];
        missing += copies[c] > in->cards->card[c].owned ? copies[c] - in->cards->card[c].owned : 0;
    }
    text_add(out, "<h2>");
    html_name(out, section_name(in, box->placed[from].section));
    html(out, ": %s", format_cards(box->arena, all));
    if (missing > 0)
        html(out, ", %d to buy", missing);
    text_add(out, "</h2>\n");
}

static void add_tick(const Box *box, const Placed *placed, const int *copies, Text *out)
{
    const Card *card = &box->in->cards->card[placed->card];
    const int missing = copies[placed->card] - card->owned;
    text_add(out, "<li>\u2610 ");
    html_name(out, card->name);
    if (copies[placed->card] > 1)
        html(out, " \u00d7%d", copies[placed->card]);
    if (placed->section >= box->in->model->colours)
        html(out, " <span class=\"quiet\">%s</span>", colours_of(box, card));
    if (missing > 0 && missing == copies[placed->card])
        text_add(out, " <em>to buy</em>");
    else if (missing > 0)
        html(out, " <em>%d to buy</em>", missing);
    text_add(out, "</li>\n");
}

void ticks_page(const Instance *in, const int *copies, const char *title, Text *out)
{
    Box box;
    box_fill(&box, in, copies);
    page_head(title, &asset_paper, NULL, false, out);
    html(out, "<h1>%s</h1>\n", title);
    for (size_t k = 0; k < box.count; k++) {
        if (k == 0 || box.placed[k - 1].section != box.placed[k].section) {
            text_add(out, k > 0 ? "</ul></section>\n<section>" : "<section>");
            section_head(&box, k, copies, out);
            text_add(out, "<ul>\n");
        }
        add_tick(&box, &box.placed[k], copies, out);
    }
    text_add(out, box.count > 0 ? "</ul></section>\n" : "<p>There is no card on the list.</p>\n");
    page_script(NULL, out);
    arena_free(box.arena);
}
