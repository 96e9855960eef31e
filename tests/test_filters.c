/* test_filters.c - what filters let pass, what members count, and what their measures are. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "model/language/filter_read.h"
#include "support/lab.h"

/* Names are their own abbreviations: what a filter passes reads as a word. */
static const char cards[] = "name,colours,kind,cost,power,price,tags,owned,copies,rating,seal\n"
                            "a,brass,crew,1,5,1.00,convoys payoff 2; removal enabler 1,,,3,gilt\n"
                            "b,glass,crew; bird,2,6,2.00,convoys enabler,,2,-1,wax\n"
                            "c,linen,vessel,3,,0.50,convoys both 3,1,3,0.5,\xC3\x89tain\n"
                            "d,tar,charm,4,9.5,,removal,,,,gilt\n"
                            "e,brass+linen,vessel,,7,3.00,convoys payoff 1.5; eels payoff,,,7.125,\n"
                            "f,brass/tar,,0,1,0.05,eels,,,three,old wax\n"
                            "g,,port,5,2,0.25,,1,,3.000,Gilt\n"
                            "h,brass+glass/tar,bird,6,8,9.99,eels enabler 2; convoys,,,\"\",\n";

#define MODEL                                                                                                          \
    "size: 3\ncolours: [brass, glass, linen, tar]\nfixing: {kind: port}\nfit: {power: 1, unscored: 2}\nthemes:\n"      \
    "  - {name: convoys, colours: brass+linen}\n  - {name: eels, colours: tar, weight: 0.5}\nrules:\n"

static void open_rule(Lab *lab, const char *rule)
{
    Text model = {0};
    text_printf(&model, MODEL "  - {name: r, %s}\n", rule);
    lab_model(lab, text_cstr(&model), "");
    lab_file(lab, "c.csv", cards);
    text_release(&model);
    lab_need(lab, "s.yaml");
}

/* The names that the rule counts, without the commas between. */
static char *counted(const Lab *lab, const char *of)
{
    char *names = lab_counted(lab, "r", of);
    size_t kept = 0;
    for (const char *at = names; *at != '\0'; at++)
        if (*at != ',' && *at != ' ')
            names[kept++] = *at;
    names[kept] = '\0';
    return names;
}

typedef struct {
    const char *rule, *of, *names;
} Passing;

static void assert_passing(const Passing *passing, size_t count)
{
    size_t wrong = 0;
    for (size_t i = 0; i < count; i++) {
        Lab lab;
        open_rule(&lab, passing[i].rule);
        char *names = counted(&lab, passing[i].of);
        if (strcmp(names, passing[i].names) != 0) {
            print_error("%s / %s: expected %s, counted %s\n", passing[i].rule, passing[i].of, passing[i].names, names);
            wrong++;
        }
        mem_free(names);
        lab_close(&lab);
    }
    assert_int_equal(wrong, 0);
}

#define WHERE(filter) "at_least: 0, where: {" filter "}", ""

