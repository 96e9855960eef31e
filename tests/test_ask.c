/* test_ask.c - a scenario that stays loaded: answers do not depend on earlier questions, they are those of the
 * commands, mistakes are told with their place, and docs/ask.md says what there is. This
 * program is not repeated under sanitizers: test_ask_random asks there. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "ask/ask.h"
#include "ask/question.h"
#include "base/memory.h"
#include "support/run.h"

#define QUESTIONS 50

static char *asked(Ask *ask, const char *question)
{
    Text answer = {0};
    ask_question(ask, question, strlen(question), &answer);
    char *copy = strdup(text_cstr(&answer));
    text_release(&answer);
    return copy;
}

static Ask *opened(const char *subject)
{
    Text problems = {0};
    Ask *ask = ask_open(subject, NULL, &problems);
    if (ask == NULL)
        fail_msg("%s", text_cstr(&problems));
    text_release(&problems);
    return ask;
}

/* ---- order ---- */

static void make_question(int k, char *text, size_t room)
{
    static const char *const some[] = {
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"spending_cap\":%d}}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"spending_cap\":%d,\"keep\":[\"Weather Bore\"]},\"from\":\"base\"}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"spending_cap\":%d,\"ban\":[\"Mail Dinghy\"]}}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"spending_cap\":%d,\"rules\":{\"removal\":{\"at_least\":5}}}}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"spending_cap\":%d,\"spending\":1}}",
        "{\"id\":%d,\"ask\":\"count\",\"rule\":{\"where\":{\"price\":{\"to\":%d}},\"each\":\"colour\"}}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"spending_cap\":%d},\"case_cards\":{\"Weather "
        "Bore\":{\"price\":0.05}}}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"size\":%d}}",
        "{\"id\":%d,\"ask\":\"model\",\"change\":{\"spending_cap\":%d}}",
        "{\"id\":%d,\"ask\":\"best\",\"change\":{\"rules\":[{\"name\":\"more\",\"at_least\":%d,\"where\":{\"class\":"
        "\"gold\"}}]}}",
    };
    const int kinds = (int)(sizeof some / sizeof *some), kind = k % kinds;
    const int number = kind == 5 ? k % 4 : kind == 7 ? 170 + k / 2 : kind == 9 ? k / 4 : 70 + k;
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    snprintf(text, room, some[kind], k, number);
#pragma GCC diagnostic pop
}

static void answers_do_not_depend_on_earlier_questions(void **state)
{
    (void)state;
    char question[QUESTIONS][400];
    char *first[QUESTIONS];
    Ask *ask = opened("scenarios/small");
    const int questions = sanitised_share(QUESTIONS);
    for (int k = 0; k < questions; k++) {
        make_question(k, question[k], sizeof question[k]);
        first[k] = asked(ask, question[k]);
        if (k % 10 != 4 && strstr(first[k], "\"error\"") != NULL)
            fail_msg("%s\n%s", question[k], first[k]);
    }
    ask_close(ask);
    ask = opened("scenarios/small");
    for (int k = 0; k < questions; k++) {
        const int j = (k * 27 + 13) % questions; /* another order: 27 has no divisor in common with 50 or 10 */
        char *again = asked(ask, question[j]);
        assert_string_equal(again, first[j]);
        free(again);
    }
    ask_close(ask);
    for (int k = 0; k < questions; k++)
        free(first[k]);
}

/* ---- the commands ---- */

/* Without what may differ, and without where things were said: that is another file here and there. */
static void forget(json_t *value)
{
    const char *key;
    json_t *item;
    size_t k;
    if (json_is_object(value)) {
        json_object_del(value, "statistics");
        json_object_del(value, "id");
        json_object_del(value, "file");
        json_object_del(value, "line");
        json_object_del(value, "notices");
        json_object_del(value, "text"); /* of a cause: names such places too */
        json_object_foreach (value, key, item)
            forget(item);
    }
    json_array_foreach (value, k, item)
        forget(item);
}

