/* tiny_filter.c - what a card counts as, and which cards pass a filter: see tiny.h. */
#include "tiny.h"

#include <string.h>

/* Parts as sets; one that contains another part is implied by it and dropped; equal ones count once. */
static Need tidy(const Need *need)
{
    Need out = {.parts = 0};
    for (int i = 0; i < need->parts; i++) {
        bool implied = false;
        for (int k = 0; k < need->parts; k++) {
            bool inside = (need->part[k] & ~need->part[i]) == 0;
            bool same = need->part[k] == need->part[i];
            implied = implied || (inside && !same) || (same && k < i);
        }
        if (!implied) {
            out.part[out.parts++] = need->part[i];
        }
    }
    return out;
}

static bool same_need(const Need *a, const Need *b)
{
    if (a->parts != b->parts) {
        return false;
    }
    for (int i = 0; i < a->parts; i++) {
        bool found = false;
        for (int k = 0; k < b->parts; k++) {
            found = found || a->part[i] == b->part[k];
        }
        if (!found) {
            return false;
        }
    }
    return true;
}

static int bits(unsigned set)
{
    int count = 0;
    for (; set != 0; set &= set - 1) {
        count++;
    }
    return count;
}

bool tiny_payable(const Need *need, unsigned colours)
{
    for (int i = 0; i < need->parts; i++) {
        if ((need->part[i] & colours) == 0) {
            return false;
        }
    }
    return true;
}

static int deck_size(const Tiny *tiny)
{
    if (tiny->deck_colours > 0) {
        return tiny->deck_colours;
    }
    return tiny->colours == 1 ? 1 : 2;
}

static int decks_for(const Tiny *tiny, const Need *need)
{
    int count = 0;
    for (unsigned deck = 0; deck < 1U << tiny->colours; deck++) {
        count += bits(deck) == deck_size(tiny) && tiny_payable(need, deck);
    }
    return count;
}

static int all_decks(const Tiny *tiny)
{
    Need nothing = {.parts = 0};
    return decks_for(tiny, &nothing);
}

static int class_by_colours(const Tiny *tiny, const Need *need, int symbols)
{
    if (need->parts == 0) {
        return OF_COLOURLESS;
    }
    if (need->parts > 1) {
        return OF_GOLD;
    }
    if (bits(need->part[0]) == 1) {
        return OF_MONO;
    }
    return tiny->hybrid_as_gold > 0 && symbols >= tiny->hybrid_as_gold ? OF_GOLD : OF_HYBRID;
}

static int64_t half_away(Wide value, Wide by)
{
    return (int64_t)(value >= 0 ? (value + by / 2) / by : -((-value + by / 2) / by));
}

static int64_t card_fit(const Tiny *tiny, const TinyCard *card)
{
    Wide sum =
        (Wide)(card->has_power ? card->power : tiny->unscored) * (tiny->power_weight < 0 ? 1000 : tiny->power_weight);
    for (int t = 0; t < tiny->themes; t++) {
        if (card->tag[t].there) {
            sum += (Wide)card->tag[t].weight *
                   (tiny->theme[t].changed ? tiny->theme[t].changed_weight : tiny->theme[t].weight);
        }
    }
    return half_away(sum, 1000);
}

void tiny_see(const Tiny *tiny, Seen *seen)
{
    for (int c = 0; c < tiny->cards; c++) {
        const TinyCard *card = &tiny->card[c];
        Seen *s = &seen[c];
        *s = (Seen){.need = tidy(card->has_as_colours ? &card->as : &card->printed)};
        for (int i = 0; i < s->need.parts; i++) {
            s->shown |= s->need.part[i];
        }
        s->kind = card->has_as_kind ? card->as_kind : card->kind;
        s->has_cost = card->has_as_cost || card->has_cost;
        s->cost = card->has_as_cost ? card->as_cost : card->has_cost ? card->cost : 0;
        s->has_price = card->has_price || tiny->unpriced == DEFAULT_PRICE;
        s->price = card->has_price ? card->price : tiny->unpriced == DEFAULT_PRICE ? tiny->default_price : 0;
        s->skipped = !card->has_price && tiny->unpriced == SKIP_UNPRICED && tiny_owned(tiny, c) < card->copies;
        s->fit = card_fit(tiny, card);
        s->playable = decks_for(tiny, &s->need);
        s->class = class_by_colours(tiny, &s->need, card->symbols);
    }
    for (int c = 0; c < tiny->cards && tiny->has_fixing; c++) {
        if (tiny_passes(tiny, seen, &tiny->fixing, -1, c)) {
            seen[c].class = OF_FIXING;
        }
    }
}

static bool in_range(const Test *test, int64_t value)
{
    return (!test->has_from || value >= test->from) && (!test->has_to || value <= test->to);
}

static bool number_passes(const Test *test, bool blank, int64_t value)
{
    if (blank) {
        return false;
    }
    bool any = test->is_range && in_range(test, value);
    for (int i = 0; i < test->values && !test->is_range; i++) {
        any = any || test->value[i] == value;
    }
    return any != test->negated;
}

static bool is_listed(const Test *test, int64_t value)
{
    for (int i = 0; i < test->values; i++) {
        if (test->value[i] == value) {
            return true;
        }
    }
    return false;
}

static bool tags_pass(const Tiny *tiny, const Test *test, const TinyCard *card)
{
    bool any = false;
    int last = test->field == BY_THEME ? tiny->themes : tiny->tags;
    for (int t = 0; t < last; t++) {
        any = any || (card->tag[t].there && (is_listed(test, t) || (test->field == BY_THEME && is_listed(test, -1))));
    }
    return any != test->negated;
}

