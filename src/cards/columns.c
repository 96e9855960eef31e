/* columns.c - the columns that poolwright knows: one table drives header matching, reading, error texts and help. */
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/reading.h"
#include "cards/status.h"

#define SYMBOLS_MAX 100

typedef bool CellParser(Reading *reading, const KnownColumn *known, Line *line);

struct KnownColumn {
    CardColumn column;
    const char *also[3]; /* other spellings of the header */
    CellParser *parse;
};

static CellParser parse_name, parse_colours, parse_kind, parse_cost, parse_power, parse_price, parse_tags,
    parse_enables, parse_pays_off, parse_text, parse_copies, parse_owned, parse_status, parse_wishes, parse_symbols,
    parse_as_colours, parse_as_kind, parse_as_cost, parse_trial, parse_never;

static const KnownColumn known_columns[] = {
    {{"name", "the card's name"}, {NULL}, parse_name},
    {{"colours", "colours such as brass, brass+tar or brass/tar"}, {"color", "colors", "colour"}, parse_colours},
    {{"kind", "kinds with ';' between"}, {"kinds"}, parse_kind},
    {{"cost", "a number, 0 or more"}, {NULL}, parse_cost},
    {{"power", "a number"}, {NULL}, parse_power},
    {{"price", "money, 0 or more"}, {NULL}, parse_price},
    {{"tags", "tags with ';' between, each TAG [ROLE] [WEIGHT]"}, {"tag"}, parse_tags},
    {{"enables", "tags with ';' between, each TAG [WEIGHT]"}, {"enabler_for", "enabler for"}, parse_enables},
    {{"pays_off", "tags with ';' between, each TAG [WEIGHT]"},
     {"pays off", "payoff_for", "payoff for"},
     parse_pays_off},
    {{"text", "the card's text"}, {NULL}, parse_text},
    {{"copies", "a whole number from 1 to 1000"}, {NULL}, parse_copies},
    {{"owned", "a whole number from 0 to 1000, yes, x or no"}, {NULL}, parse_owned},
    {{"status", "keep, ban, wish or in, several with ';' between"}, {NULL}, parse_status},
    {{"wishes", "names of people with ';' between"}, {NULL}, parse_wishes},
    {{"symbols", "a whole number from 0 to 100"}, {NULL}, parse_symbols},
    {{"as_colours", "colours such as brass, brass+tar or brass/tar, or colourless"},
     {"as_color", "as_colors", "as_colour"},
     parse_as_colours},
    {{"as_kind", "kinds with ';' between"}, {"as_kinds"}, parse_as_kind},
    {{"as_cost", "a number, 0 or more"}, {NULL}, parse_as_cost},
    {{"trial", "a day such as 2026-06-01, until which the card stays"}, {NULL}, parse_trial},
    {{"never", "why the card is never in"}, {NULL}, parse_never},
};
#define KNOWN_COUNT (sizeof known_columns / sizeof *known_columns)
_Static_assert(KNOWN_COUNT <= COLUMNS_KNOWN_MOST, "CardSet.holds has a bit for each, Reading a place");
#define ALSO_COUNT (sizeof known_columns->also / sizeof *known_columns->also)

const CardColumn *card_known_column(size_t index)
{
    return index < KNOWN_COUNT ? &known_columns[index].column : NULL;
}

const KnownColumn *column_find(const char *folded)
{
    for (size_t i = 0; i < KNOWN_COUNT; i++) {
        if (strcmp(known_columns[i].column.name, folded) == 0)
            return &known_columns[i];
        for (size_t j = 0; j < ALSO_COUNT; j++)
            if (known_columns[i].also[j] != NULL && strcmp(known_columns[i].also[j], folded) == 0)
                return &known_columns[i];
    }
    return NULL;
}

const char *card_column_of(const char *header)
{
    char *folded = text_fold(header);
    const KnownColumn *known = column_find(folded);
    mem_free(folded);
    return known != NULL ? known->column.name : NULL;
}

size_t column_index(const KnownColumn *known)
{
    return (size_t)(known - known_columns);
}

bool card_set_holds(const CardSet *set, const char *known)
{
    const KnownColumn *column = column_find(known);
    return column != NULL && (set->holds & 1u << column_index(column)) != 0;
}

bool column_is_late(const KnownColumn *known)
{
    return known != NULL && (known->parse == parse_enables || known->parse == parse_pays_off);
}

bool column_is_name(const KnownColumn *known)
{
    return known != NULL && known->parse == parse_name;
}

