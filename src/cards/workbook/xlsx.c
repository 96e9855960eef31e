/* xlsx.c - the parts of an .xlsx file (ECMA-376 part 1): relationships, the list of sheets, formats, shared texts. */
#include "cards/workbook/xlsx.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

bool xlsx_is_set(const char *value)
{
    return value != NULL && (xml_is(value, "1") || xml_is(value, "true") || xml_is(value, "on"));
}

/* ---- relationships ---- */

typedef struct {
    const char *id, *type, *member;
} Relation;

#define MAX_RELATIONS (BOOK_MAX_SHEETS + 1000)

typedef struct {
    Arena *arena;
    const char *folder; /* of the part whose relationships they are, with its slash */
    Relation *relation; /* [MAX_RELATIONS] */
    size_t relations;
} Relations;

/* A target relative to a folder of the archive, "../" followed. */
static const char *member_at(Arena *arena, const char *folder, const char *target)
{
    if (target[0] == '/')
        return arena_strdup(arena, target + 1);
    size_t length = strlen(folder);
    while (strncmp(target, "../", 3) == 0) {
        target += 3;
        while (length > 0 && folder[--length] != '/') {
        }
        while (length > 0 && folder[length - 1] != '/')
            length--;
    }
    return arena_printf(arena, "%.*s%s", (int)length, folder, strncmp(target, "./", 2) == 0 ? target + 2 : target);
}

static void on_relation(Xml *xml, const char *name, const char **attribute)
{
    Relations *all = xml->context;
    const char *id = xml_attribute(attribute, "Id"), *type = xml_attribute(attribute, "Type"),
               *target = xml_attribute(attribute, "Target");
    if (!xml_is(name, "Relationship") || id == NULL || type == NULL || target == NULL ||
        all->relations == MAX_RELATIONS)
        return;
    all->relation[all->relations++] = (Relation){.id = arena_strdup(all->arena, id),
                                                 .type = arena_strdup(all->arena, type),
                                                 .member = member_at(all->arena, all->folder, target)};
}

static bool read_relations(const Book *book, const char *member, const char *folder, Relations *all, Diags *diags)
{
    *all = (Relations){.arena = book->arena,
                       .folder = folder,
                       .relation = arena_alloc(book->arena, MAX_RELATIONS, sizeof *all->relation)};
    Xml xml = {.context = all, .start = on_relation, .file = book->file, .diags = diags};
    return xml_read(&xml, book->archive, member);
}

/* The member of the first relation of this type, which differs by the edition of the standard in all but its end. */
static const char *related(const Relations *all, const char *type)
{
    for (size_t k = 0; k < all->relations; k++)
        if (text_ends_with(all->relation[k].type, type))
            return all->relation[k].member;
    return NULL;
}

/* ---- the workbook ---- */

typedef struct {
    Book *book;
    const Relations *relations;
} SheetList;

static void on_workbook(Xml *xml, const char *name, const char **attribute)
{
    SheetList *list = xml->context;
    Book *book = list->book;
    if (xml_is(name, "workbookPr"))
        book->from_1904 = xlsx_is_set(xml_attribute(attribute, "date1904"));
    const char *sheet = xml_attribute(attribute, "name"), *id = xml_attribute(attribute, "id"),
               *state = xml_attribute(attribute, "state");
    if (!xml_is(name, "sheet") || sheet == NULL || id == NULL)
        return;
    for (size_t k = 0; k < list->relations->relations; k++) {
        const Relation *relation = &list->relations->relation[k];
        if (!xml_is(relation->id, id) || !text_ends_with(relation->type, "/worksheet"))
            continue; /* charts have tabs too */
        const BookSheet found = {.name = arena_strdup(book->arena, sheet),
                                 .member = relation->member,
                                 .hidden = state != NULL && !xml_is(state, "visible")};
        if (!book_add_sheet(book, found, xml->diags))
            xml_fail(xml);
        return;
    }
}

/* ---- formats ---- */

typedef struct {
    Book *book;
    CellFormat *format;  /* [BOOK_MAX_FORMATS], of styles */
    long *id;            /* of the workbook's own formats ... */
    CellFormat *meaning; /* ... and what they mean */
    size_t own, own_capacity, id_capacity;
    size_t capacity;
    bool in_styles;
} Formats;

static CellFormat meaning_of(const Formats *formats, const char *text)
{
    const long id = text != NULL ? strtol(text, NULL, 10) : 0;
    for (size_t k = 0; k < formats->own; k++)
        if (formats->id[k] == id)
            return formats->meaning[k];
    return format_built_in(id);
}

static void on_format(Xml *xml, const char *name, const char **attribute)
{
    Formats *formats = xml->context;
    Book *book = formats->book;
    const char *id = xml_attribute(attribute, "numFmtId"), *code = xml_attribute(attribute, "formatCode");
    if (xml_is(name, "cellXfs"))
        formats->in_styles = true;
    if (xml_is(name, "numFmt") && id != NULL && code != NULL && formats->own < BOOK_MAX_FORMATS / 100) {
        mem_reserve((void **)&formats->id, &formats->id_capacity, formats->own + 1, sizeof *formats->id);
        mem_reserve((void **)&formats->meaning, &formats->own_capacity, formats->own + 1, sizeof *formats->meaning);
        formats->id[formats->own] = strtol(id, NULL, 10);
        formats->meaning[formats->own++] = format_of_code(code);
    } else if (xml_is(name, "xf") && formats->in_styles && book->formats < BOOK_MAX_FORMATS) {
        mem_reserve((void **)&formats->format, &formats->capacity, book->formats + 1, sizeof *formats->format);
        formats->format[book->formats++] = meaning_of(formats, id);
    }
}

