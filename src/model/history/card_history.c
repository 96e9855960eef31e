/* card_history.c - what the months have left on candidates: trials and nevers of sheets and scenario, and what the
 * journal says of those that were cut. */
#include "base/day.h"
#include "model/card_words.h"
#include "model/instance/instance_cache.h"
#include "model/history/journal.h"

static void take_sheets(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    for (size_t c = 0; c < in->cards->count; c++) {
        const Card *card = &in->cards->card[c];
        in->history[c] = (CardHistory){.trial = card->trial, .trial_at = card->at, .never = card->never};
    }
}

/* Names of trials to come and of nevers are met where keeps and bans are; only those of trials that ended here. */
static void take_words(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Scenario *scenario = in->scenario;
    for (size_t k = 0; k < scenario->words; k++) {
        const CardWord *word = &scenario->word[k];
        const bool ended = word->never == NULL && word->trial <= scenario->day;
        const long card = ended ? find_named_card(builder, &word->name) : card_find(in->cards, word->name.name);
        if (card < 0)
            continue;
        if (word->never != NULL) {
            in->history[card].never = word->never;
        } else {
            in->history[card].trial = word->trial;
            in->history[card].trial_at = word->name.at;
        }
    }
}

/* The last line on a card counts: the latest day, of one day the lowest line. */
static void take_journal(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Scenario *scenario = in->scenario;
    Journal *journal = arena_alloc(in->arena, 1, sizeof *journal);
    in->journal = journal;
    if (!scenario->has_journal || !journal_read(in->arena, scenario->files, scenario->journal.path,
                                                scenario->journal.at, journal, builder->diags))
        return;
    for (size_t k = 0; k < journal->lines; k++) {
        const JournalLine *line = &journal->line[k];
        const long card = card_find(in->cards, line->card);
        if (card < 0 || line->day > scenario->day)
            continue;
        CardHistory *history = &in->history[card];
        if (history->last == NULL || line->day >= history->last->day)
            history->last = line;
    }
}

static bool on_trial(const Instance *in, const Card *card)
{
    return card->trial != DAY_UNKNOWN && card->trial > in->scenario->day;
}

/* On trial it stays, unless the scenario names another day; never is a ban. */
unsigned history_status(const Instance *in, size_t c)
{
    const Card *card = &in->cards->card[c];
    const bool moved = in->history[c].trial != card->trial;
    return (on_trial(in, card) && !moved ? STATUS_KEEP : 0U) | (card->never != NULL ? STATUS_BAN : 0U);
}

/* Both are words of the cards sheet, so that what is said later wins. */
static void say_statuses(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    for (size_t c = 0; c < in->cards->count; c++) {
        Card *card = &in->cards->card[c];
        const bool tried = on_trial(in, card);
        if (tried && (card->never != NULL || (card->status & STATUS_BAN) != 0))
            diag_error(builder->diags, card->at, "'%s' is on trial and may not be in, expected one of them",
                       card->name);
        else if (card->never != NULL && (card->status & STATUS_KEEP) != 0)
            diag_error(builder->diags, card->at, "'%s' is kept and never in, expected one of them", card->name);
        card->status |= history_status(in, c);
    }
}

static void tell_ended(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    for (size_t c = 0; c < in->cards->count; c++)
        if (history_trial_ended(in, c))
            diag_notice(builder->diags, in->history[c].trial_at,
                        "'%s' was on trial until %s: from now on it must stand for itself. `revise --apply` enters "
                        "what becomes of it, or take the day out",
                        in->cards->card[c].name, date_text(in->arena, in->history[c].trial));
}

void read_history(const InstanceBuilder *builder)
{
    take_sheets(builder);
    take_words(builder);
    take_journal(builder);
    say_statuses(builder);
    tell_ended(builder);
}

bool history_trial_ended(const Instance *instance, size_t card)
{
    const CardHistory *history = &instance->history[card];
    return history->trial != DAY_UNKNOWN && history->trial <= instance->scenario->day &&
           (history->last == NULL || history->last->day < history->trial);
}

const JournalLine *history_cut(const Instance *instance, size_t card)
{
    const JournalLine *last = instance->history[card].last;
    return last != NULL && last->change == JOURNAL_OUT ? last : NULL;
}

const char *history_because(const Instance *instance, size_t card)
{
    const CardHistory *history = &instance->history[card];
    const unsigned status = instance->status[card];
    if ((status & STATUS_BAN) != 0)
        return history->never;
    if ((status & STATUS_KEEP) != 0 && history->trial != DAY_UNKNOWN && history->trial > instance->scenario->day)
        return arena_printf(instance->arena, "on trial until %s", date_text(instance->arena, history->trial));
    return NULL;
}
