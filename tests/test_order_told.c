/* test_order_told.c - orders by hand: what is refused, what is said of shops, of copies and of what nobody sells, and
 * what comes back when an order's sheet is filled in. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* A scenario of these; list: the pool that is ordered, list.csv. */
static char *begin(const char *model, const char *cards, const char *prices, const char *list)
{
    char *folder = folder_new();
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "prices.csv", prices);
    folder_print(folder, "list.csv", list);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
    return folder;
}

static void shops_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *model, *prices, *message;
    } wrong[] = {
        {"shops: [{postage: 2}]\n", "name,price\nCoble,1\n", "model.yaml:3:9: error: a shop has no name"},
        {"shops: [{name: A, postage: -2}]\n", "name,price\nCoble,1\n", "expected an amount of money, 0 or more"},
        {"shops: [{name: A}, {name: a}]\n", "name,price\nCoble,1\n", "shop 'a' is written twice"},
        {"accept: {conditon: [good]}\n", "name,price\nCoble,1\n", "did you mean 'condition'?"},
        {"", "name,price,stock\nCoble,1,many\n",
         "prices.csv:2:9: error: column 'stock': found 'many', expected a whole number"},
        {"accept: {condition: good}\n", "name,price,condition\nCoble,1,torn\n",
         "scenario.yaml: error: found no offers that the"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char model[300];
        snprintf(model, sizeof model, "size: 1\ncolours: [ebb]\n%s", wrong[k].model);
        char *folder = begin(model, "name,colours,price\nCoble,ebb,1\n", wrong[k].prices, "name\nCoble\n");
        Run run;
        run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", NULL}, NULL, &run);
        if (run.code != 2 || strstr(run.err, wrong[k].message) == NULL)
            fail_msg("%s: code %d, %s", wrong[k].message, run.code, run.err);
        run_forget(&run);
        desk_done(folder);
    }
}

