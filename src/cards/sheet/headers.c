/* headers.c - what the columns of a sheet hold, from their headers, the model's mapping and the themes' names. */

#include "base/text.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/reading.h"

#define NAMES_MAX 64

static int find_theme(const CardVocabulary *vocabulary, const char *folded)
{
    for (size_t i = 0; i < vocabulary->themes; i++)
        if (text_folds_to(vocabulary->theme[i], folded))
            return (int)i;
    return -1;
}

/* By the name of ours that the header stands for. */
static ColumnUse use_of(const CardVocabulary *vocabulary, const char *name)
{
    char *folded = text_fold(name);
    ColumnUse use = {.known = column_find(folded), .theme = -1, .colour = -1};
    if (use.known == NULL)
        use.theme = find_theme(vocabulary, folded);
    mem_free(folded);
    return use;
}

/* Of prices, owned and tags sheets, pools and notes: a mapping may name them, and cards sheets do not look at it. "own"
 * says that a column is the user's, though its header is one of ours. */
static const char *const side_columns[] = {"low",  "high",   "date",  "currency",  "chosen",  "tag",
                                           "role", "weight", "card",  "verdict",   "note",    "own",
                                           "paid", "shop",   "stock", "condition", "language"};

const char *card_side_column(size_t index)
{
    return index < sizeof side_columns / sizeof *side_columns ? side_columns[index] : NULL;
}

static bool is_side(const char *name)
{
    return text_find(name, side_columns, sizeof side_columns / sizeof *side_columns) >= 0;
}

/* The first and the last say where the others are ours: a user's own column may be called `class` or `fit`. */
static const char *const list_columns[] = {"chosen", "colours", "price", "owned", "class", "fit", "reason"};
#define LIST_COLUMNS (sizeof list_columns / sizeof *list_columns)

const char *list_column(size_t index)
{
    return index < LIST_COLUMNS ? list_columns[index] : NULL;
}

bool sheet_is_written(const Sheet *sheet)
{
    const int first = sheet_column(sheet, list_columns[0]), last = sheet_column(sheet, list_columns[LIST_COLUMNS - 1]);
    return first >= 0 && last > first;
}

bool header_is_listed(const Sheet *sheet, size_t column)
{
    const long known = text_find(sheet->header.cell[column].text, list_columns, LIST_COLUMNS);
    if (known <= 0 || (size_t)known == LIST_COLUMNS - 1)
        return known >= 0;
    const int first = sheet_column(sheet, list_columns[0]), last = sheet_column(sheet, list_columns[LIST_COLUMNS - 1]);
    return first >= 0 && (size_t)first < column && last > (int)column;
}

static bool is_own(ColumnUse use)
{
    return use.known == NULL && use.theme < 0 && use.colour < 0 && !use.role;
}

static bool same_use(ColumnUse a, ColumnUse b)
{
    return !is_own(a) && a.known == b.known && a.theme == b.theme && a.colour == b.colour && a.role == b.role;
}

bool columns_check_maps(const CardVocabulary *vocabulary, Diags *diags)
{
    bool good = true;
    const char *name[NAMES_MAX];
    size_t names = 0;
    for (const CardColumn *column; names < NAMES_MAX && (column = card_known_column(names)) != NULL; names++)
        name[names] = column->name;
    for (size_t i = 0; i < vocabulary->maps; i++) {
        if (!is_own(use_of(vocabulary, vocabulary->map_field[i])) || is_side(vocabulary->map_field[i]))
            continue;
        good = false;
        char excerpt[TEXT_EXCERPT];
        text_excerpt(excerpt, vocabulary->map_field[i]);
        const char *nearest = text_nearest(vocabulary->map_field[i], name, names);
        if (nearest != NULL)
            diag_error(diags, vocabulary->map_at[i], "unknown column '%s'; did you mean '%s'?", excerpt, nearest);
        else
            diag_error(diags, vocabulary->map_at[i],
                       "unknown column '%s', expected a column of a cards sheet such as name, price, power, or a theme",
                       excerpt);
    }
    return good;
}

/* Where no column says the colours, those that are called as colours mark each its own; a single one may be anything.
 */
