/* test_json_says.c - what a verb's text says of a pool, of candidates and of lists stands in its JSON too: sentences
 * and rows are made anew from the JSON and looked up in the text. */
#include <ctype.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

typedef struct {
    Run text;
    json_t *json;
} Both;

/* Runs the verb as text, its blanks and line ends squeezed to one blank each, and as JSON. */
static Both both(const char *folder, int code, const char *const *words)
{
    const char *with[12];
    Both b;
    size_t count = 0;
    for (; words[count] != NULL; count++)
        with[count] = words[count];
    with[count] = "--json";
    with[count + 1] = NULL;
    desk_run(folder, &b.text, code, words);
    char *to = b.text.out;
    for (const char *from = b.text.out; *from != '\0'; from++)
        if (!isspace((unsigned char)*from))
            *to++ = *from;
        else if (to > b.text.out && to[-1] != ' ')
            *to++ = ' ';
    *to = '\0';
    b.json = run_answer(folder, code, with);
    return b;
}

static void both_done(Both *b)
{
    run_forget(&b->text);
    json_decref(b->json);
}

static void says(const Both *b, const char *form, ...)
{
    char sentence[512];
    va_list list;
    va_start(list, form);
    vsnprintf(sentence, sizeof sentence, form, list);
    va_end(list);
    desk_expect(b->text.out, sentence);
}

static int whole(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    assert_true(json_is_integer(value));
    return (int)json_integer_value(value);
}

static double number(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    assert_true(json_is_number(value));
    return json_number_value(value);
}

static void best_tells_themes_and_colours(void **state)
{
    (void)state;
    Both b = both(".", 0, WORDS("best", "scenarios/small", "--full", "--effort", "10k"));
    const json_t *themes = json_object_get(b.json, "themes"), *colours = json_object_get(b.json, "colours"), *item;
    const char *weakest = json_text(b.json, "weakest");
    size_t k;
    assert_true(json_array_size(themes) > 1 && json_array_size(colours) > 1);
    json_array_foreach (themes, k, item)
        says(&b, "%s %d %d %d %d %d %.10g %s", json_text(item, "name"), whole(item, "cards"), whole(item, "enablers"),
             whole(item, "payoffs"), whole(item, "gold"), whole(item, "shared"), number(item, "strength"),
             strcmp(json_text(item, "name"), weakest) == 0 ? "<- weakest" : "");
    json_array_foreach (colours, k, item) {
        const json_t *curve = json_object_get(item, "curve");
        says(&b, "%s %d %d %d %d %d %.2f %d", json_text(item, "name"), whole(item, "mono"), whole(item, "removal"),
             (int)json_integer_value(json_array_get(curve, 0)), (int)json_integer_value(json_array_get(curve, 1)),
             (int)json_integer_value(json_array_get(curve, 2)), number(item, "average_cost"), whole(item, "fixing"));
    }
    const json_t *classes = json_object_get(b.json, "classes");
    says(&b, "%d colourless, %d mono, %d gold, %d hybrid, %d fixing", whole(classes, "colourless"),
         whole(classes, "mono"), whole(classes, "gold"), whole(classes, "hybrid"), whole(classes, "fixing"));
    assert_int_equal(whole(classes, "mono") + whole(classes, "colourless") + whole(classes, "gold") +
                         whole(classes, "hybrid") + whole(classes, "fixing"),
                     whole(b.json, "size"));
    both_done(&b);
}

static const char cards[] = "name,colours,kind,power,price,status,date\n"
                            "Ant,rye,crew,9,1.00,,\nBee,rye,crew,,2.00,,\nCat,teal,crew,7,3.00,keep,\n"
                            "Dog,rye+teal,crew,6,,,\nEel,teal,crew,5,0.50,ban,\n";

