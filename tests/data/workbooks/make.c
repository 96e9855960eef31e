/* make.c - all sheets of this folder as one workbook, by libxlsxwriter: libxlsxwriter.xlsx. Called by ./make, which
 * gives it the sheets as lines of cells with tabs between. */
#include <stdlib.h>
#include <string.h>
#include <xlsxwriter.h>

int main(void)
{
    static const char *const name[] = {"cards", "prices", "owned", "tags", "targets", "pool", "notes"};
    lxw_workbook *book = workbook_new("libxlsxwriter.xlsx");
    lxw_doc_properties fixed = {.created = 1767225600};
    lxw_format *date = workbook_add_format(book), *percent = workbook_add_format(book);
    format_set_num_format(date, "d. mmmm yyyy");
    format_set_num_format(percent, "0.0%");
    workbook_set_properties(book, &fixed);
    for (size_t k = 0; k < sizeof name / sizeof *name; k++) {
        char path[64], line[4096];
        snprintf(path, sizeof path, "%s.tsv", name[k]);
        FILE *file = fopen(path, "r");
        lxw_worksheet *sheet = workbook_add_worksheet(book, name[k]);
        for (lxw_row_t row = 0; fgets(line, sizeof line, file) != NULL; row++) {
            line[strcspn(line, "\n")] = '\0';
            char *rest = line, *cell, *end;
            for (lxw_col_t column = 0; (cell = strsep(&rest, "\t")) != NULL; column++) {
                int year, month, day;
                const double number = strtod(cell, &end);
                for (char *c = cell; *c != '\0'; c++)
                    *c = *c == '\x01' ? '\n' : *c;
                if (sscanf(cell, "%4d-%2d-%2d", &year, &month, &day) == 3)
                    worksheet_write_datetime(sheet, row, column, &(lxw_datetime){year, month, day, 0, 0, 0}, date);
                else if (end != cell && *end == '\0' && strcmp(cell, "1984") != 0)
                    worksheet_write_number(sheet, row, column, number, NULL);
                else if (end != cell && strcmp(end, "%") == 0)
                    worksheet_write_number(sheet, row, column, number / 100, percent);
                else if (*cell != '\0')
                    worksheet_write_string(sheet, row, column, cell, NULL);
            }
        }
        fclose(file);
    }
    return workbook_close(book);
}
