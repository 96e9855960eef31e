/* decks.c - see decks.h. */
#include "decks/decks.h"

#include "base/sort.h"
#include "programme/count/checker.h"

/* The better of the two for a drafter: fewer units missed, then the greater value. A deck without a deck is worst. */
static bool is_better(const Deck *a, const Deck *b)
{
    if (a->has_deck != b->has_deck)
        return a->has_deck;
    return a->missed != b->missed ? a->missed < b->missed : a->value > b->value;
}

/* The best over the masks that hold the theme's colours and are as large as a deck's; its own where it has more. A
 * theme of all colours is at home in any. */
static bool find_in_colours(const Instance *in, const int *copies, const DeckAim *aim, bool with_gains,
                            const SearchOptions *options, Deck *best, const char **why)
{
    const Model *model = in->model;
    const unsigned all = (1U << model->colours) - 1U;
    const ColourMask own = aim->theme < 0                            ? aim->mask
                           : model->theme[aim->theme].colours == all ? 0
                                                                     : model->theme[aim->theme].colours;
    if (__builtin_popcount(own) >= model->deck_colours)
        return deck_find(in, copies, &(DeckAim){own, aim->theme, aim->unchosen}, with_gains, options, best, why);
    bool good = true, has = false, proven = true;
    for (unsigned mask = 0; mask <= all && good; mask++) {
        Deck deck;
        if (__builtin_popcount(mask) != model->deck_colours || (own & ~mask) != 0)
            continue;
        good = deck_find(in, copies, &(DeckAim){(ColourMask)mask, aim->theme, aim->unchosen}, with_gains, options,
                         &deck, why);
        proven = proven && deck.proven;
        if (has && !is_better(&deck, best)) {
            deck_release(&deck);
            continue;
        }
        if (has)
            deck_release(best);
        *best = deck;
        has = true;
    }
    best->proven = best->proven && proven;
    return good;
}

static bool find_both(const Instance *in, const int *copies, const DeckAim *aim, const SearchOptions *options,
                      DeckPair *pair, const char **why)
{
    if (!find_in_colours(in, copies, aim, true, options, &pair->first, why))
        return false;
    int *rest = mem_new(in->cards->count, sizeof *rest);
    for (size_t c = 0; c < in->cards->count; c++)
        rest[c] = copies[c] - pair->first.copies[c];
    const bool good = find_in_colours(in, rest, aim, false, options, &pair->second, why);
    mem_free(rest);
    return good;
}

/* ---- what a deck looks like ---- */

static Role role_in(const Instance *in, const DeckAim *aim, size_t card)
{
    bool enables = false, pays = false;
    for (size_t t = 0; t < in->model->themes; t++) {
        const CardTag *tag = deck_theme_tag(in, aim, t, card);
        enables = enables || (tag != NULL && role_is_enabler(tag->role));
        pays = pays || (tag != NULL && role_is_payoff(tag->role));
    }
    return enables && pays ? ROLE_BOTH : enables ? ROLE_ENABLER : pays ? ROLE_PAYOFF : ROLE_NONE;
}

static void describe(const Instance *in, int removal, DeckPair *pair)
{
    for (size_t c = 0; c < in->cards->count; c++) {
        const int copies = pair->first.copies[c];
        const Card *card = &in->cards->card[c];
        if (copies == 0)
            continue;
        const Role role = role_in(in, &pair->first.aim, c);
        pair->enablers += role_is_enabler(role) ? copies : 0;
        pair->payoffs += role_is_payoff(role) ? copies : 0;
        pair->fixing += in->class[c] == CLASS_FIXING ? copies : 0;
        pair->removal += removal >= 0 && card_has_tag(card, removal) != NULL ? copies : 0;
        if (!card->has_cost || in->class[c] == CLASS_FIXING)
            continue;
        pair->cost_sum += copies * card->cost;
        pair->cost_cards += copies;
        pair->curve[card->cost < 3000 ? 0 : card->cost < 5000 ? 1 : 2] += copies;
    }
}

/* The worse one first. */
static int compare_decks(const Deck *a, const Deck *b)
{
    return is_better(a, b) - is_better(b, a);
}

/* Equal best decks: the one whose second is worse. */
static int compare_pairs(const void *a, const void *b)
{
    const DeckPair *p = a, *q = b;
    const int order = compare_decks(&p->first, &q->first);
    return order != 0 ? order : compare_decks(&p->second, &q->second);
}

bool decks_find(const Instance *in, const int *copies, const SearchOptions *options, Decks *decks, const char **why)
{
    const Model *model = in->model;
    const int removal = card_tag(in->cards, "removal");
    bool good = true;
    *decks = (Decks){.arena = arena_new(), .instance = in, .proven = true, .has_removal = removal >= 0};
    decks->unchosen = pool_unchosen(in, copies, decks->arena);
    int count;
    const ColourMask *mask = model_decks(model, decks->arena, &count);
    decks->pair = arena_alloc(decks->arena, (size_t)count + model->themes, sizeof *decks->pair);
    for (int k = 0; k < count && good; k++) {
        DeckPair *pair = &decks->pair[decks->pairs++];
        pair->of = model_mask_name(model, mask[k], decks->arena);
        good = find_both(in, copies, &(DeckAim){mask[k], -1, decks->unchosen}, options, pair, why);
    }
    decks->colours = decks->pairs;
    for (size_t t = 0; t < model->themes && good; t++) {
        if (decks->unchosen != NULL && decks->unchosen[t])
            continue;
        DeckPair *pair = &decks->pair[decks->pairs++];
        pair->of = model->theme[t].name;
        pair->is_theme = true;
        good = find_both(in, copies, &(DeckAim){0, (int)t, decks->unchosen}, options, pair, why);
    }
    for (size_t k = 0; k < decks->pairs && good; k++) {
        describe(in, removal, &decks->pair[k]);
        decks->proven = decks->proven && decks->pair[k].first.proven && decks->pair[k].second.proven;
    }
    sort_stable(decks->pair, decks->colours, sizeof *decks->pair, compare_pairs);
    sort_stable(decks->pair + decks->colours, decks->pairs - decks->colours, sizeof *decks->pair, compare_pairs);
    return good;
}

void decks_release(Decks *decks)
{
    for (size_t k = 0; k < decks->pairs; k++) {
        if (decks->pair[k].first.arena != NULL)
            deck_release(&decks->pair[k].first);
        if (decks->pair[k].second.arena != NULL)
            deck_release(&decks->pair[k].second);
    }
    arena_free(decks->arena);
    *decks = (Decks){0};
}
