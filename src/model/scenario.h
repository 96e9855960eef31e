/* scenario.h - from files and command line to a model and the names of sheets.
 * Layers, later ones win: model (extends first), targets, `change`, a case's change, command line. */
#ifndef POOLWRIGHT_MODEL_SCENARIO_H
#define POOLWRIGHT_MODEL_SCENARIO_H

#include "base/day.h"
#include "base/files/file_store.h"
#include "model/model.h"

typedef struct {
    const char *path;
    SourcePos at;
} PathAt;

struct YamlNode;                  /* model/yaml/yaml_tree.h */
typedef struct CardEdit CardEdit; /* case_edits.h */

typedef struct {
    const char *name;
    SourcePos at;
    const struct YamlNode *change;  /* the case's change, or NULL */
    const struct YamlNode *written; /* its cards as they are written, or NULL */
    CardEdit *edit;                 /* what it changes about candidates */
    size_t edits;
    PathAt *file; /* further cards sheets */
    size_t files;
} CaseAt;

typedef struct {
    Arena *arena;
    const char *path; /* NULL without a scenario file */
    Model *model;     /* with targets, change and command line applied, and scaled to its size */
    FileStore *files; /* what its sheets are read by way of; NULL: anew each time. Not owned */
    PathAt *cards, *prices, *owned, *tags, *targets;
    size_t cards_count, prices_count, owned_count, tags_count, targets_count;
    PathAt *own_prices; /* what its file says; prices[] are others where the command line names newer sheets */
    size_t own_prices_count;
    const char *const *models; /* the files of the model: it and all that it extends */
    size_t models_count;
    PathAt pool;                 /* path NULL: none */
    bool pool_owned;             /* copies of the present pool count as owned */
    PathAt journal;              /* path NULL: none, as without a scenario file; it need not be there yet */
    bool has_journal;            /* it is there */
    int day;                     /* today: by which trials end; days since 1970-01-01 */
    const struct CardWord *word; /* [words] trials and nevers: card_words.h */
    size_t words;
    int today; /* days since 1970-01-01 from which the age of prices counts; DAY_UNKNOWN: the newest of their dates */
    CardEdit *edit; /* of the case in force */
    size_t edits;
    CaseAt *cases;
    size_t cases_count;
} Scenario;

/* What the command line or a question adds. Zero-initialise for nothing. */
typedef struct {
    const char *model; /* --model: a file or preset; required when `subject` is a cards sheet */
    bool has_cap;
    bool no_cap;          /* --cap none */
    int64_t cap;          /* cents */
    const char *cap_text; /* as it is written, for its currency; NULL: no one wrote it */
    bool has_size;
    int size_from, size_to;                             /* --size 360 or 350-360 */
    const char *const *keep, *const *ban, *const *wish; /* card names */
    size_t keeps, bans, wishes;
    const char *case_name;                /* NULL: the base */
    const struct YamlNode *const *change; /* [changes] keys of a model, laid over the case's one after the other */
    size_t changes;
    const struct YamlNode *edit; /* what changes about candidates, as a case's `cards`; NULL: nothing */
    const char *more_cards;      /* a further sheet of candidates, after the scenario's; NULL: none */
    const char *const *prices;   /* --prices: sheets that count for their cards instead of the scenario's */
    size_t prices_count;
    bool has_today;                   /* --today; without it the clock counts, where a day is needed */
    int today;                        /* days since 1970-01-01 */
    int clock;                        /* likewise: the clock, looked at once; 0: scenario_read looks */
    const char *const *model_folders; /* where presets are looked for, in order */
    size_t model_folder_count;
} Overrides;

/* Every case, every question is a scenario_read of its own: its files come from the store, so that only the first one
 * reads them. subject: a scenario (.yaml, .yml, or a folder that holds scenario.yaml) or a cards sheet (anything else,
 * "-" standard input). NULL with errors in diags. Freed with scenario_free, before the store. */
Scenario *scenario_read(const char *subject, const Overrides *overrides, FileStore *files, Diags *diags);
/* Is the subject a scenario, and no cards sheet? */
bool scenario_is(const char *subject);
void scenario_free(Scenario *scenario); /* NULL is allowed */

#endif
