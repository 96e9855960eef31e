/* test_page.c - what stands on the page: its figures are those of the commands, texts of the user's are text, the
 * policy lets only its own script run, and the players' page tells no prices and scores. What happens in a browser is
 * tested in tests/page. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/page_taken.h"

#define PAGE_MOST ((size_t)4 << 20)   /* with the engine */
#define ENGINE_MOST ((size_t)1 << 20) /* as it stands in the page */

/* ---- figures ---- */

/* The line of a table whose first cell begins with this name; "" when there is none. The result is static. */
static const char *line_of(const Page *page, const char *part, const char *name)
{
    static char line[4000];
    const char *at = strstr(page->text, part);
    char wanted[200];
    snprintf(wanted, sizeof wanted, "\n|%s", name);
    at = at == NULL ? NULL : strstr(at, wanted);
    if (at == NULL)
        return "";
    snprintf(line, sizeof line, "%.*s", (int)strcspn(at + 1, "\n"), at + 1);
    return line;
}

/* The cell of a line, the first being 0. */
static double cell(const char *line, int which)
{
    for (int k = 0; k <= which && line != NULL; k++)
        line = strchr(line + (k > 0), '|');
    assert_non_null(line);
    return strtod(line + 1, NULL);
}

static void sentence_is_that_of_best(const Page *page, const json_t *best)
{
    char sentence[300];
    snprintf(sentence, sizeof sentence, "%d cards, %.2f to buy of %.2f", (int)json_units(best, "size", 1),
             (double)json_units(best, "cost", 100) / 100,
             (double)json_units(json_object_get(best, "money"), "cap", 100) / 100);
    desk_expect(page->text, sentence);
    snprintf(sentence, sizeof sentence, "Fit %.15g: proven", (double)json_units(best, "fit", 1000) / 1000);
    desk_expect(page->text, sentence);
}

/* Counted by the page from the cards; by `what-if` from the programme's instance. */
static void themes_are_those_of_what_if(const Page *page, const json_t *what_if)
{
    const json_t *base = json_array_get(json_object_get(what_if, "cases"), 0),
                 *themes = json_object_get(base, "themes");
    assert_true(json_array_size(themes) > 0);
    for (size_t k = 0; k < json_array_size(themes); k++) {
        const json_t *theme = json_array_get(themes, k);
        const char *name = json_text(theme, "name"), *line = line_of(page, "Is each theme deep enough?", name);
        assert_int_equal((int)cell(line, 2), json_units(theme, "cards", 1));
        assert_int_equal(llround(1000 * cell(line, 7)), json_units(theme, "strength", 1000));
        const bool weakest = strstr(line, "weakest") != NULL;
        assert_int_equal(weakest, strcmp(json_text(base, "weakest"), name) == 0);
    }
}

static void money_adds_up(const Page *page, const json_t *best)
{
    double all = 0;
    const char *at = strstr(page->text, "Money by section");
    assert_non_null(at);
    at = strchr(at, '\n') + 1; /* behind the headers */
    for (; *at == '|'; at = strchr(at, '\n') + 1)
        all += cell(at, 3);
    assert_int_equal(llround(100 * all), json_units(best, "cost", 100));
}

/* One line for each, those that are out first. */
static void wishes_are_those_of_best(const Page *page, const json_t *best)
{
    const json_t *wishes = json_object_get(best, "wishes");
    const char *at = strstr(page->text, "Wishes, in or out");
    assert_true(json_array_size(wishes) > 0);
    assert_non_null(at);
    at = strchr(at, '\n') + 1; /* behind the headers */
    for (int in = 0; in < 2; in++)
        for (size_t k = 0; k < json_array_size(wishes); k++) {
            char wanted[300];
            const json_t *wish = json_array_get(wishes, k);
            if (json_is_true(json_object_get(wish, "in")) != (in == 1))
                continue;
            snprintf(wanted, sizeof wanted, "|%s|%s|", json_text(wish, "name"), in == 1 ? "in" : "out");
            if (strncmp(at, wanted, strlen(wanted)) != 0)
                fail_msg("expected '%s', found '%.60s'", wanted, at);
            at = strchr(at, '\n') + 1;
        }
    assert_true(*at != '|');
}