static void resolve_colours(const CardVocabulary *vocabulary, const SheetRow *header, const bool *mapped,
                            ColumnUse *use)
{
    const KnownColumn *colours = column_find("colours");
    size_t found = 0;
    for (size_t i = 0; i < header->cells; i++)
        if (use[i].known == colours)
            return;
    for (size_t i = 0; i < header->cells; i++)
        if (is_own(use[i]) && !mapped[i] && header->cell[i].text[0] != '\0') {
            use[i].colour = (int)text_find(header->cell[i].text, vocabulary->colour, vocabulary->colours);
            found += use[i].colour >= 0;
        }
    for (size_t i = 0; i < header->cells && found < 2; i++)
        use[i].colour = -1;
}

/* The headers that the model maps come first; then names of ours, except where a mapped header has taken their place.
 */
static void resolve_uses(const CardVocabulary *vocabulary, const Sheet *sheet, ColumnUse *use, bool *map_used)
{
    const SheetRow *header = &sheet->header;
    bool *mapped = mem_new(header->cells, sizeof *mapped);
    for (size_t i = 0; i < header->cells; i++)
        use[i] = (ColumnUse){.theme = -1, .colour = -1};
    for (size_t i = 0; i < vocabulary->maps; i++) {
        int column = sheet_column(sheet, vocabulary->map_header[i]);
        if (column < 0)
            continue;
        map_used[i] = true;
        ColumnUse meant = use_of(vocabulary, vocabulary->map_field[i]);
        meant.role = text_folds_to(vocabulary->map_field[i], "role");
        if (is_own(meant)) { /* of another sheet, or left to the user whatever it is called */
            mapped[column] = mapped[column] || text_folds_to(vocabulary->map_field[i], "own");
            continue;
        }
        use[column] = meant;
        mapped[column] = true;
    }
    for (size_t i = 0; i < header->cells; i++) {
        if (mapped[i] || header->cell[i].text[0] == '\0')
            continue;
        ColumnUse own = use_of(vocabulary, header->cell[i].text);
        bool taken = false;
        for (size_t j = 0; j < header->cells; j++)
            taken = taken || (mapped[j] && same_use(use[j], own));
        if (!taken)
            use[i] = own;
    }
    resolve_colours(vocabulary, header, mapped, use);
    mem_free(mapped);
}

int columns_known(const Sheet *sheet, const void *context)
{
    const CardVocabulary *vocabulary = context;
    ColumnUse *use = mem_new(sheet->header.cells, sizeof *use);
    bool *map_used = mem_new(vocabulary->maps, sizeof *map_used), named = false;
    int known = 0;
    resolve_uses(vocabulary, sheet, use, map_used);
    for (size_t i = 0; i < sheet->header.cells; i++) {
        known += !is_own(use[i]);
        named = named || column_is_name(use[i].known);
    }
    mem_free(map_used);
    mem_free(use);
    return named ? known : -1;
}

/* Is one of the words between separators, whichever they are, this header? */
static bool holds_header(const char *text, const char *wanted)
{
    size_t length;
    bool found = false;
    char *folded = text_fold(wanted);
    for (const char *rest = text, *word; !found && (word = text_part(&rest, ";,\t", &length)) != NULL;) {
        char *copy = mem_strndup(word, length);
        found = text_folds_to(copy, folded);
        mem_free(copy);
    }
    mem_free(folded);
    return found;
}

/* The header under which names are found. */
static const char *name_header(const CardVocabulary *vocabulary)
{
    for (size_t i = 0; i < vocabulary->maps; i++)
        if (column_is_name(use_of(vocabulary, vocabulary->map_field[i]).known))
            return vocabulary->map_header[i];
    return "name";
}

#define SEARCHED_LINES 20

/* The line among the first ones that looks like the header, which then has something above it; 0: none. */
static int header_below(const Reading *reading)
{
    const Sheet *sheet = reading->sheet;
    const char *wanted = name_header(reading->vocabulary);
    for (size_t row = 0; row < sheet->rows && row < SEARCHED_LINES; row++)
        for (size_t i = 0; i < sheet->row[row].cells; i++)
            if (holds_header(sheet->row[row].cell[i].text, wanted))
                return sheet->row[row].line;
    return 0;
}

