/* tiny_judge.c - which pools are allowed, what they are worth, and the best of all of them by trying each: see tiny.h.
 */
#include "tiny.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One member of a rule: what each copy of each card adds, and the bounds in force. */
typedef struct {
    const TinyRule *rule;
    bool counts[CARDS_MOST], counts_of[CARDS_MOST], blank[CARDS_MOST];
    int64_t value[CARDS_MOST]; /* of one copy, in the measure's smallest unit */
    Band band;
} Member;

struct TinyView {
    const Tiny *tiny;
    Seen seen[CARDS_MOST];
    int members;
    Member member[RULES_MOST * MEMBERS_MOST];
    int size_from, size_to;
    bool has_cap;
    int64_t cap;
    int least[CARDS_MOST], most[CARDS_MOST];
};

void tiny_pair(const Tiny *tiny, int pair, int *first, int *second)
{
    int count = 0;
    for (int a = 0; a < tiny->colours; a++) {
        for (int b = a + 1; b < tiny->colours; b++) {
            if (count++ == pair) {
                *first = a;
                *second = b;
                return;
            }
        }
    }
    abort();
}

int tiny_members(const Tiny *tiny, int each)
{
    switch (each) {
    case PER_COLOUR: return tiny->colours;
    case PER_PAIR: return tiny->colours * (tiny->colours - 1) / 2;
    case PER_THEME: return tiny->themes;
    default: return 1;
    }
}

int tiny_member_of(const Tiny *tiny, const TinyRule *rule, const char *name)
{
    for (int m = 0; m < tiny_members(tiny, rule->each); m++) {
        char own[64] = "";
        int a = 0;
        int b = 0;
        if (rule->each == PER_PAIR) {
            tiny_pair(tiny, m, &a, &b);
            snprintf(own, sizeof own, "%s+%s", tiny_colour_name(a), tiny_colour_name(b));
        } else if (rule->each != ONCE) {
            snprintf(own, sizeof own, "%s", rule->each == PER_COLOUR ? tiny_colour_name(m) : tiny_theme_name(m));
        }
        if (strcmp(own, name) == 0) {
            return m;
        }
    }
    return -1;
}

static unsigned member_colours(const Tiny *tiny, int each, int member)
{
    int a = 0;
    int b = 0;
    switch (each) {
    case PER_COLOUR: return 1U << member;
    case PER_PAIR: tiny_pair(tiny, member, &a, &b); return 1U << a | 1U << b;
    case PER_THEME: return tiny->theme[member].colours;
    default: return 0;
    }
}

static bool in_scope(const Tiny *tiny, const TinyRule *rule, int member, const Seen *seen, int card)
{
    if (rule->each == ONCE) {
        return true;
    }
    int scope = rule->scope != BY_DEFAULT ? rule->scope : rule->each == PER_THEME ? PLAYABLE : EXACT;
    unsigned colours = member_colours(tiny, rule->each, member);
    if (rule->each == PER_THEME && !tiny->card[card].tag[member].there) {
        return false;
    }
    switch (scope) {
    case EXACT: return seen[card].shown == colours;
    case TOUCHING: return (seen[card].shown & colours) != 0;
    case PLAYABLE: return tiny_payable(&seen[card].need, colours);
    default: return true;
    }
}

static bool is_exempt(const Tiny *tiny, int rule, int card)
{
    for (int i = 0; i < tiny->exempts; i++) {
        if (tiny->exempt_card[i] == card && tiny->exempt_rule[i] == rule) {
            return true;
        }
    }
    return false;
}

/* The size that holds at a layer: the last one said there or before; where none was, the first one said after. Targets
 * count as written beside the size that the change sets. */
int tiny_size_in_force(const Tiny *tiny, int layer)
{
    if (layer == LAYERS && tiny->size_by_command) {
        return tiny->command_to;
    }
    int last = layer == LAYER_TARGETS ? LAYER_CHANGE : layer;
    int size = 0;
    for (int i = 0; i < LAYERS && (i <= last || size == 0); i++) {
        if (tiny->has_size[i] && (i != LAYER_CASE || tiny->case_named)) {
            size = tiny->size_to[i];
        }
    }
    return size;
}

void tiny_sizes_in_force(const Tiny *tiny, int *from, int *to)
{
    *from = tiny->command_from;
    *to = tiny->command_to;
    for (int layer = 0; layer < LAYERS && !tiny->size_by_command; layer++) {
        if (tiny->has_size[layer] && (layer != LAYER_CASE || tiny->case_named)) {
            *from = tiny->size_from[layer];
            *to = tiny->size_to[layer];
        }
    }
}

static int64_t floor_of(Wide a, Wide b)
{
    return (int64_t)(a >= 0 ? a / b : -((-a + b - 1) / b));
}

