/* fuzz_workbook.c - the committed workbooks, changed at random and read, again and again: nothing may crash, hang or
 * leak, and a refusal has an error (make fuzz; built with sanitizers).
 *
 *   fuzz_workbook SECONDS [SEED]
 *
 * Three kinds of change: bytes of the archive as it is; bytes of a part, packed anew; and words of the formats in the
 * place of others in a part. What is wrong is printed with the seed of the single try; SEED begins there. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/files/file.h"
#include "base/text.h"
#include "cards/workbook/archive.h"
#include "cards/workbook/workbook.h"
#include "support/packed.h"
#include "support/run.h"

#define DATA "tests/data/workbooks"
#define MAX_PARTS 40
#define MAX_BOOKS 60

typedef struct {
    char *path;
    char *bytes;
    size_t length;
    PackedPart part[MAX_PARTS];
    size_t parts;
} Seed;

typedef struct {
    Arena *arena;
    Seed seed[MAX_BOOKS];
    size_t seeds;
    unsigned long tries, read, refused;
} Fuzz;

static const char *const words[] = {
    "<c>",
    "</c>",
    "<row>",
    "</row>",
    "<v>",
    "</v>",
    "<t>",
    "<f>",
    "<is>",
    "<si>",
    "</si>",
    "r='1048576'",
    "r='XFD1'",
    "t='s'",
    "t='inlineStr'",
    "t='d'",
    "t='b'",
    "s='99999'",
    "<rPh>",
    "<mergeCell ref='A1:XFD1048576'/>",
    "hidden='1'",
    "<sheetData>",
    "</sheetData>",
    "_x000D_",
    "_x0000_",
    "1e999",
    "-1",
    "4294967296",
    "0.1",
    "2958466",
    "<table:table>",
    "</table:table>",
    "<table:table-row table:number-rows-repeated='1048576'>",
    "</table:table-row>",
    "<text:s text:c='99999999'/>",
    "<table:table-cell table:number-columns-repeated='16384' office:value-type='float' office:value='1'/>",
    "<text:p>",
    "<office:annotation>",
    "table:number-columns-spanned='99999'",
    "table:number-rows-spanned='2147483647'",
    "<!--",
    "]]>",
    "<!DOCTYPE x>",
    "&amp;",
    "&#0;",
    "&#xD800;",
    "\xFF",
    "\xEF\xBB\xBF",
    "numFmtId='14'",
    "formatCode='yy'",
    "Target='../../x'",
    "Target='/'",
    "date1904='1'",
    "state='hidden'",
    "\"",
    "'",
    ">",
    "<",
    "/",
    "\n"};

/* ---- what is changed ---- */

static bool take(void *context, const char *piece, size_t length, bool last)
{
    (void)last;
    text_add_n(context, piece, length);
    return true;
}

static void load(Fuzz *fuzz, const char *folder, const char *name)
{
    static const char *const part[] = {"_rels/.rels",          "xl/workbook.xml",      "xl/_rels/workbook.xml.rels",
                                       "xl/styles.xml",        "xl/sharedStrings.xml", "content.xml",
                                       "META-INF/manifest.xml"};
    Seed *seed = &fuzz->seed[fuzz->seeds++];
    Diags diags;
    diags_init(&diags);
    seed->path = arena_printf(fuzz->arena, "%s/%s", folder, name);
    seed->bytes = file_read(fuzz->arena, seed->path, (SourcePos){0}, &seed->length, &diags);
    Archive *archive = archive_open(seed->bytes, seed->length, seed->path, &diags);
    for (size_t k = 0; k < sizeof part / sizeof *part + 9; k++) {
        const size_t known = sizeof part / sizeof *part;
        const char *member =
            k < known ? part[k] : arena_printf(fuzz->arena, "xl/worksheets/sheet%zu.xml", k - known + 1);
        Text bytes = {0};
        if (!archive_has(archive, member) || !archive_unpack(archive, member, take, &bytes, &diags))
            continue;
        seed->part[seed->parts++] = (PackedPart){
            .name = member, .bytes = arena_strndup(fuzz->arena, bytes.data, bytes.length), .length = bytes.length};
        text_release(&bytes);
    }
    archive_close(archive);
    diags_release(&diags);
}

