/* certificate_file.c - see certificate_file.h. */
#include "search/certificate/certificate_file.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#define TITLE "poolwright proof 1"

static const char *const kind_word[] = {"bound", "none", "cut", "branch", "order"};
#define KINDS (int)(sizeof kind_word / sizeof *kind_word)

/* ---- writing ---- */

static void write_order(const Certificate *c, const CertificateStep *step, Text *out)
{
    text_printf(out, " c%d", step->column);
    for (size_t t = 0; t < step->terms; t++) {
        const CertificateTerm *term = &c->term[step->first_term + t];
        text_printf(out, " c%d", term->row);
        if (term->multiplier != 0)
            text_printf(out, " %" PRId64, term->multiplier);
    }
}

static void write_terms(const Certificate *c, const CertificateStep *step, int rows, Text *out)
{
    for (size_t t = 0; t < step->terms; t++) {
        const CertificateTerm *term = &c->term[step->first_term + t];
        const bool cut = term->row >= rows;
        text_printf(out, " %c%d %" PRId64, cut ? 'k' : 'r', cut ? term->row - rows : term->row, term->multiplier);
    }
}

void certificate_write(const Certificate *c, CertificateShape shape, Text *out)
{
    text_printf(out, TITLE "\ncolumns %d rows %d wanted ", shape.columns, shape.rows);
    if (c->wanted == CERTIFICATE_ANY)
        text_add(out, "any\n");
    else
        text_printf(out, "%" PRId64 "\n", c->wanted);
    for (size_t k = 0; k < c->steps; k++) {
        const CertificateStep *step = &c->step[k];
        text_printf(out, "%d %s", step->depth, kind_word[step->kind]);
        if (step->kind == CERTIFICATE_BRANCH)
            text_printf(out, " c%d %" PRId64, step->column, step->at);
        if (step->kind == CERTIFICATE_CUT)
            text_printf(out, " %" PRId64, step->divisor);
        if (step->kind == CERTIFICATE_ORDER)
            write_order(c, step, out);
        else
            write_terms(c, step, shape.rows, out);
        for (size_t u = 0; u < step->uppers; u++)
            text_printf(out, " c%d", c->upper[step->first_upper + u]);
        text_add_char(out, '\n');
    }
}

/* ---- reading ---- */

typedef struct {
    const char *file, *text;
    const char *at, *end; /* of the line at work */
    int line, rows;
    Diags *diags;
} Reader;

static void skip_blanks(Reader *r)
{
    while (r->at < r->end && (*r->at == ' ' || *r->at == '\t' || *r->at == '\r'))
        r->at++;
}

static bool at_end(Reader *r)
{
    skip_blanks(r);
    return r->at == r->end;
}

static bool expected(Reader *r, const char *what)
{
    char excerpt[TEXT_EXCERPT];
    size_t length = 0;
    skip_blanks(r);
    while (r->at + length < r->end && r->at[length] != ' ')
        length++;
    char *word = mem_strndup(r->at, length);
    const SourcePos at = source_place(r->file, r->text, (size_t)(r->at - r->text));
    if (length == 0)
        diag_error(r->diags, at, "found the line's end, expected %s", what);
    else
        diag_error(r->diags, at, "found '%s', expected %s", text_excerpt(excerpt, word), what);
    mem_free(word);
    return false;
}

/* The next line that says something; false at the end of the text. */
static bool next_line(Reader *r)
{
    do {
        if (*r->end == '\0' && r->line > 0)
            return false;
        r->at = r->line > 0 ? r->end + 1 : r->text;
        r->end = r->at + strcspn(r->at, "\n");
        r->line++;
    } while (at_end(r) || *r->at == '#');
    return true;
}

static bool take_word(Reader *r, const char *word)
{
    const size_t length = strlen(word);
    skip_blanks(r);
    const bool same = (size_t)(r->end - r->at) >= length && memcmp(r->at, word, length) == 0 &&
                      (r->at + length == r->end || strchr(" \t\r", r->at[length]) != NULL);
    r->at += same ? length : 0;
    return same;
}

static bool take_number(Reader *r, int64_t least, int64_t most, int64_t *value)
{
    char *end;
    skip_blanks(r);
    if (r->at == r->end || strchr("-0123456789", *r->at) == NULL)
        return false;
    errno = 0;
    const long long number = strtoll(r->at, &end, 10);
    if (errno != 0 || end == r->at || number < least || number > most ||
        (end != r->end && strchr(" \t\r", *end) == NULL))
        return false;
    *value = number;
    r->at = end;
    return true;
}

