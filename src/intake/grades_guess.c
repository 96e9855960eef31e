/* grades_guess.c - scores in words: each word of such a column is asked for what it is worth. Nobody can know that from
 * the sheet, so the likely answer is the same for all: then scores decide nothing until somebody says more. Stars are
 * counted. */
#include <string.h>

#include "base/number.h"
#include "intake/bag.h"
#include "intake/intake_inner.h"

#define LIKELY "5"

typedef struct {
    Bag words;
    bool sound; /* each of them may be a grade */
    size_t cells;
} Words;

static void note_word(void *context, const CellAt *at)
{
    Words *words = context;
    LooseNumber number;
    const char *text = at->cell->text;
    if (says_nothing(text))
        return;
    words->sound = words->sound && grade_word_sound(text) && !loose_number(text, &number);
    words->cells++;
    bag_add(&words->words, text, strlen(text), sheet_pos(&at->sheet->sheet, at->cell));
}

static void leave_columns(Intake *intake)
{
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells; k++)
            if (intake->sheet[s].field[k] == HOLDS_POWER && intake->sheet[s].look[k].numbers == 0)
                intake->sheet[s].field[k] = HOLDS_OWN;
}

static bool holds_words(const Intake *intake)
{
    bool some = false;
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells && intake->sheet[s].role == SHEET_CARDS; k++) {
            const ColumnLook *look = &intake->sheet[s].look[k];
            if (intake->sheet[s].field[k] != HOLDS_POWER || look->filled == 0)
                continue;
            if (look->numbers > 0)
                return false;
            some = true;
        }
    return some;
}

/* How many of one mark the word is: 3 of "***". 0: it is no such word. */
static size_t stars_of(const char *word)
{
    const size_t length = strlen(word);
    size_t mark = 1;
    if ((unsigned char)word[0] < 0x80 ? word[0] != '*' : length < 3)
        return 0;
    while (mark < length && ((unsigned char)word[mark] & 0xC0U) == 0x80U)
        mark++;
    for (size_t k = mark; k < length; k += mark)
        if (k + mark > length || memcmp(word + k, word, mark) != 0)
            return 0;
    return length / mark;
}

static bool are_stars(const Bag *words)
{
    for (size_t k = 0; k < words->words; k++) {
        const char *first = words->word[0].spelled, *word = words->word[k].spelled;
        const size_t length = strlen(first) < strlen(word) ? strlen(first) : strlen(word);
        if (stars_of(word) == 0 || memcmp(first, word, length) != 0)
            return false;
    }
    return true;
}

static void ask_word(Intake *intake, const BagWord *word, size_t cells, bool stars)
{
    IntakeQuestion question = {
        .id = arena_printf(intake->arena, "grade %s", word->folded),
        .text = arena_printf(intake->arena, "what number is a card worth that is scored '%s'?", word->spelled),
        .likely = stars ? arena_printf(intake->arena, "%zu", stars_of(word->spelled)) : LIKELY,
        .sure = stars,
        .count = word->count,
        .of = cells};
    int64_t value = 0;
    question_example(&question, word->at, word->spelled);
    question.count = word->count;
    const char *answer = intake_ask(intake, question);
    if (number_parse(answer, 3, false, &value) != NUMBER_OK)
        diag_error(intake->diags, (SourcePos){0}, "the answer to \"%s\" is '%s', expected a number such as 7 or 6.5",
                   question.id, answer);
    intake->grades.grade[intake->grades.count++] =
        (Grade){.word = word->spelled, .folded = word->folded, .value = value};
}

void guess_grades(Intake *intake)
{
    Words words = {.words = {.arena = intake->arena}, .sound = true};
    if (!holds_words(intake))
        return;
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_POWER, note_word, &words);
    bag_settle(&words.words);
    if (!words.sound)
        leave_columns(intake);
    intake->grades.grade = arena_alloc(intake->arena, words.words.words, sizeof *intake->grades.grade);
    const bool stars = are_stars(&words.words);
    for (size_t k = 0; k < words.words.words && words.sound; k++)
        ask_word(intake, &words.words.word[k], words.cells, stars);
    bag_release(&words.words);
}
