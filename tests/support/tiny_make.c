/* tiny_make.c - random scenarios: see tiny.h. A pool is drawn first and most bounds are laid around what it uses, so
 * that most scenarios have an answer and their rules still bind; some bounds are then drawn tighter, so that some have
 * none. */
#include "tiny.h"
#include "tiny_rules.h"

#include <string.h>

static Need make_need(Dice *dice, int colours)
{
    Need need = {.parts = 0};
    int shape = dice_roll(dice, 0, 99);
    int a = dice_roll(dice, 0, colours - 1);
    int b = dice_roll(dice, 0, colours - 1);
    int c = dice_roll(dice, 0, colours - 1);
    unsigned bits_of[3] = {1U << a, 1U << b, 1U << c};
    if (shape < 12) {
        return need;
    }
    if (shape < 55) {
        need.part[need.parts++] = bits_of[0];
    } else if (shape < 75) {
        need.part[need.parts++] = bits_of[0];
        need.part[need.parts++] = bits_of[1];
    } else if (shape < 90) {
        need.part[need.parts++] = bits_of[0] | bits_of[1];
    } else if (shape < 94) {
        need.part[need.parts++] = bits_of[0] | bits_of[1] | bits_of[2];
    } else if (shape < 98) {
        need.part[need.parts++] = bits_of[0];
        need.part[need.parts++] = bits_of[1] | bits_of[2];
    } else {
        for (int i = 0; i < 3; i++) {
            need.part[need.parts++] = bits_of[i];
        }
    }
    return need;
}

static unsigned make_kinds(Dice *dice, int kinds)
{
    if (dice_chance(dice, 10)) {
        return 0;
    }
    unsigned kind = 1U << dice_roll(dice, 0, kinds - 1);
    return dice_chance(dice, 25) ? kind | 1U << dice_roll(dice, 0, kinds - 1) : kind;
}

static int64_t make_price(Dice *dice)
{
    static const int64_t common[] = {5, 10, 25, 50, 99, 120, 250, 400, 999, 1500};
    return common[dice_roll(dice, 0, 9)] + (dice_chance(dice, 30) ? dice_roll(dice, 0, 30) : 0);
}

static TinyTag make_tag(Dice *dice, bool is_theme)
{
    static const int64_t weights[] = {1000, 1000, 2000, 3000, 500, 1500, 333};
    TinyTag tag = {.there = dice_chance(dice, 40)};
    tag.role = dice_chance(dice, 60) ? dice_roll(dice, ENABLER, BOTH) : NO_ROLE;
    tag.weight = weights[dice_roll(dice, 0, 6)];
    tag.written = dice_chance(dice, 20) ? 2 : is_theme && dice_chance(dice, 40) ? 1 : 0;
    return tag;
}

static void make_card(Tiny *tiny, Dice *dice, int c)
{
    TinyCard *card = &tiny->card[c];
    card->printed = make_need(dice, tiny->colours);
    card->kind = make_kinds(dice, tiny->kinds);
    card->has_as_colours = dice_chance(dice, 12);
    card->as = make_need(dice, tiny->colours);
    card->as_kind = make_kinds(dice, tiny->kinds);
    card->has_as_kind = card->as_kind != 0 && dice_chance(dice, 12);
    card->has_as_cost = dice_chance(dice, 12);
    card->has_cost = dice_chance(dice, 88);
    card->cost = dice_roll(dice, 0, 14) * (dice_chance(dice, 20) ? 500 : 1000) / 2 * 2;
    card->as_cost = dice_roll(dice, 0, 7) * 1000;
    card->has_power = dice_chance(dice, 88);
    card->power = dice_roll(dice, 0, 20) * 500 + (dice_chance(dice, 20) ? dice_roll(dice, 1, 499) : 0);
    card->has_price = true;
    card->price = make_price(dice);
    card->has_number = dice_chance(dice, 80);
    card->number = dice_roll(dice, 0, 12) * (dice_chance(dice, 30) ? 250 : 1000);
    card->word = dice_chance(dice, 20) ? -1 : dice_roll(dice, 0, WORDS_MOST - 1);
    card->symbols = dice_chance(dice, 30) ? -1 : dice_roll(dice, 0, 4);
    card->copies = 1;
    card->owned = dice_chance(dice, 20) ? dice_roll(dice, 1, 2) : 0;
    card->owned_by_sheet = card->owned > 0 && dice_chance(dice, 40);
    card->priced_by_sheet = dice_chance(dice, 25);
    card->sheet = dice_chance(dice, 20) ? 1 : 0;
    for (int t = 0; t < tiny->tags; t++) {
        card->tag[t] = make_tag(dice, t < tiny->themes);
    }
}