/* A shop that the model names and the prices do not. */
static void idle_shops_are_told(void **state)
{
    (void)state;
    static const char *const prices[] = {"name,price,shop\nCoble,1.00,Quay Books\n", "name,price\nCoble,1.00\n"};
    static const char *const says[] = {
        "model.yaml:3:29: notice: no price that counts is from the shop 'Quay Boks'; did you mean 'Quay Books'?\n",
        "model.yaml:3:29: notice: no price that counts is from the shop 'Quay Boks': their sheets have no column "
        "'shop', "
        "or nothing in it\n"};
    for (size_t k = 0; k < 2; k++) {
        char *folder = begin("size: 1\ncolours: [ebb]\nshops: [{name: quay books}, {name: Quay Boks, postage: 2.00}]\n",
                             "name,colours,price\nCoble,ebb,9\n", prices[k], "name\nCoble\n");
        Run run;
        run_poolwright(folder, (const char *const[]){"best", ".", NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        run_forget(&run);
        run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", NULL}, NULL, &run);
        if ((strstr(run.out, "No price names a shop") != NULL) != (k == 1) ||
            strstr(run.out, "nothing of postage") != NULL)
            fail_msg("%s", run.out);
        if (strstr(run.err, says[k]) == NULL || (k == 0 && strstr(run.err, "'quay books'") != NULL))
            fail_msg("%s", run.err);
        run_forget(&run);
        desk_done(folder);
    }
}

/* Two copies of a card that come in, or leave, are shown as two. */
static void copies_given_are_told(void **state)
{
    (void)state;
    char *folder =
        begin("size: 2\ncolours: [ebb]\nunpriced: 1\n", "name,colours,power,copies\nAnvil,ebb,5,2\nBell,ebb,4,2\n",
              "name,price,shop\nAnvil,3.00,Quay\nBell,1.00,Quay\n", "name,copies\nAnvil,2\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", "--give", "2", NULL}, NULL, &run);
    if (strstr(run.out, "With 2 cards in and 2 out: fit 8 instead of 10, 4.00 less") == NULL ||
        strstr(run.out, "  out  2 x Anvil\n  in   2 x Bell\n") == NULL ||
        strstr(run.out, "  The model says nothing of postage: 'shops: [{name: ..., postage: 3.50}]' does.\n") == NULL)
        fail_msg("%s%s", run.out, run.err);
    run_forget(&run);
    desk_done(folder);
}

/* A copy is got elsewhere only once all that is for sale of the card is bought: Anvil and Bell cost 4.00, the
 * list 3.00; two of Bell 2.00. */
static void what_is_for_sale_is_bought_first(void **state)
{
    (void)state;
    static const char *const give[] = {"1", "2"};
    static const char *const says[] = {
        "No pool with a fit of 9 or more is cheaper to order: proven.\n",
        "With 2 cards in and 2 out: fit 8 instead of 10, 1.00 less than the list as it is (3.00).\n"};
    char *folder =
        begin("size: 2\ncolours: [ebb]\nunpriced: 1\n", "name,colours,power,copies\nAnvil,ebb,5,2\nBell,ebb,4,2\n",
              "name,price,shop,stock\nAnvil,3.00,Quay,1\nBell,1.00,Quay,\n", "name,copies\nAnvil,2\n");
    for (size_t k = 0; k < 2; k++) {
        Run run;
        run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", "--give", give[k], NULL}, NULL, &run);
        if (strstr(run.out, says[k]) == NULL)
            fail_msg("%s%s", run.out, run.err);
        run_forget(&run);
    }
    desk_done(folder);
}

/* Owned copies are all that a pool may have, and the list has one more: a pool without it costs nothing. */
static void a_list_of_too_many_copies_is_mended(void **state)
{
    (void)state;
    char *folder =
        begin("size: 2\ncolours: [ebb]\n", "name,colours,power,copies,owned\nAnvil,ebb,5,1,1\nBell,ebb,4,1,1\n",
              "name,price,shop\nAnvil,3.00,Quay\nBell,1.00,Quay\n", "name,copies\nAnvil,2\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", "--give", "1", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    if (strstr(run.out, "Nothing must be bought.\nWith 1 card in and 1 out: fit 9 instead of 10, 3.00 less") == NULL)
        fail_msg("%s%s", run.out, run.err);
    run_forget(&run);
    desk_done(folder);
}

/* Bell must be in, nobody sells it, and the list does not have it: there is no pool to be ordered, though Coble is
 * cheaper than Anvil. */
static void a_kept_card_that_nobody_sells(void **state)
{
    (void)state;
    char *folder = begin("size: 2\ncolours: [ebb]\nunpriced: 1\nkeep: [Bell]\n",
                         "name,colours,power,copies\nAnvil,ebb,5,2\nBell,ebb,4,1\nCoble,ebb,5,1\n",
                         "name,price,shop\nAnvil,3.00,Quay\nCoble,1.00,Quay\n", "name,copies\nAnvil,2\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", "--give", "2", NULL}, NULL, &run);
    if (strstr(run.out, "No pool with a fit of 8 or more is cheaper to order: proven.\n") == NULL)
        fail_msg("%s%s", run.out, run.err);
    run_forget(&run);
    folder_print(folder, "list.csv", "name,copies\nAnvil,1\nBell,1\n");
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", "--give", "2", NULL}, NULL, &run);
    if (strstr(run.out, "With 1 card in and 1 out: fit 9 instead of 9, 2.00 less") == NULL)
        fail_msg("%s%s", run.out, run.err);
    run_forget(&run);
    desk_done(folder);
}

/* Copies that nobody sells, beside copies that are bought. */
static void copies_without_an_offer_are_told(void **state)
{
    (void)state;
    char *folder = begin("size: 6\ncolours: [ebb]\nunpriced: 1\n",
                         "name,colours,power,copies\nAnvil,ebb,5,3\nBell,ebb,4,2\nCoble,ebb,3,1\n",
                         "name,price,shop,stock\nAnvil,3.00,Quay,1\nCoble,1.00,Quay,\n",
                         "name,copies\nAnvil,3\nBell,2\nCoble,1\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", NULL}, NULL, &run);
    assert_non_null(strstr(run.out, "2 cards from 1 shop for 4.00"));
    assert_non_null(strstr(run.out, "No offer for 4 cards: 2 x Anvil, 2 x Bell.\n"
                                    "  In what a pool has to buy they count as 8.00 together.\n")); /* 2 x 3, 2 x 1 */
    run_forget(&run);
    folder_print(folder, "list.csv", "name,copies\nAnvil,2\nBell,1\nCoble,1\n");
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", NULL}, NULL, &run);
    assert_non_null(strstr(run.out, "No offer for 2 cards: Anvil, Bell.\n"));
    assert_null(strstr(run.out, "in the cards sheet alone"));
    run_forget(&run);
    folder_print(folder, "cards.csv",
                 "name,colours,power,copies,price\nAnvil,ebb,5,3,9\nBell,ebb,4,2,9\nCoble,ebb,3,1,\n");
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", NULL}, NULL, &run);
    assert_non_null(strstr(run.out, "No offer for 2 cards: Anvil, Bell.\n  1 of them has a price in the cards sheet "
                                    "alone; offers stand in sheets of prices.\n"));
    run_forget(&run);
    json_t *root = run_answer(folder, 0, (const char *const[]){"order", ".", "list.csv", "--json", NULL});
    const json_t *list = json_object_get(root, "no_offer");
    assert_false(json_is_true(json_object_get(json_array_get(list, 0), "price_in_cards_sheet")));
    assert_true(json_is_true(json_object_get(json_array_get(list, 1), "price_in_cards_sheet")));
    json_decref(root);
    desk_done(folder);
}

