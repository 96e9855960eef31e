/* test_text.c - the base room: exact numbers, and text. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <iconv.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "base/text.h"

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
        {"\xE2\x88\x92"
         "7",
         0, false, NUMBER_OK, -7},
        {"\xC2\xA0"
         "7\xC2\xA0",
         0, false, NUMBER_OK, 7},
        {".5", 2, false, NUMBER_OK, 50},
        {"5.", 2, false, NUMBER_OK, 500},
        {"0.1", 3, false, NUMBER_OK, 100},
        {"4.0", 0, false, NUMBER_OK, 4},
        {"1.2300000", 2, false, NUMBER_OK, 123},
        {"1.2345", 3, false, NUMBER_TOO_FINE, 0},
        /* What formulas leave behind: more than 15 significant digits. */
        {"5.400000000000001", 3, false, NUMBER_OK, 5400},
        {"0,30000000000000004", 2, true, NUMBER_OK, 30},
        {"-9.9999999999999995", 3, false, NUMBER_OK, -10000},
        {"2.9999999999999996", 0, false, NUMBER_OK, 3},
        {"12345678901.2340001", 3, false, NUMBER_TOO_LARGE, 0},
        {"123456789.23400001", 3, false, NUMBER_OK, INT64_C(123456789234)},
        {"5.40000000000001", 3, false, NUMBER_TOO_FINE, 0},
        {"5.400000000000010", 3, false, NUMBER_TOO_FINE, 0},
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
    static const char *const good[] = {"3.50",
                                       "€3.50",
                                       "€ 3.50",
                                       "3.50€",
                                       "3.50 €",
                                       "EUR 3.50",
                                       "3.50EUR",
                                       "$3.5",
                                       "£3.50",
                                       "¥3.50",
                                       "₹ 3.50",
                                       "+€3.50",
                                       "\302\2403.50\302\240€",
                                       "3,50 €",
                                       "3,50 zł",
                                       "3,50 Kč",
                                       "kr. 3,50",
                                       "3,50kr",
                                       "Fr. 3.50",
                                       "US$ 3.50"};
    static const char *const bad[] = {"3,50 ct", "3,50 x",     "kr 3,50 kr", "€",         "EUR",
                                      "€3.50€",  "€ 3.50 EUR", "3.50 eur",   "EURO 3.50", "3.50 €€",
                                      "€-€3",    "3 € 50",     "-$-3.50",    "x 3.50",    "3.50 %"};
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
    assert_int_equal(number_parse_money("-kr 3.50", false, &cents), NUMBER_OK);
    assert_int_equal(cents, -350);
    assert_int_equal(number_parse_money("-$3.50", false, &cents), NUMBER_OK);
    assert_int_equal(cents, -350);
    assert_int_equal(number_parse_money("$-3.50", false, &cents), NUMBER_OK);
    assert_int_equal(cents, -350);
    static const char *const whole[] = {"12,-", "12.-", "12,--", "12,\xE2\x80\x93", "€ 12,-", "12,- EUR"};
    for (size_t i = 0; i < sizeof whole / sizeof *whole; i++) {
        assert_int_equal(number_parse_money(whole[i], false, &cents), NUMBER_OK);
        assert_int_equal(cents, 1200);
    }
    static const char *const odd[] = {"12-", "-,-", ",-", "1.200,-", "12,---", "12,-5"};
    for (size_t i = 0; i < sizeof odd / sizeof *odd; i++)
        assert_int_equal(number_parse_money(odd[i], true, &cents), NUMBER_NONE);
    assert_int_equal(number_parse_money("3.505", false, &cents), NUMBER_TOO_FINE);
    assert_int_equal(number_parse_money("3,50", false, &cents), NUMBER_NONE);
    assert_int_equal(number_parse_money("10000000000.01", false, &cents), NUMBER_TOO_LARGE);
}

