/* workbook.c - which file it is, which of its sheets is meant. */
#include "cards/workbook/workbook.h"

#include <string.h>

#include "base/text.h"
#include "cards/sheet/header_words.h"
#include "cards/workbook/book.h"

/* ---- what kind of file ---- */

/* Compound File Binary Format, 2.2: old workbooks, and new ones with a password. */
#define OLD_FILE "\xD0\xCF\x11\xE0"

static bool begins(const char *bytes, size_t length, const char *with)
{
    return length >= strlen(with) && memcmp(bytes, with, strlen(with)) == 0;
}

static bool is_web_page(const char *bytes, size_t length)
{
    static const char *const first[] = {"<!doctype", "<!DOCTYPE", "<html", "<HTML", "<?xml", "<table", "<TABLE"};
    const size_t mark = begins(bytes, length, "\xEF\xBB\xBF") ? 3 : 0;
    for (size_t k = 0; k < sizeof first / sizeof *first; k++)
        if (begins(bytes + mark, length - mark, first[k]))
            return true;
    return false;
}

bool workbook_is(const char *bytes, size_t length)
{
    return archive_is(bytes, length) || begins(bytes, length, OLD_FILE) || is_web_page(bytes, length);
}

/* "EncryptedPackage" in UTF-16 names the stream that holds a workbook with a password ([MS-OFFCRYPTO] 2.3.4.4). */
static bool is_locked(const char *bytes, size_t length)
{
    static const char word[] = "E\0n\0c\0r\0y\0p\0t\0e\0d\0P\0a\0c\0k\0a\0g\0e";
    return memmem(bytes, length, word, sizeof word) != NULL;
}

static bool refuse(const char *file, const char *what, Diags *diags)
{
    diag_error(diags, (SourcePos){.file = file}, "found %s", what);
    return false;
}

static bool refuse_old(const WorkbookFile *file, const char *name, Diags *diags)
{
    if (!begins(file->bytes, file->length, OLD_FILE))
        return refuse(name,
                      "a web page or XML under the name of a sheet, expected .xlsx, .ods or CSV: open it in a "
                      "spreadsheet program and save it as .xlsx",
                      diags);
    if (is_locked(file->bytes, file->length))
        return refuse(name, "a workbook with a password, expected one without: save it without", diags);
    return refuse(name,
                  "an old kind of file (.xls, or no workbook at all), expected .xlsx, .ods or CSV: save it as .xlsx",
                  diags);
}

static bool open_book(Book *book, Diags *diags)
{
    if (archive_has(book->archive, "content.xml"))
        return ods_open(book, diags);
    if (archive_has(book->archive, "xl/workbook.bin"))
        return refuse(book->file, "a binary workbook (.xlsb), expected .xlsx, .ods or CSV: save it as .xlsx", diags);
    if (archive_has(book->archive, "_rels/.rels") || archive_has(book->archive, "xl/workbook.xml"))
        return xlsx_open(book, diags);
    return refuse(book->file, "a packed archive that is no workbook, expected .xlsx, .ods or CSV", diags);
}

/* ---- for the readers ---- */

bool book_add_sheet(Book *book, BookSheet sheet, Diags *diags)
{
    if (book->sheets == BOOK_MAX_SHEETS) {
        diag_error(diags, (SourcePos){.file = book->file}, "found a workbook with more than %d sheets, expected fewer",
                   BOOK_MAX_SHEETS);
        return false;
    }
    if (book->sheet == NULL)
        book->sheet = arena_alloc(book->arena, BOOK_MAX_SHEETS, sizeof *book->sheet);
    book->sheet[book->sheets++] = sheet;
    return true;
}

void book_add_cell(Xml *xml, Grid *grid, SourcePos at, const char *text)
{
    const GridStatus status = grid_add(grid, at.line, at.column, text);
    if (status == GRID_ADDED)
        return;
    diag_error(xml->diags, at, "%s",
               status == GRID_FULL ? "found more cells or text than a sheet may hold, expected less"
                                   : "found a cell out of its order: the workbook is damaged; save it once more");
    xml_fail(xml);
}

/* ---- which sheet ---- */

typedef struct {
    const Book *book;
    Arena *arena; /* of the sheet */
    const SheetUse *use;
    SourcePos from;
    Diags *diags;
} Choice;

