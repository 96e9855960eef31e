/* model.c - small questions to a model. */
#include "model/model.h"

#include "base/number.h"
#include "base/text.h"

int64_t measure_unit(Measure measure)
{
    static const int64_t unit[] = {1, 10, 100, 1000};
    return unit[measure_scale(measure)];
}

int measure_scale(Measure measure)
{
#define MEASURE_DECIMALS(constant, word, what, decimals, adds) [constant] = decimals,
    static const int scale[] = {MEASURE_TABLE(MEASURE_DECIMALS)[MEASURE_COLUMN] = 3};
#undef MEASURE_DECIMALS
    return scale[measure];
}

MeasureAdds measure_adds(Measure measure)
{
#define MEASURE_ADDS(constant, word, what, decimals, adds) [constant] = adds,
    static const MeasureAdds how[] = {MEASURE_TABLE(MEASURE_ADDS)[MEASURE_COLUMN] = ADDS_COPIES};
#undef MEASURE_ADDS
    return how[measure];
}

bool measure_is_whole(Measure measure)
{
    return measure_scale(measure) == 0;
}

int64_t model_cap_in_force(const Model *model, int64_t stated)
{
    return (int64_t)floor_div((int128)stated * (PERCENT_ONE - model->headroom), PERCENT_ONE);
}

int64_t model_cap_stated(const Model *model, int64_t in_force)
{
    return (int64_t)ceil_div((int128)in_force * PERCENT_ONE, PERCENT_ONE - model->headroom);
}

Grades model_theme_grades(const Model *model, const char *tag)
{
    const long theme = model->theme_grades != NULL ? text_find(tag, model->theme_name, model->themes) : -1;
    return theme >= 0 ? model->theme_grades[theme] : (Grades){0};
}

CardVocabulary model_vocabulary(const Model *model)
{
    CardVocabulary vocabulary = {
        .colour = model->colour,
        .colours = model->colours,
        .theme = model->theme_name,
        .themes = model->themes,
        .map_field = model->map_field,
        .map_header = model->map_header,
        .map_at = model->map_at,
        .maps = model->maps,
        .grades = model->grades,
        .theme_grades = model->theme_grades,
    };
    return vocabulary;
}

size_t model_pairs(const Model *model)
{
    return model->colours * (model->colours - (model->colours > 0)) / 2;
}

ColourMask model_pair(const Model *model, size_t index)
{
    for (size_t first = 0; first + 1 < model->colours; first++) {
        size_t seconds = model->colours - first - 1;
        if (index < seconds)
            return (ColourMask)(1U << first | 1U << (first + 1 + index));
        index -= seconds;
    }
    return 0;
}

ColourMask *model_decks(const Model *model, Arena *arena, int *count)
{
    const unsigned all = 1U << model->colours;
    ColourMask *deck = arena_alloc(arena, all, sizeof *deck);
    *count = 0;
    for (unsigned mask = 0; mask < all; mask++)
        if (__builtin_popcount(mask) == model->deck_colours)
            deck[(*count)++] = (ColourMask)mask;
    return deck;
}

const char *model_mask_name(const Model *model, ColourMask mask, Arena *arena)
{
    Text text = {0};
    for (size_t i = 0; i < model->colours; i++)
        if (((unsigned)mask >> i & 1U) != 0)
            text_printf(&text, "%s%s", text.length == 0 ? "" : "+", model->colour[i]);
    const char *name = arena_strdup(arena, text.length == 0 ? "colourless" : text_cstr(&text));
    text_release(&text);
    return name;
}
