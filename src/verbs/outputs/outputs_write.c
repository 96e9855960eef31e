/* outputs_write.c - files written together, after a search: see outputs.h. */
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <strings.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/files/file.h"
#include "base/files/writable.h"
#include "report/report.h"
#include "report/sheet/pool_book.h"
#include "report/sheet/sheet_out.h"
#include "verbs/outputs/outputs_inner.h"

/* ---- paths ---- */

bool is_stdout(const char *path)
{
    return path != NULL && strcmp(path, "-") == 0;
}

bool is_csv_path(const char *path)
{
    const size_t length = strlen(path);
    return length >= 4 && strcasecmp(path + length - 4, ".csv") == 0;
}

const char *output_path_in(Job *job, const char *folder, const char *name)
{
    const size_t length = strlen(folder);
    return arena_printf(job->options.arena, "%s%s%s", folder, length > 0 && folder[length - 1] == '/' ? "" : "/", name);
}

const char *output_ending(const char *path)
{
    const char *part = path_last(path), *point = strrchr(part, '.');
    return point == NULL || point == part ? NULL : point + 1;
}

/* ---- writing ---- */

void output_add(Job *job, const char *path, Text *text)
{
    if (path != NULL)
        drafts_add(&job->drafts, path, text_cstr(text), text->length, &job->diags);
    text_release(text);
}

/* Sheets of the text, or what the path's ending asks for. */
static void add_as_named(Job *job, const char *path, BookPage page)
{
    const char *ending = path != NULL ? output_ending(path) : NULL;
    const bool book = is_book_path(path), tabs = ending != NULL && strcasecmp(ending, "tsv") == 0;
    Text made = {0};
    if (!book && !tabs) {
        output_add(job, path, &page.text);
        return;
    }
    if (book ? book_out(&page, 1, path, &made, &job->diags)
             : sheet_with_tabs(&page.text, page.separator, &made, &job->diags))
        output_add(job, path, &made);
    else
        job->drafts.failed = true;
    text_release(&made);
    text_release(&page.text);
}

void output_add_sheet(Job *job, const char *path, const char *title, const Instance *instance, Text *text)
{
    const BookPage page = {
        .title = title, .separator = sheet_separator(instance->cards), .names = book_names(instance), .text = *text};
    *text = (Text){0};
    add_as_named(job, path, page);
}

void output_add_pool(Job *job, const Instance *instance, const Answer *answer, bool all)
{
    const char *path = job->options.output;
    Text text = {0};
    if (!is_book_path(path)) {
        list_csv(instance, answer, all, &text);
        output_add_sheet(job, path, "list", instance, &text);
    } else if (pool_book(instance, answer, all, path, &text, &job->diags)) {
        output_add(job, path, &text);
    } else {
        job->drafts.failed = true;
    }
}

/* Another run that writes over the file waits for us, for a second at most: others may hold locks as well. */
static void lock_for_writing(int descriptor)
{
    const struct timespec moment = {.tv_nsec = 20000000};
    for (int k = 0; k < 50 && flock(descriptor, LOCK_EX | LOCK_NB) != 0; k++)
        nanosleep(&moment, NULL);
}

/* A file that was read and is written over, such as the present pool, is still as it was read; else what somebody has
 * done since then would be lost. *descriptor: it, locked, or -1. False with an error. */
static bool is_as_read(Job *job, const char *path, int *descriptor)
{
    size_t length, now;
    *descriptor = -1;
    const char *bytes = path != NULL && !target_is_in_place(path) ? file_store_find(job->files, path, &length) : NULL;
    if (bytes == NULL)
        return true;
    Arena *arena = arena_new();
    *descriptor = open(path, O_RDONLY | O_CLOEXEC);
    if (*descriptor >= 0)
        lock_for_writing(*descriptor);
    const char *found = file_read(arena, path, (SourcePos){0}, &now, &job->diags);
    const bool same = found != NULL && now == length && memcmp(found, bytes, length) == 0;
    if (found != NULL && !same)
        diag_error(&job->diags, (SourcePos){0},
                   "cannot write '%s': it was changed while this ran; run this again, so that nothing of it is lost",
                   path);
    arena_free(arena);
    return same;
}

bool outputs_commit(Job *job)
{
    int output = -1, journal = -1;
    job_stage(job, "files");
    if (!is_as_read(job, job->options.output, &output) || !is_as_read(job, job->options.journal, &journal))
        job->drafts.failed = true;
    const bool good = drafts_commit(&job->drafts, &job->diags);
    if (output >= 0)
        close(output);
    if (journal >= 0)
        close(journal);
    if (!good && job->made_folder)
        rmdir(job->options.output); /* if nothing is in it */
    return good;
}

bool output_folder(Job *job)
{
    struct stat info;
    const char *folder = job->options.output;
    const bool made = mkdir(folder, 0777) == 0;
    const int error = errno;
    job->made_folder = made;
    if (made || (error == EEXIST && stat(folder, &info) == 0 && S_ISDIR(info.st_mode)))
        return true;
    char *reason = file_reason(error);
    diag_error(&job->diags, (SourcePos){0}, "cannot make the folder '%s': %s", folder,
               error == EEXIST   ? "a file of that name is there"
               : error == ENOENT ? "the folder that it would be in is not there"
                                 : reason);
    mem_free(reason);
    job->drafts.failed = true;
    return false;
}

const char *output_in_folder(Job *job, const char *name)
{
    return output_path_in(job, job->options.output, name);
}

const char *output_pool(Job *job, const Instance *instance, const Answer *answer)
{
    if (job->options.output == NULL || answer == NULL || !answer->has_pool)
        return NULL;
    output_add_pool(job, instance, answer, false);
    return outputs_commit(job) ? job->options.output : NULL;
}

const char *output_sheet(Job *job, const char *title, const Instance *instance, Text *sheet)
{
    output_add_sheet(job, job->options.output, title, instance, sheet);
    return outputs_commit(job) ? job->options.output : NULL;
}