static const char *sheet_path(Arena *arena, const Book *book, size_t sheet)
{
    return arena_printf(arena, "%s#%s", book->file, book->sheet[sheet].name);
}

typedef enum {
    SHEET_READ,
    SHEET_WRONG, /* its cells are; the header is there, if there is any */
    SHEET_BROKEN /* it cannot be read */
} SheetStatus;

/* Errors in diags unless it is read. */
static SheetStatus read_sheet(const Book *book, size_t index, Arena *arena, Sheet *sheet, Diags *diags)
{
    const size_t errors = diags->errors;
    Grid grid = {0};
    *sheet = (Sheet){.path = sheet_path(arena, book, index)};
    const bool whole = book->read_sheet(book, index, arena, sheet->path, &grid, diags);
    if (whole)
        grid_to_sheet(&grid, arena, sheet, diags);
    grid_release(&grid);
    return !whole ? SHEET_BROKEN : diags->errors > errors ? SHEET_WRONG : SHEET_READ;
}

#define NAMED_MOST 20

/* The names of the sheets that are shown: "'A', 'B' and 3 more". */
static const char *names_of(const Choice *choice)
{
    const Book *book = choice->book;
    const char *list = "";
    size_t shown = 0;
    for (size_t k = 0; k < book->sheets; k++)
        if (!book->sheet[k].hidden && shown++ < NAMED_MOST)
            list = arena_printf(choice->arena, "%s%s'%s'", list, list[0] != '\0' ? ", " : "", book->sheet[k].name);
    return shown <= NAMED_MOST ? list : arena_printf(choice->arena, "%s and %zu more", list, shown - NAMED_MOST);
}

static bool find_named(const Choice *choice, const char *name, size_t *found)
{
    const Book *book = choice->book;
    const char **names = mem_new(book->sheets, sizeof *names);
    for (size_t k = 0; k < book->sheets; k++)
        names[k] = book->sheet[k].name;
    long index = -1;
    for (size_t k = 0; k < book->sheets && index < 0; k++)
        index = strcmp(names[k], name) == 0 ? (long)k : -1;
    if (index < 0)
        index = text_find(name, names, book->sheets);
    const char *nearest = index < 0 ? text_nearest(name, names, book->sheets) : NULL;
    if (index < 0 && nearest != NULL)
        diag_error(choice->diags, choice->from, "found no sheet '%s' in '%s'; did you mean '%s'?", name, book->file,
                   nearest);
    else if (index < 0)
        diag_error(choice->diags, choice->from, "found no sheet '%s' in '%s', which has %s", name, book->file,
                   names_of(choice));
    mem_free(names);
    *found = (size_t)index;
    return index >= 0;
}

/* How well a sheet fits: it is called so, then more of its headers are of use, then fewer others. */
typedef struct {
    int known; /* negative: not at all */
    bool called;
    size_t others;
    bool written; /* by us: nobody has to be told which sheet it is */
} Fit;

/* What is wrong with its cells is told where it is the one; a sheet that is broken may be any. False with errors. */
static bool find_fit(const Choice *choice, size_t index, Fit *fit)
{
    Arena *arena = arena_new();
    Diags quiet;
    Sheet sheet;
    diags_init(&quiet);
    const bool good = read_sheet(choice->book, index, arena, &sheet, &quiet) != SHEET_BROKEN;
    for (size_t k = 0; k < quiet.count && !good; k++)
        if (quiet.item[k].kind == DIAG_ERROR)
            diag_repeat(choice->diags, &quiet.item[k], "");
    diags_release(&quiet);
    fit->known = sheet.header.cells == 0 ? -1 : 0;
    if (fit->known == 0)
        fit->known = choice->use->fits(&sheet, choice->use->context);
    fit->called =
        choice->use->called != NULL && choice->use->called(choice->book->sheet[index].name, choice->use->context);
    fit->written = sheet_is_written(&sheet);
    fit->others = fit->known >= 0 ? sheet.header.cells - (size_t)fit->known : 0;
    arena_free(arena);
    return good;
}

static bool is_better(Fit a, Fit b)
{
    if (a.known < 0 || b.known < 0)
        return a.known > b.known;
    if (a.called != b.called)
        return a.called;
    return a.known != b.known ? a.known > b.known : a.others < b.others;
}

