/* changes.c - what enters and leaves, as a table and as JSON. */
#include <stdint.h>

#include "report/layout/format.h"
#include "report/list/revise_report.h"

const char *change_name(const PoolChange *change, Arena *arena)
{
    return format_copies(arena, change->by > 0 ? change->by : -change->by, change->name);
}

/* The n-th that enters (sign 1) or leaves (-1), NULL beyond the last. */
static const PoolChange *nth(const PoolChange *change, size_t changes, int sign, size_t n)
{
    for (size_t k = 0; k < changes; k++)
        if (change[k].by * sign > 0 && n-- == 0)
            return &change[k];
    return NULL;
}

static void add_cells(Table *table, const PoolChange *change, Arena *arena)
{
    table_add(table, change != NULL ? change_name(change, arena) : "");
    table_add(table, change != NULL ? format_number(arena, change->fit) : "");
    table_add(table, change == NULL ? "" : change->has_price ? format_money(arena, change->price) : "-");
}

void changes_table(const PoolChange *change, size_t changes, size_t most, const Style *style, Text *out)
{
    static const char *const header[] = {"out", "fit", "price", "in", "fit", "price"};
    Table *table = table_new(most == SIZE_MAX ? "lrrlrr" : "crrcrr", header); /* a line each, unless all are shown */
    Arena *arena = arena_new();
    size_t n = 0;
    for (; n < most; n++) {
        const PoolChange *out_card = nth(change, changes, -1, n), *in_card = nth(change, changes, 1, n);
        if (out_card == NULL && in_card == NULL)
            break;
        add_cells(table, out_card, arena);
        add_cells(table, in_card, arena);
    }
    if (table_rows(table) > 0)
        table_print(table, out, style);
    if (n == most && (nth(change, changes, -1, n) != NULL || nth(change, changes, 1, n) != NULL))
        text_add(out, "  ... and more: --full shows all, -o FILE writes the list\n");
    table_free(table);
    arena_free(arena);
}

json_t *changes_as_json(const PoolChange *change, size_t changes, int sign)
{
    json_t *list = json_array();
    for (size_t k = 0; k < changes; k++) {
        if (change[k].by * sign <= 0)
            continue;
        json_t *entry = json_object();
        json_object_set_new(entry, "name", json_string(change[k].name));
        json_object_set_new(entry, "copies", json_integer(change[k].by * sign));
        json_array_append_new(list, entry);
    }
    return list;
}
