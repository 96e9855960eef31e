/* test_import_colours.c - where lists say the colours of cards: in the names of sheets, in headings, as pictures. All
 * data are of an invented game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* A sheet for each colour and one of gold cards, which alone has a column of colours; the pool that is written has the
 * colours of all. */
static void sheets_for_each_colour(void **state)
{
    (void)state;
    static const char *const colour[] = {"ruv", "osk", "tel"};
    char *folder = folder_new(), text[2048];
    Run run;
    for (int k = 0; k < 3; k++) {
        size_t length = (size_t)snprintf(text, sizeof text, "name,kind,power\n");
        for (int c = 0; c < 8; c++)
            length += (size_t)snprintf(text + length, sizeof text - length, "%s %d,folk,%d\n", colour[k], c, c + 1);
        folder_print(folder, k == 0 ? "Ruv.csv" : k == 1 ? "Osk cards.csv" : "tel (8).csv", text);
    }
    folder_print(folder, "ruv-osk.csv", "name,kind,power\nPair,folk,90\n");
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "Ruv.csv", "Osk cards.csv", "tel (8).csv", "ruv-osk.csv", "-o", "mine",
                                   "--size", "6", NULL});
    desk_expect(run.out, "Ruv.csv, cards: name = name, kind = kind, power = power; the colours of 'Ruv'");
    desk_expect(run.out, "colours: Osk, Ruv, tel\n");
    assert_null(strstr(run.err, "colourless"));
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"check", "mine", NULL});
    desk_expect(run.out, "mono          24  (Osk 8, Ruv 8, tel 8)");
    desk_expect(run.out, "gold           1");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "mine", "-o", "pool.csv", NULL});
    run_forget(&run);
    char *pool = folder_read(folder, "pool.csv", NULL);
    desk_expect(pool, "name,kind,power,chosen,colours,class,fit,reason");
    desk_expect(pool, "osk 7,folk,8,1,Osk,mono,");
    free(pool);
    folder_print(folder, "gold.csv", "name,colours,power\nTwo,ruv+tel,7\n");
    folder_print(folder, "rest.csv", "name,kind,power\nStone,rock,2\n");
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "Ruv.csv", "Osk cards.csv", "tel (8).csv", "gold.csv", "rest.csv",
                                   "--size", "6", "-o", "other", NULL});
    desk_expect(run.err, "rest.csv:1:1: notice: the cards of 'rest' count as colourless: it has no column of colours, "
                         "and is not called as one\n");
    run_forget(&run);
    desk_run(folder, &run, 0, (const char *const[]){"best", "other", "-o", "pool.csv", NULL});
    run_forget(&run);
    pool = folder_read(folder, "pool.csv", NULL);
    desk_expect(pool, ",8,ruv,1,mono,"); /* in the column that the sheet of gold cards has */
    free(pool);
    desk_done(folder);
}

/* One list with a heading for each colour, in two of which the same words part kinds. What stands below a heading of
 * another name has no colour, and is told. */
static void headings_are_called_as_colours(void **state)
{
    (void)state;
    char *folder = folder_new(), text[4096];
    Run run;
    static const char *const heading[] = {"Ruv (20)", "Osk", "Tel", "Tel & Osk", "Gold"};
    size_t length = (size_t)snprintf(text, sizeof text, "name,kind,power\n");
    for (int k = 0; k < 5; k++) {
        length += (size_t)snprintf(text + length, sizeof text - length, "%s,,\n", heading[k]);
        for (int c = 0; c < 20; c++)
            length += (size_t)snprintf(text + length, sizeof text - length, "%sC%d-%d,%s,%d\n",
                                       k < 2 && c == 6     ? "Rigs,,\n"
                                       : k == 1 && c == 10 ? "Total,,\n"
                                                           : "",
                                       k, c, c < 6 ? "folk" : "rig", c + k);
    }
    folder_print(folder, "list.csv", text);
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "--size", "12", "-o", "mine"));
    desk_expect(run.out, "power = power; the colours of its headings\n");
    desk_expect(run.out, "colours: Osk, Ruv, Tel\n");
    desk_expect(run.err,
                "list.csv:90:1: notice: 20 cards stand below no heading that is called as colours, such as 'C4-0', "
                "and count as colourless; those of 'Osk + Ruv' can have a heading that is called so\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "mine"));
    desk_expect(run.out, "colourless    20");
    desk_expect(run.out, "mono          60  (Osk 20, Ruv 20, Tel 20)");
    desk_expect(run.out, "gold          20");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "mine", "-o", "pool.csv"));
    run_forget(&run);
    char *pool = folder_read(folder, "pool.csv", NULL);
    desk_expect(pool, "name,kind,power,chosen,colours,class,fit,reason");
    desk_expect(pool, ",19,1,Ruv,mono,");
    desk_expect(pool, ",23,1,,colourless,");
    free(pool);
    desk_done(folder);
}

