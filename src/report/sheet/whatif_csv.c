/* whatif_csv.c - the comparison and all pools side by side, as sheets. */
#include <inttypes.h>
#include <string.h>

#include "base/sort.h"
#include "report/layout/format.h"
#include "report/words/limit_words.h"
#include "report/sheet/sheet_out.h"
#include "programme/count/pool_summary.h"
#include "report/whatif_report.h"

#define FILE_PART 120 /* bytes: names of files end at some 250 */

const char *file_part(const char *name, Arena *arena)
{
    char *folded = text_fold(name);
    char *part = arena_strdup(arena, folded);
    size_t length = 0;
    for (size_t at = 0, bytes; folded[at] != '\0'; at += bytes) {
        const char c = folded[at];
        bytes = text_character(folded + at);
        const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || bytes > 1;
        if (length + bytes > FILE_PART)
            break;
        if (plain) {
            memcpy(part + length, folded + at, bytes);
            length += bytes;
        } else if (length > 0 && part[length - 1] != '-') {
            part[length++] = '-';
        }
    }
    while (length > 0 && (part[length - 1] == '-' || part[length - 1] == '.'))
        length--;
    part[length] = '\0';
    mem_free(folded);
    return length > 0 && part[0] != '.' ? part : "case";
}

/* ---- comparison ---- */

/* All that is at its limit here and was not in the base, in one cell. */
static const char *newly_tight(const WhatIfCase *item, Arena *arena)
{
    const char *all = "";
    for (size_t k = 0; k < item->tights; k++)
        all = arena_printf(arena, "%s%s%s %s", all, k > 0 ? "; " : "", item->tight[k]->limit->title,
                           limit_asks_text(item->tight[k]->limit, &item->tight[k]->bounds, arena));
    return all;
}

static void add_case_line(const WhatIf *all, const WhatIfCase *item, char separator, bool commas, Text *out)
{
    const Answer *a = &item->answer;
    const Instance *in = all->loaded[item->loaded].instance;
    Arena *arena = arena_new();
    const char *none = "";
    PoolSummary sum = {.weakest = -1};
    if (a->has_pool)
        pool_summary(in, a, &sum);
    const char *cell[] = {
        item->name,
        answer_status_name(a->status),
        a->has_pool ? arena_printf(arena, "%" PRId64, a->check.size) : none,
        a->has_pool ? sheet_number(arena, commas, format_money(arena, a->check.cost)) : none,
        item->has_cap ? sheet_number(arena, commas, format_money(arena, item->cap)) : none,
        a->has_pool ? sheet_number(arena, commas, format_number(arena, a->check.fit)) : none,
        a->has_bound && a->status != ANSWER_INFEASIBLE ? sheet_number(arena, commas, format_number(arena, a->bound))
                                                       : none,
        sum.weakest >= 0 ? in->model->theme[sum.weakest].name : none,
        sum.weakest >= 0 ? sheet_number(arena, commas, format_number(arena, sum.theme[sum.weakest].strength)) : none,
        item->compared ? arena_printf(arena, "%d", item->in) : none,
        item->compared ? arena_printf(arena, "%d", item->out) : none,
        a->has_pool ? sheet_number(arena, commas, fit_per_card(arena, a)) : none,
        a->has_pool ? sheet_number(arena, commas, format_number(arena, a->check.bonus)) : none,
        newly_tight(item, arena),
    };
    sheet_line(out, cell, sizeof cell / sizeof *cell, separator);
    if (a->has_pool)
        pool_summary_release(&sum);
    arena_free(arena);
}

void what_if_comparison_csv(const WhatIf *what_if, Text *out)
{
    static const char *const header[] = {"case", "status",   "cards",         "to buy",   "cap",
                                         "fit",  "at most",  "weakest theme", "strength", "in",
                                         "out",  "per card", "structure",     "now tight"};
    const char separator = sheet_separator(what_if->loaded[0].instance->cards);
    const bool commas = sheet_has_commas(what_if->loaded[0].instance->cards);
    sheet_begin(out, what_if->loaded[0].instance->cards);
    sheet_line(out, header, sizeof header / sizeof *header, separator);
    for (size_t k = 0; k < what_if->count; k++)
        add_case_line(what_if, &what_if->item[k], separator, commas, out);
}

