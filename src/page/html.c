/* html.c - see html.h. */
#include "page/html.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ---- escaping ---- */

/* What HTML and XML do not have, of valid UTF-8: how many bytes it takes, 0 for none. C1 controls, U+FFFE, U+FFFF. */
static size_t unwritable(const unsigned char *at)
{
    if (at[0] == 0xC2 && at[1] >= 0x80 && at[1] <= 0x9F)
        return 2;
    return at[0] == 0xEF && at[1] == 0xBF && (at[2] == 0xBE || at[2] == 0xBF) ? 3 : 0;
}

static void escape(Text *out, const char *text)
{
    for (const unsigned char *at = (const unsigned char *)text; *at != '\0'; at++) {
        const size_t gone = unwritable(at);
        if (gone > 0) {
            text_add(out, "\xEF\xBF\xBD");
            at += gone - 1;
            continue;
        }
        switch (*at) {
        case '&': text_add(out, "&amp;"); break;
        case '<': text_add(out, "&lt;"); break;
        case '>': text_add(out, "&gt;"); break;
        case '"': text_add(out, "&quot;"); break;
        case '\'': text_add(out, "&#39;"); break;
        case '\n':
        case '\t': text_add_char(out, (char)*at); break;
        case 0x7F: text_add(out, "\xE2\x90\xA1"); break;
        default:
            if (*at < 0x20)
                text_printf(out, "\xE2\x90%c", 0x80 + *at);
            else
                text_add_char(out, (char)*at);
        }
    }
}

/* One conversion of the format, which is no %s; how long it is. */
static size_t convert(Text *out, const char *at, va_list *list)
{
    char spec[16], buffer[64];
    const size_t length = strcspn(at + 1, "dufs%") + 2;
    if (length >= sizeof spec)
        return length;
    memcpy(spec, at, length);
    spec[length] = '\0';
    switch (spec[length - 1]) {
    case '%': snprintf(buffer, sizeof buffer, "%%"); break;
    case 'f':
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
        snprintf(buffer, sizeof buffer, spec, va_arg(*list, double));
        break;
    case 'u': snprintf(buffer, sizeof buffer, spec, va_arg(*list, size_t)); break;
    default:
        if (strchr(spec, 'l') != NULL)
            snprintf(buffer, sizeof buffer, spec, va_arg(*list, int64_t));
        else
            snprintf(buffer, sizeof buffer, spec, va_arg(*list, int));
#pragma GCC diagnostic pop
    }
    text_add(out, buffer);
    return length;
}

void html(Text *out, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    for (const char *at = format; *at != '\0';) {
        const size_t plain_length = strcspn(at, "%");
        text_add_n(out, at, plain_length);
        at += plain_length;
        if (*at == '\0')
            break;
        if (at[1] == 's') {
            escape(out, va_arg(list, const char *));
            at += 2;
        } else
            at += convert(out, at, &list);
    }
    va_end(list);
}

void html_name(Text *out, const char *name)
{
    html(out, "<bdi>%s</bdi>", name);
}

void html_json(Text *out, const char *json, size_t length)
{
    for (const char *end = json + length; json < end;) {
        const char *less = memchr(json, '<', (size_t)(end - json));
        const size_t piece = (size_t)((less != NULL ? less : end) - json);
        text_add_n(out, json, piece);
        json += piece;
        if (less != NULL) {
            text_add(out, "\\u003c");
            json++;
        }
    }
}

/* ---- tables and parts ---- */

const char *plain(char buffer[PLAIN_TEXT], double number)
{
    snprintf(buffer, PLAIN_TEXT, "%.3f", number);
    char *end = buffer + strlen(buffer);
    while (end[-1] == '0')
        *--end = '\0';
    if (end[-1] == '.')
        *--end = '\0';
    return strcmp(buffer, "-0") == 0 ? "0" : buffer;
}

void table_begin(Text *out, const char *caption, const HtmlColumn *column, size_t columns)
{
    html(out,
         "<div class=\"wide\" tabindex=\"0\" role=\"region\" "
         "aria-label=\"%s\"><table><caption>%s</caption>\n<thead><tr>",
         caption, caption);
    for (size_t k = 0; k < columns; k++)
        html(out, "<th scope=\"col\" class=\"%s\">%s</th>", column[k].number ? "number" : "", column[k].title);
    text_add(out, "</tr></thead>\n<tbody>\n");
}

void table_end(Text *out)
{
    text_add(out, "</tbody></table></div>\n");
}

void row_begin(Text *out)
{
    text_add(out, "<tr><th scope=\"row\">");
}

void row_name_end(Text *out)
{
    text_add(out, "</th>");
}

void row_end(Text *out)
{
    text_add(out, "</tr>\n");
}

void cell_begin(Text *out)
{
    text_add(out, "<td>");
}

void cell_end(Text *out)
{
    text_add(out, "</td>");
}

void cell_text(Text *out, const char *text)
{
    html(out, "<td>%s</td>", text);
}

static void cell_of_number(Text *out, const char *text)
{
    html(out, "<td class=\"number\">%s</td>", text);
}

void cell_int(Text *out, int64_t number)
{
    char buffer[PLAIN_TEXT];
    snprintf(buffer, sizeof buffer, "%" PRId64, number);
    cell_of_number(out, buffer);
}

void cell_number(Text *out, double number)
{
    char buffer[PLAIN_TEXT];
    cell_of_number(out, plain(buffer, number));
}

void cell_money(Text *out, double money)
{
    char buffer[PLAIN_TEXT];
    snprintf(buffer, sizeof buffer, "%.2f", money);
    cell_of_number(out, buffer);
}

void cell_empty(Text *out)
{
    text_add(out, "<td></td>");
}

void part_begin(Text *out, const char *id, const char *title)
{
    html(out, "<section class=\"still\" id=\"still-%s\"><h2>%s</h2>\n", id, title);
}

void part_end(Text *out)
{
    text_add(out, "</section>\n");
}
