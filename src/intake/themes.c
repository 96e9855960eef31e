/* themes.c - tags that many candidates have are themes, each in the colours that most of its cards can be played in. */
#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "intake/intake_inner.h"

#define THEMES_MOST 12
#define PLAYABLE_SHARE 70 /* percent of a theme's coloured cards that its colours can pay for */

typedef struct {
    int tag;
    size_t cards;
} TagCount;

static int by_cards(const void *a, const void *b)
{
    const TagCount *x = a, *y = b;
    if (x->cards != y->cards)
        return x->cards > y->cards ? -1 : 1;
    return x->tag < y->tag ? -1 : x->tag > y->tag;
}

/* Cards with the tag and a colour that a deck of these colours can play; *of: all of them. */
static size_t playable_with(const CardSet *set, int tag, ColourMask mask, size_t *of)
{
    size_t cards = 0;
    *of = 0;
    for (size_t i = 0; i < set->count; i++) {
        const Card *card = &set->card[i];
        if (card_has_tag(card, tag) == NULL || card->colours.parts == 0)
            continue;
        ++*of;
        cards += colours_playable(&card->colours, mask);
    }
    return cards;
}

/* The fewest colours that play most of the theme; all where no pair does. */
static ColourMask theme_colours(const Intake *intake, int tag)
{
    const ColourMask all = (ColourMask)((1u << intake->colours) - 1u);
    ColourMask best = all;
    size_t most = 0, of = 0;
    for (size_t a = 0; a < intake->colours; a++)
        for (size_t b = a; b < intake->colours; b++) {
            const ColourMask mask = (ColourMask)(1u << a | 1u << b);
            const size_t cards = playable_with(intake->cards, tag, mask, &of) + (a == b && of > 0 ? of / 10 : 0);
            if (cards * 100 >= of * PLAYABLE_SHARE && cards > most) {
                most = cards;
                best = mask;
            }
        }
    return best;
}

static bool is_theme_name(const Intake *intake, const char *tag)
{
    for (const char *c = tag; *c != '\0'; c++)
        if (strchr(":+,;=\"\n", *c) != NULL)
            return false;
    return theme_name_expected(tag) == NULL && text_find(tag, intake->colour, intake->colours) < 0 &&
           field_of_name(tag) < 0 && !word_is_any(tag) && card_column_of(tag) == NULL;
}

static void find_words(Intake *intake)
{
    const CardSet *set = intake->cards;
    for (size_t t = 0; t < set->tags; t++) {
        if (intake->removal == NULL && word_is_removal(set->tag[t]))
            intake->removal = set->tag[t];
        if (intake->fixing == NULL && word_is_fixing(set->tag[t]))
            intake->fixing = set->tag[t];
    }
    for (size_t k = 0; k < set->kinds && intake->fixing == NULL; k++)
        if (word_is_fixing(set->kind[k])) {
            intake->fixing = set->kind[k];
            intake->fixing_is_kind = true;
        }
}

/* ---- columns of themes ---- */

static bool is_mark(const char *text)
{
    if (word_says_yes(text) >= 0)
        return true;
    char *first = mem_strndup(text, strcspn(text, " "));
    const bool found = role_named(first) != ROLE_NONE || word_as_role(first) != ROLE_NONE;
    mem_free(first);
    return found;
}

#define MARKED_MOST 90 /* percent of the lines: a theme that nearly all cards have would be none */

bool marks_cards(const IntakeSheet *sheet, size_t column)
{
    size_t marks = 0, numbers = 0, others = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        LooseNumber number;
        if (says_nothing(text))
            continue;
        if (is_mark(text))
            marks++;
        else if (loose_number(text, &number) && number.value <= 10000)
            numbers++;
        else
            others++;
    }
    return marks >= 2 && others == 0 && (marks + numbers) * 100 <= sheet->sheet.rows * MARKED_MOST;
}

/* ---- columns of weights ---- */

#define WEIGHTS_LEAST 3   /* columns */
#define WEIGHT_MOST 10000 /* thousandths */
#define WEIGHED_MOST 60   /* percent of the lines that one of them gives more than 0 */

static bool cell_weighs(const SheetCell *cell)
{
    LooseNumber number;
    return loose_number(cell->text, &number) && number.value > 0;
}

