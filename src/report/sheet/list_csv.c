/* list_csv.c - the chosen pool as a sheet. */
#include <string.h>

#include "report/words/format.h"
#include "report/report.h"
#include "report/structure.h"
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

/* The themes it serves, then the tight lower limits that need it. */
static void add_uses(const Instance *in, const Answer *answer, size_t card, Arena *arena, Text *reason)
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
    for (size_t u = 0; u < answer->check.uses && shown < 3; u++) {
        const LimitUse *use = &answer->check.use[u];
        if (!use->low_tight || limit_is_exact(use->limit) || !is_counted(in, use->limit, card))
            continue;
        add_piece(reason, arena_printf(arena, "needed for %s", use->limit->title));
        shown++;
    }
}

static void add_reason(const Instance *in, const Answer *answer, size_t card, Text *reason)
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
        add_piece(reason, in->present[card] >= copies ? "stays" : "new");
    if (in->has_present && copies == 0 && in->present[card] > 0)
        add_piece(reason, "leaves");
    const char *place = structure_place(answer, in, card, arena);
    if (place != NULL)
        add_piece(reason, arena_printf(arena, "place: %s", place));
    if (copies > 0)
        add_uses(in, answer, card, arena, reason);
    arena_free(arena);
}

/* Columns that an earlier list left behind are written anew, not twice. */
static bool is_ours(const char *header)
{
    return strcmp(header, "chosen") == 0 || strcmp(header, "reason") == 0;
}

static void add_row(const Instance *in, const Answer *answer, size_t card, char separator, Text *out)
{
    const CardSet *set = in->cards;
    for (size_t c = 0; c < set->columns; c++) {
        if (is_ours(set->column[c]))
            continue;
        sheet_cell(out, set->card[card].cell[c], separator);
        text_add_char(out, separator);
    }
    text_printf(out, "%d%c", answer->copies[card], separator);
    Text reason = {0};
    add_reason(in, answer, card, &reason);
    sheet_cell(out, text_cstr(&reason), separator);
    text_release(&reason);
    text_add(out, "\r\n");
}

void list_csv(const Instance *instance, const Answer *answer, bool all, Text *out)
{
    const CardSet *set = instance->cards;
    char separator = sheet_separator(set);
    sheet_begin(out, set);
    for (size_t c = 0; c < set->columns; c++) {
        if (is_ours(set->column[c]))
            continue;
        sheet_cell(out, set->column[c], separator);
        text_add_char(out, separator);
    }
    text_printf(out, "chosen%creason\r\n", separator);
    for (size_t c = 0; c < set->count; c++)
        if (all || answer->copies[c] > 0)
            add_row(instance, answer, c, separator, out);
}