/* Offers that are all sold out are offers that nobody forgot to write. */
static void all_offers_sold_out_are_told(void **state)
{
    (void)state;
    char *folder = begin("size: 2\ncolours: [ebb]\n", "name,colours,power,price\nAnvil,ebb,5,3\nBell,ebb,4,2\n",
                         "name,price,shop,stock\nAnvil,3.00,Quay,0\n", "name\nAnvil\nBell\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("order", ".", "list.csv"));
    desk_expect(run.out,
                "Nothing of it is for sale.\nNo offer for 2 cards: Anvil, Bell.\n  1 of them has a price in the "
                "cards sheet alone; offers stand in sheets of prices.\n  1 of them is sold out, as the sheets "
                "of prices say.\n");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("order", ".", "list.csv", "--json"));
    const json_t *list = json_object_get(root, "no_offer");
    assert_true(json_is_true(json_object_get(json_array_get(list, 0), "sold_out")));
    assert_false(json_is_true(json_object_get(json_array_get(list, 1), "sold_out")));
    json_decref(root);
    desk_done(folder);
}

/* The cheapest printing that counts is the card's price; the order's sheet, filled in, is booked. */
static void an_order_is_booked(void **state)
{
    (void)state;
    char *folder =
        begin("size: 1\ncolours: [ebb]\naccept: {condition: [good]}\nshops: [{name: Quay Books, postage: 2.00}]\n",
              "name,colours,price\nCoble,ebb,9\n",
              "name,price,shop,condition\nCoble,1.00,Quay Books,torn\nCoble,3.00,quay books,good\n"
              "Coble,4.00,The Stall,good\n",
              "name\nCoble\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"best", ".", "--json", NULL}, NULL, &run);
    json_t *root = run_json(&run);
    assert_int_equal(json_units(root, "cost", 100), 300);
    json_decref(root);
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"order", ".", "list.csv", "-o", "order.csv", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    desk_expect(run.out, "\n  The Stall  ");
    run_forget(&run);
    char *sheet = folder_read(folder, "order.csv", NULL);
    assert_string_equal(sheet, "what,shop,name,copies,each,sum,paid,condition,language\r\n"
                               "buy,The Stall,Coble,1,4.00,4.00,,good,\r\npostage,The Stall,,,,0.00,,,\r\n");
    free(sheet);
    folder_print(folder, "filled.csv",
                 "what,shop,name,copies,each,sum,paid\nbuy,The Stall,Coble,1,4.00,4.00,3.80\n"
                 "postage,The Stall,,,,0.00,2.50\n");
    run_poolwright(folder, (const char *const[]){"bought", ".", "filled.csv", "-o", "owned.csv", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    assert_non_null(strstr(run.out, "Paid until now: 3.80.\nPostage of 2.50 is not among it: "));
    run_forget(&run);
    desk_done(folder);
}

/* By hand: of two cards one is in the present pool, so one is to be bought; with both there nothing is, and it is said
 * why. The same of slips. */
static void what_the_present_pool_owns_is_told(void **state)
{
    (void)state;
    static const char told[] = "1 card of the present pool counts as owned (unless pool_owned: no).\n";
    char *folder = begin("size: 2\ncolours: [ebb]\n", "name,colours\nCoble,ebb\nDrag,ebb\n",
                         "name,price\nCoble,1\nDrag,2\n", "name\nCoble\nDrag\n");
    folder_print(folder, "pool.csv", "name\nCoble\n");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\npool: pool.csv\n");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"order", ".", "list.csv", NULL});
    desk_expect(run.out, "1 card from 1 shop for 2.00");
    desk_expect(run.out, told);
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"order", ".", "pool.csv", NULL});
    desk_expect(run.out,
                "Nothing must be bought.\n1 card of the present pool counts as owned (unless pool_owned: no).\n");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, (const char *const[]){"order", ".", "pool.csv", "--json", NULL});
    assert_int_equal(json_integer_value(json_object_get(root, "pool_owned")), 1);
    json_decref(root);
    desk_run(folder, &run, 0, (const char *const[]){"slips", ".", "list.csv", "-o", "slips.html", NULL});
    desk_expect(run.out, told);
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"slips", ".", "list.csv", "--all", "-o", "slips.html", NULL});
    assert_null(strstr(run.out, told));
    run_forget(&run);
    desk_done(folder);
}

