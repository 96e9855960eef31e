/* series.c - lists and ranges of numbers. */
#include "whatif/series.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"
#include "base/text.h"

typedef struct {
    const char *option, *expected;
    int scale; /* of its numbers: 0 sizes, 2 money */
    Arena *arena;
    Diags *diags;
    CapAt value[SERIES_MOST];
    size_t count;
    bool steps;
    int64_t from, to;
} Series;

static bool refuse(const Series *s, const char *part)
{
    char excerpt[TEXT_EXCERPT];
    diag_error(s->diags, (SourcePos){0}, "%s: found '%s', expected %s", s->option, text_excerpt(excerpt, part),
               s->expected);
    return false;
}

static bool one_number(const Series *s, const char *text, int64_t *value)
{
    NumberStatus status = s->scale == 2 ? number_parse_money(text, false, value) : number_parse(text, 0, false, value);
    if (s->scale == 2 && number_may_be_thousands(text))
        return false;
    return status == NUMBER_OK && *value >= (s->scale == 2 ? 0 : 1) && (s->scale == 2 || *value <= 100000);
}

static bool add_value(Series *s, CapAt value)
{
    if (s->count == SERIES_MOST) {
        diag_error(s->diags, (SourcePos){0}, "%s: found more than %d values, expected fewer", s->option, SERIES_MOST);
        return false;
    }
    s->value[s->count++] = value;
    return true;
}

/* "A..B/STEP", or "A..B" for exact steps where that is allowed. */
static bool add_range(Series *s, const char *part, const char *dots)
{
    char *first = arena_strndup(s->arena, part, (size_t)(dots - part));
    const char *slash = strchr(dots, '/');
    char *second = slash != NULL ? arena_strndup(s->arena, dots + 2, (size_t)(slash - dots - 2))
                                 : arena_strdup(s->arena, dots + 2);
    int64_t from, to, step;
    if (!one_number(s, first, &from) || !one_number(s, second, &to))
        return refuse(s, part);
    if (from > to) {
        char excerpt[TEXT_EXCERPT];
        const char *steps = slash != NULL || s->scale == 2 ? "" : ", with a step such as /10";
        diag_error(s->diags, (SourcePos){0}, "%s: found '%s', which runs backwards, expected %s..%s%s%s", s->option,
                   text_excerpt(excerpt, part), second, first, slash != NULL ? slash : "", steps);
        return false;
    }
    if (slash == NULL) {
        if (s->scale != 2 || s->steps || s->count > 0)
            return refuse(s, part);
        s->steps = true;
        s->from = from;
        s->to = to;
        return true;
    }
    if (!one_number(s, slash + 1, &step) || step < 1)
        return refuse(s, part);
    for (int64_t v = from; v <= to; v += step)
        if (!add_value(s, (CapAt){.cap = v}))
            return false;
    return true;
}

static bool add_part(Series *s, const char *part)
{
    int64_t value;
    const char *dots = strstr(part, "..");
    if (s->steps)
        return refuse(s, part); /* nothing beside a range without a step */
    if (dots != NULL)
        return add_range(s, part, dots);
    if (s->scale == 2 && strcmp(part, "none") == 0)
        return add_value(s, (CapAt){.none = true, .cap = INT64_MAX});
    return one_number(s, part, &value) ? add_value(s, (CapAt){.cap = value}) : refuse(s, part);
}

static int by_cap(const void *a, const void *b)
{
    const CapAt *x = a, *y = b;
    return (x->cap > y->cap) - (x->cap < y->cap);
}

static bool read_series(Series *s, const char *text)
{
    for (const char *rest = text; rest != NULL;) {
        const char *comma = strchr(rest, ',');
        size_t length = comma != NULL ? (size_t)(comma - rest) : strlen(rest);
        const char *start = text_trim(rest, &length);
        if (!add_part(s, arena_strndup(s->arena, start, length)))
            return false;
        rest = comma != NULL ? comma + 1 : NULL;
    }
    sort_stable(s->value, s->count, sizeof s->value[0], by_cap);
    size_t kept = 0;
    for (size_t k = 0; k < s->count; k++)
        if (kept == 0 || s->value[kept - 1].cap != s->value[k].cap)
            s->value[kept++] = s->value[k];
    s->count = kept;
    return true;
}

static Series *series_new(const char *option, const char *expected, int scale, Arena *arena, Diags *diags)
{
    Series *s = mem_new(1, sizeof *s);
    s->option = option;
    s->expected = expected;
    s->scale = scale;
    s->arena = arena;
    s->diags = diags;
    return s;
}

bool series_sizes(const char *what, const char *text, Arena *arena, const int **size, size_t *count, Diags *diags)
{
    Series *s = series_new(what, "numbers of cards such as 360,450,540 or 360..540/90", 0, arena, diags);
    bool good = read_series(s, text);
    int *list = arena_alloc(arena, s->count, sizeof *list);
    for (size_t k = 0; k < s->count; k++)
        list[k] = (int)s->value[k].cap;
    *size = list;
    *count = s->count;
    mem_free(s);
    return good;
}

bool series_caps(const char *what, const char *text, Arena *arena, const CapAt **cap, size_t *count, bool *steps,
                 int64_t *from, int64_t *to, Diags *diags)
{
    Series *s = series_new(
        what,
        "amounts such as 250,300,none, a range with a step such as 200..800/50, or one range alone such as 200..800", 2,
        arena, diags);
    bool good = read_series(s, text);
    CapAt *list = arena_alloc(arena, s->count, sizeof *list);
    *to = s->to;
    for (size_t k = 0; k < s->count; k++) {
        list[k] = s->value[k];
        if (list[k].none)
            list[k].cap = 0;
        else if (list[k].cap > *to)
            *to = list[k].cap;
    }
    *cap = list;
    *count = s->count;
    *steps = s->steps;
    *from = s->from;
    mem_free(s);
    return good;
}

bool series_currency(const char *what, const char *text, const Model *model, Arena *arena, Diags *diags)
{
    const char *begin = arena_printf(arena, "%s: ", what);
    for (const char *rest = text; *rest != '\0';) {
        const char *dots = strstr(rest, "..");
        size_t length = strcspn(rest, ",/");
        if (dots != NULL && (size_t)(dots - rest) < length)
            length = (size_t)(dots - rest);
        const char *amount = arena_strndup(arena, rest, length);
        if (strcmp(amount, "none") != 0 &&
            !currency_alike(model->currency, model->met, begin, amount, (SourcePos){0}, diags))
            return false;
        rest += length;
        rest += strspn(rest, ",/.");
    }
    return true;
}
