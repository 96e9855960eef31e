/* colours_guess.c - the game's colours from the cells that hold them: the frequent words are colours, rare ones near a
 * frequent one are misspelt, short ones that begin a frequent one stand for it. */
#include <stdint.h>
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "intake/intake_inner.h"

#define FEW_CELLS 40
#define JOINED_COLOURS 3
#define WORDS_MOST 100 /* different words of colours, misspelt ones and all */

static const char strong_marks[] = "+/,;&|\n";
static const char every_mark[] = "+/,;&|\n ";
static const char dash_marks[] = "+/,;&|\n-";

typedef struct {
    Intake *intake;
    Bag pieces; /* between strong marks */
    Bag spoken; /* between words such as "and" too */
    Bag words;  /* between blanks too */
    Bag joined; /* words that share their cell with others */
    size_t cells, with_slash, with_plus;
    size_t with[sizeof strong_marks];
    Bag dashed; /* between dashes too */
    bool by_blanks, by_dashes;
    IntakeQuestion slash;
} Colours;

/* ---- gathering ---- */

static void each_piece(const char *text, const char *marks, void (*take)(void *, const char *, size_t), void *context)
{
    size_t length;
    for (const char *rest = text, *part; (part = text_part(&rest, marks, &length)) != NULL;)
        if (length > 0)
            take(context, part, length);
}

typedef struct {
    Bag *bag;
    SourcePos at;
} ToBag;

static void put(void *context, const char *text, size_t length)
{
    ToBag *to = context;
    bag_add(to->bag, text, length, to->at);
}

static void note_cell(void *context, const CellAt *at)
{
    Colours *c = context;
    const char *text = at->cell->text;
    if (says_nothing(text))
        return;
    const SourcePos pos = sheet_pos(&at->sheet->sheet, at->cell);
    c->cells++;
    if (word_is_colourless(text)) {
        bag_add(&c->pieces, text, strlen(text), pos);
        return;
    }
    char *marked = words_as_marks(text, '/', NULL, 0);
    const char *spoken = marked != NULL ? marked : text;
    each_piece(text, strong_marks, put, &(ToBag){.bag = &c->pieces, .at = pos});
    each_piece(spoken, strong_marks, put, &(ToBag){.bag = &c->spoken, .at = pos});
    each_piece(spoken, every_mark, put, &(ToBag){.bag = &c->words, .at = pos});
    each_piece(spoken, dash_marks, put, &(ToBag){.bag = &c->dashed, .at = pos});
    if (strpbrk(spoken, strong_marks) != NULL)
        each_piece(spoken, strong_marks, put, &(ToBag){.bag = &c->joined, .at = pos});
    if (strpbrk(text, strong_marks) != NULL)
        each_piece(text, strong_marks, put, &(ToBag){.bag = &c->joined, .at = pos});
    if (strpbrk(text, every_mark) != NULL)
        each_piece(text, every_mark, put, &(ToBag){.bag = &c->joined, .at = pos});
    for (size_t m = 0; strong_marks[m] != '\0'; m++)
        c->with[m] += strchr(text, strong_marks[m]) != NULL;
    c->with_plus += strpbrk(spoken, "+,;&|\n") != NULL && strchr(spoken, '/') == NULL;
    if (strchr(text, '/') != NULL) {
        c->with_slash++;
        question_example(&c->slash, pos, text);
    }
    mem_free(marked);
}

/* Is each of these words a piece that stands alone too? */
static bool all_alone(const Colours *c, const char *text, const char *marks)
{
    bool all = true;
    size_t length;
    for (const char *rest = text, *part; all && (part = text_part(&rest, marks, &length)) != NULL;) {
        char *word = mem_strndup(part, length);
        all = length == 0 || bag_find(&c->pieces, word) != NULL;
        mem_free(word);
    }
    return all;
}

