/* marks.c - how cells are written: lines that are no cards, words for nothing, decimals, what parts tags, lists of
 * names, repeated names. */
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "cards/sheet/sheet_numbers.h"
#include "intake/intake_inner.h"

#define FEW 10          /* different words in a column of numbers that may be words for nothing */
#define MARK_SHARE 3    /* percent of a column's cells from which on a mark may part tags */
#define LISTED_SHARE 30 /* percent of names from which on they are a list's */

static const char *const yes_no[] = {"yes", "no"};

/* ---- lines that are no cards ---- */

typedef enum { LINE_CARD, LINE_TOTAL, LINE_HEADING, LINE_UNNAMED } LineKind;

static bool is_nothing(const char *text)
{
    return text[0] == '\0' || word_is_nothing(text);
}

/* Cells besides the name that say something, in columns of ours or in all. */
static size_t filled_beside(const IntakeSheet *sheet, const SheetRow *row, bool ours)
{
    size_t filled = 0;
    for (size_t k = 0; k < row->cells; k++)
        filled += (int)k != sheet->name && (!ours || sheet->field[k] != HOLDS_OWN) && !is_nothing(row->cell[k].text);
    return filled;
}

static size_t fields_of(const IntakeSheet *sheet)
{
    size_t fields = 0;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        fields += sheet->field[k] != HOLDS_OWN;
    return fields;
}

/* Does the line say what only cards have? */
static bool says_of_a_card(const IntakeSheet *sheet, const SheetRow *row)
{
    for (size_t k = 0; k < row->cells; k++)
        switch (sheet->field[k]) {
        case HOLDS_COLOURS:
        case HOLDS_KIND:
        case HOLDS_TAGS:
        case HOLDS_TEXT:
            if (!is_nothing(row->cell[k].text))
                return true;
            break;
        case HOLDS_NAME:
        case HOLDS_COST:
        case HOLDS_POWER:
        case HOLDS_PRICE:
        case HOLDS_COPIES:
        case HOLDS_OWNED:
        case HOLDS_STATUS:
        case HOLDS_LOW:
        case HOLDS_HIGH:
        case HOLDS_DATE:
        case HOLDS_CURRENCY:
        case HOLDS_SHOP:
        case HOLDS_STOCK:
        case HOLDS_CONDITION:
        case HOLDS_LANGUAGE:
        case HOLDS_CHOSEN:
        case HOLDS_ROLE:
        case HOLDS_WEIGHT:
        case HOLDS_OWN: break;
        }
    return false;
}

static LineKind line_kind(const IntakeSheet *sheet, const SheetRow *row)
{
    const char *name = row->cell[sheet->name].text;
    if (name[0] == '\0')
        return LINE_UNNAMED;
    if (word_is_total(name) && !says_of_a_card(sheet, row))
        return LINE_TOTAL;
    if (sheet->role == SHEET_CARDS && fields_of(sheet) >= 3 && filled_beside(sheet, row, false) == 0)
        return LINE_HEADING;
    return LINE_CARD;
}

/* A heading stands between cards; where many lines say nothing but a name, they are cards that nothing is known of. */
static bool headings_are_few(const IntakeSheet *sheet)
{
    size_t headings = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++)
        headings += line_kind(sheet, &sheet->sheet.row[i]) == LINE_HEADING;
    return headings * 10 <= sheet->sheet.rows;
}

static void ask_lines(Intake *intake, LineKind kind, const char *id, const char *text)
{
    IntakeQuestion question = {.id = id, .text = text, .likely = "yes", .choice = yes_no, .choices = 2};
    Bag names = {.arena = intake->arena};
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role == SHEET_LEFT || (kind == LINE_HEADING && !headings_are_few(sheet)))
            continue;
        question.of += sheet->sheet.rows;
        for (size_t i = 0; i < sheet->sheet.rows; i++) {
            const SheetRow *row = &sheet->sheet.row[i];
            if (line_kind(sheet, row) != kind)
                continue;
            const SheetCell *cell = &row->cell[sheet->name];
            for (size_t k = 0; k < row->cells && kind == LINE_UNNAMED && cell->text[0] == '\0'; k++)
                cell = &row->cell[k];
            question_example(&question, sheet_pos(&sheet->sheet, cell), cell->text);
            bag_add(&names, row->cell[sheet->name].text, strlen(row->cell[sheet->name].text),
                    sheet_pos(&sheet->sheet, cell));
        }
    }
    bag_settle(&names);
    if (names.words > 0 && answer_is(intake_ask(intake, question), "yes"))
        for (size_t i = 0; i < names.words; i++) {
            intake->skip[intake->habits.skips] = names.word[i].spelled;
            ((const char **)(uintptr_t)intake->habits.skip)[intake->habits.skips++] = names.word[i].folded;
        }
    bag_release(&names);
}