/* Everything that the question's answer has, the command's has too. */
static void expect_same(const char *question, json_t *answer, json_t *command)
{
    const char *key;
    json_t *item;
    forget(answer);
    forget(command);
    json_object_foreach (answer, key, item)
        if (!json_equal(item, json_object_get(command, key))) {
            char *here = json_dumps(item, JSON_COMPACT | JSON_ENCODE_ANY),
                 *there = json_dumps(json_object_get(command, key), JSON_COMPACT | JSON_ENCODE_ANY);
            fail_msg("%s\n%s: %.2000s\n%.2000s", question, key, here, there != NULL ? there : "(nothing)");
        }
}

/* The scenario with the change as its case, at the small demo's place. */
static char *folder_with_case(const char *change, const char *edit)
{
    char *folder = folder_new(), *text = folder_read("scenarios/small", "scenario.yaml", NULL),
         *here = realpath(".", NULL);
    char *cases = strstr(text, "\ncases:");
    const size_t room = strlen(text) + strlen(change) + strlen(edit) + 1000;
    char *scenario = malloc(room), *rest = strstr(text, "\nchange:");
    assert_non_null(cases);
    *cases = '\0';
    snprintf(scenario, room,
             "model: %s/models/four-180.yaml\ncards: [%s/scenarios/demo/cards.csv]\n%s\ncases:\n  - {name: it, change: "
             "%s, cards: %s}\n",
             here, here, rest, change, edit);
    folder_print(folder, "scenario.yaml", scenario);
    free(scenario);
    free(text);
    free(here);
    return folder;
}

typedef struct {
    const char *change, *edit; /* JSON */
    const char *kind, *more;   /* of the question: its keys beside ask, change and edit */
    const char *word[8];       /* of the command line, behind the subject */
} Cold;

static void same_as_command(Ask *ask, const Cold *cold)
{
    char question[1000];
    Run run;
    char *folder = folder_with_case(cold->change, cold->edit);
    snprintf(question, sizeof question, "{\"ask\":\"%s\",\"change\":%s,\"case_cards\":%s%s%s}", cold->kind,
             cold->change, cold->edit, cold->more[0] != '\0' ? "," : "", cold->more);
    const char *arguments[16] = {strcmp(cold->kind, "caps") == 0 ? "what-if" : cold->kind, "scenario.yaml"};
    size_t count = 2;
    for (size_t k = 0; cold->word[k] != NULL; k++)
        arguments[count++] = cold->word[k];
    arguments[count++] = "--case";
    arguments[count++] = "it";
    arguments[count++] = "--json";
    char *text = asked(ask, question);
    json_t *answer = json_loads(text, 0, NULL);
    run_poolwright(folder, arguments, NULL, &run);
    json_t *command = run_json(&run);
    if (json_is_array(json_object_get(json_array_get(json_object_get(command, "cases"), 0), "enters")))
        json_object_set_new(json_array_get(json_object_get(command, "cases"), 0), "name", json_string("base"));
    expect_same(question, answer, command);
    json_decref(answer);
    json_decref(command);
    run_forget(&run);
    free(text);
    folder_remove(folder);
    free(folder);
}

static void answers_are_those_of_the_commands(void **state)
{
    (void)state;
    static const Cold cold[] = {
        {"{\"spending_cap\":80}", "{}", "best", "", {NULL}},
        {"{\"spending_cap\":80,\"keep\":[\"Weather Bore\"]}",
         "{}",
         "best",
         "\"explain\":true,\"effort\":30000",
         {"--effort", "30000", NULL}},
        {"{\"ban\":[\"Mail Dinghy\",\"Dock Cat\"]}",
         "{\"Weather Bore\":{\"wish\":true,\"price\":9.5}}",
         "best",
         "\"gap\":0",
         {"--gap", "0", NULL}},
        {"{\"spending_cap\":20}", "{}", "best", "\"explain\":true,\"effort\":30000", {"--effort", "30000", NULL}},
        {"{\"rules\":{\"removal\":{\"at_least\":6}}}",
         "{}",
         "why",
         "\"cards\":[\"Weather Bore\"],\"effort\":40000",
         {"Weather Bore", "--effort", "40000", NULL}},
        {"{\"spending_cap\":85}",
         "{}",
         "swap",
         "\"cards\":[\"Harbour Pilot\"],\"effort\":20000",
         {"Harbour Pilot", "--effort", "20000", NULL}},
        {"{\"spending_cap\":85}", "{}", "swap", "\"effort\":20000", {"--effort", "20000", NULL}},
        {"{\"keep\":[\"Weather Bore\"]}", "{}", "caps", "\"caps\":[60,70]", {"--caps", "60,70", NULL}},
    };
    Ask *ask = opened("scenarios/small");
    for (size_t k = 0; k < sizeof cold / sizeof *cold; k += sanitised() ? 3 : 1)
        same_as_command(ask, &cold[k]);
    ask_close(ask);
}

