/* against_report.c - two pools side by side: A / B, or one number where they agree. */

#include "programme/count/checker.h"
#include "report/json/json.h"
#include "report/json/pool_json.h"
#include "report/list/revise_report.h"
#include "report/layout/format.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "programme/count/pool_summary.h"

#define SHOWN_CARDS 20

typedef struct {
    const PoolFile *file;
    Answer answer; /* its copies are the file's */
    PoolSummary sum;
    size_t broken; /* limits, without keeps and bans */
    size_t faults; /* cards: kept and not in, in and banned, without a price, more often than they may be */
} PoolSide;

typedef struct {
    const Instance *in;
    PoolSide side[2];
    PoolChange *change; /* from A to B */
    size_t changes;
    Arena *arena;
} Pair;

static void side_init(PoolSide *side, const Instance *in, const PoolFile *file)
{
    *side = (PoolSide){.file = file, .answer = {.copies = file->copies, .has_pool = true}};
    pool_check(in, file->copies, &side->answer.check);
    for (size_t c = 0; c < in->cards->count; c++)
        side->faults += file->copies[c] < in->least[c] || file->copies[c] > in->most[c];
    side->broken = pool_broken_limits(&side->answer.check);
    pool_summary(in, &side->answer, &side->sum);
}

static void pair_init(Pair *pair, const Instance *in, const PoolFile *a, const PoolFile *b)
{
    *pair = (Pair){.in = in, .arena = arena_new()};
    side_init(&pair->side[0], in, a);
    side_init(&pair->side[1], in, b);
    pair->change = pool_changes(in, a->copies, in, b->copies, &pair->changes);
}

static void pair_release(Pair *pair)
{
    for (int k = 0; k < 2; k++) {
        pool_summary_release(&pair->side[k].sum);
        pool_check_release(&pair->side[k].answer.check);
    }
    mem_free(pair->change);
    arena_free(pair->arena);
}

/* Copies that one has and the other has not (sign -1: A's, 1: B's). */
static int only_in(const Pair *p, int sign)
{
    int copies = 0;
    for (size_t k = 0; k < p->changes; k++)
        copies += p->change[k].by * sign > 0 ? p->change[k].by * sign : 0;
    return copies;
}

/* ---- text ---- */

static void add_side(const Pair *p, int k, Text *out)
{
    const PoolSide *s = &p->side[k];
    text_printf(out, "%c  %s\n   %s, %s to buy, fit %s; ", 'A' + k, s->file->path,
                format_cards(p->arena, s->answer.check.size), format_money(p->arena, s->answer.check.cost),
                format_number(p->arena, s->answer.check.fit));
    if (s->broken > 0)
        text_printf(out, "%zu limit%s broken", s->broken, s->broken == 1 ? "" : "s");
    if (s->faults > 0)
        text_printf(out, "%s%zu card%s not as the scenario asks", s->broken > 0 ? " and " : "", s->faults,
                    s->faults == 1 ? " is" : "s are");
    if (s->broken + s->faults == 0)
        limits_met_text(&s->answer.check, p->arena, out);
    if (s->file->unknowns > 0)
        text_printf(out, "; not counted: %zu that %s no candidate", s->file->unknowns,
                    s->file->unknowns == 1 ? "is" : "are");
    text_add(out, ".\n");
}

static void add_both(const Pair *p, Table *table, int a, int b)
{
    table_add(table, a == b ? arena_printf(p->arena, "%d", a) : arena_printf(p->arena, "%d / %d", a, b));
}

static void add_themes(const Pair *p, const Style *style, Text *out)
{
    static const char *const header[] = {"theme", "enablers", "payoffs", "cards", "gold", "strength"};
    Table *table = table_new("lrrrrr", header);
    for (size_t t = 0; t < p->in->model->themes; t++) {
        const ThemeSummary *a = &p->side[0].sum.theme[t], *b = &p->side[1].sum.theme[t];
        table_add(table, p->in->model->theme[t].name);
        add_both(p, table, a->enablers, b->enablers);
        add_both(p, table, a->payoffs, b->payoffs);
        add_both(p, table, a->cards, b->cards);
        add_both(p, table, a->gold, b->gold);
        const char *strength = format_number(p->arena, a->strength);
        table_add(table, a->strength == b->strength
                             ? strength
                             : arena_printf(p->arena, "%s / %s", strength, format_number(p->arena, b->strength)));
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, "Themes (A / B)");
        table_print(table, out, style);
    }
    table_free(table);
}