static void guess_lines(Intake *intake)
{
    size_t rows = 1;
    for (size_t s = 0; s < intake->sheets; s++)
        rows += intake->sheet[s].sheet.rows;
    intake->skip = arena_alloc(intake->arena, rows, sizeof *intake->skip);
    intake->habits.skip = arena_alloc(intake->arena, rows, sizeof *intake->skip);
    ask_lines(intake, LINE_TOTAL, "skip totals", "are these lines totals, and no cards?");
    ask_lines(intake, LINE_HEADING, "skip headings", "are these lines headings, and no cards?");
    ask_lines(intake, LINE_UNNAMED, "skip unnamed", "are lines without a name to be passed over?");
}

/* ---- words for nothing ---- */

typedef struct {
    Intake *intake;
    Bag words, strange; /* strange: words in columns of numbers */
    IntakeQuestion question;
    size_t numbers;
} Blanks;

static bool is_number_field(ColumnField field)
{
    return field == HOLDS_COST || field == HOLDS_POWER || field == HOLDS_PRICE || field == HOLDS_LOW ||
           field == HOLDS_HIGH || field == HOLDS_COPIES || field == HOLDS_OWNED || field == HOLDS_CHOSEN ||
           field == HOLDS_WEIGHT;
}

static bool is_count_field(ColumnField field)
{
    return field == HOLDS_COPIES || field == HOLDS_OWNED || field == HOLDS_CHOSEN;
}

static void note_nothing(void *context, const CellAt *at)
{
    Blanks *blanks = context;
    const char *text = at->cell->text;
    const SourcePos pos = sheet_pos(&at->sheet->sheet, at->cell);
    LooseNumber number;
    if (text[0] == '\0' || (at->field == HOLDS_POWER && grade_find(&blanks->intake->grades, text) != NULL))
        return;
    blanks->question.of++;
    const bool said = word_is_nothing(text);
    const bool counted = (is_count_field(at->field) && (counted_copies(text) > 0 || word_says_yes(text) >= 0)) ||
                         (at->field == HOLDS_COST && cost_is_variable(text));
    blanks->numbers += is_number_field(at->field);
    if (said)
        bag_add(&blanks->words, text, strlen(text), pos);
    else if (is_number_field(at->field) && !counted && !loose_number(text, &number))
        bag_add(&blanks->strange, text, strlen(text), pos);
}

/* In columns of themes too. */
static void note_nothing_of_themes(Intake *intake, Blanks *blanks)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_CARDS; k++) {
            if (text_find(sheet->sheet.header.cell[k].text, intake->theme_column, intake->theme_columns) < 0)
                continue;
            for (size_t i = 0; i < sheet->sheet.rows; i++) {
                const SheetCell *cell = &sheet->sheet.row[i].cell[k];
                if (cell->text[0] != '\0' && word_is_nothing(cell->text))
                    bag_add(&blanks->words, cell->text, strlen(cell->text), sheet_pos(&sheet->sheet, cell));
            }
        }
    }
}

static void take_blank(Intake *intake, const BagWord *word)
{
    intake->blank[intake->habits.blanks] = word->spelled;
    ((const char **)(uintptr_t)intake->habits.blank)[intake->habits.blanks++] = word->folded;
}

static void guess_blanks(Intake *intake)
{
    Blanks blanks = {.intake = intake,
                     .words = {.arena = intake->arena},
                     .strange = {.arena = intake->arena},
                     .question = {.id = "blanks",
                                  .text = "do these words mean that nothing is known, as a blank cell does?",
                                  .likely = "yes",
                                  .choice = yes_no,
                                  .choices = 2}};
    for (int f = HOLDS_NAME + 1; f < HOLDS_FIELDS; f++)
        if (f != HOLDS_TEXT)
            each_cell(intake, ROLES_READ, (ColumnField)f, note_nothing, &blanks);
    note_nothing_of_themes(intake, &blanks);
    bag_settle(&blanks.words);
    size_t strange = blanks.strange.words;
    bag_settle(&blanks.strange);
    const bool few = strange > 0 && blanks.strange.words <= FEW && strange * 10 <= blanks.numbers;
    Bag *const bag[] = {&blanks.words, few ? &blanks.strange : NULL};
    intake->blank = arena_alloc(intake->arena, blanks.words.words + blanks.strange.words, sizeof *intake->blank);
    intake->habits.blank = arena_alloc(intake->arena, blanks.words.words + blanks.strange.words, sizeof *intake->blank);
    for (size_t b = 0; b < 2; b++)
        for (size_t i = 0; bag[b] != NULL && i < bag[b]->words; i++) {
            question_example(&blanks.question, bag[b]->word[i].at, bag[b]->word[i].spelled);
            blanks.question.count += bag[b]->word[i].count - 1;
        }
    if (blanks.question.count > 0 && answer_is(intake_ask(intake, blanks.question), "yes"))
        for (size_t b = 0; b < 2; b++)
            for (size_t i = 0; bag[b] != NULL && i < bag[b]->words; i++)
                take_blank(intake, &bag[b]->word[i]);
    bag_release(&blanks.words);
    bag_release(&blanks.strange);
}