/* The pool of the state, as a question's `from`. */
static char *pool_named(Ask *ask, const char *change)
{
    char question[1000];
    json_t *from = json_array(), *card;
    size_t at;
    snprintf(question, sizeof question, "{\"ask\":\"best\",\"change\":%s}", change);
    char *text = asked(ask, question);
    json_t *best = json_loads(text, 0, NULL);
    json_array_foreach (json_object_get(best, "pool"), at, card)
        json_array_append_new(from, json_pack("{s:O, s:O}", "name", json_object_get(card, "name"), "copies",
                                              json_object_get(card, "copies")));
    char *named = json_dumps(from, JSON_COMPACT);
    json_decref(from);
    json_decref(best);
    free(text);
    return named;
}

typedef struct {
    const char *change, *more; /* of the question */
    const char *word[5];       /* of the command line */
} Table;

/* Without `from` and with it: every key, and no other. */
static void same_seats(Ask *ask, const Table *table)
{
    char *folder = folder_with_case(table->change, "{}"), *pool = pool_named(ask, table->change);
    const char *arguments[16] = {"seats", "scenario.yaml", "pool.csv", "--case", "it", "--json"};
    const size_t room = strlen(pool) + 1000;
    char *question = malloc(room);
    Run run;
    run_poolwright(
        folder,
        (const char *const[]){"best", "scenario.yaml", "--case", "it", "--effort", "20k", "-o", "pool.csv", NULL}, NULL,
        &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    memcpy(arguments + 6, table->word, sizeof table->word);
    run_poolwright(folder, arguments, NULL, &run);
    json_t *command = run_json(&run);
    for (int given = 0; given < 2; given++) {
        snprintf(question, room, "{\"ask\":\"seats\"%s%s,\"change\":%s%s}", given ? ",\"from\":" : "",
                 given ? pool : "", table->change, table->more);
        char *text = asked(ask, question);
        json_t *answer = json_loads(text, 0, NULL);
        expect_same(question, answer, command);
        assert_int_equal(json_object_size(answer), json_object_size(command));
        assert_true(json_array_size(json_object_get(answer, "themes")) > 0);
        json_decref(answer);
        free(text);
    }
    json_decref(command);
    run_forget(&run);
    free(question);
    free(pool);
    folder_remove(folder);
    free(folder);
}

static void seats_are_those_of_the_command(void **state)
{
    (void)state;
    static const Table tables[] = {
        {"{\"spending_cap\":80}", "", {NULL}},
        {"{\"keep\":[\"Weather Bore\"]}",
         ",\"seats\":3,\"package\":\"8+4\"",
         {"--seats", "3", "--package", "8+4", NULL}},
        /* as many as the pool serves; the command wants to be told */
        {"{\"size\":176}", "", {"--seats", "3", NULL}},
    };
    Ask *ask = opened("scenarios/small");
    for (size_t k = 0; k < sizeof tables / sizeof *tables; k++)
        same_seats(ask, &tables[k]);
    ask_close(ask);
}

/* The best pool, asked for again with a card left out: one swap mends it, and the base's own pool needs none. */
static void a_pool_that_is_given_is_revised(void **state)
{
    (void)state;
    Ask *ask = opened("scenarios/small");
    char *text = asked(ask, "{\"ask\":\"best\"}");
    json_t *best = json_loads(text, 0, NULL), *names = json_array();
    for (size_t k = 0; k < json_array_size(json_object_get(best, "pool")); k++)
        json_array_append(names, json_object_get(json_array_get(json_object_get(best, "pool"), k), "name"));
    for (int twice = 0; twice < 2; twice++) {
        json_t *question = json_pack("{s:s, s:i, s:O}", "ask", "revise", "swaps", 1, "from", names);
        char *line = json_dumps(question, JSON_COMPACT), *answer = asked(ask, line);
        json_t *revised = json_loads(answer, 0, NULL), *point = json_array_get(json_object_get(revised, "points"), 0);
        assert_non_null(point);
        assert_true(json_equal(json_object_get(point, "fit"), json_object_get(best, "fit")));
        assert_int_equal(json_array_size(json_object_get(point, "leaves")), 0);
        assert_int_equal(json_array_size(json_object_get(point, "enters")), twice);
        json_decref(revised);
        json_decref(question);
        free(answer);
        free(line);
        json_array_remove(names, 7);
    }
    json_decref(names);
    json_decref(best);
    free(text);
    ask_close(ask);
}

/* ---- mistakes ---- */

static void mistakes_have_their_place(void **state)
{
    (void)state;
    static const struct {
        const char *question, *answer;
    } wrong[] = {
        {"", "{\"error\":[{\"message\":\"found no JSON"},
        {"[1]", "{\"error\":[{\"message\":\"found a list, expected an object such as {\\\"ask\\\": "
                "\\\"best\\\"}\",\"column\":1}]}"},
        {"{\"id\":7}", "{\"id\":7,\"error\":[{\"message\":\"the question has no 'ask', expected best, why"},
        {"{\"id\":[1,\"a\"],\"ask\":\"bset\"}",
         "{\"id\":[1,\"a\"],\"error\":[{\"message\":\"found 'bset', expected best, why, swap, what-if, caps, revise, "
         "cards, model, "
         "count, seats or words; did you mean 'best'?\",\"key\":\"ask\",\"column\":21}]}"},
        {"{\"ask\":\"best\",\"chnge\":{}}", "{\"error\":[{\"message\":\"unknown key 'chnge' in a question; did you "
                                            "mean 'change'?\",\"key\":\"chnge\",\"column\":15}]}"},
        {"{\"ask\":\"best\",\"cards\":[]}", "{\"error\":[{\"message\":\"found 'cards', which \\\"best\\\" does not "
                                            "take\",\"key\":\"cards\",\"column\":15}]}"},
        {"{\"ask\":\"best\",\"change\":{\"rules\":{\"removl\":{\"at_least\":1}}}}",
         "{\"error\":[{\"message\":\"unknown rule 'removl'; did you mean "
         "'removal'?\",\"key\":\"change.rules.removl\",\"column\":34}]}"},
        {"{\"ask\":\"best\",\"change\":{\"ban\":[\"Dock Cta\"]}}",
         "{\"error\":[{\"message\":\"no candidate is called 'Dock Cta'; did you mean 'Dock "
         "Cat'?\",\"key\":\"change.ban[0]\",\"column\":32}]}"},
        {"{\"ask\":\"best\",\"change\":[]}", "{\"error\":[{\"message\":\"found an empty list, expected the keys of a "
                                             "model\",\"key\":\"change\",\"column\":24}]}"},
        {"{\"ask\":\"best\",\"from\":[{\"nme\":\"Dock Cat\"}]}",
         "{\"error\":[{\"message\":\"unknown key 'nme' in a card of a pool; did you mean "
         "'name'?\",\"key\":\"from[0].nme\",\"column\":24}]}"},
        {"{\"ask\":\"best\",\"gap\":\"wide\"}", "{\"error\":[{\"message\":\"found 'wide', expected a percentage such "
                                                "as \\\"0.05%\\\", or 0\",\"key\":\"gap\",\"column\":21}]}"},
        {"{\"ask\":\"best\",\"ask\":\"why\"}",
         "{\"error\":[{\"message\":\"found no JSON (duplicate object key near '\\\"ask\\\"')"},
        {"{\"ask\":\"seats\",\"package\":\"6\"}", "{\"error\":[{\"message\":\"found '6', expected enablers and payoffs "
                                                  "such as \\\"6+3\\\"\",\"key\":\"package\","
                                                  "\"column\":26}]}"},
        {"{\"ask\":\"seats\",\"seats\":5}",
         "{\"error\":[{\"message\":\"found 180 cards in the pool, expected 225: 45 for each of 5 seats; it serves "
         "--seats 4, or all of them with 'pack_size: 12' in the model\",\"key\":\"seats\",\"column\":24}]}"},
        {"{\"ask\":\"seats\",\"from\":[\"Dock Cat\"]}",
         "{\"error\":[{\"message\":\"found 1 card in the pool, expected 45 at least, which one seat opens"},
        {"{\"ask\":\"seats\",\"change\":{\"spending_cap\":5}}",
         "{\"error\":[{\"message\":\"no pool meets all limits, so no seat sees one\""},
        {"{\"ask\":\"why\"}", "{\"error\":[{\"message\":\"the question names no cards"},
        {"{\"ask\":\"best\",\"change\":{\"currency\":\"EUR\",\"spending_cap\":\"$80\"}}",
         "{\"error\":[{\"message\":\"found '$80', expected an amount in EUR, the model's currency\","
         "\"key\":\"change.spending_cap\",\"column\":57}]}"},
        {"{\"ask\":\"caps\",\"caps\":[\"€80\",\"90 USD\"],\"change\":{\"currency\":\"EUR\"}}",
         "{\"error\":[{\"message\":\"'caps': found '90 USD', expected an amount in EUR, the model's currency\"}]}"},
        {"{\"ask\":\"revise\",\"spend\":\"$5\",\"change\":{\"currency\":\"EUR\"}}",
         "{\"error\":[{\"message\":\"found '$5', expected an amount in EUR, the model's currency\",\"key\":\"spend\","
         "\"column\":25}]}"},
        {"{\"ask\":\"what-if\",\"cases\":[\"a sixth seat\"]}",
         "{\"error\":[{\"message\":\"the scenario has no case 'a sixth seat'; did you mean 'a fifth "
         "seat'?\",\"key\":\"cases[0]\",\"column\":27}]}"},
        {"{\"ask\":\"best\",\"case\":\"a fifth set\"}",
         "{\"error\":[{\"message\":\"the scenario has no case 'a fifth set'; did you mean 'a fifth seat'?\""},
        {"{\"ask\":\"best\",\"id\":\"\xff\"}",
         "{\"error\":[{\"message\":\"found a byte that is not UTF-8, expected a question in UTF-8\",\"column\":21}]}"},
    };
    Ask *ask = opened("scenarios/small");
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *answer = asked(ask, wrong[k].question);
        if (strncmp(answer, wrong[k].answer, strlen(wrong[k].answer)) != 0)
            fail_msg("%s\nexpected %s\nfound    %s", wrong[k].question, wrong[k].answer, answer);
        free(answer);
    }
    ask_close(ask);
    Text problems = {0};
    assert_null(ask_open("scenarios/smal", NULL, &problems));
    assert_non_null(strstr(text_cstr(&problems), "{\"error\":[{\"message\":\"found neither a file nor a folder"));
    text_release(&problems);
}

