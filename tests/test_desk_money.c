/* test_desk_money.c - prices, currencies, dates, handling, headroom and price risk, from outside. All data are
 * invented.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

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

/* Of amounts that say no currency themselves. */
static void the_header_of_a_cards_sheet_may_say_the_currency(void **state)
{
    (void)state;
    static const char model[] = "currency: {default: EUR, rates: {USD: 0.5, PLN: 0.2, shells: 0.1}}\n"
                                "columns: {price: [Price (USD), Cena w zł, \"Price [shells]\"]}\n";
    char *folder = desk_folder(model, "", "name,colours,Price (USD)\nA,rye,3.00\nB,rye,€3\n");
    folder_print(folder, "more.csv", "name,colours,Price [shells]\nC,rye,7.00\n");
    folder_print(folder, "rest.csv", "name,colours,price\nD,rye,7.00\n");
    folder_print(folder, "last.csv", "name,colours,Cena w zł\nE,rye,7.00\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv, more.csv, rest.csv, last.csv]\n");
    assert_int_equal(price_of(folder, "A"), 150);
    assert_int_equal(price_of(folder, "B"), 300);
    assert_int_equal(price_of(folder, "C"), 70);
    assert_int_equal(price_of(folder, "D"), 700);
    assert_int_equal(price_of(folder, "E"), 140);
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
        {"", "name,price,date\nBee,2,3/4/26\n", "expected a date such as 2026-03-31 or 31.03.2026"},
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
        "1 of 3 dated prices is more than 30 days older than 2026-03-01: 'Dog' (2026-01-29)"); /* 31 days; Bee 30 */
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

/* What has no price must be bought all the same. */
static void without_a_price_is_not_nothing(void **state)
{
    (void)state;
    static const struct {
        const char *cards, *says;
    } list[] = {{"name,colours,power,price,owned\nAnvil,rye,9,,\nBucket,rye,5,,1\nCandle,teal,3,1.00,\n",
                 "2 cards, nothing with a price to buy, fit 14; "},
                {"name,colours,power,price,owned\nAnvil,rye,9,,2\nBucket,rye,5,0.50,1\nCandle,teal,3,1.00,\n",
                 "2 cards, nothing to buy, fit 14; "},
                {"name,colours,power\nAnvil,rye,9\nBucket,rye,5\nCandle,teal,3\n", "2 cards, fit 14; "}};
    for (size_t k = 0; k < sizeof list / sizeof *list; k++) {
        char *folder = desk_folder("", "", list[k].cards);
        Run run;
        desk_run(folder, &run, 0, WORDS("best", "scenario.yaml"));
        desk_expect(run.out, list[k].says);
        run_forget(&run);
        desk_run(folder, &run, 0, WORDS("swap", "scenario.yaml"));
        desk_expect(run.out, "There is no dear card to buy");
        run_forget(&run);
        desk_done(folder);
    }
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
        cmocka_unit_test(the_header_of_a_cards_sheet_may_say_the_currency),
        cmocka_unit_test(money_turns_under_every_header_of_price),
        cmocka_unit_test(bad_prices_are_errors),
        cmocka_unit_test(amounts_are_in_the_models_currency),
        cmocka_unit_test(shared_signs_are_the_models),
        cmocka_unit_test(strays_and_old_prices_are_told),
        cmocka_unit_test(handling_and_headroom_count_to_the_cent),
        cmocka_unit_test(amounts_are_alike),
        cmocka_unit_test(a_blank_price_is_no_price),
        cmocka_unit_test(without_a_price_is_not_nothing),
        cmocka_unit_test(risk_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