static void on_format_end(Xml *xml, const char *name)
{
    Formats *formats = xml->context;
    if (xml_is(name, "cellXfs"))
        formats->in_styles = false;
}

static bool read_formats(Book *book, const char *member, Diags *diags)
{
    Formats formats = {.book = book};
    Xml xml = {.context = &formats, .start = on_format, .end = on_format_end, .file = book->file, .diags = diags};
    const bool good = xml_read(&xml, book->archive, member);
    CellFormat *format = arena_alloc(book->arena, book->formats, sizeof *format);
    if (book->formats > 0)
        memcpy(format, formats.format, book->formats * sizeof *format);
    book->format = format;
    mem_free(formats.format);
    mem_free(formats.id);
    mem_free(formats.meaning);
    return good;
}

/* ---- shared texts ---- */

/* "_x000D_" is how characters are written that XML cannot hold (22.9.2.19). */
void xlsx_unescape(Text *text)
{
    size_t into = 0;
    for (size_t k = 0; k < text->length; k++) {
        const char *c = text->data + k;
        char *end = NULL, hex[5] = "";
        const bool escaped = text->length - k >= 7 && c[0] == '_' && c[1] == 'x' && c[6] == '_' &&
                             strspn(c + 2, "0123456789ABCDEFabcdef") >= 4;
        if (escaped)
            memcpy(hex, c + 2, 4);
        const unsigned long code = escaped ? strtoul(hex, &end, 16) : 0;
        if (escaped && code < 0x80) { /* letters beyond are never written so */
            text->data[into++] = code == '\r' || code == 0 ? ' ' : (char)code;
            k += 6;
        } else {
            text->data[into++] = *c;
        }
    }
    if (text->data != NULL)
        text->data[into] = '\0';
    text->length = into;
}

typedef struct {
    Book *book;
    const char **text;
    size_t capacity;
    bool in_item, in_phonetic;
} Shared;

static void on_shared(Xml *xml, const char *name, const char **attribute)
{
    (void)attribute;
    Shared *shared = xml->context;
    if (xml_is(name, "si")) {
        shared->in_item = true;
        xml->text.length = 0;
    } else if (xml_is(name, "rPh")) {
        shared->in_phonetic = true;
    } else if (xml_is(name, "t")) {
        xml->collect = shared->in_item && !shared->in_phonetic;
    }
}

static void on_shared_end(Xml *xml, const char *name)
{
    Shared *shared = xml->context;
    Book *book = shared->book;
    if (xml_is(name, "t")) {
        xml->collect = false;
    } else if (xml_is(name, "rPh")) {
        shared->in_phonetic = false;
    } else if (xml_is(name, "si")) {
        shared->in_item = false;
        if (book->shareds == SHEET_MAX_CELLS) {
            diag_error(xml->diags, (SourcePos){.file = book->file},
                       "found more texts than a workbook may hold, expected fewer");
            xml_fail(xml);
            return;
        }
        xlsx_unescape(&xml->text);
        mem_reserve((void **)&shared->text, &shared->capacity, book->shareds + 1, sizeof *shared->text);
        shared->text[book->shareds++] = value_text(book->texts, text_cstr(&xml->text), xml->text.length);
    }
}

static bool read_shared(Book *book, const char *member, Diags *diags)
{
    Shared shared = {.book = book};
    Xml xml = {.context = &shared, .start = on_shared, .end = on_shared_end, .file = book->file, .diags = diags};
    const bool good = xml_read(&xml, book->archive, member);
    book->shared = shared.text;
    return good;
}

/* ---- all ---- */

static const char *folder_of_member(Arena *arena, const char *member)
{
    const char *slash = strrchr(member, '/');
    return slash == NULL ? "" : arena_strndup(arena, member, (size_t)(slash - member) + 1);
}

bool xlsx_open(Book *book, Diags *diags)
{
    Relations package, parts;
    const char *workbook = "xl/workbook.xml";
    if (archive_has(book->archive, "_rels/.rels")) {
        if (!read_relations(book, "_rels/.rels", "", &package, diags))
            return false;
        workbook = related(&package, "/officeDocument");
    }
    if (workbook == NULL || !archive_has(book->archive, workbook)) {
        diag_error(diags, (SourcePos){.file = book->file},
                   "found a packed archive that is no workbook, expected .xlsx, .ods or CSV");
        return false;
    }
    const char *folder = folder_of_member(book->arena, workbook);
    const char *rels = arena_printf(book->arena, "%s_rels/%s.rels", folder, workbook + strlen(folder));
    if (!read_relations(book, rels, folder, &parts, diags))
        return false;
    SheetList list = {.book = book, .relations = &parts};
    Xml xml = {.context = &list, .start = on_workbook, .file = book->file, .diags = diags};
    const char *styles = related(&parts, "/styles"), *shared = related(&parts, "/sharedStrings");
    book->read_sheet = xlsx_read_sheet;
    return xml_read(&xml, book->archive, workbook) && (styles == NULL || read_formats(book, styles, diags)) &&
           (shared == NULL || read_shared(book, shared, diags));
}
