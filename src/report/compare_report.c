/* compare_report.c - see compare_report.h. */
#include "report/compare_report.h"

#include "report/json/json.h"
#include "report/layout/format.h"

const char *prefers_word(size_t index)
{
    static const char *const word[] = {
        [PREFERS_FIRST] = "first", [PREFERS_SECOND] = "second", [PREFERS_NEITHER] = "neither"};
    return index < sizeof word / sizeof *word ? word[index] : NULL;
}

static const char *name_of(const Compare *compare, size_t card)
{
    return compare->loaded->instance->cards->card[card].name;
}

/* "linen crew, cost 3, power 6.5; convoys enabler 2" */
static void add_card(const Compare *compare, size_t index, Text *out, Arena *arena)
{
    const Instance *in = compare->loaded->instance; /* powers as they are in the sheets */
    const Card *card = &in->cards->card[index];
    const CardVocabulary vocabulary = model_vocabulary(in->model);
    text_printf(out, "%s: %s", card->name, colours_text(&vocabulary, &card->colours, arena));
    for (size_t k = 0; k < card->kinds; k++)
        text_printf(out, "%s %s", k > 0 ? "," : "", in->cards->kind[card->kind[k]]);
    if (card->has_cost)
        text_printf(out, ", cost %s", format_number(arena, card->cost));
    if (card->has_power)
        text_printf(out, ", power %s", format_number(arena, card->power));
    for (size_t t = 0; t < in->model->themes; t++) {
        const CardTag *tag = instance_theme_tag(in, t, index);
        if (tag != NULL)
            text_printf(out, "; %s%s%s %s", in->model->theme[t].name, tag->role != ROLE_NONE ? " " : "",
                        role_name(tag->role), format_number(arena, tag->weight));
    }
    text_add(out, "\n");
}

void question_about(const Compare *compare, const Comparison *question, size_t number, Text *out)
{
    Arena *arena = arena_new();
    text_printf(out, "\nQuestion %zu of at most %d: which would you rather have?\n  1  ", number, COMPARE_MOST);
    add_card(compare, question->first, out, arena);
    text_add(out, "  2  ");
    add_card(compare, question->second, out, arena);
    text_add(out, "1 or 2, Enter if you cannot say, q to end: ");
    arena_free(arena);
}

void compare_text(const Compare *compare, const Comparison *next, const FeedbackReport *r, const Style *style,
                  Text *out)
{
    if (compare->count > 0 && r->feedback->cards == 0 && r->writtens == 0)
        text_add(out, "\nNo question was answered, so nothing is proposed.\n");
    else if (compare->count > 0)
        feedback_text(r, style, out);
    else if (!compare->old.has_pool)
        text_add(out, compare->old.status == ANSWER_INFEASIBLE ? NO_POOL_SEE_BEST : STOPPED_WITHOUT_POOL);
    if (next != NULL)
        text_printf(out, "\nStill open: would you rather have %s or %s? The answer changes the pool: proven.\n",
                    name_of(compare, next->first), name_of(compare, next->second));
    else if (compare->old.has_pool && !compare_proven(compare))
        text_add(out, "\nNothing more is asked, since the pool is not proven best: whether an answer changes it is not "
                      "known. More --effort may help.\n");
    else if (compare->old.has_pool && compare->count < COMPARE_MOST)
        text_add(out, "\nNo further question is known whose answer changes the pool, among cards that stand within a "
                      "point of each other.\n");
}

static json_t *question_json(const Compare *compare, const Comparison *question, bool open)
{
    return json_pack("{s:s,s:s,s:o}", "first", name_of(compare, question->first), "second",
                     name_of(compare, question->second), "answer",
                     open ? json_null() : json_string(prefers_word(question->answer)));
}

bool compare_json(const Compare *compare, const Comparison *next, const FeedbackReport *r, const Diags *notices,
                  Text *out)
{
    json_t *root = feedback_root(r, notices), *questions = json_array();
    for (size_t k = 0; k < compare->count; k++)
        json_array_append_new(questions, question_json(compare, &compare->asked[k], false));
    if (next != NULL)
        json_array_append_new(questions, question_json(compare, next, true));
    json_object_set_new(root, "questions", questions);
    json_object_set_new(root, "proven", json_boolean(compare_proven(compare)));
    return json_finish(root, out);
}