static void fields_of_a_filter(void **state)
{
    (void)state;
    static const Passing passing[] = {
        {"at_least: 0", "", "abcdefgh"},
        {"at_least: 0, where: ", "", "abcdefgh"},
        {WHERE("class: mono"), "abcd"},
        {WHERE("class: GOLD"), "eh"},
        {WHERE("class: hybrid"), "f"},
        {WHERE("class: fixing"), "g"},
        {WHERE("class: colourless"), ""},
        {WHERE("class: [gold, fixing]"), "egh"},
        {WHERE("class: {not: [mono, gold]}"), "fg"},
        {WHERE("colours: brass"), "a"},
        {WHERE("colours: linen+Brass"), "e"},
        {WHERE("colours: tar/brass"), "f"},
        {WHERE("colours: colourless"), "g"},
        {WHERE("colours: tar/glass+brass"), "h"},
        {WHERE("colours: {not: [brass, tar]}"), "bcefgh"},
        {WHERE("kind: Bird"), "bh"},
        {WHERE("kind: [crew, charm]"), "abd"},
        {WHERE("kind: {not: crew}"), "cdefgh"}, /* f has no kind, so none of its kinds is crew */
        {WHERE("tag: removal"), "ad"},
        {WHERE("tag: {not: removal}"), "bcefgh"},
        {WHERE("tag: [removal, eels]"), "adefh"},
        {WHERE("theme: eels"), "efh"},
        {WHERE("theme: any"), "abcefh"},
        {WHERE("theme: {not: any}"), "dg"},
        {WHERE("tag: convoys, theme: eels"), "eh"},
        {WHERE("Theme: eels, Tag: convoys"), "eh"}, /* never a column of the sheet that is headed so */
        {WHERE("name: E"), "e"},
        {WHERE("name: {not: [a, b, c]}"), "defgh"},
        {WHERE("cost: 2"), "b"},
        {WHERE("cost: [2, {from: 5}]"), "bgh"},
        {WHERE("cost: {from: 2, to: 4}"), "bcd"},
        {WHERE("cost: {not: {from: 2, to: 4}}"), "afgh"}, /* e has no cost */
        {WHERE("cost: {to: 2.999}"), "abf"},
        {WHERE("power: {from: 9.5}"), "d"},
        {WHERE("power: {not: {from: 9.5}}"), "abefgh"}, /* c is unscored */
        {WHERE("price: {to: 1}"), "acfg"},
        {WHERE("price: {not: {to: 1}}"), "beh"}, /* d has no price */
        {WHERE("fit: {from: 9}"), "deh"},        /* e: 7 + 1.5 + 1 x 0.5 */
        {WHERE("fit: 5"), "c"},                  /* the unscored power counts: 2 + 3 */
        {WHERE("copies: {from: 2}"), "bc"},
        {WHERE("copies: [1, 3]"), "acdefgh"},
        {WHERE("playable: 50%"), "abcd"}, /* of the six decks of two colours */
        {WHERE("playable: {from: 0.83, to: 0.84}"), "f"},
        {WHERE("playable: {to: 34%}"), "eh"},
        {WHERE("playable: 1"), "g"},
        {WHERE("seal: gilt"), "adg"},
        {WHERE("seal: {not: GILT}"), "bcf"}, /* blanks fail */
        {WHERE("seal: [etain, old wax]"), "cf"},
        {WHERE("rating: 3"), "ag"},
        {WHERE("rating: [three, 7.125]"), "ef"},
        {WHERE("rating: {not: 3}"), "bcef"},
        {WHERE("Rating: -1"), "b"},
        {WHERE("class: mono, kind: crew, cost: {to: 1}"), "a"},
    };
    assert_passing(passing, sizeof passing / sizeof *passing);
}

/* role and weight hold on one tag together. */
static void role_and_weight_are_of_one_tag(void **state)
{
    (void)state;
    static const Passing passing[] = {
        {WHERE("role: payoff"), "ace"},
        {WHERE("role: enabler"), "abch"},
        {WHERE("role: both"), "c"},
        {WHERE("role: none"), "dfh"},
        {WHERE("role: {not: payoff}"), "bdfh"}, /* g has no tag */
        {WHERE("role: {not: [payoff, none]}"), "b"},
        {WHERE("weight: {from: 2}"), "ach"},
        {WHERE("role: enabler, weight: {from: 2}"), "ch"}, /* a is an enabler of weight 1 and a payoff of weight 2 */
        {WHERE("role: payoff, weight: {from: 2}"), "ac"},
        {WHERE("tag: convoys, role: enabler"), "bc"}, /* not a: that is for removal; not h: that is for eels */
        {WHERE("tag: removal, role: enabler"), "a"},
        {WHERE("tag: convoys, weight: 1"), "bh"},
        {WHERE("theme: eels, tag: convoys, role: payoff"), "e"},
        {WHERE("theme: eels, tag: convoys, role: enabler"), "h"},
        {WHERE("theme: any, role: enabler"), "bch"},          /* removal is no theme */
        {WHERE("tag: convoys, role: {not: enabler}"), "aeh"}, /* a is one for removal, h for eels */
        {WHERE("theme: eels, role: {not: payoff}"), "fh"},
        {WHERE("tag: removal, weight: {not: {from: 2}}"), "ad"},
        {WHERE("tag: {not: removal}, role: payoff"), "ce"},
        {WHERE("role: payoff, weight: {not: {from: 2}}"), "e"}, /* every tag below 2, and one a payoff */
    };
    assert_passing(passing, sizeof passing / sizeof *passing);
}

