/* revise_json.c - a revision as JSON; the schema is in docs/verbs.md. */
#include "report/explain_report.h"
#include "report/json/json.h"
#include "report/list/revise_report.h"
#include "report/words/history.h"
#include "report/words/money.h"

static json_t *point_json(const Instance *in, const Revision *revision, const RevisePoint *p)
{
    json_t *root = json_object();
    const Answer *a = &p->answer;
    json_object_set_new(root, "swaps", json_integer(p->swaps));
    json_object_set_new(root, "status", json_string(answer_status_name(a->status)));
    json_set_bound(root, a);
    if (!a->has_pool)
        return root;
    size_t changes;
    PoolChange *change = pool_changes(in, revision->present->copies, in, a->copies, &changes);
    json_object_set_new(root, "fit", json_number_of(a->check.fit));
    json_object_set_new(root, "cost", json_money(a->check.cost));
    json_object_set_new(root, "paid", json_money(in->paid));
    json_object_set_new(root, "left",
                        in->model->has_cap ? json_money(instance_cap_left(in) - a->check.cost) : json_null());
    json_object_set_new(root, "pool_owned", json_integer(pool_owned_copies(in, a->copies)));
    json_object_set_new(root, "size", json_integer(a->check.size));
    json_object_set_new(root, "spent", json_money(p->spent));
    json_object_set_new(root, "out", json_integer(p->out));
    json_object_set_new(root, "in", json_integer(p->in));
    json_object_set_new(root, "enters", changes_as_json(change, changes, 1));
    json_object_set_new(root, "leaves", changes_as_json(change, changes, -1));
    mem_free(change);
    return root;
}

static json_t *ranks_json(const Revision *revision)
{
    json_t *list = json_array();
    for (size_t k = 0; k < revision->ranks; k++) {
        const RankedSwap *swap = &revision->rank[k];
        json_t *entry = json_object();
        json_object_set_new(entry, "gain", json_number_of(swap->gain));
        json_object_set_new(entry, "spent", json_money(swap->spent));
        json_object_set_new(entry, "enters", changes_as_json(swap->change, swap->changes, 1));
        json_object_set_new(entry, "leaves", changes_as_json(swap->change, swap->changes, -1));
        json_array_append_new(list, entry);
    }
    return list;
}

static json_t *newcomers_json(const Instance *in, const Revision *revision)
{
    static const char *const word[] = {"in", "near miss", "no", "impossible", "not known"};
    json_t *list = json_array();
    for (size_t k = 0; k < revision->newcomers; k++) {
        const Newcomer *n = &revision->newcomer[k];
        json_t *entry = json_object();
        json_object_set_new(entry, "name", json_string(in->cards->card[n->card].name));
        json_object_set_new(entry, "verdict", json_string(word[n->kind]));
        json_object_set_new(entry, "fit", json_number_of(in->fit[n->card]));
        if (n->kind <= NEW_OUT && n->worth_high >= 0) {
            json_object_set_new(entry, "worth_at_least",
                                json_number_of(n->kind == NEW_IN ? n->worth_low : -n->worth_high));
            json_object_set_new(entry, "worth_at_most",
                                json_number_of(n->kind == NEW_IN ? n->worth_high : -n->worth_low));
            json_object_set_new(entry, "instead_of",
                                changes_as_json(n->change, n->changes, n->kind == NEW_IN ? 1 : -1));
        }
        json_array_append_new(list, entry);
    }
    return list;
}

static json_t *accepted_json(const Accepted *accepted)
{
    json_t *list = json_array();
    Arena *arena = arena_new();
    for (size_t k = 0; k < accepted->lines; k++) {
        const JournalLine *line = &accepted->line[k];
        json_t *item = json_pack("{s:s, s:s, s:s, s:i, s:s}", "date", date_text(arena, line->day), "change",
                                 journal_change_name(line->change), "card", line->card, "copies", line->copies,
                                 "reason", line->reason);
        json_object_set_new(item, "price", line->has_price ? json_money(line->price) : json_null());
        json_array_append_new(list, item);
    }
    arena_free(arena);
    return list;
}

/* The pool that is revised. */
static json_t *present_json(const Instance *in, const PoolFile *present)
{
    PoolCheck check;
    pool_check(in, present->copies, &check);
    json_t *item = json_object();
    json_object_set_new(item, "path", json_string(present->path));
    json_object_set_new(item, "size", json_integer(check.size));
    json_object_set_new(item, "fit", json_number_of(check.fit));
    json_object_set_new(item, "kept", json_boolean(check.kept));
    json_object_set_new(item, "broken", json_count(pool_broken_limits(&check)));
    json_object_set_new(item, "unknown", json_count(present->unknowns));
    pool_check_release(&check);
    return item;
}

json_t *revise_json(const Instance *instance, const Revision *revision, const RevisedFiles *files, const Explained *why,
                    const Diags *notices)
{
    json_t *root = json_object(), *points = json_array();
    json_object_set_new(root, "present", present_json(instance, revision->present));
    json_set_impossible(root, revision->impossible, revision->possible);
    json_object_set_new(root, "stopped", json_boolean(revision->stopped));
    json_object_set_new(root, "least_swaps", json_integer(revision->least_swaps));
    json_object_set_new(root, "least_swaps_exact", json_boolean(revision->least_exact));
    if (revision->has_least_spend)
        json_object_set_new(root, "least_spend",
                            json_pack("{s:o,s:o}", "at_least", json_money(revision->least_spend), "at_most",
                                      json_money(revision->enough_spend)));
    if (revision->swaps_never)
        json_object_set_new(root, "swaps_never", json_true());
    if (why != NULL)
        json_object_set_new(root, "causes", causes_json(why->explain, &why->causes));
    for (size_t k = 0; k < revision->points; k++)
        json_array_append_new(points, point_json(instance, revision, &revision->point[k]));
    json_object_set_new(root, "points", points);
    json_object_set_new(root, "knee",
                        revision->knee >= 0 ? json_integer(revision->point[revision->knee].swaps) : json_null());
    json_object_set_new(root, "one_by_one", ranks_json(revision));
    json_object_set_new(root, "one_by_one_ends", json_string(revision->rank_ends ? "proven" : "open"));
    json_object_set_new(root, "new", newcomers_json(instance, revision));
    bool *proposed = revise_proposed(instance, revision);
    json_object_set_new(root, "cut_before", history_cuts_json(instance, proposed));
    mem_free(proposed);
    if (files != NULL && files->accepted != NULL)
        json_object_set_new(root, "journal", files->journal != NULL ? accepted_json(files->accepted) : json_array());
    json_object_set_new(root, "notices", json_notices(notices));
    return root;
}
