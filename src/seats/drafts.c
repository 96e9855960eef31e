/* drafts.c - see drafts.h: threads take drafts from a common counter; what each has counted is added up. */
#include "seats/drafts.h"

#include <math.h>
#include <pthread.h>

#include "base/sort.h"
#include "programme/count/checker.h"
#include "seats/table.h"

/* ---- spreads ---- */

void spread_add(Spread *s, int value)
{
    s->times++;
    s->sum += value;
    s->squares += (int64_t)value * value;
    s->count[value > SPREAD_MOST ? SPREAD_MOST : value]++;
}

double spread_mean(const Spread *s)
{
    return s->times == 0 ? 0 : (double)s->sum / (double)s->times;
}

double spread_deviation(const Spread *s)
{
    const double mean = spread_mean(s);
    return s->times < 2 ? 0 : sqrt(fmax(0, ((double)s->squares - mean * (double)s->sum) / (double)(s->times - 1)));
}

int spread_quantile(const Spread *s, int thousandths)
{
    int64_t below = 0;
    for (int k = 0; k <= SPREAD_MOST; k++) {
        below += s->count[k];
        if (below * 1000 >= s->times * thousandths)
            return k;
    }
    return SPREAD_MOST;
}

static void spread_merge(Spread *to, const Spread *s)
{
    to->times += s->times;
    to->sum += s->sum;
    to->squares += s->squares;
    for (int k = 0; k <= SPREAD_MOST; k++)
        to->count[k] += s->count[k];
}

/* ---- sums ---- */

static void sums_make(const Drafts *all, Arena *arena, Drafts *sums)
{
    *sums = *all;
    sums->theme = arena_alloc(arena, all->themes, sizeof *sums->theme);
    sums->need = arena_alloc(arena, all->needs, sizeof *sums->need);
    sums->card = arena_alloc(arena, all->instance->cards->count, sizeof *sums->card);
}

static void sums_merge(Drafts *to, const Drafts *s)
{
    for (size_t t = 0; t < to->themes; t++) {
        DraftTheme *theme = &to->theme[t];
        const DraftTheme *from = &s->theme[t];
        theme->seats += from->seats;
        for (int k = 0; k < 3; k++)
            theme->drafts[k] += from->drafts[k];
        spread_merge(&theme->cards, &from->cards);
        spread_merge(&theme->enablers, &from->enablers);
        spread_merge(&theme->payoffs, &from->payoffs);
        spread_merge(&theme->opened, &from->opened);
        spread_merge(&theme->seen, &from->seen);
    }
    for (size_t n = 0; n < to->needs; n++) {
        to->need[n].asked += s->need[n].asked;
        to->need[n].met += s->need[n].met;
        to->need[n].missing += s->need[n].missing;
        to->need[n].worst += s->need[n].worst;
    }
    for (size_t c = 0; c < to->instance->cards->count; c++) {
        to->card[c].seen += s->card[c].seen;
        to->card[c].place += s->card[c].place;
        to->card[c].first += s->card[c].first;
        to->card[c].last += s->card[c].last;
    }
    spread_merge(&to->playables, &s->playables);
    spread_merge(&to->missing, &s->missing);
    spread_merge(&to->worst, &s->worst);
    to->no_theme += s->no_theme;
    to->drafts += s->drafts;
}

/* ---- threads ---- */

typedef struct {
    const DraftTable *table;
    const DraftOptions *options;
    atomic_int next;
} Work;

typedef struct {
    Work *work;
    Arena *arena;
    Drafts sums;
} Worker;

static void *draft_on(void *context)
{
    Worker *worker = context;
    Work *work = worker->work;
    const DraftOptions *o = work->options;
    DraftRun run;
    run_make(work->table, &worker->sums, worker->arena, &run);
    while (o->cancel == NULL || atomic_load(o->cancel) == 0) {
        const int number = atomic_fetch_add(&work->next, 1);
        if (number >= o->drafts)
            break;
        run_draft(&run, o->seed, o->first + (uint64_t)number);
        worker->sums.drafts++;
    }
    return NULL;
}

/* The caller's thread works too. */
static void run_all(const DraftTable *table, const DraftOptions *o, Drafts *d)
{
    const int threads = o->threads < 1 ? 1 : o->threads < o->drafts ? o->threads : o->drafts;
    Work work = {.table = table, .options = o};
    Worker *worker = mem_new((size_t)threads, sizeof *worker);
    pthread_t *thread = mem_new((size_t)threads, sizeof *thread);
    int started = 1;
    for (int k = 0; k < threads; k++) {
        worker[k] = (Worker){.work = &work, .arena = arena_new()};
        sums_make(d, worker[k].arena, &worker[k].sums);
    }
    while (started < threads && pthread_create(&thread[started], NULL, draft_on, &worker[started]) == 0)
        started++;
    draft_on(&worker[0]);
    for (int k = 1; k < started; k++)
        pthread_join(thread[k], NULL);
    for (int k = 0; k < threads; k++) {
        sums_merge(d, &worker[k].sums);
        arena_free(worker[k].arena);
    }
    mem_free(thread);
    mem_free(worker);
}

/* ---- the whole ---- */

/* By the average place, then by names. */
static int compare_cards(const void *a, const void *b)
{
    const DraftCard *p = a, *q = b;
    const double left = (double)p->place / (double)p->seen, right = (double)q->place / (double)q->seen;
    if (left < right || left > right)
        return left < right ? -1 : 1;
    return p->card - q->card;
}

static void sort_cards(Drafts *d)
{
    const size_t all = d->instance->cards->count;
    for (size_t c = 0; c < all; c++) {
        d->card[c].card = (int)c;
        if (d->card[c].seen > 0)
            d->card[d->cards++] = d->card[c];
    }
    sort_stable(d->card, d->cards, sizeof *d->card, compare_cards);
}

void drafts_run(const Instance *in, const int *copies, int others, const Drafting *drafting, const Package *package,
                const DraftOptions *options, Drafts *d)
{
    *d = (Drafts){.arena = arena_new(),
                  .instance = in,
                  .drafting = *drafting,
                  .deck_size = in->model->deck.size,
                  .seed = options->seed,
                  .themes = in->model->themes};
    d->theme = arena_alloc(d->arena, d->themes, sizeof *d->theme);
    d->card = arena_alloc(d->arena, in->cards->count, sizeof *d->card);
    for (size_t t = 0; t < d->themes; t++)
        d->theme[t].name = in->model->theme[t].name;
    d->unchosen = pool_unchosen(in, copies, d->arena);
    DraftTable table;
    table_make(in, copies, others, drafting, package, d->arena, &table, d);
    table.random_picks = options->random_picks;
    run_all(&table, options, d);
    d->stopped = d->drafts < options->drafts;
    sort_cards(d);
}

void drafts_release(Drafts *d)
{
    arena_free(d->arena);
    *d = (Drafts){0};
}
