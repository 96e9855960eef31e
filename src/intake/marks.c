/* marks.c - how cells are written: words for nothing, decimals, what parts tags, lists of names. */
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/sheet/sheet_numbers.h"
#include "intake/intake_inner.h"

#define FEW 10          /* different words in a column of numbers that may be words for nothing */
#define MARK_SHARE 3    /* percent of a column's cells from which on a mark may part tags */
#define LISTED_SHARE 30 /* percent of names from which on they are a list's */

/* ---- words for nothing ---- */

typedef struct {
    Intake *intake;
    Bag words, strange, mixed; /* in columns of numbers; strange: words; mixed: with digits, such as "12-15" */
    size_t cells, numbers;
} Blanks;

static bool is_number_field(ColumnField field)
{
    return field == HOLDS_COST || field == HOLDS_POWER || field == HOLDS_PRICE || field == HOLDS_LOW ||
           field == HOLDS_HIGH || field == HOLDS_COPIES || field == HOLDS_OWNED || field == HOLDS_CHOSEN ||
           field == HOLDS_PAID || field == HOLDS_WEIGHT;
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
    if (at->field == HOLDS_POWER && is_score(text, &number) && at->sheet->look[at->cell - at->row->cell].numbers == 0) {
        blanks->cells++;
        blanks->numbers++;
        return;
    }
    blanks->cells++;
    const bool said = word_is_nothing(text);
    const bool counted = (is_count_field(at->field) && (counted_copies(text) > 0 || word_says_yes(text) >= 0)) ||
                         (at->field == HOLDS_COST && cost_is_variable(text));
    blanks->numbers += is_number_field(at->field);
    if (said)
        bag_add(&blanks->words, text, strlen(text), pos);
    else if (is_number_field(at->field) && !counted && !loose_number(text, &number))
        bag_add(strpbrk(text, "0123456789") != NULL ? &blanks->mixed : &blanks->strange, text, strlen(text), pos);
}

/* In columns of themes too. */
static void note_nothing_of_theme(void *context, const CellAt *at)
{
    Blanks *blanks = context;
    const char *text = at->cell->text;
    if (text[0] != '\0' && word_is_nothing(text))
        bag_add(&blanks->words, text, strlen(text), sheet_pos(&at->sheet->sheet, at->cell));
}

static void take_blank(Intake *intake, const BagWord *word)
{
    intake->blank[intake->habits.blanks] = word->spelled;
    ((const char **)(uintptr_t)intake->habits.blank)[intake->habits.blanks++] = word->folded;
}

/* Are there few of these words, and are they few among the cells of numbers? Settles the bag. */
static bool are_few(const Blanks *blanks, Bag *bag)
{
    const size_t cells = bag->words;
    bag_settle(bag);
    return cells > 0 && bag->words <= FEW && cells * 10 <= blanks->numbers;
}

static void ask_blanks(Intake *intake, IntakeQuestion question, const Bag *const *bag, size_t bags)
{
    for (size_t b = 0; b < bags; b++)
        for (size_t i = 0; i < bag[b]->words; i++) {
            question_example(&question, bag[b]->word[i].at, bag[b]->word[i].spelled);
            question.count += bag[b]->word[i].count - 1;
        }
    if (question.count > 0 && intake_ask_yes(intake, question))
        for (size_t b = 0; b < bags; b++)
            for (size_t i = 0; i < bag[b]->words; i++)
                take_blank(intake, &bag[b]->word[i]);
}

static void guess_blanks(Intake *intake)
{
    Blanks blanks = {.intake = intake,
                     .words = {.arena = intake->arena},
                     .strange = {.arena = intake->arena},
                     .mixed = {.arena = intake->arena}};
    for (int f = HOLDS_NAME + 1; f < HOLDS_FIELDS; f++)
        if (f != HOLDS_TEXT)
            each_cell(intake, ROLES_READ, (ColumnField)f, note_nothing, &blanks);
    each_theme_cell(intake, note_nothing_of_theme, &blanks);
    bag_settle(&blanks.words);
    const bool few = are_few(&blanks, &blanks.strange), few_mixed = are_few(&blanks, &blanks.mixed);
    const size_t most = blanks.words.words + blanks.strange.words + blanks.mixed.words;
    intake->blank = arena_alloc(intake->arena, most, sizeof *intake->blank);
    intake->habits.blank = arena_alloc(intake->arena, most, sizeof *intake->blank);
    const IntakeQuestion words = {.id = "blanks",
                                  .text = "do these words mean that nothing is known, as a blank cell does?",
                                  .of = blanks.cells},
                         numbers = {.id = "blank numbers",
                                    .text = "these are no numbers that can be read: do they count as blank cells?",
                                    .of = blanks.numbers};
    ask_blanks(intake, words, (const Bag *const[]){&blanks.words, &blanks.strange}, few ? 2 : 1);
    ask_blanks(intake, numbers, (const Bag *const[]){&blanks.mixed}, few_mixed ? 1 : 0);
    bag_release(&blanks.words);
    bag_release(&blanks.strange);
    bag_release(&blanks.mixed);
}

