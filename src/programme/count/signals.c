/* signals.c - see signals.h. */
#include "programme/count/signals.h"

#include "base/number.h"
#include "base/text.h"

static bool is_theme(const Instance *in, int tag)
{
    return text_find(in->cards->tag[tag], in->model->theme_name, in->model->themes) >= 0;
}

static bool filter_names(const Filter *filter, const char *tag)
{
    for (size_t t = 0; t < filter->tests; t++)
        for (size_t v = 0; filter->test[t].field == FIELD_TAG && v < filter->test[t].values; v++)
            if (text_folds_to(tag, filter->test[t].value[v].folded))
                return true;
    return false;
}

/* Does a rule ask about the tag, as about answers to other cards? Then how many there are is meant. */
static bool is_asked_for(const Instance *in, int tag)
{
    const Model *model = in->model;
    for (size_t r = 0; r < model->rules + model->deck.rules; r++)
        if (filter_names(&model->rule[r].where, in->cards->tag[tag]) ||
            (model->rule[r].has_of && filter_names(&model->rule[r].of, in->cards->tag[tag])))
            return true;
    return false;
}

static void find_tags(const Instance *in, const int *copies, Signals *signals)
{
    const size_t tags = in->cards->tags;
    int *cards = mem_new(tags + 1, sizeof *cards);
    for (size_t c = 0; c < in->cards->count; c++)
        for (size_t k = 0; copies[c] > 0 && k < in->cards->card[c].tags; k++)
            cards[in->cards->card[c].tag[k].tag] += copies[c];
    signals->tag = mem_new(tags + 1, sizeof *signals->tag);
    for (size_t t = 0; t < tags; t++)
        if (cards[t] >= SIGNAL_LEAST && cards[t] <= SIGNAL_MOST && !is_theme(in, (int)t) && !is_asked_for(in, (int)t))
            signals->tag[signals->tags++] = (TagSignal){(int)t, cards[t]};
    mem_free(cards);
}

/* What the theme's cards of the pool are. */
typedef struct {
    int enablers, payoffs;
    int cards[COLOURS_MAX]; /* mono, with a cost */
    int64_t cost[COLOURS_MAX];
} ThemeCount;

static ThemeCount count_theme(const Instance *in, const int *copies, size_t theme)
{
    ThemeCount count = {0};
    for (size_t k = in->theme_start[theme]; k < in->theme_start[theme + 1]; k++) {
        const size_t c = in->theme_card[k];
        const Card *card = &in->cards->card[c];
        if (copies[c] <= 0 || !colours_playable(&card->colours, in->model->theme[theme].colours))
            continue;
        const Role role = instance_theme_tag(in, theme, c)->role;
        count.enablers += role_is_enabler(role) ? copies[c] : 0;
        count.payoffs += role_is_payoff(role) ? copies[c] : 0;
        for (int m = 0; m < COLOURS_MAX && in->class[c] == CLASS_MONO && card->has_cost; m++)
            if (colours_union(&card->colours) >> m & 1) {
                count.cards[m] += copies[c];
                count.cost[m] += card->cost * copies[c];
            }
    }
    return count;
}

static void judge_enablers(const Instance *in, size_t theme, const ThemeCount *count, Signals *signals)
{
    const Engine *engine = &in->model->structure->shape[theme].engine;
    const int64_t ratio = engine->on ? engine->ratio : USUAL_RATIO;
    const int64_t wanted = (int64_t)ceil_div((int128)ratio * count->payoffs, 1000);
    if (count->enablers < wanted)
        signals->few[signals->fews++] = (ShortTheme){theme, count->enablers, count->payoffs, (int)wanted};
}

static void judge_speeds(const Instance *in, size_t theme, const ThemeCount *count, Signals *signals)
{
    TwoSpeeds speeds = {.theme = theme};
    int colours = 0;
    for (int m = 0; m < COLOURS_MAX; m++) {
        if (!(in->model->theme[theme].colours >> m & 1))
            continue;
        if (colours < 2) {
            speeds.colour[colours] = m;
            speeds.cards[colours] = count->cards[m];
            speeds.cost[colours] = count->cost[m];
        }
        colours++;
    }
    if (colours != 2 || speeds.cards[0] < SPEED_CARDS || speeds.cards[1] < SPEED_CARDS)
        return;
    const int128 apart = (int128)speeds.cost[0] * speeds.cards[1] - (int128)speeds.cost[1] * speeds.cards[0];
    if ((apart < 0 ? -apart : apart) >= (int128)SPEEDS_APART * speeds.cards[0] * speeds.cards[1])
        signals->speed[signals->speeds++] = speeds;
}

void signals_find(const Instance *in, const int *copies, const PoolCheck *check, Signals *signals)
{
    const size_t themes = in->model->themes;
    *signals = (Signals){.few = mem_new(themes + 1, sizeof *signals->few),
                         .speed = mem_new(themes + 1, sizeof *signals->speed)};
    find_tags(in, copies, signals);
    for (size_t t = 0; t < themes; t++) {
        if (!check->chosen[t])
            continue;
        const ThemeCount count = count_theme(in, copies, t);
        judge_enablers(in, t, &count, signals);
        judge_speeds(in, t, &count, signals);
    }
}

void signals_release(Signals *signals)
{
    mem_free(signals->tag);
    mem_free(signals->few);
    mem_free(signals->speed);
    *signals = (Signals){0};
}
