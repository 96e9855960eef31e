/* yaml_advice.c - what to do about text that is no YAML, for people who have never heard of it: the parser's words say
 * what it missed, not why. */
#include "model/yaml/yaml_advice.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

#include "base/text.h"

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

/* Where " #" loses text behind other text, outside quotes; the length if nowhere. */
static size_t comment_behind(const char *line, size_t length)
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
            return i + 1;
    }
    return length;
}

/* A no-break space (U+00A0), as word processors and web pages have them. */
static size_t fixed_blank(const char *line, size_t length)
{
    for (size_t i = 0; i + 1 < length; i++)
        if (line[i] == '\xC2' && line[i + 1] == '\xA0')
            return i;
    return length;
}

/* The line without indentation and remark: from `*start` to the end that is returned. */
static size_t said(const char *line, size_t length, size_t *start)
{
    size_t end = 0;
    while (end < length && isspace((unsigned char)line[end]))
        end++;
    *start = end;
    while (end < length && !(line[end] == '#' && (end == *start || line[end - 1] == ' ')))
        end++;
    while (end > *start && isspace((unsigned char)line[end - 1]))
        end--;
    return end;
}

static size_t word_end(const char *line, size_t at, size_t end)
{
    while (at < end && (isalnum((unsigned char)line[at]) || line[at] == '_'))
        at++;
    return at;
}

/* "size:90": a key without a blank behind its colon. */
static bool lacks_blank(const char *line, size_t start, size_t end)
{
    while (start < end && (line[start] == ' ' || line[start] == '-'))
        start++;
    const size_t word = word_end(line, start, end);
    return word > start && word + 1 < end && line[word] == ':' && !isspace((unsigned char)line[word + 1]);
}

/* "size 90", "fit {power: 1}": a key without a colon. */
static bool lacks_colon(const char *line, size_t start, size_t end)
{
    if (start == end || !(isalpha((unsigned char)line[start]) || line[start] == '_'))
        return false;
    if (memchr(line + start, ':', end - start) == NULL)
        return true;
    const size_t word = word_end(line, start, end);
    return word + 1 < end && line[word] == ' ' && strchr("{[\"'", line[word + 1]) != NULL;
}

static bool is_behind_quotes(const char *line, size_t at)
{
    while (at > 0 && line[at - 1] == ' ')
        at--;
    return at > 0 && (line[at - 1] == '"' || line[at - 1] == '\'');
}

/* "cost: >5" */
static bool compares(const char *line, size_t length)
{
    for (size_t i = 0; i + 1 < length; i++)
        if (line[i] == ' ' && (line[i + 1] == '>' || line[i + 1] == '<'))
            return true;
    return false;
}

static bool begins(const char *problem, const char *with)
{
    return strncmp(problem, with, strlen(with)) == 0;
}

static const char cannot_start[] = "found character that cannot start any token";

typedef struct {
    const char *problem;
    const char *before, *behind; /* the number of the line where it began stands between; NULL: nothing does */
} Advice;

static const Advice table[] = {
    {"did not find expected '-' indicator", "expected the next '-' of the list that begins in line ",
     ", right below its others"},
    {"did not find expected key", "expected the next key of those that begin in line ",
     ", right below them: what belongs together stands in one column"},
    {"did not find expected ',' or ']'", "expected a comma, or the ] of what opens in line ",
     "; text that holds ': ' or ' #' or a comma stands in quotes"},
    {"did not find expected ',' or '}'", "expected a comma, or the } of what opens in line ",
     "; text that holds ': ' or ' #' or a comma stands in quotes"},
    {"mapping values are not allowed",
     "found a second colon; several keys in one line are written {a: 1, b: 2}, and text that holds ': ' stands in "
     "quotes",
     NULL},
    {"could not find expected ':'", "expected a colon and a blank behind the key in line ", ""},
    {"found unexpected end of stream", "found no end of the text in quotes that begins in line ", ""},
    {"found unknown escape character", "found a single backslash, expected each doubled in double quotes", NULL},
    {"did not find expected node content", "text that begins with # , ] or } stands in quotes", NULL},
    {cannot_start, "text that begins with % @ or ` stands in quotes", NULL},
    {"did not find expected alphabetic", "text that begins with * or & stands in quotes", NULL},
    {"block sequence entries are not allowed",
     "expected the list to begin in a line of its own, or to be written [a, b]", NULL},
};

