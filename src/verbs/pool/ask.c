/* ask.c - files -> a scenario that stays loaded -> a line of JSON for each line of JSON (docs/ask.md). */
#include "ask/ask.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files/file.h"
#include "verbs/frame/job.h"

static bool is_blank(const char *line)
{
    return line[strspn(line, " \t\r\n")] == '\0';
}

/* The stages at which tests stop a run. */
static void tell(void *context, const AskProgress *now)
{
    if (now->has_fit)
        job_stage(context, "pool");
}

/* Answers one line; a signal meanwhile lets it be answered with what is found. */
static int answer_line(Job *job, Ask *ask, const char *line, size_t length)
{
    Text answer = {0};
    job_stop_gently(job);
    ask_question(ask, line, length, &answer);
    text_add_char(&answer, '\n');
    const int code = print_text(&answer, job_is_cancelled(job) ? EXIT_STOPPED : EXIT_ANSWERED);
    atomic_store(&job->gentle, 0); /* nothing is lost while the next line is waited for */
    text_release(&answer);
    return code;
}

static int answer_lines(Job *job, Ask *ask)
{
    char *line = NULL;
    size_t room = 0;
    int code = EXIT_ANSWERED;
    ssize_t length;
    errno = 0;
    while (code == EXIT_ANSWERED && (length = getline(&line, &room, stdin)) >= 0) {
        if (!is_blank(line) || strlen(line) < (size_t)length)
            code = answer_line(job, ask, line, (size_t)length - (line[length - 1] == '\n'));
        errno = 0;
    }
    if (code == EXIT_ANSWERED && ferror(stdin)) {
        char *why = file_reason(errno != 0 ? errno : EIO);
        diag_error(&job->diags, (SourcePos){0}, "cannot read standard input: %s", why);
        mem_free(why);
        code = EXIT_COULD_NOT_RUN;
    }
    free(line);
    return code;
}

int verb_ask(Job *job)
{
    Text problems = {0};
    Ask *ask = NULL;
    int code = EXIT_BAD_INPUT;
    const AskOptions options = {.overrides = &job->options.overrides,
                                .threads = job_threads(job),
                                .stop = &job->signal,
                                .progress = job->rehearsal != NULL ? tell : NULL,
                                .context = job};
    if (strcmp(job->options.subject, "-") == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "ask reads questions from standard input, so the cards cannot come from there; expected a file");
    else
        ask = ask_open(job->options.subject, &options, &problems);
    if (ask != NULL)
        code = answer_lines(job, ask);
    else if (problems.length > 0) {
        text_add_char(&problems, '\n');
        print_text(&problems, EXIT_BAD_INPUT);
        job_read(job); /* once more, for people: the same to standard error */
    }
    job_show_problems(job);
    text_release(&problems);
    ask_close(ask);
    return code;
}
