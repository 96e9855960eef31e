/* test_base.c - the base room: memory, diagnostics, sorting. Files are in test_files.c, numbers and text in
 * test_text.c. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/diag.h"
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
    arena_free(arena);
    arena_free(NULL);
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
        cmocka_unit_test(diagnostics_are_sorted_and_limited),
        cmocka_unit_test(alike_errors_are_one),
        cmocka_unit_test(equals_stay_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
