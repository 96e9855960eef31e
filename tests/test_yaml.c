/* test_yaml.c - YAML files as trees that know their places; what is refused and where. Source of the syntax: YAML 1.1,
 * yaml.org/spec/1.1. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "model/yaml/yaml_tree.h"
#include "support/run.h"

typedef struct {
    Arena *arena;
    Diags diags;
    YamlNode *root;
    char *said;
} Page;

static void page_read(Page *page, const char *bytes, size_t length)
{
    *page = (Page){.arena = arena_new()};
    diags_init(&page->diags);
    page->root = yaml_parse(page->arena, "a.yaml", bytes, length, &page->diags);
    page->said = diags_text(&page->diags);
    assert_int_equal(page->root == NULL, page->diags.errors > 0);
}

static void page_release(Page *page)
{
    mem_free(page->said);
    diags_release(&page->diags);
    arena_free(page->arena);
}

static void assert_at(const YamlNode *node, int line, int column)
{
    assert_int_equal(node->at.line, line);
    assert_int_equal(node->at.column, column);
    assert_string_equal(node->at.file, "a.yaml");
}

static void refuse(const char *bytes, size_t length, const char *expected)
{
    Page page;
    page_read(&page, bytes, length);
    if (page.root != NULL || strstr(page.said, expected) == NULL)
        fail_msg("expected: %s\nsaid: %s", expected, page.said);
    page_release(&page);
}

static void refuse_text(const char *text, const char *expected)
{
    refuse(text, strlen(text), expected);
}

static void keys_and_values_know_their_places(void **state)
{
    (void)state;
    Page page;
    const char *text =
        "# first\nsize: 360\nfit: {power: 1.0, unscored: 2}\nrules:\n  - name: a\n    at_least: 3\n  - {name: b}\n";
    page_read(&page, text, strlen(text));
    assert_int_equal(page.root->kind, NODE_MAP);
    assert_int_equal(page.root->count, 3);
    assert_at(page.root->pair[0].key, 2, 1);
    assert_at(page.root->pair[0].value, 2, 7);
    const YamlNode *fit = yaml_get(page.root, "fit");
    assert_at(fit, 3, 6);
    assert_at(fit->pair[1].key, 3, 19);
    assert_at(yaml_get(fit, "unscored"), 3, 29);
    const YamlNode *rules = yaml_get(page.root, "rules");
    assert_int_equal(rules->kind, NODE_LIST);
    assert_int_equal(rules->count, 2);
    assert_at(rules->item[0], 5, 5);
    assert_at(yaml_get(rules->item[0], "at_least"), 6, 15);
    assert_string_equal(yaml_get(rules->item[1], "name")->text, "b");
    assert_null(yaml_get(page.root, "colours"));
    page_release(&page);
}

static void columns_count_characters(void **state)
{
    (void)state;
    Page page;
    const char *text = "{\xC3\xA9t\xC3\xA9: [\xE6\xB5\xB7, b]}\n";
    page_read(&page, text, strlen(text));
    assert_at(page.root->pair[0].key, 1, 2);
    assert_at(page.root->pair[0].value->item[1], 1, 11);
    page_release(&page);
}

static void words_stay_text(void **state)
{
    (void)state;
    Page page;
    const char *text = "keep: [no, off, ~, null, 1e3, 0x10, 12:30, \"yes\", 'on', true]\nban:\nlong: |\n  a\n  b\n";
    page_read(&page, text, strlen(text));
    const YamlNode *keep = yaml_get(page.root, "keep");
    const char *words[] = {"no", "off", "~", "null", "1e3", "0x10", "12:30", "yes", "on", "true"};
    assert_int_equal(keep->count, 10);
    for (size_t i = 0; i < 10; i++) {
        assert_string_equal(keep->item[i]->text, words[i]);
        assert_int_equal(keep->item[i]->plain, i != 7 && i != 8);
    }
    assert_true(yaml_is_empty(yaml_get(page.root, "ban")));
    assert_string_equal(yaml_get(page.root, "long")->text, "a\nb\n");
    page_release(&page);
}

static void byte_order_mark_and_line_ends_are_no_matter(void **state)
{
    (void)state;
    Page page;
    const char *text = "\xEF\xBB\xBFsize: 1\r\ncolours: [a]\r\n";
    page_read(&page, text, strlen(text));
    assert_string_equal(yaml_get(page.root, "size")->text, "1");
    assert_at(page.root->pair[1].key, 2, 1);
    page_release(&page);
}

static void utf16_is_no_matter_either(void **state)
{
    (void)state;
    char *folder = folder_new(), *path;
    assert_true(asprintf(&path, "%s/a.yaml", folder) > 0);
    for (int big = 0; big < 2; big++) {
        Arena *arena = arena_new();
        Diags diags;
        diags_init(&diags);
        folder_write_utf16(folder, "a.yaml", "size: 1\r\n\xC5\x82: \xF0\x9F\xA6\x80 # x\r\nb: [c]\r\n", big == 1);
        const YamlNode *root = yaml_read(arena, NULL, path, (SourcePos){0}, &diags);
        assert_non_null(root);
        assert_string_equal(root->pair[1].value->text, "\xF0\x9F\xA6\x80");
        assert_int_equal(root->pair[1].value->at.line, 2);
        assert_int_equal(root->pair[1].value->at.column, 4);
        folder_write_utf16(folder, "a.yaml", "size: 1\n\xC5\x82\xC5\x82: ]\n", big == 1);
        assert_null(yaml_read(arena, NULL, path, (SourcePos){0}, &diags));
        assert_int_equal(diags.item[0].at.line, 2);
        assert_int_equal(diags.item[0].at.column, 5);
        diags_release(&diags);
        arena_free(arena);
    }
    folder_write(folder, "a.yaml", "\xFE\xFF\0a\0:\0 \xDC\0", 10);
    Arena *arena = arena_new();
    Diags diags;
    diags_init(&diags);
    assert_null(yaml_read(arena, NULL, path, (SourcePos){0}, &diags));
    char *said = diags_text(&diags);
    assert_non_null(strstr(said, "a.yaml:1:4: error: found half a character, expected UTF-16"));
    mem_free(said);
    diags_release(&diags);
    arena_free(arena);
    folder_remove(folder);
    free(folder);
    free(path);
}

/* A remark that was swallowed is kept to 40 bytes, and to the end of the letter that is there. */
static void swallowed_remarks_are_cut(void **state)
{
    (void)state;
    static const struct {
        const char *line, *comment;
    } name[] = {{"- One ## two\n", NULL},
                {"- \"One\" #two\n", NULL},
                {"- One #23456789 123456789 123456789 1234567890\n", "#23456789 123456789 123456789 1234567890"},
                {"- One #23456789 123456789 123456789 12345678901\n", "#23456789 123456789 123456789 1234567890"},
                {"- One #23456789 123456789 123456789 123456789\xC3\xA9 1\n",
                 "#23456789 123456789 123456789 123456789\xC3\xA9"}};
    for (size_t k = 0; k < sizeof name / sizeof *name; k++) {
        Page page;
        page_read(&page, name[k].line, strlen(name[k].line));
        const char *comment = page.root->item[0]->comment;
        if (name[k].comment == NULL)
            assert_null(comment);
        else
            assert_string_equal(comment, name[k].comment);
        page_release(&page);
    }
}

