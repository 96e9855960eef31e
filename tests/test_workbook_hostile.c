/* test_workbook_hostile.c - archives and XML that mean harm: bombs, lies, endless nesting. All are refused with one
 * error, in bounded time and memory. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <cmocka.h>

#include "base/text.h"
#include "cards/workbook/archive.h"
#include "cards/workbook/workbook.h"
#include "support/packed.h"
#include "support/run.h"

#define SECONDS 20 /* of processor time for one file; all take a few */
#define MEGABYTES 700

static double processor_seconds(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return (double)usage.ru_utime.tv_sec + (double)usage.ru_utime.tv_usec / 1e6;
}

static long megabytes(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss >> 10;
}

static int any_sheet(const Sheet *sheet, const void *nothing)
{
    (void)sheet;
    (void)nothing;
    return 0;
}

/* One error with these words. The bytes are freed. */
static void refused(char *bytes, size_t length, const char *words)
{
    Arena *arena = arena_new();
    Diags diags;
    diags_init(&diags);
    Sheet sheet = {.path = "list.xlsx"};
    const WorkbookFile file = {.bytes = bytes, .length = length};
    const SheetUse use = {.what = "cards", .fits = any_sheet};
    const double before = processor_seconds();
    assert_false(workbook_read(arena, &file, &use, &sheet, &diags));
    assert_true(processor_seconds() - before < SECONDS);
    assert_true(sanitised() || megabytes() < MEGABYTES);
    char *text = diags_text(&diags);
    if (strstr(text, words) == NULL)
        fail_msg("found '%s', expected '%s'", text, words);
    assert_int_equal(diags.errors, 1);
    mem_free(text);
    diags_release(&diags);
    arena_free(arena);
    free(bytes);
}

static void refused_parts(const PackedPart *part, size_t parts, const char *words)
{
    size_t length;
    char *bytes = packed_make(part, parts, &length);
    refused(bytes, length, words);
}

static void refused_content(const char *content, size_t length, size_t times, const char *words)
{
    const PackedPart part = {.name = "content.xml", .bytes = content, .length = length, .times = times};
    refused_parts(&part, 1, words);
}

static void bombs(void **state)
{
    (void)state;
    char *blanks = malloc(1 << 20);
    memset(blanks, ' ', 1 << 20);
    refused_content(blanks, 1 << 20, 200, "unpacks to more than 250 times its size");
    /* Less tight, so that the size itself is too much: a few random letters in each megabyte. */
    Dice dice;
    dice_seed(&dice, 1);
    blanks[0] = '<';
    blanks[1] = '!';
    blanks[2] = blanks[3] = blanks[12003] = blanks[12004] = '-';
    blanks[12005] = '>';
    for (int k = 4; k < 12003; k++)
        blanks[k] = (char)dice_roll(&dice, 'a', 'z');
    refused_content(blanks, 1 << 20, 260, "found more than 256 MB when the workbook was unpacked");
    free(blanks);
}

static void entities(void **state)
{
    (void)state;
    Text doctype = {0}, sheet = {0};
    text_add(&doctype, "<!DOCTYPE x [<!ENTITY a0 'aaaaaaaaaa'>");
    for (int k = 1; k < 10; k++)
        text_printf(&doctype, "<!ENTITY a%d '&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;'>", k, k - 1, k - 1, k - 1, k - 1,
                    k - 1, k - 1, k - 1, k - 1);
    text_add(&doctype, "]><x>&a9;</x>");
    refused_content(doctype.data, doctype.length, 1, "document type");
    const char outside[] = "<!DOCTYPE x SYSTEM 'file:///etc/passwd'><x/>";
    refused_content(outside, sizeof outside - 1, 1, "document type");
    const char undeclared[] = "<x>&lol;</x>";
    refused_content(undeclared, sizeof undeclared - 1, 1, "damaged part");
    const PackedPart part = {.name = "_rels/.rels", .bytes = doctype.data, .length = doctype.length};
    refused_parts(&part, 1, "document type");
    text_release(&doctype);
    text_release(&sheet);
}

