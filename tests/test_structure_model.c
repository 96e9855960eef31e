/* test_structure_model.c - structure from YAML: what later layers replace, other sizes, shares of decks, and what is an
 * error. The models are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "programme/reach/reach.h"
#include "support/lab.h"

#define HEAD                                                                                                           \
    "size: 100\ncolours: [ash, birch, clay]\nthemes:\n  - {name: knots, colours: ash+birch}\n  - {name: kites, "       \
    "colours: ash}\n  - {name: mirrors}\n"
#define SHEET                                                                                                          \
    "name,colours,copies,tags\nAnvil,ash,60,knots enabler 2;kites payoff\nBasket,birch,60,knots "                      \
    "payoff\nCandle,clay,60,mirrors\nDrum,ash+birch,60,knots;kites\n"

static const Form *form_of(const Lab *lab, const char *name)
{
    for (size_t f = 0; f < lab->instance->forms; f++)
        if (strcmp(lab->instance->form[f].name, name) == 0)
            return &lab->instance->form[f];
    fail_msg("there is no form '%s'", name);
    return NULL;
}

static const Limit *limit_of(const Lab *lab, const char *name)
{
    for (size_t l = 0; l < lab->instance->limits; l++)
        if (strcmp(lab->instance->limit[l].name, name) == 0)
            return &lab->instance->limit[l];
    fail_msg("there is no limit '%s'", name);
    return NULL;
}

static int64_t places_of(const Lab *lab, const char *colour, int theme)
{
    const Limit *limit = limit_of(lab, colour);
    for (size_t k = 0; k < limit->of_themes; k++)
        if (limit->of_theme[k] == theme)
            return limit->count[k];
    return 0;
}

static void open_lab(Lab *lab, const char *model, const char *lines)
{
    lab_open(lab);
    lab_file(lab, "m.yaml", model);
    lab_file(lab, "c.csv", SHEET);
    Text scenario = {0};
    text_printf(&scenario, "model: m.yaml\ncards: [c.csv]\n%s", lines);
    lab_file(lab, "s.yaml", text_cstr(&scenario));
    text_release(&scenario);
    lab_need(lab, "s.yaml");
}

static void numbers_of_places(void **state)
{
    (void)state;
    Lab lab;
    open_lab(
        &lab,
        HEAD
        "places: {theme: 6, open: 8, also: [mirrors], for: {knots: 5, birch: {knots: 4, open: 3}, clay: {theme: 2}}}\n",
        "");
    assert_int_equal(places_of(&lab, "places (ash)", 0), 5);
    assert_int_equal(places_of(&lab, "places (ash)", 1), 6);
    assert_int_equal(places_of(&lab, "places (ash)", 2), 6);
    assert_int_equal(places_of(&lab, "places (birch)", 0), 4);
    assert_int_equal(places_of(&lab, "places (birch)", 1), 0);
    assert_int_equal(places_of(&lab, "places (clay)", 2), 2);
    assert_int_equal(limit_of(&lab, "places (ash)")->all_low, 25);
    assert_int_equal(limit_of(&lab, "places (birch)")->all_high, 13);
    assert_int_equal(limit_of(&lab, "places (clay)")->all_low, 10);
    lab_close(&lab);
}

static void later_layers_of_places(void **state)
{
    (void)state;
    Lab lab;
    open_lab(&lab, HEAD "places: {theme: 6, for: {knots: 5, ash: {kites: 1}}}\n",
             "change: {places: {for: {knots: 3}}}\n");
    assert_int_equal(places_of(&lab, "places (ash)", 0), 3);
    assert_int_equal(places_of(&lab, "places (ash)", 1), 1);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 6, for: {knots: 5, ash: {kites: 1}}}\n",
             "change: {places: {theme: 2}}\n"); /* drops all `for` */
    assert_int_equal(places_of(&lab, "places (ash)", 0), 2);
    assert_int_equal(places_of(&lab, "places (ash)", 1), 2);
    assert_false(limit_of(&lab, "places (ash)")->has_all);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 6}\n", "change: {places: none}\n");
    assert_int_equal(lab.instance->limits, 2); /* size and cap */
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 6}\n", "change: {places: {off: yes}}\n");
    assert_int_equal(lab.instance->limits, 2);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 6, open: 8, for: {ash: {open: 3}}}\n", "change: {places: {open: 2}}\n");
    assert_int_equal(limit_of(&lab, "places (ash)")->all_low, 14);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 6}\n", "change: {size: 150, places: {theme: 5}}\n"); /* for 150 cards */
    assert_int_equal(places_of(&lab, "places (ash)", 0), 5);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 6, off: yes}\n", "change: {places: {theme: 2}}\n"); /* still off */
    assert_int_equal(lab.instance->limits, 2);
    lab_close(&lab);
}

