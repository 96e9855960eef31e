/* test_best_screen.c - the screen of `best`: which wishes are named with what they cost, which limits stand out, when
 * limits are told rule by rule. Cards are invented; costs and what is left are counted by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

#define CARDS                                                                                                          \
    "name,colours,power,price\nAwl,rye,20,5\nBit,rye,18,4\nCog,teal,12,3\nDog,teal,9,1\nEye,teal,7,1\nFid,teal,4,1\n"  \
    "Gin,teal,30,100\n"
#define COLOURS "size: 2\ncolours: [rye, teal]\n"

/* The screen of these options for this model and the cards above. */
static void show(const char *model, const char *options, Run *run)
{
    char *folder = folder_new();
    folder_print(folder, "cards.csv", CARDS);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    const char *const plain[] = {"best", "scenario.yaml", NULL},
                      *const tight[] = {"best", "scenario.yaml", "--show", "tight", NULL},
                      *const rules[] = {"best", "scenario.yaml", "--rules", NULL},
                      *const firm[] = {"best", "scenario.yaml", "--firm", NULL};
    desk_run(folder, run, 0,
             strcmp(options, "tight") == 0   ? tight
             : strcmp(options, "rules") == 0 ? rules
             : strcmp(options, "firm") == 0  ? firm
                                             : plain);
    desk_done(folder);
}

/* Without Cog the best two have 38; with it 32, with Dog 29, with Eye 27, with Fid 24. Gin costs more than the cap: no
 * pool has it, so that it is none of those that might cost less. */
static void wishes_that_cost_least_come_first(void **state)
{
    (void)state;
    Run run;
    show(COLOURS "spending_cap: 50\nwish: [Awl, Eye, Cog, Gin, Fid, Dog]\n", "", &run);
    desk_expect(run.out, "\nWishes: 1 of 6 are in; of the others these cost least\n"
                         "  out  Cog (costs 6 fit); Dog (9); Eye (11) ... and 2 more\n");
    run_forget(&run);
    show(COLOURS "spending_cap: 50\nwish: [Cog, Dog, Eye]\n", "", &run); /* no more than are told in full */
    desk_expect(run.out, "\nWishes: 0 of 3 are in\n  out  Cog  costs 6 fit; ");
    run_forget(&run);
}

/* What you rule out yourself costs nothing: Gin, which would bring 12 more, is not first. What is in no pool is no
 * question of effort. */
static void wishes_that_cannot_be_in_come_last(void **state)
{
    (void)state;
    Run run;
    show(COLOURS "ban: [Gin]\nwish: [Gin, Cog, Dog, Eye]\n", "", &run);
    desk_expect(run.out, "\nWishes: 0 of 4 are in; of the others these cost least\n"
                         "  out  Cog (costs 6 fit); Dog (9); Eye (11) ... and 1 more\n");
    run_forget(&run);
    show(COLOURS "spending_cap: 2\nban: [Bit]\nwish: [Awl, Bit, Cog, Gin, Fid]\n", "", &run);
    desk_expect(run.out, "\nWishes: 0 of 5 are in; of the others these cost least\n"
                         "  out  Fid (costs 3 fit); Awl (in no pool); Bit (must stay out) ... and 2 more\n");
    run_forget(&run);
    show(COLOURS "spending_cap: 2\nwish: [Awl, Bit, Cog, Gin]\n", "", &run);
    desk_expect(run.out, "\nWishes: 0 of 4 are in; the others cannot be\n"
                         "  out  Awl (in no pool); Bit (in no pool); Cog (in no pool) ... and 1 more\n");
    run_forget(&run);
}

#define RULES                                                                                                          \
    "rules:\n  - {name: rye cards, where: {colours: rye}, at_most: 1}\n"                                               \
    "  - {name: one teal, where: {colours: teal}, exactly: 1}\n"                                                       \
    "  - {name: teal wanted, where: {colours: teal}, at_least: 2, soft: 1}\n"                                          \
    "  - {name: two teal, where: {colours: teal}, exactly: 2, soft: 1}\n"

/* Awl and Cog, for 8.00. A cap stands out with less than a hundredth left, a soft limit when it is missed; what asks
 * for an exact number is only counted, unless it is missed. */
