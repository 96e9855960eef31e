/* test_base.c - the base room: exact numbers, text, files that are whole or absent, diagnostics, memory. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <errno.h>
#include <iconv.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/diag.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/number.h"
#include "base/text.h"
#include "support/run.h"

/* ---- numbers ---- */

static void numbers_are_read_exactly(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int scale;
        bool comma;
        NumberStatus status;
        int64_t value;
    } cases[] = {
        {"0", 3, false, NUMBER_OK, 0},
        {"3.5", 3, false, NUMBER_OK, 3500},
        {" -3.5 ", 3, false, NUMBER_OK, -3500},
        {"+7", 0, false, NUMBER_OK, 7},
        {"\xE2\x88\x92""7", 0, false, NUMBER_OK, -7},
        {"\xC2\xA0""7\xC2\xA0", 0, false, NUMBER_OK, 7},
        {".5", 2, false, NUMBER_OK, 50},
        {"5.", 2, false, NUMBER_OK, 500},
        {"0.1", 3, false, NUMBER_OK, 100},
        {"4.0", 0, false, NUMBER_OK, 4},
        {"1.2300000", 2, false, NUMBER_OK, 123},
        {"1.2345", 3, false, NUMBER_TOO_FINE, 0},
        {"1.5", 0, false, NUMBER_TOO_FINE, 0},
        {"000000000000000000000000000007", 3, false, NUMBER_OK, 7000},
        {"1000000000", 3, false, NUMBER_OK, NUMBER_LIMIT},
        {"-1000000000", 3, false, NUMBER_OK, -NUMBER_LIMIT},
        {"1000000000.001", 3, false, NUMBER_TOO_LARGE, 0},
        {"1000000000001", 0, false, NUMBER_TOO_LARGE, 0},
        {"9223372036854775808", 0, false, NUMBER_TOO_LARGE, 0},
        {"99999999999999999999999999999999999999999999.9999", 2, false, NUMBER_TOO_LARGE, 0},
        {"3,5", 3, true, NUMBER_OK, 3500},
        {"3,5", 3, false, NUMBER_NONE, 0},
        {"1,234.5", 3, true, NUMBER_NONE, 0},
        {"", 3, false, NUMBER_NONE, 0},
        {" ", 3, false, NUMBER_NONE, 0},
        {"-", 3, false, NUMBER_NONE, 0},
        {".", 3, false, NUMBER_NONE, 0},
        {"1e3", 3, false, NUMBER_NONE, 0},
        {"0x10", 3, false, NUMBER_NONE, 0},
        {"nan", 3, false, NUMBER_NONE, 0},
        {"inf", 3, false, NUMBER_NONE, 0},
        {"--1", 3, false, NUMBER_NONE, 0},
        {"1 2", 3, false, NUMBER_NONE, 0},
        {"\xD9\xA3", 3, false, NUMBER_NONE, 0}, /* an Arabic-Indic digit */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        int64_t value = 4711;
        NumberStatus status = number_parse(cases[i].text, cases[i].scale, cases[i].comma, &value);
        if (status != cases[i].status || value != (status == NUMBER_OK ? cases[i].value : 4711))
            fail_msg("'%s' gave status %d, value %lld", cases[i].text, (int)status, (long long)value);
    }
}

