/* test_desk_money.c - prices, currencies, dates, handling, headroom, what to buy and new prices, from outside. All data
 * are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

static const char cards[] = "name,colours,power\nÅnt Høuse,rye,5\nBee,rye,4\nCat,rye,3\nDog,rye,2\n";

/* The price in cents that the program uses for the card; -1: none. */
static int64_t price_of(const char *folder, const char *name)
{
    Run run;
    char where[64];
    snprintf(where, sizeof where, "name=%s", name);
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--json", "--where", where));
    json_t *answer = run_json(&run);
    json_t *card = json_array_get(json_object_get(answer, "cards"), 0);
    assert_non_null(card);
    int64_t price = json_is_null(json_object_get(card, "price")) ? -1 : json_units(card, "price", 100);
    json_decref(answer);
    run_forget(&run);
    return price;
}

static void the_cheapest_printing_counts(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: 9.99\n", "prices: [a.csv, b.tsv]\n", cards);
    folder_print(folder, "a.csv", "\xEF\xBB\xBFname;price\r\nANT HOUSE;2,50\r\nbee;1\r\nBee;0,75\r\nBee;3\r\n");
    folder_write(folder, "b.tsv", "Name\tPrice\n\xC5nt H\xF8use\t2.40\nDog\t\n",
                 strlen("Name\tPrice\n\xC5nt H\xF8use\t2.40\nDog\t\n"));
    assert_int_equal(price_of(folder, "ant house"), 240);
    assert_int_equal(price_of(folder, "bee"), 75);
    assert_int_equal(price_of(folder, "dog"), 999);
    desk_done(folder);
}

/* 1.05 x 0.5 = 0.525 is 0.53; 3.33 x 0.92 = 3.0636 is 3.06; exact, so 100.00 x 0.333333 = 33.3333 is 33.33. */
static void currencies_turn_once(void **state)
{
    (void)state;
    char *folder =
        desk_folder("unpriced: 9.99\ncurrency: {default: EUR, rates: {USD: 0.92, XTS: 0.5, GBP: 0.333333}}\n",
                    "prices: [a.csv]\n", cards);
    folder_print(folder, "a.csv",
                 "name,price,currency\nAnt House,1.05,XTS\nBee,$3.33,\nCat,100.00 GBP,\nDog,€ 2.00,EUR\n");
    assert_int_equal(price_of(folder, "ant house"), 53);
    assert_int_equal(price_of(folder, "bee"), 306);
    assert_int_equal(price_of(folder, "cat"), 3333);
    assert_int_equal(price_of(folder, "dog"), 200);
    desk_done(folder);
}

static void money_in_the_cards_sheet_turns_too(void **state)
{
    (void)state;
    char *folder = desk_folder("currency: {default: EUR, rates: {USD: 0.5}}\n", "",
                               "name,colours,price\nA,rye,3.00 USD\nB,rye,3.00\nC,rye,€3\n"
                               "D,rye,3.50\xC2\xA0USD\nE,rye,1\xE2\x80\xAF"
                               "000.00\xC2\xA0€\n");
    assert_int_equal(price_of(folder, "A"), 150);
    assert_int_equal(price_of(folder, "B"), 300);
    assert_int_equal(price_of(folder, "C"), 300);
    assert_int_equal(price_of(folder, "D"), 175); /* unbroken blanks are no part of a currency */
    assert_int_equal(price_of(folder, "E"), 100000);
    desk_done(folder);
}

/* Whichever of the mapped headers a sheet has, or the plain one. */
static void money_turns_under_every_header_of_price(void **state)
{
    (void)state;
    char *folder = desk_folder("currency: {default: EUR, rates: {USD: 0.5}}\ncolumns: {price: [Unit price, Each]}\n",
                               "", "name,colours,Unit price\nA,rye,3.00 USD\n");
    folder_print(folder, "more.csv", "name,colours,Each\nB,rye,5.00 USD\n");
    folder_print(folder, "rest.csv", "name,colours,price\nC,rye,7.00 USD\nD,rye,€7\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv, more.csv, rest.csv]\n");
    assert_int_equal(price_of(folder, "A"), 150);
    assert_int_equal(price_of(folder, "B"), 250);
    assert_int_equal(price_of(folder, "C"), 350);
    assert_int_equal(price_of(folder, "D"), 700);
    desk_done(folder);
}

