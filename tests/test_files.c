/* test_files.c - the base room: files that are whole or absent, whatever ends a run. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/diag.h"
#include "base/files/file.h"
#include "base/files/file_draft.h"
#include "base/memory.h"
#include "support/run.h"

/* Runs work in a child; its exit code, or 128 + the signal's number. */
static int in_child(void (*work)(const char *), const char *argument)
{
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (freopen("/dev/null", "w", stderr) == NULL)
            _exit(99);
        work(argument);
        _exit(0);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

static void remove_and_end(void *context)
{
    drafts_remove(context);
    _exit(4);
}

static void allocate_with_open_draft(const char *path)
{
    Diags diags;
    FileDrafts drafts = {.newest = NULL};
    diags_init(&diags);
    mem_on_exhausted(remove_and_end, &drafts);
    if (!drafts_add(&drafts, path, "half", 4, &diags))
        _exit(98);
    mem_new(SIZE_MAX / 2, 4);
}

static void allocate_too_much(const char *unused)
{
    (void)unused;
    mem_new(SIZE_MAX / 2, 4);
}

static size_t entries(const char *folder)
{
    char *command = NULL;
    assert_true(asprintf(&command, "ls -A '%s' | wc -l", folder) > 0);
    FILE *pipe = popen(command, "r");
    size_t count = 99;
    assert_int_equal(fscanf(pipe, "%zu", &count), 1);
    pclose(pipe);
    free(command);
    return count;
}

static void no_memory_ends_the_program_cleanly(void **state)
{
    (void)state;
    char *folder = folder_new(), *path = NULL;
    assert_true(asprintf(&path, "%s/out.csv", folder) > 0);
    assert_int_equal(in_child(allocate_with_open_draft, path), 4);
    assert_int_equal(entries(folder), 0);
    assert_int_equal(in_child(allocate_too_much, ""), 128 + SIGABRT); /* nobody said what to do */
    free(path);
    folder_remove(folder);
    free(folder);
}

typedef struct {
    char *folder, *path;
    Diags diags;
} Place;

static Place place_new(const char *name)
{
    Place place = {.folder = folder_new()};
    assert_true(asprintf(&place.path, "%s/%s", place.folder, name) > 0);
    diags_init(&place.diags);
    return place;
}

static void place_release(Place *place)
{
    diags_release(&place->diags);
    free(place->path);
    folder_remove(place->folder);
    free(place->folder);
}

static void assert_file(const Place *place, const char *name, const char *expected)
{
    char *bytes = folder_read(place->folder, name, NULL);
    if (expected == NULL) {
        assert_null(bytes);
        return;
    }
    assert_non_null(bytes);
    assert_string_equal(bytes, expected);
    free(bytes);
}

/* Exactly one error, and it says this. */
static void assert_error(Diags *diags, const char *part)
{
    assert_int_equal(diags->errors, 1);
    if (strstr(diags->item[diags->count - 1].text, part) == NULL)
        fail_msg("'%s' does not say '%s'", diags->item[diags->count - 1].text, part);
    diags_release(diags);
}

static void files_are_written_whole(void **state)
{
    (void)state;
    Place place = place_new("out.csv");
    assert_true(file_write(place.path, "one", 3, &place.diags));
    assert_file(&place, "out.csv", "one");
    assert_int_equal(chmod(place.path, 0640), 0);
    assert_true(file_write(place.path, "second", 6, &place.diags));
    assert_file(&place, "out.csv", "second");
    struct stat info;
    assert_int_equal(stat(place.path, &info), 0);
    assert_int_equal(info.st_mode & 0777, 0640);
    assert_true(file_write(place.path, "", 0, &place.diags));
    assert_file(&place, "out.csv", "");
    assert_int_equal(entries(place.folder), 1);
    assert_int_equal(place.diags.errors, 0);
    place_release(&place);
}

static void a_failed_write_leaves_the_old_file(void **state)
{
    (void)state;
    Place place = place_new("out.csv");
    assert_true(file_write(place.path, "old", 3, &place.diags));
    char *much = calloc(1, 100000);
    struct rlimit before, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 1000;
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    bool written = file_write(place.path, much, 100000, &place.diags);
    setrlimit(RLIMIT_FSIZE, &before);
    signal(SIGXFSZ, handler);
    free(much);
    assert_false(written);
    assert_error(&place.diags, "file too large");
    assert_file(&place, "out.csv", "old");
    assert_int_equal(entries(place.folder), 1);
    place_release(&place);
}

static void full_and_odd_targets_are_errors(void **state)
{
    (void)state;
    Place place = place_new("none/out.csv");
    assert_false(file_write("/dev/full", "abc", 3, &place.diags));
    assert_error(&place.diags, "cannot write '/dev/full': no space left on device");
    assert_false(file_write(place.path, "abc", 3, &place.diags));
    assert_error(&place.diags, "there is no folder");
    assert_false(file_write(place.folder, "abc", 3, &place.diags));
    assert_error(&place.diags, "it is a folder");
    assert_false(file_write("", "abc", 3, &place.diags));
    assert_error(&place.diags, "empty file name");
    assert_true(file_write("/dev/null", "abc", 3, &place.diags));
    place_release(&place);
}

static void links_are_followed(void **state)
{
    (void)state;
    Place place = place_new("link.csv");
    assert_int_equal(symlink("target.csv", place.path), 0);
    assert_true(file_write(place.path, "through", 7, &place.diags)); /* to a file that is not there yet */
    assert_file(&place, "target.csv", "through");
    assert_true(file_write(place.path, "again", 5, &place.diags));
    assert_file(&place, "target.csv", "again");
    struct stat info;
    assert_int_equal(lstat(place.path, &info), 0);
    assert_true(S_ISLNK(info.st_mode));
    assert_int_equal(unlink(place.path), 0);
    assert_int_equal(symlink("link.csv", place.path), 0); /* to itself */
    assert_false(file_write(place.path, "loop", 4, &place.diags));
    assert_error(&place.diags, "too many levels");
    place_release(&place);
}

static char *named(const Place *place, int number)
{
    char *path = NULL;
    assert_true(asprintf(&path, "%s/%d.csv", place->folder, number) > 0);
    return path;
}

static void drafts_appear_together_or_not_at_all(void **state)
{
    (void)state;
    FileDrafts drafts = {.newest = NULL};
    Place place = place_new("a.csv");
    for (int number = 0; number < 200; number++) {
        char *path = named(&place, number);
        assert_true(drafts_add(&drafts, path, "a", 1, &place.diags));
        free(path);
    }
    assert_file(&place, "0.csv", NULL);
    assert_true(drafts_commit(&drafts, &place.diags));
    assert_file(&place, "199.csv", "a");
    assert_int_equal(entries(place.folder), 200);
    assert_true(drafts_add(&drafts, place.path, "b", 1, &place.diags));
    drafts_discard(&drafts);
    drafts_discard(&drafts);
    assert_int_equal(entries(place.folder), 200);

    /* One that fails takes the others with it, and all are named. */
    assert_true(drafts_add(&drafts, place.path, "b", 1, &place.diags));
    assert_false(drafts_add(&drafts, "/no/such/folder/b.csv", "b", 1, &place.diags));
    assert_false(drafts_commit(&drafts, &place.diags));
    assert_int_equal(place.diags.errors, 2);
    assert_string_equal(place.diags.item[0].text,
                        "cannot write '/no/such/folder/b.csv': there is no folder '/no/such/folder'");
    assert_non_null(strstr(place.diags.item[1].text, "so this was not written either: '"));
    assert_non_null(strstr(place.diags.item[1].text, "/a.csv'"));
    assert_int_equal(entries(place.folder), 200);
    assert_true(drafts_add(&drafts, place.path, "b", 1, &place.diags) && drafts_commit(&drafts, &place.diags));
    assert_file(&place, "a.csv", "b");
    place_release(&place);
}

/* What a device has taken cannot be taken back, so it comes first. */
static void a_full_device_leaves_the_others_unwritten(void **state)
{
    (void)state;
    FileDrafts drafts = {.newest = NULL};
    Place place = place_new("a.csv");
    assert_true(drafts_add(&drafts, place.path, "a", 1, &place.diags));
    assert_true(drafts_add(&drafts, "/dev/full", "a", 1, &place.diags));
    assert_false(drafts_commit(&drafts, &place.diags));
    assert_int_equal(place.diags.errors, 2);
    assert_int_equal(entries(place.folder), 0);
    place_release(&place);
}

static void draft_and_be_killed(const char *path)
{
    Diags diags;
    FileDrafts drafts = {.newest = NULL};
    diags_init(&diags);
    if (!drafts_add(&drafts, path, "half", 4, &diags))
        _exit(98);
    raise(SIGKILL);
}

static void what_killed_runs_left_is_removed(void **state)
{
    (void)state;
    FileDrafts drafts = {.newest = NULL}, others = {.newest = NULL};
    Place place = place_new("a.csv");
    folder_print(place.folder, ".poolwright-notes.tmp", "of the user");
    assert_int_equal(in_child(draft_and_be_killed, place.path), 128 + SIGKILL);
    assert_int_equal(entries(place.folder), 2);
    assert_true(drafts_add(&drafts, place.path, "one", 3, &place.diags));
    assert_int_equal(entries(place.folder), 2);                           /* the new one instead of the old */
    assert_true(drafts_add(&others, place.path, "two", 3, &place.diags)); /* as another run does at the same time */
    assert_int_equal(entries(place.folder), 3);
    assert_true(drafts_commit(&drafts, &place.diags));
    assert_file(&place, "a.csv", "one");
    assert_true(drafts_commit(&others, &place.diags));
    assert_file(&place, "a.csv", "two");
    assert_int_equal(entries(place.folder), 2);
    place_release(&place);
}

static FileDrafts in_signal;

static void on_signal(int number)
{
    drafts_remove(&in_signal);
    _exit(number);
}

static void draft_and_be_stopped(const char *path)
{
    Diags diags;
    diags_init(&diags);
    signal(SIGTERM, on_signal);
    if (!drafts_add(&in_signal, path, "done", 4, &diags) || !drafts_commit(&in_signal, &diags) ||
        !drafts_add(&in_signal, path, "open", 4, &diags))
        _exit(98);
    raise(SIGTERM);
}

static void a_signal_removes_unfinished_files_only(void **state)
{
    (void)state;
    Place place = place_new("a.csv");
    assert_int_equal(in_child(draft_and_be_stopped, place.path), SIGTERM);
    assert_file(&place, "a.csv", "done");
    assert_int_equal(entries(place.folder), 1);
    place_release(&place);
}

static void files_are_read_whole(void **state)
{
    (void)state;
    Place place = place_new("cards.csv");
    Arena *arena = arena_new();
    SourcePos from = {.file = "deep/scenario.yaml", .line = 3, .column = 9};
    size_t length = 0;
    folder_write(place.folder, "cards.csv", "a\0b", 3);
    char *bytes = file_read(arena, place.path, from, &length, &place.diags);
    assert_int_equal(length, 3);
    assert_memory_equal(bytes, "a\0b", 4);

    assert_null(file_read(arena, place.folder, from, &length, &place.diags));
    assert_int_equal(place.diags.item[0].at.line, 3);
    assert_error(&place.diags, "it is a folder");
    place.path[strlen(place.path) - 1] = 'w';
    assert_null(file_read(arena, place.path, from, &length, &place.diags));
    assert_error(&place.diags, "cards.csv'?");
    assert_null(file_read(arena, "/no/such/folder/x.csv", from, &length, &place.diags));
    assert_error(&place.diags, "no such folder");
    assert_null(file_read(arena, "", from, &length, &place.diags));
    assert_error(&place.diags, "empty file name");
    assert_null(file_read(arena, "/dev/zero", from, &length, &place.diags));
    assert_error(&place.diags, "larger than 256 MB");

    assert_string_equal(file_beside(arena, "deep/scenario.yaml", "cards.csv"), "deep/cards.csv");
    assert_string_equal(file_beside(arena, "scenario.yaml", "cards.csv"), "cards.csv");
    assert_string_equal(file_beside(arena, "deep/scenario.yaml", "/abs.csv"), "/abs.csv");
    assert_string_equal(file_beside(arena, "deep/scenario.yaml", "-"), "-");
    assert_string_equal(file_beside(arena, NULL, "cards.csv"), "cards.csv");
    assert_true(file_exists(place.folder));
    assert_false(file_exists(place.path));
    arena_free(arena);
    place_release(&place);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_memory_ends_the_program_cleanly),
        cmocka_unit_test(files_are_written_whole),
        cmocka_unit_test(a_failed_write_leaves_the_old_file),
        cmocka_unit_test(full_and_odd_targets_are_errors),
        cmocka_unit_test(links_are_followed),
        cmocka_unit_test(drafts_appear_together_or_not_at_all),
        cmocka_unit_test(a_full_device_leaves_the_others_unwritten),
        cmocka_unit_test(what_killed_runs_left_is_removed),
        cmocka_unit_test(a_signal_removes_unfinished_files_only),
        cmocka_unit_test(files_are_read_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