static void scopes_of_members(void **state)
{
    (void)state;
    static const Passing passing[] = {
        {"at_least: 0, each: colour", "brass", "a"},
        {"at_least: 0, each: colour, scope: exact", "tar", "d"},
        {"at_least: 0, each: colour, scope: touching", "brass", "aefh"},
        {"at_least: 0, each: colour, scope: playable", "tar", "dfg"},
        {"at_least: 0, each: pair", "brass+linen", "e"},
        {"at_least: 0, each: pair", "brass+tar", "f"},
        {"at_least: 0, each: pair", "brass+glass", ""}, /* h shows three colours */
        {"at_least: 0, each: pair, scope: touching", "glass+tar", "bdfh"},
        {"at_least: 0, each: pair, scope: playable", "brass+tar", "adfgh"},
        {"at_least: 0, each: pair, where: {class: gold}", "brass+linen", "e"},
        {"at_least: 0, each: theme", "convoys", "ace"}, /* b and h are tagged but cannot be played in brass+linen */
        {"at_least: 0, each: theme, scope: playable", "eels", "f"},
        {"at_least: 0, each: theme, scope: tagged", "convoys", "abceh"},
        {"at_least: 0, each: theme, scope: exact", "convoys", "e"},
        {"at_least: 0, each: theme, scope: touching", "convoys", "aceh"},
        {"at_least: 0, each: theme, scope: touching", "eels", "fh"},
        {"at_least: 0, each: theme, scope: tagged, where: {role: payoff}", "convoys", "ace"},
        {"at_least: 0, each: theme, scope: tagged, where: {role: payoff}", "eels", "e"},
        {"at_least: 0, each: theme, scope: tagged, where: {role: enabler}", "convoys", "bc"},
        {"at_least: 0, each: theme, scope: tagged, where: {role: {not: payoff}}", "convoys", "bh"},
        {"at_least: 0, each: theme, scope: tagged, where: {weight: {from: 1.5}}", "convoys", "ace"},
        {"at_least: 0, each: theme, scope: tagged, where: {role: payoff, tag: removal}", "convoys",
         "a"}, /* the role is on the rule's theme */
        {"at_least: 0, each: theme, scope: tagged, where: {theme: eels, role: none}", "convoys", "h"},
    };
    assert_passing(passing, sizeof passing / sizeof *passing);
}

static void members_stand_in_the_models_order(void **state)
{
    (void)state;
    Lab lab;
    open_rule(&lab, "each: pair, for: {tar+linen: {at_least: 1}, glass+brass: {at_most: 4}}");
    assert_int_equal(lab.instance->members, 2); /* pairs without a bound are no rules */
    assert_string_equal(lab.instance->member[0].of, "brass+glass");
    assert_int_equal(lab.instance->member[0].mask, 3);
    assert_false(lab.instance->member[0].bounds.has_low);
    assert_string_equal(lab.instance->member[1].of, "linen+tar");
    assert_int_equal(lab.instance->member[1].bounds.low, 1);
    assert_int_equal(lab.instance->member[1].theme, -1);
    lab_close(&lab);
    open_rule(&lab, "each: theme, exactly: 2, for: {eels: {between: [1, 3]}}");
    assert_int_equal(lab.instance->members, 2);
    assert_int_equal(lab.instance->member[0].theme, 0);
    assert_int_equal(lab.instance->member[0].mask, 5);
    assert_int_equal(lab.instance->member[0].bounds.high, 2);
    assert_int_equal(lab.instance->member[1].bounds.high, 3);
    assert_int_equal(lab.instance->member[1].mask, 8);
    lab_close(&lab);
}

