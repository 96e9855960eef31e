/* targets.c - a targets sheet becomes a map as a model could hold it, {rules: {NAME: {at_least: 6, for: {...}}}}, whose
 * nodes have the cells' places; so it is laid and checked as every other layer. */
#include "model/sheets/targets.h"

#include <string.h>
#include <strings.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/cards.h"

enum { MEMBER_NONE, MEMBER_ALL, MEMBER_NAMED };

typedef struct {
    const char *text, *rule;
    SourcePos at;
} LostPlus;

typedef struct {
    Draft *draft;
    const Sheet *sheet;
    int *sort;           /* [header.cells] what the column holds */
    size_t lost;         /* cells that may have lost a + */
    LostPlus first_lost; /* of these */
} TargetReader;

static Arena *arena_of(const TargetReader *reader)
{
    return reader->draft->context.arena;
}

/* ---- the header ---- */

/* Names of all colours, pairs and themes; [*count], freed with mem_free (the strings live in the arena). */
static const char **known_members(const TargetReader *reader, size_t *count)
{
    const Draft *draft = reader->draft;
    const Slot *slot = &draft->slot[MODEL_COLOURS];
    NodeItems colours = {0};
    if (slot->key != NULL)
        colours = node_items(slot->value);
    if (colours.count > COLOURS_MAX)
        colours.count = COLOURS_MAX;
    const char **names = mem_new(1 + colours.count * (colours.count + 1) / 2 + draft->entries, sizeof *names);
    const char *colour[COLOURS_MAX];
    size_t known = 0;
    *count = 0;
    for (size_t i = 0; i < colours.count; i++)
        if (node_item(&colours, i)->kind == NODE_TEXT)
            names[(*count)++] = colour[known++] = node_item(&colours, i)->text;
    for (size_t i = 0; i < known; i++)
        for (size_t j = i + 1; j < known; j++)
            names[(*count)++] = arena_printf(arena_of(reader), "%s+%s", colour[i], colour[j]);
    for (size_t i = 0; i < draft->entries; i++)
        if (draft->entry[i].key == MODEL_THEMES)
            names[(*count)++] = draft->entry[i].name;
    names[(*count)++] = "all";
    return names;
}

static int member_sort(const TargetReader *reader, const SheetCell *cell, const char *const *names, size_t count)
{
    const char *key = member_key(arena_of(reader), cell->text);
    if (strcmp(key, "all") == 0)
        return MEMBER_ALL;
    if (cell->text[0] == '\0' || strcmp(key, "note") == 0 || strcmp(key, "notes") == 0)
        return MEMBER_NONE;
    for (size_t i = 0; i < count; i++)
        if (strcmp(member_key(arena_of(reader), names[i]), key) == 0)
            return MEMBER_NAMED;
    diag_error(reader->draft->context.diags, sheet_pos(reader->sheet, cell),
               "unknown column '%s', expected 'all', a colour, a pair such as brass+tar or a theme%s", cell->text,
               did_you_mean(text_nearest(cell->text, names, count), arena_of(reader)));
    return MEMBER_NONE;
}

static void read_header(const TargetReader *reader)
{
    size_t count = 0;
    const char **names = known_members(reader, &count);
    const size_t errors = reader->draft->context.diags->errors;
    bool any = false;
    for (size_t i = 1; i < reader->sheet->header.cells; i++) {
        const SheetCell *cell = &reader->sheet->header.cell[i];
        reader->sort[i] = member_sort(reader, cell, names, count);
        for (size_t j = 1; j < i; j++) {
            const SheetCell *other = &reader->sheet->header.cell[j];
            if (reader->sort[i] != MEMBER_NONE &&
                strcmp(member_key(arena_of(reader), cell->text), member_key(arena_of(reader), other->text)) == 0)
                diag_error(reader->draft->context.diags, sheet_pos(reader->sheet, cell), "two columns are called '%s'",
                           cell->text);
        }
        any = any || reader->sort[i] != MEMBER_NONE;
    }
    if (!any && reader->draft->context.diags->errors == errors)
        diag_error(
            reader->draft->context.diags, sheet_line_pos(reader->sheet, reader->sheet->header.line),
            "found no column of bounds, expected 'all', a colour, a pair such as brass+tar or a theme behind the "
            "column of rules%s",
            reader->sheet->header.cells == 1 ? ", with a comma, a semicolon or a tab between" : "");
    mem_free(names);
}