static void endless_xml(void **state)
{
    (void)state;
    refused_content("<x>", 3, 1000000, "elements within elements without end");
    Text tag = {0};
    for (int k = 0; k < 101; k++)
        text_add(&tag, "<x>");
    for (int k = 0; k < 101; k++)
        text_add(&tag, "</x>");
    refused_content(tag.data, tag.length, 1, "elements within elements without end");
    tag.length = 0;
    text_add(&tag, "<x a='");
    for (int k = 0; k < 3 << 20; k++)
        text_add_char(&tag, (char)('a' + k * 7 % 23 * k % 26));
    refused_content(tag.data, tag.length, 1, "a tag without end");
    tag.length = 0;
    text_add(&tag, "<table table:name='L'><table-row><table-cell><p>");
    for (int k = 0; k < 2 << 20; k++)
        text_add_char(&tag, (char)('a' + k * 7 % 23 * k % 26));
    text_add(&tag, "</p></table-cell></table-row></table>");
    refused_content(tag.data, tag.length, 1, "more than 1 MB of text");
    text_release(&tag);
}

#define CELL(times)                                                                                                    \
    "<table-cell table:number-columns-repeated='" times "' office:value-type='string'><p>card</p></table-cell>"
#define TABLE "<x><table table:name='L'><table-row table:number-rows-repeated='"
#define TABLE_END "</table-row></table></x>"

static void repeated_cells(void **state)
{
    (void)state;
    static const char *const table[] = {
        TABLE "1048576'>" CELL("16384") TABLE_END,
        TABLE "2'>" CELL("16385") TABLE_END,
        TABLE "1048577'>" CELL("1") "</table-row><table-row>" CELL("1") TABLE_END,
        TABLE "2147483647'>" CELL("2147483647") TABLE_END,
    };
    for (size_t k = 0; k < sizeof table / sizeof *table; k++)
        refused_content(table[k], strlen(table[k]), 1, "found more cells or text than a sheet may hold");
    /* A long text that many cells point to. */
    Text shared = {0}, sheet = {0};
    text_add(&shared, "<si><t>");
    for (int k = 0; k < 100000; k++)
        text_add_char(&shared, 'x');
    text_add(&shared, "</t></si>");
    text_add(&sheet, "<sheetData>");
    for (int k = 1; k < 4000; k++)
        text_printf(&sheet, "<row r='%d'><c t='s'><v>0</v></c></row>", k);
    text_add(&sheet, "</sheetData>");
    size_t length;
    char *bytes = packed_xlsx(sheet.data, shared.data, NULL, NULL, &length);
    refused(bytes, length, "found more cells or text than a sheet may hold");
    text_release(&shared);
    text_release(&sheet);
}

static void lies(void **state)
{
    (void)state;
    const char content[] = "<x><table table:name='L'/></x>";
    PackedPart part = {.name = "content.xml", .bytes = content, .length = sizeof content - 1, .said_check = 1};
    refused_parts(&part, 1, "damaged or cut short");
    part.said_check = 0;
    part.said_size = 5;
    refused_parts(&part, 1, "damaged");
    part.said_size = 0xFFFFFFF0u;
    refused_parts(&part, 1, "damaged");
    part.stored = true;
    refused_parts(&part, 1, "damaged");
    part = (PackedPart){.name = "content.xml", .bytes = content, .length = sizeof content - 1, .flags = 1};
    refused_parts(&part, 1, "a workbook with a password");
    PackedPart *many = calloc(ARCHIVE_MAX_ENTRIES + 1, sizeof *many);
    for (size_t k = 0; k <= ARCHIVE_MAX_ENTRIES; k++)
        many[k] = (PackedPart){.name = "x", .stored = true};
    refused_parts(many, ARCHIVE_MAX_ENTRIES + 1, "more than 10000 files");
    free(many);
    Text sheets = {0};
    text_add(&sheets, "<x>");
    for (int k = 0; k < 1001; k++)
        text_printf(&sheets, "<table table:name='%d'/>", k);
    text_add(&sheets, "</x>");
    refused_content(sheets.data, sheets.length, 1, "more than 1000 sheets");
    text_release(&sheets);
}

static void cut_short(void **state)
{
    (void)state;
    size_t length;
    char *whole =
        packed_xlsx("<sheetData><row><c t='str'><v>name</v></c></row></sheetData>", NULL, NULL, NULL, &length);
    for (size_t keep = 4; keep + 4 < length; keep += 3) {
        char *copy = malloc(keep);
        memcpy(copy, whole, keep);
        refused(copy, keep, "error: found ");
    }
    free(whole);
}