/* Nothing but small numbers, most of them 0 or left out. */
static bool holds_small_weights(const IntakeSheet *sheet, size_t column)
{
    size_t weigh = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const SheetCell *cell = &sheet->sheet.row[i].cell[column];
        LooseNumber number;
        if (says_nothing(cell->text))
            continue;
        if (!loose_number(cell->text, &number) || number.money || number.value < 0 || number.value > WEIGHT_MOST)
            return false;
        weigh += number.value > 0;
    }
    return weigh >= 2 && weigh * 100 <= sheet->sheet.rows * WEIGHED_MOST;
}

/* weighs[cells]: of such columns those that say together what the cards are to several themes: few weigh on one line.
 * Numbers that go along with each other, such as two strengths of the same cards, are none. */
static void find_weights(const Intake *intake, const IntakeSheet *sheet, bool *weighs)
{
    size_t columns = 0, lines = 0, cells = 0;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        const char *header = sheet->sheet.header.cell[k].text;
        weighs[k] = sheet->field[k] == HOLDS_OWN && header[0] != '\0' && !header_is_aside(header) &&
                    is_theme_name(intake, header) && holds_small_weights(sheet, k);
        columns += weighs[k];
    }
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        size_t on_line = 0;
        for (size_t k = 0; k < sheet->sheet.header.cells; k++)
            on_line += weighs[k] && cell_weighs(&sheet->sheet.row[i].cell[k]);
        lines += on_line > 0;
        cells += on_line;
    }
    if (columns < WEIGHTS_LEAST || 2 * cells > (columns + 1) * lines)
        memset(weighs, 0, sheet->sheet.header.cells * sizeof *weighs);
}

/* Called as a status, and few cells say one. */
static void tell_other_words(const Intake *intake, const IntakeSheet *sheet, size_t column)
{
    char excerpt[TEXT_EXCERPT];
    const SheetCell *header = &sheet->sheet.header.cell[column];
    const size_t filled = sheet->look[column].filled, say = status_cells(sheet, column);
    if (sheet->field[column] == HOLDS_OWN && filled > 0 && header_is(header->text, HOLDS_STATUS))
        diag_notice(
            intake->diags, sheet_pos(&sheet->sheet, header),
            "the column '%s' does not count: keep, ban, wish or in stands in %zu of its %zu cells (other words for "
            "these can stand in the model, under read: words)",
            text_excerpt(excerpt, header->text), say, filled);
}

#define OWN_MARKS 4 /* different words of one's own in a column of marks */
#define OWN_MARK_LONG 12
#define OWN_MARKED 70 /* percent of the lines that have one */

/* The few words of a column that has nothing else; none where it has. */
static void few_words(const IntakeSheet *sheet, size_t column, Bag *bag)
{
    const ColumnLook *look = &sheet->look[column];
    if (look->numbers > 0 || look->dates > 0 || look->filled < 2 || look->distinct > OWN_MARKS ||
        look->filled * 100 > sheet->sheet.rows * OWN_MARKED)
        return;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        if (says_nothing(text))
            continue;
        if (strpbrk(text, " ,;+/") != NULL || strlen(text) > OWN_MARK_LONG) {
            bag->words = 0;
            return;
        }
        bag_add(bag, text, strlen(text), (SourcePos){0});
    }
    bag_settle(bag);
}

/* Words in several columns may be anything, such as what two people think; letters are likely marks. */
static bool are_letters(const IntakeSheet *sheet, size_t column)
{
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        if (text_width(text) > 2 && !word_is_nothing(text) && word_as_role(text) == ROLE_NONE)
            return false;
    }
    return true;
}

/* Does another column mark the cards of a theme by x or roles? */
static bool stands_beside_marks(const IntakeSheet *sheet, size_t column)
{
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (k != column && sheet->field[k] == HOLDS_OWN && marks_cards(sheet, k) &&
            !header_is_status(sheet->sheet.header.cell[k].text))
            return true;
    return false;
}

/* Words of the user's own that another column has too, and nothing else: as "S" and "P" for starts and payoffs; or
 * letters beside a column of x. */
