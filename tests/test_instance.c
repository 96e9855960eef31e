/* test_instance.c - candidates met with a model: names, prices, owned copies, tags, the present pool, fit, classes,
 * playability, errors. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "support/lab.h"

#define BASE "size: 3\ncolours: [brass, glass, linen, tar]\n"

static const char plain_cards[] = "name,colours,kind,cost,power,price,tags,status,owned,copies,rating,seal\n"
                                  "Anchor,brass,crew,2,5,1.00,convoys payoff 2,,,,3,gilt\n"
                                  "Bell,,charm,3,,2.00,,wish,,,,\n"
                                  "Crow,tar,crew;bird,4,6.5,0.50,removal;convoys enabler,in,1,4,7.5,wax\n"
                                  "Dock,,port,,1,0.25,,,,,4,GILT\n";

/* One error, or one notice, in a sheet or a model. */
typedef struct {
    const char *model, *scenario, *file, *bytes, *expected;
} Wrong;

static bool says(const Wrong *wrong, bool notice)
{
    Lab lab;
    lab_model(&lab, wrong->model, wrong->scenario);
    lab_file(&lab, "c.csv", plain_cards);
    if (wrong->file != NULL)
        lab_file(&lab, wrong->file, wrong->bytes);
    bool read = lab_read(&lab, "s.yaml");
    bool said = read == notice && lab.diags.count == 1 && strstr(lab.said, wrong->expected) != NULL;
    if (!said)
        print_error("expected: %s\nsaid: %s\n", wrong->expected, lab.said);
    lab_close(&lab);
    return said;
}

static void need(Lab *lab, const char *model, const char *scenario, const char *cards)
{
    lab_model(lab, model, scenario);
    lab_file(lab, "c.csv", cards);
    lab_need(lab, "s.yaml");
}

/* ---- names ---- */

static void keep_ban_and_wish_come_from_everywhere(void **state)
{
    (void)state;
    Lab lab;
    const char *const wished[] = {"DOCK"};
    lab_model(&lab, BASE "keep: [anchor]\n", "ban: [ Crow ]\n");
    lab_file(&lab, "c.csv", plain_cards);
    lab.overrides = (Overrides){.wish = wished, .wishes = 1};
    lab_need(&lab, "s.yaml");
    const Instance *in = lab.instance;
    size_t anchor = lab_card(&lab, "Anchor"), bell = lab_card(&lab, "Bell"), crow = lab_card(&lab, "Crow"),
           dock = lab_card(&lab, "Dock");
    assert_int_equal(in->least[anchor], 1);
    assert_int_equal(in->most[anchor], 1);
    assert_int_equal(in->least[crow], 0);
    assert_int_equal(in->most[crow], 0);
    assert_int_equal(in->status[anchor], STATUS_KEEP);
    assert_int_equal(in->status[bell], STATUS_WISH);
    assert_int_equal(in->status[crow], STATUS_BAN | STATUS_IN);
    assert_int_equal(in->status[dock], STATUS_WISH);
    assert_string_equal(in->status_at[anchor].file, "m.yaml");
    assert_int_equal(in->status_at[anchor].line, 3);
    assert_string_equal(in->status_at[crow].file, "s.yaml");
    assert_int_equal(in->most[bell], 1);
    lab_close(&lab);
}

/* What is said later wins; said together it is a contradiction. */
static void keep_against_ban(void **state)
{
    (void)state;
    Lab lab;
    const char *const card[] = {"Anchor"};
    lab_model(&lab, BASE "ban: [Anchor]\n", "keep: [Anchor]\ncases: [{name: without, change: {ban: [Anchor]}}]\n");
    lab_file(&lab, "c.csv", plain_cards);
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->least[lab_card(&lab, "Anchor")], 1);
    lab.overrides.case_name = "without";
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->most[lab_card(&lab, "Anchor")], 0);
    lab.overrides = (Overrides){.ban = card, .bans = 1};
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->most[lab_card(&lab, "Anchor")], 0);
    lab.overrides = (Overrides){.ban = card, .bans = 1, .keep = card, .keeps = 1};
    assert_false(lab_read(&lab, "s.yaml"));
    lab_expect(&lab, "'Anchor' is both kept and banned");
    lab_close(&lab);
    lab_model(&lab, BASE, "ban: [Anchor]\n"); /* the scenario speaks later than the sheet */
    lab_file(&lab, "c.csv", "name,status\nAnchor,keep\n");
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->most[0], 0);
    lab_close(&lab);
}