static void money_may_carry_a_currency(void **state)
{
    (void)state;
    static const char *const good[] = {"3.50", "€3.50", "€ 3.50", "3.50€", "3.50 €", "EUR 3.50", "3.50EUR", "$3.5", "£3.50", "¥3.50", "₹ 3.50", "+€3.50", "\302\2403.50\302\240€", "3,50 €"};
    static const char *const bad[] = {"€", "EUR", "€3.50€", "€ 3.50 EUR", "3.50 eur", "EURO 3.50", "3.50 €€", "€-€3", "3 € 50", "-$-3.50", "x 3.50", "3.50 %"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        int64_t cents = 0;
        if (number_parse_money(good[i], true, &cents) != NUMBER_OK || cents != 350)
            fail_msg("'%s' gave %lld", good[i], (long long)cents);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        int64_t cents = 4711;
        if (number_parse_money(bad[i], true, &cents) != NUMBER_NONE || cents != 4711)
            fail_msg("'%s' was read as %lld", bad[i], (long long)cents);
    }
    int64_t cents = 0;
    assert_int_equal(number_parse_money("-$3.50", false, &cents), NUMBER_OK);
    assert_int_equal(cents, -350);
    assert_int_equal(number_parse_money("$-3.50", false, &cents), NUMBER_OK);
    assert_int_equal(cents, -350);
    assert_int_equal(number_parse_money("3.505", false, &cents), NUMBER_TOO_FINE);
    assert_int_equal(number_parse_money("3,50", false, &cents), NUMBER_NONE);
    assert_int_equal(number_parse_money("10000000000.01", false, &cents), NUMBER_TOO_LARGE);
}

static void money_in_thousands_is_doubtful(void **state)
{
    (void)state;
    static const char *const doubtful[] = {"1.500", "1,500", "12.500", "999,999", "€ 1.250", "-1.500", "1.500 EUR", "$1,000", " 1.000 "};
    static const char *const plain[] = {"1.50", "1,5", "0.500", "0,500", "1500", "1500.000", "1.5000", "01.500", ".500", "12"};
    char hint[NUMBER_HINT];
    for (size_t i = 0; i < sizeof doubtful / sizeof *doubtful; i++) {
        int64_t cents = 4711;
        if (number_parse_money(doubtful[i], true, &cents) != NUMBER_DOUBTFUL || cents != 4711 || !number_may_be_thousands(doubtful[i]))
            fail_msg("'%s' is read as %lld", doubtful[i], (long long)cents);
    }
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++) {
        int64_t cents = 0;
        if (number_parse_money(plain[i], true, &cents) != NUMBER_OK || number_may_be_thousands(plain[i]))
            fail_msg("'%s' is not read", plain[i]);
    }
    int64_t cents = 0;
    assert_int_equal(number_parse_money("1.500", false, &cents), NUMBER_OK); /* commas part the fields: the point is the decimal one */
    assert_int_equal(cents, 150);
    assert_false(number_may_be_thousands("1.500.000"));
    assert_int_equal(number_parse_money("1.500.000", true, &cents), NUMBER_NONE);
    assert_string_equal(number_thousands_hint(hint, "€ 12.500"), "12500 (without a separator of thousands) or at most 2 decimals");
}

static void percentages_are_thousandths(void **state)
{
    (void)state;
    int64_t value = 0;
    assert_int_equal(number_parse_percent("2%", &value), NUMBER_OK);
    assert_int_equal(value, 2000);
    assert_int_equal(number_parse_percent(" 33.4 % ", &value), NUMBER_OK);
    assert_int_equal(value, 33400);
    assert_int_equal(number_parse_percent("2", &value), NUMBER_NONE);
    assert_int_equal(number_parse_percent("%", &value), NUMBER_NONE);
    assert_int_equal(number_parse_percent("2%%", &value), NUMBER_NONE);
    assert_int_equal(number_parse_percent("0.0001%", &value), NUMBER_TOO_FINE);
}

static void numbers_are_written(void **state)
{
    (void)state;
    char buffer[NUMBER_TEXT];
    assert_string_equal(number_format(buffer, 350, 2, 2), "3.50");
    assert_string_equal(number_format(buffer, -5, 3, 0), "-0.005");
    assert_string_equal(number_format(buffer, 12000, 3, 0), "12");
    assert_string_equal(number_format(buffer, 12000, 3, 1), "12.0");
    assert_string_equal(number_format(buffer, 12340, 3, 1), "12.34");
    assert_string_equal(number_format(buffer, 0, 0, 0), "0");
    assert_string_equal(number_format(buffer, 7, 0, 2), "7.00");
    assert_string_equal(number_format(buffer, INT64_MIN, 3, 0), "-9223372036854775.808");
    assert_string_equal(number_format(buffer, INT64_MAX, 0, 0), "9223372036854775807");
    for (int64_t value = -3000; value <= 3000; value += 7) { /* what is written reads back */
        int64_t again = 0;
        assert_int_equal(number_parse(number_format(buffer, value, 3, 0), 3, false, &again), NUMBER_OK);
        assert_int_equal(again, value);
    }
}

