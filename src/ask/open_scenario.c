/* open_scenario.c - the state that a question describes, its cards and its pool. */
#include "ask/open_scenario.h"

bool asked_load(Asked *asked)
{
    if (!loaded_read(&asked->loaded, asked->ask->subject, &asked->overrides, asked->ask->files, "", asked->diags))
        return false;
    asked->context.currency = asked->loaded.scenario->model->currency;
    asked->context.met = asked->loaded.scenario->model->met;
    return true;
}

/* The base solved, as `best` does it; NULL where the search was stopped or could not run. */
static const Known *base_known(const Asked *asked)
{
    Ask *ask = asked->ask;
    SearchOptions options = asked->search;
    options.gap_ppm = USUAL_GAP_PPM;
    options.eager = USUAL_EAGER;
    options.effort = 0;
    if (ask->known == NULL)
        ask->known = known_new(&ask->base, &options, asked->diags);
    return ask->known;
}

bool asked_solve(const Asked *asked, Answer *answer)
{
    const Known *known = asked->search.effort == 0 ? base_known(asked) : NULL;
    return asked->diags->errors == 0 && known_solve(known, &asked->loaded, &asked->search, answer, asked->diags);
}

/* ---- cards ---- */

static long find_card(const Asked *asked, const YamlNode *node, const char *expected)
{
    const CardSet *cards = asked->loaded.instance->cards;
    const char *name;
    if (!read_text(&asked->context, node, expected, &name))
        return -1;
    const long card = card_find(cards, name);
    if (card < 0)
        diag_error(asked->diags, node->at, "no candidate is called '%s'%s", name,
                   did_you_mean(card_nearest(cards, name), asked->context.arena));
    return card;
}

bool asked_cards(const Asked *asked, const YamlNode *list, const size_t **card, size_t *count)
{
    const size_t errors = asked->diags->errors;
    const NodeItems items = node_items(list);
    size_t *found = arena_alloc(asked->context.arena, items.count + 1, sizeof *found);
    *count = 0;
    for (size_t i = 0; i < items.count; i++) {
        const long c = find_card(asked, node_item(&items, i), question_fields.field[QUESTION_CARDS].value);
        bool known = false;
        for (size_t k = 0; k < *count; k++)
            known = known || (long)found[k] == c;
        if (c >= 0 && !known)
            found[(*count)++] = (size_t)c;
    }
    *card = found;
    return asked->diags->errors == errors;
}

/* ---- a pool to start from ---- */

bool asked_base(const Asked *asked, int **copies)
{
    const Known *base = base_known(asked);
    const Instance *in = asked->loaded.instance;
    if (base == NULL) {
        if (asked->diags->errors == 0)
            diag_error(asked->diags, asked->question->root->at, "stopped before the pool to start from was found");
        return false;
    }
    const CardSet *cards = asked->ask->base.instance->cards;
    *copies = arena_alloc(asked->context.arena, in->cards->count, sizeof **copies);
    for (size_t c = 0; c < cards->count; c++) {
        const long here = known_answer(base)->copies[c] > 0 ? card_find(in->cards, cards->card[c].name) : -1;
        if (here >= 0)
            (*copies)[here] = known_answer(base)->copies[c]; /* also of cards that are banned now: they leave */
    }
    return true;
}

/* A name, or {"name", "copies"}. */
static void add_copies(const Asked *asked, const YamlNode *node, int *copies)
{
    static const FieldInfo info[] = {{"name", "a card's name", NULL}, {"copies", "a whole number, 1 or more", NULL}};
    static const FieldTable fields = {.place = "a card of a pool", .field = info, .count = 2};
    Slot slot[2] = {{.value = node}};
    int64_t count = 1;
    if (node->kind == NODE_MAP) {
        if (fields_read(&fields, node, slot, asked->context.arena, asked->diags) != FIELDS_READ)
            return;
        if (slot[0].key == NULL) {
            diag_error(asked->diags, node->at, "a card of a pool has no 'name'");
            return;
        }
        if (slot[1].key != NULL && !read_whole(&asked->context, slot[1].value, 1, 1000, info[1].value, &count))
            return;
    }
    const long card = find_card(asked, slot[0].value, question_fields.field[QUESTION_FROM].value);
    if (card >= 0)
        copies[card] += (int)count;
}

bool asked_from(const Asked *asked, int **copies)
{
    const size_t errors = asked->diags->errors;
    const YamlNode *from = question_value(asked->question, QUESTION_FROM);
    const Instance *in = asked->loaded.instance;
    *copies = NULL;
    if (from == NULL)
        return true;
    if (value_is(from, "base"))
        return asked_base(asked, copies);
    if (from->kind != NODE_LIST) {
        report_unexpected(&asked->context, from, question_fields.field[QUESTION_FROM].value);
        return false;
    }
    *copies = arena_alloc(asked->context.arena, in->cards->count, sizeof **copies);
    for (size_t i = 0; i < from->count; i++)
        add_copies(asked, from->item[i], *copies);
    return asked->diags->errors == errors;
}
