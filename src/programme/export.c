/* export.c - the programme as LP or free MPS text, by GLPK's writers.
 *
 * Ours are the names: ASCII with an index, since GLPK merges "a b" with "a_b" and loses accents; the full names stand
 * in comments. And what the writers do not see to: MPS has no agreed way to say "maximise"; a row whose lower side is
 * above its upper one (nothing meets it) is two rows, since RANGES are widths and readers make a row that can be met of
 * a negative one; numbers are checked to fit, since the writers round longer ones without a word. */
#include <errno.h>
#include <float.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "base/text.h"
#include "programme/programme.h"
#include "search/linear/glpk.h"

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
    case COLUMN_SETS: return ", whole sets";
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

/* ---- written by GLPK ---- */

/* Does GLPK write the number digit for digit? LP has 15 digits, MPS 12 characters. */
static bool written_whole(ExportFormat format, double value)
{
    return format == EXPORT_LP ? fabs(value) < 1e15 : value > -1e11 && value < 1e12;
}

static bool row_written_whole(glp_prob *lp, ExportFormat format, int row)
{
    const double low = glp_get_row_lb(lp, row), high = glp_get_row_ub(lp, row);
    if ((low != -DBL_MAX && !written_whole(format, low)) || (high != DBL_MAX && !written_whole(format, high)))
        return false;
    return low == -DBL_MAX || high == DBL_MAX || written_whole(format, high - low); /* the width of a range */
}

static bool column_written_whole(glp_prob *lp, ExportFormat format, int column, double *value)
{
    const double objective = glp_get_obj_coef(lp, column);
    bool whole = written_whole(format, objective) && written_whole(format, -objective) &&
                 written_whole(format, glp_get_col_lb(lp, column)) && written_whole(format, glp_get_col_ub(lp, column));
    for (int k = glp_get_mat_col(lp, column, NULL, value); k > 0; k--)
        whole = whole && written_whole(format, value[k]);
    return whole;
}

static bool all_written_whole(glp_prob *lp, ExportFormat format)
{
    bool whole = true;
    double *value = mem_new((size_t)glp_get_num_rows(lp) + 1, sizeof *value);
    for (int j = 1; j <= glp_get_num_cols(lp); j++)
        whole = whole && column_written_whole(lp, format, j, value);
    for (int i = 1; i <= glp_get_num_rows(lp); i++)
        whole = whole && row_written_whole(lp, format, i);
    mem_free(value);
    return whole;
}

/* Nothing meets the row: its lower side becomes a row of its own, r<i>l. */
static void split_row(glp_prob *lp, int row, int *index, double *value)
{
    char name[32];
    const double low = glp_get_row_lb(lp, row), high = glp_get_row_ub(lp, row);
    snprintf(name, sizeof name, "%sl", glp_get_row_name(lp, row));
    const int lower = glp_add_rows(lp, 1), count = glp_get_mat_row(lp, row, index, value);
    glp_set_row_name(lp, lower, name);
    glp_set_mat_row(lp, lower, count, index, value);
    glp_set_row_bnds(lp, row, GLP_UP, 0.0, high);
    glp_set_row_bnds(lp, lower, GLP_LO, low, 0.0);
}

/* GLPK leaves the objective out of MPS when some row has no side, and marks a column that is in no row and without fit
 * in a way that other programs refuse: both say nothing, and go. */
static void drop_idle(glp_prob *lp)
{
    const int rows = glp_get_num_rows(lp), columns = glp_get_num_cols(lp);
    int count = 0, *index = mem_new((size_t)(rows > columns ? rows : columns) + 1, sizeof *index);
    for (int i = 1; i <= rows; i++)
        if (glp_get_row_type(lp, i) == GLP_FR)
            index[++count] = i;
    if (count > 0)
        glp_del_rows(lp, count, index);
    count = 0;
    for (int j = 1; j <= columns; j++)
        if (glp_get_mat_col(lp, j, NULL, NULL) == 0 && glp_get_obj_coef(lp, j) == 0.0)
            index[++count] = j;
    if (count > 0)
        glp_del_cols(lp, count, index);
    mem_free(index);
}