static void bad_prices_are_errors(void **state)
{
    (void)state;
    static const struct {
        const char *model, *sheet, *says;
    } wrong[] = {
        {"", "name,price\nBee,€1\nCat,$2\n", "a.csv:3:5: error: found a price in '$', but a.csv:2 is in '€'"},
        {"currency: EUR\n", "name,price\nBee,1 USD\n", "found a price in 'USD', expected EUR"},
        {"currency: {default: EUR, rates: {USD: 0.92}}\n", "name,price\nBee,1 USB\n", "did you mean 'USD'?"},
        {"currency: {default: EUR, rates: {USD: 0}}\n", "name,price\n", "expected a rate above 0"},
        {"currency: {rates: {USD: 1}}\n", "name,price\n", "'default' is missing"},
        {"", "name,price,high\nBee,2,1\n", "a.csv:2:7: error: column 'high': found '1', expected at least the price"},
        {"", "name,price,low\nBee,2,3\n", "expected at most the price"},
        {"", "name,price,date\nBee,2,3/4/2026\n", "expected a date such as 2026-03-31 or 31.03.2026"},
        {"", "name,price,date\nBee,2,2026-02-29\n", "expected a date"},
        {"", "name,price\nBee,2.005\n", "at most 2 decimals"},
        {"headroom: 100%\n", "name,price\n", "expected a percentage below 100%"},
        {"headroom: 0.1\n", "name,price\n", "expected a percentage below 100%"},
        {"handling: -1\n", "name,price\n", "0 or more"},
        {"price_risk: {protct: 3}\n", "name,price\n", "did you mean 'protect'?"},
        {"price_risk: {protect: -3}\n", "name,price\n", "0 or more"},
        {"stale: soon\n", "name,price\n", "a number of days"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = desk_folder(wrong[k].model, "prices: [a.csv]\n", cards);
        folder_print(folder, "a.csv", wrong[k].sheet);
        Run run;
        desk_run(folder, &run, 2, WORDS("find", "scenario.yaml"));
        desk_expect(run.err, wrong[k].says);
        run_forget(&run);
        desk_done(folder);
    }
}

/* A sign that several currencies share is the model's. */
static void shared_signs_are_the_models(void **state)
{
    (void)state;
    static const struct {
        const char *model, *price, *says; /* NULL: taken */
    } tried[] = {
        {"currency: AUD\nspending_cap: $7.00\n", "$2", NULL},
        {"currency: SEK\nspending_cap: 7 kr\n", "2 kr", NULL},
        {"currency: CNY\nspending_cap: ¥7\n", "¥2", NULL},
        {"currency: {default: CAD, rates: {USD: 1.5}}\nspending_cap: $7\n", "$2", NULL},
        {"currency: AUD\nspending_cap: 7 kr\n", "2", "found '7 kr', expected an amount in AUD"},
        {"currency: AUD\nspending_cap: 7 USD\n", "2", "found '7 USD', expected an amount in AUD"},
        {"currency: SEK\nspending_cap: $7\n", "2", "found '$7', expected an amount in SEK"},
        {"currency: SEK\n", "$2", "found a price in '$', expected SEK"},
    };
    for (size_t k = 0; k < sizeof tried / sizeof *tried; k++) {
        char sheet[100];
        snprintf(sheet, sizeof sheet, "name,colours,price\nAnt,rye,1\nBee,rye,%s\n", tried[k].price);
        char *folder = desk_folder(tried[k].model, "", sheet);
        const bool rate = strstr(tried[k].model, "USD: 1.5") != NULL; /* there $ is USD, of a price */
        Run run;
        if (tried[k].says == NULL)
            assert_int_equal(price_of(folder, "Bee"), rate ? 300 : 200);
        desk_run(folder, &run, tried[k].says != NULL ? 2 : 0, WORDS("find", "scenario.yaml"));
        if (tried[k].says != NULL)
            desk_expect(run.err, tried[k].says);
        run_forget(&run);
        desk_done(folder);
    }
}

static void amounts_are_in_the_models_currency(void **state)
{
    (void)state;
    static const char rates[] = "currency: {default: EUR, rates: {USD: 0.5}}\n";
    static const struct {
        const char *model, *says; /* NULL: taken */
        const char *scenario;
    } tried[] = {
        {"spending_cap: $7.00\n",
         "model.yaml:6:15: error: found '$7.00', expected an amount in EUR, the model's currency", ""},
        {"spending_cap: 7.00 GBP\n", "found '7.00 GBP', expected an amount in EUR", ""},
        {"spending_cap: €7.00\n", NULL, ""},
        {"spending_cap: 7.00 EUR\n", NULL, ""},
        {"spending_cap: '7,-'\n", NULL, ""},
        {"spending_cap: 7.00\n", NULL, ""},
        {"unpriced: £2\n", "found '£2', expected an amount in EUR", ""},
        {"handling: 1 USD\n", "found '1 USD', expected an amount in EUR", ""},
        {"rules: [{name: dear, where: {price: {from: $2}}, at_most: 1}]\n", "found '$2', expected an amount in EUR",
         ""},
        {"rules: [{name: spend, measure: spend, at_most: $2}]\n", "found '$2', expected an amount in EUR", ""},
        {"rules: [{name: spend, measure: spend, at_most: €2}]\n", NULL, ""},
        {"", "scenario.yaml:3:58: error: in case 'b': found '$3', expected an amount in EUR",
         "cases: [{name: b, change: {spending_cap: '€2', unpriced: $3}}]\n"},
        {"rules: [{name: spend, measure: spend, at_most: 2}]\n",
         "targets.csv:2:7: error: found '$2', expected an amount", "targets: [targets.csv]\n"},
    };
    for (size_t k = 0; k < sizeof tried / sizeof *tried; k++) {
        char model[200];
        snprintf(model, sizeof model, "%s%s", rates, tried[k].model);
        char *folder = desk_folder(model, tried[k].scenario, "name,colours,price\nAnt,rye,1\nBee,rye,2\n");
        folder_print(folder, "targets.csv", "rule,all\nspend,-$2\n");
        Run run;
        desk_run(folder, &run, tried[k].says != NULL ? 2 : 0, WORDS("find", "scenario.yaml"));
        if (tried[k].says != NULL)
            desk_expect(run.err, tried[k].says);
        run_forget(&run);
        desk_done(folder);
    }
    static const struct {
        const char *verb, *option, *value, *says;
    } typed[] = {
        {"best", "--cap", "$7", "--cap: found '$7', expected an amount in EUR, the model's currency"},
        {"best", "--cap", "€7", NULL},
        {"best", "--cap", "none", NULL},
        {"what-if", "--caps", "€2,3 USD", "--caps: found '3 USD', expected an amount in EUR"},
        {"what-if", "--caps", "2..$5/1", "--caps: found '$5', expected an amount in EUR"},
        {"what-if", "--caps", "2 €..€5/€1,none", NULL},
        {"find", "--where", "price=..$2", "--where: found '$2', expected an amount in EUR"},
        {"find", "--where", "price=..€2", NULL},
        {"revise", "--spend", "$2", "--spend: found '$2', expected an amount in EUR"},
        {"revise", "--spend", "€2", NULL},
    };
    for (size_t k = 0; k < sizeof typed / sizeof *typed; k++) {
        char *folder = desk_folder(rates, "pool: pool.csv\n", "name,colours,price\nAnt,rye,1\nBee,rye,2\n");
        folder_print(folder, "pool.csv", "name\nAnt\n");
        Run run;
        desk_run(folder, &run, typed[k].says != NULL ? 2 : 0,
                 WORDS(typed[k].verb, "scenario.yaml", typed[k].option, typed[k].value));
        if (typed[k].says != NULL)
            desk_expect(run.err, typed[k].says);
        run_forget(&run);
        desk_done(folder);
    }
}

static void strays_and_old_prices_are_told(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\nstale: 30\n", "prices: [a.csv]\n", cards);
    folder_print(folder, "a.csv",
                 "name,price,date\nAnt "
                 "Hoose,1,2026-03-01\nBee,1,2026-01-30\nCat,1,01.03.2026\nDog,1,2026-01-29\nElsewhere,1,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml"));
    desk_expect(run.err, "2 of 5 lines name no candidate: 'Ant Hoose' (did you mean 'Ånt Høuse'?), 'Elsewhere'");
    desk_expect(
        run.err,
        "1 candidate has no price, but there is a line of almost that name: 'Ånt Høuse' (a.csv:2 has 'Ant Hoose')");
    desk_expect(
        run.err,
        "1 of 3 dated prices are more than 30 days older than 2026-03-01: 'Dog' (2026-01-29)"); /* 31 days; Bee 30 */
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("find", "scenario.yaml", "--today", "2026-04-01"));
    desk_expect(run.err, "3 of 3 dated prices are more than 30 days older than 2026-04-01"); /* Cat: 31 days */
    run_forget(&run);
    desk_done(folder);
}