static void report_no_name(const Reading *reading)
{
    const SheetRow *header = &reading->sheet->header;
    const int below = header_below(reading);
    if (below > 0) {
        char title[TEXT_EXCERPT];
        diag_error(reading->diags, sheet_pos(reading->sheet, &header->cell[0]),
                   "found '%s' in the first line, expected the names of the columns; they seem to stand in line %d: "
                   "delete what is above",
                   text_excerpt(title, header->cell[0].text), below);
        return;
    }
    const char **text = mem_new(header->cells, sizeof *text);
    for (size_t i = 0; i < header->cells; i++)
        text[i] = header->cell[i].text;
    const char *nearest = text_nearest("name", text, header->cells);
    const int meant = header_meant(text, header->cells, HOLDS_NAME);
    char excerpt[TEXT_EXCERPT];
    if (nearest != NULL && nearest[0] != '\0')
        diag_error(reading->diags, sheet_pos(reading->sheet, &header->cell[0]), "found no column 'name'; is it '%s'?",
                   text_excerpt(excerpt, nearest));
    else if (meant >= 0)
        diag_error(reading->diags, sheet_pos(reading->sheet, &header->cell[meant]),
                   "found no column 'name'; is it '%s'? Then write columns: {name: \"%s\"} into the model; `poolwright "
                   "import` finds out what all columns are",
                   text_excerpt(excerpt, text[meant]), text[meant]);
    else
        diag_error(reading->diags, sheet_pos(reading->sheet, &header->cell[0]),
                   "found no column 'name' (the first is '%s'), expected one; a model can say which it is with "
                   "columns: {name: ...}",
                   text_excerpt(excerpt, header->cell[0].text));
    mem_free(text);
}

/* Two fields of a cards sheet under one header. */
static bool report_shared_header(const Reading *reading)
{
    const CardVocabulary *vocabulary = reading->vocabulary;
    bool good = true;
    for (size_t i = 1; i < vocabulary->maps; i++)
        for (size_t j = 0; j < i; j++) {
            const ColumnUse one = use_of(vocabulary, vocabulary->map_field[j]),
                            other = use_of(vocabulary, vocabulary->map_field[i]);
            const int column = sheet_column(reading->sheet, vocabulary->map_header[i]);
            if (column < 0 || column != sheet_column(reading->sheet, vocabulary->map_header[j]) || is_own(one) ||
                is_own(other) || same_use(one, other))
                continue;
            char excerpt[TEXT_EXCERPT];
            diag_error(
                reading->diags, sheet_pos(reading->sheet, &reading->sheet->header.cell[column]),
                "the model's columns say that '%s' is both %s and %s; a header means one thing in all sheets, so "
                "call it otherwise in one of them, or take one of the two out of the model",
                text_excerpt(excerpt, vocabulary->map_header[i]), vocabulary->map_field[j], vocabulary->map_field[i]);
            good = false;
        }
    return good;
}

static bool is_mapped(const CardVocabulary *vocabulary, const char *header)
{
    return text_find(header, vocabulary->map_header, vocabulary->maps) >= 0;
}

/* Several columns of colours, powers, tags or roles are read together, where the model names them all. */
static bool go_together(const CardVocabulary *vocabulary, ColumnUse use, const char *one, const char *other)
{
    const bool joins = use.role || column_is_late(use.known) ||
                       (use.known != NULL && (use.known == column_find("tags") || use.known == column_find("colours") ||
                                              use.known == column_find("power")));
    return joins && is_mapped(vocabulary, one) && is_mapped(vocabulary, other);
}

bool columns_resolve(const Reading *reading, ColumnUse *use, bool *map_used)
{
    const SheetRow *header = &reading->sheet->header;
    resolve_uses(reading->vocabulary, reading->sheet, use, map_used);
    bool good = report_shared_header(reading), named = false;
    for (size_t i = 0; i < header->cells; i++) {
        named = named || column_is_name(use[i].known);
        for (size_t j = 0; j < i; j++) {
            if (!same_use(use[i], use[j]) ||
                go_together(reading->vocabulary, use[i], header->cell[i].text, header->cell[j].text))
                continue;
            char first[TEXT_EXCERPT], second[TEXT_EXCERPT];
            diag_error(reading->diags, sheet_pos(reading->sheet, &header->cell[i]),
                       "found '%s' and '%s', which are the same column, expected one of them",
                       text_excerpt(first, header->cell[j].text), text_excerpt(second, header->cell[i].text));
            good = false;
        }
    }
    if (!named)
        report_no_name(reading);
    return good && named;
}
