/* shape_make.c - a random scenario with the features asked for, and now and then others. */
#include "shape.h"

#include <string.h>

static void make_card(Shape *s, Dice *dice, ShapeCard *card)
{
    int colour = dice_roll(dice, 0, s->colours - 1);
    *card = (ShapeCard){
        .power = dice_roll(dice, 0, 40) * 250, .price = dice_roll(dice, 0, 300), .most = dice_chance(dice, 20) ? 2 : 1};
    if (dice_chance(dice, 75)) {
        card->colours = 1U << colour;
    } else if (dice_chance(dice, 60)) {
        card->colours = 1U << colour | 1U << ((colour + 1) % s->colours);
        card->either = dice_chance(dice, 40);
    }
    card->owned = dice_chance(dice, 25) ? dice_roll(dice, 0, 2) : 0;
    for (int t = 0; t < s->themes; t++) {
        card->tagged[t] = dice_chance(dice, 60);
        card->role[t] = dice_roll(dice, SHAPE_NONE, SHAPE_BOTH);
        card->weight[t] = dice_roll(dice, 0, 12) * 250;
    }
}

static void make_theme(Shape *s, Dice *dice, unsigned features, ShapeTheme *theme)
{
    int colour = dice_roll(dice, 0, s->colours - 1);
    unsigned all = (1U << s->colours) - 1;
    *theme = (ShapeTheme){.weight = dice_roll(dice, 0, 8) * 250, .band_from = -1, .band_to = -1};
    theme->colours = dice_chance(dice, 15)   ? 0
                     : dice_chance(dice, 25) ? all
                                             : 1U << colour | 1U << ((colour + 1) % s->colours);
    if ((features & WITH_ENGINE) != 0 && dice_chance(dice, 70)) {
        theme->bonus = dice_roll(dice, 1, 8) * 250;
        theme->ratio = dice_roll(dice, 1, 10) * 250;
    }
    if ((features & WITH_RATIO) != 0 && dice_chance(dice, 60)) {
        theme->band_from = dice_chance(dice, 70) ? dice_roll(dice, 0, 4) * 250 : -1;
        theme->band_to = theme->band_from < 0 || dice_chance(dice, 60) ? 1000 + dice_roll(dice, 0, 8) * 250 : -1;
    }
    if ((features & WITH_DEPTH) != 0 && dice_chance(dice, 70)) {
        int to = 0;
        int64_t share = 100;
        theme->steps = dice_roll(dice, 1, SHAPE_STEPS);
        for (int k = 0; k < theme->steps; k++) {
            to += dice_roll(dice, 1, 3);
            theme->to[k] = k + 1 == theme->steps && dice_chance(dice, 40) ? 0 : to;
            theme->share[k] = share;
            share -= dice_roll(dice, 0, (int)share);
        }
    }
}

static void add_link(Shape *s, Dice *dice, int kind)
{
    if (s->links == SHAPE_LINKS) {
        return;
    }
    ShapeLink *link = &s->link[s->links++];
    *link = (ShapeLink){.kind = kind, .subject = dice_roll(dice, 0, s->cards - 1)};
    int wanted = dice_roll(dice, 2, 4);
    for (int k = 0; k < wanted; k++) {
        link->cards |= 1U << dice_roll(dice, 0, s->cards - 1);
    }
    int count = __builtin_popcount(link->cards);
    switch (kind) {
    case LINK_TOGETHER: link->number = dice_roll(dice, 1, 20) * 500; break;
    case LINK_NEEDS: link->number = dice_roll(dice, 1, count < 2 ? count : 2); break;
    case LINK_APART: link->number = dice_roll(dice, 0, 2); break;
    default: link->number = dice_roll(dice, 1, count);
    }
}

/* Two or three parts; no card stands in two. */
static void add_sets(Shape *s, Dice *dice)
{
    ShapeLink *link = &s->link[s->links++];
    *link = (ShapeLink){.kind = LINK_SETS, .parts = dice_roll(dice, 2, SHAPE_PARTS)};
    for (int p = 0; p < link->parts; p++) {
        link->part[p] = 1U << p;
    }
    for (int c = link->parts; c < s->cards; c++) {
        if (dice_chance(dice, 60)) {
            link->part[dice_roll(dice, 0, link->parts - 1)] |= 1U << c;
        }
    }
    link->number = dice_roll(dice, 1, 20) * 250;
    link->sets_most = dice_chance(dice, 50) ? dice_roll(dice, 1, 2) : 0;
}