/* ---- decimals ---- */

typedef struct {
    IntakeQuestion question;
    size_t commas, points, grouped;
} Decimals;

static void note_decimals(void *context, const CellAt *at)
{
    Decimals *d = context;
    LooseNumber number;
    if (!loose_number(at->cell->text, &number))
        return;
    d->question.of++;
    if (number.grouped) {
        d->grouped++;
        question_example(&d->question, sheet_pos(&at->sheet->sheet, at->cell), at->cell->text);
    } else if (number.comma) {
        d->commas++;
        question_example(&d->question, sheet_pos(&at->sheet->sheet, at->cell), at->cell->text);
    } else if (strchr(at->cell->text, '.') != NULL)
        d->points++;
    if (number.grouped && number.comma)
        d->commas++;
}

static void guess_decimals(Intake *intake)
{
    static const char *const choice[] = {"comma", "point"};
    static const ColumnField field[] = {HOLDS_PRICE, HOLDS_LOW, HOLDS_HIGH, HOLDS_POWER, HOLDS_COST, HOLDS_WEIGHT};
    Decimals d = {.question = {.id = "decimal",
                               .text = "which mark stands before decimals? The other one parts thousands",
                               .choice = choice,
                               .choices = 2}};
    for (size_t f = 0; f < sizeof field / sizeof *field; f++)
        each_cell(intake, ROLES_READ, field[f], note_decimals, &d);
    if (d.grouped == 0 && d.commas == 0)
        return;
    d.question.likely = d.commas > d.points ? "comma" : "point";
    if (d.grouped == 0) { /* then 2,35 and 2.35 are both read, whatever the sheet */
        d.question.likely = "comma";
        d.question.sure = true;
        d.question.text = "numbers have decimal commas; where some have points, both are read";
    }
    const char *answer = intake_ask(intake, d.question);
    if (d.grouped > 0 || d.points == 0)
        intake->habits.decimal = answer_is(answer, "comma") ? DECIMAL_COMMA : DECIMAL_POINT;
}

/* ---- what parts tags and kinds ---- */

static const char tag_marks[] = ",|\n/";

typedef struct {
    size_t cells, with[sizeof tag_marks];
    IntakeQuestion question;
} TagMarks;

static void note_tag_marks(void *context, const CellAt *at)
{
    TagMarks *marks = context;
    const char *text = at->cell->text;
    if (is_nothing(text))
        return;
    marks->cells++;
    bool some = false;
    for (size_t m = 0; tag_marks[m] != '\0'; m++)
        if (strchr(text, tag_marks[m]) != NULL) {
            marks->with[m]++;
            some = true;
        }
    if (some)
        question_example(&marks->question, sheet_pos(&at->sheet->sheet, at->cell), text);
}

static const char *mark_word(char mark)
{
    switch (mark) {
    case '\n': return "newline";
    case ' ': return "blank";
    case ',': return "comma";
    case '|': return "bar";
    case '/': return "slash";
    case '&': return "and";
    default: return "?";
    }
}

/* "comma|newline" back to ",\n"; words that are none are left out. */
static const char *marks_of(Intake *intake, const char *answer)
{
    static const char all[] = ",|\n/& ";
    char *marks = arena_alloc(intake->arena, sizeof all + 1, 1);
    size_t count = 0;
    for (size_t m = 0; all[m] != '\0'; m++)
        if (strstr(answer, mark_word(all[m])) != NULL) {
            marks[count++] = all[m];
            if (all[m] == '\n')
                marks[count++] = '\r';
        }
    return count > 0 ? marks : NULL;
}

