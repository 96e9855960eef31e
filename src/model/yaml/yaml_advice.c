/* yaml_advice.c - what to do about text that is no YAML, for people who have never heard of it: the parser's words say
 * what it missed, not why. */
#include "model/yaml/yaml_advice.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

const char *yaml_line(const char *bytes, size_t bytes_length, size_t line, size_t *length)
{
    const char *at = bytes, *end = bytes + bytes_length;
    for (size_t i = 0; i < line && at < end; i++) {
        const char *next = memchr(at, '\n', (size_t)(end - at));
        at = next == NULL ? end : next + 1;
    }
    const char *stop = at < end ? memchr(at, '\n', (size_t)(end - at)) : NULL;
    *length = (size_t)((stop != NULL ? stop : end) - at);
    return at;
}

static bool opens_quote(const char *line, size_t at)
{
    return (line[at] == '"' || line[at] == '\'') && (at == 0 || strchr(" [{,", line[at - 1]) != NULL);
}

/* Is there text before " #" outside quotes, so that the line loses what is behind it? */
static bool has_comment_behind(const char *line, size_t length)
{
    size_t i = 0;
    char quote = '\0';
    while (i < length && line[i] == ' ')
        i++;
    for (; i + 1 < length; i++) {
        if (quote != '\0')
            quote = line[i] == quote ? '\0' : quote;
        else if (opens_quote(line, i))
            quote = line[i];
        else if (line[i] == ' ' && line[i + 1] == '#')
            return true;
    }
    return false;
}

/* A no-break space (U+00A0), as word processors and web pages have them. */
static bool has_fixed_blank(const char *line, size_t length)
{
    for (size_t i = 0; i + 1 < length; i++)
        if (line[i] == '\xC2' && line[i + 1] == '\xA0')
            return true;
    return false;
}

/* "size:90": a key without a blank behind its colon. */
static bool lacks_blank(const char *line, size_t length)
{
    size_t i = 0;
    while (i < length && (line[i] == ' ' || line[i] == '-'))
        i++;
    const size_t start = i;
    while (i < length && (isalnum((unsigned char)line[i]) || line[i] == '_'))
        i++;
    return i > start && i + 1 < length && line[i] == ':' && !isspace((unsigned char)line[i + 1]);
}

static const char cannot_start[] = "found character that cannot start any token";

/* "cost: >5" */
static bool compares(const char *line, size_t length)
{
    for (size_t i = 0; i + 1 < length; i++)
        if (line[i] == ' ' && (line[i + 1] == '>' || line[i + 1] == '<'))
            return true;
    return false;
}

typedef struct {
    const char *problem, *advice;
} Advice;

static const Advice table[] = {
    {"did not find expected '-' indicator", "the '-' of one list stand below each other, and its text behind them"},
    {"did not find expected key", "the keys of one map, and the '-' of one list, stand below each other in one column"},
    {"did not find expected ',' or",
     "between entries stands a comma, and text that holds ': ' or ' #' or a comma stands in quotes"},
    {"mapping values are not allowed",
     "behind a key stands a colon and a blank, and text that holds ': ' stands in quotes"},
    {"could not find expected ':'", "behind a key stands a colon and a blank"},
    {"found unexpected end of stream", "a quote that opens is closed again"},
    {"found unknown escape character", "in double quotes each backslash is doubled"},
    {"did not find expected node content", "text that begins with # , ] or } stands in quotes"},
    {"found character that cannot start any token", "text that begins with % @ or ` stands in quotes"},
    {"did not find expected alphabetic", "text that begins with * or & stands in quotes"},
    {"block sequence entries are not allowed", "a list begins in a line of its own, or is written [a, b]"},
};

const char *yaml_advice(const char *bytes, size_t length, const char *problem, size_t from, size_t to, Arena *arena)
{
    size_t size;
    const bool in_flow = strstr(problem, "',' or") != NULL || strstr(problem, "node content") != NULL;
    for (size_t line = from; line <= to && in_flow; line++) {
        const char *text = yaml_line(bytes, length, line, &size);
        if (has_comment_behind(text, size))
            return arena_printf(
                arena,
                "; what stands behind ' #' in line %zu is read as a comment: text that holds it stands in quotes",
                line + 1);
    }
    const char *here = yaml_line(bytes, length, to, &size);
    if (has_fixed_blank(here, size))
        return arena_printf(arena, "; line %zu holds a no-break space, which is a letter here: type a plain one",
                            to + 1);
    if (strncmp(problem, cannot_start, strlen(cannot_start)) == 0 && compares(here, size))
        return "; ranges are written {from: 5}, {to: 2} or {from: 2, to: 5}";
    for (size_t back = 0; back < 2 && back <= to && !in_flow; back++) { /* this line and the one before */
        const char *text = yaml_line(bytes, length, to - back, &size);
        if (lacks_blank(text, size))
            return arena_printf(arena, "; in line %zu a blank is missing behind the colon", to - back + 1);
    }
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strncmp(problem, table[i].problem, strlen(table[i].problem)) == 0)
            return arena_printf(arena, "; %s", table[i].advice);
    return "";
}
