/* whatif_structure.c - what structure adds in each case, and what of it is not as in the base. */
#include <string.h>

#include "report/layout/format.h"
#include "report/whatif_report.h"

bool what_if_adds(const WhatIf *what_if)
{
    for (size_t k = 0; k < what_if->count; k++)
        if (what_if->item[k].answer.has_pool && what_if->item[k].answer.check.bonus != 0)
            return true;
    return false;
}

static const FormUse *same_form(const PoolCheck *check, const FormUse *use)
{
    for (size_t f = 0; f < check->forms; f++)
        if (check->form[f].form->kind == use->form->kind && strcmp(check->form[f].form->name, use->form->name) == 0)
            return &check->form[f];
    return NULL;
}

static bool is_chosen(const Instance *in, const PoolCheck *check, const char *theme)
{
    for (size_t t = 0; t < in->model->themes; t++)
        if (strcmp(in->model->theme[t].name, theme) == 0)
            return !in->choosable[t] || check->chosen[t];
    return false;
}

static void add_chosen(const WhatIf *all, const WhatIfCase *item, NameList *list, Arena *arena)
{
    const WhatIfCase *base = &all->item[0];
    const Instance *now = all->loaded[item->loaded].instance, *old = all->loaded[base->loaded].instance;
    for (size_t t = 0; t < now->model->themes; t++) {
        const char *theme = now->model->theme[t].name;
        const bool chosen = !now->choosable[t] || item->answer.check.chosen[t];
        if (now->choosable[t] && chosen != is_chosen(old, &base->answer.check, theme))
            name_list_add(list, arena_printf(arena, chosen ? "%s chosen" : "%s not chosen any more", theme));
    }
}

/* "eel supper +6 (was 0)". */
void what_if_structure(const WhatIf *what_if, const WhatIfCase *item, const Style *style, Text *out)
{
    const PoolCheck *old = &what_if->item[0].answer.check, *now = &item->answer.check;
    Arena *arena = arena_new();
    NameList list;
    name_list_begin(&list, "structure  ", SIZE_MAX, style, out);
    add_chosen(what_if, item, &list, arena);
    for (size_t f = 0; f < now->forms; f++) {
        const FormUse *use = &now->form[f], *was = same_form(old, use);
        const int64_t before = was != NULL ? was->gain : 0;
        if (use->gain != before && use->form->kind != FORM_THEME_FIT)
            name_list_add(&list, arena_printf(arena, "%s adds %s (was %s)", use->form->name,
                                              format_number(arena, use->gain), format_number(arena, before)));
    }
    name_list_end(&list);
    arena_free(arena);
}
