/* frame.c - see frame.h. */
#include "page/frame.h"

#include "page/html.h"

static void add_asset(const PageAsset *asset, Text *out)
{
    text_add_n(out, (const char *)asset->data, asset->length);
}

void page_head(const char *title, const PageAsset *style, const PageAsset *script, bool engine, Text *out)
{
    text_add(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n");
    html(out, "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; ");
    if (script != NULL)
        html(out, "script-src '%s'%s; ", script->hash, engine ? " 'wasm-unsafe-eval'; worker-src blob:" : "");
    html(out, "style-src '%s'; img-src data:; base-uri 'none'; form-action 'none'\"/>\n", style->hash);
    text_add(out, "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
                  "<meta name=\"referrer\" content=\"no-referrer\"/>\n");
    html(out, "<title>%s</title>\n<style>", title);
    add_asset(style, out);
    text_add(out, "</style>\n</head>\n<body>\n");
}

void page_script(const PageAsset *script, Text *out)
{
    if (script != NULL) {
        text_add(out, "<script>");
        add_asset(script, out);
        text_add(out, "</script>\n");
    }
    text_add(out, "</body>\n</html>\n");
}
