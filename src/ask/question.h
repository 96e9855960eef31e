/* question.h - inside the ask room: one line read. The words of questions are two tables, as those of models are. */
#ifndef POOLWRIGHT_ASK_QUESTION_H
#define POOLWRIGHT_ASK_QUESTION_H

#include <jansson.h>

#include "model/yaml/values.h"

/* In the order of the table of kinds. */
typedef enum {
    ASK_BEST,
    ASK_WHY,
    ASK_SWAP,
    ASK_WHAT_IF,
    ASK_CAPS,
    ASK_REVISE,
    ASK_CARDS,
    ASK_MODEL,
    ASK_COUNT,
    ASK_SEATS,
    ASK_WORDS,
    ASK_KINDS
} AskKind;

/* In the order of the table of keys. */
enum {
    QUESTION_ID,
    QUESTION_ASK,
    QUESTION_CASE,
    QUESTION_CHANGE,
    QUESTION_CASE_CARDS,
    QUESTION_FROM,
    QUESTION_GAP,
    QUESTION_EFFORT,
    QUESTION_EXPLAIN,
    QUESTION_FILES,
    QUESTION_ALL_LIMITS,
    QUESTION_CARDS,
    QUESTION_CASES,
    QUESTION_SIZES,
    QUESTION_CAPS,
    QUESTION_SWAPS,
    QUESTION_SPEND,
    QUESTION_RULE,
    QUESTION_SEATS,
    QUESTION_PACKAGE,
    QUESTION_KEYS
};

extern const FieldTable question_fields, question_kinds;

typedef enum { EXPLAIN_NOTHING, EXPLAIN_SCREEN, EXPLAIN_FULL } ExplainDepth;

typedef struct {
    Arena *arena;
    const YamlNode *root; /* NULL: no JSON object */
    json_t *value;        /* the same as the library has it: for the id */
    AskKind kind;
    Slot slot[QUESTION_KEYS]; /* what must be read with the cards at hand */
    const char *case_name;    /* NULL: none */
    bool gap_given;
    int64_t gap_ppm;
    int64_t effort; /* pivots; 0: no limit */
    ExplainDepth explain;
    bool files, all_limits;
} Question;

/* False with errors; in both cases question_release follows. */
bool question_read(Question *question, const char *line, size_t length, Diags *diags);
void question_release(Question *question);
const json_t *question_id(const Question *question); /* NULL: none was given */
/* The key's value, NULL where it is missing or null. */
const YamlNode *question_value(const Question *question, int key);

#endif