static void members_are_scaled(void **state)
{
    (void)state;
    Lab lab;
    open_rule(&lab, "exactly: 2");
    lab.overrides = (Overrides){.has_size = true, .size_from = 4, .size_to = 5};
    lab_need(&lab, "s.yaml");
    const RuleMember *member = lab_member(&lab, "r", ""); /* 2 x 5 / 3 */
    assert_int_equal(member->bounds.low, 3);
    assert_int_equal(member->bounds.high, 4);
    assert_false(member->bounds.exactly);
    assert_int_equal(member->written.low, 2);
    lab_close(&lab);
    const char *const unmoved[] = {"exactly: 2, scales: no", "measure: cost, exactly: 2",
                                   "measure: cost, average_at_least: 0.5", "at_least: 50%",
                                   "measure: fit, at_most: 0.03"};
    for (size_t i = 0; i < sizeof unmoved / sizeof *unmoved; i++) {
        open_rule(&lab, unmoved[i]);
        lab.overrides = (Overrides){.has_size = true, .size_from = 30, .size_to = 30};
        lab_need(&lab, "s.yaml");
        member = lab_member(&lab, "r", "");
        assert_int_equal(member->bounds.low, member->written.low);
        assert_int_equal(member->bounds.high, member->written.high);
        assert_int_equal(member->bounds.exactly, member->written.exactly);
        lab_close(&lab);
    }
    open_rule(&lab, "measure: cost, at_least: 2, scales: yes");
    lab.overrides = (Overrides){.has_size = true, .size_from = 5, .size_to = 5};
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab_member(&lab, "r", "")->bounds.low, 3333);
    lab_close(&lab);
}

/* ---- measures ---- */

static int64_t value_of(const Lab *lab, const char *of, const char *card, bool *there)
{
    int64_t value = 77;
    *there = member_value(lab->instance, lab_member(lab, "r", of), lab_card(lab, card), &value);
    return value;
}

static void measures_of_one_copy(void **state)
{
    (void)state;
    static const struct {
        const char *rule, *of, *card;
        int64_t value; /* -1: blank */
    } measure[] = {
        {"at_least: 0", "", "a", 1},
        {"measure: spend, at_least: 0", "", "c", 50},
        {"measure: price, at_least: 0", "", "c", 50},
        {"measure: cost, at_least: 0", "", "d", 4000},
        {"measure: cost, at_least: 0", "", "e", -1},
        {"measure: power, at_least: 0", "", "c", -1},
        {"measure: power, at_least: 0", "", "d", 9500},
        {"measure: fit, at_least: 0", "", "c", 5000},
        {"measure: weight, at_least: 0", "", "a", 3000},
        {"measure: weight, at_least: 0", "", "g", -1},
        {"measure: weight, at_least: 0, where: {tag: convoys}", "", "e", 1500},
        {"measure: weight, at_least: 0, where: {tag: convoys}", "", "d", -1},
        {"measure: weight, at_least: 0, where: {tag: [convoys, eels]}", "", "e", 2500},
        {"measure: weight, at_least: 0, where: {theme: any}", "", "a", 2000},
        {"measure: weight, at_least: 0, where: {role: enabler}", "", "a", 1000},
        {"measure: weight, at_least: 0, each: theme", "convoys", "e", 1500},
        {"measure: weight, at_least: 0, each: theme", "eels", "h", 2000},
    };
    for (size_t i = 0; i < sizeof measure / sizeof *measure; i++) {
        Lab lab;
        bool there = false;
        Text model = {0};
        text_printf(&model, MODEL "  - {name: r, %s}\nunpriced: 7.00\n", measure[i].rule);
        lab_model(&lab, text_cstr(&model), "");
        text_release(&model);
        lab_file(&lab, "c.csv", cards);
        lab_need(&lab, "s.yaml");
        int64_t value = value_of(&lab, measure[i].of, measure[i].card, &there);
        if (there != (measure[i].value >= 0) || value != (there ? measure[i].value : 0))
            fail_msg("%s, %s: %lld", measure[i].rule, measure[i].card, (long long)value);
        lab_close(&lab);
    }
}