/* ---- one cell ---- */

/* The cell with every dash as '-', '..' and " to " as '-', no blanks, and a decimal point. */
static const char *tidy(const TargetReader *reader, const char *cell)
{
    Text text = {0};
    for (const char *at = cell; *at != '\0'; at++) {
        if (strncmp(at, "\xE2\x80\x93", 3) == 0 || strncmp(at, "\xE2\x80\x94", 3) == 0 ||
            strncmp(at, "\xE2\x88\x92", 3) == 0) {
            text_add_char(&text, '-');
            at += 2;
        } else if (strncmp(at, " to ", 4) == 0) {
            text_add_char(&text, '-');
            at += 3;
        } else if (strncmp(at, "..", 2) == 0) {
            text_add_char(&text, '-');
            at++;
        } else if (*at == ',' && sheet_decimal_comma(reader->sheet)) {
            text_add_char(&text, '.');
        } else if (*at != ' ') {
            text_add_char(&text, *at);
        }
    }
    const char *tidied = arena_strdup(arena_of(reader), text_cstr(&text));
    text_release(&text);
    return tidied;
}

static bool is_amount(const char *text)
{
    int64_t ignored = 0;
    size_t length = strlen(text);
    if (length > 0 && text[length - 1] == '%')
        return number_parse_percent(text, &ignored) != NUMBER_NONE;
    return number_parse_money(text, false, &ignored) != NUMBER_NONE;
}

static void add_bound(const TargetReader *reader, YamlNode *map, int key, SourcePos at, YamlNode *value)
{
    yaml_map_add(arena_of(reader), map, yaml_text_node(arena_of(reader), bound_fields.field[key].name, at), value);
}

/* False: no bound. */
static bool add_between(const TargetReader *reader, YamlNode *map, const char *text, const char *dash, SourcePos at)
{
    Arena *arena = arena_of(reader);
    const char *low = arena_strndup(arena, text, (size_t)(dash - text));
    const char *high = dash + 1;
    bool percent = high[0] != '\0' && high[strlen(high) - 1] == '%';
    if (percent && strchr(low, '%') == NULL)
        low = arena_printf(arena, "%s%%", low);
    if (!is_amount(low) || !is_amount(high) || strchr(high, '-') != NULL)
        return false;
    YamlNode *both = yaml_list_node(arena, at);
    yaml_list_add(arena, both, yaml_text_node(arena, low, at));
    yaml_list_add(arena, both, yaml_text_node(arena, high, at));
    add_bound(reader, map, RULE_BETWEEN, at, both);
    return true;
}

/* ">=6", "at least 6", "max 8", without their blanks: the bound, and in *rest what stands behind the words; -1: no such
 * words. */
static int bound_in_words(const char *text, const char **rest)
{
    static const char *const least[] = {">=", "\xE2\x89\xA5", "atleast", "min", "minimum"}, *const most[] = {
                                                                                                "<=", "\xE2\x89\xA4",
                                                                                                "atmost", "max",
                                                                                                "maximum"};
    const size_t leasts = sizeof least / sizeof *least, mosts = sizeof most / sizeof *most;
    int found = -1;
    size_t longest = 0;
    for (size_t k = 0; k < leasts + mosts; k++) {
        const char *word = k < leasts ? least[k] : most[k - leasts];
        const size_t length = strlen(word);
        if (length > longest && strncasecmp(text, word, length) == 0) {
            found = k < leasts ? RULE_AT_LEAST : RULE_AT_MOST;
            longest = length;
        }
    }
    if (text[longest] == '.') /* "max. 3", or a part of one? */
        return -1;
    *rest = text + longest;
    return found;
}