/* `none` takes away what earlier layers say, until a later one says something again. */
static void places_taken_away(void **state)
{
    (void)state;
    Lab lab;
    lab_open(&lab);
    lab_file(&lab, "base.yaml", HEAD "places: {theme: 6}\ndeck: {rules: [{name: a, at_least: 1}]}\n");
    lab_file(&lab, "m.yaml", "extends: base.yaml\nplaces: none\ndeck: {rules: {a: {at_least: 2}}}\n");
    lab_file(&lab, "c.csv", SHEET);
    lab_file(&lab, "s.yaml",
             "model: m.yaml\ncards: [c.csv]\nchange: {places: {theme: 2}, deck: {rules: {a: {at_least: "
             "3}}}}\n");
    lab_need(&lab, "s.yaml");
    assert_int_equal(places_of(&lab, "places (ash)", 0), 2);
    assert_int_equal(lab.scenario->model->deck.rules, 1);
    assert_int_equal(lab.scenario->model->rule[lab.scenario->model->rules].bounds.low, 3);
    lab_file(&lab, "s.yaml", "model: m.yaml\ncards: [c.csv]\nchange: {deck: none}\n");
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->limits, 2); /* size and cap */
    assert_int_equal(lab.scenario->model->deck.rules, 0);
    lab_close(&lab);
}

/* Another size: themes are rounded down but not to 0, the total is the band of the quota rule, what is written beside
 * the new size is literal. */
static void places_of_another_size(void **state)
{
    (void)state;
    Lab lab;
    open_lab(&lab, HEAD "places: {theme: 5, open: 7, for: {kites: 1}}\n", "change: {size: 150}\n");
    assert_int_equal(places_of(&lab, "places (ash)", 0), 7);
    assert_int_equal(places_of(&lab, "places (ash)", 1), 1);
    assert_int_equal(limit_of(&lab, "places (ash)")->all_low, 19); /* 13 x 1.5 = 19.5 */
    assert_int_equal(limit_of(&lab, "places (ash)")->all_high, 20);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 5, open: 7, for: {kites: 1}}\n", "change: {size: 50}\n");
    assert_int_equal(places_of(&lab, "places (ash)", 0), 2);
    assert_int_equal(places_of(&lab, "places (ash)", 1), 1);
    assert_int_equal(limit_of(&lab, "places (ash)")->all_low, 6);
    assert_int_equal(limit_of(&lab, "places (ash)")->all_high, 7);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 0, open: 1}\n", "change: {size: 50}\n"); /* `exactly 1` is not `0 to 1` */
    assert_int_equal(limit_of(&lab, "places (ash)")->all_low, 1);
    assert_int_equal(limit_of(&lab, "places (ash)")->all_high, 1);
    lab_close(&lab);
    open_lab(&lab, HEAD "places: {theme: 5}\n", "change: {size: 150, places: {for: {ash: {knots: 6}}}}\n");
    assert_int_equal(places_of(&lab, "places (ash)", 0), 6);
    assert_int_equal(places_of(&lab, "places (ash)", 1), 7);
    lab_close(&lab);
}

