/* test_slips_page.c - slips for what is not owned, and the list to tick, read back from the written pages. Cards are
 * invented; nine slips to a sheet of paper follow from 3 x 63 mm and 3 x 88 mm on 210 x 297 mm (ISO 216) and on
 * 216 x 279 mm (letter), less the margins. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/page_taken.h"

static int count(const char *text, const char *what)
{
    int found = 0;
    for (const char *at = strstr(text, what); at != NULL; at = strstr(at + 1, what))
        found++;
    return found;
}

static char *make(void)
{
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 14\ncolours: [ebb, silt]\nspending_cap: none\nfixing: {kind: pier}\n");
    folder_print(folder, "cards.csv",
                 "name,colours,kind,cost,power,price,copies,owned,text\n"
                 "Zander,ebb,boat; crew,1,1,1,1,0,\"Two lines:\nsecond <b>&amp;\"\n"
                 "Coble,ebb,boat,4,1,1,12,2,Row.\n"
                 "Drag,silt,net,2.5,1,1,1,1,Pull.\n"
                 "Both,silt+ebb,net,,1,1,1,0,\n"
                 "Plain,,,3,1,1,1,0,\n"
                 "Stage,,pier,,1,1,1,0,\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    folder_print(folder, "list.csv", "name,copies\nStage,1\nZander,1\nCoble,11\nDrag,1\nBoth,1\nPlain,1\n");
    return folder;
}

static void slips_are_for_what_is_missing(void **state)
{
    (void)state;
    char *folder = make();
    Page page;
    page_write_and_read(folder, 0, WORDS("slips", ".", "list.csv", "-o", "pool.html"), &page);
    assert_int_equal(count(page.still, "<div class=\"slip\">"), 13); /* 16 copies, 2 + 1 owned */
    assert_int_equal(count(page.still, "<div class=\"page\">"), 2);
    assert_int_equal(count(page.still, ">Coble<"), 9);
    assert_int_equal(count(page.still, ">Drag<"), 0);
    desk_expect(page.still, "Two lines:\nsecond &lt;b&gt;&amp;amp;");
    desk_expect(page.text, "Zandercost 1 \u00b7 ebb \u00b7 boat, crew\n");
    assert_null(strstr(page.html, "<script"));
    desk_expect(page.still, "default-src 'none'; style-src");
    page_forget(&page);

    page_write_and_read(folder, 0, WORDS("slips", ".", "list.csv", "--all", "-o", "pool.html"), &page);
    assert_int_equal(count(page.still, "<div class=\"slip\">"), 16);
    assert_int_equal(count(page.still, ">Coble<"), 11);
    page_forget(&page);
    desk_done(folder);
}

/* The nine slips before the tenth stand on the first sheet. */
static void nine_stand_on_a_sheet(void **state)
{
    (void)state;
    char *folder = make();
    Page page;
    page_write_and_read(folder, 0, WORDS("slips", ".", "list.csv", "--all", "-o", "pool.html"), &page);
    const char *second = strstr(strstr(page.still, "<div class=\"page\">") + 1, "<div class=\"page\">");
    assert_non_null(second);
    assert_int_equal(count(second, "<div class=\"slip\">"), 7);
    page_forget(&page);
    desk_done(folder);
}

static void nothing_to_print_is_told(void **state)
{
    (void)state;
    char *folder = make();
    Run run;
    folder_print(folder, "list.csv", "Drag\n");
    desk_run(folder, &run, 0, WORDS("slips", ".", "list.csv", "-o", "pool.html"));
    assert_string_equal(run.out,
                        "Every card of the list is owned: no slips are in pool.html (--all makes them for all).\n");
    run_forget(&run);
    desk_done(folder);
}

static void the_list_is_by_section(void **state)
{
    (void)state;
    char *folder = make();
    Page page;
    page_write_and_read(folder, 0, WORDS("slips", ".", "list.csv", "--ticks", "-o", "pool.html"), &page);
    desk_expect(page.text, "ebb: 12 cards, 10 to buy\u2610 Zander to buy\n\u2610 Coble \u00d711 9 to buy\n"
                           "silt: 1 card\u2610 Drag\n"
                           "gold: 1 card, 1 to buy\u2610 Both ebb+silt to buy\n"
                           "colourless: 1 card, 1 to buy\u2610 Plain colourless to buy\n"
                           "fixing: 1 card, 1 to buy\u2610 Stage colourless to buy\n");
    page_forget(&page);
    desk_done(folder);
}

/* A text is set smaller before it is cut; what is cut is said. */
static void long_texts_are_cut_last(void **state)
{
    (void)state;
    static const struct {
        int letters;
        const char *class; /* NULL: cut */
    } tries[] = {{400, "\"text\""},
                 {401, "\"text small\""},
                 {900, "\"text smaller\""},
                 {1900, "\"text smallest\""},
                 {1901, NULL}};
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        char *folder = make(), cards[2200] = "name,colours,text\nLong,ebb,";
        Run run;
        Page page;
        for (int n = 0; n < tries[k].letters; n++)
            strcat(cards, n % 7 == 6 ? " " : "a");
        cards[strlen(cards) - 1] = 'z';
        folder_print(folder, "cards.csv", cards);
        folder_print(folder, "list.csv", "Long\n");
        desk_run(folder, &run, 0, WORDS("slips", ".", "list.csv", "-o", "pool.html"));
        page_read(folder, "pool.html", &page);
        assert_int_equal(strstr(run.out, "1 text is too long for a slip") != NULL, tries[k].class == NULL);
        assert_int_equal(strstr(page.text, "az\n") != NULL || strstr(page.text, " z\n") != NULL,
                         tries[k].class != NULL);
        desk_expect(page.still, tries[k].class != NULL ? tries[k].class : " ...</p>");
        run_forget(&run);
        page_forget(&page);
        desk_done(folder);
    }
}

static void mistakes_are_told(void **state)
{
    (void)state;
    char *folder = make();
    static const struct {
        const char *const words[6];
        const char *told;
    } tries[] = {
        {{"slips", ".", "list.csv", NULL}, "expected -o FILE, such as -o slips.html"},
        {{"slips", ".", "list.csv", "-o", "list.csv", NULL}, "'list.csv' is read by this scenario"},
        {{"slips", ".", "-o", "a.html", NULL}, "pool"}, /* no present pool */
        {{"slips", ".", "list.csv", "--ticks", "--all", NULL}, "found --ticks and --all"},
    };
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++)
        desk_expect_refused(folder, tries[k].words, tries[k].told, "a.html");
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slips_are_for_what_is_missing), cmocka_unit_test(nine_stand_on_a_sheet),
        cmocka_unit_test(nothing_to_print_is_told),      cmocka_unit_test(the_list_is_by_section),
        cmocka_unit_test(long_texts_are_cut_last),       cmocka_unit_test(mistakes_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
