/* look.c - see look.h. */
#include "intake/look.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"
#include "base/text.h"
#include "cards/habits.h"
#include "cards/names/counts.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"

#define LONGEST 48
#define GRADES_MOST 12

/* ---- one cell ---- */

/* The text without blanks and apostrophes between digits, and its last mark as the decimal point where one or two
 * digits stand behind it, or other marks before it. False: no number could be in it. */
static bool plain_number(const char *text, char plain[LONGEST], LooseNumber *number)
{
    size_t length = strlen(text), kept = 0, first_mark = 0, mark = 0, marks = 0;
    if (length >= LONGEST || length == 0)
        return false;
    size_t first = strcspn(text, "0123456789");
    if (text[first] == '\0')
        return false;
    size_t last = length;
    while (last > first && (text[last - 1] < '0' || text[last - 1] > '9'))
        last--;
    for (size_t i = 0; i < length; i++) {
        const bool inside = i > first && i < last;
        const size_t group = inside ? number_group_mark(text + i) : 0;
        if (group > 0) {
            i += group - 1;
            continue;
        }
        if (inside && (text[i] == ',' || text[i] == '.')) {
            mark = kept;
            first_mark = marks++ == 0 ? mark : first_mark;
        }
        plain[kept++] = text[i];
    }
    plain[kept] = '\0';
    if (marks == 0)
        return true;
    const size_t behind = strspn(plain + mark + 1, "0123456789");
    number->two_decimals = behind == 2;
    number->doubtful = marks == 1 && behind == 3;
    const bool whole = behind == 3 && marks > 1 && plain[mark] == plain[first_mark];
    number->mark = number->doubtful || whole || behind == 0 ? '\0' : plain[mark];
    size_t to = 0;
    for (size_t i = 0; i < kept; i++) {
        const bool a_mark = plain[i] == ',' || plain[i] == '.';
        if (!a_mark)
            plain[to++] = plain[i];
        else if (i == mark && !whole)
            plain[to++] = '.';
    }
    plain[to] = '\0';
    return true;
}

bool loose_number(const char *text, LooseNumber *number)
{
    char plain[LONGEST];
    int64_t value;
    *number = (LooseNumber){0};
    if (!plain_number(text, plain, number))
        return false;
    if (number_parse(plain, 3, false, &value) == NUMBER_OK) {
        number->value = value;
        number->whole = value % 1000 == 0 && strpbrk(plain, ".") == NULL;
        return true;
    }
    if (number_parse_money(plain, false, &value) != NUMBER_OK)
        return false;
    number->money = true;
    number->value = value * 10;
    return true;
}

/* ---- one column ---- */

