/* cards.h - candidates from sheets. Knows nothing of models: what it must recognise (colours, themes, mapped headers)
 * comes in a vocabulary. File formats: docs/files.md, "Cards". CSV: RFC 4180. */
#ifndef POOLWRIGHT_CARDS_CARDS_H
#define POOLWRIGHT_CARDS_CARDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/day.h"
#include "base/files/file_store.h"
#include "base/memory.h"
#include "cards/grades.h"
#include "cards/habits.h"

#define COLOURS_MAX 16
#define COLOUR_PARTS_MAX 16

typedef uint16_t ColourMask; /* bit i: the i-th colour of the vocabulary */

/* What a card needs: every part must be paid, each by any one of its mask's colours. Canonical: no part implies
 * another, parts ascending. */
typedef struct {
    int parts; /* 0: colourless */
    ColourMask part[COLOUR_PARTS_MAX];
} ColourNeed;

ColourMask colours_union(const ColourNeed *need);
bool colours_equal(const ColourNeed *a, const ColourNeed *b);
bool colours_exact(const ColourNeed *need, ColourMask mask);    /* the colours it shows are exactly these */
bool colours_touching(const ColourNeed *need, ColourMask mask); /* contain at least one of these */
bool colours_playable(const ColourNeed *need, ColourMask mask); /* every part can be paid with these */

typedef enum { CLASS_COLOURLESS, CLASS_MONO, CLASS_GOLD, CLASS_HYBRID, CLASS_FIXING } CardClass;
#define CLASS_COUNT 5
/* By colours alone; never CLASS_FIXING. symbols < 0: unknown. hybrid_as_gold 0: never. */
CardClass colours_class(const ColourNeed *need, int symbols, int hybrid_as_gold);
const char *class_name(CardClass class); /* "colourless", "mono", ... */

/* Of a tag as it stands in a cell: the length of its name, without a role and a weight in numbers behind it. */
size_t tag_name_length(const char *part, size_t length);

/* What the sheets are read with. Strings as the user wrote them; matched folded. */
typedef struct {
    const char *const *colour; /* [colours] */
    size_t colours;
    const char *const *theme; /* [themes]: a column with such a header holds that theme's tag */
    size_t themes;
    const char *const *map_field;  /* [maps]: field of ours ... */
    const char *const *map_header; /* ... and the header it is found under */
    const SourcePos *map_at; /* where the mapping was written, for errors: unknown field, header that no sheet has */
    size_t maps;
    Grades grades;              /* words for powers */
    const Grades *theme_grades; /* [themes] words for the weights of their tags; NULL: none */
    const Habits *habits;       /* of sheets; NULL where something else than a sheet is read */
} CardVocabulary;

/* Parses "brass+tar/glass"; "" and "colourless" give no parts. False with an error at `at` (column advanced to the
 * wrong word). */
bool colours_parse(const CardVocabulary *vocabulary, const char *text, SourcePos at, ColourNeed *need, Diags *diags);
/* Needs both from now on. False when these are too many parts. */
bool colours_add(ColourNeed *need, const ColourNeed *more);
/* The colours that a sheet is called as ("brass", "Brass + Tar", "brass cards"): all of its cards need them where no
 * column says their colours. False: it is called as none. */
bool colours_of_title(const CardVocabulary *vocabulary, const char *title, ColourNeed *need);
/* "colourless", "colorless". */
bool colours_none(const char *word);
/* "brass+tar" in canonical form with the vocabulary's spelling; "colourless" if there are no parts. In the arena. */
const char *colours_text(const CardVocabulary *vocabulary, const ColourNeed *need, Arena *arena);

typedef struct {
    int tag; /* index into CardSet.tag */
    Role role;
    int64_t weight; /* thousandths */
} CardTag;

enum { STATUS_KEEP = 1, STATUS_BAN = 2, STATUS_WISH = 4, STATUS_IN = 8 };

typedef struct {
    const char *name, *folded;
} Wisher;

typedef struct {
    const char *name;
    const char *folded;
    SourcePos at; /* the line it stands on (column 1) */
    int file;     /* index into CardSet.file */
    ColourNeed printed;
    ColourNeed colours; /* what it counts as: as_colours, else printed */
    const int *kind;    /* [kinds]: indexes into CardSet.kind, ascending: as_kind, else kind */
    size_t kinds;
    bool has_cost, has_power, has_price;
    int64_t cost, power; /* thousandths; cost is as_cost, else cost */
    int64_t price;       /* cents */
    const char *price_text,
        *price_header; /* the cell that it was read from and its column, for the currency; or NULL */
    int copies, owned;
    unsigned status;
    const Wisher *wisher; /* [wishers] who wishes it, by folded names; whoever does makes it a wish */
    size_t wishers;
    int symbols;        /* -1: unknown */
    const CardTag *tag; /* [tags], by tag index ascending */
    size_t tags;
    const char *text;  /* "" if none */
    int trial;         /* the day until which it stays on trial; DAY_UNKNOWN: none */
    const char *never; /* why it is never in; NULL: nothing is said */
    /* [CardSet.columns]: the cells as written (trimmed), "" where blank or where its file lacks the column. */
    const char *const *cell;
} Card;

