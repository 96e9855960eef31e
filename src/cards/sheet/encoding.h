/* encoding.h - the bytes of a sheet as UTF-8 text. */
#ifndef POOLWRIGHT_CARDS_SHEET_ENCODING_H
#define POOLWRIGHT_CARDS_SHEET_ENCODING_H

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

/* The bytes (NUL-terminated) of a file that messages call `name`. They may be part of what comes out. False with an
 * error for a file that holds no text; a notice for Windows-1252 (mapping table of the Unicode Consortium). */
bool sheet_decode(Arena *arena, const char *name, const char *bytes, size_t length, Decoded *decoded, Diags *diags);

#endif