static int compare_texts(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static size_t count_distinct(char **folded, size_t count)
{
    sort_stable(folded, count, sizeof *folded, compare_texts);
    size_t distinct = count > 0;
    for (size_t i = 1; i < count; i++)
        distinct += strcmp(folded[i - 1], folded[i]) != 0;
    return distinct;
}

static void look_at_number(const LooseNumber *number, ColumnLook *look)
{
    look->numbers++;
    look->whole += number->whole;
    look->signs += number->money;
    look->decimals += number->two_decimals;
    look->zeros += number->value == 0;
    look->large += number->value > 100000;
}

bool is_score(const char *text, LooseNumber *number)
{
    const size_t end = score_end(text);
    char *part = mem_strndup(text, end);
    const bool found = text[end] != '\0' && loose_number(part, number) && !number->money;
    mem_free(part);
    return found;
}

/* Those that are out of different sums are none. */
static void look_at_score(const char *text, ColumnLook *look)
{
    if (look->score == NULL)
        look->score = text;
    if (scores_alike(look->score, text))
        look->scores++;
}

/* order NULL: what may be dates is not read as such. */
static void look_at_cell(const char *text, const DateOrder *order, ColumnLook *look)
{
    LooseNumber number;
    int day;
    look->filled++;
    look->letters += text_characters(text, strlen(text));
    if (order != NULL && date_parse_by(text, *order, &day))
        look->dates++;
    else if (loose_number(text, &number))
        look_at_number(&number, look);
    else if (is_score(text, &number))
        look_at_score(text, look);
    else if (counted_copies(text) > 0)
        look->counted++;
    else if (word_says_yes(text) >= 0)
        look->yes_no++;
}

void column_look(const Sheet *sheet, size_t column, ColumnLook *look)
{
    char **folded = mem_new(sheet->rows, sizeof *folded);
    Diags unread;
    DateOrder order;
    diags_init(&unread);
    const bool ordered = sheet_date_order(sheet, (int)column, &order, &unread);
    diags_release(&unread);
    *look = (ColumnLook){0};
    for (size_t i = 0; i < sheet->rows; i++) {
        const char *text = sheet->row[i].cell[column].text;
        if (text[0] == '\0')
            continue;
        if (word_is_nothing(text)) {
            look->nothing++;
            continue;
        }
        folded[look->filled] = text_fold(text);
        look_at_cell(text, ordered ? &order : NULL, look);
    }
    const size_t filled = look->filled;
    look->distinct = count_distinct(folded, filled);
    for (size_t i = 0; i < filled; i++)
        mem_free(folded[i]);
    mem_free(folded);
}

/* ---- what it may be ---- */

/* Percent of the filled cells. */
static int share(const ColumnLook *look, size_t count)
{
    return look->filled == 0 ? 0 : (int)(count * 100 / look->filled);
}

static int words_share(const ColumnLook *look)
{
    return share(look, look->filled - look->numbers - look->counted - look->dates);
}

static int average_letters(const ColumnLook *look)
{
    return look->filled == 0 ? 0 : (int)(look->letters / look->filled);
}

/* How much the texts repeat: 100 if one text fills all, 0 if all differ. */
static int repeats(const ColumnLook *look)
{
    return look->filled < 2 ? 0 : (int)((look->filled - look->distinct) * 100 / (look->filled - 1));
}

static int fits_name(const ColumnLook *look, size_t rows)
{
    if (look->filled * 100 < rows * 60 || words_share(look) < 60)
        return 0;
    const int length = average_letters(look);
    return (100 - repeats(look)) * (length >= 3 && length <= 45 ? 100 : 40) / 100;
}

static int fits_price(const ColumnLook *look)
{
    const int numbers = share(look, look->numbers);
    if (numbers < 50)
        return 0;
    const int money =
        share(look, look->signs) > share(look, look->decimals) ? share(look, look->signs) : share(look, look->decimals);
    return 50 + money / 2;
}

static int fits_whole(const ColumnLook *look, bool counts)
{
    const int whole = share(look, look->whole + look->counted + (counts ? look->yes_no : 0));
    return whole < 60 || share(look, look->large) > 10 ? whole / 4 : whole;
}

/* A few words again and again, as scores in words are. */
static bool holds_grades(const ColumnLook *look)
{
    return look->numbers == 0 && look->yes_no == 0 && look->dates == 0 && look->distinct <= GRADES_MOST &&
           2 * look->filled >= 3 * look->distinct;
}

static int fits_tags(const ColumnLook *look)
{
    return words_share(look) < 60 || average_letters(look) > 120 ? 0 : 40 + repeats(look) * 3 / 10;
}

int look_fits(const ColumnLook *look, size_t rows, ColumnField field)
{
    if (look->filled == 0) /* says nothing against it */
        return 30;
    const int numbers = share(look, look->numbers), words = words_share(look);
    switch (field) {
    case HOLDS_NAME: return fits_name(look, rows);
    case HOLDS_COLOURS: return words < 70 || average_letters(look) > 40 ? 0 : 30 + repeats(look) * 7 / 10;
    case HOLDS_KIND: return words < 70 || average_letters(look) > 60 ? 0 : 30 + repeats(look) * 6 / 10;
    case HOLDS_COST: return fits_whole(look, false);
    case HOLDS_POWER:
        if (look->scores > 0 && look->numbers == 0)
            return share(look, look->scores) < 90 ? 0 : 100;
        return holds_grades(look) ? words / 2 : numbers < 60 || look->signs > 0 ? 0 : numbers;
    case HOLDS_PRICE:
    case HOLDS_LOW:
    case HOLDS_HIGH:
    case HOLDS_PAID: return fits_price(look);
    case HOLDS_TAGS: return fits_tags(look);
    case HOLDS_ENABLES:
    case HOLDS_PAYS_OFF: return look->yes_no * 2 > look->filled ? 0 : fits_tags(look);
    case HOLDS_TEXT: return words < 70 ? 0 : average_letters(look) > 30 ? 90 : 40;
    case HOLDS_COPIES:
    case HOLDS_STOCK:
    case HOLDS_CHOSEN:
    case HOLDS_OWNED: return fits_whole(look, true);
    case HOLDS_DATE: return share(look, look->dates);
    case HOLDS_CURRENCY:
    case HOLDS_SHOP:
    case HOLDS_CONDITION:
    case HOLDS_LANGUAGE:
    case HOLDS_ROLE: return words < 90 ? 0 : repeats(look);
    case HOLDS_STATUS: return words < 50 ? 0 : 100; /* one card that is to be kept is enough */
    case HOLDS_WEIGHT: return numbers;
    case HOLDS_OWN: break;
    }
    return 50;
}
