/* test_claims.c - nothing more is said than is known: pools that contradict what was proven, verdicts at their very
 * limit, and what was not found out. The small scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "programme/answer.h"
#include "support/desk.h"
#include "support/lab.h"

/* ---- what the search says against what is counted ---- */

typedef struct {
    Lab lab;
    Programme *programme;
    SearchOptions options;
    int64_t x[8];
    SearchResult result;
} Found;

/* Two cards of power 2 and 3, one of which is the pool: the second, as if a search had found it. */
static void found_open(Found *f)
{
    static const int copies[] = {0, 1};
    *f = (Found){0};
    lab_model(&f->lab, "size: 1\ncolours: [rye]\n", "");
    lab_file(&f->lab, "c.csv", "name,colours,power\nAnvil,rye,2\nBucket,rye,3\n");
    assert_true(lab_read(&f->lab, "s.yaml"));
    f->programme = programme_new(f->lab.instance, &f->lab.diags);
    assert_non_null(f->programme);
    assert_true(f->programme->problem.columns <= 8);
    programme_solution(f->programme, copies, f->x);
    search_options_default(&f->options);
    f->result = (SearchResult){.status = SEARCH_BEST, .has_solution = true, .x = f->x, .value = 3000, .bound = 3000};
}

static void found_close(Found *f)
{
    programme_free(f->programme);
    lab_close(&f->lab);
}

static void expect_fault(Found *f, const char *what)
{
    Answer answer;
    assert_false(answer_take(f->programme, &f->options, &f->result, true, &answer, &f->lab.diags));
    char *said = diags_text(&f->lab.diags);
    desk_expect(said, "internal fault");
    desk_expect(said, what);
    mem_free(said);
}

static void pools_that_contradict_the_search_are_refused(void **state)
{
    (void)state;
    Found f;
    Answer answer;
    found_open(&f);
    assert_true(answer_take(f.programme, &f.options, &f.result, true, &answer, &f.lab.diags));
    assert_int_equal(answer.check.fit, 3000);
    answer_release(&answer);
    f.result.bound = f.result.value = 2999; /* proven: none has more than 2.999; counted: 3 */
    expect_fault(&f, "more fit");
    found_close(&f);
    found_open(&f);
    f.result.value = f.result.bound = 3001; /* said: 3.001; counted: 3 */
    expect_fault(&f, "another fit");
    found_close(&f);
    found_open(&f);
    memset(f.x, 0, sizeof f.x); /* no card at all where one is asked for */
    expect_fault(&f, "breaks a rule");
    found_close(&f);
}

/* A list that only the command line names is not the present pool, and is not called so. */
static void a_list_is_called_a_list(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\n", "name,colours,power\nAnvil,rye,11\nBucket,rye,20\nCan,rye,3\n");
    Run run;
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
    folder_print(folder, "list.csv", "name\nAnvil\nCan\n");
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "1"));
    desk_expect(run.out, "The present pool (pool.csv) has 2 cards and fit 31; ");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "list.csv", "--swaps", "1"));
    desk_expect(run.out, "The list (list.csv) has 2 cards and fit 14; ");
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* ---- verdicts at their limit ---- */

static void verdict_of(const char *power, const char *verdict)
{
    char *folder =
        desk_folder("fit: {power: 1}\n", "pool: pool.csv\n", "name,colours,power\nAnvil,rye,11\nBucket,rye,20\n");
    char sheet[80];
    Run run;
    snprintf(sheet, sizeof sheet, "name,colours,power\nCandle,rye,%s\n", power);
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
    folder_print(folder, "new.csv", sheet);
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--new", "new.csv", "--gap", "0", "--json"));
    json_t *root = run_json(&run);
    assert_string_equal(json_text(json_array_get(json_object_get(root, "new"), 0), "verdict"), verdict);
    json_decref(root);
    run_forget(&run);
    desk_done(folder);
}

