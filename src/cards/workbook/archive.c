/* archive.c - minizip over bytes in memory. */
#include "cards/workbook/archive.h"

#include <minizip/unzip.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

#define PIECE ((uInt)64 << 10)

struct Archive {
    const char *bytes, *name;
    size_t length, at;
    size_t unpacked; /* of all members */
    unzFile zip;
};

/* ---- a file in memory, as minizip asks for it ---- */

static voidpf open_bytes(voidpf opaque, const void *name, int mode)
{
    (void)name;
    (void)mode;
    return opaque;
}

static uLong read_bytes(voidpf opaque, voidpf stream, void *into, uLong wanted)
{
    (void)stream;
    Archive *archive = opaque;
    const size_t left = archive->length - archive->at, size = wanted < left ? wanted : left;
    memcpy(into, archive->bytes + archive->at, size);
    archive->at += size;
    return size;
}

static uLong write_bytes(voidpf opaque, voidpf stream, const void *from, uLong size)
{
    (void)opaque;
    (void)stream;
    (void)from;
    (void)size;
    return 0;
}

static ZPOS64_T tell_bytes(voidpf opaque, voidpf stream)
{
    (void)stream;
    return ((Archive *)opaque)->at;
}

static long seek_bytes(voidpf opaque, voidpf stream, ZPOS64_T offset, int origin)
{
    (void)stream;
    Archive *archive = opaque;
    const ZPOS64_T from = origin == ZLIB_FILEFUNC_SEEK_CUR   ? archive->at
                          : origin == ZLIB_FILEFUNC_SEEK_END ? archive->length
                                                             : 0;
    if (offset > archive->length - from)
        return -1;
    archive->at = (size_t)(from + offset);
    return 0;
}

static int close_bytes(voidpf opaque, voidpf stream)
{
    (void)opaque;
    (void)stream;
    return 0;
}

/* ---- members ---- */

bool archive_is(const char *bytes, size_t length)
{
    return length >= 4 && (memcmp(bytes, "PK\x03\x04", 4) == 0 || memcmp(bytes, "PK\x05\x06", 4) == 0);
}

static bool wrong(const Archive *archive, Diags *diags, const char *what)
{
    diag_error(diags, (SourcePos){.file = archive->name}, "%s", what);
    return false;
}

/* Why minizip could not read on. Always false. */
static bool damaged(const Archive *archive, int error, Diags *diags)
{
    if (error == UNZ_INTERNALERROR || error == Z_MEM_ERROR)
        mem_exhausted();
    return wrong(archive, diags,
                 "found a packed archive that is damaged or cut short, expected a whole workbook: save it once more");
}

Archive *archive_open(const char *bytes, size_t length, const char *name, Diags *diags)
{
    Archive *archive = mem_new(1, sizeof *archive);
    *archive = (Archive){.bytes = bytes, .length = length, .name = name};
    zlib_filefunc64_def calls = {.zopen64_file = open_bytes,
                                 .zread_file = read_bytes,
                                 .zwrite_file = write_bytes,
                                 .ztell64_file = tell_bytes,
                                 .zseek64_file = seek_bytes,
                                 .zclose_file = close_bytes,
                                 .zerror_file = close_bytes,
                                 .opaque = archive};
    unz_global_info64 info;
    archive->zip = unzOpen2_64(name, &calls);
    if (archive->zip == NULL || unzGetGlobalInfo64(archive->zip, &info) != UNZ_OK) {
        damaged(archive, UNZ_BADZIPFILE, diags);
    } else if (info.number_entry > ARCHIVE_MAX_ENTRIES) {
        diag_error(diags, (SourcePos){.file = name},
                   "found a packed archive of more than %d files, expected a workbook", ARCHIVE_MAX_ENTRIES);
    } else {
        return archive;
    }
    archive_close(archive);
    return NULL;
}

void archive_close(Archive *archive)
{
    if (archive != NULL && archive->zip != NULL)
        unzClose(archive->zip);
    mem_free(archive);
}

bool archive_has(Archive *archive, const char *member)
{
    return unzLocateFile(archive->zip, member, 1) == UNZ_OK;
}

/* Is what came out of a member so far too much? */
static bool too_much(const Archive *archive, size_t size, Diags *diags)
{
    if (size > ARCHIVE_MAX_MEMBER || archive->unpacked > ARCHIVE_MAX_TOTAL)
        diag_error(diags, (SourcePos){.file = archive->name},
                   "found more than %zu MB when the workbook was unpacked, expected less: save the sheet alone",
                   (size > ARCHIVE_MAX_MEMBER ? ARCHIVE_MAX_MEMBER : ARCHIVE_MAX_TOTAL) >> 20);
    else if (size > ARCHIVE_FREE && size / ARCHIVE_MAX_RATIO > archive->length)
        diag_error(diags, (SourcePos){.file = archive->name},
                   "found a packed archive that unpacks to more than %d times its size, which no sheet does",
                   ARCHIVE_MAX_RATIO);
    else
        return false;
    return true;
}

/* The open member, of which the archive says that it is so large. */
static bool unpack_open(Archive *archive, ZPOS64_T said, ArchiveSink *sink, void *context, Diags *diags)
{
    char *piece = mem_new(PIECE, 1);
    size_t size = 0;
    int got;
    bool wanted = true, good = true;
    do {
        got = unzReadCurrentFile(archive->zip, piece, PIECE);
        good = got >= 0 || damaged(archive, got, diags);
        if (good) {
            size += (size_t)got;
            archive->unpacked += (size_t)got;
            good = !too_much(archive, size, diags);
        }
        if (good)
            wanted = sink(context, piece, (size_t)got, got == 0);
    } while (good && wanted && got > 0);
    mem_free(piece);
    const int closed = unzCloseCurrentFile(archive->zip);
    if (good && wanted && (closed != UNZ_OK || size != said)) /* its checksum or its size differs */
        good = damaged(archive, closed, diags);
    return good;
}

bool archive_unpack(Archive *archive, const char *member, ArchiveSink *sink, void *context, Diags *diags)
{
    unz_file_info64 info;
    char excerpt[TEXT_EXCERPT];
    if (!archive_has(archive, member)) {
        diag_error(diags, (SourcePos){.file = archive->name}, "found no part '%s' in the workbook, which is damaged",
                   text_excerpt(excerpt, member));
        return false;
    }
    if (unzGetCurrentFileInfo64(archive->zip, &info, NULL, 0, NULL, 0, NULL, 0) != UNZ_OK)
        return damaged(archive, UNZ_BADZIPFILE, diags);
    if ((info.flag & 1) != 0)
        return wrong(archive, diags, "found a workbook with a password, expected one without: save it without");
    const bool known = info.compression_method == 0 || info.compression_method == Z_DEFLATED;
    const int opened = known ? unzOpenCurrentFile(archive->zip) : UNZ_BADZIPFILE;
    if (opened != UNZ_OK)
        return damaged(archive, opened, diags);
    return unpack_open(archive, info.uncompressed_size, sink, context, diags);
}