/* ---- all pools side by side ---- */

typedef struct {
    const char *folded;
    size_t loaded, card;
} Seen;

static int by_name(const void *a, const void *b)
{
    const Seen *x = a, *y = b;
    int order = strcmp(x->folded, y->folded);
    return order != 0 ? order : (x->loaded > y->loaded) - (x->loaded < y->loaded);
}

/* Every candidate of every loaded scenario once, in order of names; of the first loaded scenario that has it. */
static Seen *all_cards(const WhatIf *all, size_t *count)
{
    size_t most = 0;
    for (size_t g = 0; g < all->loaded_count; g++)
        most += all->loaded[g].instance->cards->count;
    Seen *seen = mem_new(most, sizeof *seen);
    *count = 0;
    for (size_t g = 0; g < all->loaded_count; g++)
        for (size_t c = 0; c < all->loaded[g].instance->cards->count; c++)
            seen[(*count)++] = (Seen){all->loaded[g].instance->cards->card[c].folded, g, c};
    sort_stable(seen, *count, sizeof *seen, by_name);
    size_t kept = 0;
    for (size_t k = 0; k < *count; k++)
        if (kept == 0 || strcmp(seen[kept - 1].folded, seen[k].folded) != 0)
            seen[kept++] = seen[k];
    *count = kept;
    return seen;
}

static int copies_in(const WhatIf *all, const WhatIfCase *item, const Seen *seen)
{
    const Instance *in = all->loaded[item->loaded].instance;
    if (!item->answer.has_pool)
        return 0;
    if (seen->card < in->cards->count && strcmp(in->cards->card[seen->card].folded, seen->folded) == 0)
        return item->answer.copies[seen->card];
    long card = card_find(in->cards, seen->folded);
    return card >= 0 ? item->answer.copies[card] : 0;
}

void what_if_cards_csv(const WhatIf *what_if, Text *out)
{
    const char separator = sheet_separator(what_if->loaded[0].instance->cards);
    const bool commas = sheet_has_commas(what_if->loaded[0].instance->cards);
    sheet_begin(out, what_if->loaded[0].instance->cards);
    const size_t lead = 6, cells = lead + what_if->count;
    const char **cell = mem_new(cells, sizeof *cell);
    static const char *const header[] = {"name", "colours", "class", "price", "owned", "fit"};
    memcpy(cell, header, sizeof header);
    for (size_t k = 0; k < what_if->count; k++)
        cell[lead + k] = what_if->item[k].name;
    sheet_line(out, cell, cells, separator);
    size_t count;
    Seen *seen = all_cards(what_if, &count);
    for (size_t n = 0; n < count; n++) {
        Arena *arena = arena_new();
        const Instance *in = what_if->loaded[seen[n].loaded].instance;
        const Card *card = &in->cards->card[seen[n].card];
        CardVocabulary words = model_vocabulary(in->model);
        int in_any = 0;
        cell[0] = card->name;
        cell[1] = colours_text(&words, &card->colours, arena);
        cell[2] = class_name(in->class[seen[n].card]);
        cell[3] = price_known(in, seen[n].card)
                      ? sheet_number(arena, commas, format_money(arena, in->price[seen[n].card]))
                      : "";
        cell[4] = arena_printf(arena, "%d", card->owned);
        cell[5] = sheet_number(arena, commas, format_number(arena, in->fit[seen[n].card]));
        for (size_t k = 0; k < what_if->count; k++) {
            int copies = copies_in(what_if, &what_if->item[k], &seen[n]);
            in_any += copies;
            cell[lead + k] = copies > 0 ? arena_printf(arena, "%d", copies) : "";
        }
        if (in_any > 0)
            sheet_line(out, cell, cells, separator);
        arena_free(arena);
    }
    mem_free(seen);
    mem_free(cell);
}