/* Two of four cards: powers 5, 4, 3, 2 at 1.00, 0.60, 0.35, 0.10. */
static int64_t best_cost(const char *model, int64_t *fit)
{
    char *folder = desk_folder(
        model, "", "name,colours,power,price,owned\nA,rye,5,1.00,\nB,rye,4,0.60,\nC,rye,3,0.35,\nD,rye,2,0.10,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    json_t *answer = run_json(&run);
    int64_t cost = json_units(answer, "cost", 100);
    *fit = json_units(answer, "fit", 1000);
    json_decref(answer);
    run_forget(&run);
    desk_done(folder);
    return cost;
}

static void handling_and_headroom_count_to_the_cent(void **state)
{
    (void)state;
    int64_t fit;
    assert_int_equal(best_cost("spending_cap: 1.60\n", &fit), 160);
    assert_int_equal(fit, 9000);
    assert_int_equal(best_cost("spending_cap: 1.64\nheadroom: 2.44%\n", &fit), 135); /* 1.599984: 1.59 */
    assert_int_equal(fit, 8000);
    assert_int_equal(best_cost("spending_cap: 1.64\nheadroom: 2.43%\n", &fit), 160); /* 1.600148: 1.60 */
    assert_int_equal(best_cost("spending_cap: 1.69\nhandling: 0.05\n", &fit), 145);  /* A and B would be 1.70 */
    assert_int_equal(fit, 8000);
    assert_int_equal(best_cost("spending_cap: 1.70\nhandling: 0.05\n", &fit), 170);
    assert_int_equal(best_cost("handling: 0.05\nrules:\n  - {name: m, measure: spend, at_most: 1.69}\n", &fit), 145);
    assert_int_equal(best_cost("handling: 0.05\nrules:\n  - {name: v, measure: price, at_most: 1.60}\n", &fit),
                     170); /* value without handling */
    assert_int_equal(fit, 9000);
}

/* A rule that asks for a least spending cannot be met by buying what is owned: two A are both owned, so B must be
 * bought. */
static void owned_copies_come_first(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: error\nrules:\n  - {name: out, measure: spend, at_least: 5.00}\n", "",
                               "name,colours,power,price,owned,copies\nA,rye,9,5.00,2,3\nB,teal,1,6.00,,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    json_t *answer = run_json(&run);
    assert_int_equal(json_units(answer, "fit", 1000), 10000);
    assert_int_equal(json_units(answer, "cost", 100), 600);
    assert_string_equal(desk_names(answer, "pool"), "A|B");
    json_decref(answer);
    run_forget(&run);
    desk_done(folder);
}

/* Thirty cards with powers from 1.0 to 5.5, six in each whole number; every second one has a tag of this weight. */
static char *scales_folder(const char *weight)
{
    Text list = {0};
    text_add(&list, "name,colours,power,price,t\n");
    for (int k = 0; k < 30; k++)
        text_printf(&list, "Card %02d,rye,%d.%d,1.00,%s%s\n", k, 1 + k / 6, k % 6, k % 2 == 0 ? weight : "",
                    k % 2 == 0 ? " payoff" : "");
    char *folder = desk_folder("", "", text_cstr(&list));
    text_release(&list);
    return folder;
}

/* Powers 1.0 to 5.5: the third from either end are 1.2 and 5.3, so power spreads by 4.1; tags by their weight. */
static void scales_are_weighed(void **state)
{
    (void)state;
    Run run;
    char *folder = scales_folder("13");
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
    desk_expect(run.out, "Tags outweigh power");
    desk_expect(run.out, "Card 27 (power 5.3) has fit 5.3; Card 02 (power 1.2) has fit 14.2.");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--json"));
    json_t *answer = run_json(&run);
    const json_t *scales = json_object_get(answer, "scales");
    assert_int_equal(json_units(scales, "tags", 1000), 13000);
    assert_int_equal(json_units(scales, "power", 1000), 4100);
    assert_string_equal(json_string_value(json_object_get(scales, "scored_low")), "Card 02");
    json_decref(answer);
    run_forget(&run);
    desk_done(folder);
    folder = scales_folder("12.3"); /* three times, not more */
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
    assert_null(strstr(run.out, "Tags outweigh power"));
    run_forget(&run);
    desk_done(folder);
}

/* `check` names those of the present pool that are no candidates, with the nearest; other verbs count them. */
static void strangers_in_the_pool_are_named_by_check(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\npool_owned: no\n",
                               "name,colours,power,price\nHarbour Bell,rye,9,1.00\nB,teal,9,6.00\n");
    folder_print(folder, "pool.csv", "name\nB\nHarbor Bell\nOld One\nXylograph\nQuill of Dawn\nFurnace\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
    desk_expect(run.out, "Names in the present pool that are no candidates\n"
                         "  Harbor Bell (perhaps Harbour Bell); Old One; Xylograph; Quill of Dawn; Furnace\n");
    desk_expect(run.err, "5 of 6 lines name no candidate: `check` lists them");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml", "--json"));
    json_t *answer = run_json(&run);
    const json_t *list = json_object_get(answer, "present_unknown");
    assert_int_equal(json_array_size(list), 5);
    assert_string_equal(json_string_value(json_object_get(json_array_get(list, 0), "nearest")), "Harbour Bell");
    assert_int_equal(json_integer_value(json_object_get(json_array_get(list, 0), "line")), 3);
    assert_true(json_is_null(json_object_get(json_array_get(list, 1), "nearest")));
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--full"));
    desk_expect(run.out, "5 of it are no candidates any more");
    assert_null(strstr(run.out, "Harbor Bell"));
    assert_null(strstr(run.err, "Harbor Bell"));
    run_forget(&run);
    desk_done(folder);
}

static void what_to_buy_is_listed(void **state)
{
    (void)state;
    char *folder = desk_folder("size: 5\nhandling: 0.10\n", "pool: pool.csv\npool_owned: no\n", "");
    folder_print(folder, "model.yaml", "size: 5\ncolours: [rye, teal]\nhandling: 0.10\nspending_cap: 50.00\n");
    folder_print(folder, "cards.csv",
                 "name,colours,power,price,owned,copies\nA,rye,9,1.00,,\nB,teal,9,6.00,,\n\"C, "
                 "too\",rye+teal,9,2.00,1,3\nD,,1,0.10,,\n");
    folder_print(folder, "pool.csv", "name,copies\nD,1\nOld One,2\nA,1\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--shopping", "buy.csv", "-o", "list.csv"));
    desk_expect(run.out, "What to buy is in buy.csv");
    run_forget(&run);
    char *list = folder_read(folder, "buy.csv", NULL);
    assert_string_equal(list, "what,name,copies,each,sum,paid,colours,class,note\r\n"
                              "buy,B,1,6.00,6.10,,teal,mono,dear\r\n"
                              "buy,\"C, too\",2,2.00,4.20,,rye+teal,gold,\r\n"
                              "buy,A,1,1.00,1.10,,rye,mono,\r\n"
                              "subtotal,rye,1,,1.10,,,,\r\n"
                              "subtotal,teal,1,,6.10,,,,\r\n"
                              "subtotal,gold,2,,4.20,,,,\r\n"
                              "of it,handling,4,0.10,0.40,,,,\r\n"
                              "total,all,4,,11.40,,,,\r\n"
                              "leaves,D,1,,,,colourless,colourless,\r\n"
                              "leaves,Old One,2,,,,,,no candidate any more\r\n");
    free(list);
    desk_run(folder, &run, 4, WORDS("best", "scenario.yaml", "--shopping", "nowhere/buy.csv", "-o", "list2.csv"));
    assert_false(folder_has(folder, "list2.csv")); /* both or none */
    run_forget(&run);
    desk_done(folder);
}

