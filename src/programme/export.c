/* export.c - the programme as LP or free MPS text.
 *
 * Names are ASCII with an index, since writers that derive them from card names merge "a b" with "a_b" and lose
 * accents; the full names stand in comments. MPS has no agreed way to say "maximise", so the negated objective is
 * minimised there. The LP dialect is what glpsol (--lp) and cbc both read: two-sided rows are written as two rows. So
 * is, in MPS, a row whose lower side is above its upper one (nothing meets it): RANGES are widths, and readers make a
 * row that can be met of a negative one. */
#include <inttypes.h>
#include <string.h>

#include "base/text.h"
#include "programme/programme.h"
#include "search/protection.h"

/* A comment must stay on its line. */
static void add_comment_text(Text *out, const char *text)
{
    for (; *text != '\0'; text++)
        text_add_char(out, (unsigned char)*text < ' ' ? ' ' : *text);
}

static const char *column_note(const ProgrammeColumn *column)
{
    switch (column->role) {
    case COLUMN_COPIES: return "";
    case COLUMN_OWNED: return ", copies owned";
    case COLUMN_BOUGHT: return ", copies bought";
    case COLUMN_FULL: return ", all owned copies are in";
    case COLUMN_MISSED: return ", units missed";
    case COLUMN_OVER: return ", risen beyond the threshold";
    case COLUMN_THRESHOLD: return ", threshold of risen prices, cents";
    case COLUMN_IN: return ", is in";
    case COLUMN_CHOSEN: return ", theme is chosen";
    case COLUMN_THEME_FIT: return ", fit in thousandths";
    case COLUMN_ENGINE:
    case COLUMN_EVENNESS: return ", units";
    case COLUMN_DEPTH: return ", units of a step";
    case COLUMN_STAY: return ", copies that stay";
    case COLUMN_TOGETHER: return ", all are in";
    case COLUMN_PLACE:
    case COLUMN_KIND_PLACE: return ", copies in places";
    }
    return "";
}

/* What the column stands for: its rule, theme or form, and its card. */
static void add_column_name(const Programme *p, Text *out, const ProgrammeColumn *column)
{
    if (column->limit != NULL)
        add_comment_text(out, column->limit->title);
    else if (column->role == COLUMN_CHOSEN)
        add_comment_text(out, p->instance->model->theme[column->theme].name);
    else if (column->form >= 0)
        add_comment_text(out, p->instance->form[column->form].name);
    else
        add_comment_text(out, p->instance->cards->card[column->card].name);
    if (column->role == COLUMN_PLACE || column->role == COLUMN_KIND_PLACE) {
        text_add(out, column->role == COLUMN_PLACE ? ": " : ": all like ");
        add_comment_text(out, p->instance->cards->card[column->card].name);
        text_add(out, " for ");
        add_comment_text(out, p->instance->model->theme[column->theme].name);
    } else if (column->role == COLUMN_STAY) {
        text_add(out, ": ");
        add_comment_text(out, p->instance->cards->card[column->card].name);
    }
}

static void add_names(const Programme *p, Text *out, const char *mark)
{
    for (int j = 0; j < p->problem.columns; j++) {
        const ProgrammeColumn *column = &p->column[j];
        text_printf(out, "%s c%d: ", mark, j);
        add_column_name(p, out, column);
        text_printf(out, "%s\n", column_note(column));
    }
    for (int i = 0; i < p->problem.rows; i++) {
        const ProgrammeRow *row = &p->row[i];
        text_printf(out, "%s r%d: ", mark, i);
        switch (row->role) {
        case ROW_LIMIT: add_comment_text(out, row->limit->of[0] == '\0' ? row->limit->name : row->limit->title); break;
        case ROW_FORM: add_comment_text(out, p->instance->form[row->form].name); break;
        case ROW_ORDER:
        case ROW_IN:
        case ROW_OVER:
            text_add(out, row->role == ROW_ORDER ? "owned copies first: "
                          : row->role == ROW_IN  ? "in or not: "
                                                 : "risen beyond the threshold: ");
            add_comment_text(out, p->instance->cards->card[row->card].name);
        }
        if (programme_row_is(p, i, LIMIT_CAP))
            text_add(out, ", cents");
        if (row->divisor != 1)
            text_printf(out, ", divided by %" PRId64, row->divisor);
        if (row->factor != 0)
            text_printf(out, ", times %" PRId64, row->factor);
        text_add_char(out, '\n');
    }
}

