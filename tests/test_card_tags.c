/* test_card_tags.c - the tags of cards: in one column or several, with their roles behind them or in columns of their
 * own. The cards are invented here. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/cards_read.h"

static void tags_stand_in_one_column_or_several(void **state)
{
    (void)state;
    CardsRead reading = cards_read_good("name,tags,Long  Nights,convoys\n"
                                        "A,convoys enabler 3; removal,4,\n"
                                        "B,\"ox cart 2 payoff;; night watch BOTH ; 1.5x \",x,3 enabler\n"
                                        "C,removal -0.5,payoff 2,both\n"
                                        "D,the payoff 2 day,,2.5\n"
                                        "E,Ox  Cart,enabler,\n"
                                        "F,no both payoff; 5 6,0,0 enabler\n");
    const CardSet *set = reading.set;
    const Card *card = card_named(set, "A");
    assert_int_equal(card->tags, 3);
    card_assert_tag(set, card, "convoys", ROLE_ENABLER, 3000);
    card_assert_tag(set, card, "removal", ROLE_NONE, 1000);
    card_assert_tag(set, card, "long nights", ROLE_NONE, 4000);
    card = card_named(set, "B");
    assert_int_equal(card->tags, 5);
    card_assert_tag(set, card, "ox cart", ROLE_PAYOFF, 2000);
    card_assert_tag(set, card, "night watch", ROLE_BOTH, 1000);
    card_assert_tag(set, card, "1.5x", ROLE_NONE, 1000);
    card_assert_tag(set, card, "long nights", ROLE_NONE, 1000);
    card_assert_tag(set, card, "convoys", ROLE_ENABLER, 3000);
    card = card_named(set, "C");
    card_assert_tag(set, card, "removal", ROLE_NONE, -500);
    card_assert_tag(set, card, "long nights", ROLE_PAYOFF, 2000);
    card_assert_tag(set, card, "convoys", ROLE_BOTH, 1000);
    card = card_named(set, "D");
    assert_int_equal(card->tags, 2);
    card_assert_tag(set, card, "the payoff 2 day", ROLE_NONE, 1000);
    card_assert_tag(set, card, "convoys", ROLE_NONE, 2500);
    card_assert_tag(set, card_named(set, "E"), "OX CART", ROLE_NONE, 1000);
    card = card_named(set, "F"); /* only the last role and the last weight are taken off */
    card_assert_tag(set, card, "no both", ROLE_PAYOFF, 1000);
    card_assert_tag(set, card, "5", ROLE_NONE, 6000);
    card_assert_tag(set, card, "convoys", ROLE_ENABLER, 0);
    assert_int_equal(card->tags, 3); /* a 0 alone says no */
    assert_int_equal(card_tag(set, "nothing"), -1);
    assert_null(card_has_tag(card, -1));
    for (size_t i = 0; i < set->count; i++)
        for (size_t j = 1; j < set->card[i].tags; j++)
            assert_true(set->card[i].tag[j - 1].tag < set->card[i].tag[j].tag);
    cards_done(&reading);
}

/* Whichever column comes first. */
static void roles_may_have_columns_of_their_own(void **state)
{
    (void)state;
    CardsRead reading = cards_read_good("name,pays off,tags,enables,convoys\n"
                                        "A,,ox cart,ox cart 2; removal 0.5,\n"
                                        "B,convoys;ox cart payoff 3,removal,convoys,\n"
                                        "C,,ox cart payoff 4,ox cart,x\n"
                                        "D,,,,3 enabler\n"
                                        "E,convoys,,,3 enabler\n");
    const CardSet *set = reading.set;
    const Card *card = card_named(set, "A");
    assert_int_equal(card->tags, 2);
    card_assert_tag(set, card, "ox cart", ROLE_ENABLER, 2000);
    card_assert_tag(set, card, "removal", ROLE_ENABLER, 500);
    card = card_named(set, "B");
    assert_int_equal(card->tags, 3);
    card_assert_tag(set, card, "convoys", ROLE_BOTH, 1000);
    card_assert_tag(set, card, "ox cart", ROLE_PAYOFF, 3000);
    card_assert_tag(set, card, "removal", ROLE_NONE, 1000);
    card = card_named(set, "C");
    card_assert_tag(set, card, "ox cart", ROLE_BOTH, 4000);
    card_assert_tag(set, card, "convoys", ROLE_NONE, 1000);
    card_assert_tag(set, card_named(set, "D"), "convoys", ROLE_ENABLER, 3000);
    card_assert_tag(set, card_named(set, "E"), "convoys", ROLE_BOTH, 3000);
    cards_done(&reading);
    cards_assert_refused("name,enables\nA,convoys payoff\n",
                         "one.csv:2:3: error: column 'enables': found 'convoys payoff', "
                         "expected tags without another role: the column says it");
}

