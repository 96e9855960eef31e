/* merge.c - lines of one name. */
#include "cards/merge.h"

#include <string.h>

#include "base/sort.h"
#include "base/text.h"

/* ---- cells, by the set's columns ---- */

static const char **cells_of(const CardSet *set, int *const *column, const Line *line)
{
    const char **cell = arena_alloc(set->arena, set->columns, sizeof *cell);
    for (size_t i = 0; i < set->columns; i++)
        cell[i] = "";
    for (size_t i = 0; i < line->row->cells; i++)
        if (column[line->card.file][i] >= 0)
            cell[column[line->card.file][i]] = line->row->cell[i].text;
    return cell;
}

/* The first column in which the lines differ, or -1. */
static int first_difference(const CardSet *set, const Card *a, const Card *b)
{
    for (size_t i = 0; i < set->columns; i++)
        if (strcmp(a->cell[i], b->cell[i]) != 0)
            return (int)i;
    return -1;
}

/* ---- merging ---- */

static int compare_lines(const void *a, const void *b)
{
    const Line *x = a, *y = b;
    int order = strcmp(x->card.folded, y->card.folded);
    if (order != 0)
        return order;
    if (x->card.file != y->card.file)
        return x->card.file < y->card.file ? -1 : 1;
    return x->row->line < y->row->line ? -1 : x->row->line > y->row->line;
}

#define CLASH_LINES_SHOWN 100
#define CLASHES_SHOWN 5 /* names; of more it is likelier a sheet in the wrong place than a slip in each */

/* One error that shows all lines of the name (beyond a hundred their number), and in what they differ from the first.
 */
static void report_clash(const CardSet *set, const Line *line, size_t count, Diags *diags)
{
    const Card *first = &line[0].card;
    char excerpt[TEXT_EXCERPT], other[TEXT_EXCERPT];
    Text text = {0};
    text_printf(&text, "found different lines with the name '%s', expected one line for each card:",
                text_excerpt(excerpt, first->name));
    text_printf(&text, "\n  %s:%d", first->at.file, first->at.line);
    for (size_t i = 1; i < count && i < CLASH_LINES_SHOWN; i++) {
        const Card *card = &line[i].card;
        int column = first_difference(set, first, card);
        text_printf(&text, "\n  %s:%d", card->at.file, card->at.line);
        if (column >= 0)
            text_printf(&text, ", where '%s' is '%s' and not '%s'", set->column[column],
                        text_excerpt(excerpt, card->cell[column]), text_excerpt(other, first->cell[column]));
        else
            text_add(&text, ", the same as the first");
    }
    if (count > CLASH_LINES_SHOWN)
        text_printf(&text, "\n  and %zu more lines", count - CLASH_LINES_SHOWN);
    diag_error(diags, first->at, "%s", text_cstr(&text));
    text_release(&text);
}

/* The further ones in one error, at the first of them. */
static void report_more_clashes(size_t more, SourcePos first, Diags *diags)
{
    if (more > 0)
        diag_error(diags, first,
                   "%zu more name%s on different lines; prices, owned cards and tags are sheets of their own in the "
                   "scenario, not further sheets of cards; else the model can say which line counts, as read: "
                   "{duplicates: fill}",
                   more, more == 1 ? " stands" : "s stand");
}

/* What the card does not say is taken from another line of its name. */
static void fill(const CardSet *set, Card *card, const Card *from)
{
    const char **cell = (const char **)card->cell; /* ours until the set is handed out */
    for (size_t i = 0; i < set->columns; i++)
        if (habits_blank(set->habits, cell[i]))
            cell[i] = from->cell[i];
    if (card->colours.parts == 0 && card->printed.parts == 0) {
        card->printed = from->printed;
        card->colours = from->colours;
    }
    if (card->kinds == 0) {
        card->kind = from->kind;
        card->kinds = from->kinds;
    }
    if (!card->has_cost) {
        card->has_cost = from->has_cost;
        card->cost = from->cost;
    }
    if (!card->has_power) {
        card->has_power = from->has_power;
        card->power = from->power;
    }
    if (!card->has_price) {
        card->has_price = from->has_price;
        card->price = from->price;
        card->price_text = from->price_text;
        card->price_header = from->price_header;
    }
    if (card->tags == 0) {
        card->tag = from->tag;
        card->tags = from->tags;
    }
    card->owned = card->owned > 0 ? card->owned : from->owned;
    card->status = card->status != 0 ? card->status : from->status;
    if (card->wishers == 0) {
        card->wisher = from->wisher;
        card->wishers = from->wishers;
        card->status |= from->wishers > 0 ? STATUS_WISH : 0;
    }
    card->symbols = card->symbols >= 0 ? card->symbols : from->symbols;
    card->text = card->text[0] != '\0' ? card->text : from->text;
    card->trial = card->trial != DAY_UNKNOWN ? card->trial : from->trial;
    card->never = card->never != NULL ? card->never : from->never;
}

/* Merges lines of one name into the set; false if they differ and the model does not say what then counts. */
static bool merge_lines(CardSet *set, Line *line, size_t count, size_t *clashes, Diags *diags)
{
    const Duplicates how = set->habits->duplicates;
    size_t different = 0;
    for (size_t i = 1; i < count; i++)
        different += first_difference(set, &line[0].card, &line[i].card) >= 0;
    if (different > 0 && how == DUPLICATES_ERROR) {
        if (++*clashes <= CLASHES_SHOWN)
            report_clash(set, line, count, diags);
        return false;
    }
    for (size_t i = 1; i < count && how == DUPLICATES_FILL; i++)
        fill(set, &line[0].card, &line[i].card);
    set->merged += count - 1 - different;
    set->repeated += different;
    set->card[set->count++] = line[how == DUPLICATES_LAST ? count - 1 : 0].card;
    return true;
}

bool cards_merge(CardSet *set, Line *line, size_t lines, int *const *column, Diags *diags)
{
    sort_stable(line, lines, sizeof *line, compare_lines);
    for (size_t i = 0; i < lines; i++)
        line[i].card.cell = cells_of(set, column, &line[i]);
    set->card = arena_alloc(set->arena, lines, sizeof *set->card);
    bool good = true;
    size_t clashes = 0;
    SourcePos further = {0};
    for (size_t i = 0, end; i < lines; i = end) {
        for (end = i + 1; end < lines && strcmp(line[i].card.folded, line[end].card.folded) == 0;)
            end++;
        const size_t before = clashes;
        good = merge_lines(set, &line[i], end - i, &clashes, diags) && good;
        if (before == CLASHES_SHOWN && clashes > before)
            further = line[i].card.at;
    }
    report_more_clashes(clashes > CLASHES_SHOWN ? clashes - CLASHES_SHOWN : 0, further, diags);
    return good;
}
