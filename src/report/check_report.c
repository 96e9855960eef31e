/* check_report.c - what `check` counted, as text and JSON. */
#include "report/layout/format.h"
#include "report/json/json.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "report/explain_report.h"
#include "report/report.h"
#include "report/list/watches.h"
#include "report/whatif_report.h"

static size_t untagged(const Instance *in)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += in->cards->card[c].tags == 0;
    return count;
}

static size_t with_status(const Instance *in, unsigned bit)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += (in->status[c] & bit) != 0;
    return count;
}

static size_t on_trial(const Instance *in)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += in->history[c].trial != DAY_UNKNOWN && in->history[c].trial > in->scenario->day;
    return count;
}

static size_t in_present(const Instance *in)
{
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        count += in->present[c] > 0;
    return count;
}

static void add_counts(const Instance *in, Arena *arena, Text *out)
{
    const Model *model = in->model;
    size_t limits = 0; /* without keeps and bans, which are counted below */
    for (size_t l = 0; l < in->limits; l++)
        limits += limit_asks(&in->limit[l]) && !limit_is_status(&in->limit[l]);
    text_printf(out, "%s: %zu limit%s, %zu theme%s, %zu colour%s; the pool takes ",
                format_cards(arena, (int64_t)in->cards->count), limits, limits == 1 ? "" : "s", model->themes,
                model->themes == 1 ? "" : "s", model->colours, model->colours == 1 ? "" : "s");
    if (model->size_from == model->size_to)
        text_printf(out, "%d", model->size_to);
    else
        text_printf(out, "%d to %d", model->size_from, model->size_to);
    if (model->has_cap)
        text_printf(out, " for at most %s%s", format_money(arena, model->cap), money_with_paid(in, arena));
    const size_t wishes = with_status(in, STATUS_WISH);
    text_printf(out, ".\n%zu to keep, %zu banned, %zu wish%s", with_status(in, STATUS_KEEP),
                with_status(in, STATUS_BAN), wishes, wishes == 1 ? "" : "es");
    const size_t trials = on_trial(in);
    if (trials > 0)
        text_printf(out, ", %zu on trial", trials);
    if (in->has_present)
        text_printf(out, ", %zu in the present pool", in_present(in));
    if (in->has_present && in->gones > 0)
        text_printf(out, " (and %zu of it no candidate)", in->gones);
    const int owned = pool_owned_copies(in, in->present);
    if (owned > 0)
        text_printf(out, ", %d cop%s owned only for that (pool_owned)", owned, owned == 1 ? "y" : "ies");
    text_printf(out, ".\nWithout power: %zu. Without price: %zu", in->unscored_count, in->unpriced_count);
    if (in->skipped_count > 0)
        text_printf(out, " (%zu left out)", in->skipped_count);
    text_printf(out, ". Without any tag: %zu.", untagged(in));
    if (in->cards->merged > 0)
        text_printf(out, " Lines that repeat another: %zu.", in->cards->merged);
    if (in->cards->repeated > 0)
        text_printf(out, " Lines with the name of another: %zu.", in->cards->repeated);
    if (in->cards->passed > 0)
        text_printf(out, " Lines passed over: %zu.", in->cards->passed);
    text_add_char(out, '\n');
}

#define NEAREST_SOUGHT 50 /* a pool of another scenario: more of them would be costly and help nobody */

/* The nearest candidate's name for the k-th such card of the present pool, or NULL. */
static const char *nearest_of_gone(const Instance *in, size_t k)
{
    return k < NEAREST_SOUGHT ? card_nearest(in->cards, in->gone[k].name) : NULL;
}

/* Other verbs only count them: a slip in a name shows here. */
static void list_gone(const Instance *in, Arena *arena, const Style *style, Text *out)
{
    if (in->gones == 0)
        return;
    style_heading(out, style, "Names in the present pool that are no candidates");
    NameList list;
    name_list_begin(&list, "", in->gones, style, out);
    for (size_t k = 0; k < in->gones; k++) {
        const char *nearest = nearest_of_gone(in, k);
        name_list_add(&list, nearest == NULL ? in->gone[k].name
                                             : arena_printf(arena, "%s (perhaps %s)", in->gone[k].name, nearest));
    }
    name_list_end(&list);
}

