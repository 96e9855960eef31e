/* page.c - files -> all that a page shows, asked one after the other -> one HTML file. */
#include <inttypes.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "ask/ask.h"
#include "base/files/file.h"
#include "base/number.h"
#include "page/assets.h"
#include "page/page.h"
#include "report/words/glossary.h"
#include "verbs/outputs/outputs.h"
#include "verbs/pool/page_files.h"
#include "verbs/frame/terminal.h"

typedef struct {
    Job *job;
    PageFiles files;
    PageParts parts;
    Ask *ask;
    const char *what; /* is being asked, for the progress line */
    int code;
} Writer;

/* ---- answers as the page holds them ---- */

/* Files are named as in the page: where they lie on this machine is nobody's business. */
static void rename_files(const PageFiles *files, json_t *value)
{
    const char *key;
    size_t index;
    json_t *item;
    if (json_is_array(value))
        json_array_foreach (value, index, item)
            rename_files(files, item);
    if (!json_is_object(value))
        return;
    static const char *const named[] = {"file", "path"};
    for (size_t k = 0; k < sizeof named / sizeof *named; k++) {
        const char *file = json_string_value(json_object_get(value, named[k]));
        const char *path = file != NULL ? page_files_path(files, file) : NULL;
        if (path != NULL)
            json_object_set_new(value, named[k], json_string(path));
    }
    json_object_foreach (value, key, item)
        rename_files(files, item);
}

/* What no part of the page shows of many caps: their pools are large. */
static void shorten_caps(json_t *answer)
{
    static const char *const unused[] = {"pool", "structure", "places_asked", "scaled", "themes", "newly_tight"};
    size_t index;
    json_t *item;
    json_array_foreach (json_object_get(answer, "cases"), index, item)
        for (size_t k = 0; k < sizeof unused / sizeof *unused; k++)
            json_object_del(item, unused[k]);
}

/* What no part of the page shows of seats. */
static void shorten_seats(json_t *answer)
{
    static const char *const cards[] = {"cards", "enablers", "payoffs"}, *const by[] = {"pack", "opens", "sees"};
    size_t index;
    json_t *theme;
    json_object_del(answer, "rules");
    json_array_foreach (json_object_get(answer, "themes"), index, theme)
        for (size_t k = 0; k < 9; k++)
            json_object_del(json_object_get(json_object_get(theme, cards[k / 3]), by[k % 3]), "at_least");
}