/* Candle would come in for Anvil of 11: at a power of 10 that costs 1, exactly a tenth. */
static void near_is_less_than_a_tenth(void **state)
{
    (void)state;
    verdict_of("10", "no");
    verdict_of("10.001", "near miss");
    verdict_of("9.999", "no");
    verdict_of("11.001", "in");
}

/* ---- what was not found out ---- */

static void expect_impossible(const char *folder, const char *const *words, int code, const char *list, int expected)
{
    Run run;
    desk_run(folder, &run, code, words);
    json_t *root = run_json(&run);
    const json_t *object = list != NULL ? json_array_get(json_object_get(root, list), 0) : root;
    assert_non_null(object);
    const json_t *said = json_object_get(object, "impossible");
    const int got = said == NULL ? -1 : json_is_true(said);
    if (got != expected)
        fail_msg("%s: 'impossible' is %d, expected %d (-1: not said)\n%s", words[0], got, expected, run.out);
    json_decref(root);
    run_forget(&run);
}

/* 1: proven; 0: a pool was found; -1: neither. */
static void what_is_open_is_not_denied(void **state)
{
    (void)state;
    char top[4096];
    assert_non_null(realpath("scenarios/demo", top));
    char *folder = desk_folder("", "pool: pool.csv\npool_owned: no\n",
                               "name,colours,power,price\nAnvil,rye,1,1.00\nBucket,rye,2,2.00\nCandle,teal,3,3.00\n");
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
    expect_impossible(folder, WORDS("revise", "scenario.yaml", "--json"), 0, NULL, 0);
    expect_impossible(folder, WORDS("revise", "scenario.yaml", "--cap", "1.00", "--json"), 1, NULL, 1);
    expect_impossible(folder, WORDS("revise", top, "--swaps", "40", "--effort", "20", "--json"), 3, NULL, -1);
    expect_impossible(folder, WORDS("why", "scenario.yaml", "Anvil", "--json"), 0, "cards", 0);
    expect_impossible(folder, WORDS("why", "scenario.yaml", "Anvil", "--keep", "Bucket", "--keep", "Candle", "--json"),
                      0, "cards", 1);
    expect_impossible(folder, WORDS("swap", "scenario.yaml", "Candle", "--json"), 0, "swaps", 0);
    expect_impossible(folder, WORDS("swap", "scenario.yaml", "Candle", "--ban", "Anvil", "--json"), 0, "swaps", 1);
    expect_impossible(folder, WORDS("what-if", "scenario.yaml", "--caps", "3,4", "--json"), 0, "frontiers", 0);
    desk_done(folder);
}

/* ---- numbers at the edge ---- */

static void expect_refusal(const char *folder, const char *const *words, const char *what)
{
    Run run;
    desk_run(folder, &run, 2, words);
    desk_expect(run.err, what);
    assert_int_equal(run.out_length, 0);
    assert_false(folder_has(folder, "out.csv"));
    run_forget(&run);
}

static char *dear_folder(const char *model_lines)
{
    char *folder = desk_folder(model_lines, "prices: [prices.csv]\n",
                               "name,colours,power\nAnvil,rye,1\nBucket,rye,2\nCandle,teal,3\nDrum,teal,4\n");
    folder_print(folder, "prices.csv",
                 "name,price,high\nAnvil,9999999999.97,9999999999.99\nBucket,5,6\nCandle,1,\nDrum,9999999999.99,\n");
    return folder;
}

