/* by_cells.c - columns whose headers no word is known for, by what their cells hold: costs, colours, tags, and in
 * sheets of nothing else beside names prices and copies. Only where one column alone could be it, and asked. */
#include <string.h>

#include "base/text.h"
#include "cards/sheet/sheet_numbers.h"
#include "intake/intake_inner.h"

/* Costs: so many different ones at least, none above this (thousandths). */
#define COSTS_LEAST 4
#define COST_MOST 15000

/* Colours: so many words at most, and so many cells at least that join some of them. */
#define COLOURS_LEAST 2
#define TAG_MARKS ";,|\n" /* that may part tags */
#define JOINED_LEAST 3
#define LETTERS_MOST 5 /* of a cell of letters */
#define MISSPELT 3     /* so many cells (percent) may hold words that stand nowhere but in one cell in a hundred */

/* Tags: so many cells (percent) with a mark between several of them, each in so many cells on average. */
#define TAGS_PARTED 5
#define TAGS_REPEATED 3
#define TAG_LONGEST 32

bool column_counts_lines(const ColumnLook *look)
{
    return look->filled > 20 && look->whole == look->filled && look->distinct == look->filled;
}

/* Could the header stand over anything? */
static bool is_open(const IntakeSheet *sheet, size_t column)
{
    const char *header = sheet->sheet.header.cell[column].text;
    return sheet->field[column] == HOLDS_OWN && header[0] != '\0' && !header_is_aside(header) &&
           card_column_of(header) == NULL;
}

/* ---- costs ---- */

/* Small whole numbers, or an X, again and again and on nearly every line. */
static bool looks_like_costs(Intake *intake, const IntakeSheet *sheet, size_t column)
{
    const ColumnLook *look = &sheet->look[column];
    size_t small = 0;
    (void)intake;
    if (column_counts_lines(look) || look->distinct < COSTS_LEAST || look->distinct * 3 > look->filled ||
        look->filled * 100 < sheet->sheet.rows * UNKNOWN)
        return false;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        LooseNumber number;
        small += loose_number(text, &number) ? number.whole && !number.money && number.value <= COST_MOST
                                             : cost_is_variable(text);
    }
    return small * 100 >= look->filled * 95;
}

/* ---- words that marks part ---- */

typedef struct {
    Bag all, joined, alone; /* words of all cells, of cells with several, of cells with one */
    Bag together;           /* cells with several */
    size_t cells, several;
} Parted;

/* The words of a column between marks; spoken: also between words such as "and". False: a number is among them, or a
 * word is longer than a tag. */
static bool part(Intake *intake, const IntakeSheet *sheet, size_t column, const char *marks, bool spoken,
                 Parted *parted)
{
    *parted = (Parted){.all = {.arena = intake->arena},
                       .joined = {.arena = intake->arena},
                       .alone = {.arena = intake->arena},
                       .together = {.arena = intake->arena}};
    bool good = true;
    for (size_t i = 0; i < sheet->sheet.rows && good; i++) {
        const char *text = sheet->sheet.row[i].cell[column].text;
        if (says_nothing(text))
            continue;
        char *marked = spoken ? words_as_marks(text, '/', NULL, 0) : NULL;
        text = marked != NULL ? marked : text;
        const bool several = strpbrk(text, marks) != NULL;
        parted->cells++;
        parted->several += several;
        if (several)
            bag_add(&parted->together, text, strlen(text), (SourcePos){0});
        size_t length;
        for (const char *rest = text, *word; good && (word = text_part(&rest, marks, &length)) != NULL;) {
            good = length <= TAG_LONGEST && (length == 0 || word[0] < '0' || word[0] > '9');
            if (length > 0 && good) {
                bag_add(&parted->all, word, length, (SourcePos){0});
                bag_add(several ? &parted->joined : &parted->alone, word, length, (SourcePos){0});
            }
        }
        mem_free(marked);
    }
    bag_settle(&parted->all);
    bag_settle(&parted->joined);
    bag_settle(&parted->alone);
    bag_settle(&parted->together);
    return good;
}

static void part_release(Parted *parted)
{
    bag_release(&parted->all);
    bag_release(&parted->joined);
    bag_release(&parted->alone);
    bag_release(&parted->together);
}

static size_t count_of(const Bag *bag)
{
    size_t count = 0;
    for (size_t i = 0; i < bag->words; i++)
        count += bag->word[i].count;
    return count;
}

/* ---- colours ---- */