bool column_parse(Reading *reading, const KnownColumn *known, Line *line)
{
    return (known->parse == parse_name ? reading->cell->text[0] == '\0'
                                       : habits_blank(reading->habits, reading->cell->text)) ||
           known->parse(reading, known, line);
}

/* ---- cells ---- */

bool reading_wrong(const Reading *reading, const char *expected, const char *suffix)
{
    char excerpt[TEXT_EXCERPT], header[TEXT_EXCERPT];
    diag_error(reading->diags, sheet_pos(reading->sheet, reading->cell), "column '%s': found '%s', expected %s%s",
               text_excerpt(header, reading->header), text_excerpt(excerpt, reading->cell->text), expected, suffix);
    return false;
}

bool reading_next_part(const Reading *reading, const char **rest, const char **part, size_t *length)
{
    while (**rest != '\0') {
        size_t size = 0;
        while ((*rest)[size] != '\0' && !habits_parts_tags(reading->habits, (*rest)[size]))
            size++;
        *length = size;
        *part = text_trim(*rest, length);
        *rest += size + ((*rest)[size] != '\0');
        if (*length > 0)
            return true;
    }
    return false;
}

/* Always false. */
static bool wrong_as_first(const Reading *reading, const SheetCell **first, const char *expected, int decimals)
{
    sheet_report_as_first(reading->sheet, reading->header, reading->cell, first, expected, decimals, reading->diags);
    return false;
}

/* Reports why a number was not read. Always false. */
static bool wrong_number(Reading *reading, const KnownColumn *known, NumberStatus status, int scale)
{
    const bool parted = reading->sheet->decimal == DECIMAL_BY_SEPARATOR;
    const char *comma = parted ? ", with a decimal point (commas separate the fields of this sheet)"
                               : ", with a decimal point (as the model's 'read' says)";
    static const char thousands[] = ", without separators of thousands";
    const char *text = reading->cell->text;
    int64_t ignored;
    const NumberStatus with_comma = number_parse_money(text, true, &ignored);
    bool fine_with_comma =
        !sheet_decimal_comma(reading->sheet) && with_comma != NUMBER_NONE && with_comma != NUMBER_DOUBTFUL;
    if (status == NUMBER_TOO_FINE && scale == 2)
        return wrong_as_first(reading, &reading->too_fine[column_index(known)], "at most 2 decimals", 2);
    if (status == NUMBER_TOO_FINE && scale == 3)
        return wrong_as_first(reading, &reading->too_fine[column_index(known)], "at most 3 decimals", 3);
    if (status == NUMBER_TOO_LARGE && scale == 2)
        return reading_wrong(reading, "at most 10000000000.00", "");
    if (status == NUMBER_TOO_LARGE && scale == 3)
        return reading_wrong(reading, "at most 1000000000", "");
    return reading_wrong(reading, known->column.expected,
                         status != NUMBER_NONE        ? ""
                         : fine_with_comma            ? comma
                         : number_has_thousands(text) ? thousands
                                                      : "");
}

static bool parse_number(Reading *reading, const KnownColumn *known, bool negative_too, int64_t *value)
{
    int64_t number;
    bool by_comma;
    NumberStatus status = form_number(sheet_number_form(reading->sheet), reading->cell->text, 3, &number, &by_comma);
    if (status != NUMBER_OK)
        return wrong_number(reading, known, status, 3);
    if (by_comma)
        cell_count_add(&reading->commas, reading->cell);
    if (number < 0 && !negative_too)
        return reading_wrong(reading, known->column.expected, "");
    *value = number;
    return true;
}

static bool parse_whole(Reading *reading, const KnownColumn *known, int least, int most, int *value)
{
    int64_t number = counted_copies(reading->cell->text); /* "2x" */
    NumberStatus status =
        number > 0 ? NUMBER_OK : form_number(sheet_number_form(reading->sheet), reading->cell->text, 0, &number, NULL);
    if (status != NUMBER_OK || number < least || number > most)
        return wrong_number(reading, known, NUMBER_OK, 0);
    *value = (int)number;
    return true;
}

/* The words with single spaces between, line breaks too: a name stands on one line wherever it is shown. */
static const char *on_one_line(Arena *arena, const char *text)
{
    size_t length = strlen(text), kept = 0;
    text = text_trim(text, &length);
    char *copy = arena_strndup(arena, text, length);
    for (size_t i = 0; i < length; i++) {
        bool space = copy[i] == ' ' || (copy[i] >= '\t' && copy[i] <= '\r');
        if (!space || (kept > 0 && copy[kept - 1] != ' '))
            copy[kept++] = space ? ' ' : copy[i];
    }
    copy[kept] = '\0';
    return copy;
}

