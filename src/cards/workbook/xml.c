/* xml.c - see xml.h.
 *
 * No document type is read: workbooks have none, and entities that stand for each other fill any memory. A tag that is
 * not at its end after a megabyte is refused too, since expat looks at it anew with each piece (CVE-2023-52425). */
#include "cards/workbook/xml.h"

#include <expat.h>
#include <string.h>

#include "base/memory.h"

static const char *local(const char *name)
{
    const char *colon = strchr(name, ':');
    return colon != NULL ? colon + 1 : name;
}

const char *xml_attribute(const char **attribute, const char *name)
{
    for (size_t k = 0; attribute[k] != NULL; k += 2)
        if (strcmp(local(attribute[k]), name) == 0)
            return attribute[k + 1];
    return NULL;
}

void xml_enough(Xml *xml)
{
    xml->done = true;
    XML_StopParser(xml->parser, XML_FALSE);
}

void xml_fail(Xml *xml)
{
    xml->failed = true;
    XML_StopParser(xml->parser, XML_FALSE);
}

static void refuse(Xml *xml, const char *what)
{
    if (!xml->failed)
        diag_error(xml->diags, (SourcePos){.file = xml->file}, "%s", what);
    xml_fail(xml);
}

static void XMLCALL on_start(void *data, const char *name, const char **attribute)
{
    Xml *xml = data;
    if (xml->done || xml->failed)
        return;
    if (++xml->depth > XML_MAX_DEPTH)
        refuse(xml, "found elements within elements without end, expected a workbook as spreadsheet programs save it");
    else
        xml->start(xml, local(name), attribute);
}

static void XMLCALL on_end(void *data, const char *name)
{
    Xml *xml = data;
    if (xml->done || xml->failed)
        return;
    xml->depth--;
    if (xml->end != NULL)
        xml->end(xml, local(name));
}

static void XMLCALL on_text(void *data, const char *piece, int length)
{
    Xml *xml = data;
    if (!xml->collect || xml->done || xml->failed)
        return;
    if (xml->text.length + (size_t)length > XML_MAX_TEXT)
        refuse(xml, "found a cell that holds more than 1 MB of text, expected less");
    else
        text_add_n(&xml->text, piece, (size_t)length);
}

static void XMLCALL on_doctype(void *data, const char *name, const char *system, const char *public, int internal)
{
    (void)name;
    (void)system;
    (void)public;
    (void)internal;
    refuse(data, "found a document type with entities, expected a workbook as spreadsheet programs save it");
}

static bool feed(void *data, const char *piece, size_t length, bool last)
{
    Xml *xml = data;
    xml->fed += length;
    const bool good = XML_Parse(xml->parser, piece, (int)length, last) == XML_STATUS_OK;
    if (xml->done || xml->failed)
        return false;
    if (!good) {
        if (XML_GetErrorCode(xml->parser) == XML_ERROR_NO_MEMORY)
            mem_exhausted();
        refuse(xml, "found a workbook with a damaged part (no well-formed XML), expected a whole one: save it once "
                    "more");
        return false;
    }
    const XML_Index told = XML_GetCurrentByteIndex(xml->parser);
    if (!last && told >= 0 && xml->fed - (size_t)told > XML_MAX_TAG + length) {
        refuse(xml, "found a tag without end, expected a workbook as spreadsheet programs save it");
        return false;
    }
    return true;
}

bool xml_read(Xml *xml, Archive *archive, const char *member)
{
    xml->parser = XML_ParserCreate(NULL);
    if (xml->parser == NULL)
        mem_exhausted();
    XML_SetUserData(xml->parser, xml);
    XML_SetElementHandler(xml->parser, on_start, on_end);
    XML_SetCharacterDataHandler(xml->parser, on_text);
    XML_SetStartDoctypeDeclHandler(xml->parser, on_doctype);
    xml->fed = 0;
    xml->depth = 0;
    xml->done = xml->failed = false;
    const bool unpacked = archive_unpack(archive, member, feed, xml, xml->diags);
    XML_ParserFree(xml->parser);
    xml->parser = NULL;
    text_release(&xml->text);
    xml->text = (Text){0};
    return unpacked && !xml->failed;
}
