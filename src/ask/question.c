/* question.c - see question.h. */
#include "ask/question.h"

#include <string.h>

#include "ask/question_tree.h"
#include "base/number.h"
#include "programme/answer.h"

#define TABLE(words, where)                                                                                            \
    {                                                                                                                  \
        .place = (where), .field = (words), .count = sizeof(words) / sizeof *(words)                                   \
    }

static const FieldInfo key_info[] = {
    [QUESTION_ID] = {"id", "anything; it is given back with the answer", NULL},
    [QUESTION_ASK] = {"ask", "what is asked, such as best", NULL},
    [QUESTION_CASE] = {"case", "the name of a case of the scenario", NULL},
    [QUESTION_CHANGE] = {"change", "an object with keys of a model, as a case's 'change'", NULL},
    [QUESTION_CASE_CARDS] = {"case_cards",
                             "an object such as {\"Harbour Pilot\": {\"price\": 3.00}}, as a case's 'cards'", NULL},
    [QUESTION_FROM] = {"from", "a list of card names, of {\"name\", \"copies\"}, or \"base\"", NULL},
    [QUESTION_GAP] = {"gap", "a percentage such as \"0.05%\", or 0", NULL},
    [QUESTION_EFFORT] = {"effort", "a whole number of steps, 1 or more", NULL},
    [QUESTION_EXPLAIN] = {"explain", "false, true or \"full\"", NULL},
    [QUESTION_FILES] = {"files", "false or true", NULL},
    [QUESTION_ALL_LIMITS] = {"all_limits", "false or true", NULL},
    [QUESTION_CARDS] = {"cards", "a list of card names", NULL},
    [QUESTION_CASES] = {"cases", "a list of names of cases, or true for all", NULL},
    [QUESTION_SIZES] = {"sizes", "numbers of cards such as \"360,450,540\" or \"360..540/90\", or a list of them",
                        NULL},
    [QUESTION_CAPS] = {"caps", "amounts such as \"250,300,none\" or \"200..800/50\", or a list of them", NULL},
    [QUESTION_SWAPS] = {"swaps", "a whole number of cards, 0 or more", NULL},
    [QUESTION_SPEND] = {"spend", "an amount of money", NULL},
    [QUESTION_RULE] = {"rule", "an object with the keys of a rule", NULL},
    [QUESTION_SEATS] = {"seats", "a whole number from 1 to 1000", NULL},
    [QUESTION_PACKAGE] = {"package", "enablers and payoffs such as \"6+3\"", NULL},
};
const FieldTable question_fields = TABLE(key_info, "a question");

#define BIT(key) (1u << (key))
#define STATE                                                                                                          \
    (BIT(QUESTION_ID) | BIT(QUESTION_ASK) | BIT(QUESTION_CASE) | BIT(QUESTION_CHANGE) | BIT(QUESTION_CASE_CARDS))
#define SEARCH (STATE | BIT(QUESTION_GAP) | BIT(QUESTION_EFFORT))

static const FieldInfo kind_info[] = {
    [ASK_BEST] = {"best", NULL, NULL},       [ASK_WHY] = {"why", NULL, NULL},     [ASK_SWAP] = {"swap", NULL, NULL},
    [ASK_WHAT_IF] = {"what-if", NULL, NULL}, [ASK_CAPS] = {"caps", NULL, NULL},   [ASK_REVISE] = {"revise", NULL, NULL},
    [ASK_CARDS] = {"cards", NULL, NULL},     [ASK_MODEL] = {"model", NULL, NULL}, [ASK_COUNT] = {"count", NULL, NULL},
    [ASK_SEATS] = {"seats", NULL, NULL},     [ASK_WORDS] = {"words", NULL, NULL},
};
const FieldTable question_kinds = TABLE(kind_info, "ask");