/* MPS has no direction: the negated objective is minimised. */
static int write_mps(glp_prob *lp, const char *path)
{
    drop_idle(lp);
    glp_set_obj_dir(lp, GLP_MIN);
    for (int j = 1; j <= glp_get_num_cols(lp); j++)
        glp_set_obj_coef(lp, j, -glp_get_obj_coef(lp, j));
    return glp_write_mps(lp, GLP_MPS_FILE, NULL, path);
}

/* GLPK writes no LP file of a programme without columns: it gets one that is nothing. */
static int write_lp(glp_prob *lp, const char *path)
{
    if (glp_get_num_cols(lp) == 0) {
        glp_set_col_name(lp, glp_add_cols(lp, 1), "none");
        glp_set_col_bnds(lp, 1, GLP_FX, 0.0, 0.0);
    }
    glp_set_obj_name(lp, "fit");
    return glp_write_lp(lp, NULL, path);
}

/* A copy as it is written. */
static glp_prob *tidied(glp_prob *stated)
{
    glp_prob *lp = glp_create_prob();
    glp_copy_prob(lp, stated, GLP_ON);
    const int rows = glp_get_num_rows(lp), columns = glp_get_num_cols(lp);
    int *index = mem_new((size_t)columns + 1, sizeof *index);
    double *value = mem_new((size_t)columns + 1, sizeof *value);
    for (int i = 1; i <= rows; i++)
        if (glp_get_row_lb(lp, i) > glp_get_row_ub(lp, i))
            split_row(lp, i, index, value);
    glp_sort_matrix(lp);
    mem_free(index);
    mem_free(value);
    return lp;
}

typedef struct {
    glp_prob *stated;
    ExportFormat format;
    const char *path;
    bool written;
} Writing;

static void write_problem(void *argument)
{
    Writing *writing = argument;
    glp_prob *lp = tidied(writing->stated);
    errno = 0;
    writing->written = (writing->format == EXPORT_LP ? write_lp : write_mps)(lp, writing->path) == 0;
    if (!writing->written && errno == ENOMEM) /* fopen's own */
        mem_exhausted();
    glp_delete_prob(lp);
}

static bool ends_with(const Text *text, const char *end)
{
    const size_t length = strlen(end);
    return text->length >= length && memcmp(text->data + text->length - length, end, length) == 0;
}

/* GLPK writes to a path only: to a file in memory. It does not look whether its last piece could be written. */
static bool add_problem(glp_prob *stated, ExportFormat format, Text *out)
{
    char path[64], part[1 << 14];
    const int file = memfd_create("poolwright", MFD_CLOEXEC);
    if (file < 0)
        return false;
    snprintf(path, sizeof path, "/proc/self/fd/%d", file);
    Writing writing = {stated, format, path, false};
    bool good = glpk_guarded(write_problem, &writing) && writing.written;
    ssize_t count = 0;
    while (good && (count = read(file, part, sizeof part)) > 0)
        text_add_n(out, part, (size_t)count);
    close(file);
    return good && count == 0 && ends_with(out, format == EXPORT_LP ? "End\n" : "ENDATA\n");
}

char *programme_export(const Programme *programme, ExportFormat format, size_t *length, Diags *diags)
{
    const bool lp = format == EXPORT_LP;
    Text out = {0};
    if (!all_written_whole(programme->lp, format)) {
        diag_error(diags, (SourcePos){0}, "the programme has numbers that %s can't hold digit for digit%s",
                   lp ? "an LP file (15 digits)" : "an MPS file (12 characters)",
                   lp ? "" : "; an LP file may: --format lp");
        return NULL;
    }
    text_add(&out, lp ? "\\ written by poolwright; fit in thousandths, money in cents\n"
                      : "* written by poolwright; fit in thousandths, money in cents\n* the objective is minus the "
                        "fit, to be minimised\n");
    add_names(programme, &out, lp ? "\\" : "*");
    if (!add_problem(programme->lp, format, &out)) {
        diag_error(diags, (SourcePos){0}, "the GLPK library could not write the programme");
        text_release(&out);
        return NULL;
    }
    *length = out.length;
    return out.data;
}
