/* section.c - see section.h. */
#include "model/desk/section.h"

#include "base/text.h"

const char *section_kind_name(SectionKind kind)
{
    switch (kind) {
    case SECTION_THEME: return "theme";
    case SECTION_COLOUR: return "colour";
    case SECTION_PAIR: return "pair";
    case SECTION_CLASS: return "class";
    }
    return "";
}

static bool read_theme(const Model *model, const char *word, Section *section)
{
    const long theme = text_find(word, model->theme_name, model->themes);
    if (theme >= 0)
        *section = (Section){.kind = SECTION_THEME, .name = model->theme[theme].name, .theme = (size_t)theme};
    return theme >= 0;
}

/* "brass", or "brass+tar" whichever comes first. */
static bool read_colours(const Model *model, const char *word, Arena *arena, Section *section)
{
    const CardVocabulary vocabulary = model_vocabulary(model);
    Diags unread;
    ColourNeed need;
    diags_init(&unread);
    const bool read = colours_parse(&vocabulary, word, (SourcePos){0}, &need, &unread);
    diags_release(&unread);
    if (!read || need.parts < 1 || need.parts > 2)
        return false;
    ColourMask mask = 0;
    for (int k = 0; k < need.parts; k++) {
        if ((need.part[k] & (need.part[k] - 1)) != 0)
            return false;
        mask |= need.part[k];
    }
    *section = (Section){.kind = need.parts == 1 ? SECTION_COLOUR : SECTION_PAIR,
                         .name = model_mask_name(model, mask, arena),
                         .mask = mask};
    return true;
}

static bool read_class(const char *word, Section *section)
{
    for (int k = 0; k < CLASS_COUNT; k++) {
        if (!text_folds_to(word, class_name((CardClass)k)))
            continue;
        *section = (Section){.kind = SECTION_CLASS, .name = class_name((CardClass)k), .class = (CardClass)k};
        return true;
    }
    return false;
}

bool section_read(const Model *model, const char *word, Arena *arena, Section *section, Diags *diags)
{
    if (read_theme(model, word, section) || read_colours(model, word, arena, section) || read_class(word, section))
        return true;
    const char *nearest = text_nearest(word, model->theme_name, model->themes);
    if (nearest == NULL)
        nearest = text_nearest(word, model->colour, model->colours);
    diag_error(diags, (SourcePos){0},
               "no part of the pool is called '%s'; expected a theme%s%s%s, a colour (%s), a pair such as %s, or "
               "colourless, gold, hybrid, fixing, mono%s",
               word, model->themes > 0 ? " (" : "", text_list(arena, model->theme_name, model->themes),
               model->themes > 0 ? ")" : "", text_list(arena, model->colour, model->colours),
               model->colours > 1 ? model_mask_name(model, 3, arena) : "A+B", did_you_mean(nearest, arena));
    return false;
}

bool section_holds(const Instance *in, const Section *section, size_t card)
{
    const ColourNeed *colours = &in->cards->card[card].colours;
    switch (section->kind) {
    case SECTION_THEME:
        return instance_theme_tag(in, section->theme, card) != NULL &&
               colours_playable(colours, in->model->theme[section->theme].colours);
    case SECTION_COLOUR: return in->class[card] == CLASS_MONO && colours_exact(colours, section->mask);
    case SECTION_PAIR:
        return (in->class[card] == CLASS_GOLD || in->class[card] == CLASS_HYBRID) &&
               colours_exact(colours, section->mask);
    case SECTION_CLASS: return in->class[card] == section->class;
    }
    return false;
}

Role section_role(const Instance *in, const Section *section, size_t card)
{
    const Card *about = &in->cards->card[card];
    if (section->kind == SECTION_THEME)
        return instance_theme_tag(in, section->theme, card)->role;
    bool enabler = false, payoff = false;
    for (size_t k = 0; k < about->tags; k++) {
        enabler = enabler || role_is_enabler(about->tag[k].role);
        payoff = payoff || role_is_payoff(about->tag[k].role);
    }
    return enabler && payoff ? ROLE_BOTH : enabler ? ROLE_ENABLER : payoff ? ROLE_PAYOFF : ROLE_NONE;
}
