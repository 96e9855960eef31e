/* one_draft.c - one draft: packs are dealt, picks are made, and what the seats end with is counted. */
#include <string.h>

#include "seats/table.h"

/* What a seat has so far. */
typedef struct Seat {
    int *pick; /* [packs x pack_size] places in DraftTable.card */
    int picks;
    int64_t *deck_worth; /* [decks] of its picks that the deck can play, as far as they are worth something */
    int deck;            /* the best so far, the first of equals */
    int *of_theme;       /* [themes] its cards of each theme */
} Seat;

void run_make(const DraftTable *t, Drafts *sums, Arena *arena, DraftRun *run)
{
    const size_t seats = (size_t)t->drafting.seats, themes = t->instance->model->themes;
    *run = (DraftRun){.table = t, .sums = sums};
    run->order = arena_alloc(arena, (size_t)t->pool, sizeof *run->order);
    run->pack = arena_alloc(arena, seats * (size_t)t->drafting.pack_size, sizeof *run->pack);
    run->left = arena_alloc(arena, seats, sizeof *run->left);
    run->seen = arena_alloc(arena, themes, sizeof *run->seen);
    run->opened = arena_alloc(arena, themes, sizeof *run->opened);
    run->seat = arena_alloc(arena, seats, sizeof *run->seat);
    for (size_t s = 0; s < seats; s++) {
        Seat *seat = &run->seat[s];
        seat->pick = arena_alloc(arena, (size_t)drafting_cards(&t->drafting, DRAW_OPENS), sizeof *seat->pick);
        seat->deck_worth = arena_alloc(arena, (size_t)t->decks, sizeof *seat->deck_worth);
        seat->of_theme = arena_alloc(arena, themes, sizeof *seat->of_theme);
    }
}

/* ---- picks ---- */

/* In 1024ths. */
static int64_t commitment(int cards)
{
    return (int64_t)1024 * (cards + 1) / (cards + 4);
}

static int64_t own_worth(const TableCard *card, const Seat *seat)
{
    int64_t tags = 0;
    for (int k = 0; k < card->tags; k++)
        tags += card->tag[k].worth * commitment(seat->of_theme[card->tag[k].theme]);
    return card->power + tags / 1024;
}

/* How much a card counts that the seat's colours cannot play, in 1024ths: less with every pick. */
static int64_t openness(int picks, int all)
{
    return 2 * picks >= all ? 0 : (int64_t)1024 * (all - 2 * picks) / all;
}

static int best_of(const DraftRun *run, const Seat *seat, const int *pack, int cards, Random *random)
{
    const DraftTable *t = run->table;
    const int64_t open = openness(seat->picks, t->drafting.packs * t->drafting.pack_size);
    int best = 0;
    int64_t highest = INT64_MIN;
    if (t->random_picks)
        return (int)random_below(random, (uint32_t)cards);
    for (int k = 0; k < cards; k++) {
        const int place = pack[k];
        int64_t score = own_worth(&t->card[place], seat);
        if (!t->plays[(size_t)place * (size_t)t->decks + (size_t)seat->deck])
            score = t->least + (score - t->least) * open / 1024;
        score += (int64_t)random_below(random, (uint32_t)(2 * t->taste + 1)) - t->taste;
        if (score > highest) {
            highest = score;
            best = k;
        }
    }
    return best;
}

static void keep(const DraftTable *t, Seat *seat, int place)
{
    const TableCard *card = &t->card[place];
    const bool *plays = t->plays + (size_t)place * (size_t)t->decks;
    const int64_t worth = own_worth(card, seat);
    seat->pick[seat->picks++] = place;
    for (int d = 0; d < t->decks; d++)
        seat->deck_worth[d] += plays[d] && worth > 0 ? worth : 0;
    for (int d = 0; d < t->decks; d++)
        if (seat->deck_worth[d] > seat->deck_worth[seat->deck])
            seat->deck = d;
    for (int k = 0; k < card->tags; k++)
        seat->of_theme[card->tag[k].theme]++;
}

static void count_pick(DraftRun *run, int place, int in_pack)
{
    const int c = run->table->card[place].card;
    if (c < 0)
        return;
    DraftCard *card = &run->sums->card[c];
    card->seen++;
    card->place += in_pack;
    card->first += in_pack == 1;
    card->last += in_pack == run->table->drafting.pack_size;
}

static void count_themes(const DraftTable *t, const int *pack, int cards, int *themes)
{
    for (int k = 0; k < cards; k++)
        for (int i = 0; i < t->card[pack[k]].tags; i++)
            themes[t->card[pack[k]].tag[i].theme]++;
}

/* Seat s has pack (s + turn) mod seats in its hands. */
static void run_round(DraftRun *run, const int *dealt, Random *random)
{
    const DraftTable *t = run->table;
    const int seats = t->drafting.seats, size = t->drafting.pack_size;
    memcpy(run->pack, dealt, (size_t)(seats * size) * sizeof *dealt);
    count_themes(t, run->pack, size, run->opened);
    for (int s = 0; s < seats; s++)
        run->left[s] = size;
    for (int turn = 0; turn < size; turn++)
        for (int s = 0; s < seats; s++) {
            const int p = (s + turn) % seats;
            int *pack = run->pack + p * size;
            if (s == 0 && turn < seats)
                count_themes(t, pack, run->left[p], run->seen);
            const int k = best_of(run, &run->seat[s], pack, run->left[p], random), place = pack[k];
            pack[k] = pack[--run->left[p]];
            keep(t, &run->seat[s], place);
            count_pick(run, place, turn + 1);
        }
}

