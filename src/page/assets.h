/* assets.h - scripts and styles that go into the page, put into the program when it is built (src/page/assets). */
#ifndef POOLWRIGHT_PAGE_ASSETS_H
#define POOLWRIGHT_PAGE_ASSETS_H

#include <stddef.h>

typedef struct {
    const unsigned char *data; /* [length], and a zero behind it */
    size_t length;
    const char *hash; /* "sha256-...": how a Content-Security-Policy names it */
} PageAsset;

/* The sum of the sources that an engine of this program is made from (src/page/wasm/made): its script begins with
 * "// made from SUM". */
extern const char page_made_from[];

extern const PageAsset asset_app, asset_drafters, asset_style, asset_paper;

#endif