/* The value as text in the arena, as `ask` writes it; releases it. */
static const char *kept_json(Arena *arena, json_t *value)
{
    char *dump = json_dumps(value, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
    if (dump == NULL)
        mem_exhausted();
    const char *kept = arena_strdup(arena, dump);
    free(dump);
    json_decref(value);
    return kept;
}

/* What the last question could not be answered for, as errors of the run. */
static void take_errors(Writer *w, const json_t *errors)
{
    size_t index;
    json_t *item;
    json_array_foreach (errors, index, item) {
        const char *file = json_string_value(json_object_get(item, "file")),
                   *message = json_string_value(json_object_get(item, "message"));
        const SourcePos at = {.file = file != NULL ? arena_strdup(w->job->options.arena, file) : NULL,
                              .line = (int)json_integer_value(json_object_get(item, "line")),
                              .column = (int)json_integer_value(json_object_get(item, "column"))};
        diag_error(&w->job->diags, at, "%s", message != NULL ? message : "the question was not answered");
    }
}

/* ---- questions ---- */

static void show_progress(void *context, const AskProgress *now)
{
    Writer *w = context;
    if (now->has_fit)
        job_stage(w->job, "pool");
    if (!w->job->shows_progress)
        return;
    Text line = {0};
    if (now->what != NULL)
        text_printf(&line, "%s: %s %d of %d", w->what, now->what, now->done + 1, now->of);
    else
        text_add(&line, w->what);
    text_add(&line, " (Ctrl-C: go on with what is found)");
    terminal_progress(text_cstr(&line));
    text_release(&line);
}

/* The answer to {"ask": what ...} as text in the arena; NULL with errors. *status: "best", "infeasible" or the like of
 * an answer that has one. */
static const char *question(Writer *w, const char *what, const char *more, const char **status)
{
    Text line = {0}, text = {0};
    const char *kept = NULL;
    w->what = what;
    text_printf(&line, "{\"ask\":\"%s\"%s", what, more);
    if (w->job->options.effort > 0 && strcmp(what, "model") != 0 && strcmp(what, "cards") != 0 &&
        strcmp(what, "words") != 0)
        text_printf(&line, ",\"effort\":%" PRId64, w->job->options.effort);
    text_add_char(&line, '}');
    ask_question(w->ask, text_cstr(&line), line.length, &text);
    json_t *answer = json_loadb(text_cstr(&text), text.length, 0, NULL);
    const json_t *errors = json_object_get(answer, "error");
    if (errors != NULL || answer == NULL)
        take_errors(w, errors);
    else {
        rename_files(&w->files, answer);
        if (strcmp(what, "caps") == 0)
            shorten_caps(answer);
        if (strcmp(what, "seats") == 0)
            shorten_seats(answer);
        if (status != NULL)
            *status = arena_strdup(w->job->options.arena, json_string_value(json_object_get(answer, "status")));
        kept = kept_json(w->job->options.arena, json_incref(answer));
    }
    json_decref(answer);
    text_release(&line);
    text_release(&text);
    return kept;
}

static void add_cap(Text *list, int64_t cap)
{
    char number[NUMBER_TEXT];
    text_printf(list, "%s%s", list->length > 0 ? "," : "", number_format(number, cap, 2, 2));
}

/* About a dozen round sums up to twice the cap, and the cap itself, as keys of a question. In the arena. */
static const char *caps_to_try(Arena *arena, int64_t cap)
{
    const int64_t step = round_step((cap + 5) / 6);
    Text list = {0};
    for (int64_t at = step; at <= 2 * cap && at <= NUMBER_LIMIT; at += step) {
        if (at > cap && at - step < cap)
            add_cap(&list, cap);
        add_cap(&list, at);
    }
    const char *keys = arena_printf(arena, ",\"caps\":\"%s\"", text_cstr(&list));
    text_release(&list);
    return keys;
}

/* What seats see of the pool of `best`, where it is enough for one at least. */
static void ask_seats(Writer *w)
{
    const Model *model = w->job->scenario->model;
    json_t *best = json_loads(w->parts.best, 0, NULL), *from = json_array(), *card;
    size_t index;
    int64_t cards = 0;
    json_array_foreach (json_object_get(best, "pool"), index, card) {
        cards += json_integer_value(json_object_get(card, "copies"));
        json_array_append_new(from, json_pack("{s:O, s:O}", "name", json_object_get(card, "name"), "copies",
                                              json_object_get(card, "copies")));
    }
    json_decref(best);
    if (model->seats > 0 && cards >= (int64_t)model->packs * model->pack_size) {
        const char *list = kept_json(w->job->options.arena, json_incref(from));
        w->parts.seats = question(w, "seats", arena_printf(w->job->options.arena, ",\"from\":%s", list), NULL);
    }
    json_decref(from);
}

/* What else could be. After a signal nothing more is asked. */
static void ask_around(Writer *w)
{
    const Job *job = w->job;
    const Model *model = job->scenario->model;
    PageParts *p = &w->parts;
    if (!job_is_cancelled(job) && job->scenario->cases_count > 0)
        p->cases = question(w, "what-if", ",\"cases\":true", NULL);
    if (!job_is_cancelled(job) && model->has_cap && model->cap_stated > 0)
        p->caps = question(w, "caps", caps_to_try(job->options.arena, model->cap_stated), NULL);
    if (!job_is_cancelled(job) && job->instance->has_present && w->code == EXIT_ANSWERED)
        p->revise = question(w, "revise", "", NULL);
}

/* A question that has no answer is a mistake in the files, such as a case whose sums are too large. Always false. */
static bool end_with_errors(Writer *w)
{
    w->code = EXIT_BAD_INPUT;
    return false;
}

/* True as long as there are no errors. */
static bool ask_all(Writer *w)
{
    Job *job = w->job;
    const char *status = "";
    PageParts *p = &w->parts;
    p->model = question(w, "model", "", NULL);
    p->cards = question(w, "cards", "", NULL);
    p->words = question(w, "words", "", NULL);
    p->best = question(w, "best", job->options.drafters ? "" : ",\"explain\":\"full\"", &status);
    if (job->diags.errors > 0)
        return end_with_errors(w);
    w->code = strcmp(status, "infeasible") == 0 ? EXIT_ANSWER_NO
              : strcmp(status, "stopped") == 0  ? job_stopped_code(job, true)
                                                : EXIT_ANSWERED;
    if (!job->options.drafters) {
        ask_seats(w);
        ask_around(w);
    }
    p->stopped = job_is_cancelled(job);
    if (p->stopped) {
        w->code = job_stopped_code(job, true);
        diag_notice(&job->diags, (SourcePos){0}, "stopped: the page has what was found until then, and says so");
    }
    return job->diags.errors == 0 || end_with_errors(w);
}

/* ---- the engine, where one was built ---- */

static const char *read_piece(Job *job, const char *folder, const char *name, size_t *length)
{
    const char *path = arena_printf(job->options.arena, "%s/%s", folder, name);
    return file_exists(path) ? file_read(job->options.arena, path, (SourcePos){0}, length, &job->diags) : NULL;
}

/* Beside the program as built, as installed, and where it was told to install. False with errors: it is there, and
 * cannot be read. */
static bool read_engine(Job *job, PageParts *parts)
{
    Arena *arena = job->options.arena;
    const char *self = job_folder(arena);
    const char *const folder[] = {arena_printf(arena, "%s/page", self),
                                  arena_printf(arena, "%s/../share/poolwright/page", self), POOLWRIGHT_DATA "/page"};
    for (size_t f = 0; f < sizeof folder / sizeof *folder && parts->engine == NULL; f++) {
        parts->engine = read_piece(job, folder[f], "engine.wasm.gz", &parts->engine_length);
        parts->glue = read_piece(job, folder[f], "engine.js", &parts->glue_length);
        if (parts->glue == NULL)
            parts->engine = NULL;
    }
    if (job->diags.errors > 0)
        return false;
    const char *made = arena_printf(arena, "// made from %s\n", page_made_from);
    if (parts->engine != NULL && strncmp(parts->glue, made, strlen(made)) != 0)
        diag_notice(&job->diags, (SourcePos){0},
                    "the page's engine was built from other sources than this program: its answers may be others "
                    "(`make page` builds it anew)");
    if (parts->engine == NULL)
        diag_notice(&job->diags, (SourcePos){0},
                    "%s: this program was made without the engine of the page (`make page` makes one, then `make "
                    "install` or `make deb` takes it along)",
                    job->options.subject != NULL ? "the page shows, but nothing can be tried out on it"
                                                 : "the page is there, but it can take no sheets");
    return true;
}

/* ---- */

static void write_page(Writer *w)
{
    Job *job = w->job;
    const char *why = NULL;
    Text out = {0};
    w->parts.file = w->files.file;
    w->parts.files = w->files.count;
    w->parts.main = w->files.main;
    const bool good = job->options.drafters ? page_drafters(&w->parts, job->options.arena, &out, &why)
                                            : page_write(&w->parts, job->options.arena, &out, &why);
    if (!good)
        diag_error(&job->diags, (SourcePos){0}, "%s", why);
    else
        output_add(job, job->options.output, &out);
    if (!good || !outputs_commit(job))
        w->code = EXIT_COULD_NOT_RUN;
    else if (!is_stdout(job->options.output)) {
        text_clear(&out);
        text_printf(&out, "The page is in %s; a double click opens it.\n", job->options.output);
        w->code = job_print(job, true, &out, w->code);
    }
    text_release(&out);
}

static void ask_and_write(Writer *w)
{
    Job *job = w->job;
    Text problems = {0};
    const AskOptions options = {.overrides = &job->options.overrides,
                                .threads = job_threads(job),
                                .stop = &job->signal,
                                .progress = show_progress,
                                .context = w};
    w->ask = ask_open(job->options.subject, &options, &problems);
    w->code = EXIT_COULD_NOT_RUN;
    if (w->ask == NULL)
        diag_error(&job->diags, (SourcePos){0}, "the scenario could not be loaded again: %s", text_cstr(&problems));
    else if (ask_all(w)) {
        job_progress_end(job);
        if (job->options.drafters || read_engine(job, &w->parts))
            write_page(w);
        else
            w->code = EXIT_COULD_NOT_RUN;
    }
    job_progress_end(job);
    ask_close(w->ask);
    text_release(&problems);
}

static bool goes_together(Job *job)
{
    const Options *o = &job->options;
    const bool scenario = o->subject != NULL && scenario_is(o->subject);
    if (o->output == NULL)
        diag_error(&job->diags, (SourcePos){0}, "expected -o FILE, such as -o pool.html");
    if (o->subject == NULL && o->drafters)
        diag_error(&job->diags, (SourcePos){0}, "--drafters: expected a scenario or a cards sheet");
    if (o->subject != NULL && strcmp(o->subject, "-") == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "page keeps the files, so the cards cannot come from standard input; expected a file");
    if (scenario && (o->overrides.model != NULL || o->overrides.has_cap || o->overrides.no_cap))
        diag_error(&job->diags, (SourcePos){0},
                   "%s goes with a cards sheet only: a page holds a scenario as its files say; expected it there, and "
                   "on the page it can be moved",
                   o->overrides.model != NULL ? "--model" : "--cap");
    return outputs_go_together(job) && job->diags.errors == 0;
}

static void write_empty(Writer *w)
{
    Job *job = w->job;
    w->parts.title = "poolwright";
    w->parts.words = kept_json(job->options.arena, glossary_json(NULL));
    if (!page_files_presets(job, &w->files))
        return;
    w->code = EXIT_COULD_NOT_RUN;
    if (!read_engine(job, &w->parts))
        return;
    w->code = EXIT_ANSWERED;
    write_page(w);
}

int verb_page(Job *job)
{
    Writer w = {.job = job, .code = EXIT_BAD_INPUT};
    job->options.subject = job->options.words > 0 ? job->options.word[0] : NULL;
    if (!goes_together(job))
        goto done;
    if (job->options.subject == NULL) {
        write_empty(&w);
        goto done;
    }
    if (!job_read(job) || !outputs_good(job, job->scenario, &w.code) || !page_files_read(job, &w.files))
        goto done;
    w.parts.title = page_title(job->options.arena, job->scenario);
    job_stop_gently(job);
    ask_and_write(&w);
done:
    job_show_problems(job);
    return w.code;
}
