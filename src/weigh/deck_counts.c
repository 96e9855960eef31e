/* deck_counts.c - see deck_counts.h. The lines of a deck stand together; where its name comes again later, that is
 * another deck. */
#include "weigh/deck_counts.h"

#include <stdio.h>
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "cards/names/names.h"

#define STRANGERS_SHOWN 10
#define DECKS_KNOWN 5000 /* so many decks are known again by their names */

typedef struct {
    const char *name; /* as the sheet writes it; NULL: free */
    long card;        /* -1: no candidate */
    int64_t copies;
} Known;

typedef struct {
    size_t known; /* index into the table of names */
    int copies;
} Slip;

struct DeckCounts {
    const Instance *in;
    const char *path;
    const WeighOptions *options;
    Diags *diags;
    Arena *arena;
    Known *known; /* [size], open addressing */
    size_t size, knowns;
    bool *seed; /* [themes * cards] */
    /* the deck at hand */
    Text deck;
    Slip *slip;
    size_t slips, slip_capacity;
    long labelled;    /* theme that the sheet names, -1 none */
    int wins, losses; /* -1 until a line says them */
    /* decks that come again, away from their other lines */
    Names *names;
    int named, again;
    SourcePos again_at; /* the first */
    char *again_name;
    /* counted */
    size_t masks;
    int64_t *all_by_mask;             /* [masks] copies in decks of these colours */
    int64_t *by_mask;                 /* [themes * masks] of these the theme's */
    int64_t *all;                     /* [cards] copies in decks that can play them */
    int64_t *inside;                  /* [themes * cards] of these in the theme's decks */
    int64_t *without;                 /* [themes * cards] copies of decks that are the theme's by this seed alone */
    int64_t *theme_decks;             /* [themes] */
    int64_t *card_wins, *card_losses; /* [cards] */
    int64_t decks, copies, unknown, wins_all, losses_all;
    DeckColumns columns;
};

/* ---- names ---- */

static size_t hash_name(const char *name)
{
    size_t hash = 1469598103934665603U; /* FNV-1a */
    for (; *name != '\0'; name++)
        hash = (hash ^ (unsigned char)*name) * 1099511628211U;
    return hash;
}

static size_t slot_of(const DeckCounts *d, const char *name)
{
    size_t at = hash_name(name) & (d->size - 1);
    while (d->known[at].name != NULL && strcmp(d->known[at].name, name) != 0)
        at = (at + 1) & (d->size - 1);
    return at;
}

static void grow(DeckCounts *d)
{
    Known *old = d->known;
    const size_t size = d->size;
    d->size = size == 0 ? 4096 : size * 2;
    d->known = mem_new(d->size, sizeof *d->known);
    for (size_t k = 0; k < size; k++)
        if (old[k].name != NULL)
            d->known[slot_of(d, old[k].name)] = old[k];
    for (size_t s = 0; s < d->slips; s++)
        d->slip[s].known = slot_of(d, old[d->slip[s].known].name);
    mem_free(old);
}

static size_t know(DeckCounts *d, const char *name)
{
    if (d->knowns * 2 >= d->size)
        grow(d);
    const size_t at = slot_of(d, name);
    if (d->known[at].name == NULL) {
        d->known[at] = (Known){.name = arena_strdup(d->arena, name), .card = card_find(d->in->cards, name)};
        d->knowns++;
    }
    return at;
}

/* ---- a deck ---- */

static ColourMask deck_mask(const DeckCounts *d)
{
    unsigned sure = 0, any = 0;
    for (size_t s = 0; s < d->slips; s++) {
        const long c = d->known[d->slip[s].known].card;
        if (c < 0)
            continue;
        const ColourNeed *need = &d->in->cards->card[c].colours;
        any |= colours_union(need);
        for (int p = 0; p < need->parts; p++)
            sure |= (need->part[p] & (need->part[p] - 1)) == 0 ? need->part[p] : 0U;
    }
    return (ColourMask)(sure != 0 ? sure : any);
}

/* How many of the theme's tagged cards are in the deck. */
static int count_seeds(const DeckCounts *d, size_t theme)
{
    int seeds = 0;
    for (size_t s = 0; s < d->slips; s++) {
        const long c = d->known[d->slip[s].known].card;
        seeds += c >= 0 && d->seed[theme * d->in->cards->count + (size_t)c];
    }
    return seeds;
}

static void add_to_theme(DeckCounts *d, size_t theme, ColourMask mask, int64_t copies)
{
    const size_t cards = d->in->cards->count;
    const int seeds = d->columns.theme ? 0 : count_seeds(d, theme);
    if (d->columns.theme ? d->labelled != (long)theme : seeds < d->options->seeds)
        return;
    d->theme_decks[theme]++;
    d->by_mask[theme * d->masks + mask] += copies;
    for (size_t s = 0; s < d->slips; s++) {
        const long c = d->known[d->slip[s].known].card;
        if (c < 0 || !colours_playable(&d->in->cards->card[c].colours, mask))
            continue;
        const size_t at = theme * cards + (size_t)c;
        if (!d->columns.theme && d->seed[at] && seeds == d->options->seeds)
            d->without[at] += copies;
        else
            d->inside[at] += d->slip[s].copies;
    }
}