/* Only where the model says so: a header `role` may mean anything. */
static void the_model_names_columns_of_roles(void **state)
{
    (void)state;
    static const char *const field[] = {"role", "role", "role"}, *const header[] = {"part", "Enablers", "Lohn"};
    static const OwnWord word[] = {{"motor", "motor", "enabler"}, {"nichts", "nichts", "none"}};
    static const Habits habits = {.own_word = word, .own_words = 2};
    static const SourcePos at[3] = {{0}};
    CardVocabulary mapped = cards_plain;
    mapped.map_field = field;
    mapped.map_header = header;
    mapped.map_at = at;
    mapped.maps = 3;
    mapped.habits = &habits;
    CardsRead reading = cards_read_with(&mapped,
                                        "name,part,tags,convoys,Enablers,Lohn\nA,Motor,ox cart; removal payoff,,,\n"
                                        "B,payoff,ox cart,x,x,no\nC,nichts,ox cart,,no,yes\nD,both,,,,\nE,,ox cart,,,\n"
                                        "F,payoff,,,x,\n",
                                        NULL);
    assert_non_null(reading.set);
    const CardSet *set = reading.set;
    card_assert_tag(set, card_named(set, "A"), "ox cart", ROLE_ENABLER, 1000);
    card_assert_tag(set, card_named(set, "A"), "removal", ROLE_PAYOFF, 1000);
    card_assert_tag(set, card_named(set, "B"), "ox cart", ROLE_BOTH, 1000);
    card_assert_tag(set, card_named(set, "B"), "convoys", ROLE_BOTH, 1000);
    card_assert_tag(set, card_named(set, "C"), "ox cart", ROLE_PAYOFF, 1000);
    card_assert_tag(set, card_named(set, "E"), "ox cart", ROLE_NONE, 1000);
    assert_int_equal(reading.diags.count, 1);
    assert_string_equal(reading.diags.item[0].text, "2 lines have a role and no tag that it could be of, such as "
                                                    "'both' here: nothing comes of it");
    cards_done(&reading);
    cards_assert_refused_with(&mapped, "name,part,tags\nA,tank,ox cart\n",
                              "one.csv:2:3: error: column 'part': found 'tank', expected enabler, payoff or both");
    static const char *const other[] = {"part", "Mark", "Lohn"};
    mapped.map_header = other;
    cards_assert_refused_with(
        &mapped, "name,Mark,tags\nA,x,ox cart\n",
        "one.csv:2:3: error: column 'Mark': found 'x', expected enabler, payoff or both, since the "
        "header is no word for a role");
    reading = cards_read_good("name,role,tags\nA,tank,ox cart\nB,enabler,ox cart\n");
    card_assert_tag(reading.set, card_named(reading.set, "B"), "ox cart", ROLE_NONE, 1000);
    cards_done(&reading);
}

static void wrong_tags_are_refused(void **state)
{
    (void)state;
    cards_assert_refused(
        "name,tags\nA,removal; Removal 2\n",
        "one.csv:2:3: error: column 'tags': found the tag 'Removal' a second time on this card, expected it "
        "once\n");
    cards_assert_refused(
        "name,tags\nA,kites enabler; kites payoff\n",
        "one.csv:2:3: error: column 'tags': found the tag 'kites' a second time on this card, expected it "
        "once, with the role both\n");
    cards_assert_refused("name,tags,convoys\nA,convoys,3\n",
                         "one.csv:2:11: error: column 'convoys': found the tag 'convoys' a second time");
    cards_assert_refused(
        "name,tags\nA,enabler 3\n",
        "one.csv:2:3: error: column 'tags': found 'enabler 3', expected a tag before the role and the weight");
    cards_assert_refused("name,tags\nA,removal; 3\n",
                         "one.csv:2:3: error: column 'tags': found 'removal; 3', expected a tag before");
    cards_assert_refused(
        "name,tags\nA,removal 1.2345\n",
        "one.csv:2:3: error: column 'tags': found 'removal 1.2345', expected a weight with at most 3 decimals");
    cards_assert_refused("name,tags\nA,removal 99999999999\n",
                         "one.csv:2:3: error: column 'tags': found 'removal 99999999999', expected a smaller weight");
    cards_assert_refused("name,convoys\nA,enablr 3\n",
                         "one.csv:2:3: error: column 'convoys': found 'enablr 3', expected a weight, a role (enabler, "
                         "payoff, both), both of them, x, yes or no; did you mean 'enabler'?");
    cards_assert_refused("name,convoys\nA,3 4\n",
                         "one.csv:2:3: error: column 'convoys': found '3 4', expected a weight, a role");
    cards_assert_refused("name,convoys\nA,enabler payoff\n",
                         "one.csv:2:3: error: column 'convoys': found 'enabler payoff', expected");
    CardsRead reading = cards_read_good("name,tags\nA,\"convoys, removal\"\nB,\"x, y\"\n");
    assert_int_equal(reading.diags.count, 1); /* said once for a sheet */
    assert_string_equal(reading.diags.item[0].text,
                        "2 cells hold a comma in a tag, such as 'convoys, removal', and between tags stands ';'; if "
                        "commas stand between tags too, write read: {tags_split: \",\"} into the model");
    cards_done(&reading);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tags_stand_in_one_column_or_several),
        cmocka_unit_test(roles_may_have_columns_of_their_own),
        cmocka_unit_test(the_model_names_columns_of_roles),
        cmocka_unit_test(wrong_tags_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
