/* book_out.c - see book_out.h; written by libxlsxwriter.
 *
 * What is a number is decided by columns: one that holds numbers only is a column of numbers, shown with as many
 * decimals as are written; all others are text, so that a code such as 007 stays what it is. The library writes files,
 * so there is one for a moment. */
#include "report/sheet/book_out.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include "base/files/file.h"
#include "base/files/writable.h"
#include "cards/sheet/csv.h"
#include "report/sheet/book_check.h"

#define MADE 1767225600 /* 2026-01-01: the same pool makes the same file */
#define WIDEST 60
#define NARROWEST 6
#define DIGITS 15 /* that a number of a workbook holds */
#define LONGEST 32767
#define DECIMALS 4
#define BOOK_BYTES ((size_t)8 << 20) /* of memory for any workbook ... */
#define BYTES_FOR_EACH 100           /* ... and for each byte of the sheets as text */

typedef enum { HOLDS_TEXT, HOLDS_NUMBERS, HOLDS_MONEY, HOLDS_DAYS } Holding;

typedef struct {
    Holding holding;
    int decimals;
    size_t width;
} Column;

typedef struct {
    const char *path;
    Diags *diags;
    lxw_workbook *book;
    lxw_format *header, *day, *number[DECIMALS], *money;
} Book;

bool is_book_path(const char *path)
{
    const size_t length = path != NULL ? strlen(path) : 0;
    return length > 5 && strcasecmp(path + length - 5, ".xlsx") == 0;
}

/* ---- columns ---- */

/* "-12.50", no zeros before it, not more digits than a number holds. Its decimals, or -1. */
static int number_decimals(const char *text, bool commas)
{
    const char *c = text + (*text == '-');
    const size_t whole = strspn(c, "0123456789");
    if (whole == 0 || (whole > 1 && *c == '0'))
        return -1;
    c += whole;
    const bool point = *c == '.' || (commas && *c == ',');
    const size_t decimals = point ? strspn(c + 1, "0123456789") : 0;
    c += point ? 1 + decimals : 0;
    return *c != '\0' || (point && decimals == 0) || decimals >= DECIMALS || whole + decimals > DIGITS ? -1
                                                                                                       : (int)decimals;
}

/* "2026-03-31" */
static bool read_day(const char *text, lxw_datetime *day)
{
    int end = 0;
    *day = (lxw_datetime){0};
    return strlen(text) == 10 && sscanf(text, "%4d-%2d-%2d%n", &day->year, &day->month, &day->day, &end) == 3 &&
           end == 10 && day->year >= 1900 && day->month >= 1 && day->month <= 12 && day->day >= 1 && day->day <= 31;
}

/* The columns of ours that hold money, whatever the model calls its own. */
static bool is_money(const char *header)
{
    static const char *const money[] = {"price", "low", "high", "each", "sum", "paid", "spend", "cap"};
    return text_find(header, money, sizeof money / sizeof *money) >= 0;
}

static Column look_at(const Sheet *sheet, const BookPage *page, size_t column)
{
    const char *header = sheet->header.cell[column].text;
    const bool commas = page->separator != ',';
    char *names = text_fold(page->names != NULL ? page->names : "name");
    bool numbers = !text_folds_to(header, names), days = numbers, any = false;
    Column look = {.width = text_width(header) + 3}; /* and the filter's mark */
    mem_free(names);
    for (size_t row = 0; row < sheet->rows; row++) {
        const char *text = sheet->row[row].cell[column].text;
        const size_t width = text_width(text);
        lxw_datetime day;
        look.width = width > look.width ? width : look.width;
        if (text[0] == '\0')
            continue;
        any = true;
        const int decimals = numbers ? number_decimals(text, commas) : -1;
        numbers = decimals >= 0;
        days = days && read_day(text, &day);
        look.decimals = decimals > look.decimals ? decimals : look.decimals;
    }
    if (any && (numbers || days))
        look.holding = days ? HOLDS_DAYS : is_money(header) ? HOLDS_MONEY : HOLDS_NUMBERS;
    look.width = look.width > WIDEST ? WIDEST : look.width < NARROWEST ? NARROWEST : look.width;
    return look;
}

/* ---- cells ---- */

static double number_of(const char *text)
{
    char copy[DIGITS + 8];
    snprintf(copy, sizeof copy, "%s", text);
    char *comma = strchr(copy, ',');
    if (comma != NULL)
        *comma = '.';
    return strtod(copy, NULL);
}

