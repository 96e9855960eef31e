/* starter_from.c - the model of a pool that is there: each count of it as a band of a tenth around it, so that the pool
 * itself meets every limit. */
#include "report/starter/starter_from.h"

#include <stdio.h>

#define KIND_SHARE 20 /* a kind that one card in so many has gets a rule */

typedef struct {
    const StarterFound *found;
    const int *copies; /* [cards] of each in the pool */
    const char *file;
    Text *out;
} From;

static void add_band(const From *f, int count)
{
    text_printf(f->out, "[%d, %d]", count * 9 / 10, (count * 11 + 9) / 10);
}

/* One rule without members. */
static void add_whole(const From *f, const char *name, const char *where, int count)
{
    if (count == 0)
        return;
    text_add(f->out, "  - {name: ");
    starter_quoted(f->out, name);
    text_printf(f->out, ", where: {%s}, between: ", where);
    add_band(f, count);
    text_printf(f->out, "}   # %s: %d\n", f->file, count);
}

/* A rule whose members each have a band of their own. */
static void begin_each(const From *f, const char *name, const char *each, const char *rest)
{
    text_printf(f->out, "  - name: %s\n    each: %s\n%s    for:\n", name, each, rest);
}

static void add_member(const From *f, const char *member, int count)
{
    text_add(f->out, "      ");
    starter_quoted(f->out, member);
    text_add(f->out, ": {between: ");
    add_band(f, count);
    text_printf(f->out, "}   # %s: %d\n", f->file, count);
}

static void add_colours(const From *f, const char *name, const char *where, const int *count)
{
    const StarterPlan *plan = &f->found->plan;
    int all = 0;
    for (size_t c = 0; c < plan->colours; c++)
        all += count[c];
    if (all == 0)
        return;
    Text rest = {0};
    text_printf(&rest, "    where: {class: mono%s}\n", where);
    begin_each(f, name, "colour", text_cstr(&rest));
    text_release(&rest);
    for (size_t c = 0; c < plan->colours; c++)
        add_member(f, plan->colour[c], count[c]);
}

static void add_pairs(const From *f)
{
    const StarterPlan *plan = &f->found->plan;
    const Supply *supply = &f->found->supply;
    size_t pair = 0;
    bool begun = false;
    for (size_t a = 0; a < plan->colours; a++)
        for (size_t b = a + 1; b < plan->colours; b++, pair++) {
            if (supply->pair[pair] == 0)
                continue;
            if (!begun)
                begin_each(f, "gold cards of a pair", "pair", "    where: {class: gold}\n");
            begun = true;
            Text name = {0};
            text_printf(&name, "%s+%s", plan->colour[a], plan->colour[b]);
            add_member(f, text_cstr(&name), supply->pair[pair]);
            text_release(&name);
        }
}

/* Copies of cards that cost so much, fixing left out. */
static int costing(const From *f, int64_t from, int64_t to)
{
    const Intake *intake = f->found->intake;
    int count = 0;
    for (size_t i = 0; i < intake->cards->count; i++) {
        const Card *card = &intake->cards->card[i];
        if (card->has_cost && card->cost >= from && card->cost <= to && !supply_is_fixing(intake, card))
            count += f->copies[i];
    }
    return count;
}

static bool costs_are_whole(const CardSet *cards)
{
    for (size_t i = 0; i < cards->count; i++)
        if (cards->card[i].has_cost && cards->card[i].cost % 1000 != 0)
            return false;
    return true;
}

static void add_curve(const From *f)
{
    const bool fixing = f->found->intake->fixing != NULL, whole = costs_are_whole(f->found->intake->cards);
    char where[80];
    static const struct {
        const char *name, *cost, *whole_cost;
        int64_t from, to;
    } step[] = {{"early plays", "{to: 2}", "{to: 2}", 0, 2000},
                {"middle plays", "{from: 2.001, to: 4}", "{from: 3, to: 4}", 2001, 4000},
                {"late plays", "{from: 4.001}", "{from: 5}", 4001, INT64_MAX}};
    for (size_t k = 0; k < 3; k++) {
        snprintf(where, sizeof where, "%scost: %s", fixing ? "class: {not: fixing}, " : "",
                 whole ? step[k].whole_cost : step[k].cost);
        add_whole(f, step[k].name, where, costing(f, step[k].from, step[k].to));
    }
}

static void add_kinds(const From *f)
{
    const CardSet *set = f->found->intake->cards;
    int *count = mem_new(set->kinds, sizeof *count);
    for (size_t i = 0; i < set->count; i++)
        for (size_t k = 0; k < set->card[i].kinds; k++)
            count[set->card[i].kind[k]] += f->copies[i];
    for (size_t k = 0; k < set->kinds; k++) {
        Text name = {0}, where = {0};
        text_printf(&name, "kind %s", set->kind[k]);
        text_add(&where, "kind: ");
        starter_quoted(&where, set->kind[k]);
        if (count[k] * KIND_SHARE >= f->found->plan.size)
            add_whole(f, text_cstr(&name), text_cstr(&where), count[k]);
        text_release(&name);
        text_release(&where);
    }
    mem_free(count);
}

static void add_themes(const From *f)
{
    const Intake *intake = f->found->intake;
    if (intake->themes == 0)
        return;
    begin_each(f, "cards of a theme", "theme", "    scope: tagged\n");
    for (size_t t = 0; t < intake->themes; t++) {
        const int tag = card_tag(intake->cards, intake->theme[t].name);
        int count = 0;
        for (size_t i = 0; i < intake->cards->count && tag >= 0; i++)
            count += card_has_tag(&intake->cards->card[i], tag) != NULL ? f->copies[i] : 0;
        add_member(f, intake->theme[t].name, count);
    }
}

static void add_removal(const From *f)
{
    const char *removal = f->found->intake->removal;
    if (removal == NULL)
        return;
    Text where = {0};
    text_add(&where, ", ");
    starter_tagged(f->found->intake, removal, &where);
    add_colours(f, "removal", text_cstr(&where), f->found->supply.removal);
    text_release(&where);
}

void starter_from_model(const StarterFound *found, const int *copies, const char *file, Text *out)
{
    const From f = {.found = found, .copies = copies, .file = file, .out = out};
    const Supply *supply = &found->supply;
    text_printf(
        out,
        "# The rules of the pool, taken from %s: every count of it, give or take a tenth. Take out what does not "
        "matter,\n# and set your own numbers; behind each stands what the pool has. Add candidates to the "
        "scenario, and `best` has a choice.\n\n",
        file);
    starter_found_head(found, out);
    text_add(out, "rules:\n");
    add_colours(&f, "mono cards", "", supply->mono);
    add_whole(&f, "gold cards", "class: gold", supply->gold);
    add_pairs(&f);
    add_whole(&f, "hybrid cards", "class: hybrid", supply->hybrid);
    add_whole(&f, "colourless cards", "class: colourless", supply->colourless);
    add_whole(&f, "fixing", "class: fixing", supply->fixing);
    add_curve(&f);
    add_removal(&f);
    add_kinds(&f);
    add_themes(&f);
}