static bool add_cell(const TargetReader *reader, YamlNode *map, const char *cell, SourcePos at)
{
    Arena *arena = arena_of(reader);
    const char *text = tidy(reader, cell);
    size_t length = strlen(text);
    int key = RULE_EXACTLY;
    const int said = bound_in_words(text, &text);
    if (said >= 0) {
        key = said;
    } else if (text[0] == '-') {
        key = RULE_AT_MOST;
        text++;
    } else if (length > 1 && text[length - 1] == '+') {
        key = RULE_AT_LEAST;
        text = arena_strndup(arena, text, length - 1);
    } else if (length > 2 && text[length - 1] == '%' && text[length - 2] == '+') {
        key = RULE_AT_LEAST;
        text = arena_printf(arena, "%.*s%%", (int)length - 2, text);
    } else if (strchr(text, '-') != NULL) {
        return add_between(reader, map, text, strchr(text, '-'), at);
    }
    if (!is_amount(text) || strpbrk(text, "+-") != NULL)
        return false;
    add_bound(reader, map, key, at, yaml_text_node(arena, text, at));
    return true;
}

/* Spreadsheet programs turn 10-16 into a day in October. */
static bool looks_like_date(const char *cell)
{
    const char *dash = strpbrk(cell, "-/.");
    if (dash == NULL)
        return false;
    for (const char *at = cell; *at != '\0'; at++)
        if ((*at >= 'A' && *at <= 'Z') || (*at >= 'a' && *at <= 'z'))
            return strpbrk(cell, "0123456789") != NULL;
    return strpbrk(dash + 1, "-/.") != NULL || *dash == '/';
}

static void report_cell(const TargetReader *reader, const char *header, const char *cell, SourcePos at)
{
    diag_error(reader->draft->context.diags, at,
               "column '%s': found '%s', expected a bound such as 38, 10-16, 6+ (at least), -8 (at most) or 50%%%s",
               header, cell,
               looks_like_date(cell) ? " (the spreadsheet program may have made a date of 10-16; 10..16 is safe)" : "");
}

/* ---- rows ---- */

static bool is_average(const RuleDraft *rule)
{
    return rule->bounds.slot[RULE_AVERAGE_AT_LEAST].key != NULL || rule->bounds.slot[RULE_AVERAGE_AT_MOST].key != NULL;
}

static void report_no_rule(const TargetReader *reader, const char *name, SourcePos at)
{
    const ReadContext *context = &reader->draft->context;
    const char *nearest = draft_nearest_rule(reader->draft, name);
    if (nearest == NULL && field_index(&model_fields, name) >= 0)
        diag_error(
            context->diags, at,
            "unknown rule '%s'; this is a key of models: it stands in the model, or below 'change:' in the scenario",
            name);
    else
        diag_error(context->diags, at, "unknown rule '%s'%s", name, did_you_mean(nearest, context->arena));
}

static bool is_row_sound(const TargetReader *reader, const SheetRow *row)
{
    const ReadContext *context = &reader->draft->context;
    const SheetCell *first = &row->cell[0];
    SourcePos at = sheet_pos(reader->sheet, first);
    if (first->text[0] == '\0') {
        diag_error(context->diags, sheet_line_pos(reader->sheet, row->line),
                   "found bounds without a rule's name in the first column");
        return false;
    }
    const RuleDraft *rule = draft_find_rule(reader->draft, first->text);
    if (rule == NULL)
        report_no_rule(reader, first->text, at);
    else if (is_average(rule))
        diag_error(context->diags, at,
                   "rule '%s' is bounded by averages, which cannot be set in a sheet; change it in the model",
                   rule->name);
    return rule != NULL && !is_average(rule);
}

/* ---- a plus that is gone ---- */

/* The least that the rule asks for where it may be more; NULL: nothing of the kind. */
static const char *least_of(const RuleDraft *rule)
{
    const Slot *slot = rule->bounds.slot;
    if (slot[RULE_AT_LEAST].key != NULL)
        return slot[RULE_AT_LEAST].value->text;
    const NodeItems items = slot[RULE_BETWEEN].key != NULL ? node_items(slot[RULE_BETWEEN].value) : (NodeItems){0};
    return items.count == 2 ? node_item(&items, 0)->text : NULL;
}