static void end_deck(DeckCounts *d)
{
    if (d->slips == 0)
        return;
    const ColourMask mask = deck_mask(d);
    const int wins = d->wins > 0 ? d->wins : 0, losses = d->losses > 0 ? d->losses : 0;
    int64_t copies = 0;
    for (size_t s = 0; s < d->slips; s++) {
        Known *known = &d->known[d->slip[s].known];
        copies += d->slip[s].copies;
        known->copies += d->slip[s].copies;
        d->unknown += known->card < 0 ? d->slip[s].copies : 0;
        if (known->card < 0)
            continue;
        d->card_wins[known->card] += wins;
        d->card_losses[known->card] += losses;
        if (colours_playable(&d->in->cards->card[known->card].colours, mask))
            d->all[known->card] += d->slip[s].copies;
    }
    d->decks++;
    d->copies += copies;
    d->wins_all += wins;
    d->losses_all += losses;
    d->all_by_mask[mask] += copies;
    for (size_t t = 0; t < d->in->model->themes; t++)
        add_to_theme(d, t, mask, copies);
    d->slips = 0;
}

/* What a deck is of stands on one of its lines or is the same on all; its result likewise. */
static void take_theme(DeckCounts *d, const DeckRow *row)
{
    const Model *model = d->in->model;
    char excerpt[TEXT_EXCERPT];
    if (row->theme[0] == '\0' || diags_full(d->diags, d->path))
        return;
    const long theme = text_find(row->theme, model->theme_name, model->themes);
    if (theme < 0)
        diag_error(d->diags, deck_row_place(row, DECK_THEME), "no theme is called '%s'%s", row->theme,
                   did_you_mean(text_nearest(row->theme, model->theme_name, model->themes), d->in->arena));
    else if (d->labelled >= 0 && d->labelled != theme)
        diag_error(d->diags, deck_row_place(row, DECK_THEME),
                   "found theme '%s' of the deck '%s', which is of '%s' on a line above; expected one theme",
                   model->theme_name[theme], text_excerpt(excerpt, row->deck), model->theme_name[d->labelled]);
    else
        d->labelled = theme;
}

static void take_result(const DeckCounts *d, const DeckRow *row, DeckField field, int said, int *known)
{
    char excerpt[TEXT_EXCERPT];
    const char *what = field == DECK_WINS ? "wins" : "losses";
    if (said >= 0 && *known >= 0 && said != *known && !diags_full(d->diags, d->path))
        diag_error(d->diags, deck_row_place(row, field),
                   "found %d %s of the deck '%s', which has %d on a line above; expected one number", said, what,
                   text_excerpt(excerpt, row->deck), *known);
    *known = said >= 0 ? said : *known;
}

/* Where its lines do not stand together it counts as several decks, which is told. */
static void know_deck(DeckCounts *d, const DeckRow *row)
{
    if (d->named == DECKS_KNOWN)
        return;
    if (names_add(d->names, row->deck, strlen(row->deck)) == d->named)
        d->named++;
    else if (d->again++ == 0) {
        d->again_at = deck_row_place(row, DECK_DECK);
        d->again_at.file = d->path;
        d->again_name = arena_strdup(d->arena, row->deck);
    }
}

/* Other spellings of one card are that card. */
static bool is_same(const DeckCounts *d, size_t known, size_t other)
{
    return known == other || (d->known[known].card >= 0 && d->known[known].card == d->known[other].card);
}

static void take_row(void *context, const DeckRow *row)
{
    DeckCounts *d = context;
    if (d->slips == 0 || strcmp(text_cstr(&d->deck), row->deck) != 0) {
        end_deck(d);
        know_deck(d, row);
        text_clear(&d->deck);
        text_add(&d->deck, row->deck);
        d->labelled = -1;
        d->wins = d->losses = -1;
    }
    const size_t at = know(d, row->name);
    size_t s = 0;
    while (s < d->slips && !is_same(d, d->slip[s].known, at))
        s++;
    mem_reserve((void **)&d->slip, &d->slip_capacity, d->slips + 1, sizeof *d->slip);
    if (s == d->slips)
        d->slip[d->slips++] = (Slip){.known = at};
    d->slip[s].copies += row->copies;
    take_theme(d, row);
    take_result(d, row, DECK_WINS, row->wins, &d->wins);
    take_result(d, row, DECK_LOSSES, row->losses, &d->losses);
}