static bool has_between(const char *text, char mark)
{
    size_t length;
    for (const char *rest = text, *part; (part = text_part(&rest, strong_marks, &length)) != NULL;)
        if (memchr(part, mark, length) != NULL)
            return true;
    return false;
}

/* Does the mark part colours (a blank, a dash), or words such as "and" ('\0')? If every word of most pieces that have
 * it stands as a piece alone too. */
static bool parts_by(const Colours *c, char mark)
{
    const char *marks = mark == ' ' ? every_mark : mark == '-' ? dash_marks : strong_marks;
    size_t with = 0, known = 0;
    for (size_t i = 0; i < c->pieces.words; i++) {
        const BagWord *piece = &c->pieces.word[i];
        char *marked = words_as_marks(piece->folded, '/', NULL, 0);
        const char *text = marked != NULL ? marked : piece->folded;
        if (!word_is_colourless(piece->spelled) && (mark != '\0' ? has_between(text, mark) : marked != NULL)) {
            with += piece->count;
            known += all_alone(c, text, marks) ? piece->count : 0;
        }
        mem_free(marked);
    }
    return with > 0 && known * 2 > with;
}

/* ---- which words are colours ---- */

/* Words that few cells have may be misspelt; in a short list a single cell is enough where no word with more is near.
 */
static bool is_frequent(const Colours *c, const Bag *bag, const BagWord *word)
{
    if (word->count >= 2 || c->cells >= FEW_CELLS)
        return word->count >= 2 && word->count * 100 >= c->cells;
    for (const BagWord *more = bag->word; more < bag->word + bag->words && more->count > word->count; more++)
        if (text_nearest(word->spelled, (const char *const[]){more->spelled}, 1) != NULL)
            return false;
    return true;
}

static bool is_one_text_character(const char *text)
{
    return text[0] != '\0' && text[text_character(text)] == '\0';
}

/* "bt": nothing but letters (or pictures) that are words themselves. */
static bool is_run_of_letters(const Bag *bag, const BagWord *word)
{
    const size_t length = text_characters(word->folded, strlen(word->folded));
    bool found = length >= 2 && length <= 5;
    for (const char *at = word->folded; found && *at != '\0'; at += text_character(at)) {
        char *letter = mem_strndup(at, text_character(at));
        found = bag_find(bag, letter) != NULL;
        mem_free(letter);
    }
    return found;
}

/* "b+t" and "bt": who stands beside a colour is one, and not short for colourless. */
static bool stands_beside_others(const Colours *c, const Bag *bag, const BagWord *word)
{
    if (bag_find(&c->joined, word->folded) != NULL)
        return true;
    for (size_t i = 0; i < bag->words && is_one_text_character(word->folded); i++)
        if (strstr(bag->word[i].folded, word->folded) != NULL && is_run_of_letters(bag, &bag->word[i]))
            return true;
    return false;
}

/* A word that is never beside another, where every other one is, is what the list calls no colour. */
static bool is_never_joined(const Colours *c, const Bag *bag, const BagWord *word)
{
    size_t others = 0;
    if (!is_frequent(c, bag, word) || stands_beside_others(c, bag, word))
        return false;
    for (size_t i = 0; i < bag->words; i++) {
        const BagWord *other = &bag->word[i];
        if (other == word || !is_frequent(c, bag, other) || word_is_colourless(other->spelled) ||
            is_run_of_letters(bag, other))
            continue;
        others++;
        if (!stands_beside_others(c, bag, other))
            return false;
    }
    return others >= JOINED_COLOURS;
}