static bool is_rare(const Parted *parted, const BagWord *word)
{
    return word->count * 100 < parted->cells;
}

/* Words that one cell in a hundred has are misspelt, if they are few. Returns how many words are left, 0 where too many
 * are rare. */
static size_t spelled_well(const Parted *parted)
{
    size_t words = 0, rare = 0;
    for (size_t i = 0; i < parted->all.words; i++)
        if (is_rare(parted, &parted->all.word[i]))
            rare += parted->all.word[i].count;
        else
            words++;
    return rare * 100 > parted->cells * MISSPELT ? 0 : words;
}

/* A few words, most of which stand alone again and again and also beside others, in many ways. A kind stands beside
 * another too, but not every kind beside every other. */
static bool looks_like_colours(Intake *intake, const IntakeSheet *sheet, size_t column)
{
    Parted parted;
    const ColumnLook *look = &sheet->look[column];
    if (look->numbers > 0 || look->filled * 2 < sheet->sheet.rows || look->distinct * 3 > look->filled * 2)
        return false;
    bool found = part(intake, sheet, column, "+/,;&|\n", true, &parted) && parted.several >= JOINED_LEAST &&
                 parted.several * 2 < parted.cells;
    const size_t words = spelled_well(&parted);
    found = found && words > COLOURS_LEAST && words <= COLOURS_MAX && parted.together.words + 1 >= words;
    size_t both = 0;
    for (size_t i = 0; i < parted.joined.words && found; i++) {
        const BagWord *any = bag_find(&parted.all, parted.joined.word[i].folded);
        if (is_rare(&parted, any))
            continue;
        const BagWord *alone = bag_find(&parted.alone, any->folded);
        found = alone != NULL && alone->count >= 2;
        both += found;
    }
    found = found && both >= COLOURS_LEAST && both + 1 >= words; /* one word may be that for no colour */
    part_release(&parted);
    return found;
}

/* A few letters, each of which stands alone again and again, and some together: "r", "rf". */
static bool looks_like_letters(const IntakeSheet *sheet, size_t column)
{
    const ColumnLook *look = &sheet->look[column];
    size_t alone[128] = {0}, joined = 0, letters = 0;
    bool met[128] = {false};
    if (look->numbers > 0 || look->yes_no > 0 || look->filled * 2 < sheet->sheet.rows)
        return false;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        char *text = text_fold(sheet->sheet.row[i].cell[column].text);
        const size_t length = word_is_nothing(text) ? 0 : strlen(text);
        bool good = length <= LETTERS_MOST;
        for (size_t k = 0; k < length && good; k++) {
            good = text[k] >= 'a' && text[k] <= 'z' && strchr(text + k + 1, text[k]) == NULL;
            met[good ? text[k] : 0] = true;
        }
        if (good && length == 1)
            alone[(int)text[0]]++;
        joined += length > 1;
        mem_free(text);
        if (!good)
            return false;
    }
    for (int c = 'a'; c <= 'z'; c++) {
        if (met[c] && alone[c] < 2)
            return false;
        letters += met[c];
    }
    return letters > COLOURS_LEAST && joined >= JOINED_LEAST && joined * 2 < look->filled;
}

static bool are_colours(Intake *intake, const IntakeSheet *sheet, size_t column)
{
    return looks_like_letters(sheet, column) || looks_like_colours(intake, sheet, column);
}

/* ---- tags ---- */

/* Short words, again and again, several to a cell. */
static bool looks_like_tags(Intake *intake, const IntakeSheet *sheet, size_t column)
{
    Parted parted;
    const ColumnLook *look = &sheet->look[column];
    if (look->numbers > 0 || look->dates > 0 || look->filled * 10 < sheet->sheet.rows)
        return false;
    const bool found = part(intake, sheet, column, TAG_MARKS, false, &parted) && parted.several >= JOINED_LEAST &&
                       parted.several * 100 >= parted.cells * TAGS_PARTED &&
                       parted.all.words * TAGS_REPEATED <= count_of(&parted.all);
    part_release(&parted);
    return found;
}

static const char *first_tag(const char *text, size_t *length)
{
    const char *rest = text, *word = text_part(&rest, TAG_MARKS, length);
    if (word != NULL)
        *length = tag_name_length(word, *length);
    return word;
}