static bool has_own_marks(const Intake *intake, const IntakeSheet *sheet, size_t column)
{
    Bag own = {.arena = intake->arena};
    few_words(sheet, column, &own);
    bool found = own.words > 1 && are_letters(sheet, column) && stands_beside_marks(sheet, column);
    for (size_t k = 0; k < sheet->sheet.header.cells && own.words > 0 && !found; k++) {
        Bag other = {.arena = intake->arena};
        if (k != column && sheet->field[k] == HOLDS_OWN && sheet->sheet.header.cell[k].text[0] != '\0')
            few_words(sheet, k, &other);
        size_t shared = 0;
        for (size_t w = 0; w < own.words && other.words > 0; w++)
            shared += bag_find(&other, own.word[w].folded) != NULL;
        found = shared > 0 && shared == (own.words < other.words ? own.words : other.words);
        bag_release(&other);
    }
    bag_release(&own);
    return found;
}

/* No theme, and not read. */
static void tell_status(const Intake *intake, const IntakeSheet *sheet, const SheetCell *header)
{
    char excerpt[TEXT_EXCERPT];
    diag_notice(intake->diags, sheet_pos(&sheet->sheet, header),
                "the column '%s' does not count: call it 'status', with wish, keep or ban in its cells, or list these "
                "cards in scenario.yaml under wish, keep or ban",
                text_excerpt(excerpt, header->text));
}

void guess_theme_columns(Intake *intake)
{
    size_t most = 0;
    for (size_t s = 0; s < intake->sheets; s++)
        most += intake->sheet[s].sheet.header.cells;
    intake->theme_column = arena_alloc(intake->arena, most, sizeof *intake->theme_column);
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        bool *weighs = mem_new(sheet->sheet.header.cells, sizeof *weighs);
        find_weights(intake, sheet, weighs);
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_CARDS; k++) {
            const SheetCell *header = &sheet->sheet.header.cell[k];
            const bool marks = marks_cards(sheet, k) || weighs[k];
            tell_other_words(intake, sheet, k);
            if (sheet->field[k] != HOLDS_OWN || header_is_aside(header->text) || !is_theme_name(intake, header->text) ||
                text_find(header->text, intake->theme_column, intake->theme_columns) >= 0 ||
                (!marks && !has_own_marks(intake, sheet, k)))
                continue;
            IntakeQuestion question = {
                .id = arena_printf(intake->arena, "theme %s", header->text),
                .text = arena_printf(intake->arena, "does the column '%s' mark the cards of a theme?", header->text),
                .likely = header_is_status(header->text) || (!marks && !are_letters(sheet, k)) ? "no" : "yes",
                .of = sheet->sheet.rows};
            for (size_t i = 0; i < sheet->sheet.rows; i++) {
                const SheetCell *cell = &sheet->sheet.row[i].cell[k];
                if (weighs[k] ? cell_weighs(cell) : cell->text[0] != '\0')
                    question_example(&question, sheet_pos(&sheet->sheet, cell), cell->text);
            }
            if (intake_ask_yes(intake, question))
                intake->theme_column[intake->theme_columns++] = header->text;
            else if (header_is_status(header->text))
                tell_status(intake, sheet, header);
        }
        mem_free(weighs);
    }
}

/* ---- themes ---- */

/* A column or a sheet is called so. */
static bool has_marks_of_its_own(const Intake *intake, const char *tag)
{
    bool found = text_find(tag, intake->theme_column, intake->theme_columns) >= 0;
    for (size_t s = 0; s < intake->sheets && !found; s++) {
        const char *const theme = theme_of_sheet(&intake->sheet[s]);
        found = theme != NULL && text_find(tag, &theme, 1) >= 0;
    }
    return found;
}

#define MISSPELT_SHARE 25 /* percent of the cards of a theme of almost the same name: more likely a tag of its own */

/* Of the themes, most cards first, one is almost called so and has far more cards: then this is that one, misspelt. */
static bool is_misspelt(const CardSet *set, const TagCount *theme, size_t themes, const TagCount *tag)
{
    const char *name = set->tag[tag->tag];
    const size_t width = text_width(name);
    for (size_t t = 0; t < themes; t++) {
        const char *const other = set->tag[theme[t].tag];
        const size_t its = text_width(other);
        if (tag->cards * 100 <= theme[t].cards * MISSPELT_SHARE && width <= its + 2 && its <= width + 2 &&
            text_nearest(name, &other, 1) != NULL)
            return true;
    }
    return false;
}