static void add_colours(const Pair *p, const Style *style, Text *out)
{
    static const char *const header[] = {"colour", "mono", "early", "middle", "late", "removal", "fixing"};
    Table *table = table_new("lrrrrrr", header);
    for (size_t c = 0; c < p->in->model->colours; c++) {
        const ColourSummary *a = &p->side[0].sum.colour[c], *b = &p->side[1].sum.colour[c];
        table_add(table, p->in->model->colour[c]);
        add_both(p, table, a->mono, b->mono);
        for (int k = 0; k < CURVE_STEPS; k++)
            if (p->side[0].sum.has_costs)
                add_both(p, table, a->curve[k], b->curve[k]);
            else
                table_add(table, "");
        if (p->side[0].sum.has_removal)
            add_both(p, table, a->removal, b->removal);
        else
            table_add(table, "");
        add_both(p, table, a->fixing, b->fixing);
    }
    style_heading(out, style, "Colours (A / B)");
    table_print(table, out, style);
    table_free(table);
    for (int k = 0; k < CLASS_COUNT; k++) {
        const int a = p->side[0].sum.by_class[k], b = p->side[1].sum.by_class[k];
        text_printf(out, "%s%s %d", k == 0 ? "  " : ", ", class_name((CardClass)k), a);
        if (a != b)
            text_printf(out, " / %d", b);
    }
    text_add_char(out, '\n');
}

static const PoolChange *nth(const Pair *p, int sign, size_t n)
{
    for (size_t k = 0; k < p->changes; k++)
        if (p->change[k].by * sign > 0 && n-- == 0)
            return &p->change[k];
    return NULL;
}

static void add_cells(const Pair *p, Table *table, const PoolChange *change)
{
    table_add(table, change != NULL ? change_name(change, p->arena) : "");
    table_add(table, change != NULL ? format_number(p->arena, change->fit) : "");
}

static void add_cards(const Pair *p, size_t most, const Style *style, Text *out)
{
    static const char *const header[] = {"only in A", "fit", "only in B", "fit"};
    Table *table = table_new("crcr", header);
    size_t n = 0;
    for (; n < most && (nth(p, -1, n) != NULL || nth(p, 1, n) != NULL); n++) {
        add_cells(p, table, nth(p, -1, n));
        add_cells(p, table, nth(p, 1, n));
    }
    if (n > 0) {
        style_heading(out, style, "Cards in one only");
        table_print(table, out, style);
    }
    if (nth(p, -1, n) != NULL || nth(p, 1, n) != NULL)
        text_add(out, "  ... and more: --full shows all\n");
    table_free(table);
}

void against_text(const Instance *instance, const PoolFile *a, const PoolFile *b, bool full, const Style *style,
                  Text *out)
{
    Pair p;
    pair_init(&p, instance, a, b);
    add_side(&p, 0, out);
    add_side(&p, 1, out);
    text_printf(out, "%d in both, %d only in A, %d only in B.\n", a->listed - only_in(&p, -1), only_in(&p, -1),
                only_in(&p, 1));
    add_themes(&p, style, out);
    add_colours(&p, style, out);
    add_cards(&p, full ? SIZE_MAX : SHOWN_CARDS, style, out);
    pair_release(&p);
}

/* ---- JSON ---- */

static json_t *side_json(const Instance *in, const PoolSide *s)
{
    json_t *root = json_object();
    json_object_set_new(root, "path", json_string(s->file->path));
    json_object_set_new(root, "size", json_integer(s->answer.check.size));
    json_object_set_new(root, "cost", json_money(s->answer.check.cost));
    json_object_set_new(root, "pool_owned", json_integer(pool_owned_copies(in, s->file->copies)));
    json_object_set_new(root, "fit", json_number_of(s->answer.check.fit));
    json_object_set_new(root, "broken", json_count(s->broken));
    json_object_set_new(root, "unknown", json_count(s->file->unknowns));
    json_object_set_new(root, "faults", json_count(s->faults));
    make_up_json(in, &s->sum, root);
    return root;
}

bool against_json(const Instance *instance, const PoolFile *a, const PoolFile *b, const Diags *notices, Text *out)
{
    Pair p;
    json_t *root = json_object();
    pair_init(&p, instance, a, b);
    json_object_set_new(root, "a", side_json(instance, &p.side[0]));
    json_object_set_new(root, "b", side_json(instance, &p.side[1]));
    json_object_set_new(root, "in_both", json_integer(a->listed - only_in(&p, -1)));
    json_object_set_new(root, "only_in_a", changes_as_json(p.change, p.changes, -1));
    json_object_set_new(root, "only_in_b", changes_as_json(p.change, p.changes, 1));
    json_object_set_new(root, "notices", json_notices(notices));
    pair_release(&p);
    return json_finish(root, out);
}