/* What a case changes, whatever it is. */
static void cases_say_what_they_change(void **state)
{
    (void)state;
    Ask *ask = opened("scenarios/reprints");
    char *answer = asked(ask, "{\"ask\":\"model\"}");
    json_t *root = json_loads(answer, 0, NULL);
    const json_t *cases = json_object_get(root, "cases"), *box = json_array_get(cases, 2);
    assert_string_equal(json_text(box, "name"), "next box");
    assert_string_equal(json_string_value(json_array_get(json_object_get(box, "files"), 0)), "next-box.csv");
    assert_string_equal(json_text(json_object_get(box, "change"), "spending_cap"), "310.00");
    assert_non_null(json_object_get(json_object_get(json_array_get(cases, 1), "cards"), "Grand Consort"));
    assert_null(json_object_get(json_array_get(cases, 1), "files"));
    json_decref(root);
    free(answer);
    ask_close(ask);
}

/* Too deep and too wide are refused, and names of any kind come through. */
static void odd_lines_are_answered(void **state)
{
    (void)state;
    Ask *ask = opened("scenarios/small");
    Text deep = {0};
    text_add(&deep, "{\"ask\":\"best\",\"change\":");
    for (int k = 0; k < 1000; k++)
        text_add_char(&deep, '[');
    for (int k = 0; k < 1000; k++)
        text_add_char(&deep, ']');
    text_add_char(&deep, '}');
    char *answer = asked(ask, text_cstr(&deep));
    assert_non_null(strstr(answer, "nested too deeply"));
    free(answer);
    text_release(&deep);
    answer = asked(ask, " {\t\"ask\" : \"best\" , \"change\" : { \"ban\" : [ \"\\ud83d\\ude00 \\\"x\\\"\" ] } } ");
    assert_non_null(strstr(answer, "no candidate is called '\xf0\x9f\x98\x80 \\\"x\\\"'"));
    free(answer);
    answer = asked(ask, "{\"ask\":\"best\",\"change\":null,\"case_cards\":null,\"from\":null}");
    assert_null(strstr(answer, "\"error\""));
    free(answer);
    ask_close(ask);
}