/* The longer frequent word that this one begins, if there is just one. */
static const BagWord *begun(const Colours *c, const Bag *bag, const BagWord *word)
{
    const BagWord *found = NULL;
    const size_t length = strlen(word->folded);
    if (length > 4)
        return NULL;
    for (size_t i = 0; i < bag->words; i++) {
        const BagWord *other = &bag->word[i];
        if (other == word || strlen(other->folded) <= length || strlen(other->folded) < 3 ||
            strncmp(other->folded, word->folded, length) != 0 || !is_frequent(c, bag, other) ||
            is_run_of_letters(bag, other) || (word_is_colourless(other->spelled) && stands_beside_others(c, bag, word)))
            continue;
        if (found != NULL)
            return NULL;
        found = other;
    }
    return found;
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static void take_colours(Colours *c, const Bag *bag)
{
    Intake *intake = c->intake;
    intake->colour = arena_alloc(intake->arena, COLOURS_MAX, sizeof *intake->colour);
    for (size_t i = 0; i < bag->words && intake->colours < COLOURS_MAX; i++) {
        const BagWord *word = &bag->word[i];
        if (is_frequent(c, bag, word) && !word_is_colourless(word->spelled) && !word_is_any(word->spelled) &&
            !word_is_nothing(word->spelled) && begun(c, bag, word) == NULL && !is_run_of_letters(bag, word) &&
            !is_never_joined(c, bag, word))
            intake->colour[intake->colours++] = word->spelled;
    }
}

/* ---- asking ---- */

/* Names with commas between replace what was found. */
static void read_names(Intake *intake, const char *answer)
{
    size_t length;
    const char *name;
    intake->colours = 0;
    while (intake->colours < COLOURS_MAX && (name = text_part(&answer, ",;", &length)) != NULL)
        if (length > 0)
            intake->colour[intake->colours++] = arena_strndup(intake->arena, name, length);
}

static void ask_colours(Colours *c, bool sure)
{
    Intake *intake = c->intake;
    IntakeQuestion question = {.id = "colours",
                               .text = "which are the game's colours? (names with commas between)",
                               .likely = text_list(intake->arena, intake->colour, intake->colours),
                               .count = c->cells,
                               .of = c->cells,
                               .sure = sure};
    const char *answer = intake_ask(intake, question);
    if (strcmp(answer, question.likely) != 0)
        read_names(intake, answer);
}

static void add_word(Intake *intake, const BagWord *word, int colour)
{
    ((ColourWord *)(uintptr_t)intake->habits.colour_word)[intake->habits.colour_words++] =
        (ColourWord){.word = word->spelled, .folded = word->folded, .colour = colour};
}

/* What a word that is no colour's name likely stands for. */
static const char *likely_colour(const Colours *c, const Bag *bag, const BagWord *word)
{
    const BagWord *longer = begun(c, bag, word);
    if (word_is_colourless(word->spelled) || is_never_joined(c, bag, word))
        return "colourless";
    if (longer != NULL && text_find(longer->spelled, c->intake->colour, c->intake->colours) >= 0)
        return longer->spelled;
    const char *near = text_nearest(word->spelled, c->intake->colour, c->intake->colours);
    return near != NULL ? near : "colourless";
}

static void ask_words(Colours *c, const Bag *bag)
{
    Intake *intake = c->intake;
    const char **choice = arena_alloc(intake->arena, intake->colours + 1, sizeof *choice);
    for (size_t i = 0; i < intake->colours; i++)
        choice[i] = intake->colour[i];
    choice[intake->colours] = "colourless";
    intake->habits.colour_word = arena_alloc(intake->arena, bag->words + 1, sizeof *intake->habits.colour_word);
    for (size_t i = 0; i < bag->words; i++) {
        const BagWord *word = &bag->word[i];
        if (text_find(word->spelled, intake->colour, intake->colours) >= 0 || word_is_nothing(word->spelled) ||
            colours_none(word->spelled) || is_run_of_letters(bag, word))
            continue;
        const char *likely = likely_colour(c, bag, word);
        IntakeQuestion question = {.id = arena_printf(intake->arena, "colour %s", word->spelled),
                                   .text = arena_printf(intake->arena, "which colour is '%s'?", word->spelled),
                                   .likely = likely,
                                   .choice = choice,
                                   .choices = intake->colours + 1,
                                   .of = c->cells,
                                   .sure = word_is_colourless(word->spelled)};
        question_example(&question, word->at, word->spelled);
        question.count = word->count;
        add_word(intake, word, (int)text_find(intake_ask(intake, question), intake->colour, intake->colours));
    }
    /* runs of letters are only looked for where some word stands for a colour */
    if (intake->habits.colour_words == 0 && intake->colours > 0 && is_one_text_character(intake->colour[0]))
        add_word(intake,
                 &(BagWord){.spelled = intake->colour[0], .folded = text_fold_in(intake->arena, intake->colour[0])}, 0);
}

static void ask_slash(Colours *c)
{
    static const char *const choice[] = {"either", "both"};
    Intake *intake = c->intake;
    if (c->with_slash == 0)
        return;
    c->slash.id = "slash";
    c->slash.text =
        arena_printf(intake->arena,
                     "%zu card%s written with /, %zu with +, a comma and the like: does '%s' need both colours, or "
                     "will either do?",
                     c->with_slash, c->with_slash == 1 ? " is" : "s are", c->with_plus, c->slash.example[0].text);
    c->slash.choice = choice;
    c->slash.choices = 2;
    c->slash.of = c->cells;
    c->slash.likely = c->with_plus * 2 >= c->with_slash ? "either" : "both";
    intake->habits.slash_said = true;
    intake->habits.slash_is_both = text_folds_to(intake_ask(intake, c->slash), "both");
}

static void take_marks(Colours *c)
{
    Intake *intake = c->intake;
    char *marks = arena_alloc(intake->arena, sizeof strong_marks + 4, 1);
    size_t count = 0;
    for (size_t m = 0; strong_marks[m] != '\0'; m++)
        if (c->with[m] > 0 && strong_marks[m] != '+' && strong_marks[m] != '/') {
            marks[count++] = strong_marks[m];
            if (strong_marks[m] == '\n')
                marks[count++] = '\r';
        }
    if (c->by_dashes)
        marks[count++] = '-';
    if (c->by_blanks)
        marks[count++] = ' ';
    intake->habits.colours_split = count > 0 ? marks : NULL;
}

/* A column with that many words holds no colours. */
static void leave_columns(Intake *intake, size_t words)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_CARDS; k++) {
            if (sheet->field[k] != HOLDS_COLOURS)
                continue;
            const SheetCell *header = &sheet->sheet.header.cell[k];
            sheet->field[k] = HOLDS_OWN;
            diag_notice(intake->diags, sheet_pos(&sheet->sheet, header),
                        "the column '%s' holds %zu different words, too many for colours: it is left as your own, and "
                        "every card counts as colourless",
                        header->text, words);
        }
    }
}