/* The quota rule: lower bounds down (never from 1 or more to 0), upper bounds up, exactly becomes the band between. */
static Band scaled_number(const Tiny *tiny, const TinyRule *rule, Band band, int layer)
{
    int then = tiny_size_in_force(tiny, layer);
    int now = tiny_size_in_force(tiny, LAYERS);
    bool scales = rule->scales == 1 || (rule->scales == 0 && (rule->measure == COUNT || rule->measure == NAMES));
    if (band.side == NONE || band.sort != ABSOLUTE || !scales || then == now) {
        return band;
    }
    int64_t low = floor_of((Wide)band.low * now, then);
    int64_t high = -floor_of(-(Wide)band.high * now, then);
    band.low = band.low >= 1 && low < 1 ? 1 : low;
    band.high = high;
    if (band.side == EXACTLY) {
        band.side = BETWEEN;
    }
    return band;
}

/* What is said as a chance is worked out for the sizes in force. */
static Band scaled(const Tiny *tiny, const TinyRule *rule, Band band, int layer)
{
    Band there = scaled_number(tiny, rule, band, layer);
    if (band.side != NONE && band.seen.at_least > 0) {
        there.low = tiny_seen_copies(tiny, &band.seen);
    }
    return there;
}

/* Bounds by layers: a later one replaces the rule's old bounds and those of single members too; then come its own for
 * single members. */
Band tiny_band(const Tiny *tiny, const TinyRule *rule, int member)
{
    Band all = {.side = NONE};
    Band own = {.side = NONE};
    for (int layer = 0; layer < LAYERS; layer++) {
        if (layer == LAYER_CASE && !tiny->case_named) {
            continue;
        }
        if (rule->band[layer].side != NONE) {
            all = scaled(tiny, rule, rule->band[layer], layer);
            own.side = NONE;
        }
        for (int i = 0; i < rule->owns[layer]; i++) {
            if (rule->own[layer][i].member == member) {
                own = scaled(tiny, rule, rule->own[layer][i].band, layer);
            }
        }
    }
    return own.side != NONE ? own : all;
}

static int64_t one_copy(const Tiny *tiny, const TinyRule *rule, int theme, const Seen *seen, int card, bool *blank)
{
    const TinyCard *c = &tiny->card[card];
    int64_t value = 0;
    *blank = false;
    switch (rule->measure) {
    case COUNT:
    case NAMES: return 1;
    case SPEND:
    case PRICE: *blank = !seen[card].has_price; return seen[card].price;
    case FIT: return seen[card].fit;
    case COST: *blank = !seen[card].has_cost; return seen[card].cost;
    case POWER: *blank = !c->has_power; return c->has_power ? c->power : 0;
    case WEIGHT: *blank = !tiny_weight(tiny, &rule->where, theme, card, &value); return value;
    default: *blank = !c->has_number; return c->has_number ? c->number : 0;
    }
}

static void fill_member(const Tiny *tiny, const Seen *seen, int r, int m, Member *member)
{
    const TinyRule *rule = &tiny->rule[r];
    int theme = rule->each == PER_THEME ? m : -1;
    member->rule = rule;
    member->band = tiny_band(tiny, rule, m);
    for (int c = 0; c < tiny->cards; c++) {
        bool here = in_scope(tiny, rule, m, seen, c) && !is_exempt(tiny, r, c);
        member->counts[c] = here && tiny_passes(tiny, seen, &rule->where, theme, c);
        member->counts_of[c] = here && (!rule->has_of || tiny_passes(tiny, seen, &rule->of, theme, c));
        member->value[c] = one_copy(tiny, rule, theme, seen, c, &member->blank[c]);
    }
}

static unsigned said(const TinyCard *card)
{
    unsigned status = 0;
    for (int way = 0; way < WAYS; way++) {
        status |= card->status[way];
    }
    return status;
}

TinyView *tiny_view(const Tiny *tiny)
{
    TinyView *view = calloc(1, sizeof *view);
    if (view == NULL) {
        abort();
    }
    view->tiny = tiny;
    tiny_see(tiny, view->seen);
    for (int r = 0; r < tiny->rules; r++) {
        for (int m = 0; m < tiny_members(tiny, tiny->rule[r].each) && tiny->rule[r].off == 0; m++) {
            fill_member(tiny, view->seen, r, m, &view->member[view->members++]);
        }
    }
    tiny_sizes_in_force(tiny, &view->size_from, &view->size_to);
    view->has_cap = tiny->has_cap || tiny->cap_by_change || tiny->cap_by_command;
    view->cap = tiny->cap_by_command ? tiny->command_cap : tiny->cap_by_change ? tiny->changed_cap : tiny->cap;
    view->cap -= tiny_paid(tiny);
    for (int c = 0; c < tiny->cards; c++) {
        unsigned status = said(&tiny->card[c]);
        bool out = view->seen[c].skipped || (status & BAN) != 0;
        view->least[c] = (status & KEEP) != 0 ? 1 : 0;
        view->most[c] = out ? 0 : tiny->card[c].copies;
    }
    return view;
}