/* ---- stopping ---- */

static void a_stopped_question_leaves_nothing_behind(void **state)
{
    (void)state;
    static atomic_int stop;
    const char *question = "{\"ask\":\"best\",\"from\":\"base\"}";
    const Overrides none = {.model_folders = (const char *const[]){"models"}, .model_folder_count = 1};
    const AskOptions options = {.overrides = &none, .stop = &stop};
    Text problems = {0};
    Ask *ask = ask_open("scenarios/small", &options, &problems), *fresh = opened("scenarios/small");
    assert_non_null(ask);
    atomic_store(&stop, 1);
    char *stopped = asked(ask, question), *pool = asked(ask, "{\"ask\":\"best\"}");
    assert_non_null(strstr(stopped, "stopped before the pool to start from was found"));
    assert_non_null(strstr(pool, "\"status\":\"stopped\""));
    atomic_store(&stop, 0);
    char *after = asked(ask, question), *other = asked(fresh, question);
    assert_string_equal(after, other);
    free(stopped);
    free(pool);
    free(after);
    free(other);
    ask_close(ask);
    ask_close(fresh);
}

/* A card of the pool to start from that is banned now is one that leaves. */
static void a_banned_card_leaves(void **state)
{
    (void)state;
    char question[400];
    Ask *ask = opened("scenarios/small");
    char *text = asked(ask, "{\"ask\":\"best\"}");
    json_t *base = json_loads(text, 0, NULL);
    const char *name = json_text(json_array_get(json_object_get(base, "pool"), 0), "name");
    snprintf(question, sizeof question, "{\"ask\":\"best\",\"change\":{\"ban\":[\"%s\"]},\"from\":\"base\"}", name);
    char *changed = asked(ask, question);
    json_t *answer = json_loads(changed, 0, NULL),
           *leaves = json_object_get(json_object_get(answer, "nearest"), "leaves");
    bool found = false;
    for (size_t k = 0; k < json_array_size(leaves); k++)
        found = found || strcmp(json_text(json_array_get(leaves, k), "name"), name) == 0;
    if (!found)
        fail_msg("%s\n%.3000s", question, changed);
    json_decref(base);
    json_decref(answer);
    free(text);
    free(changed);
    ask_close(ask);
}

