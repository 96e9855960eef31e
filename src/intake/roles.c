/* roles.c - which field each column holds, by its header and by its cells, and what each sheet is. */
#include <string.h>

#include "base/text.h"
#include "intake/intake_inner.h"

#define SURE 200   /* a header of one of the field's words over cells that could be it */
#define UNKNOWN 70 /* without any word of the field in the header the cells must speak for themselves */

/* ---- columns ---- */

/* Headers of costs stand over prices too: then the cells hold money. */
static int header_speaks(const char *header, const ColumnLook *look, ColumnField field)
{
    const int named = header_names(header, field);
    if (field == HOLDS_PRICE && named == 0 && header_names(header, HOLDS_COST) > 0 &&
        (look->signs + look->decimals) * 2 > look->filled)
        return 60;
    return named;
}

/* 1, 2, 3 ... of every line, as of a numbered list. */
static bool counts_lines(const ColumnLook *look)
{
    return look->filled > 20 && look->whole == look->filled && look->distinct == look->filled;
}

/* 0: it cannot be, or nothing speaks for it. */
static int score_of(const IntakeSheet *sheet, size_t column, ColumnField field)
{
    const char *header = sheet->sheet.header.cell[column].text;
    const ColumnLook *look = &sheet->look[column];
    const int fits = look_fits(look, sheet->sheet.rows, field), named = header_speaks(header, look, field);
    if (fits < 30 || (field == HOLDS_NAME && look->filled == 0))
        return 0;
    if (counts_lines(look) && field != HOLDS_PRICE)
        return 0;
    if (named > 0)
        return header_is_aside(header) && field != HOLDS_POWER ? 0 : 2 * named + fits;
    if (header_is_aside(header))
        return 0;
    switch (field) {
    case HOLDS_NAME: return fits >= 80 ? fits - 20 : 0;
    case HOLDS_PRICE: return fits >= UNKNOWN && look->signs * 2 > look->filled ? fits - 20 : 0;
    case HOLDS_COLOURS:
    case HOLDS_KIND:
    case HOLDS_COST:
    case HOLDS_POWER:
    case HOLDS_TAGS:
    case HOLDS_TEXT:
    case HOLDS_COPIES:
    case HOLDS_OWNED:
    case HOLDS_STATUS:
    case HOLDS_LOW:
    case HOLDS_HIGH:
    case HOLDS_DATE:
    case HOLDS_CURRENCY:
    case HOLDS_CHOSEN:
    case HOLDS_ROLE:
    case HOLDS_WEIGHT:
    case HOLDS_OWN: break;
    }
    return 0;
}

/* The best pair of a free column and a free field again and again; *score[column]. */
static void match_columns(IntakeSheet *sheet, int *score)
{
    const size_t columns = sheet->sheet.header.cells;
    bool taken[HOLDS_FIELDS] = {false};
    for (size_t k = 0; k < columns; k++) {
        sheet->field[k] = HOLDS_OWN;
        score[k] = 0;
    }
    for (;;) {
        int best = 0, best_field = 0;
        size_t best_column = 0;
        for (size_t k = 0; k < columns; k++)
            for (int f = 0; f < HOLDS_FIELDS && sheet->field[k] == HOLDS_OWN; f++) {
                const int found = taken[f] ? 0 : score_of(sheet, k, (ColumnField)f);
                if (found > best) {
                    best = found;
                    best_field = f;
                    best_column = k;
                }
            }
        if (best == 0)
            return;
        sheet->field[best_column] = (ColumnField)best_field;
        score[best_column] = best;
        taken[best_field] = true;
    }
}

static bool has(const IntakeSheet *sheet, ColumnField field)
{
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (sheet->field[k] == field)
            return true;
    return false;
}

/* ---- sheets ---- */

static const char *file_word(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

static bool path_says(const char *path, const char *const *word, size_t words)
{
    char *folded = text_fold(file_word(path));
    bool found = false;
    for (size_t i = 0; i < words && !found; i++)
        found = strstr(folded, word[i]) != NULL;
    mem_free(folded);
    return found;
}

static SheetRole likely_role(const IntakeSheet *sheet)
{
    static const char *const owned[] = {"own", "have", "collection", "stock", "besitz", "vorhanden"};
    static const char *const pool[] = {"pool", "current", "draft"};
    const bool facts = has(sheet, HOLDS_COLOURS) || has(sheet, HOLDS_KIND) || has(sheet, HOLDS_COST) ||
                       has(sheet, HOLDS_POWER) || has(sheet, HOLDS_TEXT);
    if (!has(sheet, HOLDS_NAME))
        return SHEET_LEFT;
    if (facts)
        return SHEET_CARDS;
    if (has(sheet, HOLDS_TAGS) && has(sheet, HOLDS_ROLE))
        return SHEET_TAGS;
    if (has(sheet, HOLDS_PRICE))
        return SHEET_PRICES;
    if (has(sheet, HOLDS_CHOSEN))
        return SHEET_POOL;
    if (has(sheet, HOLDS_OWNED))
        return SHEET_OWNED;
    if (path_says(sheet->path, owned, sizeof owned / sizeof *owned))
        return SHEET_OWNED;
    if (path_says(sheet->path, pool, sizeof pool / sizeof *pool))
        return SHEET_POOL;
    if (has(sheet, HOLDS_TAGS))
        return SHEET_TAGS;
    return has(sheet, HOLDS_COPIES) ? SHEET_OWNED : SHEET_LEFT;
}

/* Where no sheet has colours, kinds and the like, the longest one with names holds the candidates. */
static void need_cards(Intake *intake)
{
    IntakeSheet *longest = NULL;
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role == SHEET_CARDS)
            return;
        if (has(sheet, HOLDS_NAME) && (longest == NULL || sheet->sheet.rows > longest->sheet.rows))
            longest = sheet;
    }
    if (longest != NULL)
        longest->role = SHEET_CARDS;
}

