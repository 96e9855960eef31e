/* lab.c - see lab.h. */
#include "support/lab.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/run.h"

void lab_open(Lab *lab)
{
    *lab = (Lab){.folder = folder_new(), .before = getcwd(NULL, 0)};
    assert_int_equal(chdir(lab->folder), 0);
    diags_init(&lab->diags);
}

static void forget(Lab *lab)
{
    instance_free(lab->instance);
    scenario_free(lab->scenario);
    mem_free(lab->said);
    diags_release(&lab->diags);
    lab->instance = NULL;
    lab->scenario = NULL;
    lab->said = NULL;
}

void lab_close(Lab *lab)
{
    forget(lab);
    assert_int_equal(chdir(lab->before), 0);
    folder_remove(lab->folder);
    free(lab->folder);
    free(lab->before);
}

void lab_file(Lab *lab, const char *name, const char *text)
{
    folder_write(lab->folder, name, text, strlen(text));
}

void lab_model(Lab *lab, const char *model, const char *scenario_lines)
{
    lab_open(lab);
    Text scenario = {0};
    text_printf(&scenario, "model: m.yaml\ncards: [c.csv]\n%s", scenario_lines);
    lab_file(lab, "m.yaml", model);
    lab_file(lab, "s.yaml", text_cstr(&scenario));
    text_release(&scenario);
}

static void keep_said(Lab *lab)
{
    mem_free(lab->said);
    diags_sort(&lab->diags);
    lab->said = diags_text(&lab->diags);
}

bool lab_read_model(Lab *lab, const char *subject)
{
    forget(lab);
    lab->scenario = scenario_read(subject, &lab->overrides, NULL, &lab->diags);
    keep_said(lab);
    assert_int_equal(lab->scenario == NULL, lab->diags.errors > 0);
    return lab->scenario != NULL;
}

bool lab_read(Lab *lab, const char *subject)
{
    if (!lab_read_model(lab, subject))
        return false;
    lab->instance = instance_new(lab->scenario, &lab->diags);
    keep_said(lab);
    assert_int_equal(lab->instance == NULL, lab->diags.errors > 0);
    return lab->instance != NULL;
}

void lab_need(Lab *lab, const char *subject)
{
    if (!lab_read(lab, subject) || lab->diags.count > 0)
        fail_msg("%s", lab->said);
}

const RuleMember *lab_member(const Lab *lab, const char *rule, const char *of)
{
    for (size_t m = 0; m < lab->instance->members; m++) {
        const RuleMember *member = &lab->instance->member[m];
        if (strcmp(member->rule->name, rule) == 0 && strcmp(member->of, of) == 0)
            return member;
    }
    fail_msg("no member '%s' of rule '%s'", of, rule);
    return NULL;
}

size_t lab_counts(const Lab *lab, const char *rule, const char *of)
{
    const RuleMember *member = lab_member(lab, rule, of);
    size_t count = 0;
    for (size_t c = 0; c < lab->instance->cards->count; c++)
        count += member_counts(lab->instance, member, c);
    return count;
}

char *lab_counted(const Lab *lab, const char *rule, const char *of)
{
    const RuleMember *member = lab_member(lab, rule, of);
    Text text = {0};
    for (size_t c = 0; c < lab->instance->cards->count; c++)
        if (member_counts(lab->instance, member, c))
            text_printf(&text, "%s%s", text.length == 0 ? "" : ", ", lab->instance->cards->card[c].name);
    char *copy = mem_strdup(text_cstr(&text));
    text_release(&text);
    return copy;
}

void lab_expect(const Lab *lab, const char *piece)
{
    if (strstr(lab->said, piece) == NULL)
        fail_msg("expected: %s\nsaid:\n%s", piece, lab->said);
}

size_t lab_card(const Lab *lab, const char *name)
{
    long card = card_find(lab->instance->cards, name);
    if (card < 0)
        fail_msg("no candidate '%s'", name);
    return (size_t)card;
}
