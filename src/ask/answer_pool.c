/* answer_pool.c - the best pool of a state; cards of it; few changes of a pool. */
#include "ask/open_scenario.h"
#include "explain/swaps/nearest.h"
#include "report/explain_report.h"
#include "report/report.h"
#include "report/list/revise_report.h"
#include "report/sheet/pool_book.h"
#include "report/words/money.h"
#include "programme/count/pool_summary.h"
#include "whatif/list/revise.h"

#define NEAREST_EFFORT 12000 /* pivots, as for a case of `what-if` */
#define NEAREST_FULL 200000  /* where everything is asked */

/* Of the pools with the answer's fit the one nearest to `from`, as changes of that. */
static json_t *nearest_json(const Asked *asked, const Answer *answer, const int *from)
{
    const bool full = asked->question->explain == EXPLAIN_FULL;
    const ExplainOptions options = {.engine = asked->search.engine,
                                    .threads = asked->search.threads,
                                    .cancel = asked->search.cancel,
                                    .effort = full ? NEAREST_FULL : NEAREST_EFFORT};
    Explain *explain = explain_new(asked->loaded.instance, answer, &options, asked->diags);
    if (explain == NULL)
        return NULL;
    Exchange exchange = {0};
    json_t *nearest = json_object();
    nearest_exchange_from(explain, from, &exchange);
    exchange_json(asked->loaded.instance, &exchange, nearest);
    exchange_release(&exchange);
    explain_free(explain);
    return nearest;
}

static void set_sheet(json_t *files, const char *name, Text *text)
{
    json_object_set_new(files, name, json_stringn(text_cstr(text), text->length));
    text_release(text);
}

/* The files that `best` would write. NULL with errors. */
static json_t *files_json(const Asked *asked, const Answer *answer)
{
    static const char book_name[] = "pool.xlsx";
    const Instance *in = asked->loaded.instance;
    Text list = {0}, shopping = {0}, book = {0}, packed = {0};
    if (!pool_book(in, answer, false, book_name, &book, asked->diags)) {
        text_release(&book);
        return NULL;
    }
    json_t *files = json_object();
    list_csv(in, answer, false, &list);
    set_sheet(files, "pool.csv", &list);
    shopping_csv(in, answer, &shopping);
    set_sheet(files, "shopping.csv", &shopping);
    text_add_base64(&packed, text_cstr(&book), book.length);
    json_object_set_new(files, book_name, json_pack("{s:s}", "base64", text_cstr(&packed)));
    text_release(&packed);
    text_release(&book);
    return files;
}

json_t *answer_best(Asked *asked)
{
    const bool explains = asked->question->explain != EXPLAIN_NOTHING;
    Answer answer = {0};
    Explained explained = {0};
    json_t *root = NULL, *nearest = NULL, *files = NULL;
    int *from;
    if (!asked_load(asked) || !asked_from(asked, &from) || !asked_solve(asked, &answer))
        return NULL;
    const Inquiry inquiry = asked_inquiry(asked);
    if (explains)
        inquire_screen(&inquiry, &answer, &explained, asked->diags);
    if (asked->diags->errors == 0 && from != NULL && answer.has_pool)
        nearest = nearest_json(asked, &answer, from);
    if (asked->diags->errors == 0 && asked->question->files && answer.has_pool)
        files = files_json(asked, &answer);
    if (asked->diags->errors == 0)
        root = best_json(asked->loaded.instance, &answer, NULL, explains ? &explained : NULL, asked->diags);
    if (root != NULL && nearest != NULL)
        json_object_set(root, "nearest", nearest);
    if (root != NULL && files != NULL)
        json_object_set(root, "files", files);
    json_decref(nearest);
    json_decref(files);
    explained_release(&explained);
    answer_release(&answer);
    return root;
}

/* ---- cards of the pool ---- */

typedef bool Inquire(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                     bool *settled, Diags *diags);
typedef json_t *Tell(const Instance *instance, const Answer *answer, const Explained *all, bool settled,
                     const Diags *notices);

