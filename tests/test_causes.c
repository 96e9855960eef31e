/* test_causes.c - ways to make a scenario impossible: within their first three lines `check` and `best` name the true
 * cause, and mended, the same scenario has a pool. Then random scenarios with too low a cap: the least cap that is
 * named is tried, and one cent less, by counting every pool (tests/support/tiny_judge.c). POOLWRIGHT_SEED moves the
 * first seed, POOLWRIGHT_SCENARIOS sets how many. The scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/tiny.h"

/* Twelve candidates of which each six make a pool. */
#define HEAD "name,colours,kind,cost,power,price,tags\n"
#define RYE "A,rye,crew,1,5,1.00,bells enabler\nB,rye,crew,2,5,1.00,bells payoff\nC,rye,hull,3,4,2.00,bells both\n"
#define TEAL "D,teal,crew,1,5,1.00,eels enabler\nE,teal,crew,2,5,2.00,eels payoff\nF,teal,hull,4,3,2.00,eels both\n"
#define GOLD "G,rye+teal,crew,2,6,3.00,bells both\nH,rye+teal,hull,3,6,3.00,eels both\n"
#define PORTS "I,rye+teal,port,0,2,1.00,\nJ,rye+teal,port,0,3,1.00,\nK,,port,0,1,1.00,\nL,,hull,5,2,1.00,\n"
#define CARDS HEAD RYE TEAL GOLD PORTS

typedef struct {
    const char *name;
    const char *cards, *mended_cards; /* NULL: as they are */
    const char *model, *mended_model; /* lines behind the head */
    const char *scenario, *mended_scenario;
    const char *size;   /* "size: 6" instead, or NULL */
    const char *phrase; /* in the first three lines */
    const char *kind;   /* of the first cause */
} Way;

#define HEADLESS                                                                                                       \
    "colours: [rye, teal]\nfixing: {kind: port}\nthemes:\n  - {name: bells, colours: rye+teal}\n  - {name: eels, "     \
    "colours: rye+teal}\n"
#define PAYOFFS "rules:\n  - {name: payoffs, each: theme, where: {role: payoff}, at_least: 1}\n"

