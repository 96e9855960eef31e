/* decide.c - see decide.h. */
#include "verbs/frame/decide.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/files/file.h"
#include "base/text.h"
#include "report/intake_report.h"
#include "report/layout/wrap.h"

/* ---- a file of answers ---- */

/* What --json wrote is taken too: each question's "answer". */
static json_t *answers_of_questions(const json_t *questions)
{
    json_t *answers = json_object();
    size_t i;
    json_t *question;
    json_array_foreach (questions, i, question) {
        const char *id = json_string_value(json_object_get(question, "id"));
        json_t *answer = json_object_get(question, "answer");
        if (id != NULL && answer != NULL)
            json_object_set(answers, id, answer);
    }
    return answers;
}

static bool read_answers(Decider *d)
{
    size_t length;
    json_error_t error;
    const char *bytes = file_read(d->arena, d->path, (SourcePos){0}, &length, d->diags);
    if (bytes == NULL)
        return false;
    json_t *root = json_loadb(bytes, length, JSON_REJECT_DUPLICATES, &error);
    if (root == NULL) {
        diag_error(d->diags, (SourcePos){.file = d->path, .line = error.line, .column = error.column},
                   "found no sound JSON (%s), expected {\"answers\": {\"slash\": \"both\"}}", error.text);
        return false;
    }
    json_t *answers = json_object_get(root, "answers"), *questions = json_object_get(root, "questions");
    if (json_is_object(answers))
        d->answers = json_incref(answers);
    else if (json_is_array(questions))
        d->answers = answers_of_questions(questions);
    else
        diag_error(d->diags, (SourcePos){.file = d->path, .line = 1, .column = 1},
                   "found no \"answers\", expected {\"answers\": {\"slash\": \"both\"}}, or what import --json wrote");
    json_decref(root);
    const char *id;
    json_t *answer;
    json_object_foreach (d->answers, id, answer)
        if (!json_is_string(answer))
            diag_error(d->diags, (SourcePos){.file = d->path},
                       "the answer to \"%s\" is no text, expected one in quotes", id);
    return d->diags->errors == 0;
}

bool decider_init(Decider *decider, Arena *arena, const char *path, Diags *diags)
{
    *decider = (Decider){.arena = arena, .path = path, .diags = diags};
    return path == NULL || read_answers(decider);
}

void decider_release(Decider *decider)
{
    json_decref(decider->answers);
}

void decider_check(const Decider *d, const Intake *intake)
{
    const char *id, **known = mem_new(intake->questions, sizeof *known);
    json_t *answer;
    for (size_t q = 0; q < intake->questions; q++)
        known[q] = intake->question[q].id;
    json_object_foreach (d->answers, id, answer) {
        if (text_find(id, known, intake->questions) >= 0)
            continue;
        const char *near = text_nearest(id, known, intake->questions);
        diag_error(d->diags, (SourcePos){.file = d->path}, "nothing asks for \"%s\"%s%s%s", id,
                   near != NULL ? "; did you mean \"" : ", expected an id that import --json shows",
                   near != NULL ? near : "", near != NULL ? "\"?" : "");
    }
    mem_free(known);
}

/* ---- one answer ---- */

static const char *choice_of(const IntakeQuestion *question, const char *answer)
{
    if (question->choices == 0)
        return answer;
    const long found = text_find(answer, question->choice, question->choices);
    return found >= 0 ? question->choice[found] : NULL;
}

/* Ids match as names do, here as in decider_check: an answer is never left aside in silence. */
static const char *answer_to(const Decider *d, const char *question)
{
    const char *id;
    json_t *answer;
    json_object_foreach (d->answers, id, answer)
        if (text_find(id, &question, 1) == 0)
            return json_string_value(answer);
    return NULL;
}

static const char *given(const Decider *d, const IntakeQuestion *question)
{
    const char *answer = answer_to(d, question->id);
    if (answer == NULL)
        return NULL;
    const char *choice = choice_of(question, answer);
    if (choice == NULL)
        diag_error(d->diags, (SourcePos){.file = d->path}, "the answer to \"%s\" is '%s', expected one of %s",
                   question->id, answer, text_list(d->arena, question->choice, question->choices));
    return choice == NULL ? NULL : arena_strdup(d->arena, choice);
}

/* NULL: the likely one. An answer that is no choice is asked for again. */
static const char *asked(Decider *d, const IntakeQuestion *question)
{
    Text out = {0};
    char *line = NULL;
    size_t room = 0;
    const char *answer = NULL;
    question_text(question, &out);
    wrap_lines(&out, d->width);
    for (;;) {
        fputs(text_cstr(&out), stdout);
        fflush(stdout);
        if (getline(&line, &room, stdin) < 0) {
            d->asks = false; /* the end of input: the likely ones from here on */
            fputs("\n", stdout);
            break;
        }
        size_t length = strlen(line);
        const char *start = text_trim(line, &length);
        char *word = arena_strndup(d->arena, start, length);
        if (word[0] == '\0')
            break;
        answer = text_utf8_error(word, strlen(word)) == strlen(word) ? choice_of(question, word) : NULL;
        if (answer != NULL)
            break;
        printf("  '%s' is none of them.\n", word);
    }
    free(line);
    text_release(&out);
    return answer;
}

const char *decide(void *context, const IntakeQuestion *question, AnswerSource *source)
{
    Decider *d = context;
    const char *answer = given(d, question);
    if (answer != NULL)
        *source = ANSWER_GIVEN;
    else if (d->asks && !question->sure) {
        *source = ANSWER_ASKED;
        answer = asked(d, question);
    }
    return answer;
}