static void make_places(Shape *s, Dice *dice)
{
    s->places = true;
    s->per_theme = dice_chance(dice, 40);
    s->open = -1;
    s->wide_theme = dice_chance(dice, 40) ? dice_roll(dice, 0, s->themes - 1) : -1;
    s->wide_count = dice_roll(dice, 0, 2);
    s->also = dice_chance(dice, 30) ? dice_roll(dice, 0, s->themes - 1) : -1;
    s->own_theme = -1;
    s->own_open = -1;
    s->own_colour = dice_chance(dice, 60) ? dice_roll(dice, 0, s->colours - 1) : -1;
    if (s->own_colour < 0) {
        return;
    }
    int theme = dice_roll(dice, 0, s->themes - 1);
    if ((s->theme[theme].colours >> s->own_colour & 1) != 0) {
        s->own_theme = theme;
        s->own_count = dice_roll(dice, 0, 2);
    }
    if (dice_chance(dice, 35)) {
        s->own_open = dice_roll(dice, 0, 2);
    }
}

static void make_choice(Shape *s, Dice *dice)
{
    s->per_pair = dice_chance(dice, 50);
    for (int t = 0; t < s->themes; t++) {
        bool pair = __builtin_popcount(s->theme[t].colours) == 2 || (s->theme[t].colours == 0 && s->colours == 2);
        if ((pair || !s->per_pair) && dice_chance(dice, 80)) {
            s->from |= 1U << t;
        }
    }
    s->choose_low = dice_roll(dice, 0, 1);
    s->choose_high = s->choose_low + dice_roll(dice, 0, 1);
}

void shape_make(Shape *s, uint64_t seed, unsigned features)
{
    Dice dice;
    dice_seed(&dice, seed);
    memset(s, 0, sizeof *s);
    for (unsigned bit = 1; bit <= WITH_OVERLAP; bit *= 2) {
        if (dice_chance(&dice, 15)) {
            features |= bit;
        }
    }
    if ((features & WITH_BY_PLACE) != 0) {
        features = (features | WITH_PLACES) & ~(unsigned)(WITH_DEPTH | WITH_CHOOSE);
    }
    s->colours = dice_roll(&dice, 2, SHAPE_COLOURS);
    s->themes = dice_roll(&dice, 2, SHAPE_THEMES);
    s->cards = dice_roll(&dice, 7, SHAPE_CARDS);
    s->deck = dice_roll(&dice, 1, s->colours);
    for (int c = 0; c < s->cards; c++) {
        make_card(s, &dice, &s->card[c]);
    }
    for (int t = 0; t < s->themes; t++) {
        make_theme(s, &dice, features, &s->theme[t]);
    }
    s->size_to = dice_roll(&dice, 4, s->cards - 1);
    s->size_from = s->size_to - (dice_chance(&dice, 30) ? dice_roll(&dice, 1, 2) : 0);
    s->cap = dice_chance(&dice, 40) ? s->size_to * dice_roll(&dice, 90, 250) : -1;
    s->also = s->own_colour = s->wide_theme = s->own_theme = s->open = s->own_open = -1;
    if ((features & WITH_PLACES) != 0) {
        make_places(s, &dice);
        s->by_place = (features & WITH_BY_PLACE) != 0;
    }
    s->evenness = (features & WITH_EVENNESS) != 0 ? dice_roll(&dice, 1, 8) * 500 : 0;
    if ((features & WITH_SETS) != 0) {
        add_sets(s, &dice);
    }
    for (int kind = LINK_TOGETHER; kind <= LINK_GROUP; kind++) {
        if ((features & (unsigned)WITH_TOGETHER << kind) != 0) {
            add_link(s, &dice, kind);
        }
    }
    if ((features & WITH_CHOOSE) != 0) {
        make_choice(s, &dice);
    }
    s->playable = (features & WITH_PLAYABLE) != 0 ? dice_roll(&dice, 1, 100) : 0;
    if ((features & WITH_STAY) != 0) {
        s->stay = dice_roll(&dice, 1, 12) * 250;
        for (int c = 0; c < s->cards; c++) {
            s->card[c].present = dice_chance(&dice, 50) ? dice_roll(&dice, 1, 2) : 0;
        }
    }
    s->payoffs_least = dice_chance(&dice, 40) ? dice_roll(&dice, 1, 2) : -1;
    s->payoffs_soft = dice_chance(&dice, 50) ? dice_roll(&dice, 1, 6) * 500 : 0;
    s->tagged_most = dice_chance(&dice, 30) ? dice_roll(&dice, 1, 4) : -1;
    s->own_share = (features & WITH_OVERLAP) != 0 ? dice_roll(&dice, 10, 50) : -1;
}