static void names_of_combinations(void **state)
{
    (void)state;
    static const char model[] =
        HEAD "together:\n  - {name: set, cards: [Anvil, Basket], bonus: 4}\n  - {cards: [Candle], bonus: 1}\n"
             "choose: {from: [knots, kites], exactly: 1}\n";
    Lab lab;
    open_lab(&lab, model, "change: {together: {set: {bonus: 2.5}}, choose: {at_most: 2}}\n");
    assert_int_equal(form_of(&lab, "set")->gain, 2500);
    assert_int_equal(form_of(&lab, "set")->cards, 2);
    assert_int_equal(form_of(&lab, "together: Candle")->gain, 1000);
    assert_int_equal(limit_of(&lab, "choice of themes")->bounds.low, 0);
    assert_int_equal(limit_of(&lab, "choice of themes")->bounds.high, 2);
    lab_close(&lab);
    open_lab(&lab, model, "change: {together: {SET: {off: yes}}, choose: {off: yes}}\n");
    assert_int_equal(lab.instance->forms, 1);
    lab_close(&lab);
    open_lab(&lab, HEAD "together: [{name: set, cards: [Anvil], bonus: 4}]\n",
             "change: {together: [{name: other, cards: [Basket], bonus: 1}]}\n");
    assert_int_equal(lab.instance->forms, 2);
    lab_close(&lab);
    open_lab(&lab, HEAD "together: [{name: knots, cards: [Anvil], bonus: 4}]\n", ""); /* named as a theme is */
    assert_int_equal(form_of(&lab, "knots")->gain, 4000);
    lab_close(&lab);
    open_lab(&lab, HEAD "choose: {from: [knots, kites], between: [0, 1]}\n", "change: {choose: {exactly: 2}}\n");
    assert_int_equal(limit_of(&lab, "choice of themes")->bounds.low, 2);
    lab_close(&lab);
    open_lab(&lab, HEAD "choose: {from: [knots, kites], exactly: 2}\n", "change: {choose: {between: [0, 1]}}\n");
    assert_int_equal(limit_of(&lab, "choice of themes")->bounds.high, 1);
    lab_close(&lab);
}

/* At least none, or at most all, is no side beside one that asks; where neither asks both are told. */
static void sides_of_choices(void **state)
{
    (void)state;
    static const struct {
        const char *asked;
        bool low, high;
    } choice[] = {{"at_most: 1", false, true}, {"at_least: 1", true, false},    {"between: [1, 2]", true, true},
                  {"exactly: 0", true, true},  {"between: [0, 3]", true, true}, {"exactly: 3", true, true}};
    for (size_t k = 0; k < sizeof choice / sizeof *choice; k++) {
        char lines[200];
        snprintf(lines, sizeof lines, HEAD "choose: {from: [knots, kites, mirrors], %s}\n", choice[k].asked);
        Lab lab;
        open_lab(&lab, lines, "");
        assert_int_equal(limit_of(&lab, "choice of themes")->bounds.has_low, choice[k].low);
        assert_int_equal(limit_of(&lab, "choice of themes")->bounds.has_high, choice[k].high);
        lab_close(&lab);
    }
}

static void sets_of_parts(void **state)
{
    (void)state;
    Lab lab;
    open_lab(&lab, HEAD "together: [{name: set, parts: [[Candle, Anvil], Basket], bonus: 4}]\n",
             "change: {together: {set: {at_most: 2}}}\n");
    const Form *form = form_of(&lab, "set");
    assert_int_equal(form->kind, FORM_SETS);
    assert_int_equal(form->cards, 3);
    assert_int_equal(form->parts, 2);
    assert_int_equal(form->part[0], 0); /* Anvil */
    assert_int_equal(form->part[1], 1);
    assert_int_equal(form->part[2], 0);
    assert_int_equal(form->most, 2);
    lab_close(&lab);
}