static const char model[] = "unpriced: skip\nspending_cap: 9.00\n"
                            "fit: {power: 1, unscored: 8}\n"
                            "rules:\n"
                            "  - {name: early, where: {colours: rye}, at_most: 1}\n"
                            "  - {name: teal, where: {colours: teal}, at_least: 2, soft: 1}\n"
                            "exempt: [{card: Bee, from: [early], because: a favourite}]\n";

static void a_pool_tells_exceptions_and_soft_limits(void **state)
{
    (void)state;
    char *folder = desk_folder(model, "pool: pool.csv\nkeep: [Bee]\n", cards);
    folder_print(folder, "pool.csv", "name\nBee\nEel\nElk\n");
    Both b = both(folder, 0, WORDS("best", "scenario.yaml", "--full"));
    const json_t *exception = json_array_get(json_object_get(b.json, "exceptions"), 0);
    says(&b, "%s is not counted in %s: %s", json_text(exception, "name"),
         json_string_value(json_array_get(json_object_get(exception, "from"), 0)), json_text(exception, "because"));
    says(&b, "%d card in it without a power", whole(b.json, "unscored"));
    says(&b, "%d card left out for want of a price", whole(b.json, "skipped"));
    assert_int_equal(whole(b.json, "unpriced"), 0);
    both_done(&b);

    b = both(folder, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--rules"));
    exception = json_array_get(json_object_get(b.json, "exceptions"), 0);
    says(&b, "%s is not counted in early: a favourite", json_text(exception, "name"));
    const json_t *rule;
    size_t k, soft = 0;
    json_array_foreach (json_object_get(b.json, "rules"), k, rule)
        if (json_object_get(rule, "missed") != NULL) {
            soft++;
            says(&b, "Soft limits missed %s: at least 2, has %d; -%.10g fit", json_text(rule, "name"),
                 whole(rule, "use"), number(rule, "lost"));
        }
    assert_int_equal(soft, 1);
    both_done(&b);

    b = both(folder, 0, WORDS("audit", "scenario.yaml", "pool.csv", "--against", "pool.csv"));
    const json_t *side = json_object_get(b.json, "a");
    says(&b, "%d cards are not as the scenario asks", whole(side, "faults"));
    both_done(&b);

    b = both(folder, 0, WORDS("revise", "scenario.yaml", "--swaps", "2"));
    const json_t *present = json_object_get(b.json, "present");
    says(&b, "The present pool (%s) has %d cards and fit %.10g; ", json_text(present, "path"), whole(present, "size"),
         number(present, "fit"));
    says(&b, "%d of it is no candidate any more", whole(present, "unknown"));
    assert_int_equal(whole(present, "broken"), 0);
    assert_false(json_is_true(json_object_get(present, "kept"))); /* a banned card, and a kept one is missing */
    both_done(&b);
    desk_done(folder);
}

static void check_tells_candidates_and_prices(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\nspending_cap: 9.00\nhybrid_as_gold: 2\n",
                               "pool: pool.csv\nkeep: [Bee]\nprices: [prices.csv]\n",
                               "name,colours,power,symbols,status\nAnt,rye,9,1,\nBee,rye,8,1,wish\nCat,rye/teal,7,2,\n"
                               "Dog,rye/teal,6,1,ban\nAnt,rye,9,1,\nEel,teal,,1,\n");
    folder_print(folder, "pool.csv", "name\nBee\nEel\n");
    folder_print(folder, "prices.csv",
                 "name,price,date\nAnt,1.00,2026-01-02\nBee,4.50,2026-03-01\nCat,2,2026-02-01\n"
                 "Eel,3,2026-02-02\n");
    Both b = both(folder, 0, WORDS("check", "scenario.yaml"));
    const json_t *root = b.json, *classes = json_object_get(root, "classes"), *mono = json_object_get(root, "mono"),
                 *prices = json_object_get(root, "prices");
    says(&b, "%d to keep, %d banned, %d wish, %d in the present pool, %d copies owned only for that",
         whole(root, "keep"), whole(root, "ban"), whole(root, "wish"), whole(root, "present"),
         whole(root, "pool_owned"));
    says(&b, "Lines that repeat another: %d.", whole(root, "repeated"));
    says(&b, "mono %d (rye %d, teal %d) gold %d hybrid %d", whole(classes, "mono"), whole(mono, "rye"),
         whole(mono, "teal"), whole(classes, "gold"), whole(classes, "hybrid"));
    says(&b, "Hybrids that count as gold (2 symbols or more) %s",
         json_string_value(json_array_get(json_object_get(root, "hybrids_as_gold"), 0)));
    says(&b, "%d cards with a price, %.2f to %.2f, %.2f in all", whole(prices, "priced"), number(prices, "least"),
         number(prices, "most"), number(prices, "total"));
    says(&b, "%d with a date, %s to %s", whole(prices, "dated"), json_text(prices, "from"), json_text(prices, "to"));
    both_done(&b);
    desk_done(folder);
}