/* "#REF!", "#NAME?", "#DIV/0!", "#N/A", also in other languages: what a spreadsheet program writes for a formula that
 * failed. */
static bool is_failed_formula(const char *text)
{
    if (strcmp(text, "#N/A") == 0 || strcmp(text, "#NV") == 0)
        return true;
    const size_t length = strlen(text), body = strspn(text + (text[0] == '#'), "ABCDEFGHIJKLMNOPQRSTUVWXYZ/0");
    return text[0] == '#' && body >= 3 && body + 2 == length && (text[length - 1] == '!' || text[length - 1] == '?');
}

/* "- Name", "2x Name": the name alone, and how many unless a column says it. */
static void take_listed_count(const Reading *reading, Line *line)
{
    size_t length;
    int copies;
    const char *name = listed_name(line->card.name, &length, &copies);
    line->card.name = arena_strndup(reading->arena, name, length);
    if (!line->has_copies)
        line->card.copies = copies;
}

static bool parse_name(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    if (is_failed_formula(reading->cell->text))
        return reading_wrong(reading, "a card's name",
                             ": this is what a spreadsheet program writes for a formula that failed");
    line->card.name = on_one_line(reading->arena, reading->cell->text);
    if (reading->habits->listed_names)
        take_listed_count(reading, line);
    line->card.folded = text_fold_in(reading->arena, line->card.name);
    return true;
}

static bool parse_colours(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    if (strchr(reading->cell->text, '/') != NULL)
        cell_count_add(&reading->slashes, reading->cell);
    else if (strchr(reading->cell->text, '+') != NULL)
        cell_count_add(&reading->pluses, reading->cell);
    const SourcePos at = sheet_pos(reading->sheet, reading->cell);
    ColourNeed need;
    if (!colours_parse_cell(reading->vocabulary, reading->cell->text, at, &need, reading->diags))
        return false;
    return colours_add(&line->card.printed, &need) ||
           reading_wrong(reading, "fewer different parts in all columns of colours together", "");
}

static bool parse_as_colours(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    line->has_as_colours = true;
    return colours_parse_cell(reading->vocabulary, reading->cell->text, sheet_pos(reading->sheet, reading->cell),
                              &line->card.colours, reading->diags);
}

static bool parse_kinds(Reading *reading, Line *line)
{
    size_t count = 0, length;
    const char *rest = reading->cell->text, *part;
    while (reading_next_part(reading, &rest, &part, &length)) {
        int spelling = names_add(reading->kinds, part, length);
        bool known = false;
        for (size_t i = 0; i < count; i++)
            known = known || names_word(reading->kinds, reading->kind[i]) == names_word(reading->kinds, spelling);
        if (known)
            continue;
        if (count == CELL_WORDS_MAX)
            return reading_wrong(reading, "at most 1000 kinds on a card", "");
        mem_reserve((void **)&reading->kind, &reading->kind_capacity, count + 1, sizeof *reading->kind);
        reading->kind[count++] = spelling;
    }
    int *kind = arena_alloc(reading->arena, count, sizeof *kind);
    if (count > 0)
        memcpy(kind, reading->kind, count * sizeof *kind);
    line->card.kind = kind;
    line->card.kinds = count;
    return true;
}

static bool parse_kind(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    return line->has_as_kind || parse_kinds(reading, line);
}

static bool parse_as_kind(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    line->has_as_kind = true;
    return parse_kinds(reading, line);
}

static bool parse_cost(Reading *reading, const KnownColumn *known, Line *line)
{
    if (cost_is_variable(reading->cell->text)) {
        cell_count_add(&reading->variable_costs, reading->cell);
        return true;
    }
    return line->card.has_cost = parse_number(reading, known, false, &line->card.cost);
}

static bool parse_as_cost(Reading *reading, const KnownColumn *known, Line *line)
{
    return line->has_as_cost = parse_number(reading, known, false, &line->as_cost);
}

/* Of several columns the average of those that say something, rounded to thousandths, half away from zero. */
static bool take_power(Line *line, int64_t power)
{
    line->power_sum += power;
    line->powers++;
    const int64_t sum = line->power_sum, half = line->powers / 2;
    line->card.power = (sum >= 0 ? sum + half : sum - half) / line->powers;
    return line->card.has_power = true;
}

