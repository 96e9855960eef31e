/* colour_columns.c - sheets with one column for each colour, in which an x says that the card needs it. */
#include <string.h>

#include "intake/intake_inner.h"

#define COLUMNS_LEAST 2
#define SYMBOLS_MOST 9000 /* thousandths */
#define COLOURED_LEAST 80 /* percent of the lines that have a mark in one of them */

static bool is_colour_name(const char *header)
{
    return header[0] != '\0' && strpbrk(header, "+/;,%\"'\n") == NULL && !header_is_aside(header) &&
           card_column_of(header) == NULL && !word_is_colourless(header) && !word_is_any(header);
}

/* Nothing but x, yes and /, and small numbers among them. */
static bool holds_marks(const IntakeSheet *sheet, size_t column)
{
    size_t marks = 0, others = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        LooseNumber number;
        if (says_nothing(text))
            continue;
        const bool mark = word_says_yes(text) >= 0 || strcmp(text, "/") == 0;
        marks += mark;
        others += !mark && !(loose_number(text, &number) && number.whole && number.value <= SYMBOLS_MOST);
    }
    return marks >= 2 && others == 0;
}

static bool is_marked(const SheetRow *row, size_t column)
{
    const char *text = row->cell[column].text;
    return !says_nothing(text) && word_says_yes(text) != 0;
}

/* Marks of the column, and how many of them are on lines without any so far; here[rows] has these. */
static size_t add_marks(const IntakeSheet *sheet, size_t column, bool *here, size_t *fresh)
{
    size_t marks = 0;
    *fresh = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++)
        if (is_marked(&sheet->sheet.row[i], column)) {
            marks++;
            *fresh += !here[i];
            here[i] = true;
        }
    return marks;
}

/* The end of the columns side by side from this one on of which each marks a third at least of cards that none before
 * it does (a theme marks cards that have their colours already), if together they mark nearly every card, seldom twice;
 * else 0. here[rows] is scratch. */
static size_t colours_end(const IntakeSheet *sheet, size_t from, const bool *marks_cards, bool *here)
{
    const size_t rows = sheet->sheet.rows;
    size_t lines = 0, marks = 0, to = from;
    memset(here, 0, rows * sizeof *here);
    for (; to < sheet->sheet.header.cells && marks_cards[to] && to - from < COLOURS_MAX; to++) {
        size_t fresh;
        const size_t more = add_marks(sheet, to, here, &fresh);
        if (fresh * 3 < more)
            break;
        lines += fresh;
        marks += more;
    }
    const bool good = to >= from + COLUMNS_LEAST && lines * 100 >= rows * COLOURED_LEAST && marks * 2 <= lines * 3;
    return good ? to : 0;
}

/* The columns [from, to) are the colours, if the answer is yes. */
static void ask_columns(Intake *intake, const IntakeSheet *sheet, size_t from, size_t to)
{
    const SheetCell *header = sheet->sheet.header.cell;
    IntakeQuestion question = {
        .id = "colour columns",
        .text = arena_printf(intake->arena,
                             "the columns from '%s' to '%s' mark nearly every card once: are they the colours, one "
                             "column for each?",
                             header[from].text, header[to - 1].text),
    };
    for (size_t k = from; k < to && k < from + QUESTION_EXAMPLES; k++)
        question_example(&question, sheet_pos(&sheet->sheet, &header[k]), header[k].text);
    if (!intake_ask_yes(intake, question))
        return;
    intake->colour_columns = true;
    intake->colour = arena_alloc(intake->arena, to - from, sizeof *intake->colour);
    for (size_t k = from; k < to; k++)
        intake->colour[intake->colours++] = header[k].text;
}

static bool has_colours(const Intake *intake)
{
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role == SHEET_CARDS && sheet_has(&intake->sheet[s], HOLDS_COLOURS))
            return true;
    return false;
}

static void look_at_sheet(Intake *intake, const IntakeSheet *sheet)
{
    const size_t columns = sheet->sheet.header.cells;
    bool *marks_cards = mem_new(columns, sizeof *marks_cards), *here = mem_new(sheet->sheet.rows, sizeof *here);
    for (size_t k = 0; k < columns; k++)
        marks_cards[k] =
            sheet->field[k] == HOLDS_OWN && is_colour_name(sheet->sheet.header.cell[k].text) && holds_marks(sheet, k);
    for (size_t from = 0, to = 0; from < columns && to == 0; from++) {
        to = colours_end(sheet, from, marks_cards, here);
        if (to > 0)
            ask_columns(intake, sheet, from, to);
    }
    mem_free(marks_cards);
    mem_free(here);
}

void guess_colour_columns(Intake *intake)
{
    for (size_t s = 0; s < intake->sheets && !has_colours(intake) && !intake->colour_columns; s++)
        if (intake->sheet[s].role == SHEET_CARDS)
            look_at_sheet(intake, &intake->sheet[s]);
}
