/* intake_inner.h - inside the intake: the steps in their order, each with its questions. */
#ifndef POOLWRIGHT_INTAKE_INTAKE_INNER_H
#define POOLWRIGHT_INTAKE_INTAKE_INNER_H

#include "intake/bag.h"
#include "intake/intake.h"

/* roles.c: what each column and each sheet is. False with errors. */
bool guess_roles(Intake *intake);
/* several_sheets.c: the roles of the sheets beside each other, when each has a likely one. */
void settle_several(Intake *intake);
/* no_table.c: true, with the error, where the sheet's first line names no columns, or its columns are lists. */
bool refuse_no_table(const Intake *intake, const IntakeSheet *sheet);
/* by_headers.c: columns that headers or cells name; score[column]: how much speaks for it, 0 where it is left open. */
void guess_by_headers(IntakeSheet *sheet, int *score);
/* Cells of the column that say keep, ban, wish or in. */
size_t status_cells(const IntakeSheet *sheet, size_t column);
/* by_cells.c: columns whose headers say nothing, by their cells alone; the score of such a column is UNKNOWN. */
#define UNKNOWN 70 /* percent of the cells that must speak for a field; as a score: it is asked */
void guess_by_cells(Intake *intake, IntakeSheet *sheet, int *score);
/* Further columns of tags beside the one there is, as "theme 1" and "theme 2". */
void guess_more_tags(Intake *intake, IntakeSheet *sheet, int *score);
bool sheet_has(const IntakeSheet *sheet, ColumnField field);
/* 1, 2, 3 ... of every line, as of a numbered list. */
bool column_counts_lines(const ColumnLook *look);
/* grades_guess.c: scores in words, and what each is worth. */
void guess_grades(Intake *intake);
/* unread.c: columns that were perhaps meant to count and do not. */
void tell_unread_columns(const Intake *intake);
/* lines.c: lines that are no cards; after the marks the lines that name a card again. */
void guess_lines(Intake *intake);
void guess_duplicates(Intake *intake);
/* marks.c: words for nothing, decimals, what parts tags, lists of names. */
void guess_marks(Intake *intake);
/* currencies.c: what other currencies are worth. After the marks. */
void guess_currencies(Intake *intake);
/* own_words.c: words of the user's own for roles and statuses. After the marks. */
void guess_own_words(Intake *intake);
/* tag_sheets.c: gives the candidates the tags that sheets of tags say. */
void read_tag_sheets(Intake *intake);
/* The tag of all lines of a sheet that is called as its theme; NULL: each line has its own. */
const char *theme_of_sheet(const IntakeSheet *sheet);
/* colours_guess.c: names of colours, other words for them, what stands between them. After the marks. */
void guess_colours(Intake *intake);
/* colour_titles.c: names of colours that sheets or headings are called as, where no column says any. */
void guess_colours_by_titles(Intake *intake);
/* Which sheets have their colours by these, when the colours are known. */
void settle_titles(Intake *intake);
/* When the cards are read: those that stand below no heading of a colour, where others do. */
void tell_colourless_sections(const Intake *intake);
/* colour_columns.c: one column for each colour, before all other columns of marks. */
void guess_colour_columns(Intake *intake);
/* themes.c: columns that mark cards for a theme, before the cards are read; the themes after it. */
void guess_theme_columns(Intake *intake);
/* Nothing but x, yes, roles and weights, x or a role among them, and blank for a tenth of the cards. */
bool marks_cards(const IntakeSheet *sheet, size_t column);
void guess_themes(Intake *intake);

/* Calls `each` for every cell of a field in sheets of the roles (a bit for each), lines that are passed over left out.
 */
typedef struct {
    IntakeSheet *sheet;
    const SheetRow *row;
    const SheetCell *cell;
    ColumnField field;
} CellAt;
typedef void EachCell(void *context, const CellAt *at);
void each_cell(Intake *intake, unsigned roles, ColumnField field, EachCell *each, void *context);
/* The same for columns that mark cards for a theme. */
void each_theme_cell(Intake *intake, EachCell *each, void *context);
#define ROLE_BIT(role) (1u << (role))
#define ROLES_READ                                                                                                     \
    (ROLE_BIT(SHEET_CARDS) | ROLE_BIT(SHEET_PRICES) | ROLE_BIT(SHEET_OWNED) | ROLE_BIT(SHEET_TAGS) |                   \
     ROLE_BIT(SHEET_POOL))

/* Up to three; counts. */
void question_example(IntakeQuestion *question, SourcePos at, const char *text);
/* A question whose choices are yes and no; yes is the likely one unless it says otherwise. */
bool intake_ask_yes(Intake *intake, IntakeQuestion question);
/* Was it said what the column holds, instead of what is likely? */
bool intake_was_answered(const Intake *intake, const IntakeSheet *sheet, const char *header);
/* What the column holds is known only now: so its question says, as if it had been the likely answer. */
void intake_take_column(Intake *intake, IntakeSheet *sheet, size_t column, ColumnField field);
/* A blank cell, or a word such as "n/a". */
bool says_nothing(const char *text);

#endif