static void ask_role(Intake *intake, IntakeSheet *sheet)
{
    static const char *const choice[SHEET_ROLES] = {"cards", "prices", "owned", "tags", "pool", "none"};
    Question question = {
        .id = arena_printf(intake->arena, "sheet %s", sheet->path),
        .text = arena_printf(intake->arena, "what is %s, a sheet of %zu lines?", sheet->path, sheet->sheet.rows),
        .likely = sheet_role_name(sheet->role),
        .choice = choice,
        .choices = SHEET_ROLES,
        .sure = sheet->role != SHEET_LEFT};
    const char *answer = intake_ask(intake, question);
    for (int r = 0; r < SHEET_ROLES; r++)
        if (answer_is(answer, choice[r]))
            sheet->role = (SheetRole)r;
}

/* ---- what is asked of a column ---- */

static const char *const field_choice[] = {"name",     "colours", "kind",  "cost",   "power", "price", "tags",
                                           "text",     "copies",  "owned", "status", "low",   "high",  "date",
                                           "currency", "chosen",  "role",  "weight", "own"};

static void ask_column(Intake *intake, IntakeSheet *sheet, size_t column, int score)
{
    const SheetCell *header = &sheet->sheet.header.cell[column];
    const ColumnLook *look = &sheet->look[column];
    if (header->text[0] == '\0')
        return;
    Question question = {
        .id = arena_printf(intake->arena, "column %s %s", sheet->path, header->text),
        .text = arena_printf(intake->arena, "what does the column '%s' of %s hold?", header->text, sheet->path),
        .likely = field_name(sheet->field[column]),
        .choice = field_choice,
        .choices = sizeof field_choice / sizeof *field_choice,
        .of = sheet->sheet.rows,
        .sure = score >= SURE || (sheet->field[column] == HOLDS_OWN)};
    for (size_t i = 0; i < sheet->sheet.rows && question.examples < QUESTION_EXAMPLES; i++) {
        const SheetCell *cell = &sheet->sheet.row[i].cell[column];
        if (cell->text[0] != '\0')
            question_example(&question, sheet_pos(&sheet->sheet, cell), cell->text);
    }
    question.count = look->filled + look->nothing;
    const int field = field_of_name(intake_ask(intake, question));
    sheet->field[column] = field >= 0 ? (ColumnField)field : HOLDS_OWN;
}

/* Answers may name a field twice; a sheet must have a column of names. */
static bool settle_columns(Intake *intake, IntakeSheet *sheet)
{
    const Sheet *s = &sheet->sheet;
    bool good = true;
    sheet->name = -1;
    for (size_t k = 0; k < s->header.cells; k++) {
        if (sheet->field[k] == HOLDS_NAME && sheet->name < 0)
            sheet->name = (int)k;
        for (size_t j = 0; j < k && sheet->field[k] != HOLDS_OWN; j++)
            if (sheet->field[j] == sheet->field[k]) {
                diag_error(intake->diags, sheet_pos(s, &s->header.cell[k]),
                           "the columns '%s' and '%s' are both said to be %s, expected one of them",
                           s->header.cell[j].text, s->header.cell[k].text, field_name(sheet->field[k]));
                good = false;
            }
    }
    if (sheet->name >= 0)
        return good;
    diag_error(intake->diags, sheet_pos(s, &s->header.cell[0]),
               "no column seems to hold the names of cards (the first is '%s'), expected one with a different text in "
               "each line; call it 'name', or answer \"column %s HEADER\": \"name\"",
               s->header.cell[0].text, sheet->path);
    return false;
}

bool guess_roles(Intake *intake)
{
    bool good = true, some = false;
    int **score = mem_new(intake->sheets, sizeof *score);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        score[s] = mem_new(sheet->sheet.header.cells, sizeof **score);
        match_columns(sheet, score[s]);
        sheet->role = likely_role(sheet);
    }
    need_cards(intake);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        ask_role(intake, sheet);
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role != SHEET_LEFT; k++)
            ask_column(intake, sheet, k, score[s][k]);
        if (sheet->role != SHEET_LEFT)
            good = settle_columns(intake, sheet) && good;
        some = some || sheet->role == SHEET_CARDS;
        mem_free(score[s]);
    }
    mem_free(score);
    if (!some && good)
        diag_error(intake->diags, (SourcePos){.file = intake->sheets > 0 ? intake->sheet[0].path : NULL},
                   "no sheet seems to hold candidates, expected one with a column of names");
    return good && some;
}
