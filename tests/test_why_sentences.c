/* test_why_sentences.c - what `why` and `swap` say of single cards with the word "proven" in it, or as plainly, each in
 * a small invented scenario whose pools are few enough to be counted by hand. */
#include <ctype.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* The screen, with one blank for all blanks and line ends between words, has each of these sentences. */
static void expect_screen(const char *folder, int code, const char *const *words, const char *const *sentences)
{
    Run run;
    desk_run(folder, &run, code, words);
    char *to = run.out;
    for (const char *from = run.out; *from != '\0'; from++)
        if (!isspace((unsigned char)*from))
            *to++ = *from;
        else if (to > run.out && to[-1] != ' ')
            *to++ = ' ';
    *to = '\0';
    for (size_t k = 0; sentences[k] != NULL; k++)
        desk_expect(run.out, sentences[k]);
    run_forget(&run);
}

/* One rye card and one other: Anvil is in each pool. Beside it Bucket and Candle are alike, Drum has 4 less, and 9.00
 * for Easel are more than the cap leaves. */
static char *one_rye(void)
{
    return desk_folder("spending_cap: 5.00\nrules:\n  - {name: ryes, where: {colours: rye}, exactly: 1}\n", "",
                       "name,colours,power,price\nAnvil,rye,9,3.00\nBucket,teal,5,2.00\nCandle,teal,5,2.00\n"
                       "Drum,teal,1,0.50\nEasel,teal,8,9.00\n");
}

static void cards_in_and_out(void **state)
{
    (void)state;
    char *folder = one_rye();
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Anvil", "Bucket", "Candle", "Drum", "Easel"),
                  WORDS("Anvil is in, and must be: no pool that meets every limit does without it, proven.",
                        "Bucket is in, but need not be. A pool without it is just as good: Candle would come in.",
                        "Candle is not in this pool, but could be: another pool that is just as good has it.",
                        "Drum is out because other cards bring more fit. However far any single limit is loosened, it "
                        "stays out: proven. Forcing it in costs 4 fit: Bucket would leave. With a fit of 5 or more "
                        "(now 1) it would be in by itself. No price would bring it in, not even free (now 0.50).",
                        "Easel cannot be in any pool that meets every limit: proven.",
                        "With 7.00 more there it would be in. At a price of 2.00 or less (now 9.00) it would be in by "
                        "itself. Loosening any one of 2 other limits would not help: proven."));
    expect_screen(folder, 0, WORDS("swap", "scenario.yaml", "Anvil", "Bucket"),
                  WORDS("No pool that meets every limit does without it: proven. No single card can replace it without "
                        "breaking a limit.",
                        "One swap: Candle for Bucket costs no fit and no money; none is better: proven."));
    desk_done(folder);
}

static void words_of_the_user(void **state)
{
    (void)state;
    char *folder = one_rye();
    expect_screen(folder, 0,
                  WORDS("why", "scenario.yaml", "Anvil", "Bucket", "Easel", "--keep", "Anvil", "--keep", "Bucket",
                        "--ban", "Easel"),
                  WORDS("Anvil is in because you say so (command line). Without that: no pool that meets the other "
                        "limits can do without it.",
                        "Your keep costs nothing: the best pool without the card is just as good.",
                        "Easel is out because you say so (command line). Without that: no pool that meets the other "
                        "limits can hold it."));
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Drum", "--ban", "Drum"),
                  WORDS("Your ban costs nothing: with the card, fit would be 4 lower."));
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Drum", "--keep", "Drum"),
                  WORDS("Your keep costs 4 fit. Without the card: Bucket would come in."));
    desk_done(folder);
}

/* Two cards for at least 5.00: Anvil and Bucket have 14. Drum would have 17 beside Anvil, if both cost as much; Candle
 * is worse than Bucket at every price. */
static void prices_where_a_least_sum_is_asked(void **state)
{
    (void)state;
    char *folder = desk_folder("rules:\n  - {name: worth, measure: price, at_least: 5.00}\n", "",
                               "name,colours,power,price\nAnvil,rye,9,1.00\nBucket,teal,5,4.00\nCandle,teal,4,4.00\n"
                               "Drum,teal,8,0.50\n");
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Candle", "Drum"),
                  WORDS("No price would bring it in, neither as a gift nor a higher one (now 4.00).",
                        "No lower price would bring it in, not even as a gift (now 0.50). At 4.00 (dearer than now, "
                        "0.50) it would be in by itself: a limit asks for a least sum of money."));
    desk_done(folder);
}

/* Two limits forbid Fiddle, so that giving up one of them is not enough. */
static void no_single_limit(void **state)
{
    (void)state;
    char *folder = desk_folder("rules:\n  - {name: one, where: {name: Fiddle}, at_most: 0}\n"
                               "  - {name: two, where: {name: [Fiddle, Goose]}, at_most: 0}\n",
                               "", "name,colours,power\nAnvil,rye,9\nBucket,teal,5\nFiddle,teal,8\nGoose,rye,1\n");
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Fiddle"),
                  WORDS("Fiddle cannot be in any pool that meets every limit: proven. With Fiddle in, this cannot be "
                        "met, whatever else is chosen: one at most 0",
                        "And no single limit, however far it is loosened, would bring it into the best pool: proven."));
    desk_done(folder);
}

/* The thirteenth card by fit needs a pool of eleven more: no small change lets it in. */
static void no_small_change(void **state)
{
    (void)state;
    char cards[400] = "name,colours,power\n";
    for (int k = 0; k < 13; k++)
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Card %c,rye,%d\n", 'A' + k, 20 - k);
    char *folder = desk_folder("", "", cards);
    expect_screen(
        folder, 0, WORDS("why", "scenario.yaml", "Card M"),
        WORDS("Card M is out because other cards bring more fit. No single limit is to blame: no small change "
              "of one lets it in, proven.",
              "1 limit would have to be loosened by more than a tenth or so, if that helps at all; --rules "
              "looks further."));
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Card M", "--rules"),
                  WORDS("Card M is out because of one limit: size of the pool, exactly 2",
                        "With a pool of 11 more cards it would be in."));
    desk_done(folder);
}

/* Candle and Drum have 5 where Anvil and Bucket have 11; three cards that are kept are one too many at any cap. */
static void several_at_once(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 3.00\n", "",
                               "name,colours,power,price\nAnvil,rye,6,1.00\nBucket,teal,5,2.00\nCandle,teal,3,1.00\n"
                               "Drum,teal,2,0.00\n");
    expect_screen(folder, 0, WORDS("why", "scenario.yaml", "Candle", "Drum"),
                  WORDS("Both together: forcing them in costs 6 fit: Anvil and Bucket would leave."));
    expect_screen(folder, 1,
                  WORDS("what-if", "scenario.yaml", "--caps", "1..3/1", "--keep", "Anvil", "--keep", "Bucket", "--keep",
                        "Candle"),
                  WORDS("No pool meets the other limits, whatever is spent: proven."));
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cards_in_and_out),
        cmocka_unit_test(words_of_the_user),
        cmocka_unit_test(prices_where_a_least_sum_is_asked),
        cmocka_unit_test(no_single_limit),
        cmocka_unit_test(no_small_change),
        cmocka_unit_test(several_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
