/* option_table.h - the options of the command line: each with the verbs that take it, what its value may be, where that
 * goes and its help. Parsing, messages and --help follow from the table; a test holds docs/verbs.md against it. */
#ifndef POOLWRIGHT_VERBS_OPTIONS_OPTION_TABLE_H
#define POOLWRIGHT_VERBS_OPTIONS_OPTION_TABLE_H

#include "verbs/options/options.h"

typedef struct OptionInfo OptionInfo;

/* Puts the value where the option belongs. False: it is not what is expected; the options are then as they were. */
typedef bool OptionTake(const OptionInfo *option, const char *value, Options *options);

struct OptionInfo {
    const char *name;     /* "--cap" */
    const char *alias;    /* "-o" or NULL */
    const char *argument; /* "MONEY"; NULL: none */
    unsigned verbs;       /* VERB_BIT of each */
    OptionTake *take;
    size_t to;            /* where in Options the value goes; not for those that have a place of their own */
    size_t count;         /* of take_list: where the number of values is counted */
    size_t given;         /* a bool in Options that says that the option was there; 0: none */
    int64_t least, most;  /* of whole numbers; most 0: no number, or without such a range */
    const char *words;    /* of take_word: "fast|reference", in the order of the enumeration */
    const char *expected; /* completes "expected ...", behind the range where there is one; NULL: see option_expected */
    const char *fallback; /* what holds without the option, as one would write it; NULL: nothing */
    const char *help;
};

OptionTake take_flag;  /* bool; the value is NULL */
OptionTake take_text;  /* const char *, not empty */
OptionTake take_list;  /* const char *const * with room for one more, not empty; may be repeated */
OptionTake take_whole; /* int */
OptionTake take_fit;   /* int64_t, thousandths, 0 or more */
OptionTake take_word;  /* an enumeration that counts from 0 */
OptionTake take_words; /* unsigned, 1 << place of each word; commas between */
/* With places of their own. */
OptionTake take_cap, take_size, take_only_size, take_gap, take_effort, take_today, take_package, take_spend;

/* An option may stand in several rows, for verbs that mean different things by it. */
extern const OptionInfo option_table[];
extern const size_t option_count;
#define OPTIONS_MOST 96

#define VERB_BIT(verb) (1u << (verb))

/* What --help says of it, with range and default: "K other pools nearly as good (1 to 20)". Appended. */
void option_help(const OptionInfo *option, Text *out);
/* What completes "expected ...", in the arena. */
const char *option_expected(const OptionInfo *option, Arena *arena);
/* Of several words the first that is none of the option's; else the value. */
const char *option_wrong_part(const OptionInfo *option, const char *value, Arena *arena);
/* The nearest of the option's words, or NULL. */
const char *option_nearest_word(const OptionInfo *option, const char *value, Arena *arena);

#endif
