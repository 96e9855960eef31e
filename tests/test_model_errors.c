/* test_model_errors.c - mistakes in models and scenarios: each is told once, with its place and what was expected. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "support/lab.h"

#define BASE "size: 360\ncolours: [brass, glass, linen, tar]\n"
#define THEMES "themes:\n  - {name: convoys, colours: brass+linen, weight: 1.5}\n  - {name: eels, colours: tar}\n"

static bool says(const char *model, const char *scenario_lines, const char *expected, size_t errors)
{
    Lab lab;
    lab_model(&lab, model, scenario_lines);
    bool read = lab_read_model(&lab, "s.yaml");
    bool said = !read && strstr(lab.said, expected) != NULL && (errors == 0 || lab.diags.errors == errors);
    if (!said)
        print_error("expected: %s\nsaid: %s\n", expected, lab.said);
    lab_close(&lab);
    return said;
}

#define RULE(text) BASE THEMES "rules:\n  - " text "\n"

/* Each is the only error. The first rule stands in line 7, where its brace is column 5. */
static void mistakes_are_told_once(void **state)
{
    (void)state;
    static const struct {
        const char *model, *expected;
    } mistake[] = {
        {RULE("{name: a, at_last: 3, exactly: 1}"),
         "m.yaml:7:15: error: unknown key 'at_last' in a rule; did you mean 'at_least'?"},
        {RULE("{name: a, at_last: 3}"),
         "m.yaml:7:15: error: unknown key 'at_last' in a rule; did you mean 'at_least'?"},
        {RULE("{name: a, completely wrong: 3}"),
         "unknown key 'completely wrong' in a rule; known are exactly, at_least"},
        {"size: 9\ncolours: [rye]\nremoval: {at_least: 3}\n",
         "m.yaml:3:1: error: unknown key 'removal' in a model; the bounds of a rule stand below rules, as in"},
        {"size: 9\nrules:\n  - {name: a, each: colour, at_least: 1, for: {rye: {at_least: 2}}}\n",
         "m.yaml:1:1: error: the model has no colours"},
        {RULE("{name: a, max: 3}"), "unknown key 'max' in a rule; did you mean 'at_most'?"},
        {RULE("{name: a, kind: crew, at_least: 3}"),
         "unknown key 'kind' in a rule; which cards are counted stands under where, such as 'where: {kind: ...}'"},
        {RULE("{name: a, where: {cost: >5}, at_least: 3}"),
         "ranges are written {from: 5}, {to: 2} or {from: 2, to: 5}"},
        {RULE("{name: a}"), "m.yaml:7:12: error: rule 'a' has no bound, expected one of exactly, at_least"},
        {RULE("{at_least: 3}"), "m.yaml:7:5: error: a rule has no name"},
        {RULE("{nam: a, at_least: 3}"), "m.yaml:7:6: error: unknown key 'nam' in a rule; did you mean 'name'?"},
        {RULE("{name: 'a\n\n    b', at_least: 3}"),
         "found a text of several lines, expected what reports call the rule"},
        {RULE("{name: {a: b, c: d}, at_least: 3}"), "m.yaml:7:12: error: found a map, expected what reports call"},
        {RULE("{name: a, priority: 2.5, at_least: 3}"), "found '2.5', expected a whole number from 1 to 9\n"},
        {RULE("{name: a, at_least: 110%, watch: on, off: off}"), "more than 100% of the whole pool"},
        {RULE("{name: a, at_least: '110% '}"), "more than 100% of the whole pool"},
        {RULE("{name: a, at_least: 5, at_most: 3}"),
         "m.yaml:7:15: error: the bounds contradict each other: at least 5, but at most 3"},
        {RULE("{name: a, between: [5, 3]}"), "contradict each other: at least 5, but at most 3"},
        {RULE("{name: a, between: 5}"), "m.yaml:7:24: error: found '5', expected two numbers such as [2, 4]"},
        {RULE("{name: a, exactly: 5, at_most: 3}"), "found 'exactly' beside another bound, expected it alone"},
        {RULE("{name: a, between: [1, 2], at_most: 3}"), "found 'between' beside another bound"},
        {RULE("{name: a, measure: cost, average_at_most: 2, at_most: 3}"),
         "found 'average_at_most' beside another bound"},
        {RULE("{name: a, average_at_most: 2}"), "a count has no average"},
        {RULE("{name: a, measure: cost, average_at_most: 2%}"), "an average is no percentage"},
        {RULE("{name: a, at_least: 2.5}"), "m.yaml:7:25: error: found '2.5', expected a whole number"},
        {RULE("{name: a, at_least: -2}"), "found '-2', expected a whole number"},
        {RULE("{name: a, at_least: nan}"), "found 'nan', expected a whole number"},
        {RULE("{name: a, at_least: 1e3}"), "found '1e3'"},
        {RULE("{name: a, measure: spend, at_most: 1.005}"),
         "found '1.005', expected 1005 (without a separator of thousands) or at most 2 decimals"},
        {RULE("{name: a, measure: spend, at_most: 45 000}"), "(with a decimal point, without separators of thousands)"},
        {RULE("{name: a, measure: spend, at_most: '45,50'}"),
         "(with a decimal point, without separators of thousands)"},
        {RULE("{name: a, measure: spend, at_most: -1}"), "found '-1', which is negative"},
        {RULE("{name: a, measure: cost, at_most: 1.0005}"), "found '1.0005', expected at most 3 decimals"},
        {RULE("{name: a, measure: cost, at_most: 9999999999999}"), "too large"},
        {RULE("{name: a, at_least: -1%}"), "found '-1%', which is negative"},
        {RULE("{name: a, at_least: 10%, at_most: 5}"), "found a percentage beside a number"},
        {RULE("{name: a, each: colour, at_least: 10%}"), "rule 'a' has a percentage and 'each' but no 'of'"},
        {RULE("{name: a, at_least: 110%}"), "more than 100% of the whole pool"},
        {RULE("{name: a, of: {class: mono}, at_least: 10}"),
         "m.yaml:7:15: error: found 'of' in rule 'a', whose bounds are no percentages"},
        {RULE("{name: a, soft: 2, at_least: 10%}"),
         "m.yaml:7:15: error: found 'soft' in rule 'a', expected it only for counts and sums, not for percentages"},
        {RULE("{name: a, soft: 2, measure: cost, average_at_most: 3}"), "not for averages"},
        {RULE("{name: a, soft: 0, at_least: 10}"), "found '0', expected fit lost per unit, more than 0, or no"},
        {RULE("{name: a, scales: yes, at_least: 10%}"), "percentages never move with the size"},
        {RULE("{name: a, scales: perhaps, at_least: 1}"), "found 'perhaps', expected yes or no"},
        {RULE("{name: a, priority: 10, at_least: 1}"), "found '10', expected a whole number from 1 to 9"},
        {RULE("{name: a, each: colours, at_least: 1}"),
         "m.yaml:7:21: error: found 'colours', expected colour, pair or theme; did you mean 'colour'?"},
        {RULE("{name: a, scope: exact, at_least: 1}"), "found 'scope' in a rule without 'each'"},
        {RULE("{name: a, each: pair, scope: tagged, at_least: 1}"), "found 'tagged' with 'each: pair'"},
        {RULE("{name: a, each: pair, scope: [exact], at_least: 1}"), "found a list, expected exact, touching"},
        {RULE("{name: a, each: colour, at_least: 1, for: {copper: {at_least: 2}}}"),
         "m.yaml:7:48: error: rule 'a' has no member 'copper', expected a colour"},
        {RULE("{name: a, each: pair, at_least: 1, for: {brass+tra: {at_least: 2}}}"),
         "has no member 'brass+tra', expected a pair; did you mean 'brass+tar'?"},
        {RULE("{name: a, each: theme, at_least: 1, for: {convoy: {at_least: 2}}}"),
         "expected a theme; did you mean 'convoys'?"},
        {RULE("{name: a, at_least: 1, for: {tar: {at_least: 2}}}"),
         "rule 'a' has no member 'tar', since it has no 'each'"},
        {RULE("{name: a, each: colour, at_least: 1, for: {tar: {}}}"), "m.yaml:7:48: error: "},
        {RULE("{name: a, each: colour, at_least: 1, for: {tar: {}}}"), "'tar' has no bound"},
        {RULE("{name: a, each: colour, at_least: 1, for: {tar: {at_least: 5, at_most: 3}}}"),
         "m.yaml:7:48: error: the bounds contradict each other: at least 5, but at most 3"},
        {BASE "rules: [{name: a, at_least: 1}, 3]\n",
         "found '3', expected the keys of a rule, such as {at_least: 3}; new rules are a list"},
        {RULE("{name: a, each: colour, at_least: 1, for: {tar: {at_lest: 3}}}"),
         "m.yaml:7:54: error: unknown key 'at_lest' in bounds; did you mean 'at_least'?"},
        {RULE("{name: a, each: colour, at_least: 1, for: {tar: 3}}"),
         "m.yaml:7:53: error: found '3', expected the keys of bounds"},
        {RULE("{name: a, each: colour, at_least: 1, for: {tar: {at_least: 1}, Tar: {at_least: 2}}}"),
         "'Tar' is written twice"},
        {RULE("{name: a, at_least: 1}\n  - {name: A, at_least: 1}"),
         "m.yaml:8:12: error: a rule named 'A' is already there, in line 7"},
        {RULE("{name: a, where: {class: glod}, at_least: 1}"),
         "m.yaml:7:30: error: found 'glod', expected colourless, mono, gold, hybrid or fixing; did you mean 'gold'?"},
        {RULE("{name: a, where: {role: payof}, at_least: 1}"), "did you mean 'payoff'?"},
        {RULE("{name: a, where: {theme: sunlight}, at_least: 1}"), "unknown theme 'sunlight', expected "},
        {RULE("{name: a, where: {theme: eel}, at_least: 1}"), "unknown theme 'eel'; did you mean 'eels'?"},
        {RULE("{name: a, where: {colours: brass+copper}, at_least: 1}"), "copper"},
        {RULE("{name: a, where: {cost: cheap}, at_least: 1}"), "found 'cheap', expected a number or {from: 1, to: 2}"},
        {RULE("{name: a, where: {cost: {from: 3, to: 2}}, at_least: 1}"),
         "m.yaml:7:29: error: the range is empty: from 3 is more than to 2"},
        {RULE("{name: a, where: {cost: {}}, at_least: 1}"), "found an empty range"},
        {RULE("{name: a, where: {cost: {form: 3}}, at_least: 1}"),
         "unknown key 'form' in a range; did you mean 'from'?"},
        {RULE("{name: a, where: {kind: {from: 3}}, at_least: 1}"), "found a map, expected a kind of the cards sheet"},
        {RULE("{name: a, where: {kind: []}, at_least: 1}"), "found an empty list"},
        {RULE("{name: a, where: {kind: }, at_least: 1}"), "found nothing"},
        {RULE("{name: a, where: {kind: {not: {not: x}}}, at_least: 1}"), "found 'not' inside 'not'"},
        {RULE("{name: a, where: {cost: {not: 3, from: 2}}, at_least: 1}"), "found 'not' beside other keys"},
        {RULE("{name: a, where: {not: {kind: crew}}, at_least: 1}"),
         "m.yaml:7:23: error: found 'not' before a field, expected it behind one: {kind: {not: ...}}"},
        {RULE("{name: a, where: mono, at_least: 1}"), "found 'mono', expected a filter such as {class: mono}"},
        {RULE("{name: a, where: {price: 1.001}, at_least: 1}"), "or at most 2 decimals"},
        {BASE "rules: yes\n", "found 'yes', expected a list of rules"},
        {BASE "rules: {a: {at_least: 1}}\n", "m.yaml:3:9: error: unknown rule 'a'"},
        {BASE "rules: [a]\n", "found 'a', expected the keys of a rule"},
        {"colours: [brass]\n", "m.yaml:1:1: error: the model has no size"},
        {"size: 0\ncolours: [brass]\n", "m.yaml:1:7: error: found '0', expected a whole number of cards from 1"},
        {"size: -3\ncolours: [brass]\n", "found '-3', expected"},
        {"size: 1000000\ncolours: [brass]\n", "found '1000000', expected"},
        {"size: {from: 5, to: 3}\ncolours: [brass]\n", "the size contradicts itself: from 5 is more than to 3"},
        {"size: {from: 5}\ncolours: [brass]\n", "found a range with one end"},
        {"size: 5\n", "m.yaml:1:1: error: the model has no colours"},
        {"size: 5\ncolours: []\n", "found 0 colours, expected a list of 1 to 16 names"},
        {"size: 5\ncolours: [a,b,c,d,e,f,g,h,i,j,k,l,m,n,o,p,q]\n", "m.yaml:2:10: error: found 17 colours"},
        {"size: 5\ncolours: [brass, Brass]\n", "m.yaml:2:18: error: colour 'Brass' is written twice"},
        {"size: 5\ncolours: [brass+tar]\n", "expected a name without + / ;"},
        {"size: 5\ncolours: [colourless]\n", "has a meaning of its own"},
        {BASE "spending_cap: -1\n", "which is negative, expected an amount of money"},
        {BASE "spending_cap: lots\n",
         "m.yaml:3:15: error: found 'lots', expected an amount of money such as 420.00, or none"},
        {BASE "deck_colours: 5\n", "expected a whole number from 1 to 4, the number of colours"},
        {BASE "hybrid_as_gold: 0\n", "found '0', expected a number of symbols"},
        {BASE "seats: {seats: 8}\n", ""},
        {BASE "seats: {seats: 8, packs: 3, pack_size: none}\n", "found 'none', expected a whole number from 1 to 1000"},
        {BASE "fit: {powr: 1}\n", "unknown key 'powr' in fit; did you mean 'power'?"},
        {BASE "fit: {power: -1}\n", "found '-1', expected a number, 0 or more"},
        {BASE "unpriced: jump\n", "found 'jump', expected error, skip, or an amount of money"},
        {BASE "columns: {prize: x}\n", "m.yaml:3:11: error: unknown column 'prize' in columns"},
        {BASE "columns: price\n", "expected a map such as {price: \"unit price\"}"},
        {BASE "fixing: {class: mono}\n", "m.yaml:3:10: error: found 'class' in 'fixing'"},
        {BASE "themes: [{name: eels, color: tar}]\n", "unknown key 'color' in a theme; did you mean 'colours'?"},
        {BASE "themes: [{name: eels, colours: trar}]\n", "did you mean 'tar'?"},
        {BASE "themes: [{name: eels, colours: brass/tar}]\n", "expected the colours of a theme with + between them"},
        {BASE "themes: [{name: eels}, {name: EELS}]\n", "a theme named 'EELS' is already there"},
        {BASE "themes: [{name: eels, weight: -1}]\n", "found '-1', expected a number, 0 or more"},
        {BASE "themes: [{name: price}]\n", "since a column of the cards sheet is called so"},
        {BASE "themes: [{name: big payoff}]\n", "expected a name that does not end in a number or a role"},
        {BASE "themes: [{name: top 10}]\n", "expected a name that does not end in a number or a role"},
        {BASE "themes: [{name: any}]\n", "this word has a meaning of its own"},
        {BASE "exempt: [{card: X, from: [gold]}]\n", "unknown rule 'gold'"},
        {BASE "exempt: [{card: X}]\n", "'from' is missing in an exemption"},
        {BASE "exempt: [{cart: X, from: [a]}]\n", "unknown key 'cart' in an exemption; did you mean 'card'?"},
        {BASE "keep: {a: b}\n", "found a map that begins with 'a:', expected a card's name"},
        {BASE "keep: [[a]]\n", "found a list, expected a card's name"},
        {BASE "extends: m.yaml\n", "m.yaml:3:10: error: 'extends: m.yaml' closes a circle"},
        {BASE "extends: gone.yaml\n", "m.yaml:3:10: error: "},
        {"- size\n", "m.yaml:1:1: error: found a list, expected the keys of a model"},
    };
    size_t wrong = 0;
    for (size_t i = 0; i < sizeof mistake / sizeof *mistake; i++)
        wrong += !says(mistake[i].model, "", mistake[i].expected, mistake[i].expected[0] == '\0' ? 0 : 1);
    assert_int_equal(wrong, 0);
}