static void guess_tag_marks(Intake *intake)
{
    TagMarks marks = {.question = {.id = "tags_split",
                                   .text = "what stands between several tags (and kinds) of a card, besides ';'? "
                                           "(comma, bar, newline, slash, several with a blank between; none)"}};
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_TAGS, note_tag_marks, &marks);
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_KIND, note_tag_marks, &marks);
    Text likely = {0};
    for (size_t m = 0; tag_marks[m] != '\0'; m++)
        if (marks.with[m] >= 2 && marks.with[m] * 100 >= marks.cells * MARK_SHARE)
            text_printf(&likely, "%s%s", likely.length > 0 ? " " : "", mark_word(tag_marks[m]));
    marks.question.of = marks.cells;
    marks.question.likely = arena_strdup(intake->arena, likely.length > 0 ? text_cstr(&likely) : "none");
    if (marks.question.count > 0)
        intake->habits.tags_split = marks_of(intake, intake_ask(intake, marks.question));
    text_release(&likely);
}

/* ---- names of lists ---- */

static void note_listed(void *context, const CellAt *at)
{
    IntakeQuestion *question = context;
    size_t length;
    int copies;
    const char *text = at->cell->text;
    question->of++;
    listed_name(text, &length, &copies);
    if (length != strlen(text))
        question_example(question, sheet_pos(&at->sheet->sheet, at->cell), text);
}

static void guess_listed(Intake *intake)
{
    IntakeQuestion question = {.id = "listed_names",
                               .text = "are names written as in a list, with a dash or a number of copies?",
                               .choice = yes_no,
                               .choices = 2};
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_NAME, note_listed, &question);
    question.likely = question.count * 100 >= question.of * LISTED_SHARE ? "yes" : "no";
    intake->habits.listed_names = question.count > 0 && answer_is(intake_ask(intake, question), "yes");
}

/* ---- repeated names ---- */

typedef struct {
    const char *folded;
    IntakeSheet *sheet;
    const SheetRow *row;
} Named;

static int compare_named(const void *a, const void *b)
{
    return strcmp(((const Named *)a)->folded, ((const Named *)b)->folded);
}

static bool same_cells(const Named *a, const Named *b)
{
    if (a->sheet != b->sheet)
        return false;
    for (size_t k = 0; k < a->row->cells; k++)
        if (strcmp(a->row->cell[k].text, b->row->cell[k].text) != 0)
            return false;
    return true;
}

/* Counts every line of a sheet of candidates. */
static void count_lines(const Named *named, size_t count, IntakeQuestion *question)
{
    for (size_t i = 0, first = 0; i < count; i++) {
        if (i > 0 && strcmp(named[i].folded, named[first].folded) != 0)
            first = i;
        if (first == i) {
            named[i].sheet->candidates++;
        } else if (same_cells(&named[first], &named[i])) {
            named[i].sheet->repeated++;
        } else {
            const SheetCell *cell = &named[i].row->cell[named[i].sheet->name];
            named[i].sheet->different++;
            question_example(question, sheet_pos(&named[i].sheet->sheet, cell), cell->text);
        }
    }
}

static const char *name_of(Intake *intake, const char *text)
{
    size_t length = strlen(text);
    int copies;
    if (intake->habits.listed_names)
        text = listed_name(text, &length, &copies);
    return folded_in(intake->arena, arena_strndup(intake->arena, text, length));
}

static void guess_duplicates(Intake *intake)
{
    static const char *const choice[] = {"fill", "first", "last", "error"};
    IntakeQuestion question = {.id = "duplicates",
                               .text = "these lines have the name of an earlier one but other cells; which counts? "
                                       "(fill: the first, with its blanks filled from the others)",
                               .likely = "fill",
                               .choice = choice,
                               .choices = 4};
    size_t rows = 0, count = 0;
    for (size_t s = 0; s < intake->sheets; s++)
        rows += intake->sheet[s].sheet.rows;
    Named *named = mem_new(rows, sizeof *named);
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t i = 0; i < sheet->sheet.rows && sheet->role == SHEET_CARDS; i++) {
            const SheetRow *row = &sheet->sheet.row[i];
            const char *name = row->cell[sheet->name].text;
            if (habits_skip(&intake->habits, name))
                sheet->passed++;
            else
                named[count++] = (Named){.folded = name_of(intake, name), .sheet = sheet, .row = row};
        }
    }
    question.of = count;
    sort_stable(named, count, sizeof *named, compare_named);
    count_lines(named, count, &question);
    mem_free(named);
    if (question.count == 0)
        return;
    const char *answer = intake_ask(intake, question);
    static const Duplicates how[] = {DUPLICATES_FILL, DUPLICATES_FIRST, DUPLICATES_LAST, DUPLICATES_ERROR};
    for (size_t i = 0; i < 4; i++)
        if (answer_is(answer, choice[i]))
            intake->habits.duplicates = how[i];
}

void guess_marks(Intake *intake)
{
    guess_lines(intake);
    guess_blanks(intake);
    guess_decimals(intake);
    guess_tag_marks(intake);
    guess_listed(intake);
    guess_duplicates(intake);
}
