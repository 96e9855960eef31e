/* test_import_lists.c - `import` of lists of names: as they are printed, side by side, without a header; columns of
 * marks and of prices that are called otherwise. All cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* A list as it is printed: the columns' names on each page, and at the end how many cards there are. */
static void printed_lists(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv",
                 "Card,Colour,Power,Price\nAsh Kiln,fen,1,1.00\nBee Yard,clay,2,2.00\n\nCard,Colour,Power,Price\n"
                 "Coal Lamp,fen,3,3.00\n3 cards,,,6.00\n");
    desk_run(folder, &run, 0, WORDS("import", "list.csv"));
    desk_expect(run.out, "list.csv: 4 lines, 3 candidates, 1 passed over, as no cards\n");
    desk_expect(run.out, "skip totals: yes   1 of 4: '3 cards' (list.csv:7)\n");
    run_forget(&run);
    desk_done(folder);
}

static void lists_side_by_side_are_refused(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv", "Ruv,Osk,Min\nAsh Kiln,Bee Yard,Coal Lamp\nDusk,Elm Rig,Fog\n,Gate,Hay Barge\n");
    desk_expect_refused(
        folder, WORDS("import", "list.csv", "-o", "mine"),
        "list.csv:1:1: error: the columns 'Ruv', 'Osk' and so on seem to be lists of names side by side, "
        "expected a line for each card: put the names below each other into one column called 'name', "
        "and what stands above them now into a column beside it, such as 'colours'",
        "mine");
    folder_print(folder, "list.csv", "Ruv,Osk,Tel\nAsh Kiln,Bee Yard,x\nDusk,Elm Rig,\nFog,Gate,x\n");
    desk_run(folder, &run, 0, WORDS("import", "list.csv"));
    run_forget(&run);
    folder_print(folder, "list.csv", "Card,Titel,Nom\nAsh Kiln,Bee Yard,Coal Lamp\nDusk,Elm Rig,Fog\n");
    desk_run(folder, &run, 0, WORDS("import", "list.csv")); /* of one card in three languages */
    run_forget(&run);
    desk_done(folder);
}

/* Lists of names without a header, of what one owns and of the present pool: the first line is a card as all others. */
static void plain_lists_have_no_header(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "cards.csv",
                 "name,colours,power,price\nAsh Kiln,ruv,3,1.00\nBee Yard,osk,4,2.00\nCoal Lamp,ruv,5,3.00\n");
    folder_print(folder, "pool.txt", "Coal Lamp\nAsh Kiln\n");
    folder_print(folder, "owned.txt", "2x Bee Yard\n- ash kiln\n");
    desk_run(folder, &run, 0, WORDS("import", "cards.csv", "pool.txt", "owned.txt", "-o", "mine"));
    desk_expect(run.out, "pool.txt: 2 lines of pool\n");
    desk_expect(run.out, "owned.txt: 2 lines of owned\n");
    desk_expect(run.out, "size: 2\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("check", "mine", "--json"));
    json_t *root = run_json(&run);
    assert_int_equal(json_integer_value(json_object_get(root, "present")), 2);
    json_decref(root);
    run_forget(&run);
    folder_print(folder, "all.txt", "Bee Yard\nAsh Kiln\nCoal Lamp\n");
    desk_run(folder, &run, 1, WORDS("audit", "mine", "all.txt"));
    desk_expect(run.out, "all.txt: 3 cards, 0.00 to buy,"); /* the lamp is owned by being in the pool */
    run_forget(&run);
    folder_print(folder, "pool.txt", "Cards\nAsh Kiln\n"); /* a header, if not one of ours */
    desk_run(folder, &run, 0, WORDS("check", "mine"));
    desk_expect(run.err, "pool.txt:1:1: notice: the column 'Cards' is read as name");
    run_forget(&run);
    desk_done(folder);
}

/* Sixty cards with a column of marks that is called so. */
static void write_marked(const char *folder, const char *header)
{
    char text[4000];
    size_t length = (size_t)snprintf(text, sizeof text, "name,colours,power,kites,%s\n", header);
    for (int k = 0; k < 60; k++)
        length += (size_t)snprintf(text + length, sizeof text - length, "Kiln %d,%s,%d,%s,%s\n", k,
                                   k % 2 == 0 ? "ruv" : "osk", k % 9, k % 5 < 2 ? "x" : "",
                                   k % 7 == 0   ? "x"
                                   : k % 7 == 3 ? "Ja"
                                   : k % 7 == 5 ? "no"
                                                : "");
    folder_print(folder, "list.csv", text);
}

/* A column of marks that is called as removal or fixing is no theme, so its marks are no tags: limits look at the
 * column itself, and some pool meets them. */
static void marks_that_are_no_theme_count(void **state)
{
    (void)state;
    static const struct {
        const char *header, *says;
    } row[] = {{"Removal?", "where: {class: mono, \"Removal?\": [\"Ja\", \"x\"]}"},
               {"fixing", "fixing: {\"fixing\": [\"Ja\", \"x\"]}"}};
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        char *folder = folder_new();
        Run run;
        write_marked(folder, row[k].header);
        desk_run(folder, &run, 0, WORDS("import", "list.csv", "-o", "mine"));
        assert_null(strstr(run.err, "no candidate has the tag"));
        run_forget(&run);
        char *model = folder_read(folder, "mine/model.yaml", NULL);
        desk_expect(model, row[k].says);
        free(model);
        desk_run(folder, &run, 0, WORDS("best", "mine"));
        desk_expect(run.out, "every limit met.");
        run_forget(&run);
        desk_done(folder);
    }
}

/* Beside names and shops the one column of amounts is the price, whatever it is called; what is no price's sheet is
 * told with the file that says otherwise. */
static void sheets_of_shops_have_prices(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "cards.csv", "name,colours,power\nAsh Kiln,ruv,3\nBee Yard,osk,4\nCoal Lamp,ruv,5\n");
    folder_print(folder, "sold.csv",
                 "Title,Boutique,Chez nous\nAsh Kiln,Quay,1.20\nAsh Kiln,Pier,1.10\nBee Yard,Quay,"
                 "0.35\n");
    folder_print(folder, "old.csv", "Title,Shelf\nAsh Kiln,left\nBee Yard,right\n");
    desk_run(folder, &run, 0, WORDS("import", "cards.csv", "sold.csv", "old.csv"));
    desk_expect(run.out, "sold.csv: 3 lines of prices\n");
    desk_expect(run.out, "sold.csv, prices: name = Title, shop = Boutique, price = Chez nous");
    desk_expect(run.out, "old.csv: 2 lines, not used\n");
    desk_expect(run.out, "To use a sheet all the same, say as what in a file, --answers FILE:\n"
                         "  {\"answers\": {\"sheet old.csv\": \"prices\"}}   (or cards, owned, tags, pool)\n");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_lists),
        cmocka_unit_test(lists_side_by_side_are_refused),
        cmocka_unit_test(plain_lists_have_no_header),
        cmocka_unit_test(marks_that_are_no_theme_count),
        cmocka_unit_test(sheets_of_shops_have_prices),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
