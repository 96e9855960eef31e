/* encoding.c - what kind of bytes a file holds: UTF-8 with or without byte order mark, else Windows-1252; and what is
 * no text at all. UTF-16 is UTF-8 since the file was read (file_read).
 *
 * People save the wrong kind of file under the right name; the common ones are recognised by their first bytes and
 * named. */
#include "cards/sheet/encoding.h"

#include <string.h>

#include "base/text.h"

typedef struct {
    const char *first;
    size_t length;
    const char *what;
} Signature;

/* Signatures as the formats' own specifications give them (archives: APPNOTE 4.3.7). */
static const Signature signatures[] = {
    {"PK\x03\x04", 4, "a packed archive, expected text: a workbook is read where a sheet is"},
    {"%PDF-", 5, "a PDF file, expected a sheet: CSV, .xlsx or .ods"},
};

/* Before decoding a character is a byte. */
static SourcePos place_of(const char *name, const char *bytes, size_t offset)
{
    SourcePos at = {.file = name, .line = 1, .column = 1};
    for (size_t i = 0; i < offset; i++) {
        if (bytes[i] == '\n' || (bytes[i] == '\r' && bytes[i + 1] != '\n')) {
            at.line++;
            at.column = 1;
        } else {
            at.column++;
        }
    }
    return at;
}

static bool is_control(unsigned char c)
{
    return (c < 0x20 && (c < '\t' || c > '\r')) || c == 0x7F;
}

static bool is_text(const char *name, const char *bytes, size_t length, Diags *diags)
{
    for (size_t i = 0; i < sizeof signatures / sizeof *signatures; i++)
        if (length >= signatures[i].length && memcmp(bytes, signatures[i].first, signatures[i].length) == 0) {
            diag_error(diags, (SourcePos){.file = name}, "found %s", signatures[i].what);
            return false;
        }
    for (size_t i = 0; i < length; i++)
        if (is_control((unsigned char)bytes[i])) {
            diag_error(diags, place_of(name, bytes, i),
                       "found a control character (byte 0x%02X), expected text: the file is binary or damaged",
                       (unsigned char)bytes[i]);
            return false;
        }
    return true;
}

static bool decode_windows_1252(Arena *arena, const char *name, size_t wrong, Decoded *decoded, Diags *diags)
{
    size_t bad = 0;
    SourcePos at = place_of(name, decoded->bytes, wrong);
    char *text = text_from_windows_1252(decoded->bytes, decoded->length, &bad);
    if (text == NULL) {
        diag_error(diags, place_of(name, decoded->bytes, bad),
                   "found byte 0x%02X, expected UTF-8 or Windows-1252 text: save the sheet as CSV, UTF-8",
                   (unsigned char)decoded->bytes[bad]);
        return false;
    }
    diag_remark(diags, at, "found byte 0x%02X, which is no UTF-8: the file is read as Windows-1252",
                (unsigned char)decoded->bytes[wrong]);
    decoded->bytes = arena_strdup(arena, text);
    decoded->length = strlen(text);
    decoded->windows_1252 = true;
    mem_free(text);
    return true;
}

bool sheet_decode(Arena *arena, const char *name, const char *bytes, size_t length, Decoded *decoded, Diags *diags)
{
    static const char mark[] = "\xEF\xBB\xBF";
    Decoded result = {.bytes = bytes, .length = length};
    if (!is_text(name, result.bytes, result.length, diags))
        return false;
    size_t wrong = text_utf8_error(result.bytes, result.length);
    if (result.length >= 3 && memcmp(result.bytes, mark, 3) == 0)
        result.start = 3;
    if (wrong < result.length && result.start > 0) {
        diag_error(diags, place_of(name, result.bytes, wrong),
                   "found byte 0x%02X, expected UTF-8 as the file's first bytes say",
                   (unsigned char)result.bytes[wrong]);
        return false;
    }
    if (wrong < result.length && !decode_windows_1252(arena, name, wrong, &result, diags))
        return false;
    *decoded = result;
    return true;
}
