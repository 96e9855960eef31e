/* structure_reach.c - which forms no pool can keep, counted from the candidates alone. */
#include "programme/reach.h"
#include "programme/structure_check.h"

static int64_t cards_there(const Instance *in, const Form *form)
{
    int64_t cards = 0;
    for (size_t k = 0; k < form->cards; k++)
        cards += in->most[form->card[k]] > 0;
    return cards;
}

static void places_reach(const Instance *in, const Form *form, FormReach *reach)
{
    bool *firm = mem_new(in->model->themes, sizeof *firm);
    int64_t copies = 0;
    for (size_t t = 0; t < in->model->themes; t++)
        firm[t] = !in->choosable[t];
    for (size_t k = 0; k < form->ofs; k++)
        reach->asked += firm[form->of[k]] ? form->count[k] : 0;
    size_t *card = mem_new(in->cards->count, sizeof *card);
    const Held held = held_cards(in, in->most, card);
    reach->most = places_fill(in, form, &held, firm, NULL);
    mem_free(card);
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->place_form[c] >= 0 && &in->form[in->place_form[c]] == form)
            copies += in->most[c];
    reach->possible = reach->most >= reach->asked && (!form->has_low || copies >= form->low);
    if (reach->most >= reach->asked && !reach->possible) {
        reach->asked = form->low;
        reach->most = copies;
    }
    mem_free(firm);
}

void form_reach(const Instance *instance, FormReach *reach)
{
    for (size_t f = 0; f < instance->forms; f++) {
        const Form *form = &instance->form[f];
        reach[f] = (FormReach){.possible = true};
        if (form->kind == FORM_PLACES)
            places_reach(instance, form, &reach[f]);
        if (form->kind == FORM_GROUP ||
            (form->kind == FORM_NEEDS && form->subject >= 0 && instance->least[form->subject] > 0)) {
            reach[f].asked = form->low;
            reach[f].most = cards_there(instance, form);
            reach[f].possible = reach[f].most >= form->low;
        }
    }
}