static void unknown_names(void **state)
{
    (void)state;
    static const Wrong wrong[] = {
        {BASE "keep: [Ankor]\n", "", NULL, NULL,
         "m.yaml:3:8: error: no candidate is called 'Ankor'; did you mean 'Anchor'?"},
        {BASE, "ban: [Crows]\n", NULL, NULL, "s.yaml:3:7: error: no candidate is called 'Crows'; did you mean 'Crow'?"},
        {BASE "wish:\n  - Tower #3\n", "", NULL, NULL,
         "no candidate is called 'Tower' ('#3' behind it is read as a comment; put the name in quotes if it belongs to "
         "it)"},
        {BASE "rules: [{name: a, at_least: 0}]\nexempt: [{card: Cro, from: [a]}]\n", "", NULL, NULL,
         "m.yaml:4:17: error: no candidate is called 'Cro'"},
        {BASE, "keep: [Anchor]\nban: [ANCHOR]\n", NULL, NULL,
         "s.yaml:4:7: error: 'ANCHOR' is both kept and banned; the other word stands in line 3"},
        {BASE "unpriced: skip\n", "keep: [Bell]\n", "c.csv", "name,price\nBell,\nCrow,1\n",
         "s.yaml:3:8: error: 'Bell' is kept but has no price"},
    };
    size_t wrongs = 0;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        wrongs += !says(&wrong[i], false);
    assert_int_equal(wrongs, 0);
    static const Wrong notice = {BASE "keep:\n  - Anchor #3\n", "", NULL, NULL,
                                 "m.yaml:4:5: notice: '#3' behind 'Anchor' is read as a comment"};
    assert_true(says(&notice, true));
}

/* ---- prices ---- */

static void prices_owned_and_spending(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, BASE "spending_cap: 5\n", "prices: [p.csv, q.csv]\nowned: [o.csv]\n");
    lab_file(&lab, "c.csv", plain_cards);
    lab_file(&lab, "p.csv", "name;price;set\nANCHOR;3,00;x\nanchor;2,50 EUR;y\nDock;;z\nTower;9;x\n");
    lab_file(&lab, "q.csv", "price,name\n2.75,Anchor\n\"$1,000.00\",Tower\n");
    lab_file(&lab, "o.csv", "name,copies\nCrow,2\ncrow,1\nAnchor,\nTower,5\n");
    assert_true(lab_read(&lab, "s.yaml"));
    const Instance *in = lab.instance;
    size_t anchor = lab_card(&lab, "Anchor"), crow = lab_card(&lab, "Crow"), dock = lab_card(&lab, "Dock");
    assert_int_equal(in->price[anchor], 250); /* the cheapest line of the sheets; it replaces the cards sheet's 1.00 */
    assert_int_equal(in->price[dock], 25);    /* a blank says nothing */
    assert_int_equal(in->cards->card[crow].owned, 3);
    assert_int_equal(in->cards->card[anchor].owned, 1);
    assert_int_equal(instance_spend(in, crow, 0), 0);
    assert_int_equal(instance_spend(in, crow, 3), 0);
    assert_int_equal(instance_spend(in, crow, 4), 50);
    assert_int_equal(instance_spend(in, dock, 1), 25);
    lab_expect(&lab, "p.csv: notice: 1 of 4 lines names no candidate: 'Tower'");
    lab_expect(&lab, "q.csv: notice: 1 of 2 lines");
    lab_expect(&lab, "o.csv: notice: 1 of 4 lines");
    lab_close(&lab);
}

