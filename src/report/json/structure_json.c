/* structure_json.c - structure as JSON; the schema is in docs/verbs.md. */
#include "report/json/json.h"
#include "programme/count/pool_summary.h"
#include "report/structure.h"

static json_t *use_json(const Instance *in, const FormUse *use)
{
    const Form *form = use->form;
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(form->name));
    json_object_set_new(item, "kind", json_string(form_kind_name(form->kind)));
    json_object_set_new(item, "of",
                        json_string(form->theme >= 0    ? in->model->theme[form->theme].name
                                    : form->colour >= 0 ? in->model->colour[form->colour]
                                                        : ""));
    json_object_set_new(item, "kept", json_true());
    json_object_set_new(item, "counts", json_boolean(!use->idle));
    switch (form->kind) {
    case FORM_PLACE_FIT: json_object_set_new(item, "filled", json_integer(use->use)); break;
    case FORM_ENGINE:
        json_object_set_new(item, "enablers", json_integer(use->use));
        json_object_set_new(item, "payoffs", json_integer(use->other));
        break;
    case FORM_DEPTH: json_object_set_new(item, "weight", json_number_of(use->use)); break;
    case FORM_EVENNESS:
        json_object_set_new(item, "strength", json_integer(use->use));
        json_object_set_new(item, "weakest",
                            use->other < 0 ? json_null() : json_string(in->model->theme[use->other].name));
        break;
    case FORM_THEME_FIT: break;
    case FORM_STAY:
    case FORM_TOGETHER: json_object_set_new(item, "in", json_integer(use->use)); break;
    case FORM_SETS: json_object_set_new(item, "sets", json_integer(use->use)); break;
    }
    json_object_set_new(item, "fit", json_number_of(use->gain));
    if (form->at.file != NULL && form->at.line > 0) {
        json_object_set_new(item, "file", json_string(form->at.file));
        json_object_set_new(item, "line", json_integer(form->at.line));
    }
    return item;
}

static json_t *places_json(const Instance *in, const PoolCheck *check)
{
    json_t *list = json_array();
    for (size_t k = 0; k < check->places; k++) {
        const PlaceUse *place = &check->place[k];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(in->cards->card[place->card].name));
        json_object_set_new(item, "colour", json_string(in->model->colour[place->limit->colour]));
        json_object_set_new(item, "place",
                            json_string(place->theme < 0 ? "open" : in->model->theme[place->theme].name));
        json_object_set_new(item, "copies", json_integer(place->copies));
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *decks_json(const Instance *in, const int *copies)
{
    json_t *list = json_array();
    Arena *arena = arena_new();
    int decks;
    const ColourMask *deck = model_decks(in->model, arena, &decks);
    for (int k = 0; k < decks; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "colours", json_string(model_mask_name(in->model, deck[k], arena)));
        json_object_set_new(item, "cards", json_integer(pool_playable(in, copies, deck[k])));
        json_array_append_new(list, item);
    }
    arena_free(arena);
    return list;
}

static json_t *parts_json(const Instance *in, const Form *form, const int *copies)
{
    json_t *list = json_array();
    for (int part = 0; part < form->parts; part++) {
        const long single = form_part_single(form, copies, part);
        json_array_append_new(list, json_pack("{s:I, s:o}", "copies", (json_int_t)form_part_copies(form, copies, part),
                                              "alone",
                                              single >= 0 ? json_string(in->cards->card[single].name) : json_null()));
    }
    return list;
}

json_t *structure_forms_json(const Instance *instance, const PoolCheck *check)
{
    json_t *list = json_array();
    for (size_t f = 0; f < check->forms; f++)
        json_array_append_new(list, use_json(instance, &check->form[f]));
    return list;
}

json_t *structure_chosen_json(const Instance *instance, const PoolCheck *check)
{
    json_t *chosen = NULL;
    for (size_t t = 0; t < instance->model->themes; t++) {
        if (!instance->choosable[t])
            continue;
        if (chosen == NULL)
            chosen = json_array();
        if (check->chosen[t])
            json_array_append_new(chosen, json_string(instance->model->theme[t].name));
    }
    return chosen;
}

void structure_json(const Instance *instance, const Answer *answer, json_t *root)
{
    const PoolCheck *check = &answer->check;
    json_t *forms = structure_forms_json(instance, check);
    for (size_t f = 0; f < check->forms; f++)
        if (check->form[f].form->kind == FORM_SETS)
            json_object_set_new(json_array_get(forms, f), "parts",
                                parts_json(instance, check->form[f].form, answer->copies));
    json_object_set_new(root, "structure", forms);
    json_object_set_new(root, "places", places_json(instance, check));
    json_t *chosen = structure_chosen_json(instance, check);
    if (chosen != NULL)
        json_object_set_new(root, "chosen", chosen);
    json_object_set_new(root, "decks", decks_json(instance, answer->copies));
}
