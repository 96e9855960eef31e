/* causes_data.c - limits that no choice of cards can meet, sorted by what the sheets lack: size, roles, tags parted by
 * commas, words spelt otherwise, fixing, gold cards written as hybrids; or that ask for more than a pool takes. Counted
 * from the candidates (programme/reach/reach.h), whatever is kept or banned. And more keeps than a pool takes. */
#include <string.h>

#include "base/number.h"
#include "base/sort.h"
#include "base/text.h"
#include "explain/conflict/causes.h"

typedef struct {
    const Explain *e;
    const Instance *in; /* without keeps and bans */
    const LimitReach *reach;
    Causes *causes;
} Data;

static bool any_role(const Instance *in)
{
    for (size_t c = 0; c < in->cards->count; c++)
        for (size_t i = 0; i < in->cards->card[c].tags; i++)
            if (in->cards->card[c].tag[i].role != ROLE_NONE)
                return true;
    return false;
}

static size_t cards_with_tag(const Instance *in, int tag)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += card_has_tag(&in->cards->card[c], tag) != NULL;
    return count;
}

static size_t cards_of_kind(const Instance *in, int kind)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        for (size_t i = 0; i < in->cards->card[c].kinds; i++)
            count += in->cards->card[c].kind[i] == kind;
    return count;
}

static size_t cards_of_class(const Instance *in, CardClass class)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += in->class[c] == class;
    return count;
}

/* "bells, freight" has the parts "bells" and "freight": is one of them the word, alone or with a role or weight? */
static bool comma_part(const char *tag, const char *folded)
{
    const size_t length = strlen(folded);
    if (strchr(tag, ',') == NULL)
        return false;
    char *all = text_fold(tag);
    bool found = false;
    for (const char *part = all; part != NULL && !found; part = strchr(part, ',')) {
        part += part != all || *part == ',';
        part += strspn(part, " ");
        found = strncmp(part, folded, length) == 0 && (part[length] == '\0' || strchr(" ,", part[length]) != NULL);
    }
    mem_free(all);
    return found;
}

/* Cards one of whose tags holds the word behind or before a comma; *example is such a tag. */
static size_t cards_with_comma(const Instance *in, const char *word, const char **example)
{
    char *folded = text_fold(word);
    size_t count = 0;
    for (size_t t = 0; t < in->cards->tags; t++) {
        if (!comma_part(in->cards->tag[t], folded))
            continue;
        *example = *example == NULL ? in->cards->tag[t] : *example;
        count += cards_with_tag(in, (int)t);
    }
    mem_free(folded);
    return count;
}

size_t causes_stray_commas(const Instance *in, const char **example)
{
    const CardSet *cards = in->cards;
    size_t count = 0;
    *example = NULL;
    for (size_t tag = 0; tag < cards->tags; tag++) {
        bool of_theme = false;
        for (size_t t = 0; t < in->model->themes && !of_theme; t++) {
            char *theme = text_fold(in->model->theme[t].name);
            of_theme = comma_part(cards->tag[tag], theme);
            mem_free(theme);
        }
        if (!of_theme)
            continue;
        *example = *example == NULL ? cards->tag[tag] : *example;
        count += cards_with_tag(in, (int)tag);
    }
    return count;
}

/* Is the tag a theme's own, or the one that is looked for? */
static bool is_meant(const Instance *in, size_t tag, const char *word)
{
    bool meant = card_tag(in->cards, word) == (int)tag;
    for (size_t t = 0; t < in->model->themes && !meant; t++)
        meant = card_tag(in->cards, in->model->theme[t].name) == (int)tag;
    return meant;
}

/* The tag of no theme that is almost the word, NULL if there is none. */
static const char *nearest_tag(const Instance *in, const char *word)
{
    const char **other = mem_new(in->cards->tags + 1, sizeof *other);
    size_t others = 0;
    for (size_t t = 0; t < in->cards->tags; t++)
        if (!is_meant(in, t, word))
            other[others++] = in->cards->tag[t];
    const char *nearest = text_nearest(word, other, others);
    mem_free(other);
    return nearest;
}

/* The cause of this kind and word, new if there is none yet. */
static Cause *cause_of(const Data *d, CauseKind kind, const char *word)
{
    for (size_t k = 0; k < d->causes->causes; k++) {
        Cause *old = &d->causes->cause[k];
        const bool alike = (old->word == NULL) == (word == NULL) && (word == NULL || strcmp(old->word, word) == 0);
        if (old->kind == kind && (alike || kind == CAUSE_COMMAS))
            return old;
    }
    Cause *cause = cause_add(d->causes, kind);
    cause->word = word != NULL ? arena_strdup(d->causes->arena, word) : NULL;
    return cause;
}

