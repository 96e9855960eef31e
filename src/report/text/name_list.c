/* name_list.c - names behind a label, broken into lines. Names may hold commas, so semicolons part them. */
#include "report/whatif_report.h"

#define LINE_WIDTH 100
#define REST_WIDTH 17 /* " ... and 999 more" */

void name_list_begin(NameList *list, const char *label, size_t most, const Style *style, Text *out)
{
    const bool narrow = style->width > 0 && style->width < LINE_WIDTH;
    *list = (NameList){.label = label,
                       .width = narrow ? (size_t)style->width - 1 : LINE_WIDTH /* room for the semicolon at the end */,
                       .most = most,
                       .out = out};
}

void name_list_add(NameList *list, const char *name)
{
    const size_t width = text_width(name), indent = text_width(list->label) + 2;
    const bool over = list->one_line && list->shown > 0 && list->line + width + 2 + REST_WIDTH > list->width;
    if (list->shown == list->most || list->hidden > 0 || over) {
        list->hidden++;
        return;
    }
    if (list->shown == 0) {
        text_printf(list->out, "  %s", list->label);
        list->line = indent;
    } else if (list->line + width + 2 > list->width) {
        text_printf(list->out, ";\n%*s", (int)indent, "");
        list->line = indent;
    } else {
        text_add(list->out, "; ");
        list->line += 2;
    }
    text_add(list->out, name);
    list->line += width;
    list->shown++;
}

void name_list_end(NameList *list)
{
    Text rest = {0};
    text_printf(&rest, " ... and %zu more", list->hidden);
    if (list->hidden > 0 && list->width < LINE_WIDTH && list->line + rest.length > list->width)
        text_printf(list->out, "\n%*s", (int)text_width(list->label) + 1, "");
    if (list->hidden > 0)
        text_add(list->out, text_cstr(&rest));
    if (list->shown > 0)
        text_add_char(list->out, '\n');
    text_release(&rest);
}