static void add_tags(const IntakeSheet *sheet, size_t column, Bag *tags)
{
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        size_t length;
        for (const char *rest = sheet->sheet.row[i].cell[column].text, *word;
             (word = text_part(&rest, TAG_MARKS, &length)) != NULL;)
            if (length > 0)
                bag_add(tags, word, tag_name_length(word, length), (SourcePos){0});
    }
    bag_settle(tags);
}

/* Most of its cells begin with one of these tags. */
static bool holds_tags(const IntakeSheet *sheet, size_t column, const Bag *tags)
{
    size_t found = 0;
    for (size_t i = 0; i < sheet->sheet.rows; i++) {
        size_t length;
        const char *word = first_tag(sheet->sheet.row[i].cell[column].text, &length);
        if (word == NULL)
            continue;
        char *copy = mem_strndup(word, length), *folded = text_fold(copy);
        found += bag_find(tags, folded) != NULL;
        mem_free(folded);
        mem_free(copy);
    }
    return found * 2 > sheet->look[column].filled;
}

void guess_more_tags(Intake *intake, IntakeSheet *sheet, int *score)
{
    size_t first = 0;
    while (first < sheet->sheet.header.cells && sheet->field[first] != HOLDS_TAGS)
        first++;
    if (first == sheet->sheet.header.cells)
        return;
    Bag tags = {.arena = intake->arena};
    add_tags(sheet, first, &tags);
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        const ColumnLook *look = &sheet->look[k];
        const bool named = header_names(sheet->sheet.header.cell[k].text, HOLDS_TAGS) > 0;
        if (!is_open(sheet, k) || look->filled < 2 || marks_cards(sheet, k) ||
            (named ? look_fits(look, sheet->sheet.rows, HOLDS_TAGS) == 0
                   : look->numbers > 0 || look->distinct > 2 * tags.words || !holds_tags(sheet, k, &tags)))
            continue;
        sheet->field[k] = HOLDS_TAGS;
        score[k] = named ? score[first] : UNKNOWN;
    }
    bag_release(&tags);
}

/* ---- prices ---- */

/* Numbers, most with two decimals, or in a sheet that is called prices. */
static bool looks_like_prices(Intake *intake, const IntakeSheet *sheet, size_t column)
{
    const ColumnLook *look = &sheet->look[column];
    (void)intake;
    return !column_counts_lines(look) && look_fits(look, sheet->sheet.rows, HOLDS_PRICE) > 0 &&
           (look->decimals * 2 > look->filled || header_names(sheet->title, HOLDS_PRICE) > 0);
}

/* Names, with days, currencies and shops perhaps, and nothing else that we know. */
static bool says_only_names(const IntakeSheet *sheet)
{
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        const ColumnField field = sheet->field[k];
        const bool of_offers = field >= HOLDS_SHOP && field <= HOLDS_LANGUAGE;
        if (field != HOLDS_NAME && field != HOLDS_DATE && field != HOLDS_CURRENCY && field != HOLDS_OWN && !of_offers)
            return false;
    }
    return true;
}

/* ---- all ---- */

typedef bool LooksLike(Intake *intake, const IntakeSheet *sheet, size_t column);

/* No header speaks of the field: the one column that could hold it is likely to. */
static void guess(Intake *intake, IntakeSheet *sheet, int *score, ColumnField field, LooksLike *looks_like)
{
    size_t found = 0, column = 0;
    if (sheet_has(sheet, field))
        return;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        if (is_open(sheet, k) && looks_like(intake, sheet, k)) {
            found++;
            column = k;
        }
    if (found != 1)
        return;
    sheet->field[column] = field;
    score[column] = UNKNOWN; /* not sure: it is asked */
}

void guess_by_cells(Intake *intake, IntakeSheet *sheet, int *score)
{
    if (!sheet_has(sheet, HOLDS_NAME))
        return;
    if (!sheet_has(sheet, HOLDS_SHOP) && !sheet_has(sheet, HOLDS_CONDITION) && !sheet_has(sheet, HOLDS_LANGUAGE))
        guess(intake, sheet, score, HOLDS_COLOURS, are_colours);
    if (sheet_has(sheet, HOLDS_COLOURS) || sheet_has(sheet, HOLDS_KIND))
        guess(intake, sheet, score, HOLDS_COST, looks_like_costs);
    if (sheet_has(sheet, HOLDS_COLOURS) || sheet_has(sheet, HOLDS_KIND))
        guess(intake, sheet, score, HOLDS_TAGS, looks_like_tags);
    if (says_only_names(sheet))
        guess(intake, sheet, score, HOLDS_PRICE, looks_like_prices);
}
