/* job.c - the frame around every verb. */
#include "verbs/frame/job.h"

#include <errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/files/file.h"
#include "base/number.h"
#include "model/paths.h"
#include "report/layout/wrap.h"
#include "verbs/outputs/outputs.h"
#include "verbs/frame/terminal.h"

void job_stop_gently(Job *job)
{
    atomic_store(&job->gentle, 1);
    job_stage(job, "search");
}

void job_waits(Job *job, bool waits)
{
    atomic_store(&job->gentle, waits ? 0 : 1);
}

bool job_is_cancelled(const Job *job)
{
    return atomic_load(&job->signal) != 0;
}

int job_stopped_code(const Job *job, bool has_something)
{
    const int number = atomic_load(&job->signal);
    return has_something || number == 0 ? EXIT_STOPPED : 128 + number;
}

const char *job_folder(Arena *arena)
{
    char self[4096];
    const ssize_t length = readlink("/proc/self/exe", self, sizeof self - 1);
    self[length > 0 ? length : 0] = '\0';
    char *slash = strrchr(self, '/');
    if (slash == NULL)
        return ".";
    *slash = '\0';
    return arena_strdup(arena, self);
}

/* Where presets are looked for: here, beside the program (as built, as installed), where it was told to install them.
 */
static void find_presets(Job *job)
{
    Arena *arena = job->options.arena;
    const char **folder = arena_alloc(arena, 4, sizeof *folder);
    size_t count = 0;
    folder[count++] = "models";
    const char *self = job_folder(arena);
    folder[count++] = arena_printf(arena, "%s/../models", self);
    folder[count++] = arena_printf(arena, "%s/../share/poolwright/models", self);
    folder[count++] = POOLWRIGHT_DATA "/models";
    job->options.overrides.model_folders = folder;
    job->options.overrides.model_folder_count = count;
}

bool job_read(Job *job)
{
    job->scenario = scenario_read(job->options.subject, &job->options.overrides, job->files, &job->diags);
    if (job->scenario == NULL)
        return false;
    job->instance = instance_new(job->scenario, &job->diags);
    return job->instance != NULL;
}

/* How files were read is told where they are looked at, where nothing describes them, and beside errors. */
static bool tells_remarks(const Job *job)
{
    const VerbId verb = job->verb->id;
    const char *subject = job->options.subject;
    return verb == VERB_CHECK || verb == VERB_IMPORT || verb == VERB_INIT || subject == NULL || !scenario_is(subject) ||
           job->diags.errors > 0;
}

void job_show_problems(Job *job)
{
    if (job->diags.count == 0 || (job->options.json && job->diags.errors == 0))
        return;
    diags_sort(&job->diags);
    char *text = tells_remarks(job) ? diags_text(&job->diags) : diags_text_short(&job->diags);
    fputs(text, stderr);
    mem_free(text);
}

int print_text(const Text *out, int code)
{
    errno = 0;
    if (fwrite(text_cstr(out), 1, out->length, stdout) == out->length && fflush(stdout) == 0)
        return code;
    char *why = file_reason(errno != 0 ? errno : EIO);
    fprintf(stderr, "error: cannot write to standard output: %s\n", why);
    mem_free(why);
    return EXIT_COULD_NOT_RUN;
}

const char *job_names_file(const Job *job, const char *path)
{
    const char *scenario = job->scenario->path;
    if (scenario == NULL || path == NULL || path[0] == '/')
        return path;
    const char *slash = strrchr(scenario, '/');
    const size_t length = slash == NULL ? 0 : (size_t)(slash - scenario);
    Arena *arena = job->instance->arena;
    return path_between(arena, length == 0 ? "." : arena_strndup(arena, scenario, length), path);
}

bool job_read_pool(Job *job, const Instance *instance, PoolFile *list)
{
    if (job->options.words > 0)
        return pool_file_read(instance, job->options.word[0], list, &job->diags);
    if (instance->has_present) {
        pool_file_present(instance, list);
        return true;
    }
    diag_error(&job->diags, (SourcePos){0},
               "found no list, expected one behind the scenario (best -o pool.csv writes one), a line such as 'pool: "
               "pool.csv' in it, or the status 'in' on cards");
    return false;
}

/* Curly quotes around it are no quotes to a shell. */
static char *without_curly_quotes(const char *text)
{
    static const char curly[] = "\xE2\x80\x9C\xE2\x80\x9D\xE2\x80\x9E\xE2\x80\x98\xE2\x80\x99\xE2\x80\x9A";
    size_t length = strlen(text);
    for (size_t k = 0; k < sizeof curly - 1 && length >= 3; k += 3)
        if (strncmp(text, curly + k, 3) == 0) {
            text += 3;
            length -= 3;
            break;
        }
    for (size_t k = 0; k < sizeof curly - 1 && length >= 3; k += 3)
        if (strncmp(text + length - 3, curly + k, 3) == 0) {
            length -= 3;
            break;
        }
    return mem_strndup(text, length);
}

/* How many words from the first on are together the name of one card, which *whole becomes; 0: none are. */
static size_t words_of_one_card(const CardSet *cards, const char *const *word, size_t words, long *whole)
{
    Text joined = {0};
    size_t taken = 0;
    for (size_t k = 0; k < words && taken == 0; k++) {
        text_printf(&joined, "%s%s", k > 0 ? " " : "", word[k]);
        char *name = without_curly_quotes(text_cstr(&joined));
        *whole = card_find(cards, name);
        mem_free(name);
        if (*whole >= 0)
            taken = k + 1;
    }
    text_release(&joined);
    return taken;
}