static void money_in_thousands_is_doubtful(void **state)
{
    (void)state;
    static const char *const doubtful[] = {"1.500",  "1,500",     "12.500", "999,999", "€ 1.250",
                                           "-1.500", "1.500 EUR", "$1,000", " 1.000 "};
    static const char *const plain[] = {"1.50",     "1,5",    "0.500",  "0,500", "1500",
                                        "1500.000", "1.5000", "01.500", ".500",  "12"};
    char hint[NUMBER_HINT];
    for (size_t i = 0; i < sizeof doubtful / sizeof *doubtful; i++) {
        int64_t cents = 4711;
        if (number_parse_money(doubtful[i], true, &cents) != NUMBER_DOUBTFUL || cents != 4711 ||
            !number_may_be_thousands(doubtful[i]))
            fail_msg("'%s' is read as %lld", doubtful[i], (long long)cents);
    }
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++) {
        int64_t cents = 0;
        if (number_parse_money(plain[i], true, &cents) != NUMBER_OK || number_may_be_thousands(plain[i]))
            fail_msg("'%s' is not read", plain[i]);
    }
    int64_t cents = 0;
    assert_int_equal(number_parse_money("1.500", false, &cents),
                     NUMBER_OK); /* commas part the fields: the point is the decimal one */
    assert_int_equal(cents, 150);
    assert_false(number_may_be_thousands("1.500.000"));
    assert_int_equal(number_parse_money("1.500.000", true, &cents), NUMBER_NONE);
    assert_string_equal(number_thousands_hint(hint, "€ 12.500"),
                        "12500 (without a separator of thousands) or at most 2 decimals");
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
        {"café", "cafe\xCC\x81"}, /* composed and decomposed */
        {"Łódź", "lodz"},         /* l-stroke does not decompose */
        {"Bjørn", "BJORN"},
        {"Ærø", "aero"},
        {"Straße", "STRASSE"},
        {"Đorđe", "dorde"},
        {"Þór", "thor"},
        {"œuvre", "OEUVRE"},
        {"Ħamrun", "hamrun"},
        {"İstanbul", "istanbul"},
        {"ΣΊΣΥΦΟΣ", "σίσυφος"}, /* both sigmas */
        {"ЁЛКА", "елка"},
        {"pilot’s", "pilot's"},
        {"“quay”", "\"quay\""},
        {"a\xC2\xA0"
         "b",
         "a b"},                      /* no-break space */
        {"ﬁn", "fin"},                /* ligature */
        {"quay\xE2\x80\x8B", "quay"}, /* zero width space */
        {"soft\xC2\xADly", "softly"}, /* soft hyphen */
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
    static const char *const different[][2] = {
        {"quay", "quays"}, {"a b", "ab"}, {"は", "ば"}, {"कि", "की"}, {"1", "l"}};
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
    assert_string_equal(text_excerpt(buffer, "0123456789012345678901234567890123456789"),
                        "0123456789012345678901234567890123456789");
    assert_string_equal(text_excerpt(buffer, "01234567890123456789012345678901234567890"),
                        "0123456789012345678901234567890123456...");
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
    assert_int_equal(text_utf8_error("a\xED\xA0\x80", 4), 1);    /* a surrogate */
    assert_int_equal(text_utf8_error("\xC0\xAF", 2), 0);         /* an overlong form */
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