/* By hand: of C 1 is owned and 2 are in the pool, so of 3 one is bought; D is in the pool; B must be bought, and has no
 * price. Out goes A. On paper or not: the pool that is revised is there. */
static void what_changes_cost_is_listed(void **state)
{
    (void)state;
    static const char *const owned[] = {"pool: pool.csv\n", "pool: pool.csv\npool_owned: no\n", ""};
    for (size_t k = 0; k < 3; k++) {
        char *folder = desk_folder("", owned[k], "");
        folder_print(folder, "model.yaml", "size: 5\ncolours: [rye, teal]\nhandling: 0.10\n");
        folder_print(
            folder, "cards.csv",
            "name,colours,power,price,owned,copies\nA,rye,1,1.00,,\nB,teal,9,,,\nC,rye,9,2.00,1,3\nD,,8,3.00,,\n");
        folder_print(folder, "pool.csv", "name,copies\nA,1\nC,2\nD,1\nOld One,1\n");
        Run run;
        desk_run(
            folder, &run, 0,
            WORDS("revise", "scenario.yaml", "pool.csv", "--swaps", "1", "--shopping", "buy.csv", "-o", "list.csv"));
        desk_expect(run.out, "\nThe list is in list.csv\nWhat to buy is in buy.csv\n");
        run_forget(&run);
        assert_true(folder_has(folder, "list.csv"));
        char *list = folder_read(folder, "buy.csv", NULL);
        desk_expect(list, "what,name,copies,each,sum,paid,colours,class,note\r\n"
                          "buy,C,1,2.00,2.10,,rye,mono,dear\r\n"
                          "buy,B,1,,0.10,,teal,mono,no price\r\n");
        desk_expect(list, "total,all,2,,2.20,,,,\r\nleaves,A,1,,,,rye,mono,\r\n");
        free(list);
        desk_run(folder, &run, 4,
                 WORDS("revise", "scenario.yaml", "pool.csv", "--shopping", "nowhere/buy.csv", "-o", "list2.csv"));
        assert_false(folder_has(folder, "list2.csv")); /* both or none */
        run_forget(&run);
        desk_run(folder, &run, 2, WORDS("revise", "scenario.yaml", "pool.csv", "--shopping", "cards.csv"));
        run_forget(&run);
        desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "pool.csv", "--shopping", "buy2.csv"));
        run_forget(&run);
        desk_done(folder);
    }
}

