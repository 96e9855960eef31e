/* distance.c - kept copies are min(given, chosen) card by card: the card's own 0/1 column, or a column of ours that may
 * not exceed either. The rows are only ever bounded so that more kept copies and less money for entering ones are
 * better, so these columns take their true values. */
#include "whatif/list/distance.h"

#include "base/memory.h"
#include "programme/rows/card_columns.h"

static void add_kept(Distance *d, Extension *extension, const CardColumns *card, size_t c)
{
    const int most = d->loaded->instance->most[c];
    const int given = d->from[c] < most ? d->from[c] : most;
    d->kept_column[c] = card_kept_column(extension, card, most, given);
    card_change_entries(extension, d->change_row, card, given, d->kept_column[c]);
    if (given > 0)
        extension_entry(extension, d->kept_row, d->kept_column[c] >= 0 ? d->kept_column[c] : card->first, 1);
}

static void add_entering(Distance *d, Extension *extension, const CardColumns *card, size_t c)
{
    const Instance *in = d->loaded->instance;
    const int owned = in->cards->card[c].owned, most = in->most[c];
    const int room = d->from[c] > owned ? d->from[c] : owned;
    int column = card->first;
    if (room >= most || instance_buy_price(in, c) == 0)
        return;
    if (room > 0 || card->second >= 0)
        column = d->enter_column[c] = card_tied_column(extension, card, most - room, -1, room);
    extension_entry(extension, d->enter_row, column, instance_buy_price(in, c));
}

void distance_init(Distance *distance, const Loaded *loaded, const int *from)
{
    const size_t cards = loaded->instance->cards->count;
    *distance = (Distance){.loaded = loaded,
                           .from = from,
                           .kept_column = mem_new(cards, sizeof *distance->kept_column),
                           .enter_column = mem_new(cards, sizeof *distance->enter_column)};
    CardColumns *columns = card_columns_new(loaded->programme);
    Extension *extension = extension_new(&loaded->programme->problem);
    distance->kept_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    distance->change_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    distance->enter_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < cards; c++) {
        distance->kept_column[c] = distance->enter_column[c] = -1;
        distance->copies += from[c];
        if (columns[c].first < 0)
            continue;
        add_kept(distance, extension, &columns[c], c);
        add_entering(distance, extension, &columns[c], c);
    }
    distance->problem = extension_build(extension);
    mem_free(columns);
}

void distance_release(Distance *distance)
{
    extension_problem_free(distance->problem);
    mem_free(distance->kept_column);
    mem_free(distance->enter_column);
    *distance = (Distance){0};
}

int64_t *distance_solution(const Distance *distance, const int *copies)
{
    const Instance *in = distance->loaded->instance;
    int64_t *x = mem_new((size_t)distance->problem->columns + 1, sizeof *x);
    programme_solution(distance->loaded->programme, copies, x);
    for (size_t c = 0; c < in->cards->count; c++) {
        const int owned = in->cards->card[c].owned;
        const int room = distance->from[c] > owned ? distance->from[c] : owned;
        if (distance->kept_column[c] >= 0)
            x[distance->kept_column[c]] = copies[c] < distance->from[c] ? copies[c] : distance->from[c];
        if (distance->enter_column[c] >= 0)
            x[distance->enter_column[c]] = copies[c] > room ? copies[c] - room : 0;
    }
    return x;
}

int distance_kept(const Distance *distance, const int *copies)
{
    int kept = 0;
    for (size_t c = 0; c < distance->loaded->instance->cards->count; c++)
        kept += copies[c] < distance->from[c] ? copies[c] : distance->from[c];
    return kept;
}

static int objective_row(const Distance *distance, DistanceObjective objective)
{
    switch (objective) {
    case DISTANCE_KEPT: return distance->kept_row;
    case DISTANCE_CHANGED: return distance->change_row;
    case DISTANCE_SPENT: break;
    }
    return distance->enter_row;
}

/* Of the distance's problem, or one that has more rows. */
static Reoptimiser *ask(const Distance *distance, const SearchProblem *p, DistanceObjective objective)
{
    Reoptimiser *search = reoptimiser_new(distance->loaded, p);
    const int row = objective_row(distance, objective);
    for (int j = 0; j < p->columns; j++) {
        int64_t coefficient = 0;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == row)
                coefficient = objective == DISTANCE_SPENT ? -p->value[k] : p->value[k];
        reoptimiser_objective(search, j, coefficient);
    }
    return search;
}

Reoptimiser *distance_question(const Distance *distance, DistanceObjective objective)
{
    return ask(distance, distance->problem, objective);
}

SearchProblem *distance_with_fit(const SearchProblem *problem, int64_t fit)
{
    Extension *extension = extension_new(problem);
    const int row = extension_row(extension, fit, SEARCH_PLUS_INFINITY);
    for (int j = 0; j < problem->columns; j++)
        if (problem->objective[j] != 0)
            extension_entry(extension, row, j, problem->objective[j]);
    return extension_build(extension);
}

/* Of pools with at least so much fit. */
static Reoptimiser *ask_with_fit(const Distance *distance, int64_t fit, DistanceObjective objective)
{
    SearchProblem *problem = distance_with_fit(distance->problem, fit);
    Reoptimiser *search = search_problem_trouble(problem) == NULL ? ask(distance, problem, objective) : NULL;
    extension_problem_free(problem);
    return search;
}

Reoptimiser *distance_nearest(const Distance *distance, int64_t fit)
{
    return ask_with_fit(distance, fit, DISTANCE_CHANGED);
}

Reoptimiser *distance_cheapest(const Distance *distance, int64_t fit, int changes)
{
    Reoptimiser *search = ask_with_fit(distance, fit, DISTANCE_SPENT);
    if (search != NULL)
        reoptimiser_row(search, distance->change_row, distance->copies - changes, SEARCH_PLUS_INFINITY);
    return search;
}

void exchange_pools(Answer *a, Answer *b)
{
    int *copies = a->copies;
    const PoolCheck check = a->check;
    a->copies = b->copies;
    a->check = b->check;
    b->copies = copies;
    b->check = check;
}