static void divisions_round_as_stated(void **state)
{
    (void)state;
    for (int a = -50; a <= 50; a++)
        for (int b = 1; b <= 12; b++) {
            int lowest = -100, highest = 100;
            while ((lowest + 1) * b <= a)
                lowest++;
            while ((highest - 1) * b >= a)
                highest--;
            assert_int_equal((int)floor_div(a, b), lowest);
            assert_int_equal((int)ceil_div(a, b), highest);
            int size = a < 0 ? -a : a, rounded = 0;
            while (2 * size >= (2 * rounded + 1) * b)
                rounded++;
            assert_int_equal((int)round_div(a, b), a < 0 ? -rounded : rounded);
        }
    int128 huge = (int128)INT64_MAX * INT64_MAX;
    assert_true(floor_div(huge, INT64_MAX) == INT64_MAX);
    assert_true(round_div(-huge, huge) == -1);
    assert_int_equal(gcd64(12, -18), 6);
    assert_int_equal(gcd64(0, 0), 0);
    assert_int_equal(gcd64(0, -7), 7);
}

/* ---- text ---- */

static void names_fold(void **state)
{
    (void)state;
    static const char *const same[][2] = {
        {"Harbour Pilot", "  HARBOUR   pilot\t"},
        {"café", "cafe\xCC\x81"},          /* composed and decomposed */
        {"Łódź", "lodz"},                   /* l-stroke does not decompose */
        {"Bjørn", "BJORN"},
        {"Ærø", "aero"},
        {"Straße", "STRASSE"},
        {"Đorđe", "dorde"},
        {"Þór", "thor"},
        {"œuvre", "OEUVRE"},
        {"Ħamrun", "hamrun"},
        {"İstanbul", "istanbul"},
        {"ΣΊΣΥΦΟΣ", "σίσυφος"},             /* both sigmas */
        {"ЁЛКА", "елка"},
        {"pilot’s", "pilot's"},
        {"“quay”", "\"quay\""},
        {"a\xC2\xA0""b", "a b"},            /* no-break space */
        {"ﬁn", "fin"},                      /* ligature */
        {"quay\xE2\x80\x8B", "quay"},       /* zero width space */
        {"soft\xC2\xADly", "softly"},       /* soft hyphen */
        {"Brass™", "brasstm"},
        {"two\nlines", "two lines"},
        {"", "   "},
    };
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char *a = text_fold(same[i][0]), *b = text_fold(same[i][1]);
        if (strcmp(a, b) != 0)
            fail_msg("'%s' folds to '%s', '%s' to '%s'", same[i][0], a, same[i][1], b);
        char *again = text_fold(a);
        assert_string_equal(a, again);
        mem_free(again);
        mem_free(b);
        mem_free(a);
    }
    static const char *const different[][2] = {{"quay", "quays"}, {"a b", "ab"}, {"は", "ば"}, {"कि", "की"}, {"1", "l"}};
    for (size_t i = 0; i < sizeof different / sizeof *different; i++) {
        char *a = text_fold(different[i][0]), *b = text_fold(different[i][1]);
        assert_string_not_equal(a, b);
        mem_free(b);
        mem_free(a);
    }
}

