/* bench_json.c - a section of a pool as JSON and as a sheet. */
#include "report/list/bench_report.h"
#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"

static const char *name_of(const BenchView *v, size_t card)
{
    return v->instance->cards->card[card].name;
}

/* ---- JSON ---- */

static json_t *card_json(const BenchView *v, size_t c)
{
    const Card *card = &v->instance->cards->card[c];
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(card->name));
    json_object_set_new(item, "role", json_string(role_name(section_role(v->instance, v->section, c))));
    json_object_set_new(item, "cost", json_cost(card));
    json_object_set_new(item, "price", json_price(v->instance, c));
    json_object_set_new(item, "fit", json_number_of(v->instance->fit[c]));
    return item;
}

static json_t *in_json(const BenchView *v)
{
    json_t *list = json_array();
    for (size_t k = 0; k < v->bench->ins; k++) {
        json_t *item = card_json(v, v->bench->in[k]);
        json_object_set_new(item, "copies", json_integer(v->answer->copies[v->bench->in[k]]));
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *next_json(const BenchView *v)
{
    json_t *list = json_array();
    for (size_t k = 0; k < v->bench->nexts; k++) {
        const InLine *next = &v->bench->next[k];
        json_t *item = card_json(v, next->card);
        if (next->found) {
            json_t *swap = json_object();
            json_object_set_new(swap, "leaves",
                                next->swap.card == next->card ? json_null() : json_string(name_of(v, next->swap.card)));
            json_object_set_new(swap, "fit_change", json_number_of(next->swap.fit_change));
            json_object_set_new(swap, "cost_change", json_money(next->swap.cost_change));
            json_object_set_new(item, "one_swap", swap);
        }
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *part_json(const BenchPart *part, const char *role)
{
    json_t *item = json_object(), *curve = json_array();
    for (int k = 0; k < CURVE_COSTS; k++)
        json_array_append_new(curve, json_integer(part->cost[k]));
    if (role != NULL)
        json_object_set_new(item, "role", json_string(role));
    json_object_set_new(item, "copies", json_integer(part->copies));
    json_object_set_new(item, "money", json_money(part->money));
    json_object_set_new(item, "curve", curve);
    if (part->cost_cards > 0)
        json_object_set_new(item, "average_cost", json_real((double)part->cost_sum / part->cost_cards / 1000));
    return item;
}

static json_t *settle_json(const BenchView *v)
{
    const Settle *s = v->settle;
    json_t *item = json_object(), *rest = json_object();
    json_object_set_new(item, "copies", json_integer(s->copies));
    json_object_set_new(item, "money", json_money(s->money));
    json_object_set_new(item, "open", json_integer(s->open));
    if (s->has_low)
        json_object_set_new(rest, "at_least", json_money(s->low > 0 ? s->low : 0));
    json_object_set_new(rest, "at_most", json_money(s->high));
    json_object_set_new(item, "rest", rest);
    if (v->instance->model->has_cap)
        json_object_set_new(item, "left", json_money(instance_cap_left(v->instance) - s->money));
    return item;
}

static void add_lists(const BenchView *v, json_t *root)
{
    json_t *roles = json_array(), *wishes = json_array(), *dear = json_array();
    for (int r = 0; r < BENCH_ROLES; r++)
        if (v->bench->role[r].copies > 0)
            json_array_append_new(roles, part_json(&v->bench->role[r], role_name((Role)r)));
    for (size_t k = 0; k < v->bench->wishes; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(name_of(v, v->bench->wish[k])));
        json_object_set_new(item, "in", json_boolean(v->answer->copies[v->bench->wish[k]] > 0));
        json_array_append_new(wishes, item);
    }
    for (size_t k = 0; k < v->bench->dears; k++)
        json_array_append_new(dear, json_string(name_of(v, v->bench->dear[k])));
    json_object_set_new(root, "roles", roles);
    json_object_set_new(root, "in", in_json(v));
    json_object_set_new(root, "next", next_json(v));
    json_object_set_new(root, "wishes", wishes);
    json_object_set_new(root, "dear", dear);
}

bool bench_json(const BenchView *v, const Diags *notices, Text *out)
{
    json_t *root = part_json(&v->bench->all, NULL);
    json_object_set_new(root, "status", json_string(answer_status_name(v->answer->status)));
    json_object_set_new(root, "pool_fit", json_number_of(v->answer->check.fit));
    json_object_set_new(root, "section", json_string(v->section->name));
    json_object_set_new(root, "kind", json_string(section_kind_name(v->section->kind)));
    json_object_set_new(root, "size", json_integer(v->answer->check.size));
    json_object_set_new(root, "cost", json_money(v->answer->check.cost));
    if (v->instance->model->has_cap) {
        json_object_set_new(root, "left", json_money(bench_left(v)));
        json_object_set_new(root, "share_of_left", json_money(bench_share_of_left(v)));
    }
    add_lists(v, root);
    if (v->settle != NULL)
        json_object_set_new(root, "settled", settle_json(v));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

/* ---- the sheet ---- */

typedef struct {
    const BenchView *view;
    Arena *arena;
    Text *out;
    char separator;
    bool commas;
} BenchSheet;

static const char *number(const BenchSheet *s, const char *text)
{
    return sheet_number(s->arena, s->commas, text);
}

static void add_line(const BenchSheet *s, size_t c, const InLine *next)
{
    const BenchView *v = s->view;
    const Card *card = &v->instance->cards->card[c];
    const bool found = next != NULL && next->found;
    const char *cell[] = {
        card->name,
        next == NULL ? format_count(s->arena, v->answer->copies[c]) : "0",
        role_name(section_role(v->instance, v->section, c)),
        card->has_cost ? number(s, format_number(s->arena, card->cost)) : "",
        number(s, format_number(s->arena, v->instance->fit[c])),
        price_known(v->instance, c) ? number(s, format_money(s->arena, v->instance->price[c])) : "",
        found ? number(s, format_number(s->arena, next->swap.fit_change)) : "",
        found ? number(s, format_money(s->arena, next->swap.cost_change)) : "",
        found && next->swap.card != c ? name_of(v, next->swap.card) : "",
        v->instance->status[c] & STATUS_WISH ? "wish" : "",
    };
    sheet_line(s->out, cell, sizeof cell / sizeof *cell, s->separator);
}

static void add_kept(const BenchSheet *s, size_t c)
{
    static const struct {
        unsigned bit;
        const char *words;
    } also[] = {{STATUS_WISH, ";wish"}, {STATUS_IN, ";in"}};
    const unsigned own = s->view->instance->cards->card[c].status;
    Text status = {0};
    text_add(&status, "keep");
    for (size_t k = 0; k < sizeof also / sizeof *also; k++)
        if (own & also[k].bit)
            text_add(&status, also[k].words);
    const char *cell[] = {name_of(s->view, c), text_cstr(&status)};
    sheet_line(s->out, cell, 2, s->separator);
    text_release(&status);
}

void bench_sheet(const BenchView *v, Text *out)
{
    static const char *const header[] = {"name",  "copies",     "role",         "cost",       "fit",
                                         "price", "fit change", "money change", "instead of", "status"};
    static const char *const kept[] = {"name", "status"};
    Arena *arena = arena_new();
    const BenchSheet sheet = {v, arena, out, sheet_separator(v->instance->cards), sheet_has_commas(v->instance->cards)};
    sheet_begin(out, v->instance->cards);
    if (v->settle != NULL)
        sheet_line(out, kept, 2, sheet.separator);
    else
        sheet_line(out, header, sizeof header / sizeof *header, sheet.separator);
    for (size_t k = 0; k < v->bench->ins; k++)
        if (v->settle != NULL)
            add_kept(&sheet, v->bench->in[k]);
        else
            add_line(&sheet, v->bench->in[k], NULL);
    for (size_t k = 0; k < v->bench->nexts && v->settle == NULL; k++)
        add_line(&sheet, v->bench->next[k].card, &v->bench->next[k]);
    arena_free(arena);
}