static void load_folder(Fuzz *fuzz, const char *folder)
{
    struct dirent **entry;
    const int count = scandir(folder, &entry, NULL, alphasort);
    for (int k = 0; k < count; k++) {
        const char *name = entry[k]->d_name, *dot = strrchr(name, '.');
        if (dot != NULL && (strcmp(dot, ".xlsx") == 0 || strcmp(dot, ".ods") == 0) && fuzz->seeds < MAX_BOOKS)
            load(fuzz, folder, name);
        free(entry[k]);
    }
    free(entry);
}

/* ---- changes ---- */

static size_t somewhere(Dice *dice, size_t length)
{
    return length == 0 ? 0 : (size_t)dice_roll(dice, 0, (int)length - 1);
}

/* The bytes with `size` of them from `at` on replaced. */
static void splice(Text *text, size_t at, size_t size, const char *with, size_t length)
{
    Text result = {0};
    size = at + size > text->length ? text->length - at : size;
    text_add_n(&result, text_cstr(text), at);
    text_add_n(&result, with, length);
    text_add_n(&result, text_cstr(text) + at + size, text->length - at - size);
    text_release(text);
    *text = result;
}

static void change(Text *text, Dice *dice)
{
    const size_t at = somewhere(dice, text->length);
    const char *word = words[somewhere(dice, sizeof words / sizeof *words)];
    char byte = (char)dice_roll(dice, 0, 255);
    switch (dice_roll(dice, 0, 5)) {
    case 0: splice(text, at, 1, &byte, 1); break;
    case 1: splice(text, at, (size_t)dice_roll(dice, 1, 60), "", 0); break;
    case 2: splice(text, at, 0, word, strlen(word)); break;
    case 3: splice(text, at, (size_t)dice_roll(dice, 1, 20), word, strlen(word)); break;
    case 4: { /* a piece from elsewhere */
        const size_t from = somewhere(dice, text->length), size = (size_t)dice_roll(dice, 1, 200);
        Text piece = {0};
        text_add_n(&piece, text_cstr(text) + from, from + size > text->length ? text->length - from : size);
        splice(text, at, 0, text_cstr(&piece), piece.length);
        text_release(&piece);
        break;
    }
    default: /* before a tag */
        for (size_t k = at; k < text->length; k++)
            if (text->data[k] == '<') {
                splice(text, k, 0, word, strlen(word));
                break;
            }
    }
}

static char *changed_archive(const Seed *seed, Dice *dice, size_t *length)
{
    Text bytes = {0};
    text_add_n(&bytes, seed->bytes, seed->length);
    for (int k = dice_roll(dice, 1, 6); k > 0; k--) {
        const char byte = (char)dice_roll(dice, 0, 255);
        /* Half of the changes go to the directory at the end. */
        const size_t tail = bytes.length < 2000 ? bytes.length : 2000;
        const size_t at =
            dice_chance(dice, 50) ? somewhere(dice, bytes.length) : bytes.length - tail + somewhere(dice, tail);
        splice(&bytes, at, dice_chance(dice, 90) ? 1 : (size_t)dice_roll(dice, 1, 300), &byte, 1);
    }
    char *copy = malloc(bytes.length + 1);
    memcpy(copy, text_cstr(&bytes), bytes.length + 1);
    *length = bytes.length;
    text_release(&bytes);
    return copy;
}