static void make_copies(Tiny *tiny, Dice *dice)
{
    bool all_tried = tiny->cards <= TINY_CARDS_MOST;
    long pools = all_tried ? 1L << tiny->cards : 2;
    for (int c = 0; c < tiny->cards; c++) {
        int copies = dice_chance(dice, 18) ? dice_roll(dice, 2, 3) : 1;
        if (pools / 2 * (copies + 1) <= 60000) {
            pools = all_tried ? pools / 2 * (copies + 1) : pools;
            tiny->card[c].copies = copies;
        }
    }
}

static void make_unpriced(Tiny *tiny, Dice *dice)
{
    int way = dice_roll(dice, 0, 9);
    tiny->unpriced = way < 6 ? SKIP_NEVER : way < 8 ? SKIP_UNPRICED : DEFAULT_PRICE;
    tiny->default_price = make_price(dice);
    for (int c = 0; c < tiny->cards && tiny->unpriced != SKIP_NEVER; c++) {
        tiny->card[c].has_price = dice_chance(dice, 80);
    }
}

static void make_themes(Tiny *tiny, Dice *dice)
{
    static const int64_t weights[] = {1000, 1000, 500, 2000, 333, 0, 1250};
    unsigned all = (1U << tiny->colours) - 1;
    for (int t = 0; t < tiny->themes; t++) {
        int a = dice_roll(dice, 0, tiny->colours - 1);
        int b = dice_roll(dice, 0, tiny->colours - 1);
        tiny->theme[t].colours = dice_chance(dice, 25) ? all : 1U << a | 1U << b;
        tiny->theme[t].weight = weights[dice_roll(dice, 0, 6)];
        tiny->theme[t].changed = dice_chance(dice, 8);
        tiny->theme[t].changed_weight = weights[dice_roll(dice, 0, 6)];
    }
}

/* The pool that the bounds are laid around; its size is returned. */
static int make_pool(const Tiny *tiny, Dice *dice, int *copies)
{
    int size = 0;
    int wanted = dice_roll(dice, tiny->cards / 3 + 1, tiny->cards * 2 / 3 + 1);
    memset(copies, 0, CARDS_MOST * sizeof *copies);
    for (int tries = 0; tries < 50 * tiny->cards && size < wanted; tries++) {
        int c = dice_roll(dice, 0, tiny->cards - 1);
        bool skipped = tiny->unpriced == SKIP_UNPRICED && !tiny->card[c].has_price;
        if (!skipped && copies[c] < tiny->card[c].copies) {
            copies[c]++;
            size++;
        }
    }
    return size;
}

static void set_size(Tiny *tiny, Dice *dice, int layer, int size)
{
    bool band = dice_chance(dice, 30);
    tiny->has_size[layer] = true;
    tiny->size_from[layer] = band && size > 1 ? size - dice_roll(dice, 0, 1) : size;
    tiny->size_to[layer] = band ? size + dice_roll(dice, 0, 1) : size;
}

static int other_size(Dice *dice, int size)
{
    return dice_chance(dice, 40) ? size * 2 : size + dice_roll(dice, 1, 5) - (size > 3 ? 3 : 0);
}

