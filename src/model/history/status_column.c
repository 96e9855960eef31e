/* status_column.c - keep, ban, wish and in from a tags sheet. */
#include "model/history/status_column.h"

#include <string.h>

#include "model/yaml/values.h"

static unsigned status_bit(const char *folded)
{
    static const char *const word[] = {"keep", "ban", "wish", "in"};
    for (unsigned k = 0; k < 4; k++)
        if (strcmp(folded, word[k]) == 0)
            return 1U << k;
    return 0;
}

void status_column_read(const MatchedSheet *side, const SheetCell *cell, long card, StatusMark *mark)
{
    Arena *arena = side->builder->instance->arena;
    const char *part = text_fold_in(arena, cell->text);
    unsigned bits = 0;
    if (part[0] == '\0')
        return;
    while (part != NULL) {
        const char *end = strchr(part, ';');
        size_t length = end != NULL ? (size_t)(end - part) : strlen(part);
        const char *trimmed = text_trim(part, &length);
        unsigned bit = status_bit(arena_strndup(arena, trimmed, length));
        if (bit == 0 && length > 0) {
            matched_report(side, cell, "keep, ban, wish or in, several with ;");
            return;
        }
        bits |= bit;
        part = end != NULL ? end + 1 : NULL;
    }
    if ((bits & STATUS_KEEP) && (bits & STATUS_BAN)) {
        matched_report(side, cell, "keep or ban, not both");
        return;
    }
    StatusMark *old = &mark[card];
    if (old->at.line > 0 && old->bits != bits)
        diag_error(side->builder->diags, sheet_pos(&side->sheet, cell),
                   "found the status '%s', but %s:%d says otherwise of the same card", cell->text, old->at.file,
                   old->at.line);
    *old = (StatusMark){.bits = bits, .at = sheet_pos(&side->sheet, cell)};
}

void status_column_apply(const InstanceBuilder *builder, const StatusMark *mark)
{
    CardSet *cards = builder->instance->cards;
    for (size_t c = 0; c < cards->count; c++)
        if (mark[c].at.line > 0)
            cards->card[c].status = mark[c].bits | (cards->card[c].wishers > 0 ? STATUS_WISH : 0);
}
