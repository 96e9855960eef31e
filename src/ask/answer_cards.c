/* answer_cards.c - the candidates of a state. */
#include "ask/open_scenario.h"
#include "base/day.h"
#include "report/json/json.h"

static json_t *tags_json(const CardSet *cards, const Card *card)
{
    json_t *list = json_array();
    for (size_t k = 0; k < card->tags; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "tag", json_string(cards->tag[card->tag[k].tag]));
        if (card->tag[k].role != ROLE_NONE)
            json_object_set_new(item, "role", json_string(role_name(card->tag[k].role)));
        json_object_set_new(item, "weight", json_number_of(card->tag[k].weight));
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *status_json(const Instance *in, size_t c)
{
    static const struct {
        unsigned bit;
        const char *word;
    } words[] = {{STATUS_KEEP, "keep"}, {STATUS_BAN, "ban"}, {STATUS_WISH, "wish"}};
    Text text = {0};
    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        if ((in->status[c] & words[k].bit) != 0)
            text_printf(&text, "%s%s", text.length > 0 ? "; " : "", words[k].word);
    if (in->present[c] > 0)
        text_printf(&text, "%sin", text.length > 0 ? "; " : "");
    if (in->skipped[c])
        text_printf(&text, "%sunpriced", text.length > 0 ? "; " : "");
    json_t *status = json_string(text_cstr(&text));
    text_release(&text);
    return status;
}

static json_t *card_json(const Instance *in, const CardVocabulary *words, size_t c, Arena *arena)
{
    const Card *card = &in->cards->card[c];
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(card->name));
    json_object_set_new(item, "text", json_string(card->text));
    json_object_set_new(item, "colours", json_string(colours_text(words, &card->colours, arena)));
    json_object_set_new(item, "class", json_string(class_name(in->class[c])));
    json_object_set_new(item, "kind", json_kinds(in->cards, card));
    json_object_set_new(item, "cost", json_cost(card));
    json_object_set_new(item, "power", card->has_power ? json_number_of(card->power) : json_null());
    json_object_set_new(item, "price", json_price(in, c));
    if (in->price_day[c] != DAY_UNKNOWN)
        json_object_set_new(item, "price_date", json_string(date_text(arena, in->price_day[c])));
    json_object_set_new(item, "owned", json_integer(card->owned));
    json_object_set_new(item, "copies", json_integer(card->copies));
    json_object_set_new(item, "present", json_integer(in->present[c]));
    json_object_set_new(item, "tags", tags_json(in->cards, card));
    json_object_set_new(item, "status", status_json(in, c));
    if (card->wishers > 0)
        json_object_set_new(item, "wishers", json_wishers(card));
    json_object_set_new(item, "fit", json_number_of(in->fit[c]));
    return item;
}

json_t *answer_cards(Asked *asked)
{
    if (!asked_load(asked))
        return NULL;
    const Instance *in = asked->loaded.instance;
    const CardVocabulary words = model_vocabulary(in->model);
    json_t *root = json_object(), *list = json_array();
    for (size_t c = 0; c < in->cards->count; c++)
        json_array_append_new(list, card_json(in, &words, c, asked->context.arena));
    json_object_set_new(root, "cards", list);
    return root;
}
