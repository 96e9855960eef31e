/* present_sheet.c - see present_sheet.h. */
#include "report/sheet/present_sheet.h"

#include "base/number.h"
#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/sheet_numbers.h"
#include "model/sheets/matched_sheet.h"
#include "report/layout/format.h"
#include "report/sheet/sheet_out.h"

typedef struct {
    long card;  /* -1: no candidate */
    int copies; /* that the line says are in */
    bool paid;  /* money stands on it */
    bool other; /* the model says that it is no card: it stays as it is */
    bool first; /* of its card: the line that says how many there are now */
} PoolLine;

typedef struct {
    const Instance *in;
    const Sheet *sheet;
    int name, copies, paid, price; /* columns; -1: none */
    bool written;                  /* the sheet is a list of ours */
    bool adds_copies;              /* a column that was not there: the last */
    bool commas;                   /* numbers are written so */
    bool marks;                    /* lines with no copy stand in it anyway */
    PoolLine *line;                /* [rows] */
    const char **cell;
    Arena *arena;
    Text *out;
} PoolSheet;

/* ---- as it was ---- */

static PoolLine read_line(const PoolSheet *s, const SheetRow *row)
{
    const char *name = row->cell[s->name].text;
    PoolLine line = {.card = card_find(s->in->cards, name), .copies = 1};
    line.other = habits_skip(&s->in->model->habits, name) || names_no_card(s->in, row, &row->cell[s->name]);
    if (line.other)
        return (PoolLine){.card = -1, .other = true};
    if (line.card < 0) {
        size_t length;
        const char *start = name_with_count(name, &length, &line.copies);
        line.card = card_find(s->in->cards, arena_strndup(s->arena, start, length));
    }
    if (s->copies >= 0 && !sheet_copies(s->sheet, row->cell[s->copies].text, &line.copies))
        line.copies = 0;
    line.paid = s->paid >= 0 && row->cell[s->paid].text[0] != '\0';
    return line;
}

/* Of several lines on a card the first with copies says how many there are; else the first. */
static void find_firsts(const PoolSheet *s)
{
    long *at = mem_new(s->in->cards->count, sizeof *at);
    for (int none = 0; none < 2; none++)
        for (size_t k = 0; k < s->sheet->rows; k++) {
            PoolLine *line = &s->line[k];
            if (line->card < 0 || at[line->card] != 0 || (line->copies == 0) != none)
                continue;
            at[line->card] = 1;
            line->first = true;
        }
    mem_free(at);
}

static void read_lines(PoolSheet *s)
{
    s->line = arena_alloc(s->arena, s->sheet->rows, sizeof *s->line);
    for (size_t k = 0; k < s->sheet->rows; k++) {
        s->line[k] = read_line(s, &s->sheet->row[k]);
        s->marks = s->marks || (s->line[k].copies == 0 && !s->line[k].paid && !s->line[k].other);
    }
    find_firsts(s);
}

/* ---- as it will be ---- */

static int now_on(const PoolLine *line, const int *copies)
{
    return line->card >= 0 && line->first ? copies[line->card] : 0;
}

static bool stays(const PoolSheet *s, const PoolLine *line, const int *copies)
{
    return now_on(line, copies) > 0 || line->paid || line->other || s->marks;
}

/* A sheet without a column of copies has a line for each copy; does that still do? */
static bool needs_copies(const PoolSheet *s, const int *copies)
{
    bool *met = mem_new(s->in->cards->count, sizeof *met);
    bool needs = false;
    for (size_t k = 0; k < s->sheet->rows; k++) {
        const PoolLine *line = &s->line[k];
        needs = needs || (stays(s, line, copies) && now_on(line, copies) != line->copies);
        if (line->card >= 0)
            met[line->card] = true;
    }
    for (size_t c = 0; c < s->in->cards->count; c++)
        needs = needs || (!met[c] && copies[c] > 1);
    mem_free(met);
    return needs;
}

static size_t columns_of(const PoolSheet *s)
{
    return s->sheet->header.cells + s->adds_copies;
}

static const char *number_text(const PoolSheet *s, int number)
{
    return arena_printf(s->arena, "%d", number);
}

static void add_line(const PoolSheet *s, SheetAgain *again, size_t row, const PoolLine *line, int now)
{
    const size_t at = s->copies >= 0 ? (size_t)s->copies : columns_of(s) - 1;
    for (size_t c = 0; c < s->sheet->header.cells; c++)
        s->cell[c] = s->sheet->row[row].cell[c].text;
    if (!line->other && (s->adds_copies || (s->copies >= 0 && now != line->copies)))
        s->cell[at] = number_text(s, now);
    sheet_again_row(again, row, s->cell);
}

static const char *number_here(const PoolSheet *s, const char *number)
{
    return sheet_number(s->arena, s->commas, number);
}

/* What lists say of a card: the price in force where a sheet of prices has it, class and fit in a list of ours, and
 * else what the cards sheet says. */
static const char *cell_of(const PoolSheet *s, size_t card, size_t column)
{
    const Instance *in = s->in;
    const char *header = s->sheet->header.cell[column].text;
    const int own = card_column(in->cards, header);
    if ((int)column == s->paid)
        return "";
    if ((int)column == s->price && in->quoted[card])
        return number_here(s, format_money(s->arena, in->price[card]));
    if (s->written && text_folds_to(header, "class"))
        return class_name(in->class[card]);
    if (s->written && text_folds_to(header, "fit"))
        return number_here(s, format_number(s->arena, in->fit[card]));
    return own < 0 ? "" : in->cards->card[card].cell[own];
}

