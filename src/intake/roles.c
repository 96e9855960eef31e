/* roles.c - which field each column holds, by its header and by its cells, and what each sheet is. */
#include <string.h>

#include "base/text.h"
#include "intake/intake_inner.h"

#define SURE 200 /* a header of one of the field's words over cells that could be it */

/* No copies, or yes and no: what is there is how many one has, not how many may be in the pool. */
static void copies_are_owned(IntakeSheet *sheet)
{
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (sheet->field[k] == HOLDS_COPIES && (sheet->look[k].zeros > 0 || sheet->look[k].yes_no > 0) &&
            !sheet_has(sheet, HOLDS_OWNED))
            sheet->field[k] = HOLDS_OWNED;
}

/* ---- roles of the tags of cards ---- */

#define ROLES_FEW 4 /* different words below a header for roles, which may be words of one's own for them */

static bool is_role_word(const char *text)
{
    return role_named(text) != ROLE_NONE || word_as_role(text) != ROLE_NONE;
}

static size_t role_cells(const IntakeSheet *sheet, size_t column)
{
    size_t roles = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++)
        roles += is_role_word(sheet->sheet.row[i].cell[column].text);
    return roles;
}

/* Are the roles below a header that says nothing those of the line's tags, and not of a theme that the header names?
 * Then it is the only such column, and beside them stand tags. */
static bool are_of_tags(const IntakeSheet *sheet, size_t column)
{
    const int tags = intake_column(sheet, HOLDS_TAGS);
    size_t roles = 0, beside = 0;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (k != column && sheet->field[k] == HOLDS_OWN && role_cells(sheet, k) * 2 > sheet->look[k].filled)
            return false;
    for (size_t i = 0; i < sheet->sheet.rows; i++)
        if (is_role_word(sheet->sheet.row[i].cell[column].text)) {
            roles++;
            beside += !says_nothing(sheet->sheet.row[i].cell[tags].text);
        }
    return beside * 10 >= roles * 9;
}

/* Does it hold roles, or marks below a header that is one? */
static bool speaks_of_roles(const IntakeSheet *sheet, size_t column)
{
    const ColumnLook *look = &sheet->look[column];
    const char *header = sheet->sheet.header.cell[column].text;
    const bool roles = role_cells(sheet, column) * 2 > look->filled;
    if (look->yes_no == look->filled)
        return is_role_word(header);
    if (header_names(header, HOLDS_ROLE) > 0)
        return roles || look->distinct <= ROLES_FEW;
    return roles && are_of_tags(sheet, column);
}

/* In a sheet of cards with tags; of tags in a column for one role they are not. */
static void settle_roles(IntakeSheet *sheet, int *score)
{
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        const bool could = sheet->field[k] == HOLDS_ROLE || (sheet->field[k] == HOLDS_OWN && sheet->look[k].filled > 0),
                   holds = could && sheet_has(sheet, HOLDS_TAGS) && speaks_of_roles(sheet, k);
        if (!could)
            continue;
        score[k] = holds && sheet->field[k] == HOLDS_OWN ? UNKNOWN : score[k];
        sheet->field[k] = holds ? HOLDS_ROLE : HOLDS_OWN;
    }
}

/* ---- columns that hold what only one can ---- */

static bool holds_weights(const ColumnLook *look)
{
    return look->numbers == look->filled && look->large == 0 && look->signs == 0 && !column_counts_lines(look);
}

static bool holds_marks(const ColumnLook *look)
{
    return look->yes_no == look->filled;
}

/* Copies, some of them written as "2x". */
static bool holds_some_copies(const ColumnLook *look)
{
    return look->counted > 0 && look->counted + look->whole + look->yes_no == look->filled && look->large == 0;
}

/* The only column of which nothing is known yet that holds this, or -1. */
static int only_column(const IntakeSheet *sheet, bool (*is_it)(const ColumnLook *look))
{
    int found = -1;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        if (sheet->field[k] != HOLDS_OWN || sheet->look[k].filled == 0 || !is_it(&sheet->look[k]))
            continue;
        if (found >= 0)
            return -1;
        found = (int)k;
    }
    return found;
}

/* The only column of small numbers in a sheet of tags holds their weights, the only one of x and yes in a sheet of the
 * pool says what is in, and the only one of "2x" in a sheet of owned cards how many, whatever they are called. */
static void find_only(IntakeSheet *sheet, ColumnField field, bool (*is_it)(const ColumnLook *look), int *score)
{
    const int found = only_column(sheet, is_it);
    if (found < 0 || sheet_has(sheet, field))
        return;
    sheet->field[found] = field;
    score[found] = UNKNOWN;
}

/* ---- what a sheet is ---- */

