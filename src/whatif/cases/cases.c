/* cases.c - which what-ifs there are, read and solved in which order. How one is solved is in case_solve.c, what
 * differs from the base in case_compare.c. */
#include "whatif/cases/cases_inner.h"

#include "base/text.h"

bool cases_stopped(const CaseBuilder *b)
{
    b->all->stopped = b->all->stopped || search_cancelled(b->options);
    return b->all->stopped;
}

bool cases_is_base(const CaseBuilder *b, const char *case_name, int size)
{
    const Model *model = b->all->loaded[0].instance->model;
    return case_name == NULL && (size == 0 || (model->size_from == size && model->size_to == size));
}

/* ---- what they stand on ---- */

static bool read_one(const CaseBuilder *b, const char *case_name, int size, bool capped, Loaded *loaded, Diags *diags)
{
    const WhatIfPlan *plan = b->plan;
    Overrides overrides = *plan->overrides;
    if (case_name != NULL)
        overrides.case_name = case_name;
    if (size > 0) {
        overrides.has_size = true;
        overrides.size_from = overrides.size_to = size;
    }
    if (capped) { /* so that prices are asked for, and the programme has a row for it */
        overrides.has_cap = true;
        overrides.no_cap = false;
        overrides.cap = plan->cap_to;
    }
    const char *where = case_name != NULL ? arena_printf(b->all->arena, "in case '%s': ", case_name) : "";
    return loaded_read(loaded, plan->subject, &overrides, plan->files, where, diags);
}

/* What cannot be read at another size, but at its own, is refused for that size alone. */
static bool is_size_to_blame(const CaseBuilder *b, const char *case_name, bool capped)
{
    Diags unused;
    Loaded own;
    diags_init(&unused);
    const bool good = read_one(b, case_name, 0, capped, &own, &unused);
    if (good)
        loaded_release(&own);
    diags_release(&unused);
    return good;
}

static void refuse(CaseBuilder *b, const char *case_name, int size, const Diags *found)
{
    for (size_t k = 0; k < found->count; k++) {
        const Diag *item = &found->item[k];
        if (item->kind != DIAG_ERROR)
            continue;
        RefusedSize *refused = &b->all->refused[b->all->refuseds++];
        *refused = (RefusedSize){.name = case_item_name(b->all->arena, case_name, size, false, false, 0),
                                 .text = arena_strdup(b->all->arena, item->text),
                                 .at = item->at};
        refused->at.file = item->at.file != NULL ? arena_strdup(b->all->arena, item->at.file) : NULL;
        return;
    }
}

/* False with errors in diags, unless only this size is refused: then *refused. */
static bool read_ground(CaseBuilder *b, const char *case_name, int size, bool capped, bool *refused)
{
    Diags found;
    diags_init(&found);
    const bool good = read_one(b, case_name, size, capped, &b->all->loaded[b->all->loaded_count], &found);
    *refused = !good && size > 0 && is_size_to_blame(b, case_name, capped);
    if (*refused)
        refuse(b, case_name, size, &found);
    else
        loaded_tell(b->diags, &found, "");
    diags_release(&found);
    b->unread = !good && !*refused;
    b->all->loaded_count += good;
    return !b->unread;
}

/* ---- all of them ---- */

static bool one_ground(CaseBuilder *b, const char *case_name, int size)
{
    const bool capped = b->plan->caps > 0 || b->plan->steps, stays = !capped && cases_is_base(b, case_name, size);
    bool refused = false;
    if (!cases_stopped(b) && !stays && !read_ground(b, case_name, size, capped, &refused))
        return false;
    b->answered = b->answered || !refused;
    if (cases_stopped(b) || stays || refused)
        return true;
    const size_t at = b->all->loaded_count - 1;
    return capped ? case_solve_frontier(b, case_name, size, at)
                  : case_solve_alone(b, case_item_name(b->all->arena, case_name, size, false, false, 0), at);
}

static bool one_case(CaseBuilder *b, const char *case_name)
{
    if (b->plan->sizes == 0)
        return one_ground(b, case_name, 0);
    for (size_t k = 0; k < b->plan->sizes; k++)
        if (!one_ground(b, case_name, b->plan->size[k]))
            return false;
    return true;
}

static bool is_meant(const WhatIfPlan *plan, const char *case_name)
{
    return plan->onlys == 0 || text_find(case_name, plan->only, plan->onlys) >= 0;
}

static bool run_all(CaseBuilder *b)
{
    const Scenario *scenario = b->all->loaded[0].scenario;
    const size_t cases = b->plan->cases ? scenario->cases_count : 0;
    const size_t most = 1 + (cases + 1) * (b->plan->sizes > 0 ? b->plan->sizes : 1);
    Loaded *room = mem_new(most, sizeof *room);
    room[0] = b->all->loaded[0];
    mem_free(b->all->loaded);
    b->all->loaded = room;
    b->all->frontier = mem_new(most, sizeof *b->all->frontier);
    b->all->refused = arena_alloc(b->all->arena, most, sizeof *b->all->refused);
    if (!case_solve_alone(
            b,
            b->plan->overrides->case_name != NULL ? arena_strdup(b->all->arena, b->plan->overrides->case_name) : "base",
            0) ||
        !one_case(b, NULL))
        return false;
    for (size_t k = 0; k < cases; k++)
        if (is_meant(b->plan, scenario->cases[k].name) && !one_case(b, scenario->cases[k].name))
            return false;
    for (size_t k = 0; k < b->all->refuseds && !b->answered; k++) {
        const RefusedSize *refused = &b->all->refused[k];
        diag_error(b->diags, refused->at, "%s: %s", refused->name, refused->text);
        b->unread = true;
    }
    return !b->unread;
}

WhatIf *what_if_read(const WhatIfPlan *plan, Diags *diags)
{
    WhatIf *all = mem_new(1, sizeof *all);
    all->arena = arena_new();
    all->loaded = mem_new(1, sizeof *all->loaded);
    CaseBuilder b = {.plan = plan, .all = all, .diags = diags};
    bool refused;
    if (read_ground(&b, NULL, 0, false, &refused))
        return all;
    what_if_free(all);
    return NULL;
}

bool what_if_run(WhatIf *all, const WhatIfPlan *plan, const SearchOptions *options, bool *unread, Diags *diags)
{
    CaseBuilder b = {.plan = plan, .options = options, .all = all, .diags = diags};
    if (run_all(&b) && cases_compare(&b))
        return true;
    if (unread != NULL)
        *unread = b.unread;
    return false;
}

void what_if_free(WhatIf *what_if)
{
    if (what_if == NULL)
        return;
    for (size_t k = 0; k < what_if->count; k++) {
        answer_release(&what_if->item[k].answer);
        mem_free(what_if->item[k].change);
        exchange_release(&what_if->item[k].nearest);
        mem_free(what_if->item[k].tight);
        causes_release(&what_if->item[k].causes);
        conflict_release(&what_if->item[k].conflict);
        explain_free(what_if->item[k].explain);
    }
    for (size_t k = 0; k < what_if->frontiers; k++)
        frontier_release(&what_if->frontier[k]);
    for (size_t k = 0; k < what_if->loaded_count; k++)
        loaded_release(&what_if->loaded[k]);
    mem_free(what_if->item);
    mem_free(what_if->frontier);
    mem_free(what_if->loaded);
    arena_free(what_if->arena);
    mem_free(what_if);
}
