/* currency_met.c - see currency_met.h. */
#include "base/currency_met.h"

#include <stdio.h>

#include "base/currency.h"

static void take(CurrencyMet *met, const char *mark, SourcePos at, bool own)
{
    snprintf(met->mark, sizeof met->mark, "%s", mark);
    met->at = at;
    met->own = own;
}

static bool meet(CurrencyMet *met, const char *mark, SourcePos at, bool own)
{
    const bool names_sign = (own || met->own) && currency_shares(mark, met->mark); /* AUD after $ */
    if (met->mark[0] == '\0' || names_sign)
        take(met, mark, at, own);
    met->own = met->own && own;
    return currency_same(met->mark, mark) || (own && currency_shares(met->mark, mark));
}

bool currency_meet(CurrencyMet *met, const char *mark, SourcePos at)
{
    return meet(met, mark, at, false);
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
    const bool alike = mark[0] == '\0' || meet(met, mark, at, true);
    if (!alike)
        diag_error(diags, at, "%sfound '%s', but %s is in '%s'; expected one currency for all amounts", what, amount,
                   currency_met_place(met, arena), met->mark);
    arena_free(arena);
    return alike;
}