static void dear_prices_are_exact_or_refused(void **state)
{
    (void)state;
    Run run;
    char *folder = dear_folder("spending_cap: 9999999999.99\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    json_t *root = run_json(&run);
    assert_int_equal(json_units(root, "fit", 1000), 5000); /* with Drum, Candle would be 1.00 over the cap */
    json_decref(root);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("why", "scenario.yaml", "Candle", "--gap", "0"));
    run_forget(&run);
    desk_done(folder);
    folder = dear_folder("price_risk: {protect: 1.5}\nspending_cap: 20.00\n");
    static const char at_risk[] = "at most 10995116.27: 'Anvil' may come to 9999999999.99";
    expect_refusal(folder, WORDS("best", "scenario.yaml", "-o", "out.csv"), at_risk);
    expect_refusal(folder, WORDS("check", "scenario.yaml"), at_risk);
    expect_refusal(folder, WORDS("best", "scenario.yaml", "--ban", "Anvil"), at_risk);
    expect_refusal(folder, WORDS("what-if", "scenario.yaml", "--caps", "1,2", "--csv", "out.csv"), at_risk);
    desk_done(folder);
    folder = dear_folder("rules:\n  - {name: share, measure: price, where: {colours: rye}, at_most: 33.3%}\n");
    expect_refusal(folder, WORDS("best", "scenario.yaml"),
                   "model.yaml:6:12: error: the numbers are too large to be exact: rule "
                   "'share' with what 'Anvil' has there");
    desk_done(folder);
}

/* What is wrong is the input, whatever is to be written. */
static void bad_input_is_bad_input(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,colours,power\nAnvil,rye,much\nBucket,rye,2\n");
    static const char what[] = "cards.csv:2:";
    expect_refusal(folder, WORDS("what-if", "scenario.yaml", "--csv", "out.csv"), what);
    expect_refusal(folder, WORDS("what-if", "scenario.yaml", "--caps", "1..3/1", "--plot", "out.csv"), what);
    expect_refusal(folder, WORDS("what-if", "scenario.yaml", "--caps", "1..3/1", "--csv", "out.csv", "--plot", "o.svg"),
                   what);
    expect_refusal(folder, WORDS("best", "scenario.yaml", "-o", "out.csv"), what);
    expect_refusal(folder, WORDS("revise", "scenario.yaml", "l.txt", "-o", "out.csv"), what);
    expect_refusal(folder, WORDS("audit", "scenario.yaml", "l.txt", "-o", "out.csv"), what);
    expect_refusal(folder, WORDS("find", "scenario.yaml", "-o", "out.csv"), what);
    expect_refusal(folder, WORDS("export", "scenario.yaml", "-o", "out.csv"), what);
    desk_done(folder);
}

/* ---- examples ---- */

/* Cards that the help's examples name, in quotes and with a capital, are cards of the demo. */
static int cards_in_help(const char *verb, const char *demo)
{
    Run run;
    int named = 0;
    char name[80], line[96];
    run_poolwright(".", WORDS(verb, "--help"), NULL, &run);
    assert_int_equal(run.code, 0);
    for (const char *at = strchr(run.out, '"'); at != NULL; at = strchr(at + 1, '"')) {
        const char *end = strchr(at + 1, '"');
        if (end == NULL || at[1] < 'A' || at[1] > 'Z' || (size_t)(end - at) > sizeof name)
            continue;
        snprintf(name, sizeof name, "%.*s", (int)(end - at - 1), at + 1);
        snprintf(line, sizeof line, "\n%s,", name);
        if (strchr(name, '=') != NULL) /* --themes "T=A+B" */
            continue;
        if (strstr(demo, line) == NULL)
            fail_msg("%s --help names '%s', which is no card of the demo", verb, name);
        named++;
        at = end;
    }
    run_forget(&run);
    return named;
}

static void help_names_cards_that_are_there(void **state)
{
    (void)state;
    static const char *const verb[] = {"best", "why",   "swap",   "check",    "init",  "what-if",
                                       "find", "audit", "revise", "feedback", "export"};
    int named = 0;
    char *demo = folder_read("scenarios/demo", "cards.csv", NULL);
    assert_non_null(demo);
    for (size_t v = 0; v < sizeof verb / sizeof *verb; v++)
        named += cards_in_help(verb[v], demo);
    assert_true(named >= 4);
    free(demo);
}