bool job_cards(Job *job, const char *const *name, size_t names, size_t *card, size_t *count)
{
    *count = 0;
    const CardSet *cards = job->instance->cards;
    for (size_t k = 0; k < names; k++) {
        long found = card_find(cards, name[k]);
        bool known = false;
        for (size_t i = 0; i < *count; i++)
            known = known || (long)card[i] == found;
        if (found >= 0 && !known)
            card[(*count)++] = (size_t)found;
        if (found >= 0)
            continue;
        long whole = -1;
        const size_t taken = words_of_one_card(cards, name + k, names - k, &whole);
        if (taken > 0) {
            diag_error(&job->diags, (SourcePos){0},
                       "no candidate is called '%s'; did you mean \"%s\"? A name with blanks stands in straight quotes",
                       name[k], cards->card[whole].name);
            k += taken - 1;
            continue;
        }
        diag_error(&job->diags, (SourcePos){0}, "no candidate is called '%s'%s", name[k],
                   did_you_mean(card_nearest(cards, name[k]), job->options.arena));
    }
    return job->diags.errors == 0;
}

int job_print(Job *job, bool good, Text *out, int code)
{
    if (good && !job->options.json && !is_stdout(job->options.output))
        wrap_lines(out, job->style.width);
    if (good)
        code = print_text(out, code);
    else
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
    text_release(out);
    return good ? code : EXIT_COULD_NOT_RUN;
}

static void show_progress(void *context, const SearchProgress *now)
{
    Job *job = context;
    if (now->value != SEARCH_MINUS_INFINITY)
        job_stage(job, "pool");
    if (!job->shows_progress)
        return;
    Text line = {0};
    char fit[NUMBER_TEXT], bound[NUMBER_TEXT];
    const bool proven = now->value != SEARCH_MINUS_INFINITY && now->bound <= now->value;
    if (proven)
        text_printf(&line, "no pool has more fit than %s: looking for a cheaper one with it",
                    number_format(fit, now->value, 3, 0));
    else if (now->value != SEARCH_MINUS_INFINITY)
        text_printf(&line, "best so far %s", number_format(fit, now->value, 3, 0));
    else
        text_add(&line, "looking for a first pool");
    if (!proven && now->bound != SEARCH_PLUS_INFINITY)
        text_printf(&line, ", at most %s possible", number_format(bound, now->bound, 3, 0));
    text_printf(&line, "; %" PRId64 " steps (Ctrl-C: stop with the best so far)", now->pivots);
    terminal_progress(text_cstr(&line));
    text_release(&line);
}

void job_progress_end(const Job *job)
{
    if (job->shows_progress)
        terminal_progress_end();
}

int job_threads(const Job *job)
{
    const long cores = sysconf(_SC_NPROCESSORS_ONLN);
    return job->options.threads > 0 ? job->options.threads : cores > 0 ? (int)cores : 1;
}

void job_search_options(Job *job, SearchOptions *options)
{
    search_options_default(options);
    options->engine = job->options.engine;
    options->gap_ppm = job->options.gap_ppm;
    options->eager = job->options.gap_given ? 0 : USUAL_EAGER;
    options->effort = job->options.effort;
    options->threads = job_threads(job);
    options->cancel = &job->signal;
    options->progress = job->shows_progress || job->rehearsal != NULL ? show_progress : NULL;
    options->context = job;
}

Sections job_sections(const Job *job)
{
    return (Sections){.full = job->options.full, .named = job->options.show};
}

static int run_verb(const VerbInfo *verb, Job *job)
{
    switch (verb->id) {
    case VERB_CHECK: return verb_check(job);
    case VERB_BEST: return verb_best(job);
    case VERB_WHY: return verb_why(job);
    case VERB_SWAP: return verb_swap(job);
    case VERB_BENCH: return verb_bench(job);
    case VERB_IMPORT: return verb_import(job);
    case VERB_INIT: return verb_init(job);
    case VERB_WHAT_IF: return verb_what_if(job);
    case VERB_AUDIT: return verb_audit(job);
    case VERB_DECKS: return verb_decks(job);
    case VERB_SEATS: return verb_seats(job);
    case VERB_WEIGH: return verb_weigh(job);
    case VERB_ORDER: return verb_order(job);
    case VERB_BOUGHT: return verb_bought(job);
    case VERB_SLIPS: return verb_slips(job);
    case VERB_REVISE: return verb_revise(job);
    case VERB_FEEDBACK: return verb_feedback(job);
    case VERB_COMPARE: return verb_compare(job);
    case VERB_FIND: return verb_find_cards(job);
    case VERB_EXPORT: return verb_export(job);
    case VERB_ASK: return verb_ask(job);
    case VERB_PAGE: return verb_page(job);
    case VERB_WORDS: return verb_words(job);
    case VERB_COUNT: break;
    }
    return EXIT_COULD_NOT_RUN;
}

static int run_parsed(Job *job)
{
    if (!job->options.help) {
        find_presets(job);
        job_stage(job, "read");
        return run_verb(job->verb, job);
    }
    Text help = {0};
    help_verb(job->verb, &help);
    return job_print(job, true, &help, EXIT_ANSWERED);
}

int job_run(Job *job, const VerbInfo *verb, int argc, char **argv)
{
    job->verb = verb;
    job->style = terminal_style();
    job->shows_progress = terminal_shows_progress();
    job->rehearsal = getenv("POOLWRIGHT_TEST_SIGNAL");
    job->options.arena = arena_new();
    job->files = file_store_new();
    diags_init(&job->diags);
    int code = EXIT_BAD_INPUT;
    if (options_parse(verb, argc, argv, &job->options, &job->diags))
        code = run_parsed(job);
    else
        job_show_problems(job);
    drafts_discard(&job->drafts);
    instance_free(job->instance);
    scenario_free(job->scenario);
    file_store_free(job->files);
    diags_release(&job->diags);
    arena_free(job->options.arena);
    return code;
}