static void candidates_without_a_price(void **state)
{
    (void)state;
    static const char cards[] = "name,price,owned,copies,power\nAnchor,,,,1\nBell,2,,,1\nCrow,,2,2,\nDrum,,1,2,1\n";
    Lab lab;
    need(&lab, BASE, "", cards); /* no cap, no rule on money: no matter */
    assert_int_equal(lab.instance->unpriced_count, 3);
    assert_int_equal(lab.instance->unscored_count, 1);
    lab_close(&lab);
    lab_model(&lab, BASE "spending_cap: 5\n", "");
    lab_file(&lab, "c.csv", cards);
    assert_false(lab_read(&lab, "s.yaml"));
    lab_expect(&lab, "c.csv:2:1: error: 2 candidates have no price: 'Anchor' (line 2), 'Drum' (line 5); expected "
                     "prices, or in the model 'unpriced: skip'");
    lab_file(&lab, "m.yaml",
             BASE "rules: [{name: a, measure: price, at_most: 9}]\nban: [Anchor, Drum]\n"); /* banned ones need none */
    lab_need(&lab, "s.yaml");
    lab_file(&lab, "m.yaml", BASE "spending_cap: 5\nunpriced: skip\n");
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->skipped_count, 2);
    assert_int_equal(lab.instance->unpriced_count, 1);
    assert_true(lab.instance->skipped[0]);
    assert_int_equal(lab.instance->most[0], 0);
    assert_int_equal(lab.instance->most[2], 2); /* enough copies are owned */
    lab_file(&lab, "m.yaml",
             BASE "spending_cap: 5\nunpriced: 0.75\nrules: [{name: cheap, where: {price: {to: 0.75}}, at_least: 0}, "
                  "{name: p, measure: price, at_most: 9}]\n");
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab.instance->price[0], 75);
    assert_int_equal(lab_counts(&lab, "cheap", ""), 3);
    int64_t value = 0;
    assert_true(member_value(lab.instance, lab_member(&lab, "p", ""), 0, &value));
    assert_int_equal(value, 75);
    lab_close(&lab);
}

/* ---- tags and pools ---- */

static void tags_from_a_sheet_join_those_of_the_cards(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab,
              BASE "themes: [{name: convoys}, {name: eels, weight: 2}]\nrules: [{name: enablers, each: theme, where: "
                   "{role: enabler}, at_least: 0}]\n",
              "tags: [t.csv]\n");
    lab_file(&lab, "c.csv", plain_cards);
    lab_file(&lab, "t.csv", "weight;role;tag;name\n1,5;;Eels;anchor\n;Enabler;eels;Crow\n;;big;Crow\n");
    lab_need(&lab, "s.yaml");
    const Instance *in = lab.instance;
    assert_int_equal(in->cards->tags, 4); /* in order of their folded names: big, convoys, eels, removal */
    assert_string_equal(in->cards->tag[0], "big");
    assert_string_equal(in->cards->tag[3], "removal");
    size_t anchor = lab_card(&lab, "Anchor"), crow = lab_card(&lab, "Crow");
    assert_int_equal(in->cards->card[crow].tags, 4);
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(in->cards->card[crow].tag[i].tag, i);
    assert_int_equal(in->fit[anchor], 5000 + 2000 + 3000);
    assert_int_equal(in->fit[crow], 6500 + 1000 + 2000);
    char *names = lab_counted(&lab, "enablers", "eels");
    assert_string_equal(names, "Crow");
    mem_free(names);
    const CardTag *tag = instance_theme_tag(in, 1, anchor);
    assert_int_equal(tag->weight, 1500);
    lab_close(&lab);
}

