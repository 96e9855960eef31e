/* test_desk.c - the desk from outside: a new folder and what comes of it, what `check` says of a scenario. All data are
 * invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

/* ---- init ---- */

static void run_init(const char *folder, const char *size, const char *colours, const char *themes, Run *run)
{
    const char *arguments[] = {
        "init", "new", "--size", size, "--colours", colours, themes[0] != '\0' ? "--themes" : NULL, themes, NULL};
    run_poolwright(folder, arguments, NULL, run);
}

/* What init writes passes check, and best finds a pool of that size. */
static void whatever_is_asked_for_gives_a_pool(void **state)
{
    (void)state;
    static const char *const colours[] = {"solo",      "red oak,elm",  "a,b,c", "brass,glass,linen,tar",
                                          "a,b,c,d,e", "a,b,c,d,e,f,g"};
    static const char *const sizes[] = {"20", "45", "90", "360", "540"};
    static const char *const themes[] = {"", "ebb; flow",
                                         "one; two; three; four; five; six; seven; eight; nine; ten; eleven; twelve"};
    for (size_t c = 0; c < sizeof colours / sizeof *colours; c++)
        for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++) {
            const char *theme = themes[(c + s) % 3];
            if (sanitised() && (c + 2 * s) % 3 != 0) /* a third, each colour, size and list of themes */
                continue;
            char *folder = folder_new();
            Run run;
            run_init(folder, sizes[s], colours[c], theme, &run);
            desk_expect_code(&run, 0, "init");
            run_forget(&run);
            const char *check[] = {"check", "new", NULL};
            run_poolwright(folder, check, NULL, &run);
            desk_expect_code(&run, 0, "check");
            assert_string_equal(run.err, "");
            run_forget(&run);
            const char *best[] = {"best", "new", "--gap", "3%", "--json", NULL};
            run_poolwright(folder, best, NULL, &run);
            desk_expect_code(&run, 0, sizes[s]);
            json_t *answer = run_json(&run);
            assert_int_equal(json_units(answer, "size", 1), atoi(sizes[s]));
            json_decref(answer);
            run_forget(&run);
            folder_remove(folder);
            free(folder);
        }
}

/* Eight seats open 8 x 3 x 15 = 360 cards: the same files as for that size. More cards than they open may be asked for:
 * then the numbers by seats are those of 8, and those by size of 405. */
static void seats_say_the_size(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    desk_run(folder, &run, 0, WORDS("init", "by-seats", "--seats", "8", "--colours", "a,b", "--themes", "t=a+b"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("init", "by-size", "--size", "360", "--colours", "a,b", "--themes", "t=a+b"));
    run_forget(&run);
    desk_run(folder, &run, 0,
             WORDS("init", "both", "--seats", "8", "--size", "405", "--colours", "a,b", "--themes", "t=a+b"));
    run_forget(&run);
    char *seats = folder_read(folder, "by-seats/model.yaml", NULL),
         *size = folder_read(folder, "by-size/model.yaml", NULL);
    char *both = folder_read(folder, "both/model.yaml", NULL);
    assert_string_equal(seats, size);
    desk_expect(seats, "\nsize: 360\n");
    desk_expect(seats, "\nseats: {seats: 8, packs: 3, pack_size: 15}\n");
    desk_expect(both, "\nsize: 405\n");
    desk_expect(both, "\nseats: {seats: 8, packs: 3, pack_size: 15}\n");
    free(seats);
    free(size);
    free(both);
    /* of 360 places 15 in 24 are mono, half of these for each of two colours; 2 in 24 colourless */
    char *targets = folder_read(folder, "by-size/targets.csv", NULL);
    desk_expect(targets, "rule,all,a,b,t\r\nmono cards,112,,,\r\ncolourless cards,>=30,,,\r\n");
    free(targets);
    desk_run(folder, &run, 0, WORDS("init", "few", "--seats", "3", "--size", "90", "--colours", "a,b"));
    run_forget(&run);
    char *few = folder_read(folder, "few/model.yaml", NULL);
    desk_expect(few, "a seat opens three packs of 10, so 90 cards serve 3 seats. A drafter picks 30 cards");
    desk_expect(few, "\nseats: {seats: 3, packs: 3, pack_size: 10}\n");
    desk_expect(few, ": 3 seats x 2/2 x 10/8 (");
    free(few);
    desk_run(folder, &run, 0, WORDS("best", "few"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "both"));
    run_forget(&run);
    desk_done(folder);
}

static void init_overwrites_nothing(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "new/targets.csv", "mine\r\n");
    folder_print(folder, "new/list.csv", "mine too\r\n");
    Run run;
    run_init(folder, "90", "a,b", "t=a+b", &run);
    desk_expect_code(&run, 2, "init over a file");
    desk_expect(run.err, "new/targets.csv");
    desk_expect(run.err, "is there already");
    run_forget(&run);
    char *kept = folder_read(folder, "new/targets.csv", NULL);
    assert_string_equal(kept, "mine\r\n");
    free(kept);
    assert_false(folder_has(folder, "new/cards.csv"));
    assert_false(folder_has(folder, "new/model.yaml"));
    folder_remove(folder);
    free(folder);
}