/* What a newer list says is sold out is not bought at an older offer, whatever reads the prices; only where nothing
 * else is for sale the card keeps its price. By hand: what the plan reckons with, and what the order costs (-1: no
 * offer). */
static void what_is_sold_out_since_is_not_bought(void **state)
{
    (void)state;
    static const char head[] = "name,price,shop,stock,condition,language\n";
    static const struct {
        const char *older, *newer;
        int planned, ordered; /* cents */
    } cases[] = {
        {"Coble,1.00,Quay,,,\n", "Coble,1.20,Quay,3,,\n", 120, 120},
        {"Coble,1.00,Quay,,,\n", "Coble,1.20,Quay,0,,\n", 100, -1},
        {"Coble,1.00,Quay,,,\n", "Coble,,quay,0,,\n", 100, -1}, /* without a price too */
        {"Coble,1.00,Quay,,,\n", "Coble,1.20,Stall,0,,\n", 100, 100},
        {"Coble,1.00,Quay,,,\nCoble,1.50,Stall,,,\n", "Coble,1.20,Quay,0,,\n", 150, 150},
        {"Coble,1.00,Quay,,,\nCoble,1.50,Quay,,,\n", "Coble,1.20,Quay,0,,\n", 100, -1},
        {"Coble,1.00,Quay,,good,\nCoble,1.50,Quay,,new,\n", "Coble,1.20,Quay,0,Good,\n", 150, 150},
        {"Coble,1.00,Quay,,,\nCoble,1.50,Quay,,new,\n", "Coble,1.20,Quay,0,good,\n", 150, 150},
        {"Coble,1.00,Quay,,good,en\n", "Coble,1.20,Quay,0,good,fr\n", 100, 100},
        {"Coble,1.00,Quay,,good,\n", "Coble,1.20,Quay,0,worn,\n", 100, 100}, /* not what is asked for */
        {"Coble,1.00,Quay,,good,\n", "Coble,1.20,Quay,0,,\nCoble,1.30,Quay,1,,\n", 130, 130},
        {"Coble,1.00,Quay,0,,\nCoble,1.10,Quay,2,,\n", "Anvil,1.00,Quay,0,,\n", 110, 110}, /* a list by itself */
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char older[300], newer[300];
        snprintf(older, sizeof older, "%sAnvil,2.00,Other,,,\n%s", head, cases[k].older);
        snprintf(newer, sizeof newer, "%s%s", head, cases[k].newer);
        char *folder =
            begin("size: 1\ncolours: [ebb]\nunpriced: 7\naccept: {condition: [good, new], language: [en, fr]}\n",
                  "name,colours,power\nCoble,ebb,1\nAnvil,ebb,0\n", older, "name\nCoble\n");
        folder_print(folder, "newer.csv", newer);
        static const char *const verbs[][3] = {{"best"}, {"audit", "list.csv"}};
        for (size_t v = 0; v < 2; v++) {
            json_t *root = run_answer(
                folder, 0,
                (const char *const[]){verbs[v][0], ".", "--prices", "newer.csv", "--json", verbs[v][1], NULL});
            if (json_units(root, "cost", 100) != cases[k].planned)
                fail_msg("case %zu, %s: planned with %d", k, verbs[v][0], (int)json_units(root, "cost", 100));
            json_decref(root);
        }
        json_t *root = run_answer(
            folder, 0, (const char *const[]){"order", ".", "list.csv", "--prices", "newer.csv", "--json", NULL});
        const bool offered = json_array_size(json_object_get(root, "no_offer")) == 0;
        if (offered != (cases[k].ordered >= 0) || (offered && json_units(root, "cost", 100) != cases[k].ordered))
            fail_msg("case %zu: ordered for %d", k, (int)json_units(root, "cost", 100));
        json_decref(root);
        desk_done(folder);
    }
}