typedef struct {
    const char *path;
    char separator; /* of sheets of text that follow it */
    NumberForm form;
    bool titled; /* its cards have the colours that it, or a heading above them, is called as (colours_of_title) */
    bool workbook;
    bool windows_1252, marked; /* marked: it begins with a byte order mark, or sheets that follow it shall */
} CardFile;

typedef struct {
    Arena *arena;
    Card *card; /* in order of folded names: the order of lines never matters */
    size_t count;
    const char **column; /* headers as written (those of known columns too), files in order, without doubles */
    size_t columns;
    bool *own;    /* [columns]: no column that poolwright knows or the model maps, nor a theme's, but the user's own */
    bool *listed; /* [columns] in every sheet that has it, what a list of ours left behind: `chosen`, `reason`, and what
                     stands between them (list_column); written anew */
    const char **serves; /* [columns] the column of ours that it is read as ("price"), NULL: none */
    unsigned holds;      /* see card_set_holds */
    const char **kind;   /* in order of folded names, in the spelling first met in card order */
    size_t kinds;
    const char **tag; /* likewise */
    size_t tags;
    CardFile *file;
    size_t files;
    size_t merged;        /* lines that repeated another exactly */
    size_t repeated;      /* lines that repeated a name with other cells, where the model says what to do with them */
    size_t passed;        /* lines that the model says are no cards */
    const Habits *habits; /* never NULL; as long as the vocabulary's */
    bool *map_used;       /* [CardVocabulary.maps] some sheet has the mapped header */
} CardSet;

/* A column that poolwright knows: for help, completion and new sheets. */
typedef struct {
    const char *name;
    const char *expected; /* what a cell holds: "money, 0 or more" */
} CardColumn;
/* The columns in the reference's order; NULL beyond the last. */
const CardColumn *card_known_column(size_t index);

/* The column of ours that a header is taken for by itself ("Color": "colours"), or NULL. */
const char *card_column_of(const char *header);
/* Columns of other sheets that a model may map too: "chosen", "date". NULL beyond the last. */
const char *card_side_column(size_t index);

/* What a theme must be called instead, since sheets could not be read with this name; NULL: it is sound. A tag's last
 * words are its role and weight, so the name must not end in one; nor may a column mean two things. */
const char *theme_name_expected(const char *name);

/* What a written pool adds to the user's columns, in this order; NULL beyond the last. */
const char *list_column(size_t index);

/* Adds the names of a cell, `;` between; a name that is there already is not added again. The list is in the arena. */
void card_add_wishers(Card *card, const char *names, Arena *arena);

/* Reads all files into one set. Errors go to diags (then the result is NULL). Freed with card_set_free.
 * The paths must be what the user should see; "-" reads standard input. `from` is who asked. files: may be NULL. */
CardSet *card_set_read(FileStore *files, const char *const *path, const SourcePos *from, size_t paths,
                       const CardVocabulary *vocabulary, Diags *diags);
void card_set_free(CardSet *set); /* NULL is allowed */

/* Have both sets cards of the same names, whatever their cells? Then a card has one index in both. */
bool card_sets_alike(const CardSet *a, const CardSet *b);
/* Index of the card of this name (any spelling that folds alike), or -1. */
long card_find(const CardSet *set, const char *name);
/* The nearest card name for an unknown one, else the first that holds it as a part, or NULL. */
const char *card_nearest(const CardSet *set, const char *name);
/* Has some sheet this column (its name of ours, such as "price")? */
bool card_set_holds(const CardSet *set, const char *known);
/* Index of a column by header (folded), or -1; of a kind; of a tag. */
int card_column(const CardSet *set, const char *header);
int card_kind(const CardSet *set, const char *kind);
int card_tag(const CardSet *set, const char *tag);
/* The tag entry on the card, or NULL. */
const CardTag *card_has_tag(const Card *card, int tag);

typedef enum { CELL_BLANK, CELL_NUMBER, CELL_TEXT, CELL_TOO_FINE, CELL_TOO_LARGE } CellKind;
/* A cell of any column read as a number in thousandths, by its file's rules for commas; *thousandths only changes for
 * CELL_NUMBER. */
CellKind card_number(const CardSet *set, const Card *card, int column, int64_t *thousandths);

#endif
