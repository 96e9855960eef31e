/* cut_form.c - sums are kept with the divisors that the rows had then. Where a row has another divisor now the sum
 * comes out times some factor, and so does all else. */
#include "search/cuts/cut_form.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"

void cut_forms_release(CutForms *forms)
{
    for (size_t k = 0; k < forms->count; k++)
        mem_free(forms->form[k].upper);
    mem_free(forms->form);
    *forms = (CutForms){0};
}

static size_t bytes_for(int columns)
{
    return (size_t)columns / 8 + 1;
}

static bool bit(const unsigned char *bits, int j)
{
    return bits[j / 8] >> j % 8 & 1;
}

static void add(CutForms *forms, const CutForm *form)
{
    mem_reserve((void **)&forms->form, &forms->capacity, forms->count + 1, sizeof *forms->form);
    forms->form[forms->count++] = *form;
}

void cut_forms_copy(CutForms *to, const CutForms *from)
{
    cut_forms_release(to);
    for (size_t k = 0; k < from->count; k++) {
        CutForm form = from->form[k];
        form.upper = mem_new(form.bytes, 1);
        memcpy(form.upper, from->form[k].upper, form.bytes);
        add(to, &form);
    }
}

void cut_forms_keep(CutForms *forms, bool *marked, int **number)
{
    for (size_t k = forms->count; k-- > 0;)
        for (int p = 0; marked[k] && p < forms->form[k].parts; p++)
            if (forms->form[k].part[p].row < 0)
                marked[-1 - forms->form[k].part[p].row] = true;
    size_t kept = 0;
    int *to = mem_new(forms->count + 1, sizeof *to);
    for (size_t k = 0; k < forms->count; k++) {
        CutForm form = forms->form[k];
        if (!marked[k]) {
            mem_free(form.upper);
            continue;
        }
        for (int p = 0; p < form.parts; p++)
            if (form.part[p].row < 0)
                form.part[p].row = -1 - to[-1 - form.part[p].row];
        to[k] = (int)kept;
        forms->form[kept++] = form;
    }
    forms->count = kept;
    *number = to;
}

CutLabel cut_forms_add(CutForms *forms, const Core *core, const Matrix *matrix, int first, const CutLabel *label,
                       const Cut *cut)
{
    CutForm form = {.parts = cut->from.parts, .divisor = cut->divisor, .bytes = bytes_for(core->whole_columns)};
    for (int k = 0; k < form.parts; k++) {
        const int row = cut->from.part[k].row;
        form.part[k] = (CutPart){row < first ? row : -1 - label[row - first].form, cut->from.part[k].multiplier,
                                 matrix->divisor[row]};
    }
    form.upper = mem_new(form.bytes, 1);
    for (int j = 0; j < core->whole_columns; j++) {
        const int at = core->place[j];
        if (at >= 0 ? cut->upper[at] : core->fixed[j] > 0) /* what is fixed is measured from where it is */
            form.upper[j / 8] = (unsigned char)(form.upper[j / 8] | 1 << j % 8);
    }
    add(forms, &form);
    return (CutLabel){(int)forms->count - 1, cut->scale};
}

void cut_forms_move(CutForms *to, CutForms *from, const Core *core, int first, const CutLabel *label)
{
    const int before = (int)to->count;
    for (size_t k = 0; k < from->count; k++) {
        CutForm form = from->form[k];
        form.bytes = bytes_for(core->whole_columns);
        form.upper = mem_new(form.bytes, 1);
        form.local = true;
        for (int j = 0; j < core->whole_columns; j++) {
            const int at = core->place[j];
            if (at >= 0 ? bit(from->form[k].upper, at) : core->fixed[j] > 0)
                form.upper[j / 8] = (unsigned char)(form.upper[j / 8] | 1 << j % 8);
        }
        for (int p = 0; p < form.parts; p++) {
            int *row = &form.part[p].row;
            *row = *row < 0 ? *row - before : *row >= first ? -1 - label[*row - first].form : *row;
        }
        add(to, &form);
    }
    cut_forms_release(from);
}

/* The sum in terms of the matrix, and the divisor that suits it: all times the smallest factor that makes it whole. */
static bool in_rows(const CutForm *form, const Matrix *matrix, const int *row_of, Aggregation *out, int64_t *divisor)
{
    int128 whole = 1;
    *out = (Aggregation){.parts = form->parts};
    for (int k = 0; k < form->parts; k++) {
        const CutPart *part = &form->part[k];
        const int row = part->row >= 0 ? part->row : row_of[-1 - part->row];
        if (row < 0 || matrix->row_start[row] == matrix->row_start[row + 1])
            return false;
        out->part[k].row = row;
        whole = whole / gcd64((int64_t)whole, part->divisor) * part->divisor;
        if (whole > MATRIX_LARGEST)
            return false;
    }
    int64_t common = 0;
    for (int k = 0; k < form->parts; k++) {
        const CutPart *part = &form->part[k];
        const int row = out->part[k].row;
        const int128 multiplier = (int128)part->multiplier * (int64_t)(whole / part->divisor) * matrix->divisor[row];
        if (multiplier > MATRIX_LARGEST || multiplier < -MATRIX_LARGEST || multiplier == 0)
            return false;
        out->part[k].multiplier = (int64_t)multiplier;
        common = gcd64(common, magnitude64((int64_t)multiplier));
    }
    const int128 d = (int128)form->divisor * whole;
    if (d > MATRIX_LARGEST)
        return false;
    common = gcd64(common, (int64_t)d);
    for (int k = 0; k < form->parts; k++)
        out->part[k].multiplier /= common;
    *divisor = (int64_t)d / common;
    return true;
}

bool cut_form_in_rows(const CutForm *form, const Core *core, const Matrix *matrix, const int *row_of, MirForm *out)
{
    if (form->bytes != bytes_for(core->whole_columns) || !in_rows(form, matrix, row_of, &out->from, &out->divisor))
        return false;
    out->upper = mem_new((size_t)matrix->p.columns + 1, sizeof *out->upper);
    for (int j = 0; j < matrix->p.columns; j++)
        out->upper[j] = bit(form->upper, core->map[j]);
    return true;
}
