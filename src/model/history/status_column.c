/* status_column.c - keep, ban, wish and in from a tags sheet. */
#include "model/history/status_column.h"

#include "cards/status.h"

void status_column_read(const MatchedSheet *side, const SheetCell *cell, long card, StatusMark *mark)
{
    unsigned bits = 0;
    Text expected = {0};
    const bool good = status_parse(&side->builder->instance->model->habits, cell->text, &bits, &expected);
    if (!good)
        matched_report(side, cell, text_cstr(&expected));
    text_release(&expected);
    if (!good || cell->text[0] == '\0')
        return;
    StatusMark *old = &mark[card];
    if (old->at.line > 0 && old->bits != bits)
        diag_error(side->builder->diags, sheet_pos(&side->sheet, cell),
                   "found the status '%s', but %s:%d says otherwise of the same card", cell->text, old->at.file,
                   old->at.line);
    *old = (StatusMark){.bits = bits, .at = sheet_pos(&side->sheet, cell)};
}

void status_column_apply(const InstanceBuilder *builder, const StatusMark *mark)
{
    const Instance *in = builder->instance;
    for (size_t c = 0; c < in->cards->count; c++) {
        Card *card = &in->cards->card[c];
        if (mark[c].at.line == 0)
            continue;
        const bool decides = (mark[c].bits & (STATUS_KEEP | STATUS_BAN)) != 0;
        card->status = mark[c].bits | (decides ? 0U : history_status(in, c)) | (card->wishers > 0 ? STATUS_WISH : 0U);
    }
}