static void a_column_is_a_measure(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, MODEL "  - {name: r, measure: Rating, at_least: 0}\n", "");
    lab_file(&lab, "c.csv", "name;Rating;kind;tags\na;1,5;port;eels\nb;;x;convoys\nc;-0.125;x;\n");
    lab_need(&lab, "s.yaml");
    bool there = false;
    assert_int_equal(value_of(&lab, "", "a", &there), 1500);
    assert_true(there);
    assert_int_equal(value_of(&lab, "", "b", &there), 0);
    assert_false(there);
    assert_int_equal(value_of(&lab, "", "c", &there), -125);
    lab_close(&lab);
}

/* ---- percentages and exemptions ---- */

static size_t count_of(const Lab *lab, const char *of)
{
    size_t count = 0;
    for (size_t c = 0; c < lab->instance->cards->count; c++)
        count += member_counts_of(lab->instance, lab_member(lab, "r", of), c);
    return count;
}

static void what_a_percentage_is_of(void **state)
{
    (void)state;
    Lab lab;
    open_rule(&lab, "at_least: 10%, where: {kind: crew}");
    assert_int_equal(count_of(&lab, ""), 8);
    lab_close(&lab);
    open_rule(&lab, "at_least: 10%, where: {kind: crew}, of: {class: mono}");
    assert_int_equal(count_of(&lab, ""), 4);
    lab_close(&lab);
    open_rule(&lab, "each: colour, scope: touching, at_least: 10%, where: {kind: crew}, of: {class: [mono, gold]}");
    assert_int_equal(count_of(&lab, "brass"), 3); /* a, e, h */
    lab_close(&lab);
    open_rule(&lab, "each: theme, scope: tagged, at_least: 10%, where: {role: payoff}, of: ");
    assert_int_equal(count_of(&lab, "convoys"), 5);
    lab_close(&lab);
    open_rule(&lab, "measure: weight, at_least: 10%, where: {tag: convoys, role: payoff}, of: {tag: convoys}");
    int64_t value = 0;
    const RuleMember *member = lab_member(&lab, "r", "");
    assert_true(member_value(lab.instance, member, lab_card(&lab, "a"), &value));
    assert_int_equal(value, 2000);
    assert_false(member_value(lab.instance, member, lab_card(&lab, "b"), &value));
    assert_true(member_value_of(lab.instance, member, lab_card(&lab, "b"), &value));
    assert_int_equal(value, 1000);
    lab_close(&lab);
    open_rule(&lab, "measure: weight, at_least: 10%, where: {tag: convoys}");
    assert_true(member_value_of(lab.instance, lab_member(&lab, "r", ""), lab_card(&lab, "a"), &value));
    assert_int_equal(value, 3000);
    lab_close(&lab);
}