/* One line where tags drown the scores; else nothing. */
static void add_scales(const Instance *in, const Scales *scales, Arena *arena, Text *out)
{
    if (!scales->lopsided)
        return;
    const Card *dull = &in->cards->card[scales->dull], *tagged = &in->cards->card[scales->tagged];
    text_printf(
        out,
        "\nTags outweigh power: over most cards (a tenth left aside at either end) what tags add to fit spreads "
        "by %s, what power adds by %s.\n",
        format_number(arena, scales->tags), format_number(arena, scales->power));
    text_printf(out, "%s (power %s) has fit %s; %s (power %s) has fit %s.\n", dull->name,
                format_number(arena, dull->power), format_number(arena, in->fit[scales->dull]), tagged->name,
                format_number(arena, tagged->power), format_number(arena, in->fit[scales->tagged]));
    text_printf(out,
                "If scores should count for more, raise 'power' under 'fit' in the model (it is %s), or lower the "
                "weights of themes or tags.\n",
                format_number(arena, in->model->power_weight));
}

static json_t *scales_json(const Instance *in, const Scales *scales)
{
    json_t *item = json_object();
    json_object_set_new(item, "power", json_number_of(scales->power));
    json_object_set_new(item, "tags", json_number_of(scales->tags));
    json_object_set_new(item, "lopsided", json_boolean(scales->lopsided));
    if (scales->lopsided) {
        json_object_set_new(item, "scored_high", json_string(in->cards->card[scales->dull].name));
        json_object_set_new(item, "scored_low", json_string(in->cards->card[scales->tagged].name));
    }
    return item;
}

static json_t *gone_json(const Instance *in)
{
    json_t *list = json_array();
    for (size_t k = 0; k < in->gones; k++)
        json_array_append_new(list, json_pack("{s:s,s:i,s:s?}", "name", in->gone[k].name, "line",
                                              (int)in->gone[k].at.line, "nearest", nearest_of_gone(in, k)));
    return list;
}

/* A column under a header that the model does not map goes unread; here one sees it. */
static void add_unused_columns(const Instance *in, Text *out)
{
    size_t count = 0;
    for (size_t k = 0; k < in->cards->columns; k++)
        if (instance_column_unused(in, k))
            text_printf(out, "%s%s", count++ == 0 ? "Columns of your own that nothing here uses: " : ", ",
                        in->cards->column[k]);
    if (count > 0)
        text_add(out, ".\n");
}

typedef struct {
    size_t of[CLASS_COUNT], mono[COLOURS_MAX]; /* candidates; mono: by colour */
} ClassCounts;

static ClassCounts count_classes(const Instance *in)
{
    ClassCounts counts = {0};
    for (size_t c = 0; c < in->cards->count; c++) {
        counts.of[in->class[c]]++;
        for (size_t k = 0; in->class[c] == CLASS_MONO && k < in->model->colours; k++)
            counts.mono[k] += colours_exact(&in->cards->card[c].colours, (ColourMask)(1u << k));
    }
    return counts;
}

static void add_classes(const Instance *in, const Style *style, Text *out)
{
    const ClassCounts counts = count_classes(in);
    style_heading(out, style, "Candidates");
    for (int k = 0; k < CLASS_COUNT; k++) {
        text_printf(out, "  %-10s %5zu", class_name((CardClass)k), counts.of[k]);
        for (size_t m = 0; k == CLASS_MONO && m < in->model->colours; m++)
            text_printf(out, "%s%s %zu", m == 0 ? "  (" : ", ", in->model->colour[m], counts.mono[m]);
        text_add(out, k == CLASS_MONO && in->model->colours > 0 ? ")\n" : "\n");
    }
}

static void add_classes_json(const Instance *in, json_t *root)
{
    const ClassCounts counts = count_classes(in);
    json_t *classes = json_object(), *mono = json_object();
    for (int k = 0; k < CLASS_COUNT; k++)
        json_object_set_new(classes, class_name((CardClass)k), json_count(counts.of[k]));
    for (size_t k = 0; k < in->model->colours; k++)
        json_object_set_new(mono, in->model->colour[k], json_count(counts.mono[k]));
    json_object_set_new(root, "classes", classes);
    json_object_set_new(root, "mono", mono);
}

static bool is_hybrid_as_gold(const Instance *in, size_t c)
{
    const Card *card = &in->cards->card[c];
    return in->class[c] == CLASS_GOLD && colours_class(&card->colours, card->symbols, 0) == CLASS_HYBRID;
}