static bool title_says(const IntakeSheet *sheet, const char *const *word, size_t words)
{
    char *folded = text_fold(sheet->title);
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
    const bool facts = sheet_has(sheet, HOLDS_COLOURS) || sheet_has(sheet, HOLDS_KIND) ||
                       sheet_has(sheet, HOLDS_COST) || sheet_has(sheet, HOLDS_POWER) || sheet_has(sheet, HOLDS_TEXT);
    if (!sheet_has(sheet, HOLDS_NAME))
        return SHEET_LEFT;
    if (facts)
        return SHEET_CARDS;
    if (sheet_has(sheet, HOLDS_TAGS) && sheet_has(sheet, HOLDS_PRICE))
        return SHEET_CARDS;
    if (sheet_has(sheet, HOLDS_TAGS) && sheet_has(sheet, HOLDS_ROLE))
        return SHEET_TAGS;
    if (sheet_has(sheet, HOLDS_PRICE))
        return SHEET_PRICES;
    if (sheet_has(sheet, HOLDS_ROLE) || sheet_has(sheet, HOLDS_WEIGHT)) /* of the theme that the sheet is called as */
        return SHEET_TAGS;
    if (sheet_has(sheet, HOLDS_CHOSEN))
        return SHEET_POOL;
    if (sheet_has(sheet, HOLDS_OWNED))
        return SHEET_OWNED;
    if (title_says(sheet, owned, sizeof owned / sizeof *owned))
        return SHEET_OWNED;
    if (title_says(sheet, pool, sizeof pool / sizeof *pool))
        return SHEET_POOL;
    if (sheet_has(sheet, HOLDS_TAGS))
        return SHEET_TAGS;
    return sheet_has(sheet, HOLDS_COPIES) || only_column(sheet, holds_some_copies) >= 0 ? SHEET_OWNED : SHEET_LEFT;
}

/* What is for sale, where and how much of it is nothing to a sheet that is none of prices; in one that names shops, how
 * many there are is their stock. */
static void settle_offers(IntakeSheet *sheet)
{
    const bool prices = sheet->role == SHEET_PRICES, shops = prices && sheet_has(sheet, HOLDS_SHOP);
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        ColumnField *field = &sheet->field[k];
        if (*field >= HOLDS_SHOP && *field <= HOLDS_LANGUAGE && !prices)
            *field = HOLDS_OWN;
        if (*field == HOLDS_PAID && sheet->role != SHEET_OWNED && sheet->role != SHEET_POOL)
            *field = HOLDS_OWN;
        if ((*field == HOLDS_OWNED || *field == HOLDS_COPIES) && shops && !sheet_has(sheet, HOLDS_STOCK))
            *field = HOLDS_STOCK;
    }
}

static void ask_role(Intake *intake, IntakeSheet *sheet)
{
    IntakeQuestion question = {
        .id = arena_printf(intake->arena, "sheet %s", sheet->path),
        .text = arena_printf(intake->arena, "what is %s, a sheet of %zu lines?", sheet->path, sheet->sheet.rows),
        .likely = sheet_role_word[sheet->role],
        .choice = sheet_role_word,
        .choices = SHEET_ROLES,
        .sure = sheet->role != SHEET_LEFT};
    const long role = text_find(intake_ask(intake, question), sheet_role_word, SHEET_ROLES);
    if (role >= 0)
        sheet->role = (SheetRole)role;
}

/* ---- what is asked of a column ---- */

/* [HOLDS_FIELDS + 1] */
static const char *const *field_choice(Intake *intake)
{
    const char **choice = arena_alloc(intake->arena, HOLDS_FIELDS + 1, sizeof *choice);
    for (int f = 0; f <= HOLDS_OWN; f++)
        choice[f] = field_name((ColumnField)f);
    return choice;
}

static void ask_column(Intake *intake, IntakeSheet *sheet, size_t column, int score)
{
    const SheetCell *header = &sheet->sheet.header.cell[column];
    const ColumnLook *look = &sheet->look[column];
    if (header->text[0] == '\0')
        return;
    IntakeQuestion question = {
        .id = arena_printf(intake->arena, "column %s %s", sheet->path, header->text),
        .text = arena_printf(intake->arena, "what does the column '%s' of %s hold?", header->text, sheet->path),
        .likely = field_name(sheet->field[column]),
        .choice = field_choice(intake),
        .choices = HOLDS_FIELDS + 1,
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

/* Several columns of a sheet of cards are read together. */
static bool may_join(ColumnField field)
{
    return field == HOLDS_COLOURS || field == HOLDS_POWER || field_is_tags(field) || field == HOLDS_ROLE;
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
        const ColumnField field = sheet->field[k];
        const bool may_repeat = field == HOLDS_OWN || (may_join(field) && sheet->role == SHEET_CARDS);
        for (size_t j = 0; j < k && !may_repeat; j++)
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

static bool is_owned_in_cards(const Intake *intake, const char *header)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        const int column = sheet->role == SHEET_CARDS ? sheet_column(&sheet->sheet, header) : -1;
        if (column >= 0 && sheet->field[column] == HOLDS_OWNED)
            return true;
    }
    return false;
}

/* Where the cards call what one has by the header of a count in another sheet, that count is of cards that one has, or
 * of those in the pool. */
static void settle_counts(const Intake *intake, IntakeSheet *sheet)
{
    const ColumnField meant = sheet->role == SHEET_OWNED ? HOLDS_OWNED : HOLDS_CHOSEN;
    if ((sheet->role != SHEET_OWNED && sheet->role != SHEET_POOL) || sheet_has(sheet, meant))
        return;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (sheet->field[k] == HOLDS_COPIES && is_owned_in_cards(intake, sheet->sheet.header.cell[k].text))
            sheet->field[k] = meant;
}

/* A list of candidates may say itself which of them are in the pool: the first that does, where no sheet is the pool's
 * own. What a list of ours says of the pool that it was is nothing to the next one. */
static void find_pool(const Intake *intake)
{
    IntakeSheet *found = NULL;
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        const int chosen = intake_column(sheet, HOLDS_CHOSEN);
        if (sheet->role == SHEET_POOL)
            return;
        if (found == NULL && sheet->role == SHEET_CARDS && chosen >= 0 &&
            !header_is_listed(&sheet->sheet, (size_t)chosen))
            found = sheet;
    }
    if (found != NULL)
        found->of_pool = true;
}

