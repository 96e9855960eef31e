/* match_names.c - keep, ban, wish and exempt: names of the model's files met with candidates. */
#include <string.h>

#include "base/text.h"
#include "model/instance/instance_cache.h"

/* "wishes.csv" where a name is expected. */
static bool is_sheet(const char *name)
{
    static const char *const ending[] = {".csv", ".tsv", ".txt", ".ods", ".xlsx"};
    for (size_t k = 0; k < sizeof ending / sizeof *ending; k++)
        if (text_ends_with(name, ending[k]))
            return true;
    return false;
}

#define NOTICES_WITH_NEAREST 50

/* The nearest candidate's name; an error told again is told in the same words. */
static const char *nearest_card(const InstanceBuilder *builder, const char *name, bool search)
{
    InstanceCache *cache = builder->instance->cache;
    for (size_t i = 0; i < cache->nears; i++)
        if (strcmp(cache->near[i].name, name) == 0)
            return cache->near[i].nearest;
    if (!search)
        return NULL;
    mem_reserve((void **)&cache->near, &cache->near_capacity, cache->nears + 1, sizeof *cache->near);
    NearName *near = &cache->near[cache->nears++];
    *near = (NearName){arena_strdup(builder->instance->arena, name), card_nearest(builder->instance->cards, name)};
    return near->nearest;
}

const char *suggest_card(const InstanceBuilder *builder, const char *file, const char *name)
{
    return did_you_mean(nearest_card(builder, name, !diags_full(builder->diags, file)), builder->instance->arena);
}

bool suggests_more(const InstanceBuilder *builder)
{
    return builder->instance->cache->notices++ < NOTICES_WITH_NEAREST;
}

const char *suggest_card_noticed(const InstanceBuilder *builder, const char *name)
{
    return did_you_mean(nearest_card(builder, name, suggests_more(builder)), builder->instance->arena);
}

/* Are these the names of cards, with commas between? */
static bool are_several_cards(const InstanceBuilder *builder, const char *names)
{
    if (strchr(names, ',') == NULL)
        return false;
    for (const char *rest = names; rest != NULL;) {
        const char *comma = strchr(rest, ',');
        size_t length = comma != NULL ? (size_t)(comma - rest) : strlen(rest);
        const char *start = text_trim(rest, &length);
        char *name = mem_strndup(start, length);
        const bool known = card_find(builder->instance->cards, name) >= 0;
        mem_free(name);
        if (!known)
            return false;
        rest = comma != NULL ? comma + 1 : NULL;
    }
    return true;
}

long find_named_card(const InstanceBuilder *builder, const NameAt *name)
{
    const Instance *instance = builder->instance;
    long card = card_find(instance->cards, name->name);
    const char *hint =
        name->comment == NULL
            ? ""
            : arena_printf(instance->arena,
                           " ('%s' behind it is read as a comment; put the name in quotes if it belongs to it)",
                           name->comment);
    if (card >= 0) {
        if (name->comment != NULL)
            diag_notice(builder->diags, name->at,
                        "'%s' behind '%s' is read as a comment; put the name in quotes if it belongs to it",
                        name->comment, name->name);
        return card;
    }
    const bool several = are_several_cards(builder, name->name);
    const char *nearest = several ? "" : suggest_card(builder, name->at.file, name->name);
    if (several && name->at.file != NULL)
        hint = arena_printf(instance->arena, "; several names are a list: [%s]", name->name);
    else if (several)
        hint = "; each name has an option of its own";
    else if (nearest[0] == '\0' && is_sheet(name->name))
        hint = "; here stand names of cards, while a sheet can keep, ban and wish in its column 'status' and is named "
               "under 'cards' or 'tags'";
    diag_error(builder->diags, name->at, "no candidate is called '%s'%s%s", name->name, nearest, hint);
    return -1;
}

/* Sets the bit on the named cards. A later layer's word replaces an earlier one's; keep and ban in one layer contradict
 * each other. */
static void apply(const InstanceBuilder *builder, int *layer, const NameAt *name, size_t count, unsigned bit,
                  unsigned against)
{
    Instance *instance = builder->instance;
    for (size_t i = 0; i < count; i++) {
        long card = find_named_card(builder, &name[i]);
        if (card < 0)
            continue;
        if ((instance->status[card] & against) != 0) {
            if (layer[card] == name[i].layer) {
                const SourcePos other = instance->status_at[card];
                diag_error(builder->diags, name[i].at, "'%s' is both kept and banned%s", name[i].name,
                           other.line > 0
                               ? arena_printf(instance->arena, "; the other word stands in line %d", other.line)
                               : ", expected one of them");
                continue;
            }
            if (layer[card] > name[i].layer)
                continue;
            instance->status[card] &= ~against;
        }
        instance->status[card] |= bit;
        if (bit == STATUS_WISH)
            continue;
        layer[card] = name[i].layer;
        instance->status_at[card] = name[i].at;
    }
}

void set_copies(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    for (size_t c = 0; c < instance->cards->count; c++) {
        bool kept = (instance->status[c] & STATUS_KEEP) != 0;
        bool out = (instance->status[c] & STATUS_BAN) != 0 || instance->skipped[c];
        instance->most[c] = out ? 0 : instance->cards->card[c].copies;
        instance->least[c] = kept ? 1 : 0;
        if (kept && instance->skipped[c])
            diag_error(
                builder->diags, instance->status_at[c],
                "'%s' is kept but has no price, and 'unpriced: skip' leaves such candidates out; expected a price",
                instance->cards->card[c].name);
    }
}

void match_statuses(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    int *layer = mem_new(instance->cards->count, sizeof *layer);
    for (size_t c = 0; c < instance->cards->count; c++) {
        instance->status[c] = instance->cards->card[c].status;
        instance->status_at[c] = instance->cards->card[c].at;
    }
    apply(builder, layer, model->keep, model->keeps, STATUS_KEEP, STATUS_BAN);
    apply(builder, layer, model->ban, model->bans, STATUS_BAN, STATUS_KEEP);
    apply(builder, layer, model->wish, model->wishes, STATUS_WISH, 0);
    mem_free(layer);
}

/* The index of the rule in force, or -1: rules may be exempted from and switched off. */
static long find_rule(const Model *model, const char *name)
{
    for (size_t r = 0; r < model->rules; r++)
        if (strcmp(model->rule[r].name, name) == 0)
            return (long)r;
    return -1;
}

void match_exempts(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    InstanceCache *cache = instance->cache;
    cache->exempt = arena_alloc(instance->arena, model->rules + model->deck.rules, sizeof *cache->exempt);
    for (size_t e = 0; e < model->exempts; e++) {
        long card = find_named_card(builder, &model->exempt[e].card);
        for (size_t f = 0; f < model->exempt[e].froms && card >= 0; f++) {
            long rule = find_rule(model, model->exempt[e].from[f].name);
            if (rule < 0)
                continue;
            if (cache->exempt[rule] == NULL)
                cache->exempt[rule] = arena_alloc(instance->arena, instance->cards->count, sizeof **cache->exempt);
            cache->exempt[rule][card] = true;
        }
    }
}
