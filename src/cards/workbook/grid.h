/* grid.h - the cells of one sheet of a workbook, as its file tells them. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_GRID_H
#define POOLWRIGHT_CARDS_WORKBOOK_GRID_H

#include "base/files/file.h"
#include "cards/sheet/sheet.h"

typedef struct {
    int row, column;  /* from 1 */
    const char *text; /* never blank */
} GridCell;

typedef struct {
    int top, left, bottom, right; /* inclusive */
} GridMerge;

typedef struct {
    int first, last; /* columns, inclusive */
} GridSpan;

typedef struct {
    GridCell *cell; /* [cells], row by row */
    size_t cells, cell_capacity;
    GridMerge *merge;
    size_t merges, merge_capacity;
    size_t faults;  /* cells whose formula failed: "#N/A" */
    GridCell fault; /* the first of them */
    size_t hidden;  /* rows with something in them that are not shown */
    GridSpan *hide; /* columns that are not shown */
    size_t hides, hide_capacity;
    size_t bytes; /* of all texts, each as often as it stands there */
} Grid;

#define GRID_MAX_ROW 1048576
#define GRID_MAX_COLUMN 16384
#define GRID_MAX_BYTES FILE_MAX_BYTES /* as of a sheet in text */
#define GRID_MAX_MERGES 100000

typedef enum { GRID_ADDED, GRID_UNORDERED, GRID_FULL } GridStatus;
/* A blank text is left out; the others live elsewhere, as long as the sheet. Cells come row by row, from the left. */
GridStatus grid_add(Grid *grid, int row, int column, const char *text);
void grid_fault(Grid *grid, int row, int column, const char *text);
void grid_merge(Grid *grid, GridMerge merge);
void grid_hide_columns(Grid *grid, int first, int last); /* none where last is before first */
void grid_release(Grid *grid);

/* The grid's rows as a sheet: its title lines left out, its merged headers read, what is hidden told. Where there
 * are errors the header is there nevertheless, if there is any. */
void grid_to_sheet(const Grid *grid, Arena *arena, Sheet *sheet, Diags *diags);

#endif
