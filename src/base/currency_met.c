/* currency_met.c - see currency_met.h. */
#include "base/currency_met.h"

#include <stdio.h>

#include "base/currency.h"

bool currency_meet(CurrencyMet *met, const char *mark, SourcePos at)
{
    if (met->mark[0] != '\0')
        return currency_same(met->mark, mark);
    snprintf(met->mark, sizeof met->mark, "%s", mark);
    met->at = at;
    return true;
}

const char *currency_met_place(const CurrencyMet *met, Arena *arena)
{
    return met->at.file != NULL ? arena_printf(arena, "%s:%d", met->at.file, met->at.line) : "the command line";
}

bool currency_alike(const char *currency, CurrencyMet *met, const char *what, const char *amount, SourcePos at,
                    Diags *diags)
{
    if (currency != NULL || met == NULL)
        return currency_fits(currency, what, amount, at, diags);
    Arena *arena = arena_new();
    const char *mark = currency_mark(arena, amount);
    const bool alike = mark[0] == '\0' || currency_meet(met, mark, at);
    if (!alike)
        diag_error(diags, at, "%sfound '%s', but %s is in '%s'; expected one currency for all amounts", what, amount,
                   currency_met_place(met, arena), met->mark);
    arena_free(arena);
    return alike;
}
