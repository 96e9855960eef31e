/* sheets.c - the cells of a file's sheets: see ask_sheets in ask.h. */
#include "ask/ask.h"
#include "ask/line.h"
#include "cards/sheet/sheet.h"
#include "whatif/powers/feedback.h"

static json_t *row_json(const SheetRow *row)
{
    json_t *cells = json_array();
    for (size_t k = 0; k < row->cells; k++)
        json_array_append_new(cells, json_string(row->cell[k].text));
    return cells;
}

static json_t *sheet_json(const Sheet *sheet)
{
    json_t *rows = json_array();
    for (size_t r = 0; r < sheet->rows; r++)
        json_array_append_new(rows, row_json(&sheet->row[r]));
    json_t *root = json_pack("{s:s, s:o, s:o}", "path", sheet->path, "header", row_json(&sheet->header), "rows", rows);
    int at[NOTES_COLUMNS];
    if (notes_columns(sheet, at))
        json_object_set_new(root, "notes", json_pack("[i, i, i, i]", at[0], at[1], at[2], at[3]));
    return root;
}

void ask_sheets(const char *path, Text *out)
{
    Arena *arena = arena_new();
    Diags diags;
    size_t count = 0;
    json_t *sheets = json_array(), *root;
    diags_init(&diags);
    FileStore *files = file_store_new();
    const char **name = sheet_paths(arena, files, path, &count, &diags);
    for (size_t k = 0; name != NULL && k < count; k++) {
        Sheet sheet = {0};
        if (sheet_read(arena, files, name[k], (SourcePos){0}, &sheet, &diags))
            json_array_append_new(sheets, sheet_json(&sheet));
    }
    if (diags.errors > 0)
        root = json_pack("{s:o}", "error", ask_errors_json(&diags, NULL, arena));
    else
        root = json_pack("{s:O}", "sheets", sheets);
    json_decref(sheets);
    ask_add_line(root, out);
    file_store_free(files);
    diags_release(&diags);
    arena_free(arena);
}