static const Way way[] = {
    {.name = "no roles",
     .cards = HEAD "A,rye,crew,1,5,1,bells\nB,rye,crew,1,5,1,bells\nC,teal,crew,1,5,1,eels\nD,teal,crew,1,5,1,eels\n"
                   "E,teal,crew,1,5,1,eels\nF,teal,crew,1,5,1,eels\n",
     .mended_cards = CARDS,
     .model = PAYOFFS,
     .phrase = "No card has a role, and 2 limits ask for one",
     .kind = "no roles"},
    {.name = "commas in tags",
     .cards = HEAD "A,rye,crew,1,5,1,\"bells payoff, eels payoff\"\nB,rye,crew,1,5,1,\"bells payoff, eels payoff\"\n"
                   "C,teal,crew,1,5,1,plain both\nD,teal,crew,1,5,1,\nE,teal,crew,1,5,1,\nF,teal,crew,1,5,1,\n",
     .mended_cards = CARDS,
     .model = PAYOFFS,
     .phrase = "2 cards have a tag with commas",
     .kind = "commas in tags"},
    {.name = "commas in some tags only, which no limit shows",
     .cards =
         HEAD RYE TEAL GOLD "I,rye+teal,port,0,2,1.00,\"bells, plain\"\nJ,rye+teal,port,0,3,1.00,\nK,,port,0,1,1.00,\n"
                            "L,,hull,5,2,1.00,\n",
     .model = "",
     .scenario = "keep: [C]\nchange: {rules: {hulls: {exactly: 0}}}\n",
     .mended_scenario = "change: {rules: {hulls: {exactly: 0}}}\n",
     .phrase = "1 card has a tag with commas, which is one tag ('bells, plain'): where several are meant, part them "
               "with ';'. Your own: hulls, exactly 0",
     .kind = "own"},
    {.name = "slashes",
     .cards = HEAD RYE TEAL "G,rye/teal,crew,2,6,3.00,\nH,rye/teal,hull,3,6,3.00,\n",
     .mended_cards = CARDS,
     .model = "rules:\n  - {name: gold cards, where: {class: gold}, at_least: 2}\n",
     .phrase = "2 of 2 multicolour cards are written with /",
     .kind = "slashes"},
    {.name = "cap too low for what blank prices count as",
     .cards = "name,colours,power,price\nA,rye,1,\nB,rye,1,\nC,rye,1,\nD,rye,1,1.00\nE,rye,1,\nF,rye,1,\n",
     .model = "unpriced: 2.00\nspending_cap: 9.00\n",
     .mended_model = "unpriced: 1.60\nspending_cap: 9.00\n",
     .phrase = "5 of 6 candidates have no price and count as 2.00 each.",
     .kind = "cap"},
    {.name = "blank prices leave too few",
     .cards = "name,colours,power,price\nA,rye,1,\nB,rye,1,\nC,rye,1,\nD,rye,1,1.00\nE,rye,1,\nF,rye,1,\n",
     .model = "unpriced: skip\nspending_cap: 9.00\n",
     .mended_model = "unpriced: 1.00\nspending_cap: 9.00\n",
     .phrase = "There is only 1 copy to choose from for a pool of 6; 5 without a price are left out (unpriced: skip).",
     .kind = "size"},
    {.name = "cap too low",
     .model = "",
     .scenario = "change: {spending_cap: 5.99}\n",
     .mended_scenario = "change: {spending_cap: 6.00}\n",
     .phrase = "The cap alone: the limits can be met from 6.00 on; your cap is 5.99",
     .kind = "cap"},
    {.name = "cap too low besides",
     .model = "rules:\n  - {name: late plays, where: {cost: {from: 9}}, at_least: 1}\n",
     .mended_model = "",
     .scenario = "change: {spending_cap: 5.99}\n",
     .mended_scenario = "change: {spending_cap: 6.00}\n",
     .phrase = "Then the cap: the other limits can be met from 6.00 on; your cap is 5.99",
     .kind = "no candidate"},
    {.name = "prices in cents",
     .cards =
         "name,colours,kind,price\nA,rye,crew,100\nB,rye,crew,100\nC,rye,hull,200\nD,teal,crew,100\nE,teal,crew,200\n"
         "F,teal,hull,200\nG,rye+teal,crew,300\n",
     .mended_cards = CARDS,
     .model =
         "spending_cap: 9.00\nrules:\n  - {name: gold money, measure: price, where: {class: gold}, between: [1.00, "
         "6.00]}\n",
     .phrase =
         "Money: without the cap of 9.00 and 1 more limit on money there is a pool. Every price is a whole number, "
         "171.42 on average",
     .kind = "cap"},
    {.name = "two of which there are too few, the worse one first",
     .model = "rules:\n  - {name: crew cards, where: {kind: crew}, at_least: 6}\n"
              "  - {name: late plays, where: {cost: {from: 5}}, at_least: 3}\n",
     .mended_model = "rules:\n  - {name: crew cards, where: {kind: crew}, at_least: 2}\n"
                     "  - {name: late plays, where: {cost: {from: 5}}, at_least: 1}\n",
     .phrase = "Too few cards count for late plays, at least 3 (model.yaml:",
     .kind = "too few"},
    {.name = "keep against ban of a kind",
     .model = "",
     .scenario = "keep: [C]\nchange: {rules: {hulls: {exactly: 0}}}\n",
     .mended_scenario = "change: {rules: {hulls: {exactly: 0}}}\n",
     .phrase = "C must be in",
     .kind = "own"},
    {.name = "a theme too thin",
     .model = "rules:\n  - {name: bell cards, where: {tag: bells}, at_least: 5}\n",
     .mended_model = "rules:\n  - {name: bell cards, where: {tag: bells}, at_least: 4}\n",
     .phrase = "Too few cards count for bell cards, at least 5 (model.yaml:",
     .kind = "too few"},
    {.name = "larger than the candidates",
     .model = "",
     .size = "size: 13\n",
     .phrase = "There are only 12 copies to choose from for a pool of 13.",
     .kind = "size"},
    {.name = "minima over the size",
     .model = "rules:\n  - {name: mono cards, each: colour, where: {class: mono}, at_least: 3}\n"
              "  - {name: ports, where: {class: fixing}, at_least: 1}\n",
     .mended_model = "rules:\n  - {name: mono cards, each: colour, where: {class: mono}, at_least: 3}\n",
     .phrase = "Together 3 limits ask for at least 7 cards; the pool takes 6.",
     .kind = "sum"},
    {.name = "one minimum over the size",
     .model = "rules:\n  - {name: most of them, where: {name: {not: A}}, at_least: 7}\n",
     .mended_model = "rules:\n  - {name: most of them, where: {name: {not: A}}, at_least: 6}\n",
     .phrase = "most of them, at least 7 (model.yaml:8) asks for at least 7 cards; the pool takes 6.",
     .kind = "sum"},
    {.name = "two minima over the size",
     .model = "rules:\n  - {name: most of them, where: {name: {not: A}}, at_least: 7}\n"
              "  - {name: all of them, where: {name: {not: B}}, at_least: 8}\n",
     .mended_model = "",
     .phrase = "all of them, at least 8 (model.yaml:9) asks for at least 8 cards; the pool takes 6.",
     .kind = "sum"},
    {.name = "maxima under the size",
     .model = "rules:\n  - {name: mono cards, each: colour, where: {class: mono}, at_most: 1}\n"
              "  - {name: others, where: {class: {not: mono}}, at_most: 3}\n",
     .mended_model = "rules:\n  - {name: mono cards, each: colour, where: {class: mono}, at_most: 1}\n",
     .phrase = "Together 3 limits allow at most 5 of 6 cards.",
     .kind = "sum"},
    {.name = "one card more than a limit allows",
     .model = "rules:\n  - {name: few, where: {name: {not: [A, B, C, D, E]}}, exactly: 0}\n",
     .mended_model = "rules:\n  - {name: few, where: {name: {not: [A, B, C, D, E]}}, exactly: 1}\n",
     .phrase = "size of the pool, exactly 6 (model.yaml:1) asks for at least 1 card that counts for few, exactly 0",
     .kind = "sum"},
    {.name = "a band no copies fill",
     .model = "rules:\n  - {name: one crew, where: {name: A}, between: [2, 3]}\n",
     .mended_model = "rules:\n  - {name: one crew, where: {name: A}, between: [1, 3]}\n",
     .phrase = "Too few cards count for one crew, at least 2 (model.yaml:",
     .kind = "too few"},
    {.name = "a tag spelt otherwise",
     .cards = HEAD "A,rye,crew,1,5,1,bels payoff\nB,rye,crew,1,5,1,bels payoff\nC,teal,crew,1,5,1,eels payoff\n"
                   "D,teal,crew,1,5,1,\nE,teal,crew,1,5,1,\nF,teal,crew,1,5,1,\n",
     .mended_cards = CARDS,
     .model = PAYOFFS,
     .phrase = "No card has the tag 'bells', and 1 limit asks for it; 2 cards have 'bels'",
     .kind = "spelling"},
    {.name = "a kind spelt otherwise",
     .model = "rules:\n  - {name: hulls, where: {kind: hulls}, at_least: 1}\n",
     .mended_model = "rules:\n  - {name: hulls, where: {kind: hull}, at_least: 1}\n",
     .phrase = "No card has the kind 'hulls', and 1 limit asks for it; 4 cards have 'hull'",
     .kind = "spelling"},
    {.name = "a kind spelt otherwise, and too few besides",
     .model = "rules:\n  - {name: hulls, where: {kind: hulls}, at_least: 1}\n"
              "  - {name: late plays, where: {cost: {from: 5}}, at_least: 3}\n",
     .mended_model = "rules:\n  - {name: hulls, where: {kind: hull}, at_least: 1}\n"
                     "  - {name: late plays, where: {cost: {from: 5}}, at_least: 1}\n",
     .phrase = "Too few cards count for late plays, at least 3 (model.yaml:",
     .kind = "spelling"},
    {.name = "places of a theme that no cards fill",
     .model = "places: {each: colour, theme: 0, for: {rye: {bells: 4}}}\n",
     .mended_model = "places: {each: colour, theme: 0, for: {rye: {bells: 3}}}\n",
     .phrase = "): 3 cards, which fill 3 of its 4 places at most.",
     .kind = "too few"},
    {.name = "a place that no card fills",
     .cards =
         HEAD "A,rye,crew,1,5,1,\nB,rye,crew,1,5,1,\nC,teal,crew,1,5,1,bells\nD,teal,crew,1,5,1,\nE,teal,crew,1,5,1,\n"
              "F,teal,crew,1,5,1,\n",
     .model = "places: {each: colour, theme: 0, for: {rye: {bells: 1}}}\n",
     .mended_model = "places: {each: colour, theme: 0, for: {teal: {bells: 1}}}\n",
     .phrase = "): 2 cards, which fill 0 of its 1 place at most.",
     .kind = "too few"},
    {.name = "no fixing",
     .cards = HEAD RYE TEAL GOLD "I,rye+teal,ports,0,2,1.00,\n",
     .mended_cards = CARDS,
     .model = "rules:\n  - {name: fixing cards, where: {class: fixing}, at_least: 1}\n",
     .phrase = "No card is fixing, which the model says are cards of the kind 'port'",
     .kind = "no fixing"},
    {.name = "fixing of a kind that is there, at a cost that is not",
     .model = "rules:\n  - {name: fixing cards, where: {class: fixing}, at_least: 1}\n",
     .scenario = "change: {fixing: {kind: port, cost: {from: 9}}}\n",
     .mended_scenario = "\n",
     .phrase = "No card counts as fixing, and 1 limit asks for some: see `fixing` in the model.",
     .kind = "no fixing"},
    {.name = "too few at a cost",
     .model = "rules:\n  - {name: late plays, where: {cost: {from: 4}}, at_least: 3}\n",
     .mended_model = "rules:\n  - {name: late plays, where: {cost: {from: 4}}, at_least: 2}\n",
     .phrase = "Too few cards count for late plays, at least 3 (model.yaml:",
     .kind = "too few"},
    {.name = "apart against keeps",
     .model = "apart: [{name: rivals, cards: [A, B], at_most: 1}]\n",
     .scenario = "keep: [A, B]\n",
     .mended_scenario = "keep: [A]\n",
     .phrase =
         "Your own: A must be in (scenario.yaml:3) and B must be in (scenario.yaml:3) cannot all hold beside rivals",
     .kind = "own"},
    {.name = "more keeps than places",
     .model = "",
     .scenario = "keep: [A, B, C, D, E, F, G]\n",
     .mended_scenario = "keep: [A, B, C, D, E, F]\n",
     .phrase = "There are 7 cards to keep for a pool of 6 (model.yaml:1). Without that there is a pool: proven.",
     .kind = "keeps"},
    {.name = "bans thin out a theme",
     .model = "rules:\n  - {name: bell cards, where: {tag: bells}, at_least: 3}\n",
     .scenario = "ban: [A, B]\n",
     .mended_scenario = "ban: [A]\n",
     .phrase =
         "Your own: A must stay out (scenario.yaml:3) and B must stay out (scenario.yaml:3) cannot all hold beside",
     .kind = "own"},
    {.name = "price risk too strict",
     .model = "price_risk: {protect: 6}\nspending_cap: 8.00\n",
     .mended_model = "spending_cap: 8.00\n",
     .scenario = "prices: [prices.csv]\n",
     .phrase = "The price risk: at the prices given there is a pool",
     .kind = "price risk"},
};

