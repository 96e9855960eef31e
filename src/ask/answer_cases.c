/* answer_cases.c - cases, sizes and caps side by side. */

#include "ask/open_scenario.h"
#include "report/whatif_report.h"
#include "whatif/series.h"

/* A list of numbers as the text that it stands for: "250,300,none". NULL with an error. */
static const char *series_text(const Asked *asked, int key)
{
    const YamlNode *node = question_value(asked->question, key);
    const char *text = "", *expected = question_fields.field[key].value;
    if (node == NULL || (node->kind == NODE_LIST && node->count == 0)) {
        diag_error(asked->diags, node != NULL ? node->at : asked->question->root->at,
                   "the question has no '%s', expected %s", question_fields.field[key].name, expected);
        return NULL;
    }
    const NodeItems items = node_items(node);
    for (size_t i = 0; i < items.count; i++) {
        const char *part;
        if (!read_text(&asked->context, node_item(&items, i), expected, &part))
            return NULL;
        text = arena_printf(asked->context.arena, "%s%s%s", text, i > 0 ? "," : "", part);
    }
    return text;
}

/* caps: as they are written; NULL: none. */
static json_t *run(Asked *asked, WhatIfPlan *plan, const char *caps)
{
    plan->subject = asked->ask->subject;
    plan->overrides = &asked->overrides;
    plan->files = asked->ask->files;
    WhatIf *all = what_if_read(plan, asked->diags);
    const bool good = all != NULL &&
                      (caps == NULL || series_currency("'caps'", caps, all->loaded[0].scenario->model,
                                                       asked->context.arena, asked->diags)) &&
                      what_if_run(all, plan, &asked->search, NULL, asked->diags);
    json_t *root = good ? what_if_json(all, asked->diags) : NULL;
    what_if_free(all);
    return root;
}

/* The names must be those of cases. */
static bool read_names(const Asked *asked, const YamlNode *node, WhatIfPlan *plan)
{
    const Scenario *scenario = asked->ask->base.scenario;
    const size_t errors = asked->diags->errors;
    const NodeItems items = node_items(node);
    const char **known = arena_alloc(asked->context.arena, scenario->cases_count, sizeof *known);
    const char **name = arena_alloc(asked->context.arena, items.count, sizeof *name);
    for (size_t k = 0; k < scenario->cases_count; k++)
        known[k] = scenario->cases[k].name;
    for (size_t i = 0; i < items.count; i++) {
        const YamlNode *item = node_item(&items, i);
        if (!read_text(&asked->context, item, question_fields.field[QUESTION_CASES].value, &name[plan->onlys]))
            continue;
        const char *word = name[plan->onlys++];
        if (text_find(word, known, scenario->cases_count) < 0)
            diag_error(asked->diags, item->at, "the scenario has no case '%s'%s", word,
                       did_you_mean(text_nearest(word, known, scenario->cases_count), asked->context.arena));
    }
    plan->only = name;
    return asked->diags->errors == errors;
}

/* Cases (none named: all), or sizes, or the cases named at the sizes. */
json_t *answer_what_if(Asked *asked)
{
    WhatIfPlan plan = {0};
    const YamlNode *cases = question_value(asked->question, QUESTION_CASES),
                   *sizes = question_value(asked->question, QUESTION_SIZES);
    if (cases != NULL && asked->question->case_name != NULL)
        diag_error(asked->diags, cases->at, "'cases' and 'case' do not go together");
    plan.cases = asked->question->case_name == NULL && (cases != NULL ? !value_is(cases, "false") : sizes == NULL);
    if (plan.cases && cases != NULL && !value_is(cases, "true") && !read_names(asked, cases, &plan))
        return NULL;
    if (cases != NULL && cases->kind == NODE_LIST && cases->count == 0)
        plan.cases = false;
    const char *text = sizes != NULL ? series_text(asked, QUESTION_SIZES) : NULL;
    if (sizes != NULL &&
        (text == NULL || !series_sizes("'sizes'", text, asked->context.arena, &plan.size, &plan.sizes, asked->diags)))
        return NULL;
    return asked->diags->errors == 0 ? run(asked, &plan, NULL) : NULL;
}

json_t *answer_caps(Asked *asked)
{
    WhatIfPlan plan = {0};
    const char *text = series_text(asked, QUESTION_CAPS);
    if (text == NULL || !series_caps("'caps'", text, asked->context.arena, &plan.cap, &plan.caps, &plan.steps,
                                     &plan.cap_from, &plan.cap_to, asked->diags))
        return NULL;
    return run(asked, &plan, text);
}