static void exempt_cards_are_not_counted(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab,
              MODEL "  - {name: r, at_least: 10%, where: {kind: crew}, of: {class: mono}}\n  - {name: other, at_least: "
                    "0}\n  - {name: gone, at_least: 0, off: yes}\n"
                    "exempt:\n  - {card: A, from: [R, gone], because: too fine}\n  - {card: b, from: [other, r]}\n",
              "");
    lab_file(&lab, "c.csv", cards);
    lab_need(&lab, "s.yaml");
    assert_int_equal(lab_counts(&lab, "r", ""), 0);
    assert_int_equal(count_of(&lab, ""), 2);
    assert_int_equal(lab_counts(&lab, "other", ""), 7);
    assert_true(member_exempts(lab.instance, lab_member(&lab, "r", ""), lab_card(&lab, "a")));
    assert_false(member_exempts(lab.instance, lab_member(&lab, "other", ""), lab_card(&lab, "a")));
    assert_true(member_exempts(lab.instance, lab_member(&lab, "other", ""), lab_card(&lab, "b")));
    lab_close(&lab);
}

/* A filter that is not the model's own, as for looking cards up. */
static void further_filters(void **state)
{
    (void)state;
    Lab lab;
    open_rule(&lab, "at_least: 0");
    Arena *arena = arena_new();
    ReadContext context = {.arena = arena, .diags = &lab.diags};
    const char text[] = "{class: mono, seal: [gilt, wax]}";
    YamlNode *node = yaml_parse(arena, "options", text, sizeof text - 1, &lab.diags);
    Filter filter;
    assert_non_null(node);
    assert_true(filter_read(&context, lab.scenario->model, node, false, &filter));
    assert_true(instance_prepare_filter(lab.instance, &filter, &lab.diags));
    size_t passed = 0;
    for (size_t c = 0; c < lab.instance->cards->count; c++)
        passed += filter_passes(lab.instance, &filter, NULL, c);
    assert_int_equal(passed, 3);
    const char wrong[] = "{sael: gilt}";
    node = yaml_parse(arena, "options", wrong, sizeof wrong - 1, &lab.diags);
    assert_true(filter_read(&context, lab.scenario->model, node, false, &filter));
    assert_false(instance_prepare_filter(lab.instance, &filter, &lab.diags));
    assert_int_equal(lab.diags.errors, 1);
    arena_free(arena);
    lab_close(&lab);
}

/* What the model maps is found by poolwright's word for it, as in the lines of docs/rules.md, and by its header. */
static void mapped_columns_have_two_names(void **state)
{
    (void)state;
    static const char *const columns[] = {"{symbols: pips}", "{symbols: [pips, gems]}"};
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        Lab lab;
        Text model = {0};
        text_printf(&model,
                    "size: 1\ncolours: [rye]\ncolumns: %s\nrules:\n"
                    "  - {name: ours, where: {symbols: {from: 2}}, at_least: 0}\n"
                    "  - {name: yours, where: {pips: {from: 2}}, at_least: 0}\n"
                    "  - {name: sum, measure: symbols, at_least: 0}\n",
                    columns[i]);
        lab_model(&lab, text_cstr(&model), "");
        lab_file(&lab, "c.csv", "name,pips\nAnvil,2\nBucket,1\nCandle,3\n");
        lab_need(&lab, "s.yaml");
        char *ours = lab_counted(&lab, "ours", ""), *yours = lab_counted(&lab, "yours", "");
        assert_string_equal(ours, "Anvil, Candle");
        assert_string_equal(yours, "Anvil, Candle");
        mem_free(ours);
        mem_free(yours);
        text_release(&model);
        lab_close(&lab);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fields_of_a_filter),
        cmocka_unit_test(role_and_weight_are_of_one_tag),
        cmocka_unit_test(scopes_of_members),
        cmocka_unit_test(members_stand_in_the_models_order),
        cmocka_unit_test(members_are_scaled),
        cmocka_unit_test(measures_of_one_copy),
        cmocka_unit_test(a_column_is_a_measure),
        cmocka_unit_test(what_a_percentage_is_of),
        cmocka_unit_test(exempt_cards_are_not_counted),
        cmocka_unit_test(further_filters),
        cmocka_unit_test(mapped_columns_have_two_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
