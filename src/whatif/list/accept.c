/* accept.c - see accept.h. */
#include "whatif/list/accept.h"

#include <string.h>

#include "base/number.h"

typedef struct {
    Arena *arena;
    const Instance *in;
    const Revision *all;
    const Answer *answer;
    PoolChange *change;
    size_t changes;
    const char *reason, *whole; /* whole: what can be said of any card of the revision */
} Acceptance;

static const PoolChange *change_of(const PoolChange *change, size_t changes, const char *name)
{
    for (size_t k = 0; k < changes; k++)
        if (strcmp(change[k].name, name) == 0)
            return &change[k];
    return NULL;
}

/* A swap of one for one that the whole revision has too: then its gain is the reason. NULL: there is none. */
static const char *swap_reason(const Acceptance *a, const PoolChange *of)
{
    for (size_t k = 0; k < a->all->ranks; k++) {
        const RankedSwap *swap = &a->all->rank[k];
        if (swap->changes != 2 || change_of(swap->change, 2, of->name) == NULL)
            continue;
        const PoolChange *other = &swap->change[strcmp(swap->change[0].name, of->name) == 0];
        const PoolChange *both = change_of(a->change, a->changes, other->name);
        if (both == NULL || (both->by > 0) == (of->by > 0))
            continue;
        char gain[NUMBER_TEXT];
        number_format(gain, swap->gain, 3, 0);
        return arena_printf(a->arena, of->by > 0 ? "instead of %s: %s more fit" : "makes room for %s: %s more fit",
                            other->name, gain);
    }
    return NULL;
}

static const char *cause(const Acceptance *a, const PoolChange *change, long card)
{
    const Instance *in = a->in;
    const char *because = history_because(in, (size_t)card), *swap;
    if (change->by < 0 && (in->status[card] & STATUS_BAN) != 0)
        return because != NULL ? because : "banned";
    if (change->by < 0 && in->skipped[card])
        return "without a price";
    if (change->by > 0 && (in->status[card] & STATUS_KEEP) != 0)
        return because != NULL ? because : "must be in";
    swap = swap_reason(a, change);
    return swap != NULL ? swap : a->whole;
}

static const char *whole_reason(const Acceptance *a)
{
    PoolCheck before;
    char from[NUMBER_TEXT], to[NUMBER_TEXT];
    int in, out;
    pool_changes_sum(a->change, a->changes, &in, &out);
    pool_check(a->in, a->all->present->copies, &before);
    number_format(from, before.fit, 3, 0);
    number_format(to, a->answer->check.fit, 3, 0);
    const char *whole = arena_printf(a->arena, "one of %d out and %d in: fit %s to %s%s", out, in, from, to,
                                     before.kept ? "" : ", limits broken before");
    pool_check_release(&before);
    return whole;
}

static void add(Accepted *accepted, JournalLine line)
{
    accepted->line[accepted->lines++] = line;
}

static void add_changes(const Acceptance *a, int sign, Accepted *accepted)
{
    for (size_t k = 0; k < a->changes; k++) {
        const PoolChange *change = &a->change[k];
        const long card = card_find(a->in->cards, change->name);
        if (change->by * sign > 0)
            add(accepted, (JournalLine){.day = a->in->scenario->day,
                                        .change = sign > 0 ? JOURNAL_IN : JOURNAL_OUT,
                                        .card = change->name,
                                        .copies = change->by * sign,
                                        .has_price = price_known(a->in, (size_t)card),
                                        .price = change->price,
                                        .reason = a->reason != NULL ? a->reason : cause(a, change, card)});
    }
}

static void add_gone(const Acceptance *a, Accepted *accepted)
{
    const PoolFile *present = a->all->present;
    for (size_t k = 0; k < present->unknowns; k++)
        add(accepted, (JournalLine){.day = a->in->scenario->day,
                                    .change = JOURNAL_OUT,
                                    .card = present->unknown[k].name,
                                    .copies = present->unknown[k].copies,
                                    .reason = "no candidate any more"});
}

/* What becomes of cards whose trial ended and which the revision does not change; its reason is none of theirs. */
static void add_ended_trials(const Acceptance *a, Accepted *accepted)
{
    for (size_t c = 0; c < a->in->cards->count; c++) {
        const int copies = a->answer->copies[c];
        if (history_trial_ended(a->in, c) && a->all->present->copies[c] == copies)
            add(accepted, (JournalLine){.day = a->in->scenario->day,
                                        .change = copies > 0 ? JOURNAL_STAYS : JOURNAL_OUT,
                                        .card = a->in->cards->card[c].name,
                                        .copies = copies > 0 ? copies : 1,
                                        .has_price = price_known(a->in, c),
                                        .price = a->in->price[c],
                                        .reason = copies > 0 ? "its trial ended"
                                                             : "its trial ended, and it was not in the pool"});
    }
}

bool accept_revision(Arena *arena, const Instance *instance, const Revision *revision, const char *reason,
                     Accepted *accepted)
{
    Acceptance a = {.arena = arena, .in = instance, .all = revision, .reason = reason};
    *accepted = (Accepted){0};
    if (revision->points == 0 || revision->stopped || !revision->point[revision->points - 1].answer.has_pool)
        return false;
    a.answer = accepted->answer = &revision->point[revision->points - 1].answer;
    a.change = pool_changes(instance, revision->present->copies, instance, a.answer->copies, &a.changes);
    a.whole = whole_reason(&a);
    accepted->line =
        arena_alloc(arena, a.changes + revision->present->unknowns + instance->cards->count, sizeof *accepted->line);
    add_changes(&a, -1, accepted);
    add_gone(&a, accepted);
    add_changes(&a, 1, accepted);
    accepted->changes = accepted->lines;
    add_ended_trials(&a, accepted);
    mem_free(a.change);
    return true;
}