/* Six hundred thousand copies that may rise to 10,900,000 each: no sum of them is counted, and that is said. */
static void sums_of_highs_that_are_not_counted(void **state)
{
    (void)state;
    static char cards[600 * 32] = "name,colours,power,copies\n", prices[600 * 32] = "name,price,high\n";
    for (int k = 0; k < 600; k++) {
        sprintf(cards + strlen(cards), "C%d,rye,%d,1000\n", k, 1 + k % 7);
        sprintf(prices + strlen(prices), "C%d,1.00,10900000\n", k);
    }
    char *folder = desk_folder("spending_cap: 20000000\nprice_risk: {protect: 1}\n", "prices: [prices.csv]\n", cards);
    folder_print(folder, "prices.csv", prices);
    Run run;
    desk_run(folder, &run, 0, WORDS("what-if", "scenario.yaml", "--caps", "1..1.01", "--json"));
    json_t *root = run_json(&run);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    assert_true(json_is_true(json_object_get(frontier, "too_large")));
    assert_true(json_is_false(json_object_get(frontier, "steps")));
    json_decref(root);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("what-if", "scenario.yaml", "--caps", "1..1.01"));
    desk_expect(run.out, "cost more than can be counted");
    run_forget(&run);
    desk_done(folder);
}

/* A choice of at most one theme asks for none: what asks for nothing is not asked about. */
static void nothing_is_said_of_what_asks_for_nothing(void **state)
{
    (void)state;
    char *folder = desk_folder("  - {name: u, colours: teal}\nchoose: {from: [t, u], at_most: 1}\n", "",
                               "name,colours,power,tags\nAnvil,rye,5,t\nBucket,teal,5,u\nCandle,teal,6,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--rules"));
    desk_expect(run.out, "choice of themes  at most 1");
    assert_null(strstr(run.out, "choice of themes  at least 0"));
    run_forget(&run);
    desk_done(folder);
}

/* A soft limit that is missed: where it asks for less, the same pool has more fit, and no card is named. */
static void nothing_moves_where_less_is_asked(void **state)
{
    (void)state;
    char *folder = desk_folder("rules:\n  - {name: few crew, where: {kind: crew}, at_most: 1, soft: 1}\n", "",
                               "name,colours,kind,power\nAnvil,rye,crew,5\nBucket,rye,crew,5\nCandle,teal,rig,1\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--rules"));
    desk_expect(run.out, "the same pool");
    assert_null(strstr(run.out, "(null)"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
    desk_expect(run.out, "+1    the same pool");
    run_forget(&run);
    desk_done(folder);
}

/* The best pool that an audit tells of is the one that `best` names: of those as good the cheapest. */
static void an_audit_knows_the_same_best_pool(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 90\n", "",
                               "name,colours,power,price\nAnvil,rye,5,9.00\nBucket,rye,5,8.00\nCandle,rye,5,3.00\n"
                               "Dish,rye,5,1.00\nEgg,rye,5,7.00\nFork,rye,1,0.10\nGrate,rye,1,0.10\n");
    folder_print(folder, "list.csv", "name\nFork\nAnvil\n");
    json_t *root = run_answer(folder, 0, WORDS("audit", "scenario.yaml", "list.csv", "--json"));
    const json_t *best = json_object_get(root, "best");
    assert_int_equal(json_units(best, "fit", 1), 10);
    assert_int_equal(json_units(best, "cost", 100), 400);
    json_decref(root);
    Run run;
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "list.csv"));
    desk_expect(run.out, "The best pool within the limits has 10 for 4.00.");
    run_forget(&run);
    desk_done(folder);
}

/* A role that no card was given is not what the pool is short of; how to say it, or count without, is told. */
static void roles_that_nobody_gave_are_told(void **state)
{
    (void)state;
    char *folder = desk_folder("seats: {seats: 1, packs: 1, pack_size: 2}\n", "pool: cards.csv\n",
                               "name,colours,power,tags\nAnvil,rye,5,t payoff\nBucket,rye,3,t\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "--package", "2+1"));
    desk_expect(run.out, "No card of a theme here is tagged as enabler: tags say it (`t enabler`), and --package");
    desk_expect(run.out, "0+1 counts");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "--package", "0+1"));
    assert_null(strstr(run.out, "No card of a theme"));
    run_forget(&run);
    desk_done(folder);
}

