/* frame.h - what all pages begin and end with: a policy that forbids every connection, the style, the script. */
#ifndef POOLWRIGHT_PAGE_FRAME_H
#define POOLWRIGHT_PAGE_FRAME_H

#include <stdbool.h>

#include "base/text.h"
#include "page/assets.h"

/* Up to <body>. script NULL: the page runs none. engine: it may run WebAssembly in a worker of its own. */
void page_head(const char *title, const PageAsset *style, const PageAsset *script, bool engine, Text *out);
/* The script that page_head was told of (NULL: none), and the end. */
void page_script(const PageAsset *script, Text *out);

#endif
