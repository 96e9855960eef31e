/* packed.h - packed archives (zip) made in memory for tests, also ones that lie: APPNOTE 6.3.10, sections 4.3 and 4.4,
 * written here from the specification and with zlib's deflate. */
#ifndef POOLWRIGHT_SUPPORT_PACKED_H
#define POOLWRIGHT_SUPPORT_PACKED_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct {
    const char *name;
    const char *bytes; /* NULL with length 0 */
    size_t length;
    size_t times;        /* the bytes are repeated so often; 0 counts as 1 */
    bool stored;         /* not deflated */
    uint16_t flags;      /* of the entry: 1 is encryption */
    uint32_t said_size;  /* what the archive says of the size unpacked; 0: the truth */
    uint32_t said_check; /* of the checksum; 0: the truth */
} PackedPart;

/* The archive's bytes, *length of them; freed by the caller. */
char *packed_make(const PackedPart *part, size_t parts, size_t *length);

/* A workbook (.xlsx) with one sheet "List" of this XML (what stands in <worksheet>), shared texts (what stands in
 * <sst>; NULL: none) and formats (what stands in <styleSheet>; NULL: none). workbook: what stands in <workbook> before
 * its sheets. */
char *packed_xlsx(const char *sheet, const char *shared, const char *styles, const char *workbook, size_t *length);
/* An .ods file with this in its <office:spreadsheet>. */
char *packed_ods(const char *styles, const char *tables, size_t *length);

#endif