static void engines_of_themes(void **state)
{
    (void)state;
    Lab lab;
    open_lab(&lab, HEAD,
             "change: {themes: {knots: {engine: {bonus: 0.25, enablers_per_payoff: [1, 2.5]}}, kites: {depth: [{to: 3, "
             "share: 100%}, {share: 33.333%}]}}}\n");
    const Form *engine = form_of(&lab, "engine (knots)"), *depth = form_of(&lab, "depth (kites)");
    const Limit *ratio = limit_of(&lab, "enablers per payoff (knots)");
    assert_int_equal(engine->gain, 250);
    assert_int_equal(engine->ratio, 1000);
    assert_int_equal(ratio->bounds.low, 1000);
    assert_int_equal(ratio->bounds.high, 2500);
    LimitReach *reach = mem_new(lab.instance->limits, sizeof *reach);
    limit_reach(lab.instance, reach);
    assert_int_equal(reach[ratio - lab.instance->limit].candidates, 2); /* Drum has no role */
    mem_free(reach);
    assert_int_equal(depth->steps, 2);
    assert_int_equal(depth->step[0].width, 3);
    assert_int_equal(depth->step[1].value, 333);
    lab_close(&lab);
    static const char whole[] =
        "size: 100\ncolours: [ash, birch, clay]\nthemes: [{name: knots, engine: {bonus: 1}, depth: [{share: 50%}]}]\n";
    open_lab(&lab, whole, "");
    assert_int_equal(lab.instance->forms, 2);
    lab_close(&lab);
    open_lab(&lab, whole, "change: {themes: {knots: {engine: none, depth: none}}}\n");
    assert_int_equal(lab.instance->forms, 0);
    lab_close(&lab);
}

/* ---- shares of decks ---- */

/* Every colour, pair and pair of hybrids, two-colour decks, 2 to 8 colours, against counting by hand and the closed
 * forms. */
static void shares_of_decks(void **state)
{
    (void)state;
    static const char *const name[] = {"ash", "birch", "clay", "dun", "elm", "fir", "gorse", "holly"};
    for (int n = 2; n <= 8; n++) {
        Lab lab;
        Text model = {0}, sheet = {0};
        text_add(&model, "size: 1\ndeck_colours: 2\ncolours: [");
        for (int i = 0; i < n; i++)
            text_printf(&model, "%s%s", i == 0 ? "" : ", ", name[i]);
        text_add(&model, "]\nrules:\n  - {name: all, at_least: 1}\n");
        text_add(&sheet, "name,colours\nnone,\n");
        for (int i = 0; i < n; i++) {
            text_printf(&sheet, "%s,%s\n", name[i], name[i]);
            for (int j = i + 1; j < n; j++)
                text_printf(&sheet, "%s and %s,%s+%s\n%s or %s,%s/%s\n", name[i], name[j], name[i], name[j], name[i],
                            name[j], name[i], name[j]);
        }
        lab_model(&lab, text_cstr(&model), "");
        lab_file(&lab, "c.csv", text_cstr(&sheet));
        lab_need(&lab, "s.yaml");
        int decks = 0, mono = 0, gold = 0, hybrid = 0; /* that play colour 0; 0 and 1; 0 or 1 */
        for (int a = 0; a < n; a++)
            for (int b = a + 1; b < n; b++) {
                decks++;
                mono += a == 0;
                gold += a == 0 && b == 1;
                hybrid += a <= 1;
            }
        const Instance *in = lab.instance;
        assert_int_equal(in->decks, decks);
        assert_int_equal(decks, n * (n - 1) / 2);
        for (size_t c = 0; c < in->cards->count; c++) {
            const char *card = in->cards->card[c].name;
            int want = strcmp(card, "none") == 0       ? decks
                       : strstr(card, " and ") != NULL ? gold
                       : strstr(card, " or ") != NULL  ? hybrid
                                                       : mono;
            assert_int_equal(in->playable[c], want);
        }
        if (n > 2) { /* one with each other colour; the deck of both is not counted twice */
            assert_int_equal(gold, 1);
            assert_int_equal(mono, n - 1);
            assert_int_equal(hybrid, 2 * mono - gold);
        }
        text_release(&model);
        text_release(&sheet);
        lab_close(&lab);
    }
}

