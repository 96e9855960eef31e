/* audit_report.c - an existing list: what it breaks, what it is worth, what mends it. */

#include "report/list/watches.h"
#include "report/layout/format.h"
#include "report/json/json.h"
#include "report/json/pool_json.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"
#include "report/report.h"
#include "report/list/revise_report.h"
#include "report/structure.h"

#define SHOWN_SWAPS 6
#define SHOWN_UNKNOWN 5

typedef struct {
    const Instance *in;
    const Audit *audit;
    bool full;
    const Style *style;
    Text *out;
    Arena *arena;
} Screen;

/* ---- text ---- */

static void add_headline(const Screen *s)
{
    const PoolCheck *check = &s->audit->check;
    const size_t wrong = s->audit->broken + s->audit->faults;
    text_printf(s->out, "%s: %s, %s to buy", s->audit->list->path, format_cards(s->arena, check->size),
                format_money(s->arena, check->cost));
    if (s->in->model->counts_paid)
        text_printf(s->out, " and %s paid", format_money(s->arena, s->in->paid));
    if (s->in->model->has_cap)
        text_printf(s->out, " of %s", format_money(s->arena, s->in->model->cap));
    text_printf(s->out, ", fit %s; ", format_number(s->arena, check->fit));
    if (wrong == 0) {
        limits_met_text(check, s->arena, s->out);
        text_add(s->out, ".\n");
    }
    if (s->audit->broken > 0)
        text_printf(s->out, "%zu limit%s broken%s", s->audit->broken, s->audit->broken == 1 ? "" : "s",
                    s->audit->faults > 0 ? " and " : ".\n");
    if (s->audit->faults > 0)
        text_printf(s->out, "%zu card%s not as the scenario asks.\n", s->audit->faults,
                    s->audit->faults == 1 ? " is" : "s are");
    pool_owned_text(s->in, s->audit->list->copies, s->out);
}

static void add_best(const Screen *s)
{
    const Answer *best = &s->audit->best;
    if (best->status == ANSWER_INFEASIBLE)
        text_add(s->out, "No pool of these candidates meets every limit: proven.\n");
    else if (best->has_pool && best->status == ANSWER_BEST && best->check.fit == s->audit->check.fit &&
             audit_is_clean(s->audit))
        text_add(s->out, "No pool within these limits has more fit: proven.\n");
    else if (!best->has_pool)
        text_add(s->out, "Stopped before a pool was found to compare with.\n");
    else
        text_printf(s->out, "%s has %s%s for %s.\n",
                    best->status == ANSWER_STOPPED ? "The search was stopped early; the best pool found"
                    : best->status == ANSWER_BEST  ? "The best pool within the limits"
                                                   : "The best pool found within the limits",
                    format_number(s->arena, best->check.fit),
                    best->status == ANSWER_BEST || !best->has_bound
                        ? ""
                        : arena_printf(s->arena, " (proven: none more than %s)", format_number(s->arena, best->bound)),
                    format_money(s->arena, best->check.cost));
}

/* Keeps and bans are told by card. */
static bool is_broken(const LimitUse *use)
{
    return !limit_use_kept(use) && !limit_is_status(use->limit);
}

static void add_broken(const Screen *s, bool all)
{
    static const char *const header[] = {"limit", "asks for", "has", "off by", "set in"};
    Table *table = table_new("clrrl", header);
    StatusRows statuses = {0};
    for (size_t u = 0; u < s->audit->check.uses; u++) {
        const LimitUse *use = &s->audit->check.use[u];
        const bool broken = is_broken(use);
        if ((!broken && !all) || !status_rows_show(&statuses, use->limit))
            continue;
        table_add(table, use->limit->title);
        table_add(table, limit_asks_text(use->limit, &use->bounds, s->arena));
        table_add(table, use->is_protected ? arena_printf(s->arena, "%s, risen %s", limit_has_text(use, s->arena),
                                                          format_money(s->arena, use->protected_total))
                                           : limit_has_text(use, s->arena));
        table_add(table, broken ? limit_off_text(use, s->arena) : "");
        table_add(table, limit_place_text(use->limit, s->arena));
    }
    if (table_rows(table) > 0) {
        style_heading(s->out, s->style, all ? "Limits" : "Broken");
        table_print(table, s->out, s->style);
    }
    status_rows_rest(&statuses, s->out);
    table_free(table);
}

