/* compose.h - from a draft in which all layers are laid to a model whose values are read and checked. */
#ifndef POOLWRIGHT_MODEL_LANGUAGE_COMPOSE_H
#define POOLWRIGHT_MODEL_LANGUAGE_COMPOSE_H

#include "model/instance/structure.h"
#include "model/yaml/layers.h"
#include "model/model.h"

/* path: the model file as the user named it; at: for errors about what is missing. The model lives in the draft's
 * arena. NULL with errors in diags. */
Model *model_compose(Draft *draft, const char *path, SourcePos at);

/* compose_money.c: the currency, which all amounts that are read after it must be in. */
void compose_currency(Draft *draft, Model *model);
/* compose_money.c: stale, handling, headroom (which lowers the cap), what the cap counts, price_risk. After the cap. */
void compose_money(const Draft *draft, Model *model);
/* compose_shops.c: shops, and which printings count. */
void compose_shops(const Draft *draft, Model *model);
/* compose_habits.c: needs colours. */
void compose_habits(const Draft *draft, Model *model);
/* compose_grades.c: needs themes. */
void compose_grades(const Draft *draft, Model *model);
/* patterns_read.c: needs colours and themes. */
void compose_patterns(const Draft *draft, Model *model);
/* compose_rules.c: fills Model.rule from the draft; needs colours and themes. */
void compose_rules(Draft *draft, Model *model);
/* The same of rules that stand nowhere else: reads them behind the model's, and returns how many are in force. Room for
 * them must be there. */
size_t compose_more_rules(Draft *draft, Model *model, size_t at);
/* compose_deck.c: the deck's size and rules; after the pool's rules. */
void compose_deck(Draft *draft, Model *model);
/* compose_structure.c: fills Model.structure from the draft; needs colours and themes. */
void compose_structure(const Draft *draft, Model *model);
/* compose_places.c: a part of it. */
void compose_places(const Draft *draft, const Model *model, Places *places);
/* The name of a card. False when reported. */
bool read_card_name(const ReadContext *context, const YamlNode *node, NameAt *card);
/* A theme of the model by its name. False when reported. */
bool read_theme_name(const ReadContext *context, const Model *model, const YamlNode *node, NameAt *theme);
/* Names of the members of an `each`: [*count], in the model's order. In the arena. */
const char **each_names(const Model *model, Each each, Arena *arena, size_t *count);

#endif
