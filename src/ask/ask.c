/* ask.c - opening, one question, closing: see ask.h. */
#include "ask/ask.h"

#include <stdlib.h>
#include <string.h>

#include "ask/open_scenario.h"
#include "ask/line.h"
#include "ask/question_tree.h"

/* ---- errors ---- */

static json_t *error_json(const Diag *item, const YamlNode *root, Arena *arena)
{
    json_t *error = json_object();
    const bool in_question = item->at.file != NULL && strcmp(item->at.file, QUESTION_FILE) == 0;
    const char *key = in_question ? question_key(root, item->at, arena) : "";
    json_object_set_new(error, "message", json_string(item->text));
    if (key[0] != '\0')
        json_object_set_new(error, "key", json_string(key));
    if (item->at.file != NULL && !in_question)
        json_object_set_new(error, "file", json_string(item->at.file));
    if (item->at.line > 0 && !in_question)
        json_object_set_new(error, "line", json_integer(item->at.line));
    if (item->at.column > 0)
        json_object_set_new(error, "column", json_integer(item->at.column));
    return error;
}

json_t *ask_errors_json(Diags *diags, const YamlNode *root, Arena *arena)
{
    json_t *list = json_array();
    diags_sort(diags);
    for (size_t k = 0; k < diags->count; k++)
        if (diags->item[k].kind == DIAG_ERROR)
            json_array_append_new(list, error_json(&diags->item[k], root, arena));
    return list;
}

void ask_add_line(json_t *value, Text *out)
{
    char *text = json_dumps(value, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
    text_add(out, text != NULL ? text : "{\"error\":[{\"message\":\"the answer could not be written as JSON\"}]}");
    free(text);
    json_decref(value);
}

/* ---- open, close ---- */

Ask *ask_open(const char *subject, const AskOptions *options, Text *problems)
{
    static const char *const presets[] = {"models"};
    Arena *arena = arena_new();
    Ask *ask = arena_alloc(arena, 1, sizeof *ask);
    Diags diags;
    diags_init(&diags);
    ask->arena = arena;
    ask->subject = arena_strdup(arena, subject);
    ask->files = file_store_new();
    ask->options = options != NULL ? *options : (AskOptions){0};
    if (ask->options.overrides != NULL)
        ask->overrides = *ask->options.overrides;
    else {
        ask->overrides.model_folders = presets;
        ask->overrides.model_folder_count = 1;
    }
    if (ask->overrides.clock == 0)
        ask->overrides.clock = day_of_clock();
    const bool good = loaded_read(&ask->base, subject, &ask->overrides, ask->files, "", &diags);
    if (!good) {
        json_t *root = json_object();
        json_object_set_new(root, "error", ask_errors_json(&diags, NULL, arena));
        ask_add_line(root, problems);
        file_store_free(ask->files);
        arena_free(arena);
    }
    diags_release(&diags);
    return good ? ask : NULL;
}

void ask_close(Ask *ask)
{
    if (ask == NULL)
        return;
    known_free(ask->known);
    loaded_release(&ask->base);
    file_store_free(ask->files);
    arena_free(ask->arena);
}

/* ---- one question ---- */

static void tell_search(void *context, const SearchProgress *now)
{
    const Ask *ask = context;
    const AskProgress progress = {.has_fit = now->value != SEARCH_MINUS_INFINITY,
                                  .has_bound = now->bound != SEARCH_PLUS_INFINITY,
                                  .fit = now->value,
                                  .bound = now->bound,
                                  .effort = now->pivots};
    ask->options.progress(ask->options.context, &progress);
}

static void tell_reasons(void *context, const char *what, int done, int of)
{
    const Ask *ask = context;
    const AskProgress progress = {.what = what, .done = done, .of = of};
    ask->options.progress(ask->options.context, &progress);
}

static void set_search(Asked *asked)
{
    Ask *ask = asked->ask;
    search_options_default(&asked->search);
    asked->search.gap_ppm = asked->question->gap_ppm;
    asked->search.eager = asked->question->gap_given ? 0 : USUAL_EAGER;
    asked->search.effort = asked->question->effort;
    asked->search.threads = ask->options.threads > 0 ? ask->options.threads : 1;
    asked->search.cancel = ask->options.stop;
    asked->search.progress = ask->options.progress != NULL ? tell_search : NULL;
    asked->search.context = ask;
}

Inquiry asked_inquiry(const Asked *asked)
{
    const Question *question = asked->question;
    return (Inquiry){.instance = asked->loaded.instance,
                     .search = &asked->search,
                     .gap_given = question->gap_given,
                     .rules = question->all_limits || question->explain == EXPLAIN_FULL,
                     .firm = question->explain == EXPLAIN_FULL,
                     .progress = asked->ask->options.progress != NULL ? tell_reasons : NULL,
                     .context = asked->ask};
}

static json_t *answer(Asked *asked)
{
    switch (asked->question->kind) {
    case ASK_BEST: return answer_best(asked);
    case ASK_WHY: return answer_why(asked);
    case ASK_SWAP: return answer_swap(asked);
    case ASK_WHAT_IF: return answer_what_if(asked);
    case ASK_CAPS: return answer_caps(asked);
    case ASK_REVISE: return answer_revise(asked);
    case ASK_CARDS: return answer_cards(asked);
    case ASK_MODEL: return answer_model(asked);
    case ASK_COUNT: return answer_count(asked);
    case ASK_SEATS: return answer_seats(asked);
    case ASK_WORDS: return answer_words(asked);
    case ASK_KINDS: break;
    }
    return NULL;
}

/* The state that the question describes, still unread. */
static void set_state(Asked *asked)
{
    asked->overrides = asked->ask->overrides;
    asked->overrides.change = asked->layer;
    asked->layer[0] = question_value(asked->question, QUESTION_CHANGE);
    asked->overrides.changes = asked->layer[0] != NULL;
    asked->overrides.edit = question_value(asked->question, QUESTION_CASE_CARDS);
    if (asked->question->case_name != NULL)
        asked->overrides.case_name = asked->question->case_name;
}

void ask_question(Ask *ask, const char *line, size_t length, Text *out)
{
    Diags diags;
    Question question;
    json_t *found = NULL;
    diags_init(&diags);
    if (question_read(&question, line, length, &diags)) {
        Asked asked = {.ask = ask,
                       .question = &question,
                       .context = {.arena = question.arena, .diags = &diags},
                       .diags = &diags,
                       .loaded = {.cap_row = -1}};
        set_search(&asked);
        set_state(&asked);
        found = answer(&asked);
        loaded_release(&asked.loaded);
    }
    json_t *root = json_object();
    if (question_id(&question) != NULL)
        json_object_set(root, "id", (json_t *)(uintptr_t)question_id(&question));
    if (found != NULL)
        json_object_update(root, found);
    else
        json_object_set_new(root, "error", ask_errors_json(&diags, question.root, question.arena));
    json_decref(found);
    ask_add_line(root, out);
    question_release(&question);
    diags_release(&diags);
}