/* XML has no way to say U+FFFE and U+FFFF (1.0, 2.2). */
static bool is_sayable(const char *text)
{
    return strstr(text, "\xEF\xBF\xBE") == NULL && strstr(text, "\xEF\xBF\xBF") == NULL;
}

/* Always false. */
static bool report_cell(const Book *book, const char *text, lxw_error error)
{
    char excerpt[TEXT_EXCERPT];
    if (error == LXW_ERROR_MEMORY_MALLOC_FAILED)
        mem_exhausted();
    text_excerpt(excerpt, text);
    if (error == LXW_ERROR_MAX_STRING_LENGTH_EXCEEDED)
        diag_error(book->diags, (SourcePos){0},
                   "cannot write '%s': the cell '%s' holds more than %d characters, which no workbook can; a name that "
                   "ends in .csv can",
                   book->path, excerpt, LONGEST);
    else if (!is_sayable(text))
        diag_error(book->diags, (SourcePos){0},
                   "cannot write '%s': the cell '%s' holds U+FFFE or U+FFFF, which no workbook can; a name that ends "
                   "in .csv can",
                   book->path, excerpt);
    else
        diag_error(book->diags, (SourcePos){0}, "cannot write '%s': at the cell '%s': %s", book->path, excerpt,
                   lxw_strerror(error));
    return false;
}

/* A workbook says "_x0041_" for a letter (ECMA-376 part 1, 22.4.2.4, as Excel does in all texts); where the user's text
 * has such a piece its first character is said so. Freed with mem_free. */
static char *with_escapes(const char *text)
{
    Text escaped = {0};
    for (const char *c = text; *c != '\0'; c++)
        if (strncmp(c, "_x", 2) == 0 && strspn(c + 2, "0123456789ABCDEFabcdef") >= 4 && c[6] == '_')
            text_add(&escaped, "_x005F_");
        else
            text_add_char(&escaped, *c);
    char *copy = mem_strdup(text_cstr(&escaped));
    text_release(&escaped);
    return copy;
}

static lxw_error write_text(lxw_worksheet *into, lxw_row_t row, lxw_col_t column, const char *text, lxw_format *format)
{
    if (!is_sayable(text))
        return LXW_ERROR_PARAMETER_VALIDATION;
    if (strstr(text, "_x") == NULL)
        return worksheet_write_string(into, row, column, text, format);
    char *escaped = with_escapes(text);
    const lxw_error error = worksheet_write_string(into, row, column, escaped, format);
    mem_free(escaped);
    return error;
}

static bool add_cell(const Book *book, lxw_worksheet *into, lxw_row_t row, lxw_col_t column, const char *text,
                     const Column *look)
{
    lxw_datetime day;
    lxw_error error = LXW_NO_ERROR;
    if (text[0] == '\0')
        return true;
    if (look->holding == HOLDS_DAYS && read_day(text, &day))
        error = worksheet_write_datetime(into, row, column, &day, book->day);
    else if (look->holding == HOLDS_NUMBERS || look->holding == HOLDS_MONEY)
        error = worksheet_write_number(into, row, column, number_of(text),
                                       look->holding == HOLDS_MONEY ? book->money : book->number[look->decimals]);
    else
        error = write_text(into, row, column, text, NULL);
    if (error == LXW_NO_ERROR)
        return true;
    return report_cell(book, text, error);
}

static bool add_sheet(const Book *book, const BookPage *page, const Sheet *sheet)
{
    lxw_worksheet *into = workbook_add_worksheet(book->book, page->title);
    bool good = into != NULL;
    for (size_t c = 0; c < sheet->header.cells && good; c++) {
        const Column look = look_at(sheet, page, c);
        const lxw_col_t column = (lxw_col_t)c;
        worksheet_set_column(into, column, column, (double)look.width, NULL);
        const char *header = sheet->header.cell[c].text;
        const lxw_error error = header[0] != '\0' ? write_text(into, 0, column, header, book->header) : LXW_NO_ERROR;
        good = error == LXW_NO_ERROR || report_cell(book, header, error);
        for (size_t row = 0; row < sheet->rows && good; row++)
            good = add_cell(book, into, (lxw_row_t)row + 1, column, sheet->row[row].cell[c].text, &look);
    }
    worksheet_freeze_panes(into, 1, 0);
    if (sheet->rows > 0)
        worksheet_autofilter(into, 0, 0, (lxw_row_t)sheet->rows, (lxw_col_t)(sheet->header.cells - 1));
    return good;
}