static void expect_found(const char *text, const char *found)
{
    Page page;
    page_read(&page, text, strlen(text));
    assert_string_equal(yaml_found(page.root->item[0], page.arena), found);
    page_release(&page);
}

/* What was found, as errors tell it: the first 60 letters. */
static void what_was_found_is_told(void **state)
{
    (void)state;
    expect_found("- []\n", "an empty list");
    expect_found("- {a: 1}\n", "a map");
    expect_found("-\n", "nothing");
    expect_found("- ''\n", "''");
    expect_found("- 123456789012345678901234567890123456789012345678901234567890\n",
                 "'123456789012345678901234567890123456789012345678901234567890'");
    expect_found("- 1234567890123456789012345678901234567890123456789012345678901\n",
                 "'123456789012345678901234567890123456789012345678901234567890...'");
    expect_found("- 12345678901234567890123456789012345678901234567890123456789\xC3\xA9\n",
                 "'12345678901234567890123456789012345678901234567890123456789\xC3\xA9'");
    expect_found("- 12345678901234567890123456789012345678901234567890123456789\xC3\xA9 1\n",
                 "'12345678901234567890123456789012345678901234567890123456789\xC3\xA9...'");
}

/* "Card #3" without quotes is "Card" and a comment: remembered, so that whoever looks the name up can say so. */
static void swallowed_names_are_remembered(void **state)
{
    (void)state;
    Page page;
    const char *text =
        "keep:\n  - \xC3\x89tude #3\n  - Plain # a remark\n  - Whole#4\n  - \"Quoted #5\"\nsize: 3  #3 seats\n";
    page_read(&page, text, strlen(text));
    const YamlNode *keep = yaml_get(page.root, "keep");
    assert_string_equal(keep->item[0]->text, "\xC3\x89tude");
    assert_string_equal(keep->item[0]->comment, "#3");
    assert_null(keep->item[1]->comment);
    assert_string_equal(keep->item[2]->text, "Whole#4");
    assert_null(keep->item[2]->comment);
    assert_string_equal(keep->item[3]->text, "Quoted #5");
    assert_null(keep->item[3]->comment);
    assert_string_equal(yaml_get(page.root, "size")->comment, "#3 seats");
    page_release(&page);
}

