/* answer_seats.c - what one seat sees of a pool: of one that is given, else of the best of the state. */
#include "ask/open_scenario.h"
#include "report/seats/seats_report.h"

#define SEATS_MOST 1000

typedef struct {
    int64_t seats; /* 0: not said */
    Package package;
} SeatsPlan;

static bool read_plan(const Asked *asked, SeatsPlan *plan)
{
    const YamlNode *seats = question_value(asked->question, QUESTION_SEATS),
                   *package = question_value(asked->question, QUESTION_PACKAGE);
    const char *expected = question_fields.field[QUESTION_PACKAGE].value, *text = USUAL_PACKAGE;
    plan->seats = 0;
    if (seats != NULL &&
        !read_whole(&asked->context, seats, 1, SEATS_MOST, question_fields.field[QUESTION_SEATS].value, &plan->seats))
        return false;
    if (package != NULL && !read_text(&asked->context, package, expected, &text))
        return false;
    if (package_read(text, &plan->package))
        return true;
    report_unexpected(&asked->context, package, expected);
    return false;
}

/* `from`, else the pool that best names in the state; in the arena. False with an error. */
static bool find_pool(const Asked *asked, int **copies)
{
    const size_t cards = asked->loaded.instance->cards->count;
    Answer answer = {0};
    if (!asked_from(asked, copies) || (*copies == NULL && !asked_solve(asked, &answer)))
        return false;
    if (*copies != NULL)
        return true;
    if (answer.has_pool) {
        *copies = arena_alloc(asked->context.arena, cards, sizeof **copies);
        for (size_t c = 0; c < cards; c++)
            (*copies)[c] = answer.copies[c];
    } else
        diag_error(asked->diags, asked->question->root->at,
                   answer.status == ANSWER_INFEASIBLE ? "no pool meets all limits, so no seat sees one"
                                                      : "stopped before a pool was found");
    answer_release(&answer);
    return *copies != NULL;
}

/* How many sit down where the question does not say: as many as the model says, or as the pool serves. */
static int usual_seats(const Model *model, int pool)
{
    const int each = model->packs * model->pack_size, served = each > 0 ? pool / each : 0;
    return served >= 1 && served < model->seats ? served : model->seats;
}

json_t *answer_seats(Asked *asked)
{
    SeatsPlan plan;
    Drafting drafting;
    Seats seats;
    SeatsBeside beside;
    int *copies, pool = 0;
    if (!read_plan(asked, &plan) || !asked_load(asked) || !find_pool(asked, &copies))
        return NULL;
    const Instance *in = asked->loaded.instance;
    for (size_t c = 0; c < in->cards->count; c++)
        pool += copies[c];
    const YamlNode *said = question_value(asked->question, QUESTION_SEATS);
    const SourcePos at = said != NULL ? said->at : asked->question->root->at;
    const int sit = plan.seats > 0 ? (int)plan.seats : usual_seats(in->model, pool);
    if (!seats_table(in->model, sit, pool, at, &drafting, asked->diags))
        return NULL;
    seats_count(in, copies, 0, &drafting, &plan.package, &seats);
    seats_beside(in, copies, 0, &plan.package, &beside);
    json_t *root = seats_json(&seats, 0, &beside, asked->diags);
    seats_beside_release(&beside);
    seats_release(&seats);
    return root;
}
