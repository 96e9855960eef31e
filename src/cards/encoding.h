/* encoding.h - the bytes of a sheet as UTF-8 text. */
#ifndef POOLWRIGHT_CARDS_ENCODING_H
#define POOLWRIGHT_CARDS_ENCODING_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "base/memory.h"

typedef struct {
    const char *bytes; /* valid UTF-8 without NUL or other control characters; NUL-terminated */
    size_t length;
    size_t start; /* 3 after a byte order mark, else 0 */
    bool windows_1252;
} Decoded;

/* Reads the file; name is what messages call it. False with an error for a file that cannot be read or holds no text; a
 * notice for Windows-1252 (mapping table of the Unicode Consortium). */
bool sheet_decode(Arena *arena, const char *path, const char *name, SourcePos from, Decoded *decoded, Diags *diags);

#endif