/* A list that lacks cards only; new prices under another header than those that the model knows. */
static void what_to_do_is_told(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_folder("columns: {price: Shop price}\nspending_cap: 9\n", "prices: [p.csv]\n",
                               "name,colours\nA,rye\nB,rye\nC,rye\n");
    folder_print(folder, "p.csv", "name,Shop price\nA,1.00\nB,1.00\nC,1.00\n");
    folder_print(folder, "new.csv", "name,Preis je St\303\274ck\nA,1.00\nB,1.00\nC,1.00\n");
    folder_print(folder, "list.csv", "name\nA\n");
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "list.csv"));
    desk_expect(run.out, "it breaks 1 limit: to repair that cards must come in, and none must leave.");
    run_forget(&run);
    folder_print(folder, "list.csv", "name\nA\nB\n"); /* lacks what must be in, which costs money */
    desk_run(folder, &run, 1, WORDS("revise", "scenario.yaml", "list.csv", "--keep", "C", "--spend", "0"));
    desk_expect(run.out, "; it holds cards that it may not, or lacks some that it must have.");
    run_forget(&run);
    desk_run(folder, &run, 2, WORDS("best", "scenario.yaml", "--prices", "new.csv"));
    desk_expect(run.err, "is it 'Preis je St\303\274ck'? Then write columns: {price: [\"Shop price\", \"Preis je "
                         "St\303\274ck\"]} into the model");
    assert_null(strstr(run.err, "in any sheet"));
    run_forget(&run);
    desk_done(folder);
}

/* Where there is enough for two of neither role, what one drafter lacks; only columns that are shown are explained; of
 * roles that nobody gave nothing is short. */
static void what_is_short_is_told(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_folder("seats: {seats: 1, packs: 1, pack_size: 5}\n", "",
                               "name,colours,power,tags\nA,rye,1,t enabler\nB,rye,1,t enabler\nC,rye,1,t payoff\n"
                               "D,rye,1,\nE,rye,1,\n");
    folder_print(folder, "list.csv", "name\nA\nB\nC\nD\nE\n");
    setenv("COLUMNS", "70", 1);
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv", "--package", "2+2"));
    desk_expect(run.out, "Shortest: t, of payoffs: the pool has 1");
    assert_null(strstr(run.out, "9 of 10"));
    run_forget(&run);
    setenv("COLUMNS", "200", 1);
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv", "--package", "2+2"));
    desk_expect(run.out, "9 of 10: what nine seats in ten see");
    run_forget(&run);
    unsetenv("COLUMNS");
    folder_print(folder, "cards.csv", "name,colours,tags\nA,rye,t\nB,rye,t\nC,rye,t\nD,rye,\nE,rye,\n");
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv"));
    desk_expect(run.out, "No card of a theme here is tagged as enabler or payoff");
    assert_null(strstr(run.out, "Shortest"));
    run_forget(&run);
    desk_done(folder);
}

/* Of a theme that has roles on no candidate nothing is short, whatever there is of others; the page says the same. */
static void of_themes_without_roles_nothing_is_short(void **state)
{
    (void)state;
    Run run;
    char *folder =
        desk_folder("seats: {seats: 1, packs: 1, pack_size: 4}\n", "change: {size: 4, themes: [{name: u}]}\n",
                    "name,colours,power,tags\nA,rye,1,t enabler\nB,rye,1,t\nC,rye,1,t payoff\nD,rye,1,u\n");
    folder_print(folder, "list.csv", "name\nA\nB\nC\nD\n");
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv", "--package", "1+1"));
    desk_expect(run.out, "Shortest: t, of enablers: the pool has 1");
    desk_expect(run.out, "No candidate is tagged as enabler or payoff of u: nothing is short of it.");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv", "--package", "1+1", "--json"));
    json_t *root = run_json(&run);
    assert_string_equal(json_text(root, "short_first"), "t");
    const json_t *themes = json_object_get(root, "themes"), *last = json_array_get(themes, json_array_size(themes) - 1);
    assert_true(json_is_null(json_object_get(last, "short_of")));
    json_decref(root);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"));
    run_forget(&run);
    size_t length;
    char *page = folder_read(folder, "pool.html", &length);
    desk_expect(page, "Shortest: t, of enablers: the pool has 1, and 1.0 of them pass a seat on average.");
    desk_expect(page, "<p>No candidate is tagged as enabler or payoff of u: nothing is short of it.</p>");
    free(page);
    desk_done(folder);
}