/* A card without a price is not shown as one that costs nothing. */
static void a_blank_price_is_no_price(void **state)
{
    (void)state;
    static const struct {
        const char *verb, *card, *says;
    } screen[] = {{"swap", "Anvil", "Anvil (fit 9, no price)"},
                  {"why", "Anvil", "Anvil"},
                  {"best", NULL, "fit 14"},
                  {"find", NULL, "Anvil"}};
    char *folder =
        desk_folder("", "", "name,colours,power,price\nAnvil,rye,9,\nBucket,rye,5,1.00\nCandle,teal,3,1.00\n");
    for (size_t k = 0; k < sizeof screen / sizeof *screen; k++) {
        Run run;
        desk_run(folder, &run, 0, WORDS(screen[k].verb, "scenario.yaml", screen[k].card));
        desk_expect(run.out, screen[k].says);
        assert_null(strstr(run.out, "0.00"));
        run_forget(&run);
    }
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--json"));
    json_t *root = json_loads(run.out, 0, NULL);
    run_forget(&run);
    assert_true(json_is_null(json_object_get(json_array_get(json_object_get(root, "pool"), 0), "price")));
    json_decref(root);
    desk_done(folder);
}

/* By hand: B and C are as good as each other, and what changes is which of them is cheaper; two of C come in. */
static void less_money_is_a_gain(void **state)
{
    (void)state;
    char *folder =
        desk_folder("", "prices: [old.csv]\n", "name,colours,power,copies\nA,rye,4,1\nB,rye,4,1\nC,rye,4,2\n");
    folder_print(folder, "old.csv", "name,price\nA,0.50\nB,0.50\nC,1.00\n");
    folder_print(folder, "new.csv", "name,price\nA,1.50\nB,1.50\nC,0.25\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.out,
                "cost 1.00 and would now cost 3.00 and still meets every limit; the new pool has as much fit for "
                "2.50 less.");
    desk_expect(run.out, "  in   2 x C  1.00 -> 0.25 (-0.75)");
    run_forget(&run);
    desk_done(folder);
}