static void limits_are_those_of_best(const Page *page, const json_t *best)
{
    size_t index;
    json_t *rule;
    json_array_foreach (json_object_get(best, "rules"), index, rule) {
        const char *kind = json_text(rule, "kind"), *of = json_text(rule, "of"), *name = json_text(rule, "name");
        char wanted[300];
        if (strcmp(kind, "rule") != 0)
            continue;
        snprintf(wanted, sizeof wanted, of[0] != '\0' && strstr(name, of) == NULL ? "%s (%s)" : "%s", name, of);
        const char *line = line_of(page, "Limits that cost fit", wanted);
        if (line[0] == '\0')
            fail_msg("no limit '%s'", wanted);
        snprintf(wanted, sizeof wanted, "|%s|%s|%s|", json_text(rule, "asks"), json_text(rule, "has"),
                 json_text(rule, "left"));
        desk_expect(line, wanted);
    }
}

/* Of the pool that `best` gives; the command reads it as a list. */
static void seats_are_those_of_the_command(const Page *page, const char *subject)
{
    char *folder = folder_new(), list[4000];
    Run run;
    snprintf(list, sizeof list, "%s/pool.csv", folder);
    desk_run(".", &run, 0, WORDS("best", subject, "--effort", "20k", "-o", list));
    run_forget(&run);
    desk_run(".", &run, 0, WORDS("seats", subject, list, "--json"));
    json_t *seats = run_json(&run);
    run_forget(&run);
    const json_t *themes = json_object_get(seats, "themes");
    static const char *const by[] = {"pack", "opens", "sees"};
    assert_int_equal(json_array_size(themes), 10);
    for (size_t k = 0; k < json_array_size(themes); k++) {
        const json_t *theme = json_array_get(themes, k), *cards = json_object_get(theme, "cards"),
                     *payoffs = json_object_get(theme, "payoffs");
        const char *name = json_text(theme, "theme"), *line = line_of(page, "What a drafter sees of each theme", name);
        assert_int_equal((int)cell(line, 1), json_units(cards, "copies", 1));
        for (int b = 0; b < 3; b++)
            assert_true(fabs(cell(line, 2 + b) -
                             json_number_value(json_object_get(json_object_get(cards, by[b]), "mean"))) < 0.0501);
        assert_int_equal((int)cell(line, 5), json_units(json_object_get(cards, "sees"), "nine_in_ten", 1));
        desk_expect(line, json_text(theme, "short_of"));
        assert_int_equal(strstr(line, "short first") != NULL, k == 0);
        line = line_of(page, "The pictures in numbers", name);
        assert_int_equal((int)cell(line, 6), json_units(payoffs, "copies", 1));
        assert_true(fabs(cell(line, 10) -
                         100 * json_number_value(json_array_get(json_object_get(theme, "enough_payoffs"), 1))) < 0.1 ||
                    strchr(line, '>') != NULL);
    }
    json_decref(seats);
    desk_done(folder);
}

static void figures_are_those_of_the_commands(void **state)
{
    (void)state;
    if (sanitised()) /* reasons for whole scenarios: what writes the page is run by the others */
        skip();
    char *folder = folder_new(), path[4000], subject[4000];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    assert_non_null(realpath("scenarios/small", subject));
    desk_run(".", &run, 0, WORDS("page", subject, "-o", path));
    desk_expect(run.out, "The page is in");
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    desk_run(".", &run, 0, WORDS("best", subject, "--json"));
    json_t *best = run_json(&run);
    run_forget(&run);
    desk_run(".", &run, 0, WORDS("what-if", subject, "--cases", "--json"));
    json_t *what_if = run_json(&run);
    run_forget(&run);
    sentence_is_that_of_best(&page, best);
    themes_are_those_of_what_if(&page, what_if);
    money_adds_up(&page, best);
    limits_are_those_of_best(&page, best);
    wishes_are_those_of_best(&page, best);
    assert_null(strstr(page.text, "\n||")); /* no line of a table is about nothing */
    seats_are_those_of_the_command(&page, subject);
    assert_true(json_equal(json_object_get(json_object_get(page.data, "best"), "pool"), json_object_get(best, "pool")));
    assert_true(page.length < PAGE_MOST);
    json_decref(best);
    json_decref(what_if);
    page_forget(&page);
    desk_done(folder);
}

