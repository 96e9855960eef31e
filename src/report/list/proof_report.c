/* proof_report.c - what a proof says, or a pool and a proof together. */
#include "report/list/proof_report.h"

#include "report/json/json.h"
#include "report/layout/format.h"

static void add_pool(const ProvenPool *p, Arena *arena, Text *out)
{
    if (p->broken == 0)
        text_printf(out, "%s keeps all limits, with %s of fit.\n", p->pool, format_number(arena, p->fit));
    else
        text_printf(out, "%s does not keep all limits: `poolwright audit` without --proof lists what it breaks.\n",
                    p->pool);
}

void proof_text(const ProvenPool *p, Text *out)
{
    Arena *arena = arena_new();
    if (p->pool != NULL)
        add_pool(p, arena, out);
    text_printf(out, "The proof in %s holds (%s): ", p->proof,
                p->steps == 0   ? "no step is needed"
                : p->steps == 1 ? "1 step"
                                : arena_printf(arena, "%s steps", format_count(arena, (int64_t)p->steps)));
    if (!p->any)
        text_add(out, "no pool keeps all limits.\n");
    else
        text_printf(out, "no pool has more than %s.\n", format_number(arena, p->most));
    if (p->pool != NULL && p->broken == 0 && p->most > p->fit)
        text_printf(out, "So none is better by more than %s.\n", format_number(arena, p->most - p->fit));
    else if (p->pool != NULL && p->broken == 0)
        text_add(out, "So there is no better one.\n");
    arena_free(arena);
}

bool proof_json(const ProvenPool *p, const Diags *notices, Text *out)
{
    json_t *root = json_object();
    json_object_set_new(root, "pool", p->pool != NULL ? json_string(p->pool) : json_null());
    json_object_set_new(root, "proof", json_string(p->proof));
    json_object_set_new(root, "keeps_all_limits", p->pool != NULL ? json_boolean(p->broken == 0) : json_null());
    json_object_set_new(root, "fit", p->pool != NULL ? json_number_of(p->fit) : json_null());
    json_object_set_new(root, "no_pool_has_more_than", p->any ? json_number_of(p->most) : json_null());
    json_object_set_new(root, "steps", json_count(p->steps));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}