/* ---- what seats end with ---- */

/* Its theme: of its playables; -1: none. *playables: how many those are. */
static int theme_of(const DraftTable *t, const Seat *seat, int *of_theme, int *playables)
{
    const size_t themes = t->instance->model->themes;
    int best = -1;
    memset(of_theme, 0, themes * sizeof *of_theme);
    *playables = 0;
    for (int k = 0; k < seat->picks; k++) {
        const int place = seat->pick[k];
        if (!t->plays[(size_t)place * (size_t)t->decks + (size_t)seat->deck])
            continue;
        ++*playables;
        for (int i = 0; i < t->card[place].tags; i++)
            of_theme[t->card[place].tag[i].theme]++;
    }
    for (size_t theme = 0; theme < themes; theme++)
        if (of_theme[theme] > (best < 0 ? 0 : of_theme[best]))
            best = (int)theme;
    return best;
}

static void count_theme(const DraftTable *t, const Seat *seat, DraftTheme *theme, int index, int cards)
{
    int enablers = 0, payoffs = 0;
    for (int k = 0; k < seat->picks; k++) {
        const int place = seat->pick[k];
        if (!t->plays[(size_t)place * (size_t)t->decks + (size_t)seat->deck])
            continue;
        for (int i = 0; i < t->card[place].tags; i++) {
            const TableTag *tag = &t->card[place].tag[i];
            enablers += tag->theme == index && tag->enables;
            payoffs += tag->theme == index && tag->pays;
        }
    }
    theme->seats++;
    spread_add(&theme->cards, cards);
    spread_add(&theme->enablers, enablers);
    spread_add(&theme->payoffs, payoffs);
}

static int cards_of(const DraftTable *t, const Seat *seat, const TableNeed *need)
{
    int cards = 0;
    for (int k = 0; k < seat->picks; k++) {
        const int place = seat->pick[k], c = t->card[place].card;
        if (c >= 0 && t->plays[(size_t)place * (size_t)t->decks + (size_t)seat->deck])
            cards += need->counts == NULL || need->counts[c];
    }
    return cards;
}

/* Adds what the seat misses of each need to missing[needs]; returns the sum. */
static int count_needs(const DraftTable *t, const Seat *seat, int theme, Drafts *sums, int *missing)
{
    int all = 0;
    memset(missing, 0, sums->needs * sizeof *missing);
    for (size_t n = 0; n < t->needs; n++) {
        const TableNeed *need = &t->need[n];
        if ((need->theme >= 0 && need->theme != theme) ||
            (need->colour >= 0 && (t->deck[seat->deck] >> need->colour & 1) == 0))
            continue;
        const int cards = cards_of(t, seat, need), short_of = cards < need->least ? need->least - cards : 0;
        sums->need[need->need].asked++;
        sums->need[need->need].met += short_of == 0;
        sums->need[need->need].missing += short_of;
        missing[need->need] += short_of;
        all += short_of;
    }
    return all;
}

static void count_seats(DraftRun *run)
{
    const DraftTable *t = run->table;
    Drafts *sums = run->sums;
    const size_t themes = t->instance->model->themes;
    int of_theme[themes + 1], drafters[themes + 1], missing[sums->needs], worst[sums->needs], most = -1;
    memset(drafters, 0, sizeof drafters);
    for (int s = 0; s < t->drafting.seats; s++) {
        const Seat *seat = &run->seat[s];
        int playables;
        const int theme = theme_of(t, seat, of_theme, &playables);
        spread_add(&sums->playables, playables);
        if (theme >= 0) {
            drafters[theme]++;
            count_theme(t, seat, &sums->theme[theme], theme, of_theme[theme]);
        } else {
            sums->no_theme++;
        }
        const int all = count_needs(t, seat, theme, sums, missing);
        spread_add(&sums->missing, all);
        if (all > most) {
            most = all;
            memcpy(worst, missing, sizeof worst);
        }
    }
    for (size_t n = 0; n < sums->needs; n++)
        sums->need[n].worst += worst[n];
    spread_add(&sums->worst, most);
    for (size_t k = 0; k < themes; k++) {
        sums->theme[k].drafts[drafters[k] > 1 ? 2 : drafters[k]]++;
        spread_add(&sums->theme[k].opened, run->opened[k]);
        spread_add(&sums->theme[k].seen, run->seen[k]);
    }
}

void run_draft(DraftRun *run, uint64_t seed, uint64_t number)
{
    const DraftTable *t = run->table;
    const size_t themes = t->instance->model->themes;
    Random random = random_stream(seed, number);
    for (int k = 0; k < t->pool; k++)
        run->order[k] = k;
    random_shuffle(&random, run->order, (size_t)t->pool, (size_t)t->dealt);
    for (int s = 0; s < t->drafting.seats; s++) {
        Seat *seat = &run->seat[s];
        seat->picks = seat->deck = 0;
        memset(seat->deck_worth, 0, (size_t)t->decks * sizeof *seat->deck_worth);
        memset(seat->of_theme, 0, themes * sizeof *seat->of_theme);
    }
    memset(run->seen, 0, themes * sizeof *run->seen);
    memset(run->opened, 0, themes * sizeof *run->opened);
    const int round = t->drafting.seats * t->drafting.pack_size;
    for (int r = 0; r < t->drafting.packs; r++)
        run_round(run, run->order + r * round, &random);
    count_seats(run);
}