/* Such as r12. */
static bool take_name(Reader *r, char letter, int *number)
{
    int64_t value = 0;
    skip_blanks(r);
    const char *before = r->at;
    if (r->at == r->end || *r->at != letter)
        return false;
    r->at++;
    if (r->at == r->end || *r->at < '0' || *r->at > '9' || !take_number(r, 0, INT32_MAX / 2, &value)) {
        r->at = before;
        return false;
    }
    *number = (int)value;
    return true;
}

static bool read_head(Reader *r, Certificate *c, CertificateShape *shape)
{
    int64_t columns = 0, rows = 0;
    if (!next_line(r) || !take_word(r, "poolwright") || !take_word(r, "proof") || !take_word(r, "1") || !at_end(r))
        return expected(r, "the line '" TITLE "'");
    if (!next_line(r) || !take_word(r, "columns") || !take_number(r, 0, INT32_MAX / 2, &columns) ||
        !take_word(r, "rows") || !take_number(r, 0, INT32_MAX / 2, &rows) || !take_word(r, "wanted"))
        return expected(r, "a line such as 'columns 400 rows 30 wanted 250001'");
    if (take_word(r, "any"))
        c->wanted = CERTIFICATE_ANY;
    else if (!take_number(r, -INT64_MAX, INT64_MAX, &c->wanted))
        return expected(r, "a whole number or 'any'");
    *shape = (CertificateShape){(int)columns, (int)rows, r->line};
    r->rows = (int)rows;
    return at_end(r) || expected(r, "the line's end");
}

static bool read_terms(Reader *r, Certificate *c)
{
    int number;
    for (;;) {
        skip_blanks(r);
        const char *name = r->at;
        const bool row = take_name(r, 'r', &number);
        if (row && number >= r->rows) {
            r->at = name;
            return expected(r, "a row that the programme has");
        }
        int64_t multiplier = 0;
        if (!row && !take_name(r, 'k', &number))
            return true;
        skip_blanks(r);
        const char *before = r->at;
        if (!take_number(r, -INT64_MAX, INT64_MAX, &multiplier) || multiplier == 0) {
            r->at = before;
            return expected(r, "a whole number other than 0");
        }
        certificate_term(c, row ? number : r->rows + number, multiplier);
    }
}

/* Columns, some with a number. */
static bool read_order(Reader *r, Certificate *c, CertificateStep *step)
{
    int column;
    if (!take_name(r, 'c', &step->column))
        return expected(r, "a column such as c12");
    while (take_name(r, 'c', &column)) {
        int64_t part = 0;
        take_number(r, 1, INT64_MAX, &part);
        certificate_term(c, column, part);
    }
    return at_end(r) || expected(r, "a column such as c12, or how much it takes in any case");
}

static bool read_step(Reader *r, Certificate *c)
{
    int64_t depth;
    int kind = 0;
    if (!take_number(r, 0, INT32_MAX, &depth))
        return expected(r, "how many branches are above the step");
    while (kind < KINDS && !take_word(r, kind_word[kind]))
        kind++;
    if (kind == KINDS)
        return expected(r, "bound, none, cut, branch or order");
    CertificateStep *step = certificate_step(c, (CertificateKind)kind, (int)depth);
    step->line = r->line;
    if (step->kind == CERTIFICATE_BRANCH) {
        if (!take_name(r, 'c', &step->column))
            return expected(r, "a column such as c12");
        return (take_number(r, -INT64_MAX, INT64_MAX, &step->at) && at_end(r)) || expected(r, "one whole number");
    }
    if (step->kind == CERTIFICATE_ORDER)
        return read_order(r, c, step);
    if (step->kind == CERTIFICATE_CUT && !take_number(r, 1, INT64_MAX, &step->divisor))
        return expected(r, "a divisor of 1 or more");
    if (!read_terms(r, c))
        return false;
    for (int column; kind == CERTIFICATE_CUT && take_name(r, 'c', &column);)
        certificate_upper(c, column);
    return at_end(r) || expected(r, kind == CERTIFICATE_CUT ? "a row such as r12 or k3, or a column such as c4"
                                                            : "a row such as r12 or k3");
}

bool certificate_read(const char *file, const char *text, size_t length, Certificate *c, CertificateShape *shape,
                      Diags *diags)
{
    Reader r = {.file = file, .text = text, .at = text, .end = text, .diags = diags};
    *c = (Certificate){0};
    if (strlen(text) != length) {
        diag_error(diags, source_place(file, text, strlen(text)), "found a byte 0, expected lines of text");
        return false;
    }
    bool good = read_head(&r, c, shape);
    while (good && next_line(&r))
        good = read_step(&r, c);
    if (!good)
        certificate_release(c);
    return good;
}