static void single_cards_and_money_are_told(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: skip\nspending_cap: 4.00\ncap_counts: paid and to buy\n", "",
                               "name,colours,power,price,status\nAnt,rye,9,1.50,\nBee,rye,8,2.00,\nCat,teal,7,2.40,\n"
                               "Dog,teal,6,,\nEel,teal,5,0.50,ban\n");
    Both b = both(folder, 0, WORDS("why", "scenario.yaml", "Cat"));
    const json_t *card = json_array_get(json_object_get(b.json, "cards"), 0);
    says(&b, "(now %.10g)", number(card, "fit"));
    says(&b, "(now %.2f)", number(card, "price"));
    both_done(&b);
    b = both(folder, 0, WORDS("why", "scenario.yaml", "Dog"));
    assert_string_equal(json_text(json_array_get(json_object_get(b.json, "cards"), 0), "left_out"), "no price");
    says(&b, "takes no part: it has no price");
    both_done(&b);
    b = both(folder, 0, WORDS("why", "scenario.yaml", "Eel"));
    card = json_array_get(json_object_get(b.json, "cards"), 0);
    says(&b, "because you say so (%s:%d)", json_text(card, "file"), whole(card, "line"));
    both_done(&b);

    folder_print(folder, "parcel.csv", "name,paid\nAnt,1.25\n");
    b = both(folder, 0, WORDS("bought", "scenario.yaml", "parcel.csv"));
    says(&b, "Paid until now: %.2f of 4.00; left: %.2f", number(b.json, "paid_until_now"), number(b.json, "left"));
    both_done(&b);

    folder_print(folder, "dear.csv", "name,price\nBee,2.60\n");
    b = both(folder, 0, WORDS("best", "scenario.yaml", "--prices", "dear.csv"));
    const json_t *breaks = json_object_get(json_object_get(b.json, "new_prices"), "breaks");
    says(&b, "it breaks %zu limit (spending cap)", json_array_size(breaks));
    assert_string_equal(json_text(json_array_get(breaks, 0), "kind"), "cap");
    both_done(&b);
    desk_done(folder);
}

/* Each sentence of the cards is on the screen, up to where the screen goes on with names or a place. */
static void tells_sentences(const Both *b, size_t count)
{
    size_t k, n, sentences = 0;
    json_t *card, *sentence;
    json_array_foreach (json_object_get(b->json, "cards"), k, card)
        json_array_foreach (json_object_get(card, "text"), n, sentence) {
            const char *text = json_string_value(sentence);
            says(b, "%.*s", (int)strlen(text) - 1, text);
            sentences++;
        }
    assert_int_equal(sentences, count);
}

