/* deal_report.c - see deal_report.h. */
#include "report/seats/deal_report.h"

#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"

typedef struct {
    const char *name, *colours, *cost; /* "" where nothing is known */
} DealtCard;

/* The name of the k-th copy that is no candidate. */
static const char *other_name(const PoolFile *pool, int k)
{
    for (size_t u = 0; u < pool->unknowns; u++) {
        if (k < pool->unknown[u].copies)
            return pool->unknown[u].name;
        k -= pool->unknown[u].copies;
    }
    return "";
}

static DealtCard dealt_card(const Deal *deal, int c, Arena *arena)
{
    if (c < 0)
        return (DealtCard){other_name(deal->pool, -1 - c), "", ""};
    const Card *card = &deal->instance->cards->card[c];
    const CardVocabulary words = model_vocabulary(deal->instance->model);
    return (DealtCard){card->name, colours_text(&words, &card->colours, arena),
                       card->has_cost ? format_number(arena, card->cost) : ""};
}

void deal_text(const Deal *deal, const char *written, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    text_printf(out, "%d pack%s of %d from %s, dealt at random (seed %d; the same seed gives the same packs).\n",
                deal->packs, deal->packs == 1 ? "" : "s", deal->pack_size, deal->pool->path, deal->seed);
    for (int p = 0; p < deal->packs; p++) {
        style_heading(out, style, arena_printf(arena, "Pack %d", p + 1));
        static const char *const header[] = {"card", "colours", "cost"};
        Table *table = table_new("llr", header);
        for (int k = 0; k < deal->pack_size; k++) {
            const DealtCard card = dealt_card(deal, deal->card[p * deal->pack_size + k], arena);
            table_add(table, card.name);
            table_add(table, card.colours);
            table_add(table, card.cost);
        }
        table_print(table, out, style);
        table_free(table);
    }
    if (written != NULL)
        text_printf(out, "\nWritten: %s.\n", written);
    else
        text_add(out, "\nMore: -o packs.csv (as a sheet), --seed 2 (other packs).\n");
    arena_free(arena);
}

bool deal_json(const Deal *deal, const Diags *notices, Text *out)
{
    Arena *arena = arena_new();
    json_t *root = json_object(), *packs = json_array();
    json_object_set_new(root, "seed", json_integer(deal->seed));
    for (int p = 0; p < deal->packs; p++) {
        json_t *pack = json_array();
        for (int k = 0; k < deal->pack_size; k++)
            json_array_append_new(pack, json_string(dealt_card(deal, deal->card[p * deal->pack_size + k], arena).name));
        json_array_append_new(packs, pack);
    }
    json_object_set_new(root, "packs", packs);
    json_object_set_new(root, "notices", json_notices(notices));
    arena_free(arena);
    return json_finish(root, out);
}

void deal_sheet(const Deal *deal, Text *out)
{
    Arena *arena = arena_new();
    const char separator = sheet_separator(deal->instance->cards);
    const bool commas = sheet_has_commas(deal->instance->cards);
    sheet_begin(out, deal->instance->cards);
    sheet_line(out, (const char *const[]){"pack", "name", "colours", "cost"}, 4, separator);
    for (int k = 0; k < deal->packs * deal->pack_size; k++) {
        const DealtCard card = dealt_card(deal, deal->card[k], arena);
        sheet_line(out,
                   (const char *const[]){arena_printf(arena, "%d", k / deal->pack_size + 1), card.name, card.colours,
                                         sheet_number(arena, commas, card.cost)},
                   4, separator);
    }
    arena_free(arena);
}