void tiny_view_free(TinyView *view)
{
    free(view);
}

int tiny_owned(const Tiny *tiny, int card)
{
    const int listed = tiny->card[card].owned, present = tiny->has_present ? tiny->present[card] : 0;
    return tiny->pool_owned == 2 || listed > present ? listed : present;
}

/* What copies of the card add: money to spend is for copies beyond the owned ones. */
static int64_t adds(const Tiny *tiny, const Member *member, int card, int copies)
{
    int paid = copies;
    if (member->rule->measure == SPEND) {
        paid = copies > tiny_owned(tiny, card) ? copies - tiny_owned(tiny, card) : 0;
    }
    if (member->rule->measure == NAMES) { /* once */
        paid = copies > 0;
    }
    return paid * member->value[card];
}

static void use_of(const Tiny *tiny, const Member *member, const int *copies, int64_t *use, int64_t *total,
                   int64_t *counted)
{
    *use = 0;
    *total = 0;
    *counted = 0;
    for (int c = 0; c < tiny->cards; c++) {
        int64_t added = adds(tiny, member, c, copies[c]);
        *use += member->counts[c] ? added : 0;
        *total += member->counts_of[c] ? added : 0;
        *counted += member->counts[c] && !member->blank[c] ? copies[c] : 0;
    }
}

void tiny_use(const Tiny *tiny, int rule, int member, const int *copies, int64_t *use, int64_t *total, int64_t *counted)
{
    Seen seen[CARDS_MOST];
    Member filled;
    memset(&filled, 0, sizeof filled);
    tiny_see(tiny, seen);
    fill_member(tiny, seen, rule, member, &filled);
    use_of(tiny, &filled, copies, use, total, counted);
}

void tiny_view_use(const TinyView *view, int rule, int member, const int *copies, int64_t *use, int64_t *total,
                   int64_t *counted)
{
    for (int m = 0; m < view->members; m++)
        if (view->member[m].rule == &view->tiny->rule[rule] && member-- == 0)
            use_of(view->tiny, &view->member[m], copies, use, total, counted);
}

bool tiny_view_allows(const TinyView *view, const int *copies)
{
    int size = 0;
    for (int c = 0; c < view->tiny->cards; c++) {
        if (copies[c] < view->least[c] || copies[c] > view->most[c])
            return false;
        size += copies[c];
    }
    return size >= view->size_from && size <= view->size_to;
}

int64_t tiny_paid(const Tiny *tiny)
{
    int64_t paid = 0;
    for (int c = 0; c < tiny->cards && tiny->counts_paid; c++)
        paid += tiny->paid[c];
    return paid;
}

int64_t tiny_spend(const Tiny *tiny, const int *copies)
{
    Seen seen[CARDS_MOST];
    tiny_see(tiny, seen);
    int64_t spend = 0;
    for (int c = 0; c < tiny->cards; c++) {
        int bought = copies[c] - tiny_owned(tiny, c);
        spend += bought > 0 ? bought * seen[c].price : 0;
    }
    return spend;
}

static bool has_low(const Band *band)
{
    return band->side != AT_MOST && band->side != NONE;
}

static bool has_high(const Band *band)
{
    return band->side != AT_LEAST && band->side != NONE;
}

static int64_t unit_of(int measure)
{
    return measure == COUNT || measure == NAMES ? 1 : measure == SPEND || measure == PRICE ? 100 : 1000;
}

/* How far an absolute band is missed, in begun units of the user's. */
static int64_t missed(const Band *band, int measure, int64_t use)
{
    int64_t unit = unit_of(measure);
    int64_t low = has_low(band) && use < band->low ? band->low - use : 0;
    int64_t high = has_high(band) && use > band->high ? use - band->high : 0;
    return (low + unit - 1) / unit + (high + unit - 1) / unit;
}

static bool percent_holds(const Band *band, int measure, int64_t use, int64_t total)
{
    Wide part = (Wide)use * 100000;
    Wide low = (Wide)band->low * total;
    Wide high = (Wide)band->high * total;
    if (band->side == EXACTLY && (measure == COUNT || measure == NAMES)) {
        return part - low < 100000 && low - part < 100000;
    }
    return (!has_low(band) || part >= low) && (!has_high(band) || part <= high);
}