static void mistakes_in_side_sheets(void **state)
{
    (void)state;
    static const Wrong wrong[] = {
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag\nCrew,eels\n",
         "t.csv:2:1: error: no candidate is called 'Crew'; did you mean 'Crow'?"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag\nCrow,removal\n",
         "t.csv:2:6: error: found the tag 'removal' a second time for 'Crow', expected it once; it already stands in "
         "c.csv:4"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag\nBell,eels\nBELL,Eels\n",
         "t.csv:3:6: error: found the tag 'Eels' a second time for 'Bell', expected it once; it already stands in "
         "t.csv:2"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag,role\nBell,eels,payof\n",
         "t.csv:2:11: error: column 'role': found 'payof', expected enabler, payoff, both or nothing; did you mean "
         "'payoff'?"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag,weight\nBell,eels,much\n",
         "found 'much', expected a weight, which is a number"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag\nBell,a;b\n", "found a ';', expected one tag on a line"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tag\nBell,\n", "found no tag, expected one tag on a line"},
        {BASE, "tags: [t.csv]\n", "t.csv", "name,tags\nBell,a\n",
         "found no column 'tag', expected one; did you mean 'tags'?"},
        {BASE, "prices: [p.csv]\n", "p.csv", "name,price\nBell,cheap\n",
         "p.csv:2:6: error: column 'price': found 'cheap', expected money, 0 or more"},
        {BASE, "prices: [p.csv]\n", "p.csv", "name,price\nBell,-1\n", "found '-1', expected money, 0 or more"},
        {BASE, "prices: [p.csv]\n", "p.csv", "name,price\n,1\n", "p.csv:2:1: error: found a line without a name"},
        {BASE, "prices: [p.csv]\n", "p.csv", "thing,price\nBell,1\n", "p.csv:1:1: error: found no column 'name'"},
        {BASE, "prices: [p.csv]\n", NULL, NULL, "s.yaml:3:10: error: "},
        {BASE, "owned: [o.csv]\n", "o.csv", "name,copies\nBell,1.5\n",
         "found '1.5', expected a whole number of copies, 0 to 1000"},
        {BASE, "pool: o.csv\n", "o.csv", "name,chosen\nBell,many\n", "found 'many', expected a whole number of copies"},
    };
    size_t wrongs = 0;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        wrongs += !says(&wrong[i], false);
    assert_int_equal(wrongs, 0);
}

static void the_present_pool(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, BASE, "pool: p.csv\n");
    lab_file(&lab, "c.csv", plain_cards);
    lab_file(&lab, "p.csv", "name,copies,chosen\nbell,9,2\nTower,9,1\nDock,9,0\nAnchor,9,\nBELL,1,1\n");
    assert_true(lab_read(&lab, "s.yaml"));
    const Instance *in = lab.instance;
    assert_true(in->has_present);
    assert_int_equal(in->present[lab_card(&lab, "Bell")], 3);
    assert_int_equal(in->present[lab_card(&lab, "Dock")], 0);
    assert_int_equal(in->present[lab_card(&lab, "Anchor")], 0);
    assert_int_equal(in->present[lab_card(&lab, "Crow")], 1); /* by its status */
    assert_int_equal(in->gones, 1);
    assert_string_equal(in->gone[0].name, "Tower");
    assert_int_equal(in->gone[0].at.line, 3);
    lab_file(&lab, "p.csv", "name\nAnchor\n");
    assert_true(lab_read(&lab, "s.yaml"));
    assert_int_equal(lab.instance->present[lab_card(&lab, "Anchor")], 1);
    lab_file(&lab, "s.yaml", "model: m.yaml\ncards: [c.csv]\n");
    lab_file(&lab, "c.csv", "name\nAnchor\n");
    lab_need(&lab, "s.yaml");
    assert_false(lab.instance->has_present);
    lab_close(&lab);
}

/* ---- fit, class, playability ---- */

/* 1.111 x 1.5 = 1.6665, and a tag of 0.333 x 1.5 = 0.4995: 2.166 exactly, where rounding each first would give 2.167.
 */
static void fit_is_rounded_once(void **state)
{
    (void)state;
    Lab lab;
    need(&lab,
         BASE "fit: {power: 1.5, unscored: 2.001}\nthemes: [{name: eels, weight: 1.5}, {name: bells, weight: 0}]\n", "",
         "name,power,tags\nA,1.111,eels 0.333\nB,,bells 9\nC,0.001,\nD,-0.001,\nE,0,eels -0.001\n");
    const int64_t fit[] = {2166, 3002, 2, -2, -2}; /* 3.0015, 0.0015 and their negatives: halves away from zero */
    for (size_t c = 0; c < 5; c++)
        assert_int_equal(lab.instance->fit[c], fit[c]);
    lab_close(&lab);
    static const Wrong wrong = {BASE "fit: {power: 1000000}\n", "", "c.csv", "name,power\nA,1000001\n",
                                "c.csv:2:1: error: the fit of 'A' is too large"};
    assert_true(says(&wrong, false));
}

