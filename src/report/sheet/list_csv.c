/* list_csv.c - the chosen pool as a sheet. */
#include <string.h>

#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet.h"
#include "report/layout/format.h"
#include "report/report.h"
#include "report/sheet/sheet_out.h"

static void add_piece(Text *reason, const char *piece)
{
    if (reason->length > 0)
        text_add(reason, "; ");
    text_add(reason, piece);
}

/* By a rule, a group, or what another card needs. */
static bool is_counted(const Instance *in, const Limit *limit, size_t card)
{
    bool counted = limit->member != NULL && member_counts(in, limit->member, card);
    for (size_t k = 0; k < limit->amongs; k++)
        counted = counted || limit->among[k] == card;
    return counted;
}

/* The pool, to be counted without a card. */
typedef struct {
    PoolCount *count;
    size_t sums;      /* limits that add up over cards: the instance's first */
    LimitSum *others; /* [sums] without the card */
} Counted;

static Counted counted_new(const Instance *in, const Answer *answer)
{
    Counted counted = {.count = pool_count_new(in, answer->copies)};
    counted.sums = pool_count_sums(counted.count, NULL);
    counted.others = mem_new(counted.sums, sizeof *counted.others);
    return counted;
}

static void counted_release(Counted *counted)
{
    pool_count_free(counted->count);
    mem_free(counted->others);
}

static void count_others(const Counted *counted, const Answer *answer, size_t card)
{
    pool_count_change(counted->count, card, -answer->copies[card]);
    pool_count_sums(counted->count, counted->others);
    pool_count_change(counted->count, card, answer->copies[card]);
}

/* Would the limit's lower side break without the card? Not where the card counts for nothing in it, or less: a low
 * power does not hold up an average. */
static bool is_needed(const Instance *in, const Counted *counted, const LimitUse *use, size_t card)
{
    if (!use->low_tight || limit_is_exact(use->limit) || !is_counted(in, use->limit, card))
        return false;
    const size_t limit = (size_t)(use->limit - in->limit);
    return limit >= counted->sums || limit_use_of_sum(use->limit, counted->others[limit]).low_slack < 0;
}

/* The themes it serves, then the tight lower limits that need it. */
static void add_uses(const Instance *in, const Answer *answer, const Counted *counted, size_t card, Arena *arena,
                     Text *reason)
{
    for (size_t t = 0; t < in->model->themes; t++) {
        const CardTag *tag = instance_theme_tag(in, t, card);
        if (tag == NULL)
            continue;
        const char *role = role_name(tag->role);
        add_piece(reason, arena_printf(arena, "%s%s%s %s", in->model->theme[t].name, role[0] != '\0' ? " " : "", role,
                                       format_number(arena, tag->weight)));
    }
    int shown = 0;
    count_others(counted, answer, card);
    for (size_t u = 0; u < answer->check.uses && shown < 3; u++) {
        const LimitUse *use = &answer->check.use[u];
        if (!is_needed(in, counted, use, card))
            continue;
        add_piece(reason, arena_printf(arena, "needed for %s", use->limit->title));
        shown++;
    }
}

/* "convoys", "open": the places that the card's copies fill; NULL if it fills none. */
static const char *places_filled(const Answer *answer, const Instance *instance, size_t card, Arena *arena)
{
    const PoolCheck *check = &answer->check;
    const char *text = NULL;
    for (size_t k = 0; k < check->places; k++) {
        if (check->place[k].card != card)
            continue;
        const char *name = check->place[k].theme < 0 ? "open" : instance->model->theme[check->place[k].theme].name;
        text = text == NULL ? name : arena_printf(arena, "%s, %s", text, name);
    }
    return text;
}

/* What becomes of the copies of the present pool. */
static void add_stays(int present, int copies, Arena *arena, Text *reason)
{
    if (present == 0)
        add_piece(reason, "new");
    else
        add_piece(reason, "stays");
    if (present > 0 && copies > present)
        add_piece(reason, arena_printf(arena, "%d more", copies - present));
    else if (present > copies)
        add_piece(reason, arena_printf(arena, "%d less", present - copies));
}

static void add_reason(const Instance *in, const Answer *answer, const Counted *counted, size_t card, Text *reason)
{
    Arena *arena = arena_new();
    unsigned status = in->status[card];
    int copies = answer->copies[card];
    if (in->skipped[card])
        add_piece(reason, "no price");
    if (status & STATUS_BAN)
        add_piece(reason, "banned");
    if (copies > 0 && (status & STATUS_KEEP))
        add_piece(reason, "kept as asked");
    if (status & STATUS_WISH)
        add_piece(reason, "wish");
    if (in->has_present && copies > 0)
        add_stays(in->present[card], copies, arena, reason);
    if (in->has_present && copies == 0 && in->present[card] > 0)
        add_piece(reason, "leaves");
    const char *place = places_filled(answer, in, card, arena);
    if (place != NULL)
        add_piece(reason, arena_printf(arena, "place: %s", place));
    if (copies > 0)
        add_uses(in, answer, counted, card, arena, reason);
    arena_free(arena);
}

/* ---- columns ---- */

/* What a list is written with. */
typedef struct {
    const Instance *in;
    const Answer *answer;
    Counted counted;
    Arena *arena;
    char separator;
    bool commas;               /* decimal ones */
    int colours, price, owned; /* the user's own columns with them, -1: none, or several */
    bool has_colours, has_price, has_owned, has_class, has_fit; /* the list adds them */
} List;

/* The user's column that is read as this one of ours; -1: none or several (*several). */
static int serving(const CardSet *set, const char *ours, bool *several)
{
    int found = -1;
    *several = false;
    for (size_t i = 0; i < set->columns; i++)
        if (!set->listed[i] && set->serves[i] != NULL && strcmp(set->serves[i], ours) == 0) {
            *several = found >= 0;
            found = (int)i;
        }
    return *several ? -1 : found;
}