static bool is_colour_word(const Intake *intake, const char *text)
{
    if (text_find(text, intake->colour, intake->colours) >= 0)
        return true;
    for (size_t k = 0; k < intake->habits.colour_words; k++)
        if (intake->habits.colour_word[k].colour >= 0 && text_folds_to(text, intake->habits.colour_word[k].folded))
            return true;
    return false;
}

/* A second column with nothing but the game's colours holds the other colour of gold cards. One that is called as
 * colours is read with the first; of another it is told. */
static void settle_second_columns(Intake *intake)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_CARDS; k++) {
            size_t colours = 0, others = 0;
            for (size_t r = 0; r < sheet->sheet.rows && sheet->field[k] == HOLDS_OWN && others == 0; r++) {
                const char *text = sheet->sheet.row[r].cell[k].text;
                const bool is_colour = is_colour_word(intake, text);
                colours += is_colour;
                others += !is_colour && !says_nothing(text);
            }
            if (colours < 2 || others > 0)
                continue;
            const SheetCell *header = &sheet->sheet.header.cell[k];
            const bool answered = intake_was_answered(intake, sheet, header->text);
            char excerpt[TEXT_EXCERPT];
            if (!answered && header_names(header->text, HOLDS_COLOURS) > 0 && sheet_has(sheet, HOLDS_COLOURS))
                intake_take_column(intake, sheet, k, HOLDS_COLOURS);
            else if (!answered)
                diag_notice(intake->diags, sheet_pos(&sheet->sheet, header),
                            "the column '%s' holds colours too (of %zu cards), and is not read: where it says another "
                            "colour that the card needs, call it 'colour 2', or answer \"column %s %s\": \"colours\"",
                            text_excerpt(excerpt, header->text), colours, sheet->path, header->text);
        }
    }
}

