/* fuzz_scenario.c - whole scenarios, questions as JSON and sheets for `import`, changed at random and read, again and
 * again: nothing may crash, hang or leak, what cannot be read has an error, and whatever a question holds, the answer
 * is one object of JSON (make fuzz; built with sanitizers).
 *
 *   fuzz_scenario SECONDS [SEED]
 *
 * Scenarios are those that tests/support rolls, one of whose files is changed. What is wrong is printed with the seed
 * of the single try; SEED begins there. */
#include <dirent.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "ask/ask.h"
#include "base/text.h"
#include "support/messy.h"
#include "support/run.h"
#include "support/shape.h"
#include "support/tiny.h"

static const char *const words[] = {"{",
                                    "}",
                                    "[",
                                    "]",
                                    ": ",
                                    ", ",
                                    "- ",
                                    "\n",
                                    "\n  ",
                                    "\"",
                                    "'",
                                    "\"\"",
                                    "#",
                                    "*",
                                    "&",
                                    "!",
                                    "|",
                                    ">",
                                    "~",
                                    "null",
                                    "yes",
                                    "no",
                                    "none",
                                    "off",
                                    "-1",
                                    "0",
                                    "1",
                                    "0.001",
                                    "999999999999",
                                    "9223372036854775807",
                                    "1e9",
                                    "50%",
                                    "100%",
                                    "101%",
                                    "to",
                                    "from",
                                    "not",
                                    "any",
                                    "size",
                                    "rules",
                                    "themes",
                                    "name",
                                    "each",
                                    "colour",
                                    "pair",
                                    "theme",
                                    "where",
                                    "at_least",
                                    "at_most",
                                    "exactly",
                                    "between",
                                    "seen",
                                    "for",
                                    "of",
                                    "measure",
                                    "price",
                                    "text: \"(a+)+$\"",
                                    "text",
                                    "keep",
                                    "extends",
                                    "model.yaml",
                                    "cards.csv",
                                    "..",
                                    "/dev/null",
                                    "spending_cap",
                                    "price_risk",
                                    "protect",
                                    "\xC3\xA9",
                                    "\xFF",
                                    "\xEF\xBB\xBF",
                                    "\t",
                                    "\r\n",
                                    ";",
                                    "x",
                                    "\\u0000",
                                    "\\ud800",
                                    "true",
                                    "false"};

static const char *const questions[] = {
    "{\"id\": 1, \"ask\": \"model\"}",
    "{\"id\": [2], \"ask\": \"cards\", \"change\": {\"spending_cap\": 280, \"keep\": [\"Kiln Warden\"]}}",
    "{\"id\": 3, \"ask\": \"best\", \"effort\": 40, \"change\": {\"size\": {\"from\": 2, \"to\": 4}, \"rules\": "
    "[{\"name\": "
    "\"x\", \"each\": \"colour\", \"where\": {\"kind\": \"crew\", \"price\": {\"to\": 0.50}}, \"at_least\": 1}]}, "
    "\"from\": [{\"name\": \"Kiln Warden\", \"copies\": 2}, \"Anvil\"]}",
    "{\"id\": 4, \"ask\": \"count\", \"rule\": {\"each\": \"pair\", \"where\": {\"class\": \"gold\"}, \"measure\": "
    "\"spend\", \"between\": [0, \"3.00\"]}}",
    "{\"id\": 5, \"ask\": \"best\", \"effort\": 40, \"case_cards\": {\"Kiln Warden\": {\"keep\": false, \"price\": "
    "4.50, "
    "\"power\": \"7/10\", \"owned\": 1, \"copies\": 2}}, \"gap\": \"0.05%\"}",
    "{\"id\": 6, \"ask\": \"caps\", \"effort\": 40, \"caps\": [250, \"300.00\", \"none\"]}",
    "{\"id\": 7, \"ask\": \"seats\", \"seats\": 6, \"package\": \"6+3\", \"from\": \"base\"}",
    "{\"id\": 8, \"ask\": \"what-if\", \"effort\": 40, \"sizes\": \"2..4/1\"}",
    "{\"id\": 9, \"ask\": \"swap\", \"effort\": 40, \"cards\": [\"Kiln Warden\"]}",
    "{\"id\": 10, \"ask\": \"revise\", \"effort\": 40, \"swaps\": 2, \"spend\": 3, \"from\": [\"Kiln Warden\"]}"};

static size_t somewhere(Dice *dice, size_t length)
{
    return (size_t)dice_roll(dice, 0, (int)length);
}

static void report(uint64_t seed, const char *what)
{
    fprintf(stderr, "seed %llu: %s\n", (unsigned long long)seed, what);
    abort();
}