#define WAYS (sizeof way / sizeof *way)

/* One rule that a scenario may change has to be there. */
static char *make_folder(const Way *w, bool mended)
{
    char text[4096], *folder = folder_new();
    const char *cards = mended && w->mended_cards != NULL ? w->mended_cards : w->cards,
               *model = mended && w->mended_model != NULL ? w->mended_model : w->model,
               *scenario = mended && w->mended_scenario != NULL ? w->mended_scenario : w->scenario;
    const bool changes = strstr(scenario != NULL ? scenario : "", "hulls") != NULL;
    snprintf(text, sizeof text, "%s" HEADLESS "%s%s", w->size != NULL && !mended ? w->size : "size: 6\n", model,
             changes ? "rules:\n  - {name: hulls, where: {kind: hull}, between: [0, 9]}\n" : "");
    folder_print(folder, "model.yaml", text);
    snprintf(text, sizeof text, "model: model.yaml\ncards: [cards.csv]\n%s", scenario != NULL ? scenario : "");
    folder_print(folder, "scenario.yaml", text);
    folder_print(folder, "cards.csv", cards != NULL ? cards : CARDS);
    folder_print(folder, "prices.csv",
                 "name,price,high\nA,1.00,9.00\nB,1.00,9.00\nD,1.00,9.00\nI,1.00,9.00\nJ,1.00,9.00\n"
                 "K,1.00,9.00\nL,1.00,9.00\n");
    return folder;
}