/* The demo, with little effort: how large its page is does not hang on how much was proven. */
static void the_demo_fits(void **state)
{
    (void)state;
    if (sanitised()) /* reasons for whole scenarios: what writes the page is run by the others */
        skip();
    char *folder = folder_new(), path[4000];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    run_poolwright(".", WORDS("page", "scenarios/demo", "--effort", "2k", "-o", path), NULL, &run);
    if (run.code != 3)
        desk_expect_code(&run, 0, "page of the demo");
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    const size_t without = strstr(page.html, "id=\"engine-wasm\"") != NULL ? 0 : ENGINE_MOST;
    if (page.length + without >= PAGE_MOST)
        fail_msg("%zu bytes, and %zu for the engine", page.length, without);
    page_forget(&page);
    desk_done(folder);
}

static void handling_is_in_sums(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 9\nhandling: 0.05\n", "",
                               "name,colours,power,price,owned\nOne,rye,9,1.50,0\nTwo,teal,8,1,0\nThree,rye,1,1,0\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    desk_expect(page.text, "2 cards, 2.60 to buy of 9.00");
    desk_expect(line_of(&page, "Money by section", "rye"), "|1|1|1.55|");
    desk_expect(page.text, "2 cards, 2.60, with 0.05 handling for each copy.");
    desk_expect(line_of(&page, "To buy, dearest first", "Two"), "|1|1.00|1.05|");
    page_forget(&page);
    desk_done(folder);
}

/* ---- limits in words ---- */

/* Shares and money as such; of no cards no average; a name that holds a colour's is not taken for one of it; what is
 * only watched stands in a table of its own. */
static void limits_are_written_as_meant(void **state)
{
    (void)state;
    char *folder =
        desk_folder("", "", "name,colours,cost,power,price\nOne,tar,1,9,1.50\nTwo,tar,2,8,1\nThree,rye,3,7,1\n");
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [tar, rye]\nspending_cap: 3\nrules:\n"
                 "  - {name: starters, each: colour, where: {class: mono}, at_most: 2}\n"
                 "  - {name: tar money, where: {colours: tar}, measure: spend, at_most: 2.5}\n"
                 "  - {name: share, where: {colours: tar}, at_most: 100%}\n"
                 "  - {name: late ones, where: {cost: {from: 5}}, measure: cost, average_at_most: 6}\n"
                 "  - {name: few tar, where: {colours: tar}, at_most: 1, watch: yes}\n"
                 "  - {name: cheap tar, where: {colours: tar}, measure: spend, at_most: 4, watch: yes}\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    desk_expect(line_of(&page, "Limits", "starters (tar)"), "|at most 2|2|tight|");
    desk_expect(line_of(&page, "Limits", "tar money"), "|at most 2.50|2.50|tight|");
    desk_expect(line_of(&page, "Limits", "share"), "|at most 100%|100%|");
    desk_expect(line_of(&page, "Limits", "late ones"), "|average at most 6|-|nothing to count|");
    const char *watched = "Watched: only counted, nothing has to keep them";
    desk_expect(line_of(&page, watched, "few tar"), "|at most 1|2|outside its band");
    desk_expect(line_of(&page, watched, "cheap tar"), "|at most 4.00|2.50|yes");
    assert_true(strstr(strstr(page.text, watched) + 1, watched) == NULL);
    page_forget(&page);
    desk_done(folder);
}