/* Two lists of the scenario's own, of which one sells what the other says is sold out. */
static void lists_that_disagree_on_what_is_sold_out(void **state)
{
    (void)state;
    char *folder = begin("size: 1\ncolours: [ebb]\n", "name,colours\nCoble,ebb\n", "name,price,shop\nCoble,1.00,Quay\n",
                         "name\nCoble\n");
    folder_print(folder, "later.csv", "name,price,shop,stock\nCoble,1.20,Quay,0\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv, later.csv]\n");
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"best", ".", NULL});
    desk_expect(run.err,
                "later.csv:2:7: notice: 'Coble' is sold out here and for sale in './prices.csv', which counts (1 "
                "offer is such). Where one list is the newer one, name it alone, or bring it in with --prices");
    run_forget(&run);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
    desk_run(folder, &run, 0, (const char *const[]){"best", ".", "--prices", "later.csv", NULL});
    desk_expect(run.err, "1 card is sold out by the newer prices and for sale nowhere else, such as 'Coble': what it "
                         "cost before counts, but `order` has no offer");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shops_are_read),
        cmocka_unit_test(idle_shops_are_told),
        cmocka_unit_test(copies_given_are_told),
        cmocka_unit_test(what_is_for_sale_is_bought_first),
        cmocka_unit_test(a_list_of_too_many_copies_is_mended),
        cmocka_unit_test(a_kept_card_that_nobody_sells),
        cmocka_unit_test(copies_without_an_offer_are_told),
        cmocka_unit_test(all_offers_sold_out_are_told),
        cmocka_unit_test(an_order_is_booked),
        cmocka_unit_test(what_the_present_pool_owns_is_told),
        cmocka_unit_test(what_is_sold_out_since_is_not_bought),
        cmocka_unit_test(lists_that_disagree_on_what_is_sold_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