/* Names of a swap are never cut: where they have no room they go on in further lines. Its gain is told once where it is
 * all that the limit is worth. */
static void names_of_a_swap_are_whole(void **state)
{
    (void)state;
    static const struct {
        const char *columns, *says;
    } row[] = {{"200", "  +5    The Lantern of the Upper Quay for A Wheelbarrow for Wet Days\n"},
               {"80", "  +5    The Lantern of the Upper Quay for A\n"},
               {"64", "  +5    The Lantern of the\n"}};
    char *folder = desk_folder("rules: [{name: those that are dear, where: {price: {from: 5}}, at_most: 1}]\n", "",
                               "name,colours,power,price\nBarge,rye,9,6\nThe Lantern of the Upper Quay,rye,8,6\n"
                               "A Wheelbarrow for Wet Days,rye,3,1\nDory,rye,2,1\n");
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        Run run;
        setenv("COLUMNS", row[k].columns, 1);
        desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
        desk_expect(run.out, row[k].says);
        run_forget(&run);
    }
    unsetenv("COLUMNS");
    desk_done(folder);
}

/* Means and averages that lie between two decimals are rounded up, on the screen and on the page. */
static void halves_are_rounded_alike(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_folder("seats: {seats: 4, packs: 1, pack_size: 2}\n", "change: {size: 8}\n",
                               "name,colours,cost,tags\nA,rye,4,t enabler\nB,rye,3,t enabler\nC,rye,3,t payoff\n"
                               "D,rye,3,t\nE,rye,3,t\nF,rye,3,\nG,rye,3,\nH,rye,3,\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
    desk_expect(run.out, " 3.13 "); /* 25 / 8 */
    run_forget(&run);
    folder_print(folder, "list.csv", "name\nA\nB\nC\nD\nE\nF\nG\nH\n");
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv"));
    desk_expect(run.out, "\n  t          5     1.3    1.3   "); /* 10 / 8 */
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"));
    run_forget(&run);
    char *page = folder_read(folder, "pool.html", NULL);
    desk_expect(page, "<td class=\"number\">3.13</td>");
    desk_expect(page, "<td class=\"number\">1.3</td><td class=\"number\">1.3</td>");
    free(page);
    desk_done(folder);
}

/* A theme that the choice leaves out, or that weighs nothing, is not the weakest, and nothing is short of it; the page
 * says the same. */
static void themes_that_do_not_count_are_not_the_weakest(void **state)
{
    (void)state;
    Run run;
    char *folder =
        desk_folder("  - {name: u, colours: rye}\n  - {name: v, colours: rye, weight: 0}\n"
                    "  - {name: w, colours: rye}\nchoose: {from: [t, u], exactly: 1}\n"
                    "seats: {seats: 1, packs: 1, pack_size: 5}\n",
                    "change: {size: 5}\n",
                    "name,colours,power,tags\nA,rye,9,t enabler 3; w enabler\nB,rye,9,t payoff 3; w enabler\n"
                    "C,rye,9,t enabler 3; w\nD,rye,9,u enabler; w payoff\nE,rye,9,v enabler\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
    assert_true(strstr(strstr(run.out, "\n  u "), "not chosen") < strstr(run.out, "\n  v "));
    assert_true(strstr(run.out, "<- weakest") > strstr(run.out, "\n  w "));
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--json"));
    assert_string_equal(json_text(root, "weakest"), "w");
    const json_t *themes = json_object_get(root, "themes");
    for (size_t k = 0; k < json_array_size(themes); k++)
        assert_int_equal(json_is_false(json_object_get(json_array_get(themes, k), "counts")), k == 1);
    json_decref(root);
    folder_print(folder, "list.csv", "name\nA\nB\nC\nD\nE\n");
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv", "--package", "1+1"));
    desk_expect(run.out, "Shortest: v, of payoffs");
    desk_expect(run.out, "u is not chosen in this pool: nothing is short of it.");
    run_forget(&run);
    root = run_answer(folder, 0, WORDS("seats", "scenario.yaml", "list.csv", "--package", "1+1", "--json"));
    assert_true(json_is_null(json_object_get(json_array_get(json_object_get(root, "themes"), 3), "short_of")));
    json_decref(root);
    desk_run(folder, &run, 0, WORDS("seats", "scenario.yaml", "list.csv", "--drafts", "10"));
    desk_expect(run.out, "u is not chosen in this pool: its tags count for no seat.");
    assert_null(strstr(run.out, "\n  u "));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"));
    run_forget(&run);
    char *page = folder_read(folder, "pool.html", NULL);
    desk_expect(page, "<bdi>u</bdi> <em>not chosen</em>");
    char *weakest = strstr(page, "<em>weakest</em>");
    assert_non_null(weakest);
    assert_memory_equal(weakest - strlen("<bdi>w</bdi> "), "<bdi>w</bdi> ", strlen("<bdi>w</bdi> "));
    assert_null(strstr(weakest + 1, "<em>weakest</em>"));
    free(page);
    desk_run(folder, &run, 0,
             WORDS("page", "scenario.yaml", "--drafters", "-o", "players.html")); /* nor do they draft it */
    run_forget(&run);
    page = folder_read(folder, "players.html", NULL);
    desk_expect(page, "<bdi>w</bdi>");
    assert_null(strstr(page, "<bdi>u</bdi>"));
    free(page);
    desk_done(folder);
}

/* best and audit say the same of a pool that misses a soft limit. */
static void soft_limits_missed_are_said(void **state)
{
    (void)state;
    static const char met[] = "every firm limit met, 1 soft one missed at a loss of 4 fit.\n";
    char *folder = desk_folder("rules:\n  - {name: many ropes, where: {kind: rope}, at_least: 2, soft: 2}\n", "",
                               "name,colours,kind,power\nAnvil,rye,crew,2\nBucket,rye,crew,3\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "-o", "list.csv"));
    desk_expect(run.out, met);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "list.csv"));
    desk_expect(run.out, met);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "list.csv", "--against", "list.csv"));
    desk_expect(run.out, met);
    run_forget(&run);
    desk_done(folder);
}