static void new_prices_say_what_changes(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 1.60\n", "prices: [old.csv]\n",
                               "name,colours,power\nA,rye,5\nB,rye,4\nC,rye,3\nD,rye,2\n");
    folder_print(folder, "old.csv", "name,price\nA,1.00\nB,0.60\nC,0.35\nD,0.10\n");
    folder_print(folder, "new.csv", "name,price\nA,1.50\nB,0.60\nC,0.30\nD,0.10\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv", "--json"));
    json_t *answer = run_json(&run);
    json_t *news = json_object_get(answer, "new_prices");
    assert_int_equal(json_units(news, "higher", 1), 1);
    assert_int_equal(json_units(news, "lower", 1), 1);
    assert_int_equal(json_units(news, "cost_before", 100), 160);
    assert_int_equal(json_units(news, "cost_at_new_prices", 100), 210);
    assert_true(json_is_false(json_object_get(news, "still_allowed")));
    /* A with D costs 1.60 and has 7, as has B with C for 0.90: either way one of these */
    assert_int_equal(json_units(answer, "fit", 1000), 7000);
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.out, "cost 1.60 and would now cost 2.10: it breaks 1 limit (spending cap)");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "old.csv"));
    desk_expect(run.out, "The same cards are best.");
    run_forget(&run);
    /* at one of the two prices there is no pool */
    folder_print(folder, "dear.csv", "name,price\nA,3.00\nB,2.00\nC,2.00\nD,1.00\n");
    desk_run(folder, &run, 1, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "dear.csv"));
    desk_expect(run.out, "  Prices of candidates: 4 higher, 0 lower.\n"
                         "  At the old prices there is a pool: it has a fit of 9 and costs 1.60.\n");
    run_forget(&run);
    char *old = folder_read(folder, "old.csv", NULL), *dear = folder_read(folder, "dear.csv", NULL);
    folder_print(folder, "old.csv", dear);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.out, "  At the old prices no pool meets every limit: proven.\n");
    run_forget(&run);
    folder_print(folder, "old.csv", old);
    free(old);
    free(dear);
    /* a list of what has changed alone: all others as before, also where the scenario's own are cheaper */
    folder_print(folder, "some.csv", "name,price\nA,1.50\nC,0.30\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "some.csv", "--json"));
    answer = run_json(&run);
    news = json_object_get(answer, "new_prices");
    assert_int_equal(json_units(news, "higher", 1), 1);
    assert_int_equal(json_units(news, "lower", 1), 1);
    assert_int_equal(json_units(news, "not_listed", 1), 2);
    assert_int_equal(json_units(news, "cost_at_new_prices", 100), 210);
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "some.csv"));
    desk_expect(run.out, "Prices of candidates: 1 higher, 1 lower; 2 are not in the new list and count as before.");
    run_forget(&run);
    folder_print(folder, "old.csv", "name,price\nA,1.00\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.err, "no pool at the scenario's own prices to compare with");
    run_forget(&run);
    desk_done(folder);
}