static void mistakes_in_scenarios(void **state)
{
    (void)state;
    static const char model[] = BASE THEMES "rules:\n  - {name: removal, at_least: 3, where: {theme: eels}}\n";
    static const struct {
        const char *scenario, *expected;
    } mistake[] = {
        {"card: [d.csv]\n", "s.yaml:3:1: error: unknown key 'card' in a scenario; did you mean 'cards'?"},
        {"change: {rules: {removl: {at_least: 8}}}\n",
         "s.yaml:3:18: error: unknown rule 'removl'; did you mean 'removal'?"},
        {"change: {rules: {removal: {at_lest: 8}}}\n", "s.yaml:3:28: error: unknown key 'at_lest' in a rule"},
        {"change: {themes: {eals: {weight: 8}}}\n", "unknown theme 'eals'; did you mean 'eels'?"},
        {"change: {themes: {eels: {off: yes}}}\n", "m.yaml:7:49: error: unknown theme 'eels'"},
        {"change: {together: {eels: {bonus: 8}}}\n", "a combination of cards named 'eels' is not known\n"},
        {"change: {extends: m.yaml}\n", "s.yaml:3:10: error: found 'extends' in a change"},
        {"change: {sise: 8}\n", "unknown key 'sise' in a model; did you mean 'size'?"},
        {"change: 5\n", "found '5', expected the keys of a model"},
        {"change: {rules: {removal: {name: x, at_least: 8}}}\n", "found 'name', but the name already stands in line 3"},
        {"cases: [{name: a, change: {}}, {name: A, change: {}}]\n", "a case named 'A' is already there, in line 3"},
        {"cases: [{name: a}]\n", "a case has no 'change'"},
        {"cases: [{name: a, chnge: {}}]\n", "unknown key 'chnge' in a case; did you mean 'change'?"},
        {"cases: {a: {size: 3}}\n", "found a map, expected a list of {name, change}"},
        {"cases: [{name: a, change: {size: nought}}]\n", "s.yaml:3:34: error: in case 'a': found 'nought'"},
        {"cases: [{name: a, change: {rules: {removal: {at_most: 1, at_least: 2}}}}]\n",
         "in case 'a': the bounds contradict each other"},
        {"targets: [none.csv]\n", "s.yaml:3:11: error: "},
        {"prices: {a: b}\n", "found a map that begins with 'a:', expected the path of a sheet"},
        {"pool: [a, b]\n", "found a list, expected a sheet"},
    };
    size_t wrong = 0;
    for (size_t i = 0; i < sizeof mistake / sizeof *mistake; i++)
        wrong += !says(model, mistake[i].scenario, mistake[i].expected, 1);
    /* a key that is misspelt in one layer is no bound that lacks in the next */
    wrong += !says(RULE("{name: a, at_last: 3}"), "change: {rules: {a: {priority: 3}}}\n", "m.yaml:7:15: error: ", 1);
    assert_int_equal(wrong, 0);
}