/* ---- decimals ---- */

typedef struct {
    IntakeQuestion question;
    size_t commas, points, doubtful;
    const IntakeSheet *sheet; /* the first number that its sheet cannot read for its mark, as 1.500; NULL: none */
    size_t column;
    const SheetCell *cell;
    int64_t value; /* thousandths, where the mark stands before decimals */
} Decimals;

/* What a workbook leaves open no answer settles: its cells say the same to all. */
static bool is_read_as_it_stands(const CellAt *at)
{
    if (at->sheet->sheet.workbook)
        return true;
    const NumberForm form = sheet_number_form(&at->sheet->sheet);
    const bool money = at->field == HOLDS_PRICE || at->field == HOLDS_LOW || at->field == HOLDS_HIGH;
    int64_t value;
    return (money ? form_money(form, at->cell->text, &value, NULL)
                  : form_number(form, at->cell->text, 3, &value, NULL)) == NUMBER_OK;
}

static void note_decimals(void *context, const CellAt *at)
{
    Decimals *d = context;
    LooseNumber number;
    if (!loose_number(at->cell->text, &number))
        return;
    d->question.of++;
    d->doubtful += number.doubtful;
    d->commas += number.mark == ',';
    d->points += number.mark == '.';
    if (number.doubtful && d->sheet == NULL && !is_read_as_it_stands(at)) {
        d->sheet = at->sheet;
        d->column = (size_t)(at->cell - at->row->cell);
        d->cell = at->cell;
        d->value = number.value;
    }
    if (number.doubtful || number.mark == ',')
        question_example(&d->question, sheet_pos(&at->sheet->sheet, at->cell), at->cell->text);
}

/* Nothing tells what 1.500 is, and nobody was asked. */
static void refuse_doubtful(Intake *intake, const Decimals *d)
{
    char one[NUMBER_TEXT], thousands[NUMBER_TEXT];
    number_format(one, d->value, 3, 0);
    number_format(thousands, d->value, 0, 0);
    sheet_report(&d->sheet->sheet, (int)d->column, d->cell,
                 arena_printf(intake->arena,
                              "%s or %s, whichever is meant (no other number here shows its decimals), or an answer "
                              "to `decimal`: comma or point",
                              thousands, one),
                 intake->diags);
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
    const bool untold = d.commas + d.points == 0;
    if (untold ? d.sheet == NULL : d.doubtful == 0 && d.commas == 0)
        return;
    d.question.likely = d.commas > d.points || (untold && sheet_decimal_comma(&d.sheet->sheet)) ? "comma" : "point";
    if (d.doubtful == 0) { /* then 2,35 and 2.35 are both read, whatever the sheet */
        d.question.likely = "comma";
        d.question.sure = true;
        d.question.text = "numbers have decimal commas; where some have points, both are read";
    }
    const char *answer = intake_ask(intake, d.question);
    if (untold && intake->question[intake->questions - 1].source == ANSWER_LIKELY)
        refuse_doubtful(intake, &d);
    if (d.doubtful > 0 || d.points == 0)
        intake->habits.decimal = text_folds_to(answer, "comma") ? DECIMAL_COMMA : DECIMAL_POINT;
}

/* ---- what parts tags and kinds ---- */

static const char tag_marks[] = ",|\n/#";

typedef struct {
    size_t cells, with[sizeof tag_marks];
    IntakeQuestion question;
} TagMarks;

static void note_tag_marks(void *context, const CellAt *at)
{
    TagMarks *marks = context;
    const char *text = at->cell->text;
    if (says_nothing(text))
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
    case '#': return "hash";
    case '&': return "and";
    default: return "?";
    }
}

/* "comma|newline" back to ",\n"; words that are none are left out. */
static const char *marks_of(Intake *intake, const char *answer)
{
    static const char all[] = ",|\n/#& ";
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
                                           "(comma, bar, newline, slash, hash, several with a blank between; none)"}};
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_TAGS, note_tag_marks, &marks);
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_ENABLES, note_tag_marks, &marks);
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_PAYS_OFF, note_tag_marks, &marks);
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
                               .text = "are names written as in a list, with a dash or a number of copies?"};
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_NAME, note_listed, &question);
    question.likely = question.count * 100 >= question.of * LISTED_SHARE ? "yes" : "no";
    intake->habits.listed_names = question.count > 0 && intake_ask_yes(intake, question);
}

void guess_marks(Intake *intake)
{
    guess_blanks(intake);
    guess_decimals(intake);
    guess_tag_marks(intake);
    guess_listed(intake);
}