static void classes(void **state)
{
    (void)state;
    Lab lab;
    static const char cards[] = "name,colours,kind,symbols,power\nA,,,,1\nB,brass,,,1\nC,brass+tar,,,1\nD,brass/"
                                "tar,,2,1\nE,brass/tar,,3,1\nF,brass/tar,,,1\nG,brass,port,,1\nH,,PORT; coast,,1\n"
                                "I,brass,port,,9\n";
    need(&lab, BASE "fixing: {kind: Port, power: {to: 5}}\nhybrid_as_gold: 3\n", "", cards);
    const CardClass class[] = {CLASS_COLOURLESS, CLASS_MONO,   CLASS_GOLD,   CLASS_HYBRID, CLASS_GOLD,
                               CLASS_HYBRID,     CLASS_FIXING, CLASS_FIXING, CLASS_MONO};
    for (size_t c = 0; c < 9; c++)
        assert_int_equal(lab.instance->class[c], class[c]);
    lab_close(&lab);
    need(&lab, BASE, "", cards);
    assert_int_equal(lab.instance->class[4], CLASS_HYBRID);
    assert_int_equal(lab.instance->class[6], CLASS_MONO);
    lab_close(&lab);
}

/* By plain counting: of the decks of two of n colours a mono card fits n - 1, a gold card of two colours one, a hybrid
 * of two colours those of either, which share one, a colourless card all. */
static void playability_by_counting(void **state)
{
    (void)state;
    Lab lab;
    need(&lab,
         "size: 1\ncolours: [a, b, c, d]\nrules:\n  - {name: half, where: {playable: 50%}, at_least: 0}\n  - "
         "{name: share, where: {playable: {from: 0.501, to: 99.9%}}, at_least: 0}\n",
         "", "name,colours\nColourless,\nGold,a+b\nHybrid,a/b\nMono,a\nNone,a+b+c\n");
    enum { N = 4, DECKS = N * (N - 1) / 2, OF_ONE = N - 1 };
    const int playable[] = {DECKS, 1, 2 * OF_ONE - 1, OF_ONE, 0};
    assert_int_equal(2 * OF_ONE, DECKS); /* so half of the decks play a mono card */
    assert_int_equal(lab.instance->decks, DECKS);
    for (size_t c = 0; c < 5; c++)
        assert_int_equal(lab.instance->playable[c], playable[c]);
    char *names = lab_counted(&lab, "half", "");
    assert_string_equal(names, "Mono");
    mem_free(names);
    names = lab_counted(&lab, "share", "");
    assert_string_equal(names, "Hybrid");
    mem_free(names);
    lab_close(&lab);
}

/* By enumeration: a card of needs c1..ck against every set of colours, for 2 to 8 colours and every size of deck. */
static void playability_by_enumeration(void **state)
{
    (void)state;
    static const char *const need_text[] = {"", "a", "a+b", "a/b", "a+a/b", "b/a"};
    for (int colours = 2; colours <= 8; colours++)
        for (int deck = 1; deck <= colours; deck++) {
            Lab lab;
            Text model = {0}, cards = {0};
            text_add(&model, "size: 1\ncolours: [a");
            for (int i = 1; i < colours; i++)
                text_printf(&model, ", %c", 'a' + i);
            text_printf(&model, "]\ndeck_colours: %d\n", deck);
            text_add(&cards, "name,colours\n");
            for (size_t i = 0; i < sizeof need_text / sizeof *need_text; i++)
                text_printf(&cards, "%zu,%s\n", i, need_text[i]);
            need(&lab, text_cstr(&model), "", text_cstr(&cards));
            int count[6] = {0}, decks = 0;
            for (unsigned mask = 0; mask < 1U << colours; mask++) {
                int held = 0;
                for (unsigned rest = mask; rest != 0; rest &= rest - 1)
                    held++;
                if (held != deck)
                    continue;
                bool a = (mask & 1U) != 0, b = (mask & 2U) != 0;
                const bool pays[6] = {true, a, a && b, a || b, a, a || b};
                decks++;
                for (size_t i = 0; i < 6; i++)
                    count[i] += pays[i];
            }
            assert_int_equal(lab.instance->decks, decks);
            for (size_t i = 0; i < 6; i++)
                assert_int_equal(lab.instance->playable[i], count[i]);
            lab_close(&lab);
            text_release(&model);
            text_release(&cards);
        }
}