/* The first three lines of the screen with blanks for their ends. */
static void first_lines(const char *out, char *text, size_t room)
{
    size_t n = 0;
    for (int lines = 0; *out != '\0' && n + 1 < room; out++) {
        if (*out == '\n' && ++lines == 3)
            break;
        text[n++] = *out == '\n' ? ' ' : *out;
    }
    text[n] = '\0';
}

static void expect_named(const char *folder, const Way *w, const char *verb)
{
    char lines[1024];
    Run run;
    run_poolwright(folder, WORDS(verb, "scenario.yaml"), NULL, &run);
    desk_expect_code(&run, 1, w->name);
    first_lines(run.out, lines, sizeof lines);
    if (strstr(lines, w->phrase) == NULL)
        fail_msg("%s, %s: expected '%s' in the first three lines of\n%s", w->name, verb, w->phrase, run.out);
    run_forget(&run);
    run_poolwright(folder, WORDS(verb, "scenario.yaml", "--json"), NULL, &run);
    json_t *root = run_json(&run), *first = json_array_get(json_object_get(root, "causes"), 0);
    assert_string_equal(json_text(first, "kind"), w->kind);
    assert_true(json_is_true(json_object_get(first, "proven")));
    const json_t *enough = json_object_get(first, "enough");
    if (json_array_size(json_object_get(root, "causes")) == 1 && !json_is_true(enough))
        fail_msg("%s, %s: not said to be the cause", w->name, verb);
    const json_t *repair = json_object_get(root, "repair"); /* places have no numbers that a repair changes */
    if (repair != NULL && json_is_true(json_object_get(repair, "impossible")) != (strstr(w->model, "places:") != NULL))
        fail_msg("%s, %s: is there a repair?", w->name, verb);
    json_decref(root);
    run_forget(&run);
}

