/* packed.c - see packed.h. */
#include "support/packed.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#include "base/memory.h"
#include "base/text.h"

static void put(Text *out, uint32_t value, int bytes)
{
    for (int k = 0; k < bytes; k++)
        text_add_char(out, (char)(value >> 8 * k & 0xFF));
}

/* Appends the part's bytes, deflated or as they are; the checksum of all of them. */
static uint32_t add_body(Text *out, const PackedPart *part)
{
    static Bytef room[65536];
    const size_t times = part->times > 0 ? part->times : 1;
    uLong check = crc32(0, NULL, 0);
    z_stream stream;
    memset(&stream, 0, sizeof stream);
    deflateInit2(&stream, 6, Z_DEFLATED, -15, 8, Z_DEFAULT_STRATEGY);
    for (size_t time = 0; time < times; time++) {
        const bool last = time + 1 == times;
        if (part->length > 0)
            check = crc32(check, (const Bytef *)part->bytes, (uInt)part->length);
        if (part->stored) {
            text_add_n(out, part->bytes, part->length);
            continue;
        }
        stream.next_in = (Bytef *)(uintptr_t)part->bytes;
        stream.avail_in = (uInt)part->length;
        do {
            stream.next_out = room;
            stream.avail_out = sizeof room;
            deflate(&stream, last ? Z_FINISH : Z_NO_FLUSH);
            text_add_n(out, (const char *)room, sizeof room - stream.avail_out);
        } while (stream.avail_out == 0);
    }
    deflateEnd(&stream);
    return (uint32_t)check;
}

/* The fields that the local and the central header have in common. */
static void add_fields(Text *out, const PackedPart *part, uint32_t check, size_t packed)
{
    const size_t size = part->length * (part->times > 0 ? part->times : 1);
    put(out, 20, 2);
    put(out, part->flags, 2);
    put(out, part->stored ? 0 : 8, 2);
    put(out, 0x00210000, 4); /* 1980-01-01 */
    put(out, part->said_check != 0 ? part->said_check : check, 4);
    put(out, (uint32_t)packed, 4);
    put(out, part->said_size != 0 ? part->said_size : (uint32_t)size, 4);
    put(out, (uint32_t)strlen(part->name), 2);
    put(out, 0, 2);
}

char *packed_make(const PackedPart *part, size_t parts, size_t *length)
{
    Text out = {0}, directory = {0};
    for (size_t k = 0; k < parts; k++) {
        Text body = {0};
        const uint32_t check = add_body(&body, &part[k]);
        const size_t at = out.length;
        put(&out, 0x04034b50, 4);
        add_fields(&out, &part[k], check, body.length);
        text_add(&out, part[k].name);
        text_add_n(&out, text_cstr(&body), body.length);
        put(&directory, 0x02014b50, 4);
        put(&directory, 20, 2);
        add_fields(&directory, &part[k], check, body.length);
        put(&directory, 0, 2); /* no comment */
        put(&directory, 0, 2); /* disk */
        put(&directory, 0, 2);
        put(&directory, 0, 4);
        put(&directory, (uint32_t)at, 4);
        text_add(&directory, part[k].name);
        text_release(&body);
    }
    const size_t at = out.length;
    text_add_n(&out, text_cstr(&directory), directory.length);
    put(&out, 0x06054b50, 4);
    put(&out, 0, 4);
    put(&out, (uint32_t)(parts & 0xFFFF), 2);
    put(&out, (uint32_t)(parts & 0xFFFF), 2);
    put(&out, (uint32_t)directory.length, 4);
    put(&out, (uint32_t)at, 4);
    put(&out, 0, 2);
    text_release(&directory);
    char *bytes = malloc(out.length + 1);
    memcpy(bytes, out.data, out.length + 1);
    *length = out.length;
    text_release(&out);
    return bytes;
}

#define OFFICE "http://schemas.openxmlformats.org/officeDocument/2006/relationships"

char *packed_xlsx(const char *sheet, const char *shared, const char *styles, const char *workbook, size_t *length)
{
    static const char package[] = "<Relationships><Relationship Id='r1' Type='" OFFICE
                                  "/officeDocument' Target='xl/workbook.xml'/></Relationships>";
    static const char parts[] = "<Relationships><Relationship Id='r1' Type='" OFFICE
                                "/worksheet' Target='worksheets/one.xml'/><Relationship Id='r2' Type='" OFFICE
                                "/styles' Target='/xl/styles.xml'/><Relationship Id='r3' Type='" OFFICE
                                "/sharedStrings' Target='../xl/shared.xml'/></Relationships>";
    Text text[4] = {{0}};
    text_printf(&text[0], "<workbook>%s<sheets><sheet name='List' sheetId='1' r:id='r1'/></sheets></workbook>",
                workbook != NULL ? workbook : "");
    text_printf(&text[1], "<?xml version='1.0' encoding='UTF-8'?><worksheet>%s</worksheet>", sheet);
    text_printf(&text[2], "<styleSheet>%s</styleSheet>", styles != NULL ? styles : "");
    text_printf(&text[3], "<sst>%s</sst>", shared != NULL ? shared : "");
    const PackedPart part[] = {
        {.name = "_rels/.rels", .bytes = package, .length = sizeof package - 1},
        {.name = "xl/_rels/workbook.xml.rels", .bytes = parts, .length = sizeof parts - 1},
        {.name = "xl/workbook.xml", .bytes = text[0].data, .length = text[0].length},
        {.name = "xl/worksheets/one.xml", .bytes = text[1].data, .length = text[1].length},
        {.name = "xl/styles.xml", .bytes = text[2].data, .length = text[2].length},
        {.name = "xl/shared.xml", .bytes = text[3].data, .length = text[3].length},
    };
    char *bytes = packed_make(part, sizeof part / sizeof *part, length);
    for (int k = 0; k < 4; k++)
        text_release(&text[k]);
    return bytes;
}

char *packed_ods(const char *styles, const char *tables, size_t *length)
{
    Text content = {0};
    text_printf(&content,
                "<office:document-content><office:automatic-styles>%s</office:automatic-styles><office:body>"
                "<office:spreadsheet>%s</office:spreadsheet></office:body></office:document-content>",
                styles != NULL ? styles : "", tables);
    const PackedPart part[] = {
        {.name = "mimetype", .bytes = "application/vnd.oasis.opendocument.spreadsheet", .length = 46, .stored = true},
        {.name = "content.xml", .bytes = content.data, .length = content.length}};
    char *bytes = packed_make(part, 2, length);
    text_release(&content);
    return bytes;
}
