/* words.c - colours, cards, limits and numbers as the page writes them. */
#include <math.h>
#include <string.h>

#include "base/files/file.h"
#include "page/parts/static_parts.h"

void colours_words(const PageData *data, const char *colours, Text *out)
{
    if (colours[0] == '\0') {
        text_add(out, "<span class=\"quiet\">colourless</span>");
        return;
    }
    text_add(out, "<span class=\"colours\">");
    for (const char *at = colours; *at != '\0';) {
        const size_t length = strcspn(at, "+/");
        const int place = colour_place(data, at, length);
        if (place >= 0)
            html(out, "<span class=\"spot hue-%d\"></span>", place);
        char *word = mem_strndup(at, length);
        html_name(out, word);
        mem_free(word);
        at += length;
        if (*at != '\0')
            html(out, "<span class=\"joint\">%s</span>", *at++ == '+' ? "+" : "/");
    }
    text_add(out, "</span>");
}

void card_words(const char *name, int64_t copies, Text *out)
{
    html_name(out, name);
    if (copies > 1)
        html(out, " \u00d7%d", (int)copies);
}

void cards_words(const json_t *list, Text *out)
{
    const size_t count = json_array_size(list);
    if (count == 0)
        text_add(out, "none");
    for (size_t k = 0; k < count; k++) {
        const json_t *card = json_array_get(list, k);
        text_add(out, k > 0 ? "; " : ""); /* names have commas */
        card_words(get_text(card, "name"), get_int(card, "copies"), out);
    }
}

void card_row_name(const PoolCard *card, Text *out)
{
    row_begin(out);
    card_words(card->name, card->copies, out);
    row_name_end(out);
}

void card_colours_cell(const PageData *data, const PoolCard *card, Text *out)
{
    cell_begin(out);
    colours_words(data, card->colours, out);
    cell_end(out);
}

void card_row_begin(const PageData *data, const PoolCard *card, Text *out)
{
    card_row_name(card, out);
    card_colours_cell(data, card, out);
}

void cost_cell(const PoolCard *card, Text *out)
{
    if (card->has_cost)
        cell_number(out, card->cost);
    else
        cell_empty(out);
}

void range_words(const json_t *range, Text *out)
{
    const bool low = has_number(range, "at_least"), high = has_number(range, "at_most");
    const double least = get_number(range, "at_least", 0), most = get_number(range, "at_most", 0);
    char buffer[PLAIN_TEXT];
    if (!low && !high)
        text_add(out, "not known");
    if (low && !high)
        text_add(out, "at least ");
    if (!low && high)
        text_add(out, "at most ");
    if (low)
        text_add(out, plain(buffer, least));
    if (low && high && least < most)
        text_add(out, " to ");
    if (high && !(low && least >= most))
        text_add(out, plain(buffer, most));
}

void count_words(int64_t number, const char *one, Text *out)
{
    text_printf(out, "%" PRId64 " %s%s", number, one, number == 1 ? "" : "s");
}

void signed_words(double number, Text *out)
{
    char buffer[PLAIN_TEXT];
    if (fabs(number) < 0.0005)
        text_add(out, "\u00b10");
    else {
        text_add(out, number > 0 ? "+" : "\u2212");
        text_add(out, plain(buffer, fabs(number)));
    }
}

static const char *kind_of(const json_t *limit)
{
    const char *kind = get_text(limit, "limit_kind");
    return kind[0] != '\0' ? kind : get_text(limit, "kind");
}

/* Whether the name ends in what it is of, as that of an engine's band: "enablers per payoff (eels)". */
static bool says_of(const char *name, const char *of)
{
    const size_t length = strlen(name), part = strlen(of);
    return length >= part + 2 && name[length - 1] == ')' && name[length - part - 2] == '(' &&
           strncmp(name + length - part - 1, of, part) == 0;
}

void limit_name_words(const json_t *limit, Text *out)
{
    const char *name = get_text(limit, "name"), *of = get_text(limit, "of"), *kind = kind_of(limit);
    if (strcmp(kind, "keep") == 0 || strcmp(kind, "ban") == 0)
        html(out, "%s ", kind);
    html_name(out, name);
    if (of[0] != '\0' && !says_of(name, of)) {
        text_add(out, " (");
        html_name(out, of);
        text_add(out, ")");
    }
}

void source_words(const json_t *limit, Text *out)
{
    const char *file = get_text(limit, "file");
    if (file[0] == '\0')
        return;
    html(out, " <span class=\"source\">%s", path_last(file));
    if (get_int(limit, "line") > 0)
        html(out, ":%d", (int)get_int(limit, "line"));
    text_add(out, "</span>");
}