/* Has the user a column with this header, whatever it holds? Then it stays the only one. */
static bool is_taken(const CardSet *set, const char *header)
{
    const int column = card_column(set, header);
    return column >= 0 && !set->listed[column];
}

static bool owns_any(const Instance *in)
{
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->listed[c] > 0)
            return true;
    return false;
}

static bool any_price(const Instance *in)
{
    for (size_t c = 0; c < in->cards->count; c++)
        if (!in->unpriced[c])
            return true;
    return false;
}

static bool any_titled(const CardSet *set)
{
    for (size_t i = 0; i < set->files; i++)
        if (set->file[i].titled)
            return true;
    return false;
}

static void list_begin(List *list)
{
    const Instance *in = list->in;
    const CardSet *set = in->cards;
    bool several;
    list->separator = sheet_separator(set);
    list->commas = sheet_has_commas(set);
    list->colours = serving(set, "colours", &several);
    list->has_colours = list->colours < 0 && !several && !is_taken(set, "colours") && any_titled(set);
    list->price = serving(set, "price", &several);
    list->has_price = list->price < 0 && !several && !is_taken(set, "price") && any_price(in);
    list->owned = serving(set, "owned", &several);
    list->has_owned = list->owned < 0 && !several && !is_taken(set, "owned") && owns_any(in);
    list->has_class = !is_taken(set, "class");
    list->has_fit = !is_taken(set, "fit");
}

static const char *price_cell(const List *list, size_t card)
{
    const Instance *in = list->in; /* what the model takes for cards without a price is none of theirs */
    return in->unpriced[card] ? ""
                              : sheet_number(list->arena, list->commas, format_money(list->arena, in->price[card]));
}

/* Of a sheet that is called as its colours, or has headings that are. */
static const char *colours_cell(const List *list, size_t card)
{
    const Card *c = &list->in->cards->card[card];
    const CardVocabulary words = model_vocabulary(list->in->model);
    return list->in->cards->file[c->file].titled && c->printed.parts > 0
               ? colours_text(&words, &c->printed, list->arena)
               : "";
}

static const char *owned_cell(const List *list, size_t card)
{
    return arena_printf(list->arena, "%d", list->in->listed[card]);
}

/* The user's cell says this many thousandths: then it stays as it was written. */
static bool says(const List *list, size_t card, int column, int64_t thousandths)
{
    const CardSet *set = list->in->cards;
    const char *cell = set->card[card].cell[column];
    int64_t value = 0;
    const int yes = word_says_yes(cell);
    if (counted_copies(cell) >= 0)
        return counted_copies(cell) * 1000LL == thousandths;
    if (yes >= 0)
        return yes * 1000LL == thousandths;
    const CellKind kind = card_number(set, &set->card[card], column, &value);
    return kind == CELL_BLANK ? thousandths == 0 : kind == CELL_NUMBER && value == thousandths;
}

/* A price or a number of copies that another sheet, or a case, says otherwise stands there instead of the user's own.
 */
static const char *own_cell(const List *list, size_t card, int column)
{
    const Instance *in = list->in;
    const char *cell = in->cards->card[card].cell[column];
    if (column == list->colours && habits_blank(in->cards->habits, cell))
        return colours_cell(list, card);
    if (column == list->price && !in->unpriced[card] && (in->quoted[card] || habits_blank(in->cards->habits, cell)) &&
        !says(list, card, column, in->price[card] * 10))
        return price_cell(list, card);
    if (column == list->owned && !says(list, card, column, in->listed[card] * 1000LL))
        return owned_cell(list, card);
    return cell;
}

/* The cells of a line, the headers where card is NO_CARD. */
#define NO_CARD ((size_t)-1)

static void add_row(const List *list, size_t card, Text *out)
{
    const Instance *in = list->in;
    const CardSet *set = in->cards;
    const bool header = card == NO_CARD;
    const char **cell = arena_alloc(list->arena, set->columns + 7, sizeof *cell);
    size_t cells = 0;
    for (size_t c = 0; c < set->columns; c++)
        if (!set->listed[c])
            cell[cells++] = header ? set->column[c] : own_cell(list, card, (int)c);
    cell[cells++] = header ? "chosen" : arena_printf(list->arena, "%d", list->answer->copies[card]);
    if (list->has_colours)
        cell[cells++] = header ? "colours" : colours_cell(list, card);
    if (list->has_price)
        cell[cells++] = header ? "price" : price_cell(list, card);
    if (list->has_owned)
        cell[cells++] = header ? "owned" : owned_cell(list, card);
    if (list->has_class)
        cell[cells++] = header ? "class" : class_name(in->class[card]);
    if (list->has_fit)
        cell[cells++] =
            header ? "fit" : sheet_number(list->arena, list->commas, format_number(list->arena, in->fit[card]));
    Text reason = {0};
    if (!header)
        add_reason(in, list->answer, &list->counted, card, &reason);
    cell[cells++] = header ? "reason" : text_cstr(&reason);
    sheet_line(out, cell, cells, list->separator);
    text_release(&reason);
}

void list_csv(const Instance *instance, const Answer *answer, bool all, Text *out)
{
    List list = {.in = instance, .answer = answer, .counted = counted_new(instance, answer), .arena = arena_new()};
    list_begin(&list);
    sheet_begin(out, instance->cards);
    add_row(&list, NO_CARD, out);
    for (size_t c = 0; c < instance->cards->count; c++)
        if (all || answer->copies[c] > 0)
            add_row(&list, c, out);
    counted_release(&list.counted);
    arena_free(list.arena);
}