static bool is_equal(Fit a, Fit b)
{
    return a.known == b.known && a.called == b.called && a.others == b.others;
}

/* Of several sheets the one that fits best, told; none, or two alike, is an error. */
static bool find_fitting(const Choice *choice, size_t *found)
{
    const Book *book = choice->book;
    if (choice->use == NULL) {
        diag_error(choice->diags, choice->from,
                   "found several sheets in '%s', expected the name of one: '%s#%s'; it has %s", book->file, book->file,
                   book->sheet[*found].name, names_of(choice));
        return false;
    }
    const char *what = choice->use->what;
    Fit best = {.known = -1};
    size_t at = 0, rival = 0;
    for (size_t k = 0; k < book->sheets; k++) {
        Fit fit = {.known = -1};
        if (!book->sheet[k].hidden && !find_fit(choice, k, &fit))
            return false;
        if (is_better(fit, best)) {
            best = fit;
            at = rival = k;
        } else if (fit.known >= 0 && is_equal(fit, best)) {
            rival = k;
        }
    }
    *found = at;
    if (best.known < 0)
        diag_error(choice->diags, choice->from,
                   "found no sheet in '%s' whose headers say that it holds the %s; it has %s", book->file, what,
                   names_of(choice));
    else if (rival != at)
        diag_error(choice->diags, choice->from,
                   "found two sheets in '%s' that may hold the %s, '%s' and '%s'; expected one of them by its name: "
                   "'%s#%s'",
                   book->file, what, book->sheet[at].name, book->sheet[rival].name, book->file, book->sheet[at].name);
    else if (!best.written)
        diag_notice(choice->diags, (SourcePos){.file = book->file},
                    "the %s are read from its sheet '%s' (of %zu), as %s; '%s#%s' names it", what, book->sheet[at].name,
                    book->sheets, best.called ? "it is called" : "the headers say", book->file, book->sheet[at].name);
    return best.known >= 0 && rival == at;
}

static bool find_sheet(const Choice *choice, const char *name, size_t *found)
{
    const Book *book = choice->book;
    size_t shown = 0;
    *found = 0;
    for (size_t k = book->sheets; k-- > 0;)
        if (!book->sheet[k].hidden) {
            shown++;
            *found = k;
        }
    if (book->sheets == 0)
        return refuse(book->file, "a workbook without sheets, expected a table of cards", choice->diags);
    if (name != NULL)
        return find_named(choice, name, found);
    return shown == 1 || book->sheets == 1 || find_fitting(choice, found);
}

/* False with errors; closed in either case. */
static bool begin(Book *book, Arena *texts, const WorkbookFile *file, const char *name, Diags *diags)
{
    *book = (Book){.texts = texts, .file = name};
    if (!archive_is(file->bytes, file->length))
        return refuse_old(file, name, diags);
    book->arena = arena_new();
    book->archive = archive_open(file->bytes, file->length, name, diags);
    return book->archive != NULL && open_book(book, diags);
}

static void end(Book *book)
{
    archive_close(book->archive);
    mem_free(book->shared);
    arena_free(book->arena);
}

bool workbook_read(Arena *arena, const WorkbookFile *file, const SheetUse *use, Sheet *sheet, Diags *diags)
{
    Book book;
    const Choice choice = {.book = &book, .arena = arena, .use = use, .from = file->from, .diags = diags};
    size_t index = 0;
    const bool good = begin(&book, arena, file, sheet->path, diags) && find_sheet(&choice, file->sheet, &index) &&
                      read_sheet(&book, index, arena, sheet, diags) == SHEET_READ;
    end(&book);
    return good;
}

const char **workbook_paths(Arena *arena, const WorkbookFile *file, const char *name, size_t *count, Diags *diags)
{
    Book book;
    const char **path = NULL;
    *count = 0;
    if (begin(&book, arena, file, name, diags)) {
        path = arena_alloc(arena, book.sheets, sizeof *path);
        for (size_t k = 0; k < book.sheets; k++)
            if (!book.sheet[k].hidden)
                path[(*count)++] = sheet_path(arena, &book, k);
    }
    end(&book);
    return path;
}