/* The word is a tag that limits ask for. NULL: nothing is wrong with it. */
static Cause *judge_tag(const Data *d, const char *word)
{
    const char *example = NULL;
    const size_t commas = cards_with_comma(d->in, word, &example);
    if (commas > 0) {
        Cause *cause = cause_of(d, CAUSE_COMMAS, example);
        cause->cards = commas > cause->cards ? commas : cause->cards;
        return cause;
    }
    const int tag = card_tag(d->in->cards, word);
    const char *nearest = nearest_tag(d->in, word);
    const size_t with_nearest = nearest != NULL ? cards_with_tag(d->in, card_tag(d->in->cards, nearest)) : 0;
    const size_t own = tag >= 0 ? cards_with_tag(d->in, tag) : 0;
    if (own > 0 && own >= with_nearest)
        return NULL;
    Cause *cause = cause_of(d, CAUSE_SPELLING, word);
    cause->field = "tag";
    cause->of = own;
    cause->nearest = nearest;
    cause->cards = with_nearest;
    return cause;
}

/* No card is of any of the kinds. */
static Cause *judge_kinds(const Data *d, const FilterTest *test, CauseKind kind)
{
    const CardSet *cards = d->in->cards;
    for (size_t v = 0; v < test->values; v++)
        if (test->value[v].text == NULL || card_kind(cards, test->value[v].text) >= 0)
            return NULL;
    if (test->values == 0 || test->negated)
        return NULL;
    Cause *cause = cause_of(d, kind, test->value[0].text);
    cause->field = "kind";
    cause->nearest = text_nearest(test->value[0].text, cards->kind, cards->kinds);
    cause->cards = cause->nearest != NULL ? cards_of_kind(d->in, card_kind(cards, cause->nearest)) : 0;
    return cause;
}

static Cause *judge_fixing(const Data *d)
{
    const Model *model = d->in->model;
    if (cards_of_class(d->in, CLASS_FIXING) > 0)
        return NULL;
    for (size_t t = 0; model->has_fixing && t < model->fixing.tests; t++)
        if (model->fixing.test[t].field == FIELD_KIND) {
            Cause *cause = judge_kinds(d, &model->fixing.test[t], CAUSE_NO_FIXING);
            if (cause != NULL)
                return cause;
        }
    return cause_of(d, CAUSE_NO_FIXING, NULL);
}

static Cause *judge_gold(const Data *d)
{
    const size_t gold = cards_of_class(d->in, CLASS_GOLD), hybrid = cards_of_class(d->in, CLASS_HYBRID);
    if (hybrid <= gold)
        return NULL;
    Cause *cause = cause_of(d, CAUSE_SLASHES, NULL);
    cause->cards = hybrid;
    cause->of = gold + hybrid;
    return cause;
}

static Cause *judge_test(const Data *d, const FilterTest *test)
{
    if (test->negated)
        return NULL;
    Cause *cause = NULL;
    if (test->field == FIELD_KIND)
        return judge_kinds(d, test, CAUSE_SPELLING);
    for (size_t v = 0; v < test->values && cause == NULL; v++) {
        const char *folded = test->value[v].folded;
        if (folded == NULL)
            continue;
        if (test->field == FIELD_TAG || (test->field == FIELD_THEME && strcmp(folded, "any") != 0))
            cause = judge_tag(d, test->value[v].text);
        else if (test->field == FIELD_CLASS && test->values == 1 && strcmp(folded, "fixing") == 0)
            cause = judge_fixing(d);
        else if (test->field == FIELD_CLASS && test->values == 1 && strcmp(folded, "gold") == 0)
            cause = judge_gold(d);
    }
    return cause;
}

static bool asks_role(const RuleMember *member)
{
    for (size_t t = 0; t < member->rule->where.tests; t++)
        if (member->rule->where.test[t].field == FIELD_ROLE && !member->rule->where.test[t].negated)
            return true;
    return false;
}

static Cause *judge_rule(const Data *d, const Limit *limit)
{
    const RuleMember *member = limit->member;
    Cause *cause = NULL;
    if (asks_role(member) && !any_role(d->in))
        return cause_of(d, CAUSE_NO_ROLES, NULL);
    if (member->theme >= 0)
        cause = judge_tag(d, d->in->model->theme[member->theme].name);
    for (size_t t = 0; t < member->rule->where.tests && cause == NULL; t++)
        cause = judge_test(d, &member->rule->where.test[t]);
    return cause;
}