static void why_tells_the_same_sentences(void **state)
{
    (void)state;
    if (sanitised())
        skip(); /* a long search, and others like it are short */
    Both b = both(".", 0, WORDS("why", "scenarios/small", "The Mayor's Piano", "Old Mother Slick"));
    tells_sentences(&b, 5);
    says(&b, "One swap: The Mayor's Piano for Laundry Lugger costs 3 fit and saves 0.20. Rearranging 7 cards costs ");
    says(&b, "Old Mother Slick is in. Without it the best pool has ");
    both_done(&b);
    b = both(".", 0, WORDS("why", "scenarios/small", "Dock Cat", "--ban", "Dock Cat"));
    tells_sentences(&b, 2);
    says(&b, "Your ban costs 0.15 fit. With the card: leave ");
    both_done(&b);
}

/* Cable stays in the pool that the smallest repair allows, which adds to its fit: also where the search for the best
 * such pool was stopped. */
static void a_repair_tells_one_fit(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(
        folder, "model.yaml",
        "size: {from: 3, to: 5}\nspending_cap: 1.15\nhandling: 1.00\ncolours: [ebb]\nfit: {unscored: 2, stay: 1}\n");
    folder_print(
        folder, "cards.csv",
        "name,power,price,copies,status\nAnchor,9,1.00,2,\nBuoy,0,0.25,1,\nCable,,0.00,3,keep\nDory,0,3.33,2,\n"
        "Eel,3,0.25,1,\nFerry,3,4.00,1,\nGull,2,0.25,2,\nHull,4,1.00,1,\n");
    folder_print(folder, "pool.csv", "name\nAnchor\nCable\nFerry\nGull\nHull\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\npool_owned: no\n");
    static const char *const effort[] = {"30", "60", "300"};
    int stopped = 0;
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        Both b = both(folder, 1, WORDS("best", ".", "--effort", effort[k]));
        const json_t *repair = json_object_get(b.json, "repair");
        stopped += json_is_false(json_object_get(repair, "best"));
        says(&b, " fit %.10g", number(repair, "fit"));
        both_done(&b);
    }
    assert_true(stopped > 0);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\n");
    Both b = both(folder, 0, WORDS("best", "."));
    says(&b, "The pool is worth 6.25; 0.00 to buy."); /* nothing is handled */
    both_done(&b);
    desk_done(folder);
}

/* As everywhere: a rule that is no colour's, pair's or theme's has an `of` that is empty. */
static void limits_of_seats_and_decks_say_of_what(void **state)
{
    (void)state;
    char *folder =
        desk_folder("seats: {seats: 2, packs: 1, pack_size: 1}\n"
                    "deck: {size: 1, rules: [{name: bodies, where: {kind: rig}, at_least: 1}]}\n"
                    "rules:\n  - {name: rigs, where: {kind: rig}, at_least: 1}\n",
                    "pool: pool.csv\n", "name,colours,power,price,kind\nAnvil,rye,9,3,rig\nBucket,teal,5,2,rig\n");
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
    json_t *root = run_answer(folder, 0, WORDS("seats", "scenario.yaml", "--json"));
    const json_t *rule = json_array_get(json_object_get(root, "rules"), 0);
    assert_string_equal(json_text(rule, "name"), "rigs");
    assert_string_equal(json_text(rule, "of"), "");
    json_decref(root);
    root = run_answer(folder, 0, WORDS("decks", "scenario.yaml", "--json"));
    const json_t *deck = json_object_get(json_array_get(json_object_get(root, "decks"), 0), "first"), *limit;
    size_t k;
    assert_int_equal(json_array_size(json_object_get(deck, "limits")), 2);
    json_array_foreach (json_object_get(deck, "limits"), k, limit)
        assert_string_equal(json_text(limit, "of"), "");
    json_decref(root);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(best_tells_themes_and_colours),
        cmocka_unit_test(a_pool_tells_exceptions_and_soft_limits),
        cmocka_unit_test(check_tells_candidates_and_prices),
        cmocka_unit_test(single_cards_and_money_are_told),
        cmocka_unit_test(why_tells_the_same_sentences),
        cmocka_unit_test(a_repair_tells_one_fit),
        cmocka_unit_test(limits_of_seats_and_decks_say_of_what),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