/* Every character there is, by the same converter. */
static void utf16_agrees_with_iconv(void **state)
{
    (void)state;
    iconv_t converter = iconv_open("UTF-8", "UTF-16BE");
    if (converter == (iconv_t)-1)
        skip();
    for (unsigned c = 1; c < 0x110000; c++) {
        if (c >= 0xD800 && c < 0xE000)
            continue;
        const unsigned high = 0xD7C0 + (c >> 10), low = 0xDC00 + (c & 0x3FF), first = c < 0x10000 ? c : high;
        char in[4] = {(char)(first >> 8), (char)first, (char)(low >> 8), (char)low}, out[8] = "", *from = in, *to = out;
        const size_t length = c < 0x10000 ? 2 : 4;
        size_t left = length, room = sizeof out - 1;
        assert_int_equal(iconv(converter, &from, &left, &to, &room), 0);
        Text mine = {0};
        assert_true(text_from_utf16(in, length, true, &mine));
        assert_string_equal(text_cstr(&mine), out);
        text_clear(&mine);
        const char turned[4] = {in[1], in[0], in[3], in[2]};
        assert_true(text_from_utf16(turned, length, false, &mine));
        assert_string_equal(text_cstr(&mine), out);
        text_clear(&mine);
        assert_false(text_from_utf16(in, length - 1, true, &mine));
        text_release(&mine);
    }
    iconv_close(converter);
}

static void nearest_words(void **state)
{
    (void)state;
    static const char *const words[] = {"brass", "glass", "linen", "tar", "at_least", "at_most", "average_at_least"};
    static const struct {
        const char *word, *nearest;
    } cases[] = {
        {"bras", "brass"},
        {"BRASS", "brass"},
        {"gläss", "glass"},
        {"glsas", "glass"},
        {"lenin", NULL},
        {"atr", "tar"}, /* only since neighbours swapped count one */
        {"rat", NULL},  /* two replacements */
        {"at_lest", "at_least"},
        {"atleast", "at_least"},
        {"at_least_average", NULL},
        {"zzzz", NULL},
        {"", NULL},
        {"x", NULL},
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
    /* Optimal string alignment edits no part twice: "ca" to "abc" takes 3, not 2 (textbook example, from memory). With
     * a tail of six common letters the longer word has 9, so 3 is near; at 8 it is not, where 2 would be. */
    static const char *const edited[] = {"abcqrstuv"}, *const shorter[] = {"abcqrstu"};
    assert_non_null(text_nearest("caqrstuv", edited, 1));
    assert_null(text_nearest("caqrstu", shorter, 1));
    assert_null(text_nearest("brass", words, 0));
    static const char *const rules[] = {"all gold cards", "gold cards of a pair", "early plays"};
    assert_string_equal(text_nearest("Gold", rules, 3), "all gold cards"); /* a part that is a word, the first */
    assert_string_equal(text_nearest("earl", rules, 3), "early plays");
    assert_null(text_nearest("lays", rules, 3)); /* no word begins so */
    assert_null(text_nearest("go", rules, 3));
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

/* As a shell reads it back. */
static void words_of_a_command_line(void **state)
{
    (void)state;
    static const char *const word[][2] = {{"my-pool", "my-pool"},
                                          {"../a/b.csv", "../a/b.csv"},
                                          {"P\xC3\xB6"
                                           "ol",
                                           "P\xC3\xB6"
                                           "ol"},
                                          {"", "\"\""},
                                          {"my pool", "\"my pool\""},
                                          {"Ann's pool", "\"Ann's pool\""},
                                          {"a;b", "\"a;b\""},
                                          {"say \"so\"", "'say \"so\"'"},
                                          {"$a `b` 'c'!", "'$a `b` '\\''c'\\''!'"}};
    Arena *arena = arena_new();
    for (size_t k = 0; k < sizeof word / sizeof *word; k++) {
        assert_string_equal(text_shell_word(arena, word[k][0]), word[k][1]);
        char command[128], said[64] = "";
        snprintf(command, sizeof command, "printf '%%s' %s", word[k][1]);
        FILE *shell = popen(command, "r");
        assert_non_null(shell);
        said[fread(said, 1, sizeof said - 1, shell)] = '\0';
        pclose(shell);
        assert_string_equal(said, word[k][0]);
    }
    arena_free(arena);
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
        cmocka_unit_test(utf16_agrees_with_iconv),
        cmocka_unit_test(nearest_words),
        cmocka_unit_test(texts_grow),
        cmocka_unit_test(words_of_a_command_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