static void add_card(const PoolSheet *s, size_t card, int copies)
{
    const CardSet *set = s->in->cards;
    for (size_t c = 0; c < s->sheet->header.cells; c++)
        s->cell[c] = cell_of(s, card, c);
    s->cell[s->name] = set->card[card].name;
    if (s->copies >= 0 || s->adds_copies)
        s->cell[s->copies >= 0 ? (size_t)s->copies : columns_of(s) - 1] = number_text(s, copies);
    sheet_line(s->out, s->cell, columns_of(s), s->sheet->separator);
}

void present_sheet(const Instance *instance, const Sheet *sheet, const int *copies, Text *out)
{
    const Model *model = instance->model;
    PoolSheet s = {.in = instance, .sheet = sheet, .arena = arena_new(), .out = out};
    s.name = side_column(sheet, model, "name");
    s.copies = side_column(sheet, model, "chosen");
    if (s.copies < 0)
        s.copies = side_column(sheet, model, "copies");
    s.paid = side_column(sheet, model, "paid");
    s.price = mapped_column(sheet, model, "price");
    s.written = sheet_is_written(sheet);
    s.commas = sheet_keeps_commas(sheet, instance->cards, &model->habits);
    read_lines(&s);
    s.adds_copies = s.copies < 0 && needs_copies(&s, copies);
    s.cell = arena_alloc(s.arena, columns_of(&s), sizeof *s.cell);
    for (size_t c = 0; c < sheet->header.cells; c++)
        s.cell[c] = sheet->header.cell[c].text;
    if (s.adds_copies)
        s.cell[columns_of(&s) - 1] = "copies";
    SheetAgain again;
    sheet_again_begin(&again, sheet, s.cell, columns_of(&s), out);
    bool *met = mem_new(instance->cards->count, sizeof *met);
    for (size_t k = 0; k < sheet->rows; k++) {
        const PoolLine *line = &s.line[k];
        if (stays(&s, line, copies))
            add_line(&s, &again, k, line, now_on(line, copies));
        if (line->card >= 0)
            met[line->card] = true;
    }
    sheet_again_end(&again);
    for (size_t c = 0; c < instance->cards->count; c++)
        if (!met[c] && copies[c] > 0)
            add_card(&s, c, copies[c]);
    mem_free(met);
    arena_free(s.arena);
}

/* ---- the journal ---- */

typedef struct {
    const Sheet *sheet; /* path NULL: there is none yet */
    size_t columns;
    int at[JOURNAL_COLUMNS];
    const char **cell;
    char separator;
    bool commas;
} JournalSheet;

/* Its columns; those that it lacks come last. */
static void lay_columns(JournalSheet *j, Arena *arena)
{
    j->columns = j->sheet->header.cells;
    j->cell = arena_alloc(arena, j->columns + JOURNAL_COLUMNS, sizeof *j->cell);
    for (size_t c = 0; c < j->sheet->header.cells; c++)
        j->cell[c] = j->sheet->header.cell[c].text;
    for (size_t k = 0; k < JOURNAL_COLUMNS; k++) {
        j->at[k] = j->sheet->path != NULL ? sheet_column(j->sheet, journal_column[k]) : -1;
        if (j->at[k] >= 0)
            continue;
        j->cell[j->columns] = journal_column[k];
        j->at[k] = (int)j->columns++;
    }
}

static void blank(const JournalSheet *j)
{
    for (size_t c = 0; c < j->columns; c++)
        j->cell[c] = "";
}

static void add_entry(const JournalSheet *j, const JournalLine *line, Arena *arena, Text *out)
{
    char price[NUMBER_TEXT];
    blank(j);
    j->cell[j->at[JOURNAL_DATE]] = date_text(arena, line->day);
    j->cell[j->at[JOURNAL_CHANGE]] = journal_change_name(line->change);
    j->cell[j->at[JOURNAL_CARD]] = line->card;
    j->cell[j->at[JOURNAL_COPIES]] = arena_printf(arena, "%d", line->copies);
    j->cell[j->at[JOURNAL_REASON]] = line->reason;
    if (line->has_price)
        j->cell[j->at[JOURNAL_PRICE]] = sheet_number(arena, j->commas, number_format(price, line->price, 2, 2));
    sheet_line(out, j->cell, j->columns, j->separator);
}

/* Those that are there. */
static void copy_entries(const JournalSheet *j, Text *out)
{
    const Sheet *sheet = j->sheet;
    SheetAgain again;
    sheet_again_begin(&again, sheet, j->cell, j->columns, out);
    for (size_t k = 0; k < sheet->rows; k++) {
        blank(j);
        for (size_t c = 0; c < sheet->header.cells; c++)
            j->cell[c] = sheet->row[k].cell[c].text;
        sheet_again_row(&again, k, j->cell);
    }
    sheet_again_end(&again);
}

void journal_sheet(const Instance *instance, const Accepted *accepted, Text *out)
{
    Arena *arena = arena_new();
    const Sheet *sheet = &instance->journal->sheet;
    const bool there = sheet->path != NULL;
    JournalSheet j = {.sheet = sheet, .separator = there ? sheet->separator : sheet_separator(instance->cards)};
    j.commas = there ? sheet_keeps_commas(sheet, instance->cards, &(Habits){0}) : sheet_has_commas(instance->cards);
    lay_columns(&j, arena);
    if (there) {
        copy_entries(&j, out);
    } else {
        sheet_begin(out, instance->cards);
        sheet_line(out, j.cell, j.columns, j.separator);
    }
    for (size_t k = 0; k < accepted->lines; k++)
        add_entry(&j, &accepted->line[k], arena, out);
    arena_free(arena);
}
