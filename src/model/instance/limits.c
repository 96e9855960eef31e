/* limits.c - the list of limits (limit.h): size and cap first, then the members of rules, then what structure asks for
 * (structure.c adds it), keeps and bans last. */
#include "model/limit.h"

#include "model/instance/instance_cache.h"

const char *limit_kind_name(LimitKind kind)
{
#define LIMIT_WORD(constant, function, word) [constant] = word,
    static const char *const name[LIMIT_KINDS] = {LIMIT_KIND_TABLE(LIMIT_WORD)};
#undef LIMIT_WORD
    return name[kind];
}

bool limit_asks(const Limit *limit)
{
    return limit->bounds.has_low || limit->bounds.has_high;
}

bool limit_is_status(const Limit *limit)
{
    return limit->kind == LIMIT_KEEP || limit->kind == LIMIT_BAN;
}

bool limit_is_exact(const Limit *limit)
{
    const Bounds *b = &limit->bounds;
    switch (limit->kind) {
    case LIMIT_PLACES:
    case LIMIT_KEEP:
    case LIMIT_BAN: return true;
    case LIMIT_SIZE:
    case LIMIT_CAP:
    case LIMIT_RULE:
    case LIMIT_RATIO:
    case LIMIT_NEEDS:
    case LIMIT_APART:
    case LIMIT_GROUP:
    case LIMIT_CHOICE:
    case LIMIT_KINDS: break;
    }
    return b->has_low && b->has_high && b->low == b->high;
}

static Limit plain_limit(LimitKind kind, const char *name, const char *of, SourcePos at)
{
    return (Limit){.kind = kind,
                   .name = name,
                   .of = of,
                   .title = name,
                   .at = at,
                   .measure = MEASURE_COUNT,
                   .priority = 5,
                   .theme = -1,
                   .colour = -1,
                   .card = -1};
}

Limit *limit_add(Instance *instance, LimitKind kind, const char *name, const char *of, SourcePos at)
{
    Limit *limit = &instance->limit[instance->limits++];
    *limit = plain_limit(kind, name, of, at);
    return limit;
}

static size_t count_statuses(const Instance *in)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += (in->status[c] & (STATUS_KEEP | STATUS_BAN)) != 0;
    return count;
}

static void add_size(Instance *in)
{
    const Model *model = in->model;
    Limit *limit = limit_add(in, LIMIT_SIZE, "size", "", model->size_at);
    limit->title = "size of the pool";
    limit->bounds = (Bounds){.has_low = true,
                             .has_high = true,
                             .low = model->size_from,
                             .high = model->size_to,
                             .exactly = model->size_from == model->size_to,
                             .at = model->size_at};
}

int64_t instance_cap_left(const Instance *instance)
{
    return instance->model->cap - (instance->model->counts_paid ? instance->paid : 0);
}

void limits_set_cap(Instance *instance)
{
    const Model *model = instance->model;
    Limit *limit = &instance->limit[LIMIT_CAP];
    limit->at = model->cap_at;
    limit->capped = model;
    limit->bounds = (Bounds){.has_high = model->has_cap, .high = instance_cap_left(instance), .at = model->cap_at};
}

static void fill_member(const Instance *in, const RuleMember *member, Limit *limit)
{
    const Rule *rule = member->rule;
    *limit = plain_limit(LIMIT_RULE, rule->name, member->of, member->bounds.at.line > 0 ? member->bounds.at : rule->at);
    if (member->of[0] != '\0')
        limit->title = arena_printf(in->arena, "%s (%s)", rule->name, member->of);
    limit->measure = rule->measure;
    limit->bounds = member->bounds;
    limit->soft = rule->is_soft;
    limit->priority = rule->priority;
    limit->theme = member->theme;
    limit->member = member;
}

static void add_watches(Instance *in)
{
    in->watch = arena_alloc(in->arena, in->watches, sizeof *in->watch);
    for (size_t w = 0; w < in->watches; w++)
        fill_member(in, &in->member[in->members + w], &in->watch[w]);
}

void limits_begin(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    const Structure *structure = in->model->structure;
    const size_t capacity = 2 + in->members + in->model->colours + in->model->themes + structure->combinations +
                            structure->chooses * (1 + model_pairs(in->model)) + count_statuses(in);
    in->limit = arena_alloc(in->arena, capacity, sizeof *in->limit);
    add_size(in);
    limit_add(in, LIMIT_CAP, "spending cap", "", in->model->cap_at)->measure = MEASURE_SPEND;
    limits_set_cap(in);
    for (size_t m = 0; m < in->members; m++)
        fill_member(in, &in->member[m], &in->limit[in->limits++]);
    add_watches(in);
}

static void add_status(Instance *in, size_t card, LimitKind kind)
{
    const char *name = in->cards->card[card].name;
    Limit *limit = limit_add(in, kind, name, "", in->status_at[card]);
    const bool keep = kind == LIMIT_KEEP;
    limit->because = history_because(in, card);
    limit->title = arena_printf(in->arena, keep ? "%s must be in" : "%s must stay out", name);
    if (limit->because != NULL)
        limit->title = arena_printf(in->arena, "%s (%s)", limit->title, limit->because);
    limit->bounds = (Bounds){.has_low = keep, .has_high = !keep, .low = keep, .at = limit->at};
    limit->card = (long)card;
}

void limits_statuses(const InstanceBuilder *builder)
{
    Instance *in = builder->instance;
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->least[c] > 0)
            add_status(in, c, LIMIT_KEEP);
    for (size_t c = 0; c < in->cards->count; c++)
        if ((in->status[c] & STATUS_BAN) != 0 && !in->skipped[c])
            add_status(in, c, LIMIT_BAN);
}