/* The keys that each kind of question has. */
static const unsigned kind_keys[ASK_KINDS] = {
    [ASK_BEST] = SEARCH | BIT(QUESTION_EXPLAIN) | BIT(QUESTION_FROM) | BIT(QUESTION_FILES),
    [ASK_WHY] = SEARCH | BIT(QUESTION_CARDS) | BIT(QUESTION_ALL_LIMITS),
    [ASK_SWAP] = SEARCH | BIT(QUESTION_CARDS),
    [ASK_WHAT_IF] = SEARCH | BIT(QUESTION_CASES) | BIT(QUESTION_SIZES),
    [ASK_CAPS] = SEARCH | BIT(QUESTION_CAPS),
    [ASK_REVISE] = SEARCH | BIT(QUESTION_FROM) | BIT(QUESTION_SWAPS) | BIT(QUESTION_SPEND),
    [ASK_CARDS] = STATE,
    [ASK_MODEL] = STATE,
    [ASK_COUNT] = STATE | BIT(QUESTION_RULE) | BIT(QUESTION_FROM),
    [ASK_SEATS] = SEARCH | BIT(QUESTION_FROM) | BIT(QUESTION_SEATS) | BIT(QUESTION_PACKAGE),
    [ASK_WORDS] = BIT(QUESTION_ID) | BIT(QUESTION_ASK),
};

const YamlNode *question_value(const Question *question, int key)
{
    const Slot *slot = &question->slot[key];
    return slot->key == NULL || yaml_is_empty(slot->value) ? NULL : slot->value;
}

const json_t *question_id(const Question *question)
{
    return json_object_get(question->value, question_fields.field[QUESTION_ID].name);
}

static bool read_kind(Question *question, const ReadContext *context)
{
    const YamlNode *node = question_value(question, QUESTION_ASK);
    if (node == NULL) {
        diag_error(context->diags, question->root->at, "the question has no 'ask', expected %s",
                   field_list(&question_kinds, context->arena));
        return false;
    }
    int kind;
    if (!read_word(context, node, &question_kinds, &kind))
        return false;
    question->kind = (AskKind)kind;
    return true;
}

static void refuse_other_keys(const Question *question, const ReadContext *context)
{
    for (int key = 0; key < QUESTION_KEYS; key++)
        if (question->slot[key].key != NULL && (kind_keys[question->kind] & BIT(key)) == 0)
            diag_error(context->diags, question->slot[key].key->at, "found '%s', which \"%s\" does not take",
                       question_fields.field[key].name, question_kinds.field[question->kind].name);
}

static void refuse(const Question *question, const ReadContext *context, int key)
{
    report_unexpected(context, question->slot[key].value, question_fields.field[key].value);
}

static void read_gap(Question *question, const ReadContext *context)
{
    const YamlNode *node = question_value(question, QUESTION_GAP);
    question->gap_ppm = USUAL_GAP_PPM;
    question->gap_given = node != NULL;
    if (node == NULL)
        return;
    if (node->kind != NODE_TEXT || !number_parse_gap(node->text, &question->gap_ppm))
        refuse(question, context, QUESTION_GAP);
}

static void read_explain(Question *question, const ReadContext *context)
{
    const YamlNode *node = question_value(question, QUESTION_EXPLAIN);
    bool yes = false;
    if (node == NULL)
        return;
    if (value_is(node, "full"))
        question->explain = EXPLAIN_FULL;
    else if (value_is(node, "true") || value_is(node, "false"))
        question->explain = read_yes_no(context, node, &yes) && yes ? EXPLAIN_SCREEN : EXPLAIN_NOTHING;
    else
        refuse(question, context, QUESTION_EXPLAIN);
}

bool question_read(Question *question, const char *line, size_t length, Diags *diags)
{
    const size_t errors = diags->errors;
    *question = (Question){.arena = arena_new()};
    const ReadContext context = {.arena = question->arena, .diags = diags};
    question->root = question_tree(question->arena, line, length, &question->value, diags);
    if (question->root == NULL)
        return false;
    fields_read(&question_fields, question->root, question->slot, question->arena, diags);
    if (!read_kind(question, &context))
        return false;
    refuse_other_keys(question, &context);
    const YamlNode *name = question_value(question, QUESTION_CASE), *effort = question_value(question, QUESTION_EFFORT),
                   *all = question_value(question, QUESTION_ALL_LIMITS),
                   *files = question_value(question, QUESTION_FILES);
    if (name != NULL)
        read_text(&context, name, question_fields.field[QUESTION_CASE].value, &question->case_name);
    if (effort != NULL)
        read_whole(&context, effort, 1, EFFORT_MOST, question_fields.field[QUESTION_EFFORT].value, &question->effort);
    if (all != NULL)
        read_yes_no(&context, all, &question->all_limits);
    if (files != NULL)
        read_yes_no(&context, files, &question->files);
    read_gap(question, &context);
    read_explain(question, &context);
    return diags->errors == errors;
}

void question_release(Question *question)
{
    json_decref(question->value);
    arena_free(question->arena);
    *question = (Question){0};
}
