/* deal_report.h - packs as a group would open them: text, JSON, and a sheet. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_DEAL_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_DEAL_REPORT_H

#include "report/layout/table.h"
#include "seats/deal.h"
#include "whatif/list/pool_file.h"

typedef struct {
    const Instance *instance;
    const PoolFile *pool;
    const int *card; /* [packs x pack_size] as deal_packs leaves them */
    int packs, pack_size;
    int seed;
} Deal;

/* written: where the sheet is, or NULL. */
void deal_text(const Deal *deal, const char *written, const Style *style, Text *out);
/* False if it could not be made. */
bool deal_json(const Deal *deal, const Diags *notices, Text *out);
/* pack, name, colours, cost: a line for each card. */
void deal_sheet(const Deal *deal, Text *out);

#endif