/* ---- hostile texts ---- */

#define BREAKS "</script><script>alert(1)</script>"
#define LOADS "<img src=x onerror=alert(1)>"
#define QUOTES "\"' onload='alert(1)' & &lt;b&gt; <!--"
#define TURNS "\xE2\x80\xAEnrut"

/* As a cell of a CSV file. */
static void add_cell(char *line, const char *text)
{
    char *to = line + strlen(line);
    *to++ = '"';
    for (; *text != '\0'; text++) {
        if (*text == '"')
            *to++ = '"';
        *to++ = *text;
    }
    *to++ = '"';
    *to = '\0';
}

static void texts_are_text(void **state)
{
    (void)state;
    static const char *const names[] = {BREAKS, LOADS, QUOTES, TURNS, "Plain"};
    char cards[4096] = "name,colours,kind,cost,power,price,tags,text,status\n";
    for (size_t k = 0; k < 5; k++) {
        add_cell(cards, names[k]);
        sprintf(cards + strlen(cards), ",%s,", k % 2 == 0 ? "rye" : "teal");
        add_cell(cards, LOADS);
        sprintf(cards + strlen(cards), ",%zu,%zu,1.50,t payoff 2,", k, 5 - k);
        add_cell(cards, BREAKS " &amp; 'x'");
        strcat(cards, k == 4 ? ",wish\n" : ",keep\n");
    }
    char *folder =
        desk_folder("spending_cap: 20\n", "cases:\n  - {name: \"" LOADS "\", change: {spending_cap: 9}}\n", cards);
    folder_print(folder, "model.yaml",
                 "size: 4\ncolours: [rye, teal]\nthemes:\n  - {name: t, colours: rye}\nspending_cap: 20\n"
                 "rules:\n  - {name: \"" LOADS "</title></style>\", at_most: 3, where: {colours: rye}}\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    for (size_t k = 0; k < 5; k++)
        desk_expect(page.text, names[k]);
    desk_expect(page.text, LOADS "</title></style>");
    desk_expect(page.text, BREAKS " &amp; 'x'");
    const json_t *pool = json_object_get(json_object_get(page.data, "best"), "pool");
    assert_int_equal(json_array_size(pool), 4);
    page_forget(&page);

    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "--drafters", "-o", "pool.html"), &page);
    for (size_t k = 0; k < 4; k++)
        desk_expect(page.text, names[k]);
    page_forget(&page);
    desk_done(folder);
}

/* HTML has no control characters: a name with one (sheets refuse most of them, YAML does not) is shown with its
 * picture.
 */