/* Two of three at 1.00, one of which may rise to 2.00; the cap of 2.00 protected from one rise leaves out the risky
 * one. */
static void risk_is_reported(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 3.40\nprice_risk: {protect: 1}\n", "prices: [p.csv]\n",
                               "name,colours,power\nA,rye,9\nB,rye,5\nC,rye,4\n");
    folder_print(folder, "p.csv", "name,price,low,high\nA,1.00,,2.50\nB,1.00,,1.50\nC,0.90,0.80,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    json_t *answer = run_json(&run);
    assert_int_equal(json_units(answer, "fit", 1000),
                     13000); /* A and B: 2.00 + 1.50 = 3.50; A and C: 1.90 + 1.50 = 3.40 */
    json_t *money = json_object_get(answer, "money"), *limit = json_array_get(json_object_get(money, "limits"), 0);
    assert_int_equal(json_units(limit, "typical", 100), 190);
    assert_int_equal(json_units(limit, "protected", 100), 340);
    assert_int_equal(json_units(limit, "highest", 100), 340);
    assert_string_equal(desk_names(money, "carriers"), "A");
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--full"));
    desk_expect(run.out, "carries the risk");
    run_forget(&run);
    desk_done(folder);
}

/* Without a stated currency all amounts are in one, wherever they stand. */
static void amounts_are_alike(void **state)
{
    (void)state;
    static const struct {
        const char *model, *scenario, *verb, *option, *value, *says; /* NULL: taken */
    } tried[] = {
        {"spending_cap: $7\n", "", "best", NULL, NULL, "error: found a price in '€', but model.yaml:5 is in '$'"},
        {"spending_cap: €7\nhandling: 0.10 GBP\n", "", "best", NULL, NULL,
         "model.yaml:6:11: error: found '0.10 GBP', but model.yaml:5 is in '€'; expected one currency for all amounts"},
        {"spending_cap: €7\nhandling: 0.10 EUR\n", "", "best", NULL, NULL, NULL},
        {"spending_cap: 7\n", "", "best", "--cap", "$5", "error: found a price in '€', but the command line is in '$'"},
        {"spending_cap: 7\n", "", "best", "--cap", "5 EUR", NULL},
        {"spending_cap: 7\n", "", "what-if", "--caps", "2..$5/1", "--caps: found '$5', but cards.csv:2 is in '€'"},
        {"spending_cap: 7\n", "", "what-if", "--caps", "2..€5/1", NULL},
        {"spending_cap: 7\n", "", "find", "--where", "price=$1..2", "--where: found '$1', but cards.csv:2 is in '€'"},
        {"spending_cap: 7\n", "owned: [owned.csv]\n", "best", NULL, NULL,
         "owned.csv:2:7: error: found a price in '$', but cards.csv:2 is in '€'"},
        {"spending_cap: 7\n", "cases: [{name: b, change: {spending_cap: $2}}]\n", "what-if", NULL, NULL,
         "found a price in '€', but scenario.yaml:3 is in '$'"},
        {"spending_cap: $7 # AUD\n", "", "best", NULL, NULL, NULL}, /* the sign of several currencies */
        {"spending_cap: 7 # AUD\n", "", "best", "--cap", "$5", NULL},
        {"spending_cap: 7 # AUD\n", "", "what-if", "--caps", "2..$5/1", NULL},
        {"spending_cap: 7\n", "", "best", "--cap", "5 kr", "found a price in 'AUD', but the command line is in 'kr'"},
        {"spending_cap: $7\n", "prices: [prices.csv]\n", "best", NULL, NULL, "found a price in 'AUD'"},
    };
    for (size_t k = 0; k < sizeof tried / sizeof *tried; k++) {
        const bool shared = strstr(tried[k].says != NULL ? tried[k].says : tried[k].model, "AUD") != NULL;
        char *folder = desk_folder(tried[k].model, tried[k].scenario,
                                   shared ? "name,colours,price\nAnt,rye,1 AUD\nBee,rye,2\nCow,rye,2\n"
                                          : "name,colours,price\nAnt,rye,€1\nBee,rye,2\n");
        folder_print(folder, "owned.csv", "name,copies,paid\nAnt,1,$3\n");
        folder_print(folder, "prices.csv", "name,price\nBee,$2\nCow,2 AUD\n"); /* two of one sign are two */
        Run run;
        desk_run(folder, &run, tried[k].says != NULL ? 2 : 0,
                 (const char *const[]){tried[k].verb, "scenario.yaml", tried[k].option, tried[k].value, NULL});
        if (tried[k].says != NULL)
            desk_expect(run.err, tried[k].says);
        run_forget(&run);
        desk_done(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_cheapest_printing_counts),
        cmocka_unit_test(currencies_turn_once),
        cmocka_unit_test(money_in_the_cards_sheet_turns_too),
        cmocka_unit_test(money_turns_under_every_header_of_price),
        cmocka_unit_test(bad_prices_are_errors),
        cmocka_unit_test(amounts_are_in_the_models_currency),
        cmocka_unit_test(shared_signs_are_the_models),
        cmocka_unit_test(strays_and_old_prices_are_told),
        cmocka_unit_test(handling_and_headroom_count_to_the_cent),
        cmocka_unit_test(owned_copies_come_first),
        cmocka_unit_test(scales_are_weighed),
        cmocka_unit_test(amounts_are_alike),
        cmocka_unit_test(strangers_in_the_pool_are_named_by_check),
        cmocka_unit_test(what_to_buy_is_listed),
        cmocka_unit_test(what_changes_cost_is_listed),
        cmocka_unit_test(a_blank_price_is_no_price),
        cmocka_unit_test(less_money_is_a_gain),
        cmocka_unit_test(new_prices_say_what_changes),
        cmocka_unit_test(risk_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