static const char *likely_themes(Intake *intake, TagCount *count)
{
    const CardSet *set = intake->cards;
    for (size_t t = 0; t < set->tags; t++)
        count[t].tag = (int)t;
    for (size_t i = 0; i < set->count; i++)
        for (size_t k = 0; k < set->card[i].tags; k++)
            count[set->card[i].tag[k].tag].cards++;
    sort_stable(count, set->tags, sizeof *count, by_cards);
    Text text = {0};
    size_t themes = 0;
    TagCount chosen[THEMES_MOST];
    for (size_t t = 0; t < set->tags && themes < THEMES_MOST; t++) {
        const char *name = set->tag[count[t].tag];
        const bool rare = count[t].cards < 4 || count[t].cards * 100 < set->count;
        if ((rare && !has_marks_of_its_own(intake, name)) || word_is_removal(name) || word_is_fixing(name) ||
            !is_theme_name(intake, name) || is_misspelt(set, chosen, themes, &count[t]))
            continue;
        text_printf(&text, "%s%s", themes > 0 ? ", " : "", name);
        chosen[themes++] = count[t];
    }
    const char *copy = arena_strdup(intake->arena, text.length > 0 ? text_cstr(&text) : "none");
    text_release(&text);
    return copy;
}

static void add_theme(Intake *intake, const char *name)
{
    const int tag = card_tag(intake->cards, name);
    if (!is_theme_name(intake, name)) /* such as none */
        return;
    size_t cards = 0;
    for (size_t i = 0; i < intake->cards->count && tag >= 0; i++)
        cards += card_has_tag(&intake->cards->card[i], tag) != NULL;
    intake->theme[intake->themes++] =
        (IntakeTheme){.name = name,
                      .colours = (ColourMask)(tag >= 0 ? theme_colours(intake, tag) : (1u << intake->colours) - 1u),
                      .cards = cards};
}

void guess_themes(Intake *intake)
{
    const CardSet *set = intake->cards;
    find_words(intake);
    if (set->tags == 0)
        return;
    TagCount *count = mem_new(set->tags, sizeof *count);
    IntakeQuestion question = {.id = "themes",
                               .text =
                                   "which tags are themes, that decks are built around? (names with commas between)",
                               .likely = likely_themes(intake, count),
                               .of = set->count};
    for (size_t t = 0; t < set->tags && t < QUESTION_EXAMPLES; t++)
        question.example[question.examples++] =
            (Example){.text = arena_printf(intake->arena, "%s on %zu card%s", set->tag[count[t].tag], count[t].cards,
                                           count[t].cards == 1 ? "" : "s")};
    for (size_t i = 0; i < set->count; i++)
        question.count += set->card[i].tags > 0;
    mem_free(count);
    const char *answer = intake_ask(intake, question);
    intake->theme = arena_alloc(intake->arena, strlen(answer) / 2 + 1, sizeof *intake->theme);
    while (*answer != '\0') {
        const size_t size = strcspn(answer, ",");
        size_t length = size;
        const char *start = text_trim(answer, &length);
        if (length > 0)
            add_theme(intake, arena_strndup(intake->arena, start, length));
        answer += size + (answer[size] == ',');
    }
}

const char *intake_mere_marks(const Intake *intake, const char *tag, const char ***mark, size_t *marks)
{
    const long found = text_find(tag, intake->theme_column, intake->theme_columns);
    Bag bag = {.arena = intake->arena};
    for (size_t t = 0; t < intake->themes; t++)
        if (found < 0 || text_find(intake->theme[t].name, &tag, 1) >= 0)
            return NULL;
    if (found < 0)
        return NULL;
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        const int column = sheet->role == SHEET_CARDS ? sheet_column(&sheet->sheet, intake->theme_column[found]) : -1;
        for (size_t i = 0; i < sheet->sheet.rows && column >= 0; i++) {
            const char *text = sheet->sheet.row[i].cell[column].text;
            LooseNumber number;
            if (!says_nothing(text) && word_says_yes(text) != 0 && !(loose_number(text, &number) && number.value == 0))
                bag_add(&bag, text, strlen(text), (SourcePos){0});
        }
    }
    bag_settle(&bag);
    *marks = bag.words;
    *mark = arena_alloc(intake->arena, bag.words + 1, sizeof **mark);
    for (size_t k = 0; k < bag.words; k++)
        (*mark)[k] = bag.word[k].spelled;
    bag_release(&bag);
    return intake->theme_column[found];
}