static void list_hybrids_as_gold(const Instance *in, const Style *style, Text *out)
{
    if (in->model->hybrid_as_gold == 0)
        return;
    size_t count = 0;
    NameList list;
    Arena *arena = arena_new();
    for (size_t c = 0; c < in->cards->count; c++) {
        if (!is_hybrid_as_gold(in, c))
            continue;
        if (count++ == 0) {
            style_heading(
                out, style,
                arena_printf(arena, "Hybrids that count as gold (%d symbols or more)", in->model->hybrid_as_gold));
            name_list_begin(&list, "", SIZE_MAX, style, out);
        }
        name_list_add(&list, in->cards->card[c].name);
    }
    if (count > 0)
        name_list_end(&list);
    arena_free(arena);
}

/* A limit is worth a line when it cannot be met, or when it leaves little choice. */
static bool is_close(const Limit *limit, const LimitReach *reach)
{
    if (!reach->possible)
        return true;
    return reach->has_most && limit->kind != LIMIT_SIZE && limit->kind != LIMIT_CHOICE && limit->bounds.has_low &&
           limit->bounds.low > 0 && reach->most < limit->bounds.low + limit->bounds.low / 4;
}

static void add_rule_row(const Limit *limit, const LimitReach *reach, Arena *arena, Table *table)
{
    table_add(table, limit->title);
    table_add(table, limit_asks_text(limit, &limit->bounds, arena));
    table_add(table, format_count(arena, (int64_t)reach->candidates));
    table_add(table, reach->has_least ? format_measure(arena, limit->measure, reach->least) : "");
    table_add(table, reach->has_most ? format_measure(arena, limit->measure, reach->most) : "");
    table_add(table, !reach->possible ? "CANNOT BE MET" : is_close(limit, reach) ? "little choice" : "");
    table_add(table, limit_place_text(limit, arena));
}

static void add_rules(const Instance *in, const CheckFacts *facts, bool all, const Style *style, Arena *arena,
                      Text *out)
{
    static const char *const header[] = {"limit", "asks for", "cards", "least", "most", "", "set in"};
    Table *table = table_new("llrrrll", header);
    StatusRows statuses = {0};
    for (size_t l = 0; l < in->limits; l++)
        if (limit_asks(&in->limit[l]) && (all || is_close(&in->limit[l], &facts->reach[l])) &&
            status_rows_show(&statuses, &in->limit[l]))
            add_rule_row(&in->limit[l], &facts->reach[l], arena, table);
    style_heading(out, style,
                  all ? "Limits: candidates that count, and what they can come to in one pool"
                      : "Limits that cannot be met or leave little choice");
    if (table_rows(table) == 0)
        text_add(out, "  none\n");
    else
        table_print(table, out, style);
    table_free(table);
    status_rows_rest(&statuses, out);
    if (!all)
        text_add(out, "  --rules shows every limit with its candidates\n");
}

static void add_verdict(const Instance *in, const CheckFacts *facts, Arena *arena, Text *out)
{
    size_t impossible = 0;
    for (size_t l = 0; l < in->limits; l++)
        impossible += !facts->reach[l].possible;
    text_add_char(out, '\n');
    if (facts->copies_most < in->model->size_from)
        text_printf(out, "There are only %lld copies to choose from for a pool of %d: no pool is possible.\n",
                    (long long)facts->copies_most, in->model->size_from);
    else if (facts->copies_least > in->model->size_to)
        text_printf(out, "There are %lld cards to keep for a pool of %d: no pool is possible.\n",
                    (long long)facts->copies_least, in->model->size_to);
    else if (impossible > 0)
        text_printf(out, "%zu limit%s cannot be met whatever is chosen.\n", impossible, impossible == 1 ? "" : "s");
    else if (!facts->demand_possible)
        text_add(out, "Not all limits can be met together: no pool is possible. `poolwright best` says which limits "
                      "stand against each other.\n");
    else if (facts->demand_known)
        text_printf(out, "The limits alone ask for at least %s: %s%lld of %d are free of them.\n",
                    format_cards(arena, facts->demand), facts->demand_exact ? "" : "at most ",
                    (long long)(in->model->size_to - facts->demand), in->model->size_to);
    else
        text_add(out, "The files are sound.\n");
}

void check_text(const Instance *instance, const CheckFacts *facts, bool rules, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    if (facts->explained != NULL) {
        text_add(out, "No pool of these candidates meets every limit: proven.\n");
        causes_text(facts->explained->explain, &facts->explained->causes, "", style, out);
        text_add_char(out, '\n');
    }
    add_counts(instance, arena, out);
    add_unused_columns(instance, out);
    list_gone(instance, arena, style, out);
    add_scales(instance, &facts->scales, arena, out);
    add_classes(instance, style, out);
    check_prices_text(instance, style, out);
    list_hybrids_as_gold(instance, style, out);
    add_rules(instance, facts, rules, style, arena, out);
    if (rules)
        watches_check_text(instance, style, out);
    add_verdict(instance, facts, arena, out);
    arena_free(arena);
}