/* ---- columns and notices ---- */

static void columns_that_cannot_be_used(void **state)
{
    (void)state;
    static const char cards[] = "name,rating,size\nA,3,big\nB,lots,\nC,0.0001,\nD,9999999999999,\n";
    static const Wrong wrong[] = {
        {BASE "rules: [{name: a, where: {ratng: 3}, at_least: 0}]\n", "", NULL, NULL,
         "m.yaml:3:27: error: unknown field 'ratng', neither built in nor a column of the cards sheets; did you mean "
         "'rating'?"},
        {BASE "rules: [{name: a, where: {pwer: 3}, at_least: 0}]\n", "", NULL, NULL, "did you mean 'power'?"},
        {BASE "rules: [{name: a, measure: ratings, at_least: 0}]\n", "", NULL, NULL,
         "m.yaml:3:28: error: unknown measure 'ratings', neither built in nor a column of the cards sheets; did you "
         "mean 'rating'?"},
        {BASE "rules: [{name: a, measure: seal, at_least: 0, where: {name: Dock}}]\n", "", "c.csv",
         "name,seal\nDock,gilt\n",
         "c.csv:2:1: error: column 'seal' holds 'gilt', expected a number, since rule 'a' uses it as one (m.yaml:3)"},
    };
    size_t wrongs = 0;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        wrongs += !says(&wrong[i], false);
    assert_int_equal(wrongs, 0);
    Lab lab;
    lab_model(&lab,
              BASE
              "rules: [{name: a, where: {rating: {from: 2}}, at_least: 0}, {name: b, measure: rating, at_least: 0}]\n",
              "");
    lab_file(&lab, "c.csv", cards);
    assert_false(lab_read(&lab, "s.yaml"));
    assert_int_equal(lab.diags.errors, 3); /* each cell once */
    lab_expect(&lab, "c.csv:3:1: error: column 'rating' holds 'lots', expected a number, since a range uses it as one");
    lab_expect(&lab, "c.csv:4:1: error: column 'rating' holds '0.0001', expected a number with at most 3 decimals");
    lab_expect(&lab, "c.csv:5:1: error: column 'rating' holds '9999999999999', expected a smaller number");
    lab_close(&lab);
}

static void words_that_no_candidate_has(void **state)
{
    (void)state;
    static const Wrong notice[] = {
        {BASE "rules: [{name: a, where: {kind: crow}, at_least: 0}]\n", "", NULL, NULL,
         "m.yaml:3:33: notice: no candidate has the kind 'crow'; did you mean 'crew'?"},
        {BASE "rules: [{name: a, where: {tag: {not: [convoy, removal]}}, at_least: 0}]\n", "", NULL, NULL,
         "m.yaml:3:39: notice: no candidate has the tag 'convoy'; did you mean 'convoys'?"},
        {BASE "rules: [{name: a, where: {name: Cro}, at_least: 0}]\n", "", NULL, NULL,
         "m.yaml:3:33: notice: no candidate is called 'Cro'"},
        {BASE "themes: [{name: convoi}]\n", "", NULL, NULL,
         "m.yaml:3:17: notice: no candidate is tagged for the theme 'convoi'; did you mean 'convoys'?"},
        {BASE "rules: [{name: a, each: theme, at_least: 0}]\n", "", NULL, NULL,
         "m.yaml:3:16: notice: rule 'a' holds for nothing: the model has no themes"},
        {"size: 1\ncolours: [brass]\nrules: [{name: a, each: pair, at_least: 0}]\n", "", "c.csv", "name\nA\n",
         "rule 'a' holds for nothing: the model has no pairs"},
    };
    size_t wrongs = 0;
    for (size_t i = 0; i < sizeof notice / sizeof *notice; i++)
        wrongs += !says(&notice[i], true);
    assert_int_equal(wrongs, 0);
}

