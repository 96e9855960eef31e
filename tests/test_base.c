/* test_base.c - the base room: files that are whole or absent, diagnostics, memory. Numbers and text are in
 * test_text.c. */
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
#include "base/sort.h"
#include "base/text.h"
#include "support/run.h"

/* ---- memory ---- */

static void arenas_hand_out_zeroed_aligned_storage(void **state)
{
    (void)state;
    Arena *arena = arena_new();
    for (size_t i = 1; i < 3000; i++) {
        size_t size = i % 17 == 0 ? i * 100 : i % 40;
        unsigned char *bytes = arena_alloc(arena, size, 1);
        assert_int_equal((uintptr_t)bytes % _Alignof(max_align_t), 0);
        for (size_t j = 0; j < size; j++)
            assert_int_equal(bytes[j], 0);
        memset(bytes, 0xAB, size);
        assert_string_equal(arena_strndup(arena, "quayside", i % 9),
                            i % 9 == 0 ? "" : arena_printf(arena, "%.*s", (int)(i % 9), "quayside"));
    }
    assert_true(arena_bytes(arena) > 3000);
    arena_free(arena);
    arena_free(NULL);
}

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

/* ---- files ---- */

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
    assert_error(&place.diags, "no such file or directory");
    assert_false(file_write(place.folder, "abc", 3, &place.diags));
    assert_error(&place.diags, "is a directory");
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
    assert_string_equal(place.diags.item[0].text, "cannot write '/no/such/folder/b.csv': no such file or directory");
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

/* ---- diagnostics ---- */

static void diagnostics_are_sorted_and_limited(void **state)
{
    (void)state;
    Diags diags;
    diags_init(&diags);
    diag_error(&diags, (SourcePos){.file = "b.csv", .line = 2, .column = 5}, "second");
    diag_error(&diags, (SourcePos){.file = "a.csv", .line = 1, .column = 1}, "other %s", "file");
    diag_notice(&diags, (SourcePos){.file = "b.csv", .line = 2, .column = 3}, "first");
    diag_error(&diags, (SourcePos){0}, "nowhere");
    diag_error(&diags, (SourcePos){.file = "b.csv", .line = 2, .column = 5}, "second too");
    diag_error(&diags, (SourcePos){.file = "b.csv", .line = 0, .column = 0}, "whole file");
    diags_sort(&diags);
    char *text = diags_text(&diags);
    assert_string_equal(
        text,
        "b.csv: error: whole file\nb.csv:2:3: notice: first\nb.csv:2:5: error: second\nb.csv:2:5: error: second too\n"
        "a.csv:1:1: error: other file\nerror: nowhere\n");
    mem_free(text);
    assert_int_equal(diags.errors, 5);
    assert_false(diags_full(&diags, "a.csv"));
    for (int i = 0; i < 60; i++)
        diag_error(&diags, (SourcePos){.file = "a.csv", .line = 7, .column = i}, "again, %d", i);
    assert_true(diags_full(&diags, "a.csv"));
    assert_false(diags_full(&diags, "b.csv"));
    assert_int_equal(diags.errors, 65);
    assert_int_equal(diags.suppressed, 11);
    text = diags_text(&diags);
    assert_non_null(strstr(text, "and 11 more errors that are not shown\n"));
    mem_free(text);
    diags_release(&diags);
}

static void alike_errors_are_one(void **state)
{
    (void)state;
    Diags diags, others;
    diags_init(&diags);
    diags_init(&others);
    for (int line = 90; line >= 3; line--)
        diag_error(&diags, (SourcePos){.file = "a.csv", .line = line, .column = 4}, "unknown colour 'mauve'");
    diag_error(&diags, (SourcePos){.file = "a.csv", .line = 5, .column = 4}, "unknown colour 'mauves'");
    diag_error(&diags, (SourcePos){.file = "b.csv", .line = 9, .column = 4}, "unknown colour 'mauve'");
    diag_error(&diags, (SourcePos){.file = "b.csv", .line = 9, .column = 4}, "unknown colour 'mauve'");
    diag_error(&diags, (SourcePos){.file = "b.csv", .line = 9, .column = 9}, "unknown colour 'mauve'");
    diag_notice(&diags, (SourcePos){.file = "b.csv", .line = 11, .column = 1}, "unknown colour 'mauve'");
    diags_sort(&diags);
    char *text = diags_text(&diags);
    assert_string_equal(text, "a.csv:3:4: error: unknown colour 'mauve' (and 87 more like it, the last in line "
                              "90)\na.csv:5:4: error: unknown colour 'mauves'\n"
                              "b.csv:9:4: error: unknown colour 'mauve' (and 1 more like it, in line 9)\nb.csv:11:1: "
                              "notice: unknown colour 'mauve'\n");
    mem_free(text);
    assert_int_equal(diags.errors, 92);
    assert_int_equal(diags.suppressed, 0);
    for (size_t k = 0; k < diags.count; k++)
        diag_repeat(&others, &diags.item[k], "in case 'x': ");
    text = diags_text(&others);
    assert_non_null(strstr(
        text, "a.csv:3:4: error: in case 'x': unknown colour 'mauve' (and 87 more like it, the last in line 90)\n"));
    assert_non_null(strstr(text, "b.csv:11:1: notice: unknown colour 'mauve'\n"));
    mem_free(text);
    assert_int_equal(others.errors, 91); /* two at the very same place are one */
    diags_release(&diags);
    diags_release(&others);
}

/* 24 bytes, so that no size of item is special. */
typedef struct {
    int key, place;
    char rest[16];
} Sorted;

static int by_key_down_if(const void *a, const void *b, void *context)
{
    const Sorted *x = a, *y = b;
    const int order = (x->key > y->key) - (x->key < y->key);
    return *(const bool *)context ? -order : order;
}

static int by_text_length(const void *a, const void *b)
{
    const size_t x = strlen(*(const char *const *)a), y = strlen(*(const char *const *)b);
    return (x > y) - (x < y);
}

static void equals_stay_in_order(void **state)
{
    (void)state;
    unsigned seed = 1;
    for (int count = 0; count < 70; count++)
        for (int keys = 1; keys <= 16; keys *= 4) {
            Sorted item[70];
            bool down = count % 2 == 1;
            int sum = 0;
            for (int k = 0; k < count; k++) {
                seed = seed * 1103515245u + 12345u;
                item[k] = (Sorted){(int)(seed >> 16) % keys, k, "abc"};
                sum += item[k].key;
            }
            sort_stable_with(item, (size_t)count, sizeof *item, by_key_down_if, &down);
            for (int k = 0; k < count; k++) {
                sum -= item[k].key;
                assert_string_equal(item[k].rest, "abc");
                if (k == 0)
                    continue;
                assert_true(down ? item[k - 1].key >= item[k].key : item[k - 1].key <= item[k].key);
                assert_true(item[k - 1].key != item[k].key || item[k - 1].place < item[k].place);
            }
            assert_int_equal(sum, 0);
        }
    const char *word[] = {"three", "of", "words", "to", "a", "sort"};
    sort_stable(word, sizeof word / sizeof *word, sizeof *word, by_text_length);
    static const char *const wanted[] = {"a", "of", "to", "sort", "three", "words"};
    for (size_t k = 0; k < sizeof word / sizeof *word; k++)
        assert_string_equal(word[k], wanted[k]);
    sort_stable(NULL, 0, 8, by_text_length);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arenas_hand_out_zeroed_aligned_storage),
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
        cmocka_unit_test(diagnostics_are_sorted_and_limited),
        cmocka_unit_test(alike_errors_are_one),
        cmocka_unit_test(equals_stay_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
