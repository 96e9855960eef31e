/* import.c - sheets that nobody has described yet, for whoever embeds the optimiser: see ask_import in ask.h. */

#include "ask/ask.h"
#include "ask/plans/first_plan.h"
#include "ask/line.h"
#include "base/number.h"
#include "report/intake_report.h"
#include "report/json/json.h"

typedef struct {
    Arena *arena;
    const json_t *answers;
    Diags *diags;
} Given;

/* The answer that was given, where it is one of the choices. */
static const char *decide(void *context, const IntakeQuestion *question, AnswerSource *source)
{
    const Given *given = context;
    const char *answer = json_string_value(json_object_get(given->answers, question->id));
    if (answer == NULL)
        return NULL;
    const long found = question->choices > 0 ? text_find(answer, question->choice, question->choices) : 0;
    if (found < 0) {
        diag_error(given->diags, (SourcePos){0}, "the answer to \"%s\" is '%s', which is none of its choices",
                   question->text, answer);
        return NULL;
    }
    *source = ANSWER_GIVEN;
    return question->choices > 0 ? question->choice[found] : arena_strdup(given->arena, answer);
}

static void set_text(json_t *root, const char *key, Text *text)
{
    json_object_set_new(root, key, json_string(text_cstr(text)));
    text_release(text);
}

static json_t *answer_import(const json_t *asked, Intake *intake, FirstWish *wish)
{
    StarterFound found;
    Text model = {0}, scenario = {0};
    const char *folder = json_string_value(json_object_get(asked, "folder")),
               *cap = json_string_value(json_object_get(asked, "cap"));
    if (cap != NULL && number_parse_money(cap, false, &wish->cap) != NUMBER_OK)
        diag_error(intake->diags, (SourcePos){0}, "the cap: found %s, expected an amount of money such as 300", cap);
    first_plan(intake, wish, &found);
    if (intake->diags->errors > 0)
        return NULL;
    first_sheets(&found, folder != NULL ? folder : ".");
    starter_found_model(&found, &model);
    starter_found_scenario(&found, &scenario);
    json_t *root = json_object();
    intake_json(intake, root);
    set_text(root, "model", &model);
    set_text(root, "scenario", &scenario);
    json_object_set_new(root, "notices", json_notices(intake->diags));
    return root;
}

void ask_import(const char *line, size_t length, Text *out)
{
    Diags diags;
    json_error_t error;
    json_t *asked = json_loadb(line, length, JSON_REJECT_DUPLICATES, &error), *root = NULL;
    const json_t *files = json_object_get(asked, "files");
    Arena *arena = arena_new();
    diags_init(&diags);
    Given given = {.arena = arena, .answers = json_object_get(asked, "answers"), .diags = &diags};
    FirstWish wish = {.cap = -1};
    const size_t count = json_array_size(files);
    const char **path = arena_alloc(arena, count + 1, sizeof *path);
    for (size_t k = 0; k < count; k++) {
        const char *name = json_string_value(json_array_get(files, k));
        path[k] = name != NULL ? name : "";
    }
    if (count == 0)
        diag_error(&diags, (SourcePos){0}, "the question names no sheets, expected \"files\": [\"cards.csv\"]");
    Intake *intake = count > 0 ? intake_new(path, count, NULL, decide, &given, &diags) : NULL;
    if (intake != NULL)
        root = answer_import(asked, intake, &wish);
    if (root == NULL)
        root = json_pack("{s:o}", "error", ask_errors_json(&diags, NULL, arena));
    ask_add_line(root, out);
    intake_free(intake);
    diags_release(&diags);
    arena_free(arena);
    json_decref(asked);
}