/* Ctrl-C while a question is being answered: its line comes, and no other; between questions the run ends at once. */
static void a_signal_ends_the_run(void **state)
{
    (void)state;
    char *folder = folder_new(), *here = realpath(".", NULL), subject[4200];
    Run run;
    snprintf(subject, sizeof subject, "%s/scenarios/small", here);
    folder_print(folder, "two.jsonl", "{\"id\":1,\"ask\":\"best\"}\n\n{\"id\":2,\"ask\":\"best\"}\n");
    signals_as_usual();
    setenv("POOLWRIGHT_TEST_SIGNAL", "2@search", 1);
    run_poolwright(folder, (const char *const[]){"ask", subject, NULL}, "two.jsonl", &run);
    assert_int_equal(run.code, 3);
    assert_int_equal(strncmp(run.out, "{\"id\":1,\"status\":\"stopped\"", 26), 0);
    assert_ptr_equal(strchr(run.out, '\n'), run.out + run.out_length - 1);
    run_forget(&run);
    setenv("POOLWRIGHT_TEST_SIGNAL", "2@read", 1);
    run_poolwright(folder, (const char *const[]){"ask", subject, NULL}, "two.jsonl", &run);
    unsetenv("POOLWRIGHT_TEST_SIGNAL");
    assert_int_equal(run.code, 130);
    assert_string_equal(run.out, "");
    run_forget(&run);
    folder_remove(folder);
    free(folder);
    free(here);
}