static bool role_fits(const Test *test, int role)
{
    return is_listed(test, role) || (role == BOTH && (is_listed(test, ENABLER) || is_listed(test, PAYOFF)));
}

/* The field by which the filter itself names tags: theme before tag; -1: it names none. */
static int naming_field(const Where *where)
{
    int field = -1;
    for (int i = 0; i < where->tests; i++) {
        const Test *test = &where->test[i];
        if (!test->negated && (test->field == BY_THEME || (test->field == BY_TAG && field < 0))) {
            field = test->field;
        }
    }
    return field;
}

/* Is this one of the tags that role, weight and `measure: weight` speak of? */
static bool tag_matters(const Tiny *tiny, const Where *where, int theme, int tag)
{
    if (theme >= 0) {
        return tag == theme;
    }
    int field = naming_field(where);
    for (int i = 0; i < where->tests; i++) {
        const Test *test = &where->test[i];
        if (test->field == field && !test->negated) {
            return is_listed(test, tag) || (field == BY_THEME && is_listed(test, -1) && tag < tiny->themes);
        }
    }
    return true;
}

/* Does the tag have what the test names, without regard to `not`? */
static bool tag_has(const Test *test, const TinyTag *tag)
{
    Test plain = *test;
    plain.negated = false;
    return test->field == BY_ROLE ? role_fits(&plain, tag->role) : number_passes(&plain, false, tag->weight);
}

/* All that is asked for, or (denied) something that is denied. */
static bool tag_meets(const Where *where, const TinyTag *tag, bool denied)
{
    bool all = true;
    bool any = false;
    for (int i = 0; i < where->tests; i++) {
        const Test *test = &where->test[i];
        if ((test->field == BY_ROLE || test->field == BY_WEIGHT) && test->negated == denied) {
            bool has = tag_has(test, tag);
            all = all && has;
            any = any || has;
        }
    }
    return denied ? any : all;
}

static bool role_and_weight_pass(const Tiny *tiny, const Where *where, int theme, const TinyCard *card)
{
    bool asked = false; /* is role or weight spoken of at all? */
    bool met = false;
    for (int i = 0; i < where->tests; i++) {
        asked = asked || where->test[i].field == BY_ROLE || where->test[i].field == BY_WEIGHT;
    }
    for (int t = 0; t < tiny->tags && asked; t++) {
        if (!card->tag[t].there || !tag_matters(tiny, where, theme, t)) {
            continue;
        }
        if (tag_meets(where, &card->tag[t], true)) {
            return false;
        }
        met = met || tag_meets(where, &card->tag[t], false);
    }
    return met || !asked;
}

bool tiny_weight(const Tiny *tiny, const Where *where, int theme, int card, int64_t *weight)
{
    bool found = false;
    *weight = 0;
    for (int t = 0; t < tiny->tags; t++) {
        const TinyTag *tag = &tiny->card[card].tag[t];
        if (tag->there && tag_matters(tiny, where, theme, t) &&
            (theme >= 0 || (tag_meets(where, tag, false) && !tag_meets(where, tag, true)))) {
            *weight += tag->weight;
            found = true;
        }
    }
    return found;
}

static bool playable_passes(const Tiny *tiny, const Test *test, int decks)
{
    /* thousandths of a percent against decks / all decks, by cross multiplication */
    int64_t all = all_decks(tiny);
    int64_t share = (int64_t)decks * 100000;
    bool any =
        test->is_range && (!test->has_from || share >= test->from * all) && (!test->has_to || share <= test->to * all);
    for (int i = 0; i < test->values && !test->is_range; i++) {
        any = any || share == test->value[i] * all;
    }
    return any != test->negated;
}

static bool colours_pass(const Test *test, const Need *need)
{
    bool any = false;
    for (int i = 0; i < test->values; i++) {
        Need wanted = tidy(&test->need[i]);
        any = any || same_need(&wanted, need);
    }
    return any != test->negated;
}

static bool kinds_pass(const Tiny *tiny, const Test *test, unsigned kind)
{
    bool any = false;
    for (int k = 0; k < tiny->kinds; k++) {
        any = any || ((kind >> k & 1U) != 0 && is_listed(test, k));
    }
    return any != test->negated;
}

static bool test_passes(const Tiny *tiny, const Seen *seen, const Test *test, int c)
{
    const TinyCard *card = &tiny->card[c];
    const Seen *s = &seen[c];
    switch (test->field) {
    case BY_CLASS: return is_listed(test, s->class) != test->negated;
    case BY_COLOURS: return colours_pass(test, &s->need);
    case BY_KIND: return kinds_pass(tiny, test, s->kind);
    case BY_TAG:
    case BY_THEME: return tags_pass(tiny, test, card);
    case BY_NAME: return is_listed(test, c) != test->negated;
    case BY_COST: return number_passes(test, !s->has_cost, s->cost);
    case BY_POWER: return number_passes(test, !card->has_power, card->power);
    case BY_PRICE: return number_passes(test, !s->has_price, s->price);
    case BY_FIT: return number_passes(test, false, s->fit);
    case BY_COPIES: return number_passes(test, false, card->copies);
    case BY_PLAYABLE: return playable_passes(tiny, test, s->playable);
    case BY_NUMBER: return number_passes(test, !card->has_number, card->number);
    case BY_WORD: return card->word >= 0 && is_listed(test, card->word) != test->negated;
    default: return true; /* role and weight: together, elsewhere */
    }
}

bool tiny_passes(const Tiny *tiny, const Seen *seen, const Where *where, int theme, int card)
{
    for (int i = 0; i < where->tests; i++) {
        if (!test_passes(tiny, seen, &where->test[i], card)) {
            return false;
        }
    }
    return role_and_weight_pass(tiny, where, theme, &tiny->card[card]);
}
