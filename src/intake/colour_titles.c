/* colour_titles.c - colours that no column says: of sheets that are called as them, or of headings within one. */
#include <string.h>

#include "base/text.h"
#include "intake/intake_inner.h"

#define TITLES_LEAST 3
#define JOINED_LEAST 3 /* words that others are made of, for those that are in none to be no colours */

static bool lacks_colours(const IntakeSheet *sheet)
{
    return sheet->role == SHEET_CARDS && !sheet_has(sheet, HOLDS_COLOURS);
}

/* Words of titles that say what is in a sheet, and no colour. */
static bool names_no_colour(const char *word)
{
    static const char *const other[] = {"gold", "hybrid", "fixing", "other", "others", "rest",
                                        "misc", "mixed",  "notes",  "new",   "old"};
    return word_is_list(word) || word_is_colourless(word) || word_is_any(word) ||
           text_find(word, other, sizeof other / sizeof *other) >= 0;
}

typedef struct {
    Bag alone, beside; /* words of titles that have one, or several */
} TitleWords;

/* The title's words that may be colours, without those that any list may be called with. */
static void add_title(TitleWords *words, const char *title)
{
    for (size_t pass = 0, count = 0; pass < 2; pass++) {
        size_t length;
        for (const char *rest = title, *part; (part = text_part(&rest, TITLE_MARKS, &length)) != NULL;) {
            char *word = mem_strndup(part, length);
            const bool may = length > 0 && !names_no_colour(word) && word_between(word, length) == '\0';
            mem_free(word);
            if (may && pass == 1)
                bag_add(count == 1 ? &words->alone : &words->beside, part, length, (SourcePos){0});
            count += may && pass == 0;
        }
    }
}

/* The names of lines that are passed over, but for sums. Released with bag_release. */
static Bag headings_of(const Intake *intake, const IntakeSheet *sheet)
{
    Bag headings = {.arena = intake->arena};
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const char *name = sheet->sheet.row[i].cell[sheet->name].text;
        if (name[0] != '\0' && !word_is_total(name) && habits_skip(&intake->habits, name))
            bag_add(&headings, name, strlen(name), (SourcePos){0});
    }
    bag_settle(&headings);
    return headings;
}

/* What stands there several times parts the cards of each colour. */
static void add_headings(TitleWords *words, const Intake *intake, const IntakeSheet *sheet)
{
    Bag headings = headings_of(intake, sheet);
    for (size_t k = 0; k < headings.words; k++)
        if (headings.word[k].count == 1)
            add_title(words, headings.word[k].spelled);
    bag_release(&headings);
}

/* Of words that stand alone in a title, those that others are made of ("brass", "brass-tar"); where few are, all. */
static void take_titles(Intake *intake, bool headings)
{
    TitleWords words = {.alone = {.arena = intake->arena}, .beside = {.arena = intake->arena}};
    for (size_t s = 0; s < intake->sheets; s++)
        if (lacks_colours(&intake->sheet[s]) && headings)
            add_headings(&words, intake, &intake->sheet[s]);
        else if (lacks_colours(&intake->sheet[s]))
            add_title(&words, intake->sheet[s].title);
    bag_settle(&words.alone);
    bag_settle(&words.beside);
    size_t both = 0;
    for (size_t k = 0; k < words.alone.words; k++)
        both += bag_find(&words.beside, words.alone.word[k].folded) != NULL;
    for (size_t k = 0; k < words.alone.words && words.alone.words >= TITLES_LEAST && intake->colours < COLOURS_MAX; k++)
        if (both < JOINED_LEAST || bag_find(&words.beside, words.alone.word[k].folded) != NULL)
            intake->colour[intake->colours++] = words.alone.word[k].spelled;
    bag_release(&words.alone);
    bag_release(&words.beside);
}

/* No column says colours: where there are several sheets of cards they are likely what these are called, else what
 * headings are. */
void guess_colours_by_titles(Intake *intake)
{
    take_titles(intake, false);
    if (intake->colours == 0)
        take_titles(intake, true);
}

static bool has_headings(const Intake *intake, const IntakeSheet *sheet, const CardVocabulary *vocabulary)
{
    Bag headings = headings_of(intake, sheet);
    ColourNeed need;
    bool found = false;
    for (size_t k = 0; k < headings.words; k++)
        found = found || colours_of_title(vocabulary, headings.word[k].spelled, &need);
    bag_release(&headings);
    return found;
}

/* Where neither a sheet nor headings in it are called as colours and those of other sheets have some, that its cards
 * have none is told. */
void settle_titles(Intake *intake)
{
    const CardVocabulary vocabulary = {.colour = intake->colour, .colours = intake->colours, .habits = &intake->habits};
    ColourNeed need;
    for (size_t s = 0; s < intake->sheets; s++) {
        IntakeSheet *sheet = &intake->sheet[s];
        if (!lacks_colours(sheet))
            continue;
        sheet->titled = colours_of_title(&vocabulary, sheet->title, &need);
        sheet->headed = !sheet->titled && has_headings(intake, sheet, &vocabulary);
        if (!sheet->titled && !sheet->headed && !word_is_colourless(sheet->title))
            diag_notice(intake->diags, sheet_line_pos(&sheet->sheet, sheet->sheet.header.line),
                        "the cards of '%s' count as colourless: it has no column of colours, and is not called as one",
                        sheet->title);
    }
}

/* Is there a heading for cards without colours? */
static bool has_colourless(const Intake *intake, const IntakeSheet *sheet)
{
    Bag headings = headings_of(intake, sheet);
    bool found = false;
    for (size_t k = 0; k < headings.words; k++)
        found = found || word_is_colourless(headings.word[k].spelled);
    bag_release(&headings);
    return found;
}

void tell_colourless_sections(const Intake *intake)
{
    const CardSet *cards = intake->cards;
    char excerpt[TEXT_EXCERPT];
    for (size_t s = 0; s < intake->sheets; s++) {
        const Card *first = NULL;
        size_t count = 0;
        if (!intake->sheet[s].headed || has_colourless(intake, &intake->sheet[s]))
            continue;
        for (size_t c = 0; c < cards->count; c++)
            if (cards->card[c].printed.parts == 0 &&
                strcmp(cards->file[cards->card[c].file].path, intake->sheet[s].sheet.path) == 0) {
                first = first == NULL || cards->card[c].at.line < first->at.line ? &cards->card[c] : first;
                count++;
            }
        if (first != NULL)
            diag_notice(intake->diags, first->at,
                        "%zu card%s below no heading that is called as colours, such as '%s', and count%s as "
                        "colourless; those of '%s + %s' can have a heading that is called so",
                        count, count == 1 ? " stands" : "s stand", text_excerpt(excerpt, first->name),
                        count == 1 ? "s" : "", intake->colour[0], intake->colour[intake->colours > 1 ? 1 : 0]);
    }
}
