/* currency_met.h - amounts of money that must be in one currency, though none is stated. */
#ifndef POOLWRIGHT_BASE_CURRENCY_MET_H
#define POOLWRIGHT_BASE_CURRENCY_MET_H

#include "base/diag.h"
#include "base/memory.h"

/* Where no currency is stated, that of the first amount that is written with a mark. All zero: none was met yet. */
typedef struct {
    char mark[16];
    SourcePos at;  /* without a file: on the command line */
    bool own;      /* of the model or the command line: its sign may stand for any currency that shares it */
    bool reported; /* that another one was met */
} CurrencyMet;

/* Is the mark of a price that of the amounts met before? The first one is kept. */
bool currency_meet(CurrencyMet *met, const char *mark, SourcePos at);
/* "prices.csv:3", "the command line". In the arena. */
const char *currency_met_place(const CurrencyMet *met, Arena *arena);
/* As currency_fits; where no currency is stated, the amount's mark must be that of those met before, or a sign that it
 * shares. met may be NULL. */
bool currency_alike(const char *currency, CurrencyMet *met, const char *what, const char *amount, SourcePos at,
                    Diags *diags);

#endif