static void tell_again(const DeckCounts *d)
{
    char more[60] = "", excerpt[TEXT_EXCERPT];
    if (d->again > 1)
        snprintf(more, sizeof more, " (and %d more)", d->again - 1);
    if (d->again > 0)
        diag_notice(
            d->diags, d->again_at,
            "the deck '%s' comes again, away from its other lines, and counts as another deck here%s; the lines "
            "of a deck are expected to stand together",
            text_excerpt(excerpt, d->again_name), more);
}

/* ---- all of them ---- */

static void make_room(DeckCounts *d)
{
    const size_t cards = d->in->cards->count, themes = d->in->model->themes;
    d->masks = (size_t)1 << d->in->model->colours;
    d->all_by_mask = arena_alloc(d->arena, d->masks, sizeof *d->all_by_mask);
    d->by_mask = arena_alloc(d->arena, themes * d->masks, sizeof *d->by_mask);
    d->all = arena_alloc(d->arena, cards, sizeof *d->all);
    d->inside = arena_alloc(d->arena, themes * cards, sizeof *d->inside);
    d->without = arena_alloc(d->arena, themes * cards, sizeof *d->without);
    d->seed = arena_alloc(d->arena, themes * cards, sizeof *d->seed);
    d->theme_decks = arena_alloc(d->arena, themes, sizeof *d->theme_decks);
    d->card_wins = arena_alloc(d->arena, cards, sizeof *d->card_wins);
    d->card_losses = arena_alloc(d->arena, cards, sizeof *d->card_losses);
    for (size_t t = 0; t < themes; t++)
        for (size_t c = 0; c < cards; c++)
            d->seed[t * cards + c] = instance_theme_tag(d->in, t, c) != NULL;
}

DeckCounts *deck_counts_read(const Instance *in, const char *path, FileStore *files, const WeighOptions *options,
                             Diags *diags)
{
    DeckCounts *d = mem_new(1, sizeof *d);
    *d = (DeckCounts){
        .in = in, .path = path, .options = options, .diags = diags, .arena = arena_new(), .names = names_new()};
    make_room(d);
    const size_t errors = diags->errors;
    const bool good = deck_rows_read(path, files, take_row, d, &d->columns, diags);
    end_deck(d);
    tell_again(d);
    if (good && d->decks == 0)
        diag_error(diags, (SourcePos){.file = path}, "found no deck, expected lines with a deck and a name");
    if (good && diags->errors == errors)
        return d;
    deck_counts_free(d);
    return NULL;
}

void deck_counts_free(DeckCounts *d)
{
    if (d == NULL)
        return;
    text_release(&d->deck);
    mem_free(d->known);
    mem_free(d->slip);
    names_free(d->names);
    arena_free(d->arena);
    mem_free(d);
}

static int by_copies(const void *a, const void *b)
{
    const Known *x = a, *y = b;
    if (x->copies != y->copies)
        return x->copies > y->copies ? -1 : 1;
    return strcmp(x->name, y->name);
}

void deck_counts_sum(const DeckCounts *d, Arena *arena, Weighing *w)
{
    Known *stranger = mem_new(d->knowns, sizeof *stranger);
    size_t strangers = 0;
    for (size_t k = 0; k < d->size; k++)
        if (d->known[k].name != NULL && d->known[k].card < 0)
            stranger[strangers++] = d->known[k];
    sort_stable(stranger, strangers, sizeof *stranger, by_copies);
    w->strangers = strangers < STRANGERS_SHOWN ? strangers : STRANGERS_SHOWN;
    w->stranger = arena_alloc(arena, w->strangers, sizeof *w->stranger);
    for (size_t k = 0; k < w->strangers; k++)
        w->stranger[k] = arena_strdup(arena, stranger[k].name);
    mem_free(stranger);
    w->decks = d->decks;
    w->copies = d->copies;
    w->unknown = d->unknown;
    w->labelled = d->columns.theme;
    w->seeds = d->options->seeds;
    w->has_results = d->columns.results;
    w->wins = d->wins_all;
    w->losses = d->losses_all;
}

int64_t deck_counts_of_theme(const DeckCounts *d, size_t theme)
{
    return d->theme_decks[theme];
}

ThemeCount deck_counts_card(const DeckCounts *d, size_t theme, size_t card)
{
    const size_t at = theme * d->in->cards->count + card;
    ThemeCount count = {.inside = d->inside[at], .outside = d->all[card] - d->inside[at]};
    int64_t all = 0;
    for (size_t mask = 0; mask < d->masks; mask++) {
        if (!colours_playable(&d->in->cards->card[card].colours, (ColourMask)mask))
            continue;
        all += d->all_by_mask[mask];
        count.inside_all += d->by_mask[theme * d->masks + mask];
    }
    count.inside_all -= d->without[at];
    count.outside_all = all - count.inside_all;
    return count;
}

void deck_counts_results(const DeckCounts *d, size_t card, int64_t *wins, int64_t *losses)
{
    *wins = d->card_wins[card];
    *losses = d->card_losses[card];
}