/* What a question may take is its own: the pool to start from is found as for every other. */
static void a_question_s_effort_is_its_own(void **state)
{
    (void)state;
    const char *little = "{\"ask\":\"best\",\"from\":\"base\",\"effort\":3,\"gap\":\"5%\"}",
               *usual = "{\"ask\":\"best\",\"change\":{\"ban\":[\"Harbour Pilot\"]},\"from\":\"base\"}";
    Ask *ask = opened("scenarios/small"), *fresh = opened("scenarios/small");
    char *first = asked(ask, little), *second = asked(ask, usual), *alone = asked(fresh, usual);
    assert_null(strstr(first, "\"error\""));
    assert_string_equal(second, alone);
    free(first);
    free(second);
    free(alone);
    ask_close(ask);
    ask_close(fresh);
}

/* ---- the page ---- */

static void the_page_has_every_word(void **state)
{
    (void)state;
    char *page = folder_read("docs", "ask.md", NULL), word[100];
    for (size_t k = 0; k < question_fields.count; k++) {
        snprintf(word, sizeof word, "\"%s\": ", question_fields.field[k].name);
        if (strstr(strstr(page, "## Schema"), word) == NULL)
            fail_msg("docs/ask.md: the schema has no %s", word);
        snprintf(word, sizeof word, "`%s`", question_fields.field[k].name);
        if (strstr(page, word) == NULL)
            fail_msg("docs/ask.md has no %s", word);
    }
    for (size_t k = 0; k < question_kinds.count; k++) {
        snprintf(word, sizeof word, "| `%s` | ", question_kinds.field[k].name);
        if (strstr(page, word) == NULL)
            fail_msg("docs/ask.md has no line for %s", word);
    }
    free(page);
}

/* Its questions, through the verb. */
static void the_page_s_questions_have_answers(void **state)
{
    (void)state;
    char *page = folder_read("docs", "ask.md", NULL), *folder = folder_new(), *here = realpath(".", NULL);
    char *start = strstr(page, "```jsonl\n") + strlen("```jsonl\n"), *end = strstr(start, "```");
    char subject[4200];
    size_t questions = 0, answers = 0;
    Run run;
    snprintf(subject, sizeof subject, "%s/scenarios/demo", here);
    folder_write(folder, "questions.jsonl", start, (size_t)(end - start));
    for (const char *at = start; at < end; at++)
        questions += *at == '\n';
    run_poolwright(folder, (const char *const[]){"ask", subject, NULL}, "questions.jsonl", &run);
    assert_int_equal(run.code, 0);
    assert_string_equal(run.err, "");
    for (char *line = run.out; *line != '\0'; answers++) {
        char *newline = strchr(line, '\n');
        assert_non_null(newline);
        *newline = '\0';
        json_t *answer = json_loads(line, 0, NULL);
        if (answer == NULL || json_object_get(answer, "error") != NULL)
            fail_msg("%s", line);
        assert_int_equal(json_integer_value(json_object_get(answer, "id")), answers + 1);
        json_decref(answer);
        line = newline + 1;
    }
    assert_int_equal(answers, questions);
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"ask", "none.yaml", NULL}, "questions.jsonl", &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.out, "{\"error\":"));
    assert_non_null(strstr(run.err, "error: "));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
    free(here);
    free(page);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_do_not_depend_on_earlier_questions),
        cmocka_unit_test(answers_are_those_of_the_commands),
        cmocka_unit_test(seats_are_those_of_the_command),
        cmocka_unit_test(a_pool_that_is_given_is_revised),
        cmocka_unit_test(mistakes_have_their_place),
        cmocka_unit_test(cases_say_what_they_change),
        cmocka_unit_test(odd_lines_are_answered),
        cmocka_unit_test(a_stopped_question_leaves_nothing_behind),
        cmocka_unit_test(a_banned_card_leaves),
        cmocka_unit_test(a_signal_ends_the_run),
        cmocka_unit_test(a_question_s_effort_is_its_own),
        cmocka_unit_test(the_page_has_every_word),
        cmocka_unit_test(the_page_s_questions_have_answers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
