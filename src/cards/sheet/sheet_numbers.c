/* sheet_numbers.c - see sheet_numbers.h. */
#include "cards/sheet/sheet_numbers.h"

#include <string.h>

#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"

#define LONGEST 64 /* no number has more characters */

NumberForm sheet_number_form(const Sheet *sheet)
{
    return (NumberForm){.comma = sheet_decimal_comma(sheet),
                        .groups = sheet->decimal != DECIMAL_BY_SEPARATOR && !sheet->workbook};
}

static size_t digits_at(const char *text)
{
    return strspn(text, "0123456789");
}

/* "2,35" or "2,5", no other mark. */
static bool has_short_decimals(const char *text)
{
    const char *comma = strchr(text, ',');
    if (comma == NULL || comma == text || strpbrk(comma + 1, ",.") != NULL || strchr(text, '.') != NULL)
        return false;
    const size_t digits = digits_at(comma + 1);
    return comma[-1] >= '0' && comma[-1] <= '9' && (digits == 1 || digits == 2);
}

/* "1.500,00" and "1 500" without the marks between groups, into the buffer: the first byte of the mark, or 0 where
 * there are no groups that are sound. A blank and an apostrophe are never decimal marks. A point or a comma is none
 * where the model says so, and else where it stands twice or has the other one behind it: 1,234.50 and 1.234.567 say so
 * themselves. */
static char without_groups(NumberForm form, const char *text, char buffer[LONGEST])
{
    if (strlen(text) >= LONGEST)
        return '\0';
    const size_t begin = strcspn(text, "0123456789"), digits = digits_at(text + begin);
    size_t at = begin + digits, length = at, groups = 0;
    if (digits == 0 || digits > 3)
        return '\0';
    const char *const mark = text + at;
    size_t size = number_group_mark(mark);
    const bool certain = size > 0 || form.groups, point = mark[0] == '.', comma = mark[0] == ',';
    if (form.groups ? (form.comma ? point : comma) : (point || comma) && text[begin] != '0')
        size = 1;
    memcpy(buffer, text, length);
    for (; size > 0 && strncmp(text + at, mark, size) == 0 && digits_at(text + at + size) == 3; groups++) {
        memcpy(buffer + length, text + at + size, 3);
        length += 3;
        at += size + 3;
    }
    strcpy(buffer + length, text + at);
    return groups > 1 || (groups == 1 && (certain || text[at] == (point ? ',' : '.'))) ? mark[0] : '\0';
}

typedef NumberStatus Parse(const char *text, int scale, bool comma, int64_t *value);

static NumberStatus parse_money(const char *text, int scale, bool comma, int64_t *value)
{
    (void)scale;
    return number_parse_money(text, comma, value);
}

static NumberStatus parse(Parse *how, NumberForm form, const char *text, int scale, int64_t *value, bool *by_comma)
{
    char plain[LONGEST];
    const char mark = without_groups(form, text, plain);
    if (mark != '\0')
        text = plain;
    if (form.groups && form.comma && strlen(text) < LONGEST) { /* said so: 12,250 cannot be thousands */
        if (text != plain)
            strcpy(plain, text);
        for (char *comma = strchr(plain, ','); comma != NULL; comma = strchr(comma, ','))
            *comma = '.';
        text = plain;
        form.comma = false;
    }
    const bool open = !form.comma && !form.groups, decimals = open && has_short_decimals(text);
    const NumberStatus status = how(text, scale, form.comma || decimals || (open && mark == '.'), value);
    if (by_comma != NULL)
        *by_comma = decimals && status == NUMBER_OK;
    return status;
}

NumberStatus form_number(NumberForm form, const char *text, int scale, int64_t *value, bool *by_comma)
{
    return parse(number_parse, form, text, scale, value, by_comma);
}

NumberStatus form_money(NumberForm form, const char *text, int64_t *cents, bool *by_comma)
{
    return parse(parse_money, form, text, 2, cents, by_comma);
}

size_t score_end(const char *text)
{
    const size_t length = strlen(text);
    size_t end = length;
    if (length > 0 && text[length - 1] == '%') {
        end--;
    } else {
        while (end > 0 && text[end - 1] >= '0' && text[end - 1] <= '9')
            end--;
        const bool digits = end < length;
        while (end > 0 && text[end - 1] == ' ')
            end--;
        if (!digits || end == 0 || text[--end] != '/')
            return length;
    }
    while (end > 0 && text[end - 1] == ' ')
        end--;
    return end > 0 && text[end - 1] >= '0' && text[end - 1] <= '9' ? end : length;
}

bool scores_alike(const char *a, const char *b)
{
    a += score_end(a);
    b += score_end(b);
    for (;; a++, b++) {
        a += strspn(a, " ");
        b += strspn(b, " ");
        if (*a != *b || *a == '\0')
            return *a == *b;
    }
}

bool sheet_copies(const Sheet *sheet, const char *text, int *copies)
{
    const int counted = counted_copies(text), yes = word_says_yes(text);
    int64_t number = counted >= 0 ? counted : yes;
    if (number < 0 && form_number(sheet_number_form(sheet), text, 0, &number, NULL) != NUMBER_OK)
        return false;
    if (number < 0 || number > COPIES_MAX)
        return false;
    *copies = (int)number;
    return true;
}

bool cost_is_variable(const char *text)
{
    return strpbrk(text, "xX") != NULL && text[strspn(text, "xX0123456789+ ")] == '\0';
}

void cell_count_add(CellCount *count, const SheetCell *cell)
{
    if (count->count++ == 0)
        count->first = cell;
}

void commas_tell(const CellCount *count, const Sheet *sheet, Diags *diags)
{
    if (count->count == 0)
        return;
    char excerpt[TEXT_EXCERPT];
    diag_remark(diags, sheet_pos(sheet, count->first),
                "%zu number%s written with a decimal comma, such as '%s', though commas part the fields of this sheet: "
                "read as decimals",
                count->count, count->count == 1 ? " is" : "s are", text_excerpt(excerpt, count->first->text));
}