/* The matrix by row: for each row its entries, columns ascending. */
typedef struct {
    size_t *start;
    int *column;
    int64_t *value;
} ByRow;

static ByRow by_row_new(const SearchProblem *p)
{
    size_t entries = p->start[p->columns];
    ByRow r = {mem_new((size_t)p->rows + 2, sizeof *r.start), mem_new(entries, sizeof *r.column),
               mem_new(entries, sizeof *r.value)};
    for (size_t k = 0; k < entries; k++)
        r.start[p->row[k] + 2]++;
    for (int i = 0; i < p->rows; i++)
        r.start[i + 2] += r.start[i + 1];
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            size_t at = r.start[p->row[k] + 1]++;
            r.column[at] = j;
            r.value[at] = p->value[k];
        }
    return r;
}

static void by_row_release(ByRow *r)
{
    mem_free(r->start);
    mem_free(r->column);
    mem_free(r->value);
}

static void add_term(Text *out, int64_t value, int column, size_t *line_start)
{
    if (out->length - *line_start > 100) {
        text_add(out, "\n  ");
        *line_start = out->length;
    }
    text_printf(out, " %c %" PRIu64 " c%d", value < 0 ? '-' : '+', value < 0 ? -(uint64_t)value : (uint64_t)value,
                column);
}

static void add_lp_side(Text *out, const ByRow *r, int row, const char *suffix, const char *relation, int64_t bound)
{
    size_t line_start = out->length;
    text_printf(out, " r%d%s:", row, suffix);
    for (size_t k = r->start[row]; k < r->start[row + 1]; k++)
        add_term(out, r->value[k], r->column[k], &line_start);
    if (r->start[row] == r->start[row + 1])
        text_add(out, " 0 c0");
    text_printf(out, " %s %" PRId64 "\n", relation, bound);
}

static void add_lp_rows(const SearchProblem *p, const ByRow *r, Text *out)
{
    for (int i = 0; i < p->rows; i++) {
        bool low = p->row_low[i] != SEARCH_MINUS_INFINITY, high = p->row_high[i] != SEARCH_PLUS_INFINITY;
        if (low && high && p->row_low[i] == p->row_high[i])
            add_lp_side(out, r, i, "", "=", p->row_low[i]);
        else {
            if (low)
                add_lp_side(out, r, i, high ? "l" : "", ">=", p->row_low[i]);
            if (high)
                add_lp_side(out, r, i, low ? "u" : "", "<=", p->row_high[i]);
        }
    }
}

static void export_lp(const Programme *programme, Text *out)
{
    const SearchProblem *p = &programme->problem;
    text_add(out, "\\ written by poolwright; fit in thousandths, money in cents\n");
    add_names(programme, out, "\\");
    text_add(out, "Maximize\n");
    size_t line_start = out->length;
    text_add(out, " fit:");
    for (int j = 0; j < p->columns; j++)
        if (p->objective[j] != 0)
            add_term(out, p->objective[j], j, &line_start);
    if (out->length - line_start <= 5)
        text_add(out, " 0 c0");
    text_add(out, "\nSubject To\n");
    ByRow r = by_row_new(p);
    add_lp_rows(p, &r, out);
    by_row_release(&r);
    text_add(out, "Bounds\n");
    for (int j = 0; j < p->columns; j++)
        text_printf(out, " %" PRId64 " <= c%d <= %" PRId64 "\n", p->low[j], j, p->high[j]);
    text_add(out, "Generals\n");
    for (int j = 0; j < p->columns; j++)
        if (p->kind[j] != SEARCH_CONTINUOUS)
            text_printf(out, " c%d\n", j);
    text_add(out, "End\n");
}

/* Nothing meets the row: its lower side then is a row of its own, r<i>l. */
static bool sides_cross(const SearchProblem *p, int i)
{
    return p->row_low[i] != SEARCH_MINUS_INFINITY && p->row_high[i] != SEARCH_PLUS_INFINITY &&
           p->row_low[i] > p->row_high[i];
}

static char row_type(const SearchProblem *p, int i)
{
    bool low = p->row_low[i] != SEARCH_MINUS_INFINITY, high = p->row_high[i] != SEARCH_PLUS_INFINITY;
    if (low && high && p->row_low[i] == p->row_high[i])
        return 'E';
    if (high)
        return 'L';
    return low ? 'G' : 'N';
}

