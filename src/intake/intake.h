/* intake.h - sheets that nobody has described yet: what each is, what its columns hold, how its cells are written.
 *
 * Every guess is a question with a likely answer, the number of cells it rests on and up to three of them; whoever is
 * asked may answer otherwise. From the answers follow the headers of our columns, the habits of the sheets and the
 * words for colours and themes: what a model says under `columns`, `read`, `colours` and `themes`. */
#ifndef POOLWRIGHT_INTAKE_INTAKE_H
#define POOLWRIGHT_INTAKE_INTAKE_H

#include "cards/cards.h"
#include "intake/look.h"

typedef enum {
    SHEET_CARDS,
    SHEET_PRICES,
    SHEET_OWNED,
    SHEET_TAGS,
    SHEET_POOL,
    SHEET_LEFT /* not used */
} SheetRole;
#define SHEET_ROLES (SHEET_LEFT + 1)
extern const char *const sheet_role_word[SHEET_ROLES]; /* "cards", "prices", ..., "none" */

#define QUESTION_EXAMPLES 3

typedef struct {
    SourcePos at;
    const char *text;
} Example;

typedef enum { ANSWER_LIKELY, ANSWER_GIVEN, ANSWER_ASKED } AnswerSource;

typedef struct {
    const char *id;            /* "slash", "sheet list.csv", "column list.csv Preis" */
    const char *text;          /* one sentence */
    const char *likely;        /* the answer proposed */
    const char *const *choice; /* [choices]; 0: any text */
    size_t choices;
    size_t count, of; /* cells (or lines) that it is about, of so many; of 0: no such number */
    Example example[QUESTION_EXAMPLES];
    size_t examples;
    bool sure; /* hardly a question: told, but not asked on a terminal */
    const char *answer;
    AnswerSource source;
} IntakeQuestion;

/* Decides a question: the answer, one of the choices where there are such (in the arena), or NULL for the likely one.
 */
typedef const char *Decide(void *context, const IntakeQuestion *question, AnswerSource *source);

typedef struct {
    Sheet sheet;
    const char *path;  /* as the user named it */
    const char *title; /* what it is called, as sheet_title says */
    SheetRole role;
    ColumnLook *look;   /* [sheet.header.cells] */
    ColumnField *field; /* [sheet.header.cells] */
    int name;           /* column of names, or -1 */
    bool counted;       /* it stands beside a pool that poolwright wrote, in one workbook */
    bool titled;        /* of cards: they have the colours that it is called as, */
    bool headed;        /* or those that headings are called as */
    bool of_pool; /* of cards: where a column says which are in the pool (HOLDS_CHOSEN), that is the present one */
    /* Lines: together all of them. */
    size_t candidates, repeated, different, passed;
} IntakeSheet;

typedef struct {
    const char *name;
    ColourMask colours; /* never 0 */
    size_t cards;
} IntakeTheme;

typedef struct {
    const char *mark; /* as written */
    int64_t rate;     /* how much of the most frequent currency one is, in millionths; 0: nobody said */
    SourcePos at;     /* of a price in it */
} IntakeRate;

typedef struct {
    Arena *arena;
    IntakeSheet *sheet;
    size_t sheets, sheet_capacity;
    IntakeQuestion *question;
    size_t questions, question_capacity;
    const char **colour; /* [colours] */
    size_t colours;
    bool colour_columns; /* each colour is the header of a column that marks its cards */
    Habits habits;
    Grades grades;        /* words in columns of powers */
    const char *currency; /* that most prices are in, where there are several */
    SourcePos currency_at;
    IntakeRate *rate; /* [rates] the others */
    size_t rates;
    const char **skip; /* as written, for habits.skip */
    const char **blank;
    const char **theme_column; /* [theme_columns] headers under which cards are marked for a theme */
    size_t theme_columns;
    IntakeTheme *theme;
    size_t themes;
    const char **map_field, **map_header; /* [maps] only where they differ */
    SourcePos *map_at;                    /* [maps] nowhere */
    size_t maps;
    const char *fixing, *removal; /* tags or kinds of that meaning; NULL: none */
    bool fixing_is_kind;
    CardSet *cards; /* all cards sheets, read by what was found; NULL: they could not be */
    FileStore *files;
    Decide *decide;
    void *context;
    Diags *diags;
} Intake;

/* The first column of the sheet that holds the field, by what is known so far; -1: none. */
int intake_column(const IntakeSheet *sheet, ColumnField field);
/* What the column of the sheet is said to hold: a field, a column that poolwright knows by its own name ("symbols"), or
 * "own". */
const char *intake_holds(const IntakeSheet *sheet, size_t column);

/* The column of marks that is called as this tag and whose marks are read as no tags, since it is no theme; NULL: none.
 * mark[*marks]: what stands in its cells where a card is marked. Both live as long as the intake. */
const char *intake_mere_marks(const Intake *intake, const char *tag, const char ***mark, size_t *marks);

/* Looks at the sheets and decides every question in turn. NULL with errors in diags: a sheet that cannot be read, no
 * sheet with names. files: may be NULL.
 * Freed with intake_free. */
Intake *intake_new(const char *const *path, size_t paths, FileStore *files, Decide *decide, void *context,
                   Diags *diags);
void intake_free(Intake *intake); /* NULL is allowed */
/* Is it known what each currency is worth? Else an error says how that can be answered: without it there is no model.
 * asks: by this verb, else by import. */
bool intake_rates_known(const Intake *intake, bool asks);
/* One more question, decided at once: its answer. For sizes and the like, which are no matter of sheets. */
const char *intake_ask(Intake *intake, IntakeQuestion question);

#endif