/* What the parser was told wrong before the place where it stopped: in this line, or the one before that says
 * something. */
static const char *fault_of_line(const char *line, size_t length, const char *problem, size_t *at, Arena *arena)
{
    size_t start;
    const size_t end = said(line, length, &start);
    const bool wants_key = begins(problem, "mapping values") || begins(problem, "could not find expected ':'") ||
                           begins(problem, "did not find expected <document start>");
    *at = start;
    if (lacks_blank(line, start, end))
        return "expected a blank behind the colon";
    if (start + 1 < end && line[start] == '-' && strchr(" -", line[start + 1]) == NULL)
        return "expected a blank behind the '-'";
    if (wants_key && start < end && line[start] == '{')
        return "expected a '-' and a blank in front of the {";
    if (wants_key && lacks_colon(line, start, end)) {
        char excerpt[TEXT_EXCERPT];
        return arena_printf(arena,
                            "found no colon in '%s', expected a key, a colon and a blank (or # in front of a remark)",
                            text_excerpt(excerpt, arena_strndup(arena, line + start, end - start)));
    }
    return NULL;
}

const char *yaml_advice(const char *bytes, size_t length, const char *problem, size_t from, size_t to, size_t *offset,
                        Arena *arena)
{
    size_t size, at;
    const bool in_flow = strstr(problem, "',' or") != NULL || strstr(problem, "node content") != NULL;
    const char *here = yaml_line(bytes, length, to, &size);
    const size_t stopped = *offset - (size_t)(here - bytes);
    if ((at = fixed_blank(here, size)) < size) {
        *offset = (size_t)(here - bytes) + at;
        return "found a no-break space, which is a letter here, expected a plain blank";
    }
    if (begins(problem, cannot_start) && compares(here, size))
        return "ranges are written {from: 5}, {to: 2} or {from: 2, to: 5}";
    if (begins(problem, "did not find expected") && is_behind_quotes(here, stopped))
        return stopped < size && here[stopped] == ','
                   ? "found a comma behind a closing quote, expected several values to be written [a, b]"
                   : "found more behind a closing quote: is a quote missing, or a comma? Text that holds ' stands in "
                     "\"...\", text that holds \" in '...'";
    if (stopped < size && (here[stopped] == '}' || here[stopped] == ']') && !in_flow)
        return arena_printf(arena, "found a %c that closes nothing", here[stopped]);
    for (size_t line = from; line <= to && in_flow; line++) {
        const char *text = yaml_line(bytes, length, line, &size);
        if ((at = comment_behind(text, size)) == size)
            continue;
        *offset = (size_t)(text - bytes) + at;
        return "what stands behind ' #' is read as a remark: text that holds it stands in quotes";
    }
    for (size_t line = to + 1, looked = 0; line > 0 && looked < 2 && !in_flow; line--) {
        const char *text = yaml_line(bytes, length, line - 1, &size);
        const char *fault = fault_of_line(text, size, problem, &at, arena);
        size_t start;
        looked += said(text, size, &start) > start;
        if (fault == NULL)
            continue;
        *offset = (size_t)(text - bytes) + at;
        return fault;
    }
    if (begins(problem, "mapping values") && memchr(here, ':', stopped) == NULL)
        return "found a key further in than the one above, which has its value already: what belongs together stands "
               "in "
               "one column";
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (begins(problem, table[i].problem))
            return table[i].behind == NULL ? table[i].before
                                           : arena_printf(arena, "%s%zu%s", table[i].before, from + 1, table[i].behind);
    return NULL;
}