/* False when a hard band is missed; *lost grows by what a soft one costs. */
static bool holds(const Tiny *tiny, const Member *member, const int *copies, int64_t *lost)
{
    int64_t use = 0;
    int64_t total = 0;
    int64_t counted = 0;
    const Band *band = &member->band;
    if (band->side == NONE) {
        return true;
    }
    use_of(tiny, member, copies, &use, &total, &counted);
    switch (band->sort) {
    case PERCENT: return percent_holds(band, member->rule->measure, use, total);
    case AVERAGE:
        return (!has_low(band) || use >= band->low * counted) && (!has_high(band) || use <= band->high * counted);
    default: break;
    }
    int64_t by = missed(band, member->rule->measure, use);
    if (by > 0 && member->rule->soft == 0) {
        return false;
    }
    *lost += by * member->rule->soft;
    return true;
}

bool tiny_judge(const TinyView *view, const int *copies, int64_t *fit)
{
    const Tiny *tiny = view->tiny;
    int size = 0;
    int64_t spend = 0;
    int64_t sum = 0;
    for (int c = 0; c < tiny->cards; c++) {
        if (copies[c] < view->least[c] || copies[c] > view->most[c]) {
            return false;
        }
        int bought = copies[c] - tiny_owned(tiny, c);
        size += copies[c];
        spend += bought > 0 ? bought * view->seen[c].price : 0;
        sum += copies[c] * view->seen[c].fit;
    }
    if (size < view->size_from || size > view->size_to || (view->has_cap && spend > view->cap)) {
        return false;
    }
    int64_t lost = 0;
    for (int m = 0; m < view->members; m++) {
        if (!holds(tiny, &view->member[m], copies, &lost)) {
            return false;
        }
    }
    *fit = sum - lost;
    return true;
}

/* The name without case, accents and outer blanks: the second spelling has no accents. */
static void fold_name(int card, char folded[64])
{
    const char *name = tiny_card_spelling(card);
    size_t length = 0;
    while (*name == ' ') {
        name++;
    }
    for (; *name != '\0' && length < 63; name++) {
        folded[length++] = *name >= 'A' && *name <= 'Z' ? (char)(*name - 'A' + 'a') : *name;
    }
    while (length > 0 && folded[length - 1] == ' ') {
        length--;
    }
    folded[length] = '\0';
}

static bool comes_before(const Tiny *tiny, const int *one, const int *other)
{
    char first[64] = "", name[64];
    int at = -1;
    for (int c = 0; c < tiny->cards; c++) {
        fold_name(c, name);
        if (one[c] != other[c] && (at < 0 || strcmp(name, first) < 0)) {
            at = c;
            strcpy(first, name);
        }
    }
    return at >= 0 && one[at] > other[at];
}

static int changes(const Tiny *tiny, const int *copies)
{
    int sum = 0;
    for (int c = 0; c < tiny->cards && tiny->has_present; c++) {
        sum += copies[c] > tiny->present[c] ? copies[c] - tiny->present[c] : tiny->present[c] - copies[c];
    }
    return sum;
}

/* Among pools of one fit. */
static bool is_first(const Tiny *tiny, const int *one, const int *other)
{
    int64_t cost = tiny_spend(tiny, one), other_cost = tiny_spend(tiny, other);
    int change = changes(tiny, one), other_change = changes(tiny, other);
    if (cost != other_cost) {
        return cost < other_cost;
    }
    return change != other_change ? change < other_change : comes_before(tiny, one, other);
}

static void try_all(const TinyView *view, int card, int size, int *copies, TinyAnswer *answer)
{
    int64_t fit = 0;
    if (size > view->size_to) {
        return;
    }
    if (card == view->tiny->cards) {
        if (!tiny_judge(view, copies, &fit)) {
            return;
        }
        answer->feasible++;
        const bool better = answer->status == TINY_INFEASIBLE || fit > answer->fit;
        answer->equals = better ? 1 : answer->equals + (fit == answer->fit);
        if (better || (fit == answer->fit && is_first(view->tiny, copies, answer->copies))) {
            answer->status = TINY_BEST;
            answer->fit = fit;
            memcpy(answer->copies, copies, sizeof answer->copies);
        }
        return;
    }
    for (int n = view->least[card]; n <= view->most[card]; n++) {
        copies[card] = n;
        try_all(view, card + 1, size + n, copies, answer);
    }
    copies[card] = 0;
}

void tiny_solve(const Tiny *tiny, TinyAnswer *answer)
{
    TinyView *view = tiny_view(tiny);
    int copies[CARDS_MOST] = {0};
    *answer = (TinyAnswer){.status = TINY_INFEASIBLE};
    try_all(view, 0, 0, copies, answer);
    tiny_view_free(view);
}