static void names_the_true_cause(void **state)
{
    (void)state;
    for (size_t k = 0; k < WAYS; k++) {
        char *folder = make_folder(&way[k], false);
        expect_named(folder, &way[k], "check");
        expect_named(folder, &way[k], "best");
        folder_remove(folder);
        free(folder);
    }
}

static void mended_has_a_pool(void **state)
{
    (void)state;
    for (size_t k = 0; k < WAYS; k++) {
        char *folder = make_folder(&way[k], true);
        Run run;
        run_poolwright(folder, WORDS("best", "scenario.yaml"), NULL, &run);
        desk_expect_code(&run, 0, way[k].name);
        run_forget(&run);
        run_poolwright(folder, WORDS("check", "scenario.yaml", "--json"), NULL, &run);
        desk_expect_code(&run, 0, way[k].name);
        json_t *root = run_json(&run);
        assert_true(json_is_true(json_object_get(root, "possible")));
        assert_null(json_object_get(root, "causes"));
        json_decref(root);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* ---- the least cap ---- */

static TinyStatus status_with(Tiny *tiny, int64_t cap)
{
    TinyAnswer answer;
    tiny->command_cap = cap;
    tiny_solve(tiny, &answer);
    return answer.status;
}

static void expect_least(Tiny *tiny, const json_t *cause, uint64_t seed)
{
    const json_t *least = json_object_get(cause, "least_cap");
    if (least == NULL)
        return;
    const int64_t low = json_units(least, "at_least", 100), high = json_units(least, "at_most", 100);
    if (low != high || status_with(tiny, high) != TINY_BEST || status_with(tiny, high - 1) != TINY_INFEASIBLE)
        fail_msg("scenario %llu: the least cap is not %lld to %lld", (unsigned long long)seed, (long long)low,
                 (long long)high);
}

static bool check_cap(uint64_t seed)
{
    Tiny tiny;
    tiny_make(&tiny, seed);
    tiny.size_by_command = tiny.case_named = false;
    tiny.cap_by_command = true;
    for (int c = 0; c < tiny.cards; c++)
        tiny.card[c].status[BY_COMMAND] = 0;
    if (status_with(&tiny, 1000000) != TINY_BEST || status_with(&tiny, 1) != TINY_INFEASIBLE)
        return false;
    char *folder = folder_new();
    Run run;
    tiny_write(&tiny, folder);
    run_poolwright(folder, WORDS("best", "scenario.yaml", "--json", "--cap", "0.01"), NULL, &run);
    json_t *root = run_json(&run), *causes = json_object_get(root, "causes");
    const char *kind = json_text(json_array_get(causes, 0), "kind");
    if (strcmp(kind, "cap") != 0 && strcmp(kind, "price risk") != 0)
        fail_msg("scenario %llu: more money is enough, but the first cause is '%s'", (unsigned long long)seed, kind);
    expect_least(&tiny, json_array_get(causes, 0), seed);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
    return true;
}

static void the_least_cap_is_the_least(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(200);
    int checked = 0;
    for (uint64_t seed = first; seed < first + count; seed++)
        checked += check_cap(seed);
    print_message("%d scenarios with too low a cap\n", checked);
    assert_true((uint64_t)checked * 10 > count);
}

/* With the ban lifted three of ebb cost more than the cap, so the group is one. Counted with the ban in force they
 * could not be three at any cap, which would read as if the cap had no part in it. */
static void what_counts_beside_a_ban(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "model.yaml",
                 "size: 4\ncolours: [ebb, fen]\nspending_cap: 3.00\nrules:\n"
                 "  - {name: monos, where: {class: mono}, between: [3, 3], each: colour}\n");
    folder_print(folder, "cards.csv",
                 "name,colours,power,price,copies,owned,status\nA,ebb,1,4.00,1,0,ban\nB,ebb+fen,4,1.50,1,0,\n"
                 "C,fen,8.5,4.00,2,0,keep\nD,ebb,5.5,2.25,2,0,\nE,ebb+fen,8,0.05,2,0,\nF,fen,4.5,0.50,1,1,\n"
                 "G,fen,7.5,1.50,1,0,\n");
    desk_run(folder, &run, 1, (const char *const[]){"best", "cards.csv", "--model", "model.yaml", NULL});
    desk_expect(run.out, "These 2 cannot hold together (without any one of them, the others can):\n"
                         "  monos (ebb)   exactly 3       model.yaml:5\n"
                         "  spending cap  at most 3.00    model.yaml:3\n");
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* Near the least cap a conflict is of nearly all limits and takes what effort there is. The repair is known all the
 * same, whether all groups are asked for or not: the least cap, and the best pool at it. */
static void the_repair_is_found_beside_a_long_conflict(void **state)
{
    (void)state;
    static const char *const asked[][11] = {
        {"best", "scenarios/small", "--size", "270", "--cap", "30", "--json", NULL},
        {"best", "scenarios/small", "--size", "270", "--cap", "30", "--json", "--all", "--effort", "40k", NULL}};
    json_t *said[2];
    for (int k = 0; k < 2; k++) {
        Run run;
        run_poolwright(".", asked[k], NULL, &run);
        desk_expect_code(&run, 1, "scenarios/small");
        json_t *root = run_json(&run);
        const json_t *cause = json_array_get(json_object_get(root, "causes"), 0),
                     *repair = json_object_get(root, "repair"),
                     *change = json_array_get(json_object_get(repair, "changes"), 0);
        assert_true(json_is_true(json_object_get(repair, "least")) && json_is_true(json_object_get(repair, "best")));
        assert_int_equal(json_array_size(json_object_get(repair, "changes")), 1);
        assert_int_equal(3000 + json_units(change, "by", 100),
                         json_units(json_object_get(cause, "least_cap"), "at_most", 100));
        said[k] = json_deep_copy(repair);
        json_decref(root);
        run_forget(&run);
    }
    assert_true(json_equal(said[0], said[1]));
    json_decref(said[0]);
    json_decref(said[1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_the_true_cause),
        cmocka_unit_test(mended_has_a_pool),
        cmocka_unit_test(the_least_cap_is_the_least),
        cmocka_unit_test(what_counts_beside_a_ban),
        cmocka_unit_test(the_repair_is_found_beside_a_long_conflict),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