/* Nothing holds colours: what a model of one colour comes from; unless an answer says them, which sheets are called as.
 */
static void tell_no_colours(Intake *intake, bool answered)
{
    const IntakeSheet *cards = NULL;
    const char *example = "";
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role != SHEET_CARDS)
            continue;
        if (sheet_has(sheet, HOLDS_COLOURS))
            return;
        if (cards != NULL)
            example = arena_printf(intake->arena,
                                   "; if the sheets are called as colours, answer \"colours\": \"%s, %s, ...\"",
                                   cards->title, sheet->title);
        cards = cards != NULL ? cards : sheet;
    }
    if (cards == NULL || answered)
        return;
    diag_notice(intake->diags, sheet_pos(&cards->sheet, &cards->sheet.header.cell[0]),
                "no column seems to hold colours, so every card counts as colourless; if one does, call it 'colours', "
                "or answer \"column %s HEADER\": \"colours\"%s",
                cards->path, example);
}

void guess_colours(Intake *intake)
{
    if (intake->colour_columns)
        return;
    Colours c = {.intake = intake,
                 .pieces = {.arena = intake->arena},
                 .spoken = {.arena = intake->arena},
                 .words = {.arena = intake->arena},
                 .dashed = {.arena = intake->arena},
                 .joined = {.arena = intake->arena}};
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_COLOURS, note_cell, &c);
    bag_settle(&c.pieces);
    bag_settle(&c.spoken);
    bag_settle(&c.words);
    bag_settle(&c.dashed);
    bag_settle(&c.joined);
    const bool too_many = c.pieces.words > WORDS_MOST;
    if (too_many) {
        leave_columns(intake, c.pieces.words);
        c = (Colours){.intake = intake,
                      .pieces = c.pieces,
                      .spoken = c.spoken,
                      .words = c.words,
                      .dashed = c.dashed,
                      .joined = c.joined};
        c.pieces.words = c.spoken.words = c.words.words = c.dashed.words = 0;
    }
    c.by_blanks = parts_by(&c, ' ');
    c.by_dashes = !c.by_blanks && parts_by(&c, '-');
    const Bag *bag = c.by_blanks ? &c.words : c.by_dashes ? &c.dashed : parts_by(&c, '\0') ? &c.spoken : &c.pieces;
    for (size_t i = 0; i < bag->words; i++) /* "bt" needs both */
        c.with_plus += is_run_of_letters(bag, &bag->word[i]) ? bag->word[i].count : 0;
    take_colours(&c, bag);
    const bool by_cells = intake->colours > 0;
    if (!by_cells && !too_many)
        guess_colours_by_titles(intake);
    sort_stable(intake->colour, intake->colours, sizeof *intake->colour, compare_names);
    if (intake->colours == 0) { /* a model needs one */
        intake->colour[intake->colours++] = "plain";
        ask_colours(&c, true);
        const bool answered = intake->colours != 1 || strcmp(intake->colour[0], "plain") != 0;
        if (answered)
            settle_titles(intake);
        if (!too_many)
            tell_no_colours(intake, answered);
    } else {
        ask_colours(&c, by_cells);
        ask_words(&c, bag);
        ask_slash(&c);
        take_marks(&c);
        settle_second_columns(intake);
        settle_titles(intake);
    }
    bag_release(&c.pieces);
    bag_release(&c.spoken);
    bag_release(&c.words);
    bag_release(&c.dashed);
    bag_release(&c.joined);
}
