/* best_first.c - the first screen of `best`: a decision a line, each part in short. */

#include "base/sort.h"
#include "report/text/best_screen.h"
#include "report/words/explain_words.h"
#include "report/words/money.h"
#include "report/whatif_report.h"

#define SHOWN_IN 4  /* wishes by name */
#define SHOWN_OUT 3 /* wishes with what they cost; no more of them: with their causes */

static void add_present(const BestScreen *s)
{
    if (!s->in->has_present)
        return;
    text_printf(s->out, "Present pool: %s", best_changes_counted(s));
    if (s->in->gones > 0)
        text_printf(s->out, "; %zu of it %s no candidate", s->in->gones, s->in->gones == 1 ? "is" : "are");
    size_t again = 0;
    for (size_t k = 0; k < s->sum->change.enter_count; k++)
        again += history_cut(s->in, s->sum->change.enters[k].card) != NULL;
    if (again > 0)
        text_printf(s->out, "; %zu that come%s in %s cut before (--show changes)", again, again == 1 ? "s" : "",
                    again == 1 ? "was" : "were");
    text_add(s->out, ".\n");
}

/* ---- wishes ---- */

/* Can a pool within the limits hold it, as far as is known? */
static bool may_be_in(const Why *wish)
{
    return wish->candidate && !wish->banned && !wish->impossible;
}

static bool cost_known(const Why *wish)
{
    return may_be_in(wish) && wish->loss.has_high;
}

/* What costs least first, then what may cost anything, last what cannot be in. */
static int by_loss(const void *a, const void *b)
{
    const Why *p = *(const Why *const *)a, *q = *(const Why *const *)b;
    if (cost_known(p) && cost_known(q))
        return range_by_high(&p->loss, &q->loss);
    return cost_known(p) != cost_known(q) ? (cost_known(p) ? -1 : 1) : may_be_in(q) - may_be_in(p);
}

void best_wish_names(const BestScreen *s, bool in, size_t most)
{
    NameList list;
    name_list_begin(&list, in ? "in   " : "out  ", most, s->style, s->out);
    for (size_t k = 0; k < s->sum->wishes; k++)
        if ((s->answer->copies[s->sum->wish[k]] > 0) == in)
            name_list_add(&list, s->in->cards->card[s->sum->wish[k]].name);
    name_list_end(&list);
}

void best_wish_causes(const BestScreen *s)
{
    const Explained *x = s->view->explained;
    Table *table = table_new("lll", NULL);
    for (size_t k = 0; k < x->wishes; k++) {
        table_add(table, "out");
        table_add(table, s->in->cards->card[x->wish[k].card].name);
        table_add(table, why_line(x->explain, &x->wish[k], s->arena));
    }
    table_print(table, s->out, s->style);
    table_free(table);
}

/* Those that cost least first. */
static const Why **by_cost(const BestScreen *s, const Explained *x)
{
    const Why **wish = arena_alloc(s->arena, x->wishes, sizeof(Why *));
    for (size_t k = 0; k < x->wishes; k++)
        wish[k] = &x->wish[k];
    sort_stable(wish, x->wishes, sizeof(Why *), by_loss);
    return wish;
}

/* Of more than are shown, in order of cost, the first of it known: do those that are shown cost no more than any other,
 * proven? */
static bool is_cheapest(const Why *const *wish, size_t wishes)
{
    size_t shown = 1;
    while (shown < SHOWN_OUT && cost_known(wish[shown]))
        shown++;
    const int64_t dearest = wish[shown - 1]->loss.high;
    bool cheapest = true;
    for (size_t k = shown; k < wishes && cheapest; k++)
        cheapest = !may_be_in(wish[k]) || (wish[k]->loss.has_low && wish[k]->loss.low >= dearest);
    return cheapest;
}

static const char *about_wishes(const Why *const *wish, size_t wishes)
{
    return !may_be_in(wish[0])         ? "; the others cannot be"
           : !cost_known(wish[0])      ? "; what the others cost was not found out within the effort"
           : is_cheapest(wish, wishes) ? "; of the others these cost least"
                                       : "; of the others these cost least, as far as found out";
}

/* Many: those that cost least. */
static void add_cheapest(const BestScreen *s, const Why *const *wish, size_t wishes)
{
    NameList list;
    name_list_begin(&list, "out  ", SHOWN_OUT, s->style, s->out);
    for (size_t k = 0; k < wishes; k++) {
        const char *name = s->in->cards->card[wish[k]->card].name;
        const char *about = cost_known(wish[k])   ? arena_printf(s->arena, k == 0 ? "costs %s fit" : "%s",
                                                                 words_range(&wish[k]->loss, s->arena))
                            : wish[k]->banned     ? "must stay out"
                            : !may_be_in(wish[k]) ? "in no pool"
                                                  : NULL;
        name_list_add(&list, about == NULL ? name : arena_printf(s->arena, "%s (%s)", name, about));
    }
    name_list_end(&list);
}

void best_wishers(const BestScreen *s)
{
    if (s->sum->wishers == 0)
        return;
    NameList list;
    name_list_begin(&list, "by   ", SIZE_MAX, s->style, s->out);
    for (size_t k = 0; k < s->sum->wishers; k++) {
        const WisherSummary *person = &s->sum->wisher[k];
        name_list_add(&list, arena_printf(s->arena, "%s %d of %d", person->who.name, person->in, person->wishes));
    }
    name_list_end(&list);
}

static void add_wishes(const BestScreen *s)
{
    if (s->sum->wishes == 0)
        return;
    const Explained *x = s->view->explained;
    const bool many = x != NULL && x->wishes > SHOWN_OUT;
    const Why *const *wish = many ? by_cost(s, x) : NULL;
    text_printf(s->out, "\nWishes: %zu of %zu are in%s\n", s->sum->wishes_in, s->sum->wishes,
                many ? about_wishes(wish, x->wishes) : "");
    best_wishers(s);
    if (!many)
        best_wish_names(s, true, SHOWN_IN);
    if (x == NULL || x->wishes == 0)
        best_wish_names(s, false, SHOWN_OUT);
    else if (many)
        add_cheapest(s, wish, x->wishes);
    else
        best_wish_causes(s);
}

static void add_exceptions(const BestScreen *s)
{
    size_t exempt = 0;
    for (size_t e = 0; e < s->in->model->exempts; e++)
        exempt += pool_exempt(s->in, s->answer->copies, e) >= 0;
    if (exempt > 0)
        text_printf(s->out, "\n%zu deliberate exception%s: --show exceptions\n", exempt, exempt == 1 ? "" : "s");
}

void best_first_screen(const BestScreen *s)
{
    add_present(s);
    watches_line(s->in, s->answer->copies, &s->answer->check, " (--show watches)", s->out);
    best_themes(s, false);
    best_colours(s, false);
    add_wishes(s);
    const Explained *x = s->view->explained;
    if (x != NULL && x->explain != NULL && !s->view->rules)
        binding_first_text(x->explain, x->binding, x->bindings, s->style, s->out);
    add_exceptions(s);
    money_text(s->in, s->answer, false, s->style, s->out);
}