static void add_missed(const Screen *s)
{
    bool any = false;
    for (size_t u = 0; u < s->audit->check.uses; u++) {
        const LimitUse *use = &s->audit->check.use[u];
        if (use->missed == 0)
            continue;
        if (!any)
            style_heading(s->out, s->style, "Soft limits missed");
        any = true;
        text_printf(s->out, "  %s: %s, has %s; -%s fit\n", use->limit->title,
                    limit_asks_text(use->limit, &use->bounds, s->arena), limit_has_text(use, s->arena),
                    format_number(s->arena, use->penalty));
    }
}

static const char *fault_text(FaultKind kind)
{
    static const char *const text[] = {"is banned", "has no price", "is there more often than it may be",
                                       "must be in and is not"};
    return text[kind];
}

static void add_faults(const Screen *s)
{
    if (s->audit->faults == 0)
        return;
    style_heading(s->out, s->style, "Cards");
    for (size_t k = 0; k < s->audit->faults; k++) {
        const CardFault *fault = &s->audit->fault[k];
        const SourcePos at = s->in->status_at[fault->card];
        text_printf(s->out, "  %s %s", s->in->cards->card[fault->card].name, fault_text(fault->kind));
        if ((fault->kind == FAULT_BANNED || fault->kind == FAULT_MISSING) && at.file != NULL && at.line > 0)
            text_printf(s->out, " (%s)", format_place(s->arena, at));
        text_add_char(s->out, '\n');
    }
}

static void add_mend(const Screen *s)
{
    const Audit *a = s->audit;
    if (a->mend == MEND_NOT_NEEDED)
        return;
    style_heading(s->out, s->style, "What repairs it");
    if (a->mend == MEND_IMPOSSIBLE) {
        text_add(s->out, "  nothing: no pool of these candidates meets every limit\n");
        return;
    }
    if (a->mend == MEND_UNKNOWN || !a->mended.has_pool) {
        text_printf(s->out, "  not found %s; proven: at least %s must leave or enter\n",
                    a->stopped ? "before the run was stopped" : "within the effort",
                    format_cards(s->arena, a->least_changes));
        return;
    }
    text_printf(s->out, "  %s out and %d in", format_cards(s->arena, a->out), a->in);
    if (a->fewest)
        text_add(s->out, ", the fewest that do (proven)");
    else
        text_printf(s->out, "; proven: not fewer than %d together", a->least_changes);
    text_printf(s->out, ". Then: %s, %s to buy, fit %s\n", format_cards(s->arena, a->mended.check.size),
                format_money(s->arena, a->mended.check.cost), format_number(s->arena, a->mended.check.fit));
    changes_table(a->change, a->changes, s->full ? SIZE_MAX : SHOWN_SWAPS, s->style, s->out);
}

/* Names that are no candidates come last: they are no fault of the pool. */
static void add_unknown(const Screen *s)
{
    const PoolFile *list = s->audit->list;
    if (list->unknowns == 0)
        return;
    text_printf(s->out, "\nNot counted: %zu name%s no candidate\n", list->unknowns,
                list->unknowns == 1 ? " that is" : "s that are");
    for (size_t k = 0; k < list->unknowns; k++) {
        const UnknownCard *card = &list->unknown[k];
        if (!s->full && k == SHOWN_UNKNOWN) {
            text_printf(s->out, "  and %zu more: --full\n", list->unknowns - k);
            break;
        }
        text_printf(s->out, "  %s (line %d)", card->name, card->line);
        if (card->nearest != NULL)
            text_printf(s->out, "; did you mean '%s'?", card->nearest);
        text_add_char(s->out, '\n');
    }
}

void audit_text(const Instance *instance, const Audit *audit, const char *written, bool rules, bool full,
                const Style *style, Text *out)
{
    Screen s = {instance, audit, full, style, out, arena_new()};
    add_headline(&s);
    add_best(&s);
    if (!rules && !full)
        watches_line(instance, audit->list->copies, &audit->check, " (--full)", out);
    add_broken(&s, rules);
    add_faults(&s);
    add_mend(&s);
    add_missed(&s);
    if (rules || full)
        watches_text(instance, audit->list->copies, &audit->check, style, out);
    exemptions_text(s.in, s.audit->list->copies, "Deliberate exceptions (not counted as broken)", s.style, s.out);
    add_unknown(&s);
    if (audit->stopped)
        text_add(out, STOPPED_EARLY);
    if (written != NULL)
        text_printf(out, "\nThe repaired list is in %s\n", written);
    arena_free(s.arena);
}

/* ---- JSON ---- */