static void control_characters_are_shown(void **state)
{
    (void)state;
    char *folder = desk_folder("", "cases:\n  - {name: \"a\\x01\\x7F\\x85\\uFFFEz\", change: {spending_cap: 9}}\n",
                               "name,colours,price\nOne,rye,1\nTwo,teal,1\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    desk_expect(page.text, "|a\xE2\x90\x81\xE2\x90\xA1\xEF\xBF\xBD\xEF\xBF\xBDz|");
    page_forget(&page);
    desk_done(folder);
}

/* ---- the policy ---- */

/* The SHA-256 of the text as base64, by coreutils. */
static void hash_text(const char *folder, const char *text, size_t length, char hash[64])
{
    char command[4500];
    folder_write(folder, "hashed", text, length);
    snprintf(command, sizeof command, "sha256sum '%s/hashed' | cut -c1-64 | tr a-f A-F | basenc --base16 -d | base64",
             folder);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    assert_non_null(fgets(hash, 64, pipe));
    assert_int_equal(pclose(pipe), 0);
    hash[strcspn(hash, "\n")] = '\0';
}

static void expect_hash(const char *folder, const Page *page, const char *tag, const char *end, const char *directive)
{
    char hash[64], wanted[200];
    const char *from = strstr(page->html, tag);
    assert_non_null(from);
    from += strlen(tag);
    hash_text(folder, from, (size_t)(strstr(from, end) - from), hash);
    snprintf(wanted, sizeof wanted, "%s 'sha256-%s'", directive, hash);
    desk_expect(page->still, wanted);
}

static void policy_names_script_and_style(void **state)
{
    (void)state;
    static const char *const kinds[] = {NULL, "--drafters"};
    char *folder = desk_folder("", "", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\n");
    for (size_t k = 0; k < 2; k++) {
        Page page;
        page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html", kinds[k]), &page);
        desk_expect(page.still, "content=\"default-src 'none'; ");
        assert_null(strstr(page.still, "unsafe-inline"));
        if (strstr(page.html, "engine-wasm") == NULL)
            assert_null(strstr(page.still, "unsafe-eval'"));
        expect_hash(folder, &page, "<style>", "</style>", "style-src");
        expect_hash(folder, &page, "<script>", "</script>", "script-src");
        page_forget(&page);
    }
    desk_done(folder);
}

/* ---- for the players ---- */

static void players_see_no_prices_and_scores(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 123.45\n", "",
                               "name,colours,cost,power,price,tags,text,owned\n"
                               "One,rye,2,7.77,31.31,t payoff 2.625,Draw a card.,0\n"
                               "Two,rye+teal,3,6.66,42.42,t enabler 1.375,Discard a card.,0\n"
                               "Three,teal,4,5.55,53.53,,,0\n");
    static const char *const secrets[] = {"7.77",  "6.66",  "31.31",  "42.42", "123.45", "73.73",
                                          "2.625", "1.375", "10.395", "8.035", "18.43"};
    Page page;
    page_write_and_read(folder, 0, WORDS("page", ".", "--drafters", "-o", "pool.html"), &page);
    for (size_t k = 0; k < sizeof secrets / sizeof *secrets; k++)
        if (strstr(page.html, secrets[k]) != NULL)
            fail_msg("the players' page has %s", secrets[k]);
    assert_null(page.data);
    assert_null(strstr(page.html, "wasm"));
    assert_null(strstr(page.still, "price"));
    assert_null(strstr(page.still, "power"));
    desk_expect(page.text, "|One||rye|2|Draw a card.");
    desk_expect(page.text, "Its own cards: Two."); /* no theme is of both colours */
    desk_expect(page.text, "1 card: 0 to make it happen, 1 to reward it.");
    desk_expect(page.text, "Look for One.");
    page_forget(&page);
    /* The other page has them. */
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "31.31");
    desk_expect(page.text, "123.45");
    assert_int_equal((int)cell(line_of(&page, "Is each theme deep enough?", "t"), 2), 1); /* Two cannot be played */
    page_forget(&page);
    /* Where tags have no roles, nothing is said of them. */
    folder_print(folder, "cards.csv", "name,colours,cost,power,price,tags\nOne,rye,2,7,31,t\nTwo,rye+teal,3,6,42,t\n");
    page_write_and_read(folder, 0, WORDS("page", ".", "--drafters", "-o", "pool.html"), &page);
    desk_expect(page.text, "1 card.");
    assert_null(strstr(page.text, "to make it happen"));
    page_forget(&page);
    desk_done(folder);
}