static void widths_are_of_the_terminal(void **state)
{
    (void)state;
    assert_int_equal(text_width("quay"), 4);
    assert_int_equal(text_width("Łódź"), 4);
    assert_int_equal(text_width("cafe\xCC\x81"), 4);
    assert_int_equal(text_width("港口"), 4);
    assert_int_equal(text_width(""), 0);
    assert_int_equal(text_prefix("港口", 3), 3); /* half a wide character does not fit */
    assert_int_equal(text_prefix("cafe\xCC\x81s", 4), 6);
    assert_int_equal(text_prefix("quay", 10), 4);
    assert_int_equal(text_characters("Łódź", strlen("Łódź")), 4);
    char buffer[TEXT_EXCERPT];
    assert_string_equal(text_excerpt(buffer, "a\nb\tc\x1B"), "a b c ");
    assert_string_equal(text_excerpt(buffer, "0123456789012345678901234567890123456789"), "0123456789012345678901234567890123456789");
    assert_string_equal(text_excerpt(buffer, "01234567890123456789012345678901234567890"), "0123456789012345678901234567890123456...");
    char marks[4001] = "e";
    for (size_t i = 1; i + 2 < sizeof marks; i += 2)
        memcpy(marks + i, "\xCC\x81", 3);
    text_excerpt(buffer, marks);
    assert_true(strlen(buffer) < TEXT_EXCERPT);
    assert_int_equal(text_utf8_error(buffer, strlen(buffer)), strlen(buffer));
}

static void blanks_are_trimmed(void **state)
{
    (void)state;
    size_t length = strlen(" \t\xC2\xA0 a b \xE3\x80\x80\r\n");
    const char *start = text_trim(" \t\xC2\xA0 a b \xE3\x80\x80\r\n", &length);
    assert_int_equal(length, 3);
    assert_memory_equal(start, "a b", 3);
    length = 2;
    text_trim("\xC2\xA0", &length);
    assert_int_equal(length, 0);
    length = strlen("à"); /* ends in the byte of a no-break space */
    assert_memory_equal(text_trim("à", &length), "à", 2);
    assert_int_equal(length, 2);
}

static void broken_utf8_is_found(void **state)
{
    (void)state;
    assert_int_equal(text_utf8_error("abc", 3), 3);
    assert_int_equal(text_utf8_error("a\0c", 3), 1);
    assert_int_equal(text_utf8_error("ab\xC3", 3), 2);
    assert_int_equal(text_utf8_error("a\xED\xA0\x80", 4), 1); /* a surrogate */
    assert_int_equal(text_utf8_error("\xC0\xAF", 2), 0);      /* an overlong form */
    assert_int_equal(text_utf8_error("\xF4\x90\x80\x80", 4), 0); /* above U+10FFFF */
    assert_int_equal(text_utf8_error("", 0), 0);
}

/* Outside check: the C library's own converter. */
static void windows_1252_agrees_with_iconv(void **state)
{
    (void)state;
    iconv_t converter = iconv_open("UTF-8", "CP1252");
    if (converter == (iconv_t)-1)
        skip();
    int undefined = 0;
    for (int byte = 1; byte < 256; byte++) {
        char in = (char)byte, out[8] = "", *from = &in, *to = out;
        size_t left = 1, room = sizeof out - 1, bad = 9;
        size_t result = iconv(converter, &from, &left, &to, &room);
        char *mine = text_from_windows_1252(&in, 1, &bad);
        if (result == (size_t)-1) {
            assert_null(mine);
            assert_int_equal(bad, 0);
            undefined++;
            iconv(converter, NULL, NULL, NULL, NULL);
            continue;
        }
        assert_non_null(mine);
        assert_string_equal(mine, out);
        mem_free(mine);
    }
    iconv_close(converter);
    assert_int_equal(undefined, 5);
}