/* Power 1, p of one half, n colours: 1 - p + p x share, in thousandths, rounded half up. */
static int64_t half_lost(int playing, int decks)
{
    return 500 + (2 * 500 * playing + decks) / (2 * decks);
}

static void fit_by_playability(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, "size: 1\ncolours: [ash, birch, clay, dun]\nfit: {playable: 50%}\n", "");
    lab_file(&lab, "c.csv", "name,colours,power\ngold,ash+birch,1\nhybrid,ash/birch,1\nmono,ash,1\nnone,,1\n");
    lab_need(&lab, "s.yaml");
    const int n = 4, decks = n * (n - 1) / 2;
    assert_int_equal(lab.instance->fit[lab_card(&lab, "gold")], half_lost(1, decks));
    assert_int_equal(lab.instance->fit[lab_card(&lab, "hybrid")], half_lost(2 * (n - 1) - 1, decks));
    assert_int_equal(lab.instance->fit[lab_card(&lab, "mono")], half_lost(n - 1, decks));
    assert_int_equal(lab.instance->fit[lab_card(&lab, "none")], 1000);
    lab_close(&lab);
}

/* ---- errors ---- */

typedef struct {
    const char *lines;
    const char *piece[3];
} Mistake;

static void mistakes(void **state)
{
    (void)state;
    static const Mistake mistake[] = {
        {"needs: [{card: Anvil, one_of: [Basket, basket], at_least: 2}]",
         {"m.yaml:7:9: error: ", "what Anvil needs asks for 2 of 1 card,", "expected no more than there are"}},
        {"groups: [{name: heap, cards: [Anvil, Basket], at_least: 3}]",
         {"m.yaml:7:17: error: ", "heap asks for 3 of 2 cards,", ""}},
        {"places: {theme: many}", {"m.yaml:7:17: error: ", "many", "places"}},
        {"places: {theem: 6}", {"m.yaml:7:10: error: ", "theem", "did you mean 'theme'"}},
        {"places: {each: pair, theme: 1}", {"m.yaml:7:16: error: ", "pair", "colour"}},
        {"places: {theme: 1, for: {knot: 2}}", {"m.yaml:7:26: error: ", "unknown theme 'knot'", "knots"}},
        {"places: {theme: 1, for: {ahs: {open: 2}}}", {"m.yaml:7:26: error: ", "unknown colour 'ahs'", "ash"}},
        {"places: {theme: 1, for: {birch: {kites: 2}}}", {"m.yaml:7:26: error: ", "kites", "also"}},
        {"places: {theme: 1, also: [nothing]}", {"m.yaml:7:27: error: ", "unknown theme 'nothing'", ""}},
        {"places: {theme: 1, by_place: yes}\nchoose: {from: [knots], exactly: 1}",
         {"m.yaml:8:9: error: ", "by_place", "choose"}},
        {"evenness: -1", {"m.yaml:7:11: error: ", "-1", "0 or more"}},
        {"fit: {playable: 120%}", {"m.yaml:7:17: error: ", "120%", "100%"}},
        {"fit: {stay: -2}", {"m.yaml:7:13: error: ", "-2", "0 or more"}},
        {"together: [{name: x, cards: [Anvil]}]", {"m.yaml:7:19: error: ", "'bonus' is missing", ""}},
        {"together: [{name: x, cards: [Anvil], bonus: 0}]", {"m.yaml:7:45: error: ", "0", "more than 0"}},
        {"together: [{name: x, cards: [Anvill], bonus: 1}]",
         {"m.yaml:7:30: error: ", "Anvill", "did you mean 'Anvil'"}},
        {"together: [{name: x, cards: [Anvil], bonus: 1}, {name: X, cards: [Drum], bonus: 1}]",
         {"m.yaml:7:56: error: ", "already there", "line 7"}},
        {"together: {x: {bonus: 1}}", {"m.yaml:7:12: error: ", "not known", "x"}},
        {"together: {cards: [Anvil, Drum], bonus: 1}",
         {"m.yaml:7:19: error: ", "new ones are a list, each with its own '-'", "a combination of cards"}},
        {"needs: [{card: Anvil, one_of: []}]", {"m.yaml:7:31: error: ", "found an empty list", "card names"}},
        {"needs: [{card: Anvil}]", {"m.yaml:7:9: error: ", "'one_of' is missing", ""}},
        {"needs: [{card: Anvil, one_off: [Drum]}]", {"m.yaml:7:23: error: ", "one_off", "did you mean 'one_of'"}},
        {"apart: [{cards: [], at_most: 1}]", {"m.yaml:7:17: error: ", "a list of card names", ""}},
        {"apart: [{cards: [Anvil], at_most: -1}]", {"m.yaml:7:35: error: ", "-1", "0 or more"}},
        {"groups: [{cards: [Anvil], at_least: 0}]", {"m.yaml:7:37: error: ", "0", "1 or more"}},
        {"choose: {from: [knots]}", {"m.yaml:7:9: error: ", "no bounds", "exactly"}},
        {"choose: {from: [knots], exactly: 1, at_most: 2}", {"m.yaml:7:9: error: ", "do not go together", ""}},
        {"choose: {from: [knot], exactly: 1}", {"m.yaml:7:17: error: ", "unknown theme 'knot'", "knots"}},
        {"choose: {from: [kites], per: pair, exactly: 1}", {"m.yaml:7:17: error: ", "kites", "two colours"}},
        {"choose: {from: [kites], exactly: 2}", {"m.yaml:7:9: error: ", "asks for 2 of 1", ""}},
        {"choose: {from: [kites], per: colour, exactly: 1}", {"m.yaml:7:30: error: ", "colour", "pool or pair"}},
        {"  - {name: wheels, engine: {ratio: 2}}", {"m.yaml:7:28: error: ", "engine without bonus", ""}},
        {"  - {name: wheels, engine: {bonus: 1, ratio: 0}}", {"m.yaml:7:46: error: ", "0", "above 0"}},
        {"  - {name: wheels, engine: {enablers_per_payoff: [3, 1]}}", {"m.yaml:7:", "error: ", "contradicts"}},
        {"  - {name: wheels, depth: [{to: 5, share: 50%}, {to: 4, share: 20%}]}",
         {"m.yaml:7:", "error: ", "do not rise"}},
        {"  - {name: wheels, depth: [{to: 5, share: 50%}, {to: 9, share: 60%}]}",
         {"m.yaml:7:", "error: ", "shares of depth rise"}},
        {"  - {name: wheels, depth: [{to: 5}]}", {"m.yaml:7:", "error: ", "'share' is missing"}},
        {"  - {name: wheels, depth: [{to: 5, share: 101%}]}", {"m.yaml:7:", "101%", "100%"}},
    };
    for (size_t i = 0; i < sizeof mistake / sizeof *mistake; i++) {
        Lab lab;
        Text model = {0};
        lab_open(&lab);
        text_printf(&model, "%s%s\n", HEAD, mistake[i].lines);
        lab_file(&lab, "m.yaml", text_cstr(&model));
        lab_file(&lab, "c.csv", SHEET);
        lab_file(&lab, "s.yaml", "model: m.yaml\ncards: [c.csv]\n");
        if (lab_read(&lab, "s.yaml"))
            fail_msg("read without an error: %s", mistake[i].lines);
        for (int k = 0; k < 3; k++)
            lab_expect(&lab, mistake[i].piece[k]);
        text_release(&model);
        lab_close(&lab);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_of_places),     cmocka_unit_test(later_layers_of_places),
        cmocka_unit_test(places_taken_away),     cmocka_unit_test(places_of_another_size),
        cmocka_unit_test(names_of_combinations), cmocka_unit_test(sets_of_parts),
        cmocka_unit_test(engines_of_themes),     cmocka_unit_test(shares_of_decks),
        cmocka_unit_test(fit_by_playability),    cmocka_unit_test(mistakes),
        cmocka_unit_test(sides_of_choices),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