static void make_sizes(Tiny *tiny, Dice *dice, int size)
{
    int way = dice_roll(dice, 0, 99);
    int first = tiny->has_base && dice_chance(dice, 50) ? LAYER_BASE : LAYER_MODEL;
    set_size(tiny, dice, first, way < 55 ? size : other_size(dice, size));
    if (way < 55) {
        return;
    }
    if (way < 72) {
        set_size(tiny, dice, LAYER_CHANGE, size);
    } else if (way < 82) {
        tiny->size_by_command = true;
        tiny->command_from = size;
        tiny->command_to = size + (dice_chance(dice, 30) ? 1 : 0);
    } else if (way < 90 && tiny->has_base) {
        set_size(tiny, dice, LAYER_BASE, other_size(dice, size));
        set_size(tiny, dice, LAYER_MODEL, size);
    } else {
        tiny->case_named = true;
        set_size(tiny, dice, LAYER_CASE, size);
    }
}

static void make_cap(Tiny *tiny, Dice *dice, const int *copies)
{
    int64_t spend = tiny_spend(tiny, copies);
    if (dice_chance(dice, 70)) {
        tiny->has_cap = true;
        tiny->cap = spend + dice_roll(dice, 0, 300) - (dice_chance(dice, 12) ? spend / 3 : 0);
        if (dice_chance(dice, 15)) {
            tiny->cap_by_change = true;
            tiny->changed_cap = tiny->cap;
            tiny->cap = dice_roll(dice, 0, 5000);
        }
    }
    if (dice_chance(dice, 10)) {
        tiny->cap_by_command = true;
        tiny->command_cap = spend + dice_roll(dice, 0, 200);
    }
}

static void make_statuses(Tiny *tiny, Dice *dice, const int *copies)
{
    for (int c = 0; c < tiny->cards; c++) {
        int way = dice_roll(dice, 0, WAYS - 1);
        bool skipped = tiny->unpriced == SKIP_UNPRICED && !tiny->card[c].has_price;
        if (dice_chance(dice, 10) && !skipped) {
            bool keep = copies[c] > 0 ? dice_chance(dice, 92) : dice_chance(dice, 8);
            tiny->card[c].status[way] |= keep ? KEEP : BAN;
        }
        if (dice_chance(dice, 8)) {
            tiny->card[c].status[dice_roll(dice, 0, WAYS - 1)] |= WISH;
        }
    }
}

static void make_fit(Tiny *tiny, Dice *dice)
{
    static const int64_t weights[] = {1000, 500, 2000, 0, 1250, 333};
    tiny->power_weight = dice_chance(dice, 40) ? -1 : weights[dice_roll(dice, 0, 5)];
    tiny->unscored = tiny->power_weight < 0 ? 0 : dice_roll(dice, 0, 10) * 500;
}

static void make_manner(Tiny *tiny, Dice *dice)
{
    static const char separators[] = {',', ',', ';', '\t'};
    tiny->separator = separators[dice_roll(dice, 0, 3)];
    tiny->bom = dice_chance(dice, 25);
    tiny->crlf = dice_chance(dice, 30);
    tiny->repeat_a_line = dice_chance(dice, 15);
    tiny->map_price = dice_chance(dice, 15);
    tiny->block_style = dice_chance(dice, 40);
    tiny->odd_spelling = dice_chance(dice, 40);
}

static void make_risk(Tiny *tiny, Dice *dice)
{
    const bool at_risk = dice_chance(dice, 60);
    tiny->protect = !at_risk ? 0 : dice_chance(dice, 60) ? dice_roll(dice, 1, 4) * 1000 : dice_roll(dice, 1, 4000);
    for (int c = 0; c < tiny->cards && at_risk; c++) {
        TinyCard *card = &tiny->card[c];
        card->priced_by_sheet = card->has_price;
        card->high = card->has_price && dice_chance(dice, 60) ? card->price + dice_roll(dice, 1, 16) * 25 : 0;
    }
    if (tiny->power_weight < 0)
        tiny->power_weight = 1000;
    tiny->playable = dice_chance(dice, 50) ? dice_roll(dice, 1, 20) * 5000 : 0;
}

static void make_grades(Tiny *tiny, uint64_t seed)
{
    Dice dice;
    dice_seed(&dice, seed * 13 + 5);
    tiny->grades = dice_chance(&dice, 25);
}

