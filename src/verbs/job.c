/* job.c - the frame around every verb. */
#include "verbs/job.h"

#include <inttypes.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/number.h"
#include "verbs/terminal.h"

#define EAGER_PIVOTS 30000 /* a fraction of a second: most pools are proven best by then */

static volatile sig_atomic_t cancelled; /* set by signals; a handler can reach nothing else */

static void on_signal(int signal_number)
{
    if (cancelled) { /* the second one means it */
        file_remove_unfinished();
        _exit(128 + signal_number);
    }
    cancelled = 1;
}

bool job_is_cancelled(void)
{
    return cancelled != 0;
}

static void catch_signals(void)
{
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = SA_RESTART};
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
}

/* Where presets are looked for: here, beside the program (as built, as installed), where it was told to install them.
 */
void job_model_folders(Job *job)
{
    Arena *arena = job->options.arena;
    const char **folder = arena_alloc(arena, 4, sizeof *folder);
    size_t count = 0;
    folder[count++] = "models";
    char self[4096];
    ssize_t length = readlink("/proc/self/exe", self, sizeof self - 1);
    if (length > 0) {
        self[length] = '\0';
        char *slash = strrchr(self, '/');
        if (slash != NULL)
            *slash = '\0';
        folder[count++] = arena_printf(arena, "%s/../models", self);
        folder[count++] = arena_printf(arena, "%s/../share/poolwright/models", self);
    }
    folder[count++] = POOLWRIGHT_DATA "/models";
    job->options.overrides.model_folders = folder;
    job->options.overrides.model_folder_count = count;
}

bool job_read(Job *job)
{
    job_model_folders(job);
    job->scenario = scenario_read(job->options.subject, &job->options.overrides, &job->diags);
    if (job->scenario == NULL)
        return false;
    job->instance = instance_new(job->scenario, &job->diags);
    return job->instance != NULL;
}

void job_show_problems(Job *job)
{
    if (job->diags.count == 0 || (job->options.json && job->diags.errors == 0))
        return;
    diags_sort(&job->diags);
    char *text = diags_text(&job->diags);
    fputs(text, stderr);
    mem_free(text);
}

int job_print(Job *job, const Text *out, int code)
{
    (void)job;
    if (fwrite(text_cstr(out), 1, out->length, stdout) == out->length && fflush(stdout) == 0)
        return code;
    fprintf(stderr, "poolwright: cannot write to standard output\n");
    return EXIT_COULD_NOT_RUN;
}

static void show_progress(void *context, const SearchProgress *now)
{
    (void)context;
    Text line = {0};
    char fit[NUMBER_TEXT], bound[NUMBER_TEXT];
    if (now->value != SEARCH_MINUS_INFINITY)
        text_printf(&line, "best so far %s", number_format(fit, now->value, 3, 0));
    else
        text_add(&line, "looking for a first pool");
    if (now->bound != SEARCH_PLUS_INFINITY)
        text_printf(&line, ", at most %s possible", number_format(bound, now->bound, 3, 0));
    text_printf(&line, "; %" PRId64 " steps", now->pivots);
    text_add(&line, " (Ctrl-C: stop with the best so far)");
    terminal_progress(text_cstr(&line));
    text_release(&line);
}

void job_progress_end(void)
{
    terminal_progress_end();
}

void job_search_options(const Job *job, SearchOptions *options)
{
    search_options_default(options);
    options->engine = job->options.engine;
    options->gap_ppm = job->options.gap_ppm;
    options->eager = job->options.gap_given ? 0 : EAGER_PIVOTS;
    options->effort = job->options.effort;
    long cores = sysconf(_SC_NPROCESSORS_ONLN);
    options->threads = job->options.threads > 0 ? job->options.threads : cores > 0 ? (int)cores : 1;
    options->cancel = &cancelled;
    options->progress = terminal_shows_progress() ? show_progress : NULL;
}

static int run_verb(const VerbInfo *verb, Job *job)
{
    switch (verb->id) {
    case VERB_CHECK: return verb_check(job);
    case VERB_BEST: return verb_best(job);
    case VERB_WHY: return verb_why(job);
    case VERB_SWAP: return verb_swap(job);
    case VERB_INIT: return verb_init(job);
    case VERB_WHAT_IF: return verb_what_if(job);
    case VERB_AUDIT: return verb_audit(job);
    case VERB_REVISE: return verb_revise(job);
    case VERB_FEEDBACK: return verb_feedback(job);
    case VERB_FIND: return verb_find_cards(job);
    case VERB_EXPORT: return verb_export(job);
    case VERB_COUNT: break;
    }
    return EXIT_COULD_NOT_RUN;
}

int job_run(const VerbInfo *verb, int argc, char **argv)
{
    Job job = {.style = terminal_style()};
    job.options.arena = arena_new();
    diags_init(&job.diags);
    int code = EXIT_BAD_INPUT;
    if (options_parse(verb, argc, argv, &job.options, &job.diags)) {
        if (job.options.help) {
            Text help = {0};
            help_verb(verb, &help);
            code = job_print(&job, &help, EXIT_ANSWERED);
            text_release(&help);
        } else {
            catch_signals();
            code = run_verb(verb, &job);
        }
    } else
        job_show_problems(&job);
    instance_free(job.instance);
    scenario_free(job.scenario);
    diags_release(&job.diags);
    arena_free(job.options.arena);
    return code;
}
