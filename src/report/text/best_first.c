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

static int by_loss(const void *a, const void *b)
{
    return range_by_high(&(*(const Why *const *)a)->loss, &(*(const Why *const *)b)->loss);
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

/* Of more than are shown, in order of cost: do those that are shown cost no more than any other, proven? */
static bool is_cheapest(const Why *const *wish, size_t wishes)
{
    const Range *dearest = &wish[SHOWN_OUT - 1]->loss;
    bool cheapest = dearest->has_high;
    for (size_t k = SHOWN_OUT; k < wishes && cheapest; k++)
        cheapest = !wish[k]->candidate || wish[k]->banned || wish[k]->impossible ||
                   (wish[k]->loss.has_low && wish[k]->loss.low >= dearest->high);
    return cheapest;
}

/* Many: those that cost least. */
static void add_cheapest(const BestScreen *s, const Why *const *wish, size_t wishes)
{
    NameList list;
    name_list_begin(&list, "out  ", SHOWN_OUT, s->style, s->out);
    for (size_t k = 0; k < wishes; k++) {
        const char *name = s->in->cards->card[wish[k]->card].name;
        const char *cost = wish[k]->loss.has_high ? words_range(&wish[k]->loss, s->arena) : NULL;
        name_list_add(
            &list, cost == NULL ? name : arena_printf(s->arena, k == 0 ? "%s (costs %s fit)" : "%s (%s)", name, cost));
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
                !many                          ? ""
                : !wish[0]->loss.has_high      ? "; what the others cost was not found out within the effort"
                : is_cheapest(wish, x->wishes) ? "; of the others these cost least"
                                               : "; of the others these cost least, as far as found out");
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
