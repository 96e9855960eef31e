/* explained.h - explanations as text and JSON (docs/verbs.md, docs/explain.md). Nothing here decides anything; texts
 * are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_EXPLAINED_H
#define POOLWRIGHT_REPORT_EXPLAINED_H

#include <jansson.h>

#include "explain/alternatives.h"
#include "explain/binding.h"
#include "explain/ranging.h"
#include "explain/swap.h"
#include "explain/together.h"
#include "explain/why.h"
#include "programme/reach.h"
#include "report/words/table.h"

/* What `best` was explained by; all parts may be missing (NULL). */
typedef struct Explained {
    Explain *explain;
    Binding *binding; /* [bindings], likeliest first */
    size_t bindings;
    Why *wish; /* [wishes], wished cards that are out, in order of names */
    size_t wishes;
    bool has_conflict; /* when nothing fits */
    Conflict conflict;
    ConflictList list; /* with --all */
    bool has_list;
    bool has_repair;
    Repair repair;
    LimitReach *reach; /* [limits] with a conflict */
    bool has_firmness;
    Rangings firmness;
    bool has_alternatives;
    Alternatives alternatives;
} Explained;

typedef struct {
    bool all_rules; /* also limits that do not help */
    bool verbose;
} ExplainView;

/* One card of `why`. */
void why_text(const Explain *explain, const Why *why, const LimitReach *reach, const ExplainView *view,
              const Style *style, Text *out);
json_t *why_json(const Explain *explain, const Why *why);
/* Several cards of `why` at once: card[count], as they were named. */
void together_text(const Explain *explain, const Together *together, const size_t *card, size_t count,
                   const LimitReach *reach, const ExplainView *view, const Style *style, Text *out);
json_t *together_json(const Explain *explain, const Together *together);
/* A wish that is out, in one line without the card's name: "costs 0.7 fit: ..." */
const char *why_line(const Explain *explain, const Why *why, Arena *arena);

/* A conflict with what each side can come to, and the repair; with: a card forced in, or NULL; reach may be NULL. */
void conflict_text(const Explain *explain, const Conflict *conflict, const char *with, const LimitReach *reach,
                   const Style *style, Text *out);
void conflict_list_text(const Explain *explain, const ConflictList *list, const Style *style, Text *out);
void repair_text(const Explain *explain, const Repair *repair, const Style *style, Text *out);
json_t *conflict_json(const Explain *explain, const Conflict *conflict);
json_t *repair_json(const Explain *explain, const Repair *repair);
void conflict_list_json(const Explain *explain, const ConflictList *list,
                        json_t *root); /* sets conflicts, repairs, complete */

void binding_text(const Explain *explain, const Binding *binding, size_t bindings, bool all, const Style *style,
                  Text *out);
void firmness_text(const Explain *explain, const Rangings *firmness, const Style *style, Text *out);
void alternatives_text(const Explain *explain, const Alternatives *alternatives, const Style *style, Text *out);
void swap_text(const Explain *explain, const Swap *swap, bool all, const Style *style, Text *out);
json_t *swap_json(const Explain *explain, const Swap *swap);

/* All parts of it, as keys of best's JSON. */
void explained_json(const Explained *explained, json_t *root);

/* {"at_least", "at_most"} of what is proven. */
json_t *range_json(const Range *range, bool money);
json_t *moved_json(const Instance *in, const Moved *moved, size_t count);
/* Sets enters and leaves. */
void exchange_json(const Instance *in, const Exchange *exchange, json_t *item);

#endif