static json_t *about_cards(Asked *asked, const size_t *card, size_t count, Inquire *inquire, Tell *tell)
{
    size_t dear[SUMMARY_DEAREST + 1];
    const Instance *in = asked->loaded.instance;
    const Inquiry inquiry = asked_inquiry(asked);
    Answer answer = {0};
    Explained explained = {0};
    json_t *root = NULL;
    bool settled;
    if (!asked_solve(asked, &answer))
        return NULL;
    if (!inquire_nearer(&inquiry, asked->loaded.programme, &answer, asked->diags)) {
        answer_release(&answer);
        return NULL;
    }
    if (card == NULL && answer.has_pool) {
        count = pool_dearest(in, answer.copies, dear);
        card = dear;
    }
    if (inquire(&inquiry, &answer, card, count, &explained, &settled, asked->diags))
        root = tell(in, &answer, &explained, settled, asked->diags);
    explained_release(&explained);
    answer_release(&answer);
    return root;
}

json_t *answer_why(Asked *asked)
{
    const YamlNode *list = question_value(asked->question, QUESTION_CARDS);
    const size_t *card;
    size_t count;
    if (list == NULL || node_items(list).count == 0) {
        diag_error(asked->diags, list != NULL ? list->at : asked->question->root->at,
                   "the question names no cards, expected \"cards\": [\"Harbour Pilot\"] or the like");
        return NULL;
    }
    if (!asked_load(asked) || !asked_cards(asked, list, &card, &count))
        return NULL;
    return about_cards(asked, card, count, inquire_why, why_cards_json);
}

/* Without cards: the dearest that must be bought. */
json_t *answer_swap(Asked *asked)
{
    const YamlNode *list = question_value(asked->question, QUESTION_CARDS);
    const size_t *card = NULL;
    size_t count = 0;
    if (!asked_load(asked) || (list != NULL && !asked_cards(asked, list, &card, &count)))
        return NULL;
    return about_cards(asked, count > 0 ? card : NULL, count, inquire_swaps, swap_cards_json);
}

/* ---- few changes ---- */

/* `from`, else the scenario's present pool. */
static bool present_pool(const Asked *asked, PoolFile *pool)
{
    const Instance *in = asked->loaded.instance;
    int *copies;
    if (!asked_from(asked, &copies))
        return false;
    if (copies == NULL && !in->has_present) {
        diag_error(asked->diags, asked->question->root->at,
                   "the scenario has no present pool, expected \"from\": [...] with one");
        return false;
    }
    if (copies == NULL) {
        pool_file_present(in, pool);
        return true;
    }
    *pool = (PoolFile){.arena = arena_new(),
                       .path = question_fields.field[QUESTION_FROM].name,
                       .copies = mem_new(in->cards->count, sizeof *pool->copies)};
    for (size_t c = 0; c < in->cards->count; c++)
        pool->listed += pool->copies[c] = copies[c];
    return true;
}

static bool read_plan(const Asked *asked, RevisePlan *plan)
{
    const YamlNode *swaps = question_value(asked->question, QUESTION_SWAPS),
                   *spend = question_value(asked->question, QUESTION_SPEND);
    int64_t most = 0;
    *plan = (RevisePlan){.has_swaps = swaps != NULL, .has_spend = spend != NULL};
    const bool good = (swaps == NULL || read_whole(&asked->context, swaps, 0, 100000,
                                                   question_fields.field[QUESTION_SWAPS].value, &most)) &&
                      (spend == NULL ||
                       read_money(&asked->context, spend, question_fields.field[QUESTION_SPEND].value, &plan->spend));
    plan->swaps = (int)most;
    return good;
}

json_t *answer_revise(Asked *asked)
{
    RevisePlan plan;
    PoolFile pool = {0};
    Revision revision = {0};
    json_t *root = NULL;
    if (!asked_load(asked) || !read_plan(asked, &plan) || !present_pool(asked, &pool))
        return NULL;
    if (revise_run(&asked->loaded, &pool, &plan, &asked->search, &revision, asked->diags)) {
        const Inquiry inquiry = asked_inquiry(asked);
        Explained why = {0};
        const bool has_why = revision.no_pool && inquire_causes(&inquiry, &why, asked->diags);
        if (asked->diags->errors == 0)
            root = revise_json(asked->loaded.instance, &revision, NULL, has_why ? &why : NULL, asked->diags);
        explained_release(&why);
        revise_release(&revision);
    }
    pool_file_release(&pool);
    return root;
}
