/* intake.c - the steps in their order: sheets, columns, marks, colours, cards, themes. */
#include "intake/intake_inner.h"

#include <string.h>

#include "base/text.h"
#include "cards/sheet/sheet_numbers.h"

const char *const sheet_role_word[SHEET_ROLES] = {"cards", "prices", "owned", "tags", "pool", "none"};

bool says_nothing(const char *text)
{
    return text[0] == '\0' || word_is_nothing(text);
}

void question_example(IntakeQuestion *question, SourcePos at, const char *text)
{
    question->count++;
    for (size_t i = 0; i < question->examples; i++)
        if (strcmp(question->example[i].text, text) == 0)
            return;
    if (question->examples < QUESTION_EXAMPLES)
        question->example[question->examples++] = (Example){.at = at, .text = text};
}

const char *intake_ask(Intake *intake, IntakeQuestion question)
{
    question.source = ANSWER_LIKELY;
    const char *answer = intake->decide == NULL ? NULL : intake->decide(intake->context, &question, &question.source);
    question.answer = answer != NULL ? answer : question.likely;
    mem_reserve((void **)&intake->question, &intake->question_capacity, intake->questions + 1,
                sizeof *intake->question);
    intake->question[intake->questions++] = question;
    return question.answer;
}

bool intake_ask_yes(Intake *intake, IntakeQuestion question)
{
    static const char *const choice[] = {"yes", "no"};
    question.choice = choice;
    question.choices = 2;
    if (question.likely == NULL)
        question.likely = "yes";
    return text_folds_to(intake_ask(intake, question), "yes");
}

static void each_of_column(Intake *intake, IntakeSheet *sheet, size_t column, EachCell *each, void *context)
{
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const SheetRow *row = &sheet->sheet.row[i];
        if (sheet->name < 0 || !habits_skip(&intake->habits, row->cell[sheet->name].text))
            each(context,
                 &(CellAt){.sheet = sheet, .row = row, .cell = &row->cell[column], .field = sheet->field[column]});
    }
}

void each_cell(Intake *intake, unsigned roles, ColumnField field, EachCell *each, void *context)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && (ROLE_BIT(sheet->role) & roles); k++)
            if (sheet->field[k] == field)
                each_of_column(intake, sheet, k, each, context);
    }
}

void each_theme_cell(Intake *intake, EachCell *each, void *context)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_CARDS; k++)
            if (text_find(sheet->sheet.header.cell[k].text, intake->theme_column, intake->theme_columns) >= 0)
                each_of_column(intake, sheet, k, each, context);
    }
}

/* The words that the sheets are read with. */
static CardVocabulary vocabulary_of(const Intake *intake)
{
    return (CardVocabulary){.colour = intake->colour,
                            .colours = intake->colours,
                            .theme = intake->theme_column,
                            .themes = intake->theme_columns,
                            .map_field = intake->map_field,
                            .map_header = intake->map_header,
                            .map_at = intake->map_at,
                            .maps = intake->maps,
                            .grades = intake->grades,
                            .habits = &intake->habits};
}

/* What the model calls the field in such a sheet: in a sheet of tags each line has one tag. */
static const char *key_of(const IntakeSheet *sheet, ColumnField field)
{
    return sheet->role == SHEET_TAGS && field == HOLDS_TAGS ? "tag" : field_name(field);
}

static bool has_map(const Intake *intake, const char *key, const char *header)
{
    const char *folded = text_fold_in(intake->arena, header);
    for (size_t m = 0; m < intake->maps; m++)
        if (strcmp(intake->map_field[m], key) == 0 && text_folds_to(intake->map_header[m], folded))
            return true;
    return false;
}

int intake_column(const IntakeSheet *sheet, ColumnField field)
{
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (sheet->field[k] == field)
            return (int)k;
    return -1;
}

bool sheet_has(const IntakeSheet *sheet, ColumnField field)
{
    return intake_column(sheet, field) >= 0;
}