static void colours_are_counted(void **state)
{
    (void)state;
    char *folder = desk_folder("", "",
                               "name,colours,kind,cost,power,tags\nOne,rye,,1,5,t payoff\nTwo,rye,,4,5,\n"
                               "Three,rye,,6,5,\nFour,rye+teal,,2,5,t enabler\nFive,rye/teal,,3,5,t enabler\n"
                               "Six,rye+teal,port,0,5,\nSeven,teal,,2,5,\n");
    folder_print(folder, "model.yaml",
                 "size: 7\ncolours: [rye, teal]\nfixing: {kind: port}\nthemes:\n  - {name: t, colours: rye}\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    assert_string_equal(line_of(&page, "The colours in numbers", "rye"), "|rye|3|1|1|1|3.67|1|1|1");
    assert_string_equal(line_of(&page, "The colours in numbers", "teal"), "|teal|1|1|0|0|2.00|1|1|1");
    assert_string_equal(line_of(&page, "Mono cards by cost", "rye"), "|rye|0|1|0|0|1|0|1");
    assert_string_equal(line_of(&page, "In which colours each theme is", "t"), "|t|2|1|0");
    page_forget(&page);
    desk_done(folder);
}

/* How old prices are is told of what is to be bought; without prices nothing is said of money. */
static void prices_and_their_age(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 9\n", "prices: [prices.csv]\n",
                               "name,colours,cost,power,owned\nOne,rye,2,7,0\nTwo,rye,3,6,0\nThree,teal,4,1,0\n");
    folder_print(folder, "prices.csv", "name,price,date\nOne,1,2026-03-05\nTwo,2,\nThree,1,2025-01-01\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "2 cards, 3.00 to buy of 9.00 (6.00 left)");
    desk_expect(page.text, "Prices of 2026-03-05; 1 without a date.");
    assert_null(strstr(page.text, "Twoo"));
    page_forget(&page);
    folder_print(folder, "prices.csv", "name,price,date\nOne,1,2026-03-05\nTwo,2,\nThree,1,2025-01-01\nTwoo,3,\n");
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "remarks on the files");
    desk_expect(page.text, "names no candidate: 'Twoo'");
    desk_expect(page.text, "Where the money goes");
    page_forget(&page);
    desk_done(folder);
    folder = desk_folder("", "", "name,colours,cost,power\nOne,rye,2,7\nTwo,rye,3,6\nThree,teal,4,1\n");
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text,
                "2 cards; every limit met. Fit 13: proven that no pool within these limits has more. No card "
                "has a price.");
    desk_expect(page.text, "2 cards; no card has a price.");
    assert_null(strstr(page.text, "0.00"));
    assert_null(strstr(page.text, "Where the money goes"));
    page_forget(&page);
    desk_done(folder);
    folder = desk_folder("spending_cap: 9\n", "",
                         "name,colours,cost,power,price,owned\nOne,rye,2,7,1,1\nTwo,rye,3,6,2,1\nThree,teal,4,1,1,0\n");
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "2 cards, 0.00 to buy of 9.00 (9.00 left)");
    assert_null(strstr(page.text, "carry no dates")); /* nothing has to be bought */
    page_forget(&page);
    desk_done(folder);
}

/* Swaps are worth what they say in the pool that meets every limit, which the present one may not. */
static void swaps_of_a_broken_pool(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: now.csv\nban: [Four]\n",
                               "name,colours,cost,power\nOne,rye,2,7\nTwo,rye,3,6\nThree,teal,4,1\nFour,teal,4,2\n");
    Page page;
    folder_print(folder, "now.csv", "name\nThree\nFour\n");
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "Once the present pool meets every limit: the swaps worth most, one after the other");
    desk_expect(page.text, "Two in, Three out: +5 fit");
    page_forget(&page);
    folder_print(folder, "now.csv", "name\nThree\nOne\n");
    page_write_and_read(folder, 0, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "The swaps of the present pool that are worth most, one after the other");
    page_forget(&page);
    desk_done(folder);
}

/* ---- others ---- */

static void without_a_scenario(void **state)
{
    (void)state;
    char *folder = folder_new(), path[4200];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    desk_run(".", &run, 0, WORDS("page", "-o", path));
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    assert_null(json_object_get(page.data, "best"));
    assert_string_equal(json_text(page.data, "main"), "");
    assert_non_null(json_object_get(json_object_get(page.data, "files"), "models/four-360.yaml"));
    assert_true(json_array_size(json_object_get(json_object_get(page.data, "words"), "words")) > 10);
    page_forget(&page);
    desk_done(folder);
}