static void add_mps_columns(const SearchProblem *p, Text *out)
{
    bool integer = false;
    int markers = 0;
    text_add(out, "COLUMNS\n");
    for (int j = 0; j <= p->columns; j++) {
        bool is_integer = j < p->columns && p->kind[j] != SEARCH_CONTINUOUS;
        if (is_integer != integer) {
            text_printf(out, " m%d 'MARKER' %s\n", markers++, is_integer ? "'INTORG'" : "'INTEND'");
            integer = is_integer;
        }
        if (j == p->columns)
            break;
        text_printf(out, " c%d loss %" PRId64 "\n", j, -p->objective[j]);
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            text_printf(out, " c%d r%d %" PRId64 "\n", j, p->row[k], p->value[k]);
            if (sides_cross(p, p->row[k]))
                text_printf(out, " c%d r%dl %" PRId64 "\n", j, p->row[k], p->value[k]);
        }
    }
}

static void add_mps_rows(const SearchProblem *p, Text *out)
{
    text_add(out, "ROWS\n N loss\n");
    for (int i = 0; i < p->rows; i++) {
        text_printf(out, " %c r%d\n", row_type(p, i), i);
        if (sides_cross(p, i))
            text_printf(out, " G r%dl\n", i);
    }
}

static void add_mps_sides(const SearchProblem *p, Text *out)
{
    text_add(out, "RHS\n");
    for (int i = 0; i < p->rows; i++) {
        char type = row_type(p, i);
        int64_t side = type == 'G' || type == 'E' ? p->row_low[i] : p->row_high[i];
        if (type != 'N' && side != 0)
            text_printf(out, " rhs r%d %" PRId64 "\n", i, side);
        if (sides_cross(p, i) && p->row_low[i] != 0)
            text_printf(out, " rhs r%dl %" PRId64 "\n", i, p->row_low[i]);
    }
    text_add(out, "RANGES\n");
    for (int i = 0; i < p->rows; i++)
        if (row_type(p, i) == 'L' && p->row_low[i] != SEARCH_MINUS_INFINITY && !sides_cross(p, i))
            text_printf(out, " range r%d %" PRId64 "\n", i, p->row_high[i] - p->row_low[i]);
}

static void export_mps(const Programme *programme, Text *out)
{
    const SearchProblem *p = &programme->problem;
    text_add(out, "* written by poolwright; fit in thousandths, money in cents\n* the objective is minus the fit, to "
                  "be minimised\n");
    add_names(programme, out, "*");
    text_add(out, "NAME pool FREE\n");
    add_mps_rows(p, out);
    add_mps_columns(p, out);
    add_mps_sides(p, out);
    text_add(out, "BOUNDS\n");
    for (int j = 0; j < p->columns; j++)
        text_printf(out, " LO bound c%d %" PRId64 "\n UP bound c%d %" PRId64 "\n", j, p->low[j], j, p->high[j]);
    text_add(out, "ENDATA\n");
}

Programme *programme_compact(const Programme *from)
{
    const SearchProblem *p = &from->problem;
    SearchProblem *q = p->protections != NULL ? protections_compact(p) : problem_copy(p);
    Programme *to = mem_new(1, sizeof *to);
    *to = (Programme){.instance = from->instance, .problem = *q};
    mem_free(q);
    to->column = mem_new((size_t)to->problem.columns + 1, sizeof *to->column);
    to->row = mem_new((size_t)to->problem.rows + 1, sizeof *to->row);
    memcpy(to->column, from->column, (size_t)p->columns * sizeof *to->column);
    memcpy(to->row, from->row, (size_t)p->rows * sizeof *to->row);
    int column = p->columns, row = p->rows;
    for (int r = 0; p->protections != NULL && r < p->protections->count; r++) {
        const Protection *own = &p->protections->row[r];
        to->row[own->row].factor = own->weight > 1 ? own->weight : 0;
        for (int e = 0; e < own->entries; e++) {
            const long card = from->column[own->entry[e].column].card;
            to->column[column++] = (ProgrammeColumn){.role = COLUMN_OVER, .card = card, .form = -1, .theme = -1};
            to->row[row++] = (ProgrammeRow){.role = ROW_OVER, .card = card, .form = -1, .divisor = 1};
        }
    }
    return to;
}

char *programme_export(const Programme *programme, ExportFormat format, size_t *length)
{
    Text out = {0};
    if (format == EXPORT_LP)
        export_lp(programme, &out);
    else
        export_mps(programme, &out);
    *length = out.length;
    return out.data;
}
