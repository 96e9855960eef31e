/* pool_share.c - see pool_share.h. Columns: the pool's cards, then one for all cards that are no candidates. Rows: the
 * size, then the groups. */
#include "decks/pool_share.h"

#include "base/number.h"
#include "base/random.h"

#define WITHIN_MOST 8
#define WEIGHTS 1000
/* Any part will do: how near its random weight is to the greatest does not matter. */
#define GAP_PPM 20000

typedef struct {
    const Instance *in;
    const int *copies;
    int others, pool;
    Part *part;
    bool *is_in; /* [groups x cards] */
} PartProblem;

/* ---- groups ---- */

typedef enum { OF_CLASS, OF_COLOUR, OF_THEME, OF_ENABLERS, OF_PAYOFFS, OF_COUNT } GroupKind;
static const char *const kind_name[OF_COUNT] = {"class", "colour", "theme", "enablers", "payoffs"};

static size_t groups_of(const Model *model, GroupKind kind)
{
    return kind == OF_CLASS ? CLASS_COUNT : kind == OF_COLOUR ? model->colours : model->themes;
}

static bool in_group(const Instance *in, GroupKind kind, size_t of, size_t c)
{
    const ColourNeed *colours = &in->cards->card[c].colours;
    if (kind == OF_CLASS)
        return in->class[c] == (CardClass)of;
    if (kind == OF_COLOUR)
        return colours_touching(colours, (ColourMask)(1U << of));
    const CardTag *tag = instance_theme_tag(in, of, c);
    return tag != NULL && colours_playable(colours, in->model->theme[of].colours) &&
           (kind == OF_THEME || (kind == OF_ENABLERS ? role_is_enabler(tag->role) : role_is_payoff(tag->role)));
}

/* Groups that the pool has no card of are left out. */
static void list_groups(PartProblem *p)
{
    const Model *model = p->in->model;
    const size_t cards = p->in->cards->count, most = CLASS_COUNT + model->colours + 3 * model->themes;
    p->part->group = arena_alloc(p->part->arena, most, sizeof *p->part->group);
    p->is_in = mem_new(most * cards, sizeof *p->is_in);
    for (GroupKind kind = OF_CLASS; kind < OF_COUNT; kind++)
        for (size_t of = 0; of < groups_of(model, kind); of++) {
            PartGroup *group = &p->part->group[p->part->groups];
            bool *is_in = p->is_in + p->part->groups * cards;
            *group = (PartGroup){.kind = kind_name[kind],
                                 .name = kind == OF_CLASS    ? class_name((CardClass)of)
                                         : kind == OF_COLOUR ? model->colour[of]
                                                             : model->theme[of].name};
            for (size_t c = 0; c < cards; c++) {
                is_in[c] = in_group(p->in, kind, of, c);
                group->pool += is_in[c] ? p->copies[c] : 0;
            }
            p->part->groups += group->pool > 0;
        }
}

/* ---- the programme ---- */

static void build(const PartProblem *p, uint64_t seed, SearchProblem *problem)
{
    const size_t cards = p->in->cards->count;
    const int columns = (int)cards + 1;
    Random random = random_stream(seed, 1);
    size_t entries = 0;
    search_problem_init(problem, columns, 1 + (int)p->part->groups, (size_t)columns * (1 + p->part->groups));
    for (int k = 0; k < columns; k++) {
        const int most = k < columns - 1 ? p->copies[k] : p->others;
        problem->start[k] = entries;
        problem->high[k] = most;
        problem->kind[k] = most <= 1 ? SEARCH_BINARY : SEARCH_INTEGER;
        problem->objective[k] = random_below(&random, WEIGHTS);
        problem->row[entries] = 0;
        problem->value[entries++] = 1;
        for (size_t g = 0; g < p->part->groups && k < columns - 1; g++)
            if (p->is_in[g * cards + (size_t)k]) {
                problem->row[entries] = 1 + (int)g;
                problem->value[entries++] = 1;
            }
    }
    problem->start[columns] = entries;
    problem->row_low[0] = problem->row_high[0] = p->part->size;
}

/* |part x pool size - pool x part size| <= within x pool size */
static void set_groups(const PartProblem *p, int within, Search *search)
{
    for (size_t g = 0; g < p->part->groups; g++) {
        const int128 share = (int128)p->part->group[g].pool * p->part->size, slack = (int128)within * p->pool;
        search_set_row(search, 1 + (int)g, (int64_t)ceil_div(share - slack, p->pool),
                       (int64_t)floor_div(share + slack, p->pool));
    }
}

static void take_part(const PartProblem *p, const int64_t *x)
{
    const size_t cards = p->in->cards->count;
    for (size_t c = 0; c < cards; c++) {
        p->part->copies[c] = (int)x[c];
        for (size_t g = 0; g < p->part->groups; g++)
            p->part->group[g].part += p->is_in[g * cards + c] ? (int)x[c] : 0;
    }
    p->part->others = (int)x[cards];
}

static bool solve(const PartProblem *p, const SearchProblem *problem, const SearchOptions *asked, const char **why)
{
    Search *search = search_new(problem);
    SearchOptions options = *asked;
    options.gap_ppm = GAP_PPM;
    options.eager = 0;
    options.start = NULL;
    bool proven = true;
    for (int within = 1; within <= WITHIN_MOST && !p->part->found && *why == NULL; within++) {
        SearchResult result;
        set_groups(p, within, search);
        search_run(search, &options, &result);
        *why = result.why_failed;
        if (result.has_solution) {
            take_part(p, result.x);
            p->part->found = true;
            p->part->within = within;
            p->part->none_nearer = proven && within > 1;
        }
        proven = proven && result.status == SEARCH_INFEASIBLE;
        search_result_release(&result);
        if (search_cancelled(&options))
            break;
    }
    search_free(search);
    return *why == NULL;
}

bool part_find(const Instance *in, const int *copies, int others, int size, uint64_t seed, const SearchOptions *options,
               Part *part, const char **why)
{
    *part = (Part){.arena = arena_new(), .size = size};
    part->copies = arena_alloc(part->arena, in->cards->count, sizeof *part->copies);
    PartProblem p = {.in = in, .copies = copies, .others = others, .pool = others, .part = part};
    for (size_t c = 0; c < in->cards->count; c++)
        p.pool += copies[c];
    list_groups(&p);
    SearchProblem problem;
    build(&p, seed, &problem);
    *why = search_problem_trouble(&problem);
    const bool good = *why == NULL && solve(&p, &problem, options, why);
    search_problem_release(&problem);
    mem_free(p.is_in);
    return good;
}

void part_release(Part *part)
{
    arena_free(part->arena);
    *part = (Part){0};
}