/* What a sheet of prices says of the printing that is for sale. */
static bool of_offers(ColumnField field)
{
    return field >= HOLDS_SHOP && field <= HOLDS_LANGUAGE;
}

/* Is the field looked at in a sheet of its role? */
static bool is_read(const IntakeSheet *sheet, ColumnField field)
{
    const SheetRole role = sheet->role;
    if (field == HOLDS_NAME)
        return role != SHEET_LEFT;
    switch (role) {
    case SHEET_PRICES:
        return field == HOLDS_PRICE || field == HOLDS_LOW || field == HOLDS_HIGH || field == HOLDS_DATE ||
               field == HOLDS_CURRENCY || of_offers(field);
    case SHEET_OWNED:
        return field == HOLDS_PAID || field == HOLDS_OWNED || (field == HOLDS_COPIES && !sheet_has(sheet, HOLDS_OWNED));
    case SHEET_TAGS:
        return field == HOLDS_TAGS || field == HOLDS_ROLE || field == HOLDS_WEIGHT || field == HOLDS_STATUS;
    case SHEET_POOL:
        return field == HOLDS_PAID || field == HOLDS_CHOSEN ||
               (field == HOLDS_COPIES && !sheet_has(sheet, HOLDS_CHOSEN));
    case SHEET_CARDS: return field <= HOLDS_STATUS || field == HOLDS_ROLE || (field == HOLDS_CHOSEN && sheet->of_pool);
    case SHEET_LEFT: break;
    }
    return false;
}

/* What a sheet of prices has beside them is read by its own name, whatever its cells look like. */
static const char *own_name_of(const char *header)
{
    for (int f = HOLDS_LOW; f <= HOLDS_LANGUAGE; f++)
        if (text_folds_to(header, field_name((ColumnField)f)))
            return field_name((ColumnField)f);
    return NULL;
}

const char *intake_holds(const IntakeSheet *sheet, size_t column)
{
    const char *header = sheet->sheet.header.cell[column].text;
    if (is_read(sheet, sheet->field[column]))
        return field_name(sheet->field[column]);
    if ((sheet->role == SHEET_OWNED || sheet->role == SHEET_POOL) && text_folds_to(header, "paid"))
        return "paid"; /* by its own name alone */
    if (sheet->role == SHEET_PRICES && own_name_of(header) != NULL)
        return own_name_of(header);
    if (sheet->role != SHEET_CARDS)
        return field_name(HOLDS_OWN);
    const char *known = card_column_of(header);
    return known != NULL && field_of_name(known) < 0 ? known : field_name(HOLDS_OWN);
}

static void add_map(Intake *intake, const char *key, const char *header)
{
    if (has_map(intake, key, header))
        return;
    intake->map_field[intake->maps] = key;
    intake->map_header[intake->maps++] = header;
}

/* A column that is the user's own, though its header is one of ours. */
static bool would_be_taken(const IntakeSheet *sheet, size_t column)
{
    const char *known = card_column_of(sheet->sheet.header.cell[column].text);
    return sheet->role == SHEET_CARDS && sheet->field[column] == HOLDS_OWN && known != NULL &&
           field_of_name(known) >= 0;
}

/* Then each is named, also the one that is called as the field. */
static bool is_one_of_several(const IntakeSheet *sheet, size_t column)
{
    bool several = false;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        several = several || (k != column && sheet->field[k] == sheet->field[column]);
    return several;
}

/* Roles of cards are read where the model says so: the header may mean anything. */
static bool is_said_only(const IntakeSheet *sheet, size_t column)
{
    return sheet->role == SHEET_CARDS && sheet->field[column] == HOLDS_ROLE;
}

