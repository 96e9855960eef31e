/* compare_answers.c - see compare_answers.h. */
#include "verbs/month/compare_answers.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files/file.h"
#include "report/compare_report.h"

#define EXPECTED "{\"questions\": [{\"first\": NAME, \"second\": NAME, \"answer\": \"first\"}]}"

/* ---- a file ---- */

static void wrong(Job *job, const char *path, size_t number, const char *what)
{
    diag_error(&job->diags, (SourcePos){.file = path}, "question %zu: %s", number, what);
}

static bool card_named(Job *job, const char *path, size_t number, const json_t *question, const char *key, size_t *card)
{
    Arena *arena = job->options.arena;
    const char *name = json_string_value(json_object_get(question, key));
    const CardSet *cards = job->instance->cards;
    const long found = name != NULL ? card_find(cards, name) : -1;
    if (found >= 0) {
        *card = (size_t)found;
        return true;
    }
    wrong(job, path, number,
          name == NULL ? arena_printf(arena, "found no name as \"%s\", expected " EXPECTED, key)
                       : arena_printf(arena, "no candidate is called '%s'%s", name,
                                      did_you_mean(card_nearest(cards, name), arena)));
    return false;
}

static bool answer_named(Job *job, const char *path, size_t number, const json_t *answer, Prefers *prefers)
{
    const char *word = json_string_value(answer);
    for (size_t k = 0; word != NULL && prefers_word(k) != NULL; k++)
        if (text_folds_to(word, prefers_word(k))) {
            *prefers = (Prefers)k;
            return true;
        }
    wrong(job, path, number,
          arena_printf(job->options.arena,
                       "found %s%s%s as its answer, expected \"first\", \"second\", \"neither\" or null",
                       word != NULL ? "\"" : "", word != NULL ? word : "no text", word != NULL ? "\"" : ""));
    return false;
}

/* In the order of names, as compare asks. */
static void put_in_order(Comparison *c)
{
    if (c->first < c->second)
        return;
    const size_t second = c->first;
    c->first = c->second;
    c->second = second;
    if (c->answer != PREFERS_NEITHER)
        c->answer = c->answer == PREFERS_FIRST ? PREFERS_SECOND : PREFERS_FIRST;
}

static bool take_question(Job *job, const char *path, size_t number, const json_t *question, Compare *compare)
{
    Comparison c;
    const json_t *answer = json_object_get(question, "answer");
    if (!card_named(job, path, number, question, "first", &c.first) ||
        !card_named(job, path, number, question, "second", &c.second))
        return false;
    if (answer == NULL || json_is_null(answer))
        return true;
    if (!answer_named(job, path, number, answer, &c.answer))
        return false;
    put_in_order(&c);
    if (c.first == c.second)
        wrong(job, path, number, "found one card twice, expected two cards");
    else if (compare->count == COMPARE_MOST)
        wrong(job, path, number, "found more answers, expected at most ten");
    else if (!compare_add(compare, &c))
        wrong(job, path, number,
              "found an answer that goes round in a circle with earlier ones, expected one that agrees with them");
    else
        return true;
    return false;
}

bool answers_of_file(Job *job, const char *path, Compare *compare)
{
    size_t length, index;
    json_error_t error;
    const json_t *question;
    const char *bytes = file_read(job->options.arena, path, (SourcePos){0}, &length, &job->diags);
    if (bytes == NULL)
        return false;
    json_t *root = json_loadb(bytes, length, JSON_REJECT_DUPLICATES, &error);
    const json_t *questions = json_object_get(root, "questions");
    bool good = json_is_array(questions);
    if (root == NULL)
        diag_error(&job->diags, (SourcePos){.file = path, .line = error.line, .column = error.column},
                   "found no sound JSON (%s), expected " EXPECTED, error.text);
    else if (!good)
        diag_error(&job->diags, (SourcePos){.file = path, .line = 1, .column = 1},
                   "found no list \"questions\", expected " EXPECTED ", as compare --json writes it");
    json_array_foreach (questions, index, question)
        good = good && take_question(job, path, index + 1, question, compare);
    json_decref(root);
    return good;
}

/* ---- somebody who types ---- */

bool answer_typed(const Compare *compare, Comparison *question)
{
    Text out = {0};
    char *line = NULL;
    size_t room = 0;
    bool answered = false, ends = false;
    question_about(compare, question, compare->count + 1, &out);
    while (!answered && !ends) {
        fputs(text_cstr(&out), stdout);
        fflush(stdout);
        if (getline(&line, &room, stdin) < 0) {
            fputs("\n", stdout);
            break;
        }
        size_t length = strlen(line);
        const char *start = text_trim(line, &length);
        ends = length == 1 && (start[0] == 'q' || start[0] == 'Q');
        answered = length == 0 || (length == 1 && (start[0] == '1' || start[0] == '2'));
        if (answered)
            question->answer = length == 0 ? PREFERS_NEITHER : start[0] == '1' ? PREFERS_FIRST : PREFERS_SECOND;
        else if (!ends)
            printf("  '%.*s' is none of them.\n", (int)length, start);
    }
    free(line);
    text_release(&out);
    return answered;
}