static void more_mistakes_in_scenarios(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, BASE, "cases: [{name: five forty, change: {size: 540}}]\n");
    lab.overrides.case_name = "five fourty";
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "the scenario has no case 'five fourty'; did you mean 'five forty'?");
    lab.overrides.case_name = NULL;
    lab_file(&lab, "s.yaml", "model: m.yaml\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "s.yaml:1:1: error: the scenario has no cards");
    lab_file(&lab, "s.yaml", "cards: [c.csv]\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "s.yaml:1:1: error: the scenario has no model");
    lab_file(&lab, "s.yaml", "model: m.yaml\ncards: [c.csv]\n");
    lab_file(&lab, "m.yaml", "extends: b.yaml\n" BASE);
    lab_file(&lab, "b.yaml", "extends: m.yaml\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "b.yaml:1:10: error: 'extends: m.yaml' closes a circle of models that extend each other");
    lab_close(&lab);
}

/* All errors of a run come at once, in every file, and in order. */
static void all_errors_come_at_once(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab,
              "extends: b.yaml\nsize: many\nspending_cap: -1\nthemes: [{name: eels, colours: copper}]\nrules:\n  - "
              "{name: a, at_last: 3}\n  - {name: b, where: {class: glod}, at_least: x}\n",
              "targets: [t.csv]\nkep: [A]\nchange: {rules: {c: {at_least: 1}}}\n");
    lab_file(&lab, "b.yaml", "colours: [brass, brass]\nsise: 3\n");
    lab_file(&lab, "t.csv", "rule,all\nd,3\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    const char *expected[] = {"s.yaml:4:1",  "s.yaml:5:18", "b.yaml:1:18", "b.yaml:2:1",  "m.yaml:2:7", "m.yaml:3:15",
                              "m.yaml:4:32", "m.yaml:6:15", "m.yaml:7:30", "m.yaml:7:47", "t.csv:2:1"};
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        lab_expect(&lab, expected[i]);
    assert_int_equal(lab.diags.errors, sizeof expected / sizeof *expected);
    lab_close(&lab);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mistakes_are_told_once),
        cmocka_unit_test(mistakes_in_scenarios),
        cmocka_unit_test(more_mistakes_in_scenarios),
        cmocka_unit_test(all_errors_come_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