/* A spreadsheet program may make the number 2 of 2+: seen where a cell asks for exactly the least of its rule. */
static void note_lost_plus(TargetReader *reader, const RuleDraft *rule, const SheetCell *cell, SourcePos at)
{
    int64_t here = 0, least = 0;
    const char *text = least_of(rule);
    if (text == NULL || cell->text[0] == '\0' ||
        number_parse_money(tidy(reader, cell->text), false, &here) != NUMBER_OK || strpbrk(cell->text, "+-") != NULL ||
        number_parse_money(text, false, &least) != NUMBER_OK || here != least)
        return;
    if (reader->lost++ == 0)
        reader->first_lost = (LostPlus){cell->text, rule->name, at};
}

static void tell_lost_plus(const TargetReader *reader)
{
    const LostPlus *first = &reader->first_lost;
    if (reader->lost == 0)
        return;
    Text more = {0};
    if (reader->lost > 1)
        text_printf(&more, " (%zu more such cell%s)", reader->lost - 1, reader->lost == 2 ? "" : "s");
    diag_notice(reader->draft->context.diags, first->at,
                "found %s, exactly, where '%s' asks in the model for at least %s%s; if %s+ was meant, a spreadsheet "
                "program has dropped the +; >=%s is safe",
                first->text, first->rule, first->text, text_cstr(&more), first->text, first->text);
    text_release(&more);
}

static bool is_row_blank(const SheetRow *row)
{
    for (size_t i = 1; i < row->cells; i++)
        if (row->cell[i].text[0] != '\0')
            return false;
    return true;
}

static void add_row(TargetReader *reader, YamlNode *rules, const SheetRow *row)
{
    Arena *arena = arena_of(reader);
    SourcePos at = sheet_pos(reader->sheet, &row->cell[0]);
    YamlNode *rule = yaml_map_node(arena, at);
    YamlNode *members = yaml_map_node(arena, at);
    for (size_t i = 1; i < row->cells; i++) {
        const SheetCell *cell = &row->cell[i];
        SourcePos place = sheet_pos(reader->sheet, cell);
        if (cell->text[0] == '\0')
            continue;
        if (reader->sheet->header.cell[i].text[0] == '\0')
            diag_error(reader->draft->context.diags, place, "found '%s' in a column without a header", cell->text);
        if (reader->sort[i] == MEMBER_NONE)
            continue;
        YamlNode *into = reader->sort[i] == MEMBER_ALL ? rule : yaml_map_node(arena, place);
        if (!add_cell(reader, into, cell->text, place)) {
            report_cell(reader, reader->sheet->header.cell[i].text, cell->text, place);
            continue;
        }
        note_lost_plus(reader, draft_find_rule(reader->draft, row->cell[0].text), cell, place);
        if (into != rule)
            yaml_map_add(arena, members, yaml_text_node(arena, reader->sheet->header.cell[i].text, place), into);
    }
    if (members->count > 0)
        yaml_map_add(arena, rule, yaml_text_node(arena, rule_fields.field[RULE_FOR].name, at), members);
    yaml_map_add(arena, rules, yaml_text_node(arena, row->cell[0].text, at), rule);
}

int targets_fit(const Sheet *sheet, const void *nothing)
{
    (void)nothing;
    const int fits = (sheet_column(sheet, "rule") == 0) + (sheet_column(sheet, "all") > 0);
    return fits > 0 ? fits : -1;
}

void targets_lay(Draft *draft, const Sheet *sheet, int size)
{
    Arena *arena = draft->context.arena;
    SourcePos top = sheet_line_pos(sheet, 1);
    TargetReader reader = {
        .draft = draft, .sheet = sheet, .sort = arena_alloc(arena, sheet->header.cells, sizeof(int))};
    read_header(&reader);
    YamlNode *rules = yaml_map_node(arena, top);
    for (size_t i = 0; i < sheet->rows; i++)
        if (!is_row_blank(&sheet->row[i]) && is_row_sound(&reader, &sheet->row[i]))
            add_row(&reader, rules, &sheet->row[i]);
    tell_lost_plus(&reader);
    YamlNode *map = yaml_map_node(arena, top);
    yaml_map_add(arena, map, yaml_text_node(arena, model_fields.field[MODEL_RULES].name, top), rules);
    const int model_size = draft->size;
    if (size > 0)
        draft->size = size;
    draft_lay(draft, map);
    draft->size = model_size;
}
