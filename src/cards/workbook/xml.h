/* xml.h - a member of a workbook read as XML, element by element: expat, within limits. Names are told without their
 * prefixes. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_XML_H
#define POOLWRIGHT_CARDS_WORKBOOK_XML_H

#include <string.h>

#include "base/text.h"
#include "cards/workbook/archive.h"

#define XML_MAX_DEPTH 100
#define XML_MAX_TAG ((size_t)1 << 20)  /* bytes of one tag with its attributes */
#define XML_MAX_TEXT ((size_t)1 << 20) /* bytes of one cell's text */

typedef struct Xml Xml;
typedef void XmlStart(Xml *xml, const char *name, const char **attribute); /* name, value, ..., NULL */
typedef void XmlEnd(Xml *xml, const char *name);

struct Xml {
    void *context;
    XmlStart *start;
    XmlEnd *end;  /* NULL: nothing is done */
    bool collect; /* whether character data is added to text; the handlers set it and empty the text */
    Text text;
    const char *file; /* what messages call the workbook */
    Diags *diags;
    void *parser;
    size_t fed;
    int depth;
    bool done, failed; /* no more is wanted; an error was told */
};

static inline bool xml_is(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}
/* The attribute's value, NULL if it is not there. */
const char *xml_attribute(const char **attribute, const char *name);
/* Reads the member; false with errors. What it collected is released. */
bool xml_read(Xml *xml, Archive *archive, const char *member);
/* For handlers: ends the reading, quietly or after an error that they told. */
void xml_enough(Xml *xml);
void xml_fail(Xml *xml);

#endif
