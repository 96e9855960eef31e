/* explain_report.h - explanations as text and JSON (docs/verbs.md, docs/explain.md). Nothing here decides anything;
 * texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_EXPLAIN_REPORT_H
#define POOLWRIGHT_REPORT_EXPLAIN_REPORT_H

#include <jansson.h>

#include "explain/findings.h"
#include "explain/swaps/swap.h"
#include "explain/conflict/together.h"
#include "report/layout/table.h"

typedef struct {
    bool all_rules; /* also limits that do not help */
    bool verbose;
} ExplainView;

/* The sentences of why_text, a line each, without limits, names of cards that would leave or enter, and places in
 * files. */
void why_sentences_text(const Explain *explain, const Why *why, Text *out);
/* One card of `why`. */
void why_text(const Explain *explain, const Why *why, const LimitReach *reach, const ExplainView *view,
              const Style *style, Text *out);
json_t *why_json(const Explain *explain, const Why *why);
/* Several cards of `why` at once. */
void together_text(const Explained *all, const ExplainView *view, const Style *style, Text *out);
json_t *together_json(const Explain *explain, const Together *together);
/* A wish that is out, in one line without the card's name: "costs 0.7 fit: ..." */
const char *why_line(const Explain *explain, const Why *why, Arena *arena);

/* Why there is no pool, a sentence for each cause. indent: before each line. */
void causes_text(const Explain *explain, const Causes *causes, const char *indent, const Style *style, Text *out);
json_t *causes_json(const Explain *explain, const Causes *causes);
/* The sentence of causes_text for the k-th, without the end of its line; nothing where it is told with one before. */
void cause_sentence(const Explain *explain, const Causes *causes, size_t k, Text *out);
/* All that is known where nothing fits, below the sentence that says so: causes, a conflict, a repair. */
void nothing_fits_text(const Explained *all, const Style *style, Text *out);
json_t *side_json(const Side *side);
json_t *sides_json(const Explain *explain, const int *side, int sides); /* side[sides] */

/* A conflict with what each side can come to, and the repair; with: a card forced in, or NULL; reach may be NULL. */
void conflict_text(const Explain *explain, const Conflict *conflict, const char *with, const LimitReach *reach,
                   const Style *style, Text *out);
void conflict_list_text(const Explain *explain, const ConflictList *list, const Style *style, Text *out);
void repair_text(const Explain *explain, const Repair *repair, const Style *style, Text *out);
json_t *conflict_json(const Explain *explain, const Conflict *conflict);
/* What of the limits: those that cost fit; also those of which nothing is gained; of these the first, others counted.
 */
typedef enum { BINDINGS_STEPS, BINDINGS_ALL, BINDINGS_FIRST } BindingsShown;
void binding_text(const Explain *explain, const Binding *binding, size_t bindings, BindingsShown shown,
                  const Style *style, Text *out);
/* The first few limits that cost fit, a line each. */
void binding_first_text(const Explain *explain, const Binding *binding, size_t bindings, const Style *style, Text *out);
/* full: every card that is not sure; else the likeliest to change. */
void firmness_text(const Explain *explain, const Rangings *firmness, bool full, const Style *style, Text *out);
void alternatives_text(const Explain *explain, const Alternatives *alternatives, const Style *style, Text *out);
void swap_text(const Explain *explain, const Swapped *swapped, bool all, const Style *style, Text *out);
/* A line for each card: the best single card in its place, and what rearranging does. */
void swap_list_text(const Explain *explain, const Swapped *swapped, size_t count, const Style *style, Text *out);
json_t *swap_json(const Explain *explain, const Swapped *swapped);

/* The whole answers of `why` and `swap`. The answer is what the cards are measured against. */
json_t *why_cards_json(const Instance *instance, const Answer *answer, const Explained *all, bool settled,
                       const Diags *notices);
json_t *swap_cards_json(const Instance *instance, const Answer *answer, const Explained *all, bool settled,
                        const Diags *notices);

/* All parts of it, as keys of best's JSON. */
void explained_json(const Explained *explained, json_t *root);

/* {"at_least", "at_most"} of what is proven. */
json_t *range_json(const Range *range, bool money);
json_t *copies_json(const Instance *in, const int *copies); /* of a pool, the cards that are in it */
/* Sets enters and leaves. */
void exchange_json(const Instance *in, const Exchange *exchange, json_t *item);

#endif