static json_t *reach_json(const Limit *limit, const LimitReach *reach)
{
    json_t *item = limit_json(limit, &limit->bounds);
    json_object_set_new(item, "candidates", json_count(reach->candidates));
    json_object_set_new(item, "least", reach->has_least ? json_measure(limit->measure, reach->least) : json_null());
    json_object_set_new(item, "most", reach->has_most ? json_measure(limit->measure, reach->most) : json_null());
    json_object_set_new(item, "possible", json_boolean(reach->possible));
    limit_json_place(limit, item);
    return item;
}

/* What is said of candidates and lines, in numbers. */
static void add_counts_json(const Instance *in, json_t *root)
{
    const struct {
        const char *key;
        size_t count;
    } counted[] = {{"candidates", in->cards->count},
                   {"keep", with_status(in, STATUS_KEEP)},
                   {"ban", with_status(in, STATUS_BAN)},
                   {"wish", with_status(in, STATUS_WISH)},
                   {"trials", on_trial(in)},
                   {"present", in_present(in)},
                   {"pool_owned", (size_t)pool_owned_copies(in, in->present)},
                   {"unpriced", in->unpriced_count},
                   {"unscored", in->unscored_count},
                   {"skipped", in->skipped_count},
                   {"untagged", untagged(in)},
                   {"repeated", in->cards->merged},
                   {"different", in->cards->repeated},
                   {"passed", in->cards->passed}};
    for (size_t k = 0; k < sizeof counted / sizeof *counted; k++)
        json_object_set_new(root, counted[k].key, json_count(counted[k].count));
}

static json_t *hybrids_as_gold_json(const Instance *in)
{
    json_t *list = json_array();
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->model->hybrid_as_gold > 0 && is_hybrid_as_gold(in, c))
            json_array_append_new(list, json_string(in->cards->card[c].name));
    return list;
}

static json_t *forms_json(const Instance *in)
{
    json_t *list = json_array();
    for (size_t f = 0; f < in->forms; f++)
        json_array_append_new(
            list, json_pack("{s:s,s:s}", "name", in->form[f].name, "kind", form_kind_name(in->form[f].kind)));
    return list;
}

/* What the text says: how many they are, or at most how many; nothing where that is not known. */
static json_t *free_places_json(const Model *model, const CheckFacts *facts)
{
    json_t *range = json_object();
    if (facts->demand_exact)
        json_object_set_new(range, "at_least", json_integer(model->size_to - facts->demand));
    if (facts->demand_known)
        json_object_set_new(range, "at_most", json_integer(model->size_to - facts->demand));
    return range;
}

bool check_json(const Instance *instance, const CheckFacts *facts, const Diags *notices, Text *out)
{
    json_t *root = json_object();
    add_counts_json(instance, root);
    add_classes_json(instance, root);
    json_object_set_new(root, "hybrids_as_gold", hybrids_as_gold_json(instance));
    json_t *rules = json_array();
    for (size_t l = 0; l < instance->limits; l++)
        if (limit_asks(&instance->limit[l]))
            json_array_append_new(rules, reach_json(&instance->limit[l], &facts->reach[l]));
    json_object_set_new(root, "rules", rules);
    json_object_set_new(root, "watches", watches_check_json(instance));
    json_object_set_new(root, "structure", forms_json(instance));
    json_object_set_new(root, "possible", json_boolean(facts->demand_possible));
    if (facts->explained != NULL)
        json_object_set_new(root, "causes", causes_json(facts->explained->explain, &facts->explained->causes));
    json_t *unused = json_array();
    for (size_t k = 0; k < instance->cards->columns; k++)
        if (instance_column_unused(instance, k))
            json_array_append_new(unused, json_string(instance->cards->column[k]));
    json_object_set_new(root, "unused_columns", unused);
    json_object_set_new(root, "scales", scales_json(instance, &facts->scales));
    json_object_set_new(root, "present_unknown", gone_json(instance));
    json_object_set_new(root, "free_places", free_places_json(instance->model, facts));
    json_object_set_new(root, "prices", check_prices_json(instance));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}