static Cause *judge(const Data *d, const Limit *limit, const LimitReach *reach)
{
    Cause *cause = NULL;
    if (limit->kind == LIMIT_SIZE) {
        cause = cause_of(d, CAUSE_SIZE, NULL);
        cause->of = (size_t)reach->most;
        return cause;
    }
    if (limit->kind == LIMIT_RULE)
        cause = judge_rule(d, limit);
    for (size_t k = 0; limit->kind == LIMIT_PLACES && k < limit->of_themes && cause == NULL; k++)
        if (limit->count[k] > 0)
            cause = judge_tag(d, d->in->model->theme[limit->of_theme[k]].name);
    if (cause != NULL)
        return cause;
    cause = cause_add(d->causes, reach->candidates == 0 ? CAUSE_NO_CANDIDATE : CAUSE_TOO_FEW);
    cause->of = reach->candidates;
    cause->amount = reach->most;
    cause->wanted = limit->kind == LIMIT_PLACES ? 0 : limit->bounds.low;
    for (size_t k = 0; limit->kind == LIMIT_PLACES && k < limit->of_themes; k++)
        cause->wanted += limit->count[k];
    return cause;
}

/* The lower side is out of reach; of places, needs and groups, which are one side, the limit is. */
static bool out_of_reach(const Side *side, const LimitReach *reach)
{
    const Limit *limit = side->limit;
    if (!side->hard || reach->possible || !reach->has_most)
        return false;
    if (limit->kind == LIMIT_PLACES)
        return true;
    return side->low && reach->most < limit->bounds.low;
}

/* The limit asks for more cards than a pool takes, all of which count: the upper side of the size; else -1. */
static int size_below(const Explain *e, const Limit *limit, const LimitReach *reach)
{
    if (limit->kind != LIMIT_RULE || limit->measure != MEASURE_COUNT)
        return -1;
    for (int s = 0; s < e->sides->sides; s++) {
        const Side *side = &e->sides->side[s];
        if (side->limit->kind == LIMIT_SIZE && side->hard && !side->low && side->limit->bounds.high == reach->most)
            return s;
    }
    return -1;
}

static void judge_side(const Data *d, int s)
{
    const Limit *limit = d->e->sides->side[s].limit;
    const LimitReach *reach = &d->reach[limit - d->in->limit];
    const int size = size_below(d->e, limit, reach);
    if (size < 0) {
        cause_add_side(judge(d, limit, reach), s);
        return;
    }
    Cause *cause = cause_add(d->causes, CAUSE_SUM);
    cause_add_side(cause, s < size ? s : size);
    cause_add_side(cause, s < size ? size : s);
    cause->against = size;
    cause->amount = limit->bounds.low;
}

static bool is_keep(const Side *side)
{
    return side->limit->kind == LIMIT_KEEP && side->hard;
}

static bool is_most_cards(const Side *side)
{
    return side->limit->kind == LIMIT_SIZE && side->hard && !side->low;
}

static void judge_keeps(const Data *d)
{
    const SideProblem *sides = d->e->sides;
    int64_t kept = 0, room = INT64_MAX;
    for (int s = 0; s < sides->sides; s++) {
        kept += is_keep(&sides->side[s]);
        if (is_most_cards(&sides->side[s]))
            room = sides->side[s].limit->bounds.high;
    }
    if (kept <= room)
        return;
    Cause *cause = cause_add(d->causes, CAUSE_KEEPS);
    cause->of = (size_t)kept;
    for (int s = 0; s < sides->sides; s++)
        if (is_keep(&sides->side[s]) || is_most_cards(&sides->side[s]))
            cause_add_side(cause, s);
}

/* Of too few, those first that have the least of what they ask for. */
static int by_kind(const void *a, const void *b)
{
    const Cause *x = a, *y = b;
    const int128 left = (int128)x->amount * y->wanted, right = (int128)y->amount * x->wanted;
    if (x->kind != y->kind || x->kind != CAUSE_TOO_FEW)
        return (x->kind > y->kind) - (x->kind < y->kind);
    return (left > right) - (left < right);
}

void causes_of_data(const Explain *explain, Causes *causes)
{
    const Instance *in = explain->free_instance;
    LimitReach *reach = mem_new(in->limits + 1, sizeof *reach);
    limit_reach(in, reach);
    const Data d = {explain, in, reach, causes};
    for (int s = 0; s < explain->sides->sides; s++) {
        const Side *side = &explain->sides->side[s];
        if (out_of_reach(side, &reach[side->limit - in->limit]))
            judge_side(&d, s);
    }
    judge_keeps(&d);
    sort_stable(causes->cause, causes->causes, sizeof *causes->cause, by_kind);
    mem_free(reach);
}
