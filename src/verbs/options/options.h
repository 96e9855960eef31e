/* options.h - the command line. One table of options drives parsing, range checks, --help and the reference page. */
#ifndef POOLWRIGHT_VERBS_OPTIONS_OPTIONS_H
#define POOLWRIGHT_VERBS_OPTIONS_OPTIONS_H

#include "base/text.h"
#include "model/scenario.h"
#include "programme/programme.h"
#include "model/desk/card_order.h"
#include "model/desk/scouting.h"
#include "report/shown.h"
#include "search/search.h"

typedef struct {
    Arena *arena;
    const char *verb;
    const char *subject;     /* the scenario or cards sheet */
    const char *const *word; /* further words, for verbs that take them */
    size_t words;
    Overrides overrides;
    int64_t gap_ppm;
    bool gap_given;
    int64_t effort; /* 0: no limit */
    int threads;    /* 0: as many as there are cores */
    SearchEngine engine;
    const char *output; /* -o; NULL: none */
    bool has_format;
    ExportFormat format;
    const char *colours, *themes; /* of init; NULL: not given */
    const char *const *where;     /* [wheres] FIELD=VALUE */
    size_t wheres;
    const char *shopping;                  /* a file; NULL: none */
    const char *proof;                     /* likewise: of best, written; of audit, read */
    const char *filter, *text, *name_text; /* NULL: none */
    FindSort sort;
    bool has_sort;
    const char *const *like; /* [likes] cards */
    size_t likes;
    int top; /* 0: not asked for */
    Package package;
    bool sheet, tags, scout;
    const char *sizes, *caps; /* of what-if, as written: whatif/series.h */
    const char *csv, *plot;   /* files */
    bool cases;               /* every case as well */
    const char *against;      /* of audit: another pool; NULL: none */
    int at_least;             /* of weigh: seeds that make a deck one of a theme's */
    bool by_results;          /* of weigh */
    bool has_seats;           /* of init, seats */
    int seats;
    int deal;                  /* of seats: packs; 0: none */
    int seed;                  /* likewise */
    int drafts;                /* of seats: simulated ones; 0: none */
    bool part;                 /* of seats */
    bool has_give;             /* of order */
    int64_t give;              /* thousandths of fit */
    bool has_swaps, has_spend; /* of revise */
    int swaps;
    int64_t spend;          /* cents */
    const char *spend_text; /* as it is written; NULL: no limit */
    const char *newcomers;  /* a cards sheet */
    bool apply;             /* of feedback, compare, bought, revise */
    const char *reason;     /* of revise --apply; NULL: the cause found */
    const char *journal;    /* likewise: the file; NULL: none. No option of its own */
    const char *from;       /* of init: a sheet; NULL: none */
    const char *answers;    /* of import, compare: a file; NULL: none */
    bool semicolons;        /* of init */
    bool drafters;          /* of page */
    bool ticks;             /* of slips */
    bool firm;              /* of best */
    bool settle;            /* of bench */
    int alternatives;       /* 0: not asked for */
    int differ;
    bool differ_given;
    bool rules, tighten, all, full, json, verbose, help;
    unsigned show; /* 1 << its place among the words of --show */
} Options;

/* As one comes to need them: the order of --help. */
typedef enum {
    VERB_IMPORT,
    VERB_INIT,
    VERB_CHECK,
    VERB_FIND,
    VERB_BEST,
    VERB_WHY,
    VERB_SWAP,
    VERB_BENCH,
    VERB_WHAT_IF,
    VERB_PAGE,
    VERB_SEATS,
    VERB_DECKS,
    VERB_AUDIT,
    VERB_REVISE,
    VERB_FEEDBACK,
    VERB_COMPARE,
    VERB_WEIGH,
    VERB_ORDER,
    VERB_BOUGHT,
    VERB_SLIPS,
    VERB_WORDS,
    VERB_ASK,
    VERB_EXPORT,
    VERB_COUNT
} VerbId;

typedef struct {
    VerbId id;
    const char *group; /* what --help calls the verbs from here on; NULL: as the verb before */
    const char *name;
    const char *summary; /* one line for the list of verbs */
    const char *usage;   /* "poolwright best SCENARIO|CARDS.csv [options]" */
    const char *about;   /* a paragraph for --help */
    const char *example; /* lines for --help */
    bool needs_subject;
    size_t max_words;
} VerbInfo;

const VerbInfo *verb_info(VerbId id);
const char *verb_group(const VerbInfo *verb); /* what --help calls it and those around it */
const VerbInfo *verb_find(const char *name);  /* NULL if unknown */
const char *verb_nearest(const char *name);   /* NULL if none is near */

/* Parses everything after the verb. False with errors in diags. options->arena must be set; texts point into argv or
 * the arena. */
bool options_parse(const VerbInfo *verb, int argc, char **argv, Options *options, Diags *diags);
/* Help texts, appended. */
void help_general(Text *out);
void help_verb(const VerbInfo *verb, Text *out);

#endif