/* Of which scores it is not known whether they matter: none is counted then. */
static void no_score_is_known_to_matter(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_folder("", "", "name,colours,power,copies\nAnvil,rye,20,2\nBucket,rye,20,2\nCan,rye,1,1\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--size", "4", "--firm"));
    desk_expect(run.out,
                "  Scores that matter: none is known to; of 2 cards it was not found out whether a power changed");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--size", "4", "--firm", "--json"));
    json_t *root = run_json(&run);
    const json_t *cards = json_object_get(json_object_get(root, "firmness"), "cards");
    assert_int_equal(json_array_size(cards), 2);
    for (size_t k = 0; k < 2; k++)
        assert_string_equal(json_text(json_array_get(cards, k), "score_matters"), "unknown");
    json_decref(root);
    run_forget(&run);
    desk_done(folder);
}

/* The limit that costs fit: what one swap gains is not asked, or is so much. */
static void expect_swap(const char *model, const char *cards, const char *name, int64_t gain)
{
    char *folder = desk_folder("", "", cards);
    Run run;
    folder_print(folder, "model.yaml", model);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--rules", "--json"));
    json_t *root = run_json(&run), *limit;
    size_t k, seen = 0;
    json_array_foreach (json_object_get(root, "binding"), k, limit) {
        const json_t *swap = json_object_get(limit, "one_swap");
        if (strcmp(json_text(limit, "name"), name) != 0 || strcmp(json_text(limit, "kind"), "step") != 0)
            continue;
        assert_true(swap == NULL || json_units(swap, "gain", 1000) == gain);
        seen++;
    }
    assert_int_equal(seen, 1);
    json_decref(root);
    run_forget(&run);
    desk_done(folder);
}