/* The page's text, read as any sheet. */
static bool read_page(Arena *arena, const Book *book, const BookPage *page, Sheet *sheet)
{
    Text text = {0};
    *sheet = (Sheet){.path = book->path};
    const char *rest = text_cstr(&page->text);
    text_printf(&text, "sep=%c\r\n", page->separator);
    text_add(&text, strncmp(rest, "\xEF\xBB\xBF", 3) == 0 ? rest + 3 : rest);
    const Decoded decoded = {.bytes = text.data, .length = text.length};
    const bool good = csv_read(arena, &decoded, sheet, book->diags);
    text_release(&text);
    return good;
}

/* ---- the file ---- */

static void add_formats(Book *book)
{
    static const char *const number[DECIMALS] = {"0", "0.0", "0.00", "0.000"};
    lxw_doc_properties made = {.created = MADE};
    workbook_set_properties(book->book, &made);
    book->header = workbook_add_format(book->book);
    book->day = workbook_add_format(book->book);
    book->money = workbook_add_format(book->book);
    format_set_bold(book->header);
    format_set_num_format(book->day, "yyyy-mm-dd");
    format_set_num_format(book->money, "#,##0.00");
    for (int k = 0; k < DECIMALS; k++) {
        book->number[k] = workbook_add_format(book->book);
        format_set_num_format(book->number[k], number[k]);
    }
}

/* The library does not always look whether it gets the memory that it asks for; so we ask for as much first. */
static void need_memory(const BookPage *page, size_t pages)
{
    size_t bytes = BOOK_BYTES;
    for (size_t k = 0; k < pages; k++)
        bytes += page[k].text.length * BYTES_FOR_EACH;
    mem_free(mem_new(bytes, 1));
}

static bool write_book(Book *book, const BookPage *page, const Sheet *sheet, size_t pages, const char *file)
{
    bool good = true;
    need_memory(page, pages);
    book->book = workbook_new(file);
    if (book->book == NULL)
        mem_exhausted();
    add_formats(book);
    for (size_t k = 0; k < pages && good; k++)
        good = add_sheet(book, &page[k], &sheet[k]);
    errno = 0;
    const lxw_error error = workbook_close(book->book);
    if (good && error != LXW_NO_ERROR && errno != 0) /* no room, most often: the library has a code of its own for it */
        target_unwritten(book->path, errno, book->diags);
    else if (good && error != LXW_NO_ERROR)
        diag_error(book->diags, (SourcePos){0}, "cannot write '%s': %s", book->path, lxw_strerror(error));
    return good && error == LXW_NO_ERROR;
}

static bool report_temporary(const Book *book, int error)
{
    char *reason = file_reason(error);
    diag_error(book->diags, (SourcePos){0}, "cannot write '%s': no room for temporary files: %s", book->path, reason);
    mem_free(reason);
    return false;
}

/* Always false. */
static bool report_damage(const Book *book, const char *folder)
{
    diag_error(book->diags, (SourcePos){0},
               "cannot write '%s': put together in '%s' it came out damaged, as it does where there is no room left; "
               "make room there, or name another folder with TMPDIR",
               book->path, folder);
    return false;
}

/* Written to a file in the folder, read back, and looked at. */
static bool make_book(Book *book, const BookPage *page, const Sheet *sheet, size_t pages, Text *out)
{
    Arena *arena = arena_new();
    const char *named = getenv("TMPDIR"), *folder = named != NULL && named[0] != '\0' ? named : "/tmp";
    char *file = arena_printf(arena, "%s/poolwright-XXXXXX", folder);
    const int descriptor = mkstemp(file);
    bool good = descriptor >= 0 || report_temporary(book, errno);
    if (good) {
        size_t length;
        close(descriptor);
        good = write_book(book, page, sheet, pages, file);
        const char *bytes = good ? file_read(arena, file, (SourcePos){0}, &length, book->diags) : NULL;
        if (bytes != NULL)
            text_add_n(out, bytes, length);
        unlink(file);
        good = bytes != NULL && (book_holds(out, page, sheet, pages) || report_damage(book, folder));
    }
    arena_free(arena);
    return good;
}

bool book_out(const BookPage *page, size_t pages, const char *path, Text *out, Diags *diags)
{
    Book book = {.path = path, .diags = diags};
    Arena *arena = arena_new();
    Sheet *sheet = arena_alloc(arena, pages, sizeof *sheet);
    sigset_t all, before;
    bool good = true;
    for (size_t k = 0; k < pages && good; k++)
        good = read_page(arena, &book, &page[k], &sheet[k]);
    sigfillset(&all); /* the file is gone before a signal ends the run */
    pthread_sigmask(SIG_BLOCK, &all, &before);
    good = good && make_book(&book, page, sheet, pages, out);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    arena_free(arena);
    return good;
}