static void limits_that_stand_out(void **state)
{
    (void)state;
    Run run;
    show(COLOURS "spending_cap: 8.05\n" RULES, "tight", &run);
    desk_expect(run.out, "\n  spending cap  at most 8.05  8.00  0.05 left ");
    desk_expect(run.out, "\n  rye cards     at most 1        1  tight ");
    desk_expect(run.out, "\n  teal wanted   at least 2       1  missed by 1, -1 fit ");
    desk_expect(run.out, "\n  two teal      exactly 2        1  missed by 1, -1 fit ");
    desk_expect(run.out, "\n  and 1 that asks for an exact number: --rules shows all\n");
    assert_null(strstr(run.out, "one teal"));
    run_forget(&run);
    show(COLOURS "spending_cap: 8.12\n" RULES, "tight", &run);
    assert_null(strstr(run.out, "spending cap"));
    run_forget(&run);
}

#define TEN "size: 2\ncolours: [rye, teal, c, d, e, f, g, h, i, j]\nrules:\n"

/* Awl and Gin: of the 45 pairs of ten colours rye and teal alone has both. */
static void many_limits_are_told_by_rule(void **state)
{
    (void)state;
    Run run;
    show(TEN "  - {name: pairs, each: pair, scope: playable, at_most: 5}\n"
             "  - {name: others, each: pair, scope: playable, at_most: 4}\n",
         "rules", &run);
    desk_expect(run.out, "\nLimits, the tightest of each rule\n");
    desk_expect(run.out, "\n  pairs (rye+teal)");
    desk_expect(run.out, "3 left: 1 of 45");
    desk_expect(run.out, "\n  others (rye+teal)");
    desk_expect(run.out, "2 left: 1 of 45");
    desk_expect(run.out, "\n  all 91 with --rules --full\n");
    run_forget(&run);
    show(TEN "  - {name: mono, each: colour, at_most: 5}\n  - {name: both, each: colour, at_most: 5}\n", "rules", &run);
    desk_expect(run.out, "\nLimits\n");
    desk_expect(run.out, "\n  both (j)");
    run_forget(&run);
}

/* Columns of costs and of removal where some candidate has such, whether or not it is in. */
static void what_no_candidate_has_is_no_column(void **state)
{
    (void)state;
    Run run;
    show(COLOURS, "", &run);
    desk_expect(run.out, "\n  Colours  mono  fixing\n  rye         1       0\n  teal        1       0\n");
    run_forget(&run);
    char *folder = folder_new();
    folder_print(folder, "cards.csv",
                 "name,colours,power,cost,tags\nAwl,rye,20,,\nBit,teal,18,,\nCog,teal,1,2,\nDog,rye,1,,removal\n");
    folder_print(folder, "model.yaml", COLOURS);
    folder_print(folder, "a.csv", "name\nAwl\nBit\n");
    folder_print(folder, "b.csv", "name\nAwl\nCog\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    desk_run(folder, &run, 0, WORDS("best", "."));
    desk_expect(run.out, "\n  Colours  mono  removal  cost to 2  3 or 4  5 up  average cost  fixing\n"
                         "  rye         1        0          0       0     0             -       0\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("audit", ".", "a.csv", "--against", "b.csv"));
    desk_expect(run.out, "\n  colour  mono  early  middle  late  removal  fixing\n");
    run_forget(&run);
    folder_print(folder, "cards.csv", "name,colours,power\nAwl,rye,20\nBit,teal,18\nCog,teal,1\n");
    desk_run(folder, &run, 0, WORDS("audit", ".", "a.csv", "--against", "b.csv"));
    desk_expect(run.out, "\n  colour  mono  fixing\n");
    run_forget(&run);
    desk_done(folder);
}

/* What you keep is not asked about, so that nothing is said of what would be lost without it; and where no score
 * matters that is said, not counted. */
static void firmness_of_what_is_kept(void **state)
{
    (void)state;
    Run run;
    show(COLOURS "keep: [Awl, Dog]\n", "firm", &run);
    desk_expect(run.out, "\nHow firmly the cards stand\n  every card of the pool is kept by you\n");
    assert_null(strstr(run.out, "sure"));
    run_forget(&run);
    show(COLOURS "keep: [Awl]\nban: [Cog, Dog, Eye, Gin]\n", "firm", &run);
    desk_expect(run.out, "\n  1 card is sure: without it at least 1 fit is lost; 1 more is kept by you\n"
                         "  Scores that matter: none; no card's power, changed by one point, changes the pool.\n");
    run_forget(&run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wishes_that_cost_least_come_first),
        cmocka_unit_test(wishes_that_cannot_be_in_come_last),
        cmocka_unit_test(limits_that_stand_out),
        cmocka_unit_test(many_limits_are_told_by_rule),
        cmocka_unit_test(what_no_candidate_has_is_no_column),
        cmocka_unit_test(firmness_of_what_is_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