static char *copy_of(const char *bytes, size_t length)
{
    char *copy = malloc(length + 1);
    memcpy(copy, bytes, length);
    copy[length] = '\0';
    return copy;
}

static void other_files(void **state)
{
    (void)state;
    static const char locked[] = "\xD0\xCF\x11\xE0...E\0n\0c\0r\0y\0p\0t\0e\0d\0P\0a\0c\0k\0a\0g\0e\0";
    refused(copy_of(locked, sizeof locked), sizeof locked, "a workbook with a password, expected one without");
    refused(copy_of("\xD0\xCF\x11\xE0 old", 8), 8, "an old kind of file (.xls");
    refused(copy_of("<html><table>", 13), 13, "a web page or XML under the name of a sheet");
    const PackedPart binary[] = {{.name = "_rels/.rels"}, {.name = "xl/workbook.bin"}};
    refused_parts(binary, 2, "a binary workbook (.xlsb)");
    const PackedPart other[] = {{.name = "letter.txt", .bytes = "x", .length = 1}};
    refused_parts(other, 1, "a packed archive that is no workbook");
    const char letter[] =
        "<Relationships><Relationship Id='1' Type='/officeDocument' Target='word/document.xml'/></Relationships>";
    const PackedPart word[] = {{.name = "_rels/.rels", .bytes = letter, .length = sizeof letter - 1}};
    refused_parts(word, 1, "a packed archive that is no workbook");
    const char manifest[] = "<m:manifest><m:file-entry><m:encryption-data/></m:file-entry></m:manifest>";
    const PackedPart secret[] = {{.name = "META-INF/manifest.xml", .bytes = manifest, .length = sizeof manifest - 1},
                                 {.name = "content.xml", .bytes = "\x01\x02", .length = 2}};
    refused_parts(secret, 2, "a workbook with a password, expected one without");
}

/* One sheet of two is broken: it may be the one that is meant. */
static void a_broken_sheet(void **state)
{
    (void)state;
    static const char package[] = "<R><Relationship Id='1' Type='/officeDocument' Target='w.xml'/></R>",
                      parts[] = "<R><Relationship Id='1' Type='/worksheet' Target='a.xml'/>"
                                "<Relationship Id='2' Type='/worksheet' Target='b.xml'/></R>",
                      book[] = "<w><sheet name='A' r:id='1'/><sheet name='B' r:id='2'/></w>",
                      whole[] = "<w><sheetData><row><c t='str'><v>name</v></c></row></sheetData></w>",
                      broken[] = "<w><sheetData><row><c t='str'><v>price</c></row></sheetData></w>";
#define PART(member, text)                                                                                             \
    {                                                                                                                  \
        .name = member, .bytes = text, .length = sizeof text - 1                                                       \
    }
    const PackedPart part[] = {PART("_rels/.rels", package), PART("_rels/w.xml.rels", parts), PART("w.xml", book),
                               PART("a.xml", whole), PART("b.xml", broken)};
    refused_parts(part, 5, "list.xlsx#B: error: found a workbook with a damaged part");
}

/* From outside: the exit code is 2, and nothing is written. */
static void the_program_says_so(void **state)
{
    (void)state;
    size_t length;
    Run run;
    char *folder = folder_new(), *bytes = packed_xlsx("<!DOCTYPE x><x/>", NULL, NULL, NULL, &length);
    folder_write(folder, "list.xlsx", bytes, length);
    folder_print(folder, "model.yaml", "size: 1\ncolours: [brass]\n");
    run_poolwright(folder, (const char *const[]){"best", "list.xlsx", "--model", "model.yaml", "-o", "pool.csv", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 2);
    assert_string_equal(run.out, "");
    if (strstr(run.err, "list.xlsx#List: error: found a workbook with a damaged part") == NULL)
        fail_msg("found: %s", run.err);
    assert_false(folder_has(folder, "pool.csv"));
    run_forget(&run);
    free(bytes);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bombs),          cmocka_unit_test(entities),       cmocka_unit_test(endless_xml),
        cmocka_unit_test(repeated_cells), cmocka_unit_test(lies),           cmocka_unit_test(cut_short),
        cmocka_unit_test(other_files),    cmocka_unit_test(a_broken_sheet), cmocka_unit_test(the_program_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