/* The words for limits, and how far they are loosened, are those of the screens: the cap as it is written. */
static void limits_are_told_as_by_best(void **state)
{
    (void)state;
    char *folder =
        desk_folder("", "owned: [owned.csv]\n",
                    "name,colours,power,price\nOne,tar,9,1.50\nTwo,tar,8,1\nThree,rye,7,1\nFour,rye,2,0.20\n");
    folder_print(folder, "owned.csv", "name,copies,paid\nTwo,1,0.40\n");
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [tar, rye]\nspending_cap: 1.50\ncap_counts: paid and to buy\nheadroom: 10%\n"
                 "rules:\n  - {name: rye, where: {colours: rye}, at_least: 3, soft: 0.5}\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    desk_expect(page.text,
                "2 cards, 0.20 to buy and 0.40 paid of 1.35 (0.75 left; the cap is 1.50 less headroom); every "
                "firm limit met, 1 soft one missed at a loss of 1 fit.");
    const char *rye = line_of(&page, "Limits", "rye");
    desk_expect(rye, "|at least 3|1|missed by 2, -1 fit|with 1 fewer card: +0.5 fit");
    desk_expect(rye, "The same pool.");
    desk_expect(line_of(&page, "Limits", "spending cap"),
                "|at most 0.95 after headroom and what was paid|0.20|0.75 left|with 0.06 more: +5 fit");
    page_forget(&page);
    desk_done(folder);
}

/* A wish that is out is told in the sentences of `why`: Three and Two may not stand together, so Four comes in too. */
static void wishes_are_told_as_by_why(void **state)
{
    (void)state;
    char *folder =
        desk_folder("", "wish: [Three]\n", "name,colours,power\nOne,rye,5\nTwo,rye,9\nThree,teal,4\nFour,teal,1\n");
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [rye, teal]\napart: [{cards: [Two, Three]}]\n"
                 "needs: [{card: Three, one_of: [Four]}]\n");
    Page page;
    page_write_and_read(folder, 0, WORDS("page", "scenario.yaml", "-o", "pool.html"), &page);
    desk_expect(line_of(&page, "Wishes", "Three"),
                "|out|Forcing it in costs 9 fit. With a fit of 13 or more (now 4) it would be in by itself. One; Two "
                "would leave, Four would come in.");
    Run run;
    desk_run(folder, &run, 0, WORDS("why", "scenario.yaml", "Three"));
    desk_expect(run.out,
                "Forcing it in costs 9 fit: One and Two would leave, Four would come in.\nWith a fit of 13 or more");
    run_forget(&run);
    page_forget(&page);
    desk_done(folder);
}