static void init_goes_into_a_folder_of_exports(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "new/export.csv", "name\r\nX\r\n");
    Run run;
    run_init(folder, "90", "a,b", "t=a+b", &run);
    desk_expect_code(&run, 0, "init beside an export");
    run_forget(&run);
    assert_true(folder_has(folder, "new/scenario.yaml"));
    assert_true(folder_has(folder, "new/export.csv"));
    folder_remove(folder);
    free(folder);
}

static void init_says_what_is_wrong(void **state)
{
    (void)state;
    static const struct {
        const char *size, *colours, *themes, *says;
    } wrong[] = {
        {"5", "a,b", "t", "--size"},
        {"90", "a,,b", "t", "an empty name"},
        {"90", "a,A", "t", "'A' twice"},
        {"90", "a,b", "A", "'A' twice"},
        {"90", "a,b", "t; t", "'t' twice"},
        {"90", "brass,glass", "t=bras+glass", "did you mean 'brass'?"},
        {"90", "a,b", "price", "a column of the cards sheet is called so"},
        {"90", "a,b", "all", "a meaning of its own"},
        {"90", "a+b,c", "t", "expected a name without"},
        {"90", "1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17", "t", "more than 16"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = folder_new();
        Run run;
        run_init(folder, wrong[k].size, wrong[k].colours, wrong[k].themes, &run);
        desk_expect_code(&run, 2, wrong[k].says);
        desk_expect(run.err, wrong[k].says);
        assert_false(folder_has(folder, "new"));
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* ---- check ---- */

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

/* `check` names those of the present pool that are no candidates, with the nearest; every verb tells some of them. */
static void strangers_in_the_pool_are_named(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\npool_owned: no\n",
                               "name,colours,power,price\nHarbour Bell,rye,9,1.00\nB,teal,9,6.00\n");
    folder_print(folder, "pool.csv", "name\nB\nHarbor Bell\nOld One\nXylograph\nQuill of Dawn\nFurnace\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
    desk_expect(run.out, "Names in the present pool that are no candidates\n"
                         "  Harbor Bell (perhaps Harbour Bell); Old One; Xylograph; Quill of Dawn; Furnace\n");
    desk_expect(run.err, "pool.csv: notice: 5 of 6 lines name no candidate: 'Harbor Bell' (did you mean 'Harbour "
                         "Bell'?), 'Old One', 'Xylograph', 'Quill of Dawn', 'Furnace'\n");
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
    desk_expect(run.err, "'Harbor Bell' (did you mean 'Harbour Bell'?)");
    run_forget(&run);
    desk_done(folder);
}

/* Examples in files that are written begin with a #. Whoever takes it away, and nothing else, has a line that can be
 * read: each in its place, with what it says. */
static void examples_can_be_read_without_their_mark(void **state)
{
    (void)state;
    static const char *const begun[][8] = {
        {"init", "new", "--size", "20", "--colours", "rye,teal", NULL},
        {"import", "list.csv", "offers.csv", "-o", "new", NULL},
        {"init", "new", "--from", "list.csv", NULL},
    };
    static const char *const files[] = {"new/model.yaml", "new/scenario.yaml"};
    for (size_t k = 0; k < sizeof begun / sizeof *begun; k++) {
        char *folder = folder_new();
        Run run;
        folder_print(folder, "list.csv", "name,colours,cost\nAsh,rye,1\nBee,teal,2\nCob,rye,3\nDew,teal,4\n");
        folder_print(folder, "offers.csv",
                     "name,price,shop\nAsh,1.00,Post\nBee,1.00,Quay\nCob,1.00,Post\nDew,2.00,Quay\n");
        desk_run(folder, &run, 0, begun[k]);
        run_forget(&run);
        int taken = 0;
        for (size_t f = 0; f < 2; f++) {
            char *text = folder_read(folder, files[f], NULL);
            for (char *line = text; line != NULL; line = strchr(line + 1, '\n')) {
                char *mark = line + (*line == '\n');
                mark += strspn(mark, " ");
                if (*mark != '#' || mark[1] == ' ' ? strncmp(mark, "#  - {", 6) != 0 : mark[1] == '\n')
                    continue;
                memmove(mark, mark + 1, strlen(mark));
                taken++;
            }
            folder_print(folder, files[f], text);
            free(text);
        }
        assert_true(taken >= 5);
        folder_print(folder, "new/prices.csv", "name,price\nAsh,1.00\n");
        folder_print(folder, "new/owned.csv", "name,copies\nAsh,1\n");
        folder_print(folder, "new/tags.csv", "name,tag\nAsh,removal\n");
        folder_print(folder, "new/pool.csv", "name\nAsh\n");
        run_poolwright(folder, WORDS("check", "new"), NULL, &run);
        if (strstr(run.err, "cannot read") != NULL || strstr(run.err, "unknown key") != NULL)
            fail_msg("%s %s: %s", begun[k][0], begun[k][2], run.err);
        run_forget(&run);
        desk_done(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_can_be_read_without_their_mark),
        cmocka_unit_test(whatever_is_asked_for_gives_a_pool),
        cmocka_unit_test(seats_say_the_size),
        cmocka_unit_test(init_overwrites_nothing),
        cmocka_unit_test(init_goes_into_a_folder_of_exports),
        cmocka_unit_test(init_says_what_is_wrong),
        cmocka_unit_test(scales_are_weighed),
        cmocka_unit_test(strangers_in_the_pool_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