static char *changed_part(const Seed *seed, Dice *dice, size_t *length)
{
    PackedPart part[MAX_PARTS];
    Text text = {0};
    memcpy(part, seed->part, sizeof part);
    PackedPart *which = &part[somewhere(dice, seed->parts)];
    text_add_n(&text, which->bytes, which->length);
    for (int k = dice_chance(dice, 60) ? 1 : dice_roll(dice, 2, 8); k > 0; k--)
        change(&text, dice);
    which->bytes = text_cstr(&text);
    which->length = text.length;
    for (size_t k = 0; k < seed->parts; k++)
        part[k].stored = dice_chance(dice, 80); /* faster */
    if (dice_chance(dice, 3))
        which->said_size = (uint32_t)dice_roll(dice, 1, 1 << 30);
    char *bytes = packed_make(part, seed->parts, length);
    text_release(&text);
    return bytes;
}

/* ---- one try ---- */

static int any_name(const Sheet *sheet, const void *nothing)
{
    (void)nothing;
    return sheet_column(sheet, "name") >= 0 ? (int)sheet->header.cells : -1;
}

static void report(const Fuzz *fuzz, uint64_t seed, const char *what)
{
    fprintf(stderr, "seed %llu, try %lu: %s\n", (unsigned long long)seed, fuzz->tries, what);
    abort();
}

/* A sheet that was read keeps its promises. */
static void judge(const Fuzz *fuzz, uint64_t seed, const Sheet *sheet)
{
    for (size_t r = 0; r < sheet->rows; r++) {
        if (sheet->row[r].cells != sheet->header.cells)
            report(fuzz, seed, "a row of another width");
        for (size_t c = 0; c < sheet->row[r].cells; c++) {
            const char *text = sheet->row[r].cell[c].text;
            if (text == NULL || text_utf8_error(text, strlen(text)) != strlen(text))
                report(fuzz, seed, "a cell that is no text");
        }
    }
}

static void one(Fuzz *fuzz, uint64_t number)
{
    Dice dice;
    size_t length;
    dice_seed(&dice, number);
    const Seed *seed = &fuzz->seed[somewhere(&dice, fuzz->seeds)];
    char *bytes = dice_chance(&dice, 25) ? changed_archive(seed, &dice, &length) : changed_part(seed, &dice, &length);
    Arena *arena = arena_new();
    Diags diags;
    Sheet sheet = {.path = "list.xlsx"};
    diags_init(&diags);
    const SheetUse use = {.what = "cards", .fits = any_name};
    const WorkbookFile file = {.bytes = bytes, .length = length, .sheet = dice_chance(&dice, 20) ? "cards" : NULL};
    const clock_t before = clock();
    if (workbook_read(arena, &file, dice_chance(&dice, 80) ? &use : NULL, &sheet, &diags)) {
        fuzz->read++;
        judge(fuzz, number, &sheet);
    } else {
        fuzz->refused++;
        if (diags.errors == 0)
            report(fuzz, number, "refused without an error");
    }
    if ((clock() - before) / CLOCKS_PER_SEC > 60)
        report(fuzz, number, "more than a minute");
    fuzz->tries++;
    diags_release(&diags);
    arena_free(arena);
    free(bytes);
}

int main(int count, char **argument)
{
    const double seconds = count > 1 ? atof(argument[1]) : 10;
    uint64_t number = count > 2 ? strtoull(argument[2], NULL, 10) : 1;
    Fuzz fuzz = {.arena = arena_new()};
    load_folder(&fuzz, DATA);
    load_folder(&fuzz, DATA "/from-csv");
    if (fuzz.seeds == 0) {
        fprintf(stderr, "found no workbooks in %s\n", DATA);
        return 1;
    }
    const time_t end = time(NULL) + (time_t)seconds;
    do
        one(&fuzz, number++);
    while (time(NULL) < end);
    printf("%lu tries from %zu workbooks: %lu read, %lu refused, none wrong; the next seed is %llu\n", fuzz.tries,
           fuzz.seeds, fuzz.read, fuzz.refused, (unsigned long long)number);
    arena_free(fuzz.arena);
    return 0;
}
