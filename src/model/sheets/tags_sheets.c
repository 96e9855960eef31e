/* tags_sheets.c - sheets of tags, which may be short lists with a status or the names of those who wish a card. A tag
 * for a card that is no candidate is an error, and so is one that the card has already. Whatever the order of lines,
 * the result is the same. */
#include <string.h>

#include "base/number.h"
#include "model/history/status_column.h"
#include "model/sheets/tag_lines.h"

static bool read_role(const MatchedSheet *side, const SheetCell *cell, Role *role)
{
    const char *word = text_fold_in(side->builder->instance->arena, cell->text);
    const char *meant = habits_meant(&side->builder->instance->model->habits, word);
    if (word[0] == '\0')
        return true;
    int index = field_index(&role_words, meant != NULL ? meant : word);
    if (index >= 0) {
        *role = (Role)index;
        return true;
    }
    matched_report(side, cell,
                   arena_printf(side->builder->instance->arena, "enabler, payoff, both or nothing%s",
                                did_you_mean(field_nearest(&role_words, cell->text), side->builder->instance->arena)));
    return false;
}

/* tag: whose weight it is; of a theme it may be a grade. */
static bool read_weight(MatchedSheet *side, const SheetCell *cell, const char *tag, int64_t *weight)
{
    if (cell->text[0] == '\0')
        return true;
    const Grades grades = model_theme_grades(side->builder->instance->model, tag);
    const Grade *grade = grade_find(&grades, cell->text);
    if (grade != NULL) {
        *weight = grade->value;
        return true;
    }
    NumberStatus status = matched_number(side, cell, 3, weight);
    if (status == NUMBER_OK)
        return true;
    Text expected = {0};
    grade_expected(&grades,
                   status == NUMBER_TOO_FINE ? "a weight with at most 3 decimals" : "a weight, which is a number",
                   cell->text, &expected);
    matched_report(side, cell, text_cstr(&expected));
    text_release(&expected);
    return false;
}

enum { TAG, ROLE, WEIGHT, STATUS, WISHES, TAG_COLUMNS };

static bool is_blank(const MatchedSheet *side, int column)
{
    return column < 0 || matched_cell(side, column)->text[0] == '\0';
}

/* titled: the tag of all lines, NULL: each has its own, or none. */
static void read_tag_row(MatchedSheet *side, const int column[TAG_COLUMNS], const char *titled, TagLines *lines,
                         StatusMark *mark)
{
    const InstanceBuilder *builder = side->builder;
    const SheetCell *name = matched_cell(side, side->name);
    const SheetCell *cell = column[TAG] >= 0 ? matched_cell(side, column[TAG]) : name;
    const char *tag = titled != NULL ? titled : cell->text;
    long card = name->text[0] == '\0' ? -1 : card_find(builder->instance->cards, name->text);
    TagLine line = {.card = card, .tag = tag, .weight = 1000, .at = sheet_pos(&side->sheet, cell)};
    bool sound = card >= 0;
    if (name->text[0] == '\0')
        diag_error(builder->diags, sheet_pos(&side->sheet, name),
                   "found a line without a name, expected a card's name");
    else if (card < 0)
        diag_error(builder->diags, sheet_pos(&side->sheet, name), "no candidate is called '%s'%s", name->text,
                   suggest_card(builder, side->sheet.path, name->text));
    if (card >= 0 && column[STATUS] >= 0)
        status_column_read(side, matched_cell(side, column[STATUS]), card, mark);
    if (card >= 0 && column[WISHES] >= 0)
        card_add_wishers(&builder->instance->cards->card[card], matched_cell(side, column[WISHES])->text,
                         builder->instance->cards->arena);
    if ((column[STATUS] >= 0 || column[WISHES] >= 0) && titled == NULL && is_blank(side, column[TAG]) &&
        is_blank(side, column[ROLE]) && is_blank(side, column[WEIGHT]))
        return; /* of a short list, not every line is marked */
    if (tag[0] == '\0' || strchr(tag, ';') != NULL) {
        diag_error(builder->diags, line.at, "found %s, expected one tag on a line",
                   tag[0] == '\0' ? "no tag" : "a ';'");
        sound = false;
    }
    if (column[ROLE] >= 0)
        sound = read_role(side, matched_cell(side, column[ROLE]), &line.role) && sound;
    if (column[WEIGHT] >= 0)
        sound = read_weight(side, matched_cell(side, column[WEIGHT]), tag, &line.weight) && sound;
    if (!sound)
        return;
    line.folded = text_fold_in(builder->instance->arena, tag);
    mem_reserve((void **)&lines->line, &lines->capacity, lines->count + 1, sizeof *lines->line);
    lines->line[lines->count++] = line;
}

/* A sheet that is called as no theme may only lack its column of tags. */
static void tell_title(const MatchedSheet *side, const char *title)
{
    const Model *model = side->builder->instance->model;
    char excerpt[TEXT_EXCERPT];
    if (text_find(title, model->theme_name, model->themes) >= 0)
        return;
    diag_notice(
        side->builder->diags, sheet_line_pos(&side->sheet, side->sheet.header.line),
        "found no column 'tag', so all %zu lines have the tag '%s', as the sheet is called; no theme is called so",
        side->sheet.rows, text_excerpt(excerpt, title));
}

static void read_tag_sheet(const InstanceBuilder *builder, const PathAt *path, TagLines *lines, StatusMark *mark)
{
    MatchedSheet side;
    if (!matched_open(builder, MATCHED_TAGS, path, &side))
        return;
    const int status = matched_column(&side, "status"), wishes = matched_column(&side, "wishes");
    const bool marks = status >= 0 || wishes >= 0;
    const int role = matched_column(&side, "role"), weight = matched_column(&side, "weight");
    const char *titled = (!marks || role >= 0 || weight >= 0) && matched_lacks(&side, "tag")
                             ? sheet_title(builder->instance->arena, path->path)
                             : NULL;
    const int tag = marks || titled != NULL ? matched_column(&side, "tag") : matched_need_column(&side, "tag");
    const bool tags = tag >= 0 || titled != NULL;
    const int column[TAG_COLUMNS] = {tag, tags ? role : -1, tags ? weight : -1, status, wishes};
    if (titled != NULL)
        tell_title(&side, titled);
    for (size_t i = 0; i < side.sheet.rows && (tags || marks); i++) {
        side.row = &side.sheet.row[i];
        read_tag_row(&side, column, titled, lines, mark);
    }
    matched_close(&side);
}

void merge_tags(const InstanceBuilder *builder)
{
    const Scenario *scenario = builder->instance->scenario;
    TagLines lines = {0};
    StatusMark *mark = mem_new(builder->instance->cards->count, sizeof *mark);
    for (size_t i = 0; i < scenario->tags_count; i++)
        read_tag_sheet(builder, &scenario->tags[i], &lines, mark);
    status_column_apply(builder, mark);
    mem_free(mark);
    tag_lines_sort(&lines);
    tag_lines_drop_doubles(builder->instance->cards, &lines, builder->diags);
    tag_lines_add(builder->instance->cards, &lines, builder->diags);
    mem_free(lines.line);
}