static void what_libyaml_lets_pass_is_refused(void **state)
{
    (void)state;
    refuse_text("a: 1\nb: 2\na: 3\n", "a.yaml:3:1: error: key 'a' is written twice; it already stands in line 1");
    refuse_text("a: 1\n---\nb: 2\n", "a.yaml:2:1: error: a second document begins here");
    refuse_text("a: 1\n...\nb: 2\n", "a.yaml:3:1: error: ");
    refuse_text("a: &x [*x]\n", "a.yaml:1:4: error: found '&x', which is read as an anchor");
    refuse_text("keep: [*Star]\n", "a.yaml:1:8: error: found '*Star', which is read as an alias");
    refuse_text("<<: *base\n", "alias");
    refuse_text("? [a, b]\n: 1\n", "a.yaml:1:3: error: found a list as a key");
    refuse_text("{{a: 1}: 2}\n", "a.yaml:1:2: error: found a map as a key");
    refuse_text("a: !!binary aGk=\n", "a.yaml:1:4: error: found 'tag:yaml.org,2002:binary', which is read as a tag");
    refuse_text("a: !loud\n", "read as a tag");
    refuse_text("", "the file is empty");
    refuse_text("# nothing\n", "the file is empty");
    refuse("a: \"x\\0y\"\n", 10, "NUL");
}

static void broken_files_say_where(void **state)
{
    (void)state;
    refuse_text("a: 1\n\tb: 2\n", "a.yaml:2:");
    refuse_text("a:\n\tb: 2\n", "found a tab in front of the text; YAML is indented with spaces");
    refuse_text("a: [1, 2\nb: 3\n", "a.yaml:2:");
    refuse_text("a: \"open\n", "found no end of the text in quotes that begins in line 1");
    refuse_text("a: b: c\n", "a.yaml:1:5: error: cannot read this as YAML: found a second colon");
    refuse("a: 1\nb: lin\xff"
           "en\n",
           15, "a.yaml:2:7: error: found a byte (0xFF) that is not UTF-8");
    refuse("a: 1\nb: \xC3\xA9\xC3"
           "x\n",
           12, "a.yaml:2:5: error: ");
    refuse("a: 1\0b", 6, "a.yaml:1:5: error: found a byte 0x00, expected text: the file is damaged");
    refuse_text("a: 1\nb: x\x01y\n", "a.yaml:2:");
    refuse_text("a: 1\n<<<<<<< ours\nb: 1\n=======\nb: 2\n>>>>>>> theirs\n",
                "a.yaml:2:1: error: found the marks of two versions of this file, expected one of them");
    refuse_text("PK\x03\x04rest",
                "a.yaml: error: found a packed file, as word processors write them, expected plain text");
    refuse_text("{\\rtf1 a}", "a.yaml: error: found a word processor's file, expected plain text: save it as that");
}

#define CANNOT "error: cannot read this as YAML: "