/* The order of lines in any sheet does not matter. */
static void shuffled_sheets_are_the_same(void **state)
{
    (void)state;
    Lab a, b;
    static const char model[] =
        BASE "themes: [{name: convoys}, {name: Eels}]\nrules: [{name: r, each: theme, at_least: 0}]\n";
    static const char scenario[] = "tags: [t.csv]\nprices: [p.csv]\n";
    lab_model(&a, model, scenario);
    lab_file(&a, "c.csv", "name,kind,tags\nB,y;X,convoys\nA,x,zeal\n");
    lab_file(&a, "t.csv", "name,tag\nA,Eels\nB,EELS\nA,mud\n");
    lab_file(&a, "p.csv", "name,price\nA,1\nA,2\nB,3\n");
    lab_need(&a, "s.yaml");
    lab_model(&b, model, scenario);
    lab_file(&b, "c.csv", "name,kind,tags\nA,x,zeal\nB,y;X,convoys\n");
    lab_file(&b, "t.csv", "name,tag\nA,mud\nB,EELS\nA,Eels\n");
    lab_file(&b, "p.csv", "name,price\nB,3\nA,2\nA,1\n");
    lab_need(&b, "s.yaml");
    assert_int_equal(a.instance->cards->tags, b.instance->cards->tags);
    for (size_t i = 0; i < a.instance->cards->tags; i++)
        assert_string_equal(a.instance->cards->tag[i], b.instance->cards->tag[i]);
    for (size_t c = 0; c < 2; c++) {
        assert_int_equal(a.instance->price[c], b.instance->price[c]);
        assert_int_equal(a.instance->fit[c], b.instance->fit[c]);
        assert_int_equal(a.instance->cards->card[c].tags, b.instance->cards->card[c].tags);
        assert_int_equal(a.instance->cards->card[c].tag[0].tag, b.instance->cards->card[c].tag[0].tag);
    }
    lab_close(&b);
    lab_close(&a);
}

/* Each word of a tags sheet's status is that status and no other. */
static void a_tags_sheet_gives_statuses(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, BASE, "tags: [t.csv]\n");
    lab_file(&lab, "c.csv", plain_cards);
    lab_file(&lab, "t.csv", "name,status,tag\nAnchor,keep,\nBell,in,\nCrow,ban,\nDock,wish; in,\n");
    assert_true(lab_read(&lab, "s.yaml"));
    const Instance *in = lab.instance;
    assert_int_equal(in->status[lab_card(&lab, "Anchor")], STATUS_KEEP);
    assert_int_equal(in->status[lab_card(&lab, "Bell")], STATUS_IN);
    assert_int_equal(in->status[lab_card(&lab, "Crow")], STATUS_BAN);
    assert_int_equal(in->status[lab_card(&lab, "Dock")], STATUS_WISH | STATUS_IN);
    assert_int_equal(in->present[lab_card(&lab, "Bell")], 1);
    assert_int_equal(in->present[lab_card(&lab, "Crow")], 0);
    lab_close(&lab);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tags_sheet_gives_statuses),
        cmocka_unit_test(keep_ban_and_wish_come_from_everywhere),
        cmocka_unit_test(keep_against_ban),
        cmocka_unit_test(unknown_names),
        cmocka_unit_test(prices_owned_and_spending),
        cmocka_unit_test(candidates_without_a_price),
        cmocka_unit_test(tags_from_a_sheet_join_those_of_the_cards),
        cmocka_unit_test(mistakes_in_side_sheets),
        cmocka_unit_test(the_present_pool),
        cmocka_unit_test(fit_is_rounded_once),
        cmocka_unit_test(classes),
        cmocka_unit_test(playability_by_counting),
        cmocka_unit_test(playability_by_enumeration),
        cmocka_unit_test(columns_that_cannot_be_used),
        cmocka_unit_test(words_that_no_candidate_has),
        cmocka_unit_test(shuffled_sheets_are_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
