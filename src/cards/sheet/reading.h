/* reading.h - inside the cards room: the state while the lines of sheets become cards. */
#ifndef POOLWRIGHT_CARDS_SHEET_READING_H
#define POOLWRIGHT_CARDS_SHEET_READING_H

#include "cards/cards.h"
#include "cards/names/names.h"
#include "cards/sheet/sheet.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"

#define CELL_WORDS_MAX 1000   /* kinds or tags of one card */
#define COLUMNS_KNOWN_MOST 32 /* columns that poolwright knows, at most */

/* A line on its way to a card. Until all sheets are read the card's kinds and tags are ids of spellings. */
typedef struct {
    Card card;
    const SheetRow *row;
    bool has_as_cost, has_as_colours, has_as_kind, has_copies;
    ColourMask needed, either;  /* by marks in columns of single colours */
    int64_t as_cost, power_sum; /* of the columns of powers */
    int powers;                 /* so many of them say one */
} Line;

typedef struct {
    const CardVocabulary *vocabulary;
    const Habits *habits; /* never NULL */
    Diags *diags;
    Arena *arena;
    Names *kinds, *tags;
    const Sheet *sheet;
    bool by_titles;     /* no column of the sheet says colours: its title and its headings may */
    ColourNeed whole;   /* the colours of the title */
    ColourNeed section; /* of the cards that are read now */
    const char *header; /* of the cell that is being read, as the user wrote it */
    const SheetCell *cell;
    DateOrder order;             /* of the days in this sheet */
    CellCount commas;            /* numbers with a decimal comma, in this sheet */
    CellCount comma_tags;        /* cells with a comma in a tag, in this sheet */
    const SheetCell *comma_cell; /* the last of them */
    CellCount slashes, pluses;   /* cells of colours with a / or a +, in this sheet */
    CellCount variable_costs;    /* costs with an X in them, in this sheet */
    CellCount averages;          /* cards whose power is the average of several columns and was rounded */
    const SheetCell *scored;     /* the first power in this sheet */
    CellCount idle_roles;        /* roles on a line without a tag, in this sheet */
    const SheetCell *doubtful;   /* the first price in this sheet that may be in thousands */
    const SheetCell
        *too_fine[COLUMNS_KNOWN_MOST]; /* by column_index: the first number in this sheet with too many decimals */
    CardTag *tag;                      /* of the line that is being read */
    size_t tag_count, tag_capacity;
    bool tags_read;     /* a column of tags was, in this line */
    size_t tags_before; /* the first tags of the line, which another column of tags may say again */
    int *kind;          /* scratch */
    size_t kind_capacity;
} Reading;

/* Reports the current cell: "column 'price': found '...', expected ..." and the suffix. Always false. */
bool reading_wrong(const Reading *reading, const char *expected, const char *suffix);
/* The next of the cell's parts between ";" (and what the model's habits say), trimmed; false at the end. Blank parts
 * are left out. *rest starts as the cell's text. */
bool reading_next_part(const Reading *reading, const char **rest, const char **part, size_t *length);

/* ---- columns.c ---- */

typedef struct KnownColumn KnownColumn;

/* The column with this folded header, NULL if it is none of ours. */
const KnownColumn *column_find(const char *folded);
bool column_is_name(const KnownColumn *known);
size_t column_index(const KnownColumn *known); /* as card_known_column counts; below 32 */
/* Is it read when all other cells of a line are? NULL is allowed. */
bool column_is_late(const KnownColumn *known);
/* Reads the current cell into the line. False with an error. A blank cell is left at its default. */
bool column_parse(Reading *reading, const KnownColumn *known, Line *line);

/* ---- colour_cells.c ---- */

/* As colours_parse, by the vocabulary's habits. */
bool colours_parse_cell(const CardVocabulary *vocabulary, const char *text, SourcePos at, ColourNeed *need,
                        Diags *diags);
/* A cell of a colour's own column: "x", "yes" or a number of symbols (it is needed), "/" (this or another one so
 * marked), blank, "no" or 0. False with an error. */
bool colours_parse_mark(const Reading *reading, int colour, Line *line);
/* What the marks of the line come to. */
void colours_of_marks(const CardVocabulary *vocabulary, const Line *line, ColourNeed *need);

/* ---- headers.c ---- */

/* What one column of one sheet holds. All NULL and -1: a column of the user's own. */
typedef struct {
    const KnownColumn *known;
    int theme;  /* index into the vocabulary, or -1 */
    int colour; /* likewise: the column marks the cards of one colour */
    bool role;  /* the column says the role of the line's tags; only where the model names it */
} ColumnUse;

/* What each column of the sheet holds. map_used[i] is set when the sheet has the i-th mapped header. False with errors.
 */
bool columns_resolve(const Reading *reading, ColumnUse *use, bool *map_used);
/* How many headers of the sheet hold something that the vocabulary (a CardVocabulary) knows; -1 without names. */
int columns_known(const Sheet *sheet, const void *vocabulary);
/* Fields that the vocabulary maps but that there are not. */
bool columns_check_maps(const CardVocabulary *vocabulary, Diags *diags);

/* ---- tags.c ---- */

/* "TAG [ROLE] [WEIGHT]; ...": adds to reading->tag. */
bool tags_parse(Reading *reading);
/* A theme's own column: "3 enabler", "payoff", "x". */
bool tags_parse_theme(Reading *reading, const char *theme);
/* A column of roles: "enabler", or "x" below a header that is a word for a role. Adds to *role. */
bool tags_parse_role(Reading *reading, Role *role);
/* When all other cells of the line are read: those of its tags that have no role get this one. */
void tags_take_role(Reading *reading, Role role);
/* A column of tags with one role: "TAG [WEIGHT]; ...". What the line's other columns say of a tag is united with it:
 * an enabler and a payoff make both, and the greater weight counts. */
bool tags_parse_as(Reading *reading, Role role);

#endif