/* No column of the sheet holds it any more, unless several may. */
static void leave_field(IntakeSheet *sheet, ColumnField field)
{
    for (size_t k = 0; k < sheet->sheet.header.cells && !may_join(field); k++)
        if (sheet->field[k] == field)
            sheet->field[k] = HOLDS_OWN;
}

/* In sheets of cards a header is what it is in the one with the most cells below it: in a short one it may have none.
 */
static void settle_alike(Intake *intake, int **score)
{
    for (size_t a = 0; a < intake->sheets; a++)
        for (size_t i = 0; i < intake->sheet[a].sheet.header.cells && intake->sheet[a].role == SHEET_CARDS; i++) {
            const IntakeSheet *from = &intake->sheet[a];
            const char *header = from->sheet.header.cell[i].text;
            for (size_t b = 0; b < intake->sheets && header[0] != '\0'; b++) {
                IntakeSheet *to = &intake->sheet[b];
                const int k = b == a || to->role != SHEET_CARDS ? -1 : sheet_column(&to->sheet, header);
                if (k < 0 || to->look[k].filled >= from->look[i].filled)
                    continue;
                leave_field(to, from->field[i]);
                to->field[k] = from->field[i];
                score[b][k] = score[a][i];
            }
        }
}

static void tell_no_cards(Intake *intake)
{
    size_t rows = 0;
    for (size_t s = 0; s < intake->sheets; s++)
        rows += intake->sheet[s].sheet.rows;
    diag_error(intake->diags, (SourcePos){.file = intake->sheets > 0 ? intake->sheet[0].path : NULL},
               rows == 0 ? "found no line below the names of the columns, expected a line for each card"
                         : "no sheet seems to hold candidates, expected one with a column of names");
}

bool guess_roles(Intake *intake)
{
    bool good = true, some = false;
    int **score = mem_new(intake->sheets, sizeof *score);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        score[s] = mem_new(sheet->sheet.header.cells, sizeof **score);
        guess_by_headers(sheet, score[s]);
        guess_by_cells(intake, sheet, score[s]);
        sheet->role = sheet->counted ? SHEET_LEFT : likely_role(sheet);
    }
    settle_several(intake);
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role == SHEET_CARDS)
            copies_are_owned(&intake->sheet[s]);
    for (size_t s = 0; s < intake->sheets; s++) {
        settle_offers(&intake->sheet[s]);
        settle_counts(intake, &intake->sheet[s]);
    }
    find_pool(intake);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        ask_role(intake, sheet);
        if (sheet->role == SHEET_CARDS)
            guess_more_tags(intake, sheet, score[s]);
        if (sheet->role == SHEET_CARDS)
            settle_roles(sheet, score[s]);
        if (sheet->role == SHEET_TAGS)
            find_only(sheet, HOLDS_WEIGHT, holds_weights, score[s]);
        if (sheet->role == SHEET_POOL && !sheet_has(sheet, HOLDS_COPIES))
            find_only(sheet, HOLDS_CHOSEN, holds_marks, score[s]);
        if (sheet->role == SHEET_OWNED && !sheet_has(sheet, HOLDS_OWNED))
            find_only(sheet, HOLDS_COPIES, holds_some_copies, score[s]);
    }
    settle_alike(intake, score);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role != SHEET_LEFT; k++)
            ask_column(intake, sheet, k, score[s][k]);
        if (sheet->role != SHEET_LEFT)
            good = !refuse_no_table(intake, sheet) && settle_columns(intake, sheet) && good;
        some = some || sheet->role == SHEET_CARDS;
        mem_free(score[s]);
    }
    mem_free(score);
    if (!some && good)
        tell_no_cards(intake);
    return good && some;
}