/* Pictures and hash marks, as in chats. */
static void colours_as_pictures_and_hash_tags(void **state)
{
    (void)state;
    char *folder = folder_new(), text[4096];
    Run run;
    size_t length = (size_t)snprintf(text, sizeof text, "name,colour,power,tags\n");
    static const char *const colour[] = {"\U0001F534", "\U0001F535", "\U0001F534\U0001F535"}, *const tags[] = {
                                                                                                  "#kites #removal",
                                                                                                  "#mills", "#kites",
                                                                                                  ""};
    for (int c = 0; c < 48; c++)
        length += (size_t)snprintf(text + length, sizeof text - length, "C%d,%s,%d,%s\n", c,
                                   colour[c % 7 < 3   ? 0
                                          : c % 7 < 6 ? 1
                                                      : 2],
                                   c % 9, tags[c % 4]);
    folder_print(folder, "list.csv", text);
    desk_run(folder, &run, 0, WORDS("import", "list.csv", "--size", "12", "-o", "mine"));
    desk_expect(run.out, "tags_split: hash ");
    desk_expect(run.out, "colours: \U0001F534, \U0001F535 ");
    desk_expect(run.out, "themes: kites, mills ");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "mine"));
    desk_expect(run.out, "gold           6");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("find", "mine"));
    desk_expect(run.out, "kites; removal");
    run_forget(&run);
    desk_done(folder);
}

/* Names of colours of several words are not guessed from titles, but read there where an answer says them. */
static void titles_of_several_words(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "Deep Blue.csv", "name,power\nAsh,3\nBay,4\n");
    folder_print(folder, "Old Rose.csv", "name,power\nCod,3\nDab,4\n");
    folder_print(folder, "Deep Blue - Old Rose (1).csv", "name,power\nEel,3\n");
    folder_print(folder, "a.json", "{\"answers\": {\"colours\": \"Deep Blue, Old Rose\", \"size\": \"2\"}}");
    const char *const told[] = {"import", "Deep Blue.csv", "Old Rose.csv", "Deep Blue - Old Rose (1).csv", NULL};
    desk_run(folder, &run, 0, told);
    desk_expect(run.err, "if the sheets are called as colours, answer \"colours\": \"");
    run_forget(&run);
    const char *const answered[] = {"import",    "Deep Blue.csv", "Old Rose.csv", "Deep Blue - Old Rose (1).csv",
                                    "--answers", "a.json",        "-o",           "p",
                                    NULL};
    desk_run(folder, &run, 0, answered);
    assert_null(strstr(run.err, "colourless"));
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("find", "p", "--json"));
    const json_t *card;
    size_t k;
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        const char name = json_text(card, "name")[0];
        assert_string_equal(json_text(card, "colours"), name < 'C'   ? "Deep Blue"
                                                        : name < 'E' ? "Old Rose"
                                                                     : "Deep Blue+Old Rose");
    }
    assert_int_equal(k, 5);
    json_decref(root);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sheets_for_each_colour),
        cmocka_unit_test(headings_are_called_as_colours),
        cmocka_unit_test(colours_as_pictures_and_hash_tags),
        cmocka_unit_test(titles_of_several_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