static json_t *broken_json(const Audit *audit)
{
    json_t *list = json_array();
    for (size_t u = 0; u < audit->check.uses; u++) {
        const LimitUse *use = &audit->check.use[u];
        if (!is_broken(use))
            continue;
        json_t *entry = limit_use_json(use);
        if (use->bounds.kind == BOUND_PERCENT || use->bounds.kind == BOUND_AVERAGE)
            json_object_set_new(entry, "use", json_measure(use->limit->measure, use->total));
        json_object_set_new(entry, "off_by",
                            json_measure(use->limit->measure, -(!use->low_kept ? use->low_slack : use->high_slack)));
        limit_json_place(use->limit, entry);
        json_array_append_new(list, entry);
    }
    return list;
}

static json_t *faults_json(const Instance *in, const Audit *audit)
{
    static const char *const word[] = {"banned", "no price", "too many", "missing"};
    json_t *list = json_array();
    for (size_t k = 0; k < audit->faults; k++) {
        json_t *entry = json_object();
        json_object_set_new(entry, "name", json_string(in->cards->card[audit->fault[k].card].name));
        json_object_set_new(entry, "fault", json_string(word[audit->fault[k].kind]));
        json_array_append_new(list, entry);
    }
    return list;
}

static json_t *unknown_json(const PoolFile *list)
{
    json_t *all = json_array();
    for (size_t k = 0; k < list->unknowns; k++) {
        json_t *entry = json_object();
        json_object_set_new(entry, "name", json_string(list->unknown[k].name));
        json_object_set_new(entry, "line", json_integer(list->unknown[k].line));
        json_object_set_new(entry, "nearest", json_string_or_null(list->unknown[k].nearest));
        json_array_append_new(all, entry);
    }
    return all;
}

static json_t *mend_json(const Audit *audit)
{
    static const char *const word[] = {"not needed", "found", "impossible", "not known"};
    json_t *root = json_object();
    json_object_set_new(root, "status", json_string(word[audit->mend]));
    if (audit->mend == MEND_FOUND || audit->mend == MEND_UNKNOWN)
        json_object_set_new(root, "least_changes", json_integer(audit->least_changes));
    if (audit->mend != MEND_FOUND || !audit->mended.has_pool)
        return root;
    json_object_set_new(root, "changes", json_integer(audit->in + audit->out));
    json_object_set_new(root, "fewest", json_string(audit->fewest ? "proven" : "open"));
    json_object_set_new(root, "fit", json_number_of(audit->mended.check.fit));
    json_object_set_new(root, "bound", json_number_of(audit->mended.bound));
    json_object_set_new(root, "cost", json_money(audit->mended.check.cost));
    json_object_set_new(root, "size", json_integer(audit->mended.check.size));
    json_object_set_new(root, "enters", changes_as_json(audit->change, audit->changes, 1));
    json_object_set_new(root, "leaves", changes_as_json(audit->change, audit->changes, -1));
    return root;
}

bool audit_json(const Instance *instance, const Audit *audit, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *best = json_object();
    json_object_set_new(root, "status", json_string(audit_is_clean(audit) ? "sound" : "broken"));
    json_object_set_new(root, "fit", json_number_of(audit->check.fit));
    json_object_set_new(root, "cost", json_money(audit->check.cost));
    json_object_set_new(root, "pool_owned", json_integer(pool_owned_copies(instance, audit->list->copies)));
    json_object_set_new(root, "size", json_integer(audit->check.size));
    json_object_set_new(root, "broken", broken_json(audit));
    json_object_set_new(root, "rules", limit_uses_json(&audit->check));
    json_object_set_new(root, "exceptions", exceptions_json(instance, audit->list->copies));
    json_object_set_new(root, "watches", watches_json(instance, audit->list->copies, &audit->check));
    json_object_set_new(root, "structure", structure_forms_json(instance, &audit->check));
    json_object_set_new(root, "cards", faults_json(instance, audit));
    json_object_set_new(root, "unknown", unknown_json(audit->list));
    json_object_set_new(best, "status", json_string(answer_status_name(audit->best.status)));
    if (audit->best.has_pool)
        json_object_set_new(best, "fit", json_number_of(audit->best.check.fit));
    if (audit->best.has_pool)
        json_object_set_new(best, "cost", json_money(audit->best.check.cost));
    if (audit->best.has_bound && audit->best.status != ANSWER_INFEASIBLE)
        json_object_set_new(best, "bound", json_number_of(audit->best.bound));
    json_object_set_new(root, "best", best);
    json_object_set_new(root, "mend", mend_json(audit));
    json_object_set_new(root, "stopped", json_boolean(audit->stopped));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}