/* The parser says what it missed, and where it noticed; people are told what to type, and where. */
static void slips_are_told_where_they_are(void **state)
{
    (void)state;
    refuse_text("size 3 # all\n\n# more\na: 1\n", "a.yaml:1:1: " CANNOT "found no colon in 'size 3', expected");
    refuse_text("a: 1\nsize 3\nb: 1\n", "a.yaml:2:1: " CANNOT "found no colon in 'size 3'");
    refuse_text("a: 1\nrules\n  - {a: 1}\n", "a.yaml:2:1: " CANNOT "found no colon in 'rules'");
    refuse_text("a:\n  name \"Card\"\n  cost: b\n", "a.yaml:2:3: " CANNOT "found no colon in 'name \"Card\"'");
    refuse_text("a: 1\nfit {power: 1, b: 2}\n", "a.yaml:2:1: " CANNOT "found no colon in 'fit {power: 1, b: 2}'");
    refuse_text("a: 1\nb:2\nc: 3\n", "a.yaml:2:1: " CANNOT "expected a blank behind the colon");
    refuse_text("a:\n  - {b: 1}\n  -{b: 2}\n", "a.yaml:3:3: " CANNOT "expected a blank behind the '-'");
    refuse_text("a:\n  - {b: 1}\n  {b: 2}\n  - {b: 3}\n", "a.yaml:3:3: " CANNOT "expected a '-' and a blank in front");
    refuse_text("a: ['O'Hara', b]\n", "a.yaml:1:8: " CANNOT "found more behind a closing quote: is a quote missing");
    refuse_text("a:\n  - '\xC3\x86'nid'\n", "a.yaml:2:8: " CANNOT "found more behind a closing quote");
    refuse_text("a: 'b', 'c'\n", "a.yaml:1:7: " CANNOT "found a comma behind a closing quote, expected several values");
    refuse_text("a:\n  - {b: 1}}\n", "a.yaml:2:11: " CANNOT "found a } that closes nothing");
    refuse_text("a: [b,\n  c\nd: 1\n", "a.yaml:3:2: " CANNOT "expected a comma, or the ] of what opens in line 1");
    refuse_text("a: {b: 1,\n  c: 2\nd: 1\n", CANNOT "expected a comma, or the } of what opens in line 1");
    refuse_text("a: [b #1, c]\n\nd: 1\n", "a.yaml:1:7: " CANNOT "what stands behind ' #' is read as a remark");
    refuse_text("a: 1\n b: 2\n", "a.yaml:2:3: " CANNOT "found a key further in than the one above");
    refuse_text("a:\n  b: 1\n c: 2\n", "a.yaml:3:2: " CANNOT "expected the next key of those that begin in line 1");
}

static double seconds_since(const struct timespec *start)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - start->tv_sec) + (double)(now.tv_nsec - start->tv_nsec) * 1e-9;
}

/* libyaml's loader needs 10 seconds for the first and 47 for the second; limits stand before anything is composed. */
static void floods_end_at_once(void **state)
{
    (void)state;
    struct timespec start;
    clock_gettime(CLOCK_MONOTONIC, &start);
    Text text = {0};
    text_add(&text, "a: ");
    for (int i = 0; i < 100000; i++)
        text_add(&text, "[");
    refuse(text_cstr(&text), text.length, "nested too deeply: more than 24 levels");
    text.length = 0;
    text_add(&text, "a:\n");
    for (int i = 0; i < 200000; i++)
        text_printf(&text, "  - &x%d y\n", i);
    refuse(text_cstr(&text), text.length, "a.yaml:2:5: error: found '&x0'");
    text.length = 0;
    text_add(&text, "a: [");
    for (int i = 0; i < 250000; i++)
        text_add(&text, "b,");
    text_add(&text, "]\n");
    refuse(text_cstr(&text), text.length, "too many values: more than 200000");
    text.length = 0;
    for (int i = 0; i < 6000; i++)
        text_printf(&text, "k%d: 1\n", i);
    refuse(text_cstr(&text), text.length, "a.yaml:4097:1: error: too many keys in one map");
    text_release(&text);
    assert_true(seconds_since(&start) < 10.0);
}

static void a_missing_file_is_reported_where_it_was_asked_for(void **state)
{
    (void)state;
    Arena *arena = arena_new();
    Diags diags;
    diags_init(&diags);
    assert_null(
        yaml_read(arena, NULL, "/nowhere/at/all.yaml", (SourcePos){.file = "s.yaml", .line = 3, .column = 8}, &diags));
    assert_int_equal(diags.errors, 1);
    assert_string_equal(diags.item[0].at.file, "s.yaml");
    assert_int_equal(diags.item[0].at.column, 8);
    diags_release(&diags);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_and_values_know_their_places),
        cmocka_unit_test(columns_count_characters),
        cmocka_unit_test(words_stay_text),
        cmocka_unit_test(byte_order_mark_and_line_ends_are_no_matter),
        cmocka_unit_test(utf16_is_no_matter_either),
        cmocka_unit_test(swallowed_names_are_remembered),
        cmocka_unit_test(swallowed_remarks_are_cut),
        cmocka_unit_test(what_was_found_is_told),
        cmocka_unit_test(what_libyaml_lets_pass_is_refused),
        cmocka_unit_test(broken_files_say_where),
        cmocka_unit_test(slips_are_told_where_they_are),
        cmocka_unit_test(floods_end_at_once),
        cmocka_unit_test(a_missing_file_is_reported_where_it_was_asked_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
