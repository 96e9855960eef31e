/* test_import_money.c - sheets with prices in several currencies are imported: what they are worth is asked, and the
 * first model says it. Prices are turned over by hand. All data are of an invented game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define LIST "name,colours,power,price\nAsh,fen,1,2.00 EUR\nBee,clay,2,$5.00\nCob,fen,3,€1.00\nDoe,clay,4,3.00\n"

/* Without an answer nothing is written, and the error says what to answer; most prices are in euro, though dollars may
 * come first. */
static void without_a_rate_nothing_is_written(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "list.csv", LIST);
    desk_expect_refused(folder, WORDS("import", "list.csv", "-o", "pool"),
                        "list.csv:3:12: error: found a price in '$', but most, such as list.csv:2, are in 'EUR': "
                        "expected one currency, or an answer how many EUR 1 $ is: at a terminal, or by --answers FILE "
                        "with {\"answers\": {\"rate $\": \"0.92\"}}",
                        "pool");
    Run run;
    desk_run(folder, &run, 0, WORDS("import", "list.csv"));
    desk_expect(run.out, "  rate $: ?   1 of 4: '$5.00' (list.csv:3)\n");
    run_forget(&run);
    folder_print(folder, "list.csv",
                 "name,colours,power,price\nAsh,fen,1,2.00 USD\nBee,clay,2,€5.00\nCob,fen,3,€1.00\nDoe,clay,4,3.00\n");
    desk_expect_refused(folder, WORDS("import", "list.csv", "-o", "pool"),
                        "list.csv:2:11: error: found a price in 'USD', but most, such as list.csv:3, are in '€'",
                        "pool");
    desk_expect_refused(folder, WORDS("init", "pool", "--from", "list.csv"),
                        "list.csv:2:11: error: found a price in 'USD', but most, such as list.csv:3, are in '€': "
                        "expected one currency, or `poolwright import`, which asks how many € 1 USD is",
                        "pool");
    static const char *const wrong[] = {"0", "-1", "dear", "0.1234567"};
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char answers[100], told[200];
        snprintf(answers, sizeof answers, "{\"answers\": {\"rate USD\": \"%s\"}}", wrong[k]);
        snprintf(told, sizeof told, "the answer to \"rate USD\" is '%s', expected a number above 0", wrong[k]);
        folder_print(folder, "answers.json", answers);
        desk_expect_refused(folder, WORDS("import", "list.csv", "-o", "pool", "--answers", "answers.json"), told,
                            "pool");
    }
    desk_done(folder);
}

/* Bee costs 5.00 x 0.8 = 4.00: all four 2.00 + 4.00 + 1.00 + 3.00. */
static void rates_are_written(void **state)
{
    (void)state;
    static const char *const rate[] = {"0.8", "0,8"};
    for (size_t k = 0; k < sizeof rate / sizeof *rate; k++) {
        char *folder = folder_new(), answers[100];
        Run run;
        snprintf(answers, sizeof answers, "{\"answers\": {\"rate $\": \"%s\", \"size\": \"4\"}}", rate[k]);
        folder_print(folder, "list.csv", LIST);
        folder_print(folder, "answers.json", answers);
        desk_run(folder, &run, 0, WORDS("import", "list.csv", "-o", "pool", "--answers", "answers.json"));
        run_forget(&run);
        char *model = folder_read(folder, "pool/model.yaml", NULL);
        desk_expect(model, "\ncurrency: {default: \"EUR\", rates: {\"$\": 0.8}}\n");
        free(model);
        desk_run(folder, &run, 0, WORDS("best", "pool"));
        desk_expect(run.out, "4 cards, 10.00 to buy");
        run_forget(&run);
        desk_done(folder);
    }
}

/* A column and a header say it, too; one currency in two spellings is one. */
static void columns_and_headers_say_currencies(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", "name,colours,power\nAsh,fen,1\nBee,clay,2\nCob,fen,3\nDoe,clay,4\n");
    folder_print(folder, "prices.csv",
                 "name,price (EUR),currency,stock\nAsh,2.00,,1\nBee,5.00,GBP,1\nCob,€1.00,,1\nDoe,3.00,,1\n");
    folder_print(folder, "answers.json", "{\"answers\": {\"rate GBP\": \"1.2\", \"size\": \"4\"}}");
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "prices.csv", "-o", "pool", "--answers", "answers.json"));
    desk_expect(run.out, "currency = currency, stock = stock\n"); /* they are read by their names */
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "pool"));
    desk_expect(run.out, "4 cards, 12.00 to buy");
    run_forget(&run);
    folder_print(folder, "prices.csv", "name,price (EUR)\nAsh,2.00\nBee,5.00 eur\nCob,€1.00\nDoe,3.00\n");
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "prices.csv"));
    assert_null(strstr(run.out, "rate"));
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_rate_nothing_is_written),
        cmocka_unit_test(rates_are_written),
        cmocka_unit_test(columns_and_headers_say_currencies),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