static void nothing_fits(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 3\n", "", "name,colours,power,price\nOne,rye,3,2\nTwo,teal,2,2\n");
    Page page;
    page_write_and_read(folder, 1, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "No pool meets all limits.");
    desk_expect(page.text, "your cap is 3.00");
    desk_expect(page.text, "Without that there is a pool: proven.");
    page_forget(&page);
    desk_done(folder);

    /* A case that has a pool, against a scenario that has none: nothing is in or out. */
    folder = desk_folder("spending_cap: 3\n", "cases: [{name: richer, change: {spending_cap: 9}}]\n",
                         "name,colours,power,price\nOne,rye,3,2\nTwo,teal,2,2\n");
    page_write_and_read(folder, 1, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(line_of(&page, "What if?", "richer"), "|5|best|2.500|2|4.00|||t");
    page_forget(&page);
    desk_done(folder);

    folder = desk_folder("spending_cap: 3\nheadroom: 50%\nrules: [{name: rye, where: {colours: rye}, exactly: 3}]\n",
                         "", "name,colours,power,price\nOne,rye,3,2\nTwo,teal,2,2\n");
    page_write_and_read(folder, 1, WORDS("page", ".", "-o", "pool.html"), &page);
    desk_expect(page.text, "rye: exactly 3, loosened (2 fewer cards)");
    desk_expect(page.text, "spending cap: at most 1.50 after headroom, loosened (5.00 more)");
    assert_null(strstr(page.text, "rye: at least 3"));
    page_forget(&page);
    desk_done(folder);
}

/* After a signal, or with next to no effort, the page says what it does not have; what is not proven is not said. */
static void what_was_stopped_is_said(void **state)
{
    (void)state;
    char *folder = folder_new(), path[4200];
    Page page;
    Run run;
    snprintf(path, sizeof path, "%s/pool.html", folder);
    setenv("POOLWRIGHT_TEST_SIGNAL", "15@pool", 1);
    run_poolwright(".", WORDS("page", "scenarios/small", "-o", path), NULL, &run);
    unsetenv("POOLWRIGHT_TEST_SIGNAL");
    desk_expect_code(&run, 3, "page, stopped");
    desk_expect(run.err, "stopped: the page has what was found until then");
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    desk_expect(page.text, "Writing this page was stopped early");
    assert_null(json_object_get(page.data, "caps"));
    if (strcmp(json_text(json_object_get(page.data, "best"), "status"), "best") != 0)
        assert_null(strstr(page.text, "proven that no pool"));
    page_forget(&page);

    run_poolwright(".", WORDS("page", "scenarios/demo", "--effort", "1", "-o", path), NULL, &run);
    desk_expect_code(&run, 3, "page, without effort");
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    if (json_array_size(json_object_get(json_object_get(page.data, "best"), "pool")) == 0)
        desk_expect(page.text, "No pool was found before the search was stopped");
    assert_null(strstr(page.text, "No pool meets all limits"));
    assert_null(strstr(page.text, "proven that no pool"));
    assert_null(strstr(page.text, "no pool|")); /* of no case: none is proven to have no pool */
    desk_expect(line_of(&page, "What if?", "level waters"), "|not known|");
    page_forget(&page);
    desk_done(folder);
}

/* A case that cannot be counted is no page without it, and none that says it was written. */
static void a_question_without_answer_is_an_error(void **state)
{
    (void)state;
    char *folder = desk_small_folder("");
    Run run;
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\ncases:\n"
                 "  - {name: huge, change: {fit: {power: 1000000}}, cards: {Ash Kite: {power: 999999999}}}\n");
    run_poolwright(folder, WORDS("page", ".", "-o", "pool.html"), NULL, &run);
    desk_expect_told(&run, 2, "in case 'huge': the fit of 'Ash Kite' is too large");
    assert_false(folder_has(folder, "pool.html"));
    run_forget(&run);
    desk_done(folder);
}

/* Caps up to twice the cap are looked at, but for sums that no file may hold. */
static void the_largest_cap_has_a_page(void **state)
{
    (void)state;
    char *folder = desk_small_folder("");
    Page page;
    Run run;
    folder_print(folder, "model.yaml", "size: 2\ncolours: [ebb]\nspending_cap: 9000000000.00\n");
    run_poolwright(folder, WORDS("page", ".", "-o", "pool.html"), NULL, &run);
    desk_expect_code(&run, 0, "page of the largest cap");
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    assert_non_null(json_object_get(page.data, "caps"));
    page_forget(&page);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_are_those_of_the_commands),
        cmocka_unit_test(the_demo_fits),
        cmocka_unit_test(handling_is_in_sums),
        cmocka_unit_test(limits_are_written_as_meant),
        cmocka_unit_test(texts_are_text),
        cmocka_unit_test(control_characters_are_shown),
        cmocka_unit_test(policy_names_script_and_style),
        cmocka_unit_test(players_see_no_prices_and_scores),
        cmocka_unit_test(colours_are_counted),
        cmocka_unit_test(prices_and_their_age),
        cmocka_unit_test(swaps_of_a_broken_pool),
        cmocka_unit_test(without_a_scenario),
        cmocka_unit_test(limits_are_told_as_by_best),
        cmocka_unit_test(wishes_are_told_as_by_why),
        cmocka_unit_test(nothing_fits),
        cmocka_unit_test(what_was_stopped_is_said),
        cmocka_unit_test(a_question_without_answer_is_an_error),
        cmocka_unit_test(the_largest_cap_has_a_page),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
