/* magnitude.c - see magnitude.h. */
#include "programme/magnitude.h"

#include <inttypes.h>

#include "base/number.h"
#include "programme/count/risk.h"

#define ONE INT64_C(1000)
#define COEFFICIENT_MOST (INT64_C(1) << 40) /* as search_problem_trouble asks for */
#define SUM_MOST (INT64_C(1) << 61)
#define ROWS_MOST (1 << 12)

/* The first coefficient that is too large, by rule and card. */
static bool name_coefficient(const Programme *programme, Diags *diags)
{
    const SearchProblem *p = &programme->problem;
    const Instance *in = programme->instance;
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            const ProgrammeRow *row = &programme->row[p->row[k]];
            const long card = programme->column[j].card;
            if ((p->value[k] <= COEFFICIENT_MOST && p->value[k] >= -COEFFICIENT_MOST) || row->role != ROW_LIMIT ||
                row->limit->member == NULL || card < 0)
                continue;
            diag_error(diags, row->limit->member->rule->at,
                       "the numbers are too large to be exact: rule '%s' with what '%s' has there; expected smaller "
                       "amounts, or bounds with fewer decimals",
                       row->limit->name, in->cards->card[card].name);
            return true;
        }
    return false;
}

static bool risk_good(const Programme *programme, Diags *diags)
{
    const Instance *in = programme->instance;
    int128 sum = 0;
    bool by_choice = false; /* a protected limit that holds only if its theme is chosen takes the sum as coefficient */
    for (size_t m = 0; m < in->members; m++)
        by_choice = by_choice || (risk_protects(in, &in->member[m]) && in->member[m].theme >= 0 &&
                                  in->choosable[in->member[m].theme]);
    for (size_t c = 0; c < in->cards->count; c++) {
        const int bought = in->cards->card[c].copies - in->cards->card[c].owned; /* explanations lift bans */
        const int64_t highest = instance_buy_price(in, c) + risk_rise(in, c);
        if (bought <= 0)
            continue;
        sum += (int128)ONE * highest * bought;
        if (highest <= COEFFICIENT_MOST / ONE)
            continue;
        diag_error(diags, (SourcePos){.file = in->model->path},
                   "under price_risk a copy may cost at most %" PRId64 ".%02d: '%s' may come to %" PRId64
                   ".%02d; look at its price and high",
                   COEFFICIENT_MOST / ONE / 100, (int)(COEFFICIENT_MOST / ONE % 100), in->cards->card[c].name,
                   highest / 100, (int)(highest % 100));
        return false;
    }
    if (sum <= (by_choice ? COEFFICIENT_MOST : SUM_MOST))
        return true;
    diag_error(diags, (SourcePos){.file = in->model->path},
               "the prices of all candidates together are too large to be exact under price_risk; expected fewer "
               "candidates or lower prices");
    return false;
}

bool programme_magnitudes_good(const Programme *programme, bool overflow, Diags *diags)
{
    const char *trouble = overflow ? "a coefficient of a rule" : search_problem_trouble(&programme->problem);
    if (!overflow && programme_at_risk(programme) && !risk_good(programme, diags))
        return false;
    if (trouble == NULL)
        return true;
    if (!overflow && programme->problem.rows > ROWS_MOST)
        diag_error(diags, (SourcePos){.file = programme->instance->model->path},
                   "the rules and the cards of which some copies are owned and others not come to %d rows, expected at "
                   "most %d; fewer rules with 'each', or copies that are all owned or all bought",
                   programme->problem.rows, ROWS_MOST);
    else if (overflow || !name_coefficient(programme, diags))
        diag_error(diags, (SourcePos){.file = programme->instance->model->path},
                   "the numbers are too large to be exact: %s", trouble);
    return false;
}