/* In some scenarios; by dice of its own. */
static void make_present(Tiny *tiny, uint64_t seed)
{
    Dice dice;
    dice_seed(&dice, seed * 11 + 3);
    tiny->has_present = dice_chance(&dice, 20);
    tiny->pool_owned = tiny->has_present ? dice_roll(&dice, 0, 2) : 0;
    for (int c = 0; c < tiny->cards && tiny->has_present; c++) {
        tiny->present[c] = dice_chance(&dice, 40) ? dice_roll(&dice, 1, tiny->card[c].copies + 1) : 0;
    }
}

/* Money paid for owned cards, in some scenarios counted by the cap, which is then so much higher; by dice of its own.
 */
static void make_paid(Tiny *tiny, uint64_t seed)
{
    Dice dice;
    int64_t sum = 0;
    dice_seed(&dice, seed * 13 + 5);
    if (!dice_chance(&dice, 25))
        return;
    for (int c = 0; c < tiny->cards; c++)
        if (tiny->card[c].owned > 0 && tiny->card[c].owned_by_sheet)
            sum += tiny->paid[c] = dice_roll(&dice, -100, 400);
    tiny->counts_paid = dice_chance(&dice, 70);
    if (!tiny->counts_paid)
        return;
    tiny->cap += tiny->has_cap && !tiny->cap_by_change ? sum : 0;
    tiny->changed_cap += sum;
    tiny->command_cap += sum;
    if (tiny->cap < 0 || tiny->changed_cap < 0 || tiny->command_cap < 0)
        tiny->cap = tiny->changed_cap = tiny->command_cap = 0;
}

static void make_all(Tiny *tiny, uint64_t seed, int cards_from, int cards_to, bool risky)
{
    Dice dice;
    int copies[CARDS_MOST];
    dice_seed(&dice, seed);
    memset(tiny, 0, sizeof *tiny);
    tiny->money = risky;
    tiny->colours = dice_roll(&dice, 2, COLOURS_MOST);
    tiny->themes = dice_roll(&dice, 1, THEMES_MOST);
    tiny->tags = tiny->themes + dice_roll(&dice, 0, TAGS_MOST - THEMES_MOST);
    tiny->kinds = dice_roll(&dice, 2, KINDS_MOST);
    tiny->cards = dice_roll(&dice, cards_from, cards_to);
    for (int c = 0; c < tiny->cards; c++) {
        make_card(tiny, &dice, c);
    }
    make_copies(tiny, &dice);
    make_unpriced(tiny, &dice);
    make_themes(tiny, &dice);
    make_fit(tiny, &dice);
    if (risky) {
        make_risk(tiny, &dice);
    }
    make_manner(tiny, &dice);
    tiny->has_base = dice_chance(&dice, 35);
    tiny->hybrid_as_gold = dice_chance(&dice, 35) ? dice_roll(&dice, 1, 3) : 0;
    tiny->deck_colours = dice_chance(&dice, 35) ? dice_roll(&dice, 1, tiny->colours) : 0;
    tiny->has_fixing = dice_chance(&dice, 40);
    if (tiny->has_fixing) {
        tiny_make_where(tiny, &dice, &tiny->fixing, true);
    }
    make_present(tiny, seed);
    make_paid(tiny, seed);
    make_grades(tiny, seed);
    int size = make_pool(tiny, &dice, copies);
    make_sizes(tiny, &dice, size);
    make_cap(tiny, &dice, copies);
    make_statuses(tiny, &dice, copies);
    tiny_make_rules(tiny, &dice, copies);
    tiny_make_seen(tiny, seed);
}

void tiny_make_sized(Tiny *tiny, uint64_t seed, int cards_from, int cards_to)
{
    make_all(tiny, seed, cards_from, cards_to, false);
}

void tiny_make_risky(Tiny *tiny, uint64_t seed)
{
    make_all(tiny, seed, 5, 9, true);
}

void tiny_make(Tiny *tiny, uint64_t seed)
{
    make_all(tiny, seed, 6, TINY_CARDS_MOST, false);
}
