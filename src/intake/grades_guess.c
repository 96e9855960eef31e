/* grades_guess.c - scores in words: each word of such a column is asked for what it is worth. Nobody can know that from
 * the sheet, so the likely answer is the same for all: then scores decide nothing until somebody says more. Stars are
 * counted. */
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "intake/bag.h"
#include "intake/intake_inner.h"

#define LIKELY "5"

typedef struct {
    Bag words;
    const IntakeSheet *sheet; /* the first that cannot be a grade; NULL: each may be one */
    const SheetCell *cell;
    size_t cells;
} Words;

static void note_word(void *context, const CellAt *at)
{
    Words *words = context;
    LooseNumber number;
    const char *text = at->cell->text;
    if (says_nothing(text))
        return;
    if (words->cell == NULL && (!grade_word_sound(text) || loose_number(text, &number))) {
        words->sheet = at->sheet;
        words->cell = at->cell;
    }
    words->cells++;
    bag_add(&words->words, text, strlen(text), sheet_pos(&at->sheet->sheet, at->cell));
}

static void leave_columns(Intake *intake, const Words *words)
{
    char excerpt[TEXT_EXCERPT];
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells; k++)
            if (intake->sheet[s].field[k] == HOLDS_POWER &&
                intake->sheet[s].look[k].numbers + intake->sheet[s].look[k].scores == 0)
                intake_take_column(intake, &intake->sheet[s], k, HOLDS_OWN);
    diag_notice(intake->diags, sheet_pos(&words->sheet->sheet, words->cell),
                "the column does not count as power: '%s' is no number, and no word that can be worth one; expected "
                "numbers, or single words of letters such as must",
                text_excerpt(excerpt, words->cell->text));
}

static bool holds_words(const Intake *intake)
{
    bool some = false;
    for (size_t s = 0; s < intake->sheets; s++)
        for (size_t k = 0; k < intake->sheet[s].sheet.header.cells && intake->sheet[s].role == SHEET_CARDS; k++) {
            const ColumnLook *look = &intake->sheet[s].look[k];
            if (intake->sheet[s].field[k] != HOLDS_POWER || look->filled == 0)
                continue;
            if (look->numbers + look->scores > 0)
                return false;
            some = true;
        }
    return some;
}

#define EMPTY_STAR "\xE2\x98\x86"
#define HALF "\xC2\xBD"

/* How many of one mark the word is, in thousandths: 3 of "***", also with empty stars behind, 2.5 where a half stands
 * behind two. -1: it is no such word. *size: of the mark. */
static int64_t stars_of(const char *word, size_t *size)
{
    int64_t stars = 0;
    size_t at = 0;
    *size = 1;
    if ((unsigned char)word[0] < 0x80 ? word[0] != '*' : strlen(word) < 3)
        return -1;
    while (((unsigned char)word[*size] & 0xC0U) == 0x80U)
        ++*size;
    const bool empty = strncmp(word, EMPTY_STAR, strlen(EMPTY_STAR)) == 0;
    for (; strncmp(word + at, word, *size) == 0; at += *size)
        stars += 1000;
    if (strncmp(word + at, HALF, strlen(HALF)) == 0) {
        stars += 500;
        at += strlen(HALF);
    }
    for (; !empty && strncmp(word + at, EMPTY_STAR, strlen(EMPTY_STAR)) == 0; at += strlen(EMPTY_STAR))
        ;
    return word[at] == '\0' ? stars : -1;
}

static bool are_stars(const Bag *words)
{
    for (size_t k = 0; k < words->words; k++) {
        const char *first = words->word[0].spelled, *word = words->word[k].spelled;
        size_t size;
        if (stars_of(word, &size) < 0 || strncmp(first, word, size) != 0)
            return false;
    }
    return true;
}

static void ask_word(Intake *intake, const BagWord *word, size_t cells, bool stars)
{
    IntakeQuestion question = {
        .id = arena_printf(intake->arena, "grade %s", word->folded),
        .text = arena_printf(intake->arena, "what number is a card worth that is scored '%s'?", word->spelled),
        .likely = LIKELY,
        .sure = stars,
        .count = word->count,
        .of = cells};
    int64_t value = 0;
    if (stars) {
        char number[NUMBER_TEXT];
        size_t size;
        number_format(number, stars_of(word->spelled, &size), 3, 0);
        question.likely = arena_strdup(intake->arena, number);
    }
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
    Words words = {.words = {.arena = intake->arena}};
    if (!holds_words(intake))
        return;
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_POWER, note_word, &words);
    bag_settle(&words.words);
    if (words.cell != NULL)
        leave_columns(intake, &words);
    intake->grades.grade = arena_alloc(intake->arena, words.words.words, sizeof *intake->grades.grade);
    const bool stars = are_stars(&words.words);
    for (size_t k = 0; k < words.words.words && words.cell == NULL; k++)
        ask_word(intake, &words.words.word[k], words.cells, stars);
    bag_release(&words.words);
}
