/* test_name_list.c - names behind a label: where lines break, and what stands for those that are not shown. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "report/whatif_report.h"

#define TEN "1234567890"
#define LONG_NAME TEN TEN TEN TEN TEN TEN TEN TEN TEN

typedef struct {
    int width; /* of the terminal; 0: none */
    size_t most;
    bool one_line;
    const char *name[5];
    const char *shown;
} Case;

static void expect(const Case *c)
{
    Text out = {0};
    NameList list;
    const Style style = {.width = c->width};
    name_list_begin(&list, "in  ", c->most, &style, &out);
    list.one_line = c->one_line;
    for (size_t k = 0; c->name[k] != NULL; k++)
        name_list_add(&list, c->name[k]);
    name_list_end(&list);
    assert_string_equal(text_cstr(&out), c->shown);
    text_release(&out);
}

/* The last column is left free. */
static void lines_break_between_names(void **state)
{
    (void)state;
    static const Case cases[] = {
        {30, SIZE_MAX, false, {TEN, "12345678901", NULL}, "  in  " TEN "; 12345678901\n"},
        {30, SIZE_MAX, false, {TEN, "123456789012", NULL}, "  in  " TEN ";\n      123456789012\n"},
        {30, SIZE_MAX, false, {LONG_NAME, TEN, NULL}, "  in  " LONG_NAME ";\n      " TEN "\n"},
        {0, SIZE_MAX, false, {LONG_NAME, "12", NULL}, "  in  " LONG_NAME "; 12\n"},
        {0, SIZE_MAX, false, {LONG_NAME, "123", NULL}, "  in  " LONG_NAME ";\n      123\n"},
        {200, SIZE_MAX, false, {LONG_NAME, "123", NULL}, "  in  " LONG_NAME ";\n      123\n"},
        {30, SIZE_MAX, false, {NULL}, ""},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        expect(&cases[k]);
}

/* Names are left out from the first that has no room, whatever comes behind it. */
static void those_left_out_are_counted(void **state)
{
    (void)state;
    static const Case cases[] = {
        {50, 2, false, {"a", "b", "c", "d", NULL}, "  in  a; b ... and 2 more\n"},
        {30, 1, false, {TEN "12", "b", NULL}, "  in  " TEN "12\n      ... and 1 more\n"},
        {0, 1, false, {LONG_NAME, "b", NULL}, "  in  " LONG_NAME " ... and 1 more\n"},
        {50, SIZE_MAX, true, {TEN, "12345678901234", "c", NULL}, "  in  " TEN "; 12345678901234 ... and 1 more\n"},
        {50, SIZE_MAX, true, {TEN, "123456789012345", "c", NULL}, "  in  " TEN " ... and 2 more\n"},
        {30, SIZE_MAX, true, {LONG_NAME, "b", NULL}, "  in  " LONG_NAME "\n      ... and 1 more\n"},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        expect(&cases[k]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_break_between_names),
        cmocka_unit_test(those_left_out_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