/* Headers whose field is not the one that poolwright would take by itself; all of a field together. */
static void make_maps(Intake *intake)
{
    size_t most = 0;
    for (size_t s = 0; s < intake->sheets; s++)
        most += intake->sheet[s].sheet.header.cells;
    intake->map_field = arena_alloc(intake->arena, most, sizeof *intake->map_field);
    intake->map_header = arena_alloc(intake->arena, most, sizeof *intake->map_header);
    intake->map_at = arena_alloc(intake->arena, most, sizeof *intake->map_at);
    for (int f = 0; f < HOLDS_FIELDS; f++)
        for (size_t s = 0; s < intake->sheets; s++) {
            const IntakeSheet *sheet = &intake->sheet[s];
            for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role != SHEET_LEFT; k++) {
                const char *header = sheet->sheet.header.cell[k].text, *key = key_of(sheet, (ColumnField)f);
                if (sheet->field[k] == (ColumnField)f && is_read(sheet, sheet->field[k]) &&
                    (!text_folds_to(header, key) || is_one_of_several(sheet, k) || is_said_only(sheet, k)))
                    add_map(intake, key, header);
                if (f == 0 && would_be_taken(sheet, k))
                    add_map(intake, field_name(HOLDS_OWN), header);
            }
        }
}

static void add_sheet(Intake *intake, const char *path, const Sheet *table)
{
    mem_reserve((void **)&intake->sheet, &intake->sheet_capacity, intake->sheets + 1, sizeof *intake->sheet);
    IntakeSheet *sheet = &intake->sheet[intake->sheets++];
    const size_t columns = table->header.cells;
    *sheet = (IntakeSheet){.path = path,
                           .title = sheet_title(intake->arena, path),
                           .sheet = *table,
                           .name = -1,
                           .look = arena_alloc(intake->arena, columns, sizeof *sheet->look),
                           .field = arena_alloc(intake->arena, columns, sizeof *sheet->field)};
    for (size_t k = 0; k < columns; k++)
        column_look(table, k, &sheet->look[k]);
}

/* Headers of a list: one of names, and another one that says what it holds. */
static bool is_list(const Sheet *sheet)
{
    size_t names = 0, others = 0;
    for (size_t k = 0; k < sheet->header.cells; k++)
        for (int f = 0; f < HOLDS_OWN; f++)
            if (header_is(sheet->header.cell[k].text, (ColumnField)f)) {
                names += f == HOLDS_NAME;
                others += f != HOLDS_NAME;
                break;
            }
    return names > 0 && others > 0;
}

/* One of several sheets of a workbook, with what was wrong in it. */
typedef struct {
    Sheet table;
    Diags found;
    bool good;
} OneOfMany;

/* Lines of the longest list that can be read. */
static size_t longest_list(const OneOfMany *one, size_t count)
{
    size_t rows = 0;
    for (size_t k = 0; k < count; k++)
        if (one[k].good && is_list(&one[k].table) && one[k].table.rows > rows)
            rows = one[k].table.rows;
    return rows;
}

/* Some may be no tables, or tables of a few lines beside the list; that is told, and they are left out. What is wrong
 * in a list is an error: without it another sheet would be taken for the cards. False with errors. */
static bool settle_one(Intake *intake, const char *path, const OneOfMany *one, size_t longest)
{
    const bool left_out = !one->good && (!is_list(&one->table) || (one->table.rows + 1) * 10 < longest);
    bool told = false;
    if (one->good)
        add_sheet(intake, path, &one->table);
    for (size_t i = 0; i < one->found.count; i++) {
        const Diag *item = &one->found.item[i];
        if (item->kind != DIAG_ERROR || !left_out)
            diag_repeat(intake->diags, item, "");
        else if (!told)
            diag_notice(intake->diags, item->at, "the sheet is left out: %s", item->text);
        told = told || item->kind == DIAG_ERROR;
    }
    return one->good || left_out;
}

static bool read_several(Intake *intake, const char **path, size_t count)
{
    OneOfMany *one = mem_new(count, sizeof *one);
    bool good = true;
    for (size_t k = 0; k < count; k++) {
        diags_init(&one[k].found);
        one[k].good = sheet_read(intake->arena, intake->files, path[k], (SourcePos){0}, &one[k].table, &one[k].found);
    }
    const size_t longest = longest_list(one, count);
    for (size_t k = 0; k < count; k++) {
        good = settle_one(intake, path[k], &one[k], longest) && good;
        diags_release(&one[k].found);
    }
    mem_free(one);
    return good;
}