/* One of two themes counts. With two cards of bells allowed, B for C gains 1 and bells count; a count of that pool by
 * the limits as they are takes eels instead. A card may also weaken its theme: then fewer cards are more. */
static void no_swap_is_denied_that_there_is(void **state)
{
    (void)state;
    expect_swap("size: 2\ncolours: [rye]\nthemes: [{name: bells}, {name: eels}]\n"
                "choose: {from: [bells, eels], at_most: 1}\nrules:\n  - {name: few, each: theme, at_most: 1}\n",
                "name,colours,power,tags\nA,rye,1,bells 3\nB,rye,1,bells 2\nC,rye,2,eels 1\n", "few", 1000);
    expect_swap("size: 2\ncolours: [rye]\nthemes: [{name: bells, weight: 1}]\nevenness: 1\n",
                "name,colours,power,tags\nA,rye,1.5,bells -1\nB,rye,1,bells 2\n", "size", 500);
}

/* Nobody says that a card would be in without places by which tags count: without them fit is another one. Here C is
 * out with them, and more so without. */
static void places_that_add_fit_are_not_blamed(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_folder("", "", "name,colours,power,tags\nA,rye,1,t 1\nB,rye,1,t 6\nC,rye,1.5,\n");
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [rye]\nthemes: [{name: t, colours: rye}]\n"
                 "places: {each: colour, theme: 2, by_place: yes}\n");
    desk_run(folder, &run, 0, WORDS("why", "scenario.yaml", "C", "--rules", "--json"));
    json_t *root = run_json(&run), *limit, *card = json_array_get(json_object_get(root, "cards"), 0);
    size_t k;
    json_array_foreach (json_object_get(card, "limits"), k, limit)
        assert_string_not_equal(json_text(limit, "limit_kind"), "places");
    json_decref(root);
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pools_that_contradict_the_search_are_refused),
        cmocka_unit_test(near_is_less_than_a_tenth),
        cmocka_unit_test(a_list_is_called_a_list),
        cmocka_unit_test(what_is_open_is_not_denied),
        cmocka_unit_test(dear_prices_are_exact_or_refused),
        cmocka_unit_test(bad_input_is_bad_input),
        cmocka_unit_test(sums_of_highs_that_are_not_counted),
        cmocka_unit_test(roles_that_nobody_gave_are_told),
        cmocka_unit_test(an_audit_knows_the_same_best_pool),
        cmocka_unit_test(places_that_add_fit_are_not_blamed),
        cmocka_unit_test(what_is_short_is_told),
        cmocka_unit_test(of_themes_without_roles_nothing_is_short),
        cmocka_unit_test(halves_are_rounded_alike),
        cmocka_unit_test(names_of_a_swap_are_whole),
        cmocka_unit_test(themes_that_do_not_count_are_not_the_weakest),
        cmocka_unit_test(what_to_do_is_told),
        cmocka_unit_test(soft_limits_missed_are_said),
        cmocka_unit_test(nothing_is_said_of_what_asks_for_nothing),
        cmocka_unit_test(nothing_moves_where_less_is_asked),
        cmocka_unit_test(no_score_is_known_to_matter),
        cmocka_unit_test(help_names_cards_that_are_there),
        cmocka_unit_test(no_swap_is_denied_that_there_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
