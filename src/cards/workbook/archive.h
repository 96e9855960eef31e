/* archive.h - members of a packed archive (zip) in memory, unpacked piece by piece within limits.
 *
 * What an archive says of its sizes is not believed: what comes out is counted. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_ARCHIVE_H
#define POOLWRIGHT_CARDS_WORKBOOK_ARCHIVE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"

#define ARCHIVE_MAX_ENTRIES 10000
#define ARCHIVE_MAX_MEMBER ((size_t)256 << 20) /* bytes of one member, unpacked */
#define ARCHIVE_MAX_TOTAL ((size_t)768 << 20)  /* bytes unpacked in all */
#define ARCHIVE_FREE ((size_t)16 << 20)        /* up to here a member may be packed as tightly as it likes ... */
#define ARCHIVE_MAX_RATIO 250                  /* ... and beyond it be so many times as large as the archive */

typedef struct Archive Archive;

/* Does the file begin as a packed archive? */
bool archive_is(const char *bytes, size_t length);
/* The bytes must outlive the archive. name is what messages call the file. NULL with an error in diags. */
Archive *archive_open(const char *bytes, size_t length, const char *name, Diags *diags);
void archive_close(Archive *archive); /* NULL is allowed */
bool archive_has(Archive *archive, const char *member);

/* Takes a piece of a member; false: no more is wanted. */
typedef bool ArchiveSink(void *context, const char *piece, size_t length, bool last);
/* Unpacks a member into the sink; the last call has `last`, perhaps with nothing. False with an error in diags. */
bool archive_unpack(Archive *archive, const char *member, ArchiveSink *sink, void *context, Diags *diags);

#endif