/* What stands beside a list of ours in its workbook was counted from it: no cards, no prices. */
static void find_counted(Intake *intake, size_t first)
{
    for (size_t list = first; list < intake->sheets; list++)
        for (size_t s = first; s < intake->sheets && sheet_is_written(&intake->sheet[list].sheet); s++)
            intake->sheet[s].counted = s != list;
}

/* The same sheet of the same file, whatever it is called: it would be read as cards and once more as prices. */
static bool is_named_before(const Intake *intake, const char *path)
{
    const char *name, *file = sheet_file(intake->arena, path, &name);
    for (size_t s = 0; s < intake->sheets; s++) {
        const char *other, *its_file = sheet_file(intake->arena, intake->sheet[s].path, &other);
        const bool same_name = name == NULL || other == NULL ? name == other : text_find(name, &other, 1) == 0;
        if (!same_name || (strcmp(file, its_file) != 0 && !file_is_same(file, its_file)))
            continue;
        diag_error(intake->diags, (SourcePos){.file = path}, "the sheet is named twice%s%s, expected each sheet once",
                   strcmp(path, intake->sheet[s].path) == 0 ? "" : ", before as ",
                   strcmp(path, intake->sheet[s].path) == 0 ? "" : intake->sheet[s].path);
        return true;
    }
    return false;
}

static bool read_single(Intake *intake, const char *path)
{
    Sheet table;
    const bool good = sheet_read(intake->arena, intake->files, path, (SourcePos){0}, &table, intake->diags);
    if (good)
        add_sheet(intake, path, &table);
    return good;
}

static bool read_sheets(Intake *intake, const char *const *path, size_t paths)
{
    bool good = true;
    for (size_t i = 0; i < paths; i++) {
        size_t count = 0;
        if (strcmp(path[i], "-") == 0) {
            diag_error(intake->diags, (SourcePos){0}, "found '-', expected the path of a file: the scenario names it");
            good = false;
            continue;
        }
        const char **each = sheet_paths(intake->arena, intake->files, path[i], &count, intake->diags);
        bool twice = false;
        for (size_t k = 0; k < count && each != NULL && !twice; k++)
            twice = is_named_before(intake, each[k]);
        good = good && each != NULL && !twice;
        if (twice)
            continue;
        if (each != NULL && count == 1)
            good = read_single(intake, each[0]) && good;
        const size_t first = intake->sheets;
        if (each != NULL && count > 1) {
            good = read_several(intake, each, count) && good;
            find_counted(intake, first);
        }
    }
    return good;
}

/* A header has one meaning in all sheets, since the model says once what it holds. False with an error. */
static bool means_one_thing(const Intake *intake, const IntakeSheet *a, size_t i, const IntakeSheet *b, size_t k)
{
    const ColumnField one = a->field[i], other = b->field[k];
    const char *header = b->sheet.header.cell[k].text;
    const bool read_there = other != HOLDS_OWN && is_read(b, other) && is_read(a, other);
    const bool read_here = one != HOLDS_OWN && is_read(a, one) && is_read(b, one);
    if (one == other || (!read_there && !read_here))
        return true;
    char excerpt[TEXT_EXCERPT];
    diag_error(intake->diags, sheet_pos(&b->sheet, &b->sheet.header.cell[k]),
               "'%s' is taken as %s here and as %s in %s, and a header means one thing in all sheets of a pool: call "
               "one of the two columns otherwise and import again",
               text_excerpt(excerpt, header), other == HOLDS_OWN ? "a column of your own" : field_name(other),
               one == HOLDS_OWN ? "a column of your own" : field_name(one), a->path);
    return false;
}

