/* pattern_tags.c - patterns met with cards: who gets which tag. A tag that the card's own sheets give stays as it is.
 * Patterns that give one card the same tag are united: an enabler and a payoff make both, the greater weight counts; so
 * their order does not matter. */
#include <string.h>

#include "base/text.h"
#include "cards/patterns.h"
#include "model/instance/instance_cache.h"
#include "model/sheets/tag_lines.h"

static bool *caught_by(const Instance *instance, size_t pattern)
{
    return &instance->caught[pattern * instance->cards->count];
}

static void report_cut_off(const InstanceBuilder *builder, const Pattern *pattern, const Card *card)
{
    char excerpt[TEXT_EXCERPT];
    diag_error(builder->diags, pattern->text_at,
               "the pattern '%s' took too long on the %s of '%s' (%s:%d) and was cut off; expected a simpler "
               "one, without a repeat inside a repeat",
               text_excerpt(excerpt, pattern->name), pattern->in_name ? "name" : "text", card->name, card->at.file,
               card->at.line);
}

static TextPattern *compile(const InstanceBuilder *builder, const Pattern *pattern)
{
    char trouble[TEXT_PATTERN_TROUBLE];
    size_t at = 0;
    TextPattern *compiled = text_pattern_new(pattern->text, trouble, &at);
    if (compiled == NULL)
        diag_error(builder->diags, pattern->text_at,
                   "found '%s' as a pattern, which goes wrong after character %zu: %s", pattern->text, at, trouble);
    return compiled;
}

static void catch_cards(const InstanceBuilder *builder, size_t p)
{
    const Instance *instance = builder->instance;
    const Pattern *pattern = &instance->model->pattern[p];
    bool *caught = caught_by(instance, p);
    TextPattern *compiled = NULL;
    if (!prepare_filter(builder, &pattern->where) ||
        (pattern->text != NULL && (compiled = compile(builder, pattern)) == NULL))
        return;
    for (size_t c = 0; c < instance->cards->count; c++) {
        const Card *card = &instance->cards->card[c];
        caught[c] = filter_passes(instance, &pattern->where, NULL, c);
        if (!caught[c] || compiled == NULL)
            continue;
        TextFound found = text_pattern_find(compiled, pattern->in_name ? card->name : card->text);
        caught[c] = found == TEXT_FOUND;
        if (found == TEXT_CUT_OFF) {
            report_cut_off(builder, pattern, card);
            break;
        }
    }
    text_pattern_free(compiled);
}

static void note_clash(Instance *instance, size_t *capacity, size_t p, size_t card, const CardTag *own)
{
    const Pattern *pattern = &instance->model->pattern[p];
    bool role = pattern->role != ROLE_NONE && own->role != pattern->role && own->role != ROLE_BOTH;
    bool weight = pattern->has_weight && own->weight != pattern->weight;
    if (!role && !weight)
        return;
    mem_reserve((void **)&instance->clash, capacity, instance->clashes + 1, sizeof *instance->clash);
    instance->clash[instance->clashes++] =
        (PatternClash){.pattern = p, .card = card, .role = own->role, .weight = own->weight};
}

static Role united(Role a, Role b)
{
    bool enabler = role_is_enabler(a) || role_is_enabler(b), payoff = role_is_payoff(a) || role_is_payoff(b);
    return enabler && payoff ? ROLE_BOTH : enabler ? ROLE_ENABLER : payoff ? ROLE_PAYOFF : ROLE_NONE;
}

/* Lines of one card and tag become one. They are sorted. */
static void unite(TagLines *lines)
{
    size_t kept = 0;
    for (size_t i = 0; i < lines->count; i++) {
        const TagLine *line = &lines->line[i];
        TagLine *last = kept > 0 ? &lines->line[kept - 1] : NULL;
        if (last == NULL || last->card != line->card || strcmp(last->folded, line->folded) != 0) {
            lines->line[kept++] = *line;
            continue;
        }
        last->role = united(last->role, line->role);
        last->weight = line->weight > last->weight ? line->weight : last->weight;
    }
    lines->count = kept;
}

void apply_patterns(const InstanceBuilder *builder)
{
    Instance *instance = builder->instance;
    const Model *model = instance->model;
    CardSet *cards = instance->cards;
    TagLines lines = {0};
    size_t capacity = 0;
    instance->caught = arena_alloc(instance->arena, model->patterns * cards->count, sizeof *instance->caught);
    instance->own_tag = arena_alloc(instance->arena, model->patterns * cards->count, sizeof *instance->own_tag);
    for (size_t p = 0; p < model->patterns; p++) {
        const Pattern *pattern = &model->pattern[p];
        int tag = card_tag(cards, pattern->tag);
        catch_cards(builder, p);
        for (size_t c = 0; c < cards->count; c++) {
            const CardTag *own = tag < 0 ? NULL : card_has_tag(&cards->card[c], tag);
            instance->own_tag[p * cards->count + c] = own != NULL;
            if (!caught_by(instance, p)[c])
                continue;
            if (own != NULL) {
                note_clash(instance, &capacity, p, c, own);
                continue;
            }
            mem_reserve((void **)&lines.line, &lines.capacity, lines.count + 1, sizeof *lines.line);
            lines.line[lines.count++] = (TagLine){.card = (long)c,
                                                  .tag = pattern->tag,
                                                  .folded = pattern->folded,
                                                  .role = pattern->role,
                                                  .weight = pattern->weight,
                                                  .at = pattern->at};
        }
    }
    tag_lines_sort(&lines);
    unite(&lines);
    tag_lines_add(builder->instance->cards, &lines, builder->diags);
    mem_free(lines.line);
}
