/* signals.c - see signals.h. */
#include "verbs/frame/signals.h"

#include <jansson.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

/* A signal handler can be handed nothing. */
static Job *_Atomic watched;

static void say(const char *text)
{
    const ssize_t written = write(STDERR_FILENO, text, strlen(text));
    (void)written; /* nothing is left to do if that fails */
}

static void wipe_progress(const Job *job)
{
    if (job->shows_progress)
        say("\r\033[K");
}

static void on_signal(int number)
{
    Job *job = atomic_load(&watched);
    int none = 0;
    if (atomic_load(&job->gentle) && atomic_compare_exchange_strong(&job->signal, &none, number))
        return;
    drafts_remove(&job->drafts); /* the second one means it */
    wipe_progress(job);
    _exit(128 + number);
}

/* The reader of our output is gone: nobody waits for anything more. */
static void on_broken_pipe(int number)
{
    drafts_remove(&atomic_load(&watched)->drafts);
    _exit(128 + number);
}

static void without_memory(void *context)
{
    Job *job = context;
    drafts_remove(&job->drafts);
    wipe_progress(job);
    say("error: out of memory\n");
    _exit(EXIT_COULD_NOT_RUN);
}

static void handle(int number, void (*handler)(int))
{
    struct sigaction before, action = {.sa_handler = handler, .sa_flags = SA_RESTART};
    sigemptyset(&action.sa_mask);
    if (sigaction(number, NULL, &before) == 0 && before.sa_handler == SIG_IGN)
        return; /* nohup, jobs in the background */
    sigaction(number, &action, NULL);
}

/* The library of JSON would leave out members. */
static void *json_memory(size_t size)
{
    return mem_new(size, 1);
}

void signals_watch(Job *job)
{
    atomic_store(&watched, job);
    mem_on_exhausted(without_memory, job);
    json_set_alloc_funcs(json_memory, mem_free);
    handle(SIGINT, on_signal);
    handle(SIGTERM, on_signal);
    handle(SIGHUP, on_signal);
    handle(SIGPIPE, on_broken_pipe);
    signal(SIGXFSZ, SIG_IGN);
}