/* Both are prices, though the header does not say so: it may mean something else in the cards. */
static void tell_two_prices(const Intake *intake, const IntakeSheet *a, size_t i, const IntakeSheet *b, size_t k)
{
    char excerpt[TEXT_EXCERPT];
    const char *header = b->sheet.header.cell[k].text;
    if (a->field[i] != HOLDS_PRICE || b->field[k] != HOLDS_PRICE || a->role == b->role ||
        text_folds_to(header, field_name(HOLDS_PRICE)))
        return;
    diag_notice(
        intake->diags, sheet_pos(&b->sheet, &b->sheet.header.cell[k]),
        "'%s' is taken as a price here and in %s, and where they differ the sheet of prices counts; if it means "
        "something else in one of them, give it another header there",
        text_excerpt(excerpt, header), a->path);
}

static bool headers_mean_one_thing(const Intake *intake)
{
    bool good = true;
    for (size_t b = 1; b < intake->sheets; b++)
        for (size_t a = 0; a < b; a++) {
            const IntakeSheet *first = &intake->sheet[a], *second = &intake->sheet[b];
            if (first->role == SHEET_LEFT || second->role == SHEET_LEFT)
                continue;
            for (size_t k = 0; k < second->sheet.header.cells; k++) {
                const char *header = second->sheet.header.cell[k].text;
                const int i = header[0] == '\0' ? -1 : sheet_column(&first->sheet, header);
                if (i < 0)
                    continue;
                good = means_one_thing(intake, first, (size_t)i, second, k) && good;
                tell_two_prices(intake, first, (size_t)i, second, k);
            }
        }
    return good;
}

static IntakeQuestion *question_of(const Intake *intake, const IntakeSheet *sheet, const char *header)
{
    const char *id = arena_printf(intake->arena, "column %s %s", sheet->path, header);
    for (size_t q = 0; q < intake->questions; q++)
        if (strcmp(intake->question[q].id, id) == 0)
            return &intake->question[q];
    return NULL;
}

bool intake_was_answered(const Intake *intake, const IntakeSheet *sheet, const char *header)
{
    const IntakeQuestion *question = question_of(intake, sheet, header);
    return question != NULL && question->source != ANSWER_LIKELY;
}

void intake_take_column(Intake *intake, IntakeSheet *sheet, size_t column, ColumnField field)
{
    IntakeQuestion *question = question_of(intake, sheet, sheet->sheet.header.cell[column].text);
    sheet->field[column] = field;
    if (question != NULL)
        question->likely = question->answer = field_name(field);
}

static void read_cards(Intake *intake)
{
    const char **path = mem_new(intake->sheets, sizeof *path);
    SourcePos *from = mem_new(intake->sheets, sizeof *from);
    size_t paths = 0;
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role == SHEET_CARDS)
            path[paths++] = intake->sheet[s].path;
    const CardVocabulary vocabulary = vocabulary_of(intake);
    intake->cards = card_set_read(intake->files, path, from, paths, &vocabulary, intake->diags);
    mem_free(path);
    mem_free(from);
}

Intake *intake_new(const char *const *path, size_t paths, FileStore *files, Decide *decide, void *context, Diags *diags)
{
    const size_t errors = diags->errors;
    Intake *intake = mem_new(1, sizeof *intake);
    *intake = (Intake){.arena = arena_new(), .files = files, .decide = decide, .context = context, .diags = diags};
    if (read_sheets(intake, path, paths) && guess_roles(intake) && headers_mean_one_thing(intake)) {
        guess_colour_columns(intake);
        guess_theme_columns(intake);
        guess_grades(intake);
        tell_unread_columns(intake);
        guess_lines(intake);
        guess_marks(intake);
        guess_currencies(intake);
        guess_own_words(intake);
        guess_duplicates(intake);
        guess_colours(intake);
        make_maps(intake);
        read_cards(intake);
        if (intake->cards != NULL) {
            tell_colourless_sections(intake);
            read_tag_sheets(intake);
            guess_themes(intake);
        }
    }
    if (diags->errors == errors)
        return intake;
    intake_free(intake);
    return NULL;
}

void intake_free(Intake *intake)
{
    if (intake == NULL)
        return;
    card_set_free(intake->cards);
    mem_free(intake->question);
    mem_free(intake->sheet);
    arena_free(intake->arena);
    mem_free(intake);
}