/* A few bytes or a line taken out at a place, and a byte, a word or a piece from elsewhere put in. */
static void change(Text *text, Dice *dice)
{
    Text result = {0};
    const size_t at = somewhere(dice, text->length), left = text->length - at;
    const char *bytes = text_cstr(text), *end = memchr(bytes + at, '\n', left);
    size_t out = somewhere(dice, left < 4 ? left : 4);
    if (dice_chance(dice, 15))
        out = end == NULL ? left : (size_t)(end - bytes - (ptrdiff_t)at);
    const char byte = (char)dice_roll(dice, 0, 255);
    text_add_n(&result, bytes, at);
    if (dice_chance(dice, 10))
        text_add_n(&result, &byte, 1);
    else if (dice_chance(dice, 70))
        text_add(&result, words[somewhere(dice, sizeof words / sizeof *words - 1)]);
    else {
        const size_t from = somewhere(dice, text->length), rest = text->length - from;
        text_add_n(&result, bytes + from, somewhere(dice, rest < 200 ? rest : 200));
    }
    text_add_n(&result, bytes + at + out, left - out);
    text_release(text);
    *text = result;
}

static void change_file(const char *folder, const char *name, Dice *dice)
{
    Text text = {0};
    size_t length;
    char *bytes = folder_read(folder, name, &length);
    text_add_n(&text, bytes, length);
    for (int k = dice_chance(dice, 60) ? 1 : dice_roll(dice, 2, 5); k > 0; k--)
        change(&text, dice);
    folder_write(folder, name, text_cstr(&text), text.length);
    text_release(&text);
    free(bytes);
}

static void change_one_of(const char *folder, Dice *dice)
{
    struct dirent **entry;
    const int count = scandir(folder, &entry, NULL, alphasort);
    change_file(folder, entry[dice_roll(dice, 2, count - 1)]->d_name, dice); /* behind . and .. */
    for (int k = 0; k < count; k++)
        free(entry[k]);
    free(entry);
}

/* An answer is one object; is it one without an error? */
static bool judge(uint64_t seed, const Text *answer)
{
    json_t *root = json_loadb(text_cstr(answer), answer->length, 0, NULL);
    if (!json_is_object(root))
        report(seed, "an answer that is no object of JSON");
    const json_t *error = json_object_get(root, "error");
    if (error != NULL && json_array_size(error) == 0)
        report(seed, "an error that says nothing");
    const bool good = error == NULL;
    json_decref(root);
    return good;
}

static void question(Ask *ask, Dice *dice, uint64_t seed, bool changed)
{
    Text line = {0}, answer = {0};
    text_add(&line, questions[somewhere(dice, sizeof questions / sizeof *questions - 1)]);
    for (int k = changed ? dice_roll(dice, 1, 3) : 0; k > 0; k--)
        change(&line, dice);
    ask_question(ask, text_cstr(&line), line.length, &answer);
    judge(seed, &answer);
    text_release(&line);
    text_release(&answer);
}

static bool scenario(const char *folder, Dice *dice, uint64_t seed)
{
    const AskOptions options = {.threads = 1};
    Text problems = {0};
    char subject[4096];
    const bool alone = dice_chance(dice, 30); /* the questions are changed, not the files */
    if (dice_chance(dice, 60)) {
        Tiny tiny;
        tiny_make(&tiny, seed);
        tiny_write(&tiny, folder);
    } else {
        Shape shape;
        shape_make(&shape, seed, ~0U);
        shape_write(&shape, folder);
    }
    if (!alone)
        change_one_of(folder, dice);
    snprintf(subject, sizeof subject, "%s/scenario.yaml", folder);
    Ask *ask = ask_open(subject, &options, &problems);
    if (ask == NULL && judge(seed, &problems))
        report(seed, "refused without an error");
    for (int k = alone ? 4 : 2; k > 0 && ask != NULL; k--)
        question(ask, dice, seed, alone);
    const bool good = ask != NULL;
    ask_close(ask);
    text_release(&problems);
    return good;
}

static bool import(const char *folder, Dice *dice, uint64_t seed)
{
    static const char *const file[] = {"list.csv", "prices.csv", "owned.csv"};
    Messy messy;
    Text line = {0}, answer = {0};
    messy_write(folder, seed, &messy);
    change_file(folder, file[somewhere(dice, 2)], dice);
    text_printf(&line, "{\"folder\": \"%s\", \"cap\": \"30\", \"files\": [", folder);
    for (size_t k = 0; k < sizeof file / sizeof *file; k++)
        text_printf(&line, "%s\"%s/%s\"", k > 0 ? ", " : "", folder, file[k]);
    text_add(&line, "]}");
    ask_import(text_cstr(&line), line.length, &answer);
    const bool good = judge(seed, &answer);
    text_release(&line);
    text_release(&answer);
    return good;
}

int main(int count, char **argument)
{
    const time_t end = time(NULL) + (count > 1 ? atoi(argument[1]) : 10);
    uint64_t seed = count > 2 ? strtoull(argument[2], NULL, 10) : 1;
    unsigned long tries = 0, read = 0;
    do {
        char *folder = folder_new();
        Dice dice;
        dice_seed(&dice, seed);
        const clock_t before = clock();
        read += dice_chance(&dice, 8) ? import(folder, &dice, seed) : scenario(folder, &dice, seed);
        if ((clock() - before) / CLOCKS_PER_SEC > 60)
            report(seed, "more than a minute");
        seed++;
        tries++;
        folder_remove(folder);
        free(folder);
    } while (time(NULL) < end);
    printf(
        "%lu tries of scenarios, questions and sheets to import: %lu read, %lu refused, none wrong; the next seed is "
        "%llu\n",
        tries, read, tries - read, (unsigned long long)seed);
    return 0;
}