static void nearest_words(void **state)
{
    (void)state;
    static const char *const words[] = {"brass", "glass", "linen", "tar", "at_least", "at_most", "average_at_least"};
    static const struct {
        const char *word, *nearest;
    } cases[] = {
        {"bras", "brass"}, {"BRASS", "brass"}, {"gläss", "glass"}, {"glsas", "glass"}, {"lenin", NULL},
        {"atr", "tar"}, /* only since neighbours swapped count one */
        {"rat", NULL},  /* two replacements */
        {"at_lest", "at_least"}, {"atleast", "at_least"}, {"at_least_average", NULL}, {"zzzz", NULL}, {"", NULL}, {"x", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *nearest = text_nearest(cases[i].word, words, sizeof words / sizeof *words);
        if (cases[i].nearest == NULL ? nearest != NULL : nearest == NULL || strcmp(nearest, cases[i].nearest) != 0)
            fail_msg("'%s' gave '%s'", cases[i].word, nearest == NULL ? "nothing" : nearest);
    }
    static const char *const tied[] = {"cart", "card"};
    assert_string_equal(text_nearest("carx", tied, 2), "cart"); /* ties: the first */
    static const char *const nine[] = {"abcdefghi"};
    assert_non_null(text_nearest("abcdefxyz", nine, 1)); /* a third of the length */
    assert_null(text_nearest("abcdewxyz", nine, 1));
    /* Optimal string alignment edits no part twice: "ca" to "abc" takes 3, not 2 (textbook example, from memory). With a tail of six common
     * letters the longer word has 9, so 3 is near; at 8 it is not, where 2 would be. */
    static const char *const edited[] = {"abcqrstuv"}, *const shorter[] = {"abcqrstu"};
    assert_non_null(text_nearest("caqrstuv", edited, 1));
    assert_null(text_nearest("caqrstu", shorter, 1));
    assert_null(text_nearest("brass", words, 0));
}

static void texts_grow(void **state)
{
    (void)state;
    Text text = {0};
    assert_string_equal(text_cstr(&text), "");
    for (int i = 0; i < 1000; i++)
        text_printf(&text, "%d,", i);
    text_add_char(&text, '!');
    assert_int_equal(text.length, 3891);
    assert_string_equal(text_cstr(&text) + 3879, "97,998,999,!");
    text_release(&text);
    assert_int_equal(text.length, 0);
}

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
        assert_string_equal(arena_strndup(arena, "quayside", i % 9), i % 9 == 0 ? "" : arena_printf(arena, "%.*s", (int)(i % 9), "quayside"));
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

static void allocate_with_open_draft(const char *path)
{
    Diags diags;
    diags_init(&diags);
    if (file_draft(path, "half", 4, &diags) == NULL)
        _exit(98);
    mem_fail_at(3);
    for (int i = 0; i < 3; i++)
        mem_free(mem_new(1, 1));
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
    assert_int_equal(in_child(allocate_too_much, ""), 4);
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

static void drafts_appear_together_or_not_at_all(void **state)
{
    (void)state;
    Place place = place_new("a.csv");
    FileDraft *first = file_draft(place.path, "a", 1, &place.diags);
    assert_non_null(first);
    assert_file(&place, "a.csv", NULL);
    FileDraft *second = file_draft(place.path, "b", 1, &place.diags);
    assert_non_null(second);
    assert_true(file_draft_commit(first, &place.diags));
    assert_file(&place, "a.csv", "a");
    file_draft_discard(second);
    file_draft_discard(NULL);
    assert_file(&place, "a.csv", "a");
    assert_int_equal(entries(place.folder), 1);
    place_release(&place);
}

static void on_signal(int number)
{
    file_remove_unfinished();
    _exit(number);
}

static void draft_and_be_stopped(const char *path)
{
    Diags diags;
    diags_init(&diags);
    signal(SIGTERM, on_signal);
    FileDraft *done = file_draft(path, "done", 4, &diags);
    FileDraft *open_one = file_draft(path, "open", 4, &diags);
    if (done == NULL || open_one == NULL || !file_draft_commit(done, &diags))
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
    diag_error(&diags, (SourcePos){"b.csv", 2, 5}, "second");
    diag_error(&diags, (SourcePos){"a.csv", 1, 1}, "other %s", "file");
    diag_notice(&diags, (SourcePos){"b.csv", 2, 3}, "first");
    diag_error(&diags, (SourcePos){0}, "nowhere");
    diag_error(&diags, (SourcePos){"b.csv", 2, 5}, "second too");
    diag_error(&diags, (SourcePos){"b.csv", 0, 0}, "whole file");
    diags_sort(&diags);
    char *text = diags_text(&diags);
    assert_string_equal(text, "b.csv: error: whole file\nb.csv:2:3: notice: first\nb.csv:2:5: error: second\nb.csv:2:5: error: second too\n"
                              "a.csv:1:1: error: other file\nerror: nowhere\n");
    mem_free(text);
    assert_int_equal(diags.errors, 5);
    assert_false(diags_full(&diags, "a.csv"));
    for (int i = 0; i < 60; i++)
        diag_error(&diags, (SourcePos){"a.csv", 7, i}, "again, %d", i);
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
        diag_error(&diags, (SourcePos){"a.csv", line, 4}, "unknown colour 'mauve'");
    diag_error(&diags, (SourcePos){"a.csv", 5, 4}, "unknown colour 'mauves'");
    diag_error(&diags, (SourcePos){"b.csv", 9, 4}, "unknown colour 'mauve'");
    diag_error(&diags, (SourcePos){"b.csv", 9, 4}, "unknown colour 'mauve'");
    diag_error(&diags, (SourcePos){"b.csv", 9, 9}, "unknown colour 'mauve'");
    diag_notice(&diags, (SourcePos){"b.csv", 11, 1}, "unknown colour 'mauve'");
    diags_sort(&diags);
    char *text = diags_text(&diags);
    assert_string_equal(text, "a.csv:3:4: error: unknown colour 'mauve' (and 87 more like it, the last in line 90)\na.csv:5:4: error: unknown colour 'mauves'\n"
                              "b.csv:9:4: error: unknown colour 'mauve' (and 1 more like it, in line 9)\nb.csv:11:1: notice: unknown colour 'mauve'\n");
    mem_free(text);
    assert_int_equal(diags.errors, 92);
    assert_int_equal(diags.suppressed, 0);
    for (size_t k = 0; k < diags.count; k++)
        diag_repeat(&others, &diags.item[k], "in case 'x': ");
    text = diags_text(&others);
    assert_non_null(strstr(text, "a.csv:3:4: error: in case 'x': unknown colour 'mauve' (and 87 more like it, the last in line 90)\n"));
    assert_non_null(strstr(text, "b.csv:11:1: notice: unknown colour 'mauve'\n"));
    mem_free(text);
    assert_int_equal(others.errors, 91); /* two at the very same place are one */
    diags_release(&diags);
    diags_release(&others);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read_exactly),
        cmocka_unit_test(money_may_carry_a_currency),
        cmocka_unit_test(money_in_thousands_is_doubtful),
        cmocka_unit_test(percentages_are_thousandths),
        cmocka_unit_test(numbers_are_written),
        cmocka_unit_test(divisions_round_as_stated),
        cmocka_unit_test(names_fold),
        cmocka_unit_test(widths_are_of_the_terminal),
        cmocka_unit_test(blanks_are_trimmed),
        cmocka_unit_test(broken_utf8_is_found),
        cmocka_unit_test(windows_1252_agrees_with_iconv),
        cmocka_unit_test(nearest_words),
        cmocka_unit_test(texts_grow),
        cmocka_unit_test(arenas_hand_out_zeroed_aligned_storage),
        cmocka_unit_test(no_memory_ends_the_program_cleanly),
        cmocka_unit_test(files_are_written_whole),
        cmocka_unit_test(a_failed_write_leaves_the_old_file),
        cmocka_unit_test(full_and_odd_targets_are_errors),
        cmocka_unit_test(links_are_followed),
        cmocka_unit_test(drafts_appear_together_or_not_at_all),
        cmocka_unit_test(a_signal_removes_unfinished_files_only),
        cmocka_unit_test(files_are_read_whole),
        cmocka_unit_test(diagnostics_are_sorted_and_limited),
        cmocka_unit_test(alike_errors_are_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