/* "7/10" and "70%" are 7 and 70, where all of a sheet say the same behind the number. */
static bool parse_score(Reading *reading, const KnownColumn *known, int64_t *power)
{
    const SheetCell *cell = reading->cell;
    if (reading->scored == NULL)
        reading->scored = cell;
    if (!scores_alike(reading->scored->text, cell->text)) {
        char excerpt[TEXT_EXCERPT], expected[TEXT_EXCERPT + 60];
        snprintf(expected, sizeof expected, "a number that is out of as much as '%s' in %s %d",
                 text_excerpt(excerpt, reading->scored->text), sheet_line_word(reading->sheet), reading->scored->line);
        return reading_wrong(reading, expected, "");
    }
    const size_t end = score_end(cell->text);
    if (cell->text[end] == '\0')
        return parse_number(reading, known, true, power);
    SheetCell number = *cell;
    number.text = arena_strndup(reading->arena, cell->text, end);
    reading->cell = &number;
    const bool good = parse_number(reading, known, true, power);
    reading->cell = cell;
    return good;
}

static bool parse_power(Reading *reading, const KnownColumn *known, Line *line)
{
    const Grades *grades = &reading->vocabulary->grades;
    const Grade *grade = grade_find(grades, reading->cell->text);
    if (grade != NULL)
        return take_power(line, grade->value);
    int64_t ignored, power;
    if (grades->count > 0 && number_parse(reading->cell->text, 3, true, &ignored) == NUMBER_NONE) {
        Text expected = {0};
        grade_expected(grades, known->column.expected, reading->cell->text, &expected);
        reading_wrong(reading, text_cstr(&expected), "");
        text_release(&expected);
        return false;
    }
    return parse_score(reading, known, &power) && take_power(line, power);
}

/* 1.500 where a comma may stand for the point. Always false. */
static bool doubtful_price(Reading *reading)
{
    const SheetCell *first = reading->doubtful != NULL ? reading->doubtful : reading->cell;
    char hint[NUMBER_HINT];
    return wrong_as_first(reading, &reading->doubtful, number_thousands_hint(hint, first->text), 0);
}

static bool parse_price(Reading *reading, const KnownColumn *known, Line *line)
{
    int64_t cents;
    bool by_comma;
    NumberStatus status = form_money(sheet_number_form(reading->sheet), reading->cell->text, &cents, &by_comma);
    if (status == NUMBER_DOUBTFUL)
        return doubtful_price(reading);
    if (status != NUMBER_OK)
        return wrong_number(reading, known, status, 2);
    if (cents < 0)
        return reading_wrong(reading, known->column.expected, "");
    if (by_comma)
        cell_count_add(&reading->commas, reading->cell);
    line->card.price = cents;
    line->card.price_text = reading->cell->text;
    line->card.price_header = reading->header;
    line->card.has_price = true;
    return true;
}

static bool parse_tags(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    (void)line;
    return tags_parse(reading);
}

static bool parse_enables(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    (void)line;
    return tags_parse_as(reading, ROLE_ENABLER);
}

static bool parse_pays_off(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    (void)line;
    return tags_parse_as(reading, ROLE_PAYOFF);
}

static bool parse_text(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    line->card.text = reading->cell->text;
    return true;
}

static bool parse_copies(Reading *reading, const KnownColumn *known, Line *line)
{
    line->has_copies = true;
    return parse_whole(reading, known, 1, COPIES_MAX, &line->card.copies);
}

static bool parse_owned(Reading *reading, const KnownColumn *known, Line *line)
{
    const int yes = word_says_yes(reading->cell->text);
    if (yes < 0)
        return parse_whole(reading, known, 0, COPIES_MAX, &line->card.owned);
    line->card.owned = yes;
    return true;
}

static bool parse_symbols(Reading *reading, const KnownColumn *known, Line *line)
{
    return parse_whole(reading, known, 0, SYMBOLS_MAX, &line->card.symbols);
}

static bool parse_status(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    unsigned status = 0;
    Text expected = {0};
    const bool good = status_parse(reading->habits, reading->cell->text, &status, &expected);
    if (good)
        line->card.status |= status;
    else
        reading_wrong(reading, text_cstr(&expected), "");
    text_release(&expected);
    return good;
}

static bool parse_wishes(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    card_add_wishers(&line->card, reading->cell->text, reading->arena);
    return true;
}

static bool parse_trial(Reading *reading, const KnownColumn *known, Line *line)
{
    return date_parse_by(reading->cell->text, reading->order, &line->card.trial) ||
           reading_wrong(reading, known->column.expected, "");
}

static bool parse_never(Reading *reading, const KnownColumn *known, Line *line)
{
    (void)known;
    line->card.never = reading->cell->text;
    return true;
}
