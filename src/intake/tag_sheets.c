/* tag_sheets.c - what the sheets of tags say of the candidates, so that their themes are found too. What is wrong there
 * is left for the reading by the model, which reports it. */

#include "base/text.h"
#include "intake/intake_inner.h"
#include "model/sheets/tag_lines.h"

const char *theme_of_sheet(const IntakeSheet *sheet)
{
    const bool graded = sheet_has(sheet, HOLDS_ROLE) || sheet_has(sheet, HOLDS_WEIGHT);
    return sheet->role == SHEET_TAGS && !sheet_has(sheet, HOLDS_TAGS) && (graded || !sheet_has(sheet, HOLDS_STATUS))
               ? sheet->title
               : NULL;
}

static void read_row(Intake *intake, const IntakeSheet *sheet, const SheetRow *row, TagLines *lines)
{
    const int tag = intake_column(sheet, HOLDS_TAGS), role = intake_column(sheet, HOLDS_ROLE),
              weight = intake_column(sheet, HOLDS_WEIGHT);
    const char *titled = theme_of_sheet(sheet), *name = row->cell[sheet->name].text,
               *text = titled != NULL ? titled
                       : tag >= 0     ? row->cell[tag].text
                                      : "";
    const long card = habits_skip(&intake->habits, name) ? -1 : card_find(intake->cards, name);
    LooseNumber number;
    if (card < 0 || habits_blank(&intake->habits, text))
        return;
    TagLine line = {.card = card,
                    .tag = text,
                    .folded = text_fold_in(intake->arena, text),
                    .weight = 1000,
                    .at = sheet_pos(&sheet->sheet, &row->cell[sheet->name])};
    if (role >= 0)
        line.role = habits_role(&intake->habits, row->cell[role].text);
    if (weight >= 0 && loose_number(row->cell[weight].text, &number))
        line.weight = number.value;
    if (card_has_tag(&intake->cards->card[card], card_tag(intake->cards, text)) != NULL)
        return;
    mem_reserve((void **)&lines->line, &lines->capacity, lines->count + 1, sizeof *lines->line);
    lines->line[lines->count++] = line;
}

void read_tag_sheets(Intake *intake)
{
    Diags later; /* the model's reading tells it */
    TagLines lines = {0};
    diags_init(&later);
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        for (size_t i = 0; i < sheet->sheet.rows && sheet->role == SHEET_TAGS; i++)
            read_row(intake, sheet, &sheet->sheet.row[i], &lines);
    }
    tag_lines_sort(&lines);
    tag_lines_drop_doubles(intake->cards, &lines, &later);
    tag_lines_add(intake->cards, &lines, &later);
    mem_free(lines.line);
    diags_release(&later);
}
